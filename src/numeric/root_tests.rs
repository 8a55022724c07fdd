use std::cell::Cell;

use super::{between, edge, edge_near};

/// A few units in the last place of the root.
const ROUNDING: f64 = 4.0 * f64::EPSILON;

#[test]
fn known_roots() {
    type Case = (fn(f64) -> f64, f64, f64, f64);
    let cases: [Case; 5] = [
        (|x| x * x - 2.0, 0.0, 2.0, std::f64::consts::SQRT_2),
        (|x| x.cos() - x, 0.0, 1.0, 0.739_085_133_215_160_6),
        (|x| (x - 0.3).powi(3), -1.0, 2.0, 0.3),
        (|x| x.exp() - 1e-6, -50.0, 1.0, -13.815_510_557_964_274),
        (|x| if x < 0.7 { -1.0 } else { 1e-9 }, 0.0, 1.0, 0.7),
    ];
    for (f, a, b, root) in cases {
        for (a, b) in [(a, b), (b, a)] {
            let found = between(f, a, b);
            assert!(
                (found - root).abs() <= ROUNDING * root.abs(),
                "{found} {root}"
            );
        }
    }
}

#[test]
fn a_root_at_an_end() {
    assert_eq!(between(|x| x, 0.0, 1.0), 0.0);
    assert_eq!(between(|x| x - 1.0, 0.0, 1.0), 1.0);
}

#[test]
fn a_property_ends_between_neighbours() {
    for (a, b, end) in [(0.0, 1.0, 0.3), (2.0, -1.0, 0.7), (-1e-160, 1e-160, 3e-161)] {
        let holds = |x: f64| if a < b { x < end } else { x > end };
        let Ok(found) = edge::<std::convert::Infallible>(a, b, |x| Ok(holds(x)));
        let before = if a < b {
            found.next_down()
        } else {
            found.next_up()
        };
        assert!(!holds(found) && holds(before), "{found} for {end}");
    }
    assert_eq!(edge(0.0, 1.0, |_| Err("no")), Err("no"));
}

/// With any guess the same neighbours are found as by halving alone, and with a good one by far fewer looks.
#[test]
fn a_guess_changes_nothing_but_the_looks() {
    for (a, b, end) in [
        (0.0, 1.0, 0.3),
        (2.0, -1.0, 0.7),
        (-1.0, 1.0, 1e-17),
        (-1e-160, 1e-160, 3e-161),
        (1.0, 2.0, 1.0 + f64::EPSILON),
        (1.0, 2.0, 2.0),
    ] {
        let looks = Cell::new(0);
        let holds = |x: f64| {
            looks.set(looks.get() + 1);
            Ok::<_, std::convert::Infallible>(if a < b { x < end } else { x > end })
        };
        let Ok(halved) = edge(a, b, holds);
        let all = looks.replace(0);
        let near = end * (1.0 - 3.0 * f64::EPSILON);
        for guess in [end, near, a, b, 0.5 * (a + b), 0.9 * a + 0.1 * b, f64::NAN] {
            let Ok(found) = edge_near(a, b, guess, holds);
            assert_eq!(found, halved, "{a} {b} {end} {guess}");
            assert!(looks.replace(0) <= 2 * all + 30, "{a} {b} {end} {guess}");
        }
        let _ = edge_near(a, b, near, holds);
        if end == 0.3 || end == 0.7 {
            assert!(looks.get() <= 8, "{}", looks.get());
        }
    }
}
