//! What a rig costs and what it draws from its port.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::python::gate::attributes::attributes;
use crate::rig::{BillItem, Cost, CostShare, Supply};

/// One line of the bill of materials.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "BillItem")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyBillItem(BillItem);

attributes! {
    impl PyBillItem {
        /// What it is: the section of the design file that describes it ("magnet", "sensor", ...), "part" for what is
        /// listed there by itself, "control" for the price that a control has by itself.
        kind: String = |v| v.kind().to_owned(),
        /// What it is called.
        name: String = |v| v.name().to_owned(),
        /// How many are bought.
        quantity: u64 = |v| v.quantity(),
        /// What one of them costs; None if the file does not say.
        price: Option<f64> = |v| v.price(),
        /// What all of them cost.
        total: Option<f64> = |v| v.total(),
        /// The controls that it is for, which share its price evenly; one is there as often as it uses it. Empty of
        /// what belongs to the rig.
        used_by: Vec<String> = |v| v.used_by().to_vec(),
        /// What it is like, or where to find it.
        note: Option<String> = |v| v.note().map(ToOwned::to_owned),
    }

    fn __repr__(&self) -> String {
        format!("<BillItem {} {} \"{}\">", self.0.quantity(), self.0.kind(), self.0.name())
    }
}

/// What of the money goes to one control, or to the rig itself.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "CostShare")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCostShare(CostShare);

attributes! {
    impl PyCostShare {
        /// The control, or "rig" for what belongs to none.
        name: String = |v| v.name().to_owned(),
        /// What it costs.
        amount: f64 = |v| v.amount(),
        /// Of the whole, 0 to 1; None where the whole costs nothing.
        share: Option<f64> = |v| v.share(),
    }

    fn __repr__(&self) -> String {
        format!("<CostShare \"{}\": {:.2}>", self.0.name(), self.0.amount())
    }
}

/// What a rig costs: the bill of materials, and how it is shared out among the controls; print() shows both.
///
/// Magnets, plates, sensors and filters are bought as often as controls use them, a linkage once, a converter once for
/// all its channels. What several controls use is shared out evenly among them.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "Cost")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCost(pub(super) Cost);

attributes! {
    impl PyCost {
        /// The bill of materials.
        items: Vec<PyBillItem> = |v| v.items().iter().cloned().map(PyBillItem).collect(),
        /// What each control costs, in the order of the file, and last what belongs to the rig itself.
        shares: Vec<PyCostShare> = |v| v.shares().iter().cloned().map(PyCostShare).collect(),
        /// What all costs that has a price.
        total: f64 = |v| v.total(),
    }

    /// What one control costs; None if nothing that it uses has a price.
    fn of_control(&self, name: &str) -> Option<f64> {
        self.0.of_control(name)
    }

    /// The bill of materials as CSV: what, name, quantity, price, total, used by, note.
    fn to_csv(&self) -> PyResult<String> {
        Ok(self.0.to_csv()?)
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!("<Cost {:.2}, {} lines>", self.0.total(), self.0.items().len())
    }
}

/// The current that sensors, converters and listed parts draw together, beside what the port may be asked for.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "Supply")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySupply(pub(super) Supply);

attributes! {
    impl PySupply {
        /// What draws current: (name, how many, current of one in A).
        consumers: Vec<(String, u64, f64)> = |v| {
            let all = v.consumers().iter();
            all.map(|one| (one.name.clone(), one.quantity, one.current)).collect()
        },
        /// What they draw together, A.
        current: f64 = |v| v.current(),
        /// What the port may be asked for, A; None if the file does not say.
        limit: Option<f64> = |v| v.limit(),
    }

    fn __repr__(&self) -> String {
        format!("<Supply {:?} A>", self.0.current())
    }
}
