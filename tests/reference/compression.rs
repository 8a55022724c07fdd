//! Compression springs and fatigue against published values.

use std::f64::consts::PI;

use yokewright::spring::{
    CoilDiameter, CoilEnds, CompressionSpring, CompressionSpringSpec, CurvatureFactor, Cycle,
    DesignCode, EndFixity, Endurance, FatigueCriterion, ListedStrength, ModuliBand, PowerBand,
    Presetting, RECOMMENDED, Service, Turns, Wire, WireSpec, WireStrength, WireSurface,
};
use yokewright::units::MM;

use crate::cases::{Case, Cases};

const INCH: f64 = 25.4 * MM;
const LBF: f64 = 4.448_221_615_260_5;
const PSI: f64 = LBF / (INCH * INCH);
const KPSI: f64 = 1e3 * PSI;
const MPSI: f64 = 1e6 * PSI;
const MPA: f64 = 1e6;
/// E/G for which the constant of buckling is the rounded 2.63 that the book's examples take for any steel: pi sqrt(2
/// (x - 1) / (2 + x)) = 2.63.
fn book_e_over_g() -> f64 {
    let squared = (2.63 / PI).powi(2);
    (2.0 + 2.0 * squared) / (2.0 - squared)
}

/// The book's figure of merit weighs music wire at 2.6 times the cost of hard-drawn.
const MUSIC_WIRE_COST: f64 = 2.6;

fn rows() -> Cases {
    Cases::parse(include_str!("compression.toml"))
}

#[test]
fn every_row_is_used() {
    rows().assert_all_used_in(include_str!("compression.rs"));
}

fn wire_of(family_of: &str, strength: WireStrength, g: f64, e_over_g: f64, density: f64) -> Wire {
    Wire::new(WireSpec {
        strength,
        moduli: vec![ModuliBand {
            up_to: f64::INFINITY,
            elastic: e_over_g * g,
            shear: g,
        }],
        density,
        standard_diameters: vec![],
        ..Wire::named(family_of).unwrap().spec().clone()
    })
    .unwrap()
}

/// The wire with the constants of the row.
fn wire(case: &Case, name: &str) -> Wire {
    let m = case.input("m");
    let power = WireStrength::Power(vec![PowerBand {
        diameters: [0.1 * MM, 12.7 * MM],
        strength_at_1_mm: case.input("A_kpsi_in") * KPSI * (INCH / MM).powf(m),
        exponent: m,
    }]);
    let density = if case.inputs.contains_key("weight_density_lbf_in3") {
        case.input("weight_density_lbf_in3") * LBF / INCH.powi(3) / 9.806_65
    } else {
        7850.0
    };
    wire_of(
        name,
        power,
        case.input("G_Mpsi") * MPSI,
        book_e_over_g(),
        density,
    )
}

fn spring(
    wire: Wire,
    d: f64,
    coil: CoilDiameter,
    turns: Turns,
    free_length: f64,
    ends: CoilEnds,
) -> CompressionSpring {
    CompressionSpring::new(CompressionSpringSpec {
        wire,
        wire_diameter: d,
        coil,
        turns,
        free_length,
        ends,
        presetting: Presetting::AsWound,
        curvature: CurvatureFactor::Bergstraesser,
        design_code: DesignCode::Shigley,
    })
    .unwrap()
}

/// The book asks for the free length at which the spring, pressed solid, just does not yield.
#[test]
fn a_given_spring() {
    let rows = rows();
    let case = rows.get("shigley_10_1");
    let d = case.input("wire_d_in") * INCH;
    let of_length = |length: f64| {
        let outer = CoilDiameter::Outer(case.input("outer_d_in") * INCH);
        let turns = Turns::Total(case.input("total_turns"));
        spring(
            wire(case, "ASTM A228"),
            d,
            outer,
            turns,
            length,
            CoilEnds::Squared,
        )
    };
    let any = of_length(2.0 * INCH);
    let deflection = any.yield_force() / any.rate();
    let spring = of_length(any.solid_length() + deflection);
    assert!((spring.solid_safety() - 1.0).abs() < 1e-12);
    case.check(&[
        ("Sut_kpsi", spring.tensile_strength() / KPSI),
        ("Ssy_kpsi", spring.allowable_stress() / KPSI),
        ("C", spring.index()),
        ("KB", spring.curvature_factor()),
        ("F_yield_lbf", spring.yield_force() / LBF),
        ("k_lbf_per_in", spring.rate() / (LBF / INCH)),
        ("deflection_in", deflection / INCH),
        ("solid_in", spring.solid_length() / INCH),
        ("free_in", spring.free_length() / INCH),
        (
            "free_critical_in",
            spring.stable_free_length(EndFixity::FixedFixed) / INCH,
        ),
        ("pitch_in", spring.pitch() / INCH),
    ]);
}

/// The coil diameter at which a spring of this wire has the wanted stress under a force with the factor K_B, by
/// bisection.
fn mean_diameter_for(per_force: impl Fn(&CompressionSpring) -> f64, wire: &Wire, d: f64) -> f64 {
    let (mut low, mut high) = (3.0, 40.0);
    for _ in 0..100 {
        let index = 0.5 * (low + high);
        let coil = CoilDiameter::Mean(index * d);
        let any = spring(
            wire.clone(),
            d,
            coil,
            Turns::Active(5.0),
            0.5,
            CoilEnds::SquaredGround,
        );
        if per_force(&any) < 0.0 {
            low = index;
        } else {
            high = index;
        }
    }
    low * d
}

/// The spring of a design row: coil as wide as its stress allows, free length with the clash allowance xi.
fn designed(case: &Case, mean: f64, f_max: f64, rate: f64) -> CompressionSpring {
    let d = case.input("wire_d_in") * INCH;
    let wire = wire(case, "ASTM A228");
    let of = |turns: f64, length: f64| {
        let coil = CoilDiameter::Mean(mean);
        spring(
            wire.clone(),
            d,
            coil,
            Turns::Active(turns),
            length,
            CoilEnds::SquaredGround,
        )
    };
    let turns = of(1.0, 0.5).rate() / rate;
    let solid = of(turns, 0.5).solid_length();
    of(turns, solid + (1.0 + case.input("xi")) * f_max / rate)
}

fn figure_of_merit(spring: &CompressionSpring) -> f64 {
    let flat = PI * spring.mean_diameter() * spring.total_turns();
    -MUSIC_WIRE_COST * 0.25 * PI * spring.wire_diameter().powi(2) * flat / INCH.powi(3)
}

#[test]
fn a_static_design() {
    let rows = rows();
    for id in [
        "shigley_10_2_d063",
        "shigley_10_2_d067",
        "shigley_10_2_d075",
    ] {
        let case = rows.get(id);
        let d = case.input("wire_d_in") * INCH;
        let f_max = case.input("F_max_lbf") * LBF;
        let f_solid = (1.0 + case.input("xi")) * f_max;
        let ns = case.input("ns");
        // Wide enough that ns is just reached when pressed solid.
        let excess = |s: &CompressionSpring| ns - s.static_safety(f_solid).unwrap();
        let mean = mean_diameter_for(excess, &wire(case, "ASTM A228"), d);
        let rate = f_max / (case.input("y_max_in") * INCH);
        let spring = designed(case, mean, f_max, rate);
        assert!((spring.solid_safety() - ns).abs() < 1e-9);
        let used = spring.free_length() - f_max / rate;
        assert!((spring.clash_allowance(used).unwrap() - case.input("xi")).abs() < 1e-9);
        assert!((spring.min_working_length(Service::Static) - used).abs() < 1e-12);
        assert_eq!(
            EndFixity::FixedFixed.alpha(DesignCode::Shigley),
            case.input("alpha_end")
        );
        case.check(&[
            ("D_in", spring.mean_diameter() / INCH),
            ("C", spring.index()),
            ("OD_in", spring.outer_diameter() / INCH),
            ("Na", spring.active_turns()),
            ("solid_in", spring.solid_length() / INCH),
            ("free_in", spring.free_length() / INCH),
            (
                "free_critical_in",
                spring.stable_free_length(EndFixity::FixedFixed) / INCH,
            ),
            ("fom", figure_of_merit(&spring)),
        ]);
    }
}

#[test]
fn a_wire_from_the_index() {
    let rows = rows();
    let case = rows.get("shigley_10_3");
    let wire = wire(case, "ASTM A227");
    // The row compares the strength with the force in use.
    let f_max = case.input("F_max_lbf") * LBF;
    let rate = case.input("rate_lbf_per_in") * LBF / INCH;
    let of = |index: f64, d: f64| {
        let coil = CoilDiameter::Mean(index * d);
        spring(
            wire.clone(),
            d,
            coil,
            Turns::Active(1.0),
            0.5,
            CoilEnds::SquaredGround,
        )
    };
    let safety = |index: f64, d: f64| of(index, d).static_safety(f_max).unwrap();
    let turns = |index: f64, d: f64| of(index, d).rate() / rate;
    // The wire that just reaches ns at this index.
    let thinnest = |index: f64| {
        let (mut low, mut high) = (1.0 * MM, 6.0 * MM);
        for _ in 0..100 {
            let d = 0.5 * (low + high);
            if safety(index, d) < case.input("ns") {
                low = d;
            } else {
                high = d;
            }
        }
        high / INCH
    };
    let (thick, thin) = (0.1055 * INCH, 0.0915 * INCH);
    case.check(&[
        ("KB_C10", of(10.0, thick).curvature_factor()),
        ("d_C10_in", thinnest(10.0)),
        ("ns_C10_d1055", safety(10.0, thick)),
        ("ns_C10_d0915", safety(10.0, thin)),
        ("Na_C10_d0915", turns(10.0, thin)),
        ("KB_C12", of(12.0, thick).curvature_factor()),
        ("d_C12_in", thinnest(12.0)),
        ("ns_C12_d1055", safety(12.0, thick)),
        ("Na_C12_d1055", turns(12.0, thick)),
    ]);
}

#[test]
fn fatigue_of_a_given_spring() {
    let rows = rows();
    let case = rows.get("shigley_10_4");
    let d = case.input("wire_d_in") * INCH;
    let outer = CoilDiameter::Outer(case.input("outer_d_in") * INCH);
    let turns = Turns::Active(case.input("active_turns"));
    let spring = spring(
        wire(case, "ASTM A228"),
        d,
        outer,
        turns,
        4.0 * INCH,
        CoilEnds::SquaredGround,
    );
    let forces = ["F_min_lbf", "F_max_lbf"].map(|key| case.input(key) * LBF);
    let verdict = |criterion| {
        let verdict = spring.fatigue(forces, WireSurface::Unpeened, criterion, 1e6);
        verdict.unwrap()
    };
    let gerber = verdict(FatigueCriterion::Gerber);
    assert!(gerber.holds());
    case.check(&[
        ("nf_sines", verdict(FatigueCriterion::Sines).safety),
        ("nf_gerber", gerber.safety),
        ("nf_goodman", verdict(FatigueCriterion::Goodman).safety),
        ("tau_a_kpsi", gerber.cycle.alternating / KPSI),
        ("tau_m_kpsi", gerber.cycle.mean / KPSI),
        ("Ssu_kpsi", gerber.endurance.ultimate() / KPSI),
        ("rate_lbf_per_in", spring.rate() / (LBF / INCH)),
        ("weight_lbf", spring.active_mass() * 9.806_65 / LBF),
        ("fn_Hz", spring.surge_frequency()),
    ]);
}

#[test]
fn a_design_against_fatigue() {
    let rows = rows();
    let case = rows.get("shigley_10_5_d112");
    let d = case.input("wire_d_in") * INCH;
    let forces = ["F_min_lbf", "F_max_lbf"].map(|key| case.input(key) * LBF);
    let rate = case.input("rate_lbf_per_in") * LBF / INCH;
    let wanted = case.expected("nf");
    let nf = |s: &CompressionSpring| {
        let verdict = s.fatigue(forces, WireSurface::Unpeened, FatigueCriterion::Sines, 1e6);
        verdict.unwrap().safety
    };
    let mean = mean_diameter_for(|s| wanted - nf(s), &wire(case, "ASTM A228"), d);
    let spring = designed(case, mean, forces[1], rate);
    case.check(&[
        ("D_in", spring.mean_diameter() / INCH),
        ("ID_in", spring.inner_diameter() / INCH),
        ("OD_in", spring.outer_diameter() / INCH),
        ("C", spring.index()),
        ("Na", spring.active_turns()),
        ("solid_in", spring.solid_length() / INCH),
        ("free_in", spring.free_length() / INCH),
        (
            "free_critical_in",
            spring.stable_free_length(EndFixity::FixedFixed) / INCH,
        ),
        ("nf", nf(&spring)),
        ("ns", spring.solid_safety()),
        ("fn_Hz", spring.surge_frequency()),
        ("fom", figure_of_merit(&spring)),
    ]);
}

fn endurance(surface: WireSurface) -> Endurance {
    let wire = Wire::named("ASTM A228").unwrap();
    Endurance::zimmerli(&wire, 2.0 * MM, surface, FatigueCriterion::Gerber).unwrap()
}

#[test]
fn zimmerli() {
    let (drawn, peened) = (
        endurance(WireSurface::Unpeened),
        endurance(WireSurface::Peened),
    );
    rows().get("zimmerli").check(&[
        ("Ssa_unpeened_kpsi", drawn.alternating() / KPSI),
        ("Ssm_unpeened_kpsi", drawn.mean() / KPSI),
        ("Ssa_unpeened_MPa", drawn.alternating() / MPA),
        ("Ssm_unpeened_MPa", drawn.mean() / MPA),
        ("Ssa_peened_kpsi", peened.alternating() / KPSI),
        ("Ssm_peened_kpsi", peened.mean() / KPSI),
        ("Ssm_peened_MPa", peened.mean() / MPA),
    ]);
}

#[test]
fn fully_reversed() {
    let rows = rows();
    let case = rows.get("gerber_goodman_Sse");
    let of = |criterion| {
        let [a, m, u] = ["Ssa_kpsi", "Ssm_kpsi", "Ssu_kpsi"].map(|key| case.input(key) * KPSI);
        Endurance::new(a, m, u, criterion).unwrap().fully_reversed() / KPSI
    };
    assert!((of(FatigueCriterion::Sines) - case.input("Ssa_kpsi")).abs() < 1e-9);
    case.check(&[
        ("Sse_gerber_kpsi", of(FatigueCriterion::Gerber)),
        ("Sse_goodman_kpsi", of(FatigueCriterion::Goodman)),
    ]);
}

/// A spring of steel with the E/G and the strength given, 2 mm wire, index 8.
fn plain_spring(e_over_g: f64, turns: f64, free_length: f64) -> CompressionSpring {
    let listed = WireStrength::Listed(vec![ListedStrength {
        diameter: 2.0 * MM,
        min: 1760.0 * MPA,
        max: 1970.0 * MPA,
    }]);
    let wire = wire_of("EN 10270-1 SM", listed, 81.5e9, e_over_g, 7850.0);
    let coil = CoilDiameter::Mean(16.0 * MM);
    spring(
        wire,
        2.0 * MM,
        coil,
        Turns::Active(turns),
        free_length,
        CoilEnds::SquaredGround,
    )
}

#[test]
fn buckling() {
    let rows = rows();
    let case = rows.get("buckling_steel");
    let spring = plain_spring(case.input("E_over_G"), 8.0, 50.0 * MM);
    let length = spring.stable_free_length(EndFixity::PinnedPinned);
    case.check(&[("const", length / spring.mean_diameter())]);
    rows.get("buckling_alpha").check(&[
        (
            "fixed_fixed",
            EndFixity::FixedFixed.alpha(DesignCode::Shigley),
        ),
        (
            "fixed_pinned",
            EndFixity::FixedPinned.alpha(DesignCode::Shigley),
        ),
        (
            "pinned_pinned",
            EndFixity::PinnedPinned.alpha(DesignCode::Shigley),
        ),
        (
            "fixed_free",
            EndFixity::FixedFree.alpha(DesignCode::Shigley),
        ),
    ]);
}

#[test]
fn ends_and_limits() {
    let rows = rows();
    rows.get("end_types").check(&[
        ("plain_Ne", CoilEnds::Plain.inactive_turns()),
        ("plain_ground_Ne", CoilEnds::PlainGround.inactive_turns()),
        ("squared_Ne", CoilEnds::Squared.inactive_turns()),
        (
            "squared_ground_Ne",
            CoilEnds::SquaredGround.inactive_turns(),
        ),
    ]);
    // Solid length in wire diameters for Nt turns, and free length for Na turns of a pitch, as the note of the row has
    // them.
    let (d, pitch, turns) = (2.0 * MM, 4.0 * MM, 9.5);
    for (ends, solid, free) in [
        (CoilEnds::Plain, 10.5, pitch * 9.5 + d),
        (CoilEnds::PlainGround, 9.5, pitch * (8.5 + 1.0)),
        (CoilEnds::Squared, 10.5, pitch * 7.5 + 3.0 * d),
        (CoilEnds::SquaredGround, 9.5, pitch * 7.5 + 2.0 * d),
    ] {
        let coil = CoilDiameter::Mean(16.0 * MM);
        let wire = Wire::named("ASTM A228").unwrap();
        let spring = spring(wire, d, coil, Turns::Total(turns), free, ends);
        assert!((spring.solid_length() - solid * d).abs() < 1e-12);
        assert!((spring.pitch() - pitch).abs() < 1e-12);
    }
    rows.get("design_limits").check(&[
        ("C_min", RECOMMENDED.index[0]),
        ("C_max", RECOMMENDED.index[1]),
        ("Na_min", RECOMMENDED.active_turns[0]),
        ("Na_max", RECOMMENDED.active_turns[1]),
        ("xi_min", RECOMMENDED.clash_allowance),
        ("ns_min", RECOMMENDED.solid_safety),
        ("fn_ratio_low", RECOMMENDED.frequency_ratio[0]),
        ("fn_ratio_high", RECOMMENDED.frequency_ratio[1]),
    ]);
}

#[test]
fn the_standard() {
    let rows = rows();
    for id in ["en13906_k_4", "en13906_k_8", "en13906_k_12"] {
        let case = rows.get(id);
        let k = CurvatureFactor::Bergstraesser
            .factor(case.input("w"))
            .unwrap();
        case.check(&[("k", k)]);
    }
    // The notes of the same rows.
    for (index, wahl) in [(4.0, 1.40375), (8.0, 1.18402), (12.0, 1.11943)] {
        assert!((CurvatureFactor::Wahl.factor(index).unwrap() - wahl).abs() < 5e-6);
    }
    let case = rows.get("en13906_example");
    let shigley = plain_spring(206.0 / 81.5, case.input("n_active"), 50.0 * MM);
    let spring = CompressionSpring::new(CompressionSpringSpec {
        design_code: DesignCode::En13906,
        ..shigley.spec().clone()
    })
    .unwrap();
    assert_eq!(spring.total_turns(), case.input("n_total"));
    let gap = |service| (spring.min_working_length(service) - spring.solid_length()) / MM;
    case.check(&[
        ("R_N_per_mm", spring.rate() * MM),
        ("Sa_static_mm", gap(Service::Static)),
        ("Sa_dynamic_mm", gap(Service::Dynamic)),
        ("fe_Hz", spring.surge_frequency()),
        ("tau_zul_MPa", spring.allowable_stress() / MPA),
        ("Lc_mm", spring.solid_length() / MM),
    ]);
}

#[test]
fn a_cycle_has_mean_and_alternating_part() {
    let cycle = Cycle::between(500.0 * MPA, 100.0 * MPA).unwrap();
    assert_eq!(cycle, Cycle::between(100.0 * MPA, 500.0 * MPA).unwrap());
    assert_eq!([cycle.mean, cycle.alternating], [300.0 * MPA, 200.0 * MPA]);
    assert_eq!(cycle.greatest(), 500.0 * MPA);
}
