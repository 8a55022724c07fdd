"""How slow a control is: stages, their sum, and what a camera has measured."""

from collections.abc import Mapping

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes

from .._core import CameraRuns, LatencyBudget, ms
from ..errors import InvalidValueError
from . import _checks
from ._style import BAND, CLIPPED, CURVE, DASHED, FONT_PT, INK, Style, dress, legend

# Devices in one picture, as many as can be compared at once.
_MOST = 20
# Places at which a distribution is looked at.
_PLACES = 801


def plot_latency_stages(budget: LatencyBudget, ax: Axes | None = None) -> Axes:
    """Draw the stages one after the other, each as long as its mean, with its shortest and longest time.

    The lines across are the mean of the whole and the time that 95 % keep. Beside each stage stands what half of
    it would take off that time.
    """
    _checks.kind(budget, LatencyBudget)
    effects = budget.effects()
    if ax is None:
        _, ax = pyplot.subplots(figsize=(7.2, 1.6 + 0.42 * len(effects)), layout="constrained")
    places = np.arange(len(effects))
    means = np.array([effect.mean for effect in effects]) / ms
    starts = np.concatenate([[0.0], np.cumsum(means)[:-1]])
    p95 = budget.percentiles[2]
    gains = [(p95 - effect.p95_halved) / ms for effect in effects]
    most = max(gains)
    colors = [CLIPPED if gain == most and most > 0.0 else CURVE for gain in gains]
    ax.barh(places, means, left=starts, height=0.62, color=colors, edgecolor=INK, linewidth=0.8)
    ends = []
    for place, start, stage, gain in zip(places, starts, budget.stages, gains, strict=True):
        low, high = (float(start) + time / ms for time in stage.delay.range)
        if high > low:
            ax.plot([low, high], [place, place], color=INK, linewidth=1.2, marker="|", markersize=6, zorder=3)
        ends.append(high)
        text = f"{gain:.2g} ms" if gain >= 0.005 else "0 ms"
        box = {"facecolor": "white", "edgecolor": "none", "pad": 0.8}
        ax.annotate(
            text,
            (high, float(place)),
            xytext=(8, 0),
            textcoords="offset points",
            va="center",
            fontsize=FONT_PT - 2,
            color=INK,
            bbox=box,
        )
    mean = budget.mean / ms
    ax.axvline(mean, color=INK, linewidth=1.6, label=f"mean {mean:.3g} ms", zorder=0)
    dashed: Style = {"color": INK, "linewidth": 1.2, "linestyle": (0, (5, 2))}
    ax.axvline(p95 / ms, label=f"95 % within {p95 / ms:.3g} ms", zorder=0, **dashed)
    ax.plot([], [], color=INK, linewidth=1.2, marker="|", markersize=6, label="shortest to longest")
    ax.set_yticks(places, [effect.name for effect in effects])
    ax.invert_yaxis()
    longest = max([*ends, p95 / ms])
    ax.set_xlim(0.0, 1.16 * longest if longest > 0.0 else 1.0)
    dress(ax, "Since the hand moved (ms); beside each: what half of it takes off the 95 %", "")
    ax.grid(False, axis="y")
    ax.tick_params(axis="y", length=0)
    legend(ax, columns=3, handle=1.6)
    return ax


def plot_latency(budget: LatencyBudget, ax: Axes | None = None) -> Axes:
    """Draw how likely which latency is: the density of the sum, with the times that 5, 50 and 95 % keep.

    Where all times are single ones, fixed or measured, there is no density: the distribution is drawn.
    """
    _checks.kind(budget, LatencyBudget)
    if ax is None:
        _, ax = pyplot.subplots(figsize=(6.4, 3.4), layout="constrained")
    low, high = budget.range
    margin = 0.05 * (high - low) if high > low else 0.5 * ms
    times = np.linspace(low - margin, high + margin, _PLACES)
    dense = True
    try:
        values = budget.densities(times) * ms
    except InvalidValueError:
        dense = False
        values = budget.distributions(times)
    if dense:
        ax.fill_between(times / ms, 0.0, values, color=BAND, linewidth=0.0)
        ax.plot(times / ms, values, color=INK, linewidth=1.8)
    else:
        ax.step(times / ms, values, where="post", color=INK, linewidth=1.8)
    top = float(values.max())
    for share, time in zip((5, 50, 95), budget.percentiles, strict=True):
        ax.axvline(time / ms, **DASHED)
        box = {"facecolor": "white", "edgecolor": "none", "pad": 1.0}
        text = f"{share} %\n{time / ms:.1f} ms"
        ax.text(time / ms, 1.06 * top, text, ha="center", va="bottom", fontsize=FONT_PT - 1, color=INK, bbox=box)
    ax.set_ylim(0.0, 1.28 * top)
    ax.set_xlim(times[0] / ms, times[-1] / ms)
    dress(ax, "Hand to screen (ms)", "Density (1/ms)" if dense else "Share of all cases")
    return ax


def plot_devices(devices: Mapping[str, CameraRuns], *, confidence: float = 0.95, ax: Axes | None = None) -> Axes:
    """Draw what a camera has measured of some devices: each run, the mean, and the interval that holds it.

    devices: by their names, 20 at most. A device whose runs show no spread has a mean and no interval.
    """
    _checks.kind(devices, Mapping)
    if not 1 <= len(devices) <= _MOST:
        raise InvalidValueError(f"{len(devices)} devices; 1 to {_MOST} can be told apart in one picture")
    if ax is None:
        _, ax = pyplot.subplots(figsize=(6.4, 1.5 + 0.55 * len(devices)), layout="constrained")
    for place, runs in enumerate(devices.values()):
        _checks.kind(runs, CameraRuns)
        first = place == 0
        # Runs of one and the same time beside one another.
        rank = np.array([np.sum(runs.frames[:i] == frames) for i, frames in enumerate(runs.frames)])
        lift = 0.14 + np.minimum(0.05 * rank, 0.3)
        label: Style = {"label": "one run"} if first else {}
        marks: Style = {"marker": "o", "linestyle": "none", "markersize": 4, "color": CURVE, "markeredgecolor": INK}
        ax.plot(runs.times / ms, place + lift, markeredgewidth=0.6, **marks, **label)
        mean = runs.mean / ms
        text = f"{mean:.1f}"
        if runs.count > 1 and runs.standard_error:
            low, high = (end / ms for end in runs.mean_interval(confidence))
            label = {"label": f"{100.0 * confidence:.4g} % interval of the mean"} if first else {}
            ax.plot([low, high], [place - 0.06] * 2, color=INK, linewidth=5.0, solid_capstyle="butt", zorder=2, **label)
            text = f"{mean:.1f} ({low:.1f} to {high:.1f})"
        ax.plot([mean], [place - 0.06], marker="|", markersize=14, markeredgewidth=2.2, color=CLIPPED, zorder=3)
        ax.text(mean, place - 0.2, text + " ms", ha="center", va="bottom", fontsize=FONT_PT - 1, color=INK)
    ax.set_yticks(np.arange(len(devices)), list(devices))
    ax.set_ylim(len(devices) - 0.45, -0.65)
    dress(ax, "Hand to screen (ms)", "")
    ax.margins(x=0.12)
    ax.grid(False, axis="y")
    ax.tick_params(axis="y", length=0)
    legend(ax, handle=1.6)
    return ax
