//! Axes and their arrangements, sweeps, figures and the search.

pub(super) mod arrangement;
pub(super) mod arrangement_search;
pub(super) mod bench;
pub(super) mod budget;
pub(super) mod control;
pub(super) mod latency;
pub(super) mod search;
pub(super) mod two_axis_sweep;
