//! The cylinder: a solid round magnet, polarized in any direction.

use nalgebra::{Isometry3, Point3, Vector3};

use crate::error::{Result, within};
use crate::magnet::kernel::cylinder::Placed;
use crate::magnet::shape::round;
use crate::magnet::shape::traits::Shape;
use crate::magnet::{check_polarization, check_pose};
use crate::stored::stored_by_its_constructor;
use crate::written::{coordinates, debug_as_call, pose};

/// The smallest and the largest diameter or length, m. Real ones run from about half a millimetre to 0.3 m.
const SIZE_RANGE: [f64; 2] = [1e-5, 1.0];

/// A uniformly polarized solid cylinder: disc or rod.
///
/// The cylinder's own frame has its origin at the center and z along the axis; `pose` places it. The polarization is
/// given in the cylinder's own frame, so it turns with the cylinder: (0, 0, j) is axial, (j, 0, 0) across.
///
/// # Accuracy
/// Better than 1e-12 of |B| from 1e-6 of the size off a face to a million times the size, on the axis, on the planes
/// of the faces, on the continuation of the mantle and for aspect ratios up to 1000, polarized axially or across
/// (tested against 70-digit arithmetic; an oblique polarization has places where the two parts cancel, and there it
/// is 1e-12 of the parts). See [`field_at`](crate::magnet::FieldSource::field_at) for what happens on the surface
/// itself.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::{Cylinder, FieldSource};
/// use yokewright::units::{MM, MT};
///
/// // A disc of 10 x 4 mm and 1.3 T, 2 mm in front of its pole face.
/// let disc = Cylinder::new(10.0 * MM, 4.0 * MM, Vector3::new(0.0, 0.0, 1.3), Isometry3::identity())?;
/// let b = disc.field_at(&Point3::new(0.0, 0.0, 4.0 * MM))?;
/// assert!((b.z / MT - 257.94).abs() < 0.01 && b.x == 0.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// N. Derby and S. Olbert, Cylindrical magnets and ideal solenoids, Am. J. Phys. 78 (2010) 229 (axial);
/// A. Caciagli, R. J. Baars, A. P. Philipse and B. W. M. Kuipers, J. Magn. Magn. Mater. 456 (2018) 423 (across).
#[derive(Clone, PartialEq)]
pub struct Cylinder {
    diameter: f64,
    length: f64,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>,
    placed: Placed,
}

debug_as_call!(Cylinder, |self, f| {
    let (
        Self {
            diameter, length, ..
        },
        polarization,
    ) = (self, coordinates(self.polarization));
    write!(
        f,
        "Cylinder::new({diameter:?}, {length:?}, {polarization}, {})?",
        pose(&self.pose)
    )
});

impl Cylinder {
    /// A cylinder of the given diameter and length (m) and polarization (T, in the cylinder's own frame), placed by
    /// `pose`.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the
    /// diameter or the length is not within 0.01 mm to 1 m, the polarization exceeds 2.5 T, or the pose is not a
    /// finite rigid motion within 1e6 m.
    pub fn new(
        diameter: f64,
        length: f64,
        polarization: Vector3<f64>,
        pose: Isometry3<f64>,
    ) -> Result<Self> {
        let [min, max] = SIZE_RANGE;
        within("cylinder diameter", diameter, min, max, "m")?;
        within("cylinder length", length, min, max, "m")?;
        check_polarization(&polarization)?;
        check_pose(&pose)?;
        Ok(Self {
            diameter,
            length,
            polarization,
            pose,
            placed: Placed::new(diameter, 0.0, length, &polarization, &pose),
        })
    }

    /// Diameter, m.
    #[must_use]
    pub fn diameter(&self) -> f64 {
        self.diameter
    }

    /// Length along the axis, m; of a disc the thickness.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.length
    }

    /// Polarization in the cylinder's own frame, T.
    #[must_use]
    pub fn polarization(&self) -> Vector3<f64> {
        self.polarization
    }

    /// Where the cylinder stands.
    #[must_use]
    pub fn pose(&self) -> Isometry3<f64> {
        self.pose
    }
}

impl Shape for Cylinder {
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
        Self::new(self.diameter, self.length, polarization, pose)
    }

    fn beyond(&self, point: &Point3<f64>) -> f64 {
        let p = self.pose.inverse_transform_point(point);
        let beyond_mantle = p.x.hypot(p.y) - 0.5 * self.diameter;
        round::distance(beyond_mantle, p.z.abs() - 0.5 * self.length)
    }
}

stored_by_its_constructor!(Cylinder {
    diameter: f64,
    length: f64,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>
} => Self::new(diameter, length, polarization, pose));
