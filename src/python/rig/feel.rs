//! The evaluated feel of a control.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::python::feel::control::{PyCentering, PyForceCurve, PySecondOrderResponse};
use crate::python::feel::guidance::PyGuidanceComparison;
use crate::python::gate::attributes::attributes;
use crate::rig::{FeelAlong, FeelEvaluation, SpringEvaluation};

/// The evaluated feel of an axis or a stick.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "FeelEvaluation")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyFeelEvaluation(pub(super) FeelEvaluation);

attributes! {
    impl PyFeelEvaluation {
        /// The feel along each angle: one of an axis by itself, the outer and the inner one of a stick.
        along: Vec<PyFeelAlong> = |v| v.along().iter().cloned().map(PyFeelAlong).collect(),
        /// The springs, in the order of the file.
        springs: Vec<PySpringEvaluation> = |v| v.springs().iter().cloned().map(PySpringEvaluation).collect(),
        /// What a builder should know whatever the targets are: a control that does not center, a spring that hangs
        /// slack, is past a limit or loaded beyond what it may bear.
        notes: Vec<String> = |v| v.notes().to_vec(),
    }

    fn __repr__(&self) -> String {
        let along: Vec<String> = self.0.along().iter().map(|one| format!("{:?}", one.axis())).collect();
        format!("<FeelEvaluation along {}, {} springs>", along.join(" and "), self.0.springs().len())
    }
}

/// The feel along one angle, the other one of a stick at zero.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "FeelAlong")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyFeelAlong(FeelAlong);

attributes! {
    impl PyFeelAlong {
        /// What the axis is called.
        axis: String = |v| v.axis().to_owned(),
        /// Force against travel at 101 angles, and twice at each jump.
        curve: PyForceCurve = |v| PyForceCurve::of(v.curve().clone()),
        /// Force at the grip that pushes the control to its lower and to its upper end, friction included, N; negative
        /// where it goes there by itself and has to be held back.
        end_forces: (f64, f64) = |v| v.end_forces().into(),
        /// Where it stays when it is let go, and what sets it in motion.
        centering: PyCentering = |v| PyCentering::of(v.centering().clone()),
        /// The centering error in counts of the axis by its gain at the center; None where it does not center.
        centering_counts(): Option<f64>,
        /// Stiffness where it rests without friction, N m/rad; None where it has no such rest.
        stiffness(): Option<f64>,
        /// How it swings when it is let go near its rest; None of a control without mass or inertia, or one whose
        /// torque jumps there.
        response: Option<PySecondOrderResponse> = |v| v.response().copied().map(PySecondOrderResponse::of),
        /// Where it lies against published figures, if the file says what is operated.
        guidance: Vec<PyGuidanceComparison> =
            |v| v.guidance().iter().copied().map(PyGuidanceComparison::of).collect(),
    }

    fn __repr__(&self) -> String {
        let [lower, upper] = self.0.end_forces();
        format!("<FeelAlong {:?}: {lower:?} N and {upper:?} N at its ends>", self.0.axis())
    }
}

/// A spring of an evaluated control: of one along a line lengths and tensions, of one about a pivot angles and torques.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "SpringEvaluation")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySpringEvaluation(SpringEvaluation);

attributes! {
    impl PySpringEvaluation {
        /// Its name in the design file.
        name: String = |v| v.name.clone(),
        /// What kind of spring it is, by the word of the design file.
        kind: String = |v| v.kind.clone(),
        /// Its number among the elements of the control.
        element: usize,
        /// Least and greatest distance of its ends over the travel, m.
        lengths: Option<(f64, f64)> = |v| v.lengths.map(Into::into),
        /// Tension at these lengths, N; negative where it presses.
        tensions: Option<(f64, f64)> = |v| v.tensions.map(Into::into),
        /// Least and greatest angle of what it turns over the travel, rad.
        angles: Option<(f64, f64)> = |v| v.angles.map(Into::into),
        /// Torque of the spring at these angles, N m.
        torques: Option<(f64, f64)> = |v| v.torques.map(Into::into),
        /// Whether it carries nothing somewhere in the travel.
        slack: bool,
        /// Whether it is past a limit somewhere: solid, overstretched or overwound.
        past_limit: bool,
        /// Greatest stress, of the part of the spring that comes nearest to what it may bear, Pa.
        stress: Option<f64>,
        /// What that part may bear at rest, Pa.
        allowable_stress: Option<f64>,
        /// The latter over the former: safety against staying deformed.
        safety: Option<f64>,
        /// How often it goes over the whole travel and back in its life.
        cycles: Option<f64>,
        /// Safety against breaking within these cycles.
        life_safety: Option<f64>,
    }

    fn __repr__(&self) -> String {
        format!("<SpringEvaluation {:?}: {}>", self.0.name, self.0.kind)
    }
}
