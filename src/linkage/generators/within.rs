//! Linkages of the size that the caller names.

use std::f64::consts::{PI, TAU};
use std::ops::RangeInclusive;

use nalgebra::{Point3, UnitQuaternion, Vector3};
use proptest::prelude::*;

use super::steps::{Steps, rotations};
use crate::linkage::{
    Arm, BallRod, Branch, CenteredFourBar, FootSide, FourBar, Gimbal, GimbalSpec, LENGTH_RANGE,
    Pedal, PedalPair, Pivot, Range, SliderCrank, UniversalJoint,
};
use crate::units::{DEG, MM};

/// The shortest and the longest link that a generator gives, m: 20 mm to 300 mm unless said otherwise.
///
/// Made from `20.0 * MM..=300.0 * MM` or from a [`Range`]. What no linkage can have (outside 0.1 mm to 3 m, the upper
/// end below the lower, NaN) is told by the test that draws from the generator: it stops before its first case, with
/// the length and its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinkLengths(Range);

impl Default for LinkLengths {
    fn default() -> Self {
        Self::from(20.0 * MM..=300.0 * MM)
    }
}

impl From<RangeInclusive<f64>> for LinkLengths {
    fn from(lengths: RangeInclusive<f64>) -> Self {
        let (lower, upper) = lengths.into_inner();
        Self(Range { lower, upper })
    }
}

impl From<Range> for LinkLengths {
    fn from(lengths: Range) -> Self {
        Self(lengths)
    }
}

impl LinkLengths {
    /// Lengths of a link, which shrink toward the one that far up the range, as a share of it.
    fn link(self, share: f64) -> Steps {
        Steps::lengths(self.0, LENGTH_RANGE, share)
    }

    /// Whether lengths that came out of coordinates lie in the range; a rounding may have put them beside an end.
    fn hold<const N: usize>(self, lengths: [f64; N]) -> bool {
        lengths
            .iter()
            .all(|length| (self.0.lower..=self.0.upper).contains(length))
    }
}

/// Where links shrink to, as a share of the range: all different, and a crank-rocker where they are a four-bar's.
const SHORT: f64 = 0.25;
const MIDDLE: f64 = 0.5;
const LONG: f64 = 0.75;

/// Four-bars with all four links within the lengths (m, whole micrometers), in every class that fits.
///
/// They shrink toward a crank-rocker, link by link and to the micrometer, so that a claim on a ratio of links ends
/// beside its boundary.
pub fn four_bars_within(lengths: impl Into<LinkLengths>) -> impl Strategy<Value = FourBar> + Clone {
    let lengths = lengths.into();
    let links = [LONG, SHORT, LONG, MIDDLE].map(|share| lengths.link(share));
    links.prop_filter_map("closes", |[ground, crank, coupler, rocker]| {
        FourBar::new(ground, crank, coupler, rocker).ok()
    })
}

/// Four-bars as built in, with all four links within the lengths (m), on either branch, centered anywhere in their
/// travel (of which they keep a thousandth at least to either side), the ground line in any direction. They shrink as
/// [`four_bars_within`].
pub fn centered_four_bars_within(
    lengths: impl Into<LinkLengths>,
) -> impl Strategy<Value = CenteredFourBar> + Clone {
    let branch = prop::sample::select(Branch::ALL.to_vec());
    // In thousandths of the stretch, off its middle.
    let center = (0_usize..2, -499..=499_i32);
    (
        four_bars_within(lengths),
        branch,
        center,
        Steps::angles_up_to(PI),
    )
        .prop_filter_map(
            "closes when centered",
            |(bar, branch, (stretch, off), ground_angle)| {
                let travel = bar.crank_travel();
                let stretch = travel.get(stretch % travel.len().max(1))?;
                let center = stretch.lower + (0.5 + f64::from(off) / 1000.0) * stretch.length();
                let centered = CenteredFourBar::new(bar, branch, center).ok()?;
                centered.drawn_at(centered.crank_pivot(), ground_angle).ok()
            },
        )
}

/// Slider-cranks with crank and rod within the lengths (m), the slide passing the pivot by no more than the longest
/// length. They shrink toward a short crank on a long rod whose slide is in line with the pivot.
pub fn slider_cranks_within(
    lengths: impl Into<LinkLengths>,
) -> impl Strategy<Value = SliderCrank> + Clone {
    let lengths = lengths.into();
    let most = lengths.0.upper;
    // In thousandths of the longest length.
    let offset = (-1000..=1000_i32).prop_map(move |share| f64::from(share) / 1000.0 * most);
    (lengths.link(SHORT), lengths.link(LONG), offset)
        .prop_filter_map("reaches the slide", |(crank, rod, offset)| {
            SliderCrank::new(crank, rod, offset).ok()
        })
}

/// Universal joints bent by an angle of the range (rad, within 0 to 89 deg), with any phase. They shrink toward the
/// least bend.
pub fn universal_joints_within(
    bends: RangeInclusive<f64>,
) -> impl Strategy<Value = UniversalJoint> + Clone {
    let (lower, upper) = bends.into_inner();
    let bend = Steps::angles(
        "bend of the generated joints",
        Range { lower, upper },
        [0.0, 89.0 * DEG],
    );
    (bend, Steps::angles_up_to(TAU)).prop_filter_map("a joint", |(bend, phase)| {
        UniversalJoint::new(bend, phase).ok()
    })
}

/// Ball-joint rods with both arms and the rod within the lengths (m), axes and rod in any direction. They shrink toward
/// a pedal that stands on an axis along y and pushes a crank that turns about z.
pub fn ball_rods_within(lengths: impl Into<LinkLengths>) -> impl Strategy<Value = BallRod> + Clone {
    let lengths = lengths.into();
    let links = [MIDDLE, SHORT, LONG].map(|share| lengths.link(share));
    let turns = prop::array::uniform3(rotations(PI));
    (links, turns).prop_filter_map(
        "within the lengths, not locked at neutral",
        move |([arm, crank, rod], turns)| {
            let [input, output, along] = turns;
            let joint = Point3::from(input * Vector3::z() * arm);
            let driven = joint - along * Vector3::x() * rod;
            let pivot = driven - output * Vector3::y() * crank;
            let input = Arm::new(Point3::origin(), input * Vector3::y(), joint).ok()?;
            let output = Arm::new(pivot, output * Vector3::z(), driven).ok()?;
            let rod = BallRod::new(input, output).ok()?;
            lengths
                .hold([input.length(), output.length(), rod.rod_length()])
                .then_some(rod)
        },
    )
}

/// Mirrored pedal pairs with pedal, pad, rod and crank arm within the lengths (m, which must lie within 10 mm to 2 m):
/// standing and hanging, hinges and rods askew by up to 20 deg, some with stops; x forward, y left, z up, the pivot of
/// the crank at the origin. They shrink toward standing pedals whose hinges and rods are square to one another.
pub fn pedal_pairs_within(
    lengths: impl Into<LinkLengths>,
) -> impl Strategy<Value = PedalPair> + Clone {
    /// What a pad may be off its hinge, m.
    const PAD: [f64; 2] = [10.0 * MM, 2.0];
    let lengths = lengths.into();
    let links = [MIDDLE, LONG, LONG, SHORT].map(|share| Steps::lengths(lengths.0, PAD, share));
    let askew = 20.0 * DEG;
    let outward = || {
        let range = Range {
            lower: 0.0,
            upper: askew,
        };
        Steps::angles("angle", range, [0.0, askew])
    };
    let leans = (
        outward(),
        Steps::angles_up_to(askew),
        Steps::angles_up_to(askew),
    );
    let rods = (outward(), Steps::angles_up_to(askew));
    let stop = Steps::angles(
        "stop",
        Range {
            lower: 5.0 * DEG,
            upper: 40.0 * DEG,
        },
        [0.0, PI],
    );
    (links, leans, rods, any::<bool>(), prop::option::of(stop)).prop_filter_map(
        "within the lengths",
        move |([arm, pad, rod, crank], (splay, lean, toe), (spread, rise), hanging, stop)| {
            let up = if hanging { -1.0 } else { 1.0 };
            // Hinge, rod and pad lie outside the crank's joint, so that the left pedal is on the left.
            let hinge = UnitQuaternion::from_euler_angles(up * splay, lean, toe);
            let along = UnitQuaternion::from_euler_angles(0.0, rise, spread);
            let tip = Point3::from(Vector3::y() * crank);
            let joint = tip + along * Vector3::x() * rod;
            let foot = joint - hinge * Vector3::z() * (up * arm);
            let on_hinge = Arm::new(foot, hinge * Vector3::y(), joint).ok()?;
            let pedal = Pedal::new(
                on_hinge,
                foot + hinge * Vector3::z() * (up * pad),
                Vector3::x(),
            )
            .ok()?;
            let pedal = match stop {
                Some(stop) => pedal.with_stops(-stop, stop).ok()?,
                None => pedal,
            };
            let on_crank = Arm::new(Point3::origin(), Vector3::z(), tip).ok()?;
            let pair = PedalPair::mirrored(pedal, on_crank).ok()?;
            let rod = pair.rod(FootSide::Left).rod_length();
            let links = [
                on_hinge.length(),
                pedal.pad_radius(),
                rod,
                on_crank.length(),
            ];
            lengths.hold(links).then_some(pair)
        },
    )
}

/// Gimbals with every straight piece of the stick within the lengths (m): axes that cross or pass one another by such a
/// length too, 15 to 165 deg apart, a stick of one to three pieces that bends by up to 60 deg, stick and grip no
/// thicker than the shortest length, all of it turned anyhow. They shrink toward a straight stick upright on two square
/// axes that cross.
pub fn gimbals_within(lengths: impl Into<LinkLengths>) -> impl Strategy<Value = Gimbal> + Clone {
    let lengths = lengths.into();
    let apart = prop::option::of(lengths.link(0.0));
    let axes = (
        apart,
        Steps::angles_up_to(75.0 * DEG),
        Steps::angles_up_to(PI),
    );
    let pieces = prop::collection::vec((lengths.link(MIDDLE), rotations(30.0 * DEG)), 1..=3);
    // In thousandths of the shortest length.
    let thickness = lengths.0.lower.min(0.5) / 1000.0;
    let radius = || (0..=500_i32).prop_map(move |share| f64::from(share) * thickness);
    (axes, pieces, radius(), radius(), rotations(PI)).prop_filter_map(
        "within the lengths",
        move |((apart, yaw, pitch), pieces, stick_radius, grip_radius, turn)| {
            let across = UnitQuaternion::from_euler_angles(0.0, pitch, yaw);
            let outer = Vector3::y();
            let inner = across * Vector3::x();
            let pivot = outer.cross(&inner).normalize() * apart.unwrap_or(0.0);
            let mut stick = vec![Point3::from(turn * pivot)];
            for (length, bend) in pieces {
                let from = stick.last()?;
                stick.push(from + turn * (bend * Vector3::z()) * length);
            }
            let mut pieces = stick
                .windows(2)
                .map(|ends| nalgebra::distance(&ends[0], &ends[1]));
            if !pieces.all(|length| lengths.hold([length])) {
                return None;
            }
            Gimbal::new(GimbalSpec {
                outer: Pivot::new(Point3::origin(), turn * outer).ok()?,
                inner: Pivot::new(stick[0], turn * inner).ok()?,
                stick,
                stick_radius,
                grip_radius,
            })
            .ok()
        },
    )
}

/// `any::<FourBar>()` draws from 20 mm to 300 mm, `any_with::<FourBar>((5.0 * MM..=40.0 * MM).into())` from other
/// lengths.
macro_rules! arbitrary {
    ($($linkage:ty => $strategy:ident),* $(,)?) => {$(
        impl Arbitrary for $linkage {
            type Parameters = LinkLengths;
            type Strategy = BoxedStrategy<Self>;

            fn arbitrary_with(lengths: LinkLengths) -> Self::Strategy {
                $strategy(lengths).boxed()
            }
        }
    )*};
}

arbitrary! {
    FourBar => four_bars_within,
    CenteredFourBar => centered_four_bars_within,
    SliderCrank => slider_cranks_within,
    BallRod => ball_rods_within,
    PedalPair => pedal_pairs_within,
    Gimbal => gimbals_within,
}

impl Arbitrary for UniversalJoint {
    type Parameters = ();
    type Strategy = BoxedStrategy<Self>;

    /// Bent by up to 45 deg, as far as real ones go.
    fn arbitrary_with((): ()) -> Self::Strategy {
        universal_joints_within(0.0..=45.0 * DEG).boxed()
    }
}
