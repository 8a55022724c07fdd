//! Compression springs, their fatigue and the search for them, over the whole domain and over garbage.

use std::f64::consts::PI;

use nalgebra::{DMatrix, SymmetricEigen, Vector3};
use proptest::prelude::*;
use yokewright::spring::{
    CoilDiameter, CoilEnds, CompressionDemand, CompressionSpring, CompressionSpringSpec,
    CurvatureFactor, Cycle, DesignCode, EndFixity, Endurance, FatigueCriterion, Life, LifeDemand,
    LinearSpringState, Presetting, Service, SizingTarget, Turns, Wire, WireSurface, requirement,
    search_compression_springs,
};
use yokewright::units::MM;

use crate::strategies::anything;

/// Share that a handful of roundings may change.
const ROUNDING: f64 = 1e-12;

fn wires() -> impl Strategy<Value = Wire> {
    prop::sample::select(Wire::all().to_vec())
}

/// Anything but the lengths.
fn choices() -> impl Strategy<Value = (CoilEnds, Presetting, CurvatureFactor, DesignCode)> {
    (
        prop::sample::select(CoilEnds::ALL.to_vec()),
        prop::sample::select(Presetting::ALL.to_vec()),
        prop::sample::select(CurvatureFactor::ALL.to_vec()),
        prop::sample::select(DesignCode::ALL.to_vec()),
    )
}

/// Every wire and diameter, every index, half a turn to a hundred, from all but solid to a pitch of two coil diameters.
fn specs() -> impl Strategy<Value = CompressionSpringSpec> {
    (
        wires(),
        0.0..=1.0_f64,
        2.0..=50.0_f64,
        0.5..100.0_f64,
        0.01..1.0_f64,
        choices(),
    )
        .prop_map(
            |(wire, share, index, turns, room, (ends, presetting, curvature, design_code))| {
                let [min, max] = wire.diameter_range();
                let d = (min * (max / min).powf(share)).clamp(min, max);
                let mean = index.clamp(2.0 + 1e-12, 50.0 - 1e-12) * d;
                // Solid with room to spare for any ends, and then open.
                let solid = (turns + 4.0) * d;
                let free = (solid + room * turns * 2.0 * mean).min(10.0);
                CompressionSpringSpec {
                    wire,
                    wire_diameter: d,
                    coil: CoilDiameter::Mean(mean),
                    turns: Turns::Active(turns.min(((free - 4.0 * d) / d * 0.9).max(0.5))),
                    free_length: free,
                    ends,
                    presetting,
                    curvature,
                    design_code,
                }
            },
        )
}

fn springs() -> impl Strategy<Value = CompressionSpring> {
    specs().prop_map(|spec| CompressionSpring::new(spec).unwrap())
}

/// Second moments of a round wire, bending and polar, m^4.
fn moments(d: f64) -> (f64, f64) {
    let bending = PI * d.powi(4) / 64.0;
    (bending, 2.0 * bending)
}

/// How far a force of 1 N along the axis shortens a helix of wire, m: the energy of twist and bend, point by point
/// along the wire.
fn compliance_along_the_wire(spring: &CompressionSpring) -> f64 {
    let d = spring.wire_diameter();
    let (e, g) = (
        spring.wire().elastic_modulus(d).unwrap(),
        spring.wire().shear_modulus(d).unwrap(),
    );
    let (bending, polar) = moments(d);
    let (radius, rise) = (0.5 * spring.mean_diameter(), spring.pitch() / (2.0 * PI));
    let steps = 2000;
    let angle = 2.0 * PI * spring.active_turns() / f64::from(steps);
    let force = Vector3::z();
    let energy = (0..steps).map(|i| {
        let (sin, cos) = (angle * (f64::from(i) + 0.5)).sin_cos();
        let arm = Vector3::new(radius * cos, radius * sin, 0.0);
        let along = Vector3::new(-radius * sin, radius * cos, rise);
        let length = along.norm() * angle;
        let moment = arm.cross(&force);
        let twist = moment.dot(&along.normalize());
        let bend = moment.norm_squared() - twist * twist;
        0.5 * length * (twist * twist / (g * polar) + bend / (e * bending))
    });
    2.0 * energy.sum::<f64>()
}

/// The lowest frequency of a chain of equal masses and springs between two walls.
fn chain_frequency(rate: f64, mass: f64, links: usize) -> f64 {
    let count = links as f64;
    let stiffness = rate * count / (mass / count);
    let size = links - 1;
    let chain = DMatrix::from_fn(size, size, |i, j| match i.abs_diff(j) {
        0 => 2.0 * stiffness,
        1 => -stiffness,
        _ => 0.0,
    });
    let lowest = SymmetricEigen::new(chain).eigenvalues.min();
    lowest.sqrt() / (2.0 * PI)
}

fn cycles_below(most: f64) -> impl Strategy<Value = Cycle> {
    (0.0..most, 0.0..most).prop_map(|(one, other)| Cycle::between(one, other).unwrap())
}

fn endurances() -> impl Strategy<Value = Endurance> {
    (
        prop::sample::select(FatigueCriterion::ALL.to_vec()),
        prop::bool::ANY,
        0.5..4.0_f64,
    )
        .prop_map(|(criterion, peened, d)| {
            let surface = if peened {
                WireSurface::Peened
            } else {
                WireSurface::Unpeened
            };
            let wire = Wire::named("EN 10270-1 SH").unwrap();
            Endurance::zimmerli(&wire, d * MM, surface, criterion).unwrap()
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    /// The formula takes the turns flat; the helix of the wire differs by the square of its slope.
    #[test]
    fn rate_from_the_energy_of_twist_along_the_wire(spring in springs()) {
        let slope = spring.pitch() / (PI * spring.mean_diameter());
        let share = spring.rate() * compliance_along_the_wire(&spring);
        prop_assert!((share - 1.0).abs() <= slope * slope + 1e-9, "{} {}", share, slope);
    }

    #[test]
    fn force_is_the_derivative_of_the_energy(spring in springs(), share in 0.01..0.99_f64) {
        let law = spring.line_spring();
        prop_assume!(law.is_ok());
        let law = law.unwrap();
        let (solid, free) = (spring.solid_length(), spring.free_length());
        prop_assert_eq!(law.length_range()[0], solid);
        let length = solid + share * (free - solid);
        let step = 1e-3 * (free - length).min(length - solid);
        let energy = |length| law.response(length).unwrap().energy;
        let slope = (energy(length + step) - energy(length - step)) / (2.0 * step);
        let force = spring.force(length).unwrap();
        // The energy is a parabola, whose central difference is exact but for its rounding, some 1e-16 of the energy
        // over 1e-3 of the way.
        let rounding = 1e-12 * spring.solid_force() * (free - solid) / step * 1e-3;
        prop_assert!((force + slope).abs() <= rounding + 1e-9 * force, "{} {}", force, slope);
        prop_assert_eq!(law.response(length).unwrap().state, LinearSpringState::Working);
        prop_assert_eq!(spring.force(1.01 * free).unwrap_or(0.0), 0.0);
    }

    #[test]
    fn shorter_pushes_harder(spring in springs(), shares in prop::collection::vec(0.0..=1.1_f64, 2..20)) {
        let (solid, free) = (spring.solid_length(), spring.free_length());
        let mut lengths: Vec<_> = shares.iter().map(|s| (solid + s * (free - solid)).min(10.0)).collect();
        lengths.sort_by(f64::total_cmp);
        let (forces, stresses) = (spring.forces(&lengths), spring.stresses(&lengths));
        for (i, &length) in lengths.iter().enumerate() {
            prop_assert!(forces.valid[i] && stresses.valid[i]);
            let force = spring.force(length).unwrap();
            prop_assert_eq!(forces.values[i], force);
            prop_assert_eq!(stresses.values[i], spring.stress(force).unwrap());
            prop_assert!(force <= spring.solid_force() * (1.0 + ROUNDING));
            if i > 0 {
                prop_assert!(force <= forces.values[i - 1]);
                prop_assert!(stresses.values[i] <= stresses.values[i - 1]);
            }
            // There and back, unless the free length cut it off.
            if force > 0.0 && force <= spring.solid_force() {
                prop_assert!((spring.length(force).unwrap() - length).abs() <= ROUNDING * free);
            }
        }
        let below = spring.forces(&[0.99 * solid, f64::NAN]);
        prop_assert!(below.values.iter().all(|f| f.is_nan()) && below.valid == [false, false]);
    }

    /// A chain of N links has the frequency of the wave equation times sin(x) / x with x = pi / (2 N).
    #[test]
    fn surge_is_the_wave_equation(spring in springs()) {
        let links = 40;
        let x = 0.5 * PI / links as f64;
        let chain = chain_frequency(spring.rate(), spring.active_mass(), links) * x / x.sin();
        prop_assert!((chain / spring.surge_frequency() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn what_a_spring_says_of_itself_fits_together(spring in springs()) {
        let (solid, free) = (spring.solid_length(), spring.free_length());
        prop_assert!(solid < free && spring.pitch() > 0.0);
        prop_assert!((spring.outer_diameter() - spring.inner_diameter() - 2.0 * spring.wire_diameter())
            .abs() <= ROUNDING * spring.outer_diameter());
        prop_assert!(spring.inner_diameter() > 0.0);
        prop_assert!(spring.mass() >= spring.active_mass() * (1.0 - ROUNDING));
        let safety = spring.static_safety(spring.solid_force()).unwrap_or(spring.solid_safety());
        prop_assert!((safety / spring.solid_safety() - 1.0).abs() < ROUNDING);
        // Pressed solid its coils are widest.
        let [open, closed] = [free, solid].map(|length| spring.outer_diameter_at(length).unwrap());
        prop_assert!((open / spring.outer_diameter() - 1.0).abs() < ROUNDING);
        prop_assert!(closed >= open * (1.0 - ROUNDING));
        let service = Service::ALL.map(|service| spring.min_working_length(service));
        prop_assert!(solid < service[0] && service[0] <= service[1]);
        for end_fixity in EndFixity::ALL {
            match spring.critical_deflection(end_fixity) {
                Some(deflection) => {
                    prop_assert!(free > spring.stable_free_length(end_fixity));
                    prop_assert!(deflection > 0.0 && deflection < free - solid);
                }
                // Stable, or solid before: with the softest seats it buckles sooner.
                None => {
                    let harder = spring.critical_deflection(EndFixity::FixedFixed);
                    prop_assert!(harder.is_none());
                }
            }
        }
    }

    #[test]
    fn an_index_that_cannot_be_wound_is_refused(spec in specs(), index in prop_oneof![1e-3..1.999_f64,
        50.001..500.0_f64]) {
        let coil = CoilDiameter::Mean(index * spec.wire_diameter);
        let error = CompressionSpring::new(CompressionSpringSpec { coil, ..spec }).unwrap_err().to_string();
        prop_assert!(error.contains("spring index") || error.contains("mean diameter"), "{}", error);
    }

    #[test]
    fn more_turns_than_fit_are_refused(spec in specs(), excess in 1.0..100.0_f64) {
        let turns = Turns::Active(spec.free_length / spec.wire_diameter + excess);
        let error = CompressionSpring::new(CompressionSpringSpec { turns, ..spec }).unwrap_err().to_string();
        prop_assert!(error.contains("active turns"), "{}", error);
    }

    #[test]
    fn garbage_is_refused_or_has_values(spec in specs(), numbers in prop::array::uniform4(anything()),
        which in 0..16_u8, force in anything(), length in anything()) {
        let pick = |bit: u8, own: f64| if which & (1 << bit) != 0 { numbers[bit as usize] } else { own };
        let CoilDiameter::Mean(mean) = spec.coil else { unreachable!() };
        let Turns::Active(turns) = spec.turns else { unreachable!() };
        let spring = CompressionSpring::new(CompressionSpringSpec {
            wire_diameter: pick(0, spec.wire_diameter),
            coil: CoilDiameter::Mean(pick(1, mean)),
            turns: Turns::Active(pick(2, turns)),
            free_length: pick(3, spec.free_length),
            ..spec
        });
        if let Ok(spring) = spring {
            for value in [spring.rate(), spring.mass(), spring.solid_length(), spring.solid_force(),
                spring.surge_frequency(),
                spring.yield_force(), spring.solid_safety(), spring.wire_length(),
                    spring.stable_free_length(EndFixity::FixedFree)] {
                prop_assert!(value.is_finite() && value > 0.0, "{:?} {}", spring, value);
            }
            let answers = [spring.force(length), spring.length(force), spring.stress(force),
                spring.outer_diameter_at(length)];
            prop_assert!(answers.into_iter().flatten().all(f64::is_finite));
            for safety in [spring.static_safety(force), spring.clash_allowance(length)].into_iter().flatten() {
                prop_assert!(!safety.is_nan());
            }
        }
    }

    /// A cycle grown by the safety is the one that just breaks.
    #[test]
    fn safety_is_the_growth_that_breaks(endurance in endurances(), cycle in cycles_below(600e6),
        decades in 0.0..8.0_f64) {
        let cycles = 10.0_f64.powf(decades);
        let safety = endurance.safety(&cycle, cycles).unwrap();
        prop_assume!(safety.is_finite() && safety < 10.0);
        let grown = Cycle { mean: safety * cycle.mean, alternating: safety * cycle.alternating };
        let again = endurance.safety(&grown, cycles).unwrap();
        prop_assert!((again - 1.0).abs() < 1e-9);
        if grown.mean < endurance.ultimate() {
            let borne = endurance.alternating_at(grown.mean, cycles).unwrap();
            prop_assert!((borne - grown.alternating).abs() <= 1e-9 * endurance.ultimate());
        }
    }

    #[test]
    fn life_is_where_the_safety_is_gone(endurance in endurances(), cycle in cycles_below(1500e6)) {
        match endurance.life(&cycle).unwrap() {
            Life::Endless => prop_assert!(endurance.safety(&cycle, 1e12).unwrap() >= 1.0 - 1e-9),
            Life::Short => prop_assert!(endurance.safety(&cycle, 1e3).unwrap() <= 1.0 + 1e-9),
            Life::Cycles(cycles) => {
                prop_assert!((1e3 * (1.0 - 1e-9)..=1e6 * (1.0 + 1e-9)).contains(&cycles));
                prop_assert!((endurance.safety(&cycle, cycles).unwrap() - 1.0).abs() < 1e-9);
            }
        }
    }

    /// The point of the test lies on the line.
    #[test]
    fn endurance_goes_through_the_test(endurance in endurances()) {
        let borne = endurance.alternating_at(endurance.mean(), 1e6).unwrap();
        prop_assert!((borne / endurance.alternating() - 1.0).abs() < ROUNDING);
        let goodman = Endurance::new(endurance.alternating(), endurance.mean(), endurance.ultimate(),
            FatigueCriterion::Goodman).unwrap();
        prop_assert!(goodman.fully_reversed() >= endurance.fully_reversed());
    }

    #[test]
    fn endurance_of_garbage(stresses in prop::array::uniform3(anything()), cycle in prop::array::uniform2(anything()),
        cycles in anything()) {
        let [alternating, mean, ultimate] = stresses;
        for criterion in FatigueCriterion::ALL {
            let Ok(endurance) = Endurance::new(alternating, mean, ultimate, criterion) else { continue };
            prop_assert!(endurance.fully_reversed().is_finite());
            if let Ok(cycle) = Cycle::between(cycle[0], cycle[1]) {
                prop_assert!(!endurance.safety(&cycle, cycles).unwrap_or(1.0).is_nan());
                prop_assert!(!endurance.life(&cycle).unwrap().cycles().is_nan());
            }
        }
    }
}

fn demands() -> impl Strategy<Value = CompressionDemand> {
    let wanted = prop_oneof![
        (
            100.0..20e3_f64,
            0.0..50.0_f64,
            prop::option::of(0.03..0.2_f64)
        )
            .prop_map(|(rate, preload, start_length)| {
                SizingTarget::Rate {
                    rate,
                    preload,
                    start_length,
                }
            }),
        (5.0..300.0_f64, 0.01..0.1_f64)
            .prop_map(|(force, length)| SizingTarget::Force { force, length }),
    ];
    let life = prop::option::of(
        (3.0..7.0_f64, prop::bool::ANY).prop_map(|(decades, peened)| LifeDemand {
            cycles: 10.0_f64.powf(decades),
            surface: if peened {
                WireSurface::Peened
            } else {
                WireSurface::Unpeened
            },
            criterion: FatigueCriterion::Goodman,
            safety: 1.1,
        }),
    );
    (
        wires(),
        wanted,
        0.005..0.03_f64,
        prop::option::of(0.01..0.05_f64),
        prop::option::of(0.002..0.02_f64),
        prop::option::of(0.03..0.2_f64),
        life,
        choices(),
        prop::option::of(prop::sample::select(EndFixity::ALL.to_vec())),
    )
        .prop_map(
            |(
                wire,
                wanted,
                travel,
                bore,
                rod,
                longest_free,
                life,
                (ends, presetting, curvature, design_code),
                end_fixity,
            )| {
                CompressionDemand {
                    bore,
                    rod,
                    longest_free,
                    life,
                    ends,
                    presetting,
                    curvature,
                    design_code,
                    end_fixity,
                    coil_steps: 20,
                    turn_steps: 6,
                    ..CompressionDemand::new(vec![wire], wanted, travel)
                }
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn what_is_found_does_it(demand in demands()) {
        let sizing = search_compression_springs(&demand).unwrap();
        let tolerance = 1e-6;
        prop_assert!(sizing.fitting <= sizing.tried && sizing.found.len() <= sizing.fitting);
        prop_assert_eq!(sizing.found.is_empty(), sizing.fitting == 0);
        prop_assert_eq!(sizing.nearest.is_some(), sizing.fitting == 0);
        prop_assert_eq!(sizing.best().is_ok(), sizing.fitting > 0);
        for rejection in &sizing.rejected {
            prop_assert!(rejection.count <= sizing.tried - sizing.fitting);
            let miss = rejection.nearest;
            let upper = [requirement::BORE, requirement::MANY_TURNS, requirement::LOOSE, requirement::FREE_LENGTH,
                requirement::SOLID_LENGTH];
            let beyond = if upper.contains(&miss.requirement) { miss.value - miss.limit } else { miss.limit
                - miss.value };
            prop_assert!(beyond > 0.0);
        }
        let mut last = 0.0;
        for sized in &sizing.found {
            let spring = &sized.spring;
            let [start, end] = sized.lengths;
            prop_assert!(spring.mass() >= last);
            last = spring.mass();
            prop_assert!((start - end - demand.travel).abs() < tolerance * start);
            for (length, force) in sized.lengths.into_iter().zip(sized.forces) {
                prop_assert!((spring.force(length).unwrap() - force).abs() <= tolerance * (1.0 + force.abs()));
            }
            match demand.wanted {
                SizingTarget::Rate { rate, preload, start_length } => {
                    prop_assert!((spring.rate() / rate - 1.0).abs() < tolerance);
                    prop_assert!((sized.forces[0] - preload).abs() < tolerance * (1.0 + preload));
                    if let Some(wanted) = start_length {
                        prop_assert!((start - wanted).abs() < tolerance);
                    }
                }
                SizingTarget::Force { force, length } => {
                    prop_assert!((sized.forces[1] - force).abs() < tolerance * force);
                    prop_assert!((end - length).abs() < tolerance);
                }
            }
            let solid = spring.solid_length();
            prop_assert!(spring.outer_diameter_at(solid).unwrap() <= demand.bore.unwrap_or(1e9) * (1.0 + tolerance));
            prop_assert!(spring.inner_diameter() >= demand.rod.unwrap_or(0.0) * (1.0 - tolerance));
            prop_assert!(spring.free_length() <= demand.longest_free.unwrap_or(1e9) * (1.0 + tolerance));
            prop_assert!(spring.clash_allowance(end).unwrap() >= demand.clash_allowance - tolerance);
            prop_assert!(spring.solid_safety() >= demand.solid_safety - tolerance);
            let [few, many] = demand.active_turns;
            prop_assert!((few * (1.0 - tolerance)..=many * (1.0 + tolerance)).contains(&spring.active_turns()));
            if let Some(end_fixity) = demand.end_fixity {
                let deflection = spring.free_length() - end;
                prop_assert!(spring.critical_deflection(end_fixity)
                    .is_none_or(|c| c >= deflection * (1.0 - tolerance)));
            }
            if let Some(life) = demand.life {
                let forces = sized.forces.map(|force| force.max(0.0));
                let verdict = spring.fatigue(forces, life.surface, life.criterion, life.cycles).unwrap();
                prop_assert!(verdict.safety >= life.safety - tolerance);
                prop_assert!((verdict.safety - sized.life_safety.unwrap()).abs() < tolerance * verdict.safety);
            }
        }
    }

    #[test]
    fn demands_of_garbage(demand in demands(), numbers in prop::array::uniform8(anything()), which in any::<u8>()) {
        let pick = |bit: usize, own: f64| if which & (1 << bit) != 0 { numbers[bit] } else { own };
        let wanted = match demand.wanted {
            SizingTarget::Rate { rate, preload, start_length } => SizingTarget::Rate {
                rate: pick(0, rate),
                preload: pick(1, preload),
                start_length: start_length.map(|l| pick(2, l)),
            },
            SizingTarget::Force { force, length } => SizingTarget::Force { force: pick(0, force), length: pick(1,
                length) },
        };
        let garbage = CompressionDemand {
            wanted,
            travel: pick(3, demand.travel),
            bore: demand.bore.map(|b| pick(4, b)),
            index: [pick(5, 4.0), 12.0],
            active_turns: [3.0, pick(6, 15.0)],
            solid_safety: pick(7, 1.2),
            ..demand
        };
        if let Ok(sizing) = search_compression_springs(&garbage) {
            prop_assert!(sizing.tried > 0);
            prop_assert!(sizing.best().is_ok() || !sizing.best().unwrap_err().to_string().contains("NaN"));
        }
    }
}
