"""`yokewright evaluate`: a design file against its targets."""

from pathlib import Path
from threading import Event

from .. import YokewrightError
from .._tables import in_words, judged, tables
from ..rig import Design, Evaluation
from ._ends import EXIT_STATUS, PASSED, of_state
from ._options import builds_option, cautions, design_argument, file_option, part, points_option, switch
from ._outputs import STANDARD_OUTPUT, Output, deliver, refuse
from ._show import in_terminal, progress, show
from ._streams import complain
from ._watch import each_save


@part(short="evaluate a design file against its targets", epilog=EXIT_STATUS + "\n" + cautions())
@design_argument
@file_option("--report", "also write a page with drawings (HTML)")
@file_option("--json", "also write every figure for other programs; - prints them instead of the verdict")
@points_option
@builds_option
@switch("--watch", "evaluate again each time the design is saved, until interrupted")
def evaluate(design: Path, report: Path | None, json: Path | None, points: int, builds: int, watch: bool) -> int:
    """Evaluate every control of DESIGN (TOML) against its targets."""
    refuse({"design": design}, {"file of figures": json, "report": report})
    if not watch:
        return _once(design, report, json, points, builds)

    def again() -> None:
        try:
            _once(design, report, json, points, builds)
        except YokewrightError as error:
            complain(str(error))  # to be mended, and saved again
        if json != STANDARD_OUTPUT:
            print(f"\nWaiting until {design} is saved; Ctrl-C ends.", flush=True)

    each_save(design, again, Event())
    return PASSED


def _once(design: Path, report: Path | None, json: Path | None, points: int, builds: int) -> int:
    evaluation = evaluated(design, points, builds)
    outputs = [
        Output("figures", json, lambda: evaluation.to_json() + "\n"),
        Output("report", report, lambda: page(evaluation)),
    ]
    return deliver(outputs, lambda: print_verdict(evaluation), of_state(evaluation.state))


def evaluated(design: Path, points: int, builds: int) -> Evaluation:
    """The evaluation of a design file, with a study of the builds if it asks for a yield."""
    loaded = Design.load(design)
    evaluation = loaded.evaluate(points)
    if builds == 0 or all(verdict.state != "not studied" for _, verdict in judged(evaluation)):
        return evaluation
    with progress(f"Building {builds} rigs"):
        yields = loaded.study_yields(builds)
    return loaded.evaluate(points, yields=yields)


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
