"""A design, what was changed in it, and what that did."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from pathlib import Path

from matplotlib.figure import Figure

from .. import plots
from .._core import AxisEvaluation, Design, Evaluation, deg
from .._document import Document, Value
from .._files import same_file, write_whole
from .._numbers import number
from .._tables import VERDICT, Table, in_words, judged, one_html, table, told, verdict_row
from ..errors import InvalidTypeError, InvalidValueError
from ..report import report_html
from ..report._pieces import as_svg


@dataclass(frozen=True)
class Difference:
    """One target then and now; None where it was not there, or has no value."""

    control: str
    """What it is set for."""
    target: str
    """What is asked."""
    unit: str
    """Of both figures."""
    was: float | None
    """The figure of the design as it was."""
    now: float | None
    """The figure now."""
    was_state: str | None
    """The verdict then."""
    state: str | None
    """The verdict now."""

    def __str__(self) -> str:
        """Tell it in a line."""
        then, now = _figure(self.was, self.unit), _figure(self.now, self.unit)
        return f"{self.control}: {self.target}: {then} ({self.was_state}) -> {now} ({self.state})"


class Explorer:
    """A design with some of its keys changed, evaluated, beside the design as it was."""

    def __init__(self, design: Design, changes: Mapping[str, Value] | None = None) -> None:
        """Take a design, and values by their keys as `yw.variations.DesignFile` names them."""
        if not isinstance(design, Design):
            raise InvalidTypeError(f"a Design is needed, got {type(design).__name__}")
        self._origin, self._changes = design, dict(changes or {})
        self._document = Document(design)
        self._before = design.evaluate()
        self._now = self._document.changed(self._changes).evaluate() if self._changes else self._before

    @classmethod
    def load(cls, path: str | os.PathLike[str]) -> "Explorer":
        """Read a design file."""
        return cls(Design.load(path))

    @property
    def changes(self) -> dict[str, Value]:
        """What is changed so far: values by their keys."""
        return dict(self._changes)

    @property
    def before(self) -> Evaluation:
        """The evaluation of the design as it was."""
        return self._before

    @property
    def evaluation(self) -> Evaluation:
        """The evaluation with all changes."""
        return self._now

    @property
    def touched(self) -> list[str]:
        """The axes that are not as they were, in the order of the file."""
        known = {axis.name: axis for axis in self._before.axes}
        return [axis.name for axis in self._now.axes if not _same(known.get(axis.name), axis)]

    def value(self, key: str) -> object:
        """Give what stands at a key now; None of one that is not set."""
        return self._changes.get(key, self._document.at(key))

    def changed(self, changes: Mapping[str, Value]) -> "Explorer":
        """Give another explorer with these keys changed too; this one stays as it is."""
        return Explorer(self._origin, self._changes | dict(changes))

    def differences(self) -> list[Difference]:
        """Give every target whose figure or verdict has changed, in the order of the file."""
        then = {(name, one.target, one.sense): one for name, one in judged(self._before)}
        now = {(name, one.target, one.sense): one for name, one in judged(self._now)}
        found = []
        for place in [*now, *(place for place in then if place not in now)]:
            was, one = then.get(place), now.get(place)
            known = one or was
            if known is None:
                continue
            difference = Difference(
                control=place[0],
                target=known.target,
                unit=known.unit,
                was=None if was is None else was.got,
                now=None if one is None else one.got,
                was_state=None if was is None else was.state,
                state=None if one is None else one.state,
            )
            if (difference.was, difference.was_state) != (difference.now, difference.state):
                found.append(difference)
        return found

    def draw_parts(self, axis: str) -> Figure | None:
        """Draw magnet, sensor and pivot of an axis to scale as they are now; None of a sensor on the shaft."""
        arrangement = self._axis(axis).arrangement
        if arrangement is None:
            return None
        figure = Figure(figsize=(7.2, 4.0), layout="constrained")
        plots.draw_arrangement(arrangement, figure, tallest=4.2)
        return figure

    def draw_curve(self, axis: str) -> Figure:
        """Draw what is read of an axis now, and what was read before."""
        now = self._axis(axis)
        figure = Figure(figsize=(6.4, 3.6), layout="constrained")
        ax = figure.add_subplot()
        plots.plot_curve(now.sweep, "counts", ax)
        old = next((one for one in self._before.axes if one.name == axis), None)
        if old is not None and not _same(old, now):
            ax.plot(
                old.sweep.angle / deg, old.sweep.counts, color="#777777", linestyle=":", label="as it was", zorder=1
            )
            ax.legend()
        return figure

    def write_report(self, path: str | os.PathLike[str]) -> Path:
        """Write the page about the design as it is now; never over the design file."""
        return self._written(path, report_html(self._now))

    def write_design(self, path: str | os.PathLike[str]) -> Path:
        """Write the design as it is now to another file; the comments of the old one are not in it."""
        return self._written(path, self._document.text_with(self._changes))

    def __repr__(self) -> str:
        """Name the design and what was changed."""
        told = ", ".join(f"{key} = {value!r}" for key, value in self._changes.items())
        return f"<Explorer of {self._origin.title!r}: {self._now.state}{f', with {told}' if told else ''}>"

    def _repr_html_(self) -> str:
        """Show in a notebook what the changes did."""
        parts = [f"<p><b>{escape(in_words(self._now))}</b></p>", *map(one_html, self._tables())]
        for name in self.touched:
            parts.append(f"<p>{escape(name)}, now:</p>")
            for what, figure in (("parts to scale", self.draw_parts(name)), ("curve", self.draw_curve(name))):
                if figure is not None:
                    parts.append(f"<img alt='{escape(f'{name}: {what}')}' src='{as_svg(figure)}'>")
        return "".join(parts)

    def _axis(self, name: str) -> AxisEvaluation:
        each = next((one for one in self._now.axes if one.name == name), None)
        if each is None:
            known = ", ".join(one.name for one in self._now.axes)
            raise InvalidValueError(f"axis {name!r}: not among those that are evaluated: {known}")
        return each

    def _tables(self) -> list[Table]:
        shown = []
        if self._changes:
            rows = [(key, _text(self._document.at(key)), _text(value)) for key, value in self._changes.items()]
            shown.append(table("What was changed", ("Key", "Was", "Is"), rows))
            differences = self.differences()
            cells = [
                (
                    one.control,
                    one.target,
                    f"{_figure(one.was, one.unit)}, {one.was_state}",
                    f"{_figure(one.now, one.unit)}, {one.state}",
                )
                for one in differences
            ]
            heads = ("Control", "Target", "Was", "Is")
            shown.append(table("What that did", heads, cells, (one.state or "missed" for one in differences)))
        else:
            verdicts = judged(self._now)
            all_rows = [(name, *verdict_row(one)) for name, one in verdicts]
            marks = [one.state for _, one in verdicts]
            shown.append(table(self._now.title, ("Control", *VERDICT), all_rows, marks))
        notes = told(self._now)
        return [*shown, table("Notes", ("Control", "Note"), notes)] if notes else shown

    def _written(self, path: str | os.PathLike[str], text: str) -> Path:
        target, name = Path(path), self._origin.name
        if os.path.isfile(name) and same_file(Path(name), target):  # noqa: PTH113
            raise InvalidValueError(f"{target}: would be written over the design")
        write_whole(target, text)
        return target


def _same(one: AxisEvaluation | None, other: AxisEvaluation) -> bool:
    return one is not None and one.axis == other.axis


def _figure(value: float | None, unit: str) -> str:
    return "no value" if value is None else f"{number(value)} {unit}".rstrip()


def _text(value: object) -> str:
    return "not set" if value is None else str(value)
