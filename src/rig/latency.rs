//! How slow each control of a rig is: the stages of the file, and what follows from its own chain.

use crate::axis::{Axis, Delay, LatencyStage, StageKind, UsbSpeed};
use crate::error::{Error, Result, counted};
use crate::hall::LowPass;
use crate::rig::design_error::{DesignError, Mistakes, Problem};
use crate::rig::document::Section;
use crate::rig::keys::DelayKind;
use crate::rig::reading::{Reading, kind_of};

/// The stages that follow from the control itself.
const SENSOR: &str = "bandwidth of the sensor";
const FILTER: &str = "filter before the converter";
const CONVERSION: &str = "conversion";
const AVERAGING: &str = "averaging of codes";

/// Most stages that a file has: with those of a control itself no more than a budget holds.
const MOST: usize = 28;

/// Reads the stages that all controls share.
pub(super) fn read_all(root: &Section<'_>, mistakes: &mut Mistakes) -> Vec<LatencyStage> {
    let mut stages: Vec<LatencyStage> = Vec::new();
    for section in mistakes.take(root.list("latency")) {
        let read = section.and_then(|section| {
            let stage = read(&section)?;
            let name = stage.name();
            let own = [SENSOR, FILTER, CONVERSION, AVERAGING].contains(&name);
            if own || stages.iter().any(|other| other.name() == name) {
                let quantity = "stages of a latency budget";
                let name = name.to_owned();
                let taken = Error::NameTaken { quantity, name };
                return Err(section.error_at("name", Problem::Refused(taken)));
            }
            Ok(stage)
        });
        stages.extend(mistakes.note(read));
    }
    let few = counted("stages of a latency budget", stages.len(), [0, MOST]);
    mistakes.note(few.map_err(|error| root.error_at("latency", Problem::Refused(error))));
    stages
}

fn read(section: &Section<'_>) -> std::result::Result<LatencyStage, DesignError> {
    let kind = kind_of::<DelayKind>(section, "delay", None)?;
    let section = &section.of_kind(kind);
    let mut reading = Reading::new(section);
    let name = reading.text("name");
    let stage = reading.maybe_word("stage").unwrap_or(StageKind::Other);
    let delay = match kind {
        DelayKind::Fixed => Delay::fixed(reading.number("time_ms")),
        DelayKind::Uniform => {
            let shortest = reading.number("shortest_ms");
            Delay::uniform(shortest, reading.number("longest_ms"))
        }
        DelayKind::Triangular => {
            let [shortest, likely] = ["shortest_ms", "likely_ms"].map(|name| reading.number(name));
            Delay::triangular(shortest, likely, reading.number("longest_ms"))
        }
        DelayKind::Wait => {
            let interval = reading.number("interval_ms");
            Delay::wait(interval, reading.number_or("missed_percent", 0.0))
        }
        DelayKind::Sample => {
            let times = section.series("times_ms");
            let times = times.and_then(|times| section.required("times_ms", times));
            Delay::sample(reading.note(times).unwrap_or_default())
        }
        DelayKind::Polling => {
            let speed = reading.maybe_word("speed").unwrap_or(UsbSpeed::Full);
            Delay::usb_polling(speed, reading.whole("b_interval"))
        }
    };
    reading.done()?;
    let stage = delay.and_then(|delay| LatencyStage::new(stage, delay).named(name));
    stage.map_err(|error| section.refused(error))
}

/// The stages of a control: its own before those that all share; none where the file has no stages.
///
/// A one-pole filter delays a steady motion by its group delay at low frequency, 1 / (2 pi f_c), averaging of N by
/// (N - 1) / 2 intervals; of N conversions whose mean is taken the middle one tells the position, so that it is
/// (N + 1) / 2 of them late.
pub(super) fn of_axis(
    axis: &Axis,
    shared: &[LatencyStage],
    conversion: Option<f64>,
) -> Result<Vec<LatencyStage>> {
    if shared.is_empty() {
        return Ok(Vec::new());
    }
    let spec = axis.spec();
    let bandwidth = spec
        .sensor
        .linear()
        .and_then(|sensor| sensor.spec().bandwidth);
    let bandwidth = bandwidth.map(LowPass::new).transpose()?;
    let oversampling = spec.converter.as_ref().map_or(1, |c| c.oversampling());
    let conversion = conversion.map(|time| 0.5 * (f64::from(oversampling) + 1.0) * time);
    let own = [
        (
            SENSOR,
            StageKind::Filter,
            bandwidth.map(|pole| pole.group_delay()),
        ),
        (
            FILTER,
            StageKind::Filter,
            spec.filter.map(|filter| filter.group_delay()),
        ),
        (CONVERSION, StageKind::Conversion, conversion),
        (
            AVERAGING,
            StageKind::Filter,
            spec.averaging.map(|mean| mean.group_delay()),
        ),
    ];
    let mut stages = Vec::new();
    for (name, kind, time) in own {
        if let Some(time) = time {
            stages.push(LatencyStage::new(kind, Delay::fixed(time)?).named(name)?);
        }
    }
    stages.extend_from_slice(shared);
    Ok(stages)
}
