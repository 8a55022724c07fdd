//! Arrangements: one base class with what all of them have, one class each with its measures.

use nalgebra::Vector2;
use pyo3::prelude::*;

use crate::axis::{
    AnyArrangement, Arrangement, BackPlate, HeadOnLayout, HeadOnLayoutSpec, Measure, MeasureValue,
    Mounting, PairLayout, PairLayoutSpec, SensorPackage, ShaftEndLayout, ShaftEndLayoutSpec,
    SwungLayout, SwungLayoutSpec,
};
use crate::magnet::Magnet;
use crate::python::any_sensor::PySensor;
use crate::python::axis::control::{PyAxis, drive_or_none, throw_of};
use crate::python::gate::convert::{Floats1, Triple, vector_out};
use crate::python::gate::errors::InvalidTypeError;
use crate::python::gate::sequence::{Few, Many};
use crate::python::hall::{PyAveraging, PyConverter, PyLowPass};
use crate::python::linkage::transmission::AnyDrive;
use crate::python::magnet::PyMagnet;
use crate::python::magnet::any_source::PySource;
use crate::python::magnet::area::PyActiveArea;
use crate::python::pose::PyPose;

/// A measure of an arrangement by its name, with its value and what it may be.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Measure")]
#[derive(Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PyMeasure(MeasureValue);

#[pymethods]
impl PyMeasure {
    /// Its name, as with_measure takes it.
    #[getter]
    fn name(&self) -> String {
        self.0.measure.to_string()
    }

    /// Its value, SI.
    #[getter]
    fn value(&self) -> f64 {
        self.0.value
    }

    /// The least and the greatest value that any arrangement may have, SI. Some values within are refused all the
    /// same, for what the other measures are.
    #[getter]
    fn bounds(&self) -> (f64, f64) {
        self.0.measure.bounds().into()
    }

    /// SI unit.
    #[getter]
    fn unit(&self) -> &'static str {
        self.0.measure.unit()
    }

    fn __repr__(&self) -> String {
        format!(
            "<Measure {} {:?} {}>",
            self.name(),
            self.value(),
            self.unit()
        )
    }
}

/// A thick steel plate behind the magnets of an arrangement, on the side away from the sensor.
///
/// distance: back of the magnets to the plate, m. holder: what it is fixed to, "magnets" (it goes where they go and is
/// tilted with them) or "sensor" (they move past both).
#[pyclass(frozen, eq, module = "yokewright.axis", name = "BackPlate")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyBackPlate(BackPlate);

#[pymethods]
impl PyBackPlate {
    #[new]
    #[pyo3(signature = (distance = 0.0, *, holder = "magnets"))]
    fn new(distance: f64, holder: &str) -> PyResult<Self> {
        let holder = holder.parse()?;
        Ok(Self(BackPlate { distance, holder }))
    }

    /// Back of the magnets to the plate, m.
    #[getter]
    fn distance(&self) -> f64 {
        self.0.distance
    }

    /// "magnets" or "sensor".
    #[getter]
    fn holder(&self) -> String {
        self.0.holder.to_string()
    }

    fn __repr__(&self) -> String {
        let BackPlate { distance, holder } = self.0;
        format!("BackPlate(distance={distance:?}, holder='{holder}')")
    }
}

/// The body of a sensor: a box behind the center of its face, of a width (x), a height (y) and a thickness, m.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "SensorPackage")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PySensorPackage(SensorPackage);

#[pymethods]
impl PySensorPackage {
    #[new]
    fn new(width: f64, height: f64, thickness: f64) -> Self {
        Self(SensorPackage {
            width,
            height,
            thickness,
        })
    }

    /// Along the package's x, m.
    #[getter]
    fn width(&self) -> f64 {
        self.0.width
    }

    /// Along the package's y, m.
    #[getter]
    fn height(&self) -> f64 {
        self.0.height
    }

    /// Face to back, m.
    #[getter]
    fn thickness(&self) -> f64 {
        self.0.thickness
    }

    fn __repr__(&self) -> String {
        let SensorPackage {
            width,
            height,
            thickness,
        } = self.0;
        format!("SensorPackage(width={width:?}, height={height:?}, thickness={thickness:?})")
    }
}

fn mounting(
    offset: Triple,
    magnet_tilt: Triple,
    sensor_tilt: Triple,
    plate: Option<&PyBackPlate>,
    package: Option<&PySensorPackage>,
) -> Mounting {
    Mounting {
        offset: offset.vector(),
        magnet_tilt: magnet_tilt.vector(),
        sensor_tilt: sensor_tilt.vector(),
        plate: plate.map(|plate| plate.0),
        package: package.map(|package| package.0),
    }
}

/// The end of every printed form.
fn mounted(mounting: &Mounting) -> String {
    let repr = |text: Option<String>| text.unwrap_or_else(|| "None".to_owned());
    format!(
        "offset={:?}, magnet_tilt={:?}, sensor_tilt={:?}, plate={}, package={})",
        mounting.offset.as_slice(),
        mounting.magnet_tilt.as_slice(),
        mounting.sensor_tilt.as_slice(),
        repr(mounting.plate.map(|plate| PyBackPlate(plate).__repr__())),
        repr(
            mounting
                .package
                .map(|package| PySensorPackage(package).__repr__())
        )
    )
}

/// How magnets and sensor of a control stand to each other, in the measures of a builder; made as SwungLayout,
/// PairLayout, HeadOnLayout or ShaftEndLayout.
///
/// The pivot's axis is +z through the origin; when the control is centered the arm lies along +x, so that x is the
/// radial, y the tangential and z the axial direction. A magnet is given in its own frame with its orientation and
/// without a position. The z axis of the sensor's package, out of its face, points at the magnets.
///
/// The gap is set between the face of the package and the nearest point of the magnets as they stand, however tilted;
/// a plate is set against their back; then the sensor is moved by its offset.
///
/// Of every class: offset of the sensor from its place, m; magnet_tilt, sensor_tilt: rotation vectors, rad, of the
/// magnets (two together about the middle between them) and of the package (about the center of its face). Vectors are
/// (radial, tangential, axial). plate: a BackPlate. package: a SensorPackage, the whole of which must then keep clear.
#[pyclass(frozen, eq, subclass, module = "yokewright.axis", name = "Arrangement")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyArrangement {
    pub(in crate::python) arrangement: AnyArrangement,
    /// As they were given, so that they can be given back to the last bit.
    magnets: Vec<PyMagnet>,
}

impl PyArrangement {
    fn new(arrangement: impl Into<AnyArrangement>, magnets: Vec<PyMagnet>) -> Self {
        Self {
            arrangement: arrangement.into(),
            magnets,
        }
    }

    fn initializer(self) -> PyClassInitializer<Self> {
        self.into()
    }

    /// The arrangement as an object of its class.
    pub(in crate::python) fn object<'py>(
        py: Python<'py>,
        arrangement: &AnyArrangement,
    ) -> PyResult<Bound<'py, PyAny>> {
        // The poses of the magnets by way of their rotation vectors, so that the object survives being printed or
        // pickled to the last bit.
        let own = |magnet: &mut Magnet| {
            let own = PyMagnet::of(magnet)?;
            *magnet = own.magnet.clone();
            Ok::<_, PyErr>(own)
        };
        Ok(match arrangement {
            AnyArrangement::Swung(layout) => {
                let mut spec = layout.spec().clone();
                let magnets = vec![own(&mut spec.magnet)?];
                let base = Self::new(SwungLayout::new(spec)?, magnets);
                Bound::new(py, base.initializer().add_subclass(PySwungLayout))?.into_any()
            }
            AnyArrangement::Pair(layout) => {
                let mut spec = layout.spec().clone();
                let magnets = spec.magnets.iter_mut().map(own).collect::<PyResult<_>>()?;
                let base = Self::new(PairLayout::new(spec)?, magnets);
                Bound::new(py, base.initializer().add_subclass(PyPairLayout))?.into_any()
            }
            AnyArrangement::HeadOn(layout) => {
                let mut spec = layout.spec().clone();
                let magnets = vec![own(&mut spec.magnet)?];
                let base = Self::new(HeadOnLayout::new(spec)?, magnets);
                Bound::new(py, base.initializer().add_subclass(PyHeadOnLayout))?.into_any()
            }
            AnyArrangement::ShaftEnd(layout) => {
                let mut spec = layout.spec().clone();
                let magnets = vec![own(&mut spec.magnet)?];
                let base = Self::new(ShaftEndLayout::new(spec)?, magnets);
                Bound::new(py, base.initializer().add_subclass(PyShaftEndLayout))?.into_any()
            }
        })
    }

    fn measured(&self, measure: Measure) -> PyResult<f64> {
        let missing = || InvalidTypeError::new_err(format!("no {measure} here"));
        self.arrangement.measure(measure).ok_or_else(missing)
    }

    fn magnet<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        self.magnets[0].clone().into_object(py)
    }
}

#[pymethods]
impl PyArrangement {
    /// Offset of the sensor from its place, m, shape (3,).
    #[getter]
    fn offset<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.arrangement.mounting().offset)
    }

    /// How the magnets are turned out of their place: a rotation vector, rad, shape (3,).
    #[getter]
    fn magnet_tilt<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.arrangement.mounting().magnet_tilt)
    }

    /// How the sensor's package is turned out of its place: a rotation vector, rad, shape (3,).
    #[getter]
    fn sensor_tilt<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.arrangement.mounting().sensor_tilt)
    }

    /// The steel plate behind the magnets; None without one.
    #[getter]
    fn plate(&self) -> Option<PyBackPlate> {
        self.arrangement.mounting().plate.map(PyBackPlate)
    }

    /// The body of the sensor; None if not given.
    #[getter]
    fn package(&self) -> Option<PySensorPackage> {
        self.arrangement.mounting().package.map(PySensorPackage)
    }

    /// What the sensor reads: the magnets where they stand when centered, a MagnetGroup, or MagnetsOverPlate.
    #[getter]
    fn source<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        PySource::of(&self.arrangement.source())?.object(py)
    }

    /// The sensor's package when centered.
    #[getter]
    fn sensor_pose(&self) -> PyResult<PyPose> {
        Ok(PyPose::of(&self.arrangement.sensor_pose())?)
    }

    /// Every continuous measure that the arrangement has, with its value: what can be varied by with_measure.
    fn measures(&self) -> Vec<PyMeasure> {
        let measures = self.arrangement.measures().into_iter();
        measures.map(PyMeasure).collect()
    }

    /// The value of one measure by its name, SI; None if the arrangement does not have it.
    fn measure(&self, name: &str) -> PyResult<Option<f64>> {
        Ok(self.arrangement.measure(name.parse()?))
    }

    /// The same arrangement with another value of one measure, SI.
    fn with_measure<'py>(
        &self,
        py: Python<'py>,
        name: &str,
        value: f64,
    ) -> PyResult<Bound<'py, PyAny>> {
        Self::object(py, &self.arrangement.with_measure(name.parse()?, value)?)
    }

    /// The axis that this arrangement makes with a throw (rad), a sensor and a converter, on the control's own pivot or
    /// behind a drive, read at a point or over an area; see Axis.
    ///
    /// Where the package of the sensor is given, it must keep clear of magnets and plate over the whole throw.
    #[pyo3(signature = (*, throw = None, sensor, converter = None, moving = "magnets", area = None, drive = None,
                        lever = None, filter = None, averaging = None, remanence_drift = 0.0, reference_celsius = 20.0,
                        celsius = None))]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn axis(
        &self,
        throw: Option<Few<2>>,
        sensor: PySensor,
        converter: Option<&Bound<'_, PyConverter>>,
        moving: &str,
        area: Option<&PyActiveArea>,
        drive: Option<AnyDrive>,
        lever: Option<f64>,
        filter: Option<&Bound<'_, PyLowPass>>,
        averaging: Option<&Bound<'_, PyAveraging>>,
        remanence_drift: f64,
        reference_celsius: f64,
        celsius: Option<f64>,
    ) -> PyResult<PyAxis> {
        let drive = drive_or_none(drive);
        let throw = throw_of(throw, &drive)?;
        let sensor = sensor.sensor();
        let converter = converter.map(|converter| converter.get().0.clone());
        let arrangement = &self.arrangement;
        let mut spec = arrangement.axis_spec(throw, sensor, converter, moving.parse()?);
        spec.drive = drive;
        spec.lever = lever;
        spec.filter = filter.map(|filter| filter.get().0);
        spec.averaging = averaging.map(|averaging| averaging.get().0);
        spec.remanence_drift = remanence_drift;
        spec.reference_celsius = reference_celsius;
        spec.celsius = celsius;
        spec.area = area.map(|area| area.area.clone());
        PyAxis::of(&arrangement.axis_of(spec)?)
    }

    fn __repr__(&self) -> String {
        let magnets: Vec<String> = self.magnets.iter().map(PyMagnet::repr).collect();
        let magnet = &magnets[0];
        let start = match &self.arrangement {
            AnyArrangement::Swung(layout) => {
                let spec = layout.spec();
                format!(
                    "SwungLayout(magnet={magnet}, arm={:?}, gap={:?}, side='{}'",
                    spec.arm, spec.gap, spec.side
                )
            }
            AnyArrangement::Pair(layout) => {
                let spec = layout.spec();
                format!(
                    "PairLayout(magnets=[{}], arm={:?}, gap={:?}, spacing={:?}, carrier='{}', side='{}'",
                    magnets.join(", "),
                    spec.arm,
                    spec.gap,
                    spec.spacing,
                    spec.carrier,
                    spec.side
                )
            }
            AnyArrangement::HeadOn(layout) => {
                let spec = layout.spec();
                format!(
                    "HeadOnLayout(magnet={magnet}, arm={:?}, gap={:?}",
                    spec.arm, spec.gap
                )
            }
            AnyArrangement::ShaftEnd(layout) => {
                let spec = layout.spec();
                format!(
                    "ShaftEndLayout(magnet={magnet}, gap={:?}, side='{}', eccentricity={:?}",
                    spec.gap,
                    spec.side,
                    spec.eccentricity.as_slice()
                )
            }
        };
        format!("{start}, {}", mounted(self.arrangement.mounting()))
    }
}

/// A magnet on an arm, swung past a sensor that faces it.
///
/// magnet: of any shape, in its own frame with its orientation. arm: pivot to the center of the magnet, m. gap: nearest
/// face of the magnet to package face, m. side: "outer", "inner" or "axial", where the sensor stands. The others: see
/// Arrangement. A sensor that reads across its face reads the radial component on the outer and inner side, the axial
/// one on the axial side; the package's x axis lies along the tangent.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import mm
/// >>> cube = yw.magnet.Block(size=(5 * mm, 5 * mm, 5 * mm), polarization=(0, 1.3, 0))
/// >>> layout = yw.axis.SwungLayout(magnet=cube, arm=20 * mm, gap=3 * mm)
/// >>> layout.side
/// 'outer'
/// >>> print(f"sensor at {layout.sensor_pose.position[0] / mm:.1f} mm")
/// sensor at 25.5 mm
/// >>> nearer = layout.with_measure("gap", 2 * mm)
/// >>> print(f"sensor at {nearer.sensor_pose.position[0] / mm:.1f} mm")
/// sensor at 24.5 mm
#[pyclass(frozen, extends = PyArrangement, module = "yokewright.axis", name = "SwungLayout")]
pub(in crate::python) struct PySwungLayout;

impl PySwungLayout {
    /// The layout as the core has it.
    pub(in crate::python) fn layout(layout: &Bound<'_, Self>) -> PyResult<SwungLayout> {
        match &layout.as_super().get().arrangement {
            AnyArrangement::Swung(layout) => Ok(layout.clone()),
            _ => Err(InvalidTypeError::new_err("not a SwungLayout")),
        }
    }
}

#[pymethods]
impl PySwungLayout {
    #[new]
    #[pyo3(signature = (*, magnet, arm, gap, side = "outer", offset = Triple([0.0; 3]),
                        magnet_tilt = Triple([0.0; 3]), sensor_tilt = Triple([0.0; 3]), plate = None, package = None),
           text_signature = "(*, magnet, arm, gap, side='outer', offset=(0.0, 0.0, 0.0), magnet_tilt=(0.0, 0.0, 0.0), \
                             sensor_tilt=(0.0, 0.0, 0.0), plate=None, package=None)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        magnet: &Bound<'_, PyMagnet>,
        arm: f64,
        gap: f64,
        side: &str,
        offset: Triple,
        magnet_tilt: Triple,
        sensor_tilt: Triple,
        plate: Option<&PyBackPlate>,
        package: Option<&PySensorPackage>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let magnet = magnet.get().clone();
        let layout = SwungLayout::new(SwungLayoutSpec {
            side: side.parse()?,
            mounting: mounting(offset, magnet_tilt, sensor_tilt, plate, package),
            ..SwungLayoutSpec::new(magnet.magnet.clone(), arm, gap)
        })?;
        Ok(PyArrangement::new(layout, vec![magnet])
            .initializer()
            .add_subclass(Self))
    }

    /// The magnet in its own frame.
    #[getter]
    fn magnet<'py>(slf: PyRef<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        slf.as_super().magnet(slf.py())
    }

    /// Pivot to the center of the magnet, m.
    #[getter]
    fn arm(slf: PyRef<'_, Self>) -> PyResult<f64> {
        slf.as_super().measured(Measure::Arm)
    }

    /// Nearest face of the magnet to package face when centered, m.
    #[getter]
    fn gap(slf: PyRef<'_, Self>) -> PyResult<f64> {
        slf.as_super().measured(Measure::Gap)
    }

    /// "outer", "inner" or "axial".
    #[getter]
    fn side(slf: Bound<'_, Self>) -> PyResult<String> {
        Ok(Self::layout(&slf)?.spec().side.to_string())
    }
}

/// Two magnets side by side on an arm, opposite poles towards a sensor that faces the middle between them: for pivots
/// that turn further than one magnet reads straight.
///
/// magnets: two of any shape, in their own frames, first the one at negative y, which comes before the sensor at
/// positive angles; or one, of which the second is the equal, polarized the other way. arm: pivot to the middle between
/// their centers on a flat carrier, to each center on a round one, m. gap: nearest face to package face, m. spacing:
/// between their facing sides, m, 0 where they touch; on a round carrier twice the distance of the nearest point of
/// each from the plane between them. carrier: "flat", both upright along the tangent, or "round", each turned to its
/// own radius. side: as of SwungLayout. The others: see Arrangement.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg, mm
/// >>> bar = yw.magnet.Block(size=(3 * mm, 6 * mm, 6 * mm), polarization=(1.2, 0, 0))
/// >>> layout = yw.axis.PairLayout(magnets=bar, arm=20 * mm, gap=6 * mm, spacing=6 * mm)
/// >>> layout.magnets[1].polarization
/// array([-1.2, -0. , -0. ])
/// >>> axis = layout.axis(
/// ...     throw=(-12 * deg, 12 * deg),
/// ...     sensor=yw.hall.LinearHall(
/// ...         supply=5, nominal_supply=5, quiescent=2.5, sensitivity=20, rail_low=0.2, rail_headroom=0.2,
/// ...         noise=0.001, depth=0.5 * mm,
/// ...     ),
/// ...     converter=yw.hall.Converter(bits=12, reference=5),
/// ... )
/// >>> print(f"{axis.figures().linearity_flux.independent:.1%}")
/// 0.9%
#[pyclass(frozen, extends = PyArrangement, module = "yokewright.axis", name = "PairLayout")]
pub(in crate::python) struct PyPairLayout;

impl PyPairLayout {
    fn spec(slf: &PyRef<'_, Self>) -> PyResult<PairLayoutSpec> {
        match &slf.as_super().arrangement {
            AnyArrangement::Pair(layout) => Ok(layout.spec().clone()),
            _ => Err(InvalidTypeError::new_err("not a PairLayout")),
        }
    }
}

/// Two magnets, or one, to which the other is its equal, polarized the other way.
struct Two([PyMagnet; 2]);

impl FromPyObject<'_, '_> for Two {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        if let Ok(magnet) = value.cast::<PyMagnet>() {
            let first = magnet.get().clone();
            let second = first.reversed()?;
            return Ok(Self([first, second]));
        }
        let given = Many::<Bound<'_, PyMagnet>>::extract(value)?.into_vec();
        let magnets: Vec<_> = given.iter().map(|magnet| magnet.get().clone()).collect();
        let two = <[PyMagnet; 2]>::try_from(magnets);
        two.map(Self).map_err(|magnets| {
            let text = format!("one magnet or two are needed, got {}", magnets.len());
            InvalidTypeError::new_err(text)
        })
    }
}

#[pymethods]
impl PyPairLayout {
    #[new]
    #[pyo3(signature = (*, magnets, arm, gap, spacing, carrier = "flat", side = "outer", offset = Triple([0.0; 3]),
                        magnet_tilt = Triple([0.0; 3]), sensor_tilt = Triple([0.0; 3]), plate = None, package = None),
           text_signature = "(*, magnets, arm, gap, spacing, carrier='flat', side='outer', offset=(0.0, 0.0, 0.0), \
                             magnet_tilt=(0.0, 0.0, 0.0), sensor_tilt=(0.0, 0.0, 0.0), plate=None, package=None)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        magnets: Two,
        arm: f64,
        gap: f64,
        spacing: f64,
        carrier: &str,
        side: &str,
        offset: Triple,
        magnet_tilt: Triple,
        sensor_tilt: Triple,
        plate: Option<&PyBackPlate>,
        package: Option<&PySensorPackage>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let Two(magnets) = magnets;
        let layout = PairLayout::new(PairLayoutSpec {
            magnets: magnets.each_ref().map(|magnet| magnet.magnet.clone()),
            arm,
            gap,
            spacing,
            carrier: carrier.parse()?,
            side: side.parse()?,
            mounting: mounting(offset, magnet_tilt, sensor_tilt, plate, package),
        })?;
        Ok(PyArrangement::new(layout, magnets.into())
            .initializer()
            .add_subclass(Self))
    }

    /// The two magnets in their own frames.
    #[getter]
    fn magnets<'py>(slf: PyRef<'py, Self>) -> PyResult<Vec<Bound<'py, PyAny>>> {
        let magnets = slf.as_super().magnets.iter();
        magnets
            .map(|one| one.clone().into_object(slf.py()))
            .collect()
    }

    /// Pivot to the middle between the centers on a flat carrier, to each center on a round one, m.
    #[getter]
    fn arm(slf: PyRef<'_, Self>) -> PyResult<f64> {
        slf.as_super().measured(Measure::Arm)
    }

    /// Nearest face of the magnets to package face when centered, m.
    #[getter]
    fn gap(slf: PyRef<'_, Self>) -> PyResult<f64> {
        slf.as_super().measured(Measure::Gap)
    }

    /// Between the facing sides of the magnets, m.
    #[getter]
    fn spacing(slf: PyRef<'_, Self>) -> PyResult<f64> {
        slf.as_super().measured(Measure::Spacing)
    }

    /// "flat" or "round".
    #[getter]
    fn carrier(slf: PyRef<'_, Self>) -> PyResult<String> {
        Ok(Self::spec(&slf)?.carrier.to_string())
    }

    /// "outer", "inner" or "axial".
    #[getter]
    fn side(slf: PyRef<'_, Self>) -> PyResult<String> {
        Ok(Self::spec(&slf)?.side.to_string())
    }
}

/// A magnet on an arm that comes towards the sensor and goes away from it.
///
/// magnet: of any shape, in its own frame with its orientation, polarized along the tangent as a rule. arm: pivot to
/// the center of the magnet, m. gap: nearest face of the magnet to package face when centered, m. The others: see
/// Arrangement. The sensor stands before the magnet along the tangent, so that positive angles close the gap; it reads
/// the field on the magnet's axis, never straight and never zero. The package's x axis lies along the radius.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg, mT, mm
/// >>> disc = yw.magnet.Cylinder(6 * mm, 3 * mm, (0, 0, 1.2), yw.Pose.from_directions((0, 0, 0), (0, 0, 1), (0, 1, 0)))
/// >>> layout = yw.axis.HeadOnLayout(magnet=disc, arm=25 * mm, gap=4 * mm)
/// >>> print(f"{layout.source.field_at(layout.sensor_pose.position)[1] / mT:.1f} mT")
/// 71.5 mT
#[pyclass(frozen, extends = PyArrangement, module = "yokewright.axis", name = "HeadOnLayout")]
pub(in crate::python) struct PyHeadOnLayout;

#[pymethods]
impl PyHeadOnLayout {
    #[new]
    #[pyo3(signature = (*, magnet, arm, gap, offset = Triple([0.0; 3]), magnet_tilt = Triple([0.0; 3]),
                        sensor_tilt = Triple([0.0; 3]), plate = None, package = None),
           text_signature = "(*, magnet, arm, gap, offset=(0.0, 0.0, 0.0), magnet_tilt=(0.0, 0.0, 0.0), \
                             sensor_tilt=(0.0, 0.0, 0.0), plate=None, package=None)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        magnet: &Bound<'_, PyMagnet>,
        arm: f64,
        gap: f64,
        offset: Triple,
        magnet_tilt: Triple,
        sensor_tilt: Triple,
        plate: Option<&PyBackPlate>,
        package: Option<&PySensorPackage>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let magnet = magnet.get().clone();
        let layout = HeadOnLayout::new(HeadOnLayoutSpec {
            mounting: mounting(offset, magnet_tilt, sensor_tilt, plate, package),
            ..HeadOnLayoutSpec::new(magnet.magnet.clone(), arm, gap)
        })?;
        Ok(PyArrangement::new(layout, vec![magnet])
            .initializer()
            .add_subclass(Self))
    }

    /// The magnet in its own frame.
    #[getter]
    fn magnet<'py>(slf: PyRef<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        slf.as_super().magnet(slf.py())
    }

    /// Pivot to the center of the magnet, m.
    #[getter]
    fn arm(slf: PyRef<'_, Self>) -> PyResult<f64> {
        slf.as_super().measured(Measure::Arm)
    }

    /// Nearest face of the magnet to package face when centered, m.
    #[getter]
    fn gap(slf: PyRef<'_, Self>) -> PyResult<f64> {
        slf.as_super().measured(Measure::Gap)
    }
}

/// A magnet on the end of the pivot's shaft under a sensor, or a ring on the shaft with the sensor beside its rim.
///
/// magnet: of any shape, in its own frame with its orientation, polarized across the shaft as a rule. gap: nearest face
/// of the magnet to package face, m. side: "end", the sensor on the shaft's axis, or "beside", off it along x.
/// eccentricity: of the magnet's center from the shaft's axis along x and y, m; that of the sensor's die is the offset.
/// The others: see Arrangement. The package's x axis lies along y, so that a sensor that reads along it reads nothing
/// of a magnet polarized along x when centered.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import mT, mm
/// >>> disc = yw.magnet.Cylinder(diameter=6 * mm, length=2.5 * mm, polarization=(1.2, 0, 0))
/// >>> layout = yw.axis.ShaftEndLayout(magnet=disc, gap=2 * mm)
/// >>> print(f"{layout.source.field_at(layout.sensor_pose.position)[0] / mT:.1f} mT")
/// -83.2 mT
#[pyclass(frozen, extends = PyArrangement, module = "yokewright.axis", name = "ShaftEndLayout")]
pub(in crate::python) struct PyShaftEndLayout;

impl PyShaftEndLayout {
    fn spec(slf: &PyRef<'_, Self>) -> PyResult<ShaftEndLayoutSpec> {
        match &slf.as_super().arrangement {
            AnyArrangement::ShaftEnd(layout) => Ok(layout.spec().clone()),
            _ => Err(InvalidTypeError::new_err("not a ShaftEndLayout")),
        }
    }
}

#[pymethods]
impl PyShaftEndLayout {
    #[new]
    #[pyo3(signature = (*, magnet, gap, side = "end", eccentricity = Few([0.0; 2]), offset = Triple([0.0; 3]),
                        magnet_tilt = Triple([0.0; 3]), sensor_tilt = Triple([0.0; 3]), plate = None, package = None),
           text_signature = "(*, magnet, gap, side='end', eccentricity=(0.0, 0.0), offset=(0.0, 0.0, 0.0), \
                             magnet_tilt=(0.0, 0.0, 0.0), sensor_tilt=(0.0, 0.0, 0.0), plate=None, package=None)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        magnet: &Bound<'_, PyMagnet>,
        gap: f64,
        side: &str,
        eccentricity: Few<2>,
        offset: Triple,
        magnet_tilt: Triple,
        sensor_tilt: Triple,
        plate: Option<&PyBackPlate>,
        package: Option<&PySensorPackage>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let magnet = magnet.get().clone();
        let layout = ShaftEndLayout::new(ShaftEndLayoutSpec {
            side: side.parse()?,
            eccentricity: Vector2::from(<[f64; 2]>::from(eccentricity)),
            mounting: mounting(offset, magnet_tilt, sensor_tilt, plate, package),
            ..ShaftEndLayoutSpec::new(magnet.magnet.clone(), gap)
        })?;
        Ok(PyArrangement::new(layout, vec![magnet])
            .initializer()
            .add_subclass(Self))
    }

    /// The magnet in its own frame.
    #[getter]
    fn magnet<'py>(slf: PyRef<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        slf.as_super().magnet(slf.py())
    }

    /// Nearest face of the magnet to package face, m.
    #[getter]
    fn gap(slf: PyRef<'_, Self>) -> PyResult<f64> {
        slf.as_super().measured(Measure::Gap)
    }

    /// "end" or "beside".
    #[getter]
    fn side(slf: PyRef<'_, Self>) -> PyResult<String> {
        Ok(Self::spec(&slf)?.side.to_string())
    }

    /// The magnet's center from the shaft's axis, along x and y, m.
    #[getter]
    fn eccentricity(slf: PyRef<'_, Self>) -> PyResult<(f64, f64)> {
        let eccentricity = Self::spec(&slf)?.eccentricity;
        Ok((eccentricity.x, eccentricity.y))
    }
}
