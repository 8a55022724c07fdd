//! What can be asked of an axis.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::choices;
use crate::rig::answers::Answers;
use crate::units::{DEG, MM, MS, MT};

/// Which way a target points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TargetSense {
    /// The figure should not be less.
    AtLeast,
    /// The figure should not be more.
    AtMost,
}

choices!(TargetSense, "sense of a target", {
    AtLeast => "at least",
    AtMost => "at most",
});

/// What answers a target.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum AnsweredBy {
    /// Figures of the axis.
    Figures,
    /// What its calibration leaves.
    Calibration,
    /// Its error budget.
    Budget,
    /// What the other axis of its stick does to its reading.
    Crosstalk,
    /// The correction by both readings of its stick.
    Correction,
    /// Forces and rest along it.
    Feel,
    /// What its springs bear.
    Springs,
    /// Its drive.
    Drive,
    /// What stands around a stick.
    Obstacles,
    /// Cost, time and studies of the whole rig.
    Rig,
}

/// The lesser and the greater of two.
fn sorted([one, other]: [f64; 2]) -> [f64; 2] {
    [one.min(other), one.max(other)]
}

macro_rules! targets {
    ($($(#[$about:meta])* $target:ident {
        $key:literal, $name:literal, $unit:literal, $sense:ident, $min:literal..=$max:literal, $meaning:literal
    } by $by:ident => $figure:expr;)+) => {
        /// What can be asked of an axis. Values are in the unit that [`Target::unit`] names.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        #[non_exhaustive]
        pub enum Target {
            $($(#[$about])* $target,)+
        }

        impl Target {
            /// Every target.
            pub const ALL: [Self; [$($key),+].len()] = [$(Self::$target),+];

            /// The key that sets it in a design file.
            #[must_use]
            pub fn key(self) -> &'static str {
                match self {
                    $(Self::$target => $key,)+
                }
            }

            /// The target in words.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self {
                    $(Self::$target => $name,)+
                }
            }

            /// The unit of its values; empty for a price.
            #[must_use]
            pub fn unit(self) -> &'static str {
                match self {
                    $(Self::$target => $unit,)+
                }
            }

            /// Which way it points.
            #[must_use]
            pub fn sense(self) -> TargetSense {
                match self {
                    $(Self::$target => TargetSense::$sense,)+
                }
            }

            /// The least and the greatest value that may be asked for.
            #[must_use]
            pub fn bounds(self) -> [f64; 2] {
                match self {
                    $(Self::$target => [$min, $max],)+
                }
            }

            /// What it means.
            #[must_use]
            pub fn meaning(self) -> &'static str {
                match self {
                    $(Self::$target => $meaning,)+
                }
            }

            /// What answers it.
            pub(super) fn answered_by(self) -> AnsweredBy {
                match self {
                    $(Self::$target => AnsweredBy::$by,)+
                }
            }

            /// The figure that answers it, in its unit; `None` where the figure has no value.
            pub(super) fn figure(self, answers: &Answers<'_>) -> Option<f64> {
                match self {
                    $(Self::$target => {
                        let figure: fn(&Answers<'_>) -> Option<f64> = $figure;
                        figure(answers)
                    })+
                }
            }
        }
    };
}

targets! {
    /// Counts over the throw, percent of the converter's range.
    RangeUsed {
        "range_used_min_percent", "range used", "%", AtLeast, 0.0..=100.0,
        "counts over the throw, of the converter's range"
    } by Figures => |a| Some(100.0 * a.figures?.range_used());
    /// Counts over the throw.
    Counts {
        "counts_min", "counts over the throw", "counts", AtLeast, 0.0..=16_777_215.0,
        "greatest less least code over the throw"
    } by Figures => |a| Some(a.figures?.counts() as f64);
    /// Independent linearity of the output, percent of its span.
    Linearity {
        "linearity_max_percent", "independent linearity", "%", AtMost, 0.0..=100.0,
        "independent linearity of the sensor's output, of its span"
    } by Figures => |a| a.figures?.linearity().map(|l| 100.0 * l.independent());
    /// Terminal-based linearity of the output, percent of its span.
    TerminalBasedLinearity {
        "terminal_based_linearity_max_percent", "terminal-based linearity", "%", AtMost, 0.0..=100.0,
        "terminal-based linearity of the sensor's output, of its span: from the line through both ends of the throw"
    } by Figures => |a| a.figures?.linearity().map(|l| 100.0 * l.terminal_based());
    /// Clipped part of the throw, percent.
    Clipped {
        "clipped_max_percent", "clipped part of the throw", "%", AtMost, 0.0..=100.0,
        "part of the throw at which the reading is clipped"
    } by Figures => |a| Some(100.0 * a.figures?.clipped_share());
    /// Smallest step over the throw, degrees: the worse of one count and rms noise.
    Step {
        "step_max_deg", "smallest step", "deg", AtMost, 0.0..=180.0,
        "smallest step over the throw: the worse of one count and rms noise"
    } by Figures => |a| {
        let quantization = a.figures?.step_quantization_worst()?;
        Some(quantization.max(a.figures?.step_noise_worst()?) / DEG)
    };
    /// What rms noise is worth over the throw, degrees.
    Noise {
        "noise_max_deg", "rms noise", "deg", AtMost, 0.0..=180.0,
        "what the rms noise of the reading is worth where it is worth most"
    } by Figures => |a| a.figures?.step_noise_worst().map(|step| step / DEG);
    /// Smallest step of pad or grip at the center, mm: the worse of one count and rms noise.
    StepAtGrip {
        "step_at_grip_max_mm", "smallest step at the grip", "mm", AtMost, 0.0..=1000.0,
        "smallest step of pad or grip at the center: the worse of one count and rms noise; needs lever_mm"
    } by Figures => |a| {
        let grip = a.figures?.at_grip()?;
        Some(grip.step_quantization?.max(grip.step_noise?) / MM)
    };
    /// Counts for a degree of the control at the center.
    Gain {
        "gain_min_counts_per_deg", "gain at center", "counts/deg", AtLeast, 0.0..=1e9,
        "counts for a degree of the control at the center, whichever way they go"
    } by Figures => |a| Some(a.figures?.gain_counts().abs() * DEG);
    /// Counts for a millimetre of pad or grip at the center.
    GainAtGrip {
        "gain_at_grip_min_counts_per_mm", "gain at the grip", "counts/mm", AtLeast, 0.0..=1e9,
        "counts for a mm of pad or grip at the center, whichever way they go; needs lever_mm"
    } by Figures => |a| Some(a.figures?.at_grip()?.gain_counts.abs() * MM);
    /// Change of flux density over the throw, mT.
    FluxSpan {
        "flux_span_min_mT", "span of flux density", "mT", AtLeast, 0.0..=10_000.0,
        "change of flux density over the throw, at a linear sensor"
    } by Figures => |a| a.figures?.flux_span().map(|span| span / MT);
    /// Change of output over the throw, V.
    OutputSpan {
        "output_span_min_V", "span of output", "V", AtLeast, 0.0..=40.0,
        "change of the sensor's output over the throw"
    } by Figures => |a| a.figures?.volts_span();
    /// Effective bits of the swept span.
    EffectiveBits {
        "effective_bits_min", "effective bits", "bits", AtLeast, 0.0..=24.0,
        "effective bits of the swept span"
    } by Figures => |a| a.figures?.effective_bits();
    /// Package face to magnet, mm.
    Clearance {
        "clearance_min_mm", "clearance", "mm", AtLeast, 0.0..=200.0,
        "package face to magnet, least over the throw"
    } by Figures => |a| Some(a.figures?.clearance() / MM);
    /// Departure of the calibrated characteristic, degrees.
    Nonlinearity {
        "nonlinearity_max_deg", "bend left by calibration", "deg", AtMost, 0.0..=180.0,
        "greatest departure of the position told from the control's, by what the calibration leaves of the bend"
    } by Calibration => |a| a.bend.map(|error| error / DEG);
    /// Departure by the constants of the design itself, degrees.
    Uncalibrated {
        "uncalibrated_error_max_deg", "error before calibration", "deg", AtMost, 0.0..=180.0,
        "greatest departure of the position told by the constants of the design itself: of a build what it errs by \
         until its builder calibrates it, of the design the bend left by calibration"
    } by Calibration => |a| a.uncalibrated.map(|error| error / DEG);
    /// All errors, root sum square, degrees.
    Error {
        "error_max_deg", "root sum square error", "deg", AtMost, 0.0..=180.0,
        "all errors of the error budget, root sum square: one standard deviation"
    } by Budget => |a| Some(a.budget?.root_sum_square() / DEG);
    /// All errors, root sum square, percent of the throw.
    ErrorOfThrow {
        "error_max_percent", "root sum square error", "%", AtMost, 0.0..=100.0,
        "the same, of the throw"
    } by Budget => |a| {
        let budget = a.budget?;
        Some(100.0 * budget.share_of_travel(budget.root_sum_square()))
    };
    /// All errors, their sum, degrees.
    WorstError {
        "worst_error_max_deg", "worst case error", "deg", AtMost, 0.0..=180.0,
        "the greatest of all errors of the error budget, added up"
    } by Budget => |a| Some(a.budget?.worst_case() / DEG);
    /// Departure at the coldest and the hottest temperature, degrees.
    Drift {
        "drift_max_deg", "drift over temperatures", "deg", AtMost, 0.0..=180.0,
        "greatest departure at the coldest and the hottest temperature of the error budget"
    } by Budget => |a| Some(a.budget?.drift() / DEG);
    /// Departure at the coldest and the hottest temperature, percent of the throw.
    DriftOfThrow {
        "drift_max_percent", "drift over temperatures", "%", AtMost, 0.0..=100.0,
        "the same, of the throw"
    } by Budget => |a| {
        let budget = a.budget?;
        Some(100.0 * budget.share_of_travel(budget.drift()))
    };
    /// What the parts cost.
    Price {
        "price_max", "price", "", AtMost, 0.0..=1e9,
        "what the parts cost; needs prices"
    } by Rig => |a| a.price;
    /// Change of the reading over the travel of the other axis of a stick, percent of its span.
    Crosstalk {
        "crosstalk_max_percent", "crosstalk", "%", AtMost, 0.0..=100.0,
        "change of this reading over the whole travel of the other axis, of its span, where in the gate it is worst"
    } by Crosstalk => |a| a.crosstalk?.worst.of_span.map(|share| 100.0 * share);
    /// Change of the reading over the travel of the other axis of a stick, counts.
    CrosstalkCounts {
        "crosstalk_max_counts", "crosstalk", "counts", AtMost, 0.0..=16_777_215.0,
        "the same in counts"
    } by Crosstalk => |a| Some(a.crosstalk?.worst.counts);
    /// Greatest error behind the correction by both readings of a stick, degrees.
    Corrected {
        "corrected_error_max_deg", "error behind correction", "deg", AtMost, 0.0..=180.0,
        "greatest error of the angle by a bilinear map of both readings, over the gate"
    } by Correction => |a| a.corrected.map(|angle| angle / DEG);
    /// Force that pushes the control to the end where that takes less, N.
    EndForceMin {
        "end_force_min_N", "least force at an end", "N", AtLeast, 0.0..=100_000.0,
        "force at pad or grip that pushes it to its end, friction included, at the end where that is less; needs a feel"
    } by Feel => |a| a.mechanics.end_forces.map(|forces| sorted(forces)[0]);
    /// Force that pushes the control to the end where that takes more, N.
    EndForceMax {
        "end_force_max_N", "greatest force at an end", "N", AtMost, 0.0..=100_000.0,
        "the same at the end where it is more"
    } by Feel => |a| a.mechanics.end_forces.map(|forces| sorted(forces)[1]);
    /// Force that sets the control in motion where that takes less, N.
    BreakoutMin {
        "breakout_min_N", "least breakout force", "N", AtLeast, 0.0..=100_000.0,
        "force at pad or grip that sets it in motion from its rest, on the side where that is less; needs a feel"
    } by Feel => |a| a.mechanics.breakout.map(|forces| sorted(forces)[0]);
    /// Force that sets the control in motion where that takes more, N.
    BreakoutMax {
        "breakout_max_N", "greatest breakout force", "N", AtMost, 0.0..=100_000.0,
        "the same on the side where it is more"
    } by Feel => |a| a.mechanics.breakout.map(|forces| sorted(forces)[1]);
    /// Greatest angle from the center at which the control may come to rest, degrees.
    Centering {
        "centering_max_deg", "centering error", "deg", AtMost, 0.0..=180.0,
        "how far off the center friction may hold it when it is let go; needs a feel"
    } by Feel => |a| a.mechanics.centering.map(|error| error / DEG);
    /// The same in counts of the axis at its center.
    CenteringCounts {
        "centering_max_counts", "centering error", "counts", AtMost, 0.0..=16_777_215.0,
        "the same in counts of the axis, by its gain at the center"
    } by Feel => |a| Some(a.mechanics.centering? * a.figures?.gain_counts().abs());
    /// Least safety of the springs against breaking in their life.
    SpringLife {
        "spring_life_min", "safety of springs in fatigue", "", AtLeast, 0.0..=1000.0,
        "least safety of the wound springs against breaking within their cycles over the whole travel; needs a feel"
    } by Springs => |a| a.mechanics.spring_life;
    /// Least safety of the springs against yielding.
    SpringSafety {
        "spring_safety_min", "safety of springs at rest", "", AtLeast, 0.0..=1000.0,
        "least safety of the wound springs against staying deformed where they are loaded most; needs a feel"
    } by Springs => |a| a.mechanics.spring_safety;
    /// Input travel left to a lock of the drive, degrees.
    LockMargin {
        "lock_margin_min_deg", "travel left to a lock", "deg", AtLeast, 0.0..=360.0,
        "travel of the control left beyond the throw until the drive locks, at the nearer end; needs a drive that locks"
    } by Drive => |a| a.mechanics.lock_margin.map(|margin| margin / DEG);
    /// Greatest swivel of a ball joint, percent of what it is rated for.
    Swivel {
        "swivel_max_percent", "swivel of ball joints", "%", AtMost, 0.0..=1000.0,
        "greatest swivel of a ball joint of the drive over the throw, of its rating; needs studs with a rating"
    } by Drive => |a| a.mechanics.swivel_share.map(|share| 100.0 * share);
    /// Greatest force in a rod under the stated foot force, N.
    RodForce {
        "rod_force_max_N", "greatest force in a rod", "N", AtMost, 0.0..=1e7,
        "greatest force in a rod of the drive over the throw under foot_force_N"
    } by Drive => |a| a.mechanics.rod_force;
    /// Least distance of the stick and the hand from all obstacles, mm.
    ObstacleClearance {
        "obstacle_clearance_min_mm", "clearance of the stick", "mm", AtLeast, 0.0..=10_000.0,
        "least distance of stick and grip from all that stands around them, over the whole gate; needs an obstacle"
    } by Obstacles => |a| a.mechanics.clearance.map(|clearance| clearance / MM);
    /// Time from hand to screen, ms.
    Latency {
        "latency_max_ms", "latency", "ms", AtMost, 0.0..=5000.0,
        "time from hand to screen that is kept in 95 of 100 cases; needs [[latency]]"
    } by Rig => |a| a.latency.map(|time| time / MS);
    /// Builds that meet every other target, percent.
    Yield {
        "yield_min_percent", "yield", "%", AtLeast, 0.0..=100.0,
        "builds that meet every other target; needs a study of builds"
    } by Rig => |_| None;
    /// Current drawn from the port, mA.
    Current {
        "current_max_mA", "supply current", "mA", AtMost, 0.0..=100_000.0,
        "current that sensors, converters and parts draw together; needs current_mA"
    } by Rig => |_| None;
}

impl Target {
    /// Whether only an axis of a stick can be asked for it.
    #[must_use]
    pub fn is_of_stick(self) -> bool {
        let by = self.answered_by();
        matches!(by, AnsweredBy::Crosstalk | AnsweredBy::Correction)
    }
}

impl Target {
    /// Whether the whole rig can be asked for it, in `[targets]`.
    #[must_use]
    pub fn is_of_rig(self) -> bool {
        matches!(self, Self::Price | Self::Yield | Self::Current)
    }

    /// Whether it may be set in a section of the table of keys.
    pub(super) fn is_in(self, section: &str) -> bool {
        let of_springs = self.answered_by() == AnsweredBy::Springs;
        let of_drive = self.answered_by() == AnsweredBy::Drive;
        match section {
            "targets" => self.is_of_rig(),
            "stick.targets" => matches!(self, Self::ObstacleClearance | Self::Yield) || of_springs,
            _ if matches!(self, Self::Current | Self::ObstacleClearance) => false,
            "stick.AXIS.targets" => !of_springs && !of_drive,
            _ => !self.is_of_stick(),
        }
    }
}

impl fmt::Display for Target {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}
