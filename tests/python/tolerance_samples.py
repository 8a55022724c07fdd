"""An object of each class that studies of tolerances take and give."""

from typing import Any

import yokewright as yw
from yokewright import mm


def studies(layout: Any, axis: Any) -> list[Any]:
    """What studies of tolerances take and give."""
    design = yw.axis.ControlDesign(layout, throw=(-0.1, 0.1), sensor=axis.sensor, converter=axis.converter)
    tolerances = [
        yw.axis.Tolerance("gap", 0.3 * mm),
        yw.axis.Tolerance.of("arm", yw.axis.Distribution.uniform(-0.1 * mm, 0.1 * mm)),
    ]
    targets = [yw.axis.YieldTarget("range used", min=1e-3)]
    asked: dict[str, Any] = {"targets": targets, "builds": 100}
    found = yw.axis.study_yield(design, tolerances, **asked)
    varied = {"gap": (2 * mm, 4 * mm)}
    best, nominal = yw.axis.search_tolerant_designs(design, tolerances, varied=varied, places=2, **asked)
    return [
        *(design, *tolerances, *targets, found, found.spreads["range used"], found.targets[0], best, nominal),
        *yw.axis.YieldStudy(design, tolerances).records(0, 1),
        yw.axis.study_importance(design, tolerances, rows=256).figures["flux span"],
        yw.axis.study_importance(design, tolerances, rows=256).figures["flux span"].tolerances[0],
        yw.axis.study_importance(design, tolerances, rows=256),
        yw.axis.study_what_if(design, tolerances, **asked),
        yw.axis.allocate_tolerances(design, tolerances, wanted=0.01, **asked),
    ]


RIG = """
title = "lever"
[sensor.pot]
kind = "potentiometer"
supply_V = 3.3
travel_deg = { value = 300.0, plus_minus = 10.0, slot = [250.0, 350.0] }
price = 1.1
current_mA = 0.3
[converter.board]
bits = 12
reference_V = 3.3
[[axis]]
name = "flaps"
throw_deg = [-35.0, 35.0]
sensor = "pot"
converter = "board"
[axis.targets]
range_used_min_percent = 23.2
[supply]
limit_mA = 100.0
"""


def rigs() -> list[Any]:
    """What is told of a whole rig: its builds, its cost, its supply, its slots."""
    design = yw.rig.Design.parse(RIG)
    found = design.study_yields(50, importance_rows=256)
    evaluation = design.evaluate(11, yields=found)
    cost = evaluation.cost
    return [found, found.controls[0], cost, cost.items[0], cost.shares[0], evaluation.supply, *design.evaluate_slots()]
