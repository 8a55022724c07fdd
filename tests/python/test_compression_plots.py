"""The drawings of compression springs say what the numbers say."""

import numpy as np
import pytest
from matplotlib import pyplot

import yokewright as yw
from yokewright import mm, plots


@pytest.fixture(autouse=True)
def closed_figures():
    yield
    pyplot.close("all")


def spring(**changes):
    measures = {
        "wire": "EN 10270-1 SM",
        "wire_diameter": 2 * mm,
        "outer_diameter": 18 * mm,
        "active_turns": 8,
        "free_length": 50 * mm,
    }
    return yw.spring.CompressionSpring(**measures | changes)


def line(ax, label):
    return next(drawn for drawn in ax.get_lines() if drawn.get_label() == label)


def test_stress_over_the_length():
    made = spring()
    ax = plots.plot_spring_stress(made, (30 * mm, 45 * mm))
    x, y = line(ax, "stress set against it").get_data()
    expected, valid = made.stresses(np.asarray(x) * mm)
    assert valid.all()
    assert y == pytest.approx(expected / 1e6, abs=1e-6)
    # This one takes a set before it is solid.
    labels = ax.get_legend_handles_labels()[1]
    assert {"in use", "takes a set", "allowable, Shigley"} <= set(labels)
    assert line(ax, "solid").get_xdata()[0] == pytest.approx(20)
    safe = plots.plot_spring_stress(spring(free_length=30 * mm))
    assert "takes a set" not in safe.get_legend_handles_labels()[1]


def test_what_the_standard_judges_has_no_factor():
    made = spring(design_code="EN 13906")
    ax = plots.plot_spring_stress(made)
    judged = line(ax, "stress set against it").get_ydata()
    assert judged[-1] == pytest.approx(made.nominal_stress(made.solid_force) / 1e6)
    factor = line(ax, "with Bergstraesser's factor").get_ydata()
    assert factor[-1] / judged[-1] == pytest.approx(made.curvature_factor)


def test_endurance():
    verdict = spring().fatigue((20, 80), cycles=1e5)
    ax = plots.plot_endurance(verdict)
    mean, borne = line(ax, "Gerber, 100,000 cycles").get_data()
    at = verdict.endurance.alternating_at(mean[50] * 1e6, 1e5)
    assert borne[50] == pytest.approx(at / 1e6)
    point = line(ax, "works here")
    assert point.get_xdata()[0] == pytest.approx(verdict.mean / 1e6)
    assert point.get_markerfacecolor() != "white"
    broken = spring().fatigue((0, 140))
    assert not broken.holds
    other = plots.plot_endurance([verdict, broken], pyplot.figure().add_subplot())
    assert line(other, "_works").get_markerfacecolor() == "white"


def test_what_cannot_be_drawn():
    with pytest.raises(TypeError, match="a CompressionSpring is needed"):
        plots.plot_spring_stress("spring")
    with pytest.raises(yw.InvalidValueError, match="works from"):
        plots.plot_spring_stress(spring(), (10 * mm, 45 * mm))
    with pytest.raises(yw.InvalidValueError, match="at least 1"):
        plots.plot_endurance([])
    with pytest.raises(TypeError, match="a LifeVerdict is needed"):
        plots.plot_endurance([1])
