//! What springs and demands may be asked: each range as it is documented, the usual limits that a demand begins with,
//! and what lies just at an edge.

use yokewright::spring::{
    BelowTable, CoilDiameter, CompressionDemand, Cycle, DesignCode, Endurance, ExtensionDemand,
    ExtensionSpring, ExtensionSpringSpec, ExtensionStresses, FatigueCriterion, ForceTable,
    HookShape, Life, LifeDemand, LineSpring, LinearSpring, LinearSpringSpec, LinearSpringState,
    LinearTorsionSpring, LinearTorsionSpringSpec, SizingTarget, SpringAction, TorsionDemand,
    TorsionSpring, TorsionSpringSpec, TorsionSpringState, Wire, WireSurface,
    search_compression_springs, search_extension_springs, search_torsion_springs,
};
use yokewright::units::MM;
use yokewright::{Error, Observer, Result};

/// Asserts that a value is refused for itself, with the range that is documented.
#[track_caller]
fn range<T>(words: &str, expected: [f64; 2], refused: Result<T>) {
    match refused.err() {
        Some(Error::OutOfRange {
            quantity, min, max, ..
        }) => {
            assert!(quantity.contains(words), "{quantity} where {words}");
            // A limit that is a product may differ by its last bits.
            let same = |a: f64, b: f64| (a - b).abs() <= 1e-12 * b.abs();
            assert!(
                same(min, expected[0]) && same(max, expected[1]),
                "{quantity}: {min} to {max}"
            );
        }
        other => panic!("{words}: {other:?}"),
    }
}

fn wire() -> Wire {
    Wire::named("EN 10270-1 SM").unwrap()
}

fn life(cycles: f64, safety: f64) -> Option<LifeDemand> {
    Some(LifeDemand {
        cycles,
        surface: WireSurface::Unpeened,
        criterion: FatigueCriterion::Gerber,
        safety,
    })
}

#[test]
fn an_extension_demand_keeps_to_its_ranges() {
    let usual = ExtensionDemand::new(vec![wire()], 500.0, 5.0, 0.04);
    assert_eq!((usual.index, usual.body_turns), ([4.0, 12.0], [3.0, 200.0]));
    assert_eq!((usual.static_safety, usual.coil_steps), (1.0, 200));
    let with = |words, expected, change: fn(&mut ExtensionDemand)| {
        let mut demand = usual.clone();
        change(&mut demand);
        range(words, expected, search_extension_springs(&demand));
    };
    with("wanted rate", [1e-3, 1e7], |d| d.rate = 9e-4);
    with("preload", [0.0, 1e5], |d| d.preload = -1e-9);
    with("travel", [1e-5, 5.0], |d| d.travel = 9e-6);
    with("bore", [1e-5, 5.0], |d| d.bore = Some(9e-6));
    with("longest length", [1e-5, 5.0], |d| {
        d.longest_start = Some(9e-6);
    });
    with("yielding", [0.1, 100.0], |d| d.static_safety = 0.09);
    with("index", [2.0, 50.0], |d| d.index[0] = 1.9);
    with("index", [2.0, 50.0], |d| d.index[1] = 51.0);
    with("turns", [1.0, 1000.0], |d| d.body_turns[0] = 0.9);
    with("turns", [1.0, 1000.0], |d| d.body_turns[1] = 1001.0);
    with("cycles", [1.0, 1e12], |d| d.life = life(0.9, 1.0));
    with("breaking", [0.1, 100.0], |d| d.life = life(1e6, 0.09));
    for steps in [1, 10_001] {
        let demand = ExtensionDemand {
            coil_steps: steps,
            ..usual.clone()
        };
        assert!(matches!(
            search_extension_springs(&demand),
            Err(Error::Count { count, min: 2, max: 10_000, .. }) if count == steps
        ));
    }
    for wires in [0, 101] {
        let demand = ExtensionDemand {
            wires: vec![wire(); wires],
            ..usual.clone()
        };
        assert!(matches!(
            search_extension_springs(&demand),
            Err(Error::Count { count, min: 1, max: 100, .. }) if count == wires
        ));
    }
}

#[test]
fn a_torsion_demand_keeps_to_its_ranges() {
    let usual = TorsionDemand::new(vec![wire()], 0.6, 0.2, 0.9);
    assert_eq!((usual.index, usual.body_turns), ([4.0, 12.0], [2.0, 50.0]));
    assert_eq!((usual.static_safety, usual.coil_steps), (1.0, 200));
    assert_eq!((usual.legs, usual.clearance_share), ([0.0, 0.0], 0.1));
    let with = |words, expected, change: fn(&mut TorsionDemand)| {
        let mut demand = usual.clone();
        change(&mut demand);
        range(words, expected, search_torsion_springs(&demand));
    };
    with("wanted rate", [1e-6, 1e5], |d| d.rate = 9e-7);
    with("preload", [0.0, 1e5], |d| d.preload = -1e-9);
    with("travel", [1e-4, 50.0], |d| d.travel = 9e-5);
    // 25 N m at 0.5 N m/rad are 50 rad.
    with("angle at the beginning", [0.0, 50.0], |d| {
        (d.preload, d.rate) = (25.1, 0.5);
    });
    with("leg", [0.0, 1.0], |d| d.legs[1] = -1e-9);
    with("arbor", [1e-5, 5.0], |d| d.arbor = Some(9e-6));
    with("clearance", [0.0, 10.0], |d| d.clearance_share = -1e-9);
    with("bore", [1e-5, 5.0], |d| d.bore = Some(9e-6));
    with("longest body", [1e-5, 5.0], |d| d.longest_body = Some(9e-6));
    with("yielding", [0.1, 100.0], |d| d.static_safety = 101.0);
    with("index", [2.0, 50.0], |d| d.index[0] = 1.9);
    with("turns", [1.0, 1000.0], |d| d.body_turns[0] = 0.9);
    with("cycles", [1.0, 1e12], |d| d.life = life(2e12, 1.0));
    let stiff = TorsionDemand {
        rate: 2.0,
        preload: 40.0,
        coil_steps: 2,
        ..usual
    };
    assert!(search_torsion_springs(&stiff).is_ok());
}

#[test]
fn a_compression_demand_keeps_to_its_ranges() {
    let rate = |rate, preload, start_length| SizingTarget::Rate {
        rate,
        preload,
        start_length,
    };
    let usual = CompressionDemand::new(vec![wire()], rate(2000.0, 20.0, None), 0.015);
    assert_eq!((usual.coil_steps, usual.turn_steps), (200, 25));
    let with = |words, expected, change: &dyn Fn(&mut CompressionDemand)| {
        let mut demand = usual.clone();
        change(&mut demand);
        range(words, expected, search_compression_springs(&demand));
    };
    with("wanted rate", [1e-3, 1e7], &|d| {
        d.wanted = rate(9e-4, 20.0, None);
    });
    with("preload", [0.0, 1e5], &|d| {
        d.wanted = rate(2e3, -1e-9, None);
    });
    with("length at the beginning", [1e-5, 5.0], &|d| {
        d.wanted = rate(2e3, 20.0, Some(5.1));
    });
    with("travel of the spring, with its", [1e-5, 0.014], &|d| {
        d.wanted = rate(2e3, 20.0, Some(0.014));
    });
    let force = |force, length| SizingTarget::Force { force, length };
    with("wanted force", [0.0, 1e5], &|d| {
        d.wanted = force(-1e-9, 0.03);
    });
    with("length at which", [1e-5, 5.0], &|d| {
        d.wanted = force(50.0, 9e-6);
    });
    with("travel", [1e-5, 5.0], &|d| d.travel = 9e-6);
    with("bore", [1e-5, 5.0], &|d| d.bore = Some(9e-6));
    with("rod", [1e-5, 5.0], &|d| d.rod = Some(9e-6));
    with("free length", [1e-5, 5.0], &|d| d.longest_free = Some(9e-6));
    with("solid length", [1e-5, 5.0], &|d| {
        d.longest_solid = Some(9e-6);
    });
    with("index", [2.0, 50.0], &|d| d.index[0] = 1.9);
    with("active turns", [0.5, 1000.0], &|d| d.active_turns[0] = 0.4);
    with("clash", [0.0, 10.0], &|d| d.clash_allowance = -1e-9);
    with("solid", [0.1, 100.0], &|d| d.solid_safety = 0.09);
    with("breaking", [0.1, 100.0], &|d| d.life = life(1e6, 101.0));
}

fn extension() -> ExtensionSpringSpec {
    ExtensionSpringSpec {
        wire: wire(),
        wire_diameter: 1.0 * MM,
        coil: CoilDiameter::Mean(9.0 * MM),
        body_turns: 30.0,
        initial_tension: 4.0,
        hook: HookShape::Full,
        bend_radius: None,
        side_radius: None,
        hook_reach: None,
        design_code: DesignCode::Shigley,
    }
}

#[test]
fn an_extension_spring_keeps_to_its_ranges() {
    let with = |words, expected, change: fn(&mut ExtensionSpringSpec)| {
        let mut spec = extension();
        change(&mut spec);
        range(words, expected, ExtensionSpring::new(spec));
    };
    with("bend radius", [0.75 * MM, 9.0 * MM], |s| {
        s.bend_radius = Some(0.7 * MM);
    });
    with("side radius", [0.75 * MM, 9.0 * MM], |s| {
        s.side_radius = Some(0.7 * MM);
    });
    with("reach", [0.0, 10.0], |s| s.hook_reach = Some(-1e-9));
    with("reach", [0.0, 45.0 * MM], |s| {
        s.hook_reach = Some(46.0 * MM)
    });
    let spring = ExtensionSpring::new(extension()).unwrap();
    // By hand: 792 MPa in the side of the hook at 28.648 MPa for 1 N; beyond 4 N it gives 1 mm for 0.45976 N. No more
    // can be wound into it either.
    let bears = 792.0 / 28.647_889_756_54;
    let longest = spring.line_spring().length_range()[1] / MM;
    assert!((longest - (47.0 + (bears - 4.0) / 0.459_757_612_522_5)).abs() < 1e-9);
    let wound = |initial_tension| {
        ExtensionSpring::new(ExtensionSpringSpec {
            initial_tension,
            ..extension()
        })
    };
    assert!(wound(bears - 1e-3).is_ok());
    assert!(
        matches!(wound(bears + 1e-3), Err(Error::OutOfRange { max, .. }) if (max - bears).abs() < 1e-9)
    );
    range("tension", [0.0, 1e6], spring.stresses(-1e-9));
    let one = |body, hook_bending, hook_torsion| ExtensionStresses {
        body,
        hook_bending,
        hook_torsion,
    };
    let plain = one(1e8, 1e8, 1e8);
    range("stress", [0.0, 1e30], one(1e8, -1.0, 1e8).use_of(&plain));
    range("allowed", [1.0, 1e12], plain.use_of(&one(1e8, 1e8, 0.9)));
    // Coils so wide that nobody winds tension into them: what is usual closes at an index of 29 and never falls below
    // zero.
    let [low, high] = ExtensionSpring::new(ExtensionSpringSpec {
        coil: CoilDiameter::Mean(40.0 * MM),
        initial_tension: 0.0,
        ..extension()
    })
    .unwrap()
    .usual_initial_tension();
    assert!(low > 0.0 && low == high);
}

fn torsion(turns: f64) -> TorsionSpringSpec {
    TorsionSpringSpec {
        wire: wire(),
        wire_diameter: 1.0 * MM,
        coil: CoilDiameter::Mean(9.0 * MM),
        body_turns: turns,
        legs: [20.0 * MM, 30.0 * MM],
        arbor: None,
        design_code: DesignCode::Shigley,
    }
}

#[test]
fn a_torsion_spring_keeps_to_its_ranges() {
    let with = |words, expected, change: fn(&mut TorsionSpringSpec)| {
        let mut spec = torsion(6.0);
        change(&mut spec);
        range(words, expected, TorsionSpring::new(spec));
    };
    with("arbor", [1e-5, 2.0], |s| s.arbor = Some(9e-6));
    with("arbor", [1e-5, 8.0 * MM], |s| s.arbor = Some(8.1 * MM));
    with("leg", [0.0, 1.0], |s| s.legs[0] = -1e-9);
    let spring = TorsionSpring::new(torsion(6.0)).unwrap();
    range("torque", [0.0, 1e5], spring.stress(-1e-9));
    range("wound up", [0.0, 100.0], spring.state_at(-1e-9));
    for cycles in [0.9, 2e12] {
        let life = spring.fatigue(
            [0.0, 0.1],
            WireSurface::Unpeened,
            FatigueCriterion::Gerber,
            cycles,
        );
        range("cycles", [1.0, 1e12], life);
    }
    assert!(
        spring
            .fatigue(
                [0.0, 0.1],
                WireSurface::Unpeened,
                FatigueCriterion::Gerber,
                1.0
            )
            .is_ok()
    );
    // 0.78 Rm is reached at 2.7 rad with 6 turns, so that 175 turns stand some 75 rad: the law knows it, from -60 rad
    // up and from 60 down, but not where it would lie beyond 100 rad.
    let long = TorsionSpring::new(torsion(175.0)).unwrap();
    let stands = long.max_angle();
    assert!((70.0..80.0).contains(&stands), "{stands}");
    let above = |free| {
        long.linear_torsion_spring(free, SpringAction::Above)
            .unwrap()
            .spec()
            .max_angle
    };
    let below = |free| {
        long.linear_torsion_spring(free, SpringAction::Below)
            .unwrap()
            .spec()
            .min_angle
    };
    assert_eq!((above(0.0), below(0.0)), (Some(stands), Some(-stands)));
    assert_eq!((above(40.0), below(-40.0)), (None, None));
    assert!(long.linear_torsion_spring(0.0, SpringAction::Both).is_err());
}

#[test]
fn endurance_keeps_to_its_ranges() {
    let new = |a, m, u| Endurance::new(a, m, u, FatigueCriterion::Sines);
    range("ultimate", [1e6, 1e10], new(1e5, 0.0, 9e5));
    range("alternating", [1e3, 0.77e9], new(999.0, 0.0, 1e9));
    range("alternating", [1e3, 0.77e9], new(0.78e9, 0.0, 1e9));
    range("mean stress", [0.0, 0.99e9], new(1e8, 0.995e9, 1e9));
    // Goodman leaves 1e8 / (1 - 0.9) of it without mean stress.
    range(
        "fully reversed",
        [1e3, 0.77e9],
        Endurance::new(1e8, 0.9e9, 1e9, FatigueCriterion::Goodman),
    );
    range(
        "stress of the cycle",
        [0.0, 1e10],
        Cycle::between(-1.0, 0.0),
    );
    range(
        "stress of the cycle",
        [0.0, 1e10],
        Cycle::between(0.0, 2e10),
    );
    let endurance = new(1e8, 0.0, 1e9).unwrap();
    range("cycles", [1.0, 1e12], endurance.fully_reversed_at(0.9));
    range("mean", [0.0, 1e9], endurance.alternating_at(1.1e9, 1e6));
    let cycle = |mean, alternating| Cycle { mean, alternating };
    range("mean", [0.0, 1e10], endurance.life(&cycle(-1.0, 0.0)));
    range(
        "alternating",
        [0.0, 1e10],
        endurance.safety(&cycle(0.0, 2e10), 1e6),
    );
    // What is borne a million times is borne without end, to the last bit; what breaks at a thousand still counts as a
    // thousand.
    let life = |greatest: f64| endurance.life(&Cycle::between(0.0, greatest).unwrap());
    assert_eq!(life(2e8), Ok(Life::Endless));
    assert!(matches!(life(2.0001e8), Ok(Life::Cycles(n)) if n < 1e6 && n > 9.9e5));
    assert!(matches!(life(1.5399e9), Ok(Life::Cycles(n)) if n > 1e3 && n < 1.01e3));
    assert_eq!(life(1.5401e9), Ok(Life::Short));
    // At the ultimate strength a mean stress leaves nothing, even for no alternating stress at all.
    for criterion in [FatigueCriterion::Gerber, FatigueCriterion::Goodman] {
        let endurance = Endurance::new(1e8, 0.0, 1e9, criterion).unwrap();
        assert_eq!(endurance.life(&cycle(1e9, 0.0)), Ok(Life::Short));
        assert_eq!(endurance.life(&cycle(0.9e9, 0.0)), Ok(Life::Endless));
    }
    assert_eq!(
        (Life::Short.cycles(), Life::Endless.cycles()),
        (0.0, f64::INFINITY)
    );
}

#[test]
fn laws_keep_to_their_ranges_and_edges() {
    let plain = LinearSpringSpec {
        rate: 400.0,
        free_length: 60.0 * MM,
        initial_tension: 0.0,
        action: SpringAction::Below,
        shortest: Some(20.0 * MM),
        longest: None,
    };
    let with = |change: fn(&mut LinearSpringSpec)| {
        let mut spec = plain;
        change(&mut spec);
        LinearSpring::new(spec)
    };
    range("rate", [1e-3, 1e7], with(|s| s.rate = 9e-4));
    range("free length", [0.0, 10.0], with(|s| s.free_length = 10.1));
    range("only pull", [0.0, 0.0], with(|s| s.initial_tension = 1.0));
    range("shortest", [0.0, 10.0], with(|s| s.shortest = Some(-1e-9)));
    range("longest", [0.0, 10.0], with(|s| s.longest = Some(10.1)));
    // Pressed from 60 mm on it must have a length below that to work at.
    for shortest in [60.0 * MM, 61.0 * MM] {
        let spec = LinearSpringSpec {
            shortest: Some(shortest),
            ..plain
        };
        assert!(
            matches!(LinearSpring::new(spec), Err(Error::NotAscending { lower, upper,
                .. }) if lower == shortest && upper == 60.0 * MM)
        );
    }
    // A limit above the free length changes nothing for it, nor one below for a spring that pulls.
    assert!(with(|s| s.longest = Some(70.0 * MM)).is_ok());
    assert!(with(|s| s.action = SpringAction::Above).is_ok());
    let pulls = with(|s| (s.action, s.longest) = (SpringAction::Above, Some(60.0 * MM)));
    assert!(matches!(pulls, Err(Error::NotAscending { .. })));

    let twist = LinearTorsionSpringSpec {
        rate: 0.8,
        free_angle: 0.2,
        action: SpringAction::Above,
        min_angle: Some(-0.5),
        max_angle: Some(1.2),
    };
    let spring = LinearTorsionSpring::new(twist).unwrap();
    for (angle, torque, stiffness, energy, state) in [
        (-0.6, 0.0, 0.0, 0.0, TorsionSpringState::Overwound),
        (-0.5, 0.0, 0.0, 0.0, TorsionSpringState::Slack),
        (0.2, 0.0, 0.0, 0.0, TorsionSpringState::Slack),
        // 0.8 N m/rad over 1 rad, and over 1.1.
        (1.2, 0.8, 0.8, 0.4, TorsionSpringState::Working),
        (1.3, 0.88, 0.8, 0.484, TorsionSpringState::Overwound),
    ] {
        let at = spring.response(angle).unwrap();
        assert_eq!((at.state, at.stiffness), (state, stiffness), "{angle}");
        assert!((at.torque - torque).abs() < 1e-12 && (at.energy - energy).abs() < 1e-12);
    }
    range("angle", [-100.0, 100.0], spring.response(101.0));
    let with = |change: fn(&mut LinearTorsionSpringSpec)| {
        let mut spec = twist;
        change(&mut spec);
        LinearTorsionSpring::new(spec)
    };
    range("rate", [1e-12, 1e5], with(|s| s.rate = 9e-13));
    range(
        "free angle",
        [-100.0, 100.0],
        with(|s| s.free_angle = 101.0),
    );
    range(
        "least",
        [-100.0, 100.0],
        with(|s| s.min_angle = Some(-101.0)),
    );
    range(
        "greatest",
        [-100.0, 100.0],
        with(|s| s.max_angle = Some(101.0)),
    );

    // Lengths less than a micrometer apart are one length measured twice.
    let table = |step: f64| {
        ForceTable::new(
            &[0.2, 0.2 + step, 0.4],
            &[0.0, 1.0, 20.0],
            BelowTable::Slack,
        )
    };
    range("step", [1e-6, 10.0], table(9e-7));
    let cord = table(0.1).unwrap();
    assert_eq!(cord.length_range(), [0.0, 0.4]);
    // Just where it begins it is still slack; just beyond it pulls, and the table says how much at its end.
    let at = cord.response(0.2).unwrap();
    assert_eq!(
        (at.state, at.tension, at.stiffness, at.energy),
        (LinearSpringState::Slack, 0.0, 0.0, 0.0)
    );
    assert_eq!(
        cord.response(0.2 + 1e-9).unwrap().state,
        LinearSpringState::Working
    );
    assert_eq!(cord.response(0.4).unwrap().tension, 20.0);
    let strut = ForceTable::new(&[0.2, 0.4], &[0.0, 20.0], BelowTable::Refused).unwrap();
    assert_eq!(strut.length_range(), [0.2, 0.4]);
    // A straight line of 100 N/m: half of 20 N over 0.2 m at its end.
    let at = strut.response(0.4).unwrap();
    assert!((at.energy - 2.0).abs() < 1e-12 && (at.stiffness - 100.0).abs() < 1e-9);
    assert_eq!(
        strut.response(0.2).unwrap().state,
        LinearSpringState::Working
    );
}

/// Whoever has asked to stop gets no more rows, and no search begins another coil.
#[test]
fn what_is_stopped_stops() {
    let straight = LinearSpring::new(LinearSpringSpec {
        rate: 400.0,
        free_length: 60.0 * MM,
        initial_tension: 0.0,
        action: SpringAction::Above,
        shortest: None,
        longest: None,
    });
    let law = LineSpring::from(straight.unwrap());
    let lengths = [0.1; 3000];
    assert_eq!(law.responses(&lengths).valid.len(), 3000);
    let extension = ExtensionDemand::new(vec![wire()], 500.0, 5.0, 0.04);
    let torsion = TorsionDemand::new(vec![wire()], 0.6, 0.2, 0.9);
    let wanted = SizingTarget::Rate {
        rate: 2000.0,
        preload: 20.0,
        start_length: None,
    };
    let compression = CompressionDemand::new(vec![wire()], wanted, 0.015);
    let observer = Observer::new();
    let outside = observer.run(|| {
        observer.stop();
        assert_eq!(law.responses(&lengths).valid.len(), 0);
        assert_eq!(
            search_extension_springs(&extension).map(|_| ()),
            Err(Error::Stopped)
        );
        assert_eq!(
            search_torsion_springs(&torsion).map(|_| ()),
            Err(Error::Stopped)
        );
        assert_eq!(
            search_compression_springs(&compression).map(|_| ()),
            Err(Error::Stopped)
        );
    });
    assert_eq!(outside, Err(Error::Stopped));
}
