//! The potentiometer: volts from the angle of a shaft.

use std::f64::consts::TAU;

use serde::{Deserialize, Serialize};

use crate::error::{Result, within, within_computed};
use crate::hall::MAX_NOISE;
use crate::hall::values::SensorOutputs;
use crate::numeric::root::between;
use crate::stored::stored_as_spec;
use crate::units::DEG;

/// Electrical travels, rad: from short strokes with a lever to ten turns.
const TRAVEL: [f64; 2] = [5.0 * DEG, 10.0 * TAU];
/// Longest mechanical travel, rad: half a turn more than ten.
const MAX_MECHANICAL: f64 = 10.5 * TAU;
const TRACK: [f64; 2] = [10.0, 1e7];
const LOAD: [f64; 2] = [10.0, 1e12];
/// Most of the supply that a linearity may be: a part that is worse tells no angle.
const MAX_LINEARITY: f64 = 0.2;
/// Most of the track that an end resistance or the noise resistance may be.
const MAX_SHARE: f64 = 0.5;

/// What the data sheet of a potentiometer and its circuit say; [`Potentiometer::new`] checks it.
///
/// Angles count from the start of the electrical travel, where the wiper leaves the end of the track at ground.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PotentiometerSpec {
    /// Electrical travel: over which the output changes, rad, 5 degrees to 10 turns.
    pub travel: f64,
    /// Mechanical travel: from stop to stop, rad, not below the electrical one, which lies in its middle, up to 10.5
    /// turns. Between the two the output stands still.
    pub mechanical_travel: f64,
    /// Resistance of the track over the electrical travel, ohm, 10 to 10 million.
    pub resistance: f64,
    /// End resistances between the track and ground, and between the track and the supply, ohm, each 0 to half the
    /// track.
    pub end_resistances: [f64; 2],
    /// Independent linearity, as a share of the supply, 0 to 0.2: 0.01 for a tolerance of 1 % either way, worst case.
    pub linearity: f64,
    /// Noise of the wiper, V rms, 0 to 0.1.
    pub noise: f64,
    /// Equivalent noise resistance, ohm, 0 to half the track: the greatest voltage by which the wiper's contact
    /// disturbs the output, over the current through the wiper.
    pub noise_resistance: f64,
    /// Resistance of the converter's input, from the wiper to ground, ohm, 10 to 1e12; `None` if it draws no current.
    pub load: Option<f64>,
    /// Supply voltage, V, 0.5 to 40.
    pub supply: f64,
    /// Where on the electrical travel the control's center stands, rad.
    pub center: f64,
}

impl PotentiometerSpec {
    /// An ideal potentiometer with an electrical `travel` (rad) at a `supply` (V): 10 kilohm, nothing beyond the
    /// electrical travel, no end resistances, no load, no errors; centered in the middle.
    #[must_use]
    pub fn new(travel: f64, supply: f64) -> Self {
        Self {
            travel,
            mechanical_travel: travel,
            resistance: 10e3,
            end_resistances: [0.0; 2],
            linearity: 0.0,
            noise: 0.0,
            noise_resistance: 0.0,
            load: None,
            supply,
            center: 0.5 * travel,
        }
    }
}

/// A potentiometer as a voltage divider, loaded by the converter's input.
///
/// With the wiper at x = angle / travel on a track R between end resistances r0 and r1, a = r0 + x R below and
/// b = r1 + (1 - x) R above it, and the load R_in from the wiper to ground,
/// V = supply a / (a + b + a b / R_in).
///
/// # Example
/// ```
/// use yokewright::hall::{Potentiometer, PotentiometerSpec};
/// use yokewright::units::DEG;
///
/// let ideal = Potentiometer::new(PotentiometerSpec::new(300.0 * DEG, 5.0))?;
/// assert!((ideal.output(150.0 * DEG)? - 2.5).abs() < 1e-12);
/// assert!((ideal.share(12.0 * DEG)? - 0.04).abs() < 1e-12);
///
/// let loaded = Potentiometer::new(PotentiometerSpec {
///     load: Some(1e6),
///     ..ideal.spec().clone()
/// })?;
/// // About 4/27 R/R_in of the supply at worst.
/// assert!((loaded.max_loading_error() - 5.0 * 4.0 / 27.0 * 0.01).abs() < 1e-4);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// The loaded voltage divider (textbook). Electrical and mechanical travel, independent linearity, end resistance,
/// equivalent noise resistance: the terms of IEC 60393-1 and of the trade (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct Potentiometer {
    spec: PotentiometerSpec,
}

stored_as_spec!(Potentiometer, PotentiometerSpec);

impl Potentiometer {
    /// Checks a data sheet.
    ///
    /// # Errors
    /// [`NotFinite`](crate::Error::NotFinite) or [`OutOfRange`](crate::Error::OutOfRange) for a value outside the range
    /// that [`PotentiometerSpec`] gives.
    pub fn new(spec: PotentiometerSpec) -> Result<Self> {
        let [least, most] = TRAVEL;
        let travel = within("electrical travel", spec.travel, least, most, "rad")?;
        let mechanical = spec.mechanical_travel;
        within(
            "mechanical travel",
            mechanical,
            travel,
            MAX_MECHANICAL,
            "rad",
        )?;
        let [least, most] = TRACK;
        let track = within(
            "resistance of the track",
            spec.resistance,
            least,
            most,
            "ohm",
        )?;
        let share = MAX_SHARE * track;
        let [low, high] = spec.end_resistances;
        within("end resistance to ground", low, 0.0, share, "ohm")?;
        within("end resistance to the supply", high, 0.0, share, "ohm")?;
        let linearity = spec.linearity;
        within(
            "independent linearity",
            linearity,
            0.0,
            MAX_LINEARITY,
            "(no unit)",
        )?;
        within("noise of the wiper", spec.noise, 0.0, MAX_NOISE, "V")?;
        within(
            "equivalent noise resistance",
            spec.noise_resistance,
            0.0,
            share,
            "ohm",
        )?;
        if let Some(load) = spec.load {
            let [least, most] = LOAD;
            within(
                "resistance of the converter's input",
                load,
                least,
                most,
                "ohm",
            )?;
        }
        within("sensor supply", spec.supply, 0.5, 40.0, "V")?;
        within(
            "center on the electrical travel",
            spec.center,
            0.0,
            travel,
            "rad",
        )?;
        Ok(Self { spec })
    }

    /// What it was made of.
    #[must_use]
    pub fn spec(&self) -> &PotentiometerSpec {
        &self.spec
    }

    /// From stop to stop, as angles from the start of the electrical travel, rad.
    #[must_use]
    pub fn mechanical_range(&self) -> [f64; 2] {
        let beyond = 0.5 * (self.spec.mechanical_travel - self.spec.travel);
        [-beyond, self.spec.travel + beyond]
    }

    /// Resistances below and above the wiper, ohm, at a share of the electrical travel.
    fn sides(&self, share: f64) -> [f64; 2] {
        let [low, high] = self.spec.end_resistances;
        let track = self.spec.resistance;
        [low + share * track, high + (1.0 - share) * track]
    }

    /// End resistances and track together, ohm.
    fn whole(&self) -> f64 {
        let [low, high] = self.spec.end_resistances;
        low + self.spec.resistance + high
    }

    /// 1 / R_in, 1/ohm.
    fn conductance(&self) -> f64 {
        self.spec.load.map_or(0.0, f64::recip)
    }

    /// Share of the electrical travel, held at its ends, of an angle within the mechanical travel.
    fn wiper(&self, angle: f64) -> Result<f64> {
        let [least, most] = self.mechanical_range();
        within("angle from the start of travel", angle, least, most, "rad")?;
        Ok((angle / self.spec.travel).clamp(0.0, 1.0))
    }

    /// Output, V, at a share of the electrical travel.
    fn output_at(&self, share: f64) -> f64 {
        let [below, above] = self.sides(share);
        let divisor = self.whole() + below * above * self.conductance();
        self.spec.supply * (below / divisor)
    }

    /// Output, V, at an angle from the start of the electrical travel, rad; before and behind it the output stands.
    ///
    /// # Errors
    /// [`NotFinite`](crate::Error::NotFinite); [`OutOfRange`](crate::Error::OutOfRange) outside the mechanical travel.
    pub fn output(&self, angle: f64) -> Result<f64> {
        self.wiper(angle).map(|share| self.output_at(share))
    }

    /// Output, V, at each angle from the start of the electrical travel, rad.
    #[must_use]
    pub fn outputs(&self, angles: &[f64]) -> SensorOutputs {
        SensorOutputs::of(angles, |&angle| self.output(angle).ok())
    }

    /// Change of the output with the angle, V/rad: 0 beyond the electrical travel, from the inside at its ends.
    ///
    /// # Errors
    /// As [`output`](Self::output).
    pub fn slope(&self, angle: f64) -> Result<f64> {
        let share = self.wiper(angle)?;
        if !(0.0..=self.spec.travel).contains(&angle) {
            return Ok(0.0);
        }
        let [below, above] = self.sides(share);
        let (whole, conductance) = (self.whole(), self.conductance());
        let divisor = whole + below * above * conductance;
        // d/da of a / (T + a (T - a) / R_in), with the track's ohms per radian.
        let per_ohm = (whole + below * below * conductance) / (divisor * divisor);
        Ok(self.spec.supply * per_ohm * (self.spec.resistance / self.spec.travel))
    }

    /// Output, V, with the shaft turned by an angle, rad, from where the control is centered; beyond the electrical
    /// travel it goes on straight, so that how far it is beyond can be told.
    pub(crate) fn straight_beyond(&self, turned: f64) -> Result<f64> {
        let angle = self.spec.center + turned;
        let inside = angle.clamp(0.0, self.spec.travel);
        let beyond = angle - inside;
        let output = self.output(angle)?;
        Ok(if beyond == 0.0 {
            output
        } else {
            output + beyond * self.slope(inside)?
        })
    }

    /// Change of [`straight_beyond`](Self::straight_beyond) with the angle, V/rad.
    pub(crate) fn slope_beyond(&self, turned: f64) -> Result<f64> {
        let angle = self.spec.center + turned;
        self.output(angle)?;
        self.slope(angle.clamp(0.0, self.spec.travel))
    }

    /// Lowest and highest output, V.
    #[must_use]
    pub fn output_range(&self) -> [f64; 2] {
        [self.output_at(0.0), self.output_at(1.0)]
    }

    /// The angle from the start of the electrical travel, rad, at which the output is so many volts.
    ///
    /// # Errors
    /// [`NotFinite`](crate::Error::NotFinite); [`OutOfRange`](crate::Error::OutOfRange) outside
    /// [`output_range`](Self::output_range).
    pub fn angle_for(&self, volts: f64) -> Result<f64> {
        let [least, most] = self.output_range();
        within("output of the potentiometer", volts, least, most, "V")?;
        // V g a^2 + (supply - V g T) a - V T = 0 for the resistance a below the wiper; its one positive root, by the
        // form that does not cancel.
        let (whole, share) = (self.whole(), volts / self.spec.supply);
        let square = share * self.conductance() * whole;
        let linear = 1.0 - square;
        let root = linear.hypot(2.0 * (square * share).sqrt());
        let below = whole
            * if linear >= 0.0 {
                2.0 * share / (linear + root)
            } else {
                (root - linear) / (2.0 * square)
            };
        let wiper = (below - self.spec.end_resistances[0]) / self.spec.resistance;
        Ok(self.spec.travel * wiper.clamp(0.0, 1.0))
    }

    /// Share of the electrical travel, 0 to 1, that a throw, rad, uses.
    ///
    /// # Errors
    /// [`NotFinite`](crate::Error::NotFinite); [`OutOfRange`](crate::Error::OutOfRange) if the throw is negative or
    /// exceeds the electrical travel.
    pub fn share(&self, throw: f64) -> Result<f64> {
        let travel = self.spec.travel;
        Ok(within("throw", throw, 0.0, travel, "rad")? / travel)
    }

    /// By how much the load lowers the output at an angle from the start of the electrical travel, V.
    ///
    /// # Errors
    /// As [`output`](Self::output).
    pub fn loading_error(&self, angle: f64) -> Result<f64> {
        self.wiper(angle).map(|share| self.lowered_by(share))
    }

    fn lowered_by(&self, share: f64) -> f64 {
        let [below, above] = self.sides(share);
        let whole = self.whole();
        let drawn = below * above * self.conductance();
        // Not a difference of two outputs, which loses the digits of a light load.
        self.spec.supply * (below / whole) * (drawn / (whole + drawn))
    }

    /// Most by which the load lowers the output on the electrical travel, V; about 4/27 R/R_in of the supply, two
    /// thirds of the way up.
    #[must_use]
    pub fn max_loading_error(&self) -> f64 {
        let (whole, [low, high]) = (self.whole(), self.spec.end_resistances);
        let load = whole * self.conductance();
        // With u = a / T: where the derivative of u^2 (1 - u) / (1 + k u (1 - u)) vanishes, k = T / R_in. It falls from
        // 2/3 on to 1.
        let steepness = |u: f64| 2.0 - 3.0 * u + load * u * (1.0 - u) * (1.0 - u);
        let worst = between(steepness, 2.0 / 3.0, 1.0) * whole;
        let held = worst.clamp(low, whole - high);
        self.lowered_by((held - low) / self.spec.resistance)
    }

    /// Most by which the independent linearity may move the output, V.
    #[must_use]
    pub fn linearity_error(&self) -> f64 {
        self.spec.linearity * self.spec.supply
    }

    /// Most by which the contact of the wiper disturbs the output at an angle from the start of the electrical travel,
    /// V: the equivalent noise resistance times the current that the load draws.
    ///
    /// # Errors
    /// As [`output`](Self::output).
    pub fn contact_error(&self, angle: f64) -> Result<f64> {
        let volts = self.output(angle)?;
        Ok(self.spec.noise_resistance * volts * self.conductance())
    }

    /// Resistance of the source that a filter or the converter's input sees at the wiper, ohm: the two sides of the
    /// track in parallel. At most about a quarter of the track, in the middle.
    ///
    /// # Errors
    /// As [`output`](Self::output).
    pub fn source_resistance(&self, angle: f64) -> Result<f64> {
        let [below, above] = self.sides(self.wiper(angle)?);
        let resistance = below / self.whole() * above;
        within_computed("source resistance", resistance, 0.0, f64::MAX, "ohm")
    }
}

#[cfg(test)]
#[path = "potentiometer_tests.rs"]
mod tests;
