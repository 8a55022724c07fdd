//! One control whose curve is read once for all that is asked of it: figures here, error budget and calibration in
//! `budget`, a row of a table in `compare`.

use crate::axis::Axis;
use crate::axis::clearance::clearance;
use crate::axis::curve::Curve;
use crate::axis::figures::AxisFigures;
use crate::axis::reading::{Output, PositionTable};
use crate::axis::sweep::{Sweep, check_points};
use crate::error::Result;

/// Points at which a source or a drive of another crate is read at least.
pub(super) const POINTS: usize = 1001;

/// A control with its figures and the curve that they are of.
pub(crate) struct EvaluatedAxis<'a> {
    axis: &'a Axis,
    curve: Curve<'a>,
    figures: AxisFigures,
}

impl<'a> EvaluatedAxis<'a> {
    /// As [`Axis::figures`].
    ///
    /// # Errors
    /// As [`Axis::figures`].
    pub(crate) fn new(axis: &'a Axis, points: usize) -> Result<Self> {
        check_points(points)?;
        let clearance = clearance(axis)?;
        let curve = Curve::new(axis, points)?;
        // The places that the figures add are no matter of the others'.
        let figures = AxisFigures::of_curve(axis, clearance, &mut curve.clone())?;
        Ok(Self {
            axis,
            curve,
            figures,
        })
    }

    pub(super) fn axis(&self) -> &'a Axis {
        self.axis
    }

    pub(super) fn curve(&self) -> &Curve<'a> {
        &self.curve
    }

    /// What the curve amounts to.
    pub(crate) fn figures(&self) -> &AxisFigures {
        &self.figures
    }

    /// As [`Axis::sweep`].
    ///
    /// # Errors
    /// As [`Axis::sweep`].
    pub(crate) fn sweep(&self, points: usize) -> Result<Sweep> {
        let clearance = self.figures.clearance();
        Sweep::of(self.axis, points, clearance, self.curve.turns())
    }

    /// What comes out of the sensor.
    pub(super) fn output(&self) -> Output<'_> {
        Output::new(self.axis, &self.curve)
    }

    /// Greatest error of the position over the throw, rad, that these constants tell.
    ///
    /// # Errors
    /// [`Error::Stopped`](crate::Error::Stopped).
    pub(crate) fn error_by(&self, table: &DesignTable) -> Result<f64> {
        table.0.error(self.axis, &self.output())
    }
}

/// The constants that turn counts of a control into positions.
pub(crate) struct DesignTable(pub(super) PositionTable);
