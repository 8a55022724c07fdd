//! Transmissions of every kind: their derivatives are derivatives, many are one by one, and rows end where their parts
//! do.

use std::f64::consts::TAU;

use proptest::prelude::*;
use yokewright::linkage::generators::planar::placed_four_bars;
use yokewright::linkage::generators::spatial::{ball_rods, lopsided_pedal_pairs, pedal_pairs};
use yokewright::linkage::{
    AnyTransmission, Assembly, Branch, CenteredFourBar, FixedRatio, FourBar, PedalMember, Range,
    Transfer, Transmission, TransmissionChain, UniversalJoint,
};
use yokewright::units::DEG;

fn members() -> impl Strategy<Value = PedalMember> {
    prop::sample::select(PedalMember::ALL.to_vec())
}

fn ratios() -> impl Strategy<Value = FixedRatio> {
    (0.2..5.0_f64, any::<bool>())
        .prop_map(|(size, turned)| FixedRatio::new(if turned { -size } else { size }).unwrap())
}

fn joints() -> impl Strategy<Value = UniversalJoint> {
    (0.0..60.0_f64, -3.0..3.0_f64)
        .prop_map(|(bend, phase)| UniversalJoint::new(bend * DEG, phase).unwrap())
}

fn single() -> impl Strategy<Value = AnyTransmission> {
    let pairs = prop_oneof![pedal_pairs(), lopsided_pedal_pairs()];
    let pedals = (pairs, members(), members())
        .prop_map(|(pair, from, to)| pair.transmission(from, to).into());
    let four_bars = placed_four_bars().prop_filter_map("not locked at neutral", |posture| {
        let built =
            CenteredFourBar::new(posture.linkage, posture.branch, posture.crank_angle).ok()?;
        built.transfer(0.0).ok()?;
        Some(built.into())
    });
    prop_oneof![
        Just(AnyTransmission::Identity),
        ratios().prop_map(AnyTransmission::from),
        joints().prop_map(AnyTransmission::from),
        ball_rods().prop_map(AnyTransmission::from),
        four_bars,
        pedals,
    ]
}

fn rows() -> impl Strategy<Value = TransmissionChain> {
    prop::collection::vec(single(), 1..4).prop_filter_map("on its way at neutral", |parts| {
        TransmissionChain::new(parts).ok()
    })
}

fn transmissions() -> impl Strategy<Value = AnyTransmission> {
    prop_oneof![4 => single(), 1 => rows().prop_map(AnyTransmission::from)]
}

/// By how much rounding alone makes an angle or a ratio jump about there: the largest second difference over steps so
/// short that a smooth function has none.
///
/// Beside a change point, where the links come into one line, angles are known to a rounding over the transmission
/// angle and ratios to one over its square.
fn noise(transmission: &dyn Transmission, angle: f64, of: fn(&Transfer) -> f64) -> f64 {
    const STEP: f64 = 1e-8;
    let near: Vec<_> = (-4..=4)
        .filter_map(|k| transmission.transfer(angle + STEP * f64::from(k)).ok())
        .map(|at| of(&at))
        .collect();
    let bends = near.windows(3).map(|v| (v[0] - 2.0 * v[1] + v[2]).abs());
    bends.fold(0.0, f64::max)
}

/// Whether the ratio and the curvature there are the slopes of central differences at the step, or each beside its
/// slopes; rejected beside a lock and where the transmission is too sharp for the differences.
fn derivatives_hold(
    transmission: &dyn Transmission,
    angle: f64,
    step: f64,
) -> Result<Result<(), Vec<[f64; 4]>>, TestCaseError> {
    /// Of rounding in an angle, beside what is seen as noise [rad].
    const FLOOR: f64 = 1e-11;
    /// Of the noise at one place against that of two others.
    const SAFETY: f64 = 4.0;
    let at = |steps: f64| transmission.transfer(angle + steps * step);
    let all: Result<Vec<_>, _> = [0.0, -1.0, 1.0, -2.0, 2.0, -4.0, 4.0]
        .into_iter()
        .map(at)
        .collect();
    let Ok(all) = all else {
        return Err(TestCaseError::reject("beside a lock"));
    };
    // A sharp peak between the places is not seen by any of the differences, but by the slopes beside it.
    let size = all
        .iter()
        .map(|at| 1.0 + at.ratio.abs() + at.curvature.abs())
        .fold(0.0, f64::max);
    if size >= 10.0 {
        return Err(TestCaseError::reject("too sharp"));
    }
    let check = |value: f64, of: fn(&Transfer) -> f64| {
        let slope =
            |pair: usize, over: f64| (of(&all[2 * pair]) - of(&all[2 * pair - 1])) / (2.0 * over);
        let [near, far, farther] = [slope(1, step), slope(2, 2.0 * step), slope(3, 4.0 * step)];
        let extrapolated = |near: f64, far: f64| near + (near - far) / 3.0;
        let error =
            (near - far).abs() + (extrapolated(near, far) - extrapolated(far, farther)).abs();
        let rounding = (FLOOR * size + SAFETY * noise(transmission, angle, of)) / step;
        ((near - value).abs() > error + rounding).then_some([value, near, far, farther])
    };
    let off: Vec<_> = [
        check(all[0].ratio, |at| at.angle),
        check(all[0].curvature, |at| at.ratio),
    ]
    .into_iter()
    .flatten()
    .collect();
    Ok(if off.is_empty() { Ok(()) } else { Err(off) })
}

/// An angle on the way.
fn inside(transmission: &dyn Transmission, share: f64) -> f64 {
    let Range { lower, upper } = transmission.travel();
    lower + share * (upper - lower)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    /// Central differences at three steps h, 2h and 4h. With the error of the first one a h^2 + b h^4, near - far is
    /// -3 a h^2 - 15 b h^4 and the difference of the two extrapolations 60 b h^4: where the terms of one cancel, the
    /// other tells, and together they are more than the error. That holds for an h that is short beside what the
    /// transmission does there: a link of a ten-thousandth of the others turns over within 1e-4 rad, and only a
    /// shorter h, at the price of more rounding, tells the derivative.
    #[test]
    fn derivatives_are_derivatives(transmission in transmissions(), share in 0.05..0.95_f64) {
        let angle = inside(&transmission, share);
        let mut told = Vec::new();
        for step in [1e-4, 1e-5, 1e-6] {
            match derivatives_hold(&transmission, angle, step)? {
                Ok(()) => return Ok(()),
                Err(slopes) => told.push(slopes),
            }
        }
        prop_assert!(false, "{told:?} at {angle}");
    }

    #[test]
    fn many_are_one_by_one(transmission in transmissions(), shares in prop::collection::vec(0.01..0.99_f64, 0..9)) {
        let angles: Vec<f64> = shares.iter().map(|share| inside(&transmission, *share)).collect();
        let many = transmission.transfers(&angles);
        prop_assert_eq!(many.valid.len(), angles.len());
        for (i, angle) in angles.iter().enumerate() {
            let Ok(one) = transmission.transfer(*angle) else { continue };
            prop_assume!(one.ratio.abs() + one.curvature.abs() < 10.0);
            prop_assert!(many.valid[i]);
            let same = |many: f64, of: fn(&Transfer) -> f64, least: f64| {
                (many - of(&one)).abs() <= least + 8.0 * noise(&transmission, *angle, of)
            };
            prop_assert!(same(many.angles[i], |at| at.angle, 1e-9), "{} {}", many.angles[i], one.angle);
            prop_assert!(same(many.ratios[i], |at| at.ratio, 1e-7), "{} {}", many.ratios[i], one.ratio);
        }
    }

    /// Just inside the end of a row every part is on its way; just beyond it, one is not.
    #[test]
    fn a_row_ends_where_a_part_does(row in rows()) {
        let reach = row.reach();
        for end in [reach.lower, reach.upper].into_iter().flatten() {
            let on_the_way = |angle: f64| {
                let mut angle = angle;
                row.parts().iter().all(|part| {
                    let Range { lower, upper } = part.travel();
                    let ended = part.reach();
                    let kept = (ended.lower.is_none() || angle >= lower) && (ended.upper.is_none() || angle <= upper);
                    let next = part.transfer(angle);
                    next.is_ok_and(|next| {
                        angle = next.angle;
                        kept
                    })
                })
            };
            prop_assert!(on_the_way(end.input * (1.0 - 1e-3)), "{end:?}");
            // What comes to a part is known to the noise of those before it, which may be more than the share.
            let near = end.input * (1.0 - 1e-6);
            let uncertain = (1..row.parts().len()).filter_map(|count| {
                let before = TransmissionChain::new(row.parts()[..count].to_vec()).ok()?;
                let ratio = before.transfer(near).ok()?.ratio;
                Some(8.0 * noise(&before, near, |at| at.angle) / ratio.abs())
            });
            let slack = uncertain.filter(|slack| slack.is_finite()).fold(0.0, f64::max);
            let beyond = end.input * (1.0 + 1e-9) + slack * end.input.signum();
            prop_assert!(!on_the_way(beyond), "{end:?} {slack:e}");
        }
    }

    #[test]
    fn what_is_stored_comes_back(transmission in transmissions()) {
        let text = serde_json::to_string(&transmission).unwrap();
        prop_assert_eq!(serde_json::from_str::<AnyTransmission>(&text).unwrap(), transmission);
    }

    /// The rod closes in its stretches and nowhere else, and can be put together there either way.
    #[test]
    fn a_rod_closes_in_its_stretches(rod in ball_rods(), angle in -3.0..3.0_f64) {
        /// Beside an end rounding decides.
        const BESIDE: f64 = 1e-6;
        let stretches = rod.stretches().unwrap();
        let within = |slack: f64| {
            stretches.iter().any(|range| {
                let wide = Range { lower: range.lower - slack, upper: range.upper + slack };
                wide.length() >= TAU || wide.turned_into(angle).is_some()
            })
        };
        prop_assume!(within(BESIDE) == within(-BESIDE));
        let both = rod.solve_many(&[angle]);
        prop_assert_eq!(both.valid[0], within(0.0));
        for (assembly, output) in Assembly::ALL.into_iter().zip([both.neutral[0], both.other[0]]) {
            let there = rod.assembled_at(angle, assembly);
            prop_assert_eq!(there.is_ok(), both.valid[0]);
            let Ok(there) = there else { continue };
            let apart = there.transfer(angle).unwrap().angle - output;
            prop_assert!((apart - TAU * (apart / TAU).round()).abs() <= 1e-6, "{apart}");
        }
    }
}

/// The last link turns over within 1e-4 rad of the crank. The ratio is from the closed form at 40 digits (mpmath).
#[test]
fn a_link_of_a_tenth_of_a_millimetre_has_its_derivatives() {
    let linkage = FourBar::new(
        0.1129798322888267,
        2.8871549667990037,
        0.00013479908783008317,
        3.0,
    )
    .unwrap();
    let built = CenteredFourBar::new(linkage, Branch::Open, 3.114686537214952).unwrap();
    let angle = inside(&built, 0.5001283618155978);
    assert!(derivatives_hold(&built, angle, 1e-4).unwrap().is_err());
    assert_eq!(derivatives_hold(&built, angle, 1e-5).unwrap(), Ok(()));
    let ratio = built.transfer(angle).unwrap().ratio;
    assert!((ratio - 0.961065657675).abs() < 1e-9, "{ratio}");
}
