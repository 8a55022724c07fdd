//! What callers rely on: errors, shapes, texts.

#[path = "../common/mod.rs"]
mod common;

mod area;
mod arrangements;
mod axis;
mod axis_drive;
mod axis_sensors;
mod axis_sources;
mod ball_rod;
mod choices;
mod coils;
mod compression;
mod cylinder;
mod debug_text;
mod design;
mod error_budget;
mod feel;
mod feel_controls;
mod feel_driven;
mod feel_gimbal;
mod feel_motion;
mod feel_values;
mod field_source;
mod figures;
mod fit_springs;
mod gradient;
mod group;
mod hostile_linkages;
mod magnet;
mod material;
mod numbers;
mod pedals;
mod pose;
mod pull;
mod sphere;
mod spring_extremes;
mod spring_figures;
mod spring_law;
mod spring_limits;
mod steel;
mod stock;
mod stored;
mod transmission;
mod two_axis;
mod wire;
