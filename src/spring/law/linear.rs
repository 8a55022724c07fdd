//! What acts between two points along the line that joins them, and between two parts about the pivot that joins them.
//!
//! Force and torque are derivatives of an energy: tension = dU/d(length), torque = dU/d(angle).

use serde::Serialize;

use crate::error::{Error, Result, choices, within};
use crate::observer;
use crate::spring::helical::compression::BLOCK;
use crate::spring::law::table::ForceTable;

/// Rates, N/m: from a thread of rubber to a car's suspension.
const RATE: [f64; 2] = [1e-3, 1e7];
/// Lengths of a spring and distances of its ends, m.
const LENGTH: [f64; 2] = [0.0, 10.0];
/// Initial tensions, N.
const INITIAL_TENSION: [f64; 2] = [0.0, 1e5];
/// Rates of a spring that is twisted, N m/rad; the thinnest wire in ten thousand turns of index 50 comes to some 1e-10.
const TWIST_RATE: [f64; 2] = [1e-12, 1e5];
/// Angles between the parts, rad: torsion springs of many turns wind up by several.
const ANGLE: [f64; 2] = [-100.0, 100.0];

/// On which side of its free length or free angle a spring works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SpringAction {
    /// Only above: an extension spring, which hangs slack below its free length; a torsion spring wound up by growing angles.
    Above,
    /// Only below: a compression spring, which comes off its seat above its free length.
    Below,
    /// On both sides, held at both ends.
    Both,
}

choices!(SpringAction, "side on which the spring works", {
    Above => "above",
    Below => "below",
    Both => "both",
});

/// What a spring along a line does at a length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LinearSpringState {
    /// Carries nothing: no force at all.
    Slack,
    /// Within its limits.
    Working,
    /// Shorter than it can get: its coils touch before.
    Solid,
    /// Longer than it stands.
    Overstretched,
}

choices!(LinearSpringState, "state of a spring", {
    Slack => "slack",
    Working => "working",
    Solid => "solid",
    Overstretched => "overstretched",
});

/// What a spring at a pivot does at an angle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TorsionSpringState {
    /// Carries nothing: no torque at all.
    Slack,
    /// Within its limits.
    Working,
    /// Turned further than it stands.
    Overwound,
}

choices!(TorsionSpringState, "state of a spring", {
    Slack => "slack",
    Working => "working",
    Overwound => "overwound",
});

/// What a spring along a line does at one length.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpringResponse {
    /// Force along the line, N: positive pulls the ends together, negative pushes them apart.
    pub tension: f64,
    /// Derivative of the tension by the length, N/m.
    pub stiffness: f64,
    /// Energy stored, J: zero where unloaded. Its derivative by the length is the tension.
    pub energy: f64,
    /// Slack, working, or past a limit.
    pub state: LinearSpringState,
}

impl SpringResponse {
    pub(in crate::spring) const SLACK: Self = Self {
        tension: 0.0,
        stiffness: 0.0,
        energy: 0.0,
        state: LinearSpringState::Slack,
    };
}

/// What a spring at a pivot does at one angle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TorsionResponse {
    /// Torque that holds the spring there, N m: positive if it must be applied towards greater angles. The spring acts on the turning
    /// part with the opposite.
    pub torque: f64,
    /// Derivative of the torque by the angle, N m/rad.
    pub stiffness: f64,
    /// Energy stored, J: zero where unloaded. Its derivative by the angle is the torque.
    pub energy: f64,
    /// Slack, working, or past a limit.
    pub state: TorsionSpringState,
}

/// Responses in the order of the lengths given.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SpringResponses {
    /// Tensions, N; NaN where the length is refused.
    pub tensions: Vec<f64>,
    /// Stiffnesses, N/m; NaN where the length is refused.
    pub stiffnesses: Vec<f64>,
    /// Energies, J; NaN where the length is refused.
    pub energies: Vec<f64>,
    /// What the spring does there; `None` where the length is refused.
    pub states: Vec<Option<LinearSpringState>>,
    /// Whether the length has a value.
    pub valid: Vec<bool>,
}

/// What the straight line of force has at one place; `None` where it is slack.
struct OnLine {
    force: f64,
    energy: f64,
}

/// A force that grows straight from a free position, on one side of it or on both.
fn straight(rate: f64, free: f64, initial: f64, works: SpringAction, at: f64) -> Option<OnLine> {
    let by = at - free;
    let loaded = match works {
        SpringAction::Above => by > 0.0,
        SpringAction::Below => by < 0.0,
        SpringAction::Both => true,
    };
    loaded.then_some(OnLine {
        force: initial + rate * by,
        energy: (initial + 0.5 * rate * by) * by,
    })
}

/// Checks the limits against each other and against the free position.
fn limits(
    quantity: &'static str,
    free: f64,
    works: SpringAction,
    [lower, upper]: [f64; 2],
    unit: &'static str,
) -> Result<()> {
    // A spring that can never be loaded is a slip.
    let (lower, upper) = match works {
        SpringAction::Above => (lower.max(free), upper),
        SpringAction::Below => (lower, upper.min(free)),
        SpringAction::Both => (lower, upper),
    };
    if lower < upper {
        Ok(())
    } else {
        Err(Error::NotAscending {
            quantity,
            lower,
            upper,
            unit,
        })
    }
}

/// What is known of a spring whose force grows in proportion; [`LinearSpring::new`] checks it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LinearSpringSpec {
    /// Force for a change of length, N/m, 1e-3 to 1e7.
    pub rate: f64,
    /// Distance of its ends when nothing loads it, m, 0 to 10. For an extension spring inside the hooks, for a compression spring over all.
    pub free_length: f64,
    /// Tension that must be overcome before the coils of an extension spring part, N; 0 for all that do not only pull.
    pub initial_tension: f64,
    /// On which side of the free length it works.
    pub works: SpringAction,
    /// Length below which it is solid, m; `None` if there is no such limit.
    pub shortest: Option<f64>,
    /// Length above which it is over-stretched, m; `None` if there is no such limit.
    pub longest: Option<f64>,
}

/// A spring whose force grows in proportion: tension = F0 + k (L - L0) where it works, zero where it is slack.
///
/// Past its limits the line goes on and the state says so: that is what the spring would have to carry, not what it can. At exactly its
/// free length it is slack; with an initial tension the force steps there.
///
/// # Caution
/// Springs under load have put out eyes and taken fingertips: wear eye protection, let a spring down before you open what holds it.
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
///     works: SpringAction::Above,
///     shortest: None,
///     longest: Some(120.0 * MM),
/// })?;
/// let stretched = spring.response(80.0 * MM)?;
/// assert!((stretched.tension - 11.0).abs() < 1e-12);   // 3 N + 400 N/m * 20 mm
/// assert_eq!(spring.response(50.0 * MM)?.tension, 0.0);
/// assert_eq!(spring.response(130.0 * MM)?.state, LinearSpringState::Overstretched);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(transparent)]
pub struct LinearSpring {
    spec: LinearSpringSpec,
}

impl LinearSpring {
    /// Checks what is known of the spring.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] if a value is outside the range named in [`LinearSpringSpec`] or there is an initial tension where the
    /// spring does not only pull; [`Error::NotAscending`] if the limits leave no length at which it works.
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
        let (quantity, highest) = match spec.works {
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
            spec.works,
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
            works,
            ..
        } = self.spec;
        let [shortest, longest] = self.length_range();
        let on_line = straight(rate, free_length, initial_tension, works, length);
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
#[derive(Debug, Clone, PartialEq)]
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

/// What is known of a spring that acts about a pivot; [`LinearTorsionSpring::new`] checks it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LinearTorsionSpringSpec {
    /// Torque for a change of angle, N m/rad, 1e-12 to 1e5.
    pub rate: f64,
    /// Angle at which nothing loads it, rad, -100 to 100. A spring built in wound up by 0.5 rad at the center has -0.5.
    pub free_angle: f64,
    /// On which side of the free angle it works.
    pub works: SpringAction,
    /// Least angle that it stands, rad; `None` if there is no such limit.
    pub least: Option<f64>,
    /// Greatest angle that it stands, rad; `None` if there is no such limit.
    pub greatest: Option<f64>,
}

/// A spring about a pivot whose torque grows in proportion: torque = k (angle - free angle) where it works, zero where its legs are loose.
///
/// The angle is that of the turning part. Past its limits the line goes on and the state says so.
///
/// # Caution
/// The legs of a wound torsion spring strike when they slip: wear eye protection, keep fingers out of their way.
///
/// # Example
/// ```
/// use yokewright::spring::{LinearTorsionSpring, LinearTorsionSpringSpec, TorsionSpringState, SpringAction};
/// use yokewright::units::DEG;
///
/// let spring = LinearTorsionSpring::new(LinearTorsionSpringSpec {
///     rate: 0.8,
///     free_angle: -30.0 * DEG,
///     works: SpringAction::Above,
///     least: None,
///     greatest: Some(60.0 * DEG),
/// })?;
/// assert!((spring.response(0.0)?.torque - 0.8 * 30.0 * DEG).abs() < 1e-12);
/// assert_eq!(spring.response(-40.0 * DEG)?.state, TorsionSpringState::Slack);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(transparent)]
pub struct LinearTorsionSpring {
    spec: LinearTorsionSpringSpec,
}

impl LinearTorsionSpring {
    /// Checks what is known of the spring.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] if a value is outside the range named in [`LinearTorsionSpringSpec`]; [`Error::NotAscending`] if the limits
    /// leave no angle at which it works.
    pub fn new(spec: LinearTorsionSpringSpec) -> Result<Self> {
        let [least, most] = ANGLE;
        let [softest, stiffest] = TWIST_RATE;
        within(
            "rate of the torsion spring",
            spec.rate,
            softest,
            stiffest,
            "N m/rad",
        )?;
        within(
            "free angle of the torsion spring",
            spec.free_angle,
            least,
            most,
            "rad",
        )?;
        if let Some(angle) = spec.least {
            within(
                "least angle of the torsion spring",
                angle,
                least,
                most,
                "rad",
            )?;
        }
        if let Some(angle) = spec.greatest {
            within(
                "greatest angle of the torsion spring",
                angle,
                least,
                most,
                "rad",
            )?;
        }
        let spring = Self { spec };
        limits(
            "angles at which the torsion spring works",
            spec.free_angle,
            spec.works,
            spring.angle_range(),
            "rad",
        )?;
        Ok(spring)
    }

    /// What it was made of.
    #[must_use]
    pub fn spec(&self) -> &LinearTorsionSpringSpec {
        &self.spec
    }

    /// Least and greatest angle that it stands, rad; where no limit was given, -100 and 100 rad.
    #[must_use]
    pub fn angle_range(&self) -> [f64; 2] {
        let [least, most] = ANGLE;
        [
            self.spec.least.unwrap_or(least),
            self.spec.greatest.unwrap_or(most),
        ]
    }

    /// Torque, stiffness and energy at an angle of the turning part (rad, -100 to 100).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn response(&self, angle: f64) -> Result<TorsionResponse> {
        within(
            "angle of the torsion spring",
            angle,
            ANGLE[0],
            ANGLE[1],
            "rad",
        )?;
        let LinearTorsionSpringSpec {
            rate,
            free_angle,
            works,
            ..
        } = self.spec;
        let [least, greatest] = self.angle_range();
        let on_line = straight(rate, free_angle, 0.0, works, angle);
        let state = if angle < least || angle > greatest {
            TorsionSpringState::Overwound
        } else if on_line.is_none() {
            TorsionSpringState::Slack
        } else {
            TorsionSpringState::Working
        };
        let (torque, stiffness, energy) =
            on_line.map_or((0.0, 0.0, 0.0), |on| (on.force, rate, on.energy));
        Ok(TorsionResponse {
            torque,
            stiffness,
            energy,
            state,
        })
    }
}
