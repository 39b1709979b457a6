//! What `course.toml` says of paper: where the site can be reached, and which cards are published.

use super::model::{CardsWanted, HandoutWanted};
use super::table::{Fields, choice, list, one_or_more, table, text};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::keys::{Entry, Value};
use crate::quantity::Exact;

const CARDS: &[&str] = &["paper", "sheet", "edge", "scale", "units", "degrees", "measure", "way"];

const HANDOUTS: &[&str] = &["paper", "columns", "scale", "units", "degrees", "measure", "way"];

/// An example of the other key.
const EXAMPLE_HANDOUTS: &str = "[{ paper = \"a4\", columns = \"2\" }]";

/// An example of the key, for findings.
const EXAMPLE: &str = "[{ paper = \"a6\", sheet = \"a4\" }]";

/// The address that codes on cards lead to: pages lie under it. It ends in `/`.
pub(super) fn read_address(entry: &Entry, sink: &mut Diagnostics) -> Option<String> {
    const WRITE: &str = "https://example.org/course/";
    let written = text("address", &entry.value, WRITE, sink)?;
    let host = written.text.strip_prefix("https://").unwrap_or("");
    let odd = |c: char| c.is_whitespace() || c.is_control() || matches!(c, '"' | '<' | '>' | '\\' | '#' | '?');
    if host.is_empty() || host.starts_with(['/', '.', ':']) || host.contains(odd) {
        let span = written.home(0..written.text.len());
        let message = format!("`{}` is no https address of a folder", written.text);
        let help = format!("write the address where the site will lie, like `address = \"{WRITE}\"`");
        sink.push(Diagnostic::new(Code::WrongType, message, span).help(help));
        return None;
    }
    Some(format!("{}/", written.text.trim_end_matches('/')))
}

/// The first sets of a list. Each is set for every lesson, so that many would take as many minutes.
fn few<'a>(items: &'a [Value], sink: &mut Diagnostics) -> &'a [Value] {
    const MOST: usize = 12;
    if let Some(more) = items.get(MOST) {
        let found = Diagnostic::new(Code::WrongType, format!("these are more than {MOST} sets"), more.span);
        sink.push(found.help("publish those that students print; `pottle cards` makes any other when it is asked for"));
    }
    &items[..items.len().min(MOST)]
}

/// The sets of cards that are published.
pub(super) fn read_cards(entry: &Entry, sink: &mut Diagnostics) -> Vec<CardsWanted> {
    let items = few(list("cards", &entry.value, EXAMPLE, sink), sink);
    items.iter().filter_map(|item| read_set(item, sink)).collect()
}

fn read_set(item: &Value, sink: &mut Diagnostics) -> Option<CardsWanted> {
    let group = table("cards", item, EXAMPLE, sink)?;
    let fields = Fields::new(group, item.span, "a set of cards", CARDS, sink);
    let paper = fields.required("paper", "\"a6\"", sink)?;
    let paper = choice("paper", &paper.value, &["a6", "a5", "4x6", "5x8"], sink)?.to_owned();
    let mut word = |key: &'static str, choices: &[&str]| {
        let entry = fields.get(key)?;
        choice(key, &entry.value, choices, sink).map(str::to_owned)
    };
    let sheet = word("sheet", &["a4", "letter"]);
    let edge = word("edge", &["long", "short"]);
    let units = word("units", &["metric", "us", "imperial"]);
    let degrees = word("degrees", &["c", "f", "both"]);
    let measure = word("measure", &["weigh", "spoon"]);
    let scale = fields.get("scale").and_then(|entry| read_scale(entry, sink)).unwrap_or(Exact::ONE);
    let ways = read_ways(&fields, sink);
    Some(CardsWanted { paper, sheet, edge, scale, units, degrees, measure, ways })
}

/// The handouts that are published.
pub(super) fn read_handouts(entry: &Entry, sink: &mut Diagnostics) -> Vec<HandoutWanted> {
    let items = few(list("handouts", &entry.value, EXAMPLE_HANDOUTS, sink), sink);
    items.iter().filter_map(|item| read_handout(item, sink)).collect()
}

fn read_handout(item: &Value, sink: &mut Diagnostics) -> Option<HandoutWanted> {
    let group = table("handouts", item, EXAMPLE_HANDOUTS, sink)?;
    let fields = Fields::new(group, item.span, "a handout", HANDOUTS, sink);
    let paper = fields.required("paper", "\"a4\"", sink)?;
    let paper = choice("paper", &paper.value, &["a4", "letter"], sink)?.to_owned();
    let mut word = |key: &'static str, choices: &[&str]| {
        let entry = fields.get(key)?;
        choice(key, &entry.value, choices, sink).map(str::to_owned)
    };
    let columns = word("columns", &["1", "2"]);
    let units = word("units", &["metric", "us", "imperial"]);
    let degrees = word("degrees", &["c", "f", "both"]);
    let measure = word("measure", &["weigh", "spoon"]);
    let scale = fields.get("scale").and_then(|entry| read_scale(entry, sink)).unwrap_or(Exact::ONE);
    let ways = read_ways(&fields, sink);
    Some(HandoutWanted { paper, columns, scale, units, degrees, measure, ways })
}

/// `way = "oven"`, or several in a list.
fn read_ways(fields: &Fields<'_>, sink: &mut Diagnostics) -> Vec<String> {
    let items = fields.get("way").map_or(&[][..], |entry| one_or_more(&entry.value));
    items.iter().filter_map(|item| text("way", item, "oven", sink).map(|way| way.text.trim().to_owned())).collect()
}

fn read_scale(entry: &Entry, sink: &mut Diagnostics) -> Option<Exact> {
    let written = text("scale", &entry.value, "2", sink)?;
    let scale = batches(&written.text);
    if scale.is_none() {
        let span = written.home(0..written.text.len());
        let message = format!("`{}` is no number of batches", written.text);
        sink.push(Diagnostic::new(Code::WrongType, message, span).help("write it like `2`, `1/2` or `2.5`"));
    }
    scale
}

/// A number of batches that a kitchen could mean: `2`, `1/2`, `2.5`.
pub fn batches(text: &str) -> Option<Exact> {
    let sane = Exact::new(1, 1000)..=Exact::whole(1000);
    Exact::parse(text).filter(|scale| sane.contains(scale) && scale.under() <= 1000)
}
