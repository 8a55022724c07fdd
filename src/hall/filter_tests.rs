use super::*;

/// A few roundings.
const ROUNDING: f64 = 16.0 * f64::EPSILON;

fn near(value: f64, expected: f64, share: f64) {
    assert!(
        (value - expected).abs() <= share * expected.abs(),
        "{value}, not {expected}"
    );
}

#[test]
fn a_resistor_and_a_capacitor_make_a_filter() {
    let filter = LowPass::from_rc(4.7e3, 22e-9).unwrap();
    // R C = 103.4 us; 1 / (2 pi 103.4 us) = 1539.2 Hz.
    near(filter.cutoff(), 1539.2, 1e-4);
    near(filter.time_constant(), 103.4e-6, ROUNDING);
    near(filter.group_delay(), 103.4e-6, ROUNDING);
    // White noise through R C has the bandwidth 1 / (4 R C).
    near(filter.noise_bandwidth(), 0.25 / 103.4e-6, ROUNDING);
}

#[test]
fn at_the_cutoff_the_power_is_half_and_the_phase_an_eighth_of_a_turn() {
    let filter = LowPass::new(1e3).unwrap();
    near(filter.gain(1e3).unwrap(), 0.5_f64.sqrt(), ROUNDING);
    near(filter.phase(1e3).unwrap(), -0.25 * PI, ROUNDING);
    assert_eq!(
        (filter.gain(0.0).unwrap(), filter.phase(0.0).unwrap()),
        (1.0, 0.0)
    );
    // Far above, 20 dB a decade.
    near(filter.gain(1e9).unwrap(), 1e-6, 1e-9);
    assert!(filter.gain(1e12).unwrap() > 0.0);
    for frequency in [-1.0, f64::NAN, 1.1e12] {
        assert!(filter.gain(frequency).is_err() && filter.phase(frequency).is_err());
    }
}

#[test]
fn a_slow_motion_is_late_by_the_group_delay() {
    // Phase over angular frequency, well below the cutoff.
    let filter = LowPass::new(50.0).unwrap();
    let frequency = 1e-3;
    let delay = -filter.phase(frequency).unwrap() / (TAU * frequency);
    // The next term of the arctangent is (f/f_c)^2 / 3.
    near(delay, filter.group_delay(), 1e-9);
}

#[test]
fn a_step_settles_by_its_logarithm() {
    let filter = LowPass::new(100.0).unwrap();
    let time = filter.settling_time(0.01).unwrap();
    near((-time / filter.time_constant()).exp(), 0.01, ROUNDING);
    // Half a step of 12 bits: 13 ln 2 time constants.
    let half_step = filter.settling_time(0.5_f64.powi(13)).unwrap();
    near(half_step, 13.0 * 2_f64.ln() / (200.0 * PI), ROUNDING);
    assert_eq!(filter.settling_time(1.0).unwrap().to_bits(), 0);
    for share in [0.0, -0.1, 1.1, f64::NAN] {
        assert!(filter.settling_time(share).is_err());
    }
}

#[test]
fn two_poles_pass_the_noise_of_both() {
    let filter = LowPass::new(100.0).unwrap();
    // Of a pole as slow as its own half the power; of one that is far faster f_c / f.
    near(filter.noise_share(100.0).unwrap(), 0.5_f64.sqrt(), ROUNDING);
    near(filter.noise_share(1e8).unwrap(), 1e-3, 1e-6);
    near(filter.noise_share(1e-3).unwrap(), 1.0, 1e-5);
    // Midpoint rule in the logarithm of the frequency for the power of white noise behind two poles.
    let (slow, fast) = (100.0_f64, 300.0_f64);
    let power = |f: f64| 1.0 / ((1.0 + (f / slow).powi(2)) * (1.0 + (f / fast).powi(2)));
    let step = 1e-3;
    let places = (0..40_000).map(|i| (-20.0 + (f64::from(i) + 0.5) * step).exp());
    let both: f64 = places.map(|f| power(f) * f * step).sum();
    let alone = FRAC_PI_2 * fast;
    // The rule's error for so smooth a function, and the band below exp(-20) Hz.
    near(
        filter.noise_share(fast).unwrap(),
        (both / alone).sqrt(),
        1e-7,
    );
}

#[test]
fn the_ends_of_each_range_are_allowed_and_nothing_beyond() {
    for cutoff in [1e-3, 1e9] {
        assert_eq!(LowPass::new(cutoff).unwrap().cutoff(), cutoff);
    }
    for cutoff in [1e-3_f64.next_down(), 1e9_f64.next_up(), 0.0, f64::NAN] {
        assert!(LowPass::new(cutoff).is_err());
    }
    for (resistance, capacitance, name) in [
        (0.0, 1e-9, "resistance of the filter"),
        (1e3, 0.0, "capacitance of the filter"),
        (1e12, 1.0, "cutoff frequency"),
        (1e-3, 1e-15, "cutoff frequency"),
    ] {
        let error = LowPass::from_rc(resistance, capacitance).unwrap_err();
        assert!(error.to_string().starts_with(name), "{error}");
    }
    assert!(Averaging::new(1, 1e-9).is_ok() && Averaging::new(1_000_000, 1e3).is_ok());
    for (samples, interval) in [
        (0, 1.0),
        (1_000_001, 1.0),
        (4, 0.0),
        (4, f64::NAN),
        (4, 1001.0),
    ] {
        assert!(Averaging::new(samples, interval).is_err());
    }
}

#[test]
fn white_noise_falls_with_the_root_of_the_samples() {
    let mean = Averaging::new(100, 1e-3).unwrap();
    near(mean.noise_factor(), 0.1, ROUNDING);
    near(mean.group_delay(), 49.5e-3, ROUNDING);
    assert_eq!((mean.samples(), mean.interval()), (100, 1e-3));
    near(mean.factor(Correlation::White).unwrap(), 0.1, ROUNDING);
    // A filter that forgets within a thousandth of the interval.
    let fast = LowPass::new(1e6).unwrap();
    near(mean.noise_factor_behind(&fast).unwrap(), 0.1, ROUNDING);
    assert_eq!(Averaging::new(1, 1.0).unwrap().group_delay(), 0.0);
}

/// The covariance matrix, summed.
fn by_the_matrix(samples: usize, interval: f64, correlation: impl Fn(f64) -> f64) -> f64 {
    let mut sum = 0.0;
    for i in 0..samples {
        for j in 0..samples {
            sum += correlation(interval * i.abs_diff(j) as f64);
        }
    }
    (sum / (samples * samples) as f64).sqrt()
}

#[test]
fn alike_samples_average_by_their_covariance() {
    for (samples, cutoff, interval) in [
        (1, 100.0, 1e-3),
        (2, 100.0, 1e-3),
        (50, 20.0, 1e-3),
        (300, 5.0, 1e-4),
    ] {
        let mean = Averaging::new(samples, interval).unwrap();
        let factor = mean
            .noise_factor_behind(&LowPass::new(cutoff).unwrap())
            .unwrap();
        let matrix = by_the_matrix(samples, interval, |lag| (-TAU * cutoff * lag).exp());
        // Sums of up to 90,000 terms.
        near(factor, matrix, 1e-12);
    }
    // Two samples: (1 + rho) / 2 of the variance.
    let rho = (-TAU * 0.1_f64).exp();
    let pair = Averaging::new(2, 1e-3).unwrap();
    let factor = pair
        .noise_factor_behind(&LowPass::new(100.0).unwrap())
        .unwrap();
    near(factor, (0.5 * (1.0 + rho)).sqrt(), ROUNDING);
    // The closed form of the sum, with 1000 samples over some 60 time constants.
    let (count, rho) = (1000.0, (-TAU * 10.0 * 1e-3_f64).exp());
    let closed = ((1.0 + rho) / (1.0 - rho)
        - 2.0 * rho * (1.0 - rho.powf(count)) / (count * (1.0 - rho).powi(2)))
        / count;
    let mean = Averaging::new(1000, 1e-3).unwrap();
    let factor = mean
        .noise_factor_behind(&LowPass::new(10.0).unwrap())
        .unwrap();
    near(factor, closed.sqrt(), 1e-12);
}

#[test]
fn two_poles_correlate_more_than_the_slower_one() {
    let two = |a, b, lag| Correlation::TwoPoles([a, b]).at(lag);
    // (w2 exp(-w1 t) - w1 exp(-w2 t)) / (w2 - w1), and (1 + w t) exp(-w t) where they are one.
    let (w1, w2, t) = (TAU * 10.0, TAU * 35.0, 0.01_f64);
    near(
        two(10.0, 35.0, t),
        (w2 * (-w1 * t).exp() - w1 * (-w2 * t).exp()) / (w2 - w1),
        ROUNDING,
    );
    assert_eq!(two(10.0, 35.0, t), two(35.0, 10.0, t));
    near(
        two(10.0, 10.0, t),
        (1.0 + w1 * t) * (-w1 * t).exp(),
        ROUNDING,
    );
    near(two(10.0, 10.0 + 1e-9, t), two(10.0, 10.0, t), 1e-9);
    assert!(two(10.0, 35.0, t) > Correlation::OnePole(10.0).at(t));
    // A fast second pole does not matter.
    near(two(10.0, 1e9, t), Correlation::OnePole(10.0).at(t), 1e-7);
    // What is left where the sum stops.
    for correlation in [Correlation::OnePole(3.0), Correlation::TwoPoles([3.0, 3.0])] {
        assert!(correlation.at(correlation.settled()) < f64::EPSILON);
    }
}

#[test]
fn a_motion_of_one_period_averages_out() {
    let mean = Averaging::new(8, 1e-3).unwrap();
    assert_eq!(mean.gain(0.0).unwrap(), 1.0);
    assert!(mean.gain(125.0).unwrap() < 1e-15);
    // At the sampling frequency and its multiples all samples are one, and beside them nearly so.
    assert_eq!(mean.gain(1000.0).unwrap(), 1.0);
    near(mean.gain(1000.0 + 1e-6).unwrap(), 1.0, 1e-12);
    // By the sum of eight phasors at 60 Hz.
    let (mut cos, mut sin) = (0.0, 0.0);
    for i in 0..8 {
        let turn = TAU * 0.06 * f64::from(i);
        (cos, sin) = (cos + turn.cos() / 8.0, sin + turn.sin() / 8.0);
    }
    near(mean.gain(60.0).unwrap(), cos.hypot(sin), ROUNDING);
    assert!(mean.gain(-1.0).is_err());
    assert_eq!(Averaging::new(1, 1e-3).unwrap().gain(333.0).unwrap(), 1.0);
}
