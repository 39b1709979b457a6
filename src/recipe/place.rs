//! `[kitchen]` of `course.toml`: the kitchen that a course is taught in, as far as sums about heat need it.

use super::context::{Context, TEMPERATURE, Want};
use super::model::Place;
use super::table::{Fields, table};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::keys::Entry;
use crate::quantity::{Dimension, Exact};
use crate::reference::Reference;
use std::collections::BTreeMap;

const KITCHEN: &[&str] = &["hob", "reaches-the-pot", "altitude", "room", "fridge"];
const POWER: Want = Want { kinds: &[Dimension::Power], words: "a power", example: "2 kW" };
const PART: Want = Want { kinds: &[Dimension::Share], words: "a share", example: "60 %" };
const HEIGHT: Want = Want { kinds: &[Dimension::Length], words: "a height above the sea", example: "20 m" };

impl Default for Place {
    /// A middling plate near the sea (common practice): who needs better figures writes them down.
    fn default() -> Place {
        Place {
            watts: Exact::whole(2000),
            reaches_the_pot: Exact::new(6, 10),
            metres: Exact::ZERO,
            metres_said: false,
            room: Exact::whole(20),
            fridge: Exact::whole(5),
        }
    }
}

/// Reads the table; what it leaves out is as usual.
pub(super) fn read_place(entry: &Entry, reference: &Reference, sink: &mut Diagnostics) -> Place {
    let mut place = Place::default();
    let Some(table) = table("kitchen", &entry.value, "{ hob = \"2 kW\" }", sink) else { return place };
    let fields = Fields::new(table, entry.key_span, "the kitchen", KITCHEN, sink);
    let mut context = Context {
        units: &reference.units,
        pantry: &reference.pantry,
        lesson: 0,
        slug: "kitchen",
        measures: &mut Vec::new(),
        runs: Vec::new(),
        unknown_names: BTreeMap::new(),
        sink,
    };
    let mut read = |key: &str, want| {
        let (amount, span) = context.amount(key, &fields.get(key)?.value, want)?;
        let value = amount.low.quantity.base();
        let least = if key == "hob" || key == "reaches-the-pot" { Exact::ZERO } else { Exact::whole(-274) };
        if value > least && (key != "reaches-the-pot" || value <= Exact::ONE) {
            return Some(value);
        }
        let found = Diagnostic::new(Code::BadAmount, format!("`{key}` cannot be so much or so little"), span);
        context.sink.push(found.help(format!("write it like `{}`", want.example)));
        None
    };
    place.watts = read("hob", POWER).unwrap_or(place.watts);
    place.reaches_the_pot = read("reaches-the-pot", PART).unwrap_or(place.reaches_the_pot);
    if let Some(height) = read("altitude", HEIGHT) {
        (place.metres, place.metres_said) = (height / Exact::whole(1000), true);
    }
    place.room = read("room", TEMPERATURE).unwrap_or(place.room);
    place.fridge = read("fridge", TEMPERATURE).unwrap_or(place.fridge);
    place
}
