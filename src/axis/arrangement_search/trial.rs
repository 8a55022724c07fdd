//! One arrangement tried: its figures, and what they are worth.

use nalgebra::{Point3, Vector3};

use crate::axis::arrangement_search::demand::{
    ArrangementDemand, ArrangementObjective, VariedMeasure,
};
use crate::axis::arrangement_search::rough::Rough;
use crate::axis::arrangement_search::settle::{LIMITS, Score};
use crate::axis::clearance::clearance;
use crate::axis::curve::Curve;
use crate::axis::{AnyArrangement, Arrangement, Axis, AxisFigures, AxisSpec, Measure, requirement};
use crate::error::{Error, Result};
use crate::hall::{ALL_NOISE, NO_FIELD, Sensor};
use crate::linkage::AnyTransmission;
use crate::search::{Requirement, Shortfall, Shortfalls};
use crate::units::DEG;

/// Points of a trial's grid: the coarsest, since figures do not depend on it. The result's figures are those that its
/// trial was judged on.
const POINTS: usize = 3;

/// What a search over arrangements is held to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    pub(super) max_linearity: f64,
    pub(super) max_clipped: f64,
    pub(super) min_span: f64,
    pub(super) min_clearance: f64,
    pub(super) max_size: f64,
    /// By what share of the output range the output may go beyond its limits: nothing, but for a look just outside.
    pub(super) beyond: f64,
}

impl Limits {
    pub(super) fn of(demand: &ArrangementDemand) -> Self {
        Self {
            max_linearity: demand.max_linearity,
            max_clipped: demand.max_clipped,
            min_span: demand.min_span,
            min_clearance: demand.min_clearance,
            max_size: demand.max_size.unwrap_or(f64::INFINITY),
            beyond: 0.0,
        }
    }
}

/// The figures of a trial that the search looks at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Worth {
    /// Span of the output over its range.
    pub(super) span: f64,
    /// Independent linearity; 1 where nothing changes.
    pub(super) linearity: f64,
    /// The worst angle that a count or the noise is worth, rad; infinite where the reading turns back.
    pub(super) step: f64,
    /// How far the output would go beyond its limits, as a share of its range; negative within.
    pub(super) over: f64,
    pub(super) clipped: f64,
    /// By what ratio the flux density at an angle sensor lies outside what it works in, at most 1 within; 0 of another
    /// sensor.
    pub(super) field: f64,
    pub(super) clearance: f64,
    pub(super) size: f64,
    pub(super) volume: f64,
}

/// An arrangement that was tried.
#[derive(Debug, Clone)]
pub(super) struct Trial {
    /// Of the measures that vary.
    pub(super) values: Vec<f64>,
    /// Whether its figures are those of a few dozen readings only.
    pub(super) rough: bool,
    /// Its figures, or what leaves none.
    pub(super) worth: std::result::Result<Worth, Shortfall>,
}

impl Trial {
    /// What it falls short in.
    pub(super) fn shortfalls(&self, limits: &Limits) -> Shortfalls {
        let worth = match &self.worth {
            Ok(worth) => worth,
            Err(none) => return (*none).into(),
        };
        let mut all = Shortfalls::default();
        for (requirement, value, limit, scale, sense) in worth.judged(limits) {
            // Exactly, as sweeps are judged.
            if sense * (value - limit) > 0.0 {
                all.push(Shortfall::by(requirement, value, limit, scale));
            }
        }
        all
    }

    /// By what share each limit is missed; negative where it is kept.
    pub(super) fn margins(&self, limits: &Limits) -> [f64; LIMITS] {
        match &self.worth {
            Ok(worth) => worth
                .judged(limits)
                .map(|(_, value, limit, scale, sense)| sense * (value - limit) / scale),
            Err(none) => [none.share; LIMITS],
        }
    }

    pub(super) fn score(&self, limits: &Limits, objective: ArrangementObjective) -> Score {
        Score {
            margins: self.margins(limits),
            merit: self.merit(objective),
        }
    }

    /// What it is worth: higher is better.
    pub(super) fn merit(&self, objective: ArrangementObjective) -> f64 {
        let Ok(worth) = &self.worth else {
            return f64::NEG_INFINITY;
        };
        match objective {
            ArrangementObjective::Span => worth.span - worth.linearity,
            // By their ratios, as spans are: a step half as wide is as much better, however fine it is.
            ArrangementObjective::Linearity => -worth.linearity.max(f64::MIN_POSITIVE).ln(),
            ArrangementObjective::Step => -worth.step.ln(),
        }
    }
}

impl Worth {
    /// The figures with their limits: requirement, value, limit, the scale of a miss, and 1 for an upper limit, -1 for
    /// a lower one. Shares of span and range are compared as they stand.
    fn judged(&self, limits: &Limits) -> [(Requirement, f64, f64, f64, f64); LIMITS] {
        /// Scale of a miss where the limit is zero, m: a tenth of a millimeter.
        const DISTANCE: f64 = 1e-4;
        let outside = if limits.max_clipped > 0.0 {
            let limit = limits.max_clipped;
            (requirement::CLIPPING, self.clipped, limit, 1.0, 1.0)
        } else {
            (requirement::RANGE, self.over, limits.beyond, 1.0, 1.0)
        };
        let (near, size) = (limits.min_clearance, limits.max_size);
        [
            outside,
            (
                requirement::LINEARITY,
                self.linearity,
                limits.max_linearity,
                1.0,
                1.0,
            ),
            (requirement::FIELD, self.field, 1.0, 1.0, 1.0),
            (requirement::SPAN, self.span, limits.min_span, 1.0, -1.0),
            (
                requirement::DISTANCE,
                self.clearance,
                near,
                near.max(DISTANCE),
                -1.0,
            ),
            (requirement::SIZE, self.size, size, size.min(1.0), 1.0),
        ]
    }
}

/// One arrangement with one sensor, and what varies about them.
pub(super) struct Setting<'a> {
    demand: &'a ArrangementDemand,
    start: &'a AnyArrangement,
    sensor: &'a Sensor,
    /// Those that the arrangement has.
    pub(super) vary: Vec<VariedMeasure>,
}

impl<'a> Setting<'a> {
    pub(super) fn new(
        demand: &'a ArrangementDemand,
        start: &'a AnyArrangement,
        sensor: &'a Sensor,
    ) -> Self {
        let own = start.measures();
        let has = |measure: Measure| own.iter().any(|one| one.measure == measure);
        let vary = demand.vary.iter().filter(|varied| has(varied.measure));
        Self {
            demand,
            start,
            sensor,
            vary: vary.copied().collect(),
        }
    }

    /// The arrangement with its measures.
    pub(super) fn arrangement(&self, values: &[f64]) -> Result<AnyArrangement> {
        let measures = self.vary.iter().map(|varied| varied.measure);
        let measures: Vec<_> = measures.zip(values.iter().copied()).collect();
        self.start.with_measures(&measures)
    }

    /// The gap with these values, m; 0 of an arrangement that has none.
    pub(super) fn gap(&self, values: &[f64]) -> f64 {
        let mut varied = self.vary.iter().zip(values);
        let varied = varied.find(|(varied, _)| varied.measure == Measure::Gap);
        let own = || self.start.measure(Measure::Gap).unwrap_or(0.0);
        varied.map_or_else(own, |(_, gap)| *gap)
    }

    /// Whether no measure of two trials differs by more than a part of its bounds.
    pub(super) fn alike(&self, one: &Trial, other: &Trial, part: f64) -> bool {
        let values = one.values.iter().zip(&other.values);
        self.vary.iter().zip(values).all(|(varied, (one, other))| {
            let [lower, upper] = varied.bounds;
            (one - other).abs() <= part * (upper - lower)
        })
    }

    /// Its axis. An angle sensor is programmed as a builder does it: its zero position where the control is centered.
    pub(super) fn axis(&self, arrangement: &AnyArrangement) -> Result<Axis> {
        let demand = self.demand;
        let (sensor, converter) = (self.sensor.clone(), demand.converter.clone());
        let spec = arrangement.axis_spec(demand.throw, sensor, converter, demand.moving);
        let axis = arrangement.axis_of(AxisSpec {
            drive: demand.drive.clone(),
            lever: demand.lever,
            ..spec
        })?;
        match self.sensor {
            Sensor::Angle(_) => axis.zeroed(),
            _ => Ok(axis),
        }
    }

    /// The figures of an axis, and how far its output would go beyond its limits.
    pub(super) fn figures(&self, axis: &Axis) -> Result<(AxisFigures, f64)> {
        let clearance = clearance(axis)?;
        let mut curve = Curve::new(axis, POINTS)?;
        let over = self.over(axis, curve.signal_range());
        Ok((AxisFigures::of_curve(axis, clearance, &mut curve)?, over))
    }

    /// How far the output would go beyond its limits, as a share of its range; negative within.
    fn over(&self, axis: &Axis, [least, most]: [f64; 2]) -> f64 {
        let line = axis.sensor().characteristic();
        let [low, high] = line.limits;
        let range = high - low;
        let input = axis.converter().input_range();
        let kept = self.demand.range_margin * range;
        let limits = [(low + kept).max(input[0]), (high - kept).min(input[1])];
        let [low, high] = line.signals_between(limits);
        (low - least).max(most - high) * line.gain.abs() / range
    }

    /// An arrangement with these values of its measures.
    ///
    /// # Errors
    /// What no other values would mend.
    pub(super) fn attempt(&self, values: &[f64]) -> Result<Trial> {
        let none = |shortfall| {
            Ok(Trial {
                values: values.to_vec(),
                rough: false,
                worth: Err(shortfall),
            })
        };
        let arrangement = match self.arrangement(values) {
            Ok(arrangement) => arrangement,
            Err(error @ Error::Stopped) => return Err(error),
            Err(error) => return none(self.refused(&error)),
        };
        let angle_sensor = matches!(self.sensor, Sensor::Angle(_));
        let figures = self.axis(&arrangement).and_then(|axis| self.figures(&axis));
        let (figures, over) = match figures {
            Ok(figures) => figures,
            Err(
                error @ (Error::Collision { .. }
                | Error::OnEdge { .. }
                | Error::AreaCut { .. }
                | Error::BehindPlate { .. }
                | Error::ThroughPlate { .. }),
            ) => return none(self.refused(&error)),
            // Without a field there is no angle, and in a weak one it is all noise.
            Err(Error::OutOfRange {
                quantity: NO_FIELD | ALL_NOISE,
                value,
                ..
            }) if angle_sensor => {
                return none(Shortfall::of_no_use(requirement::FIELD, value, 1.0));
            }
            Err(error) => return Err(error),
        };
        Ok(Trial {
            values: values.to_vec(),
            rough: false,
            worth: Ok(Worth::of(&arrangement, self.sensor, &figures, over)),
        })
    }

    /// The same by a few dozen readings of a linear sensor, where they do: to 1e-5 or so of the span.
    pub(super) fn rough_attempt(&self, values: &[f64]) -> Result<Trial> {
        let foreign = matches!(self.demand.drive, AnyTransmission::Custom(_));
        let sensor = self.sensor.linear().filter(|_| {
            // Clipped curves have corners, and a drive of another crate any feature.
            self.demand.max_clipped == 0.0 && !foreign
        });
        if sensor.is_none() {
            return self.attempt(values);
        }
        let Ok(arrangement) = self.arrangement(values) else {
            return self.attempt(values);
        };
        let Ok(axis) = self.axis(&arrangement) else {
            return self.attempt(values);
        };
        let Ok(Some(rough)) = Rough::of(&axis) else {
            return self.attempt(values);
        };
        let line = axis.sensor().characteristic();
        let range = line.limits[1] - line.limits[0];
        let [least, most] = rough.range.map(|signal| line.held(signal));
        let per_angle = rough.slope * line.gain.abs();
        Ok(Trial {
            values: values.to_vec(),
            rough: true,
            worth: Ok(Worth {
                span: (most - least).abs() / range,
                linearity: rough.linearity,
                step: axis.converter().lsb().max(rough.noise) / per_angle,
                over: self.over(&axis, rough.range),
                clipped: 0.0,
                field: 0.0,
                clearance: rough.clearance,
                size: size(&arrangement),
                volume: volume(&arrangement),
            }),
        })
    }

    /// Of what collides: how far it turns up to there. Of what cannot be built: that.
    fn refused(&self, error: &Error) -> Shortfall {
        let [lower, upper] = self.demand.throw;
        let angle = match error {
            Error::Collision { angle_deg, .. } => angle_deg * DEG,
            Error::OnEdge { .. }
            | Error::AreaCut { .. }
            | Error::BehindPlate { .. }
            | Error::ThroughPlate { .. }
            | Error::GroupOverlap { .. } => 0.0,
            _ => return Shortfall::of_no_use(requirement::MEASURES, 0.0, 1.0),
        };
        let limit = if angle < 0.0 { lower } else { upper };
        Shortfall::of_no_use(requirement::CLEARANCE, angle, limit)
    }
}

impl Worth {
    pub(super) fn of(
        arrangement: &AnyArrangement,
        sensor: &Sensor,
        figures: &AxisFigures,
        over: f64,
    ) -> Self {
        let [low, high] = sensor.characteristic().limits;
        let span = figures.volts_span().map(|volts| volts / (high - low));
        let linearity = figures.linearity().map(|linearity| linearity.independent());
        let steps = [
            figures.step_quantization_worst(),
            figures.step_noise_worst(),
        ];
        let step = steps.map(|step| step.unwrap_or(f64::INFINITY));
        Self {
            span: span.unwrap_or_else(|| figures.range_used()),
            linearity: linearity.unwrap_or(1.0),
            step: step[0].max(step[1]),
            over,
            clipped: figures.clipped_share(),
            field: outside(sensor, figures.field_range()),
            clearance: figures.clearance(),
            size: size(arrangement),
            volume: volume(arrangement),
        }
    }
}

/// By what ratio the least or the greatest flux density lies outside what an angle sensor works in.
fn outside(sensor: &Sensor, range: Option<[f64; 2]>) -> f64 {
    let (Sensor::Angle(sensor), Some([least, most])) = (sensor, range) else {
        return 0.0;
    };
    let [weakest, strongest] = sensor.spec().working_flux;
    (weakest / least).max(most / strongest)
}

/// The longest side of the smallest box along the axes of the frame that holds the pivot, the magnets and the face of
/// the package when centered, m.
pub(super) fn size(arrangement: &AnyArrangement) -> f64 {
    let parts = arrangement.parts();
    let face: Point3<f64> = parts.sensor_pose().translation.vector.into();
    let side = |axis: Vector3<f64>| {
        let reach =
            |direction: Vector3<f64>| parts.reach(&direction).max(face.coords.dot(&direction));
        reach(axis).max(0.0) + reach(-axis).max(0.0)
    };
    let [x, y, z] = [Vector3::x(), Vector3::y(), Vector3::z()].map(side);
    x.max(y).max(z)
}

/// Of all magnets, m^3.
pub(super) fn volume(arrangement: &AnyArrangement) -> f64 {
    let magnets = arrangement.parts().magnets().magnets();
    magnets.iter().map(crate::magnet::Magnet::volume).sum()
}

#[cfg(test)]
#[path = "trial_tests.rs"]
mod tests;
