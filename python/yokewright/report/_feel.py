"""What hand or foot feels: force against travel, centering, springs, published figures beside it."""

from html import escape

from .. import plots
from .._core import GUIDANCE_CAVEAT, FeelAlong, FeelEvaluation, GuidanceComparison, SpringEvaluation, deg, mm
from ._pieces import degrees, figure, head, items, number, pairs, row, table

_SPRINGS = ("Spring", "Kind", "Length or angle", "Tension or torque", "Safety at rest", "In fatigue", "State")
_PUBLISHED = ("Figure", "Published", "Here", "Kept", "Source")


def feel_part(feel: FeelEvaluation) -> str:
    """All about the feel of an axis or a stick."""
    named = len(feel.along) > 1
    return "\n".join(
        [
            "<h3>Feel</h3>",
            f"<ul>{items(feel.notes)}</ul>" if feel.notes else "",
            *(
                f"<div class='beside'>{_curve(along)}<div>{_figures(along, named=named)}</div></div>"
                for along in feel.along
            ),
            _springs(feel.springs),
            *(_guidance(along, named=named) for along in feel.along),
        ]
    )


def _curve(along: FeelAlong) -> str:
    lower, upper = along.end_forces
    told = f"{number(lower)} N push it to the lower end, {number(upper)} N to the upper one"
    return figure(
        lambda drawing: plots.plot_force_travel(along.curve, centering=along.centering, ax=drawing.add_subplot()),
        (4.6, 3.6),
        f"Force at the grip of {along.axis} against its travel: {told}.",
        f"Force at the grip of {along.axis}: {told}, friction included.",
    )


def _figures(along: FeelAlong, *, named: bool) -> str:
    lower, upper = along.end_forces
    centering = along.centering
    rows = [("Force to the ends", f"{number(lower)} N and {number(upper)} N")]
    if centering.breakout_up is not None and centering.breakout_down is not None:
        rows.append(("Breakout", f"{number(centering.breakout_up)} N up, {number(centering.breakout_down)} N down"))
    if centering.error is not None:
        counts = "" if along.centering_counts is None else f", {number(along.centering_counts)} counts"
        rows.append(("Centering error", f"{degrees(centering.error)}{counts}"))
    else:
        rows.append(("Centering", "it does not come back to one place"))
    if along.stiffness is not None:
        rows.append(("Stiffness at rest", f"{number(along.stiffness * deg)} N m/deg"))
    if along.response is not None:
        swing = f"{number(along.response.natural_frequency / (360 * deg))} Hz"
        rows.append(("Swing when let go", f"{swing}, damping ratio {number(along.response.damping_ratio)}"))
    heading = f"<h4>Along {escape(along.axis)}</h4>" if named else ""
    return heading + table(head(("Figure", "Value")), pairs(rows), "pairs")


def _springs(springs: list[SpringEvaluation]) -> str:
    if not springs:
        return ""
    return "<h4>Springs</h4>" + table(head(_SPRINGS), [_spring(spring) for spring in springs], "many")


def _spring(spring: SpringEvaluation) -> str:
    way, load = "none", "none"
    if spring.lengths is not None and spring.tensions is not None:
        way = f"{number(spring.lengths[0] / mm)} to {number(spring.lengths[1] / mm)} mm"
        load = f"{number(spring.tensions[0])} to {number(spring.tensions[1])} N"
    if spring.angles is not None and spring.torques is not None:
        way = f"{number(spring.angles[0] / deg)} to {number(spring.angles[1] / deg)} deg"
        load = f"{number(spring.torques[0])} to {number(spring.torques[1])} N m"
    life = "not known"
    if spring.life_safety is not None and spring.cycles is not None:
        life = f"{number(spring.life_safety)} for {number(spring.cycles)} cycles"
    states = [text for text, holds in (("past a limit", spring.past_limit), ("slack", spring.slack)) if holds]
    return row(
        _SPRINGS,
        [
            escape(spring.name),
            escape(spring.kind),
            way,
            load,
            "not known" if spring.safety is None else number(spring.safety),
            life,
            " and ".join(states) or "works",
        ],
    )


def _guidance(along: FeelAlong, *, named: bool) -> str:
    compared = [one for one in along.guidance if one.value is not None]
    if not compared:
        return ""
    rows = [_published(one) for one in compared]
    of = f" for {escape(along.axis)}" if named else ""
    told = f"<h4>Published figures{of}</h4><p>{escape(GUIDANCE_CAVEAT)}</p>" + table(head(_PUBLISHED), rows, "many")
    # They inform and nothing is built by them: paper can do without.
    return f"<div class='second'>{told}</div>"


_SIDES = {True: "yes", False: "no", None: "beside it"}


def _published(one: GuidanceComparison) -> str:
    guide = one.guide
    size, unit = {"travel": (mm, "mm"), "travel one way": (mm, "mm"), "deflection": (deg, "deg")}.get(
        guide.quantity, (1.0, "N")
    )
    value = 0.0 if one.value is None else one.value
    source = f"{guide.source}; {guide.provenance}" + (f"; {guide.note}" if guide.note else "")
    return row(
        _PUBLISHED,
        [
            escape(guide.quantity),
            f"{'' if guide.bound == 'nominal' else guide.bound + ' '}{number(guide.value / size)} {unit}",
            f"{number(value / size)} {unit}",
            _SIDES[one.on_the_side_meant],
            escape(source),
        ],
    )
