//! Extension and torsion springs, and the search for them.

use pyo3::prelude::*;
use pyo3::types::PyDict;
use serde::{Deserialize, Serialize};

use crate::python::gate::convert::Count;
use crate::python::gate::long::long;
use crate::python::gate::sequence::{Few, Many};
use crate::python::search::PySearchResult;
use crate::python::spring::compression::{PyLifeVerdict, coil_in, criterion, surface};
use crate::python::spring::law::{PyLinearSpring, PyLinearTorsionSpring, option};
use crate::python::spring::wire::{PyWire, WireIn};
use crate::spring::{
    self, DesignCode, ExtensionDemand, ExtensionLife, ExtensionSpring, ExtensionSpringSpec,
    ExtensionStresses, LifeDemand, SizedExtension, SizedTorsion, TorsionDemand, TorsionLife,
    TorsionSpring, TorsionSpringSpec, TorsionState,
};

fn design_code_in(text: &str) -> crate::Result<DesignCode> {
    text.parse::<DesignCode>()
}

/// A demand on life, if a number of cycles is given.
pub(in crate::python) fn life_in(
    cycles: Option<f64>,
    surface_text: &str,
    criterion_text: &str,
    safety: f64,
) -> crate::Result<Option<LifeDemand>> {
    let (surface, criterion) = (surface(surface_text)?, criterion(criterion_text)?);
    Ok(cycles.map(|cycles| LifeDemand {
        cycles,
        surface,
        criterion,
        safety,
    }))
}

/// A helical extension spring of round wire, wound close, with a hook at each end.
///
/// wire: a Wire or its designation. body_turns: without the hooks. One of outer_diameter, mean_diameter,
/// inner_diameter, m. initial_tension: N. hook: "full" or "half". bend_radius, side_radius: mean radii of the hook's
/// bends, m (by default D / 2, or 2 d for a half hook; and 2 d). hook_reach: inside reach beyond the body, m.
/// design_code: "Shigley" or "EN 13906".
///
/// A stretched spring whose hook breaks or slips flies: wear eye protection, stand out of its line, let nothing that
/// may hurt hang on it alone.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import mm
/// >>> spring = yw.spring.ExtensionSpring(
/// ...     wire="ASTM A228", wire_diameter=1 * mm, outer_diameter=10 * mm, body_turns=20, initial_tension=3.0
/// ... )
/// >>> print(f"{spring.rate / 1000:.3f} N/mm")
/// 0.686 N/mm
#[pyclass(frozen, eq, module = "yokewright.spring", name = "ExtensionSpring")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyExtensionSpring(pub(in crate::python) ExtensionSpring);

#[pymethods]
impl PyExtensionSpring {
    #[new]
    #[pyo3(signature = (*, wire, wire_diameter, body_turns, outer_diameter = None, mean_diameter = None,
        inner_diameter = None,
        initial_tension = 0.0, hook = "full", bend_radius = None, side_radius = None, hook_reach = None,
            design_code = "Shigley"))]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        wire: WireIn,
        wire_diameter: f64,
        body_turns: f64,
        outer_diameter: Option<f64>,
        mean_diameter: Option<f64>,
        inner_diameter: Option<f64>,
        initial_tension: f64,
        hook: &str,
        bend_radius: Option<f64>,
        side_radius: Option<f64>,
        hook_reach: Option<f64>,
        design_code: &str,
    ) -> PyResult<Self> {
        Ok(Self(ExtensionSpring::new(ExtensionSpringSpec {
            wire: wire.0,
            wire_diameter,
            coil: coil_in(outer_diameter, mean_diameter, inner_diameter)?,
            body_turns,
            initial_tension,
            hook: hook.parse()?,
            bend_radius,
            side_radius,
            hook_reach,
            design_code: design_code_in(design_code)?,
        })?))
    }

    /// The wire.
    #[getter]
    fn wire(&self) -> PyWire {
        PyWire(self.0.spec().wire.clone())
    }

    /// Wire diameter d, m.
    #[getter]
    fn wire_diameter(&self) -> f64 {
        self.0.spec().wire_diameter
    }

    /// Mean diameter of the coils D, m.
    #[getter]
    fn mean_diameter(&self) -> f64 {
        self.0.mean_diameter()
    }

    /// Outer diameter D + d, m.
    #[getter]
    fn outer_diameter(&self) -> f64 {
        self.0.outer_diameter()
    }

    /// Turns of the body, without the hooks.
    #[getter]
    fn body_turns(&self) -> f64 {
        self.0.spec().body_turns
    }

    /// Turns that deflect, hooks included.
    #[getter]
    fn active_turns(&self) -> f64 {
        self.0.active_turns()
    }

    /// Spring index D / d.
    #[getter]
    fn index(&self) -> f64 {
        self.0.index()
    }

    /// Tension that must be overcome before the coils part, N.
    #[getter]
    fn initial_tension(&self) -> f64 {
        self.0.spec().initial_tension
    }

    /// Shear stress of the initial tension without curvature factor, Pa.
    #[getter]
    fn initial_stress(&self) -> f64 {
        self.0.initial_stress()
    }

    /// Least and greatest initial tension that springs of this index are usually wound with, N.
    #[getter]
    fn usual_initial_tension(&self) -> (f64, f64) {
        self.0.usual_initial_tension().into()
    }

    /// "full" or "half".
    #[getter]
    fn hook(&self) -> String {
        self.0.spec().hook.to_string()
    }

    /// Mean radius of the bend that takes the greatest moment, m.
    #[getter]
    fn bend_radius(&self) -> f64 {
        self.0.bend_radius()
    }

    /// Mean radius of the bend from the body into the hook, m.
    #[getter]
    fn side_radius(&self) -> f64 {
        self.0.side_radius()
    }

    /// Inside reach of a hook beyond the body, m.
    #[getter]
    fn hook_reach(&self) -> f64 {
        self.0.hook_reach()
    }

    /// "Shigley" or "EN 13906".
    #[getter]
    fn design_code(&self) -> String {
        self.0.spec().design_code.to_string()
    }

    /// Rate, N/m.
    #[getter]
    fn rate(&self) -> f64 {
        self.0.rate()
    }

    /// Length of the body, m.
    #[getter]
    fn body_length(&self) -> f64 {
        self.0.body_length()
    }

    /// Length inside the hooks without load, m.
    #[getter]
    fn free_length(&self) -> f64 {
        self.0.free_length()
    }

    /// Tension at which body or hook reaches what it bears under static load, N.
    #[getter]
    fn max_tension(&self) -> f64 {
        self.0.max_tension()
    }

    /// Length inside the hooks there, m.
    #[getter]
    fn max_length(&self) -> f64 {
        self.0.max_length()
    }

    /// Length of the wire, hooks included, m.
    #[getter]
    fn wire_length(&self) -> f64 {
        self.0.wire_length()
    }

    /// Mass, kg.
    #[getter]
    fn mass(&self) -> f64 {
        self.0.mass()
    }

    /// What body and hooks bear under static load, Pa.
    #[getter]
    fn allowable(&self) -> PyExtensionStresses {
        PyExtensionStresses(self.0.allowable())
    }

    /// What it does between two points: slack up to the free length, over-stretched beyond max_length.
    #[getter]
    fn line_spring(&self) -> PyLinearSpring {
        PyLinearSpring(self.0.line_spring())
    }

    /// Stresses of body and hooks at a tension (N), Pa.
    fn stresses(&self, tension: f64) -> PyResult<PyExtensionStresses> {
        Ok(PyExtensionStresses(self.0.stresses(tension)?))
    }

    /// Safety of body and hooks against yielding at a tension (N).
    fn static_safety(&self, tension: f64) -> PyResult<f64> {
        Ok(self.0.static_safety(tension)?)
    }

    /// Whether body and hooks last a number of cycles between two tensions (N).
    #[pyo3(signature = (tensions, *, cycles = 1e6, surface = "unpeened", criterion = "Gerber"),
           text_signature = "($self, tensions, *, cycles=1000000.0, surface='unpeened', criterion='Gerber')")]
    fn fatigue(
        &self,
        tensions: Few<2>,
        cycles: f64,
        surface: &str,
        criterion: &str,
    ) -> PyResult<PyExtensionLife> {
        let (surface, criterion) = (self::surface(surface)?, self::criterion(criterion)?);
        let life = self
            .0
            .fatigue(tensions.into(), surface, criterion, cycles)?;
        Ok(PyExtensionLife(life))
    }

    fn __repr__(&self) -> String {
        let spec = self.0.spec();
        format!(
            "ExtensionSpring(wire={}, wire_diameter={:?}, body_turns={:?}, mean_diameter={:?}, initial_tension={:?}, \
                hook='{}', \
             bend_radius={}, side_radius={}, hook_reach={}, design_code='{}')",
            self.wire().__repr__(),
            spec.wire_diameter,
            spec.body_turns,
            self.0.mean_diameter(),
            spec.initial_tension,
            spec.hook,
            option(spec.bend_radius),
            option(spec.side_radius),
            option(spec.hook_reach),
            spec.design_code,
        )
    }

    fn __getnewargs_ex__<'py>(&self, py: Python<'py>) -> PyResult<((), Bound<'py, PyDict>)> {
        let (spec, named) = (self.0.spec(), PyDict::new(py));
        named.set_item("wire", self.wire())?;
        named.set_item("wire_diameter", spec.wire_diameter)?;
        named.set_item("body_turns", spec.body_turns)?;
        named.set_item("mean_diameter", self.0.mean_diameter())?;
        named.set_item("initial_tension", spec.initial_tension)?;
        named.set_item("hook", self.hook())?;
        named.set_item("bend_radius", spec.bend_radius)?;
        named.set_item("side_radius", spec.side_radius)?;
        named.set_item("hook_reach", spec.hook_reach)?;
        named.set_item("design_code", self.design_code())?;
        Ok(((), named))
    }
}

/// Stresses of an extension spring, Pa, or what it bears of each.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "ExtensionStresses")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyExtensionStresses(ExtensionStresses);

#[pymethods]
impl PyExtensionStresses {
    /// Shear at the inside of the coils, Pa.
    #[getter]
    fn body(&self) -> f64 {
        self.0.body
    }

    /// Bending, with the pull, at the inside of the hook, Pa.
    #[getter]
    fn hook_bending(&self) -> f64 {
        self.0.hook_bending
    }

    /// Torsion where the hook leaves the body, Pa.
    #[getter]
    fn hook_torsion(&self) -> f64 {
        self.0.hook_torsion
    }

    /// The greatest of the three as a share of what is allowed: 1 at the limit.
    fn use_of(&self, allowed: &Self) -> PyResult<f64> {
        Ok(self.0.use_of(&allowed.0)?)
    }

    fn __repr__(&self) -> String {
        let ExtensionStresses {
            body,
            hook_bending,
            hook_torsion,
        } = self.0;
        format!(
            "<ExtensionStresses body {body:.4e}, hook bending {hook_bending:.4e}, hook torsion {hook_torsion:.4e} Pa>"
        )
    }
}

/// Whether each part of an extension spring lasts.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "ExtensionLife")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyExtensionLife(ExtensionLife);

#[pymethods]
impl PyExtensionLife {
    /// Shear in the body.
    #[getter]
    fn body(&self) -> PyLifeVerdict {
        PyLifeVerdict(self.0.body)
    }

    /// Bending in the hook.
    #[getter]
    fn hook_bending(&self) -> PyLifeVerdict {
        PyLifeVerdict(self.0.hook_bending)
    }

    /// Torsion in the hook.
    #[getter]
    fn hook_torsion(&self) -> PyLifeVerdict {
        PyLifeVerdict(self.0.hook_torsion)
    }

    /// The least safety of the three against breaking.
    #[getter]
    fn safety(&self) -> f64 {
        self.0.safety()
    }

    /// Whether no part breaks or yields.
    #[getter]
    fn holds(&self) -> bool {
        self.0.holds()
    }

    fn __repr__(&self) -> String {
        let word = if self.0.holds() {
            "holds"
        } else {
            "does not hold"
        };
        format!("<ExtensionLife {word}, safety {:.3}>", self.0.safety())
    }
}

/// A helical torsion spring of round wire, wound close, loaded so that it winds up.
///
/// wire: a Wire or its designation. One of outer_diameter, mean_diameter, inner_diameter, m. legs: lengths to where
/// they bear, m. arbor: diameter of the pin inside, m. design_code: "Shigley" or "EN 13906".
///
/// A wound-up leg that slips strikes: wear eye protection, keep fingers out of its way, let it down with a tool.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg, mm
/// >>> spring = yw.spring.TorsionSpring(
/// ...     wire="ASTM A228", wire_diameter=1 * mm, outer_diameter=10 * mm, body_turns=5
/// ... )
/// >>> print(f"{1000 * spring.rate * deg:.3f} N mm/deg")
/// 1.143 N mm/deg
#[pyclass(frozen, eq, module = "yokewright.spring", name = "TorsionSpring")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyTorsionSpring(TorsionSpring);

#[pymethods]
impl PyTorsionSpring {
    #[new]
    #[pyo3(signature = (*, wire, wire_diameter, body_turns, outer_diameter = None, mean_diameter = None,
        inner_diameter = None,
        legs = Few([0.0, 0.0]), arbor = None, design_code = "Shigley"),
        text_signature = "(*, wire, wire_diameter, body_turns, outer_diameter=None, mean_diameter=None, \
            inner_diameter=None, legs=(0.0, 0.0), arbor=None, design_code='Shigley')")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        wire: WireIn,
        wire_diameter: f64,
        body_turns: f64,
        outer_diameter: Option<f64>,
        mean_diameter: Option<f64>,
        inner_diameter: Option<f64>,
        legs: Few<2>,
        arbor: Option<f64>,
        design_code: &str,
    ) -> PyResult<Self> {
        Ok(Self(TorsionSpring::new(TorsionSpringSpec {
            wire: wire.0,
            wire_diameter,
            coil: coil_in(outer_diameter, mean_diameter, inner_diameter)?,
            body_turns,
            legs: legs.into(),
            arbor,
            design_code: design_code_in(design_code)?,
        })?))
    }

    /// The wire.
    #[getter]
    fn wire(&self) -> PyWire {
        PyWire(self.0.spec().wire.clone())
    }

    /// Wire diameter d, m.
    #[getter]
    fn wire_diameter(&self) -> f64 {
        self.0.spec().wire_diameter
    }

    /// Mean diameter of the unloaded coils D, m.
    #[getter]
    fn mean_diameter(&self) -> f64 {
        self.0.mean_diameter()
    }

    /// Outer diameter without load, m.
    #[getter]
    fn outer_diameter(&self) -> f64 {
        self.0.outer_diameter()
    }

    /// Turns of the body.
    #[getter]
    fn body_turns(&self) -> f64 {
        self.0.spec().body_turns
    }

    /// Turns that deflect, legs included.
    #[getter]
    fn active_turns(&self) -> f64 {
        self.0.active_turns()
    }

    /// Spring index D / d.
    #[getter]
    fn index(&self) -> f64 {
        self.0.index()
    }

    /// Lengths of the legs, m.
    #[getter]
    fn legs(&self) -> (f64, f64) {
        self.0.spec().legs.into()
    }

    /// Diameter of the pin inside, m; None if there is none.
    #[getter]
    fn arbor(&self) -> Option<f64> {
        self.0.spec().arbor
    }

    /// "Shigley" or "EN 13906".
    #[getter]
    fn design_code(&self) -> String {
        self.0.spec().design_code.to_string()
    }

    /// Rate, N m/rad.
    #[getter]
    fn rate(&self) -> f64 {
        self.0.rate()
    }

    /// Torque for a whole turn, N m.
    #[getter]
    fn torque_per_turn(&self) -> f64 {
        self.0.torque_per_turn()
    }

    /// Bending stress that it bears under static load, Pa.
    #[getter]
    fn allowable(&self) -> f64 {
        self.0.allowable()
    }

    /// Torque at which the stress reaches that, N m.
    #[getter]
    fn max_torque(&self) -> f64 {
        self.0.max_torque()
    }

    /// How far it may be wound up, rad.
    #[getter]
    fn max_angle(&self) -> f64 {
        self.0.max_angle()
    }

    /// What stops it there: "stress" or "arbor".
    #[getter]
    fn limit(&self) -> String {
        self.0.limit().to_string()
    }

    /// Angle at which the coils close on the arbor, rad; None without one.
    #[getter]
    fn gripping_angle(&self) -> Option<f64> {
        self.0.gripping_angle()
    }

    /// Length of the wire, legs included, m.
    #[getter]
    fn wire_length(&self) -> f64 {
        self.0.wire_length()
    }

    /// Mass, kg.
    #[getter]
    fn mass(&self) -> f64 {
        self.0.mass()
    }

    /// Bending stress at the inside of the coils for a torque (N m), Pa.
    fn stress(&self, torque: f64) -> PyResult<f64> {
        Ok(self.0.stress(torque)?)
    }

    /// Safety against yielding under a torque (N m).
    fn static_safety(&self, torque: f64) -> PyResult<f64> {
        Ok(self.0.static_safety(torque)?)
    }

    /// What it is like when wound up by an angle (rad); refused where it would grip its arbor.
    fn state_at(&self, angle: f64) -> PyResult<PyTorsionState> {
        Ok(PyTorsionState(self.0.state_at(angle)?))
    }

    /// Whether it lasts a number of cycles between two torques (N m).
    #[pyo3(signature = (torques, *, cycles = 1e6, surface = "unpeened", criterion = "Gerber"),
           text_signature = "($self, torques, *, cycles=1000000.0, surface='unpeened', criterion='Gerber')")]
    fn fatigue(
        &self,
        torques: Few<2>,
        cycles: f64,
        surface: &str,
        criterion: &str,
    ) -> PyResult<PyTorsionLife> {
        let (surface, criterion) = (self::surface(surface)?, self::criterion(criterion)?);
        let life = self.0.fatigue(torques.into(), surface, criterion, cycles)?;
        Ok(PyTorsionLife(life))
    }

    /// What it does about a pivot: legs free at free_angle (rad), wound up from there "above" or "below".
    fn linear_torsion_spring(
        &self,
        free_angle: f64,
        action: &str,
    ) -> PyResult<PyLinearTorsionSpring> {
        Ok(PyLinearTorsionSpring(
            self.0.linear_torsion_spring(free_angle, action.parse()?)?,
        ))
    }

    fn __repr__(&self) -> String {
        let spec = self.0.spec();
        format!(
            "TorsionSpring(wire={}, wire_diameter={:?}, body_turns={:?}, mean_diameter={:?}, legs={:?}, arbor={}, \
                design_code='{}')",
            self.wire().__repr__(),
            spec.wire_diameter,
            spec.body_turns,
            self.0.mean_diameter(),
            self.legs(),
            option(spec.arbor),
            spec.design_code,
        )
    }

    fn __getnewargs_ex__<'py>(&self, py: Python<'py>) -> PyResult<((), Bound<'py, PyDict>)> {
        let (spec, named) = (self.0.spec(), PyDict::new(py));
        named.set_item("wire", self.wire())?;
        named.set_item("wire_diameter", spec.wire_diameter)?;
        named.set_item("body_turns", spec.body_turns)?;
        named.set_item("mean_diameter", self.0.mean_diameter())?;
        named.set_item("legs", self.legs())?;
        named.set_item("arbor", spec.arbor)?;
        named.set_item("design_code", self.design_code())?;
        Ok(((), named))
    }
}

/// A torsion spring wound up by some angle.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "TorsionState")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyTorsionState(TorsionState);

#[pymethods]
impl PyTorsionState {
    /// Angle of one leg against the other from where nothing loads them, rad.
    #[getter]
    fn angle(&self) -> f64 {
        self.0.angle
    }

    /// Torque, N m.
    #[getter]
    fn torque(&self) -> f64 {
        self.0.torque
    }

    /// Bending stress at the inside of the coils, Pa.
    #[getter]
    fn stress(&self) -> f64 {
        self.0.stress
    }

    /// Inner diameter of the coils, m.
    #[getter]
    fn inner_diameter(&self) -> f64 {
        self.0.inner_diameter
    }

    /// Inner diameter less that of the arbor, m; None without an arbor.
    #[getter]
    fn clearance(&self) -> Option<f64> {
        self.0.clearance
    }

    /// Length of the body along its axis, m.
    #[getter]
    fn body_length(&self) -> f64 {
        self.0.body_length
    }

    fn __repr__(&self) -> String {
        format!(
            "<TorsionState {:?} rad, {:?} N m>",
            self.0.angle, self.0.torque
        )
    }
}

/// Whether a torsion spring lasts, and how well.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "TorsionLife")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyTorsionLife(TorsionLife);

#[pymethods]
impl PyTorsionLife {
    /// Mean bending stress of the cycle, Pa.
    #[getter]
    fn mean(&self) -> f64 {
        self.0.cycle.mean
    }

    /// Alternating bending stress of the cycle, Pa.
    #[getter]
    fn alternating(&self) -> f64 {
        self.0.cycle.alternating
    }

    /// The cycles asked for.
    #[getter]
    fn cycles(&self) -> f64 {
        self.0.cycles
    }

    /// Safety against breaking within them.
    #[getter]
    fn safety(&self) -> f64 {
        self.0.safety
    }

    /// Safety against yielding under the greatest torque.
    #[getter]
    fn static_safety(&self) -> f64 {
        self.0.static_safety
    }

    /// Whether it neither breaks nor yields.
    #[getter]
    fn holds(&self) -> bool {
        self.0.holds()
    }

    fn __repr__(&self) -> String {
        let word = if self.0.holds() {
            "holds"
        } else {
            "does not hold"
        };
        format!(
            "<TorsionLife {word} {} cycles, safety {:.3}>",
            self.0.cycles, self.0.safety
        )
    }
}

/// An extension spring that does what was wanted.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "SizedExtension")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySizedExtension(SizedExtension);

#[pymethods]
impl PySizedExtension {
    /// The spring.
    #[getter]
    fn spring(&self) -> PyExtensionSpring {
        PyExtensionSpring(self.0.spring.clone())
    }

    /// Length inside the hooks at the beginning and at the end of the travel, m.
    #[getter]
    fn lengths(&self) -> (f64, f64) {
        self.0.lengths.into()
    }

    /// Tension there, N.
    #[getter]
    fn tensions(&self) -> (f64, f64) {
        self.0.tensions.into()
    }

    /// Safety of body and hooks against yielding at the end of the travel.
    #[getter]
    fn static_safety(&self) -> f64 {
        self.0.static_safety
    }

    /// Safety against breaking within the cycles asked for; None if no life was.
    #[getter]
    fn life_safety(&self) -> Option<f64> {
        self.0.life_safety
    }

    fn __repr__(&self) -> String {
        let (d, outer) = (
            self.0.spring.spec().wire_diameter,
            self.0.spring.outer_diameter(),
        );
        format!("<SizedExtension wire {d:.3e} m, outer {outer:.3e} m>")
    }
}

/// A torsion spring that does what was wanted.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "SizedTorsion")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySizedTorsion(SizedTorsion);

#[pymethods]
impl PySizedTorsion {
    /// The spring.
    #[getter]
    fn spring(&self) -> PyTorsionSpring {
        PyTorsionSpring(self.0.spring.clone())
    }

    /// Angles by which it is wound up at the beginning and at the end of the travel, rad.
    #[getter]
    fn angles(&self) -> (f64, f64) {
        self.0.angles.into()
    }

    /// Torque there, N m.
    #[getter]
    fn torques(&self) -> (f64, f64) {
        self.0.torques.into()
    }

    /// Safety against yielding at the end of the travel.
    #[getter]
    fn static_safety(&self) -> f64 {
        self.0.static_safety
    }

    /// Safety against breaking within the cycles asked for; None if no life was.
    #[getter]
    fn life_safety(&self) -> Option<f64> {
        self.0.life_safety
    }

    fn __repr__(&self) -> String {
        let (d, outer) = (
            self.0.spring.spec().wire_diameter,
            self.0.spring.outer_diameter(),
        );
        format!("<SizedTorsion wire {d:.3e} m, outer {outer:.3e} m>")
    }
}

/// Extension springs to be made that have a rate (N/m), from a tension preload (N) on, over a travel (m): the best of
/// each wire diameter, lightest first.
///
/// bore: greatest outer diameter, m. longest_start: greatest length inside the hooks at the beginning, m. cycles: how
/// long it shall last, with life_safety against breaking. static_safety: of body and hooks against yielding. index,
/// body_turns: least and most.
#[pyfunction]
#[pyo3(signature = (wires, *, rate, preload, travel, bore = None, longest_start = None, cycles = None,
    surface = "unpeened", criterion = "Gerber",
    life_safety = 1.2, static_safety = 1.0, index = Few([4.0, 12.0]), body_turns = Few([3.0, 200.0]), hook = "full",
        design_code = "Shigley", coil_steps = Count(200)),
    text_signature = "(wires, *, rate, preload, travel, bore=None, longest_start=None, cycles=None, \
        surface='unpeened', criterion='Gerber', life_safety=1.2, static_safety=1.0, index=(4.0, 12.0), \
        body_turns=(3.0, 200.0), hook='full', design_code='Shigley', coil_steps=200)")]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn search_extension_springs(
    py: Python<'_>,
    wires: Many<WireIn>,
    rate: f64,
    preload: f64,
    travel: f64,
    bore: Option<f64>,
    longest_start: Option<f64>,
    cycles: Option<f64>,
    surface: &str,
    criterion: &str,
    life_safety: f64,
    static_safety: f64,
    index: Few<2>,
    body_turns: Few<2>,
    hook: &str,
    design_code: &str,
    coil_steps: Count,
) -> PyResult<PySearchResult> {
    let demand = ExtensionDemand {
        wires: wires.into_iter().map(|wire| wire.0).collect(),
        rate,
        preload,
        travel,
        bore,
        longest_start,
        life: life_in(cycles, surface, criterion, life_safety)?,
        static_safety,
        index: index.into(),
        body_turns: body_turns.into(),
        hook: hook.parse()?,
        design_code: design_code_in(design_code)?,
        coil_steps: coil_steps.0,
    };
    let result = long(py, || spring::search_extension_springs(&demand))??;
    PySearchResult::of(py, result, PySizedExtension)
}

/// Torsion springs to be made that have a rate (N m/rad), from a torque preload (N m) on, over a travel (rad): the best
/// of each wire diameter, lightest first.
///
/// legs: lengths to where they bear, m. arbor: diameter of the pin inside, m; clearance_share: share of it that must be
/// left at the end of the travel. bore, longest_body: greatest outer diameter and length, m. cycles: how long it shall
/// last, with life_safety against breaking.
#[pyfunction]
#[pyo3(signature = (wires, *, rate, preload, travel, legs = Few([0.0, 0.0]), arbor = None, clearance_share = 0.1,
    bore = None, longest_body = None, cycles = None,
    surface = "unpeened", criterion = "Gerber", life_safety = 1.2, static_safety = 1.0, index = Few([4.0, 12.0]),
        body_turns = Few([2.0, 50.0]), design_code = "Shigley",
    coil_steps = Count(200)),
    text_signature = "(wires, *, rate, preload, travel, legs=(0.0, 0.0), arbor=None, clearance_share=0.1, bore=None, \
        longest_body=None, cycles=None, surface='unpeened', criterion='Gerber', life_safety=1.2, static_safety=1.0, \
        index=(4.0, 12.0), body_turns=(2.0, 50.0), design_code='Shigley', coil_steps=200)")]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn search_torsion_springs(
    py: Python<'_>,
    wires: Many<WireIn>,
    rate: f64,
    preload: f64,
    travel: f64,
    legs: Few<2>,
    arbor: Option<f64>,
    clearance_share: f64,
    bore: Option<f64>,
    longest_body: Option<f64>,
    cycles: Option<f64>,
    surface: &str,
    criterion: &str,
    life_safety: f64,
    static_safety: f64,
    index: Few<2>,
    body_turns: Few<2>,
    design_code: &str,
    coil_steps: Count,
) -> PyResult<PySearchResult> {
    let demand = TorsionDemand {
        wires: wires.into_iter().map(|wire| wire.0).collect(),
        rate,
        preload,
        travel,
        legs: legs.into(),
        arbor,
        clearance_share,
        bore,
        longest_body,
        life: life_in(cycles, surface, criterion, life_safety)?,
        static_safety,
        index: index.into(),
        body_turns: body_turns.into(),
        design_code: design_code_in(design_code)?,
        coil_steps: coil_steps.0,
    };
    let result = long(py, || spring::search_torsion_springs(&demand))??;
    PySearchResult::of(py, result, PySizedTorsion)
}
