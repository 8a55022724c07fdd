//! Levers and stops: paths, contact against a root search, balance of forces and moments, and garbage.

use nalgebra::{Point3, Vector3};
use proptest::prelude::*;
use yokewright::linkage::{Lever, LeverGuide, Pivot, Stop};

use crate::strategies::{anything, points};

/// Some thirty roundings of coordinates of up to 3 m.
const ROUNDING: f64 = 5e-14;

fn directions() -> impl Strategy<Value = Vector3<f64>> {
    prop::array::uniform3(-1.0..1.0_f64)
        .prop_map(Vector3::from)
        .prop_filter("a direction", |v| v.norm() > 0.1)
}

fn pivoted() -> impl Strategy<Value = Lever> {
    let parts = (
        points(),
        directions(),
        points(),
        -3.0..-0.01_f64,
        0.01..3.0_f64,
    );
    parts.prop_filter_map("a grip off the axis", |(point, way, grip, low, high)| {
        Lever::pivoted(Pivot::new(point, way).unwrap(), grip, [low, high]).ok()
    })
}

fn levers() -> impl Strategy<Value = Lever> {
    let sliding = (directions(), points(), -1.0..-0.01_f64, 0.01..1.0_f64)
        .prop_map(|(way, grip, low, high)| Lever::sliding(way, grip, [low, high]).unwrap());
    prop_oneof![pivoted(), sliding]
}

/// Stops that are clear of the lever at neutral.
fn stopped() -> impl Strategy<Value = (Lever, Stop)> {
    let parts = (
        levers(),
        points(),
        0.0..0.05_f64,
        0.001..0.3_f64,
        directions(),
    );
    parts.prop_map(|(lever, bumper, radius, clearance, normal)| {
        let face = bumper - normal.normalize() * (radius + clearance);
        (lever, Stop::new(bumper, radius, face, normal).unwrap())
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    /// Steps of the path add up to its length: a polygon of 400 sides falls short by (6 rad / 400)^2 / 24 at most.
    #[test]
    fn the_path_has_its_length(lever in levers()) {
        let [low, high] = lever.travel();
        let positions: Vec<_> = (0..=400).map(|i| low + (high - low) * f64::from(i) / 400.0).collect();
        // The last may have been rounded up.
        let positions: Vec<_> = positions.into_iter().map(|x| x.clamp(low, high)).collect();
        let grips = lever.grips_at(&positions).values;
        let path: f64 = grips.windows(2).map(|pair| nalgebra::distance(&pair[0], &pair[1])).sum();
        prop_assert!(path <= lever.path_length() + ROUNDING * 400.0 && path >= lever.path_length() * (1.0 - 1e-5));
        prop_assert!((nalgebra::distance(&grips[0], &grips[400]) - lever.chord()).abs() <= ROUNDING);
        if let LeverGuide::Pivot(pivot) = lever.guide() {
            for grip in &grips {
                let radius = |point: &Point3<f64>| pivot.direction().cross(&(point - pivot.point())).norm();
                prop_assert!((radius(grip) - radius(&lever.grip())).abs() <= ROUNDING);
            }
        }
    }

    /// At contact the gap is zero, and between neutral and contact it never is.
    #[test]
    fn the_stop_is_met_first_where_it_says((lever, stop) in stopped()) {
        let met = lever.meets(&stop).unwrap();
        let travel = lever.travel();
        for side in 0..2 {
            let end = met[side].map_or(travel[side], |x| if x.abs() < travel[side].abs() { x } else { travel[side] });
            for i in 0..100 {
                // A face that is touched in passing is met; just before, the gap is still there.
                prop_assert!(lever.gap(&stop, end * f64::from(i) / 100.0).unwrap() > 0.0);
            }
            if let Some(position) = met[side].filter(|x| x.abs() <= travel[side].abs()) {
                // The angle comes from a cosine: near the turning point of the gap it has half the digits, the gap all
                // of them.
                prop_assert!(lever.gap(&stop, position).unwrap().abs() <= ROUNDING);
            }
        }
        let left = lever.stopped_by(&[stop, stop]).unwrap();
        for (side, position) in met.into_iter().enumerate() {
            let stops = position.is_some_and(|x| x.abs() < travel[side].abs());
            prop_assert_eq!(left.stops[side], stops.then_some(0));
            prop_assert_eq!(left.travel[side], if stops { position.unwrap_or_default() } else { travel[side] });
        }
    }

    #[test]
    fn a_stop_made_for_a_position_is_met_there(lever in levers(), radius in 0.01..0.5_f64, share in 0.1..0.5_f64,
        side in 0..2_usize, bumper in 0.0..0.05_f64) {
        let position = share * lever.travel()[side];
        let stop = lever.stop_at(radius, position, bumper).unwrap();
        let met = lever.meets(&stop).unwrap()[side].unwrap();
        prop_assert!((met - position).abs() <= 4.0 * ROUNDING / radius);
        // Square to the way there: the arm is the radius, so that force and moment are in that ratio.
        let push = lever.push(position, if side == 0 { -100.0 } else { 100.0 }).unwrap();
        let load = lever.stop_load(&stop, push).unwrap();
        let expected = match lever.guide() {
            LeverGuide::Pivot(pivot) => 100.0 * pivot.direction().cross(&(lever.grip() - pivot.point()))
                .norm() / radius,
            _ => 100.0,
        };
        prop_assert!((load.contact_force - expected).abs() <= 40.0 * ROUNDING / radius * expected);
        prop_assert!((load.pad_pressure(1e-4).unwrap() - load.contact_force / 1e-4)
            .abs() <= 1e-9 * load.contact_force / 1e-4);
    }

    /// Forces and moments on the lever add up to nothing, a pivot takes no moment about its axis, and a stop never
    /// pulls.
    #[test]
    fn what_stop_and_guide_bear_balances((lever, stop) in stopped(),
        force in prop::array::uniform3(-1000.0..1000.0_f64), first in -0.2..0.2_f64, apart in 0.01..0.3_f64) {
        let force = Vector3::from(force);
        let Ok(load) = lever.stop_load(&stop, force) else {
            return Ok(());
        };
        prop_assert!(load.contact_force > 0.0);
        let push = stop.normal() * load.contact_force;
        let size = force.norm() + load.contact_force;
        prop_assert!((force + push + load.guide_force).norm() <= ROUNDING * size);
        let grip = lever.grip_at(load.position).unwrap();
        let about = match lever.guide() {
            LeverGuide::Pivot(pivot) => pivot.point(),
            _ => lever.grip(),
        };
        let moment = (grip - about).cross(&force) + (load.contact_point - about).cross(&push) + load.guide_moment;
        prop_assert!(moment.norm() <= 10.0 * ROUNDING * size);
        match lever.guide() {
            LeverGuide::Pivot(pivot) => {
                prop_assert!(pivot.direction().dot(&load.guide_moment).abs() <= 10.0 * ROUNDING * size);
                let [one, other] = lever.bearing_loads(&load, [first, first + apart]).unwrap();
                let at = |along: f64| pivot.direction() * along;
                let radial = load.guide_force - pivot.direction() * pivot.direction().dot(&load.guide_force);
                prop_assert!((one + other - radial).norm() <= 100.0 * ROUNDING * size / apart);
                let moment = at(first).cross(&one) + at(first + apart).cross(&other);
                prop_assert!((moment - load.guide_moment).norm() <= 100.0 * ROUNDING * size / apart);
            }
            LeverGuide::Slide(direction) => prop_assert!(direction.dot(&load.guide_force)
                .abs() <= 10.0 * ROUNDING * size),
            _ => unreachable!(),
        }
    }

    #[test]
    fn a_lever_of_anything_is_a_lever_or_an_error(values in prop::array::uniform8(anything()),
        more in prop::array::uniform8(anything())) {
        let [x, y, z, low, high, dx, dy, dz] = values;
        let [bx, by, bz, radius, position, fx, fy, fz] = more;
        let (grip, way) = (Point3::new(x, y, z), Vector3::new(dx, dy, dz));
        let upright = Pivot::new(Point3::origin(), Vector3::y()).unwrap();
        let made = [
            Lever::pivoted(upright, grip, [low, high]),
            Lever::pivoted(upright, Point3::new(0.0, 0.0, 0.3), [-0.4, 0.4]),
            Lever::sliding(way, grip, [low, high]),
            Lever::sliding(Vector3::x(), Point3::origin(), [0.0, 0.1]),
        ];
        let bumper = Point3::new(bx, by, bz);
        let stops = [Stop::new(bumper, radius, grip, way), Stop::new(Point3::new(0.0, 0.0, 0.1), 0.0, Point3::new(bx,
            by, bz), way)];
        for lever in made.into_iter().flatten() {
            // A travel of 1e-320 rad times an arm is zero.
            prop_assert!(lever.path_length().is_finite() && lever.path_length() >= 0.0 && lever.chord().is_finite());
            let many = lever.grips_at(&[position]);
            prop_assert_eq!(lever.grip_at(position).is_ok(), many.valid[0]);
            prop_assert_eq!(many.valid[0], !many.values[0].x.is_nan());
            if let Ok(push) = lever.push(position, fx) {
                prop_assert!(push.iter().all(|x| x.is_finite()));
            }
            let also = lever.stop_at(radius, position, 0.0);
            for stop in stops.iter().chain([&also]).flatten() {
                if let Ok(met) = lever.meets(stop) {
                    prop_assert!(met[0].is_none_or(|x| x < 0.0) && met[1].is_none_or(|x| x > 0.0));
                }
                if let Ok(load) = lever.stop_load(stop, Vector3::new(fx, fy, fz)) {
                    prop_assert!(load.contact_force > 0.0 && load.contact_force.is_finite());
                    prop_assert!(load.guide_force.iter().chain(&load.guide_moment).all(|x| x.is_finite()));
                    if let Ok(bearings) = lever.bearing_loads(&load, [low, high]) {
                        prop_assert!(bearings.iter().flatten().all(|x| x.is_finite()));
                    }
                    let _ = (load.pad_pressure(radius), load.pin_pressure(radius, position));
                }
            }
        }
    }
}
