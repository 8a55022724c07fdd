//! Laws of force: every refusal by variant and text.

use yokewright::Error;
use yokewright::spring::{
    BelowTable, ForceTable, LinearSpring, LinearSpringSpec, LinearSpringState, LinearTorsionSpring,
    LinearTorsionSpringSpec, SpringAction, TorsionSpringState,
};
use yokewright::units::{DEG, MM};

fn spec() -> LinearSpringSpec {
    LinearSpringSpec {
        rate: 500.0,
        free_length: 50.0 * MM,
        initial_tension: 0.0,
        action: SpringAction::Both,
        shortest: None,
        longest: None,
    }
}

fn refusal(spec: LinearSpringSpec) -> String {
    LinearSpring::new(spec).unwrap_err().to_string()
}

fn table(lengths: &[f64], tensions: &[f64]) -> Result<ForceTable, Error> {
    ForceTable::new(lengths, tensions, BelowTable::Refused)
}

#[test]
fn a_straight_spring_refuses_what_no_spring_is() {
    let too_long = LinearSpringSpec {
        free_length: 50.0,
        ..spec()
    };
    assert_eq!(
        refusal(too_long),
        "free length of the spring = 50 m is outside 0 to 10 m; did you mean 50 * MM?"
    );
    let nothing = LinearSpringSpec {
        rate: 0.0,
        ..spec()
    };
    assert_eq!(
        refusal(nothing),
        "spring rate = 0 N/m is outside 0.001 to 10000000 N/m"
    );
    let pushes_back = LinearSpringSpec {
        initial_tension: 2.0,
        ..spec()
    };
    assert_eq!(
        refusal(pushes_back),
        "initial tension of a spring that does not only pull = 2 N is outside 0 to 0 N"
    );
    let never_loaded = LinearSpringSpec {
        action: SpringAction::Above,
        longest: Some(40.0 * MM),
        ..spec()
    };
    assert_eq!(
        LinearSpring::new(never_loaded).unwrap_err(),
        Error::NotAscending {
            quantity: "lengths at which the spring works",
            lower: 50.0 * MM,
            upper: 40.0 * MM,
            unit: "m",
        }
    );
    let spring = LinearSpring::new(spec()).unwrap();
    assert!(spring.response(-MM).is_err() && spring.response(f64::NAN).is_err());
}

#[test]
fn a_spring_seated_on_both_sides_pushes_and_pulls() {
    let spring = LinearSpring::new(spec()).unwrap();
    let [push, pull] = [40.0, 60.0].map(|length| spring.response(length * MM).unwrap());
    assert!((push.tension + 5.0).abs() < 1e-12 && (pull.tension - 5.0).abs() < 1e-12);
    assert!((push.energy - 0.025).abs() < 1e-15 && (pull.energy - 0.025).abs() < 1e-15);
}

#[test]
fn a_compression_spring_comes_off_its_seat_and_goes_solid() {
    let spring = LinearSpring::new(LinearSpringSpec {
        action: SpringAction::Below,
        shortest: Some(20.0 * MM),
        ..spec()
    })
    .unwrap();
    let state = |length: f64| spring.response(length * MM).unwrap().state;
    assert_eq!(state(60.0), LinearSpringState::Slack);
    assert_eq!(state(30.0), LinearSpringState::Working);
    assert_eq!(state(19.0), LinearSpringState::Solid);
}

#[test]
fn a_twisted_spring_knows_degrees_from_radians() {
    let spec = LinearTorsionSpringSpec {
        rate: 1.0,
        free_angle: 0.0,
        action: SpringAction::Below,
        min_angle: Some(-90.0 * DEG),
        max_angle: None,
    };
    let spring = LinearTorsionSpring::new(spec).unwrap();
    let state = |degrees: f64| spring.response(degrees * DEG).unwrap().state;
    assert_eq!(state(10.0), TorsionSpringState::Slack);
    assert_eq!(state(-45.0), TorsionSpringState::Working);
    assert_eq!(state(-91.0), TorsionSpringState::Overwound);
    assert_eq!(
        spring.response(180.0).unwrap_err().to_string(),
        "angle of the torsion spring = 180 rad is outside -100 to 100 rad; did you mean 180 * DEG?"
    );
}

#[test]
fn a_table_refuses_what_it_does_not_know() {
    let cord = table(&[0.2, 0.3, 0.4], &[0.0, 10.0, 15.0]).unwrap();
    assert_eq!(
        cord.response(0.41).unwrap_err().to_string(),
        "length against the force table = 0.41 m is outside 0.2 to 0.4 m"
    );
    assert!(cord.response(0.19).is_err());
    assert_eq!(
        table(&[0.2, 0.2], &[0.0, 1.0]).unwrap_err().to_string(),
        "two successive lengths of the force table: lower end 0.2 m is not below upper end 0.2 m"
    );
    assert_eq!(
        table(&[0.2, 0.3], &[0.0]).unwrap_err().to_string(),
        "lengths of the force table has 2 entries but tensions of the force table has 1; they must match"
    );
    assert_eq!(
        table(&[0.2], &[0.0]).unwrap_err().to_string(),
        "points of the force table: 1 given, 2 to 10000 needed"
    );
    assert_eq!(
        ForceTable::new(&[0.2, 0.3], &[1.0, 2.0], BelowTable::Slack)
            .unwrap_err()
            .to_string(),
        "first tension of a force table that is slack below = 1 N is outside 0 to 0 N"
    );
}

/// A strut that pushes is at rest where it is longest.
#[test]
fn the_energy_of_a_strut_is_zero_where_it_is_longest() {
    let strut = table(&[0.25, 0.35], &[-300.0, -200.0]).unwrap();
    assert_eq!(strut.response(0.35).unwrap().energy, 0.0);
    assert!((strut.response(0.25).unwrap().energy - 25.0).abs() < 1e-12);
    assert!((strut.response(0.3).unwrap().stiffness - 1000.0).abs() < 1e-9);
}
