//! The generators of linkages: of the size that was named, without many draws in vain, and shrinking to the boundary of
//! a claim.

use std::ops::RangeInclusive;

use nalgebra::distance;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestCaseResult, TestError, TestRng, TestRunner};
use yokewright::linkage::generators::planar::four_bars;
use yokewright::linkage::generators::{
    LinkLengths, ball_rods_within, centered_four_bars_within, four_bars_within, gimbals_within,
    pedal_pairs_within, slider_cranks_within, universal_joints_within,
};
use yokewright::linkage::{
    BallRod, CenteredFourBar, FootSide, FourBar, Gimbal, PedalPair, SliderCrank, UniversalJoint,
};
use yokewright::units::{DEG, MM};

const CASES: u32 = 2000;

/// The same cases in every run. Of four lengths between nothing and a longest one, one in six is longer than the rest
/// together; no more than a third of the draws may be in vain.
fn runner() -> TestRunner {
    let config = Config {
        cases: CASES,
        max_local_rejects: CASES / 2,
        failure_persistence: None,
        ..Config::default()
    };
    TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha))
}

fn ranges() -> [RangeInclusive<f64>; 4] {
    [
        20.0 * MM..=300.0 * MM,
        0.1 * MM..=3.0,
        40.0 * MM..=41.0 * MM,
        12.0 * MM..=13.5 * MM,
    ]
}

fn links(bar: &FourBar) -> [f64; 4] {
    [bar.ground(), bar.crank(), bar.coupler(), bar.rocker()]
}

/// Runs every draw through a check that its links lie in the range.
fn check<S: Strategy + Clone>(
    strategy: S,
    lengths: &RangeInclusive<f64>,
    links: impl Fn(&S::Value) -> Vec<f64>,
) {
    let claim = |linkage: S::Value| -> TestCaseResult {
        for link in links(&linkage) {
            prop_assert!(lengths.contains(&link), "{link} in {lengths:?}");
        }
        Ok(())
    };
    runner().run(&strategy.clone(), claim).unwrap();
}

#[test]
fn all_links_of_planar_linkages_lie_within() {
    for lengths in ranges() {
        check(four_bars_within(lengths.clone()), &lengths, |bar| {
            links(bar).to_vec()
        });
        check(
            centered_four_bars_within(lengths.clone()),
            &lengths,
            |built| links(&built.linkage()).to_vec(),
        );
        check(slider_cranks_within(lengths.clone()), &lengths, |slider| {
            assert!(slider.offset().abs() <= *lengths.end());
            vec![slider.crank(), slider.rod()]
        });
    }
}

#[test]
fn all_links_of_linkages_in_space_lie_within() {
    for lengths in ranges() {
        check(ball_rods_within(lengths.clone()), &lengths, |rod| {
            vec![
                rod.input().length(),
                rod.output().length(),
                rod.rod_length(),
            ]
        });
        check(gimbals_within(lengths.clone()), &lengths, |gimbal| {
            let stick = gimbal.spec().stick.windows(2);
            stick.map(|ends| distance(&ends[0], &ends[1])).collect()
        });
        let lengths = lengths.start().max(10.0 * MM)..=lengths.end().min(2.0);
        check(pedal_pairs_within(lengths.clone()), &lengths, |pair| {
            let left = pair.pedal(FootSide::Left);
            let [rod, crank] = [
                pair.rod(FootSide::Left).rod_length(),
                pair.crank_arm(FootSide::Left).length(),
            ];
            assert!(left.arm().joint().y > 0.0);
            vec![left.arm().length(), left.pad_radius(), rod, crank]
        });
    }
}

#[test]
fn bends_lie_within() {
    check(
        universal_joints_within(5.0 * DEG..=30.0 * DEG),
        &(5.0 * DEG..=30.0 * DEG),
        |joint| vec![joint.bend()],
    );
}

/// What a length of its own is for: at both ends of the range there is a draw, and one length for all is a rhombus.
#[test]
fn a_range_may_be_one_length() {
    let length = 0.0123456789;
    check(
        four_bars_within(length..=length),
        &(length..=length),
        |bar| links(bar).to_vec(),
    );
}

/// The counterexample that a false claim ends with.
fn counterexample<S: Strategy>(strategy: &S, holds: impl Fn(&S::Value) -> bool) -> S::Value {
    let claim = |linkage: S::Value| {
        prop_assert!(holds(&linkage));
        Ok(())
    };
    match runner().run(strategy, claim) {
        Err(TestError::Fail(_, found)) => found,
        other => panic!("no counterexample: {other:?}"),
    }
}

/// A micrometer on the links named, as a share of the range: what a false claim may miss its boundary by.
const BESIDE: f64 = 1e-4;

#[test]
fn a_ratio_of_links_shrinks_to_its_boundary() {
    let bars = || four_bars_within(20.0 * MM..=300.0 * MM);
    let bar = counterexample(&bars(), |bar| bar.rocker() > 0.2 * bar.ground());
    let ratio = bar.rocker() / bar.ground();
    assert!(ratio <= 0.2 && ratio > 0.2 * (1.0 - BESIDE), "{bar:?}");
    let bar = counterexample(&bars(), |bar| bar.ground() > 0.2 * bar.rocker());
    let ratio = bar.ground() / bar.rocker();
    assert!(ratio <= 0.2 && ratio > 0.2 * (1.0 - BESIDE), "{bar:?}");
    // The links that the claim leaves alone are where they shrink to: a quarter and three quarters up the range.
    assert_eq!([bar.crank(), bar.coupler()], [90.0 * MM, 230.0 * MM]);
}

#[test]
fn rods_pedals_and_joints_shrink_to_the_boundary() {
    let rod = counterexample(&any::<BallRod>(), |rod| {
        rod.rod_length() > 0.5 * rod.input().length()
    });
    let ratio = rod.rod_length() / rod.input().length();
    assert!(ratio <= 0.5 && ratio > 0.5 * (1.0 - BESIDE), "{rod:?}");
    let pair = counterexample(&any::<PedalPair>(), |pair| {
        pair.crank_arm(FootSide::Left).length() < 150.0 * MM
    });
    let crank = pair.crank_arm(FootSide::Left).length();
    assert!((150.0 * MM..150.002 * MM).contains(&crank), "{pair:?}");
    assert_eq!(
        pair.pedal(FootSide::Left).arm().direction(),
        nalgebra::Vector3::y()
    );
    let joint = counterexample(&any::<UniversalJoint>(), |joint| joint.bend() < 30.0 * DEG);
    assert!(
        joint.bend() < 30.02 * DEG && joint.phase() == 0.0,
        "{joint:?}"
    );
    let slider = counterexample(&any::<SliderCrank>(), |slider| {
        slider.crank() < slider.rod()
    });
    assert!(slider.crank() - slider.rod() < 2e-6, "{slider:?}");
    let piece = |gimbal: &Gimbal| distance(&gimbal.spec().stick[0], &gimbal.spec().stick[1]);
    let gimbal = counterexample(&any::<Gimbal>(), |gimbal| piece(gimbal) < 200.0 * MM);
    assert!(piece(&gimbal) < 200.002 * MM, "{gimbal:?}");
}

#[test]
fn lengths_that_no_linkage_has_are_told() {
    let told =
        |lengths: RangeInclusive<f64>| match runner().run(&four_bars_within(lengths), |_| Ok(())) {
            Err(TestError::Abort(reason)) => reason.to_string(),
            other => panic!("ran: {other:?}"),
        };
    assert!(
        told(20.0..=300.0).contains("length of the generated links"),
        "{}",
        told(20.0..=300.0)
    );
    for lengths in [
        0.0..=1.0,
        0.3..=0.02,
        0.02..=f64::NAN,
        f64::NAN..=0.3,
        0.02..=f64::INFINITY,
    ] {
        assert!(!told(lengths).is_empty());
    }
    let small = pedal_pairs_within(1.0 * MM..=300.0 * MM);
    assert!(matches!(
        runner().run(&small, |_| Ok(())),
        Err(TestError::Abort(_))
    ));
}

#[test]
fn any_takes_the_lengths() {
    let short = LinkLengths::from(5.0 * MM..=40.0 * MM);
    check(any_with::<FourBar>(short), &(5.0 * MM..=40.0 * MM), |bar| {
        links(bar).to_vec()
    });
    check(
        any::<CenteredFourBar>(),
        &(20.0 * MM..=300.0 * MM),
        |built| links(&built.linkage()).to_vec(),
    );
}

/// Links from a tenth of a millimeter to meters: also such as a builder has on the desk.
#[test]
fn four_bars_of_all_sizes_hold_those_of_a_desk() {
    let mut runner = runner();
    let desk = 20.0 * MM..=300.0 * MM;
    let mut drawn = 0;
    for _ in 0..CASES {
        let bar =
            proptest::strategy::ValueTree::current(&four_bars().new_tree(&mut runner).unwrap());
        drawn += u32::from(links(&bar).iter().all(|link| desk.contains(link)));
    }
    assert!(drawn > CASES / 50, "{drawn}");
}
