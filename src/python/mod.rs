//! The notebook binding: the names of the crate for Python, arrays in and arrays out.
//!
//! Nothing is computed here; every method borrows, calls the core and converts. This folder is the only place in the
//! project that knows PyO3.

mod any_sensor;
mod axis;
mod feel;
mod gate;
mod hall;
mod linkage;
mod magnet;
mod pickled;
mod pose;
mod rig;
mod search;
mod source;
mod spring;

use pyo3::prelude::*;

/// The compiled half of yokewright.
#[pymodule]
mod _core {
    #[pymodule_export]
    use crate::python::axis::arrangement::{
        PyArrangement, PyBackPlate, PyHeadOnLayout, PyMeasure, PyPairLayout, PySensorPackage,
        PyShaftEndLayout, PySwungLayout,
    };
    #[pymodule_export]
    use crate::python::axis::arrangement_search::{
        PyArrangementCandidate, PyArrangementSearch, PyArrangementSummary, PyBestOfKind,
        PyJustOutside, PyParetoRow, search_arrangements,
    };
    #[pymodule_export]
    use crate::python::axis::bench::calibration::{
        PyCalibration, PyCalibrationResiduals, PyPointsWorth,
    };
    #[pymodule_export]
    use crate::python::axis::bench::curve::PyCalibrationCurve;
    #[pymodule_export]
    use crate::python::axis::bench::firmware::PyFirmware;
    #[pymodule_export]
    use crate::python::axis::bench::identification::{
        PyBenchAdvice, PyIdentification, PyIdentifiedQuantity, identify_axis, identify_rod,
    };
    #[pymodule_export]
    use crate::python::axis::bench::sweep::{PyBenchLog, PyBenchSweep, PyHysteresis, PyRowDoubt};
    #[pymodule_export]
    use crate::python::axis::budget::{
        PyComparedFigures, PyComparison, PyErrorBudget, PyErrorContribution, compare, error_budget,
    };
    #[pymodule_export]
    use crate::python::axis::control::{
        PyAxis, PyAxisFigures, PyCenterFigures, PyLine, PyLinearity, PySweep, linearity,
    };
    #[pymodule_export]
    use crate::python::axis::correction::{PyAngleResiduals, PyCorrection, PyCorrectionMap};
    #[pymodule_export]
    use crate::python::axis::crosstalk::{PyAxisCrosstalk, PyCrosstalk, PyCrosstalkFigure};
    #[pymodule_export]
    use crate::python::axis::latency::{
        PyCameraRuns, PyDelay, PyDeviceDifference, PyDevicePair, PyLatencyBudget, PyLatencyStage,
        PyStageEffect, compare_devices, detectable_difference, hid_logical_range, hid_usage,
        power_of_runs, runs_needed, student_t,
    };
    #[pymodule_export]
    use crate::python::axis::stick::{PyCarriedMagnets, PyCarriedSensor, PyTwoAxis};
    #[pymodule_export]
    use crate::python::axis::tolerance::{
        PyBuildRecord, PyCallableDesign, PyControlDesign, PyDistribution, PyFigureImportance,
        PyFigureSpread, PyImportance, PyTargetYield, PyTolerance, PyToleranceAllocation,
        PyToleranceImportance, PyTolerantDesign, PyWhatIf, PyYield, PyYieldStudy, PyYieldTarget,
        allocate_tolerances, search_tolerant_designs, study_importance, study_what_if, study_yield,
    };
    #[pymodule_export]
    use crate::python::axis::two_axis_readings::{PyGateMap, PyTwoAxisReading, PyTwoAxisReadings};
    #[pymodule_export]
    use crate::python::axis::two_axis_sweep::{PyTwoAxisCalibration, PyTwoAxisSweep};
    #[pymodule_export]
    use crate::python::feel::control::{
        PyCentering, PyControl, PyControlState, PyEquilibrium, PyEquilibriumBand, PyForceCurve,
        PyFreeResponse, PySecondOrderResponse, PySpringDemand, PySpringEnvelope, PySpringFit,
        PySpringOperatingPoint,
    };
    #[pymodule_export]
    use crate::python::feel::elements::{
        PyAnchor, PyCapturedSpring, PyDrive, PyElement, friction_torque,
    };
    #[pymodule_export]
    use crate::python::feel::guidance::{
        PyControlMeasurements, PyGuidanceComparison, PyGuidanceFigure, compare_with_guidance,
        gradient_limits, guides_for, min_maneuver_force, noticeable_steps,
    };
    #[pymodule_export]
    use crate::python::gate::long::{PyObserver, on_one_thread};
    #[pymodule_export]
    use crate::python::hall::{
        PyAngleError, PyAngleHarmonics, PyAngleSensor, PyAveraging, PyConverter, PyLinearHall,
        PyLowPass, PyNoiseBudget, PyPotentiometer, PySignalChain, PyTypicalPart,
        bits_from_averaging, bits_from_snr_db, noise_from_density, ratiometry_error,
    };
    #[pymodule_export]
    use crate::python::linkage::ball_rod::{PyArm, PyBallRod, PyRodEnd, PyRodLoads};
    #[pymodule_export]
    use crate::python::linkage::ball_rod_figures::PyBallRodFigures;
    #[pymodule_export]
    use crate::python::linkage::ball_rod_search::{PyBallRodDesign, PyFreeArm, search_ball_rods};
    #[pymodule_export]
    use crate::python::linkage::driven::PyTransmissionEnd;
    #[pymodule_export]
    use crate::python::linkage::four_bar::{
        PyCenteredFourBar, PyDeadCenter, PyFourBar, PyFourBarFit, PyFourBarMotion, PyFourBarPose,
        PyFourBarSolutions, PyThreePointFourBar, chebyshev_spacing, search_four_bars,
        solve_four_bars, three_point_four_bar,
    };
    #[pymodule_export]
    use crate::python::linkage::lever::{PyLever, PyStop, PyStopLoad, PyStoppedTravel};
    #[pymodule_export]
    use crate::python::linkage::pedals::{
        PyPadPose, PyPedal, PyPedalEnd, PyPedalFigures, PyPedalLoads, PyPedalPair, PyPedalPose,
        PyPedalPoses, PyPedalTransmission,
    };
    #[pymodule_export]
    use crate::python::linkage::rod::{PyRod, PyRodLoad, PyRodMaterial, PyRodSection};
    #[pymodule_export]
    use crate::python::linkage::slider_crank::{
        PySlideDeadCenter, PySlideTransfer, PySlideTransfers, PySliderCrank, PySliderCrankMotion,
        PySliderCrankPose,
    };
    #[pymodule_export]
    use crate::python::linkage::stick::{
        PyClearance, PyEnvelope, PyGate, PyGimbal, PyGripTravel, PyObstacle, PyPivot,
    };
    #[pymodule_export]
    use crate::python::linkage::transmission::{PyFixedRatio, PyTransmissionChain};
    #[pymodule_export]
    use crate::python::linkage::universal_joint::PyUniversalJoint;
    #[pymodule_export]
    use crate::python::linkage::{PyTransfer, PyTransfers};
    #[pymodule_export]
    use crate::python::magnet::area::{PyActiveArea, PyAreaMean};
    #[pymodule_export]
    use crate::python::magnet::material::{
        PyGrade, PyRatedValue, PyWorkingPoint, demagnetizing_factor, demagnetizing_factors,
    };
    #[pymodule_export]
    use crate::python::magnet::plate::{
        PyMagnetsOverPlate, PyPull, PySteelPlate, contact_force, interaction_energy, pull,
    };
    #[pymodule_export]
    use crate::python::magnet::source::PyFieldSource;
    #[pymodule_export]
    use crate::python::magnet::{PyBlock, PyCylinder, PyMagnet, PyMagnetGroup, PyRing, PySphere};
    #[pymodule_export]
    use crate::python::pickled::{_reduce, _restore};
    #[pymodule_export]
    use crate::python::pose::PyPose;
    #[pymodule_export]
    use crate::python::rig::builds::{PyControlYield, PyRigYield, PySlotEvaluation};
    #[pymodule_export]
    use crate::python::rig::costs::{PyBillItem, PyCost, PyCostShare, PySupply};
    #[pymodule_export]
    use crate::python::rig::feel::{PyFeelAlong, PyFeelEvaluation, PySpringEvaluation};
    #[pymodule_export]
    use crate::python::rig::magnets::{PyHandling, PyMagnetHandling, PyMagnetPull};
    #[pymodule_export]
    use crate::python::rig::mechanics::{
        PyGateEvaluation, PyJointSwivel, PyLinkageEvaluation, PyRodForce,
    };
    #[pymodule_export]
    use crate::python::rig::verdict::PyVerdict;
    #[pymodule_export]
    use crate::python::rig::{
        PyAxisEvaluation, PyBrokenControl, PyDesign, PyEvaluation, PyStickEvaluation, design_schema,
    };
    #[pymodule_export]
    use crate::python::search::{PyNearMiss, PyRejection, PySearchResult, PyShortfall};
    #[pymodule_export]
    use crate::python::spring::coils::{
        PyExtensionLife, PyExtensionSpring, PyExtensionStresses, PySizedExtension, PySizedTorsion,
        PyTorsionLife, PyTorsionSpring, PyTorsionState, search_extension_springs,
        search_torsion_springs,
    };
    #[pymodule_export]
    use crate::python::spring::compression::{
        PyCompressionSpring, PyEndurance, PyLifeVerdict, PySizedSpring, search_compression_springs,
    };
    #[pymodule_export]
    use crate::python::spring::law::{
        PyForceTable, PyLinearSpring, PyLinearTorsionSpring, PySpringResponse, PySpringResponses,
        PyTorsionResponse,
    };
    #[pymodule_export]
    use crate::python::spring::stock::{PyStockChoice, PyStockList, PyStockSpring, search_stock};
    #[pymodule_export]
    use crate::python::spring::wire::{PyAllowableShares, PyWire};

    use crate::feel::GUIDANCE_CAVEAT;
    use crate::rig::{CAUTIONS, KEYS};
    use crate::units;
    use pyo3::prelude::*;
    use pyo3::types::{PyTuple, PyType};

    /// Out of `==` Python makes six methods, which stand before all others in help(). Without these five, which are
    /// as `object` has them, every comparison gives what it gave.
    fn drop_spare_comparisons(m: &Bound<'_, PyModule>) -> PyResult<()> {
        for item in m.dict().values() {
            if let Ok(class) = item.cast_into::<PyType>() {
                let own = class.getattr("__dict__")?;
                for name in ["__lt__", "__le__", "__ne__", "__gt__", "__ge__"] {
                    if own.contains(name)? {
                        class.delattr(name)?;
                    }
                }
            }
        }
        Ok(())
    }

    #[pymodule_init]
    fn init(m: &Bound<'_, PyModule>) -> PyResult<()> {
        let py = m.py();
        m.add("__version__", env!("CARGO_PKG_VERSION"))?;
        m.add("CAUTIONS", PyTuple::new(py, CAUTIONS)?)?;
        m.add("GUIDANCE_CAVEAT", GUIDANCE_CAVEAT)?;
        let keys = KEYS
            .iter()
            .map(|key| (key.path(), key.allowed_text(), key.meaning_text()));
        m.add("DESIGN_KEYS", PyTuple::new(py, keys.collect::<Vec<_>>())?)?;
        for (name, value) in [
            ("um", units::UM),
            ("mm", units::MM),
            ("deg", units::DEG),
            ("uT", units::UT),
            ("mT", units::MT),
            ("gauss", units::GAUSS),
            ("uV", units::UV),
            ("mV", units::MV),
            ("us", units::US),
            ("ms", units::MS),
            ("kHz", units::KHZ),
            ("mV_per_mT", units::MV_PER_MT),
            ("mu0", units::MU_0),
        ] {
            m.add(name, value)?;
        }
        crate::python::pickled::register(m)?;
        drop_spare_comparisons(m)
    }
}
