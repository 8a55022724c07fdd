//! What the searches for an arrangement require: the requirements by which [`Shortfall`](crate::search::Shortfall)s are
//! told apart.

crate::search::requirements! {
    /// Sensor and magnets keep clear of each other.
    CLEARANCE: "the parts collide", "angle up to which they keep clear of each other", "rad";
    /// The measures go together.
    MEASURES: "measures that do not go together", "arrangements that can be built of them", "(no unit)";
    /// The output stays within the rails and the input of the converter, by the margin.
    RANGE: "output beyond its range",
        "share of the output range by which the output goes beyond", "of the output range";
    /// The output stays within the rails and the input of the converter over enough of the throw.
    CLIPPING: "output clipped over too much of the throw", "clipped part of the throw", "of the throw";
    /// An angle sensor sees a field that it works in, neither weaker nor stronger.
    FIELD: "flux density that the angle sensor does not work in",
        "times by which it lies outside", "of the end of the working range";
    /// The output is straight.
    LINEARITY: "output not straight enough", "independent linearity", "of span";
    /// The output changes enough.
    SPAN: "output changes too little", "span of the output", "of the output range";
    /// The package keeps its distance from the magnets.
    DISTANCE: "sensor too close to a magnet", "clearance", "m";
    /// The arrangement is small enough.
    SIZE: "too large", "longest side of the box around pivot, magnets and sensor", "m";
    /// Fewer builds meet every target than are wanted.
    YIELD: "too few builds meet every target", "yield", "(no unit)";
}
