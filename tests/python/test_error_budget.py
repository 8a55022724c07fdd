"""Error budgets and comparisons from Python, against NumPy; their drawings."""

import numpy as np
import pytest
from matplotlib import pyplot

import yokewright as yw
from yokewright import deg, mm, mT, mV, plots

THROW = (-6 * deg, 6 * deg)
CAUSES = [
    "quantization",
    "noise",
    "nonlinearity",
    "drift of remanence",
    "drift of sensitivity",
    "drift of quiescent output",
    "supply",
    "hysteresis by backlash",
    "hysteresis by friction",
    "crosstalk",
    "converter nonlinearity",
    "potentiometer linearity",
    "potentiometer loading",
    "wiper contact",
]


@pytest.fixture(autouse=True)
def _close_figures():
    yield
    pyplot.close("all")


def swung(sensitivity_drift=0.0012, remanence_drift=-0.0011):
    sensor = yw.hall.LinearHall(
        supply=5.0,
        nominal_supply=5.0,
        quiescent=2.5,
        sensitivity=20.0,
        rail_low=0.2,
        rail_headroom=0.3,
        noise=0.5 * mV,
        depth=0.5 * mm,
        sensitivity_drift=sensitivity_drift,
    )
    cube = yw.magnet.Block(size=(5 * mm, 5 * mm, 5 * mm), polarization=(0, 1300 * mT, 0))
    layout = yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=2 * mm)
    return yw.axis.Axis(
        throw=THROW,
        magnets=layout.source,
        sensor=sensor,
        sensor_pose=layout.sensor_pose,
        converter=yw.hall.Converter(bits=12, reference=5.0),
        remanence_drift=remanence_drift,
    )


def potentiometer(travel=300 * deg, bits=10, **more):
    pot = yw.hall.Potentiometer(travel=travel, supply=5.0, **more)
    return yw.axis.Axis(throw=THROW, sensor=pot, converter=yw.hall.Converter(bits=bits, reference=5.0))


@pytest.mark.parametrize("points", [2, 3, 9])
def test_drift_as_interpolation_tells_it(points):
    axis = swung()
    budget = yw.axis.error_budget(axis, celsius=(0.0, 50.0), calibration=points)
    now = axis.sweep(16_001)
    knots = np.linspace(*THROW, points)
    volts = np.interp(knots, now.angle, now.volts)
    rising = np.sign(volts[-1] - volts[0])

    def told(sweep):
        x = rising * sweep.volts
        ends = np.searchsorted(rising * volts, x).clip(1, points - 1)
        low, high = rising * volts[ends - 1], rising * volts[ends]
        return knots[ends - 1] + (knots[ends] - knots[ends - 1]) * (x - low) / (high - low)

    bend = np.abs(told(now) - now.angle).max()
    drift = max(np.abs(told(axis.at_temperature(t).sweep(16_001)) - told(now)).max() for t in (0.0, 50.0))
    # An arch between two of so many samples hides an eighth of the square of a step by its curvature, some tens.
    between = 1e-7 * (THROW[1] - THROW[0])
    assert budget.of("nonlinearity").angle == pytest.approx(bend, abs=between)
    assert budget.drift == pytest.approx(drift, abs=between)
    # The sensor gains what the magnets lose: together they drift by far less than either.
    drifts = [budget.of(f"drift of {of}").angle for of in ("remanence", "sensitivity")]
    assert 0.001 * budget.travel < budget.drift < 0.5 * min(drifts)


def test_lines_and_sums():
    budget = yw.axis.error_budget(
        swung(),
        celsius=(10.0, 40.0),
        supply_tolerance=0.01,
        ratiometric_converter=False,
        control_backlash=0.2 * deg,
        pivot_backlash=0.1 * deg,
        friction_band=0.3 * deg,
        crosstalk=4,
    )
    lines = budget.contributions
    assert [line.cause for line in lines] == CAUSES
    assert all(line.remedy and line.distribution in ("normal", "rectangular", "two-point") for line in lines)
    assert budget.worst_case == pytest.approx(sum(line.angle for line in lines), rel=1e-12)
    deviations = np.array([line.standard_deviation for line in lines])
    assert budget.root_sum_square == pytest.approx(np.sqrt(np.sum(deviations**2)), rel=1e-12)
    assert budget.largest == max(lines, key=lambda line: line.standard_deviation)
    assert budget.of("hysteresis by backlash").angle == pytest.approx(0.15 * deg)
    assert budget.of("Hysteresis_by_friction").angle == pytest.approx(0.15 * deg)
    for line in lines:
        assert line.share == pytest.approx(budget.share_of_travel(line.angle))
        assert line.counts == pytest.approx(budget.in_counts(line.angle))
    assert yw.axis.ErrorBudget.from_json(budget.to_json()) == budget
    text = str(budget).splitlines()
    assert len(text) == len(CAUSES) + 2
    assert len({len(line) for line in text}) == 1
    assert "root sum square" in repr(budget)


def test_refusals():
    axis = swung()
    for wrong, text in [
        ({"celsius": (40.0, 10.0)}, "hottest temperature"),
        ({"supply_tolerance": np.nan}, "tolerance of the supply"),
        ({"crosstalk": -1.0}, "crosstalk"),
        ({"calibration": "three-point"}, "none, two-point"),
        ({"calibration": 1}, "points of the calibration table"),
    ]:
        with pytest.raises(ValueError, match=text):
            yw.axis.error_budget(axis, **wrong)
    with pytest.raises(TypeError):
        yw.axis.error_budget(axis, calibration=2.5)
    with pytest.raises(ValueError, match="is not known"):
        yw.axis.error_budget(axis).of("the weather")
    with pytest.raises(TypeError):
        yw.axis.compare({"a": 3.0})
    with pytest.raises(ValueError, match="control with a price"):
        yw.axis.compare({"a": axis}, prices={"b": 1.0})
    with pytest.raises(ValueError, match="controls to compare"):
        yw.axis.compare({})


def controls():
    return {
        "swung magnet": swung(),
        "panel potentiometer": potentiometer(linearity=0.02, load=100e3),
        "short potentiometer": potentiometer(60 * deg, 12),
    }


def test_side_by_side():
    axes = controls()
    table = yw.axis.compare(
        axes, celsius=(10.0, 40.0), prices={"swung magnet": 4.5}, crosstalks={"swung magnet": 6}, calibration="none"
    )
    hall, panel, short = table.controls
    assert [one.name for one in table.controls] == list(axes)
    # Twelve of three hundred degrees, of sixty, at ten and at twelve bits.
    assert panel.figures.counts == 40
    assert short.figures.volts_span == pytest.approx(1.0)
    assert hall.budget == yw.axis.error_budget(
        axes["swung magnet"], celsius=(10.0, 40.0), crosstalk=6, calibration="none"
    )
    assert hall.departure_calibrated == hall.departure_uncalibrated
    assert (hall.price, hall.crosstalk, panel.price, panel.crosstalk) == (4.5, 6.0, None, None)
    assert yw.axis.Comparison.from_json(table.to_json()) == table
    text = str(table).splitlines()
    assert len({len(line) for line in text}) == 1
    assert text[0].split("  ")[-1] == "short potentiometer"


def test_drawing_of_a_budget():
    budget = yw.axis.error_budget(swung(), celsius=(10.0, 40.0), control_backlash=0.1 * deg)
    ax = plots.plot_error_budget(budget)
    assert [label.get_text() for label in ax.get_yticklabels()] == CAUSES
    widths = [bar.get_width() for bar in ax.containers[0]]
    assert np.allclose(widths, [line.angle / deg for line in budget.contributions])
    widths = [bar.get_width() for bar in ax.containers[1]]
    assert np.allclose(widths, [line.standard_deviation / deg for line in budget.contributions])
    marked = [line.get_xdata()[0] for line in ax.lines]
    assert np.allclose(marked, [budget.root_sum_square / deg, budget.worst_case / deg])
    with pytest.raises(TypeError, match="an ErrorBudget is needed"):
        plots.plot_error_budget(3)


def test_drawing_of_a_comparison():
    axes = controls()
    table = yw.axis.compare(axes, celsius=(10.0, 40.0))
    figure = plots.plot_comparison(table, axes)
    top, *panels = figure.axes
    assert len(top.lines) == 3
    reading = top.lines[0].get_ydata()
    assert np.ptp(reading) == pytest.approx(100 * table.controls[0].figures.range_used, abs=0.1)
    steps = [bar.get_width() for bar in panels[0].containers[0]]
    assert np.allclose(steps, [one.figures.step_quantization_worst / deg for one in table.controls])
    drifts = [bar.get_width() for bar in panels[2].containers[0]]
    assert np.allclose(drifts, [one.budget.drift / deg for one in table.controls])
    with pytest.raises(ValueError, match="controls has no 'swung magnet'"):
        plots.plot_comparison(table, {})
    many = {f"no. {i}": potentiometer() for i in range(7)}
    table = yw.axis.compare(many)
    with pytest.raises(ValueError, match="at most 6"):
        plots.plot_comparison(table, many)
