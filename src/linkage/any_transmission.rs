//! Any transmission as one value, and several in a row.

use std::convert::Infallible;
use std::f64::consts::{FRAC_PI_2, TAU};
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, counted, within_computed};
use crate::linkage::{
    BallRod, CenteredFourBar, FixedRatio, PedalTransmission, Pivot, Range, Transfer, Transfers,
    Transmission, TransmissionEnd, TransmissionReach, UniversalJoint,
};
use crate::numeric::root::{between, edge};

/// Most parts of a row.
const MOST: usize = 100;

/// Any [`Transmission`], as a value that needs no type parameter.
///
/// Two are equal if they are of one kind and made of the same; two of your own, if they are one and the same object.
/// Those of this crate are stored and read back (serde); one of your own cannot be stored, and asking for it is an
/// error.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum AnyTransmission {
    /// Output and input are one.
    #[default]
    Identity,
    /// In proportion.
    Ratio(FixedRatio),
    /// A rod with two ball joints.
    BallRod(Box<BallRod>),
    /// A planar four-bar.
    FourBar(Box<CenteredFourBar>),
    /// A universal joint.
    UniversalJoint(UniversalJoint),
    /// From one member of a pedal pair to another.
    Pedal(Box<PedalTransmission>),
    /// Several in a row.
    Chain(TransmissionChain),
    /// One of your own.
    #[serde(skip)]
    Custom(Arc<dyn Transmission>),
}

impl AnyTransmission {
    fn inner(&self) -> &dyn Transmission {
        match self {
            Self::Identity => &FixedRatio::ONE,
            Self::Ratio(ratio) => ratio,
            Self::BallRod(rod) => rod.as_ref(),
            Self::FourBar(four_bar) => four_bar.as_ref(),
            Self::UniversalJoint(joint) => joint,
            Self::Pedal(pedal) => pedal.as_ref(),
            Self::Chain(chain) => chain,
            Self::Custom(own) => own.as_ref(),
        }
    }
}

impl Transmission for AnyTransmission {
    fn transfer(&self, angle: f64) -> Result<Transfer> {
        self.inner().transfer(angle)
    }

    fn transfers(&self, angles: &[f64]) -> Transfers {
        self.inner().transfers(angles)
    }

    fn reach(&self) -> TransmissionReach {
        self.inner().reach()
    }

    fn travel(&self) -> Range {
        self.inner().travel()
    }

    fn pivots(&self) -> [Option<Pivot>; 2] {
        self.inner().pivots()
    }

    fn is_planar(&self) -> bool {
        self.inner().is_planar()
    }
}

impl PartialEq for AnyTransmission {
    fn eq(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Identity, Self::Identity) => true,
            (Self::Ratio(one), Self::Ratio(other)) => one == other,
            (Self::BallRod(one), Self::BallRod(other)) => one == other,
            (Self::FourBar(one), Self::FourBar(other)) => one == other,
            (Self::UniversalJoint(one), Self::UniversalJoint(other)) => one == other,
            (Self::Pedal(one), Self::Pedal(other)) => one == other,
            (Self::Chain(one), Self::Chain(other)) => one == other,
            (Self::Custom(one), Self::Custom(other)) => Arc::ptr_eq(one, other),
            _ => false,
        }
    }
}

impl From<FixedRatio> for AnyTransmission {
    fn from(ratio: FixedRatio) -> Self {
        Self::Ratio(ratio)
    }
}

impl From<BallRod> for AnyTransmission {
    fn from(rod: BallRod) -> Self {
        Self::BallRod(Box::new(rod))
    }
}

impl From<CenteredFourBar> for AnyTransmission {
    fn from(four_bar: CenteredFourBar) -> Self {
        Self::FourBar(Box::new(four_bar))
    }
}

impl From<UniversalJoint> for AnyTransmission {
    fn from(joint: UniversalJoint) -> Self {
        Self::UniversalJoint(joint)
    }
}

impl From<PedalTransmission> for AnyTransmission {
    fn from(pedal: PedalTransmission) -> Self {
        Self::Pedal(Box::new(pedal))
    }
}

impl From<TransmissionChain> for AnyTransmission {
    fn from(chain: TransmissionChain) -> Self {
        Self::Chain(chain)
    }
}

/// Transmissions in a row, each driven by the one before it.
///
/// # Example
/// ```
/// use yokewright::linkage::{FixedRatio, Transmission, TransmissionChain, UniversalJoint};
/// use yokewright::units::DEG;
///
/// let joint = UniversalJoint::new(30.0 * DEG, 0.0)?;
/// let row = TransmissionChain::new(vec![joint.into(), FixedRatio::new(2.0)?.into()])?;
/// // By the chain rule, twice the joint's 1 / cos 30 degrees.
/// assert!((row.transfer(0.0)?.ratio - 2.0 / (30.0 * DEG).cos()).abs() < 1e-12);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Vec<AnyTransmission>", into = "Vec<AnyTransmission>")]
pub struct TransmissionChain {
    parts: Vec<AnyTransmission>,
}

impl TransmissionChain {
    /// A row of 1 to 100 transmissions, from the control on.
    ///
    /// # Errors
    /// [`Error::Count`]; what a part refuses where the input of the row is zero; [`Error::OutOfRange`] where that is
    /// not on a part's travel.
    pub fn new(parts: Vec<AnyTransmission>) -> Result<Self> {
        counted("transmissions in a row", parts.len(), [1, MOST])?;
        let mut angle = 0.0;
        for part in &parts {
            let Range { lower, upper } = part.travel();
            let name = "angle of a transmission in a row at neutral";
            within_computed(name, angle, lower, upper, "rad")?;
            angle = part.transfer(angle)?.angle;
        }
        Ok(Self { parts })
    }

    /// The transmissions, from the control on.
    #[must_use]
    pub fn parts(&self) -> &[AnyTransmission] {
        &self.parts
    }

    /// The end of the travel on one side of neutral (1 or -1), if there is one within a turn.
    fn end(&self, sense: f64) -> Option<TransmissionEnd> {
        let mut nearest: Option<TransmissionEnd> = None;
        for (number, part) in self.parts.iter().enumerate() {
            let before = &self.parts[..number];
            let reach = part.reach();
            let bound = nearest.as_ref().map_or(sense * TAU, |end| end.input);
            let named = first_beyond(before, &reach, bound);
            let bound = named.as_ref().map_or(bound, |(input, _)| *input);
            let endless = reach.lower.is_none() || reach.upper.is_none();
            let refused = (endless && number > 0)
                .then(|| first_refused(before, part, bound))
                .flatten();
            if let Some((input, limit)) = refused.or(named) {
                let limit = match self.parts.len() {
                    1 => limit,
                    count => format!("{limit} of part {} of {count}", number + 1),
                };
                nearest = Some(TransmissionEnd { input, limit });
            }
        }
        nearest
    }
}

/// The output angle of several in a row.
fn output(parts: &[AnyTransmission], angle: f64) -> Result<f64> {
    parts
        .iter()
        .try_fold(angle, |angle, part| Ok(part.transfer(angle)?.angle))
}

/// Places at which a row is looked at; what comes and goes between two of them is missed.
const PLACES: u32 = 512;

/// The places on the way to `bound`, from neutral (0) to the last ([`PLACES`]).
fn place(bound: f64, step: u32) -> f64 {
    /// Of the way to the bound: at a lock the output has no ratio, so that it is asked for a little before.
    const SHORT: f64 = 1.0 - 1e-13;
    let share = f64::from(step) / f64::from(PLACES);
    // Towards a lock the output goes with the root of what is left, so with this it goes evenly.
    bound * (FRAC_PI_2 * share).sin().min(SHORT)
}

/// As [`first_beyond`], where the part has no end of its own but is driven beyond the turns that it is told of.
///
/// At a change point, too, it may refuse an angle, and rounding decides how far around it; but it goes on beyond.
fn first_refused(
    before: &[AnyTransmission],
    part: &AnyTransmission,
    bound: f64,
) -> Option<(f64, String)> {
    let refused = |angle: f64| {
        let told = output(before, angle);
        let there = told.map(|output| part.transfer(output));
        matches!(there, Ok(Err(error)) if !matches!(error, Error::DeadCenter { .. }))
    };
    let step = (1..=PLACES).find(|step| refused(place(bound, *step)))?;
    let (on, off) = (place(bound, step - 1), place(bound, step));
    let Ok(end) = edge::<Infallible>(on, off, |angle| Ok(!refused(angle)));
    Some((end, "end of the turns".to_owned()))
}

/// The input angle nearest to neutral, on the way to `bound`, at which the output of several in a row comes to an end
/// of what they drive, and the name of that end.
fn first_beyond(
    before: &[AnyTransmission],
    reach: &TransmissionReach,
    bound: f64,
) -> Option<(f64, String)> {
    let ends = [(&reach.lower, -1.0), (&reach.upper, 1.0)];
    let mut ends = ends
        .into_iter()
        .filter_map(|(end, side)| Some((end.as_ref()?, side)));
    if before.is_empty() {
        // The row's own input, so that its end is the part's to the last bit.
        let end = ends.find(|(_, side)| side * bound > 0.0);
        return end.map(|(end, _)| (end.input, end.limit.clone()));
    }
    let crossings = ends.filter_map(|(end, side)| {
        // Positive beyond the end. Where the row has no output it has come to an end of its own.
        let beyond = |angle: f64| {
            output(before, angle).map_or(f64::NEG_INFINITY, |output| side * (output - end.input))
        };
        let step = (1..=PLACES).find(|step| beyond(place(bound, *step)) >= 0.0)?;
        let crossing = between(beyond, place(bound, step - 1), place(bound, step));
        Some((crossing, end.limit.clone()))
    });
    crossings.min_by(|one, other| one.0.abs().total_cmp(&other.0.abs()))
}

impl TryFrom<Vec<AnyTransmission>> for TransmissionChain {
    type Error = Error;

    fn try_from(parts: Vec<AnyTransmission>) -> Result<Self> {
        Self::new(parts)
    }
}

impl From<TransmissionChain> for Vec<AnyTransmission> {
    fn from(chain: TransmissionChain) -> Self {
        chain.parts
    }
}

impl Transmission for TransmissionChain {
    /// # Errors
    /// What a part refuses at the angle that comes to it; [`Error::NotFinite`] where a product of ratios is beyond all
    /// numbers.
    fn transfer(&self, angle: f64) -> Result<Transfer> {
        let mut all = Transfer::identity(angle);
        for part in &self.parts {
            all = all.then(&part.transfer(all.angle)?);
        }
        Transfer::new(all.angle, all.ratio, all.curvature)
    }

    fn transfers(&self, angles: &[f64]) -> Transfers {
        let mut all = Transfers::identity(angles);
        for part in &self.parts {
            all = all.then(&part.transfers(&all.angles));
        }
        all
    }

    /// Where the first of its parts ends the travel; "end of the turns", where a part without an end is driven beyond
    /// the turns that it is told of.
    ///
    /// The travel is walked in 512 places from neutral to the nearest end known so far (or a full turn), closer
    /// together towards it, and a crossing is then found to the last bits. A part whose end comes and goes between two
    /// places is missed.
    fn reach(&self) -> TransmissionReach {
        TransmissionReach {
            lower: self.end(-1.0),
            upper: self.end(1.0),
        }
    }

    fn pivots(&self) -> [Option<Pivot>; 2] {
        let first = self.parts.first().and_then(|part| part.pivots()[0]);
        let last = self.parts.last().and_then(|part| part.pivots()[1]);
        [first, last]
    }

    /// Whether all its parts are planar.
    fn is_planar(&self) -> bool {
        self.parts.iter().all(Transmission::is_planar)
    }
}
