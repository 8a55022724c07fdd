//! Small numerical tools that no library gives in the form needed here.

pub(crate) mod direction;
pub(crate) mod dispatch;
pub(crate) mod elliptic;
pub(crate) mod grid;
pub(crate) mod harmonics;
pub(crate) mod lanes;
pub(crate) mod line;
pub(crate) mod pair;
pub(crate) mod pchip;
pub(crate) mod quadrature;
pub(crate) mod root;
