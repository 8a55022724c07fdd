//! What the candidates of a search fail in, how many, and how near the nearest came.

use std::fmt;

use serde::Serialize;

/// Share by which a figure may miss its limit: what a design made to meet it exactly loses by rounding.
const ROUNDING: f64 = 1e-9;

/// What a candidate can fail in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub enum Shortfall {
    /// Too wide for the bore.
    Bore,
    /// Too narrow for the rod.
    Rod,
    /// Too few active turns.
    FewTurns,
    /// Too many active turns.
    ManyTurns,
    /// Loose at the beginning of the travel.
    Loose,
    /// Too long without load.
    FreeLength,
    /// Too long when pressed solid.
    SolidLength,
    /// Coils too close at the end of the travel.
    Clash,
    /// Yields when pressed solid.
    Solid,
    /// Buckles within the travel.
    Buckling,
    /// Breaks too early.
    Life,
}

impl Shortfall {
    /// Every one.
    pub const ALL: [Self; 11] = [
        Self::Bore,
        Self::Rod,
        Self::FewTurns,
        Self::ManyTurns,
        Self::Loose,
        Self::FreeLength,
        Self::SolidLength,
        Self::Clash,
        Self::Solid,
        Self::Buckling,
        Self::Life,
    ];

    /// The quantity that falls short, and its unit.
    #[must_use]
    pub fn quantity(self) -> (&'static str, &'static str) {
        match self {
            Self::Bore => ("outer diameter pressed solid", "m"),
            Self::Rod => ("inner diameter", "m"),
            Self::FewTurns | Self::ManyTurns => ("active turns", "turns"),
            Self::Loose => ("length at the beginning of the travel", "m"),
            Self::FreeLength => ("free length", "m"),
            Self::SolidLength => ("solid length", "m"),
            Self::Clash => ("clash allowance", "(no unit)"),
            Self::Solid => ("safety when pressed solid", "(no unit)"),
            Self::Buckling => ("deflection that buckles it", "m"),
            Self::Life => ("safety against breaking", "(no unit)"),
        }
    }

    /// Whether the limit is the greatest value allowed, and not the least.
    #[must_use]
    pub fn is_upper(self) -> bool {
        matches!(
            self,
            Self::Bore | Self::ManyTurns | Self::Loose | Self::FreeLength | Self::SolidLength
        )
    }
}

impl fmt::Display for Shortfall {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Bore => "too wide for the bore",
            Self::Rod => "too narrow for the rod",
            Self::FewTurns => "too few active turns",
            Self::ManyTurns => "too many active turns",
            Self::Loose => "loose at the beginning of the travel",
            Self::FreeLength => "too long without load",
            Self::SolidLength => "too long when pressed solid",
            Self::Clash => "coils too close at the end of the travel",
            Self::Solid => "yields when pressed solid",
            Self::Buckling => "buckles within the travel",
            Self::Life => "breaks too early",
        })
    }
}

/// A figure that misses its limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Miss {
    /// In what.
    pub shortfall: Shortfall,
    /// The figure.
    pub value: f64,
    /// Its limit.
    pub limit: f64,
}

impl Miss {
    /// By what share of the limit the figure misses it.
    fn share(&self) -> f64 {
        let difference = if self.shortfall.is_upper() {
            self.value - self.limit
        } else {
            self.limit - self.value
        };
        difference / self.limit.abs().max(f64::MIN_POSITIVE)
    }
}

/// How many candidates failed in one thing, and how near the nearest of them came.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Rejection {
    /// How many. One that fails in several things counts in each.
    pub count: usize,
    /// The one that missed by least.
    pub nearest: Miss,
}

/// All that one candidate fails in.
#[derive(Default)]
pub(super) struct Misses {
    all: [Option<Miss>; Shortfall::ALL.len()],
}

impl Misses {
    pub(super) fn least(&mut self, shortfall: Shortfall, value: f64, limit: f64) {
        if value < limit - ROUNDING * limit.abs() || value.is_nan() {
            self.note(shortfall, value, limit);
        }
    }

    pub(super) fn most(&mut self, shortfall: Shortfall, value: f64, limit: f64) {
        if value > limit + ROUNDING * limit.abs() || value.is_nan() {
            self.note(shortfall, value, limit);
        }
    }

    pub(super) fn at_least(&mut self, shortfall: Shortfall, value: f64, limit: Option<f64>) {
        if let Some(limit) = limit {
            self.least(shortfall, value, limit);
        }
    }

    pub(super) fn at_most(&mut self, shortfall: Shortfall, value: f64, limit: Option<f64>) {
        if let Some(limit) = limit {
            self.most(shortfall, value, limit);
        }
    }

    pub(super) fn note(&mut self, shortfall: Shortfall, value: f64, limit: f64) {
        self.all[shortfall as usize] = Some(Miss {
            shortfall,
            value,
            limit,
        });
    }

    pub(super) fn is_empty(&self) -> bool {
        self.all.iter().all(Option::is_none)
    }
}

/// Counts, by what candidates fail in.
#[derive(Default)]
pub(super) struct Tally {
    pub(super) tried: usize,
    pub(super) fitting: usize,
    pub(super) rejected: [Option<Rejection>; Shortfall::ALL.len()],
    /// The candidate whose worst miss is least: by which share, and that miss.
    pub(super) nearest: Option<(f64, Miss)>,
}

impl Tally {
    pub(super) fn accept(&mut self) {
        self.tried += 1;
        self.fitting += 1;
    }

    pub(super) fn reject(&mut self, misses: &Misses) {
        self.tried += 1;
        let mut worst: Option<(f64, Miss)> = None;
        for (slot, miss) in self.rejected.iter_mut().zip(&misses.all) {
            let Some(miss) = miss else { continue };
            Self::count(slot, 1, *miss);
            let share = miss.share();
            if worst.is_none_or(|(most, _)| share > most) {
                worst = Some((share, *miss));
            }
        }
        self.approach(worst);
    }

    fn count(slot: &mut Option<Rejection>, count: usize, miss: Miss) {
        match slot {
            Some(rejection) => {
                rejection.count += count;
                if miss.share() < rejection.nearest.share() {
                    rejection.nearest = miss;
                }
            }
            None => {
                *slot = Some(Rejection {
                    count,
                    nearest: miss,
                });
            }
        }
    }

    fn approach(&mut self, other: Option<(f64, Miss)>) {
        if let Some((share, _)) = other
            && self.nearest.is_none_or(|(least, _)| share < least)
        {
            self.nearest = other;
        }
    }

    pub(super) fn add(&mut self, other: &Self) {
        self.tried += other.tried;
        self.fitting += other.fitting;
        for (slot, rejection) in self.rejected.iter_mut().zip(&other.rejected) {
            if let Some(rejection) = rejection {
                Self::count(slot, rejection.count, rejection.nearest);
            }
        }
        self.approach(other.nearest);
    }
}
