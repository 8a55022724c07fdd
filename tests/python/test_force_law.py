"""What springs do between two points and about a pivot, beside SciPy's monotone cubic and its integral."""

import pickle

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

import yokewright as yw
from public_names import PUBLIC
from yokewright import deg, mm

# Share of the largest value that two evaluations of one cubic differ by.
ROUNDING = 1e-12

SPRING = yw.spring.LinearSpring(rate=400.0, free_length=60 * mm, action="above", initial_tension=3.0, longest=120 * mm)
CORD = yw.spring.ForceTable([0.20, 0.22, 0.25, 0.31, 0.40], [0.0, 9.0, 14.0, 22.0, 34.0], slack_below=True)
STRUT = yw.spring.ForceTable([0.25, 0.30, 0.35], [-260.0, -225.0, -200.0])
TWIST = yw.spring.LinearTorsionSpring(rate=0.8, free_angle=-30 * deg, action="above", max_angle=60 * deg)


@pytest.mark.parametrize("seed", range(20))
def test_a_table_beside_scipy(seed):
    random = np.random.default_rng(seed)
    count = random.integers(2, 12)
    lengths = 0.1 + np.cumsum(random.uniform(1 * mm, 80 * mm, count))
    tensions = random.uniform(-300.0, 300.0, count)
    if seed % 2:
        tensions = np.sort(tensions)
    table = yw.spring.ForceTable(lengths, tensions)
    curve = PchipInterpolator(lengths, tensions)
    at = np.linspace(lengths[0], lengths[-1], 333)
    got = table.responses(at)
    assert got.valid.all()
    assert len(got) == 333
    np.testing.assert_allclose(got.tensions, curve(at), rtol=0, atol=ROUNDING * np.abs(tensions).max())
    steepest = np.abs(np.diff(tensions) / np.diff(lengths)).max()
    np.testing.assert_allclose(got.stiffnesses, curve.derivative()(at), rtol=0, atol=100 * ROUNDING * steepest)
    rest = lengths[np.abs(tensions).argmin()]
    work = curve.antiderivative()
    np.testing.assert_allclose(got.energies, work(at) - work(rest), rtol=0, atol=ROUNDING * 300.0)


def test_a_table_has_a_stored_value():
    # By hand: the middle of a piece is the mean and an eighth of the difference of the slopes.
    table = yw.spring.ForceTable([0.0, 1.0, 2.0], [0.0, 1.0, 3.0])
    inner = 4.0 / 3.0  # harmonic mean of 1 and 2
    end = 0.5  # (3 * 1 - 2) / 2
    assert table.response(0.5).tension == pytest.approx(0.5 + (end - inner) / 8, abs=1e-15)


def test_a_straight_spring():
    at = SPRING.response(80 * mm)
    assert at.tension == pytest.approx(11.0)
    assert at.stiffness == 400.0
    assert at.energy == pytest.approx(3.0 * 20 * mm + 0.5 * 400.0 * (20 * mm) ** 2)
    got = SPRING.responses([0.05, 0.06, 0.08, 0.13, np.nan, -0.1])
    assert got.states == ["slack", "slack", "working", "overstretched", None, None]
    np.testing.assert_array_equal(got.valid, [True, True, True, True, False, False])
    np.testing.assert_array_equal(got.tensions[:2], 0.0)
    assert np.isnan(got.tensions[4:]).all()
    assert SPRING.length_range == (0.0, 120 * mm)


def test_a_cord_is_slack_and_a_strut_refused():
    assert CORD.response(0.1).state == "slack"
    assert CORD.length_range == (0.0, 0.4)
    with pytest.raises(yw.InvalidValueError, match=r"force table = 0.2 m is outside 0.25 to 0.35 m"):
        STRUT.response(0.2)
    assert STRUT.response(0.35).energy == 0.0
    assert STRUT.response(0.25).energy > 0.0


def test_a_twisted_spring():
    at = TWIST.response(0.0)
    assert at.torque == pytest.approx(0.8 * 30 * deg)
    assert at.state == "working"
    assert at.energy == pytest.approx(0.5 * 0.8 * (30 * deg) ** 2)
    assert TWIST.response(-40 * deg).state == "slack"
    assert TWIST.response(61 * deg).state == "overwound"


@pytest.mark.parametrize("thing", [SPRING, CORD, STRUT, TWIST], ids=repr)
def test_they_survive_pickling_and_printing(thing):
    assert pickle.loads(pickle.dumps(thing)) == thing
    names = {name: PUBLIC[name] for name in ("LinearSpring", "ForceTable", "LinearTorsionSpring")}
    assert eval(repr(thing), names) == thing


def test_what_they_refuse():
    with pytest.raises(yw.InvalidValueError, match=r"did you mean 60 \* mm"):
        yw.spring.LinearSpring(rate=400.0, free_length=60, action="above")
    with pytest.raises(yw.InvalidValueError, match="choose one of: above, below, both"):
        yw.spring.LinearSpring(rate=400.0, free_length=60 * mm, action="pull")
    with pytest.raises(yw.InvalidValueError, match="2 entries"):
        yw.spring.ForceTable([0.1, 0.2], [1.0])
    with pytest.raises(yw.InvalidValueError, match=r"\(N,\)"):
        yw.spring.ForceTable([[0.1, 0.2]], [1.0, 2.0])
