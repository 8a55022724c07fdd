//! Springs from a supplier's list.

use std::collections::BTreeMap;

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::python::gate::attributes::attributes;
use crate::python::gate::long::long;
use crate::python::gate::sequence::{Few, Many};
use crate::python::search::PySearchResult;
use crate::python::spring::coils::life_in;
use crate::python::spring::law::PyLinearSpring;
use crate::python::spring::wire::WireIn;
use crate::spring::{
    self, StockArrangement, StockChoice, StockColumn, StockDemand, StockFormat, StockList,
    StockSpring,
};

/// A supplier's list of springs, or what lies in the drawer, from CSV.
///
/// A list says what a spring was, not what a used one still is: look for set, rust and nicked hooks.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "StockList")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyStockList(StockList);

#[pymethods]
impl PyStockList {
    /// Reads the text of a CSV file whose first line holds the headings.
    ///
    /// kind: "extension" or "compression". columns: quantity to (heading, unit), of "name" (unit ""), "rate",
    /// "free_length", "outer_diameter", "limit_length" or "limit_force", and if there are any "initial_tension",
    /// "wire_diameter". Units: mm, m, in; N, kgf, lbf; N/mm, N/m, kgf/mm, lbf/in. wire: what all are made of, a Wire or
    /// its designation. A cell that cannot be used is told by line and column.
    #[staticmethod]
    #[pyo3(signature = (text, *, kind, columns, delimiter = ',', decimal_comma = false, wire = None))]
    fn read(
        text: &str,
        kind: &str,
        columns: BTreeMap<String, (String, String)>,
        delimiter: char,
        decimal_comma: bool,
        wire: Option<WireIn>,
    ) -> PyResult<Self> {
        let columns = columns.into_iter().map(|(quantity, (heading, unit))| {
            Ok(StockColumn {
                quantity: quantity.parse()?,
                heading,
                unit,
            })
        });
        let format = StockFormat {
            kind: kind.parse()?,
            columns: columns.collect::<crate::Result<_>>()?,
            delimiter,
            decimal_comma,
            wire: wire.map(|wire| wire.0),
        };
        Ok(Self(StockList::read(text, &format)?))
    }

    /// The springs, in the order of the list.
    #[getter]
    fn springs(&self) -> Vec<PyStockSpring> {
        self.0
            .springs()
            .iter()
            .cloned()
            .map(PyStockSpring)
            .collect()
    }

    /// This list with another one behind it.
    ///
    /// A spring that stands in both stands twice, for two in the drawer. A name that springs with other figures have in
    /// the two lists is refused.
    fn with_list(&self, other: &Self) -> PyResult<Self> {
        Ok(Self(self.0.clone().with(other.0.clone())?))
    }

    fn __len__(&self) -> usize {
        self.0.springs().len()
    }

    fn __repr__(&self) -> String {
        format!("<StockList of {} springs>", self.0.springs().len())
    }
}

/// Which springs of a list do a job: alone, opposed, parallel or in series; ranked by how well they meet the rate.
///
/// rate: that the control shall feel, N/m. force: at the beginning of the travel, N; of opposed springs in each at
/// rest. travel: from there, m; of opposed springs to either side. room: least and greatest distance of the points that
/// hold them at the beginning, m. bore: greatest outer diameter, m. Tolerances are shares. cycles: how long they shall
/// last, with life_safety against breaking. arrangements: what to try, all four if None; one that is named twice is
/// tried once.
#[pyfunction]
#[pyo3(signature = (stock, *, rate, force, travel, room, rate_tolerance = 0.1, force_tolerance = 0.1, bore = None,
    cycles = None, surface = "unpeened",
    criterion = "Gerber", life_safety = 1.2, arrangements = None))]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn search_stock(
    py: Python<'_>,
    stock: &PyStockList,
    rate: f64,
    force: f64,
    travel: f64,
    room: Few<2>,
    rate_tolerance: f64,
    force_tolerance: f64,
    bore: Option<f64>,
    cycles: Option<f64>,
    surface: &str,
    criterion: &str,
    life_safety: f64,
    arrangements: Option<Many<String>>,
) -> PyResult<PySearchResult> {
    let all = || {
        StockArrangement::ALL
            .iter()
            .map(ToString::to_string)
            .collect()
    };
    let names: Vec<String> = arrangements.map_or_else(all, Many::into_vec);
    let chosen = names.iter().map(|name| name.parse::<StockArrangement>());
    let demand = StockDemand {
        rate,
        rate_tolerance,
        force,
        force_tolerance,
        travel,
        room: room.into(),
        bore,
        life: life_in(cycles, surface, criterion, life_safety)?,
        arrangements: chosen.collect::<crate::Result<_>>()?,
    };
    let result = long(py, || spring::search_stock(&stock.0, &demand))??;
    PySearchResult::of(py, result, PyStockChoice)
}

/// One spring of a list.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "StockSpring")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyStockSpring(pub(in crate::python) StockSpring);

attributes! {
    impl PyStockSpring {
        /// What the supplier calls it.
        name(): &str,
        /// "extension" or "compression".
        kind: String = |v| v.kind().to_string(),
        /// Rate, N/m.
        rate(): f64,
        /// Length without load, m.
        free_length(): f64,
        /// Initial tension, N.
        initial_tension(): f64,
        /// Outer diameter, m.
        outer_diameter(): f64,
        /// How far it may be stretched or pressed, m.
        max_deflection(): f64,
        /// What it does between two points.
        line_spring: PyLinearSpring = |v| PyLinearSpring(v.line_spring()),
    }

    fn __repr__(&self) -> String {
        let (name, kind, rate) = (self.0.name(), self.0.kind(), self.0.rate());
        format!("<StockSpring {name}, {kind}, {rate:?} N/m>")
    }
}

/// Springs from a list that do what is wanted.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "StockChoice")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyStockChoice(StockChoice);

attributes! {
    impl PyStockChoice {
        /// "single", "opposed", "parallel" or "series".
        arrangement: String = |v| v.arrangement.to_string(),
        /// The spring, or the two of them.
        springs: Vec<PyStockSpring> = |v| v.springs.iter().cloned().map(PyStockSpring).collect(),
        /// Rate that the control feels, N/m.
        rate: f64,
        /// Distance of the points that hold them at the beginning of the travel, m; of opposed springs each has its
        /// own.
        lengths: Vec<f64> = |v| v.lengths.clone(),
        /// Force at the beginning of the travel, N.
        force: f64,
        /// Share of the deflection that they stand which the end of the travel uses.
        use_of_travel: f64,
        /// Safety against breaking within the cycles asked for; None if no life was.
        life_safety: Option<f64>,
    }

    fn __repr__(&self) -> String {
        let names: Vec<_> = self.0.springs.iter().map(StockSpring::name).collect();
        let (names, rate) = (names.join(" + "), self.0.rate);
        format!(
            "<StockChoice {} {names}, {rate:.4} N/m>",
            self.0.arrangement
        )
    }
}
