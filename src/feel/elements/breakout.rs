//! The preloaded stop in the middle, which gives a breakout torque.

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, within};
use crate::feel::body::Body;
use crate::stored::stored_by_its_constructor;

/// A spring that holds a body against a stop in the middle, as a preloaded roller in a notch or a pair of preloaded
/// plungers do.
///
/// Torque on the body = -+(T0 + k |a|), against its angle a from the center: it jumps at the center, where the energy
/// T0 |a| + k a^2 / 2 has a kink.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Breakout {
    pub(super) body: Body,
    pub(super) preload: f64,
    pub(super) rate: f64,
    pub(super) center: f64,
}

stored_by_its_constructor!(Breakout {
    body: Body,
    preload: f64,
    rate: f64,
    center: f64
} => Self::new(body, preload, rate, center));

impl Breakout {
    /// On `body`, with a torque of `preload` (N m, 0 to 1e5) on leaving `center` (rad, -pi to pi) that grows by `rate`
    /// (N m/rad, 0 to 1e5).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn new(body: Body, preload: f64, rate: f64, center: f64) -> Result<Self> {
        use std::f64::consts::PI;
        Ok(Self {
            body,
            preload: within("preload of a breakout", preload, 0.0, 1e5, "N m")?,
            rate: within("rate of a breakout", rate, 0.0, 1e5, "N m/rad")?,
            center: within("center of a breakout", center, -PI, PI, "rad")?,
        })
    }

    /// The body.
    #[must_use]
    pub fn body(&self) -> Body {
        self.body
    }

    /// Torque on leaving the center, N m.
    #[must_use]
    pub fn preload(&self) -> f64 {
        self.preload
    }

    /// Growth of the torque, N m/rad.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.rate
    }

    /// Angle of the body at which the torque jumps, rad.
    #[must_use]
    pub fn center(&self) -> f64 {
        self.center
    }
}
