#![doc = include_str!("../README.md")]

// floor 0
pub mod error;
mod names;
mod numeric;
pub mod observer;
mod parallel;
pub mod pose;
pub mod search;
pub mod source;
mod stored;
pub mod units;
mod written;
// floor 1: pillars that do not know one another
pub mod hall;
pub mod linkage;
pub mod magnet;
pub mod spring;
// floor 2
pub mod feel;
// floor 3
pub mod axis;
// floor 4
pub mod rig;

pub use error::{Error, Result};
/// The vectors, points and poses in the signatures; another version of nalgebra has other types of the same names.
pub use nalgebra;
pub use observer::Observer;
pub use parallel::on_one_thread;
#[cfg(feature = "proptest")]
pub use proptest;

// beside the floors
#[cfg(feature = "python")]
mod python;
