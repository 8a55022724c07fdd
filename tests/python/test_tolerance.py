"""Tolerances from Python: against SciPy, and what the boundary has to keep."""

import os
import pickle
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from matplotlib import pyplot
from scipy import integrate, stats

import yokewright as yw
from yokewright import deg, mm, mT, plots


@pytest.fixture(autouse=True)
def _close_figures():
    yield
    pyplot.close("all")


def design(vectorized=True):
    """The field of a far magnet: it falls with the cube of the distance."""

    def build(columns):
        # Products and no powers, which arrays and single numbers round differently.
        return {"field": cubed(**columns)}

    def cubed(distance, strength):
        return strength / (distance * distance * distance)

    return yw.axis.CallableDesign(
        inputs={"distance": 2.0, "strength": 8.0},
        figures={"field": "T"},
        build=build if vectorized else lambda **one: {"field": cubed(**one)},
        vectorized=vectorized,
    )


TOLERANCES = [yw.axis.Tolerance("distance", 0.2), yw.axis.Tolerance("strength", 0.05, share=True)]
TARGET = yw.axis.YieldTarget("field", min=0.85, max=1.2)


def stick(gap=2 * mm):
    cube = yw.magnet.Block(size=(5 * mm, 5 * mm, 5 * mm), polarization=(0, 1300 * mT, 0))
    return yw.axis.ControlDesign(
        yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=gap),
        throw=(-6 * deg, 6 * deg),
        sensor=yw.hall.LinearHall(
            supply=5.0, sensitivity=25 * yw.mV_per_mT, rail_low=0.2, rail_headroom=0.3, noise=0.15 * yw.mV
        ),
        converter=yw.hall.Converter(bits=12, reference=5.0),
    )


STICK = [
    yw.axis.Tolerance("gap", 0.3 * mm),
    yw.axis.Tolerance("polarization", 0.05, share=True),
    yw.axis.Tolerance("sensor.sensitivity", 0.1, share=True),
]


def test_the_yield_is_the_integral():
    distance, strength = stats.norm(2.0, 0.1), stats.norm(8.0, 0.2)

    def within(d):
        return strength.cdf(1.2 * d**3) - strength.cdf(0.85 * d**3)

    exact, _ = integrate.quad(lambda d: distance.pdf(d) * within(d), 1.0, 3.0, points=[1.9, 2.0, 2.1])
    random = yw.axis.study_yield(design(), TOLERANCES, targets=[TARGET], builds=200_000)
    # Four and a half standard errors; the seed is fixed.
    assert abs(random.share - exact) < 4.5 * np.sqrt(exact * (1 - exact) / 200_000)
    quasi = yw.axis.study_yield(design(), TOLERANCES, targets=[TARGET], builds=1 << 16, replicates=8)
    assert abs(quasi.share - exact) < 5e-4
    low, high = random.interval
    known = stats.binomtest(random.passed, 200_000).proportion_ci(0.95, "exact")
    assert np.allclose([low, high], known, atol=1e-7, rtol=0)


@pytest.mark.parametrize("vectorized", [True, False])
def test_a_function_is_called_for_each_build_or_for_all(vectorized):
    found = yw.axis.study_yield(design(vectorized), TOLERANCES, targets=[TARGET], builds=5000)
    assert found == yw.axis.study_yield(design(not vectorized), TOLERANCES, targets=[TARGET], builds=5000)


def test_what_a_function_raises():
    def fails(distance):
        if distance > 2.1:
            raise yw.CannotCloseError("the rod is too short")
        return {"y": None if distance < 1.9 else distance}

    partly = yw.axis.CallableDesign(inputs={"distance": 2.0}, figures={"y": "m"}, build=fails)
    found = yw.axis.study_yield(partly, TOLERANCES[:1], builds=2000)
    reason, count, first, text = found.failures[0]
    assert (reason, text) == ("cannot be assembled", "the rod is too short")
    # Beyond one standard deviation: 15.87 %.
    assert abs(count / 2000 - 0.1587) < 0.04
    assert found.spreads["y"].missing > count
    assert first >= 0

    def breaks(distance):
        raise ZeroDivisionError("mine")

    with pytest.raises(ZeroDivisionError, match="mine"):
        yw.axis.study_yield(
            yw.axis.CallableDesign(inputs={"distance": 2.0}, figures={"y": "m"}, build=breaks), TOLERANCES[:1]
        )
    short = yw.axis.CallableDesign(
        inputs={"distance": 2.0}, figures={"y": "m"}, build=lambda columns: {"y": [1.0]}, vectorized=True
    )
    with pytest.raises(yw.InvalidValueError, match="1 values given, "):
        yw.axis.study_yield(short, TOLERANCES[:1])


def test_a_control():
    found = yw.axis.study_yield(stick(), STICK, targets=[yw.axis.YieldTarget("range used", min=0.8)], builds=4000)
    assert 0.0 < found.share < 1.0
    assert found.spreads["flux span"].nominal == pytest.approx(stick().axis.figures().flux_span, rel=1e-9)
    worst = found.worst[0]
    assert set(worst.inputs) == {"gap", "polarization", "sensor.sensitivity"}
    assert not worst.passed
    assert "meet every target" in str(found)
    assert yw.axis.Yield.from_json(found.to_json()) == found
    assert pickle.loads(pickle.dumps(found)) == found


def test_pieces_and_a_stop():
    study = yw.axis.YieldStudy(stick(), STICK, builds=20_000)
    for builds in (1, 4097, 9999):
        study.run(builds)
        assert study.done == builds
    study.run()
    assert study.result() == yw.axis.study_yield(stick(), STICK, builds=20_000)

    long = yw.axis.YieldStudy(stick(), STICK, builds=200_000_000)
    # So many batches that the first is among them, whichever thread has it.
    observer = yw.Observer(lambda done, _: observer.stop() if done >= 20 else None)
    with observer, pytest.raises(yw.StoppedError):
        long.run()
    assert 0 < long.done < 200_000_000
    assert long.result().builds == long.done


def test_threads_change_no_bit():
    code = (
        "import sys; sys.path.insert(0, sys.argv[1]); import test_tolerance as t; import hashlib\n"
        "targets = [t.yw.axis.YieldTarget('range used', min=0.8)]\n"
        "found = t.yw.axis.study_yield(t.stick(), t.STICK, targets=targets, builds=70_001)\n"
        "print(hashlib.sha256(found.to_json().encode()).hexdigest())"
    )
    seen = set()
    for threads in (1, 2, 7):
        done = subprocess.run(
            [sys.executable, "-c", code, str(Path(__file__).parent)],
            env={**os.environ, "YOKEWRIGHT_THREADS": str(threads)},
            check=True,
            stdout=subprocess.PIPE,
        )
        seen.add(done.stdout)
    assert len(seen) == 1


def test_what_decides():
    found = yw.axis.study_importance(design(), TOLERANCES, targets=[TARGET], rows=1 << 13, replicates=8)
    first, second = (one.total[0] for one in found.figures["field"].tolerances)
    # To first order 3 sd(d)/d and sd(s)/s: 0.15 and 0.025.
    assert first == pytest.approx(0.15**2 / (0.15**2 + 0.025**2), abs=0.02)
    assert second < 0.05
    assert found.figures["field"].words.startswith("distance decides: 97 %")
    if_halved = yw.axis.study_what_if(design(), TOLERANCES, targets=[TARGET])
    assert if_halved.best == "distance"
    assert "; at 0.5 of its tolerance the yield goes from " in found.figures["field"].words_with(if_halved)
    assert if_halved.shares["distance"] > if_halved.share
    looser = yw.axis.allocate_tolerances(design(), TOLERANCES, targets=[TARGET], wanted=0.9, builds=4000)
    assert looser.share >= 0.9
    assert looser.factors[1] > looser.factors[0]


def test_a_better_design():
    designs, nominal = yw.axis.search_tolerant_designs(
        design(),
        TOLERANCES,
        targets=[yw.axis.YieldTarget("field", min=0.85, max=2.0)],
        varied={"distance": (1.5, 2.5)},
        places=50,
        builds=2000,
    )
    best = designs.best()
    # Half way in the field is nearer than half way in the distance.
    assert 1.7 < best.values["distance"] < 2.0
    assert best.share >= nominal.share > 0.5
    assert pickle.loads(pickle.dumps(best)) == best


def test_values_are_given_back():
    normal = yw.axis.Distribution.truncated_normal(1.0, 0.3, 0.5, 1.2)
    for one in (
        normal,
        yw.axis.Distribution.sample([1.0, 2.0]),
        yw.axis.Tolerance.common("scale", normal, [("a", 1.0, "share"), ("b", -2.0, "departure")]),
        TARGET,
    ):
        names = {name: getattr(yw.axis, name) for name in ("Distribution", "Tolerance", "YieldTarget")}
        assert eval(repr(one), names) == one
        assert pickle.loads(pickle.dumps(one)) == one
    frozen = stats.truncnorm((0.5 - 1) / 0.3, (1.2 - 1) / 0.3, 1.0, 0.3)
    assert normal.mean == pytest.approx(frozen.mean(), rel=1e-9)
    assert normal.standard_deviation == pytest.approx(frozen.std(), rel=1e-8)
    for p in (1e-9, 0.3, 0.999):
        assert normal.quantile(p) == pytest.approx(frozen.ppf(p), rel=1e-8)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf"), 1e160])
def test_nonsense_is_refused(bad):
    with pytest.raises(yw.InvalidValueError):
        yw.axis.Tolerance("gap", bad)
    with pytest.raises(yw.InvalidValueError):
        yw.axis.Distribution.normal(0.0, bad)
    with pytest.raises(yw.InvalidValueError):
        yw.axis.study_what_if(design(), TOLERANCES, targets=[TARGET], factor=bad)


def test_pictures():
    found = yw.axis.study_yield(
        stick(), STICK, targets=[yw.axis.YieldTarget("range used", min=0.8, max=0.9)], builds=3000
    )
    ax = plots.plot_yield_histogram(found, "range used")
    heights = sum(bar.get_height() for bar in ax.patches)
    assert heights == pytest.approx(100.0)
    ax = plots.plot_yields(found)
    assert ax.patches[0].get_width() == pytest.approx(100 * found.share)
    importance = yw.axis.study_importance(stick(), STICK, rows=512)
    ax = plots.plot_importance(importance.figures["flux span"])
    assert ax.get_yticklabels()[0].get_text() in ("gap", "polarization")
    study = yw.axis.YieldStudy(stick(), STICK, targets=[yw.axis.YieldTarget("range used", min=0.8)])
    ax = plots.plot_builds(study.records(0, 100))
    assert sum(not line.get_label().startswith("_child") for line in ax.lines) >= 100
    with pytest.raises(yw.InvalidValueError):
        plots.plot_yield_histogram(found, "rang used")
    with pytest.raises(yw.InvalidValueError):
        plots.plot_builds([])
