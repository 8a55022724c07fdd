"""From the file of a bench sweep to constants for the firmware."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from .._core import BenchLog, BenchSweep, Calibration, Firmware, deg
from .._files import refusal
from .._tables import Table, table
from ..errors import InvalidValueError

# Doubts that are shown one by one.
_SHOWN = 20
_MAKERS = {
    ".json": Firmware.json,
    ".c": Firmware.c_source,
    ".rs": Firmware.rust_source,
    ".csv": Firmware.csv,
}


@dataclass(frozen=True)
class Calibrated:
    """What a sweep has come to."""

    file: str
    log: BenchLog
    sweep: BenchSweep
    calibration: Calibration
    firmware: Firmware
    leave_out: tuple[str, ...]

    def tables(self) -> list[Table]:
        """Give what there is to say of it as tables."""
        shown = []
        if self.log.doubts:
            title = f"{len(self.log.doubts)} doubtful rows"
            shown.append(table(title, ("Line", "Reason", "What became of it", "What about it"), self._doubts()))
        shown.append(table("Errors of the position", ("Calibration", "Rms", "Greatest", "Of travel"), self._errors()))
        worth = [
            (str(row.points), f"{row.even / deg:.4f} deg", f"{row.placed / deg:.4f} deg")
            for row in self.calibration.points_worth()
        ]
        shown.append(table("How many points are worth it", ("Points", "Even", "Best placed"), worth))
        return shown

    def words(self) -> list[str]:
        """Give what there is to say of it in sentences."""
        log, sweep, firmware = self.log, self.sweep, self.firmware
        words = [f"{self.file}: {len(log.line)} rows, {len(log.doubts)} doubts, {sweep.rows} rows used"]
        if sweep.noise is not None:
            words.append(f"noise of a reading: {sweep.noise:.2f} counts rms")
        hysteresis = sweep.hysteresis
        if hysteresis is not None:
            words.append(f"there and back: {hysteresis.mean:.1f} counts, {hysteresis.mean_angle / deg:.3f} deg")
        worst = f"{firmware.worst_error:.2f} of {firmware.full_output} steps ({firmware.worst_angle / deg:.4f} deg)"
        words.append(f"{firmware.identifier}: greatest error over all {1 << firmware.bits} codes {worst}")
        return words

    def _doubts(self) -> Iterator[tuple[str, str, str, str]]:
        # One row may be doubted for several reasons, and is left out for any of them.
        out = {doubt.line for doubt in self.log.doubts if doubt.reason in self.leave_out}
        for doubt in self.log.doubts[:_SHOWN]:
            yield str(doubt.line), doubt.reason, "left out" if doubt.line in out else "kept", doubt.detail
        if len(self.log.doubts) > _SHOWN:
            yield "...", f"and {len(self.log.doubts) - _SHOWN} more", "", ""

    def _errors(self) -> Iterator[tuple[str, str, str, str]]:
        calibration = self.calibration
        for label, left in (
            ("by both ends alone", calibration.before),
            ("by this one", calibration.after),
            ("by this one, of rows held back", calibration.held_back),
        ):
            if left is not None:
                share = f"{100.0 * left.greatest_share:.2f} %"
                yield label, f"{left.rms / deg:.4f} deg", f"{left.greatest / deg:.4f} deg", share


def calibrated(
    path: Path,
    *,
    bits: int,
    name: str = "axis",
    knots: int = 17,
    dead_zone_deg: float = 0.0,
    end_zone_deg: float = 0.0,
    leave_out: tuple[str, ...] = (),
) -> Calibrated:
    """Calibrate the sweep in a CSV file."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise InvalidValueError(f"{path}: byte {error.start} is no UTF-8 text") from error
    log = BenchLog.read(text, bits=bits)
    sweep = log.sweep(leave_out=leave_out)
    calibration = sweep.calibrate_table(knots)
    firmware = calibration.firmware(name, knots=knots, dead_zone=dead_zone_deg * deg, end_zone=end_zone_deg * deg)
    return Calibrated(path.name, log, sweep, calibration, firmware, leave_out)


def check_outputs(path: Path, outputs: tuple[Path, ...]) -> None:
    """Refuse outputs of an unknown kind, and such as would overwrite the sweep or one another."""
    for output in outputs:
        if output.suffix.lower() not in _MAKERS:
            raise InvalidValueError(f"{output}: its ending is {output.suffix!r}; choose one of {', '.join(_MAKERS)}")
    named = {f"file {output.suffix} ({number})": output for number, output in enumerate(outputs, start=1)}
    reason = refusal({"sweep": path}, named)
    if reason is not None:
        raise InvalidValueError(reason)


def source(firmware: Firmware, output: Path) -> str:
    """Give the text of a file by its ending."""
    return _MAKERS[output.suffix.lower()](firmware)
