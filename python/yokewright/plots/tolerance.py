"""How many builds work, and what decides."""

from collections.abc import Sequence

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes

from .._core import BuildRecord, FigureImportance, Yield, YieldTarget, deg, mm, mT
from ..errors import InvalidValueError
from . import _checks
from ._style import BAND, CLIPPED, CURVE, DASHED, FAINT, FONT_PT, INK, MAGNET, dress, legend

# What a figure is shown in: a factor to divide by and the words.
_SHOWN = {"rad": (deg, "deg"), "m": (mm, "mm"), "T": (mT, "mT"), "counts/rad": (1 / deg, "counts/deg")}
_SHARES = {"of span", "of the throw", "(no unit)"}
# The most builds that a parallel view can show apart.
_MOST = 500


def _shown(figure: str, unit: str) -> tuple[float, str]:
    if unit in _SHOWN:
        factor, words = _SHOWN[unit]
        return factor, f"{figure} ({words})"
    if unit in _SHARES:
        return 1.0, figure if unit == "(no unit)" else f"{figure} ({unit})"
    return 1.0, f"{figure} ({unit})"


def plot_yield_histogram(found: Yield, figure: str, ax: Axes | None = None, *, cells: int = 40) -> Axes:
    """Draw how one figure is spread over the builds, with the limits of its targets.

    Builds within the limits are dark, those beyond hatched; the dashed line is the design itself.
    """
    _checks.kind(found, Yield)
    if figure not in found.spreads:
        known = ", ".join(found.spreads)
        raise InvalidValueError(f"figure {figure!r} is not known; choose one of: {known}")
    spread = found.spreads[figure]
    edges, counts = spread.histogram(cells)
    if spread.ends is None:
        raise InvalidValueError(f"no build has the figure {figure!r}; there is nothing to draw")
    if ax is None:
        _, ax = pyplot.subplots(figsize=(6.4, 3.6), layout="constrained")
    factor, label = _shown(figure, spread.unit)
    shares = 100.0 * counts / found.builds
    targets = [one.target for one in found.targets if one.target.figure == figure]
    middles = 0.5 * (edges[:-1] + edges[1:])
    inside = np.array([all(target.miss(middle) <= 0.0 for target in targets) for middle in middles])
    widths = np.diff(edges) / factor
    left = edges[:-1] / factor
    if inside.any():
        ax.bar(
            left[inside],
            shares[inside],
            widths[inside],
            align="edge",
            color=CURVE,
            edgecolor=INK,
            linewidth=0.4,
            label="within the limits" if targets else "builds",
        )
    if not inside.all():
        ax.bar(
            left[~inside],
            shares[~inside],
            widths[~inside],
            align="edge",
            color=CLIPPED,
            edgecolor=INK,
            linewidth=0.4,
            hatch="////",
            label="beyond a limit",
        )
    for target in targets:
        for limit in (target.min, target.max):
            if limit is not None:
                ax.axvline(limit / factor, color=INK, linewidth=1.6)
    if spread.nominal is not None:
        ax.axvline(spread.nominal / factor, **{**DASHED, "color": INK}, label="the design itself")
    dress(ax, label, "% of all builds")
    ax.set_ylim(0.0, None)
    legend(ax, columns=3)
    return ax


def plot_yields(found: Yield, ax: Axes | None = None) -> Axes:
    """Draw the yield of every target and of all together as bars, each with its interval."""
    _checks.kind(found, Yield)
    rows: list[tuple[str, float, tuple[float, float]]] = [("every target", found.share, found.interval)]
    rows += [(_told(one.target, found), one.share, one.interval) for one in found.targets]
    if ax is None:
        _, ax = pyplot.subplots(figsize=(6.4, 1.2 + 0.5 * len(rows)), layout="constrained")
    places = np.arange(len(rows))
    shares = 100.0 * np.array([share for _, share, _ in rows])
    ends = 100.0 * np.array([interval for *_, interval in rows])
    colors = [CURVE] + [BAND] * (len(rows) - 1)
    ax.barh(places, shares, height=0.62, color=colors, edgecolor=INK, linewidth=0.8)
    error = np.abs(ends.T - shares)
    ax.errorbar(shares, places, xerr=error, fmt="none", ecolor=INK, elinewidth=1.2, capsize=3.5)
    for place, share, (_, high) in zip(places, shares, ends, strict=True):
        # Beside the bar, or within it where there is no room.
        beside = high < 84.0
        x, align = (high + 1.5, "left") if beside else (ends[place][0] - 1.5, "right")
        ax.text(x, float(place), f"{share:.1f} %", va="center", ha=align, fontsize=FONT_PT, color=INK)
    ax.set_yticks(places, [name for name, *_ in rows])
    ax.invert_yaxis()
    ax.set_xlim(0.0, 100.0)
    dress(ax, f"% of {found.builds} builds ({100.0 * found.confidence:g} % intervals)", "")
    ax.grid(False, axis="y")
    ax.tick_params(axis="y", length=0)
    return ax


def _told(target: YieldTarget, found: Yield) -> str:
    factor, label = _shown(target.figure, found.spreads[target.figure].unit)
    low = None if target.min is None else f"{target.min / factor:.4g}"
    high = None if target.max is None else f"{target.max / factor:.4g}"
    if low is not None and high is not None:
        return f"{label}\nfrom {low} to {high}"
    return f"{label}\nat least {low}" if high is None else f"{label}\nat most {high}"


def plot_importance(importance: FigureImportance, ax: Axes | None = None) -> Axes:
    """Draw the Sobol' indices of every tolerance as bars: total index, and within it the first-order index.

    The whiskers are their intervals.
    """
    _checks.kind(importance, FigureImportance)
    rows = sorted(importance.tolerances, key=lambda one: -one.total[0])
    if not rows:
        raise InvalidValueError(f"{importance.figure} does not vary; there is nothing to draw")
    if ax is None:
        _, ax = pyplot.subplots(figsize=(6.4, 1.4 + 0.42 * len(rows)), layout="constrained")
    places = np.arange(len(rows))
    for values, height, color, label in (
        ([one.total for one in rows], 0.66, BAND, "total"),
        ([one.first_order for one in rows], 0.34, CURVE, "first order"),
    ):
        shares = 100.0 * np.array(values)
        at = np.maximum(shares[:, 0], 0.0)
        error = np.maximum([at - shares[:, 1], shares[:, 2] - at], 0.0)
        ax.barh(places, at, height=height, color=color, edgecolor=INK, linewidth=0.8, label=label)
        offset = 0.2 if label == "total" else 0.0
        ax.errorbar(at, places - offset, xerr=error, fmt="none", ecolor=INK, elinewidth=1.0, capsize=2.5)
    ax.set_yticks(places, [one.tolerance for one in rows])
    ax.invert_yaxis()
    ax.set_xlim(0.0, None)
    dress(ax, f"% of the variance of: {importance.figure}", "")
    ax.grid(False, axis="y")
    ax.tick_params(axis="y", length=0)
    legend(ax)
    return ax


def plot_builds(records: Sequence[BuildRecord], ax: Axes | None = None) -> Axes:
    """Draw builds as lines across their inputs, so that it shows which inputs those that fail have in common.

    Each input is drawn from its least to its greatest value among these builds. Builds that fail are dark and
    on top, those that cannot be assembled dashed. At most 500 builds.
    """
    several = _checks.one_or_several(records, BuildRecord, name="build")
    if len(several) > _MOST:
        raise InvalidValueError(f"{len(several)} builds; at most {_MOST} can be shown in one picture")
    names = list(several[0].inputs)
    values = np.array([[record.inputs[name] for name in names] for record in several])
    low, high = values.min(axis=0), values.max(axis=0)
    span = np.where(high > low, high - low, 1.0)
    shares = np.where(high > low, (values - low) / span, 0.5)
    if ax is None:
        _, ax = pyplot.subplots(figsize=(1.4 + 1.15 * max(len(names), 3), 4.0), layout="constrained")
    places = np.arange(len(names))
    kinds = (
        ("passes", MAGNET, "-", 0.6, [r.passed for r in several]),
        ("fails", "#b0531c", "-", 0.9, [not r.passed and r.failure is None for r in several]),
        ("cannot be", INK, (0, (4, 2)), 0.9, [r.failure is not None for r in several]),
    )
    for order, (label, color, dash, width, chosen) in enumerate(kinds):
        for number, row in enumerate(shares[np.array(chosen)]):
            name = label if number == 0 else f"_{label}"
            ax.plot(places, row, color=color, linewidth=width, linestyle=dash, zorder=2 + order, label=name)
    for place, (least, most) in enumerate(zip(low, high, strict=True)):
        ax.axvline(place, color=FAINT, linewidth=0.8, zorder=1)
        ax.text(place, -0.03, f"{least:.4g}", ha="center", va="top", fontsize=FONT_PT - 2, color=INK)
        ax.text(place, 1.03, f"{most:.4g}", ha="center", va="bottom", fontsize=FONT_PT - 2, color=INK)
    ax.set_xticks(places, [name.replace(" ", "\n").replace(".", ".\n") for name in names])
    ax.tick_params(axis="x", labelsize=FONT_PT, colors=INK, length=0, pad=14)
    ax.set_yticks([])
    ax.set_xlim(-0.4, len(names) - 0.6)
    ax.set_ylim(-0.02, 1.02)
    ax.spines[["top", "right", "left", "bottom"]].set_visible(False)
    legend(ax, columns=3, handle=2.0, lift=1.8)
    return ax
