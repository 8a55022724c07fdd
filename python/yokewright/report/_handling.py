"""How the magnets of a rig are to be handled."""

from html import escape

from .._core import Evaluation, MagnetHandling
from ._pieces import head, items, number, row, table

_MAGNETS = ("Magnet", "Used by", "Holds with", "Grade", "Left at its hottest")
_PULLS = ("Axis", "Between", "Pull")


def handling_section(evaluation: Evaluation) -> str:
    """Contact forces, margins against losing flux in the heat, and what holders of magnets have to bear."""
    if all(axis.arrangement is None for axis in evaluation.axes):
        return ""
    handling = evaluation.design.handling()
    notes = [f"{magnet.name}: {note}" for magnet in handling.magnets for note in magnet.notes]
    pulls = [
        row(_PULLS, [escape(pull.axis), escape(pull.between), f"{number(pull.force)} N"]) for pull in handling.pulls
    ]
    return "\n".join(
        [
            "<section aria-labelledby='magnets'><h2 id='magnets'>Magnets to handle</h2>",
            "<p>The force with which two of a kind hold together, or one to thick steel; and how far, at the hottest "
            "temperature of the error budgets, the strongest of a grade is in free air from losing flux for good.</p>",
            f"<ul>{items(notes)}</ul>" if notes else "",
            table(head(_MAGNETS), [_magnet(magnet) for magnet in handling.magnets], "targets"),
            table(head(_PULLS), pulls, "targets") if pulls else "",
            "</section>",
        ]
    )


def _magnet(magnet: MagnetHandling) -> str:
    left = "not known" if magnet.margin is None else f"{number(magnet.margin / 1e3)} kA/m at {magnet.hottest:g} degC"
    cells = [
        escape(magnet.name),
        escape(", ".join(magnet.axes)) or "no axis",
        f"{number(magnet.contact_force)} N",
        "not said" if magnet.grade is None else escape(magnet.grade),
        left,
    ]
    return row(_MAGNETS, cells)
