"""The text of a design file as a tree of keys, with some of them changed."""

import copy
import sys
from collections.abc import Mapping
from typing import Any

from .errors import InvalidValueError
from .rig import Design

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

Value = bool | int | float | str | list[float]


class Document:
    """What a design file says, key by key.

    A key is named with its place: tables by their names, one of several of a kind by the name that it bears, as in
    `axis.pitch.gap_mm`, `stick.front.outer.gap_mm` or `magnet.cube.size_mm.0` (the first number of a list). Of a number
    with a tolerance the value is changed and the tolerance stays.
    """

    def __init__(self, design: Design) -> None:
        """Take the file of a design, which is checked by now."""
        self.tree: dict[str, Any] = tomllib.loads(design.text)
        self.name = design.name

    def changed(self, keys: Mapping[str, Value]) -> Design:
        """Give the design with some keys changed."""
        told = ", ".join(f"{key} = {value!r}" for key, value in keys.items())
        return Design.parse(self.text_with(keys), f"{self.name} with {told}" if told else self.name)

    def text_with(self, keys: Mapping[str, Value]) -> str:
        """Give the text of the design with some keys changed; comments are not in it."""
        # Needed here only.
        import tomli_w

        tree = copy.deepcopy(self.tree)
        for key, value in keys.items():
            _change(tree, key, value)
        return tomli_w.dumps(tree)

    def at(self, key: str) -> Any:
        """Give what stands at a key: its value, of a number with a tolerance the number; None of one that is not set.

        InvalidValueError if there is no such place.
        """
        *way, last = key.split(".")
        place = _reached(self.tree, way)
        if isinstance(place, list):
            return _plain(place[_index(place, last, key)])
        if not isinstance(place, dict):
            raise InvalidValueError(f"key {key}: {'.'.join(way)} holds nothing that could be looked at")
        return _plain(place.get(last))

    def axes(self) -> dict[str, dict[str, Any]]:
        """Give the keys and values of every axis, those of sticks too, by what they are called."""
        found = {axis["name"]: axis for axis in self.tree.get("axis", ())}
        for stick in self.tree.get("stick", ()):
            found |= {stick[side]["name"]: stick[side] for side in ("outer", "inner")}
        return found

    def axis_place(self, name: str) -> str:
        """Give the key of an axis by what it is called: of one that stands by itself, or of a stick's."""
        places = {axis["name"]: f"axis.{axis['name']}" for axis in self.tree.get("axis", ())}
        for stick in self.tree.get("stick", ()):
            for side in ("outer", "inner"):
                places[stick[side]["name"]] = f"stick.{stick['name']}.{side}"
        if name not in places:
            raise InvalidValueError(f"axis {name!r}: not in the design; known: {', '.join(places)}")
        return places[name]

    def check_control(self, name: str) -> None:
        """Refuse what is neither an axis nor a stick with targets of its own."""
        if not any(stick["name"] == name and stick.get("targets") for stick in self.tree.get("stick", ())):
            self.axis_place(name)


def _plain(value: Any) -> Any:
    return value["value"] if isinstance(value, dict) and "value" in value else value


def _change(tree: dict[str, Any], key: str, value: Value) -> None:
    *way, last = key.split(".")
    place = _reached(tree, way)
    slot: Any
    if isinstance(place, list):
        slot = _index(place, last, key)
        there = place[slot]
    elif isinstance(place, dict):
        slot, there = last, place.get(last)
    else:
        raise InvalidValueError(f"key {key}: {'.'.join(way)} holds nothing that could be changed")
    if isinstance(there, dict) and "value" in there:
        there["value"] = value
    else:
        place[slot] = value


def _reached(tree: Any, way: list[str]) -> Any:
    place, at = tree, 0
    while at < len(way):
        # A name may hold dots of its own: the longest that there is counts.
        for end in range(len(way), at, -1):
            found = _inside(place, ".".join(way[at:end]))
            if found is not None:
                break
        else:
            raise _not_there(place, ".".join(way[: at + 1]))
        place, at = found, end
    return place


def _inside(place: Any, step: str) -> Any:
    if isinstance(place, dict):
        return place.get(step)
    if isinstance(place, list):
        return next((one for one in place if isinstance(one, dict) and one.get("name") == step), None)
    return None


def _not_there(place: Any, way: str) -> InvalidValueError:
    if isinstance(place, dict):
        known = list(place)
    elif isinstance(place, list) and place and isinstance(place[0], dict):
        known = [str(one.get("name")) for one in place]
    else:
        return InvalidValueError(f"key {way}: nothing lies below there")
    return InvalidValueError(f"key {way}: not in the design; known there: {', '.join(known)}")


def _index(place: list[Any], step: str, key: str) -> int:
    if not (step.isascii() and step.isdigit() and int(step) < len(place)):
        raise InvalidValueError(f"key {key}: {step!r} is no place of the {len(place)} values from 0 on")
    return int(step)
