//! How a control swings when it is let go, in closed form: linear spring, viscous damping.

use std::f64::consts::{PI, TAU};

use crate::error::{Error, Hint, Result, finite, within};
use crate::feel::control::Control;
use crate::feel::equilibrium::{EquilibriumKind, Track, Way};
use crate::stored::stored_by_its_constructor;

/// Halvings that bring an interval down to neighboring numbers.
const HALVINGS: usize = 200;

/// A control that swings about its center: J q'' + c q' + K q = 0.
///
/// # Example
/// ```
/// use yokewright::feel::SecondOrderResponse;
/// let swing = SecondOrderResponse::new(40.0, 0.1, 0.8)?;
/// assert!((swing.natural_frequency() - 20.0).abs() < 1e-12);
/// assert!((swing.damping_ratio() - 0.2).abs() < 1e-12);
/// assert!((swing.overshoot() - 0.527).abs() < 1e-3);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// The damped oscillator let go at rest (textbook).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SecondOrderResponse {
    stiffness: f64,
    inertia: f64,
    damping: f64,
}

stored_by_its_constructor!(SecondOrderResponse {
    stiffness: f64,
    inertia: f64,
    damping: f64
} => Self::new(stiffness, inertia, damping));

impl SecondOrderResponse {
    /// From stiffness (N m/rad, 1e-9 to 1e9), moment of inertia (kg m^2, 1e-12 to 1e6) and damping (N m s/rad, 0 to
    /// 1e9), all about the pivot.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn new(stiffness: f64, inertia: f64, damping: f64) -> Result<Self> {
        Ok(Self {
            stiffness: within("stiffness about the pivot", stiffness, 1e-9, 1e9, "N m/rad")?,
            inertia: within(
                "moment of inertia about the pivot",
                inertia,
                1e-12,
                1e6,
                "kg m^2",
            )?,
            damping: within("damping about the pivot", damping, 0.0, 1e9, "N m s/rad")?,
        })
    }

    /// Stiffness, N m/rad.
    #[must_use]
    pub fn stiffness(&self) -> f64 {
        self.stiffness
    }

    /// Moment of inertia, kg m^2.
    #[must_use]
    pub fn inertia(&self) -> f64 {
        self.inertia
    }

    /// Damping, N m s/rad.
    #[must_use]
    pub fn damping(&self) -> f64 {
        self.damping
    }

    /// Angular frequency without damping, rad/s: sqrt(K / J).
    #[must_use]
    pub fn natural_frequency(&self) -> f64 {
        (self.stiffness / self.inertia).sqrt()
    }

    /// Damping as a share of the critical one: c / (2 sqrt(K J)).
    #[must_use]
    pub fn damping_ratio(&self) -> f64 {
        0.5 * self.damping / (self.stiffness * self.inertia).sqrt()
    }

    /// Time of a swing out and back, s; `None` if it creeps back without swinging.
    #[must_use]
    pub fn period(&self) -> Option<f64> {
        let frequency = self.damped_frequency();
        (frequency > 0.0).then(|| TAU / frequency)
    }

    /// How far it swings past the center, as a share of where it was let go: exp(-pi z / sqrt(1 - z^2)); 0 if it creeps
    /// back.
    #[must_use]
    pub fn overshoot(&self) -> f64 {
        let frequency = self.damped_frequency();
        if frequency > 0.0 {
            (-PI * self.decay() / frequency).exp()
        } else {
            0.0
        }
    }

    /// Time, s, after which it stays within `share` (1e-9 to 0.999) of where it was let go; `None` without damping.
    ///
    /// Not the envelope's estimate: the last time at which the swing itself crosses.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn settling_time(&self, share: f64) -> Result<Option<f64>> {
        within(
            "share that counts as settled",
            share,
            1e-9,
            0.999,
            "(no unit)",
        )?;
        if self.damping == 0.0 {
            return Ok(None);
        }
        let frequency = self.damped_frequency();
        let (mut before, mut after, sign);
        if frequency > 0.0 {
            // Its turns lie a half swing apart, each smaller than the one before; the last crossing comes before the
            // first turn that is small enough.
            let half = PI / frequency;
            let turns = (-share.ln() / (self.decay() * half)).ceil().max(1.0);
            (before, after) = ((turns - 1.0) * half, turns * half);
            sign = if turns % 2.0 == 1.0 { 1.0 } else { -1.0 };
        } else {
            (before, after) = (0.0, 1.0 / self.natural_frequency());
            sign = 1.0;
            while self.share_left(after) > share {
                (before, after) = (after, 2.0 * after);
            }
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (before + after);
            if middle <= before || middle >= after {
                break;
            }
            if sign * self.share_left(middle) > share {
                before = middle;
            } else {
                after = middle;
            }
        }
        finite("settling time", after, "s").map(Some)
    }

    /// Where it is after `time` (s, 0 to 1e6), as a share of where it was let go at rest.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn share_after(&self, time: f64) -> Result<f64> {
        within("time", time, 0.0, 1e6, "s")?;
        Ok(self.share_left(time))
    }

    fn share_left(&self, t: f64) -> f64 {
        let decay = self.decay();
        let square = decay * decay - self.stiffness / self.inertia;
        let b = square.abs().sqrt();
        if square <= 0.0 {
            return (-decay * t).exp() * ((b * t).cos() + decay * t * sinc(b * t));
        }
        if b * t < 1.0 {
            return (-decay * t).exp() * ((b * t).cosh() + decay * t * sinhc(b * t));
        }
        // Two decays; the slow one without the difference of nearly equal numbers.
        let fast = decay + b;
        let slow = self.stiffness / self.inertia / fast;
        0.5 * ((1.0 + decay / b) * (-slow * t).exp() + (1.0 - decay / b) * (-fast * t).exp())
    }

    /// Decay of the envelope, 1/s: c / (2 J).
    fn decay(&self) -> f64 {
        0.5 * self.damping / self.inertia
    }

    /// Angular frequency of the damped swing, rad/s; 0 if there is none.
    fn damped_frequency(&self) -> f64 {
        let ratio = self.damping_ratio();
        self.natural_frequency() * ((1.0 - ratio) * (1.0 + ratio)).max(0.0).sqrt()
    }
}

fn sinc(x: f64) -> f64 {
    if x == 0.0 { 1.0 } else { x.sin() / x }
}

fn sinhc(x: f64) -> f64 {
    if x == 0.0 { 1.0 } else { x.sinh() / x }
}

impl Control {
    /// The swing about the stable rest nearest to angle zero, for small angles: stiffness, inertia and damping there.
    /// Coulomb friction is left out; [`free_response`](Self::free_response) has it.
    ///
    /// # Errors
    /// As [`equilibrium_bands`](Self::equilibrium_bands); [`Error::OutOfRange`] if there is no such rest away from the
    /// stops, if a torque jumps there (then the swing is not linear however small it is), or if nothing has mass or
    /// inertia.
    pub fn second_order_response(&self, way: Way) -> Result<SecondOrderResponse> {
        Track::new(self, way)?.second_order_response()
    }
}

impl Track<'_> {
    /// As [`Control::second_order_response`].
    ///
    /// # Errors
    /// As [`Control::second_order_response`].
    pub(crate) fn second_order_response(&self) -> Result<SecondOrderResponse> {
        let rests = self.equilibrium_bands(false)?;
        let rest = rests
            .iter()
            .filter(|rest| rest.stable && rest.kind != EquilibriumKind::Stop)
            .min_by(|a, b| a.middle().abs().total_cmp(&b.middle().abs()));
        let Some(rest) = rest else {
            return Err(Error::Count {
                quantity: "stable rests between the stops, for a swing about one",
                count: 0,
                min: 1,
                max: 1,
            });
        };
        let angle = rest.middle();
        if rest.kind == EquilibriumKind::Jump {
            let jump = self.at(angle, 1.0)?.slope - self.at(angle, -1.0)?.slope;
            return Err(Error::OutOfRange {
                quantity: "jump of the torque at the rest, for a linear swing about it",
                value: jump,
                min: 0.0,
                max: 0.0,
                unit: "N m",
                hint: Hint::None,
            });
        }
        let drag = self.drag(angle)?;
        let stiffness = self.with_stiffness(angle, 1.0)?.bend;
        SecondOrderResponse::new(stiffness, drag.inertia[0], drag.damping)
    }
}
