//! The block: a rectangular magnet, polarized in any direction.

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};

use crate::error::{Result, within};
use crate::magnet::kernel::block::{self, Placed};
use crate::magnet::{Fields, Gradients, check_point, check_polarization, check_pose, defined};
use crate::numeric::simd::dispatch::{Loop, dispatch};
use crate::units::MU_0;

/// The smallest and the largest side, m. Real ones run from about half a millimetre to 0.2 m.
const SIDE_RANGE: [f64; 2] = [1e-5, 1.0];

/// A uniformly polarized rectangular magnet.
///
/// The block's own frame has its origin at the center and its axes along the sides; `pose` places it. The polarization is given in the
/// block's own frame, so it turns with the block.
///
/// # Accuracy
/// Better than 1e-13 of |B| from 1e-12 of the size off a face to a million times the size, on the planes of the faces, on the
/// extensions of the edges and for aspect ratios up to 1e4 (tested against 160-digit arithmetic; an oblique polarization
/// has nulls of the field, and there it is 1e-13 of the parts that cancel; see [`Block::field_at`] for what happens on the surface itself).
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::Block;
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
/// E. P. Furlani, *Permanent Magnet and Electromechanical Devices*, Academic Press 2001, ch. 4 (surface charge of the block).
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    size: Vector3<f64>,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>,
    placed: Placed,
}

impl Block {
    /// A block of the given side lengths (m) and polarization (T, in the block's own frame), placed by `pose`.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if a side is not within 0.01 mm to 1 m, the polarization exceeds 2.5 T, or
    /// the pose is not a finite rigid motion within 1e6 m.
    pub fn new(
        size: Vector3<f64>,
        polarization: Vector3<f64>,
        pose: Isometry3<f64>,
    ) -> Result<Self> {
        let sides = ["block side x", "block side y", "block side z"];
        for (name, value) in sides.into_iter().zip(size.iter()) {
            within(name, *value, SIDE_RANGE[0], SIDE_RANGE[1], "m")?;
        }
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

    /// The same block moved by `motion` (applied after its present pose).
    ///
    /// # Errors
    /// As [`Block::new`], for the new pose.
    pub fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        Self::new(self.size, self.polarization, motion * self.pose)
    }

    /// Distance of a point from the surface, m: positive outside, negative inside.
    ///
    /// # Errors
    /// If the point is not finite or lies more than 1e6 m out.
    pub fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        check_point(point)?;
        let beyond = self.pose.inverse_transform_point(point).coords.abs() - self.size * 0.5;
        Ok(beyond.sup(&Vector3::zeros()).norm() + beyond.max().min(0.0))
    }

    /// Flux density B at a point, T (inside the material too, where B = mu0 H + J).
    ///
    /// On a face, where B jumps, the limit from outside is returned.
    ///
    /// # Errors
    /// [`Error::OnEdge`](crate::Error::OnEdge) on an edge or corner, where the field of an ideal block has no value;
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the point is not finite or lies more than 1e6 m out.
    pub fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        check_point(point)?;
        // Only an edge makes the kernel return anything but numbers.
        defined(block::field(&self.placed, point), point)
    }

    /// Field strength H at a point, A/m: (B - J) / mu0, but computed without that difference, so that it keeps its accuracy
    /// inside a thin magnet, where B and J nearly agree. Better than 1e-13 of |H|.
    ///
    /// On a face, where H jumps, the limit from outside is returned.
    ///
    /// # Errors
    /// As [`Block::field_at`].
    pub fn h_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        check_point(point)?;
        let strength = defined(block::strength(&self.placed, point), point)?;
        Ok(strength / MU_0)
    }

    /// Polarization J at a point, T, in the frame of the query: zero outside and, as a limit from outside, on the surface.
    ///
    /// # Errors
    /// If the point is not finite or lies more than 1e6 m out.
    pub fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        check_point(point)?;
        Ok(if block::is_inside(&self.placed, point) {
            self.pose.rotation * self.polarization
        } else {
            Vector3::zeros()
        })
    }

    /// Flux density B at many points, T: the fast path.
    ///
    /// Rows where [`Block::field_at`] would return an error are NaN and marked. Values agree with `field_at` to a few units in the last place.
    #[must_use]
    pub fn fields_at(&self, points: &[Point3<f64>]) -> Fields {
        Fields::collect(points, |points, values| self.add_fields(points, values))
    }

    /// Gradient of B at a point, T/m: element (i, j) is dB_i/dx_j, in the frame of the query.
    ///
    /// Symmetric and of trace 0, inside the material too (curl and divergence of B vanish there as well, since J is uniform).
    /// In closed form; better than 1e-13 of its Frobenius norm where [`Block::field_at`] is better than 1e-13 of |B| (measured: 2e-15). On a
    /// face, where B jumps, it is the gradient on either side, which is the same.
    ///
    /// # Errors
    /// As [`Block::field_at`].
    pub fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
        check_point(point)?;
        // Only an edge makes the kernel return anything but numbers.
        defined(block::gradient(&self.placed, point), point)
    }

    /// Gradient of B at many points, T/m: the fast path.
    ///
    /// Rows where [`Block::gradient_at`] would return an error are NaN and marked. Values agree with `gradient_at` to a few units in the last place.
    #[must_use]
    pub fn gradients_at(&self, points: &[Point3<f64>]) -> Gradients {
        Gradients::collect(points, |points, values| self.add_gradients(points, values))
    }

    /// Adds the flux density at each point to `values`; NaN where there is none.
    pub(in crate::magnet) fn add_fields(
        &self,
        points: &[Point3<f64>],
        values: &mut [Vector3<f64>],
    ) {
        dispatch(AddFields {
            placed: &self.placed,
            points,
            values,
        });
    }

    /// Adds the gradient at each point to `values`; NaN where there is none.
    pub(in crate::magnet) fn add_gradients(
        &self,
        points: &[Point3<f64>],
        values: &mut [Matrix3<f64>],
    ) {
        dispatch(AddGradients {
            placed: &self.placed,
            points,
            values,
        });
    }
}

struct AddFields<'a> {
    placed: &'a Placed,
    points: &'a [Point3<f64>],
    values: &'a mut [Vector3<f64>],
}

impl Loop for AddFields<'_> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        block::add_fields::<FMA>(self.placed, self.points, self.values);
    }
}

struct AddGradients<'a> {
    placed: &'a Placed,
    points: &'a [Point3<f64>],
    values: &'a mut [Matrix3<f64>],
}

impl Loop for AddGradients<'_> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        block::add_gradients::<FMA>(self.placed, self.points, self.values);
    }
}
