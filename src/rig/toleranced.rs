//! Numbers of a design file with their tolerances, and the slots that some of them may be set in.

use serde::{Deserialize, Serialize};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::axis::Distribution;
use crate::error::Result;
use crate::rig::keys::Key;
use crate::rig::tolerance_shape::ToleranceShape;

/// The tolerance that a design file gives to one of its numbers, such as `gap_mm = { value = 3.3, plus_minus = 0.3 }`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct KeyTolerance {
    key: String,
    input: String,
    line: usize,
    shape: ToleranceShape,
    distribution: Distribution,
}

impl KeyTolerance {
    /// The key with its section, as the file has it: `axis.gap_mm`.
    #[must_use]
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The same by the name of the control that it stands in, as a study of builds and a common cause name it:
    /// `axis.rudder.gap_mm`, `stick.stick.outer.gap_mm`, `magnet.cube.size_mm.0` for the first of several numbers.
    #[must_use]
    pub fn input(&self) -> &str {
        &self.input
    }

    /// The line of the file at which it stands.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line
    }

    /// How the number is distributed, in words.
    #[must_use]
    pub fn shape(&self) -> ToleranceShape {
        self.shape
    }

    /// How the number is distributed, in SI.
    #[must_use]
    pub fn distribution(&self) -> &Distribution {
        &self.distribution
    }
}

/// A number that can be set anywhere within a slot, such as `arm_mm = { value = 12, slot = [8, 16] }`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct KeySlot {
    pub(super) input: String,
    pub(super) line: usize,
    pub(super) unit: String,
    pub(super) setting: f64,
    pub(super) ends: [f64; 2],
}

impl KeySlot {
    /// The number by its section and the name of its control: `axis.rudder.arm_mm`.
    #[must_use]
    pub fn input(&self) -> &str {
        &self.input
    }

    /// The line of the file at which it stands.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line
    }

    /// The unit of its key.
    #[must_use]
    pub fn unit(&self) -> &str {
        &self.unit
    }

    /// Where it is set, in that unit.
    #[must_use]
    pub fn setting(&self) -> f64 {
        self.setting
    }

    /// Both ends of the slot, in that unit.
    #[must_use]
    pub fn ends(&self) -> [f64; 2] {
        self.ends
    }
}

/// A number in the unit of its key, with its tolerance and its slot if it has them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Toleranced {
    pub(super) value: f64,
    plus_minus: f64,
    shape: ToleranceShape,
    pub(super) slot: Option<[f64; 2]>,
}

impl Toleranced {
    /// What a value of the file says; none of one that is no number within the range, or says more than it may.
    pub(super) fn read(value: &DeValue<'_>, [min, max]: [f64; 2], may_vary: bool) -> Option<Self> {
        match value {
            DeValue::Table(table) if may_vary => Self::of_table(table, [min, max]),
            value => Some(Self {
                value: number_within(value, min, max)?,
                plus_minus: 0.0,
                shape: ToleranceShape::Normal,
                slot: None,
            }),
        }
    }

    fn of_table(table: &DeTable<'_>, [min, max]: [f64; 2]) -> Option<Self> {
        const KNOWN: [&str; 4] = ["value", "plus_minus", "distribution", "slot"];
        let part = |name: &str| table.get(name).map(Spanned::get_ref);
        let shape = match part("distribution") {
            None => ToleranceShape::default(),
            Some(DeValue::String(word)) => word.parse().ok()?,
            Some(_) => return None,
        };
        let slot = match part("slot") {
            None => None,
            Some(ends) => {
                let [low, high]: [f64; 2] = numbers_within(ends, min, max)?;
                Some((low < high).then_some([low, high])?)
            }
        };
        let plus_minus = match part("plus_minus") {
            // A table says more of a number than the number alone.
            None => slot.is_some().then_some(0.0)?,
            Some(plus_minus) => number_within(plus_minus, 0.0, max - min)?,
        };
        let known = |name: &str| KNOWN.contains(&name);
        let all = table.iter().all(|(name, _)| known(name.get_ref().as_ref()));
        all.then_some(Self {
            value: number_within(part("value")?, min, max)?,
            plus_minus,
            shape,
            slot,
        })
    }

    /// What a value that stands outside its slot should be.
    pub(super) fn outside(&self, key: &Key) -> Option<String> {
        let [low, high] = self.slot?;
        let outside = !(low..=high).contains(&self.value);
        let unit = key.unit();
        let allowed = || format!("a value within its slot, {low} to {high} {unit}");
        outside.then(|| allowed().trim_end().to_owned())
    }

    /// What is kept of its tolerance; nothing of one that is exact.
    pub(super) fn tolerance(
        self,
        key: &Key,
        path: &str,
        input: &str,
        line: usize,
    ) -> Option<Result<KeyTolerance>> {
        if self.plus_minus == 0.0 {
            return None;
        }
        // Every unit of a key is a factor, so that a difference has it too.
        let (value, plus_minus) = (key.in_si(self.value), key.in_si(self.plus_minus));
        let distribution = self.shape.distributed(value, plus_minus);
        Some(distribution.map(|distribution| KeyTolerance {
            key: path.to_owned(),
            input: input.to_owned(),
            line,
            shape: self.shape,
            distribution,
        }))
    }
}

/// `N` numbers, each within a range.
pub(super) fn numbers_within<const N: usize>(
    value: &DeValue<'_>,
    min: f64,
    max: f64,
) -> Option<[f64; N]> {
    let DeValue::Array(items) = value else {
        return None;
    };
    let numbers = items
        .iter()
        .map(|item| number_within(item.get_ref(), min, max));
    numbers.collect::<Option<Vec<f64>>>()?.try_into().ok()
}

/// A number within a range.
pub(super) fn number_within(value: &DeValue<'_>, min: f64, max: f64) -> Option<f64> {
    let number = match value {
        DeValue::Integer(n) => i64::from_str_radix(n.as_str(), n.radix()).ok()? as f64,
        DeValue::Float(x) => x.as_str().parse().ok()?,
        _ => return None,
    };
    // NaN and infinity, which TOML can write, are within no range.
    (min..=max).contains(&number).then_some(number)
}
