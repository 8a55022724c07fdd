"""`yokewright evaluate`: a design file against its targets."""

from pathlib import Path
from threading import Event

from .. import YokewrightError
from .._tables import in_words, tables
from ..rig import Design, Evaluation
from ._ends import EXIT_STATUS, PASSED, of_state
from ._options import cautions, design_argument, file_option, part, points_option, switch
from ._outputs import STANDARD_OUTPUT, Output, deliver, refuse
from ._show import in_terminal, show
from ._streams import complain
from ._watch import each_save


@part(short="evaluate a design file against its targets", epilog=EXIT_STATUS + "\n" + cautions())
@design_argument
@file_option("--report", "also write a page with drawings (HTML)")
@file_option("--json", "also write every figure for other programs; - prints them instead of the verdict")
@points_option
@switch("--watch", "evaluate again each time the design is saved, until interrupted")
def evaluate(design: Path, report: Path | None, json: Path | None, points: int, watch: bool) -> int:
    """Evaluate every control of DESIGN (TOML) against its targets."""
    refuse({"design": design}, {"file of figures": json, "report": report})
    if not watch:
        return _once(design, report, json, points)

    def again() -> None:
        try:
            _once(design, report, json, points)
        except YokewrightError as error:
            complain(str(error))  # to be mended, and saved again
        if json != STANDARD_OUTPUT:
            print(f"\nWaiting until {design} is saved; Ctrl-C ends.", flush=True)

    each_save(design, again, Event())
    return PASSED


def _once(design: Path, report: Path | None, json: Path | None, points: int) -> int:
    evaluation = Design.load(design).evaluate(points)
    outputs = [
        Output("figures", json, lambda: evaluation.to_json() + "\n"),
        Output("report", report, lambda: page(evaluation)),
    ]
    return deliver(outputs, lambda: print_verdict(evaluation), of_state(evaluation.state))


def page(evaluation: Evaluation) -> str:
    """The page about an evaluation."""
    # matplotlib is slow to import and not every run draws.
    from ..report import report_html

    return report_html(evaluation)


def print_verdict(evaluation: Evaluation) -> None:
    """Print what came out."""
    if in_terminal():
        show(tables(evaluation))
    else:
        print(str(evaluation).rstrip())


def print_in_words(evaluation: Evaluation) -> None:
    """Print the verdict in a sentence or two."""
    print(f"{evaluation.title}: {in_words(evaluation)}")
