//! What the swept curve amounts to, in the figures that decide about a design.

use serde::{Deserialize, Serialize};

use super::linearity::{Linearity, span};
use super::{Axis, Sweep};
use crate::error::Result;

/// Step of the difference that gives the gain at center, rad. Fourth order: its own error is about (step / width of the curve)^4,
/// some 1e-9 here, and rounding adds 1e-16 / step.
const GAIN_STEP: f64 = 1e-3;

/// A flux density that changes by less over the throw does not change, T: rounding leaves 1e-17 T, and no sensor sees a picotesla.
const NO_CHANGE: f64 = 1e-12;

/// The figures of an [`Axis`], from its [`Sweep`] over the throw.
///
/// Angles in rad, flux density in T, fractions of 1. A figure that has no value (the step where the reading turns back, the linearity of an
/// output that does not change) is `None`, never a number that looks like one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Figures {
    code_range: [i64; 2],
    max_code: i64,
    flux_span: f64,
    volts_span: f64,
    gain_flux: f64,
    gain_volts: f64,
    gain_counts: f64,
    linearity_flux: Option<Linearity>,
    linearity_volts: Option<Linearity>,
    monotonic_range: [f64; 2],
    monotonic: bool,
    clipped: f64,
    step_quantization_center: Option<f64>,
    step_quantization_worst: Option<f64>,
    step_noise_center: Option<f64>,
    step_noise_worst: Option<f64>,
    effective_bits: Option<f64>,
    clearance: f64,
}

impl Figures {
    /// The figures of an axis whose sweep is at hand.
    ///
    /// # Errors
    /// [`Error::OnEdge`](crate::Error::OnEdge) if the active point meets an edge of a magnet at the center.
    pub fn of(axis: &Axis, sweep: &Sweep) -> Result<Self> {
        let (sensor, converter) = (&axis.spec().sensor, &axis.spec().converter);
        let (angle, flux, volts) = (sweep.angle(), sweep.flux(), sweep.volts());
        let counts = sweep.counts();

        let changes = span(flux) >= NO_CHANGE;
        let gain_flux = if changes { gain_at_center(axis)? } else { 0.0 };
        let center = axis.flux_at(0.0)?;
        let center_clipped = sensor.clips(center) || converter.clips(sensor.output(center)?);
        let gain_volts = if center_clipped {
            0.0
        } else {
            gain_flux * sensor.gain()
        };

        let slopes = slopes(angle, flux);
        let open_slopes = slopes
            .iter()
            .zip(sweep.clipped())
            .filter(|(_, clipped)| !*clipped);
        let worst = least_slope(open_slopes.map(|(slope, _)| slope * sensor.gain()));
        let worst = if changes { worst } else { 0.0 };
        let step = |size: f64, slope: f64| (slope > 0.0).then(|| size / slope);

        let noise = sensor.output_noise().hypot(converter.noise());
        let total_noise = noise.hypot(converter.quantization_noise());
        let volts_span = if changes { span(volts) } else { 0.0 };
        let turn = monotonic_range(angle, flux, gain_flux);

        Ok(Self {
            code_range: [
                counts.iter().copied().min().unwrap_or(0),
                counts.iter().copied().max().unwrap_or(0),
            ],
            max_code: converter.max_code(),
            flux_span: if changes { span(flux) } else { 0.0 },
            volts_span,
            gain_flux,
            gain_volts,
            gain_counts: gain_volts / converter.lsb(),
            linearity_flux: Linearity::of(angle, flux).filter(|_| changes),
            linearity_volts: Linearity::of(angle, volts).filter(|_| changes),
            monotonic_range: turn,
            monotonic: turn == axis.throw(),
            clipped: clipped_part(axis, sweep),
            step_quantization_center: step(converter.lsb(), gain_volts.abs()),
            step_quantization_worst: step(converter.lsb(), worst),
            step_noise_center: step(noise, gain_volts.abs()),
            step_noise_worst: step(noise, worst),
            effective_bits: (volts_span > 0.0)
                .then(|| (volts_span / (total_noise * 12f64.sqrt())).log2()),
            clearance: sweep.clearance(),
        })
    }

    /// Greatest less least code over the throw.
    #[must_use]
    pub fn counts(&self) -> i64 {
        self.code_range[1] - self.code_range[0]
    }

    /// Least and greatest code over the throw.
    #[must_use]
    pub fn code_range(&self) -> [i64; 2] {
        self.code_range
    }

    /// Counts as a fraction of the converter's range.
    #[must_use]
    pub fn range_used(&self) -> f64 {
        self.counts() as f64 / self.max_code as f64
    }

    /// Greatest less least flux density over the throw, T.
    #[must_use]
    pub fn flux_span(&self) -> f64 {
        self.flux_span
    }

    /// Greatest less least sensor output over the throw, V.
    #[must_use]
    pub fn volts_span(&self) -> f64 {
        self.volts_span
    }

    /// Change of flux density for a change of angle at the center, T/rad.
    #[must_use]
    pub fn gain_flux(&self) -> f64 {
        self.gain_flux
    }

    /// Change of output for a change of angle at the center, V/rad; 0 where the output is clipped.
    #[must_use]
    pub fn gain_volts(&self) -> f64 {
        self.gain_volts
    }

    /// Change of code for a change of angle at the center, counts/rad; 0 where the output is clipped.
    #[must_use]
    pub fn gain_counts(&self) -> f64 {
        self.gain_counts
    }

    /// Linearity of the flux density; `None` if it does not change.
    #[must_use]
    pub fn linearity_flux(&self) -> Option<Linearity> {
        self.linearity_flux
    }

    /// Linearity of the sensor output, clipping included; `None` if it does not change.
    #[must_use]
    pub fn linearity_volts(&self) -> Option<Linearity> {
        self.linearity_volts
    }

    /// The angles around the center, within the throw, over which the flux density only rises or only falls, rad.
    #[must_use]
    pub fn monotonic_range(&self) -> [f64; 2] {
        self.monotonic_range
    }

    /// Whether the monotonic range is the whole throw.
    #[must_use]
    pub fn monotonic(&self) -> bool {
        self.monotonic
    }

    /// The part of the throw, by angle, at which the sensor is at a rail or the converter at the end of its range.
    #[must_use]
    pub fn clipped(&self) -> f64 {
        self.clipped
    }

    /// The angle that one count is worth at the center, rad; `None` where the reading stands still.
    #[must_use]
    pub fn step_quantization_center(&self) -> Option<f64> {
        self.step_quantization_center
    }

    /// The angle that one count is worth where it is worth most, outside the clipped part, rad; `None` if all is clipped or the reading turns back.
    #[must_use]
    pub fn step_quantization_worst(&self) -> Option<f64> {
        self.step_quantization_worst
    }

    /// The angle that the rms noise of sensor and converter is worth at the center, rad.
    #[must_use]
    pub fn step_noise_center(&self) -> Option<f64> {
        self.step_noise_center
    }

    /// The angle that the rms noise of sensor and converter is worth where it is worth most, rad; `None` as for quantization.
    #[must_use]
    pub fn step_noise_worst(&self) -> Option<f64> {
        self.step_noise_worst
    }

    /// Effective bits of the used span: log2(span / (sqrt(12) noise)), with the noise of sensor, converter and quantization together; the definition of
    /// IEEE Std 1241 applied to the span that the throw covers. A noiseless sensor over the whole range gives the converter's bits.
    #[must_use]
    pub fn effective_bits(&self) -> Option<f64> {
        self.effective_bits
    }

    /// Least distance of the center of the package face from a magnet over the throw, m.
    #[must_use]
    pub fn clearance(&self) -> f64 {
        self.clearance
    }
}

/// Derivative of the flux density at angle zero, by the five-point central difference.
fn gain_at_center(axis: &Axis) -> Result<f64> {
    let difference = |h: f64| -> Result<f64> { Ok(axis.flux_at(h)? - axis.flux_at(-h)?) };
    let h = GAIN_STEP;
    Ok((8.0 * difference(h)? - difference(2.0 * h)?) / (12.0 * h))
}

/// Derivative at every sample: central differences, at the ends the second-order one-sided ones. The samples are evenly spaced.
fn slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let last = x.len() - 1;
    let h = (x[last] - x[0]) / last as f64;
    let slope = |i: usize| match i {
        0 => (-3.0 * y[0] + 4.0 * y[1] - y[2]) / (2.0 * h),
        i if i == last => (3.0 * y[last] - 4.0 * y[last - 1] + y[last - 2]) / (2.0 * h),
        i => (y[i + 1] - y[i - 1]) / (2.0 * h),
    };
    (0..x.len()).map(slope).collect()
}

/// The least magnitude of the slopes; 0 if there are none or their sign changes.
fn least_slope(slopes: impl Iterator<Item = f64>) -> f64 {
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for slope in slopes {
        (least, most) = (least.min(slope), most.max(slope));
    }
    if least > most || least.signum() != most.signum() {
        0.0
    } else {
        least.abs().min(most.abs())
    }
}

/// How far from the center, either way, the curve keeps the sign of its slope there.
fn monotonic_range(angle: &[f64], flux: &[f64], gain: f64) -> [f64; 2] {
    let last = angle.len() - 1;
    let keeps = |i: usize| (flux[i + 1] - flux[i]) * gain > 0.0;
    // The segment that holds the center, or the one beside it.
    let center = angle.partition_point(|&a| a < 0.0).clamp(1, last) - 1;
    if !keeps(center) {
        return [0.0, 0.0];
    }
    let lower = (0..center).rev().find(|&i| !keeps(i)).map(|i| i + 1);
    let upper = (center..last).find(|&i| !keeps(i));
    [
        lower.map_or(angle[0], |i| vertex(angle, flux, i)),
        upper.map_or(angle[last], |i| vertex(angle, flux, i)),
    ]
}

/// Where the parabola through three samples turns, the middle one being an extremum.
fn vertex(x: &[f64], y: &[f64], i: usize) -> f64 {
    let h = x[i + 1] - x[i];
    let (left, right) = (y[i] - y[i - 1], y[i + 1] - y[i]);
    x[i] + h * (0.5 - right / (right - left)).clamp(-1.0, 1.0)
}

/// The part of the throw at which the output is clipped; between samples the unclipped output runs straight.
fn clipped_part(axis: &Axis, sweep: &Sweep) -> f64 {
    let (sensor, converter) = (&axis.spec().sensor, &axis.spec().converter);
    let ([rail_low, rail_high], [input_low, input_high]) =
        (sensor.output_range(), converter.input_range());
    let (low, high) = (rail_low.max(input_low), rail_high.min(input_high));
    let open: Vec<f64> = sweep
        .flux()
        .iter()
        .map(|&b| sensor.unclipped_output(b))
        .collect();
    let segments = open.windows(2).map(|ends| {
        let (least, most) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        let beyond = (low.min(most) - least).max(0.0) + (most - high.max(least)).max(0.0);
        if most > least {
            beyond / (most - least)
        } else {
            f64::from(u8::from(least < low || least > high))
        }
    });
    segments.sum::<f64>() / (open.len() - 1) as f64
}
