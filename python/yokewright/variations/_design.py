"""A design file as a function of some of its keys."""

import copy
import sys
from typing import Any

from ..errors import InvalidValueError
from ..rig import Design
from ._table import Scalar

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib


class DesignFile:
    """What evaluates a design file with some of its keys changed; for `run` and `stream`.

    Each input of a row is a key with its place: tables by their names, one of several of a kind by the name that it
    bears, as in `axis.pitch.gap_mm` or `magnet.cube.size_mm.0` (the first number of a list). It gives the worst verdict
    as `state`, and what each target came to.

    Examples
    --------
    >>> import yokewright as yw
    >>> from pathlib import Path
    >>> rig = yw.variations.DesignFile(Path("examples/trainer_stick.toml").read_text())
    >>> table = yw.variations.grid(**{"axis.roll.gap_mm": [3.2, 3.5]})
    >>> for row in map(lambda row: rig(**row), table):
    ...     print(row["state"], f"{row['roll: range used']:.1f} %")
    met 76.5 %
    close 68.7 %
    """

    def __init__(self, text: str, name: str = "design") -> None:
        """Take the text of a design file; `name` stands for the file in messages."""
        Design.parse(text, name)  # with the lines of the file, as long as there are any
        self._document, self._name = tomllib.loads(text), name

    def __call__(self, **keys: Scalar) -> dict[str, Scalar | None]:
        """Evaluate the design with these keys changed."""
        # Needed here only.
        import tomli_w

        document = copy.deepcopy(self._document)
        for key, value in keys.items():
            _change(document, key, value)
        changed = ", ".join(f"{key} = {value!r}" for key, value in keys.items())
        evaluation = Design.parse(tomli_w.dumps(document), f"{self._name} with {changed}").evaluate()
        found: dict[str, Scalar | None] = {"state": evaluation.state}
        for axis in evaluation.axes:
            for verdict in axis.verdicts:
                found[f"{axis.name}: {verdict.target}"] = verdict.got
        return found

    def __repr__(self) -> str:
        """Name the file."""
        return f"<DesignFile {self._name}>"


def _change(document: dict[str, Any], key: str, value: Scalar) -> None:
    place: Any = document
    *way, last = key.split(".")
    for at, step in enumerate(way):
        place = _step(place, step, ".".join(way[: at + 1]))
    if isinstance(place, list):
        place[_index(place, last, key)] = value
    elif isinstance(place, dict):
        place[last] = value
    else:
        raise InvalidValueError(f"key {key}: {'.'.join(way)} holds nothing that could be changed")


def _step(place: Any, step: str, way: str) -> Any:
    if isinstance(place, dict):
        known = {name: name for name in place}
        found = place.get(step)
    elif isinstance(place, list) and place and isinstance(place[0], dict):
        known = {one.get("name"): "" for one in place}
        found = next((one for one in place if one.get("name") == step), None)
    else:
        raise InvalidValueError(f"key {way}: nothing lies below there")
    if found is None:
        raise InvalidValueError(f"key {way}: not in the design; known there: {', '.join(map(str, known))}")
    return found


def _index(place: list[Any], step: str, key: str) -> int:
    if not (step.isascii() and step.isdigit() and int(step) < len(place)):
        raise InvalidValueError(f"key {key}: {step!r} is no place of the {len(place)} values from 0 on")
    return int(step)
