//! What can go wrong, in words that name the quantity, the value, the limit and the unit.

mod checks;
mod choice;
mod hint;
mod text;

pub use hint::Hint;

use text::{beside, span};

use crate::units;

pub(crate) use checks::{
    ascending, counted, finite, finite_parts, parts_within, within, within_computed,
};
pub(crate) use choice::{choices, plain};
pub(crate) use text::{about, echo, printable, tidy};

/// The result of every checked constructor and every calculation that physics can refuse.
pub type Result<T> = std::result::Result<T, Error>;

/// A refusal: which quantity, which value, which limit, in which unit.
///
/// Values are SI and `unit` says so; the trade's usual slip (a millimetre given as a metre, a degree
/// given as a radian) adds a hint to the text.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A value is NaN or infinite.
    #[error("{quantity} is {value}, not a finite number; give it in {unit}")]
    NotFinite {
        /// What the value stands for.
        quantity: &'static str,
        /// The value given.
        value: f64,
        /// Its SI unit.
        unit: &'static str,
    },
    /// A value lies outside what is possible or plausible.
    #[error("{quantity} = {} {unit} is outside {} to {} {unit}{hint}", beside(*value, &[*min, *max]), tidy(*min),
        tidy(*max))]
    OutOfRange {
        /// What the value stands for.
        quantity: &'static str,
        /// The value given.
        value: f64,
        /// The least allowed value.
        min: f64,
        /// The greatest allowed value.
        max: f64,
        /// The SI unit of all three.
        unit: &'static str,
        /// What may have been meant.
        hint: Hint,
    },
    /// Two values that must come in order do not.
    #[error(
        "{quantity}: lower end {} {unit} is not below upper end {} {unit}{}", beside(*lower, &[*upper]), beside(*upper,
            &[*lower]),
        if lower > upper { "; the two look exchanged" } else { "" }
    )]
    NotAscending {
        /// What the pair stands for.
        quantity: &'static str,
        /// The value that should be the lower.
        lower: f64,
        /// The value that should be the upper.
        upper: f64,
        /// The SI unit of both.
        unit: &'static str,
    },
    /// A direction cannot be taken from a vector of no length.
    #[error("{quantity} has length zero, so it points nowhere; give a vector with a direction")]
    NoDirection {
        /// What the vector stands for.
        quantity: &'static str,
    },
    /// Too few (or too many) entries.
    #[error("{quantity}: {count} given, {} needed", span(*min, *max))]
    Count {
        /// What is being counted.
        quantity: &'static str,
        /// How many there are.
        count: usize,
        /// The least number that makes sense.
        min: usize,
        /// The greatest number allowed.
        max: usize,
    },
    /// Two lists that belong together differ in length.
    #[error("{first} has {first_len} entries but {second} has {second_len}; they must match")]
    LengthMismatch {
        /// The first list.
        first: &'static str,
        /// Its length.
        first_len: usize,
        /// The second list.
        second: &'static str,
        /// Its length.
        second_len: usize,
    },
    /// A name is not one of the choices.
    #[error("{quantity}: '{}' is not known; choose one of: {choices}", echo(given))]
    NotAChoice {
        /// What the name should choose.
        quantity: &'static str,
        /// The name given.
        given: String,
        /// The names there are, separated by commas.
        choices: String,
    },
    /// A name that nothing has; too many do to list them all.
    #[error("{quantity} '{}' is not known; nearest to it: {near}", echo(given))]
    UnknownName {
        /// What the name should stand for.
        quantity: &'static str,
        /// The name given.
        given: String,
        /// The nearest names there are, separated by commas.
        near: String,
    },
    /// Two that differ have one name.
    #[error(
        "{quantity}: the name '{}' stands for two that differ; give each a name of its own",
        echo(name)
    )]
    NameTaken {
        /// What the names are of.
        quantity: &'static str,
        /// The name of both.
        name: String,
    },
    /// A magnet grade is asked for its figures at a temperature at which it has none.
    #[error(
        "grade {grade} at {} degC: its figures hold from {} degC to its maximum working temperature of {} degC; \
         choose a grade rated for that temperature", tidy(*celsius), tidy(*min), tidy(*max)
    )]
    WorkingTemperature {
        /// Designation of the grade.
        grade: String,
        /// The temperature asked for, degC.
        celsius: f64,
        /// The lowest temperature, degC.
        min: f64,
        /// The maximum working temperature, degC.
        max: f64,
    },
    /// A wire is asked for its strength at a diameter for which its table has none.
    #[error(
        "wire {wire} has no strength at a diameter of {} mm: its table runs from {} to {} mm; choose a diameter \
            within, or another wire",
        tidy(*diameter / units::MM), tidy(*min / units::MM), tidy(*max / units::MM)
    )]
    WireDiameter {
        /// Designation of the wire.
        wire: String,
        /// The diameter asked for, m.
        diameter: f64,
        /// The thinnest wire of its table, m.
        min: f64,
        /// The thickest, m.
        max: f64,
    },
    /// A straight demagnetization curve is needed, and the material has none.
    #[error(
        "grade {grade} has a curved demagnetization curve: where it works depends on how it was magnetized, \
         and a straight line through its remanence would be far off; take the polarization from a measurement"
    )]
    CurvedDemagnetization {
        /// Designation of the grade.
        grade: String,
    },
    /// The point lies on an edge of a magnet, where the ideal field grows without bound.
    #[error(
        "the field has no value at ({x}, {y}, {z}) m: the point lies on an edge of a magnet; move it off the edge"
    )]
    OnEdge {
        /// Coordinates of the point in the frame of the query, m.
        x: f64,
        /// See `x`.
        y: f64,
        /// See `x`.
        z: f64,
    },
    /// The sensor's package, its face or what of it reads lies inside a magnet or a plate.
    #[error(
        "at {} deg {part} reaches {} mm into {other}: the parts collide; move the sensor or shorten the throw",
        about(*angle_deg), about(*overlap / units::MM)
    )]
    Collision {
        /// What of the sensor.
        part: &'static str,
        /// Into what.
        other: String,
        /// The angle at which they meet, in degrees.
        angle_deg: f64,
        /// How deep it lies inside, m.
        overlap: f64,
    },
    /// Two parts of a stick on two axes run into each other.
    #[error(
        "with the outer axis at {} deg and the inner one at {} deg, {part} and {other} reach {} mm into each other: \
            the parts collide; move one of them or narrow the gate",
        about(*outer / units::DEG), about(*inner / units::DEG), about(*overlap / units::MM)
    )]
    TwoAxisCollision {
        /// The one part.
        part: String,
        /// The other.
        other: String,
        /// Outer angle at which they meet, rad.
        outer: f64,
        /// Inner angle there, rad.
        inner: f64,
        /// How deep the one lies in the other, m.
        overlap: f64,
    },
    /// What acts between two bodies of a control has both ends on one of them.
    #[error(
        "both ends of the {what} are on the same body ('{body}'), so that it can move nothing; put one of them on \
            another body"
    )]
    SameBody {
        /// What acts.
        what: &'static str,
        /// The body.
        body: String,
    },
    /// Two magnets overlap.
    #[error(
        "magnet {first} of those that pull and magnet {second} of those that are pulled (counted from 0) reach {} mm \
            into each other; move them apart", about(*depth / units::MM)
    )]
    Overlap {
        /// Number of the one magnet in its group, from 0.
        first: usize,
        /// Number of the other in its own.
        second: usize,
        /// About how far they would have to be moved apart, m.
        depth: f64,
    },
    /// Two magnets of a group overlap.
    #[error(
        "magnets {first} and {second} of the group (counted from 0) reach {} mm into each other; move them apart, or \
            build the group as superposed if one stands for a hole in the other", about(*depth / crate::units::MM)
    )]
    GroupOverlap {
        /// Number of the one magnet, from 0.
        first: usize,
        /// Number of the other.
        second: usize,
        /// About how far they would have to be moved apart, m.
        depth: f64,
    },
    /// A magnet is cut by a steel plate or lies behind its face.
    #[error(
        "magnet {magnet} (counted from 0) reaches {} mm through the face of the steel plate; move it off, or turn the \
            normal of the plate towards the magnets", about(*reach / units::MM)
    )]
    ThroughPlate {
        /// Number of the magnet in its group, from 0.
        magnet: usize,
        /// How far it reaches behind the face, m.
        reach: f64,
    },
    /// Something has not what is asked of it.
    #[error("{of} has no {quantity}{}", if advice.is_empty() { String::new() } else { format!("; {advice}") })]
    Absent {
        /// What was asked for.
        quantity: &'static str,
        /// What has none.
        of: &'static str,
        /// What to do; empty if there is nothing to say.
        advice: &'static str,
    },
    /// Something has what it cannot use.
    #[error("{of} takes no {quantity}; {advice}")]
    Surplus {
        /// What was given.
        quantity: &'static str,
        /// What takes none.
        of: &'static str,
        /// What to do.
        advice: &'static str,
    },
    /// The point lies inside a steel plate.
    #[error(
        "the point lies {} mm behind the face of the steel plate, where images give no field; move it in front",
            about(*depth / units::MM)
    )]
    BehindPlate {
        /// How far behind the face, m.
        depth: f64,
    },
    /// A sensor's active area cuts the surface of a magnet or a plate.
    #[error(
        "the active area cuts the surface of magnet {body} (counted from 0; after the last comes the plate), where the \
            field jumps; \
         move it wholly out of the material or wholly into it"
    )]
    AreaCut {
        /// Number of the magnet in its group, from 0; behind the last one the plate.
        body: usize,
    },
    /// An integral did not reach the accuracy asked for.
    #[error(
        "{quantity}: the error is still about {reached:.1e} {unit}, {wanted:.1e} {unit} was asked for; allow a larger \
            tolerance"
    )]
    NotConverged {
        /// What was integrated.
        quantity: &'static str,
        /// The estimated error, in `unit`.
        reached: f64,
        /// The error asked for, in `unit`.
        wanted: f64,
        /// The SI unit of both.
        unit: &'static str,
    },
    /// Something that unfolds step by step could not be followed to its end.
    #[error(
        "{quantity} could be followed to {} {unit} only, {} {unit} was asked for; ask for less, or look whether a mass \
            is near zero or a damping enormous",
        about(*reached), tidy(*wanted)
    )]
    Stalled {
        /// What was followed.
        quantity: &'static str,
        /// How far it was followed.
        reached: f64,
        /// How far it should have been.
        wanted: f64,
        /// The SI unit of both.
        unit: &'static str,
    },
    /// The links of a linkage cannot meet.
    #[error(
        "the {linkage} cannot close at an input angle of {} deg: its parts miss each other by {} mm; change a length \
            or the angle",
        tidy(*angle / units::DEG), about(*gap / units::MM)
    )]
    CannotClose {
        /// What kind of linkage.
        linkage: &'static str,
        /// Input angle, rad.
        angle: f64,
        /// How much the rod or coupler is too short or too long to meet its joint, m.
        gap: f64,
    },
    /// The lengths of a linkage are such that it closes at no angle at all.
    #[error(
        "the {linkage} can never close: its longest part is {} mm too long, or another as much too short; change a \
            length",
        about(*gap / units::MM)
    )]
    NeverCloses {
        /// What kind of linkage.
        linkage: &'static str,
        /// How far the parts miss each other where they come nearest, m.
        gap: f64,
    },
    /// A quantity has no definite value because two parts of a linkage are in line.
    #[error(
        "the {quantity} of the {linkage} has no definite value at an input angle of {} deg: two parts are in line \
            there (a dead center); keep away from it",
        tidy(*angle / units::DEG)
    )]
    DeadCenter {
        /// What kind of linkage.
        linkage: &'static str,
        /// What has no value.
        quantity: &'static str,
        /// Input angle, rad.
        angle: f64,
    },
    /// Of all the candidates of a search none fits; see [`SearchResult::best`](crate::search::SearchResult::best).
    #[error(
        "none of the {tried} {what} tried fits; the nearest fails in {quantity}: {} {unit} where the limit is {} \
            {unit}", about(*value), tidy(*limit)
    )]
    NothingFits {
        /// What was searched for.
        what: &'static str,
        /// How many were tried.
        tried: usize,
        /// What the nearest one fails in most.
        quantity: &'static str,
        /// Its value.
        value: f64,
        /// The limit that it misses.
        limit: f64,
        /// The SI unit of both.
        unit: &'static str,
    },
    /// No linkage does what is wanted.
    #[error(
        "no linkage does this: {quantity} is {} {unit} where the limit is {} {unit}; change a wanted pair, the range \
            or a limit", about(*value), tidy(*limit)
    )]
    NoLinkage {
        /// What stands in the way.
        quantity: &'static str,
        /// Its value.
        value: f64,
        /// The limit that it does not keep.
        limit: f64,
        /// The SI unit of both.
        unit: &'static str,
    },
    /// An angle beyond the end of what a transmission can travel.
    #[error(
        "{quantity} = {} deg is beyond {} deg, where the travel ends: {limit}; shorten the throw or change the linkage",
        beside(*value / units::DEG, &[*end / units::DEG]), tidy(*end / units::DEG)
    )]
    BeyondReach {
        /// What the angle stands for.
        quantity: &'static str,
        /// The angle, rad.
        value: f64,
        /// Where the travel ends, rad.
        end: f64,
        /// What ends it.
        limit: String,
    },
    /// A slide position that a linkage cannot reach.
    #[error(
        "the {linkage} cannot reach a slide position of {} mm: its parts miss each other by {} mm",
        tidy(*position / units::MM), about(*gap / units::MM)
    )]
    OutOfReach {
        /// What kind of linkage.
        linkage: &'static str,
        /// The position asked for, m.
        position: f64,
        /// How far the parts miss each other, m.
        gap: f64,
    },
    /// A cell of a table that was read from a file cannot be used.
    #[error("line {line}, column '{}': {problem}", echo(column))]
    Cell {
        /// Line of the file, from 1.
        line: u64,
        /// Heading of the column.
        column: String,
        /// What is wrong with it: quantity, value, limit, unit.
        problem: String,
    },
    /// Rows of a bench sweep that cannot be used are still in it.
    #[error(
        "line {line} of the bench sweep: {problem}; {}; mend it, or have rows of this kind left out",
        if *count == 1 { "this one cannot be used".to_owned() } else { format!("{count} such rows cannot be used") }
    )]
    UnusableRows {
        /// How many there are.
        count: usize,
        /// Line of the first, from 1.
        line: u64,
        /// What is wrong with it.
        problem: String,
    },
    /// What must go one way turns back.
    #[error(
        "{quantity} turn back between {} and {} {over}: from {} to {} {unit}; {advice}", about(*from), about(*to),
        about(*before), about(*after)
    )]
    TurnsBack {
        /// What goes, in the plural.
        quantity: &'static str,
        /// Where it begins to turn back, in the unit `over`.
        from: f64,
        /// Where it has turned back.
        to: f64,
        /// Unit of both places, as the reader has it.
        over: &'static str,
        /// Its value at the one place.
        before: f64,
        /// Its value at the other.
        after: f64,
        /// Unit of both values.
        unit: &'static str,
        /// What to do.
        advice: &'static str,
    },
    /// Two lists look exchanged.
    #[error(
        "{first} look like {second} and {second} like {first}: the two look exchanged; give them the other way round"
    )]
    Exchanged {
        /// The one list, in the plural.
        first: &'static str,
        /// The other.
        second: &'static str,
    },
    /// A value cannot be written as text.
    #[error("cannot be stored: {reason}")]
    NotStored {
        /// The reason of whatever writes it.
        reason: String,
    },
    /// An [`Observer`](crate::Observer) asked to stop.
    #[error("stopped before the end, as asked")]
    Stopped,
}

#[cfg(test)]
mod tests;
