//! What is stored comes back to the last bit, and what no constructor makes is not read.

use std::fmt::Debug;

use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use yokewright::axis::{ArrangementDemand, Measure, VariedMeasure, search_arrangements};
use yokewright::feel::{
    Body, Cam, Centering, Control, ControlKind, ControlMeasurements, Element, FreeResponseSpec,
    Friction, GuidanceMotion, MagnetPair, SpringChoice, SpringDemand, SpringLayout, TargetValue,
    Way, compare_with_guidance, guides,
};
use yokewright::hall::{
    AngleError, AngleOutput, AngleSensor, AngleSensorSpec, Averaging, Converter, HallVariation,
    LinearHall, LinearHallSpec, LowPass, Potentiometer, PotentiometerSpec, RotationSense, Rounding,
    SignalChain, TypicalPart,
};
use yokewright::linkage::{
    Arm, ArmLengths, BallRod, BallRodDemand, Branch, CenteredFourBar, FixedRatio, FourBar,
    FourBarDemand, FreeArm, Gate, Gimbal, GimbalAxis, GimbalSpec, Lever, Obstacle, PedalMember,
    Pivot, Rod, RodEnds, RodMaterial, RodSection, SliderCrank, Stop, UniversalJoint,
};
use yokewright::magnet::material::{Grade, Load, RatedBound, RatedValue, WorkingPoint};
use yokewright::magnet::{
    ActiveArea, AnySource, Block, Cylinder, FieldSource, Magnet, MagnetGroup, Ring, Sphere,
    SteelPlate, pull,
};
use yokewright::search::{SearchResult, Shortfall};
use yokewright::spring::{
    BelowTable, CoilDiameter, CoilEnds, CompressionDemand, CompressionSpring,
    CompressionSpringSpec, CurvatureFactor, Cycle, DesignCode, Endurance, ExtensionDemand,
    ExtensionSpring, ExtensionSpringSpec, FatigueCriterion, ForceTable, HookShape, LifeDemand,
    LineSpring, LinearSpring, LinearTorsionSpring, Presetting, SizedSpring, SizingTarget,
    SpringAction, StockColumn, StockFormat, StockKind, StockList, StockQuantity, TorsionDemand,
    TorsionSpring, TorsionSpringSpec, Turns, Wire, WireSurface, search_compression_springs,
};
use yokewright::units::{DEG, MM};

use crate::feel_controls::{self, anchor};
use crate::{common, transmission};

/// Written and read again, through a text.
fn comes_back<T: Serialize + DeserializeOwned + PartialEq + Debug>(value: &T) {
    let text = serde_json::to_string(value).expect("it can be stored");
    let read = serde_json::from_str::<T>(&text);
    assert_eq!(
        &read.unwrap_or_else(|e| panic!("{e} in {text}")),
        value,
        "{text}"
    );
}

/// The error of reading the value with another one at a place of it.
fn changed<T: Serialize + DeserializeOwned + Debug>(value: &T, place: &str, to: Value) -> String {
    let mut stored = serde_json::to_value(value).expect("it can be stored");
    *stored
        .pointer_mut(place)
        .unwrap_or_else(|| panic!("no {place} in {value:?}")) = to;
    let read = serde_json::from_value::<T>(stored);
    read.expect_err(place).to_string()
}

/// A pose whose numbers all have many digits.
fn pose() -> Isometry3<f64> {
    let turn = UnitQuaternion::from_euler_angles(0.3, -0.7, 1.1);
    Isometry3::from_parts(Vector3::new(0.1, -1.0 / 3.0, 0.007).into(), turn)
}

fn polarization() -> Vector3<f64> {
    Vector3::new(0.1, -0.7, 1.1)
}

fn block() -> Block {
    Block::new(Vector3::new(5.0, 4.0, 7.0) * MM, polarization(), pose()).unwrap()
}

fn cylinder() -> Cylinder {
    Cylinder::new(10.0 * MM, 4.0 * MM, polarization(), pose()).unwrap()
}

fn ring() -> Ring {
    Ring::new(12.0 * MM, 5.0 * MM, 2.0 * MM, polarization(), pose()).unwrap()
}

fn sphere() -> Sphere {
    Sphere::new(9.0 * MM, polarization(), pose()).unwrap()
}

fn plate() -> SteelPlate {
    SteelPlate::new(Point3::new(0.0, 0.1, 0.9), Vector3::new(0.1, 0.2, -0.9)).unwrap()
}

fn group() -> MagnetGroup {
    MagnetGroup::new([
        Magnet::from(block()),
        Magnet::from(Sphere::new(3.0 * MM, polarization(), Isometry3::identity()).unwrap()),
    ])
    .unwrap()
}

#[test]
fn magnets_come_back() {
    comes_back(&block());
    comes_back(&cylinder());
    comes_back(&ring());
    comes_back(&sphere());
    comes_back(&Magnet::from(ring()));
    comes_back(&group());
    comes_back(&MagnetGroup::superposed([block(), block()]).unwrap());
    comes_back(&plate());
    comes_back(&plate().over(&group()).unwrap());
    comes_back(&AnySource::from(group()));
    comes_back(&AnySource::from(plate().over(&group()).unwrap()));
    comes_back(&ActiveArea::rectangle(0.2 * MM, 0.1 * MM, pose()).unwrap());
    comes_back(&ActiveArea::disc(0.2 * MM, pose()).unwrap());
    comes_back(Grade::named("N42SH").unwrap().spec());
    for grade in Grade::all() {
        comes_back(grade);
    }
    comes_back(&RatedValue::MinTypical(1.2, 1.25));
    comes_back(&RatedBound::Lowest);
    comes_back(&Load::alone(0.3));
    comes_back(&group().fields_at(&[Point3::new(0.05, 0.0, 0.1)]));
    comes_back(&group().gradients_at(&[Point3::new(0.05, 0.0, 0.1)]));
    let far = Magnet::from(
        Block::new(Vector3::repeat(0.01), polarization(), Isometry3::identity()).unwrap(),
    );
    comes_back(&pull(&Magnet::from(block()), &far, None).unwrap());
}

#[test]
fn a_source_of_ones_own_is_not_stored() {
    assert!(serde_json::to_string(&AnySource::custom(block())).is_err());
}

#[test]
fn no_magnet_is_read_that_none_makes() {
    assert!(changed(&block(), "/size/1", json!(5.0)).contains("block side y = 5 m"));
    assert!(changed(&cylinder(), "/diameter", json!(-1.0)).contains("cylinder diameter"));
    assert!(
        changed(&ring(), "/inner_diameter", json!(0.02)).contains("ring diameters (inner, outer)")
    );
    assert!(changed(&sphere(), "/polarization/2", json!(20.0)).contains("polarization z"));
    assert!(changed(&sphere(), "/pose/rotation/3", json!(2.0)).contains("norm of the rotation"));
    assert!(changed(&Magnet::from(block()), "/Block/size/0", json!(0.0)).contains("block side x"));
    assert!(
        changed(&plate(), "/normal", json!([0.0, 0.0, 0.0])).contains("normal of the steel plate")
    );
    let over = plate().over(&group()).unwrap();
    assert!(changed(&over, "/plate/point/2", json!(-0.9)).contains("plate"));
    let area = ActiveArea::disc(0.2 * MM, pose()).unwrap();
    assert!(changed(&area, "/outline/Disc/diameter", json!(1.0)).contains("active area diameter"));
    let both = MagnetGroup::superposed([block(), block()]).unwrap();
    assert!(changed(&both, "/is_superposed", json!(false)).contains("reach"));
    let grade = Grade::named("N42SH").unwrap();
    assert!(changed(&grade, "/squareness", json!(2.0)).contains("squareness = 2"));
}

#[test]
fn sensors_come_back() {
    let converter = Converter::new(12, 5.0, Rounding::Down, 0.3e-3).unwrap();
    let pot = Potentiometer::new(PotentiometerSpec::new(270.0 * DEG, 5.0)).unwrap();
    comes_back(&common::sensor_spec());
    comes_back(&common::sensor());
    comes_back(&converter);
    comes_back(&pot);
    comes_back(&converter.codes(&[0.1, 4.0]));
    comes_back(&common::sensor().outputs(&[0.001, -0.002]));

    assert!(changed(&common::sensor(), "/supply", json!(50.0)).contains("sensor supply = 50 V"));
    assert!(changed(&converter, "/bits", json!(99)).contains("bits"));
    assert!(changed(&pot, "/travel", json!(99.0)).contains("travel"));

    let drifting = LinearHallSpec {
        area: [0.2 * MM, 0.1 * MM],
        bandwidth: Some(2e4),
        variation: HallVariation {
            sensitivity_drift: 1e-3,
            ..HallVariation::default()
        },
        ..common::sensor_spec()
    };
    comes_back(&LinearHall::new(drifting.clone()).unwrap());
    comes_back(&drifting);
    let drift = changed(
        &drifting_sensor(drifting),
        "/variation/sensitivity_drift",
        json!(1.0),
    );
    assert!(drift.contains("drift of the sensitivity = 1"), "{drift}");
    let finer = converter.with_nonlinearity(2.0).unwrap();
    let finer = finer.with_oversampling(4).unwrap();
    comes_back(&finer);
    assert!(changed(&finer, "/oversampling", json!(0)).contains("conversions for one code"));
}

fn drifting_sensor(spec: LinearHallSpec) -> LinearHall {
    LinearHall::new(spec).unwrap()
}

#[test]
fn sensors_on_the_shaft_and_their_chains_come_back() {
    let analog = AngleOutput::Analog {
        supply: 5.0,
        low: 0.5,
        high: 4.5,
        range: 2.0,
    };
    for output in [AngleOutput::Digital { bits: 14 }, analog] {
        let sensor = AngleSensor::new(AngleSensorSpec {
            sense: RotationSense::Reverse,
            zero: 0.3,
            ..AngleSensorSpec::new(output)
        });
        let sensor = sensor.unwrap();
        comes_back(&sensor);
        comes_back(sensor.spec());
        comes_back(&sensor.first_order_error(0.05).unwrap());
        assert!(changed(&sensor, "/noise", json!(-1.0)).contains("noise of a component"));
    }
    let turned: Vec<f64> = (0..12).map(|i| f64::from(i) * 30.0 * DEG).collect();
    let read: Vec<f64> = turned.iter().map(|t| t + 0.1 * t.sin()).collect();
    let error = AngleError::of(&turned, &read).unwrap();
    comes_back(&error);
    assert!(changed(&error, "/turned/3", json!(1e9)).contains("angle turned"));

    let filter = LowPass::new(1e3).unwrap();
    let averaging = Averaging::new(8, 1e-3).unwrap();
    comes_back(&filter);
    comes_back(&averaging);
    assert!(changed(&filter, "/cutoff", json!(0.0)).contains("cutoff frequency = 0 Hz"));
    assert!(changed(&averaging, "/samples", json!(0)).contains("averaged samples"));
    let chain = SignalChain {
        filter: Some(filter),
        averaging: Some(averaging),
        ..SignalChain::new(Converter::named("12 bit 3.3 V").unwrap())
    };
    comes_back(&chain);
    comes_back(&SignalChain::new(chain.converter.clone()));
    assert!(changed(&chain, "/converter/bits", json!(3)).contains("converter bits"));
    let noise = chain.noise(1e-3, Some(2e4)).unwrap();
    comes_back(&noise);
    assert!(changed(&noise, "/sensor", json!(-1e-3)).contains("noise = -0.001 V"));
    for part in TypicalPart::all() {
        comes_back(part);
    }
}

fn arm() -> Arm {
    let arm = Arm::new(
        Point3::new(0.0, 0.12, 0.01),
        Vector3::new(0.06, 1.0, -0.1),
        Point3::new(0.0, 0.04, 0.09),
    );
    arm.unwrap()
        .with_stud(Vector3::new(0.1, 0.9, 0.2), 30.0 * DEG)
        .unwrap()
}

fn crank() -> Arm {
    let pivot = Point3::new(-0.15, 0.0, 0.085);
    Arm::new(pivot, Vector3::z(), pivot + Vector3::new(0.0, 0.045, 0.0)).unwrap()
}

fn stick() -> Gimbal {
    Gimbal::new(GimbalSpec {
        outer: Pivot::new(Point3::origin(), Vector3::new(0.1, 1.0, 0.0)).unwrap(),
        inner: Pivot::new(Point3::origin(), Vector3::x()).unwrap(),
        stick: vec![Point3::origin(), Point3::new(0.0, 0.0, 0.4)],
        stick_radius: 10.0 * MM,
        grip_radius: 25.0 * MM,
    })
    .unwrap()
}

fn rod() -> Rod {
    let section = RodSection::tube(8.0 * MM, 1.5 * MM).unwrap();
    let material = RodMaterial::named("steel S235").unwrap();
    Rod::new(section, material, 0.3, RodEnds::PinnedPinned, 1.0).unwrap()
}

#[test]
fn linkages_come_back() {
    let four_bar = FourBar::new(0.1, 0.04, 0.12, 0.08).unwrap();
    let ball_rod = BallRod::new(arm(), crank()).unwrap();
    comes_back(&arm());
    comes_back(&ball_rod);
    comes_back(&ball_rod.spec());
    comes_back(&ball_rod.transfers(&[0.0, 0.1]));
    comes_back(&four_bar);
    comes_back(&CenteredFourBar::new(four_bar, Branch::Open, 40.0 * DEG).unwrap());
    comes_back(&SliderCrank::new(0.03, 0.1, 0.005).unwrap());
    comes_back(&UniversalJoint::new(0.3, 0.1).unwrap());
    comes_back(&FixedRatio::new(-1.7).unwrap());
    comes_back(&transmission::pair());
    comes_back(&transmission::pair().figures(21).unwrap());
    comes_back(&transmission::pair().pose(PedalMember::Crank, 0.05).unwrap());
    comes_back(&stick());
    comes_back(stick().spec());
    comes_back(&stick().travel(GimbalAxis::Outer, [-0.3, 0.3], 0.1).unwrap());
    for gate in gates() {
        comes_back(&gate);
        comes_back(&stick().envelope(&gate, 0.1, 1e-4).unwrap());
    }
    for obstacle in obstacles() {
        comes_back(&obstacle);
        comes_back(&stick().clearance(&gates()[0], &[obstacle], 1e-4).unwrap());
    }
    comes_back(&levers()[0]);
    comes_back(&levers()[1]);
    comes_back(&stop());
    comes_back(&RodSection::round(6.3 * MM).unwrap());
    comes_back(&rod());
    comes_back(&rod().loaded_by(-300.0).unwrap());
    comes_back(&four_bar.pose(0.7, Branch::Open).unwrap());
    comes_back(&four_bar.motion(0.7, Branch::Open, 3.0, 1.0).unwrap());
    comes_back(&four_bar.grashof());
    comes_back(&four_bar.dead_centers());

    let free = |arm: Arm, lengths| FreeArm {
        arm,
        lengths,
        clocking: [-0.1, 0.2],
    };
    comes_back(&BallRodDemand {
        input: free(arm(), ArmLengths::Between([0.05, 0.09])),
        output: free(crank(), ArmLengths::Holes(vec![0.03, 0.04])),
        travel: [-0.2, 0.3],
        output_span: 0.7,
        span_tolerance: 0.01,
        min_transmission_angle: 0.6,
        lock_margin: 0.1,
        count: 3,
    });
    comes_back(&FourBarDemand::new(vec![0.0, 0.1], vec![0.0, 0.2], 0.1).unwrap());
}

fn gates() -> Vec<Gate> {
    let corners = vec![[-0.2, -0.2], [0.25, -0.1], [0.2, 0.2], [-0.1, 0.25]];
    vec![
        Gate::round(17.0 * DEG).unwrap(),
        Gate::square([-0.2, 0.3], [-0.1, 0.2]).unwrap(),
        Gate::polygon(corners).unwrap(),
    ]
}

fn obstacles() -> Vec<Obstacle> {
    let far = Isometry3::from_parts(Vector3::new(-0.5, 0.1, 0.2).into(), pose().rotation);
    vec![
        Obstacle::block(Vector3::new(0.1, 0.2, 0.3), far).unwrap(),
        Obstacle::cylinder(0.1, 0.2, far).unwrap(),
        Obstacle::capsule(
            Point3::new(-0.3, 0.15, 0.4),
            Point3::new(0.1, 0.5, 0.5),
            0.08,
        )
        .unwrap(),
    ]
}

fn levers() -> [Lever; 2] {
    let pivot = Pivot::new(Point3::origin(), Vector3::new(0.1, 1.0, 0.2)).unwrap();
    [
        Lever::pivoted(pivot, Point3::new(0.0, 0.0, 0.25), [-0.3, 0.4]).unwrap(),
        Lever::sliding(Vector3::new(0.1, 0.0, 0.3), Point3::origin(), [-0.1, 0.05]).unwrap(),
    ]
}

fn stop() -> Stop {
    let face = Point3::new(0.02, 0.0, 0.1);
    Stop::new(
        Point3::new(0.0, 0.0, 0.1),
        6.0 * MM,
        face,
        Vector3::new(-1.0, 0.0, 0.1),
    )
    .unwrap()
}

#[test]
fn no_linkage_is_read_that_none_makes() {
    let ball_rod = BallRod::new(arm(), crank()).unwrap();
    assert!(changed(&ball_rod, "/rod_length", json!(5.0)).contains("close"));
    let slider = SliderCrank::new(0.03, 0.1, 0.005).unwrap();
    assert!(changed(&slider, "/rod", json!(100.0)).contains("rod"));
    assert!(changed(&stick(), "/stick", json!([])).contains("stick"));
    assert!(
        changed(&stick(), "/outer/direction", json!([0.0, 0.0, 0.0]))
            .contains("direction of the pivot")
    );
    let [round, square, polygon] = <[Gate; 3]>::try_from(gates()).unwrap();
    assert!(changed(&round, "/shape/Round/tilt", json!(17.0)).contains("tilt of the gate"));
    assert!(
        changed(&square, "/shape/Square/outer", json!([0.3, -0.2]))
            .contains("outer angle of the gate")
    );
    assert!(
        changed(&polygon, "/shape/Polygon/corners", json!([[0.0, 0.0]]))
            .contains("corners of the gate")
    );
    for obstacle in obstacles() {
        assert!(
            changed(&obstacle, "/pose/rotation/3", json!(2.0)).contains("rotation"),
            "{obstacle:?}"
        );
    }
    let capsule = &obstacles()[2];
    assert!(changed(capsule, "/pose/translation/0", json!(0.1)).contains("shift of a capsule"));
    assert!(
        changed(capsule, "/pose/rotation", json!([1.0, 0.0, 0.0, 0.0]))
            .contains("turn of a capsule")
    );
    assert!(changed(&levers()[0], "/travel", json!([0.1, 0.4])).contains("travel"));
    assert!(
        changed(&levers()[1], "/guide/Slide", json!([0.0, 0.0, 0.0]))
            .contains("direction of the slide")
    );
    assert!(changed(&stop(), "/normal", json!([0.0, 0.0, 0.0])).contains("normal"));
    assert!(changed(&rod(), "/section/wall", json!(1.0)).contains("wall"));
    assert!(changed(&rod(), "/material/modulus", json!(1.0)).contains("modulus of elasticity"));
    assert!(changed(&rod(), "/length", json!(300.0)).contains("length"));
}

fn wire() -> Wire {
    Wire::named("ASTM A228").unwrap()
}

fn compression() -> CompressionSpring {
    CompressionSpring::new(CompressionSpringSpec {
        wire: wire(),
        wire_diameter: 2.0 * MM,
        coil: CoilDiameter::Mean(16.0 * MM),
        turns: Turns::Active(8.0),
        free_length: 40.0 * MM,
        ends: CoilEnds::SquaredGround,
        presetting: Presetting::AsWound,
        curvature: CurvatureFactor::Wahl,
        design_code: DesignCode::Shigley,
    })
    .unwrap()
}

fn extension() -> ExtensionSpring {
    ExtensionSpring::new(ExtensionSpringSpec {
        wire: wire(),
        wire_diameter: 1.0 * MM,
        coil: CoilDiameter::Outer(10.0 * MM),
        body_turns: 20.0,
        initial_tension: 1.5,
        hook: HookShape::Full,
        bend_radius: None,
        side_radius: None,
        hook_reach: None,
        design_code: DesignCode::Shigley,
    })
    .unwrap()
}

fn torsion() -> TorsionSpring {
    TorsionSpring::new(TorsionSpringSpec {
        wire: wire(),
        wire_diameter: 1.8 * MM,
        coil: CoilDiameter::Inner(13.2 * MM),
        body_turns: 4.25,
        legs: [25.0 * MM, 30.0 * MM],
        arbor: Some(11.0 * MM),
        design_code: DesignCode::En13906,
    })
    .unwrap()
}

fn cord() -> ForceTable {
    ForceTable::new(&[0.2, 0.25, 0.3], &[0.0, 14.0, 22.0], BelowTable::Slack).unwrap()
}

fn drawer() -> StockList {
    let column = |quantity, heading: &str, unit: &str| StockColumn {
        quantity,
        heading: heading.to_owned(),
        unit: unit.to_owned(),
    };
    let format = StockFormat {
        kind: StockKind::Extension,
        columns: vec![
            column(StockQuantity::Name, "no", ""),
            column(StockQuantity::OuterDiameter, "D", "mm"),
            column(StockQuantity::WireDiameter, "d", "mm"),
            column(StockQuantity::FreeLength, "L0", "mm"),
            column(StockQuantity::LimitForce, "Fmax", "N"),
            column(StockQuantity::Rate, "R", "N/mm"),
        ],
        delimiter: ';',
        decimal_comma: false,
        wire: Some(wire()),
    };
    comes_back(&format);
    let rows = "no;D;d;L0;Fmax;R\nA;8.1;0.9;41.3;37.7;0.45\nB;9.1;1.0;43.7;41.9;0.61\nA;8.1;0.9;41.3;37.7;0.45\n";
    StockList::read(rows, &format).unwrap()
}

#[test]
fn springs_come_back() {
    for wire in Wire::all() {
        comes_back(wire);
    }
    comes_back(wire().spec());
    comes_back(&compression());
    comes_back(compression().spec());
    comes_back(&extension());
    comes_back(&torsion());
    comes_back(&compression().line_spring().unwrap());
    comes_back(
        &torsion()
            .linear_torsion_spring(0.1, SpringAction::Above)
            .unwrap(),
    );
    comes_back(&cord());
    comes_back(&LineSpring::from(cord()));
    comes_back(&cord().response(0.27).unwrap());
    comes_back(&torsion().state_at(0.3).unwrap());
    comes_back(&drawer());
    comes_back(&Cycle::between(100e6, 500e6).unwrap());
    comes_back(
        &Endurance::zimmerli(
            &wire(),
            2.0 * MM,
            WireSurface::Peened,
            FatigueCriterion::Gerber,
        )
        .unwrap(),
    );
    let life = LifeDemand {
        cycles: 1e5,
        surface: WireSurface::Unpeened,
        criterion: FatigueCriterion::Goodman,
        safety: 1.1,
    };
    let target = SizingTarget::Rate {
        rate: 500.0,
        preload: 10.0,
        start_length: None,
    };
    comes_back(&CompressionDemand {
        life: Some(life),
        ..CompressionDemand::new(vec![wire()], target, 0.02)
    });
    comes_back(&ExtensionDemand::new(vec![wire()], 500.0, 10.0, 0.02));
    comes_back(&TorsionDemand::new(vec![wire()], 0.5, 0.1, 0.4));
}

#[test]
fn no_spring_is_read_that_none_makes() {
    assert!(changed(&compression(), "/wire_diameter", json!(0.5)).contains("wire"));
    assert!(changed(&extension(), "/body_turns", json!(0.1)).contains("turns of the body"));
    assert!(changed(&torsion(), "/arbor", json!(0.1)).contains("arbor"));
    assert!(changed(&wire(), "/density", json!(7.8)).contains("density"));
    let law: LinearSpring = compression().line_spring().unwrap();
    assert!(changed(&law, "/rate", json!(-1.0)).contains("spring rate"));
    let law: LinearTorsionSpring = torsion()
        .linear_torsion_spring(0.1, SpringAction::Above)
        .unwrap();
    assert!(changed(&law, "/rate", json!(-1.0)).contains("rate of the torsion spring"));
    assert!(changed(&cord(), "/tensions/0", json!(1.0)).contains("slack below"));
    assert!(changed(&cord(), "/lengths", json!([0.2])).contains("3"));
    assert!(changed(&drawer(), "/springs/0/rate", json!(0.0)).contains("rate"));
    assert!(
        changed(&drawer(), "/springs/0/rate", json!(451.0))
            .contains("'A' stands for two that differ")
    );
    assert!(changed(&drawer(), "/springs/0/wire/diameter", json!(1.0)).contains("wire"));
    assert!(changed(&drawer(), "/springs/0/name", json!(" ")).contains("letters"));
}

#[test]
fn a_control_comes_back() {
    let control = feel_controls::gimbal();
    comes_back(&control);
    comes_back(control.spec());
    comes_back(&control.state(&[0.1, -0.1]).unwrap());
    let [lever, ground] = [
        anchor(Body::Lever, 0.0, 10.0, 60.0),
        anchor(Body::Ground, 0.0, 90.0, 60.0),
    ];
    comes_back(&Element::Friction(
        Friction::in_joints(lever, ground, 0.01).unwrap(),
    ));
    comes_back(&feel_controls::bearing_friction(0.1));
    comes_back(&feel_controls::breakout(0.3, 1.0));
    comes_back(&MagnetPair::new(
        Body::Lever,
        group(),
        Body::Ground,
        group(),
    ));
    let plain = feel_controls::lever(feel_controls::opposed(500.0, 80.0 * MM));
    let way = Way::FIRST;
    let centering: Centering = plain.centering(way).unwrap();
    comes_back(&centering);
    comes_back(&FreeResponseSpec {
        way,
        start: 0.1,
        duration: 1.0,
        points: 100,
        rebound: 0.3,
    });
    comes_back(&SpringDemand {
        way,
        body: Body::Lever,
        on_body: [Point3::new(0.0, -0.01, 0.03), Point3::new(0.0, 0.01, 0.07)],
        on_ground: [Point3::new(0.0, 0.1, 0.03), Point3::new(0.0, 0.2, 0.07)],
        layout: SpringLayout::Single,
        choices: vec![
            SpringChoice::Spring(cord().into()),
            SpringChoice::Captured {
                rate: 900.0,
                stroke: 0.05,
                preload: [1.0, 9.0],
            },
        ],
        may_be_slack: false,
        full_force: Some(TargetValue {
            value: 9.0,
            tolerance: 0.2,
        }),
        gradient: None,
        breakout: None,
        starts: 10,
    });
}

#[test]
fn no_control_is_read_that_none_makes() {
    let control = feel_controls::gimbal();
    assert!(changed(&control, "/travel", json!([])).contains("travels of the control"));
    assert!(changed(&control, "/elements/0/Line/a/body", json!({"Driven": 7})).contains("body"));
    assert!(
        changed(&control, "/elements/0/Line/a/point/0", json!(20.0))
            .contains("coordinate of an anchor")
    );
    assert!(
        changed(
            &control,
            "/elements/2/Line/law/Captured/stroke",
            json!(-1.0)
        )
        .contains("stroke")
    );
    assert!(
        changed(&control, "/elements/5/Cam/rate", json!(-1.0)).contains("rate of the follower")
    );
    assert!(changed(&control, "/elements/6/Mass/mass", json!(-1.0)).contains("mass"));
    assert!(
        changed(
            &feel_controls::bearing_friction(0.1),
            "/Friction/torque",
            json!(-1.0)
        )
        .contains("friction torque")
    );
    assert!(
        changed(
            &feel_controls::breakout(0.3, 1.0),
            "/Breakout/center",
            json!(90.0)
        )
        .contains("center")
    );
    let Some(Element::Cam(cam)) = control.spec().elements.get(5) else {
        panic!("a cam");
    };
    let cam: &Cam = cam;
    assert!(changed(cam, "/angles/1", json!(-0.5)).contains("angle"));
}

#[test]
fn an_axis_comes_back() {
    let axis = common::axis();
    comes_back(&axis);
    comes_back(axis.spec());
    comes_back(&common::layout());
    comes_back(&common::layout_spec());
    let demand = ArrangementDemand {
        max_linearity: 0.05,
        ..ArrangementDemand::new(
            vec![common::layout().into()],
            vec![common::sensor().into()],
            common::converter(),
            [-6.0 * DEG, 6.0 * DEG],
            vec![
                VariedMeasure::new(Measure::Arm, [8.0 * MM, 16.0 * MM]),
                VariedMeasure::new(Measure::Gap, [1.0 * MM, 4.0 * MM]),
            ],
        )
    };
    comes_back(&demand);
    let found = search_arrangements(&demand).unwrap().result.found;
    comes_back(&found[0]);

    assert!(changed(&axis, "/throw", json!([-6.0, 6.0])).contains("did you mean -6 * DEG?"));
    assert!(changed(&axis, "/sensor/linear/supply", json!(50.0)).contains("sensor supply = 50 V"));
    assert!(changed(&axis, "/direction", json!([0.0, 0.0, 0.0])).contains("direction"));
    assert!(changed(&common::layout(), "/gap", json!(-1.0)).contains("gap"));
}

/// What a search gives, with found and without, and with a figure that is no number.
#[test]
fn results_of_searches_come_back() {
    let wanted = SizingTarget::Rate {
        rate: 2000.0,
        preload: 20.0,
        start_length: None,
    };
    let wires = vec![Wire::named("EN 10270-1 SM").unwrap()];
    let demand = CompressionDemand::new(wires, wanted, 15.0 * MM);
    let found = search_compression_springs(&demand).unwrap();
    assert!(!found.found.is_empty() && !found.rejected.is_empty());
    comes_back(&found);
    let narrow = CompressionDemand {
        bore: Some(4.0 * MM),
        ..demand
    };
    let none = search_compression_springs(&narrow).unwrap();
    assert!(none.nearest.is_some());
    comes_back(&none);
    // The error names the same figures, whichever it comes from.
    let text = serde_json::to_string(&none).unwrap();
    let read: SearchResult<SizedSpring> = serde_json::from_str(&text).unwrap();
    assert_eq!(read.best().unwrap_err(), none.best().unwrap_err());

    let worst = none.nearest.unwrap().shortfalls[0];
    let stored = serde_json::to_value(worst).unwrap();
    let with = |key: &str, value: Value| {
        let mut stored = stored.clone();
        stored[key] = value;
        serde_json::from_value::<Shortfall>(stored)
    };
    assert!(with("value", Value::Null).unwrap().value.is_nan());
    assert_eq!(with("share", Value::Null).unwrap().share, f64::INFINITY);
    let of = |reason: String| {
        let mut stored = stored.clone();
        stored["requirement"]["reason"] = json!(reason);
        serde_json::from_value::<Shortfall>(stored)
    };
    assert_eq!(
        of("as it likes".into()).unwrap().requirement.reason(),
        "as it likes"
    );
    let error = of("long ".repeat(100)).unwrap_err().to_string();
    assert!(
        error.contains("500 bytes") && error.contains("400"),
        "{error}"
    );
}

#[test]
fn working_points_and_published_figures_come_back() {
    let grade = Grade::named("N42").unwrap();
    let point = WorkingPoint::new(&grade, RatedBound::Lowest, Load::alone(0.3)).unwrap();
    comes_back(&point);
    assert!(changed(&point, "/load/celsius", json!(500.0)).contains("500"));

    let measured = ControlMeasurements {
        force: Some(60.0),
        ..ControlMeasurements::default()
    };
    let compared =
        compare_with_guidance(ControlKind::Stick, GuidanceMotion::Roll, &measured).unwrap();
    assert!(compared.len() > 1);
    for one in &compared {
        comes_back(one);
    }
    for figure in guides() {
        comes_back(figure);
    }
    // A figure that the table does not print is none of its figures.
    let printed = guides()[0].printed;
    assert!(changed(&guides()[0], "/printed", json!(printed + 1.0)).contains(guides()[0].name));
    assert!(changed(&guides()[0], "/note", json!("of my own")).contains(guides()[0].name));
}

/// A misspelt key would else be passed over, and what it says be taken as not said.
#[test]
fn a_key_that_nothing_has_is_refused() {
    let mut stored = serde_json::to_value(torsion()).unwrap();
    stored["arbour"] = json!(0.01);
    let error = serde_json::from_value::<TorsionSpring>(stored)
        .unwrap_err()
        .to_string();
    assert!(error.contains("unknown field `arbour`"), "{error}");
}

#[test]
fn a_spec_and_what_it_makes_become_one_another() {
    let spec: TorsionSpringSpec = torsion().into();
    assert_eq!(TorsionSpring::try_from(spec).unwrap(), torsion());
    let bad = common::sensor_spec();
    assert!(
        LinearHall::try_from(yokewright::hall::LinearHallSpec {
            supply: 50.0,
            ..bad
        })
        .is_err()
    );
    let control: Control = feel_controls::gimbal();
    assert_eq!(Control::try_from(control.spec().clone()).unwrap(), control);
}
