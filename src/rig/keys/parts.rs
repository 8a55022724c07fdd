//! Keys of the title and of the parts that controls share.

use crate::rig::keys::key::Allowed::{Entry, Number, Numbers, Text, Whole, Word};
use crate::rig::keys::key::{Key, key, of, optional, unless};
use crate::rig::keys::words::Words;

const BLOCK: &[&str] = &["block"];
const ROUND: &[&str] = &["cylinder", "ring"];
const LINEAR: &[&str] = &["linear"];
const ANGLE: &[&str] = &["angle"];
const POT: &[&str] = &["potentiometer"];
const HALL: &[&str] = &["linear", "angle"];

pub(super) const KEYS: &[Key] = &[
    key("", "title", Text, "what the design is called"),
    optional(key(
        "",
        "currency",
        Text,
        "what prices are in; left out: no unit is shown",
    )),
    // --- magnets
    optional(key(
        "magnet",
        "shape",
        Word(Words::Shape),
        "what it is; left out: block",
    )),
    of(
        BLOCK,
        key(
            "magnet",
            "size_mm",
            Numbers(3, 0.01, 1000.0),
            "sides of the block: radial, tangential, axial (along the pivot's axis)",
        ),
    ),
    of(
        &["cylinder", "ring", "sphere"],
        key(
            "magnet",
            "diameter_mm",
            Number(0.01, 1000.0),
            "diameter; of a ring the outer one",
        ),
    ),
    of(
        &["ring"],
        key("magnet", "bore_mm", Number(0.001, 1000.0), "inner diameter"),
    ),
    of(
        ROUND,
        key(
            "magnet",
            "length_mm",
            Number(0.01, 1000.0),
            "length along its own axis; of a disc the thickness",
        ),
    ),
    of(
        ROUND,
        optional(key(
            "magnet",
            "axis",
            Numbers(3, -1.0, 1.0),
            "direction of its own axis: radial, tangential, axial; left out: axial, [0, 0, 1]",
        )),
    ),
    unless(
        "grade",
        key(
            "magnet",
            "polarization_mT",
            Numbers(3, -2500.0, 2500.0),
            "polarization: radial, tangential, axial; about the remanence of the grade. In its place: grade and \
             direction",
        ),
    ),
    optional(key(
        "magnet",
        "grade",
        Entry("a magnet grade, such as N42 or Y30"),
        "in place of polarization_mT: the polarization is its remanence, along direction",
    )),
    unless(
        "polarization_mT",
        key(
            "magnet",
            "direction",
            Numbers(3, -1.0, 1.0),
            "with a grade: direction of the polarization, from south to north: radial, tangential, axial",
        ),
    ),
    optional(key(
        "magnet",
        "remanence_percent",
        Number(1.0, 200.0),
        "polarization of the part, of that given or of its grade, for its tolerance; left out: 100",
    )),
    optional(key(
        "magnet",
        "remanence_drift_percent_per_K",
        Number(-1.0, 1.0),
        "change of the remanence with temperature; left out: that of the grade, without a grade 0",
    )),
    optional(key(
        "magnet",
        "reference_degC",
        Number(-60.0, 200.0),
        "temperature at which the polarization is given; left out: 20",
    )),
    // --- steel plates
    key(
        "plate",
        "distance_mm",
        Number(0.0, 200.0),
        "back of the magnets to the steel plate behind them; 0 where they lie on it",
    ),
    optional(key(
        "plate",
        "holder",
        Word(Words::PlateHolder),
        "what the plate is fixed to: what carries the magnets, or what carries the sensor; left out: magnets",
    )),
    // --- sensors
    optional(key(
        "sensor",
        "kind",
        Word(Words::Sensor),
        "what it is; left out: linear, a linear Hall sensor",
    )),
    optional(key(
        "sensor",
        "typical",
        Entry("a typical sensor of its kind, such as \"chopped 3.3 V 15 mV/mT\""),
        "figures of a typical part of its class, for every key that is left out; take those of your own data sheet",
    )),
    unless(
        "typical",
        of(
            &["linear", "potentiometer"],
            key(
                "sensor",
                "supply_V",
                Number(0.5, 40.0),
                "supply voltage in use; of a linear sensor at least 1.5",
            ),
        ),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "supply_V",
            Number(0.5, 40.0),
            "supply voltage of an analog output",
        )),
    ),
    unless(
        "typical",
        of(
            LINEAR,
            key(
                "sensor",
                "nominal_supply_V",
                Number(1.5, 40.0),
                "supply voltage at which the next figures hold; the output is ratiometric",
            ),
        ),
    ),
    unless(
        "typical",
        of(
            LINEAR,
            key(
                "sensor",
                "quiescent_V",
                Number(0.0, 40.0),
                "output without a field, at the nominal supply",
            ),
        ),
    ),
    unless(
        "typical",
        of(
            LINEAR,
            key(
                "sensor",
                "sensitivity_mV_per_mT",
                Number(0.1, 2000.0),
                "change of output for a change of flux density, at the nominal supply",
            ),
        ),
    ),
    unless(
        "typical",
        of(
            LINEAR,
            key(
                "sensor",
                "rail_low_V",
                Number(0.0, 40.0),
                "lowest output above ground",
            ),
        ),
    ),
    unless(
        "typical",
        of(
            LINEAR,
            key(
                "sensor",
                "rail_headroom_V",
                Number(0.0, 40.0),
                "supply less the highest output",
            ),
        ),
    ),
    unless(
        "typical",
        of(
            LINEAR,
            key(
                "sensor",
                "noise_mV",
                Number(0.0, 100.0),
                "rms output noise in the band that the converter sees, at the nominal supply",
            ),
        ),
    ),
    of(
        POT,
        optional(key(
            "sensor",
            "noise_mV",
            Number(0.0, 100.0),
            "rms noise of the wiper; left out: 0",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "noise_mT",
            Number(0.0, 10.0),
            "rms noise of each component; left out: 0",
        )),
    ),
    unless(
        "typical",
        of(
            HALL,
            key(
                "sensor",
                "depth_mm",
                Number(0.0, 5.0),
                "depth of the active area below the package face",
            ),
        ),
    ),
    of(
        LINEAR,
        optional(key(
            "sensor",
            "direction",
            Numbers(3, -1.0, 1.0),
            "direction of flux that raises the output, in the package frame (x tangential, z out of the face); left \
             out: [0, 0, 1]",
        )),
    ),
    of(
        LINEAR,
        optional(key(
            "sensor",
            "active_area_mm",
            Numbers(2, 0.0, 5.0),
            "sides of the active area along x and y of the package frame; left out: as good as a point",
        )),
    ),
    of(
        LINEAR,
        optional(key(
            "sensor",
            "bandwidth_Hz",
            Number(1e-3, 1e9),
            "corner of the pole that ends the sensor's bandwidth, in which noise_mV is given; left out: not known",
        )),
    ),
    of(
        LINEAR,
        optional(key(
            "sensor",
            "sensitivity_tolerance_percent",
            Number(0.0, 50.0),
            "how far the sensitivity of a part may be off, either way; left out: 0",
        )),
    ),
    of(
        LINEAR,
        optional(key(
            "sensor",
            "quiescent_tolerance_mV",
            Number(0.0, 40_000.0),
            "how far the quiescent output of a part may be off, either way; left out: 0",
        )),
    ),
    of(
        LINEAR,
        optional(key(
            "sensor",
            "sensitivity_drift_percent_per_K",
            Number(-1.0, 1.0),
            "change of the sensitivity with temperature; left out: 0",
        )),
    ),
    of(
        LINEAR,
        optional(key(
            "sensor",
            "quiescent_drift_mV_per_K",
            Number(-100.0, 100.0),
            "change of the quiescent output with temperature; left out: 0",
        )),
    ),
    of(
        LINEAR,
        optional(key(
            "sensor",
            "reference_degC",
            Number(-60.0, 200.0),
            "temperature at which sensitivity and quiescent output are given; left out: 25",
        )),
    ),
    of(
        HALL,
        optional(key(
            "sensor",
            "package_mm",
            Numbers(3, 0.1, 50.0),
            "width, height and thickness of the package, which must keep clear of the magnets; left out: only the \
             center of its face counts",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "first_direction",
            Numbers(3, -1.0, 1.0),
            "direction of the first component, in the package frame; left out: [1, 0, 0]",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "second_direction",
            Numbers(3, -1.0, 1.0),
            "direction of the second component, at a right angle to the first; left out: [0, 1, 0]",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "offsets_mT",
            Numbers(2, -100.0, 100.0),
            "offsets of both components; left out: none",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "gain_mismatch_percent",
            Number(-50.0, 50.0),
            "how much greater the gain of the second component is than that of the first; left out: 0",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "nonorthogonality_deg",
            Number(-28.0, 28.0),
            "how far the second component leans towards the first; left out: 0",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "working_flux_mT",
            Numbers(2, 0.001, 10_000.0),
            "least and greatest flux density at which the part keeps its data sheet; left out: any",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "bits",
            Whole(6, 24),
            "bits of its code over the full turn, for a digital output",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "low_V",
            Number(0.0, 40.0),
            "analog output at the lower end of its range",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "high_V",
            Number(0.0, 40.0),
            "analog output at the upper end of its range",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "range_deg",
            Number(1.0, 360.0),
            "the angle over which the analog output runs from low_V to high_V",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "sense",
            Word(Words::RotationSense),
            "which way the field turns for a growing output; left out: forward",
        )),
    ),
    of(
        ANGLE,
        optional(key(
            "sensor",
            "zero_deg",
            Number(-180.0, 180.0),
            "angle of the field at the zero position; left out: programmed where the centered control stands",
        )),
    ),
    unless(
        "typical",
        of(
            POT,
            key(
                "sensor",
                "travel_deg",
                Number(5.0, 3600.0),
                "electrical travel: over which the output changes",
            ),
        ),
    ),
    of(
        POT,
        optional(key(
            "sensor",
            "mechanical_travel_deg",
            Number(5.0, 3780.0),
            "from stop to stop; left out: the electrical travel",
        )),
    ),
    of(
        POT,
        optional(key(
            "sensor",
            "resistance_ohm",
            Number(10.0, 1e7),
            "resistance of the track; left out: 10000",
        )),
    ),
    of(
        POT,
        optional(key(
            "sensor",
            "end_resistances_ohm",
            Numbers(2, 0.0, 5e6),
            "between track and ground, and between track and supply; left out: none",
        )),
    ),
    of(
        POT,
        optional(key(
            "sensor",
            "linearity_percent",
            Number(0.0, 20.0),
            "independent linearity, of the supply, either way; left out: 0",
        )),
    ),
    of(
        POT,
        optional(key(
            "sensor",
            "noise_resistance_ohm",
            Number(0.0, 5e6),
            "equivalent noise resistance of the wiper's contact; left out: 0",
        )),
    ),
    of(
        POT,
        optional(key(
            "sensor",
            "load_ohm",
            Number(10.0, 1e12),
            "resistance of the converter's input, from the wiper to ground; left out: it draws no current",
        )),
    ),
    of(
        POT,
        optional(key(
            "sensor",
            "center_deg",
            Number(0.0, 3600.0),
            "where on the electrical travel the centered control stands; left out: in its middle",
        )),
    ),
    // --- filters and averaging
    unless(
        "resistance_ohm",
        key(
            "filter",
            "cutoff_Hz",
            Number(1e-3, 1e9),
            "corner of the low-pass before the converter. In its place: resistance_ohm and capacitance_nF",
        ),
    ),
    unless(
        "cutoff_Hz",
        key(
            "filter",
            "resistance_ohm",
            Number(1e-3, 1e12),
            "resistance of the filter, that of the source included",
        ),
    ),
    unless(
        "cutoff_Hz",
        key(
            "filter",
            "capacitance_nF",
            Number(1e-6, 1e12),
            "capacitance of the filter",
        ),
    ),
    key(
        "averaging",
        "samples",
        Whole(1, 1_000_000),
        "codes of which the mean is taken",
    ),
    key(
        "averaging",
        "interval_ms",
        Number(1e-6, 1e6),
        "time between two of them",
    ),
    // --- converters
    optional(key(
        "converter",
        "typical",
        Entry("a typical converter, such as \"12 bit 3.3 V\""),
        "figures of a typical converter, for every key that is left out",
    )),
    unless(
        "typical",
        key("converter", "bits", Whole(6, 24), "bits of the converter"),
    ),
    unless(
        "typical",
        key(
            "converter",
            "reference_V",
            Number(0.5, 20.0),
            "voltage of the full range",
        ),
    ),
    optional(key(
        "converter",
        "rounding",
        Word(Words::Rounding),
        "\"nearest\": code k is centered on k steps; \"down\": it begins there; left out: nearest",
    )),
    optional(key(
        "converter",
        "noise_mV",
        Number(0.0, 100.0),
        "rms noise of one conversion, referred to the input; left out: 0",
    )),
    optional(key(
        "converter",
        "nonlinearity_lsb",
        Number(0.0, 1000.0),
        "integral nonlinearity, worst case; left out: 0",
    )),
    optional(key(
        "converter",
        "oversampling",
        Whole(1, 65_536),
        "conversions of which it takes the mean for each code; left out: 1",
    )),
];
