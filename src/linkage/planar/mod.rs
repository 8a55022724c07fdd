//! Linkages that move in one plane.

mod centered;
pub(super) mod four_bar;
mod slider_crank;
mod synthesis;

pub use centered::CenteredFourBar;
pub use four_bar::{
    Branch, BranchAngles, BranchTrack, CouplerCurve, DeadCenter, DeadCenterKind, FourBar,
    FourBarClass, FourBarColumns, FourBarMotion, FourBarPose, FourBarSolutions, Grashof,
    PointMotion, TRANSMISSION_GOOD, TRANSMISSION_LIMIT,
};
pub use slider_crank::{
    SlideDeadCenter, SlideTransfer, SlideTransfers, SliderCrank, SliderCrankMotion, SliderCrankPose,
};
pub use synthesis::{
    FourBarDemand, FourBarFit, ThreePointFourBar, chebyshev_spacing, freudenstein_ratios,
    search_four_bars, three_point_four_bar,
};
