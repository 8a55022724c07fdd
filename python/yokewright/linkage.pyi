"""Linkages: what turns when something else is turned, how far, and where it locks."""

from collections.abc import Sequence
from typing import Any, Literal, TypeAlias, final, overload

from numpy.typing import ArrayLike

from ._core import Floats, Mask, Pose, SearchResult

__all__ = [
    "Arm",
    "BallRod",
    "BallRodDesign",
    "BallRodFigures",
    "CenteredFourBar",
    "Clearance",
    "DeadCenter",
    "Envelope",
    "FixedRatio",
    "FourBar",
    "FourBarFit",
    "FourBarMotion",
    "FourBarPose",
    "FourBarSolutions",
    "FreeArm",
    "Gate",
    "Gimbal",
    "GripTravel",
    "Lever",
    "Obstacle",
    "PadPose",
    "Pedal",
    "PedalEnd",
    "PedalFigures",
    "PedalLoads",
    "PedalPair",
    "PedalPose",
    "PedalPoses",
    "PedalTransmission",
    "Pivot",
    "Rod",
    "RodEnd",
    "RodLoad",
    "RodLoads",
    "RodMaterial",
    "RodSection",
    "SlideDeadCenter",
    "SlideTransfer",
    "SlideTransfers",
    "SliderCrank",
    "SliderCrankMotion",
    "SliderCrankPose",
    "Stop",
    "StopLoad",
    "StoppedTravel",
    "ThreePointFourBar",
    "Transfer",
    "Transfers",
    "TransmissionChain",
    "TransmissionEnd",
    "UniversalJoint",
    "chebyshev_spacing",
    "search_ball_rods",
    "search_four_bars",
    "solve_four_bars",
    "three_point_four_bar",
]

# What is to be filled: columns, then the mask; None for what is not wanted.
_Two: TypeAlias = tuple[Floats | None, Floats | None, Mask | None]
_Three: TypeAlias = tuple[Floats | None, Floats | None, Floats | None, Mask | None]
_Four: TypeAlias = tuple[Floats | None, Floats | None, Floats | None, Floats | None, Mask | None]

InnerSensor = Literal["on outer body", "joint along outer", "joint across"]

Branch = Literal["open", "crossed"]

Transmission: TypeAlias = (
    "FixedRatio | BallRod | CenteredFourBar | UniversalJoint | PedalTransmission | TransmissionChain"
)

@final
class Transfer:
    """An output angle and how it follows the input angle."""
    def __new__(cls, angle: float, ratio: float, curvature: float) -> Transfer: ...
    @property
    def angle(self) -> float:
        """Output angle, rad."""
    @property
    def ratio(self) -> float:
        """First derivative of the output angle by the input angle: ratio of angular velocities."""
    @property
    def curvature(self) -> float:
        """Second derivative of the output angle by the input angle, 1/rad."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Arm:
    """A rigid arm that turns about a pivot, given where it stands at neutral.

    pivot: a point of the pivot's axis, m. direction: of the axis, any length; angles are positive by the
    right-hand rule about it. joint: the joint at the arm's end, m. stud: direction of the ball joint's stud,
    fixed in the arm, and swivel_limit: its rated swivel to either side, rad, which needs a stud; without a
    limit the swivel is told but does not end the travel. The swivel is the angle by which the rod leaves the
    plane normal to the stud.
    """
    def __new__(
        cls,
        pivot: ArrayLike,
        direction: ArrayLike,
        joint: ArrayLike,
        *,
        stud: ArrayLike | None = None,
        swivel_limit: float | None = None,
    ) -> Arm: ...
    @property
    def pivot(self) -> Floats:
        """A point of the pivot's axis, m, shape (3,)."""
    @property
    def direction(self) -> Floats:
        """Direction of the pivot's axis, of length 1, shape (3,)."""
    @property
    def joint(self) -> Floats:
        """The joint at neutral, m, shape (3,)."""
    @property
    def stud(self) -> Floats | None:
        """Direction of the ball joint's stud at neutral, of length 1, shape (3,); None if not given."""
    @property
    def swivel_limit(self) -> float | None:
        """Rated swivel of the ball joint to either side, rad; None if not given: the swivel then does not end the
        travel.
        """
    @property
    def length(self) -> float:
        """Distance of the joint from the axis of the pivot, m."""
    def joint_at(self, angle: float) -> Floats:
        """Where the joint is at an angle (rad), m, shape (3,)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class BallRod:
    """Two arms on two pivots, anyhow in space, coupled by a rod with a ball joint at each end.

    Both angles are zero where the arms were given. The rod is as long as the joints are apart there, unless
    rod_length (m) is given; angles keep their zero then. start: input angle (rad) at which the linkage is put
    together and from which its travel counts; zero except for a reversed one with a rod of another length.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg
    >>> hinge = yw.linkage.Arm((0, 0.12, 0), (0, 1, 0), (0, 0.043, 0.09))
    >>> crank = yw.linkage.Arm((-0.15, 0, 0.085), (0, 0, 1), (-0.15, 0.045, 0.085))
    >>> rod = yw.linkage.BallRod(hinge, crank)
    >>> print(f"{rod.transfer(10 * deg).angle / deg:.2f} deg")
    -20.25 deg
    >>> rod.reach()[1].limit
    'lock'
    """
    def __new__(
        cls,
        input: Arm,
        output: Arm,
        *,
        rod_length: float | None = None,
        start: float = 0.0,
        assembly: Literal["neutral", "other"] = "neutral",
    ) -> BallRod: ...
    @property
    def input(self) -> Arm:
        """The arm that drives."""
    @property
    def output(self) -> Arm:
        """The arm that is driven."""
    @property
    def rod_length(self) -> float:
        """Distance between the centers of the ball joints, m."""
    @property
    def start(self) -> float:
        """Input angle at which the linkage is put together, rad."""
    @property
    def travel(self) -> tuple[float, float] | None:
        """Input angles from the lock below to the lock above neutral, rad; None if the input turns all the way
        round.
        """
    @property
    def output_travel(self) -> tuple[float, float] | None:
        """Least and greatest output angle that the input reaches, rad; None if the output turns all the way round."""
    @property
    def assembly(self) -> str:
        """Which of the two ways it is put together at its start: "neutral" with the output arm as near as may be
        to where it was given, or "other".
        """
    def stretches(self) -> list[tuple[float, float]]:
        """All stretches of input angles at which the rod closes, rad: first the one with the start; the full turn
        if it closes everywhere.
        """
    def assembled_at(self, angle: float, assembly: Literal["neutral", "other"] = "neutral") -> BallRod:
        """The same arms and rod, put together at an input angle (rad) in any stretch, as at neutral or the "other"
        way.
        """
    def reversed(self) -> BallRod:
        """The same linkage driven from its other end; each arm's angle is counted as before."""
    def transfer(self, angle: float) -> Transfer:
        """Output angle (rad) with its first and second derivative by the input angle (rad, -2 pi to 2 pi), on the
        way from neutral.
        """
    @overload
    def transfers(self, angles: ArrayLike, *, out: None = None) -> Transfers:
        """transfer at many input angles (N,); rows that it refuses are NaN and False in the mask.

        out: arrays (N,) to be filled instead of new ones: (angles, ratios, curvatures, valid), None for what is
        not wanted; it is given back. A call that is interrupted leaves them filled in part.
        """
    @overload
    def transfers(self, angles: ArrayLike, *, out: _Three) -> _Three: ...
    def output_angle(self, angle: float, assembly: Literal["neutral", "other"] = "neutral") -> float:
        """Output angle (rad) at an input angle (rad), put together as at neutral or the "other" way."""
    def figures(self, travel: tuple[float, float]) -> BallRodFigures:
        """What the linkage does over a travel of the input (rad): span, ratios, transmission angle, margin to the
        lock, swivels.
        """
    @overload
    def solve_many(self, angles: ArrayLike, *, out: None = None) -> tuple[Floats, Floats, Mask]:
        """Output angles (rad, -pi to pi) of both assemblies at many input angles (N,): as at neutral, the other
        way, and a mask, each (N,).

        out: arrays (N,) to be filled instead of new ones: (neutral, other, valid), None for what is not wanted;
        it is given back. A call that is interrupted leaves them filled in part.
        """
    @overload
    def solve_many(self, angles: ArrayLike, *, out: _Two) -> _Two: ...
    @staticmethod
    def solve_grid(rods: Sequence[BallRod], angles: ArrayLike) -> tuple[Floats, Floats, Mask]:
        """solve_many for many linkages, as tolerance studies need it: row after row, each (number of linkages *
        N,).
        """
    def joints(self, angle: float) -> tuple[Floats, Floats]:
        """Both joints at an input angle (rad), on the input and on the output arm, m, each (3,)."""
    def transmission_angle(self, angle: float) -> float:
        """Transmission angle at an input angle, rad: 0 at a lock, pi/2 where the rod pulls square to the output
        arm.
        """
    def swivels(self, angle: float) -> tuple[float | None, float | None]:
        """Swivel angles of the ball joints on the input and the output arm at an input angle, rad; None for an arm
        without a stud.

        Each is signed: positive where the rod, seen from the joint, leaves the plane normal to the stud toward
        the stud's direction. A limit holds for both signs.
        """
    def reach(self) -> tuple[RodEnd | None, RodEnd | None]:
        """What ends the travel below and above neutral, a lock or the swivel of a joint; None where nothing does
        within a turn.
        """
    def loads(self, angle: float, torque: float) -> RodLoads:
        """Forces with a torque (N m) on the input arm at an input angle (rad), the output held by what it drives."""
    def output_per_length(self, angle: float) -> float:
        """How the output angle follows the rod length at a fixed input angle, rad/m."""
    def length_error(self, angle: float, error: float) -> tuple[float, float]:
        """Shift of the output (rad) by an error of the rod length (m): by first order, and exactly."""
    def backlash(self, angle: float, play: float) -> tuple[float, float]:
        """Backlash at the output from end to end (rad) by a play of the ball joints (m, both added up, to either
        side): by first order, and exactly.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class RodEnd:
    """One end of the travel of a ball-joint rod."""
    @property
    def input(self) -> float:
        """Input angle there, rad."""
    @property
    def output(self) -> float:
        """Output angle there, rad."""
    @property
    def limit(self) -> Literal["lock", "input swivel", "output swivel"]:
        """What is reached there first: "lock", "input swivel" or "output swivel"."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class RodLoads:
    """Forces in a ball-joint rod and at its pivots, without friction and weight."""
    @property
    def rod_force(self) -> float:
        """Force along the rod, N: positive pulls, negative pushes."""
    @property
    def output_torque(self) -> float:
        """Torque of the rod on the output arm about its pivot, N m."""
    @property
    def input_reaction(self) -> Floats:
        """Force of the input pivot's bearings on the arm, N, shape (3,)."""
    @property
    def output_reaction(self) -> Floats:
        """Force of the output pivot's bearings on the arm, N, shape (3,)."""
    @property
    def input_moment(self) -> Floats:
        """Moment of the input bearings about the pivot's point, N m, shape (3,)."""
    @property
    def output_moment(self) -> Floats:
        """Moment of the output bearings about the pivot's point, N m, shape (3,)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Pedal:
    """A pedal: an arm on its hinge that carries the rod's joint and the pad.

    arm: hinge and rod joint. pad: the middle of the pad at neutral, m. push: direction of the foot's push, any
    length, fixed in space. stops: angles of the hinge (rad) on either side of neutral, or None.
    """
    def __new__(
        cls,
        arm: Arm,
        pad: ArrayLike,
        push: ArrayLike,
        *,
        stops: tuple[float, float] | None = None,
    ) -> Pedal: ...
    @property
    def arm(self) -> Arm:
        """Hinge and rod joint."""
    @property
    def pad(self) -> Floats:
        """Middle of the pad at neutral, m, shape (3,)."""
    @property
    def push(self) -> Floats:
        """Direction of the foot's push, of length 1, shape (3,)."""
    @property
    def stops(self) -> tuple[float, float] | None:
        """Angles of the stops, rad; None if there are none."""
    @property
    def pad_radius(self) -> float:
        """Distance of the pad from the hinge's axis, m."""
    def mirrored(self) -> Pedal:
        """Its mirror image in the plane y = 0, with the same angles."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class PedalPair:
    """Two pedals, each with a ball-joint rod to an arm of one center crank.

    left_crank, right_crank: the arms of the crank on one and the same pivot. crank_stops: angles (rad) on
    either side of neutral, or None. All angles are zero at neutral. For simulators only: a foot in an emergency
    presses with more than a kilonewton.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg
    >>> hinge = yw.linkage.Arm((0, 0.12, 0), (0, 1, 0), (0, 0.043, 0.09))
    >>> crank = yw.linkage.Arm((-0.15, 0, 0.085), (0, 0, 1), (-0.15, 0.045, 0.085))
    >>> pedal = yw.linkage.Pedal(hinge, (-0.01, 0.12, 0.18), (1, 0, 0), stops=(-15 * deg, 15 * deg))
    >>> pair = yw.linkage.PedalPair.mirrored(pedal, crank)
    >>> pose = pair.pose("left", 10 * deg)
    >>> print(f"right {pose.right.angle / deg:.2f} deg, crank {pose.crank.angle / deg:.2f} deg")
    right -9.93 deg, crank -20.25 deg
    """
    def __new__(
        cls,
        left: Pedal,
        right: Pedal,
        left_crank: Arm,
        right_crank: Arm,
        *,
        crank_stops: tuple[float, float] | None = None,
    ) -> PedalPair: ...
    @staticmethod
    def mirrored(left: Pedal, left_crank: Arm, *, crank_stops: tuple[float, float] | None = None) -> PedalPair:
        """The left pedal and the left arm of the crank with their mirror images in the plane y = 0 (x forward, y
        left, z up).
        """
    @property
    def left(self) -> Pedal:
        """The left pedal."""
    @property
    def right(self) -> Pedal:
        """The right pedal."""
    @property
    def left_crank(self) -> Arm:
        """The arm of the crank for the left rod."""
    @property
    def right_crank(self) -> Arm:
        """The arm of the crank for the right rod."""
    @property
    def crank_stops(self) -> tuple[float, float] | None:
        """Angles of the stops of the crank, rad; None if there are none."""
    def transmission(
        self, given: Literal["left", "right", "crank"], driven: Literal["left", "right", "crank"]
    ) -> PedalTransmission:
        """The angle of a member ("left", "right", "crank") as it follows that of a given one: what an axis or a
        driven body hangs on.
        """
    def rod(self, foot: Literal["left", "right"]) -> BallRod:
        """The rod of a pedal ("left" or "right"), driven by the pedal."""
    def pose(self, given: Literal["left", "right", "crank"], angle: float) -> PedalPose:
        """All three angles, given that of "left", "right" or "crank" (rad), each with its derivatives by the given
        one.
        """
    def poses(self, given: Literal["left", "right", "crank"], angles: ArrayLike) -> PedalPoses:
        """pose for many angles (N,); rows that it refuses are NaN and False in the mask."""
    def reach(self) -> tuple[PedalEnd | None, PedalEnd | None]:
        """Where the travel ends for negative and for positive angles of the crank: a stop, a lock or the swivel of
        a ball joint; None where nothing ends it.
        """
    def figures(self, points: int = 201) -> PedalFigures:
        """Ranges, ratios and likeness of both sides over the travel, from so many angles of the crank."""
    def pad(self, foot: Literal["left", "right"], angle: float) -> PadPose:
        """Where the pad of a pedal ("left" or "right") is at an angle of its hinge (rad)."""
    def loads(self, foot: Literal["left", "right"], angle: float, force: float) -> PedalLoads:
        """Forces when a foot ("left" or "right") pushes with a force (N) with its pedal at an angle (rad) and the
        other foot holds still.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class PedalPose:
    """A pedal pair in one position; derivatives are by the angle that was given."""
    @property
    def left(self) -> Transfer:
        """Left pedal."""
    @property
    def right(self) -> Transfer:
        """Right pedal."""
    @property
    def crank(self) -> Transfer:
        """Center crank: what a sensor on its pivot reads."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class PedalPoses:
    """A pedal pair in many positions, in the order of the angles given; ratios are by the given angle."""
    @property
    def left(self) -> Floats:
        """Angles of the left pedal, rad, shape (N,)."""
    @property
    def right(self) -> Floats:
        """Angles of the right pedal, rad, shape (N,)."""
    @property
    def crank(self) -> Floats:
        """Angles of the center crank, rad, shape (N,)."""
    @property
    def left_ratio(self) -> Floats:
        """Left pedal per given angle, shape (N,)."""
    @property
    def right_ratio(self) -> Floats:
        """Right pedal per given angle, shape (N,)."""
    @property
    def crank_ratio(self) -> Floats:
        """Center crank per given angle, shape (N,)."""
    @property
    def valid(self) -> Mask:
        """Whether all three have an angle there, shape (N,)."""
    def __len__(self) -> int: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class PedalEnd:
    """One end of the travel of a pedal pair: all three angles, rad."""
    @property
    def left(self) -> float:
        """Left pedal, rad."""
    @property
    def right(self) -> float:
        """Right pedal, rad."""
    @property
    def crank(self) -> float:
        """Center crank, rad."""
    @property
    def limit(self) -> Literal["stop", "lock", "pedal swivel", "crank swivel"]:
        """What is reached there first: "stop", "lock", "pedal swivel" or "crank swivel"."""
    @property
    def member(self) -> Literal["left", "right", "crank"]:
        """At which pedal, its rod or its joints, or at the "crank"."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class PedalFigures:
    """A pedal pair in figures over its travel."""
    @property
    def left(self) -> tuple[float, float]:
        """Angles of the left pedal, rad."""
    @property
    def right(self) -> tuple[float, float]:
        """Angles of the right pedal, rad."""
    @property
    def crank(self) -> tuple[float, float]:
        """Angles of the crank, rad: what a sensor on its pivot sees."""
    @property
    def left_advance(self) -> tuple[float, float]:
        """Advance of the left pad along its push, m."""
    @property
    def right_advance(self) -> tuple[float, float]:
        """Advance of the right pad along its push, m."""
    @property
    def crank_ratio(self) -> float:
        """Crank per left pedal at neutral."""
    @property
    def crank_ratios(self) -> tuple[float, float]:
        """Least and greatest crank per left pedal over the travel."""
    @property
    def other_ratio(self) -> float:
        """Right per left pedal at neutral."""
    @property
    def other_ratios(self) -> tuple[float, float]:
        """Least and greatest right per left pedal over the travel."""
    @property
    def asymmetry(self) -> float:
        """How much the advances of the left pad and, with the crank as far on the other side, of the right pad
        differ at most, m.
        """
    @property
    def mean_advance(self) -> tuple[float, float]:
        """Least and greatest mean of both pads' advances, m: how much less or more one foot comes back than the
        other goes.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class PadPose:
    """Where a pad is and how it got there from neutral."""
    @property
    def point(self) -> Floats:
        """Middle of the pad, m, shape (3,)."""
    @property
    def arc(self) -> float:
        """Way along the circle about the hinge, m, signed as the hinge's angle."""
    @property
    def chord(self) -> float:
        """Straight distance from neutral, m."""
    @property
    def advance(self) -> float:
        """How far the pad has gone along the push, m."""
    @property
    def advance_per_angle(self) -> float:
        """How far it goes along the push for a small turn, m/rad."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class PedalLoads:
    """What one foot's push does, the other foot holding still; without friction and weight."""
    @property
    def torque(self) -> float:
        """Torque of the push about the hinge, N m."""
    @property
    def rod_force(self) -> float:
        """Force in the rod of the pushed pedal, N: positive pulls, negative pushes."""
    @property
    def crank_torque(self) -> float:
        """Torque of that rod on the crank, N m."""
    @property
    def other_rod_force(self) -> float:
        """Force in the rod of the other pedal, N."""
    @property
    def other_torque(self) -> float:
        """Torque of its rod on the other pedal about its hinge, N m."""
    @property
    def other_force(self) -> float:
        """Push of the other foot that holds still, N; negative if it would have to pull."""
    @property
    def crank_reaction(self) -> Floats:
        """Force of the crank's bearings on the crank, N, shape (3,)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class FourBar:
    """A planar four-bar: crank (input) and rocker (output) turn about pivots in the ground, a coupler joins their
    ends.

    Lengths in m. Frame: origin at the crank pivot, x along the ground line to the rocker pivot; angles in rad
    count from x, counterclockwise. branch: "open" with the rocker joint to the left of the line from the crank
    joint to the rocker pivot, "crossed" to the right.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg
    >>> linkage = yw.linkage.FourBar(ground=0.1, crank=0.04, coupler=0.12, rocker=0.08)
    >>> print(f"{linkage.pose(60 * deg, 'open').rocker_angle / deg:.2f} deg")
    64.94 deg
    """
    def __new__(cls, *, ground: float, crank: float, coupler: float, rocker: float) -> FourBar: ...
    @property
    def ground(self) -> float:
        """Distance of the pivots, m."""
    @property
    def crank(self) -> float:
        """Length of the crank, the input, m."""
    @property
    def coupler(self) -> float:
        """Length of the coupler, m."""
    @property
    def rocker(self) -> float:
        """Length of the rocker, the output, m."""
    @property
    def freudenstein(self) -> tuple[float, float, float]:
        """Link ratios (K1, K2, K3) of K1 cos(rocker) - K2 cos(crank) + K3 = cos(crank - rocker)."""
    def pose(self, crank_angle: float, branch: Branch) -> FourBarPose:
        """All angles and joints at a crank angle (rad)."""
    def transfer(self, crank_angle: float, branch: Branch) -> Transfer:
        """Rocker angle (rad) with its first and second derivative by the crank angle (rad)."""
    @overload
    def solve_many(self, crank_angles: ArrayLike, *, out: None = None) -> FourBarSolutions:
        """Coupler and rocker angles of both branches at many crank angles (N,).

        out: arrays (N,) to be filled instead of new ones: (open_coupler, open_rocker, crossed_coupler,
        crossed_rocker, valid), None for what is not wanted; it is given back. A call that is interrupted leaves
        them filled in part.
        """
    @overload
    def solve_many(self, crank_angles: ArrayLike, *, out: _Four) -> _Four: ...
    def track(self, crank_angles: ArrayLike, branch: Branch) -> tuple[Floats, Floats, Mask]:
        """Coupler and rocker angles (N,) of one branch without jumps along a sweep of the crank (N,), and a mask
        of the rows that close and that the crank gets to. A row beyond angles at which the linkage does not
        close, and that the sweep steps over, is NaN until the sweep comes back.
        """
    def transfers(self, crank_angles: ArrayLike, branch: Branch) -> Transfers:
        """Rocker angles with first and second derivative at many crank angles (N,)."""
    def motion(self, crank_angle: float, branch: Branch, velocity: float, acceleration: float = 0.0) -> FourBarMotion:
        """Angular velocities and accelerations of coupler and rocker, from those of the crank (rad/s, rad/s^2)."""
    def mechanical_advantage(self, crank_angle: float, branch: Branch) -> float:
        """Torque at the rocker for a torque of 1 at the crank, without friction."""
    def coupler_point(self, crank_angle: float, branch: Branch, along: float, across: float) -> Floats:
        """Where a point of the coupler is, m, shape (2,): along it from the crank joint, and across to the left
        (m).
        """
    def coupler_curve(
        self, crank_angles: ArrayLike, branch: Branch, along: float, across: float
    ) -> tuple[Floats, Mask]:
        """The path of a point of the coupler at many crank angles (N,): m, shape (N, 2), and a mask of the rows
        that close.
        """
    def coupler_point_motion(
        self,
        crank_angle: float,
        branch: Branch,
        along: float,
        across: float,
        velocity: float,
        acceleration: float = 0.0,
    ) -> tuple[Floats, Floats, Floats]:
        """Position (m), velocity (m/s) and acceleration (m/s^2) of a point of the coupler, each of shape (2,)."""
    def driven_by_rocker(self, rocker_angle: float) -> tuple[FourBarPose, FourBarPose]:
        """The two poses that a rocker angle (rad) leaves, when the rocker drives the crank."""
    @property
    def grashof_class(self) -> str:
        """Which links can turn around: "crank-rocker", "double-crank", "double-rocker", "rocker-crank",
        "triple-rocker" or "change point".
        """
    @property
    def grashof_margin(self) -> float:
        """Sum of the middle lengths less that of the shortest and the longest, m: positive where a link can turn
        around.
        """
    @property
    def crank_travel(self) -> list[tuple[float, float]]:
        """Crank angles (from, to), rad, at which the linkage closes: one or two stretches, or the full turn from
        -pi to pi. Where the crank joint comes to lie on the rocker pivot a stretch ends at 0.
        """
    def rocker_travel(self, branch: Branch) -> list[tuple[float, float]]:
        """Rocker angles (from, to), rad, that each stretch of crank_travel gives on a branch; continuous, so maybe
        beyond pi.
        """
    @property
    def dead_centers(self) -> list[DeadCenter]:
        """All positions in which two links are in line."""
    def min_transmission_angle(self, start: float, end: float) -> float:
        """The least transmission angle (rad) while the crank moves from one angle to another, or at a single angle
        (rad).
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class FourBarPose:
    """A four-bar at one crank angle. Angles in rad, joints in m, in the frame of the four-bar."""
    @property
    def branch(self) -> Branch:
        """How it is put together: "open" or "crossed"."""
    @property
    def crank_angle(self) -> float:
        """Crank angle as given, rad."""
    @property
    def coupler_angle(self) -> float:
        """Direction from the crank joint to the rocker joint, rad."""
    @property
    def rocker_angle(self) -> float:
        """Direction from the rocker pivot to the rocker joint, rad."""
    @property
    def transmission_angle(self) -> float:
        """Acute angle between the lines of coupler and rocker, 0 to pi/2 rad."""
    @property
    def crank_joint(self) -> Floats:
        """End of the crank, m, shape (2,)."""
    @property
    def rocker_joint(self) -> Floats:
        """End of the rocker, m, shape (2,)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class RodSection:
    """Cross section of a rod: RodSection.round(...) or RodSection.tube(...)."""
    @staticmethod
    def round(diameter: float) -> RodSection:
        """A solid round bar of the given diameter (m); for a threaded rod the minor diameter of the thread."""
    @staticmethod
    def tube(outer_diameter: float, wall: float) -> RodSection:
        """A round tube of the given outer diameter and wall (m)."""
    @property
    def outer_diameter(self) -> float:
        """Outer diameter, m."""
    @property
    def wall(self) -> float:
        """Wall, m; half the diameter for a solid bar."""
    @property
    def inner_diameter(self) -> float:
        """Inner diameter, m; zero for a solid bar."""
    @property
    def area(self) -> float:
        """Area, m^2."""
    @property
    def second_moment(self) -> float:
        """Second moment of area about a diameter, m^4."""
    @property
    def radius_of_gyration(self) -> float:
        """Radius of gyration, m."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class RodMaterial:
    """Modulus of elasticity and yield strength (Pa) of what a rod is made of."""
    def __new__(cls, modulus: float, yield_strength: float) -> RodMaterial: ...
    @staticmethod
    def named(name: str) -> RodMaterial:
        """A common material by its name, one of names(): rounded design figures, to be checked against the bar in
        hand.
        """
    @staticmethod
    def names() -> list[str]:
        """Names of the common materials."""
    @property
    def modulus(self) -> float:
        """Modulus of elasticity, Pa."""
    @property
    def yield_strength(self) -> float:
        """Yield strength, Pa."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Rod:
    """A straight rod loaded along its axis: when it buckles and when it yields.

    length: between its joints, m. ends: "pinned-pinned", "fixed-pinned", "fixed-fixed" or "fixed-free". factor:
    effective length over length; without one the recommended factor of these ends. Rods between pedals carry a
    foot: an emergency press passes a kilonewton.
    """
    def __new__(
        cls,
        *,
        section: RodSection,
        material: RodMaterial,
        length: float,
        ends: Literal["pinned-pinned", "fixed-pinned", "fixed-fixed", "fixed-free"] = "pinned-pinned",
        factor: float | None = None,
    ) -> Rod: ...
    @staticmethod
    def theoretical_factor(
        ends: Literal["pinned-pinned", "fixed-pinned", "fixed-fixed", "fixed-free"],
    ) -> float:
        """Effective length over length that theory gives for ends: 1 pinned-pinned, 0.699 fixed-pinned, 0.5
        fixed-fixed, 2 fixed-free. No clamp is as stiff as that; recommended_factor says what to take.
        """
    @staticmethod
    def recommended_factor(
        ends: Literal["pinned-pinned", "fixed-pinned", "fixed-fixed", "fixed-free"],
    ) -> float:
        """Effective length over length that is recommended for ends, what a Rod takes if none is given."""
    @property
    def section(self) -> RodSection:
        """Cross section."""
    @property
    def material(self) -> RodMaterial:
        """Material."""
    @property
    def length(self) -> float:
        """Length between the joints, m."""
    @property
    def ends(self) -> Literal["pinned-pinned", "fixed-pinned", "fixed-fixed", "fixed-free"]:
        """How the ends are held."""
    @property
    def factor(self) -> float:
        """Effective length over length."""
    @property
    def slenderness(self) -> float:
        """Effective length over radius of gyration."""
    @property
    def transition_slenderness(self) -> float:
        """The slenderness above which Euler's load holds, below which Johnson's."""
    @property
    def buckling(self) -> Literal["Euler", "Johnson"]:
        """ "Euler" or "Johnson": which formula holds for this rod."""
    @property
    def euler_load(self) -> float:
        """Euler's load, N, whether it holds or not."""
    @property
    def johnson_load(self) -> float:
        """Johnson's load, N; it holds below the transition slenderness."""
    @property
    def critical_load(self) -> float:
        """The pressing force at which the rod buckles, N."""
    @property
    def yield_load(self) -> float:
        """The force at which the section yields, N."""
    def allowable_load(self, safety: float) -> float:
        """The pressing force that leaves a safety factor against buckling, N."""
    def loaded_by(self, force: float) -> RodLoad:
        """How the rod bears a force (N): positive pulls, negative presses."""
    def min_diameter(self, press: float, safety: float) -> float:
        """Least diameter (m) of a solid bar of this material, length and ends that bears a pressing force (N) with
        a safety factor.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class RodLoad:
    """How a rod bears a force."""
    @property
    def force(self) -> float:
        """Force, N: positive pulls, negative presses."""
    @property
    def stress(self) -> float:
        """Mean stress over the section, Pa, with the sign of the force."""
    @property
    def limit(self) -> float:
        """The force of this direction at which the rod fails, N, as a magnitude."""
    @property
    def safety(self) -> float:
        """Limit over force: below 1 the rod fails."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Transfers:
    """Output angles at many input angles (N,), in their order, with first and second derivative; NaN where there
    are none.
    """
    @property
    def angles(self) -> Floats:
        """Output angles, rad, shape (N,)."""
    @property
    def ratios(self) -> Floats:
        """First derivatives of the output angle by the input angle, shape (N,)."""
    @property
    def curvatures(self) -> Floats:
        """Second derivatives of the output angle by the input angle, 1/rad, shape (N,)."""
    @property
    def valid(self) -> Mask:
        """Whether the linkage closes there and has a ratio, shape (N,)."""

@final
class FourBarMotion:
    """Angular velocities (rad/s) and accelerations (rad/s^2) of a four-bar."""
    @property
    def coupler_velocity(self) -> float:
        """Angular velocity of the coupler, rad/s."""
    @property
    def coupler_acceleration(self) -> float:
        """Angular acceleration of the coupler, rad/s^2."""
    @property
    def rocker_velocity(self) -> float:
        """Angular velocity of the rocker, rad/s."""
    @property
    def rocker_acceleration(self) -> float:
        """Angular acceleration of the rocker, rad/s^2."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class DeadCenter:
    """A position in which two links of a four-bar are in line: a toggle."""
    @property
    def limit(self) -> Literal["input", "output"]:
        """ "input" where coupler and rocker are in line and the crank can go no farther, "output" where crank and
        coupler are and the rocker can not.
        """
    @property
    def stretched(self) -> bool:
        """Whether the two lie one after the other, or folded over one another."""
    @property
    def pose(self) -> FourBarPose:
        """Where all links are; at an input limit the branches meet, and the pose is given as open."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class FourBarSolutions:
    """Both branches of a four-bar at many crank angles (N,), or of N four-bars at M angles (N, M). Angles in rad,
    NaN where it does not close.
    """
    @property
    def open_coupler(self) -> Floats:
        """Coupler angles of the open branch."""
    @property
    def open_rocker(self) -> Floats:
        """Rocker angles of the open branch."""
    @property
    def crossed_coupler(self) -> Floats:
        """Coupler angles of the crossed branch."""
    @property
    def crossed_rocker(self) -> Floats:
        """Rocker angles of the crossed branch."""
    @property
    def valid(self) -> Mask:
        """Whether the linkage closes there."""

def solve_four_bars(lengths: ArrayLike, crank_angles: ArrayLike) -> FourBarSolutions:
    """Both branches of many four-bars at many crank angles (M,), for tolerance studies.

    lengths: (N, 4), rows of ground, crank, coupler, rocker in m. Results have shape (N, M); impossible lengths
    are NaN and False.
    """

@final
class CenteredFourBar:
    """A four-bar as it is built in: put together one way, angles from the pose in which the control is centered.

    crank_center: angle of the centered crank from the ground line, rad.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg
    >>> linkage = yw.linkage.FourBar(ground=0.1, crank=0.04, coupler=0.12, rocker=0.08)
    >>> built = yw.linkage.CenteredFourBar(linkage, "open", 90 * deg)
    >>> print(f"ratio {built.transfer(10 * deg).ratio:.4f}")
    ratio 0.5396
    """
    def __new__(
        cls,
        linkage: FourBar,
        branch: Branch,
        crank_center: float,
        crank_pivot: Sequence[float] = (0.0, 0.0),
        ground_angle: float = 0.0,
    ) -> CenteredFourBar: ...
    @staticmethod
    def from_joints(
        crank_pivot: Sequence[float],
        crank_joint: Sequence[float],
        rocker_joint: Sequence[float],
        rocker_pivot: Sequence[float],
    ) -> CenteredFourBar:
        """The linkage whose joints are at these points (2,) of a drawing, m, when the control is centered."""
    @property
    def linkage(self) -> FourBar:
        """The lengths."""
    @property
    def branch(self) -> Branch:
        """How it is put together: "open" or "crossed"."""
    @property
    def crank_center(self) -> float:
        """Angle of the centered crank from the ground line, rad."""
    @property
    def rocker_center(self) -> float:
        """Angle of the centered rocker from the ground line, rad."""
    @property
    def ground_angle(self) -> float:
        """Direction of the ground line in the drawing, from crank pivot to rocker pivot, rad."""
    @property
    def crank_pivot(self) -> Floats:
        """Where the crank pivot is in the drawing, m, shape (2,)."""
    def transfer(self, turn: float) -> Transfer:
        """Turn of the rocker (rad) for a turn of the crank from its center (rad), with first and second
        derivative.
        """
    def transfers(self, turns: ArrayLike) -> Transfers:
        """Turns of the rocker for many turns of the crank (N,), with first and second derivative."""
    def pose(self, turn: float) -> FourBarPose:
        """All angles, from the ground line, and joints, in the frame of the linkage, at a turn of the crank from
        its center (rad).
        """
    def joints(self, turn: float) -> Floats:
        """The four joints in the drawing, m, shape (4, 2): crank pivot, crank joint, rocker joint, rocker pivot."""
    @property
    def travel(self) -> tuple[float, float]:
        """How far the crank can turn from its center without being taken apart: (from, to), rad."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SliderCrank:
    """A slider-crank: a crank turns about a pivot, a rod joins its end to a slide.

    crank, rod: lengths, m. offset: y of the line along which the slide travels in +x, m; the crank pivot is the
    origin, the crank angle (rad) counts from x, counterclockwise. branch: "open" with the rod pointing forward,
    toward +x, from crank to slide, "crossed" backward.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import mm
    >>> print(f"{yw.linkage.SliderCrank(40 * mm, 120 * mm).transfer(0.5, 'open').position / mm:.2f} mm")
    153.56 mm
    """
    def __new__(cls, crank: float, rod: float, offset: float = 0.0) -> SliderCrank: ...
    @property
    def crank(self) -> float:
        """Length of the crank, m."""
    @property
    def rod(self) -> float:
        """Length of the rod, m."""
    @property
    def offset(self) -> float:
        """The y of the line along which the slide travels, m."""
    def pose(self, crank_angle: float, branch: Branch) -> SliderCrankPose:
        """All angles and joints at a crank angle (rad)."""
    def transfer(self, crank_angle: float, branch: Branch) -> SlideTransfer:
        """Slide position (m) with its first and second derivative by the crank angle (rad)."""
    def transfers(self, crank_angles: ArrayLike, branch: Branch) -> SlideTransfers:
        """Slide positions with first and second derivative at many crank angles (N,)."""
    def motion(
        self, crank_angle: float, branch: Branch, velocity: float, acceleration: float = 0.0
    ) -> SliderCrankMotion:
        """Velocities and accelerations of rod and slide, from those of the crank (rad/s, rad/s^2)."""
    def force_ratio(self, crank_angle: float, branch: Branch) -> float:
        """Force of the slide along x for a torque of 1 at the crank, without friction, 1/m."""
    def driven_by_slide(self, position: float) -> tuple[SliderCrankPose, SliderCrankPose]:
        """The two poses that a slide position (m) leaves: crank joint to the left of the line from pivot to slide,
        then to the right.
        """
    @property
    def crank_travel(self) -> list[tuple[float, float]]:
        """Crank angles (from, to), rad, at which the rod reaches the slide: one or two stretches, or the full turn
        from -pi to pi.
        """
    def slide_travel(self, branch: Branch) -> list[tuple[float, float]]:
        """Slide positions (from, to), m, that each stretch of crank_travel gives on a branch."""
    @property
    def dead_centers(self) -> list[SlideDeadCenter]:
        """All positions in which crank and rod are in line."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SliderCrankPose:
    """A slider-crank at one crank angle. Angles in rad, joints in m, in the frame of the slider-crank."""
    @property
    def branch(self) -> Branch:
        """How it is put together: "open" or "crossed"."""
    @property
    def crank_angle(self) -> float:
        """Crank angle, rad."""
    @property
    def rod_angle(self) -> float:
        """Direction from the crank joint to the slide, rad."""
    @property
    def transmission_angle(self) -> float:
        """Acute angle between the rod and the perpendicular to the slide, 0 to pi/2 rad."""
    @property
    def crank_joint(self) -> Floats:
        """End of the crank, m, shape (2,)."""
    @property
    def slide_joint(self) -> Floats:
        """End of the rod on the slide, m, shape (2,)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SlideTransfer:
    """A slide position and how it follows the crank angle."""
    @property
    def position(self) -> float:
        """Slide position, m."""
    @property
    def ratio(self) -> float:
        """First derivative of the position by the crank angle, m/rad: the lever arm on which a force on the slide
        turns the crank.
        """
    @property
    def curvature(self) -> float:
        """Second derivative of the position by the crank angle, m/rad^2."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SlideTransfers:
    """Slide positions at many crank angles (N,), in their order, with first and second derivative; NaN where there
    are none.
    """
    @property
    def position(self) -> Floats:
        """Slide positions, m, shape (N,)."""
    @property
    def ratio(self) -> Floats:
        """First derivatives of the position by the crank angle, m/rad, shape (N,)."""
    @property
    def curvature(self) -> Floats:
        """Second derivatives of the position by the crank angle, m/rad^2, shape (N,)."""
    @property
    def valid(self) -> Mask:
        """Whether the rod reaches the slide there and the position has derivatives, shape (N,)."""

@final
class SliderCrankMotion:
    """Velocities and accelerations of a slider-crank."""
    @property
    def rod_velocity(self) -> float:
        """Angular velocity of the rod, rad/s."""
    @property
    def rod_acceleration(self) -> float:
        """Angular acceleration of the rod, rad/s^2."""
    @property
    def slide_velocity(self) -> float:
        """Velocity of the slide, m/s."""
    @property
    def slide_acceleration(self) -> float:
        """Acceleration of the slide, m/s^2."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SlideDeadCenter:
    """A crank in line with its rod, where the slide turns back and no force on it turns the crank."""
    @property
    def stretched(self) -> bool:
        """Whether crank and rod lie one after the other, or folded over one another."""
    @property
    def pose(self) -> SliderCrankPose:
        """Where all parts are."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class UniversalJoint:
    """A universal joint (Cardan or Hooke's joint) between two shafts at an angle.

    bend: angle by which the shafts leave a straight line, rad. phase: angle of the input fork's pins from the
    plane of the shafts when the control is centered, rad. Input and output angle are zero there.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg
    >>> joint = yw.linkage.UniversalJoint(bend=20 * deg)
    >>> print(f"ratio at center {joint.transfer(0.0).ratio:.3f}")
    ratio at center 1.064
    """
    def __new__(cls, bend: float, phase: float = 0.0) -> UniversalJoint: ...
    @property
    def bend(self) -> float:
        """Angle between the shafts, rad."""
    @property
    def phase(self) -> float:
        """Angle of the input fork's pins from the plane of the shafts when centered, rad."""
    def transfer(self, angle: float) -> Transfer:
        """Output angle (rad) at an input angle (rad), with first and second derivative."""
    def transfers(self, angles: ArrayLike) -> Transfers:
        """The same at many input angles (N,), rad; rows that are refused are NaN and False."""
    @property
    def ratio_range(self) -> tuple[float, float]:
        """Least and greatest ratio over a turn."""
    @property
    def unit_ratio_angle(self) -> float:
        """Fork angle in the first quarter turn at which the ratio is 1, rad from the plane of the shafts."""
    @property
    def max_curvature(self) -> tuple[float, float]:
        """Fork angle (rad) at which the second derivative is greatest, and how great (1/rad): times input speed
        squared the angular acceleration.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class TransmissionEnd:
    """One end of the travel of a transmission."""
    @property
    def input(self) -> float:
        """Input angle there, rad."""
    @property
    def limit(self) -> str:
        """What is reached there first: "lock", "left stop", "output swivel", ..."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class FixedRatio:
    """An output angle in proportion to the input angle: gears, a parallelogram of rods, a shaft.

    ratio: output angle over input angle, 0.01 to 100 in size.
    """
    def __new__(cls, ratio: float) -> FixedRatio: ...
    @property
    def ratio(self) -> float:
        """Output angle over input angle."""
    def transfer(self, angle: float) -> Transfer:
        """Output angle (rad) at an input angle (rad), with first and second derivative."""
    def transfers(self, angles: ArrayLike) -> Transfers:
        """The same at many input angles (N,), rad; rows that are refused are NaN and False."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class PedalTransmission:
    """What one member of a pedal pair ("left", "right", "crank") gives for the angle of another:
    PedalPair.transmission makes it.

    All angles are zero where the pair is neutral. The pair goes as far as all three members go.
    """
    def __new__(
        cls,
        pair: PedalPair,
        given: Literal["left", "right", "crank"],
        driven: Literal["left", "right", "crank"],
    ) -> PedalTransmission: ...
    @property
    def pair(self) -> PedalPair:
        """The pair."""
    @property
    def given(self) -> str:
        """The member whose angle is given."""
    @property
    def driven(self) -> str:
        """The member whose angle follows."""
    def transfer(self, angle: float) -> Transfer:
        """Output angle (rad) at an input angle (rad), with first and second derivative."""
    def transfers(self, angles: ArrayLike) -> Transfers:
        """The same at many input angles (N,), rad; rows that are refused are NaN and False."""
    def reach(self) -> tuple[TransmissionEnd | None, TransmissionEnd | None]:
        """What ends the travel below and above neutral, by name; None where nothing does within a turn."""
    @property
    def travel(self) -> tuple[float, float]:
        """Input angles from end to end, rad; half a turn to a side that has no end."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class TransmissionChain:
    """Transmissions in a row, each driven by the one before it.

    parts: 1 to 100 of FixedRatio, BallRod, CenteredFourBar, UniversalJoint, PedalTransmission or
    TransmissionChain, from the control on.
    """
    def __new__(cls, parts: Sequence[Transmission]) -> TransmissionChain: ...
    @property
    def parts(self) -> tuple[Transmission, ...]:
        """The transmissions, from the control on."""
    def transfer(self, angle: float) -> Transfer:
        """Output angle (rad) at an input angle (rad), with first and second derivative."""
    def transfers(self, angles: ArrayLike) -> Transfers:
        """The same at many input angles (N,), rad; rows that are refused are NaN and False."""
    def reach(self) -> tuple[TransmissionEnd | None, TransmissionEnd | None]:
        """What ends the travel below and above neutral, by name; None where nothing does within a turn."""
    @property
    def travel(self) -> tuple[float, float]:
        """Input angles from end to end, rad; half a turn to a side that has no end."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Pivot:
    """The axis of a hinge, bearing or shaft: a line through a point (m) along a direction; turns by the right-hand
    rule.
    """
    def __new__(cls, point: ArrayLike, direction: ArrayLike) -> Pivot: ...
    @property
    def point(self) -> Floats:
        """A point of the axis, m, shape (3,)."""
    @property
    def direction(self) -> Floats:
        """Direction of the axis, of length 1, shape (3,)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Obstacle:
    """A convex body that a stick must clear: Obstacle.block(...), Obstacle.cylinder(...) or Obstacle.capsule(...)."""
    @staticmethod
    def block(size: ArrayLike, pose: Pose | None = None) -> Obstacle:
        """A box with the given side lengths (m) along the axes of its pose, which stands at its center."""
    @staticmethod
    def cylinder(diameter: float, length: float, pose: Pose | None = None) -> Obstacle:
        """A solid cylinder with flat ends (m) along the z axis of its pose, which stands at its center."""
    @staticmethod
    def capsule(start: ArrayLike, end: ArrayLike, radius: float) -> Obstacle:
        """Everything within a radius (m) of the straight line between two points (m): a leg, an arm."""
    @property
    def kind(self) -> Literal["block", "cylinder", "capsule"]:
        """ "block", "cylinder" or "capsule"."""
    @property
    def sizes(self) -> dict[str, Any]:
        """Sizes as they were given to its constructor, m."""
    @property
    def pose(self) -> Pose:
        """Where it stands."""
    def distance(self, point: ArrayLike) -> float:
        """Distance of a point from the surface, m; zero inside, for a capsule negative."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Gate:
    """The limits of a stick's two angles: Gate.round(...), Gate.square(...) or Gate.polygon(...)."""
    @staticmethod
    def round(tilt: float) -> Gate:
        """A round hole about the stick: the total tilt goes up to tilt (rad) in every direction."""
    @staticmethod
    def square(outer: tuple[float, float], inner: tuple[float, float]) -> Gate:
        """Each axis by itself between a least and a greatest angle (rad)."""
    @staticmethod
    def polygon(corners: ArrayLike) -> Gate:
        """Inside a polygon: corners (outer, inner) in order around, rad, shape (N, 2)."""
    @property
    def kind(self) -> Literal["round", "square", "polygon"]:
        """ "round", "square" or "polygon"."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Gimbal:
    """A stick on two axes, the outer one in the frame and the inner one carried by the outer body. All angles in
    rad, zero at neutral.

    outer, inner: Pivot, where they are at neutral. stick: corners from the gimbal up to the grip, m, shape (N,
    3). stick_radius: m. grip_radius: of a ball about the grip point, m, that stands for the grip with a hand
    around it.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg
    >>> gimbal = yw.linkage.Gimbal(
    ...     outer=yw.linkage.Pivot((0, 0, 0), (0, 1, 0)),
    ...     inner=yw.linkage.Pivot((0, 0, 0), (1, 0, 0)),
    ...     stick=[(0, 0, 0), (0, 0, 0.4)],
    ... )
    >>> envelope = gimbal.envelope(yw.linkage.Gate.round(15 * deg))
    >>> print(f"the grip goes {1000 * envelope.highest[0]:.1f} mm forward")
    the grip goes 103.5 mm forward
    """
    def __new__(
        cls,
        *,
        outer: Pivot,
        inner: Pivot,
        stick: ArrayLike,
        stick_radius: float = 0.0,
        grip_radius: float = 0.0,
    ) -> Gimbal: ...
    @property
    def outer(self) -> Pivot:
        """The axis in the frame."""
    @property
    def inner(self) -> Pivot:
        """The axis that the outer body carries, at neutral."""
    @property
    def stick(self) -> Floats:
        """Corners of the stick at neutral, m, shape (N, 3)."""
    @property
    def stick_radius(self) -> float:
        """Radius of the stick, m."""
    @property
    def grip_radius(self) -> float:
        """Radius of grip and hand, m."""
    @property
    def grip(self) -> Floats:
        """The grip point at neutral: the last corner of the stick, m, shape (3,)."""
    @property
    def stick_direction(self) -> Floats:
        """Direction of the first straight piece of the stick at neutral, of length 1, shape (3,)."""
    def grip_at(self, outer: float, inner: float) -> Pose:
        """Pose of the grip at two angles."""
    def grips_at(self, outer: ArrayLike, inner: ArrayLike) -> tuple[Floats, Floats, Mask]:
        """Grips at many angles (N,): positions (m) and rotation vectors (rad), shape (N, 3) each, and a mask;
        refused rows are NaN and False.
        """
    def stick_at(self, outer: float, inner: float) -> Floats:
        """Corners of the stick at two angles, m, shape (N, 3)."""
    def tilt(self, outer: float, inner: float) -> float:
        """Total tilt of the stick's first straight piece from neutral, rad."""
    def tilts(self, outer: ArrayLike, inner: ArrayLike) -> tuple[Floats, Mask]:
        """Total tilts at many angles (N,), rad, and a mask; refused rows are NaN and False."""
    def travel(self, axis: Literal["outer", "inner"], range: tuple[float, float], other: float = 0.0) -> GripTravel:
        """How far the grip goes while one axis ("outer" or "inner") turns over a range and the other stands at an
        angle.
        """
    def angles_for_direction(self, direction: ArrayLike) -> tuple[float, float]:
        """Outer and inner angle at which the stick has a direction (of any length), on the side of neutral."""
    def angles_for_grip(self, point: ArrayLike) -> tuple[float, float, float]:
        """Outer and inner angle that bring the grip to a point (m), on the side of neutral, and by how much it
        misses the point, m.
        """
    def sensor_angles(self, outer: float, inner: float, drive: InnerSensor = "on outer body") -> tuple[float, float]:
        """What the outer and the inner sensor turn by. drive of the inner one: "on outer body", "joint along
        outer" or "joint across".
        """
    def sensors_at(
        self, outer: ArrayLike, inner: ArrayLike, drive: InnerSensor = "on outer body"
    ) -> tuple[Floats, Mask]:
        """What both sensors turn by at many angles (N,), rad, shape (N, 2), and a mask (N,); refused rows are NaN
        and False.
        """
    def allows(self, gate: Gate, outer: float, inner: float) -> bool:
        """Whether the gate allows a position; its edge is allowed."""
    def allowed(self, gate: Gate, outer: ArrayLike, inner: ArrayLike) -> Mask:
        """Which of many positions (N,) the gate allows; False where an angle is refused."""
    def envelope(self, gate: Gate, step: float = 0.03490658503988659, tolerance: float = 1e-05) -> Envelope:
        """Where the grip goes all over a gate: samples step (rad) apart, and extremes that are exceeded by no more
        than tolerance (m).
        """
    def clearance_at(self, outer: float, inner: float, obstacles: Sequence[Obstacle]) -> Clearance:
        """The least distance between stick or grip and any of the obstacles at one position."""
    def clearances_at(self, outer: ArrayLike, inner: ArrayLike, obstacles: Sequence[Obstacle]) -> tuple[Floats, Mask]:
        """The same at many positions (N,): distances only, m, and a mask; refused rows are NaN and False."""
    def clearance(self, gate: Gate, obstacles: Sequence[Obstacle], tolerance: float = 0.0001) -> Clearance:
        """The least distance all over a gate: nowhere is the true one smaller by more than tolerance (m), between
        samples or not.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class GripTravel:
    """How far the grip goes when one axis turns."""
    @property
    def radius(self) -> float:
        """Distance of the grip from the axis, m."""
    @property
    def arc(self) -> float:
        """Along the path, m."""
    @property
    def chord(self) -> float:
        """Straight from end to end, m."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Envelope:
    """Where the grip goes as the stick is moved all over its gate."""
    @property
    def edge(self) -> Floats:
        """Outer and inner angle around the edge of the gate, rad, shape (N, 2)."""
    @property
    def edge_grips(self) -> Floats:
        """Where the grip point is there, m, shape (N, 3)."""
    @property
    def inside(self) -> Floats:
        """Outer and inner angle in the gate, in whole steps from zero, rad, shape (M, 2)."""
    @property
    def inside_grips(self) -> Floats:
        """Where the grip point is there, m, shape (M, 3)."""
    @property
    def lowest(self) -> Floats:
        """Least x, y and z of the grip point, m, shape (3,)."""
    @property
    def highest(self) -> Floats:
        """Greatest x, y and z of the grip point, m, shape (3,)."""
    @property
    def lowest_angles(self) -> Floats:
        """Outer and inner angle at which the least x, y and z are reached, rad, shape (3, 2)."""
    @property
    def highest_angles(self) -> Floats:
        """Outer and inner angle at which the greatest x, y and z are reached, rad, shape (3, 2)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Clearance:
    """The least distance between the stick and its obstacles, and where it is."""
    @property
    def distance(self) -> float:
        """Distance between the surfaces, m; zero or less where they collide."""
    @property
    def collides(self) -> bool:
        """Whether stick and obstacle touch or overlap."""
    @property
    def angles(self) -> tuple[float, float]:
        """Outer and inner angle at which it is that small, rad."""
    @property
    def obstacle(self) -> int:
        """Which obstacle, counted from 0."""
    @property
    def piece(self) -> int | None:
        """Which straight piece of the stick, counted from 0 at the gimbal; None for the grip."""
    @property
    def stick_point(self) -> Floats:
        """The nearest point of the stick's center line, m, shape (3,)."""
    @property
    def obstacle_point(self) -> Floats:
        """The nearest point of the obstacle, m, shape (3,); of a capsule's center line."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Lever:
    """A lever, pedal or slide with its grip or pad: Lever.pivoted(...) or Lever.sliding(...). Position zero is
    neutral.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg
    >>> pivot = yw.linkage.Pivot((0, 0, 0), (0, 1, 0))
    >>> lever = yw.linkage.Lever.pivoted(pivot, (0, 0, 0.2), (-20 * deg, 20 * deg))
    >>> print(f"{1000 * lever.path_length:.1f} mm of way")
    139.6 mm of way
    """
    @staticmethod
    def pivoted(pivot: Pivot, grip: ArrayLike, travel: tuple[float, float]) -> Lever:
        """A lever on a Pivot, the grip at a point (m) at neutral, with its least and greatest angle (rad), which
        hold zero.
        """
    @staticmethod
    def sliding(direction: ArrayLike, grip: ArrayLike, travel: tuple[float, float]) -> Lever:
        """A slide along a direction, the grip at a point (m) at neutral, with its least and greatest position (m),
        which hold zero.
        """
    @property
    def pivot(self) -> Pivot | None:
        """The pivot; None for a slide."""
    @property
    def direction(self) -> Floats | None:
        """Direction of the slide, of length 1, shape (3,); None for a lever on a pivot."""
    @property
    def grip(self) -> Floats:
        """Where the grip is at neutral, m, shape (3,)."""
    @property
    def travel(self) -> tuple[float, float]:
        """Least and greatest position: rad on a pivot, m on a slide."""
    def grip_at(self, position: float) -> Floats:
        """Where the grip is at a position, m, shape (3,)."""
    def grips_at(self, positions: ArrayLike) -> tuple[Floats, Mask]:
        """Where the grip is at many positions (N,), m, shape (N, 3), and a mask (N,); refused rows are NaN and
        False.
        """
    @property
    def path_length(self) -> float:
        """How far the grip goes along its path over the travel, m."""
    @property
    def chord(self) -> float:
        """Straight from one end of the travel to the other, m."""
    def push(self, position: float, magnitude: float) -> Floats:
        """A force on the grip along its path, N, shape (3,): toward greater positions if the magnitude is
        positive.
        """
    def gap(self, stop: Stop, position: float) -> float:
        """The gap between bumper and stop (m) at a position; negative where the lever would have to be in the pad."""
    def meets(self, stop: Stop) -> tuple[float | None, float | None]:
        """The positions nearest to neutral at which the lever meets a stop, below and above; None where it never
        does.
        """
    def stopped_by(self, stops: Sequence[Stop]) -> StoppedTravel:
        """The travel that a number of stops leave."""
    def stop_at(self, radius: float, position: float, bumper_radius: float = 0.0) -> Stop:
        """A stop met at a position, square to the way there: at a radius (m) from the pivot, or that far behind
        the grip of a slide.
        """
    def stop_load(self, stop: Stop, force: ArrayLike) -> StopLoad:
        """What stop and pivot or slide bear when a force (N, shape (3,)) on the grip holds the lever against the
        stop.
        """
    def bearing_loads(self, load: StopLoad, bearings: tuple[float, float]) -> tuple[Floats, Floats]:
        """Radial forces (N, shape (3,) each) on two bearings at distances (m) from the pivot's point along its
        direction.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Stop:
    """A fixed pad with a flat face that ends the travel of a lever, on which a bumper of the lever sits.

    bumper: center of the bumper at neutral, m. face: a point of the face, m. normal: of the face, away from the
    pad. bumper_radius: m. What stops a pedal carries the force of a foot: an emergency press passes a
    kilonewton. For simulators only.
    """
    def __new__(cls, *, bumper: ArrayLike, face: ArrayLike, normal: ArrayLike, bumper_radius: float = 0.0) -> Stop: ...
    @property
    def bumper(self) -> Floats:
        """Center of the bumper at neutral, m, shape (3,)."""
    @property
    def face(self) -> Floats:
        """A point of the face, m, shape (3,)."""
    @property
    def normal(self) -> Floats:
        """Normal of the face, away from the pad, of length 1, shape (3,)."""
    @property
    def bumper_radius(self) -> float:
        """Radius of the bumper, m."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class StopLoad:
    """A lever held against a stop; friction is left out."""
    @property
    def position(self) -> float:
        """Position of the lever at the stop: rad on a pivot, m on a slide."""
    @property
    def contact_force(self) -> float:
        """Force between bumper and pad, N."""
    @property
    def contact_point(self) -> Floats:
        """Where the pad is touched, m, shape (3,)."""
    @property
    def guide_force(self) -> Floats:
        """Force of pivot or slide on the lever, N, shape (3,)."""
    @property
    def guide_moment(self) -> Floats:
        """Moment of pivot or slide on the lever, N m, shape (3,), about the pivot's point or the neutral grip of a
        slide.
        """
    def pad_pressure(self, area: float) -> float:
        """Mean pressure (Pa) on a pad of the given area (m^2)."""
    def pin_pressure(self, diameter: float, length: float) -> float:
        """Bearing pressure (Pa) of the pivot's pin: its force over diameter times length (m)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class StoppedTravel:
    """The travel that stops leave a lever."""
    @property
    def travel(self) -> tuple[float, float]:
        """Least and greatest position: rad on a pivot, m on a slide."""
    @property
    def stops(self) -> tuple[int | None, int | None]:
        """Which stop ends it below and above, counted from 0; None where the lever's own travel ends first."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def chebyshev_spacing(start: float, end: float, count: int = 3) -> Floats:
    """The middles of count equal sectors of a half circle over a range, shape (count,): where a function is best
    met exactly.
    """

@final
class ThreePointFourBar:
    """A four-bar that passes through three wanted pairs of angles."""
    @property
    def linkage(self) -> FourBar:
        """The lengths."""
    @property
    def crank_offset(self) -> float:
        """What to add to a wanted crank angle to get that of the linkage, rad: 0, or pi where the crank is drawn
        the other way.
        """
    @property
    def rocker_offset(self) -> float:
        """The same for the rocker."""
    @property
    def branches(self) -> tuple[Branch, Branch, Branch]:
        """On which branch each of the three pairs lies."""
    @property
    def connected(self) -> bool:
        """Whether the linkage gets from the first pair to the last without being taken apart, all on one branch.
        If not, it is of no use.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def three_point_four_bar(crank_angles: ArrayLike, rocker_angles: ArrayLike, ground: float) -> ThreePointFourBar:
    """The four-bar on a ground link (m) that passes through three pairs of crank and rocker angles (3,), rad, from
    the ground line.
    """

@final
class FourBarFit:
    """The best four-bar found for wanted pairs of turns."""
    @property
    def built(self) -> CenteredFourBar:
        """The linkage with its branch and the angle of its centered crank."""
    @property
    def rocker_zero(self) -> float:
        """Angle of the rocker, from the ground line, that serves as zero of its turns, rad."""
    @property
    def rms_error(self) -> float:
        """Root of the mean square of rocker turn less wanted turn, rad."""
    @property
    def largest_error(self) -> float:
        """The largest such difference, rad."""
    @property
    def min_transmission_angle(self) -> float:
        """The least transmission angle over the range of the crank, rad."""
    @property
    def three_point_rms_error(self) -> float | None:
        """rms_error of the best linkage through three of the wanted points that keeps the limits, rad; None if
        none was found.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def search_four_bars(
    crank_turns: ArrayLike,
    rocker_turns: ArrayLike,
    *,
    ground: float,
    lengths: tuple[float, float] | None = None,
    min_transmission_angle: float | None = None,
    starts: int = 16,
    seed: int = 0,
) -> SearchResult[FourBarFit]:
    """The four-bar that comes nearest to wanted pairs of turns (N,), rad, in the least-squares sense, within
    limits.

    crank_turns ascend; rocker_turns count from any zero. ground: distance of the pivots, m. lengths: the
    shortest and the longest that crank, coupler and rocker may be, m; without, 0.1 to 3 times the ground.
    min_transmission_angle: over the whole range, rad; without, 40 degrees. The search begins at so many seeded
    starts; the best found is not proven to be the best there is.
    """

@final
class FreeArm:
    """An arm whose length is to be found: FreeArm.between(...) or FreeArm.holes(...)."""
    @staticmethod
    def between(arm: Arm, least: float, greatest: float, clocking: tuple[float, float] = (0.0, 0.0)) -> FreeArm:
        """An arm of any length between two (m). Pivot, direction and stud of arm count, its length does not.

        clocking: least and greatest angle by which the arm may be turned on its pivot at neutral, rad.
        """
    @staticmethod
    def holes(arm: Arm, lengths: ArrayLike, clocking: tuple[float, float] = (0.0, 0.0)) -> FreeArm:
        """An arm with a row of holes, lengths (N,) in m. Pivot, direction and stud of arm count, its length does
        not.

        clocking: least and greatest angle by which the arm may be turned on its pivot at neutral, rad.
        """
    @property
    def arm(self) -> Arm:
        """The arm that was given."""
    @property
    def clocking(self) -> tuple[float, float]:
        """Least and greatest angle by which it may be clocked, rad."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def search_ball_rods(
    *,
    input: FreeArm,
    output: FreeArm,
    travel: tuple[float, float],
    output_span: float,
    span_tolerance: float,
    min_transmission_angle: float = 0.6981317007977318,
    lock_margin: float = 0.08726646259971647,
    count: int = 5,
) -> SearchResult[BallRodDesign]:
    """Finds arm lengths, and clocking, that turn the output by the wanted angle with the least variation of the
    ratio.

    travel: least and greatest input angle, rad. output_span: turn of the output over it, in either sense, rad,
    met to span_tolerance. lock_margin: input angle left up to a lock. Swivel limits are those of the arms'
    studs. Finds at most count designs that keep every limit, the evenest first. Rods between pedals carry a
    foot: an emergency press passes a kilonewton.
    """

@final
class BallRodDesign:
    """A ball-joint rod that was found."""
    @property
    def rod(self) -> BallRod:
        """The linkage; its arms have the lengths that were found."""
    @property
    def clocking(self) -> tuple[float, float]:
        """By how much the input and the output arm were clocked, rad."""
    @property
    def figures(self) -> BallRodFigures:
        """What it does over the travel."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class BallRodFigures:
    """What a ball-joint rod does over a travel of its input."""
    @property
    def output_span(self) -> float:
        """Turn of the output over the travel, rad, positive in the sense of the input."""
    @property
    def ratios(self) -> tuple[float, float]:
        """Least and greatest ratio."""
    @property
    def ratio_variation(self) -> float | None:
        """Greatest ratio less the least, over the mean of the two; None where that is zero, as for an output that
        stands still.
        """
    @property
    def asymmetry(self) -> float:
        """The largest sum of the output angles at equal input angles to either side, rad."""
    @property
    def min_transmission_angle(self) -> float:
        """The least transmission angle, rad."""
    @property
    def lock_margin(self) -> float:
        """Input travel left up to a lock at the nearer end, rad; half a turn if there is none."""
    @property
    def swivels(self) -> tuple[float | None, float | None]:
        """Largest swivel of the ball joints on the input and the output arm, rad; None without a stud."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
