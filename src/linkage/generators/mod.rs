//! Linkages for property tests (feature `proptest`): valid ones over the whole domain, and ones that are about to lock.
//!
//! With these, `proptest` tries a claim about your own geometry code on many linkages and shrinks what breaks it to a small case.
//!
//! ```
//! use proptest::prelude::*;
//! use yokewright::linkage::{FourBarClass, generators::planar::four_bars_of};
//!
//! // A claim about crank-rockers: the crank turns around.
//! let mut runner = proptest::test_runner::TestRunner::deterministic();
//! let claim = |bar: yokewright::linkage::FourBar| {
//!     prop_assert_eq!(bar.crank_travel().len(), 1);
//!     Ok(())
//! };
//! runner.run(&four_bars_of(FourBarClass::CrankRocker), claim).unwrap();
//! ```

pub mod planar;
pub mod spatial;
