//! Four-bars and slider-cranks.

use proptest::prelude::*;

use crate::linkage::{Branch, FourBar, FourBarClass, Range, SliderCrank};

/// A four-bar at a crank angle at which it closes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanarPosture {
    /// The linkage.
    pub linkage: FourBar,
    /// How it is put together.
    pub branch: Branch,
    /// Crank angle, rad.
    pub crank_angle: f64,
}

/// Lengths relative to the others, from a thousandth of them.
fn shares() -> impl Strategy<Value = f64> + Clone {
    (-3.0..=0.0_f64).prop_map(|exponent| 10_f64.powf(exponent))
}

/// Four-bars of every class, the longest link from 30 mm to 3 m, the links in any proportion up to a thousand and
/// beyond, none shorter than 0.1 mm. For links of a size that you name see
/// [`four_bars_within`](super::four_bars_within).
pub fn four_bars() -> impl Strategy<Value = FourBar> + Clone {
    use FourBarClass::{
        ChangePoint, CrankRocker, DoubleCrank, DoubleRocker, RockerCrank, TripleRocker,
    };
    let classes = [
        CrankRocker,
        DoubleCrank,
        DoubleRocker,
        RockerCrank,
        TripleRocker,
        ChangePoint,
    ];
    prop::sample::select(classes.to_vec()).prop_flat_map(four_bars_of)
}

/// Four-bars of one class. A rounding may make a change point of one that lies next to it.
pub fn four_bars_of(class: FourBarClass) -> impl Strategy<Value = FourBar> + Clone {
    let scale = (-2.0..=0.0_f64).prop_map(|exponent| 10_f64.powf(exponent));
    // Other links are at least as long as the shortest; equal ones are drawn now and then.
    let lengths = (
        shares(),
        shares(),
        prop_oneof![4 => shares(), 1 => Just(1.0)],
    );
    let places = (0_usize..4, 0_usize..6);
    (scale, lengths, 0.0..=1.0_f64, places).prop_filter_map(
        "a four-bar of this class",
        move |(scale, lengths, share, places)| {
            let (p, q, relative) = lengths;
            let shortest = relative * p.min(q);
            let limit = p + q - shortest;
            let [least, most] = match class {
                FourBarClass::ChangePoint => [limit, limit],
                FourBarClass::TripleRocker => [limit, p + q + shortest],
                _ => [p.max(q), limit],
            };
            let longest = least + share * (most - least);
            let place = match class {
                FourBarClass::DoubleCrank => 0,
                FourBarClass::CrankRocker => 1,
                FourBarClass::DoubleRocker => 2,
                FourBarClass::RockerCrank => 3,
                FourBarClass::TripleRocker | FourBarClass::ChangePoint => places.0,
            };
            let mut others = vec![p, q, longest];
            let mut all = vec![others.remove(places.1 % 3), others.remove(places.1 / 3)];
            all.append(&mut others);
            all.insert(place, shortest);
            // Longest of all: 3 m.
            let unit = scale * 3.0 / longest;
            let [ground, crank, coupler, rocker] =
                [0, 1, 2, 3].map(|i| (all[i] * unit).clamp(1e-4, 3.0));
            let bar = FourBar::new(ground, crank, coupler, rocker).ok()?;
            (bar.grashof().class == class).then_some(bar)
        },
    )
}

fn branches() -> impl Strategy<Value = Branch> + Clone {
    prop::sample::select(Branch::ALL.to_vec())
}

/// Four-bars of every class at a crank angle at which they close, anywhere in their travel.
pub fn placed_four_bars() -> impl Strategy<Value = PlanarPosture> + Clone {
    let anywhere = (four_bars(), branches(), 0_usize..2, 0.0..=1.0_f64);
    anywhere.prop_filter_map("closes", |(linkage, branch, stretch, share)| {
        let travel = linkage.crank_travel();
        let Range {
            lower: from,
            upper: to,
        } = travel[stretch % travel.len()];
        let crank_angle = from + share * (to - from);
        linkage.pose(crank_angle, branch).ok()?;
        Some(PlanarPosture {
            linkage,
            branch,
            crank_angle,
        })
    })
}

/// Four-bars next to a dead center of either kind: the crank is off it by up to `closeness` (rad) and down to a
/// rounding.
///
/// Double-cranks have no dead centers and do not occur.
pub fn nearly_locking_four_bars(closeness: f64) -> impl Strategy<Value = PlanarPosture> + Clone {
    let choice = (
        four_bars(),
        branches(),
        0_usize..8,
        any::<bool>(),
        -16.0..=0.0_f64,
    );
    choice.prop_filter_map(
        "has a dead center",
        move |(linkage, branch, which, before, exponent)| {
            let dead_centers = linkage.dead_centers();
            let dead = dead_centers.get(which % dead_centers.len().max(1))?;
            let off = closeness * 10_f64.powf(exponent);
            let crank_angle = dead.pose.crank_angle + if before { -off } else { off };
            linkage.pose(crank_angle, branch).ok()?;
            Some(PlanarPosture {
                linkage,
                branch,
                crank_angle,
            })
        },
    )
}

/// Slider-cranks with links from 3 mm to 3 m, centered and with any offset that they can reach.
pub fn slider_cranks() -> impl Strategy<Value = SliderCrank> + Clone {
    let offset = prop_oneof![1 => Just(0.0), 3 => -1.0..=1.0_f64];
    (shares(), shares(), offset).prop_filter_map("reaches the slide", |(crank, rod, share)| {
        SliderCrank::new(3.0 * crank, 3.0 * rod, 3.0 * share * (crank + rod)).ok()
    })
}
