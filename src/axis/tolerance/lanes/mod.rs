//! The builds of a control side by side on the vector units: one block swung past one linear sensor, the usual control,
//! also behind a ball-joint rod that is another one in each build.
//!
//! What the sensor reads is a smooth function of the angle: it is read at some two dozen places, and the polynomial
//! through them gives the curve and its slope anywhere. All builds of a block of lanes go through the same steps. Those
//! for which so many places are not enough, nearer to the magnet or on a longer arm than the design, are read again at
//! more. A build for which none are enough, or that something is wrong with, goes the long way of
//! [`Axis::figures`](crate::axis::Axis::figures), which knows the reason.

mod curves;
mod nodes;
mod rod;
mod swung;

use std::sync::OnceLock;

use nalgebra::Vector3;

use crate::axis::budget::CalibrationMethod;
use crate::axis::reading::PositionTable;
use crate::axis::tolerance::buildable::{Builds, Unbuilt};
use crate::axis::tolerance::control_figure::ControlFigure;
use crate::axis::tolerance::control_spec::{ControlDesignSpec, ControlInput};
use crate::axis::tolerance::stored_tree::StoredTree;
use crate::axis::{AnyArrangement, Arrangement, Axis, Measure, Moving};
use crate::error::Result;
use crate::hall::{Converter, LinearHallSpec, NoiseBudget, Sensor};
use crate::linkage::{AnyTransmission, BallRod, BallRodSpec, RodInput, RodLanes, Turn};
use crate::magnet::Magnet;
use crate::numeric::simd::dispatch::{Loop, dispatch};
use crate::numeric::spacing::spaced;
use crate::observer;
use crate::units::MM;

use curves::{Chains, CurveFigures, LANES, Lane, PLACES, Weights};
use nodes::Nodes;
use swung::{NUMBERS, Places, Swung};

/// Nodes that are tried.
const NODES: [usize; 6] = [16, 20, 24, 32, 48, 64];
/// How exact the polynomial must be for the design itself, and how small the last coefficients of its series for a
/// build, of the span.
const NOMINAL: f64 = 1e-9;
const TAIL: f64 = 1e-8;
/// Below this the curve does not change, T: as the figures of an axis have it.
const NO_CHANGE: f64 = 1e-12;
/// A face that comes nearer to the magnet than this, and the depth of the active area, is looked at the long way, m.
const NEAR: f64 = 0.2 * MM;
/// A polarization that is less has no direction worth the name, T.
const LEAST_POLARIZATION: f64 = 1e-6;
/// Sensitivities in use and the deepest active area, as the sensor has them, V/T and m.
const SENSITIVITY: [f64; 2] = [0.1, 2000.0];
const DEEPEST: f64 = 5.0 * MM;

/// A control whose builds go side by side.
pub(super) struct LaneControls {
    swung: Swung,
    nominal: [f64; NUMBERS],
    /// Which number each input is.
    inputs: Vec<usize>,
    sensor: LinearHallSpec,
    converter: Converter,
    noise: NoiseBudget,
    axis: Axis,
    /// The rod that drives the control, if it is another one in each build.
    rod: Option<BallRodSpec>,
    /// As many nodes as the design itself needs, then more, each made when a build needs it; none where the drive does
    /// not reach.
    readers: Vec<(usize, OnceLock<Option<Reader>>)>,
    /// At the places.
    at_places: Stations,
    /// Angle told by the constants of the design: at no output, and for a volt.
    line: Option<[f64; 2]>,
}

/// From readings at so many nodes to a curve.
struct Reader {
    weights: Weights,
    at_nodes: Stations,
}

/// Angles of the control.
enum Stations {
    /// With cosine and sine of the turn of the sensor among the magnets, the same of all builds.
    Turned(Vec<[f64; 2]>),
    /// What the rod of each build makes of them.
    Driven(Vec<RodInput>),
}

impl Stations {
    /// None where the drive of all builds does not reach everywhere.
    fn of(axis: &Axis, rod: Option<&BallRodSpec>, places: &[f64]) -> Option<Self> {
        if rod.is_some() {
            let inputs = places.iter().map(|place| RodInput::new(*place));
            return Some(Self::Driven(inputs.collect()));
        }
        let driven = axis.pivots_at(places);
        let turns = driven.angles.iter().map(|angle| {
            let (sin, cos) = angle.sin_cos();
            [cos, sense(axis.spec().moving) * sin]
        });
        driven
            .valid
            .iter()
            .all(|valid| *valid)
            .then(|| Self::Turned(turns.collect()))
    }

    /// The turns of a block of builds, as far as they are known.
    fn turns(&self) -> Vec<Turn<LANES>> {
        match self {
            Self::Turned(turns) => turns
                .iter()
                .map(|turn| turn.map(|part| [part; LANES]))
                .collect(),
            Self::Driven(inputs) => vec![[[0.0; LANES]; 2]; inputs.len()],
        }
    }
}

/// Sense in which the sensor turns among the magnets when the pivot turns.
fn sense(moving: Moving) -> f64 {
    match moving {
        Moving::Magnets => -1.0,
        Moving::Sensor => 1.0,
    }
}

/// What became of a build in its lane.
enum Outcome {
    Figures([f64; ControlFigure::ALL.len()]),
    /// So many nodes are not enough.
    MoreNodes,
    LongWay,
}

/// The measures that may differ, with their numbers.
const MEASURES: [(Measure, usize); 15] = [
    (Measure::Arm, swung::ARM),
    (Measure::Gap, swung::GAP),
    (Measure::RadialOffset, swung::OFFSET),
    (Measure::TangentialOffset, swung::OFFSET + 1),
    (Measure::AxialOffset, swung::OFFSET + 2),
    (Measure::MagnetTiltAboutRadial, swung::MAGNET_TILT),
    (Measure::MagnetTiltAboutTangential, swung::MAGNET_TILT + 1),
    (Measure::MagnetTiltAboutAxial, swung::MAGNET_TILT + 2),
    (Measure::SensorTiltAboutRadial, swung::SENSOR_TILT),
    (Measure::SensorTiltAboutTangential, swung::SENSOR_TILT + 1),
    (Measure::SensorTiltAboutAxial, swung::SENSOR_TILT + 2),
    (Measure::Polarization, swung::POLARIZATION),
    (Measure::MagnetWidth, swung::SIDES),
    (Measure::MagnetDepth, swung::SIDES + 1),
    (Measure::MagnetLength, swung::SIDES + 2),
];

/// The numbers of the sensor that may differ, by their paths.
const OF_SENSOR: [(&str, usize); 5] = [
    ("sensor.sensitivity", swung::SENSITIVITY),
    ("sensor.quiescent", swung::QUIESCENT),
    ("sensor.rail_low", swung::RAIL_LOW),
    ("sensor.rail_headroom", swung::RAIL_HEADROOM),
    ("sensor.depth", swung::DEPTH),
];

impl LaneControls {
    /// None of a design whose builds cannot go side by side: of another arrangement, sensor or calibration, or with a
    /// tolerance on anything else than the measures and the numbers of the sensor that it is ready for.
    ///
    /// # Errors
    /// As the figures of the design itself.
    pub(super) fn of(
        spec: &ControlDesignSpec,
        tree: &StoredTree,
        inputs: &[ControlInput],
        axis: &Axis,
        table: Option<&PositionTable>,
    ) -> Result<Option<Self>> {
        let AnyArrangement::Swung(layout) = &spec.arrangement else {
            return Ok(None);
        };
        let (Magnet::Block(block), Sensor::Linear(sensor)) = (&layout.spec().magnet, &spec.sensor)
        else {
            return Ok(None);
        };
        let mounting = layout.mounting();
        let other = mounting.plate.is_some()
            || mounting.package.is_some()
            || sensor.spec().area != [0.0; 2]
            || spec.celsius.is_some()
            || spec.calibration != CalibrationMethod::TwoPoint
            || matches!(spec.drive, AnyTransmission::Custom(_));
        let polarization = block.polarization();
        if other || polarization.norm() < LEAST_POLARIZATION {
            return Ok(None);
        }
        let rod = match &spec.drive {
            AnyTransmission::BallRod(rod) => Some(rod.as_ref()),
            _ => None,
        };
        let paths = (swung::ROD..).zip(rod::paths());
        let paths: Vec<(usize, String)> = paths.filter(|_| rod.is_some()).collect();
        let of_rod = |number: &usize| {
            let mut paths = paths.iter();
            let found = paths.find(|(_, path)| tree.number(path).is_ok_and(|own| own == *number));
            found.map(|(number, _)| *number)
        };
        let mut numbers = Vec::new();
        for input in inputs {
            let known = match input {
                ControlInput::Measure(measure) => MEASURES
                    .iter()
                    .find(|(known, _)| known == measure)
                    .map(|(_, number)| *number),
                ControlInput::Number(number) => {
                    let mut all = OF_SENSOR.iter();
                    let found =
                        all.find(|(path, _)| tree.number(path).is_ok_and(|known| known == *number));
                    found.map(|(_, known)| *known).or_else(|| of_rod(number))
                }
            };
            match known {
                Some(number) => numbers.push(number),
                None => return Ok(None),
            }
        }
        let driving = rod.filter(|_| numbers.iter().any(|number| *number >= swung::ROD));
        let [lower, upper] = axis.throw();
        // The way from the start to the throw is not looked at.
        if driving.is_some_and(|rod| !(lower..=upper).contains(&rod.start())) {
            return Ok(None);
        }
        let Some(nodes) = nodes_for(axis)? else {
            return Ok(None);
        };
        let more = NODES.into_iter().filter(|count| *count >= nodes);
        let readers: Vec<_> = more.map(|count| (count, OnceLock::new())).collect();
        let rod = driving.map(BallRod::spec);
        let places: Vec<f64> = spaced(axis.throw(), PLACES - 1).collect();
        let Some(at_places) = Stations::of(axis, rod.as_ref(), &places) else {
            return Ok(None);
        };
        let mut order = [0, 1, 2];
        order.sort_by_key(|&side| polarization[side] != 0.0);
        let spec_of = sensor.spec();
        let facing = layout.parts().facing().into_inner();
        let across = Vector3::y();
        let mut nominal = [0.0; NUMBERS];
        for (measure, number) in MEASURES {
            nominal[number] = layout.measure(measure).unwrap_or(f64::NAN);
        }
        nominal[swung::SENSITIVITY] = spec_of.sensitivity;
        nominal[swung::QUIESCENT] = spec_of.quiescent;
        nominal[swung::RAIL_LOW] = spec_of.rail_low;
        nominal[swung::RAIL_HEADROOM] = spec_of.rail_headroom;
        nominal[swung::DEPTH] = spec_of.depth;
        if let Some(rod) = driving {
            nominal[swung::ROD..].copy_from_slice(&rod::numbers(rod));
        }
        Ok(Some(Self {
            swung: Swung {
                magnet: *block.pose().rotation.to_rotation_matrix().matrix(),
                order,
                components: polarization.iter().filter(|j| **j != 0.0).count() as u8,
                polarized: polarization.normalize(),
                facing,
                package: nalgebra::Matrix3::from_columns(&[across, across.cross(&facing), -facing]),
                sensitive: sensor.direction(),
            },
            nominal,
            inputs: numbers,
            sensor: spec_of.clone(),
            converter: axis.converter().clone(),
            noise: axis.noise_at(0.0)?,
            axis: axis.clone(),
            rod,
            readers,
            at_places,
            line: table.map(PositionTable::straight),
        }))
    }

    /// Builds all, those that need it the long way by `exact`.
    pub(super) fn build(
        &self,
        builds: &mut Builds,
        exact: impl Fn(&[f64], &mut [f64]) -> std::result::Result<(), Unbuilt>,
    ) -> Result<()> {
        let mut open: Vec<usize> = (0..builds.count()).collect();
        let mut long = Vec::new();
        for (count, reader) in &self.readers {
            if open.is_empty() {
                break;
            }
            if let Some(reader) = reader.get_or_init(|| self.reader(*count)) {
                open = self.build_with(reader, builds, &open, &mut long)?;
            }
        }
        long.append(&mut open);
        long.sort_unstable();
        builds.each_of(&long, exact)
    }

    fn reader(&self, count: usize) -> Option<Reader> {
        let nodes = Nodes::new(self.axis.throw(), count);
        Some(Reader {
            at_nodes: Stations::of(&self.axis, self.rod.as_ref(), &nodes.places)?,
            weights: Weights::new(&nodes, self.axis.throw()),
        })
    }

    /// Builds some by so many nodes; gives those that need more of them.
    fn build_with(
        &self,
        reader: &Reader,
        builds: &mut Builds,
        some: &[usize],
        long: &mut Vec<usize>,
    ) -> Result<Vec<usize>> {
        let mut more = Vec::new();
        let mut block = Box::new(LaneBlock::new(self, reader));
        for some in some.chunks(LANES) {
            observer::check()?;
            for lane in 0..LANES {
                // Lanes left over do the last build again.
                let build = some[lane.min(some.len() - 1)];
                let mut numbers = self.nominal;
                for (number, column) in self.inputs.iter().zip(builds.inputs()) {
                    numbers[*number] = column[build];
                }
                block.refused[lane] = !self.allowed(&numbers);
                if block.refused[lane] {
                    numbers = self.nominal;
                }
                block.set(lane, &numbers);
                block.refused[lane] |= !block.driven_by(lane, &numbers[swung::ROD..]);
            }
            dispatch(LaneLoop(&mut block));
            let mut columns = builds.figures_mut();
            for (lane, build) in some.iter().enumerate() {
                match block.outcome(lane) {
                    Outcome::Figures(figures) => {
                        for (column, value) in columns.iter_mut().zip(figures) {
                            column[*build] = value;
                        }
                    }
                    Outcome::MoreNodes => more.push(*build),
                    Outcome::LongWay => long.push(*build),
                }
            }
        }
        Ok(more)
    }

    /// Whether every number is one that its constructor takes.
    fn allowed(&self, numbers: &[f64; NUMBERS]) -> bool {
        let measures = MEASURES
            .iter()
            .all(|(measure, number)| measure.check(numbers[*number]).is_ok());
        let within =
            |number: usize, [least, most]: [f64; 2]| (least..=most).contains(&numbers[number]);
        let LinearHallSpec {
            supply,
            nominal_supply,
            ..
        } = self.sensor;
        let ratio = supply / nominal_supply;
        let (low, high) = (
            numbers[swung::RAIL_LOW],
            supply - numbers[swung::RAIL_HEADROOM],
        );
        let rest = ratio * numbers[swung::QUIESCENT];
        measures
            && numbers[swung::POLARIZATION] >= LEAST_POLARIZATION
            && within(swung::SENSITIVITY, SENSITIVITY)
            && within(swung::QUIESCENT, [0.0, nominal_supply])
            && within(swung::RAIL_LOW, [0.0, supply])
            && within(swung::RAIL_HEADROOM, [0.0, supply])
            && within(swung::DEPTH, [0.0, DEEPEST])
            && low < high
            && (low..=high).contains(&rest)
    }
}

/// How many nodes are enough for the design itself, if so many are.
fn nodes_for(axis: &Axis) -> Result<Option<usize>> {
    const LOOKS: usize = 101;
    let looks: Vec<f64> = spaced(axis.throw(), LOOKS - 1).collect();
    let read = axis.checked_signals_at(&looks)?;
    let (least, most) = read
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
            (a.min(*v), b.max(*v))
        });
    for count in NODES {
        let nodes = Nodes::new(axis.throw(), count);
        let readings = axis.checked_signals_at(&nodes.places)?;
        let off = looks.iter().zip(&read).map(|(place, value)| {
            let by_nodes: f64 = nodes
                .value(*place)
                .iter()
                .zip(&readings)
                .map(|(a, b)| a * b)
                .sum();
            (by_nodes - value).abs()
        });
        if off.fold(0.0, f64::max) <= NOMINAL * (most - least) {
            return Ok(Some(count));
        }
    }
    Ok(None)
}

/// A block of builds side by side.
struct LaneBlock<'a> {
    controls: &'a LaneControls,
    reader: &'a Reader,
    places: Places,
    chains: Chains,
    depth: Lane,
    refused: [bool; LANES],
    rods: RodLanes<LANES>,
    /// Above zero for a drive that reaches all over the throw.
    reaches: Lane,
    at_nodes: Vec<Turn<LANES>>,
    at_places: Vec<Turn<LANES>>,
    readings: Vec<Lane>,
    distances: Vec<Lane>,
    curve: CurveFigures,
}

impl<'a> LaneBlock<'a> {
    fn new(controls: &'a LaneControls, reader: &'a Reader) -> Self {
        let none = [0.0; LANES];
        Self {
            controls,
            reader,
            places: Places::none(),
            chains: Chains {
                zero: none,
                gain: none,
                low: none,
                high: none,
                input: controls.converter.input_range(),
            },
            depth: none,
            refused: [false; LANES],
            rods: RodLanes::none(),
            reaches: [1.0; LANES],
            readings: vec![none; reader.at_nodes.turns().len()],
            at_nodes: reader.at_nodes.turns(),
            at_places: controls.at_places.turns(),
            distances: vec![none; PLACES],
            curve: CurveFigures::none(),
        }
    }

    fn set(&mut self, lane: usize, numbers: &[f64; NUMBERS]) {
        self.places.set(lane, &self.controls.swung, numbers);
        let LinearHallSpec {
            supply,
            nominal_supply,
            ..
        } = self.controls.sensor;
        let ratio = supply / nominal_supply;
        self.chains.zero[lane] = ratio * numbers[swung::QUIESCENT];
        self.chains.gain[lane] = ratio * numbers[swung::SENSITIVITY];
        self.chains.low[lane] = numbers[swung::RAIL_LOW];
        self.chains.high[lane] = supply - numbers[swung::RAIL_HEADROOM];
        self.depth[lane] = numbers[swung::DEPTH];
    }

    /// Puts the rod of a build together, if each has its own; false if that cannot be.
    fn driven_by(&mut self, lane: usize, numbers: &[f64]) -> bool {
        let Some(design) = &self.controls.rod else {
            return true;
        };
        let built = rod::built(design, numbers);
        if let Ok(rod) = &built {
            self.rods.set(lane, rod);
        }
        built.is_ok()
    }

    /// The figures of one build in the order of [`ControlFigure::ALL`], if it has them.
    fn outcome(&self, lane: usize) -> Outcome {
        let (curve, chains, controls) = (&self.curve, &self.chains, self.controls);
        let (least, most) = (curve.least[lane], curve.most[lane]);
        let span = most - least;
        let clearance = self.clearance(lane);
        let changes = span >= NO_CHANGE && span.is_finite();
        let (zero, gain) = (chains.zero[lane], chains.gain[lane]);
        let near = clearance < NEAR + self.depth[lane];
        let reaches = self.reaches[lane] > 0.0;
        if self.refused[lane] || !reaches || !changes || near {
            return Outcome::LongWay;
        }
        if curve.tail[lane].is_nan() || curve.tail[lane] > TAIL * span {
            return Outcome::MoreNodes;
        }
        if curve.winding[lane] > 0.0 {
            return Outcome::LongWay;
        }
        let held = |signal: f64| (zero + gain * signal).clamp(chains.low[lane], chains.high[lane]);
        let [low, high] = [held(least), held(most)];
        let output_span = high - low;
        let converter = &controls.converter;
        let center = zero + gain * curve.center[lane];
        let clipped =
            center < chains.low[lane] || center > chains.high[lane] || converter.clips(center);
        let slope = curve.center_slope[lane].abs();
        let slope = if clipped || slope < NO_CHANGE {
            0.0
        } else {
            gain * slope
        };
        let flattest = curve.flattest[lane];
        let worst = if flattest >= NO_CHANGE && flattest.is_finite() {
            gain * flattest
        } else {
            0.0
        };
        let step = |size: f64, slope: f64| if slope > 0.0 { size / slope } else { f64::NAN };
        let of_span = |departure: f64| {
            if output_span > 0.0 {
                departure / output_span
            } else {
                f64::NAN
            }
        };
        let (Ok(lowest), Ok(highest)) = (converter.code(low), converter.code(high)) else {
            return Outcome::LongWay;
        };
        let codes = [lowest, highest];
        let turned = curve.ends[0][lane] == curve.ends[1][lane];
        let (lsb, random) = (converter.lsb(), controls.noise.random());
        Outcome::Figures(ControlFigure::ALL.map(|figure| match figure {
            ControlFigure::RangeUsed => (codes[1] - codes[0]) as f64 / converter.max_code() as f64,
            ControlFigure::FluxSpan => span,
            ControlFigure::OutputSpan => output_span,
            ControlFigure::Gain => slope / lsb,
            ControlFigure::IndependentLinearity => of_span(curve.independent[lane]),
            ControlFigure::TerminalLinearity => of_span(curve.terminal[lane]),
            ControlFigure::ClippedShare => curve.clipped[lane],
            ControlFigure::MonotonicShare => curve.monotonic[lane],
            ControlFigure::QuantizationStep => step(lsb, slope),
            ControlFigure::WorstQuantizationStep => step(lsb, worst),
            ControlFigure::NoiseStep => step(random, slope),
            ControlFigure::WorstNoiseStep => step(random, worst),
            ControlFigure::EffectiveBits if output_span > 0.0 => {
                (output_span / (controls.noise.total() * 12f64.sqrt())).log2()
            }
            ControlFigure::EffectiveBits => f64::NAN,
            ControlFigure::LowestCode => codes[0] as f64,
            ControlFigure::HighestCode => codes[1] as f64,
            ControlFigure::Clearance => clearance,
            ControlFigure::ErrorBeforeCalibration if controls.line.is_none() => f64::NAN,
            ControlFigure::ErrorBeforeCalibration => curve.before[lane],
            ControlFigure::ErrorAfterCalibration if turned => f64::NAN,
            ControlFigure::ErrorAfterCalibration => curve.after[lane],
        }))
    }

    /// Least distance of the face: of the places, and at the vertex of the parabola through the least and its
    /// neighbors.
    fn clearance(&self, lane: usize) -> f64 {
        let mut at = 0;
        for (i, distance) in self.distances.iter().enumerate() {
            if distance[lane] < self.distances[at][lane] {
                at = i;
            }
        }
        let here = self.distances[at][lane];
        if at == 0 || at + 1 == PLACES {
            return here;
        }
        let (before, after) = (self.distances[at - 1][lane], self.distances[at + 1][lane]);
        let (slope, bend) = (0.5 * (after - before), after - 2.0 * here + before);
        if bend > 0.0 {
            here - 0.5 * slope * slope / bend
        } else {
            here
        }
    }
}

struct LaneLoop<'a, 'b>(&'a mut LaneBlock<'b>);

impl Loop for LaneLoop<'_, '_> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        match self.0.controls.swung.components {
            1 => run::<FMA, 1>(self.0),
            2 => run::<FMA, 2>(self.0),
            _ => run::<FMA, 3>(self.0),
        }
    }
}

#[inline(always)]
fn run<const FMA: bool, const COMPONENTS: usize>(block: &mut LaneBlock<'_>) {
    let (controls, reader) = (block.controls, block.reader);
    if let (Stations::Driven(nodes), Stations::Driven(places)) =
        (&reader.at_nodes, &controls.at_places)
    {
        let sense = sense(controls.axis.spec().moving);
        for (input, turn) in nodes.iter().zip(&mut block.at_nodes) {
            block.rods.turn::<FMA>(*input, sense, turn);
        }
        for (input, turn) in places.iter().zip(&mut block.at_places) {
            block.rods.turn::<FMA>(*input, sense, turn);
        }
        let step = reader.weights.places[1] - reader.weights.places[0];
        let turns = &block.at_places;
        let reaches = &mut block.reaches;
        block
            .rods
            .sure::<FMA>(places, turns, (sense, step), reaches);
    }
    for (turn, reading) in block.at_nodes.iter().zip(&mut block.readings) {
        block.places.read::<FMA, COMPONENTS>(turn, reading);
    }
    for (turn, distance) in block.at_places.iter().zip(&mut block.distances) {
        block.places.distance::<FMA>(turn, distance);
    }
    let line = controls.line.unwrap_or([0.0, 0.0]);
    block
        .curve
        .of::<FMA>(&reader.weights, &block.readings, &block.chains, line);
}

#[cfg(test)]
#[path = "lanes_tests.rs"]
mod tests;
