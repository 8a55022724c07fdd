//! The angle sensor and the error of its reading.

use pyo3::prelude::*;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::hall::{
    AngleError, AngleHarmonic, AngleHarmonics, AngleOutput, AngleSensor, AngleSensorSpec,
};
use crate::python::gate::columns::{Column, View};
use crate::python::gate::convert::{
    GridFloats, GridMask, Numbers, Points, Triple, TwoPoints, grid_out,
};
use crate::python::gate::errors::InvalidValueError;
use crate::python::gate::long::long;
use crate::python::gate::sequence::Few;

type Direction = (f64, f64, f64);

/// An angle sensor: it reads two components of the flux density and gives the angle between them.
///
/// Exactly one of bits (of a digital output over the full turn) and analog, (supply V, low V, high V, range rad): an
/// output from low to high over the range, whose middle is the zero position, held at both ends. directions: of the two
/// components in the package frame, at right angles; x and y on the shaft end. depth: of the die below the package
/// face, m. offsets: of the components, T. gain_mismatch: gain of the second over the first, less 1. nonorthogonality:
/// by which the second leans towards the first, rad. noise: of each, T rms. working_flux: least and greatest, T. sense
/// "forward": the output grows from the first direction to the second; "reverse". zero: angle of the field at the zero
/// position, rad.
///
/// AngleSensor.named("shaft end 14 bit") for a typical one; TypicalPart.all() lists them.
///
/// Examples
/// --------
/// >>> import numpy as np
/// >>> import yokewright as yw
/// >>> from yokewright import deg, mT
/// >>> sensor = yw.hall.AngleSensor(bits=14, offsets=(0.5 * mT, 0))
/// >>> turned = np.arange(36) * 10 * deg
/// >>> fields = 50 * mT * np.stack([np.cos(turned), np.sin(turned), 0 * turned], axis=-1)
/// >>> read, valid = sensor.angles(fields)
/// >>> error = yw.hall.AngleError.of(turned, read)
/// >>> print(f"{error.worst / deg:.2f} deg at worst, by the closed form {0.5 / 50 / deg:.2f} deg")
/// 0.57 deg at worst, by the closed form 0.57 deg
#[pyclass(frozen, eq, module = "yokewright.hall", name = "AngleSensor")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyAngleSensor(pub(in crate::python) AngleSensor);

#[pymethods]
impl PyAngleSensor {
    #[new]
    #[pyo3(signature = (*, bits = None, analog = None,
        directions = TwoPoints([Triple([1.0, 0.0, 0.0]), Triple([0.0, 1.0, 0.0])]), depth = 0.0,
        offsets = Few([0.0, 0.0]), gain_mismatch = 0.0, nonorthogonality = 0.0, noise = 0.0,
        working_flux = Few([1e-6, 10.0]), sense = "forward", zero = 0.0),
        text_signature = "(*, bits=None, analog=None, directions=((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)), depth=0.0, \
            offsets=(0.0, 0.0), gain_mismatch=0.0, nonorthogonality=0.0, noise=0.0, working_flux=(1e-06, 10.0), \
            sense='forward', zero=0.0)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        bits: Option<u32>,
        analog: Option<Few<4>>,
        directions: TwoPoints,
        depth: f64,
        offsets: Few<2>,
        gain_mismatch: f64,
        nonorthogonality: f64,
        noise: f64,
        working_flux: Few<2>,
        sense: &str,
        zero: f64,
    ) -> PyResult<Self> {
        Ok(Self(AngleSensor::new(AngleSensorSpec {
            directions: directions.points().map(|tip| tip.coords),
            depth,
            offsets: offsets.0,
            gain_mismatch,
            nonorthogonality,
            noise,
            working_flux: working_flux.0,
            output: output_in(bits, analog)?,
            sense: sense.parse()?,
            zero,
        })?))
    }

    /// A typical sensor by its name; case, spaces, hyphens and underscores make no difference.
    #[staticmethod]
    fn named(name: &str) -> PyResult<Self> {
        Ok(Self(AngleSensor::named(name)?))
    }

    /// Bits of a digital output, or None.
    #[getter]
    fn bits(&self) -> Option<u32> {
        match self.0.spec().output {
            AngleOutput::Digital { bits } => Some(bits),
            AngleOutput::Analog { .. } => None,
        }
    }

    /// Supply, low and high end (V) and range (rad) of an analog output, or None.
    #[getter]
    fn analog(&self) -> Option<(f64, f64, f64, f64)> {
        match self.0.spec().output {
            AngleOutput::Digital { .. } => None,
            AngleOutput::Analog {
                supply,
                low,
                high,
                range,
            } => Some((supply, low, high, range)),
        }
    }

    /// Directions of the two components in the package frame, brought to length one.
    #[getter]
    fn directions(&self) -> (Direction, Direction) {
        self.0.spec().directions.map(|u| (u.x, u.y, u.z)).into()
    }

    /// Depth of the sensitive point below the package face, m.
    #[getter]
    fn depth(&self) -> f64 {
        self.0.spec().depth
    }

    /// Offsets of the two components, T.
    #[getter]
    fn offsets(&self) -> (f64, f64) {
        self.0.spec().offsets.into()
    }

    /// Gain of the second component over that of the first, less 1.
    #[getter]
    fn gain_mismatch(&self) -> f64 {
        self.0.spec().gain_mismatch
    }

    /// Angle by which the second component leans towards the first, rad.
    #[getter]
    fn nonorthogonality(&self) -> f64 {
        self.0.spec().nonorthogonality
    }

    /// Noise of each component, T rms.
    #[getter]
    fn noise(&self) -> f64 {
        self.0.spec().noise
    }

    /// Least and greatest flux density in the plane of the two directions, T.
    #[getter]
    fn working_flux(&self) -> (f64, f64) {
        self.0.spec().working_flux.into()
    }

    /// "forward" or "reverse".
    #[getter]
    fn sense(&self) -> String {
        self.0.spec().sense.to_string()
    }

    /// Angle of the field at the zero position, rad.
    #[getter]
    fn zero(&self) -> f64 {
        self.0.spec().zero
    }

    /// Lowest and highest output: V of an analog one, rad of a digital one.
    #[getter]
    fn output_range(&self) -> (f64, f64) {
        self.0.output_range().into()
    }

    /// Change of the output with the angle, with its sign: V/rad, or 1 or -1 of a digital output.
    #[getter]
    fn gain(&self) -> f64 {
        self.0.gain()
    }

    /// One step of a digital output, rad, or None.
    #[getter]
    fn step(&self) -> Option<f64> {
        self.0.step()
    }

    /// What the two components read (T) in a flux density (3,) in the package frame (T).
    fn components(&self, field: Triple) -> (f64, f64) {
        self.0.components(&field.vector()).into()
    }

    /// The angle (rad) that is read in a flux density (3,), T, from the first direction towards the second.
    fn angle(&self, field: Triple) -> PyResult<f64> {
        Ok(self.0.angle(&field.vector())?)
    }

    /// The angles in many flux densities (..., 3), T: rad, shape (...), and a mask of those that have one.
    fn angles<'py>(
        &self,
        py: Python<'py>,
        fields: Points<'py>,
    ) -> PyResult<(GridFloats<'py>, GridMask<'py>)> {
        let angles = fields.with(py, |fields| {
            let fields: Vec<_> = fields.iter().map(|field| field.coords).collect();
            self.0.angles(&fields)
        })?;
        Ok((
            grid_out(py, angles.values, fields.grid(), &[]),
            grid_out(py, angles.valid, fields.grid(), &[]),
        ))
    }

    /// How the angle changes in a flux density (3,), T, that changes by change (3,): rad per what the change is per.
    fn angle_slope(&self, field: Triple, change: Triple) -> PyResult<f64> {
        Ok(self.0.angle_slope(&field.vector(), &change.vector())?)
    }

    /// Whether a flux density (3,), T, lies within the working range.
    fn works_in(&self, field: Triple) -> bool {
        self.0.works_in(&field.vector())
    }

    /// What the noise of the components is worth in a flux density (3,), T: rad rms.
    fn noise_angle(&self, field: Triple) -> PyResult<f64> {
        Ok(self.0.noise_angle(&field.vector())?)
    }

    /// What offsets, gain mismatch and nonorthogonality make of the angle to first order, in a flux density (T) that
    /// turns with one size.
    fn first_order_error(&self, flux: f64) -> PyResult<PyAngleHarmonics> {
        Ok(PyAngleHarmonics(self.0.first_order_error(flux)?))
    }

    /// The output at an angle (rad) as it is read: V of an analog output, rad of a digital one.
    fn output(&self, angle: f64) -> PyResult<f64> {
        Ok(self.0.output(angle)?)
    }

    /// The code at an angle (rad) as it is read; None of an analog output.
    fn code(&self, angle: f64) -> PyResult<Option<i64>> {
        Ok(self.0.code(angle)?)
    }

    /// The output in a flux density (3,), T.
    fn read(&self, field: Triple) -> PyResult<f64> {
        Ok(self.0.read(&field.vector())?)
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        let output = match (self.bits(), self.analog()) {
            (Some(bits), _) => format!("bits={bits}"),
            (None, analog) => format!("analog={:?}", analog.unwrap_or_default()),
        };
        format!(
            "AngleSensor({output}, directions={:?}, depth={:?}, offsets={:?}, gain_mismatch={:?}, \
             nonorthogonality={:?}, noise={:?}, working_flux={:?}, sense='{}', zero={:?})",
            self.directions(),
            self.depth(),
            self.offsets(),
            self.gain_mismatch(),
            self.nonorthogonality(),
            self.noise(),
            self.working_flux(),
            self.sense(),
            self.zero(),
        )
    }
}

fn output_in(bits: Option<u32>, analog: Option<Few<4>>) -> PyResult<AngleOutput> {
    match (bits, analog) {
        (Some(bits), None) => Ok(AngleOutput::Digital { bits }),
        (None, Some(Few([supply, low, high, range]))) => Ok(AngleOutput::Analog {
            supply,
            low,
            high,
            range,
        }),
        _ => Err(InvalidValueError::new_err(
            "exactly one of bits and analog is needed",
        )),
    }
}

/// Mean and first two harmonics of an error over the turn.
///
/// A harmonic is amplitude cos(n t - phase), both rad.
#[pyclass(frozen, eq, module = "yokewright.hall", name = "AngleHarmonics")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyAngleHarmonics(AngleHarmonics);

#[pymethods]
impl PyAngleHarmonics {
    /// Mean, rad.
    #[getter]
    fn mean(&self) -> f64 {
        self.0.mean
    }

    /// Amplitude and phase of what comes once a turn: offsets, eccentricity.
    #[getter]
    fn first(&self) -> (f64, f64) {
        pair(&self.0.first)
    }

    /// Amplitude and phase of what comes twice a turn: gain mismatch, nonorthogonality.
    #[getter]
    fn second(&self) -> (f64, f64) {
        pair(&self.0.second)
    }

    /// Mean and harmonics together at an angle of the turn (rad).
    fn at(&self, angle: f64) -> f64 {
        self.0.at(angle)
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        format!(
            "<AngleHarmonics mean {}, first {:?}, second {:?}>",
            self.mean(),
            self.first(),
            self.second()
        )
    }
}

fn pair(harmonic: &AngleHarmonic) -> (f64, f64) {
    (harmonic.amplitude, harmonic.phase)
}

/// The error of angles read against angles turned, unwrapped over the turn.
#[pyclass(frozen, eq, module = "yokewright.hall", name = "AngleError")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyAngleError {
    error: AngleError,
    columns: [Column; 2],
}

impl PyAngleError {
    pub(in crate::python) fn of_core(error: AngleError) -> Self {
        Self {
            error,
            columns: Default::default(),
        }
    }
}

impl Serialize for PyAngleError {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.error.serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for PyAngleError {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        AngleError::deserialize(deserializer).map(Self::of_core)
    }
}

#[pymethods]
impl PyAngleError {
    /// Sets angles read (N,) beside angles turned (N,), rad. Angles turned that go on evenly over a whole turn give the
    /// harmonics too.
    #[staticmethod]
    fn of(py: Python<'_>, turned: Numbers<'_>, read: Numbers<'_>) -> PyResult<Self> {
        let (turned, read) = (turned.to_vec(), read.to_vec());
        Ok(Self::of_core(long(py, || AngleError::of(&turned, &read))??))
    }

    /// Angles turned, rad, shape (N,).
    #[getter]
    fn turned<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[0].view(py, self.error.turned())
    }

    /// Error at each, rad, shape (N,).
    #[getter]
    fn error<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[1].view(py, self.error.error())
    }

    /// Mean error, rad: what setting the zero takes away.
    #[getter]
    fn mean(&self) -> f64 {
        self.error.mean()
    }

    /// Greatest departure of an error from the mean, rad.
    #[getter]
    fn worst(&self) -> f64 {
        self.error.worst()
    }

    /// Angle turned where it is, rad.
    #[getter]
    fn worst_at(&self) -> f64 {
        self.error.worst_at()
    }

    /// Mean and harmonics; None unless the angles turned are evenly spaced over one whole turn, 5 of them or more.
    #[getter]
    fn harmonics(&self) -> Option<PyAngleHarmonics> {
        self.error.harmonics().map(PyAngleHarmonics)
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        format!(
            "<AngleError of {} angles, mean {}, worst {}>",
            self.error.turned().len(),
            self.mean(),
            self.worst()
        )
    }
}
