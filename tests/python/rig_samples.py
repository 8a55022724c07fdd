"""A value of each class that an evaluated rig is made of, for tests that go through all of them."""

from pathlib import Path
from typing import Any

import yokewright as yw


def evaluated_mechanics(path: Path) -> list[Any]:
    """Parts of the evaluation of a rig with a stick, pedals, springs and a plate."""
    text = path.read_text(encoding="utf-8").replace("foot_force_N = 1200.0", 'plate = "back"\nfoot_force_N = 1200.0')
    text = text.replace("[sensor.hall]", "[plate.back]\ndistance_mm = 2.0\n\n[sensor.hall]", 1)
    design = yw.rig.Design.parse(text, str(path))
    evaluation = design.evaluate(11)
    stick = evaluation.sticks[0]
    rudder = next(axis for axis in evaluation.axes if axis.linkage is not None)
    handling = design.handling()
    return [
        *(stick, stick.gate, stick.feel, stick.feel.along[0], stick.feel.springs[0], stick.verdicts[0]),
        *(rudder.linkage, rudder.linkage.joints[0], rudder.linkage.rods[0], rudder.feel),
        *(handling, handling.magnets[0], handling.pulls[0]),
    ]
