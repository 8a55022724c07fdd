//! What a high-speed camera measures. Values without another source are SciPy's (1.15 or newer), which the tests in
//! Python ask again.

use yokewright::Error;
use yokewright::axis::{
    CameraRuns, DevicePair, compare_devices, detectable_difference, power_of_runs, runs_needed,
    student_t,
};
use yokewright::units::MS;

/// What an incomplete beta function of some 1e4 degrees of freedom loses: roundings of the logarithm of gamma.
const LOST: f64 = 1e-10;

fn runs(rate: f64, frames: &[u32]) -> CameraRuns {
    CameraRuns::new(rate, frames.to_vec()).unwrap()
}

fn one() -> CameraRuns {
    runs(1000.0, &[108, 113, 110, 112, 109, 114, 111, 111])
}

fn other() -> CameraRuns {
    runs(1000.0, &[136, 141, 139, 138, 142, 137])
}

#[track_caller]
fn near(value: f64, expected: f64) {
    assert!((value / expected - 1.0).abs() < LOST, "{value} {expected}");
}

#[test]
fn runs_have_a_mean_a_spread_and_an_interval() {
    let runs = one();
    assert_eq!(runs.mean(), 0.111);
    // Squares of -3, 2, -1, 1, -2, 3, 0, 0: 28 over 7.
    assert!((runs.standard_deviation().unwrap() - 2.0 * MS).abs() < 1e-15);
    near(runs.standard_error().unwrap(), 2.0 * MS / 8f64.sqrt());
    let own = (4.0_f64 - 1.0 / 6.0).sqrt() * MS;
    near(runs.own_deviation().unwrap(), own);
    let half = 2.364_624_251_592_784_6 * 2.0 * MS / 8f64.sqrt();
    let [low, high] = runs.mean_interval(0.95).unwrap();
    near(low, 0.111 - half);
    near(high, 0.111 + half);
    assert_eq!(runs.times()[1], 0.113);
}

#[test]
fn two_devices_by_welch() {
    let found = one().compared_with(&other(), 0.95).unwrap();
    let back = other().compared_with(&one(), 0.95).unwrap();
    assert_eq!(found.p, back.p);
    assert_eq!(found.difference, -back.difference);
    near(found.difference, 0.111 - 833.0 / 6.0 * MS);
    // Variances 4 and 5.3666... ms^2 of 8 and 6 runs.
    let (a, b): (f64, f64) = (4.0 / 8.0, 161.0 / 30.0 / 6.0);
    near(found.standard_error, (a + b).sqrt() * MS);
    near(
        found.degrees_of_freedom,
        (a + b) * (a + b) / (a * a / 7.0 + b * b / 5.0),
    );
    near(found.t, -23.570_272_992_146_396);
    near(found.p, 4.747_032_561_167_99e-10);
    near(found.interval[0], -0.030_466_803_296_686_332);
    near(found.interval[1], -0.025_199_863_369_980_337);
}

#[test]
fn a_device_that_is_always_the_same_may_be_compared_with_one_that_is_not() {
    let steady = runs(1000.0, &[100; 5]);
    let found = steady.compared_with(&one(), 0.95).unwrap();
    // All of the spread is that of the eight.
    near(found.degrees_of_freedom, 7.0);
    let refused = steady.compared_with(&steady, 0.95).unwrap_err();
    assert!(matches!(
        refused,
        Error::Absent {
            quantity: "spread",
            ..
        }
    ));
    assert!(steady.mean_interval(0.95).is_err());
    assert_eq!(steady.own_deviation(), None);
    let single = runs(1000.0, &[100]);
    for refused in [
        single.compared_with(&one(), 0.95).unwrap_err(),
        one().compared_with(&single, 0.95).unwrap_err(),
        single.mean_interval(0.95).unwrap_err(),
    ] {
        assert!(
            refused
                .to_string()
                .starts_with("a single run has no spread"),
            "{refused}"
        );
    }
    assert_eq!(single.standard_deviation(), None);
}

#[test]
fn three_devices_pair_by_pair() {
    let devices = [
        ("old stick".to_owned(), one()),
        ("pedals".to_owned(), other()),
        (
            "new stick".to_owned(),
            runs(1000.0, &[109, 114, 110, 112, 111, 115]),
        ),
    ];
    let pairs = compare_devices(&devices, 0.95).unwrap();
    let names: Vec<_> = pairs
        .iter()
        .map(|pair| (pair.first.as_str(), pair.second.as_str()))
        .collect();
    assert_eq!(
        names,
        [
            ("old stick", "pedals"),
            ("old stick", "new stick"),
            ("pedals", "new stick")
        ]
    );
    let p: Vec<f64> = pairs.iter().map(|pair| pair.difference.p).collect();
    // Holm: three times the least, twice the next, none below the one before.
    let mut sorted = p.clone();
    sorted.sort_by(f64::total_cmp);
    let rank = |pair: &DevicePair| sorted.iter().position(|p| *p == pair.difference.p).unwrap();
    for pair in &pairs {
        let wanted = (0..=rank(pair))
            .map(|i| (3 - i) as f64 * sorted[i])
            .fold(0.0, f64::max)
            .min(1.0);
        assert_eq!(pair.p_of_all, wanted);
    }
    assert!(pairs[0].p_of_all < 1e-6 && pairs[1].p_of_all > 0.2);
    let twice = [devices[0].clone(), devices[0].clone()];
    assert!(matches!(
        compare_devices(&twice, 0.95),
        Err(Error::NameTaken { .. })
    ));
    assert!(matches!(
        compare_devices(&devices[..1], 0.95),
        Err(Error::Count { .. })
    ));
}

#[test]
fn power_is_that_of_the_noncentral_t() {
    for (count, effect, power) in [
        (2, 1.0, 0.095_201_755_497_883_96),
        (2, 10.0, 0.992_746_660_492_083),
        (8, 1.0, 0.461_238_849_503_845_64),
        (8, 0.5, 0.154_047_502_336_092_63),
        (17, 1.0, 0.807_036_715_147_219_8),
        (100, 0.3, 0.560_059_253_580_847_2),
        (1000, 0.1, 0.608_366_705_809_178_5),
        (10_000, 0.05, 0.942_417_962_194_027_5),
    ] {
        near(
            power_of_runs(count, effect * 10.0 * MS, 10.0 * MS).unwrap(),
            power,
        );
    }
    // No difference to speak of: the share of false alarms.
    near(power_of_runs(8, 1e-9, 100.0).unwrap(), 0.05);
    assert_eq!(power_of_runs(8, 100.0, 1e-9).unwrap(), 1.0);
}

/// Cohen's tables of n for two samples, level 0.05 two-sided, power 0.80 (from memory): 26 for d = 0.8, 64 for 0.5.
#[test]
fn runs_needed_are_those_of_the_tables() {
    for (effect, count) in [(1.0, 17), (0.8, 26), (0.5, 64)] {
        assert_eq!(
            runs_needed(effect * 20.0 * MS, 20.0 * MS, 0.8).unwrap(),
            count
        );
    }
    // The least number that does, by the power of itself and of one less.
    for power in [0.5, 0.9, 0.999] {
        let count = runs_needed(10.0 * MS, 12.0 * MS, power).unwrap();
        assert!(power_of_runs(count, 10.0 * MS, 12.0 * MS).unwrap() >= power);
        assert!(power_of_runs(count - 1, 10.0 * MS, 12.0 * MS).unwrap() < power);
    }
    assert_eq!(runs_needed(100.0, 1e-9, 0.8).unwrap(), 2);
    let refused = runs_needed(1e-6, 1.0, 0.8).unwrap_err().to_string();
    assert!(
        refused.contains("power that 10000 runs reach = 0.05"),
        "{refused}"
    );
}

#[test]
fn what_a_handful_of_runs_can_tell() {
    for (count, effect) in [
        (3, 3.070_892_266_363_688),
        (8, 1.506_634_227_876_685_6),
        (30, 0.735_621_069_597_669_5),
    ] {
        let found = detectable_difference(count, 10.0 * MS, 0.8).unwrap();
        near(found, effect * 10.0 * MS);
        near(power_of_runs(count, found, 10.0 * MS).unwrap(), 0.8);
    }
    for power in [0.1, 0.9999] {
        let found = detectable_difference(2, 1e-9, power).unwrap();
        near(power_of_runs(2, found, 1e-9).unwrap(), power);
    }
}

#[test]
fn students_t_at_its_ends() {
    // Of one degree of freedom: tan(pi/2 confidence).
    near(student_t(1.0, 0.5).unwrap(), 1.0);
    near(
        student_t(1.0, 0.9999).unwrap(),
        (0.9999 * std::f64::consts::FRAC_PI_2).tan(),
    );
    near(student_t(2.5, 0.95).unwrap(), 3.574_654_842_003_681_7);
    near(student_t(19_999.0, 0.99).unwrap(), 2.576_075_165_311_447_5);
    for bad in [0.0, 0.99, -1.0, f64::NAN, f64::INFINITY, 1e160] {
        assert!(student_t(bad, 0.95).is_err());
    }
}

#[test]
fn hostile_measurements_are_refused() {
    for bad in [0.0, -1.0, 1e-160, 1e160, f64::NAN, f64::INFINITY] {
        assert!(CameraRuns::new(bad, vec![1]).is_err());
        assert!(one().mean_interval(bad).is_err());
        assert!(one().compared_with(&other(), bad).is_err());
        assert!(runs_needed(bad, 1.0, 0.8).is_err());
        assert!(runs_needed(1.0, bad, 0.8).is_err());
        assert!(runs_needed(1.0, 1.0, bad).is_err());
        assert!(power_of_runs(8, bad, 1.0).is_err());
        assert!(detectable_difference(8, bad, 0.8).is_err());
        assert!(detectable_difference(8, 1.0, bad).is_err());
    }
    assert!(one().mean_interval(1.0).is_err());
    assert!(CameraRuns::new(1000.0, vec![]).is_err());
    assert!(CameraRuns::new(1000.0, vec![u32::MAX]).is_err());
    assert!(CameraRuns::new(1000.0, vec![0; 10_001]).is_err());
    assert!(power_of_runs(1, 1.0, 1.0).is_err() && power_of_runs(10_001, 1.0, 1.0).is_err());
    let text = serde_json::to_string(&one()).unwrap();
    assert_eq!(serde_json::from_str::<CameraRuns>(&text).unwrap(), one());
    assert!(serde_json::from_str::<CameraRuns>(&text.replace("1000", "0")).is_err());
}
