//! What a tool on top of the crate relies on.

use downstream::{Layout, Project, most_even};
use yokewright::linkage::generators::pedal_pairs_within;
use yokewright::linkage::{FootSide, FourBar, PedalMember};
use yokewright::proptest::prelude::*;
use yokewright::units::{DEG, MM};

const LAYOUT: Layout = Layout {
    height: 90.0 * MM,
    crank: 45.0 * MM,
    back: 150.0 * MM,
};

#[test]
fn a_pedal_linkage_is_built() {
    let pedals = LAYOUT.pedals().unwrap();
    let pose = pedals.pose(PedalMember::Left, 10.0 * DEG).unwrap();
    assert!(pose.crank.angle < -18.0 * DEG && pose.right.angle < -9.0 * DEG);
    let error = Layout {
        height: 90.0,
        ..LAYOUT
    }
    .pedals()
    .unwrap_err();
    assert!(error.to_string().contains("joint of the arm"), "{error}");
}

/// 47 x 47 x 47 layouts: more than 100,000.
#[test]
fn layouts_are_swept() {
    let (best, built) = most_even(47);
    assert!(built > 100_000, "{built}");
    let best = best.unwrap();
    assert!(best.lopsidedness().unwrap() < LAYOUT.lopsidedness().unwrap());
}

#[test]
fn a_project_is_stored_and_read_back() {
    let project = Project {
        title: "pedals of the front seat".to_owned(),
        pedals: LAYOUT.pedals().unwrap(),
    };
    let text = serde_json::to_string_pretty(&project).unwrap();
    assert_eq!(serde_json::from_str::<Project>(&text).unwrap(), project);
    // What no constructor makes is not read either, and the message says why.
    let spoiled = text.replacen("0.09", "90.0", 1);
    assert_ne!(spoiled, text);
    let error = serde_json::from_str::<Project>(&spoiled)
        .unwrap_err()
        .to_string();
    assert!(error.contains("90"), "{error}");
}

proptest! {
    /// The crank, put where a pedal has brought it, brings the pedal back there.
    #[test]
    fn the_crank_drives_the_pedal_back(pedals in pedal_pairs_within(40.0 * MM..=200.0 * MM), share in -100..=100_i32) {
        let angle = f64::from(share) / 100.0 * 5.0 * DEG;
        let there = pedals.pose(PedalMember::Left, angle);
        prop_assume!(there.is_ok());
        let back = pedals.pose(PedalMember::Crank, there.unwrap().crank.angle);
        prop_assert!((back.unwrap().left.angle - angle).abs() < 1e-9);
    }

    #[test]
    fn any_pedals_are_stored(pedals in pedal_pairs_within(40.0 * MM..=200.0 * MM)) {
        let text = serde_json::to_string(&pedals).unwrap();
        let read: yokewright::linkage::PedalPair = serde_json::from_str(&text).unwrap();
        for foot in FootSide::ALL {
            prop_assert!((read.rod(foot).rod_length() - pedals.rod(foot).rod_length()).abs() < 1e-15);
        }
    }

    #[test]
    fn four_bars_are_anything_a_builder_draws(bar: FourBar) {
        prop_assert!(bar.ground() >= 20.0 * MM && bar.rocker() <= 300.0 * MM);
    }
}
