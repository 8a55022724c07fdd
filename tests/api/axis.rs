//! What callers of the axis rely on.

use std::f64::consts::PI;

use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};
use yokewright::axis::{
    Arrangement, Axis, AxisSpec, MagnetSide, Moving, SwungLayout, SwungLayoutSpec, linearity,
};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::magnet::{FieldSource, Sphere};
use yokewright::units::{DEG, MM};
use yokewright::{Error, Result};

use crate::common;

fn axis_with(change: impl FnOnce(&mut AxisSpec)) -> Result<Axis> {
    let mut spec = common::axis().spec().clone();
    change(&mut spec);
    Axis::new(spec)
}

fn text<T: std::fmt::Debug>(result: Result<T>) -> String {
    result.expect_err("this must be refused").to_string()
}

#[test]
fn a_throw_in_degrees_is_caught() {
    let message = text(axis_with(|spec| spec.throw = [-6.0, 6.0]));
    assert!(
        message.contains("lower end of the throw = -6 rad"),
        "{message}"
    );
    assert!(message.ends_with("did you mean -6 * DEG?"), "{message}");
}

#[test]
fn half_a_turn_is_the_most() {
    for half in [PI, 180.0 * DEG] {
        assert!(axis_with(|spec| spec.throw = [-half, half]).is_ok());
    }
    assert!(axis_with(|spec| spec.throw = [0.0, 200.0 * DEG]).is_err());
}

#[test]
fn the_center_lies_within_the_throw() {
    assert!(axis_with(|spec| spec.throw = [0.0, 0.1]).is_ok());
    assert!(axis_with(|spec| spec.throw = [0.01, 0.1]).is_err());
    let empty = axis_with(|spec| spec.throw = [0.0, 0.0]);
    assert!(matches!(
        empty,
        Err(Error::NotAscending {
            quantity: "throw",
            ..
        })
    ));
}

#[test]
fn a_pivot_without_direction_is_refused() {
    let refused = axis_with(|spec| spec.direction = Vector3::zeros());
    assert!(matches!(refused, Err(Error::NoDirection { .. })));
    let refused = axis_with(|spec| spec.direction.x = f64::NAN);
    assert!(matches!(refused, Err(Error::NotFinite { .. })));
}

#[test]
fn a_sensor_far_away_or_nowhere_is_refused() {
    assert!(axis_with(|spec| spec.sensor_pose = Isometry3::translation(12.0, 0.0, 0.0)).is_err());
    assert!(axis_with(|spec| spec.pivot.y = f64::INFINITY).is_err());
}

#[test]
fn positions_reach_ten_meters_and_rotations_have_length_one() {
    let at = |place: usize, value: f64| {
        let mut point = [0.0; 3];
        point[place] = value;
        Point3::from(point)
    };
    for place in 0..3 {
        for (value, allowed) in [(10.0, true), (10.0_f64.next_up(), false)] {
            for value in [value, -value] {
                let point = at(place, value);
                assert_eq!(axis_with(|spec| spec.pivot = point).is_ok(), allowed);
                let axis = axis_with(|spec| spec.sensor_pose.translation = point.coords.into());
                assert_eq!(axis.is_ok(), allowed);
            }
        }
    }
    for (length, allowed) in [
        (1.0 - 2e-9, false),
        (1.0 - 0.5e-9, true),
        (1.0 + 0.5e-9, true),
        (1.0 + 2e-9, false),
    ] {
        let axis = axis_with(|spec| {
            let rotation = spec.sensor_pose.rotation.into_inner() * length;
            spec.sensor_pose.rotation = UnitQuaternion::new_unchecked(rotation);
        });
        assert_eq!(axis.is_ok(), allowed, "{length}");
    }
}

#[test]
fn angles_reach_a_full_turn_either_way() {
    let axis = common::axis();
    for (angle, allowed) in [
        (2.0 * PI, true),
        ((2.0 * PI).next_up(), false),
        (f64::NAN, false),
    ] {
        for angle in [angle, -angle] {
            assert_eq!(axis.turn(angle).is_ok(), allowed);
            assert_eq!(axis.magnets_at(angle).is_ok(), allowed);
            assert_eq!(axis.sensor_pose_at(angle).is_ok(), allowed);
            assert_eq!(axis.flux_at(angle).is_ok(), allowed);
            assert_eq!(axis.fluxes_at(&[angle]).1, [allowed]);
        }
    }
}

#[test]
fn a_turn_goes_about_the_pivot_by_the_right_hand_rule() -> Result<()> {
    let pivot = Point3::new(0.01, 0.02, 0.03);
    let axis = axis_with(|spec| spec.pivot = pivot)?;
    // About +z through the pivot, a quarter turn carries what stands 5 mm along x to 5 mm along y.
    let turn = axis.turn(0.5 * PI)?;
    assert!((turn * pivot - pivot).norm() < 1e-17);
    let carried = turn * (pivot + Vector3::new(5.0 * MM, 0.0, MM));
    assert!((carried - pivot - Vector3::new(0.0, 5.0 * MM, MM)).norm() < 1e-17);
    Ok(())
}

#[test]
fn layout_measures_reach_their_limits() {
    let with = |change: &dyn Fn(&mut SwungLayoutSpec)| {
        let mut spec = common::layout_spec();
        change(&mut spec);
        SwungLayout::new(spec).is_ok()
    };
    assert!(with(&|s| s.arm = 0.0) && with(&|s| s.arm = 1.0));
    assert!(with(&|s| s.gap = 0.0) && with(&|s| s.gap = 0.2));
    assert!(!with(&|s| s.arm = -5e-324) && !with(&|s| s.arm = 1.0_f64.next_up()));
    assert!(!with(&|s| s.gap = -5e-324) && !with(&|s| s.gap = 0.2_f64.next_up()));
    for place in 0..3 {
        for sign in [1.0, -1.0] {
            assert!(with(&|s| s.mounting.offset[place] = sign * 0.2));
            assert!(!with(
                &|s| s.mounting.offset[place] = sign * 0.2_f64.next_up()
            ));
        }
    }
}

#[test]
fn layout_measures_are_checked() {
    let with = |change: fn(&mut SwungLayoutSpec)| {
        let mut spec = common::layout_spec();
        change(&mut spec);
        text(SwungLayout::new(spec))
    };
    assert!(
        with(|spec| spec.arm = 12.0)
            .contains("arm = 12 m is outside 0 to 1 m; did you mean 12 * MM?")
    );
    assert!(with(|spec| spec.gap = -0.1 * MM).contains("gap"));
    assert!(with(|spec| spec.mounting.offset.z = f64::NAN).contains("axial offset"));
    let message = text("outside".parse::<MagnetSide>());
    assert!(message.contains("outer, inner, axial"), "{message}");
}

#[test]
fn each_side_faces_the_magnet_across_the_gap() {
    for side in MagnetSide::ALL {
        let layout = SwungLayout::new(SwungLayoutSpec {
            side,
            ..common::layout_spec()
        })
        .expect("a plausible layout");
        let pose = layout.sensor_pose();
        let face = pose * Point3::origin();
        let distance = layout.magnet().distance(&face).expect("a plain point");
        assert!((distance - 2.0 * MM).abs() < 1e-15, "{side}");
        // Stepping out of the face by the gap meets the magnet's surface.
        let ahead = pose * Point3::new(0.0, 0.0, 2.0 * MM);
        let touching = layout.magnet().distance(&ahead).expect("a plain point");
        assert!(touching.abs() < 1e-15, "{side}: {touching}");
        // The package's x axis lies along the tangent.
        assert!(
            (pose * Vector3::x() - Vector3::y()).norm() < 1e-15,
            "{side}"
        );
    }
}

#[test]
fn the_sweep_is_what_the_parts_say() -> Result<()> {
    let axis = common::axis();
    let sweep = axis.sweep(101)?;
    let sensor = axis.spec().sensor.linear().expect("a linear sensor");
    let [lower, upper] = axis.throw();
    assert_eq!((sweep.angle()[0], sweep.angle()[100]), (lower, upper));
    assert_eq!(sweep.angle()[50], 0.0);
    for i in 0..101 {
        let angle = sweep.angle()[i];
        // The long way round: move the magnets, ask for the field where the sensor is.
        let magnets = axis.magnets_at(angle)?;
        let pose = axis.sensor_pose_at(angle)?;
        let field = magnets.field_at(&(pose * sensor.active_point()))?;
        let flux = field.dot(&(pose * sensor.direction()));
        // Two routes through a rotation: rounding of the position, 1e-16 of 20 mm, over the field's 100 T/m.
        assert!((sweep.flux().unwrap()[i] - flux).abs() < 1e-14, "{i}");
        assert_eq!(
            sweep.volts().unwrap()[i],
            sensor.output(sweep.flux().unwrap()[i])?
        );
        assert_eq!(
            sweep.counts()[i],
            axis.spec()
                .converter
                .as_ref()
                .unwrap()
                .code(sweep.volts().unwrap()[i])?
        );
        assert!(!sweep.clipped()[i]);
    }
    Ok(())
}

#[test]
fn a_sweep_has_three_to_a_million_points() {
    for points in [0, 2, 1_000_001, usize::MAX] {
        let refused = common::axis().sweep(points);
        assert!(matches!(refused, Err(Error::Count { .. })), "{points}");
    }
    assert!(common::axis().sweep(3).is_ok());
}

#[test]
fn a_batch_of_angles_keeps_length_and_order() {
    let (flux, valid) = common::axis().fluxes_at(&[0.05, f64::NAN, 1e9, -0.05, f64::INFINITY]);
    assert_eq!(valid, [true, false, false, true, false]);
    assert!(flux[1].is_nan() && flux[2].is_nan() && flux[4].is_nan());
    // The cube and its sensor are symmetric about the center, so the reading is odd; rounding of a position near 100
    // T/m.
    assert!((flux[0] + flux[3]).abs() < 1e-14);
    assert!(common::axis().flux_at(f64::NAN).is_err());
    assert!(common::axis().flux_at(1e9).is_err());
}

#[test]
fn turning_the_sensor_is_turning_the_magnets_back() -> Result<()> {
    let magnets = common::axis();
    let sensor = axis_with(|spec| spec.moving = Moving::Sensor)?;
    for angle in [-0.1, 0.0, 0.03] {
        assert_eq!(magnets.flux_at(angle)?, sensor.flux_at(-angle)?);
    }
    Ok(())
}

#[test]
fn a_sensor_inside_a_magnet_is_a_collision() {
    // Half a turn brings the magnet of a short arm through a sensor on the inner side.
    let layout = SwungLayout::new(SwungLayoutSpec {
        arm: 4.0 * MM,
        gap: 5.0 * MM,
        side: MagnetSide::Inner,
        ..common::layout_spec()
    })
    .expect("a plausible layout");
    let axis = layout
        .axis(
            [-PI, PI],
            common::sensor(),
            common::converter(),
            Moving::Magnets,
        )
        .expect("a plausible axis");
    let message = text(axis.sweep(181));
    assert!(message.contains("the parts collide"), "{message}");
}

#[test]
fn a_flat_face_swings_nearer_than_it_stands() -> Result<()> {
    // At 1 degree the face, flat and 14.5 mm out, has come nearer by 14.5 mm (1 - cos 1 deg) = 2.2 um.
    let sweep = |gap: f64| {
        let layout = common::layout().with(12.0 * MM, gap)?;
        let throw = [-DEG, DEG];
        layout
            .axis(
                throw,
                common::sensor(),
                common::converter(),
                Moving::Magnets,
            )?
            .sweep(11)
    };
    assert!(matches!(sweep(1e-6), Err(Error::Collision { .. })));
    let clearance = sweep(10e-6)?.clearance();
    let expected = 14.51 * MM * DEG.cos() - 14.5 * MM;
    assert!(
        (clearance - expected).abs() < 1e-15,
        "{clearance} {expected}"
    );
    Ok(())
}

#[test]
fn clipping_is_measured_and_marked() -> Result<()> {
    // Twice the sensitivity: 2.3 V either way is reached at 46 mT, about half of the 86 mT at each end.
    let sensor = LinearHall::new(LinearHallSpec {
        sensitivity: 50.0,
        ..common::sensor_spec()
    })?;
    let axis =
        common::layout().axis(common::THROW, sensor, common::converter(), Moving::Magnets)?;
    let figures = axis.figures(1001)?;
    let sweep = axis.sweep(1001)?;
    let marked = sweep.clipped().iter().filter(|clipped| **clipped).count() as f64 / 1001.0;
    // The mark counts whole samples, the figure interpolates: they agree to one sample at each of the two edges.
    assert!((figures.clipped_share() - marked).abs() <= 2.0 / 1000.0);
    assert!(figures.clipped_share() > 0.4 && figures.clipped_share() < 0.5);
    assert!(
        figures
            .linearity_volts()
            .expect("it has a span")
            .independent()
            > 0.05
    );
    assert!(
        figures
            .linearity_flux()
            .expect("it has a span")
            .independent()
            < 0.002
    );
    // Clipped ends do not spoil the step: it is taken over the rest.
    let step = figures
        .step_quantization_worst()
        .expect("the rest is straight");
    let center = figures
        .step_quantization_center()
        .expect("the center is not clipped");
    assert!(step < 1.01 * center);
    Ok(())
}

#[test]
fn a_converter_below_the_sensor_clips_too() -> Result<()> {
    let converter = Converter::new(12, 3.3, Rounding::Nearest, 0.0)?;
    let axis =
        common::layout().axis(common::THROW, common::sensor(), converter, Moving::Magnets)?;
    let figures = axis.figures(1001)?;
    assert_eq!(figures.code_range()[1], 4095);
    assert!(figures.clipped_share() > 0.2);
    Ok(())
}

#[test]
fn an_output_that_does_not_change_has_no_linearity() -> Result<()> {
    // Polarized along the pivot's axis and read radially in the plane of symmetry: no flux along the sensor at any
    // angle.
    let layout = SwungLayout::new(SwungLayoutSpec {
        magnet: common::cube(Vector3::new(0.0, 0.0, 1.3)).into(),
        ..common::layout_spec()
    })?;
    let axis = layout.axis(
        common::THROW,
        common::sensor(),
        common::converter(),
        Moving::Magnets,
    )?;
    let figures = axis.figures(101)?;
    assert_eq!(figures.counts(), 0);
    assert_eq!(figures.flux_span().unwrap(), 0.0);
    assert_eq!(figures.linearity_volts(), None);
    assert_eq!(figures.effective_bits(), None);
    assert_eq!(figures.step_quantization_center(), None);
    assert_eq!(figures.step_noise_worst(), None);
    Ok(())
}

#[test]
fn a_reading_that_turns_back_is_told() -> Result<()> {
    // A quarter turn either way carries the magnet past the sensor and on: the radial reading peaks in between.
    let axis = common::layout().axis(
        [-0.5 * PI, 0.5 * PI],
        common::sensor(),
        common::converter(),
        Moving::Magnets,
    )?;
    let figures = axis.figures(2001)?;
    assert!(!figures.monotonic());
    let [lower, upper] = figures.monotonic_range();
    assert!((lower + upper).abs() < 1e-9 && upper > 6.0 * DEG && upper < 60.0 * DEG);
    // At its end the slope is zero: the difference over a step of 1e-4 rad is of second order.
    let slope = (axis.flux_at(upper + 1e-4)? - axis.flux_at(upper - 1e-4)?) / 2e-4;
    assert!(
        slope.abs() < 1e-3 * figures.gain_flux().unwrap().abs(),
        "{slope}"
    );
    // Read along the tangent instead, the curve is even: nothing is monotonic around the center.
    let even = axis_with(|spec| {
        spec.sensor = LinearHall::new(LinearHallSpec {
            direction: Vector3::x(),
            ..common::sensor_spec()
        })
        .expect("a plausible sensor")
        .into();
    })?;
    assert_eq!(even.figures(1001)?.step_quantization_worst(), None);
    Ok(())
}

#[test]
fn gain_at_center_is_the_derivative() -> Result<()> {
    let axis = common::axis();
    let figures = axis.figures(1001)?;
    let h = 1e-5;
    let slope = (axis.flux_at(h)? - axis.flux_at(-h)?) / (2.0 * h);
    // The plain difference is off by h^2 relative, rounding adds 1e-16 / h.
    assert!((figures.gain_flux().unwrap() / slope - 1.0).abs() < 1e-8);
    assert!(
        (figures.gain_volts().unwrap() / (25.0 * figures.gain_flux().unwrap()) - 1.0).abs() < 1e-15
    );
    let lsb = 5.0 / 4096.0;
    assert!((figures.gain_counts() * lsb / figures.gain_volts().unwrap() - 1.0).abs() < 1e-15);
    assert!(
        (figures.step_quantization_center().expect("it moves") * figures.gain_counts().abs() - 1.0)
            .abs()
            < 1e-15
    );
    Ok(())
}

#[test]
fn linearity_refuses_what_is_no_characteristic() {
    let refused = |x: &[f64], y: &[f64]| text(linearity(x, y));
    assert!(refused(&[0.0, 1.0], &[0.0]).contains("they must match"));
    assert!(refused(&[0.0], &[0.0]).contains("samples"));
    assert!(refused(&[0.0, f64::NAN], &[0.0, 1.0]).contains("not a finite number"));
    let unordered = linearity(&[0.0, 2.0, 1.0, 0.5], &[0.0, 1.0, 2.0, 3.0]);
    assert!(
        matches!(
            unordered,
            Err(Error::NotAscending {
                lower: 2.0,
                upper: 1.0,
                ..
            })
        ),
        "{unordered:?}"
    );
    assert!(refused(&[0.0, 0.0], &[0.0, 1.0]).contains("is not below"));
    assert!(refused(&[0.0, 1.0], &[2.0, 2.0]).contains("span of y"));
    assert!(refused(&[0.0, 1.0], &[-1e308, 1e308]).contains("span of y"));
}

/// An axis whose only magnet is a ball of 4 mm radius on the pivot, with a package carried round it at this distance,
/// looking away from the ball or back at it.
fn round_a_ball(distance: f64, back: bool, throw: [f64; 2]) -> Result<Axis> {
    let ball = Sphere::new(8.0 * MM, Vector3::new(0.0, 1.2, 0.0), Isometry3::identity());
    let turn = if back { -0.5 * PI } else { 0.5 * PI };
    axis_with(|spec| {
        spec.throw = throw;
        spec.magnets = ball.expect("a plausible ball").into();
        spec.moving = Moving::Sensor;
        spec.sensor = LinearHall::new(LinearHallSpec {
            depth: 0.5 * MM,
            ..common::sensor_spec()
        })
        .expect("plausible")
        .into();
        spec.sensor_pose = Isometry3::translation(distance, 0.0, 0.0)
            * UnitQuaternion::from_axis_angle(&Vector3::y_axis(), turn);
    })
}

#[test]
fn face_and_active_point_both_keep_clear() -> Result<()> {
    let throw = [-0.3, 0.2];
    // Looking back at the ball, the face is nearer than the active point, 0.5 mm behind it; looking away, the point is.
    for (distance, back, inside) in [
        (4.01, true, false),
        (3.99, true, true),
        (3.51, true, true),
        (4.51, false, false),
        (4.49, false, true),
        (4.01, false, true),
    ] {
        let axis = round_a_ball(distance * MM, back, throw);
        let collides = matches!(axis, Err(Error::Collision { .. }));
        assert_eq!(collides, inside, "{distance} mm, {back}");
        if !inside {
            // Of the face, in both cases.
            let clearance = axis?.sweep(5)?.clearance();
            assert!(
                (clearance - (distance - 4.0) * MM).abs() < 1e-15,
                "{clearance}"
            );
        }
    }
    Ok(())
}

#[test]
fn the_angle_of_a_collision_is_told() {
    // Standing off the pivot, the ball meets the package at one end of the throw only.
    let axis = round_a_ball(4.5 * MM, true, [-0.5, 0.8]).expect("plausible");
    let mut spec = axis.spec().clone();
    spec.pivot = Point3::new(0.0, -MM, 0.0);
    let axis = Axis::new(spec).expect("plausible");
    // The face, 4.6 mm from the pivot, 1 mm from the ball's center, first comes within 4 mm of it somewhere.
    let meets = |angle: f64| {
        let face = axis.sensor_pose_at(angle).expect("in range") * Point3::origin();
        face.coords.norm() < 4.0 * MM
    };
    let steps =
        |points: usize| (0..points).map(move |i| -0.5 + 1.3 * i as f64 / (points - 1) as f64);
    let first = steps(10_001).find(|&angle| meets(angle)).expect("it does");
    let Err(Error::Collision {
        angle_deg, overlap, ..
    }) = axis.sweep(3)
    else {
        panic!("it collides")
    };
    // At the first point of the grid within, a quarter of a degree apart at most.
    assert!(
        (0.0..=0.26).contains(&(angle_deg - first / DEG)),
        "{angle_deg} {}",
        first / DEG
    );
    // Beside the grid's point before, it was still outside.
    let step = 0.25 * DEG * 4.6 * MM;
    assert!((0.0..=step).contains(&overlap), "{overlap}");
}
