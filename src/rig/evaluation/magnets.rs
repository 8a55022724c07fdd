//! How the magnets of a rig are to be handled: with what force they hold together, and how warm they may get.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::{AnyArrangement, Arrangement};
use crate::error::{Error, Result, echo};
use crate::magnet::material::{Grade, Load, RatedBound, WorkingPoint, demagnetizing};
use crate::magnet::{AnySource, Magnet, MagnetGroup, contact_force, pull};
use crate::rig::control::{NamedAxis, NamedStick};
use crate::rig::design::Design;
use crate::rig::design_error::{DesignError, Problem};

/// Where remanences are given as a rule, degC: a magnet of which nobody says how warm it gets.
const ROOM: f64 = 20.0;
/// Force from which a finger between two magnets is pinched, N: our own choice, what a stiff clothes peg presses with.
const PINCHES: f64 = 10.0;

/// How the magnets of a rig are to be handled. Computed by itself, since forces at contact may take long.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Handling {
    magnets: Vec<MagnetHandling>,
    pulls: Vec<MagnetPull>,
}

/// One magnet of the design file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct MagnetHandling {
    /// Its name in the design file.
    pub name: String,
    /// The axes that use it.
    pub axes: Vec<String>,
    /// Force with which two of them hold together, or one to thick steel, N: see
    /// [`contact_force`](crate::magnet::contact_force).
    pub contact_force: f64,
    /// Its grade, if the file says so.
    pub grade: Option<String>,
    /// The hottest temperature of the error budgets of its axes, degC; 20 degC if none says one.
    pub hottest: f64,
    /// How much further the field strength inside may fall there until the magnet loses flux for good, A/m, of the
    /// strongest magnet of its grade in free air; negative if it has already. None without a grade that tells it.
    pub margin: Option<f64>,
    /// Lowest and highest temperature, degC, between which it loses nothing for good, in free air.
    pub reversible_celsius: Option<[f64; 2]>,
    /// What to mind.
    pub notes: Vec<String>,
}

/// A force that a holder of magnets has to bear, the control centered.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct MagnetPull {
    /// The axis.
    pub axis: String,
    /// Between what: the two magnets of a pair, or magnets and their steel plate.
    pub between: String,
    /// The force, N.
    pub force: f64,
}

impl Design {
    /// How its magnets are to be handled: contact forces, margins against losing flux in the heat, pulls that holders
    /// have to bear.
    ///
    /// # Errors
    /// [`DesignError`] with line 0 if a force does not converge or an observer asks to stop.
    pub fn handling(&self) -> std::result::Result<Handling, DesignError> {
        Handling::new(self)
            .map_err(|error| DesignError::of_file(self.file().to_owned(), Problem::Refused(error)))
    }
}

impl Handling {
    fn new(design: &Design) -> Result<Self> {
        let of_sticks = design.sticks().iter().flat_map(NamedStick::axes);
        let axes: Vec<&NamedAxis> = design.axes().iter().chain(of_sticks).collect();
        let mut magnets: Vec<MagnetHandling> = Vec::new();
        for (name, part) in design.magnets() {
            let users = axes.iter().filter(|axis| axis.magnets().contains(name));
            let hottest = users
                .clone()
                .filter_map(|axis| axis.error_budget().celsius)
                .map(|[_, hot]| hot)
                .fold(ROOM, f64::max);
            let users = users.map(|axis| axis.name().to_owned());
            magnets.push(MagnetHandling::new(
                name,
                &part.magnet,
                part.grade.as_ref(),
                hottest,
                users.collect(),
            )?);
        }
        let mut pulls = Vec::new();
        for axis in axes {
            if let Some(arrangement) = axis.arrangement() {
                pulls.extend(pulls_of(axis.name(), arrangement)?);
            }
        }
        Ok(Self { magnets, pulls })
    }

    /// The magnets of the file, by their names.
    #[must_use]
    pub fn magnets(&self) -> &[MagnetHandling] {
        &self.magnets
    }

    /// The forces that holders of magnets have to bear.
    #[must_use]
    pub fn pulls(&self) -> &[MagnetPull] {
        &self.pulls
    }
}

impl MagnetHandling {
    fn new(
        name: &str,
        magnet: &Magnet,
        grade: Option<&Grade>,
        hottest: f64,
        axes: Vec<String>,
    ) -> Result<Self> {
        let contact_force = contact_force(magnet)?;
        let mut notes = Vec::new();
        if contact_force >= PINCHES {
            notes.push(format!(
                "two of them hold together with {contact_force:.0} N: handle them one at a time and keep fingers from \
                 between"
            ));
        }
        let point = grade.map(|grade| working_point(magnet, grade, hottest));
        let point = match point {
            Some(Ok(point)) => Some(point),
            // Of alnico nobody can say, nor of any grade beyond its temperatures: that is a finding.
            Some(Err(Error::Stopped)) => return Err(Error::Stopped),
            Some(Err(error)) => {
                notes.push(format!("whether it keeps its flux is not known: {error}"));
                None
            }
            None => None,
        };
        if let Some(point) = &point
            && point.margin() < 0.0
        {
            notes.push(format!(
                "at {hottest:.0} degC it loses flux for good: take a grade for higher temperatures or a longer magnet"
            ));
        }
        Ok(Self {
            name: name.to_owned(),
            axes,
            contact_force,
            grade: grade.map(|grade| grade.name().to_owned()),
            hottest,
            margin: point.as_ref().map(WorkingPoint::margin),
            reversible_celsius: point.as_ref().and_then(WorkingPoint::reversible_celsius),
            notes,
        })
    }
}

/// Where the strongest magnet of a grade works, alone in air.
fn working_point(magnet: &Magnet, grade: &Grade, celsius: f64) -> Result<WorkingPoint> {
    let factors = demagnetizing::of(magnet)?;
    let factor = demagnetizing::along(&factors, &magnet.polarization())?;
    let load = Load {
        celsius,
        ..Load::alone(factor)
    };
    WorkingPoint::new(grade, RatedBound::Highest, load)
}

/// The forces between the parts of an arrangement.
fn pulls_of(axis: &str, arrangement: &AnyArrangement) -> Result<Vec<MagnetPull>> {
    let mut pulls = Vec::new();
    let mut tell = |between: &str, force: f64| {
        pulls.push(MagnetPull {
            axis: axis.to_owned(),
            between: between.to_owned(),
            force,
        });
    };
    let source = arrangement.source();
    let (group, plate): (MagnetGroup, _) = match &source {
        AnySource::OverPlate(over) => (over.magnets().clone(), Some(over.plate().clone())),
        AnySource::Magnets(group) => (group.clone(), None),
        _ => return Ok(pulls),
    };
    if let [first, second] = group.magnets() {
        tell("the two magnets", pull(first, second, None)?.force.norm());
    }
    if let Some(plate) = plate {
        tell(
            "magnets and steel plate",
            plate.pull(&group, None)?.force.norm(),
        );
    }
    Ok(pulls)
}

impl fmt::Display for Handling {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for magnet in &self.magnets {
            write!(
                f,
                "magnet {}: two of them, or one on thick steel, hold with {:.1} N",
                echo(&magnet.name),
                magnet.contact_force
            )?;
            if let Some(margin) = magnet.margin {
                write!(
                    f,
                    "; at {:.0} degC {:.0} kA/m are left until it loses flux for good",
                    magnet.hottest,
                    margin / 1e3
                )?;
            }
            writeln!(f)?;
            for note in &magnet.notes {
                writeln!(f, "  note: {note}")?;
            }
        }
        for pull in &self.pulls {
            writeln!(
                f,
                "{}: {} pull with {:.1} N",
                echo(&pull.axis),
                pull.between,
                pull.force
            )?;
        }
        Ok(())
    }
}
