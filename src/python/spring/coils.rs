//! Extension and torsion springs, and the search for them.

use pyo3::prelude::*;
use pyo3::types::PyDict;
use serde::{Deserialize, Serialize};

use crate::python::gate::attributes::attributes;
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

attributes! {
    impl PyExtensionSpring {
        /// The wire.
        wire: PyWire = |v| PyWire(v.spec().wire.clone()),
        /// Wire diameter d, m.
        wire_diameter: f64 = |v| v.spec().wire_diameter,
        /// Mean diameter of the coils D, m.
        mean_diameter(): f64,
        /// Outer diameter D + d, m.
        outer_diameter(): f64,
        /// Turns of the body, without the hooks.
        body_turns: f64 = |v| v.spec().body_turns,
        /// Turns that deflect, hooks included.
        active_turns(): f64,
        /// Spring index D / d.
        index(): f64,
        /// Tension that must be overcome before the coils part, N.
        initial_tension: f64 = |v| v.spec().initial_tension,
        /// Shear stress of the initial tension without curvature factor, Pa.
        initial_stress(): f64,
        /// Least and greatest initial tension that springs of this index are usually wound with, N.
        usual_initial_tension: (f64, f64) = |v| v.usual_initial_tension().into(),
        /// "full" or "half".
        hook: String = |v| v.spec().hook.to_string(),
        /// Mean radius of the bend that takes the greatest moment, m.
        bend_radius(): f64,
        /// Mean radius of the bend from the body into the hook, m.
        side_radius(): f64,
        /// Inside reach of a hook beyond the body, m.
        hook_reach(): f64,
        /// "Shigley" or "EN 13906".
        design_code: String = |v| v.spec().design_code.to_string(),
        /// Rate, N/m.
        rate(): f64,
        /// Length of the body, m.
        body_length(): f64,
        /// Length inside the hooks without load, m.
        free_length(): f64,
        /// Tension at which body or hook reaches what it bears under static load, N.
        max_tension(): f64,
        /// Length inside the hooks there, m.
        max_length(): f64,
        /// Length of the wire, hooks included, m.
        wire_length(): f64,
        /// Mass, kg.
        mass(): f64,
        /// What body and hooks bear under static load, Pa.
        allowable: PyExtensionStresses = |v| PyExtensionStresses(v.allowable()),
        /// What it does between two points: slack up to the free length, over-stretched beyond max_length.
        line_spring: PyLinearSpring = |v| PyLinearSpring(v.line_spring()),
    }

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

attributes! {
    impl PyExtensionStresses {
        /// Shear at the inside of the coils, Pa.
        body: f64,
        /// Bending, with the pull, at the inside of the hook, Pa.
        hook_bending: f64,
        /// Torsion where the hook leaves the body, Pa.
        hook_torsion: f64,
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

attributes! {
    impl PyExtensionLife {
        /// Shear in the body.
        body: PyLifeVerdict = |v| PyLifeVerdict(v.body),
        /// Bending in the hook.
        hook_bending: PyLifeVerdict = |v| PyLifeVerdict(v.hook_bending),
        /// Torsion in the hook.
        hook_torsion: PyLifeVerdict = |v| PyLifeVerdict(v.hook_torsion),
        /// The least safety of the three against breaking.
        safety(): f64,
        /// Whether no part breaks or yields.
        holds(): bool,
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

attributes! {
    impl PyTorsionSpring {
        /// The wire.
        wire: PyWire = |v| PyWire(v.spec().wire.clone()),
        /// Wire diameter d, m.
        wire_diameter: f64 = |v| v.spec().wire_diameter,
        /// Mean diameter of the unloaded coils D, m.
        mean_diameter(): f64,
        /// Outer diameter without load, m.
        outer_diameter(): f64,
        /// Turns of the body.
        body_turns: f64 = |v| v.spec().body_turns,
        /// Turns that deflect, legs included.
        active_turns(): f64,
        /// Spring index D / d.
        index(): f64,
        /// Lengths of the legs, m.
        legs: (f64, f64) = |v| v.spec().legs.into(),
        /// Diameter of the pin inside, m; None if there is none.
        arbor: Option<f64> = |v| v.spec().arbor,
        /// "Shigley" or "EN 13906".
        design_code: String = |v| v.spec().design_code.to_string(),
        /// Rate, N m/rad.
        rate(): f64,
        /// Torque for a whole turn, N m.
        torque_per_turn(): f64,
        /// Bending stress that it bears under static load, Pa.
        allowable(): f64,
        /// Torque at which the stress reaches that, N m.
        max_torque(): f64,
        /// How far it may be wound up, rad.
        max_angle(): f64,
        /// What stops it there: "stress" or "arbor".
        limit: String = |v| v.limit().to_string(),
        /// Angle at which the coils close on the arbor, rad; None without one.
        gripping_angle(): Option<f64>,
        /// Length of the wire, legs included, m.
        wire_length(): f64,
        /// Mass, kg.
        mass(): f64,
    }

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

attributes! {
    impl PyTorsionState {
        /// Angle of one leg against the other from where nothing loads them, rad.
        angle: f64,
        /// Torque, N m.
        torque: f64,
        /// Bending stress at the inside of the coils, Pa.
        stress: f64,
        /// Inner diameter of the coils, m.
        inner_diameter: f64,
        /// Inner diameter less that of the arbor, m; None without an arbor.
        clearance: Option<f64>,
        /// Length of the body along its axis, m.
        body_length: f64,
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

attributes! {
    impl PyTorsionLife {
        /// Mean bending stress of the cycle, Pa.
        mean: f64 = |v| v.cycle.mean,
        /// Alternating bending stress of the cycle, Pa.
        alternating: f64 = |v| v.cycle.alternating,
        /// The cycles asked for.
        cycles: f64,
        /// Safety against breaking within them.
        safety: f64,
        /// Safety against yielding under the greatest torque.
        static_safety: f64,
        /// Whether it neither breaks nor yields.
        holds(): bool,
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

attributes! {
    impl PySizedExtension {
        /// The spring.
        spring: PyExtensionSpring = |v| PyExtensionSpring(v.spring.clone()),
        /// Length inside the hooks at the beginning and at the end of the travel, m.
        lengths: (f64, f64) = |v| v.lengths.into(),
        /// Tension there, N.
        tensions: (f64, f64) = |v| v.tensions.into(),
        /// Safety of body and hooks against yielding at the end of the travel.
        static_safety: f64,
        /// Safety against breaking within the cycles asked for; None if no life was.
        life_safety: Option<f64>,
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

attributes! {
    impl PySizedTorsion {
        /// The spring.
        spring: PyTorsionSpring = |v| PyTorsionSpring(v.spring.clone()),
        /// Angles by which it is wound up at the beginning and at the end of the travel, rad.
        angles: (f64, f64) = |v| v.angles.into(),
        /// Torque there, N m.
        torques: (f64, f64) = |v| v.torques.into(),
        /// Safety against yielding at the end of the travel.
        static_safety: f64,
        /// Safety against breaking within the cycles asked for; None if no life was.
        life_safety: Option<f64>,
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
