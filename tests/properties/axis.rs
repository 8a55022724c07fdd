//! Identities of the axis over the whole valid domain.

use std::f64::consts::PI;

use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use proptest::prelude::*;
use yokewright::Error;
use yokewright::axis::{
    Arrangement, Axis, AxisSpec, MagnetSide, Mounting, Moving, SwungLayout, SwungLayoutSpec,
    linearity,
};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::magnet::{Block, FieldSource, Magnet};
use yokewright::units::{DEG, MM};

fn vector(reach: f64) -> impl Strategy<Value = Vector3<f64>> {
    prop::array::uniform3(-reach..reach).prop_map(Vector3::from)
}

fn layouts() -> impl Strategy<Value = SwungLayout> {
    (
        prop::array::uniform3(1.0..20.0),
        vector(1.4),
        0.0..60.0,
        0.5..20.0,
        prop::sample::select(MagnetSide::ALL.to_vec()),
        vector(2.0),
    )
        .prop_map(|(size, polarization, arm, gap, side, offset)| {
            let size = Vector3::from(size) * MM;
            let block = Block::new(size, polarization, Isometry3::identity());
            SwungLayout::new(SwungLayoutSpec {
                side,
                mounting: Mounting {
                    offset: offset * MM,
                    ..Mounting::default()
                },
                ..SwungLayoutSpec::new(block.expect("within every range"), arm * MM, gap * MM)
            })
            .expect("within every range")
        })
}

fn sensor(direction: Vector3<f64>) -> LinearHall {
    LinearHall::new(LinearHallSpec {
        supply: 3.3,
        nominal_supply: 5.0,
        quiescent: 2.5,
        sensitivity: 25.0,
        rail_low: 0.2,
        rail_headroom: 0.2,
        noise: 1e-3,
        depth: 0.4 * MM,
        direction,
        ..LinearHallSpec::new(5.0, 25.0)
    })
    .expect("within every range")
}

pub(crate) fn axes() -> impl Strategy<Value = Axis> {
    let direction = vector(1.0).prop_filter("a direction", |v| v.norm() > 0.1);
    (layouts(), direction, 0.5..40.0, 0.5..40.0, any::<bool>()).prop_filter_map(
        "a sensor clear of its magnet",
        |(layout, direction, down, up, magnets): (SwungLayout, _, f64, f64, bool)| {
            let converter = Converter::new(12, 3.3, Rounding::Nearest, 0.0).expect("within range");
            let moving = if magnets {
                Moving::Magnets
            } else {
                Moving::Sensor
            };
            let axis = layout.axis(
                [-down * DEG, up * DEG],
                sensor(direction),
                converter,
                moving,
            );
            match axis {
                Err(Error::Collision { .. }) => None,
                axis => Some(axis.expect("within every range")),
            }
        },
    )
}

/// The whole arrangement carried elsewhere in space.
fn carried(axis: &Axis, motion: &Isometry3<f64>) -> Axis {
    let spec = axis.spec();
    Axis::new(AxisSpec {
        pivot: motion * spec.pivot,
        direction: motion * spec.direction,
        magnets: spec.magnets.moved(motion).expect("not far"),
        sensor_pose: motion * spec.sensor_pose,
        ..spec.clone()
    })
    .expect("not far")
}

proptest! {
    /// Where the rig stands in the room does not matter. Positions of up to 0.3 m round by 1e-16; the field of a magnet
    /// of 1 mm changes by at most about 1.4 T over 0.1 mm at the active area's depth, so 1e-11 T is a wide bound on
    /// what rounding can do.
    #[test]
    fn space_is_the_same_everywhere(
        axis in axes(), shift in vector(0.2), turn in vector(3.0), part in 0.0..1.0
    ) {
        let motion = Isometry3::from_parts(
            Translation3::from(shift),
            UnitQuaternion::from_scaled_axis(turn),
        );
        let [lower, upper] = axis.throw();
        let angle = lower + part * (upper - lower);
        if let (Ok(here), Ok(there)) = (axis.flux_at(angle), carried(&axis, &motion).flux_at(angle)) {
            prop_assert!((here - there).abs() < 1e-11, "{here} {there}");
        }
    }

    /// Reversing the polarization or the sensitive direction reverses the reading, to the last bit.
    #[test]
    fn reversed_magnets_read_reversed(layout in layouts(), part in -1.0..1.0) {
        let Magnet::Block(block) = &layout.spec().magnet else { panic!("a block") };
        let other = Block::new(block.size(), -block.polarization(), block.pose());
        let reversed = SwungLayout::new(SwungLayoutSpec {
            magnet: other.expect("as valid as before").into(),
            ..layout.spec().clone()
        }).expect("as valid as before");
        let converter = Converter::new(12, 3.3, Rounding::Nearest, 0.0).expect("within range");
        let flux = |layout: &SwungLayout, direction| layout
            .axis([-0.5, 0.5], sensor(direction), converter.clone(), Moving::Magnets)
            .and_then(|axis| axis.flux_at(0.5 * part));
        if let Ok(plain) = flux(&layout, Vector3::z()) {
            prop_assert_eq!(flux(&reversed, Vector3::z()), Ok(-plain));
            prop_assert_eq!(flux(&layout, -Vector3::z()), Ok(-plain));
        }
    }

    /// Figures are consistent with the sweep that they come from.
    #[test]
    fn figures_follow_from_the_sweep(axis in axes(), points in 3_usize..300) {
        let (Ok(sweep), Ok(figures)) = (axis.sweep(points), axis.figures(points)) else {
            // A collision is a fair answer here, and both give it.
            prop_assert!(axis.sweep(points).is_err() && axis.figures(points).is_err());
            return Ok(());
        };
        prop_assert_eq!(sweep.angle().len(), points);
        prop_assert_eq!(sweep.clearance(), figures.clearance());
        prop_assert!((0.0..=1.0).contains(&figures.clipped_share()));
        prop_assert!((0.0..=1.0).contains(&figures.range_used()));
        let [lower, upper] = figures.monotonic_range();
        prop_assert!(axis.throw()[0] <= lower && lower <= upper && upper <= axis.throw()[1]);
        prop_assert_eq!(figures.monotonic(), [lower, upper] == axis.throw());
        for (volts, code) in sweep.volts().unwrap().iter().zip(sweep.counts()) {
            prop_assert!((0.2..=3.1).contains(&(volts + 0.0)), "{}", volts);
            prop_assert!((0..=4095).contains(code));
        }
        if let Some(l) = figures.linearity_volts() {
            // The best line of all is at least as good as the two that are tied down; rounding of the fits aside.
            prop_assert!(l.independent() <= l.terminal_based() * (1.0 + 1e-9) + 1e-12);
            prop_assert!(l.independent() <= l.zero_based() * (1.0 + 1e-9) + 1e-12);
            prop_assert!(l.zero_based() <= l.terminal_based() * (1.0 + 1e-9) + 1e-12);
        }
        // A sensor with a noise of its own never has more bits than its converter.
        prop_assert!(figures.effective_bits().is_none_or(|bits| bits < 12.0));
    }

    /// Linearity does not depend on where zero is or how long a unit is.
    #[test]
    fn linearity_is_free_of_scale(
        y in prop::collection::vec(-1.0..1.0, 3..60), shift in -3.0..3.0, scale in 0.1..10.0
    ) {
        let x: Vec<f64> = (0..y.len()).map(|i| i as f64).collect();
        let moved: Vec<f64> = y.iter().map(|y| shift + scale * y).collect();
        if let (Ok(a), Ok(b)) = (linearity(&x, &y), linearity(&x, &moved)) {
            // Rounding of values up to 13 over a span that is seldom below 0.1.
            let span = y.iter().fold(-1.0, |m: f64, v| m.max(*v)) - y.iter().fold(1.0, |m: f64, v| m.min(*v));
            let tolerance = 1e-13 / span;
            prop_assert!((a.independent() - b.independent()).abs() < tolerance);
            prop_assert!((a.terminal_based() - b.terminal_based()).abs() < tolerance);
            prop_assert!((a.zero_based() - b.zero_based()).abs() < tolerance);
        }
    }

    /// Garbage is refused or answered, never a panic, and never an answer that is no number.
    #[test]
    fn garbage_never_panics(
        numbers in prop::collection::vec(prop_oneof![
            any::<f64>(), Just(f64::NAN), Just(f64::INFINITY), Just(0.0), Just(-0.0), Just(1e300), -1.0..1.0
        ], 16),
        points in prop_oneof![0_usize..50, Just(usize::MAX)],
    ) {
        let n = &numbers;
        let triple = |i: usize| Vector3::new(n[i], n[i + 1], n[i + 2]);
        if let Ok(block) = Block::new(triple(0), triple(3), Isometry3::identity()) {
            let _ = SwungLayout::new(SwungLayoutSpec {
                mounting: Mounting { offset: triple(8), magnet_tilt: triple(11), ..Mounting::default() },
                ..SwungLayoutSpec::new(block, n[6], n[7])
            });
        }
        let good = crate::common::axis();
        let axis = Axis::new(AxisSpec {
            pivot: Point3::from(triple(0)), direction: triple(3), throw: [n[6], n[7]],
            sensor_pose: Isometry3::translation(n[8], n[9], n[10]), ..good.spec().clone()
        });
        if let Ok(axis) = axis {
            if let Ok(flux) = axis.flux_at(n[11]) {
                prop_assert!(flux.is_finite());
            }
            if let Ok(sweep) = axis.sweep(points) {
                prop_assert!(sweep.flux().unwrap().iter().all(|flux| flux.is_finite()));
                let _ = axis.figures(points);
            }
        }
        let _ = linearity(&n[..8], &n[8..]);
        let (flux, valid) = good.fluxes_at(n);
        prop_assert_eq!(flux.len(), n.len());
        for (flux, valid) in flux.iter().zip(valid) {
            prop_assert_eq!(flux.is_finite(), valid);
        }
    }
}

#[test]
fn a_full_turn_comes_back() {
    // Sixteen places of pi, times the arm and the gradient of the field: 1e-13 T.
    let axis = crate::common::axis();
    let there = axis.flux_at(2.0 * PI).expect("a full turn is allowed");
    assert!((there - axis.flux_at(0.0).expect("the center")).abs() < 1e-13);
}
