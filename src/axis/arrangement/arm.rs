//! The usual arrangement: one block on an arm, one sensor facing it.

use nalgebra::{Isometry3, Matrix3, Rotation3, Translation3, UnitQuaternion, Vector3};
use serde::{Deserialize, Serialize};

use crate::axis::arrangement::side::MagnetSide;
use crate::axis::{Axis, AxisSpec, Moving};
#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, parts_within, within};
use crate::hall::{Converter, Sensor};
use crate::magnet::Block;
use crate::stored::stored_as_spec;

/// The longest arm, the widest gap and the largest offset of a plausible control, m.
const MAX_ARM: f64 = 1.0;
const MAX_GAP: f64 = 0.2;
const MAX_OFFSET: f64 = 0.2;

/// Measures of an [`ArmLayout`]. Vectors are (radial, tangential, axial).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ArmLayoutSpec {
    /// Side lengths of the block, m.
    pub magnet_size: Vector3<f64>,
    /// Polarization of the block, T.
    pub polarization: Vector3<f64>,
    /// Pivot to the center of the magnet, m.
    pub arm: f64,
    /// Face of the magnet to face of the sensor's package when centered, m.
    pub gap: f64,
    /// Where the sensor stands.
    pub side: MagnetSide,
    /// How far the sensor stands out of its place, m.
    pub offset: Vector3<f64>,
}

impl ArmLayoutSpec {
    /// With the sensor on the center line, beyond the outer face of the magnet.
    #[must_use]
    pub fn new(magnet_size: Vector3<f64>, polarization: Vector3<f64>, arm: f64, gap: f64) -> Self {
        Self {
            magnet_size,
            polarization,
            arm,
            gap,
            side: MagnetSide::Outer,
            offset: Vector3::zeros(),
        }
    }
}

/// A block on an arm and a sensor facing it.
///
/// The pivot's axis is +z through the origin; when centered the arm lies along +x, so x is the radial, y the tangential
/// and z the axial direction. The sensor's package faces the middle of the magnet's face across the gap. The package's
/// x axis lies along the tangent, its z axis out of its face towards the magnet: a sensor that reads across its face
/// (direction +z) reads the radial component on the outer and inner side and the axial component on the axial side.
///
/// # Example
/// ```
/// use yokewright::axis::{ArmLayout, ArmLayoutSpec, MagnetSide};
/// use yokewright::magnet::FieldSource;
/// use yokewright::nalgebra::{Point3, Vector3};
/// use yokewright::units::{MM, MT};
///
/// // A 5 mm cube on an arm of 12 mm, polarized along the tangent.
/// let layout = ArmLayout::new(ArmLayoutSpec {
///     magnet_size: Vector3::repeat(5.0 * MM),
///     polarization: Vector3::new(0.0, 1300.0 * MT, 0.0),
///     arm: 12.0 * MM,
///     gap: 2.0 * MM,
///     side: MagnetSide::Outer,
///     offset: Vector3::zeros(),
/// })?;
/// // The centered sensor sees the magnet's field along the tangent alone, so that it reads nothing.
/// let b = layout.magnet().field_at(&Point3::new(16.5 * MM, 0.0, 0.0))?;
/// assert!(b.x.abs() < 1e-15 && b.y / MT < -100.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct ArmLayout {
    spec: ArmLayoutSpec,
    magnet: Block,
}

stored_as_spec!(ArmLayout, ArmLayoutSpec);

impl ArmLayout {
    /// Checks the measures.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for an arm beyond 1 m, a gap beyond 0.2 m, an offset beyond 0.2 m,
    /// or whatever [`Block::new`] refuses.
    pub fn new(spec: ArmLayoutSpec) -> Result<Self> {
        within("arm", spec.arm, 0.0, MAX_ARM, "m")?;
        within("gap", spec.gap, 0.0, MAX_GAP, "m")?;
        let names = ["radial offset", "tangential offset", "axial offset"];
        parts_within(names, spec.offset.iter(), -MAX_OFFSET, MAX_OFFSET, "m")?;
        let place = Isometry3::translation(spec.arm, 0.0, 0.0);
        let magnet = Block::new(spec.magnet_size, spec.polarization, place)?;
        Ok(Self { spec, magnet })
    }

    /// The measures as given.
    #[must_use]
    pub fn spec(&self) -> &ArmLayoutSpec {
        &self.spec
    }

    /// The same layout with another arm and gap, m.
    ///
    /// # Errors
    /// As [`ArmLayout::new`].
    pub fn with(&self, arm: f64, gap: f64) -> Result<Self> {
        Self::new(ArmLayoutSpec {
            arm,
            gap,
            ..self.spec.clone()
        })
    }

    /// The magnet when centered.
    #[must_use]
    pub fn magnet(&self) -> &Block {
        &self.magnet
    }

    /// The sensor's package when centered.
    #[must_use]
    pub fn sensor_pose(&self) -> Isometry3<f64> {
        let ArmLayoutSpec {
            magnet_size: size,
            arm,
            gap,
            side,
            offset,
            ..
        } = &self.spec;
        let (place, normal) = match side {
            MagnetSide::Outer => (
                Vector3::new(arm + 0.5 * size.x + gap, 0.0, 0.0),
                -Vector3::x(),
            ),
            MagnetSide::Inner => (
                Vector3::new(arm - 0.5 * size.x - gap, 0.0, 0.0),
                Vector3::x(),
            ),
            MagnetSide::Axial => (Vector3::new(*arm, 0.0, 0.5 * size.z + gap), -Vector3::z()),
        };
        let tangent = Vector3::y();
        let columns = Matrix3::from_columns(&[tangent, normal.cross(&tangent), normal]);
        let rotation = Rotation3::from_matrix_unchecked(columns);
        Isometry3::from_parts(
            Translation3::from(place + offset),
            UnitQuaternion::from_rotation_matrix(&rotation),
        )
    }

    /// The axis that this layout makes with a throw (rad), a sensor and a converter.
    ///
    /// # Errors
    /// As [`Axis::new`].
    pub fn axis(
        &self,
        throw: [f64; 2],
        sensor: impl Into<Sensor>,
        converter: impl Into<Option<Converter>>,
        moving: Moving,
    ) -> Result<Axis> {
        let magnets = self.magnet.clone();
        Axis::new(AxisSpec {
            moving,
            ..AxisSpec::new(throw, magnets, sensor, self.sensor_pose(), converter)
        })
    }
}
