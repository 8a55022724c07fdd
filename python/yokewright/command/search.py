"""`yokewright search`: which magnet of a design, and where, for one of its axes."""

import json as json_text
from pathlib import Path
from typing import Any, Literal

import click

from .. import YokewrightError, mm
from .._document import Document
from .._numbers import number, percent
from .._tables import measures, table, tables, worst_state
from ..axis import Arrangement, ArrangementCandidate, search_arrangements
from ..errors import InvalidValueError
from ..rig import DESIGN_KEYS, Design
from ._ends import MISSED, PASSED
from ._options import axis_argument, cautions, design_argument, file_option, part
from ._outputs import Output, deliver, refuse
from ._show import progress, show

# The measures of an arrangement that a design file has a key of its own for, lengths all of them.
_KEYS = {"arm": "arm_mm", "gap": "gap_mm", "spacing": "spacing_mm"}


@part(short="search the magnet and its place for one axis", epilog=cautions())
@design_argument
@axis_argument
@click.option(
    "--between",
    "ranges",
    metavar="MEASURE LOW HIGH",
    type=(click.Choice(list(_KEYS)), float, float),
    multiple=True,
    help="how far a measure may go, mm; may be repeated. Left out: arm and gap from half of the design to twice",
)
@click.option("--step", metavar="MM", type=float, default=0.1, show_default=True, help="step of every measure")
@click.option(
    "--objective",
    type=click.Choice(["span", "linearity", "step"]),
    default="span",
    show_default=True,
    help="what is sought: the widest sweep, the straightest, the finest step",
)
@click.option(
    "--keep-free", metavar="PERCENT", type=float, default=3.0, show_default=True, help="of the output at each rail"
)
@file_option("--json", "also write the answers for other programs; - prints them instead")
def search(
    design: Path,
    axis: str,
    ranges: tuple[tuple[str, float, float], ...],
    step: float,
    objective: Literal["span", "linearity", "step"],
    keep_free: float,
    json: Path | None,
) -> int:
    """Try every magnet of DESIGN at every place for AXIS, and put each answer back into the design.

    The targets of the axis for linearity and clearance limit the search. Each answer is then evaluated in the whole
    design, so that its verdict is the one that `evaluate` would give. The exit status is 0 if an answer meets every
    target of the axis, or misses it by no more than a tenth, and 1 if none does.
    """
    refuse({"design": design}, {"file of answers": json})
    loaded = Design.load(design)
    document = Document(loaded)
    place = document.axis_place(axis)
    starts = _starts(document, place, axis)
    own = _evaluated(loaded, axis)
    limits = {verdict.target: verdict.wanted for verdict in own.verdicts}
    built, vary = own.axis, _vary(own.arrangement, ranges, step)
    with progress(f"Searching {axis}"):
        found = search_arrangements(
            [arrangement for _, arrangement in starts],
            sensors=[built.sensor],
            converter=built.converter,
            throw=built.throw,
            vary=vary,
            drive=built.drive,
            lever=built.lever,
            moving=built.moving,
            objective=objective,
            max_linearity=limits.get("independent linearity", 1.0) / 100.0,
            min_clearance=limits.get("clearance", 0.0) * mm,
            min_span=0.1 if objective == "linearity" else 0.0,
            range_margin=keep_free / 100.0,
        )
    answers = [_answer(document, place, axis, starts, one) for one in found.result]
    good = any(answer["state"] in ("met", "close") for answer in answers)
    return deliver(
        [Output("answers", json, lambda: json_text.dumps([_stored(one) for one in answers], indent=2) + "\n")],
        lambda: _print(axis, answers, found),
        PASSED if good else MISSED,
    )


def _evaluated(design: Design, axis: str) -> Any:
    evaluation = design.evaluate()
    for control in evaluation.broken:
        if control.name == axis:
            raise InvalidValueError(f"{axis} (line {control.line}) cannot be evaluated: {control.reason}")
    return next(each for each in evaluation.axes if each.name == axis)


def _starts(document: Document, place: str, axis: str) -> list[tuple[str, Arrangement]]:
    """Give the axis with each magnet of the file in its turn; one that cannot be there is left out."""
    starts = []
    if document.at(f"{place}.magnet") is None:
        raise InvalidValueError(f"axis {axis!r}: it has no magnet to be searched for")
    for magnet in document.tree.get("magnet", {}):
        try:
            evaluated = _evaluated(document.changed({f"{place}.magnet": magnet}), axis)
        except YokewrightError:
            continue
        if evaluated.arrangement is not None:
            starts.append((magnet, evaluated.arrangement))
    if not starts:
        raise InvalidValueError(f"axis {axis!r}: no magnet of the design can be where it stands")
    return starts


def _vary(
    arrangement: Arrangement, ranges: tuple[tuple[str, float, float], ...], step: float
) -> dict[str, tuple[float, float] | tuple[float, float, float]]:
    given: dict[str, tuple[float, float] | tuple[float, float, float]] = {
        name: (low * mm, high * mm, step * mm) for name, low, high in ranges
    }
    for name in given:
        if arrangement.measure(name) is None:
            raise InvalidValueError(f"measure {name}: an arrangement of this kind has none")
    if given:
        return given
    usual = {name: arrangement.measure(name) for name in ("arm", "gap")}
    return {
        name: (_rounded(0.5 * value, step), _rounded(2.0 * value, step), step * mm)
        for name, value in usual.items()
        if value is not None
    }


def _rounded(value: float, step: float) -> float:
    """To a whole number of steps, since drilled holes and printed slots have round numbers."""
    return round(value / (step * mm)) * step * mm if step > 0.0 else value


def _answer(
    document: Document, place: str, axis: str, starts: list[tuple[str, Arrangement]], one: ArrangementCandidate
) -> dict[str, Any]:
    known = {key for key, _, _ in DESIGN_KEYS}
    keys: dict[str, float | str] = {"magnet": starts[one.start][0]}
    for measure in one.arrangement.measures():
        key = _KEYS.get(measure.name)
        if key is not None and any(name.endswith(f".{key}") for name in known):
            keys[key] = round(measure.value / mm, 6)
    answer: dict[str, Any] = {"keys": keys, "one": one}
    try:
        evaluated = _evaluated(document.changed({f"{place}.{key}": value for key, value in keys.items()}), axis)
    except YokewrightError as error:
        return answer | {"state": "missed", "verdict": str(error)}
    missed = [verdict.target for verdict in evaluated.verdicts if verdict.state != "met"]
    state = worst_state(evaluated.verdicts)
    met = len(evaluated.verdicts) - len(missed)
    words = f"{met} of {len(evaluated.verdicts)} met" + (f"; {state}: {', '.join(missed)}" if missed else "")
    return answer | {"state": state, "verdict": words}


def _stored(answer: dict[str, Any]) -> dict[str, Any]:
    one = answer["one"]
    summary = {
        name: getattr(one.summary, name)
        for name in ("span", "linearity", "step", "size", "magnet_volume", "clearance", "clipped_share")
    }
    return {
        "keys": answer["keys"],
        "state": answer["state"],
        "verdict": answer["verdict"],
        "characters": one.characters,
        "summary": summary,
    }


_HEADS = ("Magnet", "Measures", "Span", "Linearity", "Clearance", "Excels in", "In the design")


def _print(axis: str, answers: list[dict[str, Any]], found: Any) -> None:
    rows = []
    for answer in answers:
        one = answer["one"]
        rows.append(
            (
                str(answer["keys"]["magnet"]),
                measures(one),
                percent(one.summary.span),
                percent(one.summary.linearity),
                f"{number(one.summary.clearance / mm)} mm",
                ", ".join(one.characters),
                answer["verdict"],
            )
        )
    result = found.result
    title = f"{axis}: {result.fitting} of {result.tried} places fit, {len(answers)} shown, best first"
    shown = [table(title, _HEADS, rows, (answer["state"] for answer in answers))] if rows else []
    shown += tables(result)[1:] if rows else tables(result)
    words = [str(found.just_outside)] if found.just_outside is not None else []
    if rows:
        keys = ", ".join(f"{key} = {_toml(value)}" for key, value in answers[0]["keys"].items())
        words.append(f"To have the first: {keys}")
    show(shown, words)


def _toml(value: float | str) -> str:
    return json_text.dumps(value)
