//! Force and torque by two routes and under every symmetry, for every shape in any pose.

use std::array::from_fn;
use std::f64::consts::{PI, TAU};

use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use proptest::prelude::*;
use yokewright::Error;
use yokewright::magnet::{
    Block, Cylinder, FieldSource, Magnet, MagnetGroup, Pull, Ring, Sphere, interaction_energy,
    pull, pull_within,
};
use yokewright::units::{MM, MU_0};

use crate::strategies::rotations;

/// Tolerance asked for, as a share of the force; where parts cancel, a thousandth of it times their sum, so checks that
/// do not know that sum use the error estimates instead.
const TOLERANCE: f64 = 1e-9;

type Vector = Vector3<f64>;

fn vectors(limit: f64) -> impl Strategy<Value = Vector> {
    prop::array::uniform3(-limit..=limit).prop_map(Vector::from)
}

/// Within a ball of 10 mm around the origin of its own frame.
fn magnets() -> impl Strategy<Value = Magnet> {
    let own = Isometry3::identity();
    prop_oneof![
        (prop::array::uniform3(2.0..11.0), vectors(1.2)).prop_map(move |(size, j)| {
            Block::new(Vector::from(size) * MM, j, own).unwrap().into()
        }),
        (2.0..12.0, 2.0..12.0, vectors(1.2)).prop_map(move |(d, l, j): (f64, f64, Vector)| {
            Cylinder::new(d * MM, l * MM, j, own).unwrap().into()
        }),
        (4.0..12.0, 0.2..0.8, 2.0..12.0, vectors(1.2)).prop_map(
            move |(d, bore, l, j): (f64, f64, f64, Vector)| {
                Ring::new(d * MM, bore * d * MM, l * MM, j, own)
                    .unwrap()
                    .into()
            }
        ),
        (2.0..12.0, vectors(1.2))
            .prop_map(move |(d, j): (f64, Vector)| { Sphere::new(d * MM, j, own).unwrap().into() }),
    ]
}

/// Cylinders and rings polarized any way.
fn rounds() -> impl Strategy<Value = Magnet> {
    magnets().prop_filter("round ones", |magnet| {
        matches!(magnet, Magnet::Cylinder(_) | Magnet::Ring(_))
    })
}

/// Two magnets in any pose that keep clear of each other by at least a fifth of their size, near or far.
fn pairs() -> impl Strategy<Value = [Magnet; 2]> {
    let place = (vectors(1.0), rotations(), rotations(), 1.2..12.0);
    (magnets(), magnets(), place).prop_filter_map("a direction", |(a, b, place)| {
        let (direction, turn_a, turn_b, distance) = place;
        let direction = direction.try_normalize(1e-3)?;
        let reach = extent(&a) + extent(&b);
        let at = Vector::new(20.0, -30.0, 10.0) * MM;
        let pose = |at: Vector, turn| Isometry3::from_parts(Translation3::from(at), turn);
        Some([
            a.placed(pose(at, turn_a)).unwrap(),
            b.placed(pose(at + direction * (distance * reach), turn_b))
                .unwrap(),
        ])
    })
}

/// Radius of the ball that holds a magnet.
fn extent(magnet: &Magnet) -> f64 {
    match magnet {
        Magnet::Block(block) => 0.5 * block.size().norm(),
        Magnet::Cylinder(c) => 0.5 * c.diameter().hypot(c.length()),
        Magnet::Ring(r) => 0.5 * r.outer_diameter().hypot(r.length()),
        Magnet::Sphere(s) => 0.5 * s.diameter(),
        _ => unreachable!("not among the strategies"),
    }
}

fn center(magnet: &Magnet) -> Point3<f64> {
    magnet.pose().translation.vector.into()
}

/// Gauss-Legendre nodes and weights on [0, 1], by Newton's method on the recurrence.
fn gauss(n: usize) -> Vec<(f64, f64)> {
    let rule = |i: usize| {
        let mut x = (PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
        let mut slope = 0.0;
        for _ in 0..8 {
            let (mut p, mut q) = (x, 1.0);
            for k in 2..=n {
                (p, q) = (
                    ((2 * k - 1) as f64 * x * p - (k - 1) as f64 * q) / k as f64,
                    p,
                );
            }
            slope = n as f64 * (x * p - q) / (x * x - 1.0);
            x -= p / slope;
        }
        (0.5 * (1.0 + x), 1.0 / ((1.0 - x * x) * slope * slope))
    };
    (0..n).map(rule).collect()
}

/// A body's surface as points with normals and areas, in its own frame; each of `n` by `n` nodes a patch, written out
/// anew for this test.
fn surface(magnet: &Magnet, n: usize) -> Vec<(Vector, Vector, f64)> {
    let rule = gauss(n);
    let square: Vec<_> = rule
        .iter()
        .flat_map(|(x, wx)| rule.iter().map(move |(y, wy)| (*x, *y, wx * wy)))
        .collect();
    let mut spots = Vec::new();
    let round = |spots: &mut Vec<_>, inner: f64, outer: f64, length: f64| {
        for &(x, y, w) in &square {
            let radial = Vector::new((TAU * x).cos(), (TAU * x).sin(), 0.0);
            let along = Vector::z() * ((y - 0.5) * length);
            spots.push((outer * radial + along, radial, w * TAU * outer * length));
            if inner > 0.0 {
                spots.push((inner * radial + along, -radial, w * TAU * inner * length));
            }
            let rho = inner + y * (outer - inner);
            for side in [-1.0, 1.0] {
                let at = rho * radial + Vector::z() * (side * 0.5 * length);
                spots.push((at, side * Vector::z(), w * TAU * rho * (outer - inner)));
            }
        }
    };
    match magnet {
        Magnet::Block(block) => {
            let size = block.size();
            for axis in 0..3 {
                let (b, c) = ((axis + 1) % 3, (axis + 2) % 3);
                for &(x, y, w) in &square {
                    for side in [-1.0, 1.0] {
                        let (mut at, mut normal) = (Vector::zeros(), Vector::zeros());
                        (at[axis], at[b], at[c]) = (
                            side * 0.5 * size[axis],
                            (x - 0.5) * size[b],
                            (y - 0.5) * size[c],
                        );
                        normal[axis] = side;
                        spots.push((at, normal, w * size[b] * size[c]));
                    }
                }
            }
        }
        Magnet::Cylinder(c) => round(&mut spots, 0.0, 0.5 * c.diameter(), c.length()),
        Magnet::Ring(r) => {
            round(
                &mut spots,
                0.5 * r.inner_diameter(),
                0.5 * r.outer_diameter(),
                r.length(),
            );
        }
        Magnet::Sphere(sphere) => {
            let radius = 0.5 * sphere.diameter();
            for &(x, y, w) in &square {
                // Archimedes: equal heights have equal areas.
                let (height, angle) = (2.0 * y - 1.0, TAU * x);
                let across = (1.0 - height * height).sqrt();
                let normal = Vector::new(across * angle.cos(), across * angle.sin(), height);
                spots.push((radius * normal, normal, w * 2.0 * TAU * radius * radius));
            }
        }
        _ => unreachable!("not among the strategies"),
    }
    spots
}

/// Force and torque about the center of `on`, and the sum of the absolute values, by a fixed rule.
fn by_fixed_rule(by: &Magnet, on: &Magnet, n: usize) -> (Vector, Vector, f64) {
    let spots = surface(on, n);
    let points: Vec<_> = spots
        .iter()
        .map(|(at, ..)| on.pose() * Point3::from(*at))
        .collect();
    let fields = by.fields_at(&points).values;
    let (mut force, mut torque, mut strength) = (Vector::zeros(), Vector::zeros(), 0.0);
    for ((at, normal, area), b) in spots.iter().zip(fields) {
        let f = b * (on.polarization().dot(normal) * area / MU_0);
        force += f;
        torque += (on.pose().rotation * at).cross(&f);
        strength += f.norm();
    }
    (force, torque, strength)
}

fn agree(a: &Pull, b: &Pull, lever: f64) -> bool {
    // Twice the estimates, because both sides are off.
    let force = 2.0 * (a.force_error + b.force_error);
    let torque = 2.0 * (a.torque_error + b.torque_error) + lever * force;
    (a.force - b.force).norm() <= force && (a.torque - b.torque).norm() <= torque
}

fn anything() -> impl Strategy<Value = f64> {
    let special = [
        f64::NAN,
        f64::INFINITY,
        -1e300,
        1e6,
        5e-324,
        0.0,
        -0.0,
        1e-9,
    ];
    prop_oneof![
        any::<f64>(),
        -2.0..2.0_f64,
        prop::sample::select(special.to_vec())
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// A rule with fixed nodes, and the surfaces written out anew: nothing but the field is shared.
    #[test]
    fn the_surface_integral([a, b] in pairs()) {
        let pull = pull(&a, &b, center(&b)).unwrap();
        let (force, torque, strength) = by_fixed_rule(&a, &b, 40);
        let (coarse, coarse_torque, _) = by_fixed_rule(&a, &b, 30);
        // What the fixed rule itself is off by shows in a coarser one; the field is good to 1e-12.
        let size = extent(&b);
        let allowed = pull.force_error + (force - coarse).norm() + 1e-12 * strength;
        prop_assert!((pull.force - force).norm() <= allowed, "{:e} > {allowed:e}", (pull.force - force).norm());
        let allowed = pull.torque_error + (torque - coarse_torque).norm() + 1e-12 * strength * size;
        prop_assert!((pull.torque - torque).norm() <= allowed, "{:e} > {allowed:e}", (pull.torque - torque).norm());
        prop_assert!(pull.force_error <= TOLERANCE * force.norm() + 4e-12 * strength);
    }

    #[test]
    fn action_is_minus_reaction([a, b] in pairs(), about in vectors(0.1)) {
        let about = Point3::from(about);
        let forth = pull(&a, &b, about).unwrap();
        let back = pull(&b, &a, about).unwrap();
        let opposite = Pull { force: -back.force, torque: -back.torque, ..back };
        prop_assert!(agree(&forth, &opposite, 0.0));
        prop_assert!(forth.force.norm() > 0.0);
    }

    #[test]
    fn it_moves_along_with_both([a, b] in pairs(), shift in vectors(0.1), turn in rotations()) {
        let motion = Isometry3::from_parts(Translation3::from(shift), turn);
        let here = pull(&a, &b, center(&a)).unwrap();
        let (a, b) = (a.moved(&motion).unwrap(), b.moved(&motion).unwrap());
        let there = pull(&a, &b, center(&a)).unwrap();
        let back = Pull { force: turn.inverse() * there.force, torque: turn.inverse() * there.torque, ..there };
        // The places are rounded to 1e-17 m, over distances of a millimetre.
        let mut slack = here;
        slack.force_error += 1e-12 * here.force.norm();
        slack.torque_error += 1e-12 * here.force.norm() * 0.1;
        prop_assert!(agree(&slack, &back, 0.0));
    }

    #[test]
    fn the_torque_about_another_point([a, b] in pairs(), about in vectors(0.1)) {
        let first = pull(&a, &b, center(&b)).unwrap();
        let second = pull(&a, &b, Point3::from(about)).unwrap();
        let moved = first.torque + (center(&b).coords - about).cross(&first.force);
        prop_assert_eq!(first.force, second.force);
        prop_assert!((second.torque - moved).norm() <= 1e-14 * (first.torque.norm() + 0.2 * first.force.norm()));
    }

    /// The halves of a block are other magnets, at other distances, and take other ways through the code.
    #[test]
    fn a_block_cut_in_two([a, _] in pairs(), size in prop::array::uniform3(2.0..11.0), j in vectors(1.2),
        axis in 0..3_usize, turn in rotations(), distance in 1.2..12.0) {
        let size = Vector::from(size) * MM;
        let at = center(&a).coords + Vector::new(0.6, -0.48, 0.64) * (distance * (extent(&a) + 0.5 * size.norm()));
        let pose = Isometry3::from_parts(Translation3::from(at), turn);
        let whole = Magnet::from(Block::new(size, j, pose).unwrap());
        let mut half = size;
        half[axis] *= 0.5;
        let halves = [-0.25, 0.25].map(|share| {
            let mut shift = Vector::zeros();
            shift[axis] = share * size[axis];
            Magnet::from(Block::new(half, j, pose * Translation3::from(shift)).unwrap())
        });
        let one = pull(&a, &whole, center(&whole)).unwrap();
        let two = pull(&a, &MagnetGroup::new(halves.clone()).unwrap(), center(&whole)).unwrap();
        prop_assert!(agree(&one, &two, 0.0));
        let back = pull(halves.as_slice(), &a, center(&whole)).unwrap();
        let opposite = Pull { force: -back.force, torque: -back.torque, ..back };
        prop_assert!(agree(&one, &opposite, 0.0));
    }

    /// Force and torque are the slopes of the energy. Its rounding, divided by the step, limits the check.
    #[test]
    fn the_slope_of_the_energy([a, b] in pairs(), direction in vectors(1.0)) {
        let Some(direction) = direction.try_normalize(1e-3) else { return Ok(()) };
        let here = center(&b).coords;
        let pull = pull(&a, &b, center(&b)).unwrap();
        let energy = |motion: Isometry3<f64>| interaction_energy(&a, &b.moved(&motion).unwrap()).unwrap();
        // Five points: the error falls with the fourth power of the step.
        let slope = |motion: &dyn Fn(f64) -> Isometry3<f64>, h: f64| {
            let e = |k: f64| energy(motion(k * h));
            (8.0 * (e(1.0) - e(-1.0)) - (e(2.0) - e(-2.0))) / (12.0 * h)
        };
        let share = 5e-3;
        let distance = (center(&a) - center(&b)).norm();
        let along = -slope(&|s| Translation3::from(direction * s).into(), share * distance);
        let turned = -slope(&|angle| {
            let turn = UnitQuaternion::from_scaled_axis(direction * angle);
            Translation3::from(here) * turn * Translation3::from(-here)
        }, share);
        // Of the largest that the energy could be at this distance: 3 m m' mu0 / (4 pi d^3) and some. The integral is
        // good to 1e-9 of the energy, or 1e-12 of what cancels in it; 1e-9 / 5e-3 and (5e-3)^4 are below 1e-6.
        let strength = |magnet: &Magnet| magnet.polarization().norm() * extent(magnet).powi(3) * 4.0;
        let largest = strength(&a) * strength(&b) / (MU_0 * PI * distance.powi(3));
        prop_assert!((along - pull.force.dot(&direction)).abs() <= 1e-6 * largest / distance);
        prop_assert!((turned - pull.torque.dot(&direction)).abs() <= 1e-6 * largest);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 20, ..ProptestConfig::default() })]

    /// Two round magnets on one axis have a way of their own, by a few lines around it; a hair off the axis, on either
    /// side, all is integrated over the surface. The mean of the two sides is off by the square of that hair.
    #[test]
    fn on_one_axis_and_beside_it(rounds in prop::array::uniform2(rounds()), gap in 0.5..10.0,
        upside_down in prop::bool::ANY, pose in (vectors(0.1), rotations())) {
        let [a, b] = rounds;
        let place = Isometry3::from_parts(Translation3::from(pose.0), pose.1);
        let height = |magnet: &Magnet| match magnet {
            Magnet::Cylinder(c) => 0.5 * c.length(),
            Magnet::Ring(r) => 0.5 * r.length(),
            _ => unreachable!("only round ones are made"),
        };
        let apart = height(&a) + height(&b) + gap * MM;
        let flip = UnitQuaternion::from_scaled_axis(Vector::x() * if upside_down { PI } else { 0.0 });
        let hair = 1e-6 * MM;
        let a = a.placed(place).unwrap();
        let on = |x: f64| {
            let at = Isometry3::from_parts(Translation3::new(x, 0.0, apart), flip);
            b.placed(place * at).unwrap()
        };
        let about = center(&on(0.0));
        let at = |x: f64| pull(&a, &on(x), about).unwrap();
        let [middle, left, right] = [0.0, -hair, hair].map(at);
        // (1e-6 / 0.5)^2 = 4e-12, times some tens for the curvature, of the sum of all pulls, which is not known: of
        // the greatest there could be, J^2 / (2 mu0) on a face of the smaller. The energy accordingly.
        let side = extent(&a).min(extent(&b));
        let most = a.polarization().norm() * b.polarization().norm() * side * side * PI / MU_0;
        let force = 0.5 * (left.force + right.force);
        let allowed = middle.force_error + left.force_error + 1e-10 * most;
        prop_assert!((middle.force - force).norm() <= allowed, "{:e} > {allowed:e}", (middle.force - force).norm());
        let torque = 0.5 * (left.torque + right.torque);
        let allowed = middle.torque_error + left.torque_error + 1e-10 * most * extent(&b);
        prop_assert!((middle.torque - torque).norm() <= allowed, "{:e} > {allowed:e}", (middle.torque - torque).norm());
        let energy = |x: f64| interaction_energy(&a, &on(x)).unwrap();
        let sides = 0.5 * (energy(-hair) + energy(hair));
        prop_assert!((energy(0.0) - sides).abs() <= 2e-9 * sides.abs() + 1e-10 * most * side);
    }

    #[test]
    fn garbage_is_refused_or_answered(
        about in prop::array::uniform3(anything()),
        tolerance in anything(),
        [a, b] in pairs(),
        at in prop::array::uniform3(anything()),
    ) {
        let about = Point3::from(about);
        let loose = if (1e-6..=0.1).contains(&tolerance) { tolerance } else { 1e-2 };
        let answered = |result: Result<Pull, Error>| result.is_err() || result.is_ok_and(|pull| {
            pull.force.iter().chain(pull.torque.iter()).all(|part| part.is_finite())
        });
        prop_assert!(answered(pull_within(&a, &b, about, tolerance.max(1e-6))));
        if let Ok(b) = b.placed(Translation3::from(Vector::from(at)).into()) {
            prop_assert!(answered(pull_within(&a, &b, about, loose)));
        }
    }
}

/// Near, where a closed form or an integral is used, and far, where dipoles are: where they meet, both hold.
#[test]
fn no_step_from_near_to_far() {
    let j = [Vector::new(0.3, -0.2, 1.1), Vector::new(0.1, 0.6, 1.0)];
    let own = Isometry3::identity();
    let shapes: [Magnet; 3] = [
        Block::new(Vector::new(10.0, 6.0, 3.0) * MM, j[0], own)
            .unwrap()
            .into(),
        Cylinder::new(8.0 * MM, 5.0 * MM, j[0], own).unwrap().into(),
        Ring::new(9.0 * MM, 4.0 * MM, 5.0 * MM, j[0], own)
            .unwrap()
            .into(),
    ];
    for a in &shapes {
        for b in &shapes {
            let edge = 6.0 * (extent(a) + extent(b));
            let direction = Vector::new(0.48, 0.6, 0.64);
            let turn = UnitQuaternion::from_scaled_axis(Vector::new(0.3, 0.2, -0.5));
            let [near, far] = [1.0 - 1e-12, 1.0 + 1e-12].map(|share| {
                let at = Translation3::from(direction * (edge * share));
                let b = b.placed(Isometry3::from_parts(at, turn)).unwrap();
                pull(a, &b, center(&b)).unwrap()
            });
            // Over the step the force itself changes by 4 x 2e-12.
            let step = (near.force - far.force).norm() / far.force.norm();
            assert!(step < TOLERANCE, "{step:e}");
            let step = (near.torque - far.torque).norm() / far.torque.norm();
            assert!(step < TOLERANCE, "{step:e}");
        }
    }
}

/// The edge of one magnet crosses the face of the other: the field on it is singular along a line that is nowhere
/// parallel to its sides, and the integral still converges.
#[test]
fn touching_askew() {
    let own = Isometry3::identity();
    let j = Vector::new(0.0, 0.0, 1.2);
    let turn = UnitQuaternion::from_scaled_axis(Vector::new(0.0, 0.0, 0.6));
    let lower: [Magnet; 2] = [
        Block::new(Vector::repeat(10.0 * MM), j, own)
            .unwrap()
            .into(),
        Cylinder::new(10.0 * MM, 10.0 * MM, j, own).unwrap().into(),
    ];
    let at = |z: f64| Isometry3::from_parts(Translation3::new(3.0 * MM, 1.0 * MM, z), turn);
    let upper: [Magnet; 2] = [
        Block::new(Vector::new(8.0, 8.0, 6.0) * MM, j, at(8.0 * MM))
            .unwrap()
            .into(),
        Cylinder::new(7.0 * MM, 6.0 * MM, j, at(8.0 * MM))
            .unwrap()
            .into(),
    ];
    for a in &lower {
        for b in &upper {
            let tight = pull_within(a, b, Point3::origin(), 1e-7).unwrap();
            let loose = pull_within(a, b, Point3::origin(), 1e-3).unwrap();
            assert!(tight.force_error < 3e-7 * tight.force.norm());
            assert!((tight.force - loose.force).norm() <= loose.force_error);
            assert!((tight.torque - loose.torque).norm() <= loose.torque_error);
            let back = pull_within(b, a, Point3::origin(), 1e-7).unwrap();
            let error = (back.force + tight.force).norm();
            assert!(
                error < 2.0 * (back.force_error + tight.force_error),
                "{error:e}"
            );
            // Touching is the limit of a small gap: B falls by about gap / size x ln(size / gap).
            let gap = Translation3::new(0.0, 0.0, 1e-9).into();
            let apart = pull_within(a, &b.moved(&gap).unwrap(), Point3::origin(), 1e-7).unwrap();
            assert!((apart.force - tight.force).norm() < 1e-5 * tight.force.norm());
        }
    }
}

/// Corners of the sum that a random search seldom meets: planes and edges that coincide, without contact.
#[test]
fn coincident_planes_are_the_limit_of_near_ones() {
    let block = |at: Vector| -> Magnet {
        let pose = Translation3::from(at * MM).into();
        Block::new(
            Vector::new(10.0, 8.0, 6.0) * MM,
            Vector::new(0.4, -0.6, 0.9),
            pose,
        )
        .unwrap()
        .into()
    };
    let first = block(Vector::zeros());
    let offsets: Vec<Vector> = [0.0, 10.0, 20.0]
        .into_iter()
        .flat_map(|x| [0.0, 8.0, 16.0].map(|y| (x, y)))
        .flat_map(|(x, y)| [0.0, 6.0, 12.0].map(|z| Vector::new(x, y, z)))
        .filter(|at| at.x.max(at.y).max(at.z) > 0.0 && (at.x >= 10.0 || at.y >= 8.0 || at.z >= 6.0))
        .collect();
    assert_eq!(offsets.len(), 26);
    for at in offsets {
        let touching = pull(&first, &block(at), Point3::origin()).unwrap();
        let away = at.map(|part| part.signum() * f64::from(part > 0.0)) * 1e-7;
        let [near, nearer] = [away, 0.01 * away]
            .map(|off| pull(&first, &block(at + off), Point3::origin()).unwrap());
        // 1e-10 m over 6 mm, times the logarithm that grows at an edge (about 20), shrinking with the gap.
        for (limit, off) in [(near, 1e-7), (nearer, 1e-9)] {
            let allowed = 20.0 * off;
            let error = (limit.force - touching.force).norm() / touching.force.norm();
            assert!(error < allowed, "{error:e} at {at:?}");
            let error = (limit.torque - touching.torque).norm() / touching.torque.norm();
            assert!(error < allowed, "{error:e} at {at:?}");
        }
    }
}

/// The force is linear in either polarization.
#[test]
fn polarizations_add_up() {
    let parts: [Vector; 3] = from_fn(|axis| Vector::ith(axis, 0.7));
    let all: Vector = parts.iter().sum();
    let a = |j| {
        Magnet::from(Block::new(Vector::new(9.0, 7.0, 5.0) * MM, j, Isometry3::identity()).unwrap())
    };
    let turn = UnitQuaternion::from_scaled_axis(Vector::new(0.2, 0.9, -0.4));
    for turn in [UnitQuaternion::identity(), turn] {
        let pose = Isometry3::from_parts(Translation3::new(8.0 * MM, 6.0 * MM, 9.0 * MM), turn);
        let b = |j| Magnet::from(Block::new(Vector::new(4.0, 6.0, 5.0) * MM, j, pose).unwrap());
        let mut sum = Vector::zeros();
        for first in parts {
            for second in parts {
                sum += pull(&a(first), &b(second), Point3::origin()).unwrap().force;
            }
        }
        let whole = pull(&a(all), &b(all), Point3::origin()).unwrap();
        assert!((sum - whole.force).norm() < TOLERANCE * whole.force.norm());
    }
}
