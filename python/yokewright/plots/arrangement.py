"""An arrangement of magnet and sensor to scale, from two sides, with its measures."""

from collections.abc import Sequence

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import FancyArrowPatch, Patch, Polygon

from .._core import Arrangement, Magnet, MagnetsOverPlate, Pose, mm
from . import _checks
from ._bodies import (
    PACKAGE_SIZE,
    View,
    arm_style,
    draw_magnets,
    draw_package,
    draw_pivot,
    draw_scale_bar,
    hull,
    package_corners,
)
from ._outlines import Points, extents
from ._style import FAINT, FONT_PT, INK, NORTH, PACKAGE, SOUTH, STEEL, Style

_X, _Y, _Z = np.eye(3)
# Thickness at which a plate is drawn: the calculation takes it as thick, whatever it is.
_PLATE = 2.0 * mm
# A center line, long and short.
_CENTER_LINE: Style = {"color": FAINT, "linewidth": 0.9, "linestyle": (0, (9, 2, 2, 2))}
_WIDTH = 7.2  # of the figure, in
_MARGINS = 1.9  # of the figure, for titles, numbers and a key of two lines, in
_LINE = 0.24  # of the key, in
_TALLEST = 6.5  # of both views together, in
_NARROW = 5.0  # up to this width the key is one column, in


def plot_arrangement(arrangement: Arrangement) -> Figure:
    """Draw an arrangement to scale when centered, from the side and along the pivot axis, with its measures.

    From the side the pivot axis points up; below, it points at the reader, so that positive angles turn
    counterclockwise. Without a `package` the sensor's body is drawn at a common size.
    """
    _checks.kind(arrangement, Arrangement)
    figure = pyplot.figure(figsize=(_WIDTH, 1.0), layout="constrained")
    draw_arrangement(arrangement, figure)
    return figure


def draw_arrangement(arrangement: Arrangement, figure: Figure, tallest: float = _TALLEST) -> None:
    """Do what `plot_arrangement` does in a figure of the caller's own: its width stays, its height is set.

    tallest: of both views together, in.
    """
    side, top = _View(arrangement, _X, _Z), _View(arrangement, _X, _Y)
    # One scale for both, and one above the other.
    low, high = (f(end, other) for f, end, other in zip((min, max), side.x_range, top.x_range, strict=True))
    side.x_range = top.x_range = (low, high)
    heights = [view.y_range[1] - view.y_range[0] for view in (side, top)]
    width = figure.get_figwidth()
    scale = min((width - 0.4) / (high - low), tallest / sum(heights))
    columns = 3 if width > _NARROW else 1
    handles = _key(arrangement)
    lines = -(-len(handles) // columns)
    figure.set_figheight(scale * sum(heights) + _MARGINS + _LINE * (lines - 2))
    axes = figure.subplots(2, 1, height_ratios=heights)
    for view, ax, title in zip((side, top), axes, ("from the side", "along the pivot axis"), strict=True):
        _draw(arrangement, view, ax)
        ax.set_title(title, fontsize=FONT_PT + 1, color=INK)
    draw_scale_bar(top, axes[1])
    key = figure.legend(
        handles=handles,
        loc="outside lower center",
        ncols=columns,
        frameon=False,
        fontsize=FONT_PT,
        labelcolor=INK,
    )
    key.set_in_layout(True)


class _View(View):
    """With room for everything that is drawn, the pivot at the origin."""

    def __init__(self, arrangement: Arrangement, right: Points, up: Points) -> None:
        super().__init__(np.zeros(3), right, up)
        corners = [np.zeros((1, 2))]
        corners += [self.silhouette(magnet) for magnet in _magnets(arrangement)]
        corners.append(self.project(package_corners(arrangement.sensor_pose, _package(arrangement))))
        plate = _plate_corners(arrangement)
        if plate is not None:
            corners.append(self.project(plate))
        self.corners = np.vstack(corners)
        self.fit(self.corners)
        # Room for the dimension lines and their numbers: one below, one beside or above.
        low, high = np.min(self.corners, axis=0), np.max(self.corners, axis=0)
        room = 0.16 * self.size
        self.x_range = (float(low[0] - 0.4 * room), float(high[0] + room))
        self.y_range = (float(low[1] - (2.2 if up is _Y else 1.0) * room), float(high[1] + 0.4 * room))


def _magnets(arrangement: Arrangement) -> list[Magnet]:
    source = arrangement.source
    return (source.magnets if isinstance(source, MagnetsOverPlate) else source).magnets


def _package(arrangement: Arrangement) -> tuple[float, float, float]:
    package = arrangement.package
    return PACKAGE_SIZE if package is None else (package.width, package.height, package.thickness)


def _center(arrangement: Arrangement) -> Points:
    center: Points = np.mean([magnet.pose.position for magnet in _magnets(arrangement)], axis=0)
    return center


def _facing(arrangement: Arrangement) -> Points:
    """The direction from the magnets to the sensor, without tilt."""
    out = arrangement.sensor_pose.matrix @ -_Z
    tilt = Pose(rotation=arrangement.sensor_tilt).matrix
    facing: Points = np.round(tilt.T @ out)
    return facing


def _plate_corners(arrangement: Arrangement) -> Points | None:
    source = arrangement.source
    if not isinstance(source, MagnetsOverPlate):
        return None
    normal = np.asarray(source.plate.normal)
    # As wide as the magnets reach, and half as much again; in truth it has no end.
    reach = max(float(np.max(extents(magnet))) for magnet in _magnets(arrangement))
    spread = np.ptp([magnet.pose.position for magnet in _magnets(arrangement)], axis=0)
    half = 0.5 * (1.5 * reach + float(np.max(spread)))
    center = _center(arrangement)
    foot = center - source.plate.distance(center) * normal
    # Its sides along the pivot axis, or along the tangent where it lies across that axis.
    along = _Z if abs(normal[2]) < 0.7 else _Y
    along = along - (along @ normal) * normal
    along = along / np.linalg.norm(along)
    across = np.cross(normal, along)
    corners = [
        foot + half * (a * along + b * across) - depth * normal
        for a in (-1, 1)
        for b in (-1, 1)
        for depth in (0.0, _PLATE)
    ]
    return np.array(corners)


def _draw(arrangement: Arrangement, view: _View, ax: Axes) -> None:
    along_axis = view.up is _Y
    center = _center(arrangement)
    arm = arrangement.measure("arm")
    if along_axis:
        if arm is not None:
            ax.plot([0.0, arm / mm], [0.0, 0.0], zorder=1, **arm_style(False))
        draw_pivot(ax)
    else:
        ax.plot([0.0, 0.0], view.y_range, zorder=0.5, **_CENTER_LINE)
        if arm is not None:
            ax.plot([0.0, arm / mm], [0.0, 0.0], zorder=1, **arm_style(False))
    plate = _plate_corners(arrangement)
    if plate is not None:
        ax.add_patch(
            Polygon(hull(view.project(plate)), facecolor=STEEL, edgecolor=INK, linewidth=0.8, hatch="////", zorder=0.8)
        )
    # Those behind first; an arrow on one that is hidden would seem to be that of the one before it.
    magnets = sorted(_magnets(arrangement), key=lambda magnet: float(magnet.pose.position @ view.normal))
    centers = [view.project(magnet.pose.position) for magnet in magnets]
    for i, (magnet, center_seen) in enumerate(zip(magnets, centers, strict=True)):
        reach = 0.5 * float(np.min(extents(magnet))) / mm
        hidden = any(np.linalg.norm(center_seen - other) < reach for other in centers[i + 1 :])
        draw_magnets([magnet], view, ax, faint=False, arrows=not hidden)
    draw_package(arrangement.sensor_pose, view, ax, faint=False, size=_package(arrangement))
    _draw_turn(view, ax, arm)
    _draw_measures(arrangement, center, view, ax)
    ax.set_xlim(*view.x_range)
    ax.set_ylim(*view.y_range)
    ax.set_aspect("equal")
    ax.set_axis_off()


def _draw_turn(view: _View, ax: Axes, arm: float | None) -> None:
    """Which way positive angles turn, about the pivot."""
    if view.up is not _Y:
        return
    radius = 0.3 * arm / mm if arm else 0.3 * view.size
    angle = np.radians([-20.0, 20.0]) if arm else np.radians([20.0, 70.0])
    start, end = (radius * np.array([np.cos(a), np.sin(a)]) for a in angle)
    bend = float(np.tan((angle[1] - angle[0]) / 4))
    style: Style = {"arrowstyle": "->", "mutation_scale": 10.0, "shrinkA": 0.0, "shrinkB": 0.0}
    arrow = FancyArrowPatch(
        tuple(start), tuple(end), connectionstyle=f"arc3,rad={bend:.3f}", color=INK, linewidth=1.0, zorder=6, **style
    )
    ax.add_patch(arrow)


def _draw_measures(arrangement: Arrangement, center: Points, view: _View, ax: Axes) -> None:
    """Arm, gap and spacing where they are seen at full length."""
    facing, pose = _facing(arrangement), arrangement.sensor_pose
    gap, arm, spacing = (arrangement.measure(name) for name in ("gap", "arm", "spacing"))
    if gap is not None and abs(facing @ view.normal) < 0.5:
        # Where the face stands but for the offset, and where the nearest point of the magnets is.
        face = pose.position - np.asarray(arrangement.offset)
        start, end = view.project(face - gap * facing), view.project(face)
        along = view.direction(facing)
        # Below, or on the left, beyond all that is there.
        side = np.array([0.0, -1.0]) if abs(along[0]) > 0.5 else np.array([-1.0, 0.0])
        drawn = [view.silhouette(magnet) for magnet in _magnets(arrangement)]
        drawn.append(view.project(package_corners(pose, _package(arrangement))))
        reach = float(np.max(np.vstack(drawn) @ side)) - float(end @ side)
        _dimension(start, end, (reach + 0.03 * view.size) * side, f"gap {gap / mm:.3g} mm", view, ax)
    if arm is not None and view.up is _Y:
        drop = np.array([0.0, float(np.min(view.corners[:, 1])) - 0.17 * view.size])
        _dimension(np.zeros(2), np.array([arm / mm, 0.0]), drop, f"arm {arm / mm:.3g} mm", view, ax)
    if spacing is not None and view.up is _Y:
        lowest, highest = (np.array([center[0] / mm, sign * spacing / 2 / mm]) for sign in (-1, 1))
        reach = center[0] / mm - min(float(np.min(view.silhouette(magnet)[:, 0])) for magnet in _magnets(arrangement))
        aside = np.array([-reach - 0.1 * view.size, 0.0])
        _dimension(lowest, highest, aside, f"spacing {spacing / mm:.3g} mm", view, ax)


def _dimension(start: Points, end: Points, aside: Points, words: str, view: _View, ax: Axes) -> None:
    """A dimension line set aside from what it measures, with its extension lines and words."""
    shown = [start + aside, end + aside]
    for point, to in zip((start, end), shown, strict=True):
        beyond = to + 0.012 * view.size * aside / np.linalg.norm(aside)
        ax.plot(*np.array([point, beyond]).T, color=FAINT, linewidth=0.7, zorder=5.5)
    length = float(np.linalg.norm(end - start))
    along = (end - start) / length if length > 0.0 else np.zeros(2)
    head: Style = {"arrowstyle": "<|-|>", "mutation_scale": 7.0, "shrinkA": 0.0, "shrinkB": 0.0}
    if length < 0.08 * view.size:
        # No room between the heads: they come from outside.
        for point, sign in zip(shown, (-1, 1), strict=True):
            tail = point + sign * 0.06 * view.size * along
            style: Style = head | {"arrowstyle": "-|>"}
            ax.add_patch(FancyArrowPatch(tuple(tail), tuple(point), color=INK, linewidth=0.8, zorder=6, **style))
    else:
        ax.add_patch(FancyArrowPatch(*map(tuple, shown), color=INK, linewidth=0.8, zorder=6, **head))
    sideways = abs(aside[0]) > abs(aside[1])
    middle = (shown[0] + shown[1]) / 2
    place = middle + 0.025 * view.size * aside / np.linalg.norm(aside)
    if sideways and abs(middle[1]) < 0.1 * view.size:
        # Clear of the arm.
        place = np.array([place[0], shown[1][1] + 0.05 * view.size])
    ax.text(
        float(place[0]),
        float(place[1]),
        words,
        fontsize=FONT_PT,
        color=INK,
        ha=("left" if aside[0] > 0 else "right") if sideways else "center",
        va="center" if sideways else ("bottom" if aside[1] > 0 else "top"),
        zorder=7,
    )


def _key(arrangement: Arrangement) -> Sequence[Patch | Line2D]:
    arrow: Style = {"color": INK, "marker": ">", "markevery": [1], "markersize": 5.0}
    dot: Style = {"marker": "o", "markerfacecolor": "white", "markeredgecolor": INK, "linestyle": "none"}
    handles: list[Patch | Line2D] = [
        Patch(facecolor=SOUTH, edgecolor=INK, label="magnet"),
        Patch(facecolor=NORTH, edgecolor=INK, label="its north end"),
        Line2D([0, 1], [0, 0], linewidth=1.8, label="polarization, to north", **arrow),
        Patch(facecolor=PACKAGE, edgecolor=INK, label="sensor, its face bold"),
        Line2D([], [], markersize=9.0, markeredgewidth=1.4, label="pivot", **dot),
        Line2D([], [], label="pivot axis", **_CENTER_LINE),
    ]
    if arrangement.plate is not None:
        handles.append(Patch(facecolor=STEEL, edgecolor=INK, hatch="////", label="steel plate"))
    handles.append(Line2D([], [], markersize=11.0, label="dot: toward you, cross: away", **dot))
    return handles
