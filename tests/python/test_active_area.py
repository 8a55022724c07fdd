"""The mean over an active area from Python, beside SciPy's integration of the point field."""

import pickle

import numpy as np
import pytest
from scipy.integrate import dblquad

import yokewright as yw
from yokewright import mm

MAGNET = yw.magnet.Cylinder(6 * mm, 4 * mm, (0.2, 0.3, 1.2))
POSE = yw.Pose((1 * mm, -0.5 * mm, 4 * mm), (0.3, 0.2, -0.1))


def component(x, y, k):
    return MAGNET.field_at(POSE.apply([[x, y, 0.0]])[0])[k]


def test_a_rectangle_beside_scipy():
    width, height = 1.5 * mm, 0.8 * mm
    mean = yw.magnet.ActiveArea.rectangle(width, height, POSE).mean_field(MAGNET)
    for k in range(3):
        total, error = dblquad(lambda y, x, k=k: component(x, y, k), -width / 2, width / 2, -height / 2, height / 2)
        # SciPy's own estimate, and the tolerance of 1e-9 asked for by default.
        assert mean.value[k] == pytest.approx(total / (width * height), abs=error / (width * height) + 1e-9)
    assert mean.error_estimate < 1e-9
    assert mean.points >= 4


def test_a_disc_beside_scipy():
    radius = 0.6 * mm
    mean = yw.magnet.ActiveArea.disc(2 * radius, POSE).mean_field(MAGNET)
    area = np.pi * radius**2
    for k in range(3):
        total, error = dblquad(
            lambda r, a, k=k: component(r * np.cos(a), r * np.sin(a), k) * r, 0, 2 * np.pi, 0, radius
        )
        assert mean.value[k] == pytest.approx(total / area, abs=error / area + 1e-9)


def test_areas_survive_pickling_and_printing():
    names = {"ActiveArea": yw.magnet.ActiveArea, "Pose": yw.Pose}
    for area in (yw.magnet.ActiveArea.rectangle(1 * mm, 2 * mm, POSE), yw.magnet.ActiveArea.disc(1 * mm)):
        assert pickle.loads(pickle.dumps(area)) == area
        assert eval(repr(area), names) == area
