//! A stick of a design file: two axes at once, both sensors among all magnets.

use nalgebra::{Isometry3, Matrix3, Point3, Rotation3, Translation3, UnitQuaternion, Vector3};

use crate::axis::{
    Arrangement, CarriedMagnets, CarriedSensor, Carrier, Moving, PlateHolder, ReadBy, TwoAxis,
    TwoAxisSpec,
};
use crate::error::{Error, Result};
use crate::hall::Sensor;
use crate::linkage::{Gate, Gimbal, GimbalAxis, GimbalSpec, Obstacle, Pivot};
use crate::magnet::FieldSource;
use crate::numeric::direction::unit;
use crate::rig::control::asked::read_targets;
use crate::rig::control::axis::{NamedAxis, Place, read as read_axis};
use crate::rig::control::feel::{NamedFeel, read_of_stick as read_feel};
use crate::rig::design_error::Read;
use crate::rig::document::Section;
use crate::rig::keys::GateKind;
use crate::rig::numbers::{Reached, StickReached};
use crate::rig::parts::{Parts, read_obstacle};
use crate::rig::reading::{Reading, kind_of};
use crate::rig::target::Target;

/// The section of either axis in the table of keys.
const AXIS: &str = "stick.AXIS";

/// What a file says of a stick, put together as far as physics allows.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedStick {
    name: String,
    line: usize,
    axes: [NamedAxis; 2],
    throws: [[f64; 2]; 2],
    two_axis: Result<TwoAxis>,
    gimbal: Gimbal,
    gate: Gate,
    obstacles: Vec<(String, Obstacle)>,
    targets: Vec<(Target, f64)>,
    feel: Option<NamedFeel>,
}

impl NamedStick {
    /// What the stick is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The line of the file at which it begins.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line
    }

    /// Both of its axes, the outer one first.
    pub(in crate::rig) fn axes(&self) -> &[NamedAxis; 2] {
        &self.axes
    }

    /// One of its axes, as if the other stood at zero and had no magnet.
    #[must_use]
    pub fn axis(&self, axis: GimbalAxis) -> &NamedAxis {
        match axis {
            GimbalAxis::Outer => &self.axes[0],
            GimbalAxis::Inner => &self.axes[1],
        }
    }

    /// Both sensors among all magnets.
    ///
    /// # Errors
    /// Why they cannot be put together; the error of an axis that cannot be put together by itself.
    pub fn two_axis(&self) -> std::result::Result<&TwoAxis, &Error> {
        self.two_axis.as_ref()
    }

    /// The stick on its two pivots, with the room that it and the hand take.
    #[must_use]
    pub fn gimbal(&self) -> &Gimbal {
        &self.gimbal
    }

    /// Least and greatest angle of one of its axes, rad.
    #[must_use]
    pub fn throw(&self, axis: GimbalAxis) -> [f64; 2] {
        match axis {
            GimbalAxis::Outer => self.throws[0],
            GimbalAxis::Inner => self.throws[1],
        }
    }

    /// Where it may be.
    #[must_use]
    pub fn gate(&self) -> &Gate {
        &self.gate
    }

    /// What stands around it, each with its name.
    #[must_use]
    pub fn obstacles(&self) -> &[(String, Obstacle)] {
        &self.obstacles
    }

    /// What is asked of the stick as a whole, in the unit of each target.
    #[must_use]
    pub fn targets(&self) -> &[(Target, f64)] {
        &self.targets
    }

    /// What acts on it, if the file says so.
    #[must_use]
    pub fn feel(&self) -> Option<&NamedFeel> {
        self.feel.as_ref()
    }
}

/// Where one axis of a stick stands, and what carries its parts.
struct Standing {
    magnet_on: Carrier,
    sensor_on: Carrier,
    /// From the frame of all arrangements to that of the rig.
    place: Isometry3<f64>,
}

/// A stick, and what reaches it, but for what its own keys say.
pub(in crate::rig) fn read(
    section: &Section<'_>,
    parts: &Parts,
) -> Read<(NamedStick, StickReached)> {
    let gate = kind_of(section, "gate", GateKind::Square)?;
    let section = &section.of_kind(gate);
    let mut reading = Reading::new(section);
    let name = reading.text("name");
    let outer = read_pivot(
        &mut reading,
        ["outer_pivot_mm", "outer_direction"],
        Vector3::y(),
    );
    let inner = read_pivot(
        &mut reading,
        ["inner_pivot_mm", "inner_direction"],
        Vector3::x(),
    );
    let corners = reading.rows::<3>("stick_mm");
    let corners: Vec<Point3<f64>> = corners.into_iter().map(Point3::from).collect();
    let tilt = match gate {
        GateKind::Round => reading.number("gate_tilt_deg"),
        _ => 0.0,
    };
    let polygon = match gate {
        GateKind::Polygon => reading.rows::<2>("gate_corners_deg"),
        _ => Vec::new(),
    };
    let grip = corners.last().copied().unwrap_or_else(Point3::origin);
    let mut axis = |name: &'static str, which: GimbalAxis, pivot: &Option<Pivot>| {
        let read = section.numbers_met().apart(|| {
            section
                .required_table(name, AXIS)
                .and_then(|section| read_axis_of(&section, parts, which, pivot.as_ref(), grip))
        });
        let (read, reached) = read;
        let (mut axis, standing) = reading.note(read)?;
        axis.reached = reached;
        Some((axis, standing))
    };
    let outer_axis = axis("outer", GimbalAxis::Outer, &outer);
    let inner_axis = axis("inner", GimbalAxis::Inner, &inner);
    let [stick_radius, grip_radius] =
        ["diameter_mm", "grip_diameter_mm"].map(|key| 0.5 * reading.number_or(key, 0.0));
    let (obstacles, of_obstacles) = section.numbers_met().apart(|| {
        let all = reading.note(section.list_within("obstacle", "stick.obstacle"));
        let all = all.unwrap_or_default().into_iter();
        all.filter_map(|section| reading.note(read_obstacle(&section)))
            .collect()
    });
    let targets = reading.note(read_targets(section, "stick.targets"));
    let gimbal = match (&outer, &inner) {
        // Without corners there is a mistake already.
        (Some(outer), Some(inner)) if !corners.is_empty() => {
            let made = Gimbal::new(GimbalSpec {
                stick_radius,
                grip_radius,
                ..GimbalSpec::new(*outer, *inner, corners)
            });
            reading.note(made.map_err(|error| section.refused(error)))
        }
        _ => None,
    };
    let throws = [&outer_axis, &inner_axis]
        .map(|axis| axis.as_ref().map_or([-1.0, 1.0], |(axis, _)| axis.throw));
    let feel = reading.note(read_feel(section, parts, throws, gimbal.as_ref()));
    reading.done()?;
    let missing = |name| section.missing(name);
    let gimbal = gimbal.ok_or_else(|| missing("stick_mm"))?;
    let (outer_axis, outer_stands) = outer_axis.ok_or_else(|| missing("outer"))?;
    let (inner_axis, inner_stands) = inner_axis.ok_or_else(|| missing("inner"))?;

    let refused = |error| section.refused(error);
    let gate = match gate {
        GateKind::Square => {
            let square = Gate::square(outer_axis.throw, inner_axis.throw);
            square.map_err(refused)?
        }
        GateKind::Round => Gate::round(tilt).map_err(refused)?,
        GateKind::Polygon => Gate::polygon(polygon).map_err(refused)?,
    };
    let two_axis = both(
        gimbal.clone(),
        gate.clone(),
        [
            (&outer_axis.named, outer_stands.as_ref()),
            (&inner_axis.named, inner_stands.as_ref()),
        ],
    );
    let stick = NamedStick {
        name,
        line: section.line(),
        axes: [outer_axis.named, inner_axis.named],
        throws,
        two_axis,
        gimbal,
        gate,
        obstacles,
        targets: targets.unwrap_or_default(),
        feel: feel.flatten(),
    };
    let mut frame = outer_axis.travel;
    frame.add(&inner_axis.travel);
    let reached = StickReached {
        axes: [outer_axis.reached, inner_axis.reached],
        frame,
        obstacles: of_obstacles,
    };
    Ok((stick, reached))
}

/// An axis and its throw, which one that cannot be put together has lost.
struct OneAxis {
    named: NamedAxis,
    throw: [f64; 2],
    reached: Reached,
    /// Its throw.
    travel: Reached,
}

fn read_pivot(
    reading: &mut Reading<'_, '_>,
    [point, direction]: [&str; 2],
    usual: Vector3<f64>,
) -> Option<Pivot> {
    let at = reading.maybe_vector(point).unwrap_or_else(Vector3::zeros);
    let along = reading.maybe_vector(direction).unwrap_or(usual);
    reading.check(direction, Pivot::new(at.into(), along))
}

fn read_axis_of(
    section: &Section<'_>,
    parts: &Parts,
    which: GimbalAxis,
    pivot: Option<&Pivot>,
    grip: Point3<f64>,
) -> Read<(OneAxis, Option<Standing>)> {
    // The keys of the axis itself are looked at by its own reader, together with these.
    let mut reading = Reading::of_some(section);
    let numbers = section.numbers_met();
    let (throw, travel) = numbers.reaching(|| reading.throw("throw_deg"));
    let sensor = parts.sensors.of(section, "sensor");
    let on_shaft = matches!(&sensor, Ok(part) if matches!(part.sensor, Sensor::Potentiometer(_)));
    let (standing, moving) = if on_shaft {
        (None, Moving::Magnets)
    } else {
        read_standing(&mut reading, section, parts, which, pivot)
    };
    let grip = pivot.map_or(0.0, |pivot| {
        (grip - pivot.point()).cross(&pivot.direction()).norm()
    });
    // Mistakes of the axis are told with those above.
    let named = reading.note(read_axis(section, parts, &Place::OnStick { moving, grip }));
    reading.done()?;
    let missing = |name| section.missing(name);
    let named = named.ok_or_else(|| missing("name"))?;
    if standing.is_none() && !on_shaft {
        return Err(missing("arm_direction"));
    }
    let axis = OneAxis {
        named,
        throw,
        reached: Reached::default(),
        travel,
    };
    Ok((axis, standing))
}

/// Where the magnet and the sensor of an axis stand, and which of them its turning moves. Without a mistake there is a
/// place.
fn read_standing(
    reading: &mut Reading<'_, '_>,
    section: &Section<'_>,
    parts: &Parts,
    which: GimbalAxis,
    pivot: Option<&Pivot>,
) -> (Option<Standing>, Moving) {
    let carriers = (
        reading.word::<Carrier>("magnet_on"),
        reading.word::<Carrier>("sensor_on"),
    );
    let arm = reading.vector("arm_direction");
    let along = reading.number_or("along_mm", 0.0);
    if let Ok(Some(plate)) = parts.plates.maybe(section, "plate")
        && plate.holder == PlateHolder::Sensor
    {
        reading.not_here("plate", "a plate that goes with the magnets");
    }
    let place = pivot.and_then(|pivot| {
        reading
            .has("arm_direction")
            .then(|| reading.check("arm_direction", placed(pivot, arm, along)))
            .flatten()
    });
    let (Some(magnet_on), Some(sensor_on)) = carriers else {
        return (None, Moving::Magnets);
    };
    let moving = moving(which, magnet_on, sensor_on);
    if moving.is_none() {
        let wanted = format!(
            "magnet and sensor on two bodies that the {which} axis moves against each other"
        );
        reading.not_here("sensor_on", &wanted);
    }
    let standing = place.map(|place| Standing {
        magnet_on,
        sensor_on,
        place,
    });
    (standing, moving.unwrap_or(Moving::Magnets))
}

/// What turns past what when an axis turns; nothing where neither does.
fn moving(which: GimbalAxis, magnet: Carrier, sensor: Carrier) -> Option<Moving> {
    let turns = |carrier| match which {
        GimbalAxis::Outer => carrier != Carrier::Frame,
        GimbalAxis::Inner => carrier == Carrier::Stick,
    };
    match (turns(magnet), turns(sensor)) {
        (true, false) => Some(Moving::Magnets),
        (false, true) => Some(Moving::Sensor),
        _ => None,
    }
}

/// The pose that brings the pivot's axis from z to its place, and the arm from x to where it points.
fn placed(pivot: &Pivot, arm: Vector3<f64>, along: f64) -> Result<Isometry3<f64>> {
    let z = pivot.direction();
    let arm = unit("direction of the arm", &arm)?;
    let x = unit("direction of the arm across the axis", &across(&z, &arm))?;
    let columns = Matrix3::from_columns(&[x, z.cross(&x), z]);
    let rotation = Rotation3::from_matrix_unchecked(columns);
    Ok(Isometry3::from_parts(
        Translation3::from(pivot.point().coords + along * z),
        UnitQuaternion::from_rotation_matrix(&rotation),
    ))
}

/// What of a direction is across an axis; nothing where rounding is all that is left.
fn across(axis: &Vector3<f64>, direction: &Vector3<f64>) -> Vector3<f64> {
    /// Sine of the angle below which a direction is along the axis.
    const ALONG: f64 = 1e-6;
    let across = direction - axis * axis.dot(direction);
    if across.norm() < ALONG {
        Vector3::zeros()
    } else {
        across
    }
}

/// Both sensors among the magnets of both axes.
fn both(
    gimbal: Gimbal,
    gate: Gate,
    [outer, inner]: [(&NamedAxis, Option<&Standing>); 2],
) -> Result<TwoAxis> {
    let (outer_magnets, outer_sensor) = carried(outer, ReadBy::Outer)?;
    let (inner_magnets, inner_sensor) = carried(inner, ReadBy::Inner)?;
    let mut two_axis = TwoAxis::new(TwoAxisSpec::new(
        gimbal,
        gate,
        outer_magnets.into_iter().chain(inner_magnets).collect(),
        outer_sensor,
        inner_sensor,
    ))?;
    // Programmed in its place, where the other magnets are too.
    for (axis, (named, _)) in [(GimbalAxis::Outer, outer), (GimbalAxis::Inner, inner)] {
        if named.zeroed() {
            two_axis = two_axis.zeroed(axis)?;
        }
    }
    Ok(two_axis)
}

/// The magnets of an axis and its sensor; of a potentiometer on the shaft that alone.
fn carried(
    (named, standing): (&NamedAxis, Option<&Standing>),
    read_by: ReadBy,
) -> Result<(Option<CarriedMagnets>, CarriedSensor)> {
    let spec = named.axis().map_err(Clone::clone)?.spec();
    let still = (Isometry3::identity(), Carrier::Frame);
    let stands = standing.zip(named.arrangement());
    let (pose, carrier) = stands.map_or(still, |(standing, arrangement)| {
        let pose = standing.place * arrangement.sensor_pose();
        (pose, standing.sensor_on)
    });
    let sensor = CarriedSensor {
        area: spec.area.clone(),
        filter: spec.filter,
        averaging: spec.averaging,
        celsius: spec.celsius,
        ..CarriedSensor::new(spec.sensor.clone(), pose, carrier, spec.converter.clone())
    };
    let magnets = stands.map(|(standing, arrangement)| {
        let magnets = arrangement.source().moved(&standing.place)?;
        Ok(CarriedMagnets {
            remanence_drift: spec.remanence_drift,
            reference_celsius: spec.reference_celsius,
            celsius: spec.celsius,
            ..CarriedMagnets::new(magnets, standing.magnet_on, read_by)
        })
    });
    Ok((magnets.transpose()?, sensor))
}
