"""`yokewright tolerance`: how many of the rigs that strangers build will work."""

from pathlib import Path

import click

from .._document import Document
from .._numbers import percent
from .._tables import Table, judged, table, tables
from ..rig import Design, RigYield
from ._ends import MISSED, PASSED
from ._options import cautions, count, design_argument, file_option, part, switch
from ._outputs import Output, deliver, refuse
from ._show import progress, show

_ROWS = 1024  # of the study of what decides; each is built once more for every tolerance


@part(short="count how many of the rigs that strangers build will work", epilog=cautions())
@design_argument
@click.argument("axis", metavar="[AXIS]", required=False)
@click.option("--builds", type=count, metavar="N", default="10000", show_default=True, help="rigs that are built")
@click.option("--seed", type=count, metavar="N", default="1", show_default=True, help="the same gives the same rigs")
@switch("--decides", "also study which tolerance decides; takes longer")
@file_option("--json", "also write every figure for other programs; - prints them instead")
def tolerance(design: Path, axis: str | None, builds: int, seed: int, decides: bool, json: Path | None) -> int:
    """Build DESIGN as strangers do, by the tolerances of its file, and count the rigs that meet every target.

    With AXIS, which may be a stick with targets of its own, only what is found of that control is shown, and how its
    figures spread. The exit status is that of the yields that the file asks for: 0 if they are reached, or missed by no
    more than a tenth, else 1.
    """
    refuse({"design": design}, {"file of figures": json})
    loaded = Design.load(design)
    if axis is not None:
        Document(loaded).check_control(axis)  # before the long work
    with progress(f"Building {builds} rigs"):
        found = loaded.study_yields(builds, seed=seed, importance_rows=_ROWS if decides else None)
    evaluation = loaded.evaluate(yields=found)
    asked = [verdict for _, verdict in judged(evaluation) if verdict.target == "yield"]
    status = MISSED if any(verdict.state == "missed" for verdict in asked) else PASSED
    return deliver(
        [Output("figures", json, lambda: found.to_json() + "\n")],
        lambda: show(_shown(found, axis)),
        status,
    )


def _shown(found: RigYield, axis: str | None) -> list[Table]:
    if axis is None:
        return tables(found)
    control = found.control(axis)
    if control is None or control.yields is None:
        return [
            table(
                f"{axis}: nothing of it varies",
                ("Builds that work",),
                [(percent(0.0 if control is None else control.share),)],
            )
        ]
    return tables(control.yields) + (tables(control.importance) if control.importance is not None else [])
