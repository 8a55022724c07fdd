//! A control under its springs and weights: force against travel, centering, swing and release.

use numpy::{PyArray1, PyArray2};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use serde::{Deserialize, Serialize};

use crate::feel::{
    ApproachSide, Bearing, Centering, Control, ControlSpec, ControlState, Equilibrium,
    EquilibriumBand, EquilibriumKind, ForceCurve, FreeResponse, FreeResponseSpec, GRAVITY,
    SecondOrderResponse, SpringChoice, SpringDemand, SpringEnvelope, SpringFit, SpringLayout,
    SpringOperatingPoint, TargetValue, Way,
};
use crate::python::feel::elements::{AnyLineSpring, PyAnchor, PyDrive, PyElement};
use crate::python::feel::guidance::PyControlMeasurements;
use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Column, View};
use crate::python::gate::convert::{
    Count, Floats1, Floats2, Numbers, Triple, TwoPoints, vector_out,
};
use crate::python::gate::errors::{InvalidTypeError, shown};
use crate::python::gate::long::long;
use crate::python::gate::sequence::{Few, Many};
use crate::python::linkage::stick::PyPivot;
use crate::python::search::PySearchResult;

/// "outer" (the only or the outer angle) or "inner", and where the other one is held.
fn way(moving: &str, held: f64) -> crate::Result<Way> {
    match moving {
        "outer" => Ok(Way::Outer(held)),
        "inner" => Ok(Way::Inner(held)),
        _ => Err(crate::Error::NotAChoice {
            quantity: "angle that moves",
            given: moving.to_owned(),
            choices: "outer, inner".to_owned(),
        }),
    }
}

fn side(from: &str) -> crate::Result<ApproachSide> {
    match from {
        "above" => Ok(ApproachSide::Above),
        "below" => Ok(ApproachSide::Below),
        _ => Err(crate::Error::NotAChoice {
            quantity: "side from which the position is approached",
            given: from.to_owned(),
            choices: "above, below".to_owned(),
        }),
    }
}

fn column<'py>(py: Python<'py>, values: &[f64]) -> Floats1<'py> {
    PyArray1::from_slice(py, values)
}

/// A stick, a pedal or a lever with all that pulls, presses and weighs on it.
///
/// pivots: one, or two of a gimbal (the outer one fixed, the inner one carried by it); travel: least and greatest angle
/// of each (rad), at its stops; grip: where the hand or foot works (m). All points are where they are with every angle
/// at zero. driven: bodies that the lever (or the ring of a gimbal) drives. gravity: m/s^2.
///
/// Forces at the grip are what the hand has to apply along the way the grip goes, positive towards greater angles.
/// Where a force jumps, as at a breakout, there are two values, one from either side.
///
/// Springs under load throw parts into eyes and trap fingers; what carries a foot must stand an emergency press of over
/// a kilonewton. For simulators only.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg, mm
/// >>> spring = yw.spring.LinearSpring(rate=500.0, free_length=60 * mm, action="above")
/// >>> control = yw.feel.Control(
/// ...     pivots=[yw.linkage.Pivot((0, 0, 0), (1, 0, 0))],
/// ...     travel=[(-15 * deg, 15 * deg)],
/// ...     grip=(0, 0, 0.4),
/// ...     elements=[
/// ...         yw.feel.Element.line(
/// ...             spring,
/// ...             yw.feel.Anchor("lever", (0, side * 10 * mm, 100 * mm)),
/// ...             yw.feel.Anchor("ground", (0, side * 90 * mm, 100 * mm)),
/// ...         )
/// ...         for side in (-1, 1)
/// ...     ],
/// ... )
/// >>> print(f"{control.curve().force[-1]:.2f} N at the stop")
/// 5.74 N at the stop
#[pyclass(frozen, eq, module = "yokewright.feel", name = "Control")]
pub(in crate::python) struct PyControl {
    pub(in crate::python) control: Control,
    pivots: Vec<Py<PyPivot>>,
    driven: Vec<Py<PyDrive>>,
    elements: Vec<Py<PyElement>>,
}

impl PartialEq for PyControl {
    fn eq(&self, other: &Self) -> bool {
        self.control == other.control
    }
}

#[pymethods]
impl PyControl {
    #[new]
    #[pyo3(signature = (*, pivots, travel, grip, elements = Many::none(), driven = Many::none(),
        gravity = Triple([GRAVITY.x, GRAVITY.y, GRAVITY.z])),
           text_signature = "(*, pivots, travel, grip, elements=(), driven=(), gravity=(0.0, 0.0, -9.80665))")]
    fn new(
        pivots: Many<Py<PyPivot>>,
        travel: Many<Few<2>>,
        grip: Triple,
        elements: Many<Py<PyElement>>,
        driven: Many<Py<PyDrive>>,
        gravity: Triple,
    ) -> PyResult<Self> {
        let bearing = match &*pivots {
            [pivot] => Bearing::Single(pivot.get().0),
            [outer, inner] => Bearing::Gimbal {
                outer: outer.get().0,
                inner: inner.get().0,
            },
            other => return Err(count_of_pivots(other.len()).into()),
        };
        let control = Control::new(ControlSpec {
            bearing,
            travel: travel.into_iter().map(<[f64; 2]>::from).collect(),
            grip: grip.point(),
            driven: driven.iter().map(|drive| drive.get().0.clone()).collect(),
            elements: elements
                .iter()
                .map(|one| one.get().element.clone())
                .collect(),
            gravity: gravity.vector(),
        })?;
        Ok(Self {
            control,
            pivots: pivots.into_vec(),
            driven: driven.into_vec(),
            elements: elements.into_vec(),
        })
    }

    /// One pivot, or the outer and the inner one.
    #[getter]
    fn pivots(&self, py: Python<'_>) -> Vec<Py<PyPivot>> {
        self.pivots.iter().map(|one| one.clone_ref(py)).collect()
    }

    /// Least and greatest value of each angle, rad.
    #[getter]
    fn travel(&self) -> Vec<(f64, f64)> {
        self.control
            .spec()
            .travel
            .iter()
            .map(|travel| (*travel).into())
            .collect()
    }

    /// Where the hand or foot works, with every angle at zero, m, shape (3,).
    #[getter]
    fn grip<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.control.spec().grip.coords)
    }

    /// What acts on it.
    #[getter]
    fn elements<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        PyTuple::new(py, self.elements.iter().map(|one| one.bind(py)))
    }

    /// Bodies that it drives.
    #[getter]
    fn driven<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        PyTuple::new(py, self.driven.iter().map(|one| one.bind(py)))
    }

    /// Acceleration of gravity, m/s^2, shape (3,).
    #[getter]
    fn gravity<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.control.spec().gravity)
    }

    /// The same control with other elements.
    fn with_elements(&self, elements: Many<Py<PyElement>>, py: Python<'_>) -> PyResult<Self> {
        let parts = elements
            .iter()
            .map(|one| one.get().element.clone())
            .collect();
        Ok(Self {
            control: self.control.with_elements(parts)?,
            pivots: self.pivots.iter().map(|one| one.clone_ref(py)).collect(),
            driven: self.driven.iter().map(|one| one.clone_ref(py)).collect(),
            elements: elements.into_vec(),
        })
    }

    /// Everything at the given angles (rad, one for each pivot); where a force jumps, the limit from "above" or
    /// "below".
    #[pyo3(signature = (angles, side = "above"))]
    fn state(&self, angles: Numbers<'_>, side: &str) -> PyResult<PyControlState> {
        let side = self::side(side)?;
        Ok(PyControlState(
            self.control.state_from(&angles.to_vec(), side)?,
        ))
    }

    /// The force against travel at equally spaced angles from stop to stop, and twice where a force jumps.
    ///
    /// moving: "outer" (the only or the outer angle) or "inner"; held: where the other angle stays, rad.
    #[pyo3(signature = (points = Count(201), moving = "outer", held = 0.0),
           text_signature = "($self, points=201, moving='outer', held=0.0)")]
    fn curve(
        &self,
        py: Python<'_>,
        points: Count,
        moving: &str,
        held: f64,
    ) -> PyResult<PyForceCurve> {
        let way = way(moving, held)?;
        Ok(PyForceCurve::of(long(py, || {
            self.control.curve(way, points.0)
        })??))
    }

    /// Where the control comes to rest without friction: equilibria, breakouts, and stops that it is pushed against.
    #[pyo3(signature = (moving = "outer", held = 0.0))]
    fn equilibrium_bands(
        &self,
        py: Python<'_>,
        moving: &str,
        held: f64,
    ) -> PyResult<Vec<PyEquilibriumBand>> {
        let way = way(moving, held)?;
        let rests = long(py, || self.control.equilibrium_bands(way))??;
        Ok(rests.into_iter().map(PyEquilibriumBand).collect())
    }

    /// How well it centers against its friction.
    #[pyo3(signature = (moving = "outer", held = 0.0))]
    fn centering(&self, py: Python<'_>, moving: &str, held: f64) -> PyResult<PyCentering> {
        let way = way(moving, held)?;
        Ok(PyCentering(long(py, || self.control.centering(way))??))
    }

    /// Forces (N) on the lower and the upper stop, at radius (m) from the pivot, when the hand presses with hand_force
    /// (N) at the grip.
    ///
    /// A foot presses with over a kilonewton in an emergency: have what carries it checked by someone qualified.
    #[pyo3(signature = (hand_force, radius, moving = "outer", held = 0.0))]
    fn stop_forces(
        &self,
        hand_force: f64,
        radius: f64,
        moving: &str,
        held: f64,
    ) -> PyResult<(f64, f64)> {
        let way = way(moving, held)?;
        Ok(self.control.stop_forces(way, hand_force, radius)?.into())
    }

    /// What each spring goes through over the whole gate, looked at on a grid of points for each axis.
    #[pyo3(signature = (points = Count(41)), text_signature = "($self, points=41)")]
    fn spring_envelopes(&self, py: Python<'_>, points: Count) -> PyResult<Vec<PySpringEnvelope>> {
        let spans = long(py, || self.control.spring_envelopes(points.0))??;
        Ok(spans.into_iter().map(PySpringEnvelope).collect())
    }

    /// Where it comes to rest when it is let go slowly at the angles start (rad), without friction.
    fn equilibrium(&self, py: Python<'_>, start: Numbers<'_>) -> PyResult<PyEquilibrium> {
        let start = start.to_vec();
        Ok(PyEquilibrium(long(py, || {
            self.control.equilibrium(&start)
        })??))
    }

    /// The swing about its rest for small angles: stiffness, inertia and viscous damping; without Coulomb friction.
    #[pyo3(signature = (moving = "outer", held = 0.0))]
    fn second_order_response(&self, moving: &str, held: f64) -> PyResult<PySecondOrderResponse> {
        Ok(PySecondOrderResponse(
            self.control.second_order_response(way(moving, held)?)?,
        ))
    }

    /// Lets the control go at rest at start (rad) and follows it for duration (s), with friction, stops and all.
    ///
    /// points: number of equally spaced times to report. rebound: share of the speed with which it comes back from a
    /// stop.
    #[pyo3(signature = (start, duration, points = Count(501), rebound = 0.0, moving = "outer", held = 0.0),
           text_signature = "($self, start, duration, points=501, rebound=0.0, moving='outer', held=0.0)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn free_response(
        &self,
        py: Python<'_>,
        start: f64,
        duration: f64,
        points: Count,
        rebound: f64,
        moving: &str,
        held: f64,
    ) -> PyResult<PyFreeResponse> {
        let spec = FreeResponseSpec {
            way: way(moving, held)?,
            start,
            duration,
            points: points.0,
            rebound,
        };
        Ok(PyFreeResponse::of(long(py, || {
            self.control.free_response(&spec)
        })??))
    }

    /// Searches for springs and anchors that give a wanted feel, beside all that the control has already; best first.
    ///
    /// body: on which the springs pull, the other end is on the ground. on_body and on_ground: two corners (m) of the
    /// boxes for the anchors. choices: springs, or (rate, stroke, least preload, greatest preload) for one captured
    /// between collars. mirror: normal of the plane in which a second spring is the mirror image; None for one spring.
    /// full_force (N at the stops), gradient (N/m at the center), breakout (N): (value, tolerance) each, or None.
    /// starts: from how many places to search for each spring.
    #[pyo3(signature = (choices, *, body, on_body, on_ground, mirror = None, full_force = None, gradient = None,
        breakout = None,
                        may_be_slack = false, starts = Count(16), moving = "outer", held = 0.0),
           text_signature = "($self, choices, *, body, on_body, on_ground, mirror=None, full_force=None, \
               gradient=None, breakout=None, may_be_slack=False, starts=16, moving='outer', held=0.0)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn search_springs(
        &self,
        py: Python<'_>,
        choices: Many<Choice>,
        body: &str,
        on_body: TwoPoints,
        on_ground: TwoPoints,
        mirror: Option<Triple>,
        full_force: Option<Few<2>>,
        gradient: Option<Few<2>>,
        breakout: Option<Few<2>>,
        may_be_slack: bool,
        starts: Count,
        moving: &str,
        held: f64,
    ) -> PyResult<PySearchResult> {
        let spec = demand(
            choices.into_vec(),
            body,
            on_body,
            on_ground,
            mirror,
            full_force,
            gradient,
            breakout,
            may_be_slack,
            starts,
            moving,
            held,
        )?;
        let result = long(py, || self.control.search_springs(&spec))??;
        PySearchResult::of(py, result, PySpringFit)
    }

    /// Searches for several springs or pairs at once, as for pitch and roll of a stick, where each pair is felt on both
    /// axes; best first.
    ///
    /// demands: one SpringDemand for each, at most 8. Each answer is a list with one SpringFit for every demand, in
    /// their order, measured with all springs in place; there is one answer for each combination of springs (at most
    /// 10000) that meets every demand.
    fn search_springs_together(
        &self,
        py: Python<'_>,
        demands: Many<Py<PySpringDemand>>,
    ) -> PyResult<PySearchResult> {
        let specs: Vec<SpringDemand> = demands.iter().map(|one| one.get().spec.clone()).collect();
        let result = long(py, || self.control.search_springs_together(&specs))??;
        let wrap = |fits: Vec<SpringFit>| fits.into_iter().map(PySpringFit).collect::<Vec<_>>();
        PySearchResult::of(py, result, wrap)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let text = |object: Bound<'_, PyAny>| object.repr().map(|text| text.to_string());
        let pivots: Vec<String> = self.pivots.iter().map(|one| one.get().__repr__()).collect();
        Ok(format!(
            "Control(pivots=[{}], travel={:?}, grip={:?}, elements={}, driven={}, gravity={:?})",
            pivots.join(", "),
            self.travel(),
            self.control.spec().grip.coords.as_slice(),
            text(self.elements(py)?.into_any())?,
            text(self.driven(py)?.into_any())?,
            self.control.spec().gravity.as_slice(),
        ))
    }
}

fn count_of_pivots(count: usize) -> crate::Error {
    crate::Error::Count {
        quantity: "pivots of the control",
        count,
        min: 1,
        max: 2,
    }
}

/// A control at one position.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "ControlState")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyControlState(ControlState);

attributes! {
    impl PyControlState {
        /// Energy of springs, weights and magnets, J.
        energy: f64,
        /// What the springs do.
        lines: Vec<PySpringOperatingPoint> = |v| v.lines.iter().copied().map(PySpringOperatingPoint).collect(),
    }

    /// The angles, rad, shape (axes,).
    #[getter]
    fn angles<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        column(py, &self.0.angles)
    }

    /// Torque of all that acts about each pivot, N m, shape (axes,).
    #[getter]
    fn torque<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        column(py, &self.0.torque)
    }

    /// Second derivatives of the energy, N m/rad, shape (axes, axes); off the diagonal: what couples the axes.
    #[getter]
    fn stiffness<'py>(&self, py: Python<'py>) -> PyResult<Floats2<'py>> {
        Ok(PyArray2::from_vec2(py, &self.0.stiffness)?)
    }

    /// Force at the grip that holds each angle, N, along the way the grip goes when only that angle grows, shape
    /// (axes,).
    #[getter]
    fn force<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        column(py, &self.0.force)
    }

    /// The least force at the grip that holds all angles at once, N, shape (3,).
    #[getter]
    fn hold<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.hold)
    }

    /// Distance of the grip from each pivot, m, shape (axes,).
    #[getter]
    fn arm<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        column(py, &self.0.arm)
    }

    /// Where the grip is, m, shape (3,).
    #[getter]
    fn grip<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.grip.coords)
    }

    fn __repr__(&self) -> String {
        format!(
            "<ControlState at {:?} rad: force {:?} N, torque {:?} N m>",
            self.0.angles, self.0.force, self.0.torque
        )
    }
}

/// A spring at one position of the control.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "SpringOperatingPoint")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySpringOperatingPoint(SpringOperatingPoint);

attributes! {
    impl PySpringOperatingPoint {
        /// Number of the element among those of the control.
        element: usize,
        /// Distance of the anchors, m.
        length: f64,
        /// Force that pulls the ends together, N.
        tension: f64,
        /// "slack", "working", "solid" or "overstretched".
        state: String = |v| v.state.to_string(),
    }

    fn __repr__(&self) -> String {
        format!(
            "<SpringOperatingPoint element {}: {:?} m, {:?} N, {}>",
            self.0.element, self.0.length, self.0.tension, self.0.state
        )
    }
}

/// Force against travel along one angle: rows of equal number; an angle at which a force jumps comes twice.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "ForceCurve")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PyForceCurve {
    value: ForceCurve,
    #[serde(skip)]
    columns: [Column; 7],
    #[serde(skip)]
    valid: Column<bool>,
}

impl PyForceCurve {
    pub(in crate::python) fn of(value: ForceCurve) -> Self {
        Self {
            value,
            columns: Default::default(),
            valid: Column::default(),
        }
    }
}

#[pymethods]
impl PyForceCurve {
    /// Angle, rad, shape (N,).
    #[getter]
    fn angle<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[0].view(py, &self.value.angle)
    }

    /// Way of the grip from angle zero along its arc, m, shape (N,).
    #[getter]
    fn way<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[1].view(py, &self.value.way)
    }

    /// Energy, J, shape (N,).
    #[getter]
    fn energy<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[2].view(py, &self.value.energy)
    }

    /// Torque of all that acts about the pivot, N m, shape (N,).
    #[getter]
    fn torque<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[3].view(py, &self.value.torque)
    }

    /// Stiffness, N m/rad, shape (N,).
    #[getter]
    fn stiffness<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[4].view(py, &self.value.stiffness)
    }

    /// Force at the grip that holds the control without friction, N, positive towards greater angles, shape (N,).
    #[getter]
    fn force<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[5].view(py, &self.value.force)
    }

    /// What friction adds to the force on the way up and takes from it on the way down, N, shape (N,).
    #[getter]
    fn friction<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[6].view(py, &self.value.friction)
    }

    /// Whether the row has values, shape (N,).
    #[getter]
    fn valid<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.valid.view(py, &self.value.valid)
    }

    /// What the curve measures, to set beside published figures.
    #[getter]
    fn measured(&self) -> PyControlMeasurements {
        PyControlMeasurements(self.value.measured())
    }

    fn __len__(&self) -> usize {
        self.value.len()
    }

    fn __repr__(&self) -> String {
        format!("<ForceCurve of {} rows>", self.value.len())
    }
}

/// A place or a stretch where the control stays.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "EquilibriumBand")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyEquilibriumBand(EquilibriumBand);

attributes! {
    impl PyEquilibriumBand {
        /// Where it begins, rad.
        lower: f64,
        /// Where it ends, rad; the same for a single place.
        upper: f64,
        /// Its middle, rad.
        middle(): f64,
        /// Whether the control comes back when it is moved a little to either side.
        stable: bool,
    }

    /// What keeps it there: "free" (springs, weights, friction), "jump" (a force that jumps, as at a breakout) or
    /// "stop".
    #[getter]
    fn kind(&self) -> &'static str {
        match self.0.kind {
            EquilibriumKind::Free => "free",
            EquilibriumKind::Jump => "jump",
            EquilibriumKind::Stop => "stop",
        }
    }

    fn __repr__(&self) -> String {
        let stable = if self.0.stable { "stable" } else { "unstable" };
        format!(
            "<EquilibriumBand {:?} to {:?} rad, {}, {stable}>",
            self.0.lower,
            self.0.upper,
            self.kind()
        )
    }
}

/// How well a control centers against its Coulomb friction.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "Centering")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCentering(Centering);

impl PyCentering {
    pub(in crate::python) fn of(value: Centering) -> Self {
        Self(value)
    }
}

attributes! {
    impl PyCentering {
        /// Every stretch in which the control stays when it is let go at rest.
        bands: Vec<PyEquilibriumBand> = |v| v.bands.iter().copied().map(PyEquilibriumBand).collect(),
        /// The band to which it comes back from both stops; None if there is none.
        center: Option<PyEquilibriumBand> = |v| v.center.map(PyEquilibriumBand),
        /// Whether it comes back to one and the same band from everywhere.
        centers(): bool,
        /// Where springs and weights alone would bring it, rad.
        neutral: Option<f64>,
        /// Greatest distance of the center band's ends from angle zero, rad.
        error: Option<f64>,
        /// Force at the grip that sets it in motion upward from the neutral, N.
        breakout_up: Option<f64>,
        /// The same downward, N.
        breakout_down: Option<f64>,
        /// Work that friction takes on a round trip, J: the area of the hysteresis loop.
        loop_area: f64,
    }

    /// The centering error in counts of a sensor that gives so many of them for a radian.
    fn error_counts(&self, counts_per_radian: f64) -> PyResult<Option<f64>> {
        Ok(self.0.error_counts(counts_per_radian)?)
    }

    fn __repr__(&self) -> String {
        match self.0.center {
            Some(band) => format!("<Centering from {:?} to {:?} rad>", band.lower, band.upper),
            None => "<Centering: does not center>".to_owned(),
        }
    }
}

/// What a spring goes through over the whole gate.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "SpringEnvelope")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySpringEnvelope(SpringEnvelope);

attributes! {
    impl PySpringEnvelope {
        /// Number of the element among those of the control.
        element: usize,
        /// Least distance of its anchors, m.
        shortest: f64 = |v| v.shortest.0,
        /// Greatest distance of its anchors, m.
        longest: f64 = |v| v.longest.0,
    }

    /// The angles where that is, rad, shape (axes,).
    #[getter]
    fn shortest_at<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        column(py, &self.0.shortest.1)
    }

    /// The angles where that is, rad, shape (axes,).
    #[getter]
    fn longest_at<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        column(py, &self.0.longest.1)
    }

    /// Angles at which it is slack, rad, shape (axes,); None if it never is.
    #[getter]
    fn slack<'py>(&self, py: Python<'py>) -> Option<Floats1<'py>> {
        self.0.slack.as_ref().map(|at| column(py, at))
    }

    /// Angles at which it is solid, or None.
    #[getter]
    fn solid<'py>(&self, py: Python<'py>) -> Option<Floats1<'py>> {
        self.0.solid.as_ref().map(|at| column(py, at))
    }

    /// Angles at which it is overstretched, or None.
    #[getter]
    fn overstretched<'py>(&self, py: Python<'py>) -> Option<Floats1<'py>> {
        self.0.overstretched.as_ref().map(|at| column(py, at))
    }

    /// Angles at which its length is off its table, or None.
    #[getter]
    fn refused<'py>(&self, py: Python<'py>) -> Option<Floats1<'py>> {
        self.0.refused.as_ref().map(|at| column(py, at))
    }

    fn __repr__(&self) -> String {
        format!(
            "<SpringEnvelope element {}: {:?} to {:?} m>",
            self.0.element, self.0.shortest.0, self.0.longest.0
        )
    }
}

/// Where a control comes to rest from a given position.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "Equilibrium")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyEquilibrium(Equilibrium);

attributes! {
    impl PyEquilibrium {
        /// Whether no small displacement within the stops lowers the energy.
        stable: bool,
        /// Least and greatest stiffness there, N m/rad.
        stiffness: (f64, f64) = |v| v.stiffness.into(),
    }

    /// The angles, rad, shape (axes,).
    #[getter]
    fn angles<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        column(py, &self.0.angles)
    }

    fn __repr__(&self) -> String {
        let stable = if self.0.stable { "stable" } else { "unstable" };
        format!("<Equilibrium at {:?} rad, {stable}>", self.0.angles)
    }
}

/// A control that swings about its center: inertia q'' + damping q' + stiffness q = 0.
///
/// stiffness: N m/rad, inertia: kg m^2, damping: N m s/rad, all about the pivot.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "SecondOrderResponse")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PySecondOrderResponse(SecondOrderResponse);

impl PySecondOrderResponse {
    pub(in crate::python) fn of(value: SecondOrderResponse) -> Self {
        Self(value)
    }
}

attributes! {
    impl PySecondOrderResponse {
        /// Stiffness, N m/rad.
        stiffness(): f64,
        /// Moment of inertia, kg m^2.
        inertia(): f64,
        /// Damping, N m s/rad.
        damping(): f64,
        /// Angular frequency without damping, rad/s.
        natural_frequency(): f64,
        /// Damping as a share of the critical one.
        damping_ratio(): f64,
        /// Time of a swing out and back, s; None if it creeps back.
        period(): Option<f64>,
        /// How far it swings past the center, as a share of where it was let go.
        overshoot(): f64,
    }

    #[new]
    #[pyo3(signature = (*, stiffness, inertia, damping = 0.0))]
    fn new(stiffness: f64, inertia: f64, damping: f64) -> PyResult<Self> {
        Ok(Self(SecondOrderResponse::new(stiffness, inertia, damping)?))
    }

    /// Time (s) after which it stays within share of where it was let go; None without damping.
    #[pyo3(signature = (share = 0.02))]
    fn settling_time(&self, share: f64) -> PyResult<Option<f64>> {
        Ok(self.0.settling_time(share)?)
    }

    /// Where it is after time (s), as a share of where it was let go at rest.
    fn share_after(&self, time: f64) -> PyResult<f64> {
        Ok(self.0.share_after(time)?)
    }

    fn __repr__(&self) -> String {
        format!(
            "SecondOrderResponse(stiffness={:?}, inertia={:?}, damping={:?})",
            self.stiffness(),
            self.inertia(),
            self.damping()
        )
    }
}

/// What a control does after it is let go.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "FreeResponse")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PyFreeResponse {
    value: FreeResponse,
    #[serde(skip)]
    columns: [Column; 5],
}

impl PyFreeResponse {
    pub(in crate::python) fn of(value: FreeResponse) -> Self {
        Self {
            value,
            columns: Default::default(),
        }
    }
}

#[pymethods]
impl PyFreeResponse {
    /// Times, s, shape (N,).
    #[getter]
    fn time<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[0].view(py, &self.value.time)
    }

    /// Angle, rad, shape (N,).
    #[getter]
    fn angle<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[1].view(py, &self.value.angle)
    }

    /// Speed, rad/s, shape (N,).
    #[getter]
    fn speed<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[2].view(py, &self.value.speed)
    }

    /// When (s) and where (rad) it turned back, shape (M, 2).
    #[getter]
    fn turns<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        let pairs = &self.value.turns;
        self.columns[3].table(py, pairs.as_flattened(), &[pairs.len(), 2])
    }

    /// When (s) and where (rad) it hit a stop, shape (M, 2).
    #[getter]
    fn stops<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        let pairs = &self.value.stops;
        self.columns[4].table(py, pairs.as_flattened(), &[pairs.len(), 2])
    }

    /// When (s) and where (rad) it came to rest for good; None if it still moves at the end.
    #[getter]
    fn rest(&self) -> Option<(f64, f64)> {
        self.value.rest.map(Into::into)
    }

    /// How far it swung past center (rad), as a share of its distance when let go; None if it was let go there.
    #[pyo3(signature = (center = 0.0))]
    fn overshoot(&self, center: f64) -> PyResult<Option<f64>> {
        Ok(self.value.overshoot(center)?)
    }

    /// Time (s) after which it stays within band (rad) of center (rad), between the times reported by straight lines;
    /// None if it does not.
    #[pyo3(signature = (band, center = 0.0))]
    fn settling_time(&self, band: f64, center: f64) -> PyResult<Option<f64>> {
        Ok(self.value.settling_time(center, band)?)
    }

    fn __repr__(&self) -> String {
        match self.value.rest {
            Some([time, angle]) => {
                format!("<FreeResponse: at rest after {time:?} s at {angle:?} rad>")
            }
            None => format!(
                "<FreeResponse: {} turns, still moving>",
                self.value.turns.len()
            ),
        }
    }
}

/// Springs and anchors that give a wanted feel.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "SpringFit")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySpringFit(SpringFit);

attributes! {
    impl PySpringFit {
        /// Number of the spring among the choices.
        choice: usize,
        /// Preload of a captured spring, N; None for others, whose preload follows from their anchors.
        preload(): Option<f64>,
        /// Greatest force at the grip at the stops, N.
        full_force: f64,
        /// Growth of the force at the grip on leaving the center, N/m.
        gradient: f64,
        /// Force at the grip that sets it in motion upward from the center, N.
        breakout: f64,
        /// Greatest miss of a wanted value, in its tolerances: 1 is just good enough.
        miss: f64,
    }

    /// Body and ground anchor of each spring, with every angle at zero.
    #[getter]
    fn anchors(&self) -> Vec<(PyAnchor, PyAnchor)> {
        let pair = |[a, b]: [_; 2]| (PyAnchor(a), PyAnchor(b));
        self.0
            .elements
            .iter()
            .filter_map(|one| one.anchors().map(pair))
            .collect()
    }

    fn __repr__(&self) -> String {
        format!(
            "<SpringFit choice {}: {:?} N at the stops, {:?} N/m, breakout {:?} N>",
            self.0.choice, self.0.full_force, self.0.gradient, self.0.breakout
        )
    }
}

/// What is sought of one spring or mirrored pair; Control.search_springs_together takes several.
///
/// The arguments are those of Control.search_springs: body on which the springs pull; on_body and on_ground, two
/// corners (m) of the boxes for the anchors; choices, springs or (rate, stroke, least preload, greatest preload) for
/// one captured between collars; mirror, normal of the plane in which a second spring is the mirror image; full_force
/// (N at the stops), gradient (N/m at the center), breakout (N), each (value, tolerance) or None; moving ("outer" or
/// "inner") the angle on which they are wanted, held (rad) where the other one stays meanwhile.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "SpringDemand")]
pub(in crate::python) struct PySpringDemand {
    spec: SpringDemand,
    given: Py<PyDict>,
}

impl PartialEq for PySpringDemand {
    fn eq(&self, other: &Self) -> bool {
        self.spec == other.spec
    }
}

#[pymethods]
impl PySpringDemand {
    #[new]
    #[pyo3(signature = (choices, *, body, on_body, on_ground, mirror = None, full_force = None, gradient = None,
        breakout = None,
                        may_be_slack = false, starts = Count(16), moving = "outer", held = 0.0),
           text_signature = "(choices, *, body, on_body, on_ground, mirror=None, full_force=None, gradient=None, \
               breakout=None, may_be_slack=False, starts=16, moving='outer', held=0.0)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        py: Python<'_>,
        choices: Many<Bound<'_, PyAny>>,
        body: &str,
        on_body: TwoPoints,
        on_ground: TwoPoints,
        mirror: Option<Triple>,
        full_force: Option<Few<2>>,
        gradient: Option<Few<2>>,
        breakout: Option<Few<2>>,
        may_be_slack: bool,
        starts: Count,
        moving: &str,
        held: f64,
    ) -> PyResult<Self> {
        let given = PyDict::new(py);
        let corners = |TwoPoints([a, b]): &TwoPoints| (a.0, b.0);
        let pair = |few: Option<Few<2>>| few.map(|Few([value, tolerance])| (value, tolerance));
        let choices = choices.into_vec();
        given.set_item("choices", &choices)?;
        given.set_item("body", body)?;
        given.set_item("on_body", corners(&on_body))?;
        given.set_item("on_ground", corners(&on_ground))?;
        given.set_item("mirror", mirror.as_ref().map(|normal| normal.0))?;
        given.set_item("full_force", pair(full_force))?;
        given.set_item("gradient", pair(gradient))?;
        given.set_item("breakout", pair(breakout))?;
        given.set_item("may_be_slack", may_be_slack)?;
        given.set_item("starts", starts.0)?;
        given.set_item("moving", moving)?;
        given.set_item("held", held)?;
        let choices: PyResult<Vec<Choice>> = choices.iter().map(|one| one.extract()).collect();
        let spec = demand(
            choices?,
            body,
            on_body,
            on_ground,
            mirror,
            full_force,
            gradient,
            breakout,
            may_be_slack,
            starts,
            moving,
            held,
        )?;
        Ok(Self {
            spec,
            given: given.unbind(),
        })
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let mut texts = Vec::new();
        for (name, value) in self.given.bind(py) {
            texts.push(format!("{name}={}", value.repr()?));
        }
        Ok(format!("SpringDemand({})", texts.join(", ")))
    }

    fn __getnewargs_ex__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyTuple>, Bound<'py, PyDict>)> {
        let named = self.given.bind(py).copy()?;
        let choices = named.get_item("choices")?;
        named.del_item("choices")?;
        Ok((PyTuple::new(py, choices)?, named))
    }
}

#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
fn demand(
    choices: Vec<Choice>,
    body: &str,
    on_body: TwoPoints,
    on_ground: TwoPoints,
    mirror: Option<Triple>,
    full_force: Option<Few<2>>,
    gradient: Option<Few<2>>,
    breakout: Option<Few<2>>,
    may_be_slack: bool,
    starts: Count,
    moving: &str,
    held: f64,
) -> crate::Result<SpringDemand> {
    Ok(SpringDemand {
        way: way(moving, held)?,
        body: body.parse()?,
        on_body: on_body.points(),
        on_ground: on_ground.points(),
        layout: mirror.map_or(SpringLayout::Single, |n| SpringLayout::Mirrored(n.vector())),
        choices: choices.into_iter().map(SpringChoice::from).collect(),
        may_be_slack,
        full_force: wanted(full_force),
        gradient: wanted(gradient),
        breakout: wanted(breakout),
        starts: starts.0,
    })
}

/// A spring that may be chosen: as it is, or a captured one as (rate in N/m, stroke in m, least preload in N, greatest
/// preload in N).
enum Choice {
    Captured(Few<4>),
    Spring(AnyLineSpring),
}

impl FromPyObject<'_, '_> for Choice {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        match (value.extract(), value.extract()) {
            (Ok(spring), _) => Ok(Self::Spring(spring)),
            (_, Ok(captured)) => Ok(Self::Captured(captured)),
            _ => Err(InvalidTypeError::new_err(format!(
                "a spring between two points, or four numbers (rate, stroke, least and greatest preload), is needed, \
                    got {}",
                shown(value)
            ))),
        }
    }
}

impl From<Choice> for SpringChoice {
    fn from(choice: Choice) -> Self {
        match choice {
            Choice::Spring(spring) => Self::Spring(spring.0),
            Choice::Captured(Few([rate, stroke, least, most])) => Self::Captured {
                rate,
                stroke,
                preload: [least, most],
            },
        }
    }
}

fn wanted(pair: Option<Few<2>>) -> Option<TargetValue> {
    pair.map(|Few([value, tolerance])| TargetValue { value, tolerance })
}
