//! How the values of each class are pickled.

use pyo3::prelude::*;
use pyo3::types::PyType;

use crate::python::axis::arrangement::{
    PyBackPlate, PyHeadOnLayout, PyMeasure, PyPairLayout, PySensorPackage, PyShaftEndLayout,
    PySwungLayout,
};
use crate::python::axis::arrangement_search::{
    PyArrangementCandidate, PyArrangementSearch, PyArrangementSummary, PyBestOfKind, PyJustOutside,
    PyParetoRow,
};
use crate::python::axis::bench::calibration::{
    PyCalibration, PyCalibrationResiduals, PyPointsWorth,
};
use crate::python::axis::bench::curve::PyCalibrationCurve;
use crate::python::axis::bench::firmware::PyFirmware;
use crate::python::axis::bench::identification::{
    PyBenchAdvice, PyIdentification, PyIdentifiedQuantity,
};
use crate::python::axis::bench::sweep::{PyBenchLog, PyBenchSweep, PyHysteresis, PyRowDoubt};
use crate::python::axis::budget::{
    PyComparedFigures, PyComparison, PyErrorBudget, PyErrorContribution,
};
use crate::python::axis::control::{
    PyAxis, PyAxisFigures, PyCenterFigures, PyLine, PyLinearity, PySweep,
};
use crate::python::axis::correction::{PyAngleResiduals, PyCorrection, PyCorrectionMap};
use crate::python::axis::crosstalk::{PyAxisCrosstalk, PyCrosstalk, PyCrosstalkFigure};
use crate::python::axis::latency::{
    PyCameraRuns, PyDelay, PyDeviceDifference, PyDevicePair, PyLatencyBudget, PyLatencyStage,
    PyStageEffect,
};
use crate::python::axis::stick::{PyCarriedMagnets, PyCarriedSensor, PyTwoAxis};
use crate::python::axis::tolerance::{
    PyBuildRecord, PyControlDesign, PyDistribution, PyFigureImportance, PyFigureSpread,
    PyImportance, PyTargetYield, PyTolerance, PyToleranceAllocation, PyToleranceImportance,
    PyTolerantDesign, PyWhatIf, PyYield, PyYieldTarget,
};
use crate::python::axis::two_axis_readings::{PyGateMap, PyTwoAxisReading, PyTwoAxisReadings};
use crate::python::axis::two_axis_sweep::{PyTwoAxisCalibration, PyTwoAxisSweep};
use crate::python::feel::control::{
    PyCentering, PyControl, PyControlState, PyEquilibrium, PyEquilibriumBand, PyForceCurve,
    PyFreeResponse, PySecondOrderResponse, PySpringEnvelope, PySpringFit, PySpringOperatingPoint,
};
use crate::python::feel::elements::{PyAnchor, PyCapturedSpring, PyDrive};
use crate::python::feel::guidance::{
    PyControlMeasurements, PyGuidanceComparison, PyGuidanceFigure,
};
use crate::python::gate::value::{self, Pickled};
use crate::python::hall::{
    PyAngleError, PyAngleHarmonics, PyAngleSensor, PyAveraging, PyConverter, PyLinearHall,
    PyLowPass, PyNoiseBudget, PyPotentiometer, PySignalChain, PyTypicalPart,
};
use crate::python::linkage::ball_rod::{PyArm, PyBallRod, PyRodEnd, PyRodLoads};
use crate::python::linkage::ball_rod_figures::PyBallRodFigures;
use crate::python::linkage::ball_rod_search::PyBallRodDesign;
use crate::python::linkage::driven::PyTransmissionEnd;
use crate::python::linkage::four_bar::{
    PyCenteredFourBar, PyDeadCenter, PyFourBar, PyFourBarFit, PyFourBarMotion, PyFourBarPose,
    PyFourBarSolutions, PyThreePointFourBar,
};
use crate::python::linkage::lever::{PyStop, PyStopLoad, PyStoppedTravel};
use crate::python::linkage::pedals::{
    PyPadPose, PyPedal, PyPedalEnd, PyPedalFigures, PyPedalLoads, PyPedalPair, PyPedalPose,
    PyPedalPoses, PyPedalTransmission,
};
use crate::python::linkage::rod::{PyRod, PyRodLoad, PyRodMaterial};
use crate::python::linkage::slider_crank::{
    PySlideDeadCenter, PySlideTransfer, PySlideTransfers, PySliderCrank, PySliderCrankMotion,
    PySliderCrankPose,
};
use crate::python::linkage::stick::{PyClearance, PyEnvelope, PyGimbal, PyGripTravel, PyPivot};
use crate::python::linkage::transmission::{PyFixedRatio, PyTransmissionChain};
use crate::python::linkage::universal_joint::PyUniversalJoint;
use crate::python::linkage::{PyTransfer, PyTransfers};
use crate::python::magnet::area::PyAreaMean;
use crate::python::magnet::material::{PyGrade, PyWorkingPoint};
use crate::python::magnet::plate::{PyPull, PySteelPlate};
use crate::python::pose::PyPose;
use crate::python::rig::builds::{PyControlYield, PyRigYield, PySlotEvaluation};
use crate::python::rig::costs::{PyBillItem, PyCost, PyCostShare, PySupply};
use crate::python::rig::feel::{PyFeelAlong, PyFeelEvaluation, PySpringEvaluation};
use crate::python::rig::magnets::{PyHandling, PyMagnetHandling, PyMagnetPull};
use crate::python::rig::mechanics::{
    PyGateEvaluation, PyJointSwivel, PyLinkageEvaluation, PyRodForce,
};
use crate::python::rig::verdict::PyVerdict;
use crate::python::rig::{PyAxisEvaluation, PyBrokenControl, PyStickEvaluation};
use crate::python::search::{PyNearMiss, PyRejection, PySearchResult, PyShortfall};
use crate::python::spring::coils::{
    PyExtensionLife, PyExtensionStresses, PySizedExtension, PySizedTorsion, PyTorsionLife,
    PyTorsionState,
};
use crate::python::spring::compression::{PyEndurance, PyLifeVerdict, PySizedSpring};
use crate::python::spring::law::{
    PyForceTable, PyLinearSpring, PyLinearTorsionSpring, PySpringResponse, PySpringResponses,
    PyTorsionResponse,
};
use crate::python::spring::stock::{PyStockChoice, PyStockList, PyStockSpring};
use crate::python::spring::wire::PyAllowableShares;

/// The table: classes with the keywords of their constructors; those that are kept whole; those that are kept in parts.
macro_rules! pickled {
    (
        made { $($made:ident: $($keyword:ident)*;)* }
        whole { $($whole:ident)* }
        parts { $($parts:ident)* }
    ) => {
        /// Every class, but for those whose named constructors pickle calls itself.
        const PICKLED: &[Pickled] = &[
            $(Pickled::made::<$made>(&[$(stringify!($keyword)),*]),)*
            $(Pickled::whole::<$whole>(),)*
            $(Pickled::parts::<$parts>(),)*
        ];
    };
}

pickled! {
    made {
        PyAxis: pivot direction throw magnets sensor sensor_pose converter moving area plate drive lever filter
            averaging remanence_drift reference_celsius celsius;
        PySwungLayout: magnet arm gap side offset magnet_tilt sensor_tilt plate package;
        PyPairLayout: magnets arm gap spacing carrier side offset magnet_tilt sensor_tilt plate package;
        PyHeadOnLayout: magnet arm gap offset magnet_tilt sensor_tilt plate package;
        PyShaftEndLayout: magnet gap side eccentricity offset magnet_tilt sensor_tilt plate package;
        PyBackPlate: distance holder;
        PySensorPackage: width height thickness;
        PyCameraRuns: rate frames;
        PyTwoAxis: gimbal gate magnets outer inner;
        PyCarriedMagnets: magnets carrier read_by remanence_drift reference_celsius celsius;
        PyCarriedSensor: sensor pose carrier converter area filter averaging celsius;
        PySecondOrderResponse: stiffness inertia damping;
        PyControl: pivots travel grip elements driven gravity;
        PyCapturedSpring: neutral_length preload rate stroke;
        PyDrive: pivot by transmission;
        PyAnchor: body point;
        PyControlMeasurements: force held_force breakout travel travel_one_way deflection;
        PyPotentiometer: travel supply mechanical_travel resistance end_resistances linearity noise noise_resistance
            load center;
        PyConverter: bits reference rounding noise nonlinearity oversampling;
        PyAngleSensor: bits analog directions depth offsets gain_mismatch nonorthogonality noise working_flux sense
            zero;
        PyLowPass: cutoff;
        PyAveraging: samples interval;
        PySignalChain: converter filter averaging;
        PyLinearHall: supply nominal_supply quiescent sensitivity rail_low rail_headroom noise depth direction area
            bandwidth sensitivity_tolerance quiescent_tolerance sensitivity_drift quiescent_drift reference_celsius;
        PyBallRod: input output rod_length start assembly;
        PyArm: pivot direction joint stud swivel_limit;
        PyCenteredFourBar: linkage branch crank_center crank_pivot ground_angle;
        PyFourBar: ground crank coupler rocker;
        PyStop: bumper face normal bumper_radius;
        PyTransfer: angle ratio curvature;
        PyPedalPair: left right left_crank right_crank crank_stops;
        PyPedal: arm pad push stops;
        PyRod: section material length ends factor;
        PyRodMaterial: modulus yield_strength;
        PySliderCrank: crank rod offset;
        PyGimbal: outer inner stick stick_radius grip_radius;
        PyPivot: point direction;
        PyTransmissionChain: parts;
        PyPedalTransmission: pair given driven;
        PyFixedRatio: ratio;
        PyUniversalJoint: bend phase;
        PyWorkingPoint: grade demagnetizing_factor celsius external_field bound;
        PyGrade: name family remanence intrinsic_coercivity remanence_coefficient coercivity_coefficient
            recoil_permeability density min_celsius max_celsius sources squareness normal_coercivity
            energy_product curie_celsius;
        PySteelPlate: point normal;
        PyPose: position rotation;
        PyEndurance: alternating mean ultimate criterion;
        PyLinearTorsionSpring: rate free_angle action min_angle max_angle;
        PyForceTable: lengths tensions slack_below;
        PyLinearSpring: rate free_length action initial_tension shortest longest;
    }
    whole {
        PyBillItem PyControlYield PyCost PyCostShare PyRigYield PySlotEvaluation PySupply PyVerdict
        PyHandling PyMagnetHandling PyMagnetPull
        PyFeelAlong PyFeelEvaluation PyGateEvaluation PyJointSwivel PyLinkageEvaluation PyRodForce PySpringEvaluation
        PyDelay PyDeviceDifference PyDevicePair PyLatencyBudget PyLatencyStage PyStageEffect
        PyTwoAxisCalibration PyTwoAxisSweep
        PyBenchAdvice PyBenchLog PyBenchSweep PyCalibration PyCalibrationCurve PyCalibrationResiduals PyFirmware
        PyHysteresis PyIdentification PyIdentifiedQuantity PyPointsWorth PyRowDoubt
        PyAngleError PyAngleHarmonics PyNoiseBudget PyTypicalPart
        PyAllowableShares PyAngleResiduals PyAreaMean PyAxisCrosstalk PyCorrection PyCorrectionMap PyCrosstalk
        PyCrosstalkFigure PyGateMap PyTwoAxisReading PyTwoAxisReadings PyAxisFigures PyBallRodDesign
        PyBallRodFigures PyCenterFigures PyCentering
        PyClearance PyComparedFigures PyComparison PyControlState PyDeadCenter PyEnvelope PyEquilibrium
        PyEquilibriumBand PyErrorBudget PyErrorContribution PyExtensionLife
        PyExtensionStresses PyForceCurve PyFourBarFit PyFourBarMotion PyFourBarPose PyFreeResponse PyGripTravel
        PyGuidanceComparison PyGuidanceFigure
        PyArrangementCandidate PyArrangementSummary PyParetoRow
        PyLifeVerdict PyLine PyLinearity PyMeasure PyPadPose PyPedalEnd PyPedalFigures PyPedalLoads
        PyPedalPose PyPedalPoses PyPull PyRejection
        PyRodEnd PyRodLoad PyRodLoads PyShortfall
        PySizedExtension PySizedSpring PySizedTorsion PySlideDeadCenter PySlideTransfer PySliderCrankMotion
        PySliderCrankPose PySpringEnvelope PySpringFit PySpringOperatingPoint PySpringResponse PySpringResponses
        PyStockChoice PyStockList
        PyStockSpring PyStopLoad PyStoppedTravel PySweep PyThreePointFourBar PyTorsionLife PyTorsionResponse
        PyTorsionState PyTransmissionEnd
        PyBuildRecord PyControlDesign PyDistribution PyFigureImportance PyFigureSpread PyImportance PyTargetYield
        PyTolerance PyToleranceAllocation PyToleranceImportance PyTolerantDesign PyWhatIf PyYield PyYieldTarget
    }
    parts {
        PyAxisEvaluation PyBrokenControl PyFourBarSolutions PyNearMiss PyStickEvaluation
        PyArrangementSearch PyBestOfKind PyJustOutside
        PySearchResult PySlideTransfers PyTransfers
    }
}

/// A function, and the class and what is kept of a value of it, which the function takes.
type Reduced<'py> = (Bound<'py, PyAny>, (Bound<'py, PyType>, Bound<'py, PyAny>));

/// What pickle calls for a value: the function that makes it again, with what it takes.
#[pyfunction]
pub(super) fn _reduce<'py>(value: &Bound<'py, PyAny>) -> PyResult<Reduced<'py>> {
    let restore = value.py().import("yokewright._core")?.getattr("_restore")?;
    Ok((restore, value::pack(PICKLED, value)?))
}

/// The value that `_reduce` has taken apart.
#[pyfunction]
pub(super) fn _restore<'py>(
    class: &Bound<'py, PyType>,
    packed: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    value::unpack(PICKLED, class, packed)
}

/// Tells pickle of all these classes.
pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    value::register(PICKLED, &module.getattr("_reduce")?)
}
