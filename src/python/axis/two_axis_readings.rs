//! What both sensors of a stick read, at one position, at many, and over the gate.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::axis::{GateMap, TwoAxisReading, TwoAxisReadings};
use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Column, View};

/// What the two sensors of a stick read at one position; pairs have the outer axis first.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "TwoAxisReading")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyTwoAxisReading(pub(super) TwoAxisReading);

/// Of two sensors, what one of them may not have.
type Pair = (Option<f64>, Option<f64>);

attributes! {
    impl PyTwoAxisReading {
        /// Flux density along the sensitive direction, T; None unless the sensor is a LinearHall.
        flux: Pair = |one| one.flux.into(),
        /// The angle that an AngleSensor reads, from its zero position in its own sense, rad, going on past half a turn
        /// from neutral; None of another sensor.
        read_angle: Pair = |one| one.read_angle.into(),
        /// Sensor output, V, held at the rails; None of a digital AngleSensor.
        volts: Pair = |one| one.volts.into(),
        /// Converter codes; of a digital AngleSensor its own, its zero position being the middle of them.
        counts: (i64, i64) = |one| one.counts.into(),
        /// Whether the sensor is at a rail or the converter at the end of its range.
        clipped: (bool, bool) = |one| one.clipped.into(),
    }

    fn __repr__(&self) -> String {
        let [outer, inner] = self.0.counts;
        format!("<TwoAxisReading {outer} and {inner} counts>")
    }
}

/// The arrays of some readings, made when they are asked for.
#[derive(Clone, Default, PartialEq)]
struct Columns {
    floats: [Column; 3],
    counts: Column<i64>,
    masks: [Column<bool>; 2],
}

/// `#[pymethods]` of a class with readings at many positions: their columns, then whatever it has besides. The texts
/// say the shape of the positions in front of the two sensors, and what has no value.
macro_rules! readings {
    (
        impl $class:ident, $rows:literal, $valid:literal, $none:literal, |$value:ident| $of:expr;
        $($methods:tt)*
    ) => {
        impl $class {
            fn rows(&self) -> &TwoAxisReadings {
                let $value = &self.value;
                &$of
            }

            /// The shape of a column with both sensors.
            fn pairs(&self) -> Vec<usize> {
                [&self.grid()[..], &[2]].concat()
            }
        }

        #[pymethods]
        impl $class {
            #[doc = concat!(
                "Flux density along the sensitive direction, T, shape ", $rows, ", the sensor of the outer axis first; \
                 NaN ", $none, " and for a sensor that is no LinearHall."
            )]
            #[getter]
            fn flux<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
                self.columns.floats[0].table(py, self.rows().flux.as_flattened(), &self.pairs())
            }

            #[doc = concat!(
                "The angle that an AngleSensor reads, from its zero position in its own sense, rad, going on past half \
                 a turn from neutral, shape ", $rows, "; NaN ", $none, " and for another sensor; None if neither is an \
                 AngleSensor."
            )]
            #[getter]
            fn read_angle<'py>(&self, py: Python<'py>) -> PyResult<Option<View<'py>>> {
                let read = self.rows().read_angle.as_ref();
                let read = read.map(|read| {
                    self.columns.floats[2].table(py, read.as_flattened(), &self.pairs())
                });
                read.transpose()
            }

            #[doc = concat!(
                "Sensor output, V, held at the rails, shape ", $rows, "; NaN ", $none, " and for a digital AngleSensor."
            )]
            #[getter]
            fn volts<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
                self.columns.floats[1].table(py, self.rows().volts.as_flattened(), &self.pairs())
            }

            #[doc = concat!("Converter codes, shape ", $rows, "; -1 ", $none, ".")]
            #[getter]
            fn counts<'py>(&self, py: Python<'py>) -> PyResult<View<'py, i64>> {
                self.columns.counts.table(py, self.rows().counts.as_flattened(), &self.pairs())
            }

            #[doc = concat!(
                "Whether the sensor is at a rail or the converter at the end of its range, shape ", $rows, "."
            )]
            #[getter]
            fn clipped<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
                self.columns.masks[0].table(py, self.rows().clipped.as_flattened(), &self.pairs())
            }

            #[doc = $valid]
            #[getter]
            fn valid<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
                self.columns.masks[1].table(py, &self.rows().valid, &self.grid())
            }

            $($methods)*
        }
    };
}

/// What the two sensors of a stick read at many positions, in the order of the angles; columns have the outer axis
/// first.
#[pyclass(frozen, module = "yokewright.axis", name = "TwoAxisReadings")]
#[derive(Clone, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PyTwoAxisReadings {
    value: TwoAxisReadings,
    #[serde(skip)]
    columns: Columns,
}

impl PyTwoAxisReadings {
    pub(super) fn of(value: TwoAxisReadings) -> Self {
        Self {
            value,
            columns: Columns::default(),
        }
    }

    fn grid(&self) -> [usize; 1] {
        [self.value.valid.len()]
    }
}

readings! {
    impl PyTwoAxisReadings, "(N, 2)", "Whether the row has a value, shape (N,).", "in refused rows", |value| *value;

    fn __len__(&self) -> usize {
        self.value.valid.len()
    }

    fn __repr__(&self) -> String {
        format!("<TwoAxisReadings at {} positions>", self.value.valid.len())
    }
}

/// What both sensors of a stick read on a grid over the gate, M outer by N inner angles. Positions beyond the gate have
/// no value.
#[pyclass(frozen, module = "yokewright.axis", name = "GateMap")]
#[derive(Clone, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PyGateMap {
    value: GateMap,
    #[serde(skip)]
    columns: Columns,
    #[serde(skip)]
    angles: [Column; 2],
}

impl PyGateMap {
    pub(super) fn of(value: GateMap) -> Self {
        Self {
            value,
            columns: Columns::default(),
            angles: Default::default(),
        }
    }

    fn grid(&self) -> [usize; 2] {
        [self.value.outer.len(), self.value.inner.len()]
    }
}

readings! {
    impl PyGateMap, "(M, N, 2)", "Whether the gate allows the position, shape (M, N).", "beyond the gate",
        |value| value.readings;

    /// Outer angles, rad, shape (M,).
    #[getter]
    fn outer<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.angles[0].view(py, &self.value.outer)
    }

    /// Inner angles, rad, shape (N,).
    #[getter]
    fn inner<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.angles[1].view(py, &self.value.inner)
    }

    /// One step of each converter, the outer one first, V; of a digital AngleSensor, rad.
    #[getter]
    fn steps(&self) -> (f64, f64) {
        self.value.steps.into()
    }

    fn __repr__(&self) -> String {
        let [outer, inner] = self.grid();
        format!("<GateMap of {outer} by {inner} positions>")
    }
}
