//! Linkages for property tests (feature `proptest`): of the size you name, valid ones over the whole domain, and ones
//! that are about to lock.
//!
//! With these, `proptest` tries a claim about your own geometry code on many linkages and shrinks what breaks it to a
//! small case. The `*_within` draw whole micrometers and hundredths of a degree, so that the case it ends with lies
//! beside the boundary of the claim. Every linkage that they give is also
//! [`Arbitrary`](proptest::arbitrary::Arbitrary).
//!
//! ```
//! use yokewright::linkage::FourBar;
//! use yokewright::linkage::generators::four_bars_within;
//! use yokewright::proptest::prelude::*;
//! use yokewright::proptest::test_runner::{TestError, TestRunner};
//! use yokewright::units::MM;
//!
//! let four_bars = four_bars_within(20.0 * MM..=300.0 * MM);
//! // A claim that does not hold: the case it ends with misses by next to nothing.
//! let claim = |bar: FourBar| {
//!     prop_assert!(bar.rocker() > 0.2 * bar.ground());
//!     Ok(())
//! };
//! let found = TestRunner::deterministic().run(&four_bars, claim);
//! assert!(matches!(found, Err(TestError::Fail(_, bar)) if bar.rocker() > 0.1999 * bar.ground()));
//! ```

pub mod planar;
pub mod spatial;
mod steps;
mod within;

pub use within::{
    LinkLengths, ball_rods_within, centered_four_bars_within, four_bars_within, gimbals_within,
    pedal_pairs_within, slider_cranks_within, universal_joints_within,
};
