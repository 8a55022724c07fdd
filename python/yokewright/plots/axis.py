"""One control: its curve, how far the curve is from straight, and the parts to scale."""

from typing import Literal

import numpy as np
from matplotlib import pyplot
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch
from matplotlib.ticker import MaxNLocator

from .._core import (
    AngleSensor,
    Axis,
    Line,
    LinearHall,
    Linearity,
    Magnet,
    MagnetGroup,
    MagnetsOverPlate,
    Pose,
    Potentiometer,
    Sweep,
    deg,
    linearity,
    mm,
    mT,
)
from ..errors import InvalidValueError
from . import _checks
from ._bodies import (
    View,
    arm_style,
    draw_active_point,
    draw_arm,
    draw_magnets,
    draw_package,
    draw_pivot,
    draw_scale_bar,
    is_end_on,
    package_corners,
)
from ._outlines import Points
from ._style import (
    BAND,
    CLIPPED,
    CURVE,
    DASHED,
    FAINT,
    FONT_PT,
    INK,
    NORTH,
    PACKAGE,
    SOUTH,
    Style,
    dress,
    legend,
)

# (unit it is drawn in, label of the axis)
_QUANTITIES: dict[str, tuple[float, str]] = {
    "flux": (mT, "Flux density (mT)"),
    "volts": (1.0, "Sensor output (V)"),
    "counts": (1.0, "Reading (counts)"),
}


def plot_curve(sweep: Sweep, quantity: Literal["flux", "volts", "counts"] = "flux", ax: Axes | None = None) -> Axes:
    """Draw flux density in mT, output in volts or reading in counts against the control's angle.

    The thin line is the straight one that departs least (independent linearity); where the sensor
    clips, the ground is hatched.
    """
    values, label = _values(sweep, quantity)
    ax = _axes_with_angle(sweep, label, ax)
    ax.plot(sweep.angle / deg, values, color=CURVE, linewidth=3.2, label="sweep", solid_capstyle="butt")
    straight = _straightness(sweep, values)
    if straight is not None:
        line = _line_values(straight.independent_line, sweep)
        ax.plot(sweep.angle / deg, line, color=INK, linewidth=0.9, label="independent line")
    _mark_clipped(sweep, ax)
    legend(ax)
    return ax


def plot_departure(
    sweep: Sweep, quantity: Literal["flux", "volts", "counts"] = "volts", ax: Axes | None = None
) -> Axes:
    """Draw how far the curve departs from its independent line, in percent of the curve's span.

    The band is plus and minus the independent linearity: the curve touches it and never leaves it.
    """
    values, _ = _values(sweep, quantity)
    ax = _axes_with_angle(sweep, "Departure (% of span)", ax)
    straight = _straightness(sweep, values)
    if straight is None:
        ax.text(0.5, 0.5, "the reading does not change", transform=ax.transAxes, ha="center", fontsize=FONT_PT)
        return ax
    percent = 100.0 * straight.independent
    departure = 100.0 * (values - _line_values(straight.independent_line, sweep)) / np.ptp(values)
    ax.axhspan(-percent, percent, color=BAND, label=f"±{_short(percent)} % of span", zorder=0)
    for edge in (-percent, percent):
        ax.axhline(edge, color=FAINT, linewidth=0.8, linestyle=(0, (4, 3)))
    ax.axhline(0.0, color=INK, linewidth=0.9)
    ax.plot(sweep.angle / deg, departure, color=INK, linewidth=1.8, label="departure")
    _mark_clipped(sweep, ax)
    ax.margins(y=0.12)
    legend(ax)
    return ax


def plot_layout(axis: Axis, angle: float = 0.0, ax: Axes | None = None) -> Axes:
    """Draw magnets, sensor, pivot and arm to scale, looking along the pivot axis.

    The pivot axis points at the reader, so positive angles turn counterclockwise; the parts at center
    are dashed. Only the face and the active point of the sensor are known to the calculation: its
    body is drawn at a common size.
    """
    _checks.kind(axis, Axis)
    if ax is None:
        _, ax = pyplot.subplots(figsize=(4.2, 4.6), layout="constrained")
    view = _View(axis)
    if angle != 0.0:
        _draw_moving_part(axis, view, 0.0, ax, faint=True)
    _draw_arc(axis, view, ax)
    _draw_moving_part(axis, view, angle, ax, faint=False)
    _draw_still_part(axis, view, ax)
    draw_pivot(ax)
    draw_scale_bar(view, ax)
    ax.set_xlim(*view.x_range)
    ax.set_ylim(*view.y_range)
    ax.set_aspect("equal")
    ax.set_axis_off()
    ax.set_title(f"at {_signed(angle / deg)} deg", fontsize=FONT_PT + 1, color=INK)
    return ax


def plot_throw(axis: Axis) -> Figure:
    """Draw the layout at both ends of the throw, side by side at one scale, with a key below."""
    _checks.kind(axis, Axis)
    figure = pyplot.figure(figsize=(7.2, 4.6), layout="constrained")
    draw_throw(axis, figure)
    return figure


def draw_throw(axis: Axis, figure: Figure) -> None:
    """Do what `plot_throw` does in a figure of the caller's own; one above the other if that is upright."""
    upright = figure.get_figheight() > figure.get_figwidth()
    low, high = figure.subplots(2, 1) if upright else figure.subplots(1, 2)
    plot_layout(axis, axis.throw[0], low)
    plot_layout(axis, axis.throw[1], high)
    key = figure.legend(
        handles=_layout_key(axis),
        loc="outside lower center",
        ncols=1 if upright else 3,
        frameon=False,
        fontsize=FONT_PT,
        labelcolor=INK,
    )
    key.set_in_layout(True)


# --- curves -------------------------------------------------------------------------------------


def _values(sweep: Sweep, quantity: str) -> tuple[Points, str]:
    _checks.kind(sweep, Sweep)
    if quantity not in _QUANTITIES:
        raise InvalidValueError(f"quantity is {quantity!r}; choose from {', '.join(_QUANTITIES)}")
    unit, label = _QUANTITIES[quantity]
    return np.asarray(getattr(sweep, quantity), dtype=np.float64) / unit, label


def _straightness(sweep: Sweep, values: Points) -> Linearity | None:
    """Linearity of the values; none where they all agree and percent of span means nothing."""
    return linearity(sweep.angle, values) if np.ptp(values) > 0.0 else None


def _line_values(line: Line, sweep: Sweep) -> Points:
    return line.offset + line.slope * sweep.angle


def _axes_with_angle(sweep: Sweep, label: str, ax: Axes | None) -> Axes:
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.2, 3.6), layout="constrained")
    low, high = sweep.angle[0] / deg, sweep.angle[-1] / deg
    ax.set_xlim(low, high)
    dress(ax, "Control angle (deg)", label)
    ax.xaxis.set_major_locator(MaxNLocator(7, steps=[1, 2, 3, 5, 10]))
    if low < 0.0 < high:
        ax.axvline(0.0, color=FAINT, linewidth=0.8, zorder=0.9)
    return ax


def _mark_clipped(sweep: Sweep, ax: Axes) -> None:
    """Hatches every stretch of the throw in which the output stands at a rail."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], sweep.clipped, [False])).astype(np.int8)))
    angle = sweep.angle / deg
    for count, (start, stop) in enumerate(edges.reshape(-1, 2)):
        ax.axvspan(
            angle[max(start - 1, 0)],
            angle[min(stop, len(angle) - 1)],
            facecolor="#faf1e6",
            edgecolor=CLIPPED,
            hatch="////",
            linewidth=0.0,
            zorder=0.5,
            label="clipped" if count == 0 else None,
        )


def _short(value: float) -> str:
    return f"{value:.2g}" if abs(value) < 10.0 else f"{value:.0f}"


def _signed(value: float) -> str:
    return f"{value:+.4g}".replace("-", "\N{MINUS SIGN}") if value else "0"


# --- layout -------------------------------------------------------------------------------------


class _View(View):
    """Seen against the pivot axis, the arm at center pointing up."""

    def __init__(self, axis: Axis) -> None:
        normal = np.asarray(axis.direction) / np.linalg.norm(axis.direction)
        pivot = np.asarray(axis.pivot)

        def flat(vector: Points) -> Points:
            flat: Points = vector - np.dot(vector, normal) * normal
            return flat

        centers = [magnet.pose.position for magnet in _magnets(axis.magnets)]
        up = flat(np.mean(centers, axis=0) - pivot)
        if np.linalg.norm(up) < 1e-3 * mm:  # the magnet sits on the pivot: the sensor shows which way is up
            up = flat(axis.sensor_pose.position - pivot)
        if np.linalg.norm(up) < 1e-3 * mm:  # everything sits on the pivot: any direction will do
            up = flat(np.eye(3)[np.argmin(np.abs(normal))])
        up = up / np.linalg.norm(up)
        super().__init__(pivot, np.cross(up, normal), up)
        # One frame for every angle, so that two drawings of a throw can be laid side by side.
        corners = [np.zeros((1, 2))]
        for angle in (axis.throw[0], 0.0, axis.throw[1]):
            corners += [self.silhouette(magnet) for magnet in _magnets(axis.magnets_at(angle))]
            corners.append(self.project(package_corners(axis.sensor_pose_at(angle))))
        self.fit(np.vstack(corners))


def _magnets(source: MagnetGroup | MagnetsOverPlate | None) -> list[Magnet]:
    """The magnets themselves, without the plate that they may stand over."""
    if source is None:
        raise InvalidValueError("the axis has no magnets, so there is no layout to draw")
    return (source.magnets if isinstance(source, MagnetsOverPlate) else source).magnets


def _draw_moving_part(axis: Axis, view: _View, angle: float, ax: Axes, faint: bool) -> None:
    if axis.moving == "magnets":
        magnets = _magnets(axis.magnets_at(angle))
        end = np.mean([magnet.pose.position for magnet in magnets], axis=0)
        draw_arm(view, end, ax, faint)
        draw_magnets(magnets, view, ax, faint)
    else:
        pose = axis.sensor_pose_at(angle)
        draw_arm(view, pose.position, ax, faint)
        _draw_sensor(axis, pose, view, ax, faint)


def _draw_still_part(axis: Axis, view: _View, ax: Axes) -> None:
    if axis.moving == "magnets":
        _draw_sensor(axis, axis.sensor_pose, view, ax, faint=False)
    else:
        draw_magnets(_magnets(axis.magnets), view, ax, faint=False)


def _field_sensor(axis: Axis) -> LinearHall | AngleSensor:
    if not isinstance(axis.sensor, Potentiometer):
        return axis.sensor
    raise InvalidValueError("a potentiometer stands on the shaft: there is no layout to draw")


def _directions(axis: Axis) -> list[Points]:
    """The directions along which the sensor reads, in the frame of its package."""
    sensor = _field_sensor(axis)
    if isinstance(sensor, LinearHall):
        return [sensor.direction]
    return [np.array(direction) for direction in sensor.directions]


def _points_out_of_plane(axis: Axis) -> bool:
    """Whether a drawing of the axis has any arrow that is seen end on."""
    view = _View(axis)
    arrows = [axis.sensor_pose.matrix @ direction for direction in _directions(axis)]
    for magnet in _magnets(axis.magnets):
        strength = np.linalg.norm(magnet.polarization)
        if strength > 0.0:
            arrows.append(magnet.pose.matrix @ magnet.polarization / strength)
    return any(is_end_on(view.direction(arrow)) for arrow in arrows)


def _draw_sensor(axis: Axis, pose: Pose, view: View, ax: Axes, faint: bool) -> None:
    draw_package(pose, view, ax, faint)
    if not faint:
        for direction in _directions(axis):
            draw_active_point(pose, _field_sensor(axis).depth, direction, view, ax)


def _draw_arc(axis: Axis, view: _View, ax: Axes) -> None:
    """The path of the moving part's center over the throw."""
    if axis.moving == "magnets":
        path = [
            np.mean([magnet.pose.position for magnet in _magnets(axis.magnets_at(angle))], axis=0)
            for angle in np.linspace(*axis.throw, 61)
        ]
    else:
        path = [axis.sensor_pose_at(angle).position for angle in np.linspace(*axis.throw, 61)]
    ax.plot(*view.project(np.array(path)).T, color=FAINT, linewidth=0.9, zorder=2.5)


def _layout_key(axis: Axis) -> list[Artist]:
    arrow: Style = {"color": INK, "marker": ">", "markevery": [1], "markersize": 5.0}
    dot: Style = {"marker": "o", "markerfacecolor": "white", "markeredgecolor": INK, "linestyle": "none"}
    handles: list[Artist] = [
        Patch(facecolor=SOUTH, edgecolor=INK, label="magnet"),
        Patch(facecolor=NORTH, edgecolor=INK, label="its north end"),
        Line2D([0, 1], [0, 0], linewidth=1.8, label="polarization, to north", **arrow),
        Patch(facecolor=PACKAGE, edgecolor=INK, label="sensor, its face bold"),
        Line2D([], [], markersize=4.5, label="active point", **dot),
        Line2D([0, 1], [0, 0], linewidth=1.1, label="reads positive", **arrow),
        Line2D([], [], markersize=9.0, markeredgewidth=1.4, label="pivot", **dot),
        Line2D([], [], label="arm", **arm_style(False)),
        Line2D([], [], label="at center", **DASHED),
    ]
    if _points_out_of_plane(axis):
        rings = Line2D([], [], markersize=11.0, label="dot: toward you, cross: away", **dot)
        handles.append(rings)
    return handles
