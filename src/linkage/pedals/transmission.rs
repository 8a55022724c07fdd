//! One member of a pedal pair as what drives another.

use serde::{Deserialize, Serialize};

use crate::error::Result;
use crate::linkage::pedals::{
    PedalEnd, PedalLimit, PedalLimitKind, PedalMember, PedalPair, PedalReach,
};
use crate::linkage::{
    Pivot, Transfer, Transfers, Transmission, TransmissionEnd, TransmissionReach,
};

/// What one member of a pedal pair gives for the angle of another: pedal to crank, crank to pedal, pedal to pedal.
///
/// All angles are zero where the pair is neutral. The pair goes as far as all three members go, so that a lock of the
/// other pedal's rod counts too, whichever two are asked about.
///
/// # Example
/// ```
/// use nalgebra::{Point3, Vector3};
/// use yokewright::linkage::{Arm, PedalMember, Pedal, PedalPair, Transmission};
/// use yokewright::units::{DEG, MM};
///
/// let at = |x: f64, y: f64, z: f64| Point3::new(x * MM, y * MM, z * MM);
/// let hinge = Arm::new(at(0.0, 120.0, 0.0), Vector3::y(), at(0.0, 70.0, 90.0))?;
/// let left = Pedal::new(hinge, at(-10.0, 120.0, 180.0), Vector3::x())?.with_stops(-15.0 * DEG, 15.0 * DEG)?;
/// let crank = Arm::new(at(-150.0, 0.0, 90.0), Vector3::z(), at(-150.0, 45.0, 90.0))?;
/// let pair = PedalPair::mirrored(left, crank)?;
///
/// let to_crank = pair.transmission(PedalMember::Left, PedalMember::Crank);
/// assert_eq!(to_crank.transfer(0.0)?.angle, 0.0);
/// assert_eq!(to_crank.transfer(0.1)?, pair.pose(PedalMember::Left, 0.1)?.crank);
/// // The right pedal comes back a little faster than the left one goes.
/// assert_eq!(to_crank.reach().upper.map(|end| end.limit).as_deref(), Some("right stop"));
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PedalTransmission {
    pair: PedalPair,
    given: PedalMember,
    driven: PedalMember,
}

impl PedalPair {
    /// The angle of one member as it follows a given one.
    #[must_use]
    pub fn transmission(&self, given: PedalMember, driven: PedalMember) -> PedalTransmission {
        PedalTransmission {
            pair: *self,
            given,
            driven,
        }
    }

    /// Where a member turns.
    fn pivot(&self, member: PedalMember) -> Pivot {
        match member {
            PedalMember::Left => self.left.pedal.arm.axis(),
            PedalMember::Right => self.right.pedal.arm.axis(),
            PedalMember::Crank => self.crank[0].axis(),
        }
    }
}

impl PedalTransmission {
    /// The pair.
    #[must_use]
    pub fn pair(&self) -> PedalPair {
        self.pair
    }

    /// The member that drives.
    #[must_use]
    pub fn given(&self) -> PedalMember {
        self.given
    }

    /// The stop of the given member, if that is the end: as it was set, since the way over the crank leaves roundings.
    fn own_stop(&self, end: &PedalEnd) -> Option<f64> {
        let stops = match self.given {
            PedalMember::Left => self.pair.left.pedal.stops,
            PedalMember::Right => self.pair.right.pedal.stops,
            PedalMember::Crank => self.pair.crank_stops,
        };
        let PedalLimit { kind, member } = end.limit;
        let own = kind == PedalLimitKind::Stop && member == self.given;
        let stops = stops.filter(|_| own)?;
        Some(if end.of(self.given) < 0.0 {
            stops.lower
        } else {
            stops.upper
        })
    }

    /// The member that is driven.
    #[must_use]
    pub fn driven(&self) -> PedalMember {
        self.driven
    }
}

impl Transmission for PedalTransmission {
    fn transfer(&self, angle: f64) -> Result<Transfer> {
        Ok(self.pair.pose(self.given, angle)?.of(self.driven))
    }

    fn transfers(&self, angles: &[f64]) -> Transfers {
        self.pair.poses(self.given, angles).into_of(self.driven)
    }

    fn reach(&self) -> TransmissionReach {
        let PedalReach { lower, upper } = self.pair.reach();
        let end = |end: PedalEnd| TransmissionEnd {
            input: self.own_stop(&end).unwrap_or_else(|| end.of(self.given)),
            limit: end.limit.to_string(),
        };
        // The ends go by the crank; a pedal may turn the other way.
        let neutral = self.pair.pose(self.given, 0.0);
        let opposite = neutral.is_ok_and(|pose| pose.crank.ratio < 0.0);
        let [lower, upper] = if opposite {
            [upper, lower]
        } else {
            [lower, upper]
        };
        TransmissionReach {
            lower: lower.map(end),
            upper: upper.map(end),
        }
    }

    fn pivots(&self) -> [Option<Pivot>; 2] {
        [self.given, self.driven].map(|member| Some(self.pair.pivot(member)))
    }
}
