"""`yokewright latency`: how slow it is, as a high-speed camera has seen it."""

import csv
import json as json_text
from pathlib import Path
from typing import Any

import click

from .. import ms
from .._numbers import number
from .._tables import Table, table
from ..axis import CameraRuns, compare_devices, detectable_difference
from ..errors import InvalidValueError
from ._ends import PASSED
from ._options import FILE, file_option, part
from ._outputs import Output, deliver, refuse
from ._show import show


@part(short="tell how slow it is, from filmed runs")
@click.argument("filmed", metavar="FILMED", type=FILE)
@click.option("--rate", type=float, metavar="HZ", required=True, help="frames a second of the camera")
@click.option("--confidence", type=float, metavar="PERCENT", default=95.0, show_default=True, help="of every interval")
@file_option("--json", "also write the figures for other programs; - prints them instead")
def latency(filmed: Path, rate: float, confidence: float, json: Path | None) -> int:
    """Tell from the runs in FILMED (CSV) how long it takes from hand to screen, and which devices differ.

    FILMED has a column for each device under its name, and in each row how many frames lie between the motion of the
    hand and that on the screen. Devices may have been filmed differently often: cells at the end may be empty.
    """
    refuse({"filmed runs": filmed}, {"file of figures": json})
    devices = {name: CameraRuns(rate, frames) for name, frames in _columns(filmed).items()}
    share = confidence / 100.0
    figures = _figures(devices, share)
    return deliver(
        [Output("figures", json, lambda: json_text.dumps(figures, indent=2, ensure_ascii=False) + "\n")],
        lambda: show(_tables(figures, share), _words(devices)),
        PASSED,
    )


def _columns(path: Path) -> dict[str, list[int]]:
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise InvalidValueError(f"{path}: byte {error.start} is no UTF-8 text") from error
    lines = text.splitlines()
    separator = next((mark for mark in ";\t," if lines and mark in lines[0]), ",")
    rows = list(csv.reader(lines, delimiter=separator))
    names = [name.strip() for name in rows[0]] if rows else []
    if not names or not all(names) or len(set(names)) < len(names):
        raise InvalidValueError(f"{path}, line 1: a name for each device is needed, all different")
    columns: dict[str, list[int]] = {name: [] for name in names}
    for line, row in enumerate(rows[1:], start=2):
        if len(row) > len(names):
            raise InvalidValueError(f"{path}, line {line}: {len(row)} cells under {len(names)} names")
        for name, cell in zip(names, row, strict=False):
            cell = cell.strip()
            if not cell:
                continue
            if not (cell.isascii() and cell.isdigit() and len(cell) < 10):
                raise InvalidValueError(f"{path}, line {line}: {cell!r} of {name!r} is no number of frames")
            columns[name].append(int(cell))
    return columns


def _figures(devices: dict[str, CameraRuns], confidence: float) -> dict[str, Any]:
    """Give all figures, in s."""
    found: dict[str, Any] = {"devices": {}, "pairs": []}
    for name, runs in devices.items():
        found["devices"][name] = {
            "runs": runs.count,
            "mean": runs.mean,
            "interval": runs.mean_interval(confidence) if runs.count > 1 else None,
            "standard_deviation": runs.standard_deviation,
            "own_deviation": runs.own_deviation,
        }
    if len(devices) > 1 and all(runs.count > 1 for runs in devices.values()):
        for pair in compare_devices(devices, confidence=confidence):
            difference = pair.difference
            found["pairs"].append(
                {
                    "first": pair.first,
                    "second": pair.second,
                    "difference": difference.difference,
                    "interval": difference.interval,
                    "p": difference.p,
                    "p_of_all": pair.p_of_all,
                }
            )
    return found


def _tables(figures: dict[str, Any], confidence: float) -> list[Table]:
    between = f"{number(100.0 * confidence)} % between"
    rows = [
        (name, str(one["runs"]), _time(one["mean"]), _interval(one["interval"]), _time(one["standard_deviation"]))
        for name, one in figures["devices"].items()
    ]
    shown = [table("From hand to screen", ("Device", "Runs", "Mean", between, "Deviation"), rows)]
    if figures["pairs"]:
        rows = [
            (
                f"{pair['first']} less {pair['second']}",
                _time(pair["difference"]),
                _interval(pair["interval"]),
                f"{pair['p_of_all']:.2g}",
                "differ" if pair["p_of_all"] < 1.0 - confidence else "cannot be told apart by these runs",
            )
            for pair in figures["pairs"]
        ]
        shown.append(table("Device against device", ("Which", "Difference", between, "p of all", "They"), rows))
    return shown


def _words(devices: dict[str, CameraRuns]) -> list[str]:
    """Say what so few runs cannot tell."""
    words = []
    for name, runs in devices.items():
        deviation = runs.standard_deviation
        if runs.count > 1 and deviation:
            least = detectable_difference(runs.count, deviation=deviation)
            words.append(
                f"{name}: {runs.count} runs against as many of another find a difference of {_time(least)} four times "
                "in five"
            )
    return words


def _time(value: float | None) -> str:
    return "no value" if value is None else f"{number(value / ms)} ms"


def _interval(ends: tuple[float, float] | None) -> str:
    return "no value" if ends is None else f"{number(ends[0] / ms)} to {number(ends[1] / ms)} ms"
