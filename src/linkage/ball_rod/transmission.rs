//! The ball-joint rod as what drives another part.

use crate::error::Result;
use crate::linkage::ball_rod::{BallRod, RodEnd, RodReach};
use crate::linkage::{
    Pivot, Transfer, Transfers, Transmission, TransmissionEnd, TransmissionReach,
};

impl Transmission for BallRod {
    fn transfer(&self, angle: f64) -> Result<Transfer> {
        self.transfer(angle)
    }

    fn transfers(&self, angles: &[f64]) -> Transfers {
        self.transfers(angles)
    }

    fn reach(&self) -> TransmissionReach {
        let RodReach { lower, upper } = self.reach();
        let end = |end: RodEnd| TransmissionEnd {
            input: end.input,
            limit: end.limit.to_string(),
        };
        TransmissionReach {
            lower: lower.map(end),
            upper: upper.map(end),
        }
    }

    fn pivots(&self) -> [Option<Pivot>; 2] {
        [self.input, self.output].map(|arm| Some(arm.axis()))
    }
}
