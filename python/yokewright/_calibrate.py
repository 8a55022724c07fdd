"""The work of `yokewright calibrate`: from the file of a bench sweep to constants for the firmware."""

from pathlib import Path

from ._core import BenchLog, deg
from ._files import write_whole
from .errors import InvalidValueError

# Reasons for which a row cannot be used at all.
_UNUSABLE = {"missing", "not a number", "impossible"}
# Doubts that are printed one by one.
_SHOWN = 20


def calibrate(
    path: Path,
    *,
    bits: int,
    name: str = "axis",
    knots: int = 17,
    dead_zone_deg: float = 0.0,
    end_zone_deg: float = 0.0,
    leave_out: tuple[str, ...] = (),
    outputs: tuple[Path, ...] = (),
) -> str:
    """Calibrate the sweep in a CSV file, write what is asked for, and return what there is to say of it.

    outputs: files to write, by their endings .json, .c, .rs or .csv; each appears whole or not at all.
    """
    endings = {".json", ".c", ".rs", ".csv"}
    for output in outputs:
        if output.suffix not in endings:
            raise InvalidValueError(
                f"{output}: its ending is {output.suffix!r}; choose one of {', '.join(sorted(endings))}"
            )
        if output.resolve() == path.resolve():
            raise InvalidValueError(f"{output}: would be written over what it is made from")
    log = BenchLog.read(path.read_text(encoding="utf-8-sig"), bits=bits)
    sweep = log.sweep(leave_out=leave_out)
    calibration = sweep.calibrate_table(knots)
    firmware = calibration.firmware(name, knots=knots, dead_zone=dead_zone_deg * deg, end_zone=end_zone_deg * deg)
    texts = {
        ".json": firmware.json,
        ".c": firmware.c_source,
        ".rs": firmware.rust_source,
        ".csv": firmware.csv,
    }
    for output in outputs:
        write_whole(output, texts[output.suffix]())
    lines = [f"{path.name}: {len(log.line)} rows, {len(log.doubts)} doubts, {sweep.rows} rows used"]
    for doubt in log.doubts[:_SHOWN]:
        state = "left out" if doubt.reason in leave_out or doubt.reason in _UNUSABLE else "kept"
        lines.append(f"  line {doubt.line}: {doubt.reason} ({state}): {doubt.detail}")
    if len(log.doubts) > _SHOWN:
        lines.append(f"  and {len(log.doubts) - _SHOWN} more")
    if sweep.noise is not None:
        lines.append(f"noise of a reading: {sweep.noise:.2f} counts rms")
    hysteresis = sweep.hysteresis
    if hysteresis is not None:
        lines.append(f"there and back: {hysteresis.mean:.1f} counts, {hysteresis.mean_angle / deg:.3f} deg")
    for label, left in (
        ("before", calibration.before),
        ("after", calibration.after),
        ("held back", calibration.held_back),
    ):
        if left is not None:
            share = 100.0 * left.greatest_share
            most = f"{left.greatest / deg:.4f} deg ({share:.2f} % of travel)"
            lines.append(f"{label}: rms {left.rms / deg:.4f} deg, at most {most}")
    lines.append("points  even (deg)  best placed (deg)")
    lines += [
        f"{row.points:6d}  {row.even / deg:10.4f}  {row.placed / deg:17.4f}" for row in calibration.points_worth()
    ]
    worst = f"{firmware.worst_error:.2f} of {firmware.full_output} steps ({firmware.worst_angle / deg:.4f} deg)"
    lines.append(f"{firmware.identifier}: greatest error over all {1 << firmware.bits} codes {worst}")
    lines += [f"wrote {output}" for output in outputs]
    return "\n".join(lines) + "\n"
