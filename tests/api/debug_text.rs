//! `{:?}` of a linkage and of a magnet is the call that makes it: short, in one line, and it gives the same value.

use std::f64::consts::FRAC_PI_2;

use nalgebra::{Isometry3, UnitQuaternion, Vector3};
use yokewright::Result;
use yokewright::linkage::{
    Arm, Assembly, BallRod, BallRodSpec, Branch, CenteredFourBar, FourBar, Gimbal, GimbalSpec,
    Pedal, PedalPair, Pivot, SliderCrank, UniversalJoint,
};
use yokewright::magnet::{Block, Cylinder, Magnet, MagnetGroup, Ring, Sphere};

/// The call gives a value that is written as the call, with whatever spaces, however many lines are asked for.
macro_rules! written_as {
    ($($call:expr),* $(,)?) => {$({
        let bare = |text: &str| text.replace(char::is_whitespace, "");
        let plain = |text: &str| bare(text).replace(",]", "]").replace(",)", ")").replace(",}", "}");
        let value = $call;
        let call = plain(stringify!($call));
        assert_eq!(plain(&format!("{value:?}")), call);
        assert_eq!(format!("{value:#?}").lines().count(), 1);
    })*};
}

#[test]
fn linkages_are_written_as_the_call_that_makes_them() -> Result<()> {
    written_as![
        FourBar::new(0.1, 0.04, 0.12, 0.08)?,
        SliderCrank::new(0.04, 0.1, -0.01)?,
        UniversalJoint::new(0.5, -0.25)?,
        CenteredFourBar::new(FourBar::new(0.1, 0.04, 0.12, 0.08)?, Branch::Crossed, 0.7)?,
        CenteredFourBar::new(FourBar::new(0.1, 0.04, 0.12, 0.08)?, Branch::Open, 0.7)?
            .drawn_at([0.0, 0.25].into(), 1.5)?,
        Pivot::new([0.0, 0.5, 0.0].into(), [0.0, 0.0, -1.0].into())?,
    ];
    Ok(())
}

#[test]
fn rods_and_pedals_are_written_as_the_call_that_makes_them() -> Result<()> {
    written_as![
        Arm::new(
            [0.0, 0.0, 0.0].into(),
            [0.0, 1.0, 0.0].into(),
            [0.0, 0.0, 0.1].into()
        )?
        .with_stud([0.0, 1.0, 0.0].into(), None::<f64>)?,
        BallRod::new(
            Arm::new(
                [0.0, 0.0, 0.0].into(),
                [0.0, 1.0, 0.0].into(),
                [0.0, 0.0, 0.1].into()
            )?,
            Arm::new(
                [0.2, -0.05, 0.1].into(),
                [0.0, 0.0, 1.0].into(),
                [0.2, 0.0, 0.1].into()
            )?
            .with_stud([0.0, 0.0, 1.0].into(), 0.5)?,
        )?,
        BallRod::put_together(BallRodSpec {
            rod_length: Some(0.21),
            start: 0.125,
            assembly: Assembly::Other,
            ..BallRodSpec::new(
                Arm::new(
                    [0.0, 0.0, 0.0].into(),
                    [0.0, 1.0, 0.0].into(),
                    [0.0, 0.0, 0.1].into()
                )?,
                Arm::new(
                    [0.2, -0.05, 0.1].into(),
                    [0.0, 0.0, 1.0].into(),
                    [0.2, 0.0, 0.1].into()
                )?,
            )
        })?,
        PedalPair::mirrored(
            Pedal::new(
                Arm::new(
                    [0.0, 0.12, 0.0].into(),
                    [0.0, 1.0, 0.0].into(),
                    [0.0, 0.07, 0.09].into()
                )?,
                [-0.01, 0.12, 0.18].into(),
                [1.0, 0.0, 0.0].into(),
            )?
            .with_stops(-0.25, 0.5)?,
            Arm::new(
                [-0.15, 0.0, 0.09].into(),
                [0.0, 0.0, 1.0].into(),
                [-0.15, 0.045, 0.09].into()
            )?,
        )?
        .with_crank_stops(-0.5, 0.5)?,
        PedalPair::new(
            Pedal::new(
                Arm::new(
                    [0.0, 0.12, 0.0].into(),
                    [0.0, 1.0, 0.0].into(),
                    [0.0, 0.07, 0.09].into()
                )?,
                [-0.01, 0.12, 0.18].into(),
                [1.0, 0.0, 0.0].into(),
            )?,
            Pedal::new(
                Arm::new(
                    [0.0, -0.12, 0.0].into(),
                    [0.0, 1.0, 0.0].into(),
                    [0.0, -0.07, 0.095].into()
                )?,
                [-0.01, -0.12, 0.18].into(),
                [1.0, 0.0, 0.0].into(),
            )?,
            Arm::new(
                [-0.15, 0.0, 0.09].into(),
                [0.0, 0.0, 1.0].into(),
                [-0.15, 0.045, 0.09].into()
            )?,
            Arm::new(
                [-0.15, 0.0, 0.09].into(),
                [0.0, 0.0, 1.0].into(),
                [-0.15, -0.045, 0.09].into()
            )?,
        )?,
    ];
    Ok(())
}

#[test]
fn a_gimbal_is_written_as_the_call_that_makes_it() -> Result<()> {
    written_as![Gimbal::new(GimbalSpec {
        outer: Pivot::new([0.0, 0.0, 0.0].into(), [0.0, 1.0, 0.0].into())?,
        inner: Pivot::new([0.0, 0.0, 0.0].into(), [1.0, 0.0, 0.0].into())?,
        stick: vec![[0.0, 0.0, 0.0].into(), [0.0, 0.0, 0.4].into()],
        stick_radius: 0.01,
        grip_radius: 0.05,
    })?];
    Ok(())
}

#[test]
fn magnets_are_written_as_the_call_that_makes_them() -> Result<()> {
    written_as![
        Block::new(
            [0.005, 0.005, 0.01].into(),
            [0.0, 0.0, 1.3].into(),
            Isometry3::identity()
        )?,
        Cylinder::new(
            0.006,
            0.004,
            [0.0, 0.0, 1.3].into(),
            Isometry3::translation(0.0, -0.01, 0.0)
        )?,
        Ring::new(
            0.012,
            0.005,
            0.002,
            [0.0, 0.0, 1.24].into(),
            Isometry3::identity()
        )?,
        Sphere::new(
            0.005,
            [0.0, 0.0, 1.3].into(),
            Isometry3::from_parts(
                [0.0, 0.0, 0.01].into(),
                UnitQuaternion::new_unchecked([0.6, 0.0, 0.0, 0.8].into())
            ),
        )?,
        MagnetGroup::new([
            Magnet::Sphere(Sphere::new(
                0.005,
                [0.0, 0.0, 1.3].into(),
                Isometry3::identity()
            )?),
            Magnet::Ring(Ring::new(
                0.012,
                0.009,
                0.002,
                [0.0, 0.0, 1.24].into(),
                Isometry3::identity()
            )?),
        ])?,
    ];
    Ok(())
}

/// A direction is scaled to length 1 when it is given; what is written gives the same value all the same.
#[test]
fn the_text_of_a_turned_magnet_has_every_digit() -> Result<()> {
    let turn = UnitQuaternion::from_scaled_axis(Vector3::new(0.1, 0.2, 0.3) * FRAC_PI_2);
    let [i, j, k, w]: [f64; 4] = turn.coords.into();
    let pose = Isometry3::from_parts([0.001, 0.002, 0.003].into(), turn);
    let text = format!(
        "{:?}",
        Block::new([0.005; 3].into(), [0.0, 0.0, 1.3].into(), pose)?
    );
    assert!(
        text.contains(&format!(
            "new_unchecked([{i:?}, {j:?}, {k:?}, {w:?}].into())"
        )),
        "{text}"
    );
    Ok(())
}
