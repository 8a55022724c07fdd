//! What must hold over the whole valid domain, and for garbage: an error, never a panic.

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/strategies.rs"]
mod strategies;

mod area;
mod arrangement_search;
mod arrangements;
mod axis;
mod ball_rod;
mod ball_rod_routes;
mod ball_rod_search;
mod bench;
mod cylinder;
mod error_budget;
mod feel;
mod feel_fit;
mod force;
mod four_bar;
mod four_bar_in_line;
mod generators;
mod gimbal;
mod gradient;
mod hall;
mod helical_coils;
mod helical_compression;
mod latency;
mod law;
mod lever;
mod linkage_extremes;
mod magnet;
mod material;
mod obstacle;
mod pedals;
mod plate;
mod rod;
mod sizing_brute_force;
mod sizing_coils;
mod slider_crank;
mod sphere;
mod synthesis;
mod tolerance;
mod transmission;
mod two_axis;
mod universal_joint;
mod wire;
