//! Linkages that move in one plane.

mod centered;
pub(super) mod four_bar;
mod slider_crank;
mod synthesis;

pub use centered::CenteredFourBar;
pub use four_bar::{
    Branch, BranchAngles, BranchTrack, CouplerCurve, DeadCenter, DeadCenterKind, FourBar,
    FourBarClass, FourBarMotion, FourBarPose, FourBarSolutions, Grashof, PointMotion,
    TRANSMISSION_GOOD, TRANSMISSION_LIMIT,
};
pub use slider_crank::{
    SlideDeadCenter, SlideTransfer, SlideTransfers, SliderCrank, SliderCrankMotion, SliderCrankPose,
};
pub use synthesis::{
    FourBarFit, FourBarGoal, ThreePointFourBar, chebyshev_spacing, fit_four_bar,
    freudenstein_ratios, three_point_four_bar,
};
