"""Permanent magnets: the flux density anywhere around and inside them, and the forces between them.

Start with a shape (`Block`, `Cylinder`, `Ring`, `Sphere`) and a polarization in tesla, its
direction included; `Grade` knows the remanence of the usual grades. `MagnetGroup` adds magnets up,
`SteelPlate` adds what a thick plate does to their field. All of them answer `field_at(point)` and
`fields_at(points)`, which also says which points have a field at all. `ActiveArea` is the mean over
the part of a sensor that feels, `pull` and `contact_force` are forces, `WorkingPoint` says whether
a magnet bears its temperature.

>>> import yokewright as yw
>>> cube = yw.magnet.Block(size=(5 * yw.mm, 5 * yw.mm, 5 * yw.mm), polarization=(0, 0, 1.3))
>>> above = cube.field_at((0, 0, 6 * yw.mm))
>>> print(f"{above[2] / yw.mT:.0f} mT 3.5 mm above the pole")
110 mT 3.5 mm above the pole
>>> grade = yw.magnet.Grade.named("N42")
>>> print(f"{grade.remanence_at(20.0):.2f} T at 20 degC, {grade.remanence_at(60.0):.2f} T at 60 degC")
1.30 T at 20 degC, 1.24 T at 60 degC

Small strong magnets are dangerous when swallowed, near implants and between fingers; see
`yw.CAUTIONS`.
"""

from ._core import (
    ActiveArea,
    AreaMean,
    Block,
    Cylinder,
    FieldSource,
    Grade,
    Magnet,
    MagnetGroup,
    MagnetsOverPlate,
    Pull,
    RatedValue,
    Ring,
    Sphere,
    SteelPlate,
    WorkingPoint,
    contact_force,
    demagnetizing_factor,
    demagnetizing_factors,
    interaction_energy,
    pull,
)

__all__ = [
    "ActiveArea",
    "AreaMean",
    "Block",
    "Cylinder",
    "FieldSource",
    "Grade",
    "Magnet",
    "MagnetGroup",
    "MagnetsOverPlate",
    "Pull",
    "RatedValue",
    "Ring",
    "Sphere",
    "SteelPlate",
    "WorkingPoint",
    "contact_force",
    "demagnetizing_factor",
    "demagnetizing_factors",
    "interaction_energy",
    "pull",
]
