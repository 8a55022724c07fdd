//! The ring: a hollow cylinder, polarized in any direction.

use nalgebra::{Isometry3, Point3, Vector3};

use crate::error::{Error, Result, within};
use crate::magnet::kernel::cylinder::Placed;
use crate::magnet::shape::round;
use crate::magnet::shape::traits::Shape;
use crate::magnet::{check_polarization, check_pose};
use crate::stored::stored_by_its_constructor;
use crate::written::{coordinates, debug_as_call, pose};

/// The smallest and the largest outer diameter or length, m. Real ones run from about a millimetre to 0.3 m.
const SIZE_RANGE: [f64; 2] = [1e-5, 1.0];
/// The smallest bore, m.
const MIN_BORE: f64 = 1e-6;
/// The smallest wall, m: thinner than any coating.
const MIN_WALL: f64 = 1e-6;

/// A uniformly polarized hollow cylinder: ring, washer or tube.
///
/// The ring's own frame has its origin at the center and z along the axis; `pose` places it. The polarization is
/// given in the ring's own frame, so it turns with the ring: (0, 0, j) is axial, (j, 0, 0) across. It is one
/// direction throughout: a radially polarized or multipole ring is another magnet.
///
/// # Accuracy
/// As [`Cylinder`](crate::magnet::Cylinder), for walls down to 1e-3 of the radius, of any length; but the field of a
/// ring has nulls, polarized axially as well as across, and a share of nothing cannot be promised. With B = M J (M
/// depends on the shape and the place alone) the error is below 1e-12 of |M| |J|: of the field that the same
/// polarization would have along x, y and z, root of the sum of squares. That is 1e-12 of |B| itself everywhere but
/// near a null (where |B| is below a tenth of that). In the middle of the bore all of M may vanish; there it is 1e-12
/// of |M| |J| near by.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::{FieldSource, Ring};
/// use yokewright::units::{MM, MT};
///
/// // A ring of 12 x 5 x 2 mm and 1.24 T. Close to its bore the field points the other way.
/// let ring = Ring::new(12.0 * MM, 5.0 * MM, 2.0 * MM, Vector3::new(0.0, 0.0, 1.24), Isometry3::identity())?;
/// let b = |z: f64| ring.field_at(&Point3::new(0.0, 0.0, z)).map(|b| b.z / MT);
/// assert!((b(11.0 * MM)? - 17.42).abs() < 0.01 && b(0.0)? < 0.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// As [`Cylinder`](crate::magnet::Cylinder): the field is that of the outer cylinder without that of the inner one.
#[derive(Clone, PartialEq)]
pub struct Ring {
    outer_diameter: f64,
    inner_diameter: f64,
    length: f64,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>,
    placed: Placed,
}

debug_as_call!(Ring, |self, f| {
    let (
        Self {
            outer_diameter,
            inner_diameter,
            length,
            ..
        },
        polarization,
    ) = (self, coordinates(self.polarization));
    let pose = pose(&self.pose);
    write!(
        f,
        "Ring::new({outer_diameter:?}, {inner_diameter:?}, {length:?}, {polarization}, {pose})?"
    )
});

impl Ring {
    /// A ring of the given diameters and length (m) and polarization (T, in the ring's own frame), placed by `pose`.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] or [`Error::NotAscending`] if the outer diameter or the length is
    /// not within 0.01 mm to 1 m, the bore is not at least 0.001 mm and smaller, the wall is thinner than 0.001 mm,
    /// the polarization exceeds 2.5 T, or the pose is not a finite rigid motion within 1e6 m. (Without a bore it is a
    /// [`Cylinder`](crate::magnet::Cylinder).)
    pub fn new(
        outer_diameter: f64,
        inner_diameter: f64,
        length: f64,
        polarization: Vector3<f64>,
        pose: Isometry3<f64>,
    ) -> Result<Self> {
        let [min, max] = SIZE_RANGE;
        within("ring outer diameter", outer_diameter, min, max, "m")?;
        within("ring inner diameter", inner_diameter, MIN_BORE, max, "m")?;
        within("ring length", length, min, max, "m")?;
        if inner_diameter >= outer_diameter {
            return Err(Error::NotAscending {
                quantity: "ring diameters (inner, outer)",
                lower: inner_diameter,
                upper: outer_diameter,
                unit: "m",
            });
        }
        let wall = 0.5 * (outer_diameter - inner_diameter);
        within("ring wall", wall, MIN_WALL, max, "m")?;
        check_polarization(&polarization)?;
        check_pose(&pose)?;
        Ok(Self {
            outer_diameter,
            inner_diameter,
            length,
            polarization,
            pose,
            placed: Placed::new(outer_diameter, inner_diameter, length, &polarization, &pose),
        })
    }

    /// Outer diameter, m.
    #[must_use]
    pub fn outer_diameter(&self) -> f64 {
        self.outer_diameter
    }

    /// Inner diameter, m: that of the bore.
    #[must_use]
    pub fn inner_diameter(&self) -> f64 {
        self.inner_diameter
    }

    /// Length along the axis, m; of a washer the thickness.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.length
    }

    /// Polarization in the ring's own frame, T.
    #[must_use]
    pub fn polarization(&self) -> Vector3<f64> {
        self.polarization
    }

    /// Where the ring stands.
    #[must_use]
    pub fn pose(&self) -> Isometry3<f64> {
        self.pose
    }
}

impl Shape for Ring {
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
        let diameters = [self.outer_diameter, self.inner_diameter];
        Self::new(diameters[0], diameters[1], self.length, polarization, pose)
    }

    fn beyond(&self, point: &Point3<f64>) -> f64 {
        let p = self.pose.inverse_transform_point(point);
        let rho = p.x.hypot(p.y);
        let beyond_wall = (rho - 0.5 * self.outer_diameter).max(0.5 * self.inner_diameter - rho);
        round::distance(beyond_wall, p.z.abs() - 0.5 * self.length)
    }
}

stored_by_its_constructor!(Ring {
    outer_diameter: f64,
    inner_diameter: f64,
    length: f64,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>
} => Self::new(outer_diameter, inner_diameter, length, polarization, pose));
