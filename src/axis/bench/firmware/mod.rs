//! A calibration as constants and source for a microcontroller: table, shift and clamp in whole numbers.

mod listing;
mod name;
mod side;
mod source_c;
mod source_rust;

use serde::{Deserialize, Serialize};

use crate::axis::bench::calibration::{Calibration, CalibrationCurve};
use crate::axis::bench::sweep::highest;
use crate::error::{Error, Result, ascending, counted, finite, within, within_computed};
use crate::observer;
use crate::stored::stored_by_its_constructor;
use crate::units::DEG;

use side::{Side, both};

/// Bits of a converter whose every code is run through, bits of the output, and knots of one side.
const BITS: [usize; 2] = [6, 16];
const OUTPUT_BITS: [usize; 2] = [8, 16];
const KNOTS: [usize; 2] = [2, 129];
/// Least travel of a side between its zones, rad.
const LEAST_SIDE: f64 = 1e-6;
/// Codes between two looks at the observer.
const LOOK: usize = 1 << 12;

/// What the firmware makes of the position.
///
/// The output is 0 from the center to the dead zone on either side, full from the end zone on, and grows straight
/// between, each side by its own travel: from -(2^(bits-1) - 1) to 2^(bits-1) - 1.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FirmwareSpec {
    /// Name of the axis. In the sources it is `axis_` with the name in lower case, blanks, hyphens and dots as
    /// underscores; other characters are refused.
    pub name: String,
    /// Knots of the table of each side, 2 to 129.
    pub knots: usize,
    /// Bits of the output, 8 to 16.
    pub output_bits: u32,
    /// Angle at which the output is 0, rad.
    pub center: f64,
    /// Angles at the lower and the upper end, rad; at one of them the center may lie, as of a lever.
    pub ends: [f64; 2],
    /// On either side of the center, rad.
    pub dead_zone: f64,
    /// Before either end, rad.
    pub end_zone: f64,
}

impl FirmwareSpec {
    /// 17 knots and 16 bits, centered at angle zero, without zones, ends at those of the travel.
    pub fn new(name: impl Into<String>, travel: [f64; 2]) -> Self {
        Self {
            name: name.into(),
            knots: 17,
            output_bits: 16,
            center: 0.0,
            ends: travel,
            dead_zone: 0.0,
            end_zone: 0.0,
        }
    }

    fn full(&self) -> u32 {
        (1 << (self.output_bits - 1)) - 1
    }

    fn check(&self) -> Result<()> {
        counted("knots of one side of the firmware", self.knots, KNOTS)?;
        counted("bits of the output", self.output_bits as usize, OUTPUT_BITS)?;
        let ends = ascending("ends of the firmware", self.ends, "rad")?;
        let turn = crate::axis::bench::sweep::MAX_ANGLE;
        for end in ends {
            within("end of the firmware", end, -turn, turn, "rad")?;
        }
        within(
            "center of the firmware",
            self.center,
            ends[0],
            ends[1],
            "rad",
        )?;
        within("dead zone", self.dead_zone, 0.0, turn, "rad")?;
        within("end zone", self.end_zone, 0.0, turn, "rad")?;
        let zones = self.dead_zone + self.end_zone;
        for side in [self.center - ends[0], ends[1] - self.center] {
            if side > 0.0 {
                let of = "travel of a side between dead and end zone";
                within_computed(of, side - zones, LEAST_SIDE, turn, "rad")?;
            }
        }
        Ok(())
    }

    /// The output that a position should have, not rounded.
    fn wanted(&self, position: f64) -> f64 {
        let from_center = position - self.center;
        let end = self.ends[usize::from(from_center > 0.0)];
        let travel = (end - self.center).abs() - self.dead_zone - self.end_zone;
        // A side that has no travel: a lever, pushed beyond where its sweep began.
        if travel <= 0.0 {
            return 0.0;
        }
        let part = ((from_center.abs() - self.dead_zone) / travel).clamp(0.0, 1.0);
        f64::from(self.full()) * part * from_center.signum()
    }

    /// Angle of the control for one step of the output, rad: of the side with the longer travel.
    fn step(&self) -> f64 {
        let sides = [self.center - self.ends[0], self.ends[1] - self.center];
        let longest = sides[0].max(sides[1]) - self.dead_zone - self.end_zone;
        longest / f64::from(self.full())
    }
}

/// Constants and source for a microcontroller, and how far they are from the calibration.
///
/// Every code of the converter has been run through: the errors told are those there are, and no intermediate value
/// exceeds 32 bits without a sign. Between the knots the output is straight; the knots of each side stand where the
/// greatest error becomes least, on whole codes.
///
/// # Example
/// ```
/// use yokewright::axis::{CalibrationCurve, Firmware, FirmwareSpec};
/// use yokewright::units::DEG;
///
/// let curve = CalibrationCurve::monotone_cubic(&[
///     [300.0, -10.0 * DEG], [1100.0, -5.0 * DEG], [2100.0, 0.0], [3100.0, 5.0 * DEG], [3800.0, 10.0 * DEG],
/// ])?;
/// let firmware = Firmware::new(curve, 12, FirmwareSpec {
///     dead_zone: 0.1 * DEG,
///     end_zone: 0.2 * DEG,
///     ..FirmwareSpec::new("rudder", [-10.0 * DEG, 10.0 * DEG])
/// })?;
/// assert_eq!(firmware.output(2100), 0);
/// assert_eq!([0, 4095].map(|code| firmware.output(code)), [-32767, 32767]);
/// assert!(firmware.worst_angle() < 0.01 * DEG);
/// assert!(firmware.c_source().contains("int32_t axis_rudder_output(uint32_t code)"));
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Firmware {
    curve: CalibrationCurve,
    bits: u32,
    spec: FirmwareSpec,
    identifier: String,
    shift: u32,
    /// Codes below the center and above it.
    sides: [Option<Side>; 2],
    /// Sign of the output above the center.
    sign: i32,
    worst: f64,
    worst_code: u32,
}

stored_by_its_constructor!(Firmware {
    curve: CalibrationCurve,
    bits: u32,
    spec: FirmwareSpec
} => Self::new(curve, bits, spec));

impl Calibration {
    /// Its curve as constants for a microcontroller.
    ///
    /// # Errors
    /// As [`Firmware::new`].
    pub fn firmware(&self, spec: FirmwareSpec) -> Result<Firmware> {
        Firmware::new(self.curve().clone(), self.bits(), spec)
    }
}

impl Firmware {
    /// Of a curve and a converter of 6 to 16 bits.
    ///
    /// # Errors
    /// [`Error::NotAChoice`] for a name with other characters than letters a to z, digits, blanks, hyphens, dots and
    /// underscores; [`Error::Count`] for its length (1 to 48), bits, knots; [`Error::NotFinite`],
    /// [`Error::OutOfRange`], [`Error::NotAscending`] for ends, center and zones that leave no travel;
    /// [`Error::Absent`] if every code has one output.
    pub fn new(curve: CalibrationCurve, bits: u32, spec: FirmwareSpec) -> Result<Self> {
        counted("converter bits for the firmware", bits as usize, BITS)?;
        spec.check()?;
        let identifier = name::identifier(&spec.name)?;
        let full = f64::from(spec.full());
        let sign = if curve.is_rising() { 1.0 } else { -1.0 };
        let codes = 1 << bits;
        let sizes: Vec<f64> = (0..codes)
            .map(|code| sign * spec.wanted(curve.value(f64::from(code))))
            .collect();
        // They rise with the code: full below, the lower side, nothing, the upper side, full above.
        let bound = |limit: f64| sizes.partition_point(|size| *size <= limit);
        let below = |limit: f64| sizes.partition_point(|size| *size < limit);
        let (from, to) = (bound(-full), below(0.0));
        let lower = (from < to).then(|| {
            let away: Vec<f64> = sizes[from..to].iter().rev().map(|size| -size).collect();
            ([to as u32 - 1, from as u32], away)
        });
        let (from, to) = (bound(0.0), below(full));
        let upper = (from < to).then(|| ([from as u32, to as u32 - 1], sizes[from..to].to_vec()));
        if lower.is_none() && upper.is_none() {
            return Err(Error::Absent {
                quantity: "code between center and end",
                of: "the calibration for the firmware",
                advice: "look at its center, ends and zones",
            });
        }
        let (sides, shift) = both([lower, upper], spec.knots, spec.full())?;
        let mut firmware = Self {
            identifier,
            bits,
            shift,
            sides,
            sign: sign as i32,
            worst: 0.0,
            worst_code: 0,
            curve,
            spec,
        };
        for code in 0..codes {
            if (code as usize).is_multiple_of(LOOK) {
                observer::check()?;
            }
            let error = f64::from(firmware.output(code)) - firmware.model(code);
            let error = finite("error of the firmware", error.abs(), "steps")?;
            if error > firmware.worst {
                (firmware.worst, firmware.worst_code) = (error, code);
            }
        }
        Ok(firmware)
    }

    /// The output at a code, as the sources compute it; beyond the converter as at its last code.
    #[must_use]
    pub fn output(&self, code: u32) -> i32 {
        let code = code.min(self.max_code());
        let [lower, upper] = &self.sides;
        let full = self.spec.full();
        let size =
            |side: &Side, distance| side.size(distance, self.shift, full).unwrap_or(full) as i32;
        if let Some(side) = lower
            && code <= side.first
        {
            let size = if code < side.last {
                full as i32
            } else {
                size(side, side.first - code)
            };
            return -self.sign * size;
        }
        if let Some(side) = upper
            && code >= side.first
        {
            let size = if code > side.last {
                full as i32
            } else {
                size(side, code - side.first)
            };
            return self.sign * size;
        }
        0
    }

    /// The output that the calibration has at a code, not rounded.
    #[must_use]
    pub fn model(&self, code: u32) -> f64 {
        let code = code.min(self.max_code());
        self.spec.wanted(self.curve.value(f64::from(code)))
    }

    /// The calibration that it was made of.
    #[must_use]
    pub fn curve(&self) -> &CalibrationCurve {
        &self.curve
    }

    /// Bits of the converter.
    #[must_use]
    pub fn bits(&self) -> u32 {
        self.bits
    }

    /// What was asked for.
    #[must_use]
    pub fn spec(&self) -> &FirmwareSpec {
        &self.spec
    }

    /// The name in the sources.
    #[must_use]
    pub fn identifier(&self) -> &str {
        &self.identifier
    }

    /// Highest code.
    #[must_use]
    pub fn max_code(&self) -> u32 {
        highest(self.bits) as u32
    }

    /// Greatest output.
    #[must_use]
    pub fn full_output(&self) -> i32 {
        self.spec.full() as i32
    }

    /// By how many bits sums are shifted.
    #[must_use]
    pub fn shift(&self) -> u32 {
        self.shift
    }

    /// Knots of the tables below and above the center.
    #[must_use]
    pub fn knots(&self) -> [usize; 2] {
        let knots = |side: &Option<Side>| side.as_ref().map_or(0, |side| side.at.len());
        self.sides.each_ref().map(knots)
    }

    /// Greatest difference of output and calibration over all codes, in steps of the output; half a step is rounding.
    #[must_use]
    pub fn worst_error(&self) -> f64 {
        self.worst
    }

    /// The code with the greatest difference.
    #[must_use]
    pub fn worst_code(&self) -> u32 {
        self.worst_code
    }

    /// [`Firmware::worst_error`] as an angle of the control, rad, on the side with the longer travel.
    #[must_use]
    pub fn worst_angle(&self) -> f64 {
        self.worst * self.spec.step()
    }

    /// Output at the first and at the last code: what the control reaches.
    #[must_use]
    pub fn reached(&self) -> [i32; 2] {
        [self.output(0), self.output(self.max_code())]
    }

    /// What it was made from, for the head of a source, line by line.
    fn origin(&self) -> Vec<String> {
        let spec = &self.spec;
        let deg = |angle: f64| crate::error::about(angle / DEG);
        let [least, most] = self.curve.counts();
        vec![
            format!(
                "Axis {}, made by yokewright {}.",
                self.identifier,
                env!("CARGO_PKG_VERSION")
            ),
            format!(
                "From a calibration of counts {} to {} of {} bits, center {} deg, ends {} to {} deg,",
                crate::error::about(least),
                crate::error::about(most),
                self.bits,
                deg(spec.center),
                deg(spec.ends[0]),
                deg(spec.ends[1])
            ),
            format!(
                "dead zone {} deg either way, end zones {} deg.",
                deg(spec.dead_zone),
                deg(spec.end_zone)
            ),
            format!(
                "Greatest error over all {} codes: {} of {} steps ({} deg), at code {}.",
                self.max_code() + 1,
                crate::error::about(self.worst),
                self.full_output(),
                deg(self.worst_angle()),
                self.worst_code
            ),
            "No value on the way exceeds 32 bits without a sign, at any code.".to_owned(),
            "For simulators only: never for the controls of a real aircraft, vehicle or machine."
                .to_owned(),
        ]
    }
}
