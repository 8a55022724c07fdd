//! Latency budgets: delays, their sum, which stage to attack.

use yokewright::Error;
use yokewright::axis::{Delay, DelaySpec, LatencyBudget, LatencyStage, StageKind, UsbSpeed};
use yokewright::units::{MS, US};

fn stages(delays: Vec<Delay>) -> Vec<LatencyStage> {
    let named = delays.into_iter().enumerate().map(|(i, delay)| {
        let stage = LatencyStage::new(StageKind::Other, delay);
        stage.named(format!("stage {i}")).unwrap()
    });
    named.collect()
}

fn budget(delays: Vec<Delay>) -> LatencyBudget {
    LatencyBudget::new(stages(delays)).unwrap()
}

/// Times measured at a display, say: two humps.
fn measured() -> Vec<f64> {
    (0..50)
        .map(|i| (4.0 + 0.13 * f64::from(i % 9) + f64::from(i % 2) * 6.5) * MS)
        .collect()
}

fn usual() -> Vec<Delay> {
    vec![
        Delay::fixed(1.91 * MS).unwrap(),
        Delay::fixed(20.0 * US).unwrap(),
        Delay::uniform(0.2 * MS, 1.2 * MS).unwrap(),
        Delay::usb_polling(UsbSpeed::Full, 8).unwrap(),
        Delay::triangular(0.1 * MS, 0.2 * MS, 1.5 * MS).unwrap(),
        Delay::frame_wait(60.0, 0.05).unwrap(),
        Delay::frame_wait(144.0, 0.0).unwrap(),
        Delay::sample(measured()).unwrap(),
    ]
}

/// Numbers that look random and are the same each time (SplitMix64), in 0 .. 1.
struct Draws(u64);

impl Draws {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) as f64 / 2f64.powi(64)
    }

    fn of(&mut self, delay: &Delay) -> f64 {
        let u = self.next();
        match delay.spec() {
            DelaySpec::Fixed { time } => *time,
            DelaySpec::Uniform { low, high } => low + u * (high - low),
            DelaySpec::Wait { interval, missed } => {
                let miss = if self.next() < *missed { 1.0 } else { 0.0 };
                (u + miss) * interval
            }
            DelaySpec::Triangular { low, mode, high } => {
                let (width, rise) = (high - low, mode - low);
                if u * width < rise {
                    low + (u * width * rise).sqrt()
                } else {
                    high - ((1.0 - u) * width * (high - mode)).sqrt()
                }
            }
            DelaySpec::Sample { times } => times[(u * times.len() as f64) as usize],
        }
    }
}

/// Draws: 99.99 % of shares then lie within four standard errors.
fn agrees_with_draws(delays: Vec<Delay>) {
    const DRAWS: usize = 40_000;
    let budget = budget(delays.clone());
    let mut draws = Draws(7);
    let mut sums: Vec<f64> = (0..DRAWS)
        .map(|_| delays.iter().map(|delay| draws.of(delay)).sum())
        .collect();
    sums.sort_by(f64::total_cmp);
    let count = DRAWS as f64;
    let mean = sums.iter().sum::<f64>() / count;
    let error = budget.standard_deviation() / count.sqrt();
    assert!((mean - budget.mean()).abs() < 4.0 * error);
    let squares = sums.iter().map(|sum| (sum - mean).powi(2)).sum::<f64>();
    let deviation = (squares / count).sqrt();
    // The standard error of a standard deviation is s / sqrt(2 n) for a normal distribution; less for these.
    assert!((deviation / budget.standard_deviation() - 1.0).abs() < 4.0 / (2.0 * count).sqrt());
    for percent in [1, 5, 20, 50, 80, 95, 99] {
        let share = f64::from(percent) / 100.0;
        let time = budget.quantile(share).unwrap();
        let below = sums.partition_point(|sum| *sum <= time) as f64 / count;
        let error = (share * (1.0 - share) / count).sqrt();
        // A rounded time moves the share by the density.
        let rounded = budget.time_error() * budget.density(time).unwrap();
        assert!(
            (below - share).abs() < 4.0 * error + rounded,
            "{share} {below}"
        );
        let back = budget.distribution(time).unwrap();
        assert!((back - share).abs() < 1e-9 + rounded, "{share} {back}");
    }
}

#[test]
fn a_sum_is_what_draws_of_it_are() {
    let delays = usual();
    assert_eq!(budget(delays.clone()).time_error(), 0.0);
    agrees_with_draws(delays);
}

#[test]
fn a_long_sum_is_what_draws_of_it_are() {
    let delays: Vec<Delay> = (1..=20)
        .map(|i| Delay::uniform(0.0, f64::from(i).sqrt() * MS).unwrap())
        .collect();
    let long = budget(delays.clone());
    // 21/2 steps of the sum of all spreads in 131,008.
    let spread: f64 = (1..=20).map(|i| f64::from(i).sqrt() * MS).sum();
    assert!(long.time_error() > 0.0 && long.time_error() < 1e-4 * spread);
    agrees_with_draws(delays);
}

#[test]
fn two_waits_add_up_to_a_trapezoid() {
    let (a, b) = (2.0 * MS, 5.0 * MS);
    let both = budget(vec![
        Delay::wait(a, 0.0).unwrap(),
        Delay::wait(b, 0.0).unwrap(),
    ]);
    let share = |t: f64| match t {
        t if t < a => t * t / (2.0 * a * b),
        t if t < b => (t - 0.5 * a) / b,
        t => 1.0 - (a + b - t).powi(2) / (2.0 * a * b),
    };
    let density = |t: f64| (t / a).min(1.0).min((a + b - t) / a) / b;
    for i in 0..=70 {
        let t = f64::from(i) * 0.1 * MS;
        // Some roundings of 1.
        assert!((both.distribution(t).unwrap() - share(t)).abs() < 1e-14);
        assert!((both.density(t).unwrap() * MS - density(t) * MS).abs() < 1e-13);
        let back = both.quantile(share(t)).unwrap();
        // Where the density is low a rounding of the share is a long way.
        assert!((back - t).abs() < 1e-7 * MS, "{t} {back}");
    }
}

/// The narrow one has to come first: the integral of a wide one, divided by a nanosecond, has no digits left.
#[test]
fn a_narrow_stage_beside_a_wide_one_keeps_its_digits() {
    let (narrow, wide) = (2e-9, 4.0);
    let both = budget(vec![
        Delay::wait(wide, 0.0).unwrap(),
        Delay::wait(narrow, 0.0).unwrap(),
    ]);
    for t in [1e-9, 0.3, 2.0, 3.7] {
        let t: f64 = t;
        let share = if t < narrow {
            t * t / (2.0 * narrow * wide)
        } else {
            (t - 0.5 * narrow) / wide
        };
        let found = both.distribution(t).unwrap();
        // Some roundings of 1.
        assert!((found - share).abs() < 1e-14, "{t} {found} {share}");
    }
}

#[test]
fn a_missed_frame_adds_one_interval() {
    let wait = Delay::wait(10.0 * MS, 0.2).unwrap();
    assert!((wait.mean() - 7.0 * MS).abs() < 1e-15);
    assert_eq!(wait.range(), [0.0, 20.0 * MS]);
    let alone = budget(vec![wait]);
    for (time, share) in [(5.0, 0.4), (10.0, 0.8), (15.0, 0.9), (20.0, 1.0)] {
        assert!((alone.distribution(time * MS).unwrap() - share).abs() < 1e-14);
        assert!((alone.quantile(share).unwrap() - time * MS).abs() < 1e-15);
    }
    assert!((alone.density(2.0 * MS).unwrap() - 80.0).abs() < 1e-10);
    assert!((alone.density(12.0 * MS).unwrap() - 20.0).abs() < 1e-10);
    let always = Delay::wait(10.0 * MS, 1.0).unwrap();
    assert_eq!(always.range(), [10.0 * MS, 20.0 * MS]);
    assert!((budget(vec![always]).quantile(0.5).unwrap() - 15.0 * MS).abs() < 1e-15);
}

#[test]
fn moments_are_those_of_the_distributions() {
    let triangular = Delay::triangular(1.0 * MS, 2.0 * MS, 6.0 * MS).unwrap();
    assert!((triangular.mean() - 3.0 * MS).abs() < 1e-15);
    // (1 + 4 + 36 - 2 - 6 - 12) / 18.
    let expected = (21.0_f64 / 18.0).sqrt() * MS;
    assert!((triangular.standard_deviation() - expected).abs() < 1e-15);
    let sample = Delay::sample(vec![3.0 * MS, 1.0 * MS, 2.0 * MS, 2.0 * MS]).unwrap();
    assert!((sample.mean() - 2.0 * MS).abs() < 1e-15);
    assert!((sample.standard_deviation() - 0.5f64.sqrt() * MS).abs() < 1e-15);
    let scan = Delay::scan(50.0, 0.25).unwrap();
    assert_eq!(scan.mean(), 5.0 * MS);
}

#[test]
fn measured_times_are_single_ones() {
    let one = vec![1.0 * MS, 2.0 * MS, 4.0 * MS, 4.0 * MS];
    let both = budget(vec![
        Delay::sample(one).unwrap(),
        Delay::sample(vec![1.0 * MS, 2.0 * MS]).unwrap(),
        Delay::fixed(0.1 + 0.2).unwrap(),
    ]);
    // Sums of 2, 3, 3, 4, 5, 5, 6, 6 ms.
    let after = |ms: f64| 0.1 + 0.2 + ms * MS;
    for (ms, share) in [
        (1.9, 0.0),
        (2.0, 0.125),
        (3.0, 0.375),
        (4.0, 0.5),
        (5.5, 0.75),
        (6.0, 1.0),
    ] {
        assert_eq!(both.distribution(after(ms)).unwrap(), share, "{ms}");
    }
    for (share, ms) in [
        (0.0, 2.0),
        (0.1, 2.0),
        (0.125, 2.0),
        (0.5, 4.0),
        (0.51, 5.0),
        (1.0, 6.0),
    ] {
        assert!(
            (both.quantile(share).unwrap() - after(ms)).abs() < 1e-15,
            "{share}"
        );
    }
    let refused = both.density(after(3.0)).unwrap_err();
    assert!(matches!(
        refused,
        Error::Absent {
            quantity: "density",
            ..
        }
    ));
    // All alike, beside a wait: the wait from there on.
    let alike = budget(vec![
        Delay::sample(vec![3.0 * MS; 1000]).unwrap(),
        Delay::wait(1.0 * MS, 0.0).unwrap(),
    ]);
    assert!((alike.quantile(0.25).unwrap() - 3.25 * MS).abs() < 1e-15);
}

#[test]
fn a_million_measured_times_twice_over() {
    let times: Vec<f64> = (0..1_000_000).map(|i| f64::from(i) * 1e-8).collect();
    let sample = Delay::sample(times).unwrap();
    let both = budget(vec![sample.clone(), sample]);
    // As good as two waits of 10 ms: the triangle to 20 ms, but for half a hundred-millionth of a second each.
    let off = both.time_error() + 1e-8;
    assert!(both.time_error() < 0.5 * US);
    for share in [0.02, 0.5] {
        let exact = (2.0_f64 * share).sqrt() * 10.0 * MS;
        assert!((both.quantile(share).unwrap() - exact).abs() < off);
    }
}

#[test]
fn effects_are_those_of_the_budget_without_or_with_half_of_it() {
    let delays = usual();
    let whole = budget(delays.clone());
    let effects = whole.effects().unwrap();
    let sum = |of: fn(&yokewright::axis::StageEffect) -> f64| effects.iter().map(of).sum::<f64>();
    assert!((sum(|one| one.share_of_mean.unwrap()) - 1.0).abs() < 1e-14);
    assert!((sum(|one| one.share_of_variance.unwrap()) - 1.0).abs() < 1e-14);
    for (i, effect) in effects.iter().enumerate() {
        let mut rest = delays.clone();
        rest.remove(i);
        let removed = budget(rest.clone()).percentiles()[2];
        assert!((effect.p95_removed - removed).abs() < 1e-14);
        assert!(effect.p95_removed <= effect.p95_halved + 1e-15);
        assert!(effect.p95_halved <= whole.percentiles()[2]);
    }
    // Half of the wait at 60 Hz with its misses is that at 120 Hz.
    let mut faster = delays;
    faster[5] = Delay::frame_wait(120.0, 0.05).unwrap();
    let halved = budget(faster).percentiles()[2];
    assert!((effects[5].p95_halved - halved).abs() < 1e-14);
    assert_eq!(whole.stage_to_attack().unwrap().name, "stage 5");
}

#[test]
fn one_stage_alone() {
    let alone = budget(vec![Delay::fixed(3.0 * MS).unwrap()]);
    assert_eq!(alone.percentiles(), [3.0 * MS; 3]);
    let [effect] = alone.effects().unwrap().try_into().unwrap();
    assert_eq!(effect.share_of_mean, Some(1.0));
    assert_eq!(effect.share_of_variance, None);
    assert_eq!((effect.p95_halved, effect.p95_removed), (1.5 * MS, 0.0));
    let nothing = budget(vec![Delay::fixed(-0.0).unwrap()]);
    assert_eq!(nothing.effects().unwrap()[0].share_of_mean, None);
    assert_eq!(nothing.distribution(0.0).unwrap(), 1.0);
    assert_eq!(nothing.distribution(-1e-9).unwrap(), 0.0);
}

#[test]
fn polls_are_refused_outside_what_the_speed_has() {
    for speed in UsbSpeed::ALL {
        let [least, most] = speed.intervals();
        assert!(speed.polling_interval(least).is_ok() && speed.polling_interval(most).is_ok());
        for wrong in [0, least - 1, most + 1, usize::MAX] {
            let refused = speed.polling_interval(wrong);
            assert!(
                matches!(refused, Err(Error::Count { .. })),
                "{speed} {wrong}"
            );
        }
    }
}

#[test]
fn hostile_times_are_refused_or_counted() {
    for bad in [f64::NAN, f64::INFINITY, -1e-160, -1.0, 1e160, 5.1] {
        assert!(Delay::fixed(bad).is_err());
        assert!(Delay::uniform(bad, 1.0).is_err());
        assert!(Delay::uniform(0.0, bad).is_err());
        assert!(Delay::wait(bad, 0.0).is_err());
        assert!(Delay::wait(1.0, bad).is_err());
        assert!(Delay::triangular(bad, 0.5, 1.0).is_err());
        assert!(Delay::triangular(0.0, bad, 1.0).is_err());
        assert!(Delay::triangular(0.0, 0.0, bad).is_err());
        assert!(Delay::sample(vec![1.0, bad]).is_err());
        assert!(Delay::scan(60.0, bad).is_err());
    }
    assert!(Delay::frame_wait(0.0, 0.0).is_err());
    assert!(Delay::wait(1e-160, 0.0).is_err());
    assert!(Delay::uniform(1.0, 1.0).is_err());
    assert!(Delay::uniform(1.0, 0.5).is_err());
    assert!(matches!(Delay::sample(vec![]), Err(Error::Count { .. })));
    let said = Delay::fixed(8.33).unwrap_err().to_string();
    assert!(said.ends_with("did you mean 8.33 * MS?"), "{said}");

    let whole = budget(vec![
        Delay::fixed(1e-160).unwrap(),
        // A rise of nothing, one that is nearly nothing, and the least spread there is.
        Delay::triangular(0.0, 0.0, 1.0 * MS).unwrap(),
        Delay::triangular(0.0, 1e-160, 1.0 * MS).unwrap(),
        Delay::triangular(0.0, 1.0 * MS, 1.0 * MS).unwrap(),
        Delay::uniform(4.999, 4.999 + 1.1e-9).unwrap(),
    ]);
    let least = 4.999;
    // From 1 ms on the sum is symmetric about neither; what is known are its ends and its mean.
    assert!((whole.mean() - least - (1.0 / 3.0 + 1.0 / 3.0 + 2.0 / 3.0) * MS).abs() < 1e-9);
    let [p5, p50, p95] = whole.percentiles();
    assert!(least < p5 && p5 < p50 && p50 < p95 && p95 < least + 3.0 * MS);
    assert!(whole.quantile(f64::NAN).is_err() && whole.quantile(1.1).is_err());
    assert!(whole.distribution(f64::NAN).is_err() && whole.density(f64::INFINITY).is_err());
}

#[test]
fn stages_have_names_of_their_own() {
    let twice = vec![LatencyStage::new(StageKind::Bus, Delay::fixed(1.0 * MS).unwrap()); 2];
    let refused = LatencyBudget::new(twice).unwrap_err();
    assert!(matches!(refused, Error::NameTaken { .. }));
    assert!(matches!(
        LatencyBudget::new(vec![]),
        Err(Error::Count { .. })
    ));
    let many = stages(vec![Delay::fixed(0.0).unwrap(); 33]);
    assert!(matches!(
        LatencyBudget::new(many),
        Err(Error::Count { count: 33, .. })
    ));
    let stage = LatencyStage::new(StageKind::Host, Delay::fixed(0.0).unwrap());
    assert!(stage.clone().named("").is_err() && stage.named("x".repeat(61)).is_err());
}

#[test]
fn a_budget_is_stored_as_its_stages() {
    let whole = budget(usual());
    let text = serde_json::to_string(&whole).unwrap();
    assert_eq!(serde_json::from_str::<LatencyBudget>(&text).unwrap(), whole);
    let wrong = text.replace("\"missed\":0.05", "\"missed\":1.05");
    let said = serde_json::from_str::<LatencyBudget>(&wrong)
        .unwrap_err()
        .to_string();
    assert!(said.contains("probability of a miss = 1.05"), "{said}");
}

#[test]
fn a_budget_prints_its_stages_and_percentiles() {
    let text = budget(usual()).to_string();
    assert_eq!(text.lines().count(), 11);
    assert!(text.contains("together") && text.contains("95 % within"));
}
