"""The section of a stick: what its two axes do to each other."""

from html import escape
from typing import Literal

from .. import plots
from .._core import AxisCrosstalk, GateMap, StickEvaluation
from .._numbers import clearance
from ._feel import feel_part
from ._mechanics import gate_part
from ._pieces import degrees, figure, head, items, number, percent, row, table, targets

_POINTS = 41  # along each axis of the gate: as fine as a picture shows

_CROSSTALK = ("Reading of", "Changes by", "Of its span", "At the center", "Why")
_CORRECTED = ("Angle of", "By its own reading", "By both readings", "Of the travel")


def stick_section(place: int, stick: StickEvaluation) -> str:
    """Everything about one stick; place: its number among the sticks of the page."""
    outer, inner = stick.axes
    readings = stick.two_axis.map(_POINTS, _POINTS)
    crosstalk = stick.crosstalk
    notes = f"<h3>Notes</h3><ul>{items(stick.notes)}</ul>" if stick.notes else ""
    clearances = " and ".join(
        f"{clearance(least)} for {escape(name)}" for least, name in zip(stick.clearance, stick.axes, strict=True)
    )
    return "\n".join(
        [
            f"<section class='axis' aria-labelledby='stick-{place}'>"
            f"<h2 id='stick-{place}'>Both axes of {escape(stick.name)}</h2>",
            f"<p>All magnets at both sensors, all over the gate. Least distance of a sensor's face from any magnet: "
            f"{clearances}.</p>",
            f"<h3>Targets of the whole stick</h3>{targets(stick.verdicts, 'the stick')}" if stick.verdicts else "",
            notes,
            gate_part(stick),
            "" if stick.feel is None else feel_part(stick.feel),
            "<h3>Crosstalk</h3>",
            table(
                head(_CROSSTALK),
                [_crosstalk(outer, crosstalk.outer, stick.axes), _crosstalk(inner, crosstalk.inner, stick.axes)],
                "errors",
            ),
            _picture(readings, "outer", stick),
            _picture(readings, "inner", stick),
            "<h3>Corrected by both readings</h3>",
            _correction(stick),
            "</section>",
        ]
    )


def _crosstalk(name: str, crosstalk: AxisCrosstalk, names: tuple[str, str]) -> str:
    worst = crosstalk.worst
    why = crosstalk.explanation
    # By the names that the builder has given them.
    for which, own in zip(("outer", "inner"), names, strict=True):
        why = why.replace(f"the {which} axis", own)
    share = "no value" if worst.of_span is None else percent(worst.of_span)
    cells = [
        escape(name),
        f"{number(worst.counts)} counts at worst",
        share,
        f"{number(crosstalk.center.counts)} counts",
        escape(why),
    ]
    return row(_CROSSTALK, cells)


def _picture(readings: GateMap, which: Literal["outer", "inner"], stick: StickEvaluation) -> str:
    name, other = stick.axes if which == "outer" else stick.axes[::-1]
    worst = getattr(stick.crosstalk, which).worst.counts
    if worst < 1.0:
        # Less than anything reads: the table says so.
        return ""
    return figure(
        lambda drawing: plots.plot_crosstalk(readings, which, names=stick.axes, ax=drawing.add_subplot()),
        (5.6, 4.2),
        f"Change of the reading of {name}, held at several angles, as {other} goes over its travel: at most "
        f"{number(worst)} counts.",
        f"Reading of {name}, held, as {other} turns: at most {number(worst)} counts.",
    )


def _correction(stick: StickEvaluation) -> str:
    correction = stick.correction
    if correction is None:
        return "<p>No map of both readings tells the angles.</p>"
    before, after = correction.before, correction.after
    rows = [
        row(
            _CORRECTED,
            [
                escape(name),
                degrees(before.worst[place]),
                degrees(after.worst[place]),
                percent(after.worst_of_travel[place]),
            ],
        )
        for place, name in enumerate(stick.axes)
    ]
    intro = (
        "<p>Greatest error of each angle over the gate: by a straight line through its own reading, and by a map of "
        "both readings and their product.</p>"
    )
    return intro + table(head(_CORRECTED), rows, "targets")
