"""One control from hand to count: magnets, pivot, sensor and converter in a row."""

from collections.abc import Callable, Sequence
from typing import Any, Literal, final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from typing_extensions import Self, disjoint_base

from ._core import Floats, Mask, Pose, SearchResult, Shortfall
from .hall import (
    AngleError,
    AngleSensor,
    Averaging,
    Converter,
    LinearHall,
    LowPass,
    NoiseBudget,
    Potentiometer,
    SignalChain,
)
from .linkage import BallRod, Gate, Gimbal, Transfer, Transmission
from .magnet import ActiveArea, Magnet, MagnetGroup, MagnetsOverPlate

__all__ = [
    "AngleResiduals",
    "Arrangement",
    "ArrangementCandidate",
    "ArrangementSearch",
    "ArrangementSummary",
    "Axis",
    "AxisCrosstalk",
    "AxisFigures",
    "BackPlate",
    "BenchAdvice",
    "BenchLog",
    "BenchSweep",
    "BestOfKind",
    "BuildRecord",
    "Calibration",
    "CalibrationCurve",
    "CalibrationResiduals",
    "CallableDesign",
    "CameraRuns",
    "CarriedMagnets",
    "CarriedSensor",
    "CenterFigures",
    "ComparedFigures",
    "Comparison",
    "ControlDesign",
    "Correction",
    "CorrectionMap",
    "Crosstalk",
    "CrosstalkFigure",
    "Delay",
    "DeviceDifference",
    "DevicePair",
    "Distribution",
    "ErrorBudget",
    "ErrorContribution",
    "FigureImportance",
    "FigureSpread",
    "Firmware",
    "GateMap",
    "HeadOnLayout",
    "Hysteresis",
    "Identification",
    "IdentifiedQuantity",
    "Importance",
    "JustOutside",
    "LatencyBudget",
    "LatencyStage",
    "Line",
    "Linearity",
    "Measure",
    "PairLayout",
    "ParetoRow",
    "PointsWorth",
    "RowDoubt",
    "SensorPackage",
    "ShaftEndLayout",
    "StageEffect",
    "Sweep",
    "SwungLayout",
    "TargetYield",
    "Tolerance",
    "ToleranceAllocation",
    "ToleranceImportance",
    "TolerantDesign",
    "TwoAxis",
    "TwoAxisCalibration",
    "TwoAxisReading",
    "TwoAxisReadings",
    "TwoAxisSweep",
    "WhatIf",
    "Yield",
    "YieldStudy",
    "YieldTarget",
    "allocate_tolerances",
    "compare",
    "compare_devices",
    "detectable_difference",
    "error_budget",
    "hid_logical_range",
    "hid_usage",
    "identify_axis",
    "identify_rod",
    "linearity",
    "power_of_runs",
    "runs_needed",
    "search_arrangements",
    "search_tolerant_designs",
    "student_t",
    "study_importance",
    "study_what_if",
    "study_yield",
]

@final
class Line:
    """A straight line: offset + slope x."""
    @staticmethod
    def from_json(text: str) -> Line:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Every figure as JSON, SI, to the last bit."""
    @property
    def offset(self) -> float:
        """y at x = 0."""
    @property
    def slope(self) -> float:
        """Change of y for one unit of x."""
    def at(self, x: float) -> float:
        """y at x."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Linearity:
    """Departure of a characteristic from a straight line by the three measures of IEC 61298-2, as fractions of its
    span.
    """
    @staticmethod
    def from_json(text: str) -> Linearity:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Every figure as JSON, SI, to the last bit."""
    @property
    def independent(self) -> float:
        """From the line that makes the largest departure as small as it can be."""
    @property
    def terminal_based(self) -> float:
        """From the line through both ends."""
    @property
    def zero_based(self) -> float:
        """From the line through the lower end that makes the largest departure as small as it can be."""
    @property
    def independent_line(self) -> Line:
        """The line of independent."""
    @property
    def terminal_based_line(self) -> Line:
        """The line of terminal_based."""
    @property
    def zero_based_line(self) -> Line:
        """The line of zero_based."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def linearity(x: ArrayLike, y: ArrayLike) -> Linearity:
    """The linearities of the characteristic through the samples (x, y), x strictly ascending."""

@final
class Measure:
    """A measure of an arrangement by its name, with its value and what it may be."""
    @property
    def name(self) -> str:
        """Its name, as with_measure takes it."""
    @property
    def value(self) -> float:
        """Its value, SI."""
    @property
    def bounds(self) -> tuple[float, float]:
        """The least and the greatest value that any arrangement may have, SI. Some values within are refused all
        the same, for what the other measures are.
        """
    @property
    def unit(self) -> str:
        """SI unit."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class BackPlate:
    """A thick steel plate behind the magnets of an arrangement, on the side away from the sensor.

    distance: back of the magnets to the plate, m. holder: what it is fixed to, "magnets" (it goes where they go
    and is tilted with them) or "sensor" (they move past both).
    """
    def __new__(cls, distance: float = 0.0, *, holder: Literal["magnets", "sensor"] = "magnets") -> BackPlate: ...
    @property
    def distance(self) -> float:
        """Back of the magnets to the plate, m."""
    @property
    def holder(self) -> Literal["magnets", "sensor"]:
        """ "magnets" or "sensor"."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SensorPackage:
    """The body of a sensor: a box behind the center of its face, of a width (x), a height (y) and a thickness, m."""
    def __new__(cls, width: float, height: float, thickness: float) -> SensorPackage: ...
    @property
    def width(self) -> float:
        """Along the package's x, m."""
    @property
    def height(self) -> float:
        """Along the package's y, m."""
    @property
    def thickness(self) -> float:
        """Face to back, m."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@disjoint_base
class Arrangement:
    """How magnets and sensor of a control stand to each other, in the measures of a builder; made as SwungLayout,
    PairLayout, HeadOnLayout or ShaftEndLayout.

    The pivot's axis is +z through the origin; when the control is centered the arm lies along +x, so that x is
    the radial, y the tangential and z the axial direction. A magnet is given in its own frame with its
    orientation and without a position. The z axis of the sensor's package, out of its face, points at the
    magnets.

    The gap is set between the face of the package and the nearest point of the magnets as they stand, however
    tilted; a plate is set against their back; then the sensor is moved by its offset.

    Of every class: offset of the sensor from its place, m; magnet_tilt, sensor_tilt: rotation vectors, rad, of
    the magnets (two together about the middle between them) and of the package (about the center of its face).
    Vectors are (radial, tangential, axial). plate: a BackPlate. package: a SensorPackage, the whole of which
    must then keep clear.
    """
    @property
    def offset(self) -> Floats:
        """Offset of the sensor from its place, m, shape (3,)."""
    @property
    def magnet_tilt(self) -> Floats:
        """How the magnets are turned out of their place: a rotation vector, rad, shape (3,)."""
    @property
    def sensor_tilt(self) -> Floats:
        """How the sensor's package is turned out of its place: a rotation vector, rad, shape (3,)."""
    @property
    def plate(self) -> BackPlate | None:
        """The steel plate behind the magnets; None without one."""
    @property
    def package(self) -> SensorPackage | None:
        """The body of the sensor; None if not given."""
    @property
    def source(self) -> MagnetGroup | MagnetsOverPlate:
        """What the sensor reads: the magnets where they stand when centered, a MagnetGroup, or MagnetsOverPlate."""
    @property
    def sensor_pose(self) -> Pose:
        """The sensor's package when centered."""
    def measures(self) -> list[Measure]:
        """Every continuous measure that the arrangement has, with its value: what can be varied by with_measure."""
    def measure(self, name: str) -> float | None:
        """The value of one measure by its name, SI; None if the arrangement does not have it."""
    def with_measure(self, name: str, value: float) -> Self:
        """The same arrangement with another value of one measure, SI."""
    def axis(
        self,
        *,
        throw: tuple[float, float] | None = None,
        sensor: LinearHall | AngleSensor | Potentiometer,
        converter: Converter | None = None,
        moving: Literal["magnets", "sensor"] = "magnets",
        area: ActiveArea | None = None,
        drive: Transmission | None = None,
        lever: float | None = None,
        filter: LowPass | None = None,
        averaging: Averaging | None = None,
        remanence_drift: float = 0.0,
        reference_celsius: float = 20.0,
        celsius: float | None = None,
    ) -> Axis:
        """The axis that this arrangement makes with a throw (rad), a sensor and a converter, on the control's own
        pivot or behind a drive, read at a point or over an area; see Axis.

        Where the package of the sensor is given, it must keep clear of magnets and plate over the whole throw.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SwungLayout(Arrangement):
    """A magnet on an arm, swung past a sensor that faces it.

    magnet: of any shape, in its own frame with its orientation. arm: pivot to the center of the magnet, m. gap:
    nearest face of the magnet to package face, m. side: "outer", "inner" or "axial", where the sensor stands.
    The others: see Arrangement. A sensor that reads across its face reads the radial component on the outer and
    inner side, the axial one on the axial side; the package's x axis lies along the tangent.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import mm
    >>> cube = yw.magnet.Block(size=(5 * mm, 5 * mm, 5 * mm), polarization=(0, 1.3, 0))
    >>> layout = yw.axis.SwungLayout(magnet=cube, arm=20 * mm, gap=3 * mm)
    >>> layout.side
    'outer'
    >>> print(f"sensor at {layout.sensor_pose.position[0] / mm:.1f} mm")
    sensor at 25.5 mm
    >>> nearer = layout.with_measure("gap", 2 * mm)
    >>> print(f"sensor at {nearer.sensor_pose.position[0] / mm:.1f} mm")
    sensor at 24.5 mm
    """
    def __new__(
        cls,
        *,
        magnet: Magnet,
        arm: float,
        gap: float,
        side: Literal["outer", "inner", "axial"] = "outer",
        offset: ArrayLike = (0.0, 0.0, 0.0),
        magnet_tilt: ArrayLike = (0.0, 0.0, 0.0),
        sensor_tilt: ArrayLike = (0.0, 0.0, 0.0),
        plate: BackPlate | None = None,
        package: SensorPackage | None = None,
    ) -> SwungLayout: ...
    @property
    def magnet(self) -> Magnet:
        """The magnet in its own frame."""
    @property
    def arm(self) -> float:
        """Pivot to the center of the magnet, m."""
    @property
    def gap(self) -> float:
        """Nearest face of the magnet to package face when centered, m."""
    @property
    def side(self) -> Literal["outer", "inner", "axial"]:
        """ "outer", "inner" or "axial"."""

@final
class PairLayout(Arrangement):
    """Two magnets side by side on an arm, opposite poles towards a sensor that faces the middle between them: for
    pivots that turn further than one magnet reads straight.

    magnets: two of any shape, in their own frames, first the one at negative y, which comes before the sensor
    at positive angles; or one, of which the second is the equal, polarized the other way. arm: pivot to the
    middle between their centers on a flat carrier, to each center on a round one, m. gap: nearest face to
    package face, m. spacing: between their facing sides, m, 0 where they touch; on a round carrier twice the
    distance of the nearest point of each from the plane between them. carrier: "flat", both upright along the
    tangent, or "round", each turned to its own radius. side: as of SwungLayout. The others: see Arrangement.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg, mm
    >>> bar = yw.magnet.Block(size=(3 * mm, 6 * mm, 6 * mm), polarization=(1.2, 0, 0))
    >>> layout = yw.axis.PairLayout(magnets=bar, arm=20 * mm, gap=6 * mm, spacing=6 * mm)
    >>> layout.magnets[1].polarization
    array([-1.2, -0. , -0. ])
    >>> axis = layout.axis(
    ...     throw=(-12 * deg, 12 * deg),
    ...     sensor=yw.hall.LinearHall(
    ...         supply=5, nominal_supply=5, quiescent=2.5, sensitivity=20, rail_low=0.2, rail_headroom=0.2,
    ...         noise=0.001, depth=0.5 * mm,
    ...     ),
    ...     converter=yw.hall.Converter(bits=12, reference=5),
    ... )
    >>> print(f"{axis.figures().linearity_flux.independent:.1%}")
    0.9%
    """
    def __new__(
        cls,
        *,
        magnets: Magnet | Sequence[Magnet],
        arm: float,
        gap: float,
        spacing: float,
        carrier: Literal["flat", "round"] = "flat",
        side: Literal["outer", "inner", "axial"] = "outer",
        offset: ArrayLike = (0.0, 0.0, 0.0),
        magnet_tilt: ArrayLike = (0.0, 0.0, 0.0),
        sensor_tilt: ArrayLike = (0.0, 0.0, 0.0),
        plate: BackPlate | None = None,
        package: SensorPackage | None = None,
    ) -> PairLayout: ...
    @property
    def magnets(self) -> list[Magnet]:
        """The two magnets in their own frames."""
    @property
    def arm(self) -> float:
        """Pivot to the middle between the centers on a flat carrier, to each center on a round one, m."""
    @property
    def gap(self) -> float:
        """Nearest face of the magnets to package face when centered, m."""
    @property
    def spacing(self) -> float:
        """Between the facing sides of the magnets, m."""
    @property
    def carrier(self) -> Literal["flat", "round"]:
        """ "flat" or "round"."""
    @property
    def side(self) -> Literal["outer", "inner", "axial"]:
        """ "outer", "inner" or "axial"."""

@final
class HeadOnLayout(Arrangement):
    """A magnet on an arm that comes towards the sensor and goes away from it.

    magnet: of any shape, in its own frame with its orientation, polarized along the tangent as a rule. arm:
    pivot to the center of the magnet, m. gap: nearest face of the magnet to package face when centered, m. The
    others: see Arrangement. The sensor stands before the magnet along the tangent, so that positive angles
    close the gap; it reads the field on the magnet's axis, never straight and never zero. The package's x axis
    lies along the radius.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg, mT, mm
    >>> disc = yw.magnet.Cylinder(6 * mm, 3 * mm, (0, 0, 1.2), yw.Pose.from_directions((0, 0, 0), (0, 0, 1), (0, 1, 0)))
    >>> layout = yw.axis.HeadOnLayout(magnet=disc, arm=25 * mm, gap=4 * mm)
    >>> print(f"{layout.source.field_at(layout.sensor_pose.position)[1] / mT:.1f} mT")
    71.5 mT
    """
    def __new__(
        cls,
        *,
        magnet: Magnet,
        arm: float,
        gap: float,
        offset: ArrayLike = (0.0, 0.0, 0.0),
        magnet_tilt: ArrayLike = (0.0, 0.0, 0.0),
        sensor_tilt: ArrayLike = (0.0, 0.0, 0.0),
        plate: BackPlate | None = None,
        package: SensorPackage | None = None,
    ) -> HeadOnLayout: ...
    @property
    def magnet(self) -> Magnet:
        """The magnet in its own frame."""
    @property
    def arm(self) -> float:
        """Pivot to the center of the magnet, m."""
    @property
    def gap(self) -> float:
        """Nearest face of the magnet to package face when centered, m."""

@final
class ShaftEndLayout(Arrangement):
    """A magnet on the end of the pivot's shaft under a sensor, or a ring on the shaft with the sensor beside its
    rim.

    magnet: of any shape, in its own frame with its orientation, polarized across the shaft as a rule. gap:
    nearest face of the magnet to package face, m. side: "end", the sensor on the shaft's axis, or "beside", off
    it along x. eccentricity: of the magnet's center from the shaft's axis along x and y, m; that of the
    sensor's die is the offset. The others: see Arrangement. The package's x axis lies along y, so that a sensor
    that reads along it reads nothing of a magnet polarized along x when centered.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import mT, mm
    >>> disc = yw.magnet.Cylinder(diameter=6 * mm, length=2.5 * mm, polarization=(1.2, 0, 0))
    >>> layout = yw.axis.ShaftEndLayout(magnet=disc, gap=2 * mm)
    >>> print(f"{layout.source.field_at(layout.sensor_pose.position)[0] / mT:.1f} mT")
    -83.2 mT
    """
    def __new__(
        cls,
        *,
        magnet: Magnet,
        gap: float,
        side: Literal["end", "beside"] = "end",
        eccentricity: tuple[float, float] = (0.0, 0.0),
        offset: ArrayLike = (0.0, 0.0, 0.0),
        magnet_tilt: ArrayLike = (0.0, 0.0, 0.0),
        sensor_tilt: ArrayLike = (0.0, 0.0, 0.0),
        plate: BackPlate | None = None,
        package: SensorPackage | None = None,
    ) -> ShaftEndLayout: ...
    @property
    def magnet(self) -> Magnet:
        """The magnet in its own frame."""
    @property
    def gap(self) -> float:
        """Nearest face of the magnet to package face, m."""
    @property
    def side(self) -> Literal["end", "beside"]:
        """ "end" or "beside"."""
    @property
    def eccentricity(self) -> tuple[float, float]:
        """The magnet's center from the shaft's axis, along x and y, m."""

@final
class Axis:
    """A control axis: magnets carried round a pivot past a fixed sensor, or the sensor past fixed magnets.

    pivot: a point on the pivot's axis, m. direction: of that axis; angles follow the right-hand rule. throw:
    least and greatest angle, rad, 0 between them. magnets, sensor_pose: as they stand at angle zero; magnets
    may be over a plate (SteelPlate.over), and plate says what that is fixed to: "frame", where it stands still,
    or "moving". area: over which the sensor averages, its pose from the active point along the axes of the
    package; without one the sensor reads at the point. moving: "magnets" or "sensor".

    drive: what turns the pivot when the control is moved (FixedRatio, BallRod, CenteredFourBar, UniversalJoint,
    PedalTransmission or TransmissionChain); None where the control sits on the pivot. All angles are those of
    the control, and the throw is the whole travel of the drive unless it is given. lever: distance of pad or
    grip from the control's own pivot, m, for figures by its way.

    sensor: LinearHall, AngleSensor or Potentiometer, which needs no magnets and no sensor_pose. converter:
    behind it; a digital AngleSensor has codes of its own and takes none. filter, averaging: before the
    converter and of its codes. remanence_drift: change of the remanence as a share of it, 1/K, from
    reference_celsius; celsius: temperature of magnets and sensor, None for everything as it is given.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg, mT, mm
    >>> sensor = yw.hall.LinearHall(
    ...     supply=3.3, nominal_supply=3.3, quiescent=1.65, sensitivity=13.0,
    ...     rail_low=0.1, rail_headroom=0.1, noise=0.0005, depth=0.5 * mm,
    ... )
    >>> axis = yw.axis.Axis(
    ...     pivot=(0, 0, 0),
    ...     direction=(0, 0, 1),
    ...     throw=(-10 * deg, 10 * deg),
    ...     magnets=yw.magnet.Block((5 * mm, 5 * mm, 5 * mm), (0, 1.3, 0), yw.Pose((12 * mm, 0, 0))),
    ...     sensor=sensor,
    ...     sensor_pose=yw.Pose((19 * mm, 0, 0), (0, -90 * deg, 0)),
    ...     converter=yw.hall.Converter(bits=12, reference=3.3),
    ... )
    >>> axis.figures().counts
    850
    """
    def __new__(
        cls,
        *,
        pivot: ArrayLike = (0.0, 0.0, 0.0),
        direction: ArrayLike = (0.0, 0.0, 1.0),
        throw: tuple[float, float] | None = None,
        magnets: Magnet | MagnetGroup | MagnetsOverPlate | None = None,
        sensor: LinearHall | AngleSensor | Potentiometer,
        sensor_pose: Pose | None = None,
        converter: Converter | None = None,
        moving: Literal["magnets", "sensor"] = "magnets",
        area: ActiveArea | None = None,
        plate: Literal["frame", "moving"] = "frame",
        drive: Transmission | None = None,
        lever: float | None = None,
        filter: LowPass | None = None,
        averaging: Averaging | None = None,
        remanence_drift: float = 0.0,
        reference_celsius: float = 20.0,
        celsius: float | None = None,
    ) -> Axis: ...
    @property
    def pivot(self) -> Floats:
        """A point on the pivot's axis, m, shape (3,)."""
    @property
    def direction(self) -> Floats:
        """Direction of the pivot's axis, as given, shape (3,)."""
    @property
    def throw(self) -> tuple[float, float]:
        """Least and greatest angle of the control, rad."""
    @property
    def magnets(self) -> MagnetGroup | MagnetsOverPlate | None:
        """The magnets at angle zero: a MagnetGroup, or MagnetsOverPlate; None of a potentiometer without any."""
    @property
    def plate(self) -> Literal["frame", "moving"]:
        """What a plate under the magnets is fixed to: "frame" or "moving"."""
    @property
    def area(self) -> ActiveArea | None:
        """The area that the sensor averages over; None of one that reads at its active point."""
    @property
    def sensor(self) -> LinearHall | AngleSensor | Potentiometer:
        """The sensor."""
    @property
    def sensor_pose(self) -> Pose:
        """The sensor's package at angle zero."""
    @property
    def converter(self) -> Converter | None:
        """The converter; None of a digital AngleSensor."""
    @property
    def moving(self) -> Literal["magnets", "sensor"]:
        """ "magnets" or "sensor"."""
    @property
    def throw_ends(self) -> tuple[str | None, str | None]:
        """What of the drive ends the throw below and above, by name; None where the throw ends before."""
    @property
    def drive(self) -> Transmission | None:
        """What turns the pivot when the control is moved; None where the control sits on it."""
    @property
    def lever(self) -> float | None:
        """Distance of pad or grip from the control's own pivot, m; None if not given."""
    def pivot_at(self, angle: float) -> Transfer:
        """The angle of the pivot at the sensor (rad), with first and second derivative, when the control stands at
        an angle (rad).
        """
    def magnets_at(self, angle: float) -> MagnetGroup | MagnetsOverPlate | None:
        """The magnets when the control stands at an angle, rad, with their plate if they are over one."""
    def sensor_pose_at(self, angle: float) -> Pose:
        """The sensor's package when the control stands at an angle, rad."""
    @property
    def filter(self) -> LowPass | None:
        """The filter before the converter, if there is one."""
    @property
    def averaging(self) -> Averaging | None:
        """The averaging of the codes, if there is one."""
    @property
    def remanence_drift(self) -> float:
        """Change of the remanence with temperature, as a share of it, 1/K."""
    @property
    def reference_celsius(self) -> float:
        """Temperature at which the polarization of the magnets is given, degC."""
    @property
    def celsius(self) -> float | None:
        """Temperature of magnets and sensor, degC; None leaves everything as it is given."""
    @property
    def remanence_share(self) -> float:
        """Share of its reference that the remanence has at the temperature of the magnets."""
    def at_temperature(self, celsius: float) -> Axis:
        """The same axis at another temperature of magnets and sensor, degC: the remanence changes by
        remanence_drift for a kelvin, a LinearHall as its variation says.
        """
    def zeroed(self) -> Axis:
        """The same axis with the zero position of its AngleSensor where the centered control stands, as a builder
        programs it.
        """
    def field_at(self, angle: float) -> Floats:
        """Flux density at the sensor when the control stands at an angle (rad), in the frame of its package, T,
        shape (3,).
        """
    def angle_error(self, points: int = 360) -> AngleError:
        """The error of an AngleSensor over a whole turn of the pivot, from the real field at so many places: the
        angle that it reads less the angle turned, with the first and the second harmonic.
        """
    def flux_at(self, angle: float) -> float:
        """Flux density along the sensitive direction at an angle (rad), T."""
    def fluxes_at(self, angles: ArrayLike) -> tuple[Floats, Mask]:
        """Flux densities at many angles (N,): T, shape (N,), and a mask of the rows that have a value."""
    def sweep(self, points: int = 1001) -> Sweep:
        """The curve over the throw at evenly spaced angles, both ends included."""
    def figures(self, points: int = 1001) -> AxisFigures:
        """What the curve amounts to. The figures do not depend on the number of points, as long as the curve has
        nothing narrower than a step.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Sweep:
    """The characteristic of an axis over its throw: angle -> flux density -> volts -> counts."""
    @staticmethod
    def from_json(text: str) -> Sweep:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Every figure as JSON, SI, to the last bit."""
    @property
    def angle(self) -> Floats:
        """Angles, rad, ascending."""
    @property
    def flux(self) -> Floats | None:
        """Flux density along the sensitive direction, T; None unless the sensor is a LinearHall."""
    @property
    def read_angle(self) -> Floats | None:
        """The angle that an angle sensor reads, from its zero position in its own sense, rad, going on past half a
        turn; None of another sensor.
        """
    @property
    def volts(self) -> Floats | None:
        """Sensor output, V, held at the rails; None of a digital angle sensor."""
    @property
    def counts(self) -> NDArray[np.int64]:
        """Converter codes."""
    @property
    def clipped(self) -> Mask:
        """Where the sensor is at a rail or the converter at the end of its range."""
    @property
    def clearance(self) -> float:
        """Least distance of the center of the package face from a magnet over the throw, m."""
    def __len__(self) -> int: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class CenterFigures:
    """Gains and steps of an axis at its center, by the angle of the pivot at the sensor or by the way of pad or
    grip.
    """
    @property
    def gain_flux(self) -> float | None:
        """Change of flux density, T per rad or per m."""
    @property
    def gain_volts(self) -> float | None:
        """Change of output, V per rad or per m; 0 where the output is clipped."""
    @property
    def gain_counts(self) -> float:
        """Change of code, counts per rad or per m; 0 where the output is clipped."""
    @property
    def step_quantization(self) -> float | None:
        """What one count is worth, rad or m; None where the reading stands still."""
    @property
    def step_noise(self) -> float | None:
        """What the rms noise of sensor and converter is worth, rad or m; None where the reading stands still."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class AxisFigures:
    """What the curve of an axis amounts to. SI; fractions of 1; None where a figure has no value.

    Extremes, clipping and lines are followed between samples to 1e-9 of the span: the figures do not depend on
    the number of points.
    """
    @property
    def ratio(self) -> float:
        """Turn of the pivot at the sensor for a small turn of the control at the center: 1 without a drive."""
    @property
    def lever(self) -> float | None:
        """Distance of pad or grip from the control's pivot, m; None if not given."""
    @property
    def at_pivot(self) -> CenterFigures | None:
        """Gains and steps at the center by the angle of the pivot at the sensor, per rad and in rad; None where
        that stands still.
        """
    @property
    def at_grip(self) -> CenterFigures | None:
        """Gains and steps at the center by the way of pad or grip along its circle, per m and in m; None without a
        lever.
        """
    @staticmethod
    def from_json(text: str) -> AxisFigures:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Every figure as JSON, SI, to the last bit."""
    @property
    def counts(self) -> int:
        """Greatest less least code over the throw."""
    @property
    def code_range(self) -> tuple[int, int]:
        """Least and greatest code over the throw."""
    @property
    def range_used(self) -> float:
        """Counts as a fraction of the converter's range."""
    @property
    def flux_span(self) -> float | None:
        """Greatest less least flux density, T; None unless the sensor is a LinearHall."""
    @property
    def volts_span(self) -> float | None:
        """Greatest less least sensor output, V; None of a digital AngleSensor."""
    @property
    def gain_flux(self) -> float | None:
        """Gain at the center, T/rad; None unless the sensor is a LinearHall."""
    @property
    def gain_volts(self) -> float | None:
        """Gain at the center, V/rad; 0 where the output is clipped, None of a digital AngleSensor."""
    @property
    def gain_counts(self) -> float:
        """Gain at the center, counts/rad; 0 where the output is clipped."""
    @property
    def linearity_flux(self) -> Linearity | None:
        """Linearity of the flux density; None if it does not change."""
    @property
    def linearity(self) -> Linearity | None:
        """Linearity of the output over the whole throw, of the span that the rails leave: where a rail holds the
        output, its departure counts like any other. The output is a voltage, or the angle that a digital
        AngleSensor reads (rad past the far side of its zero position). None if the output does not change.
        """
    @property
    def field_range(self) -> tuple[float, float] | None:
        """Least and greatest flux density at an AngleSensor over the throw, in the plane of its two directions, T;
        None of another sensor.
        """
    @property
    def linearity_volts(self) -> Linearity | None:
        """linearity of an output in volts; None of a digital AngleSensor."""
    @property
    def monotonic_range(self) -> tuple[float, float]:
        """The angles around the center over which the flux density only rises or only falls, rad."""
    @property
    def monotonic(self) -> bool:
        """Whether the monotonic range is the whole throw."""
    @property
    def clipped_share(self) -> float:
        """The part of the throw that is clipped."""
    @property
    def step_quantization_center(self) -> float | None:
        """The angle that one count is worth at the center, rad."""
    @property
    def step_quantization_worst(self) -> float | None:
        """The angle that one count is worth where it is worth most, outside the clipped part, rad."""
    @property
    def step_noise_center(self) -> float | None:
        """The angle that the rms noise of sensor and converter is worth at the center, rad."""
    @property
    def step_noise_worst(self) -> float | None:
        """The angle that the rms noise is worth where it is worth most, outside the clipped part, rad."""
    @property
    def effective_bits(self) -> float | None:
        """log2(span / (sqrt(12) noise)), quantization included: IEEE Std 1241 on the span that the throw covers."""
    @property
    def clearance(self) -> float:
        """Least distance of the center of the package face from a magnet over the throw, m."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ArrangementSummary:
    """An arrangement in a few figures. SI; fractions of 1."""
    @property
    def span(self) -> float:
        """Span of the output, as a share of the sensor's output range."""
    @property
    def linearity(self) -> float:
        """Independent linearity of the output; 1 where it does not change."""
    @property
    def step(self) -> float | None:
        """The angle that a count or the rms noise, whichever is worth more, is worth where it is worth most, rad;
        None where the reading turns back.
        """
    @property
    def size(self) -> float:
        """The longest side of the smallest box that holds pivot, magnets and the package's face when centered, m."""
    @property
    def magnet_volume(self) -> float:
        """Of all magnets, m^3."""
    @property
    def clearance(self) -> float:
        """Least distance of the package's face from magnets and their plate over the throw, m."""
    @property
    def clipped_share(self) -> float:
        """The part of the throw at which the output is clipped."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ArrangementCandidate:
    """An arrangement that search_arrangements found, or came near to. Its figures are those on which it was
    judged.
    """
    @property
    def arrangement(self) -> Arrangement:
        """The arrangement with its measures."""
    @property
    def start(self) -> int:
        """Which of the arrangements that were given it is, from 0."""
    @property
    def sensor(self) -> int:
        """Which of the sensors it has, from 0."""
    @property
    def axis(self) -> Axis:
        """Its axis."""
    @property
    def figures(self) -> AxisFigures:
        """Its figures."""
    @property
    def summary(self) -> ArrangementSummary:
        """Its figures in short."""
    @property
    def characters(self) -> list[str]:
        """In what it excels among the answers: "widest span", "straightest", "finest step", "smallest magnet",
        "widest gap", "smallest"; nothing of one that is simply the next best.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ParetoRow:
    """One line of the table of what can be had of span, linearity and size: no arrangement that was tried and
    keeps the limits is at least as good in all three and better in one.
    """
    @property
    def arrangement(self) -> Arrangement:
        """The arrangement."""
    @property
    def start(self) -> int:
        """Which of the arrangements that were given it is, from 0."""
    @property
    def sensor(self) -> int:
        """Which of the sensors it has, from 0."""
    @property
    def summary(self) -> ArrangementSummary:
        """Its figures."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class JustOutside:
    """An arrangement that misses one limit by little and would give far more; str() of it says so in words."""
    @property
    def objective(self) -> Literal["span", "linearity", "step"]:
        """What was sought: "span", "linearity" or "step"."""
    @property
    def candidate(self) -> ArrangementCandidate:
        """The arrangement."""
    @property
    def shortfall(self) -> Shortfall:
        """The one limit that it misses."""
    @property
    def instead_of(self) -> ArrangementSummary | None:
        """The best that keeps all limits, or that comes nearest to them; None if there is nothing to compare with."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class BestOfKind:
    """The best of one kind of arrangement."""
    @property
    def kind(self) -> Literal["swung", "pair", "head-on", "shaft end"]:
        """ "swung", "pair", "head-on" or "shaft end"."""
    @property
    def candidate(self) -> ArrangementCandidate:
        """The best of it; if none keeps the limits, the one that comes nearest."""
    @property
    def shortfalls(self) -> list[Shortfall]:
        """What that one falls short in, the worst first."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ArrangementSearch:
    """What search_arrangements gives.

    result: several good answers of different character, best first; the nearest if nothing fits; and the
    counts.
    """
    @property
    def result(self) -> SearchResult[ArrangementCandidate]:
        """The answers, a SearchResult: best first; the nearest if nothing fits; and the counts."""
    @property
    def pareto(self) -> list[ParetoRow]:
        """What can be had of span, linearity and size, the widest span first."""
    @property
    def just_outside(self) -> JustOutside | None:
        """What misses one limit by little and would give far more, if there is such a thing."""
    @property
    def kinds(self) -> list[BestOfKind]:
        """The best of each kind of arrangement that was asked for, the best kind first."""
    def kinds_in_words(self) -> str | None:
        """Which kind of arrangement is better, and why, in words; None if only one kind was asked for."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def search_arrangements(
    arrangements: Sequence[Arrangement],
    *,
    sensors: Sequence[LinearHall | AngleSensor | Potentiometer],
    converter: Converter | None = None,
    throw: tuple[float, float] | None = None,
    vary: dict[str, tuple[float, float] | tuple[float, float, float]],
    drive: Transmission | None = None,
    lever: float | None = None,
    moving: Literal["magnets", "sensor"] = "magnets",
    objective: Literal["span", "linearity", "step"] = "span",
    max_linearity: float = 0.01,
    max_clipped: float = 0.0,
    range_margin: float = 0.0,
    min_span: float = 0.0,
    min_clearance: float = 0.0,
    max_size: float | None = None,
    answers: int = 6,
) -> ArrangementSearch:
    """Searches arrangements, sensors and measures for the best that keeps its limits; several good answers of
    different character, and the table of what can be had of span, linearity and size.

    arrangements: to start from, one for each magnet of a list, of one kind or of several; whatever does not
    vary is taken from them. sensors: to choose from. vary: {measure: (lower, upper)} or, for drilled holes and
    printed slots, (lower, upper, step), SI, by the names of Arrangement.measures; each is varied of the
    arrangements that have it. objective: "span" (less the linearity, so that of two equally wide sweeps the
    straighter is better), "linearity" (needs a min_span) or "step". max_linearity: of span. max_clipped: of the
    throw. range_margin: share of the output range to keep free at each rail. min_span: of the output range.
    min_clearance, max_size: m. answers: how many at most.

    Every trial is judged by the figures of its axis, which are those that are returned. If nothing would do but
    what misses one limit by a twentieth of it at most is 1.5 times as good, just_outside tells so.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg, mm
    >>> def swung(side):
    ...     cube = yw.magnet.Block((side, side, side), (0, 1.3, 0))
    ...     return yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=3 * mm)
    >>> search = yw.axis.search_arrangements(
    ...     [swung(4 * mm), swung(5 * mm)],
    ...     sensors=[yw.hall.LinearHall(supply=5.0, sensitivity=25.0)],
    ...     converter=yw.hall.Converter(bits=12, reference=5.0),
    ...     throw=(-6 * deg, 6 * deg),
    ...     vary={"arm": (8 * mm, 20 * mm, 0.5 * mm), "gap": (1 * mm, 6 * mm)},
    ... )
    >>> best = search.result.best()
    >>> best.summary.span > 0.9 and best.summary.linearity <= 0.01
    True
    >>> "widest span" in best.characters
    True
    """

@final
class CarriedMagnets:
    """Magnets on one of the bodies of a stick on two axes.

    magnets: as they stand with both angles zero; a steel plate goes with them. carrier: "frame", "ring" (the
    outer body) or "stick" (the inner one). read_by: the sensor that is meant to read them, "outer", "inner",
    "both" or "neither". remanence_drift: change of their remanence as a share of it, 1/K, from
    reference_celsius; celsius: their temperature, None for everything as it is given.
    """
    def __new__(
        cls,
        magnets: Magnet | MagnetGroup | MagnetsOverPlate,
        carrier: Literal["frame", "ring", "stick"],
        read_by: Literal["outer", "inner", "both", "neither"],
        *,
        remanence_drift: float = 0.0,
        reference_celsius: float = 20.0,
        celsius: float | None = None,
    ) -> CarriedMagnets: ...
    @property
    def magnets(self) -> MagnetGroup | MagnetsOverPlate:
        """The magnets with both angles zero: a MagnetGroup, or MagnetsOverPlate."""
    @property
    def carrier(self) -> Literal["frame", "ring", "stick"]:
        """ "frame", "ring" or "stick"."""
    @property
    def read_by(self) -> Literal["outer", "inner", "both", "neither"]:
        """ "outer", "inner", "both" or "neither"."""
    @property
    def remanence_drift(self) -> float:
        """Change of the remanence with temperature, as a share of it, 1/K."""
    @property
    def reference_celsius(self) -> float:
        """Temperature at which the polarization is given, degC."""
    @property
    def celsius(self) -> float | None:
        """Temperature of the magnets, degC; None leaves them as they are given."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class CarriedSensor:
    """A sensor on one of the bodies of a stick on two axes, and what stands behind it.

    sensor: LinearHall, AngleSensor or Potentiometer, which sits on the shaft of its axis
    (CarriedSensor.on_shaft). pose: of its package with both angles zero (origin at the center of its face, +z
    out of the face). carrier: "frame", "ring" (the outer body) or "stick" (the inner one). converter: behind
    it; a digital AngleSensor has codes of its own and takes none. area, filter, averaging: as of an Axis.
    celsius: its temperature, None for everything as it is given.
    """
    def __new__(
        cls,
        sensor: LinearHall | AngleSensor | Potentiometer,
        pose: Pose,
        carrier: Literal["frame", "ring", "stick"],
        converter: Converter | None = None,
        *,
        area: ActiveArea | None = None,
        filter: LowPass | None = None,
        averaging: Averaging | None = None,
        celsius: float | None = None,
    ) -> CarriedSensor: ...
    @staticmethod
    def on_shaft(sensor: Potentiometer, converter: Converter) -> CarriedSensor:
        """A Potentiometer on the shaft of its axis, centered with the stick."""
    @property
    def sensor(self) -> LinearHall | AngleSensor | Potentiometer:
        """The sensor."""
    @property
    def pose(self) -> Pose:
        """Its package with both angles zero."""
    @property
    def carrier(self) -> Literal["frame", "ring", "stick"]:
        """ "frame", "ring" or "stick"."""
    @property
    def converter(self) -> Converter | None:
        """The converter behind it; None of a digital AngleSensor."""
    @property
    def area(self) -> ActiveArea | None:
        """The area that it averages over; None of one that reads at its active point or over that of its data
        sheet.
        """
    @property
    def filter(self) -> LowPass | None:
        """The filter before the converter, if there is one."""
    @property
    def averaging(self) -> Averaging | None:
        """The averaging of the codes, if there is one."""
    @property
    def celsius(self) -> float | None:
        """Temperature of the sensor, degC; None leaves it as it is given."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class TwoAxis:
    """A stick on two axes with a sensor for each: every magnet at both sensors, all over the gate. Angles in rad,
    zero at neutral; pairs have the outer axis first.

    gimbal, gate: where the stick turns and how far; neutral is inside the gate. magnets: all that either sensor
    sees. outer, inner: the sensors of the two axes.

    A part on the frame stands still, one on the ring turns with the outer axis, one on the stick with both. A
    sensor reads its own axis alone if it and its magnet move against each other only when that axis turns: for
    the outer axis one of the two is on the frame and the other on the ring, for the inner one on the ring and
    on the stick.

    A sensor is any that an Axis takes and reads as it does there. One that an axis drives through rods or a
    linkage, on a pivot of its own, is an Axis with a drive, and no crosstalk is told of it.

    Examples
    --------
    Pitch is the outer axis, roll the inner one. Each magnet swings 20 mm from its axis past a sensor that faces it.
    With pitch's magnet on the stick, roll moves it past pitch's sensor; on the ring it does not.

    >>> import yokewright as yw
    >>> from yokewright import deg, mm, mV_per_mT
    >>> gimbal = yw.linkage.Gimbal(
    ...     outer=yw.linkage.Pivot((0, 0, 0), (0, 1, 0)),
    ...     inner=yw.linkage.Pivot((0, 0, 0), (1, 0, 0)),
    ...     stick=[(0, 0, 0), (0, 0, 400 * mm)],
    ... )
    >>> hall = yw.hall.LinearHall(
    ...     supply=5.0, nominal_supply=5.0, quiescent=2.5, sensitivity=10 * mV_per_mT,
    ...     rail_low=0.2, rail_headroom=0.3, noise=0.0005, depth=0.5 * mm,
    ... )
    >>> converter = yw.hall.Converter(bits=12, reference=5.0)
    >>> cube = (5 * mm, 5 * mm, 5 * mm)
    >>> pitch = yw.magnet.Block(cube, (0, 0, 1.2), yw.Pose((-20 * mm, 50 * mm, 0)))
    >>> roll = yw.magnet.Block(cube, (0, 1.2, 0), yw.Pose((10 * mm, 0, -20 * mm)))
    >>> def rig(pitch_on):
    ...     return yw.axis.TwoAxis(
    ...         gimbal=gimbal,
    ...         gate=yw.linkage.Gate.square((-15 * deg, 15 * deg), (-15 * deg, 15 * deg)),
    ...         magnets=[
    ...             yw.axis.CarriedMagnets(pitch, pitch_on, "outer"),
    ...             yw.axis.CarriedMagnets(roll, "stick", "inner"),
    ...         ],
    ...         outer=yw.axis.CarriedSensor(
    ...             hall, yw.Pose((-29 * mm, 50 * mm, 0), (0, 90 * deg, 0)), "frame", converter
    ...         ),
    ...         inner=yw.axis.CarriedSensor(hall, yw.Pose((10 * mm, 0, -30 * mm)), "ring", converter),
    ...     )
    >>> on_ring, on_stick = (rig(carrier).crosstalk().outer for carrier in ("ring", "stick"))
    >>> on_stick.cause
    'mounting'
    >>> on_stick.worst.counts > 50 * on_ring.worst.counts
    True
    """
    def __new__(
        cls,
        *,
        gimbal: Gimbal,
        gate: Gate,
        magnets: Sequence[CarriedMagnets],
        outer: CarriedSensor,
        inner: CarriedSensor,
    ) -> TwoAxis: ...
    @property
    def gimbal(self) -> Gimbal:
        """The two axes and the stick."""
    @property
    def gate(self) -> Gate:
        """Where the stick may be."""
    @property
    def magnets(self) -> list[CarriedMagnets]:
        """All magnets that either sensor sees."""
    @property
    def outer(self) -> CarriedSensor:
        """The sensor of the outer axis."""
    @property
    def inner(self) -> CarriedSensor:
        """The sensor of the inner axis."""
    @property
    def travel(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Least and greatest angle of each axis anywhere in the gate, rad."""
    def at_temperature(self, celsius: float) -> TwoAxis:
        """The same stick at another temperature of all magnets and both sensors, degC."""
    def zeroed(self, axis: Literal["outer", "inner"]) -> TwoAxis:
        """The same stick with the zero position of the AngleSensor of an axis ("outer" or "inner") where neutral
        stands, as a builder programs it.
        """
    def motion_at(self, carrier: Literal["frame", "ring", "stick"], outer: float, inner: float) -> Pose:
        """How what a carrier ("frame", "ring" or "stick") holds has moved from neutral at two angles."""
    def field_at(self, outer: float, inner: float) -> Floats:
        """Flux density at both sensors at two angles, each in the frame of its package, T, shape (2, 3)."""
    def flux_at(self, outer: float, inner: float) -> tuple[float, float]:
        """Flux density at both sensors along their sensitive directions at two angles, T; refused unless both are
        LinearHall.
        """
    def fluxes_at(self, outer: ArrayLike, inner: ArrayLike) -> tuple[Floats, Mask]:
        """Flux densities at both sensors at many angles (N,): T, shape (N, 2), and a mask (N,); refused rows are
        NaN and False.
        """
    def noise_at(self, outer: float, inner: float) -> tuple[NoiseBudget, NoiseBudget]:
        """The noise of both readings at two angles, behind filter, converter and averaging, referred to the
        converter's input: V, or rad of a digital AngleSensor.
        """
    def reading_at(self, outer: float, inner: float) -> TwoAxisReading:
        """What both sensors read at two angles."""
    def readings_at(self, outer: ArrayLike, inner: ArrayLike) -> TwoAxisReadings:
        """What both sensors read at many angles (N,)."""
    def map(self, outer: int = 41, inner: int = 41) -> GateMap:
        """What both sensors read on a grid over the gate, outer by inner angles."""
    def clearance(self) -> tuple[float, float]:
        """Least distance of the face of each sensor from any magnet or plate over the whole gate, m: nowhere is it
        less by more than 10 micrometers. Refused if a sensor reaches into a magnet, or a magnet into another.
        """
    def field_ranges(self) -> tuple[tuple[float, float] | None, tuple[float, float] | None]:
        """Least and greatest flux density in the plane of each AngleSensor anywhere in the gate, T; None of
        another sensor, whose output does not depend on it. Where it falls below the working flux of the sensor
        its angle gets lost.
        """
    def crosstalk(self, points: int = 41) -> Crosstalk:
        """The change of each axis's reading over the other's whole travel while it is held: at zero, and where in
        the gate that is worst. points: angles of the held axis, and of the other in each row.
        """
    def correction(
        self, terms: Literal["linear", "bilinear", "quadratic"] = "bilinear", points: int = 41
    ) -> Correction:
        """The map from the codes of both sensors to both angles that is nearest by least squares over the gate,
        and what is left. terms: "linear" (1, a, b), "bilinear" (and a b) or "quadratic" (and a^2, b^2).
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class TwoAxisReading:
    """What the two sensors of a stick read at one position; pairs have the outer axis first."""
    @property
    def flux(self) -> tuple[float | None, float | None]:
        """Flux density along the sensitive direction, T; None unless the sensor is a LinearHall."""
    @property
    def read_angle(self) -> tuple[float | None, float | None]:
        """The angle that an AngleSensor reads, from its zero position in its own sense, rad, going on past half a
        turn from neutral; None of another sensor.
        """
    @property
    def volts(self) -> tuple[float | None, float | None]:
        """Sensor output, V, held at the rails; None of a digital AngleSensor."""
    @property
    def counts(self) -> tuple[int, int]:
        """Converter codes; of a digital AngleSensor its own, its zero position being the middle of them."""
    @property
    def clipped(self) -> tuple[bool, bool]:
        """Whether the sensor is at a rail or the converter at the end of its range."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class TwoAxisReadings:
    """What the two sensors of a stick read at many positions, in the order of the angles; columns have the outer
    axis first.
    """
    @property
    def flux(self) -> Floats:
        """Flux density along the sensitive direction, T, shape (N, 2), the sensor of the outer axis first; NaN in
        refused rows and for a sensor that is no LinearHall.
        """
    @property
    def read_angle(self) -> Floats | None:
        """The angle that an AngleSensor reads, from its zero position in its own sense, rad, going on past half a
        turn from neutral, shape (N, 2); NaN in refused rows and for another sensor; None if neither is an
        AngleSensor.
        """
    @property
    def volts(self) -> Floats:
        """Sensor output, V, held at the rails, shape (N, 2); NaN in refused rows and for a digital AngleSensor."""
    @property
    def counts(self) -> NDArray[np.int64]:
        """Converter codes, shape (N, 2); -1 in refused rows."""
    @property
    def clipped(self) -> Mask:
        """Whether the sensor is at a rail or the converter at the end of its range, shape (N, 2)."""
    @property
    def valid(self) -> Mask:
        """Whether the row has a value, shape (N,)."""
    def __len__(self) -> int: ...

@final
class GateMap:
    """What both sensors of a stick read on a grid over the gate, M outer by N inner angles. Positions beyond the
    gate have no value.
    """
    @property
    def outer(self) -> Floats:
        """Outer angles, rad, shape (M,)."""
    @property
    def inner(self) -> Floats:
        """Inner angles, rad, shape (N,)."""
    @property
    def steps(self) -> tuple[float, float]:
        """One step of each converter, the outer one first, V; of a digital AngleSensor, rad."""
    @property
    def flux(self) -> Floats:
        """Flux density along the sensitive direction, T, shape (M, N, 2), the sensor of the outer axis first; NaN
        beyond the gate and for a sensor that is no LinearHall.
        """
    @property
    def read_angle(self) -> Floats | None:
        """The angle that an AngleSensor reads, from its zero position in its own sense, rad, going on past half a
        turn from neutral, shape (M, N, 2); NaN beyond the gate and for another sensor; None if neither is an
        AngleSensor.
        """
    @property
    def volts(self) -> Floats:
        """Sensor output, V, held at the rails, shape (M, N, 2); NaN beyond the gate and for a digital AngleSensor."""
    @property
    def counts(self) -> NDArray[np.int64]:
        """Converter codes, shape (M, N, 2); -1 beyond the gate."""
    @property
    def clipped(self) -> Mask:
        """Whether the sensor is at a rail or the converter at the end of its range, shape (M, N, 2)."""
    @property
    def valid(self) -> Mask:
        """Whether the gate allows the position, shape (M, N)."""

@final
class CrosstalkFigure:
    """The change of a reading while its own axis is held and the other one turns over its whole travel."""
    @property
    def held(self) -> float:
        """The angle at which the axis is held, rad."""
    @property
    def at(self) -> tuple[float, float]:
        """Angles of the other axis at which the flux density, or the angle that is read, is least and greatest,
        rad.
        """
    @property
    def flux(self) -> float | None:
        """Greatest less least flux density, T; None unless the sensor is a LinearHall."""
    @property
    def read_angle(self) -> float | None:
        """Greatest less least angle that is read, rad; None unless the sensor is an AngleSensor."""
    @property
    def volts(self) -> float | None:
        """Greatest less least output, within the rails and the range of the converter, V; None of a digital
        AngleSensor.
        """
    @property
    def counts(self) -> float:
        """The same in steps of the converter, not rounded: the codes differ from it by less than one."""
    @property
    def of_span(self) -> float | None:
        """The same as a fraction of the span over the axis's own travel, the other at zero; None if that has none."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class AxisCrosstalk:
    """The crosstalk of one axis by the other."""
    @property
    def axis(self) -> Literal["outer", "inner"]:
        """The axis whose reading changes: "outer" or "inner"."""
    @property
    def span_volts(self) -> float | None:
        """Greatest less least output over the axis's own travel, the other at zero, V; None of a digital
        AngleSensor.
        """
    @property
    def span_counts(self) -> float:
        """The same in steps of the converter."""
    @property
    def center(self) -> CrosstalkFigure:
        """With the axis held at zero."""
    @property
    def worst(self) -> CrosstalkFigure:
        """Where in the gate it is worst, by counts."""
    @property
    def own_flux(self) -> float | None:
        """The greatest change of flux density by the magnets that the sensor is meant to read, anywhere in the
        gate, T; None unless the sensor is a LinearHall.
        """
    @property
    def stray_flux(self) -> float | None:
        """The same by all other magnets, T."""
    @property
    def own_angle(self) -> float | None:
        """The greatest change of the angle that an AngleSensor would read of those magnets alone, rad; None of
        another sensor.
        """
    @property
    def stray_angle(self) -> float | None:
        """The greatest change of what all other magnets turn it by, rad."""
    @property
    def cause(self) -> Literal["negligible", "mounting", "stray field", "mounting and stray field"]:
        """Where it comes from: "negligible" (below a count), "mounting", "stray field" or "mounting and stray
        field".
        """
    @property
    def sensor_on(self) -> Literal["frame", "ring", "stick"]:
        """What carries the sensor."""
    @property
    def magnets_on(self) -> list[Literal["frame", "ring", "stick"]]:
        """What carries each source that the sensor is meant to read."""
    @property
    def shared(self) -> bool:
        """Whether one of those is read by the other sensor too."""
    @property
    def explanation(self) -> str:
        """Where it comes from and what to do about it, in a sentence."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Crosstalk:
    """The crosstalk of each axis of a stick by the other."""
    @staticmethod
    def from_json(text: str) -> Crosstalk:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Every figure as JSON, SI, to the last bit."""
    @property
    def outer(self) -> AxisCrosstalk:
        """Of the outer axis's reading when the inner axis turns."""
    @property
    def inner(self) -> AxisCrosstalk:
        """Of the inner axis's reading when the outer axis turns."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class CorrectionMap:
    """Both angles of a stick as polynomials of both readings, in counts."""
    @staticmethod
    def from_json(text: str) -> CorrectionMap:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Every figure as JSON, SI, to the last bit."""
    @property
    def terms(self) -> Literal["linear", "bilinear", "quadratic"]:
        """ "linear" (1, a, b), "bilinear" (and a b) or "quadratic" (and a^2, b^2), a being the outer reading."""
    @property
    def outer(self) -> Floats:
        """Coefficients of the outer angle in the order of the terms, rad for a power of counts."""
    @property
    def inner(self) -> Floats:
        """Coefficients of the inner angle."""
    def angles_for(self, outer: float, inner: float) -> tuple[float, float]:
        """Outer and inner angle, rad, for the readings of both sensors, counts."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class AngleResiduals:
    """How far angles by a map are from those that the stick stands at; pairs have the outer axis first."""
    @property
    def rms(self) -> tuple[float, float]:
        """Root of the mean square, rad."""
    @property
    def worst(self) -> tuple[float, float]:
        """Greatest magnitude, along the edge of a gate too, rad."""
    @property
    def rms_of_travel(self) -> tuple[float, float]:
        """rms as a fraction of the axis's travel."""
    @property
    def worst_of_travel(self) -> tuple[float, float]:
        """worst as a fraction of the axis's travel."""
    @property
    def worst_at(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Outer and inner angle where each is worst, rad."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Correction:
    """A map fitted to the readings over a gate, and what is left with it and without."""
    @staticmethod
    def from_json(text: str) -> Correction:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Every figure as JSON, SI, to the last bit."""
    @property
    def map(self) -> CorrectionMap:
        """The map."""
    @property
    def before(self) -> AngleResiduals:
        """With a straight line for each axis by its own reading alone."""
    @property
    def after(self) -> AngleResiduals:
        """With the map."""
    @property
    def clipped_share(self) -> float:
        """The share of the grid at which a sensor is at a rail or a converter at the end of its range: there no
        map helps.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ErrorContribution:
    """One line of an ErrorBudget."""
    @property
    def cause(self) -> str:
        """What makes it."""
    @property
    def distribution(self) -> Literal["normal", "rectangular", "two-point"]:
        """ "normal", "rectangular" or "two-point": how it is taken to be distributed."""
    @property
    def angle(self) -> float:
        """Greatest departure of the position over the throw, rad; of noise, three standard deviations."""
    @property
    def standard_deviation(self) -> float:
        """Its standard deviation by that distribution, rad."""
    @property
    def share(self) -> float:
        """The greatest departure as a share of the throw, from end to end."""
    @property
    def counts(self) -> float:
        """The greatest departure in counts, at the mean gain over the throw."""
    @property
    def remedy(self) -> str:
        """What helps against it."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ErrorBudget:
    """How far the position that a calibrated reading tells may be from the control's, by cause; print() shows all
    lines.

    Every line is the greatest departure over the throw, as an angle of the control: half a step of
    quantization, three times the rms noise, the departure of the characteristic through the calibration, the
    change of the position told when cold, hot or with another supply, half of play and of friction band, the
    whole crosstalk, the limits of converter and potentiometer. Spread of parts is none of it: a calibration
    meets it.

    For the root sum square each becomes a standard deviation: greatest / sqrt(3) of an error anywhere between
    its limits, the greatest itself of backlash, the rms of noise. Twice the root sum square covers about 95 %
    if no line rules. The worst case is the plain sum of the greatest.
    """
    @staticmethod
    def from_json(text: str) -> ErrorBudget:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Every figure as JSON, SI, to the last bit."""
    @property
    def contributions(self) -> tuple[ErrorContribution, ...]:
        """A line for every cause, those of zero too."""
    @property
    def largest(self) -> ErrorContribution:
        """The line with the greatest standard deviation: what to mend first."""
    @property
    def root_sum_square(self) -> float:
        """Root sum square of the standard deviations, rad: the standard deviation of the position."""
    @property
    def worst_case(self) -> float:
        """Sum of the greatest departures, rad."""
    @property
    def drift(self) -> float:
        """Greatest departure at the coldest and the hottest temperature, rad, with all drifts together as they add
        up or make up for one another. The sums take the lines.
        """
    @property
    def travel(self) -> float:
        """The throw from end to end, rad."""
    def of(self, cause: str) -> ErrorContribution:
        """The line of a cause, such as "quantization"."""
    def share_of_travel(self, angle: float) -> float:
        """An angle (rad) as a share of the throw."""
    def in_counts(self, angle: float) -> float:
        """An angle (rad) in counts at the mean gain over the throw."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def error_budget(
    axis: Axis,
    *,
    celsius: tuple[float, float] | None = None,
    supply_tolerance: float = 0.0,
    ratiometric_sensor: bool = True,
    ratiometric_converter: bool = True,
    control_backlash: float = 0.0,
    pivot_backlash: float = 0.0,
    friction_band: float = 0.0,
    crosstalk: float = 0.0,
    calibration: Literal["none", "two-point"] | int = "two-point",
) -> ErrorBudget:
    """What the errors of the position that an axis tells add up to.

    celsius: coldest and hottest temperature in use, degC; the calibration is made where the axis stands.
    supply_tolerance: most by which the supply may be off after it, as a share. ratiometric_sensor,
    ratiometric_converter: whether output and reference follow the supply; a potentiometer's output does in any
    case. control_backlash, pivot_backlash: lost motion, all of it, rad, at the control and at the sensor's
    pivot. friction_band: all of the width of the band in which friction lets the control rest, rad. crosstalk:
    change of this reading over the other axis's whole travel, counts. calibration: "none" (by the design,
    through the center), "two-point" (through both ends) or a number of points of a table, 2 to 1025.

    Examples
    --------
    >>> import yokewright as yw
    >>> pot = yw.hall.Potentiometer(travel=300 * yw.deg, supply=5.0, linearity=0.01)
    >>> axis = yw.axis.Axis(
    ...     throw=(-20 * yw.deg, 20 * yw.deg),
    ...     sensor=pot,
    ...     converter=yw.hall.Converter(bits=12, reference=5.0),
    ... )
    >>> budget = yw.axis.error_budget(axis, control_backlash=0.2 * yw.deg)
    >>> budget.largest.cause
    'potentiometer linearity'
    >>> print(f"{budget.worst_case / yw.deg:.2f} deg")
    3.14 deg
    """

@final
class ComparedFigures:
    """What a Comparison says of one control. None where its reading tells no position."""
    @property
    def name(self) -> str:
        """What it is called."""
    @property
    def figures(self) -> AxisFigures:
        """Its figures over the throw."""
    @property
    def departure_uncalibrated(self) -> float | None:
        """Greatest departure of the position read by the design alone, through the center with the gain there, as
        a share of the throw.
        """
    @property
    def departure_calibrated(self) -> float | None:
        """The same with the calibration that was asked for."""
    @property
    def budget(self) -> ErrorBudget | None:
        """Its errors."""
    @property
    def crosstalk(self) -> float | None:
        """Change of its reading over the whole travel of the other axis, counts, if it was given."""
    @property
    def price(self) -> float | None:
        """What it costs, if that was given."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Comparison:
    """Controls side by side, in the order given; print() shows the table, a column for each."""
    @staticmethod
    def from_json(text: str) -> Comparison:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Every figure as JSON, SI, to the last bit."""
    @property
    def controls(self) -> tuple[ComparedFigures, ...]:
        """What is said of each, in the order given."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def compare(
    controls: dict[str, Axis],
    *,
    prices: dict[str, float] | None = None,
    crosstalks: dict[str, float] | None = None,
    celsius: tuple[float, float] | None = None,
    supply_tolerance: float = 0.0,
    ratiometric_sensor: bool = True,
    ratiometric_converter: bool = True,
    control_backlash: float = 0.0,
    pivot_backlash: float = 0.0,
    friction_band: float = 0.0,
    crosstalk: float = 0.0,
    calibration: Literal["none", "two-point"] | int = "two-point",
) -> Comparison:
    """Sets controls side by side: counts, steps, departures, drift, errors, crosstalk and price of each in one
    table.

    controls: axes by their names. prices, crosstalks (counts): by the same names, of those that have one. The
    other keywords are those of error_budget and hold for all. A control whose reading turns back or stands
    still has no budget.

    Examples
    --------
    >>> import yokewright as yw
    >>> def potentiometer(travel):
    ...     return yw.axis.Axis(
    ...         throw=(-6 * yw.deg, 6 * yw.deg),
    ...         sensor=yw.hall.Potentiometer(travel=travel, supply=5.0),
    ...         converter=yw.hall.Converter(bits=10, reference=5.0),
    ...     )
    >>> table = yw.axis.compare(
    ...     {"300 deg": potentiometer(300 * yw.deg), "60 deg": potentiometer(60 * yw.deg)},
    ...     prices={"300 deg": 1.5},
    ... )
    >>> [control.figures.counts for control in table.controls]
    [40, 204]
    """

@final
class Delay:
    """How long a stage takes, as a distribution; times in s, 0 to 5.

    Made by what it is: `fixed`, `uniform`, `wait` for the next poll or frame, `triangular`, a measured
    `sample`, or `filter`, `usb_polling`, `frame_wait`, `scan` out of what the trade tells.

    >>> import yokewright as yw
    >>> poll = yw.axis.Delay.usb_polling("full", 8)
    >>> print(f"{poll.mean / yw.ms:.1f} ms, deviation {poll.standard_deviation / yw.ms:.2f} ms")
    4.0 ms, deviation 2.31 ms
    """
    @staticmethod
    def fixed(time: float) -> Delay:
        """Always the same time, s."""
    @staticmethod
    def uniform(low: float, high: float) -> Delay:
        """Any time between two (s) with one probability."""
    @staticmethod
    def wait(interval: float, *, missed: float = 0.0) -> Delay:
        """Until the next of what comes every interval (s): any time up to it with one probability, and with the
        probability missed one interval more. A second miss in a row is not in it.
        """
    @staticmethod
    def frame_wait(rate: float, *, missed: float = 0.0) -> Delay:
        """Until the next of rate frames a second (Hz); with the probability missed one frame later."""
    @staticmethod
    def triangular(low: float, mode: float, high: float) -> Delay:
        """Rising from the shortest to the most likely time and falling to the longest, s."""
    @staticmethod
    def sample(times: ArrayLike) -> Delay:
        """Each of the times measured (s, one to a million) with one probability."""
    @staticmethod
    def filter(chain: SignalChain) -> Delay:
        """By how much filter and averaging of a chain delay a steady motion: its group delay."""
    @staticmethod
    def usb_polling(speed: Literal["low", "full", "high"], b_interval: int) -> Delay:
        """Until the host polls next. speed: "low", "full" or "high"; b_interval: of the endpoint's descriptor, in
        frames of 1 ms, or at high speed 2^(b_interval - 1) microframes of 125 us (USB 2.0, table 9-13).
        """
    @staticmethod
    def scan(rate: float, place: float) -> Delay:
        """Until a display that draws rate frames a second (Hz) from top to bottom has come to a place on the
        screen, from 0 for the first line to 1 for the last.
        """
    @staticmethod
    def from_json(text: str) -> Delay:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """What it is made of as JSON, to the last bit."""
    @property
    def mean(self) -> float:
        """Mean, s."""
    @property
    def standard_deviation(self) -> float:
        """Standard deviation of the distribution, s; of a sample by the number of its times, not by one less."""
    @property
    def range(self) -> tuple[float, float]:
        """Shortest and longest time, s."""

@final
class Distribution:
    """How a toleranced quantity is spread over the builds, in its SI unit: Distribution.normal, plus_minus,
    uniform, truncated_normal, triangular or sample.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import mm
    >>> gap = yw.axis.Distribution.plus_minus(3.3 * mm, 0.3 * mm)
    >>> print(f"{gap.standard_deviation / mm:.3f} mm, 97.5 % below {gap.quantile(0.975) / mm:.3f} mm")
    0.150 mm, 97.5 % below 3.594 mm
    """
    @staticmethod
    def normal(mean: float, standard_deviation: float) -> Distribution:
        """Normal."""
    @staticmethod
    def plus_minus(nominal: float, plus_minus: float, *, coverage_factor: float = 2.0) -> Distribution:
        """What a drawing means by nominal +- plus_minus: normal, with coverage_factor standard deviations for the
        plus-minus; with 2, 95 % of the parts are within.
        """
    @staticmethod
    def uniform(low: float, high: float) -> Distribution:
        """Anything between two limits with one probability."""
    @staticmethod
    def truncated_normal(mean: float, standard_deviation: float, low: float, high: float) -> Distribution:
        """Normal and cut at two limits; the standard deviation is that before it is cut."""
    @staticmethod
    def triangular(low: float, mode: float, high: float) -> Distribution:
        """Two straight flanks from the mode to the limits."""
    @staticmethod
    def sample(values: ArrayLike) -> Distribution:
        """One of these values, each as probable as any other: a sample that was measured."""
    @property
    def mean(self) -> float:
        """Mean."""
    @property
    def standard_deviation(self) -> float:
        """Standard deviation; of one that is cut, of what is left."""
    def quantile(self, p: float) -> float:
        """The value below which a share p of all parts lies."""
    def scaled(self, factor: float) -> Distribution:
        """The same about the same mean, that many times as wide."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class LatencyStage:
    """A stage between hand and screen.

    kind: "filter", "conversion", "firmware loop", "bus polling", "host", "simulator frame", "display scan",
    "display response" or "other". delay: how long it takes. name: what it is called; its kind if not given.
    """
    def __new__(
        cls,
        kind: Literal[
            "filter",
            "conversion",
            "firmware loop",
            "bus polling",
            "host",
            "simulator frame",
            "display scan",
            "display response",
            "other",
        ],
        delay: Delay,
        *,
        name: str | None = None,
    ) -> Self: ...
    @property
    def kind(self) -> str:
        """What it does."""
    @property
    def name(self) -> str:
        """What it is called."""
    @property
    def delay(self) -> Delay:
        """How long it takes."""

@final
class Tolerance:
    """Something that differs from build to build: a dimension with its plus-minus, or one cause that moves several
    inputs.

    Tolerance(input, plus_minus) is a plus-minus about the value of the design (share=True: as a share of that
    value), with coverage_factor standard deviations for the plus-minus. Tolerance.of takes any distribution,
    Tolerance.common one cause of many effects, as a printer's scale moves all printed lengths.

    toleranced_as: "departure" is added to the value of the design, "share" changes it by that share of itself,
    "value" is the value. What moves one input together adds up: first a value, then all shares, then all
    departures.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import mm
    >>> gap = yw.axis.Tolerance("gap", 0.3 * mm)
    >>> scale = yw.axis.Distribution.plus_minus(0, 0.005)
    >>> printer = yw.axis.Tolerance.common("printer scale", scale, [("arm", 1, "share"), ("gap", 1, "share")])
    >>> printer.inputs
    ['arm', 'gap']
    """
    def __new__(
        cls, input: str, plus_minus: float, *, share: bool = False, coverage_factor: float = 2.0
    ) -> Tolerance: ...
    @staticmethod
    def of(
        input: str,
        distribution: Distribution,
        *,
        toleranced_as: Literal["departure", "share", "value"] = "departure",
    ) -> Tolerance:
        """An input with any distribution."""
    @staticmethod
    def common(name: str, distribution: Distribution, effects: Sequence[tuple[str, float, str]]) -> Tolerance:
        """One cause; effects: an (input, factor, toleranced_as) for each input that it moves."""
    @property
    def name(self) -> str:
        """What varies."""
    @property
    def distribution(self) -> Distribution:
        """How it is spread."""
    @property
    def inputs(self) -> list[str]:
        """The inputs that it moves."""
    def scaled(self, factor: float) -> Tolerance:
        """The same that many times as wide."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class YieldTarget:
    """A limit, or two, for one figure of a build, in its SI unit."""
    def __new__(cls, figure: str, *, min: float | None = None, max: float | None = None) -> YieldTarget: ...
    @property
    def figure(self) -> str:
        """The name of the figure."""
    @property
    def min(self) -> float | None:
        """The least that it may be."""
    @property
    def max(self) -> float | None:
        """The most that it may be."""
    def miss(self, value: float) -> float:
        """By how much a value misses it, as a share of the width between the limits or of the only one; negative
        where it is met with something to spare.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ControlDesign:
    """A control from hand to count as it is published for others to build.

    Its inputs are the measures of the arrangement by their names ("gap", "arm", "polarization", "magnet tilt
    about axial", ...) and every number of the rest by its path: "sensor.sensitivity", "sensor.quiescent",
    "converter.reference", "throw.0", "celsius". Each build is put together as a builder does it, the gap
    against the part's own face. Its figures are "range used", "flux span", "output span", "gain", "independent
    linearity", "terminal-based linearity", "clipped share", "monotonic share", "quantization step", "worst
    quantization step", "noise step", "worst noise step", "effective bits", "lowest code", "highest code",
    "clearance", "error before calibration" (by the constants of the design) and "error after calibration" (by
    the builder's own).

    throw: rad. calibration: "none", "two-point" or a number of points. celsius: of magnets and sensor, degC.
    """
    def __new__(
        cls,
        arrangement: Arrangement,
        *,
        throw: tuple[float, float],
        sensor: LinearHall | AngleSensor | Potentiometer,
        converter: Converter | None = None,
        moving: Literal["magnets", "sensor"] = "magnets",
        drive: Transmission | None = None,
        remanence_drift: float = 0.0,
        celsius: float | None = None,
        calibration: Literal["none", "two-point"] | int = "two-point",
    ) -> ControlDesign: ...
    @property
    def axis(self) -> Axis:
        """The control as designed."""
    def nominal(self, input: str) -> float:
        """The value of an input."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class StageEffect:
    """What one stage is of the whole, and what less of it would be worth."""
    @property
    def name(self) -> str:
        """Name of the stage."""
    @property
    def kind(self) -> str:
        """What it does."""
    @property
    def mean(self) -> float:
        """Its mean, s."""
    @property
    def standard_deviation(self) -> float:
        """Its standard deviation, s."""
    @property
    def share_of_mean(self) -> float | None:
        """Its mean as a share of that of the whole; None where nothing takes any time."""
    @property
    def share_of_variance(self) -> float | None:
        """Its variance as a share of that of the whole; None where nothing varies."""
    @property
    def p95_halved(self) -> float:
        """The time that 95 % keep if all its times are halved, s."""
    @property
    def p95_removed(self) -> float:
        """The time that 95 % keep without it, s."""
    @property
    def remedy(self) -> str:
        """What makes such a stage shorter."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class LatencyBudget:
    """How long it takes from hand to screen: stages in a row, independent of one another; print() shows them all.

    stages: 1 to 32 with names that differ. Quantiles are those of the sum of all stages, not sums of quantiles:
    exact while that is feasible, else off by time_error at most.

    Examples
    --------
    >>> import yokewright as yw
    >>> budget = yw.axis.LatencyBudget(
    ...     [
    ...         yw.axis.LatencyStage("firmware loop", yw.axis.Delay.wait(1 * yw.ms)),
    ...         yw.axis.LatencyStage("bus polling", yw.axis.Delay.usb_polling("full", 10)),
    ...         yw.axis.LatencyStage("display scan", yw.axis.Delay.frame_wait(60)),
    ...     ]
    ... )
    >>> print(f"mean {budget.mean / yw.ms:.1f} ms, 95 % within {budget.percentiles[2] / yw.ms:.1f} ms")
    mean 13.8 ms, 95 % within 23.1 ms
    >>> budget.stage_to_attack().name
    'display scan'
    """
    def __new__(cls, stages: Sequence[LatencyStage]) -> Self: ...
    @staticmethod
    def from_json(text: str) -> LatencyBudget:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """The stages as JSON, to the last bit."""
    @property
    def stages(self) -> tuple[LatencyStage, ...]:
        """The stages, in their order."""
    @property
    def mean(self) -> float:
        """Mean, s."""
    @property
    def standard_deviation(self) -> float:
        """Standard deviation, s."""
    @property
    def range(self) -> tuple[float, float]:
        """Shortest and longest, s."""
    @property
    def percentiles(self) -> tuple[float, float, float]:
        """The times that 5 %, 50 % and 95 % keep, s."""
    @property
    def time_error(self) -> float:
        """Most by which a quantile or the time of a distribution may be off, s; 0 where the sum is exact."""
    def quantile(self, share: float) -> float:
        """The least time (s) that is kept with at least the probability share, 0 to 1."""
    def distribution(self, time: float) -> float:
        """Probability that it takes time (s) at most."""
    def distributions(self, times: ArrayLike) -> Floats:
        """The same at many times (N,)."""
    def density(self, time: float) -> float:
        """Density at time (s), 1/s; at a jump its value behind it. Where all times are single ones there is none."""
    def densities(self, times: ArrayLike) -> Floats:
        """The same at many times (N,)."""
    def effects(self) -> tuple[StageEffect, ...]:
        """What each stage is of the whole, and what half of it and none of it would do to the time that 95 % keep."""
    def stage_to_attack(self) -> StageEffect:
        """The stage of which half would take most off the time that 95 % keep."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class CameraRuns:
    """Runs of one device filmed at a rate: how many frames lie between the motion of the hand and that on the
    screen.

    rate: frames a second, Hz. frames: of each run, 1 to 10,000 runs. Both events lie anywhere within their
    frames, so that a run is off by a triangle of a frame either way, standard deviation a frame over sqrt 6;
    the spread of the runs holds that already.

    Examples
    --------
    >>> import yokewright as yw
    >>> runs = yw.axis.CameraRuns(1000, [108, 113, 110, 112, 109, 114, 111, 111])
    >>> low, high = runs.mean_interval()
    >>> print(f"{runs.mean / yw.ms:.1f} ms, {low / yw.ms:.1f} to {high / yw.ms:.1f} ms")
    111.0 ms, 109.3 to 112.7 ms
    """
    def __new__(cls, rate: float, frames: Sequence[int] | NDArray[np.integer]) -> Self: ...
    @property
    def rate(self) -> float:
        """Frames a second, Hz."""
    @property
    def frames(self) -> NDArray[np.int64]:
        """Frames of each run."""
    @property
    def times(self) -> Floats:
        """Time of each run, s."""
    @property
    def count(self) -> int:
        """How many runs."""
    @property
    def mean(self) -> float:
        """Mean, s."""
    @property
    def standard_deviation(self) -> float | None:
        """Standard deviation of the runs, by one less than their number, s; None for a single run."""
    @property
    def standard_error(self) -> float | None:
        """Standard deviation of the mean, s; None for a single run."""
    @property
    def event_deviation(self) -> float:
        """Standard deviation of the time of one event within its frame, s: a frame over sqrt 12."""
    @property
    def quantization_deviation(self) -> float:
        """Standard deviation of the error of a run by its frames, s: a frame over sqrt 6."""
    @property
    def quantization_limit(self) -> float:
        """Greatest error of a run by its frames, s: a frame."""
    @property
    def own_deviation(self) -> float | None:
        """Standard deviation that is left for the latency itself, s; None for a single run and where the frames
        explain all of the spread.
        """
    def mean_interval(self, confidence: float = 0.95) -> tuple[float, float]:
        """Lower and upper end of the interval that holds the mean latency with a confidence (0.5 to 0.9999), s:
        Student's t with n - 1 degrees of freedom.
        """
    def compared_with(self, other: CameraRuns, confidence: float = 0.95) -> DeviceDifference:
        """This device against another, by Welch's test: the two may spread differently."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class DeviceDifference:
    """How two devices differ, by Welch's test."""
    @property
    def difference(self) -> float:
        """Mean of the first less that of the second, s."""
    @property
    def standard_error(self) -> float:
        """Its standard deviation, s."""
    @property
    def degrees_of_freedom(self) -> float:
        """Satterthwaite's degrees of freedom."""
    @property
    def t(self) -> float:
        """The difference over its standard deviation."""
    @property
    def p(self) -> float:
        """Probability of a difference as great as this, either way, between devices that are alike."""
    @property
    def interval(self) -> tuple[float, float]:
        """Where the difference lies with the confidence asked for, s."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class DevicePair:
    """Two devices of several."""
    @property
    def first(self) -> str:
        """Name of the first."""
    @property
    def second(self) -> str:
        """Name of the second."""
    @property
    def difference(self) -> DeviceDifference:
        """How they differ: the first less the second."""
    @property
    def p_of_all(self) -> float:
        """The probability p of the difference, held against all pairs at once by Holm's method."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class TwoAxisSweep:
    """What both sensors of a built stick read where it was held: a sweep of both axes, as a grid, a spiral or
    anyhow.

    angles: outer and inner angle of each row, (N, 2), rad. counts: readings of the sensors of the outer and the
    inner axis there, (N, 2); means of several need not be whole. 8 to a million rows.

    Examples
    --------
    >>> import numpy as np
    >>> import yokewright as yw
    >>> at = np.linspace(-0.3, 0.3, 7)
    >>> angles = np.stack(np.meshgrid(at, at), axis=-1).reshape(-1, 2)
    >>> counts = 2048 + 4000 * angles + 200 * angles[:, ::-1] * (1, -1)
    >>> calibration = yw.axis.TwoAxisSweep(angles, counts).calibration("linear")
    >>> print(f"{calibration.before.worst[0] / yw.deg:.2f} deg before")
    0.94 deg before
    >>> calibration.held_back.worst[0] < 1e-12
    True
    """
    def __new__(cls, angles: ArrayLike, counts: ArrayLike) -> Self: ...
    @staticmethod
    def read(
        text: str,
        *,
        bits: int,
        angles: tuple[str, str] = ("outer_deg", "inner_deg"),
        counts: tuple[str, str] = ("outer_counts", "inner_counts"),
        unit: Literal["deg", "rad"] | None = None,
    ) -> TwoAxisSweep:
        """Reads the text of a CSV file: commas, semicolons or tabs, decimal points or commas. Every row has to
        hold all four numbers.

        bits: of the converter that gave the counts. angles, counts: headings of the columns of the outer and
        the inner axis. unit: of the angles, "deg" or "rad"; None as their headings say it.
        """
    @property
    def angles(self) -> Floats:
        """Outer and inner angle of each row, (N, 2), rad."""
    @property
    def counts(self) -> Floats:
        """Readings of each row, (N, 2), counts."""
    def calibration(
        self, terms: Literal["linear", "bilinear", "quadratic"] = "bilinear", *, held_back: float = 0.2
    ) -> TwoAxisCalibration:
        """The map from both readings to both angles that is nearest by least squares, and what it leaves.

        terms: "linear" (1, a, b), "bilinear" (and a b) or "quadratic" (and a^2, b^2). held_back: share of the
        rows that the map does not see, 0 to 0.5, spread evenly, to judge it by.
        """
    def __len__(self) -> int: ...

@final
class CallableDesign:
    """Whatever a function computes as a design: a spring, pedals, a grip force.

    inputs: their values in the design by name. figures: their units by name. build(**inputs) gives the figures
    of one build as a dict; what it raises as a YokewrightError is a build that cannot be, named and counted; a
    figure that is missing or NaN has no value. With vectorized=True it is called as build(columns) with a dict
    of arrays and gives a dict of arrays.

    Examples
    --------
    >>> import yokewright as yw
    >>> stack = yw.axis.CallableDesign(
    ...     inputs={"plate": 5e-3, "washer": 1e-3},
    ...     figures={"height": "m"},
    ...     build=lambda plate, washer: {"height": plate + washer},
    ... )
    >>> found = yw.axis.study_yield(
    ...     stack,
    ...     [yw.axis.Tolerance("plate", 0.08e-3), yw.axis.Tolerance("washer", 0.06e-3)],
    ...     targets=[yw.axis.YieldTarget("height", min=5.9e-3, max=6.1e-3)],
    ... )
    >>> print(f"{found.share:.2f}")
    0.95
    """
    def __new__(
        cls,
        *,
        inputs: dict[str, float],
        figures: dict[str, str],
        build: Callable[..., Any],
        vectorized: bool = False,
    ) -> CallableDesign: ...
    @property
    def inputs(self) -> dict[str, float]:
        """The values of the design by name."""
    @property
    def figures(self) -> dict[str, str]:
        """The units of the figures by name."""

@final
class FigureSpread:
    """How one figure is spread over the builds that have it; None of what no build has."""
    @property
    def figure(self) -> str:
        """The name of the figure."""
    @property
    def unit(self) -> str:
        """Its SI unit."""
    @property
    def nominal(self) -> float | None:
        """The value of the design itself."""
    @property
    def count(self) -> int:
        """Builds that have the figure."""
    @property
    def missing(self) -> int:
        """Builds that have it not."""
    @property
    def mean(self) -> float | None:
        """Mean."""
    @property
    def standard_deviation(self) -> float | None:
        """Standard deviation (n - 1)."""
    @property
    def ends(self) -> tuple[float, float] | None:
        """Least and greatest value."""
    def quantile(self, share: float) -> float | None:
        """The value below which a share of these builds lies. Of up to 65,536 builds it is exact; of more it is
        known to a two-thousandth of the span of the first 4096.
        """
    def histogram(self, cells: int = 40) -> tuple[NDArray[np.float64], NDArray[np.uint64]]:
        """Edges (cells + 1,) and counts (cells,) of cells of equal width from the least to the greatest value."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class TwoAxisCalibration:
    """A map fitted to a measured sweep of both axes, and what is left with it and without."""
    @staticmethod
    def from_json(text: str) -> TwoAxisCalibration:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Every figure as JSON, SI, to the last bit."""
    @property
    def map(self) -> CorrectionMap:
        """The map."""
    @property
    def before(self) -> AngleResiduals:
        """Over the rows that it was fitted to, with a straight line for each axis by its own reading alone."""
    @property
    def after(self) -> AngleResiduals:
        """Over the same rows, with the map."""
    @property
    def held_back(self) -> AngleResiduals | None:
        """Over the rows that were held back, with the map; None if there are none."""
    @property
    def fitted_rows(self) -> int:
        """How many rows the map was fitted to."""
    @property
    def held_back_rows(self) -> int:
        """How many were held back."""
    @property
    def counts_per_radian(self) -> tuple[float, float]:
        """Gain of each reading over the sweep, counts/rad, positive: what turns an angle into counts."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def compare_devices(devices: dict[str, CameraRuns], *, confidence: float = 0.95) -> tuple[DevicePair, ...]:
    """Every pair of some devices (a dict of names and CameraRuns, 2 to 20) by Welch's test.

    confidence: of each interval by itself, 0.5 to 0.9999.
    """

def runs_needed(difference: float, *, deviation: float, power: float = 0.8) -> int:
    """How many runs of each of two devices it takes to find a difference of their means (s).

    deviation: standard deviation of the runs of either, s. power: probability that it is found, 0.1 to 0.9999.
    A two-sided t-test at 5 %, exact by the noncentral t.

    >>> import yokewright as yw
    >>> yw.axis.runs_needed(10 * yw.ms, deviation=10 * yw.ms)
    17
    """

def power_of_runs(runs: int, difference: float, *, deviation: float) -> float:
    """With which probability so many runs of each of two devices (2 to 10,000) find a difference of their means
    (s).

    deviation: standard deviation of the runs of either, s. A two-sided t-test at 5 %.
    """

def detectable_difference(runs: int, *, deviation: float, power: float = 0.8) -> float:
    """The least difference of the means of two devices (s) that so many runs of each (2 to 10,000) find with a
    power.

    What lies below, so many runs cannot tell. deviation: standard deviation of the runs of either, s. power:
    0.1 to 0.9999. A two-sided t-test at 5 %.
    """

def student_t(degrees_of_freedom: float, *, confidence: float = 0.95) -> float:
    """Half the width of an interval that holds a mean with a confidence (0.5 to 0.9999), in standard deviations of
    the mean: Student's t for so many degrees of freedom, 1 to 20,000.
    """

def hid_usage(name: str) -> tuple[int, int]:
    """Page and number of what a device or one of its axes stands for in a report descriptor, such as "rudder" or
    "rx" (HID Usage Tables 1.21).

    >>> import yokewright as yw
    >>> yw.axis.hid_usage("rudder")
    (2, 186)
    """

def hid_logical_range(bits: int, *, signed: bool = True) -> tuple[int, int]:
    """Logical minimum and maximum of a field of so many bits (1 to 32) of a report: in two's complement, or from
    zero up.
    """

@final
class TargetYield:
    """The yield of one target."""
    @property
    def target(self) -> YieldTarget:
        """The target."""
    @property
    def passed(self) -> int:
        """Builds that meet it."""
    @property
    def builds(self) -> int:
        """Builds in all."""
    @property
    def share(self) -> float:
        """Share of the builds that meet it."""
    @property
    def interval(self) -> tuple[float, float]:
        """Between which shares the true yield lies."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class RowDoubt:
    """A doubtful row of a bench sweep."""
    @property
    def line(self) -> int:
        """Line of the text, from 1; of arrays the row, from 1."""
    @property
    def reason(
        self,
    ) -> Literal["missing", "not a number", "impossible", "stuck", "clipped", "duplicate", "outlier"]:
        """ "missing", "not a number", "impossible", "stuck", "clipped", "duplicate" or "outlier"."""
    @property
    def detail(self) -> str:
        """What about it, in words, with its figures."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class BuildRecord:
    """One build, to be looked at."""
    @property
    def build(self) -> int:
        """Its number, from 0, by which it can be drawn again."""
    @property
    def inputs(self) -> dict[str, float]:
        """The values of its inputs by name."""
    @property
    def figures(self) -> dict[str, float | None]:
        """Its figures by name; None where it has none."""
    @property
    def miss(self) -> float | None:
        """By how much it misses what it misses most, as YieldTarget.miss; None if it has not the figure, or cannot
        be.
        """
    @property
    def passed(self) -> bool:
        """Whether it meets all targets."""
    @property
    def failure(self) -> str | None:
        """Why it cannot be, if so."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Yield:
    """How many builds meet their targets, and how their figures are spread; print() shows the yields.

    A build that cannot be assembled, or that collides, fails all targets. The interval of random builds is the
    exact one of the binomial distribution (Clopper and Pearson), of quasi-random ones Student's of their
    replicates.
    """
    @staticmethod
    def from_json(text: str) -> Yield:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """All of it as JSON, SI, to the last bit."""
    @property
    def builds(self) -> int:
        """Builds that are done."""
    @property
    def passed(self) -> int:
        """Builds that meet all targets."""
    @property
    def share(self) -> float:
        """Share of the builds that meet all targets."""
    @property
    def interval(self) -> tuple[float, float]:
        """Between which shares the true yield lies."""
    @property
    def confidence(self) -> float:
        """Confidence of all intervals."""
    @property
    def targets(self) -> list[TargetYield]:
        """Each target by itself."""
    @property
    def spreads(self) -> dict[str, FigureSpread]:
        """How each figure is spread, by its name."""
    @property
    def failures(self) -> list[tuple[str, int, int, str]]:
        """Builds that cannot be: (reason, how many, number of the first, what is said of that one), the most
        frequent first.
        """
    @property
    def worst(self) -> list[BuildRecord]:
        """The worst builds of those that do not pass, the worst first."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class BenchLog:
    r"""A bench sweep as it was read: every row, and every doubt with line and reason. Nothing is left out before
    `sweep` is asked to, and nothing is mended.

    Doubted are: a missing cell, text in a number, a count beyond the converter or an angle beyond a turn; a
    count that stands still where the mean gain would have given 8 counts (and 1 % of the range) more, at an end
    of the range (clipped) or within (stuck); a row that says the row before once more; an outlier, farther than
    six standard deviations from what the rows around tell, and alone with it.

    >>> import yokewright as yw
    >>> log = yw.axis.BenchLog.read("angle_deg;count\n-10,0;512\n0,0;2048\n0,5;oops\n10,0;3580\n", bits=12)
    >>> print(log.doubts[0])
    <RowDoubt line 4: not a number: count 'oops'>
    >>> log.sweep(leave_out=["not a number"]).count
    array([ 512., 2048., 3580.])
    """
    def __new__(cls, angle: ArrayLike, count: ArrayLike, *, bits: int) -> Self: ...
    @staticmethod
    def read(
        text: str,
        *,
        bits: int,
        angle_unit: Literal["deg", "rad"] | None = None,
        angle_heading: str | None = None,
        count_heading: str | None = None,
    ) -> BenchLog:
        """From the text of a CSV file: cells separated by commas, semicolons or tabs, with or without a first line
        of headings, with decimal points, or decimal commas where commas do not separate the cells.

        angle_unit: "deg" or "rad"; if not given, as the heading says it. angle_heading, count_heading: of the
        columns; if not given, those with a word such as angle, position, count, code or adc, or the first and
        the second of two.
        """
    @property
    def bits(self) -> int:
        """Bits of the converter."""
    @property
    def doubts(self) -> tuple[RowDoubt, ...]:
        """Every doubt, by line."""
    @property
    def line(self) -> NDArray[np.uint64]:
        """Line of each row, from 1."""
    @property
    def angle(self) -> Floats:
        """Angle of each row, rad; NaN where there is no number."""
    @property
    def count(self) -> Floats:
        """Count of each row; NaN where there is no number."""
    def sweep(self, *, leave_out: Sequence[str] = ...) -> BenchSweep:
        """The rows as a BenchSweep, without those doubted for a reason in leave_out, such as ["missing",
        "outlier"].
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class YieldStudy:
    """A study that can be stopped and gone on with: what is done so far is kept, also after Ctrl-C.

    Builds are drawn by their number, so the figures are the same to the last bit on any number of threads and
    in whatever pieces the study is run. Memory does not grow with the number of builds. The arguments are those
    of study_yield.
    """
    def __new__(
        cls,
        design: ControlDesign | CallableDesign,
        tolerances: Sequence[Tolerance],
        *,
        targets: Sequence[YieldTarget] = (),
        builds: int = 10000,
        seed: int = 1,
        replicates: int | None = None,
        confidence: float = 0.95,
        keep: int = 20,
    ) -> YieldStudy: ...
    def run(self, builds: int | None = None) -> None:
        """Does all builds that are left, or goes on until so many are done."""
    @property
    def done(self) -> int:
        """How many builds are done."""
    def result(self) -> Yield:
        """What is known after the builds that are done."""
    def records(self, first: int, count: int) -> list[BuildRecord]:
        """Builds by their numbers from first on, up to 100,000, with all their inputs and figures."""

def study_yield(
    design: ControlDesign | CallableDesign,
    tolerances: Sequence[Tolerance],
    *,
    targets: Sequence[YieldTarget] = (),
    builds: int = 10000,
    seed: int = 1,
    replicates: int | None = None,
    confidence: float = 0.95,
    keep: int = 20,
) -> Yield:
    """How many of the builds of a design will work.

    design: a ControlDesign or a CallableDesign. tolerances: what varies. targets: what a build has to meet.
    builds: how many; seed: the same gives the same builds. replicates: with a number (4 to 256) the builds are
    scrambled Sobol' points in so many replicates, which tell the error. confidence: of the intervals. keep: how
    many of the worst builds are kept.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg, mm, mT
    >>> cube = yw.magnet.Block(size=(5 * mm, 5 * mm, 5 * mm), polarization=(0, 1300 * mT, 0))
    >>> stick = yw.axis.ControlDesign(
    ...     yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=2 * mm),
    ...     throw=(-6 * deg, 6 * deg),
    ...     sensor=yw.hall.LinearHall(supply=5.0, sensitivity=25 * yw.mV_per_mT),
    ...     converter=yw.hall.Converter(bits=12, reference=5.0),
    ... )
    >>> tolerances = [yw.axis.Tolerance("gap", 0.3 * mm), yw.axis.Tolerance("polarization", 0.05, share=True)]
    >>> target = yw.axis.YieldTarget("range used", min=0.8)
    >>> found = yw.axis.study_yield(stick, tolerances, targets=[target], builds=1000)
    >>> 0 < found.share < 1
    True
    """

@final
class ToleranceImportance:
    """How much of the variance of one figure a tolerance makes: first_order and total index, each (value, low,
    high).
    """
    @property
    def tolerance(self) -> str:
        """The name of the tolerance."""
    @property
    def first_order(self) -> tuple[float, float, float]:
        """The share of the variance that is gone on the average once this one is exact: value, lower and upper
        end.
        """
    @property
    def total(self) -> tuple[float, float, float]:
        """The share that is left on the average once all others are exact: value, lower and upper end."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Hysteresis:
    """How far the readings of the way back are from those of the way there, at the same angle; positive where they
    lag.
    """
    @property
    def mean(self) -> float:
        """Mean over the common travel, counts."""
    @property
    def mean_angle(self) -> float:
        """The same as an angle of the control, rad, by the mean gain."""
    @property
    def greatest(self) -> float:
        """Greatest of a stretch, whichever its sign, counts."""
    @property
    def greatest_angle(self) -> float:
        """The same as an angle of the control, rad."""
    @property
    def at(self) -> float:
        """Middle of that stretch, rad."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class BenchSweep:
    """A sweep measured on the bench: angles (rad) and counts of a converter of so many bits, in the order in which
    they were taken, one way, there and back, or many times.

    >>> import numpy as np
    >>> import yokewright as yw
    >>> angle = np.linspace(-10, 10, 201) * yw.deg
    >>> sweep = yw.axis.BenchSweep(angle, np.round(2048 + 1900 * np.sin(6 * angle)), bits=12)
    >>> calibration = sweep.calibrate_table(9)
    >>> calibration.after.greatest < 0.1 * calibration.before.greatest
    True
    """
    def __new__(cls, angle: ArrayLike, count: ArrayLike, *, bits: int) -> Self: ...
    @property
    def bits(self) -> int:
        """Bits of the converter."""
    @property
    def angle(self) -> Floats:
        """Angles, rad, in the order of the rows."""
    @property
    def count(self) -> Floats:
        """Counts, in the order of the rows."""
    @property
    def rising(self) -> Mask:
        """Whether each row was taken on the way to greater angles."""
    @property
    def rows(self) -> int:
        """Number of rows."""
    @property
    def passes(self) -> int:
        """How often the control went from one side to the other."""
    @property
    def angle_range(self) -> tuple[float, float]:
        """Least and greatest angle, rad."""
    @property
    def count_range(self) -> tuple[float, float]:
        """Least and greatest count."""
    @property
    def noise(self) -> float | None:
        """Noise of one reading, counts rms, as each row departs from those around it; None of fewer than 12 rows."""
    @property
    def hysteresis(self) -> Hysteresis | None:
        """What the readings of there and back differ; None if the control went one way only."""
    def calibrate_table(
        self,
        knots: int,
        *,
        placement: Literal["least error", "even"] = "least error",
        robust: bool = True,
        held_back: float = 0.2,
    ) -> Calibration:
        """The calibration straight between so many knots (2 to 257), placed for the "least error" or "even" over
        the counts. robust: outliers count with their size, not its square; held_back: share of the rows kept to
        judge it.
        """
    def calibrate_cubic(self, knots: int, *, robust: bool = True, held_back: float = 0.2) -> Calibration:
        """The calibration by monotone cubics between so many knots (2 to 257), evenly spaced over the counts."""
    def calibrate_polynomial(self, degree: int, *, robust: bool = True, held_back: float = 0.2) -> Calibration:
        """The calibration by a polynomial of a degree, 1 to 15."""
    @staticmethod
    def from_json(text: str) -> BenchSweep:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Every row as JSON, SI, to the last bit."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class CalibrationCurve:
    """The position that a count stands for, held beyond the ends of its counts. Made by `table`, `monotone_cubic`
    or `polynomial`, or by a calibration.
    """
    @staticmethod
    def table(points: ArrayLike) -> CalibrationCurve:
        """Straight lines between points of count and position (rad), (N, 2), 2 to 1025 of them."""
    @staticmethod
    def monotone_cubic(points: ArrayLike) -> CalibrationCurve:
        """Monotone cubics through points of count and position (rad), (N, 2), 2 to 1025 of them."""
    @staticmethod
    def polynomial(counts: Sequence[float], coefficients: ArrayLike) -> CalibrationCurve:
        """A polynomial by its Chebyshev coefficients, rad, over counts from the first to the second."""
    @property
    def counts(self) -> tuple[float, float]:
        """Least and greatest count that it was made of."""
    @property
    def positions_range(self) -> tuple[float, float]:
        """Least and greatest position, rad."""
    @property
    def points(self) -> list[tuple[float, float]] | None:
        """Points of a table or a cubic, count and position (rad); None of a polynomial."""
    @property
    def coefficients(self) -> list[float] | None:
        """Chebyshev coefficients of a polynomial, rad; None of another curve."""
    def position(self, count: float) -> float:
        """Position of a count, rad."""
    def positions(self, counts: ArrayLike) -> tuple[Floats, Mask]:
        """Positions of many counts, rad, and which have one: (values, valid)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class CalibrationResiduals:
    """Departures of the positions that a calibration tells from the angles that were measured."""
    @property
    def rows(self) -> int:
        """Number of rows."""
    @property
    def rms(self) -> float:
        """Root mean square, rad."""
    @property
    def mean(self) -> float:
        """Mean of position less angle, rad."""
    @property
    def greatest(self) -> float:
        """Greatest, without its sign, rad."""
    @property
    def at(self) -> float:
        """Angle of the row with the greatest, rad."""
    @property
    def rms_share(self) -> float:
        """The root mean square as a part of the travel of the sweep."""
    @property
    def greatest_share(self) -> float:
        """The greatest as a part of the travel of the sweep."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class PointsWorth:
    """What a calibration of so many points leaves, straight between them, of a curve without noise."""
    @property
    def points(self) -> int:
        """Number of points."""
    @property
    def even(self) -> float:
        """Greatest error with the points at evenly spaced angles, rad."""
    @property
    def even_share(self) -> float:
        """The same as a part of the travel."""
    @property
    def even_linearity(self) -> float:
        """Independent linearity (IEC 61298-2) of the position with those points, as a part of its span."""
    @property
    def placed(self) -> float:
        """Greatest error with the points where it becomes least, rad."""
    @property
    def placed_share(self) -> float:
        """The same as a part of the travel."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Calibration:
    """A calibration: the curve from count to position, and what it leaves of the errors of the sweep.

    A polynomial is fitted to the rows; a cubic goes through the values of parabolas fitted about its knots; a
    table stands for such a cubic of up to 33 knots, its own where its greatest error becomes least. Rows of
    there and back are fitted together: half the hysteresis is in every residual.
    """
    @property
    def form(self) -> Literal["polynomial", "table", "monotone cubic"]:
        """ "polynomial", "table" or "monotone cubic"."""
    @property
    def bits(self) -> int:
        """Bits of the converter."""
    @property
    def travel(self) -> tuple[float, float]:
        """Least and greatest angle of the sweep, rad."""
    @property
    def curve(self) -> CalibrationCurve:
        """The position by the count."""
    @property
    def reference(self) -> CalibrationCurve:
        """The cubic that stands for the readings, of which a table is made."""
    @property
    def table_error(self) -> float | None:
        """How far a table departs from reference at most, rad; None of another form."""
    @property
    def table_bound(self) -> float | None:
        """What no table of so many knots is below, rad; None unless they were placed for the least error."""
    @property
    def before(self) -> CalibrationResiduals:
        """What a straight line from the least to the greatest count leaves: a firmware that knows the ends only."""
    @property
    def after(self) -> CalibrationResiduals:
        """What the calibration leaves of the rows that were fitted."""
    @property
    def held_back(self) -> CalibrationResiduals | None:
        """What it leaves of those that were held back; None if none were."""
    def points_worth(self, points: Sequence[int] | None = None) -> tuple[PointsWorth, ...]:
        """What calibrations of so many points would leave, straight between them: which number is worth taking."""
    def firmware(
        self,
        name: str,
        *,
        knots: int | None = None,
        output_bits: int | None = None,
        center: float = 0.0,
        ends: Sequence[float] | None = None,
        dead_zone: float = 0.0,
        end_zone: float = 0.0,
    ) -> Firmware:
        """The curve as constants for a microcontroller; see Firmware. ends: those of the travel if not given."""
    @staticmethod
    def from_json(text: str) -> Calibration:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Curve and figures as JSON, SI, to the last bit."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Firmware:
    """Constants and source for a microcontroller, and how far they are from the calibration: table,
    multiplication, shift and clamp in whole numbers of 32 bits, proven by running through every code.

    The output is 0 from the center to dead_zone on either side, full from end_zone before an end on, and
    straight in the position between, each side by its own travel. In the sources the name is `axis_` with the
    name in lower case, blanks, hyphens and dots as underscores.

    >>> import yokewright as yw
    >>> curve = yw.axis.CalibrationCurve.table([(300, -10 * yw.deg), (2100, 0), (3800, 10 * yw.deg)])
    >>> firmware = yw.axis.Firmware("rudder", curve, bits=12, ends=(-10 * yw.deg, 10 * yw.deg), dead_zone=0.1 * yw.deg)
    >>> firmware.output(2100), firmware.output(4095), firmware.worst_error < 2
    (0, 32767, True)
    >>> print([line for line in firmware.c_source().splitlines() if line.endswith(";") and "output(" in line][0])
    int32_t axis_rudder_output(uint32_t code);
    """
    def __new__(
        cls,
        name: str,
        curve: CalibrationCurve,
        *,
        bits: int,
        ends: Sequence[float],
        knots: int | None = None,
        output_bits: int | None = None,
        center: float = 0.0,
        dead_zone: float = 0.0,
        end_zone: float = 0.0,
    ) -> Self: ...
    @property
    def curve(self) -> CalibrationCurve:
        """The calibration that it was made of."""
    @property
    def name(self) -> str:
        """Name as given."""
    @property
    def identifier(self) -> str:
        """Name in the sources."""
    @property
    def bits(self) -> int:
        """Bits of the converter."""
    @property
    def output_bits(self) -> int:
        """Bits of the output."""
    @property
    def full_output(self) -> int:
        """Greatest output."""
    @property
    def center(self) -> float:
        """Angle at which the output is 0, rad."""
    @property
    def ends(self) -> tuple[float, float]:
        """Angles at the ends, rad."""
    @property
    def dead_zone(self) -> float:
        """On either side of the center, rad."""
    @property
    def end_zone(self) -> float:
        """Before either end, rad."""
    @property
    def knots(self) -> tuple[int, int]:
        """Knots of the tables below and above the center."""
    @property
    def shift(self) -> int:
        """By how many bits sums are shifted."""
    @property
    def worst_error(self) -> float:
        """Greatest difference of output and calibration over all codes, in steps of the output; half is rounding."""
    @property
    def worst_angle(self) -> float:
        """The same as an angle of the control, rad."""
    @property
    def worst_code(self) -> int:
        """The code with the greatest difference."""
    @property
    def reached(self) -> tuple[int, int]:
        """Output at the first and at the last code."""
    def output(self, code: int) -> int:
        """The output at a code, as the sources compute it; beyond the converter as at its last code."""
    def outputs(self) -> NDArray[np.int32]:
        """The outputs of all codes, from 0 on."""
    def model(self) -> Floats:
        """The outputs that the calibration has at all codes, not rounded."""
    def c_source(self) -> str:
        """The source in C99: `int32_t axis_<name>_output(uint32_t code)`, with nothing but `<stdint.h>`."""
    def rust_source(self) -> str:
        """The source in Rust: `pub fn axis_<name>_output(code: u32) -> i32`, for `no_std`."""
    def json(self) -> str:
        """The constants as JSON."""
    def csv(self) -> str:
        """Every code with its position, deg, and its output, as CSV."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class FigureImportance:
    """How much of the variance of one figure each tolerance makes."""
    @property
    def figure(self) -> str:
        """The figure."""
    @property
    def variance(self) -> float:
        """Its variance, in the square of its unit."""
    @property
    def tolerances(self) -> list[ToleranceImportance]:
        """The tolerances; empty of a figure that does not vary."""
    @property
    def words(self) -> str:
        """In words, what decides."""
    def words_with(self, what_if: WhatIf) -> str:
        """The same with what the changed tolerance would do for the yield."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class IdentifiedQuantity:
    """One quantity that was identified, in its SI unit."""
    @property
    def name(self) -> str:
        """Its name."""
    @property
    def unit(self) -> str:
        """Its unit."""
    @property
    def designed(self) -> float:
        """As designed."""
    @property
    def value(self) -> float:
        """As it explains the readings best."""
    @property
    def standard_error(self) -> float | None:
        """Standard error; None if the readings do not tell it from another."""
    @property
    def interval(self) -> tuple[float, float] | None:
        """The 95 % interval; None without a standard error."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Importance:
    """What matters: the Sobol' indices of every figure, and of whether a build meets every target."""
    @property
    def figures(self) -> dict[str, FigureImportance]:
        """Every figure by its name; "meets every target" tells what decides about the yield."""
    @property
    def builds(self) -> int:
        """Builds that it took."""
    @property
    def confidence(self) -> float:
        """Confidence of the intervals."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def study_importance(
    design: ControlDesign | CallableDesign,
    tolerances: Sequence[Tolerance],
    *,
    targets: Sequence[YieldTarget] = (),
    rows: int = 4096,
    seed: int = 1,
    replicates: int | None = None,
    confidence: float = 0.95,
) -> Importance:
    """The Sobol' indices of every figure, from builds in which the tolerances are drawn anew one by one: rows
    times (number of tolerances + 2) of them. The other arguments are those of study_yield.
    """

@final
class WhatIf:
    """The yield if one tolerance after the other were closer, or wider."""
    @property
    def share(self) -> float:
        """Share of the builds that meet all targets as it is."""
    @property
    def builds(self) -> int:
        """Builds of each study."""
    @property
    def shares(self) -> dict[str, float]:
        """The share with each tolerance changed in its turn, by its name."""
    @property
    def gains(self) -> dict[str, tuple[float, float]]:
        """By how much each is more, and the standard error of that."""
    @property
    def best(self) -> str | None:
        """The tolerance whose change gains most."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def study_what_if(
    design: ControlDesign | CallableDesign,
    tolerances: Sequence[Tolerance],
    *,
    targets: Sequence[YieldTarget] = (),
    factor: float = 0.5,
    builds: int = 10000,
    seed: int = 1,
) -> WhatIf:
    """The yield with each tolerance in turn factor times as wide, the same builds otherwise. The other arguments
    are those of study_yield.
    """

@final
class ToleranceAllocation:
    """The loosest tolerances with which a share of the builds still meets all targets."""
    @property
    def tolerances(self) -> list[Tolerance]:
        """The tolerances."""
    @property
    def factors(self) -> list[float]:
        """What each was multiplied by."""
    @property
    def share(self) -> float:
        """Share of the builds that meet all targets with them."""
    @property
    def share_before(self) -> float:
        """The same with the tolerances that were given."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def allocate_tolerances(
    design: ControlDesign | CallableDesign,
    tolerances: Sequence[Tolerance],
    *,
    targets: Sequence[YieldTarget],
    wanted: float = 0.95,
    builds: int = 10000,
    seed: int = 1,
) -> ToleranceAllocation:
    """The loosest tolerances with which a share of the builds, wanted, still meets all targets: what decides stays
    close, what does not matter becomes cheap. The other arguments are those of study_yield.
    """

@final
class TolerantDesign:
    """A design with its yield."""
    @property
    def values(self) -> dict[str, float]:
        """The values of what was to be chosen, by name."""
    @property
    def share(self) -> float:
        """Share of its builds that meet all targets."""
    @property
    def interval(self) -> tuple[float, float]:
        """Between which shares the true yield lies."""
    @property
    def nominal_miss(self) -> float | None:
        """By how much the design itself misses what it misses most: negative if it meets all targets."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def search_tolerant_designs(
    design: ControlDesign | CallableDesign,
    tolerances: Sequence[Tolerance],
    *,
    targets: Sequence[YieldTarget],
    varied: dict[str, tuple[float, float]],
    places: int = 200,
    builds: int = 10000,
    seed: int = 1,
    min_yield: float = 0.0,
) -> tuple[SearchResult[TolerantDesign], TolerantDesign | None]:
    """Searches the design with the best yield under its tolerances.

    varied: (least, greatest) value of each input that may be chosen, by name. places: how many are tried before
    the best are improved. builds: of each place. min_yield: what a design must give to be found. Gives the
    designs, a SearchResult of TolerantDesign, best first, and the one that itself has most to spare: what a
    search without tolerances would have chosen.
    """

@final
class BenchAdvice:
    """How to bring one measure back to its design, and what that makes of the range used."""
    @property
    def measure(self) -> str:
        """Name of the measure."""
    @property
    def change(self) -> float:
        """What to add to it, in its unit."""
    @property
    def interval(self) -> tuple[float, float]:
        """Least and greatest change with 95 % confidence."""
    @property
    def range_used(self) -> float:
        """Share of the codes used as it is."""
    @property
    def range_used_then(self) -> float:
        """The same after the change."""
    @property
    def text(self) -> str:
        """The same in words."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Identification:
    """Which values explain measured readings, how well each is known, and what the readings cannot tell apart.

    Least squares on the exact model within the bounds, with the tolerances as further residuals. A direction in
    which the readings alone tell the quantities no better than to half of what was known before is named in
    cannot_tell, and what takes part in it has no standard error.
    """
    @property
    def quantities(self) -> tuple[IdentifiedQuantity, ...]:
        """The quantities, in the order of their names."""
    def quantity(self, name: str) -> IdentifiedQuantity | None:
        """The quantity of a name; None if it was not sought."""
    @property
    def correlation(self) -> Floats:
        """Correlation of each two by the readings alone, (N, N)."""
    @property
    def cannot_tell(self) -> tuple[str, ...]:
        """What the readings cannot tell apart, in words."""
    @property
    def moves_together(self) -> tuple[str, ...]:
        """What is told but moves together, in words."""
    @property
    def advice(self) -> tuple[BenchAdvice, ...]:
        """What to do about measures that are surely off."""
    @property
    def residual_rms(self) -> float:
        """Root mean square of what the fit leaves, in the unit of the readings."""
    @property
    def reading_sd(self) -> float:
        """Standard deviation of a reading that was used."""
    @property
    def misfit(self) -> float:
        """residual_rms by reading_sd: far above 1, something is off that was not sought."""
    @property
    def reading_unit(self) -> str:
        """Unit of the readings."""
    @property
    def readings(self) -> int:
        """Number of readings."""
    @staticmethod
    def from_json(text: str) -> Identification:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """Everything as JSON, SI, to the last bit."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def identify_axis(
    sweep: BenchSweep,
    arrangement: Arrangement,
    *,
    throw: Sequence[float] | None = None,
    sensor: LinearHall,
    converter: Converter,
    within: dict[str, Sequence[float]] = ...,
    plus_minus: dict[str, float] = ...,
    moving: Literal["magnets", "sensor"] = "magnets",
    drive: Transmission | None = None,
    noise: float | None = None,
) -> Identification:
    """What explains a measured sweep: which values of the quantities sought, with advice for what is surely off.

    arrangement, throw (rad), sensor, converter, moving, drive: the axis as designed. What is sought is named
    either with its bounds, within={"gap": (1 * mm, 4 * mm)}, or with the tolerance of a drawing (two standard
    deviations), plus_minus={"polarization": 0.04}: every measure of the arrangement, "sensor offset" (V),
    "sensor gain" (V/T) and "angle zero" (rad). All others are as designed. noise: of one reading, counts rms;
    if not given, as the fit leaves it.

    >>> import yokewright as yw
    >>> from yokewright import deg, mm
    >>> cube = yw.magnet.Block(size=(5 * mm, 5 * mm, 5 * mm), polarization=(0, 1.3, 0))
    >>> layout = yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=2 * mm)
    >>> parts = dict(
    ...     throw=(-6 * deg, 6 * deg),
    ...     sensor=yw.hall.LinearHall(supply=5.0, sensitivity=20 * yw.mV_per_mT),
    ...     converter=yw.hall.Converter(bits=12, reference=5.0),
    ... )
    >>> built = layout.with_measure("gap", 2.3 * mm).axis(**parts).sweep(101)
    >>> sweep = yw.axis.BenchSweep(built.angle, built.counts, bits=12)
    >>> found = yw.axis.identify_axis(sweep, layout, **parts, within={"gap": (1 * mm, 4 * mm)})
    >>> print(f"{found.quantity('gap').value / mm:.2f} mm")
    2.30 mm
    """

def identify_rod(
    rod: BallRod,
    pedal: ArrayLike,
    crank: ArrayLike,
    *,
    within: dict[str, Sequence[float]],
    sd: float | None = None,
) -> Identification:
    """What explains the crank angles (rad) measured at pedal angles (rad), of a ball-joint rod as designed.

    within: bounds of what is sought, by name: "rod length", "stud height" (ball joint of the pedal from its
    hinge), "crank arm" (m), "crank zero" (rad: angle of the crank where its protractor showed zero). sd:
    standard deviation of a crank angle, rad; if not given, as the fit leaves it.
    """
