//! What every wrapper goes through: numbers and arrays in and out, errors, long work.

pub(super) mod attributes;
pub(super) mod columns;
pub(super) mod convert;
pub(super) mod errors;
pub(super) mod long;
pub(super) mod out;
pub(super) mod recorded;
pub(super) mod sequence;
pub(super) mod value;
