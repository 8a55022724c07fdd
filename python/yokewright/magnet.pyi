"""Permanent magnets: the flux density anywhere around and inside them, and the forces between them."""

from collections.abc import Sequence
from typing import Any, Literal, TypeAlias, final, overload

from numpy.typing import ArrayLike
from typing_extensions import Self, disjoint_base

from ._core import Floats, Mask, Pose

__all__ = [
    "ActiveArea",
    "AreaMean",
    "Block",
    "Cylinder",
    "FieldSource",
    "Grade",
    "Magnet",
    "MagnetGroup",
    "MagnetsOverPlate",
    "Pull",
    "RatedValue",
    "Ring",
    "Sphere",
    "SteelPlate",
    "WorkingPoint",
    "contact_force",
    "demagnetizing_factor",
    "demagnetizing_factors",
    "interaction_energy",
    "pull",
]

# What is to be filled: fields, then the mask, or None if that is not wanted.
_Fields: TypeAlias = tuple[Floats, Mask | None]

@disjoint_base
class FieldSource:
    """Whatever has a flux density: a Magnet, a MagnetGroup or MagnetsOverPlate.

    Inside the material B = mu0 H + J; on a face the limit from outside; on an edge there is no value, nor
    inside a steel plate. Calls for one point (3,) raise NoFieldError there, and InvalidValueError for a point
    that is not finite or beyond 1e6 m. Calls for many points (..., 3) give values and a mask (...) of the
    points that have one; the others are NaN and False. They release the interpreter lock.
    """
    def distance(self, point: ArrayLike) -> float:
        """Distance of a point from the nearest surface, m: positive outside, negative inside a magnet or behind
        the face of a plate.
        """
    def field_at(self, point: ArrayLike) -> Floats:
        """Flux density at one point (3,), T, shape (3,)."""
    @overload
    def fields_at(self, points: ArrayLike, *, out: None = None) -> tuple[Floats, Mask]:
        """Flux density at many points (..., 3): T, same shape, and a mask (...).

        out: arrays to be filled instead of new ones: (fields (..., 3), valid (...)), None in place of a mask
        that is not wanted; it is given back. A call that is interrupted leaves them filled in part.
        """
    @overload
    def fields_at(self, points: ArrayLike, *, out: _Fields) -> _Fields: ...
    def gradient_at(self, point: ArrayLike) -> Floats:
        """Gradient tensor at one point (3,): G[i, j] = dB_i / dx_j, T/m, shape (3, 3)."""
    def gradients_at(self, points: ArrayLike) -> tuple[Floats, Mask]:
        """Gradient tensors at many points (..., 3): T/m, shape (..., 3, 3), and a mask (...)."""
    def h_at(self, point: ArrayLike) -> Floats:
        """Field strength H at one point (3,), A/m, shape (3,): B = mu0 H + J."""
    def hs_at(self, points: ArrayLike) -> tuple[Floats, Mask]:
        """Field strength H at many points (..., 3): A/m, same shape, and a mask (...)."""
    def polarization_at(self, point: ArrayLike) -> Floats:
        """Polarization J at one point (3,), in the frame of the query, T, shape (3,): zero outside."""
    def polarizations_at(self, points: ArrayLike) -> tuple[Floats, Mask]:
        """Polarization J at many points (..., 3): T, same shape, and a mask (...)."""

@disjoint_base
class Magnet(FieldSource):
    """A uniformly polarized magnet of any shape; made as Block, Cylinder, Ring or Sphere."""
    @property
    def polarization(self) -> Floats:
        """Polarization in the magnet's own frame, T, shape (3,)."""
    @property
    def pose(self) -> Pose:
        """Where the magnet stands."""
    def moved(self, pose: Pose) -> Self:
        """The same magnet moved by a pose, applied after its present one."""
    @property
    def volume(self) -> float:
        """Volume of the material, m3."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Block(Magnet):
    """A rectangular magnet.

    size: side lengths, m. polarization: T, in the magnet's own frame. pose: where it stands.
    """
    def __new__(cls, size: ArrayLike, polarization: ArrayLike, pose: Pose | None = None) -> Block: ...
    @property
    def size(self) -> Floats:
        """Side lengths, m, shape (3,)."""
    def __getnewargs_ex__(self) -> tuple[tuple[()], dict[str, Any]]: ...

@final
class Cylinder(Magnet):
    """A solid cylinder; its axis is the z axis of its own frame.

    diameter, length: m. polarization: T, in the magnet's own frame. pose: where it stands.
    """
    def __new__(cls, diameter: float, length: float, polarization: ArrayLike, pose: Pose | None = None) -> Cylinder: ...
    @property
    def diameter(self) -> float:
        """Diameter, m."""
    @property
    def length(self) -> float:
        """Length, m."""
    def __getnewargs_ex__(self) -> tuple[tuple[()], dict[str, Any]]: ...

@final
class Ring(Magnet):
    """A ring (hollow cylinder); its axis is the z axis of its own frame.

    outer_diameter, inner_diameter, length: m. polarization: T, in the magnet's own frame. pose: where it
    stands.
    """
    def __new__(
        cls,
        outer_diameter: float,
        inner_diameter: float,
        length: float,
        polarization: ArrayLike,
        pose: Pose | None = None,
    ) -> Ring: ...
    @property
    def outer_diameter(self) -> float:
        """Outer diameter, m."""
    @property
    def inner_diameter(self) -> float:
        """Inner diameter, m."""
    @property
    def length(self) -> float:
        """Length, m."""
    def __getnewargs_ex__(self) -> tuple[tuple[()], dict[str, Any]]: ...

@final
class Sphere(Magnet):
    """A ball.

    diameter: m. polarization: T, in the magnet's own frame. pose: where it stands.
    """
    def __new__(cls, diameter: float, polarization: ArrayLike, pose: Pose | None = None) -> Sphere: ...
    @property
    def diameter(self) -> float:
        """Diameter, m."""
    def __getnewargs_ex__(self) -> tuple[tuple[()], dict[str, Any]]: ...

@final
class MagnetGroup(FieldSource):
    """Magnets that act together; their fields add up.

    magnets: Magnets and MagnetGroups, which become one flat list. Magnets that reach into each other raise
    CollisionError, as no two parts can; touching is fine. MagnetGroup.superposed takes them, too.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import mT, mm
    >>> pair = yw.magnet.MagnetGroup(
    ...     [
    ...         yw.magnet.Block((5 * mm, 5 * mm, 5 * mm), (0, 0, 1.3), yw.Pose((0, side * 4 * mm, 0)))
    ...         for side in (-1, 1)
    ...     ]
    ... )
    >>> print(f"{pair.field_at((0, 0, 8 * mm))[2] / mT:.2f} mT")
    50.83 mT
    """
    def __new__(cls, magnets: Sequence[Magnet | MagnetGroup]) -> MagnetGroup: ...
    @staticmethod
    def superposed(magnets: Sequence[Magnet | MagnetGroup]) -> MagnetGroup:
        """A group whose magnets may reach into each other: one polarized the other way stands for a hole in the
        other.
        """
    @property
    def is_superposed(self) -> bool:
        """Whether it was made by MagnetGroup.superposed, or holds a part that was."""
    @property
    def magnets(self) -> list[Magnet]:
        """The magnets, in the order given."""
    @property
    def volume(self) -> float | None:
        """Volume of the material, m3; None of a superposed group, whose parts are no solids."""
    @property
    def center(self) -> Floats:
        """Mean of the centers of its magnets, each weighted by its volume, m, shape (3,)."""
    def moved(self, pose: Pose) -> MagnetGroup:
        """The whole group moved by a pose."""
    def __len__(self) -> int: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class ActiveArea:
    """A sensor's flat active area: a rectangle or a disc in the xy plane of its pose, its normal along +z."""
    @staticmethod
    def rectangle(width: float, height: float, pose: Pose | None = None) -> ActiveArea:
        """A rectangle of the given sides (m) along its own x and y."""
    @staticmethod
    def disc(diameter: float, pose: Pose | None = None) -> ActiveArea:
        """A disc of the given diameter (m)."""
    @property
    def width(self) -> float | None:
        """Side along x, m; None of a disc."""
    @property
    def height(self) -> float | None:
        """Side along y, m; None of a disc."""
    @property
    def diameter(self) -> float | None:
        """Diameter, m; None of a rectangle."""
    @property
    def surface(self) -> float:
        """Surface, m2."""
    @property
    def pose(self) -> Pose:
        """Where the area stands."""
    def mean_field(self, source: FieldSource, tolerance: float = 1e-9) -> AreaMean:
        """Mean flux density over the area, T; the order rises until two successive rules agree to tolerance times
        the mean of |B|.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class AreaMean:
    """A mean with what is known of its error."""
    @property
    def value(self) -> Floats:
        """Mean flux density, T, shape (3,)."""
    @property
    def error_estimate(self) -> float:
        """How much the last raise of the order changed it, T."""
    @property
    def points(self) -> int:
        """Points of the rule that gave it."""

@final
class SteelPlate:
    """A thick, flat, unsaturated plate of soft steel; magnets in front of it act together with their mirror
    images.

    point: of its face, m. normal: away from the steel, to where the magnets are.
    """
    def __new__(cls, point: ArrayLike, normal: ArrayLike) -> SteelPlate: ...
    @property
    def point(self) -> Floats:
        """A point of the face, m, shape (3,)."""
    @property
    def normal(self) -> Floats:
        """Direction away from the steel, as given, shape (3,)."""
    def distance(self, point: ArrayLike) -> float:
        """How far a point lies in front of the face, m; negative inside the steel."""
    def moved(self, pose: Pose) -> SteelPlate:
        """The same plate moved by a pose."""
    def gap(self, magnets: Magnet | MagnetGroup) -> float:
        """The gap between the plate and the nearest magnet, m."""
    def images(self, magnets: Magnet | MagnetGroup) -> MagnetGroup:
        """The mirror images of the magnets."""
    def with_images(self, magnets: Magnet | MagnetGroup) -> MagnetGroup:
        """The magnets together with their images, for what lies in front of the face."""
    def over(self, magnets: Magnet | MagnetGroup) -> MagnetsOverPlate:
        """The field of the magnets over this plate; points behind its face are refused."""
    def thickness_for(self, magnets: Magnet | MagnetGroup, saturation: float = 2.0) -> float:
        """The thickness (m) at which the flux just brings the plate to saturation (T): an estimate."""
    def pull(
        self,
        magnets: Magnet | MagnetGroup,
        about: ArrayLike | None = None,
        tolerance: float = 1e-9,
    ) -> Pull:
        """Force and torque of the plate on the magnets, the torque about a point; left out: about their center."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class MagnetsOverPlate(FieldSource):
    """Magnets over a steel plate, made by SteelPlate.over: the field in front of its face. Points behind it have
    none.
    """
    @property
    def plate(self) -> SteelPlate:
        """The plate."""
    @property
    def magnets(self) -> MagnetGroup:
        """The magnets, without their images."""
    @property
    def group(self) -> MagnetGroup:
        """The magnets and their images."""
    def moved(self, pose: Pose) -> MagnetsOverPlate:
        """Magnets and plate moved together by a pose."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Pull:
    """Force and torque on magnets."""
    @property
    def force(self) -> Floats:
        """Force, N, shape (3,)."""
    @property
    def torque(self) -> Floats:
        """Torque about the point asked for, N m, shape (3,)."""
    @property
    def force_error(self) -> float:
        """Estimated numerical error of the force, N."""
    @property
    def torque_error(self) -> float:
        """Estimated numerical error of the torque, N m."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def pull(
    by: Magnet | MagnetGroup,
    on: Magnet | MagnetGroup,
    about: ArrayLike | None = None,
    tolerance: float = 1e-9,
) -> Pull:
    """Force and torque of the magnets `by` on the magnets `on`, the torque about a point; left out: about the
    center of those acted on.
    """

def interaction_energy(by: Magnet | MagnetGroup, on: Magnet | MagnetGroup) -> float:
    """Energy of two sets of magnets in each other's field, J: zero far apart, negative where they attract."""

def contact_force(magnet: Magnet) -> float:
    """The force with which two such magnets hold together pole to pole, N: what fingers between them may have to
    bear.
    """

@final
class RatedValue:
    """A figure as a table prints it: a typical value, a least one, or two of least, typical and greatest."""
    def __new__(
        cls, *, min: float | None = None, typical: float | None = None, max: float | None = None
    ) -> RatedValue: ...
    @property
    def lowest(self) -> float:
        """The least value printed; if there is none, the typical one."""
    @property
    def nominal(self) -> float:
        """The typical value printed; if there is none, the middle of least and greatest, or the least."""
    @property
    def highest(self) -> float:
        """The greatest value printed; if there is none, the typical one, or the least."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
    def __getnewargs_ex__(self) -> tuple[tuple[()], dict[str, Any]]: ...

@final
class Grade:
    """A grade of magnet material: its figures at 20 degC, how they change with temperature, and where they come
    from.

    Grade.named("N42SH") for one of the trade's or of IEC 60404-8-1; the constructor for one of your own.
    Figures are Figure objects or numbers (typical). remanence: T. coercivities: A/m. energy_product: J/m3.
    coefficients: 1/K. density: kg/m3. *_celsius: degC. sources: (what it covers, text, "seen" | "from memory" |
    "common practice").
    """
    def __new__(
        cls,
        *,
        name: str,
        family: str = "other",
        remanence: RatedValue | float,
        intrinsic_coercivity: RatedValue | float,
        remanence_coefficient: float,
        coercivity_coefficient: RatedValue | float,
        recoil_permeability: float,
        density: RatedValue | float,
        min_celsius: float,
        max_celsius: float,
        sources: Sequence[tuple[str, str, str]],
        squareness: float = 0.9,
        normal_coercivity: RatedValue | float | None = None,
        energy_product: RatedValue | float | None = None,
        curie_celsius: RatedValue | float | None = None,
    ) -> Grade: ...
    @staticmethod
    def named(name: str) -> Grade:
        """A grade by its designation; case, spaces, hyphens and underscores make no difference."""
    @staticmethod
    def all() -> list[Grade]:
        """Every grade that has a name."""
    @property
    def name(self) -> str:
        """Designation."""
    @property
    def family(self) -> str:
        """Kind of material."""
    @property
    def remanence(self) -> RatedValue:
        """Remanence at 20 degC, T."""
    @property
    def intrinsic_coercivity(self) -> RatedValue:
        """Intrinsic coercivity HcJ at 20 degC, A/m."""
    @property
    def normal_coercivity(self) -> RatedValue | None:
        """Coercivity HcB at 20 degC, A/m, if printed."""
    @property
    def energy_product(self) -> RatedValue | None:
        """Largest energy product, J/m3, if printed."""
    @property
    def remanence_coefficient(self) -> float:
        """Temperature coefficient of the remanence, 1/K."""
    @property
    def coercivity_coefficient(self) -> RatedValue:
        """Temperature coefficient of the intrinsic coercivity, 1/K."""
    @property
    def recoil_permeability(self) -> float:
        """Relative recoil permeability."""
    @property
    def squareness(self) -> float:
        """Field strength of the knee as a share of HcJ."""
    @property
    def density(self) -> RatedValue:
        """Density, kg/m3."""
    @property
    def min_celsius(self) -> float:
        """Lowest temperature for which the coefficients hold, degC."""
    @property
    def max_celsius(self) -> float:
        """Maximum working temperature, degC."""
    @property
    def curie_celsius(self) -> RatedValue | None:
        """Curie temperature, degC, if printed."""
    @property
    def sources(self) -> list[tuple[str, str, str]]:
        """Where the figures come from: (what it covers, text, provenance)."""
    def remanence_at(self, celsius: float, bound: Literal["lowest", "nominal", "highest"] = "nominal") -> float:
        """Remanence at a temperature (degC), T."""
    def intrinsic_coercivity_at(
        self, celsius: float, bound: Literal["lowest", "nominal", "highest"] = "nominal"
    ) -> float:
        """Intrinsic coercivity HcJ at a temperature (degC), A/m."""
    def knee_at(self, celsius: float) -> float:
        """Field strength of the knee at a temperature (degC), A/m, positive."""
    def mass(self, magnet: Magnet | MagnetGroup) -> float:
        """Mass of a magnet or a group made of this grade, kg."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class WorkingPoint:
    """Where a magnet works on its demagnetization curve, and how far that is from losing flux for good.

    demagnetizing_factor: along the polarization. celsius: degC. external_field: A/m, positive along the
    polarization. bound: "lowest", "nominal" or "highest" remanence.
    """
    def __new__(
        cls,
        grade: Grade,
        demagnetizing_factor: float,
        *,
        celsius: float = 20.0,
        external_field: float = 0.0,
        bound: Literal["lowest", "nominal", "highest"] = "nominal",
    ) -> WorkingPoint: ...
    @property
    def grade(self) -> Grade:
        """The grade."""
    @property
    def demagnetizing_factor(self) -> float:
        """Demagnetizing factor along the polarization."""
    @property
    def celsius(self) -> float:
        """Temperature, degC."""
    @property
    def external_field(self) -> float:
        """Field strength from outside, A/m."""
    @property
    def bound(self) -> Literal["lowest", "nominal", "highest"]:
        """ "lowest", "nominal" or "highest" remanence."""
    @property
    def remanence(self) -> float:
        """Remanence at the temperature, T."""
    @property
    def polarization(self) -> float:
        """Effective polarization, T: what to build the magnet with."""
    @property
    def flux_density(self) -> float:
        """Mean flux density inside, T."""
    @property
    def field_strength(self) -> float:
        """Mean field strength inside, A/m; negative as it opposes the polarization."""
    @property
    def permeance_coefficient(self) -> float:
        """Permeance coefficient, (1 - N) / N."""
    @property
    def knee(self) -> tuple[float, float]:
        """The knee: field strength (A/m, negative) and flux density (T)."""
    @property
    def margin(self) -> float:
        """How much further the field strength may fall before the knee, A/m; negative past it."""
    @property
    def opposing_field_left(self) -> float:
        """How much more opposing field from outside the magnet bears, A/m."""
    @property
    def reversible_loss(self) -> float:
        """Share of the polarization lost against 20 degC; it returns with the temperature."""
    @property
    def reversible_celsius(self) -> tuple[float, float] | None:
        """Lowest and highest temperature (degC) at which it stays above its knee; None if it is past it at 20
        degC.
        """
    @property
    def reversible(self) -> bool:
        """Whether the working point lies above the knee."""
    @property
    def condition(self) -> str:
        """What that means, in words."""
    def recoil_line(self, field_strength: float) -> float:
        """Flux density on the recoil line at a field strength (A/m), T."""
    def load_line(self, field_strength: float) -> float:
        """Flux density on the load line at a field strength (A/m), T."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def demagnetizing_factors(magnet: Magnet) -> Floats:
    """Demagnetizing factors of a magnet along its own x, y and z, shape (3,): magnetometric, for uniform
    polarization.
    """

def demagnetizing_factor(magnet: Magnet, direction: ArrayLike | None = None) -> float:
    """Demagnetizing factor of a magnet along a direction in its own frame; left out: along its polarization."""
