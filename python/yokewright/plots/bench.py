"""Sweeps from the bench, what their calibration leaves, and what an identification tells apart."""

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from .._core import BenchSweep, Calibration, Identification, deg
from . import _checks
from ._style import BAND, CLIPPED, CURVE, FAINT, FONT_PT, INK, dress, legend

# Rows that a picture can show; of more, evenly spread ones.
_MOST = 4000


def plot_calibration(sweep: BenchSweep, calibration: Calibration) -> Figure:
    """Draw a sweep with the curve and its knots, and below it what is left before and after.

    Rows of the way there and the way back have their own marks.
    """
    _checks.kind(sweep, BenchSweep)
    _checks.kind(calibration, Calibration)
    figure, (above, below) = pyplot.subplots(
        2, 1, figsize=(6.8, 6.2), height_ratios=(3.0, 2.2), sharex=True, layout="constrained"
    )
    step = max(1, -(-sweep.rows // _MOST))
    angle, count, rising = sweep.angle[::step], sweep.count[::step], sweep.rising[::step]
    ways = [(rising, "^", "there", CURVE), (~rising, "v", "back", CLIPPED)]
    curve = calibration.curve
    for rows, mark, label, color in ways:
        if rows.any():
            above.plot(angle[rows] / deg, count[rows], mark, ms=3.5, color=color, mec="none", label=label)
    counts = np.linspace(*curve.counts, 801)
    above.plot(
        curve.positions(counts)[0] / deg, counts, color=INK, linewidth=1.2, label=f"calibration: {calibration.form}"
    )
    if curve.points is not None:
        knots = np.array(curve.points)
        above.plot(knots[:, 1] / deg, knots[:, 0], "o", ms=5.5, mfc="white", mec=INK, label=f"{len(knots)} knots")
    dress(above, "", "Count")
    legend(above, columns=4, handle=1.4)
    least, most = sweep.count_range
    lower, upper = sweep.angle_range
    part = (count - least) / (most - least)
    rises = curve.position(most) > curve.position(least)
    before = (lower + part * (upper - lower) if rises else upper - part * (upper - lower)) - angle
    after = curve.positions(count)[0] - angle
    below.plot(
        angle / deg, before / deg, ".", ms=3.0, color=FAINT, label=_left("ends only", calibration.before.greatest)
    )
    below.plot(angle / deg, after / deg, ".", ms=3.0, color=INK, label=_left("calibrated", calibration.after.greatest))
    below.axhline(0.0, color=INK, linewidth=0.8)
    dress(below, "Angle of the control (deg)", "Position told less angle (deg)")
    legend(below, columns=2)
    return figure


def _left(name: str, greatest: float) -> str:
    return f"{name}: {greatest / deg:.2g} deg at most"


def plot_points_worth(calibration: Calibration, ax: Axes | None = None) -> Axes:
    """Draw what calibrations of 2 to 33 points leave, evenly spaced and placed for the least error."""
    _checks.kind(calibration, Calibration)
    if ax is None:
        _, ax = pyplot.subplots(figsize=(6.0, 3.8), layout="constrained")
    worth = calibration.points_worth([2, 3, 4, 5, 7, 9, 13, 17, 25, 33])
    points = [row.points for row in worth]
    ax.loglog(points, [row.even / deg for row in worth], "o-", color=FAINT, mfc="white", label="evenly spaced angles")
    ax.loglog(points, [row.placed / deg for row in worth], "o-", color=INK, label="where the error becomes least")
    noise = calibration.after.rms / deg
    ax.axhline(
        noise, color=CLIPPED, linewidth=1.4, linestyle=(0, (5, 2)), label=f"rms of the readings: {noise:.2g} deg"
    )
    ax.set_xticks([2, 3, 5, 9, 17, 33], ["2", "3", "5", "9", "17", "33"])
    ax.minorticks_off()
    dress(ax, "Points of the calibration", "Greatest error (deg)")
    legend(ax, columns=1, handle=2.0)
    return ax


def plot_correlation(identification: Identification, ax: Axes | None = None) -> Axes:
    """Draw how the quantities of an identification move together, as squares of -1 to 1.

    A quantity that the readings do not tell has a name in brackets.
    """
    _checks.kind(identification, Identification)
    quantities = identification.quantities
    size = 1.9 + 0.75 * len(quantities)
    if ax is None:
        _, ax = pyplot.subplots(figsize=(size + 1.2, size), layout="constrained")
    told = [one.name if one.standard_error is not None else f"({one.name})" for one in quantities]
    correlation = identification.correlation
    for (row, column), value in np.ndenumerate(correlation):
        color = CURVE if value >= 0.0 else CLIPPED
        side = 0.9 * np.sqrt(abs(value))
        ax.add_patch(Rectangle((column - side / 2, row - side / 2), side, side, color=color, zorder=2))
        ax.text(
            column,
            row,
            f"{round(value, 2) + 0.0:.2f}",
            ha="center",
            va="center",
            fontsize=FONT_PT - 1,
            color=INK,
            zorder=3,
        )
    places = np.arange(len(quantities))
    ax.set_xticks(places, told, rotation=30, ha="right")
    ax.set_yticks(places, told)
    ax.set_xlim(-0.5, len(quantities) - 0.5)
    ax.set_ylim(len(quantities) - 0.5, -0.5)
    ax.set_aspect("equal")
    dress(ax, "", "")
    ax.set_xticks(places[:-1] + 0.5, minor=True)
    ax.set_yticks(places[:-1] + 0.5, minor=True)
    ax.grid(False)
    ax.grid(True, which="minor", color=BAND, linewidth=1.2)
    ax.tick_params(which="both", length=0)
    return ax
