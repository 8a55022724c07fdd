"""Springs: force, stress and life of helical springs, and what else pulls a control back."""

from collections.abc import Sequence
from typing import Any, Literal, final

from numpy.typing import ArrayLike

from ._core import Floats, Mask, SearchResult

__all__ = [
    "AllowableShares",
    "CompressionSpring",
    "Endurance",
    "ExtensionLife",
    "ExtensionSpring",
    "ExtensionStresses",
    "ForceTable",
    "LifeVerdict",
    "LinearSpring",
    "LinearTorsionSpring",
    "SizedExtension",
    "SizedSpring",
    "SizedTorsion",
    "SpringResponse",
    "SpringResponses",
    "StockChoice",
    "StockList",
    "StockSpring",
    "TorsionLife",
    "TorsionResponse",
    "TorsionSpring",
    "TorsionState",
    "Wire",
    "search_compression_springs",
    "search_extension_springs",
    "search_stock",
    "search_torsion_springs",
]

Ends = Literal["plain", "plain ground", "squared", "squared ground"]

Presetting = Literal["as wound", "set removed"]

Curvature = Literal["Bergstraesser", "Wahl"]

DesignCode = Literal["Shigley", "EN 13906"]

EndFixity = Literal["fixed-fixed", "fixed-pinned", "pinned-pinned", "fixed-free"]

Surface = Literal["unpeened", "peened"]

MeanStress = Literal["Gerber", "Goodman", "Sines"]

@final
class Wire:
    """Spring wire: strength and elastic moduli by diameter.

    Wire.named("ASTM A228") for one of the table; the constructor for one of your own. Exactly one of power,
    listed, steps gives the tensile strength (Pa) by diameter (m). power: bands of (thinnest, thickest, A, m)
    with the least strength A / (d / 1 mm)^m, so that A is the strength at 1 mm in Pa; a book's A in MPa mm^m
    times 1e6. listed: (diameter, least, greatest). steps: (thinnest, [(up to, least), ...]). moduli: (up to
    this diameter, E, G), ascending. density: kg/m3. *_celsius: degC. sources: (what it covers, text, "seen" |
    "from memory" | "common practice").
    """
    def __new__(
        cls,
        *,
        name: str,
        family: Literal["cold-drawn", "tempered", "austenitic", "non-ferrous"],
        moduli: Sequence[tuple[float, float, float]],
        density: float,
        max_celsius: float,
        sources: Sequence[tuple[str, str, str]],
        power: Sequence[tuple[float, float, float, float]] | None = None,
        listed: Sequence[tuple[float, float, float]] | None = None,
        steps: tuple[float, Sequence[tuple[float, float]]] | None = None,
        min_celsius: float | None = None,
        standard_diameters: Sequence[float] = (),
    ) -> Wire: ...
    @staticmethod
    def named(name: str) -> Wire:
        """A wire by its designation; case, spaces, hyphens and underscores make no difference."""
    @staticmethod
    def all() -> list[Wire]:
        """Every wire that has a name."""
    @property
    def name(self) -> str:
        """Designation."""
    @property
    def family(self) -> str:
        """Kind of material: "cold-drawn", "tempered", "austenitic" or "non-ferrous"."""
    @property
    def shares(self) -> AllowableShares:
        """What share of the tensile strength a spring of it may use under static load."""
    @property
    def diameter_range(self) -> tuple[float, float]:
        """Thinnest and thickest wire whose strength is known, m."""
    @property
    def standard_diameters(self) -> Floats:
        """Diameters in which it is sold, m, ascending, shape (N,)."""
    @property
    def density(self) -> float:
        """Density, kg/m3."""
    @property
    def min_celsius(self) -> float | None:
        """Lowest temperature of use, degC, if given."""
    @property
    def max_celsius(self) -> float:
        """Highest temperature of use, degC."""
    @property
    def sources(self) -> list[tuple[str, str, str]]:
        """Where the figures come from: (what it covers, text, provenance)."""
    def tensile_strength(self, diameter: float) -> float:
        """Least tensile strength at a diameter (m), Pa."""
    def max_tensile_strength(self, diameter: float) -> float | None:
        """Greatest tensile strength at a diameter (m), Pa, where the table gives one."""
    def elastic_modulus(self, diameter: float) -> float:
        """Young's modulus E at a diameter (m), Pa."""
    def shear_modulus(self, diameter: float) -> float:
        """Shear modulus G at a diameter (m), Pa."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    def __getnewargs_ex__(self) -> tuple[tuple[()], dict[str, Any]]: ...

@final
class AllowableShares:
    """Stresses that springs bear under static load, as shares of the least tensile strength."""
    @property
    def shear(self) -> float:
        """Shear in a compression spring as wound, with the curvature factor."""
    @property
    def shear_set_removed(self) -> tuple[float, float]:
        """Shear in a compression spring whose set was removed, without it: least and greatest."""
    @property
    def bending(self) -> float:
        """Bending in a torsion spring."""
    @property
    def extension_body(self) -> tuple[float, float]:
        """Shear in the body of an extension spring: least and greatest."""
    @property
    def hook_shear(self) -> float:
        """Shear in the hook of an extension spring."""
    @property
    def hook_bending(self) -> float:
        """Bending in the hook of an extension spring."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class CompressionSpring:
    """A helical compression spring of round wire.

    wire: a Wire or the name of one. Give one of outer_diameter, mean_diameter, inner_diameter (m), and one of
    active_turns, total_turns. free_length: m. ends: "plain", "plain ground", "squared" or "squared ground".
    presetting: "as wound" or "set removed". curvature: "Bergstraesser" (also EN 13906-1) or "Wahl".
    design_code: "Shigley" or "EN 13906", whose rules hold where they differ.

    A compressed spring that slips off its seat hits hard: guide it, protect your eyes, keep fingers from
    between the coils. For simulators only.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import mm
    >>> spring = yw.spring.CompressionSpring(
    ...     wire="EN 10270-1 SM",
    ...     wire_diameter=2 * mm,
    ...     outer_diameter=18 * mm,
    ...     active_turns=8,
    ...     free_length=50 * mm,
    ... )
    >>> print(f"{spring.rate / 1000:.2f} N/mm, solid at {spring.solid_length / mm:.1f} mm")
    4.97 N/mm, solid at 20.0 mm
    """
    def __new__(
        cls,
        *,
        wire: Wire | str,
        wire_diameter: float,
        free_length: float,
        outer_diameter: float | None = None,
        mean_diameter: float | None = None,
        inner_diameter: float | None = None,
        active_turns: float | None = None,
        total_turns: float | None = None,
        ends: Ends = "squared ground",
        presetting: Presetting = "as wound",
        curvature: Curvature = "Bergstraesser",
        design_code: DesignCode = "Shigley",
    ) -> CompressionSpring: ...
    @property
    def wire(self) -> Wire:
        """Material."""
    @property
    def wire_diameter(self) -> float:
        """Diameter of the wire, m."""
    @property
    def mean_diameter(self) -> float:
        """Diameter of the coil from the middle of the wire to the middle of the wire, m."""
    @property
    def outer_diameter(self) -> float:
        """Diameter over the wire, m, without load."""
    @property
    def inner_diameter(self) -> float:
        """Diameter between the wire, m."""
    @property
    def active_turns(self) -> float:
        """Turns that spring."""
    @property
    def total_turns(self) -> float:
        """All turns."""
    @property
    def free_length(self) -> float:
        """Length without load, m."""
    @property
    def ends(self) -> str:
        """How the ends are made."""
    @property
    def presetting(self) -> str:
        """Whether its set was removed."""
    @property
    def curvature(self) -> str:
        """Whose curvature factor."""
    @property
    def design_code(self) -> str:
        """Whose rules."""
    @property
    def index(self) -> float:
        """Spring index: mean diameter over wire diameter."""
    @property
    def rate(self) -> float:
        """Rate, N/m."""
    @property
    def solid_length(self) -> float:
        """Length when all coils touch, m."""
    @property
    def line_spring(self) -> LinearSpring:
        """What it does between two points: from solid to free, slack beyond."""
    @property
    def solid_force(self) -> float:
        """Force that closes all coils, N."""
    @property
    def pitch(self) -> float:
        """Pitch of the active turns without load, m."""
    @property
    def wire_length(self) -> float:
        """Length of the wire in it, m."""
    @property
    def mass(self) -> float:
        """Mass, kg."""
    @property
    def active_mass(self) -> float:
        """Mass of the active turns, kg."""
    @property
    def curvature_factor(self) -> float:
        """Factor by which the curvature of the wire raises the stress."""
    @property
    def tensile_strength(self) -> float:
        """Least tensile strength of its wire, Pa."""
    @property
    def allowable_stress(self) -> float:
        """Shear stress that a static load may cause, Pa."""
    @property
    def yield_force(self) -> float:
        """Force at which it begins to take a set, N."""
    @property
    def solid_safety(self) -> float:
        """Safety against taking a set when pressed solid; recommended is 1.2."""
    @property
    def surge_frequency(self) -> float:
        """Lowest frequency at which its coils surge between two plates, Hz."""
    def force(self, length: float) -> float:
        """Force at a length (m), N; zero above the free length."""
    def forces(self, lengths: ArrayLike) -> tuple[Floats, Mask]:
        """Force at each length (N,): N, shape (N,), and a mask; lengths below solid are NaN and False."""
    def length(self, force: float) -> float:
        """Length at which it pushes with a force (N), m."""
    def stress(self, force: float) -> float:
        """Shear stress under a force (N), with the curvature factor, Pa."""
    def stresses(self, lengths: ArrayLike) -> tuple[Floats, Mask]:
        """Shear stress with the curvature factor at each length (N,): Pa, shape (N,), and a mask; lengths below
        solid are NaN and False.
        """
    def nominal_stress(self, force: float) -> float:
        """Shear stress under a force (N) without any factor, Pa."""
    def static_safety(self, force: float) -> float:
        """Safety against yielding under a force (N)."""
    def clash_allowance(self, length: float) -> float:
        """How much more force it takes to close the coils than there is at a length (m), as a share."""
    def min_working_length(self, service: Literal["static", "dynamic"] = "static") -> float:
        """The shortest length to use, m. service: "static" or "dynamic", which only EN 13906 distinguishes."""
    def stable_free_length(self, end_fixity: EndFixity = "fixed-fixed") -> float:
        """The longest free length that never buckles, m. end_fixity: "fixed-fixed", "fixed-pinned",
        "pinned-pinned" or "fixed-free".
        """
    def critical_deflection(self, end_fixity: EndFixity = "fixed-fixed") -> float | None:
        """How far it can be compressed before it buckles, m; None if it goes solid first. end_fixity as in
        stable_free_length.
        """
    def outer_diameter_at(self, length: float) -> float:
        """Diameter over the wire at a length (m), m: compressed coils grow."""
    def fatigue(
        self,
        forces: tuple[float, float],
        *,
        cycles: float = 1000000.0,
        surface: Surface = "unpeened",
        criterion: MeanStress = "Gerber",
    ) -> LifeVerdict:
        """Whether it lasts a number of cycles between two forces (N), by Zimmerli's data.

        surface: "unpeened" or "peened". criterion: "Gerber", "Goodman" or "Sines".
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    def __getnewargs_ex__(self) -> tuple[tuple[()], dict[str, Any]]: ...

@final
class Endurance:
    """What a part endures: a point of endless life that tests gave, the ultimate strength, and the line drawn
    between them.

    alternating, mean: stresses (Pa) that are borne for a million cycles. ultimate: strength in the same kind of
    stress, Pa. criterion: how the mean counts, "Gerber", "Goodman" or "Sines". Endurance.zimmerli(...) for
    springs of steel wire.
    """
    def __new__(
        cls, alternating: float, mean: float, ultimate: float, criterion: MeanStress = "Gerber"
    ) -> Endurance: ...
    @staticmethod
    def zimmerli(
        wire: Wire | str,
        wire_diameter: float,
        surface: Surface = "unpeened",
        criterion: MeanStress = "Gerber",
    ) -> Endurance:
        """In shear, for springs of a steel wire (a Wire or its name) of a diameter (m) up to 10 mm, "unpeened" or
        "peened".
        """
    def in_bending(self, tensile_strength: float) -> Endurance:
        """The same in bending, by distortion energy, for a wire of that tensile strength (Pa)."""
    @property
    def alternating(self) -> float:
        """Alternating stress of endless life at the mean stress of the test, Pa."""
    @property
    def mean(self) -> float:
        """Mean stress of the test, Pa."""
    @property
    def ultimate(self) -> float:
        """Ultimate strength in the same kind of stress, Pa."""
    @property
    def criterion(self) -> str:
        """How the mean stress counts."""
    @property
    def fully_reversed(self) -> float:
        """Alternating stress of endless life without mean stress, Pa."""
    def alternating_at(self, mean: float, cycles: float = 1000000.0) -> float:
        """Alternating stress that is borne for a number of cycles at a mean stress (Pa), Pa."""
    def safety(self, stresses: tuple[float, float], cycles: float = 1000000.0) -> float:
        """Factor by which a cycle between two stresses (Pa) may grow before it breaks the part in that many
        cycles.
        """
    def life(self, stresses: tuple[float, float]) -> float:
        """How many cycles between two stresses (Pa) the part stands: infinity from a million on, 0 below a
        thousand.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class LifeVerdict:
    """Whether a spring lasts, and how well."""
    @property
    def mean(self) -> float:
        """Mean stress of the cycle, Pa."""
    @property
    def alternating(self) -> float:
        """Alternating stress of the cycle, Pa."""
    @property
    def endurance(self) -> Endurance:
        """What the spring endures."""
    @property
    def cycles(self) -> float:
        """The cycles asked for."""
    @property
    def safety(self) -> float:
        """Safety against breaking within the cycles asked for."""
    @property
    def static_safety(self) -> float:
        """Safety against yielding under the greatest force."""
    @property
    def life(self) -> float:
        """How many cycles it stands: infinity from a million on, 0 below a thousand."""
    @property
    def holds(self) -> bool:
        """Whether it neither breaks nor yields."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SizedSpring:
    """A spring that does what was asked for."""
    @property
    def spring(self) -> CompressionSpring:
        """The spring."""
    @property
    def lengths(self) -> tuple[float, float]:
        """Length at the beginning and at the end of the travel, m."""
    @property
    def forces(self) -> tuple[float, float]:
        """Force at the beginning and at the end of the travel, N."""
    @property
    def life_safety(self) -> float | None:
        """Safety against breaking within the cycles asked for, if a life was."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def search_compression_springs(
    wires: Sequence[Wire | str],
    *,
    travel: float,
    rate: float | None = None,
    preload: float | None = None,
    start_length: float | None = None,
    force: float | None = None,
    length: float | None = None,
    bore: float | None = None,
    rod: float | None = None,
    longest_free: float | None = None,
    longest_solid: float | None = None,
    end_fixity: EndFixity | None = "fixed-fixed",
    cycles: float | None = None,
    surface: Surface = "unpeened",
    criterion: MeanStress = "Gerber",
    life_safety: float = 1.2,
    index: tuple[float, float] = (4.0, 12.0),
    active_turns: tuple[float, float] = (3.0, 15.0),
    clash_allowance: float = 0.15,
    solid_safety: float = 1.2,
    ends: Ends = "squared ground",
    presetting: Presetting = "as wound",
    curvature: Curvature = "Bergstraesser",
    design_code: DesignCode = "Shigley",
    coil_steps: int = 200,
    turn_steps: int = 25,
    rank_by: Literal["mass", "free length", "solid length", "outer diameter", "solid safety"] = "mass",
) -> SearchResult[SizedSpring]:
    """The compression springs that do a job in a space, the best of each wire diameter, ranked.

    wires: Wires or names, each tried in every diameter in which it is sold. travel: m. Wanted is either a rate
    (N/m), starting from a preload (N) at start_length (m; else the shortest that leaves room between the
    coils), or a force (N) at a length (m), which is the end of the travel. bore, rod: hole that it must fit
    into and rod that must pass, m. longest_free, longest_solid: m. end_fixity: as in
    CompressionSpring.stable_free_length, or None if it is guided. cycles: how often it is compressed, None if
    seldom; surface, criterion and life_safety say how its life is judged. index, active_turns: least and
    greatest. rank_by: "mass", "free length", "solid length", "outer diameter" or "solid safety".
    """

@final
class LinearSpring:
    """A spring whose force grows in proportion: tension = initial tension + rate (length - free length) where it
    works, zero where slack.

    rate: N/m. free_length: distance of its ends without load, m. action: "above" its free length (an extension
    spring), "below" (a compression spring) or "both" (held at both ends). initial_tension: that must be
    overcome before an extension spring opens, N. shortest and longest: length below which it is solid and above
    which it is over-stretched, m. Past them the line goes on and the state says so.

    Springs under load hurt: wear eye protection, let a spring down before you open what holds it.
    """
    def __new__(
        cls,
        *,
        rate: float,
        free_length: float,
        action: str,
        initial_tension: float = 0.0,
        shortest: float | None = None,
        longest: float | None = None,
    ) -> LinearSpring: ...
    @property
    def rate(self) -> float:
        """Force for a change of length, N/m."""
    @property
    def free_length(self) -> float:
        """Distance of its ends without load, m."""
    @property
    def action(self) -> str:
        """ "above", "below" or "both"."""
    @property
    def initial_tension(self) -> float:
        """Tension that must be overcome before it opens, N."""
    @property
    def shortest(self) -> float | None:
        """Length below which it is solid, m; None if there is no limit."""
    @property
    def longest(self) -> float | None:
        """Length above which it is over-stretched, m; None if there is no limit."""
    @property
    def length_range(self) -> tuple[float, float]:
        """Shortest and longest length that it stands, m; where no limit was given, 0 and 10 m."""
    def response(self, length: float) -> SpringResponse:
        """Tension, stiffness, energy and state at a length (m, 0 to 10)."""
    def responses(self, lengths: ArrayLike) -> SpringResponses:
        """Responses at many lengths (N,), m."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ForceTable:
    """An elastic cord, a gas strut or anything else known by its tension (N, negative where it pushes) at
    ascending lengths (m).

    Between the points runs the monotone cubic curve of Fritsch and Carlson, and the energy is its exact
    integral. Outside the table nothing is guessed: it is refused, or slack below the first length with
    slack_below=True, as a cord is.

    A stretched cord or a compressed strut lets go all at once: wear eye protection, keep out of its line, never
    open a strut.
    """
    def __new__(cls, lengths: ArrayLike, tensions: ArrayLike, *, slack_below: bool = False) -> ForceTable: ...
    @property
    def lengths(self) -> Floats:
        """The lengths given, m, shape (N,)."""
    @property
    def tensions(self) -> Floats:
        """The tensions given, N, shape (N,)."""
    @property
    def slack_below(self) -> bool:
        """Whether it hangs slack below the first length."""
    @property
    def length_range(self) -> tuple[float, float]:
        """Shortest and longest length that have a value, m."""
    def response(self, length: float) -> SpringResponse:
        """Tension, stiffness, energy and state at a length (m) within length_range."""
    def responses(self, lengths: ArrayLike) -> SpringResponses:
        """Responses at many lengths (N,), m; rows outside length_range are NaN and False in the mask."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SpringResponse:
    """What a spring along a line does at one length."""
    @property
    def tension(self) -> float:
        """Force along the line, N: positive pulls the ends together, negative pushes them apart."""
    @property
    def stiffness(self) -> float:
        """Derivative of the tension by the length, N/m."""
    @property
    def energy(self) -> float:
        """Energy stored, J: zero where unloaded."""
    @property
    def state(self) -> str:
        """ "slack", "working", "solid" or "overstretched"."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SpringResponses:
    """What a spring along a line does at many lengths, in their order."""
    @property
    def tensions(self) -> Floats:
        """Forces along the line, N, shape (N,): positive pulls the ends together; NaN where the length is refused."""
    @property
    def stiffnesses(self) -> Floats:
        """Derivatives of the tension by the length, N/m, shape (N,)."""
    @property
    def energies(self) -> Floats:
        """Energies stored, J, shape (N,)."""
    @property
    def states(self) -> list[str | None]:
        """ "slack", "working", "solid", "overstretched", or None where the length is refused: a list of N."""
    @property
    def valid(self) -> Mask:
        """Whether the length has a value, shape (N,)."""
    def __len__(self) -> int: ...

@final
class LinearTorsionSpring:
    """A spring about a pivot: torque = rate (angle - free angle) where it works, zero where its legs are loose.

    rate: N m/rad. free_angle: angle of the turning part at which nothing loads it, rad. action: "above",
    "below" or "both". least and max_angle: angles that it stands, rad; past them the line goes on and the state
    says so.

    The legs of a wound torsion spring strike when they slip: wear eye protection, keep fingers out of their
    way.
    """
    def __new__(
        cls,
        *,
        rate: float,
        free_angle: float,
        action: str,
        min_angle: float | None = None,
        max_angle: float | None = None,
    ) -> LinearTorsionSpring: ...
    @property
    def rate(self) -> float:
        """Torque for a change of angle, N m/rad."""
    @property
    def free_angle(self) -> float:
        """Angle at which nothing loads it, rad."""
    @property
    def action(self) -> str:
        """ "above", "below" or "both"."""
    @property
    def min_angle(self) -> float | None:
        """Least angle that it stands, rad; None if there is no limit."""
    @property
    def max_angle(self) -> float | None:
        """Greatest angle that it stands, rad; None if there is no limit."""
    @property
    def angle_range(self) -> tuple[float, float]:
        """Least and greatest angle that it stands, rad; where no limit was given, -100 and 100 rad."""
    def response(self, angle: float) -> TorsionResponse:
        """Torque, stiffness, energy and state at an angle (rad) of the turning part."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class TorsionResponse:
    """What a spring at a pivot does at one angle."""
    @property
    def torque(self) -> float:
        """Torque that holds it there, N m: positive towards greater angles; the spring acts on the turning part
        with the opposite.
        """
    @property
    def stiffness(self) -> float:
        """Derivative of the torque by the angle, N m/rad."""
    @property
    def energy(self) -> float:
        """Energy stored, J: zero where unloaded."""
    @property
    def state(self) -> str:
        """ "slack", "working" or "overwound"."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ExtensionSpring:
    """A helical extension spring of round wire, wound close, with a hook at each end.

    wire: a Wire or its designation. body_turns: without the hooks. One of outer_diameter, mean_diameter,
    inner_diameter, m. initial_tension: N. hook: "full" or "half". bend_radius, side_radius: mean radii of the
    hook's bends, m (by default D / 2, or 2 d for a half hook; and 2 d). hook_reach: inside reach beyond the
    body, m. design_code: "Shigley" or "EN 13906".

    A stretched spring whose hook breaks or slips flies: wear eye protection, stand out of its line, let nothing
    that may hurt hang on it alone.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import mm
    >>> spring = yw.spring.ExtensionSpring(
    ...     wire="ASTM A228", wire_diameter=1 * mm, outer_diameter=10 * mm, body_turns=20, initial_tension=3.0
    ... )
    >>> print(f"{spring.rate / 1000:.3f} N/mm")
    0.686 N/mm
    """
    def __new__(
        cls,
        *,
        wire: Wire | str,
        wire_diameter: float,
        body_turns: float,
        outer_diameter: float | None = None,
        mean_diameter: float | None = None,
        inner_diameter: float | None = None,
        initial_tension: float = 0.0,
        hook: str = "full",
        bend_radius: float | None = None,
        side_radius: float | None = None,
        hook_reach: float | None = None,
        design_code: str = "Shigley",
    ) -> ExtensionSpring: ...
    @property
    def wire(self) -> Wire:
        """The wire."""
    @property
    def wire_diameter(self) -> float:
        """Wire diameter d, m."""
    @property
    def mean_diameter(self) -> float:
        """Mean diameter of the coils D, m."""
    @property
    def outer_diameter(self) -> float:
        """Outer diameter D + d, m."""
    @property
    def body_turns(self) -> float:
        """Turns of the body, without the hooks."""
    @property
    def active_turns(self) -> float:
        """Turns that deflect, hooks included."""
    @property
    def index(self) -> float:
        """Spring index D / d."""
    @property
    def initial_tension(self) -> float:
        """Tension that must be overcome before the coils part, N."""
    @property
    def initial_stress(self) -> float:
        """Shear stress of the initial tension without curvature factor, Pa."""
    @property
    def usual_initial_tension(self) -> tuple[float, float]:
        """Least and greatest initial tension that springs of this index are usually wound with, N."""
    @property
    def hook(self) -> str:
        """ "full" or "half"."""
    @property
    def bend_radius(self) -> float:
        """Mean radius of the bend that takes the greatest moment, m."""
    @property
    def side_radius(self) -> float:
        """Mean radius of the bend from the body into the hook, m."""
    @property
    def hook_reach(self) -> float:
        """Inside reach of a hook beyond the body, m."""
    @property
    def design_code(self) -> str:
        """ "Shigley" or "EN 13906"."""
    @property
    def rate(self) -> float:
        """Rate, N/m."""
    @property
    def body_length(self) -> float:
        """Length of the body, m."""
    @property
    def free_length(self) -> float:
        """Length inside the hooks without load, m."""
    @property
    def max_tension(self) -> float:
        """Tension at which body or hook reaches what it bears under static load, N."""
    @property
    def max_length(self) -> float:
        """Length inside the hooks there, m."""
    @property
    def wire_length(self) -> float:
        """Length of the wire, hooks included, m."""
    @property
    def mass(self) -> float:
        """Mass, kg."""
    @property
    def allowable(self) -> ExtensionStresses:
        """What body and hooks bear under static load, Pa."""
    @property
    def line_spring(self) -> LinearSpring:
        """What it does between two points: slack up to the free length, over-stretched beyond max_length."""
    def stresses(self, tension: float) -> ExtensionStresses:
        """Stresses of body and hooks at a tension (N), Pa."""
    def static_safety(self, tension: float) -> float:
        """Safety of body and hooks against yielding at a tension (N)."""
    def fatigue(
        self,
        tensions: tuple[float, float],
        *,
        cycles: float = 1e6,
        surface: str = "unpeened",
        criterion: str = "Gerber",
    ) -> ExtensionLife:
        """Whether body and hooks last a number of cycles between two tensions (N)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    def __getnewargs_ex__(self) -> tuple[tuple[()], dict[str, Any]]: ...

@final
class ExtensionStresses:
    """Stresses of an extension spring, Pa, or what it bears of each."""
    @property
    def body(self) -> float:
        """Shear at the inside of the coils, Pa."""
    @property
    def hook_bending(self) -> float:
        """Bending, with the pull, at the inside of the hook, Pa."""
    @property
    def hook_torsion(self) -> float:
        """Torsion where the hook leaves the body, Pa."""
    def use_of(self, allowed: ExtensionStresses) -> float:
        """The greatest of the three as a share of what is allowed: 1 at the limit."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ExtensionLife:
    """Whether each part of an extension spring lasts."""
    @property
    def body(self) -> LifeVerdict:
        """Shear in the body."""
    @property
    def hook_bending(self) -> LifeVerdict:
        """Bending in the hook."""
    @property
    def hook_torsion(self) -> LifeVerdict:
        """Torsion in the hook."""
    @property
    def safety(self) -> float:
        """The least safety of the three against breaking."""
    @property
    def holds(self) -> bool:
        """Whether no part breaks or yields."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class TorsionSpring:
    """A helical torsion spring of round wire, wound close, loaded so that it winds up.

    wire: a Wire or its designation. One of outer_diameter, mean_diameter, inner_diameter, m. legs: lengths to
    where they bear, m. arbor: diameter of the pin inside, m. design_code: "Shigley" or "EN 13906".

    A wound-up leg that slips strikes: wear eye protection, keep fingers out of its way, let it down with a
    tool.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg, mm
    >>> spring = yw.spring.TorsionSpring(
    ...     wire="ASTM A228", wire_diameter=1 * mm, outer_diameter=10 * mm, body_turns=5
    ... )
    >>> print(f"{1000 * spring.rate * deg:.3f} N mm/deg")
    1.143 N mm/deg
    """
    def __new__(
        cls,
        *,
        wire: Wire | str,
        wire_diameter: float,
        body_turns: float,
        outer_diameter: float | None = None,
        mean_diameter: float | None = None,
        inner_diameter: float | None = None,
        legs: tuple[float, float] = (0.0, 0.0),
        arbor: float | None = None,
        design_code: str = "Shigley",
    ) -> TorsionSpring: ...
    @property
    def wire(self) -> Wire:
        """The wire."""
    @property
    def wire_diameter(self) -> float:
        """Wire diameter d, m."""
    @property
    def mean_diameter(self) -> float:
        """Mean diameter of the unloaded coils D, m."""
    @property
    def outer_diameter(self) -> float:
        """Outer diameter without load, m."""
    @property
    def body_turns(self) -> float:
        """Turns of the body."""
    @property
    def active_turns(self) -> float:
        """Turns that deflect, legs included."""
    @property
    def index(self) -> float:
        """Spring index D / d."""
    @property
    def legs(self) -> tuple[float, float]:
        """Lengths of the legs, m."""
    @property
    def arbor(self) -> float | None:
        """Diameter of the pin inside, m; None if there is none."""
    @property
    def design_code(self) -> str:
        """ "Shigley" or "EN 13906"."""
    @property
    def rate(self) -> float:
        """Rate, N m/rad."""
    @property
    def torque_per_turn(self) -> float:
        """Torque for a whole turn, N m."""
    @property
    def allowable(self) -> float:
        """Bending stress that it bears under static load, Pa."""
    @property
    def max_torque(self) -> float:
        """Torque at which the stress reaches that, N m."""
    @property
    def max_angle(self) -> float:
        """How far it may be wound up, rad."""
    @property
    def limit(self) -> str:
        """What stops it there: "stress" or "arbor"."""
    @property
    def gripping_angle(self) -> float | None:
        """Angle at which the coils close on the arbor, rad; None without one."""
    @property
    def wire_length(self) -> float:
        """Length of the wire, legs included, m."""
    @property
    def mass(self) -> float:
        """Mass, kg."""
    def stress(self, torque: float) -> float:
        """Bending stress at the inside of the coils for a torque (N m), Pa."""
    def static_safety(self, torque: float) -> float:
        """Safety against yielding under a torque (N m)."""
    def state_at(self, angle: float) -> TorsionState:
        """What it is like when wound up by an angle (rad); refused where it would grip its arbor."""
    def fatigue(
        self,
        torques: tuple[float, float],
        *,
        cycles: float = 1e6,
        surface: str = "unpeened",
        criterion: str = "Gerber",
    ) -> TorsionLife:
        """Whether it lasts a number of cycles between two torques (N m)."""
    def linear_torsion_spring(self, free_angle: float, action: str) -> LinearTorsionSpring:
        """What it does about a pivot: legs free at free_angle (rad), wound up from there "above" or "below"."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    def __getnewargs_ex__(self) -> tuple[tuple[()], dict[str, Any]]: ...

@final
class TorsionState:
    """A torsion spring wound up by some angle."""
    @property
    def angle(self) -> float:
        """Angle of one leg against the other from where nothing loads them, rad."""
    @property
    def torque(self) -> float:
        """Torque, N m."""
    @property
    def stress(self) -> float:
        """Bending stress at the inside of the coils, Pa."""
    @property
    def inner_diameter(self) -> float:
        """Inner diameter of the coils, m."""
    @property
    def clearance(self) -> float | None:
        """Inner diameter less that of the arbor, m; None without an arbor."""
    @property
    def body_length(self) -> float:
        """Length of the body along its axis, m."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class TorsionLife:
    """Whether a torsion spring lasts, and how well."""
    @property
    def mean(self) -> float:
        """Mean bending stress of the cycle, Pa."""
    @property
    def alternating(self) -> float:
        """Alternating bending stress of the cycle, Pa."""
    @property
    def cycles(self) -> float:
        """The cycles asked for."""
    @property
    def safety(self) -> float:
        """Safety against breaking within them."""
    @property
    def static_safety(self) -> float:
        """Safety against yielding under the greatest torque."""
    @property
    def holds(self) -> bool:
        """Whether it neither breaks nor yields."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SizedExtension:
    """An extension spring that does what was wanted."""
    @property
    def spring(self) -> ExtensionSpring:
        """The spring."""
    @property
    def lengths(self) -> tuple[float, float]:
        """Length inside the hooks at the beginning and at the end of the travel, m."""
    @property
    def tensions(self) -> tuple[float, float]:
        """Tension there, N."""
    @property
    def static_safety(self) -> float:
        """Safety of body and hooks against yielding at the end of the travel."""
    @property
    def life_safety(self) -> float | None:
        """Safety against breaking within the cycles asked for; None if no life was."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SizedTorsion:
    """A torsion spring that does what was wanted."""
    @property
    def spring(self) -> TorsionSpring:
        """The spring."""
    @property
    def angles(self) -> tuple[float, float]:
        """Angles by which it is wound up at the beginning and at the end of the travel, rad."""
    @property
    def torques(self) -> tuple[float, float]:
        """Torque there, N m."""
    @property
    def static_safety(self) -> float:
        """Safety against yielding at the end of the travel."""
    @property
    def life_safety(self) -> float | None:
        """Safety against breaking within the cycles asked for; None if no life was."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class StockList:
    """A supplier's list of springs, or what lies in the drawer, from CSV.

    A list says what a spring was, not what a used one still is: look for set, rust and nicked hooks.
    """
    @staticmethod
    def read(
        text: str,
        *,
        kind: str,
        columns: dict[str, tuple[str, str]],
        delimiter: str = ",",
        decimal_comma: bool = False,
        wire: Wire | str | None = None,
    ) -> StockList:
        """Reads the text of a CSV file whose first line holds the headings.

        kind: "extension" or "compression". columns: quantity to (heading, unit), of "name" (unit ""), "rate",
        "free_length", "outer_diameter", "limit_length" or "limit_force", and if there are any
        "initial_tension", "wire_diameter". Units: mm, m, in; N, kgf, lbf; N/mm, N/m, kgf/mm, lbf/in. wire: what
        all are made of, a Wire or its designation. A cell that cannot be used is told by line and column.
        """
    @property
    def springs(self) -> list[StockSpring]:
        """The springs, in the order of the list."""
    def with_list(self, other: StockList) -> StockList:
        """This list with another one behind it.

        A spring that stands in both stands twice, for two in the drawer. A name that springs with other figures
        have in the two lists is refused.
        """
    def __len__(self) -> int: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class StockSpring:
    """One spring of a list."""
    @property
    def name(self) -> str:
        """What the supplier calls it."""
    @property
    def kind(self) -> str:
        """ "extension" or "compression"."""
    @property
    def rate(self) -> float:
        """Rate, N/m."""
    @property
    def free_length(self) -> float:
        """Length without load, m."""
    @property
    def initial_tension(self) -> float:
        """Initial tension, N."""
    @property
    def outer_diameter(self) -> float:
        """Outer diameter, m."""
    @property
    def max_deflection(self) -> float:
        """How far it may be stretched or pressed, m."""
    @property
    def line_spring(self) -> LinearSpring:
        """What it does between two points."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class StockChoice:
    """Springs from a list that do what is wanted."""
    @property
    def arrangement(self) -> str:
        """ "single", "opposed", "parallel" or "series"."""
    @property
    def springs(self) -> list[StockSpring]:
        """The spring, or the two of them."""
    @property
    def rate(self) -> float:
        """Rate that the control feels, N/m."""
    @property
    def lengths(self) -> list[float]:
        """Distance of the points that hold them at the beginning of the travel, m; of opposed springs each has its
        own.
        """
    @property
    def force(self) -> float:
        """Force at the beginning of the travel, N."""
    @property
    def use_of_travel(self) -> float:
        """Share of the deflection that they stand which the end of the travel uses."""
    @property
    def life_safety(self) -> float | None:
        """Safety against breaking within the cycles asked for; None if no life was."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def search_stock(
    stock: StockList,
    *,
    rate: float,
    force: float,
    travel: float,
    room: tuple[float, float],
    rate_tolerance: float = 0.1,
    force_tolerance: float = 0.1,
    bore: float | None = None,
    cycles: float | None = None,
    surface: str = "unpeened",
    criterion: str = "Gerber",
    life_safety: float = 1.2,
    arrangements: Sequence[str] | None = None,
) -> SearchResult[StockChoice]:
    """Which springs of a list do a job: alone, opposed, parallel or in series; ranked by how well they meet the
    rate.

    rate: that the control shall feel, N/m. force: at the beginning of the travel, N; of opposed springs in each
    at rest. travel: from there, m; of opposed springs to either side. room: least and greatest distance of the
    points that hold them at the beginning, m. bore: greatest outer diameter, m. Tolerances are shares. cycles:
    how long they shall last, with life_safety against breaking. arrangements: what to try, all four if None;
    one that is named twice is tried once.
    """

def search_extension_springs(
    wires: Sequence[Wire | str],
    *,
    rate: float,
    preload: float,
    travel: float,
    bore: float | None = None,
    longest_start: float | None = None,
    cycles: float | None = None,
    surface: str = "unpeened",
    criterion: str = "Gerber",
    life_safety: float = 1.2,
    static_safety: float = 1.0,
    index: tuple[float, float] = (4.0, 12.0),
    body_turns: tuple[float, float] = (3.0, 200.0),
    hook: str = "full",
    design_code: str = "Shigley",
    coil_steps: int = 200,
) -> SearchResult[SizedExtension]:
    """Extension springs to be made that have a rate (N/m), from a tension preload (N) on, over a travel (m): the
    best of each wire diameter, lightest first.

    bore: greatest outer diameter, m. longest_start: greatest length inside the hooks at the beginning, m.
    cycles: how long it shall last, with life_safety against breaking. static_safety: of body and hooks against
    yielding. index, body_turns: least and most.
    """

def search_torsion_springs(
    wires: Sequence[Wire | str],
    *,
    rate: float,
    preload: float,
    travel: float,
    legs: tuple[float, float] = (0.0, 0.0),
    arbor: float | None = None,
    clearance_share: float = 0.1,
    bore: float | None = None,
    longest_body: float | None = None,
    cycles: float | None = None,
    surface: str = "unpeened",
    criterion: str = "Gerber",
    life_safety: float = 1.2,
    static_safety: float = 1.0,
    index: tuple[float, float] = (4.0, 12.0),
    body_turns: tuple[float, float] = (2.0, 50.0),
    design_code: str = "Shigley",
    coil_steps: int = 200,
) -> SearchResult[SizedTorsion]:
    """Torsion springs to be made that have a rate (N m/rad), from a torque preload (N m) on, over a travel (rad):
    the best of each wire diameter, lightest first.

    legs: lengths to where they bear, m. arbor: diameter of the pin inside, m; clearance_share: share of it that
    must be left at the end of the travel. bore, longest_body: greatest outer diameter and length, m. cycles:
    how long it shall last, with life_safety against breaking.
    """

LineSpring = LinearSpring | ForceTable | CompressionSpring | ExtensionSpring | StockSpring
