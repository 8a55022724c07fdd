//! A quantity at two arguments at once, with its exact divided difference.
//!
//! No library has them: automatic differentiation gives the derivative, the limit of a step of zero, not the quotient
//! of a finite step.
//!
//! Where a formula is needed as f(second) - f(first) and the two values nearly agree, subtracting them loses what they
//! have in common. Carried through every operation instead, the divided difference (f(second) - f(first)) / (second -
//! first) is as good as the values themselves: for a product it is slope_a b(second) + a(first) slope_b, for a square
//! root slope / (sum of the roots). No limit is involved; the step may be of any size. Pairs of pairs serve two
//! arguments.

use std::ops::{Add, Mul, Neg, Sub};

use crate::numeric::simd::lanes::mul_add;

/// What a formula needs of its numbers, so that one text serves one argument and two.
pub(crate) trait Real:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Mul<f64, Output = Self>
    + Add<f64, Output = Self>
    + Neg<Output = Self>
{
    /// A quantity that does not depend on the argument.
    fn constant(value: f64) -> Self;
    fn sqrt(self) -> Self;
    fn reciprocal(self) -> Self;
    /// `self * b + c`, fused where that is fast.
    fn mul_add<const FMA: bool>(self, b: Self, c: Self) -> Self;
}

impl Real for f64 {
    #[inline(always)]
    fn constant(value: f64) -> Self {
        value
    }

    #[inline(always)]
    fn sqrt(self) -> Self {
        f64::sqrt(self)
    }

    #[inline(always)]
    fn reciprocal(self) -> Self {
        1.0 / self
    }

    #[inline(always)]
    fn mul_add<const FMA: bool>(self, b: Self, c: Self) -> Self {
        mul_add::<FMA>(self, b, c)
    }
}

/// The value at the first and the second argument, and the difference of the two divided by that of the arguments.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pair<T = f64> {
    pub(crate) first: T,
    pub(crate) second: T,
    pub(crate) slope: T,
}

impl<T: Real> Pair<T> {
    /// A quantity that does not depend on the argument.
    #[inline(always)]
    pub(crate) fn same(value: T) -> Self {
        Self {
            first: value,
            second: value,
            slope: T::constant(0.0),
        }
    }
}

impl<T: Real> Add for Pair<T> {
    type Output = Self;

    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self {
            first: self.first + other.first,
            second: self.second + other.second,
            slope: self.slope + other.slope,
        }
    }
}

impl<T: Real> Sub for Pair<T> {
    type Output = Self;

    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self {
            first: self.first - other.first,
            second: self.second - other.second,
            slope: self.slope - other.slope,
        }
    }
}

impl<T: Real> Neg for Pair<T> {
    type Output = Self;

    #[inline(always)]
    fn neg(self) -> Self {
        Self {
            first: -self.first,
            second: -self.second,
            slope: -self.slope,
        }
    }
}

impl<T: Real> Mul for Pair<T> {
    type Output = Self;

    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        Self {
            first: self.first * other.first,
            second: self.second * other.second,
            slope: self.slope * other.second + self.first * other.slope,
        }
    }
}

impl<T: Real> Mul<f64> for Pair<T> {
    type Output = Self;

    #[inline(always)]
    fn mul(self, factor: f64) -> Self {
        Self {
            first: self.first * factor,
            second: self.second * factor,
            slope: self.slope * factor,
        }
    }
}

impl<T: Real> Add<f64> for Pair<T> {
    type Output = Self;

    #[inline(always)]
    fn add(self, constant: f64) -> Self {
        Self {
            first: self.first + constant,
            second: self.second + constant,
            slope: self.slope,
        }
    }
}

impl<T: Real> Real for Pair<T> {
    #[inline(always)]
    fn constant(value: f64) -> Self {
        Self::same(T::constant(value))
    }

    #[inline(always)]
    fn sqrt(self) -> Self {
        let (first, second) = (self.first.sqrt(), self.second.sqrt());
        Self {
            first,
            second,
            slope: self.slope * (first + second).reciprocal(),
        }
    }

    #[inline(always)]
    fn reciprocal(self) -> Self {
        let (first, second) = (self.first.reciprocal(), self.second.reciprocal());
        Self {
            first,
            second,
            slope: -(self.slope * first * second),
        }
    }

    #[inline(always)]
    fn mul_add<const FMA: bool>(self, b: Self, c: Self) -> Self {
        Self {
            first: self.first.mul_add::<FMA>(b.first, c.first),
            second: self.second.mul_add::<FMA>(b.second, c.second),
            slope: self
                .slope
                .mul_add::<FMA>(b.second, self.first.mul_add::<FMA>(b.slope, c.slope)),
        }
    }
}

#[cfg(test)]
#[path = "pair_tests.rs"]
mod tests;
