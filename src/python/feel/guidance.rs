//! Published control-force figures.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::feel::{self, ControlMeasurements, GuidanceComparison, GuidanceFigure};
use crate::python::gate::attributes::attributes;

/// One published figure for a control; it informs and certifies nothing.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "GuidanceFigure")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyGuidanceFigure(&'static GuidanceFigure);

#[pymethods]
impl PyGuidanceFigure {
    /// Name of the figure: rule and figure.
    #[getter]
    fn name(&self) -> &'static str {
        self.0.name
    }

    /// What is operated: "stick", "wheel", "pedals", "lever", "finger stick" or "hand".
    #[getter]
    fn operated(&self) -> String {
        self.0.operated.to_string()
    }

    /// For what, or which way: "pitch", "roll", "yaw", "fore and aft", "lateral" or "any".
    #[getter]
    fn motion(&self) -> String {
        self.0.motion.to_string()
    }

    /// What the figure is about.
    #[getter]
    fn quantity(&self) -> String {
        self.0.quantity.to_string()
    }

    /// "at least", "at most" or "nominal".
    #[getter]
    fn bound(&self) -> String {
        self.0.bound.to_string()
    }

    /// The figure in SI: N, m, rad or a fraction.
    #[getter]
    fn value(&self) -> f64 {
        self.0.value()
    }

    /// As printed.
    #[getter]
    fn printed(&self) -> f64 {
        self.0.printed
    }

    /// Unit as printed.
    #[getter]
    fn printed_unit(&self) -> String {
        self.0.printed_unit.to_string()
    }

    /// Where it is printed.
    #[getter]
    fn source(&self) -> &'static str {
        self.0.source
    }

    /// How it came here: "seen" (read in the source) or "from memory" (to be checked).
    #[getter]
    fn provenance(&self) -> String {
        self.0.provenance.to_string()
    }

    /// When it applies, and what else to know.
    #[getter]
    fn note(&self) -> &'static str {
        self.0.note
    }

    fn __repr__(&self) -> String {
        let guide = self.0;
        format!(
            "<GuidanceFigure {}: {} {} {}, {}>",
            guide.name, guide.bound, guide.printed, guide.printed_unit, guide.provenance
        )
    }
}

/// What a control measures: greatest force (N), force held for long (N), breakout with friction (N), travel end to end
/// and one way (m), deflection (rad).
#[pyclass(frozen, eq, module = "yokewright.feel", name = "ControlMeasurements")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyControlMeasurements(pub(in crate::python) ControlMeasurements);

attributes! {
    impl PyControlMeasurements {
        /// Greatest force over the travel, N.
        force: Option<f64>,
        /// Force that has to be held for long, N.
        held_force: Option<f64>,
        /// Force that sets the control in motion from its center, friction included, N.
        breakout: Option<f64>,
        /// Way of grip or pad from end to end, m.
        travel: Option<f64>,
        /// Greater of the ways from the center to the ends, m.
        travel_one_way: Option<f64>,
        /// Greater of the angles from the center to the ends, rad.
        deflection: Option<f64>,
    }

    #[new]
    #[pyo3(signature = (*, force = None, held_force = None, breakout = None, travel = None, travel_one_way = None,
        deflection = None))]
    fn new(
        force: Option<f64>,
        held_force: Option<f64>,
        breakout: Option<f64>,
        travel: Option<f64>,
        travel_one_way: Option<f64>,
        deflection: Option<f64>,
    ) -> PyResult<Self> {
        let measured = ControlMeasurements {
            force,
            held_force,
            breakout,
            travel,
            travel_one_way,
            deflection,
        };
        measured.check()?;
        Ok(Self(measured))
    }

    fn __repr__(&self) -> String {
        let text =
            |value: Option<f64>| value.map_or("None".to_owned(), |value| format!("{value:?}"));
        format!(
            "ControlMeasurements(force={}, held_force={}, breakout={}, travel={}, travel_one_way={}, deflection={})",
            text(self.0.force),
            text(self.0.held_force),
            text(self.0.breakout),
            text(self.0.travel),
            text(self.0.travel_one_way),
            text(self.0.deflection)
        )
    }
}

/// Where a control lies against one published figure; str() says it in words, with source and provenance.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "GuidanceComparison")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyGuidanceComparison(GuidanceComparison);

impl PyGuidanceComparison {
    pub(in crate::python) fn of(value: GuidanceComparison) -> Self {
        Self(value)
    }
}

attributes! {
    impl PyGuidanceComparison {
        /// The figure.
        guide: PyGuidanceFigure = |v| PyGuidanceFigure(v.guide),
        /// What the control measures, in SI; None if that is not known or the figure is not about feel.
        value: Option<f64>,
        /// Value less figure, in SI.
        above: Option<f64>,
        /// Whether the control lies on the side that the figure means; None if there is nothing to compare.
        on_the_side_meant(): Option<bool>,
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!("<GuidanceComparison {}>", self.0)
    }
}

/// The published figures for a kind of control ("stick", "wheel", "pedals", "lever", "finger stick", "hand") and a
/// motion ("pitch", "roll", "yaw", "fore and aft", "lateral", "any").
#[pyfunction]
#[pyo3(signature = (operated, motion = "any"))]
pub(in crate::python) fn guides_for(
    operated: &str,
    motion: &str,
) -> PyResult<Vec<PyGuidanceFigure>> {
    let found = feel::guides_for(operated.parse()?, motion.parse()?);
    Ok(found.into_iter().map(PyGuidanceFigure).collect())
}

/// Where a control lies against each published figure that applies; read GUIDANCE_CAVEAT with it.
#[pyfunction]
#[pyo3(signature = (operated, motion, measured))]
pub(in crate::python) fn compare_with_guidance(
    operated: &str,
    motion: &str,
    measured: &PyControlMeasurements,
) -> PyResult<Vec<PyGuidanceComparison>> {
    let found = feel::compare_with_guidance(operated.parse()?, motion.parse()?, &measured.0)?;
    Ok(found.into_iter().map(PyGuidanceComparison).collect())
}

/// Least and greatest elevator force for a g of maneuver, N per g, by MIL-F-8785C table V (from memory, to be checked).
///
/// operated: "stick" or "wheel". level: 1 to 3. n_per_alpha: g per rad. limit_load_factor: g. None where the table as
/// recalled gives no figure.
#[pyfunction]
pub(in crate::python) fn gradient_limits(
    operated: &str,
    level: usize,
    n_per_alpha: f64,
    limit_load_factor: f64,
) -> PyResult<(Option<f64>, Option<f64>)> {
    let level = level.to_string().parse()?;
    let limits = feel::gradient_limits(operated.parse()?, level, n_per_alpha, limit_load_factor)?;
    Ok(limits.into())
}

/// Least elevator force (N) that may reach the limit load factor, by 14 CFR 23.155 (from memory, to be checked); weight
/// of the aircraft in N.
#[pyfunction]
pub(in crate::python) fn min_maneuver_force(operated: &str, weight: f64) -> PyResult<f64> {
    Ok(feel::min_maneuver_force(operated.parse()?, weight)?)
}

/// By how many just noticeable differences two stiffnesses differ; fraction: the relative change that is just felt.
#[pyfunction]
pub(in crate::python) fn noticeable_steps(
    stiffness: f64,
    other: f64,
    fraction: f64,
) -> PyResult<f64> {
    Ok(feel::noticeable_steps(stiffness, other, fraction)?)
}
