//! The search for arm lengths: what it returns keeps the limits, finds what is known to be there, and beats a grid.

use std::f64::consts::{FRAC_PI_2, PI};

use nalgebra::{Point3, Vector3};
use proptest::prelude::*;
use yokewright::linkage::generators::spatial::directions;
use yokewright::linkage::{
    Arm, ArmLengths, BallRod, BallRodDemand, FreeArm, Pedal, PedalPair, TRANSMISSION_LIMIT,
    requirement, search_ball_rods,
};
use yokewright::units::{DEG, MM};

use crate::strategies::anything;

/// Rounding of lengths and angles that are built from lengths a second time.
const ROUNDING: f64 = 1e-9;

/// A pedal hinged about y, 100 mm up to its rod.
fn pedal() -> Arm {
    Arm::new(
        Point3::origin(),
        Vector3::y(),
        Point3::new(0.0, 0.0, 100.0 * MM),
    )
    .unwrap()
}

/// A crank that turns about z, in front of and beside the pedal.
fn crank(aside: f64, lower: f64) -> Arm {
    let center = Point3::new(0.25, aside, 0.1 - lower);
    Arm::new(center, Vector3::z(), center - Vector3::y() * (50.0 * MM)).unwrap()
}

fn fixed(arm: Arm, holes: &[f64]) -> FreeArm {
    FreeArm {
        arm,
        lengths: ArmLengths::Holes(holes.to_vec()),
        clocking: [0.0, 0.0],
    }
}

fn goal(input: FreeArm, output: FreeArm, output_span: f64) -> BallRodDemand {
    BallRodDemand {
        input,
        output,
        travel: [-15.0 * DEG, 15.0 * DEG],
        output_span,
        span_tolerance: 1.0 * DEG,
        min_transmission_angle: TRANSMISSION_LIMIT,
        lock_margin: 5.0 * DEG,
        count: 5,
    }
}

fn built(input: &Arm, output: &Arm, lengths: [f64; 2]) -> Option<BallRod> {
    let [input, output] = [(input, lengths[0]), (output, lengths[1])].map(|(arm, length)| {
        let foot = arm.pivot();
        Arm::new(
            foot,
            arm.direction(),
            foot + (arm.joint() - foot) * (length / arm.length()),
        )
        .unwrap()
    });
    BallRod::new(input, output).ok()
}

const HOLES: [f64; 6] = [0.03, 0.04, 0.05, 0.06, 0.07, 0.08];

/// Arms that a search may choose.
const LENGTHS: [f64; 2] = [15.0 * MM, 80.0 * MM];
/// What the judge's steps leave of an extreme, rad.
const SAMPLED: f64 = 1e-6;

/// What is asked of the search, as shares of what a known rod does.
#[derive(Debug, Clone)]
struct Demand {
    travel: [f64; 2],
    /// Room in the transmission angle, the margin to the lock (rad) and the turn (share of it).
    room: [f64; 3],
}

fn demands() -> impl Strategy<Value = Demand> {
    let room = prop_oneof![Just(1e-6), Just(1e-3), Just(0.02), Just(0.1)];
    (
        prop::array::uniform2(0.1..0.6_f64),
        prop::array::uniform3(room),
    )
        .prop_map(|(share, room)| Demand {
            travel: share,
            room,
        })
}

/// Rods with arms that the search may choose, between pivots some 100 mm apart.
fn ball_rods() -> impl Strategy<Value = BallRod> {
    let place = || prop::array::uniform3(-0.1..0.1_f64).prop_map(Point3::from);
    let arm = move || {
        (place(), directions(), directions(), LENGTHS[0]..LENGTHS[1]).prop_filter_map(
            "an arm",
            |(foot, axis, other, length)| {
                let radius = axis.cross(&other).try_normalize(1e-2)? * length;
                Arm::new(foot, axis, foot + radius).ok()
            },
        )
    };
    (arm(), arm()).prop_filter_map("not locked at neutral", |(input, output)| {
        BallRod::new(input, output).ok()
    })
}

impl Demand {
    fn of(&self, rod: &BallRod) -> Option<(BallRodDemand, Judgment)> {
        let [low, high] = rod.travel().map_or([-1.5, 1.5], |travel| {
            [travel.lower.max(-1.5), travel.upper.min(1.5)]
        });
        let travel = [low * self.travel[0], high * self.travel[1]];
        let does = Judgment::of(rod, travel).ok()?;
        let least = (does.transmission - self.room[0]).clamp(0.0, 80.0 * DEG);
        if does.span.abs() < 5.0 * DEG || does.transmission < 25.0 * DEG {
            return None;
        }
        let between = |arm| FreeArm {
            arm,
            lengths: ArmLengths::Between(LENGTHS),
            clocking: [0.0, 0.0],
        };
        let goal = BallRodDemand {
            input: between(rod.input()),
            output: between(rod.output()),
            travel,
            output_span: does.span.abs(),
            span_tolerance: does.span.abs() * self.room[2],
            min_transmission_angle: least,
            lock_margin: (does.margin - self.room[1]).clamp(0.0, 1.0),
            count: 3,
        };
        Some((goal, does))
    }
}

/// What a linkage does, by following it in small steps from neutral with Newton's method on the distance of the joints.
#[derive(Debug, Clone, Copy)]
struct Judgment {
    span: f64,
    transmission: f64,
    margin: f64,
}

impl Judgment {
    fn of(rod: &BallRod, travel: [f64; 2]) -> Result<Self, String> {
        const STEPS: u32 = 2000;
        let [input, output] = [rod.input(), rod.output()].map(Circle::of);
        let length = (rod.input().joint() - rod.output().joint()).norm();
        // How far the circle of the output joint is from being out of reach, as a product that is zero at a lock.
        let room = |angle: f64| {
            let d = input.at(angle) - output.center;
            let along = d.dot(&output.axis);
            let across = (d - output.axis * along).norm();
            let [near, far] =
                [across - output.radius, across + output.radius].map(|x| along.hypot(x));
            (length - near) * (far - length)
        };
        let mut transmission = FRAC_PI_2;
        let mut ends = [0.0; 2];
        for (end, goes) in ends.iter_mut().zip(travel) {
            for i in 0..=STEPS {
                let angle = goes * f64::from(i) / f64::from(STEPS);
                let a = input.at(angle);
                for _ in 0..50 {
                    let (b, speed) = (output.at(*end), output.speed(*end));
                    let slope = (b - a).dot(&speed);
                    let step = 0.5 * ((b - a).norm_squared() - length * length) / slope;
                    if !step.is_finite() || step.abs() > 0.3 {
                        return Err(format!("cannot follow it at {angle}"));
                    }
                    *end -= step;
                    if step.abs() < 1e-15 {
                        break;
                    }
                }
                let (along, speed) = (
                    (output.at(*end) - a).normalize(),
                    output.speed(*end).normalize(),
                );
                transmission = transmission.min(along.dot(&speed).abs().asin());
            }
        }
        // From each end on to where the room is gone, in steps, then halved.
        let beyond = |from: f64, sense: f64| {
            let step = sense * 1e-3;
            let mut at = from;
            for _ in 0..4000 {
                if room(at + step) < 0.0 {
                    let (mut inside, mut outside) = (at, at + step);
                    for _ in 0..60 {
                        let middle = 0.5 * (inside + outside);
                        if room(middle) < 0.0 {
                            outside = middle
                        } else {
                            inside = middle
                        }
                    }
                    return (inside - from).abs();
                }
                at += step;
            }
            PI
        };
        let margin = beyond(travel[0], -1.0).min(beyond(travel[1], 1.0));
        Ok(Self {
            span: ends[1] - ends[0],
            transmission,
            margin,
        })
    }
}

/// The circle of an arm's joint.
pub(crate) struct Circle {
    center: Point3<f64>,
    axis: Vector3<f64>,
    one: Vector3<f64>,
    other: Vector3<f64>,
    radius: f64,
}

impl Circle {
    pub(crate) fn of(arm: Arm) -> Self {
        let axis = arm.direction();
        let r = arm.joint() - arm.pivot();
        let one = r - axis * axis.dot(&r);
        Self {
            center: arm.joint() - one,
            axis,
            one,
            other: axis.cross(&one),
            radius: one.norm(),
        }
    }

    pub(crate) fn at(&self, angle: f64) -> Point3<f64> {
        self.center + self.one * angle.cos() + self.other * angle.sin()
    }

    pub(crate) fn speed(&self, angle: f64) -> Vector3<f64> {
        self.other * angle.cos() - self.one * angle.sin()
    }
}

/// A known rod whose demand is met only a little beyond where the most even linkage lies.
#[test]
fn a_known_rod_at_its_limits_is_found() {
    let input = Arm::new(
        Point3::origin(),
        Vector3::new(-0.6992687208638885, 0.6224202174335682, -0.3515911388976272),
        Point3::new(
            -0.01274471965567349,
            -0.017558665197213354,
            -0.005736448281527854,
        ),
    )
    .unwrap();
    let output = Arm::new(
        Point3::new(
            -0.07103207799382179,
            -0.039557717727951025,
            0.022880677158952117,
        ),
        Vector3::new(
            0.05204616281828152,
            -0.2636033648203531,
            -0.9632260705521216,
        ),
        Point3::new(
            -0.06878637084826783,
            -0.004381508225094394,
            0.01337544570109616,
        ),
    )
    .unwrap();
    let rod = BallRod::new(input, output).unwrap();
    let travel = [-0.3601284540669616, 0.3935325687060191];
    let does = Judgment::of(&rod, travel).unwrap();
    assert!(
        (does.span.abs() - 0.33782).abs() < 1e-5
            && (does.transmission - 57.5 * DEG).abs() < 0.1 * DEG
    );
    let between = |arm| FreeArm {
        arm,
        lengths: ArmLengths::Between(LENGTHS),
        clocking: [0.0, 0.0],
    };
    for room in [1e-6, 1e-3, 0.01, 0.1] {
        let found = search_ball_rods(&BallRodDemand {
            input: between(input),
            output: between(output),
            travel,
            output_span: does.span.abs(),
            span_tolerance: 1e-3,
            min_transmission_angle: does.transmission - room,
            lock_margin: does.margin - room,
            count: 3,
        });
        assert!(found.unwrap().best().is_ok(), "{room}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4, ..ProptestConfig::default() })]

    /// With holes the search is complete: the best of all pairs is the best by trying each.
    #[test]
    fn of_holes_it_finds_the_best_pair(aside in -0.02..0.1_f64, lower in -0.03..0.03_f64, span in 15.0..70.0_f64) {
        let (pedal, crank) = (pedal(), crank(aside, lower));
        let goal = goal(fixed(pedal, &HOLES), fixed(crank, &HOLES), span * DEG);
        let mut best = f64::INFINITY;
        for one in HOLES {
            for other in HOLES {
                let Some(figures) = built(&pedal, &crank, [one,
                    other]).and_then(|rod| rod.figures(goal.travel).ok()) else { continue };
                let fits = (figures.output_span.abs() - goal.output_span).abs() <= goal.span_tolerance
                    && figures.min_transmission_angle >= goal.min_transmission_angle
                    && figures.lock_margin >= goal.lock_margin;
                if fits {
                    best = best.min(figures.ratio_variation.unwrap());
                }
            }
        }
        let result = search_ball_rods(&goal).unwrap();
        prop_assert_eq!(result.tried, 36);
        match result.found.first() {
            Some(found) => prop_assert!((found.figures.ratio_variation.unwrap() - best).abs() <= ROUNDING),
            None => prop_assert!(best.is_infinite()),
        }
    }

    /// What a known linkage does can be asked for, with room or without: something is found, and it does so by a judge
    /// that knows none of the library.
    #[test]
    fn what_a_known_rod_does_is_found((rod, demand) in (ball_rods(), demands())) {
        let Some((goal, _)) = demand.of(&rod) else { return Ok(()) };
        let result = search_ball_rods(&goal).unwrap();
        prop_assert!(!result.found.is_empty(), "{result} {goal:?}");
        for design in &result {
                prop_assert!((LENGTHS[0] - ROUNDING..=LENGTHS[1] + ROUNDING).contains(&design.rod.input().length()));
                prop_assert!((LENGTHS[0] - ROUNDING..=LENGTHS[1] + ROUNDING).contains(&design.rod.output().length()));
                let judged = Judgment::of(&design.rod, goal.travel);
                prop_assert!(judged.is_ok(), "{judged:?} {design:?}");
                let judged = judged.unwrap();
                prop_assert!((judged.span.abs() - goal.output_span).abs() <= goal.span_tolerance + SAMPLED,
                    "{judged:?} {goal:?}");
                prop_assert!(judged.transmission >= goal.min_transmission_angle - SAMPLED, "{judged:?} {goal:?}");
                prop_assert!(judged.margin >= goal.lock_margin - SAMPLED, "{judged:?} {goal:?}");
        }
    }

    /// Where lengths are free: limits are kept, the order is that of the variation, and no pair of a grid is much
    /// better.
    #[test]
    fn of_lengths_none_of_a_grid_is_better(aside in 0.0..0.1_f64, lower in -0.03..0.03_f64, span in 25.0..60.0_f64) {
        let (pedal, crank) = (pedal(), crank(aside, lower));
        let between = |arm, low: f64, high: f64| FreeArm { arm, lengths: ArmLengths::Between([low, high]),
            clocking: [-0.4, 0.4] };
        let goal = goal(between(pedal, 0.05, 0.15), between(crank, 0.03, 0.1), span * DEG);
        let found = search_ball_rods(&goal).unwrap().found;
        prop_assert!(!found.is_empty() && found.len() <= goal.count);
        for design in &found {
            let figures = design.rod.figures(goal.travel).unwrap();
            prop_assert!((figures.output_span.abs() - goal.output_span).abs() <= goal.span_tolerance + ROUNDING);
            prop_assert!(figures.min_transmission_angle >= goal.min_transmission_angle - ROUNDING);
            prop_assert!(figures.lock_margin >= goal.lock_margin - ROUNDING);
            prop_assert!((0.05 - ROUNDING..=0.15 + ROUNDING).contains(&design.rod.input().length()));
            prop_assert!((0.03 - ROUNDING..=0.1 + ROUNDING).contains(&design.rod.output().length()));
            prop_assert!(design.clocking.iter().all(|angle| angle.abs() <= 0.4 + ROUNDING));
        }
        let order: Vec<_> = found.iter().map(|design| design.figures.ratio_variation.unwrap()).collect();
        prop_assert!(order.is_sorted());
        // A grid over the lengths alone, the arms standing where they stand: one of the starts is as good.
        let step = |low: f64, high: f64, i: u32| low + (high - low) * f64::from(i) / 24.0;
        for i in 0..=24 {
            for j in 0..=24 {
                let Some(figures) = built(&pedal, &crank, [step(0.05, 0.15, i), step(0.03, 0.1,
                    j)]).and_then(|rod| rod.figures(goal.travel).ok()) else { continue };
                let fits = (figures.output_span.abs() - goal.output_span).abs() <= goal.span_tolerance
                    && figures.min_transmission_angle >= goal.min_transmission_angle
                    && figures.lock_margin >= goal.lock_margin;
                // The search weighs evenness by squares and the order goes by the extremes: they differ a little.
                prop_assert!(!fits || order[0] <= figures.ratio_variation.unwrap() + 0.02);
            }
        }
    }

    #[test]
    fn a_goal_of_anything_is_met_or_refused(values in prop::array::uniform8(anything()),
        lengths in prop::array::uniform4(anything())) {
        let [a, b, c, d, e, f, g, h] = values;
        let sound = goal(fixed(pedal(), &HOLES[..2]), fixed(crank(0.05, 0.0), &HOLES[..2]), 40.0 * DEG);
        let free = FreeArm { arm: pedal(), lengths: ArmLengths::Between([lengths[0], lengths[1]]), clocking: [g, h] };
        let tries = [
            BallRodDemand { travel: [a, b], ..sound.clone() },
            BallRodDemand { output_span: c, span_tolerance: d, ..sound.clone() },
            BallRodDemand { min_transmission_angle: e, lock_margin: f, ..sound.clone() },
            BallRodDemand { input: free, ..sound.clone() },
            BallRodDemand { input: fixed(pedal(), &lengths), ..sound.clone() },
            BallRodDemand { input: fixed(pedal(), &[]), ..sound.clone() },
            BallRodDemand { count: 0, ..sound },
        ];
        for goal in tries {
            if let Ok(found) = search_ball_rods(&goal) {
                prop_assert!(found.found.iter()
                    .all(|design| design.figures.ratio_variation.is_none_or(f64::is_finite)));
            }
        }
    }
}

/// A stud that may not swivel as far as the linkage needs makes it fail, and the error says so.
#[test]
fn a_swivel_limit_is_kept() {
    let (input, output) = (pedal(), crank(0.05, 0.03));
    let open = goal(fixed(input, &[0.1]), fixed(output, &[0.06]), 45.0 * DEG);
    let open = BallRodDemand {
        span_tolerance: 30.0 * DEG,
        ..open
    };
    let upright = output.with_stud(Vector3::z(), 89.0 * DEG).unwrap();
    let with = |limit: f64| BallRodDemand {
        output: fixed(upright.with_stud(Vector3::z(), limit).unwrap(), &[0.06]),
        ..open.clone()
    };
    let needed = search_ball_rods(&with(80.0 * DEG)).unwrap().found[0]
        .figures
        .swivels[1]
        .unwrap();
    assert!(needed > 1.0 * DEG);
    assert!(
        search_ball_rods(&with(needed + 1e-6))
            .unwrap()
            .best()
            .is_ok()
    );
    let limit = needed - 1e-6;
    let result = search_ball_rods(&with(limit)).unwrap();
    assert!(result.found.is_empty() && result.tried == 1 && result.fitting == 0);
    let nearest = result.nearest.unwrap();
    let [shortfall] = nearest.shortfalls[..] else {
        panic!("{nearest:?}")
    };
    assert_eq!(shortfall.requirement, requirement::OUTPUT_SWIVEL);
    assert_eq!(shortfall.limit, limit);
    assert!((shortfall.value - needed).abs() < ROUNDING);
    assert!((shortfall.share - 1e-6).abs() < ROUNDING);
    assert_eq!(result.rejected.len(), 1);
    // The candidate is told with it: the same rod as without the limit.
    let swivels = nearest.candidate.unwrap().figures.swivels;
    assert!((swivels[1].unwrap() - needed).abs() < ROUNDING);
}

/// A design for one foot, mirrored for the other, gives pedals that do nearly the same left and right.
#[test]
fn an_even_design_makes_even_pedals() {
    let hinge = Point3::new(0.0, 0.12, 0.0);
    let left = Arm::new(hinge, Vector3::y(), hinge + Vector3::z() * 0.1).unwrap();
    let center = Point3::new(0.3, 0.0, 0.1);
    let crank = Arm::new(center, Vector3::z(), center + Vector3::y() * 0.05).unwrap();
    let free = |arm, low, high| FreeArm {
        arm,
        lengths: ArmLengths::Between([low, high]),
        clocking: [-0.3, 0.3],
    };
    let goal = goal(free(left, 0.06, 0.14), free(crank, 0.04, 0.12), 40.0 * DEG);
    let found = search_ball_rods(&goal).unwrap().found;
    let best = &found[0];
    assert!(best.figures.ratio_variation.unwrap() < 0.05 && best.figures.asymmetry < 0.5 * DEG);
    let pad = hinge + Vector3::z() * 0.2;
    let pedal = Pedal::new(best.rod.input(), pad, Vector3::x()).unwrap();
    let pair = PedalPair::mirrored(pedal, best.rod.output()).unwrap();
    let figures = pair
        .rod(yokewright::linkage::FootSide::Right)
        .figures(goal.travel)
        .unwrap();
    assert!(
        (figures.ratio_variation.unwrap() - best.figures.ratio_variation.unwrap()).abs() < ROUNDING
    );
}
