//! Sticks: both axes at once, where each part stands, and what is wrong with one.

use nalgebra::{Isometry3, Matrix3, Point3, Rotation3, Translation3, UnitQuaternion, Vector3};
use yokewright::axis::{
    Arrangement, CarriedMagnets, CarriedSensor, Carrier, Moving, ReadBy, SwungLayout,
    SwungLayoutSpec, TwoAxis, TwoAxisSpec,
};
use yokewright::hall::{Converter, LinearHall};
use yokewright::linkage::{Gate, Gimbal, GimbalAxis, GimbalSpec, Pivot};
use yokewright::magnet::{Block, FieldSource};
use yokewright::rig::{Design, DesignError, Problem};
use yokewright::units::{DEG, MM, MT};

const STICK: &str = r#"title = "stick"
[magnet.cube]
size_mm = [5.0, 5.0, 5.0]
polarization_mT = [0.0, 1200.0, 0.0]
[sensor.hall]
typical = "chopped 3.3 V 15 mV/mT"
[sensor.pot]
kind = "potentiometer"
typical = "10 kilohm 300 degrees"
[plate.sensor_side]
distance_mm = 1.0
holder = "sensor"
[converter.board]
typical = "12 bit 3.3 V"
[[stick]]
name = "stick"
stick_mm = [[0.0, 0.0, 0.0], [0.0, 0.0, 400.0]]
[stick.outer]
name = "pitch"
throw_deg = [-10.0, 9.5]
magnet = "cube"
sensor = "hall"
converter = "board"
magnet_on = "ring"
sensor_on = "frame"
arm_direction = [-1.0, 0.0, 0.0]
along_mm = 50.0
arm_mm = 20.0
gap_mm = 6.5
[stick.inner]
name = "roll"
throw_deg = [-9.0, 8.0]
magnet = "cube"
sensor = "hall"
converter = "board"
magnet_on = "stick"
sensor_on = "ring"
arm_direction = [0.0, 0.3, -1.0]
along_mm = 10.0
arm_mm = 20.0
gap_mm = 7.5
"#;

fn with(from: &str, to: &str) -> Result<Design, DesignError> {
    assert!(STICK.contains(from), "{from}");
    Design::parse(&STICK.replacen(from, to, 1), "stick.toml")
}

fn built(text: &str) -> Design {
    Design::parse(text, "stick.toml").unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn a_stick_is_the_one_that_is_built_by_hand() {
    let design = built(STICK);
    let [stick] = design.sticks() else {
        panic!("one stick")
    };
    let cube = Block::new(
        Vector3::repeat(5.0 * MM),
        Vector3::new(0.0, 1200.0 * MT, 0.0),
        Isometry3::identity(),
    )
    .expect("a cube");
    let sensor = LinearHall::named("chopped 3.3 V 15 mV/mT").expect("in the table");
    let board = Converter::named("12 bit 3.3 V").expect("in the table");
    let part = |pivot: Vector3<f64>, arm: Vector3<f64>, along: f64, gap: f64| {
        let layout = SwungLayout::new(SwungLayoutSpec::new(cube.clone(), 20.0 * MM, gap * MM));
        let layout = layout.expect("a layout");
        // z along the pivot, x along what of the arm is across it.
        let x = (arm - pivot * pivot.dot(&arm)).normalize();
        let columns = Matrix3::from_columns(&[x, pivot.cross(&x), pivot]);
        let rotation = Rotation3::from_matrix_unchecked(columns);
        let place = Isometry3::from_parts(
            Translation3::from(pivot * along),
            UnitQuaternion::from_rotation_matrix(&rotation),
        );
        (layout, place)
    };
    let (pitch, at_pitch) = part(Vector3::y(), -Vector3::x(), 50.0 * MM, 6.5);
    let (roll, at_roll) = part(Vector3::x(), Vector3::new(0.0, 0.3, -1.0), 10.0 * MM, 7.5);
    let carried = |layout: &SwungLayout, place: &Isometry3<f64>, magnet, sensor_on, read_by| {
        let magnets = layout.source().moved(place).expect("it can stand there");
        let pose = place * layout.sensor_pose();
        (
            CarriedMagnets::new(magnets, magnet, read_by),
            CarriedSensor::new(sensor.clone(), pose, sensor_on, board.clone()),
        )
    };
    let (outer_magnet, outer) = carried(
        &pitch,
        &at_pitch,
        Carrier::Ring,
        Carrier::Frame,
        ReadBy::Outer,
    );
    let (inner_magnet, inner) = carried(
        &roll,
        &at_roll,
        Carrier::Stick,
        Carrier::Ring,
        ReadBy::Inner,
    );
    let gimbal = Gimbal::new(GimbalSpec::new(
        Pivot::new(Point3::origin(), Vector3::y()).expect("an axis"),
        Pivot::new(Point3::origin(), Vector3::x()).expect("an axis"),
        vec![Point3::origin(), Point3::new(0.0, 0.0, 400.0 * MM)],
    ));
    let gate = Gate::square([-10.0 * DEG, 9.5 * DEG], [-9.0 * DEG, 8.0 * DEG]);
    let by_hand = TwoAxis::new(TwoAxisSpec::new(
        gimbal.expect("a gimbal"),
        gate.expect("a gate"),
        vec![outer_magnet, inner_magnet],
        outer,
        inner,
    ))
    .expect("it goes together");
    let two_axis = stick.two_axis().expect("it goes together");
    // The arm of roll is brought to length one in another order.
    for (outer, inner) in [
        (0.0, 0.0),
        (9.0 * DEG, -5.0 * DEG),
        (-10.0 * DEG, 8.0 * DEG),
    ] {
        let [a, b] = [two_axis, &by_hand].map(|two| two.flux_at(outer, inner).expect("a field"));
        assert!(
            (a[0] - b[0]).abs() < 1e-14 && (a[1] - b[1]).abs() < 1e-14,
            "{a:?} {b:?}"
        );
    }
    assert_eq!(two_axis.travel(), by_hand.travel());
    // By itself an axis reads what it reads in the stick without the other magnet.
    let alone = stick
        .axis(GimbalAxis::Outer)
        .axis()
        .expect("it goes together");
    assert_eq!(alone.spec().moving, Moving::Magnets);
    assert!((alone.spec().lever.expect("the grip") - 400.0 * MM).abs() < 1e-15);
    let only = TwoAxis::new(TwoAxisSpec {
        magnets: by_hand.spec().magnets[..1].to_vec(),
        ..by_hand.spec().clone()
    })
    .expect("it goes together");
    for angle in [-10.0, -3.0, 0.0, 9.5] {
        let [together, _] = only.flux_at(angle * DEG, 0.0).expect("a field");
        let own = alone.flux_at(angle * DEG).expect("a field");
        assert!((own - together).abs() < 1e-14, "{angle}: {own} {together}");
    }
}

#[test]
fn an_evaluated_stick_tells_crosstalk_and_its_cause() {
    let evaluation = built(STICK).evaluate(101).expect("it sweeps");
    assert_eq!(evaluation.broken(), []);
    let names: Vec<&str> = evaluation.axes().iter().map(|axis| axis.name()).collect();
    assert_eq!(names, ["pitch", "roll"]);
    let stick = &evaluation.sticks()[0];
    let two_axis = stick.two_axis();
    assert_eq!(stick.crosstalk(), &two_axis.crosstalk(21).expect("clear"));
    for (axis, crosstalk) in evaluation
        .axes()
        .iter()
        .zip([&stick.crosstalk().outer, &stick.crosstalk().inner])
    {
        assert_eq!(axis.stick(), Some("stick"));
        let budget = axis.error_budget().expect("it tells positions");
        let line = budget.of(yokewright::axis::ErrorCause::Crosstalk);
        let step = axis
            .figures()
            .step_quantization_worst()
            .expect("it tells positions");
        assert!((line.angle - crosstalk.worst.counts * step).abs() <= 1e-12 * line.angle);
    }
    // Carried by the stick the magnet of pitch moves past its sensor when the stick rolls.
    let text = STICK.replacen("magnet_on = \"ring\"", "magnet_on = \"stick\"", 1);
    let worse = built(&text).evaluate(101).expect("it sweeps");
    let [before, after] =
        [&evaluation, &worse].map(|e| e.sticks()[0].crosstalk().outer.worst.counts);
    assert!(after > 20.0 * before, "{before} {after}");
    // What the file says of crosstalk counts instead of what is computed.
    let given = STICK.replacen(
        "[stick.inner]",
        "[stick.outer.error_budget]\ncrosstalk_counts = 7.0\n[stick.inner]",
        1,
    );
    let evaluation = built(&given).evaluate(101).expect("it sweeps");
    let axis = &evaluation.axes()[0];
    let line = axis
        .error_budget()
        .expect("it tells")
        .of(yokewright::axis::ErrorCause::Crosstalk)
        .angle;
    let step = axis.figures().step_quantization_worst().expect("it tells");
    assert!((line - 7.0 * step).abs() < 1e-12 * line);
}

#[test]
fn what_a_stick_cannot_be_is_told_at_its_key() {
    for (from, to, key, words) in [
        (
            "sensor_on = \"frame\"",
            "sensor_on = \"ring\"",
            "sensor_on",
            "moves against each other",
        ),
        (
            "magnet_on = \"stick\"",
            "magnet_on = \"frame\"",
            "sensor_on",
            "the inner axis",
        ),
        (
            "arm_direction = [-1.0, 0.0, 0.0]",
            "arm_direction = [0.0, 1.0, 0.0]",
            "arm_direction",
            "length zero",
        ),
        (
            "arm_direction = [-1.0, 0.0, 0.0]",
            "arm_direction = [0.0, 0.0, 0.0]",
            "arm_direction",
            "length zero",
        ),
        (
            "arm_direction = [-1.0, 0.0, 0.0]",
            "arm_direction = [0.0, -1e-160, 0.0]",
            "arm_direction",
            "length zero",
        ),
        (
            "gap_mm = 6.5",
            "gap_mm = 6.5\nplate = \"sensor_side\"",
            "plate",
            "goes with the magnets",
        ),
        (
            "name = \"roll\"",
            "name = \"pitch\"",
            "name",
            "has this name already",
        ),
        (
            "name = \"roll\"",
            "name = \"stick\"",
            "name",
            "has this name already",
        ),
        (
            "[stick.inner]",
            "[stick.innner]",
            "innner",
            "did you mean inner?",
        ),
        (
            "stick_mm = [[0.0, 0.0, 0.0]",
            "outer_direction = [0.0, 0.0, 0.0]\nstick_mm = [[0.0, 0.0, 0.0]",
            "outer_direction",
            "length zero",
        ),
        (
            "stick_mm = [[0.0, 0.0, 0.0], [0.0, 0.0, 400.0]]",
            "stick_mm = [[0.0, 0.0, 0.0]]",
            "stick_mm",
            "2 to 100 lists",
        ),
    ] {
        let error = with(from, to).expect_err(to);
        let all: Vec<&DesignError> = std::iter::once(&error).chain(&error.others).collect();
        let told = all.iter().any(|mistake| {
            mistake.key.ends_with(key) && mistake.problem.to_string().contains(words)
        });
        assert!(told, "{to}: {error}");
    }
    // A potentiometer sits on the shaft, and goes past nothing.
    let error = with("sensor = \"hall\"", "sensor = \"pot\"").expect_err("it keeps its magnet");
    let all: Vec<&DesignError> = std::iter::once(&error).chain(&error.others).collect();
    for key in [
        "magnet",
        "magnet_on",
        "sensor_on",
        "arm_direction",
        "along_mm",
    ] {
        let key = format!("stick.outer.{key}");
        let told = |mistake: &&&DesignError| mistake.key == key;
        let mistake = all
            .iter()
            .find(told)
            .unwrap_or_else(|| panic!("{key}: {error}"));
        assert!(mistake.problem.to_string().contains("\"potentiometer\""));
    }
    // An axis of a stick sits on its pivot.
    let error = with("[stick.inner]", "drive = \"rods\"\n[stick.inner]").expect_err("no drive");
    assert_eq!(error.key, "stick.outer.drive");
    // Without its inner axis it is none.
    let text = &STICK[..STICK.find("[stick.inner]").expect("it is there")];
    let error = Design::parse(text, "stick.toml").expect_err("one axis only");
    assert!(
        matches!(*error.problem, Problem::MissingKey { .. }),
        "{error}"
    );
    assert_eq!(error.key, "stick.inner");
    // Axes that are nearly parallel make no gimbal.
    let error =
        with("stick_mm", "inner_direction = [0.1, 1.0, 0.0]\nstick_mm").expect_err("parallel");
    assert!(matches!(*error.problem, Problem::Refused(_)), "{error}");
}

/// The stick with a potentiometer on the shaft of roll.
fn with_pot() -> String {
    let (outer, inner) = STICK.split_at(STICK.find("[stick.inner]").expect("it is there"));
    let inner: Vec<&str> = inner
        .lines()
        .filter(|line| {
            let key = line.split(" =").next().unwrap_or_default();
            ![
                "magnet",
                "magnet_on",
                "sensor_on",
                "arm_direction",
                "along_mm",
                "arm_mm",
                "gap_mm",
            ]
            .contains(&key)
        })
        .collect();
    format!("{outer}{}\n", inner.join("\n")).replace(
        "[-9.0, 8.0]\nsensor = \"hall\"",
        "[-9.0, 8.0]\nsensor = \"pot\"",
    )
}

#[test]
fn a_potentiometer_on_a_stick_reads_its_own_axis_alone() {
    let design = built(&with_pot());
    let stick = &design.sticks()[0];
    let two_axis = stick.two_axis().expect("it goes together");
    assert_eq!(two_axis.spec().magnets.len(), 1);
    let roll = stick.axis(GimbalAxis::Inner).axis().expect("it reads");
    let sweep = roll.sweep(18).expect("it turns");
    for (i, &angle) in sweep.angle().iter().enumerate() {
        for pitch in [-10.0 * DEG, 0.0, 9.5 * DEG] {
            let reading = two_axis.reading_at(pitch, angle).expect("a reading");
            assert_eq!(reading.counts[1], sweep.counts()[i]);
        }
    }
    let evaluation = design.evaluate(101).expect("it sweeps");
    assert_eq!(evaluation.broken(), []);
    let stick = &evaluation.sticks()[0];
    let crosstalk = stick.crosstalk();
    // With the only magnet on the ring nothing moves past pitch's sensor when the stick rolls.
    assert_eq!(
        [&crosstalk.outer, &crosstalk.inner].map(|one| one.worst.counts),
        [0.0; 2]
    );
    assert!(stick.correction().is_some());
    assert_eq!(stick.clearance()[1], 100.0);
}

/// Sensor, temperature, filter and averaging are those of the axis: with the other at zero and without its magnet each
/// reads what it reads by itself.
#[test]
fn an_axis_of_a_stick_takes_what_an_axis_takes() {
    let chain = "[filter.slow]\ncutoff_Hz = 800.0\n[averaging.eight]\nsamples = 8\ninterval_ms = 0.5\n\
                 [sensor.angle]\nkind = \"angle\"\nbits = 14\ndepth_mm = 0.4\nnoise_mT = 0.05\n\
                 offsets_mT = [0.3, -0.2]\n[[stick]]";
    let text = STICK
        .replace("[[stick]]", chain)
        .replace(
            "polarization_mT = [0.0, 1200.0, 0.0]",
            "polarization_mT = [0.0, 1200.0, 0.0]\nremanence_drift_percent_per_K = -0.11",
        )
        .replace(
            "throw_deg = [-10.0, 9.5]",
            "throw_deg = [-10.0, 9.5]\ntemperature_degC = 45.0\nfilter = \"slow\"\naveraging = \"eight\"",
        )
        .replace(
            "[-9.0, 8.0]\nmagnet = \"cube\"\nsensor = \"hall\"\nconverter = \"board\"",
            "[-9.0, 8.0]\ntemperature_degC = -10.0\nmagnet = \"cube\"\nsensor = \"angle\"\n\
             arrangement = \"shaft end\"",
        )
        .replace("arm_mm = 20.0\ngap_mm = 7.5", "gap_mm = 3.0");
    let design = built(&text);
    let stick = &design.sticks()[0];
    let both = stick.two_axis().expect("it goes together");
    let spec = both.spec();
    assert!(spec.outer.filter.is_some() && spec.outer.averaging.is_some());
    assert_eq!(
        (spec.outer.celsius, spec.inner.celsius),
        (Some(45.0), Some(-10.0))
    );
    // Programmed where it stands, among all magnets.
    let center = both.reading_at(0.0, 0.0).expect("a reading");
    assert!(center.read_angle[1].expect("an angle").abs() < 1e-12);
    assert_eq!(center.counts[1], 8192);
    for (i, which) in [GimbalAxis::Outer, GimbalAxis::Inner]
        .into_iter()
        .enumerate()
    {
        let alone = stick.axis(which).axis().expect("it reads");
        let mut only = TwoAxisSpec {
            magnets: vec![spec.magnets[i].clone()],
            ..spec.clone()
        };
        if i == 1 {
            // As the axis by itself is programmed.
            only.inner.sensor = alone.spec().sensor.clone();
        }
        let only = TwoAxis::new(only).expect("it goes together");
        let sweep = alone.sweep(31).expect("it sweeps");
        for (k, &angle) in sweep.angle().iter().enumerate() {
            let [outer, inner] = if i == 0 { [angle, 0.0] } else { [0.0, angle] };
            let reading = only.reading_at(outer, inner).expect("a reading");
            let (found, expected) = match i {
                0 => (reading.flux[0], sweep.flux()),
                _ => (reading.read_angle[1], sweep.read_angle()),
            };
            // Places of some centimeters, turned in another order.
            let off = found.expect("it reads") - expected.expect("it reads")[k];
            assert!(off.abs() < 1e-12, "{which} {angle} {off}");
        }
    }
    let evaluation = design.evaluate(101).expect("it sweeps");
    assert_eq!(evaluation.broken(), []);
    let crosstalk = evaluation.sticks()[0].crosstalk();
    assert!(crosstalk.inner.worst.read_angle.is_some() && crosstalk.outer.worst.flux.is_some());
}

#[test]
fn an_angle_sensor_that_sees_too_little_in_the_gate_is_told() {
    let text = STICK
        .replace(
            "[[stick]]",
            "[sensor.angle]\nkind = \"angle\"\nbits = 14\ndepth_mm = 0.4\nworking_flux_mT = [300.0, 400.0]\n[[stick]]",
        )
        .replace(
            "[-9.0, 8.0]\nmagnet = \"cube\"\nsensor = \"hall\"\nconverter = \"board\"",
            "[-9.0, 8.0]\nmagnet = \"cube\"\nsensor = \"angle\"\narrangement = \"shaft end\"",
        )
        .replace("arm_mm = 20.0\ngap_mm = 7.5", "gap_mm = 3.0");
    let evaluation = built(&text).evaluate(101).expect("it sweeps");
    assert_eq!(evaluation.broken(), []);
    let stick = &evaluation.sticks()[0];
    let ranges = stick.two_axis().field_ranges().expect("it sees a field");
    assert_eq!(ranges[0], None);
    let [least, most] = ranges[1].expect("an angle sensor");
    let note = format!(
        "roll: the sensor sees {:.1} to {:.1} mT over the gate, but keeps its data sheet at 300.0 to 400.0 mT only",
        least * 1e3,
        most * 1e3
    );
    assert!(stick.notes().contains(&note), "{:?}", stick.notes());
}

#[test]
fn one_broken_axis_of_a_stick_leaves_the_other() {
    // Roll's sensor pushed into its magnet.
    let design = with(
        "gap_mm = 7.5",
        "gap_mm = 7.5\noffset_mm = [-10.0, 0.0, 0.0]",
    )
    .expect("each is in range");
    let evaluation = design.evaluate(101).expect("the other sweeps");
    let names: Vec<&str> = evaluation.axes().iter().map(|axis| axis.name()).collect();
    assert_eq!(names, ["pitch"]);
    assert!(evaluation.sticks().is_empty() || evaluation.broken().len() == 1);
    assert!(
        evaluation
            .broken()
            .iter()
            .any(|control| control.reason().contains("collide")),
        "{evaluation}"
    );
}

#[test]
fn gates_of_every_shape() {
    for gate in [
        "gate = \"round\"\ngate_tilt_deg = 12.0\n",
        "gate = \"polygon\"\ngate_corners_deg = [[-10.0, 0.0], [0.0, -10.0], [10.0, 0.0], [0.0, 10.0]]\n",
    ] {
        let design = with("stick_mm", &format!("{gate}stick_mm")).expect("it is good");
        let two_axis = design.sticks()[0]
            .two_axis()
            .expect("it goes together")
            .clone();
        let expected = if gate.contains("round") {
            Gate::round(12.0 * DEG)
        } else {
            Gate::polygon(
                vec![[-10.0, 0.0], [0.0, -10.0], [10.0, 0.0], [0.0, 10.0]]
                    .into_iter()
                    .map(|c| c.map(|a: f64| a * DEG))
                    .collect(),
            )
        };
        assert_eq!(two_axis.spec().gate, expected.expect("a gate"));
    }
}

#[test]
fn two_sensors_on_one_input_of_a_converter_are_told() {
    let on = |outer: &str, inner: &str| {
        let converter = "converter = \"board\"\n";
        let [before, between, after] = STICK.splitn(3, converter).collect::<Vec<_>>()[..] else {
            panic!("both axes have it");
        };
        let wired = |channel: &str| format!("{converter}channel = \"{channel}\"\n");
        let text = [before, &wired(outer), between, &wired(inner), after].concat();
        Design::parse(&text, "stick.toml")
    };
    let design = on("A0", "A1").expect("two inputs");
    let [stick] = design.sticks() else {
        panic!("one stick");
    };
    assert_eq!(stick.axis(GimbalAxis::Outer).channel(), Some("A0"));
    assert_eq!(stick.axis(GimbalAxis::Inner).channel(), Some("A1"));
    let error = on("A0", "A0").expect_err("one input");
    assert!(error.key.ends_with("channel"), "{error}");
    assert!(
        error
            .to_string()
            .contains("another sensor is wired to this input of the converter \"board\""),
        "{error}"
    );
}
