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
