"""Grades and the working point from Python; the figures are tested in Rust against the published tables."""

import math
import pickle

import numpy as np
import pytest

import yokewright as yw
from yokewright import mm


def test_a_grade_of_the_trade_with_its_sources():
    grade = yw.magnet.Grade.named("n42 sh")
    assert grade.name == "N42SH"
    assert grade.family == "sintered NdFeB"
    assert grade.max_celsius == 150
    # IEC 60404-8-1's definition of the temperature coefficient: Br(T) = Br(20) (1 + alpha (T - 20)).
    expected = grade.remanence.nominal * (1 + grade.remanence_coefficient * 60)
    assert grade.remanence_at(80) == pytest.approx(expected, rel=1e-15)
    assert all(text and provenance for _, text, provenance in grade.sources)


def test_every_grade_survives_pickling():
    grades = yw.magnet.Grade.all()
    assert len(grades) > 40
    for grade in grades:
        assert pickle.loads(pickle.dumps(grade)) == grade


def test_figures_are_printed_to_be_typed_back():
    for figure in (
        yw.magnet.RatedValue(min=1.0),
        yw.magnet.RatedValue(typical=1.0),
        yw.magnet.RatedValue(min=1.0, typical=2.0),
        yw.magnet.RatedValue(min=1.0, max=2.0),
    ):
        assert eval(repr(figure), {"RatedValue": yw.magnet.RatedValue}) == figure
        assert pickle.loads(pickle.dumps(figure)) == figure
    with pytest.raises(yw.InvalidValueError):
        yw.magnet.RatedValue()
    with pytest.raises(yw.InvalidValueError):
        yw.magnet.RatedValue(typical=1.0, max=2.0)


def test_a_grade_that_does_not_exist_is_told_with_its_neighbors():
    with pytest.raises(yw.InvalidValueError, match="N42"):
        yw.magnet.Grade.named("N43")


def test_too_hot_is_told():
    with pytest.raises(yw.InvalidValueError, match="maximum working temperature of 80 degC"):
        yw.magnet.Grade.named("N42").remanence_at(90)
    with pytest.raises(yw.InvalidValueError, match="lowest, nominal, highest"):
        yw.magnet.Grade.named("N42").remanence_at(60, "typical")


def test_the_factors_of_a_shape():
    j = [0, 0, 1.3]
    # A cube and any sphere: a third each, by symmetry; the sum is 1 for every shape.
    assert yw.magnet.demagnetizing_factor(yw.magnet.Block([5 * mm] * 3, j)) == pytest.approx(1 / 3, abs=1e-12)
    for magnet in (
        yw.magnet.Block([10 * mm, 4 * mm, 2 * mm], j),
        yw.magnet.Cylinder(10 * mm, 4 * mm, j),
        yw.magnet.Ring(12 * mm, 5 * mm, 2 * mm, j),
    ):
        factors = yw.magnet.demagnetizing_factors(magnet)
        assert factors.shape == (3,)
        assert factors.sum() == pytest.approx(1, abs=1e-10)
        assert yw.magnet.demagnetizing_factor(magnet) == factors[2]
        assert yw.magnet.demagnetizing_factor(magnet, [1, 0, 0]) == factors[0]


def test_the_working_point_lies_on_both_lines():
    disc = yw.magnet.Cylinder(20 * mm, 3 * mm, [0, 0, 1.3])
    factor = yw.magnet.demagnetizing_factor(disc)
    point = yw.magnet.WorkingPoint(yw.magnet.Grade.named("N42"), factor, celsius=60)
    for line in (point.recoil_line, point.load_line):
        assert line(point.field_strength) == pytest.approx(point.flux_density, rel=1e-12)
    assert point.permeance_coefficient == pytest.approx((1 - factor) / factor)
    assert 0 < point.reversible_loss < 0.06
    assert pickle.loads(pickle.dumps(point)) == point
    assert isinstance(point.condition, str)


def test_mass_and_volume():
    ring = yw.magnet.Ring(12 * mm, 5 * mm, 2 * mm, [0, 0, 1.2])
    volume = math.pi / 4 * (12**2 - 5**2) * 2 * mm**3
    assert ring.volume == pytest.approx(volume, rel=1e-14)
    grade = yw.magnet.Grade.named("N42")
    assert grade.mass(ring) == pytest.approx(grade.density.nominal * volume, rel=1e-14)
    assert yw.magnet.Block([1 * mm, 2 * mm, 3 * mm], [0, 0, 1]).volume == pytest.approx(6 * mm**3)


def test_a_grade_of_ones_own():
    grade = yw.magnet.Grade(
        name="club stock",
        remanence=yw.magnet.RatedValue(min=1.2, typical=1.25),
        intrinsic_coercivity=1.0e6,
        remanence_coefficient=-0.0012,
        coercivity_coefficient=-0.006,
        recoil_permeability=1.05,
        density=7500,
        min_celsius=-20,
        max_celsius=70,
        sources=[("all", "measured on the bench", "common practice")],
    )
    assert grade.remanence.lowest == 1.2
    assert grade.family == "other"
    assert pickle.loads(pickle.dumps(grade)) == grade
    assert np.isfinite(grade.knee_at(20))
