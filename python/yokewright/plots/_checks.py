"""What the drawings refuse, with the reason."""

from collections.abc import Iterable, Sequence
from typing import TypeVar, cast

import numpy as np

from .._core import Magnet, MagnetGroup
from ..errors import InvalidTypeError, InvalidValueError

_T = TypeVar("_T")

# A control is smaller, and a millimeter given as a meter is larger.
LARGEST = 10.0  # m


def group_of(magnets: Magnet | MagnetGroup) -> MagnetGroup:
    """Return a group of what may be a single magnet."""
    if isinstance(magnets, MagnetGroup):
        return magnets
    if isinstance(magnets, Magnet):
        return MagnetGroup([magnets])
    raise InvalidTypeError(f"a Magnet or a MagnetGroup is needed, got {type(magnets).__name__}")


def kind(value: object, *kinds: type, words: str = "") -> None:
    """Refuse what is of none of the kinds; words: what they are together, if not their names."""
    if not isinstance(value, kinds):
        words = words or " or ".join(one.__name__ for one in kinds)
        article = "an" if words[0] in "AEIOU" else "a"
        raise InvalidTypeError(f"{article} {words} is needed, got {type(value).__name__}")


def one_or_several(values: _T | Sequence[_T], *kinds: type[_T], name: str, words: str = "") -> list[_T]:
    """At least one of a kind, in a list; name: what one of them is called."""
    if not isinstance(values, (*kinds, Iterable)):
        kind(values, *kinds, words=words)
    several = [values] if isinstance(values, kinds) else list(cast(Sequence[_T], values))
    if not several:
        raise InvalidValueError(f"there is no {name} to draw; give at least 1")
    for value in several:
        kind(value, *kinds, words=words)
    return several


def interval(name: str, values: Sequence[float], unit: str) -> tuple[float, float]:
    """Two finite values that go upward."""
    if np.shape(values) != (2,):
        raise InvalidValueError(f"{name} is {values!r}; it has two values, in {unit}")
    low, high = map(float, values)
    if not (np.isfinite(low) and np.isfinite(high) and low < high):
        raise InvalidValueError(f"{name} is {low:g} to {high:g} {unit}; it must be finite and go upward")
    return low, high


def length(name: str, value: float) -> float:
    """A length above zero and no larger than any control."""
    if not 0.0 < value <= LARGEST:
        raise InvalidValueError(f"{name} is {value:g} m; {_allowed('above 0 and up to')}")
    return float(value)


def window(extent: Sequence[float]) -> tuple[float, float, float, float]:
    """Left, right, bottom and top of a drawing."""
    if np.shape(extent) != (4,):
        raise InvalidValueError(f"extent is {extent!r}; it has four values: left, right, bottom, top, in m")
    left, right = interval("extent from left to right", extent[:2], "m")
    bottom, top = interval("extent from bottom to top", extent[2:], "m")
    for value in (left, right, bottom, top):
        if abs(value) > LARGEST:
            raise InvalidValueError(f"extent reaches {value:g} m; {_allowed('at most')}")
    return left, right, bottom, top


def _allowed(words: str) -> str:
    return f"allowed is {words} {LARGEST:g} m; did you mean mm? Multiply by yokewright.mm"


def pair_of_names(names: tuple[str, str]) -> tuple[str, str]:
    """Two names for what the library calls by its place, which the caller may know by another name."""
    if np.shape(names) != (2,) or not all(names):
        raise InvalidValueError(f"names are {names!r}; two are needed")
    return names
