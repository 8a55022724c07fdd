//! Rods and what they carry.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::linkage::{Rod, RodEnds, RodLoad, RodMaterial, RodSection};
use crate::python::gate::attributes::attributes;

/// Cross section of a rod: RodSection.round(...) or RodSection.tube(...).
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "RodSection")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyRodSection(RodSection);

attributes! {
    impl PyRodSection {
        /// Outer diameter, m.
        outer_diameter(): f64,
        /// Wall, m; half the diameter for a solid bar.
        wall(): f64,
        /// Inner diameter, m; zero for a solid bar.
        inner_diameter(): f64,
        /// Area, m^2.
        area(): f64,
        /// Second moment of area about a diameter, m^4.
        second_moment(): f64,
        /// Radius of gyration, m.
        radius_of_gyration(): f64,
    }

    /// A solid round bar of the given diameter (m); for a threaded rod the minor diameter of the thread.
    #[staticmethod]
    fn round(diameter: f64) -> PyResult<Self> {
        Ok(Self(RodSection::round(diameter)?))
    }

    /// A round tube of the given outer diameter and wall (m).
    #[staticmethod]
    fn tube(outer_diameter: f64, wall: f64) -> PyResult<Self> {
        Ok(Self(RodSection::tube(outer_diameter, wall)?))
    }

    fn __repr__(&self) -> String {
        let (outer, wall) = (self.outer_diameter(), self.wall());
        format!("RodSection.tube(outer_diameter={outer:?}, wall={wall:?})")
    }

    fn __reduce__(slf: Bound<'_, Self>) -> PyResult<(Bound<'_, PyAny>, (f64, f64))> {
        let this = slf.get();
        let sizes = (this.outer_diameter(), this.wall());
        Ok((slf.getattr("tube")?, sizes))
    }
}

/// Modulus of elasticity and yield strength (Pa) of what a rod is made of.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "RodMaterial")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyRodMaterial(RodMaterial);

attributes! {
    impl PyRodMaterial {
        /// Modulus of elasticity, Pa.
        modulus(): f64,
        /// Yield strength, Pa.
        yield_strength(): f64,
    }

    #[new]
    fn new(modulus: f64, yield_strength: f64) -> PyResult<Self> {
        Ok(Self(RodMaterial::new(modulus, yield_strength)?))
    }

    /// A common material by its name, one of names(): rounded design figures, to be checked against the bar in hand.
    #[staticmethod]
    fn named(name: &str) -> PyResult<Self> {
        Ok(Self(RodMaterial::named(name)?))
    }

    /// Names of the common materials.
    #[staticmethod]
    fn names() -> Vec<&'static str> {
        RodMaterial::names().collect()
    }

    fn __repr__(&self) -> String {
        format!(
            "RodMaterial(modulus={:?}, yield_strength={:?})",
            self.modulus(),
            self.yield_strength()
        )
    }
}

/// A straight rod loaded along its axis: when it buckles and when it yields.
///
/// length: between its joints, m. ends: "pinned-pinned", "fixed-pinned", "fixed-fixed" or "fixed-free". factor:
/// effective length over length; without one the recommended factor of these ends. Rods between pedals carry a foot: an
/// emergency press passes a kilonewton.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "Rod")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyRod(pub(in crate::python) Rod);

attributes! {
    impl PyRod {
        /// Cross section.
        section: PyRodSection = |v| PyRodSection(v.section()),
        /// Material.
        material: PyRodMaterial = |v| PyRodMaterial(v.material()),
        /// Length between the joints, m.
        length(): f64,
        /// How the ends are held.
        ends: String = |v| v.ends().to_string(),
        /// Effective length over length.
        factor(): f64,
        /// Effective length over radius of gyration.
        slenderness(): f64,
        /// The slenderness above which Euler's load holds, below which Johnson's.
        transition_slenderness(): f64,
        /// "Euler" or "Johnson": which formula holds for this rod.
        buckling: String = |v| v.buckling().to_string(),
        /// Euler's load, N, whether it holds or not.
        euler_load(): f64,
        /// Johnson's load, N; it holds below the transition slenderness.
        johnson_load(): f64,
        /// The pressing force at which the rod buckles, N.
        critical_load(): f64,
        /// The force at which the section yields, N.
        yield_load(): f64,
    }

    #[new]
    #[pyo3(signature = (*, section, material, length, ends = "pinned-pinned", factor = None))]
    fn new(
        section: &PyRodSection,
        material: &PyRodMaterial,
        length: f64,
        ends: &str,
        factor: Option<f64>,
    ) -> PyResult<Self> {
        let ends: RodEnds = ends.parse()?;
        let factor = factor.unwrap_or(ends.recommended_factor());
        let rod = Rod::new(section.0, material.0, length, ends, factor)?;
        Ok(Self(rod))
    }

    /// Effective length over length that theory gives for ends: 1 pinned-pinned, 0.699 fixed-pinned, 0.5 fixed-fixed, 2
    /// fixed-free. No clamp is as stiff as that; recommended_factor says what to take.
    #[staticmethod]
    fn theoretical_factor(ends: &str) -> PyResult<f64> {
        Ok(ends.parse::<RodEnds>()?.theoretical_factor())
    }

    /// Effective length over length that is recommended for ends, what a Rod takes if none is given.
    #[staticmethod]
    fn recommended_factor(ends: &str) -> PyResult<f64> {
        Ok(ends.parse::<RodEnds>()?.recommended_factor())
    }

    /// The pressing force that leaves a safety factor against buckling, N.
    fn allowable_load(&self, safety: f64) -> PyResult<f64> {
        Ok(self.0.allowable_load(safety)?)
    }

    /// How the rod bears a force (N): positive pulls, negative presses.
    fn loaded_by(&self, force: f64) -> PyResult<PyRodLoad> {
        Ok(PyRodLoad(self.0.loaded_by(force)?))
    }

    /// Least diameter (m) of a solid bar of this material, length and ends that bears a pressing force (N) with a
    /// safety factor.
    fn min_diameter(&self, press: f64, safety: f64) -> PyResult<f64> {
        Ok(self.0.min_diameter(press, safety)?)
    }

    fn __repr__(&self) -> String {
        format!(
            "Rod(section={}, material={}, length={:?}, ends={:?}, factor={:?})",
            self.section().__repr__(),
            self.material().__repr__(),
            self.length(),
            self.ends(),
            self.factor()
        )
    }
}

/// How a rod bears a force.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "RodLoad")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyRodLoad(RodLoad);

attributes! {
    impl PyRodLoad {
        /// Force, N: positive pulls, negative presses.
        force: f64,
        /// Mean stress over the section, Pa, with the sign of the force.
        stress: f64,
        /// The force of this direction at which the rod fails, N, as a magnitude.
        limit: f64,
        /// Limit over force: below 1 the rod fails.
        safety: f64,
    }

    fn __repr__(&self) -> String {
        format!(
            "<RodLoad {:?} N of {:?} N, safety {:.2}>",
            self.0.force, self.0.limit, self.0.safety
        )
    }
}
