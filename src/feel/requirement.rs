//! What the search for springs of a control requires: the requirements by which
//! [`Shortfall`](crate::search::Shortfall)s are told apart.

crate::search::requirements! {
    /// No spring is anywhere shorter or longer than it may be.
    SPRING_LENGTH: "a spring beyond its limits", "length of a spring beyond its limits", "m";
    /// The force at the stops is the wanted one.
    FULL_FORCE: "another force at the stops", "force at the stops", "N";
    /// The force grows on leaving the center as wanted.
    GRADIENT: "another gradient", "gradient", "N/m";
    /// The force that sets it in motion is the wanted one.
    BREAKOUT: "another breakout force", "breakout force", "N";
}
