//! Where a stick may be, how far its grip goes, and what it comes near to.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::{Result, echo};
use crate::linkage::{Clearance, Gate, Gimbal, GimbalAxis, GripTravel, Obstacle};
use crate::rig::control::NamedStick;
use crate::units::{DEG, MM};

/// To what the clearance is found, m.
const TOLERANCE: f64 = 0.5 * MM;

/// The gate of an evaluated stick.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GateEvaluation {
    gimbal: Gimbal,
    gate: Gate,
    grip_travel: [GripTravel; 2],
    obstacles: Vec<NamedObstacle>,
    clearance: Option<Clearance>,
}

/// What stands around a stick.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct NamedObstacle {
    /// What it is called.
    pub name: String,
    /// Its shape and where it stands.
    pub obstacle: Obstacle,
}

/// Where a stick and the hand come nearest to what stands around; none where nothing does.
pub(in crate::rig) fn clearance_of(named: &NamedStick) -> Result<Option<Clearance>> {
    let shapes = named.obstacles().iter().map(|(_, one)| one.clone());
    let shapes: Vec<Obstacle> = shapes.collect();
    if shapes.is_empty() {
        return Ok(None);
    }
    let found = named.gimbal().clearance(named.gate(), &shapes, TOLERANCE);
    found.map(Some)
}

impl GateEvaluation {
    pub(super) fn new(named: &NamedStick) -> Result<Self> {
        let (gimbal, gate) = (named.gimbal(), named.gate());
        let travel = |axis| gimbal.travel(axis, named.throw(axis), 0.0);
        let obstacles = named
            .obstacles()
            .iter()
            .map(|(name, obstacle)| NamedObstacle {
                name: name.clone(),
                obstacle: obstacle.clone(),
            });
        Ok(Self {
            grip_travel: [travel(GimbalAxis::Outer)?, travel(GimbalAxis::Inner)?],
            gimbal: gimbal.clone(),
            gate: gate.clone(),
            obstacles: obstacles.collect(),
            clearance: clearance_of(named)?,
        })
    }

    /// The stick on its two pivots.
    #[must_use]
    pub fn gimbal(&self) -> &Gimbal {
        &self.gimbal
    }

    /// Where it may be.
    #[must_use]
    pub fn gate(&self) -> &Gate {
        &self.gate
    }

    /// How far the grip goes over the throw of the outer and of the inner axis, the other one at zero.
    #[must_use]
    pub fn grip_travel(&self) -> [GripTravel; 2] {
        self.grip_travel
    }

    /// What stands around it, in the order of the file.
    #[must_use]
    pub fn obstacles(&self) -> &[NamedObstacle] {
        &self.obstacles
    }

    /// Where the stick and the hand come nearest to any of them over the whole gate: nowhere in it nearer by more than
    /// half a millimeter. None where nothing stands around.
    #[must_use]
    pub fn clearance(&self) -> Option<&Clearance> {
        self.clearance.as_ref()
    }

    /// What it comes nearest to.
    #[must_use]
    pub fn nearest(&self) -> Option<&str> {
        let clearance = self.clearance.as_ref()?;
        Some(&self.obstacles.get(clearance.obstacle)?.name)
    }

    /// That it touches something, if it does.
    pub(super) fn finding(&self) -> Option<String> {
        let clearance = self
            .clearance
            .as_ref()
            .filter(|clearance| clearance.collides())?;
        let [outer, inner] = clearance.angles.map(|angle| angle / DEG);
        Some(format!(
            "the stick touches {} within its gate, at {outer:.1} and {inner:.1} deg",
            echo(self.nearest().unwrap_or_default())
        ))
    }
}

impl fmt::Display for GateEvaluation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [outer, inner] = self.grip_travel.map(|travel| travel.arc / MM);
        write!(f, "  grip goes {outer:.0} mm and {inner:.0} mm")?;
        if let (Some(clearance), Some(nearest)) = (&self.clearance, self.nearest()) {
            let [outer, inner] = clearance.angles.map(|angle| angle / DEG);
            write!(
                f,
                "; {:.1} mm left to {} at {outer:.1} and {inner:.1} deg",
                clearance.distance / MM,
                echo(nearest)
            )?;
        }
        writeln!(f)
    }
}
