"""The small pieces that a page is made of: tables, pictures, numbers in the reader's units."""

import base64
import io
from collections.abc import Callable, Iterable, Sequence
from html import escape
from typing import Any

import matplotlib as mpl
from matplotlib.figure import Figure

from .._core import AxisEvaluation, Verdict
from .._numbers import degrees, number, percent, triple
from .._tables import VERDICT, verdict_row

__all__ = [
    "as_svg",
    "degrees",
    "figure",
    "head",
    "items",
    "number",
    "pairs",
    "percent",
    "row",
    "svg",
    "table",
    "targets",
    "throw",
    "triple",
]


def items(texts: Iterable[str]) -> str:
    return "".join(f"<li>{escape(text)}</li>" for text in texts)


def head(words: Iterable[str]) -> str:
    return "".join(f"<th scope='col'>{escape(word)}</th>" for word in words)


def row(heads: Sequence[str], cells: Sequence[str], kind: str = "") -> str:
    """One row, each cell with the head of its column, which a narrow screen shows in front of it."""
    values = "".join(
        f"<td data-head='{escape(head)}'>{cell}</td>" for head, cell in zip(heads[1:], cells[1:], strict=True)
    )
    kind = f" class='{kind}'" if kind else ""
    return f"<tr{kind}><th scope='row'>{cells[0]}</th>{values}</tr>"


def table(head: str, rows: Iterable[str], kind: str) -> str:
    return (
        f"<div class='wide'><table class='{kind}'><thead><tr>{head}</tr></thead>"
        f"<tbody>{''.join(rows)}</tbody></table></div>"
    )


def pairs(rows: Iterable[tuple[str, str]]) -> list[str]:
    return [f"<tr><th scope='row'>{escape(name)}</th><td>{escape(value)}</td></tr>" for name, value in rows]


def figure(
    draw: Callable[[Figure], object],
    size: tuple[float, float],
    alt: str,
    caption: str,
    narrow: tuple[float, float] | None = None,
    kind: str = "",
) -> str:
    """Draw into an SVG that is carried inside its img element; the same design gives the same bytes.

    narrow: size of a second drawing for a narrow screen and for paper, where the letters of a wide one are too small.
    kind: "second" of what paper can do without.
    """

    def image(size: tuple[float, float], kind: str) -> str:
        return f"<img{kind} src='{svg(draw, size)}' alt='{escape(alt)}'>"

    drawn = image(size, "")
    if narrow is not None:
        drawn = image(size, " class='wide-picture'") + image(narrow, " class='narrow-picture'")
    of_kind = f" class='{kind}'" if kind else ""
    return f"<figure{of_kind}>{drawn}<figcaption>{escape(caption)}</figcaption></figure>"


# Letters as outlines: the picture looks the same wherever the page is opened.
_LOOK: Any = {"svg.fonttype": "path", "svg.hashsalt": "yokewright", "hatch.linewidth": 0.8}


def svg(draw: Callable[[Figure], object], size: tuple[float, float]) -> str:
    figure = Figure(figsize=size, layout="constrained")
    with mpl.rc_context(_LOOK):
        draw(figure)
    return as_svg(figure)


def as_svg(figure: Figure) -> str:
    """A drawing as the address of an image that holds it."""
    with mpl.rc_context(_LOOK):
        buffer = io.BytesIO()
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    return "data:image/svg+xml;base64," + base64.b64encode(buffer.getvalue()).decode("ascii")


def throw(axis: AxisEvaluation) -> str:
    low, high = axis.axis.throw
    return f"{degrees(low)} to {degrees(high)}"


def targets(verdicts: Sequence[Verdict], of: str) -> str:
    """What was asked and what came out; of: whose targets they are."""
    if not verdicts:
        return f"<p>No targets are set for {of}.</p>"
    rows = [row(VERDICT, [escape(cell) for cell in verdict_row(one)], one.state) for one in verdicts]
    return table(head(VERDICT), rows, "targets")
