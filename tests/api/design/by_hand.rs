//! What a file describes is the axis that is built by hand: every arrangement, sensor and drive.

use nalgebra::{Isometry3, Point2, Point3, Vector2, Vector3};
use yokewright::Result;
use yokewright::axis::{
    Arrangement, Axis, AxisSpec, BackPlate, CalibrationMethod, ErrorBudgetSpec, HeadOnLayout,
    HeadOnLayoutSpec, MagnetSide, Mounting, Moving, PairCarrier, PairLayout, PairLayoutSpec,
    PlateHolder, SensorPackage, ShaftEndLayout, ShaftEndLayoutSpec, ShaftSide, SwungLayout,
    SwungLayoutSpec,
};
use yokewright::hall::{
    AngleOutput, AngleSensor, AngleSensorSpec, Averaging, Converter, HallVariation, LinearHall,
    LinearHallSpec, LowPass, Potentiometer, PotentiometerSpec, RotationSense, Rounding,
};
use yokewright::linkage::{
    AnyTransmission, Arm, Assembly, BallRod, BallRodSpec, CenteredFourBar, FixedRatio, Pedal,
    PedalMember, PedalPair, TransmissionChain, UniversalJoint,
};
use yokewright::magnet::material::Grade;
use yokewright::magnet::{Block, Cylinder, Magnet, Ring, Sphere};
use yokewright::pose;
use yokewright::rig::Design;
use yokewright::units::{DEG, MM, MT, MV, MV_PER_MT};

const LINEAR: &str = "\
supply_V = 3.3\nnominal_supply_V = 5.0\nquiescent_V = 2.5\nsensitivity_mV_per_mT = 15.0\nrail_low_V = 0.2
rail_headroom_V = 0.3\nnoise_mV = 1.0\ndepth_mm = 0.5\n";

fn linear_spec() -> LinearHallSpec {
    LinearHallSpec {
        supply: 3.3,
        nominal_supply: 5.0,
        quiescent: 2.5,
        sensitivity: 15.0 * MV_PER_MT,
        rail_low: 0.2,
        rail_headroom: 0.3,
        noise: 1.0 * MV,
        depth: 0.5 * MM,
        ..LinearHallSpec::new(5.0, 25.0)
    }
}

fn linear() -> LinearHall {
    LinearHall::new(linear_spec()).expect("a plausible sensor")
}

fn converter() -> Converter {
    Converter::new(12, 3.3, Rounding::Nearest, 0.0).expect("a plausible converter")
}

fn cube() -> Magnet {
    let j = Vector3::new(0.0, 1300.0 * MT, 0.0);
    let cube = Block::new(Vector3::repeat(8.0 * MM), j, Isometry3::identity());
    cube.expect("a plausible magnet").into()
}

const CUBE: &str = "size_mm = [8.0, 8.0, 8.0]\npolarization_mT = [0.0, 1300.0, 0.0]\n";
const THROW: [f64; 2] = [-10.0 * DEG, 12.0 * DEG];

/// A file with one axis: the lines of its magnet, of its sensor, of the axis itself, and of other parts.
fn file(magnet: &str, sensor: &str, axis: &str, others: &str) -> String {
    format!(
        "title = \"by hand\"\n[magnet.one]\n{magnet}\n[sensor.one]\n{sensor}\n[converter.one]\nbits = 12\n\
         reference_V = 3.3\n{others}\n[[axis]]\nname = \"x\"\nthrow_deg = [-10.0, 12.0]\nsensor = \"one\"\n{axis}\n"
    )
}

/// The axis of a file and one that is built by hand are the same, and so are their figures, to the last bit.
fn same(text: &str, by_hand: Result<Axis>) {
    let by_hand = by_hand.expect("it goes together");
    let design = Design::parse(text, "hand.toml").unwrap_or_else(|error| panic!("{error}\n{text}"));
    let axis = design.axes()[0]
        .axis()
        .unwrap_or_else(|error| panic!("{error}\n{text}"));
    assert_eq!(axis.spec(), by_hand.spec(), "{text}");
    let evaluation = design.evaluate(101).expect("it sweeps");
    let evaluated = &evaluation.axes()[0];
    assert_eq!(
        evaluated.figures(),
        &by_hand.figures(101).expect("it sweeps")
    );
    assert_eq!(evaluated.sweep(), &by_hand.sweep(101).expect("it sweeps"));
    let budget = by_hand.error_budget(design.axes()[0].error_budget()).ok();
    assert_eq!(evaluated.error_budget(), budget.as_ref());
}

const PLAIN: &str = "magnet = \"one\"\nconverter = \"one\"\narm_mm = 10.0\ngap_mm = 3.3\n";

fn swung() -> SwungLayout {
    SwungLayout::new(SwungLayoutSpec::new(cube(), 10.0 * MM, 3.3 * MM)).expect("a layout")
}

#[test]
fn a_magnet_swung_past_the_sensor() {
    let axis = swung().axis(THROW, linear(), converter(), Moving::Magnets);
    same(&file(CUBE, LINEAR, PLAIN, ""), axis);
}

#[test]
fn everything_that_an_axis_may_have() {
    let sensor = LinearHall::new(LinearHallSpec {
        direction: Vector3::new(0.0, 0.6, -0.8),
        area: [0.2 * MM, 0.3 * MM],
        bandwidth: Some(20e3),
        variation: HallVariation {
            sensitivity_tolerance: 0.05,
            quiescent_tolerance: 20.0 * MV,
            sensitivity_drift: 0.0012,
            quiescent_drift: -0.1 * MV,
            reference_celsius: 24.0,
        },
        ..linear_spec()
    });
    let board = Converter::new(12, 3.3, Rounding::Down, 0.4 * MV)
        .and_then(|board| board.with_nonlinearity(2.0))
        .and_then(|board| board.with_oversampling(4));
    let (sensor, board) = (sensor.expect("a sensor"), board.expect("a converter"));
    let layout = SwungLayout::new(SwungLayoutSpec {
        side: MagnetSide::Inner,
        mounting: Mounting {
            offset: Vector3::new(-0.1, 0.2, 0.3) * MM,
            magnet_tilt: Vector3::new(1.0, -2.0, 3.0) * DEG,
            sensor_tilt: Vector3::new(-1.0, 2.0, -3.0) * DEG,
            plate: Some(BackPlate {
                distance: 1.5 * MM,
                holder: PlateHolder::Sensor,
            }),
            package: Some(SensorPackage {
                width: 4.0 * MM,
                height: 3.0 * MM,
                thickness: 1.5 * MM,
            }),
        },
        ..SwungLayoutSpec::new(cube(), 30.0 * MM, 5.0 * MM)
    })
    .expect("a layout");
    let spec = AxisSpec {
        lever: Some(420.0 * MM),
        filter: Some(LowPass::from_rc(10e3, 100.0 / 1e9).expect("a filter")),
        averaging: Some(Averaging::new(8, 0.5 / 1e3).expect("averaging")),
        remanence_drift: -0.0012,
        reference_celsius: 21.0,
        celsius: Some(35.0),
        ..layout.axis_spec(THROW, sensor, board, Moving::Sensor)
    };
    let by_hand = layout.axis_of(spec);
    let magnet = format!("{CUBE}remanence_drift_percent_per_K = -0.12\nreference_degC = 21.0\n");
    let sensor = format!(
        "{LINEAR}direction = [0.0, 0.6, -0.8]\nactive_area_mm = [0.2, 0.3]\nbandwidth_Hz = 20000.0\n\
         sensitivity_tolerance_percent = 5.0\nquiescent_tolerance_mV = 20.0\n\
         sensitivity_drift_percent_per_K = 0.12\nquiescent_drift_mV_per_K = -0.1\nreference_degC = 24.0\n\
         package_mm = [4.0, 3.0, 1.5]\n"
    );
    let axis = "magnet = \"one\"\nconverter = \"two\"\narm_mm = 30.0\ngap_mm = 5.0\nside = \"inner\"\n\
         moving = \"sensor\"
offset_mm = [-0.1, 0.2, 0.3]\nmagnet_tilt_deg = [1.0, -2.0, 3.0]\nsensor_tilt_deg = [-1.0, 2.0, -3.0]\nplate = \"back\"
temperature_degC = 35.0\nlever_mm = 420.0\nfilter = \"rc\"\naveraging = \"eight\"\nprice = 3.5
[axis.error_budget]\ntemperatures_degC = [10.0, 50.0]\nsupply_tolerance_percent = 3.0\nratiometric_sensor = false
ratiometric_converter = false\nbacklash_deg = 0.1\npivot_backlash_deg = 0.2\nfriction_band_deg = 0.3
crosstalk_counts = 2.5\ncalibration = \"table\"\ncalibration_points = 7\n";
    let others = "[converter.two]\nbits = 12\nreference_V = 3.3\nrounding = \"down\"\nnoise_mV = 0.4\n\
                  nonlinearity_lsb = 2.0\noversampling = 4\n[plate.back]\ndistance_mm = 1.5\nholder = \"sensor\"\n\
                  [filter.rc]\nresistance_ohm = 10000.0\ncapacitance_nF = 100.0\n\
                  [averaging.eight]\nsamples = 8\ninterval_ms = 0.5\n";
    let text = file(&magnet, &sensor, axis, others);
    same(&text, by_hand);
    let design = Design::parse(&text, "hand.toml").expect("it is good");
    let asked = ErrorBudgetSpec {
        celsius: Some([10.0, 50.0]),
        supply_tolerance: 0.03,
        ratiometric_sensor: false,
        ratiometric_converter: false,
        control_backlash: 0.1 * DEG,
        pivot_backlash: 0.2 * DEG,
        friction_band: 0.3 * DEG,
        crosstalk: 2.5,
        calibration: CalibrationMethod::Table { points: 7 },
    };
    assert_eq!(design.axes()[0].error_budget(), &asked);
    assert_eq!(design.axes()[0].price(), Some(3.5));
}

#[test]
fn two_magnets_side_by_side() {
    let spec = PairLayoutSpec::new(cube(), 30.0 * MM, 4.0 * MM, 6.0 * MM).expect("a pair");
    let pair = |spec| {
        PairLayout::new(spec)
            .expect("a layout")
            .axis(THROW, linear(), converter(), Moving::Magnets)
    };
    let lines = "arrangement = \"pair\"\nmagnet = \"one\"\nconverter = \"one\"\narm_mm = 30.0\ngap_mm = 4.0\n\
         spacing_mm = 6.0\n";
    same(&file(CUBE, LINEAR, lines, ""), pair(spec.clone()));
    let second = Block::new(
        Vector3::new(3.0, 8.0, 6.0) * MM,
        Vector3::new(-1.1, 0.0, 0.0),
        Isometry3::identity(),
    );
    let spec = PairLayoutSpec {
        magnets: [cube(), second.expect("a magnet").into()],
        carrier: PairCarrier::Round,
        side: MagnetSide::Axial,
        ..spec
    };
    let lines = format!("{lines}second_magnet = \"two\"\ncarrier = \"round\"\nside = \"axial\"\n");
    let others = "[magnet.two]\nsize_mm = [3.0, 8.0, 6.0]\npolarization_mT = [-1100.0, 0.0, 0.0]\n";
    same(&file(CUBE, LINEAR, &lines, others), pair(spec));
}

#[test]
fn magnets_of_every_shape_and_by_grade() {
    let head_on = |magnet: Magnet| {
        let layout = HeadOnLayout::new(HeadOnLayoutSpec::new(magnet, 30.0 * MM, 8.0 * MM));
        layout
            .expect("a layout")
            .axis(THROW, linear(), converter(), Moving::Magnets)
    };
    let lines = "arrangement = \"head-on\"\nmagnet = \"one\"\nconverter = \"one\"\narm_mm = 30.0\ngap_mm = 8.0\n";
    let j = Vector3::new(100.0, 1000.0, 0.0) * MT;
    let polarization = "polarization_mT = [100.0, 1000.0, 0.0]\n";

    let ball = Sphere::new(6.0 * MM, j, Isometry3::identity()).expect("a ball");
    let text = format!("shape = \"sphere\"\ndiameter_mm = 6.0\n{polarization}");
    same(&file(&text, LINEAR, lines, ""), head_on(ball.into()));

    let along =
        pose::from_directions(Vector3::zeros(), Vector3::z(), Vector3::y()).expect("a pose");
    let own = along.rotation.inverse_transform_vector(&j);
    let ring = Ring::new(8.0 * MM, 3.0 * MM, 4.0 * MM, own, along).expect("a ring");
    let text = format!(
        "shape = \"ring\"\ndiameter_mm = 8.0\nbore_mm = 3.0\nlength_mm = 4.0\naxis = [0.0, 1.0, 0.0]\n{polarization}"
    );
    same(&file(&text, LINEAR, lines, ""), head_on(ring.into()));

    let disc = Cylinder::new(8.0 * MM, 4.0 * MM, j, Isometry3::identity()).expect("a disc");
    let text = format!("shape = \"cylinder\"\ndiameter_mm = 8.0\nlength_mm = 4.0\n{polarization}");
    // The axis of a round body has no sense.
    for axis in ["", "axis = [0.0, 0.0, -0.5]\n"] {
        same(
            &file(&format!("{text}{axis}"), LINEAR, lines, ""),
            head_on(disc.clone().into()),
        );
    }

    let grade = Grade::named("N42").expect("a grade");
    let j = grade.remanence().nominal() * Vector3::new(0.0, 0.6, 0.8);
    let block = Block::new(Vector3::repeat(8.0 * MM), j, Isometry3::identity()).expect("a block");
    let axis = |drift| {
        let layout = HeadOnLayout::new(HeadOnLayoutSpec::new(block.clone(), 30.0 * MM, 8.0 * MM))?;
        let spec = layout.axis_spec(THROW, linear(), converter(), Moving::Magnets);
        layout.axis_of(AxisSpec {
            remanence_drift: drift,
            ..spec
        })
    };
    let by_grade = "size_mm = [8.0, 8.0, 8.0]\ngrade = \"n42\"\ndirection = [0.0, 0.6, 0.8]\n";
    same(
        &file(by_grade, LINEAR, lines, ""),
        axis(grade.spec().remanence_coefficient),
    );
    let own = format!("{by_grade}remanence_drift_percent_per_K = -0.1\n");
    same(&file(&own, LINEAR, lines, ""), axis(-0.001));
}

#[test]
fn angle_sensors_on_a_shaft() {
    let magnet = Cylinder::new(
        6.0 * MM,
        2.5 * MM,
        Vector3::new(1.2, 0.0, 0.0),
        Isometry3::identity(),
    );
    let magnet = magnet.expect("a disc");
    let disc = "shape = \"cylinder\"\ndiameter_mm = 6.0\nlength_mm = 2.5\npolarization_mT = [1200.0, 0.0, 0.0]\n";
    let spec = ShaftEndLayoutSpec {
        eccentricity: Vector2::new(0.2, -0.1) * MM,
        ..ShaftEndLayoutSpec::new(magnet, 2.0 * MM)
    };
    let over = ShaftEndLayout::new(spec.clone()).expect("a layout");
    let lines = "arrangement = \"shaft end\"\nmagnet = \"one\"\ngap_mm = 2.0\neccentricity_mm = [0.2, -0.1]\n";

    let digital = AngleSensor::new(AngleSensorSpec {
        depth: 0.4 * MM,
        offsets: [0.3 * MT, -0.2 * MT],
        gain_mismatch: 0.01,
        nonorthogonality: 0.5 * DEG,
        noise: 0.01 * MT,
        working_flux: [30.0 * MT, 90.0 * MT],
        sense: RotationSense::Reverse,
        ..AngleSensorSpec::new(AngleOutput::Digital { bits: 12 })
    })
    .expect("a sensor");
    let sensor = "kind = \"angle\"\nbits = 12\ndepth_mm = 0.4\noffsets_mT = [0.3, -0.2]\ngain_mismatch_percent = 1.0
nonorthogonality_deg = 0.5\nnoise_mT = 0.01\nworking_flux_mT = [30.0, 90.0]\nsense = \"reverse\"\n";
    // A zero that is not given is programmed at the center.
    let axis = over.axis(THROW, digital.clone(), None, Moving::Magnets);
    same(
        &file(disc, sensor, lines, ""),
        axis.and_then(|axis| axis.zeroed()),
    );
    let zero = AngleSensor::new(AngleSensorSpec {
        zero: 20.0 * DEG,
        ..digital.spec().clone()
    });
    let axis = over.axis(THROW, zero.expect("a sensor"), None, Moving::Magnets);
    same(
        &file(disc, &format!("{sensor}zero_deg = 20.0\n"), lines, ""),
        axis,
    );

    let analog = AngleSensor::new(AngleSensorSpec {
        directions: [Vector3::y(), Vector3::z()],
        ..AngleSensorSpec::new(AngleOutput::Analog {
            supply: 3.3,
            low: 0.3,
            high: 3.0,
            range: 90.0 * DEG,
        })
    });
    let beside = ShaftEndLayout::new(ShaftEndLayoutSpec {
        side: ShaftSide::Beside,
        ..spec
    });
    let axis = beside.expect("a layout").axis(
        THROW,
        analog.expect("a sensor"),
        converter(),
        Moving::Magnets,
    );
    let sensor = "kind = \"angle\"\nsupply_V = 3.3\nlow_V = 0.3\nhigh_V = 3.0\nrange_deg = 90.0\ndepth_mm = 0.0
first_direction = [0.0, 1.0, 0.0]\nsecond_direction = [0.0, 0.0, 1.0]\n";
    let lines = format!("{lines}side = \"beside\"\nconverter = \"one\"\n");
    same(
        &file(disc, sensor, &lines, ""),
        axis.and_then(|axis| axis.zeroed()),
    );
}

#[test]
fn potentiometers() {
    let axis = |spec| {
        let pot = Potentiometer::new(spec).expect("a potentiometer");
        Axis::new(AxisSpec::on_shaft(THROW, pot, converter()))
    };
    let lines = "converter = \"one\"\n";
    let plain = "kind = \"potentiometer\"\ntravel_deg = 300.0\nsupply_V = 3.3\n";
    same(
        &file(CUBE, plain, lines, ""),
        axis(PotentiometerSpec::new(300.0 * DEG, 3.3)),
    );
    let full = format!(
        "{plain}mechanical_travel_deg = 320.0\nresistance_ohm = 5000.0\nend_resistances_ohm = [10.0, 20.0]\n\
         linearity_percent = 2.0\nnoise_mV = 0.5\nnoise_resistance_ohm = 50.0\nload_ohm = 1000000.0\n\
          center_deg = 100.0\n"
    );
    let spec = PotentiometerSpec {
        mechanical_travel: 320.0 * DEG,
        resistance: 5000.0,
        end_resistances: [10.0, 20.0],
        linearity: 0.02,
        noise: 0.5 * MV,
        noise_resistance: 50.0,
        load: Some(1e6),
        center: 100.0 * DEG,
        ..PotentiometerSpec::new(300.0 * DEG, 3.3)
    };
    same(&file(CUBE, &full, lines, ""), axis(spec));
    let typical = Potentiometer::named("10 kilohm 300 degrees").expect("it is in the table");
    let text = "kind = \"potentiometer\"\ntypical = \"10 kilohm 300 degrees\"\nsupply_V = 3.3\ntravel_deg = 60.0\n";
    let spec = PotentiometerSpec {
        supply: 3.3,
        travel: 60.0 * DEG,
        mechanical_travel: 60.0 * DEG,
        center: 0.5 * (60.0 * DEG),
        ..typical.spec().clone()
    };
    same(&file(CUBE, text, lines, ""), axis(spec));
}

#[test]
fn typical_parts_with_figures_of_ones_own() {
    let name = "chopped 3.3 V 15 mV/mT";
    let typical = LinearHall::named(name).expect("it is in the table");
    let text = format!("typical = \"{name}\"\ndepth_mm = 0.4\n");
    let own = LinearHall::new(LinearHallSpec {
        depth: 0.4 * MM,
        ..typical.spec().clone()
    });
    let board = Converter::named("12 bit 3.3 V").expect("it is in the table");
    let axis = swung().axis(THROW, own.expect("a sensor"), board, Moving::Magnets);
    let lines = PLAIN.replace("converter = \"one\"", "converter = \"board\"");
    same(
        &file(
            CUBE,
            &text,
            &lines,
            "[converter.board]\ntypical = \"12 bit 3.3 V\"\n",
        ),
        axis,
    );
    let angle = AngleSensor::named("shaft end analog 5 V").expect("it is in the table");
    let AngleOutput::Analog {
        supply, low, high, ..
    } = angle.spec().output
    else {
        panic!("it is analog")
    };
    let own = AngleSensor::new(AngleSensorSpec {
        output: AngleOutput::Analog {
            supply,
            low,
            high,
            range: 180.0 * DEG,
        },
        ..angle.spec().clone()
    });
    let axis = swung().axis(THROW, own.expect("a sensor"), converter(), Moving::Magnets);
    let text = "kind = \"angle\"\ntypical = \"shaft end analog 5 V\"\nrange_deg = 180.0\n";
    same(
        &file(CUBE, text, PLAIN, ""),
        axis.and_then(|axis| axis.zeroed()),
    );
}

#[test]
fn drives_of_every_kind() {
    let at = |x: f64, y: f64, z: f64| Point3::new(x * MM, y * MM, z * MM);
    let flat = |x: f64, y: f64| Point2::new(x * MM, y * MM);
    let driven = |drive: AnyTransmission| {
        let layout = SwungLayout::new(SwungLayoutSpec::new(cube(), 10.0 * MM, 6.0 * MM))?;
        let spec = layout.axis_spec(THROW, linear(), converter(), Moving::Magnets);
        layout.axis_of(AxisSpec { drive, ..spec })
    };
    let lines =
        "magnet = \"one\"\nconverter = \"one\"\narm_mm = 10.0\ngap_mm = 6.0\ndrive = \"it\"\n";
    let check = |text: &str, drive: AnyTransmission| {
        same(&file(CUBE, LINEAR, lines, text), driven(drive));
    };
    let gears = FixedRatio::new(-1.5).expect("gears");
    check(
        "[linkage.it]\nkind = \"fixed ratio\"\nratio = -1.5\n",
        gears.into(),
    );
    let joint = UniversalJoint::new(20.0 * DEG, 30.0 * DEG).expect("a joint");
    let joint_text = "kind = \"universal joint\"\nbend_deg = 20.0\nphase_deg = 30.0\n";
    check(&format!("[linkage.it]\n{joint_text}"), joint.into());
    let four_bar = CenteredFourBar::from_joints(
        flat(0.0, 0.0),
        flat(0.0, 50.0),
        flat(120.0, 40.0),
        flat(120.0, 10.0),
    );
    check(
        "[linkage.it]\nkind = \"four-bar\"\ncrank_pivot_mm = [0.0, 0.0]\ncrank_joint_mm = [0.0, 50.0]\n\
         rocker_joint_mm = [120.0, 40.0]\nrocker_pivot_mm = [120.0, 10.0]\n",
        four_bar.expect("a four-bar").into(),
    );
    let row = TransmissionChain::new(vec![joint.into(), gears.into()]).expect("a row");
    check(
        &format!(
            "[linkage.it]\nkind = \"row\"\nparts = [\"joint\", \"gears\"]\n[linkage.joint]\n{joint_text}\
             [linkage.gears]\nkind = \"fixed ratio\"\nratio = -1.5\n"
        ),
        row.into(),
    );

    let input = Arm::new(Point3::origin(), Vector3::y(), at(0.0, 0.0, 100.0)).expect("an arm");
    let input = input.with_stud(Vector3::y(), 25.0 * DEG).expect("a stud");
    let output = Arm::new(
        at(200.0, -60.0, 100.0),
        Vector3::z(),
        at(200.0, -10.0, 100.0),
    )
    .expect("an arm");
    let output = output.with_stud(Vector3::z(), None).expect("a stud");
    let rod = "kind = \"ball-joint rod\"\ninput_pivot_mm = [0.0, 0.0, 0.0]\ninput_axis = [0.0, 1.0, 0.0]
input_joint_mm = [0.0, 0.0, 100.0]\ninput_stud = [0.0, 1.0, 0.0]\ninput_swivel_deg = 25.0
output_pivot_mm = [200.0, -60.0, 100.0]\noutput_axis = [0.0, 0.0, 1.0]\noutput_joint_mm = [200.0, -10.0, 100.0]
output_stud = [0.0, 0.0, 1.0]\n";
    let plain = BallRod::new(input, output).expect("a rod");
    check(&format!("[linkage.it]\n{rod}"), plain.into());
    let spec = BallRodSpec {
        rod_length: Some(205.0 * MM),
        start: 3.0 * DEG,
        assembly: Assembly::Neutral,
        ..BallRodSpec::new(input, output)
    };
    check(
        &format!("[linkage.it]\n{rod}rod_mm = 205.0\nstart_deg = 3.0\nassembly = \"neutral\"\n"),
        BallRod::put_together(spec).expect("a rod").into(),
    );

    let hinge = Arm::new(at(0.0, 120.0, 0.0), Vector3::y(), at(0.0, 70.0, 90.0)).expect("a hinge");
    let left = Pedal::new(hinge, at(-10.0, 120.0, 180.0), Vector3::x()).expect("a pedal");
    let stopped = left.with_stops(-15.0 * DEG, 16.0 * DEG).expect("stops");
    let crank =
        Arm::new(at(-150.0, 0.0, 90.0), Vector3::z(), at(-150.0, 45.0, 90.0)).expect("a crank");
    let pedal = "hinge_axis = [0.0, 1.0, 0.0]\npush = [1.0, 0.0, 0.0]\n";
    let left_text = format!(
        "[pedal.left]\n{pedal}hinge_mm = [0.0, 120.0, 0.0]\njoint_mm = [0.0, 70.0, 90.0]\n\
         pad_mm = [-10.0, 120.0, 180.0]\n"
    );
    let crank_text = "kind = \"pedals\"\nleft = \"left\"\ncrank_pivot_mm = [-150.0, 0.0, 90.0]\n\
         crank_axis = [0.0, 0.0, 1.0]
crank_joint_mm = [-150.0, 45.0, 90.0]\n";
    let pair = PedalPair::mirrored(stopped, crank).expect("pedals");
    check(
        &format!(
            "{left_text}stops_deg = [-15.0, 16.0]\n[linkage.it]\n{crank_text}from = \"right\"\nto = \"crank\"\n"
        ),
        pair.transmission(PedalMember::Right, PedalMember::Crank)
            .into(),
    );
    let hinge =
        Arm::new(at(5.0, -120.0, 0.0), Vector3::y(), at(5.0, -70.0, 85.0)).expect("a hinge");
    let right = Pedal::new(hinge, at(-10.0, -120.0, 180.0), Vector3::x()).expect("a pedal");
    let right_crank =
        Arm::new(at(-150.0, 0.0, 90.0), Vector3::z(), at(-150.0, -40.0, 90.0)).expect("a crank");
    let pair = PedalPair::new(left, right, crank, right_crank)
        .and_then(|pair| pair.with_crank_stops(-30.0 * DEG, 31.0 * DEG));
    check(
        &format!(
            "{left_text}[pedal.right]\n{pedal}hinge_mm = [5.0, -120.0, 0.0]\njoint_mm = [5.0, -70.0, 85.0]\n\
             pad_mm = [-10.0, -120.0, 180.0]\n[linkage.it]\n{crank_text}right = \"right\"\n\
             right_crank_joint_mm = [-150.0, -40.0, 90.0]\ncrank_stops_deg = [-30.0, 31.0]\nfrom = \"left\"\n\
              to = \"crank\"\n"
        ),
        pair.expect("pedals")
            .transmission(PedalMember::Left, PedalMember::Crank)
            .into(),
    );
}
