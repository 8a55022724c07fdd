//! Which length of a rod, or of its arms, explains measured angles of pedal and crank.

use crate::axis::bench::identification::engine::{check_sought, fit, smallest_sd};
use crate::axis::bench::identification::outcome::Identification;
use crate::axis::bench::identification::unknown::{RodUnknown, Sought, Unknown};
use crate::error::{Error, Result, counted, within};
use crate::linkage::{Arm, BallRod, BallRodSpec};

/// Rows that are held against the model at most.
const MOST_ROWS: usize = 100_000;
/// Standard deviations of a protractor, rad.
const SD: [f64; 2] = [1e-9, 1.0];

/// What explains the crank angles (rad) measured at pedal angles (rad), of a rod between the two as designed.
///
/// Angles are from where the arms were drawn at neutral. A rod of another length turns the crank at neutral; where its
/// protractor was set to zero there, [`RodUnknown::CrankZero`] is among what is sought. `sd` is the standard deviation
/// of a crank angle, rad, if it is known.
///
/// # Errors
/// [`Error::LengthMismatch`]; [`Error::Count`] for no quantities, angles no more than quantities or more than 100,000;
/// [`Error::NameTaken`] for a quantity that is sought twice; [`Error::NotFinite`], [`Error::OutOfRange`],
/// [`Error::NotAscending`] for angles, bounds that do not hold the design or standard deviations; what the rod refuses
/// at the start.
///
/// # Example
/// ```
/// use nalgebra::{Point3, Vector3};
/// use yokewright::axis::{RodUnknown, Sought, identify_rod};
/// use yokewright::linkage::{Arm, BallRod};
/// use yokewright::units::{DEG, MM};
///
/// let pedal = Arm::new(Point3::origin(), Vector3::y(), Point3::new(0.0, 0.0, 100.0 * MM))?;
/// let pivot = Point3::new(200.0 * MM, -60.0 * MM, 100.0 * MM);
/// let crank = Arm::new(pivot, Vector3::z(), pivot + Vector3::y() * (50.0 * MM))?;
/// let drawn = BallRod::new(pedal, crank)?;
/// // Built with a rod that is 2 mm too long.
/// let built = drawn.with_rod_length(drawn.rod_length() + 2.0 * MM)?;
/// let pedals: Vec<f64> = (-10..=10).map(|i| f64::from(i) * DEG).collect();
/// let cranks = pedals.iter().map(|a| Ok(built.transfer(*a)?.angle)).collect::<yokewright::Result<Vec<f64>>>()?;
///
/// let length = drawn.rod_length();
/// let sought = Sought::within(RodUnknown::RodLength, [length - 10.0 * MM, length + 10.0 * MM]);
/// let found = identify_rod(&drawn, &pedals, &cranks, &[sought], None)?;
/// assert!((found.quantities[0].value - length - 2.0 * MM).abs() < 1e-6 * MM);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn identify_rod(
    rod: &BallRod,
    pedal: &[f64],
    crank: &[f64],
    sought: &[Sought<RodUnknown>],
    sd: Option<f64>,
) -> Result<Identification> {
    if pedal.len() != crank.len() {
        return Err(Error::LengthMismatch {
            first: "pedal angles",
            first_len: pedal.len(),
            second: "crank angles",
            second_len: crank.len(),
        });
    }
    let names: Vec<RodUnknown> = sought.iter().map(|sought| sought.quantity).collect();
    check_sought(&names)?;
    counted(
        "measured angles to identify from",
        pedal.len(),
        [2, MOST_ROWS],
    )?;
    let turn = crate::axis::bench::sweep::MAX_ANGLE;
    for (pedal, crank) in pedal.iter().zip(crank) {
        within("pedal angle", *pedal, -turn, turn, "rad")?;
        within("crank angle", *crank, -turn, turn, "rad")?;
    }
    if let Some(sd) = sd {
        within(
            "standard deviation of a crank angle",
            sd,
            SD[0],
            SD[1],
            "rad",
        )?;
    }
    let unknowns = sought
        .iter()
        .map(|sought| {
            let quantity = sought.quantity;
            Unknown::new(sought, quantity.unit(), designed(rod, quantity))
        })
        .collect::<Result<Vec<Unknown>>>()?;
    let departures = |values: &[f64]| -> Result<Vec<f64>> {
        let (built, zero) = built(rod, &names, values)?;
        let both = pedal.iter().zip(crank);
        both.map(|(pedal, crank)| Ok(built.transfer(*pedal)?.angle - zero - crank))
            .collect()
    };
    let found = fit(&unknowns, sd, smallest_sd(&[SD[0]]), departures)?;
    Ok(Identification::of(&unknowns, &found, pedal.len(), "rad"))
}

fn designed(rod: &BallRod, quantity: RodUnknown) -> f64 {
    match quantity {
        RodUnknown::RodLength => rod.rod_length(),
        RodUnknown::StudHeight => rod.input().length(),
        RodUnknown::CrankArm => rod.output().length(),
        RodUnknown::CrankZero => 0.0,
    }
}

/// The rod with values of what is sought, and the angle of the crank where its protractor showed zero.
fn built(rod: &BallRod, names: &[RodUnknown], values: &[f64]) -> Result<(BallRod, f64)> {
    // The rod keeps its length when an arm changes.
    let mut spec = BallRodSpec {
        rod_length: Some(rod.rod_length()),
        ..rod.spec()
    };
    let mut zero = 0.0;
    for (name, value) in names.iter().zip(values) {
        match name {
            RodUnknown::RodLength => spec.rod_length = Some(*value),
            RodUnknown::StudHeight => spec.input = of_length(&spec.input, *value)?,
            RodUnknown::CrankArm => spec.output = of_length(&spec.output, *value)?,
            RodUnknown::CrankZero => zero = *value,
        }
    }
    Ok((BallRod::put_together(spec)?, zero))
}

/// An arm with its joint at another distance from the axis, in the same direction.
fn of_length(arm: &Arm, length: f64) -> Result<Arm> {
    let from_pivot = arm.joint() - arm.pivot();
    let along = arm.direction() * arm.direction().dot(&from_pivot);
    let radius = from_pivot - along;
    let joint = arm.pivot() + along + radius * (length / arm.length());
    let made = Arm::new(arm.pivot(), arm.direction(), joint)?;
    match arm.stud() {
        Some(stud) => made.with_stud(stud.direction(), stud.limit()),
        None => Ok(made),
    }
}
