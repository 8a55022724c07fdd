//! One magnet that comes towards the sensor and goes away from it.

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::axis::arrangement::measure::{FIRST, Measure, MeasureValue, Measured, Slot};
use crate::axis::arrangement::mounting::Mounting;
use crate::axis::arrangement::parts::{ArrangedParts, Standing, check_magnet, placed};
use crate::axis::arrangement::traits::arranged;
#[cfg(doc)]
use crate::error::Error;
use crate::error::Result;
use crate::magnet::Magnet;
use crate::stored::stored_as_spec;

/// Measures of a [`HeadOnLayout`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeadOnLayoutSpec {
    /// The magnet in its own frame, with its orientation; its polarization along the tangent, as a rule.
    pub magnet: Magnet,
    /// Pivot to the center of the magnet, m.
    pub arm: f64,
    /// Nearest face of the magnet to the face of the sensor's package when centered, m.
    pub gap: f64,
    /// How they are mounted.
    pub mounting: Mounting,
}

impl HeadOnLayoutSpec {
    /// With the sensor on the line along which the magnet moves when centered.
    pub fn new(magnet: impl Into<Magnet>, arm: f64, gap: f64) -> Self {
        Self {
            magnet: magnet.into(),
            arm,
            gap,
            mounting: Mounting::default(),
        }
    }
}

impl Measured for HeadOnLayoutSpec {
    fn slots(&mut self) -> Vec<Slot<'_>> {
        let mut slots = vec![
            Slot::Number(Measure::Arm, &mut self.arm),
            Slot::Number(Measure::Gap, &mut self.gap),
        ];
        slots.extend(self.mounting.slots());
        slots.push(Slot::Magnet(&FIRST, &mut self.magnet));
        slots
    }
}

/// A magnet on an arm that comes towards the sensor and goes away from it.
///
/// In the frame of all arrangements (see [`Arrangement`](crate::axis::Arrangement)) the magnet's center lies on the arm
/// and the sensor before it along the tangent, +y, so that positive angles close the gap, nearly along a line: an angle
/// a moves the magnet by arm sin a towards the sensor and by arm (1 - cos a) aside. With its polarization along the
/// tangent, a sensor that reads across its face reads the field on the magnet's axis, which falls the faster the nearer
/// it is: the reading is never straight, and never zero. The package's x axis lies along the radius, its z axis out of
/// its face towards the magnet.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Vector3};
/// use yokewright::axis::{Arrangement, HeadOnLayout, HeadOnLayoutSpec};
/// use yokewright::magnet::{FieldSource, Sphere};
/// use yokewright::units::{MM, MT};
///
/// // A ball of 8 mm, 6 mm before the sensor: on the axis a dipole, B = 2/3 J (R / r)^3.
/// let ball = Sphere::new(8.0 * MM, Vector3::new(0.0, 1.2, 0.0), Isometry3::identity())?;
/// let layout = HeadOnLayout::new(HeadOnLayoutSpec::new(ball, 30.0 * MM, 6.0 * MM))?;
/// let sensor = layout.sensor_pose();
/// let b = layout.source().field_at(&sensor.translation.vector.into())?;
/// assert!((b.y / MT - 51.2).abs() < 1e-9);
/// // The face looks back along the tangent, so that a north pole before it reads negative.
/// assert!((sensor * Vector3::z() + Vector3::y()).norm() < 1e-15);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct HeadOnLayout {
    spec: HeadOnLayoutSpec,
    parts: ArrangedParts,
}

arranged!(HeadOnLayout, HeadOnLayoutSpec);

impl HeadOnLayout {
    /// Checks the measures. Whether the magnet meets the sensor within a throw is for the axis to say.
    ///
    /// # Errors
    /// As [`SwungLayout::new`](crate::axis::SwungLayout::new): [`Error::NotFinite`], [`Error::OutOfRange`],
    /// [`Error::ThroughPlate`], [`Error::Collision`].
    pub fn new(spec: HeadOnLayoutSpec) -> Result<Self> {
        spec.check()?;
        check_magnet(&spec.magnet)?;
        let center = Point3::new(spec.arm, 0.0, 0.0);
        let standing = Standing {
            magnets: vec![placed(&spec.magnet, center.coords, 0.0)?],
            center,
            faced: center,
            facing: Vector3::y(),
            across: Vector3::x(),
            gap: spec.gap,
        };
        Ok(Self {
            parts: ArrangedParts::new(standing, &spec.mounting)?,
            spec,
        })
    }
}
