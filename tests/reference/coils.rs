//! Extension and torsion springs against the textbook, the standard, and integrals over the wire.

use std::f64::consts::{PI, TAU};

use yokewright::spring::{
    CoilDiameter, DesignCode, ExtensionSpring, ExtensionSpringSpec, FatigueCriterion, HookShape,
    TorsionLimit, TorsionSpring, TorsionSpringSpec, Wire, WireSurface,
};
use yokewright::units::MM;

use crate::cases::Cases;

const ROWS: &str = include_str!("coils.toml");
const INCH: f64 = 25.4 * MM;
const LBF: f64 = 4.448_221_615_260_5;
const PSI: f64 = LBF / (INCH * INCH);
const KPSI: f64 = 1e3 * PSI;

fn extension(wire: &str, d: f64, coil: CoilDiameter) -> ExtensionSpringSpec {
    ExtensionSpringSpec {
        wire: Wire::named(wire).unwrap(),
        wire_diameter: d,
        coil,
        body_turns: 20.0,
        initial_tension: 0.0,
        hook: HookShape::Full,
        bend_radius: None,
        side_radius: None,
        hook_reach: None,
        design_code: DesignCode::Shigley,
    }
}

fn torsion(wire: &str, d: f64, coil: CoilDiameter) -> TorsionSpringSpec {
    TorsionSpringSpec {
        wire: Wire::named(wire).unwrap(),
        wire_diameter: d,
        coil,
        body_turns: 6.0,
        legs: [0.0, 0.0],
        arbor: None,
        design_code: DesignCode::Shigley,
    }
}

#[test]
fn every_row_is_used() {
    Cases::parse(ROWS).assert_all_used_in(include_str!("coils.rs"));
}

#[test]
fn usual_initial_tension() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("shigley_initial_tension");
    let d = 1.0 * MM;
    let spec = extension("ASTM A227", d, CoilDiameter::Mean(case.input("C") * d));
    let spring = ExtensionSpring::new(spec).unwrap();
    let [low, high] = spring.usual_initial_tension().map(|tension| {
        let initial_tension = tension;
        let spec = spring.spec().clone();
        let tight = ExtensionSpring::new(ExtensionSpringSpec {
            initial_tension,
            ..spec
        })
        .unwrap();
        tight.initial_stress() / PSI
    });
    case.check(&[
        ("mid_psi", 0.5 * (low + high)),
        ("half_band_psi", 0.5 * (high - low)),
    ]);

    let case = cases.get("en13906_2_initial");
    let coil = CoilDiameter::Mean(case.input("w") * d);
    let design_code = DesignCode::En13906;
    let spec = extension("EN 10270-1 SM", d, coil);
    let spring = ExtensionSpring::new(ExtensionSpringSpec {
        design_code,
        ..spec
    })
    .unwrap();
    let [low, high] = spring.usual_initial_tension();
    let stress = 8.0 * high * case.input("w") / (PI * d * d);
    let strength = spring.spec().wire.tensile_strength(d).unwrap();
    case.check(&[("share", stress / strength)]);
    assert_eq!(low, 0.0);
    assert_eq!(spring.active_turns(), 20.0);
}

#[test]
fn what_extension_springs_bear() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("allowable_extension");
    let shares = |wire: &str| {
        let coil = CoilDiameter::Mean(8.0 * MM);
        let spring = ExtensionSpring::new(extension(wire, 1.0 * MM, coil)).unwrap();
        let strength = spring.spec().wire.tensile_strength(1.0 * MM).unwrap();
        let allowed = spring.allowable();
        [allowed.body, allowed.hook_torsion, allowed.hook_bending].map(|s| 100.0 * s / strength)
    };
    let [steel_body, steel_torsion, steel_bending] = shares("ASTM A229");
    let [stainless_body, stainless_torsion, stainless_bending] = shares("ASTM A313");
    let shares = Wire::named("ASTM A228").unwrap().shares();
    case.check(&[
        // The lower end of the range is used.
        ("steel_body_low", steel_body),
        ("steel_body_high", 100.0 * shares.extension_body[1]),
        ("steel_hook_torsion", steel_torsion),
        ("steel_hook_bending", steel_bending),
        ("stainless_body", stainless_body),
        ("stainless_hook_torsion", stainless_torsion),
        ("stainless_hook_bending", stainless_bending),
    ]);
}

#[test]
fn shigley_extension_example() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("shigley_10_6");
    let length = |key: &str| case.input(key) * INCH;
    let spring = ExtensionSpring::new(ExtensionSpringSpec {
        body_turns: case.input("body_turns"),
        initial_tension: case.input("initial_lbf") * LBF,
        bend_radius: Some(length("r1_in")),
        side_radius: Some(length("r2_in")),
        ..extension(
            "ASTM A227",
            length("wire_d_in"),
            CoilDiameter::Outer(length("OD_in")),
        )
    })
    .unwrap();
    let stresses = spring.stresses(case.input("load_lbf") * LBF).unwrap();
    let strength = spring.spec().wire.tensile_strength(length("wire_d_in"));
    case.check(&[
        ("C", spring.index()),
        ("Na", spring.active_turns()),
        ("rate_lbf_per_in", spring.rate() / (LBF / INCH)),
        ("free_in", spring.free_length() / INCH),
        ("initial_stress_kpsi", spring.initial_stress() / KPSI),
        ("Sut_kpsi", strength.unwrap() / KPSI),
        ("body_kpsi", stresses.body / KPSI),
        ("hook_bending_kpsi", stresses.hook_bending / KPSI),
        ("hook_torsion_kpsi", stresses.hook_torsion / KPSI),
    ]);

    let case = cases.get("shigley_10_7");
    let tensions = ["low_lbf", "high_lbf"].map(|key| case.input(key) * LBF);
    let life = spring.fatigue(
        tensions,
        WireSurface::Unpeened,
        FatigueCriterion::Gerber,
        1e6,
    );
    let life = life.unwrap();
    case.check(&[
        ("nf_body", life.body.safety),
        ("nf_hook_bending", life.hook_bending.safety),
        ("nf_hook_torsion", life.hook_torsion.safety),
    ]);
    assert!(life.holds());
}

#[test]
fn what_torsion_springs_bear() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("allowable_torsion_spring");
    let share = |wire: &str| {
        let spring = TorsionSpring::new(torsion(wire, 1.0 * MM, CoilDiameter::Mean(8.0 * MM)));
        let spring = spring.unwrap();
        spring.allowable() / spring.spec().wire.tensile_strength(1.0 * MM).unwrap()
    };

    // The stress repeated from zero at which a spring just lasts; A230 and A232 share a column.
    let repeated = |wire: &str, surface, cycles| {
        let spring = TorsionSpring::new(torsion(wire, 1.0 * MM, CoilDiameter::Mean(8.0 * MM)));
        let spring = spring.unwrap();
        let torque = 0.1 * spring.max_torque();
        let life = spring.fatigue([0.0, torque], surface, FatigueCriterion::Gerber, cycles);
        let strength = spring.spec().wire.tensile_strength(1.0 * MM).unwrap();
        100.0 * life.unwrap().safety * spring.stress(torque).unwrap() / strength
    };
    case.check(&[
        ("Sy_music", share("ASTM A228")),
        ("Sy_qt", share("ASTM A229")),
        ("Sy_stainless", share("ASTM A313")),
        (
            "Sr_A228_1e5",
            repeated("ASTM A228", WireSurface::Unpeened, 1e5),
        ),
        (
            "Sr_A228_1e6",
            repeated("ASTM A228", WireSurface::Unpeened, 1e6),
        ),
        (
            "Sr_A230_1e5",
            repeated("ASTM A232", WireSurface::Unpeened, 1e5),
        ),
        (
            "Sr_A230_1e6",
            repeated("ASTM A232", WireSurface::Unpeened, 1e6),
        ),
        (
            "Sr_A228_peened_1e5",
            repeated("ASTM A228", WireSurface::Peened, 1e5),
        ),
        (
            "Sr_A228_peened_1e6",
            repeated("ASTM A228", WireSurface::Peened, 1e6),
        ),
    ]);
}

/// The torque for a turn, times D Na / (d^4 E), upside down.
#[test]
fn torque_for_a_turn() {
    let cases = Cases::parse(ROWS);
    let constant = |design_code| {
        let (d, mean) = (1.0 * MM, 8.0 * MM);
        let spec = torsion("ASTM A228", d, CoilDiameter::Mean(mean));
        let elastic = spec.wire.elastic_modulus(d).unwrap();
        let spring = TorsionSpring::new(TorsionSpringSpec {
            design_code,
            ..spec
        })
        .unwrap();
        d.powi(4) * elastic / (spring.torque_per_turn() * mean * spring.active_turns())
    };
    cases.get("torsion_k_turn").check(&[
        ("theory", constant(DesignCode::En13906)),
        ("with_friction", constant(DesignCode::Shigley)),
    ]);

    let case = cases.get("en13906_3_q");
    let d = 1.0 * MM;
    let spec = torsion("EN 10270-1 SM", d, CoilDiameter::Mean(case.input("w") * d));
    let design_code = DesignCode::En13906;
    let spring = TorsionSpring::new(TorsionSpringSpec {
        design_code,
        ..spec
    })
    .unwrap();
    case.check(&[("q", spring.stress(1.0).unwrap() * PI * d.powi(3) / 32.0)]);
}

#[test]
fn shigley_torsion_example() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("shigley_10_8");
    let length = |key: &str| case.input(key) * INCH;
    let leg = length("leg_in");
    let spring = TorsionSpring::new(TorsionSpringSpec {
        body_turns: case.input("body_turns"),
        legs: [leg, leg],
        arbor: Some(length("pin_in")),
        ..torsion(
            "ASTM A228",
            length("wire_d_in"),
            CoilDiameter::Outer(length("OD_in")),
        )
    })
    .unwrap();
    assert_eq!(spring.limit(), TorsionLimit::Stress);
    let wound = spring.state_at(spring.max_angle()).unwrap();
    case.check(&[
        ("C", spring.index()),
        ("Na", spring.active_turns()),
        ("Sy_kpsi", spring.allowable() / KPSI),
        ("greatest_lbf_in", wound.torque / (LBF * INCH)),
        (
            "rate_lbf_in_per_turn",
            spring.torque_per_turn() / (LBF * INCH),
        ),
        ("turns", wound.angle / TAU),
        ("inner_in", wound.inner_diameter / INCH),
        ("clearance_in", wound.clearance.unwrap() / INCH),
    ]);

    let case = cases.get("shigley_10_8_fatigue");
    let torques = ["low_lbf_in", "high_lbf_in"].map(|key| case.input(key) * LBF * INCH);
    let life = spring.fatigue(
        torques,
        WireSurface::Unpeened,
        FatigueCriterion::Gerber,
        1e6,
    );
    case.check(&[("nf", life.unwrap().safety)]);
}

/// Midpoint rule over `n` parts.
fn integral(from: f64, to: f64, n: usize, f: impl Fn(f64) -> f64) -> f64 {
    let step = (to - from) / n as f64;
    (0..n)
        .map(|i| f(from + (i as f64 + 0.5) * step))
        .sum::<f64>()
        * step
}

/// Winkler's theory of the curved beam: plane sections turn about the centre of curvature, so that the strain falls
/// like (r - rn) / r. The stress at the inside over that of a straight wire, by integrals over the round section with r
/// = radius + c sin(a).
fn winkler(index: f64) -> f64 {
    let (c, radius) = (1.0, index);
    let over = |f: &dyn Fn(f64) -> f64| {
        integral(-0.5 * PI, 0.5 * PI, 2000, |a| {
            // Width of the section times dr.
            2.0 * (c * a.cos()).powi(2) * f(radius + c * a.sin())
        })
    };
    let neutral = over(&|_| 1.0) / over(&|r| 1.0 / r);
    let moment = over(&|r| (r - neutral) / r * (r - neutral));
    let inside = (radius - c - neutral) / (radius - c);
    (inside / moment).abs() / (4.0 / PI)
}

/// Wahl's factor approximates the curved beam: within 0.1 % at an index of 4 and better above.
#[test]
fn hooks_are_curved_beams() {
    for (index, tolerance) in [
        (3.0, 0.004),
        (4.0, 0.001),
        (6.0, 0.001),
        (10.0, 0.001),
        (25.0, 0.001),
    ] {
        let d = 1.0 * MM;
        // With a full hook C1 = C; the pull F / A is added to the bending.
        let spring = ExtensionSpring::new(extension("ASTM A228", d, CoilDiameter::Mean(index * d)));
        let bending = spring.unwrap().stresses(1.0).unwrap().hook_bending;
        let pull = 4.0 / (PI * d * d);
        let expected = winkler(index) * 32.0 * 0.5 * index * d / (PI * d.powi(3)) + pull;
        assert!(
            (bending / expected - 1.0).abs() < tolerance,
            "C1 = {index}: {bending} against {expected}"
        );
    }
}

/// Castigliano: the bending energy of the wire, body under M and legs under M x / l, gives the angle by its derivative.
#[test]
fn a_torsion_spring_turns_as_its_wire_bends() {
    let (d, mean) = (2.0 * MM, 16.0 * MM);
    let legs = [30.0 * MM, 45.0 * MM];
    let spring = TorsionSpring::new(TorsionSpringSpec {
        legs,
        design_code: DesignCode::En13906,
        ..torsion("EN 10270-1 SM", d, CoilDiameter::Mean(mean))
    })
    .unwrap();
    let elastic = spring.spec().wire.elastic_modulus(d).unwrap();
    let stiffness = elastic * PI * d.powi(4) / 64.0;
    // By a torque of 1 N m.
    let body = integral(0.0, 6.0 * TAU, 1000, |_| 0.5 * mean / stiffness);
    let leg = |l: f64| integral(0.0, l, 1000, |x| (x / l).powi(2) / stiffness);
    let angle = body + leg(legs[0]) + leg(legs[1]);
    // The midpoint rule misses a share of 1 / (4 n^2) of the legs.
    assert!((spring.rate() * angle - 1.0).abs() < 1e-6);
}
