"""One page about a design, for the person who is going to build it: an HTML file that needs nothing else."""

import os
from html import escape
from os import PathLike
from pathlib import Path

from .._core import CAUTIONS, AxisEvaluation, Evaluation, __version__
from .._document import Document
from .._files import same_file, write_whole
from .._tables import in_words, worst_state
from ..errors import InvalidValueError
from ._assembly import assembly_section, wiring_section
from ._axis import axis_section
from ._compare import comparison_section
from ._cost import cost_section
from ._handling import handling_section
from ._latency import latency_section
from ._pieces import items
from ._stick import stick_section
from ._style import STYLE
from ._terms import terms
from ._yield import slot_section, yield_section

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
    state = evaluation.state.replace(" ", "-")
    document = Document(evaluation.design)
    controls = [axis_section(number, axis, evaluation.currency) for number, axis in enumerate(evaluation.axes, start=1)]
    controls += [stick_section(number, stick) for number, stick in enumerate(evaluation.sticks, start=1)]
    rest = [
        (name, place, section)
        for name, place, section in (
            ("Builds of strangers", "yields", yield_section(evaluation)),
            ("Adjustable positions", "slots", slot_section(evaluation)),
            ("From hand to screen", "latency", latency_section(evaluation)),
            ("Side by side", "comparison", comparison_section(evaluation)),
            ("Figures for assembly", "assembly", assembly_section(evaluation, document)),
            ("Magnets to handle", "magnets", handling_section(evaluation)),
            ("Bill of materials", "cost", cost_section(evaluation)),
            ("Wiring", "wiring", wiring_section(evaluation, document)),
            ("What the words mean", "terms", terms()),
        )
        if section
    ]
    body = [
        "<a class='skip' href='#controls'>Skip to the first control</a>",
        f"<header><p class='kind'>Evaluation of a control design</p><h1>{title}</h1>",
        f"<p class='verdict {state}'>{escape(in_words(evaluation))}</p></header>",
        _contents(evaluation, [(name, place) for name, place, _ in rest]),
        _broken(evaluation),
        _cautions(),
        "<main id='controls' tabindex='-1'>",
        *controls,
        "</main>",
        *(section for _, _, section in rest),
        f"<footer><p>Calculated by yokewright {escape(__version__)} from ideal parts: uniformly polarized "
        "magnets, links and frames that do not give, one temperature at a time; tolerances count among the builds of "
        "strangers alone.</p></footer>",
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


def _contents(evaluation: Evaluation, rest: list[tuple[str, str]]) -> str:
    links = [
        f"<li><a href='#axis-{number}'>{escape(axis.name)}</a>: {_worst(axis)}</li>"
        for number, axis in enumerate(evaluation.axes, start=1)
    ]
    links += [
        f"<li><a href='#stick-{number}'>{escape(stick.name)}</a>: both axes</li>"
        for number, stick in enumerate(evaluation.sticks, start=1)
    ]
    links += [f"<li><a href='#{place}'>{escape(name)}</a></li>" for name, place in rest]
    return f"<nav aria-label='Contents'><ul>{''.join(links)}</ul></nav>"


def _worst(axis: AxisEvaluation) -> str:
    return worst_state(axis.verdicts) if axis.verdicts else "no targets"
