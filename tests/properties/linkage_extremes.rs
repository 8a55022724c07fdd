//! Planar linkages and pedals at the ends of what a number can be: finite input gives finite output or an error, NaN an
//! error or a marked row.

use std::fmt::Debug;

use nalgebra::{Point2, Point3, Vector3};
use yokewright::linkage::{
    Arm, Branch, CenteredFourBar, FootSide, FourBar, FourBarDemand, Pedal, PedalMember, PedalPair,
    SliderCrank, Transfer, Transfers, chebyshev_spacing, freudenstein_ratios, search_four_bars,
    three_point_four_bar,
};
use yokewright::{Error, Result};

const EXTREME: [f64; 18] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    0.0,
    -0.0,
    1e-320,
    -1e-320,
    1e-160,
    -1e-160,
    1e-17,
    1e155,
    -1e155,
    1e160,
    -1e160,
    1e308,
    -1e308,
    std::f64::consts::PI,
    -std::f64::consts::PI,
];

fn is_sound(value: &impl Debug) -> bool {
    let text = format!("{value:?}");
    !text.contains("NaN") && !text.contains("inf")
}

/// What came of it, if anything did: then without NaN and infinity.
fn sound<T: Debug>(result: Result<T>) -> Option<T> {
    let value = result.ok()?;
    assert!(is_sound(&value), "{value:?}");
    Some(value)
}

fn marked(rows: &Transfers) {
    for i in 0..rows.valid.len() {
        let row = [rows.angles[i], rows.ratios[i], rows.curvatures[i]];
        assert!(
            row.iter().all(|value| value.is_finite() == rows.valid[i]),
            "{row:?}"
        );
    }
}

/// The usual values with one of them replaced by every extreme one, and all of them by the same.
fn replaced<const N: usize>(usual: [f64; N]) -> Vec<[f64; N]> {
    let one = |i: usize, value: f64| {
        let mut values = usual;
        values[i] = value;
        values
    };
    let ones = EXTREME
        .iter()
        .flat_map(|value| (0..N).map(move |i| one(i, *value)));
    ones.chain(EXTREME.map(|value| [value; N]))
        .chain([usual])
        .collect()
}

fn refuses_nan<const N: usize, T: Debug>(values: [f64; N], result: &Result<T>) {
    let plain = values.iter().all(|value| value.is_finite());
    assert!(plain || result.is_err(), "{values:?} {result:?}");
}

fn try_four_bar(bar: &FourBar) {
    assert!(is_sound(&(
        bar.grashof(),
        bar.crank_travel(),
        bar.dead_centers(),
        bar.freudenstein()
    )));
    for branch in Branch::ALL {
        assert!(is_sound(&bar.rocker_travel(branch)));
        marked(&bar.transfers(&EXTREME, branch));
        let track = bar.track(&EXTREME, branch);
        for i in 0..EXTREME.len() {
            assert_eq!(
                track.rocker[i].is_finite() && track.coupler[i].is_finite(),
                track.valid[i]
            );
        }
        for x in EXTREME {
            refuses_nan([x], &bar.pose(x, branch));
            sound(bar.pose(x, branch));
            sound(bar.transfer(x, branch));
            sound(bar.mechanical_advantage(x, branch));
            sound(CenteredFourBar::new(*bar, branch, x));
            for y in EXTREME {
                refuses_nan([x, y], &bar.motion(0.3, branch, x, y));
                for angle in [0.3, x] {
                    sound(bar.motion(angle, branch, x, y));
                    sound(bar.coupler_point(angle, branch, x, y));
                    sound(bar.coupler_point_motion(angle, branch, [x, y], y, x));
                }
            }
        }
    }
    let many = bar.solve_many(&EXTREME);
    for (i, angle) in EXTREME.iter().enumerate() {
        assert_eq!(many.open.rocker[i].is_finite(), many.valid[i]);
        assert_eq!(many.valid[i], bar.pose(*angle, Branch::Open).is_ok());
        sound(bar.driven_by_rocker(*angle));
        for to in EXTREME {
            refuses_nan([*angle, to], &bar.min_transmission_angle(*angle, to));
            sound(bar.min_transmission_angle(*angle, to));
        }
    }
}

#[test]
fn four_bars() {
    // Anyhow, equal, parallel, kites, folded.
    for usual in [
        [0.1, 0.04, 0.12, 0.08],
        [0.1; 4],
        [0.1, 0.05, 0.1, 0.05],
        [0.1, 0.1, 0.05, 0.05],
        [0.1, 0.05, 0.05, 0.1],
        [0.3, 0.1, 0.1, 0.1],
        [3.0, 1e-4, 3.0, 1e-4],
    ] {
        for values in replaced(usual) {
            let made = FourBar::new(values[0], values[1], values[2], values[3]);
            refuses_nan(values, &made);
            let grid = FourBar::solve_grid(&[values], &[0.3]);
            assert!(made.is_ok() || !grid.valid[0]);
            if let Some(bar) = sound(made) {
                try_four_bar(&bar);
            }
        }
    }
}

#[test]
fn centered_four_bars() {
    for values in replaced([0.0, 0.0, 0.0, 0.05, 0.12, 0.04, 0.12, 0.01]) {
        let [a, b, c, d] = [0, 2, 4, 6].map(|i| Point2::new(values[i], values[i + 1]));
        let made = CenteredFourBar::from_joints(a, b, c, d);
        refuses_nan(values, &made);
        let Some(built) = sound(made) else { continue };
        assert!(is_sound(&built.travel()));
        marked(&built.transfers(&EXTREME));
        for x in EXTREME {
            sound(built.transfer(x));
            sound(built.pose(x));
            sound(built.joints(x));
            for y in EXTREME {
                sound(built.drawn_at(Point2::new(x, y), 0.1));
                sound(built.drawn_at(Point2::new(0.0, x), y));
            }
        }
    }
}

#[test]
fn slider_cranks() {
    for usual in [
        [0.04, 0.1, 0.015],
        [0.1, 0.1, 0.0],
        [0.1, 0.2, 0.3],
        [0.3, 0.2, 0.1],
    ] {
        for values in replaced(usual) {
            let [crank, rod, offset] = values;
            let made = SliderCrank::new(crank, rod, offset);
            refuses_nan(values, &made);
            let Some(slider) = sound(made) else { continue };
            assert!(is_sound(&(slider.crank_travel(), slider.dead_centers())));
            for branch in Branch::ALL {
                assert!(is_sound(&slider.slide_travel(branch)));
                let rows = slider.transfers(&EXTREME, branch);
                for i in 0..EXTREME.len() {
                    let row = [rows.position[i], rows.ratio[i], rows.curvature[i]];
                    assert!(row.iter().all(|value| value.is_finite() == rows.valid[i]));
                }
                for x in EXTREME {
                    refuses_nan([x], &slider.pose(x, branch));
                    sound(slider.pose(x, branch));
                    sound(slider.transfer(x, branch));
                    sound(slider.force_ratio(x, branch));
                    sound(slider.driven_by_slide(x));
                    for y in EXTREME {
                        refuses_nan([x, y], &slider.motion(0.3, branch, x, y));
                        sound(slider.motion(0.3, branch, x, y));
                    }
                }
            }
        }
    }
}

#[test]
fn synthesis() {
    for values in replaced([0.4, 0.8, 1.2, 0.6, 1.0, 1.5, 0.1]) {
        let [a, b, c, x, y, z, ground] = values;
        let ratios = freudenstein_ratios([a, b, c], [x, y, z]);
        refuses_nan([a, b, c, x, y, z], &ratios);
        sound(ratios);
        let found = three_point_four_bar([a, b, c], [x, y, z], ground);
        refuses_nan(values, &found);
        sound(found);
        sound(chebyshev_spacing(a, b, 5));
        sound(FourBarDemand::ratio(x, a, b, ground));
    }
    let turns: Vec<f64> = (0..5).map(|i| 0.1 * f64::from(i)).collect();
    for values in replaced([0.1, 0.2, 0.3, 0.02, 0.3, 0.7, 0.1]) {
        let [first, second, rocker, least, most, angle, ground] = values;
        let mut crank_turns = turns.clone();
        crank_turns[0] = first - 0.2;
        crank_turns[1] = second - 0.1;
        let mut rocker_turns = turns.clone();
        rocker_turns[3] = rocker;
        let goal = FourBarDemand {
            crank_turns,
            rocker_turns,
            ground,
            lengths: [least, most],
            min_transmission_angle: angle,
            starts: 1,
            seed: 0,
        };
        let fit = search_four_bars(&goal);
        refuses_nan(values, &fit);
        sound(fit);
    }
}

#[test]
fn transfers() {
    for values in replaced([0.1, 0.5, 0.2]) {
        let made = Transfer::new(values[0], values[1], values[2]);
        refuses_nan(values, &made);
        sound(made);
    }
}

#[test]
fn pedals() {
    let pedal = |pad: [f64; 3], push: [f64; 3]| {
        let hinge = Arm::new(
            Point3::new(0.0, 0.12, 0.0),
            Vector3::y(),
            Point3::new(0.0, 0.07, 0.09),
        )?;
        Pedal::new(hinge, Point3::from(pad), Vector3::from(push))
    };
    for values in replaced([-0.01, 0.12, 0.18, 1.0, 0.0, 0.1]) {
        let [a, b, c, x, y, z] = values;
        let made = pedal([a, b, c], [x, y, z]);
        refuses_nan(values, &made);
        let Some(made) = sound(made) else { continue };
        for x in EXTREME {
            refuses_nan([x], &made.with_stops(x, 0.1));
            sound(made.with_stops(x, 0.1));
            sound(made.with_stops(-0.1, x));
        }
    }
    let crank = Arm::new(
        Point3::new(-0.15, 0.0, 0.09),
        Vector3::z(),
        Point3::new(-0.15, 0.045, 0.09),
    )
    .unwrap();
    let pair =
        PedalPair::mirrored(pedal([-0.01, 0.12, 0.18], [1.0, 0.0, 0.0]).unwrap(), crank).unwrap();
    for x in EXTREME {
        refuses_nan([x], &pair.with_crank_stops(x, 0.1));
        for foot in FootSide::ALL {
            refuses_nan([x], &pair.pad(foot, x));
            sound(pair.pad(foot, x));
            for y in EXTREME {
                refuses_nan([x, y], &pair.loads(foot, x, y));
                sound(pair.loads(foot, x, y));
                sound(pair.loads(foot, 0.1, y));
            }
        }
    }
    for member in PedalMember::ALL {
        let poses = pair.poses(member, &EXTREME);
        for rows in [&poses.left, &poses.right, &poses.crank] {
            marked(rows);
            assert_eq!(rows.valid, poses.valid);
        }
        for (x, valid) in EXTREME.iter().zip(&poses.valid) {
            assert_eq!(sound(pair.pose(member, *x)).is_some(), *valid);
        }
    }
    // Where the rod of one side no longer reaches, no member keeps a value, not even the one given.
    let lefts: Vec<f64> = (0..60).map(|i| 0.05 * f64::from(i)).collect();
    let poses = pair.poses(PedalMember::Left, &lefts);
    assert!(poses.valid[0] && poses.valid.contains(&false));
    for rows in [&poses.left, &poses.right, &poses.crank] {
        marked(rows);
        assert_eq!(rows.valid, poses.valid);
    }
}

#[test]
fn stops_the_wrong_way_round_are_called_that() {
    let hinge = Arm::new(
        Point3::new(0.0, 0.12, 0.0),
        Vector3::y(),
        Point3::new(0.0, 0.07, 0.09),
    )
    .unwrap();
    let pedal = Pedal::new(hinge, Point3::new(-0.01, 0.12, 0.18), Vector3::x()).unwrap();
    let refused = pedal.with_stops(0.2, -0.2).unwrap_err();
    assert!(matches!(refused, Error::NotAscending { .. }));
    assert!(refused.to_string().contains("exchanged"), "{refused}");
}
