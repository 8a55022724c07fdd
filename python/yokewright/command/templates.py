"""`yokewright templates`: what there is to drill and to cut, at 1:1."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

import click

from .. import mm
from ..errors import InvalidValueError
from ..rig import Design
from ._ends import PASSED
from ._options import FILE, cautions, design_argument, part
from ._outputs import Output, deliver, refuse

_USUAL = {"pivot-hole": 8.0, "joint-hole": 6.0, "arm-width": 20.0, "stick-diameter": 16.0, "gate-height": 60.0}
_ABOUT = {
    "pivot-hole": "diameter of the bolts of pivots",
    "joint-hole": "diameter of the bolts of rod joints",
    "arm-width": "width of pedal and crank arms",
    "stick-diameter": "of a stick whose radius the design does not give",
    "gate-height": "of a gate plate above the outer axis",
}


def _measures(function: Callable[..., int]) -> Callable[..., int]:
    for name, usual in _USUAL.items():
        option = click.option(
            f"--{name}", metavar="MM", type=float, default=usual, show_default=True, help=_ABOUT[name]
        )
        function = option(function)
    return function


@part(short="draw the templates of a design at 1:1, to drill and to cut by", epilog=cautions())
@design_argument
@click.argument("folder", metavar="FOLDER", type=FILE)
@click.option(
    "--kind",
    type=click.Choice(["svg", "dxf"]),
    multiple=True,
    help="of file: svg to print, dxf for a machine (needs ezdxf); may be repeated. Left out: svg",
)
@_measures
def templates(design: Path, folder: Path, kind: tuple[str, ...], **measures: float) -> int:
    """Draw every mount, arm and gate plate of DESIGN at 1:1 into FOLDER.

    Each sheet has a bar to measure before anything is drilled or cut: browsers and printers like to fit a page.
    """
    # Needed here only: outlines of magnets come with the drawings.
    from ..templates import design_templates

    if folder.exists() and not folder.is_dir():
        raise InvalidValueError(f"{folder}: not a folder")
    evaluation = Design.load(design).evaluate()
    found = design_templates(evaluation, **{name: value * mm for name, value in measures.items()})
    makers = {"svg": "to_svg", "dxf": "to_dxf"}
    outputs = [
        Output(template.title, folder / f"{name}.{ending}", getattr(template, makers[ending]))
        for name, template in found.drawn.items()
        for ending in kind or ("svg",)
    ]
    refuse({"design": design}, {str(output.path): output.path for output in outputs if folder.exists()})
    # All are made before the first is written: a missing package leaves nothing half done.
    made = [Output(output.name, output.path, partial(str, output.make())) for output in outputs]
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise InvalidValueError(f"{folder}: {error.strerror}") from error

    def show() -> None:
        print(f"{evaluation.title}: {len(found.drawn)} templates at 1:1. Measure the bar on each before you cut.")
        for title, reason in found.left_out.items():
            print(f"Not drawn: {title}: {reason}")

    return deliver(made, show, PASSED)
