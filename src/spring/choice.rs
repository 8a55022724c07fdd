//! Which springs of a list do a job: one, two against each other, side by side or one behind the other.

use std::fmt;

use serde::Serialize;

use super::fatigue::{Cycle, Endurance};
use super::shortfall::{Misses, Shortfall, Tally};
use super::sizing::{LifeDemand, Sizing, interval};
use super::stock::{StockKind, StockList, StockSpring};
use crate::error::{Error, Result, within};

/// How many choices are kept: of a long list and a loose demand more fit than anyone looks at.
const MOST_FOUND: usize = 1000;

/// How springs work together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Arrangement {
    /// One spring.
    Single,
    /// Two that pull or push against each other, so that the control rests where their forces are equal. Neither goes slack within the travel.
    Opposed,
    /// Two side by side between the same points: forces add.
    Parallel,
    /// Two one behind the other: lengths add.
    Series,
}

impl Arrangement {
    /// Every one.
    pub const ALL: [Self; 4] = [Self::Single, Self::Opposed, Self::Parallel, Self::Series];
}

impl fmt::Display for Arrangement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Single => "single",
            Self::Opposed => "opposed",
            Self::Parallel => "parallel",
            Self::Series => "series",
        })
    }
}

/// What is wanted of springs from a list.
#[derive(Debug, Clone, PartialEq, Serialize)]
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
    /// What to try.
    pub arrangements: Vec<Arrangement>,
}

/// Springs from a list that do what is wanted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StockChoice {
    /// How they work together.
    pub arrangement: Arrangement,
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

/// A spring, what it does at the beginning of the travel, and how its own deflection moves.
struct Loaded<'a> {
    spring: &'a StockSpring,
    /// Deflection at the beginning of the travel, m.
    start: f64,
    /// Least and greatest deflection within the travel, m.
    least: f64,
    greatest: f64,
}

impl<'a> Loaded<'a> {
    /// From a start, by so much less and so much more.
    fn new(spring: &'a StockSpring, start: f64, less: f64, more: f64) -> Self {
        Self {
            spring,
            start,
            least: start - less,
            greatest: start + more,
        }
    }

    fn force_at(&self, deflection: f64) -> f64 {
        self.spring.initial_tension() + self.spring.rate() * deflection.max(0.0)
    }
}

/// Deflection at which a spring has a force; negative if its initial tension is more.
fn deflection_for(spring: &StockSpring, force: f64) -> f64 {
    (force - spring.initial_tension()) / spring.rate()
}

impl StockDemand {
    /// The springs of the list that do it, ranked: least departure of the rate first, each further spring counted as another percent.
    ///
    /// Where the length of the springs at the wanted force is outside [`room`](Self::room), they are held at its nearest end, if the force there is within
    /// its tolerance. Two springs of a pair may be the same one taken twice. All that fit are counted, the best thousand are kept.
    ///
    /// # Caution
    /// See [`StockList`]. What carries a foot must hold more than a kilonewton with the springs broken: give it stops of its own.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`], [`Error::NotAscending`] or [`Error::Count`] for a demand that makes no sense; [`Error::NotAChoice`] if a
    /// life is asked of springs whose wire is not known. That nothing fits is no error here; [`Sizing::best`] makes it one.
    pub fn choose(&self, list: &StockList) -> Result<Sizing<StockChoice>> {
        self.check()?;
        let springs = list.springs();
        let endurances: Vec<_> = springs
            .iter()
            .map(|spring| self.endurance(spring))
            .collect::<Result<_>>()?;
        let mut search = Search {
            demand: self,
            tally: Tally::default(),
            found: Vec::new(),
        };
        let both = || springs.iter().zip(&endurances);
        for arrangement in &self.arrangements {
            for (number, first) in both().enumerate() {
                match arrangement {
                    Arrangement::Single => search.single(first),
                    Arrangement::Opposed => {
                        both()
                            .skip(number)
                            .for_each(|second| search.opposed(first, second));
                    }
                    Arrangement::Parallel => {
                        both()
                            .skip(number)
                            .for_each(|second| search.parallel(first, second));
                    }
                    Arrangement::Series => {
                        both()
                            .skip(number)
                            .for_each(|second| search.series(first, second));
                    }
                }
            }
        }
        search.keep_the_best();
        Ok(Sizing::ranked(
            "arrangements of springs from the list",
            search.tally,
            search.found,
        ))
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
                max: Arrangement::ALL.len(),
            });
        }
        Ok(())
    }

    /// What a spring endures in shear and, with hooks, in bending; `None` if no life is asked for.
    fn endurance(&self, spring: &StockSpring) -> Result<Option<Wears>> {
        let Some(life) = self.life else {
            return Ok(None);
        };
        let wear = spring.wear().ok_or_else(|| Error::NotAChoice {
            quantity: "spring whose life is asked for",
            given: spring.name().to_owned(),
            choices: "springs of a list with the wire diameter and the wire's material".to_owned(),
        })?;
        let shear =
            Endurance::zimmerli(&wear.wire, wear.wire_diameter, life.surface, life.criterion)?;
        let bending = match wear.bending {
            None => None,
            Some(per_newton) => Some((per_newton, shear.in_bending(wear.tensile)?)),
        };
        let parts = [Some((wear.shear, shear)), bending];
        let mut wears = Vec::new();
        for (per_newton, endurance) in parts.into_iter().flatten() {
            let reversed = endurance.fully_reversed_at(life.cycles)?;
            wears.push((per_newton, endurance, reversed));
        }
        Ok(Some(wears))
    }
}

/// Stress for 1 N, what is endured, and that fully reversed for the cycles asked for: of each part of a spring.
type Wears = Vec<(f64, Endurance, f64)>;

type Candidate<'a> = (&'a StockSpring, &'a Option<Wears>);

struct Search<'a> {
    demand: &'a StockDemand,
    tally: Tally,
    found: Vec<(f64, StockChoice)>,
}

impl<'a> Search<'a> {
    fn single(&mut self, one: Candidate<'a>) {
        let demand = self.demand;
        let start = self.held(one.0, deflection_for(one.0, demand.force));
        let loaded = [Loaded::new(one.0, start, 0.0, demand.travel)];
        let force = loaded[0].force_at(start);
        self.judge(
            Arrangement::Single,
            &loaded,
            &[one.1],
            one.0.rate(),
            force,
            None,
        );
    }

    fn opposed(&mut self, one: Candidate<'a>, two: Candidate<'a>) {
        if one.0.kind() != two.0.kind() {
            return;
        }
        let demand = self.demand;
        let loaded = [one, two].map(|(spring, _)| {
            let start = deflection_for(spring, demand.force);
            Loaded::new(spring, start, demand.travel, demand.travel)
        });
        let rate = one.0.rate() + two.0.rate();
        let wears = [one.1, two.1];
        self.judge(
            Arrangement::Opposed,
            &loaded,
            &wears,
            rate,
            demand.force,
            None,
        );
    }

    fn parallel(&mut self, one: Candidate<'a>, two: Candidate<'a>) {
        if one.0.kind() != two.0.kind() {
            return;
        }
        let demand = self.demand;
        let rate = one.0.rate() + two.0.rate();
        // Deflection of the first at the common length at which the forces add up to the wanted one.
        let offset = match one.0.kind() {
            StockKind::Extension => one.0.free_length() - two.0.free_length(),
            StockKind::Compression => two.0.free_length() - one.0.free_length(),
        };
        let initial = one.0.initial_tension() + two.0.initial_tension();
        let start = (demand.force - initial - two.0.rate() * offset) / rate;
        let start = self.held(one.0, start);
        let loaded = [
            Loaded::new(one.0, start, 0.0, demand.travel),
            Loaded::new(two.0, start + offset, 0.0, demand.travel),
        ];
        let force = loaded[0].force_at(start) + loaded[1].force_at(start + offset);
        let length = one.0.length_at(start);
        self.judge(
            Arrangement::Parallel,
            &loaded,
            &[one.1, two.1],
            rate,
            force,
            Some(length),
        );
    }

    fn series(&mut self, one: Candidate<'a>, two: Candidate<'a>) {
        if one.0.kind() != two.0.kind() {
            return;
        }
        let demand = self.demand;
        let [stiff, soft] = [one.0.rate(), two.0.rate()];
        let rate = stiff * soft / (stiff + soft);
        let loaded = [one, two].map(|(spring, _)| {
            let start = deflection_for(spring, demand.force);
            Loaded::new(spring, start, 0.0, demand.travel * rate / spring.rate())
        });
        let length = loaded
            .iter()
            .map(|one| one.spring.length_at(one.start))
            .sum();
        let wears = [one.1, two.1];
        self.judge(
            Arrangement::Series,
            &loaded,
            &wears,
            rate,
            demand.force,
            Some(length),
        );
    }

    fn keep_the_best(&mut self) {
        // A stable sort, so that of equals the first in the list stay.
        self.found.sort_by(|a, b| a.0.total_cmp(&b.0));
        self.found.truncate(MOST_FOUND);
    }

    /// The deflection nearest to a wanted one at which the spring is loaded and held within the room.
    fn held(&self, spring: &StockSpring, deflection: f64) -> f64 {
        let [near, far] = self.demand.room.map(|length| match spring.kind() {
            StockKind::Extension => length - spring.free_length(),
            StockKind::Compression => spring.free_length() - length,
        });
        let (least, greatest) = (near.min(far), near.max(far));
        deflection.max(0.0).max(least).min(greatest.max(0.0))
    }

    /// `length`: between the points that hold all springs, if they share them.
    fn judge(
        &mut self,
        arrangement: Arrangement,
        loaded: &[Loaded<'a>],
        wears: &[&Option<Wears>],
        rate: f64,
        force: f64,
        length: Option<f64>,
    ) {
        let demand = self.demand;
        let mut misses = Misses::default();
        let departure = (rate / demand.rate - 1.0).abs();
        misses.most(Shortfall::Rate, departure, demand.rate_tolerance);
        let off = (force / demand.force - 1.0).abs();
        misses.most(Shortfall::Force, off, demand.force_tolerance);
        let own = || loaded.iter().map(|one| one.spring.length_at(one.start));
        let lengths: Vec<f64> = length.map_or_else(|| own().collect(), |length| vec![length]);
        for length in &lengths {
            misses.least(Shortfall::TooShort, *length, demand.room[0]);
            misses.most(Shortfall::TooLong, *length, demand.room[1]);
        }
        let mut use_of_travel: f64 = 0.0;
        for one in loaded {
            let stands = one.spring.greatest_deflection();
            misses.at_most(Shortfall::Bore, one.spring.outer_diameter(), demand.bore);
            misses.most(Shortfall::Travel, one.greatest, stands);
            misses.least(Shortfall::Slack, one.start, one.start - one.least);
            use_of_travel = use_of_travel.max(one.greatest / stands);
        }
        let mut safety: Option<f64> = None;
        for (one, wears) in loaded.iter().zip(wears) {
            for (per_newton, endurance, reversed) in wears.iter().flatten() {
                let stress = |deflection| per_newton * one.force_at(deflection);
                let cycle = Cycle::between(stress(one.least), stress(one.greatest));
                let own = cycle.map_or(0.0, |cycle| endurance.raw_safety(&cycle, *reversed));
                safety = Some(safety.map_or(own, |least| least.min(own)));
            }
        }
        if let (Some(safety), Some(life)) = (safety, &demand.life) {
            misses.least(Shortfall::Life, safety, life.safety);
        }
        if !misses.is_empty() {
            self.tally.reject(&misses);
            return;
        }
        self.tally.accept();
        let score = departure + 0.01 * (loaded.len() - 1) as f64;
        self.found.push((
            score,
            StockChoice {
                arrangement,
                springs: loaded.iter().map(|one| one.spring.clone()).collect(),
                rate,
                lengths,
                force,
                use_of_travel,
                life_safety: safety,
            },
        ));
        if self.found.len() >= 2 * MOST_FOUND {
            self.keep_the_best();
        }
    }
}
