//! What must hold over the whole valid domain, and for garbage: an error, never a panic.

#[path = "../common/mod.rs"]
mod common;

mod area;
mod axis;
mod ball_rod;
mod ball_rod_routes;
mod ball_rod_search;
mod change_points;
mod coil_sizing;
mod coils;
mod compression;
mod cylinder;
mod extreme_inputs;
mod feel;
mod fit_springs;
mod four_bar;
mod generators;
mod gimbal;
mod gradient;
mod hall;
mod lever;
mod magnet;
mod material;
mod obstacle;
mod pedals;
mod pull;
mod rod;
mod sizing;
mod slider_crank;
mod sphere;
mod spring_law;
mod steel;
mod synthesis;
mod transmission;
mod universal_joint;
mod wire;
