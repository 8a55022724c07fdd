//! Laws of force over their whole domain: what is slack gives nothing, force is the slope of the energy, garbage is an
//! error.

use proptest::prelude::*;
use yokewright::spring::{
    BelowTable, ForceTable, LineSpring, LinearSpring, LinearSpringSpec, LinearSpringState,
    LinearTorsionSpring, LinearTorsionSpringSpec, SpringAction, TorsionSpringState,
};

use crate::strategies::{anything, decades};

/// Share of the energy (or of force times length) that a few operations round.
const ROUNDING: f64 = 1e-13;

fn sides() -> impl Strategy<Value = SpringAction> {
    prop_oneof![
        Just(SpringAction::Above),
        Just(SpringAction::Below),
        Just(SpringAction::Both)
    ]
}

/// A spring without limits.
fn spec() -> impl Strategy<Value = LinearSpringSpec> {
    (decades(0.0..=6.0), 0.001..2.0_f64, 0.0..500.0_f64, sides()).prop_map(
        |(rate, free_length, initial, action)| LinearSpringSpec {
            rate,
            free_length,
            initial_tension: if action == SpringAction::Above {
                initial
            } else {
                0.0
            },
            action,
            shortest: None,
            longest: None,
        },
    )
}

/// Ascending lengths with any tensions.
fn points() -> impl Strategy<Value = (Vec<f64>, Vec<f64>)> {
    prop::collection::vec((decades(-5.0..=-1.0), -1000.0..1000.0_f64), 2..12).prop_map(|steps| {
        let mut length = 0.05;
        steps
            .into_iter()
            .map(|(step, tension)| {
                length += step;
                (length, tension)
            })
            .unzip()
    })
}

fn table() -> impl Strategy<Value = ForceTable> {
    points().prop_map(|(lengths, tensions)| {
        ForceTable::new(&lengths, &tensions, BelowTable::Refused).unwrap()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    /// Over an interval on which the line is straight, the energy differs by the mean force times the way.
    #[test]
    fn a_straight_spring_stores_what_it_is_given(spec in spec(), a in 0.0..1.0_f64, b in 0.0..1.0_f64) {
        let spring = LinearSpring::new(spec).unwrap();
        let [low, high] = match spec.action {
            SpringAction::Above => [spec.free_length, spec.free_length + 3.0],
            SpringAction::Below => [0.0, spec.free_length],
            SpringAction::Both => [0.0, 4.0],
        };
        let [a, b] = [a, b].map(|share| low + share * (high - low));
        let [at_a, at_b] = [a, b].map(|length| spring.response(length).unwrap());
        prop_assume!(at_a.state == LinearSpringState::Working && at_b.state == LinearSpringState::Working);
        let work = 0.5 * (at_a.tension + at_b.tension) * (b - a);
        let size = at_a.energy + at_b.energy + at_a.tension.abs().max(at_b.tension.abs()) * (a + b);
        prop_assert!((at_b.energy - at_a.energy - work).abs() <= ROUNDING * size);
        prop_assert_eq!(at_a.stiffness, spec.rate);
        prop_assert!(at_a.energy >= 0.0);
    }

    #[test]
    fn a_slack_spring_gives_nothing(spec in spec(), share in 0.0..=1.0_f64) {
        let spring = LinearSpring::new(spec).unwrap();
        let length = match spec.action {
            SpringAction::Above => share * spec.free_length,
            SpringAction::Below => spec.free_length + share,
            SpringAction::Both => return Ok(()),
        };
        let at = spring.response(length).unwrap();
        prop_assert_eq!((at.tension, at.stiffness, at.energy, at.state), (0.0, 0.0, 0.0, LinearSpringState::Slack));
    }

    /// The initial tension is there at once, and no more of it.
    #[test]
    fn the_force_steps_by_the_initial_tension(spec in spec()) {
        let action = SpringAction::Above;
        let spring = LinearSpring::new(LinearSpringSpec { action, ..spec }).unwrap();
        let just_above = spec.free_length * (1.0 + 4.0 * f64::EPSILON);
        let at = spring.response(just_above).unwrap();
        prop_assert_eq!(at.state, LinearSpringState::Working);
        // Off the free length by five units in its last place at most.
        let allowed = spec.rate * spec.free_length * 5.0 * f64::EPSILON + spec.initial_tension * f64::EPSILON;
        prop_assert!((at.tension - spec.initial_tension).abs() <= allowed);
    }

    #[test]
    fn limits_are_told(spec in spec(), below in 0.01..0.99_f64, above in 1.01..2.0_f64) {
        let (shortest, longest) = (below * spec.free_length, above * spec.free_length);
        let limited = LinearSpringSpec { shortest: Some(shortest), longest: Some(longest), ..spec };
        let spring = LineSpring::from(LinearSpring::new(limited).unwrap());
        prop_assert_eq!(spring.length_range(), [shortest, longest]);
        let all = spring.responses(&[0.5 * shortest, shortest, longest, 1.5 * longest, f64::NAN, -1.0]);
        prop_assert_eq!(all.states[0], Some(LinearSpringState::Solid));
        prop_assert!(all.states[1] != Some(LinearSpringState::Solid)
            && all.states[2] != Some(LinearSpringState::Overstretched));
        prop_assert_eq!(all.states[3], Some(LinearSpringState::Overstretched));
        prop_assert_eq!(&all.valid[..], &[true, true, true, true, false, false]);
        prop_assert!(all.tensions[4].is_nan() && all.energies[5].is_nan() && all.states[5].is_none());
        // The line goes on past its limits.
        let free = LinearSpring::new(spec).unwrap().response(1.5 * longest).unwrap();
        prop_assert_eq!(all.tensions[3], free.tension);
    }

    #[test]
    fn a_twisted_spring_is_the_same_line(rate in decades(-3.0..=3.0), free in -3.0..3.0_f64, action in sides(),
        angle in -6.0..6.0_f64) {
        let spring = LinearTorsionSpring::new(LinearTorsionSpringSpec { rate, free_angle: free, action,
            min_angle: None, max_angle: None }).unwrap();
        let at = spring.response(angle).unwrap();
        let loaded = match action {
            SpringAction::Above => angle > free,
            SpringAction::Below => angle < free,
            SpringAction::Both => true,
        };
        let by = if loaded { angle - free } else { 0.0 };
        prop_assert_eq!(at.state == TorsionSpringState::Slack, !loaded);
        prop_assert!((at.torque - rate * by).abs() <= ROUNDING * rate);
        prop_assert!((at.energy - 0.5 * rate * by * by).abs() <= ROUNDING * rate);
    }

    #[test]
    fn a_table_goes_through_its_points_and_never_overshoots(table in table(), share in 0.0..=1.0_f64) {
        for (i, pair) in table.lengths().windows(2).enumerate() {
            let (a, b) = (table.tensions()[i], table.tensions()[i + 1]);
            prop_assert_eq!(table.response(pair[0]).unwrap().tension, a);
            prop_assert_eq!(table.response(pair[1]).unwrap().tension, b);
            let between = (pair[0] + share * (pair[1] - pair[0])).min(pair[1]);
            let at = table.response(between).unwrap();
            let slack = ROUNDING * (a.abs() + b.abs());
            prop_assert!(at.tension >= a.min(b) - slack && at.tension <= a.max(b) + slack);
            // Neither does it turn: the slope has the sign of the step.
            let steepest = (b - a).abs() / (pair[1] - pair[0]);
            prop_assert!(at.stiffness * (b - a).signum() >= -1e-9 * steepest);
        }
    }

    /// Gauss-Legendre with three points integrates each cubic exactly.
    #[test]
    fn the_energy_of_a_table_is_the_integral_of_its_force(table in table()) {
        let node = 0.6_f64.sqrt();
        for pair in table.lengths().windows(2) {
            let (middle, half) = (0.5 * (pair[0] + pair[1]), 0.5 * (pair[1] - pair[0]));
            let tension = |at: f64| table.response(middle + at * half).unwrap().tension;
            let work = half * (5.0 * tension(-node) + 8.0 * tension(0.0) + 5.0 * tension(node)) / 9.0;
            let [a, b] = [pair[0], pair[1]].map(|length| table.response(length).unwrap().energy);
            // The energies are sums of up to 1000 N over up to 1 m.
            prop_assert!((b - a - work).abs() <= 1e-11);
        }
    }

    /// By central differences: a piece is a cubic, whose third derivative times h^2 is all that they miss.
    #[test]
    fn the_stiffness_of_a_table_is_the_slope_of_its_force(table in table(), share in 0.1..0.9_f64) {
        for (i, pair) in table.lengths().windows(2).enumerate() {
            let width = pair[1] - pair[0];
            let (at, h) = (pair[0] + share * width, 1e-3 * width);
            let tension = |length: f64| table.response(length).unwrap().tension;
            let slope = (tension(at + h) - tension(at - h)) / (2.0 * h);
            let steepest = (table.tensions()[i + 1] - table.tensions()[i]).abs() / width;
            // The end slopes are at most 3 times the chord; so the third derivative is at most 6 * 8 chords over
            // width^2. And the lengths round.
            let rounding = 1e3 * f64::EPSILON * pair[1] / width * (steepest + 1000.0 / width);
            prop_assert!((table.response(at).unwrap().stiffness - slope).abs() <= 5e-5 * steepest + rounding);
        }
    }

    #[test]
    fn a_slack_cord_gives_nothing((lengths, mut tensions) in points(), share in 0.0..=1.0_f64) {
        tensions[0] = 0.0;
        let cord = ForceTable::new(&lengths, &tensions, BelowTable::Slack).unwrap();
        let at = cord.response(share * lengths[0]).unwrap();
        prop_assert_eq!((at.tension, at.energy, at.state), (0.0, 0.0, LinearSpringState::Slack));
    }

    #[test]
    fn anything_is_a_law_or_an_error(
        values in prop::array::uniform5(anything()), action in sides(), lengths in prop::collection::vec(anything(),
            0..6),
        tensions in prop::collection::vec(anything(), 0..6), below in prop_oneof![Just(BelowTable::Refused),
            Just(BelowTable::Slack)],
    ) {
        let [rate, free_length, initial_tension, shortest, longest] = values;
        let spec = LinearSpringSpec { rate, free_length, initial_tension, action, shortest: Some(shortest),
            longest: Some(longest) };
        let twist = LinearTorsionSpringSpec { rate, free_angle: free_length, action, min_angle: Some(shortest),
            max_angle: Some(longest) };
        let laws = [
            LinearSpring::new(spec).map(LineSpring::from),
            LinearSpring::new(LinearSpringSpec { shortest: None, longest: None, ..spec }).map(LineSpring::from),
            ForceTable::new(&lengths, &tensions, below).map(LineSpring::from),
        ];
        for law in laws.into_iter().flatten() {
            for length in &lengths {
                if let Ok(at) = law.response(*length) {
                    prop_assert!(at.tension.is_finite() && at.stiffness.is_finite() && at.energy.is_finite());
                }
            }
        }
        if let Ok(law) = LinearTorsionSpring::new(twist) {
            for angle in &lengths {
                if let Ok(at) = law.response(*angle) {
                    prop_assert!(at.torque.is_finite() && at.energy.is_finite());
                }
            }
        }
    }
}
