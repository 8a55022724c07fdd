"""Numbers that are none, too great or too small, in every slot of magnets, steel, materials and poses.

Finite in gives finite out or an error; what is not finite gives an error or, at many points, NaN and False.
"""

import math

import numpy as np
import pytest

import yokewright as yw
from yokewright import deg, mm

NOT_FINITE = (math.nan, math.inf, -math.inf)
FINITE = (0.0, -0.0, 1e-320, -1e-320, 1e-160, 1e-20, 90.0, 1e155, -1e155, 1e160, 1e308, -1e308)

J = (0.3, -0.2, 1.1)
AT = (0.02, 0.01, -0.03)
POINT = (0.004, 0.005, 0.012)
SHAPES = {
    "block": yw.magnet.Block((5 * mm, 4 * mm, 3 * mm), J),
    "cylinder": yw.magnet.Cylinder(6 * mm, 3 * mm, J),
    "ring": yw.magnet.Ring(8 * mm, 3 * mm, 2 * mm, J),
    "sphere": yw.magnet.Sphere(6 * mm, J),
}
GROUP = yw.magnet.MagnetGroup([SHAPES["block"], SHAPES["ring"].moved(yw.Pose((20 * mm, 0, 0)))])
PLATE = yw.magnet.SteelPlate((0, 0, -0.01), (0.1, 0.0, 1.0))
TABLE = yw.magnet.SteelPlate((0, 0, -0.01), (0.0, 0.0, 1.0))
GRADE = yw.magnet.Grade.named("N42")
WORKING = yw.magnet.WorkingPoint(GRADE, 0.3)
LINE = yw.axis.linearity([0.0, 1.0, 2.0], [0.1, 0.9, 2.2]).independent_line
AREA = yw.magnet.ActiveArea.rectangle(0.2 * mm, 0.1 * mm, yw.Pose((0, 0, 5 * mm)))


def tried(magnet):
    """All that a magnet tells, at a point in the open."""
    beside = yw.magnet.Sphere(2 * mm, J, yw.Pose((0.0, 0.0, 0.05)))
    told = [
        magnet.field_at(POINT),
        magnet.gradient_at(POINT),
        magnet.h_at(POINT),
        magnet.polarization_at(POINT),
    ]
    told += [
        magnet.distance(POINT),
        magnet.volume,
        magnet.polarization,
        magnet.pose,
        yw.magnet.contact_force(magnet),
    ]
    told += [yw.magnet.demagnetizing_factors(magnet), yw.magnet.interaction_energy(magnet, beside)]
    return [*told, yw.magnet.pull(magnet, beside)]


def grade(remanence, coercivity, coefficients, recoil, density, celsius, more):
    return yw.magnet.Grade(
        name="club stock",
        remanence=yw.magnet.RatedValue(min=remanence[0], typical=remanence[1]),
        intrinsic_coercivity=coercivity,
        remanence_coefficient=coefficients[0],
        coercivity_coefficient=coefficients[1],
        recoil_permeability=recoil,
        density=density,
        min_celsius=celsius[0],
        max_celsius=celsius[1],
        sources=[("all", "measured on the bench", "common practice")],
        squareness=more[0],
        normal_coercivity=more[1],
        energy_product=more[2],
        curie_celsius=more[3],
    )


GRADE_ARGUMENTS = ((1.2, 1.25), 1.0e6, (-0.0012, -0.006), 1.05, 7500.0, (-20.0, 70.0), (0.9, 9e5, 3e5, 310.0))
POSED = ((0.001, 0.002, 0.003), (0.1, 0.2, 0.3))

CALLS = {
    "Pose": (lambda at, turn: yw.Pose(at, turn), POSED),
    "Pose.from_axis_angle": (yw.Pose.from_axis_angle, (AT, (0.0, 0.0, 1.0), 0.3)),
    "Pose.from_quaternion": (
        lambda at, q: yw.Pose.from_quaternion(at, w=q[0], x=q[1], y=q[2], z=q[3]),
        (AT, (0.5, 0.5, 0.5, 0.5)),
    ),
    "Pose.from_directions": (yw.Pose.from_directions, (AT, (1.0, 0.0, 0.0), (0.0, 1.0, 0.5))),
    "Pose.from_matrix": (yw.Pose.from_matrix, (AT, ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))),
    "Pose @ Pose": (lambda at, turn: yw.Pose(at, turn) @ yw.Pose(AT, (0.0, 1.0, 0.5)), POSED),
    "Pose.inverse": (lambda at, turn: yw.Pose(at, turn).inverse(), POSED),
    "Pose.apply": (lambda at, turn, points: yw.Pose(at, turn).apply(points), (*POSED, (AT, POINT))),
    "Block": (
        lambda size, j, at, turn: tried(yw.magnet.Block(size, j, yw.Pose(at, turn))),
        ((5 * mm, 4 * mm, 3 * mm), J, *POSED),
    ),
    "Cylinder": (
        lambda d, length, j, at, turn: tried(yw.magnet.Cylinder(d, length, j, yw.Pose(at, turn))),
        (6 * mm, 3 * mm, J, *POSED),
    ),
    "Ring": (
        lambda d, bore, length, j, at, turn: tried(yw.magnet.Ring(d, bore, length, j, yw.Pose(at, turn))),
        (8 * mm, 3 * mm, 2 * mm, J, *POSED),
    ),
    "Sphere": (lambda d, j, at, turn: tried(yw.magnet.Sphere(d, j, yw.Pose(at, turn))), (6 * mm, J, *POSED)),
    **{
        f"{name} at a point": (
            lambda p, magnet=magnet: [
                magnet.field_at(p),
                magnet.gradient_at(p),
                magnet.h_at(p),
                magnet.polarization_at(p),
                magnet.distance(p),
            ],
            (POINT,),
        )
        for name, magnet in {**SHAPES, "group": GROUP}.items()
    },
    **{
        f"{name} moved": (
            lambda at, turn, magnet=magnet: magnet.moved(yw.Pose(at, turn)).field_at(POINT),
            POSED,
        )
        for name, magnet in {**SHAPES, "group": GROUP}.items()
    },
    "ActiveArea.rectangle": (
        lambda w, h, at, turn: yw.magnet.ActiveArea.rectangle(w, h, yw.Pose(at, turn)).mean_field(GROUP),
        (0.2 * mm, 0.1 * mm, (0.0, 0.0, 5 * mm), (0.1, 0.0, 0.0)),
    ),
    "ActiveArea.disc": (
        lambda d, at, turn: yw.magnet.ActiveArea.disc(d, yw.Pose(at, turn)).mean_field(GROUP),
        (0.2 * mm, (0.0, 0.0, 5 * mm), (0.1, 0.0, 0.0)),
    ),
    "ActiveArea.mean_field": (lambda tolerance: AREA.mean_field(GROUP, tolerance), (1e-6,)),
    "SteelPlate": (
        lambda at, normal: [
            yw.magnet.SteelPlate(at, normal).gap(GROUP),
            yw.magnet.SteelPlate(at, normal).over(GROUP).field_at(POINT),
        ],
        ((0.0, 0.0, -0.01), (0.1, 0.0, 1.0)),
    ),
    "SteelPlate.distance": (PLATE.distance, (POINT,)),
    "SteelPlate.thickness_for": (
        lambda saturation: TABLE.thickness_for(SHAPES["sphere"], saturation),
        (2.0,),
    ),
    "SteelPlate.thickness_for a weak magnet": (
        lambda j: TABLE.thickness_for(yw.magnet.Sphere(6 * mm, j)),
        (J,),
    ),
    "SteelPlate.pull": (lambda about, tolerance: PLATE.pull(SHAPES["sphere"], about, tolerance), (AT, 1e-6)),
    "MagnetsOverPlate.field_at": (PLATE.over(GROUP).field_at, (POINT,)),
    "pull": (
        lambda about, tolerance: yw.magnet.pull(SHAPES["block"], SHAPES["sphere"].moved(yw.Pose(AT)), about, tolerance),
        (AT, 1e-6),
    ),
    "RatedValue": (
        lambda a, b: [yw.magnet.RatedValue(min=a, typical=b), yw.magnet.RatedValue(min=a, max=b)],
        (1.0, 2.0),
    ),
    "RatedValue of one": (lambda a: [yw.magnet.RatedValue(min=a), yw.magnet.RatedValue(typical=a)], (1.0,)),
    "Grade": (
        lambda *args: [grade(*args), grade(*args).remanence_at(50.0), grade(*args).knee_at(50.0)],
        GRADE_ARGUMENTS,
    ),
    "Grade at a temperature": (
        lambda t: [GRADE.remanence_at(t), GRADE.intrinsic_coercivity_at(t), GRADE.knee_at(t)],
        (40.0,),
    ),
    "WorkingPoint": (
        lambda n, t, h: yw.magnet.WorkingPoint(GRADE, n, celsius=t, external_field=h),
        (0.3, 40.0, -1e5),
    ),
    "WorkingPoint.recoil_line": (WORKING.recoil_line, (-1e5,)),
    "WorkingPoint.load_line": (WORKING.load_line, (-1e5,)),
    "demagnetizing_factor": (
        lambda d: yw.magnet.demagnetizing_factor(SHAPES["block"], d),
        ((0.1, 0.2, 0.3),),
    ),
    "Line.at": (LINE.at, (0.5,)),
}


def slots(arguments):
    """The way to every number in nested tuples."""
    if isinstance(arguments, tuple):
        return [(i, *rest) for i, part in enumerate(arguments) for rest in slots(part)]
    return [()]


def with_slot(arguments, way, value):
    if not way:
        return value
    return tuple(with_slot(part, way[1:], value) if i == way[0] else part for i, part in enumerate(arguments))


def numbers(value):
    """All numbers that a result holds, through lists, arrays and the attributes of its objects."""
    if value is None or isinstance(value, (bool, str)):
        return []
    if isinstance(value, (int, float, np.ndarray)):
        return [float(part) for part in np.ravel(value)]
    if isinstance(value, (list, tuple)):
        return [number for part in value for number in numbers(part)]
    names = [name for name in dir(value) if not name.startswith("_")]
    told = [getattr(value, name) for name in names]
    return [number for part in told if not callable(part) for number in numbers(part)]


@pytest.mark.parametrize("name", CALLS)
def test_finite_numbers_give_finite_results_or_an_error(name):
    call, arguments = CALLS[name]
    assert np.isfinite(numbers(call(*arguments))).all()
    for way in slots(arguments):
        for value in FINITE:
            try:
                result = call(*with_slot(arguments, way, value))
            except yw.YokewrightError:
                continue
            assert np.isfinite(numbers(result)).all(), f"{value} at {way}: {result}"


@pytest.mark.parametrize("name", CALLS)
def test_what_is_not_finite_is_refused(name):
    call, arguments = CALLS[name]
    for way in slots(arguments):
        for value in NOT_FINITE:
            with pytest.raises(yw.YokewrightError):
                call(*with_slot(arguments, way, value))


MANY = {
    **{f"{name}.fields_at": magnet.fields_at for name, magnet in {**SHAPES, "group": GROUP}.items()},
    **{f"{name}.gradients_at": magnet.gradients_at for name, magnet in {**SHAPES, "group": GROUP}.items()},
    "MagnetsOverPlate.fields_at": PLATE.over(GROUP).fields_at,
}


@pytest.mark.parametrize("name", MANY)
def test_at_many_points_what_is_not_finite_is_marked(name):
    clean = np.array([POINT, AT, (0.02, 0.03, 0.04)])
    for value in (*NOT_FINITE, *FINITE):
        for axis in range(3):
            points = clean.copy()
            points[1, axis] = value
            values, valid = MANY[name](points)
            assert valid[0]
            assert valid[2]
            assert np.isfinite(values[valid]).all()
            assert np.isnan(values[~valid]).all()
            if not math.isfinite(value):
                assert not valid[1]


def test_the_usual_slip_of_a_pose_is_named():
    with pytest.raises(yw.InvalidValueError, match="rotation z = 90 rad is outside"):
        yw.Pose((0, 0, 0), (0, 0, 90))
    assert yw.Pose((0, 0, 0), (0, 0, 90 * deg)).matrix[1, 0] == pytest.approx(1)
