//! The fast way to build a control: its toleranced numbers are inputs of a [`ControlDesign`], whose builds go side by
//! side.

use std::collections::BTreeMap;

use crate::axis::{
    AnyArrangement, Arrangement, Axis, Buildable, Builds, ControlDesign, ControlDesignSpec,
    ControlFigure, FigureName, Measure, PreparedDesign,
};
use crate::error::{Error, Result};
use crate::hall::Sensor;
use crate::magnet::Magnet;
use crate::rig::answers::{Answers, Mechanics};
use crate::rig::control::NamedAxis;
use crate::rig::numbers::{MetNumber, Reached};
use crate::rig::target::{AnsweredBy, Target};
use crate::rig::tolerance::builds::Asked;
use crate::rig::tolerance::figures::figure_name;
use crate::rig::tolerance::inputs::{Inputs, beyond};
use crate::rig::tolerance::subject::Subject;
use crate::units::{DEG, MM, MT};

/// A control whose builds go side by side.
pub(super) struct SideBySide<'a> {
    design: ControlDesign,
    named: &'a NamedAxis,
    met: &'a BTreeMap<usize, MetNumber>,
    reached: Reached,
    asked: Asked,
    /// Those of the design: no number that goes this way moves them.
    mechanics: Mechanics,
}

impl<'a> SideBySide<'a> {
    /// None of a control that has other figures, parts or toleranced numbers than that way knows.
    ///
    /// # Errors
    /// The asked things back, for the general way.
    pub(super) fn of(
        subject: Subject<'a>,
        (met, reached): (&'a BTreeMap<usize, MetNumber>, Reached),
        toleranced: &[&str],
        asked: Asked,
    ) -> std::result::Result<Self, Asked> {
        let Some(named) = subject.axis() else {
            return Err(asked);
        };
        // What the design itself cannot be, each build tells.
        let (Some(design), Ok(mechanics)) = (control_design(named), asked.mechanics(subject))
        else {
            return Err(asked);
        };
        let lever = named.axis().is_ok_and(|axis| axis.spec().lever.is_some());
        let told = |target: &Target| is_told(*target, lever);
        let own = Self {
            design,
            named,
            met,
            reached,
            asked,
            mechanics,
        };
        let known = |input: &&str| {
            own.inputs()
                .number(input)
                .is_ok_and(|found| own.inner(found.1).is_some())
        };
        if own.asked.figures.iter().all(told) && toleranced.iter().all(known) {
            Ok(own)
        } else {
            Err(own.asked)
        }
    }

    fn inputs(&self) -> Inputs<'a, '_> {
        Inputs {
            met: self.met,
            reached: &self.reached,
        }
    }

    /// The input of the control that a number of the file is, and what a value of the number is times there.
    fn inner(&self, number: &MetNumber) -> Option<(String, f64)> {
        let (_, name) = number.name.rsplit_once('.')?;
        let section = number.key.section;
        let place = name.parse::<usize>().ok();
        let arrangement = self.named.arrangement()?;
        let of_three = |measures: [Measure; 3]| Some(*measures.get(place?)?);
        let measure = match (section, number.key.name) {
            ("axis" | "stick.AXIS", "arm_mm") => Some(Measure::Arm),
            ("axis" | "stick.AXIS", "gap_mm") => Some(Measure::Gap),
            ("axis" | "stick.AXIS", "spacing_mm") => Some(Measure::Spacing),
            ("axis" | "stick.AXIS", "offset_mm") => of_three([
                Measure::RadialOffset,
                Measure::TangentialOffset,
                Measure::AxialOffset,
            ]),
            ("axis" | "stick.AXIS", "magnet_tilt_deg") => of_three([
                Measure::MagnetTiltAboutRadial,
                Measure::MagnetTiltAboutTangential,
                Measure::MagnetTiltAboutAxial,
            ]),
            ("axis" | "stick.AXIS", "sensor_tilt_deg") => of_three([
                Measure::SensorTiltAboutRadial,
                Measure::SensorTiltAboutTangential,
                Measure::SensorTiltAboutAxial,
            ]),
            // A second magnet may be the same part.
            ("magnet", _) if !matches!(arrangement, AnyArrangement::Swung(_)) => return None,
            ("magnet", "size_mm") => of_three([
                Measure::MagnetWidth,
                Measure::MagnetDepth,
                Measure::MagnetLength,
            ]),
            ("magnet", "remanence_percent") => Some(Measure::Polarization),
            _ => None,
        };
        if let Some(measure) = measure {
            let nominal = arrangement.measure(measure)?;
            let scale = match measure {
                Measure::Polarization => nominal / number.key.in_si(number.value),
                _ => 1.0,
            };
            return Some((measure.to_string(), scale));
        }
        let path = match (section, number.key.name) {
            ("sensor", "sensitivity_mV_per_mT") => "sensor.sensitivity",
            ("sensor", "quiescent_V") => "sensor.quiescent",
            ("sensor", "rail_low_V") => "sensor.rail_low",
            ("sensor", "rail_headroom_V") => "sensor.rail_headroom",
            ("sensor", "depth_mm") => "sensor.depth",
            ("sensor", "noise_mV") => "sensor.noise",
            ("sensor", "supply_V") => "sensor.supply",
            ("converter", "reference_V") => "converter.reference",
            ("converter", "noise_mV") => "converter.noise",
            ("axis" | "stick.AXIS", "temperature_degC") => "celsius",
            _ => return None,
        };
        Some((path.to_owned(), 1.0))
    }

    /// Figures of the file from those of the control.
    fn figures_of(&self, row: &[f64], axis: &Axis) -> Vec<f64> {
        let of = |figure: ControlFigure| {
            let place = ControlFigure::ALL.iter().position(|one| *one == figure);
            place.map_or(f64::NAN, |place| row[place])
        };
        let spec = axis.spec();
        let lever = spec.lever.unwrap_or(f64::NAN);
        let figure = |target: &Target| match target {
            Target::RangeUsed => 100.0 * of(ControlFigure::RangeUsed),
            Target::Counts => of(ControlFigure::HighestCode) - of(ControlFigure::LowestCode),
            Target::Linearity => 100.0 * of(ControlFigure::IndependentLinearity),
            Target::TerminalBasedLinearity => 100.0 * of(ControlFigure::TerminalLinearity),
            Target::Clipped => 100.0 * of(ControlFigure::ClippedShare),
            Target::Step => {
                let steps = [
                    ControlFigure::WorstQuantizationStep,
                    ControlFigure::WorstNoiseStep,
                ];
                greater(steps.map(of)) / DEG
            }
            Target::Noise => of(ControlFigure::WorstNoiseStep) / DEG,
            Target::StepAtGrip => {
                let steps = [ControlFigure::QuantizationStep, ControlFigure::NoiseStep];
                greater(steps.map(of)) * lever / MM
            }
            Target::Gain => of(ControlFigure::Gain) * DEG,
            Target::GainAtGrip => of(ControlFigure::Gain) / lever * MM,
            Target::FluxSpan => of(ControlFigure::FluxSpan) / MT,
            Target::OutputSpan => of(ControlFigure::OutputSpan),
            Target::EffectiveBits => of(ControlFigure::EffectiveBits),
            Target::Clearance => of(ControlFigure::Clearance) / MM,
            Target::Nonlinearity => of(ControlFigure::ErrorAfterCalibration) / DEG,
            Target::Uncalibrated => of(ControlFigure::ErrorBeforeCalibration) / DEG,
            Target::Price => self.asked.price.unwrap_or(f64::NAN),
            Target::Latency => self
                .asked
                .latency
                .map_or(f64::NAN, |time| time / crate::units::MS),
            Target::CenteringCounts => {
                let centering = self.mechanics.centering.unwrap_or(f64::NAN);
                centering * of(ControlFigure::Gain)
            }
            target => {
                let answers = Answers {
                    mechanics: self.mechanics,
                    ..Answers::default()
                };
                target.figure(&answers).unwrap_or(f64::NAN)
            }
        };
        self.asked.figures.iter().map(figure).collect()
    }
}

/// The greater of two, NaN if either is.
fn greater([a, b]: [f64; 2]) -> f64 {
    if a.is_nan() || b.is_nan() {
        f64::NAN
    } else {
        a.max(b)
    }
}

fn is_told(target: Target, lever: bool) -> bool {
    match target {
        Target::RangeUsed
        | Target::Counts
        | Target::Linearity
        | Target::TerminalBasedLinearity
        | Target::Clipped
        | Target::Step
        | Target::Noise
        | Target::Gain
        | Target::FluxSpan
        | Target::OutputSpan
        | Target::EffectiveBits
        | Target::Clearance
        | Target::Nonlinearity
        | Target::Uncalibrated
        | Target::Price
        | Target::Latency => true,
        Target::StepAtGrip | Target::GainAtGrip => lever,
        _ => matches!(
            target.answered_by(),
            AnsweredBy::Feel | AnsweredBy::Springs | AnsweredBy::Drive
        ),
    }
}

/// The control as a design of its own; none of one that is not of a linear sensor at block magnets.
fn control_design(named: &NamedAxis) -> Option<ControlDesign> {
    let (arrangement, axis) = (named.arrangement()?, named.axis().ok()?);
    let spec = axis.spec();
    if let AnyArrangement::Swung(layout) = arrangement
        && !matches!(layout.spec().magnet, Magnet::Block(_))
    {
        return None;
    }
    if !matches!(spec.sensor, Sensor::Linear(_)) {
        return None;
    }
    let made = ControlDesign::new(ControlDesignSpec {
        filter: spec.filter,
        averaging: spec.averaging,
        moving: named.moving(),
        drive: spec.drive.clone(),
        remanence_drift: spec.remanence_drift,
        celsius: spec.celsius,
        calibration: named.asked_budget().spec.calibration,
        ..ControlDesignSpec::new(
            arrangement.clone(),
            axis.throw(),
            spec.sensor.clone(),
            spec.converter.clone(),
        )
    });
    // The same control as the file's, to the last bit, or none at all.
    let design = made.ok()?;
    let same = design.axis().is_ok_and(|own| {
        let [own, of_file] = [own.spec(), spec].map(|spec| crate::axis::AxisSpec {
            lever: None,
            ..spec.clone()
        });
        own == of_file
    });
    same.then_some(design)
}

impl Buildable for SideBySide<'_> {
    fn figures(&self) -> Vec<FigureName> {
        self.asked
            .figures
            .iter()
            .map(|target| figure_name(*target))
            .collect()
    }

    fn nominal(&self, input: &str) -> Result<f64> {
        Ok(self.inputs().number(input)?.1.value)
    }

    fn assembly(&self, inputs: &[String]) -> Result<Box<dyn PreparedDesign + '_>> {
        let (mut numbers, mut names) = (Vec::new(), Vec::new());
        for input in inputs {
            let (_, number) = self.inputs().number(input)?;
            let (name, scale) = self.inner(number).ok_or(Error::Absent {
                quantity: "such an input",
                of: "a control that is built side by side",
                advice: "read it anew for each build",
            })?;
            numbers.push((number, scale));
            names.push(name);
        }
        Ok(Box::new(Mapped {
            control: self,
            axis: self.named.axis().map_err(Clone::clone)?,
            numbers,
            inner: self.design.assembly(&names)?,
        }))
    }
}

struct Mapped<'a> {
    control: &'a SideBySide<'a>,
    axis: &'a Axis,
    /// With what each is times as an input of the control.
    numbers: Vec<(&'a MetNumber, f64)>,
    inner: Box<dyn PreparedDesign + 'a>,
}

impl PreparedDesign for Mapped<'_> {
    fn build(&self, builds: &mut Builds) -> Result<()> {
        let count = builds.count();
        let mut failed = Vec::new();
        let mut columns = Vec::new();
        for ((number, scale), column) in self.numbers.iter().zip(builds.inputs()) {
            let mut inner = Vec::with_capacity(count);
            for (build, value) in column.iter().enumerate() {
                let off = beyond(number, *value);
                let held = off.as_ref().map_or(*value, |_| number.value);
                inner.push(scale * number.key.in_si(held));
                failed.extend(off.map(|failure| (build, failure)));
            }
            columns.push(inner);
        }
        let mut inner = Builds::new(columns, count, ControlFigure::ALL.len());
        self.inner.build(&mut inner)?;
        let mut row = vec![f64::NAN; ControlFigure::ALL.len()];
        for build in 0..count {
            for (value, column) in row.iter_mut().zip(inner.figures()) {
                *value = column[build];
            }
            let figures = self.control.figures_of(&row, self.axis);
            for (column, value) in builds.figures_mut().into_iter().zip(figures) {
                column[build] = value;
            }
        }
        for (build, failure) in inner.failures() {
            builds.fail(*build, failure.clone());
        }
        // What a number may not be is told first.
        for (build, failure) in failed.into_iter().rev() {
            builds.fail(build, failure);
        }
        Ok(())
    }
}
