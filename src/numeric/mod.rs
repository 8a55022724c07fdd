//! Small numerical tools that no library gives in the form needed here.

pub(crate) mod dispatch;
pub(crate) mod elliptic;
pub(crate) mod lanes;
pub(crate) mod line;
pub(crate) mod pair;
pub(crate) mod pchip;
pub(crate) mod quadrature;
