use std::f64::consts::PI;

use super::*;

/// A reading that goes faster than both angles together, on a grid with steps of a third of a turn of it.
#[test]
fn readings_go_on_from_the_center_along_both_lines() {
    let lines = [
        vec![-1.0, -0.5, 0.0, 0.5, 1.0],
        vec![-0.9, -0.3, 0.0, 0.3, 0.9, 1.2],
    ];
    let whole = |a: f64, b: f64| 0.4 + 4.0 * a - 3.0 * b;
    let wrap = |angle: f64| (angle + PI).rem_euclid(TAU) - PI;
    let all: Vec<f64> = lines[0]
        .iter()
        .flat_map(|&a| lines[1].iter().map(move |&b| wrap(whole(a, b))))
        .collect();
    assert!(all.iter().all(|angle| angle.abs() <= PI));
    let turns = Turns::new(lines, all);
    for (a, b) in [
        (0.0, 0.0),
        (-1.0, 1.2),
        (1.0, -0.9),
        (0.7, 0.65),
        (-0.3, -0.8),
    ] {
        let found = turns.unwrapped([a, b], wrap(whole(a, b)));
        // Rounding of angles of some turns.
        assert!((found - whole(a, b)).abs() < 1e-14, "{a} {b}: {found}");
    }
}

#[test]
fn what_has_no_reading_stands_as_its_neighbor() {
    let lines = [vec![-1.0, 0.0, 1.0, 2.0], vec![0.0]];
    let turns = Turns::new(lines, vec![-3.0, 3.0, f64::NAN, -3.0]);
    assert!((turns.unwrapped([-1.0, 0.0], -3.0) - (TAU - 3.0)).abs() < 1e-15);
    assert!((turns.unwrapped([1.0, 0.0], -3.1) - (TAU - 3.1)).abs() < 1e-15);
    assert!((turns.unwrapped([2.0, 0.0], -3.0) - (TAU - 3.0)).abs() < 1e-15);
    // Nothing is known: a reading is as it is.
    let none = Turns::new([vec![0.0], vec![0.0]], vec![f64::NAN]);
    assert_eq!(none.unwrapped([0.0, 0.0], 1.5), 1.5);
    assert!(turns.unwrapped([0.0, 0.0], f64::NAN).is_finite());
}
