//! The mean of a field over a sensor's flat active area.

use std::f64::consts::{FRAC_1_SQRT_2, PI};
use std::sync::LazyLock;

use nalgebra::{Isometry3, Point3, SVector, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::magnet::{FieldSource, check_pose};
use crate::numeric::quadrature::gauss_legendre;
use crate::observer;
use crate::stored::stored_by_its_constructor;

/// The smallest and the largest side or diameter, m. Hall plates measure from about 5 micrometres to 5 mm; coils more.
const SIZE_RANGE: [f64; 2] = [1e-7, 0.1];
/// The tolerances that make sense: a field is computed to about 1e-13 of itself, and a percent is hardly a mean.
const TOLERANCE_RANGE: [f64; 2] = [1e-12, 0.1];

/// AreaOutline of an active area, m.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum AreaOutline {
    /// Along x and along y.
    Rectangle {
        /// Side along x.
        width: f64,
        /// Side along y.
        height: f64,
    },
    /// Round.
    Disc {
        /// Diameter.
        diameter: f64,
    },
}

/// A flat rectangular or round area over which a sensor averages the field.
///
/// The area's own frame has its origin at the center, the area in the plane z = 0 and its normal along z; `pose`
/// places it.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::{ActiveArea, Block, FieldSource};
/// use yokewright::units::{MM, MT, UM};
///
/// let size = Vector3::repeat(5.0 * MM);
/// let cube = Block::new(size, Vector3::new(0.0, 0.0, 1.3), Isometry3::identity())?;
/// let center = Point3::new(0.0, 0.0, 3.5 * MM);
/// // A large plate, 1 mm above the pole face, reads less than a point.
/// let pose = Isometry3::translation(center.x, center.y, center.z);
/// let plate = ActiveArea::rectangle(2.0 * MM, 2.0 * MM, pose)?;
/// let mean = plate.mean_field(&cube, 1e-6)?;
/// let loss = 1.0 - mean.value.z / cube.field_at(&center)?.z;
/// assert!(loss > 0.01 && loss < 0.05 && mean.error_estimate < 1.0e-6);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct ActiveArea {
    outline: AreaOutline,
    pose: Isometry3<f64>,
}

stored_by_its_constructor!(ActiveArea {
    outline: AreaOutline,
    pose: Isometry3<f64>
} => match outline {
    AreaOutline::Rectangle { width, height } => Self::rectangle(width, height, pose),
    AreaOutline::Disc { diameter } => Self::disc(diameter, pose),
});

/// A mean with what is known of its error.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct AreaMean {
    /// Mean flux density over the area, T, in the frame of the query.
    pub value: Vector3<f64>,
    /// How much the last raise of the order changed it, T: as a rule far more than the error that is left.
    pub error_estimate: f64,
    /// Points of the rule that gave it.
    pub points: usize,
}

impl ActiveArea {
    /// A rectangle of the given sides along its own x and y (m), placed by `pose`.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if a side is not within 0.1 micrometre to 0.1 m or the pose is
    /// not a finite rigid motion within 1e6 m.
    pub fn rectangle(width: f64, height: f64, pose: Isometry3<f64>) -> Result<Self> {
        let [min, max] = SIZE_RANGE;
        within("active area width", width, min, max, "m")?;
        within("active area height", height, min, max, "m")?;
        check_pose(&pose)?;
        let outline = AreaOutline::Rectangle { width, height };
        Ok(Self { outline, pose })
    }

    /// A disc of the given diameter (m), placed by `pose`.
    ///
    /// # Errors
    /// As [`ActiveArea::rectangle`], for the diameter.
    pub fn disc(diameter: f64, pose: Isometry3<f64>) -> Result<Self> {
        let [min, max] = SIZE_RANGE;
        within("active area diameter", diameter, min, max, "m")?;
        check_pose(&pose)?;
        let outline = AreaOutline::Disc { diameter };
        Ok(Self { outline, pose })
    }

    /// Shape and size.
    #[must_use]
    pub fn outline(&self) -> AreaOutline {
        self.outline
    }

    /// Surface, m2.
    #[must_use]
    pub fn surface(&self) -> f64 {
        match self.outline {
            AreaOutline::Rectangle { width, height } => width * height,
            AreaOutline::Disc { diameter } => 0.25 * PI * diameter * diameter,
        }
    }

    /// Where the area stands.
    #[must_use]
    pub fn pose(&self) -> Isometry3<f64> {
        self.pose
    }

    /// The same area moved by `motion` (applied after its present pose).
    ///
    /// # Errors
    /// As [`ActiveArea::rectangle`], for the new pose.
    pub fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        let pose = motion * self.pose;
        check_pose(&pose)?;
        Ok(Self { pose, ..*self })
    }

    /// Mean of the flux density over the area, T.
    ///
    /// Gauss-Legendre quadrature of rising order, on a rectangle along both sides, on a disc in the square of the
    /// radius with equally spaced angles (A. H. Stroud, *Approximate Calculation of Multiple Integrals*,
    /// Prentice-Hall 1971, product rules). The order rises until two successive rules agree to `tolerance` times the
    /// mean of |B|; so a field that changes sign over the area is no special case.
    ///
    /// The area may lie in the open, wholly within one magnet, or in a face (the limit from outside).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] if the tolerance is not within 1e-12 to 0.1. [`Error::AreaCut`] if the area cuts the
    /// surface of a body, where B jumps. (Looked for with up to some thousand points, so a cut shallower than a
    /// hundredth of the area's size may escape; the orders then have to agree all the same.) [`Error::OnEdge`] if a
    /// point of the rule lies on an edge. [`Error::NotConverged`] if the highest order, 64 x 64 points or 32 circles
    /// of 128, still differs from the one before, as happens when an edge lies within or very near the area.
    pub fn mean_field(&self, source: &dyn FieldSource, tolerance: f64) -> Result<AreaMean> {
        let [min, max] = TOLERANCE_RANGE;
        within(
            "tolerance of the mean field",
            tolerance,
            min,
            max,
            "(no unit)",
        )?;
        self.check_uncut(source)?;
        let named = ("mean field over the active area", "T");
        let means = self.means(1, tolerance, named, |_, points| {
            let fields = source.fields_at(points);
            if let Some(bad) = fields.valid.iter().position(|valid| !valid) {
                // The call for one point knows the reason.
                source.field_at(&points[bad])?;
            }
            Ok(fields.values.into_iter().map(|b| (b, b.norm())).collect())
        })?;
        let Reached {
            value,
            change,
            points,
        } = means[0];
        Ok(AreaMean {
            value,
            error_estimate: change,
            points,
        })
    }

    /// Means over the area of several functions, all by rules whose order rises until two agree to `tolerance` times
    /// the mean size.
    ///
    /// `values` is given the numbers of the functions that are still wanted and the points of a rule, in the frame of
    /// this area's pose; it returns what each function is at each point, function by function, with what counts as
    /// its size.
    pub(crate) fn means<const N: usize>(
        &self,
        functions: usize,
        tolerance: f64,
        (quantity, unit): (&'static str, &'static str),
        values: impl Fn(&[usize], &[Point3<f64>]) -> Result<Vec<(SVector<f64, N>, f64)>>,
    ) -> Result<Vec<Reached<N>>> {
        let rules: &[Rule] = match self.outline {
            AreaOutline::Rectangle { .. } => &SQUARE,
            AreaOutline::Disc { .. } => &CIRCLE,
        };
        let mut means: Vec<Option<Reached<N>>> = vec![None; functions];
        let mut wanted: Vec<usize> = (0..functions).collect();
        let mut missed = [0.0; 2];
        for rule in rules {
            observer::check()?;
            let points: Vec<_> = rule.iter().map(|node| self.point(node.at)).collect();
            let values = values(&wanted, &points)?;
            let mut rows = values.chunks_exact(points.len());
            wanted.retain(|&function| {
                let (mut value, mut size) = (SVector::zeros(), 0.0);
                for (node, (there, size_there)) in rule.iter().zip(rows.next().unwrap_or_default())
                {
                    value += there * node.weight;
                    size += size_there * node.weight;
                }
                let before = means[function].as_ref();
                let change = before.map_or(f64::INFINITY, |before| (value - before.value).norm());
                means[function] = Some(Reached {
                    value,
                    change: change.max(ROUNDING * size),
                    points: points.len(),
                });
                let differs = change > tolerance * size;
                if differs {
                    missed = [change, tolerance * size];
                }
                differs
            });
            if wanted.is_empty() {
                return Ok(means.into_iter().flatten().collect());
            }
        }
        let [reached, wanted] = missed;
        Err(Error::NotConverged {
            quantity,
            reached,
            wanted,
            unit,
        })
    }

    /// A point of the area from coordinates in [-1, 1].
    fn point(&self, [u, v]: [f64; 2]) -> Point3<f64> {
        let [x, y] = self.half();
        self.pose * Point3::new(u * x, v * y, 0.0)
    }

    /// Points of the outline, for what must keep clear of it: the corners, or eight of a circle.
    pub(crate) fn rim(&self) -> Vec<Point3<f64>> {
        let places: &[[f64; 2]] = match self.outline {
            AreaOutline::Rectangle { .. } => &[[-1.0, -1.0], [-1.0, 1.0], [1.0, -1.0], [1.0, 1.0]],
            AreaOutline::Disc { .. } => &[
                [-1.0, 0.0],
                [1.0, 0.0],
                [0.0, -1.0],
                [0.0, 1.0],
                [-FRAC_1_SQRT_2, -FRAC_1_SQRT_2],
                [-FRAC_1_SQRT_2, FRAC_1_SQRT_2],
                [FRAC_1_SQRT_2, -FRAC_1_SQRT_2],
                [FRAC_1_SQRT_2, FRAC_1_SQRT_2],
            ],
        };
        places.iter().map(|place| self.point(*place)).collect()
    }

    fn half(&self) -> [f64; 2] {
        match self.outline {
            AreaOutline::Rectangle { width, height } => [0.5 * width, 0.5 * height],
            AreaOutline::Disc { diameter } => [0.5 * diameter; 2],
        }
    }

    /// Refuses an area that cuts the surface of a body.
    pub(crate) fn check_uncut(&self, source: &dyn FieldSource) -> Result<()> {
        for body in 0..source.bodies() {
            if self.cuts(source, body)? {
                return Err(Error::AreaCut { body });
            }
        }
        Ok(())
    }

    /// Whether some of the area lies in a body and some outside.
    ///
    /// The distance from a surface changes by no more than the way gone, so that one look settles the side of a whole
    /// cell that is smaller than its distance; the others are quartered.
    fn cuts(&self, source: &dyn FieldSource, body: usize) -> Result<bool> {
        /// Looks at the distance: enough to follow a straight cut down to 1/256 of the area.
        const LOOKS: usize = 4096;
        /// The farthest that the center of a body stands from a point of its surface, m, about.
        const LARGEST: f64 = 1.0;
        let half = self.half();
        let size = half[0].hypot(half[1]);
        // What the poses may round; a point so near the surface counts as on it.
        let position = 2.0 * self.pose.translation.vector.norm() + LARGEST;
        let on_surface = 8.0 * f64::EPSILON * (position + size);
        let (mut inside, mut outside) = (false, false);
        let mut cells = vec![[0.0, 0.0, 1.0]];
        let mut next = 0;
        while next < cells.len().min(LOOKS) {
            observer::check()?;
            let [u, v, reach] = cells[next];
            next += 1;
            let (at, reach_there) = self.within_outline([u, v], reach);
            let distance = source.body_distance(body, &self.point(at))?;
            inside |= distance < -on_surface;
            outside |= distance > on_surface;
            if inside && outside {
                return Ok(true);
            }
            if distance.abs() < reach_there * size {
                let step = 0.5 * reach;
                cells.extend(
                    [[-1.0, -1.0], [-1.0, 1.0], [1.0, -1.0], [1.0, 1.0]]
                        .map(|[a, b]: [f64; 2]| [u + a * step, v + b * step, step]),
                );
            }
        }
        Ok(false)
    }

    /// A point of the area to stand for a cell, and how far from it, in half diagonals, the part of the area in the
    /// cell may reach.
    fn within_outline(&self, [u, v]: [f64; 2], reach: f64) -> ([f64; 2], f64) {
        let rho = u.hypot(v);
        match self.outline {
            AreaOutline::Disc { .. } if rho > 1.0 => ([u / rho, v / rho], 2.0 * reach),
            _ => ([u, v], reach),
        }
    }
}

/// A mean, by how much the last raise of the order changed it, and the points of the rule.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reached<const N: usize> {
    pub(crate) value: SVector<f64, N>,
    change: f64,
    points: usize,
}

/// Share of the mean of |B| below which an error estimate says nothing.
const ROUNDING: f64 = 4.0 * f64::EPSILON;

struct Node {
    /// In [-1, 1] along the half sides.
    at: [f64; 2],
    /// The weights add up to 1.
    weight: f64,
}

type Rule = Vec<Node>;

static SQUARE: LazyLock<Vec<Rule>> =
    LazyLock::new(|| [2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64].map(square).into());

static CIRCLE: LazyLock<Vec<Rule>> =
    LazyLock::new(|| [1, 2, 3, 4, 6, 8, 12, 16, 24, 32].map(circle).into());

/// Exact to degree 2 n - 1 in each direction.
fn square(n: usize) -> Rule {
    let line = gauss_legendre(n);
    let node = |&(u, one): &(f64, f64)| {
        line.iter().map(move |&(v, two)| Node {
            at: [u, v],
            weight: 0.25 * one * two,
        })
    };
    line.iter().flat_map(node).collect()
}

/// Exact to degree 4 n - 1: Gauss-Legendre in the square of the radius, 4 n angles to a circle.
fn circle(n: usize) -> Rule {
    let angles = 4 * n;
    let share = 0.5 / angles as f64;
    let circle = |(x, weight): (f64, f64)| {
        let radius = (0.5 * (1.0 + x)).sqrt();
        (0..angles).map(move |i| {
            let angle = (i as f64 + 0.5) * (std::f64::consts::TAU / angles as f64);
            Node {
                at: [radius * angle.cos(), radius * angle.sin()],
                weight: weight * share,
            }
        })
    };
    gauss_legendre(n).into_iter().flat_map(circle).collect()
}

#[cfg(test)]
#[path = "area_tests.rs"]
mod tests;
