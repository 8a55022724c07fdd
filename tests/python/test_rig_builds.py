"""The builds, the cost, the latency and the variants of a design file, from Python."""

import csv
import io
import pickle
from pathlib import Path

import numpy as np
import pytest
from scipy import integrate, stats

import yokewright as yw

RIG = Path(__file__).parents[2] / "examples" / "training_rig.toml"

POTS = """
title = "lever"
[sensor.pot]
kind = "potentiometer"
supply_V = 3.3
travel_deg = {{ value = 300.0, plus_minus = 10.0 }}
price = 1.1
[converter.fine]
bits = 24
reference_V = {reference}
[[axis]]
name = "flaps"
throw_deg = [-35.0, 35.0]
sensor = "pot"
converter = "fine"
[axis.targets]
range_used_min_percent = 23.2
yield_min_percent = 60.0
"""


@pytest.fixture(scope="module")
def rig() -> yw.rig.Design:
    return yw.rig.Design.load(RIG)


def test_the_yield_is_that_of_the_closed_form() -> None:
    design = yw.rig.Design.parse(POTS.format(reference=3.3))
    found = design.study_yields(512, replicates=8)
    # Range used is throw over travel; the plus-minus is twice the standard deviation.
    exact = stats.norm(300.0, 5.0).cdf(70.0 / 0.232)
    assert found.share == pytest.approx(exact, abs=1e-2)
    assert found.control("flaps") == found.controls[0]
    assert found.control("gear") is None
    told = found.controls[0].yields
    assert told is not None
    median = told.spreads["range used"].quantile(0.5)
    assert median == pytest.approx(70.0 / 3.0, abs=0.05)


def test_the_yield_of_two_numbers_is_that_of_the_integral() -> None:
    reference = '{ value = 3.3, plus_minus = 0.05, distribution = "uniform" }'
    design = yw.rig.Design.parse(POTS.format(reference=reference))
    found = design.study_yields(512, replicates=8)
    travel = stats.norm(300.0, 5.0)
    whole, _ = integrate.quad(lambda reference: travel.cdf(70.0 / 0.232 * 3.3 / reference), 3.25, 3.35)
    assert found.share == pytest.approx(whole / 0.1, abs=1e-2)


def test_a_build_is_what_the_file_with_its_numbers_is() -> None:
    # Targets that every build misses, so that every build is kept.
    text = RIG.read_text(encoding="utf-8")
    for asked, more in [
        ("range_used_min_percent = 70.0", "range_used_min_percent = 99.0"),
        ("range_used_min_percent = 60.0", "range_used_min_percent = 99.0"),
        ("obstacle_clearance_min_mm = 15.0", "obstacle_clearance_min_mm = 900.0"),
        ("end_force_max_N = 40.0", "end_force_max_N = 1.0"),
    ]:
        assert asked in text
        text = text.replace(asked, more)
    found = yw.rig.Design.parse(text).study_yields(2, route="read anew")
    file = yw.variations.DesignFile(text)
    compared = 0
    for control in found.controls:
        for build in control.yields.worst if control.yields else []:
            evaluation = file.changed(**build.inputs).evaluate()
            every = [*evaluation.axes, *evaluation.sticks]
            (own,) = (one for one in every if one.name == control.name)
            # To the last bit: one number, one way to read it.
            for verdict in own.verdicts:
                if verdict.target != "yield":
                    # Several targets of one name are told apart by their units.
                    names = {verdict.target, f"{verdict.target} in {verdict.unit}"}
                    (name,) = names & set(build.figures)
                    assert build.figures[name] == verdict.got, (control.name, name)
                    compared += 1
    assert compared > 40


def test_a_rig_is_studied_and_told(rig: yw.rig.Design) -> None:
    found = rig.study_yields(8)
    assert [control.name for control in found.controls] == ["rudder", "airbrake", "trim", "pitch", "roll", "stick"]
    assert {name for name, _ in found.shared} >= {"magnet.cube.remanence_percent", "cause.printer"}
    shares = [control.share for control in found.controls]
    assert 0.0 <= found.share <= min(shares)
    assert "rigs work in every control" in str(found)
    evaluation = rig.evaluate(yields=found)
    asked = [verdict for axis in evaluation.axes for verdict in axis.verdicts if verdict.target == "yield"]
    assert [verdict.got for verdict in asked] == [100.0 * found.controls[0].share]
    assert evaluation.yields == found
    assert pickle.loads(pickle.dumps(evaluation)).to_json() == evaluation.to_json()
    assert yw.rig.RigYield.from_json(found.to_json()) == found
    page = yw.report.report_html(evaluation)
    for words in ("Builds of strangers", "From hand to screen", "Bill of materials", "Adjustable positions"):
        assert f">{words}</h2>" in page
    alone = rig.evaluate()
    verdicts = [verdict for axis in alone.axes for verdict in axis.verdicts if verdict.target == "yield"]
    assert [verdict.state for verdict in verdicts] == ["not studied"]


def test_the_same_builds_come_from_both_ways(rig: yw.rig.Design) -> None:
    text = POTS.format(reference=3.3)
    design = yw.rig.Design.parse(text)
    assert design.study_yields(32, route="read anew") == design.study_yields(32, route="read anew")
    with pytest.raises(ValueError, match="way to build"):
        design.study_yields(32, route="sideways")  # type: ignore[arg-type]


def test_the_cost_is_what_the_lines_add_up_to(rig: yw.rig.Design) -> None:
    cost = rig.evaluate(11).cost
    assert cost.total == pytest.approx(sum(item.total for item in cost.items if item.total is not None))
    assert cost.total == pytest.approx(sum(share.amount for share in cost.shares))
    assert sum(share.share for share in cost.shares if share.share is not None) == pytest.approx(1.0)
    rows = list(csv.DictReader(io.StringIO(cost.to_csv())))
    assert [row["name"] for row in rows] == [item.name for item in cost.items]
    board = next(item for item in cost.items if item.name == "board")
    assert (board.quantity, sorted(board.used_by)) == (1, ["airbrake", "pitch", "roll", "rudder"])
    yw.plots.plot_cost(cost, "EUR")


def test_the_supply_is_the_sum_of_the_currents(rig: yw.rig.Design) -> None:
    supply = rig.evaluate(11).supply
    assert supply is not None
    assert supply.current == pytest.approx(sum(count * one for _, count, one in supply.consumers))
    assert supply.limit == pytest.approx(0.1)


def test_the_latency_has_the_stages_of_the_chain_first(rig: yw.rig.Design) -> None:
    axes = {axis.name: axis.latency for axis in rig.evaluate(11).axes}
    rudder, trim = axes["rudder"], axes["trim"]
    assert rudder is not None
    assert trim is not None
    names = [stage.name for stage in rudder.stages]
    assert names.index("filter before the converter") < names.index("bus polling")
    # The shaft's sensor has neither filter nor averaging: 0.1 ms, 10 us, 3.5 intervals of 0.1 ms.
    less = rudder.mean - trim.mean
    filter_and_more = 1e4 * 10e-9 + 10e-6 + 3.5 * 0.1e-3
    own = sum(stage.delay.mean for stage in rudder.stages if stage.name == "bandwidth of the sensor")
    assert less == pytest.approx(filter_and_more + own)


def test_a_variant_is_a_design_of_its_own(rig: yw.rig.Design) -> None:
    assert rig.variants == ["ferrite"]
    ferrite = rig.variant("ferrite")
    assert (ferrite.variant_name, rig.variant_name) == ("ferrite", None)
    assert ferrite.title.endswith(": ferrite")
    magnets = [axis.arrangement.magnet for axis in (rig, ferrite) for axis in [axis.evaluate(11).axes[0]]]
    sizes = [np.linalg.norm(magnet.polarization) for magnet in magnets]
    assert sizes[1] < 0.5 * sizes[0]
    again = pickle.loads(pickle.dumps(ferrite))
    assert again.evaluate(11).to_json() == ferrite.evaluate(11).to_json()
    with pytest.raises(yw.errors.InvalidValueError, match="nearest to it: ferrite"):
        rig.variant("ferrit")


def test_a_slot_is_told_at_both_ends(rig: yw.rig.Design) -> None:
    (slot,) = rig.evaluate_slots()
    assert (slot.input, slot.setting, slot.slot, slot.unit) == ("axis.rudder.arm_mm", 6.4, (5.0, 9.0), "mm")
    assert slot.control == "rudder"
    low, high = slot.range_used
    assert low is not None
    assert high is not None
    assert low != high


def test_what_varies_is_named_as_in_the_file(rig: yw.rig.Design) -> None:
    names = [name for name, _, _ in rig.tolerances]
    assert "stick.stick.outer.gap_mm" in names
    ((cause, _, moves),) = rig.causes
    assert cause == "cause.printer"
    assert "axis.rudder.arm_mm" in moves
