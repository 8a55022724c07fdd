//! The searches for springs against a second one, written out from the textbook in mm, N and MPa: all candidates in
//! plain loops, each limit for itself. Nothing good is lost, what fails is counted by what it fails in, and the order
//! is that asked for.

use std::f64::consts::{PI, TAU};

use proptest::prelude::*;
use yokewright::search::{Rejection, Requirement};
use yokewright::spring::{
    CoilEnds, CompressionDemand, CurvatureFactor, Cycle, DesignCode, EndFixity, Endurance,
    ExtensionDemand, FatigueCriterion, HookShape, LifeDemand, Presetting, RankBy, SizingTarget,
    TorsionDemand, Wire, WireFamily, WireSurface, requirement, search_compression_springs,
    search_extension_springs, search_torsion_springs,
};

/// Share by which a figure may miss its limit, as the searches have it.
const ALLOWED: f64 = 1e-9;
/// Share within which two ways of computing one figure agree.
const DIGITS: f64 = 1e-7;
const PSI: f64 = 6.894_757_293_168e-3;

/// What one candidate fails in, each failing with its figure and its limit.
#[derive(Default)]
struct Failings {
    all: Vec<(Requirement, f64, f64)>,
    /// Whether rounding decides.
    doubtful: bool,
}

impl Failings {
    fn least(&mut self, requirement: Requirement, value: f64, limit: f64) {
        let edge = limit - ALLOWED * limit.abs();
        self.doubtful |= (value - edge).abs() < 0.5 * ALLOWED * limit.abs();
        if value < edge {
            self.all.push((requirement, value, limit));
        }
    }

    fn most(&mut self, requirement: Requirement, value: f64, limit: f64) {
        let edge = limit + ALLOWED * limit.abs();
        self.doubtful |= (value - edge).abs() < 0.5 * ALLOWED * limit.abs();
        if value > edge {
            self.all.push((requirement, value, limit));
        }
    }
}

/// By what share a failing misses its limit.
fn share(&(_, value, limit): &(Requirement, f64, f64)) -> f64 {
    (value - limit).abs()
        / if limit == 0.0 {
            value.abs()
        } else {
            limit.abs()
        }
}

/// What a whole search comes to.
#[derive(Default)]
struct Search {
    tried: usize,
    fitting: usize,
    /// Of each wire diameter the best score, and the wire and coil diameter that has it.
    best: Vec<(f64, [f64; 2])>,
    counts: Vec<(Requirement, usize)>,
    /// The least of the worst shares by which candidates miss.
    nearest: Option<f64>,
    doubtful: bool,
}

impl Search {
    fn diameter(&mut self, d: f64, candidates: impl IntoIterator<Item = (f64, Failings, f64)>) {
        let mut best: Option<(f64, [f64; 2])> = None;
        for (mean, failings, score) in candidates {
            self.tried += 1;
            self.doubtful |= failings.doubtful;
            if failings.all.is_empty() {
                self.fitting += 1;
                if best.is_none_or(|(least, _)| score < least) {
                    best = Some((score, [d, mean]));
                }
                continue;
            }
            for failing in &failings.all {
                match self
                    .counts
                    .iter_mut()
                    .find(|(shortfall, _)| *shortfall == failing.0)
                {
                    Some((_, count)) => *count += 1,
                    None => self.counts.push((failing.0, 1)),
                }
            }
            let worst = failings
                .all
                .iter()
                .map(share)
                .fold(f64::NEG_INFINITY, f64::max);
            self.nearest = Some(self.nearest.map_or(worst, |least| least.min(worst)));
        }
        self.best.extend(best);
    }

    fn check(
        mut self,
        tried: usize,
        fitting: usize,
        found: &[(f64, [f64; 2])],
        rejected: &[Rejection],
        nearest: Option<f64>,
    ) -> Result<(), TestCaseError> {
        prop_assume!(!self.doubtful);
        prop_assert_eq!((tried, fitting), (self.tried, self.fitting));
        self.best.sort_by(|a, b| a.0.total_cmp(&b.0));
        prop_assert_eq!(found.len(), self.best.len());
        for ((score, sizes), (expected, _)) in found.iter().zip(&self.best) {
            prop_assert!(
                (score - expected).abs() <= DIGITS * expected.abs(),
                "{:?} {} where {:?}",
                sizes,
                score,
                &self.best
            );
        }
        // The sizes are those of the same scores; equal scores may stand in any order.
        for (score, sizes) in &self.best {
            let same = |other: &[f64; 2]| {
                sizes
                    .iter()
                    .zip(other)
                    .all(|(a, b)| (a / b - 1.0).abs() < DIGITS)
            };
            let equals = self
                .best
                .iter()
                .filter(|(other, _)| (other - score).abs() <= DIGITS * score.abs());
            prop_assert!(
                equals.count() > 1 || found.iter().any(|(_, other)| same(other)),
                "{:?} is lost",
                sizes
            );
        }
        for &requirement in requirement::ALL {
            let own = rejected
                .iter()
                .find(|r| r.nearest.requirement == requirement)
                .map_or(0, |r| r.count);
            let expected = self
                .counts
                .iter()
                .find(|(other, _)| *other == requirement)
                .map_or(0, |(_, count)| *count);
            prop_assert_eq!(own, expected, "{}", requirement);
        }
        prop_assert!(rejected.is_sorted_by(|a, b| a.count >= b.count));
        match (nearest, self.nearest) {
            (Some(value), Some(expected)) => prop_assert!(
                (value - expected).abs() <= DIGITS * (1.0 + expected.abs()),
                "nearest {} is not {}",
                value,
                expected
            ),
            (value, _) => prop_assert_eq!(value.is_some(), found.is_empty()),
        }
        Ok(())
    }
}

/// A standard diameter in m to the last bit: one bit more may be the next step of the strength.
fn metres(wire: &Wire, d: f64) -> f64 {
    let own = wire.standard_diameters().iter();
    *own.min_by(|a, b| (*a * 1e3 - d).abs().total_cmp(&(*b * 1e3 - d).abs()))
        .unwrap()
}

/// Strength, G and E at a standard diameter in mm, and the density in kg/mm3.
fn figures(wire: &Wire, d: f64) -> [f64; 4] {
    let at = metres(wire, d);
    [
        wire.tensile_strength(at).unwrap() / 1e6,
        wire.shear_modulus(at).unwrap() / 1e6,
        wire.elastic_modulus(at).unwrap() / 1e6,
        wire.density() * 1e-9,
    ]
}

fn lerp([from, to]: [f64; 2], i: usize, steps: usize) -> f64 {
    let share = i as f64 / (steps - 1) as f64;
    (1.0 - share) * from + share * to
}

/// Coil diameters: so many indices, and those that just fit.
fn coils(index: [f64; 2], d: f64, steps: usize, edges: &[Option<f64>]) -> Vec<f64> {
    let range = index.map(|index| index * d);
    let mut coils: Vec<f64> = (0..steps).map(|i| lerp(range, i, steps)).collect();
    coils.extend(
        edges
            .iter()
            .flatten()
            .filter(|mean| range[0] <= **mean && **mean <= range[1]),
    );
    coils
}

/// Shigley's safety for a cycle, stresses in MPa; zero where the data do not hold.
fn safety(endurance: Option<Endurance>, cycles: f64, [one, other]: [f64; 2]) -> f64 {
    let cycle = Cycle::between(one.max(0.0) * 1e6, other * 1e6);
    endurance.zip(cycle.ok()).map_or(0.0, |(endurance, cycle)| {
        endurance.safety(&cycle, cycles).unwrap()
    })
}

fn alpha(end_fixity: EndFixity, design_code: DesignCode) -> f64 {
    match end_fixity {
        EndFixity::FixedFixed => 0.5,
        EndFixity::FixedPinned if design_code == DesignCode::Shigley => 0.707,
        EndFixity::FixedPinned => 0.7,
        EndFixity::PinnedPinned => 1.0,
        EndFixity::FixedFree => 2.0,
    }
}

/// One compression spring: turns, deflections at both ends of the travel and free length in mm.
fn compression(
    demand: &CompressionDemand,
    wire: &Wire,
    [d, mean, n]: [f64; 3],
    [x0, x1]: [f64; 2],
    free: Option<f64>,
) -> (f64, Failings, f64) {
    let mm = |length: Option<f64>| length.map(|length| length * 1e3);
    let [strength, g, e, density] = figures(wire, d);
    let (ends, design_code) = (demand.ends, demand.design_code);
    let standard = design_code == DesignCode::En13906;
    let dead = match ends {
        CoilEnds::Plain => 0.0,
        CoilEnds::PlainGround => 1.0,
        CoilEnds::Squared | CoilEnds::SquaredGround => 2.0,
    };
    let more = match ends {
        CoilEnds::Plain => 1.0,
        CoilEnds::Squared if standard => 1.5,
        CoilEnds::Squared => 1.0,
        CoilEnds::PlainGround | CoilEnds::SquaredGround => 0.0,
    };
    let solid = d * (n + dead + more);
    let mut gap = demand.clash_allowance * x1;
    if standard {
        let moved = if demand.life.is_some() { 1.5 } else { 1.0 };
        gap = gap.max(moved * n * (0.0015 * mean * mean / d + 0.1 * d));
    }
    let free = free.unwrap_or(solid + x1 + gap);
    let mut failings = Failings::default();
    let [few, many] = demand.active_turns;
    // Turns are taken to the last bit.
    failings.doubtful |= [few, many]
        .iter()
        .any(|limit| n != *limit && (n / limit - 1.0).abs() < ALLOWED);
    if n < few {
        failings.all.push((requirement::FEW_TURNS, n, few));
    } else if n > many {
        failings.all.push((requirement::MANY_TURNS, n, many));
    }
    failings.most(requirement::LOOSE, free - x0, free);
    if let Some(longest) = mm(demand.longest_solid) {
        failings.most(requirement::SOLID_LENGTH, solid, longest);
    }
    failings.most(
        requirement::FREE_LENGTH,
        free,
        mm(demand.longest_free).unwrap_or(1e4),
    );
    if let Some(rod) = mm(demand.rod) {
        failings.least(requirement::ROD, mean - d, rod);
    }
    let needed = (x1 + gap) * (1.0 - ALLOWED);
    failings.doubtful |= ((free - solid) / needed - 1.0).abs() < 0.5 * ALLOWED;
    if free - solid < needed {
        failings
            .all
            .push((requirement::CLASH, (free - solid) / x1 - 1.0, gap / x1));
    }
    // Something must be left to compress, and half a turn to do it.
    let room = (free - solid) / d;
    failings.doubtful |= (0.0004..0.0016).contains(&room) || (n / 0.5 - 1.0).abs() < DIGITS;
    if room < 0.001 || !(0.5..=1000.0).contains(&n) || free > 1e4 {
        if let Some(bore) = mm(demand.bore) {
            failings.most(requirement::BORE, mean + d, bore);
        }
        if failings.all.is_empty() {
            failings
                .all
                .push((requirement::CLASH, (free - solid) / x1 - 1.0, gap / x1));
        }
        return (mean, failings, f64::NAN);
    }
    let pitch = |length: f64| match (ends, standard) {
        (CoilEnds::PlainGround, false) => length / (n + 1.0),
        (CoilEnds::Squared, false) => (length - 3.0 * d) / n,
        (CoilEnds::SquaredGround, false) => (length - 2.0 * d) / n,
        (CoilEnds::Squared, true) => (length - 2.5 * d) / n,
        _ => (length - d) / n,
    };
    if let Some(bore) = mm(demand.bore) {
        let m = pitch(free);
        let outer = if standard {
            mean + d + (0.1 * (m * m - 0.8 * m * d - 0.2 * d * d) / mean).max(0.0)
        } else {
            (mean * mean + (m * m - pitch(solid).powi(2)) / (PI * PI)).sqrt() + d
        };
        failings.most(requirement::BORE, outer, bore);
    }
    let c = mean / d;
    let curvature = match demand.curvature {
        CurvatureFactor::Bergstraesser => (4.0 * c + 2.0) / (4.0 * c - 3.0),
        CurvatureFactor::Wahl => (4.0 * c - 1.0) / (4.0 * c - 4.0) + 0.615 / c,
    };
    let per_newton = 8.0 * mean / (PI * d.powi(3));
    let [as_wound, set] = match wire.family() {
        WireFamily::ColdDrawn => [0.45, 0.60],
        WireFamily::Tempered => [0.50, 0.65],
        _ => [0.35, 0.55],
    };
    let most = match (design_code, demand.presetting) {
        (DesignCode::En13906, _) => 0.56 * strength / per_newton,
        (_, Presetting::AsWound) => as_wound * strength / (curvature * per_newton),
        (_, Presetting::SetRemoved) => set * strength / ((1.0 + 0.5 / c) * per_newton),
    };
    let rate = g * d.powi(4) / (8.0 * mean.powi(3) * n);
    let solid_safety = most / (rate * (free - solid));
    failings.least(requirement::SOLID, solid_safety, demand.solid_safety);
    if let Some(end_fixity) = demand.end_fixity {
        let slenderness = alpha(end_fixity, design_code) * free / mean;
        let c2 = 2.0 * PI * PI * (e - g) / (2.0 * g + e);
        let left = 1.0 - c2 / (slenderness * slenderness);
        if left > 0.0 {
            let buckles = free * e / (2.0 * (e - g)) * (1.0 - left.sqrt());
            failings.doubtful |= (buckles / (free - solid) - 1.0).abs() < ALLOWED;
            if buckles < free - solid {
                failings.least(requirement::BUCKLING, buckles, x1);
            }
        }
    }
    if let Some(life) = demand.life {
        let endurance =
            Endurance::zimmerli(wire, metres(wire, d), life.surface, life.criterion).ok();
        let stresses = [x0, x1].map(|x| curvature * per_newton * rate * x);
        failings.least(
            requirement::LIFE,
            safety(endurance, life.cycles, stresses),
            life.safety,
        );
    }
    let turn = PI * mean;
    let score = match demand.rank_by {
        RankBy::Mass => 0.25 * PI * d * d * density * (n * turn.hypot(pitch(free)) + dead * turn),
        RankBy::FreeLength => free * 1e-3,
        RankBy::SolidLength => solid * 1e-3,
        RankBy::OuterDiameter => (mean + d) * 1e-3,
        RankBy::SolidSafety => -solid_safety,
    };
    (mean, failings, score)
}

fn search_compression(demand: &CompressionDemand) -> Search {
    let mut search = Search::default();
    for wire in &demand.wires {
        for d in wire.standard_diameters().iter().map(|d| d * 1e3) {
            let g = figures(wire, d)[1];
            let travel = demand.travel * 1e3;
            let mut candidates = Vec::new();
            for mean in coils(
                demand.index,
                d,
                demand.coil_steps,
                &[demand.rod.map(|rod| rod * 1e3 + d)],
            ) {
                let per_turn = g * d.powi(4) / (8.0 * mean.powi(3));
                match demand.wanted {
                    SizingTarget::Rate {
                        rate,
                        preload,
                        start_length,
                    } => {
                        let x0 = preload / rate * 1e3;
                        let free = start_length.map(|length| length * 1e3 + x0);
                        candidates.push(compression(
                            demand,
                            wire,
                            [d, mean, per_turn / rate * 1e3],
                            [x0, x0 + travel],
                            free,
                        ));
                    }
                    SizingTarget::Force { force, length } => {
                        for i in 0..demand.turn_steps {
                            let n = lerp(demand.active_turns, i, demand.turn_steps);
                            let x1 = force * n / per_turn;
                            candidates.push(compression(
                                demand,
                                wire,
                                [d, mean, n],
                                [x1 - travel, x1],
                                Some(length * 1e3 + x1),
                            ));
                        }
                    }
                }
            }
            search.diameter(d, candidates);
        }
    }
    search
}

fn extension(demand: &ExtensionDemand, wire: &Wire, d: f64, mean: f64) -> (f64, Failings, f64) {
    let [strength, g, e, density] = figures(wire, d);
    let standard = demand.design_code == DesignCode::En13906;
    let rate = demand.rate * 1e-3;
    let hooks = if standard { 0.0 } else { g / e };
    let n = g * d.powi(4) / (8.0 * mean.powi(3) * rate) - hooks;
    let mut failings = Failings::default();
    failings.least(requirement::FEW_TURNS, n, demand.body_turns[0]);
    failings.most(requirement::MANY_TURNS, n, demand.body_turns[1]);
    if let Some(bore) = demand.bore {
        failings.most(requirement::BORE, mean + d, bore * 1e3);
    }
    let reach = match demand.hook {
        HookShape::Full => mean - d,
        HookShape::Half => 0.5 * (mean - d),
    };
    let free = (n + 1.0) * d + 2.0 * reach;
    failings.doubtful |= (n - 1.0).abs() < DIGITS;
    if !(1.0..=1000.0).contains(&n) || free >= 1e4 {
        if failings.all.is_empty() {
            failings
                .all
                .push((requirement::YIELD, 0.0, demand.static_safety));
        }
        return (mean, failings, f64::NAN);
    }
    let c = mean / d;
    let shear = 8.0 * mean / (PI * d.powi(3));
    let c1 = match demand.hook {
        HookShape::Full => c,
        HookShape::Half => c.min(4.0),
    };
    let c2 = (2.0 * c).min(4.0);
    let body = (4.0 * c + 2.0) / (4.0 * c - 3.0) * shear;
    let bend = (4.0 * c1 * c1 - c1 - 1.0) / (4.0 * c1 * (c1 - 1.0)) * 16.0 * mean
        / (PI * d.powi(3))
        + 4.0 / (PI * d * d);
    let twist = (4.0 * c2 - 1.0) / (4.0 * c2 - 4.0) * shear;
    let [body_share, twist_share, bend_share] = match wire.family() {
        WireFamily::ColdDrawn | WireFamily::Tempered => [0.45, 0.40, 0.75],
        _ => [0.35, 0.30, 0.55],
    };
    let bears = (body_share / body)
        .min(bend_share / bend)
        .min(twist_share / twist)
        * strength;
    let [low, high] = if standard {
        [0.0, (0.135 - 0.00625 * c).max(0.0) * strength / shear]
    } else {
        let middle = 33_500.0 / (0.105 * c).exp();
        let half = 1000.0 * (4.0 - (c - 3.0) / 6.5);
        [middle - half, middle + half].map(|psi| psi * PSI / shear)
    };
    failings.most(requirement::INITIAL_TENSION, low, demand.preload);
    let initial = (0.5 * (low + high)).min(demand.preload);
    failings.doubtful |= (initial / bears - 1.0).abs() < DIGITS;
    if initial > bears {
        if failings.all.is_empty() {
            failings
                .all
                .push((requirement::YIELD, 0.0, demand.static_safety));
        }
        return (mean, failings, f64::NAN);
    }
    if let Some(longest) = demand.longest_start {
        failings.most(
            requirement::TOO_LONG,
            free + (demand.preload - initial) / rate,
            longest * 1e3,
        );
    }
    let tensions = [demand.preload, demand.preload + demand.rate * demand.travel];
    failings.least(
        requirement::YIELD,
        bears / tensions[1],
        demand.static_safety,
    );
    if let Some(life) = demand.life {
        let shear = Endurance::zimmerli(wire, metres(wire, d), life.surface, life.criterion).ok();
        let bending = shear.and_then(|shear| shear.in_bending(strength * 1e6).ok());
        let shear = shear.filter(|_| bending.is_some());
        let least =
            [(shear, body), (bending, bend), (shear, twist)].map(|(endurance, per_newton)| {
                safety(
                    endurance,
                    life.cycles,
                    tensions.map(|tension| per_newton * tension),
                )
            });
        failings.least(
            requirement::LIFE,
            least.into_iter().fold(f64::INFINITY, f64::min),
            life.safety,
        );
    }
    let turns = n + if demand.hook == HookShape::Full {
        2.0
    } else {
        1.0
    };
    (
        mean,
        failings,
        0.25 * PI * d * d * density * turns * (PI * mean).hypot(d),
    )
}

fn torsion(demand: &TorsionDemand, wire: &Wire, d: f64, mean: f64) -> (f64, Failings, f64) {
    let [strength, _, e, density] = figures(wire, d);
    let standard = demand.design_code == DesignCode::En13906;
    // N mm
    let rate = demand.rate * 1e3;
    let constant = if standard { 64.0 / TAU } else { 10.8 };
    let active = d.powi(4) * e / (constant * mean) / (TAU * rate);
    let legs = demand.legs.map(|leg| leg * 1e3);
    let n = active - (legs[0] + legs[1]) / (3.0 * PI * mean);
    let mut failings = Failings::default();
    failings.least(requirement::FEW_TURNS, n, demand.body_turns[0]);
    failings.most(requirement::MANY_TURNS, n, demand.body_turns[1]);
    if let Some(bore) = demand.bore {
        failings.most(requirement::BORE, mean + d, bore * 1e3);
    }
    let torques =
        [demand.preload, demand.preload + demand.rate * demand.travel].map(|torque| torque * 1e3);
    let angle = torques[1] / rate;
    failings.doubtful |= (n - 1.0).abs() < DIGITS || (angle / 100.0 - 1.0).abs() < DIGITS;
    if !(1.0..=1000.0).contains(&n) || angle > 100.0 {
        if failings.all.is_empty() {
            failings
                .all
                .push((requirement::YIELD, 0.0, demand.static_safety));
        }
        return (mean, failings, f64::NAN);
    }
    let turned = angle / TAU * n / active;
    if let Some(arbor) = demand.arbor {
        failings.least(
            requirement::ARBOR,
            mean * n / (n + turned) - d,
            arbor * 1e3 * (1.0 + demand.clearance_share),
        );
    }
    if let Some(longest) = demand.longest_body {
        failings.most(
            requirement::BODY_LENGTH,
            (n + 1.0 + turned) * d,
            longest * 1e3,
        );
    }
    let c = mean / d;
    let factor = if standard {
        (c + 0.07) / (c - 0.75)
    } else {
        (4.0 * c * c - c - 1.0) / (4.0 * c * (c - 1.0))
    };
    let per_torque = factor * 32.0 / (PI * d.powi(3));
    let share = match wire.family() {
        _ if standard => 0.7,
        WireFamily::ColdDrawn => 0.78,
        WireFamily::Tempered => 0.87,
        _ => 0.61,
    };
    failings.least(
        requirement::YIELD,
        share * strength / (per_torque * torques[1]),
        demand.static_safety,
    );
    if let Some(life) = demand.life {
        let peened = life.surface == WireSurface::Peened;
        let shares = match (wire.family(), peened) {
            (WireFamily::NonFerrous, _) => None,
            (WireFamily::Tempered, false) => Some([0.55, 0.53]),
            (WireFamily::Tempered, true) => Some([0.66, 0.64]),
            (_, false) => Some([0.53, 0.50]),
            (_, true) => Some([0.62, 0.60]),
        };
        let endurance = shares.and_then(|[at_1e5, at_1e6]| {
            let share = at_1e5 + (life.cycles.log10() - 5.0).clamp(0.0, 1.0) * (at_1e6 - at_1e5);
            let half = 0.5 * share * strength * 1e6;
            Endurance::new(half, half, strength * 1e6, life.criterion).ok()
        });
        // The shares are of the cycles asked for; on their line that is what is endured without end.
        let value = safety(endurance, 1e6, torques.map(|torque| per_torque * torque));
        failings.least(requirement::LIFE, value, life.safety);
    }
    let length = n * (PI * mean).hypot(d) + legs[0] + legs[1];
    (mean, failings, 0.25 * PI * d * d * density * length)
}

fn lives() -> impl Strategy<Value = Option<LifeDemand>> {
    let surfaces = prop::sample::select(WireSurface::ALL.to_vec());
    let criteria = prop::sample::select(FatigueCriterion::ALL.to_vec());
    prop::option::of((3.0..7.0_f64, surfaces, criteria, 0.8..2.0_f64)).prop_map(|life| {
        life.map(|(decades, surface, criterion, safety)| LifeDemand {
            cycles: 10.0_f64.powf(decades),
            surface,
            criterion,
            safety,
        })
    })
}

fn some_wires() -> impl Strategy<Value = Vec<Wire>> {
    prop::sample::subsequence(Wire::all().to_vec(), 1..=2)
}

fn compression_demands() -> impl Strategy<Value = CompressionDemand> {
    let wanted = prop_oneof![
        (2.5..4.5_f64, 0.0..50.0_f64, prop::option::of(0.03..0.2_f64)).prop_map(
            |(decades, preload, start_length)| SizingTarget::Rate {
                rate: 10.0_f64.powf(decades),
                preload,
                start_length
            }
        ),
        (5.0..300.0_f64, 0.01..0.1_f64)
            .prop_map(|(force, length)| SizingTarget::Force { force, length }),
    ];
    let room = (
        prop::option::of(0.008..0.05_f64),
        prop::option::of(0.002..0.02_f64),
        prop::option::of(0.03..0.2_f64),
        prop::option::of(0.01..0.1_f64),
    );
    let rules = (
        prop::sample::select(CoilEnds::ALL.to_vec()),
        prop::sample::select(Presetting::ALL.to_vec()),
        prop::sample::select(CurvatureFactor::ALL.to_vec()),
        prop::sample::select(DesignCode::ALL.to_vec()),
    );
    let limits = (
        prop::option::of(prop::sample::select(EndFixity::ALL.to_vec())),
        prop_oneof![Just(0.0), 0.05..0.5_f64],
        0.5..1.5_f64,
        prop::sample::select(RankBy::ALL.to_vec()),
    );
    (
        some_wires(),
        wanted,
        0.003..0.03_f64,
        room,
        rules,
        limits,
        lives(),
    )
        .prop_map(
            |(
                wires,
                wanted,
                travel,
                (bore, rod, longest_free, longest_solid),
                (ends, presetting, curvature, design_code),
                (end_fixity, clash_allowance, solid_safety, rank_by),
                life,
            )| CompressionDemand {
                bore,
                rod,
                longest_free,
                longest_solid,
                end_fixity,
                life,
                clash_allowance,
                solid_safety,
                ends,
                presetting,
                curvature,
                design_code,
                rank_by,
                coil_steps: 12,
                turn_steps: 4,
                ..CompressionDemand::new(wires, wanted, travel)
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, ..ProptestConfig::default() })]

    #[test]
    fn no_good_compression_spring_is_lost(demand in compression_demands()) {
        let sizing = search_compression_springs(&demand).unwrap();
        let found: Vec<_> = sizing.found.iter().map(|found| {
            let spring = &found.spring;
            let score = match demand.rank_by {
                RankBy::Mass => spring.mass(),
                RankBy::FreeLength => spring.free_length(),
                RankBy::SolidLength => spring.solid_length(),
                RankBy::OuterDiameter => spring.outer_diameter(),
                RankBy::SolidSafety => -spring.solid_safety(),
            };
            (score, [spring.wire_diameter() * 1e3, spring.mean_diameter() * 1e3])
        }).collect();
        let nearest = sizing.nearest.map(|near| near.shortfalls[0].share);
        search_compression(&demand).check(sizing.tried, sizing.fitting, &found, &sizing.rejected, nearest)?;
    }

    #[test]
    fn no_good_extension_spring_is_lost(
        wires in some_wires(), decades in 0.5..4.5_f64, preload in 0.0..50.0_f64, travel in 0.002..0.1_f64,
            bore in prop::option::of(0.005..0.05_f64),
        longest_start in prop::option::of(0.02..0.3_f64), static_safety in 0.5..2.0_f64, half in any::<bool>(),
            standard in any::<bool>(), life in lives(),
    ) {
        let demand = ExtensionDemand {
            bore, longest_start, static_safety, life, coil_steps: 12,
            hook: if half { HookShape::Half } else { HookShape::Full },
            design_code: if standard { DesignCode::En13906 } else { DesignCode::Shigley },
            ..ExtensionDemand::new(wires, 10.0_f64.powf(decades), preload, travel)
        };
        let sizing = search_extension_springs(&demand).unwrap();
        let mut search = Search::default();
        for wire in &demand.wires {
            for d in wire.standard_diameters().iter().map(|d| d * 1e3) {
                let coils = coils(demand.index, d, demand.coil_steps, &[bore.map(|bore| bore * 1e3 - d)]);
                search.diameter(d, coils.into_iter().map(|mean| extension(&demand, wire, d, mean)));
            }
        }
        let found: Vec<_> = sizing.found.iter().map(|found| (found.spring.mass(),
            [found.spring.spec().wire_diameter * 1e3, found.spring.mean_diameter() * 1e3])).collect();
        let nearest = sizing.nearest.map(|near| near.shortfalls[0].share);
        search.check(sizing.tried, sizing.fitting, &found, &sizing.rejected, nearest)?;
    }

    #[test]
    fn no_good_torsion_spring_is_lost(
        wires in some_wires(), decades in -2.0..1.5_f64, preload in 0.0..2.0_f64, travel in 0.05..3.0_f64,
            legs in prop::array::uniform2(0.0..0.05_f64),
        arbor in prop::option::of(0.002..0.03_f64), clearance in 0.0..0.3_f64,
            bore in prop::option::of(0.005..0.05_f64), longest_body in prop::option::of(0.005..0.1_f64),
        static_safety in 0.5..2.0_f64, standard in any::<bool>(), life in lives(),
    ) {
        // More is refused.
        prop_assume!(preload < 49.0 * 10.0_f64.powf(decades));
        let demand = TorsionDemand {
            legs, arbor, clearance_share: clearance, bore, longest_body, static_safety, life, coil_steps: 12,
            design_code: if standard { DesignCode::En13906 } else { DesignCode::Shigley },
            ..TorsionDemand::new(wires, 10.0_f64.powf(decades), preload, travel)
        };
        let sizing = search_torsion_springs(&demand).unwrap();
        let mut search = Search::default();
        for wire in &demand.wires {
            for d in wire.standard_diameters().iter().map(|d| d * 1e3) {
                let edges = [bore.map(|bore| bore * 1e3 - d), arbor.map(|arbor| arbor * 1e3 * (1.0 + clearance) + d)];
                let coils = coils(demand.index, d, demand.coil_steps, &edges);
                search.diameter(d, coils.into_iter().map(|mean| torsion(&demand, wire, d, mean)));
            }
        }
        let found: Vec<_> = sizing.found.iter().map(|found| (found.spring.mass(),
            [found.spring.spec().wire_diameter * 1e3, found.spring.mean_diameter() * 1e3])).collect();
        let nearest = sizing.nearest.map(|near| near.shortfalls[0].share);
        search.check(sizing.tried, sizing.fitting, &found, &sizing.rejected, nearest)?;
    }
}
