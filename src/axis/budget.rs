//! What the errors of a reading add up to: each by its cause, in angle and in counts.

use std::f64::consts::PI;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::curve::{Curve, least};
use crate::axis::evaluated::{DesignTable, EvaluatedAxis, POINTS};
use crate::axis::grid::grid_angles;
use crate::axis::reading::{Output, PositionTable, apart};
use crate::axis::{Axis, AxisSpec};
use crate::error::{Error, Result, choices, counted, within, within_computed};
use crate::hall::characteristic::Characteristic;
use crate::hall::{
    Converter, LinearHall, LinearHallSpec, Potentiometer, PotentiometerSpec, Sensor,
};
use crate::linkage::AnyTransmission;
use crate::observer;
use crate::stored::checked_when_read;
use crate::units::DEG;

/// Points of a calibration table: more than anybody measures.
const TABLE: [usize; 2] = [2, 1025];
/// Temperatures of a control, degC.
const CELSIUS: [f64; 2] = [-60.0, 200.0];
/// Most that a supply may be off, as a share of it.
const MAX_SUPPLY: f64 = 0.5;
/// A drive that turns the pivot by less of the control's turn stands still there: play at the pivot has no limit at
/// the control.
const LEAST_RATIO: f64 = 1e-6;
/// Standard deviations to which noise is counted in the worst case: 99.73 % of a normal distribution.
const NOISE_COVERAGE: f64 = 3.0;

/// What makes a reading tell another position than the control's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ErrorCause {
    /// The steps of the converter.
    Quantization,
    /// Noise of sensor and converter, behind filter and averaging.
    Noise,
    /// What the calibration leaves of the bend of the characteristic; of a potentiometer without its load.
    Nonlinearity,
    /// The magnets are weaker when warm.
    RemanenceDrift,
    /// The sensitivity of the sensor changes with its temperature.
    SensitivityDrift,
    /// The output without field changes with temperature.
    QuiescentDrift,
    /// The supply is off.
    Supply,
    /// Lost motion between control and sensor.
    Backlash,
    /// Where friction lets the control rest.
    Friction,
    /// The other axis moves the reading.
    Crosstalk,
    /// Integral nonlinearity of the converter.
    ConverterNonlinearity,
    /// Independent linearity of the track.
    PotentiometerLinearity,
    /// The bend that the converter's input makes by the current it draws from the wiper.
    PotentiometerLoading,
    /// The resistance of the wiper's contact, by the same current.
    WiperContact,
}

choices!(ErrorCause, "cause of an error", {
    Quantization => "quantization",
    Noise => "noise",
    Nonlinearity => "nonlinearity",
    RemanenceDrift => "drift of remanence",
    SensitivityDrift => "drift of sensitivity",
    QuiescentDrift => "drift of quiescent output",
    Supply => "supply",
    Backlash => "hysteresis by backlash",
    Friction => "hysteresis by friction",
    Crosstalk => "crosstalk",
    ConverterNonlinearity => "converter nonlinearity",
    PotentiometerLinearity => "potentiometer linearity",
    PotentiometerLoading => "potentiometer loading",
    WiperContact => "wiper contact",
});

/// How an error is taken to be distributed between its limits: what its standard deviation is computed by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ErrorDistribution {
    /// About zero; the limits stand three standard deviations from it.
    Normal,
    /// Anywhere between the limits with one probability: greatest / sqrt(3).
    Rectangular,
    /// At either limit: the greatest itself.
    TwoPoint,
}

choices!(ErrorDistribution, "distribution of an error", {
    Normal => "normal",
    Rectangular => "rectangular",
    TwoPoint => "two-point",
});

impl ErrorCause {
    /// How it is distributed.
    #[must_use]
    pub fn distribution(self) -> ErrorDistribution {
        match self {
            Self::Noise => ErrorDistribution::Normal,
            // The reading lags behind by half the play, this way or that.
            Self::Backlash => ErrorDistribution::TwoPoint,
            _ => ErrorDistribution::Rectangular,
        }
    }

    /// What helps against it.
    #[must_use]
    pub fn remedy(self) -> &'static str {
        match self {
            Self::Quantization => {
                "use more of the converter's range (smaller gap, more sensitive part) or more bits"
            }
            Self::Noise => "filter, average, or use more of the converter's range",
            Self::Nonlinearity => {
                "calibrate with more points, or move the magnet to where the curve is straighter"
            }
            Self::RemanenceDrift => {
                "a grade with less drift, or an angle sensor, which reads direction and not strength"
            }
            Self::SensitivityDrift => {
                "a part with less drift, or one whose drift makes up for that of the magnets"
            }
            Self::QuiescentDrift => {
                "a part with less drift, or take the center anew when the control rests"
            }
            Self::Supply => "let sensor and converter both follow one supply, or regulate it",
            Self::Backlash => {
                "put the sensor on the control's own pivot, preload the joints, closer fits"
            }
            Self::Friction => "bearings instead of bushes, or springs with more breakout force",
            Self::Crosstalk => {
                "carry the magnet on the part that only this axis turns, or correct by both readings"
            }
            Self::ConverterNonlinearity => {
                "a better converter, or calibrate with more points than its bend has arches"
            }
            Self::PotentiometerLinearity => {
                "a potentiometer with a closer tolerance, or use more of its travel"
            }
            Self::PotentiometerLoading => {
                "a buffer, a track of less resistance, or calibrate with more points"
            }
            Self::WiperContact => "a buffer, so that no current flows through the contact",
        }
    }
}

/// How readings are turned into positions.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CalibrationMethod {
    /// By the design alone: through the center, with the gain that the characteristic has there.
    None,
    /// Straight through the readings at both ends of the throw.
    #[default]
    TwoPoint,
    /// Straight between so many readings, evenly spaced over the throw, both ends included.
    Table {
        /// Number of readings, 2 to 1025.
        points: usize,
    },
}

impl CalibrationMethod {
    pub(super) fn check(self) -> Result<()> {
        if let Self::Table { points } = self {
            counted("points of the calibration table", points, TABLE)?;
        }
        Ok(())
    }

    /// The table that it makes of an output.
    pub(super) fn table(self, axis: &Axis, output: &Output<'_>) -> Result<PositionTable> {
        match self {
            Self::None => PositionTable::tangent(axis, output),
            Self::TwoPoint => PositionTable::measured(axis, output, TABLE[0]),
            Self::Table { points } => PositionTable::measured(axis, output, points),
        }
    }
}

/// What an [`ErrorBudget`] is asked for; without anything, only what the axis itself has: quantization, noise,
/// nonlinearity after a two-point calibration, and what potentiometer and converter add.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct ErrorBudgetSpec {
    /// Coldest and hottest temperature of magnets and sensor in use, degC, -60 to 200. The calibration is made at the
    /// temperature at which the axis stands. None for no drift.
    pub celsius: Option<[f64; 2]>,
    /// Most by which the supply may be off, either way, as a share of it, 0 to 0.5, after the calibration.
    pub supply_tolerance: f64,
    /// Whether the sensor's output follows its supply. A potentiometer's does in any case, and a code of the sensor's
    /// own in none.
    pub ratiometric_sensor: bool,
    /// Whether the converter takes that supply as its reference.
    pub ratiometric_converter: bool,
    /// Lost motion at the control, rad: all of it, from one side to the other, 0 to half a turn.
    pub control_backlash: f64,
    /// Lost motion at the pivot of the sensor, rad, which the ratio of the drive carries to the control.
    pub pivot_backlash: f64,
    /// The band of the control's angles in which friction lets it rest, rad: all of its width, 0 to half a turn.
    pub friction_band: f64,
    /// Change of this reading over the whole travel of the other axis, counts.
    pub crosstalk: f64,
    /// How readings are turned into positions.
    pub calibration: CalibrationMethod,
}

impl Default for ErrorBudgetSpec {
    fn default() -> Self {
        Self {
            celsius: None,
            supply_tolerance: 0.0,
            ratiometric_sensor: true,
            ratiometric_converter: true,
            control_backlash: 0.0,
            pivot_backlash: 0.0,
            friction_band: 0.0,
            crosstalk: 0.0,
            calibration: CalibrationMethod::TwoPoint,
        }
    }
}

impl ErrorBudgetSpec {
    fn check(&self) -> Result<()> {
        let [coldest, hottest] = CELSIUS;
        if let Some([cold, hot]) = self.celsius {
            within("coldest temperature", cold, coldest, hottest, "degC")?;
            within("hottest temperature", hot, cold, hottest, "degC")?;
        }
        within(
            "tolerance of the supply",
            self.supply_tolerance,
            0.0,
            MAX_SUPPLY,
            "of the supply",
        )?;
        within(
            "backlash at the control",
            self.control_backlash,
            0.0,
            PI,
            "rad",
        )?;
        within("backlash at the pivot", self.pivot_backlash, 0.0, PI, "rad")?;
        within("friction band", self.friction_band, 0.0, PI, "rad")?;
        let most = Converter::MAX_CODE as f64;
        within("crosstalk", self.crosstalk, 0.0, most, "counts")?;
        self.calibration.check()
    }
}

/// One line of an [`ErrorBudget`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ErrorContribution {
    /// What makes it.
    pub cause: ErrorCause,
    /// Greatest departure of the position over the throw, rad; of noise, three standard deviations.
    pub angle: f64,
    /// Its standard deviation by the distribution of its cause, rad.
    pub standard_deviation: f64,
    /// The greatest departure as a share of the throw, from end to end.
    pub share: f64,
    /// The greatest departure in counts, at the mean gain over the throw.
    pub counts: f64,
}

impl ErrorContribution {
    /// How it is taken to be distributed.
    #[must_use]
    pub fn distribution(&self) -> ErrorDistribution {
        self.cause.distribution()
    }

    /// What helps against it.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        self.cause.remedy()
    }
}

checked_when_read! {
    /// How far the position that a calibrated reading tells may be from the control's, by cause: a line for every
    /// [`ErrorCause`], those of zero too.
    ///
    /// # What each line is
    /// All are angles of the control, the greatest over the throw; what is known in counts or volts is divided by the
    /// gain where the characteristic is flattest, outside its clipped part.
    /// - *Quantization*: half a step. *Noise*: three times its rms, behind filter and averaging.
    /// - *Nonlinearity*: the characteristic through the calibration, less the angle; exact, the extremes followed.
    /// - *Drifts, supply*: the position told in that state less the one told when calibrated, the greater of the two
    ///   ends. Exact: the field is computed anew and the rails hold what they hold. Beyond the ends of the
    ///   calibration its outer pieces go on straight, so that no drift is hidden there.
    /// - *Backlash, friction*: half of the play and half of the band. *Crosstalk*: the whole change, for the other axis
    ///   may have stood at either end when this one was calibrated.
    /// - *Converter nonlinearity, potentiometer linearity*: the limits that the data sheet gives, all of them, for
    ///   nobody knows what of them a calibration has met.
    ///
    /// Spread of parts (sensitivity, remanence, gap) is none of it: a calibration meets it, and a tolerance study
    /// says what it does to the range.
    ///
    /// # How they add up
    /// For the root sum square each becomes a standard deviation: an error anywhere between -a and a has a / sqrt(3),
    /// quantization with its limits at half a step so lsb / sqrt(12), or less with averaging over noise; one at either
    /// limit, as with backlash, a itself. Twice the sum covers about 95 % if no line rules. The worst case is the plain
    /// sum of the greatest.
    ///
    /// # References
    /// *Guide to the expression of uncertainty in measurement* (JCGM 100:2008), 4.3.7 for the rectangular distribution,
    /// 5.1.2 for the root sum square of what is independent, 6.3 for the factor 2 (from memory).
    #[derive(Debug, Clone, PartialEq, Serialize)]
    pub struct ErrorBudget {
        contributions: Vec<ErrorContribution>,
        travel: f64,
        counts_per_radian: f64,
        drift: f64,
    }
}

impl ErrorBudget {
    fn check(&self) -> Result<()> {
        let causes = ErrorCause::ALL.len();
        counted(
            "lines of an error budget",
            self.contributions.len(),
            [causes; 2],
        )?;
        for (line, cause) in self.contributions.iter().zip(ErrorCause::ALL) {
            if line.cause != cause {
                return Err(Error::Absent {
                    quantity: "line of every cause in its order",
                    of: "the error budget",
                    advice: "",
                });
            }
            within("error", line.angle, 0.0, f64::MAX, "rad")?;
            let deviation = line.standard_deviation;
            within("standard deviation", deviation, 0.0, f64::MAX, "rad")?;
            within("error", line.share, 0.0, f64::MAX, "of the throw")?;
            within("error", line.counts, 0.0, f64::MAX, "counts")?;
        }
        within("throw", self.travel, f64::MIN_POSITIVE, f64::MAX, "rad")?;
        let gain = self.counts_per_radian;
        within("mean gain", gain, 0.0, f64::MAX, "counts/rad")?;
        within("drift", self.drift, 0.0, f64::MAX, "rad")?;
        Ok(())
    }

    /// The lines, in the order of [`ErrorCause::ALL`].
    #[must_use]
    pub fn contributions(&self) -> &[ErrorContribution] {
        &self.contributions
    }

    /// The line of a cause.
    #[must_use]
    pub fn of(&self, cause: ErrorCause) -> &ErrorContribution {
        // The lines stand in the order of the causes, as made or as checked when read.
        &self.contributions[cause as usize]
    }

    /// The line with the greatest standard deviation: what to mend first.
    #[must_use]
    pub fn largest(&self) -> &ErrorContribution {
        let lines = self.contributions.iter();
        lines
            .rev()
            .max_by(|a, b| a.standard_deviation.total_cmp(&b.standard_deviation))
            .unwrap_or(&self.contributions[0])
    }

    /// Root sum square of the standard deviations, rad: the standard deviation of the position.
    #[must_use]
    pub fn root_sum_square(&self) -> f64 {
        let deviations = self
            .contributions
            .iter()
            .map(|line| line.standard_deviation);
        deviations.fold(0.0, f64::hypot)
    }

    /// Sum of the greatest departures, rad: more is not to be expected, and so much hardly ever.
    #[must_use]
    pub fn worst_case(&self) -> f64 {
        self.contributions.iter().map(|line| line.angle).sum()
    }

    /// Greatest departure of the position at the coldest and the hottest temperature, rad, from the one told when
    /// calibrated, with all drifts together as they add up or make up for one another. The sums take the lines.
    #[must_use]
    pub fn drift(&self) -> f64 {
        self.drift
    }

    /// The throw from end to end, rad.
    #[must_use]
    pub fn travel(&self) -> f64 {
        self.travel
    }

    /// An angle, rad, as a share of the throw.
    #[must_use]
    pub fn share_of_travel(&self, angle: f64) -> f64 {
        angle / self.travel
    }

    /// An angle, rad, in counts at the mean gain over the throw.
    #[must_use]
    pub fn in_counts(&self, angle: f64) -> f64 {
        angle * self.counts_per_radian
    }
}

impl fmt::Display for ErrorBudget {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{:<26}{:<13}{:>14}{:>12}{:>11}{:>10}",
            "cause", "distribution", "greatest, deg", "std, deg", "% of throw", "counts"
        )?;
        let mut row = |name: &str, distribution: &str, angle: f64, deviation: f64| {
            let share = 100.0 * self.share_of_travel(angle);
            let counts = self.in_counts(angle);
            let (angle, deviation) = (angle / DEG, deviation / DEG);
            writeln!(
                f,
                "{name:<26}{distribution:<13}{angle:>14.4}{deviation:>12.4}{share:>11.3}{counts:>10.2}"
            )
        };
        for line in &self.contributions {
            let distribution = line.distribution().to_string();
            let name = line.cause.to_string();
            row(&name, &distribution, line.angle, line.standard_deviation)?;
        }
        row("sum", "", self.worst_case(), self.root_sum_square())
    }
}

impl Axis {
    /// What the errors of the position add up to; see [`ErrorBudget`].
    ///
    /// # Errors
    /// As [`Axis::figures`]; [`Error::NotFinite`], [`Error::OutOfRange`], [`Error::Count`] for what `spec` says;
    /// [`Error::Absent`] if the reading turns back or stands still, so that it tells no position;
    /// [`Error::NotAscending`] if neighboring points of the calibration do not differ; as [`Axis::at_temperature`].
    pub fn error_budget(&self, spec: &ErrorBudgetSpec) -> Result<ErrorBudget> {
        spec.check()?;
        EvaluatedAxis::new(self, POINTS)?.error_budget(spec)
    }
}

impl EvaluatedAxis<'_> {
    /// As [`Axis::error_budget`].
    ///
    /// # Errors
    /// As [`Axis::error_budget`].
    pub(crate) fn error_budget(&self, spec: &ErrorBudgetSpec) -> Result<ErrorBudget> {
        ErrorBudget::new(self, spec)
    }

    /// The constants by a method of calibration.
    ///
    /// # Errors
    /// Of a control that cannot be calibrated so.
    pub(crate) fn calibrated(&self, method: CalibrationMethod) -> Result<DesignTable> {
        method.table(self.axis(), &self.output()).map(DesignTable)
    }
}

impl ErrorBudget {
    fn new(of: &EvaluatedAxis<'_>, spec: &ErrorBudgetSpec) -> Result<Self> {
        spec.check()?;
        let (axis, curve, figures) = (of.axis(), of.curve(), of.figures());
        let Some(step) = figures.step_quantization_worst() else {
            return Err(Error::Absent {
                quantity: "position for every reading",
                of: "the axis",
                advice: "its reading turns back or stands still within the throw",
            });
        };
        let converter = axis.converter();
        let of_output = |output: f64| step * (output / converter.lsb());
        let states = States {
            axis,
            spec,
            output: of.output(),
            table: spec.calibration.table(axis, &of.output())?,
        };

        let chain = axis.noise_at(0.0)?;
        let pot = match axis.sensor() {
            Sensor::Potentiometer(pot) => Some(pot),
            _ => None,
        };
        let [nonlinearity, loading] = match pot.filter(|pot| pot.spec().load.is_some()) {
            Some(pot) => states.without_load(pot)?,
            None => [states.table.error(axis, &states.output)?, 0.0],
        };
        let contact = match pot {
            Some(pot) => {
                let [_, most] = curve.signal_range();
                let [_, top] = pot.output_range();
                of_output(pot.contact_error(pot.angle_for(most.min(top))?)?)
            }
            None => 0.0,
        };
        let [remanence, sensitivity, quiescent, drift] = states.drifts()?;

        let [lower, upper] = axis.throw();
        let travel = upper - lower;
        let [least, most] = curve
            .signal_range()
            .map(|signal| axis.sensor().characteristic().held(signal));
        let counts_per_radian = (most - least) / converter.lsb() / travel;
        let line = |cause: ErrorCause| {
            let angle = match cause {
                ErrorCause::Quantization => 0.5 * step,
                ErrorCause::Noise => NOISE_COVERAGE * figures.step_noise_worst().unwrap_or(0.0),
                ErrorCause::Nonlinearity => nonlinearity,
                ErrorCause::RemanenceDrift => remanence,
                ErrorCause::SensitivityDrift => sensitivity,
                ErrorCause::QuiescentDrift => quiescent,
                ErrorCause::Supply => states.supply()?,
                ErrorCause::Backlash => 0.5 * (spec.control_backlash + pivot_backlash(axis, spec)?),
                ErrorCause::Friction => 0.5 * spec.friction_band,
                ErrorCause::Crosstalk => spec.crosstalk * step,
                ErrorCause::ConverterNonlinearity => converter.nonlinearity() * step,
                ErrorCause::PotentiometerLinearity => {
                    pot.map_or(0.0, |pot| of_output(pot.linearity_error()))
                }
                ErrorCause::PotentiometerLoading => loading,
                ErrorCause::WiperContact => contact,
            };
            let standard_deviation = match cause {
                ErrorCause::Quantization => of_output(chain.quantization),
                _ => match cause.distribution() {
                    ErrorDistribution::Normal => angle / NOISE_COVERAGE,
                    ErrorDistribution::Rectangular => angle / 3_f64.sqrt(),
                    ErrorDistribution::TwoPoint => angle,
                },
            };
            within_computed("error of the position", angle, 0.0, f64::MAX, "rad")?;
            Ok(ErrorContribution {
                cause,
                angle,
                standard_deviation,
                share: angle / travel,
                counts: angle * counts_per_radian,
            })
        };
        let contributions = ErrorCause::ALL.into_iter().map(line);
        Ok(Self {
            contributions: contributions.collect::<Result<_>>()?,
            travel,
            counts_per_radian,
            drift,
        })
    }
}

/// Lost motion at the pivot as the control has it, rad, where the drive turns the pivot least.
fn pivot_backlash(axis: &Axis, spec: &ErrorBudgetSpec) -> Result<f64> {
    if spec.pivot_backlash == 0.0 || axis.spec().drive == AnyTransmission::Identity {
        return Ok(spec.pivot_backlash);
    }
    let ratio = |angle: f64| Ok(axis.pivot_at(angle)?.ratio.abs());
    let angles = grid_angles(axis);
    let driven = axis.pivots_at(&angles);
    observer::check()?;
    if let Some(bad) = driven.valid.iter().position(|valid| !valid) {
        // The call for one angle knows the reason.
        ratio(angles[bad])?;
    }
    // Where it turns back there is a place at which it stands still.
    let turns = driven.ratios;
    let back = turns.windows(2).any(|pair| pair[0] * pair[1] < 0.0);
    let ratios: Vec<f64> = turns.iter().map(|ratio| ratio.abs()).collect();
    let slowest = if back {
        0.0
    } else {
        least(&angles, &ratios, ratio)?.value
    };
    within_computed(
        "turn of the pivot for a turn of the control where it is least",
        slowest,
        LEAST_RATIO,
        f64::MAX,
        "(no unit)",
    )?;
    Ok(spec.pivot_backlash / slowest)
}

/// The axis as calibrated, and what it tells in other states.
struct States<'a> {
    axis: &'a Axis,
    spec: &'a ErrorBudgetSpec,
    output: Output<'a>,
    table: PositionTable,
}

impl States<'_> {
    /// Greatest departure by remanence, sensitivity and quiescent output alone and by all of it, rad.
    fn drifts(&self) -> Result<[f64; 4]> {
        let mut worst = [0.0_f64; 4];
        let same = [[0.0; 2]; 0];
        let ends = self.spec.celsius.iter().chain(&same).flatten();
        for &celsius in ends {
            observer::check()?;
            // Refuses a temperature at which the parts cannot be.
            let warm = self.axis.at_temperature(celsius)?;
            let drifts = match (self.axis.sensor(), warm.sensor()) {
                (Sensor::Linear(now), Sensor::Linear(hot)) => self.of_linear(now, hot, &warm)?,
                // Without offsets it reads the direction of a field, whatever its size.
                (Sensor::Angle(sensor), _)
                    if self.axis.spec().remanence_drift != 0.0
                        && sensor.spec().offsets != [0.0; 2] =>
                {
                    // Its offsets weigh more beside a weaker field; it has no drift of its own.
                    let curve = Curve::new(&warm, POINTS)?;
                    let output = Output::new(&warm, &curve).on_turn_of(&self.output, &warm);
                    let drift = self.change(&output)?;
                    [drift, 0.0, 0.0, drift]
                }
                _ => [0.0; 4],
            };
            for (worst, drift) in worst.iter_mut().zip(drifts) {
                *worst = worst.max(drift);
            }
        }
        Ok(worst)
    }

    /// The same of a linear sensor, `now` and `hot`. The flux density is in proportion to the remanence, so that no
    /// other field has to be read.
    fn of_linear(&self, now: &LinearHall, hot: &LinearHall, warm: &Axis) -> Result<[f64; 4]> {
        let weaker = self
            .output
            .scaled(warm.remanence_share() / self.axis.remanence_share());
        let [now, hot] = [now.spec(), hot.spec()];
        let line = |sensitivity: f64, quiescent: f64| -> Result<Characteristic> {
            let sensor = LinearHall::new(LinearHallSpec {
                sensitivity,
                quiescent,
                ..now.clone()
            })?;
            Ok(Sensor::from(sensor).characteristic())
        };
        let sensitivity = line(hot.sensitivity, now.quiescent)?;
        let quiescent = line(now.sensitivity, hot.quiescent)?;
        Ok([
            self.change(&weaker)?,
            self.change(&self.output.through(sensitivity, 1.0))?,
            self.change(&self.output.through(quiescent, 1.0))?,
            self.change(&weaker.through(warm.sensor().characteristic(), 1.0))?,
        ])
    }

    /// Greatest departure with the supply off either way, rad.
    fn supply(&self) -> Result<f64> {
        let mut worst = 0.0_f64;
        if self.spec.supply_tolerance == 0.0 || !self.axis.sensor().is_analog() {
            return Ok(worst);
        }
        for sign in [-1.0, 1.0] {
            let factor = 1.0 + sign * self.spec.supply_tolerance;
            let line = supplied(self.axis.sensor(), self.spec.ratiometric_sensor, factor)?;
            let share = if self.spec.ratiometric_converter {
                1.0 / factor
            } else {
                1.0
            };
            worst = worst.max(self.change(&self.output.through(line, share))?);
        }
        Ok(worst)
    }

    fn change(&self, to: &Output<'_>) -> Result<f64> {
        if self.output.is_same(to) {
            return Ok(0.0);
        }
        apart(self.axis, [(&self.table, &self.output), (&self.table, to)])
    }

    /// The departure without the load, calibrated as well, and what the load adds to it, rad.
    fn without_load(&self, pot: &Potentiometer) -> Result<[f64; 2]> {
        let open = Potentiometer::new(PotentiometerSpec {
            load: None,
            ..pot.spec().clone()
        })?;
        let axis = Axis::new(AxisSpec {
            sensor: open.into(),
            ..self.axis.spec().clone()
        })?;
        let curve = Curve::new(&axis, POINTS)?;
        let output = Output::new(&axis, &curve);
        let table = self.spec.calibration.table(&axis, &output)?;
        let open = table.error(&axis, &output)?;
        let between = apart(self.axis, [(&self.table, &self.output), (&table, &output)])?;
        Ok([open, between])
    }
}

/// The characteristic with a supply that is off by a `factor`, of a sensor that follows it or not.
fn supplied(sensor: &Sensor, follows: bool, factor: f64) -> Result<Characteristic> {
    let line = sensor.characteristic();
    let in_proportion = Characteristic {
        zero: factor * line.zero,
        gain: factor * line.gain,
        limits: line.limits.map(|limit| factor * limit),
    };
    Ok(match sensor {
        Sensor::Linear(sensor) => {
            let spec = sensor.spec();
            let nominal = if follows { 1.0 } else { factor };
            // Its rails keep their distance to ground and supply.
            let sensor = LinearHall::new(LinearHallSpec {
                supply: factor * spec.supply,
                nominal_supply: nominal * spec.nominal_supply,
                ..spec.clone()
            })?;
            Sensor::from(sensor).characteristic()
        }
        Sensor::Angle(_) if follows => in_proportion,
        Sensor::Angle(_) => line,
        Sensor::Potentiometer(_) => in_proportion,
    })
}
