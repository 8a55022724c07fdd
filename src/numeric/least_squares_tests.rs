use std::ops::ControlFlow;

use super::{LeastSquares, Parameter, spread_place};
use crate::{Error, Observer, parallel};

/// Rosenbrock's valley as two residuals: zero at (1, 1) alone.
fn valley(at: &[f64]) -> Option<Vec<f64>> {
    let [x, y] = [at[0], at[1]];
    Some(vec![10.0 * (y - x * x), 1.0 - x])
}

#[test]
fn it_finds_the_bottom_of_a_bent_valley() {
    let found = LeastSquares::default()
        .minimize(vec![-1.2, 1.0], valley)
        .unwrap();
    assert!(found.iter().all(|x| (x - 1.0).abs() < 1e-9), "{found:?}");
}

/// A parameter whose best value lies outside its bounds ends at the nearer end of them, within them to the last bit.
#[test]
fn bounds_are_kept() {
    for (parameter, wanted, expected) in [
        (Parameter::Even([-2.0, 0.5]), 7.0, 0.5),
        (Parameter::Even([-2.0, 0.5]), -7.0, -2.0),
        (Parameter::Even([-2.0, 0.5]), 0.2, 0.2),
        (Parameter::Ratio([0.01, 3.0]), 7.0, 3.0),
        (Parameter::Ratio([0.01, 3.0]), 0.001, 0.01),
        (Parameter::Ratio([0.01, 3.0]), 0.2, 0.2),
    ] {
        let found = LeastSquares::default()
            .minimize(vec![0.3], |at| Some(vec![parameter.value(at[0]) - wanted]))
            .unwrap();
        let value = parameter.value(found[0]);
        assert!(
            (value - expected).abs() < 1e-6,
            "{parameter:?} {wanted}: {value}"
        );
        let (Parameter::Even([low, high]) | Parameter::Ratio([low, high])) = parameter;
        assert!((low..=high).contains(&value));
    }
}

#[test]
fn a_variable_and_its_value_are_a_round_trip() {
    for parameter in [Parameter::Even([-2.0, 0.5]), Parameter::Ratio([0.01, 3.0])] {
        for i in 0..=20 {
            let variable = -1.5 + 0.15 * f64::from(i);
            let back = parameter.variable(parameter.value(variable));
            assert!(
                (back - variable).abs() < 1e-12,
                "{parameter:?} {variable} {back}"
            );
        }
    }
}

/// What cannot be computed ends the way, and does not panic: where it begins, and after a step.
#[test]
fn what_cannot_be_computed_ends_it() {
    let nothing = LeastSquares::default()
        .minimize(vec![0.5], |_| None)
        .unwrap();
    assert_eq!(nothing, [0.5]);
    let walled = LeastSquares::default()
        .minimize(vec![0.5], |at| (at[0] < 1.0).then(|| vec![at[0] - 2.0]))
        .unwrap();
    assert!(walled[0].is_finite());
    // More variables than residuals.
    let loose = LeastSquares::default()
        .minimize(vec![0.5, 0.5], |at| Some(vec![at[0] - 2.0]))
        .unwrap();
    assert!(loose.iter().all(|x| x.is_finite()));
}

#[test]
fn it_is_capped() {
    let count = std::cell::Cell::new(0);
    let solver = LeastSquares {
        patience: 3,
        ..LeastSquares::default()
    };
    let residuals = |at: &[f64]| {
        count.set(count.get() + 1);
        valley(at)
    };
    solver.minimize(vec![-1.2, 1.0], residuals).unwrap();
    // Nine of its own, and at most four for the derivatives after each.
    assert!(count.get() <= 9 * 5, "{}", count.get());
}

#[test]
fn an_observer_stops_it() {
    let observer = Observer::with_poll(|_| ControlFlow::Break(()));
    observer.stop();
    let stopped = observer.run(|| LeastSquares::default().minimize(vec![-1.2, 1.0], valley));
    assert_eq!(stopped, Err(Error::Stopped));
}

/// Each start is worked on for itself: many side by side give what each gives alone, to the last bit.
#[test]
fn starts_do_not_meddle() {
    let starts: Vec<_> = (0..12)
        .map(|number| spread_place(&[0.5, 0.5], number))
        .collect();
    let from = |start: &Vec<f64>| {
        LeastSquares::default()
            .minimize(start.clone(), valley)
            .unwrap()
    };
    let together = parallel::map(&starts, from).unwrap();
    let alone: Vec<_> = starts.iter().map(from).collect();
    assert_eq!(together, alone);
}

/// In one dimension the recurrence is that of the golden ratio; in more no cell of a grid stays empty.
#[test]
fn places_are_spread_evenly() {
    let golden = 0.5 * (1.0 + 5.0_f64.sqrt());
    for number in 0..20 {
        let expected = (0.25 + number as f64 / golden).fract();
        assert!((spread_place(&[0.25], number)[0] - expected).abs() < 1e-12);
    }
    let mut cells = [[0; 4]; 4];
    for number in 0..64 {
        let place = spread_place(&[0.5, 0.5], number);
        assert!(place.iter().all(|share| (0.0..1.0).contains(share)));
        cells[(4.0 * place[0]) as usize][(4.0 * place[1]) as usize] += 1;
    }
    assert!(
        cells.as_flattened().iter().all(|&count| count >= 2),
        "{cells:?}"
    );
}
