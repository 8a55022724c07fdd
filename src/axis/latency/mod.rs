//! How slow a control is, from hand to screen: the budget by stages, and what a high-speed camera measures.

mod budget;
mod camera;
mod delay;
mod devices;
mod grid;
mod hid;
mod pieces;
mod stage;
mod sum;
mod usb;

pub use budget::{LatencyBudget, StageEffect};
pub use camera::{CameraRuns, DeviceDifference, student_t};
pub use delay::{Delay, DelaySpec};
pub use devices::{DevicePair, compare_devices, detectable_difference, power_of_runs, runs_needed};
pub use hid::{HidUsage, hid_logical_range};
pub use stage::{LatencyStage, StageKind};
pub use usb::UsbSpeed;
