//! The evaluated drive of an axis, and the gate of a stick.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::python::gate::attributes::attributes;
use crate::python::linkage::driven::PyTransmissionEnd;
use crate::python::linkage::stick::{PyClearance, PyGate, PyGimbal, PyGripTravel, PyObstacle};
use crate::rig::{GateEvaluation, JointSwivel, LinkageEvaluation, RodForce};

/// The evaluated drive of an axis by itself.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "LinkageEvaluation")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyLinkageEvaluation(pub(super) LinkageEvaluation);

type Ends = (Option<PyTransmissionEnd>, Option<PyTransmissionEnd>);

attributes! {
    impl PyLinkageEvaluation {
        /// Least and greatest angle of the control, rad.
        throw: (f64, f64) = |v| v.throw().into(),
        /// Angle of the output at these, rad.
        output: (f64, f64) = |v| v.output().into(),
        /// Turn of the output for a turn of the control at the lower end, at the center and at the upper end.
        ratios: (f64, f64, f64) = |v| v.ratios().into(),
        /// Way of the pad at both ends, m: of pedals along the push of the foot, else along the arc of the lever; None
        /// without a lever.
        pad_travel: Option<(f64, f64)> = |v| v.pad_travel().map(Into::into),
        /// What ends the travel of the drive itself on either side: a stop, a lock, the swivel of a joint.
        reach: Ends = |v| (v.reach().lower.clone().map(Into::into), v.reach().upper.clone().map(Into::into)),
        /// Travel of the control left below and above the throw until the drive would lock if no stop and no joint
        /// ended it before, rad; None to a side on which it does not lock.
        lock_margins: (Option<f64>, Option<f64>) = |v| v.lock_margins().into(),
        /// The ball joints whose studs the file gives, each with its greatest swivel over the throw.
        joints: Vec<PyJointSwivel> = |v| v.joints().iter().cloned().map(PyJointSwivel).collect(),
        /// Force of foot or hand for which the rods' loads are told, N.
        foot_force(): Option<f64>,
        /// The rods, each with its greatest force over the throw, the output held or, of pedals, the other foot.
        rods: Vec<PyRodForce> = |v| v.rods().iter().cloned().map(PyRodForce).collect(),
        /// What a builder should know whatever the targets are.
        notes: Vec<String> = |v| v.notes().to_vec(),
    }

    fn __repr__(&self) -> String {
        let [lower, upper] = self.0.output();
        format!("<LinkageEvaluation output {lower:?} to {upper:?} rad>")
    }
}

/// How far a ball joint swivels over the throw.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "JointSwivel")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyJointSwivel(JointSwivel);

attributes! {
    impl PyJointSwivel {
        /// Which joint, such as "left rod at the pedal".
        joint: String = |v| v.joint.clone(),
        /// Greatest angle by which the rod leaves the plane across the stud, rad.
        swivel: f64,
        /// What it is rated for to either side, rad; None if the file does not say.
        rated: Option<f64>,
    }

    fn __repr__(&self) -> String {
        format!("<JointSwivel {}: {:?} rad>", self.0.joint, self.0.swivel)
    }
}

/// The greatest force in a rod over the throw under the foot's force.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "RodForce")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyRodForce(RodForce);

attributes! {
    impl PyRodForce {
        /// Which rod.
        rod: String = |v| v.rod.clone(),
        /// The force, N: positive pulls the rod, negative presses it.
        force: f64,
        /// Angle of the control at which it is that great, rad.
        angle: f64,
    }

    fn __repr__(&self) -> String {
        format!("<RodForce {}: {:?} N at {:?} rad>", self.0.rod, self.0.force, self.0.angle)
    }
}

/// The gate of an evaluated stick: where it may be, how far its grip goes, and what it comes near to.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "GateEvaluation")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyGateEvaluation(pub(super) GateEvaluation);

attributes! {
    impl PyGateEvaluation {
        /// The stick on its two pivots.
        gimbal: PyGimbal = |v| PyGimbal(v.gimbal().clone()),
        /// Where it may be.
        gate: PyGate = |v| PyGate(v.gate().clone()),
        /// How far the grip goes over the throw of the outer and of the inner axis, the other one at zero.
        grip_travel: (PyGripTravel, PyGripTravel) = |v| v.grip_travel().map(PyGripTravel::of).into(),
        /// What stands around it, each with its name, in the order of the file.
        obstacles: PyResult<Vec<(String, PyObstacle)>> = |v| {
            let each = v.obstacles().iter();
            each.map(|one| Ok((one.name.clone(), PyObstacle::of(&one.obstacle)?))).collect()
        },
        /// Where stick and hand come nearest to any of them over the whole gate; None where nothing stands around.
        clearance: Option<PyClearance> = |v| v.clearance().cloned().map(PyClearance::of),
        /// What it comes nearest to.
        nearest: Option<String> = |v| v.nearest().map(ToOwned::to_owned),
    }

    fn __repr__(&self) -> String {
        match self.0.clearance() {
            Some(clearance) => format!("<GateEvaluation: {:?} m left>", clearance.distance),
            None => "<GateEvaluation>".to_owned(),
        }
    }
}
