//! What the searches for linkages require of each candidate: the requirements by which
//! [`Shortfall`](crate::search::Shortfall)s are told apart.

crate::search::requirements! {
    /// A ball-joint rod closes over the whole travel.
    CLOSES: "does not close over the travel", "input angle up to which it closes", "rad";
    /// The coupler and the rocker of a four-bar meet over the whole range of the crank; beyond 1 the cosine says how
    /// far they are from it.
    MEETS: "does not close over the range of the crank",
        "greatest cosine of the angle between coupler and rocker", "(no unit)";
    /// The links are as long as they may be.
    LINK_LENGTH: "a link too short or too long", "length of a link", "m";
    /// The output turns as far as wanted.
    OUTPUT_SPAN: "turns the output too far or too little", "turn of the output", "rad";
    /// The transmission angle is nowhere too small.
    TRANSMISSION_ANGLE: "transmission angle too small", "least transmission angle", "rad";
    /// The travel ends well before a lock.
    LOCK_MARGIN: "too near to a lock", "margin to the lock", "rad";
    /// The joint on the input arm swivels no further than it may.
    INPUT_SWIVEL: "joint on the input arm swivels too far", "swivel of the joint on the input arm", "rad";
    /// The joint on the output arm swivels no further than it may.
    OUTPUT_SWIVEL: "joint on the output arm swivels too far", "swivel of the joint on the output arm", "rad";
}
