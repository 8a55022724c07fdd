//! Which springs of a list do a job: one, two against each other, side by side or one behind the other.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, choices, within};
use crate::observer;
use crate::search::{ROUNDING, SearchResult, Shortfall, Shortfalls, Tally};
use crate::spring::helical::fatigue::{Cycle, Endurance};
use crate::spring::requirement;
use crate::spring::sizing::grid::interval;
use crate::spring::sizing::life::{LifeDemand, Wear};
use crate::spring::stock::list::{StockKind, StockList, StockSpring};

/// How many choices are kept: of a long list and a loose demand more fit than anyone looks at.
const MOST_FOUND: usize = 1000;

/// How springs work together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StockArrangement {
    /// One spring.
    Single,
    /// Two that pull or push against each other, so that the control rests where their forces are equal. Neither goes
    /// slack within the travel.
    Opposed,
    /// Two side by side between the same points: forces add.
    Parallel,
    /// Two one behind the other: lengths add.
    Series,
}

choices!(StockArrangement, "arrangement", {
    Single => "single",
    Opposed => "opposed",
    Parallel => "parallel",
    Series => "series",
});

/// What is wanted of springs from a list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StockDemand {
    /// Rate that the control shall feel along the springs' line, N/m: 1e-3 to 1e7.
    pub rate: f64,
    /// Share by which the rate may depart from that: 0 to 1.
    pub rate_tolerance: f64,
    /// Force at the beginning of the travel, N: of opposed springs the force in each at rest. 1e-3 to 1e5.
    pub force: f64,
    /// Share by which the force may depart from that: 0 to 10.
    pub force_tolerance: f64,
    /// How far the springs are stretched or pressed from there, m; opposed ones to either side.
    pub travel: f64,
    /// Least and greatest distance between the points that hold them, at the beginning of the travel, m.
    pub room: [f64; 2],
    /// The greatest outer diameter that fits, m, if there is a limit.
    pub bore: Option<f64>,
    /// How long they shall last; `None` if they are moved seldom.
    pub life: Option<LifeDemand>,
    /// What to try; one that is named twice is tried once.
    pub arrangements: Vec<StockArrangement>,
}

/// Springs from a list that do what is wanted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct StockChoice {
    /// How they work together.
    pub arrangement: StockArrangement,
    /// The spring, or the two of them.
    pub springs: Vec<StockSpring>,
    /// Rate that the control feels, N/m.
    pub rate: f64,
    /// Distance of the points that hold them at the beginning of the travel, m; of opposed springs each has its own.
    pub lengths: Vec<f64>,
    /// Force at the beginning of the travel, N.
    pub force: f64,
    /// Share of the deflection that they stand which the end of the travel uses, of the one that uses more.
    pub use_of_travel: f64,
    /// Safety against breaking within the cycles asked for, if a life was.
    pub life_safety: Option<f64>,
}

/// The springs of a list that do what is wanted, ranked: least departure of the rate first, each further spring counted
/// as another percent.
///
/// Within its tolerance the force at the beginning is free: of all that keep the room, the travel and the life the one
/// nearest to the wanted force is taken. Two springs of a pair may be the same one taken twice. All that fit are
/// counted, the best thousand are kept, in the order of the list where they are equal.
///
/// Of a spring or pair that has another rate nothing else is counted, and [`SearchResult::nearest`] looks only at those
/// of them whose rate comes nearest. The springs are sorted by rate, so that the work grows with the number of pairs of
/// the wanted rate.
///
/// # Caution
/// See [`StockList`]. What carries a foot must hold more than a kilonewton with the springs broken: give it stops of
/// its own.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`], [`Error::NotAscending`] or [`Error::Count`] for a demand that makes no
/// sense; [`Error::NotAChoice`] if a life is asked of springs whose wire is not known or not of steel. A wire to which
/// the data on life do not apply fails in its life. That nothing fits is no error here; [`SearchResult::best`] makes it
/// one.
pub fn search_stock(list: &StockList, demand: &StockDemand) -> Result<SearchResult<StockChoice>> {
    demand.check()?;
    let springs = list.springs();
    let lives: Vec<_> = springs
        .iter()
        .map(|spring| demand.life_of(spring))
        .collect::<Result<_>>()?;
    let all = springs.iter().zip(&lives).enumerate();
    let all = all.map(|(number, (spring, life))| Candidate {
        number,
        spring,
        life,
    });
    let mut by_rate: Vec<_> = all.collect();
    by_rate.sort_by(|a, b| a.spring.rate().total_cmp(&b.spring.rate()));
    let of_kind = |kind| {
        let own = by_rate.iter().filter(move |one| one.spring.kind() == kind);
        own.copied().collect::<Vec<_>>()
    };
    let kinds = [StockKind::Extension, StockKind::Compression].map(of_kind);
    let mut search = Search {
        demand,
        tally: Tally::default(),
        found: Vec::new(),
    };
    for (turn, arrangement) in demand.arrangements.iter().enumerate() {
        if demand
            .arrangements
            .iter()
            .take(turn)
            .any(|earlier| earlier == arrangement)
        {
            continue;
        }
        for springs in &kinds {
            search.arrange(turn, *arrangement, springs)?;
        }
    }
    search.keep_the_best();
    let Search { tally, found, .. } = search;
    let found = found.into_iter().map(|held| (held.score, held.choice()));
    Ok(tally.result("arrangements of springs from the list", found.collect()))
}

impl StockDemand {
    /// Rate and force to a tenth, in any arrangement, for springs of any diameter that are moved seldom.
    #[must_use]
    pub fn new(rate: f64, force: f64, travel: f64, room: [f64; 2]) -> Self {
        Self {
            rate,
            rate_tolerance: 0.1,
            force,
            force_tolerance: 0.1,
            travel,
            room,
            bore: None,
            life: None,
            arrangements: StockArrangement::ALL.to_vec(),
        }
    }

    fn check(&self) -> Result<()> {
        within("wanted rate", self.rate, 1e-3, 1e7, "N/m")?;
        within(
            "tolerance of the rate",
            self.rate_tolerance,
            0.0,
            1.0,
            "(no unit)",
        )?;
        within("wanted force", self.force, 1e-3, 1e5, "N")?;
        within(
            "tolerance of the force",
            self.force_tolerance,
            0.0,
            10.0,
            "(no unit)",
        )?;
        within("travel of the springs", self.travel, 1e-5, 5.0, "m")?;
        interval("room for the springs", self.room, 0.0, 10.0, "m")?;
        if let Some(bore) = self.bore {
            within("bore for the springs", bore, 1e-4, 1.0, "m")?;
        }
        if let Some(life) = &self.life {
            life.check()?;
        }
        if self.arrangements.is_empty() {
            return Err(Error::Count {
                quantity: "arrangements to try",
                count: 0,
                min: 1,
                max: StockArrangement::ALL.len(),
            });
        }
        Ok(())
    }

    /// What a spring endures in shear and, with hooks, in bending.
    fn life_of(&self, spring: &StockSpring) -> Result<Life> {
        let parts = |life: LifeDemand| -> Result<Vec<WearingPart>> {
            let wear = spring.wear().ok_or_else(|| Error::NotAChoice {
                quantity: "spring whose life is asked for",
                given: spring.name().to_owned(),
                choices: "springs of a list with the wire diameter and the wire's material"
                    .to_owned(),
            })?;
            let shear =
                Endurance::zimmerli(&wear.wire, wear.wire_diameter, life.surface, life.criterion)?;
            let mut parts = vec![(wear.shear, shear)];
            if let Some(per_newton) = wear.bending {
                parts.push((per_newton, shear.in_bending(wear.tensile)?));
            }
            let parts = parts.into_iter().map(|(per_newton, endurance)| {
                Ok(WearingPart {
                    per_newton,
                    endurance,
                    reversed: endurance.fully_reversed_at(life.cycles)?,
                })
            });
            parts.collect()
        };
        // Data that do not hold for a wire make it fail; of what is not known to be steel there is nothing to be said.
        let mut unknown = None;
        let life = Wear::new(self.life, |life| {
            parts(life).inspect_err(|error| {
                unknown = matches!(error, Error::NotAChoice { .. }).then(|| error.clone());
            })
        });
        unknown.map_or(Ok(life), Err)
    }
}

/// How the life of a spring is judged: by its body and the bend of its hook.
type Life = Wear<Vec<WearingPart>>;

/// A part of a spring that wears: its body, or the bend of its hook.
struct WearingPart {
    /// Stress for 1 N, Pa.
    per_newton: f64,
    endurance: Endurance,
    /// What is endured fully reversed for the cycles asked for, Pa.
    reversed: f64,
}

/// A spring of the list, by its place there.
#[derive(Clone, Copy)]
struct Candidate<'a> {
    number: usize,
    spring: &'a StockSpring,
    life: &'a Life,
}

impl StockArrangement {
    /// Rate that the control feels, N/m, of springs with these rates; of a single spring the second is left aside.
    fn rate(self, one: f64, two: f64) -> f64 {
        match self {
            Self::Single => one,
            Self::Opposed | Self::Parallel => one + two,
            Self::Series => one * two / (one + two),
        }
    }
}

/// A spring of an arrangement: its own deflection grows in proportion to the force of the arrangement at the beginning
/// of the travel.
struct Placed<'a> {
    spring: &'a StockSpring,
    life: &'a Life,
    /// Force of the arrangement at which this spring begins to deflect, N.
    base: f64,
    /// Force of the arrangement for a deflection of this spring, N/m.
    stiffness: f64,
    /// How far the travel takes it back and on from its deflection at the beginning, m.
    less: f64,
    more: f64,
}

impl Placed<'_> {
    fn deflection(&self, force: f64) -> f64 {
        (force - self.base) / self.stiffness
    }

    /// Force of the arrangement at which this spring has a deflection.
    fn force_for(&self, deflection: f64) -> f64 {
        self.base + self.stiffness * deflection
    }

    /// Its own force.
    fn force_at(&self, deflection: f64) -> f64 {
        self.spring.initial_tension() + self.spring.rate() * deflection.max(0.0)
    }

    /// Deflections at the two ends of the travel.
    fn ends(&self, force: f64) -> [f64; 2] {
        let start = self.deflection(force);
        [start - self.less, start + self.more]
    }

    /// Forces of the arrangement between which this spring lies within two lengths.
    fn forces_within(&self, [shortest, longest]: [f64; 2]) -> [f64; 2] {
        let free = self.spring.free_length();
        let deflections = match self.spring.kind() {
            StockKind::Extension => [shortest - free, longest - free],
            StockKind::Compression => [free - longest, free - shortest],
        };
        deflections.map(|deflection| self.force_for(deflection))
    }

    /// The greatest force of the arrangement that lets it last.
    fn lasting(&self, safety: f64) -> f64 {
        let (rate, initial) = (self.spring.rate(), self.spring.initial_tension());
        let swing = 0.5 * rate * (self.less + self.more);
        let most = self.life.endurance().into_iter().flatten().map(|part| {
            let alternating = part.per_newton * swing;
            let mean = part
                .endurance
                .greatest_mean(alternating, part.reversed, safety);
            // Mean force of the cycle, and the deflection at the beginning that belongs to it.
            let deflection = (mean / part.per_newton - initial - swing) / rate + self.less;
            self.force_for(deflection)
        });
        most.fold(f64::INFINITY, f64::min)
    }

    /// Safety against breaking of the part that breaks first, if a life was asked for.
    fn life_safety(&self, force: f64) -> Option<f64> {
        let [least, greatest] = self.ends(force);
        self.life.safety(|parts| {
            let mut safeties = parts.iter().map(|part| {
                let stress = |deflection| part.per_newton * self.force_at(deflection);
                let cycle = Cycle::between(stress(least), stress(greatest))?;
                Ok(part.endurance.raw_safety(&cycle, part.reversed))
            });
            safeties.try_fold(f64::INFINITY, |least, safety| Ok(least.min(safety?)))
        })
    }
}

/// What an arrangement does, held so that it has a force at the beginning of the travel.
#[derive(Clone, Copy)]
struct Figures {
    force: f64,
    /// Of each spring, or of both together.
    lengths: [f64; 2],
    use_of_travel: f64,
    life_safety: Option<f64>,
}

/// An arrangement, held as it would be used.
struct Held<'a> {
    score: f64,
    /// Which arrangement of those to try, and which springs of the list: decides between equals.
    order: (usize, [usize; 2]),
    arrangement: StockArrangement,
    springs: [&'a StockSpring; 2],
    rate: f64,
    figures: Figures,
}

impl Held<'_> {
    fn choice(&self) -> StockChoice {
        let (springs, lengths) = match self.arrangement {
            StockArrangement::Single => (1, 1),
            StockArrangement::Opposed => (2, 2),
            StockArrangement::Parallel | StockArrangement::Series => (2, 1),
        };
        let Figures {
            force,
            use_of_travel,
            life_safety,
            ..
        } = self.figures;
        StockChoice {
            arrangement: self.arrangement,
            springs: self.springs.into_iter().take(springs).cloned().collect(),
            rate: self.rate,
            lengths: self.figures.lengths.into_iter().take(lengths).collect(),
            force,
            use_of_travel,
            life_safety,
        }
    }
}

struct Search<'a> {
    demand: &'a StockDemand,
    tally: Tally<StockChoice>,
    found: Vec<Held<'a>>,
}

impl<'a> Search<'a> {
    /// Tries all springs or pairs of one kind, which come sorted by rate. `turn`: which arrangement of those to try
    /// this is.
    fn arrange(
        &mut self,
        turn: usize,
        arrangement: StockArrangement,
        springs: &[Candidate<'a>],
    ) -> Result<()> {
        let demand = self.demand;
        let mut unseen = 0;
        // A little wider than the tolerance, so that rounding leaves nothing out; all inside are judged.
        let off = demand.rate_tolerance * (1.0 + ROUNDING) + ROUNDING;
        let softest = demand.rate * (1.0 - off);
        let stiffest = demand.rate * (1.0 + off);
        for (place, one) in springs.iter().enumerate() {
            observer::check()?;
            let partners = match arrangement {
                StockArrangement::Single => springs.get(place..=place),
                _ => springs.get(place..),
            };
            let partners = partners.unwrap_or_default();
            let rate = |two: &Candidate<'_>| arrangement.rate(one.spring.rate(), two.spring.rate());
            let first = partners.partition_point(|two| rate(two) < softest);
            let last = partners.partition_point(|two| rate(two) <= stiffest);
            // The neighbors on either side are those that miss the rate by least.
            let near = partners
                .get(first.saturating_sub(1)..partners.len().min(last + 1))
                .unwrap_or_default();
            for two in near {
                // As they stand in the list.
                let pair = if one.number <= two.number {
                    [*one, *two]
                } else {
                    [*two, *one]
                };
                self.judge(turn, arrangement, pair);
            }
            unseen += partners.len() - near.len();
        }
        self.tally.reject_more(requirement::RATE, unseen);
        Ok(())
    }

    fn judge(&mut self, turn: usize, arrangement: StockArrangement, pair: [Candidate<'a>; 2]) {
        let demand = self.demand;
        let [one, two] = pair;
        let rate = arrangement.rate(one.spring.rate(), two.spring.rate());
        let both = placed(arrangement, pair, rate, demand.travel);
        let placed = match arrangement {
            StockArrangement::Single => both.get(..1),
            _ => both.get(..),
        };
        let placed = placed.unwrap_or_default();
        let force = demand.place(arrangement, placed);
        let figures = figures(arrangement, placed, force);
        let departure = (rate / demand.rate - 1.0).abs();
        let shortfalls = demand.shortfalls(placed, departure, &figures);
        let held = Held {
            score: departure + 0.01 * (placed.len() - 1) as f64,
            order: (turn, [one.number, two.number]),
            arrangement,
            springs: [one.spring, two.spring],
            rate,
            figures,
        };
        if shortfalls.of(requirement::RATE).is_some() {
            self.tally
                .reject_for(requirement::RATE, shortfalls, || Some(held.choice()));
            return;
        }
        if !shortfalls.is_empty() {
            self.tally.reject(shortfalls, || Some(held.choice()));
            return;
        }
        self.tally.accept();
        self.found.push(held);
        if self.found.len() >= 2 * MOST_FOUND {
            self.keep_the_best();
        }
    }

    fn keep_the_best(&mut self) {
        self.found
            .sort_by(|a, b| a.score.total_cmp(&b.score).then(a.order.cmp(&b.order)));
        self.found.truncate(MOST_FOUND);
    }
}

/// The two springs in their arrangement; a single spring stands first.
fn placed(
    arrangement: StockArrangement,
    pair: [Candidate<'_>; 2],
    rate: f64,
    travel: f64,
) -> [Placed<'_>; 2] {
    let [one, two] = pair.map(|one| one.spring);
    let initial = one.initial_tension() + two.initial_tension();
    // Side by side: how much further the second is deflected than the first.
    let further = match one.kind() {
        StockKind::Extension => one.free_length() - two.free_length(),
        StockKind::Compression => two.free_length() - one.free_length(),
    };
    let bases = match arrangement {
        StockArrangement::Parallel => [
            initial + two.rate() * further,
            initial - one.rate() * further,
        ],
        _ => [one.initial_tension(), two.initial_tension()],
    };
    let mut bases = bases.into_iter();
    pair.map(|Candidate { spring, life, .. }| Placed {
        spring,
        life,
        base: bases.next().unwrap_or_default(),
        stiffness: match arrangement {
            StockArrangement::Parallel => rate,
            _ => spring.rate(),
        },
        less: match arrangement {
            StockArrangement::Opposed => travel,
            _ => 0.0,
        },
        more: match arrangement {
            StockArrangement::Series => travel * rate / spring.rate(),
            _ => travel,
        },
    })
}

fn figures(arrangement: StockArrangement, placed: &[Placed<'_>], force: f64) -> Figures {
    let mut own = placed
        .iter()
        .map(|one| one.spring.length_at(one.deflection(force)));
    let first = own.next().unwrap_or_default();
    let second = own.next().unwrap_or(first);
    let lengths = match arrangement {
        StockArrangement::Single | StockArrangement::Opposed => [first, second],
        StockArrangement::Parallel => [first; 2],
        StockArrangement::Series => [first + second; 2],
    };
    let shares = placed
        .iter()
        .map(|one| one.ends(force)[1] / one.spring.max_deflection());
    let safeties = placed.iter().filter_map(|one| one.life_safety(force));
    Figures {
        force,
        lengths,
        use_of_travel: shares.fold(0.0, f64::max),
        life_safety: safeties.reduce(f64::min),
    }
}

impl StockDemand {
    /// Force at the beginning of the travel that keeps all limits and is nearest to the wanted one; if none keeps them,
    /// what keeps the springs in their room and loaded.
    fn place(&self, arrangement: StockArrangement, placed: &[Placed<'_>]) -> f64 {
        let (mut least, mut most) = (f64::NEG_INFINITY, f64::INFINITY);
        let mut narrow = |[lower, upper]: [f64; 2]| {
            least = least.max(lower);
            most = most.min(upper);
            [least, most]
        };
        match arrangement {
            StockArrangement::Single | StockArrangement::Opposed => {
                for one in placed {
                    narrow(one.forces_within(self.room));
                }
            }
            StockArrangement::Parallel => {
                for one in placed.iter().take(1) {
                    narrow(one.forces_within(self.room));
                }
            }
            StockArrangement::Series => {
                narrow(forces_in_series(placed, self.room));
            }
        }
        let mut held = narrow([f64::NEG_INFINITY, f64::INFINITY]);
        for one in placed {
            held = narrow([one.force_for(one.less), f64::INFINITY]);
        }
        let safety = self.life.map_or(0.0, |life| life.safety);
        for one in placed {
            let stands = one.spring.max_deflection() - one.more;
            narrow([
                f64::NEG_INFINITY,
                one.force_for(stands).min(one.lasting(safety)),
            ]);
        }
        let near = |share: f64| self.force * (1.0 + share);
        let [least, most] = narrow([-self.force_tolerance, self.force_tolerance].map(near));
        if least <= most {
            return self.force.clamp(least, most);
        }
        // Limits that meet in one force, but for rounding.
        if least - most <= ROUNDING * self.force {
            return 0.5 * (least + most);
        }
        let [least, most] = held;
        if least <= most {
            self.force.clamp(least, most)
        } else {
            self.force
        }
    }

    /// What an arrangement fails in, by the figures that are returned.
    fn shortfalls(&self, placed: &[Placed<'_>], departure: f64, figures: &Figures) -> Shortfalls {
        let mut shortfalls = Shortfalls::default();
        let off = (figures.force / self.force - 1.0).abs();
        for (requirement, departure, tolerance) in [
            (requirement::RATE, departure, self.rate_tolerance),
            (requirement::FORCE, off, self.force_tolerance),
        ] {
            // A share itself, to be compared as it is.
            if departure > tolerance + ROUNDING * (1.0 + tolerance) {
                shortfalls.push(Shortfall::by(requirement, departure, tolerance, 1.0));
            }
        }
        let [one, two] = figures.lengths;
        shortfalls.at_least(requirement::TOO_SHORT, one.min(two), self.room[0]);
        shortfalls.at_most(requirement::TOO_LONG, one.max(two), self.room[1]);
        for one in placed {
            let (spring, end) = (one.spring, one.ends(figures.force)[1]);
            shortfalls.at_most(requirement::BORE, spring.outer_diameter(), self.bore);
            let (start, most) = (one.deflection(figures.force), spring.max_deflection());
            shortfalls.at_most(requirement::TRAVEL, end, most);
            shortfalls.at_least_of(requirement::SLACK, start, one.less, most + one.less);
        }
        if let (Some(safety), Some(life)) = (figures.life_safety, &self.life) {
            shortfalls.at_least(requirement::LIFE, safety, life.safety);
        }
        shortfalls
    }
}

/// Forces between which springs one behind the other have lengths that add up to one of two.
fn forces_in_series(placed: &[Placed<'_>], [shortest, longest]: [f64; 2]) -> [f64; 2] {
    let compliance: f64 = placed.iter().map(|one| 1.0 / one.stiffness).sum();
    // As if no force were needed to begin: the length at a force of zero.
    let length: f64 = placed
        .iter()
        .map(|one| one.spring.length_at(one.deflection(0.0)))
        .sum();
    let pull = placed
        .iter()
        .all(|one| one.spring.kind() == StockKind::Extension);
    if pull {
        [shortest - length, longest - length].map(|by| by / compliance)
    } else {
        [length - longest, length - shortest].map(|by| by / compliance)
    }
}
