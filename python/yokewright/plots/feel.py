"""What a hand or foot feels: force against travel, and what the control does when it is let go."""

from collections.abc import Sequence

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes
from numpy.typing import NDArray

from .._core import Centering, ForceCurve, FreeResponse, GuidanceFigure, deg, mm
from ..errors import InvalidValueError
from . import _checks
from ._style import BAND, CLIPPED, CURVE, DASHED, FAINT, FONT_PT, INK, STROKES, Style, dress, legend

# What a horizontal line in the drawing can mean, and from where to where it is drawn, in shares of the travel
# to one side: a breakout force is felt at the center only, the force at full travel at its end.
_FORCES = {
    "force for a short time": (0.0, 1.0),
    "force held for long": (0.0, 1.0),
    "breakout force": (-0.12, 0.12),
    "force at the end of travel": (0.8, 1.0),
}


# A figure so many times the greatest force of the curve is named and not shown.
_BEYOND = 5.0
_NAMES_PT = 0.8 * FONT_PT


def plot_force_travel(
    curve: ForceCurve,
    guides: Sequence[GuidanceFigure] = (),
    centering: Centering | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Draw the force at the grip against its travel, with the band that friction makes of it.

    The upper edge of the band is felt on the way up, the lower one on the way down; between them the control
    stays where it is. guides: published figures that are forces, drawn on both sides of zero where they are
    felt, a breakout force at the center: solid where the source was read, dotted where the figure is from
    memory and still to be checked; those of more than five times the greatest force of the curve are named
    only. Sources are left out where there is no room for them. The figures inform and certify nothing.
    centering: marks the stretch in which the control comes to rest.
    """
    _checks.kind(curve, ForceCurve)
    for guide in guides:
        _checks.kind(guide, GuidanceFigure)
        if guide.quantity not in _FORCES:
            raise InvalidValueError(f"guide {guide.name} is about {guide.quantity}; only a force can be drawn here")
    if not curve.valid.any():
        raise InvalidValueError("no row of the curve has a value, so there is nothing to draw")
    if ax is None:
        _, ax = pyplot.subplots(figsize=(6.4, 4.4), layout="constrained")
    dress(ax, "Travel of the grip (mm)", "Force at the grip (N)")
    ax.axhline(0.0, color=FAINT, linewidth=0.8, zorder=0.9)
    ax.axvline(0.0, color=FAINT, linewidth=0.8, zorder=0.9)
    way = curve.way / mm
    if centering is not None and centering.center is not None:
        arm = curve.way[0] / curve.angle[0] if curve.angle[0] else curve.way[-1] / curve.angle[-1]
        edges = [arm * centering.center.lower / mm, arm * centering.center.upper / mm]
        ax.axvspan(*edges, color=CLIPPED, alpha=0.45, linewidth=0.0, zorder=0.8, label="comes to rest here")
    if np.nanmax(curve.friction) > 0.0:
        up, down = curve.force + curve.friction, curve.force - curve.friction
        ax.fill_between(way, down, up, color=BAND, zorder=1.0, label="held by friction")
        ax.plot(way, up, color=INK, zorder=3, label="moved up", **STROKES[0])
        ax.plot(way, down, color=INK, zorder=3, label="moved down", **STROKES[1])
    else:
        ax.plot(way, curve.force, color=INK, zorder=3, label="force", **STROKES[0])
    felt = float(np.nanmax(np.abs(curve.force) + curve.friction))
    _draw_guides(guides, way[curve.valid], felt, ax)
    legend(ax, columns=2, handle=2.4)
    return ax


def _draw_guides(guides: Sequence[GuidanceFigure], way: NDArray[np.float64], felt: float, ax: Axes) -> None:
    """A line for each figure where it is felt, on both sides of zero, with its name beside it.

    felt: greatest force of the curve, N. Figures far beyond it are named and not shown, since the curve would
    lie flat beside them.
    """
    lines: dict[tuple[float, str, str], list[GuidanceFigure]] = {}
    for guide in guides:
        lines.setdefault((guide.value, guide.quantity, guide.bound), []).append(guide)
    if not lines:
        return
    beyond = {key: sharing for key, sharing in lines.items() if felt > 0.0 and key[0] > _BEYOND * felt}
    near = {key: sharing for key, sharing in lines.items() if key not in beyond}
    bottom, top = ax.get_ylim()
    most = 1.2 * max((value for value, _, _ in near), default=0.0)
    # The names stand above zero, the more of them the higher.
    top = max(top, most)
    ends = float(np.min(way)), float(np.max(way))
    reach = max(map(abs, ends))
    for (value, quantity, _), sharing in sorted(lines.items()):
        seen = any(guide.provenance == "seen" for guide in sharing)
        style: Style = {"color": CURVE, "linewidth": 1.8, "linestyle": "-" if seen else (0, (1, 1.2))}
        start, stop = np.array(_FORCES[quantity]) * reach
        for sign in (1.0, -1.0):
            ax.plot([sign * start, sign * stop], [sign * value] * 2, zorder=2, label="_guide", **style)
    ax.set_ylim(min(bottom, -most), top)
    _name_guides(near, reach, ax)
    if beyond:
        lines_in = -ax.get_ylim()[0] / _line_height(ax)
        texts = _in_groups(beyond, sources=True)
        if len(texts) + 1 > lines_in:
            texts = _in_groups(beyond, sources=False)
        ax.annotate(
            "\n".join(["beyond this picture:", *texts]),
            (1.0, 0.0),
            xycoords="axes fraction",
            xytext=(-4, 4),
            textcoords="offset points",
            ha="right",
            va="bottom",
            fontsize=_NAMES_PT,
            color=INK,
        )


def _line_height(ax: Axes) -> float:
    """Of a line of names, in newtons as they are drawn."""
    return float(1.25 * _NAMES_PT / (72.0 * ax.bbox.height / ax.figure.dpi) * np.ptp(ax.get_ylim()))


def _name_guides(near: dict[tuple[float, str, str], list[GuidanceFigure]], reach: float, ax: Axes) -> None:
    """Names left of the center and above zero, where a control that centers leaves room, in their order."""
    line_height = _line_height(ax)
    top = ax.get_ylim()[1]
    names = [
        (
            (value, quantity, bound),
            [f"{quantity} {bound} {value:.3g} N", *dict.fromkeys(map(_short, sharing))],
        )
        for (value, quantity, bound), sharing in sorted(near.items())
    ]
    # Sources are left out before names lie on one another.
    if sum(len(texts) for _, texts in names) * line_height > top:
        names = [(key, texts[:1]) for key, texts in names]
    heights = []
    floor = 0.0
    for (value, _, _), texts in names:
        half = 0.5 * len(texts) * line_height
        heights.append(max(value, floor + half))
        floor = heights[-1] + half
    ceiling = top
    for number in reversed(range(len(names))):
        half = 0.5 * len(names[number][1]) * line_height
        heights[number] = min(heights[number], ceiling - half)
        ceiling = heights[number] - half
    for ((_, quantity, _), texts), height in zip(names, heights, strict=True):
        ax.annotate(
            "\n".join(texts),
            (min(_FORCES[quantity][0] * reach, 0.0), height),
            xytext=(-4, 0),
            textcoords="offset points",
            ha="right",
            va="center",
            fontsize=_NAMES_PT,
            color=INK,
        )


def _in_groups(beyond: dict[tuple[float, str, str], list[GuidanceFigure]], *, sources: bool) -> list[str]:
    """Lines of text, with the figures of one kind and source in one of them and the source below."""
    groups: dict[tuple[str, str, str], list[str]] = {}
    for (value, quantity, bound), sharing in sorted(beyond.items()):
        for source in dict.fromkeys(map(_short, sharing)) if sources else [""]:
            groups.setdefault((quantity, bound, source), []).append(f"{value:.3g}")
    texts = []
    for (quantity, bound, source), values in groups.items():
        texts += [f"{quantity} {bound} {', '.join(values)} N", *([source] if source else [])]
    return texts


def _short(guide: GuidanceFigure) -> str:
    """Source and provenance in a few words."""
    source = guide.source.split(",")[0].split(";")[0]
    return source if guide.provenance == "seen" else f"{source} (from memory)"


def plot_release(
    releases: FreeResponse | Sequence[FreeResponse],
    labels: Sequence[str] = (),
    centering: Centering | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Draw the angle of a control against time after it is let go.

    releases: one, or several to compare, with as many labels. Open dots are turns, a filled dot is where it
    comes to rest for good. centering: shades the stretch in which it may come to rest.
    """
    several = _checks.one_or_several(releases, FreeResponse, name="release")
    if labels and len(labels) != len(several):
        raise InvalidValueError(f"{len(several)} releases but {len(labels)} labels; give one each")
    if ax is None:
        _, ax = pyplot.subplots(figsize=(6.4, 3.8), layout="constrained")
    dress(ax, "Time after letting go (s)", "Angle (deg)")
    ax.axhline(0.0, zorder=0.9, **DASHED)
    if centering is not None and centering.center is not None:
        edges = [centering.center.lower / deg, centering.center.upper / deg]
        ax.axhspan(*edges, color=CLIPPED, alpha=0.45, linewidth=0.0, zorder=0.8, label="held by friction")
    dot: Style = {"linestyle": "none", "markeredgecolor": INK, "zorder": 4}
    for number, release in enumerate(several):
        label = labels[number] if labels else ("angle" if number == 0 else "_angle")
        stroke = STROKES[number % len(STROKES)]
        ax.plot(release.time, release.angle / deg, color=INK, zorder=3, label=label, **stroke)
        ax.plot(*(release.turns / (1.0, deg)).T, marker="o", markersize=4, markerfacecolor="white", **dot)
        if release.rest is not None:
            time, angle = release.rest
            ax.plot(time, angle / deg, marker="o", markersize=6, markerfacecolor=INK, **dot)
    ax.plot([], [], marker="o", markersize=4, markerfacecolor="white", label="turns", **dot)
    if any(release.rest is not None for release in several):
        ax.plot([], [], marker="o", markersize=6, markerfacecolor=INK, label="at rest", **dot)
    ax.set_xlim(0.0, max(release.time[-1] for release in several))
    legend(ax, columns=3, handle=2.4)
    return ax
