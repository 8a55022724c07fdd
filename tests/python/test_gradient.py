"""Gradient, H and J from Python: identities of magnetostatics, shapes, masks."""

import math

import numpy as np
import pytest

import yokewright as yw
from yokewright import mm

J = (0.3, -0.4, 1.0)
POSE = yw.Pose((1 * mm, 2 * mm, 3 * mm), (0.2, -0.3, 0.4))
MAGNETS = [
    yw.magnet.Block((5 * mm, 4 * mm, 3 * mm), J, POSE),
    yw.magnet.Cylinder(6 * mm, 3 * mm, J, POSE),
    yw.magnet.Ring(8 * mm, 3 * mm, 2 * mm, J, POSE),
    yw.magnet.Sphere(6 * mm, J, POSE),
    yw.magnet.MagnetGroup(
        [yw.magnet.Block((5 * mm,) * 3, J, POSE), yw.magnet.Sphere(4 * mm, J, yw.Pose((20 * mm, 0, 0)))]
    ),
]
MU_0 = 1.25663706127e-6  # CODATA 2022, H/m


@pytest.mark.parametrize("magnet", MAGNETS)
def test_gradient_is_the_derivative_of_the_field(magnet):
    rng = np.random.default_rng(3)
    points = rng.normal(size=(50, 3))
    points *= 15 * mm / np.linalg.norm(points, axis=1)[:, None]
    gradients, valid = magnet.gradients_at(points)
    assert gradients.shape == (50, 3, 3)
    assert valid.all()
    scale = np.abs(gradients).max(axis=(1, 2))
    # Maxwell without currents: no divergence, no curl.
    assert (np.abs(np.trace(gradients, axis1=1, axis2=2)) < 1e-12 * scale).all()
    assert (np.abs(gradients - gradients.transpose(0, 2, 1)).max(axis=(1, 2)) <= 1e-12 * scale).all()
    # A central difference over h is off by (h / distance)^2, some 1e-7 here, and rounds by 1e-16 |B| / h.
    h = 1e-3 * mm
    for k, step in enumerate(np.eye(3) * h):
        column = (magnet.fields_at(points + step)[0] - magnet.fields_at(points - step)[0]) / (2 * h)
        assert (np.abs(column - gradients[:, :, k]).max(axis=1) < 1e-5 * scale).all()
    assert np.allclose(magnet.gradient_at(points[0]), gradients[0], rtol=0, atol=1e-12 * scale[0])


@pytest.mark.parametrize("magnet", MAGNETS)
def test_flux_density_is_field_strength_and_polarization(magnet):
    for point in (POSE.apply([[0.1 * mm, 0.2 * mm, 0.1 * mm]])[0], (9 * mm, 1 * mm, -4 * mm)):
        b, h, j = magnet.field_at(point), magnet.h_at(point), magnet.polarization_at(point)
        # Round shapes promise B and H to 1e-12 of about 1 T each.
        assert np.abs(b - MU_0 * h - j).max() < 2e-12


def test_inside_a_sphere_h_opposes_by_a_third():
    """Demagnetizing factor 1/3 (any text on magnetostatics): H = -J / (3 mu0)."""
    h = yw.magnet.Sphere(6 * mm, (0, 0, 1.2)).h_at((1 * mm, 0, 0))
    assert h == pytest.approx([0, 0, -0.4 / MU_0], rel=1e-15)


def test_rows_without_a_gradient_are_marked():
    cube = yw.magnet.Block((2 * mm,) * 3, (0, 0, 1))
    gradients, valid = cube.gradients_at([[0, 0, 5 * mm], [1 * mm, 1 * mm, 0], [math.nan, 0, 0]])
    assert valid.tolist() == [True, False, False]
    assert np.isnan(gradients[1:]).all()
    with pytest.raises(yw.NoFieldError):
        cube.gradient_at((1 * mm, 1 * mm, 0))
