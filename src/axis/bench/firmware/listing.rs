//! The constants as JSON and every code as CSV.

use std::fmt::Write;

use serde::Serialize;

use crate::axis::bench::firmware::Firmware;
use crate::axis::bench::firmware::side::Side;
use crate::error::{Error, Result};
use crate::units::DEG;

/// What the JSON holds. Angles in degrees, as a file for people; everything else whole numbers.
#[derive(Serialize)]
struct Constants<'a> {
    name: &'a str,
    made_from: Vec<String>,
    converter_bits: u32,
    full_output: i32,
    shift: u32,
    sign_above: i32,
    worst_error_steps: f64,
    worst_error_deg: f64,
    worst_code: u32,
    below: Option<Table<'a>>,
    above: Option<Table<'a>>,
}

/// One side: `size = (base[k] + slope[k] (distance - at[k]) + 2^(shift - 1)) >> shift`, `distance` from the first code.
#[derive(Serialize)]
struct Table<'a> {
    first_code: u32,
    last_code: u32,
    at: &'a [u32],
    base: &'a [u32],
    slope: &'a [u32],
}

impl<'a> From<&'a Side> for Table<'a> {
    fn from(side: &'a Side) -> Self {
        Self {
            first_code: side.first,
            last_code: side.last,
            at: &side.at,
            base: &side.base,
            slope: &side.slope,
        }
    }
}

impl Firmware {
    /// The constants as JSON.
    ///
    /// # Errors
    /// [`Error::NotStored`] if they cannot be written.
    pub fn json(&self) -> Result<String> {
        let [below, above] = self
            .sides
            .each_ref()
            .map(|side| side.as_ref().map(Table::from));
        let constants = Constants {
            name: self.identifier(),
            made_from: self.origin(),
            converter_bits: self.bits(),
            full_output: self.full_output(),
            shift: self.shift,
            sign_above: self.sign,
            worst_error_steps: self.worst_error(),
            worst_error_deg: self.worst_angle() / DEG,
            worst_code: self.worst_code(),
            below,
            above,
        };
        serde_json::to_string_pretty(&constants).map_err(|error| Error::NotStored {
            reason: error.to_string(),
        })
    }

    /// Every code with its position, deg, and its output, as CSV for those who write their own firmware.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut text = String::from("code,position_deg,output\n");
        for code in 0..=self.max_code() {
            let position = self.curve.value(f64::from(code)) / DEG;
            let _ = writeln!(text, "{code},{position:.6},{}", self.output(code));
        }
        text
    }
}
