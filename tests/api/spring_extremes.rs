//! The springs at the edges of what a number can be: whatever goes in, a finite figure or an error comes out.
//!
//! A safety or an allowance without load is infinite, and says so in its documentation; nothing else is, and nothing is
//! NaN or less than zero that cannot be.

use yokewright::spring::{
    BelowTable, CoilDiameter, CoilEnds, CompressionDemand, CompressionSpring,
    CompressionSpringSpec, CurvatureFactor, Cycle, DesignCode, EndFixity, Endurance,
    ExtensionDemand, ExtensionSpring, ExtensionSpringSpec, ExtensionStresses, FatigueCriterion,
    ForceTable, HookShape, Life, LifeDemand, LineSpring, LinearSpring, LinearSpringSpec,
    LinearTorsionSpring, LinearTorsionSpringSpec, ListedStrength, ModuliBand, PowerBand,
    Presetting, Service, SizingTarget, SpringAction, StockArrangement, StockColumn, StockDemand,
    StockFormat, StockKind, StockList, StockQuantity as Q, StrengthStep, TorsionDemand,
    TorsionSpring, TorsionSpringSpec, Turns, Wire, WireStrength, WireSurface,
    search_compression_springs, search_extension_springs, search_stock, search_torsion_springs,
};

const EXTREMES: [f64; 24] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    0.0,
    -0.0,
    5e-324,
    1e-320,
    f64::MIN_POSITIVE,
    1e-160,
    -1e-160,
    1e-12,
    1e-3,
    2e-3,
    0.016,
    0.04,
    1.0,
    8.0,
    -1.0,
    1e6,
    1e9,
    1e155,
    1e160,
    1e308,
    -1e308,
];

/// A figure that must be a number.
fn finite(what: &str, value: f64) {
    assert!(value.is_finite(), "{what} = {value}");
}

/// A safety: any number from zero on, and infinity.
fn safety(what: &str, value: f64) {
    assert!(value >= 0.0, "{what} = {value}");
}

/// Each of the arguments in turn, and all at once, is an extreme; the others are plausible.
fn sweep<const N: usize>(plausible: [f64; N], mut with: impl FnMut([f64; N])) {
    with(plausible);
    for one in EXTREMES {
        with([one; N]);
        for i in 0..N {
            let mut values = plausible;
            values[i] = one;
            with(values);
            for other in EXTREMES {
                values[(i + 1) % N] = other;
                with(values);
            }
        }
    }
}

fn wire() -> Wire {
    Wire::named("EN 10270-1 SM").unwrap()
}

fn compression(spring: &CompressionSpring, [force, length]: [f64; 2]) {
    for (what, value) in [
        ("rate", spring.rate()),
        ("mean", spring.mean_diameter()),
        ("outer", spring.outer_diameter()),
        ("inner", spring.inner_diameter()),
        ("index", spring.index()),
        ("total", spring.total_turns()),
        ("solid", spring.solid_length()),
        ("solid force", spring.solid_force()),
        ("solid safety", spring.solid_safety()),
        ("pitch", spring.pitch()),
        ("wire", spring.wire_length()),
        ("mass", spring.mass()),
        ("active mass", spring.active_mass()),
        ("factor", spring.curvature_factor()),
        ("allowable", spring.allowable_stress()),
        ("yield", spring.yield_force()),
        ("surge", spring.surge_frequency()),
        ("static", spring.min_working_length(Service::Static)),
        ("dynamic", spring.min_working_length(Service::Dynamic)),
    ] {
        finite(what, value);
    }
    for end_fixity in EndFixity::ALL {
        finite("stable", spring.stable_free_length(end_fixity));
        finite(
            "critical",
            spring.critical_deflection(end_fixity).unwrap_or(0.0),
        );
    }
    let of = |value: yokewright::Result<f64>| value.unwrap_or(0.0);
    finite("force", of(spring.force(length)));
    finite("length", of(spring.length(force)));
    finite("stress", of(spring.stress(force)));
    finite("nominal", of(spring.nominal_stress(force)));
    finite("swollen", of(spring.outer_diameter_at(length)));
    safety("static", of(spring.static_safety(force)));
    safety("clash", of(spring.clash_allowance(length)));
    for all in [spring.forces(&[length]), spring.stresses(&[length])] {
        assert_eq!(all.values[0].is_finite(), all.valid[0]);
        assert_eq!(all.valid[0], spring.force(length).is_ok());
    }
    let verdict = spring.fatigue(
        [force, 1.0],
        WireSurface::Unpeened,
        FatigueCriterion::Goodman,
        1e5,
    );
    if let Ok(verdict) = verdict {
        safety("safety", verdict.safety);
        safety("static", verdict.static_safety);
    }
}

#[test]
fn compression_springs() {
    for ends in CoilEnds::ALL {
        for design_code in DesignCode::ALL {
            let new = |d, mean, turns, free_length| {
                CompressionSpring::new(CompressionSpringSpec {
                    wire: wire(),
                    wire_diameter: d,
                    coil: CoilDiameter::Mean(mean),
                    turns,
                    free_length,
                    ends,
                    presetting: Presetting::AsWound,
                    curvature: CurvatureFactor::Wahl,
                    design_code,
                })
            };
            sweep([2e-3, 0.016, 8.0, 0.04], |[d, mean, turns, free_length]| {
                for turns in [Turns::Active(turns), Turns::Total(turns)] {
                    if let Ok(spring) = new(d, mean, turns, free_length) {
                        compression(&spring, [10.0, 0.03]);
                    }
                }
            });
            let spring = new(2e-3, 0.016, Turns::Active(8.0), 0.04).unwrap();
            sweep([10.0, 0.03], |at| compression(&spring, at));
        }
    }
}

#[test]
fn extension_springs() {
    let plausible = [1e-3, 9e-3, 30.0, 4.0, 4e-3, 2e-3, 8e-3, 10.0];
    for (hook, design_code) in [
        (HookShape::Full, DesignCode::Shigley),
        (HookShape::Half, DesignCode::En13906),
    ] {
        sweep(
            plausible,
            |[d, mean, turns, initial, bend, side, reach, tension]| {
                let spring = ExtensionSpring::new(ExtensionSpringSpec {
                    wire: wire(),
                    wire_diameter: d,
                    coil: CoilDiameter::Mean(mean),
                    body_turns: turns,
                    initial_tension: initial,
                    hook,
                    bend_radius: Some(bend),
                    side_radius: Some(side),
                    hook_reach: Some(reach),
                    design_code,
                });
                let Ok(spring) = spring else { return };
                for (what, value) in [
                    ("rate", spring.rate()),
                    ("free", spring.free_length()),
                    ("greatest", spring.max_tension()),
                    ("longest", spring.max_length()),
                    ("wire", spring.wire_length()),
                    ("mass", spring.mass()),
                    ("initial stress", spring.initial_stress()),
                    ("low", spring.usual_initial_tension()[0]),
                    ("high", spring.usual_initial_tension()[1]),
                ] {
                    finite(what, value);
                }
                if let Ok(stresses) = spring.stresses(tension) {
                    finite("body", stresses.body);
                    finite("bending", stresses.hook_bending);
                    finite("torsion", stresses.hook_torsion);
                    finite("use", stresses.use_of(&spring.allowable()).unwrap());
                }
                safety("static", spring.static_safety(tension).unwrap_or(0.0));
                let life = spring.fatigue(
                    [tension, 5.0],
                    WireSurface::Unpeened,
                    FatigueCriterion::Sines,
                    1e5,
                );
                if let Ok(life) = life {
                    safety("safety", life.safety());
                    safety("static", life.body.static_safety);
                }
            },
        );
    }
    sweep([1e8; 6], |[a, b, c, d, e, f]| {
        let of = |body, hook_bending, hook_torsion| ExtensionStresses {
            body,
            hook_bending,
            hook_torsion,
        };
        let share = of(a, b, c).use_of(&of(d, e, f));
        assert!(
            share.clone().is_ok_and(f64::is_finite)
                || [a, b, c, d, e, f].iter().any(|s| !(1.0..=1e12).contains(s))
        );
        finite("use", share.unwrap_or(0.0));
    });
}

#[test]
fn torsion_springs() {
    for design_code in DesignCode::ALL {
        sweep(
            [1e-3, 9e-3, 6.0, 0.02, 0.03, 6e-3, 0.1, 0.3],
            |[d, mean, turns, one, other, arbor, torque, angle]| {
                let spring = TorsionSpring::new(TorsionSpringSpec {
                    wire: wire(),
                    wire_diameter: d,
                    coil: CoilDiameter::Mean(mean),
                    body_turns: turns,
                    legs: [one, other],
                    arbor: Some(arbor),
                    design_code,
                });
                let Ok(spring) = spring else { return };
                for (what, value) in [
                    ("rate", spring.rate()),
                    ("turns", spring.active_turns()),
                    ("allowable", spring.allowable()),
                    ("torque", spring.max_torque()),
                    ("angle", spring.max_angle()),
                    ("gripping", spring.gripping_angle().unwrap_or(0.0)),
                    ("wire", spring.wire_length()),
                    ("mass", spring.mass()),
                    ("stress", spring.stress(torque).unwrap_or(0.0)),
                ] {
                    finite(what, value);
                }
                if let Ok(wound) = spring.state_at(angle) {
                    for value in [
                        wound.torque,
                        wound.stress,
                        wound.inner_diameter,
                        wound.body_length,
                    ] {
                        finite("wound", value);
                    }
                }
                safety("static", spring.static_safety(torque).unwrap_or(0.0));
                let life = spring.fatigue(
                    [torque, 0.01],
                    WireSurface::Peened,
                    FatigueCriterion::Gerber,
                    1e5,
                );
                if let Ok(life) = life {
                    safety("safety", life.safety);
                    safety("static", life.static_safety);
                }
                if let Ok(law) = spring.linear_torsion_spring(angle, SpringAction::Below) {
                    finite("law", law.response(angle).map_or(0.0, |at| at.torque));
                }
            },
        );
    }
}

#[test]
fn fatigue() {
    for criterion in FatigueCriterion::ALL {
        sweep(
            [2e8, 4e8, 1.2e9, 3e8, 1e8, 1e5],
            |[alternating, mean, ultimate, one, other, cycles]| {
                // A cycle made by hand is checked like one between two stresses.
                for cycle in [
                    Cycle::between(one, other),
                    Ok(Cycle {
                        mean: one,
                        alternating: other,
                    }),
                ] {
                    let (Ok(cycle), Ok(endurance)) = (
                        cycle,
                        Endurance::new(alternating, mean, ultimate, criterion),
                    ) else {
                        continue;
                    };
                    finite("reversed", endurance.fully_reversed());
                    finite(
                        "reversed",
                        endurance.fully_reversed_at(cycles).unwrap_or(0.0),
                    );
                    finite("at", endurance.alternating_at(one, cycles).unwrap_or(0.0));
                    finite(
                        "bending",
                        endurance
                            .in_bending(ultimate)
                            .map_or(0.0, |bending| bending.fully_reversed()),
                    );
                    safety("safety", endurance.safety(&cycle, cycles).unwrap_or(0.0));
                    if let Ok(Life::Cycles(life)) = endurance.life(&cycle) {
                        assert!((1e3..=1e6 * (1.0 + 1e-9)).contains(&life), "{life}");
                    }
                }
            },
        );
        for diameter in EXTREMES {
            let _ = Endurance::zimmerli(&wire(), diameter, WireSurface::Peened, criterion);
        }
    }
    for curvature in CurvatureFactor::ALL {
        for index in EXTREMES {
            finite("factor", curvature.factor(index).unwrap_or(0.0));
        }
    }
}

#[test]
fn laws() {
    for action in [SpringAction::Above, SpringAction::Below, SpringAction::Both] {
        sweep(
            [500.0, 0.05, 0.0, 0.02, 0.09, 0.06],
            |[rate, free_length, initial_tension, shortest, longest, at]| {
                let spec = LinearSpringSpec {
                    rate,
                    free_length,
                    initial_tension,
                    action,
                    shortest: Some(shortest),
                    longest: Some(longest),
                };
                let Ok(spring) = LinearSpring::new(spec) else {
                    return;
                };
                let all = LineSpring::from(spring).responses(&[at]);
                assert_eq!(all.valid[0], spring.response(at).is_ok());
                for value in [all.tensions[0], all.stiffnesses[0], all.energies[0]] {
                    assert_eq!(value.is_finite(), all.valid[0], "{spec:?} at {at}: {value}");
                }
                assert_eq!(all.states[0].is_some(), all.valid[0]);
            },
        );
        sweep(
            [0.8, 0.1, -0.5, 1.0, 0.3],
            |[rate, free_angle, least, greatest, at]| {
                let spec = LinearTorsionSpringSpec {
                    rate,
                    free_angle,
                    action,
                    min_angle: Some(least),
                    max_angle: Some(greatest),
                };
                let Ok(spring) = LinearTorsionSpring::new(spec) else {
                    return;
                };
                if let Ok(at) = spring.response(at) {
                    for value in [at.torque, at.stiffness, at.energy] {
                        finite("twist", value);
                    }
                }
            },
        );
    }
    for below in [BelowTable::Refused, BelowTable::Slack] {
        sweep(
            [0.02, 0.03, 0.05, 0.0, 4.0, 9.0, 0.04],
            |[a, b, c, d, e, f, at]| {
                let Ok(table) = ForceTable::new(&[a, b, c], &[d, e, f], below) else {
                    return;
                };
                for at in [at, a, 0.5 * (a + b), b, 0.5 * (b + c), c] {
                    if let Ok(at) = table.response(at) {
                        for value in [at.tension, at.stiffness, at.energy] {
                            finite("table", value);
                        }
                    }
                }
            },
        );
    }
}

#[test]
fn wires() {
    let spec = wire().spec().clone();
    sweep(
        [1e-3, 2e-3, 1.5e9, 0.2, 2.06e11, 8.15e10, 7850.0, 1.5e-3],
        |[from, to, strength, exponent, elastic, shear, density, at]| {
            let strengths = [
                WireStrength::Power(vec![PowerBand {
                    diameters: [from, to],
                    strength_at_1_mm: strength,
                    exponent,
                }]),
                WireStrength::Listed(vec![
                    ListedStrength {
                        diameter: from,
                        min: strength,
                        max: 1.1 * strength,
                    },
                    ListedStrength {
                        diameter: to,
                        min: strength,
                        max: 1.2 * strength,
                    },
                ]),
                WireStrength::Steps {
                    from,
                    steps: vec![StrengthStep {
                        up_to: to,
                        min: strength,
                    }],
                },
            ];
            for strength in strengths {
                let mut spec = spec.clone();
                spec.strength = strength;
                spec.moduli = vec![
                    ModuliBand {
                        up_to: to,
                        elastic,
                        shear,
                    },
                    ModuliBand {
                        up_to: f64::INFINITY,
                        elastic,
                        shear,
                    },
                ];
                spec.density = density;
                spec.standard_diameters = vec![at];
                let Ok(wire) = Wire::new(spec) else { continue };
                for value in [
                    wire.tensile_strength(at),
                    wire.elastic_modulus(at),
                    wire.shear_modulus(at),
                ] {
                    assert!(value.is_ok_and(|value| value > 0.0 && value.is_finite()));
                }
            }
        },
    );
    for one in EXTREMES {
        for wire in Wire::all().iter().take(3) {
            finite("strength", wire.tensile_strength(one).unwrap_or(0.0));
            finite(
                "greatest",
                wire.max_tensile_strength(one)
                    .unwrap_or(None)
                    .unwrap_or(0.0),
            );
        }
        let _ = ModuliBand::named("17-7PH", one);
    }
}

/// The demands: what is found is finite in every figure.
#[test]
fn searches() {
    let wires = vec![Wire::named("ASTM A227").unwrap()];
    let life = |cycles, safety| {
        Some(LifeDemand {
            cycles,
            surface: WireSurface::Unpeened,
            criterion: FatigueCriterion::Gerber,
            safety,
        })
    };
    sweep(
        [2000.0, 20.0, 0.015, 0.03, 1e5, 1.2],
        |[rate, preload, travel, room, cycles, safety]| {
            for wanted in [
                SizingTarget::Rate {
                    rate,
                    preload,
                    start_length: Some(room),
                },
                SizingTarget::Rate {
                    rate,
                    preload,
                    start_length: None,
                },
                SizingTarget::Force {
                    force: rate,
                    length: room,
                },
            ] {
                let demand = CompressionDemand {
                    bore: Some(room),
                    life: life(cycles, safety),
                    coil_steps: 2,
                    turn_steps: 2,
                    ..CompressionDemand::new(wires.clone(), wanted, travel)
                };
                if let Ok(sizing) = search_compression_springs(&demand) {
                    assert_eq!(sizing.found.is_empty(), sizing.best().is_err());
                    assert_eq!(sizing.found.is_empty(), sizing.nearest.is_some());
                    for found in sizing.found {
                        finite(
                            "forces",
                            found.forces[0] + found.forces[1] + found.lengths[0] + found.lengths[1],
                        );
                    }
                }
            }
            let extension = ExtensionDemand {
                bore: Some(room),
                life: life(cycles, safety),
                coil_steps: 2,
                ..ExtensionDemand::new(wires.clone(), rate, preload, travel)
            };
            if let Ok(sizing) = search_extension_springs(&extension) {
                assert_eq!(sizing.found.is_empty(), sizing.nearest.is_some());
                for found in sizing.found {
                    finite(
                        "tensions",
                        found.tensions[0]
                            + found.tensions[1]
                            + found.lengths[0]
                            + found.lengths[1]
                            + found.static_safety,
                    );
                }
            }
            let torsion = TorsionDemand {
                arbor: Some(room),
                life: life(cycles, safety),
                coil_steps: 2,
                ..TorsionDemand::new(wires.clone(), rate, preload, travel)
            };
            if let Ok(sizing) = search_torsion_springs(&torsion) {
                assert_eq!(sizing.found.is_empty(), sizing.nearest.is_some());
                for found in sizing.found {
                    finite(
                        "torques",
                        found.torques[0]
                            + found.torques[1]
                            + found.angles[0]
                            + found.angles[1]
                            + found.static_safety,
                    );
                }
            }
        },
    );
}

#[test]
fn stock_lists() {
    let column = |quantity, heading: &str, unit: &str| StockColumn {
        quantity,
        heading: heading.into(),
        unit: unit.into(),
    };
    let format = StockFormat {
        kind: StockKind::Extension,
        columns: vec![
            column(Q::Name, "n", ""),
            column(Q::OuterDiameter, "d", "m"),
            column(Q::Rate, "k", "N/mm"),
            column(Q::FreeLength, "l", "m"),
            column(Q::LimitForce, "x", "N"),
            column(Q::InitialTension, "f", "N"),
            column(Q::WireDiameter, "w", "m"),
        ],
        delimiter: ',',
        decimal_comma: false,
        wire: Some(wire()),
    };
    let read = |[outer, rate, free, limit, initial, d]: [f64; 6]| {
        StockList::read(
            &format!("n,d,k,l,x,f,w\nA,{outer:e},{rate:e},{free:e},{limit:e},{initial:e},{d:e}\n"),
            &format,
        )
    };
    let good = read([0.01, 0.5, 0.04, 40.0, 2.0, 1e-3]).unwrap();
    let plausible = StockDemand {
        rate: 500.0,
        rate_tolerance: 0.1,
        force: 12.0,
        force_tolerance: 0.1,
        travel: 0.02,
        room: [0.03, 0.2],
        bore: None,
        life: None,
        arrangements: StockArrangement::ALL.to_vec(),
    };
    let chosen = |demand: &StockDemand, list: &StockList| {
        let Ok(sizing) = search_stock(list, demand) else {
            return;
        };
        assert_eq!(sizing.found.is_empty(), sizing.nearest.is_some());
        for choice in sizing.found {
            finite(
                "choice",
                choice.rate
                    + choice.force
                    + choice.use_of_travel
                    + choice.lengths.iter().sum::<f64>(),
            );
            safety("life", choice.life_safety.unwrap_or(0.0));
        }
    };
    sweep([0.01, 0.5, 0.04, 40.0, 2.0, 1e-3], |row| {
        if let Ok(list) = read(row) {
            let spring = &list.springs()[0];
            finite(
                "spring",
                spring.rate()
                    + spring.free_length()
                    + spring.initial_tension()
                    + spring.max_deflection(),
            );
            chosen(&plausible, &list);
        }
    });
    sweep(
        [500.0, 0.1, 12.0, 0.1, 0.02, 0.03, 0.2, 0.02, 1e5, 1.2],
        |[
            rate,
            rate_tolerance,
            force,
            force_tolerance,
            travel,
            near,
            far,
            bore,
            cycles,
            least,
        ]| {
            let life = LifeDemand {
                cycles,
                surface: WireSurface::Unpeened,
                criterion: FatigueCriterion::Goodman,
                safety: least,
            };
            let demand = StockDemand {
                rate,
                rate_tolerance,
                force,
                force_tolerance,
                travel,
                room: [near, far],
                bore: Some(bore),
                life: Some(life),
                ..plausible.clone()
            };
            chosen(&demand, &good);
        },
    );
}
