"""Results as tables: for a notebook, for a terminal, for whatever else shows rows and columns."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import singledispatch
from html import escape
from typing import Any

from ._core import (
    ArrangementCandidate,
    ArrangementSearch,
    AxisEvaluation,
    Comparison,
    ControlYield,
    Cost,
    Crosstalk,
    ErrorBudget,
    Evaluation,
    Importance,
    LatencyBudget,
    RigYield,
    SearchResult,
    StickEvaluation,
    Verdict,
    WhatIf,
    Yield,
    deg,
    mm,
    ms,
    mT,
)
from ._numbers import clearance, degrees, number, percent


@dataclass(frozen=True)
class Table:
    """Heads and rows of text; marks: of each row, the state that it tells, or nothing."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    marks: tuple[str, ...] = ()

    def mark(self, place: int) -> str:
        """The state that a row tells, or nothing."""
        return self.marks[place] if place < len(self.marks) else ""


def table(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]], marks: Iterable[str] = ()) -> Table:
    """Make a table of whatever can be looped over."""
    made = Table(title, tuple(heads), tuple(tuple(row) for row in rows), tuple(marks))
    for row in made.rows:
        if len(row) != len(made.heads):
            raise ValueError(f"{title}: a row of {len(row)} cells under {len(made.heads)} heads")
    return made


# --- what a table looks like -------------------------------------------------------------------------

_BOLD = {"missed": "font-weight: 700", "close": "font-style: italic"}


def html(value: object) -> str:
    """A result for a notebook: its tables, every text escaped, in the colors of whatever shows it."""
    return "".join(one_html(each) for each in tables(value))


def one_html(shown: Table) -> str:
    """One table for a notebook."""
    cell = "style='text-align: left; vertical-align: top'"
    heads = "".join(f"<th scope='col' {cell}>{escape(head)}</th>" for head in shown.heads)
    body = []
    for place, row in enumerate(shown.rows):
        style = _BOLD.get(shown.mark(place))
        cells = "".join(f"<td {cell}>{escape(text)}</td>" for text in row)
        body.append(f"<tr style='{style}'>{cells}</tr>" if style else f"<tr>{cells}</tr>")
    caption = f"<caption style='text-align: left; font-weight: 600'>{escape(shown.title)}</caption>"
    return f"<table>{caption}<thead><tr>{heads}</tr></thead><tbody>{''.join(body)}</tbody></table>"


def text(shown: Table) -> str:
    """A table as plain lines, each column as wide as its widest cell."""
    lines = [shown.heads, *shown.rows]
    widths = [max(len(line[column]) for line in lines) for column in range(len(shown.heads))]
    told = ["  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip() for line in lines]
    return "\n".join([shown.title, *(f"  {line}" for line in told)])


# --- verdicts ----------------------------------------------------------------------------------------

VERDICT = ("Target", "Wanted", "Got", "Margin", "Verdict")


def verdict_row(verdict: Verdict) -> tuple[str, str, str, str, str]:
    """One target in the words of all that show it."""
    unit = f" {verdict.unit}" if verdict.unit else ""
    got = "no value" if verdict.got is None else f"{number(verdict.got)}{unit}"
    if verdict.qualification is not None:
        got += f", but {verdict.qualification}"
    of_margin = f" {verdict.margin_unit}" if verdict.margin_unit else ""
    margin = "none" if verdict.margin is None else f"{number(verdict.margin, signed=True)}{of_margin}"
    return verdict.target, f"{verdict.sense} {number(verdict.wanted)}{unit}", got, margin, verdict.state


def judged(evaluation: Evaluation) -> list[tuple[str, Verdict]]:
    """Every target of an evaluation, with what it is set for."""
    of_axes = [(axis.name, verdict) for axis in evaluation.axes for verdict in axis.verdicts]
    of_sticks = [(stick.name, verdict) for stick in evaluation.sticks for verdict in stick.verdicts]
    return of_axes + of_sticks + [("the rig", verdict) for verdict in evaluation.verdicts]


def told(evaluation: Evaluation) -> list[tuple[str, str]]:
    """Every note of an evaluation, with what it is about; of what cannot be evaluated the reason."""
    notes = [
        (control.name, f"cannot be evaluated (line {control.line}): {control.reason}") for control in evaluation.broken
    ]
    for axis in evaluation.axes:
        parts = (axis, axis.linkage, axis.feel)
        notes += [(axis.name, note) for part in parts if part is not None for note in part.notes]
    for stick in evaluation.sticks:
        notes += [(stick.name, note) for part in (stick, stick.feel) if part is not None for note in part.notes]
    return notes + [("the rig", note) for note in evaluation.notes]


def in_words(evaluation: Evaluation) -> str:
    """What came out, and where to look."""
    words = [_of_targets(judged(evaluation))]
    if evaluation.broken:
        names = "; ".join(control.name for control in evaluation.broken)
        words.insert(0, f"Not yet: what cannot be evaluated has to change first ({names}).")
    broken = {control.name for control in evaluation.broken}
    noted = list(dict.fromkeys(name for name, _ in told(evaluation) if name not in broken))
    if noted:
        words.append(f"Whatever the targets, read the notes ({'; '.join(noted)}).")
    return " ".join(words)


def _of_targets(verdicts: Sequence[tuple[str, Verdict]]) -> str:
    total = len(verdicts)
    if total == 0:
        return "No targets are set, so there is nothing to pass or to miss."
    state = worst_state(verdict for _, verdict in verdicts)
    off = [f"{name}: {verdict.target}" for name, verdict in verdicts if verdict.state == state]
    which = f"{len(off)} of {total} targets {'is' if len(off) == 1 else 'are'}"
    if state == "close":
        return f"Nearly: {which} missed, by no more than a tenth ({'; '.join(off)})."
    if state == "missed":
        return f"Not yet: {which} missed ({'; '.join(off)})."
    if state == "not studied":
        return f"Not known yet: {which} not studied ({'; '.join(off)}); the others are met."
    return f"Yes: all {total} targets are met."


def worst_state(verdicts: Iterable[Verdict]) -> str:
    """The worst of several: "met" if there are none."""
    states = {verdict.state for verdict in verdicts}
    return next((state for state in ("missed", "close", "not studied") if state in states), "met")


# --- what is in them ---------------------------------------------------------------------------------


@singledispatch
def tables(value: object) -> list[Table]:
    """The tables of a result; of a class without one of its own, every figure by its name."""
    return [table(type(value).__name__, ("Figure", "Value", "What it is"), _figures(value))]


@tables.register
def _(value: Evaluation) -> list[Table]:
    verdicts = judged(value)
    rows = [(name, *verdict_row(verdict)) for name, verdict in verdicts]
    title = f"{value.title}. {in_words(value)}"
    shown = [table(title, ("Control", *VERDICT), rows, (verdict.state for _, verdict in verdicts))]
    notes = told(value)
    return [*shown, table("Notes", ("Control", "Note"), notes)] if notes else shown


@tables.register
def _(value: AxisEvaluation) -> list[Table]:
    verdicts = value.verdicts
    rows = [verdict_row(verdict) for verdict in verdicts]
    shown = [table(f"Axis {value.name}", VERDICT, rows, (verdict.state for verdict in verdicts))]
    if value.notes:
        shown.append(table("Notes", ("Note",), [(note,) for note in value.notes]))
    return shown + tables(value.figures)


@tables.register
def _(value: StickEvaluation) -> list[Table]:
    clearances = [(name, clearance(least)) for name, least in zip(value.axes, value.clearance, strict=True)]
    shown = [table(f"Both axes of {value.name}", ("Axis", "Least clearance"), clearances), *tables(value.crosstalk)]
    if value.notes:
        shown.append(table("Notes", ("Note",), [(note,) for note in value.notes]))
    return shown


@tables.register
def _(value: Verdict) -> list[Table]:
    return [table("Target", VERDICT, [verdict_row(value)], [value.state])]


@tables.register
def _(value: Crosstalk) -> list[Table]:
    rows = [
        (
            each.axis,
            f"{number(each.worst.counts)} counts",
            "no value" if each.worst.of_span is None else percent(each.worst.of_span),
            f"{number(each.center.counts)} counts",
            each.explanation,
        )
        for each in (value.outer, value.inner)
    ]
    return [table("Crosstalk", ("Reading of", "Changes by", "Of its span", "At the center", "Why"), rows)]


@tables.register
def _(value: ErrorBudget) -> list[Table]:
    lines = sorted(value.contributions, key=lambda line: line.standard_deviation, reverse=True)
    rows = [
        (line.cause, degrees(line.angle), percent(line.share), number(line.counts), line.remedy)
        for line in lines
        if line.standard_deviation > 0.0
    ]
    title = f"Errors: root sum square {degrees(value.root_sum_square)}, worst case {degrees(value.worst_case)}"
    return [table(title, ("Cause", "Greatest", "Of the throw", "Counts", "What helps"), rows)]


@tables.register
def _(value: Comparison) -> list[Table]:
    rows = []
    for control in value.controls:
        budget, figures = control.budget, control.figures
        rows.append(
            (
                control.name,
                str(figures.counts),
                percent(figures.range_used),
                "none" if control.departure_calibrated is None else percent(control.departure_calibrated),
                "none" if budget is None else degrees(budget.drift),
                "none" if budget is None else degrees(budget.root_sum_square),
                "none" if control.price is None else f"{control.price:.2f}",
            )
        )
    heads = ("Axis", "Counts", "Range used", "Departure, calibrated", "Drift", "Error, root sum square", "Price")
    return [table("Side by side", heads, rows)]


@tables.register
def _(value: Yield) -> list[Table]:
    low, high = value.interval
    title = f"{value.passed} of {value.builds} builds work: {percent(value.share)} ({percent(low)} to {percent(high)})"
    rows = []
    for each in value.targets:
        target = each.target
        limits = [f"at least {target.min:.4g}"] if target.min is not None else []
        limits += [f"at most {target.max:.4g}"] if target.max is not None else []
        low, high = each.interval
        rows.append((target.figure, " and ".join(limits), percent(each.share), f"{percent(low)} to {percent(high)}"))
    shown = [table(title, ("Figure", "Wanted", "Builds that meet it", "Between"), rows)]
    spreads = []
    for spread in value.spreads.values():
        quantiles = [spread.quantile(share) for share in (0.05, 0.5, 0.95)]
        spreads.append(
            (spread.figure, *("no value" if one is None else f"{one:.4g}" for one in quantiles), spread.unit or "1")
        )
    shown.append(table("How the builds spread", ("Figure", "5 % below", "Half below", "95 % below", "Unit"), spreads))
    if value.failures:
        failed = [(reason, str(count), words) for reason, count, _, words in value.failures]
        shown.append(table("Builds that cannot be", ("Reason", "How many", "The first"), failed))
    return shown


@tables.register
def _(value: RigYield) -> list[Table]:
    low, high = value.interval
    title = (
        f"{value.passed} of {value.builds} rigs work in every control: {percent(value.share)} "
        f"({percent(low)} to {percent(high)})"
    )
    heads = ("Control", "Builds that work", "Between", "What fails most", "What decides")
    shown = [table(title, heads, map(_control, value.controls))]
    if value.shared:
        together = [(name, ", ".join(controls)) for name, controls in value.shared]
        shown.append(table("Drawn once for a rig", ("Tolerance", "Moves"), together))
    return shown


def _control(control: ControlYield) -> tuple[str, str, str, str, str]:
    yields = control.yields
    if yields is None:
        return control.name, percent(control.share), "nothing varies", "", ""
    low, high = yields.interval
    failing = [(one.builds - one.passed, one.target.figure) for one in yields.targets]
    failing += [(many, reason) for reason, many, _, _ in yields.failures]
    many, what = max(failing, default=(0, ""))
    return (
        control.name,
        percent(control.share),
        f"{percent(low)} to {percent(high)}",
        f"{what}: {many} of {yields.builds}" if many else "nothing",
        control.decides or "not studied",
    )


@tables.register
def _(value: Cost) -> list[Table]:
    def told(price: float | None) -> str:
        return "not told" if price is None else f"{price:.2f}"

    rows = [
        (f"{item.kind} {item.name}", str(item.quantity), told(item.price), told(item.total), ", ".join(item.used_by))
        for item in value.items
    ]
    shares = [
        (share.name, f"{share.amount:.2f}", "none" if share.share is None else percent(share.share))
        for share in value.shares
    ]
    return [
        table(f"All that has a price: {value.total:.2f}", ("What", "Quantity", "Price", "Total", "For"), rows),
        table("Where the money goes", ("Control", "Costs", "Share"), shares),
    ]


@tables.register
def _(value: WhatIf) -> list[Table]:
    rows = [
        (name, percent(share), f"{number(100.0 * value.gains[name][0], signed=True)} points")
        for name, share in value.shares.items()
    ]
    return [table(f"As it is: {percent(value.share)}", ("Tolerance changed", "Builds that work", "Gain"), rows)]


@tables.register
def _(value: Importance) -> list[Table]:
    rows = [(each.figure, each.words) for each in value.figures.values()]
    return [table("What decides", ("Figure", "In words"), rows)]


@tables.register
def _(value: LatencyBudget) -> list[Table]:
    early, half, late = (f"{number(time / ms)} ms" for time in value.percentiles)
    title = (
        f"From hand to screen: mean {number(value.mean / ms)} ms, 5 % within {early}, half within {half}, "
        f"95 % within {late}"
    )
    rows = [
        (
            effect.name,
            effect.kind,
            f"{number(effect.mean / ms)} ms",
            f"{number(effect.standard_deviation / ms)} ms",
            "none" if effect.share_of_mean is None else percent(effect.share_of_mean),
            f"{number(effect.p95_halved / ms)} ms",
            effect.remedy,
        )
        for effect in value.effects()
    ]
    heads = ("Stage", "What it does", "Mean", "Deviation", "Of the mean", "95 % if halved", "What helps")
    return [table(title, heads, rows)]


@tables.register
def _(value: ArrangementSearch) -> list[Table]:
    shown = [*tables(value.result)]
    if value.just_outside is not None:
        shown.append(table("Just outside", ("What",), [(str(value.just_outside),)]))
    return shown


@tables.register
def _(value: SearchResult) -> list[Table]:  # type: ignore[type-arg]
    title = f"{value.what}: {value.fitting} of {value.tried} fit, {len(value)} shown"
    found = list(value)
    if found and all(isinstance(one, ArrangementCandidate) for one in found):
        heads = ("Place", "Measures", "Span", "Linearity", "Clearance", "Excels in")
        shown = [table(title, heads, (_candidate(place, one) for place, one in enumerate(found, start=1)))]
    else:
        rows = [(str(place), repr(one)) for place, one in enumerate(found, start=1)]
        shown = [table(title, ("Place", "Found"), rows)]
    if value.rejected:
        others = [
            (each.reason, str(each.count), f"{near.quantity} {near.value:.3g} {near.unit}, limit {near.limit:.3g}")
            for each in value.rejected
            for near in (each.nearest,)
        ]
        shown.append(table("What the others fall short in", ("What", "How many", "The nearest"), others))
    return shown


def _candidate(place: int, one: ArrangementCandidate) -> tuple[str, ...]:
    summary = one.summary
    return (
        str(place),
        measures(one),
        percent(summary.span),
        percent(summary.linearity),
        f"{number(summary.clearance / mm)} mm",
        ", ".join(one.characters),
    )


def measures(one: ArrangementCandidate) -> str:
    """Where magnet and sensor of a candidate stand, in words."""
    places = [each for each in one.arrangement.measures() if each.name in ("arm", "gap", "spacing", "plate distance")]
    return ", ".join(f"{each.name} {number(each.value / mm)} mm" for each in places)


# --- whatever has no table of its own ------------------------------------------------------------------

# The unit at the end of what a property says of itself, and how a reader has it.
_UNITS = {"rad": (deg, "deg"), "m": (mm, "mm"), "T": (mT, "mT"), "s": (ms, "ms")}
_UNIT = re.compile(
    r"(?:, |\()(rad|m|T|V|N|s|Hz|Pa|J|kg|N m|N/m|N m/rad|V/rad|T/rad|counts/rad|A|W|K|degC)(?=[.;,:)]|$)"
)
_LONGEST = 80


def _figures(value: object) -> Iterator[tuple[str, str, str]]:
    for name in dir(type(value)):
        about = getattr(type(value), name)
        if name.startswith("_") or callable(about):
            continue
        words = " ".join((getattr(about, "__doc__", None) or "").split())
        first = re.split(r"(?<=[.;])\s", words, maxsplit=1)[0].rstrip(".;")
        found = _UNIT.search(words)
        size, unit = _UNITS.get(found[1], (1.0, found[1])) if found else (1.0, "")
        yield name.replace("_", " "), _cell(getattr(value, name), size, unit), first


def _cell(value: Any, size: float, unit: str) -> str:
    match value:
        case None:
            return "none"
        case bool():
            return "yes" if value else "no"
        case int() | float():
            told = number(float(value) / size) if isinstance(value, float) or size != 1.0 else str(value)
            return f"{told} {unit}".rstrip()
        case str():
            return value
        case tuple() if value and all(isinstance(one, int | float) and not isinstance(one, bool) for one in value):
            return " to ".join(number(one / size) for one in value) + f" {unit}".rstrip()
    short = repr(value)
    return short if len(short) <= _LONGEST else f"{short[: _LONGEST - 3]}..."
