"""`yokewright report`: the page that a stranger can build from."""

from pathlib import Path

import click

from ._ends import EXIT_STATUS, of_state
from ._options import FILE, builds_option, cautions, design_argument, part, points_option
from ._outputs import Output, deliver, refuse
from .evaluate import evaluated, page, print_in_words


@part(short="write the page about a design, with drawings", epilog=EXIT_STATUS + "\n" + cautions())
@design_argument
@click.argument("page_file", metavar="[PAGE]", type=FILE, required=False)
@points_option
@builds_option
def report(design: Path, page_file: Path | None, points: int, builds: int) -> int:
    """Write the page about DESIGN to PAGE: an HTML file that needs nothing else.

    Without PAGE it goes to the folder you are in, by the name of the design.
    """
    target = Path(design.with_suffix(".html").name) if page_file is None else page_file
    refuse({"design": design}, {"page": target})
    evaluation = evaluated(design, points, builds)
    return deliver(
        [Output("page", target, lambda: page(evaluation))],
        lambda: print_in_words(evaluation),
        of_state(evaluation.state),
    )
