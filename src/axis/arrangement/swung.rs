//! The usual arrangement: one magnet on an arm, swung past one sensor.

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::axis::arrangement::measure::{FIRST, Measure, MeasureValue, Measured, Slot};
use crate::axis::arrangement::mounting::Mounting;
use crate::axis::arrangement::parts::{ArrangedParts, Standing, check_magnet, placed};
use crate::axis::arrangement::side::MagnetSide;
use crate::axis::arrangement::traits::arranged;
#[cfg(doc)]
use crate::error::Error;
use crate::error::Result;
use crate::magnet::Magnet;
use crate::stored::stored_as_spec;

/// Measures of a [`SwungLayout`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SwungLayoutSpec {
    /// The magnet in its own frame, with its orientation.
    pub magnet: Magnet,
    /// Pivot to the center of the magnet, m.
    pub arm: f64,
    /// Nearest face of the magnet to the face of the sensor's package when centered, m.
    pub gap: f64,
    /// Where the sensor stands.
    pub side: MagnetSide,
    /// How they are mounted.
    pub mounting: Mounting,
}

impl SwungLayoutSpec {
    /// With the sensor on the center line, beyond the outer face of the magnet.
    pub fn new(magnet: impl Into<Magnet>, arm: f64, gap: f64) -> Self {
        Self {
            magnet: magnet.into(),
            arm,
            gap,
            side: MagnetSide::Outer,
            mounting: Mounting::default(),
        }
    }
}

impl Measured for SwungLayoutSpec {
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

/// A magnet on an arm, swung past a sensor that faces it.
///
/// In the frame of all arrangements (see [`Arrangement`](crate::axis::Arrangement)) the magnet's center lies on the arm
/// and the package faces the middle of the magnet across the gap. The package's x axis lies along the tangent, its z
/// axis out of its face towards the magnet: a sensor that reads across its face (direction +z) reads the radial
/// component on the outer and inner side and the axial component on the axial side.
///
/// # Example
/// ```
/// use yokewright::axis::{Arrangement, SwungLayout, SwungLayoutSpec};
/// use yokewright::magnet::{Block, FieldSource};
/// use yokewright::nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::units::{MM, MT};
///
/// // A 5 mm cube on an arm of 12 mm, polarized along the tangent.
/// let j = Vector3::new(0.0, 1300.0 * MT, 0.0);
/// let cube = Block::new(Vector3::repeat(5.0 * MM), j, Isometry3::identity())?;
/// let layout = SwungLayout::new(SwungLayoutSpec::new(cube, 12.0 * MM, 2.0 * MM))?;
/// // The centered sensor sees the magnet's field along the tangent alone, so that it reads nothing.
/// let b = layout.source().field_at(&Point3::new(16.5 * MM, 0.0, 0.0))?;
/// assert!(b.x.abs() < 1e-15 && b.y / MT < -100.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct SwungLayout {
    spec: SwungLayoutSpec,
    parts: ArrangedParts,
}

arranged!(SwungLayout, SwungLayoutSpec);

impl SwungLayout {
    /// Checks the measures.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for an arm beyond 1 m, a gap, an offset or the distance of a plate
    /// beyond 0.2 m, a tilt beyond 45 degrees, a package that is not 0.1 to 50 mm in every direction, or a magnet that
    /// does not stand at the origin of its own frame; [`Error::ThroughPlate`] for a magnet that reaches into a plate;
    /// [`Error::Collision`] for a package that reaches into a magnet or a plate.
    pub fn new(spec: SwungLayoutSpec) -> Result<Self> {
        spec.check()?;
        check_magnet(&spec.magnet)?;
        let center = Point3::new(spec.arm, 0.0, 0.0);
        let standing = Standing {
            magnets: vec![placed(&spec.magnet, center.coords, 0.0)?],
            center,
            faced: center,
            facing: spec.side.facing(),
            across: Vector3::y(),
            gap: spec.gap,
        };
        Ok(Self {
            parts: ArrangedParts::new(standing, &spec.mounting)?,
            spec,
        })
    }

    /// The same layout with another arm and gap, m.
    ///
    /// # Errors
    /// As [`SwungLayout::new`].
    pub fn with(&self, arm: f64, gap: f64) -> Result<Self> {
        Self::new(SwungLayoutSpec {
            arm,
            gap,
            ..self.spec.clone()
        })
    }

    /// The magnet when centered.
    #[must_use]
    pub fn magnet(&self) -> &Magnet {
        &self.parts.magnets().magnets()[0]
    }
}
