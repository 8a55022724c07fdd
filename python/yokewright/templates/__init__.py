"""Templates at 1:1 for drilling, cutting and printing: SVG and DXF with a bar to check the scale by.

`lever_arm` draws the holes of arms on one pivot (a pedal's, a crank's), `magnet_mount` and `sensor_mount` where magnets
and sensor stand to the pivot, both in one frame so that laid on one another they show the gap, `gate_plate` the opening
in which a stick moves. Each gives a `Template`, which `save` writes as `.svg` or `.dxf` (which needs ezdxf).
`design_templates` draws all that an evaluated design asks for.

Print without scaling and measure the bar before anything is cut: browsers and printers like to fit a page. A part that
bears a foot's force needs more than a template: see `yw.CAUTIONS`.

>>> import yokewright as yw
>>> from yokewright import mm
>>> pedal = yw.linkage.Arm((0, 0, 0), (0, 1, 0), (0, 0, -80 * mm))
>>> template = yw.templates.lever_arm(pedal, pivot_hole=8 * mm, joint_hole=6 * mm, width=20 * mm)
>>> template.size[0] > 100 * mm
True
>>> template.holes
((0.0, 0.0, 0.008), (0.08, 0.0, 0.006))
"""

from ._design import DesignTemplates, design_templates
from ._drawing import Template
from ._parts import gate_plate, lever_arm, magnet_mount, sensor_mount

__all__ = [
    "DesignTemplates",
    "Template",
    "design_templates",
    "gate_plate",
    "lever_arm",
    "magnet_mount",
    "sensor_mount",
]
