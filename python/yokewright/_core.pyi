"""The compiled half of yokewright; each module of the package passes on its part."""

from collections.abc import Callable, Iterator
from typing import Any, Generic, TypeVar, final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .axis import (
    ArmLayout as ArmLayout,
)
from .axis import (
    Axis as Axis,
)
from .axis import (
    AxisFigures as AxisFigures,
)
from .axis import (
    CenterFigures as CenterFigures,
)
from .axis import (
    LayoutCandidate as LayoutCandidate,
)
from .axis import (
    Line as Line,
)
from .axis import (
    Linearity as Linearity,
)
from .axis import (
    Sweep as Sweep,
)
from .axis import (
    linearity as linearity,
)
from .axis import (
    search_layouts as search_layouts,
)
from .feel import (
    GUIDANCE_CAVEAT as GUIDANCE_CAVEAT,
)
from .feel import (
    Anchor as Anchor,
)
from .feel import (
    CapturedSpring as CapturedSpring,
)
from .feel import (
    Centering as Centering,
)
from .feel import (
    Control as Control,
)
from .feel import (
    ControlMeasurements as ControlMeasurements,
)
from .feel import (
    ControlState as ControlState,
)
from .feel import (
    Drive as Drive,
)
from .feel import (
    Element as Element,
)
from .feel import (
    Equilibrium as Equilibrium,
)
from .feel import (
    EquilibriumBand as EquilibriumBand,
)
from .feel import (
    ForceCurve as ForceCurve,
)
from .feel import (
    FreeResponse as FreeResponse,
)
from .feel import (
    GuidanceComparison as GuidanceComparison,
)
from .feel import (
    GuidanceFigure as GuidanceFigure,
)
from .feel import (
    SecondOrderResponse as SecondOrderResponse,
)
from .feel import (
    SpringDemand as SpringDemand,
)
from .feel import (
    SpringEnvelope as SpringEnvelope,
)
from .feel import (
    SpringFit as SpringFit,
)
from .feel import (
    SpringOperatingPoint as SpringOperatingPoint,
)
from .feel import (
    compare_with_guidance as compare_with_guidance,
)
from .feel import (
    friction_torque as friction_torque,
)
from .feel import (
    gradient_limits as gradient_limits,
)
from .feel import (
    guides_for as guides_for,
)
from .feel import (
    min_maneuver_force as min_maneuver_force,
)
from .feel import (
    noticeable_steps as noticeable_steps,
)
from .hall import (
    Converter as Converter,
)
from .hall import (
    LinearHall as LinearHall,
)
from .hall import (
    RotarySensor as RotarySensor,
)
from .hall import (
    bits_from_averaging as bits_from_averaging,
)
from .hall import (
    bits_from_snr_db as bits_from_snr_db,
)
from .hall import (
    noise_from_density as noise_from_density,
)
from .linkage import (
    Arm as Arm,
)
from .linkage import (
    BallRod as BallRod,
)
from .linkage import (
    BallRodDesign as BallRodDesign,
)
from .linkage import (
    BallRodFigures as BallRodFigures,
)
from .linkage import (
    CenteredFourBar as CenteredFourBar,
)
from .linkage import (
    Clearance as Clearance,
)
from .linkage import (
    DeadCenter as DeadCenter,
)
from .linkage import (
    Envelope as Envelope,
)
from .linkage import (
    FixedRatio as FixedRatio,
)
from .linkage import (
    FourBar as FourBar,
)
from .linkage import (
    FourBarFit as FourBarFit,
)
from .linkage import (
    FourBarMotion as FourBarMotion,
)
from .linkage import (
    FourBarPose as FourBarPose,
)
from .linkage import (
    FourBarSolutions as FourBarSolutions,
)
from .linkage import (
    FreeArm as FreeArm,
)
from .linkage import (
    Gate as Gate,
)
from .linkage import (
    Gimbal as Gimbal,
)
from .linkage import (
    GripTravel as GripTravel,
)
from .linkage import (
    Lever as Lever,
)
from .linkage import (
    Obstacle as Obstacle,
)
from .linkage import (
    PadPose as PadPose,
)
from .linkage import (
    Pedal as Pedal,
)
from .linkage import (
    PedalEnd as PedalEnd,
)
from .linkage import (
    PedalFigures as PedalFigures,
)
from .linkage import (
    PedalLoads as PedalLoads,
)
from .linkage import (
    PedalPair as PedalPair,
)
from .linkage import (
    PedalPose as PedalPose,
)
from .linkage import (
    PedalPoses as PedalPoses,
)
from .linkage import (
    PedalTransmission as PedalTransmission,
)
from .linkage import (
    Pivot as Pivot,
)
from .linkage import (
    Rod as Rod,
)
from .linkage import (
    RodEnd as RodEnd,
)
from .linkage import (
    RodLoad as RodLoad,
)
from .linkage import (
    RodLoads as RodLoads,
)
from .linkage import (
    RodMaterial as RodMaterial,
)
from .linkage import (
    RodSection as RodSection,
)
from .linkage import (
    SlideDeadCenter as SlideDeadCenter,
)
from .linkage import (
    SliderCrank as SliderCrank,
)
from .linkage import (
    SliderCrankMotion as SliderCrankMotion,
)
from .linkage import (
    SliderCrankPose as SliderCrankPose,
)
from .linkage import (
    SlideTransfer as SlideTransfer,
)
from .linkage import (
    SlideTransfers as SlideTransfers,
)
from .linkage import (
    Stop as Stop,
)
from .linkage import (
    StopLoad as StopLoad,
)
from .linkage import (
    StoppedTravel as StoppedTravel,
)
from .linkage import (
    ThreePointFourBar as ThreePointFourBar,
)
from .linkage import (
    Transfer as Transfer,
)
from .linkage import (
    Transfers as Transfers,
)
from .linkage import (
    TransmissionChain as TransmissionChain,
)
from .linkage import (
    TransmissionEnd as TransmissionEnd,
)
from .linkage import (
    UniversalJoint as UniversalJoint,
)
from .linkage import (
    chebyshev_spacing as chebyshev_spacing,
)
from .linkage import (
    search_ball_rods as search_ball_rods,
)
from .linkage import (
    search_four_bars as search_four_bars,
)
from .linkage import (
    solve_four_bars as solve_four_bars,
)
from .linkage import (
    three_point_four_bar as three_point_four_bar,
)
from .magnet import (
    ActiveArea as ActiveArea,
)
from .magnet import (
    AreaMean as AreaMean,
)
from .magnet import (
    Block as Block,
)
from .magnet import (
    Cylinder as Cylinder,
)
from .magnet import (
    FieldSource as FieldSource,
)
from .magnet import (
    Grade as Grade,
)
from .magnet import (
    Magnet as Magnet,
)
from .magnet import (
    MagnetGroup as MagnetGroup,
)
from .magnet import (
    MagnetsOverPlate as MagnetsOverPlate,
)
from .magnet import (
    Pull as Pull,
)
from .magnet import (
    RatedValue as RatedValue,
)
from .magnet import (
    Ring as Ring,
)
from .magnet import (
    Sphere as Sphere,
)
from .magnet import (
    SteelPlate as SteelPlate,
)
from .magnet import (
    WorkingPoint as WorkingPoint,
)
from .magnet import (
    contact_force as contact_force,
)
from .magnet import (
    demagnetizing_factor as demagnetizing_factor,
)
from .magnet import (
    demagnetizing_factors as demagnetizing_factors,
)
from .magnet import (
    interaction_energy as interaction_energy,
)
from .magnet import (
    pull as pull,
)
from .rig import (
    DESIGN_KEYS as DESIGN_KEYS,
)
from .rig import (
    AxisEvaluation as AxisEvaluation,
)
from .rig import (
    BrokenAxis as BrokenAxis,
)
from .rig import (
    Design as Design,
)
from .rig import (
    Evaluation as Evaluation,
)
from .rig import (
    Verdict as Verdict,
)
from .spring import (
    AllowableShares as AllowableShares,
)
from .spring import (
    CompressionSpring as CompressionSpring,
)
from .spring import (
    Endurance as Endurance,
)
from .spring import (
    ExtensionLife as ExtensionLife,
)
from .spring import (
    ExtensionSpring as ExtensionSpring,
)
from .spring import (
    ExtensionStresses as ExtensionStresses,
)
from .spring import (
    ForceTable as ForceTable,
)
from .spring import (
    LifeVerdict as LifeVerdict,
)
from .spring import (
    LinearSpring as LinearSpring,
)
from .spring import (
    LinearTorsionSpring as LinearTorsionSpring,
)
from .spring import (
    SizedExtension as SizedExtension,
)
from .spring import (
    SizedSpring as SizedSpring,
)
from .spring import (
    SizedTorsion as SizedTorsion,
)
from .spring import (
    SpringResponse as SpringResponse,
)
from .spring import (
    SpringResponses as SpringResponses,
)
from .spring import (
    StockChoice as StockChoice,
)
from .spring import (
    StockList as StockList,
)
from .spring import (
    StockSpring as StockSpring,
)
from .spring import (
    TorsionLife as TorsionLife,
)
from .spring import (
    TorsionResponse as TorsionResponse,
)
from .spring import (
    TorsionSpring as TorsionSpring,
)
from .spring import (
    TorsionState as TorsionState,
)
from .spring import (
    Wire as Wire,
)
from .spring import (
    search_compression_springs as search_compression_springs,
)
from .spring import (
    search_extension_springs as search_extension_springs,
)
from .spring import (
    search_stock as search_stock,
)
from .spring import (
    search_torsion_springs as search_torsion_springs,
)

Floats = NDArray[np.float64]

Mask = NDArray[np.bool_]

__version__: str

CAUTIONS: tuple[str, ...]

um: float

mm: float

deg: float

uT: float

mT: float

gauss: float

uV: float

mV: float

kHz: float

mV_per_mT: float

mu0: float

@final
class Observer:
    def __new__(cls, progress: Callable[[int, int], object] | None = None) -> Observer: ...
    def stop(self) -> None: ...
    @property
    def stopped(self) -> bool: ...
    def __enter__(self) -> Observer: ...
    def __exit__(self, *_exception: object) -> None: ...

@final
class Pose:
    def __new__(cls, position: ArrayLike = (0.0, 0.0, 0.0), rotation: ArrayLike = (0.0, 0.0, 0.0)) -> Pose: ...
    @staticmethod
    def from_matrix(position: ArrayLike, matrix: ArrayLike) -> Pose: ...
    @staticmethod
    def from_axis_angle(position: ArrayLike, axis: ArrayLike, angle: float) -> Pose: ...
    @staticmethod
    def from_quaternion(position: ArrayLike, *, w: float, x: float, y: float, z: float) -> Pose: ...
    @staticmethod
    def from_directions(position: ArrayLike, start: ArrayLike, end: ArrayLike) -> Pose: ...
    @property
    def position(self) -> Floats: ...
    @property
    def rotation(self) -> Floats: ...
    @property
    def matrix(self) -> Floats: ...
    def apply(self, points: ArrayLike) -> Floats: ...
    def inverse(self) -> Pose: ...
    def __matmul__(self, other: Pose, /) -> Pose: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Shortfall:
    @property
    def reason(self) -> str: ...
    @property
    def quantity(self) -> str: ...
    @property
    def value(self) -> float: ...
    @property
    def limit(self) -> float: ...
    @property
    def unit(self) -> str: ...
    @property
    def share(self) -> float: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Rejection:
    @property
    def reason(self) -> str: ...
    @property
    def count(self) -> int: ...
    @property
    def nearest(self) -> Shortfall: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

_T_co = TypeVar("_T_co", covariant=True)

@final
class NearMiss(Generic[_T_co]):
    @property
    def candidate(self) -> _T_co | None: ...
    @property
    def shortfalls(self) -> list[Shortfall]: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SearchResult(Generic[_T_co]):
    @property
    def what(self) -> str: ...
    @property
    def found(self) -> list[_T_co]: ...
    def best(self) -> _T_co: ...
    @property
    def nearest(self) -> NearMiss[_T_co] | None: ...
    @property
    def rejected(self) -> list[Rejection]: ...
    @property
    def tried(self) -> int: ...
    @property
    def fitting(self) -> int: ...
    def __len__(self) -> int: ...
    def __iter__(self) -> Iterator[_T_co]: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
