//! Numbers of a design file with their tolerances, and the slots that some of them may be set in.

use std::ops::Range;

use serde::{Deserialize, Serialize};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::axis::{Distribution, DistributionSpec};
use crate::error::Result;
use crate::rig::keys::Key;
use crate::rig::tolerance_shape::ToleranceShape;

/// The tolerance that a design file gives to one of its numbers, such as `gap_mm = { value = 3.3, plus_minus = 0.3 }`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct KeyTolerance {
    key: String,
    input: String,
    line: usize,
    shape: Option<ToleranceShape>,
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

    /// How the number is distributed, in words; none of a measured sample.
    #[must_use]
    pub fn shape(&self) -> Option<ToleranceShape> {
        self.shape
    }

    /// How the number is distributed, in the unit of its key.
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
#[derive(Debug, Clone)]
pub(super) struct Toleranced {
    pub(super) value: f64,
    spread: Spread,
    pub(super) slot: Option<[f64; 2]>,
}

/// How the parts of many builders differ in a number.
#[derive(Debug, Clone)]
enum Spread {
    None,
    Within {
        plus_minus: f64,
        coverage_factor: f64,
        shape: ToleranceShape,
    },
    /// As these, which were measured.
    Sample(Vec<f64>),
}

/// What is wrong with a value.
#[derive(Debug)]
pub(super) struct Misread {
    /// What of its table, if it is one.
    pub(super) part: Option<String>,
    /// Where that stands.
    pub(super) span: Option<Range<usize>>,
    /// What may stand there; none for what the key may hold.
    pub(super) allowed: Option<String>,
}

impl Misread {
    /// The whole of it is nothing that the key may hold.
    pub(super) const WHOLE: Self = Self {
        part: None,
        span: None,
        allowed: None,
    };
}

/// What a table may say of a number.
const VALUE: &str = "value";
const PLUS_MINUS: &str = "plus_minus";
const COVERAGE_FACTOR: &str = "coverage_factor";
const DISTRIBUTION: &str = "distribution";
const SAMPLE: &str = "sample";
const SLOT: &str = "slot";
const PARTS: [&str; 6] = [
    VALUE,
    PLUS_MINUS,
    COVERAGE_FACTOR,
    DISTRIBUTION,
    SAMPLE,
    SLOT,
];
/// Measured values of a sample.
pub(super) const SAMPLE_VALUES: [usize; 2] = [2, 1000];

impl Toleranced {
    /// What a value of the file says.
    ///
    /// # Errors
    /// What is no number within the range, or says more than it may.
    pub(super) fn read(
        value: &DeValue<'_>,
        [min, max]: [f64; 2],
        key: &Key,
    ) -> std::result::Result<Self, Misread> {
        match value {
            DeValue::Table(table) if key.may_vary() => {
                Self::of_table(table, [min, max], key.unit())
            }
            value => Ok(Self {
                value: number_within(value, min, max).ok_or(Misread::WHOLE)?,
                spread: Spread::None,
                slot: None,
            }),
        }
    }

    fn of_table(
        table: &DeTable<'_>,
        [min, max]: [f64; 2],
        unit: &str,
    ) -> std::result::Result<Self, Misread> {
        let from_to = |min: f64, max: f64, unit: &str| {
            let range = format!("from {min} to {max} {unit}");
            range.trim_end().to_owned()
        };
        let wrong = |name: &'static str, allowed: String| Misread {
            part: Some(name.to_owned()),
            span: table.get(name).map(Spanned::span),
            allowed: Some(allowed),
        };
        let missing = |allowed: String| Misread {
            allowed: Some(allowed),
            ..Misread::WHOLE
        };
        if let Some((name, value)) = table
            .iter()
            .find(|(name, _)| !PARTS.contains(&name.get_ref().as_ref()))
        {
            return Err(Misread {
                part: Some(name.get_ref().to_string()),
                span: Some(value.span()),
                allowed: Some(format!("one of {} instead", PARTS.join(", "))),
            });
        }
        let part = |name: &'static str| table.get(name).map(Spanned::get_ref);
        let number = |name: &'static str, [min, max]: [f64; 2], unit: &str| match part(name) {
            None => Ok(None),
            Some(value) => number_within(value, min, max)
                .map(Some)
                .ok_or_else(|| wrong(name, format!("a number {}", from_to(min, max, unit)))),
        };
        let Some(value) = number(VALUE, [min, max], unit)? else {
            return Err(missing(format!(
                "a table with a value {}, and its plus_minus, sample or slot",
                from_to(min, max, unit)
            )));
        };
        let slot = match part(SLOT) {
            None => None,
            Some(ends) => {
                let ends = numbers_within(ends, min, max).filter(|[low, high]| low < high);
                let range = from_to(min, max, unit);
                let allowed = || format!("its ends, the lower one first, each {range}");
                Some(ends.ok_or_else(|| wrong(SLOT, allowed()))?)
            }
        };
        let plus_minus = number(PLUS_MINUS, [0.0, max - min], unit)?;
        let coverage_factor = number(COVERAGE_FACTOR, Distribution::COVERAGE_FACTORS, "")?;
        let shape = match part(DISTRIBUTION) {
            None => None,
            Some(DeValue::String(word)) => word.parse::<ToleranceShape>().ok(),
            Some(_) => None,
        };
        if part(DISTRIBUTION).is_some() && shape.is_none() {
            let words = ToleranceShape::ALL.map(|shape| format!("\"{shape}\""));
            return Err(wrong(DISTRIBUTION, words.join(", ")));
        }
        let sample = match part(SAMPLE) {
            None => None,
            Some(values) => {
                let [fewest, most] = SAMPLE_VALUES;
                let numbers = sample_within(values, min, max);
                let allowed = || {
                    format!(
                        "{fewest} to {most} measured values, each {}",
                        from_to(min, max, unit)
                    )
                };
                Some(numbers.ok_or_else(|| wrong(SAMPLE, allowed()))?)
            }
        };
        let alone = |of: &str, instead: &str| format!("it with {of} only, or {instead}");
        let spread = match (plus_minus, sample) {
            (Some(_), Some(_)) => {
                return Err(wrong(SAMPLE, "either it or plus_minus".to_owned()));
            }
            (None, Some(values)) => Spread::Sample(values),
            (Some(plus_minus), None) => {
                let shape = shape.unwrap_or_default();
                if coverage_factor.is_some() && !shape.is_normal() {
                    let allowed = alone("a normal distribution", "leave it out");
                    return Err(wrong(COVERAGE_FACTOR, allowed));
                }
                Spread::Within {
                    plus_minus,
                    coverage_factor: coverage_factor.unwrap_or(Distribution::COVERAGE_FACTOR),
                    shape,
                }
            }
            (None, None) if slot.is_some() => Spread::None,
            // A table says more of a number than the number alone.
            (None, None) => {
                return Err(missing(
                    "its plus_minus, sample or slot beside its value".to_owned(),
                ));
            }
        };
        if !matches!(spread, Spread::Within { .. }) {
            let stray = [
                (DISTRIBUTION, shape.is_some()),
                (COVERAGE_FACTOR, coverage_factor.is_some()),
            ];
            if let Some((name, _)) = stray.into_iter().find(|(_, given)| *given) {
                return Err(wrong(name, alone("plus_minus", "leave it out")));
            }
        }
        Ok(Self {
            value,
            spread,
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
        &self,
        path: &str,
        input: &str,
        line: usize,
    ) -> Option<Result<KeyTolerance>> {
        let (shape, distribution) = match &self.spread {
            Spread::None => return None,
            Spread::Within { plus_minus, .. } if *plus_minus == 0.0 => return None,
            Spread::Within {
                plus_minus,
                coverage_factor,
                shape,
            } => {
                let distribution = shape.distributed(self.value, *plus_minus, *coverage_factor);
                (Some(*shape), distribution)
            }
            Spread::Sample(values) => {
                let values = values.clone();
                let distribution = Distribution::new(DistributionSpec::Sample { values });
                (None, distribution)
            }
        };
        Some(distribution.map(|distribution| KeyTolerance {
            key: path.to_owned(),
            input: input.to_owned(),
            line,
            shape,
            distribution,
        }))
    }
}

/// The values of a sample, each within a range.
fn sample_within(value: &DeValue<'_>, min: f64, max: f64) -> Option<Vec<f64>> {
    let DeValue::Array(items) = value else {
        return None;
    };
    let [fewest, most] = SAMPLE_VALUES;
    if !(fewest..=most).contains(&items.len()) {
        return None;
    }
    let numbers = items
        .iter()
        .map(|item| number_within(item.get_ref(), min, max));
    numbers.collect()
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
