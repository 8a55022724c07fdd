//! What every search of this crate takes and gives: a demand in, a [`SearchResult`] out.
//!
//! A function `search_*` takes a `*Demand` and judges each candidate by the limits of that demand, on the very figures
//! that it returns. A demand that makes no sense, or contradicts itself, is an error. That no candidate keeps the
//! limits is none: the result is then empty, and says how many were tried, what they fail in, and which one comes
//! nearest. [`SearchResult::best`] is for those who cannot go on without one.

mod result;
mod shortfall;
mod tally;
pub(crate) mod words;

pub use result::{NearMiss, Rejection, SearchResult};
pub(crate) use shortfall::{ROUNDING, Shortfalls, requirements};
pub use shortfall::{Requirement, Shortfall};
pub(crate) use tally::Tally;
