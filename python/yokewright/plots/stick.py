"""Where a stick goes in its gate, and what it clears."""

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes
from matplotlib.cm import ScalarMappable
from matplotlib.colors import BoundaryNorm
from matplotlib.path import Path
from matplotlib.ticker import MaxNLocator
from matplotlib.tri import Triangulation
from mpl_toolkits.mplot3d import Axes3D
from mpl_toolkits.mplot3d.art3d import Poly3DCollection
from numpy.typing import NDArray

from .._core import Clearance, Gate, Gimbal, Obstacle, Pose, deg, mm
from ..errors import InvalidValueError
from ._checks import kind, pair_of_names
from ._style import BAND, CLIPPED, CURVE, FAINT, FONT_PT, INK, STEEL, Style, dress, legend
from .field_map import RAMP

Points: TypeAlias = NDArray[np.float64]

_SAMPLES = 121  # along each side of the map
_STEP = 2 * deg  # of the envelope: finer than a picture of this size shows
_FACETS = 25  # around a round body
_GHOSTS = 8  # sticks around the edge of the gate
_AXIS = 60 * mm  # how far a pivot's axis is drawn to either side
_BODY: Style = {"facecolor": STEEL, "edgecolor": FAINT, "alpha": 0.4}
_LINES = {"block": 0.7, "cylinder": 0.15, "capsule": 0.1}  # a round body has many edges


def plot_stick_reach(
    gimbal: Gimbal,
    gate: Gate,
    obstacles: Sequence[Obstacle] = (),
    *,
    clearance: Clearance | None = None,
    names: tuple[str, str] = ("outer", "inner"),
    ax: Axes3D | None = None,
) -> Axes3D:
    """Draw the stick, the surface its grip moves on within the gate, the pivots, and what stands around.

    The frame is that of the rig, in mm. clearance: of Gimbal.clearance, drawn from surface to surface with
    the stick where it is least. names: of the outer and the inner axis, such as ("pitch", "roll").
    """
    _check(gimbal, gate, obstacles)
    names = pair_of_names(names)
    ax = _solid_axes() if ax is None else ax
    envelope = gimbal.envelope(gate, _STEP)
    angles = np.vstack([envelope.edge, envelope.inside])
    grips = np.vstack([envelope.edge_grips, envelope.inside_grips]) / mm
    triangles = _triangles(envelope.edge, angles)
    ax.plot_trisurf(*grips.T, triangles=triangles, color=CURVE, alpha=0.35, linewidth=0.0)
    edge = np.vstack([envelope.edge_grips, envelope.edge_grips[:1]]) / mm
    ax.plot(*edge.T, color=INK, linewidth=1.2, label="grip at the edge of the gate")
    for outer, inner in envelope.edge[:: max(1, len(envelope.edge) // _GHOSTS)]:
        ax.plot(*_line(gimbal.stick_at(outer, inner)), color=FAINT, linewidth=0.8, label="_ghost")
    ax.plot(*_line(gimbal.stick), color=INK, linewidth=3.0, solid_capstyle="round", label="stick at neutral")
    for pivot, dashes, name in (
        (gimbal.outer, (0, (8, 2, 1.5, 2)), f"{names[0]} axis"),
        (gimbal.inner, (0, (3, 2)), f"{names[1]} axis"),
    ):
        ends = pivot.point + np.outer([-_AXIS, _AXIS], pivot.direction)
        ax.plot(*_line(ends), color=INK, linewidth=1.0, linestyle=dashes, label=name)
    for obstacle in obstacles:
        ax.add_collection3d(Poly3DCollection(_faces(obstacle), linewidth=_LINES[obstacle.kind], **_BODY))
    if clearance is not None:
        _draw_clearance(gimbal, clearance, ax)
    _dress(ax, [grips, _line(gimbal.stick).T, *(face for one in obstacles for face in _faces(one))])
    return ax


def _check(gimbal: Gimbal, gate: Gate, obstacles: Sequence[Obstacle]) -> None:
    kind(gimbal, Gimbal)
    kind(gate, Gate)
    for obstacle in obstacles:
        kind(obstacle, Obstacle)


def plot_clearance(
    gimbal: Gimbal,
    gate: Gate,
    obstacles: Sequence[Obstacle],
    ax: Axes | None = None,
    *,
    names: tuple[str, str] = ("outer", "inner"),
) -> Axes:
    """Draw how far the stick is from the nearest obstacle, over outer and inner angle within the gate.

    The cross marks the least distance, which does not come from the samples of the map but from
    Gimbal.clearance. names: of the outer and the inner axis, such as ("pitch", "roll").
    """
    _check(gimbal, gate, obstacles)
    names = pair_of_names(names)
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.6, 4.6), layout="constrained")
    least = gimbal.clearance(gate, obstacles)
    edge = gimbal.envelope(gate, _STEP).edge
    ring = np.vstack([edge, edge[:1]]) / deg
    lines = [np.linspace(low, high, 121) for low, high in zip(edge.min(axis=0), edge.max(axis=0), strict=True)]
    outer, inner = np.meshgrid(*lines)
    distance = gimbal.clearances_at(outer.ravel(), inner.ravel(), obstacles)[0].reshape(outer.shape)
    dress(ax, *(f"{name[:1].upper()}{name[1:]} angle (deg)" for name in names))
    ax.grid(False)
    levels = _levels(distance / mm)
    norm = BoundaryNorm(levels, RAMP.N, extend="max")
    # The nearer, the darker.
    shown = ax.contourf(
        outer / deg, inner / deg, distance / mm, levels=levels, cmap=RAMP.reversed(), norm=norm, extend="max"
    )
    shown.set_clip_path(Path(ring), transform=ax.transData)
    if np.any(distance < 0.0):
        struck = ax.contourf(
            outer / deg, inner / deg, distance, levels=[-np.inf, 0.0], colors=[CLIPPED], hatches=["////"]
        )
        struck.set_clip_path(Path(ring), transform=ax.transData)
        ax.fill_between([], [], [], facecolor=CLIPPED, hatch="////", edgecolor=INK, label="collision")
    ax.plot(*ring.T, color=INK, linewidth=1.4, label="gate")
    words = "deepest" if least.collides else f"least clearance {least.distance / mm:.1f} mm"
    mark: Style = {"marker": "x", "markersize": 9.0, "markeredgewidth": 2.2, "color": INK}
    ax.plot(*(np.array(least.angles) / deg), linestyle="none", label=words, zorder=5, **mark)
    bar = pyplot.colorbar(ScalarMappable(norm, RAMP.reversed()), ax=ax, shrink=0.9)
    bar.set_label("Distance to the nearest obstacle (mm)", fontsize=FONT_PT, color=INK)
    bar.ax.tick_params(labelsize=FONT_PT, colors=INK)
    room = 0.04 * np.ptp(ring, axis=0)
    ax.set_xlim(ring[:, 0].min() - room[0], ring[:, 0].max() + room[0])
    ax.set_ylim(ring[:, 1].min() - room[1], ring[:, 1].max() + room[1])
    legend(ax, columns=3)
    return ax


def _solid_axes() -> Axes3D:
    return pyplot.figure(figsize=(6.4, 6.0)).add_axes((0.0, 0.0, 0.94, 0.9), projection="3d")


def _levels(distance: Points) -> Points:
    """Steps of a round number of mm from zero up, nine at most."""
    highest = float(np.max(distance))
    if highest <= 0.0:
        return np.array([0.0, 1.0])
    steps = [m * 10.0**e for e in range(-2, 4) for m in (1, 2, 5)]
    step = next((step for step in steps if highest / step <= 8.0), steps[-1])
    low = np.floor(max(float(np.min(distance)), 0.0) / step)
    return np.asarray(step * np.arange(low, np.ceil(highest / step) + 1.0))


def _triangles(edge: Points, angles: Points) -> NDArray[np.int_]:
    """A net over the positions in the gate, without what would span a notch in its outline."""
    net = Triangulation(*angles.T)
    middles = angles[net.triangles].mean(axis=1)
    inside = Path(edge).contains_points(middles)
    return np.asarray(net.triangles[inside])


def _draw_clearance(gimbal: Gimbal, clearance: Clearance, ax: Axes3D) -> None:
    there = _line(gimbal.stick_at(*clearance.angles))
    ax.plot(*there, color=INK, linewidth=1.6, linestyle=(0, (5, 2)), label="stick where it is nearest")
    grip = gimbal.stick_at(*clearance.angles)[-1]
    faces, pose = _capsule_faces(grip, grip, gimbal.grip_radius) if gimbal.grip_radius else ([], None)
    if pose is not None:
        ball = [pose.apply(face) / mm for face in faces]
        ax.add_collection3d(Poly3DCollection(ball, linewidth=_LINES["capsule"], **_BODY))
    ends = _surfaces(gimbal, clearance)
    words = "collision" if clearance.collides else f"least clearance {clearance.distance / mm:.1f} mm"
    dots: Style = {"color": "#8c3b1f", "linewidth": 2.2, "marker": "o", "markersize": 4.0}
    ax.plot(*_line(ends), label=words, **dots)


def _surfaces(gimbal: Gimbal, clearance: Clearance) -> Points:
    """The points of stick and obstacle between which the clearance is; it is given between center lines."""
    radius = gimbal.grip_radius if clearance.piece is None else gimbal.stick_radius
    between = clearance.obstacle_point - clearance.stick_point
    length = float(np.linalg.norm(between))
    if length == 0.0:  # the center line of the stick is inside the obstacle
        return np.array([clearance.stick_point, clearance.stick_point])
    toward = between / length
    surface = clearance.stick_point + radius * toward
    return np.array([surface, surface + clearance.distance * toward])


def _line(points: Points) -> Points:
    """Rows x, y and z of points, mm."""
    rows: Points = np.asarray(points).T / mm
    return rows


def _faces(obstacle: Obstacle) -> list[Points]:
    """Facets of an obstacle in the frame of the rig, mm."""
    sizes = obstacle.sizes
    if obstacle.kind == "block":
        faces = _block_faces(np.asarray(sizes["size"]) / 2)
        pose = obstacle.pose
    elif obstacle.kind == "cylinder":
        radius, half = sizes["diameter"] / 2, sizes["length"] / 2
        faces = _turned(np.array([[0, -half], [radius, -half], [radius, half], [0, half]]))
        pose = obstacle.pose
    else:
        faces, pose = _capsule_faces(sizes["start"], sizes["end"], sizes["radius"])
    return [pose.apply(face) / mm for face in faces]


def _block_faces(half: Points) -> list[Points]:
    faces = []
    for axis in range(3):
        one, other = (axis + 1) % 3, (axis + 2) % 3
        for side in (-1.0, 1.0):
            face = np.zeros((4, 3))
            face[:, axis] = side * half[axis]
            face[:, one] = half[one] * np.array([-1, 1, 1, -1])
            face[:, other] = half[other] * np.array([-1, -1, 1, 1])
            faces.append(face)
    return faces


def _capsule_faces(start: Points, end: Points, radius: float) -> tuple[list[Points], Pose]:
    along = end - start
    half = np.linalg.norm(along) / 2
    angle = np.linspace(-np.pi / 2, 0.0, 7)
    lower = np.column_stack([np.cos(angle), np.sin(angle)]) * radius - [0.0, half]
    outline = np.vstack([lower, lower[::-1] * [1.0, -1.0]])
    third = along / (2 * half) if half > 0.0 else np.array([0.0, 0.0, 1.0])
    aside = np.eye(3)[np.argmin(np.abs(third))]
    first = np.cross(aside, third)
    first /= np.linalg.norm(first)
    matrix = np.column_stack([first, np.cross(third, first), third])
    return _turned(outline), Pose.from_matrix((start + end) / 2, matrix)


def _turned(outline: Points) -> list[Points]:
    """Facets of the body that an outline (radius, height) sweeps about z."""
    angle = np.linspace(0.0, 2.0 * np.pi, _FACETS)
    around = np.column_stack([np.cos(angle), np.sin(angle)])

    def corner(i: int, j: int) -> Points:
        return np.append(outline[j, 0] * around[i], outline[j, 1])

    return [
        np.array([corner(i, j), corner(i + 1, j), corner(i + 1, j + 1), corner(i, j + 1)])
        for i in range(_FACETS - 1)
        for j in range(len(outline) - 1)
    ]


def _dress(ax: Axes3D, shown: list[Points]) -> None:
    everything = np.vstack(shown)
    low, high = everything.min(axis=0), everything.max(axis=0)
    if not np.all(np.isfinite(high - low)):
        raise InvalidValueError("there is nothing finite to draw")
    for name, limits in (("x", 0), ("y", 1), ("z", 2)):
        getattr(ax, f"set_{name}lim")(low[limits], high[limits])
        getattr(ax, f"set_{name}label")(f"{name} (mm)", fontsize=FONT_PT, color=INK)
    ax.set_aspect("equal")
    ax.tick_params(labelsize=FONT_PT, colors=INK)
    for axis in (ax.xaxis, ax.yaxis, ax.zaxis):
        axis.pane.set_facecolor("white")
        axis.pane.set_edgecolor(BAND)
        axis.set_major_locator(MaxNLocator(5))
    ax.legend(
        loc="lower left",
        bbox_to_anchor=(0.0, 0.97),
        ncols=2,
        frameon=False,
        fontsize=FONT_PT,
        labelcolor=INK,
        handlelength=2.6,
    )
