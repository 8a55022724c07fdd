//! Springs for Python.

pub(super) mod coils;
pub(super) mod compression;
pub(super) mod law;
pub(super) mod stock;
pub(super) mod wire;
