"""One control from hand to count: magnets, pivot, sensor and converter in a row."""

from collections.abc import Sequence
from typing import Literal, final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from typing_extensions import Self, disjoint_base

from ._core import Floats, Mask, Pose, SearchResult
from .hall import Converter, LinearHall
from .linkage import Transfer, Transmission
from .magnet import ActiveArea, Magnet, MagnetGroup, MagnetsOverPlate

__all__ = [
    "Arrangement",
    "Axis",
    "AxisFigures",
    "BackPlate",
    "CenterFigures",
    "HeadOnLayout",
    "LayoutCandidate",
    "Line",
    "Linearity",
    "Measure",
    "PairLayout",
    "SensorPackage",
    "ShaftEndLayout",
    "Sweep",
    "SwungLayout",
    "linearity",
    "search_layouts",
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
    @property
    def name(self) -> str: ...
    @property
    def value(self) -> float: ...
    @property
    def bounds(self) -> tuple[float, float]: ...
    @property
    def unit(self) -> str: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class BackPlate:
    def __new__(cls, distance: float = 0.0, *, holder: Literal["magnets", "sensor"] = "magnets") -> BackPlate: ...
    @property
    def distance(self) -> float: ...
    @property
    def holder(self) -> Literal["magnets", "sensor"]: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SensorPackage:
    def __new__(cls, width: float, height: float, thickness: float) -> SensorPackage: ...
    @property
    def width(self) -> float: ...
    @property
    def height(self) -> float: ...
    @property
    def thickness(self) -> float: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@disjoint_base
class Arrangement:
    @property
    def offset(self) -> Floats: ...
    @property
    def magnet_tilt(self) -> Floats: ...
    @property
    def sensor_tilt(self) -> Floats: ...
    @property
    def plate(self) -> BackPlate | None: ...
    @property
    def package(self) -> SensorPackage | None: ...
    @property
    def source(self) -> MagnetGroup | MagnetsOverPlate: ...
    @property
    def sensor_pose(self) -> Pose: ...
    def measures(self) -> list[Measure]: ...
    def measure(self, name: str) -> float | None: ...
    def with_measure(self, name: str, value: float) -> Self: ...
    def axis(
        self,
        *,
        throw: tuple[float, float] | None = None,
        sensor: LinearHall,
        converter: Converter,
        moving: Literal["magnets", "sensor"] = "magnets",
        area: ActiveArea | None = None,
        drive: Transmission | None = None,
        lever: float | None = None,
    ) -> Axis: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SwungLayout(Arrangement):
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
    def magnet(self) -> Magnet: ...
    @property
    def arm(self) -> float: ...
    @property
    def gap(self) -> float: ...
    @property
    def side(self) -> Literal["outer", "inner", "axial"]: ...

@final
class PairLayout(Arrangement):
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
    def magnets(self) -> list[Magnet]: ...
    @property
    def arm(self) -> float: ...
    @property
    def gap(self) -> float: ...
    @property
    def spacing(self) -> float: ...
    @property
    def carrier(self) -> Literal["flat", "round"]: ...
    @property
    def side(self) -> Literal["outer", "inner", "axial"]: ...

@final
class HeadOnLayout(Arrangement):
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
    def magnet(self) -> Magnet: ...
    @property
    def arm(self) -> float: ...
    @property
    def gap(self) -> float: ...

@final
class ShaftEndLayout(Arrangement):
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
    def magnet(self) -> Magnet: ...
    @property
    def gap(self) -> float: ...
    @property
    def side(self) -> Literal["end", "beside"]: ...
    @property
    def eccentricity(self) -> tuple[float, float]: ...

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
        pivot: ArrayLike,
        direction: ArrayLike,
        throw: tuple[float, float] | None = None,
        magnets: Magnet | MagnetGroup | MagnetsOverPlate,
        sensor: LinearHall,
        sensor_pose: Pose,
        converter: Converter,
        moving: Literal["magnets", "sensor"] = "magnets",
        area: ActiveArea | None = None,
        plate: Literal["frame", "moving"] = "frame",
        drive: Transmission | None = None,
        lever: float | None = None,
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
    def magnets(self) -> MagnetGroup | MagnetsOverPlate:
        """The magnets at angle zero: a MagnetGroup, or MagnetsOverPlate."""
    @property
    def plate(self) -> Literal["frame", "moving"]:
        """What a plate under the magnets is fixed to: "frame" or "moving"."""
    @property
    def area(self) -> ActiveArea | None:
        """The area that the sensor averages over; None of one that reads at its active point."""
    @property
    def sensor(self) -> LinearHall:
        """The sensor."""
    @property
    def sensor_pose(self) -> Pose:
        """The sensor's package at angle zero."""
    @property
    def converter(self) -> Converter:
        """The converter."""
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
    def magnets_at(self, angle: float) -> MagnetGroup | MagnetsOverPlate:
        """The magnets when the control stands at an angle, rad, with their plate if they are over one."""
    def sensor_pose_at(self, angle: float) -> Pose:
        """The sensor's package when the control stands at an angle, rad."""
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
    def flux(self) -> Floats:
        """Flux density along the sensitive direction, T."""
    @property
    def volts(self) -> Floats:
        """Sensor output, V, held at the rails."""
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
    def gain_flux(self) -> float:
        """Change of flux density, T per rad or per m."""
    @property
    def gain_volts(self) -> float:
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
    def flux_span(self) -> float:
        """Greatest less least flux density, T."""
    @property
    def volts_span(self) -> float:
        """Greatest less least sensor output, V."""
    @property
    def gain_flux(self) -> float:
        """Gain at the center, T/rad."""
    @property
    def gain_volts(self) -> float:
        """Gain at the center, V/rad; 0 where the output is clipped."""
    @property
    def gain_counts(self) -> float:
        """Gain at the center, counts/rad; 0 where the output is clipped."""
    @property
    def linearity_flux(self) -> Linearity | None:
        """Linearity of the flux density; None if it does not change."""
    @property
    def linearity_volts(self) -> Linearity | None:
        """Linearity of the sensor output over the whole throw, of the span that the rails leave: where a rail
        holds the output, its departure counts like any other. None if the output does not change.
        """
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
class LayoutCandidate:
    """A layout that search_layouts found, or came near to."""
    @property
    def layout(self) -> SwungLayout:
        """The layout with its arm and gap."""
    @property
    def axis(self) -> Axis:
        """Its axis."""
    @property
    def figures(self) -> AxisFigures:
        """Its figures."""

def search_layouts(
    layout: SwungLayout,
    *,
    arm: tuple[float, float],
    gap: tuple[float, float],
    linearity: float,
    throw: tuple[float, float],
    sensor: LinearHall,
    converter: Converter,
    moving: Literal["magnets", "sensor"] = "magnets",
    range_margin: float = 0.0,
) -> SearchResult[LayoutCandidate]:
    """Finds the arm and gap (bounds in m) that give the widest sweep that neither clips nor bends more than
    linearity (a fraction of span).

    Everything but arm and gap is taken from layout. range_margin: fraction of the sensor's output range to keep
    free at each rail.
    """
