//! The two ways to compute the builds of a control.

use crate::error::choices;

/// How the builds of a control are computed. Both ways give the same figures, but for rounding; of a usual control, one
/// block swung past a linear sensor, linearity, steps and errors are looked at in 41 places where builds go side by
/// side, and are known to a hundredth of themselves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum YieldRoute {
    /// Many at a time, by the numbers that matter.
    SideBySide,
    /// One by one: the file is read anew with other numbers, and evaluated as the design itself is.
    ReadAnew,
}

choices!(YieldRoute, "way to build", {
    SideBySide => "side by side",
    ReadAnew => "read anew",
});
