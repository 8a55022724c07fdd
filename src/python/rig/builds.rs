//! The builds of a rig, and its slots.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::python::axis::tolerance::{PyImportance, PyYield};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{from_json, to_json};
use crate::rig::{ControlYield, RigYield, SlotEnd, SlotEvaluation};

/// The builds of one control: an axis, an axis of a stick, or a stick with what is asked of it as a whole.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "ControlYield")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyControlYield(ControlYield);

attributes! {
    impl PyControlYield {
        /// What the control is called.
        name: String = |v| v.name().to_owned(),
        /// What the stick is called that it is an axis of; None of an axis by itself and of a stick.
        stick: Option<String> = |v| v.stick().map(ToOwned::to_owned),
        /// Its targets in the order of yields.targets: (figure, unit, "at least" or "at most", wanted).
        targets: Vec<(String, String, String, f64)> = |v| {
            let told = |(target, wanted): (crate::rig::Target, f64)| {
                let sense = target.sense().to_string();
                (target.name().to_owned(), target.unit().to_owned(), sense, wanted)
            };
            v.targets().map(told).collect()
        },
        /// How its builds were computed: "side by side" or "read anew".
        route: String = |v| v.route().to_string(),
        /// Its builds: inputs named as in the file and in the units of their keys, so that a build can be put into the
        /// file and looked at; figures and targets in the units of the targets. None where no toleranced number reaches
        /// it, so that every build is as designed.
        yields: Option<PyYield> = |v| v.yields().cloned().map(PyYield),
        /// Share of the builds that meet every target; without a tolerance all or none.
        share: f64 = |v| v.share(),
        /// Whether the design itself meets every target.
        as_designed: bool = |v| v.as_designed(),
        /// What makes the variance of each figure; None if it was not asked for.
        importance: Option<PyImportance> = |v| v.importance().cloned().map(PyImportance),
        /// What decides about the yield, in a line; None if it was not asked for.
        decides: Option<String> = |v| v.decides().map(ToOwned::to_owned),
    }

    fn __repr__(&self) -> String {
        format!("<ControlYield \"{}\": {:.4}>", self.0.name(), self.0.share())
    }
}

/// How many of the rigs that strangers build will work; print() shows it.
///
/// A number that stands in a part which several controls use, and a common cause, is drawn once for a rig: it moves all
/// of them together.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "RigYield")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyRigYield(pub(super) RigYield);

attributes! {
    impl PyRigYield {
        /// What the design is called.
        title: String = |v| v.title().to_owned(),
        /// Each control: axes, then the sticks, both axes of each before the stick as a whole if something is asked of
        /// that.
        controls: Vec<PyControlYield> = |v| v.controls().iter().cloned().map(PyControlYield).collect(),
        /// What moves several controls together: (tolerance, controls).
        shared: Vec<(String, Vec<String>)> = |v| {
            let all = v.shared().iter();
            all.map(|one| (one.name.clone(), one.controls.clone())).collect()
        },
        /// Rigs that were built.
        builds: u64 = |v| v.builds(),
        /// Rigs of which every control meets every target.
        passed: u64 = |v| v.passed(),
        /// Share of the rigs of which every control meets every target.
        share: f64 = |v| v.share(),
        /// Between which shares the true one lies.
        interval: (f64, f64) = |v| (v.interval().low, v.interval().high),
    }

    /// One control by its name; None if there is none.
    fn control(&self, name: &str) -> Option<PyControlYield> {
        self.0.control(name).cloned().map(PyControlYield)
    }

    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self)
    }

    /// All of it as JSON, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        let interval = self.0.interval();
        format!("<RigYield {:.4} ({:.4} to {:.4}) of {} rigs>", self.0.share(), interval.low, interval.high,
            self.0.builds())
    }
}

/// What a slot does to one control that its number reaches.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "SlotEvaluation")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySlotEvaluation(pub(super) SlotEvaluation);

attributes! {
    impl PySlotEvaluation {
        /// The number, by its section and the name of its control: "axis.rudder.arm_mm".
        input: String = |v| v.slot.input().to_owned(),
        /// The line of the design file at which it stands.
        line: usize = |v| v.slot.line(),
        /// The unit of setting and slot.
        unit: String = |v| v.slot.unit().to_owned(),
        /// Where it is set.
        setting: f64 = |v| v.slot.setting(),
        /// Both ends of the slot.
        slot: (f64, f64) = |v| v.slot.ends().into(),
        /// The control.
        control: String = |v| v.control.clone(),
        /// Range used at both ends, %; None where it has no value.
        range_used: (Option<f64>, Option<f64>) = |v| both(v, |end| end.range_used),
        /// Independent linearity at both ends, % of span.
        linearity: (Option<f64>, Option<f64>) = |v| both(v, |end| end.linearity),
        /// Why the control cannot be at either end; None where it can.
        failures: (Option<String>, Option<String>) = |v| both(v, |end| end.failure.clone()),
    }

    fn __repr__(&self) -> String {
        let slot = &self.0.slot;
        let [low, high] = slot.ends();
        format!("<SlotEvaluation {} {} in {low} to {high} {}>", slot.input(), slot.setting(), slot.unit())
    }
}

fn both<T>(slot: &SlotEvaluation, of: impl Fn(&SlotEnd) -> T) -> (T, T) {
    slot.ends.each_ref().map(of).into()
}
