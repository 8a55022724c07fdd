//! Coulomb friction in bearings and joints.

use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, within};
use crate::feel::body::{Anchor, Body, Scene};
use crate::feel::elements::line::apart;
use crate::stored::stored_by_its_constructor;

/// Where friction acts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(super) enum Rubbing {
    /// In the bearing of a body.
    Bearing(Body),
    /// In the joints at both ends of a rod, spring or strut between two anchors.
    Rod(Anchor, Anchor),
}

/// Coulomb friction: a torque that opposes motion, whatever its speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Friction {
    pub(super) place: Rubbing,
    torque: f64,
}

stored_by_its_constructor!(Friction {
    place: Rubbing,
    torque: f64
} => Self::at(place, torque));

impl Friction {
    /// Friction torque (N m, 0 to 1e4) in the bearing of a body; in a gimbal the lever's is that of the inner pivot.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn in_bearing(body: Body, torque: f64) -> Result<Self> {
        Self::at(Rubbing::Bearing(body), torque)
    }

    /// Friction torque (N m, 0 to 1e4) in each of the two ball joints (or hooks, or eyes) of a rod (or spring) between
    /// two anchors.
    ///
    /// What slides is the turning of the rod against each body across the line of the rod; about that line the rod is
    /// free.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn in_joints(a: Anchor, b: Anchor, torque: f64) -> Result<Self> {
        Self::at(Rubbing::Rod(a, b), torque)
    }

    fn at(place: Rubbing, torque: f64) -> Result<Self> {
        let torque = within("friction torque", torque, 0.0, 1e4, "N m")?;
        Ok(Self { place, torque })
    }

    fn place(&self) -> Rubbing {
        self.place
    }

    /// Friction torque in the bearing or in each joint, N m.
    #[must_use]
    pub fn torque(&self) -> f64 {
        self.torque
    }

    /// The body whose bearing it is; `None` for the joints of a rod.
    #[must_use]
    pub fn body(&self) -> Option<Body> {
        match self.place {
            Rubbing::Bearing(body) => Some(body),
            Rubbing::Rod(..) => None,
        }
    }

    /// The ends of the rod; `None` for a bearing.
    #[must_use]
    pub fn anchors(&self) -> Option<[Anchor; 2]> {
        match self.place {
            Rubbing::Bearing(_) => None,
            Rubbing::Rod(a, b) => Some([a, b]),
        }
    }

    /// Torque against one angle while only that one moves.
    pub(super) fn torque_on<const N: usize>(&self, scene: &Scene<N>, axis: usize) -> Result<f64> {
        match self.place {
            Rubbing::Bearing(body) => {
                let turned = scene.of(body).turned().filter(|turned| turned.axis == axis);
                Ok(turned.map_or(0.0, |turned| self.torque * turned.transfer.ratio.abs()))
            }
            Rubbing::Rod(a, b) => {
                let (from, to) = (scene.point(&a), scene.point(&b));
                let way = to.at - from.at;
                let length = apart(way.norm())?;
                let along = way / length;
                // How fast the rod turns across its own line.
                let rod = along.cross(&(to.first[axis] - from.first[axis])) / length;
                let slips = [a, b].map(|end| {
                    let slip = scene.of(end.body()).spin[axis] - rod;
                    (slip - along * slip.dot(&along)).norm()
                });
                Ok(self.torque * (slips[0] + slips[1]))
            }
        }
    }
}

/// Coulomb friction torque of a plain bearing, N m: coefficient (0 to 2) times radius (m, 0 to 0.5) times load (N, 0 to
/// 1e6).
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`].
///
/// # Example
/// ```
/// let torque = yokewright::feel::friction_torque(0.15, 0.004, 60.0)?;
/// assert!((torque - 0.036).abs() < 1e-15);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// Coulomb's law for a bolt in a bearing with play (textbook).
pub fn friction_torque(coefficient: f64, radius: f64, load: f64) -> Result<f64> {
    within(
        "coefficient of friction",
        coefficient,
        0.0,
        2.0,
        "(no unit)",
    )?;
    within("radius of a bearing", radius, 0.0, 0.5, "m")?;
    within("load of a bearing", load, 0.0, 1e6, "N")?;
    Ok(coefficient * radius * load)
}
