//! What acts between two points along the line that joins them.
//!
//! The force is the derivative of an energy: tension = dU/d(length).

use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, within};
use crate::observer;
use crate::spring::law::response::{
    BLOCK, LinearSpringState, OnLine, SpringAction, SpringResponse, SpringResponses, limits,
    straight,
};
use crate::spring::law::table::ForceTable;
use crate::stored::stored_as_spec;

/// Rates, N/m: from a thread of rubber to a car's suspension.
const RATE: [f64; 2] = [1e-3, 1e7];
/// Lengths of a spring and distances of its ends, m.
const LENGTH: [f64; 2] = [0.0, 10.0];
/// Initial tensions, N.
const INITIAL_TENSION: [f64; 2] = [0.0, 1e5];
/// What is known of a spring whose force grows in proportion; [`LinearSpring::new`] checks it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LinearSpringSpec {
    /// Force for a change of length, N/m, 1e-3 to 1e7.
    pub rate: f64,
    /// Distance of its ends when nothing loads it, m, 0 to 10. For an extension spring inside the hooks, for a
    /// compression spring over all.
    pub free_length: f64,
    /// Tension that must be overcome before the coils of an extension spring part, N; 0 for all that do not only pull.
    pub initial_tension: f64,
    /// On which side of the free length it works.
    pub action: SpringAction,
    /// Length below which it is solid, m; `None` if there is no such limit.
    pub shortest: Option<f64>,
    /// Length above which it is over-stretched, m; `None` if there is no such limit.
    pub longest: Option<f64>,
}

impl LinearSpringSpec {
    /// Without initial tension and without limits.
    #[must_use]
    pub fn new(rate: f64, free_length: f64, action: SpringAction) -> Self {
        Self {
            rate,
            free_length,
            initial_tension: 0.0,
            action,
            shortest: None,
            longest: None,
        }
    }
}

/// A spring whose force grows in proportion: tension = F0 + k (L - L0) where it works, zero where it is slack.
///
/// Past its limits the line goes on and the state says so: that is what the spring would have to carry, not what it
/// can. At exactly its free length it is slack; with an initial tension the force steps there.
///
/// # Caution
/// Springs under load have put out eyes and taken fingertips: wear eye protection, let a spring down before you open
/// what holds it.
///
/// # Example
/// ```
/// use yokewright::spring::{LinearSpringState, LinearSpring, LinearSpringSpec, SpringAction};
/// use yokewright::units::MM;
///
/// let spring = LinearSpring::new(LinearSpringSpec {
///     rate: 400.0,
///     free_length: 60.0 * MM,
///     initial_tension: 3.0,
///     action: SpringAction::Above,
///     shortest: None,
///     longest: Some(120.0 * MM),
/// })?;
/// let stretched = spring.response(80.0 * MM)?;
/// assert!((stretched.tension - 11.0).abs() < 1e-12);   // 3 N + 400 N/m * 20 mm
/// assert_eq!(spring.response(50.0 * MM)?.tension, 0.0);
/// assert_eq!(spring.response(130.0 * MM)?.state, LinearSpringState::Overstretched);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinearSpring {
    spec: LinearSpringSpec,
}

stored_as_spec!(LinearSpring, LinearSpringSpec);

impl LinearSpring {
    /// Checks what is known of the spring.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] if a value is outside the range named in [`LinearSpringSpec`] or
    /// there is an initial tension where the spring does not only pull; [`Error::NotAscending`] if the limits leave no
    /// length at which it works.
    pub fn new(spec: LinearSpringSpec) -> Result<Self> {
        let [least, most] = LENGTH;
        within("spring rate", spec.rate, RATE[0], RATE[1], "N/m")?;
        within(
            "free length of the spring",
            spec.free_length,
            least,
            most,
            "m",
        )?;
        let (quantity, highest) = match spec.action {
            SpringAction::Above => ("initial tension", INITIAL_TENSION[1]),
            _ => ("initial tension of a spring that does not only pull", 0.0),
        };
        within(
            quantity,
            spec.initial_tension,
            INITIAL_TENSION[0],
            highest,
            "N",
        )?;
        if let Some(shortest) = spec.shortest {
            within("shortest length of the spring", shortest, least, most, "m")?;
        }
        if let Some(longest) = spec.longest {
            within("longest length of the spring", longest, least, most, "m")?;
        }
        let spring = Self { spec };
        let range = spring.length_range();
        limits(
            "lengths at which the spring works",
            spec.free_length,
            spec.action,
            range,
            "m",
        )?;
        Ok(spring)
    }

    /// What it was made of.
    #[must_use]
    pub fn spec(&self) -> &LinearSpringSpec {
        &self.spec
    }

    /// Shortest and longest length that it stands, m; where no limit was given, 0 and 10 m.
    #[must_use]
    pub fn length_range(&self) -> [f64; 2] {
        let [least, most] = LENGTH;
        [
            self.spec.shortest.unwrap_or(least),
            self.spec.longest.unwrap_or(most),
        ]
    }

    /// The lengths at which it has a response, m.
    pub(crate) const LENGTH: [f64; 2] = LENGTH;

    /// Whether it is loaded at a length, and then its tension (N) and energy (J), for vector loops: nothing is checked.
    #[inline(always)]
    pub(crate) fn line(&self, length: f64) -> (bool, f64, f64) {
        let spec = &self.spec;
        let (free, initial) = (spec.free_length, spec.initial_tension);
        straight(spec.rate, free, initial, spec.action, length)
            .map_or((false, 0.0, 0.0), |on| (true, on.force, on.energy))
    }

    /// Tension, stiffness and energy at a length (m, 0 to 10).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn response(&self, length: f64) -> Result<SpringResponse> {
        within("length of the spring", length, LENGTH[0], LENGTH[1], "m")?;
        let LinearSpringSpec {
            rate,
            free_length,
            initial_tension,
            action,
            ..
        } = self.spec;
        let [shortest, longest] = self.length_range();
        let on_line = straight(rate, free_length, initial_tension, action, length);
        let state = if length < shortest {
            LinearSpringState::Solid
        } else if length > longest {
            LinearSpringState::Overstretched
        } else if on_line.is_none() {
            LinearSpringState::Slack
        } else {
            LinearSpringState::Working
        };
        Ok(match on_line {
            None => SpringResponse {
                state,
                ..SpringResponse::SLACK
            },
            Some(OnLine { force, energy }) => SpringResponse {
                tension: force,
                stiffness: rate,
                energy,
                state,
            },
        })
    }
}

/// What acts between two points along the line that joins them.
///
/// Each kind of spring becomes one of these laws by `LineSpring::from`.
///
/// # Example
/// ```
/// use yokewright::spring::{BelowTable, ForceTable, LineSpring};
/// use yokewright::units::MM;
///
/// // A gas strut pushes: its tension is negative.
/// let lengths = [250.0 * MM, 300.0 * MM, 350.0 * MM];
/// let strut = LineSpring::from(ForceTable::new(&lengths, &[-260.0, -225.0, -200.0], BelowTable::Refused)?);
/// let at = strut.response(300.0 * MM)?;
/// assert!(at.tension == -225.0 && at.energy > 0.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum LineSpring {
    /// Force in proportion, with limits.
    Straight(LinearSpring),
    /// Force from a table.
    Table(ForceTable),
}

impl From<LinearSpring> for LineSpring {
    fn from(spring: LinearSpring) -> Self {
        Self::Straight(spring)
    }
}

impl From<ForceTable> for LineSpring {
    fn from(table: ForceTable) -> Self {
        Self::Table(table)
    }
}

impl LineSpring {
    /// Tension, stiffness and energy at a length (m): the distance of its ends.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] if the length is not within 0 to 10 m or outside a table.
    pub fn response(&self, length: f64) -> Result<SpringResponse> {
        match self {
            Self::Straight(spring) => spring.response(length),
            Self::Table(table) => table.response(length),
        }
    }

    /// SpringResponses at many lengths (m). A row that [`response`](Self::response) would refuse is NaN and marked.
    #[must_use]
    pub fn responses(&self, lengths: &[f64]) -> SpringResponses {
        let mut all = SpringResponses::default();
        for (number, length) in lengths.iter().enumerate() {
            // Whoever asks to stop gets no result.
            if number % BLOCK == 0 && observer::check().is_err() {
                break;
            }
            let one = self.response(*length).ok();
            let value = |of: fn(&SpringResponse) -> f64| one.as_ref().map_or(f64::NAN, of);
            all.tensions.push(value(|one| one.tension));
            all.stiffnesses.push(value(|one| one.stiffness));
            all.energies.push(value(|one| one.energy));
            all.states.push(one.map(|one| one.state));
            all.valid.push(one.is_some());
        }
        all
    }

    /// Shortest and longest length (m): what a straight spring stands, what a table covers.
    #[must_use]
    pub fn length_range(&self) -> [f64; 2] {
        match self {
            Self::Straight(spring) => spring.length_range(),
            Self::Table(table) => table.length_range(),
        }
    }
}
