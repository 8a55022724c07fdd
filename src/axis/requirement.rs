//! What the search for a layout requires: the requirements by which [`Shortfall`](crate::search::Shortfall)s are told
//! apart.

crate::search::requirements! {
    /// Sensor and magnets keep clear of each other.
    CLEARANCE: "the parts collide", "angle up to which they keep clear of each other", "rad";
    /// The output stays within the rails and the input of the converter, by the margin.
    RANGE: "output beyond its range",
        "share of the output range by which the output goes beyond", "of the output range";
    /// The output is straight.
    LINEARITY: "output not straight enough", "independent linearity", "of span";
}
