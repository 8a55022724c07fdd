//! Numbers that are drawn and shrunk as whole steps: a search by halves among whole numbers ends on the last one that
//! breaks a claim, and a float prints short.

use nalgebra::UnitQuaternion;
use proptest::prelude::*;
use proptest::strategy::{NewTree, ValueTree};
use proptest::test_runner::TestRunner;

use crate::error::{Result, within};
use crate::linkage::Range;
use crate::units::DEG;

/// A step is a micrometer,
const STEPS_PER_METER: f64 = 1e6;
/// or a hundredth of a degree.
const STEPS_PER_RADIAN: f64 = 100.0 / DEG;

/// Values of a range in whole steps, its two ends as they are. They shrink toward a value inside.
#[derive(Debug, Clone)]
pub(super) struct Steps(Result<Scale>);

#[derive(Debug, Clone, Copy)]
struct Scale {
    range: Range,
    per_unit: f64,
    /// The step toward which values shrink.
    target: i32,
}

/// A value on its way to the simplest that still breaks the claim: its distance from the target, in steps.
#[derive(Debug, Clone)]
pub(super) struct Step {
    scale: Scale,
    off: <std::ops::RangeInclusive<i32> as Strategy>::Tree,
}

impl Steps {
    /// Lengths of a range (m) that lies within limits; they shrink toward the length that far up the range, as a share
    /// of it.
    pub(super) fn lengths(range: Range, limits: [f64; 2], share: f64) -> Self {
        let target = range.lower + share * range.length();
        Self::new(
            "length of the generated links",
            range,
            limits,
            "m",
            STEPS_PER_METER,
            target,
        )
    }

    /// Angles of a range (rad) that lies within limits; they shrink toward zero.
    pub(super) fn angles(quantity: &'static str, range: Range, limits: [f64; 2]) -> Self {
        Self::new(quantity, range, limits, "rad", STEPS_PER_RADIAN, 0.0)
    }

    /// Angles up to a limit (rad) to either side.
    pub(super) fn angles_up_to(limit: f64) -> Self {
        let range = Range {
            lower: -limit,
            upper: limit,
        };
        Self::angles("angle", range, [-limit, limit])
    }

    fn new(
        quantity: &'static str,
        range: Range,
        [min, max]: [f64; 2],
        unit: &'static str,
        per_unit: f64,
        target: f64,
    ) -> Self {
        let scale = || {
            let lower = within(quantity, range.lower, min, max, unit)?;
            let upper = within(quantity, range.upper, lower, max, unit)?;
            let target = (target.clamp(lower, upper) * per_unit).round() as i32;
            Ok(Scale {
                range,
                per_unit,
                target,
            })
        };
        Self(scale())
    }
}

impl Strategy for Steps {
    type Tree = Step;
    type Value = f64;

    fn new_tree(&self, runner: &mut TestRunner) -> NewTree<Self> {
        let scale = self.0.clone().map_err(|error| error.to_string())?;
        let Scale {
            range,
            per_unit,
            target,
        } = scale;
        let lowest = (range.lower * per_unit).floor() as i32 - target;
        let highest = (range.upper * per_unit).ceil() as i32 - target;
        Ok(Step {
            scale,
            off: (lowest..=highest).new_tree(runner)?,
        })
    }
}

impl ValueTree for Step {
    type Value = f64;

    fn current(&self) -> f64 {
        let Scale {
            range,
            per_unit,
            target,
        } = self.scale;
        // The first and the last step may lie beyond the ends.
        (f64::from(target + self.off.current()) / per_unit).clamp(range.lower, range.upper)
    }

    fn simplify(&mut self) -> bool {
        self.off.simplify()
    }

    fn complicate(&mut self) -> bool {
        self.off.complicate()
    }
}

/// Rotations up to an angle (rad) about each of the three axes; they shrink toward none.
pub(super) fn rotations(limit: f64) -> impl Strategy<Value = UnitQuaternion<f64>> + Clone {
    let angles = prop::array::uniform3(Steps::angles_up_to(limit));
    angles.prop_map(|[roll, pitch, yaw]| UnitQuaternion::from_euler_angles(roll, pitch, yaw))
}
