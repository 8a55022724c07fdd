"""The compiled half of yokewright; each module of the package passes on its part."""

from collections.abc import Callable, Iterator
from typing import Generic, TypeVar, final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .axis import (
    AngleResiduals as AngleResiduals,
)
from .axis import (
    Arrangement as Arrangement,
)
from .axis import (
    ArrangementCandidate as ArrangementCandidate,
)
from .axis import (
    ArrangementSearch as ArrangementSearch,
)
from .axis import (
    ArrangementSummary as ArrangementSummary,
)
from .axis import (
    Axis as Axis,
)
from .axis import (
    AxisCrosstalk as AxisCrosstalk,
)
from .axis import (
    AxisFigures as AxisFigures,
)
from .axis import (
    BackPlate as BackPlate,
)
from .axis import (
    BenchAdvice as BenchAdvice,
)
from .axis import (
    BenchLog as BenchLog,
)
from .axis import (
    BenchSweep as BenchSweep,
)
from .axis import (
    BestOfKind as BestOfKind,
)
from .axis import (
    BuildRecord as BuildRecord,
)
from .axis import (
    Calibration as Calibration,
)
from .axis import (
    CalibrationCurve as CalibrationCurve,
)
from .axis import (
    CalibrationResiduals as CalibrationResiduals,
)
from .axis import (
    CallableDesign as CallableDesign,
)
from .axis import (
    CameraRuns as CameraRuns,
)
from .axis import (
    CarriedMagnets as CarriedMagnets,
)
from .axis import (
    CarriedSensor as CarriedSensor,
)
from .axis import (
    CenterFigures as CenterFigures,
)
from .axis import (
    ComparedFigures as ComparedFigures,
)
from .axis import (
    Comparison as Comparison,
)
from .axis import (
    ControlDesign as ControlDesign,
)
from .axis import (
    Correction as Correction,
)
from .axis import (
    CorrectionMap as CorrectionMap,
)
from .axis import (
    Crosstalk as Crosstalk,
)
from .axis import (
    CrosstalkFigure as CrosstalkFigure,
)
from .axis import (
    Delay as Delay,
)
from .axis import (
    DeviceDifference as DeviceDifference,
)
from .axis import (
    DevicePair as DevicePair,
)
from .axis import (
    Distribution as Distribution,
)
from .axis import (
    ErrorBudget as ErrorBudget,
)
from .axis import (
    ErrorContribution as ErrorContribution,
)
from .axis import (
    FigureImportance as FigureImportance,
)
from .axis import (
    FigureSpread as FigureSpread,
)
from .axis import (
    Firmware as Firmware,
)
from .axis import (
    GateMap as GateMap,
)
from .axis import (
    HeadOnLayout as HeadOnLayout,
)
from .axis import (
    Hysteresis as Hysteresis,
)
from .axis import (
    Identification as Identification,
)
from .axis import (
    IdentifiedQuantity as IdentifiedQuantity,
)
from .axis import (
    Importance as Importance,
)
from .axis import (
    JustOutside as JustOutside,
)
from .axis import (
    LatencyBudget as LatencyBudget,
)
from .axis import (
    LatencyStage as LatencyStage,
)
from .axis import (
    Line as Line,
)
from .axis import (
    Linearity as Linearity,
)
from .axis import (
    Measure as Measure,
)
from .axis import (
    PairLayout as PairLayout,
)
from .axis import (
    ParetoRow as ParetoRow,
)
from .axis import (
    PointsWorth as PointsWorth,
)
from .axis import (
    RowDoubt as RowDoubt,
)
from .axis import (
    SensorPackage as SensorPackage,
)
from .axis import (
    ShaftEndLayout as ShaftEndLayout,
)
from .axis import (
    StageEffect as StageEffect,
)
from .axis import (
    Sweep as Sweep,
)
from .axis import (
    SwungLayout as SwungLayout,
)
from .axis import (
    TargetYield as TargetYield,
)
from .axis import (
    Tolerance as Tolerance,
)
from .axis import (
    ToleranceAllocation as ToleranceAllocation,
)
from .axis import (
    ToleranceImportance as ToleranceImportance,
)
from .axis import (
    TolerantDesign as TolerantDesign,
)
from .axis import (
    TwoAxis as TwoAxis,
)
from .axis import (
    TwoAxisCalibration as TwoAxisCalibration,
)
from .axis import (
    TwoAxisReading as TwoAxisReading,
)
from .axis import (
    TwoAxisReadings as TwoAxisReadings,
)
from .axis import (
    TwoAxisSweep as TwoAxisSweep,
)
from .axis import (
    WhatIf as WhatIf,
)
from .axis import (
    Yield as Yield,
)
from .axis import (
    YieldStudy as YieldStudy,
)
from .axis import (
    YieldTarget as YieldTarget,
)
from .axis import (
    allocate_tolerances as allocate_tolerances,
)
from .axis import (
    compare as compare,
)
from .axis import (
    compare_devices as compare_devices,
)
from .axis import (
    detectable_difference as detectable_difference,
)
from .axis import (
    error_budget as error_budget,
)
from .axis import (
    hid_logical_range as hid_logical_range,
)
from .axis import (
    hid_usage as hid_usage,
)
from .axis import (
    identify_axis as identify_axis,
)
from .axis import (
    identify_rod as identify_rod,
)
from .axis import (
    linearity as linearity,
)
from .axis import (
    power_of_runs as power_of_runs,
)
from .axis import (
    runs_needed as runs_needed,
)
from .axis import (
    search_arrangements as search_arrangements,
)
from .axis import (
    search_tolerant_designs as search_tolerant_designs,
)
from .axis import (
    student_t as student_t,
)
from .axis import (
    study_importance as study_importance,
)
from .axis import (
    study_what_if as study_what_if,
)
from .axis import (
    study_yield as study_yield,
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
    AngleError as AngleError,
)
from .hall import (
    AngleHarmonics as AngleHarmonics,
)
from .hall import (
    AngleSensor as AngleSensor,
)
from .hall import (
    Averaging as Averaging,
)
from .hall import (
    Converter as Converter,
)
from .hall import (
    LinearHall as LinearHall,
)
from .hall import (
    LowPass as LowPass,
)
from .hall import (
    NoiseBudget as NoiseBudget,
)
from .hall import (
    Potentiometer as Potentiometer,
)
from .hall import (
    SignalChain as SignalChain,
)
from .hall import (
    TypicalPart as TypicalPart,
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
from .hall import (
    ratiometry_error as ratiometry_error,
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
    BillItem as BillItem,
)
from .rig import (
    BrokenControl as BrokenControl,
)
from .rig import (
    ControlYield as ControlYield,
)
from .rig import (
    Cost as Cost,
)
from .rig import (
    CostShare as CostShare,
)
from .rig import (
    Design as Design,
)
from .rig import (
    Evaluation as Evaluation,
)
from .rig import (
    FeelAlong as FeelAlong,
)
from .rig import (
    FeelEvaluation as FeelEvaluation,
)
from .rig import (
    GateEvaluation as GateEvaluation,
)
from .rig import (
    Handling as Handling,
)
from .rig import (
    JointSwivel as JointSwivel,
)
from .rig import (
    LinkageEvaluation as LinkageEvaluation,
)
from .rig import (
    MagnetHandling as MagnetHandling,
)
from .rig import (
    MagnetPull as MagnetPull,
)
from .rig import (
    RigYield as RigYield,
)
from .rig import (
    RodForce as RodForce,
)
from .rig import (
    SlotEvaluation as SlotEvaluation,
)
from .rig import (
    SpringEvaluation as SpringEvaluation,
)
from .rig import (
    StickEvaluation as StickEvaluation,
)
from .rig import (
    Supply as Supply,
)
from .rig import (
    Verdict as Verdict,
)
from .rig import (
    design_schema as design_schema,
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

us: float

ms: float

kHz: float

mV_per_mT: float

mu0: float

_Given = TypeVar("_Given")

def on_one_thread(function: Callable[[], _Given], /) -> _Given:
    """Calls a function without arguments with all loops of yokewright in this thread alone, and gives what it
    gives.

    For one of several workers that share the machine out among themselves, as each task of a process pool or a
    cluster: loops that did so too would only get in each other's way. Not a bit of the results depends on it;
    Ctrl-C and Observer.stop end the calls, and an observer is not told how far they have come.

    >>> import numpy as np
    >>> import yokewright as yw
    >>> bar = yw.magnet.Block((0.005, 0.005, 0.01), (0, 0, 1.2))
    >>> fields, valid = yw.on_one_thread(lambda: bar.fields_at(np.full((10_000, 3), 0.02)))
    >>> bool(valid.all())
    True
    """

@final
class Observer:
    """Sees how far long work has come, and can stop it: all calls within its `with` block, in the same thread.

    `progress(done, total)` is called about every 50 ms with the pieces of the present stage, and once when a
    call is through; what it raises ends the call and comes out of it. Calls without stages of their own tell
    nothing. Ctrl-C ends long calls with or without an observer.

    >>> import numpy as np
    >>> import yokewright as yw
    >>> bar = yw.magnet.Block((0.005, 0.005, 0.01), (0, 0, 1.2))
    >>> with yw.Observer(lambda done, total: print(f"{done} of {total}")):
    ...     fields, valid = bar.fields_at(np.full((10_000, 3), 0.02))
    3 of 3
    """
    def __new__(cls, progress: Callable[[int, int], object] | None = None) -> Observer: ...
    def stop(self) -> None:
        """Ends the calls within the `with` block with a StoppedError, the present one and later ones. May be
        called from any thread.
        """
    @property
    def stopped(self) -> bool:
        """Whether it has been told to stop."""
    def __enter__(self) -> Observer: ...
    def __exit__(self, *_exception: object) -> None: ...

@final
class Pose:
    """Where a part stands: a position (m) and a rotation.

    `rotation` is a rotation vector: its direction is the axis, its length the angle in rad (each part up to ten
    turns), right-hand rule. `a @ b` is first b, then a.
    """
    def __new__(cls, position: ArrayLike = (0.0, 0.0, 0.0), rotation: ArrayLike = (0.0, 0.0, 0.0)) -> Pose: ...
    @staticmethod
    def from_matrix(position: ArrayLike, matrix: ArrayLike) -> Pose:
        """A pose from a position (m) and a 3x3 rotation matrix whose columns are the part's axes."""
    @staticmethod
    def from_axis_angle(position: ArrayLike, axis: ArrayLike, angle: float) -> Pose:
        """A pose from a position (m), an axis of any length and an angle (rad), right-hand rule."""
    @staticmethod
    def from_quaternion(position: ArrayLike, *, w: float, x: float, y: float, z: float) -> Pose:
        """A pose from a position (m) and a unit quaternion w + x i + y j + z k, by name as its order differs from
        program to program.
        """
    @staticmethod
    def from_directions(position: ArrayLike, start: ArrayLike, end: ArrayLike) -> Pose:
        """A pose from a position (m) and the shortest turn that brings one direction of the part's own frame onto
        another.

        start, end: directions of any length. Opposite ones are refused: the axis would be anyone's guess.
        """
    @property
    def position(self) -> Floats:
        """Position, m, shape (3,)."""
    @property
    def rotation(self) -> Floats:
        """Rotation vector, rad, shape (3,)."""
    @property
    def matrix(self) -> Floats:
        """Rotation matrix, shape (3, 3); its columns are the part's axes."""
    def apply(self, points: ArrayLike) -> Floats:
        """Points of the part's own frame, (..., 3), in the frame around it, m, same shape.

        Raises InvalidValueError for a coordinate that is not finite.
        """
    def inverse(self) -> Pose:
        """The pose that undoes this one."""
    def __matmul__(self, other: Pose, /) -> Pose: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Shortfall:
    """A figure of a candidate that misses its limit."""
    @property
    def reason(self) -> str:
        """In words, what is wrong."""
    @property
    def quantity(self) -> str:
        """The quantity that falls short."""
    @property
    def value(self) -> float:
        """Its value."""
    @property
    def limit(self) -> float:
        """The limit that it misses."""
    @property
    def unit(self) -> str:
        """The unit of both."""
    @property
    def share(self) -> float:
        """By how much it misses, for a comparison of what has different units: a share of the limit unless the
        search says otherwise.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Rejection:
    """How many candidates fall short in one thing, and how near the nearest of them came."""
    @property
    def reason(self) -> str:
        """In words, what is wrong with them."""
    @property
    def count(self) -> int:
        """How many. One that falls short in several things counts in each."""
    @property
    def nearest(self) -> Shortfall:
        """The one that misses by least."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

_T_co = TypeVar("_T_co", covariant=True)

@final
class NearMiss(Generic[_T_co]):
    """A candidate that nearly keeps its limits."""
    @property
    def candidate(self) -> _T_co | None:
        """The candidate; None if nothing can be built as it would have to be."""
    @property
    def shortfalls(self) -> list[Shortfall]:
        """What it falls short in, the worst first."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SearchResult(Generic[_T_co]):
    """What a search found: best first; true if it found anything, and to be looped over. str() of it says what the
    others fall short in.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import mm
    >>> springs = yw.spring.search_compression_springs(
    ...     ["EN 10270-1 SM"], rate=2000.0, preload=10.0, travel=15 * mm
    ... )
    >>> print(f"{springs.fitting} of {springs.tried} fit; {len(springs)} are shown")
    1301 of 14800 fit; 26 are shown
    >>> print(f"{springs.best().spring.wire_diameter / mm:.1f} mm wire")
    1.2 mm wire
    >>> springs.rejected[0].reason
    'too many active turns'
    """
    @property
    def what(self) -> str:
        """What was searched for."""
    @property
    def found(self) -> list[_T_co]:
        """Those that keep every limit, best first."""
    def best(self) -> _T_co:
        """The best of all; raises NothingFoundError, which says what the nearest falls short in."""
    @property
    def nearest(self) -> NearMiss[_T_co] | None:
        """If none was found: the candidate whose worst shortfall is least."""
    @property
    def rejected(self) -> list[Rejection]:
        """What the candidates that were tried fall short in, the most frequent first."""
    @property
    def tried(self) -> int:
        """How many candidates were tried."""
    @property
    def fitting(self) -> int:
        """How many of them keep every limit."""
    def __len__(self) -> int: ...
    def __iter__(self) -> Iterator[_T_co]: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...
