//! What callers of compression springs, their fatigue and their sizing rely on.

use yokewright::search::SearchResult;
use yokewright::spring::{
    CoilDiameter, CoilEnds, CompressionDemand, CompressionSpring, CompressionSpringSpec,
    CurvatureFactor, Cycle, DesignCode, EndFixity, Endurance, FatigueCriterion, Life, LifeDemand,
    Presetting, RankBy, SizedSpring, SizingTarget, Turns, Wire, WireSurface, requirement,
    search_compression_springs,
};
use yokewright::units::MM;
use yokewright::{Error, Result};

fn text<T: std::fmt::Debug>(result: Result<T>) -> String {
    result.expect_err("this must be refused").to_string()
}

fn wire() -> Wire {
    Wire::named("EN 10270-1 SM").unwrap()
}

fn spec() -> CompressionSpringSpec {
    CompressionSpringSpec {
        wire: wire(),
        wire_diameter: 2.0 * MM,
        coil: CoilDiameter::Mean(16.0 * MM),
        turns: Turns::Active(8.0),
        free_length: 40.0 * MM,
        ends: CoilEnds::SquaredGround,
        presetting: Presetting::AsWound,
        curvature: CurvatureFactor::Bergstraesser,
        design_code: DesignCode::Shigley,
    }
}

fn spring_with(change: impl FnOnce(&mut CompressionSpringSpec)) -> Result<CompressionSpring> {
    let mut spec = spec();
    change(&mut spec);
    CompressionSpring::new(spec)
}

#[test]
fn measures_that_cannot_be_say_so() {
    for (result, words) in [
        (
            spring_with(|s| s.coil = CoilDiameter::Mean(3.0 * MM)),
            "spring index = 1.5",
        ),
        (
            spring_with(|s| s.coil = CoilDiameter::Outer(200.0 * MM)),
            "spring index = 99",
        ),
        (
            spring_with(|s| s.coil = CoilDiameter::Mean(16.0)),
            "did you mean 16 * MM?",
        ),
        (
            spring_with(|s| s.wire_diameter = 0.2 * MM),
            "its table runs from 0.3 to 20 mm",
        ),
        (
            spring_with(|s| s.wire_diameter = f64::NAN),
            "wire diameter is NaN",
        ),
        (
            spring_with(|s| s.turns = Turns::Active(20.0)),
            "active turns in this free length = 20 turns is outside 0.5 to 17.99",
        ),
        (
            spring_with(|s| s.turns = Turns::Total(2.2)),
            "total turns = 2.2 turns is outside 2.5",
        ),
        (
            spring_with(|s| s.free_length = 40.0),
            "did you mean 40 * MM?",
        ),
        (
            spring_with(|s| s.free_length = 4.0 * MM),
            "free length = 0.004 m",
        ),
    ] {
        let message = text(result);
        assert!(message.contains(words), "{message} lacks: {words}");
    }
}

#[test]
fn the_same_coil_however_it_is_measured() {
    let mean = spring_with(|_| ()).unwrap();
    let outer = spring_with(|s| s.coil = CoilDiameter::Outer(18.0 * MM)).unwrap();
    let inner = spring_with(|s| s.coil = CoilDiameter::Inner(14.0 * MM)).unwrap();
    let total = spring_with(|s| s.turns = Turns::Total(10.0)).unwrap();
    for other in [outer, inner, total] {
        assert!((other.rate() / mean.rate() - 1.0).abs() < 1e-12);
    }
}

#[test]
fn lengths_and_forces_end_at_solid() {
    let spring = spring_with(|_| ()).unwrap();
    let solid = spring.solid_length();
    assert_eq!(spring.force(50.0 * MM), Ok(0.0));
    assert!((spring.force(solid).unwrap() - spring.solid_force()).abs() < 1e-9);
    assert!(
        text(spring.force(19.0 * MM)).contains("length of the spring = 0.019 m is outside 0.02")
    );
    assert!(text(spring.length(1.01 * spring.solid_force())).contains("force of the spring"));
    assert_eq!(spring.clash_allowance(40.0 * MM), Ok(f64::INFINITY));
    assert_eq!(spring.static_safety(0.0), Ok(f64::INFINITY));
}

/// Set removal lets it bear more; EN 13906 sets 0.56 of the strength against the stress without factor.
#[test]
fn what_the_rules_allow() {
    let least = 1760e6;
    let as_wound = spring_with(|_| ()).unwrap();
    assert!((as_wound.allowable_stress() / (0.45 * least) - 1.0).abs() < 1e-12);
    let set = spring_with(|s| s.presetting = Presetting::SetRemoved).unwrap();
    assert!((set.allowable_stress() / (0.60 * least) - 1.0).abs() < 1e-12);
    // 8 F D / (pi d^3) at the force where each begins to yield.
    let nominal = |s: &CompressionSpring| s.nominal_stress(s.yield_force()).unwrap();
    assert!((nominal(&as_wound) * (34.0 / 29.0) / (0.45 * least) - 1.0).abs() < 1e-12);
    assert!((nominal(&set) * (17.0 / 16.0) / (0.60 * least) - 1.0).abs() < 1e-12);
    let standard = spring_with(|s| s.design_code = DesignCode::En13906).unwrap();
    assert!((nominal(&standard) / (0.56 * least) - 1.0).abs() < 1e-12);
}

/// By geometry a coil of 16 mm whose pitch goes from 4.5 to 2 mm grows by (4.5^2 - 2^2) / (2 pi^2 16); EN's formula
/// gives more, for ends free to turn.
#[test]
fn compressed_coils_grow() {
    let spring = spring_with(|_| ()).unwrap();
    let growth =
        |s: &CompressionSpring| s.outer_diameter_at(s.solid_length()).unwrap() - s.outer_diameter();
    let exact =
        ((16.0_f64.powi(2) + (4.5_f64.powi(2) - 4.0) / std::f64::consts::PI.powi(2)).sqrt() - 16.0)
            * MM;
    assert!((growth(&spring) - exact).abs() < 1e-12);
    let standard = spring_with(|s| s.design_code = DesignCode::En13906).unwrap();
    let m = 38.0_f64 / 8.0;
    let expected = 0.1 * (m * m - 0.8 * m * 2.0 - 0.2 * 4.0) / 16.0 * MM;
    assert!((growth(&standard) - expected).abs() < 1e-12);
}

#[test]
fn a_long_spring_buckles() {
    let long = spring_with(|s| {
        s.free_length = 200.0 * MM;
        s.turns = Turns::Active(20.0);
    })
    .unwrap();
    let critical = |end_fixity| long.critical_deflection(end_fixity).unwrap();
    assert!(critical(EndFixity::FixedFree) < critical(EndFixity::PinnedPinned));
    assert!(critical(EndFixity::PinnedPinned) < critical(EndFixity::FixedPinned));
    assert!(critical(EndFixity::FixedPinned) < critical(EndFixity::FixedFixed));
}

#[test]
fn endurance_refuses_what_the_tests_do_not_cover() {
    let of = |name: &str, d: f64| {
        let wire = Wire::named(name).unwrap();
        Endurance::zimmerli(
            &wire,
            d * MM,
            WireSurface::Unpeened,
            FatigueCriterion::Goodman,
        )
    };
    assert!(
        text(of("ASTM B159", 1.0)).contains("'ASTM B159' is not known; choose one of: ASTM A228")
    );
    assert!(text(of("EN 10270-1 SM", 12.0)).contains("wire diameter for Zimmerli's data"));
    // Stainless wire of 10 mm: 0.67 x 968 MPa is too little above the mean stress of the test.
    assert!(text(of("ASTM A313", 10.0)).contains("Goodman's line through Zimmerli's data"));
    let spring = spring_with(|_| ()).unwrap();
    let beyond = spring.fatigue(
        [0.0, 500.0],
        WireSurface::Peened,
        FatigueCriterion::Gerber,
        1e6,
    );
    assert!(text(beyond).contains("force of the spring"));
    let endurance = of("EN 10270-1 SM", 2.0).unwrap();
    let cycle = Cycle::between(100e6, 300e6).unwrap();
    assert!(text(endurance.safety(&cycle, 0.0)).contains("number of cycles"));
    assert_eq!(
        endurance.life(&Cycle::between(0.0, 2000e6).unwrap()),
        Ok(Life::Short)
    );
    // Bending: the fully reversed strength over 0.577, the mean against the tensile strength.
    let bending = endurance.in_bending(1760e6).unwrap();
    assert!((bending.fully_reversed() * 0.577 / endurance.fully_reversed() - 1.0).abs() < 1e-12);
    assert_eq!(bending.ultimate(), 1760e6);
}

fn demand() -> CompressionDemand {
    let wanted = SizingTarget::Rate {
        rate: 2000.0,
        preload: 20.0,
        start_length: None,
    };
    CompressionDemand {
        bore: Some(20.0 * MM),
        rod: Some(8.0 * MM),
        life: Some(LifeDemand {
            cycles: 1e6,
            surface: WireSurface::Unpeened,
            criterion: FatigueCriterion::Gerber,
            safety: 1.2,
        }),
        ..CompressionDemand::new(vec![wire()], wanted, 15.0 * MM)
    }
}

fn search_with(change: impl FnOnce(&mut CompressionDemand)) -> Result<SearchResult<SizedSpring>> {
    let mut demand = demand();
    change(&mut demand);
    search_compression_springs(&demand)
}

/// The first found spring leads in what it is ranked by.
#[test]
fn ranks_by_what_is_asked() {
    let best = |rank_by| {
        search_with(|d| d.rank_by = rank_by)
            .unwrap()
            .found
            .remove(0)
            .spring
    };
    let springs = RankBy::ALL.map(best);
    let [light, short, squat, narrow, safe] = &springs;
    for spring in &springs {
        assert!(light.mass() <= spring.mass());
        assert!(short.free_length() <= spring.free_length());
        assert!(squat.solid_length() <= spring.solid_length());
        assert!(narrow.outer_diameter() <= spring.outer_diameter());
        assert!(safe.solid_safety() >= spring.solid_safety());
    }
}

/// A tube too narrow for any wire that bears the force: the count says so, and the nearest miss is reported.
#[test]
fn nothing_fits_says_why_and_by_how_much() {
    let sizing = search_with(|d| d.bore = Some(9.0 * MM)).unwrap();
    assert!(sizing.found.is_empty() && sizing.fitting == 0);
    let reasons: Vec<_> = sizing
        .rejected
        .iter()
        .map(|r| r.nearest.requirement)
        .collect();
    assert!(reasons.contains(&requirement::BORE) && reasons.contains(&requirement::ROD));
    let counts: Vec<_> = sizing.rejected.iter().map(|r| r.count).collect();
    assert!(counts.is_sorted_by(|a, b| a >= b));
    let error = sizing.best().unwrap_err();
    assert!(matches!(error, Error::NothingFits { tried, .. } if tried == sizing.tried));
    let message = error.to_string();
    assert!(
        message.starts_with("none of the ") && message.contains("where the limit is"),
        "{message}"
    );
}

#[test]
fn the_narrowest_that_passes_the_rod_is_tried() {
    // Two coils of each wire, much too narrow and much too wide: only the third can fit.
    let sizing = search_with(|d| {
        d.coil_steps = 2;
        d.index = [2.0, 50.0];
        d.travel = 5.0 * MM;
    });
    let sizing = sizing.unwrap();
    assert!(!sizing.found.is_empty());
    for sized in &sizing.found {
        assert!((sized.spring.inner_diameter() - 8.0 * MM).abs() < 1e-12);
    }
}

#[test]
fn a_start_length_is_kept() {
    let at = |start: f64| {
        search_with(|d| {
            d.wanted = SizingTarget::Rate {
                rate: 2000.0,
                preload: 20.0,
                start_length: Some(start),
            };
        })
    };
    let found = at(60.0 * MM).unwrap();
    for sized in &found.found {
        assert!((sized.lengths[0] - 60.0 * MM).abs() < 1e-12);
        assert!((sized.spring.free_length() - 70.0 * MM).abs() < 1e-12);
    }
    assert!(!found.found.is_empty());
    assert!(text(at(10.0 * MM)).contains("travel of the spring"));
}

#[test]
fn demands_that_make_no_sense_are_refused() {
    for (result, words) in [
        (search_with(|d| d.wires.clear()), "wires to try: 0 given"),
        (
            search_with(|d| d.coil_steps = 1),
            "coil diameters to try: 1 given",
        ),
        (search_with(|d| d.travel = 15.0), "did you mean 15 * MM?"),
        (
            search_with(|d| d.index = [12.0, 4.0]),
            "spring index: lower end 12",
        ),
        (
            search_with(|d| d.active_turns = [0.1, 4.0]),
            "active turns = 0.1",
        ),
        (
            search_with(|d| d.bore = Some(f64::NAN)),
            "bore for the spring is NaN",
        ),
        (
            search_with(|d| d.solid_safety = 0.0),
            "safety when pressed solid",
        ),
        (
            search_with(|d| {
                d.wanted = SizingTarget::Force {
                    force: -1.0,
                    length: 0.04,
                }
            }),
            "wanted force = -1",
        ),
    ] {
        let message = text(result);
        assert!(message.contains(words), "{message} lacks: {words}");
    }
}
