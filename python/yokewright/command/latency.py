"""`yokewright latency`: how slow it is, by the stages of a design or as a high-speed camera has seen it."""

import csv
import json as json_text
from pathlib import Path
from typing import Any

import click

from .. import ms
from .._numbers import number
from .._tables import Table, table, tables
from ..axis import CameraRuns, LatencyBudget, compare_devices, detectable_difference
from ..errors import InvalidValueError
from ..rig import Design
from ._ends import PASSED
from ._options import FILE, file_option, part
from ._outputs import Output, deliver, refuse
from ._show import show


@part(short="tell how slow it is, by the stages of a design or from filmed runs")
@click.argument("source", metavar="SOURCE", type=FILE)
@click.option("--rate", type=float, metavar="HZ", help="frames a second of the camera; needed for filmed runs")
@click.option(
    "--confidence", type=float, metavar="PERCENT", default=95.0, show_default=True, help="of intervals of filmed runs"
)
@file_option("--json", "also write the figures for other programs; - prints them instead")
def latency(source: Path, rate: float | None, confidence: float, json: Path | None) -> int:
    """Tell how long it takes from hand to screen, and what to attack.

    SOURCE is a design file (.toml) with stages, or filmed runs (CSV): a column for each device under its name, and in
    each row how many frames lie between the motion of the hand and that on the screen. Devices may have been filmed
    differently often: cells at the end may be empty.
    """
    refuse({"source": source}, {"file of figures": json})
    if source.suffix.lower() == ".toml":
        budgets = _budgets(source)
        figures: dict[str, Any] = {name: _stored(budget) for name, budget in budgets.items()}
        shown, words = _of_design(budgets), list[str]()
    elif rate is None:
        raise click.UsageError("--rate is needed: how many frames a second the camera took")
    else:
        devices = {name: CameraRuns(rate, frames) for name, frames in _columns(source).items()}
        figures = _figures(devices, confidence / 100.0)
        shown, words = _tables(figures, confidence / 100.0), _words(devices)
    return deliver(
        [Output("figures", json, lambda: json_text.dumps(figures, indent=2, ensure_ascii=False) + "\n")],
        lambda: show(shown, words),
        PASSED,
    )


def _budgets(path: Path) -> dict[str, LatencyBudget]:
    evaluation = Design.load(path).evaluate()
    budgets = {axis.name: axis.latency for axis in evaluation.axes if axis.latency is not None}
    if not budgets:
        raise InvalidValueError(f"{path}: the design has no stage of latency; `yokewright keys latency` lists its keys")
    return budgets


def _stored(budget: LatencyBudget) -> dict[str, Any]:
    """Give the figures of a budget, in s."""
    return {
        "mean": budget.mean,
        "standard_deviation": budget.standard_deviation,
        "percentiles": dict(zip(("5", "50", "95"), budget.percentiles, strict=True)),
        "stage_to_attack": budget.stage_to_attack().name,
        "stages": {effect.name: effect.mean for effect in budget.effects()},
    }


_BUDGETS = ("Control", "Mean", "Deviation", "5 % within", "Half within", "95 % within", "Attack first")


def _of_design(budgets: dict[str, LatencyBudget]) -> list[Table]:
    rows = [
        (
            name,
            *(_time(time) for time in (budget.mean, budget.standard_deviation, *budget.percentiles)),
            budget.stage_to_attack().name,
        )
        for name, budget in budgets.items()
    ]
    name, slowest = max(budgets.items(), key=lambda one: one[1].percentiles[2])
    (stages,) = tables(slowest)
    named = table(f"{name}, the slowest. {stages.title}", stages.heads, stages.rows)
    return [table("From hand to screen", _BUDGETS, rows), named]


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
