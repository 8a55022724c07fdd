//! What callers rely on: errors, shapes, texts.

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/noise.rs"]
mod noise;

mod area;
mod arrangement_search;
mod arrangements;
mod axis;
mod axis_drive;
mod axis_sensors;
mod axis_sources;
mod ball_rod;
mod bench_calibration;
mod bench_sweep;
mod camera;
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
mod latency;
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
mod tolerance;
mod transmission;
mod two_axis;
mod two_axis_sweep;
mod wire;
