//! Feel for Python.

pub(super) mod control;
pub(super) mod elements;
pub(super) mod guidance;
