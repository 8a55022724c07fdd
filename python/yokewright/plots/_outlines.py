"""Outlines of magnets: where a plane cuts one, what is seen of one, and how far it reaches."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from .._core import Block, Cylinder, Magnet, Pose, Ring, Sphere
from ..errors import InvalidTypeError

Points: TypeAlias = NDArray[np.float64]
Interval: TypeAlias = tuple[float, float]

# A polygon of 360 corners strays from its circle by 4e-5 of the radius: less than any picture shows.
_CORNERS = 361
# A plane that is meant to lie in a face does so only but for the rounding of poses.
_ROUNDING = 1e-12


def section(magnet: Magnet, plane: Pose) -> list[Points]:
    """Lines (N, 2), m, along which the xy plane of `plane` cuts the surface, in that plane's x and y.

    Empty if the plane misses the magnet. Straight parts and corners are exact, arcs are sampled.
    """
    cut = magnet.pose.inverse() @ plane
    if isinstance(magnet, Block):
        return _block_section(np.asarray(magnet.size) / 2, cut)
    if isinstance(magnet, Cylinder):
        return _round_section(magnet.diameter / 2, 0.0, magnet.length / 2, cut)
    if isinstance(magnet, Ring):
        return _round_section(magnet.outer_diameter / 2, magnet.inner_diameter / 2, magnet.length / 2, cut)
    if isinstance(magnet, Sphere):
        return _sphere_section(magnet.diameter / 2, cut)
    raise _unknown(magnet)


def silhouette(magnet: Magnet, right: Points, up: Points) -> Points:
    """Points (N, 3), m, whose convex hull in the plane of `right` and `up` is what is seen of the magnet."""
    if isinstance(magnet, Block):
        return magnet.pose.apply(_box_corners(np.asarray(magnet.size) / 2))
    angle = np.linspace(0.0, 2.0 * np.pi, _CORNERS)[:-1, None]
    if isinstance(magnet, Sphere):
        radius = magnet.diameter / 2
        return magnet.pose.position + radius * (np.cos(angle) * right + np.sin(angle) * up)
    if isinstance(magnet, (Cylinder, Ring)):
        radius = (magnet.diameter if isinstance(magnet, Cylinder) else magnet.outer_diameter) / 2
        rim = np.hstack([radius * np.cos(angle), radius * np.sin(angle), np.zeros_like(angle)])
        end = np.array([0.0, 0.0, magnet.length / 2])
        return magnet.pose.apply(np.vstack([rim - end, rim + end]))
    raise _unknown(magnet)


def extents(magnet: Magnet) -> Points:
    """Size along the axes of the magnet's own frame, m, shape (3,)."""
    if isinstance(magnet, Block):
        return np.asarray(magnet.size)
    if isinstance(magnet, Sphere):
        return np.full(3, magnet.diameter)
    if isinstance(magnet, (Cylinder, Ring)):
        across = magnet.diameter if isinstance(magnet, Cylinder) else magnet.outer_diameter
        return np.array([across, across, magnet.length])
    raise _unknown(magnet)


def way_out(magnet: Magnet, direction: Points) -> float:
    """Distance, m, from the center to where a ray along a unit vector leaves the magnet for good."""
    half = extents(magnet) / 2
    ray = np.abs(magnet.pose.matrix.T @ direction)
    if isinstance(magnet, Sphere):
        return float(half[0])
    if not isinstance(magnet, Block):
        half, ray = half[1:], np.array([np.hypot(ray[0], ray[1]), ray[2]])
    with np.errstate(divide="ignore"):
        return float(np.min(half / ray))


def _unknown(magnet: object) -> InvalidTypeError:
    return InvalidTypeError(f"a Magnet is needed, got {type(magnet).__name__}")


def _box_corners(half: Points) -> Points:
    grid = np.meshgrid(*zip(-half, half, strict=True), indexing="ij")
    return np.column_stack([part.ravel() for part in grid])


def _block_section(half: Points, cut: Pose) -> list[Points]:
    corners = cut.inverse().apply(_box_corners(half))
    height = corners[:, 2]
    height[np.abs(height) < _ROUNDING * np.max(half)] = 0.0
    crossings = [corners[height == 0.0, :2]]
    for i in range(8):
        # Corners are numbered in binary by their three signs; an edge changes one of them.
        for j in (i | 1, i | 2, i | 4):
            if height[i] * height[j] < 0.0:
                share = height[i] / (height[i] - height[j])
                crossings.append((corners[i, :2] + share * (corners[j, :2] - corners[i, :2]))[None])
    found = np.vstack(crossings)
    if len(found) < 3:
        return []
    middle = found - found.mean(axis=0)
    around = found[np.argsort(np.arctan2(middle[:, 1], middle[:, 0]))]
    return [np.vstack([around, around[:1]])]


def _sphere_section(radius: float, cut: Pose) -> list[Points]:
    # The plane as seen from the sphere: its height over the center, and the center's foot in it.
    center = cut.inverse().position
    if abs(center[2]) >= radius:
        return []
    angle = np.linspace(0.0, 2.0 * np.pi, _CORNERS)
    return [center[:2] + np.sqrt(radius**2 - center[2] ** 2) * np.column_stack([np.cos(angle), np.sin(angle)])]


def _round_section(outer: float, inner: float, half_length: float, cut: Pose) -> list[Points]:
    """The cut of a ring (or cylinder, `inner` 0) whose axis is z.

    In the plane, t runs at a right angle to the axis and s at a right angle to t. A point then has
    z = z0 + s sin and rho^2 = (q0 + s cos)^2 + (t0 + t)^2. So the ends are a strip, and mantle and bore an
    ellipse each.
    """
    right, up, normal = cut.matrix.T
    across = np.array([-normal[1], normal[0], 0.0])
    length = float(np.hypot(normal[0], normal[1]))
    along_t = across / length if length > 0.0 else right
    along_s = np.cross(normal, along_t)
    sine, cosine = float(along_s[2]), float(normal[2])
    level = np.cross([0.0, 0.0, 1.0], along_t)  # horizontal, so that along_s = sine z + cosine level
    z0, q0, t0 = cut.position[2], float(cut.position @ level), float(cut.position @ along_t)
    strip = _interval(z0, sine, half_length)

    def arc(radius: float) -> tuple[Points, Points] | None:
        """Where the plane is between the ends, s of the cut of a mantle and half its width there."""
        ellipse = _interval(q0, cosine, radius)
        low, high = max(strip[0], ellipse[0]), min(strip[1], ellipse[1])
        if not low < high:
            return None
        s = (low + high) / 2 - (high - low) / 2 * np.cos(np.linspace(0.0, np.pi, _CORNERS // 2 + 1))
        s[0], s[-1] = low, high
        return s, np.sqrt(np.maximum(radius**2 - (q0 + cosine * s) ** 2, 0.0))

    mantle = arc(outer)
    if mantle is None:
        return []
    bore = arc(inner) if inner > 0.0 else None
    lines = []
    for line in (mantle, bore):
        if line is not None:
            lines += [(line[0], line[1]), (line[0], -line[1])]
    for end in (0, -1):
        # Straight across an end face, from the mantle to the bore where that reaches the same face.
        s, width = mantle[0][end], mantle[1][end]
        clear = bore[1][end] if bore is not None and bore[0][end] == s else 0.0
        if width > 0.0:
            lines += [(np.full(2, s), sign * np.array([clear, width])) for sign in (1.0, -1.0)]
    frame = np.array([[along_s @ right, along_s @ up], [along_t @ right, along_t @ up]])
    return [np.column_stack([s, t - t0]) @ frame for s, t in lines]


def _interval(offset: float, rate: float, limit: float) -> Interval:
    """Where |offset + s rate| <= limit; an interval that ends before it starts if nowhere."""
    if abs(rate) < _ROUNDING:
        return (-np.inf, np.inf) if abs(offset) <= limit * (1.0 + _ROUNDING) else (np.inf, -np.inf)
    ends = ((-limit - offset) / rate, (limit - offset) / rate)
    return min(ends), max(ends)
