//! The search for the arms of a ball-joint rod.

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use serde::{Deserialize, Serialize};

use crate::linkage::{self, ArmLengths, BallRodDemand, BallRodDesign, FreeArm};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Count, Numbers};
use crate::python::gate::long::long;
use crate::python::gate::sequence::Few;
use crate::python::linkage::ball_rod::{PyArm, PyBallRod};
use crate::python::linkage::ball_rod_figures::PyBallRodFigures;
use crate::python::search::PySearchResult;
use crate::units::DEG;

/// An arm whose length is to be found: FreeArm.between(...) or FreeArm.holes(...).
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "FreeArm")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyFreeArm(FreeArm);

impl PyFreeArm {
    fn checked(free: FreeArm) -> PyResult<Self> {
        free.check()?;
        Ok(Self(free))
    }
}

attributes! {
    impl PyFreeArm {
        /// The arm that was given.
        arm: PyArm = |v| PyArm(v.arm),
        /// Least and greatest angle by which it may be clocked, rad.
        clocking: (f64, f64) = |v| v.clocking.into(),
    }

    /// An arm of any length between two (m). Pivot, direction and stud of arm count, its length does not.
    ///
    /// clocking: least and greatest angle by which the arm may be turned on its pivot at neutral, rad.
    #[staticmethod]
    #[pyo3(signature = (arm, least, greatest, clocking = Few([0.0, 0.0])),
           text_signature = "(arm, least, greatest, clocking=(0.0, 0.0))")]
    fn between(arm: PyArm, least: f64, greatest: f64, clocking: Few<2>) -> PyResult<Self> {
        Self::checked(FreeArm {
            arm: arm.0,
            lengths: ArmLengths::Between([least, greatest]),
            clocking: clocking.into(),
        })
    }

    /// An arm with a row of holes, lengths (N,) in m. Pivot, direction and stud of arm count, its length does not.
    ///
    /// clocking: least and greatest angle by which the arm may be turned on its pivot at neutral, rad.
    #[staticmethod]
    #[pyo3(signature = (arm, lengths, clocking = Few([0.0, 0.0])),
           text_signature = "(arm, lengths, clocking=(0.0, 0.0))")]
    fn holes(arm: PyArm, lengths: Numbers<'_>, clocking: Few<2>) -> PyResult<Self> {
        Self::checked(FreeArm {
            arm: arm.0,
            lengths: ArmLengths::Holes(lengths.to_vec()),
            clocking: clocking.into(),
        })
    }

    fn __repr__(&self) -> String {
        let (arm, clocking) = (self.arm().__repr__(), self.clocking());
        match &self.0.lengths {
            ArmLengths::Between([least, greatest]) => format!(
                "FreeArm.between(arm={arm}, least={least:?}, greatest={greatest:?}, clocking={clocking:?})"
            ),
            ArmLengths::Holes(lengths) => {
                format!("FreeArm.holes(arm={arm}, lengths={lengths:?}, clocking={clocking:?})")
            }
        }
    }

    fn __reduce__(slf: Bound<'_, Self>) -> PyResult<(Bound<'_, PyAny>, Bound<'_, PyTuple>)> {
        let (py, this) = (slf.py(), slf.get());
        let (arm, clocking) = (this.arm(), this.clocking());
        Ok(match &this.0.lengths {
            ArmLengths::Between([least, greatest]) => (
                slf.getattr("between")?,
                (arm, *least, *greatest, clocking).into_pyobject(py)?,
            ),
            ArmLengths::Holes(lengths) => (
                slf.getattr("holes")?,
                (arm, lengths.clone(), clocking).into_pyobject(py)?,
            ),
        })
    }
}

/// Finds arm lengths, and clocking, that turn the output by the wanted angle with the least variation of the ratio.
///
/// travel: least and greatest input angle, rad. output_span: turn of the output over it, in either sense, rad, met to
/// span_tolerance. lock_margin: input angle left up to a lock. Swivel limits are those of the arms' studs. Finds at
/// most count designs that keep every limit, the evenest first. Rods between pedals carry a foot: an emergency press
/// passes a kilonewton.
#[pyfunction]
#[pyo3(signature = (*, input, output, travel, output_span, span_tolerance, min_transmission_angle = 40.0 * DEG,
    lock_margin = 5.0 * DEG, count = Count(5)),
       text_signature = "(*, input, output, travel, output_span, span_tolerance, \
           min_transmission_angle=0.6981317007977318, lock_margin=0.08726646259971647, count=5)")]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn search_ball_rods(
    py: Python<'_>,
    input: &PyFreeArm,
    output: &PyFreeArm,
    travel: Few<2>,
    output_span: f64,
    span_tolerance: f64,
    min_transmission_angle: f64,
    lock_margin: f64,
    count: Count,
) -> PyResult<PySearchResult> {
    let demand = BallRodDemand {
        input: input.0.clone(),
        output: output.0.clone(),
        travel: travel.into(),
        output_span,
        span_tolerance,
        min_transmission_angle,
        lock_margin,
        count: count.0,
    };
    let result = long(py, || linkage::search_ball_rods(&demand))??;
    PySearchResult::of(py, result, PyBallRodDesign)
}

/// A ball-joint rod that was found.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "BallRodDesign")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyBallRodDesign(BallRodDesign);

attributes! {
    impl PyBallRodDesign {
        /// The linkage; its arms have the lengths that were found.
        rod: PyBallRod = |v| PyBallRod(v.rod),
        /// By how much the input and the output arm were clocked, rad.
        clocking: (f64, f64) = |v| v.clocking.into(),
        /// What it does over the travel.
        figures: PyBallRodFigures = |v| PyBallRodFigures(v.figures),
    }

    fn __repr__(&self) -> String {
        let (input, output) = (self.0.rod.input().length(), self.0.rod.output().length());
        let varies = match self.0.figures.ratio_variation {
            Some(share) => format!("ratio varies by {:.2} %", 100.0 * share),
            None => "ratio without a mean".to_owned(),
        };
        format!("<BallRodDesign arms {input:.4} and {output:.4} m, {varies}>")
    }
}
