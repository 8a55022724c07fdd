"""What the two sensors of a stick read over its gate, and how much of it is the other axis."""

from typing import Literal, TypeAlias

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes
from matplotlib.cm import ScalarMappable
from matplotlib.colors import BoundaryNorm
from matplotlib.ticker import MaxNLocator
from numpy.typing import NDArray

from .._core import GateMap, deg
from ..errors import InvalidValueError
from ._checks import kind, pair_of_names
from ._style import CLIPPED, FONT_PT, INK, STROKES, dress, legend
from .field_map import RAMP

Points: TypeAlias = NDArray[np.float64]

_BANDS = 9  # of a scale: more could not be told apart
_CURVES = 5  # of held angles
_AXES = ("outer", "inner")


def plot_gate_readings(
    readings: GateMap,
    axis: Literal["outer", "inner"] = "outer",
    *,
    names: tuple[str, str] = ("outer", "inner"),
    ax: Axes | None = None,
) -> Axes:
    """Draw the counts of one axis over outer and inner angle: lines along the other axis are free of crosstalk.

    Where the sensor clips, the ground is hatched. names: of the outer and the inner axis, such as
    ("pitch", "roll").
    """
    which, names = _check(readings, axis, names)
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.6, 4.6), layout="constrained")
    counts = np.where(readings.valid, readings.counts[:, :, which], np.nan)
    outer, inner = np.meshgrid(readings.outer / deg, readings.inner / deg, indexing="ij")
    dress(ax, *(f"{_capital(name)} angle (deg)" for name in names))
    ax.grid(False)
    low, high = float(np.nanmin(counts)), float(np.nanmax(counts))
    # A reading that stands still is a band of its own.
    levels = MaxNLocator(_BANDS, steps=[1, 2, 2.5, 5, 10]).tick_values(low, max(high, low + 1.0))
    norm = BoundaryNorm(levels, RAMP.N)
    ax.contourf(outer, inner, counts, levels=levels, cmap=RAMP, norm=norm)
    ax.contour(outer, inner, counts, levels=levels, colors=INK, linewidths=0.8)
    clipped = np.where(readings.valid, readings.clipped[:, :, which], np.nan)
    if np.any(clipped > 0.0):
        ax.contourf(outer, inner, clipped, levels=[0.5, 1.5], colors=[CLIPPED], hatches=["////"])
        ax.fill_between([], [], [], facecolor=CLIPPED, hatch="////", edgecolor=INK, label="clipped")
        legend(ax)
    bar = pyplot.colorbar(ScalarMappable(norm, RAMP), ax=ax, shrink=0.9)
    bar.set_label(f"Reading of the {names[which]} axis (counts)", fontsize=FONT_PT, color=INK)
    bar.ax.tick_params(labelsize=FONT_PT, colors=INK)
    return ax


def plot_crosstalk(
    readings: GateMap,
    axis: Literal["outer", "inner"] = "outer",
    *,
    names: tuple[str, str] = ("outer", "inner"),
    ax: Axes | None = None,
) -> Axes:
    """Draw how the reading of one axis, held at up to five angles, changes as the other turns, in counts.

    Each curve starts from the reading at the angle of the other that is nearest to zero; without
    crosstalk all are flat. Readings are drawn before they are rounded to whole counts.
    """
    which, names = _check(readings, axis, names)
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.6, 4.2), layout="constrained")
    turned, held = (readings.inner, readings.outer) if which == 0 else (readings.outer, readings.inner)
    output, valid = _output(readings, which), readings.valid
    if which == 1:
        output, valid = output.T, valid.T
    dress(ax, f"{_capital(names[1 - which])} angle (deg)", f"Change of the {names[which]} reading (counts)")
    ax.axhline(0.0, color=INK, linewidth=0.6)
    rows = np.flatnonzero(valid.sum(axis=1) > 1)
    chosen = rows[np.unique(np.linspace(0, rows.size - 1, _CURVES).round().astype(int))]
    step = readings.steps[which]
    for row, stroke in zip(chosen, STROKES, strict=False):
        there = valid[row]
        angles, reading = turned[there], output[row][there]
        change = (reading - reading[np.argmin(np.abs(angles))]) / step
        label = f"{names[which]} at {held[row] / deg:+.1f} deg".replace("-", "\N{MINUS SIGN}")
        ax.plot(angles / deg, change, color=INK, label=label, **stroke)
    legend(ax, columns=2, handle=2.4)
    return ax


def _check(readings: GateMap, axis: str, names: tuple[str, str]) -> tuple[int, tuple[str, str]]:
    kind(readings, GateMap)
    if axis not in _AXES:
        raise InvalidValueError(f"axis is {axis!r}; choose one of: {', '.join(_AXES)}")
    return _AXES.index(axis), pair_of_names(names)


def _output(readings: GateMap, which: int) -> Points:
    """What the converter makes codes of, before it rounds: V, or the angle that a digital angle sensor reads, rad."""
    volts = readings.volts[:, :, which]
    if readings.read_angle is None or not np.isnan(volts[readings.valid]).any():
        return volts
    return readings.read_angle[:, :, which]


def _capital(name: str) -> str:
    return f"{name[:1].upper()}{name[1:]}"
