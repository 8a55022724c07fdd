//! The cylinder: a solid round magnet, polarized in any direction.

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};

use crate::error::{Result, within};
use crate::magnet::kernel::cylinder::{self, Placed};
use crate::magnet::shape::round;
use crate::magnet::{Fields, Gradients, check_point, check_polarization, check_pose};

/// The smallest and the largest diameter or length, m. Real ones run from about half a millimetre to 0.3 m.
const SIZE_RANGE: [f64; 2] = [1e-5, 1.0];

/// A uniformly polarized solid cylinder: disc or rod.
///
/// The cylinder's own frame has its origin at the center and z along the axis; `pose` places it. The polarization is given in
/// the cylinder's own frame, so it turns with the cylinder: (0, 0, j) is axial, (j, 0, 0) across.
///
/// # Accuracy
/// Better than 1e-12 of |B| from 1e-6 of the size off a face to a million times the size, on the axis, on the planes of the faces, on the
/// continuation of the mantle and for aspect ratios up to 1000, polarized axially or across (tested against 70-digit
/// arithmetic; an oblique polarization has places where the two parts cancel, and there it is 1e-12 of the parts). See
/// [`Cylinder::field_at`] for what happens on the surface itself.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::Cylinder;
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
#[derive(Debug, Clone, PartialEq)]
pub struct Cylinder {
    diameter: f64,
    length: f64,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>,
    placed: Placed,
}

impl Cylinder {
    /// A cylinder of the given diameter and length (m) and polarization (T, in the cylinder's own frame), placed by `pose`.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the diameter or the
    /// length is not within 0.01 mm to 1 m, the polarization exceeds 2.5 T, or the pose is not a finite rigid motion within 1e6 m.
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

    /// The same cylinder moved by `motion` (applied after its present pose).
    ///
    /// # Errors
    /// As [`Cylinder::new`], for the new pose.
    pub fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        Self::new(
            self.diameter,
            self.length,
            self.polarization,
            motion * self.pose,
        )
    }

    /// Distance of a point from the surface, m: positive outside, negative inside.
    ///
    /// # Errors
    /// If the point is not finite or lies more than 1e6 m out.
    pub fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        check_point(point)?;
        let p = self.pose.inverse_transform_point(point);
        let beyond_mantle = p.x.hypot(p.y) - 0.5 * self.diameter;
        Ok(round::distance(
            beyond_mantle,
            p.z.abs() - 0.5 * self.length,
        ))
    }

    /// Flux density B at a point, T (inside the material too, where B = mu0 H + J).
    ///
    /// On a face or the mantle, where B jumps, the limit from outside is returned.
    ///
    /// # Errors
    /// [`Error::OnEdge`](crate::Error::OnEdge) on a rim, where the field of an ideal cylinder has no value;
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the point is not
    /// finite or lies more than 1e6 m out.
    pub fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        round::field_at(&self.placed, point)
    }

    /// Gradient of B at a point, T/m: element (i, j) is dB_i/dx_j, in the frame of the query.
    ///
    /// Symmetric and of trace 0, inside the material too. Better than 1e-12 of its Frobenius norm where the field is better than 1e-12 of |B|. On
    /// the mantle, where it jumps, the limit from outside is returned.
    ///
    /// # Errors
    /// As [`Cylinder::field_at`].
    pub fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
        round::gradient_at(&self.placed, point)
    }

    /// Gradient of B at many points, T/m, same as one by one.
    ///
    /// Rows where [`Cylinder::gradient_at`] would return an error are NaN and marked.
    #[must_use]
    pub fn gradients_at(&self, points: &[Point3<f64>]) -> Gradients {
        Gradients::collect(points, |points, values| self.add_gradients(points, values))
    }

    /// Field strength H at a point, A/m: (B - J) / mu0, but computed without that difference, so that it keeps its accuracy inside
    /// a long magnet, where B and J nearly agree. Better than 1e-12 of |H|.
    ///
    /// On a face or the mantle, where H jumps, the limit from outside the material is returned.
    ///
    /// # Errors
    /// As [`Cylinder::field_at`].
    pub fn h_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        round::h_at(&self.placed, point)
    }

    /// Polarization J at a point, T, in the frame of the query: zero outside and, as a limit from outside, on the surface.
    ///
    /// # Errors
    /// If the point is not finite or lies more than 1e6 m out.
    pub fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        check_point(point)?;
        Ok(if cylinder::is_inside(&self.placed, point) {
            self.pose.rotation * self.polarization
        } else {
            Vector3::zeros()
        })
    }

    /// Flux density B at many points, T: the fast path.
    ///
    /// Rows where [`Cylinder::field_at`] would return an error are NaN and marked. Values agree with `field_at` to 1e-12 of |B|, or of the parts of an oblique polarization.
    #[must_use]
    pub fn fields_at(&self, points: &[Point3<f64>]) -> Fields {
        Fields::collect(points, |points, values| self.add_fields(points, values))
    }

    /// Adds the flux density at each point to `values`; NaN where there is none.
    pub(in crate::magnet) fn add_fields(
        &self,
        points: &[Point3<f64>],
        values: &mut [Vector3<f64>],
    ) {
        round::add_fields(&self.placed, points, values);
    }

    /// Adds the gradient at each point to `values`; NaN where there is none.
    pub(in crate::magnet) fn add_gradients(
        &self,
        points: &[Point3<f64>],
        values: &mut [Matrix3<f64>],
    ) {
        round::add_gradients(&self.placed, points, values);
    }
}
