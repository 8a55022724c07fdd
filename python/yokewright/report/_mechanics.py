"""The linkage of an axis, and what a stick comes near to."""

from html import escape

from .. import plots
from .._core import AxisEvaluation, BallRod, PedalTransmission, StickEvaluation, mm
from ._pieces import degrees, figure, head, items, number, pairs, percent, row, table

_JOINTS = ("Ball joint", "Greatest swivel", "Rated", "Of the rating")
_RODS = ("Rod", "Greatest force", "At")


def linkage_part(axis: AxisEvaluation) -> str:
    """What the drive of an axis does over its throw; nothing where there is none."""
    linkage = axis.linkage
    if linkage is None:
        return ""
    low, high = linkage.output
    rows = [
        ("Turn of the output", f"{degrees(low)} to {degrees(high)}"),
        ("Ratio at the ends and the center", ", ".join(number(ratio) for ratio in linkage.ratios)),
    ]
    if linkage.pad_travel is not None:
        rows.append(("Way of the pad", " to ".join(f"{number(way / mm)} mm" for way in linkage.pad_travel)))
    for side, end in zip(("below", "above"), linkage.reach, strict=True):
        ends = "nothing within a turn" if end is None else f"{end.limit} at {degrees(end.input)}"
        rows.append((f"Ends the travel {side}", ends))
    for side, margin in zip(("below", "above"), linkage.lock_margins, strict=True):
        rows.append((f"Left to a lock {side}", "it does not lock" if margin is None else degrees(margin)))
    joints = [
        row(
            _JOINTS,
            [
                escape(joint.joint),
                degrees(joint.swivel),
                "not known" if joint.rated is None else degrees(joint.rated),
                "" if joint.rated is None else percent(joint.swivel / joint.rated),
            ],
        )
        for joint in linkage.joints
    ]
    rods = [row(_RODS, [escape(rod.rod), f"{number(rod.force)} N", degrees(rod.angle)]) for rod in linkage.rods]
    return "\n".join(
        [
            "<h3>Linkage</h3>",
            f"<ul>{items(linkage.notes)}</ul>" if linkage.notes else "",
            f"<div class='beside'>{_drawing(axis)}{table(head(('Figure', 'Value')), pairs(rows), 'pairs')}</div>",
            table(head(_JOINTS), joints, "targets") if joints else "",
            f"<p>Under {number(linkage.foot_force)} N of the foot; positive pulls the rod, negative presses it:</p>"
            + table(head(_RODS), rods, "targets")
            if rods and linkage.foot_force is not None
            else "",
        ]
    )


def _drawing(axis: AxisEvaluation) -> str:
    drive = axis.axis.drive
    words = f"Side and top view of the linkage of {axis.name} to scale, centered and at its ends."
    if isinstance(drive, PedalTransmission):
        pair = drive.pair
        return figure(
            lambda drawing: plots.plot_pedals(pair, [drawing.add_subplot(1, 2, place) for place in (1, 2)]),
            (7.2, 3.8),
            words,
            "The linkage to scale, centered and, faint, at both ends of its travel: from the side and from above.",
        )
    if isinstance(drive, BallRod):
        angles = (0.0, *axis.axis.throw)
        return figure(
            lambda drawing: plots.plot_ball_rod(drive, angles, [drawing.add_subplot(1, 2, place) for place in (1, 2)]),
            (7.2, 3.8),
            words,
            "The linkage to scale, centered and, faint, at both ends of the throw: from the side and from above.",
        )
    return ""


def gate_part(stick: StickEvaluation) -> str:
    """How far the grip goes and what it comes near to."""
    gate = stick.gate
    rows = [
        (f"The grip goes over {name}", f"{number(travel.arc / mm)} mm on a radius of {number(travel.radius / mm)} mm")
        for name, travel in zip(stick.axes, gate.grip_travel, strict=True)
    ]
    rows.append(("Gate", gate.gate.kind))
    picture = ""
    clearance = gate.clearance
    if clearance is not None:
        angles = " and ".join(degrees(angle) for angle in clearance.angles)
        part = "the grip" if clearance.piece is None else f"piece {clearance.piece + 1} of the stick"
        told = f"{number(clearance.distance / mm)} mm between {part} and {gate.nearest}, at {angles}"
        rows.append(("Nearest to what stands around", told))
        bodies = [obstacle for _, obstacle in gate.obstacles]
        picture = figure(
            lambda drawing: plots.plot_stick_reach(
                gate.gimbal,
                gate.gate,
                bodies,
                ax=drawing.add_subplot(projection="3d"),
                clearance=clearance,
                names=stick.axes,
            ),
            (5.6, 5.2),
            f"The stick {stick.name} with the surface that its grip sweeps and what stands around it: {told}.",
            f"Where the grip goes, and what stands around: {told}.",
        )
    told = picture + table(head(("Figure", "Value")), pairs(rows), "pairs")
    return f"<h3>Gate and clearance</h3><div class='beside'>{told}</div>"
