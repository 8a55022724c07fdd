//! What a ball-joint rod does over a travel.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::linkage::BallRodFigures;
use crate::python::gate::attributes::attributes;

/// What a ball-joint rod does over a travel of its input.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "BallRodFigures")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyBallRodFigures(pub(in crate::python) BallRodFigures);

attributes! {
    impl PyBallRodFigures {
        /// Turn of the output over the travel, rad, positive in the sense of the input.
        output_span: f64,
        /// Least and greatest ratio.
        ratios: (f64, f64) = |v| v.ratios.into(),
        /// Greatest ratio less the least, over the mean of the two; None where that is zero, as for an output that
        /// stands still.
        ratio_variation: Option<f64>,
        /// The largest sum of the output angles at equal input angles to either side, rad.
        asymmetry: f64,
        /// The least transmission angle, rad.
        min_transmission_angle: f64,
        /// Input travel left up to a lock at the nearer end, rad; half a turn if there is none.
        lock_margin: f64,
        /// Largest swivel of the ball joints on the input and the output arm, rad; None without a stud.
        swivels: (Option<f64>, Option<f64>) = |v| v.swivels.into(),
    }

    fn __repr__(&self) -> String {
        let [low, high] = self.0.ratios;
        format!(
            "<BallRodFigures span {:?} rad, ratio {low:?} to {high:?}>",
            self.0.output_span
        )
    }
}
