"""Steel plates and pull from Python: boundary condition, action and reaction, energy, pickling."""

import pickle

import numpy as np
import pytest

import yokewright as yw
from public_names import PUBLIC
from yokewright import deg, mm

J = (0.2, -0.3, 1.1)


def magnets():
    return yw.magnet.MagnetGroup(
        [
            yw.magnet.Block((5 * mm, 4 * mm, 3 * mm), J, yw.Pose((0, 0, 6 * mm), (0.3, 0.2, 0.1))),
            yw.magnet.Cylinder(6 * mm, 3 * mm, J, yw.Pose((9 * mm, 2 * mm, 8 * mm), (0.5, 0, 0))),
            yw.magnet.Ring(8 * mm, 3 * mm, 2 * mm, J, yw.Pose((-9 * mm, 0, 9 * mm), (0, 0.7, 0))),
        ]
    )


def test_on_the_face_of_steel_the_field_stands_at_right_angles():
    """The boundary condition of infinitely permeable steel: no tangential H in the air."""
    normal = np.array([0.1, -0.2, 1.0])
    plate = yw.magnet.SteelPlate((0, 0, 0), normal)
    rng = np.random.default_rng(7)
    points = rng.uniform(-20 * mm, 20 * mm, (200, 3))
    unit = normal / np.linalg.norm(normal)
    points -= np.outer(points @ unit, unit)
    # A hair in front of the face, so that rounding puts no point behind it.
    points += 1e-12 * unit
    fields, valid = plate.over(magnets()).fields_at(points)
    assert valid.all()
    tangential = fields - np.outer(fields @ unit, unit)
    # 1e-12 m off the face, where the field changes by about 100 T/m.
    assert np.abs(tangential).max() < 1e-9
    assert np.abs(fields).max() > 1e-3


def test_behind_the_face_is_marked_and_refused():
    over = yw.magnet.SteelPlate((0, 0, 0), (0, 0, 1)).over(magnets())
    fields, valid = over.fields_at([[0, 0, 1 * mm], [0, 0, -1 * mm]])
    assert valid.tolist() == [True, False]
    assert np.isnan(fields[1]).all()
    with pytest.raises(yw.NoFieldError, match="behind"):
        over.field_at((0, 0, -1 * mm))


def test_action_is_reaction():
    a = yw.magnet.Block((5 * mm,) * 3, (0, 0, 1.3))
    b = yw.magnet.Cylinder(6 * mm, 4 * mm, (0.5, 0, 1.0), yw.Pose((3 * mm, 1 * mm, 9 * mm), (0.4, 0, 30 * deg)))
    # About one and the same point, which the default is not.
    about = (0, 0, 0)
    there, back = yw.magnet.pull(a, b, about), yw.magnet.pull(b, a, about)
    # Both are within 1e-9 of the force by their own account.
    scale = np.linalg.norm(there.force)
    assert np.abs(there.force + back.force).max() < 3e-9 * scale
    assert np.abs(there.torque + back.torque).max() < 3e-9 * scale * 10 * mm


def test_force_is_the_slope_of_the_energy():
    a = yw.magnet.Block((5 * mm,) * 3, (0, 0, 1.3))

    def other(z):
        return yw.magnet.Block((4 * mm,) * 3, (0, 0.4, 1.2), yw.Pose((1 * mm, 0, z)))

    z, h = 9 * mm, 1e-3 * mm
    slope = (yw.magnet.interaction_energy(a, other(z + h)) - yw.magnet.interaction_energy(a, other(z - h))) / (2 * h)
    # The difference is off by (h / z)^2 of about 1e-8, and rounds by 1e-16 of the energy over h, the same.
    assert yw.magnet.pull(a, other(z)).force[2] == pytest.approx(-slope, rel=1e-6)


def test_steel_pulls_like_the_mirror_image():
    plate = yw.magnet.SteelPlate((0, 0, 0), (0, 0, 1))
    block = yw.magnet.Block((5 * mm,) * 3, (0, 0, 1.3), yw.Pose((0, 0, 4 * mm)))
    pull = plate.pull(block)
    assert pull.force[2] < 0
    image = yw.magnet.Block((5 * mm,) * 3, (0, 0, 1.3), yw.Pose((0, 0, -4 * mm)))
    assert pull.force[2] == pytest.approx(yw.magnet.pull(image, block).force[2], rel=1e-9)
    assert plate.gap(block) == pytest.approx(1.5 * mm, abs=1e-15)
    assert plate.thickness_for(block) > 0
    assert yw.magnet.contact_force(block) > abs(pull.force[2])


def test_a_plate_survives_pickling_and_printing():
    plate = yw.magnet.SteelPlate((0, 0, 1 * mm), (0, 1, 2))
    assert pickle.loads(pickle.dumps(plate)) == plate
    assert eval(repr(plate), {"SteelPlate": yw.magnet.SteelPlate}) == plate


def test_what_is_no_magnet_is_refused():
    with pytest.raises(TypeError, match="Magnet"):
        yw.magnet.pull(1.0, magnets())


def test_magnets_over_a_plate_are_a_source_of_field():
    plate = yw.magnet.SteelPlate((0, 0, 0), (0.1, -0.2, 1.0))
    over = plate.over(magnets())
    assert isinstance(over, yw.magnet.FieldSource)
    assert over.plate == plate
    assert over.magnets == magnets()
    assert len(over.group) == 6
    points = np.random.default_rng(3).uniform(-20 * mm, 20 * mm, (4, 25, 3))
    for one, many in [("field_at", "fields_at"), ("gradient_at", "gradients_at"), ("h_at", "hs_at")]:
        values, valid = getattr(over, many)(points)
        in_front = np.array([[plate.distance(point) >= 0 for point in row] for row in points])
        assert (valid == in_front).all()
        assert 0 < valid.sum() < valid.size
        for place in np.argwhere(valid)[:20]:
            expected = getattr(over, one)(points[tuple(place)])
            # One point and many differ by rounding.
            assert np.allclose(values[tuple(place)], expected, rtol=0, atol=1e-12 * np.abs(expected).max())
    assert over.distance((0, 0, 1 * mm)) == plate.distance((0, 0, 1 * mm))
    motion = yw.Pose((1 * mm, 2 * mm, 3 * mm), (0.1, 0.2, 0.3))
    assert over.moved(motion).field_at(motion.apply((0, 0, 2 * mm))) == pytest.approx(
        motion.matrix @ over.field_at((0, 0, 2 * mm)), abs=1e-14
    )
    for copy in (pickle.loads(pickle.dumps(over)), eval(repr(over), dict(PUBLIC))):
        assert copy == over
        assert repr(copy) == repr(over)


def test_inside_a_magnet_b_is_h_and_j():
    for magnet in magnets().magnets:
        points = np.random.default_rng(5).uniform(-4 * mm, 4 * mm, (200, 3)) + magnet.pose.position
        b, _ = magnet.fields_at(points)
        h, _ = magnet.hs_at(points)
        j, valid = magnet.polarizations_at(points)
        assert valid.all()
        # By three different sums of the same parts, of 1.2 T together.
        assert np.abs(b - yw.mu0 * h - j).max() < 1e-13
        inside = np.abs(j).max(axis=1) > 0
        assert 0 < inside.sum() < 200
        assert (inside == [magnet.distance(point) < 0 for point in points]).all()
        assert (j[inside] == magnet.polarization_at(points[inside][0])).all()
