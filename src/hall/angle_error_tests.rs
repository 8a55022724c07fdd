use std::f64::consts::PI;

use super::*;

/// A few roundings of angles up to a turn, and of sums of a hundred of them.
const ROUNDING: f64 = 1e-13;

/// A turn of `count` even steps from `from` on.
fn turn(count: usize, from: f64) -> Vec<f64> {
    let step = TAU / count as f64;
    (0..count).map(|i| from + i as f64 * step).collect()
}

/// Mean, then amplitude and phase of the first three harmonics.
fn wave(t: f64) -> f64 {
    0.3 + 0.02 * (t - 0.7).cos() + 0.01 * (2.0 * t + 2.0).cos() + 0.005 * (3.0 * t).cos()
}

#[test]
fn the_harmonics_of_an_even_turn_come_apart() {
    for from in [0.0, -2.0, 40.0] {
        let turned = turn(90, from);
        let read: Vec<f64> = turned.iter().map(|t| t + wave(*t)).collect();
        let found = AngleError::of(&turned, &read).unwrap();
        let harmonics = found.harmonics().unwrap();
        assert!((found.mean() - 0.3).abs() < ROUNDING);
        assert_eq!(harmonics.mean, found.mean());
        assert!((harmonics.first.amplitude - 0.02).abs() < ROUNDING);
        assert!((harmonics.second.amplitude - 0.01).abs() < ROUNDING);
        // Of phases, a fiftieth or a hundredth of which shows.
        assert!((harmonics.first.phase - 0.7).abs() < 100.0 * ROUNDING);
        assert!((harmonics.second.phase + 2.0).abs() < 100.0 * ROUNDING);
        let rest = wave(1.0) - 0.005 * 3_f64.cos();
        assert!((harmonics.at(1.0) - rest).abs() < ROUNDING);
    }
}

#[test]
fn the_end_of_the_turn_is_its_beginning() {
    let mut turned = turn(36, 0.5);
    let open = AngleError::of(
        &turned,
        &turned.iter().map(|t| t + wave(*t)).collect::<Vec<_>>(),
    );
    turned.push(0.5 + TAU);
    let closed = AngleError::of(
        &turned,
        &turned.iter().map(|t| t + wave(*t)).collect::<Vec<_>>(),
    );
    let (open, closed) = (open.unwrap(), closed.unwrap());
    assert!((open.mean() - closed.mean()).abs() < ROUNDING);
    let first = |error: &AngleError| error.harmonics().unwrap().first;
    assert!((first(&open).amplitude - first(&closed).amplitude).abs() < ROUNDING);
    assert_eq!(closed.error().len(), 37);
}

#[test]
fn a_turn_backward_is_a_turn() {
    let mut turned = turn(24, 0.0);
    turned.reverse();
    let read: Vec<f64> = turned.iter().map(|t| t + wave(*t)).collect();
    let harmonics = AngleError::of(&turned, &read).unwrap().harmonics();
    assert!((harmonics.unwrap().second.amplitude - 0.01).abs() < ROUNDING);
}

#[test]
fn readings_that_jump_by_a_turn_make_no_error() {
    let turned = turn(72, 0.0);
    // As atan2 gives them, and counted up to a full turn.
    let read = |t: f64| t + 0.05 * t.sin();
    let wrapped_at_half: Vec<f64> = turned.iter().map(|t| wrapped(read(*t))).collect();
    let counted: Vec<f64> = turned
        .iter()
        .map(|t| read(*t).rem_euclid(TAU) + 40.0 * PI)
        .collect();
    for read in [wrapped_at_half, counted] {
        let found = AngleError::of(&turned, &read).unwrap();
        assert!(found.mean().abs() < 10.0 * ROUNDING);
        assert!((found.worst() - 0.05).abs() < 10.0 * ROUNDING);
        assert!((found.worst_at().sin().abs() - 1.0).abs() < ROUNDING);
    }
}

#[test]
fn an_error_that_grows_past_half_a_turn_stays_in_one_piece() {
    // The magnet slips: the reading turns 10 % too little over three turns.
    let turned: Vec<f64> = (0..=300).map(|i| f64::from(i) * 0.02 * PI).collect();
    let read: Vec<f64> = turned.iter().map(|t| wrapped(0.9 * t)).collect();
    let found = AngleError::of(&turned, &read).unwrap();
    assert!((found.error()[300] + 0.6 * PI).abs() < ROUNDING);
    assert!((found.mean() + 0.3 * PI).abs() < ROUNDING);
    assert_eq!(found.harmonics(), None);
}

#[test]
fn part_of_a_turn_has_mean_and_worst_only() {
    let found = AngleError::of(&[0.0, 0.1, 0.2], &[0.01, 0.13, 0.2]).unwrap();
    // 0.01, 0.03 and 0.
    assert!((found.mean() - 0.04 / 3.0).abs() < ROUNDING);
    assert!((found.worst() - (0.03 - 0.04 / 3.0)).abs() < ROUNDING);
    assert_eq!((found.worst_at(), found.harmonics()), (0.1, None));
    // Four readings a turn cannot tell the second harmonic.
    let turned = turn(4, 0.0);
    assert_eq!(AngleError::of(&turned, &turned).unwrap().harmonics(), None);
    assert!(
        AngleError::of(&turn(5, 0.0), &turn(5, 0.0))
            .unwrap()
            .harmonics()
            .is_some()
    );
    // Uneven by more than a thousandth of a step; by less.
    let uneven = |by: f64| {
        let mut turned = turn(10, 0.0);
        turned[3] += by * TAU / 10.0;
        AngleError::of(&turned, &turned)
            .unwrap()
            .harmonics()
            .is_some()
    };
    assert!(!uneven(2e-3) && uneven(0.9e-3));
}

#[test]
fn each_slip_is_named() {
    let texts =
        |turned: &[f64], read: &[f64]| AngleError::of(turned, read).unwrap_err().to_string();
    assert!(texts(&[0.0], &[0.0]).starts_with("angles turned: 1 given"));
    assert!(texts(&[0.0, 1.0], &[0.0]).contains("angles read has 1"));
    assert!(texts(&[0.0, f64::NAN], &[0.0, 0.1]).starts_with("angle turned is NaN"));
    assert!(texts(&[0.0, 0.1], &[0.0, f64::INFINITY]).starts_with("angle read is inf"));
    assert!(texts(&[0.0, 0.1], &[0.0, 1.1e6]).starts_with("angle read = "));
    assert!(texts(&[-1.1e6, 0.1], &[0.0, 0.0]).starts_with("angle turned = "));
}

#[test]
fn angles_that_stand_still_are_no_turn() {
    let found = AngleError::of(&[0.5; 8], &[0.6; 8]).unwrap();
    assert!((found.mean() - 0.1).abs() < ROUNDING);
    assert!(found.worst() < ROUNDING && found.harmonics().is_none());
}

#[test]
fn work_that_was_stopped_ends() {
    let many = vec![0.5; 3 * BLOCK];
    let observer = crate::Observer::new();
    let mut inner = None;
    let outside = observer.run(|| {
        observer.stop();
        inner = Some(AngleError::of(&many, &many));
    });
    assert_eq!(inner, Some(Err(Error::Stopped)));
    assert_eq!(outside, Err(Error::Stopped));
}
