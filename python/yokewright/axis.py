"""One control from hand to count: magnets, pivot, sensor and converter in a row.

`Axis` is the general control in space. An `Arrangement` makes one from the measures of a builder:
`SwungLayout`, a magnet on an arm that passes a sensor, is the usual one; `PairLayout` has two magnets
side by side, `HeadOnLayout` one that comes towards the sensor, `ShaftEndLayout` one on a shaft. All of
their `measures` have names, by which `with_measure` varies them. An axis is swept (`sweep`) and judged
(`figures`); `search_arrangements` looks for the best magnet, sensor and measures. `error_budget` adds up what a reading may
be wrong by, and `compare` sets several controls side by side. `TwoAxis` is a stick with a sensor for
each of its two axes: what each reads when the other turns (`crosstalk`), and the map that takes that
out (`correction`); a `TwoAxisSweep` that was measured on the built stick gives the same (`calibration`).

How slow a control is, from hand to screen: a `LatencyBudget` adds up `LatencyStage`s, each with a `Delay`, and
names the `stage_to_attack`; `CameraRuns` is what a high-speed camera has measured, `compare_devices` tells
devices apart, `runs_needed` and `detectable_difference` say what that takes.

>>> import yokewright as yw
>>> cube = yw.magnet.Block(size=(5 * yw.mm, 5 * yw.mm, 5 * yw.mm), polarization=(0, 1300 * yw.mT, 0))
>>> layout = yw.axis.SwungLayout(magnet=cube, arm=12 * yw.mm, gap=3 * yw.mm)
>>> axis = layout.axis(
...     throw=(-6 * yw.deg, 6 * yw.deg),
...     sensor=yw.hall.LinearHall(
...         supply=3.3,
...         nominal_supply=3.3,
...         quiescent=1.65,
...         sensitivity=15 * yw.mV_per_mT,
...         rail_low=0.2,
...         rail_headroom=0.2,
...         noise=1 * yw.mV,
...         depth=0.5 * yw.mm,
...     ),
...     converter=yw.hall.Converter(bits=12, reference=3.3),
... )
>>> figures = axis.figures()
>>> print(f"{figures.counts} counts, {figures.range_used:.0%} of the range")
1400 counts, 34% of the range
"""

from ._core import (
    AngleResiduals,
    Arrangement,
    ArrangementCandidate,
    ArrangementSearch,
    ArrangementSummary,
    Axis,
    AxisCrosstalk,
    AxisFigures,
    BackPlate,
    BestOfKind,
    CameraRuns,
    CarriedMagnets,
    CarriedSensor,
    CenterFigures,
    ComparedFigures,
    Comparison,
    Correction,
    CorrectionMap,
    Crosstalk,
    CrosstalkFigure,
    Delay,
    DeviceDifference,
    DevicePair,
    ErrorBudget,
    ErrorContribution,
    GateMap,
    HeadOnLayout,
    JustOutside,
    LatencyBudget,
    LatencyStage,
    Line,
    Linearity,
    Measure,
    PairLayout,
    ParetoRow,
    SensorPackage,
    ShaftEndLayout,
    StageEffect,
    Sweep,
    SwungLayout,
    TwoAxis,
    TwoAxisCalibration,
    TwoAxisReading,
    TwoAxisReadings,
    TwoAxisSweep,
    compare,
    compare_devices,
    detectable_difference,
    error_budget,
    hid_logical_range,
    hid_usage,
    linearity,
    power_of_runs,
    runs_needed,
    search_arrangements,
    student_t,
)

__all__ = [
    "AngleResiduals",
    "Arrangement",
    "ArrangementCandidate",
    "ArrangementSearch",
    "ArrangementSummary",
    "Axis",
    "AxisCrosstalk",
    "AxisFigures",
    "BackPlate",
    "BestOfKind",
    "CameraRuns",
    "CarriedMagnets",
    "CarriedSensor",
    "CenterFigures",
    "ComparedFigures",
    "Comparison",
    "Correction",
    "CorrectionMap",
    "Crosstalk",
    "CrosstalkFigure",
    "Delay",
    "DeviceDifference",
    "DevicePair",
    "ErrorBudget",
    "ErrorContribution",
    "GateMap",
    "HeadOnLayout",
    "JustOutside",
    "LatencyBudget",
    "LatencyStage",
    "Line",
    "Linearity",
    "Measure",
    "PairLayout",
    "ParetoRow",
    "SensorPackage",
    "ShaftEndLayout",
    "StageEffect",
    "Sweep",
    "SwungLayout",
    "TwoAxis",
    "TwoAxisCalibration",
    "TwoAxisReading",
    "TwoAxisReadings",
    "TwoAxisSweep",
    "compare",
    "compare_devices",
    "detectable_difference",
    "error_budget",
    "hid_logical_range",
    "hid_usage",
    "linearity",
    "power_of_runs",
    "runs_needed",
    "search_arrangements",
    "student_t",
]
