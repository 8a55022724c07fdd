"""A pedal pair of two unlike sides, worked out anew from its joints: angles, reach, figures, forces."""

import numpy as np
import pytest
from scipy.optimize import brentq

import yokewright as yw
from yokewright import deg, mm

LEFT = {"pivot": (0, 120 * mm, 0), "direction": (0, 1, 0), "joint": (0, 43 * mm, 90 * mm)}
RIGHT = {
    "pivot": (8 * mm, -125 * mm, 5 * mm),
    "direction": (0.06, 1, -0.1),
    "joint": (4 * mm, -50 * mm, 102 * mm),
}
LEFT_CRANK = {
    "pivot": (-150 * mm, 0, 85 * mm),
    "direction": (0, 0, 1),
    "joint": (-150 * mm, 45 * mm, 85 * mm),
}
RIGHT_CRANK = {
    "pivot": (-150 * mm, 0, 85 * mm),
    "direction": (0, 0, 1),
    "joint": (-144 * mm, -38 * mm, 90 * mm),
}
PADS = {"left": (-10 * mm, 120 * mm, 180 * mm), "right": (0, -125 * mm, 170 * mm)}
PUSHES = {"left": (1, 0, 0), "right": (1, 0, 0.2)}
SIDES = {"left": (LEFT, LEFT_CRANK), "right": (RIGHT, RIGHT_CRANK)}
# The library goes by closed forms; Newton's method here ends at 1e-14.
ROOT = 1e-12


def pair(left_stops=None, right_stops=None, limit=None, crank_limit=None, crank_stops=None):
    stud = {} if limit is None else {"stud": (0, 1, 0), "swivel_limit": limit}
    crank_stud = {} if crank_limit is None else {"stud": (0, 0, 1), "swivel_limit": crank_limit}
    return yw.linkage.PedalPair(
        yw.linkage.Pedal(yw.linkage.Arm(**LEFT, **stud), PADS["left"], PUSHES["left"], stops=left_stops),
        yw.linkage.Pedal(yw.linkage.Arm(**RIGHT, **stud), PADS["right"], PUSHES["right"], stops=right_stops),
        yw.linkage.Arm(**LEFT_CRANK, **crank_stud),
        yw.linkage.Arm(**RIGHT_CRANK, **crank_stud),
        crank_stops=crank_stops,
    )


def axis(arm):
    direction = np.array(arm["direction"], float)
    return direction / np.linalg.norm(direction)


def turned(vector, about, angle):
    """Rodrigues' rotation."""
    c, s = np.cos(angle), np.sin(angle)
    return vector * c + np.cross(about, vector) * s + about * (about @ vector) * (1 - c)


def carried(point, arm, angle):
    pivot = np.array(arm["pivot"], float)
    return pivot + turned(np.array(point, float) - pivot, axis(arm), angle)


def joints(foot, pedal, crank):
    arm, crank_arm = SIDES[foot]
    return carried(arm["joint"], arm, pedal), carried(crank_arm["joint"], crank_arm, crank)


def pedal_at(foot, crank):
    """The pedal's angle by Newton's method, step by step from neutral; None where it is lost."""
    arm, _ = SIDES[foot]
    a, b = joints(foot, 0.0, 0.0)
    square = (a - b) @ (a - b)
    pedal = 0.0
    for step in np.linspace(0.0, crank, 2 + int(abs(crank) / 0.06))[1:]:
        for _ in range(8):
            a, b = joints(foot, pedal, step)
            slope = 2 * np.cross(axis(arm), a - np.array(arm["pivot"])) @ (a - b)
            change = ((a - b) @ (a - b) - square) / slope
            pedal -= change
            if abs(change) < 1e-14:
                break
        else:
            return None
    return pedal


def pedal_per_crank(foot, pedal, crank):
    """Both joints move alike along the rod."""
    arm, crank_arm = SIDES[foot]
    a, b = joints(foot, pedal, crank)
    way_a = np.cross(axis(arm), a - np.array(arm["pivot"]))
    way_b = np.cross(axis(crank_arm), b - np.array(crank_arm["pivot"]))
    return (way_b @ (a - b)) / (way_a @ (a - b))


def advance(foot, pedal):
    push = np.array(PUSHES[foot], float)
    way = carried(PADS[foot], SIDES[foot][0], pedal) - PADS[foot]
    return way @ push / np.linalg.norm(push)


def swivels(foot, pedal, crank):
    """By how far the rod leaves the planes square to the studs, at the pedal and at the crank."""
    arm, _ = SIDES[foot]
    a, b = joints(foot, pedal, crank)
    rod = (b - a) / np.linalg.norm(b - a)
    stud, crank_stud = turned(np.array([0, 1.0, 0]), axis(arm), pedal), np.array([0, 0, 1.0])
    return np.arcsin(abs(rod @ stud)), np.arcsin(abs(rod @ crank_stud))


@pytest.mark.parametrize("crank", np.array([-25, -10, 0, 7, 22]) * deg)
def test_each_angle_from_each_other(crank):
    pedals = {foot: pedal_at(foot, crank) for foot in SIDES}
    rates = {foot: pedal_per_crank(foot, pedals[foot], crank) for foot in SIDES} | {"crank": 1.0}
    angles = pedals | {"crank": crank}
    for given, angle in angles.items():
        pose = pair().pose(given, angle)
        rows = pair().poses(given, [angle])
        for member in angles:
            found = getattr(pose, member)
            ratio = rates[member] / rates[given]
            assert found.angle == pytest.approx(angles[member], abs=ROOT)
            assert found.ratio == pytest.approx(ratio, abs=ROOT * 100)
            assert getattr(rows, member)[0] == pytest.approx(angles[member], abs=ROOT)
            assert getattr(rows, f"{member}_ratio")[0] == pytest.approx(ratio, abs=ROOT * 100)


def first_event(events, sense):
    """The crank angle at which the first of the events changes sign, and which it is."""

    def where(crank):
        pedals = {foot: pedal_at(foot, crank) for foot in SIDES}
        if None in pedals.values():
            return None
        return {name: event(pedals, crank) for name, event in events.items()}

    step = 0.5 * deg * sense
    inside = 0.0
    while inside + step != inside and abs(step) > 1e-13:
        now = where(inside + step)
        if now is not None and all(value > 0 for value in now.values()):
            inside += step
        else:
            step *= 0.5
    beyond = where(inside + 1e-9 * sense)
    return inside, min(beyond, key=beyond.get)


@pytest.mark.parametrize("sense", [-1, 1])
@pytest.mark.parametrize(
    "limits",
    [
        {"left_stops": (-14 * deg, 11 * deg), "right_stops": (-12 * deg, 15 * deg)},
        {
            "left_stops": (-30 * deg, 30 * deg),
            "right_stops": (-9 * deg, 30 * deg),
            "crank_stops": (-18 * deg, 33 * deg),
        },
        {"limit": 6.2 * deg, "crank_limit": 20 * deg, "left_stops": (-25 * deg, 25 * deg)},
        {"limit": 20 * deg, "crank_limit": 4.7 * deg, "left_stops": (-20 * deg, 20 * deg)},
    ],
    ids=range(4),
)
def test_what_comes_first(limits, sense):
    events = {}
    for foot in SIDES:
        stops = limits.get(f"{foot}_stops")
        if stops:
            events["stop", foot] = lambda at, _, foot=foot, stops=stops: min(at[foot] - stops[0], stops[1] - at[foot])
        if "limit" in limits:
            events["pedal swivel", foot] = lambda at, crank, foot=foot: (
                limits["limit"] - swivels(foot, at[foot], crank)[0]
            )
            events["crank swivel", foot] = lambda at, crank, foot=foot: (
                limits["crank_limit"] - swivels(foot, at[foot], crank)[1]
            )
    if "crank_stops" in limits:
        lower, upper = limits["crank_stops"]
        events["stop", "crank"] = lambda _, crank: min(crank - lower, upper - crank)
    crank, (limit, member) = first_event(events, sense)
    end = pair(**limits).reach()[(sense + 1) // 2]
    assert (end.limit, end.member) == (limit, member)
    # Halving ends at 1e-13.
    assert end.crank == pytest.approx(crank, abs=1e-11)
    assert end.left == pytest.approx(pedal_at("left", crank), abs=1e-10)
    assert end.right == pytest.approx(pedal_at("right", crank), abs=1e-10)


def test_locks_come_where_a_rod_points_at_a_pivot():
    lower, upper = pair().reach()
    assert {lower.limit, upper.limit} == {"lock"}
    for end in (lower, upper):
        foot = end.member
        arm, crank_arm = SIDES[foot]
        a, b = joints(foot, getattr(end, foot), end.crank)
        rod = (b - a) / np.linalg.norm(b - a)
        levers = [
            np.cross(axis(part), joint - np.array(part["pivot"])) @ rod for part, joint in ((arm, a), (crank_arm, b))
        ]
        # A lever vanishes there with the root of a rounding of the angle.
        assert min(map(abs, levers)) < 1e-8
        # Nothing of either side locks before.
        for share in np.linspace(0.02, 0.98, 25):
            assert pedal_at("left", share * end.crank) is not None
            assert pedal_at("right", share * end.crank) is not None


def test_figures_by_a_scan():
    limits = {"left_stops": (-14 * deg, 11 * deg), "right_stops": (-12 * deg, 15 * deg)}
    points = 41
    figures = pair(**limits).figures(points)
    lower, upper = (end.crank for end in pair(**limits).reach())
    cranks = np.linspace(lower, upper, points)
    left, right = (np.array([pedal_at(foot, crank) for crank in cranks]) for foot in ("left", "right"))
    left_rate, right_rate = (
        np.array([pedal_per_crank(foot, angle, crank) for angle, crank in zip(angles, cranks, strict=True)])
        for foot, angles in (("left", left), ("right", right))
    )
    ends = lambda values: pytest.approx((min(values), max(values)), abs=1e-11)  # noqa: E731
    assert figures.left == ends(left)
    assert figures.right == ends(right)
    assert figures.crank == ends(cranks)
    left_way, right_way = (
        [advance(foot, angle) for angle in angles] for foot, angles in (("left", left), ("right", right))
    )
    assert figures.left_advance == ends([left_way[0], left_way[-1]])
    assert figures.right_advance == ends([right_way[0], right_way[-1]])
    assert figures.mean_advance == ends(0.5 * np.add(left_way, right_way))
    assert figures.crank_ratios == ends(1 / left_rate)
    assert figures.other_ratios == ends(right_rate / left_rate)
    neutral = {foot: pedal_per_crank(foot, 0.0, 0.0) for foot in SIDES}
    assert figures.crank_ratio == pytest.approx(1 / neutral["left"], abs=1e-11)
    assert figures.other_ratio == pytest.approx(neutral["right"] / neutral["left"], abs=1e-11)
    common = np.linspace(-1, 1, points) * min(-lower, upper)
    unlike = [
        advance("left", pedal_at("left", crank)) - advance("right", pedal_at("right", -crank)) for crank in common
    ]
    assert figures.asymmetry == pytest.approx(max(np.abs(unlike)), abs=1e-11)
    # The two sides are unlike, so that a side taken for the other shows in every figure.
    assert figures.asymmetry > 1 * mm
    assert abs(figures.other_ratio + 1) > 0.05


@pytest.mark.parametrize(("foot", "angle"), [("left", 8 * deg), ("left", -6 * deg), ("right", 5 * deg)])
def test_forces_by_balance_of_each_part(foot, angle):
    """Moments about the hinge, the crank's pivot and the other hinge; then forces on the crank."""
    other = "right" if foot == "left" else "left"
    crank = brentq(lambda crank: pedal_at(foot, crank) - angle, -0.6, 0.6, xtol=1e-14)
    at = {foot: angle, other: pedal_at(other, crank)}
    hinges = {name: SIDES[name][0] for name in SIDES}

    def moment(arm, point, force):
        return axis(arm) @ np.cross(point - np.array(arm["pivot"], float), force)

    def push(name, size):
        direction = np.array(PUSHES[name], float)
        return size * direction / np.linalg.norm(direction)

    pull = {}
    for name in SIDES:
        a, b = joints(name, at[name], crank)
        pull[name] = (b - a) / np.linalg.norm(b - a)
    torque = moment(hinges[foot], carried(PADS[foot], hinges[foot], angle), push(foot, 400.0))
    a, b = joints(foot, angle, crank)
    tension = -torque / moment(hinges[foot], a, pull[foot])
    on_crank = -tension * pull[foot]
    crank_torque = moment(LEFT_CRANK, b, on_crank)
    other_a, other_b = joints(other, at[other], crank)
    other_tension = -crank_torque / moment(LEFT_CRANK, other_b, -pull[other])
    other_torque = moment(hinges[other], other_a, other_tension * pull[other])
    lever = moment(hinges[other], carried(PADS[other], hinges[other], at[other]), push(other, 1.0))

    loads = pair().loads(foot, angle, 400.0)
    close = {"rel": 1e-9}
    assert loads.torque == pytest.approx(torque, **close)
    assert loads.rod_force == pytest.approx(tension, **close)
    assert loads.crank_torque == pytest.approx(crank_torque, **close)
    assert loads.other_rod_force == pytest.approx(other_tension, **close)
    assert loads.other_torque == pytest.approx(other_torque, **close)
    assert loads.other_force == pytest.approx(-other_torque / lever, **close)
    assert loads.crank_reaction == pytest.approx(tension * pull[foot] + other_tension * pull[other], **close)
    # Pushed forward, with the crank behind: the rod pulls, and so does the other one.
    assert loads.rod_force > 0
    assert loads.other_rod_force > 0


def test_the_way_of_a_pad():
    for foot in SIDES:
        for angle in (-0.3, 0.0, 0.4):
            pad = pair().pad(foot, angle)
            point = carried(PADS[foot], SIDES[foot][0], angle)
            arm = np.array(PADS[foot]) - np.array(SIDES[foot][0]["pivot"])
            radius = np.linalg.norm(np.cross(axis(SIDES[foot][0]), arm))
            assert pad.point == pytest.approx(point, abs=1e-15)
            assert pad.arc == pytest.approx(radius * angle, abs=1e-15)
            assert pad.chord == pytest.approx(np.linalg.norm(point - PADS[foot]), abs=1e-15)
            assert pad.advance == pytest.approx(advance(foot, angle), abs=1e-15)
            step = 1e-5
            slope = (advance(foot, angle + step) - advance(foot, angle - step)) / (2 * step)
            # The third derivative over 1e-5 rad, and roundings over the step.
            assert pad.advance_per_angle == pytest.approx(slope, abs=1e-10)


def test_rows_beyond_the_rods_have_no_angles():
    poses = pair().poses("left", [*np.linspace(0, 3, 31), np.nan])
    assert poses.valid[0]
    assert not poses.valid[20:].all()
    for member in ("left", "right", "crank"):
        np.testing.assert_array_equal(np.isnan(getattr(poses, member)), ~poses.valid)


def test_stops_the_wrong_way_round():
    with pytest.raises(yw.InvalidValueError, match="exchanged"):
        pair(left_stops=(10 * deg, -10 * deg))
    with pytest.raises(yw.InvalidValueError, match="exchanged"):
        pair(crank_stops=(10 * deg, -10 * deg))
