use std::cell::Cell;

use super::*;
use crate::error::Error;

/// A few dozen roundings of values up to one, summed from up to 65 terms.
const ROUNDING: f64 = 1e-14;

fn of(stretch: [f64; 2], pieces: usize, f: impl Fn(f64) -> f64) -> (Chebyshev, usize) {
    let used = Cell::new(0);
    let many = |places: &[f64]| {
        used.set(used.get() + places.len());
        Ok(places.iter().map(|&x| f(x)).collect())
    };
    let tolerance = |[least, most]: [f64; 2]| 1e-13 * (most - least) + 1e-15;
    let found = Chebyshev::of(stretch, pieces, tolerance, many).expect("nothing refuses");
    (found, used.get())
}

#[test]
fn a_smooth_function_takes_a_few_dozen_values() {
    let (sine, used) = of([-1.0, 2.0], 1, f64::sin);
    assert_eq!(used, 36);
    for i in 0..=1000 {
        let x = -1.0 + 3e-3 * f64::from(i);
        assert!((sine.value(x) - x.sin()).abs() < ROUNDING, "{x}");
        // A derivative of a series of n terms loses n^2 / half the length, here 700.
        assert!((sine.slope(x) - x.cos()).abs() < 700.0 * ROUNDING, "{x}");
    }
}

#[test]
fn polynomials_are_themselves() {
    // x^3 - x on an uneven stretch, where the ends are the values there to the last bit.
    let f = |x: f64| x * x * x - x;
    let (cubic, _) = of([-0.7, 1.9], 1, f);
    let (places, values) = cubic.nodes();
    assert_eq!((places[0], places[32]), (-0.7, 1.9));
    assert!(places.is_sorted_by(|a, b| a < b));
    assert!(places.iter().zip(&values).all(|(&x, &y)| f(x) == y));
    for x in [-0.7, -0.2, 0.0, 0.9, 1.9] {
        assert!((cubic.value(x) - f(x)).abs() < ROUNDING);
        assert!((cubic.slope(x) - (3.0 * x * x - 1.0)).abs() < 700.0 * ROUNDING);
    }
}

#[test]
fn a_narrow_feature_is_cut_out() {
    // A peak whose half-width is a hundredth of the stretch.
    let f = |x: f64| 1.0 / (1.0 + 1e4 * (x - 0.3) * (x - 0.3));
    let (peak, used) = of([-1.0, 1.0], 1, f);
    assert!(used < 1500, "{used}");
    for i in 0..=4000 {
        let x = -1.0 + 5e-4 * f64::from(i);
        assert!((peak.value(x) - f(x)).abs() < 1e-12, "{x}");
    }
}

#[test]
fn a_root_at_the_end_is_followed_to_its_digits() {
    let f = |x: f64| (1.0 - x).max(0.0).sqrt();
    let (root, used) = of([-1.0, 1.0], 1, f);
    assert!(used < 10_000, "{used}");
    for x in [-1.0, 0.0, 0.9, 0.999, 1.0 - 1e-9, 1.0] {
        assert!((root.value(x) - f(x)).abs() < 1e-9, "{x}");
    }
}

#[test]
fn steps_and_noise_end() {
    let (_, used) = of([-1.0, 1.0], 1, |x| if x < 0.123 { 0.0 } else { 1.0 });
    assert!(used < 10_000, "{used}");
    // Noise of 1e-12, which no polynomial has.
    let (noisy, used) = of([-1.0, 1.0], 1, |x| x + 1e-12 * (1e9 * x).sin());
    assert!(used < 1000, "{used}");
    assert!((noisy.value(0.5) - 0.5).abs() < 1e-11);
}

#[test]
fn pieces_join() {
    let (sine, used) = of([-3.0, 3.0], 4, f64::sin);
    assert_eq!(used, 4 * 36);
    let (places, values) = sine.nodes();
    assert_eq!(places.len(), 4 * 32 + 1);
    assert!(places.is_sorted_by(|a, b| a < b));
    assert!(places.iter().zip(&values).all(|(x, y)| x.sin() == *y));
    assert!((sine.value(1.5) - 1.5_f64.sin()).abs() < ROUNDING);
}

#[test]
fn what_refuses_is_told() {
    let refused = Chebyshev::of(
        [0.0, 1.0],
        1,
        |_| 1e-12,
        |_| Err(Error::BehindPlate { depth: 1.0 }),
    );
    assert!(refused.is_err());
}

#[test]
fn several_functions_are_asked_for_together() {
    let used = [Cell::new(0), Cell::new(0), Cell::new(0)];
    let calls = Cell::new(0);
    // Smooth, with a narrow peak, and constant.
    let functions = [
        f64::sin,
        |x: f64| 1.0 / (1.0 + 1e4 * (x - 0.3) * (x - 0.3)),
        |_: f64| 0.25,
    ];
    let stretches = [([-0.5, 0.5], 1), ([-1.0, 1.0], 1), ([2.0, 3.0], 2)];
    let tolerance = |[least, most]: [f64; 2]| 1e-13 * (most - least) + 1e-15;
    let many = |places: &[(usize, f64)]| {
        calls.set(calls.get() + 1);
        let value = |&(of, x): &(usize, f64)| {
            used[of].set(used[of].get() + 1);
            functions[of](x)
        };
        Ok(places.iter().map(value).collect())
    };
    let found = Chebyshev::of_many(&stretches, DEGREES_FROM_AFAR, tolerance, many);
    let found = found.expect("nothing refuses");
    // 17 nodes and 3 checks a piece where the lowest degree does.
    assert_eq!([used[0].get(), used[2].get()], [20, 40]);
    assert!(
        used[1].get() < 2000 && calls.get() < 40,
        "{used:?} {calls:?}"
    );
    for ((one, function), ([lower, upper], _)) in found.iter().zip(functions).zip(stretches) {
        for i in 0..=4000 {
            let x = lower + (upper - lower) * f64::from(i) / 4000.0;
            assert!((one.value(x) - function(x)).abs() < 1e-12, "{x}");
        }
    }
}
