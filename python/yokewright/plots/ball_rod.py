"""Ball-joint rods and coupled pedals: the parts to scale in two views, and the curves that decide."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from numpy.typing import NDArray

from .._core import Arm, BallRod, Pedal, PedalPair, RodEnd, deg, mm
from ..errors import InvalidValueError
from ._checks import kind, pair_of_names
from ._style import CURVE, DASHED, FAINT, FONT_PT, INK, STROKES, Style, dress, legend

Points = NDArray[np.float64]
# What is drawn to the right and up, seen from the left side and from above: x forward, y left, z up.
_VIEWS = ((0, 2, "x, forward (mm)", "z, up (mm)"), (0, 1, "x, forward (mm)", "y, left (mm)"))
_JOINT: Style = {"marker": "o", "markersize": 4.5, "markerfacecolor": "white", "markeredgecolor": INK}
_PIVOT: Style = {"marker": "o", "markersize": 6.5, "markerfacecolor": INK, "markeredgecolor": INK}
_AXLE = 25 * mm  # drawn to either side of the foot of an arm
_SAMPLES = 241


def plot_ball_rod(rod: BallRod, angles: Sequence[float] = (0.0,), axes: Sequence[Axes] | None = None) -> list[Axes]:
    """Draw arms, rod and pivots to scale, seen from the side and from above.

    angles: input angles, rad; the first is drawn strong, the others faint. The frame is that of the points
    given: x to the right in both views, z up in the first, y up in the second. Returns both axes.
    """
    kind(rod, BallRod)
    if not len(angles):
        raise InvalidValueError("there is no angle to draw; give at least 1")
    both = _views(axes)
    for number, angle in enumerate(angles):
        _draw_rod(rod, angle, rod.output_angle(angle), both, strong=number == 0)
    faint = [f"at {_angle(angle)}" for angle in angles[1:]]
    _finish(both, ["arm", "rod", "pivot", "joint"], ", ".join(faint), own=axes is None)
    return both


def plot_pedals(pair: PedalPair, axes: Sequence[Axes] | None = None) -> list[Axes]:
    """Draw pedals, rods and crank to scale at neutral and, faint, at both ends of the travel.

    Seen from the left side and from above; the frame is x forward, y left, z up. Returns both axes.
    """
    kind(pair, PedalPair)
    both = _views(axes)
    ends = [end for end in pair.reach() if end is not None]
    for left, right, crank in [(0.0, 0.0, 0.0), *((end.left, end.right, end.crank) for end in ends)]:
        strong = crank == 0.0
        for rod, pedal, angle in (
            (pair.rod("left"), pair.left, left),
            (pair.rod("right"), pair.right, right),
        ):
            _draw_rod(rod, angle, crank, both, strong=strong)
            _draw_pad(pedal, angle, both, strong=strong)
    _finish(
        both,
        ["arm of pedal or crank", "rod", "pedal and pad", "pivot", "joint"],
        "ends of the travel" if ends else "",
        own=axes is None,
    )
    return both


def plot_pedal_motion(pair: PedalPair, ax: Axes | None = None) -> Axes:
    """Draw the angles of crank and right pedal against that of the left pedal, as far as the pair goes.

    The dotted lines are what the ratio at neutral would give; at the ends stands what ends the travel.
    """
    kind(pair, PedalPair)
    lower, upper = pair.reach()
    if lower is None or upper is None:
        raise InvalidValueError("nothing ends the travel of these pedals; give them stops")
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.6, 4.2), layout="constrained")
    dress(ax, "Left pedal (deg)", "Crank and right pedal (deg)")
    cranks = np.linspace(lower.crank, upper.crank, _SAMPLES)
    poses = pair.poses("crank", cranks)
    neutral = pair.pose("left", 0.0)
    left = poses.left / deg
    for label, values, ratio, stroke in (
        ("crank", cranks, neutral.crank.ratio, STROKES[0]),
        ("right pedal", poses.right, neutral.right.ratio, STROKES[1]),
    ):
        ax.plot(left, values / deg, color=INK, label=label, **stroke)
        ax.plot(
            left,
            ratio * left,
            color=FAINT,
            linewidth=1.0,
            linestyle=(0, (1, 2)),
            label="ratio as at neutral" if label == "crank" else "_ratio as at neutral",
        )
    for end in (lower, upper):
        ax.axvline(end.left / deg, **DASHED)
        ax.annotate(
            f"{end.member} {end.limit}",
            (end.left / deg, 0.5),
            xycoords=("data", "axes fraction"),
            rotation=90,
            ha="left" if end.left < 0 else "right",
            va="center",
            fontsize=FONT_PT,
            color=INK,
        )
    legend(ax, columns=3, handle=2.4)
    return ax


def plot_swivel(
    rod: BallRod,
    angles: Sequence[float] | None = None,
    ax: Axes | None = None,
    *,
    names: tuple[str, str] = ("input arm", "output arm"),
) -> Axes:
    """Draw the swivel angle of each ball joint with a stud against the input angle, with its rated limits.

    angles: first and last input angle, rad; without them the middle nine tenths between the locks. names:
    what the two arms are, such as ("left pedal", "crank"). A limit that is reached is marked where it is.
    """
    kind(rod, BallRod)
    names = pair_of_names(names)
    studs = [(f"joint on the {name}", arm) for name, arm in zip(names, (rod.input, rod.output), strict=True)]
    if all(arm.stud is None for _, arm in studs):
        raise InvalidValueError("neither arm has a stud; give an Arm its stud")
    first, last = _stretch(rod, angles)
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.6, 4.2), layout="constrained")
    given = "Input" if names[0] == "input arm" else names[0][:1].upper() + names[0][1:]
    dress(ax, f"{given} angle (deg)", "Swivel (deg)")
    inputs = np.linspace(first, last, _SAMPLES)
    swivels = np.array([rod.swivels(x) for x in inputs], dtype=float) / deg
    rated = {}
    for column, (label, arm) in enumerate(studs):
        if arm.stud is not None:
            ax.plot(inputs / deg, swivels[:, column], color=INK, label=label, **STROKES[column])
        if arm.swivel_limit is not None:
            rated[column] = arm.swivel_limit / deg
    shared = len(set(rated.values())) == 1
    for column, limit in list(rated.items())[: 1 if shared else None]:
        stroke = STROKES[column] | {"linewidth": 0.9}
        label = "rated swivel" if shared else f"rated, {studs[column][0]}"
        for sign in (-1, 1):
            ax.axhline(sign * limit, color=FAINT, **stroke, label=label if sign < 0 else "_limit")
    for end in rod.reach():
        if end is not None and end.limit != "lock" and first <= end.input <= last:
            _mark(ax, end, rod)
    legend(ax, columns=1, handle=2.4)
    return ax


def _mark(ax: Axes, end: RodEnd, rod: BallRod) -> None:
    column = 0 if end.limit == "input swivel" else 1
    swivel = rod.swivels(end.input)[column]
    if swivel is not None:
        ax.plot(end.input / deg, swivel / deg, linestyle="none", label="_reached", **_JOINT)
        ax.annotate(
            _angle(end.input),
            (end.input / deg, swivel / deg),
            # On the side of the middle, where the curve keeps away from the limit.
            xytext=(6 if end.input < 0 else -6, -14 if swivel < 0 else 7),
            textcoords="offset points",
            ha="left" if end.input < 0 else "right",
            fontsize=FONT_PT,
            color=INK,
        )


def _angle(angle: float) -> str:
    return f"{angle / deg:.1f} deg".replace("-", "\N{MINUS SIGN}")


def _stretch(rod: BallRod, angles: Sequence[float] | None) -> tuple[float, float]:
    travel = rod.travel or (-np.pi, np.pi)
    if angles is None:
        return 0.9 * travel[0], 0.9 * travel[1]
    if np.shape(angles) != (2,):
        raise InvalidValueError(f"angles is {angles!r}; it has two values, first and last, in rad")
    first, last = map(float, angles)
    if not travel[0] <= first < last <= travel[1]:
        raise InvalidValueError(
            f"angles go from {first / deg:g} to {last / deg:g} deg; they must go upward and stay between "
            f"the locks, {travel[0] / deg:.4g} and {travel[1] / deg:.4g} deg"
        )
    return first, last


def _views(axes: Sequence[Axes] | None) -> list[Axes]:
    if axes is not None:
        if len(axes) != 2:
            raise InvalidValueError(f"{len(axes)} axes given; two are needed, for the side and from above")
        both = list(axes)
    else:
        _, drawn = pyplot.subplots(1, 2, figsize=(9.2, 4.6), layout="constrained")
        both = list(drawn)
    for ax, (_, _, x_label, y_label) in zip(both, _VIEWS, strict=True):
        dress(ax, x_label, y_label)
        ax.set_aspect("equal", adjustable="datalim")
    both[0].set_title("from the left side", fontsize=FONT_PT, color=INK, loc="left")
    both[1].set_title("from above", fontsize=FONT_PT, color=INK, loc="left")
    return both


_KEY: dict[str, Style] = {
    "arm": {"color": CURVE, "linewidth": 3.2},
    "rod": {"color": INK, "linewidth": 1.6},
    "pedal and pad": {"color": INK, "linewidth": 3.6},
    "pivot": {"color": INK, "linewidth": 0.9, "linestyle": (0, (8, 2, 1.5, 2)), **_PIVOT},
    "joint": {"linestyle": "none", **_JOINT},
}


def _finish(both: Sequence[Axes], parts: Sequence[str], faint: str, *, own: bool) -> None:
    """Margins, and a key to what is drawn: below both views, or in the first of the caller's own axes."""
    handles = [Line2D([], [], label=part, **_KEY["arm" if part.startswith("arm") else part]) for part in parts]
    if faint:
        handles.append(Line2D([], [], color=FAINT, linewidth=1.0, label=faint))
    for ax in both:
        ax.margins(0.08)
    style: Style = {"frameon": False, "fontsize": FONT_PT, "labelcolor": INK, "handlelength": 2.4}
    if own:
        figure = both[0].figure
        figure.legend(handles=handles, loc="outside lower center", ncols=len(handles), **style)
    else:
        both[0].legend(handles=handles, **style)


def _line(both: Sequence[Axes], points: Points, **style: Any) -> None:
    for ax, (right, up, _, _) in zip(both, _VIEWS, strict=True):
        ax.plot(points[:, right] / mm, points[:, up] / mm, **style)


def _foot(arm: Arm) -> Points:
    along = (arm.joint - arm.pivot) @ arm.direction
    return np.asarray(arm.pivot + along * arm.direction)


def _draw_rod(rod: BallRod, angle: float, output: float, both: Sequence[Axes], *, strong: bool) -> None:
    joints = (rod.input.joint_at(angle), rod.output.joint_at(output))
    color = INK if strong else FAINT
    for arm, joint in zip((rod.input, rod.output), joints, strict=True):
        foot = _foot(arm)
        style: Style = {"linewidth": 3.2, "solid_capstyle": "round"} if strong else {"linewidth": 1.0}
        _line(both, np.array([foot, joint]), color=CURVE if strong else color, **style)
        if strong:
            axle = np.array([foot - _AXLE * arm.direction, foot + _AXLE * arm.direction])
            _line(both, axle, color=INK, linewidth=0.9, linestyle=(0, (8, 2, 1.5, 2)))
            _line(both, foot[None], linestyle="none", **_PIVOT)
    _line(both, np.array(joints), color=color, linewidth=1.6 if strong else 0.8, zorder=3)
    if strong:
        _line(both, np.array(joints), linestyle="none", zorder=4, **_JOINT)


def _draw_pad(pedal: Pedal, angle: float, both: Sequence[Axes], *, strong: bool) -> None:
    """From the hinge to the pad, and a short bar square to the lever for the pad itself."""
    # The pad as an arm's joint, so that it is carried the same way.
    lever = Arm(pedal.arm.pivot, pedal.arm.direction, pedal.pad)
    pad = lever.joint_at(angle)
    color = INK if strong else FAINT
    _line(both, np.array([_foot(lever), pad]), color=color, linewidth=1.4 if strong else 0.8, zorder=2)
    half = 35 * mm * pedal.arm.direction
    _line(both, np.array([pad - half, pad + half]), color=color, linewidth=4.0 if strong else 1.4, zorder=2)
