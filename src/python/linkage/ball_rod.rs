//! Arms on pivots and the ball-joint rod between them.

use nalgebra::Vector3;
use numpy::IntoPyArray;
use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::linkage::{
    Arm, Assembly, BallRod, BallRodColumns, BallRodSpec, OutputShift, Range, RodEnd, RodLoads,
    TransferColumns,
};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Floats1, Mask, Numbers, Triple, vector_out};
use crate::python::gate::errors::InvalidValueError;
use crate::python::gate::long::long;
use crate::python::gate::out::Given;
use crate::python::gate::sequence::{Few, Many, room_for};
use crate::python::linkage::ball_rod_figures::PyBallRodFigures;
use crate::python::linkage::driven::many;
use crate::python::linkage::{PyTransfer, travels_out};

pub(in crate::python) fn travel_out(travel: Range) -> (f64, f64) {
    (travel.lower, travel.upper)
}

fn shift_out(shift: OutputShift) -> (f64, f64) {
    (shift.first_order, shift.exact)
}

/// "neutral" or "other".
struct AssemblyName(Assembly);

impl FromPyObject<'_, '_> for AssemblyName {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        let text: &str = value.extract()?;
        Ok(Self(text.parse::<Assembly>()?))
    }
}

/// A rigid arm that turns about a pivot, given where it stands at neutral.
///
/// pivot: a point of the pivot's axis, m. direction: of the axis, any length; angles are positive by the right-hand
/// rule about it. joint: the joint at the arm's end, m. stud: direction of the ball joint's stud, fixed in the arm, and
/// swivel_limit: its rated swivel to either side, rad, which needs a stud; without a limit the swivel is told but does
/// not end the travel. The swivel is the angle by which the rod leaves the plane normal to the stud.
#[pyclass(
    frozen,
    eq,
    from_py_object,
    module = "yokewright.linkage",
    name = "Arm"
)]
#[derive(Clone, Copy, PartialEq)]
pub(in crate::python) struct PyArm(pub(in crate::python) Arm);

#[pymethods]
impl PyArm {
    #[new]
    #[pyo3(signature = (pivot, direction, joint, *, stud = None, swivel_limit = None))]
    fn new(
        pivot: Triple,
        direction: Triple,
        joint: Triple,
        stud: Option<Triple>,
        swivel_limit: Option<f64>,
    ) -> PyResult<Self> {
        let arm = Arm::new(pivot.point(), direction.vector(), joint.point())?;
        match (stud, swivel_limit) {
            (Some(stud), limit) => Ok(Self(arm.with_stud(stud.vector(), limit)?)),
            (None, None) => Ok(Self(arm)),
            (None, Some(_)) => Err(InvalidValueError::new_err(
                "a swivel_limit needs the direction of the stud",
            )),
        }
    }

    /// A point of the pivot's axis, m, shape (3,).
    #[getter]
    fn pivot<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.pivot().coords)
    }

    /// Direction of the pivot's axis, of length 1, shape (3,).
    #[getter]
    fn direction<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.direction())
    }

    /// The joint at neutral, m, shape (3,).
    #[getter]
    fn joint<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.joint().coords)
    }

    /// Direction of the ball joint's stud at neutral, of length 1, shape (3,); None if not given.
    #[getter]
    fn stud<'py>(&self, py: Python<'py>) -> Option<Floats1<'py>> {
        let stud = self.0.stud()?;
        Some(vector_out(py, &stud.direction()))
    }

    /// Rated swivel of the ball joint to either side, rad; None if not given: the swivel then does not end the travel.
    #[getter]
    fn swivel_limit(&self) -> Option<f64> {
        self.0.stud()?.limit()
    }

    /// Distance of the joint from the axis of the pivot, m.
    #[getter]
    fn length(&self) -> f64 {
        self.0.length()
    }

    /// Where the joint is at an angle (rad), m, shape (3,).
    fn joint_at<'py>(&self, py: Python<'py>, angle: f64) -> PyResult<Floats1<'py>> {
        Ok(vector_out(py, &self.0.joint_at(angle)?.coords))
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        let plain = |v: &Vector3<f64>| format!("({:?}, {:?}, {:?})", v.x, v.y, v.z);
        let (pivot, joint) = (plain(&self.0.pivot().coords), plain(&self.0.joint().coords));
        let direction = plain(&self.0.direction());
        let stud = self.0.stud().map_or_else(String::new, |stud| {
            let limit = stud.limit();
            let limit = limit.map_or_else(String::new, |limit| format!(", swivel_limit={limit:?}"));
            format!(", stud={}{limit}", plain(&stud.direction()))
        });
        format!("Arm(pivot={pivot}, direction={direction}, joint={joint}{stud})")
    }
}

/// Two arms on two pivots, anyhow in space, coupled by a rod with a ball joint at each end.
///
/// Both angles are zero where the arms were given. The rod is as long as the joints are apart there, unless rod_length
/// (m) is given; angles keep their zero then. start: input angle (rad) at which the linkage is put together and from
/// which its travel counts; zero except for a reversed one with a rod of another length.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg
/// >>> hinge = yw.linkage.Arm((0, 0.12, 0), (0, 1, 0), (0, 0.043, 0.09))
/// >>> crank = yw.linkage.Arm((-0.15, 0, 0.085), (0, 0, 1), (-0.15, 0.045, 0.085))
/// >>> rod = yw.linkage.BallRod(hinge, crank)
/// >>> print(f"{rod.transfer(10 * deg).angle / deg:.2f} deg")
/// -20.25 deg
/// >>> rod.reach()[1].limit
/// 'lock'
#[pyclass(
    frozen,
    eq,
    from_py_object,
    module = "yokewright.linkage",
    name = "BallRod"
)]
#[derive(Clone, Copy, PartialEq)]
pub(in crate::python) struct PyBallRod(pub(in crate::python) BallRod);

attributes! {
    impl PyBallRod {
        /// The arm that drives.
        input: PyArm = |v| PyArm(v.input()),
        /// The arm that is driven.
        output: PyArm = |v| PyArm(v.output()),
        /// Distance between the centers of the ball joints, m.
        rod_length(): f64,
        /// Input angle at which the linkage is put together, rad.
        start(): f64,
        /// Input angles from the lock below to the lock above neutral, rad; None if the input turns all the way round.
        travel: Option<(f64, f64)> = |v| v.travel().map(travel_out),
        /// Least and greatest output angle that the input reaches, rad; None if the output turns all the way round.
        output_travel: Option<(f64, f64)> = |v| v.output_travel().map(travel_out),
        /// Which of the two ways it is put together at its start: "neutral" with the output arm as near as may be to
        /// where it was given, or "other".
        assembly: String = |v| v.spec().assembly.to_string(),
    }

    #[new]
    #[pyo3(signature = (input, output, *, rod_length = None, start = 0.0, assembly = AssemblyName(Assembly::Neutral)),
           text_signature = "(input, output, *, rod_length=None, start=0.0, assembly='neutral')")]
    fn new(
        input: PyArm,
        output: PyArm,
        rod_length: Option<f64>,
        start: f64,
        assembly: AssemblyName,
    ) -> PyResult<Self> {
        Ok(Self(BallRod::put_together(BallRodSpec {
            input: input.0,
            output: output.0,
            rod_length,
            start,
            assembly: assembly.0,
        })?))
    }

    /// All stretches of input angles at which the rod closes, rad: first the one with the start; the full turn if it
    /// closes everywhere.
    fn stretches(&self) -> PyResult<Vec<(f64, f64)>> {
        Ok(travels_out(self.0.stretches()?))
    }

    /// The same arms and rod, put together at an input angle (rad) in any stretch, as at neutral or the "other" way.
    #[pyo3(signature = (angle, assembly = AssemblyName(Assembly::Neutral)),
           text_signature = "($self, angle, assembly='neutral')")]
    fn assembled_at(&self, angle: f64, assembly: AssemblyName) -> PyResult<Self> {
        Ok(Self(self.0.assembled_at(angle, assembly.0)?))
    }

    /// The same linkage driven from its other end; each arm's angle is counted as before.
    fn reversed(&self) -> PyResult<Self> {
        Ok(Self(self.0.reversed()?))
    }

    /// Output angle (rad) with its first and second derivative by the input angle (rad, -2 pi to 2 pi), on the way from
    /// neutral.
    fn transfer(&self, angle: f64) -> PyResult<PyTransfer> {
        Ok(PyTransfer(self.0.transfer(angle)?))
    }

    /// transfer at many input angles (N,); rows that it refuses are NaN and False in the mask.
    ///
    /// out: arrays (N,) to be filled instead of new ones: (angles, ratios, curvatures, valid), None for what is not
    /// wanted; it is given back. A call that is interrupted leaves them filled in part.
    #[pyo3(signature = (angles, *, out = None))]
    fn transfers<'py>(
        &self,
        py: Python<'py>,
        angles: Numbers<'py>,
        out: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let Some(out) = out else {
            return Ok(Bound::new(py, many(py, &self.0, &angles)?)?.into_any());
        };
        let names = ["angles", "ratios", "curvatures"];
        let mut given = Given::of(&out, names, &[angles.len()], &[])?;
        let ([output, ratios, curvatures], valid) = given.columns()?;
        let columns = TransferColumns {
            angles: output,
            ratios,
            curvatures,
            valid,
        };
        angles.with(py, |angles| self.0.transfers_into(angles, columns))??;
        Ok(out)
    }

    /// What the linkage does over a travel of the input (rad): span, ratios, transmission angle, margin to the lock,
    /// swivels.
    fn figures(&self, travel: Few<2>) -> PyResult<PyBallRodFigures> {
        Ok(PyBallRodFigures(self.0.figures(travel.into())?))
    }

    /// Output angle (rad) at an input angle (rad), put together as at neutral or the "other" way.
    #[pyo3(signature = (angle, assembly = AssemblyName(Assembly::Neutral)),
           text_signature = "($self, angle, assembly='neutral')")]
    fn output_angle(&self, angle: f64, assembly: AssemblyName) -> PyResult<f64> {
        Ok(self.0.output_angle(angle, assembly.0)?)
    }

    /// Output angles (rad, -pi to pi) of both assemblies at many input angles (N,): as at neutral, the other way, and a
    /// mask, each (N,).
    ///
    /// out: arrays (N,) to be filled instead of new ones: (neutral, other, valid), None for what is not wanted; it is
    /// given back. A call that is interrupted leaves them filled in part.
    #[pyo3(signature = (angles, *, out = None))]
    fn solve_many<'py>(
        &self,
        py: Python<'py>,
        angles: Numbers<'py>,
        out: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        if let Some(out) = out {
            let mut given = Given::of(&out, ["neutral", "other"], &[angles.len()], &[])?;
            let ([neutral, other], valid) = given.columns()?;
            let columns = BallRodColumns {
                neutral,
                other,
                valid,
            };
            angles.with(py, |angles| self.0.solve_many_into(angles, columns))??;
            return Ok(out);
        }
        let solved = angles.with(py, |angles| self.0.solve_many(angles))?;
        let columns = (
            solved.neutral.into_pyarray(py),
            solved.other.into_pyarray(py),
            solved.valid.into_pyarray(py),
        );
        Ok(columns.into_pyobject(py)?.into_any())
    }

    /// solve_many for many linkages, as tolerance studies need it: row after row, each (number of linkages * N,).
    #[staticmethod]
    fn solve_grid<'py>(
        py: Python<'py>,
        rods: Many<PyBallRod>,
        angles: Numbers<'py>,
    ) -> PyResult<(Floats1<'py>, Floats1<'py>, Mask<'py>)> {
        let rods: Vec<_> = rods.iter().map(|rod| rod.0).collect();
        room_for(rods.len().saturating_mul(angles.len()))?;
        let solved = angles.with(py, |angles| BallRod::solve_grid(&rods, angles))?;
        Ok((
            solved.neutral.into_pyarray(py),
            solved.other.into_pyarray(py),
            solved.valid.into_pyarray(py),
        ))
    }

    /// Both joints at an input angle (rad), on the input and on the output arm, m, each (3,).
    fn joints<'py>(&self, py: Python<'py>, angle: f64) -> PyResult<(Floats1<'py>, Floats1<'py>)> {
        let [input, output] = self.0.joints(angle)?;
        Ok((
            vector_out(py, &input.coords),
            vector_out(py, &output.coords),
        ))
    }

    /// Transmission angle at an input angle, rad: 0 at a lock, pi/2 where the rod pulls square to the output arm.
    fn transmission_angle(&self, angle: f64) -> PyResult<f64> {
        Ok(self.0.transmission_angle(angle)?)
    }

    /// Swivel angles of the ball joints on the input and the output arm at an input angle, rad; None for an arm without
    /// a stud.
    ///
    /// Each is signed: positive where the rod, seen from the joint, leaves the plane normal to the stud toward the
    /// stud's direction. A limit holds for both signs.
    fn swivels(&self, angle: f64) -> PyResult<(Option<f64>, Option<f64>)> {
        Ok(self.0.swivels(angle)?.into())
    }

    /// What ends the travel below and above neutral, a lock or the swivel of a joint; None where nothing does within a
    /// turn.
    fn reach(&self, py: Python<'_>) -> PyResult<(Option<PyRodEnd>, Option<PyRodEnd>)> {
        let rod = self.0;
        let reach = long(py, || rod.reach())?;
        Ok((reach.lower.map(Into::into), reach.upper.map(Into::into)))
    }

    /// Forces with a torque (N m) on the input arm at an input angle (rad), the output held by what it drives.
    fn loads(&self, angle: f64, torque: f64) -> PyResult<PyRodLoads> {
        Ok(PyRodLoads(self.0.loads(angle, torque)?))
    }

    /// How the output angle follows the rod length at a fixed input angle, rad/m.
    fn output_per_length(&self, angle: f64) -> PyResult<f64> {
        Ok(self.0.output_per_length(angle)?)
    }

    /// Shift of the output (rad) by an error of the rod length (m): by first order, and exactly.
    fn length_error(&self, angle: f64, error: f64) -> PyResult<(f64, f64)> {
        Ok(shift_out(self.0.length_error(angle, error)?))
    }

    /// Backlash at the output from end to end (rad) by a play of the ball joints (m, both added up, to either side): by
    /// first order, and exactly.
    fn backlash(&self, angle: f64, play: f64) -> PyResult<(f64, f64)> {
        Ok(shift_out(self.0.backlash(angle, play)?))
    }

    fn __repr__(&self) -> String {
        format!(
            "BallRod(input={}, output={}, rod_length={:?}{}{})",
            self.input().__repr__(),
            self.output().__repr__(),
            self.rod_length(),
            if self.start() == 0.0 {
                String::new()
            } else {
                format!(", start={:?}", self.start())
            },
            match self.0.spec().assembly {
                Assembly::Neutral => "",
                Assembly::Other => ", assembly='other'",
            }
        )
    }
}

/// One end of the travel of a ball-joint rod.
#[pyclass(frozen, eq, get_all, module = "yokewright.linkage", name = "RodEnd")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyRodEnd {
    /// Input angle there, rad.
    input: f64,
    /// Output angle there, rad.
    output: f64,
    /// What is reached there first: "lock", "input swivel" or "output swivel".
    limit: String,
}

impl From<RodEnd> for PyRodEnd {
    fn from(end: RodEnd) -> Self {
        Self {
            input: end.input,
            output: end.output,
            limit: end.limit.to_string(),
        }
    }
}

#[pymethods]
impl PyRodEnd {
    fn __repr__(&self) -> String {
        format!("<RodEnd input {:?} rad: {}>", self.input, self.limit)
    }
}

/// Forces in a ball-joint rod and at its pivots, without friction and weight.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "RodLoads")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyRodLoads(RodLoads);

attributes! {
    impl PyRodLoads {
        /// Force along the rod, N: positive pulls, negative pushes.
        rod_force: f64,
        /// Torque of the rod on the output arm about its pivot, N m.
        output_torque: f64,
    }

    /// Force of the input pivot's bearings on the arm, N, shape (3,).
    #[getter]
    fn input_reaction<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.input_reaction)
    }

    /// Force of the output pivot's bearings on the arm, N, shape (3,).
    #[getter]
    fn output_reaction<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.output_reaction)
    }

    /// Moment of the input bearings about the pivot's point, N m, shape (3,).
    #[getter]
    fn input_moment<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.input_moment)
    }

    /// Moment of the output bearings about the pivot's point, N m, shape (3,).
    #[getter]
    fn output_moment<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.output_moment)
    }

    fn __repr__(&self) -> String {
        format!(
            "<RodLoads rod {:?} N, output {:?} N m>",
            self.0.rod_force, self.0.output_torque
        )
    }
}
