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
from .feel import Centering, ForceCurve, GuidanceComparison, SecondOrderResponse
from .linkage import Clearance, Gate, Gimbal, GripTravel, Obstacle, TransmissionEnd

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
    "FeelAlong",
    "FeelEvaluation",
    "GateEvaluation",
    "Handling",
    "JointSwivel",
    "LinkageEvaluation",
    "MagnetHandling",
    "MagnetPull",
    "RigYield",
    "RodForce",
    "SlotEvaluation",
    "SpringEvaluation",
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
        """The same file as one of its variants has it; raises InvalidValueError for one that there is not."""
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
    def handling(self) -> Handling:
        """How its magnets are to be handled: contact forces, margins against losing flux in the heat, pulls that
        holders have to bear. Forces of magnets in contact may take some milliseconds.
        """

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
        """The axes, sticks, feels and springs that cannot be evaluated, such as one that collides, in the order of
        the file.
        """
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
    """An axis, a stick, the feel of one or a spring that cannot be evaluated, and why."""
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
    def linkage(self) -> LinkageEvaluation | None:
        """What its drive does; None where the control sits on the pivot with the sensor."""
    @property
    def feel(self) -> FeelEvaluation | None:
        """What hand or foot feels; None where the file does not say what acts on it. Of an axis of a stick the
        stick has it.
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
    def gate(self) -> GateEvaluation:
        """Where it may be, how far its grip goes, and what it comes near to."""
    @property
    def feel(self) -> FeelEvaluation | None:
        """What the hand feels along both axes; None where the file does not say what acts on it."""
    @property
    def verdicts(self) -> list[Verdict]:
        """What is asked of it as a whole, each with a verdict; what is asked of its axes they have themselves."""
    @property
    def notes(self) -> list[str]:
        """What a builder should know whatever the targets are."""

@final
class Handling:
    """How the magnets of a rig are to be handled. str() gives it as a person reads it."""
    @property
    def magnets(self) -> list[MagnetHandling]:
        """The magnets of the file, by their names."""
    @property
    def pulls(self) -> list[MagnetPull]:
        """The forces that holders of magnets have to bear."""
    def __str__(self) -> str: ...
    def __eq__(self, other: object, /) -> bool: ...

@final
class MagnetHandling:
    """How one magnet of a design file is to be handled."""
    @property
    def name(self) -> str:
        """Its name in the design file."""
    @property
    def axes(self) -> list[str]:
        """The axes that use it."""
    @property
    def contact_force(self) -> float:
        """Force with which two of them hold together, or one to thick steel, N."""
    @property
    def grade(self) -> str | None:
        """Its grade; None if the file does not say."""
    @property
    def hottest(self) -> float:
        """The hottest temperature of the error budgets of its axes, degC; 20 degC if none says one."""
    @property
    def margin(self) -> float | None:
        """How much further the field strength inside may fall there until the magnet loses flux for good, A/m, of
        the strongest magnet of its grade in free air; None without a grade that tells it.
        """
    @property
    def reversible_celsius(self) -> tuple[float, float] | None:
        """Lowest and highest temperature, degC, between which it loses nothing for good, in free air."""
    @property
    def notes(self) -> list[str]:
        """What to mind."""
    def __eq__(self, other: object, /) -> bool: ...

@final
class MagnetPull:
    """A force that a holder of magnets has to bear, the control centered."""
    @property
    def axis(self) -> str:
        """The axis."""
    @property
    def between(self) -> str:
        """Between what: the two magnets of a pair, or magnets and their steel plate."""
    @property
    def force(self) -> float:
        """The force, N."""
    def __eq__(self, other: object, /) -> bool: ...

@final
class FeelEvaluation:
    """The evaluated feel of an axis or a stick."""
    @property
    def along(self) -> list[FeelAlong]:
        """The feel along each angle: one of an axis by itself, the outer and the inner one of a stick."""
    @property
    def springs(self) -> list[SpringEvaluation]:
        """The springs, in the order of the file."""
    @property
    def notes(self) -> list[str]:
        """What a builder should know whatever the targets are: a control that does not center, a spring that hangs
        slack, is past a limit or loaded beyond what it may bear.
        """
    def __eq__(self, other: object, /) -> bool: ...

@final
class FeelAlong:
    """The feel along one angle, the other one of a stick at zero."""
    @property
    def axis(self) -> str:
        """What the axis is called."""
    @property
    def curve(self) -> ForceCurve:
        """Force against travel at 101 angles, and twice at each jump."""
    @property
    def end_forces(self) -> tuple[float, float]:
        """Force at the grip that pushes the control to its lower and to its upper end, friction included, N;
        negative where it goes there by itself and has to be held back.
        """
    @property
    def centering(self) -> Centering:
        """Where it stays when it is let go, and what sets it in motion."""
    @property
    def centering_counts(self) -> float | None:
        """The centering error in counts of the axis by its gain at the center; None where it does not center."""
    @property
    def stiffness(self) -> float | None:
        """Stiffness where it rests without friction, N m/rad; None where it has no such rest."""
    @property
    def response(self) -> SecondOrderResponse | None:
        """How it swings when it is let go near its rest; None of a control without mass or inertia, or one whose
        torque jumps there.
        """
    @property
    def guidance(self) -> list[GuidanceComparison]:
        """Where it lies against published figures, if the file says what is operated."""
    def __eq__(self, other: object, /) -> bool: ...

@final
class SpringEvaluation:
    """A spring of an evaluated control: of one along a line lengths and tensions, of one about a pivot angles and
    torques.
    """
    @property
    def name(self) -> str:
        """Its name in the design file."""
    @property
    def kind(self) -> Literal["line", "pivot", "captured", "compression", "extension", "torsion", "stock"]:
        """What kind of spring it is, by the word of the design file."""
    @property
    def element(self) -> int:
        """Its number among the elements of the control."""
    @property
    def lengths(self) -> tuple[float, float] | None:
        """Least and greatest distance of its ends over the travel, m."""
    @property
    def tensions(self) -> tuple[float, float] | None:
        """Tension at these lengths, N; negative where it presses."""
    @property
    def angles(self) -> tuple[float, float] | None:
        """Least and greatest angle of what it turns over the travel, rad."""
    @property
    def torques(self) -> tuple[float, float] | None:
        """Torque of the spring at these angles, N m."""
    @property
    def slack(self) -> bool:
        """Whether it carries nothing somewhere in the travel."""
    @property
    def past_limit(self) -> bool:
        """Whether it is past a limit somewhere: solid, overstretched or overwound."""
    @property
    def stress(self) -> float | None:
        """Greatest stress, of the part of the spring that comes nearest to what it may bear, Pa."""
    @property
    def allowable_stress(self) -> float | None:
        """What that part may bear at rest, Pa."""
    @property
    def safety(self) -> float | None:
        """The latter over the former: safety against staying deformed."""
    @property
    def cycles(self) -> float | None:
        """How often it goes over the whole travel and back in its life."""
    @property
    def life_safety(self) -> float | None:
        """Safety against breaking within these cycles."""
    def __eq__(self, other: object, /) -> bool: ...

@final
class LinkageEvaluation:
    """The evaluated drive of an axis by itself."""
    @property
    def throw(self) -> tuple[float, float]:
        """Least and greatest angle of the control, rad."""
    @property
    def output(self) -> tuple[float, float]:
        """Angle of the output at these, rad."""
    @property
    def ratios(self) -> tuple[float, float, float]:
        """Turn of the output for a turn of the control at the lower end, at the center and at the upper end."""
    @property
    def pad_travel(self) -> tuple[float, float] | None:
        """Way of the pad at both ends, m: of pedals along the push of the foot, else along the arc of the lever;
        None without a lever.
        """
    @property
    def reach(self) -> tuple[TransmissionEnd | None, TransmissionEnd | None]:
        """What ends the travel of the drive itself on either side: a stop, a lock, the swivel of a joint."""
    @property
    def lock_margins(self) -> tuple[float | None, float | None]:
        """Travel of the control left below and above the throw until the drive would lock if no stop and no joint
        ended it before, rad; None to a side on which it does not lock.
        """
    @property
    def joints(self) -> list[JointSwivel]:
        """The ball joints whose studs the file gives, each with its greatest swivel over the throw."""
    @property
    def foot_force(self) -> float | None:
        """Force of foot or hand for which the rods' loads are told, N."""
    @property
    def rods(self) -> list[RodForce]:
        """The rods, each with its greatest force over the throw, the output held or, of pedals, the other foot."""
    @property
    def notes(self) -> list[str]:
        """What a builder should know whatever the targets are."""
    def __eq__(self, other: object, /) -> bool: ...

@final
class JointSwivel:
    """How far a ball joint swivels over the throw."""
    @property
    def joint(self) -> str:
        """Which joint, such as "left rod at the pedal"."""
    @property
    def swivel(self) -> float:
        """Greatest angle by which the rod leaves the plane across the stud, rad."""
    @property
    def rated(self) -> float | None:
        """What it is rated for to either side, rad; None if the file does not say."""
    def __eq__(self, other: object, /) -> bool: ...

@final
class RodForce:
    """The greatest force in a rod over the throw under the foot's force."""
    @property
    def rod(self) -> str:
        """Which rod."""
    @property
    def force(self) -> float:
        """The force, N: positive pulls the rod, negative presses it."""
    @property
    def angle(self) -> float:
        """Angle of the control at which it is that great, rad."""
    def __eq__(self, other: object, /) -> bool: ...

@final
class GateEvaluation:
    """The gate of an evaluated stick: where it may be, how far its grip goes, and what it comes near to."""
    @property
    def gimbal(self) -> Gimbal:
        """The stick on its two pivots."""
    @property
    def gate(self) -> Gate:
        """Where it may be."""
    @property
    def grip_travel(self) -> tuple[GripTravel, GripTravel]:
        """How far the grip goes over the throw of the outer and of the inner axis, the other one at zero."""
    @property
    def obstacles(self) -> list[tuple[str, Obstacle]]:
        """What stands around it, each with its name, in the order of the file."""
    @property
    def clearance(self) -> Clearance | None:
        """Where stick and hand come nearest to any of them over the whole gate; None where nothing stands around."""
    @property
    def nearest(self) -> str | None:
        """What it comes nearest to."""
    def __eq__(self, other: object, /) -> bool: ...

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
    """The builds of one control: an axis, an axis of a stick, or a stick with what is asked of it as a whole."""
    @property
    def name(self) -> str:
        """What the control is called."""
    @property
    def stick(self) -> str | None:
        """What the stick is called that it is an axis of; None of an axis by itself and of a stick."""
    @property
    def targets(self) -> list[tuple[str, str, str, float]]:
        """Its targets in the order of yields.targets: (figure, unit, "at least" or "at most", wanted)."""
    @property
    def route(self) -> Literal["side by side", "read anew"]:
        """How its builds were computed: "side by side" or "read anew"."""
    @property
    def yields(self) -> Yield | None:
        """Its builds: inputs named as in the file and in the units of their keys, so that a build can be put into
        the file and looked at; figures and targets in the units of the targets. None where no toleranced number
        reaches it, so that every build is as designed.
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
        """Each control: axes, then the sticks, both axes of each before the stick as a whole if something is asked
        of that.
        """
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
