//! Axes, sweeps and figures.

use nalgebra::Isometry3;
use numpy::IntoPyArray;
use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::axis::{self, Axis, AxisFigures, AxisSpec, CenterFigures, Line, Linearity, Sweep};
use crate::linkage::{AnyTransmission, Range, Transmission};
use crate::python::any_sensor::PySensor;
use crate::python::gate::columns::{Column, View};
use crate::python::gate::convert::{
    Count, Floats1, Mask, Numbers, Triple, from_json, to_json, vector_out,
};
use crate::python::gate::errors::InvalidValueError;
use crate::python::gate::long::long;
use crate::python::gate::sequence::Few;
use crate::python::hall::{PyAngleError, PyAveraging, PyConverter, PyLowPass};
use crate::python::linkage::PyTransfer;
use crate::python::linkage::transmission::{AnyDrive, drive_out};
use crate::python::magnet::any_source::PySource;
use crate::python::magnet::area::PyActiveArea;
use crate::python::pose::PyPose;

/// A straight line: offset + slope x.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Line")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyLine(Line);

#[pymethods]
impl PyLine {
    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self)
    }

    /// Every figure as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    /// y at x = 0.
    #[getter]
    fn offset(&self) -> f64 {
        self.0.offset
    }

    /// Change of y for one unit of x.
    #[getter]
    fn slope(&self) -> f64 {
        self.0.slope
    }

    /// y at x.
    fn at(&self, x: f64) -> PyResult<f64> {
        Ok(self.0.at(x)?)
    }

    fn __repr__(&self) -> String {
        format!("<Line {:?} + {:?} x>", self.0.offset, self.0.slope)
    }
}

/// Departure of a characteristic from a straight line by the three measures of IEC 61298-2, as fractions of its span.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Linearity")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyLinearity(Linearity);

#[pymethods]
impl PyLinearity {
    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self)
    }

    /// Every figure as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    /// From the line that makes the largest departure as small as it can be.
    #[getter]
    fn independent(&self) -> f64 {
        self.0.independent()
    }

    /// From the line through both ends.
    #[getter]
    fn terminal_based(&self) -> f64 {
        self.0.terminal_based()
    }

    /// From the line through the lower end that makes the largest departure as small as it can be.
    #[getter]
    fn zero_based(&self) -> f64 {
        self.0.zero_based()
    }

    /// The line of independent.
    #[getter]
    fn independent_line(&self) -> PyLine {
        PyLine(self.0.independent_line())
    }

    /// The line of terminal_based.
    #[getter]
    fn terminal_based_line(&self) -> PyLine {
        PyLine(self.0.terminal_based_line())
    }

    /// The line of zero_based.
    #[getter]
    fn zero_based_line(&self) -> PyLine {
        PyLine(self.0.zero_based_line())
    }

    fn __repr__(&self) -> String {
        format!(
            "<Linearity independent {:.4} %, terminal-based {:.4} %, zero-based {:.4} % of span>",
            100.0 * self.0.independent(),
            100.0 * self.0.terminal_based(),
            100.0 * self.0.zero_based()
        )
    }
}

/// The linearities of the characteristic through the samples (x, y), x strictly ascending.
#[pyfunction]
pub(in crate::python) fn linearity(x: Numbers<'_>, y: Numbers<'_>) -> PyResult<PyLinearity> {
    Ok(PyLinearity(axis::linearity(&x.to_vec(), &y.to_vec())?))
}

/// A control axis: magnets carried round a pivot past a fixed sensor, or the sensor past fixed magnets.
///
/// pivot: a point on the pivot's axis, m. direction: of that axis; angles follow the right-hand rule. throw: least and
/// greatest angle, rad, 0 between them. magnets, sensor_pose: as they stand at angle zero; magnets may be over a plate
/// (SteelPlate.over), and plate says what that is fixed to: "frame", where it stands still, or "moving". area: over
/// which the sensor averages, its pose from the active point along the axes of the package; without one the sensor
/// reads at the point. moving: "magnets" or "sensor".
///
/// drive: what turns the pivot when the control is moved (FixedRatio, BallRod, CenteredFourBar, UniversalJoint,
/// PedalTransmission or TransmissionChain); None where the control sits on the pivot. All angles are those of the
/// control, and the throw is the whole travel of the drive unless it is given. lever: distance of pad or grip from the
/// control's own pivot, m, for figures by its way.
///
/// sensor: LinearHall, AngleSensor or Potentiometer, which needs no magnets and no sensor_pose. converter: behind it; a
/// digital AngleSensor has codes of its own and takes none. filter, averaging: before the converter and of its codes.
/// remanence_drift: change of the remanence as a share of it, 1/K, from reference_celsius; celsius: temperature of
/// magnets and sensor, None for everything as it is given.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg, mT, mm
/// >>> sensor = yw.hall.LinearHall(
/// ...     supply=3.3, nominal_supply=3.3, quiescent=1.65, sensitivity=13.0,
/// ...     rail_low=0.1, rail_headroom=0.1, noise=0.0005, depth=0.5 * mm,
/// ... )
/// >>> axis = yw.axis.Axis(
/// ...     pivot=(0, 0, 0),
/// ...     direction=(0, 0, 1),
/// ...     throw=(-10 * deg, 10 * deg),
/// ...     magnets=yw.magnet.Block((5 * mm, 5 * mm, 5 * mm), (0, 1.3, 0), yw.Pose((12 * mm, 0, 0))),
/// ...     sensor=sensor,
/// ...     sensor_pose=yw.Pose((19 * mm, 0, 0), (0, -90 * deg, 0)),
/// ...     converter=yw.hall.Converter(bits=12, reference=3.3),
/// ... )
/// >>> axis.figures().counts
/// 850
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Axis")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyAxis {
    axis: Axis,
    magnets: PySource,
    area: Option<PyActiveArea>,
    sensor: PySensor,
    sensor_pose: PyPose,
}

impl PyAxis {
    pub(in crate::python) fn axis(&self) -> &Axis {
        &self.axis
    }

    pub(in crate::python) fn of(axis: &Axis) -> PyResult<Self> {
        let spec = axis.spec();
        Self::new_of(
            PySource::of(&spec.magnets)?,
            spec.area.as_ref().map(PyActiveArea::of).transpose()?,
            PySensor::of(&spec.sensor),
            PyPose::of(&spec.sensor_pose)?,
            spec.clone(),
        )
    }

    /// The spec with the parts as Python shows them.
    fn new_of(
        magnets: PySource,
        area: Option<PyActiveArea>,
        sensor: PySensor,
        sensor_pose: PyPose,
        spec: AxisSpec,
    ) -> PyResult<Self> {
        let axis = Axis::new(AxisSpec {
            magnets: magnets.source(),
            area: area.as_ref().map(|area| area.area.clone()),
            sensor: sensor.sensor(),
            sensor_pose: sensor_pose.isometry,
            ..spec
        })?;
        Ok(Self {
            axis,
            magnets,
            area,
            sensor,
            sensor_pose,
        })
    }
}

pub(super) fn or_none(text: Option<String>) -> String {
    text.unwrap_or_else(|| "None".to_owned())
}

pub(super) fn drive_or_none(drive: Option<AnyDrive>) -> AnyTransmission {
    drive.map_or(AnyTransmission::Identity, |drive| drive.0)
}

/// The throw, or the whole travel of the drive.
pub(super) fn throw_of(throw: Option<Few<2>>, drive: &AnyTransmission) -> PyResult<[f64; 2]> {
    match throw {
        Some(throw) => Ok(throw.into()),
        None if *drive == AnyTransmission::Identity => Err(InvalidValueError::new_err(
            "a throw is needed, or a drive with a travel of its own",
        )),
        None => {
            let Range { lower, upper } = drive.travel();
            Ok([lower, upper])
        }
    }
}

#[pymethods]
impl PyAxis {
    #[new]
    #[pyo3(signature = (*, pivot = Triple([0.0; 3]), direction = Triple([0.0, 0.0, 1.0]), throw = None, magnets = None,
                        sensor, sensor_pose = None, converter = None, moving = "magnets", area = None, plate = "frame",
                        drive = None, lever = None, filter = None, averaging = None, remanence_drift = 0.0,
                        reference_celsius = 20.0, celsius = None),
           text_signature = "(*, pivot=(0.0, 0.0, 0.0), direction=(0.0, 0.0, 1.0), throw=None, magnets=None, sensor, \
               sensor_pose=None, converter=None, moving='magnets', area=None, plate='frame', drive=None, lever=None, \
               filter=None, averaging=None, remanence_drift=0.0, reference_celsius=20.0, celsius=None)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        pivot: Triple,
        direction: Triple,
        throw: Option<Few<2>>,
        magnets: Option<PySource>,
        sensor: PySensor,
        sensor_pose: Option<&Bound<'_, PyPose>>,
        converter: Option<&Bound<'_, PyConverter>>,
        moving: &str,
        area: Option<&Bound<'_, PyActiveArea>>,
        plate: &str,
        drive: Option<AnyDrive>,
        lever: Option<f64>,
        filter: Option<&Bound<'_, PyLowPass>>,
        averaging: Option<&Bound<'_, PyAveraging>>,
        remanence_drift: f64,
        reference_celsius: f64,
        celsius: Option<f64>,
    ) -> PyResult<Self> {
        let drive = drive_or_none(drive);
        let throw = throw_of(throw, &drive)?;
        let magnets = magnets.unwrap_or(PySource::Empty);
        let sensor_pose = match sensor_pose {
            Some(pose) => pose.get().clone(),
            None => PyPose::of(&Isometry3::identity())?,
        };
        let spec = AxisSpec {
            drive,
            lever,
            pivot: pivot.point(),
            direction: direction.vector(),
            moving: moving.parse()?,
            plate: plate.parse()?,
            filter: filter.map(|filter| filter.get().0),
            averaging: averaging.map(|averaging| averaging.get().0),
            remanence_drift,
            reference_celsius,
            celsius,
            ..AxisSpec::new(
                throw,
                magnets.source(),
                sensor.sensor(),
                sensor_pose.isometry,
                converter.map(|converter| converter.get().0.clone()),
            )
        };
        let area = area.map(|area| area.get().clone());
        Self::new_of(magnets, area, sensor, sensor_pose, spec)
    }

    /// The filter before the converter, if there is one.
    #[getter]
    fn filter(&self) -> Option<PyLowPass> {
        self.axis.spec().filter.map(PyLowPass)
    }

    /// The averaging of the codes, if there is one.
    #[getter]
    fn averaging(&self) -> Option<PyAveraging> {
        self.axis.spec().averaging.map(PyAveraging)
    }

    /// Change of the remanence with temperature, as a share of it, 1/K.
    #[getter]
    fn remanence_drift(&self) -> f64 {
        self.axis.spec().remanence_drift
    }

    /// Temperature at which the polarization of the magnets is given, degC.
    #[getter]
    fn reference_celsius(&self) -> f64 {
        self.axis.spec().reference_celsius
    }

    /// Temperature of magnets and sensor, degC; None leaves everything as it is given.
    #[getter]
    fn celsius(&self) -> Option<f64> {
        self.axis.spec().celsius
    }

    /// Share of its reference that the remanence has at the temperature of the magnets.
    #[getter]
    fn remanence_share(&self) -> f64 {
        self.axis.remanence_share()
    }

    /// The same axis at another temperature of magnets and sensor, degC: the remanence changes by remanence_drift for a
    /// kelvin, a LinearHall as its variation says.
    fn at_temperature(&self, celsius: f64) -> PyResult<Self> {
        Self::of(&self.axis.at_temperature(celsius)?)
    }

    /// The same axis with the zero position of its AngleSensor where the centered control stands, as a builder programs
    /// it.
    fn zeroed(&self) -> PyResult<Self> {
        Self::of(&self.axis.zeroed()?)
    }

    /// Flux density at the sensor when the control stands at an angle (rad), in the frame of its package, T, shape
    /// (3,).
    fn field_at<'py>(&self, py: Python<'py>, angle: f64) -> PyResult<Floats1<'py>> {
        Ok(vector_out(py, &self.axis.field_at(angle)?))
    }

    /// The error of an AngleSensor over a whole turn of the pivot, from the real field at so many places: the angle
    /// that it reads less the angle turned, with the first and the second harmonic.
    #[pyo3(signature = (points = Count(360)), text_signature = "($self, points=360)")]
    fn angle_error(&self, py: Python<'_>, points: Count) -> PyResult<PyAngleError> {
        Ok(PyAngleError::of_core(long(py, || {
            self.axis.angle_error(points.0)
        })??))
    }

    /// A point on the pivot's axis, m, shape (3,).
    #[getter]
    fn pivot<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.axis.spec().pivot.coords)
    }

    /// Direction of the pivot's axis, as given, shape (3,).
    #[getter]
    fn direction<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.axis.spec().direction)
    }

    /// Least and greatest angle of the control, rad.
    #[getter]
    fn throw(&self) -> (f64, f64) {
        self.axis.throw().into()
    }

    /// What of the drive ends the throw below and above, by name; None where the throw ends before.
    #[getter]
    fn throw_ends(&self) -> (Option<String>, Option<String>) {
        let name = |end: Option<&str>| end.map(str::to_owned);
        self.axis.throw_ends().map(name).into()
    }

    /// What turns the pivot when the control is moved; None where the control sits on it.
    #[getter]
    fn drive<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        drive_out(py, &self.axis.spec().drive)
    }

    /// Distance of pad or grip from the control's own pivot, m; None if not given.
    #[getter]
    fn lever(&self) -> Option<f64> {
        self.axis.spec().lever
    }

    /// The angle of the pivot at the sensor (rad), with first and second derivative, when the control stands at an
    /// angle (rad).
    fn pivot_at(&self, angle: f64) -> PyResult<PyTransfer> {
        Ok(PyTransfer(self.axis.pivot_at(angle)?))
    }

    /// The magnets at angle zero: a MagnetGroup, or MagnetsOverPlate; None of a potentiometer without any.
    #[getter]
    fn magnets<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        self.magnets.object(py)
    }

    /// What a plate under the magnets is fixed to: "frame" or "moving".
    #[getter]
    fn plate(&self) -> String {
        self.axis.spec().plate.to_string()
    }

    /// The area that the sensor averages over; None of one that reads at its active point.
    #[getter]
    fn area(&self) -> Option<PyActiveArea> {
        self.area.clone()
    }

    /// The sensor.
    #[getter]
    fn sensor<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        self.sensor.object(py)
    }

    /// The sensor's package at angle zero.
    #[getter]
    fn sensor_pose(&self) -> PyPose {
        self.sensor_pose.clone()
    }

    /// The converter; None of a digital AngleSensor.
    #[getter]
    fn converter(&self) -> Option<PyConverter> {
        self.axis.spec().converter.clone().map(PyConverter)
    }

    /// "magnets" or "sensor".
    #[getter]
    fn moving(&self) -> String {
        self.axis.spec().moving.to_string()
    }

    /// The magnets when the control stands at an angle, rad, with their plate if they are over one.
    fn magnets_at<'py>(&self, py: Python<'py>, angle: f64) -> PyResult<Bound<'py, PyAny>> {
        PySource::of(&self.axis.magnets_at(angle)?)?.object(py)
    }

    /// The sensor's package when the control stands at an angle, rad.
    fn sensor_pose_at(&self, angle: f64) -> PyResult<PyPose> {
        Ok(PyPose::of(&self.axis.sensor_pose_at(angle)?)?)
    }

    /// Flux density along the sensitive direction at an angle (rad), T.
    fn flux_at(&self, angle: f64) -> PyResult<f64> {
        Ok(self.axis.flux_at(angle)?)
    }

    /// Flux densities at many angles (N,): T, shape (N,), and a mask of the rows that have a value.
    fn fluxes_at<'py>(
        &self,
        py: Python<'py>,
        angles: Numbers<'py>,
    ) -> PyResult<(Floats1<'py>, Mask<'py>)> {
        let angles = angles.to_vec();
        let (flux, valid) = long(py, || self.axis.fluxes_at(&angles))?;
        Ok((flux.into_pyarray(py), valid.into_pyarray(py)))
    }

    /// The curve over the throw at evenly spaced angles, both ends included.
    #[pyo3(signature = (points = Count(1001)), text_signature = "($self, points=1001)")]
    fn sweep(&self, py: Python<'_>, points: Count) -> PyResult<PySweep> {
        Ok(PySweep::of(long(py, || self.axis.sweep(points.0))??))
    }

    /// What the curve amounts to. The figures do not depend on the number of points, as long as the curve has nothing
    /// narrower than a step.
    #[pyo3(signature = (points = Count(1001)), text_signature = "($self, points=1001)")]
    fn figures(&self, py: Python<'_>, points: Count) -> PyResult<PyAxisFigures> {
        Ok(PyAxisFigures(long(py, || self.axis.figures(points.0))??))
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let spec = self.axis.spec();
        let area = self.area.as_ref();
        Ok(format!(
            "Axis(pivot={:?}, direction={:?}, throw={:?}, magnets={}, sensor={}, sensor_pose={}, converter={}, \
             moving='{}', area={}, plate='{}', drive={}, lever={}, filter={}, averaging={}, remanence_drift={:?}, \
             reference_celsius={:?}, celsius={})",
            spec.pivot.coords.as_slice(),
            spec.direction.as_slice(),
            self.throw(),
            self.magnets.repr(),
            self.sensor.repr(),
            self.sensor_pose.__repr__(),
            or_none(self.converter().map(|converter| converter.__repr__())),
            spec.moving,
            area.map_or_else(|| "None".to_owned(), PyActiveArea::__repr__),
            spec.plate,
            self.drive(py)?.repr()?,
            or_none(spec.lever.map(|lever| format!("{lever:?}"))),
            or_none(self.filter().map(|filter| filter.__repr__())),
            or_none(self.averaging().map(|averaging| averaging.__repr__())),
            spec.remanence_drift,
            spec.reference_celsius,
            or_none(spec.celsius.map(|celsius| format!("{celsius:?}"))),
        ))
    }
}

/// The characteristic of an axis over its throw: angle -> flux density -> volts -> counts.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Sweep")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PySweep {
    value: Sweep,
    #[serde(skip)]
    columns: [Column; 4],
    #[serde(skip)]
    counts: Column<i64>,
    #[serde(skip)]
    clipped: Column<bool>,
}

impl PySweep {
    pub(in crate::python) fn of(value: Sweep) -> Self {
        Self {
            value,
            columns: Default::default(),
            counts: Column::default(),
            clipped: Column::default(),
        }
    }
}

#[pymethods]
impl PySweep {
    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self::of)
    }

    /// Every figure as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.value)
    }

    /// Angles, rad, ascending.
    #[getter]
    fn angle<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[0].view(py, self.value.angle())
    }

    /// Flux density along the sensitive direction, T; None unless the sensor is a LinearHall.
    #[getter]
    fn flux<'py>(&self, py: Python<'py>) -> PyResult<Option<View<'py>>> {
        let flux = self.value.flux();
        flux.map(|flux| self.columns[1].view(py, flux)).transpose()
    }

    /// The angle that an angle sensor reads, from its zero position in its own sense, rad, going on past half a turn;
    /// None of another sensor.
    #[getter]
    fn read_angle<'py>(&self, py: Python<'py>) -> PyResult<Option<View<'py>>> {
        let read = self.value.read_angle();
        read.map(|read| self.columns[3].view(py, read)).transpose()
    }

    /// Sensor output, V, held at the rails; None of a digital angle sensor.
    #[getter]
    fn volts<'py>(&self, py: Python<'py>) -> PyResult<Option<View<'py>>> {
        let volts = self.value.volts();
        volts
            .map(|volts| self.columns[2].view(py, volts))
            .transpose()
    }

    /// Converter codes.
    #[getter]
    fn counts<'py>(&self, py: Python<'py>) -> PyResult<View<'py, i64>> {
        self.counts.view(py, self.value.counts())
    }

    /// Where the sensor is at a rail or the converter at the end of its range.
    #[getter]
    fn clipped<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.clipped.view(py, self.value.clipped())
    }

    /// Least distance of the center of the package face from a magnet over the throw, m.
    #[getter]
    fn clearance(&self) -> f64 {
        self.value.clearance()
    }

    fn __len__(&self) -> usize {
        self.value.angle().len()
    }

    fn __repr__(&self) -> String {
        format!("<Sweep of {} points>", self.value.angle().len())
    }
}

/// What the curve of an axis amounts to. SI; fractions of 1; None where a figure has no value.
///
/// Extremes, clipping and lines are followed between samples to 1e-9 of the span: the figures do not depend on the
/// number of points.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "AxisFigures")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyAxisFigures(pub(in crate::python) AxisFigures);

#[pymethods]
impl PyAxisFigures {
    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self)
    }

    /// Every figure as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    /// Greatest less least code over the throw.
    #[getter]
    fn counts(&self) -> i64 {
        self.0.counts()
    }

    /// Least and greatest code over the throw.
    #[getter]
    fn code_range(&self) -> (i64, i64) {
        self.0.code_range().into()
    }

    /// Counts as a fraction of the converter's range.
    #[getter]
    fn range_used(&self) -> f64 {
        self.0.range_used()
    }

    /// Greatest less least flux density, T; None unless the sensor is a LinearHall.
    #[getter]
    fn flux_span(&self) -> Option<f64> {
        self.0.flux_span()
    }

    /// Greatest less least sensor output, V; None of a digital AngleSensor.
    #[getter]
    fn volts_span(&self) -> Option<f64> {
        self.0.volts_span()
    }

    /// Gain at the center, T/rad; None unless the sensor is a LinearHall.
    #[getter]
    fn gain_flux(&self) -> Option<f64> {
        self.0.gain_flux()
    }

    /// Gain at the center, V/rad; 0 where the output is clipped, None of a digital AngleSensor.
    #[getter]
    fn gain_volts(&self) -> Option<f64> {
        self.0.gain_volts()
    }

    /// Gain at the center, counts/rad; 0 where the output is clipped.
    #[getter]
    fn gain_counts(&self) -> f64 {
        self.0.gain_counts()
    }

    /// Linearity of the flux density; None if it does not change.
    #[getter]
    fn linearity_flux(&self) -> Option<PyLinearity> {
        self.0.linearity_flux().map(PyLinearity)
    }

    /// Linearity of the output over the whole throw, of the span that the rails leave: where a rail holds the output,
    /// its departure counts like any other. The output is a voltage, or the angle that a digital AngleSensor reads (rad
    /// past the far side of its zero position). None if the output does not change.
    #[getter]
    fn linearity(&self) -> Option<PyLinearity> {
        self.0.linearity().map(PyLinearity)
    }

    /// linearity of an output in volts; None of a digital AngleSensor.
    #[getter]
    fn linearity_volts(&self) -> Option<PyLinearity> {
        self.0.linearity_volts().map(PyLinearity)
    }

    /// Least and greatest flux density at an AngleSensor over the throw, in the plane of its two directions, T; None of
    /// another sensor.
    #[getter]
    fn field_range(&self) -> Option<(f64, f64)> {
        self.0.field_range().map(Into::into)
    }

    /// The angles around the center over which the flux density only rises or only falls, rad.
    #[getter]
    fn monotonic_range(&self) -> (f64, f64) {
        self.0.monotonic_range().into()
    }

    /// Whether the monotonic range is the whole throw.
    #[getter]
    fn monotonic(&self) -> bool {
        self.0.monotonic()
    }

    /// The part of the throw that is clipped.
    #[getter]
    fn clipped_share(&self) -> f64 {
        self.0.clipped_share()
    }

    /// The angle that one count is worth at the center, rad.
    #[getter]
    fn step_quantization_center(&self) -> Option<f64> {
        self.0.step_quantization_center()
    }

    /// The angle that one count is worth where it is worth most, outside the clipped part, rad.
    #[getter]
    fn step_quantization_worst(&self) -> Option<f64> {
        self.0.step_quantization_worst()
    }

    /// The angle that the rms noise of sensor and converter is worth at the center, rad.
    #[getter]
    fn step_noise_center(&self) -> Option<f64> {
        self.0.step_noise_center()
    }

    /// The angle that the rms noise is worth where it is worth most, outside the clipped part, rad.
    #[getter]
    fn step_noise_worst(&self) -> Option<f64> {
        self.0.step_noise_worst()
    }

    /// log2(span / (sqrt(12) noise)), quantization included: IEEE Std 1241 on the span that the throw covers.
    #[getter]
    fn effective_bits(&self) -> Option<f64> {
        self.0.effective_bits()
    }

    /// Turn of the pivot at the sensor for a small turn of the control at the center: 1 without a drive.
    #[getter]
    fn ratio(&self) -> f64 {
        self.0.ratio()
    }

    /// Distance of pad or grip from the control's pivot, m; None if not given.
    #[getter]
    fn lever(&self) -> Option<f64> {
        self.0.lever()
    }

    /// Gains and steps at the center by the angle of the pivot at the sensor, per rad and in rad; None where that
    /// stands still.
    #[getter]
    fn at_pivot(&self) -> Option<PyCenterFigures> {
        self.0.at_pivot().map(Into::into)
    }

    /// Gains and steps at the center by the way of pad or grip along its circle, per m and in m; None without a lever.
    #[getter]
    fn at_grip(&self) -> Option<PyCenterFigures> {
        self.0.at_grip().map(Into::into)
    }

    /// Least distance of the center of the package face from a magnet over the throw, m.
    #[getter]
    fn clearance(&self) -> f64 {
        self.0.clearance()
    }

    fn __repr__(&self) -> String {
        let linearity = self.0.linearity().map_or_else(
            || "no span".to_owned(),
            |l| format!("independent linearity {:.3} %", 100.0 * l.independent()),
        );
        format!(
            "<AxisFigures {} counts, {:.1} % of the range, {linearity}, {:.1} % clipped>",
            self.0.counts(),
            100.0 * self.0.range_used(),
            100.0 * self.0.clipped_share()
        )
    }
}

/// Gains and steps of an axis at its center, by the angle of the pivot at the sensor or by the way of pad or grip.
#[pyclass(
    frozen,
    eq,
    get_all,
    module = "yokewright.axis",
    name = "CenterFigures"
)]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCenterFigures {
    /// Change of flux density, T per rad or per m.
    gain_flux: Option<f64>,
    /// Change of output, V per rad or per m; 0 where the output is clipped.
    gain_volts: Option<f64>,
    /// Change of code, counts per rad or per m; 0 where the output is clipped.
    gain_counts: f64,
    /// What one count is worth, rad or m; None where the reading stands still.
    step_quantization: Option<f64>,
    /// What the rms noise of sensor and converter is worth, rad or m; None where the reading stands still.
    step_noise: Option<f64>,
}

impl From<CenterFigures> for PyCenterFigures {
    fn from(figures: CenterFigures) -> Self {
        Self {
            gain_flux: figures.gain_flux,
            gain_volts: figures.gain_volts,
            gain_counts: figures.gain_counts,
            step_quantization: figures.step_quantization,
            step_noise: figures.step_noise,
        }
    }
}

#[pymethods]
impl PyCenterFigures {
    fn __repr__(&self) -> String {
        format!("<CenterFigures {:.4} counts for a unit>", self.gain_counts)
    }
}
