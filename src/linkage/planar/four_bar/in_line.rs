//! Linkages whose links can all lie in one line, told from others without regard to roundings.
//!
//! Crank a, coupler b, rocker c, ground d. The diagonal f from the crank joint to the rocker pivot grows with the crank
//! angle t from |d - a| at t = 0 to d + a at t = pi, and the links meet where |b - c| <= f <= b + c: in two ways,
//! mirror images in the diagonal, which are the branches. They come together where coupler and rocker are in line. So
//! the signs of three sums say everything about limits, here and in `limits.rs`:
//!
//! | sum | negative | zero: all four links in line |
//! | --- | --- | --- |
//! | s1 = (b + c) - (a + d) | f reaches b + c, the crank stops before pi | t = pi, coupler toward 0, rocker toward pi |
//! | s2 = (a + b) - (c + d) | the rocker joint reaches a + b | t = 0, coupler and rocker toward 0 |
//! | s3 = (a + c) - (b + d) | see below | t = 0, coupler and rocker toward pi |
//!
//! Where s2 and s3 differ in sign |b - c| - |d - a| is positive, so that the crank stops before 0, as (b - c) - (d -
//! a) = s2 and (b - c) + (d - a) = -s3; where s1 and s3 do, |a - b| - |c - d| is, so that the rocker joint comes as
//! near as |a - b| to the crank pivot. The smallest of the three is Grashof's margin.
//!
//! A branch is the side of the diagonal on which the rocker joint lies, so the crank passes a change point on its
//! branch, and the rocker has a kink in its motion there. Going straight on, as momentum would have it, is a change of
//! branch.
//!
//! | zero | linkage | what is special |
//! | --- | --- | --- |
//! | one | folding | the branches meet at one crank angle, 0 or pi |
//! | s1, s2 | a = c, b = d: parallelogram | they meet at 0 and at pi, see below |
//! | s1, s3 | a = b, c = d: kite | they meet at 0 and at pi, see below |
//! | s2, s3 | a = d, b = c: kite | the pose at t = 0 is not determined, see below |
//! | all | rhombus | the last kite; in its second half turn the open branch has the rocker at rest at pi |
//!
//! With s1 and s2 zero a branch is the parallelogram over one half turn and the antiparallelogram over the other. With
//! s1 and s3 zero it is the kite over one half turn; over the other the rocker rests at pi, its joint on the crank
//! pivot. With s2 and s3 zero the crank joint lies on the rocker pivot at t = 0: coupler and rocker turn about it as
//! one, and what is to the left of the diagonal on one side is to its right on the other. A branch ends there: the
//! crank has a whole turn from 0 to 2 pi or, where b + c < a + d, a stretch on either side.
//!
//! Where the longest link is as long as the others together the linkage closes in one position only: at 0 if it is
//! crank or ground, else at pi.
//!
//! # References
//! J. M. McCarthy, G. S. Soh, *Geometric Design of Linkages*, 2nd ed., Springer 2011, ch. 2 (classes of four-bars by
//! the signs of three such sums; from memory).

use std::f64::consts::PI;

use crate::linkage::planar::four_bar::place::Lengths;

impl Lengths {
    /// The sums s1, s2, s3, m; exactly zero where lengths are equal within their rounding.
    pub(super) fn sums(&self) -> [f64; 3] {
        let Self {
            ground: d,
            crank: a,
            coupler: b,
            rocker: c,
        } = *self;
        [
            difference([b, c], [a, d]),
            difference([a, b], [c, d]),
            difference([a, c], [b, d]),
        ]
        .map(|sum| {
            if sum.abs() <= self.rounding() {
                0.0
            } else {
                sum
            }
        })
    }

    /// By how much the longest is longer than the others together, m.
    pub(super) fn gap(&self) -> f64 {
        let all = [self.ground, self.crank, self.coupler, self.rocker];
        let longest = all.into_iter().fold(0.0, f64::max);
        2.0 * longest - all.iter().sum::<f64>()
    }

    /// The only crank angle, 0 or pi, of a linkage whose longest link is as long as the others together.
    pub(super) fn only_angle(&self) -> Option<f64> {
        let other = self.coupler.max(self.rocker);
        let at_pi = other > self.crank.max(self.ground);
        (self.gap() >= -self.rounding()).then_some(if at_pi { PI } else { 0.0 })
    }

    /// Whether the crank joint comes to lie on the rocker pivot, where a branch ends.
    pub(super) fn passes_rocker_pivot(&self) -> bool {
        let [_, s2, s3] = self.sums();
        (self.ground - self.crank).abs() <= self.rounding() && signed_least(s2, s3) <= 0.0
    }
}

/// The smaller of two sums: positive where they differ in sign.
pub(super) fn signed_least(one: f64, other: f64) -> f64 {
    let least = one.abs().min(other.abs());
    if (one > 0.0) == (other > 0.0) {
        -least
    } else {
        least
    }
}

/// (a + b) - (c + d), with what the two sums are rounded by: exact to a rounding of the result where they nearly agree.
fn difference([a, b]: [f64; 2], [c, d]: [f64; 2]) -> f64 {
    let [(one, rest), (other, other_rest)] = [(a, b), (c, d)].map(|(x, y)| {
        let sum = x + y;
        let of_y = sum - x;
        (sum, (x - (sum - of_y)) + (y - of_y))
    });
    (one - other) + (rest - other_rest)
}
