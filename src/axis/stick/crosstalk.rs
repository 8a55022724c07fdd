//! How much the reading of one axis changes when the other turns, and why.

use std::cell::RefCell;
use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::axis::curve::least;
use crate::axis::grid::{even_angles, grid_points};
use crate::axis::stick::motion::{Carrier, Path};
use crate::axis::stick::readings::GRID;
use crate::axis::stick::two_axis::{CarriedMagnets, ReadBy, TwoAxis, number, other};
use crate::axis::turns::near;
use crate::error::{Result, choices, counted, finite, within};
use crate::hall::Sensor;
use crate::linkage::GimbalAxis;
use crate::observer;
use crate::stored::checked_when_read;

/// A flux density that changes by less over a travel, T, does not change: rounding leaves 1e-15, and no sensor sees a
/// picotesla. Nor does any tell a picoradian, or a converter a picovolt.
const NO_CHANGE: f64 = 1e-12;
/// Crosstalk below so many counts has no cause that is worth a name.
const NO_CAUSE: f64 = 1.0;
/// A part of the crosstalk is named as a cause if it is at least this share of the other part.
const ALSO: f64 = 0.25;

/// Where crosstalk comes from, by which part of what a sensor makes its output from changes most when the other axis
/// turns: a flux density, or the angle of a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum CrosstalkCause {
    /// There is less than a count of it.
    Negligible,
    /// The mounting: sensor and own magnet move against each other when the other axis turns.
    Mounting,
    /// The stray field of magnets that the sensor is not meant to read.
    StrayField,
    /// Both, neither being less than a quarter of the other.
    MountingAndStrayField,
}

choices!(CrosstalkCause, "cause of crosstalk", {
    Negligible => "negligible",
    Mounting => "mounting",
    StrayField => "stray field",
    MountingAndStrayField => "mounting and stray field",
});

/// The change of a reading while its own axis is held and the other one turns over its whole travel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct CrosstalkFigure {
    /// The angle at which the axis is held, rad.
    pub held: f64,
    /// Angles of the other axis at which the flux density, or the angle that is read, is least and greatest, rad.
    pub at: [f64; 2],
    /// Greatest less least flux density, T; `None` unless the sensor is a linear Hall sensor.
    pub flux: Option<f64>,
    /// Greatest less least angle that is read, rad; `None` unless the sensor is an angle sensor.
    #[serde(default)]
    pub read_angle: Option<f64>,
    /// Greatest less least output, within the rails and the range of the converter, V; `None` of a digital angle
    /// sensor.
    pub volts: Option<f64>,
    /// The same in steps of the converter. It is not rounded: the codes themselves differ from it by less than one.
    pub counts: f64,
    /// The same as a fraction of the span over the axis's own travel, the other at zero; `None` if that has none.
    pub of_span: Option<f64>,
}

/// The crosstalk of one axis by the other; see [`TwoAxis::crosstalk`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct AxisCrosstalk {
    /// The axis whose reading changes.
    pub axis: GimbalAxis,
    /// Greatest less least output over the axis's own travel, the other at zero, V; `None` of a digital angle sensor.
    pub span_volts: Option<f64>,
    /// The same in steps of the converter.
    pub span_counts: f64,
    /// With the axis held at zero.
    pub center: CrosstalkFigure,
    /// Where in the gate it is worst, by counts.
    pub worst: CrosstalkFigure,
    /// The greatest change of flux density by the magnets that the sensor is meant to read, anywhere in the gate, T;
    /// `None` unless the sensor is a linear Hall sensor.
    pub own_flux: Option<f64>,
    /// The same by all other magnets, T.
    pub stray_flux: Option<f64>,
    /// The greatest change of the angle that an angle sensor would read of those magnets alone, rad; `None` of another
    /// sensor.
    #[serde(default)]
    pub own_angle: Option<f64>,
    /// The greatest change of what all other magnets turn it by, rad.
    #[serde(default)]
    pub stray_angle: Option<f64>,
    /// Which of the two it is.
    pub cause: CrosstalkCause,
    /// What carries the sensor.
    pub sensor_on: Carrier,
    /// What carries each source that the sensor is meant to read.
    pub magnets_on: Vec<Carrier>,
    /// Whether one of those is read by the other sensor too.
    pub shared: bool,
}

checked_when_read! {
    /// The crosstalk of each axis by the other.
    ///
    /// Figures that are read back (serde) have passed the check that they are numbers and that they are possible.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct Crosstalk {
        /// Of the outer axis's reading when the inner axis turns.
        pub outer: AxisCrosstalk,
        /// Of the inner axis's reading when the outer axis turns.
        pub inner: AxisCrosstalk,
    }
}

impl Crosstalk {
    /// That of an axis.
    #[must_use]
    pub fn of(&self, axis: GimbalAxis) -> &AxisCrosstalk {
        match axis {
            GimbalAxis::Outer => &self.outer,
            GimbalAxis::Inner => &self.inner,
        }
    }

    fn check(&self) -> Result<()> {
        let greatest = f64::MAX;
        for one in [&self.outer, &self.inner] {
            for figure in [&one.center, &one.worst] {
                for angle in [figure.held, figure.at[0], figure.at[1]] {
                    within("angle of a crosstalk", angle, -PI, PI, "rad")?;
                }
                for (quantity, change, unit) in [
                    ("change of the flux density", figure.flux, "T"),
                    ("change of the angle read", figure.read_angle, "rad"),
                    ("change of the output", figure.volts, "V"),
                ] {
                    within(quantity, change.unwrap_or(0.0), 0.0, greatest, unit)?;
                }
                within(
                    "change of the reading",
                    figure.counts,
                    0.0,
                    greatest,
                    "counts",
                )?;
                finite("crosstalk", figure.of_span.unwrap_or(0.0), "of the span")?;
            }
            within(
                "span of the reading",
                one.span_counts,
                0.0,
                greatest,
                "counts",
            )?;
            for (quantity, change, unit) in [
                ("output span", one.span_volts, "V"),
                ("change by the own magnets", one.own_flux, "T"),
                ("change by other magnets", one.stray_flux, "T"),
                ("change by the own magnets", one.own_angle, "rad"),
                ("change by other magnets", one.stray_angle, "rad"),
            ] {
                within(quantity, change.unwrap_or(0.0), 0.0, greatest, unit)?;
            }
        }
        Ok(())
    }
}

impl AxisCrosstalk {
    /// Where it comes from and what to do about it, in a sentence.
    #[must_use]
    pub fn explanation(&self) -> String {
        let (axis, turning) = (self.axis, other(self.axis));
        let mounting = || {
            if self.shared {
                return format!(
                    "the sensor of the {axis} axis reads a magnet that both sensors share, which moves past it when \
                     the {turning} axis turns: give each axis a magnet of its own, with magnet and sensor on the two \
                     bodies that only this axis moves against each other, or correct the readings by a map"
                );
            }
            let moved = |carrier: &Carrier| Path::new(self.sensor_on, *carrier).has(turning);
            let on = self.magnets_on.iter().find(|carrier| moved(carrier));
            // A part on the ring is where either axis wants it; the one to be moved is the other one.
            match on {
                Some(carrier) if *carrier != Carrier::Ring => format!(
                    "the magnet of the {axis} axis is carried by the {carrier} and its sensor by the {}, so that they \
                     move against each other when the {turning} axis turns: {}",
                    self.sensor_on,
                    self.remedy(*carrier)
                ),
                _ => format!(
                    "the magnet of the {axis} axis is carried by the ring and its sensor by the {}, so that they move \
                     against each other when the {turning} axis turns: carry the sensor by the {}",
                    self.sensor_on,
                    self.partner()
                ),
            }
        };
        let stray = || {
            format!(
                "magnets that the sensor of the {axis} axis is not meant to read move past it or turn at it when the \
                 {turning} axis turns: move them farther from it, or correct the readings by a map"
            )
        };
        match self.cause {
            CrosstalkCause::Negligible => {
                format!(
                    "the {turning} axis changes the reading of the {axis} axis by less than a count"
                )
            }
            CrosstalkCause::Mounting => mounting(),
            CrosstalkCause::StrayField => stray(),
            CrosstalkCause::MountingAndStrayField => format!("{}; also {}", mounting(), stray()),
        }
    }

    /// The body beside the ring between which only this axis turns.
    fn partner(&self) -> Carrier {
        match self.axis {
            GimbalAxis::Outer => Carrier::Frame,
            GimbalAxis::Inner => Carrier::Stick,
        }
    }

    fn remedy(&self, magnet_on: Carrier) -> String {
        let partner = self.partner();
        if self.sensor_on == partner {
            "carry the magnet by the ring".to_owned()
        } else if magnet_on == partner {
            "carry the sensor by the ring".to_owned()
        } else {
            format!("carry one of the two by the ring and the other by the {partner}")
        }
    }
}

/// What one sensor makes its output from while one axis is held and the other turns over its travel.
struct Row {
    held: f64,
    /// Least and greatest of all, of the own magnets, of the others: T, rad, or V of a potentiometer.
    all: [f64; 2],
    own: [f64; 2],
    stray: [f64; 2],
    /// Where that of all is least and greatest, rad.
    at: [f64; 2],
}

/// A signal by where it comes from: the own magnets, the others; their sum is what is read.
type Parts = [f64; 2];

impl TwoAxis {
    /// The crosstalk of each axis by the other: the change of its reading over the other's whole travel while it is
    /// held, at zero and where in the gate that is worst, in counts and as a fraction of its own span.
    ///
    /// `points` (3 to 2001) angles of the held axis are looked at, and as many of the other in each row from one end
    /// of the gate to the other, though no farther apart than a quarter of a degree. Extremes along a row are then
    /// followed to 1e-11 of its change, and the held angle at which it is worst to 1e-7 of a step; what is narrower
    /// than a step may escape.
    ///
    /// A potentiometer on the shaft of its axis has none. The part of an angle sensor's own magnets is the angle that
    /// it would read of them alone, that of the others the rest.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count); as [`TwoAxis::clearance`] and [`TwoAxis::reading_at`].
    pub fn crosstalk(&self, points: usize) -> Result<Crosstalk> {
        counted("points of the grid", points, GRID)?;
        self.clearance()?;
        let [outer, inner] = Self::AXES.map(|axis| self.axis_crosstalk(axis, points));
        Ok(Crosstalk {
            outer: outer?,
            inner: inner?,
        })
    }

    /// That of one axis.
    ///
    /// # Errors
    /// As [`TwoAxis::crosstalk`].
    pub(crate) fn crosstalk_of(&self, axis: GimbalAxis, points: usize) -> Result<AxisCrosstalk> {
        counted("points of the grid", points, GRID)?;
        self.clearance()?;
        self.axis_crosstalk(axis, points)
    }

    fn axis_crosstalk(&self, axis: GimbalAxis, points: usize) -> Result<AxisCrosstalk> {
        let turning = other(axis);
        let channel = self.channel(axis);
        let lsb = channel.converter().lsb();
        let output_of = |[low, high]: [f64; 2]| {
            if high - low < NO_CHANGE {
                0.0
            } else {
                f64::abs(channel.held(high) - channel.held(low))
            }
        };
        // The axis's own travel, with the other at zero.
        let span = output_of(self.row(axis, axis, 0.0, points)?.all);
        let figure = |row: &Row| {
            let (signal, output) = (row.all[1] - row.all[0], output_of(row.all));
            CrosstalkFigure {
                held: row.held,
                at: row.at,
                flux: channel.as_flux(signal),
                read_angle: channel.as_angle(signal),
                volts: channel.as_volts(output),
                counts: output / lsb,
                of_span: (span > 0.0).then(|| output / span),
            }
        };
        let center = figure(&self.row(axis, turning, 0.0, points)?);

        let held = even_angles(self.travel()[number(axis)], points);
        // Over the rows of the grid and those that are looked at on the way to the worst.
        let looked: RefCell<(CrosstalkFigure, [f64; 2])> = RefCell::new((center, [0.0; 2]));
        let change = |held: f64| -> Result<f64> {
            let row = self.row(axis, turning, held, points)?;
            let figure = figure(&row);
            let (worst, parts) = &mut *looked.borrow_mut();
            for (most, part) in parts.iter_mut().zip([row.own, row.stray]) {
                *most = most.max(part[1] - part[0]);
            }
            if figure.counts > worst.counts {
                *worst = figure;
            }
            Ok(-figure.counts)
        };
        let changes: Vec<f64> = held.iter().map(|&at| change(at)).collect::<Result<_>>()?;
        let lowest = changes.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1));
        if let Some((worst, _)) = lowest {
            let around = [worst.saturating_sub(1), (worst + 1).min(held.len() - 1)];
            let [lower, upper] = around.map(|i| held[i]);
            // At an end of the travel it is worst there, unless it falls off towards it.
            let inward = if worst == around[0] { upper } else { lower };
            let at_end = worst == around[0] || worst == around[1];
            let beside = held[worst] + BESIDE * (inward - held[worst]);
            if !at_end || change(beside)? < changes[worst] {
                narrow([lower, upper], change)?;
            }
        }
        let (worst, [own_change, stray_change]) = looked.into_inner();

        let sources = self.spec().magnets.iter();
        let own: Vec<&CarriedMagnets> = sources.filter(|source| own_of(axis)(source)).collect();
        Ok(AxisCrosstalk {
            axis,
            span_volts: channel.as_volts(span),
            span_counts: span / lsb,
            center,
            worst,
            own_flux: channel.as_flux(own_change),
            stray_flux: channel.as_flux(stray_change),
            own_angle: channel.as_angle(own_change),
            stray_angle: channel.as_angle(stray_change),
            cause: cause(&worst, [own_change, stray_change]),
            sensor_on: self.spec().sensor(axis).carrier,
            magnets_on: own.iter().map(|source| source.carrier).collect(),
            shared: own.iter().any(|source| source.read_by == ReadBy::Both),
        })
    }

    /// What a sensor sees while `free` turns over what the gate allows and the other axis is held.
    fn row(&self, sensor: GimbalAxis, free: GimbalAxis, held: f64, points: usize) -> Result<Row> {
        observer::check()?;
        let spec = self.spec();
        // The ends of the travel come with a rounding.
        let [low, high] = self.travel()[number(other(free))];
        let held = held.clamp(low, high);
        let stretches = spec.gimbal.gate_stretches(&spec.gate, free, held)?;
        let mut row = Row {
            held,
            all: [f64::INFINITY, f64::NEG_INFINITY],
            own: [f64::INFINITY, f64::NEG_INFINITY],
            stray: [f64::INFINITY, f64::NEG_INFINITY],
            at: [0.0; 2],
        };
        for [low, high] in stretches {
            let angles = if low < high {
                even_angles([low, high], points.max(grid_points([low, high])))
            } else {
                vec![low]
            };
            let pair = |angle: f64| match free {
                GimbalAxis::Outer => [angle, held],
                GimbalAxis::Inner => [held, angle],
            };
            let pairs: Vec<[f64; 2]> = angles.iter().map(|&angle| pair(angle)).collect();
            let parts = self.parts_of(sensor, &pairs)?;
            let parts_at = |angle: f64| self.parts_at(sensor, pair(angle));
            let mut widen = |range: fn(&mut Row) -> &mut [f64; 2], of: fn(Parts) -> f64| {
                let [lowest, highest] = extremes(&angles, &parts, parts_at, of)?;
                let whole = &mut *range(&mut row);
                let lower = lowest.1 < whole[0];
                let higher = highest.1 > whole[1];
                *whole = [whole[0].min(lowest.1), whole[1].max(highest.1)];
                Ok::<_, crate::Error>([lower.then_some(lowest.0), higher.then_some(highest.0)])
            };
            widen(|row| &mut row.own, |[own, _]| own)?;
            widen(|row| &mut row.stray, |[_, stray]| stray)?;
            let places = widen(|row| &mut row.all, |[own, stray]| own + stray)?;
            for (at, place) in row.at.iter_mut().zip(places) {
                *at = place.unwrap_or(*at);
            }
        }
        if row.all[0] > row.all[1] {
            // Rounding at the very end of a gate that ends in a point: nothing turns there.
            (row.all, row.own, row.stray) = ([0.0; 2], [0.0; 2], [0.0; 2]);
        }
        Ok(row)
    }
}

impl TwoAxis {
    /// What a sensor makes its output from at a position, by where it comes from.
    fn parts_at(&self, axis: GimbalAxis, angles: [f64; 2]) -> Result<Parts> {
        let own = own_of(axis);
        match self.channel(axis).sensor() {
            Sensor::Linear(_) => Ok([
                self.signal_of(axis, angles, own)?,
                self.signal_of(axis, angles, |source| !own(source))?,
            ]),
            Sensor::Angle(_) => {
                let all = self.signal_at(axis, angles)?;
                let own = self
                    .has_own(axis)
                    .then(|| self.signal_of(axis, angles, own));
                Ok(angle_parts(all, own.transpose()?))
            }
            Sensor::Potentiometer(_) => Ok([self.signal_at(axis, angles)?, 0.0]),
        }
    }

    /// [`TwoAxis::parts_at`] at many positions, or the error of the first that has none.
    fn parts_of(&self, axis: GimbalAxis, angles: &[[f64; 2]]) -> Result<Vec<Parts>> {
        let own = own_of(axis);
        let all = || self.signals_of(axis, angles, |_| true);
        match self.channel(axis).sensor() {
            Sensor::Linear(_) => {
                let stray = self.signals_of(axis, angles, |source| !own(source))?;
                let own = self.signals_of(axis, angles, own)?;
                Ok(own.into_iter().zip(stray).map(Parts::from).collect())
            }
            Sensor::Angle(_) => {
                let all = all()?.into_iter().zip(angles);
                let all = all.map(|(all, angles)| self.on_its_turn(axis, *angles, all));
                if !self.has_own(axis) {
                    return Ok(all.map(|all| angle_parts(all, None)).collect());
                }
                let own = self.signals_of(axis, angles, own)?;
                let both = all.zip(own);
                Ok(both.map(|(all, own)| angle_parts(all, Some(own))).collect())
            }
            Sensor::Potentiometer(_) => Ok(all()?.into_iter().map(|all| [all, 0.0]).collect()),
        }
    }

    fn has_own(&self, axis: GimbalAxis) -> bool {
        self.spec().magnets.iter().any(own_of(axis))
    }
}

/// Which sources the sensor of an axis is meant to read.
fn own_of(axis: GimbalAxis) -> impl Fn(&CarriedMagnets) -> bool + Copy {
    move |source| source.read_by.reads(axis)
}

/// The parts of an angle that is read, of which this much is read of the own magnets alone, if there are any.
fn angle_parts(all: f64, own: Option<f64>) -> Parts {
    let own = own.map_or(0.0, |own| near(own, all));
    [own, all - own]
}

/// The least and the greatest of a function along a row, each with its place: samples, and extremes that are followed.
fn extremes(
    angles: &[f64],
    samples: &[Parts],
    at: impl Fn(f64) -> Result<Parts>,
    of: fn(Parts) -> f64,
) -> Result<[(f64, f64); 2]> {
    let lowest = |sign: f64| -> Result<(f64, f64)> {
        let values: Vec<f64> = samples.iter().map(|&parts| sign * of(parts)).collect();
        let mut best = (0.0, f64::INFINITY);
        for (&angle, &value) in angles.iter().zip(&values) {
            if value < best.1 {
                best = (angle, value);
            }
        }
        let best = RefCell::new(best);
        least(angles.to_vec(), values, |angle| {
            let value = sign * of(at(angle)?);
            if value < best.borrow().1 {
                *best.borrow_mut() = (angle, value);
            }
            Ok(value)
        })?;
        let (angle, value) = best.into_inner();
        Ok((angle, sign * value))
    };
    Ok([lowest(1.0)?, lowest(-1.0)?])
}

/// How far from an end of the travel, as a part of a step, it is looked which way the change goes there.
const BESIDE: f64 = 1e-4;

/// Looks for the least of a function between two places: by parabolas where they gain, else by the golden section, for
/// where one extreme of a row takes over from another the change has a kink, which parabolas miss.
///
/// # References
/// R. P. Brent, *Algorithms for Minimization without Derivatives*, Prentice-Hall 1973, chapter 5 (from memory).
fn narrow([mut low, mut high]: [f64; 2], value: impl Fn(f64) -> Result<f64>) -> Result<()> {
    /// The part of the bracket that is left: of a smooth change 1e-14.
    const LEFT: f64 = 1e-7;
    /// So many golden sections leave as much.
    const STEPS: usize = 34;
    let shorter = 0.5 * (3.0 - 5.0_f64.sqrt());
    let enough = LEFT * (high - low);
    let start = low + shorter * (high - low);
    // The best place so far, the second best, and what that was before.
    let mut best = (start, value(start)?);
    let (mut second, mut third) = (best, best);
    let (mut step, mut before) = (0.0_f64, 0.0_f64);
    for _ in 0..STEPS {
        let middle = 0.5 * (low + high);
        if (best.0 - middle).abs() <= 2.0 * enough - 0.5 * (high - low) {
            break;
        }
        let [r, q] = [
            (best.0 - second.0) * (best.1 - third.1),
            (best.0 - third.0) * (best.1 - second.1),
        ];
        let over = 2.0 * (q - r);
        let way = (best.0 - third.0) * q - (best.0 - second.0) * r;
        let parabola = -way / over;
        let inside = low < best.0 + parabola && best.0 + parabola < high;
        // Without a parabola, or with one that goes farther than half of the step before the last, it is no number or
        // gains nothing.
        if before.abs() > enough && parabola.abs() < 0.5 * before.abs() && inside {
            (before, step) = (step, parabola);
            let place = best.0 + step;
            if place - low < 2.0 * enough || high - place < 2.0 * enough {
                step = enough.copysign(middle - best.0);
            }
        } else {
            before = if best.0 < middle {
                high - best.0
            } else {
                low - best.0
            };
            step = shorter * before;
        }
        let place = best.0
            + if step.abs() >= enough {
                step
            } else {
                enough.copysign(step)
            };
        let tried = (place, value(place)?);
        if tried.1 <= best.1 {
            if place < best.0 {
                high = best.0;
            } else {
                low = best.0;
            }
            (best, second, third) = (tried, best, second);
        } else {
            if place < best.0 {
                low = place;
            } else {
                high = place;
            }
            if tried.1 <= second.1 || second.0 == best.0 {
                (second, third) = (tried, second);
            } else if tried.1 <= third.1 || third.0 == best.0 || third.0 == second.0 {
                third = tried;
            }
        }
    }
    Ok(())
}

fn cause(worst: &CrosstalkFigure, [own, stray]: [f64; 2]) -> CrosstalkCause {
    if worst.counts < NO_CAUSE {
        CrosstalkCause::Negligible
    } else if stray < ALSO * own {
        CrosstalkCause::Mounting
    } else if own < ALSO * stray {
        CrosstalkCause::StrayField
    } else {
        CrosstalkCause::MountingAndStrayField
    }
}

#[cfg(test)]
#[path = "crosstalk_tests.rs"]
mod tests;
