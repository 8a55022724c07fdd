"""Drawings of latency: what they show, and what they refuse."""

import numpy as np
import pytest
from matplotlib import pyplot

import yokewright as yw
from yokewright import ms, plots
from yokewright.axis import CameraRuns, Delay, LatencyBudget, LatencyStage


@pytest.fixture(autouse=True)
def _close_figures():
    yield
    pyplot.close("all")


def budget() -> LatencyBudget:
    return LatencyBudget(
        [
            LatencyStage("filter", Delay.fixed(3 * ms)),
            LatencyStage("bus polling", Delay.wait(8 * ms)),
            LatencyStage("display scan", Delay.frame_wait(60)),
        ]
    )


def test_stages_stand_one_after_the_other() -> None:
    ax = plots.plot_latency_stages(budget())
    lefts = [bar.get_x() for bar in ax.patches]
    widths = [bar.get_width() for bar in ax.patches]
    assert lefts == pytest.approx([0.0, 3.0, 7.0])
    assert widths == pytest.approx([3.0, 4.0, 1000 / 120])
    assert [label.get_text() for label in ax.get_yticklabels()] == ["filter", "bus polling", "display scan"]
    p95 = budget().percentiles[2]
    gains = [(p95 - effect.p95_halved) / ms for effect in budget().effects()]
    assert [text.get_text() for text in ax.texts] == [f"{gain:.2g} ms" for gain in gains]


def test_the_sum_is_drawn_as_a_density_with_its_percentiles() -> None:
    one = budget()
    ax = plots.plot_latency(one)
    (curve,) = (line for line in ax.lines if len(line.get_xdata()) > 2)
    times, values = curve.get_data()
    assert np.trapezoid(values, times) == pytest.approx(1.0, abs=1e-3)
    across = [float(line.get_xdata()[0]) for line in ax.lines if len(line.get_xdata()) == 2]
    assert across == pytest.approx([time / ms for time in one.percentiles])
    assert ax.get_ylabel() == "Density (1/ms)"


def test_single_times_are_drawn_as_shares() -> None:
    ax = plots.plot_latency(LatencyBudget([LatencyStage("host", Delay.sample([1 * ms, 2 * ms]))]))
    assert ax.get_ylabel() == "Share of all cases"
    assert max(ax.lines[0].get_ydata()) == 1.0
    still = plots.plot_latency(LatencyBudget([LatencyStage("host", Delay.fixed(0.0))]))
    assert still.get_ylabel() == "Share of all cases"
    nothing = plots.plot_latency_stages(LatencyBudget([LatencyStage("host", Delay.fixed(0.0))]))
    assert nothing.get_xlim() == (0.0, 1.0)


def test_devices_have_runs_a_mean_and_an_interval() -> None:
    devices = {
        "old": CameraRuns(1000, [108, 113, 110, 112]),
        "steady": CameraRuns(1000, [90, 90, 90]),
        "once": CameraRuns(240, [30]),
    }
    ax = plots.plot_devices(devices)
    words = [text.get_text() for text in ax.texts]
    low, high = devices["old"].mean_interval()
    assert words[0] == f"110.8 ({low / ms:.1f} to {high / ms:.1f}) ms"
    assert words[1:] == ["90.0 ms", "125.0 ms"]
    with pytest.raises(ValueError, match="0 devices"):
        plots.plot_devices({})
    with pytest.raises(TypeError, match="a CameraRuns is needed"):
        plots.plot_devices({"old": 3})  # type: ignore[dict-item]


@pytest.mark.parametrize("draw", [plots.plot_latency, plots.plot_latency_stages])
def test_what_is_no_budget_is_refused(draw) -> None:
    with pytest.raises(TypeError, match="a LatencyBudget is needed"):
        draw(yw)
