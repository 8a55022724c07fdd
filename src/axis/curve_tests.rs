use std::cell::{Cell, OnceCell};
use std::f64::consts::FRAC_PI_2;

use nalgebra::{Isometry3, Translation3, UnitQuaternion, Vector3};

use super::*;
use crate::axis::grid::even_angles;
use crate::axis::{AxisSpec, Moving};
use crate::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use crate::magnet::{MagnetGroup, Sphere};
use crate::units::DEG;

/// Flux density of the ball of [`axis`] at most, T: 2/3 of 1.2 T, eight times less at twice its radius (textbook).
const AMPLITUDE: f64 = 0.1;
/// Flux densities at which the output of its sensor, 2.5 V + 25 V/T, meets its rails of 0.2 and 4.7 V, T.
const RAILS: [f64; 2] = [-0.092, 0.088];

/// A ball on the pivot, polarized like this, and a sensor carried round it at twice its radius, which reads outward.
/// Polarized along y, a sine.
fn axis_round(polarization: Vector3<f64>, throw: [f64; 2], reference: f64) -> Axis {
    let ball = Sphere::new(8e-3, polarization, Isometry3::identity()).expect("a plausible ball");
    let sensor = LinearHallSpec {
        supply: 5.0,
        nominal_supply: 5.0,
        quiescent: 2.5,
        sensitivity: 25.0,
        rail_low: 0.2,
        rail_headroom: 0.3,
        noise: 0.0,
        depth: 0.0,
        direction: Vector3::z(),
        ..LinearHallSpec::new(5.0, 25.0)
    };
    let sensor = LinearHall::new(sensor).expect("a plausible sensor");
    let pose = Isometry3::from_parts(
        Translation3::new(8e-3, 0.0, 0.0),
        UnitQuaternion::from_axis_angle(&Vector3::y_axis(), FRAC_PI_2),
    );
    let converter = Converter::new(12, reference, Rounding::Nearest, 0.0).expect("plausible");
    Axis::new(AxisSpec {
        moving: Moving::Sensor,
        ..AxisSpec::new(throw, ball, sensor, pose, converter)
    })
    .expect("a plausible axis")
}

fn axis(throw: [f64; 2]) -> Axis {
    axis_round(Vector3::new(0.0, 1.2, 0.0), throw, 5.0)
}

/// Samples as they stand, open between -1 and 1 T.
fn samples<'a>(axis: &'a Axis, angle: &[f64], flux: &[f64]) -> Curve<'a> {
    Curve {
        axis,
        turns: None,
        smooth: smooth(axis, None, 3).expect("clear of the balls"),
        angle: angle.to_vec(),
        signal: flux.to_vec(),
        rails: [-2.0, 2.0],
        open: [-1.0, 1.0],
        even: OnceCell::new(),
    }
}

#[test]
fn a_grid_is_as_fine_as_it_must_be() {
    // A throw of 99.9 degrees takes 400 steps of a quarter of a degree, so 401 points; a narrow one 65.
    assert_eq!(grid_points([-49.95 * DEG, 49.95 * DEG]), 401);
    assert_eq!(grid_points([-DEG, DEG]), 65);
}

#[test]
fn a_parabola_turns_at_its_vertex() {
    // 3 - (x - 0.3)^2 on uneven places.
    let x = [0.0, 0.25, 1.0];
    let y = x.map(|x: f64| 3.0 - (x - 0.3) * (x - 0.3));
    let found: Vec<Vertex> = vertices(&x, &y).collect();
    let [vertex] = &found[..] else {
        panic!("one extreme")
    };
    // A few roundings of numbers up to 3.
    assert!((vertex.place - 0.3).abs() < 1e-15 && (vertex.value - 3.0).abs() < 1e-15);
    assert!((vertex.gain - 0.0025).abs() < 1e-15);
}

#[test]
fn the_least_value_is_followed_between_the_places() {
    let value = |x: f64| (x - 0.123).cosh();
    let x: Vec<f64> = (0..=10).map(|i| f64::from(i) * 0.1 - 0.5).collect();
    let y: Vec<f64> = x.iter().map(|&x| value(x)).collect();
    // Followed to 1e-11 of the range of the samples, 0.2.
    let found = least(&x, &y, |x| Ok(value(x))).expect("nothing refuses");
    assert!((found.value - 1.0).abs() < 1e-11, "{}", found.value);
    // The place of it: where the function changes by less than its rounding.
    assert!((found.place - 0.123).abs() < 1e-5, "{}", found.place);
}

#[test]
fn a_curve_has_its_center_its_extremes_and_its_crossings() {
    // A converter that ends at 4095.5 steps of 4 / 4096 V, below the high rail.
    let axis = axis_round(Vector3::new(0.0, 1.2, 0.0), [-2.0, 2.6], 4.0);
    let curve = Curve::new(&axis, 3).expect("clear of the ball");
    assert!(curve.angle.is_sorted_by(|a, b| a < b));
    assert_eq!(curve.angle.len(), curve.signal.len());
    assert_eq!(
        [curve.angle[0], *curve.angle.last().expect("an end")],
        [-2.0, 2.6]
    );
    assert!(curve.angle.contains(&0.0));
    for (angle, flux) in curve.angle.iter().zip(&curve.signal) {
        // Some dozen roundings of a sine of 0.1 T.
        assert!((AMPLITUDE * angle.sin() - flux).abs() < 1e-14, "{angle}");
    }
    // The sine turns at a quarter turn either way; what is left is less than 1e-11 of its span.
    let [least, most] = curve.signal_range();
    assert!(
        least + AMPLITUDE <= 2e-12 && AMPLITUDE - most <= 2e-12,
        "{least} {most}"
    );
    // Each limit is met on the way up and on the way down.
    let end = (4095.5 * 4.0 / 4096.0 - 2.5) / 25.0;
    let mut found = Vec::new();
    for limit in [RAILS[0], end, RAILS[1]] {
        let near = curve
            .signal
            .iter()
            .filter(|flux| (**flux - limit).abs() < 1e-15);
        assert_eq!(near.count(), 2, "{limit}");
        found.push((limit / AMPLITUDE).asin());
    }
    for angle in found {
        let turned = angle.signum() * 2.0 * FRAC_PI_2 - angle;
        for angle in [angle, turned] {
            // Where the sine is steep enough, its place is sharp: 0.39 of the amplitude at the low rail.
            let nearest = curve
                .angle
                .iter()
                .map(|a| (a - angle).abs())
                .fold(f64::MAX, f64::min);
            assert!(nearest < 1e-13, "{angle}: {nearest}");
        }
    }
    // Nine pieces of 30 degrees with 32 readings and what is midway, the center, six crossings, and a few places for
    // each of the two extremes.
    let extra = curve.angle.len() - (9 * 64 + 1) - 1 - 6;
    assert!((2..=10).contains(&extra), "{extra}");
}

#[test]
fn rounding_is_not_followed() {
    // Polarized along the pivot's axis there is no radial flux density in its plane, but for rounding.
    let axis = axis_round(Vector3::new(0.0, 0.0, 1.2), [-0.8, 0.7], 5.0);
    let mut curve = Curve::new(&axis, 3).expect("clear of the ball");
    // Three pieces and the center.
    let samples = 3 * 64 + 2;
    assert_eq!(curve.angle.len(), samples);
    // Samples that change by a few roundings of a field of 0.1 T, one up and one down.
    for (i, flux) in curve.signal.iter_mut().enumerate() {
        *flux = if i % 2 == 0 { 1e-17 } else { -1e-17 };
    }
    curve.follow_extremes().expect("clear of the ball");
    assert_eq!(curve.angle.len(), samples);
}

#[test]
fn the_clipped_part_goes_by_angle() {
    let axis = axis([-1.0, 1.0]);
    let angle = [-1.0, -0.5, 0.0, 0.25, 1.0];
    for (flux, clipped) in [
        // Open where both ends of a step are within the limits, which may be met.
        ([-2.0, -1.0, 0.0, 3.0, 1.0], 0.25 + 0.125 + 0.375),
        ([-1.0, 0.0, 1.0, 2.0, 1.0], 0.125 + 0.375),
        ([0.0, 1.5, 0.0, 0.5, -1.5], 0.25 + 0.25 + 0.375),
        ([-1.0, 0.0, 0.0, 0.0, 1.0], 0.0),
        ([2.0, 3.0, -2.0, -3.0, 2.0], 1.0),
    ] {
        assert_eq!(
            samples(&axis, &angle, &flux).clipped_share(),
            clipped,
            "{flux:?}"
        );
    }
}

#[test]
fn how_far_the_curve_goes_beyond_is_told() {
    let axis = axis([-1.0, 1.0]);
    let curve = samples(&axis, &[-1.0, 0.0, 1.0], &[-3.0, 0.0, 5.0]);
    assert_eq!(curve.signal_range(), [-3.0, 5.0]);
    assert_eq!(curve.beyond([-2.0, 4.5]), 1.0);
    assert_eq!(curve.beyond([-2.5, 3.0]), 2.0);
    assert_eq!(curve.beyond([-3.0, 5.0]), 0.0);
    assert_eq!(beyond([-1.0, 2.0], -3.0), 2.0);
    assert_eq!(beyond([-1.0, 2.0], 5.0), 3.0);
    assert_eq!(beyond([-1.0, 2.0], 0.5), 0.0);
}

#[test]
fn places_join_the_samples_in_order_and_once() {
    let axis = axis([-1.0, 1.0]);
    let mut curve = samples(&axis, &[-1.0, 0.0, 1.0], &[-0.5, 0.25, 0.5]);
    curve.add(vec![0.3, -0.2, 0.3]).expect("clear of the ball");
    assert_eq!(curve.angle, [-1.0, -0.2, 0.0, 0.3, 1.0]);
    let read = |angle: f64| axis.flux_at(angle).expect("clear of the ball");
    assert_eq!(curve.signal, [-0.5, read(-0.2), 0.25, read(0.3), 0.5]);
    // One that is there already gets the new value.
    curve.add_known(0.3, 0.75);
    assert_eq!(curve.angle, [-1.0, -0.2, 0.0, 0.3, 1.0]);
    assert_eq!(curve.signal[3], 0.75);
}

#[test]
fn a_place_lies_in_its_segment() {
    let angle = [-1.0, 0.0, 2.0, 3.0];
    for (place, expected) in [
        (-1.0, 0),
        (-0.5, 0),
        (0.0, 1),
        (1.9, 1),
        (2.0, 2),
        (2.5, 2),
        (3.0, 2),
    ] {
        assert_eq!(segment(&angle, place), expected, "{place}");
    }
}

#[test]
fn a_level_place_does_not_end_the_monotonic_range() {
    let axis = axis([-2.0, 2.0]);
    let curve = samples(&axis, &[-2.0, -1.0, 0.0, 1.0, 2.0], &[0.0; 5]);
    assert_eq!(
        curve.monotonic_range(&[1.0, 0.0, 1.0, 0.0, 1.0], 1.0),
        [-2.0, 2.0]
    );
    assert_eq!(
        curve.monotonic_range(&[-1.0, 0.0, -1.0, 0.0, -1.0], -1.0),
        [-2.0, 2.0]
    );
    assert_eq!(curve.monotonic_range(&[1.0; 5], 0.0), [0.0, 0.0]);
    // The slope of a sine is zero at a quarter turn, between the samples that differ in sign.
    let [lower, upper] = curve.monotonic_range(&[-1.0, 1.0, 1.0, 1.0, -1.0], 1.0);
    assert!((lower + FRAC_PI_2).abs() < 1e-14 && (upper - FRAC_PI_2).abs() < 1e-14);
    // The samples next to the center count as well.
    let near = samples(&axis, &[-2.0, -1.9, 0.0, 1.9, 2.0], &[0.0; 5]);
    let [lower, upper] = near.monotonic_range(&[-1.0, -1.0, 1.0, -1.0, -1.0], 1.0);
    assert!((lower + FRAC_PI_2).abs() < 1e-14 && (upper - FRAC_PI_2).abs() < 1e-14);
    // Each side by itself.
    let [lower, upper] = curve.monotonic_range(&[-1.0, 1.0, 1.0, 1.0, 1.0], 1.0);
    assert!((lower + FRAC_PI_2).abs() < 1e-14 && upper == 2.0);
    let [lower, upper] = curve.monotonic_range(&[1.0, 1.0, 1.0, 1.0, -1.0], 1.0);
    assert!(lower == -2.0 && (upper - FRAC_PI_2).abs() < 1e-14);
}

#[test]
fn a_sample_is_an_extreme_only_if_the_curve_turns_there() {
    let found =
        |x: [f64; 3], y: [f64; 3]| vertices(&x, &y).next().map(|v| (v.place, v.value, v.gain));
    let even = [0.0, 1.0, 2.0];
    // Rising, falling and level.
    assert_eq!(found(even, [0.0, 1.0, 3.0]), None);
    assert_eq!(found(even, [3.0, 1.0, 0.0]), None);
    assert_eq!(found(even, [1.0, 1.0, 1.0]), None);
    // Level on one side: the parabola 1 + (x - x^2) / 2 turns between the two.
    assert_eq!(found(even, [1.0, 1.0, 0.0]), Some((0.5, 1.125, 0.125)));
    assert_eq!(found(even, [0.0, 1.0, 1.0]), Some((1.5, 1.125, 0.125)));
    // A minimum: (x - 3/4)^2.
    assert_eq!(
        found(even, [0.5625, 0.0625, 1.5625]),
        Some((0.75, 0.0, 0.0625))
    );
    // One that stands on the sample itself tells nothing new.
    assert_eq!(found(even, [1.0, 0.0, 1.0]), None);
    // Slopes whose product is too small for a double: the curve rises, so the parabola turns outside or at an end.
    for y in [
        [0.0, 1.0, 3.0],
        [0.0, 2.0, 3.0],
        [0.0, 1.0, 4.0],
        [0.0, 3.0, 4.0],
    ] {
        assert_eq!(found(even, y.map(|y| 1e-200 * y)), None, "{y:?}");
    }
}

#[test]
fn few_places_are_tried_for_the_least_value() {
    let tried = Cell::new(0);
    let value = |x: f64| {
        tried.set(tried.get() + 1);
        Ok((x - 0.123).cosh())
    };
    let x: Vec<f64> = (0..=10).map(|i| f64::from(i) * 0.1 - 0.5).collect();
    let y: Vec<f64> = x.iter().map(|x| (x - 0.123).cosh()).collect();
    let found = least(&x, &y, value).expect("nothing refuses");
    assert!((found.value - 1.0).abs() < 1e-11, "{}", found.value);
    // Each parabola doubles the digits or nearly so.
    assert!((1..=4).contains(&tried.get()), "{}", tried.get());
    // At an end there is nothing to follow.
    tried.set(0);
    let found = least(&[0.0, 1.0, 2.0], &[1.0, 2.0, 3.0], value).expect("nothing refuses");
    assert_eq!(
        [found.place, found.value, f64::from(tried.get())],
        [0.0, 1.0, 0.0]
    );
}

/// The sine with a smaller ball outside the path at 0.2 rad, which flattens it there.
fn flattened() -> Axis {
    let mut spec = axis([-0.5, 0.6]).spec().clone();
    let (sin, cos) = 0.2_f64.sin_cos();
    let balls = [
        Sphere::new(8e-3, Vector3::new(0.0, 1.2, 0.0), Isometry3::identity()),
        Sphere::new(
            3e-3,
            0.6 * Vector3::new(-sin, cos, 0.0),
            Isometry3::translation(12e-3 * cos, 12e-3 * sin, 0.0),
        ),
    ];
    spec.magnets = MagnetGroup::new(balls.map(|ball| ball.expect("a plausible ball")))
        .expect("clear of each other")
        .into();
    Axis::new(spec).expect("a plausible axis")
}

#[test]
fn the_least_slope_is_followed_from_any_grid() {
    let axis = flattened();
    let slope = |angle: f64| axis.signal_slope_at(angle).expect("clear of the balls");
    // By thirds, between places where the slope falls and where it rises again.
    let (mut a, mut b) = (0.0, 0.4);
    for _ in 0..100 {
        let (c, d) = (a + (b - a) / 3.0, b - (b - a) / 3.0);
        if slope(c) < slope(d) { b = d } else { a = c }
    }
    let least = slope(0.5 * (a + b));
    assert!(slope(0.0) > 1.1 * least && slope(0.4) > 1.1 * least);
    for steps in [9, 16, 31, 300] {
        let angle = even_angles([-0.5, 0.6], steps + 1);
        let curve = samples(&axis, &angle, &vec![0.0; steps + 1]);
        let slopes = curve.slopes();
        let found = curve.least_slope(&slopes).expect("clear of the balls");
        // Followed until a step gains less than 1e-11 of the greatest slope, 0.1 T/rad; what is left is less again.
        assert!((found - least).abs() < 2e-12, "{steps}: {found} {least}");
    }
}

#[test]
fn only_an_open_step_has_a_least_slope() {
    let axis = flattened();
    let angle = even_angles([-0.5, 0.6], 12);
    let exact = |&angle: &f64| axis.signal_slope_at(angle).expect("clear of the balls");
    let slope: Vec<f64> = angle.iter().map(exact).collect();
    let found = |flux: [f64; 12]| {
        let curve = samples(&axis, &angle, &flux);
        curve.least_slope(&slope).expect("clear of the balls")
    };
    // A sample beyond the limits closes the steps at its either side. The slope falls from -0.2 to 0.2 rad; away from
    // the flat place it is that of the sine, or more.
    let (open, closed) = (0.0, 9.0);
    let mut flux = [closed; 12];
    assert_eq!(found(flux), 0.0);
    // Open from -0.2 to 0.1 rad, samples 3 to 6.
    flux[3..=6].fill(open);
    assert_eq!(found(flux), slope[6]);
    // The first step alone, and the last alone.
    let mut flux = [closed; 12];
    flux[..2].fill(open);
    assert_eq!(found(flux), slope[0].min(slope[1]));
    let mut flux = [closed; 12];
    flux[10..].fill(open);
    assert_eq!(found(flux), slope[10].min(slope[11]));
}
