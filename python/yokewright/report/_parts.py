"""The table of the parts of an axis, as designed."""

from .._core import (
    AngleSensor,
    Arrangement,
    AxisEvaluation,
    LinearHall,
    Magnet,
    MagnetsOverPlate,
    Potentiometer,
    deg,
    mm,
    mT,
    mV_per_mT,
)
from ..plots._outlines import extents
from ._pieces import head, number, pairs, table, throw, triple

Rows = list[tuple[str, str]]

# What a builder sets out with; the sizes of the magnets are told with them.
_PLACES = ("arm", "gap", "spacing", "plate distance")
_SMALL = ("eccentricity", "offset", "tilt")


def parts(axis: AxisEvaluation, currency: str | None) -> str:
    """Everything that was given of an axis, in the units of the reader."""
    built = axis.axis
    rows: Rows = [("Throw", throw(axis))]
    if built.drive is not None:
        rows.append(("Driven through", _drive(type(built.drive).__name__)))
    if axis.arrangement is not None:
        moving = "the magnets move" if built.moving == "magnets" else "the sensor moves"
        rows.append(("Arrangement", f"{_kind(axis.arrangement)}; {moving}"))
        rows += _measures(axis.arrangement)
        rows += _magnets(axis.arrangement)
    rows.append(("Sensor", _sensor(built.sensor)))
    if built.filter is not None:
        rows.append(("Filter", f"low-pass of {number(built.filter.cutoff)} Hz"))
    if built.converter is not None:
        converter = built.converter
        rows.append(("Converter", f"{converter.bits} bits, reference {number(converter.reference)} V"))
    if built.averaging is not None:
        mean = built.averaging
        rows.append(("Averaging", f"{mean.samples} samples, {number(mean.interval * 1e3)} ms apart"))
    if built.celsius is not None:
        rows.append(("Temperature", f"{number(built.celsius)} degC"))
    if built.lever is not None:
        rows.append(("Pad or grip", f"{number(built.lever / mm)} mm from the control's pivot"))
    if axis.price is not None:
        unit = "" if currency is None else f" {currency}"
        rows.append(("Price", f"{axis.price:.2f}{unit}"))
    return table(head(("Part", "As designed")), pairs(rows), "pairs")


def _drive(name: str) -> str:
    """A class as people write it: PedalTransmission, a pedal transmission."""
    words = "".join(f" {letter.lower()}" if letter.isupper() else letter for letter in name)
    return f"a{words}"


_KINDS = {
    "SwungLayout": "magnet swung past the sensor",
    "PairLayout": "two magnets side by side",
    "HeadOnLayout": "magnet that comes towards the sensor",
    "ShaftEndLayout": "magnet on the shaft",
}


def _kind(arrangement: Arrangement) -> str:
    side = getattr(arrangement, "side", None)
    kind = _KINDS[type(arrangement).__name__]
    return kind if side is None else f"{kind}, sensor on the {side} side"


def _measures(arrangement: Arrangement) -> Rows:
    rows: Rows = []
    for measure in arrangement.measures():
        if measure.name in _PLACES:
            rows.append((_capital(measure.name), f"{number(measure.value / mm)} mm"))
        elif measure.value != 0.0 and any(word in measure.name for word in _SMALL):
            unit, size = ("deg", deg) if measure.unit == "rad" else ("mm", mm)
            rows.append((_capital(measure.name), f"{number(measure.value / size)} {unit}"))
    return rows


def _magnets(arrangement: Arrangement) -> Rows:
    source = arrangement.source
    over = isinstance(source, MagnetsOverPlate)
    magnets = source.magnets.magnets if isinstance(source, MagnetsOverPlate) else source.magnets
    rows: Rows = []
    for place, magnet in enumerate(magnets):
        name = ("Magnet", "Second magnet")[min(place, 1)]
        rows.append((name, _magnet(magnet)))
    if over and arrangement.plate is not None:
        rows.append(("Steel plate", f"behind the magnets, goes with the {arrangement.plate.holder}"))
    return rows


def _magnet(magnet: Magnet) -> str:
    kind = type(magnet).__name__.lower()
    size = triple(extents(magnet) / mm)
    bore = getattr(magnet, "inner_diameter", None)
    hole = "" if bore is None else f", bore {number(bore / mm)} mm"
    return f"{kind} of {size} mm{hole}, polarized {triple(magnet.polarization / mT)} mT, in its own frame"


def _sensor(sensor: LinearHall | AngleSensor | Potentiometer) -> str:
    low, high = sensor.output_range
    if isinstance(sensor, LinearHall):
        return (
            f"linear Hall sensor, {number(sensor.gain / mV_per_mT)} mV/mT at {number(sensor.supply)} V, "
            f"output {number(low)} to {number(high)} V, active point {number(sensor.depth / mm)} mm below its face"
        )
    if isinstance(sensor, Potentiometer):
        return (
            f"potentiometer, {number(sensor.travel / deg)} deg of electrical travel, {number(sensor.resistance)} ohm "
            f"at {number(sensor.supply)} V"
        )
    if sensor.bits is not None:
        return f"angle sensor, {sensor.bits} bits over the turn, point {number(sensor.depth / mm)} mm below its face"
    return (
        f"angle sensor, output {number(low)} to {number(high)} V, point {number(sensor.depth / mm)} mm below its face"
    )


def _capital(name: str) -> str:
    return f"{name[:1].upper()}{name[1:]}"
