"""Tables of variations: which values each row gives to which names."""

import itertools
import math
import numbers
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from ..errors import InvalidTypeError, InvalidValueError

Scalar = float | int | bool | str
"""What a cell may hold."""

_MOST_ROWS = 10_000_000


@dataclass(frozen=True)
class Table:
    """Rows of values under names; made by `grid`, `listed` or `sampled`."""

    names: tuple[str, ...]
    """What is varied, in order."""
    rows: tuple[tuple[Scalar, ...], ...]
    """The values, a row each."""

    def __post_init__(self) -> None:
        """Check names and values."""
        for name in self.names:
            if not isinstance(name, str):
                raise InvalidTypeError(f"name of a variation = {name!r} is no text")
            if not name or name in RESERVED:
                raise InvalidValueError(f"name of a variation = {name!r}: empty, or one of {', '.join(RESERVED)}")
        if len(set(self.names)) < len(self.names):
            raise InvalidValueError(f"names of variations {', '.join(self.names)}: one stands there twice")
        for number, row in enumerate(self.rows):
            if len(row) != len(self.names):
                raise InvalidValueError(f"row {number} has {len(row)} values for {len(self.names)} names")

    def __len__(self) -> int:
        """How many rows there are."""
        return len(self.rows)

    def __iter__(self) -> Iterator[dict[str, Scalar]]:
        """Each row as a dictionary."""
        return (self.row(number) for number in range(len(self)))

    def row(self, number: int) -> dict[str, Scalar]:
        """One row as a dictionary."""
        return dict(zip(self.names, self.rows[number], strict=True))

    def __repr__(self) -> str:
        """Say how large it is, not what it holds."""
        return f"<Table of {len(self)} variations of {', '.join(self.names) or 'nothing'}>"


RESERVED = ("row", "error")
"""Columns of a stored result that are not the caller's."""


def scalar(what: str, value: object) -> Scalar:
    """Give a value of Python's own for one of a cell; NumPy's scalars become the same number."""
    if isinstance(value, bool | np.bool_):
        return bool(value)
    if isinstance(value, numbers.Integral):
        return int(value)
    if isinstance(value, numbers.Real):
        return float(value)
    if isinstance(value, str):
        return str(value)
    raise InvalidTypeError(f"{what} is of type {type(value).__name__}; a number, a text, true or false is needed")


def _finite(what: str, value: object) -> Scalar:
    made = scalar(what, value)
    if isinstance(made, float) and not math.isfinite(made):
        raise InvalidValueError(f"{what} = {made} is not finite")
    return made


def grid(**values: Iterable[object]) -> Table:
    """Every combination of the values given for each name; the last name varies fastest.

    Examples
    --------
    >>> import yokewright as yw
    >>> table = yw.variations.grid(arm=[0.010, 0.012], gap=[0.002, 0.003, 0.004])
    >>> len(table), table.row(1)
    (6, {'arm': 0.01, 'gap': 0.003})
    """
    columns = {name: _column(name, given) for name, given in values.items()}
    _count(math.prod(len(column) for column in columns.values()))
    return Table(tuple(columns), tuple(itertools.product(*columns.values())))


def listed(rows: Iterable[Mapping[str, object]]) -> Table:
    """The rows given, each a mapping of the same names.

    Examples
    --------
    >>> import yokewright as yw
    >>> yw.variations.listed([{"magnet": "cube", "gap": 0.003}, {"magnet": "disc", "gap": 0.002}])
    <Table of 2 variations of magnet, gap>
    """
    names: tuple[str, ...] | None = None
    made: list[tuple[Scalar, ...]] = []
    for number, row in enumerate(rows):
        if not isinstance(row, Mapping):
            raise InvalidTypeError(f"row {number} is of type {type(row).__name__}; a mapping of names is needed")
        if names is None:
            names = tuple(row)
        if set(row) != set(names):
            raise InvalidValueError(f"row {number} has {', '.join(row)} where the first has {', '.join(names)}")
        made.append(tuple(_finite(f"{name} of row {number}", row[name]) for name in names))
        _count(len(made))
    return Table(names or (), tuple(made))


def sampled(count: int, *, seed: int, **ranges: Sequence[float]) -> Table:
    """Rows spread over ranges: a Latin hypercube, in which each of `count` equal parts of each range is met once.

    `ranges`: least and greatest value of each name. The same seed gives the same rows. McKay, Beckman, Conover (1979).

    Examples
    --------
    >>> import yokewright as yw
    >>> table = yw.variations.sampled(100, seed=1, gap=(0.002, 0.004), arm=(0.010, 0.014))
    >>> sum(0.002 <= row["gap"] < 0.003 for row in table)
    50
    """
    _count(count)
    if count < 1:
        raise InvalidValueError(f"number of rows = {count} is below 1")
    if type(seed) is not int or seed < 0:
        raise InvalidValueError(f"seed = {seed!r} is no whole number from 0 on")
    draw = np.random.Generator(np.random.Philox(seed))
    columns = []
    for name, bounds in ranges.items():
        given = _column(name, bounds)
        if len(given) != 2 or any(isinstance(end, bool | str) for end in given):
            raise InvalidValueError(f"range of {name} = {bounds!r}: a least and a greatest value are needed")
        low, high = (float(end) for end in given)
        if not low < high:
            raise InvalidValueError(f"range of {name} = {low} to {high} does not ascend")
        share = (draw.permutation(count) + draw.random(count)) / count
        columns.append([min(max(low * (1.0 - at) + high * at, low), high) for at in share.tolist()])
    return Table(tuple(ranges), tuple(zip(*columns, strict=True)) if columns else ((),) * count)


def _column(name: str, given: Iterable[object]) -> list[Scalar]:
    if isinstance(given, str) or not isinstance(given, Iterable):
        raise InvalidTypeError(f"values of {name} = {given!r}: a list of them is needed")
    return [_finite(f"{name}[{at}]", value) for at, value in enumerate(given)]


def _count(count: int) -> None:
    if type(count) is not int:
        raise InvalidTypeError(f"number of rows = {count!r} is no whole number")
    if count > _MOST_ROWS:
        raise InvalidValueError(f"number of rows = {count} is above {_MOST_ROWS}")
