//! An axis behind a transmission: its angles are those of the control, its figures those of what the sensor sees.

use yokewright::axis::{Axis, AxisSpec};
use yokewright::hall::{Potentiometer, PotentiometerSpec};
use yokewright::linkage::{
    AnyTransmission, FixedRatio, PedalMember, Range, Transmission, TransmissionChain,
    UniversalJoint,
};
use yokewright::units::{DEG, MM};
use yokewright::{Error, Result};

use crate::common;
use crate::transmission::{four_bar, pair, rod};

const POINTS: usize = 101;

fn behind(drive: impl Into<AnyTransmission>, throw: [f64; 2], lever: Option<f64>) -> Result<Axis> {
    Axis::new(AxisSpec {
        drive: drive.into(),
        throw,
        lever,
        ..common::axis().spec().clone()
    })
}

/// On the pivot itself the identity changes no bit.
#[test]
fn the_identity_changes_nothing() {
    let (plain, driven) = (
        common::axis(),
        behind(FixedRatio::ONE, common::THROW, None).unwrap(),
    );
    assert_eq!(plain.sweep(POINTS).unwrap(), driven.sweep(POINTS).unwrap());
    assert_eq!(
        plain.figures(POINTS).unwrap(),
        driven.figures(POINTS).unwrap()
    );
}

/// A power of two scales every angle exactly.
#[test]
fn behind_a_ratio_it_is_the_axis_with_another_throw() {
    let plain = common::axis().figures(POINTS).unwrap();
    let throw = common::THROW.map(|angle| 0.5 * angle);
    let axis = behind(FixedRatio::new(2.0).unwrap(), throw, Some(0.4)).unwrap();
    let figures = axis.figures(POINTS).unwrap();
    assert_eq!(figures.code_range(), plain.code_range());
    assert_eq!(figures.flux_span().unwrap(), plain.flux_span().unwrap());
    assert_eq!(figures.clearance(), plain.clearance());
    assert_eq!(figures.effective_bits(), plain.effective_bits());
    // Per degree of the control twice, per degree of the pivot the same.
    assert_eq!(figures.gain_counts(), 2.0 * plain.gain_counts());
    assert_eq!(figures.ratio(), 2.0);
    assert_eq!(figures.at_pivot().unwrap().gain_counts, plain.gain_counts());
    assert_eq!(
        figures.at_pivot().unwrap().step_quantization,
        plain.step_quantization_center()
    );
    assert_eq!(
        figures.at_pivot().unwrap().step_noise,
        plain.step_noise_center()
    );
    // And per meter at a grip of 0.4 m.
    let per_meter = figures.at_grip().unwrap().gain_counts;
    assert!((per_meter - 5.0 * plain.gain_counts()).abs() <= 4.0 * f64::EPSILON * per_meter.abs());
    let step = figures.at_grip().unwrap().step_quantization.unwrap();
    assert!(
        (step - 0.4 * figures.step_quantization_center().unwrap()).abs()
            <= 4.0 * f64::EPSILON * step
    );
    assert_eq!(
        (plain.at_grip(), plain.ratio(), plain.lever()),
        (None, 1.0, None)
    );
    let fluxes = [0.0, 0.01, -0.04].map(|angle| axis.flux_at(angle).unwrap());
    assert_eq!(
        fluxes,
        [0.0, 0.02, -0.08].map(|angle| common::axis().flux_at(angle).unwrap())
    );
    let (many, valid) = axis.fluxes_at(&[0.0, 0.01, -0.04, f64::NAN]);
    let (expected, _) = common::axis().fluxes_at(&[0.0, 0.02, -0.08]);
    assert_eq!(many[..3], expected);
    assert!(many[3].is_nan());
    assert_eq!(valid, [true, true, true, false]);
}

/// Pedal, rods, crank, magnet, sensor, converter in a row, beside the same composed by hand.
#[test]
fn behind_pedals_it_is_what_composing_by_hand_gives() {
    let to_crank = pair().transmission(PedalMember::Left, PedalMember::Crank);
    // A shaft at a slant turns the sensor's pivot at a third of the crank.
    let gears = FixedRatio::new(-1.0 / 3.0).unwrap();
    let joint = UniversalJoint::new(20.0 * DEG, 0.4).unwrap();
    let row = TransmissionChain::new(vec![to_crank.into(), gears.into(), joint.into()]).unwrap();
    let Range { lower, upper } = row.travel();
    assert!((lower + 15.0 * DEG).abs() < 1e-15);
    let axis = behind(row.clone(), [lower, upper], Some(180.0 * MM)).unwrap();
    let plain = common::axis();
    let sweep = axis.sweep(POINTS).unwrap();
    for (angle, flux) in sweep.angle().iter().zip(sweep.flux().unwrap()) {
        let crank = pair().pose(PedalMember::Left, *angle).unwrap().crank;
        let shaft = joint.transfer(-crank.angle / 3.0).unwrap();
        let expected = plain.flux_at(shaft.angle).unwrap();
        // The vector code of the rods differs by a few roundings of angles that are worth some 2 T/rad.
        assert!((flux - expected).abs() <= 1e-14, "{flux} {expected}");
    }
    let figures = axis.figures(POINTS).unwrap();
    let ratio = row.transfer(0.0).unwrap().ratio;
    assert_eq!(figures.ratio(), ratio);
    let own = plain.figures(POINTS).unwrap();
    let expected = own.gain_volts().unwrap() * ratio;
    assert!((figures.gain_volts().unwrap() - expected).abs() <= 1e-12 * expected.abs());
    // The slope of the flux by the pedal, by differences of the sweep.
    let step = 1e-5;
    let [below, above] = [-step, step].map(|angle| axis.flux_at(angle).unwrap());
    assert!(
        ((above - below) / (2.0 * step) - figures.gain_flux().unwrap()).abs()
            <= 1e-6 * figures.gain_flux().unwrap().abs()
    );
    assert_eq!(
        axis.throw_ends(),
        [
            Some("left stop of part 1 of 3"),
            Some("right stop of part 1 of 3")
        ]
    );
    let short = behind(row, [0.5 * lower, upper], None).unwrap();
    assert_eq!(
        short.throw_ends(),
        [None, Some("right stop of part 1 of 3")]
    );
}

/// At a lock the output has no ratio, but the travel ends there, and so may the throw.
#[test]
fn a_throw_may_end_at_a_lock() {
    let pot = Potentiometer::new(PotentiometerSpec::new(340.0 * DEG, 5.0)).unwrap();
    let behind = |drive: &AnyTransmission, throw: [f64; 2]| {
        Axis::new(AxisSpec {
            drive: drive.clone(),
            ..AxisSpec::on_shaft(throw, pot.clone(), common::converter())
        })
    };
    for drive in [AnyTransmission::from(rod()), four_bar().into()] {
        let Range { lower, upper } = drive.travel();
        let axis = behind(&drive, [lower, upper]).unwrap();
        assert_eq!(axis.throw(), [lower, upper]);
        assert_eq!(axis.throw_ends(), [Some("lock"), Some("lock")]);
        for (end, inward) in [(lower, 1.0), (upper, -1.0)] {
            // The output stands still there as a root does: 1e-9 rad before it is some 1e-4 rad away.
            let last = axis.pivot_at(end).unwrap().angle;
            let before = drive.transfer(end + inward * 1e-9).unwrap().angle;
            assert!((last - before).abs() < 1e-3, "{last} {before}");
            // Beyond it there is none.
            assert!(axis.pivot_at(end - inward * 1e-9).is_err());
        }
        let sweep = axis.sweep(POINTS).unwrap();
        let volts = sweep.volts().unwrap();
        assert!(volts.iter().all(|volts| volts.is_finite()));
        let figures = axis.figures(POINTS).unwrap();
        let most = volts.iter().fold(f64::MIN, |a, b| a.max(*b));
        let span = most - volts.iter().fold(f64::MAX, |a, b| a.min(*b));
        // The travel has its extremes at its ends, which are among the points, or within a point of them.
        let found = figures.volts_span().unwrap();
        assert!(
            found >= span * (1.0 - 1e-9) && found < 1.05 * span,
            "{found} {span}"
        );
        let beyond = behind(&drive, [lower, upper + 1e-9]).unwrap_err();
        assert!(matches!(beyond, Error::BeyondReach { .. }), "{beyond:?}");
    }
}

#[test]
fn a_throw_beyond_a_stop_is_told_its_name() {
    let to_crank = pair().transmission(PedalMember::Left, PedalMember::Crank);
    let error = behind(to_crank, [-16.0 * DEG, 0.1], None).unwrap_err();
    assert!(
        matches!(&error, Error::BeyondReach { limit, .. } if limit == "left stop"),
        "{error:?}"
    );
    assert_eq!(
        error.to_string(),
        "lower end of the throw = -16 deg is beyond -15 deg, where the travel ends: left stop; \
         shorten the throw or change the linkage"
    );
}

#[test]
fn hostile_levers_and_drives_are_refused() {
    for lever in [0.0, -0.0, 1e-160, -0.1, 1e160, f64::NAN, f64::INFINITY] {
        assert!(
            behind(FixedRatio::ONE, common::THROW, Some(lever)).is_err(),
            "{lever}"
        );
    }
    let axis = behind(FixedRatio::new(100.0).unwrap(), [-0.06, 0.06], None).unwrap();
    assert!(
        axis.flux_at(1.0).is_err()
            && axis.flux_at(1e160).is_err()
            && axis.flux_at(f64::NAN).is_err()
    );
    assert!(axis.flux_at(1e-160).is_ok() && axis.flux_at(-0.0).is_ok());
}
