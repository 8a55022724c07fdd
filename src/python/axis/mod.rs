//! Axes and their arrangements, sweeps, figures and the search.

pub(super) mod arrangement;
pub(super) mod arrangement_search;
pub(super) mod bench;
pub(super) mod budget;
pub(super) mod control;
pub(super) mod correction;
pub(super) mod crosstalk;
pub(super) mod latency;
pub(super) mod stick;
pub(super) mod tolerance;
pub(super) mod two_axis_readings;
pub(super) mod two_axis_sweep;
