//! What stands around a stick.

use nalgebra::{Isometry3, Point3, Rotation3, Translation3, UnitQuaternion, Vector3};

use crate::error::Result;
use crate::linkage::Obstacle;
use crate::numeric::direction::unit;
use crate::rig::design_error::Read;
use crate::rig::document::Section;
use crate::rig::keys::ObstacleKind;
use crate::rig::reading::{Reading, kind_of};

/// An obstacle with its name.
pub(in crate::rig) fn read_obstacle(section: &Section<'_>) -> Read<(String, Obstacle)> {
    let kind: ObstacleKind = kind_of(section, "shape", None)?;
    let section = &section.of_kind(kind);
    let mut reading = Reading::new(section);
    let name = reading.text("name");
    let made = match kind {
        ObstacleKind::Block => {
            let (size, center) = (reading.vector("size_mm"), reading.point("center_mm"));
            let [x, y, z] = reading.maybe_numbers::<3>("turn_deg").unwrap_or([0.0; 3]);
            let rotation = UnitQuaternion::from_euler_angles(x, y, z);
            let pose = Isometry3::from_parts(Translation3::from(center.coords), rotation);
            Obstacle::block(size, pose)
        }
        ObstacleKind::Cylinder | ObstacleKind::Capsule => {
            let (from, to) = (reading.point("from_mm"), reading.point("to_mm"));
            let diameter = reading.number("diameter_mm");
            if kind == ObstacleKind::Capsule {
                Obstacle::capsule(from, to, 0.5 * diameter)
            } else {
                cylinder(from, to, diameter)
            }
        }
    };
    reading.done()?;
    let obstacle = made.map_err(|error| section.refused(error))?;
    Ok((name, obstacle))
}

/// A cylinder between the middles of its two ends.
fn cylinder(from: Point3<f64>, to: Point3<f64>, diameter: f64) -> Result<Obstacle> {
    let way = to - from;
    let axis = unit("center line of the cylinder", &way)?;
    // From straight below to straight above there are many turns: any of them does.
    let rotation = Rotation3::rotation_between(&Vector3::z(), &axis)
        .unwrap_or_else(|| Rotation3::from_axis_angle(&Vector3::x_axis(), std::f64::consts::PI));
    let pose = Isometry3::from_parts(
        Translation3::from(from.coords + 0.5 * way),
        UnitQuaternion::from_rotation_matrix(&rotation),
    );
    Obstacle::cylinder(diameter, way.norm(), pose)
}
