//! What turns one angle into another: names of what ends it, rows, values that are stored, and numbers that no control
//! has.

use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::Arc;

use nalgebra::{Point3, Vector3};
use yokewright::linkage::{
    AnyTransmission, Arm, Assembly, BallRod, BallRodSpec, Branch, CenteredFourBar, FixedRatio,
    FourBar, Pedal, PedalMember, PedalPair, Range, Transfer, Transmission, TransmissionChain,
    TransmissionEnd, TransmissionReach, UniversalJoint,
};
use yokewright::units::{DEG, MM};
use yokewright::{Error, Result};

fn at(x: f64, y: f64, z: f64) -> Point3<f64> {
    Point3::new(x * MM, y * MM, z * MM)
}

pub(crate) fn pair() -> PedalPair {
    let hinge = Arm::new(at(0.0, 120.0, 0.0), Vector3::y(), at(0.0, 70.0, 90.0)).unwrap();
    let left = Pedal::new(hinge, at(-10.0, 120.0, 180.0), Vector3::x()).unwrap();
    let left = left.with_stops(-15.0 * DEG, 15.0 * DEG).unwrap();
    let crank = Arm::new(at(-150.0, 0.0, 90.0), Vector3::z(), at(-150.0, 45.0, 90.0)).unwrap();
    PedalPair::mirrored(left, crank).unwrap()
}

pub(crate) fn rod() -> BallRod {
    let pedal = Arm::new(at(0.0, 0.0, 0.0), Vector3::y(), at(0.0, 0.0, 100.0)).unwrap();
    let crank = Arm::new(
        at(200.0, -60.0, 100.0),
        Vector3::z(),
        at(200.0, -10.0, 100.0),
    )
    .unwrap();
    BallRod::new(pedal, crank).unwrap()
}

pub(crate) fn four_bar() -> CenteredFourBar {
    let bar = FourBar::new(100.0 * MM, 60.0 * MM, 90.0 * MM, 40.0 * MM).unwrap();
    CenteredFourBar::new(bar, Branch::Open, 0.7).unwrap()
}

fn joint() -> UniversalJoint {
    UniversalJoint::new(25.0 * DEG, 0.3).unwrap()
}

/// Turns by the cube of the input up to 1 rad either way.
#[derive(Debug)]
struct Cube;

impl Transmission for Cube {
    fn transfer(&self, angle: f64) -> Result<Transfer> {
        Transfer::new(angle.powi(3), 3.0 * angle * angle, 6.0 * angle)
    }

    fn reach(&self) -> TransmissionReach {
        let end = |input| {
            Some(TransmissionEnd {
                input,
                limit: "end of the groove".to_owned(),
            })
        };
        TransmissionReach {
            lower: end(-1.0),
            upper: end(1.0),
        }
    }
}

fn every() -> Vec<AnyTransmission> {
    let ratio = FixedRatio::new(-0.75).unwrap();
    let row = TransmissionChain::new(vec![joint().into(), rod().into()]).unwrap();
    vec![
        AnyTransmission::Identity,
        ratio.into(),
        rod().into(),
        four_bar().into(),
        joint().into(),
        pair()
            .transmission(PedalMember::Left, PedalMember::Crank)
            .into(),
        pair()
            .transmission(PedalMember::Right, PedalMember::Left)
            .into(),
        row.into(),
        AnyTransmission::Custom(Arc::new(Cube)),
    ]
}

fn limits(reach: TransmissionReach) -> [Option<String>; 2] {
    [reach.lower, reach.upper].map(|end| end.map(|end| end.limit))
}

#[test]
fn the_identity_gives_back_every_angle() {
    for angle in [0.0, -0.0, 0.3, -2.0, 1e-160, 1e160] {
        let at = AnyTransmission::default().transfer(angle).unwrap();
        assert_eq!(at.angle.to_bits(), angle.to_bits());
        assert_eq!((at.ratio, at.curvature), (1.0, 0.0));
    }
    assert_eq!(
        AnyTransmission::Identity.reach(),
        TransmissionReach::ENDLESS
    );
    assert_eq!(
        AnyTransmission::Identity.travel(),
        Range {
            lower: -PI,
            upper: PI
        }
    );
}

#[test]
fn a_ratio_multiplies() {
    let gears = FixedRatio::new(-2.5).unwrap();
    let at = gears.transfer(0.2).unwrap();
    assert_eq!((at.angle, at.ratio, at.curvature), (-0.5, -2.5, 0.0));
    for refused in [0.0, -0.0, 0.009, 101.0, -1e160, 1e-160] {
        assert!(
            matches!(FixedRatio::new(refused), Err(Error::OutOfRange { .. })),
            "{refused}"
        );
    }
    assert!(matches!(
        FixedRatio::new(f64::NAN),
        Err(Error::NotFinite { .. })
    ));
    assert!(matches!(
        gears.transfer(1e308),
        Err(Error::NotFinite { .. })
    ));
}

/// Straight from the definitions: f(g(x)), f' g', f'' g'^2 + f' g''.
#[test]
fn a_row_follows_the_chain_rule() {
    let row = TransmissionChain::new(vec![
        AnyTransmission::Custom(Arc::new(Cube)),
        joint().into(),
    ])
    .unwrap();
    let x: f64 = 0.4;
    let outer = joint().transfer(x.powi(3)).unwrap();
    let at = row.transfer(x).unwrap();
    let (first, second) = (3.0 * x * x, 6.0 * x);
    assert_eq!(at.angle, outer.angle);
    assert!((at.ratio - outer.ratio * first).abs() <= 4.0 * f64::EPSILON);
    let expected = outer.curvature * first * first + outer.ratio * second;
    assert!((at.curvature - expected).abs() <= 16.0 * f64::EPSILON);
    let many = row.transfers(&[x, f64::NAN]);
    assert_eq!(
        (many.angles[0], many.ratios[0], many.curvatures[0]),
        (at.angle, at.ratio, at.curvature)
    );
    assert_eq!(many.valid, [true, false]);
}

#[test]
fn an_empty_row_is_refused() {
    assert!(matches!(
        TransmissionChain::new(vec![]),
        Err(Error::Count { count: 0, .. })
    ));
}

/// The second part of the row stands at 1.5 rad at neutral, beyond the end of its groove.
#[test]
fn a_row_must_be_on_its_way_at_neutral() {
    #[derive(Debug)]
    struct Shifted;
    impl Transmission for Shifted {
        fn transfer(&self, angle: f64) -> Result<Transfer> {
            Transfer::new(angle + 1.5, 1.0, 0.0)
        }
        fn reach(&self) -> TransmissionReach {
            TransmissionReach::ENDLESS
        }
    }
    let parts = vec![
        AnyTransmission::Custom(Arc::new(Shifted)),
        AnyTransmission::Custom(Arc::new(Cube)),
    ];
    let Err(Error::OutOfRange {
        value, min, max, ..
    }) = TransmissionChain::new(parts)
    else {
        panic!("it is not refused");
    };
    assert_eq!((value, min, max), (1.5, -1.0, 1.0));
}

#[test]
fn ends_have_their_names() {
    let lock = || Some("lock".to_owned());
    assert_eq!(limits(Transmission::reach(&rod())), [lock(), lock()]);
    assert_eq!(limits(four_bar().reach()), [lock(), lock()]);
    assert_eq!(limits(joint().reach()), [None, None]);
    let pedal = pair().transmission(PedalMember::Left, PedalMember::Crank);
    let stop = |name: &str| Some(format!("{name} stop"));
    let ends = pedal.reach();
    assert_eq!(limits(ends.clone()), [stop("left"), stop("right")]);
    let from_right = pair()
        .transmission(PedalMember::Right, PedalMember::Crank)
        .reach();
    assert_eq!(limits(from_right), [stop("right"), stop("left")]);
    assert_eq!(ends.lower.unwrap().input, -15.0 * DEG);
}

/// The crank of the pair turns a rod that locks long before the pedals come to their stops.
#[test]
fn a_row_is_ended_by_the_part_that_ends_first() {
    let pedal = pair().transmission(PedalMember::Left, PedalMember::Crank);
    let gears = FixedRatio::new(-4.0).unwrap();
    let row = TransmissionChain::new(vec![pedal.into(), gears.into(), rod().into()]).unwrap();
    let locks = rod().travel().unwrap();
    let reach = row.reach();
    let [lower, upper] = [reach.lower.unwrap(), reach.upper.unwrap()];
    assert_eq!(lower.limit, "lock of part 3 of 3");
    assert_eq!(upper.limit, "lock of part 3 of 3");
    // The crank turns against the pedal, the gears turn it back.
    let there = |input: f64| -4.0 * pedal.transfer(input).unwrap().angle;
    assert!((there(lower.input) - locks.lower).abs() <= 1e-14);
    assert!((there(upper.input) - locks.upper).abs() <= 1e-14);
    let alone = TransmissionChain::new(vec![pedal.into()]).unwrap();
    assert_eq!(alone.reach(), pedal.reach());
    // Nothing of a slow gear's rod within a turn.
    let slow = FixedRatio::new(0.05).unwrap();
    let row = TransmissionChain::new(vec![slow.into(), rod().into()]).unwrap();
    assert_eq!(row.reach(), TransmissionReach::ENDLESS);
}

/// Just before a lock the output runs away from the input: the end of the next part lies a millionth of the travel
/// before it.
#[test]
fn an_end_beside_a_lock_is_found() {
    let lock = rod().travel().unwrap().upper;
    let last = rod().output_angle(lock, Assembly::Neutral).unwrap();
    let groove = FixedRatio::new(0.999 / last).unwrap();
    let row = TransmissionChain::new(vec![
        rod().into(),
        groove.into(),
        AnyTransmission::Custom(Arc::new(Cube)),
    ]);
    assert_eq!(
        row.unwrap().reach().upper.unwrap().limit,
        "lock of part 1 of 3"
    );
    let groove = FixedRatio::new(1.001 / last).unwrap();
    let row = TransmissionChain::new(vec![
        rod().into(),
        groove.into(),
        AnyTransmission::Custom(Arc::new(Cube)),
    ]);
    let end = row.unwrap().reach().upper.unwrap();
    assert_eq!(end.limit, "end of the groove of part 3 of 3");
    let output = rod().transfer(end.input).unwrap().angle * 1.001 / last;
    assert!(
        end.input < lock && (output.abs() - 1.0).abs() <= 1e-9,
        "{output}"
    );
}

/// A crank that turns through a change point, where all links lie in one line, goes on beyond; the row ends where the
/// crank would turn more than two turns, here on a change point again.
#[test]
fn a_change_point_does_not_end_a_row() {
    let lengths = [
        0.001254665304925081,
        0.14687898487440895,
        0.14687898487440895,
        0.29250330444389283,
    ];
    let [ground, crank, coupler, rocker] = lengths;
    let bar = FourBar::new(ground, crank, coupler, rocker).unwrap();
    let bar = CenteredFourBar::new(bar, Branch::Open, -PI).unwrap();
    let ratio = 2.7201103860030464;
    let row = vec![FixedRatio::new(ratio).unwrap().into(), bar.into()];
    let reach = TransmissionChain::new(row).unwrap().reach();
    let [lower, upper] = [reach.lower, reach.upper].map(|end| end.unwrap().input);
    // To a rounding of the angles.
    assert!((ratio * lower + 3.0 * PI).abs() < 1e-14, "{lower}");
    assert!((ratio * upper - 5.0 * PI).abs() < 1e-14, "{upper}");
}

/// The rocker of a crossed kite stands still at a whole turn, within rounding, while the crank goes on: what it drives
/// is not beyond its turns there.
#[test]
fn standing_still_at_a_whole_turn_does_not_end_a_row() {
    let bar = FourBar::new(0.30172390275751104, 3.0, 3.0, 0.30172390275751104).unwrap();
    let bar = CenteredFourBar::new(bar, Branch::Crossed, 1.8649280793600864).unwrap();
    let arm = |pivot: [f64; 3], axis: [f64; 3], joint: [f64; 3]| {
        Arm::new(pivot.into(), axis.into(), joint.into()).unwrap()
    };
    let input = arm(
        [0.38984663776836526, 0.4084155054138127, 0.4076606902187155],
        [-0.5512630118725972, 0.834331523880737, 0.0],
        [0.38984663776836526, 0.4084155054138127, 0.4086606902187155],
    );
    let output = arm([0.0; 3], [1.0, 0.0, 0.0], [0.0, 0.0, 0.007656161025181249]);
    let rod = BallRod::new(input, output).unwrap();
    let row = TransmissionChain::new(vec![bar.into(), rod.into()]).unwrap();
    let lower = row.reach().lower.map_or(-2.0 * PI, |end| end.input);
    assert!(lower < -5.1, "{lower}");
    for step in 1..=400 {
        let angle = -5.1 * f64::from(step) / 400.0;
        row.transfer(angle).unwrap();
        assert!(row.transfers(&[angle]).valid[0], "{angle}");
    }
    // Rounding and no more.
    assert!(rod.transfer(2.0 * PI + 1e-12).is_ok() && rod.transfer(2.0 * PI + 1e-7).is_err());
}

#[test]
fn a_row_of_rows_is_one_row() {
    let inner = TransmissionChain::new(vec![joint().into(), rod().into()]).unwrap();
    let nested =
        TransmissionChain::new(vec![inner.into(), FixedRatio::new(2.0).unwrap().into()]).unwrap();
    let flat = TransmissionChain::new(vec![
        joint().into(),
        rod().into(),
        FixedRatio::new(2.0).unwrap().into(),
    ])
    .unwrap();
    assert_eq!(nested.transfer(0.2), flat.transfer(0.2));
    assert_eq!(nested.travel(), flat.travel());
}

#[test]
fn members_of_a_pair_are_those_of_its_pose() {
    for given in PedalMember::ALL {
        for driven in PedalMember::ALL {
            let transmission = pair().transmission(given, driven);
            assert_eq!(transmission.transfer(0.0).unwrap().angle, 0.0);
            let pose = pair().pose(given, 0.11).unwrap();
            assert_eq!(transmission.transfer(0.11).unwrap(), pose.of(driven));
            let many = transmission.transfers(&[0.11, 9.0]);
            assert!((many.angles[0] - pose.of(driven).angle).abs() <= 1e-15);
            assert_eq!(many.valid, [true, false]);
        }
    }
}

#[test]
fn what_is_stored_comes_back_as_it_was() {
    for transmission in every() {
        if let AnyTransmission::Custom(_) = transmission {
            assert!(serde_json::to_string(&transmission).is_err());
            continue;
        }
        let text = serde_json::to_string(&transmission).unwrap();
        let back: AnyTransmission = serde_json::from_str(&text).unwrap();
        assert_eq!(back, transmission, "{text}");
        let [one, other] = [&back, &transmission].map(|t| t.transfer(0.1).unwrap());
        assert_eq!(one, other);
    }
}

#[test]
fn what_no_constructor_makes_is_not_read() {
    let refused = |text: &str| {
        serde_json::from_str::<AnyTransmission>(text)
            .unwrap_err()
            .to_string()
    };
    assert!(refused(r#"{"ratio":0.0}"#).contains("ratio"));
    assert!(refused(r#"{"chain":[]}"#).contains("transmissions in a row"));
    assert!(refused(r#"{"universal_joint":{"bend":2.0,"phase":0.0}}"#).contains("bend"));
    // The joint of the arm on its axis.
    let text = serde_json::to_string(&AnyTransmission::from(rod())).unwrap();
    let moved = text.replacen("0.1]", "0.0]", 1);
    assert_ne!(text, moved);
    assert!(refused(&moved).contains("arm from the pivot to the joint"));
}

#[test]
fn one_of_your_own_is_equal_to_itself_only() {
    let one = AnyTransmission::Custom(Arc::new(Cube));
    assert_eq!(one, one.clone());
    assert_ne!(one, AnyTransmission::Custom(Arc::new(Cube)));
}

#[test]
fn hostile_angles_give_numbers_or_an_error() {
    let numbers = [
        0.0,
        -0.0,
        1e-160,
        -1e-160,
        1e-320,
        1e155,
        1e160,
        -1e160,
        1e308,
        -1e308,
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
    ];
    for transmission in every() {
        let many = transmission.transfers(&numbers);
        for (i, number) in numbers.into_iter().enumerate() {
            let one = transmission.transfer(number);
            assert_eq!(many.valid[i], one.is_ok(), "{transmission:?} {number}");
            match one {
                Ok(at) => {
                    assert!(number.is_finite() && at.angle.is_finite() && at.ratio.is_finite());
                    assert!(
                        at.curvature.is_finite() && many.angles[i].is_finite(),
                        "{transmission:?} {number}"
                    );
                }
                Err(_) => assert!(
                    many.angles[i].is_nan()
                        && many.ratios[i].is_nan()
                        && many.curvatures[i].is_nan()
                ),
            }
        }
        assert!(transmission.transfer(0.0).is_ok() && transmission.transfer(1e-160).is_ok());
    }
}

/// At a lock there is an angle but no ratio, and beyond it nothing.
#[test]
fn at_a_lock_there_is_no_ratio() {
    for transmission in [AnyTransmission::from(rod()), four_bar().into()] {
        let Range { lower, upper } = transmission.travel();
        for (end, inward) in [(lower, 1.0), (upper, -1.0)] {
            match transmission.transfer(end) {
                Err(Error::DeadCenter { .. }) => (),
                // The last double before it.
                Ok(at) => assert!(at.ratio.abs() > 1e5, "{at:?}"),
                other => panic!("{other:?}"),
            }
            assert!(transmission.transfer(end + inward * 1e-6).is_ok());
            assert!(transmission.transfer(end - inward * 1e-6).is_err());
        }
    }
}

#[test]
fn pivots_are_those_of_the_arms() {
    let [input, output] = Transmission::pivots(&rod()).map(Option::unwrap);
    assert_eq!(
        (input.point(), input.direction()),
        (rod().input().pivot(), rod().input().direction())
    );
    assert_eq!(
        (output.point(), output.direction()),
        (rod().output().pivot(), rod().output().direction())
    );
    let row = TransmissionChain::new(vec![rod().into(), joint().into()]).unwrap();
    assert_eq!(row.pivots(), [Some(input), None]);
    assert!(four_bar().is_planar() && !row.is_planar());
    let planar = TransmissionChain::new(vec![four_bar().into(), four_bar().into()]).unwrap();
    assert!(planar.is_planar());
}

#[test]
fn a_rod_can_be_put_together_the_other_way() {
    let rod = rod();
    let other = rod.assembled_at(0.1, Assembly::Other).unwrap();
    let expected = rod.output_angle(0.1, Assembly::Other).unwrap();
    assert_eq!(other.transfer(0.1).unwrap().angle, expected);
    assert_eq!(other.travel(), rod.travel());
    assert_eq!(rod.stretches().unwrap()[0], rod.travel().unwrap());
    let back = other.assembled_at(0.0, Assembly::Other).unwrap();
    assert_eq!(back.transfer(0.3).unwrap(), rod.transfer(0.3).unwrap());
    let again = BallRod::put_together(other.spec()).unwrap();
    assert_eq!(again, other);
    assert_eq!(other.spec().assembly, Assembly::Other);
    // Driven from its other end it stands as it does.
    let reversed = other.reversed().unwrap();
    assert_eq!(reversed.start(), expected);
    assert!((reversed.transfer(expected).unwrap().angle - 0.1).abs() <= 1e-14);
    let ratios = reversed.transfer(expected).unwrap().ratio * other.transfer(0.1).unwrap().ratio;
    assert!((ratios - 1.0).abs() <= 1e-13);
    assert_eq!(
        BallRodSpec {
            rod_length: None,
            ..rod.spec()
        },
        BallRodSpec::new(rod.input(), rod.output())
    );
}

/// A planar double-rocker as a rod: mirror images about the line of the pivots, so two stretches.
#[test]
fn a_rod_has_all_its_stretches() {
    /// Roundings of some lengths, over the slope with which the rod opens there.
    const SAME: f64 = 1e-12;
    let (ground, arm, rod_length): (f64, f64, f64) = (100.0, 80.0, 50.0);
    let input = Arm::new(at(0.0, 0.0, 0.0), Vector3::z(), at(0.0, arm, 0.0)).unwrap();
    let output = Arm::new(at(ground, 0.0, 0.0), Vector3::z(), at(ground, arm, 0.0)).unwrap();
    let rod = BallRod::new(input, output)
        .unwrap()
        .with_rod_length(rod_length * MM);
    let bar = FourBar::new(ground * MM, arm * MM, rod_length * MM, arm * MM).unwrap();
    let rod = rod.unwrap();
    let stretches = rod.stretches().unwrap();
    let expected = bar.crank_travel();
    assert_eq!((stretches.len(), expected.len()), (2, 2));
    // The crank stands a quarter turn from the ground line where the arm was given.
    let mut found: Vec<f64> = stretches
        .iter()
        .flat_map(|range| [range.lower, range.upper])
        .collect();
    let mut wanted: Vec<f64> = expected
        .iter()
        .flat_map(|range| [range.lower, range.upper])
        .collect();
    for angle in &mut found {
        *angle += FRAC_PI_2;
        *angle -= 2.0 * PI * (*angle / (2.0 * PI)).round();
    }
    found.sort_by(f64::total_cmp);
    wanted.sort_by(f64::total_cmp);
    for (found, wanted) in found.iter().zip(&wanted) {
        assert!((found - wanted).abs() <= SAME, "{found} {wanted}");
    }
    let middle = 0.5 * (stretches[1].lower + stretches[1].upper);
    assert!(rod.transfer(middle).is_err());
    for assembly in Assembly::ALL {
        let there = rod.assembled_at(middle, assembly).unwrap();
        let Range { lower, upper } = there.travel().unwrap();
        assert!(
            (lower - stretches[1].lower).abs() <= SAME
                && (upper - stretches[1].upper).abs() <= SAME
        );
        assert!(there.transfer(middle).is_ok());
    }
}
