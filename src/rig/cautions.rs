//! What everyone who builds from these figures must know; shown in the README, the report and the command's help.

/// The cautions, a sentence or two each.
pub const CAUTIONS: [&str; 8] = [
    "For simulators only: never use these figures or parts for the controls of a real aircraft, vehicle or machine.",
    "Small strong magnets are dangerous if swallowed: keep them away from children, and get medical help at once if it \
        happens.",
    "Keep magnets away from pacemakers and other implants.",
    "Magnets snap together: they pinch skin and throw splinters. Wear eye protection and handle them one at a time.",
    "Springs under load can throw parts into eyes and trap fingers: relieve them before opening the mechanism.",
    "Parts that carry a foot must stand an emergency press of over a kilonewton: have them checked by someone \
        qualified.",
    "Stay within the supply limits of the PC port, and never drive a converter's input above what it is rated for.",
    "Local codes and licensed practice come first: this tool informs, it certifies nothing.",
];
