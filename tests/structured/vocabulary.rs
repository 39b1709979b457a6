//! The vocabulary as a table, and what a document does that it has no words for.

use serde_json::{Map, Value};
use std::collections::{BTreeMap, BTreeSet};

struct Property {
    domains: Vec<String>,
    ranges: Vec<String>,
    superseded: String,
}

/// Classes with their parents, properties with their domains and ranges.
pub struct Vocabulary {
    classes: BTreeMap<String, Vec<String>>,
    properties: BTreeMap<String, Property>,
}

impl Vocabulary {
    pub fn read() -> Vocabulary {
        let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        let mut table = Vocabulary { classes: BTreeMap::new(), properties: BTreeMap::new() };
        for line in include_str!("../data/schema-org/vocabulary.tsv").lines().filter(|line| !line.starts_with('#')) {
            match line.split('\t').collect::<Vec<_>>().as_slice() {
                ["class", name, parents] => drop(table.classes.insert((*name).to_owned(), words(parents))),
                ["property", name, domains, ranges, superseded] => {
                    let superseded = (*superseded).to_owned();
                    let property = Property { domains: words(domains), ranges: words(ranges), superseded };
                    table.properties.insert((*name).to_owned(), property);
                }
                other => panic!("{other:?}"),
            }
        }
        assert!(table.classes.len() > 800 && table.properties.len() > 1400, "the whole vocabulary");
        table
    }

    /// What is wrong with the types and properties of a document.
    pub fn faults(&self, document: &Value) -> Vec<String> {
        let mut faults = Vec::new();
        if document["@context"] != "https://schema.org" {
            faults.push(format!("another context: {}", document["@context"]));
        }
        let graph = document["@graph"].as_array().map_or(&[][..], Vec::as_slice);
        if graph.is_empty() {
            faults.push("an empty graph".to_owned());
        }
        graph.iter().for_each(|node| match node.as_object() {
            Some(node) => self.node(node, &mut faults),
            None => faults.push("a node that is no object".to_owned()),
        });
        faults
    }

    fn node(&self, node: &Map<String, Value>, faults: &mut Vec<String>) {
        let Some(class) = node.get("@type").and_then(Value::as_str) else {
            return faults.push(format!("a node without a type: {node:?}"));
        };
        if !self.classes.contains_key(class) {
            return faults.push(format!("there is no class {class}"));
        }
        for (key, value) in node.iter().filter(|(key, _)| !key.starts_with('@')) {
            let Some(property) = self.properties.get(key) else {
                faults.push(format!("there is no property {key}"));
                continue;
            };
            if !property.superseded.is_empty() {
                faults.push(format!("{key} is superseded by {}", property.superseded));
            }
            if !property.domains.iter().any(|domain| self.is_a(class, domain)) {
                faults.push(format!("{key} does not stand on {class}"));
            }
            let values = value.as_array().map_or(std::slice::from_ref(value), Vec::as_slice);
            values.iter().for_each(|value| self.value(key, property, value, faults));
        }
    }

    fn value(&self, key: &str, property: &Property, value: &Value, faults: &mut Vec<String>) {
        let takes = |kind: &str| property.ranges.iter().any(|range| self.is_a(kind, range));
        match value {
            // A date, a time and an address are written as text.
            Value::String(_)
                if ["Text", "URL", "Date", "DateTime", "Time", "Duration"].iter().any(|kind| takes(kind)) => {}
            Value::String(_) => faults.push(format!("{key} takes no text")),
            Value::Number(number) => {
                let kind = if number.is_f64() { "Number" } else { "Integer" };
                if !takes(kind) {
                    faults.push(format!("{key} takes no number"));
                }
            }
            Value::Object(object) if object.len() == 1 && object.contains_key("@id") => {
                if property.ranges.iter().all(|range| ["Text", "Number", "Boolean", "Date"].contains(&range.as_str())) {
                    faults.push(format!("{key} takes no reference"));
                }
            }
            Value::Object(object) => {
                match object.get("@type").and_then(Value::as_str) {
                    None => return faults.push(format!("{key} takes no object without a type")),
                    Some(class) if !takes(class) => faults.push(format!("{key} takes no {class}")),
                    Some(_) => {}
                }
                self.node(object, faults);
            }
            other => faults.push(format!("{key} takes no {other}")),
        }
    }

    fn is_a(&self, class: &str, ancestor: &str) -> bool {
        class == ancestor
            || self.classes.get(class).is_some_and(|parents| parents.iter().any(|parent| self.is_a(parent, ancestor)))
    }
}

/// Codes of UN/CEFACT Recommendation 20 that this project may write.
const UNIT_CODES: &str = "GRM KGM MGM MLT LTR CLT DLT CEL FAH SEC MIN HUR DAY WEE ONZ LBR MMT CMT INH H87 59 P1 \
    G21 G24 G25 OZA OZI PTL PTI QTL QTI GLL GLI GIA GII";

/// What each class must say, by the profile this project keeps to.
const MUST: &[(&str, &[&str])] = &[
    ("Course", &["@id", "name", "description", "inLanguage", "hasPart"]),
    ("Recipe", &["@id", "name", "recipeYield", "recipeIngredient", "recipeInstructions", "inLanguage"]),
    ("HowTo", &["@id", "name", "step"]),
    ("LearningResource", &["@id", "name"]),
    ("HowToSection", &["name", "itemListElement"]),
    ("HowToStep", &["text", "url", "position"]),
    ("HowToSupply", &["name"]),
    ("HowToTool", &["name"]),
    ("DefinedTermSet", &["@id", "name", "hasDefinedTerm"]),
    ("DefinedTerm", &["@id", "name", "description", "inDefinedTermSet"]),
];

/// What is wrong with the letters of a document's values, and what its nodes lack.
pub fn lexical_faults(document: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    let mut ids = BTreeSet::new();
    walk(document, &mut |node| {
        let kind = node.get("@type").and_then(Value::as_str).unwrap_or_default();
        let must = MUST.iter().filter(|(class, _)| *class == kind).flat_map(|(_, keys)| *keys);
        let lacks = |key: &&&str| node.get(**key).is_none_or(|value| value.is_null() || value == "");
        must.filter(lacks).for_each(|key| faults.push(format!("{kind} has no {key}")));
        if let Some(id) = node.get("@id").and_then(Value::as_str).filter(|_| node.len() > 1)
            && !ids.insert(id.to_owned())
        {
            faults.push(format!("{id} stands twice"));
        }
        for (key, value) in node.iter().filter_map(|(key, value)| Some((key.as_str(), value.as_str()?))) {
            match key {
                "totalTime" | "timeRequired" | "prepTime" | "cookTime" if !is_duration(value) => {
                    faults.push(format!("{key}: {value} no duration"));
                }
                "datePublished" if !is_date(value) => faults.push(format!("{key}: {value} no date")),
                "unitCode" if !UNIT_CODES.split(' ').any(|code| code == value) => {
                    faults.push(format!("unit code {value}"));
                }
                "suitableForDiet" => faults.push("suitableForDiet is a claim".to_owned()),
                _ => {}
            }
        }
        if kind == "QuantitativeValue" {
            let figure = |key: &str| node.get(key).and_then(Value::as_f64);
            if !["value", "minValue", "maxValue"].iter().any(|key| figure(key).is_some()) {
                faults.push("no value".to_owned());
            }
            if figure("minValue").zip(figure("maxValue")).is_some_and(|(least, most)| least > most) {
                faults.push("the least is more than the most".to_owned());
            }
            if !node.contains_key("unitCode") && !node.contains_key("unitText") {
                faults.push("a value without a unit".to_owned());
            }
        }
    });
    faults
}

/// Every object of a document.
pub fn walk<'v>(value: &'v Value, look: &mut dyn FnMut(&'v Map<String, Value>)) {
    match value {
        Value::Object(map) => {
            look(map);
            map.values().for_each(|value| walk(value, look));
        }
        Value::Array(list) => list.iter().for_each(|value| walk(value, look)),
        _ => {}
    }
}

/// `P(nD)?(T(nH)?(nM)?(nS)?)?` with one part at least, and one after a T.
fn is_duration(text: &str) -> bool {
    let Some(rest) = text.strip_prefix('P') else { return false };
    let (days, time) = rest.split_once('T').map_or((rest, None), |(days, time)| (days, Some(time)));
    let parts = |mut text: &str, letters: &str| {
        let mut count = 0;
        for letter in letters.chars() {
            let digits = text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
            if digits > 0 && text[digits..].starts_with(letter) {
                text = &text[digits + 1..];
                count += 1;
            }
        }
        (text.is_empty()).then_some(count)
    };
    match (parts(days, "D"), time.map(|time| parts(time, "HMS"))) {
        (Some(days), None) => days > 0,
        (Some(_), Some(Some(time))) => time > 0,
        _ => false,
    }
}

fn is_date(text: &str) -> bool {
    let parts: Vec<u32> = text.split('-').filter_map(|part| part.parse().ok()).collect();
    let [year, month, day] = parts.as_slice() else { return false };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = [31, 28 + u32::from(leap), 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    text.len() == 10 && days.get((*month as usize).wrapping_sub(1)).is_some_and(|days| (1..=*days).contains(day))
}
