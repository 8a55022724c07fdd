//! Springs: each is judged as the core judges it.

use yokewright::rig::{Evaluation, Problem, SpringEvaluation, VerdictState};
use yokewright::spring::{
    CoilDiameter, CompressionSpring, CompressionSpringSpec, ExtensionSpring, ExtensionSpringSpec,
    FatigueCriterion, LifeDemand, LinearTorsionSpring, LinearTorsionSpringSpec, SpringAction,
    StockColumn, StockFormat, StockKind, StockList, StockQuantity, TorsionSpring,
    TorsionSpringSpec, Turns, Wire, WireSurface,
};
use yokewright::units::{DEG, MM};

use super::{LEVER, axis, both_near, evaluated, feel, near, read, with};

/// What a spring comes to when it holds the lever alone, hung up between these places.
fn alone(spring: &str, from: &str, to: &str) -> (Evaluation, SpringEvaluation) {
    let start = LEVER.find("[spring.soft]").expect("it is there");
    let axis = LEVER.find("[[axis]]").expect("it is there");
    let springs = LEVER.find("[[axis.feel.spring]]").expect("it is there");
    let text = format!(
        "{}{spring}\n{}[[axis.feel.spring]]\nspring = \"one\"\nfrom_mm = {from}\nto_mm = {to}\n",
        &LEVER[..start],
        &LEVER[axis..springs],
    );
    let evaluation = evaluated(&text);
    let [found] = feel(&evaluation).springs() else {
        panic!("one spring")
    };
    let found = found.clone();
    (evaluation, found)
}

const AT: [&str; 2] = ["[-150.0, 0.0, 60.0]", "[0.0, 0.0, 60.0]"];

/// Least and greatest distance of the lever's 60 mm high point from 150 mm behind it: there it goes straight away.
fn reach() -> [f64; 2] {
    let length = |t: f64| (150.0 * MM + 60.0 * MM * t.sin()).hypot(60.0 * MM * (1.0 - t.cos()));
    [length(-20.0 * DEG), length(15.0 * DEG)]
}

#[test]
fn an_extension_spring_is_judged_as_the_core_judges_it() {
    let wire = Wire::named("EN 10270-1 SM").expect("in the table");
    let spring = ExtensionSpring::new(ExtensionSpringSpec {
        initial_tension: 5.0,
        ..ExtensionSpringSpec::new(wire, 1.6 * MM, CoilDiameter::Outer(15.0 * MM), 40.0)
    })
    .expect("a spring");
    let text = "[spring.one]\nkind = \"extension\"\nwire = \"EN 10270-1 SM\"\nwire_mm = 1.6\nouter_diameter_mm = 15.0\n\
                body_turns = 40.0\ninitial_tension_N = 5.0\ncycles = 200000.0\nsurface = \"peened\"";
    let (_, found) = alone(text, AT[0], AT[1]);
    let tensions = reach().map(|length| 5.0 + spring.rate() * (length - spring.free_length()));
    assert!(
        both_near(found.tensions, tensions),
        "{:?} {tensions:?}",
        found.tensions
    );
    let [least, most] = found.tensions.expect("along a line");
    let life = spring
        .fatigue(
            [least, most],
            WireSurface::Peened,
            FatigueCriterion::Gerber,
            2e5,
        )
        .expect("a steel wire");
    assert_eq!(found.life_safety, Some(life.safety()));
    assert!(near(
        found.safety.expect("loaded"),
        spring.static_safety(most).expect("loaded")
    ));
    assert_eq!(found.cycles, Some(2e5));
    assert_eq!(found.kind, "extension");
}

#[test]
fn a_compression_spring_is_judged_and_may_buckle() {
    let wire = Wire::named("EN 10270-1 SM").expect("in the table");
    let spec = CompressionSpringSpec::new(
        wire,
        1.5 * MM,
        CoilDiameter::Outer(14.0 * MM),
        Turns::Active(20.0),
        180.0 * MM,
    );
    let spring = CompressionSpring::new(spec).expect("a spring");
    let lines = "[spring.one]\nkind = \"compression\"\nwire = \"EN 10270-1 SM\"\nwire_mm = 1.5\n\
                 outer_diameter_mm = 14.0\nactive_turns = 20.0\nfree_length_mm = 180.0\nfixity = \"pinned-pinned\"";
    let (evaluation, found) = alone(lines, AT[0], AT[1]);
    let forces = reach().map(|length| spring.rate() * (180.0 * MM - length));
    assert!(
        both_near(found.tensions, forces.map(|force| -force)),
        "{:?} {forces:?}",
        found.tensions
    );
    let [most, least] = found
        .tensions
        .expect("along a line")
        .map(|tension| -tension);
    assert_eq!(
        found.stress,
        Some(spring.stress(most).expect("it bears it"))
    );
    assert_eq!(found.allowable_stress, Some(spring.allowable_stress()));
    let life = spring
        .fatigue(
            [most, least],
            WireSurface::Unpeened,
            FatigueCriterion::Gerber,
            1e6,
        )
        .expect("a steel wire");
    assert_eq!(found.life_safety, Some(life.safety));
    // 180 mm long and 12.5 mm wide it bends aside, unless a rod guides it.
    let told = |evaluation: &Evaluation| feel(evaluation).notes().join("; ");
    assert!(
        told(&evaluation).contains("it buckles"),
        "{}",
        told(&evaluation)
    );
    let guided = lines.replace("\nfixity = \"pinned-pinned\"", "");
    assert!(!told(&alone(&guided, AT[0], AT[1]).0).contains("buckle"));
    // Pressed further than it goes, no stress is told, but that.
    let (solid, past) = alone(&lines.replace("20.0\nfree", "90.0\nfree"), AT[0], AT[1]);
    assert!(past.past_limit && past.stress.is_none());
    assert!(
        told(&solid).contains("it is solid within the travel: pressed to"),
        "{}",
        told(&solid)
    );
}

#[test]
fn a_torsion_spring_turns_with_its_lever() {
    let wire = Wire::named("EN 10270-1 SM").expect("in the table");
    let spring = TorsionSpring::new(TorsionSpringSpec::new(
        wire,
        2.0 * MM,
        CoilDiameter::Outer(20.0 * MM),
        6.0,
    ))
    .expect("a spring");
    let text = with(
        "[spring.soft]",
        "[spring.wound]\nkind = \"torsion\"\nwire = \"EN 10270-1 SM\"\nwire_mm = 2.0\nouter_diameter_mm = 20.0\n\
         body_turns = 6.0\n[spring.twist]\nkind = \"pivot\"\nrate_Nmm_per_deg = 12.0\n[spring.soft]",
    ) + "[[axis.feel.spring]]\nspring = \"wound\"\nfree_deg = -40.0\n\
         [[axis.feel.spring]]\nspring = \"twist\"\nfree_deg = 30.0\nworks = \"both\"\non = \"lever\"\n";
    let evaluation = evaluated(&text);
    let [_, _, wound, twist] = feel(&evaluation).springs() else {
        panic!("four springs")
    };
    assert!(both_near(wound.angles, [-20.0 * DEG, 15.0 * DEG]));
    assert!(both_near(
        wound.torques,
        [20.0 * DEG * spring.rate(), 55.0 * DEG * spring.rate()]
    ));
    let most = wound.torques.expect("about a pivot")[1];
    let allowed = spring.allowable() / spring.stress(most).expect("it bears it");
    assert!(near(wound.safety.expect("loaded"), allowed));
    let by_hand = LinearTorsionSpring::new(LinearTorsionSpringSpec::new(
        0.012 / DEG,
        30.0 * DEG,
        SpringAction::Both,
    ))
    .expect("a spring");
    let torque = |angle: f64| by_hand.response(angle * DEG).expect("within").torque;
    assert!(both_near(twist.torques, [torque(-20.0), torque(15.0)]));
    assert!(twist.safety.is_none() && twist.lengths.is_none());
}

#[test]
fn a_spring_of_a_stock_list_is_that_row() {
    let column = |quantity, heading: &str, unit: &str| StockColumn {
        quantity,
        heading: heading.to_owned(),
        unit: unit.to_owned(),
    };
    let format = StockFormat {
        delimiter: ';',
        decimal_comma: true,
        wire: Some(Wire::named("EN 10270-1 SM").expect("in the table")),
        ..StockFormat::new(
            StockKind::Extension,
            vec![
                column(StockQuantity::Name, "no", ""),
                column(StockQuantity::Rate, "rate N/mm", "N/mm"),
                column(StockQuantity::FreeLength, "free mm", "mm"),
                column(StockQuantity::OuterDiameter, "outer mm", "mm"),
                column(StockQuantity::LimitLength, "longest mm", "mm"),
                column(StockQuantity::InitialTension, "initial N", "N"),
                column(StockQuantity::WireDiameter, "wire mm", "mm"),
            ],
        )
    };
    let text = include_str!("../../../../examples/drawer_springs.csv");
    let list = StockList::read(text, &format).expect("a list");
    let row = list
        .springs()
        .iter()
        .find(|spring| spring.name() == "D17")
        .expect("a row");
    // The path goes from the folder of the design: tests/.
    let list = "[stock.drawer]\nfile = \"../examples/drawer_springs.csv\"\nkind = \"extension\"\n\
                delimiter = \"semicolon\"\ndecimal_comma = true\nwire = \"EN 10270-1 SM\"\nname_column = \"no\"\n\
                rate_column = \"rate N/mm\"\nfree_length_column = \"free mm\"\nouter_diameter_column = \"outer mm\"\n\
                limit_length_column = \"longest mm\"\ninitial_tension_column = \"initial N\"\n\
                wire_diameter_column = \"wire mm\"\n";
    let spring =
        "[spring.one]\nkind = \"stock\"\nlist = \"drawer\"\nrow = \"D17\"\ncycles = 50000.0";
    let (_, found) = alone(&format!("{list}{spring}"), AT[0], AT[1]);
    let tensions =
        reach().map(|length| row.line_spring().response(length).expect("within").tension);
    assert!(
        both_near(found.tensions, tensions),
        "{:?} {tensions:?}",
        found.tensions
    );
    let life = row
        .life_safety(found.tensions.expect("along a line"), &LifeDemand::new(5e4))
        .expect("the wire is known")
        .expect("steel");
    assert_eq!(found.life_safety, Some(life));
    // Without the wire nobody knows.
    let unknown = list.replace("wire = \"EN 10270-1 SM\"\n", "");
    let (_, found) = alone(&format!("{unknown}{spring}"), AT[0], AT[1]);
    assert_eq!((found.life_safety, found.cycles), (None, None));
    // What is wrong with the list is told at its keys.
    let refused = |list: &str, spring: &str| {
        let text = format!("{}{list}{spring}\n", with("[spring.soft]", "[spring.soft]"));
        let start = text.find("[stock.drawer]").expect("it is there");
        let (axes, stock) = text.split_at(start);
        read(&format!("{axes}{stock}")).expect_err("this must be refused")
    };
    let error = refused(&list.replace("drawer_springs", "no_springs"), spring);
    assert_eq!(error.key, "stock.drawer.file");
    assert!(
        matches!(*error.problem, Problem::Unreadable { .. }),
        "{error}"
    );
    let error = refused(&list.replace("free mm", "freemm"), spring);
    assert_eq!(error.key, "stock.drawer.file");
    assert!(error.to_string().contains("free"), "{error}");
    let error = refused(list, &spring.replace("D17", "D71"));
    assert_eq!(error.key, "spring.one.row");
    assert!(error.to_string().contains("such as \"D"), "{error}");
}

#[test]
fn one_broken_spring_leaves_the_rest() {
    // A wire of 5 mm in a coil of 12: no machine winds that.
    let broken = "[spring.stiff]\nkind = \"torsion\"\nwire = \"EN 10270-1 SM\"\nwire_mm = 5.0\n\
                  outer_diameter_mm = 12.0\nbody_turns = 5.0\n[spring.soft]";
    let unused = evaluated(&with("[spring.soft]", broken));
    assert!(axis(&unused).feel().is_some());
    let [spring] = unused.broken() else {
        panic!("{:?}", unused.broken())
    };
    assert_eq!(spring.name(), "spring stiff");
    assert_eq!(spring.line(), 8);
    assert!(
        spring.reason().contains("spring index"),
        "{}",
        spring.reason()
    );
    assert_eq!(unused.state(), VerdictState::Missed);
    let used = with("[spring.soft]", broken)
        + "[[axis.feel.spring]]\nspring = \"stiff\"\nfree_deg = 0.0\n";
    let used = evaluated(&used);
    assert!(axis(&used).feel().is_none());
    let names: Vec<&str> = used.broken().iter().map(|broken| broken.name()).collect();
    assert_eq!(names, ["spring stiff", "feel of lever"]);
    // The axis itself is what it is without a feel.
    assert_eq!(axis(&used).figures(), axis(&unused).figures());
}
