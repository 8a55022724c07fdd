//! The sphere, polarized in any direction.

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};

use crate::error::{Result, within};
use crate::magnet::{Fields, Gradients, check_point, check_polarization, check_pose};
use crate::numeric::simd::dispatch::{Loop, dispatch};
use crate::numeric::simd::lanes::{mul_add, select};
use crate::units::MU_0;

/// The smallest and the largest diameter, m. Real ones run from about a millimetre to 0.1 m.
const DIAMETER_RANGE: [f64; 2] = [1e-5, 1.0];

/// A uniformly polarized ball.
///
/// The sphere's own frame has its origin at the center; `pose` places it. The polarization is given in the sphere's own frame, so it
/// turns with the pose.
///
/// Outside, the field is exactly that of a dipole at the center, B = R^3 (3 (J . n) n - J) / (3 r^3) with n the direction from
/// the center; inside, it is uniform, B = 2 J / 3.
///
/// # Accuracy
/// Better than 1e-14 of |B|, and of the gradient, everywhere.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::Sphere;
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
#[derive(Debug, Clone, PartialEq)]
pub struct Sphere {
    diameter: f64,
    polarization: Vector3<f64>,
    pose: Isometry3<f64>,
    ball: Ball,
}

impl Sphere {
    /// A sphere of the given diameter (m) and polarization (T, in the sphere's own frame), placed by `pose`.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the diameter is not within 0.01 mm to
    /// 1 m, the polarization exceeds 2.5 T, or the pose is not a finite rigid motion within 1e6 m.
    pub fn new(diameter: f64, polarization: Vector3<f64>, pose: Isometry3<f64>) -> Result<Self> {
        let [min, max] = DIAMETER_RANGE;
        within("sphere diameter", diameter, min, max, "m")?;
        check_polarization(&polarization)?;
        check_pose(&pose)?;
        Ok(Self {
            diameter,
            polarization,
            pose,
            ball: Ball {
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

    /// The same sphere moved by `motion` (applied after its present pose).
    ///
    /// # Errors
    /// As [`Sphere::new`], for the new pose.
    pub fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        Self::new(self.diameter, self.polarization, motion * self.pose)
    }

    /// Distance of a point from the surface, m: positive outside, negative inside.
    ///
    /// # Errors
    /// If the point is not finite or lies more than 1e6 m out.
    pub fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        check_point(point)?;
        Ok((point.coords - self.pose.translation.vector).norm() - 0.5 * self.diameter)
    }

    /// Flux density B at a point, T (inside the material too, where B = mu0 H + J = 2 J / 3).
    ///
    /// On the surface, where B jumps, the limit from outside is returned.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the point is not
    /// finite or lies more than 1e6 m out.
    pub fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        check_point(point)?;
        Ok(self.ball.field::<false>((*point).into()).into())
    }

    /// Field strength H at a point, A/m: -J / (3 mu0) inside. On the surface the limit from outside is returned.
    ///
    /// # Errors
    /// As [`Sphere::field_at`].
    pub fn h_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        let b = self.field_at(point)?;
        // Half of B with the sign turned is -J / 3 to the last bit; B - J would not be.
        let strength = if self.ball.is_inside(point) {
            b * -0.5
        } else {
            b
        };
        Ok(strength / MU_0)
    }

    /// Polarization J at a point, T, in the frame of the query: zero outside and, as a limit from outside, on the surface.
    ///
    /// # Errors
    /// As [`Sphere::field_at`].
    pub fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        check_point(point)?;
        Ok(if self.ball.is_inside(point) {
            self.ball.polarization.into()
        } else {
            Vector3::zeros()
        })
    }

    /// Flux density B at many points, T: the fast path.
    ///
    /// Rows where [`Sphere::field_at`] would return an error are NaN and marked. Values agree with `field_at` to a few units in the last place.
    #[must_use]
    pub fn fields_at(&self, points: &[Point3<f64>]) -> Fields {
        Fields::collect(points, |points, values| self.add_fields(points, values))
    }

    /// Gradient of B at a point, T/m: element (i, j) is dB_i/dx_j, in the frame of the query.
    ///
    /// Symmetric and of trace 0; zero inside, where B is uniform. On the surface the limit from outside is returned.
    ///
    /// # Errors
    /// As [`Sphere::field_at`].
    pub fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
        check_point(point)?;
        Ok(symmetric(self.ball.gradient::<false>((*point).into())))
    }

    /// Gradient of B at many points, T/m: the fast path.
    ///
    /// Rows where [`Sphere::gradient_at`] would return an error are NaN and marked. Values agree with `gradient_at` to a few units in the last place.
    #[must_use]
    pub fn gradients_at(&self, points: &[Point3<f64>]) -> Gradients {
        Gradients::collect(points, |points, values| self.add_gradients(points, values))
    }

    /// Adds the flux density at each point to `values`.
    pub(in crate::magnet) fn add_fields(
        &self,
        points: &[Point3<f64>],
        values: &mut [Vector3<f64>],
    ) {
        dispatch(AddFields(&self.ball, points, values));
    }

    /// Adds the gradient at each point to `values`.
    pub(in crate::magnet) fn add_gradients(
        &self,
        points: &[Point3<f64>],
        values: &mut [Matrix3<f64>],
    ) {
        dispatch(AddGradients(&self.ball, points, values));
    }
}

/// A sphere in the frame of the query.
#[derive(Debug, Clone, PartialEq)]
struct Ball {
    center: [f64; 3],
    radius: f64,
    polarization: [f64; 3],
}

/// Where a point stands: direction from the center, the parts of J that count there, and how the field has fallen.
struct Place {
    inside: bool,
    n: [f64; 3],
    /// J . n
    along: f64,
    /// R^3 / r^3
    fall: f64,
    inverse_r: f64,
}

impl Ball {
    fn is_inside(&self, point: &Point3<f64>) -> bool {
        self.place::<false>((*point).into()).inside
    }

    #[inline(always)]
    fn place<const FMA: bool>(&self, point: [f64; 3]) -> Place {
        let d = [
            point[0] - self.center[0],
            point[1] - self.center[1],
            point[2] - self.center[2],
        ];
        // Never fused: one point and many must agree on which side of the surface a point lies.
        let r2 = d[0] * d[0] + d[1] * d[1] + d[2] * d[2];
        let inverse_r = 1.0 / r2.sqrt();
        let n = [d[0] * inverse_r, d[1] * inverse_r, d[2] * inverse_r];
        let j = self.polarization;
        let ratio = self.radius * inverse_r;
        Place {
            // In the very center n is no direction, but there it does not count.
            inside: r2 < self.radius * self.radius,
            n,
            along: mul_add::<FMA>(j[0], n[0], mul_add::<FMA>(j[1], n[1], j[2] * n[2])),
            fall: ratio * ratio * ratio,
            inverse_r,
        }
    }

    #[inline(always)]
    fn field<const FMA: bool>(&self, point: [f64; 3]) -> [f64; 3] {
        const THIRD: f64 = 1.0 / 3.0;
        let Place {
            inside,
            n,
            along,
            fall,
            ..
        } = self.place::<FMA>(point);
        let j = self.polarization;
        let outer = [
            fall * mul_add::<FMA>(along, n[0], -THIRD * j[0]),
            fall * mul_add::<FMA>(along, n[1], -THIRD * j[1]),
            fall * mul_add::<FMA>(along, n[2], -THIRD * j[2]),
        ];
        [
            select(inside, 2.0 * THIRD * j[0], outer[0]),
            select(inside, 2.0 * THIRD * j[1], outer[1]),
            select(inside, 2.0 * THIRD * j[2], outer[2]),
        ]
    }

    /// R^3 / r^4 [(J . n)(1 - 5 n n) + n J + J n]: xx, xy, xz, yy, yz, zz.
    #[inline(always)]
    fn gradient<const FMA: bool>(&self, point: [f64; 3]) -> [f64; 6] {
        let Place {
            inside,
            n,
            along,
            fall,
            inverse_r,
        } = self.place::<FMA>(point);
        let j = self.polarization;
        // Half of J n + n J - 5 (J . n) n n is v n, made symmetric.
        let v = [
            mul_add::<FMA>(-2.5 * along, n[0], j[0]),
            mul_add::<FMA>(-2.5 * along, n[1], j[1]),
            mul_add::<FMA>(-2.5 * along, n[2], j[2]),
        ];
        let scale = fall * inverse_r;
        let outer = [
            scale * mul_add::<FMA>(2.0 * v[0], n[0], along),
            scale * mul_add::<FMA>(v[0], n[1], v[1] * n[0]),
            scale * mul_add::<FMA>(v[0], n[2], v[2] * n[0]),
            scale * mul_add::<FMA>(2.0 * v[1], n[1], along),
            scale * mul_add::<FMA>(v[1], n[2], v[2] * n[1]),
            scale * mul_add::<FMA>(2.0 * v[2], n[2], along),
        ];
        [
            select(inside, 0.0, outer[0]),
            select(inside, 0.0, outer[1]),
            select(inside, 0.0, outer[2]),
            select(inside, 0.0, outer[3]),
            select(inside, 0.0, outer[4]),
            select(inside, 0.0, outer[5]),
        ]
    }
}

#[inline(always)]
fn symmetric([xx, xy, xz, yy, yz, zz]: [f64; 6]) -> Matrix3<f64> {
    Matrix3::new(xx, xy, xz, xy, yy, yz, xz, yz, zz)
}

struct AddFields<'a>(&'a Ball, &'a [Point3<f64>], &'a mut [Vector3<f64>]);

impl Loop for AddFields<'_> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        for (point, value) in self.1.iter().zip(self.2) {
            let b = self.0.field::<FMA>([point.x, point.y, point.z]);
            *value += Vector3::new(b[0], b[1], b[2]);
        }
    }
}

struct AddGradients<'a>(&'a Ball, &'a [Point3<f64>], &'a mut [Matrix3<f64>]);

impl Loop for AddGradients<'_> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        for (point, value) in self.1.iter().zip(self.2) {
            *value += symmetric(self.0.gradient::<FMA>([point.x, point.y, point.z]));
        }
    }
}
