use super::*;
use crate::hall::Rounding;

const ROUNDING: f64 = 16.0 * f64::EPSILON;

fn near(value: f64, expected: f64, share: f64) {
    assert!(
        (value - expected).abs() <= share * expected.abs(),
        "{value}, not {expected}"
    );
}

/// Steps of exactly 1 mV.
fn converter(noise: f64) -> Converter {
    Converter::new(12, 4.096, Rounding::Nearest, noise).unwrap()
}

#[test]
fn a_converter_alone_adds_its_noise_and_its_steps() {
    let chain = SignalChain::new(converter(0.3e-3).with_nonlinearity(1.5).unwrap());
    let noise = chain.noise(0.4e-3, Some(1e4)).unwrap();
    assert_eq!((noise.sensor, noise.converter), (0.4e-3, 0.3e-3));
    near(noise.quantization, 1e-3 / 12_f64.sqrt(), ROUNDING);
    near(noise.nonlinearity, 1.5e-3 / 3_f64.sqrt(), ROUNDING);
    near(noise.random(), 0.5e-3, ROUNDING);
    // 0.25 + 1/12 + 0.75 squares of a millivolt.
    near(noise.total(), 1e-3 * (13.0_f64 / 12.0).sqrt(), ROUNDING);
    near(
        noise.total(),
        chain.converter.total_noise(0.4e-3).unwrap(),
        ROUNDING,
    );
    assert_eq!(chain.group_delay(), 0.0);
}

#[test]
fn a_filter_passes_what_is_slower_than_itself() {
    let filter = LowPass::new(100.0).unwrap();
    let chain = SignalChain {
        filter: Some(filter),
        ..SignalChain::new(converter(0.0))
    };
    let sensor = |bandwidth| chain.noise(1e-3, bandwidth).unwrap().sensor;
    near(sensor(Some(300.0)), 0.5e-3, ROUNDING);
    // Nothing is known of its band.
    assert_eq!(sensor(None), 1e-3);
    near(chain.group_delay(), 1.0 / (200.0 * PI), ROUNDING);
}

#[test]
fn averaging_takes_each_noise_by_its_own_correlation() {
    let filter = LowPass::new(100.0).unwrap();
    let averaging = Averaging::new(16, 1e-3).unwrap();
    let chain = |filter| SignalChain {
        filter,
        averaging: Some(averaging),
        ..SignalChain::new(converter(2e-3))
    };
    let noise = chain(None).noise(3e-3, None).unwrap();
    near(noise.sensor, 0.75e-3, ROUNDING);
    near(noise.converter, 0.5e-3, ROUNDING);
    // A noise of some steps carries the voltage over them: the steps average like the noise.
    near(noise.quantization, 0.25e-3 / 12_f64.sqrt(), 1e-9);
    let behind = averaging.noise_factor_behind(&filter).unwrap();
    near(
        chain(Some(filter)).noise(3e-3, None).unwrap().sensor,
        3e-3 * behind,
        ROUNDING,
    );
    near(
        chain(None).noise(3e-3, Some(100.0)).unwrap().sensor,
        3e-3 * behind,
        ROUNDING,
    );
    // Both poles: half of the power of a sensor as slow as the filter passes, and is more alike.
    let both = chain(Some(filter)).noise(3e-3, Some(100.0)).unwrap().sensor;
    assert!(both > 3e-3 * behind * 0.5_f64.sqrt());
    near(
        chain(Some(filter)).group_delay(),
        1.0 / (200.0 * PI) + 7.5e-3,
        ROUNDING,
    );
}

#[test]
fn without_noise_averaging_leaves_the_steps() {
    let chain = SignalChain {
        averaging: Some(Averaging::new(1000, 1e-3).unwrap()),
        ..SignalChain::new(converter(0.0))
    };
    let noise = chain.noise(0.0, None).unwrap();
    near(noise.quantization, 1e-3 / 12_f64.sqrt(), ROUNDING);
    assert_eq!(noise.random(), 0.0);
}

#[test]
fn what_averaging_leaves_of_the_steps_is_that_of_a_dithered_converter() {
    // The mean code for a normal noise of s steps at a place x, and its square departure over all places, by brute
    // force.
    let left = |s: f64| {
        let places = 200;
        let square = |i: usize| {
            let x = (i as f64 + 0.5) / places as f64 - 0.5;
            // The mean of the error over the noise, by the midpoint rule over eight deviations either way.
            let steps = 4000;
            let width = 16.0 / f64::from(steps);
            let error = |j: i32| {
                let z = -8.0 + (f64::from(j) + 0.5) * width;
                let volts = x + s * z;
                (-0.5 * z * z).exp() * width * ((volts + 0.5).floor() - volts)
            };
            let mean = (0..steps).map(error).sum::<f64>() / (2.0 * PI).sqrt();
            mean * mean
        };
        (0..places).map(square).sum::<f64>() / places as f64
    };
    for s in [0.05, 0.1, 0.2, 0.3] {
        // The jumps of the rounded voltage between places of the rules.
        near(quantization_left(s * s), left(s), 5e-3);
    }
    near(quantization_left(0.0), 1.0 / 12.0, ROUNDING);
    // Where the two sums meet.
    let edge = 0.25 / (4.0 * PI * PI);
    near(
        quantization_left(edge * (1.0 - 1e-15)),
        quantization_left(edge * (1.0 + 1e-15)),
        1e-13,
    );
    assert!(quantization_left(4.0) < 1e-60);
}

#[test]
fn each_slip_is_named() {
    let chain = SignalChain::new(converter(0.0));
    for (noise, bandwidth, name) in [
        (-1e-3, None, "sensor noise"),
        (0.2, None, "sensor noise"),
        (f64::NAN, None, "sensor noise"),
        (1e-3, Some(0.0), "bandwidth"),
        (1e-3, Some(f64::INFINITY), "bandwidth"),
    ] {
        let error = chain.noise(noise, bandwidth).unwrap_err().to_string();
        assert!(error.starts_with(name), "{error}");
    }
}

/// The sum itself, with more terms than count.
fn summed(variance: f64) -> f64 {
    let term = |k: i32| {
        let square = f64::from(k).powi(2);
        (-4.0 * PI * PI * variance * square).exp() / (2.0 * PI * PI * square)
    };
    // Small terms first; what lies beyond a million is a part in ten million at no variance, and nothing else.
    (1..1_000_000).rev().map(term).sum()
}

#[test]
fn the_quick_sums_are_the_sum() {
    for rate in [1e-4_f64, 0.01, 0.1, 0.24, 0.26, 1.0, 3.0, 10.0] {
        let variance = rate / (4.0 * PI * PI);
        // Rounding of the parts of a twelfth that cancel.
        assert!(
            (quantization_left(variance) - summed(variance)).abs() < 1e-15,
            "{rate}"
        );
    }
}

#[test]
fn alike_readings_share_the_error_of_their_steps() {
    // Two readings, a noise of 0.3 steps with a correlation of one half, and 0.1 steps of the converter's own.
    let rho: f64 = 0.5;
    let filter = LowPass::new(100.0).unwrap();
    let interval = -rho.ln() / (200.0 * PI);
    let chain = SignalChain {
        filter: Some(filter),
        averaging: Some(Averaging::new(2, interval).unwrap()),
        ..SignalChain::new(converter(0.1e-3))
    };
    let found = chain.noise(0.3e-3, None).unwrap().quantization;
    let expected = 0.5 * (1.0 / 12.0 + summed(0.09 * (1.0 - rho) + 0.01));
    near(found, 1e-3 * expected.sqrt(), 1e-12);
}
