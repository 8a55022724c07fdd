//! What the candidates of a search fail in, how many, and how near the nearest came.

use std::fmt;

use serde::Serialize;

/// Share by which a figure may miss its limit: what a design made to meet it exactly loses by rounding.
pub(in crate::spring) const ROUNDING: f64 = 1e-9;

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
    /// Yields at the end of the travel.
    Yield,
    /// Asks for less force at the beginning of the travel than the least initial tension that is usual.
    InitialTension,
    /// Closes on its arbor.
    Arbor,
    /// Another rate than wanted.
    Rate,
    /// Another force at the beginning of the travel than wanted.
    Force,
    /// Too short for where it is held.
    TooShort,
    /// Too long for where it is held.
    TooLong,
    /// Goes slack within the travel.
    Slack,
    /// Stretched or pressed further than it stands.
    Travel,
}

impl Shortfall {
    /// Every one.
    pub const ALL: [Self; 20] = [
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
        Self::Yield,
        Self::InitialTension,
        Self::Arbor,
        Self::Rate,
        Self::Force,
        Self::TooShort,
        Self::TooLong,
        Self::Slack,
        Self::Travel,
    ];

    /// The quantity that falls short, and its unit.
    #[must_use]
    pub fn quantity(self) -> (&'static str, &'static str) {
        match self {
            Self::Bore => ("greatest outer diameter", "m"),
            Self::Rod => ("inner diameter", "m"),
            Self::FewTurns | Self::ManyTurns => ("active turns", "turns"),
            Self::Loose => ("length at the beginning of the travel", "m"),
            Self::FreeLength => ("free length", "m"),
            Self::SolidLength => ("solid length", "m"),
            Self::Clash => ("clash allowance", "(no unit)"),
            Self::Solid => ("safety when pressed solid", "(no unit)"),
            Self::Buckling => ("deflection that buckles it", "m"),
            Self::Life => ("safety against breaking", "(no unit)"),
            Self::Yield => (
                "safety against yielding at the end of the travel",
                "(no unit)",
            ),
            Self::InitialTension => ("initial tension", "N"),
            Self::Arbor => ("inner diameter at the end of the travel", "m"),
            Self::Rate => (
                "share by which the rate departs from the wanted one",
                "(no unit)",
            ),
            Self::Force => (
                "share by which the force departs from the wanted one",
                "(no unit)",
            ),
            Self::TooShort | Self::TooLong => ("length at the beginning of the travel", "m"),
            Self::Slack => ("deflection at the beginning of the travel", "m"),
            Self::Travel => ("deflection at the end of the travel", "m"),
        }
    }

    /// Whether the limit is the greatest value allowed, and not the least.
    #[must_use]
    pub fn is_upper(self) -> bool {
        matches!(
            self,
            Self::Bore
                | Self::ManyTurns
                | Self::Loose
                | Self::FreeLength
                | Self::SolidLength
                | Self::InitialTension
                | Self::Rate
                | Self::Force
                | Self::TooLong
                | Self::Travel
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
            Self::Yield => "yields at the end of the travel",
            Self::InitialTension => "too little force for the usual initial tension",
            Self::Arbor => "closes on its arbor",
            Self::Rate => "another rate",
            Self::Force => "another force",
            Self::TooShort => "too short for where it is held",
            Self::TooLong => "too long for where it is held",
            Self::Slack => "goes slack within the travel",
            Self::Travel => "stretched or pressed further than it stands",
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
    /// By what share the figure misses its limit: of the limit, or of the figure where the limit is zero.
    fn share(&self) -> f64 {
        let difference = if self.shortfall.is_upper() {
            self.value - self.limit
        } else {
            self.limit - self.value
        };
        match self.shortfall {
            // Shares of what is wanted themselves.
            Shortfall::Rate | Shortfall::Force => difference,
            _ if self.limit == 0.0 => difference / self.value.abs().max(f64::MIN_POSITIVE),
            _ => difference / self.limit.abs(),
        }
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
pub(in crate::spring) struct Misses {
    all: [Option<Miss>; Shortfall::ALL.len()],
}

impl Misses {
    pub(in crate::spring) fn least(&mut self, shortfall: Shortfall, value: f64, limit: f64) {
        self.least_of(shortfall, value, limit, limit.abs());
    }

    pub(in crate::spring) fn most(&mut self, shortfall: Shortfall, value: f64, limit: f64) {
        self.most_of(shortfall, value, limit, limit.abs());
    }

    /// As [`least`](Self::least), of a figure that is computed from others as large as `scale`: the limit itself may be zero.
    pub(in crate::spring) fn least_of(
        &mut self,
        shortfall: Shortfall,
        value: f64,
        limit: f64,
        scale: f64,
    ) {
        if value < limit - ROUNDING * scale || value.is_nan() {
            self.note(shortfall, value, limit);
        }
    }

    /// As [`most`](Self::most), of a figure that is computed from others as large as `scale`: the limit itself may be zero.
    pub(in crate::spring) fn most_of(
        &mut self,
        shortfall: Shortfall,
        value: f64,
        limit: f64,
        scale: f64,
    ) {
        if value > limit + ROUNDING * scale || value.is_nan() {
            self.note(shortfall, value, limit);
        }
    }

    pub(in crate::spring) fn at_least(
        &mut self,
        shortfall: Shortfall,
        value: f64,
        limit: Option<f64>,
    ) {
        if let Some(limit) = limit {
            self.least(shortfall, value, limit);
        }
    }

    pub(in crate::spring) fn at_most(
        &mut self,
        shortfall: Shortfall,
        value: f64,
        limit: Option<f64>,
    ) {
        if let Some(limit) = limit {
            self.most(shortfall, value, limit);
        }
    }

    pub(in crate::spring) fn note(&mut self, shortfall: Shortfall, value: f64, limit: f64) {
        self.all[shortfall as usize] = Some(Miss {
            shortfall,
            value,
            limit,
        });
    }

    /// These, or if there are none yet this one: what could not even be built.
    pub(in crate::spring) fn or(mut self, shortfall: Shortfall, value: f64, limit: f64) -> Self {
        if self.is_empty() {
            self.note(shortfall, value, limit);
        }
        self
    }

    pub(in crate::spring) fn is_empty(&self) -> bool {
        self.all.iter().all(Option::is_none)
    }

    pub(in crate::spring) fn has(&self, shortfall: Shortfall) -> bool {
        self.all[shortfall as usize].is_some()
    }

    /// The one that misses by most, and its share.
    fn worst(&self) -> Option<(f64, Miss)> {
        let mut worst: Option<(f64, Miss)> = None;
        for miss in self.all.iter().flatten() {
            let share = miss.share();
            if worst.is_none_or(|(most, _)| share > most) {
                worst = Some((share, *miss));
            }
        }
        worst
    }
}

/// Counts, by what candidates fail in.
#[derive(Default)]
pub(in crate::spring) struct Tally {
    pub(in crate::spring) tried: usize,
    pub(in crate::spring) fitting: usize,
    pub(in crate::spring) rejected: [Option<Rejection>; Shortfall::ALL.len()],
    /// The candidate whose worst miss is least: by which share, and that miss.
    pub(in crate::spring) nearest: Option<(f64, Miss)>,
}

impl Tally {
    pub(in crate::spring) fn accept(&mut self) {
        self.tried += 1;
        self.fitting += 1;
    }

    pub(in crate::spring) fn reject(&mut self, misses: &Misses) {
        self.tried += 1;
        for (slot, miss) in self.rejected.iter_mut().zip(&misses.all) {
            if let Some(miss) = miss {
                Self::count(slot, 1, *miss);
            }
        }
        self.approach(misses.worst());
    }

    /// Counts a candidate for one of its failings alone.
    pub(in crate::spring) fn reject_for(&mut self, shortfall: Shortfall, misses: &Misses) {
        self.tried += 1;
        if let Some(miss) = misses.all[shortfall as usize] {
            Self::count(&mut self.rejected[shortfall as usize], 1, miss);
        }
        self.approach(misses.worst());
    }

    /// Counts candidates that fail in what others were counted for already, by more than those.
    pub(in crate::spring) fn reject_more(&mut self, shortfall: Shortfall, count: usize) {
        self.tried += count;
        if let Some(rejection) = &mut self.rejected[shortfall as usize] {
            rejection.count += count;
        }
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

    pub(in crate::spring) fn add(&mut self, other: &Self) {
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
