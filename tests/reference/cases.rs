//! Reads the published values: one `[[case]]` a source statement, with inputs and expected values by name.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Value;

/// What is known of where a value comes from.
#[derive(Debug, Deserialize)]
pub(crate) enum Provenance {
    /// Read in the source or a copy of it.
    #[serde(rename = "seen")]
    Seen,
    /// Recalled; a second reading is owed.
    #[serde(rename = "from memory")]
    FromMemory,
    /// Nobody's in particular.
    #[serde(rename = "common practice")]
    CommonPractice,
}

/// One statement of a source. Values are SI or carry their unit in the key.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Case {
    pub(crate) id: String,
    pub(crate) quantity: String,
    pub(crate) source: String,
    pub(crate) provenance: Provenance,
    #[serde(default)]
    pub(crate) note: String,
    /// Relative tolerance: half a unit of the last digit printed, or the spread the source allows.
    pub(crate) rel_tol: f64,
    /// Tolerances of single values, where `rel_tol` would be too coarse.
    #[serde(default)]
    pub(crate) key_tol: BTreeMap<String, f64>,
    pub(crate) inputs: BTreeMap<String, Value>,
    pub(crate) expected: BTreeMap<String, Value>,
}

/// All statements of a file.
#[derive(Debug, Deserialize)]
pub(crate) struct Cases {
    case: Vec<Case>,
}

impl Cases {
    pub(crate) fn parse(text: &str) -> Self {
        toml::from_str(text).expect("the reference file is well formed")
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = &Case> {
        self.case.iter()
    }

    pub(crate) fn get(&self, id: &str) -> &Case {
        let mut found = self.iter().filter(|case| case.id == id);
        match (found.next(), found.next()) {
            (Some(case), None) => case,
            (None, _) => panic!("no reference case '{id}'"),
            _ => panic!("two reference cases '{id}'"),
        }
    }

    /// Fails if a row is in the file but its id nowhere in the text of the test.
    pub(crate) fn assert_all_used_in(&self, test: &str) {
        for case in self.iter() {
            let quoted = format!("\"{}\"", case.id);
            assert!(test.contains(&quoted), "{}: not tested", case.id);
            assert!(!case.source.is_empty(), "{}: no source", case.id);
        }
    }
}

impl Case {
    pub(crate) fn input(&self, key: &str) -> f64 {
        self.number(&self.inputs, key)
    }

    pub(crate) fn expected(&self, key: &str) -> f64 {
        self.number(&self.expected, key)
    }

    /// Fails unless `values` are all the expected ones, each within its tolerance.
    pub(crate) fn check(&self, values: &[(&str, f64)]) {
        let keys: Vec<_> = values.iter().map(|(key, _)| *key).collect();
        for key in self.expected.keys() {
            assert!(
                keys.contains(&key.as_str()),
                "{}: {key} not tested",
                self.id
            );
        }
        for &(key, value) in values {
            let expected = self.expected(key);
            let tolerance = self.key_tol.get(key).unwrap_or(&self.rel_tol) * expected.abs();
            assert!(
                (value - expected).abs() <= tolerance,
                "{}: {key} is {value}, not {expected} +- {tolerance} ({}; {:?}; {} {})",
                self.id,
                self.source,
                self.provenance,
                self.quantity,
                self.note,
            );
        }
    }

    fn number(&self, table: &BTreeMap<String, Value>, key: &str) -> f64 {
        match table.get(key) {
            Some(Value::Float(value)) => *value,
            Some(Value::Integer(value)) => *value as f64,
            other => panic!("{}: {key} is {other:?}, not a number", self.id),
        }
    }
}
