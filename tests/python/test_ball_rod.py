"""Ball-joint rods and coupled pedals from Python, beside SciPy's root finders."""

import pickle

import numpy as np
import pytest
from scipy.optimize import brentq, fsolve
from scipy.spatial.transform import Rotation

import yokewright as yw
from public_names import PUBLIC
from yokewright import deg, mm

# Roots that SciPy finds to about 1e-12 of an angle of order one.
ROOT = 1e-9


def rod(**changes):
    pedal = yw.linkage.Arm(pivot=(0, 80 * mm, 0), direction=(0.1, 1, -0.2), joint=(5 * mm, 40 * mm, 95 * mm))
    crank = yw.linkage.Arm(pivot=(-170 * mm, 0, 70 * mm), direction=(0, 0.1, 1), joint=(-165 * mm, 45 * mm, 85 * mm))
    return yw.linkage.BallRod(pedal, crank, **changes)


def pair(**changes):
    hinge = yw.linkage.Arm(
        pivot=(0, 120 * mm, 0),
        direction=(0, 1, 0),
        joint=(0, 70 * mm, 90 * mm),
        stud=(0, 1, 0),
        swivel_limit=25 * deg,
    )
    pedal = yw.linkage.Pedal(hinge, pad=(-10 * mm, 120 * mm, 180 * mm), push=(1, 0, 0), stops=(-15 * deg, 15 * deg))
    crank = yw.linkage.Arm(pivot=(-150 * mm, 0, 90 * mm), direction=(0, 0, 1), joint=(-150 * mm, 45 * mm, 90 * mm))
    return yw.linkage.PedalPair.mirrored(pedal, crank, **changes)


def carried(arm, angle):
    """The arm's joint by SciPy's rotations."""
    turn = Rotation.from_rotvec(angle * arm.direction)
    return arm.pivot + turn.apply(arm.joint - arm.pivot)


def miss(linkage, angle, output):
    between = carried(linkage.input, angle) - carried(linkage.output, output)
    return np.linalg.norm(between) - linkage.rod_length


@pytest.mark.parametrize("angle", [-0.3, -0.1, 0.0, 0.2, 0.35])
def test_the_output_beside_scipy(angle):
    linkage = rod()
    expected = brentq(lambda output: miss(linkage, angle, output), -1.2, 1.2, xtol=1e-14)
    assert linkage.transfer(angle).angle == pytest.approx(expected, abs=ROOT)
    other = linkage.output_angle(angle, assembly="other")
    assert abs(miss(linkage, angle, other)) < 1e-15
    assert abs(other - expected) > 0.1


def test_a_coupled_pair_beside_scipy():
    linkage = pair()
    left, right = linkage.rod("left"), linkage.rod("right")
    for angle in (-12 * deg, 3 * deg, 14 * deg):
        crank, other = fsolve(
            lambda x, angle=angle: [1e3 * miss(left, angle, x[0]), 1e3 * miss(right, x[1], x[0])],
            [0.0, 0.0],
            xtol=1e-13,
        )
        pose = linkage.pose("left", angle)
        assert pose.crank.angle == pytest.approx(crank, abs=ROOT)
        assert pose.right.angle == pytest.approx(other, abs=ROOT)


def test_locks_beside_scipy():
    linkage = rod()
    low, high = linkage.travel
    for end in (low, high):
        # At a lock the distance of the joints has an extreme of just the rod length.
        output = linkage.output_angle(end)
        step = 1e-6
        slope = (miss(linkage, end, output + step) - miss(linkage, end, output - step)) / (2 * step)
        assert abs(slope) < 1e-8
        assert abs(miss(linkage, end, output)) < 1e-15
    with pytest.raises(yw.YokewrightError):
        linkage.transfer(high + 1e-3)


def test_many_angles():
    linkage = rod()
    angles = np.linspace(-1.5, 1.5, 301)
    transfers = linkage.transfers(angles)
    found, ratios, curvatures, valid = (
        transfers.angles,
        transfers.ratios,
        transfers.curvatures,
        transfers.valid,
    )
    assert found.shape == ratios.shape == curvatures.shape == valid.shape == (301,)
    assert valid.dtype == bool
    assert 0 < valid.sum() < 301
    assert np.array_equal(np.isnan(found), ~valid)
    low, high = linkage.travel
    assert np.array_equal(valid, (angles >= low) & (angles <= high))
    for i in np.flatnonzero(valid)[3:-3:20]:
        one = linkage.transfer(angles[i])
        assert (found[i], ratios[i]) == pytest.approx((one.angle, one.ratio), rel=1e-9, abs=1e-13)
    neutral, other, closes = linkage.solve_many(list(angles))
    assert np.array_equal(closes | ~valid, np.ones(301, bool))
    assert neutral[valid] == pytest.approx(found[valid], abs=1e-7)
    assert np.isfinite(other[closes]).all()
    assert linkage.transfers([]).angles.shape == (0,)
    assert all(empty.shape == (0,) for empty in linkage.solve_many([]))


def test_many_linkages():
    rods = [rod(rod_length=rod().rod_length + error * mm) for error in (-1, 0, 1)]
    angles = [-0.2, 0.0, 0.1, 0.3]
    neutral, _, valid = yw.linkage.BallRod.solve_grid(rods, angles)
    assert neutral.shape == (12,)
    assert valid.all()
    for i, linkage in enumerate(rods):
        row = neutral[4 * i : 4 * i + 4]
        assert row == pytest.approx([linkage.output_angle(angle) for angle in angles], abs=1e-13)


def test_errors_carry_words():
    with pytest.raises(yw.CannotCloseError, match="mm"):
        rod(rod_length=400 * mm)
    with pytest.raises(yw.InvalidValueError, match="needs the direction of the stud"):
        yw.linkage.Arm((0, 0, 0), (0, 0, 1), (0.1, 0, 0), swivel_limit=13 * deg)
    with pytest.raises(yw.InvalidValueError, match="left, right, crank"):
        pair().pose("middle", 0.1)
    with pytest.raises(yw.InvalidValueError, match="neutral, other"):
        rod().output_angle(0.0, assembly="crossed")


def test_reach_and_swivel():
    linkage = pair()
    lower, upper = linkage.reach()
    # The pedal that comes back goes farther than the other one goes forward.
    assert (lower.limit, lower.member) == ("stop", "right")
    assert (upper.limit, upper.member) == ("stop", "left")
    assert lower.right == pytest.approx(-15 * deg, abs=1e-12)
    assert 10 * deg < lower.left < 15 * deg
    assert upper.left == pytest.approx(lower.right, abs=1e-12)
    left = linkage.rod("left")
    swivel, none = left.swivels(10 * deg)
    assert none is None
    # The stud lies along the hinge and stays there; the rod's part along it is the sine.
    a, b = left.joints(10 * deg)
    assert np.sin(swivel) == pytest.approx((b - a)[1] / left.rod_length, abs=1e-12)
    ends = left.reach()
    assert {end.limit for end in ends} <= {"lock", "input swivel"}


def test_figures_of_a_mirrored_pair():
    figures = pair().figures()
    assert figures.asymmetry < 1e-12
    assert figures.other_ratio == pytest.approx(-1, abs=1e-12)
    assert figures.crank[0] == pytest.approx(-figures.crank[1], abs=1e-12)
    assert figures.left == pytest.approx(figures.right, abs=1e-12)
    for angle, advance in zip(figures.left, figures.left_advance, strict=True):
        expected = 180 * mm * np.sin(angle) - 10 * mm * (np.cos(angle) - 1)
        assert advance == pytest.approx(expected, abs=1e-12)


def test_pushes_beside_virtual_work():
    linkage = pair()
    angle, step = 6 * deg, 1e-5
    loads = linkage.loads("left", angle, 500.0)
    way = []
    for turned in (angle - step, angle + step):
        right = linkage.pose("left", turned).right.angle
        way.append((linkage.pad("left", turned).advance, linkage.pad("right", right).advance))
    left, right = np.subtract(way[1], way[0])
    # Central differences over 1e-5 rad.
    assert loads.other_force == pytest.approx(-500.0 * left / right, rel=1e-7)


def test_poses():
    linkage = pair()
    angles = np.linspace(-0.2, 0.2, 41)
    poses = linkage.poses("left", angles)
    assert len(poses) == 41
    assert poses.valid.all()
    assert poses.left == pytest.approx(angles)
    assert np.gradient(poses.crank, angles)[1:-1] == pytest.approx(poses.crank_ratio[1:-1], rel=1e-3)
    back = linkage.poses("crank", poses.crank)
    assert back.left == pytest.approx(angles, abs=1e-12)
    assert back.right == pytest.approx(poses.right, abs=1e-12)


def test_values_survive_pickling_and_printing():
    names = {name: PUBLIC[name] for name in ("Arm", "BallRod", "Pedal", "PedalPair")}
    values = [
        rod().input,
        pair().left.arm,
        rod(),
        rod(rod_length=190 * mm),
        pair().left,
        pair(),
        pair(crank_stops=(-0.2, 0.3)),
    ]
    for value in values:
        for protocol in range(2, pickle.HIGHEST_PROTOCOL + 1):
            assert pickle.loads(pickle.dumps(value, protocol)) == value
        assert eval(repr(value), names) == value
        assert value != object()
    assert rod() != rod(rod_length=190 * mm)


def test_a_stud_without_a_limit_tells_its_swivel():
    limited = pair().rod("left")
    arm = limited.input
    free = yw.linkage.Arm(arm.pivot, arm.direction, arm.joint, stud=arm.stud)
    assert free.swivel_limit is None
    linkage = yw.linkage.BallRod(free, limited.output)
    low, high = (linkage.swivels(angle)[0] for angle in (-0.2, 0.2))
    assert (low, high) == tuple(limited.swivels(angle)[0] for angle in (-0.2, 0.2))
    # Signed: to either side of the plane normal to the stud.
    for angle in (-0.2, 0.2):
        a, b = linkage.joints(angle)
        assert np.sin(linkage.swivels(angle)[0]) == pytest.approx(
            np.dot(arm.stud, b - a) / linkage.rod_length, abs=1e-12
        )
    assert [end.limit for end in linkage.reach() if end is not None] == ["lock", "lock"]
    assert "swivel_limit" not in repr(free)
    for value in (free, linkage):
        assert pickle.loads(pickle.dumps(value)) == value
    with pytest.raises(ValueError, match="direction of the stud"):
        yw.linkage.Arm(arm.pivot, arm.direction, arm.joint, swivel_limit=0.3)


def test_a_reversed_rod_of_another_length_is_put_together_where_it_stands():
    one = yw.linkage.Arm((40 * mm, 0, 0), (0, 0, 1), (40 * mm, 60 * mm, 0))
    other = yw.linkage.Arm((0, 0, 0), (0, 0, 1), (0, 100 * mm, 0))
    back = yw.linkage.BallRod(one, other, rod_length=40 * mm).reversed()
    assert back.start == yw.linkage.BallRod(one, other, rod_length=40 * mm).output_angle(0.0) != 0.0
    assert back.output_angle(back.start) == pytest.approx(0.0, abs=1e-12)
    assert pickle.loads(pickle.dumps(back)) == back
    assert eval(repr(back), dict(PUBLIC)) == back
    with pytest.raises(ValueError, match="cannot close at an input angle of 0 deg"):
        yw.linkage.BallRod(other, one, rod_length=40 * mm)


@pytest.mark.parametrize("value", [np.nan, np.inf, -1.0, 1e160])
def test_free_arms_refuse_what_no_arm_is(value):
    arm = rod().input
    with pytest.raises(yw.YokewrightError):
        yw.linkage.FreeArm.between(arm, value, 0.1)
    with pytest.raises(yw.YokewrightError):
        yw.linkage.FreeArm.holes(arm, [0.05, value])
    with pytest.raises(yw.YokewrightError):
        yw.linkage.FreeArm.holes(arm, [0.05], clocking=(value, 2.0))
