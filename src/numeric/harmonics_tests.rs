use std::f64::consts::TAU;

use super::Harmonics;

/// Roots of a quartic by eigenvalues, well separated ones: a few hundred roundings.
const PLACE: f64 = 1e-12;

#[test]
fn roots_that_were_put_in() {
    // (cos x - cos a)(sin x - sin b) has the roots a, -a, b, pi - b.
    for (a, b) in [(0.3_f64, 0.9_f64), (2.0, -0.4), (3.1, 1.2), (1e-3, -1.5)] {
        let f = Harmonics::product([-a.cos(), 1.0, 0.0], [-b.sin(), 0.0, 1.0]);
        let places = f.root_places().unwrap();
        assert_eq!(places.len(), 4);
        for root in [a, -a, b, std::f64::consts::PI - b] {
            let near = |place: &f64| {
                let away = (place - root).rem_euclid(TAU);
                away.min(TAU - away)
            };
            let nearest = places.iter().map(near).fold(f64::INFINITY, f64::min);
            assert!(nearest < PLACE, "{root}: {nearest:e}");
        }
    }
}

#[test]
fn nothing_has_no_roots() {
    let zero = Harmonics::product([0.0; 3], [0.0; 3]);
    assert_eq!(zero.root_places(), Some(Vec::new()));
}

#[test]
fn the_derivative_is_one() {
    let f = Harmonics::product([0.3, -1.0, 0.4], [0.7, 0.2, 1.1]);
    let step = 1e-5;
    for x in [0.0, 0.7, 2.0, 5.0] {
        let slope = (f.at(x + step) - f.at(x - step)) / (2.0 * step);
        // Second order: the third derivative is at most about ten, times step squared; and rounding over the step.
        assert!((f.derivative().at(x) - slope).abs() < 1e-9);
    }
}

/// Real roots beside complex ones.
#[test]
fn only_two_of_four_are_real() {
    let (p, q, w) = ([0.0, -0.4, 0.0], [0.0, 0.2, 0.0], [-1.34, 1.34, 0.0]);
    let u = [w[0], w[1] + 2.0 * p[1], 0.0];
    let f = Harmonics::product(q, q).minus(Harmonics::product(u, w));
    let places = f.derivative().root_places().unwrap();
    for root in [0.0, std::f64::consts::PI] {
        let near = |place: &f64| {
            let away = (place - root).rem_euclid(TAU);
            away.min(TAU - away)
        };
        let nearest = places.iter().map(near).fold(f64::INFINITY, f64::min);
        assert!(nearest < PLACE, "{root}: {places:?}");
    }
}
