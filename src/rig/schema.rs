//! The table of keys as a JSON Schema, by which editors complete and check a design file.

use serde_json::{Map, Value, json};

use crate::axis::Distribution;
use crate::rig::keys::{
    Allowed, KEYS, Key, Need, SectionForm, SectionKind, Words, section_kind, subsections, within,
};
use crate::rig::tolerance_shape::ToleranceShape;
use crate::rig::toleranced::SAMPLE_VALUES;

/// Most letters of a name.
const LETTERS: usize = 60;

/// A JSON Schema (draft 2020-12) of design files, as text.
///
/// It holds a file to the same keys, kinds, words, ranges and numbers of values as reading does. It is stricter in one
/// thing: words are taken as the table has them, while reading minds neither case nor hyphens. It does not say what
/// only reading knows: whether a part exists, whether two keys exclude each other, whether values go together.
#[must_use]
pub fn design_schema() -> String {
    let mut sections: Vec<&str> = Vec::new();
    for key in KEYS.iter() {
        if !key.section.is_empty() && !sections.contains(&key.section) {
            sections.push(key.section);
        }
    }
    // Those without a key of their own would be missing; there is none, as a test knows.
    let definitions: Map<String, Value> = sections
        .iter()
        .map(|name| ((*name).to_owned(), section(name)))
        .collect();
    let mut root = section("");
    let whole = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Design file",
        "anyOf": [{"required": ["axis"]}, {"required": ["stick"]}],
        "$defs": definitions,
    });
    if let (Value::Object(root), Value::Object(whole)) = (&mut root, whole) {
        root.extend(whole);
    }
    format!("{root:#}")
}

/// Whether a file need not say which kind it is, and what it then is.
fn usual(kind: &SectionKind) -> &'static [&'static str] {
    match kind.name {
        "magnet" => &["block"],
        "sensor" => &["linear"],
        // With a potentiometer none of the four.
        "axis" => &["swung", "none"],
        "stick.AXIS" => &["swung"],
        "axis.error_budget" | "stick.AXIS.error_budget" => &["two-point"],
        "stick" => &["square"],
        _ => &[],
    }
}

/// The schema of a section.
fn section(name: &str) -> Value {
    let kind = section_kind(name);
    let keys: Vec<&Key> = KEYS.iter().filter(|key| key.section == name).collect();
    let mut properties = Map::new();
    for key in &keys {
        // One that some kinds hold otherwise is described by each.
        let several = keys.iter().filter(|other| other.name == key.name).count() > 1;
        let value = if several { json!(true) } else { value(key) };
        properties.insert(key.name.to_owned(), value);
    }
    let mut required: Vec<&str> = Vec::new();
    for &sub in subsections(name) {
        let (place, needed) = subsection(name, sub);
        properties.insert(sub.to_owned(), place);
        required.extend(needed.then_some(sub));
    }
    let common = keys.iter().filter(|key| key.kinds.is_empty());
    let mut all_of = Vec::new();
    for key in common {
        match key.need {
            Need::Always => required.push(key.name),
            Need::Unless(other) => all_of.push(either(key.name, other)),
            Need::Optional => {}
        }
    }
    if let Some(by) = kind.by {
        all_of.extend(kinds(&kind, by, &keys));
    }
    let mut schema = json!({
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    });
    if !all_of.is_empty() {
        schema["allOf"] = json!(all_of);
    }
    schema
}

fn either(one: &str, other: &str) -> Value {
    json!({"anyOf": [{"required": [one]}, {"required": [other]}]})
}

/// Where a section stands within another one, and whether it must.
fn subsection(name: &str, sub: &str) -> (Value, bool) {
    let full = within(name, sub);
    let reference = json!({"$ref": format!("#/$defs/{full}")});
    match section_kind(&full).form {
        SectionForm::Parts => (
            json!({"type": "object", "additionalProperties": reference}),
            false,
        ),
        SectionForm::List => (
            json!({"type": "array", "minItems": 1, "items": reference}),
            false,
        ),
        SectionForm::Table | SectionForm::Root => (reference, full == "stick.AXIS"),
    }
}

/// What each kind of a section asks for.
fn kinds(kind: &SectionKind, by: &str, keys: &[&Key]) -> Vec<Value> {
    let word = keys.iter().find(|key| key.name == by);
    let words = word.map_or(Vec::new(), |key| match key.allowed {
        Allowed::Word(words) => Words::all(words),
        _ => Vec::new(),
    });
    let mut cases: Vec<Value> = words
        .iter()
        .map(|word| {
            json!({
                "if": {"properties": {by: {"const": word}}, "required": [by]},
                "then": of_kind(word, keys),
            })
        })
        .collect();
    let usual: Vec<Value> = usual(kind).iter().map(|word| of_kind(word, keys)).collect();
    if !usual.is_empty() {
        cases.push(json!({"if": {"not": {"required": [by]}}, "then": {"anyOf": usual}}));
    }
    cases
}

/// What one kind asks for beside what all have.
fn of_kind(kind: &str, keys: &[&Key]) -> Value {
    let mut properties = Map::new();
    let mut required = Vec::new();
    let mut all_of = Vec::new();
    for key in keys.iter().filter(|key| !key.kinds.is_empty()) {
        if !key.is_of(Some(kind)) {
            properties
                .entry(key.name.to_owned())
                .or_insert(json!(false));
            continue;
        }
        properties.insert(key.name.to_owned(), value(key));
        match key.need {
            Need::Always => required.push(key.name),
            Need::Unless(other) => all_of.push(either(key.name, other)),
            Need::Optional => {}
        }
    }
    let mut schema = json!({"properties": properties, "required": required});
    if !all_of.is_empty() {
        schema["allOf"] = json!(all_of);
    }
    schema
}

/// A number, or one with its tolerance or its slot.
fn varied(min: f64, max: f64) -> Value {
    let within = json!({"type": "number", "minimum": min, "maximum": max});
    let [least, most] = Distribution::COVERAGE_FACTORS;
    let [few, many] = SAMPLE_VALUES;
    json!({
        "anyOf": [
            within,
            {
                "type": "object",
                "properties": {
                    "value": within,
                    "plus_minus": {"type": "number", "minimum": 0.0, "maximum": max - min},
                    "coverage_factor": {"type": "number", "minimum": least, "maximum": most},
                    "distribution": {"enum": ToleranceShape::ALL},
                    "sample": {"type": "array", "minItems": few, "maxItems": many, "items": within},
                    "slot": {"type": "array", "minItems": 2, "maxItems": 2, "items": within},
                },
                "required": ["value"],
                "anyOf": [{"required": ["plus_minus"]}, {"required": ["sample"]}, {"required": ["slot"]}],
                "dependentRequired": {"coverage_factor": ["plus_minus"], "distribution": ["plus_minus"]},
                "not": {"required": ["plus_minus", "sample"]},
                "additionalProperties": false,
            },
        ],
    })
}

/// What a key may hold.
fn value(key: &Key) -> Value {
    let text = json!({"type": "string", "pattern": "\\S"});
    let list = |count: usize, min: f64, max: f64| {
        json!({
            "type": "array", "minItems": count, "maxItems": count,
            "items": {"type": "number", "minimum": min, "maximum": max},
        })
    };
    let mut schema = match key.allowed {
        Allowed::Text | Allowed::Part(_) | Allowed::Entry(_) => text,
        Allowed::Name => json!({"type": "string", "pattern": "\\S", "maxLength": LETTERS}),
        Allowed::Number(min, max) if key.may_vary() => varied(min, max),
        Allowed::Number(min, max) => json!({"type": "number", "minimum": min, "maximum": max}),
        Allowed::Whole(min, max) => json!({"type": "integer", "minimum": min, "maximum": max}),
        Allowed::Numbers(count, min, max) if key.may_vary() => json!({
            "type": "array", "minItems": count, "maxItems": count, "items": varied(min, max),
        }),
        Allowed::Numbers(count, min, max) => list(count, min, max),
        Allowed::Series(least, most, min, max) => json!({
            "type": "array", "minItems": least, "maxItems": most,
            "items": {"type": "number", "minimum": min, "maximum": max},
        }),
        Allowed::Names => json!({"type": "array", "minItems": 1, "items": text}),
        Allowed::Changes => json!({"type": "object", "minProperties": 1}),
        Allowed::Rows(count, least, most, min, max) => json!({
            "type": "array", "minItems": least, "maxItems": most, "items": list(count, min, max),
        }),
        Allowed::Flag => json!({"type": "boolean"}),
        Allowed::Word(words) => json!({"enum": words.all()}),
        Allowed::Parts(_) => json!({"type": "array", "minItems": 1, "items": text}),
    };
    schema["description"] = json!(format!("{}: {}", key.allowed_text(), key.meaning));
    schema
}
