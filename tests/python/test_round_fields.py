"""Cylinder and ring against SciPy's integration of their surface charge; none of our formulas is used."""

import numpy as np
import pytest
from scipy.integrate import dblquad

import yokewright as yw
from yokewright import mm

J_AXIAL = (0.0, 0.0, 1.3)
J_ACROSS = (1.3, 0.0, 0.0)
POINTS = [
    (3 * mm, 1 * mm, 4 * mm),
    (7 * mm, -2 * mm, 0.5 * mm),
    (0.0, 0.0, 6 * mm),
    (-1 * mm, 9 * mm, -3 * mm),
]


def charge_field(point, outer, inner, length, polarization):
    """B outside, the integral of (J . n) r / (4 pi r^3) over ends and mantles, with SciPy's estimate."""
    point = np.asarray(point)
    total, error = np.zeros(3), 0.0

    def kernel(place, charge, k):
        r = point - place
        return charge * r[k] / np.dot(r, r) ** 1.5

    for k in range(3):
        if polarization[2]:
            for side in (-1, 1):

                def end(rho, phi, side=side, k=k):
                    place = np.array([rho * np.cos(phi), rho * np.sin(phi), side * length / 2])
                    return kernel(place, side * polarization[2], k) * rho

                value, estimate = dblquad(end, 0, 2 * np.pi, inner, outer, epsabs=1e-12, epsrel=1e-11)
                total[k] += value
                error = max(error, estimate)
        if polarization[0]:
            for radius, outward in ((outer, 1), (inner, -1)):
                if radius == 0:
                    continue

                def mantle(z, phi, radius=radius, outward=outward, k=k):
                    place = np.array([radius * np.cos(phi), radius * np.sin(phi), z])
                    return kernel(place, outward * polarization[0] * np.cos(phi), k) * radius

                value, estimate = dblquad(mantle, 0, 2 * np.pi, -length / 2, length / 2, epsabs=1e-12, epsrel=1e-11)
                total[k] += value
                error = max(error, estimate)
    return total / (4 * np.pi), error


@pytest.mark.parametrize("polarization", [J_AXIAL, J_ACROSS])
@pytest.mark.parametrize("point", POINTS)
@pytest.mark.parametrize(("outer", "inner"), [(5 * mm, 0.0), (5 * mm, 2 * mm)])
def test_beside_scipy(outer, inner, point, polarization):
    length = 4 * mm
    if inner:
        magnet = yw.magnet.Ring(2 * outer, 2 * inner, length, polarization)
    else:
        magnet = yw.magnet.Cylinder(2 * outer, length, polarization)
    expected, error = charge_field(point, outer, inner, length, polarization)
    # Six integrals at most, each within SciPy's own estimate; 1e-12 of about 1 T is our promise.
    assert np.abs(magnet.field_at(point) - expected).max() < 6 * error + 1e-12


def test_far_away_a_sphere_is_all_a_cylinder_looks_like():
    """Of equal volume and polarization the dipole is the same; the next term falls by (size / distance)^2."""
    cylinder = yw.magnet.Cylinder(6 * mm, 5 * mm, (0.3, 0.2, 1.1))
    sphere = yw.magnet.Sphere((6 * cylinder.volume / np.pi) ** (1 / 3), (0.3, 0.2, 1.1))
    point = np.array([3.0, -2.0, 4.0])
    assert np.allclose(cylinder.field_at(point), sphere.field_at(point), rtol=1e-5, atol=0)
