"""The field around magnets in a plane."""

from typing import Literal, TypeAlias

import numpy as np
from matplotlib import pyplot
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.colors import BoundaryNorm, LinearSegmentedColormap
from matplotlib.lines import Line2D
from matplotlib.patches import Patch, Polygon
from matplotlib.ticker import Locator
from numpy.typing import NDArray

from .._core import Magnet, MagnetGroup, Pose, SteelPlate, mm, mT
from ..errors import InvalidValueError
from . import _checks
from ._outlines import Points, section, silhouette
from ._style import FAINT, FONT_PT, INK, STEEL, Style, dress, legend

Extent: TypeAlias = tuple[float, float, float, float]
Mask: TypeAlias = NDArray[np.bool_]

# Paper to blue in equal steps of CIELAB, lightness 97 to 46: gray keeps the order, and ink is readable on it.
RAMP = LinearSegmentedColormap.from_list(
    "flux density",
    ["#fbf6ea", "#e3e5df", "#cbd4d5", "#b3c3ca", "#9bb2c0", "#83a2b5", "#6a92ab", "#4f82a0", "#2f7396"],
)
_X, _Y, _Z = np.eye(3)
# Right and up of a plane, and their labels.
_PLANES: dict[str, tuple[Points, Points, str, str]] = {
    "xy": (_X, _Y, "x (mm)", "y (mm)"),
    "xz": (_X, _Z, "x (mm)", "z (mm)"),
    "yz": (_Y, _Z, "y (mm)", "z (mm)"),
}

_SAMPLES = 300  # along the longer side: as fine as a screen shows
_MARKS = 11  # along the longer side
_DECADES = 3  # of the scale, if not given: the steps of a longer one could not be told apart
_END_ON = 0.2  # share of the field in the plane below which it is marked as toward or away


def plot_field_map(
    magnets: Magnet | MagnetGroup,
    plane: Literal["xy", "xz", "yz"] | Pose = "xz",
    extent: Extent | None = None,
    *,
    plate: SteelPlate | None = None,
    flux: tuple[float, float] | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Draw the flux density in a plane, bands for its magnitude, lines for its direction, and the magnets.

    plane: one through the origin, or the xy plane of a Pose. extent: (left, right, bottom, top) in it, m; if
    left out, the magnets and some air. plate: steel to draw, whose images add to the field. flux: lowest and
    highest flux density of the scale, T. Where the field stands nearly upright on the plane, a dot points
    toward you and a cross away.
    """
    group = _checks.group_of(magnets)
    pose, x_label, y_label = pose_of(plane)
    window = _default_window(group, pose, plate) if extent is None else _checks.window(extent)
    scale = None if flux is None else _checks.interval("flux", flux, "T")
    if scale is not None and scale[0] <= 0.0:
        raise InvalidValueError(f"flux starts at {scale[0]:g} T; a logarithmic scale starts above 0 T")
    u, v = _grid(window)
    field, strength, in_steel = _sample(group, plate, pose, u, v)

    ax = _axes_for(window) if ax is None else ax
    dress(ax, x_label, y_label)
    ax.grid(False)
    if np.any(strength > 0.0):
        _draw_bands(u, v, strength, in_steel, scale, ax)
        _draw_direction(u, v, field, ax)
    else:
        ax.text(0.5, 0.04, "there is no field", transform=ax.transAxes, ha="center", fontsize=FONT_PT)
    if plate is not None:
        _draw_plate(plate, pose, window, ax)
    for magnet in group.magnets:
        lines = [line / mm for line in section(magnet, pose)]
        outline = LineCollection(lines, colors=INK, linewidths=1.8, capstyle="round", label="_outline")
        outline.set_zorder(5)
        ax.add_collection(outline)
    ax.set_xlim(window[0] / mm, window[1] / mm)
    ax.set_ylim(window[2] / mm, window[3] / mm)
    ax.set_aspect("equal")
    _draw_key(ax)
    return ax


# --- what to draw -------------------------------------------------------------------------------


def pose_of(plane: str | Pose) -> tuple[Pose, str, str]:
    """Pose whose xy plane is drawn, and the labels of its axes."""
    if isinstance(plane, Pose):
        return plane, "x in the plane (mm)", "y in the plane (mm)"
    if plane not in _PLANES:
        raise InvalidValueError(f"plane is {plane!r}; choose from {', '.join(_PLANES)}, or give a Pose")
    right, up, x_label, y_label = _PLANES[plane]
    matrix = np.column_stack([right, up, np.cross(right, up)])
    return Pose.from_matrix((0.0, 0.0, 0.0), matrix), x_label, y_label


def _default_window(group: MagnetGroup, pose: Pose, plate: SteelPlate | None) -> Extent:
    right, up, _ = pose.matrix.T
    seen = np.vstack([silhouette(magnet, right, up) for magnet in group.magnets])
    if plate is not None:
        # Their feet on the plate, too, so that its face is in the picture.
        normal = plate.normal / np.linalg.norm(plate.normal)
        seen = np.vstack([seen, seen - np.outer((seen - plate.point) @ normal, normal)])
    flat = (seen - pose.position) @ np.column_stack([right, up])
    low, high = flat.min(axis=0), flat.max(axis=0)
    air = 0.8 * float(np.max(high - low))
    return low[0] - air, high[0] + air, low[1] - air, high[1] + air


def _grid(window: Extent) -> tuple[Points, Points]:
    left, right, bottom, top = window
    step = max(right - left, top - bottom) / _SAMPLES

    def line(low: float, high: float) -> Points:
        return np.linspace(low, high, max(2, round((high - low) / step) + 1))

    return line(left, right), line(bottom, top)


def _sample(
    group: MagnetGroup, plate: SteelPlate | None, pose: Pose, u: Points, v: Points
) -> tuple[Points, Points, Mask]:
    """Flux density in the axes of the plane, its magnitude, and where there is steel and neither is known."""
    flat = np.stack([*np.meshgrid(u, v), np.zeros((len(v), len(u)))], axis=-1)
    points = pose.apply(flat.reshape(-1, 3))
    in_steel = np.zeros(len(points), dtype=bool)
    if plate is not None:
        group = plate.with_images(group)
        in_steel = (points - plate.point) @ plate.normal < 0.0
    field, known = group.fields_at(points)
    field[~known | in_steel] = 0.0
    strength = np.linalg.norm(field, axis=1)
    # On an edge the ideal field has no bound: as dark as the darkest place, and no direction.
    strength[~known & ~in_steel] = strength.max()
    shape = flat.shape[:2]
    return (field @ pose.matrix).reshape(*shape, 3), strength.reshape(shape), in_steel.reshape(shape)


def _steps(low: float, high: float) -> list[float]:
    """Every 1, 2, 5, 10, 20, ... from low to high, but for rounding."""
    decades = range(int(np.floor(np.log10(low))) - 1, int(np.ceil(np.log10(high))) + 1)
    steps = (float(f"{digit}e{decade}") for decade in decades for digit in (1, 2, 5))
    return [step for step in steps if low * (1.0 - 1e-9) <= step <= high * (1.0 + 1e-9)]


def _levels(strength: Points, scale: tuple[float, float] | None) -> list[float]:
    """Borders of the bands, mT."""
    if scale is None:
        high = float(np.quantile(strength, 0.999)) / mT  # the field next to an edge would stretch the scale
        steps = _steps(max(float(np.quantile(strength, 0.005)) / mT, high / 10**_DECADES), high)
        return steps if len(steps) > 1 else _steps(high / 10, high)
    low, high = scale[0] / mT, scale[1] / mT
    inner = [step for step in _steps(low, high) if low * (1.0 + 1e-9) < step < high * (1.0 - 1e-9)]
    return [low, *inner, high]


# --- drawing ------------------------------------------------------------------------------------


def _draw_key(ax: Axes) -> None:
    """Name what is drawn, above the map; the bar beside it names the bands."""
    arrow: Style = {"color": INK, "linewidth": 0.7, "marker": ">", "markersize": 4.0, "markevery": [1]}
    ring: Style = {"linestyle": "none", "markersize": 9.0, "color": INK, "markeredgewidth": 0.3}
    drawn = {artist.get_label() for artist in (*ax.lines, *ax.collections, *ax.patches)}
    shown = {line.get_label() for line in ax.lines if np.size(line.get_xdata())}
    handles: list[Artist] = []
    if "_outline" in drawn:
        handles.append(Line2D([], [], color=INK, linewidth=1.8, label="magnet"))
    if "_direction" in drawn:
        handles.append(Line2D([0, 1], [0, 0], label="direction of B", **arrow))
    for label, name, mark in (
        ("_toward", "toward you", "$\\odot$"),
        ("_away", "away from you", "$\\otimes$"),
    ):
        if label in shown:
            handles.append(Line2D([], [], marker=mark, label=name, **ring))
    if "_steel" in drawn:
        steel: Style = {"facecolor": STEEL, "edgecolor": FAINT, "hatch": "////", "linewidth": 0.0}
        handles.append(Patch(label="steel", **steel))
    # A narrow map has no room for two beside each other, nor beside the title of its bar.
    wide = np.ptp(ax.get_xlim()) > 0.8 * np.ptp(ax.get_ylim())
    legend(ax, columns=2 if wide else 1, handle=1.8, handles=handles, lift=0.2 if wide else 2.0)


def _axes_for(window: Extent) -> Axes:
    left, right, bottom, top = window
    width = 4.2
    height = float(np.clip(width * (top - bottom) / (right - left), 1.8, 6.5))
    _, ax = pyplot.subplots(figsize=(width + 1.5, height + 0.9), layout="compressed")
    return ax


def _draw_bands(
    u: Points, v: Points, strength: Points, in_steel: Mask, scale: tuple[float, float] | None, ax: Axes
) -> None:
    levels = _levels(strength[~in_steel], scale)
    bands = ax.contourf(
        u / mm,
        v / mm,
        np.ma.array(strength / mT, mask=in_steel),
        levels=levels,
        cmap=RAMP,
        norm=BoundaryNorm(levels, RAMP.N, extend="both"),
        extend="both",
    )
    slender = float(np.clip(np.ptp(v) / np.ptp(u), 1.0, 2.0))  # the bar of a narrow map shall be no hairline
    beside = ax.inset_axes((1.0 + 0.04 * slender, 0.0, 0.05 * slender, 1.0))
    bar = ax.figure.colorbar(bands, cax=beside, ticks=_BandTicks(levels, beside), spacing="uniform")
    bar.ax.tick_params(labelsize=FONT_PT, colors=INK, length=0)
    bar.ax.minorticks_off()
    bar.ax.set_title("B (mT)", fontsize=FONT_PT, color=INK, loc="left")
    bar.ax.yaxis.set_major_formatter(lambda value, _: f"{value:.4g}")
    bar.outline.set(edgecolor=INK, linewidth=0.8)


class _BandTicks(Locator):
    """The borders of the bands; where they would be too close to be read, only some of them."""

    def __init__(self, levels: list[float], ax: Axes) -> None:
        self.levels, self.ax = levels, ax

    def __call__(self) -> list[float]:
        height = 72.0 * self.ax.get_window_extent().transformed(self.ax.figure.dpi_scale_trans.inverted()).height
        room = int(height / (1.3 * FONT_PT))
        if len(self.levels) <= room:
            return self.levels
        whole = [level for level in self.levels if f"{level:e}".startswith("1.000000")]
        return whole if 1 < len(whole) <= room else [self.levels[0], self.levels[-1]]


def _draw_direction(u: Points, v: Points, field: Points, ax: Axes) -> None:
    size = np.linalg.norm(field, axis=2)
    with np.errstate(invalid="ignore", divide="ignore"):
        along = field / size[..., None]
    flat = np.hypot(along[..., 0], along[..., 1])
    clear = flat >= _END_ON  # False where there is no direction
    if np.any(clear):
        x, y = np.ma.array(along[..., :2], mask=~np.stack([clear, clear], axis=-1)).transpose(2, 0, 1)
        span = np.array([np.ptp(u), np.ptp(v)])
        density = tuple(np.maximum(1.2 * span / span.max(), 0.5))  # as far apart across as upward
        lines = ax.streamplot(u / mm, v / mm, x, y, color=INK, linewidth=0.7, arrowsize=0.8, density=density)
        lines.lines.set_label("_direction")
    step = max(len(u), len(v)) // _MARKS
    spread = (slice(step // 2, None, step),) * 2
    upright = flat[spread] < _END_ON
    toward = along[spread][..., 2] > 0.0
    x, y = np.meshgrid(u[spread[0]] / mm, v[spread[0]] / mm)
    ring: Style = {"linestyle": "none", "marker": "o", "markerfacecolor": "none", "markeredgecolor": INK}
    ax.plot(x[upright], y[upright], markersize=8.0, markeredgewidth=0.7, **ring)
    for chosen, mark, size, label in (
        (upright & toward, "o", 2.4, "_toward"),
        (upright & ~toward, "x", 4.6, "_away"),
    ):
        ax.plot(x[chosen], y[chosen], mark, markersize=size, markeredgewidth=0.7, color=INK, label=label)


def _draw_plate(plate: SteelPlate, pose: Pose, window: Extent, ax: Axes) -> None:
    left, right, bottom, top = window
    corners = np.array([[left, bottom], [right, bottom], [right, top], [left, top]])
    height = (pose.apply(np.column_stack([corners, np.zeros(4)])) - plate.point) @ plate.normal
    inside: list[Points] = []
    face: list[Points] = []
    for i in range(4):
        j = (i + 1) % 4
        if height[i] < 0.0:
            inside.append(corners[i])
        if (height[i] < 0.0) != (height[j] < 0.0):
            crossing = corners[i] + height[i] / (height[i] - height[j]) * (corners[j] - corners[i])
            inside.append(crossing)
            face.append(crossing)
    if inside:
        steel = Polygon(np.array(inside) / mm, facecolor=STEEL, edgecolor=FAINT, hatch="////", linewidth=0.0, zorder=3)
        steel.set_label("_steel")
        ax.add_patch(steel)
    if face:
        ax.plot(*(np.array(face) / mm).T, color=INK, linewidth=1.8, zorder=4)
