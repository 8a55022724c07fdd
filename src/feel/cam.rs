//! A sprung follower on a cam, a notch or a row of detents.

use serde::{Deserialize, Serialize};
use std::f64::consts::TAU;

use crate::error::{Error, Result, within};
use crate::feel::body::Body;
use crate::numeric::pchip::Pchip;
use crate::stored::stored_as_spec;

/// Points of a profile.
const POINTS: [usize; 2] = [3, 10_000];
/// Least step from one angle to the next, rad: a tenth of a second of arc is the same angle twice.
const LEAST_STEP: f64 = 5e-7;
/// How far the two ends of a periodic profile may differ, m: less than any cam is cut to.
const SAME_LIFT: f64 = 1e-9;

/// How a profile goes on past its table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum CamEnds {
    /// Not at all: angles outside are refused.
    Refused,
    /// It repeats, as the row of detents of a knob does; the last lift is the first one again.
    Periodic,
}

/// What a cam is made of; [`Cam::new`] checks it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CamSpec {
    /// The body that carries the profile.
    pub body: Body,
    /// Angles of the body, ascending, rad.
    pub angles: Vec<f64>,
    /// Lift of the follower there, m: the way of its center (for a roller: of the roller's axle) along its slide.
    pub lifts: Vec<f64>,
    /// How the table goes on.
    pub ends: CamEnds,
    /// Force of the follower's spring at lift zero, N, 0 to 1e5.
    pub preload: f64,
    /// Rate of the follower's spring, N/m, 0 to 1e7.
    pub rate: f64,
}

impl CamSpec {
    /// A profile that ends with its table, under a force that stays the same.
    #[must_use]
    pub fn new(body: Body, angles: Vec<f64>, lifts: Vec<f64>, preload: f64) -> Self {
        Self {
            body,
            angles,
            lifts,
            ends: CamEnds::Refused,
            preload,
            rate: 0.0,
        }
    }
}

/// A sprung follower on a profile: energy F0 h + k h^2 / 2 with the lift h of the follower at the angle of the body.
///
/// Between the points the lift runs on a monotone cubic curve: it never overshoots, so no detent appears that the table
/// does not have, and its slope is continuous; the stiffness jumps at the points. A notch with a sharp bottom is a
/// [`Breakout`](crate::feel::Breakout).
///
/// # Example
/// ```
/// use yokewright::feel::{Body, Cam, CamSpec, CamEnds};
/// use yokewright::units::{DEG, MM};
/// let cam = Cam::new(CamSpec {
///     body: Body::Lever,
///     angles: vec![-10.0 * DEG, 0.0, 10.0 * DEG],
///     lifts: vec![2.0 * MM, 0.0, 2.0 * MM],
///     ends: CamEnds::Refused,
///     preload: 20.0,
///     rate: 1000.0,
/// })?;
/// assert_eq!(cam.lift(0.0)?, 0.0);
/// assert!(cam.lift(0.2).is_err());
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Cam {
    spec: CamSpec,
    curve: Pchip,
}

stored_as_spec!(Cam, CamSpec);

impl Cam {
    /// Checks a profile.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`], [`Error::Count`] (3 to 10000 points); [`Error::NotFinite`], [`Error::OutOfRange`] for
    /// an angle beyond a turn, a lift beyond 1 m, angles closer than half a microradian, a profile that does not close
    /// though it repeats, or a follower that its spring does not press down everywhere.
    pub fn new(spec: CamSpec) -> Result<Self> {
        let CamSpec {
            angles,
            lifts,
            preload,
            rate,
            ..
        } = &spec;
        if angles.len() != lifts.len() {
            return Err(Error::LengthMismatch {
                first: "angles of the cam",
                first_len: angles.len(),
                second: "lifts of the cam",
                second_len: lifts.len(),
            });
        }
        let [min, max] = POINTS;
        if !(min..=max).contains(&angles.len()) {
            return Err(Error::Count {
                quantity: "points of the cam",
                count: angles.len(),
                min,
                max,
            });
        }
        within(
            "force of the follower at lift zero",
            *preload,
            0.0,
            1e5,
            "N",
        )?;
        within("rate of the follower's spring", *rate, 0.0, 1e7, "N/m")?;
        for (angle, lift) in angles.iter().zip(lifts) {
            within("angle of the cam", *angle, -TAU, TAU, "rad")?;
            within("lift of the cam", *lift, -1.0, 1.0, "m")?;
            within(
                "force of the follower on the cam",
                preload + rate * lift,
                0.0,
                f64::MAX,
                "N",
            )?;
        }
        for pair in angles.windows(2) {
            within(
                "step between angles of the cam",
                pair[1] - pair[0],
                LEAST_STEP,
                2.0 * TAU,
                "rad",
            )?;
        }
        let mut points: Vec<[f64; 2]> = angles.iter().zip(lifts).map(|(a, h)| [*a, *h]).collect();
        if spec.ends == CamEnds::Periodic {
            let ([first, .., last], [.., before, end]) = (&lifts[..], &angles[..]) else {
                return Err(Error::Count {
                    quantity: "points of the cam",
                    count: 0,
                    min,
                    max,
                });
            };
            within(
                "change of lift over a period of the cam",
                last - first,
                -SAME_LIFT,
                SAME_LIFT,
                "m",
            )?;
            // One more point on either side, so that the slope at the seam is the same from both.
            let (start, period) = (points[0][0], end - points[0][0]);
            let second = points[1];
            let previous = lifts[lifts.len() - 2];
            points.insert(0, [start - (end - before), previous]);
            points.push([second[0] + period, second[1]]);
        }
        // Three points and more.
        let curve = Pchip::new(&points).ok_or(Error::Count {
            quantity: "points of the cam",
            count: points.len(),
            min,
            max,
        })?;
        Ok(Self { spec, curve })
    }

    /// What it was made of.
    #[must_use]
    pub fn spec(&self) -> &CamSpec {
        &self.spec
    }

    /// The body that carries the profile.
    #[must_use]
    pub fn body(&self) -> Body {
        self.spec.body
    }

    /// Lift of the follower, m, at an angle of the body, rad.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] outside a profile that does not repeat.
    pub fn lift(&self, angle: f64) -> Result<f64> {
        Ok(self.curve.at(self.folded(angle)?).value)
    }

    /// Energy and its first and second derivative by the angle of the body.
    pub(super) fn energy(&self, angle: f64) -> Result<[f64; 3]> {
        let at = self.curve.at(self.folded(angle)?);
        let (preload, rate) = (self.spec.preload, self.spec.rate);
        let force = preload + rate * at.value;
        Ok([
            (preload + 0.5 * rate * at.value) * at.value,
            force * at.slope,
            rate * at.slope * at.slope + force * at.bend,
        ])
    }

    /// The angle within the table.
    fn folded(&self, angle: f64) -> Result<f64> {
        let (Some(&first), Some(&last)) = (self.spec.angles.first(), self.spec.angles.last())
        else {
            return Ok(angle);
        };
        crate::error::finite("angle of the cam", angle, "rad")?;
        match self.spec.ends {
            CamEnds::Refused => within("angle of the cam", angle, first, last, "rad"),
            CamEnds::Periodic => Ok(first + (angle - first).rem_euclid(last - first)),
        }
    }
}
