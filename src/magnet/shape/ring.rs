//! The ring: a hollow cylinder, polarized in any direction.

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};

use crate::error::{Error, Result, within};
use crate::magnet::kernel::cylinder::{self, Placed};
use crate::magnet::shape::round;
use crate::magnet::{Fields, Gradients, check_point, check_polarization, check_pose};

/// The smallest and the largest outer diameter or length, m. Real ones run from about a millimetre to 0.3 m.
const SIZE_RANGE: [f64; 2] = [1e-5, 1.0];
/// The smallest bore, m.
const MIN_BORE: f64 = 1e-6;
/// The smallest wall, m: thinner than any coating.
const MIN_WALL: f64 = 1e-6;

/// A uniformly polarized hollow cylinder: ring, washer or tube.
///
/// The ring's own frame has its origin at the center and z along the axis; `pose` places it. The polarization is given in the
/// ring's own frame, so it turns with the ring: (0, 0, j) is axial, (j, 0, 0) across. It is one direction throughout: a
/// radially polarized or multipole ring is another magnet.
///
/// # Accuracy
/// As [`Cylinder`](crate::magnet::Cylinder), for walls down to 1e-3 of the radius, of any length; but the field of a ring has nulls, polarized axially
/// as well as across, and a share of nothing cannot be promised. With B = M J (M depends on the shape and the place alone) the error is
/// below 1e-12 of |M| |J|: of the field that the same polarization would have along x, y and z, root of the sum of squares. That is 1e-12 of |B|
/// itself everywhere but near a null (where |B| is below a tenth of that). In the middle of the bore all of M may vanish; there it is 1e-12 of |M| |J| near by.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::Ring;
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
#[derive(Debug, Clone, PartialEq)]
pub struct Ring {
    outer_diameter: f64,
    inner_diameter: f64,
    length: f64,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>,
    placed: Placed,
}

impl Ring {
    /// A ring of the given diameters and length (m) and polarization (T, in the ring's own frame), placed by `pose`.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] or [`Error::NotAscending`] if the outer diameter or the length is not within 0.01 mm to
    /// 1 m, the bore is not at least 0.001 mm and smaller, the wall is thinner than 0.001 mm, the polarization exceeds
    /// 2.5 T, or the pose is not a finite rigid motion within 1e6 m. (Without a bore it is a [`Cylinder`](crate::magnet::Cylinder).)
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

    /// The same ring moved by `motion` (applied after its present pose).
    ///
    /// # Errors
    /// As [`Ring::new`], for the new pose.
    pub fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        Self::new(
            self.outer_diameter,
            self.inner_diameter,
            self.length,
            self.polarization,
            motion * self.pose,
        )
    }

    /// Distance of a point from the surface, m: positive outside (the bore is outside), negative in the material.
    ///
    /// # Errors
    /// If the point is not finite or lies more than 1e6 m out.
    pub fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        check_point(point)?;
        let p = self.pose.inverse_transform_point(point);
        let rho = p.x.hypot(p.y);
        let beyond_wall = (rho - 0.5 * self.outer_diameter).max(0.5 * self.inner_diameter - rho);
        Ok(round::distance(beyond_wall, p.z.abs() - 0.5 * self.length))
    }

    /// Flux density B at a point, T (inside the material too, where B = mu0 H + J).
    ///
    /// On a face, the mantle or the wall of the bore, where B jumps, the limit from outside the material is returned.
    ///
    /// # Errors
    /// [`Error::OnEdge`] on a rim, where the field of an ideal ring has no value;
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the point is not finite or lies more than 1e6 m out.
    pub fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        round::field_at(&self.placed, point)
    }

    /// Gradient of B at a point, T/m: element (i, j) is dB_i/dx_j, in the frame of the query.
    ///
    /// Symmetric and of trace 0, inside the material too. Better than 1e-12 of its Frobenius norm where the field is better than 1e-12 of |B|. On
    /// the mantle and the wall of the bore, where it jumps, the limit from outside is returned.
    ///
    /// # Errors
    /// As [`Ring::field_at`].
    pub fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
        round::gradient_at(&self.placed, point)
    }

    /// Gradient of B at many points, T/m, same as one by one.
    ///
    /// Rows where [`Ring::gradient_at`] would return an error are NaN and marked.
    #[must_use]
    pub fn gradients_at(&self, points: &[Point3<f64>]) -> Gradients {
        Gradients::collect(points, |points, values| self.add_gradients(points, values))
    }

    /// Field strength H at a point, A/m: (B - J) / mu0, but computed without that difference, so that it keeps its accuracy inside
    /// a long magnet, where B and J nearly agree. Better than 1e-12 of |H|, near a null of the parts as for B (see [`Ring`]).
    ///
    /// On a face, the mantle or the wall of the bore, where H jumps, the limit from outside the material is returned.
    ///
    /// # Errors
    /// As [`Ring::field_at`].
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
    /// Rows where [`Ring::field_at`] would return an error are NaN and marked. Values agree with `field_at` to 1e-12 of |B|, near a null of the parts (see [`Ring`]).
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
