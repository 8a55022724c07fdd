//! A stick with a sensor for each of its two axes: readings, crosstalk, correction.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::axis::{
    AngleResiduals, AxisCrosstalk, CarriedMagnets, CarriedSensor, Carrier, Correction,
    CorrectionMap, Crosstalk, CrosstalkFigure, GateMap, ReadBy, TwoAxis, TwoAxisReading,
    TwoAxisReadings, TwoAxisSpec,
};
use crate::linkage::{Gate, Gimbal};
use crate::python::gate::columns::{Column, View};
use crate::python::gate::convert::{Count, Floats2, Mask, Numbers, from_json, table_out, to_json};
use crate::python::gate::long::long;
use crate::python::gate::sequence::Many;
use crate::python::hall::{PyConverter, PyLinearHall};
use crate::python::linkage::stick::{PyGate, PyGimbal};
use crate::python::magnet::any_source::PySource;
use crate::python::pose::PyPose;
use crate::units::DEG;
use numpy::IntoPyArray;

/// Magnets on one of the bodies of a stick on two axes.
///
/// magnets: as they stand with both angles zero; a steel plate goes with them. carrier: "frame", "ring" (the outer
/// body) or "stick" (the inner one). read_by: the sensor that is meant to read them, "outer", "inner", "both" or
/// "neither".
#[pyclass(frozen, eq, module = "yokewright.axis", name = "CarriedMagnets")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyCarriedMagnets {
    magnets: PySource,
    carrier: Carrier,
    read_by: ReadBy,
}

impl PyCarriedMagnets {
    fn of(carried: &CarriedMagnets) -> PyResult<Self> {
        Ok(Self {
            magnets: PySource::of(&carried.magnets)?,
            carrier: carried.carrier,
            read_by: carried.read_by,
        })
    }

    fn carried(&self) -> CarriedMagnets {
        CarriedMagnets::new(self.magnets.source(), self.carrier, self.read_by)
    }
}

#[pymethods]
impl PyCarriedMagnets {
    #[new]
    fn new(magnets: PySource, carrier: &str, read_by: &str) -> PyResult<Self> {
        Ok(Self {
            magnets,
            carrier: carrier.parse()?,
            read_by: read_by.parse()?,
        })
    }

    /// The magnets with both angles zero: a MagnetGroup, or MagnetsOverPlate.
    #[getter]
    fn magnets<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        self.magnets.object(py)
    }

    /// "frame", "ring" or "stick".
    #[getter]
    fn carrier(&self) -> String {
        self.carrier.to_string()
    }

    /// "outer", "inner", "both" or "neither".
    #[getter]
    fn read_by(&self) -> String {
        self.read_by.to_string()
    }

    fn __repr__(&self) -> String {
        format!(
            "CarriedMagnets(magnets={}, carrier='{}', read_by='{}')",
            self.magnets.repr(),
            self.carrier,
            self.read_by
        )
    }
}

/// A sensor on one of the bodies of a stick on two axes, and the converter behind it.
///
/// sensor: a LinearHall, which reads at its active point. pose: of its package with both angles zero (origin at the
/// center of its face, +z out of the face). carrier: "frame", "ring" (the outer body) or "stick" (the inner one).
#[pyclass(frozen, eq, module = "yokewright.axis", name = "CarriedSensor")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyCarriedSensor {
    sensor: PyLinearHall,
    pose: PyPose,
    carrier: Carrier,
    converter: PyConverter,
}

impl PyCarriedSensor {
    fn of(carried: &CarriedSensor) -> PyResult<Self> {
        Ok(Self {
            sensor: PyLinearHall::of(&carried.sensor),
            pose: PyPose::of(&carried.pose)?,
            carrier: carried.carrier,
            converter: PyConverter(carried.converter.clone()),
        })
    }

    fn carried(&self) -> CarriedSensor {
        CarriedSensor::new(
            self.sensor.sensor.clone(),
            self.pose.isometry,
            self.carrier,
            self.converter.0.clone(),
        )
    }
}

#[pymethods]
impl PyCarriedSensor {
    #[new]
    fn new(
        sensor: &PyLinearHall,
        pose: &PyPose,
        carrier: &str,
        converter: &PyConverter,
    ) -> PyResult<Self> {
        Ok(Self {
            sensor: sensor.clone(),
            pose: pose.clone(),
            carrier: carrier.parse()?,
            converter: converter.clone(),
        })
    }

    /// The sensor.
    #[getter]
    fn sensor(&self) -> PyLinearHall {
        self.sensor.clone()
    }

    /// Its package with both angles zero.
    #[getter]
    fn pose(&self) -> PyPose {
        self.pose.clone()
    }

    /// "frame", "ring" or "stick".
    #[getter]
    fn carrier(&self) -> String {
        self.carrier.to_string()
    }

    /// The converter behind it.
    #[getter]
    fn converter(&self) -> PyConverter {
        self.converter.clone()
    }

    fn __repr__(&self) -> String {
        format!(
            "CarriedSensor(sensor={}, pose={}, carrier='{}', converter={})",
            self.sensor.__repr__(),
            self.pose.__repr__(),
            self.carrier,
            self.converter.__repr__()
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
pub(in crate::python) struct PyTwoAxis {
    two: TwoAxis,
    magnets: Vec<PyCarriedMagnets>,
    outer: PyCarriedSensor,
    inner: PyCarriedSensor,
}

impl PyTwoAxis {
    /// One whose poses went by way of rotation vectors, as Python shows them.
    pub(in crate::python) fn of(two: &TwoAxis) -> PyResult<Self> {
        let spec = two.spec();
        let magnets = spec.magnets.iter().map(PyCarriedMagnets::of);
        Self::made(
            spec.gimbal.clone(),
            spec.gate.clone(),
            magnets.collect::<PyResult<_>>()?,
            PyCarriedSensor::of(&spec.outer)?,
            PyCarriedSensor::of(&spec.inner)?,
        )
    }

    fn made(
        gimbal: Gimbal,
        gate: Gate,
        magnets: Vec<PyCarriedMagnets>,
        outer: PyCarriedSensor,
        inner: PyCarriedSensor,
    ) -> PyResult<Self> {
        let two = TwoAxis::new(TwoAxisSpec::new(
            gimbal,
            gate,
            magnets.iter().map(PyCarriedMagnets::carried).collect(),
            outer.carried(),
            inner.carried(),
        ))?;
        Ok(Self {
            two,
            magnets,
            outer,
            inner,
        })
    }
}

#[pymethods]
impl PyTwoAxis {
    #[new]
    #[pyo3(signature = (*, gimbal, gate, magnets, outer, inner))]
    fn new(
        gimbal: &PyGimbal,
        gate: &PyGate,
        magnets: Many<PyRef<'_, PyCarriedMagnets>>,
        outer: &PyCarriedSensor,
        inner: &PyCarriedSensor,
    ) -> PyResult<Self> {
        let magnets: Vec<_> = magnets.iter().map(|one| (**one).clone()).collect();
        Self::made(
            gimbal.0.clone(),
            gate.0.clone(),
            magnets,
            outer.clone(),
            inner.clone(),
        )
    }

    /// The two axes and the stick.
    #[getter]
    fn gimbal(&self) -> PyGimbal {
        PyGimbal(self.two.spec().gimbal.clone())
    }

    /// Where the stick may be.
    #[getter]
    fn gate(&self) -> PyGate {
        PyGate(self.two.spec().gate.clone())
    }

    /// All magnets that either sensor sees.
    #[getter]
    fn magnets(&self) -> Vec<PyCarriedMagnets> {
        self.magnets.clone()
    }

    /// The sensor of the outer axis.
    #[getter]
    fn outer(&self) -> PyCarriedSensor {
        self.outer.clone()
    }

    /// The sensor of the inner axis.
    #[getter]
    fn inner(&self) -> PyCarriedSensor {
        self.inner.clone()
    }

    /// Least and greatest angle of each axis anywhere in the gate, rad.
    #[getter]
    fn travel(&self) -> ((f64, f64), (f64, f64)) {
        self.two.travel().map(Into::into).into()
    }

    /// How what a carrier ("frame", "ring" or "stick") holds has moved from neutral at two angles.
    fn motion_at(&self, carrier: &str, outer: f64, inner: f64) -> PyResult<PyPose> {
        let motion = self.two.motion_at(carrier.parse()?, outer, inner)?;
        Ok(PyPose::of(&motion)?)
    }

    /// Flux density at both sensors along their sensitive directions at two angles, T.
    fn flux_at(&self, outer: f64, inner: f64) -> PyResult<(f64, f64)> {
        Ok(self.two.flux_at(outer, inner)?.into())
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
        let (flux, valid) = long(py, || self.two.fluxes_at(&outer, &inner))??;
        let count = flux.len();
        Ok((
            table_out(py, flux.into_flattened(), (count, 2)),
            valid.into_pyarray(py),
        ))
    }

    /// What both sensors read at two angles.
    fn reading_at(&self, outer: f64, inner: f64) -> PyResult<PyTwoAxisReading> {
        Ok(PyTwoAxisReading(self.two.reading_at(outer, inner)?))
    }

    /// What both sensors read at many angles (N,).
    fn readings_at(
        &self,
        py: Python<'_>,
        outer: Numbers<'_>,
        inner: Numbers<'_>,
    ) -> PyResult<PyTwoAxisReadings> {
        let (outer, inner) = (outer.to_vec(), inner.to_vec());
        let readings = long(py, || self.two.readings_at(&outer, &inner))??;
        Ok(PyTwoAxisReadings::of(readings))
    }

    /// What both sensors read on a grid over the gate, outer by inner angles.
    #[pyo3(signature = (outer = Count(41), inner = Count(41)), text_signature = "($self, outer=41, inner=41)")]
    fn map(&self, py: Python<'_>, outer: Count, inner: Count) -> PyResult<PyGateMap> {
        Ok(PyGateMap::of(long(py, || self.two.map(outer.0, inner.0))??))
    }

    /// Least distance of the face of each sensor from any magnet or plate over the whole gate, m: nowhere is it less by
    /// more than 10 micrometers. Refused if a sensor reaches into a magnet, or a magnet into another.
    fn clearance(&self, py: Python<'_>) -> PyResult<(f64, f64)> {
        Ok(long(py, || self.two.clearance())??.into())
    }

    /// The change of each axis's reading over the other's whole travel while it is held: at zero, and where in the gate
    /// that is worst. points: angles of the held axis, and of the other in each row.
    #[pyo3(signature = (points = Count(41)), text_signature = "($self, points=41)")]
    fn crosstalk(&self, py: Python<'_>, points: Count) -> PyResult<PyCrosstalk> {
        Ok(PyCrosstalk(long(py, || self.two.crosstalk(points.0))??))
    }

    /// The map from the codes of both sensors to both angles that is nearest by least squares over the gate, and what
    /// is left. terms: "linear" (1, a, b), "bilinear" (and a b) or "quadratic" (and a^2, b^2).
    #[pyo3(signature = (terms = "bilinear", points = Count(41)),
           text_signature = "($self, terms='bilinear', points=41)")]
    fn correction(&self, py: Python<'_>, terms: &str, points: Count) -> PyResult<PyCorrection> {
        let terms = terms.parse()?;
        let correction = long(py, || self.two.correction(terms, points.0))??;
        Ok(PyCorrection(correction))
    }

    fn __repr__(&self) -> String {
        let magnets: Vec<_> = self
            .magnets
            .iter()
            .map(PyCarriedMagnets::__repr__)
            .collect();
        format!(
            "TwoAxis(gimbal={}, gate={}, magnets=[{}], outer={}, inner={})",
            self.gimbal().__repr__(),
            self.gate().__repr__(),
            magnets.join(", "),
            self.outer.__repr__(),
            self.inner.__repr__()
        )
    }
}

/// What the two sensors of a stick read at one position; pairs have the outer axis first.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "TwoAxisReading")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyTwoAxisReading(TwoAxisReading);

#[pymethods]
impl PyTwoAxisReading {
    /// Flux density along the sensitive direction, T.
    #[getter]
    fn flux(&self) -> (f64, f64) {
        self.0.flux.into()
    }

    /// Sensor output, V, held at the rails.
    #[getter]
    fn volts(&self) -> (f64, f64) {
        self.0.volts.into()
    }

    /// Converter codes.
    #[getter]
    fn counts(&self) -> (i64, i64) {
        self.0.counts.into()
    }

    /// Whether the sensor is at a rail or the converter at the end of its range.
    #[getter]
    fn clipped(&self) -> (bool, bool) {
        self.0.clipped.into()
    }

    fn __repr__(&self) -> String {
        let [outer, inner] = self.0.counts;
        format!("<TwoAxisReading {outer} and {inner} counts>")
    }
}

/// The arrays of some readings, made when they are asked for.
#[derive(Clone, Default, PartialEq)]
struct Columns {
    floats: [Column; 2],
    counts: Column<i64>,
    masks: [Column<bool>; 2],
}

impl Columns {
    fn flux<'py>(
        &self,
        py: Python<'py>,
        of: &TwoAxisReadings,
        grid: &[usize],
    ) -> PyResult<View<'py>> {
        self.floats[0].table(py, of.flux.as_flattened(), &[grid, &[2]].concat())
    }

    fn volts<'py>(
        &self,
        py: Python<'py>,
        of: &TwoAxisReadings,
        grid: &[usize],
    ) -> PyResult<View<'py>> {
        self.floats[1].table(py, of.volts.as_flattened(), &[grid, &[2]].concat())
    }

    fn counts<'py>(
        &self,
        py: Python<'py>,
        of: &TwoAxisReadings,
        grid: &[usize],
    ) -> PyResult<View<'py, i64>> {
        self.counts
            .table(py, of.counts.as_flattened(), &[grid, &[2]].concat())
    }

    fn clipped<'py>(
        &self,
        py: Python<'py>,
        of: &TwoAxisReadings,
        grid: &[usize],
    ) -> PyResult<View<'py, bool>> {
        self.masks[0].table(py, of.clipped.as_flattened(), &[grid, &[2]].concat())
    }

    fn valid<'py>(
        &self,
        py: Python<'py>,
        of: &TwoAxisReadings,
        grid: &[usize],
    ) -> PyResult<View<'py, bool>> {
        self.masks[1].table(py, &of.valid, grid)
    }
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
    fn of(value: TwoAxisReadings) -> Self {
        Self {
            value,
            columns: Columns::default(),
        }
    }

    fn grid(&self) -> [usize; 1] {
        [self.value.valid.len()]
    }
}

#[pymethods]
impl PyTwoAxisReadings {
    /// Flux density along the sensitive direction, T, shape (N, 2); NaN in refused rows.
    #[getter]
    fn flux<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns.flux(py, &self.value, &self.grid())
    }

    /// Sensor output, V, held at the rails, shape (N, 2); NaN in refused rows.
    #[getter]
    fn volts<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns.volts(py, &self.value, &self.grid())
    }

    /// Converter codes, shape (N, 2); -1 in refused rows.
    #[getter]
    fn counts<'py>(&self, py: Python<'py>) -> PyResult<View<'py, i64>> {
        self.columns.counts(py, &self.value, &self.grid())
    }

    /// Whether the sensor is at a rail or the converter at the end of its range, shape (N, 2).
    #[getter]
    fn clipped<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.columns.clipped(py, &self.value, &self.grid())
    }

    /// Whether the row has a value, shape (N,).
    #[getter]
    fn valid<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.columns.valid(py, &self.value, &self.grid())
    }

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
    fn of(value: GateMap) -> Self {
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

#[pymethods]
impl PyGateMap {
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

    /// One step of each converter, the outer one first, V.
    #[getter]
    fn steps(&self) -> (f64, f64) {
        self.value.steps.into()
    }

    /// Flux density along the sensitive direction, T, shape (M, N, 2), the sensor of the outer axis first; NaN beyond
    /// the gate.
    #[getter]
    fn flux<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns.flux(py, &self.value.readings, &self.grid())
    }

    /// Sensor output, V, held at the rails, shape (M, N, 2); NaN beyond the gate.
    #[getter]
    fn volts<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns.volts(py, &self.value.readings, &self.grid())
    }

    /// Converter codes, shape (M, N, 2); -1 beyond the gate.
    #[getter]
    fn counts<'py>(&self, py: Python<'py>) -> PyResult<View<'py, i64>> {
        self.columns.counts(py, &self.value.readings, &self.grid())
    }

    /// Whether the sensor is at a rail or the converter at the end of its range, shape (M, N, 2).
    #[getter]
    fn clipped<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.columns.clipped(py, &self.value.readings, &self.grid())
    }

    /// Whether the gate allows the position, shape (M, N).
    #[getter]
    fn valid<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.columns.valid(py, &self.value.readings, &self.grid())
    }

    fn __repr__(&self) -> String {
        let [outer, inner] = self.grid();
        format!("<GateMap of {outer} by {inner} positions>")
    }
}

/// The change of a reading while its own axis is held and the other one turns over its whole travel.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "CrosstalkFigure")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCrosstalkFigure(CrosstalkFigure);

#[pymethods]
impl PyCrosstalkFigure {
    /// The angle at which the axis is held, rad.
    #[getter]
    fn held(&self) -> f64 {
        self.0.held
    }

    /// Angles of the other axis at which the flux density is least and greatest, rad.
    #[getter]
    fn at(&self) -> (f64, f64) {
        self.0.at.into()
    }

    /// Greatest less least flux density, T.
    #[getter]
    fn flux(&self) -> f64 {
        self.0.flux
    }

    /// Greatest less least output, within the rails and the range of the converter, V.
    #[getter]
    fn volts(&self) -> f64 {
        self.0.volts
    }

    /// The same in steps of the converter, not rounded: the codes differ from it by less than one.
    #[getter]
    fn counts(&self) -> f64 {
        self.0.counts
    }

    /// The same as a fraction of the span over the axis's own travel, the other at zero; None if that has none.
    #[getter]
    fn of_span(&self) -> Option<f64> {
        self.0.of_span
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

#[pymethods]
impl PyAxisCrosstalk {
    /// The axis whose reading changes: "outer" or "inner".
    #[getter]
    fn axis(&self) -> String {
        self.0.axis.to_string()
    }

    /// Greatest less least output over the axis's own travel, the other at zero, V.
    #[getter]
    fn span_volts(&self) -> f64 {
        self.0.span_volts
    }

    /// The same in steps of the converter.
    #[getter]
    fn span_counts(&self) -> f64 {
        self.0.span_counts
    }

    /// With the axis held at zero.
    #[getter]
    fn center(&self) -> PyCrosstalkFigure {
        PyCrosstalkFigure(self.0.center)
    }

    /// Where in the gate it is worst, by volts.
    #[getter]
    fn worst(&self) -> PyCrosstalkFigure {
        PyCrosstalkFigure(self.0.worst)
    }

    /// The greatest change of flux density by the magnets that the sensor is meant to read, anywhere in the gate, T.
    #[getter]
    fn own_flux(&self) -> f64 {
        self.0.own_flux
    }

    /// The same by all other magnets, T.
    #[getter]
    fn stray_flux(&self) -> f64 {
        self.0.stray_flux
    }

    /// Where it comes from: "negligible" (below a count), "mounting", "stray field" or "mounting and stray field".
    #[getter]
    fn cause(&self) -> String {
        self.0.cause.to_string()
    }

    /// What carries the sensor.
    #[getter]
    fn sensor_on(&self) -> String {
        self.0.sensor_on.to_string()
    }

    /// What carries each source that the sensor is meant to read.
    #[getter]
    fn magnets_on(&self) -> Vec<String> {
        self.0.magnets_on.iter().map(ToString::to_string).collect()
    }

    /// Whether one of those is read by the other sensor too.
    #[getter]
    fn shared(&self) -> bool {
        self.0.shared
    }

    /// Where it comes from and what to do about it, in a sentence.
    #[getter]
    fn explanation(&self) -> String {
        self.0.explanation()
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

#[pymethods]
impl PyCrosstalk {
    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self)
    }

    /// Every figure as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    /// Of the outer axis's reading when the inner axis turns.
    #[getter]
    fn outer(&self) -> PyAxisCrosstalk {
        PyAxisCrosstalk(self.0.outer.clone())
    }

    /// Of the inner axis's reading when the outer axis turns.
    #[getter]
    fn inner(&self) -> PyAxisCrosstalk {
        PyAxisCrosstalk(self.0.inner.clone())
    }

    fn __repr__(&self) -> String {
        let [outer, inner] = [&self.0.outer, &self.0.inner].map(|one| one.worst.counts);
        format!("<Crosstalk: outer {outer:.3}, inner {inner:.3} counts at worst>")
    }
}

/// Both angles of a stick as polynomials of both readings, in counts.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "CorrectionMap")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PyCorrectionMap {
    value: CorrectionMap,
    #[serde(skip)]
    columns: [Column; 2],
}

impl PyCorrectionMap {
    pub(in crate::python) fn of(value: CorrectionMap) -> Self {
        Self {
            value,
            columns: Default::default(),
        }
    }
}

#[pymethods]
impl PyCorrectionMap {
    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self::of)
    }

    /// Every figure as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.value)
    }

    /// "linear" (1, a, b), "bilinear" (and a b) or "quadratic" (and a^2, b^2), a being the outer reading.
    #[getter]
    fn terms(&self) -> String {
        self.value.terms.to_string()
    }

    /// Coefficients of the outer angle in the order of the terms, rad for a power of counts.
    #[getter]
    fn outer<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[0].view(py, &self.value.outer)
    }

    /// Coefficients of the inner angle.
    #[getter]
    fn inner<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[1].view(py, &self.value.inner)
    }

    /// Outer and inner angle, rad, for the readings of both sensors, counts.
    fn angles_for(&self, outer: f64, inner: f64) -> PyResult<(f64, f64)> {
        Ok(self.value.angles_for(outer, inner)?.into())
    }

    fn __repr__(&self) -> String {
        format!(
            "<CorrectionMap {}: outer {:?}, inner {:?}>",
            self.value.terms, self.value.outer, self.value.inner
        )
    }
}

/// How far angles by a map are from those that the stick stands at; pairs have the outer axis first.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "AngleResiduals")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyAngleResiduals(pub(in crate::python) AngleResiduals);

#[pymethods]
impl PyAngleResiduals {
    /// Root of the mean square, rad.
    #[getter]
    fn rms(&self) -> (f64, f64) {
        self.0.rms.into()
    }

    /// Greatest magnitude, along the edge of a gate too, rad.
    #[getter]
    fn worst(&self) -> (f64, f64) {
        self.0.worst.into()
    }

    /// rms as a fraction of the axis's travel.
    #[getter]
    fn rms_of_travel(&self) -> (f64, f64) {
        self.0.rms_of_travel.into()
    }

    /// worst as a fraction of the axis's travel.
    #[getter]
    fn worst_of_travel(&self) -> (f64, f64) {
        self.0.worst_of_travel.into()
    }

    /// Outer and inner angle where each is worst, rad.
    #[getter]
    fn worst_at(&self) -> ((f64, f64), (f64, f64)) {
        self.0.worst_at.map(Into::into).into()
    }

    fn __repr__(&self) -> String {
        let [outer, inner] = self.0.worst.map(|angle| angle / DEG);
        format!("<AngleResiduals outer {outer:.4}, inner {inner:.4} deg at worst>")
    }
}

/// A map fitted to the readings over a gate, and what is left with it and without.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Correction")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCorrection(pub(in crate::python) Correction);

#[pymethods]
impl PyCorrection {
    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self)
    }

    /// Every figure as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    /// The map.
    #[getter]
    fn map(&self) -> PyCorrectionMap {
        PyCorrectionMap::of(self.0.map.clone())
    }

    /// With a straight line for each axis by its own reading alone.
    #[getter]
    fn before(&self) -> PyAngleResiduals {
        PyAngleResiduals(self.0.before)
    }

    /// With the map.
    #[getter]
    fn after(&self) -> PyAngleResiduals {
        PyAngleResiduals(self.0.after)
    }

    /// The share of the grid at which a sensor is at a rail or a converter at the end of its range: there no map helps.
    #[getter]
    fn clipped_share(&self) -> f64 {
        self.0.clipped_share
    }

    fn __repr__(&self) -> String {
        let [outer, inner] = self.0.after.worst.map(|angle| angle / DEG);
        format!("<Correction leaves outer {outer:.4}, inner {inner:.4} deg at worst>")
    }
}
