"""A design file in, an evaluated rig out: every axis with its figures, every target with a verdict and the margin."""

from os import PathLike
from typing import Literal, final

from .axis import (
    Arrangement,
    Axis,
    AxisFigures,
    Comparison,
    Correction,
    Crosstalk,
    ErrorBudget,
    Sweep,
    TwoAxis,
)

__all__ = [
    "DESIGN_KEYS",
    "AxisEvaluation",
    "BrokenControl",
    "Design",
    "Evaluation",
    "StickEvaluation",
    "Verdict",
    "design_schema",
]

DESIGN_KEYS: tuple[tuple[str, str, str], ...]

def design_schema() -> str:
    """A JSON Schema (draft 2020-12) of design files, as text: by it editors complete and check one as it is
    written.

    It holds a file to the same keys, kinds, words and ranges as Design.load; words as DESIGN_KEYS has them.
    Whether a part exists and whether values go together, only reading knows.
    """

@final
class Design:
    """A whole design, checked."""
    @staticmethod
    def load(path: str | PathLike[str]) -> Design:
        """Reads a design file; raises DesignFileError with file, line, column, key, value and allowed range."""
    @staticmethod
    def parse(text: str, name: str = "design") -> Design:
        """Reads a design from text; name stands for the file in messages."""
    @property
    def title(self) -> str:
        """What the design is called."""
    @property
    def name(self) -> str:
        """The file it was read from, or the name given in its place, as messages have it."""
    @property
    def text(self) -> str:
        """The text that it was read from."""
    @property
    def currency(self) -> str | None:
        """What prices are in; None if the file does not say."""
    def evaluate(self, points: int = 1001) -> Evaluation:
        """Sweeps every axis at this many angles and holds the figures against the targets."""

@final
class Evaluation:
    """An evaluated design. str() gives the verdict as a person reads it."""
    @property
    def title(self) -> str:
        """What the design is called."""
    @property
    def design(self) -> Design:
        """The design that was evaluated."""
    @property
    def currency(self) -> str | None:
        """What prices are in; None if the file does not say."""
    @property
    def axes(self) -> list[AxisEvaluation]:
        """The axes that can be evaluated, those of sticks too, in the order of the file."""
    @property
    def sticks(self) -> list[StickEvaluation]:
        """The sticks that can be evaluated, in the order of the file."""
    @property
    def comparison(self) -> Comparison | None:
        """All axes in one table, each with the error budget that it is asked for; None if there are none."""
    @property
    def broken(self) -> list[BrokenControl]:
        """The axes and sticks that cannot be evaluated, such as one that collides, in the order of the file."""
    @property
    def state(self) -> Literal["met", "close", "missed"]:
        """The worst of all verdicts: "met", "close" or "missed"; "missed" if a control cannot be evaluated, else
        "met" if there are no targets.
        """
    def to_json(self) -> str:
        """The result as JSON; SI units, except the verdicts, which carry theirs."""
    def __str__(self) -> str: ...

@final
class BrokenControl:
    """An axis or a stick that cannot be evaluated, and why."""
    @property
    def name(self) -> str:
        """What the axis or the stick is called."""
    @property
    def line(self) -> int:
        """The line of the design file at which it begins."""
    @property
    def reason(self) -> str:
        """Why it cannot be evaluated."""

@final
class AxisEvaluation:
    """One evaluated axis."""
    @property
    def name(self) -> str:
        """What the axis is called."""
    @property
    def stick(self) -> str | None:
        """What the stick is called that it is an axis of; None of an axis by itself."""
    @property
    def arrangement(self) -> Arrangement | None:
        """How magnet and sensor stand; None with a potentiometer on the shaft."""
    @property
    def axis(self) -> Axis:
        """The axis itself; of a stick as if the other axis stood at zero and had no magnet."""
    @property
    def sweep(self) -> Sweep:
        """Its curve."""
    @property
    def figures(self) -> AxisFigures:
        """Its figures."""
    @property
    def error_budget(self) -> ErrorBudget | None:
        """What the errors of the position told add up to; None where the reading turns back or stands still, or
        where notes says why.
        """
    @property
    def price(self) -> float | None:
        """What its parts cost; None if the file does not say."""
    @property
    def verdicts(self) -> list[Verdict]:
        """Its targets, each with a verdict."""
    @property
    def notes(self) -> list[str]:
        """What a builder should know whatever the targets are: clipping, a reading that turns back or stands
        still, an input driven too high, parts that touch, a linkage at its end, a field that the sensor does
        not work in.
        """

@final
class StickEvaluation:
    """One evaluated stick: what its two axes do to each other."""
    @property
    def name(self) -> str:
        """What the stick is called."""
    @property
    def axes(self) -> tuple[str, str]:
        """What its outer and its inner axis are called."""
    @property
    def two_axis(self) -> TwoAxis:
        """Both sensors among all magnets, at the temperature at which everything is given."""
    @property
    def clearance(self) -> tuple[float, float]:
        """Least distance of either sensor's face from any magnet over the gate, the outer one first, m."""
    @property
    def crosstalk(self) -> Crosstalk:
        """What each axis does to the reading of the other."""
    @property
    def correction(self) -> Correction | None:
        """The bilinear map of both readings to both angles, and what it leaves; None where the readings do not
        tell the angles apart, as notes then says.
        """
    @property
    def notes(self) -> list[str]:
        """What a builder should know whatever the targets are."""

@final
class Verdict:
    """One target beside the figure that answers it."""
    @property
    def target(self) -> str:
        """What was asked."""
    @property
    def unit(self) -> str:
        """The unit of wanted and got."""
    @property
    def sense(self) -> Literal["at least", "at most"]:
        """ "at least" or "at most"."""
    @property
    def wanted(self) -> float:
        """The value wanted."""
    @property
    def got(self) -> float | None:
        """The value that the design reaches; None where the figure has no value."""
    @property
    def margin(self) -> float | None:
        """How much there is to spare; negative if the target is not met."""
    @property
    def margin_unit(self) -> str:
        """The unit of margin: "points" between two percentages, else unit."""
    @property
    def qualification(self) -> str | None:
        """What the figure hides, such as the clipping of a throw that uses much of the range; None if nothing."""
    @property
    def state(self) -> Literal["met", "close", "missed"]:
        """ "met", "close" (missed by no more than a tenth of what was wanted) or "missed"."""
