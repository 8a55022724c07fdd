//! The ball-joint rod between a control and its magnet, put together anew in each build.

use nalgebra::{Point3, Vector3};

use crate::error::Result;
use crate::linkage::{Arm, BallRod, BallRodSpec};

/// Numbers of an arm, as its paths in the stored form have them.
const OF_ARM: [&str; 13] = [
    "pivot.point.0",
    "pivot.point.1",
    "pivot.point.2",
    "pivot.direction.0",
    "pivot.direction.1",
    "pivot.direction.2",
    "joint.0",
    "joint.1",
    "joint.2",
    "stud.direction.0",
    "stud.direction.1",
    "stud.direction.2",
    "stud.limit",
];
/// Numbers of a rod: of both arms, then its length.
pub(super) const NUMBERS: usize = 2 * OF_ARM.len() + 1;

/// Their paths in a control that the rod drives.
pub(super) fn paths() -> impl Iterator<Item = String> {
    let of = |arm: &'static str| OF_ARM.map(|number| format!("drive.{arm}.{number}"));
    let arms = ["input", "output"].into_iter().flat_map(of);
    arms.chain(["drive.rod_length".to_owned()])
}

/// The numbers of a rod; of a stud that it does not have, NaN.
pub(super) fn numbers(rod: &BallRod) -> [f64; NUMBERS] {
    let mut numbers = [f64::NAN; NUMBERS];
    let arms = [rod.input(), rod.output()];
    for (arm, numbers) in arms.iter().zip(numbers.chunks_exact_mut(OF_ARM.len())) {
        numbers[..3].copy_from_slice(arm.pivot().coords.as_slice());
        numbers[3..6].copy_from_slice(arm.direction().as_slice());
        numbers[6..9].copy_from_slice(arm.joint().coords.as_slice());
        if let Some(stud) = arm.stud() {
            numbers[9..12].copy_from_slice(stud.direction().as_slice());
            numbers[12] = stud.limit().unwrap_or(f64::NAN);
        }
    }
    numbers[NUMBERS - 1] = rod.rod_length();
    numbers
}

/// The rod of a build, which closes at its start.
///
/// # Errors
/// As [`BallRod::put_together`], but for where it locks.
pub(super) fn built(design: &BallRodSpec, numbers: &[f64]) -> Result<BallRod> {
    let arm = |design: &Arm, numbers: &[f64]| {
        let point = Point3::new(numbers[0], numbers[1], numbers[2]);
        let direction = Vector3::new(numbers[3], numbers[4], numbers[5]);
        let joint = Point3::new(numbers[6], numbers[7], numbers[8]);
        let arm = Arm::new(point, direction, joint)?;
        match design.stud() {
            Some(stud) => {
                let direction = Vector3::new(numbers[9], numbers[10], numbers[11]);
                arm.with_stud(direction, stud.limit().map(|_| numbers[12]))
            }
            None => Ok(arm),
        }
    };
    let (input, output) = numbers.split_at(OF_ARM.len());
    BallRod::closing(BallRodSpec {
        input: arm(&design.input, input)?,
        output: arm(&design.output, output)?,
        rod_length: Some(numbers[NUMBERS - 1]),
        ..*design
    })
}
