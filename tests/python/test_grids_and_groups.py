"""Points on grids and under masks, poses by other ways, groups in groups, sizes and constants."""

import pickle

import numpy as np
import pytest

import yokewright as yw

J = (0.3, -0.2, 1.1)
BLOCK = yw.magnet.Block([5 * yw.mm, 4 * yw.mm, 3 * yw.mm], J, yw.Pose((1 * yw.mm, 0, 0)))
RING = yw.magnet.Ring(8 * yw.mm, 3 * yw.mm, 2 * yw.mm, J, yw.Pose((0, 0, 20 * yw.mm)))
MAGNETS = [BLOCK, RING, yw.magnet.MagnetGroup([BLOCK, RING])]
GRID = np.random.default_rng(5).uniform(-20 * yw.mm, 20 * yw.mm, (4, 5, 3))
OVER = yw.magnet.SteelPlate((0, 0, -0.05), (0, 0, 1)).over(MAGNETS[0])
MANY = [call for magnet in MAGNETS for call in (magnet.fields_at, magnet.gradients_at)] + [OVER.fields_at]


@pytest.mark.parametrize("call", MANY)
def test_points_come_on_a_grid_of_any_shape(call):
    flat, flat_valid = call(GRID.reshape(-1, 3))
    values, valid = call(GRID)
    assert values.shape == (4, 5, *flat.shape[1:])
    assert valid.shape == (4, 5)
    assert (values.reshape(flat.shape) == flat).all()
    assert (valid.ravel() == flat_valid).all()
    # Neither order in memory nor nesting in lists matters.
    assert (call(np.asfortranarray(GRID))[0] == values).all()
    assert (call(GRID.tolist())[0] == values).all()
    one, one_valid = call(GRID[1, 2])
    assert one.shape == flat.shape[1:]
    assert one_valid.shape == ()
    assert one_valid
    # One point takes the way of many, alone in its batch.
    assert one == pytest.approx(values[1, 2], rel=1e-11, abs=1e-13)
    none, none_valid = call(np.empty((2, 0, 3)))
    assert none.shape == (2, 0, *flat.shape[1:])
    assert none_valid.shape == (2, 0)
    for wrong in (np.zeros((3, 2)), np.zeros(2), np.zeros((2, 3, 4)), 1.0):
        with pytest.raises(yw.InvalidValueError, match=r"\(\.\.\., 3\) is needed"):
            call(wrong)


def test_masked_points_have_no_value():
    points = np.ma.masked_array(GRID[0].copy(), mask=False)
    points[2, 1] = np.ma.masked
    # What lies under the mask is a place like any other.
    points.data[2, 1] = 0.011
    for call in MANY:
        values, valid = call(points)
        assert valid.tolist() == [True, True, False, True, True]
        assert np.isnan(values[2]).all()
        assert (values[3] == call(GRID[0])[0][3]).all()
    whole = np.ma.masked_array([[1, 2, 3]], mask=[[False, True, False]])
    assert not MAGNETS[0].fields_at(whole)[1].any()
    for masked in (points[2], whole[0]):
        with pytest.raises(yw.InvalidValueError, match="point y is NaN"):
            MAGNETS[0].field_at(masked)
    with pytest.raises(yw.InvalidValueError, match="point y is NaN"):
        yw.Pose().apply(points)
    # Nothing masked: as any array.
    assert (
        MAGNETS[0].field_at(np.ma.masked_array([0.01, 0.02, 0.03])) == MAGNETS[0].field_at([0.01, 0.02, 0.03])
    ).all()


def test_poses_by_axis_quaternion_and_directions():
    at = (0.1, 0.2, 0.3)
    axis, angle = np.array([1.0, -2.0, 0.5]), 0.7
    unit = axis / np.linalg.norm(axis)
    by_axis = yw.Pose.from_axis_angle(at, axis, angle)
    assert by_axis.rotation == pytest.approx(unit * angle, rel=1e-14)
    assert by_axis.position == pytest.approx(at)
    x, y, z = unit * np.sin(angle / 2)
    by_quaternion = yw.Pose.from_quaternion(at, w=np.cos(angle / 2), x=x, y=y, z=z)
    assert by_quaternion.matrix == pytest.approx(by_axis.matrix, abs=1e-15)
    end = by_axis.matrix @ np.cross(unit, (0, 0, 1))
    turned = yw.Pose.from_directions(at, np.cross(unit, (0, 0, 1)), 3 * end)
    assert turned.matrix == pytest.approx(by_axis.matrix, abs=1e-15)
    assert pickle.loads(pickle.dumps(turned)) == turned
    with pytest.raises(yw.InvalidValueError, match="onto its opposite"):
        yw.Pose.from_directions(at, (0, 0, 1), (0, 0, -2))
    with pytest.raises(yw.InvalidValueError, match="length of the quaternion"):
        yw.Pose.from_quaternion(at, w=1, x=1, y=0, z=0)
    grid = by_axis.apply(GRID)
    assert grid.shape == GRID.shape
    assert grid == pytest.approx(GRID @ by_axis.matrix.T + at, abs=1e-15)


def test_groups_nest_and_tell_volume_and_center():
    block = yw.magnet.Block([10 * yw.mm] * 3, [0, 0, 1.2])
    ball = yw.magnet.Sphere(10 * yw.mm, [0, 0, 1.2], yw.Pose((30 * yw.mm, 0, 0)))
    pair = yw.magnet.MagnetGroup([block, ball])
    share = np.pi / 6
    assert pair.volume == pytest.approx(1e-6 * (1 + share))
    assert pair.center == pytest.approx([30 * yw.mm * share / (1 + share), 0, 0])
    assert yw.magnet.Grade.named("N42").mass(pair) == pytest.approx(7500 * pair.volume)
    four = yw.magnet.MagnetGroup([pair, pair.moved(yw.Pose((0, 20 * yw.mm, 0)))])
    assert len(four) == 4
    assert four.distance((0, 0, 8 * yw.mm)) == pytest.approx(3 * yw.mm)
    assert pickle.loads(pickle.dumps(four)) == four
    with pytest.raises(yw.CollisionError, match=r"magnets 0 and 1 of the group .* reach 2 mm into each other"):
        yw.magnet.MagnetGroup([block, block.moved(yw.Pose((8 * yw.mm, 0, 0)))])
    hole = yw.magnet.Cylinder(4 * yw.mm, 10 * yw.mm, [0, 0, -1.2])
    drilled = yw.magnet.MagnetGroup.superposed([block, hole])
    assert drilled.is_superposed
    assert drilled.volume is None
    assert drilled.polarization_at((0, 0, 0)) == pytest.approx([0, 0, 0])
    assert repr(drilled).startswith("MagnetGroup.superposed(magnets=[Block(")
    assert pickle.loads(pickle.dumps(drilled)) == drilled
    with pytest.raises(yw.InvalidValueError, match="has no volume"):
        yw.magnet.Grade.named("N42").mass(drilled)
    # Left out, the torque is about what is acted on.
    far = drilled.moved(yw.Pose((1.0, 2.0, 3.0)))
    beside = far.moved(yw.Pose((0.0, 0.0, 0.03), (0.0, 0.0, 0.2)))
    assert (yw.magnet.pull(far, beside).torque == yw.magnet.pull(far, beside, about=beside.center).torque).all()
    plate = yw.magnet.SteelPlate((0, 0, 0), (0, 0, 1))
    assert (plate.pull(far).torque == plate.pull(far, far.center).torque).all()


def test_an_active_area_tells_its_size():
    plate = yw.magnet.ActiveArea.rectangle(0.2 * yw.mm, 0.1 * yw.mm)
    assert (plate.width, plate.height, plate.diameter) == (0.2 * yw.mm, 0.1 * yw.mm, None)
    assert plate.surface == pytest.approx(0.02e-6)
    disc = yw.magnet.ActiveArea.disc(0.2 * yw.mm)
    assert (disc.width, disc.height, disc.diameter) == (None, None, 0.2 * yw.mm)
    assert disc.surface == pytest.approx(np.pi * 0.01e-6)


def test_the_magnetic_constant():
    block = MAGNETS[0]
    point = block.pose.position + np.array([0, 0, 1 * yw.mm])
    inside = yw.mu0 * block.h_at(point) + block.polarization_at(point)
    assert inside == pytest.approx(block.field_at(point), rel=1e-12)
    # CODATA 2022, and SciPy's within what they measure.
    assert yw.mu0 == pytest.approx(4e-7 * np.pi, rel=1e-9)
