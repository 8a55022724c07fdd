//! The search for the best arm and gap.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::axis::{self, LayoutCandidate, LayoutDemand};
use crate::python::axis::arrangement::PySwungLayout;
use crate::python::axis::control::{PyAxis, PyAxisFigures};
use crate::python::gate::long::long;
use crate::python::gate::sequence::Few;
use crate::python::hall::{PyConverter, PyLinearHall};
use crate::python::search::PySearchResult;

/// A layout that search_layouts found, or came near to.
#[pyclass(frozen, module = "yokewright.axis", name = "LayoutCandidate")]
#[derive(Serialize, Deserialize)]
pub(in crate::python) struct PyLayoutCandidate(LayoutCandidate);

#[pymethods]
impl PyLayoutCandidate {
    /// The layout with its arm and gap.
    #[getter]
    fn layout<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        PySwungLayout::object(py, self.0.layout())
    }

    /// Its axis.
    #[getter]
    fn axis(&self) -> PyResult<PyAxis> {
        PyAxis::of(self.0.axis())
    }

    /// Its figures.
    #[getter]
    fn figures(&self) -> PyAxisFigures {
        PyAxisFigures(self.0.figures().clone())
    }

    fn __repr__(&self) -> String {
        let spec = self.0.layout().spec();
        format!(
            "<LayoutCandidate arm {:?} m, gap {:?} m>",
            spec.arm, spec.gap
        )
    }
}

/// Finds the arm and gap (bounds in m) that give the widest sweep that neither clips nor bends more than linearity (a
/// fraction of span).
///
/// Everything but arm and gap is taken from layout. range_margin: fraction of the sensor's output range to keep free at
/// each rail.
#[pyfunction]
#[pyo3(signature = (layout, *, arm, gap, linearity, throw, sensor, converter, moving = "magnets", range_margin = 0.0))]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn search_layouts(
    py: Python<'_>,
    layout: &Bound<'_, PySwungLayout>,
    arm: Few<2>,
    gap: Few<2>,
    linearity: f64,
    throw: Few<2>,
    sensor: &PyLinearHall,
    converter: &PyConverter,
    moving: &str,
    range_margin: f64,
) -> PyResult<PySearchResult> {
    let demand = LayoutDemand {
        layout: PySwungLayout::layout(layout)?,
        arm: arm.into(),
        gap: gap.into(),
        linearity,
        range_margin,
        throw: throw.into(),
        sensor: sensor.sensor.clone(),
        converter: converter.0.clone(),
        moving: moving.parse()?,
    };
    let result = long(py, || axis::search_layouts(&demand))??;
    PySearchResult::of(py, result, PyLayoutCandidate)
}
