"""All axes side by side."""

from collections.abc import Callable
from html import escape

from .._core import ComparedFigures, Evaluation
from ._pieces import degrees, head, number, percent, row, table


def comparison_section(evaluation: Evaluation) -> str:
    """One table of all axes, a row for each; nothing of one alone."""
    comparison = evaluation.comparison
    if comparison is None or len(comparison.controls) < 2:
        return ""
    shown = [
        (name, cell) for name, cell in _COLUMNS if any(cell(control) is not None for control in comparison.controls)
    ]
    names = ("Axis", *(name for name, _ in shown))
    rows = [
        row(names, [escape(control.name), *(cell(control) or "none" for _, cell in shown)])
        for control in comparison.controls
    ]
    return (
        "<section class='axis' aria-labelledby='comparison'><h2 id='comparison'>Side by side</h2>"
        f"{table(head(names), rows, 'many')}</section>"
    )


def _price(control: ComparedFigures) -> str | None:
    return None if control.price is None else f"{control.price:.2f}"


def _share(share: float | None) -> str | None:
    return None if share is None else percent(share)


def _step(control: ComparedFigures) -> str | None:
    """The worse of one count and rms noise."""
    steps = (control.figures.step_quantization_worst, control.figures.step_noise_worst)
    known = [step for step in steps if step is not None]
    return degrees(max(known)) if known else None


_Cell = Callable[[ComparedFigures], str | None]

_COLUMNS: list[tuple[str, _Cell]] = [
    ("Counts", lambda c: str(c.figures.counts)),
    ("Range used", lambda c: percent(c.figures.range_used)),
    ("Step, worst", _step),
    ("Departure, calibrated", lambda c: _share(c.departure_calibrated)),
    ("Drift", lambda c: None if c.budget is None else degrees(c.budget.drift)),
    ("Error, root sum square", lambda c: None if c.budget is None else degrees(c.budget.root_sum_square)),
    ("Crosstalk", lambda c: None if c.crosstalk is None else f"{number(c.crosstalk)} counts"),
    ("Price", _price),
]
