"""Feel: the force at the hand and the foot against travel."""

from collections.abc import Sequence
from typing import Any, Literal, final

from numpy.typing import ArrayLike

from ._core import Floats, Mask, SearchResult
from .linkage import BallRod, FourBar, Pivot, Transmission
from .magnet import Magnet, MagnetGroup
from .spring import LinearTorsionSpring, LineSpring

__all__ = [
    "GUIDANCE_CAVEAT",
    "Anchor",
    "CapturedSpring",
    "Centering",
    "Control",
    "ControlMeasurements",
    "ControlState",
    "Drive",
    "Element",
    "Equilibrium",
    "EquilibriumBand",
    "ForceCurve",
    "FreeResponse",
    "GuidanceComparison",
    "GuidanceFigure",
    "SecondOrderResponse",
    "SpringDemand",
    "SpringEnvelope",
    "SpringFit",
    "SpringOperatingPoint",
    "compare_with_guidance",
    "friction_torque",
    "gradient_limits",
    "guides_for",
    "min_maneuver_force",
    "noticeable_steps",
]

GUIDANCE_CAVEAT: str

@final
class Anchor:
    """A point (m) fixed to a body, where it is with every angle at zero.

    body: "ground", "lever" (what the hand or foot holds), "ring" (the outer one of a gimbal), "driven 0",
    "driven 1", ...
    """
    def __new__(cls, body: str, point: ArrayLike) -> Anchor: ...
    @property
    def body(self) -> str:
        """The body."""
    @property
    def point(self) -> Floats:
        """The point with every angle at zero, m, shape (3,)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Drive:
    """A body on a pivot of its own that another one drives ("lever", "ring" or "driven 0", ...) through any
    transmission.

    transmission: FixedRatio, BallRod, CenteredFourBar, UniversalJoint, PedalTransmission or TransmissionChain;
    what stands in space must sit on both pivots, and a planar one needs them parallel.
    """
    def __new__(cls, pivot: Pivot, by: str, transmission: Transmission) -> Drive: ...
    @staticmethod
    def ratio(pivot: Pivot, by: str, ratio: float) -> Drive:
        """In proportion: output angle over input angle, 0.01 to 100 in size."""
    @staticmethod
    def ball_rod(by: str, rod: BallRod) -> Drive:
        """Through a rod with two ball joints; the driven body turns on the pivot of the rod's output arm, the
        driving one on that of its input arm.
        """
    @staticmethod
    def four_bar(pivot: Pivot, by: str, linkage: FourBar, branch: Literal["open", "crossed"], neutral: float) -> Drive:
        """Through a planar four-bar between parallel pivots; neutral: its crank angle (rad) when the angle of the
        driving body is zero.
        """
    @property
    def pivot(self) -> Pivot:
        """Where the driven body turns."""
    @property
    def by(self) -> str:
        """What drives it."""
    @property
    def transmission(self) -> Transmission:
        """How its angle follows."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class CapturedSpring:
    """A spring held with preload between collars, so that it works both ways: tension = +-preload + rate (length -
    neutral_length).

    neutral_length: distance of the ends at which it sits on both collars (m). preload: force there (N). rate:
    N/m. stroke: how far it may go either way before it is solid (m).

    Springs under load hurt: wear eye protection, let a spring down before you open what holds it.
    """
    def __new__(cls, *, neutral_length: float, preload: float, rate: float, stroke: float) -> CapturedSpring: ...
    @property
    def neutral_length(self) -> float:
        """Distance of the ends at which it sits on both collars, m."""
    @property
    def preload(self) -> float:
        """Force there, N."""
    @property
    def rate(self) -> float:
        """Rate, N/m."""
    @property
    def stroke(self) -> float:
        """How far it goes either way, m."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Element:
    """One thing that acts on a control; made by one of the functions below.

    Bodies are named as in Anchor.
    """
    @staticmethod
    def line(spring: LineSpring | CapturedSpring, a: Anchor, b: Anchor) -> Element:
        """A spring of any kind, a force table or a captured spring between two anchors."""
    @staticmethod
    def torsion(spring: LinearTorsionSpring, body: str) -> Element:
        """A torsion spring between a body and what bears it."""
    @staticmethod
    def breakout(body: str, preload: float, rate: float = 0.0, center: float = 0.0) -> Element:
        """A preloaded stop in the middle: torque of preload (N m) on leaving center (rad), growing by rate (N
        m/rad).
        """
    @staticmethod
    def cam(
        body: str,
        angles: ArrayLike,
        lifts: ArrayLike,
        preload: float,
        rate: float = 0.0,
        periodic: bool = False,
    ) -> Element:
        """A sprung follower on a profile: lifts (N,) in m at ascending angles (N,) in rad of the body.

        preload: force of the follower at lift zero, N. rate: of its spring, N/m. periodic: whether the profile
        repeats past its ends.
        """
    @staticmethod
    def mass(mass: float, at: Anchor) -> Element:
        """A mass (kg) with its center at an anchor."""
    @staticmethod
    def magnets(first: str, by: Magnet | MagnetGroup, second: str, on: Magnet | MagnetGroup) -> Element:
        """Magnets on one body and magnets on another, all placed as they stand with every angle at zero."""
    @staticmethod
    def inertia(body: str, moment: float) -> Element:
        """Moment of inertia (kg m^2) of a body about its own pivot, beside the masses at anchors."""
    @staticmethod
    def damper(body: str, damping: float) -> Element:
        """A damper whose torque grows with the speed of a body (N m s/rad)."""
    @staticmethod
    def friction(body: str, torque: float) -> Element:
        """Coulomb friction torque (N m) in the bearing of a body."""
    @staticmethod
    def joint_friction(a: Anchor, b: Anchor, torque: float) -> Element:
        """Coulomb friction torque (N m) in each of the joints at the two ends of a rod or spring."""
    @property
    def kind(self) -> str:
        """Which function made it."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Control:
    """A stick, a pedal or a lever with all that pulls, presses and weighs on it.

    pivots: one, or two of a gimbal (the outer one fixed, the inner one carried by it); travel: least and
    greatest angle of each (rad), at its stops; grip: where the hand or foot works (m). All points are where
    they are with every angle at zero. driven: bodies that the lever (or the ring of a gimbal) drives. gravity:
    m/s^2.

    Forces at the grip are what the hand has to apply along the way the grip goes, positive towards greater
    angles. Where a force jumps, as at a breakout, there are two values, one from either side.

    Springs under load throw parts into eyes and trap fingers; what carries a foot must stand an emergency press
    of over a kilonewton. For simulators only.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg, mm
    >>> spring = yw.spring.LinearSpring(rate=500.0, free_length=60 * mm, action="above")
    >>> control = yw.feel.Control(
    ...     pivots=[yw.linkage.Pivot((0, 0, 0), (1, 0, 0))],
    ...     travel=[(-15 * deg, 15 * deg)],
    ...     grip=(0, 0, 0.4),
    ...     elements=[
    ...         yw.feel.Element.line(
    ...             spring,
    ...             yw.feel.Anchor("lever", (0, side * 10 * mm, 100 * mm)),
    ...             yw.feel.Anchor("ground", (0, side * 90 * mm, 100 * mm)),
    ...         )
    ...         for side in (-1, 1)
    ...     ],
    ... )
    >>> print(f"{control.curve().force[-1]:.2f} N at the stop")
    5.74 N at the stop
    """
    def __new__(
        cls,
        *,
        pivots: Sequence[Pivot],
        travel: Sequence[tuple[float, float]],
        grip: ArrayLike,
        elements: Sequence[Element] = (),
        driven: Sequence[Drive] = (),
        gravity: ArrayLike = (0.0, 0.0, -9.80665),
    ) -> Control: ...
    @property
    def pivots(self) -> list[Pivot]:
        """One pivot, or the outer and the inner one."""
    @property
    def travel(self) -> list[tuple[float, float]]:
        """Least and greatest value of each angle, rad."""
    @property
    def grip(self) -> Floats:
        """Where the hand or foot works, with every angle at zero, m, shape (3,)."""
    @property
    def elements(self) -> tuple[Element, ...]:
        """What acts on it."""
    @property
    def driven(self) -> tuple[Drive, ...]:
        """Bodies that it drives."""
    @property
    def gravity(self) -> Floats:
        """Acceleration of gravity, m/s^2, shape (3,)."""
    def with_elements(self, elements: Sequence[Element]) -> Control:
        """The same control with other elements."""
    def state(self, angles: ArrayLike, side: Literal["above", "below"] = "above") -> ControlState:
        """Everything at the given angles (rad, one for each pivot); where a force jumps, the limit from "above" or
        "below".
        """
    def curve(self, points: int = 201, moving: Literal["outer", "inner"] = "outer", held: float = 0.0) -> ForceCurve:
        """The force against travel at equally spaced angles from stop to stop, and twice where a force jumps.

        moving: "outer" (the only or the outer angle) or "inner"; held: where the other angle stays, rad.
        """
    def equilibrium_bands(
        self, moving: Literal["outer", "inner"] = "outer", held: float = 0.0
    ) -> list[EquilibriumBand]:
        """Where the control comes to rest without friction: equilibria, breakouts, and stops that it is pushed
        against.
        """
    def centering(self, moving: Literal["outer", "inner"] = "outer", held: float = 0.0) -> Centering:
        """How well it centers against its friction."""
    def stop_forces(
        self,
        hand_force: float,
        radius: float,
        moving: Literal["outer", "inner"] = "outer",
        held: float = 0.0,
    ) -> tuple[float, float]:
        """Forces (N) on the lower and the upper stop, at radius (m) from the pivot, when the hand presses with
        hand_force (N) at the grip.

        A foot presses with over a kilonewton in an emergency: have what carries it checked by someone
        qualified.
        """
    def spring_envelopes(self, points: int = 41) -> list[SpringEnvelope]:
        """What each spring goes through over the whole gate, looked at on a grid of points for each axis."""
    def equilibrium(self, start: ArrayLike) -> Equilibrium:
        """Where it comes to rest when it is let go slowly at the angles start (rad), without friction."""
    def search_springs(
        self,
        choices: Sequence[LineSpring | tuple[float, float, float, float]],
        *,
        body: str,
        on_body: tuple[ArrayLike, ArrayLike],
        on_ground: tuple[ArrayLike, ArrayLike],
        mirror: ArrayLike | None = None,
        full_force: tuple[float, float] | None = None,
        gradient: tuple[float, float] | None = None,
        breakout: tuple[float, float] | None = None,
        may_be_slack: bool = False,
        starts: int = 16,
        moving: Literal["outer", "inner"] = "outer",
        held: float = 0.0,
    ) -> SearchResult[SpringFit]:
        """Searches for springs and anchors that give a wanted feel, beside all that the control has already; best
        first.

        body: on which the springs pull, the other end is on the ground. on_body and on_ground: two corners (m)
        of the boxes for the anchors. choices: springs, or (rate, stroke, least preload, greatest preload) for
        one captured between collars. mirror: normal of the plane in which a second spring is the mirror image;
        None for one spring. full_force (N at the stops), gradient (N/m at the center), breakout (N): (value,
        tolerance) each, or None. starts: from how many places to search for each spring.
        """
    def search_springs_together(self, demands: Sequence[SpringDemand]) -> SearchResult[list[SpringFit]]:
        """Searches for several springs or pairs at once, as for pitch and roll of a stick, where each pair is felt
        on both axes; best first.

        demands: one SpringDemand for each, at most 8. Each answer is a list with one SpringFit for every
        demand, in their order, measured with all springs in place; there is one answer for each combination of
        springs (at most 10000) that meets every demand.
        """
    def second_order_response(
        self, moving: Literal["outer", "inner"] = "outer", held: float = 0.0
    ) -> SecondOrderResponse:
        """The swing about its rest for small angles: stiffness, inertia and viscous damping; without Coulomb
        friction.
        """
    def free_response(
        self,
        start: float,
        duration: float,
        points: int = 501,
        rebound: float = 0.0,
        moving: Literal["outer", "inner"] = "outer",
        held: float = 0.0,
    ) -> FreeResponse:
        """Lets the control go at rest at start (rad) and follows it for duration (s), with friction, stops and
        all.

        points: number of equally spaced times to report. rebound: share of the speed with which it comes back
        from a stop.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ControlState:
    """A control at one position."""
    @property
    def angles(self) -> Floats:
        """The angles, rad, shape (axes,)."""
    @property
    def energy(self) -> float:
        """Energy of springs, weights and magnets, J."""
    @property
    def torque(self) -> Floats:
        """Torque of all that acts about each pivot, N m, shape (axes,)."""
    @property
    def stiffness(self) -> Floats:
        """Second derivatives of the energy, N m/rad, shape (axes, axes); off the diagonal: what couples the axes."""
    @property
    def force(self) -> Floats:
        """Force at the grip that holds each angle, N, along the way the grip goes when only that angle grows,
        shape (axes,).
        """
    @property
    def hold(self) -> Floats:
        """The least force at the grip that holds all angles at once, N, shape (3,)."""
    @property
    def arm(self) -> Floats:
        """Distance of the grip from each pivot, m, shape (axes,)."""
    @property
    def grip(self) -> Floats:
        """Where the grip is, m, shape (3,)."""
    @property
    def lines(self) -> list[SpringOperatingPoint]:
        """What the springs do."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SpringOperatingPoint:
    """A spring at one position of the control."""
    @property
    def element(self) -> int:
        """Number of the element among those of the control."""
    @property
    def length(self) -> float:
        """Distance of the anchors, m."""
    @property
    def tension(self) -> float:
        """Force that pulls the ends together, N."""
    @property
    def state(self) -> str:
        """ "slack", "working", "solid" or "overstretched"."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ForceCurve:
    """Force against travel along one angle: rows of equal number; an angle at which a force jumps comes twice."""
    @property
    def angle(self) -> Floats:
        """Angle, rad, shape (N,)."""
    @property
    def way(self) -> Floats:
        """Way of the grip from angle zero along its arc, m, shape (N,)."""
    @property
    def energy(self) -> Floats:
        """Energy, J, shape (N,)."""
    @property
    def torque(self) -> Floats:
        """Torque of all that acts about the pivot, N m, shape (N,)."""
    @property
    def stiffness(self) -> Floats:
        """Stiffness, N m/rad, shape (N,)."""
    @property
    def force(self) -> Floats:
        """Force at the grip that holds the control without friction, N, positive towards greater angles, shape
        (N,).
        """
    @property
    def friction(self) -> Floats:
        """What friction adds to the force on the way up and takes from it on the way down, N, shape (N,)."""
    @property
    def valid(self) -> Mask:
        """Whether the row has values, shape (N,)."""
    @property
    def measured(self) -> ControlMeasurements:
        """What the curve measures, to set beside published figures."""
    def __len__(self) -> int: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class EquilibriumBand:
    """A place or a stretch where the control stays."""
    @property
    def lower(self) -> float:
        """Where it begins, rad."""
    @property
    def upper(self) -> float:
        """Where it ends, rad; the same for a single place."""
    @property
    def middle(self) -> float:
        """Its middle, rad."""
    @property
    def stable(self) -> bool:
        """Whether the control comes back when it is moved a little to either side."""
    @property
    def kind(self) -> str:
        """What keeps it there: "free" (springs, weights, friction), "jump" (a force that jumps, as at a breakout)
        or "stop".
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Centering:
    """How well a control centers against its Coulomb friction."""
    @property
    def bands(self) -> list[EquilibriumBand]:
        """Every stretch in which the control stays when it is let go at rest."""
    @property
    def center(self) -> EquilibriumBand | None:
        """The band to which it comes back from both stops; None if there is none."""
    @property
    def centers(self) -> bool:
        """Whether it comes back to one and the same band from everywhere."""
    @property
    def neutral(self) -> float | None:
        """Where springs and weights alone would bring it, rad."""
    @property
    def error(self) -> float | None:
        """Greatest distance of the center band's ends from angle zero, rad."""
    def error_counts(self, counts_per_radian: float) -> float | None:
        """The centering error in counts of a sensor that gives so many of them for a radian."""
    @property
    def breakout_up(self) -> float | None:
        """Force at the grip that sets it in motion upward from the neutral, N."""
    @property
    def breakout_down(self) -> float | None:
        """The same downward, N."""
    @property
    def loop_area(self) -> float:
        """Work that friction takes on a round trip, J: the area of the hysteresis loop."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SpringEnvelope:
    """What a spring goes through over the whole gate."""
    @property
    def element(self) -> int:
        """Number of the element among those of the control."""
    @property
    def shortest(self) -> float:
        """Least distance of its anchors, m."""
    @property
    def shortest_at(self) -> Floats:
        """The angles where that is, rad, shape (axes,)."""
    @property
    def longest(self) -> float:
        """Greatest distance of its anchors, m."""
    @property
    def longest_at(self) -> Floats:
        """The angles where that is, rad, shape (axes,)."""
    @property
    def slack(self) -> Floats | None:
        """Angles at which it is slack, rad, shape (axes,); None if it never is."""
    @property
    def solid(self) -> Floats | None:
        """Angles at which it is solid, or None."""
    @property
    def overstretched(self) -> Floats | None:
        """Angles at which it is overstretched, or None."""
    @property
    def refused(self) -> Floats | None:
        """Angles at which its length is off its table, or None."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Equilibrium:
    """Where a control comes to rest from a given position."""
    @property
    def angles(self) -> Floats:
        """The angles, rad, shape (axes,)."""
    @property
    def stable(self) -> bool:
        """Whether no small displacement within the stops lowers the energy."""
    @property
    def stiffness(self) -> tuple[float, float]:
        """Least and greatest stiffness there, N m/rad."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SecondOrderResponse:
    """A control that swings about its center: inertia q'' + damping q' + stiffness q = 0.

    stiffness: N m/rad, inertia: kg m^2, damping: N m s/rad, all about the pivot.
    """
    def __new__(cls, *, stiffness: float, inertia: float, damping: float = 0.0) -> SecondOrderResponse: ...
    @property
    def stiffness(self) -> float:
        """Stiffness, N m/rad."""
    @property
    def inertia(self) -> float:
        """Moment of inertia, kg m^2."""
    @property
    def damping(self) -> float:
        """Damping, N m s/rad."""
    @property
    def natural_frequency(self) -> float:
        """Angular frequency without damping, rad/s."""
    @property
    def damping_ratio(self) -> float:
        """Damping as a share of the critical one."""
    @property
    def period(self) -> float | None:
        """Time of a swing out and back, s; None if it creeps back."""
    @property
    def overshoot(self) -> float:
        """How far it swings past the center, as a share of where it was let go."""
    def settling_time(self, share: float = 0.02) -> float | None:
        """Time (s) after which it stays within share of where it was let go; None without damping."""
    def share_after(self, time: float) -> float:
        """Where it is after time (s), as a share of where it was let go at rest."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class FreeResponse:
    """What a control does after it is let go."""
    @property
    def time(self) -> Floats:
        """Times, s, shape (N,)."""
    @property
    def angle(self) -> Floats:
        """Angle, rad, shape (N,)."""
    @property
    def speed(self) -> Floats:
        """Speed, rad/s, shape (N,)."""
    @property
    def turns(self) -> Floats:
        """When (s) and where (rad) it turned back, shape (M, 2)."""
    @property
    def stops(self) -> Floats:
        """When (s) and where (rad) it hit a stop, shape (M, 2)."""
    @property
    def rest(self) -> tuple[float, float] | None:
        """When (s) and where (rad) it came to rest for good; None if it still moves at the end."""
    def overshoot(self, center: float = 0.0) -> float | None:
        """How far it swung past center (rad), as a share of its distance when let go; None if it was let go there."""
    def settling_time(self, band: float, center: float = 0.0) -> float | None:
        """Time (s) after which it stays within band (rad) of center (rad), between the times reported by straight
        lines; None if it does not.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SpringDemand:
    """What is sought of one spring or mirrored pair; Control.search_springs_together takes several.

    The arguments are those of Control.search_springs: body on which the springs pull; on_body and on_ground,
    two corners (m) of the boxes for the anchors; choices, springs or (rate, stroke, least preload, greatest
    preload) for one captured between collars; mirror, normal of the plane in which a second spring is the
    mirror image; full_force (N at the stops), gradient (N/m at the center), breakout (N), each (value,
    tolerance) or None; moving ("outer" or "inner") the angle on which they are wanted, held (rad) where the
    other one stays meanwhile.
    """
    def __new__(
        cls,
        choices: Sequence[LineSpring | tuple[float, float, float, float]],
        *,
        body: str,
        on_body: tuple[ArrayLike, ArrayLike],
        on_ground: tuple[ArrayLike, ArrayLike],
        mirror: ArrayLike | None = None,
        full_force: tuple[float, float] | None = None,
        gradient: tuple[float, float] | None = None,
        breakout: tuple[float, float] | None = None,
        may_be_slack: bool = False,
        starts: int = 16,
        moving: Literal["outer", "inner"] = "outer",
        held: float = 0.0,
    ) -> SpringDemand: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    def __getnewargs_ex__(self) -> tuple[tuple[Any, ...], dict[str, Any]]: ...

@final
class SpringFit:
    """Springs and anchors that give a wanted feel."""
    @property
    def choice(self) -> int:
        """Number of the spring among the choices."""
    @property
    def anchors(self) -> list[tuple[Anchor, Anchor]]:
        """Body and ground anchor of each spring, with every angle at zero."""
    @property
    def preload(self) -> float | None:
        """Preload of a captured spring, N; None for others, whose preload follows from their anchors."""
    @property
    def full_force(self) -> float:
        """Greatest force at the grip at the stops, N."""
    @property
    def gradient(self) -> float:
        """Growth of the force at the grip on leaving the center, N/m."""
    @property
    def breakout(self) -> float:
        """Force at the grip that sets it in motion upward from the center, N."""
    @property
    def miss(self) -> float:
        """Greatest miss of a wanted value, in its tolerances: 1 is just good enough."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class GuidanceFigure:
    """One published figure for a control; it informs and certifies nothing."""
    @property
    def name(self) -> str:
        """Name of the figure: rule and figure."""
    @property
    def operated(self) -> str:
        """What is operated: "stick", "wheel", "pedals", "lever", "finger stick" or "hand"."""
    @property
    def motion(self) -> str:
        """For what, or which way: "pitch", "roll", "yaw", "fore and aft", "lateral" or "any"."""
    @property
    def quantity(self) -> str:
        """What the figure is about."""
    @property
    def bound(self) -> str:
        """ "at least", "at most" or "nominal"."""
    @property
    def value(self) -> float:
        """The figure in SI: N, m, rad or a fraction."""
    @property
    def printed(self) -> float:
        """As printed."""
    @property
    def printed_unit(self) -> str:
        """Unit as printed."""
    @property
    def source(self) -> str:
        """Where it is printed."""
    @property
    def provenance(self) -> str:
        """How it came here: "seen" (read in the source) or "from memory" (to be checked)."""
    @property
    def note(self) -> str:
        """When it applies, and what else to know."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ControlMeasurements:
    """What a control measures: greatest force (N), force held for long (N), breakout with friction (N), travel end
    to end and one way (m), deflection (rad).
    """
    def __new__(
        cls,
        *,
        force: float | None = None,
        held_force: float | None = None,
        breakout: float | None = None,
        travel: float | None = None,
        travel_one_way: float | None = None,
        deflection: float | None = None,
    ) -> ControlMeasurements: ...
    @property
    def force(self) -> float | None:
        """Greatest force over the travel, N."""
    @property
    def held_force(self) -> float | None:
        """Force that has to be held for long, N."""
    @property
    def breakout(self) -> float | None:
        """Force that sets the control in motion from its center, friction included, N."""
    @property
    def travel(self) -> float | None:
        """Way of grip or pad from end to end, m."""
    @property
    def travel_one_way(self) -> float | None:
        """Greater of the ways from the center to the ends, m."""
    @property
    def deflection(self) -> float | None:
        """Greater of the angles from the center to the ends, rad."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class GuidanceComparison:
    """Where a control lies against one published figure; str() says it in words, with source and provenance."""
    @property
    def guide(self) -> GuidanceFigure:
        """The figure."""
    @property
    def value(self) -> float | None:
        """What the control measures, in SI; None if that is not known or the figure is not about feel."""
    @property
    def above(self) -> float | None:
        """Value less figure, in SI."""
    @property
    def on_the_side_meant(self) -> bool | None:
        """Whether the control lies on the side that the figure means; None if there is nothing to compare."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def friction_torque(coefficient: float, radius: float, load: float) -> float:
    """Coulomb friction torque of a plain bearing, N m: coefficient times radius (m) times load (N)."""

def guides_for(operated: str, motion: str = "any") -> list[GuidanceFigure]:
    """The published figures for a kind of control ("stick", "wheel", "pedals", "lever", "finger stick", "hand")
    and a motion ("pitch", "roll", "yaw", "fore and aft", "lateral", "any").
    """

def compare_with_guidance(operated: str, motion: str, measured: ControlMeasurements) -> list[GuidanceComparison]:
    """Where a control lies against each published figure that applies; read GUIDANCE_CAVEAT with it."""

def gradient_limits(
    operated: str, level: int, n_per_alpha: float, limit_load_factor: float
) -> tuple[float | None, float | None]:
    """Least and greatest elevator force for a g of maneuver, N per g, by MIL-F-8785C table V (from memory, to be
    checked).

    operated: "stick" or "wheel". level: 1 to 3. n_per_alpha: g per rad. limit_load_factor: g. None where the
    table as recalled gives no figure.
    """

def min_maneuver_force(operated: str, weight: float) -> float:
    """Least elevator force (N) that may reach the limit load factor, by 14 CFR 23.155 (from memory, to be
    checked); weight of the aircraft in N.
    """

def noticeable_steps(stiffness: float, other: float, fraction: float) -> float:
    """By how many just noticeable differences two stiffnesses differ; fraction: the relative change that is just
    felt.
    """
