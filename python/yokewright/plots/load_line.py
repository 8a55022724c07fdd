"""Where a magnet works on its demagnetization curve."""

from collections.abc import Sequence

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes
from matplotlib.patches import FancyArrowPatch

from .._core import WorkingPoint
from . import _checks
from ._style import DASHED, FAINT, INK, STROKES, Style, dress, legend

_KA = 1e3  # A/m
_KNEE: Style = {"marker": "s", "markersize": 5.5, "markerfacecolor": "white", "markeredgecolor": INK}


def plot_load_line(points: WorkingPoint | Sequence[WorkingPoint], ax: Axes | None = None) -> Axes:
    """Draw recoil line and load line, the working point where they meet, and its margin to the knee.

    points: one, or several to compare: the same magnet at other temperatures, other grades, other shapes. A
    point past its knee is hollow: the true one is lower, as the material does not follow the line that far.
    """
    several = _checks.one_or_several(points, WorkingPoint, name="working point")
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.2, 4.2), layout="constrained")
    dress(ax, "Field strength H (kA/m)", "Flux density B (T)")
    ax.axhline(0.0, color=FAINT, linewidth=0.8, zorder=0.9)
    ax.axvline(0.0, color=FAINT, linewidth=0.8, zorder=0.9)
    _draw_load_lines(several, ax)
    for number, point in enumerate(several):
        _draw_point(point, _name(point, several), STROKES[number % len(STROKES)], ax)
    ax.plot([], [], linestyle="none", label="knee; the arrow is the margin", **_KNEE)
    strengths = [0.0, *(h for point in several for h in (point.field_strength, point.knee[0]))]
    room = 0.05 * (max(strengths) - min(strengths))
    ax.set_xlim((min(strengths) - room) / _KA, (max(strengths) + room) / _KA)
    legend(ax, columns=1, handle=2.4)
    return ax


def _name(point: WorkingPoint, several: list[WorkingPoint]) -> str:
    """What tells this point from the others, and its margin."""
    words = [f"{point.celsius:g} °C".replace("-", "\N{MINUS SIGN}")]
    if len({other.demagnetizing_factor for other in several}) > 1:
        words.insert(0, f"N {point.demagnetizing_factor:.3g}")
    if len({other.external_field for other in several}) > 1:
        words.append(f"{point.external_field / _KA:g} kA/m from outside".replace("-", "\N{MINUS SIGN}"))
    if len({other.bound for other in several}) > 1:
        words.insert(0, f"{point.bound} remanence")
    if len({other.grade.name for other in several}) > 1:
        words.insert(0, point.grade.name)
    margin = point.margin / _KA
    verdict = f"margin {margin:.0f} kA/m" if point.reversible else f"past the knee by {-margin:.0f} kA/m"
    return f"{', '.join(words)}: {verdict}"


def _draw_load_lines(several: list[WorkingPoint], ax: Axes) -> None:
    """One for each load; points of one magnet at several temperatures share it."""
    loads: dict[tuple[float, float], list[WorkingPoint]] = {}
    for point in several:
        loads.setdefault((point.demagnetizing_factor, point.external_field), []).append(point)
    for number, ((_, outer), sharing) in enumerate(loads.items()):
        farthest = min(point.field_strength for point in sharing)
        h = np.array([outer, outer + 1.1 * (farthest - outer)])  # a little past the point
        b = [sharing[0].load_line(strength) for strength in h]
        ax.plot(h / _KA, b, zorder=2, label="_load" if number else "load line", **DASHED)


def _draw_point(point: WorkingPoint, name: str, style: Style, ax: Axes) -> None:
    knee_h, knee_b = point.knee
    h, b = point.field_strength, point.flux_density
    start = max(0.0, h)
    recoil = [point.recoil_line(start), knee_b]
    ax.plot([start / _KA, knee_h / _KA], recoil, color=INK, zorder=3, label="_recoil", **style)
    ax.plot(knee_h / _KA, knee_b, zorder=4, **_KNEE)
    fill = INK if point.reversible else "white"
    dot: Style = {"marker": "o", "markersize": 7.0, "markerfacecolor": fill, "markeredgecolor": INK}
    ax.plot(h / _KA, b, linestyle="none", zorder=5, **dot)
    ax.plot([], [], color=INK, label=name, **style, **dot)
    if point.reversible:
        # The margin, at the height of the working point and from there down to the knee.
        ax.plot([knee_h / _KA, knee_h / _KA], [knee_b, b], color=FAINT, linewidth=0.8, zorder=1)
        arrow: Style = {"arrowstyle": "<|-|>", "mutation_scale": 8.0, "shrinkA": 0.0, "shrinkB": 3.5}
        ax.add_patch(FancyArrowPatch((knee_h / _KA, b), (h / _KA, b), color=FAINT, linewidth=0.8, zorder=2, **arrow))
    else:
        ax.plot([knee_h / _KA, h / _KA], [knee_b, b], color=INK, linewidth=1.0, linestyle=(0, (1, 2)), zorder=3)
