//! Monotone cubics beside SciPy's (1.16, PchipInterpolator, which takes the same slopes).

use super::Pchip;

/// Roundings of sums of a few products of the size 10.
const ROUNDING: f64 = 1e-14;

fn check(points: &[[f64; 2]], rows: &[[f64; 3]]) {
    let curve = Pchip::new(points).unwrap();
    for [x, value, slope] in rows {
        let at = curve.at(*x);
        assert!((at.value - value).abs() <= ROUNDING, "{x}: {at:?}");
        assert!(
            (at.slope - slope).abs() <= ROUNDING * 10.0,
            "{x}: {at:?} {slope}"
        );
    }
    for [x, y] in points {
        assert_eq!(curve.at(*x).value, *y);
    }
}

/// Uneven steps, a turn of the data, and an end that goes on as the three points before it do.
#[test]
fn value_slope_bend_and_area() {
    let points = [[0.0, 0.0], [1.0, 3.0], [2.0, 2.5], [4.0, 2.4]];
    let rows = [
        [0.0, 0.0, 4.75, -1.0, 0.0],
        [0.25, 1.13671875, 4.265625, -2.875, 0.14461263020833334],
        [0.5, 2.09375, 3.3125, -4.75, 0.5533854166666666],
        [1.5, 2.7625, -0.725, -0.1, 3.3515625],
        [3.0, 2.425, -0.05, 0.05, 7.1125],
        [3.9, 2.40025, -0.005, 0.05, 9.280825],
    ];
    check(
        &points,
        &rows.map(|[x, value, slope, ..]| [x, value, slope]),
    );
    let curve = Pchip::new(&points).unwrap();
    for [x, _, _, bend, area] in rows {
        assert!((curve.at(x).bend - bend).abs() <= 1e-12, "{x}");
        assert!((curve.at(x).area - area).abs() <= 1e-13, "{x}");
    }
}

/// An end slope against the data is none; one that is too steep where the data turn is held to three times theirs.
#[test]
fn ends_keep_the_shape_of_the_data() {
    check(
        &[[0.0, 0.0], [1.0, 0.1], [1.1, 3.0]],
        &[
            [0.0, 0.0, 0.0],
            [0.25, 0.002811696658097689, 0.02707797772065126],
            [0.5, 0.015831191088260504, 0.08166238217652101],
        ],
    );
    check(
        &[[0.0, 0.0], [1.0, 0.5], [1.5, -2.0]],
        &[
            [0.0, 0.0, 1.5],
            [0.25, 0.2890625, 0.84375],
            [0.5, 0.4375, 0.375],
            [1.25, -0.3229166666666668, -5.791666666666668],
        ],
    );
}

/// Two points make a line, one makes nothing.
#[test]
fn few_points() {
    check(
        &[[1.0, 2.0], [3.0, 5.0]],
        &[[0.0, 0.5, 1.5], [2.0, 3.5, 1.5], [4.0, 6.5, 1.5]],
    );
    assert_eq!(Pchip::new(&[[1.0, 2.0]]), None);
    assert_eq!(Pchip::new(&[]), None);
}
