"""Linkages: the mechanism to scale at chosen positions, and how its ratio and transmission angle change."""

from collections.abc import Sequence

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes
from numpy.typing import ArrayLike, NDArray

from .._core import BallRod, CenteredFourBar, deg, mm
from ..errors import InvalidTypeError, InvalidValueError
from ._checks import LARGEST, interval, kind
from ._style import BAND, CLIPPED, CURVE, FAINT, FONT_PT, INK, STROKES, Style, dress, legend

Points = NDArray[np.float64]

# Degrees: below it friction begins to lock a linkage.
_TRANSMISSION_LIMIT = 40.0
_LOOKS = 361
_JOINT: Style = {
    "marker": "o",
    "markersize": 6.0,
    "markerfacecolor": "white",
    "markeredgecolor": INK,
    "markeredgewidth": 1.2,
}


def plot_linkage(
    positions: ArrayLike,
    names: Sequence[str] | None = None,
    *,
    path: ArrayLike | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Draw a chain of links to scale, in mm, once for each position.

    positions: (P, K, 2), or (K, 2) for one; the K joints of the chain in order, in the plane of the
    drawing, m. The first and the last joint stand in the ground and are drawn as pivots. names: one for
    each position. path: points (N, 2), m, that something passes, drawn as a thin line; rows of NaN
    interrupt it. The links of a linkage in space may be drawn so after projecting its joints.
    """
    chains = _points(positions, "positions")
    chains = chains[None] if chains.ndim == 2 else chains
    if chains.ndim != 3 or chains.shape[0] == 0 or chains.shape[1] < 2:
        raise InvalidValueError(f"positions have shape {chains.shape}; (P, K, 2) is needed, K at least 2")
    if not np.isfinite(chains).all():
        raise InvalidValueError("positions hold a joint that is not finite; leave out what does not close")
    if names is not None and len(names) != len(chains):
        raise InvalidValueError(f"{len(names)} names for {len(chains)} positions; they must match")
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.2, 4.2), layout="constrained")
    dress(ax, "x (mm)", "y (mm)")
    if path is not None:
        track = _points(path, "path") / mm
        ax.plot(track[:, 0], track[:, 1], color=CURVE, linewidth=1.4, zorder=1.5, label="path")
    for number, chain in enumerate(chains):
        label = names[number] if names is not None else f"_position {number}"
        x, y = chain.T / mm
        style = STROKES[number % len(STROKES)]
        ax.plot(x, y, color=INK if number == 0 else FAINT, zorder=4 - number / len(chains), label=label, **style)
        ax.plot(x[1:-1], y[1:-1], linestyle="none", zorder=5, **_JOINT)
    for pivot in {tuple(pivot) for chain in chains for pivot in (chain[0], chain[-1])}:
        ax.plot(pivot[0] / mm, pivot[1] / mm, **{**_JOINT, "marker": "^", "markersize": 10.0}, zorder=6)
    ax.set_aspect("equal", adjustable="datalim")
    ax.margins(0.12)
    if names is not None or path is not None:
        legend(ax, columns=3, handle=2.4)
    return ax


def plot_four_bar(
    built: CenteredFourBar,
    turns: ArrayLike = (0.0,),
    *,
    point: tuple[float, float] | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Draw a four-bar to scale as in its drawing, at turns of the crank from its center (N,), rad.

    point: along the coupler from the crank joint, and across to the left, m: its path over the whole
    travel of the crank is drawn as well.
    """
    kind(built, CenteredFourBar)
    several = np.atleast_1d(np.asarray(turns, dtype=np.float64))
    positions = [built.joints(float(turn)) for turn in several]
    names = [_turn(turn) for turn in several]
    path = None
    if point is not None:
        travel = np.linspace(*built.travel, _LOOKS) + built.crank_center
        in_frame, _ = built.linkage.coupler_curve(travel, built.branch, *point)
        c, s = np.cos(built.ground_angle), np.sin(built.ground_angle)
        path = built.crank_pivot + in_frame @ np.array([[c, s], [-s, c]])
    return plot_linkage(positions, names, path=path, ax=ax)


def plot_ratio(
    built: CenteredFourBar | BallRod, turns: tuple[float, float] | None = None, ax: Axes | None = None
) -> Axes:
    """Draw ratio and transmission angle of a linkage against the turn of its crank or input arm.

    turns: from, to, rad; without, the whole travel of the crank or input arm. Where the transmission
    angle is below 40 degrees and friction may lock the linkage, the ground is shaded. Toward a dead center
    the ratio grows without bound; the drawing ends at six times the median.
    """
    kind(built, CenteredFourBar, BallRod)
    whole = built.travel or (-np.pi, np.pi)
    start, end = whole if turns is None else interval("turns", turns, "rad")
    angles = np.linspace(start, end, _LOOKS)
    found = built.transfers(angles)
    if not found.valid.any():
        raise InvalidValueError("the linkage closes at none of these turns; look at its travel")
    angles, ratios = angles[found.valid], found.ratios[found.valid]
    transmission = np.array([_transmission(built, float(turn)) for turn in angles]) / deg
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.6, 3.8), layout="constrained")
    if isinstance(built, BallRod):
        dress(ax, "Turn of the input arm (deg)", "Ratio of output to input")
    else:
        dress(ax, "Turn of the crank (deg)", "Ratio of rocker to crank")
    ax.plot(angles / deg, ratios, color=INK, label="ratio", **STROKES[0])
    largest = 6.0 * float(np.median(np.abs(ratios)))
    low, high = max(float(ratios.min()), -largest), min(float(ratios.max()), largest)
    room = 0.08 * max(high - low, 0.1 * abs(high), 1e-9)
    ax.set_ylim(low - room, high + room)
    right = ax.twinx()
    right.plot(angles / deg, transmission, color=INK, **STROKES[1])
    right.set_ylim(0.0, 90.0)
    right.set_yticks(range(0, 91, 15))
    right.set_ylabel("Transmission angle (deg)", fontsize=FONT_PT, color=INK)
    right.tick_params(labelsize=FONT_PT, colors=INK, length=3, width=0.8)
    right.spines["top"].set_visible(False)
    ax.plot([], [], color=INK, label="transmission angle", **STROKES[1])
    poor = transmission < _TRANSMISSION_LIMIT
    if poor.any():
        ax.fill_between(
            angles / deg,
            0.0,
            1.0,
            where=list(poor),
            transform=ax.get_xaxis_transform(),
            facecolor=BAND,
            edgecolor=CLIPPED,
            hatch="///",
            linewidth=0.0,
            zorder=0.5,
            label=f"below {_TRANSMISSION_LIMIT:.0f} deg",
        )
    ax.set_xlim(angles[0] / deg, angles[-1] / deg)
    legend(ax, columns=3, handle=2.4)
    return ax


def _transmission(built: CenteredFourBar | BallRod, turn: float) -> float:
    if isinstance(built, BallRod):
        return built.transmission_angle(turn)
    return built.pose(turn).transmission_angle


def _turn(turn: float) -> str:
    return f"{turn / deg:+.3g} deg".replace("-", "\N{MINUS SIGN}") if turn else "centered"


def _points(values: ArrayLike, name: str) -> Points:
    try:
        points = np.asarray(values, dtype=np.float64)
    except (TypeError, ValueError):
        raise InvalidTypeError(f"{name}: an array of real numbers is needed") from None
    if points.ndim < 2 or points.shape[-1] != 2:
        raise InvalidValueError(f"{name} have shape {points.shape}; two coordinates a point are needed")
    if np.nanmax(np.abs(points), initial=0.0) > LARGEST:
        raise InvalidValueError(f"{name} reach beyond {LARGEST:g} m; did you mean mm? Multiply by yokewright.mm")
    return points
