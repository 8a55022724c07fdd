//! Force against travel.

use serde::{Deserialize, Serialize};

use crate::error::Result;
use crate::feel::control::Control;
use crate::feel::equilibrium::{Along, Track, Way, check_points};
use crate::feel::followers::LANES;
use crate::feel::guidance::ControlMeasurements;
use crate::numeric::spacing::spaced;
use crate::observer;

/// A control along one angle: rows of equal number in ascending order of the angle.
///
/// An angle at which a force jumps comes twice, with the values from below and from above. Where physics refuses (a
/// spring off its table, a linkage that cannot close) the row is NaN and not valid.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ForceCurve {
    /// Angle, rad.
    pub angle: Vec<f64>,
    /// Way of the grip from angle zero along its arc, m.
    pub way: Vec<f64>,
    /// Energy, J.
    pub energy: Vec<f64>,
    /// Torque of all that acts about the pivot, N m.
    pub torque: Vec<f64>,
    /// Stiffness, N m/rad.
    pub stiffness: Vec<f64>,
    /// Force at the grip that holds the control there without friction, N, positive towards greater angles.
    pub force: Vec<f64>,
    /// What friction adds to the force when the control is moved up, and takes from it when it is moved down, N.
    pub friction: Vec<f64>,
    /// Whether the row has values.
    pub valid: Vec<bool>,
}

impl ForceCurve {
    fn with_capacity(rows: usize) -> Self {
        let column = || Vec::with_capacity(rows);
        Self {
            angle: column(),
            way: column(),
            energy: column(),
            torque: column(),
            stiffness: column(),
            force: column(),
            friction: column(),
            valid: Vec::with_capacity(rows),
        }
    }

    fn push(&mut self, track: &Track<'_>, angle: f64, along: Option<Along>) {
        let found = along.and_then(|along| Some((along, track.friction(angle).ok()?)));
        let nan = f64::NAN;
        let (
            Along {
                energy,
                slope,
                bend,
            },
            friction,
        ) = found.unwrap_or((
            Along {
                energy: nan,
                slope: nan,
                bend: nan,
            },
            nan,
        ));
        self.angle.push(angle);
        self.way.push(track.arm * angle);
        self.energy.push(energy);
        self.torque.push(-slope);
        self.stiffness.push(bend);
        self.force.push(slope / track.arm);
        self.friction.push(friction / track.arm);
        self.valid.push(found.is_some());
    }

    /// Number of rows.
    #[must_use]
    pub fn len(&self) -> usize {
        self.angle.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.angle.is_empty()
    }

    /// What the curve measures, to set beside published figures: greatest force with friction, travel, deflection. The
    /// breakout is that of [`Control::centering`].
    #[must_use]
    pub fn measured(&self) -> ControlMeasurements {
        let most = |values: &mut dyn Iterator<Item = f64>| values.fold(0.0, f64::max);
        let force = self
            .force
            .iter()
            .zip(&self.friction)
            .map(|(force, rub)| force.abs() + rub);
        let all = self.valid.iter().all(|valid| *valid) && !self.is_empty();
        let travel = match (self.way.first(), self.way.last()) {
            (Some(first), Some(last)) => Some(last - first),
            _ => None,
        };
        ControlMeasurements {
            force: all.then(|| most(&mut force.into_iter())),
            travel,
            travel_one_way: travel.map(|_| most(&mut self.way.iter().map(|way| way.abs()))),
            deflection: travel.map(|_| most(&mut self.angle.iter().map(|angle| angle.abs()))),
            ..ControlMeasurements::default()
        }
    }
}

impl Control {
    /// The force against travel along one angle, at `points` (2 to 100000) equally spaced angles from stop to stop, and
    /// twice at each jump.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count); [`Error::NotAChoice`](crate::Error::NotAChoice) for an angle that the
    /// control does not have; [`Error::OutOfRange`](crate::Error::OutOfRange) for a held angle beyond its stops.
    pub fn curve(&self, way: Way, points: usize) -> Result<ForceCurve> {
        check_points(points)?;
        Track::new(self, way)?.curve(points)
    }
}

impl Track<'_> {
    /// As [`Control::curve`], the number of points checked.
    ///
    /// # Errors
    /// [`Error::Stopped`](crate::Error::Stopped).
    pub(crate) fn curve(&self, points: usize) -> Result<ForceCurve> {
        // Where the jumps cannot be found because physics refuses some angle, the rows say so.
        let jumps = self.jumps().unwrap_or_default();
        let mut jumps = jumps.iter().copied().peekable();
        let mut places = Vec::with_capacity(points);
        for angle in spaced(self.travel, points - 1) {
            while let Some(jump) = jumps.next_if(|jump| *jump <= angle) {
                places.push((jump, -1.0));
                if jump < self.travel[1] {
                    places.push((jump, 1.0));
                }
            }
            if places.last().is_none_or(|(last, _)| *last != angle) {
                places.push((angle, 1.0));
            }
        }
        let many = self.many()?;
        let mut curve = ForceCurve::with_capacity(places.len());
        for block in places.chunks(LANES) {
            observer::check()?;
            for ((angle, _), along) in block.iter().zip(self.along_many(&many, block)) {
                curve.push(self, *angle, along);
            }
        }
        Ok(curve)
    }
}
