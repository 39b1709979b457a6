//! What paper is asked for.

use super::handout::HandoutChoice;
use super::sheet::{Edge, Paper};
use crate::kitchen::{Choice, Reader, Thermometer, Tool};
use crate::quantity::Exact;
use crate::quantity::print::{self, Style};
use crate::recipe::{CardsWanted, HandoutWanted};

/// A set of cards of one lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct CardChoice {
    /// Size of a card.
    pub paper: Paper,
    /// Several to a sheet, and how its printer turns it; else each card is a page of its own.
    pub sheet: Option<(Paper, Edge)>,
    /// At which scale, in which units.
    pub shown: Choice,
    /// The way that is taken at each fork; all ways where none is named.
    pub ways: Vec<String>,
}

impl Default for CardChoice {
    /// A6, as written, each card its own page.
    fn default() -> CardChoice {
        CardChoice { paper: Paper::A6, sheet: None, shown: Choice::AS_WRITTEN, ways: Vec::new() }
    }
}

impl CardChoice {
    /// What a course asks for; nothing where a word means nothing here.
    pub(crate) fn wanted(wanted: &CardsWanted) -> Option<CardChoice> {
        let edge = if wanted.edge.as_deref() == Some("short") { Edge::Short } else { Edge::Long };
        let sheet = wanted.sheet.as_deref().and_then(Paper::from_name).map(|sheet| (sheet, edge));
        let CardsWanted { units, degrees, measure, .. } = wanted;
        let shown = shown_as(wanted.scale, [units, degrees, measure]);
        Some(CardChoice { paper: Paper::from_name(&wanted.paper)?, sheet, shown, ways: wanted.ways.clone() })
    }

    /// What tells its file from others: `a6-on-a4-x2-us`.
    pub fn name(&self) -> String {
        let mut name = self.paper.name().to_owned();
        if let Some((sheet, edge)) = self.sheet {
            name.push_str(&format!("-on-{}", sheet.name()));
            if edge == Edge::Short {
                name.push_str("-short-edge");
            }
        }
        name.push_str(&shown_name(&self.shown));
        name + &ways_name(&self.ways)
    }

    /// What it is, for whoever chooses a file: `A6 on A4, ×2, US units`.
    pub fn words(&self) -> String {
        let mut parts = vec![self.paper.words().to_owned()];
        if let Some((sheet, edge)) = self.sheet {
            let turned = if edge == Edge::Short { ", turned along the short edge" } else { "" };
            parts[0].push_str(&format!(", several on {}{turned}", sheet.words()));
        }
        parts.extend(shown_words(&self.shown));
        parts.extend(ways_words(&self.ways));
        parts.join(", ")
    }
}

/// `-oven`; nothing where no way is chosen.
pub(crate) fn ways_name(ways: &[String]) -> String {
    ways.iter().map(|way| format!("-{}", slug(way))).collect()
}

/// A way as part of a file's name.
fn slug(way: &str) -> String {
    let letters = way.chars().map(|letter| if letter.is_alphanumeric() { letter } else { '-' });
    letters.flat_map(char::to_lowercase).collect()
}

/// `by oven`; nothing where no way is chosen.
pub(crate) fn ways_words(ways: &[String]) -> Option<String> {
    (!ways.is_empty()).then(|| format!("by {}", ways.join(" and ")))
}

impl HandoutChoice {
    /// What a course asks for; nothing where a word means nothing here.
    pub(crate) fn wanted(wanted: &HandoutWanted) -> Option<HandoutChoice> {
        let columns = if wanted.columns.as_deref() == Some("1") { 1 } else { 2 };
        let HandoutWanted { units, degrees, measure, .. } = wanted;
        let shown = shown_as(wanted.scale, [units, degrees, measure]);
        Some(HandoutChoice { paper: Paper::from_name(&wanted.paper)?, columns, shown, ways: wanted.ways.clone() })
    }
}

/// What the words of `course.toml` choose: units, degrees, measure.
fn shown_as(scale: Exact, [units, degrees, measure]: [&Option<String>; 3]) -> Choice {
    Choice {
        scale,
        units: units.as_deref().and_then(units_named),
        degrees: degrees.as_deref().and_then(degrees_named),
        by: measure.as_deref().and_then(by_named),
    }
}

/// What a link to a lesson's page says of it: `x=2/1`, `u=us`; nothing as written.
pub(crate) fn link_state(shown: &Choice) -> Vec<String> {
    let mut state = Vec::new();
    if shown.scale != Exact::ONE {
        state.push(format!("x={}/{}", shown.scale.over(), shown.scale.under()));
    }
    state.extend(shown.units.map(|units| format!("u={}", units.name())));
    state.extend(shown.degrees.map(|degrees| format!("t={}", degrees_name(degrees))));
    state.extend(shown.by.and_then(by_name).map(|by| format!("m={by}")));
    state
}

/// `-x2-us-f`; nothing as written.
pub(crate) fn shown_name(shown: &Choice) -> String {
    let mut name = String::new();
    if shown.scale != Exact::ONE {
        name.push_str(&format!("-x{}", shown.scale.to_string().replace('/', "-")));
    }
    name.extend(shown.units.map(|units| format!("-{}", units.name())));
    name.extend(shown.degrees.map(|degrees| format!("-{}", degrees_name(degrees))));
    name.extend(shown.by.and_then(by_name).map(|by| format!("-{by}")));
    name
}

/// `×2`, `US units`, `°F`; nothing as written.
pub(crate) fn shown_words(shown: &Choice) -> Vec<String> {
    let mut parts = Vec::new();
    parts.extend(times(shown));
    parts.extend(shown.units.map(|units| {
        let name = match units {
            Reader::Metric => "metric units",
            Reader::Us => "US units",
            Reader::Imperial => "imperial units",
        };
        name.to_owned()
    }));
    parts.extend(shown.degrees.map(|degrees| {
        let name = match degrees {
            Thermometer::Celsius => "°C",
            Thermometer::Fahrenheit => "°F",
            Thermometer::Both => "°C and °F",
        };
        name.to_owned()
    }));
    let by = |tool| if tool == Tool::Scale { "weighed".to_owned() } else { "by spoon and cup".to_owned() };
    parts.extend(shown.by.map(by));
    parts
}

/// `×2`; nothing for one batch.
pub(crate) fn times(shown: &Choice) -> Option<String> {
    (shown.scale != Exact::ONE).then(|| format!("×{}", print::fraction(shown.scale, Style::default())))
}

/// `metric`, `us` or `imperial`.
fn units_named(name: &str) -> Option<Reader> {
    Reader::ALL.into_iter().find(|reader| reader.name() == name)
}

/// `c`, `f` or `both`.
fn degrees_named(name: &str) -> Option<Thermometer> {
    [Thermometer::Celsius, Thermometer::Fahrenheit, Thermometer::Both]
        .into_iter()
        .find(|degrees| degrees_name(*degrees) == name)
}

/// `weigh` or `spoon`.
fn by_named(name: &str) -> Option<Tool> {
    [Tool::Scale, Tool::Spoons].into_iter().find(|tool| by_name(*tool) == Some(name))
}

/// `c`, `f` or `both`.
pub(crate) fn degrees_name(degrees: Thermometer) -> &'static str {
    match degrees {
        Thermometer::Celsius => "c",
        Thermometer::Fahrenheit => "f",
        Thermometer::Both => "both",
    }
}

/// `weigh` or `spoon`; no other tool is chosen by a reader.
pub(crate) fn by_name(tool: Tool) -> Option<&'static str> {
    match tool {
        Tool::Scale => Some("weigh"),
        Tool::Spoons => Some("spoon"),
        Tool::Jug | Tool::Beaker | Tool::Pot => None,
    }
}
