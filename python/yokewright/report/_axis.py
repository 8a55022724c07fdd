"""The section of one axis."""

from collections.abc import Iterable
from html import escape
from typing import Literal

from .. import plots
from .._core import (
    AxisEvaluation,
    CenterFigures,
    LinearHall,
    Linearity,
    Potentiometer,
    deg,
    mm,
    mT,
    mV,
)
from .._tables import VERDICT, verdict_row
from ._parts import parts
from ._pieces import degrees, figure, head, items, number, pairs, percent, row, table, throw

POTENTIOMETER_TRAVEL = 300 * deg  # electrical travel of a common single-turn part (common practice)
ANGLE_SENSOR_TRAVEL = 180 * deg  # a magnet on the shaft end, half a turn mapped to the whole output


def axis_section(place: int, axis: AxisEvaluation, currency: str | None) -> str:
    """Everything about one axis; place: its number on the page."""
    notes = f"<h3>Notes</h3><ul>{items(axis.notes)}</ul>" if axis.notes else ""
    of_stick = f"<p>One of the two axes of {escape(axis.stick)}, here by itself.</p>" if axis.stick is not None else ""
    return "\n".join(
        [
            f"<section class='axis' aria-labelledby='axis-{place}'>"
            f"<h2 id='axis-{place}'>Axis: {escape(axis.name)}</h2>",
            of_stick,
            "<h3>Targets</h3>",
            _targets(axis),
            notes,
            "<h3>Layout</h3><div class='beside'>",
            _drawing(axis),
            parts(axis, currency),
            "</div>",
            "<h3>Curves</h3><div class='curves'>",
            *_curves(axis),
            "</div>",
            "<h3>Figures</h3>",
            _linearities(axis),
            _figures(axis),
            _gains(axis),
            "<h3>Errors</h3>",
            _errors(axis),
            _beside(axis),
            "</section>",
        ]
    )


def _targets(axis: AxisEvaluation) -> str:
    if not axis.verdicts:
        return "<p>No targets are set for this axis.</p>"
    rows = [
        row(VERDICT, [escape(cell) for cell in verdict_row(one)], one.state.replace(" ", "-")) for one in axis.verdicts
    ]
    return table(head(VERDICT), rows, "targets")


_NO_SIZE = (
    " Without the size of its package the body of the sensor is drawn at a common one; only its face then enters the "
    "calculation."
)


def _drawing(axis: AxisEvaluation) -> str:
    arrangement = axis.arrangement
    if arrangement is None:
        return "<p>The sensor sits on the shaft: there is no magnet to place.</p>"
    clearance = number(axis.figures.clearance / mm)
    return figure(
        lambda drawing: plots.draw_arrangement(arrangement, drawing, tallest=4.2),
        (7.2, 4.0),
        f"Scale drawing of magnet, sensor and pivot of axis {axis.name} when centered, from the side and along the "
        f"pivot axis; over the throw, {throw(axis)}, the sensor comes within {clearance} mm of the magnet.",
        "The parts to scale when centered, from the side and along the pivot axis."
        + ("" if arrangement.package is not None else _NO_SIZE),
        narrow=(3.6, 4.0),
    )


_STRAIGHT = 1e-9  # of the span: below it a picture would show rounding
_Quantity = Literal["flux", "volts", "counts"]


def _curves(axis: AxisEvaluation) -> Iterable[str]:
    figures = axis.figures
    low, high = figures.code_range
    clipped = f"; clipped over {percent(figures.clipped_share)} of the throw" if figures.clipped_share else ""
    if figures.flux_span is not None:
        change = f"it changes by {number(figures.flux_span / mT)} mT"
        yield _curve(axis, "flux", "Flux density at the sensor", change)
    if figures.volts_span is not None:
        change = f"it changes by {number(figures.volts_span)} V{clipped}"
        yield _curve(axis, "volts", "Output of the sensor", change, "second")
    yield _curve(axis, "counts", "What is read", f"codes {low} to {high}{clipped}")
    straight = figures.linearity
    if straight is not None and straight.independent < _STRAIGHT:
        return
    worst = f"at most {percent(straight.independent)} of span" if straight else "no value, it does not change"
    quantity: _Quantity = "counts" if figures.volts_span is None else "volts"
    yield figure(
        lambda drawing: plots.plot_departure(axis.sweep, quantity, drawing.add_subplot()),
        (3.5, 2.8),
        f"Departure of the output of axis {axis.name} from a straight line over {throw(axis)}: {worst}.",
        f"Departure of the output from the best straight line: {worst}.",
    )


def _curve(axis: AxisEvaluation, quantity: _Quantity, what: str, change: str, kind: str = "") -> str:
    return figure(
        lambda drawing: plots.plot_curve(axis.sweep, quantity, drawing.add_subplot()),
        (3.5, 2.8),
        f"{what} of axis {axis.name} against control angle from {throw(axis)}: {change}.",
        f"{what} over the throw: {change}.",
        kind=kind,
    )


def _figures(axis: AxisEvaluation) -> str:
    f = axis.figures
    low, high = f.code_range
    first, last = f.monotonic_range
    rows = []
    if f.flux_span is not None:
        rows.append(("Flux density, end to end", f"{number(f.flux_span / mT)} mT"))
    if f.field_range is not None:
        least, most = (number(flux / mT) for flux in f.field_range)
        rows.append(("Flux density at the sensor", f"{least} to {most} mT"))
    if f.volts_span is not None:
        rows.append(("Output, end to end", f"{number(f.volts_span)} V"))
    rows += [
        ("Codes used", f"{low} to {high}, {percent(f.range_used)} of the converter's range"),
        (
            "Monotonic range",
            f"{degrees(first)} to {degrees(last)}" + (", the whole throw" if f.monotonic else ""),
        ),
        ("Clipped", f"{percent(f.clipped_share)} of the throw"),
        ("Step by quantization", _steps(f.step_quantization_center, f.step_quantization_worst)),
        ("Step by noise", _steps(f.step_noise_center, f.step_noise_worst)),
        ("Effective bits", "no value" if f.effective_bits is None else f"{number(f.effective_bits)} bits"),
    ]
    if axis.arrangement is not None:
        rows.append(("Clearance", f"{number(f.clearance / mm)} mm"))
    return table(head(("Figure", "Value")), pairs(rows), "pairs")


_GAINS = ("At center", "Counts", "One count", "Rms noise", "Output", "Flux density")


def _gains(axis: AxisEvaluation) -> str:
    """The center by the angle of the control, by that of the pivot at the sensor, by the way of pad or grip."""
    f = axis.figures
    rows = [
        _gain(
            "control",
            "deg",
            deg,
            (f.gain_counts, f.step_quantization_center, f.step_noise_center, f.gain_volts, f.gain_flux),
        )
    ]
    if f.at_pivot is not None and axis.axis.drive is not None:
        rows.append(_gain("pivot at the sensor", "deg", deg, _center(f.at_pivot)))
    if f.at_grip is not None:
        rows.append(_gain("pad or grip", "mm", mm, _center(f.at_grip)))
    return table(head(_GAINS), rows, "targets")


_Center = tuple[float, float | None, float | None, float | None, float | None]


def _center(at: CenterFigures) -> _Center:
    return (at.gain_counts, at.step_quantization, at.step_noise, at.gain_volts, at.gain_flux)


def _gain(name: str, unit: str, size: float, center: _Center) -> str:
    counts, quantization, noise, volts, flux = center

    def step(value: float | None) -> str:
        return "no value" if value is None else f"{number(value / size)} {unit}"

    cells = [
        f"Per {unit} of {name}",
        number(counts * size),
        step(quantization),
        step(noise),
        "none" if volts is None else f"{number(volts * size / mV)} mV",
        "none" if flux is None else f"{number(flux * size / mT)} mT",
    ]
    return row(_GAINS, cells)


_LINEARITIES = ("In % of span", "Independent", "Terminal-based", "Zero-based")


def _linearities(axis: AxisEvaluation) -> str:
    figures = axis.figures
    rows = [_linearity_row("Linearity of output", figures.linearity)]
    if figures.flux_span is not None:
        rows.insert(0, _linearity_row("Linearity of flux density", figures.linearity_flux))
    return table(head(_LINEARITIES), rows, "targets")


def _linearity_row(name: str, linearity: Linearity | None) -> str:
    if linearity is None:
        return f"<tr><th scope='row'>{name}</th><td colspan='3'>no value, it does not change</td></tr>"
    shares = (linearity.independent, linearity.terminal_based, linearity.zero_based)
    return row(_LINEARITIES, [name, *map(percent, shares)])


_SEEN = 0.02  # of the root sum square: of its square less than a thousandth
_ERRORS = ("Cause", "Greatest", "Of the throw", "Counts", "What helps")


def _errors(axis: AxisEvaluation) -> str:
    budget = axis.error_budget
    if budget is None:
        return "<p>The reading tells no position, so there are no errors of one.</p>"
    squares, worst = budget.root_sum_square, budget.worst_case
    told = (
        f"root sum square {degrees(squares)}, {percent(budget.share_of_travel(squares))} of the throw; "
        f"worst case {degrees(worst)}"
    )
    picture = figure(
        lambda drawing: plots.plot_error_budget(budget, drawing.add_subplot()),
        (6.4, 5.2),
        f"Bars of the errors of the position of axis {axis.name} by their causes: {told}.",
        f"How far the position told may be from the control's, by cause: {told}.",
        kind="second",
    )
    # What is worth a thought: the rest would not be seen in the sum.
    lines = [line for line in budget.contributions if line.standard_deviation > _SEEN * squares]
    lines.sort(key=lambda line: line.standard_deviation, reverse=True)
    rows = [
        row(
            _ERRORS,
            [
                escape(line.cause),
                degrees(line.angle),
                percent(line.share),
                number(line.counts),
                escape(line.remedy),
            ],
        )
        for line in lines
    ]
    intro = f"<p class='on-paper'>{told[0].upper()}{told[1:]}.</p>"
    return intro + picture + table(head(_ERRORS), rows, "errors")


_BESIDE = ("Sensor", "Counts over the throw", "Of the range", "Counts per degree")


def _beside(axis: AxisEvaluation) -> str:
    """Set the axis beside two sensors on the shaft, of whose long travel the throw uses a small part."""
    converter = axis.axis.converter
    if not isinstance(axis.axis.sensor, LinearHall) or converter is None:
        return ""
    turn = axis.axis.throw[1] - axis.axis.throw[0]
    rows = [("This design", axis.figures.counts, axis.figures.range_used)]
    for name, travel in (
        ("Potentiometer, 300 degrees of travel", POTENTIOMETER_TRAVEL),
        ("Angle sensor on the shaft end, half a turn", ANGLE_SENSOR_TRAVEL),
    ):
        if turn <= travel:
            share = Potentiometer(travel=travel, supply=converter.reference).share(turn)
            rows.append((name, round(share * converter.max_code), share))
    lines = [
        row(_BESIDE, [name, str(counts), percent(share), number(counts * deg / turn)]) for name, counts, share in rows
    ]
    intro = (
        "<h3>Beside a sensor on the shaft</h3>"
        f"<p>The same throw of {degrees(turn)} read by the same converter, which feeds the sensors on the "
        "shaft from its reference. By resolution alone: wear, noise and straightness are not compared.</p>"
    )
    return intro + table(head(_BESIDE), lines, "targets")


def _steps(center: float | None, worst: float | None) -> str:
    def at(step: float | None) -> str:
        return "no value" if step is None else degrees(step)

    return f"{at(center)} at center, {at(worst)} at worst"
