//! How many of the rigs that strangers build of a design file will work.

mod builds;
mod demand;
mod evaluated;
mod figures;
mod inputs;
mod read_anew;
mod result;
mod route;
mod side_by_side;
mod slots;
mod study;
mod subject;

pub use demand::RigYieldDemand;
pub use result::{ControlYield, RigYield, SharedCause};
pub use route::YieldRoute;
pub use slots::{SlotEnd, SlotEvaluation};
