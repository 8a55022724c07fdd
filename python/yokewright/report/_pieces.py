"""The small pieces that a page is made of: tables, pictures, numbers in the reader's units."""

import base64
import io
from collections.abc import Callable, Iterable, Sequence
from html import escape

import matplotlib as mpl
from matplotlib.figure import Figure

from .._core import AxisEvaluation, deg
from ._style import NARROW

_LEAST = 1e-8  # of a whole: less is not told in digits


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
) -> str:
    """Draw into an SVG that is carried inside its img element; the same design gives the same bytes.

    narrow: size of a second drawing for a narrow screen, on which the letters of a wide one are too small.
    """
    image = f"<img src='{svg(draw, size)}' alt='{escape(alt)}'>"
    if narrow is not None:
        source = f"<source media='({NARROW})' srcset='{svg(draw, narrow)}'>"
        image = f"<picture>{source}{image}</picture>"
    return f"<figure>{image}<figcaption>{escape(caption)}</figcaption></figure>"


def svg(draw: Callable[[Figure], object], size: tuple[float, float]) -> str:
    # Letters as outlines: the picture looks the same wherever the page is opened.
    with mpl.rc_context({"svg.fonttype": "path", "svg.hashsalt": "yokewright", "hatch.linewidth": 0.8}):
        figure = Figure(figsize=size, layout="constrained")
        draw(figure)
        buffer = io.BytesIO()
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    return "data:image/svg+xml;base64," + base64.b64encode(buffer.getvalue()).decode("ascii")


def number(value: float, signed: bool = False) -> str:
    """Three digits that count, and never an exponent."""
    digits = f"{value:.0f}" if abs(value) >= 1000.0 else f"{value:.3g}"
    if "e" in digits:
        digits = f"{value:.12f}".rstrip("0").rstrip(".")
    if signed and value > 0.0:
        digits = "+" + digits
    return digits.replace("-", "\N{MINUS SIGN}")


def percent(share: float) -> str:
    if 0.0 < share < _LEAST:
        return f"less than {number(100.0 * _LEAST)} %"  # something is not nothing
    return f"{number(100.0 * share)} %"


def degrees(angle: float) -> str:
    return f"{number(angle / deg)} deg"


def throw(axis: AxisEvaluation) -> str:
    low, high = axis.axis.throw
    return f"{degrees(low)} to {degrees(high)}"


def triple(values: Iterable[float]) -> str:
    return ", ".join(number(value) for value in values)


def steps(center: float | None, worst: float | None) -> str:
    def at(step: float | None) -> str:
        return "no value" if step is None else degrees(step)

    return f"{at(center)} at center, {at(worst)} at worst"
