//! The axis against a hand check and against textbook lines of best fit.

use yokewright::axis::linearity;
use yokewright::units::MT;

use crate::common;

/// A cube of 5 mm, polarized 1.3 T along the tangent, its center on an arm of 12 mm, the sensor 2 mm outside its outer
/// face reading the radial component, +-6 degrees: about 172 mT end to end and about 0.1 % independent linearity. A
/// hand estimate, so the tolerances are half of its last digit.
#[test]
fn hand_check_of_a_stick_axis() {
    let figures = common::axis().figures(1001).expect("the axis can be swept");
    assert!(
        (figures.flux_span().unwrap() / MT - 172.0).abs() < 0.5,
        "{}",
        figures.flux_span().unwrap() / MT
    );
    let percent = 100.0
        * figures
            .linearity_flux()
            .expect("the flux changes")
            .independent();
    assert!((percent - 0.1).abs() < 0.05, "{percent}");
}

/// Chebyshev: of all lines, 3x/4 departs least from x^3 on [-1, 1], by 1/4 (x^3 - 3x/4 = T3/4; any text on
/// approximation, e.g. Abramowitz and Stegun, table 22.3). The span is 2, so the independent linearity is 1/8. The line
/// through the ends is y = x, which departs most at x = 1/sqrt 3, by 2 / (3 sqrt 3). The error of sampling 2001 points
/// is below (1/1000)^2 of the departure.
#[test]
fn linearities_of_a_cubic() {
    let x: Vec<f64> = (-1000..=1000).map(|i| f64::from(i) / 1000.0).collect();
    let y: Vec<f64> = x.iter().map(|x| x.powi(3)).collect();
    let figures = linearity(&x, &y).expect("a plain characteristic");
    assert!((figures.independent() - 0.125).abs() < 1e-6);
    assert!((figures.independent_line().slope - 0.75).abs() < 1e-3);
    assert!((figures.terminal_based() - 1.0 / 27f64.sqrt()).abs() < 1e-6);
    // Through (-1, -1) with slope m = 3 q^2 the departures at x = -q and x = q are 1 - 3 q^2 +- 2 q^3: they balance at
    // q = 1/sqrt 3, m = 1, which is the line through the ends again.
    assert!((figures.zero_based() - 1.0 / 27f64.sqrt()).abs() < 1e-6);
    // A square on [0, 1] tells the two apart: through (0, 0) with slope m the departures are -m^2/4 and 1 - m, balanced
    // at m = 2 sqrt 2 - 2.
    let x = &x[1000..];
    let y: Vec<f64> = x.iter().map(|x| x * x).collect();
    let figures = linearity(x, &y).expect("a plain characteristic");
    assert!((figures.zero_based() - (3.0 - 8f64.sqrt())).abs() < 1e-5);
    assert!((figures.terminal_based() - 0.25).abs() < 1e-5);
}

/// Common practice: an ideal noiseless sensor that sweeps the whole range of a converter gives the converter's own bits
/// (IEEE Std 1241).
#[test]
fn effective_bits_of_the_whole_range_are_the_converters() {
    use nalgebra::Vector3;
    use yokewright::axis::{Arrangement, Moving};
    use yokewright::hall::{LinearHall, LinearHallSpec};
    // Rails at 0 and 5 V, a sensitivity that drives the output far beyond both ends: the span is the whole range.
    let sensor = LinearHall::new(LinearHallSpec {
        sensitivity: 500.0,
        rail_low: 0.0,
        rail_headroom: 0.0,
        noise: 0.0,
        direction: Vector3::z(),
        ..common::sensor_spec()
    })
    .expect("a plausible sensor");
    let axis = common::layout()
        .axis(common::THROW, sensor, common::converter(), Moving::Magnets)
        .expect("a plausible axis");
    let bits = axis
        .figures(1001)
        .expect("it can be swept")
        .effective_bits()
        .expect("it has a span");
    // Span 5 V over lsb 5/4096 V: exactly 12, but for rounding.
    assert!((bits - 12.0).abs() < 1e-12, "{bits}");
}
