//! Compression springs, fatigue, and the search for springs.

use numpy::IntoPyArray;
use pyo3::prelude::*;
use pyo3::types::PyDict;
use serde::{Deserialize, Serialize};

use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Count, Floats1, Mask, Numbers};
use crate::python::gate::errors::InvalidValueError;
use crate::python::gate::long::long;
use crate::python::gate::sequence::{Few, Many};
use crate::python::search::PySearchResult;
use crate::python::spring::law::PyLinearSpring;
use crate::python::spring::wire::{PyWire, WireIn};
use crate::spring::{
    self, CoilDiameter, CoilEnds, CompressionDemand, CompressionSpring, CompressionSpringSpec,
    CurvatureFactor, Cycle, DesignCode, EndFixity, Endurance, FatigueCriterion, LengthValues,
    LifeDemand, LifeVerdict, Presetting, RankBy, Service, SizedSpring, SizingTarget, Turns,
    WireSurface,
};

pub(in crate::python) fn surface(text: &str) -> crate::Result<WireSurface> {
    text.parse::<WireSurface>()
}

pub(in crate::python) fn criterion(text: &str) -> crate::Result<FatigueCriterion> {
    text.parse::<FatigueCriterion>()
}

fn end_fixity(text: &str) -> crate::Result<EndFixity> {
    text.parse::<EndFixity>()
}

/// The coil diameter from exactly one of three.
pub(in crate::python) fn coil_in(
    outer: Option<f64>,
    mean: Option<f64>,
    inner: Option<f64>,
) -> PyResult<CoilDiameter> {
    match (outer, mean, inner) {
        (Some(outer), None, None) => Ok(CoilDiameter::Outer(outer)),
        (None, Some(mean), None) => Ok(CoilDiameter::Mean(mean)),
        (None, None, Some(inner)) => Ok(CoilDiameter::Inner(inner)),
        _ => Err(InvalidValueError::new_err(
            "give exactly one of outer_diameter, mean_diameter and inner_diameter",
        )),
    }
}

fn turns_in(active: Option<f64>, total: Option<f64>) -> PyResult<Turns> {
    match (active, total) {
        (Some(active), None) => Ok(Turns::Active(active)),
        (None, Some(total)) => Ok(Turns::Total(total)),
        _ => Err(InvalidValueError::new_err(
            "give exactly one of active_turns and total_turns",
        )),
    }
}

fn masked(py: Python<'_>, all: LengthValues) -> (Floats1<'_>, Mask<'_>) {
    (all.values.into_pyarray(py), all.valid.into_pyarray(py))
}

/// A helical compression spring of round wire.
///
/// wire: a Wire or the name of one. Give one of outer_diameter, mean_diameter, inner_diameter (m), and one of
/// active_turns, total_turns. free_length: m. ends: "plain", "plain ground", "squared" or "squared ground". presetting:
/// "as wound" or "set removed". curvature: "Bergstraesser" (also EN 13906-1) or "Wahl". design_code: "Shigley" or "EN
/// 13906", whose rules hold where they differ.
///
/// A compressed spring that slips off its seat hits hard: guide it, protect your eyes, keep fingers from between the
/// coils. For simulators only.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import mm
/// >>> spring = yw.spring.CompressionSpring(
/// ...     wire="EN 10270-1 SM",
/// ...     wire_diameter=2 * mm,
/// ...     outer_diameter=18 * mm,
/// ...     active_turns=8,
/// ...     free_length=50 * mm,
/// ... )
/// >>> print(f"{spring.rate / 1000:.2f} N/mm, solid at {spring.solid_length / mm:.1f} mm")
/// 4.97 N/mm, solid at 20.0 mm
#[pyclass(frozen, eq, module = "yokewright.spring", name = "CompressionSpring")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyCompressionSpring(pub(in crate::python) CompressionSpring);

attributes! {
    impl PyCompressionSpring {
        /// Material.
        wire: PyWire = |v| PyWire(v.wire().clone()),
        /// Diameter of the wire, m.
        wire_diameter(): f64,
        /// Diameter of the coil from the middle of the wire to the middle of the wire, m.
        mean_diameter(): f64,
        /// Diameter over the wire, m, without load.
        outer_diameter(): f64,
        /// Diameter between the wire, m.
        inner_diameter(): f64,
        /// Turns that spring.
        active_turns(): f64,
        /// All turns.
        total_turns(): f64,
        /// Length without load, m.
        free_length(): f64,
        /// How the ends are made.
        ends: String = |v| v.spec().ends.to_string(),
        /// Whether its set was removed.
        presetting: String = |v| v.spec().presetting.to_string(),
        /// Whose curvature factor.
        curvature: String = |v| v.spec().curvature.to_string(),
        /// Whose rules.
        design_code: String = |v| v.spec().design_code.to_string(),
        /// Spring index: mean diameter over wire diameter.
        index(): f64,
        /// Rate, N/m.
        rate(): f64,
        /// Length when all coils touch, m.
        solid_length(): f64,
        /// Force that closes all coils, N.
        solid_force(): f64,
        /// Pitch of the active turns without load, m.
        pitch(): f64,
        /// Length of the wire in it, m.
        wire_length(): f64,
        /// Mass, kg.
        mass(): f64,
        /// Mass of the active turns, kg.
        active_mass(): f64,
        /// Factor by which the curvature of the wire raises the stress.
        curvature_factor(): f64,
        /// Least tensile strength of its wire, Pa.
        tensile_strength(): f64,
        /// Shear stress that a static load may cause, Pa.
        allowable_stress(): f64,
        /// Force at which it begins to take a set, N.
        yield_force(): f64,
        /// Safety against taking a set when pressed solid; recommended is 1.2.
        solid_safety(): f64,
        /// Lowest frequency at which its coils surge between two plates, Hz.
        surge_frequency(): f64,
    }

    #[new]
    #[pyo3(signature = (*, wire, wire_diameter, free_length, outer_diameter = None, mean_diameter = None,
        inner_diameter = None,
        active_turns = None, total_turns = None, ends = "squared ground", presetting = "as wound",
            curvature = "Bergstraesser",
        design_code = "Shigley"))]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        wire: WireIn,
        wire_diameter: f64,
        free_length: f64,
        outer_diameter: Option<f64>,
        mean_diameter: Option<f64>,
        inner_diameter: Option<f64>,
        active_turns: Option<f64>,
        total_turns: Option<f64>,
        ends: &str,
        presetting: &str,
        curvature: &str,
        design_code: &str,
    ) -> PyResult<Self> {
        Ok(Self(CompressionSpring::new(CompressionSpringSpec {
            wire: wire.0,
            wire_diameter,
            coil: coil_in(outer_diameter, mean_diameter, inner_diameter)?,
            turns: turns_in(active_turns, total_turns)?,
            free_length,
            ends: ends.parse::<CoilEnds>()?,
            presetting: presetting.parse::<Presetting>()?,
            curvature: curvature.parse::<CurvatureFactor>()?,
            design_code: design_code.parse::<DesignCode>()?,
        })?))
    }

    /// What it does between two points: from solid to free, slack beyond.
    #[getter]
    fn line_spring(&self) -> PyResult<PyLinearSpring> {
        Ok(PyLinearSpring(self.0.line_spring()?))
    }

    /// Force at a length (m), N; zero above the free length.
    fn force(&self, length: f64) -> PyResult<f64> {
        Ok(self.0.force(length)?)
    }

    /// Force at each length (N,): N, shape (N,), and a mask; lengths below solid are NaN and False.
    fn forces<'py>(
        &self,
        py: Python<'py>,
        lengths: Numbers<'py>,
    ) -> PyResult<(Floats1<'py>, Mask<'py>)> {
        let lengths = lengths.to_vec();
        Ok(masked(py, long(py, || self.0.forces(&lengths))?))
    }

    /// Length at which it pushes with a force (N), m.
    fn length(&self, force: f64) -> PyResult<f64> {
        Ok(self.0.length(force)?)
    }

    /// Shear stress under a force (N), with the curvature factor, Pa.
    fn stress(&self, force: f64) -> PyResult<f64> {
        Ok(self.0.stress(force)?)
    }

    /// Shear stress with the curvature factor at each length (N,): Pa, shape (N,), and a mask; lengths below solid are
    /// NaN and False.
    fn stresses<'py>(
        &self,
        py: Python<'py>,
        lengths: Numbers<'py>,
    ) -> PyResult<(Floats1<'py>, Mask<'py>)> {
        let lengths = lengths.to_vec();
        Ok(masked(py, long(py, || self.0.stresses(&lengths))?))
    }

    /// Shear stress under a force (N) without any factor, Pa.
    fn nominal_stress(&self, force: f64) -> PyResult<f64> {
        Ok(self.0.nominal_stress(force)?)
    }

    /// Safety against yielding under a force (N).
    fn static_safety(&self, force: f64) -> PyResult<f64> {
        Ok(self.0.static_safety(force)?)
    }

    /// How much more force it takes to close the coils than there is at a length (m), as a share.
    fn clash_allowance(&self, length: f64) -> PyResult<f64> {
        Ok(self.0.clash_allowance(length)?)
    }

    /// The shortest length to use, m. service: "static" or "dynamic", which only EN 13906 distinguishes.
    #[pyo3(signature = (service = "static"))]
    fn min_working_length(&self, service: &str) -> PyResult<f64> {
        let service = service.parse::<Service>()?;
        Ok(self.0.min_working_length(service))
    }

    /// The longest free length that never buckles, m. end_fixity: "fixed-fixed", "fixed-pinned", "pinned-pinned" or
    /// "fixed-free".
    #[pyo3(signature = (end_fixity = "fixed-fixed"))]
    fn stable_free_length(&self, end_fixity: &str) -> PyResult<f64> {
        Ok(self.0.stable_free_length(self::end_fixity(end_fixity)?))
    }

    /// How far it can be compressed before it buckles, m; None if it goes solid first. end_fixity as in
    /// stable_free_length.
    #[pyo3(signature = (end_fixity = "fixed-fixed"))]
    fn critical_deflection(&self, end_fixity: &str) -> PyResult<Option<f64>> {
        Ok(self.0.critical_deflection(self::end_fixity(end_fixity)?))
    }

    /// Diameter over the wire at a length (m), m: compressed coils grow.
    fn outer_diameter_at(&self, length: f64) -> PyResult<f64> {
        Ok(self.0.outer_diameter_at(length)?)
    }

    /// Whether it lasts a number of cycles between two forces (N), by Zimmerli's data.
    ///
    /// surface: "unpeened" or "peened". criterion: "Gerber", "Goodman" or "Sines".
    #[pyo3(signature = (forces, *, cycles = 1e6, surface = "unpeened", criterion = "Gerber"),
           text_signature = "($self, forces, *, cycles=1000000.0, surface='unpeened', criterion='Gerber')")]
    fn fatigue(
        &self,
        forces: Few<2>,
        cycles: f64,
        surface: &str,
        criterion: &str,
    ) -> PyResult<PyLifeVerdict> {
        let (surface, criterion) = (self::surface(surface)?, self::criterion(criterion)?);
        let verdict = self.0.fatigue(forces.into(), surface, criterion, cycles)?;
        Ok(PyLifeVerdict(verdict))
    }

    fn __repr__(&self) -> String {
        let spring = &self.0;
        format!(
            "CompressionSpring(wire={}, wire_diameter={:?}, mean_diameter={:?}, active_turns={:?}, free_length={:?}, \
                ends='{}', presetting='{}', curvature='{}', design_code='{}')",
            self.wire().__repr__(),
            spring.wire_diameter(),
            spring.mean_diameter(),
            spring.active_turns(),
            spring.free_length(),
            self.ends(),
            self.presetting(),
            self.curvature(),
            self.design_code(),
        )
    }

    fn __getnewargs_ex__<'py>(&self, py: Python<'py>) -> PyResult<((), Bound<'py, PyDict>)> {
        let spec = self.0.spec();
        let named = PyDict::new(py);
        named.set_item("wire", self.wire())?;
        named.set_item("wire_diameter", spec.wire_diameter)?;
        match spec.coil {
            CoilDiameter::Outer(outer) => named.set_item("outer_diameter", outer)?,
            CoilDiameter::Mean(mean) => named.set_item("mean_diameter", mean)?,
            CoilDiameter::Inner(inner) => named.set_item("inner_diameter", inner)?,
        }
        match spec.turns {
            Turns::Active(turns) => named.set_item("active_turns", turns)?,
            Turns::Total(turns) => named.set_item("total_turns", turns)?,
        }
        named.set_item("free_length", spec.free_length)?;
        named.set_item("ends", self.ends())?;
        named.set_item("presetting", self.presetting())?;
        named.set_item("curvature", self.curvature())?;
        named.set_item("design_code", self.design_code())?;
        Ok(((), named))
    }
}

/// What a part endures: a point of endless life that tests gave, the ultimate strength, and the line drawn between
/// them.
///
/// alternating, mean: stresses (Pa) that are borne for a million cycles. ultimate: strength in the same kind of stress,
/// Pa. criterion: how the mean counts, "Gerber", "Goodman" or "Sines". Endurance.zimmerli(...) for springs of steel
/// wire.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "Endurance")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyEndurance(Endurance);

attributes! {
    impl PyEndurance {
        /// Alternating stress of endless life at the mean stress of the test, Pa.
        alternating(): f64,
        /// Mean stress of the test, Pa.
        mean(): f64,
        /// Ultimate strength in the same kind of stress, Pa.
        ultimate(): f64,
        /// How the mean stress counts.
        criterion: String = |v| v.criterion().to_string(),
        /// Alternating stress of endless life without mean stress, Pa.
        fully_reversed(): f64,
    }

    #[new]
    #[pyo3(signature = (alternating, mean, ultimate, criterion = "Gerber"))]
    fn new(alternating: f64, mean: f64, ultimate: f64, criterion: &str) -> PyResult<Self> {
        let criterion = self::criterion(criterion)?;
        Ok(Self(Endurance::new(
            alternating,
            mean,
            ultimate,
            criterion,
        )?))
    }

    /// In shear, for springs of a steel wire (a Wire or its name) of a diameter (m) up to 10 mm, "unpeened" or
    /// "peened".
    #[staticmethod]
    #[pyo3(signature = (wire, wire_diameter, surface = "unpeened", criterion = "Gerber"))]
    fn zimmerli(
        wire: WireIn,
        wire_diameter: f64,
        surface: &str,
        criterion: &str,
    ) -> PyResult<Self> {
        let (surface, criterion) = (self::surface(surface)?, self::criterion(criterion)?);
        Ok(Self(Endurance::zimmerli(
            &wire.0,
            wire_diameter,
            surface,
            criterion,
        )?))
    }

    /// The same in bending, by distortion energy, for a wire of that tensile strength (Pa).
    fn in_bending(&self, tensile_strength: f64) -> PyResult<Self> {
        Ok(Self(self.0.in_bending(tensile_strength)?))
    }

    /// Alternating stress that is borne for a number of cycles at a mean stress (Pa), Pa.
    #[pyo3(signature = (mean, cycles = 1e6), text_signature = "($self, mean, cycles=1000000.0)")]
    fn alternating_at(&self, mean: f64, cycles: f64) -> PyResult<f64> {
        Ok(self.0.alternating_at(mean, cycles)?)
    }

    /// Factor by which a cycle between two stresses (Pa) may grow before it breaks the part in that many cycles.
    #[pyo3(signature = (stresses, cycles = 1e6), text_signature = "($self, stresses, cycles=1000000.0)")]
    fn safety(&self, stresses: Few<2>, cycles: f64) -> PyResult<f64> {
        Ok(self
            .0
            .safety(&Cycle::between(stresses.0[0], stresses.0[1])?, cycles)?)
    }

    /// How many cycles between two stresses (Pa) the part stands: infinity from a million on, 0 below a thousand.
    fn life(&self, stresses: Few<2>) -> PyResult<f64> {
        let life = self
            .0
            .life(&Cycle::between(stresses.0[0], stresses.0[1])?)?;
        Ok(life.cycles())
    }

    fn __repr__(&self) -> String {
        format!(
            "Endurance(alternating={:?}, mean={:?}, ultimate={:?}, criterion='{}')",
            self.alternating(),
            self.mean(),
            self.ultimate(),
            self.criterion()
        )
    }
}

/// Whether a spring lasts, and how well.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "LifeVerdict")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyLifeVerdict(pub(in crate::python) LifeVerdict);

attributes! {
    impl PyLifeVerdict {
        /// Mean stress of the cycle, Pa.
        mean: f64 = |v| v.cycle.mean,
        /// Alternating stress of the cycle, Pa.
        alternating: f64 = |v| v.cycle.alternating,
        /// What the spring endures.
        endurance: PyEndurance = |v| PyEndurance(v.endurance),
        /// The cycles asked for.
        cycles: f64,
        /// Safety against breaking within the cycles asked for.
        safety: f64,
        /// Safety against yielding under the greatest force.
        static_safety: f64,
        /// How many cycles it stands: infinity from a million on, 0 below a thousand.
        life: f64 = |v| v.life.cycles(),
        /// Whether it neither breaks nor yields.
        holds(): bool,
    }

    fn __repr__(&self) -> String {
        let (verdict, safety) = (&self.0, self.0.safety);
        let holds = if verdict.holds() {
            "holds"
        } else {
            "does not hold"
        };
        format!(
            "<LifeVerdict {holds} {} cycles, safety {safety:.3}>",
            verdict.cycles
        )
    }
}

/// A spring that does what was asked for.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "SizedSpring")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySizedSpring(SizedSpring);

attributes! {
    impl PySizedSpring {
        /// The spring.
        spring: PyCompressionSpring = |v| PyCompressionSpring(v.spring.clone()),
        /// Length at the beginning and at the end of the travel, m.
        lengths: (f64, f64) = |v| v.lengths.into(),
        /// Force at the beginning and at the end of the travel, N.
        forces: (f64, f64) = |v| v.forces.into(),
        /// Safety against breaking within the cycles asked for, if a life was.
        life_safety: Option<f64>,
    }

    fn __repr__(&self) -> String {
        format!("<SizedSpring {}>", self.spring().__repr__())
    }
}

fn wanted(
    rate: Option<f64>,
    preload: Option<f64>,
    start_length: Option<f64>,
    force: Option<f64>,
    length: Option<f64>,
) -> PyResult<SizingTarget> {
    match (rate, preload, start_length, force, length) {
        (Some(rate), preload, start_length, None, None) => Ok(SizingTarget::Rate {
            rate,
            preload: preload.unwrap_or(0.0),
            start_length,
        }),
        (None, None, None, Some(force), Some(length)) => Ok(SizingTarget::Force { force, length }),
        _ => Err(InvalidValueError::new_err(
            "give either rate (with preload and start_length, if you like) or force and length",
        )),
    }
}

/// The compression springs that do a job in a space, the best of each wire diameter, ranked.
///
/// wires: Wires or names, each tried in every diameter in which it is sold. travel: m. Wanted is either a rate (N/m),
/// starting from a preload (N) at start_length (m; else the shortest that leaves room between the coils), or a force
/// (N) at a length (m), which is the end of the travel. bore, rod: hole that it must fit into and rod that must pass,
/// m. longest_free, longest_solid: m. end_fixity: as in CompressionSpring.stable_free_length, or None if it is guided.
/// cycles: how often it is compressed, None if seldom; surface, criterion and life_safety say how its life is judged.
/// index, active_turns: least and greatest. rank_by: "mass", "free length", "solid length", "outer diameter" or "solid
/// safety".
#[pyfunction]
#[pyo3(signature = (wires, *, travel, rate = None, preload = None, start_length = None, force = None, length = None,
    bore = None, rod = None,
    longest_free = None, longest_solid = None, end_fixity = Some("fixed-fixed"), cycles = None, surface = "unpeened",
        criterion = "Gerber",
    life_safety = 1.2, index = Few([4.0, 12.0]), active_turns = Few([3.0, 15.0]), clash_allowance = 0.15,
        solid_safety = 1.2, ends = "squared ground",
    presetting = "as wound", curvature = "Bergstraesser", design_code = "Shigley", coil_steps = Count(200),
        turn_steps = Count(25), rank_by = "mass"),
    text_signature = "(wires, *, travel, rate=None, preload=None, start_length=None, force=None, length=None, \
        bore=None, rod=None, longest_free=None, longest_solid=None, end_fixity='fixed-fixed', cycles=None, \
        surface='unpeened', criterion='Gerber', life_safety=1.2, index=(4.0, 12.0), active_turns=(3.0, 15.0), \
        clash_allowance=0.15, solid_safety=1.2, ends='squared ground', presetting='as wound', \
        curvature='Bergstraesser', design_code='Shigley', coil_steps=200, turn_steps=25, rank_by='mass')")]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn search_compression_springs(
    py: Python<'_>,
    wires: Many<WireIn>,
    travel: f64,
    rate: Option<f64>,
    preload: Option<f64>,
    start_length: Option<f64>,
    force: Option<f64>,
    length: Option<f64>,
    bore: Option<f64>,
    rod: Option<f64>,
    longest_free: Option<f64>,
    longest_solid: Option<f64>,
    end_fixity: Option<&str>,
    cycles: Option<f64>,
    surface: &str,
    criterion: &str,
    life_safety: f64,
    index: Few<2>,
    active_turns: Few<2>,
    clash_allowance: f64,
    solid_safety: f64,
    ends: &str,
    presetting: &str,
    curvature: &str,
    design_code: &str,
    coil_steps: Count,
    turn_steps: Count,
    rank_by: &str,
) -> PyResult<PySearchResult> {
    let (surface, criterion) = (self::surface(surface)?, self::criterion(criterion)?);
    let demand = CompressionDemand {
        wires: wires.into_iter().map(|wire| wire.0).collect(),
        wanted: wanted(rate, preload, start_length, force, length)?,
        travel,
        bore,
        rod,
        longest_free,
        longest_solid,
        end_fixity: end_fixity.map(self::end_fixity).transpose()?,
        life: cycles.map(|cycles| LifeDemand {
            cycles,
            surface,
            criterion,
            safety: life_safety,
        }),
        index: index.into(),
        active_turns: active_turns.into(),
        clash_allowance,
        solid_safety,
        ends: ends.parse::<CoilEnds>()?,
        presetting: presetting.parse::<Presetting>()?,
        curvature: curvature.parse::<CurvatureFactor>()?,
        design_code: design_code.parse::<DesignCode>()?,
        coil_steps: coil_steps.0,
        turn_steps: turn_steps.0,
        rank_by: rank_by.parse::<RankBy>()?,
    };
    PySearchResult::of(
        py,
        long(py, || spring::search_compression_springs(&demand))??,
        PySizedSpring,
    )
}
