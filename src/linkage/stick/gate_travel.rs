//! How far each axis turns in a gate, at all and while the other is held; and the least of a function over it. For the
//! parts of this crate that look at a whole gate from outside.

use std::f64::consts::PI;

use nalgebra::Vector3;

use crate::error::Result;
use crate::linkage::stick::branch_and_bound::{Look, Plain, least};
use crate::linkage::stick::gate::{Gate, GateShape};
use crate::linkage::stick::gimbal::{Gimbal, GimbalAxis};

/// What rounding may take from an angle at the very edge, as a cosine: a stretch is then a point.
const AT_EDGE: f64 = 1e-9;

/// Ascending stretches of one angle, rad.
type Stretches = Vec<[f64; 2]>;

impl Gimbal {
    /// Least and greatest outer angle, and inner angle, of all positions in the gate, rad.
    ///
    /// # Errors
    /// If the gate is round and the gimbal cannot tilt that far in every direction.
    pub(crate) fn gate_bounds(&self, gate: &Gate) -> Result<[[f64; 2]; 2]> {
        let bounds = self.region(gate)?.bounds;
        Ok(match gate.shape() {
            GateShape::Round { tilt } => [self.round_outer_range(*tilt), bounds[1]],
            GateShape::Square { .. } | GateShape::Polygon { .. } => bounds,
        })
    }

    /// The angles of one axis that the gate allows while the other is held at an angle (rad): ascending stretches, of
    /// which only a polygon with a corner turned in has more than one; none beyond the gate.
    ///
    /// # Errors
    /// As [`Gimbal::gate_bounds`].
    pub(crate) fn gate_stretches(
        &self,
        gate: &Gate,
        free: GimbalAxis,
        held: f64,
    ) -> Result<Stretches> {
        let (turns, stands) = match free {
            GimbalAxis::Outer => (0, 1),
            GimbalAxis::Inner => (1, 0),
        };
        Ok(match gate.shape() {
            GateShape::Round { tilt } => {
                let bounds = self.gate_bounds(gate)?;
                let turning = self.tilting(free, held);
                let stretch = turning
                    .at_least(tilt.cos())
                    .map(|[low, high]| [low.max(bounds[turns][0]), high.min(bounds[turns][1])]);
                stretch
                    .filter(|[low, high]| low <= high)
                    .into_iter()
                    .collect()
            }
            GateShape::Square { outer, inner } => {
                let bounds = [*outer, *inner];
                let [low, high] = bounds[stands];
                let allowed = (low..=high).contains(&held);
                allowed.then_some(bounds[turns]).into_iter().collect()
            }
            GateShape::Polygon { corners } => polygon_stretches(corners, turns, stands, held),
        })
    }

    /// The least value of a function over the gate to within a tolerance (m), and the angles where it is: nowhere is it
    /// lower by more. `look` takes a position and by how much each angle may differ from it; it gives the value there
    /// and a bound that the function does not fall below so near.
    ///
    /// # Errors
    /// As [`Gimbal::gate_bounds`]; [`Error::NotConverged`](crate::Error::NotConverged) if it takes too long.
    pub(crate) fn least_over_gate(
        &self,
        gate: &Gate,
        quantity: &'static str,
        tolerance: f64,
        look: impl Fn([f64; 2], [f64; 2]) -> [f64; 2],
    ) -> Result<(f64, [f64; 2])> {
        let look = Plain(|center, half| {
            let [value, floor] = look(center, half);
            Look {
                value,
                floor,
                lowest: None,
            }
        });
        let found = least(quantity, &self.region(gate)?, tolerance, &look)?;
        Ok((found.value, found.angles))
    }

    /// The cosine of the tilt as one axis turns and the other is held.
    fn tilting(&self, free: GimbalAxis, held: f64) -> Turning {
        let stick = self.stick_direction();
        let (outer, inner) = (self.spec.outer, self.spec.inner);
        match free {
            GimbalAxis::Outer => {
                let leaning = inner.turn(held).rotation * stick;
                Turning::new(&outer.direction(), &leaning, &stick)
            }
            GimbalAxis::Inner => {
                let neutral = outer.turn(-held).rotation * stick;
                Turning::new(&inner.direction(), &stick, &neutral)
            }
        }
    }

    /// Outer angles about neutral at which some inner angle keeps within the tilt: those that bring the inner axis to
    /// the stick's neutral direction by no more than that.
    fn round_outer_range(&self, tilt: f64) -> [f64; 2] {
        let (outer, inner) = (self.spec.outer.direction(), self.spec.inner.direction());
        let stick = self.stick_direction();
        let leaning = Turning::new(&outer, &inner, &stick);
        let lean = stick.angle(&inner);
        let ends = [lean - tilt, lean + tilt];
        let ends = ends
            .into_iter()
            .filter(|angle| (0.0..=PI).contains(angle))
            .filter_map(|angle| leaning.meets(angle.cos()))
            .flatten();
        ends.fold([-PI, PI], |[low, high], angle| {
            if angle < 0.0 {
                [low.max(angle), high]
            } else {
                [low, high.min(angle)]
            }
        })
    }
}

/// What a unit vector, turned about an axis, shows of another: middle + amplitude cos(angle - peak).
struct Turning {
    middle: f64,
    amplitude: f64,
    peak: f64,
}

impl Turning {
    fn new(axis: &Vector3<f64>, turned: &Vector3<f64>, seen: &Vector3<f64>) -> Self {
        let middle = axis.dot(turned) * axis.dot(seen);
        let (cosine, sine) = (turned.dot(seen) - middle, seen.dot(&axis.cross(turned)));
        Self {
            middle,
            amplitude: cosine.hypot(sine),
            peak: sine.atan2(cosine),
        }
    }

    /// The angles about the peak at which it is at least so much.
    fn at_least(&self, value: f64) -> Option<[f64; 2]> {
        let share = (value - self.middle) / self.amplitude;
        if share <= -1.0 {
            return Some([-PI, PI]);
        }
        let reach = (share <= 1.0 + AT_EDGE).then(|| share.min(1.0).acos())?;
        Some([self.peak - reach, self.peak + reach])
    }

    /// The angles within half a turn at which it is so much.
    fn meets(&self, value: f64) -> Option<[f64; 2]> {
        let share = (value - self.middle) / self.amplitude;
        if share.is_nan() || share.abs() > 1.0 {
            return None;
        }
        let reach = share.acos();
        Some([self.peak - reach, self.peak + reach].map(crate::linkage::wrapped))
    }
}

/// The parts of a line through a polygon that lie within, ascending. A line along a side meets it by one of the two
/// ways to count a corner.
fn polygon_stretches(corners: &[[f64; 2]], turns: usize, stands: usize, held: f64) -> Stretches {
    let within = |above: fn(f64, f64) -> bool| {
        let next = corners.iter().cycle().skip(1);
        let crossed = corners
            .iter()
            .zip(next)
            .filter(|(a, b)| above(a[stands], held) != above(b[stands], held));
        let mut places: Vec<f64> = crossed
            .map(|(a, b)| {
                let share = (held - a[stands]) / (b[stands] - a[stands]);
                a[turns] + (b[turns] - a[turns]) * share
            })
            .collect();
        places.sort_by(f64::total_cmp);
        let pairs = places.chunks_exact(2).map(|pair| [pair[0], pair[1]]);
        pairs.collect::<Stretches>()
    };
    let mut all = [within(|at, held| at > held), within(|at, held| at >= held)].concat();
    all.sort_by(|a, b| a[0].total_cmp(&b[0]));
    all.into_iter().fold(Vec::new(), |mut joined, [low, high]| {
        match joined.last_mut() {
            Some([_, end]) if low <= *end => *end = end.max(high),
            _ => joined.push([low, high]),
        }
        joined
    })
}

#[cfg(test)]
#[path = "gate_travel_tests.rs"]
mod tests;
