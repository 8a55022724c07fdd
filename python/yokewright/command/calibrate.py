"""`yokewright calibrate`: a sweep from the bench, its calibration, constants for the firmware."""

from functools import partial
from pathlib import Path

import click

from ._bench import calibrated, check_outputs, source
from ._ends import PASSED
from ._options import FILE, count, file_option, part
from ._outputs import Output, deliver, refuse
from ._show import show

_REASONS = ("missing", "not a number", "impossible", "stuck", "clipped", "duplicate", "outlier")


@part(short="turn a sweep from the bench into constants for the firmware")
@click.argument("sweep", metavar="SWEEP", type=FILE)
@click.option("--bits", type=count, metavar="N", required=True, help="of the converter that gave the counts")
@click.option("--name", default="axis", show_default=True, help="of the axis, in the sources")
@click.option("--knots", type=count, metavar="N", default="17", show_default=True, help="of the table")
@click.option("--dead-zone", type=float, metavar="DEG", default=0.0, show_default=True, help="either side of center")
@click.option("--end-zone", type=float, metavar="DEG", default=0.0, show_default=True, help="before either end")
@click.option(
    "--leave-out",
    metavar="REASON",
    type=click.Choice(_REASONS),
    multiple=True,
    help=f"rows doubted for this reason; may be repeated. One of: {', '.join(_REASONS)}",
)
@click.option(
    "--write",
    metavar="FILE",
    type=FILE,
    multiple=True,
    help="constants by the ending of FILE: .json, .csv, or source .c, .rs; may be repeated",
)
@file_option("--json", "also write the calibration for other programs; - prints it instead")
def calibrate(
    sweep: Path,
    bits: int,
    name: str,
    knots: int,
    dead_zone: float,
    end_zone: float,
    leave_out: tuple[str, ...],
    write: tuple[Path, ...],
    json: Path | None,
) -> int:
    """Read the angles and counts of SWEEP (CSV), calibrate them, and write constants for a microcontroller.

    Every doubtful row is named; a row is left out only for a reason that is given.
    """
    check_outputs(sweep, write)
    refuse({"sweep": sweep, **{f"constants {path.suffix}": path for path in write}}, {"calibration": json})
    found = calibrated(
        sweep,
        bits=bits,
        name=name,
        knots=knots,
        dead_zone_deg=dead_zone,
        end_zone_deg=end_zone,
        leave_out=leave_out,
    )
    outputs = [Output("calibration", json, lambda: found.calibration.to_json() + "\n")]
    outputs += [Output("constants", path, partial(source, found.firmware, path)) for path in write]
    return deliver(outputs, lambda: show(found.tables(), found.words()), PASSED)
