"""A compression spring over its travel, and whether it lasts."""

from collections.abc import Sequence

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes

from .._core import CompressionSpring, LifeVerdict, mm
from ..errors import InvalidValueError
from . import _checks
from ._style import BAND, CLIPPED, CURVE, DASHED, FAINT, FONT_PT, INK, STROKES, Style, dress, legend

_MPA = 1e6  # Pa
_DOT: Style = {"marker": "o", "markersize": 6.0, "markeredgecolor": INK, "linestyle": "none"}


def plot_spring_stress(
    spring: CompressionSpring, travel: tuple[float, float] | None = None, ax: Axes | None = None
) -> Axes:
    """Draw the shear stress in the wire against the length, from free to solid, and what it may be.

    travel: shortest and longest length in use, m, drawn as a band. Under Shigley's practice the stress that
    must stay below the allowable one has the curvature factor (or direct shear alone, once the set is
    removed), under EN 13906 none; the other one is drawn thin. Past the allowable stress the spring takes a
    set: it comes back shorter.
    """
    _checks.kind(spring, CompressionSpring)
    solid, free = spring.solid_length, spring.free_length
    span = None if travel is None else _checks.interval("travel", travel, "m")
    if span is not None and not (solid <= span[0] and span[1] <= free):
        raise InvalidValueError(
            f"travel is {span[0]:g} to {span[1]:g} m; the spring works from {solid:g} m (solid) to {free:g} m"
        )
    lengths = np.linspace(free, solid, 201)
    stress, _ = spring.stresses(lengths)
    # What the rules compare: the allowable stress is reached at the yield force.
    judged = np.linspace(0.0, spring.solid_force, 201) / spring.yield_force * spring.allowable_stress

    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.2, 3.8), layout="constrained")
    dress(ax, "Length (mm)", "Shear stress in the wire (MPa)")
    if span is not None:
        ax.axvspan(span[0] / mm, span[1] / mm, color=BAND, zorder=0.5, label="in use")
    allowed = spring.allowable_stress / _MPA
    ax.axhline(allowed, label=f"allowable, {spring.design_code}", zorder=1.5, **DASHED)
    ax.plot(lengths / mm, judged / _MPA, color=INK, label="stress set against it", zorder=3, **STROKES[0])
    if not np.allclose(judged, stress, rtol=1e-6):
        ax.plot(
            lengths / mm,
            stress / _MPA,
            color=INK,
            label=f"with {spring.curvature}'s factor",
            zorder=2,
            **STROKES[4],
        )
    beyond = judged > spring.allowable_stress
    if beyond.any():
        ax.fill_between(
            lengths / mm,
            allowed,
            judged / _MPA,
            where=beyond.tolist(),
            color=CLIPPED,
            zorder=1,
            label="takes a set",
        )
    ax.plot(solid / mm, judged[-1] / _MPA, markerfacecolor="white", zorder=4, label="solid", **_DOT)
    # Compression goes to the right, as one presses.
    ax.set_xlim(free / mm, solid / mm - 0.04 * (free - solid) / mm)
    ax.set_ylim(bottom=0.0)
    legend(ax, columns=2, handle=1.6)
    return ax


def plot_endurance(verdicts: LifeVerdict | Sequence[LifeVerdict], ax: Axes | None = None) -> Axes:
    """Draw a Haigh diagram: alternating against mean stress, what is endured, and where the spring works.

    verdicts: what `CompressionSpring.fatigue` gives; several of one wire can be compared (other forces, other
    surface, other criterion). Inside a line the spring stands the cycles asked for; the straight line down to
    the right is where it yields. A hollow point does not hold.
    """
    several = _checks.one_or_several(verdicts, LifeVerdict, name="verdict")
    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.4, 4.0), layout="constrained")
    dress(ax, "Mean shear stress (MPa)", "Alternating shear stress (MPa)")
    drawn: list[tuple[object, float]] = []
    for verdict in several:
        line = (verdict.endurance, verdict.cycles)
        if line not in drawn:
            _draw_line(verdict, STROKES[len(drawn) % len(STROKES)], ax, first=not drawn)
            drawn.append(line)
    points: dict[tuple[float, float], list[LifeVerdict]] = {}
    for verdict in several:
        points.setdefault((verdict.mean, verdict.alternating), []).append(verdict)
    for number, sharing in enumerate(points.values()):
        _draw_cycle(sharing, "works here" if number == 0 else "_works", ax)
    greatest = max(verdict.mean + verdict.alternating for verdict in several)
    if greatest > 0.0:
        strengths = [v.static_safety * (v.mean + v.alternating) for v in several if np.isfinite(v.static_safety)]
        if strengths:
            strength = min(strengths) / _MPA
            ax.plot([0.0, strength], [strength, 0.0], zorder=1, label="yields", **DASHED)
    top = max(1.25 * v.endurance.alternating_at(0.0, v.cycles) for v in several)
    ax.set_xlim(0.0, max(v.endurance.ultimate for v in several) / _MPA)
    ax.set_ylim(0.0, max(top, 1.1 * max(v.alternating for v in several)) / _MPA)
    legend(ax, columns=2, handle=2.2)
    return ax


def _draw_line(verdict: LifeVerdict, style: Style, ax: Axes, *, first: bool) -> None:
    endurance = verdict.endurance
    mean = np.linspace(0.0, endurance.ultimate, 201)
    borne = np.array([endurance.alternating_at(m, verdict.cycles) for m in mean])
    name = f"{endurance.criterion}, {verdict.cycles:,.0f} cycles"
    ax.plot(mean / _MPA, borne / _MPA, color=INK, label=name, zorder=2, **style)
    label = "endurance test" if first else "_test"
    ax.plot(
        endurance.mean / _MPA,
        endurance.alternating / _MPA,
        marker="s",
        markersize=5.0,
        markerfacecolor=CURVE,
        markeredgecolor=INK,
        linestyle="none",
        label=label,
        zorder=3,
    )


def _draw_cycle(sharing: list[LifeVerdict], label: str, ax: Axes) -> None:
    """One point, of verdicts about the same stresses."""
    mean, alternating = sharing[0].mean / _MPA, sharing[0].alternating / _MPA
    for verdict in sharing:
        if verdict.endurance.criterion != "Sines" and np.isfinite(verdict.safety):
            # The cycle as it would have to grow to break the spring.
            end = verdict.safety * mean, verdict.safety * alternating
            ax.plot([0.0, end[0]], [0.0, end[1]], color=FAINT, linewidth=0.8, zorder=1)
    fill = INK if all(verdict.holds for verdict in sharing) else "white"
    ax.plot(mean, alternating, markerfacecolor=fill, label=label, zorder=4, **_DOT)
    safeties = ", ".join(f"{verdict.safety:.2f}" for verdict in sharing)
    ax.annotate(
        f"safety {safeties}",
        (mean, alternating),
        xytext=(7, -11),
        textcoords="offset points",
        fontsize=FONT_PT,
        color=INK,
    )
