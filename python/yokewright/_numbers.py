"""Numbers as a reader sees them, in his units."""

from collections.abc import Iterable

from ._core import deg, mm

_LEAST = 1e-8  # of a whole: less is not told in digits
_NOWHERE = 100.0  # m: what stands for the clearance where there is no body


def number(value: float, signed: bool = False) -> str:
    """Three digits that count, and never an exponent."""
    digits = f"{value:.0f}" if abs(value) >= 1000.0 else f"{value:.3g}"
    if "e" in digits:
        digits = f"{value:.12f}".rstrip("0").rstrip(".")
    if signed and value > 0.0:
        digits = "+" + digits
    return digits.replace("-", "\N{MINUS SIGN}")


def percent(share: float) -> str:
    """A share in percent."""
    if 0.0 < share < _LEAST:
        return f"less than {number(100.0 * _LEAST)} %"  # something is not nothing
    return f"{number(100.0 * share)} %"


def degrees(angle: float) -> str:
    """An angle in deg."""
    return f"{number(angle / deg)} deg"


def clearance(distance: float) -> str:
    """How far a sensor keeps from the nearest magnet, in mm."""
    return "no magnet to pass" if distance >= _NOWHERE else f"{number(distance / mm)} mm"


def triple(values: Iterable[float]) -> str:
    """Several numbers in a row."""
    return ", ".join(number(value) for value in values)
