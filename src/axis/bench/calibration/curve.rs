//! A calibration curve: the position that a count stands for.

use serde::{Deserialize, Serialize};

use crate::axis::bench::sweep::MAX_ANGLE;
use crate::error::{Error, Result, ascending, counted, finite, within};
use crate::numeric::pchip::Pchip;

/// Coefficients of a polynomial, and points of a table or a cubic.
const COEFFICIENTS: [usize; 2] = [2, 32];
const POINTS: [usize; 2] = [2, 1025];
/// More than any converter counts.
const MAX_COUNT: f64 = 1e8;
/// Places at which the slope of a polynomial is looked at.
const LOOKS: usize = 4097;

/// The position that a count stands for, held beyond the ends of the counts that it was made of.
///
/// Positions strictly rise or strictly fall with the count.
///
/// # Example
/// ```
/// use yokewright::axis::CalibrationCurve;
///
/// let curve = CalibrationCurve::table(&[[500.0, -0.2], [2000.0, 0.0], [3600.0, 0.2]])?;
/// assert_eq!(curve.position(1250.0)?, -0.1);
/// assert_eq!(curve.position(4000.0)?, 0.2);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "StoredCurve", into = "StoredCurve")]
pub struct CalibrationCurve {
    shape: Shape,
}

#[derive(Debug, Clone, PartialEq)]
enum Shape {
    /// c0 T0(x) + c1 T1(x) + ..., x from -1 to 1 over the counts.
    Polynomial {
        counts: [f64; 2],
        coefficients: Vec<f64>,
    },
    /// Straight between points.
    Table(Vec<[f64; 2]>),
    /// Monotone cubics through points.
    Cubic(Vec<[f64; 2]>, Pchip),
}

/// As it is stored: by what its constructors take.
#[derive(Serialize, Deserialize)]
#[serde(
    rename = "CalibrationCurve",
    rename_all = "snake_case",
    deny_unknown_fields
)]
enum StoredCurve {
    Polynomial {
        counts: [f64; 2],
        coefficients: Vec<f64>,
    },
    Table(Vec<[f64; 2]>),
    Cubic(Vec<[f64; 2]>),
}

impl From<CalibrationCurve> for StoredCurve {
    fn from(curve: CalibrationCurve) -> Self {
        match curve.shape {
            Shape::Polynomial {
                counts,
                coefficients,
            } => Self::Polynomial {
                counts,
                coefficients,
            },
            Shape::Table(points) => Self::Table(points),
            Shape::Cubic(points, _) => Self::Cubic(points),
        }
    }
}

impl TryFrom<StoredCurve> for CalibrationCurve {
    type Error = Error;

    fn try_from(stored: StoredCurve) -> Result<Self> {
        match stored {
            StoredCurve::Polynomial {
                counts,
                coefficients,
            } => Self::polynomial(counts, coefficients),
            StoredCurve::Table(points) => Self::table(&points),
            StoredCurve::Cubic(points) => Self::monotone_cubic(&points),
        }
    }
}

impl CalibrationCurve {
    /// A polynomial by its Chebyshev coefficients, rad, 2 to 32: their sum with T_k(x), x from -1 at the first count to
    /// 1 at the second.
    ///
    /// # Errors
    /// [`Error::Count`], [`Error::NotFinite`], [`Error::NotAscending`]; [`Error::TurnsBack`] for one that does not go
    /// one way, as looked at in 4097 places.
    pub fn polynomial(counts: [f64; 2], coefficients: Vec<f64>) -> Result<Self> {
        check_counts(counts)?;
        let terms = coefficients.len();
        counted("coefficients of the calibration", terms, COEFFICIENTS)?;
        for coefficient in &coefficients {
            finite("coefficient of the calibration", *coefficient, "rad")?;
        }
        let curve = Self {
            shape: Shape::Polynomial {
                counts,
                coefficients,
            },
        };
        let place = |i: usize| {
            let part = i as f64 / (LOOKS - 1) as f64;
            counts[0] * (1.0 - part) + counts[1] * part
        };
        let points: Vec<[f64; 2]> = (0..LOOKS)
            .map(|i| [place(i), curve.value(place(i))])
            .collect();
        check_way(&points)?;
        Ok(curve)
    }

    /// Straight lines between points of count and position (rad), 2 to 1025, counts ascending.
    ///
    /// # Errors
    /// [`Error::Count`]; [`Error::NotFinite`], [`Error::OutOfRange`] beyond a full turn, [`Error::NotAscending`];
    /// [`Error::TurnsBack`] for positions that do not go one way.
    pub fn table(points: &[[f64; 2]]) -> Result<Self> {
        check_points(points)?;
        Ok(Self {
            shape: Shape::Table(points.to_vec()),
        })
    }

    /// Monotone cubics through points as those of [`CalibrationCurve::table`].
    ///
    /// # Errors
    /// As [`CalibrationCurve::table`].
    pub fn monotone_cubic(points: &[[f64; 2]]) -> Result<Self> {
        check_points(points)?;
        let curve = Pchip::new(points).ok_or(Error::Count {
            quantity: "points of the calibration",
            count: points.len(),
            min: POINTS[0],
            max: POINTS[1],
        })?;
        Ok(Self {
            shape: Shape::Cubic(points.to_vec(), curve),
        })
    }

    /// Least and greatest count that it was made of.
    #[must_use]
    pub fn counts(&self) -> [f64; 2] {
        match &self.shape {
            Shape::Polynomial { counts, .. } => *counts,
            Shape::Table(points) | Shape::Cubic(points, _) => {
                [points[0][0], points[points.len() - 1][0]]
            }
        }
    }

    /// Least and greatest position, rad.
    #[must_use]
    pub fn positions_range(&self) -> [f64; 2] {
        let [a, b] = self.counts().map(|count| self.value(count));
        [a.min(b), a.max(b)]
    }

    /// Whether the position grows with the count.
    #[must_use]
    pub fn is_rising(&self) -> bool {
        let [a, b] = self.counts().map(|count| self.value(count));
        a < b
    }

    /// The points of a table or a cubic, count and position (rad); none of a polynomial.
    #[must_use]
    pub fn points(&self) -> Option<&[[f64; 2]]> {
        match &self.shape {
            Shape::Polynomial { .. } => None,
            Shape::Table(points) | Shape::Cubic(points, _) => Some(points),
        }
    }

    /// The Chebyshev coefficients of a polynomial, rad; none of another curve.
    #[must_use]
    pub fn coefficients(&self) -> Option<&[f64]> {
        match &self.shape {
            Shape::Polynomial { coefficients, .. } => Some(coefficients),
            Shape::Table(_) | Shape::Cubic(..) => None,
        }
    }

    /// Position of a count, rad; beyond the ends of its counts that of the end.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn position(&self, count: f64) -> Result<f64> {
        finite("count", count, "counts")?;
        Ok(self.value(count))
    }

    /// Positions of many counts, rad, and whether each count is a number: NaN and false where not.
    #[must_use]
    pub fn positions(&self, counts: &[f64]) -> (Vec<f64>, Vec<bool>) {
        let value = |count: &f64| {
            let valid = count.is_finite();
            (if valid { self.value(*count) } else { f64::NAN }, valid)
        };
        counts.iter().map(value).unzip()
    }

    /// [`CalibrationCurve::position`] of a finite count.
    pub(in crate::axis::bench) fn value(&self, count: f64) -> f64 {
        let [least, most] = self.counts();
        let count = count.clamp(least, most);
        match &self.shape {
            Shape::Polynomial { coefficients, .. } => {
                let x = (2.0 * (count - least) / (most - least) - 1.0).clamp(-1.0, 1.0);
                chebyshev_sum(coefficients, x)
            }
            Shape::Table(points) => {
                let next = points.partition_point(|point| point[0] < count);
                let next = next.clamp(1, points.len() - 1);
                let [a, b] = [points[next - 1], points[next]];
                let part = (count - a[0]) / (b[0] - a[0]);
                a[1] * (1.0 - part) + b[1] * part
            }
            Shape::Cubic(_, curve) => curve.at(count).value,
        }
    }
}

/// c0 T0(x) + c1 T1(x) + ... (Clenshaw).
fn chebyshev_sum(coefficients: &[f64], x: f64) -> f64 {
    let (mut next, mut after) = (0.0, 0.0);
    for coefficient in coefficients.iter().skip(1).rev() {
        (next, after) = (coefficient + 2.0 * x * next - after, next);
    }
    coefficients.first().copied().unwrap_or(0.0) + x * next - after
}

/// T0(x), T1(x), ... as many as there is room for.
pub(super) fn chebyshev_values(x: f64, values: &mut [f64]) {
    let (mut before, mut value) = (x, 1.0);
    for place in values {
        *place = value;
        (before, value) = (value, 2.0 * x * value - before);
    }
}

fn check_counts(counts: [f64; 2]) -> Result<()> {
    ascending("counts of the calibration", counts, "counts")?;
    for count in counts {
        within(
            "count of the calibration",
            count,
            -MAX_COUNT,
            MAX_COUNT,
            "counts",
        )?;
    }
    Ok(())
}

fn check_points(points: &[[f64; 2]]) -> Result<()> {
    counted("points of the calibration", points.len(), POINTS)?;
    for [count, position] in points {
        within(
            "count of the calibration",
            *count,
            -MAX_COUNT,
            MAX_COUNT,
            "counts",
        )?;
        let of = "position of the calibration";
        within(of, *position, -2.0 * MAX_ANGLE, 2.0 * MAX_ANGLE, "rad")?;
    }
    for pair in points.windows(2) {
        ascending(
            "counts of the calibration",
            [pair[0][0], pair[1][0]],
            "counts",
        )?;
    }
    check_way(points)
}

/// Refuses positions that do not strictly go the way of the outer ones.
fn check_way(points: &[[f64; 2]]) -> Result<()> {
    let way = points[points.len() - 1][1] - points[0][1];
    let turns_back = |pair: &&[[f64; 2]]| {
        let step = (pair[1][1] - pair[0][1]) * way.signum();
        // Coefficients beyond all measure overflow.
        step <= 0.0 || step.is_nan()
    };
    let back = points.windows(2).find(turns_back);
    match back {
        Some(pair) => Err(Error::TurnsBack {
            quantity: "the positions of the calibration",
            from: pair[0][0],
            to: pair[1][0],
            over: "counts",
            before: pair[0][1],
            after: pair[1][1],
            unit: "rad",
            advice: "take fewer knots or a lower degree, or more readings",
        }),
        None => Ok(()),
    }
}
