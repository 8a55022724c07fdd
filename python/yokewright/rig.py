"""A design file in, an evaluated rig out: every axis with its figures, every target with a verdict and the margin.

`Design.load(path)` reads a file, `design.evaluate()` gives an `Evaluation`; `DESIGN_KEYS` lists
every key with its range, `design_schema` has the same for editors. `yw.report` makes a page of it.
`design.study_yields()` builds the rig as strangers do, by the tolerances of the file, and
`design.variant(name)` is the same file with other parts.

>>> import yokewright as yw
>>> design = yw.rig.Design.parse('''
...     title = "Airbrake lever"
...     [magnet.cube]
...     size_mm = [5.0, 5.0, 5.0]
...     polarization_mT = [0.0, 1300.0, 0.0]
...     [sensor.linear]
...     supply_V = 3.3
...     nominal_supply_V = 3.3
...     quiescent_V = 1.65
...     sensitivity_mV_per_mT = 15.0
...     rail_low_V = 0.2
...     rail_headroom_V = 0.2
...     noise_mV = 1.0
...     depth_mm = 0.5
...     [converter.board]
...     bits = 12
...     reference_V = 3.3
...     [[axis]]
...     name = "lever"
...     throw_deg = [-6.0, 6.0]
...     magnet = "cube"
...     sensor = "linear"
...     converter = "board"
...     arm_mm = 12.0
...     gap_mm = 3.0
...     [axis.targets]
...     range_used_min_percent = 30.0
... ''')
>>> evaluation = design.evaluate()
>>> evaluation.state
'met'
"""

from ._core import (
    DESIGN_KEYS,
    AxisEvaluation,
    BillItem,
    BrokenControl,
    ControlYield,
    Cost,
    CostShare,
    Design,
    Evaluation,
    FeelAlong,
    FeelEvaluation,
    GateEvaluation,
    Handling,
    JointSwivel,
    LinkageEvaluation,
    MagnetHandling,
    MagnetPull,
    RigYield,
    RodForce,
    SlotEvaluation,
    SpringEvaluation,
    StickEvaluation,
    Supply,
    Verdict,
    design_schema,
)

__all__ = [
    "DESIGN_KEYS",
    "AxisEvaluation",
    "BillItem",
    "BrokenControl",
    "ControlYield",
    "Cost",
    "CostShare",
    "Design",
    "Evaluation",
    "FeelAlong",
    "FeelEvaluation",
    "GateEvaluation",
    "Handling",
    "JointSwivel",
    "LinkageEvaluation",
    "MagnetHandling",
    "MagnetPull",
    "RigYield",
    "RodForce",
    "SlotEvaluation",
    "SpringEvaluation",
    "StickEvaluation",
    "Supply",
    "Verdict",
    "design_schema",
]
