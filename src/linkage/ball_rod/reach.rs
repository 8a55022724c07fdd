//! How far a ball-joint rod goes: the swivel of its joints, what ends the travel first, and the range of the output.

use std::f64::consts::{FRAC_PI_2, TAU};

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Result, choices, within};
use crate::linkage::ball_rod::batch::input;
use crate::linkage::ball_rod::kernel::{Input, Kernel, Loop};
use crate::linkage::{Arm, Assembly, BallRod, Range, Stud, Transfer};
use crate::numeric::direction::turning;
use crate::numeric::root::between;
use crate::numeric::simd::dispatch::{self, dispatch};
use crate::numeric::simd::lanes::dot;

/// What ends the travel of a ball-joint rod.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RodLimit {
    /// The rod points at the output pivot.
    Lock,
    /// The ball joint on the input arm is at its rated swivel.
    InputSwivel,
    /// The ball joint on the output arm is at its rated swivel.
    OutputSwivel,
}

choices!(RodLimit, "limit of a rod", {
    Lock => "lock",
    InputSwivel => "input swivel",
    OutputSwivel => "output swivel",
});

/// One end of the travel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct RodEnd {
    /// Input angle there, rad.
    pub input: f64,
    /// Output angle there, rad.
    pub output: f64,
    /// What is reached there first.
    pub limit: RodLimit,
}

/// Both ends of the travel; `None` where the input turns all the way round without reaching anything.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct RodReach {
    /// The end below neutral.
    pub lower: Option<RodEnd>,
    /// The end above neutral.
    pub upper: Option<RodEnd>,
}

impl BallRod {
    /// Swivel angles, rad, of the ball joints on the input and the output arm at an input angle (rad); `None` for an
    /// arm without a stud.
    ///
    /// The angle by which the rod leaves the plane normal to the stud, positive towards the stud's direction as seen
    /// along the rod from the joint: sin(swivel) = stud . rod, the misalignment angle of the rod end.
    ///
    /// # Errors
    /// As [`BallRod::output_angle`].
    pub fn swivels(&self, angle: f64) -> Result<[Option<f64>; 2]> {
        let output = self.output_angle(angle, Assembly::Neutral)?;
        Ok(self.swivels_between(angle, output))
    }

    /// Derivatives of stud . rod for both joints by the input angle, m: zero where the swivel has an extreme.
    pub(in crate::linkage) fn swivel_slopes(&self, angle: f64) -> Result<[Option<f64>; 2]> {
        let at = self.transfer(angle)?;
        Ok(self.swivel_slopes_at(angle, &at))
    }

    /// The same where the output is known.
    pub(in crate::linkage) fn swivel_slopes_at(
        &self,
        angle: f64,
        at: &Transfer,
    ) -> [Option<f64>; 2] {
        let [a, b] = self.joints_between(angle, at.angle);
        let rod = a - b;
        let speed = |arm: &Arm, joint: Point3<f64>| arm.direction().cross(&(joint - arm.foot()));
        let change = speed(&self.input, a) - speed(&self.output, b) * at.ratio;
        let slope = |arm: &Arm, angle: f64, ratio: f64, sign: f64| {
            let stud = arm.turned(&arm.stud()?.direction(), angle);
            Some(sign * (arm.direction().cross(&stud).dot(&rod) * ratio + stud.dot(&change)))
        };
        [
            slope(&self.input, angle, 1.0, -1.0),
            slope(&self.output, at.angle, at.ratio, 1.0),
        ]
    }

    pub(in crate::linkage) fn swivels_between(&self, input: f64, output: f64) -> [Option<f64>; 2] {
        let rod = self.rod_between(input, output);
        // Seen from either joint the rod leads to the other one.
        [(&self.input, input, -rod), (&self.output, output, rod)].map(|(arm, angle, rod)| {
            let stud = arm.turned(&arm.stud()?.direction(), angle);
            Some(stud.dot(&rod).atan2(stud.cross(&rod).norm()))
        })
    }

    fn studs(&self) -> [Option<Stud>; 2] {
        [self.input.stud(), self.output.stud()]
    }

    pub(in crate::linkage) fn check_swivels_at_start(&self) -> Result<()> {
        let output = self.output_angle(self.start(), Assembly::Neutral)?;
        let names = [
            "swivel at neutral of the ball joint on the input arm",
            "swivel at neutral of the ball joint on the output arm",
        ];
        let swivels = self.swivels_between(self.start(), output).into_iter();
        for ((name, stud), swivel) in names.into_iter().zip(self.studs()).zip(swivels) {
            if let (Some(limit), Some(swivel)) = (stud.and_then(|stud| stud.limit()), swivel) {
                within(name, swivel, -limit, limit, "rad")?;
            }
        }
        Ok(())
    }

    /// Where the travel ends below and above neutral, and what ends it: a lock or the swivel of a joint, whichever
    /// comes first.
    ///
    /// The swivel is looked at in 512 places from neutral to the lock (or a full turn), closer together towards the
    /// lock, where the output moves fastest, and the crossing is then found to the last bits; a swivel that turns back
    /// between two places is followed to where it does, so that no excess comes and goes between them.
    #[must_use]
    pub fn reach(&self) -> RodReach {
        let [lower, upper] = self
            .travel()
            .map_or([None; 2], |travel| [Some(travel.lower), Some(travel.upper)]);
        RodReach {
            lower: self.end(lower, (self.start() - TAU).max(-TAU)),
            upper: self.end(upper, (self.start() + TAU).min(TAU)),
        }
    }

    fn end(&self, lock: Option<f64>, turn: f64) -> Option<RodEnd> {
        const PLACES: u32 = 512;
        let last = lock.unwrap_or(turn);
        // Towards the lock the output goes with the root of what is left, so with this it goes evenly.
        let start = self.start();
        let place = |share: f64| start + (last - start) * (FRAC_PI_2 * share).sin();
        let output = |angle: f64| self.output_angle(angle, Assembly::Neutral);
        // How much each joint is beyond its limit.
        let limits = self.studs().map(|stud| stud?.limit());
        let excess = |share: f64| -> [f64; 2] {
            let angle = place(share);
            let swivels =
                output(angle).map_or([None; 2], |output| self.swivels_between(angle, output));
            std::array::from_fn(|joint| match (swivels[joint], limits[joint]) {
                (Some(swivel), Some(limit)) => swivel.abs() - limit,
                _ => f64::NEG_INFINITY,
            })
        };
        // How each swivel grows towards the end, but for a positive factor.
        let growth = |share: f64| -> [f64; 2] {
            let angle = place(share);
            let Ok(at) = self.transfer(angle) else {
                return [0.0; 2];
            };
            let swivels = self.swivels_between(angle, at.angle);
            let slopes = self.swivel_slopes_at(angle, &at);
            std::array::from_fn(|joint| match (swivels[joint], slopes[joint]) {
                (Some(swivel), Some(slope)) => slope * swivel.signum() * (last - start).signum(),
                _ => 0.0,
            })
        };
        let steps = if limits == [None; 2] { 0 } else { PLACES };
        let angles = (1..=steps).map(|step| place(f64::from(step) / f64::from(PLACES)));
        let within = Quick::new(self).within(self, &angles.collect::<Vec<_>>());
        // That at the place before, if it was near a limit.
        let mut before = None;
        for (step, within) in (1..=steps).zip(within) {
            let [from, to] = [step - 1, step].map(|step| f64::from(step) / f64::from(PLACES));
            let near = !within;
            if !near && before.is_none() {
                continue;
            }
            let [rising, falling] = [before.unwrap_or_else(|| growth(from)), growth(to)];
            before = near.then_some(falling);
            let beyond = excess(to);
            let crossing = |joint: usize| {
                let over = |share: f64| excess(share)[joint];
                if beyond[joint] > 0.0 {
                    return Some(between(over, from, to));
                }
                if !(rising[joint] > 0.0 && falling[joint] < 0.0) {
                    return None;
                }
                let top = between(|share| growth(share)[joint], from, to);
                (over(top) > 0.0).then(|| between(over, from, top))
            };
            let first = [(0, RodLimit::InputSwivel), (1, RodLimit::OutputSwivel)]
                .into_iter()
                .filter_map(|(joint, limit)| Some((crossing(joint)?, limit)))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            if let Some((share, limit)) = first {
                let input = place(share);
                return output(input).ok().map(|output| RodEnd {
                    input,
                    output,
                    limit,
                });
            }
        }
        let input = lock?;
        let limit = RodLimit::Lock;
        output(input).ok().map(|output| RodEnd {
            input,
            output,
            limit,
        })
    }

    /// All output angles, rad, that the input reaches between its locks; `None` if the output turns all the way round.
    ///
    /// Its ends are at a lock, or where the rod points at the axis of the input pivot: the output then turns back.
    #[must_use]
    pub fn output_travel(&self) -> Option<Range> {
        let at = |input: f64| self.output_angle(input, Assembly::Neutral).ok();
        let [from, to] = match self.travel() {
            Some(Range {
                lower: from,
                upper: to,
            }) => [from, to],
            // Winding round shows after one turn.
            None if (at(TAU)? - at(0.0)?).abs() > 1.0 => return None,
            None => [-TAU, TAU],
        };
        let back = Kernel::new(&self.output, &self.input, self.rod);
        // Where two of its zeros meet, rounding may part them from the real ones; the extreme between them stays.
        let square = back.discriminant();
        let places = [square.root_places(), square.derivative().root_places()];
        let inputs = places.into_iter().flatten().flatten().flat_map(|output| {
            // Both inputs meet there but for the root of a rounding.
            let at = back.at::<false>(Input::new(output));
            let input = Loop { square: 0.0, ..at }.half(1.0).angle();
            [input - TAU, input, input + TAU]
        });
        // A place that is none of these does no harm: the output reaches it all the same.
        let inside = inputs.filter(|input| (from..=to).contains(input));
        Some(Range::over(
            [from, self.start(), to]
                .into_iter()
                .chain(inside)
                .filter_map(at),
        ))
    }
}

/// A vector that turns about an axis: what stands still, goes with the cosine, with the sine.
type Turning = [[f64; 3]; 3];

/// The joints of a rod and their studs as they turn, to tell without any angle whether the swivels are within their
/// limits.
struct Quick {
    /// Foot, joint and stud of the input and the output arm.
    arms: [[Turning; 2]; 2],
    /// The most that stud . rod may be for either joint, m: a little less than at the limit.
    most: [f64; 2],
}

impl Quick {
    /// What of the rod's length stud . rod may be off by roundings, with room to spare.
    const SPARE: f64 = 1e-6;
    /// Nearer to a limit than this, rad, it takes a closer look: some times what a swivel may gain and lose again
    /// between two places, half of which an arm turns by a hundredth.
    const NEAR: f64 = 5e-3;

    fn new(rod: &BallRod) -> Self {
        let arm = |arm: &Arm| {
            let axis = arm.direction();
            let stud = arm.stud().map_or(Vector3::zeros(), |stud| stud.direction());
            let [still, cos, sin] = turning(arm.radius(), &axis);
            let joint = [arm.foot().coords + still, cos, sin];
            [joint, turning(stud, &axis)].map(|parts| parts.map(|v| [v.x, v.y, v.z]))
        };
        let most = |stud: Option<Stud>| match stud.and_then(|stud| stud.limit()) {
            Some(limit) => rod.rod * ((limit - Self::NEAR).sin() - Self::SPARE),
            None => f64::INFINITY,
        };
        Self {
            arms: [arm(&rod.input), arm(&rod.output)],
            most: rod.studs().map(most),
        }
    }

    /// Whether both swivels are surely within their limits at each input angle; if not, it takes a closer look.
    fn within(&self, rod: &BallRod, angles: &[f64]) -> Vec<bool> {
        let mut within = vec![false; angles.len()];
        dispatch(Looking {
            quick: self,
            rod,
            angles,
            within: &mut within,
        });
        within
    }
}

struct Looking<'a> {
    quick: &'a Quick,
    rod: &'a BallRod,
    angles: &'a [f64],
    within: &'a mut [bool],
}

impl dispatch::Loop for Looking<'_> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        let [[a, one], [b, other]] = &self.quick.arms;
        let [most, most_other] = self.quick.most;
        let (kernel, side) = (self.rod.kernel, self.rod.side);
        for (angle, within) in self.angles.iter().zip(self.within) {
            let input = input::<FMA>(*angle);
            let at = kernel.at::<FMA>(input);
            let half = at.half(side);
            let (n, d) = (half.num, half.den);
            let scale = 1.0 / (n * n + d * d);
            let [sin, versine] = input.parts();
            let from = [1.0 - versine, sin];
            let to = [(d - n) * (d + n) * scale, 2.0 * n * d * scale];
            let (a, b) = (turned(a, from), turned(b, to));
            let rod = [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
            let (one, other) = (dot(turned(one, from), rod), dot(turned(other, to), rod));
            *within = kernel.closes(&at) & (one.abs() < most) & (other.abs() < most_other);
        }
    }
}

#[inline(always)]
fn turned([still, by_cos, by_sin]: &Turning, [cos, sin]: [f64; 2]) -> [f64; 3] {
    [
        still[0] + by_cos[0] * cos + by_sin[0] * sin,
        still[1] + by_cos[1] * cos + by_sin[1] * sin,
        still[2] + by_cos[2] * cos + by_sin[2] * sin,
    ]
}
