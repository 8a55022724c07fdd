//! Small numerical tools that no library gives in the form needed here.
//!
//! Each file says why no library serves.

pub(crate) mod binomial;
pub(crate) mod chebyshev;
pub(crate) mod direction;
pub(crate) mod elliptic;
pub(crate) mod harmonics;
pub(crate) mod least_squares;
pub(crate) mod line;
pub(crate) mod linear_fit;
pub(crate) mod median;
pub(crate) mod pair;
pub(crate) mod pchip;
pub(crate) mod quadrature;
pub(crate) mod root;
pub(crate) mod simd;
pub(crate) mod sobol;
pub(crate) mod spacing;
pub(crate) mod student;
pub(crate) mod tube;
pub(crate) mod turn;
