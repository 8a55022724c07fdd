"""One page about a design, for the person who is going to build it: an HTML file that needs nothing else."""

import base64
import io
import os
from collections.abc import Callable, Iterable, Sequence
from html import escape
from os import PathLike
from pathlib import Path
from typing import Literal, TypeVar

import matplotlib as mpl
from matplotlib.figure import Figure

from . import plots
from ._core import (
    CAUTIONS,
    AxisEvaluation,
    Evaluation,
    LinearHall,
    Linearity,
    Potentiometer,
    __version__,
    deg,
    mm,
    mT,
    mV,
    mV_per_mT,
)
from ._files import same_file, write_whole
from .errors import InvalidValueError
from .plots._outlines import extents

T = TypeVar("T")

POTENTIOMETER_TRAVEL = 300 * deg  # electrical travel of a common single-turn part (common practice)
ANGLE_SENSOR_TRAVEL = 180 * deg  # a magnet on the shaft end, half a turn mapped to the whole output


def write_report(evaluation: Evaluation, path: str | PathLike[str]) -> Path:
    """Write the report of an evaluated design to `path` and return that path.

    The file is complete in itself: pictures are part of it and nothing is fetched from anywhere. It appears
    whole or not at all. InvalidValueError if `path` is the design file itself, OSError if it cannot be
    written.
    """
    target, name = Path(path), evaluation.design.name
    # The name of a design that was no file can be any text, of which Path.is_file would complain.
    if os.path.isfile(name) and same_file(Path(name), target):  # noqa: PTH113
        raise InvalidValueError(f"{target}: the report would overwrite the design")
    write_whole(target, report_html(evaluation))
    return target


def report_html(evaluation: Evaluation) -> str:
    """Return the report of an evaluated design as the text of an HTML page."""
    title = escape(evaluation.title)
    several = len(evaluation.axes) > 1
    body = [
        f"<header><p class='kind'>Evaluation of a control design</p><h1>{title}</h1>",
        f"<p class='verdict {evaluation.state}'>{escape(_overall(evaluation))}</p></header>",
        _cautions(),
        _contents(evaluation) if several else "",
        _broken(evaluation),
        *[_axis_section(number, axis) for number, axis in enumerate(evaluation.axes, start=1)],
        _terms(),
        f"<footer><p>Calculated by yokewright {escape(__version__)} from ideal parts: uniformly polarized "
        "blocks in air, no steel nearby, one temperature, no tolerances.</p></footer>",
    ]
    return (
        "<!DOCTYPE html>\n"
        "<html lang='en'>\n<head>\n<meta charset='utf-8'>\n"
        "<meta name='viewport' content='width=device-width, initial-scale=1'>\n"
        "<meta name='color-scheme' content='light dark'>\n"
        f"<title>{title}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n"
        + "\n".join(part for part in body if part)
        + "\n</body>\n</html>\n"
    )


# --- the verdict --------------------------------------------------------------------------------


def _overall(evaluation: Evaluation) -> str:
    """Say what came out, and where to look."""
    told = [_of_targets(evaluation)]
    if evaluation.broken:
        names = "; ".join(axis.name for axis in evaluation.broken)
        told.insert(0, f"Not yet: what cannot be evaluated has to change first ({names}).")
    noted = [axis.name for axis in evaluation.axes if axis.notes]
    if noted:
        told.append(f"Whatever the targets, read the notes ({'; '.join(noted)}).")
    return " ".join(told)


def _of_targets(evaluation: Evaluation) -> str:
    verdicts = [(axis.name, verdict) for axis in evaluation.axes for verdict in axis.verdicts]
    total = len(verdicts)
    if total == 0:
        return "No targets are set, so there is nothing to pass or to miss."

    states = {verdict.state for _, verdict in verdicts}
    state = next((state for state in ("missed", "close") if state in states), "met")
    off = [f"{name}: {verdict.target}" for name, verdict in verdicts if verdict.state == state]
    which = f"{len(off)} of {total} targets {'is' if len(off) == 1 else 'are'}"
    if state == "close":
        return f"Nearly: {which} missed, by no more than a tenth ({'; '.join(off)})."
    if state == "missed":
        return f"Not yet: {which} missed ({'; '.join(off)})."
    return f"Yes: all {total} targets are met."


def _broken(evaluation: Evaluation) -> str:
    if not evaluation.broken:
        return ""
    reasons = [f"{axis.name} (line {axis.line}): {axis.reason}" for axis in evaluation.broken]
    return (
        "<section aria-labelledby='broken'><h2 id='broken'>Cannot be evaluated</h2>"
        f"<ul>{_items(reasons)}</ul></section>"
    )


def _cautions() -> str:
    return (
        "<section class='cautions' aria-labelledby='cautions'><h2 id='cautions'>Before you build</h2>"
        f"<ul>{_items(CAUTIONS)}</ul></section>"
    )


def _contents(evaluation: Evaluation) -> str:
    links = "".join(
        f"<li><a href='#axis-{number}'>{escape(axis.name)}</a>: {_worst(axis)}</li>"
        for number, axis in enumerate(evaluation.axes, start=1)
    )
    return f"<nav aria-label='Axes'><ul>{links}<li><a href='#terms'>What the words mean</a></li></ul></nav>"


def _worst(axis: AxisEvaluation) -> str:
    states = {verdict.state for verdict in axis.verdicts}
    return next((state for state in ("missed", "close") if state in states), "met")


# --- one axis -----------------------------------------------------------------------------------


def _axis_section(number: int, axis: AxisEvaluation) -> str:
    name = escape(axis.name)
    notes = f"<h3>Notes</h3><ul>{_items(axis.notes)}</ul>" if axis.notes else ""
    return "\n".join(
        [
            f"<section class='axis' aria-labelledby='axis-{number}'><h2 id='axis-{number}'>Axis: {name}</h2>",
            "<h3>Targets</h3>",
            _targets(axis),
            notes,
            "<h3>Layout</h3>",
            _figure(
                lambda figure: plots.draw_throw(axis.axis, figure),
                (7.2, 4.0),
                f"Scale drawing of magnet, sensor and pivot of axis {axis.name} at both ends of its throw, "
                f"{_throw(axis)}; the sensor comes within {_number(axis.figures.clearance / mm)} mm of "
                "the magnet.",
                "The parts to scale at both ends of the throw, seen along the pivot axis. The body of the "
                "sensor is drawn at a common size; only its face and its active point enter the calculation.",
                narrow=(3.6, 7.8),
            ),
            _parts(axis),
            "<h3>Curves</h3><div class='curves'>",
            *_curves(axis),
            "</div>",
            "<h3>Figures</h3>",
            _linearities(axis),
            _figures(axis),
            "<h3>Beside a sensor on the shaft</h3>",
            _comparison(axis),
            "</section>",
        ]
    )


_VERDICTS = ("Target", "Wanted", "Got", "Margin", "Verdict")


def _targets(axis: AxisEvaluation) -> str:
    if not axis.verdicts:
        return "<p>No targets are set for this axis.</p>"
    rows = []
    for verdict in axis.verdicts:
        unit = escape(verdict.unit)
        got = "no value" if verdict.got is None else f"{_number(verdict.got)} {unit}"
        margin = (
            "none"
            if verdict.margin is None
            else f"{_number(verdict.margin, signed=True)} {escape(verdict.margin_unit)}"
        )
        if verdict.qualification is not None:
            got += f", but {escape(verdict.qualification)}"
        wanted = f"{verdict.sense} {_number(verdict.wanted)} {unit}"
        cells = [escape(verdict.target), wanted, got, margin, verdict.state]
        rows.append(_row(_VERDICTS, cells, verdict.state))
    return _table(_head(_VERDICTS), rows, "targets")


def _given(value: T | None) -> T:
    """A figure that every axis of a design file has: its sensor is a linear one behind a converter."""
    if value is None:
        raise InvalidValueError("the report shows linear Hall sensors behind a converter")
    return value


def _curves(axis: AxisEvaluation) -> Iterable[str]:
    figures = axis.figures
    low, high = figures.code_range
    clipped = f"; clipped over {_percent(figures.clipped_share)} of the throw" if figures.clipped_share else ""
    yield _curve(
        axis, "flux", "Flux density at the sensor", f"it changes by {_number(_given(figures.flux_span) / mT)} mT"
    )
    yield _curve(
        axis, "volts", "Output of the sensor", f"it changes by {_number(_given(figures.volts_span))} V{clipped}"
    )
    yield _curve(axis, "counts", "What the converter reads", f"codes {low} to {high}{clipped}")
    straight = figures.linearity_volts
    worst = f"at most {_percent(straight.independent)} of span" if straight else "no value, it does not change"
    yield _figure(
        lambda figure: plots.plot_departure(axis.sweep, "volts", figure.add_subplot()),
        (3.5, 2.8),
        f"Departure of the output of axis {axis.name} from a straight line over {_throw(axis)}: {worst}.",
        f"Departure of the output from the best straight line: {worst}.",
    )


def _curve(axis: AxisEvaluation, quantity: Literal["flux", "volts", "counts"], what: str, change: str) -> str:
    return _figure(
        lambda figure: plots.plot_curve(axis.sweep, quantity, figure.add_subplot()),
        (3.5, 2.8),
        f"{what} of axis {axis.name} against control angle from {_throw(axis)}: {change}.",
        f"{what} over the throw: {change}.",
    )


def _figures(axis: AxisEvaluation) -> str:
    f = axis.figures
    low, high = f.code_range
    first, last = f.monotonic_range
    rows = [
        ("Flux density, end to end", f"{_number(_given(f.flux_span) / mT)} mT"),
        ("Output, end to end", f"{_number(_given(f.volts_span))} V"),
        ("Codes used", f"{low} to {high}, {_percent(f.range_used)} of the converter's range"),
        (
            "Gain at center",
            f"{_number(_given(f.gain_flux) * deg / mT)} mT/deg, {_number(_given(f.gain_volts) * deg / mV)} mV/deg, "
            f"{_number(f.gain_counts * deg)} counts/deg",
        ),
        (
            "Monotonic range",
            f"{_degrees(first)} to {_degrees(last)}" + (", the whole throw" if f.monotonic else ""),
        ),
        ("Clipped", f"{_percent(f.clipped_share)} of the throw"),
        ("Step by quantization", _steps(f.step_quantization_center, f.step_quantization_worst)),
        ("Step by noise", _steps(f.step_noise_center, f.step_noise_worst)),
        ("Effective bits", "no value" if f.effective_bits is None else f"{_number(f.effective_bits)} bits"),
        ("Clearance", f"{_number(f.clearance / mm)} mm"),
    ]
    return _table(_head(("Figure", "Value")), _pairs(rows), "pairs")


_LINEARITIES = ("In % of span", "Independent", "Terminal-based", "Zero-based")


def _linearities(axis: AxisEvaluation) -> str:
    return _table(
        _head(_LINEARITIES),
        [
            _linearity_row("Linearity of flux density", axis.figures.linearity_flux),
            _linearity_row("Linearity of output", axis.figures.linearity_volts),
        ],
        "targets",
    )


def _linearity_row(name: str, linearity: Linearity | None) -> str:
    if linearity is None:
        return f"<tr><th scope='row'>{name}</th><td colspan='3'>no value, it does not change</td></tr>"
    shares = (linearity.independent, linearity.terminal_based, linearity.zero_based)
    return _row(_LINEARITIES, [name, *map(_percent, shares)])


def _parts(axis: AxisEvaluation) -> str:
    layout, sensor, converter = axis.layout, axis.axis.sensor, _given(axis.axis.converter)
    if not isinstance(sensor, LinearHall):
        raise InvalidValueError("the report shows linear Hall sensors behind a converter")
    moving = "the magnet" if axis.axis.moving == "magnets" else "the sensor"
    rows = [
        ("Throw", f"{_throw(axis)}; {moving} moves"),
        ("Magnet", f"{_triple(extents(layout.magnet) / mm)} mm (radial, tangential, axial)"),
        ("Polarization", f"{_triple(layout.magnet.polarization / mT)} mT (radial, tangential, axial)"),
        ("Arm", f"{_number(layout.arm / mm)} mm from pivot to magnet center"),
        ("Gap", f"{_number(layout.gap / mm)} mm from magnet to package face, {layout.side} side"),
        (
            "Sensor",
            f"{_number(sensor.gain / mV_per_mT)} mV/mT at {_number(sensor.supply)} V, "
            f"output {_number(sensor.output_range[0])} to {_number(sensor.output_range[1])} V, "
            f"active point {_number(sensor.depth / mm)} mm below its face",
        ),
        ("Converter", f"{converter.bits} bits, reference {_number(converter.reference)} V"),
    ]
    if layout.offset.any():
        off = f"{_triple(layout.offset / mm)} mm (radial, tangential, axial)"
        rows.append(("Sensor out of place", off))
    return _table(_head(("Part", "As designed")), _pairs(rows), "pairs")


def _comparison(axis: AxisEvaluation) -> str:
    """Set the axis beside two sensors on the shaft, of whose long travel the throw uses a small part."""
    converter, throw = _given(axis.axis.converter), axis.axis.throw[1] - axis.axis.throw[0]
    rows = [("This design", axis.figures.counts, axis.figures.range_used)]
    for name, travel in (
        ("Potentiometer, 300 degrees of travel", POTENTIOMETER_TRAVEL),
        ("Angle sensor on the shaft end, half a turn", ANGLE_SENSOR_TRAVEL),
    ):
        if throw <= travel:
            share = Potentiometer(travel=travel, supply=converter.reference).share(throw)
            rows.append((name, round(share * converter.max_code), share))
    heads = ("Sensor", "Counts over the throw", "Of the range", "Counts per degree")
    lines = [
        _row(heads, [name, str(counts), _percent(share), _number(counts * deg / throw)]) for name, counts, share in rows
    ]
    intro = (
        f"<p>The same throw of {_degrees(throw)} read by the same converter, which feeds the sensors on the "
        "shaft from its reference. By resolution alone: wear, noise and straightness are not compared.</p>"
    )
    return intro + _table(_head(heads), lines, "targets")


# --- what the words mean ------------------------------------------------------------------------

_TERMS = (
    (
        "Independent linearity",
        "How far the curve strays, at most, from the straight line that fits it best, in percent of the span "
        "from its lowest to its highest value (IEC 61298-2). Offset and slope of the line are free, so this "
        "is what remains after a calibration that can set both.",
    ),
    (
        "Terminal-based linearity",
        "The same, from the straight line through the readings at both ends of the throw (IEC 61298-2): what "
        "remains if only the two ends are calibrated.",
    ),
    (
        "Zero-based linearity",
        "The same, from the best straight line that starts at the reading of the lower end (IEC 61298-2): "
        "what remains if the lower end is fixed and only the slope can be set.",
    ),
    (
        "Clipped",
        "The share of the throw in which the sensor's output or the converter stands at its limit, so that "
        "moving the control changes nothing.",
    ),
    (
        "Monotonic range",
        "The stretch around center in which more angle always means more (or always less) flux density. "
        "Beyond it two positions of the control give the same reading.",
    ),
    (
        "Step by quantization, step by noise",
        "How far the control must turn until the reading changes by one code, and how far the noise of the "
        "reading (one standard deviation) makes it seem to turn: at center, and where the curve is flattest.",
    ),
    (
        "Effective bits",
        "The number of bits of an ideal converter that has as much noise from rounding alone as this axis "
        "has from all its sources together, over the range that the throw uses (after IEEE Std 1241).",
    ),
    (
        "Clearance",
        "The smallest distance from the magnet to the center of the sensor's package face over the throw.",
    ),
    (
        "Met, close, missed",
        "Met: the figure is on the right side of the target. Close: it is on the wrong side, but by no more "
        "than a tenth of what was wanted. Missed: it is farther off, or it has no value.",
    ),
)


def _terms() -> str:
    entries = "".join(f"<dt>{escape(term)}</dt><dd>{escape(text)}</dd>" for term, text in _TERMS)
    heading = "<h2 id='terms'>What the words mean</h2>"
    return f"<section aria-labelledby='terms'>{heading}<dl>{entries}</dl></section>"


# --- small pieces -------------------------------------------------------------------------------


def _items(texts: Iterable[str]) -> str:
    return "".join(f"<li>{escape(text)}</li>" for text in texts)


def _head(words: Iterable[str]) -> str:
    return "".join(f"<th scope='col'>{word}</th>" for word in words)


def _row(heads: Sequence[str], cells: Sequence[str], kind: str = "") -> str:
    """One row, each cell with the head of its column, which a narrow screen shows in front of it."""
    values = "".join(f"<td data-head='{head}'>{cell}</td>" for head, cell in zip(heads[1:], cells[1:], strict=True))
    kind = f" class='{kind}'" if kind else ""
    return f"<tr{kind}><th scope='row'>{cells[0]}</th>{values}</tr>"


def _table(head: str, rows: Iterable[str], kind: str) -> str:
    return (
        f"<div class='wide'><table class='{kind}'><thead><tr>{head}</tr></thead>"
        f"<tbody>{''.join(rows)}</tbody></table></div>"
    )


def _pairs(rows: Iterable[tuple[str, str]]) -> list[str]:
    return [f"<tr><th scope='row'>{escape(name)}</th><td>{escape(value)}</td></tr>" for name, value in rows]


def _figure(
    draw: Callable[[Figure], object],
    size: tuple[float, float],
    alt: str,
    caption: str,
    narrow: tuple[float, float] | None = None,
) -> str:
    """Draw into an SVG that is carried inside its img element; the same design gives the same bytes.

    narrow: size of a second drawing for a narrow screen, on which the letters of a wide one are too small.
    """
    image = f"<img src='{_svg(draw, size)}' alt='{escape(alt)}'>"
    if narrow is not None:
        source = f"<source media='({_NARROW})' srcset='{_svg(draw, narrow)}'>"
        image = f"<picture>{source}{image}</picture>"
    return f"<figure>{image}<figcaption>{escape(caption)}</figcaption></figure>"


def _svg(draw: Callable[[Figure], object], size: tuple[float, float]) -> str:
    # Letters as outlines: the picture looks the same wherever the page is opened.
    with mpl.rc_context({"svg.fonttype": "path", "svg.hashsalt": "yokewright", "hatch.linewidth": 0.8}):
        figure = Figure(figsize=size, layout="constrained")
        draw(figure)
        buffer = io.BytesIO()
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    return "data:image/svg+xml;base64," + base64.b64encode(buffer.getvalue()).decode("ascii")


def _number(value: float, signed: bool = False) -> str:
    """Three digits that count, and never an exponent."""
    digits = f"{value:.0f}" if abs(value) >= 1000.0 else f"{value:.3g}"
    if "e" in digits:
        digits = f"{value:.12f}".rstrip("0").rstrip(".")
    if signed and value > 0.0:
        digits = "+" + digits
    return digits.replace("-", "\N{MINUS SIGN}")


def _percent(share: float) -> str:
    return f"{_number(100.0 * share)} %"


def _degrees(angle: float) -> str:
    return f"{_number(angle / deg)} deg"


def _throw(axis: AxisEvaluation) -> str:
    low, high = axis.axis.throw
    return f"{_degrees(low)} to {_degrees(high)}"


def _triple(values: Iterable[float]) -> str:
    return ", ".join(_number(value) for value in values)


def _steps(center: float | None, worst: float | None) -> str:
    def at(step: float | None) -> str:
        return "no value" if step is None else _degrees(step)

    return f"{at(center)} at center, {at(worst)} at worst"


_NARROW = "max-width: 40rem"
_STYLE = """
:root { --ink: #22303a; --soft: #55646e; --paper: #fff; --card: #f3f6f7; --rule: #c9d3d8; --warn: #8a4b10; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #e4eaed; --soft: #a9b8c0; --paper: #172027; --card: #1f2b33;
    --rule: #3d4c55; --warn: #f0b77c; }
}
* { box-sizing: border-box; }
body { max-width: 52rem; margin: 0 auto; padding: 1.5rem 1.25rem 3rem;
  background: var(--paper); color: var(--ink);
  font: 1rem/1.55 system-ui, "Segoe UI", "DejaVu Sans", sans-serif; }
h1 { font-size: 1.8rem; line-height: 1.2; margin: 0 0 1rem; overflow-wrap: anywhere; }
h2 { font-size: 1.4rem; margin: 2.5rem 0 .75rem; padding-top: .75rem; border-top: 2px solid var(--ink); }
h3 { font-size: 1.08rem; margin: 1.75rem 0 .5rem; }
p, ul, dl { margin: 0 0 1rem; }
ul { padding-left: 1.25rem; }
li { margin-bottom: .3rem; }
a { color: inherit; }
nav { margin-top: 1.25rem; }
nav ul { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .25rem 1.75rem; }
.kind { margin: 0; color: var(--soft); }
.verdict { font-size: 1.2rem; padding: .8rem 1rem;
  background: var(--card); border-left: .4rem solid var(--ink); }
.verdict.missed { border-left-style: double; }
.cautions { padding: .25rem 1.25rem .5rem; border: 2px solid var(--warn); border-radius: .4rem; }
.cautions h2 { border: 0; padding: 0; margin: .75rem 0 .5rem; color: var(--warn); }
.wide { overflow-x: auto; margin-bottom: 1rem; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: .4rem .75rem .4rem 0;
  border-bottom: 1px solid var(--rule); }
thead th { color: var(--soft); font-weight: 600; border-bottom: 1px solid var(--ink); }
tbody th { font-weight: 500; }
th:first-child { width: 32%; }
td[data-head=Verdict] { white-space: nowrap; }
.close td[data-head=Verdict] { font-weight: 700; }
.missed td[data-head=Verdict] { font-weight: 700; color: var(--warn); text-transform: uppercase; }
figure { margin: 0 0 1rem; break-inside: avoid; }
img { display: block; width: 100%; height: auto; padding: .5rem;
  background: #fff; border: 1px solid var(--rule); border-radius: .3rem; }
figcaption { margin-top: .4rem; color: var(--soft); font-size: .92rem; }
.curves { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(20rem, 100%), 1fr));
  gap: .5rem 1.25rem; }
dt { font-weight: 600; margin-top: .75rem; }
dd { margin: 0; }
footer { margin-top: 3rem; color: var(--soft); font-size: .92rem; }
@media screen and (NARROW) {
  body { padding: 1rem 1rem 2rem; overflow-wrap: anywhere; }
  .cautions { padding: .25rem .9rem .5rem; }
  table, tbody, tr, th, td { display: block; }
  thead { display: none; }
  tr { padding: .5rem 0; border-bottom: 1px solid var(--rule); }
  th, th:first-child, td { width: auto; padding: .1rem 0; border: 0; }
  tbody th { font-weight: 600; }
  td[data-head] { display: flex; justify-content: space-between; gap: 1rem; }
  td[data-head]::before { content: attr(data-head); color: var(--soft);
    font-weight: 400; text-transform: none; }
  .targets tr { position: relative; }
  .targets tr[class] th { padding-right: 5rem; }
  .targets td[data-head=Verdict] { position: absolute; top: .5rem; right: 0; }
  .targets td[data-head=Verdict]::before { content: none; }
}
@media print {
  :root { --ink: #000; --soft: #333; --paper: #fff; --card: #fff; --rule: #999; --warn: #000; }
  @page { margin: 15mm; }
  body { max-width: none; padding: 0; font-size: 10.5pt; }
  section.axis + section.axis { break-before: page; }
  th, td { padding: .2rem .6rem .2rem 0; }
  .targets { break-inside: avoid; }
  img { padding: 0; border: 0; }
  h2, h3, dt { break-after: avoid; }
  tr, dd { break-inside: avoid; }
  nav { display: none; }
  .curves { grid-template-columns: 1fr 1fr; }
}
""".replace("NARROW", _NARROW)
