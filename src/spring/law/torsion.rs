//! What acts between two parts about the pivot that joins them: a torque in proportion to the angle.
//!
//! The torque is the derivative of an energy: torque = dU/d(angle).

use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, within};
use crate::spring::law::response::{
    SpringAction, TorsionResponse, TorsionSpringState, limits, straight,
};
use crate::stored::stored_as_spec;

/// Rates of a spring that is twisted, N m/rad; the thinnest wire in ten thousand turns of index 50 comes to some 1e-10.
const TORSION_RATE: [f64; 2] = [1e-12, 1e5];
/// Angles between the parts, rad: torsion springs of many turns wind up by several.
const ANGLE: [f64; 2] = [-100.0, 100.0];

/// What is known of a spring that acts about a pivot; [`LinearTorsionSpring::new`] checks it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LinearTorsionSpringSpec {
    /// Torque for a change of angle, N m/rad, 1e-12 to 1e5.
    pub rate: f64,
    /// Angle at which nothing loads it, rad, -100 to 100. A spring built in wound up by 0.5 rad at the center has -0.5.
    pub free_angle: f64,
    /// On which side of the free angle it works.
    pub action: SpringAction,
    /// Least angle that it stands, rad; `None` if there is no such limit.
    pub min_angle: Option<f64>,
    /// Greatest angle that it stands, rad; `None` if there is no such limit.
    pub max_angle: Option<f64>,
}

impl LinearTorsionSpringSpec {
    /// Without limits.
    #[must_use]
    pub fn new(rate: f64, free_angle: f64, action: SpringAction) -> Self {
        Self {
            rate,
            free_angle,
            action,
            min_angle: None,
            max_angle: None,
        }
    }
}

/// A spring about a pivot whose torque grows in proportion: torque = k (angle - free angle) where it works, zero where
/// its legs are loose.
///
/// The angle is that of the turning part. Past its limits the line goes on and the state says so.
///
/// # Caution
/// The legs of a wound torsion spring strike when they slip: wear eye protection, keep fingers out of their way.
///
/// # Example
/// ```
/// use yokewright::spring::{LinearTorsionSpring, LinearTorsionSpringSpec, TorsionSpringState, SpringAction};
/// use yokewright::units::DEG;
///
/// let spring = LinearTorsionSpring::new(LinearTorsionSpringSpec {
///     rate: 0.8,
///     free_angle: -30.0 * DEG,
///     action: SpringAction::Above,
///     min_angle: None,
///     max_angle: Some(60.0 * DEG),
/// })?;
/// assert!((spring.response(0.0)?.torque - 0.8 * 30.0 * DEG).abs() < 1e-12);
/// assert_eq!(spring.response(-40.0 * DEG)?.state, TorsionSpringState::Slack);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinearTorsionSpring {
    spec: LinearTorsionSpringSpec,
}

stored_as_spec!(LinearTorsionSpring, LinearTorsionSpringSpec);

impl LinearTorsionSpring {
    /// Checks what is known of the spring.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] if a value is outside the range named in
    /// [`LinearTorsionSpringSpec`]; [`Error::NotAscending`] if the limits leave no angle at which it works.
    pub fn new(spec: LinearTorsionSpringSpec) -> Result<Self> {
        let [least, most] = ANGLE;
        let [softest, stiffest] = TORSION_RATE;
        within(
            "rate of the torsion spring",
            spec.rate,
            softest,
            stiffest,
            "N m/rad",
        )?;
        within(
            "free angle of the torsion spring",
            spec.free_angle,
            least,
            most,
            "rad",
        )?;
        if let Some(angle) = spec.min_angle {
            within(
                "least angle of the torsion spring",
                angle,
                least,
                most,
                "rad",
            )?;
        }
        if let Some(angle) = spec.max_angle {
            within(
                "greatest angle of the torsion spring",
                angle,
                least,
                most,
                "rad",
            )?;
        }
        let spring = Self { spec };
        limits(
            "angles at which the torsion spring works",
            spec.free_angle,
            spec.action,
            spring.angle_range(),
            "rad",
        )?;
        Ok(spring)
    }

    /// What it was made of.
    #[must_use]
    pub fn spec(&self) -> &LinearTorsionSpringSpec {
        &self.spec
    }

    /// Least and greatest angle that it stands, rad; where no limit was given, -100 and 100 rad.
    #[must_use]
    pub fn angle_range(&self) -> [f64; 2] {
        let [least, most] = ANGLE;
        [
            self.spec.min_angle.unwrap_or(least),
            self.spec.max_angle.unwrap_or(most),
        ]
    }

    /// Torque, stiffness and energy at an angle of the turning part (rad, -100 to 100).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn response(&self, angle: f64) -> Result<TorsionResponse> {
        within(
            "angle of the torsion spring",
            angle,
            ANGLE[0],
            ANGLE[1],
            "rad",
        )?;
        let LinearTorsionSpringSpec {
            rate,
            free_angle,
            action,
            ..
        } = self.spec;
        let [least, greatest] = self.angle_range();
        let on_line = straight(rate, free_angle, 0.0, action, angle);
        let state = if angle < least || angle > greatest {
            TorsionSpringState::Overwound
        } else if on_line.is_none() {
            TorsionSpringState::Slack
        } else {
            TorsionSpringState::Working
        };
        let (torque, stiffness, energy) =
            on_line.map_or((0.0, 0.0, 0.0), |on| (on.force, rate, on.energy));
        Ok(TorsionResponse {
            torque,
            stiffness,
            energy,
            state,
        })
    }
}
