//! A stick with a sensor for each of its two axes, among all magnets.

use numpy::IntoPyArray;
use pyo3::prelude::*;

use crate::axis::{CarriedMagnets, CarriedSensor, TwoAxis, TwoAxisSpec};
use crate::linkage::{Gate, Gimbal};
use crate::python::any_sensor::PySensor;
use crate::python::axis::control::or_none;
use crate::python::axis::correction::PyCorrection;
use crate::python::axis::crosstalk::PyCrosstalk;
use crate::python::axis::two_axis_readings::{PyGateMap, PyTwoAxisReading, PyTwoAxisReadings};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Count, Floats2, Mask, Numbers, table_out};
use crate::python::gate::long::long;
use crate::python::gate::sequence::Many;
use crate::python::hall::{PyAveraging, PyConverter, PyLowPass, PyNoiseBudget, PyPotentiometer};
use crate::python::linkage::stick::{PyGate, PyGimbal};
use crate::python::magnet::any_source::PySource;
use crate::python::magnet::area::PyActiveArea;
use crate::python::pose::PyPose;

/// Least and greatest flux density, T; none of a sensor that does not depend on it.
type FieldRange = Option<(f64, f64)>;

/// Magnets on one of the bodies of a stick on two axes.
///
/// magnets: as they stand with both angles zero; a steel plate goes with them. carrier: "frame", "ring" (the outer
/// body) or "stick" (the inner one). read_by: the sensor that is meant to read them, "outer", "inner", "both" or
/// "neither". remanence_drift: change of their remanence as a share of it, 1/K, from reference_celsius; celsius: their
/// temperature, None for everything as it is given.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "CarriedMagnets")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyCarriedMagnets(CarriedMagnets, PySource);

impl PyCarriedMagnets {
    fn of(carried: &CarriedMagnets) -> PyResult<Self> {
        Ok(Self::shown(
            carried.clone(),
            PySource::of(&carried.magnets)?,
        ))
    }

    /// With the magnets as Python shows them.
    fn shown(carried: CarriedMagnets, magnets: PySource) -> Self {
        let carried = CarriedMagnets {
            magnets: magnets.source(),
            ..carried
        };
        Self(carried, magnets)
    }
}

attributes! {
    impl PyCarriedMagnets {
        /// "frame", "ring" or "stick".
        carrier: String = |carried| carried.carrier.to_string(),
        /// "outer", "inner", "both" or "neither".
        read_by: String = |carried| carried.read_by.to_string(),
        /// Change of the remanence with temperature, as a share of it, 1/K.
        remanence_drift: f64,
        /// Temperature at which the polarization is given, degC.
        reference_celsius: f64,
        /// Temperature of the magnets, degC; None leaves them as they are given.
        celsius: Option<f64>,
    }

    #[new]
    #[pyo3(signature = (magnets, carrier, read_by, *, remanence_drift = 0.0, reference_celsius = 20.0, celsius = None))]
    fn new(
        magnets: PySource,
        carrier: &str,
        read_by: &str,
        remanence_drift: f64,
        reference_celsius: f64,
        celsius: Option<f64>,
    ) -> PyResult<Self> {
        let carried = CarriedMagnets {
            remanence_drift,
            reference_celsius,
            celsius,
            ..CarriedMagnets::new(magnets.source(), carrier.parse()?, read_by.parse()?)
        };
        Ok(Self::shown(carried, magnets))
    }

    /// The magnets with both angles zero: a MagnetGroup, or MagnetsOverPlate.
    #[getter]
    fn magnets<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        self.1.object(py)
    }

    fn __repr__(&self) -> String {
        let Self(carried, magnets) = self;
        format!(
            "CarriedMagnets(magnets={}, carrier='{}', read_by='{}', remanence_drift={:?}, reference_celsius={:?}, \
             celsius={})",
            magnets.repr(),
            carried.carrier,
            carried.read_by,
            carried.remanence_drift,
            carried.reference_celsius,
            or_none(carried.celsius.map(|celsius| format!("{celsius:?}"))),
        )
    }
}

/// A sensor on one of the bodies of a stick on two axes, and what stands behind it.
///
/// sensor: LinearHall, AngleSensor or Potentiometer, which sits on the shaft of its axis (CarriedSensor.on_shaft).
/// pose: of its package with both angles zero (origin at the center of its face, +z out of the face). carrier:
/// "frame", "ring" (the outer body) or "stick" (the inner one). converter: behind it; a digital AngleSensor has codes
/// of its own and takes none. area, filter, averaging: as of an Axis. celsius: its temperature, None for everything as
/// it is given.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "CarriedSensor")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyCarriedSensor(CarriedSensor, Shown);

/// What of a sensor is given back to the last bit.
#[derive(Clone, PartialEq)]
struct Shown {
    sensor: PySensor,
    pose: PyPose,
    area: Option<PyActiveArea>,
}

impl PyCarriedSensor {
    fn of(carried: &CarriedSensor) -> PyResult<Self> {
        let shown = Shown {
            sensor: PySensor::of(&carried.sensor),
            pose: PyPose::of(&carried.pose)?,
            area: carried.area.as_ref().map(PyActiveArea::of).transpose()?,
        };
        Ok(Self::shown(carried.clone(), shown))
    }

    /// With its parts as Python shows them.
    fn shown(carried: CarriedSensor, shown: Shown) -> Self {
        let carried = CarriedSensor {
            sensor: shown.sensor.sensor(),
            pose: shown.pose.isometry,
            area: shown.area.as_ref().map(|area| area.area.clone()),
            ..carried
        };
        Self(carried, shown)
    }
}

attributes! {
    impl PyCarriedSensor {
        /// "frame", "ring" or "stick".
        carrier: String = |carried| carried.carrier.to_string(),
        /// The converter behind it; None of a digital AngleSensor.
        converter: Option<PyConverter> = |carried| carried.converter.clone().map(PyConverter),
        /// The filter before the converter, if there is one.
        filter: Option<PyLowPass> = |carried| carried.filter.map(PyLowPass),
        /// The averaging of the codes, if there is one.
        averaging: Option<PyAveraging> = |carried| carried.averaging.map(PyAveraging),
        /// Temperature of the sensor, degC; None leaves it as it is given.
        celsius: Option<f64>,
    }

    #[new]
    #[pyo3(signature = (sensor, pose, carrier, converter = None, *, area = None, filter = None, averaging = None,
                        celsius = None))]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        sensor: PySensor,
        pose: &PyPose,
        carrier: &str,
        converter: Option<&Bound<'_, PyConverter>>,
        area: Option<&Bound<'_, PyActiveArea>>,
        filter: Option<&Bound<'_, PyLowPass>>,
        averaging: Option<&Bound<'_, PyAveraging>>,
        celsius: Option<f64>,
    ) -> PyResult<Self> {
        let converter = converter.map(|converter| converter.get().0.clone());
        let carried = CarriedSensor {
            filter: filter.map(|filter| filter.get().0),
            averaging: averaging.map(|averaging| averaging.get().0),
            celsius,
            ..CarriedSensor::new(sensor.sensor(), pose.isometry, carrier.parse()?, converter)
        };
        let shown = Shown {
            sensor,
            pose: pose.clone(),
            area: area.map(|area| area.get().clone()),
        };
        Ok(Self::shown(carried, shown))
    }

    /// A Potentiometer on the shaft of its axis, centered with the stick.
    #[staticmethod]
    fn on_shaft(sensor: &PyPotentiometer, converter: &PyConverter) -> PyResult<Self> {
        Self::of(&CarriedSensor::on_shaft(sensor.0.clone(), converter.0.clone()))
    }

    /// The sensor.
    #[getter]
    fn sensor<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        self.1.sensor.object(py)
    }

    /// Its package with both angles zero.
    #[getter]
    fn pose(&self) -> PyPose {
        self.1.pose.clone()
    }

    /// The area that it averages over; None of one that reads at its active point or over that of its data sheet.
    #[getter]
    fn area(&self) -> Option<PyActiveArea> {
        self.1.area.clone()
    }

    fn __repr__(&self) -> String {
        let Self(carried, shown) = self;
        format!(
            "CarriedSensor(sensor={}, pose={}, carrier='{}', converter={}, area={}, filter={}, averaging={}, \
             celsius={})",
            shown.sensor.repr(),
            shown.pose.__repr__(),
            carried.carrier,
            or_none(self.converter().map(|converter| converter.__repr__())),
            or_none(shown.area.as_ref().map(PyActiveArea::__repr__)),
            or_none(self.filter().map(|filter| filter.__repr__())),
            or_none(self.averaging().map(|averaging| averaging.__repr__())),
            or_none(carried.celsius.map(|celsius| format!("{celsius:?}"))),
        )
    }
}

/// A stick on two axes with a sensor for each: every magnet at both sensors, all over the gate. Angles in rad, zero at
/// neutral; pairs have the outer axis first.
///
/// gimbal, gate: where the stick turns and how far; neutral is inside the gate. magnets: all that either sensor sees.
/// outer, inner: the sensors of the two axes.
///
/// A part on the frame stands still, one on the ring turns with the outer axis, one on the stick with both. A sensor
/// reads its own axis alone if it and its magnet move against each other only when that axis turns: for the outer axis
/// one of the two is on the frame and the other on the ring, for the inner one on the ring and on the stick.
///
/// A sensor is any that an Axis takes and reads as it does there. One that an axis drives through rods or a linkage, on
/// a pivot of its own, is an Axis with a drive, and no crosstalk is told of it.
///
/// Examples
/// --------
/// Pitch is the outer axis, roll the inner one. Each magnet swings 20 mm from its axis past a sensor that faces it.
/// With pitch's magnet on the stick, roll moves it past pitch's sensor; on the ring it does not.
///
/// >>> import yokewright as yw
/// >>> from yokewright import deg, mm, mV_per_mT
/// >>> gimbal = yw.linkage.Gimbal(
/// ...     outer=yw.linkage.Pivot((0, 0, 0), (0, 1, 0)),
/// ...     inner=yw.linkage.Pivot((0, 0, 0), (1, 0, 0)),
/// ...     stick=[(0, 0, 0), (0, 0, 400 * mm)],
/// ... )
/// >>> hall = yw.hall.LinearHall(
/// ...     supply=5.0, nominal_supply=5.0, quiescent=2.5, sensitivity=10 * mV_per_mT,
/// ...     rail_low=0.2, rail_headroom=0.3, noise=0.0005, depth=0.5 * mm,
/// ... )
/// >>> converter = yw.hall.Converter(bits=12, reference=5.0)
/// >>> cube = (5 * mm, 5 * mm, 5 * mm)
/// >>> pitch = yw.magnet.Block(cube, (0, 0, 1.2), yw.Pose((-20 * mm, 50 * mm, 0)))
/// >>> roll = yw.magnet.Block(cube, (0, 1.2, 0), yw.Pose((10 * mm, 0, -20 * mm)))
/// >>> def rig(pitch_on):
/// ...     return yw.axis.TwoAxis(
/// ...         gimbal=gimbal,
/// ...         gate=yw.linkage.Gate.square((-15 * deg, 15 * deg), (-15 * deg, 15 * deg)),
/// ...         magnets=[
/// ...             yw.axis.CarriedMagnets(pitch, pitch_on, "outer"),
/// ...             yw.axis.CarriedMagnets(roll, "stick", "inner"),
/// ...         ],
/// ...         outer=yw.axis.CarriedSensor(
/// ...             hall, yw.Pose((-29 * mm, 50 * mm, 0), (0, 90 * deg, 0)), "frame", converter
/// ...         ),
/// ...         inner=yw.axis.CarriedSensor(hall, yw.Pose((10 * mm, 0, -30 * mm)), "ring", converter),
/// ...     )
/// >>> on_ring, on_stick = (rig(carrier).crosstalk().outer for carrier in ("ring", "stick"))
/// >>> on_stick.cause
/// 'mounting'
/// >>> on_stick.worst.counts > 50 * on_ring.worst.counts
/// True
#[pyclass(frozen, eq, module = "yokewright.axis", name = "TwoAxis")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyTwoAxis(TwoAxis, Parts);

/// What was given, as it is given back.
#[derive(Clone, PartialEq)]
struct Parts {
    magnets: Vec<PyCarriedMagnets>,
    outer: PyCarriedSensor,
    inner: PyCarriedSensor,
}

impl PyTwoAxis {
    /// One whose poses went by way of rotation vectors, as Python shows them.
    pub(in crate::python) fn of(two: &TwoAxis) -> PyResult<Self> {
        let spec = two.spec();
        let magnets = spec.magnets.iter().map(PyCarriedMagnets::of);
        let parts = Parts {
            magnets: magnets.collect::<PyResult<_>>()?,
            outer: PyCarriedSensor::of(&spec.outer)?,
            inner: PyCarriedSensor::of(&spec.inner)?,
        };
        Self::made(spec.gimbal.clone(), spec.gate.clone(), parts)
    }

    fn made(gimbal: Gimbal, gate: Gate, parts: Parts) -> PyResult<Self> {
        let two = TwoAxis::new(TwoAxisSpec::new(
            gimbal,
            gate,
            parts.magnets.iter().map(|one| one.0.clone()).collect(),
            parts.outer.0.clone(),
            parts.inner.0.clone(),
        ))?;
        Ok(Self(two, parts))
    }
}

attributes! {
    impl PyTwoAxis {
        /// The two axes and the stick.
        gimbal: PyGimbal = |two| PyGimbal(two.spec().gimbal.clone()),
        /// Where the stick may be.
        gate: PyGate = |two| PyGate(two.spec().gate.clone()),
        /// Least and greatest angle of each axis anywhere in the gate, rad.
        travel: ((f64, f64), (f64, f64)) = |two| two.travel().map(Into::into).into(),
    }

    #[new]
    #[pyo3(signature = (*, gimbal, gate, magnets, outer, inner))]
    fn new(
        gimbal: &PyGimbal,
        gate: &PyGate,
        magnets: Many<PyRef<'_, PyCarriedMagnets>>,
        outer: &PyCarriedSensor,
        inner: &PyCarriedSensor,
    ) -> PyResult<Self> {
        let parts = Parts {
            magnets: magnets.iter().map(|one| (**one).clone()).collect(),
            outer: outer.clone(),
            inner: inner.clone(),
        };
        Self::made(gimbal.0.clone(), gate.0.clone(), parts)
    }

    /// All magnets that either sensor sees.
    #[getter]
    fn magnets(&self) -> Vec<PyCarriedMagnets> {
        self.1.magnets.clone()
    }

    /// The sensor of the outer axis.
    #[getter]
    fn outer(&self) -> PyCarriedSensor {
        self.1.outer.clone()
    }

    /// The sensor of the inner axis.
    #[getter]
    fn inner(&self) -> PyCarriedSensor {
        self.1.inner.clone()
    }

    /// The same stick at another temperature of all magnets and both sensors, degC.
    fn at_temperature(&self, celsius: f64) -> PyResult<Self> {
        Self::of(&self.0.at_temperature(celsius)?)
    }

    /// The same stick with the zero position of the AngleSensor of an axis ("outer" or "inner") where neutral stands,
    /// as a builder programs it.
    fn zeroed(&self, axis: &str) -> PyResult<Self> {
        Self::of(&self.0.zeroed(axis.parse()?)?)
    }

    /// How what a carrier ("frame", "ring" or "stick") holds has moved from neutral at two angles.
    fn motion_at(&self, carrier: &str, outer: f64, inner: f64) -> PyResult<PyPose> {
        let motion = self.0.motion_at(carrier.parse()?, outer, inner)?;
        Ok(PyPose::of(&motion)?)
    }

    /// Flux density at both sensors at two angles, each in the frame of its package, T, shape (2, 3).
    fn field_at<'py>(&self, py: Python<'py>, outer: f64, inner: f64) -> PyResult<Floats2<'py>> {
        let fields = self.0.field_at(outer, inner)?;
        let rows = fields.iter().flat_map(|field| field.iter().copied());
        Ok(table_out(py, rows.collect(), (2, 3)))
    }

    /// Flux density at both sensors along their sensitive directions at two angles, T; refused unless both are
    /// LinearHall.
    fn flux_at(&self, outer: f64, inner: f64) -> PyResult<(f64, f64)> {
        Ok(self.0.flux_at(outer, inner)?.into())
    }

    /// Flux densities at both sensors at many angles (N,): T, shape (N, 2), and a mask (N,); refused rows are NaN and
    /// False.
    fn fluxes_at<'py>(
        &self,
        py: Python<'py>,
        outer: Numbers<'py>,
        inner: Numbers<'py>,
    ) -> PyResult<(Floats2<'py>, Mask<'py>)> {
        let (outer, inner) = (outer.to_vec(), inner.to_vec());
        let (flux, valid) = long(py, || self.0.fluxes_at(&outer, &inner))??;
        let count = flux.len();
        Ok((
            table_out(py, flux.into_flattened(), (count, 2)),
            valid.into_pyarray(py),
        ))
    }

    /// The noise of both readings at two angles, behind filter, converter and averaging, referred to the converter's
    /// input: V, or rad of a digital AngleSensor.
    fn noise_at(
        &self,
        py: Python<'_>,
        outer: f64,
        inner: f64,
    ) -> PyResult<(PyNoiseBudget, PyNoiseBudget)> {
        let noise = long(py, || self.0.noise_at(outer, inner))??;
        Ok(noise.map(PyNoiseBudget).into())
    }

    /// What both sensors read at two angles.
    fn reading_at(&self, outer: f64, inner: f64) -> PyResult<PyTwoAxisReading> {
        Ok(PyTwoAxisReading(self.0.reading_at(outer, inner)?))
    }

    /// What both sensors read at many angles (N,).
    fn readings_at(
        &self,
        py: Python<'_>,
        outer: Numbers<'_>,
        inner: Numbers<'_>,
    ) -> PyResult<PyTwoAxisReadings> {
        let (outer, inner) = (outer.to_vec(), inner.to_vec());
        let readings = long(py, || self.0.readings_at(&outer, &inner))??;
        Ok(PyTwoAxisReadings::of(readings))
    }

    /// What both sensors read on a grid over the gate, outer by inner angles.
    #[pyo3(signature = (outer = Count(41), inner = Count(41)), text_signature = "($self, outer=41, inner=41)")]
    fn map(&self, py: Python<'_>, outer: Count, inner: Count) -> PyResult<PyGateMap> {
        Ok(PyGateMap::of(long(py, || self.0.map(outer.0, inner.0))??))
    }

    /// Least distance of the face of each sensor from any magnet or plate over the whole gate, m: nowhere is it less by
    /// more than 10 micrometers. Refused if a sensor reaches into a magnet, or a magnet into another.
    fn clearance(&self, py: Python<'_>) -> PyResult<(f64, f64)> {
        Ok(long(py, || self.0.clearance())??.into())
    }

    /// Least and greatest flux density in the plane of each AngleSensor anywhere in the gate, T; None of another
    /// sensor, whose output does not depend on it. Where it falls below the working flux of the sensor its angle gets
    /// lost.
    fn field_ranges(&self, py: Python<'_>) -> PyResult<(FieldRange, FieldRange)> {
        let ranges = long(py, || self.0.field_ranges())??;
        Ok(ranges.map(|range| range.map(Into::into)).into())
    }

    /// The change of each axis's reading over the other's whole travel while it is held: at zero, and where in the gate
    /// that is worst. points: angles of the held axis, and of the other in each row.
    #[pyo3(signature = (points = Count(41)), text_signature = "($self, points=41)")]
    fn crosstalk(&self, py: Python<'_>, points: Count) -> PyResult<PyCrosstalk> {
        Ok(PyCrosstalk(long(py, || self.0.crosstalk(points.0))??))
    }

    /// The map from the codes of both sensors to both angles that is nearest by least squares over the gate, and what
    /// is left. terms: "linear" (1, a, b), "bilinear" (and a b) or "quadratic" (and a^2, b^2).
    #[pyo3(signature = (terms = "bilinear", points = Count(41)),
           text_signature = "($self, terms='bilinear', points=41)")]
    fn correction(&self, py: Python<'_>, terms: &str, points: Count) -> PyResult<PyCorrection> {
        let terms = terms.parse()?;
        let correction = long(py, || self.0.correction(terms, points.0))??;
        Ok(PyCorrection(correction))
    }

    fn __repr__(&self) -> String {
        let Self(_, parts) = self;
        let magnets = parts.magnets.iter().map(PyCarriedMagnets::__repr__);
        format!(
            "TwoAxis(gimbal={}, gate={}, magnets=[{}], outer={}, inner={})",
            self.gimbal().__repr__(),
            self.gate().__repr__(),
            magnets.collect::<Vec<_>>().join(", "),
            parts.outer.__repr__(),
            parts.inner.__repr__()
        )
    }
}
