//! How much the reading of one axis of a stick changes when the other turns, and why.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::axis::{AxisCrosstalk, Crosstalk, CrosstalkFigure};
use crate::python::gate::attributes::attributes;
use crate::units::DEG;

/// The change of a reading while its own axis is held and the other one turns over its whole travel.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "CrosstalkFigure")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCrosstalkFigure(CrosstalkFigure);

attributes! {
    impl PyCrosstalkFigure {
        /// The angle at which the axis is held, rad.
        held: f64,
        /// Angles of the other axis at which the flux density, or the angle that is read, is least and greatest, rad.
        at: (f64, f64) = |figure| figure.at.into(),
        /// Greatest less least flux density, T; None unless the sensor is a LinearHall.
        flux: Option<f64>,
        /// Greatest less least angle that is read, rad; None unless the sensor is an AngleSensor.
        read_angle: Option<f64>,
        /// Greatest less least output, within the rails and the range of the converter, V; None of a digital
        /// AngleSensor.
        volts: Option<f64>,
        /// The same in steps of the converter, not rounded: the codes differ from it by less than one.
        counts: f64,
        /// The same as a fraction of the span over the axis's own travel, the other at zero; None if that has none.
        of_span: Option<f64>,
    }

    fn __repr__(&self) -> String {
        format!(
            "<CrosstalkFigure {:.3} counts at {:.3} deg>",
            self.0.counts,
            self.0.held / DEG
        )
    }
}

/// The crosstalk of one axis by the other.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "AxisCrosstalk")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyAxisCrosstalk(AxisCrosstalk);

attributes! {
    impl PyAxisCrosstalk {
        /// The axis whose reading changes: "outer" or "inner".
        axis: String = |one| one.axis.to_string(),
        /// Greatest less least output over the axis's own travel, the other at zero, V; None of a digital AngleSensor.
        span_volts: Option<f64>,
        /// The same in steps of the converter.
        span_counts: f64,
        /// With the axis held at zero.
        center: PyCrosstalkFigure = |one| PyCrosstalkFigure(one.center),
        /// Where in the gate it is worst, by counts.
        worst: PyCrosstalkFigure = |one| PyCrosstalkFigure(one.worst),
        /// The greatest change of flux density by the magnets that the sensor is meant to read, anywhere in the gate,
        /// T; None unless the sensor is a LinearHall.
        own_flux: Option<f64>,
        /// The same by all other magnets, T.
        stray_flux: Option<f64>,
        /// The greatest change of the angle that an AngleSensor would read of those magnets alone, rad; None of another
        /// sensor.
        own_angle: Option<f64>,
        /// The greatest change of what all other magnets turn it by, rad.
        stray_angle: Option<f64>,
        /// Where it comes from: "negligible" (below a count), "mounting", "stray field" or "mounting and stray field".
        cause: String = |one| one.cause.to_string(),
        /// What carries the sensor.
        sensor_on: String = |one| one.sensor_on.to_string(),
        /// What carries each source that the sensor is meant to read.
        magnets_on: Vec<String> = |one| one.magnets_on.iter().map(ToString::to_string).collect(),
        /// Whether one of those is read by the other sensor too.
        shared: bool,
        /// Where it comes from and what to do about it, in a sentence.
        explanation(): String,
    }

    fn __repr__(&self) -> String {
        format!(
            "<AxisCrosstalk of the {} axis: {:.3} counts at worst, {}>",
            self.0.axis, self.0.worst.counts, self.0.cause
        )
    }
}

/// The crosstalk of each axis of a stick by the other.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Crosstalk")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCrosstalk(pub(in crate::python) Crosstalk);

attributes! {
    json impl PyCrosstalk {
        /// Of the outer axis's reading when the inner axis turns.
        outer: PyAxisCrosstalk = |both| PyAxisCrosstalk(both.outer.clone()),
        /// Of the inner axis's reading when the outer axis turns.
        inner: PyAxisCrosstalk = |both| PyAxisCrosstalk(both.inner.clone()),
    }

    fn __repr__(&self) -> String {
        let [outer, inner] = [&self.0.outer, &self.0.inner].map(|one| one.worst.counts);
        format!("<Crosstalk: outer {outer:.3}, inner {inner:.3} counts at worst>")
    }
}
