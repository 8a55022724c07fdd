//! Sticks: where they may be, what they come near to, what the hand feels.

use nalgebra::{Point3, Vector3};
use yokewright::linkage::Obstacle;
use yokewright::rig::VerdictState;
use yokewright::units::{DEG, MM};

use super::{built, evaluated, near, read};

pub(super) const STICK: &str = r#"title = "stick"
[magnet.cube]
size_mm = [5.0, 5.0, 5.0]
polarization_mT = [0.0, 1200.0, 0.0]
[sensor.hall]
typical = "chopped 3.3 V 15 mV/mT"
[converter.board]
typical = "12 bit 3.3 V"
[spring.soft]
kind = "line"
rate_N_per_mm = 1.5
free_length_mm = 60.0
[[stick]]
name = "stick"
stick_mm = [[0.0, 0.0, 0.0], [0.0, 0.0, 200.0], [60.0, 0.0, 250.0], [60.0, 0.0, 400.0]]
diameter_mm = 20.0
grip_diameter_mm = 80.0
[[stick.obstacle]]
name = "panel"
shape = "block"
size_mm = [40.0, 500.0, 300.0]
center_mm = [300.0, 0.0, 400.0]
[[stick.obstacle]]
name = "thigh"
shape = "capsule"
from_mm = [-300.0, 250.0, 200.0]
to_mm = [100.0, 250.0, 300.0]
diameter_mm = 140.0
[stick.targets]
obstacle_clearance_min_mm = 20.0
[stick.feel]
operated = "stick"
[[stick.feel.spring]]
spring = "soft"
from_mm = [90.0, 0.0, -60.0]
to_mm = [0.0, 0.0, -60.0]
to_on = "ring"
[[stick.feel.spring]]
spring = "soft"
from_mm = [-90.0, 0.0, -60.0]
to_mm = [0.0, 0.0, -60.0]
to_on = "ring"
[[stick.feel.spring]]
spring = "soft"
from_on = "ring"
from_mm = [0.0, 90.0, -60.0]
to_mm = [0.0, 0.0, -60.0]
[[stick.feel.spring]]
spring = "soft"
from_on = "ring"
from_mm = [0.0, -90.0, -60.0]
to_mm = [0.0, 0.0, -60.0]
[[stick.feel.friction]]
torque_Nmm = 10.0
[[stick.feel.friction]]
torque_Nmm = 15.0
on = "ring"
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
[stick.outer.targets]
end_force_min_N = 1.0
centering_max_counts = 50.0
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

#[test]
fn a_stick_is_told_with_its_clearance_and_feel() {
    let evaluation = evaluated(STICK);
    assert_eq!(evaluation.broken(), []);
    let stick = &evaluation.sticks()[0];
    let gate = stick.gate();
    // By brute force: many positions in the gate, every obstacle by its own distance.
    let at = |x: f64, y: f64, z: f64| Point3::new(x * MM, y * MM, z * MM);
    let thigh = Obstacle::capsule(at(-300.0, 250.0, 200.0), at(100.0, 250.0, 300.0), 70.0 * MM);
    let panel = Obstacle::block(
        Vector3::new(40.0, 500.0, 300.0) * MM,
        nalgebra::Isometry3::translation(0.3, 0.0, 0.4),
    );
    let bodies = [panel.expect("a box"), thigh.expect("a leg")];
    let mut least = f64::INFINITY;
    for i in 0..=60 {
        for j in 0..=60 {
            let outer = (-10.0 + 19.5 * f64::from(i) / 60.0) * DEG;
            let inner = (-9.0 + 17.0 * f64::from(j) / 60.0) * DEG;
            let here = gate
                .gimbal()
                .clearance_at(outer, inner, &bodies)
                .expect("it stands there");
            least = least.min(here.distance);
        }
    }
    let clearance = gate.clearance().expect("obstacles stand around");
    // Found to half a millimeter; between two of the positions above it may be less by some more.
    let off = clearance.distance - least;
    assert!(off <= 0.5 * MM && off > -0.5 * MM, "{off}");
    assert_eq!(gate.nearest(), Some("thigh"));
    let [pitch, roll] = gate.grip_travel();
    assert!(near(pitch.radius, 60.0_f64.hypot(400.0) * MM));
    assert!(near(roll.arc, 400.0 * MM * 17.0 * DEG));
    let [verdict] = stick.verdicts() else {
        panic!("one target")
    };
    assert_eq!(verdict.got(), Some(clearance.distance / MM));
    // Along pitch only its own springs and friction count: 2 k r^2 at the center, as the springs stand square to it,
    // and no weight.
    let feel = stick.feel().expect("given");
    let [pitch, roll] = feel.along() else {
        panic!("two angles")
    };
    assert_eq!((pitch.axis(), roll.axis()), ("pitch", "roll"));
    // (At right angles to the arm their tension does not add to it.)
    let square = 2.0 * 1500.0 * (60.0 * MM) * (60.0 * MM);
    let stiffness = pitch.stiffness().expect("it rests");
    assert!(near(stiffness, square), "{stiffness} {square}");
    let error = pitch.centering().error.expect("it centers");
    assert!((error - 0.015 / stiffness).abs() < 1e-3 * error);
    let error = roll.centering().error.expect("it centers");
    assert!((error - 0.010 / roll.stiffness().expect("it rests")).abs() < 1e-3 * error);
    assert!(!pitch.guidance().is_empty());
    // The axes have their targets, and counts come from their gains.
    let outer = &evaluation.axes()[0];
    let gain = outer.figures().gain_counts().abs();
    let counts = pitch.centering_counts().expect("it has a gain");
    assert!(near(
        counts,
        pitch.centering().error.expect("it centers") * gain
    ));
    assert_eq!(outer.verdicts()[1].got(), Some(counts));
    assert_eq!(feel.springs().len(), 4);
    assert_eq!(evaluated(STICK).state(), VerdictState::Met);
    // A seat in its way is a finding.
    let text = STICK.replacen(
        "center_mm = [300.0, 0.0, 400.0]",
        "center_mm = [150.0, 0.0, 400.0]",
        1,
    );
    let evaluation = evaluated(&text);
    let stick = &evaluation.sticks()[0];
    assert!(
        stick.notes().iter().any(|note| note.contains("touches")),
        "{:?}",
        stick.notes()
    );
    assert_eq!(stick.verdicts()[0].state(), VerdictState::Missed);
    // What the stick as a whole misses, the rig does.
    assert_eq!(evaluation.state(), VerdictState::Missed);
    let text = evaluation.to_string();
    let counted = text.lines().nth(1).expect("targets are counted");
    assert!(counted.contains(", 1 missed"), "{counted}");
}

#[test]
fn obstacles_stand_where_the_file_says() {
    let upright = "shape = \"cylinder\"\nfrom_mm = [-300.0, 250.0, 500.0]\nto_mm = [-300.0, 250.0, 100.0]\n\
                   diameter_mm = 140.0";
    let start = STICK.find("shape = \"capsule\"").expect("it is there");
    let end = STICK.find("[stick.targets]").expect("it is there");
    let text = format!("{}{upright}\n{}", &STICK[..start], &STICK[end..]);
    let design = built(&text);
    let (name, post) = &design.sticks()[0].obstacles()[1];
    assert_eq!(name, "thigh");
    // Straight down or up, a cylinder is one; its flat ends are at 100 and 500 mm.
    let distance = |x: f64, y: f64, z: f64| post.distance(&Point3::new(x, y, z)).expect("a place");
    assert!(near(distance(-0.3, 0.25, 0.6), 0.1));
    assert!(near(distance(-0.3, 0.25, 0.0), 0.1));
    assert!(near(distance(-0.1, 0.25, 0.3), 0.13));
    // A box turned by 90 degrees about z has its sides exchanged.
    let turned = STICK.replacen(
        "center_mm = [300.0, 0.0, 400.0]",
        "center_mm = [300.0, 0.0, 400.0]\nturn_deg = [0.0, 0.0, 90.0]",
        1,
    );
    let design = built(&turned);
    let (_, panel) = &design.sticks()[0].obstacles()[0];
    let distance = |x: f64, y: f64, z: f64| panel.distance(&Point3::new(x, y, z)).expect("a place");
    assert!((distance(0.6, 0.0, 0.4) - 0.05).abs() < 1e-9);
    assert!((distance(0.3, 0.1, 0.4) - 0.08).abs() < 1e-9);
    let error = read(&STICK.replacen("shape = \"block\"", "shape = \"brick\"", 1))
        .expect_err("no such shape");
    assert_eq!(error.key, "stick.obstacle.shape");
}
