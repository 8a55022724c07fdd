//! Levers and their stops.

use numpy::IntoPyArray;
use pyo3::prelude::*;
use pyo3::types::PyTuple;
use serde::{Deserialize, Serialize};

use crate::linkage::{Lever, LeverGuide, Stop, StopLoad, StoppedTravel};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Floats1, Floats2, Mask, Numbers, Triple, vector_out};
use crate::python::gate::long::long;
use crate::python::gate::sequence::{Few, Many};
use crate::python::linkage::stick::{PyPivot, points_out};

/// A lever, pedal or slide with its grip or pad: Lever.pivoted(...) or Lever.sliding(...). Position zero is neutral.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg
/// >>> pivot = yw.linkage.Pivot((0, 0, 0), (0, 1, 0))
/// >>> lever = yw.linkage.Lever.pivoted(pivot, (0, 0, 0.2), (-20 * deg, 20 * deg))
/// >>> print(f"{1000 * lever.path_length:.1f} mm of way")
/// 139.6 mm of way
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "Lever")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyLever(Lever);

attributes! {
    impl PyLever {
        /// Least and greatest position: rad on a pivot, m on a slide.
        travel: (f64, f64) = |v| v.travel().into(),
        /// How far the grip goes along its path over the travel, m.
        path_length(): f64,
        /// Straight from one end of the travel to the other, m.
        chord(): f64,
    }

    /// A lever on a Pivot, the grip at a point (m) at neutral, with its least and greatest angle (rad), which hold
    /// zero.
    #[staticmethod]
    fn pivoted(pivot: &PyPivot, grip: Triple, travel: Few<2>) -> PyResult<Self> {
        Ok(Self(Lever::pivoted(pivot.0, grip.point(), travel.into())?))
    }

    /// A slide along a direction, the grip at a point (m) at neutral, with its least and greatest position (m), which
    /// hold zero.
    #[staticmethod]
    fn sliding(direction: Triple, grip: Triple, travel: Few<2>) -> PyResult<Self> {
        let lever = Lever::sliding(direction.vector(), grip.point(), travel.into())?;
        Ok(Self(lever))
    }

    /// The pivot; None for a slide.
    #[getter]
    fn pivot(&self) -> Option<PyPivot> {
        match self.0.guide() {
            LeverGuide::Pivot(pivot) => Some(PyPivot(pivot)),
            LeverGuide::Slide(_) => None,
        }
    }

    /// Direction of the slide, of length 1, shape (3,); None for a lever on a pivot.
    #[getter]
    fn direction<'py>(&self, py: Python<'py>) -> Option<Floats1<'py>> {
        match self.0.guide() {
            LeverGuide::Pivot(_) => None,
            LeverGuide::Slide(direction) => Some(vector_out(py, &direction)),
        }
    }

    /// Where the grip is at neutral, m, shape (3,).
    #[getter]
    fn grip<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.grip().coords)
    }

    /// Where the grip is at a position, m, shape (3,).
    fn grip_at<'py>(&self, py: Python<'py>, position: f64) -> PyResult<Floats1<'py>> {
        Ok(vector_out(py, &self.0.grip_at(position)?.coords))
    }

    /// Where the grip is at many positions (N,), m, shape (N, 3), and a mask (N,); refused rows are NaN and False.
    fn grips_at<'py>(
        &self,
        py: Python<'py>,
        positions: Numbers<'py>,
    ) -> PyResult<(Floats2<'py>, Mask<'py>)> {
        let positions = positions.to_vec();
        let grips = long(py, || self.0.grips_at(&positions))?;
        Ok((points_out(py, &grips.values), grips.valid.into_pyarray(py)))
    }

    /// A force on the grip along its path, N, shape (3,): toward greater positions if the magnitude is positive.
    fn push<'py>(&self, py: Python<'py>, position: f64, magnitude: f64) -> PyResult<Floats1<'py>> {
        Ok(vector_out(py, &self.0.push(position, magnitude)?))
    }

    /// The gap between bumper and stop (m) at a position; negative where the lever would have to be in the pad.
    fn gap(&self, stop: &PyStop, position: f64) -> PyResult<f64> {
        Ok(self.0.gap(&stop.0, position)?)
    }

    /// The positions nearest to neutral at which the lever meets a stop, below and above; None where it never does.
    fn meets(&self, stop: &PyStop) -> PyResult<(Option<f64>, Option<f64>)> {
        Ok(self.0.meets(&stop.0)?.into())
    }

    /// The travel that a number of stops leave.
    fn stopped_by(&self, stops: Many<PyRef<'_, PyStop>>) -> PyResult<PyStoppedTravel> {
        let stops: Vec<Stop> = stops.iter().map(|stop| stop.0).collect();
        Ok(PyStoppedTravel(self.0.stopped_by(&stops)?))
    }

    /// A stop met at a position, square to the way there: at a radius (m) from the pivot, or that far behind the grip
    /// of a slide.
    #[pyo3(signature = (radius, position, bumper_radius = 0.0))]
    fn stop_at(&self, radius: f64, position: f64, bumper_radius: f64) -> PyResult<PyStop> {
        Ok(PyStop(self.0.stop_at(radius, position, bumper_radius)?))
    }

    /// What stop and pivot or slide bear when a force (N, shape (3,)) on the grip holds the lever against the stop.
    fn stop_load(&self, stop: &PyStop, force: Triple) -> PyResult<PyStopLoad> {
        Ok(PyStopLoad(self.0.stop_load(&stop.0, force.vector())?))
    }

    /// Radial forces (N, shape (3,) each) on two bearings at distances (m) from the pivot's point along its direction.
    fn bearing_loads<'py>(
        &self,
        py: Python<'py>,
        load: &PyStopLoad,
        bearings: Few<2>,
    ) -> PyResult<(Floats1<'py>, Floats1<'py>)> {
        let forces = self.0.bearing_loads(&load.0, bearings.into())?;
        Ok(forces.map(|force| vector_out(py, &force)).into())
    }

    fn __repr__(&self) -> String {
        let (grip, travel) = (self.0.grip().coords, self.travel());
        let rest = format!("grip={:?}, travel={travel:?})", grip.as_slice());
        match self.0.guide() {
            LeverGuide::Pivot(pivot) => {
                format!("Lever.pivoted(pivot={}, {rest}", PyPivot(pivot).__repr__())
            }
            LeverGuide::Slide(direction) => {
                format!("Lever.sliding(direction={:?}, {rest}", direction.as_slice())
            }
        }
    }

    fn __reduce__(slf: Bound<'_, Self>) -> PyResult<(Bound<'_, PyAny>, Bound<'_, PyTuple>)> {
        let (py, this) = (slf.py(), slf.get());
        let (grip, travel) = (this.grip(py), this.travel());
        Ok(match this.0.guide() {
            LeverGuide::Pivot(pivot) => (
                slf.getattr("pivoted")?,
                (PyPivot(pivot), grip, travel).into_pyobject(py)?,
            ),
            LeverGuide::Slide(direction) => (
                slf.getattr("sliding")?,
                (vector_out(py, &direction), grip, travel).into_pyobject(py)?,
            ),
        })
    }
}

/// A fixed pad with a flat face that ends the travel of a lever, on which a bumper of the lever sits.
///
/// bumper: center of the bumper at neutral, m. face: a point of the face, m. normal: of the face, away from the pad.
/// bumper_radius: m. What stops a pedal carries the force of a foot: an emergency press passes a kilonewton. For
/// simulators only.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "Stop")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyStop(Stop);

#[pymethods]
impl PyStop {
    #[new]
    #[pyo3(signature = (*, bumper, face, normal, bumper_radius = 0.0))]
    fn new(bumper: Triple, face: Triple, normal: Triple, bumper_radius: f64) -> PyResult<Self> {
        let stop = Stop::new(bumper.point(), bumper_radius, face.point(), normal.vector())?;
        Ok(Self(stop))
    }

    /// Center of the bumper at neutral, m, shape (3,).
    #[getter]
    fn bumper<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.bumper().coords)
    }

    /// A point of the face, m, shape (3,).
    #[getter]
    fn face<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.face().coords)
    }

    /// Normal of the face, away from the pad, of length 1, shape (3,).
    #[getter]
    fn normal<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.normal())
    }

    /// Radius of the bumper, m.
    #[getter]
    fn bumper_radius(&self) -> f64 {
        self.0.bumper_radius()
    }

    fn __repr__(&self) -> String {
        format!(
            "Stop(bumper={:?}, face={:?}, normal={:?}, bumper_radius={:?})",
            self.0.bumper().coords.as_slice(),
            self.0.face().coords.as_slice(),
            self.0.normal().as_slice(),
            self.bumper_radius()
        )
    }
}

/// A lever held against a stop; friction is left out.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "StopLoad")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyStopLoad(StopLoad);

attributes! {
    impl PyStopLoad {
        /// Position of the lever at the stop: rad on a pivot, m on a slide.
        position: f64,
        /// Force between bumper and pad, N.
        contact_force: f64,
    }

    /// Where the pad is touched, m, shape (3,).
    #[getter]
    fn contact_point<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.contact_point.coords)
    }

    /// Force of pivot or slide on the lever, N, shape (3,).
    #[getter]
    fn guide_force<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.guide_force)
    }

    /// Moment of pivot or slide on the lever, N m, shape (3,), about the pivot's point or the neutral grip of a slide.
    #[getter]
    fn guide_moment<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.guide_moment)
    }

    /// Mean pressure (Pa) on a pad of the given area (m^2).
    fn pad_pressure(&self, area: f64) -> PyResult<f64> {
        Ok(self.0.pad_pressure(area)?)
    }

    /// Bearing pressure (Pa) of the pivot's pin: its force over diameter times length (m).
    fn pin_pressure(&self, diameter: f64, length: f64) -> PyResult<f64> {
        Ok(self.0.pin_pressure(diameter, length)?)
    }

    fn __repr__(&self) -> String {
        format!(
            "<StopLoad {:?} N at position {:?}>",
            self.0.contact_force, self.0.position
        )
    }
}

/// The travel that stops leave a lever.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "StoppedTravel")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyStoppedTravel(StoppedTravel);

attributes! {
    impl PyStoppedTravel {
        /// Least and greatest position: rad on a pivot, m on a slide.
        travel: (f64, f64) = |v| v.travel.into(),
        /// Which stop ends it below and above, counted from 0; None where the lever's own travel ends first.
        stops: (Option<usize>, Option<usize>) = |v| v.stops.into(),
    }

    fn __repr__(&self) -> String {
        let [low, high] = self.0.travel;
        format!("<StoppedTravel {low:?} to {high:?}>")
    }
}
