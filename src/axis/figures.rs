//! What the swept curve amounts to, in the figures that decide about a design.

use serde::{Deserialize, Serialize};

use crate::axis::Axis;
use crate::axis::clearance::{MAX_CLEARANCE, TOUCHING, clearance};
use crate::axis::control::{HALF_TURN, check_lever};
use crate::axis::curve::Curve;
use crate::axis::linearity::Linearity;
use crate::axis::sweep::check_points;
use crate::error::{Result, finite, within};
use crate::hall::{Converter, Sensor};
use crate::stored::checked_when_read;

/// A flux density that changes by less over the throw, T, or per radian does not change: rounding leaves 1e-15, and no
/// sensor sees a picotesla.
const NO_CHANGE: f64 = 1e-12;

checked_when_read! {
    /// The figures of an [`Axis`] over its throw.
    ///
    /// They are those of the curve itself: extremes, the angles at which a rail is met and the lines of the linearities
    /// are followed to 1e-9 of the span, so that they do not depend on the number of points. The number counts only for
    /// a source of field or a drive of another crate: no feature of its curve may be narrower than the points are
    /// apart. The gain and the steps come from the gradient of the field. Figures that are read back (serde) pass the
    /// checks that computed ones pass by their making.
    ///
    /// Angles in rad, flux density in T, fractions of 1. A figure that has no value (the step where the reading turns
    /// back, the linearity of an output that does not change) is `None`, never a number that looks like one.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    pub struct AxisFigures {
        code_range: [i64; 2],
        max_code: i64,
        flux_span: Option<f64>,
        volts_span: Option<f64>,
        gain_flux: Option<f64>,
        gain_volts: Option<f64>,
        gain_counts: f64,
        linearity_flux: Option<Linearity>,
        linearity: Option<Linearity>,
        monotonic_range: [f64; 2],
        monotonic: bool,
        clipped_share: f64,
        step_quantization_center: Option<f64>,
        step_quantization_worst: Option<f64>,
        step_noise_center: Option<f64>,
        step_noise_worst: Option<f64>,
        effective_bits: Option<f64>,
        field_range: Option<[f64; 2]>,
        clearance: f64,
        ratio: f64,
        lever: Option<f64>,
    }
}

impl AxisFigures {
    /// Whether these could be the figures of an axis, as far as they tell by themselves.
    fn check(&self) -> Result<()> {
        let s = self;
        let code = |name, code: i64, max: i64| within(name, code as f64, 0.0, max as f64, "counts");
        code("highest code", s.max_code, Converter::MAX_CODE)?;
        code("upper end of the codes", s.code_range[1], s.max_code)?;
        code("lower end of the codes", s.code_range[0], s.code_range[1])?;
        within("flux span", s.flux_span.unwrap_or(0.0), 0.0, f64::MAX, "T")?;
        within(
            "output span",
            s.volts_span.unwrap_or(0.0),
            0.0,
            f64::MAX,
            "V",
        )?;
        finite("gain", s.gain_flux.unwrap_or(0.0), "T/rad")?;
        finite("gain", s.gain_volts.unwrap_or(0.0), "V/rad")?;
        if let Some([least, most]) = s.field_range {
            within("least flux density", least, 0.0, f64::MAX, "T")?;
            within("greatest flux density", most, least, f64::MAX, "T")?;
        }
        finite("gain", s.gain_counts, "counts/rad")?;
        let [lower, upper] = s.monotonic_range;
        within(
            "lower end of the monotonic range",
            lower,
            -HALF_TURN,
            0.0,
            "rad",
        )?;
        within(
            "upper end of the monotonic range",
            upper,
            0.0,
            HALF_TURN,
            "rad",
        )?;
        within(
            "clipped part of the throw",
            s.clipped_share,
            0.0,
            1.0,
            "of the throw",
        )?;
        for step in [
            s.step_quantization_center,
            s.step_quantization_worst,
            s.step_noise_center,
            s.step_noise_worst,
        ] {
            within("step", step.unwrap_or(0.0), 0.0, f64::MAX, "rad")?;
        }
        finite("effective bits", s.effective_bits.unwrap_or(0.0), "bits")?;
        within("clearance", s.clearance, -TOUCHING, MAX_CLEARANCE, "m")?;
        finite("ratio of pivot to control", s.ratio, "(no unit)")?;
        s.lever.map(check_lever).transpose()?;
        Ok(())
    }
}

impl Axis {
    /// What the curve amounts to; see [`AxisFigures`]. They do not depend on the number of points beyond the accuracy
    /// stated there; more `points` find narrower features.
    ///
    /// # Errors
    /// As [`Axis::sweep`].
    pub fn figures(&self, points: usize) -> Result<AxisFigures> {
        AxisFigures::new(self, points)
    }
}

impl AxisFigures {
    fn new(axis: &Axis, points: usize) -> Result<Self> {
        check_points(points)?;
        let clearance = clearance(axis)?;
        Self::of_curve(axis, clearance, &mut Curve::new(axis, points)?)
    }

    /// Those of a curve, which joins the places that it is asked about, and of a clearance that is known.
    pub(super) fn of_curve(axis: &Axis, clearance: f64, curve: &mut Curve<'_>) -> Result<Self> {
        let (sensor, converter) = (axis.sensor(), axis.converter());
        let line = sensor.characteristic();
        let [least, most] = curve.signal_range();
        let changes = most - least >= NO_CHANGE;

        let of_signal = if changes {
            curve.linearity_of_signal()?
        } else {
            None
        };
        let linearity = if changes {
            curve.linearity_of_output(of_signal)?
        } else {
            None
        };
        let slopes = curve.slopes();
        // Rounding of a slope that is zero must not pass for a gain.
        let gain = axis.signal_slope_at(0.0)?;
        let gain = if changes && gain.abs() >= NO_CHANGE {
            gain
        } else {
            0.0
        };
        let center = curve.at_center();
        let center_clipped = line.clips(center) || converter.clips(line.held(center));
        let gain_output = if center_clipped {
            0.0
        } else {
            gain * line.gain
        };
        let worst = if changes {
            curve.least_slope(&slopes)?
        } else {
            0.0
        };
        let worst = if worst >= NO_CHANGE {
            worst * line.gain
        } else {
            0.0
        };
        let step = |size: f64, slope: f64| (slope > 0.0).then(|| size / slope);

        let noise = axis.noise_at(0.0)?;
        let fields = curve.fields()?;
        let step_noise_worst = match sensor {
            // Its noise depends on the flux density, so that the flattest place need not be the worst.
            Sensor::Angle(_) if worst > 0.0 => {
                Some(curve.worst_step(&slopes, &fields, |field| {
                    Ok(axis.noise_in(field)?.random() / line.gain)
                })?)
            }
            _ => step(noise.random(), worst),
        };
        let [lowest, highest] = [least, most].map(|signal| line.held(signal));
        let span = if changes { highest - lowest } else { 0.0 };
        let turn = curve.monotonic_range(&slopes, gain);
        let (flux, analog) = (sensor.linear().is_some(), sensor.is_analog());

        Ok(Self {
            code_range: [converter.code(lowest)?, converter.code(highest)?],
            max_code: converter.max_code(),
            flux_span: flux.then_some(if changes { most - least } else { 0.0 }),
            volts_span: analog.then_some(span),
            gain_flux: flux.then_some(gain),
            gain_volts: analog.then_some(gain_output),
            gain_counts: gain_output / converter.lsb(),
            linearity_flux: of_signal.filter(|_| flux),
            linearity,
            monotonic_range: turn,
            monotonic: turn == axis.throw(),
            clipped_share: curve.clipped_share(),
            step_quantization_center: step(converter.lsb(), gain_output.abs()),
            step_quantization_worst: step(converter.lsb(), worst),
            step_noise_center: step(noise.random(), gain_output.abs()),
            step_noise_worst,
            effective_bits: (span > 0.0).then(|| (span / (noise.total() * 12f64.sqrt())).log2()),
            field_range: curve.field_range(&fields),
            clearance,
            ratio: axis.pivot_at(0.0)?.ratio,
            lever: axis.spec().lever,
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

    /// Greatest less least flux density over the throw, T; `None` unless the sensor is a linear Hall sensor.
    #[must_use]
    pub fn flux_span(&self) -> Option<f64> {
        self.flux_span
    }

    /// Greatest less least sensor output over the throw, V; `None` of a digital angle sensor.
    #[must_use]
    pub fn volts_span(&self) -> Option<f64> {
        self.volts_span
    }

    /// Change of flux density for a change of angle at the center, T/rad; `None` as for the span.
    #[must_use]
    pub fn gain_flux(&self) -> Option<f64> {
        self.gain_flux
    }

    /// Change of output for a change of angle at the center, V/rad; 0 where the output is clipped, `None` of a digital
    /// angle sensor.
    #[must_use]
    pub fn gain_volts(&self) -> Option<f64> {
        self.gain_volts
    }

    /// Change of code for a change of angle at the center, counts/rad; 0 where the output is clipped.
    #[must_use]
    pub fn gain_counts(&self) -> f64 {
        self.gain_counts
    }

    /// Linearity of the flux density; `None` if it does not change, or if the sensor does not read it.
    #[must_use]
    pub fn linearity_flux(&self) -> Option<Linearity> {
        self.linearity_flux
    }

    /// Linearity of the sensor's output over the whole throw, of the span that the rails leave: where a rail holds the
    /// output, its departure from the line counts like any other. The output is a voltage, or the angle that a digital
    /// angle sensor reads, in rad past the far side of its zero position. `None` if it does not change.
    #[must_use]
    pub fn linearity(&self) -> Option<Linearity> {
        self.linearity
    }

    /// [`AxisFigures::linearity`] of an output in volts.
    #[must_use]
    pub fn linearity_volts(&self) -> Option<Linearity> {
        self.linearity.filter(|_| self.volts_span.is_some())
    }

    /// Least and greatest flux density at an angle sensor over the throw, in the plane of its two directions, T; `None`
    /// of another sensor. Compare it with what the sensor works in.
    #[must_use]
    pub fn field_range(&self) -> Option<[f64; 2]> {
        self.field_range
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
    pub fn clipped_share(&self) -> f64 {
        self.clipped_share
    }

    /// The angle that one count is worth at the center, rad; `None` where the reading stands still.
    #[must_use]
    pub fn step_quantization_center(&self) -> Option<f64> {
        self.step_quantization_center
    }

    /// The angle that one count is worth where it is worth most, outside the clipped part, rad; `None` if all is
    /// clipped or the reading turns back.
    #[must_use]
    pub fn step_quantization_worst(&self) -> Option<f64> {
        self.step_quantization_worst
    }

    /// The angle that the rms noise of sensor and converter is worth at the center, rad.
    #[must_use]
    pub fn step_noise_center(&self) -> Option<f64> {
        self.step_noise_center
    }

    /// The angle that the rms noise of sensor and converter is worth where it is worth most, rad; `None` as for
    /// quantization.
    #[must_use]
    pub fn step_noise_worst(&self) -> Option<f64> {
        self.step_noise_worst
    }

    /// Effective bits of the used span: log2(span / (sqrt(12) noise)), with the noise of sensor, converter and
    /// quantization together; the definition of IEEE Std 1241 applied to the span that the throw covers. A noiseless
    /// sensor over the whole range gives the converter's bits.
    #[must_use]
    pub fn effective_bits(&self) -> Option<f64> {
        self.effective_bits
    }

    /// Least distance of the center of the package face from a magnet over the throw, m.
    #[must_use]
    pub fn clearance(&self) -> f64 {
        self.clearance
    }

    /// Turn of the pivot at the sensor for a small turn of the control at the center: 1 without a drive.
    #[must_use]
    pub fn ratio(&self) -> f64 {
        self.ratio
    }

    /// Distance of pad or grip from the control's pivot, m, if it was given.
    #[must_use]
    pub fn lever(&self) -> Option<f64> {
        self.lever
    }

    /// The center by the angle of the pivot at the sensor, per rad and in rad; `None` where that stands still.
    #[must_use]
    pub fn at_pivot(&self) -> Option<CenterFigures> {
        (self.ratio != 0.0).then(|| self.by(self.ratio))
    }

    /// The center by the way of pad or grip along its circle, per m and in m; `None` without a lever.
    #[must_use]
    pub fn at_grip(&self) -> Option<CenterFigures> {
        self.lever.map(|lever| self.by(lever))
    }

    /// By a quantity that changes by so much for a radian of the control.
    fn by(&self, per_angle: f64) -> CenterFigures {
        let step = |step: Option<f64>| step.map(|step| step * per_angle.abs());
        CenterFigures {
            gain_flux: self.gain_flux.map(|gain| gain / per_angle),
            gain_volts: self.gain_volts.map(|gain| gain / per_angle),
            gain_counts: self.gain_counts / per_angle,
            step_quantization: step(self.step_quantization_center),
            step_noise: step(self.step_noise_center),
        }
    }
}

/// Gains and steps of an [`Axis`] at its center, by another quantity than the angle of the control: see
/// [`AxisFigures::at_pivot`] and [`AxisFigures::at_grip`], which say the unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct CenterFigures {
    /// Change of flux density, T; `None` unless the sensor is a linear Hall sensor.
    pub gain_flux: Option<f64>,
    /// Change of output, V; 0 where the output is clipped, `None` of a digital angle sensor.
    pub gain_volts: Option<f64>,
    /// Change of code, counts; 0 where the output is clipped.
    pub gain_counts: f64,
    /// What one count is worth; `None` where the reading stands still.
    pub step_quantization: Option<f64>,
    /// What the rms noise of sensor and converter is worth; `None` where the reading stands still.
    pub step_noise: Option<f64>,
}
