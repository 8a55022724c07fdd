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
    Importance,
    LatencyBudget,
    Sweep,
    TwoAxis,
    Yield,
)

__all__ = [
    "DESIGN_KEYS",
    "AxisEvaluation",
    "BillItem",
    "BrokenControl",
    "ControlYield",
    "Cost",
    "CostShare",
    "Design",
    "Evaluation",
    "RigYield",
    "SlotEvaluation",
    "StickEvaluation",
    "Supply",
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
    @property
    def variants(self) -> list[str]:
        """The variants that the file has, in its order."""
    @property
    def variant_name(self) -> str | None:
        """Which of them it is; None of the file itself."""
    def variant(self, name: str) -> Design:
        """The same file as one of its variants has it; raises DesignFileError for one that there is not."""
    @property
    def tolerances(self) -> list[tuple[str, int, str]]:
        """The numbers that have a tolerance: (name as in the file, line, distribution in a word)."""
    @property
    def causes(self) -> list[tuple[str, int, list[str]]]:
        """What moves several numbers together: (name, line, numbers)."""
    def evaluate(self, points: int = 1001, *, yields: RigYield | None = None) -> Evaluation:
        """Sweeps every axis at this many angles and holds the figures against the targets; with a study of its
        builds also the yields.
        """
    def study_yields(
        self,
        builds: int = 10000,
        *,
        seed: int = 1,
        replicates: int | None = None,
        confidence: float = 0.95,
        keep: int = 20,
        importance_rows: int | None = None,
        route: Literal["side by side", "read anew"] | None = None,
    ) -> RigYield:
        """Builds the rig as strangers do, by the tolerances of its file, and counts those that work: each control
        by itself and all of them together.

        builds: how many; seed: the same gives the same builds. replicates: with a number (4 to 256) the builds
        are scrambled Sobol' points in so many replicates, which tell the error. confidence: of the intervals.
        keep: how many of the worst builds of each control are kept. importance_rows: with a number, 256 or
        more, what decides is studied too, by so many rows. route: "side by side" or "read anew" holds all to
        one way of computing them; both give the same.
        """
    def evaluate_slots(self) -> list[SlotEvaluation]:
        """What each slot does to each control that its number reaches, at both of its ends."""

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
    def cost(self) -> Cost:
        """The bill of materials, and where the money goes."""
    @property
    def supply(self) -> Supply | None:
        """The current that the rig draws; None if its file tells no current."""
    @property
    def yields(self) -> RigYield | None:
        """The study of builds that it was evaluated with; None without one."""
    @property
    def verdicts(self) -> list[Verdict]:
        """The targets of the whole rig, each with a verdict; the limit of the supply is one."""
    @property
    def notes(self) -> list[str]:
        """What a builder should know of the whole rig whatever the targets are."""
    @property
    def state(self) -> Literal["met", "not studied", "close", "missed"]:
        """The worst of all verdicts: "met", "not studied" (a yield that only a study of builds tells), "close" or
        "missed"; "missed" if a control cannot be evaluated, else "met" if there are no targets.
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
        """What goes to it of the cost of the rig; None if nothing that it uses has a price."""
    @property
    def latency(self) -> LatencyBudget | None:
        """How slow it is, from hand to screen: the stages that follow from its own chain, then those that all
        controls share. None of a file without stages.
        """
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
    def state(self) -> Literal["met", "not studied", "close", "missed"]:
        """ "met", "not studied" (a yield that only a study of builds tells), "close" (missed by no more than a
        tenth of what was wanted) or "missed".
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class BillItem:
    """One line of the bill of materials."""
    @property
    def kind(self) -> str:
        """What it is: the section of the design file that describes it ("magnet", "sensor", ...), "part" for what
        is listed there by itself, "control" for the price that a control has by itself.
        """
    @property
    def name(self) -> str:
        """What it is called."""
    @property
    def quantity(self) -> int:
        """How many are bought."""
    @property
    def price(self) -> float | None:
        """What one of them costs; None if the file does not say."""
    @property
    def total(self) -> float | None:
        """What all of them cost."""
    @property
    def used_by(self) -> list[str]:
        """The controls that it is for, which share its price evenly; one is there as often as it uses it. Empty of
        what belongs to the rig.
        """
    @property
    def note(self) -> str | None:
        """What it is like, or where to find it."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class CostShare:
    """What of the money goes to one control, or to the rig itself."""
    @property
    def name(self) -> str:
        """The control, or "rig" for what belongs to none."""
    @property
    def amount(self) -> float:
        """What it costs."""
    @property
    def share(self) -> float | None:
        """Of the whole, 0 to 1; None where the whole costs nothing."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Cost:
    """What a rig costs: the bill of materials, and how it is shared out among the controls; print() shows both.

    Magnets, plates, sensors and filters are bought as often as controls use them, a linkage once, a converter
    once for all its channels. What several controls use is shared out evenly among them.
    """
    @property
    def items(self) -> list[BillItem]:
        """The bill of materials."""
    @property
    def shares(self) -> list[CostShare]:
        """What each control costs, in the order of the file, and last what belongs to the rig itself."""
    @property
    def total(self) -> float:
        """What all costs that has a price."""
    def of_control(self, name: str) -> float | None:
        """What one control costs; None if nothing that it uses has a price."""
    def to_csv(self) -> str:
        """The bill of materials as CSV: what, name, quantity, price, total, used by, note."""
    def __str__(self) -> str: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Supply:
    """The current that sensors, converters and listed parts draw together, beside what the port may be asked for."""
    @property
    def consumers(self) -> list[tuple[str, int, float]]:
        """What draws current: (name, how many, current of one in A)."""
    @property
    def current(self) -> float:
        """What they draw together, A."""
    @property
    def limit(self) -> float | None:
        """What the port may be asked for, A; None if the file does not say."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ControlYield:
    """The builds of one control, an axis or an axis of a stick."""
    @property
    def name(self) -> str:
        """What the control is called."""
    @property
    def stick(self) -> str | None:
        """What the stick is called that it is an axis of; None of an axis by itself."""
    @property
    def targets(self) -> list[tuple[str, str, str, float]]:
        """Its targets in the order of yields.targets: (figure, unit, "at least" or "at most", wanted)."""
    @property
    def route(self) -> Literal["side by side", "read anew"]:
        """How its builds were computed: "side by side" or "read anew"."""
    @property
    def yields(self) -> Yield | None:
        """Its builds: inputs named as in the file and in SI, figures and targets in the units of the targets. None
        where no toleranced number reaches it, so that every build is as designed.
        """
    @property
    def share(self) -> float:
        """Share of the builds that meet every target; without a tolerance all or none."""
    @property
    def as_designed(self) -> bool:
        """Whether the design itself meets every target."""
    @property
    def importance(self) -> Importance | None:
        """What makes the variance of each figure; None if it was not asked for."""
    @property
    def decides(self) -> str | None:
        """What decides about the yield, in a line; None if it was not asked for."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class RigYield:
    """How many of the rigs that strangers build will work; print() shows it.

    A number that stands in a part which several controls use, and a common cause, is drawn once for a rig: it
    moves all of them together.
    """
    @property
    def title(self) -> str:
        """What the design is called."""
    @property
    def controls(self) -> list[ControlYield]:
        """Each control: axes, then those of the sticks."""
    @property
    def shared(self) -> list[tuple[str, list[str]]]:
        """What moves several controls together: (tolerance, controls)."""
    @property
    def builds(self) -> int:
        """Rigs that were built."""
    @property
    def passed(self) -> int:
        """Rigs of which every control meets every target."""
    @property
    def share(self) -> float:
        """Share of the rigs of which every control meets every target."""
    @property
    def interval(self) -> tuple[float, float]:
        """Between which shares the true one lies."""
    def control(self, name: str) -> ControlYield | None:
        """One control by its name; None if there is none."""
    @staticmethod
    def from_json(text: str) -> RigYield:
        """The value that to_json has written."""
    def to_json(self) -> str:
        """All of it as JSON, to the last bit."""
    def __str__(self) -> str: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SlotEvaluation:
    """What a slot does to one control that its number reaches."""
    @property
    def input(self) -> str:
        """The number, by its section and the name of its control: "axis.rudder.arm_mm"."""
    @property
    def line(self) -> int:
        """The line of the design file at which it stands."""
    @property
    def unit(self) -> str:
        """The unit of setting and slot."""
    @property
    def setting(self) -> float:
        """Where it is set."""
    @property
    def slot(self) -> tuple[float, float]:
        """Both ends of the slot."""
    @property
    def control(self) -> str:
        """The control."""
    @property
    def range_used(self) -> tuple[float | None, float | None]:
        """Range used at both ends, %; None where it has no value."""
    @property
    def linearity(self) -> tuple[float | None, float | None]:
        """Independent linearity at both ends, % of span."""
    @property
    def failures(self) -> tuple[str | None, str | None]:
        """Why the control cannot be at either end; None where it can."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
