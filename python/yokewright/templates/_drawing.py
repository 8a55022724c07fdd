"""Lines of a template in millimeters, and the files they go to."""

import io
import math
import os
from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape
from importlib import import_module
from pathlib import Path
from typing import Any

from .._core import mm
from .._files import write_whole
from ..errors import InvalidValueError

Point = tuple[float, float]

BAR = 50.0
"""Length of the measuring bar, mm."""
CAUTION = f"Print at 100 %. This bar must measure {BAR:g} mm: check it before you drill or cut."
_MARGIN = 8.0
_WORDS = 3.2  # height of letters, mm
_LARGEST = 3000.0  # mm

# What a line is for: its color on paper and its number among the colors of DXF (red, blue, gray, black or white).
_LAYERS = {"cut": ("#c00000", 1), "drill": ("#0040c0", 5), "mark": ("#707070", 8), "words": ("#000000", 7)}


@dataclass(frozen=True)
class _Circle:
    center: Point
    radius: float
    layer: str


@dataclass(frozen=True)
class _Line:
    points: tuple[Point, ...]
    closed: bool
    layer: str


@dataclass(frozen=True)
class _Words:
    place: Point
    text: str


Shape = _Circle | _Line | _Words


@dataclass(frozen=True)
class Template:
    """A drawing at 1:1; made by the functions of this module."""

    title: str
    """What it is of."""
    _shapes: tuple[Shape, ...] = field(repr=False)

    @property
    def holes(self) -> tuple[tuple[float, float, float], ...]:
        """The holes to drill: x, y and diameter, m, from the pivot or the middle."""
        return tuple(
            (shape.center[0] * mm, shape.center[1] * mm, 2 * shape.radius * mm)
            for shape in self._shapes
            if isinstance(shape, _Circle) and shape.layer == "drill"
        )

    @property
    def outline(self) -> tuple[tuple[float, float], ...]:
        """Corners of the first outline to cut, m; of none if there is nothing to cut."""
        for shape in self._shapes:
            if isinstance(shape, _Line) and shape.layer == "cut":
                return tuple((x * mm, y * mm) for x, y in shape.points)
        return ()

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the sheet, m."""
        left, bottom, right, top = self._sheet()
        return (right - left) * mm, (top - bottom) * mm

    def to_svg(self) -> str:
        """Give the template as SVG, sized in millimeters."""
        left, bottom, right, top = self._sheet()
        width, height = right - left, top - bottom
        # SVG counts y downwards.
        parts = [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.3f}mm" height="{height:.3f}mm" '
            f'viewBox="{left:.3f} {-top:.3f} {width:.3f} {height:.3f}" role="img">',
            f"<title>{escape(self.title)}, 1:1</title>",
            f"<desc>{escape(CAUTION)}</desc>",
            f'<rect x="{left:.3f}" y="{-top:.3f}" width="{width:.3f}" height="{height:.3f}" fill="#ffffff"/>',
        ]
        for shape in self._all():
            match shape:
                case _Circle((x, y), radius, layer):
                    parts.append(
                        f'<circle cx="{_plain(x)}" cy="{_plain(-y)}" r="{_plain(radius)}" fill="none" '
                        f'stroke="{_LAYERS[layer][0]}" stroke-width="0.2"/>'
                    )
                case _Line(points, closed, layer):
                    way = " ".join(f"{_plain(x)},{_plain(-y)}" for x, y in points)
                    parts.append(
                        f'<{"polygon" if closed else "polyline"} points="{way}" fill="none" '
                        f'stroke="{_LAYERS[layer][0]}" stroke-width="0.2"/>'
                    )
                case _Words((x, y), text):
                    parts.append(
                        f'<text x="{_plain(x)}" y="{_plain(-y)}" font-family="sans-serif" font-size="{_WORDS}" '
                        f'fill="{_LAYERS["words"][0]}">{escape(text)}</text>'
                    )
        return "\n".join([*parts, "</svg>", ""])

    def to_dxf(self) -> str:
        """Give the template as DXF in millimeters, a layer for each kind of line: cut, drill, mark, words."""
        try:
            # Needed here only.
            ezdxf: Any = import_module("ezdxf")
        except ModuleNotFoundError as error:
            raise InvalidValueError("a DXF needs the package ezdxf; SVG does without") from error
        document = ezdxf.new("R2010", setup=False)
        document.units = ezdxf.units.MM
        for name, (_, color) in _LAYERS.items():
            document.layers.add(name, color=color)
        space = document.modelspace()
        for shape in self._all():
            match shape:
                case _Circle(center, radius, layer):
                    space.add_circle(center, radius, dxfattribs={"layer": layer})
                case _Line(points, closed, layer):
                    space.add_lwpolyline(points, close=closed, dxfattribs={"layer": layer})
                case _Words(place, text):
                    # The height is that of capitals, about 0.7 of a font's size.
                    words = space.add_text(text, height=0.7 * _WORDS, dxfattribs={"layer": "words"})
                    words.set_placement(place)
        stream = io.StringIO()
        document.write(stream)
        return stream.getvalue()

    def save(self, path: str | os.PathLike[str]) -> None:
        """Write the template to a file that ends in `.svg` or `.dxf`, whole or not at all."""
        place = Path(path)
        match place.suffix.lower():
            case ".svg":
                write_whole(place, self.to_svg())
            case ".dxf":
                write_whole(place, self.to_dxf())
            case _:
                raise InvalidValueError(f"template {place}: its name must end in .svg or .dxf")

    def _repr_svg_(self) -> str:
        """Show itself in a notebook."""
        return self.to_svg()

    def _all(self) -> list[Shape]:
        """Give what is drawn, the measuring bar and the words below it too."""
        left, bottom, _, _ = _bounds(self._shapes)
        low = bottom - 10.0
        bar = [
            _Line(((left, low), (left + BAR, low)), False, "mark"),
            *(
                _Line(((left + at, low), (left + at, low + (3.0 if at % BAR == 0 else 1.5))), False, "mark")
                for at in range(0, int(BAR) + 1, 10)
            ),
        ]
        lines = [CAUTION, self.title, "Red: cut. Blue: drill. Gray: where things stand."]
        words = [_Words((left, low - 5.0 - 4.5 * at), text) for at, text in enumerate(lines)]
        return [*self._shapes, *bar, *words]

    def _sheet(self) -> tuple[float, float, float, float]:
        left, bottom, right, top = _bounds(self._all())
        return left - _MARGIN, bottom - _MARGIN, right + _MARGIN, top + _MARGIN


def made(title: str, shapes: Sequence[Shape]) -> Template:
    """Make a template of shapes whose numbers all lie on a sheet that can be made."""
    for bound in _bounds(shapes):
        if not abs(bound) <= _LARGEST:
            raise InvalidValueError(f"{title} reaches {bound / 1e3:.4g} m from its pivot; a template goes up to 3 m")
    return Template(title, tuple(shapes))


def hole(center: Point, diameter: float) -> list[Shape]:
    """Give a hole with the cross that a punch is set on; m."""
    x, y = (value / mm for value in center)
    radius = diameter / 2 / mm
    reach = radius + 2.0
    return [
        _Circle((x, y), radius, "drill"),
        _Line(((x - reach, y), (x + reach, y)), False, "mark"),
        _Line(((x, y - reach), (x, y + reach)), False, "mark"),
    ]


def line(points: Sequence[Sequence[float]], layer: str, *, closed: bool) -> _Line:
    """Give a line through points, m."""
    return _Line(tuple((float(x) / mm, float(y) / mm) for x, y in points), closed, layer)


def words(place: Point, text: str) -> _Words:
    """Give words at a place, m."""
    return _Words((place[0] / mm, place[1] / mm), text)


def _bounds(shapes: Sequence[Shape]) -> tuple[float, float, float, float]:
    xs: list[float] = []
    ys: list[float] = []
    for shape in shapes:
        match shape:
            case _Circle((x, y), radius, _):
                xs += [x - radius, x + radius]
                ys += [y - radius, y + radius]
            case _Line(points, _, _):
                xs += [x for x, _ in points]
                ys += [y for _, y in points]
            case _Words((x, y), text):
                # Letters of a sans-serif are about half as wide as high.
                xs += [x, x + 0.55 * _WORDS * len(text)]
                ys += [y, y + _WORDS]
    return min(xs), min(ys), max(xs), max(ys)


def _plain(value: float) -> str:
    """Write a length in mm to a micrometer, without a minus before zero."""
    text = f"{value:.3f}"
    return "0.000" if math.isclose(float(text), 0.0) else text
