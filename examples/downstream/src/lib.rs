//! A small tool on top of yokewright: it lays out the rod of a pedal, sweeps layouts, and keeps a project in a JSON
//! file.

use serde::{Deserialize, Serialize};
use yokewright::Result;
use yokewright::linkage::{Arm, BallRod, Pedal, PedalPair};
use yokewright::nalgebra::{Point3, Vector3};
use yokewright::units::{DEG, MM};

/// What the tool's project file holds: words of its own beside a design of the crate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Project {
    /// What the builder calls it.
    pub title: String,
    /// The pedals.
    pub pedals: PedalPair,
}

/// What a layout leaves open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    /// Height of the rod's joint above the hinge, m.
    pub height: f64,
    /// Arm of the crank, m.
    pub crank: f64,
    /// How far the crank's pivot lies behind the hinges, m.
    pub back: f64,
}

impl Layout {
    /// Hinge of the left pedal; x forward, y left, z up.
    fn hinge(&self) -> Result<Arm> {
        let pivot = Point3::new(0.0, 120.0 * MM, 0.0);
        Arm::new(
            pivot,
            Vector3::y(),
            Point3::new(0.0, self.crank, self.height),
        )
    }

    fn crank_arm(&self) -> Result<Arm> {
        let pivot = Point3::new(-self.back, 0.0, 85.0 * MM);
        Arm::new(pivot, Vector3::z(), pivot + Vector3::y() * self.crank)
    }

    /// Both pedals with their rods, stopped at 15 deg either way.
    pub fn pedals(&self) -> Result<PedalPair> {
        let pad = Point3::new(-10.0 * MM, 120.0 * MM, 180.0 * MM);
        let left =
            Pedal::new(self.hinge()?, pad, Vector3::x())?.with_stops(-15.0 * DEG, 15.0 * DEG)?;
        PedalPair::mirrored(left, self.crank_arm()?)
    }

    /// By how much (rad) the crank turns less one way than the other when the left pedal goes 15 deg either way; an
    /// error where it cannot.
    pub fn lopsidedness(&self) -> Result<f64> {
        let rod = BallRod::new(self.hinge()?, self.crank_arm()?)?;
        let ends = [rod.transfer(-15.0 * DEG)?, rod.transfer(15.0 * DEG)?];
        Ok((ends[0].angle + ends[1].angle).abs())
    }
}

/// The layout of a grid of `steps` by `steps` by `steps` whose crank turns most evenly, and how many of the grid could
/// be built.
#[must_use]
pub fn most_even(steps: u32) -> (Option<Layout>, usize) {
    let spread = |from: f64, to: f64| {
        (0..steps)
            .map(move |step| from + (to - from) * f64::from(step) / f64::from(steps.max(2) - 1))
    };
    let mut built = 0;
    let mut best: Option<(f64, Layout)> = None;
    for height in spread(60.0 * MM, 120.0 * MM) {
        for crank in spread(30.0 * MM, 60.0 * MM) {
            for back in spread(100.0 * MM, 200.0 * MM) {
                let layout = Layout {
                    height,
                    crank,
                    back,
                };
                let Ok(lopsided) = layout.lopsidedness() else {
                    continue;
                };
                built += 1;
                if best.is_none_or(|(least, _)| lopsided < least) {
                    best = Some((lopsided, layout));
                }
            }
        }
    }
    (best.map(|(_, layout)| layout), built)
}
