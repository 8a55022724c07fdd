"""The output of a ball-joint rod at its locks, in fifty digits beside the library's sixteen."""

import mpmath as mp
import numpy as np
import pytest

import yokewright as yw

mp.mp.dps = 50


def vector(v):
    return mp.matrix([mp.mpf(float(x)) for x in v])


def dot(a, b):
    return sum(x * y for x, y in zip(a, b, strict=True))


def cross(a, b):
    return mp.matrix([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


def turned(arm, angle):
    """The joint of an arm on its way round the pivot."""
    axis = vector(arm.direction)
    axis /= mp.sqrt(dot(axis, axis))
    r = vector(arm.joint) - vector(arm.pivot)
    along = axis * dot(axis, r)
    return vector(arm.pivot) + along + (r - along) * mp.cos(angle) + cross(axis, r) * mp.sin(angle)


def circle(arm):
    """Center, and the two radii of the joint's circle: at neutral and a quarter turn on."""
    axis = vector(arm.direction)
    axis /= mp.sqrt(dot(axis, axis))
    r = vector(arm.joint) - vector(arm.pivot)
    along = axis * dot(axis, r)
    return vector(arm.pivot) + along, r - along, cross(axis, r)


def lock(rod, start):
    """Input and output where two output angles are one, to fifty digits; slope and size of what vanishes."""
    center, one, other = circle(rod.output)
    square = mp.mpf(float(rod.rod_length)) ** 2
    radius = dot(one, one)

    def reach(angle):
        d = turned(rod.input, angle) - center
        # |d|^2 + b^2 - 2 (d.one cos psi + d.other sin psi) = L^2
        return dot(d, one), dot(d, other), (dot(d, d) + radius - square) / 2

    def discriminant(angle):
        p, q, c = reach(angle)
        return p * p + q * q - c * c

    angle = mp.findroot(discriminant, (mp.mpf(start), mp.mpf(start) + mp.mpf(10) ** -12), tol=1e-60)
    slope = mp.diff(discriminant, angle)
    p, q, c = reach(angle)
    return angle, mp.atan2(q * mp.sign(c), p * mp.sign(c)), slope, (p * p + q * q)


def rods(count):
    rng = np.random.default_rng(7)
    found = 0
    while found < count:
        arms = []
        for _ in range(2):
            pivot, direction, joint = rng.uniform(-0.3, 0.3, (3, 3))
            arms.append(yw.linkage.Arm(pivot, direction, joint))
        try:
            rod = yw.linkage.BallRod(*arms)
        except ValueError:
            continue
        if rod.travel is not None:
            found += 1
            yield rod


def test_the_output_at_a_lock_has_its_digits():
    worst = 0.0
    for rod in rods(150):
        outputs = rod.output_travel
        for end, angle in zip(rod.reach(), rod.travel, strict=True):
            exact, output, slope, square = lock(rod, angle)
            # Roundings of the discriminant, over its slope, move the lock and with it the output.
            sharpness = float(1 + square / abs(slope))
            tolerance = 1e-14 * sharpness * (1 + 0.3 / rod.output.length)
            assert abs(float(exact - mp.mpf(angle))) <= tolerance
            for got in (end.output, rod.output_angle(angle), rod.output_angle(angle, assembly="other")):
                off = float(mp.mpf(got) - output)
                off -= 2 * np.pi * round(off / (2 * np.pi))
                assert abs(off) <= tolerance
                worst = max(worst, abs(off) / tolerance)
            assert end.input == angle
            assert end.limit == "lock"
            assert rod.transmission_angle(angle) == 0.0
            if outputs is not None:
                assert outputs[0] - 1e-12 <= end.output <= outputs[1] + 1e-12
    # A bound that nothing comes near would hold for wrong digits too.
    assert worst > 1e-3


@pytest.mark.parametrize("longer", [0.0, 4e-3, -4e-3])
def test_driven_from_the_other_end_it_comes_back(longer):
    for rod in rods(60):
        try:
            rod = yw.linkage.BallRod(rod.input, rod.output, rod_length=rod.rod_length + longer)
        except ValueError:
            continue
        # Where the rod points at the input pivot the output cannot drive the input.
        a, b = rod.joints(0.0)
        axis = np.cross(rod.input.direction, a - rod.input.pivot)
        if abs(np.dot(axis, b - a)) < 1e-5 * rod.input.length * rod.rod_length:
            continue
        back = rod.reversed()
        low, high = rod.travel
        for share in (0.0, 0.01, -0.01):
            angle = share * (high if share > 0 else -low)
            there = rod.output_angle(angle)
            assert back.output_angle(there) == pytest.approx(angle, abs=1e-9)
