use super::{huber, least_squares};

/// 1, x, x^2 at 2001 places, more than one block of rows.
fn quadratic(i: usize, values: &mut [f64]) -> f64 {
    let x = i as f64 / 1000.0 - 1.0;
    for (power, value) in values.iter_mut().enumerate() {
        *value = x.powi(power as i32);
    }
    3.0 - 2.0 * x + 0.5 * x * x
}

#[test]
fn exact_rows_give_the_coefficients_to_rounding() {
    for fit in [
        least_squares(2001, 3, |_| 1.0, quadratic).unwrap(),
        least_squares(2001, 3, |i| 1.0 + i as f64, quadratic).unwrap(),
        huber(2001, 3, quadratic).unwrap(),
    ] {
        for (found, wanted) in fit.unwrap().iter().zip([3.0, -2.0, 0.5]) {
            assert!((found - wanted).abs() < 1e-13, "{found} {wanted}");
        }
    }
}

#[test]
fn a_mean_is_weighted() {
    // (1 * 2 + 3 * 6) / 4.
    let fit = least_squares(
        2,
        1,
        |i| [1.0, 3.0][i],
        |i, values| {
            values[0] = 1.0;
            [2.0, 6.0][i]
        },
    );
    assert!((fit.unwrap().unwrap()[0] - 5.0).abs() < 1e-14);
}

#[test]
fn outliers_move_the_robust_fit_little_and_the_plain_one_much() {
    let row = |i: usize, values: &mut [f64]| {
        let wanted = quadratic(i, values);
        // A small ripple for a scale, and one row in fifty far off.
        let ripple = if i.is_multiple_of(2) { 0.01 } else { -0.01 };
        wanted + if i % 50 == 7 { 10.0 } else { ripple }
    };
    let plain = least_squares(2001, 3, |_| 1.0, row).unwrap().unwrap();
    let robust = huber(2001, 3, row).unwrap().unwrap();
    // 2 % of 10 in the one, 2 % of 1.345 scales of 0.0148 in the other.
    assert!((plain[0] - 3.0).abs() > 0.1, "{plain:?}");
    assert!((robust[0] - 3.0).abs() < 1e-3, "{robust:?}");
}

#[test]
fn rows_that_do_not_tell_give_none() {
    let same = |_: usize, values: &mut [f64]| {
        values.fill(2.0);
        1.0
    };
    assert_eq!(least_squares(100, 2, |_| 1.0, same).unwrap(), None);
    assert_eq!(least_squares(2, 3, |_| 1.0, quadratic).unwrap(), None);
    assert_eq!(least_squares(0, 1, |_| 1.0, quadratic).unwrap(), None);
    assert_eq!(huber(2, 3, quadratic).unwrap(), None);
}
