//! The sphere, polarized in any direction.

use nalgebra::{Isometry3, Point3, Vector3};

use crate::error::{Result, within};
use crate::magnet::kernel::sphere::Placed;
use crate::magnet::shape::traits::Shape;
use crate::magnet::{check_polarization, check_pose};
use crate::stored::stored_by_its_constructor;
use crate::written::{coordinates, debug_as_call, pose};

/// The smallest and the largest diameter, m. Real ones run from about a millimetre to 0.1 m.
const DIAMETER_RANGE: [f64; 2] = [1e-5, 1.0];

/// A uniformly polarized ball.
///
/// The sphere's own frame has its origin at the center; `pose` places it. The polarization is given in the sphere's
/// own frame, so it turns with the pose.
///
/// Outside, the field is exactly that of a dipole at the center, B = R^3 (3 (J . n) n - J) / (3 r^3) with n the
/// direction from the center; inside, it is uniform, B = 2 J / 3.
///
/// # Accuracy
/// Better than 1e-14 of |B|, and of the gradient, everywhere.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::{FieldSource, Sphere};
/// use yokewright::units::{MM, MT};
///
/// // A ball of 10 mm and 1.3 T, 5 mm above its pole.
/// let ball = Sphere::new(10.0 * MM, Vector3::new(0.0, 0.0, 1.3), Isometry3::identity())?;
/// let b = ball.field_at(&Point3::new(0.0, 0.0, 10.0 * MM))?;
/// assert!((b.z / MT - 108.333).abs() < 0.001 && b.x == 0.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// E. P. Furlani, *Permanent Magnet and Electromechanical Devices*, Academic Press 2001, ch. 3;
/// J. D. Jackson, *Classical Electrodynamics*, 3rd ed., Wiley 1999, sec. 5.10.
#[derive(Clone, PartialEq)]
pub struct Sphere {
    diameter: f64,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>,
    placed: Placed,
}

debug_as_call!(Sphere, |self, f| {
    let polarization = coordinates(self.polarization);
    write!(
        f,
        "Sphere::new({:?}, {polarization}, {})?",
        self.diameter,
        pose(&self.pose)
    )
});

impl Sphere {
    /// A sphere of the given diameter (m) and polarization (T, in the sphere's own frame), placed by `pose`.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the
    /// diameter is not within 0.01 mm to 1 m, the polarization exceeds 2.5 T, or the pose is not a finite rigid
    /// motion within 1e6 m.
    pub fn new(diameter: f64, polarization: Vector3<f64>, pose: Isometry3<f64>) -> Result<Self> {
        let [min, max] = DIAMETER_RANGE;
        within("sphere diameter", diameter, min, max, "m")?;
        check_polarization(&polarization)?;
        check_pose(&pose)?;
        Ok(Self {
            diameter,
            polarization,
            pose,
            placed: Placed {
                center: pose.translation.vector.into(),
                radius: 0.5 * diameter,
                polarization: (pose.rotation * polarization).into(),
            },
        })
    }

    /// Diameter, m.
    #[must_use]
    pub fn diameter(&self) -> f64 {
        self.diameter
    }

    /// Polarization in the sphere's own frame, T.
    #[must_use]
    pub fn polarization(&self) -> Vector3<f64> {
        self.polarization
    }

    /// Where the sphere stands.
    #[must_use]
    pub fn pose(&self) -> Isometry3<f64> {
        self.pose
    }
}

impl Shape for Sphere {
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
        Self::new(self.diameter, polarization, pose)
    }

    fn beyond(&self, point: &Point3<f64>) -> f64 {
        (point.coords - self.pose.translation.vector).norm() - 0.5 * self.diameter
    }
}

stored_by_its_constructor!(Sphere {
    diameter: f64,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>
} => Self::new(diameter, polarization, pose));
