//! The numbers of a stored value by their paths, to be changed and read back through the checks of the value.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Number, Value};

use crate::axis::tolerance::buildable::{BuildFailure, place};
use crate::error::{Error, Result};

/// A value as it is stored, and where its numbers stand.
#[derive(Debug, Clone)]
pub(super) struct StoredTree {
    tree: Value,
    /// The paths of all numbers, without the tags of choices, and the steps that lead there.
    numbers: Vec<(String, Vec<Step>)>,
}

#[derive(Debug, Clone)]
enum Step {
    Key(String),
    Index(usize),
}

impl StoredTree {
    pub(super) fn of(value: &impl Serialize) -> Result<Self> {
        let tree = serde_json::to_value(value).map_err(|error| Error::NotStored {
            reason: error.to_string(),
        })?;
        let mut numbers = Vec::new();
        collect(&tree, String::new(), Vec::new(), &mut numbers);
        Ok(Self { tree, numbers })
    }

    /// Which of the numbers a path names.
    pub(super) fn number(&self, path: &str) -> Result<usize> {
        place("input of the design", path, &self.numbers, |(path, _)| path)
    }

    /// Its value.
    pub(super) fn value(&self, number: usize) -> f64 {
        let mut at = &self.tree;
        for step in &self.numbers[number].1 {
            at = match step {
                Step::Key(key) => &at[key],
                Step::Index(index) => &at[index],
            };
        }
        at.as_f64().unwrap_or(f64::NAN)
    }

    /// The value with these numbers changed, through its own checks.
    pub(super) fn with<T: DeserializeOwned>(
        &self,
        numbers: impl Iterator<Item = (usize, f64)>,
    ) -> std::result::Result<T, BuildFailure> {
        let mut tree = self.tree.clone();
        for (number, value) in numbers {
            let (path, steps) = &self.numbers[number];
            let Some(value) = Number::from_f64(value) else {
                return Err(BuildFailure {
                    reason: format!("{path} out of range"),
                    text: format!("{path} is {value}, not a finite number"),
                });
            };
            let mut at = Some(&mut tree);
            for step in steps {
                at = at.and_then(|at| match step {
                    Step::Key(key) => at.get_mut(key),
                    Step::Index(index) => at.get_mut(index),
                });
            }
            if let Some(at) = at {
                *at = Value::Number(value);
            }
        }
        serde_json::from_value(tree).map_err(|error| refused(&error.to_string()))
    }
}

/// What the checks of a value that is read back say, in few words: they come as text.
fn refused(text: &str) -> BuildFailure {
    let reason = match text.split_once(" = ") {
        Some((quantity, rest)) if rest.contains(" is outside ") => {
            format!("{quantity} out of range")
        }
        _ => "cannot be assembled".to_owned(),
    };
    BuildFailure {
        reason,
        text: text.to_owned(),
    }
}

fn collect(at: &Value, path: String, steps: Vec<Step>, numbers: &mut Vec<(String, Vec<Step>)>) {
    let below = |name: &str| match path.as_str() {
        "" => name.to_owned(),
        path => format!("{path}.{name}"),
    };
    let step = |next: Step| steps.iter().cloned().chain([next]).collect();
    match at {
        Value::Number(_) => numbers.push((path, steps)),
        Value::Array(parts) => {
            for (index, part) in parts.iter().enumerate() {
                collect(
                    part,
                    below(&index.to_string()),
                    step(Step::Index(index)),
                    numbers,
                );
            }
        }
        Value::Object(parts) => {
            for (key, part) in parts {
                let name = if is_tag(parts, key) {
                    path.clone()
                } else {
                    below(key)
                };
                collect(part, name, step(Step::Key(key.clone())), numbers);
            }
        }
        _ => {}
    }
}

/// Whether a key tells which choice a value is, and is no name of a quantity: the only one, before further names or in
/// upper case.
fn is_tag(parts: &Map<String, Value>, key: &str) -> bool {
    let word = key.starts_with(|first: char| first.is_ascii_uppercase());
    parts.len() == 1 && (word || parts.values().all(Value::is_object))
}
