//! Error budgets of any axis, beside its sweep.

use proptest::prelude::*;
use yokewright::Error;
use yokewright::axis::{CalibrationMethod, ErrorBudgetSpec, ErrorCause};

use crate::axis::axes;
use crate::strategies::anything;

/// What the curve of an axis and its sweep may differ by, as a share of the throw: the curve holds to 1e-11 of the span
/// of the signal, of which the rails may leave a ten-thousandth.
const CURVE: f64 = 1e-7;
/// Points of the sweep.
const POINTS: usize = 4001;
/// Least output span that is looked at, V.
const SPAN: f64 = 1e-3;

/// Within the range of every figure that is asked for as a rule, and now and then anything.
fn mostly_possible() -> impl Strategy<Value = f64> {
    prop_oneof![19 => 0.0..0.5, 1 => anything()]
}

proptest! {
    /// Straight through both ends: never less than the sweep departs, and no more than a step of it.
    #[test]
    fn nothing_of_the_sweep_is_missed(axis in axes(), celsius in -40.0..120.0) {
        let axis = yokewright::axis::Axis::new(yokewright::axis::AxisSpec {
            remanence_drift: -0.0012,
            ..axis.spec().clone()
        }).unwrap();
        let spec = ErrorBudgetSpec { celsius: Some([celsius, celsius]), ..ErrorBudgetSpec::default() };
        let budget = match axis.error_budget(&spec) {
            Ok(budget) => budget,
            // Its reading turns back, stands still, or the magnet is in the way.
            Err(Error::Absent { .. } | Error::NotAscending { .. } | Error::Collision { .. } | Error::OnEdge { .. }) => {
                return Ok(());
            }
            Err(other) => return Err(TestCaseError::fail(other.to_string())),
        };
        prop_assert!(budget.root_sum_square() <= budget.worst_case());
        let now = axis.sweep(POINTS).unwrap();
        let warm = axis.at_temperature(celsius).unwrap().sweep(POINTS).unwrap();
        let (now_volts, warm_volts) = (now.volts().unwrap(), warm.volts().unwrap());
        let [first, last] = [now_volts[0], now_volts[POINTS - 1]];
        if (last - first).abs() < SPAN {
            return Ok(());
        }
        let [lower, upper] = axis.throw();
        let travel = upper - lower;
        let told = |volts: f64| lower + travel * (volts - first) / (last - first);
        let bend = now.angle().iter().zip(now_volts).map(|(angle, volts)| (told(*volts) - angle).abs());
        let drift = now_volts.iter().zip(warm_volts).map(|(now, warm)| (told(*warm) - told(*now)).abs());
        let departures: [(f64, Vec<f64>); 2] = [
            (budget.of(ErrorCause::Nonlinearity).angle, bend.collect()),
            (budget.drift(), drift.collect()),
        ];
        for (found, seen) in departures {
            let most = seen.iter().copied().fold(0.0, f64::max);
            // Beside a rail the departure has a corner: the sweep misses less of it than twice its greatest step.
            let steps = seen.windows(2).map(|pair| (pair[1] - pair[0]).abs());
            let corner = 2.0 * steps.fold(0.0, f64::max);
            prop_assert!(found >= most - CURVE * travel, "{found:e} is less than {most:e}");
            prop_assert!(found <= most + corner + CURVE * travel, "{found:e} is more than {most:e}");
        }
    }

    /// Whatever is asked for, there is a budget of numbers or an error.
    #[test]
    fn anything_asked_for_is_answered(
        axis in axes(),
        asked in prop::array::uniform7(mostly_possible()),
        points in prop_oneof![2_usize..20, 0_usize..2000],
        ratiometric in prop::array::uniform2(any::<bool>()),
    ) {
        let [cold, hot, supply_tolerance, control_backlash, pivot_backlash, friction_band, crosstalk] = asked;
        let spec = ErrorBudgetSpec {
            celsius: Some([50.0 * cold, 50.0 * (cold + hot)]),
            supply_tolerance,
            ratiometric_sensor: ratiometric[0],
            ratiometric_converter: ratiometric[1],
            control_backlash,
            pivot_backlash,
            friction_band,
            crosstalk,
            calibration: CalibrationMethod::Table { points },
        };
        for spec in [spec.clone(), ErrorBudgetSpec { celsius: None, calibration: CalibrationMethod::None, ..spec }] {
            if let Ok(budget) = axis.error_budget(&spec) {
                prop_assert!(budget.worst_case().is_finite() && budget.root_sum_square().is_finite());
                for line in budget.contributions() {
                    prop_assert!(line.angle >= 0.0 && line.standard_deviation <= line.angle);
                    prop_assert!(line.share.is_finite() && line.counts.is_finite());
                }
            }
        }
    }
}
