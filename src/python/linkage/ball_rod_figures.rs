//! What a ball-joint rod does over a travel.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::linkage::BallRodFigures;

/// What a ball-joint rod does over a travel of its input.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "BallRodFigures")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyBallRodFigures(pub(in crate::python) BallRodFigures);

#[pymethods]
impl PyBallRodFigures {
    /// Turn of the output over the travel, rad, positive in the sense of the input.
    #[getter]
    fn output_span(&self) -> f64 {
        self.0.output_span
    }

    /// Least and greatest ratio.
    #[getter]
    fn ratios(&self) -> (f64, f64) {
        self.0.ratios.into()
    }

    /// Greatest ratio less the least, over the mean of the two; None where that is zero, as for an output that stands
    /// still.
    #[getter]
    fn ratio_variation(&self) -> Option<f64> {
        self.0.ratio_variation
    }

    /// The largest sum of the output angles at equal input angles to either side, rad.
    #[getter]
    fn asymmetry(&self) -> f64 {
        self.0.asymmetry
    }

    /// The least transmission angle, rad.
    #[getter]
    fn min_transmission_angle(&self) -> f64 {
        self.0.min_transmission_angle
    }

    /// Input travel left up to a lock at the nearer end, rad; half a turn if there is none.
    #[getter]
    fn lock_margin(&self) -> f64 {
        self.0.lock_margin
    }

    /// Largest swivel of the ball joints on the input and the output arm, rad; None without a stud.
    #[getter]
    fn swivels(&self) -> (Option<f64>, Option<f64>) {
        self.0.swivels.into()
    }

    fn __repr__(&self) -> String {
        let [low, high] = self.0.ratios;
        format!(
            "<BallRodFigures span {:?} rad, ratio {low:?} to {high:?}>",
            self.0.output_span
        )
    }
}
