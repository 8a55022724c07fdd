//! What acts along the line between two anchors: springs, cords, struts, and springs held between collars.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, finite, within};
use crate::feel::body::Moved;
use crate::spring::{LineSpring, LinearSpringState};
use crate::stored::stored_by_its_constructor;

/// Closer than this to where a force jumps, a position counts as being there, m and rad: a thousand roundings of a
/// meter, and nothing that can be felt.
pub(in crate::feel) const AT_JUMP: f64 = 1e-12;
/// Closer than this two anchors coincide, m: a spring between them has no direction.
pub(super) const COINCIDE: f64 = 1e-6;

/// A spring held with preload between collars, so that it works both ways: tension = +-F0 + k (L - L0), with the sign
/// of L - L0.
///
/// The usual way to give pedals a breakout force: whichever way its ends move, the same spring is pressed further. At
/// L0 the force jumps by twice the preload, and the energy F0 |L - L0| + k (L - L0)^2 / 2 has a kink.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CapturedSpring {
    neutral_length: f64,
    preload: f64,
    rate: f64,
    stroke: f64,
}

stored_by_its_constructor!(CapturedSpring {
    neutral_length: f64,
    preload: f64,
    rate: f64,
    stroke: f64
} => Self::new(neutral_length, preload, rate, stroke));

impl CapturedSpring {
    /// `neutral_length`: distance of the two ends at which the spring sits on both collars (m, 1e-6 to 10). `preload`:
    /// force there (N, 0 to 1e5). `rate`: N/m, 0 to 1e7. `stroke`: how far it may go either way before it is solid (m,
    /// 0 to 10).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn new(neutral_length: f64, preload: f64, rate: f64, stroke: f64) -> Result<Self> {
        Ok(Self {
            neutral_length: within(
                "neutral length of a captured spring",
                neutral_length,
                COINCIDE,
                10.0,
                "m",
            )?,
            preload: within("preload of a captured spring", preload, 0.0, 1e5, "N")?,
            rate: within("rate of a captured spring", rate, 0.0, 1e7, "N/m")?,
            stroke: within("stroke of a captured spring", stroke, 0.0, 10.0, "m")?,
        })
    }

    /// Distance of the ends at which it sits on both collars, m.
    #[must_use]
    pub fn neutral_length(&self) -> f64 {
        self.neutral_length
    }

    /// Force there, N.
    #[must_use]
    pub fn preload(&self) -> f64 {
        self.preload
    }

    /// Rate, N/m.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.rate
    }

    /// How far it goes either way, m.
    #[must_use]
    pub fn stroke(&self) -> f64 {
        self.stroke
    }
}

/// What acts along the line between two anchors.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum AlongLine {
    /// A spring, cord or strut.
    Spring(LineSpring),
    /// A spring between collars that works both ways.
    Captured(CapturedSpring),
}

impl<S: Into<LineSpring>> From<S> for AlongLine {
    fn from(spring: S) -> Self {
        Self::Spring(spring.into())
    }
}

impl From<CapturedSpring> for AlongLine {
    fn from(spring: CapturedSpring) -> Self {
        Self::Captured(spring)
    }
}

/// Tension, its derivative, energy and state at a length.
#[derive(Debug, Clone, Copy)]
pub(in crate::feel) struct Pulled {
    pub(in crate::feel) tension: f64,
    pub(in crate::feel) stiffness: f64,
    pub(in crate::feel) energy: f64,
    pub(in crate::feel) state: LinearSpringState,
}

impl AlongLine {
    /// Length at which the force jumps.
    pub(in crate::feel) fn jump(&self) -> Option<f64> {
        match self {
            Self::Spring(spring) => spring_jump(spring),
            Self::Captured(captured) => (captured.preload > 0.0).then_some(captured.neutral_length),
        }
    }

    /// Shortest and longest length that it stands or has a force at, m.
    pub(in crate::feel) fn length_range(&self) -> [f64; 2] {
        match self {
            Self::Spring(spring) => spring.length_range(),
            Self::Captured(captured) => {
                let (length, stroke) = (captured.neutral_length, captured.stroke);
                [length - stroke, length + stroke]
            }
        }
    }

    /// The length nearest to a given one at which there is a force at all.
    pub(in crate::feel) fn nearest(&self, length: f64) -> f64 {
        match self {
            Self::Spring(LineSpring::Table(table)) => {
                let [shortest, longest] = table.length_range();
                length.clamp(shortest, longest)
            }
            _ => length,
        }
    }

    /// `side`: where the force jumps, whether the length is meant from above (or else from below).
    pub(in crate::feel) fn at(&self, length: f64, above: bool) -> Result<Pulled> {
        match self {
            Self::Spring(spring) => {
                let meant = match spring_jump(spring) {
                    Some(jump) if (length - jump).abs() <= AT_JUMP => {
                        if above {
                            jump.next_up()
                        } else {
                            jump.next_down()
                        }
                    }
                    _ => length,
                };
                let response = spring.response(meant)?;
                Ok(Pulled {
                    tension: response.tension,
                    stiffness: response.stiffness,
                    energy: response.energy,
                    state: response.state,
                })
            }
            Self::Captured(captured) => {
                let by = length - captured.neutral_length;
                let sign = side_of(by, above);
                Ok(Pulled {
                    tension: sign * captured.preload + captured.rate * by,
                    stiffness: captured.rate,
                    energy: captured.preload * by.abs() + 0.5 * captured.rate * by * by,
                    state: if by > captured.stroke || by < -captured.stroke {
                        LinearSpringState::Solid
                    } else {
                        LinearSpringState::Working
                    },
                })
            }
        }
    }
}

/// Length at which the force of a spring jumps: where the initial tension sets in.
fn spring_jump(spring: &LineSpring) -> Option<f64> {
    match spring {
        LineSpring::Straight(straight) if straight.spec().initial_tension > 0.0 => {
            Some(straight.spec().free_length)
        }
        _ => None,
    }
}

/// The sign of a distance from a jump; on the jump itself, that of the side meant.
pub(in crate::feel) fn side_of(distance: f64, above: bool) -> f64 {
    if distance > AT_JUMP || (distance >= -AT_JUMP && above) {
        1.0
    } else {
        -1.0
    }
}

/// The length of the line between two points, and its derivatives.
pub(in crate::feel) struct Span<const N: usize> {
    pub(in crate::feel) length: f64,
    pub(in crate::feel) first: [f64; N],
    pub(super) second: [[f64; N]; N],
}

impl<const N: usize> Span<N> {
    #[inline(always)]
    pub(in crate::feel) fn of(a: &Moved<N>, b: &Moved<N>) -> Result<Self> {
        let way = b.at - a.at;
        let length = apart(way.norm())?;
        let inverse = 1.0 / length;
        let along = way * inverse;
        let mut span = Self {
            length,
            first: [0.0; N],
            second: [[0.0; N]; N],
        };
        for i in 0..N {
            span.first[i] = along.dot(&(b.first[i] - a.first[i]));
        }
        for i in 0..N {
            for j in i..N {
                let across = (b.first[i] - a.first[i]).dot(&(b.first[j] - a.first[j]))
                    - span.first[i] * span.first[j];
                let second = across * inverse + along.dot(&(b.second[i][j] - a.second[i][j]));
                span.second[i][j] = second;
                span.second[j][i] = second;
            }
        }
        Ok(span)
    }
}

/// The distance of two anchors, or the error that they coincide.
#[inline]
pub(in crate::feel) fn apart(length: f64) -> Result<f64> {
    if (COINCIDE..f64::INFINITY).contains(&length) {
        return Ok(length);
    }
    finite("distance of two anchors", length, "m")?;
    Err(Error::OutOfRange {
        quantity: "distance of the two anchors of a spring or rod (they coincide, so it pulls nowhere)",
        value: length,
        min: COINCIDE,
        max: 10.0,
        unit: "m",
        hint: crate::error::Hint::None,
    })
}
