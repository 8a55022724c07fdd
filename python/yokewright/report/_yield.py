"""How many of the rigs that strangers build will work."""

from html import escape

from .. import plots
from .._core import ControlYield, Evaluation, RigYield
from ._pieces import figure, head, items, number, percent, row, table

_CONTROLS = ("Control", "Works", "Interval", "What fails most", "What decides")
_SLOTS = ("Number", "Set to", "Slot", "Control", "Range used at both ends", "Linearity at both ends")


def yield_section(evaluation: Evaluation) -> str:
    """The builds of the whole rig; nothing if they were not studied."""
    return _yields(evaluation.yields) if evaluation.yields is not None else ""


def _yields(found: RigYield) -> str:
    low, high = found.interval
    told = (
        f"<p>Of {found.builds} rigs built by the tolerances of the design file {percent(found.share)} work in every "
        f"control ({percent(low)} to {percent(high)}). Every build is calibrated by its own builder.</p>"
    )
    together = [f"{name} moves {', '.join(controls)} together" for name, controls in found.shared]
    return "\n".join(
        [
            "<section class='axis' aria-labelledby='yields'><h2 id='yields'>Builds of strangers</h2>",
            told,
            table(head(_CONTROLS), [_control(control) for control in found.controls], "errors"),
            f"<p>Drawn once for a rig:</p><ul>{items(together)}</ul>" if together else "",
            *[_picture(control) for control in found.controls],
            "</section>",
        ]
    )


def _control(control: ControlYield) -> str:
    yields = control.yields
    if yields is None:
        verdict = "as designed: meets its targets" if control.as_designed else "as designed: misses a target"
        return row(_CONTROLS, [escape(control.name), percent(control.share), "nothing varies", verdict, "nothing"])
    low, high = yields.interval
    failing = [(failure[1], failure[0]) for failure in yields.failures]
    failing += [(one.builds - one.passed, one.target.figure) for one in yields.targets]
    count, what = max(failing, default=(0, ""))
    fails = f"{escape(what)}: {count} of {yields.builds}" if count else "nothing"
    cells = [
        escape(control.name),
        percent(control.share),
        f"{percent(low)} to {percent(high)}",
        fails,
        escape(control.decides or "not studied"),
    ]
    return row(_CONTROLS, cells)


def _picture(control: ControlYield) -> str:
    yields = control.yields
    if yields is None or not yields.targets:
        return ""
    told = "; ".join(f"{one.target.figure} {percent(one.share)}" for one in yields.targets)
    words = f"Share of the builds of {control.name} that meet each target: {told}."
    height = 1.2 + 0.5 * (1 + len(yields.targets))
    return figure(
        lambda drawing: plots.plot_yields(yields, drawing.add_subplot()),
        (6.4, height),
        words,
        f"Builds of {control.name} that meet each target, with the interval of each share.",
        narrow=(3.6, height),
    )


def slot_section(evaluation: Evaluation) -> str:
    """What each slot does at both of its ends; nothing if there is none."""
    slots = evaluation.design.evaluate_slots()
    if not slots:
        return ""

    def ends(values: tuple[float | None, float | None], failures: tuple[str | None, str | None]) -> str:
        told = [
            "cannot be" if failure is not None else "no value" if value is None else f"{number(value)} %"
            for value, failure in zip(values, failures, strict=True)
        ]
        return " and ".join(told)

    rows = [
        row(
            _SLOTS,
            [
                escape(slot.input),
                f"{number(slot.setting)} {slot.unit}",
                f"{number(slot.slot[0])} to {number(slot.slot[1])} {slot.unit}",
                escape(slot.control),
                ends(slot.range_used, slot.failures),
                ends(slot.linearity, slot.failures),
            ],
        )
        for slot in slots
    ]
    return (
        "<section class='axis' aria-labelledby='slots'><h2 id='slots'>Adjustable positions</h2>"
        f"{table(head(_SLOTS), rows, 'errors')}</section>"
    )
