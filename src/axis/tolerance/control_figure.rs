//! The figures of a control that tolerances are judged by.

use crate::axis::tolerance::buildable::FigureName;
use crate::axis::{Axis, AxisFigures};
use crate::error::choices;

/// A figure of a control as it is built: those of [`AxisFigures`], and what a calibration leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ControlFigure {
    /// [`AxisFigures::range_used`].
    RangeUsed,
    /// [`AxisFigures::flux_span`], T.
    FluxSpan,
    /// [`AxisFigures::volts_span`], V.
    OutputSpan,
    /// Size of [`AxisFigures::gain_counts`], counts/rad.
    Gain,
    /// Independent [`AxisFigures::linearity`], of span.
    IndependentLinearity,
    /// Terminal-based [`AxisFigures::linearity`], of span.
    TerminalLinearity,
    /// [`AxisFigures::clipped_share`].
    ClippedShare,
    /// Share of the throw that [`AxisFigures::monotonic_range`] is.
    MonotonicShare,
    /// [`AxisFigures::step_quantization_center`], rad.
    QuantizationStep,
    /// [`AxisFigures::step_quantization_worst`], rad.
    WorstQuantizationStep,
    /// [`AxisFigures::step_noise_center`], rad.
    NoiseStep,
    /// [`AxisFigures::step_noise_worst`], rad.
    WorstNoiseStep,
    /// [`AxisFigures::effective_bits`].
    EffectiveBits,
    /// Lower end of [`AxisFigures::code_range`], counts.
    LowestCode,
    /// Upper end of [`AxisFigures::code_range`], counts.
    HighestCode,
    /// [`AxisFigures::clearance`], m.
    Clearance,
    /// Greatest error of the position over the throw, rad, if the constants of the design itself turn counts into
    /// positions.
    ErrorBeforeCalibration,
    /// The same with constants that this builder has measured.
    ErrorAfterCalibration,
}

choices!(ControlFigure, "figure of a control", {
    RangeUsed => "range used",
    FluxSpan => "flux span",
    OutputSpan => "output span",
    Gain => "gain",
    IndependentLinearity => "independent linearity",
    TerminalLinearity => "terminal-based linearity",
    ClippedShare => "clipped share",
    MonotonicShare => "monotonic share",
    QuantizationStep => "quantization step",
    WorstQuantizationStep => "worst quantization step",
    NoiseStep => "noise step",
    WorstNoiseStep => "worst noise step",
    EffectiveBits => "effective bits",
    LowestCode => "lowest code",
    HighestCode => "highest code",
    Clearance => "clearance",
    ErrorBeforeCalibration => "error before calibration",
    ErrorAfterCalibration => "error after calibration",
});

impl ControlFigure {
    /// SI unit.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::FluxSpan => "T",
            Self::OutputSpan => "V",
            Self::Gain => "counts/rad",
            Self::QuantizationStep
            | Self::WorstQuantizationStep
            | Self::NoiseStep
            | Self::WorstNoiseStep
            | Self::ErrorBeforeCalibration
            | Self::ErrorAfterCalibration => "rad",
            Self::EffectiveBits => "bits",
            Self::LowestCode | Self::HighestCode => "counts",
            Self::Clearance => "m",
            Self::IndependentLinearity | Self::TerminalLinearity => "of span",
            Self::ClippedShare | Self::MonotonicShare => "of the throw",
            Self::RangeUsed => "(no unit)",
        }
    }

    pub(super) fn name(self) -> FigureName {
        FigureName::new(self.to_string(), self.unit())
    }

    /// The value of one that [`AxisFigures`] have; NaN of one that has none.
    pub(super) fn of(self, figures: &AxisFigures, axis: &Axis) -> f64 {
        let none = f64::NAN;
        match self {
            Self::RangeUsed => figures.range_used(),
            Self::FluxSpan => figures.flux_span().unwrap_or(none),
            Self::OutputSpan => figures.volts_span().unwrap_or(none),
            Self::Gain => figures.gain_counts().abs(),
            Self::IndependentLinearity => figures.linearity().map_or(none, |l| l.independent()),
            Self::TerminalLinearity => figures.linearity().map_or(none, |l| l.terminal_based()),
            Self::ClippedShare => figures.clipped_share(),
            Self::MonotonicShare => {
                let ([lower, upper], throw) = (figures.monotonic_range(), axis.throw());
                (upper - lower) / (throw[1] - throw[0])
            }
            Self::QuantizationStep => figures.step_quantization_center().unwrap_or(none),
            Self::WorstQuantizationStep => figures.step_quantization_worst().unwrap_or(none),
            Self::NoiseStep => figures.step_noise_center().unwrap_or(none),
            Self::WorstNoiseStep => figures.step_noise_worst().unwrap_or(none),
            Self::EffectiveBits => figures.effective_bits().unwrap_or(none),
            Self::LowestCode => figures.code_range()[0] as f64,
            Self::HighestCode => figures.code_range()[1] as f64,
            Self::Clearance => figures.clearance(),
            Self::ErrorBeforeCalibration | Self::ErrorAfterCalibration => none,
        }
    }
}
