"""What a builder sets when it is put together, and which wire goes where."""

from collections.abc import Iterator, Mapping
from html import escape
from typing import Any

from .._core import BallRod, Evaluation, PedalTransmission, TransmissionChain, mm
from .._document import Document
from ._pieces import head, number, row, table

# What the names of keys end in, the longer ones before their own ends.
_UNITS = {
    "_mV_per_mT": "mV/mT",
    "_N_per_mm": "N/mm",
    "_N_m": "N m",
    "_mm": "mm",
    "_deg": "deg",
    "_mT": "mT",
    "_N": "N",
    "_percent": "%",
}
# Of a control, but nothing that is set with a ruler.
_ASKED = {"throw_deg", "price", "temperature_degC"}
_FIGURES = ("Figure", "Set to", "Tolerance")


def assembly_section(evaluation: Evaluation, document: Document) -> str:
    """Every length and angle that is set, with its tolerance, and every other number that has one."""
    rows = [
        row(_FIGURES, [escape(cell) for cell in cells])
        for cells in [*_of_controls(evaluation, document), *_of_parts(document), *_of_rods(evaluation)]
    ]
    if not rows:
        return ""
    intro = (
        "<p>As the design file has them; the evaluation takes these values. Angles count from the centered control.</p>"
    )
    return (
        "<section class='axis' aria-labelledby='assembly'><h2 id='assembly'>Figures for assembly</h2>"
        f"{intro}{table(head(_FIGURES), rows, 'targets')}</section>"
    )


def _of_controls(evaluation: Evaluation, document: Document) -> Iterator[tuple[str, ...]]:
    trees = document.axes()
    # In the order of the page; what cannot be evaluated comes last.
    order = dict.fromkeys([axis.name for axis in evaluation.axes if axis.name in trees] + list(trees))
    for name in order:
        tree = trees[name]
        for key, value in tree.items():
            if (key not in _ASKED and _named(key)[1] in ("mm", "deg")) or _toleranced(value):
                yield from _told(name, key, value)


def _of_parts(document: Document) -> Iterator[tuple[str, ...]]:
    """Numbers of shared parts that have a tolerance, and where pedals and linkages are drilled."""
    for kind, parts in document.tree.items():
        if not isinstance(parts, Mapping):
            continue
        for name, part in parts.items():
            if not isinstance(part, Mapping):
                continue
            for key, value in part.items():
                drilled = kind in ("pedal", "linkage") and _named(key)[1] in ("mm", "deg")
                if drilled or _toleranced(value):
                    yield from _told(f"{kind} {name}", key, value)


def _of_rods(evaluation: Evaluation) -> Iterator[tuple[str, ...]]:
    """Lengths that follow from where the joints are."""
    known: list[object] = []
    for axis in evaluation.axes:
        for drive in _drives(axis.axis.drive):
            if drive in known:
                continue
            known.append(drive)
            if isinstance(drive, PedalTransmission):
                for foot in ("left", "right"):
                    length = drive.pair.rod(foot).rod_length
                    yield f"{axis.name}: {foot} rod, between the centers of its joints", f"{length / mm:.2f} mm", "none"
            elif isinstance(drive, BallRod):
                yield f"{axis.name}: rod, between the centers of its joints", f"{drive.rod_length / mm:.2f} mm", "none"


def _drives(drive: object) -> Iterator[object]:
    if isinstance(drive, TransmissionChain):
        for part in drive.parts:
            yield from _drives(part)
    elif drive is not None:
        yield drive


def _named(key: str) -> tuple[str, str]:
    """Take a key apart: the figure in words, and its unit."""
    for ending, unit in _UNITS.items():
        if key.endswith(ending):
            return key.removesuffix(ending).replace("_", " "), unit
    return key.replace("_", " "), ""


def _toleranced(value: Any) -> bool:
    return isinstance(value, Mapping) and "value" in value


def _told(owner: str, key: str, value: Any) -> Iterator[tuple[str, ...]]:
    name, unit = _named(key)
    # One of several numbers may have a tolerance by itself.
    several = value if isinstance(value, list) else [value]
    tolerances = [_tolerance(one, unit) for one in several]
    tolerance = "none" if all(one == "none" for one in tolerances) else ", ".join(tolerances)
    numbers = [one["value"] if _toleranced(one) else one for one in several]
    told = _value(numbers if isinstance(value, list) else numbers[0])
    if told is not None:
        yield f"{owner}: {name}", f"{told} {unit}".rstrip(), tolerance


def _tolerance(value: Any, unit: str) -> str:
    """Say how far a number may be off, and where it can be set."""
    if not _toleranced(value):
        return "none"
    tolerance = "none"
    if "plus_minus" in value:
        shape = value.get("distribution")
        factor = value.get("coverage_factor")
        tolerance = f"± {number(value['plus_minus'])} {unit}".rstrip() + (f", {shape}" if shape else "")
        if factor is not None:
            tolerance += f", {number(factor)} standard deviations"
    elif "sample" in value:
        low, high = min(value["sample"]), max(value["sample"])
        count = len(value["sample"])
        tolerance = f"{count} measured, {number(low)} to {number(high)} {unit}".rstrip()
    if "slot" in value:
        low, high = value["slot"]
        slot = f"slot from {number(low)} to {number(high)} {unit}".rstrip()
        tolerance = slot if tolerance == "none" else f"{tolerance}; {slot}"
    return tolerance


def _value(value: Any) -> str | None:
    if isinstance(value, bool):
        return None
    if isinstance(value, int | float):
        # As written: what is set with a caliper has as many digits as the file.
        return f"{value:.6g}".replace("-", "\N{MINUS SIGN}")
    if isinstance(value, list) and value and all(isinstance(one, int | float) for one in value):
        return ", ".join(f"{one:.6g}" for one in value).replace("-", "\N{MINUS SIGN}")
    return None


_WIRES = ("Axis", "Sensor", "Supply", "Output", "Filter", "Goes to", "Input")


def wiring_section(evaluation: Evaluation, document: Document) -> str:
    """Which sensor goes to which input of which converter."""
    known, rows = document.axes(), []
    for axis in evaluation.axes:
        tree = known.get(axis.name, {})
        sensor = axis.axis.sensor
        low, high = sensor.output_range
        analog = axis.axis.converter is not None
        rows.append(
            row(
                _WIRES,
                [
                    escape(cell)
                    for cell in (
                        axis.name,
                        str(tree.get("sensor", "none")),
                        _supply(sensor),
                        f"{number(low)} to {number(high)} V" if analog else "a code",
                        str(tree.get("filter", "none")),
                        str(tree.get("converter", "the board")),
                        str(tree.get("channel", "not told")),
                    )
                ],
            )
        )
    if not rows:
        return ""
    caution = "<p>Never drive an input above what it is rated for, and stay within the supply limits of the port.</p>"
    return (
        "<section class='axis' aria-labelledby='wiring'><h2 id='wiring'>Wiring</h2>"
        f"{caution}{table(head(_WIRES), rows, 'many')}</section>"
    )


def _supply(sensor: object) -> str:
    supply = getattr(sensor, "supply", None)
    return "its own" if supply is None else f"{number(supply)} V"
