//! What the drive of an axis does over its throw: ratio, locks, swivel of its joints, loads of its rods.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::Axis;
use crate::error::{Error, Result};
use crate::linkage::{
    AnyTransmission, Arm, BallRod, BallRodSpec, FootSide, Pedal, PedalMember, PedalPair,
    PedalTransmission, Transmission, TransmissionChain, TransmissionReach,
};
use crate::numeric::spacing::spaced;
use crate::observer;
use crate::rig::answers::Mechanics;
use crate::units::{DEG, MM};

/// Places of the throw at which rods are loaded.
const PLACES: usize = 21;
/// What a row calls an end that is none of the linkage itself.
const NO_LOCK: &str = "end of the turns";

/// The evaluated drive of an axis by itself.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LinkageEvaluation {
    throw: [f64; 2],
    output: [f64; 2],
    ratios: [f64; 3],
    pad_travel: Option<[f64; 2]>,
    reach: TransmissionReach,
    lock_margins: [Option<f64>; 2],
    joints: Vec<JointSwivel>,
    foot_force: Option<f64>,
    rods: Vec<RodForce>,
    notes: Vec<String>,
}

/// How far a ball joint swivels over the throw.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct JointSwivel {
    /// Which joint: "left rod at the pedal".
    pub joint: String,
    /// Greatest angle by which the rod leaves the plane across the stud, rad.
    pub swivel: f64,
    /// What it is rated for to either side, rad, if the file says so.
    pub rated: Option<f64>,
}

/// The greatest force in a rod over the throw under the foot's force.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct RodForce {
    /// Which rod.
    pub rod: String,
    /// The force, N: positive pulls the rod, negative presses it.
    pub force: f64,
    /// Angle of the control at which it is that great, rad.
    pub angle: f64,
}

impl LinkageEvaluation {
    /// Of an axis that has a drive.
    pub(in crate::rig) fn new(axis: &Axis, foot_force: Option<f64>) -> Result<Option<Self>> {
        let spec = axis.spec();
        let drive = &spec.drive;
        if *drive == AnyTransmission::Identity {
            return Ok(None);
        }
        let throw = axis.throw();
        let [lower, center, upper] = [throw[0], 0.0, throw[1]].map(|angle| axis.pivot_at(angle));
        let (lower, center, upper) = (lower?, center?, upper?);
        let mut notes = Vec::new();
        let mut joints = Vec::new();
        swivels(drive, throw, "", &mut joints)?;
        for joint in &joints {
            if let Some(rated) = joint.rated
                && joint.swivel > rated
            {
                notes.push(format!(
                    "{} swivels by {:.1} deg and is rated for {:.1} deg",
                    joint.joint,
                    joint.swivel / DEG,
                    rated / DEG
                ));
            }
        }
        let rods = match foot_force {
            Some(force) => rod_forces(axis, force, &mut notes)?,
            None => Vec::new(),
        };
        Ok(Some(Self {
            throw,
            output: [lower.angle, upper.angle],
            ratios: [lower.ratio, center.ratio, upper.ratio],
            pad_travel: pad_travel(drive, throw, spec.lever)?,
            reach: axis.drive_reach().clone(),
            lock_margins: lock_margins(drive, throw),
            joints,
            foot_force,
            rods,
            notes,
        }))
    }

    /// Least and greatest angle of the control, rad.
    #[must_use]
    pub fn throw(&self) -> [f64; 2] {
        self.throw
    }

    /// Angle of the output at these, rad.
    #[must_use]
    pub fn output(&self) -> [f64; 2] {
        self.output
    }

    /// Turn of the output for a turn of the control at the lower end, at the center and at the upper end.
    #[must_use]
    pub fn ratios(&self) -> [f64; 3] {
        self.ratios
    }

    /// Way of the pad at both ends, m: of pedals along the push of the foot, else along the arc of the lever; none
    /// without a lever.
    #[must_use]
    pub fn pad_travel(&self) -> Option<[f64; 2]> {
        self.pad_travel
    }

    /// What ends the travel of the drive itself on either side: a stop, a lock, the swivel of a joint.
    #[must_use]
    pub fn reach(&self) -> &TransmissionReach {
        &self.reach
    }

    /// Travel of the control left below and above the throw until the drive would lock if no stop and no joint ended
    /// it before, rad; none to a side on which it does not lock.
    #[must_use]
    pub fn lock_margins(&self) -> [Option<f64>; 2] {
        self.lock_margins
    }

    /// The ball joints whose studs the file gives, each with its greatest swivel over the throw.
    #[must_use]
    pub fn joints(&self) -> &[JointSwivel] {
        &self.joints
    }

    /// Force of foot or hand for which the rods' loads are told, N.
    #[must_use]
    pub fn foot_force(&self) -> Option<f64> {
        self.foot_force
    }

    /// The rods, each with its greatest force over the throw, the output held or, of pedals, the other foot.
    #[must_use]
    pub fn rods(&self) -> &[RodForce] {
        &self.rods
    }

    /// What a builder should know whatever the targets are.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    fn least_lock_margin(&self) -> Option<f64> {
        let margins = self.lock_margins.into_iter().flatten();
        margins.min_by(f64::total_cmp)
    }

    fn greatest_swivel_share(&self) -> Option<f64> {
        let shares = self
            .joints
            .iter()
            .filter_map(|joint| Some(joint.swivel / joint.rated?));
        shares.max_by(f64::total_cmp)
    }

    fn greatest_rod_force(&self) -> Option<f64> {
        self.rods
            .iter()
            .map(|rod| rod.force.abs())
            .max_by(f64::total_cmp)
    }
}

impl Mechanics {
    /// With a drive.
    pub(in crate::rig) fn driven(self, linkage: &LinkageEvaluation) -> Self {
        Self {
            lock_margin: linkage.least_lock_margin(),
            swivel_share: linkage.greatest_swivel_share(),
            rod_force: linkage.greatest_rod_force(),
            ..self
        }
    }
}

fn foot(member: PedalMember) -> Option<FootSide> {
    match member {
        PedalMember::Left => Some(FootSide::Left),
        PedalMember::Right => Some(FootSide::Right),
        PedalMember::Crank => None,
    }
}

fn pad_travel(
    drive: &AnyTransmission,
    throw: [f64; 2],
    lever: Option<f64>,
) -> Result<Option<[f64; 2]>> {
    if let AnyTransmission::Pedal(pedal) = drive
        && let Some(foot) = foot(pedal.given())
    {
        let pair = pedal.pair();
        let [lower, upper] = throw.map(|angle| pair.pad(foot, angle));
        return Ok(Some([lower?.advance, upper?.advance]));
    }
    Ok(lever.map(|lever| throw.map(|angle| lever * angle)))
}

/// The way left to a lock on either side.
fn lock_margins(drive: &AnyTransmission, [lower, upper]: [f64; 2]) -> [Option<f64>; 2] {
    // One that cannot be built without its stops has none to be told of.
    let Ok(bare) = without_stops(drive) else {
        return [None; 2];
    };
    let reach = bare.reach();
    let locks = [reach.lower, reach.upper].map(|end| {
        let end = end.filter(|end| end.limit != NO_LOCK);
        end.map(|end| end.input)
    });
    [
        locks[0].map(|lock| lower - lock),
        locks[1].map(|lock| lock - upper),
    ]
}

/// The same linkage without stops, and with joints that swivel as far as they like: what ends it is a lock.
fn without_stops(drive: &AnyTransmission) -> Result<AnyTransmission> {
    let plain = |arm: Arm| Arm::new(arm.pivot(), arm.direction(), arm.joint());
    Ok(match drive {
        AnyTransmission::BallRod(rod) => {
            let spec = rod.spec();
            BallRod::put_together(BallRodSpec {
                input: plain(spec.input)?,
                output: plain(spec.output)?,
                ..spec
            })?
            .into()
        }
        AnyTransmission::Pedal(pedal) => {
            let pair = pedal.pair();
            let side = |foot: FootSide| {
                let own = pair.pedal(foot);
                let pedal = Pedal::new(plain(own.arm())?, own.pad(), own.push())?;
                Ok::<_, Error>((pedal, plain(pair.crank_arm(foot))?))
            };
            let (left, left_crank) = side(FootSide::Left)?;
            let (right, right_crank) = side(FootSide::Right)?;
            PedalPair::new(left, right, left_crank, right_crank)?
                .transmission(pedal.given(), pedal.driven())
                .into()
        }
        AnyTransmission::Chain(chain) => {
            let parts: Result<Vec<AnyTransmission>> =
                chain.parts().iter().map(without_stops).collect();
            TransmissionChain::new(parts?)?.into()
        }
        other => other.clone(),
    })
}

/// Least and greatest of two.
fn sorted([one, other]: [f64; 2]) -> [f64; 2] {
    [one.min(other), one.max(other)]
}

/// The swivel of every joint with a stud over a range of the input.
fn swivels(
    drive: &AnyTransmission,
    range: [f64; 2],
    of: &str,
    joints: &mut Vec<JointSwivel>,
) -> Result<()> {
    match drive {
        AnyTransmission::BallRod(rod) => {
            let names = ["rod at the control", "rod at the output"];
            joints_of(rod, range, names.map(|name| format!("{of}{name}")), joints)
        }
        AnyTransmission::Pedal(pedal) => {
            for foot in FootSide::ALL {
                let rod = pedal.pair().rod(foot);
                let names = ["pedal", "crank"].map(|end| format!("{of}{foot} rod at the {end}"));
                joints_of(&rod, pedal_range(pedal, foot, range)?, names, joints)?;
            }
            Ok(())
        }
        AnyTransmission::Chain(chain) => {
            let mut range = range;
            for (number, part) in chain.parts().iter().enumerate() {
                let of = format!("{of}part {}: ", number + 1);
                swivels(part, range, &of, joints)?;
                range = sorted([
                    part.transfer(range[0])?.angle,
                    part.transfer(range[1])?.angle,
                ]);
            }
            Ok(())
        }
        _ => Ok(()),
    }
}

/// Angles of a pedal over a range of the member that is given.
fn pedal_range(pedal: &PedalTransmission, foot: FootSide, range: [f64; 2]) -> Result<[f64; 2]> {
    let member = PedalMember::from(foot);
    if member == pedal.given() {
        return Ok(range);
    }
    let [one, other] = range.map(|angle| pedal.pair().pose(pedal.given(), angle));
    Ok(sorted([one?.of(member).angle, other?.of(member).angle]))
}

fn joints_of(
    rod: &BallRod,
    range: [f64; 2],
    names: [String; 2],
    joints: &mut Vec<JointSwivel>,
) -> Result<()> {
    let studs = [rod.input().stud(), rod.output().stud()];
    if studs.iter().all(Option::is_none) {
        return Ok(());
    }
    let swivels = rod.greatest_swivels(range)?;
    for ((joint, stud), swivel) in names.into_iter().zip(studs).zip(swivels) {
        if let (Some(stud), Some(swivel)) = (stud, swivel) {
            joints.push(JointSwivel {
                joint,
                swivel,
                rated: stud.limit(),
            });
        }
    }
    Ok(())
}

/// The rods at the greatest of their forces.
fn rod_forces(axis: &Axis, force: f64, notes: &mut Vec<String>) -> Result<Vec<RodForce>> {
    let spec = axis.spec();
    let mut rods: Vec<RodForce> = Vec::new();
    for angle in spaced(axis.throw(), PLACES - 1) {
        observer::check()?;
        let mut at = |rod: String, force: f64| {
            let new = RodForce { rod, force, angle };
            match rods.iter_mut().find(|known| known.rod == new.rod) {
                Some(known) if new.force.abs() > known.force.abs() => *known = new,
                Some(_) => {}
                None => rods.push(new),
            }
        };
        let loaded = loads_at(
            &spec.drive,
            angle,
            Push {
                force,
                lever: spec.lever,
            },
            "",
            &mut at,
        );
        match loaded {
            Ok(None) | Err(Error::DeadCenter { .. }) => {}
            Ok(Some(missing)) => {
                notes.push(missing.to_owned());
                break;
            }
            Err(error) => return Err(error),
        }
    }
    Ok(rods)
}

/// A force of foot or hand, and its lever.
#[derive(Clone, Copy)]
struct Push {
    force: f64,
    lever: Option<f64>,
}

/// Tells the force in each rod of a drive at an angle; gives what is missing for it.
fn loads_at(
    drive: &AnyTransmission,
    angle: f64,
    push: Push,
    of: &str,
    tell: &mut impl FnMut(String, f64),
) -> Result<Option<&'static str>> {
    if let AnyTransmission::Pedal(pedal) = drive
        && let Some(foot) = foot(pedal.given())
    {
        let loads = pedal.pair().loads(foot, angle, push.force)?;
        tell(format!("{of}{foot} rod"), loads.rod_force);
        tell(format!("{of}{} rod", foot.other()), loads.other_rod_force);
        return Ok(None);
    }
    let Some(lever) = push.lever else {
        return Ok(Some(
            "the loads of its rods are not told: foot_force_N needs lever_mm",
        ));
    };
    turned_by(drive, angle, push.force * lever, of, tell)?;
    Ok(None)
}

/// The same for a torque about the input; gives that about the output.
fn turned_by(
    drive: &AnyTransmission,
    angle: f64,
    torque: f64,
    of: &str,
    tell: &mut impl FnMut(String, f64),
) -> Result<f64> {
    match drive {
        AnyTransmission::BallRod(rod) => {
            let loads = rod.loads(angle, torque)?;
            tell(format!("{of}rod"), loads.rod_force);
            Ok(loads.output_torque)
        }
        AnyTransmission::Chain(chain) => {
            let (mut angle, mut torque) = (angle, torque);
            for (number, part) in chain.parts().iter().enumerate() {
                let of = format!("{of}part {}: ", number + 1);
                torque = turned_by(part, angle, torque, &of, tell)?;
                angle = part.transfer(angle)?.angle;
            }
            Ok(torque)
        }
        // Virtual work: torque times turn is the same on both sides.
        other => Ok(torque / other.transfer(angle)?.ratio),
    }
}

impl fmt::Display for LinkageEvaluation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [lower, upper] = self.output.map(|angle| angle / DEG);
        let [at_lower, center, at_upper] = self.ratios;
        write!(
            f,
            "  linkage: turns {lower:.1} to {upper:.1} deg; ratio {at_lower:.3}, {center:.3} at the center, \
             {at_upper:.3}"
        )?;
        if let Some([lower, upper]) = self.pad_travel {
            write!(f, "; pad {:.1} to {:.1} mm", lower / MM, upper / MM)?;
        }
        let margins = self.lock_margins.map(|margin| match margin {
            Some(margin) => format!("{:.1} deg", margin / DEG),
            None => "no lock".to_owned(),
        });
        writeln!(
            f,
            "; left to a lock: {}",
            margins.join(" below, ") + " above"
        )?;
        for joint in &self.joints {
            write!(
                f,
                "  {} swivels by {:.1} deg",
                joint.joint,
                joint.swivel / DEG
            )?;
            match joint.rated {
                Some(rated) => writeln!(f, " of {:.1}", rated / DEG)?,
                None => writeln!(f)?,
            }
        }
        for rod in &self.rods {
            writeln!(
                f,
                "  {}: up to {:.0} N under {:.0} N, at {:.1} deg",
                rod.rod,
                rod.force,
                self.foot_force.unwrap_or_default(),
                rod.angle / DEG
            )?;
        }
        for note in &self.notes {
            writeln!(f, "  note: {note}")?;
        }
        Ok(())
    }
}
