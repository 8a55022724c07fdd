"""Gimbals, universal joints, gates and obstacles through the boundary, and against SciPy."""

import pickle

import numpy as np
import pytest
from scipy.optimize import minimize, minimize_scalar
from scipy.spatial.transform import Rotation

import yokewright as yw
from public_names import PUBLIC
from yokewright import deg, mm

ORIGIN = (0.0, 0.0, 0.0)
PITCH = yw.linkage.Pivot(ORIGIN, (0, 1, 0))
ROLL = yw.linkage.Pivot((0, 0, 10 * mm), (1, 0, 0))
STRAIGHT = [ORIGIN, (0, 0, 450 * mm)]
CRANKED = [ORIGIN, (0, 0, 250 * mm), (-80 * mm, 0, 400 * mm), (-80 * mm, 0, 520 * mm)]
SEAT = yw.linkage.Obstacle.block((0.45, 0.5, 0.1), yw.Pose((-0.45, 0, 0.3), (0, 5 * deg, 0)))
LEG = yw.linkage.Obstacle.capsule((-0.25, 0.18, 0.4), (0.15, 0.22, 0.45), 75 * mm)
COLUMN = yw.linkage.Obstacle.cylinder(60 * mm, 0.4, yw.Pose((0.25, -0.05, 0.4), (0.3, 0.2, 0)))
ROUND = yw.linkage.Gate.round(18 * deg)
SQUARE = yw.linkage.Gate.square((-20 * deg, 20 * deg), (-18 * deg, 18 * deg))
FIVE = yw.linkage.Gate.polygon([[0.3, 0.0], [0.1, 0.3], [-0.2, 0.2], [-0.25, -0.2], [0.1, -0.25]])
NAMES = {name: PUBLIC[name] for name in ("Gate", "Gimbal", "Obstacle", "Pivot", "Pose", "UniversalJoint")}


def gimbal(**changes):
    given = {"outer": PITCH, "inner": ROLL, "stick": CRANKED, "stick_radius": 12 * mm, "grip_radius": 50 * mm}
    return yw.linkage.Gimbal(**given | changes)


def test_grips_against_scipy_rotations():
    rng = np.random.default_rng(1)
    outer, inner = rng.uniform(-1, 1, (2, 200))
    positions, turns, valid = gimbal().grips_at(outer, inner)
    roll = Rotation.from_rotvec(inner[:, None] * [1, 0, 0])
    pitch = Rotation.from_rotvec(outer[:, None] * [0, 1, 0])
    center = ROLL.point
    expected = pitch.apply(center + roll.apply(np.array(CRANKED[-1]) - center))
    assert valid.all()
    np.testing.assert_allclose(positions, expected, atol=1e-15)
    np.testing.assert_allclose(turns, (pitch * roll).as_rotvec(), atol=1e-14)
    one = gimbal().grip_at(outer[3], inner[3])
    np.testing.assert_allclose(one.position, positions[3], atol=1e-16)
    np.testing.assert_allclose(gimbal().stick_at(outer[3], inner[3])[-1], positions[3], atol=1e-16)
    tilts, valid = gimbal().tilts(outer, inner)
    assert valid.all()
    np.testing.assert_allclose(np.cos(tilts), np.cos(outer) * np.cos(inner), atol=1e-15)


def test_refused_rows_are_nan_and_false():
    positions, turns, valid = gimbal().grips_at([0.1, np.nan, 4.0], [0.2, 0.0, 0.0])
    assert valid.tolist() == [True, False, False]
    assert np.isnan(positions[1:]).all()
    assert np.isnan(turns[1:]).all()
    for values, valid in (
        gimbal().tilts([0.0, 9.0], [0, 0]),
        gimbal().sensors_at([0.0, 9.0], [0, 0]),
        gimbal().clearances_at([0.0, 9.0], [0, 0], [SEAT]),
    ):
        assert valid.tolist() == [True, False]
        assert np.isfinite(values[0]).all()
        assert np.isnan(values[1]).all()
    assert gimbal().allowed(SQUARE, [0.0, np.nan, 0.4], [0, 0, 0]).tolist() == [True, False, False]
    with pytest.raises(yw.InvalidValueError, match="outer angles has 2 entries but inner angles has 1"):
        gimbal().grips_at([0, 1], [0])


def test_inverses():
    stick = gimbal()
    outer, inner = 14 * deg, -9 * deg
    there = stick.grip_at(outer, inner)
    direction = there.matrix @ stick.stick_direction
    assert stick.angles_for_direction(5 * direction) == pytest.approx((outer, inner), abs=1e-14)
    back = stick.angles_for_grip(there.position)
    assert back[:2] == pytest.approx((outer, inner), abs=1e-12)
    assert back[2] < 1e-15
    # From a point 3 mm farther out along the outer arm the grip misses by just that.
    out = there.position * [1, 0, 1] / np.linalg.norm(there.position * [1, 0, 1])
    assert stick.angles_for_grip(there.position + 3 * mm * out)[2] == pytest.approx(3 * mm, rel=1e-12)
    with pytest.raises(yw.InvalidValueError, match="height of the point along the outer axis"):
        stick.angles_for_grip((0, 0.8, 0))


def test_travel():
    travel = gimbal(stick=STRAIGHT).travel("outer", (-20 * deg, 20 * deg))
    assert travel.radius == pytest.approx(0.45)
    assert travel.arc == pytest.approx(0.45 * 40 * deg)
    assert travel.chord == pytest.approx(2 * 0.45 * np.sin(20 * deg))
    assert gimbal(stick=STRAIGHT).travel("inner", (0, 10 * deg)).radius == pytest.approx(0.44)
    aside = gimbal(stick=STRAIGHT).travel("outer", (0, 10 * deg), other=30 * deg)
    assert aside.radius == pytest.approx(10 * mm + 0.44 * np.cos(30 * deg))


def test_sensors_are_those_of_a_universal_joint():
    outer, inner = np.meshgrid(np.linspace(-0.6, 0.6, 7), np.linspace(-0.6, 0.6, 9))
    outer, inner = outer.ravel(), inner.ravel()
    across, _ = gimbal().sensors_at(outer, inner, "joint across")
    np.testing.assert_allclose(np.tan(across[:, 1]), np.tan(inner) / np.cos(outer), atol=1e-14)
    along, _ = gimbal().sensors_at(outer, inner, "joint along outer")
    np.testing.assert_allclose(np.tan(along[:, 1]), np.tan(inner) * np.cos(outer), atol=1e-14)
    joint = yw.linkage.UniversalJoint(bend=abs(outer[5]), phase=0.0)
    assert joint.transfer(inner[5]).angle == pytest.approx(across[5, 1], abs=1e-14)
    many, one = joint.transfers([inner[5], np.nan]), joint.transfer(inner[5])
    assert (many.angles[0], many.ratios[0], many.curvatures[0]) == (one.angle, one.ratio, one.curvature)
    assert many.valid.tolist() == [True, False]
    assert np.isnan(many.angles[1])
    with pytest.raises(yw.InvalidValueError, match="inner sensor: 'glued' is not known"):
        gimbal().sensor_angles(0.1, 0.1, "glued")


def test_greatest_acceleration_of_a_universal_joint_against_a_search():
    joint = yw.linkage.UniversalJoint(35 * deg)
    found = minimize_scalar(
        lambda g: joint.transfer(g).curvature,
        bounds=(0, np.pi / 2),
        method="bounded",
        options={"xatol": 1e-10},
    )
    fork, curvature = joint.max_curvature
    assert fork == pytest.approx(found.x, abs=1e-7)
    assert curvature == pytest.approx(-found.fun, rel=1e-13)


@pytest.mark.parametrize("gate", [ROUND, SQUARE, FIVE], ids=["round", "square", "polygon"])
def test_extremes_against_samples(gate):
    stick = gimbal()
    tolerance = 1e-6
    envelope = stick.envelope(gate, step=1 * deg, tolerance=tolerance)
    assert envelope.edge.shape == (len(envelope.edge_grips), 2)
    assert envelope.inside.shape == (len(envelope.inside_grips), 2)
    assert stick.allowed(gate, *envelope.edge.T).all()
    assert stick.allowed(gate, *envelope.inside.T).all()
    everywhere = np.vstack([envelope.edge_grips, envelope.inside_grips])
    low, high = everywhere.min(axis=0), everywhere.max(axis=0)
    # Samples never go farther, and a degree between them leaves no more than a few tenths of a millimeter.
    for certified, sampled in ((envelope.lowest, -low), (-envelope.highest, high)):
        assert (certified - tolerance <= -sampled).all()
        assert (-sampled - certified <= 0.5 * mm).all()
    for angles, coordinates in (
        (envelope.lowest_angles, envelope.lowest),
        (envelope.highest_angles, envelope.highest),
    ):
        for axis in range(3):
            there = stick.grip_at(*angles[axis]).position[axis]
            assert there == pytest.approx(coordinates[axis], abs=1e-15)


@pytest.mark.parametrize("gate", [ROUND, SQUARE, FIVE], ids=["round", "square", "polygon"])
@pytest.mark.parametrize(
    "obstacles", [[SEAT], [LEG], [COLUMN], [SEAT, LEG, COLUMN]], ids=["seat", "leg", "column", "all"]
)
def test_clearance_against_a_grid_and_a_search(gate, obstacles):
    stick = gimbal()
    tolerance = 0.01 * mm
    clearance = stick.clearance(gate, obstacles, tolerance)
    outer, inner = (part.ravel() for part in np.meshgrid(*2 * [np.linspace(-0.4, 0.4, 161)]))
    allowed = stick.allowed(gate, outer, inner)
    distances, _ = stick.clearances_at(outer[allowed], inner[allowed], obstacles)
    assert clearance.distance - tolerance <= distances.min()
    assert distances.min() - clearance.distance < 5 * mm
    best = np.argmin(distances)

    def outside(angles):
        if not stick.allows(gate, *angles):
            return 1.0
        return stick.clearance_at(*angles, obstacles).distance

    # From the best sample on, a search that knows no bounds gets close to the certified minimum, never below.
    start = [outer[allowed][best], inner[allowed][best]]
    found = minimize(outside, start, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-9})
    assert clearance.distance - tolerance <= found.fun
    assert stick.allows(gate, *clearance.angles)
    again = stick.clearance_at(*clearance.angles, obstacles)
    assert again == clearance
    gap = np.linalg.norm(clearance.stick_point - clearance.obstacle_point)
    radius = obstacles[clearance.obstacle].sizes.get("radius", 0.0)
    stick_radius = stick.grip_radius if clearance.piece is None else stick.stick_radius
    assert clearance.distance == pytest.approx(gap - radius - stick_radius, abs=1e-15)


def test_collision_is_told():
    wall = yw.linkage.Obstacle.block((0.02, 1.0, 1.0), yw.Pose((0.1, 0, 0.5)))
    stick = gimbal(stick=STRAIGHT)
    clearance = stick.clearance(SQUARE, [wall])
    assert clearance.collides
    assert clearance.distance == -50 * mm  # the whole radius of the grip
    assert stick.clearance_at(-20 * deg, 0, [wall]).distance > 0
    with pytest.raises(yw.InvalidValueError, match="obstacles: 0 given"):
        stick.clearance(SQUARE, [])


def test_refusals():
    with pytest.raises(yw.InvalidValueError, match="angle between the axes"):
        gimbal(inner=yw.linkage.Pivot(ORIGIN, (0, 1, 0.01)))
    with pytest.raises(yw.InvalidValueError, match="corners of the stick: 1 given"):
        gimbal(stick=[ORIGIN])
    with pytest.raises(yw.InvalidValueError, match=r"did you mean 20 \* deg"):
        yw.linkage.Gate.round(20)
    with pytest.raises(yw.InvalidValueError, match="distance between sides of the gate"):
        yw.linkage.Gate.polygon([[0, 0], [0.3, 0.3], [0.3, 0], [0, 0.3]])
    with pytest.raises(yw.InvalidValueError, match="outer angle of the gate"):
        yw.linkage.Gate.square((0.2, -0.2), (-0.1, 0.1))
    # A stick that leans 70 degrees toward the outer axis cannot tilt 30 degrees farther toward it.
    leaning = gimbal(stick=[ORIGIN, (0, 0.94, 0.34)])
    with pytest.raises(yw.InvalidValueError, match="tilt of the gate"):
        leaning.allows(yw.linkage.Gate.round(30 * deg), 0, 0)
    with pytest.raises(TypeError):
        gimbal().clearance(SQUARE, [SEAT, "wall"])


def test_pickle_and_repr():
    values = [PITCH, SEAT, LEG, COLUMN, ROUND, SQUARE, FIVE, gimbal(), yw.linkage.UniversalJoint(0.3, 0.1)]
    for value in values:
        assert pickle.loads(pickle.dumps(value)) == value
        assert eval(repr(value), NAMES) == value
    assert gimbal() != gimbal(stick=STRAIGHT)
