//! Searches: whatever is found does what was asked, and whatever is asked is answered or refused.

use proptest::prelude::*;
use std::f64::consts::PI;

use yokewright::spring::{
    Cycle, DesignCode, Endurance, ExtensionDemand, FatigueCriterion, LifeDemand, LinearSpringState,
    StockArrangement, StockColumn, StockDemand, StockFormat, StockKind, StockList,
    StockQuantity as Q, TorsionDemand, Wire, WireSurface, requirement, search_extension_springs,
    search_stock, search_torsion_springs,
};

use crate::strategies::{anything, decades};

/// Share that a design made to meet its figures exactly loses by rounding.
const ROUNDING: f64 = 1e-9;

fn life() -> impl Strategy<Value = Option<LifeDemand>> {
    let surfaces = prop_oneof![Just(WireSurface::Unpeened), Just(WireSurface::Peened)];
    prop::option::of((decades(3.0..=7.0), surfaces, 0.8..2.0_f64)).prop_map(|life| {
        life.map(|(cycles, surface, safety)| LifeDemand {
            cycles,
            surface,
            criterion: FatigueCriterion::Gerber,
            safety,
        })
    })
}

fn wires() -> impl Strategy<Value = Vec<Wire>> {
    prop::sample::select(Wire::all().to_vec()).prop_map(|wire| vec![wire])
}

fn practices() -> impl Strategy<Value = DesignCode> {
    prop_oneof![Just(DesignCode::Shigley), Just(DesignCode::En13906)]
}

fn arrangements() -> impl Strategy<Value = Vec<StockArrangement>> {
    prop::sample::subsequence(StockArrangement::ALL.to_vec(), 1..=4)
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
        for (number, (rate, free, deflection, initial)) in rows.into_iter().enumerate() {
            let limit = match kind {
                StockKind::Extension => free + deflection,
                StockKind::Compression => (free - deflection).max(0.3 * free),
            };
            let initial = if kind == StockKind::Extension {
                initial
            } else {
                0.0
            };
            text += &format!("s{number},9,{rate},{free},{limit},{initial}\n");
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

/// A spring as its row has it, in mm, N and N/mm.
#[derive(Debug, Clone, Copy)]
struct Row {
    kind: StockKind,
    rate: f64,
    free: f64,
    stands: f64,
    outer: f64,
    initial: f64,
}

fn rows() -> impl Strategy<Value = Vec<Row>> {
    // Few different rates, so that equals are met.
    let row = (
        prop_oneof![(1..5_i32).prop_map(|k| 0.5 * f64::from(k)), 0.2..2.0_f64],
        20.0..80.0_f64,
        prop_oneof![10.0..60.0_f64, Just(15.0)],
        8.0..14.0_f64,
        0.0..4.0_f64,
        any::<bool>(),
    );
    let row = row.prop_map(|(rate, free, stands, outer, initial, pulls)| Row {
        kind: if pulls {
            StockKind::Extension
        } else {
            StockKind::Compression
        },
        rate,
        free,
        stands: if pulls {
            stands
        } else {
            stands.min(0.7 * free)
        },
        outer,
        initial: if pulls { initial } else { 0.0 },
    });
    prop::collection::vec(row, 1..10)
}

const WIRE: f64 = 1.0;

/// The list as it is asked of: those that pull first.
fn sorted(rows: &[Row]) -> Vec<Row> {
    let of = |kind| rows.iter().filter(move |row| row.kind == kind).copied();
    of(StockKind::Extension)
        .chain(of(StockKind::Compression))
        .collect()
}

fn read(rows: &[Row]) -> StockList {
    let column = |quantity, heading: &str, unit: &str| StockColumn {
        quantity,
        heading: heading.into(),
        unit: unit.into(),
    };
    let mut list = StockList::default();
    for (number, row) in rows.iter().enumerate() {
        let limit = match row.kind {
            StockKind::Extension => row.free + row.stands,
            StockKind::Compression => row.free - row.stands,
        };
        let Row {
            kind,
            rate,
            free,
            outer,
            initial,
            ..
        } = *row;
        let columns = vec![
            column(Q::Name, "n", ""),
            column(Q::OuterDiameter, "d", "mm"),
            column(Q::Rate, "k", "N/mm"),
            column(Q::FreeLength, "l", "mm"),
            column(Q::LimitLength, "x", "mm"),
            column(Q::InitialTension, "f", "N"),
            column(Q::WireDiameter, "w", "mm"),
        ];
        let text =
            format!("n,d,k,l,x,f,w\n{number},{outer},{rate},{free},{limit},{initial},{WIRE}\n");
        let wire = Some(Wire::named("EN 10270-1 SH").unwrap());
        let format = StockFormat {
            kind,
            columns,
            delimiter: ',',
            decimal_comma: false,
            wire,
        };
        list = list.with(StockList::read(&text, &format).unwrap()).unwrap();
    }
    list
}

/// By how much an arrangement of rows, held so that it has a force, fails a demand, in mm and shares: no more than zero
/// if it fits. Written out from what springs do, each limit for itself; a maximum of convex functions of the force.
fn failing(demand: &StockDemand, arrangement: StockArrangement, rows: &[Row], force: f64) -> f64 {
    let mm = 1e3;
    let travel = demand.travel * mm;
    let room = demand.room.map(|length| length * mm);
    let sign = |row: &Row| {
        if row.kind == StockKind::Extension {
            1.0
        } else {
            -1.0
        }
    };
    // Deflections at the beginning and at both ends of the travel.
    let starts: Vec<f64> = match arrangement {
        StockArrangement::Single | StockArrangement::Opposed | StockArrangement::Series => rows
            .iter()
            .map(|row| (force - row.initial) / row.rate)
            .collect(),
        StockArrangement::Parallel => {
            // The common length at which the forces add up.
            let constant: f64 = rows
                .iter()
                .map(|row| row.initial - sign(row) * row.rate * row.free)
                .sum();
            let slope: f64 = rows.iter().map(|row| sign(row) * row.rate).sum();
            let length = (force - constant) / slope;
            rows.iter()
                .map(|row| sign(row) * (length - row.free))
                .collect()
        }
    };
    let moves: Vec<[f64; 2]> = match arrangement {
        StockArrangement::Single | StockArrangement::Parallel => {
            rows.iter().map(|_| [0.0, travel]).collect()
        }
        StockArrangement::Opposed => rows.iter().map(|_| [-travel, travel]).collect(),
        // The same force in both: each takes of the travel what it is softer.
        StockArrangement::Series => {
            let give: f64 = rows.iter().map(|row| 1.0 / row.rate).sum();
            rows.iter()
                .map(|row| [0.0, travel / row.rate / give])
                .collect()
        }
    };
    let lengths: Vec<f64> = rows
        .iter()
        .zip(&starts)
        .map(|(row, start)| row.free + sign(row) * start)
        .collect();
    let lengths = match arrangement {
        StockArrangement::Single | StockArrangement::Opposed => lengths,
        StockArrangement::Parallel => vec![lengths[0]],
        StockArrangement::Series => vec![lengths.iter().sum()],
    };
    let mut worst = f64::NEG_INFINITY;
    let mut fails = |by: f64| worst = worst.max(by);
    for length in lengths {
        fails(room[0] - length);
        fails(length - room[1]);
    }
    for ((row, start), [back, on]) in rows.iter().zip(starts).zip(moves) {
        fails(-(start + back));
        fails(start + on - row.stands);
        if let Some(bore) = demand.bore {
            fails(row.outer - bore * mm);
        }
        if let Some(life) = demand.life {
            // Both ends of the travel, in N; stresses in MPa.
            let forces = [back, on].map(|by| row.initial + row.rate * (start + by));
            let (d, mean) = (WIRE, row.outer - WIRE);
            let c = mean / d;
            let shear = (4.0 * c + 2.0) / (4.0 * c - 3.0) * 8.0 * mean / (PI * d.powi(3));
            let bend = (4.0 * c * c - c - 1.0) / (4.0 * c * (c - 1.0)) * 16.0 * mean
                / (PI * d.powi(3))
                + 4.0 / (PI * d * d);
            let wire = Wire::named("EN 10270-1 SH").unwrap();
            let tensile = wire.tensile_strength(d * 1e-3).unwrap();
            let body = Endurance::zimmerli(&wire, d * 1e-3, life.surface, life.criterion).unwrap();
            let mut parts = vec![(shear, body)];
            if row.kind == StockKind::Extension {
                parts.push((bend, body.in_bending(tensile).unwrap()));
            }
            for (per_newton, endurance) in parts {
                // Where it would be slack there is no cycle; that fails by itself.
                let cycle = Cycle::between(
                    1e6 * per_newton * forces[0].max(0.0),
                    1e6 * per_newton * forces[1].max(0.0),
                );
                let safety = cycle
                    .and_then(|cycle| endurance.safety(&cycle, life.cycles))
                    .unwrap();
                fails(life.safety / safety - 1.0);
            }
        }
    }
    worst
}

/// The force nearest to the wanted one at which an arrangement fits; `Err` if that hangs on less than rounding.
fn placed_by_search(
    demand: &StockDemand,
    arrangement: StockArrangement,
    rows: &[Row],
) -> Result<Option<f64>, ()> {
    let fails = |force: f64| failing(demand, arrangement, rows, force);
    let ends = [1.0 - demand.force_tolerance, 1.0 + demand.force_tolerance]
        .map(|share| share * demand.force);
    // Least failing of all, by thirds.
    let [mut low, mut high] = ends;
    for _ in 0..200 {
        let [one, two] = [low + (high - low) / 3.0, high - (high - low) / 3.0];
        if fails(one) <= fails(two) {
            high = two;
        } else {
            low = one;
        }
    }
    let (best, least) = (0.5 * (low + high), fails(0.5 * (low + high)));
    if least.abs() < 1e-6 || fails(demand.force).abs() < 1e-6 {
        return Err(());
    }
    if least > 0.0 {
        return Ok(None);
    }
    if fails(demand.force) < 0.0 {
        return Ok(Some(demand.force));
    }
    let (mut good, mut bad) = (best, demand.force);
    for _ in 0..200 {
        let middle = 0.5 * (good + bad);
        if fails(middle) <= 0.0 {
            good = middle;
        } else {
            bad = middle;
        }
    }
    Ok(Some(good))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    /// Every arrangement tried by itself, and the place where it is held searched for: what is chosen is all that fits,
    /// in order.
    #[test]
    fn no_good_choice_is_lost(
        rows in rows(), first in 0..10_usize, second in 0..10_usize, kind in 0..4_usize, stray in 0.9..1.1_f64,
            rate_tolerance in 0.0..0.5_f64,
        force in 2.0..30.0_f64, force_tolerance in 0.0..0.6_f64, travel in 2.0..15.0_f64, near in 0.0..60.0_f64,
            span in 5.0..100.0_f64,
        bore in prop::option::of(9.0..14.0_f64), safety in prop::option::of(0.8..2.5_f64),
            arrangements in arrangements(),
        criterion in prop::sample::select(FatigueCriterion::ALL.to_vec()),
    ) {
        let rows = sorted(&rows);
        // About the rate of some arrangement of the list.
        let [one, two] = [rows[first % rows.len()].rate, rows[second % rows.len()].rate];
        let rate = 1e3 * stray * [one, one + two, one + two, one * two / (one + two)][kind];
        let life = safety.map(|safety| LifeDemand { cycles: 2e5, surface: WireSurface::Unpeened, criterion, safety });
        let demand = StockDemand {
            rate, rate_tolerance, force, force_tolerance, travel: travel * 1e-3, room: [near * 1e-3,
                (near + span) * 1e-3],
            bore: bore.map(|bore| bore * 1e-3), life, arrangements: arrangements.clone(),
        };
        let sizing = search_stock(&read(&rows), &demand).unwrap();

        let mut expected = Vec::new();
        let (mut tried, mut off, mut wide) = (0, 0, 0);
        for &arrangement in &arrangements {
            for i in 0..rows.len() {
                let partners = if arrangement == StockArrangement::Single { i..i + 1 } else { i..rows.len() };
                for j in partners {
                    if rows[i].kind != rows[j].kind {
                        continue;
                    }
                    tried += 1;
                    // In N/m and in this order of steps, so that equals are equal to the last bit.
                    let [a, b] = [1e3 * rows[i].rate, 1e3 * rows[j].rate];
                    let (own, numbers) = match arrangement {
                        StockArrangement::Single => (a, vec![i]),
                        StockArrangement::Opposed | StockArrangement::Parallel => (a + b, vec![i, j]),
                        StockArrangement::Series => (a * b / (a + b), vec![i, j]),
                    };
                    let departure = (own / rate - 1.0).abs();
                    // What hangs on rounding is left to itself.
                    prop_assume!((departure - rate_tolerance).abs() > 1e-7);
                    if departure > rate_tolerance {
                        off += 1;
                        continue;
                    }
                    let pair: Vec<Row> = numbers.iter().map(|&number| rows[number]).collect();
                    wide += usize::from(bore.is_some_and(|bore| pair.iter().any(|row| row.outer > bore)));
                    let placed = placed_by_search(&demand, arrangement, &pair);
                    prop_assume!(placed.is_ok());
                    if let Ok(Some(force)) = placed {
                        // A further spring counts as much as a percent of the rate.
                        let score = departure + if numbers.len() == 2 { 0.01 } else { 0.0 };
                        expected.push((score, arrangement, numbers, force));
                    }
                }
            }
        }
        expected.sort_by(|a, b| a.0.total_cmp(&b.0));
        prop_assert_eq!((sizing.tried, sizing.fitting), (tried, expected.len()));
        prop_assert_eq!(sizing.found.len(), expected.len());
        for (choice, (_, arrangement, numbers, force)) in sizing.found.iter().zip(&expected) {
            let names: Vec<usize> = choice.springs.iter().map(|spring| spring.name().parse().unwrap()).collect();
            prop_assert_eq!((choice.arrangement, &names), (*arrangement, numbers));
            prop_assert!((choice.force - force).abs() <= 1e-6 * force, "{:?} where {} fits", choice, force);
            let pair: Vec<Row> = numbers.iter().map(|&number| rows[number]).collect();
            prop_assert!(failing(&demand, *arrangement, &pair, choice.force) < 1e-6);
        }
        let count = |requirement| sizing.rejected.iter().find(|r| r.nearest.requirement == requirement).map_or(0,
            |r| r.count);
        prop_assert_eq!(count(requirement::RATE), off);
        prop_assert_eq!(count(requirement::BORE), wide);
        prop_assert_eq!(sizing.nearest.is_none(), !expected.is_empty());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn extension_springs_do_what_is_wanted(
        wires in wires(), rate in decades(1.5..=4.5), preload in 0.0..50.0_f64, travel in 0.002..0.1_f64,
        bore in prop::option::of(0.005..0.05_f64), longest_start in prop::option::of(0.02..0.3_f64), life in life(),
            design_code in practices(),
    ) {
        let demand = ExtensionDemand { bore, longest_start, life, design_code, coil_steps: 20,
            ..ExtensionDemand::new(wires, rate, preload, travel) };
        let sizing = search_extension_springs(&demand).unwrap();
        prop_assert_eq!(sizing.found.is_empty(), sizing.best().is_err());
        for found in &sizing.found {
            let spring = &found.spring;
            prop_assert!((spring.rate() / rate - 1.0).abs() < ROUNDING);
            let law = spring.line_spring();
            for (length, tension) in found.lengths.iter().zip(found.tensions) {
                let at = law.response(*length).unwrap();
                // The beginning may lie where the initial tension just stands.
                prop_assert!(at.state == LinearSpringState::Working
                    || (tension - spring.spec().initial_tension).abs() < ROUNDING * (1.0 + tension));
                prop_assert!(at.state == LinearSpringState::Slack
                    || (at.tension - tension).abs() <= ROUNDING * (1.0 + tension));
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
        wires in wires(), rate in decades(-2.0..=1.5), preload in 0.0..2.0_f64, travel in 0.05..3.0_f64,
            legs in prop::array::uniform2(0.0..0.05_f64),
        arbor in prop::option::of(0.002..0.03_f64), longest_body in prop::option::of(0.005..0.1_f64), life in life(),
            design_code in practices(),
    ) {
        prop_assume!(preload / rate < 50.0);
        let demand = TorsionDemand { legs, arbor, longest_body, life, design_code, coil_steps: 20,
            ..TorsionDemand::new(wires, rate, preload, travel) };
        let sizing = search_torsion_springs(&demand).unwrap();
        for found in &sizing.found {
            let spring = &found.spring;
            prop_assert!((spring.rate() / rate - 1.0).abs() < ROUNDING);
            let end = spring.state_at(found.angles[1]).unwrap();
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
        list in list(), rate in decades(2.0..=5.0), force in 1.0..100.0_f64, travel in 0.001..0.05_f64,
            arrangements in arrangements(),
        near in 0.0..0.1_f64, span in 0.01..0.3_f64,
    ) {
        let demand = StockDemand {
            rate, rate_tolerance: 0.5, force, force_tolerance: 0.2, travel, room: [near, near + span], bore: None,
                life: None, arrangements,
        };
        let sizing = search_stock(&list, &demand).unwrap();
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
                StockArrangement::Single => sign * pull(0, choice.lengths[0] + sign * by + nudge).tension,
                StockArrangement::Parallel => sign * (0..2).map(|i| pull(i,
                    choice.lengths[0] + sign * by + nudge).tension).sum::<f64>(),
                StockArrangement::Opposed => sign * (pull(0, choice.lengths[0] + sign * by).tension - pull(1,
                    choice.lengths[1] - sign * by).tension),
                // Both carry the force: their lengths at it, from the laws turned round, add up to the distance.
                StockArrangement::Series => {
                    let at = choice.force + choice.rate * by;
                    let length: f64 = choice.springs.iter()
                        .map(|s| s.free_length() + sign * (at - s.initial_tension()) / s.rate()).sum();
                    // A wrong length shows as a wrong force.
                    if (length - choice.lengths[0] - sign * by).abs() < 1e-9 { at } else { f64::NAN }
                }
            };
            let start = if choice.arrangement == StockArrangement::Opposed { 0.0 } else { choice.force };
            // The nudge of a nanometer changes the force by that times the rate.
            let allowed = 3e-9 * choice.rate + ROUNDING * (force + choice.rate * travel);
            for by in [0.0, 0.5 * travel, travel * (1.0 - 1e-6)] {
                prop_assert!((total(by) - start - choice.rate * by).abs() <= allowed, "{:?} {} {}", choice, by,
                    total(by));
            }
        }
    }

    #[test]
    fn any_demand_is_answered_or_refused(values in prop::array::uniform10(anything()), list in list(),
        wires in wires(), arrangements in arrangements()) {
        let [rate, preload, travel, one, two, three, four, five, six, seven] = values;
        let extension = ExtensionDemand { bore: Some(one), longest_start: Some(two), static_safety: three,
            index: [four, five], body_turns: [six, seven], coil_steps: 3, ..ExtensionDemand::new(wires.clone(), rate,
            preload, travel) };
        let _ = search_extension_springs(&extension);
        let plain = ExtensionDemand { coil_steps: 3, ..ExtensionDemand::new(wires.clone(), rate, preload, travel) };
        let _ = search_extension_springs(&plain);
        let torsion = TorsionDemand { legs: [one, two], arbor: Some(three), bore: Some(four), clearance_share: five,
            coil_steps: 3, ..TorsionDemand::new(wires, rate, preload, travel) };
        if let Ok(sizing) = search_torsion_springs(&torsion) {
            prop_assert!(sizing.found.iter().all(|found| found.spring.rate().is_finite()));
        }
        let stock = StockDemand { rate, rate_tolerance: one, force: preload, force_tolerance: two, travel,
            room: [three, four], bore: Some(five), life: None, arrangements };
        if let Ok(sizing) = search_stock(&list, &stock) {
            prop_assert!(sizing.found.iter().all(|choice| choice.force.is_finite()
                && choice.use_of_travel.is_finite()));
        }
    }

    #[test]
    fn any_text_is_a_list_or_an_error(text in "[a-c,;0-9.\"\n-]{0,60}", delimiter in prop::sample::select(vec![',',
        ';', '\t', 'é', '"'])) {
        let column = |quantity, heading: &str, unit: &str| StockColumn { quantity, heading: heading.into(),
            unit: unit.into() };
        let columns = vec![column(Q::Name, "a", ""), column(Q::OuterDiameter, "b", "mm"), column(Q::Rate, "c", "N/mm"),
            column(Q::FreeLength, "d", "mm"), column(Q::LimitForce, "e", "N")];
        let headings = ["a", "b", "c", "d", "e"].join(&delimiter.to_string());
        let row = ["a", "9", "1", "40", "20"].join(&delimiter.to_string());
        for text in [text.clone(), format!("{headings}\n{text}"), format!("{headings}\n{row}\n{text}")] {
            let format = StockFormat { kind: StockKind::Extension, columns: columns.clone(), delimiter,
                decimal_comma: delimiter == ';', wire: None };
            if let Ok(list) = StockList::read(&text, &format) {
                prop_assert!(list.springs().iter().all(|spring| spring.rate() > 0.0 && !spring.name().is_empty()));
            }
        }
    }
}
