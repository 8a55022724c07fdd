//! What the searches for springs require of each candidate: the requirements by which
//! [`Shortfall`](crate::search::Shortfall)s of springs are told apart.

crate::search::requirements! {
    /// It goes into the bore, even when pressed solid.
    BORE: "too wide for the bore", "greatest outer diameter", "m";
    /// The rod goes through it.
    ROD: "too narrow for the rod", "inner diameter", "m";
    /// It has enough active turns.
    FEW_TURNS: "too few active turns", "active turns", "turns";
    /// It has not too many active turns.
    MANY_TURNS: "too many active turns", "active turns", "turns";
    /// It is under load from the beginning of the travel on.
    LOOSE: "loose at the beginning of the travel", "length at the beginning of the travel", "m";
    /// It is short enough without load.
    FREE_LENGTH: "too long without load", "free length", "m";
    /// It is short enough when pressed solid.
    SOLID_LENGTH: "too long when pressed solid", "solid length", "m";
    /// Its body is short enough at the end of the travel.
    BODY_LENGTH: "body too long at the end of the travel", "length of the body at the end of the travel", "m";
    /// Its coils stay apart at the end of the travel.
    CLASH: "coils too close at the end of the travel", "clash allowance", "(no unit)";
    /// It may be pressed solid.
    SOLID: "yields when pressed solid", "safety when pressed solid", "(no unit)";
    /// It does not buckle within the travel.
    BUCKLING: "buckles within the travel", "deflection that buckles it", "m";
    /// It lasts.
    LIFE: "breaks too early", "safety against breaking", "(no unit)";
    /// It does not yield at the end of the travel.
    YIELD: "yields at the end of the travel", "safety against yielding at the end of the travel", "(no unit)";
    /// The force at the beginning of the travel is enough for the least initial tension that is usual.
    INITIAL_TENSION: "too little force for the usual initial tension", "initial tension", "N";
    /// It does not close on its arbor.
    ARBOR: "closes on its arbor", "inner diameter at the end of the travel", "m";
    /// It has the rate that is wanted.
    RATE: "another rate", "share by which the rate departs from the wanted one", "(no unit)";
    /// It has the force that is wanted.
    FORCE: "another force", "share by which the force departs from the wanted one", "(no unit)";
    /// It is long enough for where it is held.
    TOO_SHORT: "too short for where it is held", "length at the beginning of the travel", "m";
    /// It is short enough for where it is held.
    TOO_LONG: "too long for where it is held", "length at the beginning of the travel", "m";
    /// It does not go slack within the travel.
    SLACK: "goes slack within the travel", "deflection at the beginning of the travel", "m";
    /// It stands the end of the travel.
    TRAVEL: "stretched or pressed further than it stands", "deflection at the end of the travel", "m";
}
