//! Extension and torsion springs: what they refuse, in words.

use yokewright::spring::{
    CoilDiameter, DesignCode, ExtensionSpring, ExtensionSpringSpec, FatigueCriterion, HookShape,
    SpringAction, TorsionSpring, TorsionSpringSpec, Wire, WireSurface,
};
use yokewright::units::MM;

fn extension() -> ExtensionSpringSpec {
    ExtensionSpringSpec {
        wire: Wire::named("ASTM A228").unwrap(),
        wire_diameter: 1.0 * MM,
        coil: CoilDiameter::Outer(10.0 * MM),
        body_turns: 20.0,
        initial_tension: 0.0,
        hook: HookShape::Full,
        bend_radius: None,
        side_radius: None,
        hook_reach: None,
        design_code: DesignCode::Shigley,
    }
}

fn torsion() -> TorsionSpringSpec {
    TorsionSpringSpec {
        wire: Wire::named("ASTM A228").unwrap(),
        wire_diameter: 1.0 * MM,
        coil: CoilDiameter::Outer(10.0 * MM),
        body_turns: 6.0,
        legs: [20.0 * MM, 20.0 * MM],
        arbor: None,
        design_code: DesignCode::Shigley,
    }
}

fn no_extension(spec: ExtensionSpringSpec) -> String {
    ExtensionSpring::new(spec).unwrap_err().to_string()
}

fn no_torsion(spec: TorsionSpringSpec) -> String {
    TorsionSpring::new(spec).unwrap_err().to_string()
}

#[test]
fn an_extension_spring_says_what_is_wrong() {
    let too_wide = ExtensionSpringSpec {
        coil: CoilDiameter::Mean(60.0 * MM),
        ..extension()
    };
    assert_eq!(
        no_extension(too_wide),
        "spring index = 60 (no unit) is outside 2 to 50 (no unit)"
    );
    let too_thick = ExtensionSpringSpec {
        wire_diameter: 8.0 * MM,
        coil: CoilDiameter::Mean(60.0 * MM),
        ..extension()
    };
    assert!(no_extension(too_thick).contains("0.1 to 6.5 mm"));
    let sharp = ExtensionSpringSpec {
        bend_radius: Some(0.5 * MM),
        ..extension()
    };
    assert_eq!(
        no_extension(sharp),
        "bend radius of the hook = 0.0005 m is outside 0.00075 to 0.009 m"
    );
    let in_millimetres = ExtensionSpringSpec {
        side_radius: Some(2.0),
        ..extension()
    };
    assert!(no_extension(in_millimetres).ends_with("did you mean 2 * MM?"));
    let tight = ExtensionSpringSpec {
        initial_tension: 500.0,
        ..extension()
    };
    assert!(
        no_extension(tight)
            .starts_with("initial tension, with what body and hooks bear = 500 N is outside 0 to")
    );
    let none = ExtensionSpringSpec {
        body_turns: f64::NAN,
        ..extension()
    };
    assert!(no_extension(none).contains("turns of the body is NaN"));
}

#[test]
fn a_torsion_spring_says_what_is_wrong() {
    let arbor = Some(8.5 * MM);
    assert_eq!(
        no_torsion(TorsionSpringSpec { arbor, ..torsion() }),
        "arbor, with the inner diameter of the coils = 0.0085 m is outside 0.00001 to 0.008 m"
    );
    let legs = [20.0, 0.0];
    assert_eq!(
        no_torsion(TorsionSpringSpec { legs, ..torsion() }),
        "leg of the torsion spring = 20 m is outside 0 to 1 m; did you mean 20 * MM?"
    );
    let arbor = Some(7.8 * MM);
    let spring = TorsionSpring::new(TorsionSpringSpec { arbor, ..torsion() }).unwrap();
    let refused = spring.state_at(2.0).unwrap_err().to_string();
    assert!(refused.starts_with(
        "angle by which the torsion spring is wound up before it grips its arbor = 2 rad is \
        outside 0 to"
    ));
    let refused = spring
        .linear_torsion_spring(0.0, SpringAction::Both)
        .unwrap_err();
    assert_eq!(
        refused.to_string(),
        "side on which the torsion spring works: 'both' is not known; choose one of: above, below"
    );
}

#[test]
fn fatigue_is_known_of_steel_alone() {
    let wire = Wire::named("ASTM B159").unwrap();
    let spring = TorsionSpring::new(TorsionSpringSpec { wire, ..torsion() }).unwrap();
    let life = spring.fatigue(
        [0.0, 0.01],
        WireSurface::Unpeened,
        FatigueCriterion::Gerber,
        1e6,
    );
    let text = life.unwrap_err().to_string();
    assert!(
        text.starts_with("steel wire for the fatigue of torsion springs: 'ASTM B159' is not known"),
        "{text}"
    );
}
