//! The library against published numbers. Each value and its source stand in the `.toml` file beside the test.

#[path = "../common/mod.rs"]
mod common;

mod axis;
mod ball_rod;
mod cases;
mod coils;
mod compression;
mod cylinders;
mod feel;
mod four_bars;
mod gimbals;
mod gradients;
mod hall;
mod latency;
mod magnets;
mod materials;
mod pull;
mod rods;
mod spheres;
mod steel;
mod synthesis;
mod tolerance;
mod wires;
