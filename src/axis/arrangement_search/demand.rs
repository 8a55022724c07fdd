//! What is asked of a search over arrangements.

use serde::{Deserialize, Serialize};

use crate::axis::{AnyArrangement, Arrangement, Measure, Moving};
use crate::error::{Error, Result, ascending, choices, counted, within};
use crate::hall::{Converter, Sensor};
use crate::linkage::AnyTransmission;

/// Most arrangements and sensors to choose from, and most pairs of them.
const MOST_PARTS: usize = 1000;
const MOST_COMBINATIONS: usize = 2000;
/// Most measures that vary at once: beyond that a grid over them is too coarse to find anything.
const MOST_MEASURES: usize = 6;
/// Most answers that may be asked for.
const MOST_ANSWERS: usize = 100;
/// Steps into which a bound may be divided: a micrometer on a meter.
const MOST_STEPS: f64 = 1e6;
/// Least span of a search for the straightest sweep, as a share of the range: with less, the farthest magnet of all
/// would win, whose sweep is straight and of no use.
const LEAST_SPAN: f64 = 0.01;
/// Widest clearance and greatest size that may be asked for, m.
const MAX_CLEARANCE: f64 = 0.2;
const MAX_SIZE: f64 = 10.0;

/// What makes one arrangement better than another that keeps the limits, too.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum ArrangementObjective {
    /// The wider sweep: the share of the output range that is swept less the independent linearity, so that of two
    /// equally wide sweeps the straighter is better.
    #[default]
    Span,
    /// The straighter sweep: the independent linearity of the output. It asks for a least span.
    Linearity,
    /// The finer step: the angle that a count or the rms noise, whichever is worth more, is worth where it is worth
    /// most.
    Step,
}

choices!(ArrangementObjective, "objective of the search", {
    Span => "span",
    Linearity => "linearity",
    Step => "step",
});

/// A measure that a search may vary.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VariedMeasure {
    /// Which. Of arrangements that do not have it nothing is varied by it.
    pub measure: Measure,
    /// Its least and its greatest value, in its unit; the same twice fixes it.
    pub bounds: [f64; 2],
    /// Its step from the least value on, as drilled holes or printed slots have it; none for any value.
    pub step: Option<f64>,
}

impl VariedMeasure {
    /// Any value between two.
    #[must_use]
    pub fn new(measure: Measure, bounds: [f64; 2]) -> Self {
        Self {
            measure,
            bounds,
            step: None,
        }
    }

    /// The same in steps from the lower bound on.
    #[must_use]
    pub fn stepped(self, step: f64) -> Self {
        Self {
            step: Some(step),
            ..self
        }
    }

    /// Number of steps within the bounds, if it goes in steps.
    pub(super) fn steps(&self) -> Option<f64> {
        let [lower, upper] = self.bounds;
        // A bound that is a whole number of steps away counts, however it was rounded.
        const ROUNDING: f64 = 1e-9;
        self.step
            .map(|step| ((upper - lower) / step + ROUNDING).floor())
    }

    fn check(&self) -> Result<()> {
        let [lower, upper] = self.bounds;
        for bound in self.bounds {
            self.measure.check(bound)?;
        }
        if lower > upper {
            return Err(Error::NotAscending {
                quantity: self.measure.name(),
                lower,
                upper,
                unit: self.measure.unit(),
            });
        }
        if let Some(step) = self.step {
            let [least, most] = self.measure.bounds();
            let widest = most - least;
            within(
                "step of a measure",
                step,
                widest / MOST_STEPS,
                widest,
                self.measure.unit(),
            )?;
        }
        Ok(())
    }
}

/// What is wanted of an arrangement, and what there is to choose from; see
/// [`search_arrangements`](crate::axis::search_arrangements).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ArrangementDemand {
    /// The arrangements to start from, 1 to 1000: one for each magnet of a list, of one kind or of several. Whatever
    /// does not vary is taken from them.
    pub arrangements: Vec<AnyArrangement>,
    /// The sensors to choose from, at least one; at most 2000 pairs of a sensor and an arrangement. An angle sensor is
    /// programmed anew for each arrangement, with its zero position where the control is centered, and must see a field
    /// that it works in.
    pub sensors: Vec<Sensor>,
    /// The converter; none of sensors whose output is a code.
    pub converter: Option<Converter>,
    /// Throw, rad.
    pub throw: [f64; 2],
    /// What turns the pivot at the sensor.
    pub drive: AnyTransmission,
    /// Distance of pad or grip from the control's own pivot, m.
    pub lever: Option<f64>,
    /// What turns.
    pub moving: Moving,
    /// What may vary, up to six measures.
    pub vary: Vec<VariedMeasure>,
    /// What is sought.
    pub objective: ArrangementObjective,
    /// Largest independent linearity of the output, as a fraction of its span; 1 for any.
    pub max_linearity: f64,
    /// Largest part of the throw, by angle, at which the output is at a rail or the converter at an end.
    pub max_clipped: f64,
    /// Fraction of the sensor's output range to keep free at each rail, for the tolerances of the build; 0 lets the
    /// sweep touch the rails. With clipping allowed it must be 0.
    pub range_margin: f64,
    /// Least span of the output, as a share of the sensor's output range.
    pub min_span: f64,
    /// Least distance of the package's face from magnets and their plate over the throw, m.
    pub min_clearance: f64,
    /// Greatest size, m: the longest side of the smallest box along the directions of the arrangement's frame that
    /// holds the pivot, the magnets and the package's face when centered; none for any.
    pub max_size: Option<f64>,
    /// How many answers are wanted at most, 1 to 100.
    pub answers: usize,
}

impl ArrangementDemand {
    /// The widest sweep that does not clip and is straight to a hundredth; six answers.
    #[must_use]
    pub fn new(
        arrangements: Vec<AnyArrangement>,
        sensors: Vec<Sensor>,
        converter: impl Into<Option<Converter>>,
        throw: [f64; 2],
        vary: Vec<VariedMeasure>,
    ) -> Self {
        Self {
            arrangements,
            sensors,
            converter: converter.into(),
            throw,
            drive: AnyTransmission::Identity,
            lever: None,
            moving: Moving::Magnets,
            vary,
            objective: ArrangementObjective::Span,
            max_linearity: 0.01,
            max_clipped: 0.0,
            range_margin: 0.0,
            min_span: 0.0,
            min_clearance: 0.0,
            max_size: None,
            answers: 6,
        }
    }

    pub(super) fn check(&self) -> Result<()> {
        let (arrangements, sensors) = (self.arrangements.len(), self.sensors.len());
        counted("arrangements to choose from", arrangements, [1, MOST_PARTS])?;
        counted("sensors to choose from", sensors, [1, MOST_PARTS])?;
        counted(
            "pairs of arrangement and sensor",
            arrangements * sensors,
            [1, MOST_COMBINATIONS],
        )?;
        counted("measures that vary", self.vary.len(), [0, MOST_MEASURES])?;
        counted("answers wanted", self.answers, [1, MOST_ANSWERS])?;
        for (i, varied) in self.vary.iter().enumerate() {
            varied.check()?;
            if self.vary[..i].iter().any(|v| v.measure == varied.measure) {
                return Err(Error::Surplus {
                    quantity: "second range of a measure",
                    of: "the measures that vary",
                    advice: "give each measure once",
                });
            }
            // One that no arrangement has would be left aside without a word.
            let mut all = self.arrangements.iter();
            if !all.any(|one| one.measure(varied.measure).is_some()) {
                self.arrangements[0].with_measure(varied.measure, varied.bounds[0])?;
            }
        }
        within(
            "allowed linearity",
            self.max_linearity,
            1e-6,
            1.0,
            "of span",
        )?;
        within(
            "allowed clipping",
            self.max_clipped,
            0.0,
            1.0,
            "of the throw",
        )?;
        let most = if self.max_clipped > 0.0 { 0.0 } else { 0.49 };
        within(
            "range margin",
            self.range_margin,
            0.0,
            most,
            "of the output range",
        )?;
        let least = match self.objective {
            ArrangementObjective::Linearity => LEAST_SPAN,
            _ => 0.0,
        };
        within(
            "least span",
            self.min_span,
            least,
            1.0,
            "of the output range",
        )?;
        within(
            "least clearance",
            self.min_clearance,
            0.0,
            MAX_CLEARANCE,
            "m",
        )?;
        if let Some(size) = self.max_size {
            within("greatest size", size, 1e-6, MAX_SIZE, "m")?;
        }
        ascending("throw", self.throw, "rad")?;
        Ok(())
    }
}
