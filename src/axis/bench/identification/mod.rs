//! Which dimension is off: what explains a measured sweep, how well it is known, and what to do about it.

mod advice;
mod engine;
mod outcome;
mod rod;
mod unknown;

use serde::{Deserialize, Serialize};

use crate::axis::bench::legs::range;
use crate::axis::bench::sweep::BenchSweep;
use crate::axis::grid::even_angles;
use crate::axis::{AnyArrangement, Arrangement, Axis, AxisSpec, Moving};
use crate::error::{Error, Result, counted, within};
use crate::hall::{Converter, LinearHall, LinearHallSpec, Rounding, Sensor};
use crate::linkage::AnyTransmission;

pub use advice::BenchAdvice;
pub use outcome::{Identification, IdentifiedQuantity};
pub use rod::identify_rod;
pub use unknown::{AxisUnknown, RodUnknown, Sought};

use engine::{check_sought, fit, smallest_sd};
use unknown::Unknown;

/// Rows of a sweep that are held against the model at most.
const MOST_ROWS: usize = 100_000;
/// Angles over the throw at which the range used is looked at.
const LOOKS: usize = 101;
/// Noise of a reading, counts.
const MAX_NOISE: f64 = 1e6;

/// An axis as designed, and what of it a sweep is to tell.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct IdentificationSpec {
    /// How magnets and sensor stand, as designed.
    pub arrangement: AnyArrangement,
    /// Least and greatest angle of the control, rad, over which the range used is told.
    pub throw: [f64; 2],
    /// The sensor, as its data sheet has it.
    pub sensor: LinearHall,
    /// The converter.
    pub converter: Converter,
    /// What turns.
    pub moving: Moving,
    /// What turns the pivot when the control is moved.
    pub drive: AnyTransmission,
    /// The quantities that the sweep is to tell, 1 to 16; all others are as designed.
    pub sought: Vec<Sought<AxisUnknown>>,
    /// Noise of one reading, counts rms; none: as the fit leaves it.
    pub noise: Option<f64>,
}

impl IdentificationSpec {
    /// Of a control on its own pivot, with magnets that turn.
    pub fn new(
        arrangement: impl Into<AnyArrangement>,
        throw: [f64; 2],
        sensor: LinearHall,
        converter: Converter,
        sought: Vec<Sought<AxisUnknown>>,
    ) -> Self {
        Self {
            arrangement: arrangement.into(),
            throw,
            sensor,
            converter,
            moving: Moving::Magnets,
            drive: AnyTransmission::Identity,
            sought,
            noise: None,
        }
    }

    /// The value that a quantity has by design.
    ///
    /// # Errors
    /// [`Error::NotAChoice`] for a measure that the arrangement does not have.
    pub fn designed(&self, unknown: AxisUnknown) -> Result<f64> {
        let sensor = self.sensor.spec();
        match unknown {
            AxisUnknown::Quiescent => Ok(sensor.quiescent),
            AxisUnknown::Sensitivity => Ok(sensor.sensitivity),
            AxisUnknown::AngleZero => Ok(0.0),
            AxisUnknown::Measure(measure) => {
                self.arrangement
                    .measure(measure)
                    .ok_or_else(|| Error::NotAChoice {
                        quantity: "measure of this arrangement",
                        given: measure.to_string(),
                        choices: self
                            .arrangement
                            .measures()
                            .iter()
                            .map(|one| one.measure.to_string())
                            .collect::<Vec<_>>()
                            .join(", "),
                    })
            }
        }
    }

    /// A quantity with the tolerance of a drawing, which is taken for two standard deviations; its bounds are three
    /// times as far from the design, and end where the measure does.
    ///
    /// # Errors
    /// As [`IdentificationSpec::designed`]; [`Error::NotFinite`], [`Error::OutOfRange`] for a tolerance that is not
    /// above zero.
    pub fn toleranced(
        &self,
        quantity: AxisUnknown,
        plus_minus: f64,
    ) -> Result<Sought<AxisUnknown>> {
        let designed = self.designed(quantity)?;
        within("tolerance", plus_minus, 1e-12, 1e6, quantity.unit())?;
        let mut sought = Sought::plus_minus(quantity, designed, plus_minus);
        if let AxisUnknown::Measure(measure) = quantity {
            let [least, most] = measure.bounds();
            let [low, high] = sought.bounds;
            sought.bounds = [low.max(least), high.min(most)];
        }
        Ok(sought)
    }

    /// The axis with values of the quantities sought, and the angle of the control where the protractor showed zero.
    fn built(&self, values: &[f64]) -> Result<(Axis, f64)> {
        let mut arrangement = self.arrangement.clone();
        let mut sensor: LinearHallSpec = self.sensor.spec().clone();
        let mut zero = 0.0;
        for (sought, value) in self.sought.iter().zip(values) {
            match sought.quantity {
                AxisUnknown::Quiescent => sensor.quiescent = *value,
                AxisUnknown::Sensitivity => sensor.sensitivity = *value,
                AxisUnknown::AngleZero => zero = *value,
                AxisUnknown::Measure(measure) => {
                    arrangement = arrangement.with_measure(measure, *value)?;
                }
            }
        }
        let sensor = LinearHall::new(sensor)?;
        let spec = arrangement.axis_spec(self.throw, sensor, self.converter.clone(), self.moving);
        let drive = self.drive.clone();
        Ok((Axis::new(AxisSpec { drive, ..spec })?, zero))
    }

    /// Share of the codes used over the throw.
    fn range_used(&self, values: &[f64]) -> Result<f64> {
        let (axis, _) = self.built(values)?;
        let [least, most] = range(&mean_counts(&axis, &even_angles(self.throw, LOOKS))?);
        Ok((most - least) / self.converter.max_code() as f64)
    }
}

/// The mean counts of an axis at angles, before they are rounded to whole ones.
fn mean_counts(axis: &Axis, angles: &[f64]) -> Result<Vec<f64>> {
    let Sensor::Linear(sensor) = axis.sensor() else {
        return Err(Error::Absent {
            quantity: "flux density along a sensitive direction",
            of: axis.sensor().kind(),
            advice: "",
        });
    };
    let (line, converter) = (sensor.characteristic(), axis.converter());
    // Code k of a converter that rounds down covers k to k + 1 steps: its mean reading is half a step less.
    let shift = match converter.rounding() {
        Rounding::Nearest => 0.0,
        Rounding::Down => 0.5,
    };
    let top = converter.max_code() as f64;
    let signals = axis.checked_signals_at(angles)?;
    let count = |signal: f64| (line.held(signal) / converter.lsb() - shift).clamp(0.0, top);
    Ok(signals.into_iter().map(count).collect())
}

/// What explains a measured sweep: the values of the quantities sought, and advice for what is surely off.
///
/// Readings are taken as counts with a standard deviation of sqrt(noise^2 + 1/12), the latter of whole counts; without
/// a given noise by what the fit leaves, with n - p degrees of freedom. Rows of there and back are fitted together.
///
/// # Errors
/// [`Error::Count`] for no or more than 16 quantities, rows no more than quantities, more than 100,000 rows, or a
/// converter with other bits than the sweep's; [`Error::NameTaken`] for a quantity that is sought twice;
/// [`Error::NotAChoice`] for a measure that the arrangement does not have; [`Error::NotFinite`],
/// [`Error::OutOfRange`], [`Error::NotAscending`] for bounds that do not hold the design, a standard deviation or a
/// noise; what the axis refuses at the start.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Vector3};
/// use yokewright::axis::{
///     AxisUnknown, BenchSweep, IdentificationSpec, Measure, Sought, SwungLayout, SwungLayoutSpec, identify_axis,
/// };
/// use yokewright::axis::{Arrangement, Moving};
/// use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
/// use yokewright::magnet::Block;
/// use yokewright::units::{DEG, MM, MV_PER_MT};
///
/// let cube = Block::new(Vector3::repeat(5.0 * MM), Vector3::new(0.0, 1.3, 0.0), Isometry3::identity())?;
/// let layout = SwungLayout::new(SwungLayoutSpec::new(cube, 12.0 * MM, 2.0 * MM))?;
/// let sensor = LinearHall::new(LinearHallSpec::new(5.0, 20.0 * MV_PER_MT))?;
/// let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0)?;
/// let throw = [-6.0 * DEG, 6.0 * DEG];
///
/// // What was built has its sensor 0.3 mm too far away.
/// let built = layout.with(12.0 * MM, 2.3 * MM)?.axis(throw, sensor.clone(), converter.clone(), Moving::Magnets)?;
/// let measured = built.sweep(101)?;
/// let counts = measured.counts().iter().map(|count| *count as f64).collect();
/// let sweep = BenchSweep::new(12, measured.angle().to_vec(), counts)?;
///
/// let gap = Sought::within(AxisUnknown::Measure(Measure::Gap), [1.0 * MM, 4.0 * MM]);
/// let spec = IdentificationSpec::new(layout, throw, sensor, converter, vec![gap]);
/// let (found, advice) = identify_axis(&sweep, &spec)?;
/// let gap = found.quantity("gap").unwrap();
/// assert!((gap.value - 2.3 * MM).abs() < 0.002 * MM && gap.standard_error.unwrap() < 0.001 * MM);
/// assert!(advice[0].text.starts_with("move the sensor 0.30"));
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn identify_axis(
    sweep: &BenchSweep,
    spec: &IdentificationSpec,
) -> Result<(Identification, Vec<BenchAdvice>)> {
    let names: Vec<AxisUnknown> = spec.sought.iter().map(|sought| sought.quantity).collect();
    check_sought(&names)?;
    counted(
        "rows of the sweep to identify from",
        sweep.rows(),
        [2, MOST_ROWS],
    )?;
    let bits = sweep.bits() as usize;
    counted(
        "bits of the converter of the axis",
        spec.converter.bits() as usize,
        [bits, bits],
    )?;
    if let Some(noise) = spec.noise {
        within("noise of a reading", noise, 0.0, MAX_NOISE, "counts")?;
    }
    let unknowns = spec
        .sought
        .iter()
        .map(|sought| {
            let designed = spec.designed(sought.quantity)?;
            Unknown::new(sought, sought.quantity.unit(), designed)
        })
        .collect::<Result<Vec<Unknown>>>()?;
    let departures = |values: &[f64]| -> Result<Vec<f64>> {
        let (axis, zero) = spec.built(values)?;
        let angles: Vec<f64> = sweep.angle().iter().map(|angle| angle + zero).collect();
        let counts = mean_counts(&axis, &angles)?;
        Ok(counts
            .iter()
            .zip(sweep.count())
            .map(|(model, count)| model - count)
            .collect())
    };
    let sd = spec.noise.map(|noise| noise.hypot(12_f64.sqrt().recip()));
    // Whole counts leave their own rounding, whatever a fit of few rows says.
    let smallest = smallest_sd(sweep.count());
    let found = fit(&unknowns, sd, smallest, departures)?;
    let outcome = Identification::of(&unknowns, &found, sweep.rows(), "counts");
    let range_used = spec.range_used(&found.values)?;
    let mut advice = Vec::new();
    for (i, quantity) in outcome.quantities.iter().enumerate() {
        let AxisUnknown::Measure(measure) = names[i] else {
            continue;
        };
        let then = || {
            let mut mended = found.values.clone();
            mended[i] = quantity.designed;
            spec.range_used(&mended)
        };
        advice.extend(BenchAdvice::of(measure, quantity, range_used, then)?);
    }
    Ok((outcome, advice))
}
