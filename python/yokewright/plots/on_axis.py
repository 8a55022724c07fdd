"""The field along the axis of one magnet."""

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes

from .._core import Magnet, MagnetGroup, SteelPlate, mm, mT
from ..errors import InvalidValueError
from . import _checks
from ._outlines import extents, way_out
from ._style import BAND, FAINT, INK, STROKES, dress, legend


def plot_on_axis(
    magnet: Magnet,
    sensor_span: tuple[float, float] | None = None,
    reach: float | None = None,
    *,
    plate: SteelPlate | None = None,
    label: str = "on the axis",
    ax: Axes | None = None,
) -> Axes:
    """Draw the flux density along the axis of polarization against the distance from the north pole.

    sensor_span: what a sensor can read, T, drawn as a band: `sensor.flux_range`. reach: how far to go, m; if
    left out, twice the largest size of the magnet. plate: steel whose images add to the field. To compare
    magnets, draw them into one `ax`, each with its label. A ring counts from the plane of its end.
    """
    _checks.kind(magnet, Magnet)
    north = magnet.pose.matrix @ magnet.polarization
    strength = np.linalg.norm(north)
    if strength == 0.0:
        raise InvalidValueError("polarization is 0 T; it must be above 0 T to have an axis")
    north /= strength
    reach = _checks.length("reach", 2.0 * float(np.max(extents(magnet))) if reach is None else reach)
    span = None if sensor_span is None else _checks.interval("sensor_span", sensor_span, "T")

    distance = np.linspace(0.0, reach, 401)
    points = magnet.pose.position + (way_out(magnet, north) + distance)[:, None] * north
    group = MagnetGroup([magnet])
    field, _ = group.fields_at(points) if plate is None else plate.over(group).fields_at(points)

    if ax is None:
        _, ax = pyplot.subplots(figsize=(5.2, 3.6), layout="constrained")
    dress(ax, "Distance from the surface (mm)", "Flux density (mT)")
    earlier = [line for line in ax.get_lines() if not str(line.get_label()).startswith("_")]
    if not earlier:
        ax.axhline(0.0, color=FAINT, linewidth=0.8, zorder=0.9)
    style = STROKES[len(earlier) % len(STROKES)]
    ax.plot(distance / mm, field @ north / mT, color=INK, label=label, **style)
    if span is not None:
        _draw_span(span, ax)
    ax.set_xlim(0.0, max(reach / mm, ax.get_xlim()[1] if earlier else 0.0))
    legend(ax)
    return ax


def _draw_span(span: tuple[float, float], ax: Axes) -> None:
    known = "range of the sensor" in ax.get_legend_handles_labels()[1]
    low, high = span[0] / mT, span[1] / mT
    ax.axhspan(low, high, color=BAND, zorder=0, label=None if known else "range of the sensor")
    for edge in (low, high):
        ax.axhline(edge, color=FAINT, linewidth=0.8, linestyle=(0, (4, 3)))
