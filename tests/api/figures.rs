//! Every figure of an axis by another route: a ball on the pivot, polarized across, whose flux density at a sensor
//! carried round it is a sine.
//!
//! Outside a uniformly polarized ball the field is that of a dipole: at a distance r the radial component is 2/3 J
//! (R/r)^3 sin(angle), with the angle from the plane across the polarization (textbook).

use nalgebra::{Isometry3, Point3, Rotation3, Translation3, UnitQuaternion, Vector3};
use serde_json::{Value, json};
use yokewright::Error;
use yokewright::axis::{
    Arrangement, Axis, AxisFigures, AxisSpec, Linearity, Mounting, Moving, Sweep, SwungLayout,
    SwungLayoutSpec, linearity,
};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::magnet::{FieldSource, MagnetGroup, Sphere};
use yokewright::units::{MM, MV};

use crate::common;

/// 2/3 of 1.2 T, eight times less at twice the radius of the ball.
const AMPLITUDE: f64 = 0.1;
/// 30 V/T at nine tenths of the nominal supply.
const GAIN: f64 = 27.0;
const QUIESCENT: f64 = 2.25;
const RAILS: [f64; 2] = [0.25, 4.15];
/// Of 12 bits and 4 V.
const LSB: f64 = 4.0 / 4096.0;
/// 2 mV at nine tenths of the nominal supply, and 1 mV of the converter.
const NOISE: f64 = 2.059_126_028_197_400_3e-3;

/// What the curve is followed to, as a part of the span.
const ACCURACY: f64 = 1e-9;

fn sensor() -> LinearHallSpec {
    LinearHallSpec {
        supply: 4.5,
        nominal_supply: 5.0,
        quiescent: 2.5,
        sensitivity: 30.0,
        rail_low: RAILS[0],
        rail_headroom: 0.35,
        noise: 2.0 * MV,
        depth: 0.5 * MM,
        // Into the package, away from the ball: so that the reading rises with the angle.
        direction: -Vector3::z(),
        ..LinearHallSpec::new(5.0, 25.0)
    }
}

/// The sensor carried round the ball; its active point 8 mm out, its face 7.5 mm.
fn spec(throw: [f64; 2], sensor: LinearHallSpec, reference: f64) -> AxisSpec {
    // The package's z axis looks back at the pivot.
    let back = Rotation3::from_axis_angle(&Vector3::y_axis(), -std::f64::consts::FRAC_PI_2);
    let ball = Sphere::new(8.0 * MM, Vector3::new(0.0, 1.2, 0.0), Isometry3::identity());
    let sensor_pose = Isometry3::from_parts(
        Translation3::new(7.5 * MM, 0.0, 0.0),
        UnitQuaternion::from_rotation_matrix(&back),
    );
    let converter = Converter::new(12, reference, Rounding::Nearest, 1.0 * MV);
    AxisSpec {
        moving: Moving::Sensor,
        ..AxisSpec::new(
            throw,
            ball.expect("a plausible ball"),
            LinearHall::new(sensor).expect("a plausible sensor"),
            sensor_pose,
            converter.expect("plausible"),
        )
    }
}

fn axis(throw: [f64; 2]) -> Axis {
    Axis::new(spec(throw, sensor(), 4.0)).expect("a plausible axis")
}

fn close(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not {b}");
}

/// A few roundings, as a part of the value.
fn same(a: f64, b: f64) {
    close(a, b, 1e-12 * b.abs());
}

#[test]
fn an_open_axis_by_hand() {
    let (lower, upper) = (-0.5_f64, 0.6_f64);
    let figures = axis([lower, upper]).figures(101).expect("it sweeps");
    let (low, high) = (lower.sin() * AMPLITUDE, upper.sin() * AMPLITUDE);
    same(figures.flux_span().unwrap(), high - low);
    same(figures.volts_span().unwrap(), GAIN * (high - low));
    let code = |flux: f64| ((QUIESCENT + GAIN * flux) / LSB + 0.5).floor() as i64;
    assert_eq!(figures.code_range(), [code(low), code(high)]);
    assert_eq!(figures.counts(), code(high) - code(low));
    same(
        figures.range_used(),
        (code(high) - code(low)) as f64 / 4095.0,
    );
    same(figures.gain_flux().unwrap(), AMPLITUDE);
    same(figures.gain_volts().unwrap(), GAIN * AMPLITUDE);
    same(figures.gain_counts(), GAIN * AMPLITUDE / LSB);
    assert_eq!(figures.monotonic_range(), [lower, upper]);
    assert!(figures.monotonic());
    assert_eq!(figures.clipped_share(), 0.0);
    // The sine is flattest at its farther end.
    let (center, worst) = (GAIN * AMPLITUDE, GAIN * AMPLITUDE * upper.cos());
    same(
        figures.step_quantization_center().expect("it moves"),
        LSB / center,
    );
    same(
        figures.step_quantization_worst().expect("it moves"),
        LSB / worst,
    );
    same(
        figures.step_noise_center().expect("it moves"),
        NOISE / center,
    );
    same(figures.step_noise_worst().expect("it moves"), NOISE / worst);
    let total = (NOISE * NOISE + LSB * LSB / 12.0).sqrt();
    let bits = (GAIN * (high - low) / (12f64.sqrt() * total)).log2();
    close(figures.effective_bits().expect("a span"), bits, 1e-12);
    // The face, 7.5 mm from the center of a ball of 4 mm, at every angle.
    close(figures.clearance(), 3.5 * MM, 1e-15);
}

#[test]
fn turning_the_ball_reads_the_other_way() {
    let mut spec = spec([-0.5, 0.6], sensor(), 4.0);
    spec.moving = Moving::Magnets;
    let figures = Axis::new(spec)
        .and_then(|axis| axis.figures(101))
        .expect("it sweeps");
    same(figures.gain_flux().unwrap(), -AMPLITUDE);
    let center = GAIN * AMPLITUDE;
    same(
        figures.step_quantization_center().expect("it moves"),
        LSB / center,
    );
    same(
        figures.step_noise_center().expect("it moves"),
        NOISE / center,
    );
    same(figures.gain_counts(), -GAIN * AMPLITUDE / LSB);
    same(
        figures.step_quantization_worst().expect("it moves"),
        LSB / (GAIN * AMPLITUDE * 0.6_f64.cos()),
    );
}

#[test]
fn a_clipped_axis_by_hand() {
    // The converter ends at 4095.5 steps, below the rail of 4.15 V; the rail cuts the output a little later.
    let (lower, upper) = (-0.5_f64, 0.9_f64);
    let ends = ((4095.5 * LSB - QUIESCENT) / GAIN / AMPLITUDE).asin();
    let figures = axis([lower, upper]).figures(101).expect("it sweeps");
    close(
        figures.clipped_share(),
        (upper - ends) / (upper - lower),
        1e-12,
    );
    same(
        figures.volts_span().unwrap(),
        RAILS[1] - (QUIESCENT + GAIN * AMPLITUDE * lower.sin()),
    );
    same(
        figures.flux_span().unwrap(),
        AMPLITUDE * (upper.sin() - lower.sin()),
    );
    assert_eq!(figures.code_range()[1], 4095);
    // Where the converter still follows.
    let worst = GAIN * AMPLITUDE * ends.cos();
    close(
        figures.step_quantization_worst().expect("it moves"),
        LSB / worst,
        1e-9 * LSB / worst,
    );
    close(
        figures.step_noise_worst().expect("it moves"),
        NOISE / worst,
        1e-9 * NOISE / worst,
    );

    // Both rails, and a converter that ends above them.
    let axis = Axis::new(spec([-1.2, 0.9], sensor(), 5.0)).expect("a plausible axis");
    let [first, last] = RAILS.map(|rail| ((rail - QUIESCENT) / GAIN / AMPLITUDE).asin());
    let figures = axis.figures(101).expect("it sweeps");
    close(figures.clipped_share(), 1.0 - (last - first) / 2.1, 1e-12);
    same(figures.volts_span().unwrap(), RAILS[1] - RAILS[0]);
    // The center lies between, so it has its gain.
    same(figures.gain_volts().unwrap(), GAIN * AMPLITUDE);
}

#[test]
fn clipped_at_the_center_there_is_no_step() {
    // A converter that ends below the quiescent output, and a throw within its reach on one side only.
    let axis = Axis::new(spec([-0.9, 0.2], sensor(), 2.0)).expect("a plausible axis");
    let figures = axis.figures(101).expect("it sweeps");
    assert_eq!(
        (figures.gain_volts().unwrap(), figures.gain_counts()),
        (0.0, 0.0)
    );
    same(figures.gain_flux().unwrap(), AMPLITUDE);
    assert_eq!(figures.step_quantization_center(), None);
    assert_eq!(figures.step_noise_center(), None);
    assert!(figures.step_quantization_worst().is_some());
    // All of it beyond the end: nothing follows.
    let axis = Axis::new(spec([-0.01, 0.2], sensor(), 2.0)).expect("a plausible axis");
    let figures = axis.figures(101).expect("it sweeps");
    assert_eq!(figures.clipped_share(), 1.0);
    assert_eq!(figures.step_quantization_worst(), None);
    assert_eq!(figures.step_noise_worst(), None);
    assert_eq!(figures.counts(), 0);
}

#[test]
fn a_reading_that_turns_back_turns_at_the_quarter() {
    let quarter = std::f64::consts::FRAC_PI_2;
    let weak = LinearHallSpec {
        sensitivity: 5.0,
        ..sensor()
    };
    for (throw, range) in [
        ([-2.0, 2.0], [-quarter, quarter]),
        ([-2.0, 1.0], [-quarter, 1.0]),
        ([0.0, 2.5], [0.0, quarter]),
        ([-1.7, 0.0], [-quarter, 0.0]),
    ] {
        let axis = Axis::new(spec(throw, weak.clone(), 4.0)).expect("a plausible axis");
        let figures = axis.figures(3).expect("it sweeps");
        let [lower, upper] = figures.monotonic_range();
        close(lower, range[0], 1e-12);
        close(upper, range[1], 1e-12);
        assert!(!figures.monotonic());
        assert_eq!(figures.step_quantization_worst(), None);
        // The greatest value is met between two points of any grid.
        let ends = throw.map(|angle| AMPLITUDE * angle.sin());
        let most = if throw[1] > quarter {
            AMPLITUDE
        } else {
            ends[0].max(ends[1])
        };
        let least = if throw[0] < -quarter {
            -AMPLITUDE
        } else {
            ends[0].min(ends[1])
        };
        close(
            figures.flux_span().unwrap(),
            most - least,
            ACCURACY * AMPLITUDE,
        );
    }
}

/// The ball with a smaller one outside the path, at 0.2 rad, which flattens the curve there.
fn flattened(throw: [f64; 2], sensor: LinearHallSpec, reference: f64) -> Axis {
    let mut spec = spec(throw, sensor, reference);
    let (sin, cos) = 0.2_f64.sin_cos();
    let ball = |diameter: f64, distance: f64, strength: f64| {
        let polarization = strength * Vector3::new(-sin, cos, 0.0);
        let place = Isometry3::translation(distance * cos, distance * sin, 0.0);
        Sphere::new(diameter, polarization, place).expect("a plausible ball")
    };
    spec.magnets = MagnetGroup::new([
        Sphere::new(8.0 * MM, Vector3::new(0.0, 1.2, 0.0), Isometry3::identity())
            .expect("a plausible ball"),
        ball(3.0 * MM, 12.0 * MM, 0.6),
    ])
    .expect("they stand clear of each other")
    .into();
    Axis::new(spec).expect("a plausible axis")
}

/// The angle at which the flux density is flattest while it lies between two limits, and its slope there, T/rad: by
/// differences on a dense grid.
fn flattest(axis: &Axis, between: [f64; 2]) -> (f64, f64) {
    let [lower, upper] = axis.throw();
    let flux = |angle: f64| axis.flux_at(angle).expect("clear of the balls");
    let angles = (0..=10_000).map(|i| lower + (upper - lower) * f64::from(i) / 10_000.0);
    let open = angles.filter(|&angle| (between[0]..=between[1]).contains(&flux(angle)));
    let slopes = open.map(|angle| {
        (
            angle,
            (flux(angle + 2e-5) - flux(angle - 2e-5)).abs() / 4e-5,
        )
    });
    slopes
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .expect("some of it is open")
}

#[test]
fn the_flattest_place_may_lie_inside() {
    // Differences over 4e-5 rad are off by 4e-10 / 6 of the third derivative, some tens of the slope where a ball
    // stands 4 mm off a path of 8 mm; half a step of the dense grid beside the place itself, by half its square times
    // as much.
    const ACCURACY: f64 = 1e-7;
    let throw = [-0.5, 0.6];
    let axis = flattened(throw, sensor(), 4.0);
    let (place, slope) = flattest(&axis, [-1.0, 1.0]);
    assert!(
        (place - 0.2).abs() < 0.05 && slope < 0.5 * AMPLITUDE,
        "{place} {slope}"
    );
    for points in [3, 101, 1000] {
        let figures = axis.figures(points).expect("it sweeps");
        assert!(figures.monotonic());
        let worst = GAIN * slope;
        close(
            figures.step_quantization_worst().expect("it moves") * worst / LSB,
            1.0,
            ACCURACY,
        );
        close(
            figures.step_noise_worst().expect("it moves") * worst / NOISE,
            1.0,
            ACCURACY,
        );
    }
    // Falling instead of rising, the same.
    let falling = LinearHallSpec {
        direction: Vector3::z(),
        ..sensor()
    };
    let figures = flattened(throw, falling, 4.0)
        .figures(101)
        .expect("it sweeps");
    close(
        figures.step_quantization_worst().expect("it moves") * GAIN * slope / LSB,
        1.0,
        ACCURACY,
    );
}

#[test]
fn a_flat_place_that_is_clipped_does_not_count() {
    let throw = [-0.5, 0.6];
    let flux = flattened(throw, sensor(), 4.0)
        .flux_at(0.15)
        .expect("clear of the balls");
    // What lies beyond 0.15 rad is cut off: by the end of the converter; where the output falls, by the low rail.
    let reference = (QUIESCENT + GAIN * flux) * 4096.0 / 4095.5;
    let above = flattened(throw, sensor(), reference);
    let falling = LinearHallSpec {
        direction: Vector3::z(),
        rail_low: QUIESCENT - GAIN * flux,
        ..sensor()
    };
    let below = flattened(throw, falling, 4.0);
    for (axis, flux, lsb) in [
        (above, [-1.0, flux], reference / 4096.0),
        (below, [-flux, 1.0], LSB),
    ] {
        let (_, whole) = flattest(&axis, [-1.0, 1.0]);
        let (place, slope) = flattest(&axis, flux);
        assert!(
            place < 0.15 && slope > 1.02 * whole,
            "{place}: {slope} {whole}"
        );
        let worst = axis
            .figures(101)
            .expect("it sweeps")
            .step_quantization_worst();
        // The place of the cut lies within a step of the dense grid, 1.1e-4 rad, over which the slope changes by a few
        // times as much.
        close(worst.expect("it moves") * GAIN * slope / lsb, 1.0, 1e-3);
    }
}

#[test]
fn a_reading_that_is_level_at_the_center_has_no_gain() {
    // Polarized along the arm the curve is a cosine. All of it turned by an angle that no double holds, so that the
    // slope at the center is some rounding and not zero.
    let turn = Isometry3::rotation(0.7 * Vector3::z());
    let mut spec = spec([-0.5, 0.6], sensor(), 4.0);
    spec.sensor_pose = turn * spec.sensor_pose;
    spec.magnets = Sphere::new(
        8.0 * MM,
        turn * Vector3::new(-0.6, 0.0, 0.0),
        Isometry3::identity(),
    )
    .expect("a plausible ball")
    .into();
    let figures = Axis::new(spec)
        .and_then(|axis| axis.figures(101))
        .expect("it sweeps");
    assert_eq!(
        (figures.gain_flux().unwrap(), figures.gain_volts().unwrap()),
        (0.0, 0.0)
    );
    assert_eq!(figures.monotonic_range(), [0.0, 0.0]);
    assert_eq!(figures.step_quantization_center(), None);
    assert_eq!(figures.step_noise_center(), None);
    assert!(!figures.monotonic());
    close(
        figures.flux_span().unwrap(),
        0.5 * AMPLITUDE * (1.0 - 0.6_f64.cos()),
        ACCURACY * AMPLITUDE,
    );
}

/// Half the height of the narrowest strip that holds the samples: the height is a convex function of the slope, so its
/// least value is found by thirds.
fn narrowest(x: &[f64], y: &[f64]) -> f64 {
    let height = |slope: f64| {
        let rest = || x.iter().zip(y).map(|(x, y)| y - slope * x);
        rest().fold(f64::MIN, f64::max) - rest().fold(f64::MAX, f64::min)
    };
    least_convex(height) / 2.0
}

/// Greatest departure of the best line through the first sample.
fn from_the_first(x: &[f64], y: &[f64]) -> f64 {
    least_convex(|slope: f64| {
        let rest = x
            .iter()
            .zip(y)
            .map(|(u, v)| (v - y[0] - slope * (u - x[0])).abs());
        rest.fold(0.0, f64::max)
    })
}

fn least_convex(height: impl Fn(f64) -> f64) -> f64 {
    let (mut a, mut b) = (-20.0, 20.0);
    for _ in 0..90 {
        let (c, d) = (a + (b - a) / 3.0, b - (b - a) / 3.0);
        if height(c) < height(d) { b = d } else { a = c }
    }
    height(0.5 * (a + b))
}

#[test]
fn linearity_of_a_sine_and_of_a_clipped_one() {
    for throw in [[-0.5_f64, 0.6], [-1.2, 0.9], [-0.5, 0.9]] {
        let figures = axis(throw).figures(101).expect("it sweeps");
        // 20,001 angles: a vertex lies within half a step of 1e-4, so the departure is off by 1e-9 / 2 of the curvature
        // at most.
        let x: Vec<f64> = (0..=20_000)
            .map(|i| throw[0] + (throw[1] - throw[0]) * f64::from(i) / 20_000.0)
            .collect();
        let flux: Vec<f64> = x.iter().map(|x| AMPLITUDE * x.sin()).collect();
        let volts = flux
            .iter()
            .map(|b| (QUIESCENT + GAIN * b).clamp(RAILS[0], RAILS[1]));
        let volts: Vec<f64> = volts.collect();
        // A corner at a rail lies within a step of a sample, which the slope of 2.7 V/rad makes 1e-4 of the span.
        let corners = volts[0] == RAILS[0] || volts[20_000] == RAILS[1];
        for (figure, y, tolerance) in [
            (figures.linearity_flux(), &flux, 1e-8),
            (
                figures.linearity_volts(),
                &volts,
                if corners { 1e-4 } else { 1e-8 },
            ),
        ] {
            let figure = figure.expect("it changes");
            let span = y.iter().fold(f64::MIN, |m, v| m.max(*v))
                - y.iter().fold(f64::MAX, |m, v| m.min(*v));
            close(figure.independent(), narrowest(&x, y) / span, tolerance);
            close(figure.zero_based(), from_the_first(&x, y) / span, tolerance);
            let slope = (y[20_000] - y[0]) / (x[20_000] - x[0]);
            let departures = x
                .iter()
                .zip(y)
                .map(|(u, v)| (v - y[0] - slope * (u - x[0])).abs());
            close(
                figure.terminal_based(),
                departures.fold(0.0, f64::max) / span,
                tolerance,
            );
        }
    }
}

#[test]
fn the_corner_at_a_rail_counts_in_full() {
    // Clipped at both ends of a nearly straight curve, the best line runs level with the middle and the greatest
    // departure is at a corner: a ramp of slope s between level ends, symmetric. The line through the center with slope
    // q departs by (s - q) c at the corner c and by s c - q m at the end m; with opposite signs these balance at q = 2
    // s c / (c + m).
    let strong = LinearHallSpec {
        sensitivity: 200.0,
        quiescent: 2.2 / 0.9,
        ..sensor()
    };
    let figures = Axis::new(spec([-0.3, 0.3], strong, 5.0))
        .and_then(|axis| axis.figures(3))
        .expect("it sweeps");
    // 1.95 V either way at 180 V/T.
    let corner = (1.95_f64 / 180.0 / AMPLITUDE).asin();
    let slope = 2.0 * 1.95 / (corner + 0.3);
    let expected = (1.95 - slope * corner) / 3.9;
    let found = figures.linearity_volts().expect("it changes").independent();
    // The sine bends within the ramp, by less than its cube.
    close(found, expected, 1e-9);
}

/// The same figures whatever the number of points, for a plain, a clipped and a wide axis.
#[test]
fn figures_do_not_depend_on_the_number_of_points() {
    let cube = |throw: f64, sensitivity: f64| {
        let sensor = LinearHall::new(LinearHallSpec {
            sensitivity,
            ..common::sensor_spec()
        });
        let throw = [-throw, 0.83 * throw];
        common::layout()
            .axis(
                throw,
                sensor.expect("plausible"),
                common::converter(),
                Moving::Magnets,
            )
            .expect("plausible")
    };
    for axis in [
        cube(0.1, 25.0),
        cube(0.1, 50.0),
        cube(0.4, 20.0),
        cube(1.5, 40.0),
        axis([-0.5, 0.9]),
    ] {
        let numbers = |points: usize| {
            let figures = axis.figures(points).expect("it sweeps");
            let of = |l: Option<Linearity>| {
                l.map_or([0.0; 3], |l| {
                    [l.independent(), l.terminal_based(), l.zero_based()]
                })
            };
            let [a, b, c] = of(figures.linearity_flux());
            let [d, e, f] = of(figures.linearity_volts());
            let step = figures.step_quantization_worst().unwrap_or(0.0);
            let [lower, upper] = figures.monotonic_range();
            let bits = figures.effective_bits().expect("a span");
            let spans = [
                figures.flux_span().unwrap(),
                figures.volts_span().unwrap(),
                figures.clearance(),
            ];
            (
                [
                    spans[0], spans[1], spans[2], a, b, c, d, e, f, step, lower, upper, bits,
                ],
                figures,
            )
        };
        let (fine, best) = numbers(5001);
        for points in [3, 101, 500, 1001] {
            let (coarse, figures) = numbers(points);
            for (i, (a, b)) in coarse.iter().zip(&fine).enumerate() {
                assert!(
                    (a - b).abs() <= ACCURACY,
                    "figure {i} at {points} points: {a}, {b}"
                );
            }
            close(figures.clipped_share(), best.clipped_share(), 1e-12);
            assert_eq!(figures.code_range(), best.code_range());
        }
    }
}

#[test]
fn the_angle_of_clipping_is_the_angle_at_which_the_rail_is_met() {
    let sensor = LinearHall::new(LinearHallSpec {
        sensitivity: 50.0,
        ..common::sensor_spec()
    })
    .expect("plausible");
    let [low, high] = sensor.flux_range();
    let axis = common::layout()
        .axis(common::THROW, sensor, common::converter(), Moving::Magnets)
        .expect("plausible");
    // By halving, on the axis itself.
    let crossing = |limit: f64, mut inside: f64, mut outside: f64| {
        for _ in 0..100 {
            let middle = 0.5 * (inside + outside);
            let flux = axis.flux_at(middle).expect("clear of the magnet");
            if (low..=high).contains(&flux) {
                inside = middle
            } else {
                outside = middle
            }
        }
        assert!((axis.flux_at(inside).expect("clear") - limit).abs() < 1e-12);
        inside
    };
    let [lower, upper] = axis.throw();
    let rising = axis.flux_at(upper).expect("clear") > 0.0;
    let (first, last) = if rising { (low, high) } else { (high, low) };
    let open = crossing(last, 0.0, upper) - crossing(first, 0.0, lower);
    let clipped = axis.figures(3).expect("it sweeps").clipped_share();
    close(clipped, 1.0 - open / (upper - lower), 1e-12);
}

#[test]
fn the_least_clearance_is_met_between_the_points() {
    // The cube's edge swings past an inner sensor off its middle, where the face is neither at an end nor at the center
    // nearest.
    let layout = SwungLayout::new(SwungLayoutSpec {
        mounting: Mounting {
            offset: Vector3::new(0.0, 3.1 * MM, 0.0),
            ..Mounting::default()
        },
        ..common::layout_spec()
    })
    .expect("plausible");
    let axis = layout
        .axis(
            [-0.9, 0.8],
            common::sensor(),
            common::converter(),
            Moving::Magnets,
        )
        .expect("plausible");
    let (pose, least) = (axis.spec().sensor_pose, |angle: f64| {
        let magnets = axis.magnets_at(angle).expect("in range");
        magnets
            .distance(&(axis.spec().sensor_pose * Point3::origin()))
            .expect("a plain point")
    });
    let _ = pose;
    let dense = (0..=20_000).map(|i| least(-0.9 + 1.7 * f64::from(i) / 20_000.0));
    let dense = dense.fold(f64::MAX, f64::min);
    for points in [3, 64, 333] {
        let found = axis.sweep(points).expect("it sweeps").clearance();
        // Within the last step of 8.5e-5 rad a distance changes by its square times the arm at a smooth minimum.
        assert!(found <= dense && dense - found < 1e-9, "{found} {dense}");
        assert_eq!(axis.figures(points).expect("it sweeps").clearance(), found);
    }
}

// --- values that are read back
// --------------------------------------------------------------------------------------------------

fn stored<T: serde::Serialize>(value: &T) -> Value {
    serde_json::to_value(value).expect("it can be written")
}

#[test]
fn results_are_read_back_as_they_were() {
    for throw in [[-0.5, 0.6], [-2.0, 2.0], [0.0, 0.9]] {
        let axis = axis(throw);
        let (sweep, figures) = (
            axis.sweep(101).expect("it sweeps"),
            axis.figures(101).expect("it sweeps"),
        );
        assert_eq!(
            serde_json::from_value::<Sweep>(stored(&sweep)).expect("it is good"),
            sweep
        );
        assert_eq!(
            serde_json::from_value::<AxisFigures>(stored(&figures)).expect("it is good"),
            figures
        );
    }
}

#[test]
fn a_stored_sweep_passes_the_checks_of_a_computed_one() {
    let good = stored(&axis([-0.5, 0.6]).sweep(5).expect("it sweeps"));
    let spoiled = |change: &dyn Fn(&mut Value)| {
        let mut value = good.clone();
        change(&mut value);
        serde_json::from_value::<Sweep>(value)
            .expect_err("this must be refused")
            .to_string()
    };
    for list in ["flux", "volts", "counts", "clipped"] {
        let text = spoiled(&|v| {
            v[list].as_array_mut().expect("a list").pop();
        });
        assert!(
            text.contains(&format!("angle has 5 entries but {list} has 4")),
            "{text}"
        );
    }
    let empty = json!({"angle": [], "flux": [], "volts": [], "counts": [], "clipped": [], "clearance": 0.0});
    let text = serde_json::from_value::<Sweep>(empty)
        .expect_err("empty")
        .to_string();
    assert!(text.contains("points of the sweep: 0 given"), "{text}");
    for (place, value, word) in [
        ("/angle/1", json!(-0.3), "evenly spaced"),
        ("/angle/1", json!(null), "null"),
        ("/angle/0", json!(0.1), "lower end of the throw"),
        ("/angle/4", json!(9.0), "upper end of the throw"),
        ("/flux/2", json!(1e300), "flux density"),
        ("/volts/2", json!(-1.0), "sensor output"),
        ("/counts/2", json!(-1), "code"),
        ("/counts/2", json!(1_i64 << 24), "code"),
        ("/clearance", json!(-1.0), "clearance"),
    ] {
        let text = spoiled(&|v| *v.pointer_mut(place).expect("it is there") = value.clone());
        assert!(text.contains(word), "{place}: {text}");
    }
}

#[test]
fn a_stored_sweep_may_hold_what_lies_at_a_limit() {
    let good = stored(&axis([-0.5, 0.6]).sweep(5).expect("it sweeps"));
    let read = |place: &str, value: Value| {
        let mut changed = good.clone();
        *changed.pointer_mut(place).expect("it is there") = value;
        serde_json::from_value::<Sweep>(changed).is_ok()
    };
    let highest = (1_i64 << 24) - 1;
    for (place, least, most) in [
        ("/flux/2", -1e6, 1e6),
        ("/volts/2", 0.0, 40.0),
        ("/clearance", -1e-9, 100.0),
    ] {
        assert!(
            read(place, json!(least)) && read(place, json!(most)),
            "{place}"
        );
        for beyond in [f64::next_down(least), f64::next_up(most)] {
            assert!(!read(place, json!(beyond)), "{place}: {beyond}");
        }
    }
    assert!(read("/counts/2", json!(0)) && read("/counts/2", json!(highest)));
    // An angle may lie off its place, -0.225 rad, by 1e-12 of the throw of 1.1 rad.
    for (off, allowed) in [
        (0.9e-12, true),
        (-0.9e-12, true),
        (1.3e-12, false),
        (-1.3e-12, false),
    ] {
        assert_eq!(read("/angle/1", json!(-0.225 + off)), allowed, "{off}");
    }
}

#[test]
fn stored_figures_are_checked() {
    let good = stored(&axis([-0.5, 0.6]).figures(5).expect("it sweeps"));
    let refusal = |place: &str, value: Value| {
        let mut changed = good.clone();
        *changed.pointer_mut(place).expect("it is there") = value;
        serde_json::from_value::<AxisFigures>(changed)
            .err()
            .map(|error| error.to_string())
    };
    for (place, value, words) in [
        (
            "/max_code",
            json!(1_i64 << 24),
            "highest code = 16777216 counts",
        ),
        ("/max_code", json!(-1), "highest code = -1 counts"),
        (
            "/code_range/1",
            json!(4096),
            "upper end of the codes = 4096 counts",
        ),
        (
            "/code_range/1",
            json!(-1),
            "upper end of the codes = -1 counts",
        ),
        (
            "/code_range/0",
            json!(4000),
            "lower end of the codes = 4000 counts",
        ),
        (
            "/code_range/0",
            json!(-1),
            "lower end of the codes = -1 counts",
        ),
        ("/flux_span", json!(-5e-324), "flux span"),
        ("/volts_span", json!(-5e-324), "output span"),
        (
            "/monotonic_range/0",
            json!(5e-324),
            "lower end of the monotonic range",
        ),
        (
            "/monotonic_range/0",
            json!(-3.15),
            "lower end of the monotonic range",
        ),
        (
            "/monotonic_range/1",
            json!(-5e-324),
            "upper end of the monotonic range",
        ),
        (
            "/monotonic_range/1",
            json!(3.15),
            "upper end of the monotonic range",
        ),
        (
            "/clipped_share",
            json!(1.0_f64.next_up()),
            "clipped part of the throw",
        ),
        (
            "/clipped_share",
            json!(-5e-324),
            "clipped part of the throw",
        ),
        ("/step_quantization_center", json!(-5e-324), "step"),
        ("/step_quantization_worst", json!(-5e-324), "step"),
        ("/step_noise_center", json!(-5e-324), "step"),
        ("/step_noise_worst", json!(-5e-324), "step"),
        (
            "/linearity_flux/independent",
            json!(-5e-324),
            "independent linearity",
        ),
        (
            "/linearity_flux/terminal_based",
            json!(-5e-324),
            "terminal-based linearity",
        ),
        (
            "/linearity/zero_based",
            json!(-5e-324),
            "zero-based linearity",
        ),
        (
            "/linearity_flux/independent_line/slope",
            json!(null),
            "null",
        ),
        ("/clearance", json!(-1.1e-9), "clearance"),
        ("/clearance", json!(100.0_f64.next_up()), "clearance"),
    ] {
        let text = refusal(place, value).expect("this must be refused");
        assert!(
            text.starts_with(words) || words == "null",
            "{place}: {text}"
        );
    }
    for (place, value) in [
        ("/max_code", json!((1_i64 << 24) - 1)),
        ("/code_range/0", json!(0)),
        ("/code_range/1", json!(4095)),
        ("/flux_span", json!(0.0)),
        ("/volts_span", json!(0.0)),
        ("/monotonic_range/0", json!(0.0)),
        ("/monotonic_range/0", json!(-std::f64::consts::PI)),
        ("/monotonic_range/1", json!(0.0)),
        ("/monotonic_range/1", json!(std::f64::consts::PI)),
        ("/clipped_share", json!(0.0)),
        ("/clipped_share", json!(1.0)),
        ("/step_quantization_center", json!(null)),
        ("/step_quantization_worst", json!(null)),
        ("/step_noise_center", json!(0.0)),
        ("/step_noise_worst", json!(null)),
        ("/linearity_flux/independent", json!(0.0)),
        ("/effective_bits", json!(null)),
        ("/clearance", json!(-1e-9)),
        ("/clearance", json!(100.0)),
    ] {
        assert_eq!(refusal(place, value), None, "{place}");
    }
}

#[test]
fn less_than_a_picotesla_is_no_change() {
    // Of an amplitude A the span is A (sin 0.5 + sin 0.6) = 1.044 A, the slope A at the center and 0.825 A at the end.
    let figures = |amplitude: f64| {
        let mut spec = spec([-0.5, 0.6], sensor(), 4.0);
        let polarization = Vector3::new(0.0, 12.0 * amplitude, 0.0);
        let ball = Sphere::new(8.0 * MM, polarization, Isometry3::identity());
        spec.magnets = ball.expect("a plausible ball").into();
        Axis::new(spec)
            .and_then(|axis| axis.figures(65))
            .expect("it sweeps")
    };
    for (amplitude, changes, gain, worst) in [
        (0.95e-12, false, false, false),
        (0.97e-12, true, false, false),
        (1.03e-12, true, true, false),
        (1.20e-12, true, true, false),
        (1.23e-12, true, true, true),
    ] {
        let figures = figures(amplitude);
        assert_eq!(figures.flux_span().unwrap() > 0.0, changes, "{amplitude}");
        assert_eq!(figures.volts_span().unwrap() > 0.0, changes, "{amplitude}");
        assert_eq!(figures.linearity_flux().is_some(), changes, "{amplitude}");
        assert_eq!(figures.effective_bits().is_some(), changes, "{amplitude}");
        assert_eq!(figures.gain_flux().unwrap() > 0.0, gain, "{amplitude}");
        assert_eq!(
            figures.step_quantization_center().is_some(),
            gain,
            "{amplitude}"
        );
        assert_eq!(figures.step_noise_center().is_some(), gain, "{amplitude}");
        assert_eq!(
            figures.step_quantization_worst().is_some(),
            worst,
            "{amplitude}"
        );
        assert_eq!(figures.step_noise_worst().is_some(), worst, "{amplitude}");
    }
}

// --- directions
// -----------------------------------------------------------------------------------------------------------------

#[test]
fn a_direction_may_have_any_length() {
    let tilted = Vector3::new(0.1, -0.2, 0.97);
    let flux = |length: f64| {
        let mut spec = spec([-0.5, 0.6], sensor(), 4.0);
        spec.direction = tilted * length;
        Axis::new(spec).expect("it has a direction").flux_at(0.3)
    };
    let plain = flux(1.0).expect("clear of the ball");
    for length in [1e160, 1e300, 1e-160, 1e-200, 1e-310] {
        // Down there a double holds ten digits only.
        let tolerance = if length < 1e-300 { 1e-9 } else { 1e-15 };
        close(
            flux(length).expect("clear of the ball"),
            plain,
            tolerance * AMPLITUDE,
        );
    }
    // Powers of two change no digit.
    for length in [2.0_f64.powi(600), 2.0_f64.powi(-600)] {
        assert_eq!(flux(length), Ok(plain));
    }
    assert!((plain - flux(-1.0).expect("clear")).abs() > 0.01);
}

#[test]
fn lines_refuse_what_is_no_number() {
    let line = linearity(&[0.0, 1.0, 2.0], &[0.0, 1.0, 3.0])
        .expect("plain")
        .independent_line();
    close(
        line.at(2.0).expect("a number"),
        line.offset + 2.0 * line.slope,
        1e-15,
    );
    for x in [f64::NAN, f64::INFINITY, 1e308 * 1.5] {
        assert!(matches!(line.at(x), Err(Error::NotFinite { .. })), "{x}");
    }
}
