//! Sums of delays over the whole of what a stage may be, and garbage.

use proptest::collection::vec;
use proptest::prelude::*;
use yokewright::axis::{CameraRuns, Delay, LatencyBudget, LatencyStage, StageKind, runs_needed};

/// A share of 1 that roundings of a sum of polynomials amount to.
const ROUNDING: f64 = 1e-9;

fn delay() -> impl Strategy<Value = Delay> {
    let time = || (0.0..7.0_f64).prop_map(|digits| 0.05 * 10f64.powf(-digits));
    prop_oneof![
        time().prop_map(|time| Delay::fixed(time).unwrap()),
        (time(), time()).prop_map(|(low, width)| Delay::uniform(low, low + width).unwrap()),
        (time(), 0.0..=1.0).prop_map(|(interval, missed)| Delay::wait(interval, missed).unwrap()),
        (time(), time(), 0.0..=1.0).prop_map(|(low, width, share)| {
            Delay::triangular(low, low + share * width, low + width).unwrap()
        }),
        vec(time(), 1..8).prop_map(|times| Delay::sample(times).unwrap()),
    ]
}

fn budget(delays: Vec<Delay>) -> LatencyBudget {
    let stages = delays.into_iter().enumerate().map(|(i, delay)| {
        let stage = LatencyStage::new(StageKind::Other, delay);
        stage.named(i.to_string()).unwrap()
    });
    LatencyBudget::new(stages.collect()).unwrap()
}

proptest! {
    #[test]
    fn a_quantile_is_the_first_time_that_keeps_its_share(
        delays in vec(delay(), 1..9),
        share in 0.0..=1.0,
    ) {
        let budget = budget(delays);
        let [least, greatest] = budget.range();
        let time = budget.quantile(share).unwrap();
        prop_assert!(least <= time && time <= greatest);
        let kept = |time: f64| budget.distribution(time).unwrap();
        let aside = 1e-12 * greatest;
        prop_assert!(kept(time + aside) >= share - ROUNDING);
        prop_assert!(kept(time - aside) <= share + ROUNDING);
    }

    #[test]
    fn a_distribution_rises_from_nothing_to_all(
        delays in vec(delay(), 1..9),
        places in vec(-0.1..=1.1, 2..20),
    ) {
        let budget = budget(delays);
        let [least, greatest] = budget.range();
        let mut times: Vec<f64> = places.iter().map(|place| least + place * (greatest - least)).collect();
        times.sort_by(f64::total_cmp);
        let shares = budget.distributions(&times).unwrap();
        for pair in shares.windows(2) {
            prop_assert!(pair[1] >= pair[0] - ROUNDING);
        }
        prop_assert!(shares.iter().all(|share| (0.0..=1.0).contains(share)));
        if let Ok(densities) = budget.densities(&times) {
            prop_assert!(densities.iter().all(|density| *density >= 0.0 && density.is_finite()));
        }
    }

    /// The integral of what is not over yet is the mean.
    #[test]
    fn the_mean_is_the_integral_of_the_rest(delays in vec(delay(), 1..7)) {
        const STEPS: usize = 4000;
        let budget = budget(delays);
        let [least, greatest] = budget.range();
        let step = (greatest - least) / STEPS as f64;
        let at = |i: usize| least + (i as f64 + 0.5) * step;
        let rest: f64 = (0..STEPS).map(|i| 1.0 - budget.distribution(at(i)).unwrap()).sum();
        // A step of the sum may fall anywhere within one of the integral, and the jumps add up to 1.
        let off = step + budget.time_error() + 1e-12;
        prop_assert!((least + rest * step - budget.mean()).abs() <= off);
    }

    #[test]
    fn less_of_a_stage_is_never_slower(delays in vec(delay(), 1..6)) {
        let budget = budget(delays);
        let p95 = budget.percentiles()[2];
        for effect in budget.effects().unwrap() {
            let off = 2.0 * budget.time_error() + 1e-9 * p95;
            prop_assert!(effect.p95_removed <= effect.p95_halved + off);
            prop_assert!(effect.p95_halved <= p95 + off);
        }
    }

    #[test]
    fn any_numbers_give_a_value_or_an_error(
        [a, b, c] in proptest::array::uniform3(any::<f64>()),
        frames in vec(any::<u32>(), 0..5),
    ) {
        let delays = [
            Delay::fixed(a), Delay::uniform(a, b), Delay::wait(a, b), Delay::triangular(a, b, c),
            Delay::sample(vec![a, b, c]), Delay::frame_wait(a, b), Delay::scan(a, b),
        ];
        let stages: Vec<Delay> = delays.into_iter().filter_map(Result::ok).collect();
        if !stages.is_empty() {
            let budget = budget(stages);
            prop_assert!(budget.mean().is_finite() && budget.percentiles().iter().all(|time| time.is_finite()));
        }
        if let Ok(runs) = CameraRuns::new(a, frames) {
            let _ = runs.mean_interval(b);
            let _ = runs.compared_with(&runs, b);
        }
        let _ = runs_needed(a, b, c);
    }

    /// The interval of eight runs holds what it should hold, at any scale: it moves and stretches with the frames.
    #[test]
    fn an_interval_moves_with_the_frames(
        frames in vec(0_u32..1000, 2..20),
        shift in 0_u32..1000,
        rate in 1.0..1e5,
    ) {
        let moved: Vec<u32> = frames.iter().map(|count| count + shift).collect();
        let [one, other] = [frames, moved].map(|frames| CameraRuns::new(rate, frames).unwrap());
        match (one.mean_interval(0.95), other.mean_interval(0.95)) {
            (Ok(one), Ok(other)) => for i in [0, 1] {
                let off = 1e-10 * (1.0 + f64::from(shift) + 1000.0) / rate;
                prop_assert!((other[i] - one[i] - f64::from(shift) / rate).abs() < off);
            },
            (one, other) => prop_assert!(one.is_err() && other.is_err()),
        }
    }
}
