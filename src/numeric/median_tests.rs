use super::{MAD_TO_SD, median, quantile};

#[test]
fn the_middle_is_found_in_any_order() {
    assert_eq!(median(&mut [3.0, 1.0, 2.0]), 2.0);
    assert_eq!(median(&mut [4.0, 1.0, 3.0, 2.0]), 2.5);
    assert_eq!(median(&mut [7.0]), 7.0);
    assert!(median(&mut []).is_nan());
}

#[test]
fn quantiles_are_values_of_the_list() {
    let mut values: Vec<f64> = (0..=100).rev().map(f64::from).collect();
    assert_eq!(quantile(&mut values, 0.0), 0.0);
    assert_eq!(quantile(&mut values, 0.25), 25.0);
    assert_eq!(quantile(&mut values, 1.0), 100.0);
    assert!(quantile(&mut [], 0.5).is_nan());
}

#[test]
fn the_factor_is_that_of_the_normal_distribution() {
    // 1 / the 0.75 quantile of the standard normal distribution, 0.674489750196082 (any table).
    assert!((MAD_TO_SD - 1.0 / 0.674_489_750_196_082).abs() < 1e-12);
}
