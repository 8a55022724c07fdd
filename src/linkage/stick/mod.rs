//! A stick on two axes: its gate, where its grip goes, and what it clears.

mod branch_and_bound;
mod cell;
mod clearance;
mod envelope;
mod gate;
mod gate_travel;
mod gimbal;
mod obstacle;

pub use clearance::{Clearance, StickPart};
pub use envelope::{Envelope, EnvelopeExtreme};
pub use gate::{Gate, GateShape};
pub use gimbal::{Gimbal, GimbalAxis, GimbalSpec, GripPoses, GripTravel, InnerSensor};
pub use obstacle::{Obstacle, ObstacleShape};
