//! Extension and torsion springs over every wire and shape there is, and garbage.

use std::f64::consts::{PI, TAU};

use proptest::prelude::*;
use yokewright::spring::{
    CoilDiameter, DesignCode, ExtensionSpring, ExtensionSpringSpec, HookShape, LinearSpringState,
    SpringAction, TorsionLimit, TorsionSpring, TorsionSpringSpec, TorsionSpringState, Wire,
};

use crate::strategies::anything;

/// Share that some ten operations round.
const ROUNDING: f64 = 1e-12;

fn practices() -> impl Strategy<Value = DesignCode> {
    prop_oneof![Just(DesignCode::Shigley), Just(DesignCode::En13906)]
}

fn hooks() -> impl Strategy<Value = HookShape> {
    prop_oneof![Just(HookShape::Full), Just(HookShape::Half)]
}

/// Any wire at any diameter of its table.
fn wires() -> impl Strategy<Value = (Wire, f64)> {
    (0..Wire::all().len(), 0.0..=1.0_f64).prop_map(|(number, share)| {
        let wire = Wire::all()[number].clone();
        let [min, max] = wire.diameter_range();
        let diameter = (min * (max / min).powf(share)).clamp(min, max);
        (wire, diameter)
    })
}

fn extension_specs() -> impl Strategy<Value = ExtensionSpringSpec> {
    (wires(), 2.0..20.0_f64, 2.0..80.0_f64, hooks(), practices()).prop_map(
        |((wire, wire_diameter), index, body_turns, hook, design_code)| ExtensionSpringSpec {
            wire,
            wire_diameter,
            coil: CoilDiameter::Mean(index * wire_diameter),
            body_turns,
            initial_tension: 0.0,
            hook,
            bend_radius: None,
            side_radius: None,
            hook_reach: None,
            design_code,
        },
    )
}

fn torsion_specs() -> impl Strategy<Value = TorsionSpringSpec> {
    (
        wires(),
        3.0..20.0_f64,
        1.0..15.0_f64,
        prop::array::uniform2(0.0..0.05_f64),
        0.1..1.0_f64,
        practices(),
    )
        .prop_map(
            |((wire, wire_diameter), index, body_turns, legs, arbor, design_code)| {
                TorsionSpringSpec {
                    wire,
                    wire_diameter,
                    coil: CoilDiameter::Mean(index * wire_diameter),
                    body_turns,
                    legs,
                    arbor: Some(arbor * (index - 1.0) * wire_diameter),
                    design_code,
                }
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    /// At its greatest tension one of the three stresses is what the spring bears, and none is above.
    #[test]
    fn an_extension_spring_uses_what_it_bears(spec in extension_specs(), share in 0.0..0.9_f64) {
        let loose = ExtensionSpring::new(spec.clone()).unwrap();
        let initial_tension = share * loose.max_tension();
        let spring = ExtensionSpring::new(ExtensionSpringSpec { initial_tension, ..spec }).unwrap();
        let stresses = spring.stresses(spring.max_tension()).unwrap();
        prop_assert!((stresses.use_of(&spring.allowable()).unwrap() - 1.0).abs() < ROUNDING);
        let law = spring.line_spring();
        prop_assert_eq!(law.response(spring.free_length()).unwrap().state, LinearSpringState::Slack);
        let end = law.response(spring.max_length()).unwrap();
        prop_assert_eq!(end.state, LinearSpringState::Working);
        // The way to the end is a difference of lengths.
        let rounding = 4.0 * f64::EPSILON * spring.max_length() * spring.rate();
        prop_assert!((end.tension - spring.max_tension()).abs() <= ROUNDING * end.tension + rounding);
        prop_assert!(spring.mass() > 0.0
            && spring.wire_length() > PI * (spring.outer_diameter() - spring.spec().wire_diameter));
    }

    /// Softer by each turn, and by each millimeter of diameter; the shear of the body is what the initial tension has,
    /// times the factor.
    #[test]
    fn an_extension_spring_softens(spec in extension_specs()) {
        let spring = ExtensionSpring::new(spec.clone()).unwrap();
        let more = ExtensionSpring::new(ExtensionSpringSpec { body_turns: spec.body_turns + 1.0,
            ..spec.clone() }).unwrap();
        prop_assert!(more.rate() < spring.rate() && more.free_length() > spring.free_length());
        let ratio = more.active_turns() / spring.active_turns();
        prop_assert!((more.rate() * ratio / spring.rate() - 1.0).abs() < ROUNDING);
        let [low, high] = spring.usual_initial_tension();
        prop_assert!(0.0 <= low && low <= high && high.is_finite());
    }

    /// A half hook bends sharper than a full one, and reaches less.
    #[test]
    fn a_half_hook_is_weaker_and_shorter(spec in extension_specs()) {
        let [full, half] = [HookShape::Full,
            HookShape::Half].map(|hook| ExtensionSpring::new(ExtensionSpringSpec { hook, ..spec.clone() }).unwrap());
        prop_assert!(half.stresses(1.0).unwrap().hook_bending >= full.stresses(1.0).unwrap().hook_bending);
        prop_assert!(half.free_length() < full.free_length() && half.wire_length() < full.wire_length());
        prop_assert_eq!(half.rate(), full.rate());
    }

    /// No wire is lost when the coils close; the spring stops at its stress or at its arbor.
    #[test]
    fn a_torsion_spring_closes_on_its_arbor(spec in torsion_specs(), share in 0.0..=1.0_f64) {
        let spring = TorsionSpring::new(spec.clone()).unwrap();
        let angle = share * spring.max_angle();
        let wound = spring.state_at(angle).unwrap();
        let d = spec.wire_diameter;
        let mean = spring.outer_diameter() - d;
        let turned = wound.body_length / d - 1.0;
        prop_assert!(((wound.inner_diameter + d) * turned / (mean * spec.body_turns) - 1.0).abs() < ROUNDING);
        prop_assert!(wound.clearance.unwrap() >= -ROUNDING * mean);
        prop_assert!(wound.stress <= spring.allowable() * (1.0 + ROUNDING));
        // Of the angle, the body takes its share of the active turns.
        let body = angle * spec.body_turns / spring.active_turns();
        prop_assert!((turned - spec.body_turns - body / TAU).abs() < ROUNDING * turned);
        let gripping = spring.gripping_angle().unwrap();
        match spring.limit() {
            TorsionLimit::Arbor => prop_assert_eq!(spring.max_angle(), gripping),
            TorsionLimit::Stress => prop_assert!((spring.stress(spring.rate() * spring.max_angle())
                .unwrap() / spring.allowable() - 1.0).abs() < ROUNDING),
        }
        if gripping < 99.0 {
            prop_assert!(spring.state_at(gripping * (1.0 + 1e-9) + 1e-12).is_err());
        }
    }

    #[test]
    fn its_law_turns_either_way(spec in torsion_specs(), free in -1.0..1.0_f64, share in 0.01..1.0_f64) {
        let spring = TorsionSpring::new(spec).unwrap();
        let by = share * spring.max_angle().min(90.0);
        let wound = spring.state_at(by).unwrap();
        for (action, sign) in [(SpringAction::Above, 1.0), (SpringAction::Below, -1.0)] {
            let law = spring.linear_torsion_spring(free, action).unwrap();
            let at = law.response(free + sign * by).unwrap();
            prop_assert!((at.torque - sign * wound.torque).abs() <= 1e-9 * wound.torque + ROUNDING * spring.rate());
            prop_assert_eq!(law.response(free - sign * 0.1).unwrap().state, TorsionSpringState::Slack);
        }
        prop_assert!(spring.linear_torsion_spring(free, SpringAction::Both).is_err());
    }

    #[test]
    fn anything_is_a_spring_or_an_error(
        (wire, real) in wires(), values in prop::array::uniform6(anything()), coil in 0..3_usize, hook in hooks(),
            design_code in practices(),
    ) {
        let [d, coil_diameter, turns, force, radius, more] = values;
        for wire_diameter in [d, real] {
            let measured: fn(f64) -> CoilDiameter = [CoilDiameter::Mean, CoilDiameter::Outer,
                CoilDiameter::Inner][coil];
            for coil in [measured(coil_diameter), CoilDiameter::Mean(8.0 * real)] {
                for (turns, force, radius) in [(turns, force, Some(radius)), (9.0, 0.0, None)] {
                    let extension = ExtensionSpring::new(ExtensionSpringSpec {
                        wire: wire.clone(), wire_diameter, coil, body_turns: turns, initial_tension: force, hook,
                        bend_radius: radius, side_radius: radius, hook_reach: radius, design_code,
                    });
                    if let Ok(spring) = extension {
                        prop_assert!(spring.max_tension().is_finite() && spring.max_length() >= spring.free_length());
                        prop_assert!(spring.stresses(more).map_or(true,
                            |s| s.body.is_finite() && s.hook_bending.is_finite() && s.hook_torsion.is_finite()));
                    }
                    let torsion = TorsionSpring::new(TorsionSpringSpec {
                        wire: wire.clone(), wire_diameter, coil, body_turns: turns, legs: [force, more], arbor: radius,
                            design_code,
                    });
                    if let Ok(spring) = torsion {
                        prop_assert!(spring.max_angle().is_finite() && spring.rate() > 0.0);
                        prop_assert!(spring.state_at(more).map_or(true,
                            |w| w.torque.is_finite() && w.inner_diameter.is_finite()));
                    }
                }
            }
        }
    }
}
