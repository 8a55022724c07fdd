//! Keys of the stages between hand and screen.

use crate::rig::keys::key::Allowed::{Name, Number, Series, Whole, Word};
use crate::rig::keys::key::{Key, key, of, optional};
use crate::rig::keys::words::Words;

/// Longest time of a stage and between two polls or frames, ms.
const LONGEST: f64 = 5000.0;

pub(super) const KEYS: &[Key] = &[
    optional(key(
        "converter",
        "conversion_ms",
        Number(0.0, 1000.0),
        "time from the sample of an input to its code; left out: not reckoned with",
    )),
    key("latency", "name", Name, "what the stage is called"),
    optional(key(
        "latency",
        "stage",
        Word(Words::Stage),
        "what it does, by which a remedy is told; left out: other",
    )),
    key(
        "latency",
        "delay",
        Word(Words::Delay),
        "how long it takes: one time, any time between two, a wait for the next of what comes in even steps, a \
         triangle, measured times, a wait for the next poll of the bus",
    ),
    of(
        &["fixed"],
        key(
            "latency",
            "time_ms",
            Number(0.0, LONGEST),
            "the time that it takes, always the same",
        ),
    ),
    of(
        &["uniform", "triangular"],
        key(
            "latency",
            "shortest_ms",
            Number(0.0, LONGEST),
            "the shortest time",
        ),
    ),
    of(
        &["uniform", "triangular"],
        key(
            "latency",
            "longest_ms",
            Number(0.0, LONGEST),
            "the longest time",
        ),
    ),
    of(
        &["triangular"],
        key(
            "latency",
            "likely_ms",
            Number(0.0, LONGEST),
            "the most likely time",
        ),
    ),
    of(
        &["wait"],
        key(
            "latency",
            "interval_ms",
            Number(1e-6, LONGEST),
            "from one to the next of what is waited for, such as the frames of a display",
        ),
    ),
    of(
        &["wait"],
        optional(key(
            "latency",
            "missed_percent",
            Number(0.0, 100.0),
            "how often one is missed, so that it takes an interval more; left out: 0",
        )),
    ),
    of(
        &["sample"],
        key(
            "latency",
            "times_ms",
            Series(1, 100_000, 0.0, LONGEST),
            "the times measured, each as probable as any other",
        ),
    ),
    of(
        &["polling"],
        optional(key(
            "latency",
            "speed",
            Word(Words::UsbSpeed),
            "speed of the device; left out: full",
        )),
    ),
    of(
        &["polling"],
        key(
            "latency",
            "b_interval",
            Whole(1, 255),
            "bInterval of the endpoint's descriptor",
        ),
    ),
];
