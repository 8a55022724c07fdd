//! Sensors of every kind.

use crate::axis::SensorPackage;
use crate::error::Result;
use crate::hall::{
    AngleOutput, AngleSensor, AngleSensorSpec, HallVariation, LinearHall, LinearHallSpec,
    Potentiometer, PotentiometerSpec, Sensor,
};
use crate::rig::design_error::Read;
use crate::rig::document::Section;
use crate::rig::keys::SensorKind;
use crate::rig::reading::{Reading, kind_of};

/// A sensor with its package.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::rig) struct SensorPart {
    pub(in crate::rig) sensor: Sensor,
    pub(in crate::rig) package: Option<SensorPackage>,
    /// Whether the zero position of an angle sensor is that of the centered control.
    pub(in crate::rig) zeroed: bool,
}

pub(super) fn read(section: &Section<'_>) -> Read<SensorPart> {
    let kind = kind_of(section, "kind", SensorKind::Linear)?;
    let section = section.of_kind(kind);
    let mut reading = Reading::new(&section);
    let made = match kind {
        SensorKind::Linear => read_linear(&mut reading).map(Sensor::from),
        SensorKind::Angle => read_angle(&mut reading).map(Sensor::from),
        SensorKind::Potentiometer => read_potentiometer(&mut reading).map(Sensor::from),
    };
    let package = match kind {
        SensorKind::Potentiometer => None,
        _ => reading.maybe_numbers::<3>("package_mm"),
    };
    let zeroed = kind == SensorKind::Angle && !reading.has("zero_deg");
    reading.done()?;
    Ok(SensorPart {
        sensor: made.map_err(|error| section.refused(error))?,
        package: package.map(|[width, height, thickness]| SensorPackage {
            width,
            height,
            thickness,
        }),
        zeroed,
    })
}

/// The typical part that a section names.
fn typical<T>(reading: &mut Reading<'_, '_>, named: impl Fn(&str) -> Result<T>) -> Option<T> {
    let name = reading.maybe_text("typical")?;
    reading.check("typical", named(&name))
}

fn read_linear(reading: &mut Reading<'_, '_>) -> Result<LinearHall> {
    let base = typical(reading, LinearHall::named);
    // Every figure that is not optional is overridden where there is no typical part.
    let base = base.map_or(LinearHallSpec::new(5.0, 25.0), |sensor| {
        sensor.spec().clone()
    });
    let variation = base.variation;
    let mut value = |name, other| reading.number_or(name, other);
    let spec = LinearHallSpec {
        supply: value("supply_V", base.supply),
        nominal_supply: value("nominal_supply_V", base.nominal_supply),
        quiescent: value("quiescent_V", base.quiescent),
        sensitivity: value("sensitivity_mV_per_mT", base.sensitivity),
        rail_low: value("rail_low_V", base.rail_low),
        rail_headroom: value("rail_headroom_V", base.rail_headroom),
        noise: value("noise_mV", base.noise),
        depth: value("depth_mm", base.depth),
        variation: HallVariation {
            sensitivity_tolerance: value(
                "sensitivity_tolerance_percent",
                variation.sensitivity_tolerance,
            ),
            quiescent_tolerance: value("quiescent_tolerance_mV", variation.quiescent_tolerance),
            sensitivity_drift: value(
                "sensitivity_drift_percent_per_K",
                variation.sensitivity_drift,
            ),
            quiescent_drift: value("quiescent_drift_mV_per_K", variation.quiescent_drift),
            reference_celsius: value("reference_degC", variation.reference_celsius),
        },
        direction: reading.maybe_vector("direction").unwrap_or(base.direction),
        area: reading.maybe_numbers("active_area_mm").unwrap_or(base.area),
        bandwidth: reading.maybe("bandwidth_Hz").or(base.bandwidth),
    };
    LinearHall::new(spec)
}

fn read_angle(reading: &mut Reading<'_, '_>) -> Result<AngleSensor> {
    const ANALOG: [&str; 4] = ["supply_V", "low_V", "high_V", "range_deg"];
    let base = typical(reading, AngleSensor::named).map(|sensor| sensor.spec().clone());
    let typical_output = base.as_ref().map(|spec| spec.output);
    let bits = reading.maybe_whole::<u32>("bits");
    let analog = ANALOG.map(|name| reading.maybe(name));
    for name in ANALOG {
        reading.excludes(name, "bits");
    }
    let output = match (bits, typical_output) {
        (Some(bits), _) => AngleOutput::Digital { bits },
        (None, Some(output @ AngleOutput::Digital { .. }))
            if analog.iter().all(Option::is_none) =>
        {
            output
        }
        (
            None,
            Some(AngleOutput::Analog {
                supply,
                low,
                high,
                range,
            }),
        ) => {
            let [own_supply, own_low, own_high, own_range] = analog;
            AngleOutput::Analog {
                supply: own_supply.unwrap_or(supply),
                low: own_low.unwrap_or(low),
                high: own_high.unwrap_or(high),
                range: own_range.unwrap_or(range),
            }
        }
        (None, _) => {
            if ANALOG.iter().any(|name| reading.has(name)) {
                reading.needs_all(&ANALOG);
            } else {
                reading.needs("bits");
            }
            let [supply, low, high, range] = analog.map(Option::unwrap_or_default);
            AngleOutput::Analog {
                supply,
                low,
                high,
                range,
            }
        }
    };
    let base = base.unwrap_or_else(|| AngleSensorSpec::new(output));
    let [first, second] = base.directions;
    let spec = AngleSensorSpec {
        directions: [
            reading.maybe_vector("first_direction").unwrap_or(first),
            reading.maybe_vector("second_direction").unwrap_or(second),
        ],
        depth: reading.number_or("depth_mm", base.depth),
        offsets: reading.maybe_numbers("offsets_mT").unwrap_or(base.offsets),
        gain_mismatch: reading.number_or("gain_mismatch_percent", base.gain_mismatch),
        nonorthogonality: reading.number_or("nonorthogonality_deg", base.nonorthogonality),
        noise: reading.number_or("noise_mT", base.noise),
        working_flux: reading
            .maybe_numbers("working_flux_mT")
            .unwrap_or(base.working_flux),
        output,
        sense: reading.maybe_word("sense").unwrap_or(base.sense),
        zero: reading.number_or("zero_deg", base.zero),
    };
    AngleSensor::new(spec)
}

fn read_potentiometer(reading: &mut Reading<'_, '_>) -> Result<Potentiometer> {
    let base = typical(reading, Potentiometer::named);
    let travel = reading.maybe("travel_deg");
    let supply = reading.maybe("supply_V");
    let base = match (base, travel) {
        (Some(typical), None) => typical.spec().clone(),
        // Another travel has its own middle, and its own stops.
        (Some(typical), Some(travel)) => PotentiometerSpec {
            travel,
            mechanical_travel: travel,
            center: 0.5 * travel,
            ..typical.spec().clone()
        },
        (None, travel) => PotentiometerSpec::new(travel.unwrap_or(1.0), supply.unwrap_or(5.0)),
    };
    let mut value = |name, other| reading.number_or(name, other);
    let spec = PotentiometerSpec {
        supply: supply.unwrap_or(base.supply),
        mechanical_travel: value("mechanical_travel_deg", base.mechanical_travel),
        resistance: value("resistance_ohm", base.resistance),
        linearity: value("linearity_percent", base.linearity),
        noise: value("noise_mV", base.noise),
        noise_resistance: value("noise_resistance_ohm", base.noise_resistance),
        center: value("center_deg", base.center),
        end_resistances: reading
            .maybe_numbers("end_resistances_ohm")
            .unwrap_or(base.end_resistances),
        load: reading.maybe("load_ohm").or(base.load),
        ..base
    };
    Potentiometer::new(spec)
}
