"""One page about a design, for the person who is going to build it: an HTML file that needs nothing else."""

import os
from html import escape
from os import PathLike
from pathlib import Path

from .._core import CAUTIONS, AxisEvaluation, Evaluation, __version__
from .._files import same_file, write_whole
from ..errors import InvalidValueError
from ._axis import axis_section
from ._compare import comparison_section
from ._pieces import items
from ._stick import stick_section
from ._style import STYLE
from ._terms import terms

__all__ = ["report_html", "write_report"]


def write_report(evaluation: Evaluation, path: str | PathLike[str]) -> Path:
    """Write the report of an evaluated design to `path` and return that path.

    The file is complete in itself: pictures are part of it and nothing is fetched from anywhere. It appears
    whole or not at all. InvalidValueError if `path` is the design file itself, OSError if it cannot be
    written.
    """
    target, name = Path(path), evaluation.design.name
    # The name of a design that was no file can be any text, of which Path.is_file would complain.
    if os.path.isfile(name) and same_file(Path(name), target):  # noqa: PTH113
        raise InvalidValueError(f"{target}: the report would overwrite the design")
    write_whole(target, report_html(evaluation))
    return target


def report_html(evaluation: Evaluation) -> str:
    """Return the report of an evaluated design as the text of an HTML page."""
    title = escape(evaluation.title)
    body = [
        f"<header><p class='kind'>Evaluation of a control design</p><h1>{title}</h1>",
        f"<p class='verdict {evaluation.state}'>{escape(_overall(evaluation))}</p></header>",
        _contents(evaluation),
        _broken(evaluation),
        _cautions(),
        *[axis_section(number, axis, evaluation.currency) for number, axis in enumerate(evaluation.axes, start=1)],
        *[stick_section(number, stick) for number, stick in enumerate(evaluation.sticks, start=1)],
        comparison_section(evaluation),
        terms(),
        f"<footer><p>Calculated by yokewright {escape(__version__)} from ideal parts: uniformly polarized "
        "magnets, links and frames that do not give, one temperature at a time, no tolerances.</p></footer>",
    ]
    return (
        "<!DOCTYPE html>\n"
        "<html lang='en'>\n<head>\n<meta charset='utf-8'>\n"
        "<meta name='viewport' content='width=device-width, initial-scale=1'>\n"
        "<meta name='color-scheme' content='light dark'>\n"
        f"<title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        + "\n".join(part for part in body if part)
        + "\n</body>\n</html>\n"
    )


def _overall(evaluation: Evaluation) -> str:
    """Say what came out, and where to look."""
    told = [_of_targets(evaluation)]
    if evaluation.broken:
        names = "; ".join(control.name for control in evaluation.broken)
        told.insert(0, f"Not yet: what cannot be evaluated has to change first ({names}).")
    noted = [axis.name for axis in evaluation.axes if axis.notes]
    noted += [stick.name for stick in evaluation.sticks if stick.notes]
    if noted:
        told.append(f"Whatever the targets, read the notes ({'; '.join(noted)}).")
    return " ".join(told)


def _of_targets(evaluation: Evaluation) -> str:
    verdicts = [(axis.name, verdict) for axis in evaluation.axes for verdict in axis.verdicts]
    total = len(verdicts)
    if total == 0:
        return "No targets are set, so there is nothing to pass or to miss."

    states = {verdict.state for _, verdict in verdicts}
    state = next((state for state in ("missed", "close") if state in states), "met")
    off = [f"{name}: {verdict.target}" for name, verdict in verdicts if verdict.state == state]
    which = f"{len(off)} of {total} targets {'is' if len(off) == 1 else 'are'}"
    if state == "close":
        return f"Nearly: {which} missed, by no more than a tenth ({'; '.join(off)})."
    if state == "missed":
        return f"Not yet: {which} missed ({'; '.join(off)})."
    return f"Yes: all {total} targets are met."


def _broken(evaluation: Evaluation) -> str:
    if not evaluation.broken:
        return ""
    reasons = [f"{control.name} (line {control.line}): {control.reason}" for control in evaluation.broken]
    return (
        f"<section aria-labelledby='broken'><h2 id='broken'>Cannot be evaluated</h2><ul>{items(reasons)}</ul></section>"
    )


def _cautions() -> str:
    return (
        "<section class='cautions' aria-labelledby='cautions'><h2 id='cautions'>Before you build</h2>"
        f"<ul>{items(CAUTIONS)}</ul></section>"
    )


def _contents(evaluation: Evaluation) -> str:
    links = [
        f"<li><a href='#axis-{number}'>{escape(axis.name)}</a>: {_worst(axis)}</li>"
        for number, axis in enumerate(evaluation.axes, start=1)
    ]
    links += [
        f"<li><a href='#stick-{number}'>{escape(stick.name)}</a>: both axes</li>"
        for number, stick in enumerate(evaluation.sticks, start=1)
    ]
    if evaluation.comparison is not None and len(evaluation.axes) > 1:
        links.append("<li><a href='#comparison'>Side by side</a></li>")
    links.append("<li><a href='#terms'>What the words mean</a></li>")
    return f"<nav aria-label='Contents'><ul>{''.join(links)}</ul></nav>"


def _worst(axis: AxisEvaluation) -> str:
    states = {verdict.state for verdict in axis.verdicts}
    if not states:
        return "no targets"
    return next((state for state in ("missed", "close") if state in states), "met")
