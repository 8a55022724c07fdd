"""What a builder drills and cuts, from the values that describe it."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from .._core import Arm, Arrangement, Gate, Gimbal, MagnetsOverPlate, mm
from ..errors import InvalidTypeError, InvalidValueError
from ._drawing import Shape, Template, hole, line, made, words

_MOST = 1.0  # m: no hole, width or height of a control is larger


def _length(name: str, value: float, *, zero: bool = False) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float | np.number):
        raise InvalidTypeError(f"{name} is of type {type(value).__name__}; a length in m is needed")
    low = "0" if zero else "above 0"
    if not (value >= 0 if zero else value > 0) or not value <= _MOST:
        hint = f"; did you mean {value:g} * mm?" if 1e-4 <= value * mm <= _MOST else ""
        raise InvalidValueError(f"{name} = {float(value):g} m is not {low} and up to {_MOST:g} m{hint}")
    return float(value)


def _unit(vector: NDArray[np.float64]) -> NDArray[np.float64]:
    found: NDArray[np.float64] = vector / np.linalg.norm(vector)
    return found


def lever_arm(
    arms: Arm | Sequence[Arm],
    *,
    pivot_hole: float,
    joint_hole: float,
    width: float,
    title: str = "Lever arm",
) -> Template:
    """Holes of one or several arms on one pivot, seen along its axis with positive angles counterclockwise.

    arms: Arm, all on one axis, as those of a center crank. pivot_hole, joint_hole: diameters, m. width: of the arm
    around each hole, m, more than either. The first joint lies along x; the distances are those at right angles to the
    axis, so that a joint that stands off along it is drilled where it is seen.
    """
    several = [arms] if isinstance(arms, Arm) else list(arms)
    for arm in several:
        if not isinstance(arm, Arm):
            raise InvalidTypeError(f"an Arm is needed, got {type(arm).__name__}")
    if not several:
        raise InvalidValueError("there is no arm to draw; give at least 1")
    pivot_hole, joint_hole = _length("pivot hole", pivot_hole), _length("joint hole", joint_hole)
    width = _length("width of the arm", width)
    if width <= max(pivot_hole, joint_hole):
        largest = max(pivot_hole, joint_hole) / mm
        raise InvalidValueError(f"width of the arm = {width / mm:g} mm leaves nothing around a hole of {largest:g} mm")

    first = several[0]
    axis = np.asarray(first.direction)

    def across(vector: NDArray[np.float64]) -> NDArray[np.float64]:
        seen: NDArray[np.float64] = vector - (vector @ axis) * axis
        return seen

    right = _unit(across(np.asarray(first.joint) - np.asarray(first.pivot)))
    up: NDArray[np.float64] = np.cross(axis, right)
    shapes: list[Shape] = [*hole((0.0, 0.0), pivot_hole)]
    notes = []
    for number, arm in enumerate(several):
        off = np.linalg.norm(across(np.asarray(arm.pivot) - np.asarray(first.pivot)))
        lean = float(np.linalg.norm(np.cross(axis, np.asarray(arm.direction))))
        # Beyond the rounding of poses a template of one part would be wrong by what can be seen.
        if off > 1e-6 or lean > 1e-6:
            raise InvalidValueError(
                f"arm {number + 1} turns about another axis than the first: {off / mm:.3g} mm off, "
                f"{np.degrees(np.arcsin(min(lean, 1.0))):.3g} deg askew"
            )
        joint = across(np.asarray(arm.joint) - np.asarray(first.pivot))
        x, y = float(joint @ right), float(joint @ up)
        # The line from the first to itself is horizontal to the last bit.
        y = 0.0 if number == 0 else y
        shapes += hole((x, y), joint_hole)
        shapes.append(line([(0, 0), (x, y)], "mark", closed=False))
        shapes.append(line(_slot((x, y), width), "cut", closed=True))
        notes.append(f"{np.hypot(x, y) / mm:.2f} mm at {np.degrees(np.arctan2(y, x)):.2f} deg")
    shapes.append(words((width / 2 + 2 * mm, width / 2 + 3 * mm), "pivot to joint: " + "; ".join(notes)))
    return made(title, shapes)


def _slot(end: tuple[float, float], width: float) -> list[tuple[float, float]]:
    """Outline of a bar with round ends about the origin and `end`."""
    direction = np.arctan2(end[1], end[0])
    # Half circles of 1 degree stray by 4e-5 of the radius.
    half = np.radians(np.linspace(90.0, 270.0, 181))
    near = [(width / 2 * np.cos(direction + a), width / 2 * np.sin(direction + a)) for a in half]
    far = [(end[0] - x, end[1] - y) for x, y in near]
    return near + far


def magnet_mount(arrangement: Arrangement, *, pivot_hole: float, title: str = "Magnet mount") -> Template:
    """Pivot and pockets of the magnets, seen along the pivot's axis with positive angles counterclockwise.

    pivot_hole: diameter, m. The sensor is marked where it stands when the control is centered.
    """
    return _mount(arrangement, pivot_hole, title, magnets=True)


def sensor_mount(arrangement: Arrangement, *, pivot_hole: float, title: str = "Sensor mount") -> Template:
    """Pivot and pocket of the sensor's package, in the frame of `magnet_mount`; a package without a size is refused."""
    return _mount(arrangement, pivot_hole, title, magnets=False)


def _mount(arrangement: Arrangement, pivot_hole: float, title: str, *, magnets: bool) -> Template:
    # Pictures need matplotlib; outlines do not, but live with them.
    from ..plots._bodies import hull, package_corners
    from ..plots._outlines import silhouette

    if not isinstance(arrangement, Arrangement):
        raise InvalidTypeError(f"an Arrangement is needed, got {type(arrangement).__name__}")
    right, up = np.eye(3)[:2]
    shapes: list[Shape] = [*hole((0.0, 0.0), _length("pivot hole", pivot_hole))]

    source = arrangement.source
    group = source.magnets if isinstance(source, MagnetsOverPlate) else source
    notes = []
    for magnet in group.magnets:
        seen = silhouette(magnet, right, up) @ np.column_stack([right, up])
        shapes.append(line(hull(seen).tolist(), "cut" if magnets else "mark", closed=True))
        x, y = (float(part) for part in magnet.pose.position[:2])
        notes.append(f"({x / mm:.2f}, {y / mm:.2f}) mm")
    package = arrangement.package
    if package is None and not magnets:
        raise InvalidValueError("the sensor's package has no size; give the arrangement a SensorPackage")
    pose = arrangement.sensor_pose
    if package is not None:
        corners = package_corners(pose, (package.width, package.height, package.thickness))
        seen = corners @ np.column_stack([right, up])
        shapes.append(line(hull(seen).tolist(), "mark" if magnets else "cut", closed=True))
    face_x, face_y = (float(part) for part in pose.position[:2])
    shapes += [
        line([(face_x - 1 * mm, face_y), (face_x + 1 * mm, face_y)], "mark", closed=False),
        line([(face_x, face_y - 1 * mm), (face_x, face_y + 1 * mm)], "mark", closed=False),
    ]
    top = max(y for shape in shapes for _, y in getattr(shape, "points", ((0.0, 0.0),))) * mm
    lines = [f"center of magnet from pivot: {'; '.join(notes)}"]
    lines.append(f"center of the sensor's face from pivot: ({face_x / mm:.2f}, {face_y / mm:.2f}) mm")
    gap = arrangement.measure("gap")
    if gap is not None:
        lines.append(f"gap {gap / mm:.2f} mm")
    shapes += [words((0.0, top + (4.0 + 4.5 * at) * mm), text) for at, text in enumerate(reversed(lines))]
    return made(title, shapes)


def gate_plate(
    gimbal: Gimbal, gate: Gate, *, height: float, stick_diameter: float, title: str = "Gate plate"
) -> Template:
    """The opening of a plate across the stick in which the gate is what the stick can reach.

    height: of the plate above the gimbal's outer axis along the neutral stick, m. stick_diameter: of the stick, or of
    the ring on it that touches, m. The plate is thin: its edge nearest the gimbal is what is drawn. x is the way along
    which the outer axis moves the stick, y that of the inner. Each point of the opening is where the round stick, cut
    slantwise by the plate, reaches furthest in that direction, to about 0.01 mm.
    """
    if not isinstance(gimbal, Gimbal):
        raise InvalidTypeError(f"a Gimbal is needed, got {type(gimbal).__name__}")
    if not isinstance(gate, Gate):
        raise InvalidTypeError(f"a Gate is needed, got {type(gate).__name__}")
    height, radius = _length("height of the plate", height), _length("stick diameter", stick_diameter) / 2
    foot, upper = (np.asarray(corner) for corner in gimbal.stick_at(0.0, 0.0)[:2])
    normal = _unit(upper - foot)
    origin = np.asarray(gimbal.outer.point)
    # The foot of the plate on the neutral stick, at the height above the outer axis.
    center = foot + (height - float((foot - origin) @ normal)) * normal
    if not 0.0 <= float((center - foot) @ normal) <= float(np.linalg.norm(upper - foot)):
        ends = [float((corner - origin) @ normal) / mm for corner in (foot, upper)]
        raise InvalidValueError(
            f"height of the plate = {height / mm:g} mm is not on the stick's first straight piece, "
            f"{ends[0]:g} to {ends[1]:g} mm"
        )
    lead = np.cross(np.asarray(gimbal.outer.direction), normal)
    right = _unit(lead - (lead @ normal) * normal)
    up = np.cross(normal, right)
    frame = np.column_stack([right, up])

    angles = _edge(gimbal, gate)
    way = np.radians(np.arange(0.0, 360.0, 0.5))
    rays = np.column_stack([np.cos(way), np.sin(way)])
    opening = np.zeros(len(rays))
    for outer, inner in angles:
        low, high = (np.asarray(corner) for corner in gimbal.stick_at(outer, inner)[:2])
        lean = _unit(high - low)
        rise = float(lean @ normal)
        if rise < 0.05:
            raise InvalidValueError("the stick lies along the plate: the gate is too wide for one")
        place = (low + float((center - low) @ normal) / rise * lean - center) @ frame
        # A cylinder about the lean: |v - (v . lean) lean| = r for v in the plate, a quadratic form of 2 x 2.
        seen = lean @ frame
        form = np.eye(2) - np.outer(seen, seen)
        a = np.einsum("ij,jk,ik->i", rays, form, rays)
        b = rays @ form @ place
        c = float(place @ form @ place) - radius**2
        inside = b**2 - a * c
        reach = np.where(inside >= 0.0, (b + np.sqrt(np.maximum(inside, 0.0))) / a, 0.0)
        opening = np.maximum(opening, reach)
    outline = rays * opening[:, None]
    size = np.ptp(outline, axis=0) / mm
    shapes: list[Shape] = [
        line(outline.tolist(), "cut", closed=True),
        line([(-5 * mm, 0.0), (5 * mm, 0.0)], "mark", closed=False),
        line([(0.0, -5 * mm), (0.0, 5 * mm)], "mark", closed=False),
        words(
            (float(outline[:, 0].min()), float(outline[:, 1].max()) + 4 * mm),
            f"opening {size[0]:.2f} x {size[1]:.2f} mm, {height / mm:g} mm above the outer axis; cross: neutral stick",
        ),
    ]
    return made(title, shapes)


_DIRECTIONS = 720


def _edge(gimbal: Gimbal, gate: Gate) -> list[tuple[float, float]]:
    """Positions along the edge of the gate, and the neutral one; each direction's furthest by bisection."""
    if not gimbal.allows(gate, 0.0, 0.0):
        raise InvalidValueError("the gate does not hold the neutral stick")
    way = np.linspace(0.0, 2.0 * np.pi, _DIRECTIONS, endpoint=False)
    # The corners of a square gate lie on none of evenly spaced directions: from each, the edge is met all along.
    low, high = np.zeros(_DIRECTIONS), np.full(_DIRECTIONS, np.pi / 2)
    for _ in range(40):
        middle = 0.5 * (low + high)
        outer, inner = middle * np.cos(way), middle * np.sin(way)
        inside = np.asarray(gimbal.allowed(gate, outer, inner))
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    edge = np.column_stack([low * np.cos(way), low * np.sin(way)])
    return [(0.0, 0.0), *((float(outer), float(inner)) for outer, inner in edge)]
