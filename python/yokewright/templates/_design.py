"""Every template that a design asks for."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from .._core import (
    Arm,
    BallRod,
    CenteredFourBar,
    Evaluation,
    PedalTransmission,
    TransmissionChain,
    mm,
)
from ..errors import InvalidTypeError, YokewrightError
from ._drawing import Template
from ._parts import gate_plate, lever_arm, magnet_mount, sensor_mount


@dataclass(frozen=True)
class DesignTemplates:
    """The templates of a design by names that files can have, and what could not be drawn, with the reason."""

    drawn: dict[str, Template] = field(repr=False)
    left_out: dict[str, str]

    def _repr_html_(self) -> str:
        """Show themselves in a notebook."""
        return "".join(template.to_svg() for template in self.drawn.values())


def design_templates(
    evaluation: Evaluation,
    *,
    pivot_hole: float = 8 * mm,
    joint_hole: float = 6 * mm,
    arm_width: float = 20 * mm,
    stick_diameter: float = 16 * mm,
    gate_height: float = 60 * mm,
) -> DesignTemplates:
    """Draw what there is to drill and to cut of every control of an evaluated design.

    Magnet and sensor mounts of every axis; the arms of pedals, cranks and rods; the gate plate of every stick. A design
    knows where joints are, not what goes through them: pivot_hole, joint_hole are the diameters of the bolts, arm_width
    the width of the arms, stick_diameter that of a stick that has no radius in the design, gate_height where its plate
    stands above the outer axis, all m. What cannot be drawn, such as the mount of a sensor without a size, is left out
    with the reason.
    """
    if not isinstance(evaluation, Evaluation):
        raise InvalidTypeError(f"an Evaluation is needed, got {type(evaluation).__name__}")
    drawn: dict[str, Template] = {}
    left_out: dict[str, str] = {}

    def draw(title: str, make: Callable[..., Template], *given: object, **measures: float) -> None:
        try:
            template = make(*given, **measures, title=title)
        except YokewrightError as error:
            left_out[title] = str(error)
        else:
            drawn[_file_name(title, drawn)] = template

    for axis in evaluation.axes:
        if axis.arrangement is None:
            left_out[f"{axis.name}: magnet mount"] = "the sensor sits on the shaft: there is no magnet to place"
            continue
        draw(f"{axis.name}: magnet mount", magnet_mount, axis.arrangement, pivot_hole=pivot_hole)
        draw(f"{axis.name}: sensor mount", sensor_mount, axis.arrangement, pivot_hole=pivot_hole)
    known: list[list[Arm]] = []
    for axis in evaluation.axes:
        for what, arms in _arms(axis.axis.drive):
            if arms not in known:  # one part may drive several axes
                known.append(arms)
                bolts = {"pivot_hole": pivot_hole, "joint_hole": joint_hole}
                draw(f"{axis.name}: {what}", lever_arm, arms, **bolts, width=arm_width)
    for stick in evaluation.sticks:
        gimbal, gate = stick.two_axis.gimbal, stick.two_axis.gate
        diameter = 2 * gimbal.stick_radius or stick_diameter
        draw(f"{stick.name}: gate plate", gate_plate, gimbal, gate, height=gate_height, stick_diameter=diameter)
    return DesignTemplates(drawn, left_out)


def _arms(drive: object) -> Iterator[tuple[str, list[Arm]]]:
    """Give the arms of a drive, those on one pivot together, each with what it is."""
    match drive:
        case TransmissionChain():
            for part in drive.parts:
                yield from _arms(part)
        case PedalTransmission():
            pair = drive.pair
            yield "left pedal", [pair.left.arm]
            yield "right pedal", [pair.right.arm]
            yield "crank", [pair.left_crank, pair.right_crank]
        case BallRod():
            yield "driving arm", [drive.input]
            yield "driven arm", [drive.output]
        case CenteredFourBar():
            for what, length in (("crank", drive.linkage.crank), ("rocker", drive.linkage.rocker)):
                yield what, [Arm((0, 0, 0), (0, 0, 1), (length, 0, 0))]


def _file_name(title: str, taken: dict[str, Template]) -> str:
    """A title as every disk can store it."""
    plain = re.sub(r"[^\w]+", "-", title.casefold()).strip("-") or "template"
    name, number = plain, 2
    while name in taken:
        name, number = f"{plain}-{number}", number + 1
    return name
