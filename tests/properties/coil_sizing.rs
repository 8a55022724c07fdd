//! Searches: whatever is found does what was asked, and whatever is asked is answered or refused.

use proptest::prelude::*;
use yokewright::spring::{
    Arrangement, Criterion, ExtensionDemand, LifeDemand, LineState, Practice, StockColumn,
    StockDemand, StockFormat, StockKind, StockList, StockQuantity as Q, Surface, TorsionDemand,
    Wire,
};

use crate::magnet::{anything, decades};

/// Share that a design made to meet its figures exactly loses by rounding.
const ROUNDING: f64 = 1e-9;

fn life() -> impl Strategy<Value = Option<LifeDemand>> {
    let surfaces = prop_oneof![Just(Surface::Unpeened), Just(Surface::Peened)];
    prop::option::of((decades(3.0..=7.0), surfaces, 0.8..2.0_f64)).prop_map(|life| {
        life.map(|(cycles, surface, safety)| LifeDemand {
            cycles,
            surface,
            criterion: Criterion::Gerber,
            safety,
        })
    })
}

fn wires() -> impl Strategy<Value = Vec<Wire>> {
    prop::sample::select(Wire::all().to_vec()).prop_map(|wire| vec![wire])
}

fn practices() -> impl Strategy<Value = Practice> {
    prop_oneof![Just(Practice::Shigley), Just(Practice::En13906)]
}

fn arrangements() -> impl Strategy<Value = Vec<Arrangement>> {
    prop::sample::subsequence(Arrangement::ALL.to_vec(), 1..=4)
}

/// Lists of any springs.
fn list() -> impl Strategy<Value = StockList> {
    let row = (
        0.1..50.0_f64,
        10.0..200.0_f64,
        1.0..100.0_f64,
        0.0..10.0_f64,
    );
    let kinds = prop_oneof![Just(StockKind::Extension), Just(StockKind::Compression)];
    (prop::collection::vec(row, 1..8), kinds).prop_map(|(rows, kind)| {
        let mut text = "n,d,k,l,x,f\n".to_owned();
        for (rate, free, deflection, initial) in rows {
            let limit = match kind {
                StockKind::Extension => free + deflection,
                StockKind::Compression => (free - deflection).max(0.3 * free),
            };
            let initial = if kind == StockKind::Extension {
                initial
            } else {
                0.0
            };
            text += &format!("s,9,{rate},{free},{limit},{initial}\n");
        }
        let column = |quantity, heading: &str, unit: &str| StockColumn {
            quantity,
            heading: heading.into(),
            unit: unit.into(),
        };
        let columns = vec![
            column(Q::Name, "n", ""),
            column(Q::OuterDiameter, "d", "mm"),
            column(Q::Rate, "k", "N/mm"),
            column(Q::FreeLength, "l", "mm"),
            column(Q::LimitLength, "x", "mm"),
            column(Q::InitialTension, "f", "N"),
        ];
        StockList::read(
            &text,
            &StockFormat {
                kind,
                columns,
                delimiter: ',',
                decimal_comma: false,
                wire: None,
            },
        )
        .unwrap()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn extension_springs_do_what_is_wanted(
        wires in wires(), rate in decades(1.5..=4.5), preload in 0.0..50.0_f64, travel in 0.002..0.1_f64,
        bore in prop::option::of(0.005..0.05_f64), longest_start in prop::option::of(0.02..0.3_f64), life in life(), practice in practices(),
    ) {
        let demand = ExtensionDemand { bore, longest_start, life, practice, coil_steps: 20, ..ExtensionDemand::new(wires, rate, preload, travel) };
        let sizing = demand.search().unwrap();
        prop_assert_eq!(sizing.found.is_empty(), sizing.best().is_err());
        for found in &sizing.found {
            let spring = &found.spring;
            prop_assert!((spring.rate() / rate - 1.0).abs() < ROUNDING);
            let law = spring.line_spring();
            for (length, tension) in found.lengths.iter().zip(found.tensions) {
                let at = law.response(*length).unwrap();
                // The beginning may lie where the initial tension just stands.
                prop_assert!(at.state == LineState::Working || (tension - spring.spec().initial_tension).abs() < ROUNDING * (1.0 + tension));
                prop_assert!(at.state == LineState::Slack || (at.tension - tension).abs() <= ROUNDING * (1.0 + tension));
            }
            prop_assert!(bore.is_none_or(|bore| spring.outer_diameter() <= bore * (1.0 + ROUNDING)));
            prop_assert!(longest_start.is_none_or(|most| found.lengths[0] <= most * (1.0 + ROUNDING)));
            prop_assert!(found.static_safety >= 1.0 - ROUNDING);
            if let Some(life) = life {
                let verdict = spring.fatigue(found.tensions, life.surface, life.criterion, life.cycles).unwrap();
                prop_assert!((verdict.safety() / found.life_safety.unwrap() - 1.0).abs() < ROUNDING);
                prop_assert!(verdict.safety() >= life.safety * (1.0 - 2.0 * ROUNDING));
            }
        }
        let rejected = sizing.rejected.iter().map(|r| r.count).max().unwrap_or(0);
        prop_assert!(sizing.fitting + rejected <= sizing.tried);
        let masses: Vec<f64> = sizing.found.iter().map(|found| found.spring.mass()).collect();
        prop_assert!(masses.is_sorted());
    }

    #[test]
    fn torsion_springs_do_what_is_wanted(
        wires in wires(), rate in decades(-2.0..=1.5), preload in 0.0..2.0_f64, travel in 0.05..3.0_f64, legs in prop::array::uniform2(0.0..0.05_f64),
        arbor in prop::option::of(0.002..0.03_f64), longest_body in prop::option::of(0.005..0.1_f64), life in life(), practice in practices(),
    ) {
        prop_assume!(preload / rate < 50.0);
        let demand = TorsionDemand { legs, arbor, longest_body, life, practice, coil_steps: 20, ..TorsionDemand::new(wires, rate, preload, travel) };
        let sizing = demand.search().unwrap();
        for found in &sizing.found {
            let spring = &found.spring;
            prop_assert!((spring.rate() / rate - 1.0).abs() < ROUNDING);
            let end = spring.wound_up(found.angles[1]).unwrap();
            prop_assert!((end.torque - found.torques[1]).abs() <= ROUNDING * found.torques[1]);
            prop_assert!((found.angles[1] - found.angles[0] - travel).abs() <= ROUNDING * (1.0 + found.angles[1]));
            if let Some(arbor) = arbor {
                prop_assert!(end.clearance.unwrap() >= 0.1 * arbor - ROUNDING * (arbor + spring.outer_diameter()));
            }
            prop_assert!(longest_body.is_none_or(|most| end.body_length <= most * (1.0 + ROUNDING)));
            prop_assert!(spring.static_safety(found.torques[1]).unwrap() >= 1.0 - ROUNDING);
            if let Some(life) = life {
                let verdict = spring.fatigue(found.torques, life.surface, life.criterion, life.cycles).unwrap();
                prop_assert!((verdict.safety / found.life_safety.unwrap() - 1.0).abs() < ROUNDING);
            }
        }
    }

    /// The forces of what is chosen, from the laws of its springs.
    #[test]
    fn a_list_gives_what_is_wanted(
        list in list(), rate in decades(2.0..=5.0), force in 1.0..100.0_f64, travel in 0.001..0.05_f64, arrangements in arrangements(),
        near in 0.0..0.1_f64, span in 0.01..0.3_f64,
    ) {
        let demand = StockDemand {
            rate, rate_tolerance: 0.5, force, force_tolerance: 0.2, travel, room: [near, near + span], bore: None, life: None, arrangements,
        };
        let sizing = demand.choose(&list).unwrap();
        for choice in &sizing.found {
            prop_assert!((choice.rate / rate - 1.0).abs() <= 0.5 + ROUNDING);
            prop_assert!((choice.force / force - 1.0).abs() <= 0.2 + ROUNDING);
            prop_assert!(choice.use_of_travel <= 1.0 + ROUNDING);
            for length in &choice.lengths {
                prop_assert!((near - ROUNDING..=near + span + ROUNDING).contains(length));
            }
            let laws: Vec<_> = choice.springs.iter().map(|spring| spring.line_spring()).collect();
            // A spring that just begins to work is slack by rounding and has its initial tension or not.
            let pull = |law: usize, length: f64| laws[law].response(length).unwrap();
            let sign = if choice.springs[0].kind() == StockKind::Extension { 1.0 } else { -1.0 };
            let nudge = sign * 1e-9;
            let total = |by: f64| match choice.arrangement {
                Arrangement::Single => sign * pull(0, choice.lengths[0] + sign * by + nudge).tension,
                Arrangement::Parallel => sign * (0..2).map(|i| pull(i, choice.lengths[0] + sign * by + nudge).tension).sum::<f64>(),
                Arrangement::Opposed => sign * (pull(0, choice.lengths[0] + sign * by).tension - pull(1, choice.lengths[1] - sign * by).tension),
                // Both carry the force: their lengths at it, from the laws turned round, add up to the distance.
                Arrangement::Series => {
                    let at = choice.force + choice.rate * by;
                    let length: f64 = choice.springs.iter().map(|s| s.free_length() + sign * (at - s.initial_tension()) / s.rate()).sum();
                    // A wrong length shows as a wrong force.
                    if (length - choice.lengths[0] - sign * by).abs() < 1e-9 { at } else { f64::NAN }
                }
            };
            let start = if choice.arrangement == Arrangement::Opposed { 0.0 } else { choice.force };
            // The nudge of a nanometer changes the force by that times the rate.
            let allowed = 3e-9 * choice.rate + ROUNDING * (force + choice.rate * travel);
            for by in [0.0, 0.5 * travel, travel * (1.0 - 1e-6)] {
                prop_assert!((total(by) - start - choice.rate * by).abs() <= allowed, "{:?} {} {}", choice, by, total(by));
            }
        }
    }

    #[test]
    fn any_demand_is_answered_or_refused(values in prop::array::uniform10(anything()), list in list(), wires in wires(), arrangements in arrangements()) {
        let [rate, preload, travel, one, two, three, four, five, six, seven] = values;
        let extension = ExtensionDemand { bore: Some(one), longest_start: Some(two), static_safety: three, index: [four, five], body_turns: [six, seven], coil_steps: 3, ..ExtensionDemand::new(wires.clone(), rate, preload, travel) };
        let _ = extension.search();
        let plain = ExtensionDemand { coil_steps: 3, ..ExtensionDemand::new(wires.clone(), rate, preload, travel) };
        let _ = plain.search();
        let torsion = TorsionDemand { legs: [one, two], arbor: Some(three), bore: Some(four), clearance: five, coil_steps: 3, ..TorsionDemand::new(wires, rate, preload, travel) };
        if let Ok(sizing) = torsion.search() {
            prop_assert!(sizing.found.iter().all(|found| found.spring.rate().is_finite()));
        }
        let stock = StockDemand { rate, rate_tolerance: one, force: preload, force_tolerance: two, travel, room: [three, four], bore: Some(five), life: None, arrangements };
        if let Ok(sizing) = stock.choose(&list) {
            prop_assert!(sizing.found.iter().all(|choice| choice.force.is_finite() && choice.use_of_travel.is_finite()));
        }
    }

    #[test]
    fn any_text_is_a_list_or_an_error(text in "[a-c,;0-9.\"\n-]{0,60}", delimiter in prop::sample::select(vec![',', ';', '\t', 'é', '"'])) {
        let column = |quantity, heading: &str, unit: &str| StockColumn { quantity, heading: heading.into(), unit: unit.into() };
        let columns = vec![column(Q::Name, "a", ""), column(Q::OuterDiameter, "b", "mm"), column(Q::Rate, "b", "N/mm"), column(Q::FreeLength, "c", "mm"), column(Q::LimitForce, "c", "N")];
        for text in [text.clone(), format!("a{delimiter}b{delimiter}c\n{text}")] {
            let format = StockFormat { kind: StockKind::Extension, columns: columns.clone(), delimiter, decimal_comma: delimiter == ';', wire: None };
            if let Ok(list) = StockList::read(&text, &format) {
                prop_assert!(list.springs().iter().all(|spring| spring.rate() > 0.0 && !spring.name().is_empty()));
            }
        }
    }
}
