//! Where the joints of a four-bar lie: the meeting of two circles, for one angle or a lane of a vector loop.
//!
//! | here | meaning |
//! | --- | --- |
//! | `a`, `b`, `c`, `d` | crank, coupler, rocker, ground |
//! | `arm` | from the crank pivot to the crank joint |
//! | `f`, `u` | length and direction of the diagonal from the crank joint to the rocker pivot |
//! | `x`, `y` | foot of the rocker joint on the diagonal, from the crank joint and from the rocker pivot |
//! | `h` | height of the rocker joint over the diagonal |
//!
//! With q = (b^2 - c^2) / f the foot lies at x = (f + q) / 2 and y = (q - f) / 2, and by Heron's formula
//! h^2 = (b + c - f)(f + c - b)(f + b - c)(f + b + c) / (4 f^2). Written with b - c and b + c no square is ever
//! subtracted from a square, so that |coupler| = b and |rocker| = c hold to a few roundings up to the dead center,
//! where h vanishes.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result};

/// The four lengths, m.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(super) struct Lengths {
    pub(super) ground: f64,
    pub(super) crank: f64,
    pub(super) coupler: f64,
    pub(super) rocker: f64,
}

impl Lengths {
    /// By how little lengths may differ and still count as equal, m: some roundings of the longest. What all in this
    /// directory call in line, on a pivot or in the same place follows from it.
    #[inline(always)]
    pub(super) fn rounding(&self) -> f64 {
        2.0 * f64::EPSILON * (self.ground + self.crank + self.coupler + self.rocker)
    }

    /// By how little the links may miss each other at a crank angle and still count as meeting, m:
    /// [`rounding`](Self::rounding), and as much again for the diagonal, which sine and cosine, right to 2 ulp, leave
    /// uncertain by 0.9 of it. So the links meet all over the crank's travel.
    #[inline(always)]
    pub(super) fn slack(&self) -> f64 {
        2.0 * self.rounding()
    }
}

/// A four-bar at one crank angle, in the frame with the crank pivot as origin and x toward the rocker pivot.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placed {
    pub(super) arm: [f64; 2],
    pub(super) f: f64,
    u: [f64; 2],
    x: f64,
    y: f64,
    /// Not negative; zero also where the links miss each other.
    pub(super) h: f64,
    /// How far the links miss each other, m; zero or less where they meet.
    pub(super) gap: f64,
}

/// Places the joints for a crank along (`cos`, `sin`).
#[inline(always)]
pub(super) fn place(lengths: &Lengths, [cos, sin]: [f64; 2]) -> Placed {
    let (b, c) = (lengths.coupler, lengths.rocker);
    let arm = [lengths.crank * cos, lengths.crank * sin];
    let diagonal = [lengths.ground - arm[0], -arm[1]];
    let f = (diagonal[0] * diagonal[0] + diagonal[1] * diagonal[1]).sqrt();
    let inverse = 1.0 / f;
    let (sum, difference) = (b + c, b - c);
    // Where |b - c| exceeds f by a rounding, the quotient would exceed b + c by that rounding over a small f.
    let q = (difference * sum * inverse).max(-sum).min(sum);
    let outer = (sum - f) * (sum + f);
    let inner = (f - difference) * (f + difference);
    // Where one of them is negative by a rounding the links are in line.
    let product = outer.max(0.0) * inner.max(0.0);
    Placed {
        arm,
        f,
        u: [diagonal[0] * inverse, diagonal[1] * inverse],
        x: 0.5 * (f + q),
        y: 0.5 * (q - f),
        h: 0.5 * product.sqrt() * inverse,
        gap: (f - sum).max(difference.abs() - f),
    }
}

impl Placed {
    /// Coupler (crank joint to rocker joint) and rocker (its pivot to the rocker joint), for `h` or, crossed, for `-h`.
    #[inline(always)]
    pub(super) fn links(&self, h: f64) -> [[f64; 2]; 2] {
        let ([ux, uy], x, y) = (self.u, self.x, self.y);
        [
            [ux * x - uy * h, uy * x + ux * h],
            [ux * y - uy * h, uy * y + ux * h],
        ]
    }

    /// Coupler and rocker along the diagonal, one after the other or folded over one another.
    pub(super) fn links_in_line(&self, lengths: &Lengths, stretched: bool) -> [[f64; 2]; 2] {
        let (b, c) = (lengths.coupler, lengths.rocker);
        let signed = match (stretched, b > c) {
            (true, _) => [b, -c],
            (false, true) => [b, c],
            (false, false) => [-b, -c],
        };
        signed.map(|length| self.u.map(|share| share * length))
    }

    /// Angles of coupler and rocker from the diagonal, to the side on which the rocker joint lies, 0 to pi.
    pub(super) fn beside_diagonal(&self) -> [f64; 2] {
        [self.x, self.y].map(|along| self.h.atan2(along))
    }

    /// Whether the links meet, and at one place.
    pub(super) fn check(
        &self,
        lengths: &Lengths,
        linkage: &'static str,
        sought: &'static str,
        angle: f64,
    ) -> Result<()> {
        if self.gap > lengths.slack() {
            return Err(Error::CannotClose {
                linkage,
                angle,
                gap: self.gap,
            });
        }
        if self.f <= lengths.rounding() {
            return Err(Error::DeadCenter {
                linkage,
                quantity: sought,
                angle,
            });
        }
        Ok(())
    }
}
