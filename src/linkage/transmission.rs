//! What turns one angle into another: the output angle and its derivatives, at one angle or many, and what ends the
//! travel.

use std::f64::consts::PI;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::{Result, finite};
use crate::linkage::{Pivot, Range, until_stopped};
use crate::numeric::simd::grid::Columns;

/// What a linkage gives at many input angles, same length and order as the angles.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Transfers {
    /// Output angles, rad; NaN in the rows that have none.
    pub angles: Vec<f64>,
    /// First derivatives of the output angle by the input angle.
    pub ratios: Vec<f64>,
    /// Second derivatives, 1/rad.
    pub curvatures: Vec<f64>,
    /// Whether the row has a value.
    pub valid: Vec<bool>,
}

/// Where `transfers_into` of a linkage writes what [`Transfers`] holds, an entry for each input angle; `None` for what
/// is not wanted.
#[derive(Debug, Default)]
pub struct TransferColumns<'a> {
    /// Output angles, rad.
    pub angles: Option<&'a mut [f64]>,
    /// First derivatives of the output angle by the input angle.
    pub ratios: Option<&'a mut [f64]>,
    /// Second derivatives, 1/rad.
    pub curvatures: Option<&'a mut [f64]>,
    /// Whether the row has a value.
    pub valid: Option<&'a mut [bool]>,
}

impl<'a> TransferColumns<'a> {
    pub(in crate::linkage) fn for_grid(self) -> Columns<'a, 3> {
        Columns {
            values: [self.angles, self.ratios, self.curvatures],
            valid: self.valid,
        }
    }
}

impl Transfers {
    /// Of so many rows, to be written.
    pub(in crate::linkage) fn blank(count: usize) -> Self {
        Self {
            angles: vec![0.0; count],
            ratios: vec![0.0; count],
            curvatures: vec![0.0; count],
            valid: vec![false; count],
        }
    }

    pub(in crate::linkage) fn columns(&mut self) -> TransferColumns<'_> {
        TransferColumns {
            angles: Some(&mut self.angles),
            ratios: Some(&mut self.ratios),
            curvatures: Some(&mut self.curvatures),
            valid: Some(&mut self.valid),
        }
    }

    /// The input itself.
    pub(in crate::linkage) fn identity(angles: &[f64]) -> Self {
        Self {
            angles: angles.to_vec(),
            ratios: vec![1.0; angles.len()],
            curvatures: vec![0.0; angles.len()],
            valid: angles.iter().map(|angle| angle.is_finite()).collect(),
        }
    }

    /// What comes out of `next`, whose inputs are the outputs of these, row by row; as many as both have, since work
    /// that was stopped is shorter.
    pub(in crate::linkage) fn then(&self, next: &Self) -> Self {
        let count = self.angles.len().min(next.angles.len());
        (0..count)
            .map(|i| {
                let valid = self.valid[i] && next.valid[i];
                let Transfer {
                    angle,
                    ratio,
                    curvature,
                } = self.row(i).then(&next.row(i));
                Transfer::new(angle, ratio, curvature)
                    .ok()
                    .filter(|_| valid)
            })
            .collect()
    }

    fn row(&self, i: usize) -> Transfer {
        Transfer {
            angle: self.angles[i],
            ratio: self.ratios[i],
            curvature: self.curvatures[i],
        }
    }

    /// Leaves the rows that are not valid without a value.
    pub(super) fn blank_where_not(&mut self, valid: &[bool]) {
        for (i, _) in valid.iter().enumerate().filter(|(_, valid)| !**valid) {
            self.valid[i] = false;
            for column in [&mut self.angles, &mut self.ratios, &mut self.curvatures] {
                column[i] = f64::NAN;
            }
        }
    }
}

impl FromIterator<Option<Transfer>> for Transfers {
    fn from_iter<I: IntoIterator<Item = Option<Transfer>>>(rows: I) -> Self {
        let rows: Vec<_> = rows.into_iter().collect();
        let column = |part: fn(&Transfer) -> f64| {
            let value = |row: &Option<Transfer>| row.as_ref().map_or(f64::NAN, part);
            rows.iter().map(value).collect()
        };
        Self {
            angles: column(|row| row.angle),
            ratios: column(|row| row.ratio),
            curvatures: column(|row| row.curvature),
            valid: rows.iter().map(Option::is_some).collect(),
        }
    }
}

/// An output angle and how it follows the input angle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Transfer {
    /// Output angle, rad.
    pub angle: f64,
    /// First derivative of the output angle by the input angle (ratio of angular velocities).
    pub ratio: f64,
    /// Second derivative of the output angle by the input angle, 1/rad.
    pub curvature: f64,
}

impl Transfer {
    /// The input itself, rad.
    pub(in crate::linkage) fn identity(angle: f64) -> Self {
        Self {
            angle,
            ratio: 1.0,
            curvature: 0.0,
        }
    }

    /// An output angle (rad) with its first and second derivative (1/rad) by the input angle.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite).
    pub fn new(angle: f64, ratio: f64, curvature: f64) -> Result<Self> {
        Ok(Self {
            angle: finite("output angle", angle, "rad")?,
            ratio: finite("ratio of output to input", ratio, "(no unit)")?,
            curvature: finite("second derivative of the output", curvature, "1/rad")?,
        })
    }

    /// What comes out of `next`, whose input is the output of this one: by the chain rule.
    #[must_use]
    pub fn then(&self, next: &Self) -> Self {
        Self {
            angle: next.angle,
            ratio: next.ratio * self.ratio,
            curvature: next.curvature * self.ratio * self.ratio + next.ratio * self.curvature,
        }
    }
}

/// One end of the travel of a transmission.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TransmissionEnd {
    /// Input angle there, rad.
    pub input: f64,
    /// What is reached there first, by name: `"lock"`, `"left stop"`, `"output swivel"`.
    pub limit: String,
}

/// Both ends of the travel of a transmission; `None` where nothing ends it within a turn of the input.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct TransmissionReach {
    /// The end below neutral.
    pub lower: Option<TransmissionEnd>,
    /// The end above neutral.
    pub upper: Option<TransmissionEnd>,
}

impl TransmissionReach {
    /// Nothing ends the travel.
    pub const ENDLESS: Self = Self {
        lower: None,
        upper: None,
    };

    /// The input angles between the two ends, rad; half a turn to a side that has no end.
    #[must_use]
    pub fn travel(&self) -> Range {
        let input = |end: &Option<TransmissionEnd>| end.as_ref().map(|end| end.input);
        Range {
            lower: input(&self.lower).unwrap_or(-PI),
            upper: input(&self.upper).unwrap_or(PI),
        }
    }
}

/// Whatever turns one angle into another: gears, a rod, a four-bar, a joint, one member of a pedal pair, several in a
/// row.
///
/// Both angles are in rad. Input zero is the neutral of the control; the output is zero there too, unless a
/// transmission says that it is not. [`AnyTransmission`](crate::linkage::AnyTransmission) holds any of them, of this
/// crate or of your own.
///
/// A slider-crank is none: its output is a length.
///
/// # Example
/// A cam whose follower turns with the square of the input, in front of a gear:
/// ```
/// use std::sync::Arc;
/// use yokewright::Result;
/// use yokewright::linkage::{
///     AnyTransmission, FixedRatio, Transfer, Transmission, TransmissionChain, TransmissionEnd, TransmissionReach,
/// };
///
/// #[derive(Debug)]
/// struct Cam;
///
/// impl Transmission for Cam {
///     fn transfer(&self, angle: f64) -> Result<Transfer> {
///         Transfer::new(angle * angle, 2.0 * angle, 2.0)
///     }
///
///     fn reach(&self) -> TransmissionReach {
///         let end = |input| Some(TransmissionEnd { input, limit: "end of the cam".to_owned() });
///         TransmissionReach { lower: end(-1.0), upper: end(1.0) }
///     }
/// }
///
/// let cam = AnyTransmission::Custom(Arc::new(Cam));
/// let row = TransmissionChain::new(vec![cam, FixedRatio::new(-2.0)?.into()])?;
/// let at = row.transfer(0.5)?;
/// assert_eq!((at.angle, at.ratio, at.curvature), (-0.5, -2.0, -4.0));
/// assert_eq!(row.travel().upper, 1.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub trait Transmission: fmt::Debug + Send + Sync {
    /// Output angle with its first and second derivative at an input angle, rad.
    ///
    /// It follows the geometry: a stop or the swivel of a joint, which end the [`travel`](Self::travel), do not refuse
    /// an angle.
    ///
    /// # Errors
    /// For an angle that is not finite or beyond what the transmission can be asked for, where it does not close, and
    /// exactly at a lock, where the ratio is infinite.
    fn transfer(&self, angle: f64) -> Result<Transfer>;

    /// [`transfer`](Self::transfer) at many input angles, rad; NaN and marked where it would return an error.
    fn transfers(&self, angles: &[f64]) -> Transfers {
        until_stopped(angles)
            .map(|angle| self.transfer(*angle).ok())
            .collect()
    }

    /// Where the travel ends, and what ends it.
    fn reach(&self) -> TransmissionReach;

    /// The input angles from end to end, rad; half a turn to a side that has no end. A lock at an end belongs to it,
    /// though [`transfer`](Self::transfer) has no ratio there.
    fn travel(&self) -> Range {
        self.reach().travel()
    }

    /// The pivots of input and output, of a transmission that stands in space.
    fn pivots(&self) -> [Option<Pivot>; 2] {
        [None, None]
    }

    /// Whether both angles count counterclockwise in one drawing. Input and output pivot must then be parallel; an
    /// output pivot that points the other way counts the output angle the other way.
    fn is_planar(&self) -> bool {
        false
    }
}
