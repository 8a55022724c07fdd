"""The field of a block by other routes: integrated surface charge, and the textbook sum over the corners."""

from itertools import product

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import dblquad

import yokewright as yw

Floats = NDArray[np.float64]

SIZE = np.array([20.0, 15.0, 10.0]) * yw.mm
POLARIZATION = np.array([0.5, -0.7, 0.9])
BLOCK = yw.magnet.Block(SIZE, POLARIZATION)

# In units of the half sides: before each face, beside edges and corners, far out, inside.
PLACES = [
    (0.0, 0.0, 1.5),
    (0.3, -0.6, -2.0),
    (1.4, 0.2, 0.1),
    (-3.0, 0.5, 0.5),
    (0.1, 2.0, -0.4),
    (0.7, -1.3, 0.9),
    (1.2, 1.3, 0.0),
    (-1.3, 1.5, 1.4),
    (20.0, -30.0, 10.0),
    (0.0, 0.0, 0.0),
    (-0.4, 0.5, -0.3),
    (0.5, 0.6, 0.2),
]


def surface_charge(point: Floats) -> tuple[Floats, Floats]:
    """B by numerical integration of the charge J . n over the six faces, with the error that it estimates.

    The field of a charge q is q r / 4 pi r^3; inside, mu0 H is what charges give and B = mu0 H + J.
    Lengths in half the longest side, so that the integrands are of order 1.
    """
    unit = 0.5 * SIZE.max()
    half, at = 0.5 * SIZE / unit, point / unit
    b, error = np.zeros(3), np.zeros(3)
    for axis, way in product(range(3), (-1.0, 1.0)):
        u, v = (axis + 1) % 3, (axis + 2) % 3
        charge = way * POLARIZATION[axis] / (4.0 * np.pi)

        def density(dv: float, du: float, component: int, axis: int = axis, way: float = way) -> float:
            d = np.roll([at[axis] - way * half[axis], du, dv], axis)
            return float(d[component] / np.dot(d, d) ** 1.5)

        for component in range(3):
            value, estimate = dblquad(
                density,
                at[u] - half[u],
                at[u] + half[u],
                at[v] - half[v],
                at[v] + half[v],
                args=(component,),
                epsabs=1e-11,
                epsrel=1e-11,
            )
            b[component] += charge * value
            error[component] += abs(charge) * estimate
    inside = bool(np.all(np.abs(at) < half))
    return b + POLARIZATION * inside, error


def corner_sum(points: Floats) -> Floats:
    """B by the sum over the corners (Furlani 2001, ch. 4).

    ln(d + R) as arsinh, which differs by what cancels in the sum and keeps its digits where d is negative.
    """
    half = 0.5 * SIZE
    matrix = np.zeros((len(points), 3, 3))
    for sides in product((-1.0, 1.0), repeat=3):
        d = (points + sides * half).T
        sign = -np.prod(sides)
        r = np.sqrt((d * d).sum(axis=0))
        for i in range(3):
            j, k = (i + 1) % 3, (i + 2) % 3
            matrix[:, i, i] += sign * np.arctan(d[j] * d[k] / (d[i] * r))
            log = sign * np.arcsinh(d[i] / np.hypot(d[j], d[k]))
            matrix[:, j, k] -= log
            matrix[:, k, j] -= log
    inside = np.all(np.abs(points) < half, axis=1)
    return matrix @ POLARIZATION / (4.0 * np.pi) + np.outer(inside, POLARIZATION)


@pytest.mark.parametrize("place", PLACES)
def test_integrated_surface_charge(place: tuple[float, float, float]) -> None:
    point = 0.5 * SIZE * place
    expected, error = surface_charge(point)
    # What the integration itself estimates, and it must have come close enough to say something.
    assert error.max() < 1e-11 * np.linalg.norm(POLARIZATION)
    b, valid = BLOCK.fields_at([point])
    assert valid.all()
    # Beside the estimate the rounding of up to 1 T in each of the six faces.
    np.testing.assert_array_less(np.abs(b[0] - expected), error + 6 * np.finfo(float).eps)
    np.testing.assert_array_less(np.abs(BLOCK.field_at(point) - expected), error + 6 * np.finfo(float).eps)


def test_sum_over_the_corners() -> None:
    # Within three half sides: farther out the eight terms cancel, and the sum would lose the digits.
    points = 0.5 * SIZE * np.random.default_rng(5).uniform(-3.0, 3.0, (20_000, 3))
    b, valid = BLOCK.fields_at(points)
    assert valid.all()
    # Each part is a sum of 24 terms of up to 1 T, each off by a rounding of 1e-16 T; so in T, not of |B|.
    np.testing.assert_allclose(b, corner_sum(points), rtol=0.0, atol=3e-15)


def test_stored_value() -> None:
    """As in tests/reference/block_field.csv, from 160-digit arithmetic."""
    cube = yw.magnet.Block([10e-3, 10e-3, 10e-3], [0.5, -0.7, 0.6])
    expected = [-0.04316186485225764898, 0.06042661079316070475, 0.10358847564541835372]
    np.testing.assert_allclose(cube.field_at([0.0, 0.0, 9e-3]), expected, rtol=1e-13)
