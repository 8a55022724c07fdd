//! One control from hand to count: magnets, pivot, sensor and converter in a row.
//!
//! [`Axis`] is the general control in space; an [`Arrangement`] makes one from the measures of a builder: a magnet
//! swung past the sensor ([`SwungLayout`], the usual one), two side by side ([`PairLayout`]), one that comes towards it
//! ([`HeadOnLayout`]), one on a shaft ([`ShaftEndLayout`]). [`Sweep`] is the curve angle -> flux density -> volts ->
//! counts, [`AxisFigures`] what the curve amounts to, [`search_arrangements`] the best of magnets, sensors and all
//! measures.
//! [`Axis::error_budget`] adds up what a reading may be wrong by, and [`compare`] sets several controls side by side.
//! [`TwoAxis`] is a stick with a sensor for each of its two axes, [`TwoAxisSweep`] what was measured of a built one.
//! [`LatencyBudget`] adds up how slow a control is, from hand to screen, and [`CameraRuns`] is what a camera measures.
//! What was measured on the bench is read as a [`BenchLog`]; the [`BenchSweep`] in it becomes a [`Calibration`], and
//! this a [`Firmware`]; [`identify_axis`] tells which dimension is off.

mod arrangement;
mod arrangement_search;
mod bench;
mod budget;
mod channel;
mod clearance;
mod compare;
mod control;
mod curve;
mod evaluated;
mod figures;
mod flux;
mod grid;
mod latency;
mod linearity;
mod passing;
mod reading;
pub mod requirement;
mod signal;
mod stick;
mod sweep;
mod tolerance;
mod turns;

pub use crate::numeric::line::Line;
pub use arrangement::{
    AnyArrangement, ArrangedParts, Arrangement, BackPlate, HeadOnLayout, HeadOnLayoutSpec,
    MagnetSide, Measure, MeasureValue, Mounting, PairCarrier, PairLayout, PairLayoutSpec,
    PlateHolder, SensorPackage, ShaftEndLayout, ShaftEndLayoutSpec, ShaftSide, SwungLayout,
    SwungLayoutSpec,
};
pub use arrangement_search::{
    ArrangementCandidate, ArrangementDemand, ArrangementKind, ArrangementObjective,
    ArrangementSearch, ArrangementSummary, BestOfKind, Character, JustOutside, ParetoRow,
    VariedMeasure, search_arrangements,
};
pub use bench::{
    AxisUnknown, BenchAdvice, BenchAngleUnit, BenchFormat, BenchLog, BenchRow, BenchSweep,
    Calibration, CalibrationCurve, CalibrationForm, CalibrationResiduals, CalibrationSpec,
    DoubtReason, Firmware, FirmwareSpec, Hysteresis, Identification, IdentificationSpec,
    IdentifiedQuantity, KnotPlacement, PointsWorth, RodUnknown, RowDoubt, Sought, SweepDirection,
    identify_axis, identify_rod,
};
pub use budget::{
    CalibrationMethod, ErrorBudget, ErrorBudgetSpec, ErrorCause, ErrorContribution,
    ErrorDistribution,
};
pub(crate) use compare::Compared;
pub use compare::{ComparedAxis, ComparedFigures, Comparison, compare};
pub use control::{Axis, AxisSpec, Moving, PlateMount};
pub(crate) use evaluated::{DesignTable, EvaluatedAxis};
pub use figures::{AxisFigures, CenterFigures};
pub use latency::{
    CameraRuns, Delay, DelaySpec, DeviceDifference, DevicePair, HidUsage, LatencyBudget,
    LatencyStage, StageEffect, StageKind, UsbSpeed, compare_devices, detectable_difference,
    hid_logical_range, power_of_runs, runs_needed, student_t,
};
pub use linearity::{Linearity, linearity};
pub use stick::{
    AngleResiduals, AxisCrosstalk, CarriedMagnets, CarriedSensor, Carrier, Correction,
    CorrectionMap, CorrectionTerms, Crosstalk, CrosstalkCause, CrosstalkFigure, GateMap, ReadBy,
    TwoAxis, TwoAxisCalibration, TwoAxisFormat, TwoAxisReading, TwoAxisReadings, TwoAxisSpec,
    TwoAxisSweep,
};
pub use sweep::Sweep;
pub use tolerance::{
    BuildFailure, BuildRecord, Buildable, Builds, ControlDesign, ControlDesignSpec, ControlFigure,
    Distribution, DistributionSpec, FailureCount, FigureImportance, FigureName, FigureSpread,
    FormulaDesign, Importance, ImportanceDemand, PartDesign, PreparedDesign, Sampling, TargetYield,
    Tolerance, ToleranceAllocation, ToleranceEffect, ToleranceImportance, ToleranceSpec,
    TolerancedAs, TolerantDesign, TolerantDesignDemand, TolerantSearch, VarianceShare, VariedInput,
    WhatIf, WhatIfRow, Yield, YieldDemand, YieldInterval, YieldProgress, YieldStudy, YieldTarget,
    allocate_tolerances, search_tolerant_designs, study_importance, study_what_if, study_yield,
};
pub(crate) use tolerance::{SharedDesign, SharedYield, Unbuilt, study_shared};
