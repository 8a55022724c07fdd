//! Firmware constants and sources.

use numpy::IntoPyArray;
use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::axis::{Firmware, FirmwareSpec};
use crate::python::axis::bench::curve::{PyCalibrationCurve, bits_of};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Count, Floats1};
use crate::python::gate::long::long;
use crate::python::gate::sequence::Few;

/// With so many knots and bits, where they are given.
pub(super) fn spec_of(
    spec: FirmwareSpec,
    knots: Option<Count>,
    output_bits: Option<Count>,
) -> PyResult<FirmwareSpec> {
    Ok(FirmwareSpec {
        knots: knots.map_or(spec.knots, |knots| knots.0),
        output_bits: match output_bits {
            Some(bits) => bits_of(&bits)?,
            None => spec.output_bits,
        },
        ..spec
    })
}

/// Constants and source for a microcontroller, and how far they are from the calibration: table, multiplication, shift
/// and clamp in whole numbers of 32 bits, proven by running through every code.
///
/// The output is 0 from the center to dead_zone on either side, full from end_zone before an end on, and straight in
/// the position between, each side by its own travel. In the sources the name is `axis_` with the name in lower case,
/// blanks, hyphens and dots as underscores.
///
/// >>> import yokewright as yw
/// >>> curve = yw.axis.CalibrationCurve.table([(300, -10 * yw.deg), (2100, 0), (3800, 10 * yw.deg)])
/// >>> firmware = yw.axis.Firmware("rudder", curve, bits=12, ends=(-10 * yw.deg, 10 * yw.deg), dead_zone=0.1 * yw.deg)
/// >>> firmware.output(2100), firmware.output(4095), firmware.worst_error < 2
/// (0, 32767, True)
/// >>> print([line for line in firmware.c_source().splitlines() if line.endswith(";") and "output(" in line][0])
/// int32_t axis_rudder_output(uint32_t code);
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Firmware")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyFirmware(pub(in crate::python) Firmware);

attributes! {
    impl PyFirmware {
        /// The calibration that it was made of.
        curve: PyCalibrationCurve = |firmware| PyCalibrationCurve(firmware.curve().clone()),
        /// Name as given.
        name: String = |firmware| firmware.spec().name.clone(),
        /// Name in the sources.
        identifier: String = |firmware| firmware.identifier().to_owned(),
        /// Bits of the converter.
        bits(): u32,
        /// Bits of the output.
        output_bits: u32 = |firmware| firmware.spec().output_bits,
        /// Greatest output.
        full_output(): i32,
        /// Angle at which the output is 0, rad.
        center: f64 = |firmware| firmware.spec().center,
        /// Angles at the ends, rad.
        ends: (f64, f64) = |firmware| firmware.spec().ends.into(),
        /// On either side of the center, rad.
        dead_zone: f64 = |firmware| firmware.spec().dead_zone,
        /// Before either end, rad.
        end_zone: f64 = |firmware| firmware.spec().end_zone,
        /// Knots of the tables below and above the center.
        knots: (usize, usize) = |firmware| firmware.knots().into(),
        /// By how many bits sums are shifted.
        shift(): u32,
        /// Greatest difference of output and calibration over all codes, in steps of the output; half is rounding.
        worst_error(): f64,
        /// The same as an angle of the control, rad.
        worst_angle(): f64,
        /// The code with the greatest difference.
        worst_code(): u32,
        /// Output at the first and at the last code.
        reached: (i32, i32) = |firmware| firmware.reached().into(),
    }

    #[new]
    #[pyo3(signature = (name, curve, *, bits, ends, knots = None, output_bits = None, center = 0.0, dead_zone = 0.0,
                        end_zone = 0.0))]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        name: String,
        curve: &PyCalibrationCurve,
        bits: Count,
        ends: Few<2>,
        knots: Option<Count>,
        output_bits: Option<Count>,
        center: f64,
        dead_zone: f64,
        end_zone: f64,
        py: Python<'_>,
    ) -> PyResult<Self> {
        let bits = bits_of(&bits)?;
        let spec = spec_of(FirmwareSpec::new(name, ends.into()), knots, output_bits)?;
        let spec = FirmwareSpec {
            center,
            dead_zone,
            end_zone,
            ..spec
        };
        let curve = curve.0.clone();
        Ok(Self(long(py, || Firmware::new(curve, bits, spec))??))
    }

    /// The output at a code, as the sources compute it; beyond the converter as at its last code.
    fn output(&self, code: Count) -> i32 {
        self.0.output(u32::try_from(code.0).unwrap_or(u32::MAX))
    }

    /// The outputs of all codes, from 0 on.
    fn outputs<'py>(&self, py: Python<'py>) -> Bound<'py, numpy::PyArray1<i32>> {
        let codes = 0..=self.0.max_code();
        codes.map(|code| self.0.output(code)).collect::<Vec<_>>().into_pyarray(py)
    }

    /// The outputs that the calibration has at all codes, not rounded.
    fn model<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        let codes = 0..=self.0.max_code();
        codes.map(|code| self.0.model(code)).collect::<Vec<_>>().into_pyarray(py)
    }

    /// The source in C99: `int32_t axis_<name>_output(uint32_t code)`, with nothing but `<stdint.h>`.
    fn c_source(&self) -> String {
        self.0.c_source()
    }

    /// The source in Rust: `pub fn axis_<name>_output(code: u32) -> i32`, for `no_std`.
    fn rust_source(&self) -> String {
        self.0.rust_source()
    }

    /// The constants as JSON.
    fn json(&self) -> PyResult<String> {
        Ok(self.0.json()?)
    }

    /// Every code with its position, deg, and its output, as CSV.
    fn csv(&self) -> String {
        self.0.csv()
    }

    fn __repr__(&self) -> String {
        format!(
            "<Firmware {} of {} bits, greatest error {:.2} steps of {}>",
            self.0.identifier(),
            self.0.bits(),
            self.0.worst_error(),
            self.0.full_output()
        )
    }
}
