"""Magnets, sensor, arm and pivot to scale, in any plane that they are seen against."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import FancyArrowPatch, Polygon
from matplotlib.transforms import ScaledTranslation

from .._core import Magnet, Pose, mm
from ._outlines import Points, extents, silhouette
from ._style import DASHED, FONT_PT, INK, MAGNET, NORTH, PACKAGE, SOUTH, Style

Point = tuple[float, float]

# A flat leaded package: width along its x, height along its y, thickness behind its face. Where no size is known
# the body is drawn at a common one, so that the picture can be recognized.
PACKAGE_SIZE = (4.0 * mm, 3.0 * mm, 1.5 * mm)


class View:
    """A plane of drawing, in mm: along unit vectors `right` and `up` from an origin; `normal` points at the reader."""

    def __init__(self, origin: Points, right: Points, up: Points) -> None:
        self.origin, self.right, self.up = origin, right, up
        self.normal = np.cross(right, up)
        self.size = 1.0
        self.x_range: tuple[float, float] = (0.0, 1.0)
        self.y_range: tuple[float, float] = (0.0, 1.0)

    def fit(self, corners: Points) -> None:
        """Make room for points of the drawing, (N, 2), and for a scale bar below them."""
        low, high = np.min(corners, axis=0), np.max(corners, axis=0)
        self.size = float(np.max(high - low))
        pad = 0.06 * self.size
        self.x_range = (float(low[0] - pad), float(high[0] + pad))
        self.y_range = (float(low[1] - 2.6 * pad), float(high[1] + pad))

    def direction(self, vector: Points) -> Points:
        """A vector's share in the plane of the drawing."""
        share: Points = vector @ np.column_stack([self.right, self.up])
        return share

    def project(self, points: Points) -> Points:
        return self.direction(points - self.origin) / mm

    def silhouette(self, magnet: Magnet) -> Points:
        return self.project(silhouette(magnet, self.right, self.up))


def is_end_on(share: Points) -> bool:
    return bool(np.linalg.norm(share) < 0.2)


def box_corners(low: Points, high: Points, pose: Pose) -> Points:
    grid = np.meshgrid(*zip(low, high, strict=True), indexing="ij")
    return pose.apply(np.column_stack([part.ravel() for part in grid]))


def package_corners(pose: Pose, size: tuple[float, float, float] = PACKAGE_SIZE) -> Points:
    half = np.array([size[0] / 2, size[1] / 2, 0.0])
    return box_corners(-half - [0.0, 0.0, size[2]], half, pose)


def hull(points: Points) -> Points:
    """Convex hull of points in a plane, counterclockwise (monotone chain, Andrew 1979)."""
    ordered = sorted((float(x), float(y)) for x, y in np.round(points, 9))

    def chain(candidates: list[Point]) -> list[Point]:
        kept: list[Point] = []
        for p in candidates:
            while len(kept) > 1 and _turn(kept[-2], kept[-1], p) <= 0.0:
                kept.pop()
            kept.append(p)
        return kept[:-1]

    return np.array(chain(ordered) + chain(ordered[::-1]))


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _beyond(outline: Points, center: Points, direction: Points) -> Points:
    """The part of a convex outline that lies beyond a line through `center` at right angles to `direction`."""
    heights = (outline - center) @ direction
    kept: list[Points] = []
    for i, (point, height) in enumerate(zip(outline, heights, strict=True)):
        before, height_before = outline[i - 1], heights[i - 1]
        if height * height_before < 0.0:
            share = height_before / (height_before - height)
            kept.append(before + share * (point - before))
        if height >= 0.0:
            kept.append(point)
    return np.array(kept)


def draw_magnets(magnets: list[Magnet], view: View, ax: Axes, faint: bool, arrows: bool = True) -> None:
    """Draw magnets, the north half dark, with an arrow along the polarization."""
    for magnet in magnets:
        outline = hull(view.silhouette(magnet))
        if faint:
            ax.add_patch(Polygon(outline, fill=False, zorder=2, **DASHED))
            continue
        polarization = magnet.pose.matrix @ magnet.polarization
        strength = np.linalg.norm(polarization)
        center = view.project(magnet.pose.position)
        if strength == 0.0:
            ax.add_patch(Polygon(outline, facecolor=MAGNET, edgecolor=INK, linewidth=1.2, zorder=3))
            continue
        polarization = polarization / strength
        share = view.direction(polarization)
        toward = np.dot(polarization, view.normal) > 0.0
        ground = NORTH if is_end_on(share) and toward else SOUTH
        ax.add_patch(Polygon(outline, facecolor=ground, edgecolor=INK, linewidth=1.2, zorder=3))
        if not is_end_on(share):
            north = _beyond(outline, center, share)
            ax.add_patch(Polygon(north, facecolor=NORTH, edgecolor="none", linewidth=0.0, zorder=3.1))
            ax.add_patch(Polygon(outline, fill=False, edgecolor=INK, linewidth=1.2, zorder=3.2))
        if arrows:
            length = 0.72 * float(np.min(extents(magnet))) / mm
            draw_direction(view, center, polarization, length, ax, width=1.8, centered=True)


def draw_package(
    pose: Pose, view: View, ax: Axes, faint: bool, size: tuple[float, float, float] = PACKAGE_SIZE
) -> None:
    """Draw the body of a sensor, its face bold."""
    outline = hull(view.project(package_corners(pose, size)))
    if faint:
        ax.add_patch(Polygon(outline, fill=False, zorder=2, **DASHED))
        return
    # Seen face-on the package lies over the magnet and must not hide it.
    over = abs(np.dot(pose.matrix[:, 2], view.normal)) > 0.5
    ax.add_patch(
        Polygon(outline, facecolor="none" if over else PACKAGE, edgecolor=INK, linewidth=0.9, zorder=4),
    )
    half = np.array([size[0] / 2, size[1] / 2, 0.0])
    face = hull(view.project(box_corners(-half, half, pose)))
    ax.add_patch(Polygon(face, fill=False, edgecolor=INK, linewidth=2.6, zorder=5, capstyle="butt"))


def draw_active_point(pose: Pose, depth: float, direction: Points, view: View, ax: Axes) -> None:
    """Draw where a sensor reads and what it reads as positive."""
    active = view.project(pose.apply([[0.0, 0.0, -depth]]))[0]
    draw_direction(view, active, pose.matrix @ direction, 0.11 * view.size, ax, width=1.1, centered=False)
    ax.plot(*active, marker="o", markersize=4.5, markerfacecolor="white", markeredgecolor=INK, zorder=8)


def draw_direction(
    view: View, at: Points, vector: Points, length: float, ax: Axes, width: float, centered: bool
) -> None:
    """Draw an arrow as long as the unit vector's share in the plane of the drawing.

    Where that is next to nothing it is a ring with a dot (toward the reader) or a cross (away).
    """
    share = view.direction(vector)
    if is_end_on(share):
        # A sensor's ring stands beside its active point, which it would hide.
        aside = 0.0 if centered else 14.0 / 72.0  # in
        shift = ax.transData + ScaledTranslation(aside, 0.0, ax.figure.dpi_scale_trans)
        ring: Style = {"markerfacecolor": "white", "markeredgecolor": INK, "markeredgewidth": width}
        ax.plot(*at, marker="o", markersize=11.0, transform=shift, zorder=6, **ring)
        toward = np.dot(vector, view.normal) > 0.0
        mark: Style = {"marker": "o", "markersize": 3.0} if toward else {"marker": "x", "markersize": 6.0}
        ax.plot(*at, color=INK, transform=shift, zorder=7, **mark)
        return
    tail = at - 0.5 * length * share if centered else at
    tip = tail + length * share
    head = float(np.clip(60.0 * length / view.size, 4.0, 11.0))
    arrow: Style = {"arrowstyle": "-|>", "mutation_scale": head, "shrinkA": 0.0, "shrinkB": 0.0}
    ax.add_patch(
        FancyArrowPatch(tuple(tail), tuple(tip), color=INK, linewidth=min(width, 0.2 * head), zorder=6, **arrow)
    )


def arm_style(faint: bool) -> Style:
    if faint:
        return DASHED
    return {"color": INK, "linewidth": 1.4}


def draw_arm(view: View, end: Points, ax: Axes, faint: bool) -> None:
    tip = view.project(end)
    ax.plot([0.0, tip[0]], [0.0, tip[1]], zorder=1, **arm_style(faint))


def draw_pivot(ax: Axes) -> None:
    ax.plot(
        0.0,
        0.0,
        marker="o",
        markersize=9.0,
        markerfacecolor="white",
        markeredgecolor=INK,
        markeredgewidth=1.4,
        zorder=6,
    )
    ax.plot(0.0, 0.0, marker="+", markersize=6.0, color=INK, zorder=7)


def draw_scale_bar(view: View, ax: Axes) -> None:
    length = _nice_below(0.3 * view.size)
    left = view.x_range[0] + 0.02 * view.size
    bottom = view.y_range[0] + 0.02 * view.size
    ax.plot([left, left + length], [bottom, bottom], color=INK, linewidth=3.0, solid_capstyle="butt")
    ax.text(
        left + length + 0.02 * view.size,
        bottom,
        f"{length:g} mm",
        fontsize=FONT_PT,
        color=INK,
        va="center",
    )


def _nice_below(value: float) -> float:
    """The greatest of 1, 2, 5, 10, 20, ... not above the value."""
    decade = 10.0 ** np.floor(np.log10(value))
    return float(decade * max(step for step in (1.0, 2.0, 5.0) if step * decade <= value * (1.0 + 1e-9)))
