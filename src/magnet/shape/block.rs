//! The block: a rectangular magnet, polarized in any direction.

use nalgebra::{Isometry3, Point3, Vector3};

use crate::error::{Result, parts_within};
use crate::magnet::kernel::block::Placed;
use crate::magnet::shape::traits::Shape;
use crate::magnet::{check_polarization, check_pose};
use crate::stored::stored_by_its_constructor;
use crate::written::{coordinates, debug_as_call, pose};

/// The smallest and the largest side, m. Real ones run from about half a millimetre to 0.2 m.
const SIDE_RANGE: [f64; 2] = [1e-5, 1.0];

/// A uniformly polarized rectangular magnet.
///
/// The block's own frame has its origin at the center and its axes along the sides; `pose` places it. The
/// polarization is given in the block's own frame, so it turns with the block.
///
/// # Accuracy
/// Better than 1e-13 of |B| from 1e-12 of the size off a face to a million times the size, on the planes of the
/// faces, on the extensions of the edges and for aspect ratios up to 1e4 (tested against 160-digit arithmetic; an
/// oblique polarization has nulls of the field, and there it is 1e-13 of the parts that cancel; see
/// [`field_at`](crate::magnet::FieldSource::field_at) for what happens on the surface itself).
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::{Block, FieldSource};
/// use yokewright::units::{MM, MT};
///
/// // A 5 mm cube of about 1.3 T, 2 mm in front of its pole face.
/// let size = Vector3::repeat(5.0 * MM);
/// let cube = Block::new(size, Vector3::new(0.0, 0.0, 1300.0 * MT), Isometry3::identity())?;
/// let b = cube.field_at(&Point3::new(0.0, 0.0, 4.5 * MM))?;
/// assert!((b.z / MT - 224.44).abs() < 0.01 && b.x == 0.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// E. P. Furlani, *Permanent Magnet and Electromechanical Devices*, Academic Press 2001, ch. 4 (surface charge of the
/// block).
#[derive(Clone, PartialEq)]
pub struct Block {
    size: Vector3<f64>,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>,
    placed: Placed,
}

debug_as_call!(Block, |self, f| {
    let (size, polarization) = (coordinates(self.size), coordinates(self.polarization));
    write!(
        f,
        "Block::new({size}, {polarization}, {})?",
        pose(&self.pose)
    )
});

impl Block {
    /// A block of the given side lengths (m) and polarization (T, in the block's own frame), placed by `pose`.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if a side is
    /// not within 0.01 mm to 1 m, the polarization exceeds 2.5 T, or the pose is not a finite rigid motion within 1e6
    /// m.
    pub fn new(
        size: Vector3<f64>,
        polarization: Vector3<f64>,
        pose: Isometry3<f64>,
    ) -> Result<Self> {
        let sides = ["block side x", "block side y", "block side z"];
        parts_within(sides, size.iter(), SIDE_RANGE[0], SIDE_RANGE[1], "m")?;
        check_polarization(&polarization)?;
        check_pose(&pose)?;
        let placed = Placed::new(&size, &polarization, &pose);
        Ok(Self {
            size,
            polarization,
            pose,
            placed,
        })
    }

    /// Side lengths, m.
    #[must_use]
    pub fn size(&self) -> Vector3<f64> {
        self.size
    }

    /// Polarization in the block's own frame, T.
    #[must_use]
    pub fn polarization(&self) -> Vector3<f64> {
        self.polarization
    }

    /// Where the block stands.
    #[must_use]
    pub fn pose(&self) -> Isometry3<f64> {
        self.pose
    }
}

impl Shape for Block {
    type Kernel = Placed;

    fn kernel(&self) -> &Placed {
        &self.placed
    }

    fn polarization(&self) -> Vector3<f64> {
        self.polarization
    }

    fn pose(&self) -> Isometry3<f64> {
        self.pose
    }

    fn remade(&self, polarization: Vector3<f64>, pose: Isometry3<f64>) -> Result<Self> {
        Self::new(self.size, polarization, pose)
    }

    fn beyond(&self, point: &Point3<f64>) -> f64 {
        let beyond = self.pose.inverse_transform_point(point).coords.abs() - self.size * 0.5;
        beyond.sup(&Vector3::zeros()).norm() + beyond.max().min(0.0)
    }
}

stored_by_its_constructor!(Block {
    size: Vector3<f64>,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>
} => Self::new(size, polarization, pose));
