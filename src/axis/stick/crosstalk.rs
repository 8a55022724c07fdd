//! How much the reading of one axis changes when the other turns, and why.

use std::cell::RefCell;
use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::axis::curve::{least, pieces_over, samples, tolerance_of};
use crate::axis::grid::even_angles;
use crate::axis::stick::motion::{Carrier, Path};
use crate::axis::stick::readings::GRID;
use crate::axis::stick::two_axis::{CarriedMagnets, ReadBy, TwoAxis, number, other};
use crate::axis::turns::near;
use crate::error::{Result, choices, counted, finite, within};
use crate::hall::Sensor;
use crate::linkage::GimbalAxis;
use crate::magnet::AnySource;
use crate::numeric::chebyshev::{Chebyshev, DEGREES, DEGREES_FROM_AFAR};
use crate::observer;
use crate::stored::checked_when_read;

/// A flux density that changes by less over a travel, T, does not change: rounding leaves 1e-15, and no sensor sees a
/// picotesla. Nor does any tell a picoradian, or a converter a picovolt.
const NO_CHANGE: f64 = 1e-12;
/// Crosstalk below so many counts has no cause that is worth a name.
const NO_CAUSE: f64 = 1.0;
/// A part of the crosstalk is named as a cause if it is at least this share of the other part.
const ALSO: f64 = 0.25;

/// Rows of the grid that are worked on together: some thousand positions.
const ROWS: usize = 64;

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

/// The extremes of what one sensor makes its output from while one axis is held and the other turns over its travel.
struct Row {
    held: f64,
    /// Least and greatest of all, of the own magnets, of the others: T, rad, or V of a potentiometer.
    all: [f64; 2],
    own: [f64; 2],
    stray: [f64; 2],
    /// Where that of all is least and greatest, rad.
    at: [f64; 2],
}

impl Row {
    fn new(held: f64) -> Self {
        let none = [f64::INFINITY, f64::NEG_INFINITY];
        Self {
            held,
            all: none,
            own: none,
            stray: none,
            at: [0.0; 2],
        }
    }

    /// With a stretch that begins at `low`: what is read there of the own magnets and of the others.
    fn widen(&mut self, low: f64, parts: &[Along; 2]) -> Result<()> {
        let [own, stray] = parts;
        let (of_own, of_stray) = (own.extremes(low)?, stray.extremes(low)?);
        // Where one of them stands still the sum has its extremes where the other one has.
        let beside = |still: f64| move |(place, value): (f64, f64)| (place, value + still);
        let all = match parts {
            [Along::Still(still), _] => of_stray.map(beside(*still)),
            [_, Along::Still(still)] => of_own.map(beside(*still)),
            _ => {
                let mut places = [own.places(), stray.places()].concat();
                places.sort_by(f64::total_cmp);
                places.dedup();
                let sum = |place: f64| own.at(place) + stray.at(place);
                let values: Vec<f64> = places.iter().map(|&place| sum(place)).collect();
                extremes(&places, &values, sum)?
            }
        };
        let [lowest, highest] = all;
        if lowest.1 < self.all[0] {
            (self.at[0], self.all[0]) = lowest;
        }
        if highest.1 > self.all[1] {
            (self.at[1], self.all[1]) = highest;
        }
        let value = |extreme: (f64, f64)| extreme.1;
        self.own = wider(self.own, of_own.map(value));
        self.stray = wider(self.stray, of_stray.map(value));
        Ok(())
    }

    /// The row; at the very end of a gate that ends in a point rounding may leave nothing that turns.
    fn or_nothing(mut self) -> Self {
        if self.all[0] > self.all[1] {
            (self.all, self.own, self.stray) = ([0.0; 2], [0.0; 2], [0.0; 2]);
        }
        self
    }
}

impl TwoAxis {
    /// The crosstalk of each axis by the other: the change of its reading over the other's whole travel while it is
    /// held, at zero and where in the gate that is worst, in counts and as a fraction of its own span.
    ///
    /// `points` (3 to 2001) angles of the held axis are looked at. Along each row, from one end of the gate to the
    /// other, what is read is taken as polynomials in pieces, cut until they hold to 1e-11 of its change or 1e-15 T; of
    /// a source of another crate from about as many angles, no farther apart than a quarter of a degree. Extremes along
    /// a row are then followed to 1e-11 of its change, and the held angle at which it is worst to 1e-7 of a step; what
    /// is narrower than a step may escape.
    ///
    /// A potentiometer on the shaft of its axis has none. The part of an angle sensor's own magnets is the angle that
    /// it would read of them alone, that of the others the rest.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count); as [`TwoAxis::clearance`] and [`TwoAxis::reading_at`].
    pub fn crosstalk(&self, points: usize) -> Result<Crosstalk> {
        counted("points of the grid", points, GRID)?;
        self.check_clear()?;
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
        self.check_clear()?;
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
        let change = |row: &Row| {
            let figure = figure(row);
            let (worst, parts) = &mut *looked.borrow_mut();
            for (most, part) in parts.iter_mut().zip([row.own, row.stray]) {
                *most = most.max(part[1] - part[0]);
            }
            if figure.counts > worst.counts {
                *worst = figure;
            }
            -figure.counts
        };
        let change_at = |held: f64| -> Result<f64> {
            let row = self.row(axis, turning, held, points)?;
            Ok(change(&row))
        };
        let mut changes = Vec::with_capacity(points);
        for held in held.chunks(ROWS) {
            let rows = self.rows(axis, turning, held, points)?;
            changes.extend(rows.iter().map(&change));
        }
        let lowest = changes.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1));
        if let Some((worst, _)) = lowest {
            let around = [worst.saturating_sub(1), (worst + 1).min(held.len() - 1)];
            let [lower, upper] = around.map(|i| held[i]);
            // At an end of the travel it is worst there, unless it falls off towards it.
            let inward = if worst == around[0] { upper } else { lower };
            let at_end = worst == around[0] || worst == around[1];
            let beside = held[worst] + BESIDE * (inward - held[worst]);
            if !at_end || change_at(beside)? < changes[worst] {
                narrow([lower, upper], change_at)?;
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
        let rows = self.rows(sensor, free, &[held], points)?;
        Ok(rows.into_iter().next().unwrap_or_else(|| Row::new(held)))
    }

    /// The same of many rows, whose fields are computed together.
    fn rows(
        &self,
        sensor: GimbalAxis,
        free: GimbalAxis,
        held: &[f64],
        points: usize,
    ) -> Result<Vec<Row>> {
        observer::check()?;
        let spec = self.spec();
        // The ends of the travel come with a rounding.
        let [lower, upper] = self.travel()[number(other(free))];
        let mut rows: Vec<Row> = held
            .iter()
            .map(|held| Row::new(held.clamp(lower, upper)))
            .collect();
        // A source of another crate may have any feature.
        let foreign = |source: &CarriedMagnets| matches!(source.magnets, AnySource::Custom(_));
        let (points, degrees) = if spec.magnets.iter().any(foreign) {
            (Some(points), DEGREES)
        } else {
            (None, DEGREES_FROM_AFAR)
        };
        let mut stretches = Vec::new();
        let mut row_of = Vec::new();
        for (number, row) in rows.iter().enumerate() {
            for [low, high] in spec.gimbal.gate_stretches(&spec.gate, free, row.held)? {
                // Rounding at the very end of a gate that ends in a point leaves one angle, or none.
                let high = high.max(low);
                stretches.push(([low, high], pieces_over([low, high], points)));
                row_of.push(number);
            }
        }
        let at = |(stretch, angle): (usize, f64)| pair(free, rows[row_of[stretch]].held, angle);
        let of_part = |part: usize| {
            let read = |places: &[(usize, f64)]| {
                let pairs: Vec<[f64; 2]> = places.iter().map(|&place| at(place)).collect();
                self.part_of(sensor, part, &pairs)
            };
            if self.sees(sensor, free, part) {
                let smooth = Chebyshev::of_many(&stretches, degrees, tolerance_of, read)?;
                return Ok(smooth.into_iter().map(Along::of).collect());
            }
            let places = stretches.iter().enumerate();
            let places: Vec<(usize, f64)> = places.map(|(i, ([low, _], _))| (i, *low)).collect();
            Ok(read(&places)?.into_iter().map(Along::Still).collect())
        };
        let [own, stray]: [Result<Vec<Along>>; 2] = [0, 1].map(of_part);
        let both = own?.into_iter().zip(stray?);
        for ((row, ([low, _], _)), parts) in row_of.iter().zip(&stretches).zip(both) {
            rows[*row].widen(*low, &parts.into())?;
        }
        Ok(rows.into_iter().map(Row::or_nothing).collect())
    }
}

/// A signal along a stretch.
enum Along {
    /// The same everywhere.
    Still(f64),
    /// With places that leave no bend out, and the values there.
    Moving {
        smooth: Chebyshev,
        places: Vec<f64>,
        values: Vec<f64>,
    },
}

impl Along {
    fn of(smooth: Chebyshev) -> Self {
        let (places, values) = samples(&smooth);
        match values.first() {
            Some(&first) if values.iter().all(|&value| value == first) => Self::Still(first),
            _ => Self::Moving {
                smooth,
                places,
                values,
            },
        }
    }

    fn at(&self, place: f64) -> f64 {
        match self {
            Self::Still(value) => *value,
            Self::Moving { smooth, .. } => smooth.value(place),
        }
    }

    fn places(&self) -> &[f64] {
        match self {
            Self::Still(_) => &[],
            Self::Moving { places, .. } => places,
        }
    }

    /// Its least and greatest value, each with its place; that of one that stands still is `low`.
    fn extremes(&self, low: f64) -> Result<[(f64, f64); 2]> {
        match self {
            Self::Still(value) => Ok([(low, *value); 2]),
            Self::Moving {
                smooth,
                places,
                values,
            } => extremes(places, values, |place| smooth.value(place)),
        }
    }
}

/// The two angles where one axis turns and the other is held.
fn pair(free: GimbalAxis, held: f64, angle: f64) -> [f64; 2] {
    match free {
        GimbalAxis::Outer => [angle, held],
        GimbalAxis::Inner => [held, angle],
    }
}

impl TwoAxis {
    /// Whether a part of what a sensor reads may change when an axis turns.
    fn sees(&self, sensor: GimbalAxis, free: GimbalAxis, part: usize) -> bool {
        let (spec, own) = (self.spec(), own_of(sensor));
        let on = spec.sensor(sensor).carrier;
        let moves = |source: &CarriedMagnets| Path::new(on, source.carrier).has(free);
        let mut sources = spec.magnets.iter();
        match self.channel(sensor).sensor() {
            Sensor::Linear(_) => sources.any(|source| own(source) == (part == 0) && moves(source)),
            // On which turn it reads follows from all magnets.
            Sensor::Angle(_) => sources.any(moves),
            Sensor::Potentiometer(_) => part == 0 && sensor == free,
        }
    }

    /// A part of what a sensor makes its output from at many positions, or the error of the first that has none: first
    /// what it reads of its own magnets, second the rest.
    fn part_of(&self, axis: GimbalAxis, part: usize, angles: &[[f64; 2]]) -> Result<Vec<f64>> {
        let own = own_of(axis);
        match (self.channel(axis).sensor(), part) {
            (Sensor::Linear(_), 0) => self.signals_of(axis, angles, own),
            (Sensor::Linear(_), _) => self.signals_of(axis, angles, |source| !own(source)),
            (Sensor::Potentiometer(_), 0) => self.signals_of(axis, angles, |_| true),
            (Sensor::Potentiometer(_), _) => Ok(vec![0.0; angles.len()]),
            (Sensor::Angle(_), _) => {
                let all = self.signals_of(axis, angles, |_| true)?;
                let all = all.into_iter().zip(angles);
                let all = all.map(|(all, angles)| self.on_its_turn(axis, *angles, all));
                // Of the own magnets alone it would read the angle next to the one that it reads.
                let has_own = self.has_own(axis);
                let own = if has_own {
                    self.signals_of(axis, angles, own)?
                } else {
                    vec![0.0; angles.len()]
                };
                let parts = all.zip(own).map(|(all, own)| {
                    let own = if has_own { near(own, all) } else { 0.0 };
                    [own, all - own][part]
                });
                Ok(parts.collect())
            }
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

/// The least and the greatest of a function along a stretch, given samples that leave no bend out, each with its place:
/// they are followed between the samples.
fn extremes(places: &[f64], values: &[f64], at: impl Fn(f64) -> f64) -> Result<[(f64, f64); 2]> {
    let least_of = |sign: f64| -> Result<(f64, f64)> {
        let values: Vec<f64> = values.iter().map(|value| sign * value).collect();
        let found = least(places, &values, |place| Ok(sign * at(place)))?;
        Ok((found.place, sign * found.value))
    };
    Ok([least_of(1.0)?, least_of(-1.0)?])
}

/// The range of both of two.
fn wider([low, high]: [f64; 2], [lower, higher]: [f64; 2]) -> [f64; 2] {
    [low.min(lower), high.max(higher)]
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
