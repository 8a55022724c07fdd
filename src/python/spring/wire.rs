//! Spring wire.

use numpy::IntoPyArray;
use pyo3::prelude::*;
use pyo3::types::PyDict;
use serde::{Deserialize, Serialize};

use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::Floats1;
use crate::python::gate::errors::{InvalidTypeError, InvalidValueError, shown};
use crate::python::gate::sequence::{Few, Many};
use crate::python::source::{SourceTuple, sources_in, sources_out};
use crate::spring::{
    AllowableShares, ListedStrength, ModuliBand, PowerBand, StrengthStep, Wire, WireFamily,
    WireSpec, WireStrength,
};

/// (thinnest wire, thickest wire, strength at 1 mm, exponent).
type Power = (f64, f64, f64, f64);
/// (diameter, least, greatest).
type Listed = (f64, f64, f64);
/// Thinnest wire, and (thickest wire of the step, least strength) of each step.
struct Steps(f64, Many<Few<2>>);

impl FromPyObject<'_, '_> for Steps {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        match value.extract() {
            Ok((from, steps)) => Ok(Self(from, steps)),
            Err(_) => Err(InvalidTypeError::new_err(format!(
                "the thinnest wire and its steps, each of two numbers, are needed, got {}",
                shown(value)
            ))),
        }
    }
}

/// Spring wire: strength and elastic moduli by diameter.
///
/// Wire.named("ASTM A228") for one of the table; the constructor for one of your own. Exactly one of power, listed,
/// steps gives the tensile strength (Pa) by diameter (m). power: bands of (thinnest, thickest, A, m) with the least
/// strength A / (d / 1 mm)^m, so that A is the strength at 1 mm in Pa; a book's A in MPa mm^m times 1e6. listed:
/// (diameter, least, greatest). steps: (thinnest, [(up to, least), ...]). moduli: (up to this diameter, E, G),
/// ascending. density: kg/m3. *_celsius: degC. sources: (what it covers, text, "seen" | "from memory" | "common
/// practice").
#[pyclass(frozen, eq, module = "yokewright.spring", name = "Wire")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyWire(pub(in crate::python) Wire);

attributes! {
    impl PyWire {
        /// Designation.
        name(): &str,
        /// Kind of material: "cold-drawn", "tempered", "austenitic" or "non-ferrous".
        family: String = |v| v.family().to_string(),
        /// What share of the tensile strength a spring of it may use under static load.
        shares: PyAllowableShares = |v| PyAllowableShares(v.shares()),
        /// Thinnest and thickest wire whose strength is known, m.
        diameter_range: (f64, f64) = |v| v.diameter_range().into(),
        /// Density, kg/m3.
        density(): f64,
        /// Lowest temperature of use, degC, if given.
        min_celsius(): Option<f64>,
        /// Highest temperature of use, degC.
        max_celsius(): f64,
        /// Where the figures come from: (what it covers, text, provenance).
        sources: Vec<SourceTuple> = |v| sources_out(v.sources()),
    }

    #[new]
    #[pyo3(signature = (*, name, family, moduli, density, max_celsius, sources, power = None, listed = None,
        steps = None,
        min_celsius = None, standard_diameters = Many::none()),
        text_signature = "(*, name, family, moduli, density, max_celsius, sources, power=None, listed=None, \
            steps=None, min_celsius=None, standard_diameters=())")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        name: String,
        family: &str,
        moduli: Many<Few<3>>,
        density: f64,
        max_celsius: f64,
        sources: Many<SourceTuple>,
        power: Option<Many<Few<4>>>,
        listed: Option<Many<Few<3>>>,
        steps: Option<Steps>,
        min_celsius: Option<f64>,
        standard_diameters: Many<f64>,
    ) -> PyResult<Self> {
        let moduli = moduli
            .into_iter()
            .map(|Few([up_to, elastic, shear])| ModuliBand {
                up_to,
                elastic,
                shear,
            });
        Ok(Self(Wire::new(WireSpec {
            name,
            family: family.parse::<WireFamily>()?,
            strength: strength_in(power, listed, steps)?,
            moduli: moduli.collect(),
            density,
            min_celsius,
            max_celsius,
            standard_diameters: standard_diameters.into_vec(),
            sources: sources_in(sources)?,
        })?))
    }

    /// A wire by its designation; case, spaces, hyphens and underscores make no difference.
    #[staticmethod]
    fn named(name: &str) -> PyResult<Self> {
        Ok(Self(Wire::named(name)?))
    }

    /// Every wire that has a name.
    #[staticmethod]
    fn all() -> Vec<Self> {
        Wire::all().iter().cloned().map(Self).collect()
    }

    /// Diameters in which it is sold, m, ascending, shape (N,).
    #[getter]
    fn standard_diameters<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        self.0.standard_diameters().to_vec().into_pyarray(py)
    }

    /// Least tensile strength at a diameter (m), Pa.
    fn tensile_strength(&self, diameter: f64) -> PyResult<f64> {
        Ok(self.0.tensile_strength(diameter)?)
    }

    /// Greatest tensile strength at a diameter (m), Pa, where the table gives one.
    fn max_tensile_strength(&self, diameter: f64) -> PyResult<Option<f64>> {
        Ok(self.0.max_tensile_strength(diameter)?)
    }

    /// Young's modulus E at a diameter (m), Pa.
    fn elastic_modulus(&self, diameter: f64) -> PyResult<f64> {
        Ok(self.0.elastic_modulus(diameter)?)
    }

    /// Shear modulus G at a diameter (m), Pa.
    fn shear_modulus(&self, diameter: f64) -> PyResult<f64> {
        Ok(self.0.shear_modulus(diameter)?)
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        match Wire::named(self.0.name()) {
            Ok(wire) if wire == self.0 => format!("Wire.named({:?})", self.0.name()),
            _ => format!("<Wire {:?}, {}>", self.0.name(), self.0.family()),
        }
    }

    fn __getnewargs_ex__<'py>(&self, py: Python<'py>) -> PyResult<((), Bound<'py, PyDict>)> {
        let spec = self.0.spec();
        let named = PyDict::new(py);
        named.set_item("name", self.name())?;
        named.set_item("family", self.family())?;
        let moduli = spec.moduli.iter().map(|m| (m.up_to, m.elastic, m.shear));
        named.set_item("moduli", moduli.collect::<Vec<_>>())?;
        named.set_item("density", self.density())?;
        named.set_item("max_celsius", self.max_celsius())?;
        named.set_item("sources", self.sources())?;
        match &spec.strength {
            WireStrength::Power(bands) => named.set_item("power", power_out(bands))?,
            WireStrength::Listed(rows) => named.set_item("listed", listed_out(rows))?,
            WireStrength::Steps { from, steps } => {
                let steps = steps.iter().map(|s| (s.up_to, s.min));
                named.set_item("steps", (*from, steps.collect::<Vec<_>>()))?;
            }
        }
        named.set_item("min_celsius", self.min_celsius())?;
        named.set_item("standard_diameters", spec.standard_diameters.clone())?;
        Ok(((), named))
    }
}

fn strength_in(
    power: Option<Many<Few<4>>>,
    listed: Option<Many<Few<3>>>,
    steps: Option<Steps>,
) -> PyResult<WireStrength> {
    let band = |Few([from, to, strength_at_1_mm, exponent])| PowerBand {
        diameters: [from, to],
        strength_at_1_mm,
        exponent,
    };
    let row = |Few([diameter, least, greatest])| ListedStrength {
        diameter,
        min: least,
        max: greatest,
    };
    let step = |Few([up_to, least])| StrengthStep { up_to, min: least };
    match (power, listed, steps) {
        (Some(bands), None, None) => Ok(WireStrength::Power(bands.into_iter().map(band).collect())),
        (None, Some(rows), None) => Ok(WireStrength::Listed(rows.into_iter().map(row).collect())),
        (None, None, Some(Steps(from, steps))) => Ok(WireStrength::Steps {
            from,
            steps: steps.into_iter().map(step).collect(),
        }),
        _ => Err(InvalidValueError::new_err(
            "the tensile strength is given by exactly one of power, listed and steps",
        )),
    }
}

fn power_out(bands: &[PowerBand]) -> Vec<Power> {
    let band = |b: &PowerBand| {
        (
            b.diameters[0],
            b.diameters[1],
            b.strength_at_1_mm,
            b.exponent,
        )
    };
    bands.iter().map(band).collect()
}

fn listed_out(rows: &[ListedStrength]) -> Vec<Listed> {
    let row = |r: &ListedStrength| (r.diameter, r.min, r.max);
    rows.iter().map(row).collect()
}

/// A Wire, or the name of one.
pub(in crate::python) struct WireIn(pub(in crate::python) Wire);

impl FromPyObject<'_, '_> for WireIn {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        match value.cast::<PyWire>() {
            Ok(wire) => Ok(Self(wire.get().0.clone())),
            Err(_) => match value.extract() {
                Ok(name) => Ok(Self(Wire::named(name)?)),
                Err(_) => Err(InvalidTypeError::new_err(format!(
                    "a Wire or the name of one is needed, got {}",
                    shown(value)
                ))),
            },
        }
    }
}

/// Stresses that springs bear under static load, as shares of the least tensile strength.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "AllowableShares")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyAllowableShares(AllowableShares);

attributes! {
    impl PyAllowableShares {
        /// Shear in a compression spring as wound, with the curvature factor.
        shear: f64,
        /// Shear in a compression spring whose set was removed, without it: least and greatest.
        shear_set_removed: (f64, f64) = |v| v.shear_set_removed.into(),
        /// Bending in a torsion spring.
        bending: f64,
        /// Shear in the body of an extension spring: least and greatest.
        extension_body: (f64, f64) = |v| v.extension_body.into(),
        /// Shear in the hook of an extension spring.
        hook_shear: f64,
        /// Bending in the hook of an extension spring.
        hook_bending: f64,
    }

    fn __repr__(&self) -> String {
        format!(
            "<AllowableShares shear {}, bending {}>",
            self.0.shear, self.0.bending
        )
    }
}
