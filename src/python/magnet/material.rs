//! Grades of magnet material and the working point.

use nalgebra::Vector3;
use pyo3::prelude::*;
use pyo3::types::PyDict;

use crate::error::Error;
use crate::magnet::material::{
    Condition, Grade, GradeSpec, Load, MagnetFamily, RatedBound as Pick, RatedValue, WorkingPoint,
    demagnetizing,
};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Floats1, Triple, vector_out};
use crate::python::gate::errors::{InvalidTypeError, InvalidValueError, shown};
use crate::python::gate::sequence::Many;
use crate::python::magnet::{Magnets, PyMagnet};
use crate::python::source::{SourceTuple, sources_in, sources_out};

/// A figure as a table prints it: a typical value, a least one, or two of least, typical and greatest.
#[pyclass(frozen, eq, module = "yokewright.magnet", name = "RatedValue")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyRatedValue(RatedValue);

attributes! {
    impl PyRatedValue {
        /// The least value printed; if there is none, the typical one.
        lowest(): f64,
        /// The typical value printed; if there is none, the middle of least and greatest, or the least.
        nominal(): f64,
        /// The greatest value printed; if there is none, the typical one, or the least.
        highest(): f64,
    }

    #[new]
    #[pyo3(signature = (*, min = None, typical = None, max = None))]
    fn new(min: Option<f64>, typical: Option<f64>, max: Option<f64>) -> PyResult<Self> {
        let figure = match (min, typical, max) {
            (Some(min), None, None) => RatedValue::Min(min),
            (None, Some(typical), None) => RatedValue::Typical(typical),
            (Some(min), Some(typical), None) => RatedValue::MinTypical(min, typical),
            (Some(min), None, Some(max)) => RatedValue::MinMax(min, max),
            _ => {
                return Err(InvalidValueError::new_err(
                    "a figure has a least or a typical value, least and typical, or least and greatest",
                ));
            }
        };
        Ok(Self(figure.checked()?))
    }

    fn __repr__(&self) -> String {
        match self.0 {
            RatedValue::Min(min) => format!("RatedValue(min={min:?})"),
            RatedValue::Typical(typical) => format!("RatedValue(typical={typical:?})"),
            RatedValue::MinTypical(min, typical) => {
                format!("RatedValue(min={min:?}, typical={typical:?})")
            }
            RatedValue::MinMax(min, max) => {
                format!("RatedValue(min={min:?}, max={max:?})")
            }
        }
    }

    fn __getnewargs_ex__<'py>(&self, py: Python<'py>) -> PyResult<((), Bound<'py, PyDict>)> {
        let named = PyDict::new(py);
        match self.0 {
            RatedValue::Min(min) => named.set_item("min", min)?,
            RatedValue::Typical(typical) => named.set_item("typical", typical)?,
            RatedValue::MinTypical(min, typical) => {
                named.set_item("min", min)?;
                named.set_item("typical", typical)?;
            }
            RatedValue::MinMax(min, max) => {
                named.set_item("min", min)?;
                named.set_item("max", max)?;
            }
        }
        Ok(((), named))
    }
}

/// A figure given as a Figure, or as a number, which is taken as typical.
struct FigureIn(RatedValue);

impl FromPyObject<'_, '_> for FigureIn {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        match value.cast::<PyRatedValue>() {
            Ok(figure) => Ok(Self(figure.get().0)),
            Err(_) => match value.extract() {
                Ok(number) => Ok(Self(RatedValue::Typical(number))),
                Err(_) => Err(InvalidTypeError::new_err(format!(
                    "a Figure or a number is needed, got {}",
                    shown(value)
                ))),
            },
        }
    }
}

fn bound(text: &str) -> crate::Result<Pick> {
    Error::choose("bound", text, &["lowest", "nominal", "highest"]).map(|name| match name {
        "lowest" => Pick::Lowest,
        "highest" => Pick::Highest,
        _ => Pick::Nominal,
    })
}

/// A grade of magnet material: its figures at 20 degC, how they change with temperature, and where they come from.
///
/// Grade.named("N42SH") for one of the trade's or of IEC 60404-8-1; the constructor for one of your own. Figures are
/// Figure objects or numbers (typical). remanence: T. coercivities: A/m. energy_product: J/m3. coefficients: 1/K.
/// density: kg/m3. *_celsius: degC. sources: (what it covers, text, "seen" | "from memory" | "common practice").
#[pyclass(frozen, eq, module = "yokewright.magnet", name = "Grade")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyGrade(Grade);

attributes! {
    impl PyGrade {
        /// Designation.
        name(): &str,
        /// Kind of material.
        family: String = |v| v.family().to_string(),
        /// Remanence at 20 degC, T.
        remanence: PyRatedValue = |v| PyRatedValue(v.remanence()),
        /// Intrinsic coercivity HcJ at 20 degC, A/m.
        intrinsic_coercivity: PyRatedValue = |v| PyRatedValue(v.intrinsic_coercivity()),
        /// Coercivity HcB at 20 degC, A/m, if printed.
        normal_coercivity: Option<PyRatedValue> = |v| v.normal_coercivity().map(PyRatedValue),
        /// Largest energy product, J/m3, if printed.
        energy_product: Option<PyRatedValue> = |v| v.spec().energy_product.map(PyRatedValue),
        /// Temperature coefficient of the remanence, 1/K.
        remanence_coefficient: f64 = |v| v.spec().remanence_coefficient,
        /// Temperature coefficient of the intrinsic coercivity, 1/K.
        coercivity_coefficient: PyRatedValue = |v| PyRatedValue(v.spec().coercivity_coefficient),
        /// Relative recoil permeability.
        recoil_permeability(): f64,
        /// Field strength of the knee as a share of HcJ.
        squareness: f64 = |v| v.spec().squareness,
        /// Density, kg/m3.
        density: PyRatedValue = |v| PyRatedValue(v.density()),
        /// Lowest temperature for which the coefficients hold, degC.
        min_celsius(): f64,
        /// Maximum working temperature, degC.
        max_celsius(): f64,
        /// Curie temperature, degC, if printed.
        curie_celsius: Option<PyRatedValue> = |v| v.spec().curie_celsius.map(PyRatedValue),
        /// Where the figures come from: (what it covers, text, provenance).
        sources: Vec<SourceTuple> = |v| sources_out(v.sources()),
    }

    #[new]
    #[pyo3(signature = (*, name, family = "other", remanence, intrinsic_coercivity, remanence_coefficient,
        coercivity_coefficient,
        recoil_permeability, density, min_celsius, max_celsius, sources, squareness = 0.9, normal_coercivity = None,
        energy_product = None, curie_celsius = None))]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        name: String,
        family: &str,
        remanence: FigureIn,
        intrinsic_coercivity: FigureIn,
        remanence_coefficient: f64,
        coercivity_coefficient: FigureIn,
        recoil_permeability: f64,
        density: FigureIn,
        min_celsius: f64,
        max_celsius: f64,
        sources: Many<SourceTuple>,
        squareness: f64,
        normal_coercivity: Option<FigureIn>,
        energy_product: Option<FigureIn>,
        curie_celsius: Option<FigureIn>,
    ) -> PyResult<Self> {
        Ok(Self(Grade::new(GradeSpec {
            name,
            family: family.parse::<MagnetFamily>()?,
            remanence: remanence.0,
            normal_coercivity: normal_coercivity.map(|figure| figure.0),
            intrinsic_coercivity: intrinsic_coercivity.0,
            energy_product: energy_product.map(|figure| figure.0),
            remanence_coefficient,
            coercivity_coefficient: coercivity_coefficient.0,
            recoil_permeability,
            squareness,
            density: density.0,
            min_celsius,
            max_celsius,
            curie_celsius: curie_celsius.map(|figure| figure.0),
            sources: sources_in(sources)?,
        })?))
    }

    /// A grade by its designation; case, spaces, hyphens and underscores make no difference.
    #[staticmethod]
    fn named(name: &str) -> PyResult<Self> {
        Ok(Self(Grade::named(name)?))
    }

    /// Every grade that has a name.
    #[staticmethod]
    fn all() -> Vec<Self> {
        Grade::all().iter().cloned().map(Self).collect()
    }

    /// Remanence at a temperature (degC), T.
    #[pyo3(signature = (celsius, bound = "nominal"))]
    fn remanence_at(&self, celsius: f64, bound: &str) -> PyResult<f64> {
        Ok(self.0.remanence_at(celsius, self::bound(bound)?)?)
    }

    /// Intrinsic coercivity HcJ at a temperature (degC), A/m.
    #[pyo3(signature = (celsius, bound = "nominal"))]
    fn intrinsic_coercivity_at(&self, celsius: f64, bound: &str) -> PyResult<f64> {
        Ok(self
            .0
            .intrinsic_coercivity_at(celsius, self::bound(bound)?)?)
    }

    /// Field strength of the knee at a temperature (degC), A/m, positive.
    fn knee_at(&self, celsius: f64) -> PyResult<f64> {
        Ok(self.0.knee_at(celsius)?)
    }

    /// Mass of a magnet or a group made of this grade, kg.
    fn mass(&self, magnet: Magnets) -> PyResult<f64> {
        let Some(volume) = magnet.0.volume() else {
            let text = "a superposed group has no volume and no mass: its parts are no solids";
            return Err(InvalidValueError::new_err(text));
        };
        Ok(self.0.mass(volume)?)
    }

    fn __repr__(&self) -> String {
        let remanence = self.0.remanence().nominal();
        format!(
            "<Grade {}, {}, {remanence} T, up to {} degC ({})>",
            self.0.name(),
            self.0.family(),
            self.0.max_celsius(),
            self.0.provenance()
        )
    }
}

/// Where a magnet works on its demagnetization curve, and how far that is from losing flux for good.
///
/// demagnetizing_factor: along the polarization. celsius: degC. external_field: A/m, positive along the polarization.
/// bound: "lowest", "nominal" or "highest" remanence.
#[pyclass(frozen, eq, module = "yokewright.magnet", name = "WorkingPoint")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyWorkingPoint {
    point: WorkingPoint,
}

#[pymethods]
impl PyWorkingPoint {
    #[new]
    #[pyo3(signature = (grade, demagnetizing_factor, *, celsius = 20.0, external_field = 0.0, bound = "nominal"))]
    fn new(
        grade: &PyGrade,
        demagnetizing_factor: f64,
        celsius: f64,
        external_field: f64,
        bound: &str,
    ) -> PyResult<Self> {
        let bound = self::bound(bound)?;
        let load = Load {
            demagnetizing_factor,
            celsius,
            external_field,
        };
        Ok(Self {
            point: WorkingPoint::new(&grade.0, bound, load)?,
        })
    }

    /// The grade.
    #[getter]
    fn grade(&self) -> PyGrade {
        PyGrade(self.point.grade().clone())
    }

    /// Demagnetizing factor along the polarization.
    #[getter]
    fn demagnetizing_factor(&self) -> f64 {
        self.point.load().demagnetizing_factor
    }

    /// Temperature, degC.
    #[getter]
    fn celsius(&self) -> f64 {
        self.point.load().celsius
    }

    /// Field strength from outside, A/m.
    #[getter]
    fn external_field(&self) -> f64 {
        self.point.load().external_field
    }

    /// "lowest", "nominal" or "highest" remanence.
    #[getter]
    fn bound(&self) -> &'static str {
        match self.point.bound() {
            Pick::Lowest => "lowest",
            Pick::Nominal => "nominal",
            Pick::Highest => "highest",
        }
    }

    /// Remanence at the temperature, T.
    #[getter]
    fn remanence(&self) -> f64 {
        self.point.remanence()
    }

    /// Effective polarization, T: what to build the magnet with.
    #[getter]
    fn polarization(&self) -> f64 {
        self.point.polarization()
    }

    /// Mean flux density inside, T.
    #[getter]
    fn flux_density(&self) -> f64 {
        self.point.flux_density()
    }

    /// Mean field strength inside, A/m; negative as it opposes the polarization.
    #[getter]
    fn field_strength(&self) -> f64 {
        self.point.field_strength()
    }

    /// Permeance coefficient, (1 - N) / N.
    #[getter]
    fn permeance_coefficient(&self) -> f64 {
        self.point.permeance_coefficient()
    }

    /// The knee: field strength (A/m, negative) and flux density (T).
    #[getter]
    fn knee(&self) -> (f64, f64) {
        let knee = self.point.knee();
        (knee.field_strength, knee.flux_density)
    }

    /// How much further the field strength may fall before the knee, A/m; negative past it.
    #[getter]
    fn margin(&self) -> f64 {
        self.point.margin()
    }

    /// How much more opposing field from outside the magnet bears, A/m.
    #[getter]
    fn opposing_field_left(&self) -> f64 {
        self.point.opposing_field_left()
    }

    /// Share of the polarization lost against 20 degC; it returns with the temperature.
    #[getter]
    fn reversible_loss(&self) -> f64 {
        self.point.reversible_loss()
    }

    /// Lowest and highest temperature (degC) at which it stays above its knee; None if it is past it at 20 degC.
    #[getter]
    fn reversible_celsius(&self) -> Option<(f64, f64)> {
        self.point.reversible_celsius().map(Into::into)
    }

    /// Whether the working point lies above the knee.
    #[getter]
    fn reversible(&self) -> bool {
        self.point.condition() == Condition::Reversible
    }

    /// What that means, in words.
    #[getter]
    fn condition(&self) -> String {
        self.point.condition().to_string()
    }

    /// Flux density on the recoil line at a field strength (A/m), T.
    fn recoil_line(&self, field_strength: f64) -> PyResult<f64> {
        Ok(self.point.recoil_line(field_strength)?)
    }

    /// Flux density on the load line at a field strength (A/m), T.
    fn load_line(&self, field_strength: f64) -> PyResult<f64> {
        Ok(self.point.load_line(field_strength)?)
    }

    fn __repr__(&self) -> String {
        format!(
            "<WorkingPoint {} at {} degC: polarization {:.4} T, margin {:.0} A/m>",
            self.point.grade().name(),
            self.celsius(),
            self.polarization(),
            self.margin()
        )
    }
}

/// Demagnetizing factors of a magnet along its own x, y and z, shape (3,): magnetometric, for uniform polarization.
#[pyfunction]
pub(in crate::python) fn demagnetizing_factors<'py>(
    py: Python<'py>,
    magnet: &PyMagnet,
) -> PyResult<Floats1<'py>> {
    let factors: Vector3<f64> = demagnetizing::of(&magnet.magnet)?;
    Ok(vector_out(py, &factors))
}

/// Demagnetizing factor of a magnet along a direction in its own frame; left out: along its polarization.
#[pyfunction]
#[pyo3(signature = (magnet, direction = None))]
pub(in crate::python) fn demagnetizing_factor(
    magnet: &PyMagnet,
    direction: Option<Triple>,
) -> PyResult<f64> {
    let direction = direction.map_or_else(|| magnet.magnet.polarization(), Triple::vector);
    Ok(demagnetizing::along(
        &demagnetizing::of(&magnet.magnet)?,
        &direction,
    )?)
}
