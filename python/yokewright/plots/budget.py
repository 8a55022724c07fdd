"""Error budgets, and controls side by side."""

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from .._core import Axis, ComparedFigures, Comparison, ErrorBudget, deg
from ..errors import InvalidValueError
from . import _checks
from ._style import BAND, CLIPPED, CURVE, FAINT, FONT_PT, INK, MAGNET, STROKES, dress, legend

# Curves that six strokes can tell apart.
_MOST = len(STROKES)


def plot_error_budget(budget: ErrorBudget, ax: Axes | None = None) -> Axes:
    """Draw each cause of error as a bar: its greatest departure, and within it its standard deviation.

    The lines across are the root sum square of the standard deviations and the worst case, which is the
    sum of the greatest. The scale above is in percent of the throw.
    """
    _checks.kind(budget, ErrorBudget)
    if ax is None:
        _, ax = pyplot.subplots(figsize=(6.4, 5.2), layout="constrained")
    lines = budget.contributions
    places = np.arange(len(lines))
    greatest = np.array([line.angle for line in lines]) / deg
    deviation = np.array([line.standard_deviation for line in lines]) / deg
    ax.barh(places, greatest, height=0.72, color=BAND, edgecolor=FAINT, linewidth=0.8, label="greatest")
    ax.barh(places, deviation, height=0.36, color=CURVE, edgecolor=INK, linewidth=0.8, label="standard deviation")
    for place, angle in zip(places, greatest, strict=True):
        text = f" {angle:.3g}" if angle > 0.0 else " 0"
        box = {"facecolor": "white", "edgecolor": "none", "pad": 0.8}
        ax.text(angle, float(place), text, va="center", fontsize=FONT_PT - 2, color=INK, bbox=box, zorder=3)
    squares, worst = budget.root_sum_square / deg, budget.worst_case / deg
    ax.axvline(squares, color=INK, linewidth=1.6, label=f"root sum square {squares:.3g} deg")
    ax.axvline(worst, color=INK, linewidth=1.2, linestyle=(0, (5, 2)), label=f"worst case {worst:.3g} deg")
    ax.set_yticks(places, [line.cause for line in lines])
    ax.invert_yaxis()
    ax.set_xlim(0.0, 1.08 * worst if worst > 0.0 else 1.0)
    dress(ax, "Error of the control's angle (deg)", "")
    ax.grid(False, axis="y")
    ax.tick_params(axis="y", length=0)
    share = 100.0 / budget.travel * deg
    above = ax.secondary_xaxis("top", functions=(lambda x: share * np.asarray(x), lambda x: np.asarray(x) / share))
    above.set_xlabel("% of the throw", fontsize=FONT_PT, color=INK)
    above.tick_params(labelsize=FONT_PT, colors=INK, length=3, width=0.8)
    legend(ax, columns=2, lift=3.6)
    return ax


def plot_comparison(comparison: Comparison, controls: Mapping[str, Axis]) -> Figure:
    """Draw several controls side by side: what each reads over its angle, its step, its departures and its drift.

    controls: the axes that were compared, by the same names, six at most.
    """
    _checks.kind(comparison, Comparison)
    compared = comparison.controls
    if len(compared) > _MOST:
        raise InvalidValueError(f"{len(compared)} controls; at most {_MOST} can be told apart in one picture")
    for control in compared:
        if control.name not in controls:
            raise InvalidValueError(f"controls has no {control.name!r}; give every axis that was compared")
        _checks.kind(controls[control.name], Axis)
    figure = pyplot.figure(figsize=(7.6, 3.4 + 2.0 + 0.42 * len(compared)), layout="constrained")
    parts: Any = figure.subfigures(2, 1, height_ratios=(3.4, 2.0 + 0.42 * len(compared)))
    above, below = parts
    _draw_readings(compared, controls, above.subplots())
    panels = below.subplots(1, 3, sharey=True)
    names = [control.name for control in compared]
    for ax, (label, bars) in zip(panels, _BARS, strict=True):
        _draw_bars(compared, label, bars, ax)
    panels[0].set_yticks(np.arange(len(names)), names)
    panels[0].invert_yaxis()
    return figure


def _draw_readings(compared: tuple[ComparedFigures, ...], controls: Mapping[str, Axis], ax: Axes) -> None:
    for stroke, control in zip(STROKES, compared, strict=False):
        sweep = controls[control.name].sweep(401)
        figures = control.figures
        # Converters of other bits have other counts: the share of each range is on one scale.
        most = figures.counts / figures.range_used if figures.range_used > 0.0 else np.inf
        label = f"{control.name}: {figures.counts} counts"
        ax.plot(sweep.angle / deg, 100.0 * sweep.counts / most, color=INK, label=label, **stroke)
    ax.set_ylim(-2.0, 102.0)
    dress(ax, "Control angle (deg)", "Reading (% of range)")
    legend(ax, columns=2, handle=2.4)


_Bar = tuple[str, str, Callable[[ComparedFigures], float | None]]


def _drift(control: ComparedFigures) -> float | None:
    return None if control.budget is None else control.budget.drift / deg


def _in(unit: float, value: float | None) -> float | None:
    return None if value is None else value / unit


_BARS: list[tuple[str, list[_Bar]]] = [
    (
        "Worst step (deg)",
        [
            ("one count", MAGNET, lambda control: _in(deg, control.figures.step_quantization_worst)),
            ("rms noise", CLIPPED, lambda control: _in(deg, control.figures.step_noise_worst)),
        ],
    ),
    (
        "Departure (% of throw)",
        [
            ("uncalibrated", BAND, lambda control: _in(0.01, control.departure_uncalibrated)),
            ("calibrated", CURVE, lambda control: _in(0.01, control.departure_calibrated)),
        ],
    ),
    ("Drift (deg)", [("drift", MAGNET, _drift)]),
]


def _draw_bars(compared: tuple[ComparedFigures, ...], label: str, bars: list[_Bar], ax: Axes) -> None:
    height = 0.72 / len(bars)
    most = 0.0
    for number, (name, color, value) in enumerate(bars):
        places = np.arange(len(compared)) + (number - 0.5 * (len(bars) - 1)) * height
        values = [value(control) for control in compared]
        known = [0.0 if one is None else one for one in values]
        most = max([most, *known])
        ax.barh(places, known, height=0.9 * height, color=color, edgecolor=INK, linewidth=0.8, label=name)
        for place, one in zip(places, values, strict=True):
            text = " none" if one is None else f" {one:.3g}" if one > 1e-9 else " 0"
            ax.text(one or 0.0, place, text, va="center", fontsize=FONT_PT - 2, color=INK)
    ax.set_xlim(0.0, 1.35 * most if most > 1e-9 else 1.0)
    dress(ax, label, "")
    ax.grid(False, axis="y")
    ax.tick_params(axis="y", length=0)
    if len(bars) > 1:
        legend(ax, columns=1)
