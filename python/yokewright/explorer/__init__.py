"""A design in which one figure after another is changed, to see what follows: verdicts, drawings, the page.

`Explorer.load` reads a design file; `changed` gives another explorer with some keys changed, and shows itself in a
notebook as what that did: each target then and now, and the axes that have changed, drawn. Nothing is written before
`write_report` or `write_design` is called.

>>> import yokewright as yw
>>> rig = yw.explorer.Explorer.load("examples/trainer_stick.toml")
>>> rig.evaluation.state
'close'
>>> wider = rig.changed({"axis.roll.gap_mm": 3.9})
>>> wider.evaluation.state, wider.touched
('missed', ['roll'])
>>> print(wider.differences()[0])
roll: range used: 68.7 % (close) -> 59.7 % (missed)
"""

from ._explorer import Difference, Explorer

__all__ = ["Difference", "Explorer"]
