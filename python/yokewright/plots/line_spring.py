"""What pulls between two points, and how hard an extension spring and its hooks work."""

from collections.abc import Sequence
from typing import get_args

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes

from .._core import CompressionSpring, ExtensionSpring, ForceTable, LinearSpring, StockSpring, mm
from . import _checks
from ._style import BAND, CLIPPED, DASHED, FAINT, INK, STROKES, Style, dress, legend

_POINT: Style = {"marker": "D", "markersize": 4.5, "markerfacecolor": "white", "markeredgecolor": INK}

LineSpring = LinearSpring | ForceTable | CompressionSpring | ExtensionSpring | StockSpring


def plot_force_law(
    springs: LineSpring | Sequence[LineSpring],
    lengths: tuple[float, float],
    ax: Axes | None = None,
) -> Axes:
    """Draw tension against length; points of a table are marked, what a spring does not stand is broad.

    springs: one or several to compare. lengths: from and to, m. Where a spring hangs slack its line lies on
    zero; outside a table there is none.
    """
    several: list[LineSpring] = _checks.one_or_several(
        springs, *get_args(LineSpring), name="spring", words="spring along a line"
    )
    low, high = _checks.interval("lengths", lengths, "m")
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.4, 3.8), layout="constrained")
    dress(ax, "Length (mm)", "Tension (N)")
    ax.axhline(0.0, color=FAINT, linewidth=0.8, zorder=0.9)
    past = False
    for number, spring in enumerate(several):
        past |= _draw_law(spring, (low, high), STROKES[number % len(STROKES)], _name(spring, number), ax)
    if past:
        ax.plot([], [], color=CLIPPED, linewidth=2.4, label="more than it stands")
    ax.set_xlim(low / mm, high / mm)
    legend(ax, columns=2, handle=2.2)
    return ax


def _draw_law(spring: LineSpring, lengths: tuple[float, float], style: Style, name: str, ax: Axes) -> bool:
    """Draw one spring; return whether some of it lies past its limits."""
    law = spring if isinstance(spring, LinearSpring | ForceTable) else spring.line_spring
    at = np.linspace(*lengths, 401)
    if isinstance(law, LinearSpring):
        # The step of an initial tension stands upright, and limits are met exactly.
        own = [law.free_length, np.nextafter(law.free_length, np.inf)]
        own += [limit for limit in (law.shortest, law.longest) if limit is not None]
        at = np.union1d(at, [length for length in own if lengths[0] <= length <= lengths[1]])
    got = law.responses(at)
    stands = np.array([state in ("slack", "working") for state in got.states])
    past = got.valid & ~stands
    ax.plot(at / mm, np.where(stands, got.tensions, np.nan), color=INK, label=name, zorder=3, **style)
    ax.plot(at / mm, np.where(past, got.tensions, np.nan), color=CLIPPED, linewidth=2.4, zorder=2)
    if isinstance(law, ForceTable):
        inside = (law.lengths >= lengths[0]) & (law.lengths <= lengths[1])
        ax.plot(law.lengths[inside] / mm, law.tensions[inside], linestyle="none", zorder=4, **_POINT)
    return bool(past.any())


def _name(spring: LineSpring, number: int) -> str:
    if isinstance(spring, StockSpring):
        return spring.name
    if isinstance(spring, ForceTable):
        return f"table {number + 1}"
    if isinstance(spring, ExtensionSpring):
        return f"extension spring, wire {spring.wire_diameter / mm:g} mm"
    if isinstance(spring, CompressionSpring):
        return f"compression spring, wire {spring.wire_diameter / mm:g} mm"
    return f"spring of {spring.rate:.3g} N/m"


def plot_extension_stress(
    spring: ExtensionSpring, travel: tuple[float, float] | None = None, ax: Axes | None = None
) -> Axes:
    """Draw how much of what they bear the coils and the hooks of an extension spring use, against its length.

    travel: shortest and longest length in use, m, drawn as a band. The line that comes to 100 % first is the
    place where the spring gives; past it, shaded, it stays longer or breaks.
    """
    _checks.kind(spring, ExtensionSpring)
    free, longest = spring.free_length, spring.max_length
    span = None if travel is None else _checks.interval("travel", travel, "m")
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.4, 3.8), layout="constrained")
    dress(ax, "Length inside the hooks (mm)", "Share of what it bears (%)")
    end = max(free + 1.15 * (longest - free), span[1] if span is not None else 0.0)
    lengths = np.linspace(np.nextafter(free, np.inf), end, 101)
    stresses = [spring.stresses(tension) for tension in spring.line_spring.responses(lengths).tensions]
    allowed = spring.allowable
    if span is not None:
        ax.axvspan(span[0] / mm, span[1] / mm, color=BAND, zorder=0.5, label="in use")
    for number, (part, words) in enumerate(
        (("body", "coils, shear"), ("hook_bending", "hook, bending"), ("hook_torsion", "hook, torsion"))
    ):
        share = np.array([getattr(stress, part) for stress in stresses]) / getattr(allowed, part)
        ax.plot(lengths / mm, 100 * share, color=INK, label=words, zorder=3, **STROKES[number])
    ax.axhline(100.0, zorder=1.5, label="all it bears", **DASHED)
    ax.axvspan(longest / mm, end / mm, color=CLIPPED, alpha=0.5, linewidth=0, zorder=0.6)
    ax.set_xlim(free / mm, end / mm)
    ax.set_ylim(bottom=0.0)
    legend(ax, columns=3, handle=2.2)
    return ax
