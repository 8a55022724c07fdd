//! Friction: where the control stays when it is let go, what it takes to set it in motion, and what is lost on a round
//! trip.

use serde::{Deserialize, Serialize};

use crate::error::{Result, within};
use crate::feel::control::Control;
use crate::feel::equilibrium::{EquilibriumBand, EquilibriumKind, Track, Way};
use crate::numeric::quadrature::gauss_legendre;

/// Points of the rule that integrates friction over each piece of the travel: friction changes slowly, so that twenty
/// give it to rounding.
const RULE: usize = 20;

/// How well a control centers against its Coulomb friction.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Centering {
    /// Every stretch in which the control stays when it is let go at rest, ascending.
    pub bands: Vec<EquilibriumBand>,
    /// The band to which it comes back from both stops, if there is one.
    pub center: Option<EquilibriumBand>,
    /// Where springs and weights alone would bring it: the stable rest in or nearest to the center band, rad.
    pub neutral: Option<f64>,
    /// Greatest distance of the center band's ends from angle zero, rad: the centering error.
    pub error: Option<f64>,
    /// Force at the grip that sets it in motion upward from the neutral, N: breakout and friction together.
    pub breakout_up: Option<f64>,
    /// The same downward, N; positive where it has to be pushed down.
    pub breakout_down: Option<f64>,
    /// Work that friction takes on a round trip from stop to stop and back, J: the area of the hysteresis loop.
    pub loop_area: f64,
}

impl Centering {
    /// Whether it comes back to one and the same band from everywhere, clear of both stops.
    #[must_use]
    pub fn centers(&self) -> bool {
        self.center.is_some()
    }

    /// The centering error in counts of a sensor that gives so many of them for a radian, 0 to 1e9.
    ///
    /// # Errors
    /// [`NotFinite`](crate::Error::NotFinite), [`OutOfRange`](crate::Error::OutOfRange).
    pub fn error_counts(&self, counts_per_radian: f64) -> Result<Option<f64>> {
        within("counts for a radian", counts_per_radian, 0.0, 1e9, "1/rad")?;
        Ok(self.error.map(|error| error * counts_per_radian))
    }
}

impl Control {
    /// How well the control centers along one angle.
    ///
    /// In a band the torque of springs and weights stays below the friction, so that the control stays wherever in it
    /// it comes to rest. Friction at rest and in motion is taken as the same; where sticking takes more, the band is
    /// wider in proportion.
    ///
    /// # Errors
    /// As [`equilibrium_bands`](Self::equilibrium_bands).
    ///
    /// # References
    /// Coulomb friction; the equilibrium set of a system with dry friction (textbook).
    pub fn centering(&self, way: Way) -> Result<Centering> {
        Track::new(self, way)?.centering()
    }

    /// Force on a stop, N, at `radius` (m, 1 mm to 10 m) from the pivot, when the hand presses the control against it
    /// with `hand_force` (N, 0 to 1e5) at the grip.
    ///
    /// The springs push back and relieve the stop, weights may load it; friction is left out. Zero means that the
    /// control does not reach the stop. Both stops: `[lower, upper]`.
    ///
    /// # Caution
    /// A foot presses with over a kilonewton in an emergency: have what carries it checked by someone qualified.
    ///
    /// # Errors
    /// [`NotFinite`](crate::Error::NotFinite), [`OutOfRange`](crate::Error::OutOfRange); as [`state`](Self::state) at
    /// the stops.
    pub fn stop_forces(&self, way: Way, hand_force: f64, radius: f64) -> Result<[f64; 2]> {
        within("hand force", hand_force, 0.0, 1e5, "N")?;
        within("radius of the stop", radius, 1e-3, 10.0, "m")?;
        let track = Track::new(self, way)?;
        let [least, greatest] = track.travel;
        let push = hand_force * track.arm;
        let lower = push + track.at(least, 1.0)?.slope;
        let upper = push - track.at(greatest, -1.0)?.slope;
        Ok([lower, upper].map(|torque| torque.max(0.0) / radius))
    }
}

impl Track<'_> {
    /// As [`Control::centering`].
    ///
    /// # Errors
    /// As [`Control::centering`].
    pub(crate) fn centering(&self) -> Result<Centering> {
        let bands = self.equilibrium_bands(true)?;
        let mut stable = bands.iter().filter(|band| band.stable);
        let center = match (stable.next(), stable.next()) {
            // Every other band would hold it as well, be it ever so little.
            (Some(only), None) if only.kind != EquilibriumKind::Stop && bands.len() == 1 => {
                Some(*only)
            }
            _ => None,
        };
        let aim = center.map_or(0.0, |band| band.middle());
        let neutral = self
            .equilibrium_bands(false)?
            .into_iter()
            .filter(|rest| rest.stable && rest.kind != EquilibriumKind::Stop)
            .map(|rest| rest.middle())
            .min_by(|a, b| (a - aim).abs().total_cmp(&(b - aim).abs()));
        let [mut breakout_up, mut breakout_down] = [None, None];
        if let Some(neutral) = neutral {
            let friction = self.friction(neutral)?;
            breakout_up = Some((self.at(neutral, 1.0)?.slope + friction) / self.arm);
            breakout_down = Some((friction - self.at(neutral, -1.0)?.slope) / self.arm);
        }
        Ok(Centering {
            error: center.map(|band| band.lower.abs().max(band.upper.abs())),
            center,
            neutral,
            breakout_up,
            breakout_down,
            loop_area: lost(self)?,
            bands,
        })
    }
}

/// Twice the integral of the friction torque over the travel.
fn lost(track: &Track<'_>) -> Result<f64> {
    let rule = gauss_legendre(RULE);
    let mut sum = 0.0;
    for [from, to] in track.pieces()? {
        let half = 0.5 * (to - from);
        for (node, weight) in &rule {
            sum += weight * half * track.friction(from + half * (1.0 + node))?;
        }
    }
    crate::error::finite("work lost to friction", 2.0 * sum, "J")
}
