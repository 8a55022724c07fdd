//! Four-bars whose links can all lie in one line, and those next to them, against whole-number arithmetic and a dense
//! scan by the law of cosines.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use yokewright::linkage::{
    Branch, CenteredFourBar, DeadCenterKind, FourBar, FourBarClass, Range, SliderCrank,
};

/// Whole-number lengths: ground, crank, coupler, rocker.
type Whole = [i64; 4];
/// Whole numbers to a lattice step, so that lengths can be off by a billionth of it.
const STEP: i64 = 1_000_000_000;
/// A whole number in m: a lattice step is 50 mm, which binary fractions round.
const UNIT: f64 = 0.05 / STEP as f64;

/// All lengths of one to four steps that can close, each off by up to `off` whole numbers.
fn lattice(off: i64) -> impl Iterator<Item = Whole> {
    let offs = if off == 0 {
        vec![0]
    } else {
        vec![-off, 0, off]
    };
    let lengths: Vec<i64> = (1..=4)
        .flat_map(|n| {
            offs.iter()
                .map(move |off| n * STEP + off)
                .collect::<Vec<_>>()
        })
        .collect();
    let one = lengths.clone();
    let pairs: Vec<_> = one
        .iter()
        .flat_map(|x| one.iter().map(|y| [*x, *y]).collect::<Vec<_>>())
        .collect();
    let other = pairs.clone();
    pairs
        .into_iter()
        .flat_map(move |[d, a]| other.clone().into_iter().map(move |[b, c]| [d, a, b, c]))
        .filter(|all| 2 * all.iter().max().unwrap() <= all.iter().sum())
}

fn bar([d, a, b, c]: Whole) -> FourBar {
    let length = |whole: i64| whole as f64 * UNIT;
    FourBar::new(length(d), length(a), length(b), length(c)).unwrap()
}

/// The same with every length a unit in the last place or two longer or shorter, by the bits of `pattern`.
fn nudged(bar: &FourBar, pattern: u32) -> FourBar {
    let off = |length: f64, place: u32| match pattern >> (2 * place) & 3 {
        0 => length.next_down(),
        1 => length.next_up(),
        2 => length.next_up().next_up(),
        _ => length,
    };
    let [d, a, b, c] = [bar.ground(), bar.crank(), bar.coupler(), bar.rocker()];
    FourBar::new(off(d, 0), off(a, 1), off(b, 2), off(c, 3)).unwrap()
}

/// How many triangles have the sides `one` and `other` and the third `third`, up and down: one if flat.
fn triangles(third: i64, one: i64, other: i64) -> usize {
    let (least, most) = ((one - other).abs(), one + other);
    match (third.cmp(&least), third.cmp(&most)) {
        (std::cmp::Ordering::Greater, std::cmp::Ordering::Less) => 2,
        (std::cmp::Ordering::Less, _) | (_, std::cmp::Ordering::Greater) => 0,
        _ => 1,
    }
}

/// How many dead centers of each kind there are, stretched and folded: input, output.
fn counted([d, a, b, c]: Whole) -> [usize; 4] {
    let on_pivot = a == d && b == c;
    let input = |f: i64| if f == 0 { 0 } else { triangles(f, a, d) };
    // Flat ones have the crank at 0 in the kite that passes over the rocker pivot, where no pose is determined.
    let output = |g: i64| match triangles(g, c, d) {
        _ if g == 0 => 0,
        1 if on_pivot => 0,
        count => count,
    };
    [
        input(b + c),
        input((b - c).abs()),
        output(a + b),
        output((a - b).abs()),
    ]
}

fn found(bar: &FourBar) -> [usize; 4] {
    let dead_centers = bar.dead_centers();
    let count = |kind, stretched| {
        dead_centers
            .iter()
            .filter(|dead| dead.kind == kind && dead.stretched == stretched)
            .count()
    };
    let (input, output) = (DeadCenterKind::InputLimit, DeadCenterKind::OutputLimit);
    [
        count(input, true),
        count(input, false),
        count(output, true),
        count(output, false),
    ]
}

fn is_change_point([d, a, b, c]: Whole) -> bool {
    a + d == b + c || a + b == c + d || a + c == b + d
}

/// Rocker angle by the law of cosines; none where the links do not meet, or so nearly that a rounding would decide.
fn brute([d, a, b, c]: Whole, crank: f64, branch: Branch) -> Option<Result<f64, ()>> {
    let [d, a, b, c] = [d, a, b, c].map(|whole| whole as f64 / STEP as f64);
    let (x, y) = (d - a * crank.cos(), -a * crank.sin());
    let f = x.hypot(y);
    let cosine = (f * f + c * c - b * b) / (2.0 * f * c);
    if f < 1e-6 || (cosine.abs() - 1.0).abs() < 1e-9 {
        return None;
    }
    if cosine.abs() > 1.0 {
        return Some(Err(()));
    }
    let side = if branch == Branch::Open { -1.0 } else { 1.0 };
    Some(Ok((-y).atan2(-x) + side * cosine.acos()))
}

fn distance(one: f64, other: f64) -> f64 {
    let turn = (one - other).rem_euclid(TAU);
    turn.min(TAU - turn)
}

/// Angles over a stretch, thick and ever thicker toward its ends and toward 0 and pi.
fn looks(stretch: &Range) -> Vec<f64> {
    let mut looks: Vec<f64> = (0..1000)
        .map(|i| stretch.lower + stretch.length() * (f64::from(i) + 0.5) / 1000.0)
        .collect();
    for k in 2..60 {
        let near = 2.0_f64.powi(-k);
        looks.extend([stretch.lower + near, stretch.upper - near]);
        looks.extend(
            [-PI, 0.0, PI]
                .into_iter()
                .flat_map(|middle| [middle - near, middle + near]),
        );
    }
    looks.retain(|angle| *angle > stretch.lower && *angle < stretch.upper);
    looks.sort_by(f64::total_cmp);
    looks
}

/// Everything that the linkage says of itself, against the scan. `smooth` is for those in which nothing happens within
/// less than a look.
fn check_by_scan(whole: Whole, bar: &FourBar, smooth: bool) {
    let travel = bar.crank_travel();
    for i in 0..400 {
        let crank = -PI + TAU * (f64::from(i) + 0.37) / 400.0;
        let inside = travel
            .iter()
            .any(|stretch| stretch.turned_into(crank).is_some());
        if let Some(closes) = brute(whole, crank, Branch::Open) {
            assert_eq!(closes.is_ok(), inside, "{bar:?} at {crank}: {travel:?}");
            assert_eq!(closes.is_ok(), bar.pose(crank, Branch::Open).is_ok());
            assert_eq!(closes.is_ok(), bar.solve_many(&[crank]).valid[0]);
        }
    }
    for branch in Branch::ALL {
        let rockers = bar.rocker_travel(branch);
        assert_eq!(rockers.len(), travel.len());
        for (stretch, rocker) in travel.iter().zip(rockers) {
            let cranks = looks(stretch);
            let track = bar.track(&cranks, branch);
            let [mut least, mut most, mut before] = [f64::INFINITY, f64::NEG_INFINITY, f64::NAN];
            for ((crank, angle), valid) in cranks.iter().zip(&track.rocker).zip(&track.valid) {
                // Between a rounding from the pivot and the first closing pose.
                assert!(*valid || crank.sin().abs() < 1e-11, "{bar:?} {crank}");
                if let Some(Ok(expected)) = brute(whole, *crank, branch) {
                    // The law of cosines keeps half the digits next to a limit.
                    assert!(
                        distance(*angle, expected) < 1e-6,
                        "{bar:?} {branch} at {crank}: {angle} {expected}"
                    );
                }
                // Where the diagonal is a few roundings long, a rounding of a length turns it.
                let diagonal =
                    (bar.ground() - bar.crank() * crank.cos()).hypot(bar.crank() * crank.sin());
                if *valid && (!smooth || diagonal > 1e-8) {
                    assert!(
                        !smooth || before.is_nan() || (angle - before).abs() < 0.3,
                        "{bar:?} {branch} jumps at {crank}"
                    );
                    before = *angle;
                    least = least.min(*angle);
                    most = most.max(*angle);
                }
            }
            if stretch.length() == 0.0 {
                assert_eq!(rocker.length(), 0.0);
            } else if rocker == Range::FULL_TURN {
                assert!(most - least > TAU - 0.02, "{bar:?} {branch} {least} {most}");
            } else {
                // A root of a rounding beyond, seen from a diagonal down to a billionth; what lies between two looks
                // short.
                let beyond = if smooth { 1e-7 } else { 5e-3 };
                assert!(
                    least > rocker.lower - beyond && most < rocker.upper + beyond,
                    "{bar:?} {branch} {rocker:?} {least} {most}"
                );
                assert!(
                    least < rocker.lower + 0.01 && most > rocker.upper - 0.01,
                    "{bar:?} {branch} {rocker:?} {least} {most}"
                );
            }
        }
    }
    for stretch in &travel {
        let least = bar
            .min_transmission_angle(stretch.lower, stretch.upper)
            .unwrap();
        let seen = looks(stretch)
            .into_iter()
            .filter_map(|crank| bar.pose(crank, Branch::Open).ok());
        let seen = seen
            .map(|pose| pose.transmission_angle)
            .fold(FRAC_PI_2, f64::min);
        // In line with the root of a rounding.
        assert!(
            least <= seen + 1e-7 && (seen < least + 1e-4 || stretch.length() == 0.0),
            "{bar:?} {least} {seen}"
        );
    }
}

#[test]
fn dead_centers_are_counted_without_regard_to_roundings() {
    let mut changes = 0;
    for whole in lattice(0) {
        let bar = bar(whole);
        assert_eq!(found(&bar), counted(whole), "{bar:?}");
        assert_eq!(
            bar.grashof().class == FourBarClass::ChangePoint,
            is_change_point(whole)
        );
        changes += usize::from(is_change_point(whole));
        for pattern in 0..256 {
            let near = nudged(&bar, pattern);
            assert_eq!(found(&near), counted(whole), "{near:?}");
            assert_eq!(near.grashof().class, bar.grashof().class);
            assert_eq!(near.grashof().margin == 0.0, bar.grashof().margin == 0.0);
            let (one, other) = (near.crank_travel(), bar.crank_travel());
            assert_eq!(one.len(), other.len(), "{near:?}");
            for (one, other) in one.iter().zip(&other) {
                assert!(
                    (one.lower - other.lower).abs() < 1e-7
                        && (one.upper - other.upper).abs() < 1e-7
                );
            }
            for branch in Branch::ALL {
                for (one, other) in near
                    .rocker_travel(branch)
                    .iter()
                    .zip(&bar.rocker_travel(branch))
                {
                    assert!(
                        (one.lower - other.lower).abs() < 1e-7
                            && (one.upper - other.upper).abs() < 1e-7,
                        "{near:?} {one:?} {other:?}"
                    );
                }
            }
        }
    }
    assert_eq!(changes, 88);
}

#[test]
fn a_billionth_off_a_change_point_counts() {
    for whole in lattice(1) {
        let bar = bar(whole);
        assert_eq!(found(&bar), counted(whole), "{bar:?}");
        assert_eq!(
            bar.grashof().class == FourBarClass::ChangePoint,
            is_change_point(whole)
        );
    }
}

#[test]
fn travels_and_branches_are_those_of_a_dense_scan() {
    for whole in lattice(0) {
        let bar = bar(whole);
        check_by_scan(whole, &bar, true);
        check_by_scan(whole, &nudged(&bar, 0b01_00_10_01), true);
    }
    // One in some hundred of those that are a billionth off.
    for whole in lattice(1).step_by(173) {
        check_by_scan(whole, &bar(whole), false);
    }
}

#[test]
fn dead_centers_lie_in_line_and_on_their_branch() {
    for whole in lattice(0) {
        let bar = bar(whole);
        for dead in bar.dead_centers() {
            let pose = dead.pose;
            let other = match dead.kind {
                DeadCenterKind::InputLimit => pose.rocker_angle,
                DeadCenterKind::OutputLimit => pose.crank_angle,
            };
            // The rocker is seen from its pivot, so that it points back at a stretched coupler.
            let opposite = dead.stretched == (dead.kind == DeadCenterKind::InputLimit);
            let off = distance(pose.coupler_angle, other + if opposite { PI } else { 0.0 });
            assert!(off < 1e-14, "{dead:?}");
            let coupler = pose.rocker_joint - pose.crank_joint;
            assert!((coupler.norm() - bar.coupler()).abs() < 1e-15);
            let rocker = pose.rocker_joint.coords - nalgebra::Vector2::new(bar.ground(), 0.0);
            assert!((rocker.norm() - bar.rocker()).abs() < 1e-15);
            if let Some(Ok(expected)) = brute(whole, pose.crank_angle, pose.branch) {
                assert!(distance(expected, pose.rocker_angle) < 1e-6, "{dead:?}");
            }
        }
    }
}

/// Rocker = t / 2 + asin(a / b sin(t / 2)), by the bisector of two equal links.
#[test]
fn a_kite_ends_where_its_crank_joint_meets_the_rocker_pivot() {
    let long = FourBar::new(0.25, 0.25, 0.5, 0.5).unwrap();
    let track = long.track(&[-0.02, -0.01, 0.01, 0.02], Branch::Open);
    assert_eq!(track.valid, [true, true, false, false]);
    let open = |t: f64, k: f64| 0.5 * t + (k * (0.5 * t).sin()).asin();
    for (t, angle) in [0.01, 0.02]
        .into_iter()
        .zip(long.track(&[0.01, 0.02], Branch::Open).rocker)
    {
        assert!((angle - open(t, 0.5)).abs() < 1e-12);
    }
    assert!(long.pose(0.0, Branch::Open).is_err());
    assert_eq!(
        long.crank_travel(),
        [Range {
            lower: 0.0,
            upper: TAU
        }]
    );
    assert_eq!(
        long.rocker_travel(Branch::Open),
        [Range {
            lower: 0.0,
            upper: PI
        }]
    );
    assert_eq!(
        long.rocker_travel(Branch::Crossed),
        [Range {
            lower: -PI,
            upper: 0.0
        }]
    );
    assert!(long.dead_centers().is_empty());

    let short = FourBar::new(0.25, 0.25, 0.15, 0.15).unwrap();
    let most = 2.0 * 0.6_f64.asin();
    let travel = short.crank_travel();
    for (found, [from, to]) in travel.iter().zip([[-most, 0.0], [0.0, most]]) {
        assert!((found.lower - from).abs() < 1e-14 && (found.upper - to).abs() < 1e-14);
    }
    let ends = [[PI, 1.5 * PI - 0.5 * most], [0.0, 0.5 * most + FRAC_PI_2]];
    for (found, [from, to]) in short.rocker_travel(Branch::Open).iter().zip(ends) {
        assert!(
            (found.lower - from).abs() < 1e-14 && (found.upper - to).abs() < 1e-14,
            "{found:?}"
        );
    }
    // The crank of a centered one stays on its side.
    let built = CenteredFourBar::new(short, Branch::Open, 0.3).unwrap();
    assert!(
        (built.travel().lower + 0.3).abs() < 1e-15
            && (built.travel().upper + 0.3 - most).abs() < 1e-14
    );
    assert!(
        built.transfer(-0.2).is_ok() && built.transfer(-0.4).is_err() && built.pose(-0.4).is_err()
    );
    assert_eq!(built.transfers(&[-0.2, -0.4]).valid, [true, false]);
    assert!(short.min_transmission_angle(-0.1, 0.1).is_err());
    assert_eq!(short.min_transmission_angle(0.0, 0.1), Ok(0.0));
}

/// Opposite links equal: the rocker goes with the crank over one half turn and against it over the other.
#[test]
fn a_parallelogram_has_four_dead_centers() {
    for (ground, crank) in [(0.1, 0.3), (0.3, 0.1), (0.7, 0.1 + 0.2), (0.1 + 0.7, 0.3)] {
        let bar = FourBar::new(ground, crank, ground, crank).unwrap();
        assert_eq!(found(&bar), [1, 1, 1, 1], "{bar:?}");
        assert_eq!(bar.crank_travel(), [Range::FULL_TURN]);
        for angle in [0.5, 2.0, 3.0] {
            assert!((bar.pose(angle, Branch::Open).unwrap().rocker_angle - angle).abs() < 1e-12);
        }
        let open = bar.rocker_travel(Branch::Open)[0];
        let expected = if crank > ground {
            Range::FULL_TURN
        } else {
            Range {
                lower: 0.0,
                upper: PI,
            }
        };
        assert!(
            (open.lower - expected.lower).abs() < 1e-12
                && (open.upper - expected.upper).abs() < 1e-12,
            "{open:?}"
        );
    }
}

#[test]
fn the_full_turn_closes_everywhere() {
    // A billionth of a billionth on one side or the other of closing at 0.
    let bar = FourBar::new(
        0.09116801145070064,
        0.01685889032694349,
        0.09116801145070074,
        0.01685889032694349,
    )
    .unwrap();
    let whole = bar.crank_travel() == [Range::FULL_TURN];
    assert!(!whole || bar.pose(0.0, Branch::Open).is_ok());
    // Lengths off by up to some twenty roundings, on either side of what counts as equal.
    for ulps in 0..60 {
        for [longer, shorter] in [[0, ulps], [ulps, 0]] {
            let off = |length: f64, ulps: u64| f64::from_bits(length.to_bits() + ulps);
            for [d, a, b, c] in [
                [0.3, 0.1, 0.3, 0.1],
                [0.1, 0.3, 0.1, 0.3],
                [0.3, 0.1, 0.1, 0.3],
                [0.2, 0.2, 0.2, 0.2],
                [0.25, 0.25, 0.5, 0.5],
                [0.4, 0.1, 0.2, 0.3],
            ] {
                let bar = FourBar::new(off(d, shorter), off(a, longer), b, c).unwrap();
                let on_pivot = |angle: f64| {
                    (bar.ground() - bar.crank()).abs() < 1e-14 && (0.5 * angle).sin().abs() < 1e-13
                };
                for stretch in bar.crank_travel() {
                    for angle in [stretch.lower, stretch.upper, 0.0, PI, -PI] {
                        let Some(angle) = stretch.turned_into(angle) else {
                            continue;
                        };
                        let closes = [
                            bar.pose(angle, Branch::Open).is_ok(),
                            bar.solve_many(&[angle]).valid[0],
                        ];
                        assert!(
                            closes == [true; 2] || on_pivot(angle),
                            "{bar:?} {angle} {closes:?}"
                        );
                    }
                    assert!(
                        bar.min_transmission_angle(stretch.lower, stretch.upper)
                            .is_ok(),
                        "{bar:?} {stretch:?}"
                    );
                }
            }
        }
    }
}

/// A linkage whose longest link is as long as the others together closes in one position.
#[test]
fn one_position_only() {
    for (place, angle) in [(0, 0.0), (1, 0.0), (2, PI), (3, PI)] {
        for longest in [0.6, (0.1 + 0.2) + 0.3] {
            let mut lengths = [0.1, 0.2, 0.3, longest];
            lengths.swap(3, place);
            let [d, a, b, c] = lengths;
            let bar = FourBar::new(d, a, b, c).unwrap();
            assert_eq!(
                bar.crank_travel(),
                [Range {
                    lower: angle,
                    upper: angle
                }]
            );
            assert!(bar.crank_travel()[0].lower.is_sign_positive());
            assert!(bar.min_transmission_angle(angle, angle).unwrap() < 1e-6);
            assert!(bar.min_transmission_angle(-0.0, 0.0).is_ok() == (angle == 0.0));
            assert_eq!(
                bar.dead_centers().len(),
                2,
                "{bar:?} {:?}",
                bar.dead_centers()
            );
            for branch in Branch::ALL {
                assert_eq!(bar.rocker_travel(branch)[0].length(), 0.0);
            }
        }
    }
}

/// Crank and rod in line, or the rod square to the slide, however the lengths are rounded.
#[test]
fn slides_at_their_limits() {
    for (crank, rod, offset, count, stretches) in [
        // In line square to the slide: one position only.
        (0.1, 0.2, 0.3, 1, 1),
        (0.1, 0.2, 0.1 + 0.2, 1, 1),
        (0.1, 0.2, -(0.1 + 0.2), 1, 1),
        // Folded square to the slide.
        (0.3, 0.2, 0.1, 3, 1),
        (0.3, 0.2, 0.3 - 0.2, 3, 1),
        (0.3, 0.1, 0.2, 3, 1),
        (0.1, 0.3, 0.2, 3, 1),
        (0.1, 0.1 + 0.2, -0.2, 3, 1),
        // The slide joint comes to lie on the crank pivot.
        (0.3, 0.3, 0.0, 2, 1),
        (0.3, 0.1 + 0.2, 0.0, 2, 1),
        (0.1 + 0.2, 0.3, 0.0, 2, 1),
    ] {
        let slider = SliderCrank::new(crank, rod, offset).unwrap();
        let dead = slider.dead_centers();
        assert_eq!(dead.len(), count, "{slider:?} {dead:?}");
        for dead in dead {
            assert!(
                (dead.pose.rod_angle - dead.pose.crank_angle).sin().abs() < 1e-7,
                "{dead:?}"
            );
        }
        let travel = slider.crank_travel();
        assert_eq!(travel.len(), stretches, "{slider:?} {travel:?}");
        for stretch in travel {
            for angle in [
                stretch.lower,
                stretch.upper,
                0.5 * (stretch.lower + stretch.upper),
            ] {
                assert!(
                    slider.pose(angle, Branch::Open).is_ok(),
                    "{slider:?} {angle}"
                );
            }
        }
        for branch in Branch::ALL {
            for slide in slider.slide_travel(branch) {
                assert!(slide.lower <= slide.upper);
            }
        }
    }
}

/// A crank as long as the ground, with a coupler and a rocker that keep it off 0, counts the turns of its rocker as a
/// crank does that is longer by a part in 1e9.
#[test]
fn a_crank_of_the_length_of_the_ground_is_like_a_longer_one() {
    for [coupler, rocker] in [[0.12, 0.07], [0.07, 0.12]] {
        let of = |crank: f64| FourBar::new(0.1, crank, coupler, rocker).unwrap();
        let (equal, longer) = (of(0.1), of(0.1 * (1.0 + 1e-9)));
        for branch in [Branch::Open, Branch::Crossed] {
            let [equal, longer] = [&equal, &longer].map(|linkage| linkage.rocker_travel(branch));
            assert_eq!((equal.len(), longer.len()), (2, 2));
            for (equal, longer) in equal.iter().zip(&longer) {
                // Angles of triangles of sides of 50 to 190 mm, one of which is off by 0.1 nm.
                let near = |a: f64, b: f64| (a - b).abs() <= 1e-7;
                assert!(
                    near(equal.lower, longer.lower) && near(equal.upper, longer.upper),
                    "{equal:?} {longer:?}"
                );
            }
        }
    }
}
