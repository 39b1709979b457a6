//! The data that a page's script works with: the kitchens of its readers, its measures and its mentions.
//!
//! Rows are lists, because a page carries a hundred of them. Every size, name, mark and threshold comes from here: the
//! script holds none. The order of each row is written beside the code that makes it, and `kitchen.js` reads it so.

use super::live::{Choice, Kitchens, LiveMeasure, LiveMention, Role, Shown};
use super::measured::{Care, Tool};
use super::rounding::{BEAKER, FINE_SCALE, FLUID_OUNCES, JUG, Ladder, OUNCES, PINTS, QUARTS, SCALE, TOP};
use super::systems::Reader;
use crate::quantity::{Dimension, Exact, UnitId, print};
use serde_json::{Map, Value, json};

/// The measures of one page and the mentions that show them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LiveData {
    /// The measures.
    pub measures: Vec<LiveMeasure>,
    /// The mentions, in the order of their numbers.
    pub mentions: Vec<LiveMention>,
}

impl LiveData {
    /// The number of a measure, new or known.
    pub fn measure(&mut self, measure: LiveMeasure) -> usize {
        known_or_new(&mut self.measures, measure)
    }

    /// The number of a mention, new or known: mentions that read alike share one.
    pub fn mention(&mut self, mention: LiveMention) -> usize {
        known_or_new(&mut self.mentions, mention)
    }

    /// The number of a unit among those that a reader may type an amount in.
    pub fn input(kitchens: &Kitchens<'_>, unit: UnitId) -> Option<usize> {
        let offered = MASSES.iter().chain(VOLUMES).any(|id| kitchens.units().find(id) == Some(unit));
        offered.then(|| UnitTable::begin(kitchens).0.number(unit, true))
    }

    /// As the script reads it.
    pub fn to_json(&self, kitchens: &Kitchens<'_>) -> Map<String, Value> {
        let (mut table, mut data) = UnitTable::begin(kitchens);
        // Measures that differ only in what the script does not reckon with share a row.
        let mut rows: Vec<Value> = Vec::new();
        let row_of: Vec<usize> = self.measures.iter().map(|one| known_or_new(&mut rows, measure_row(one))).collect();
        let mentions = self.mentions.iter().map(|one| {
            let mut row = table.mention(one, &self.measures[one.measure]);
            row.insert(0, json!(row_of[one.measure]));
            Value::Array(row)
        });
        data.insert("mentions".to_owned(), mentions.collect());
        data.insert("measures".to_owned(), rows.into());
        data.insert("units".to_owned(), table.rows.iter().map(|(unit, bare)| table.row(*unit, *bare)).collect());
        data.insert("ladders".to_owned(), LADDERS.iter().map(ladder_row).collect());
        data.insert("customary".to_owned(), json!(kitchens.customary() as u8));
        data.insert("grain".to_owned(), live_number(ticks(Dimension::Volume) / ticks(Dimension::Mass)));
        data.insert("decimal".to_owned(), json!(kitchens.units().style().decimal.to_string()));
        data
    }
}

fn known_or_new<T: PartialEq>(list: &mut Vec<T>, one: T) -> usize {
    list.iter().position(|other| *other == one).unwrap_or_else(|| {
        list.push(one);
        list.len() - 1
    })
}

/// Units that the script names by their place in this list.
const KITCHEN: &[&str] = &[
    "gram",
    "kilogram",
    "ounce",
    "pound",
    "millilitre",
    "litre",
    "imperial-fluid-ounce",
    "imperial-pint",
    "imperial-gallon",
    "us-quart",
    "piece",
];

/// Units that a reader may type an amount in.
const MASSES: &[&str] = &["gram", "kilogram", "ounce", "pound"];
const VOLUMES: &[&str] =
    &["millilitre", "litre", "us-cup", "us-quart", "us-gallon", "imperial-fluid-ounce", "imperial-pint"];

/// Ladders that the script names by their place in this list.
const LADDERS: &[Ladder] = &[SCALE, FINE_SCALE, OUNCES, JUG, BEAKER, FLUID_OUNCES, QUARTS, PINTS];

struct UnitTable<'a> {
    kitchens: &'a Kitchens<'a>,
    rows: Vec<(UnitId, bool)>,
}

impl<'a> UnitTable<'a> {
    /// The table as every page has it: what kitchens measure in, then what a reader may type.
    fn begin(kitchens: &'a Kitchens<'a>) -> (UnitTable<'a>, Map<String, Value>) {
        let (mut table, mut data) = (UnitTable { kitchens, rows: Vec::new() }, Map::new());
        let find = |id: &&str| kitchens.units().find(id).unwrap_or(kitchens.units().piece());
        KITCHEN.iter().for_each(|id| {
            table.number(find(id), false);
        });
        data.insert("readers".to_owned(), Reader::ALL.iter().map(|reader| table.reader(*reader)).collect());
        let mut typed = |ids: &[&str]| -> Value { ids.iter().map(|id| table.number(find(id), true)).collect() };
        data.insert("inputs".to_owned(), json!({ "m": typed(MASSES), "v": typed(VOLUMES) }));
        (table, data)
    }

    fn number(&mut self, unit: UnitId, bare: bool) -> usize {
        let units = self.kitchens.units();
        // A bare word matters only where it is another word.
        let bare = bare && units.names(unit, true) != units.names(unit, false);
        known_or_new(&mut self.rows, (unit, bare))
    }

    /// `[name of one, ticks, whether parts are fractions, name of many]`, the last where it is another name.
    fn row(&self, unit: UnitId, bare: bool) -> Value {
        let units = self.kitchens.units();
        let name = |value| print::unit_name(Exact::whole(value), unit, bare, units);
        let one = units.get(unit);
        let (of_one, of_many) = (name(1), name(2));
        without_noughts(vec![
            json!(of_one),
            live_number(one.size * ticks(one.dimension)),
            json!(u8::from(print::prefers_fractions(unit, units))),
            json!(if of_many == of_one { "" } else { &of_many }),
        ])
        .into()
    }

    /// `[teaspoon, tablespoon, cup, cups to which spoons go, ticks below which there is no jug, quart, gallon]`
    fn reader(&mut self, reader: Reader) -> Value {
        let kitchen = self.kitchens.of(reader);
        let set = kitchen.spoons();
        let cup = set.cup.unwrap_or(set.tablespoon);
        let foot = kitchen.jug_foot().unwrap_or(Exact::ZERO);
        let mut row = vec![
            json!(self.number(set.teaspoon.unit, true)),
            json!(self.number(set.tablespoon.unit, true)),
            json!(self.number(cup.unit, true)),
            live_number(set.top.map_or(Exact::ZERO, |top| top / cup.size)),
            live_number(foot * ticks(Dimension::Volume)),
        ];
        if let Some((quart, gallon)) = set.vats {
            row.extend([json!(self.number(quart.unit, false)), json!(self.number(gallon.unit, false))]);
        }
        Value::Array(row)
    }

    /// What never grows: `[measure, 0, shown…]`, what is shown in °C, in °F, in both; or in each reader's units. Each is
    /// nought where the author's words hold, the words, or `[words, exact, moved, flags]`. Flags: 1 about, 2 lost,
    /// 4 after the author's words.
    fn ready(&self, one: &LiveMention, measure: &LiveMeasure) -> Vec<Value> {
        let reading = matches!(measure.dimension, Dimension::Temperature | Dimension::Difference);
        let choices = if reading { Choice::THERMOMETERS } else { Choice::SYSTEMS };
        let shown = choices.iter().map(|choice| self.kitchens.show(measure, one, choice));
        let mut row = vec![json!(0)];
        row.extend(shown.map(|shown| shown.map_or(json!(0), |shown| shown_row(&shown))));
        while row.last() == Some(&json!(0)) {
            row.pop();
        }
        row
    }

    /// What is reckoned: `[measure, role, unit, reader × 25 + tool × 5 + tool abroad, flags, prefix, suffix, suffix of one, join, kept]`,
    /// cut where nothing more follows. Flags: 1 adjective, 2 plain, 4 `a`, 8 `A`. A conversion in brackets has in the place of
    /// the tool abroad that of the figure before it, whose reader × 75 is added.
    fn mention(&mut self, one: &LiveMention, measure: &LiveMeasure) -> Vec<Value> {
        if !measure.is_reckoned() || one.role == Role::Fixed {
            return self.ready(one, measure);
        }
        let tool = |tool: Tool| Tool::ALL.iter().position(|other| *other == tool).unwrap_or(0);
        let last = match one.role {
            Role::Beside(first) => first.reader as usize * 75 + tool(first.tool),
            _ => tool(one.abroad),
        };
        let kitchen = one.reader as usize * 25 + tool(one.tool) * 5 + last;
        let article = match one.article {
            Some('A') => 8,
            Some(_) => 4,
            None => 0,
        };
        let flags = u8::from(one.adjective) + 2 * u8::from(one.plain) + article;
        let role = match one.role {
            Role::Fixed | Role::Alone => 1,
            Role::First => 2,
            Role::Beside(_) => 3,
            Role::Second => 4,
        };
        without_noughts(vec![
            json!(role),
            json!(self.number(one.unit, one.bare)),
            json!(kitchen),
            json!(flags),
            json!(one.prefix),
            json!(one.suffix),
            json!(one.suffix_of_one),
            json!(one.join.as_deref().unwrap_or("")),
            json!(one.kept),
        ])
    }
}

fn shown_row(shown: &Shown) -> Value {
    let flags = u8::from(shown.about) + 2 * u8::from(shown.lost) + 4 * u8::from(shown.after);
    if shown.exact.is_empty() && shown.moved.is_empty() && flags == 0 {
        return json!(shown.text);
    }
    without_noughts(vec![json!(shown.text), json!(shown.exact), json!(shown.moved), json!(flags)]).into()
}

/// `[name, kind, ticks, ticks of the upper end or nothing, flags, density]`. Flags: 1 grows, 2 careful. Of what is not reckoned, only the
/// name and the kind.
fn measure_row(one: &LiveMeasure) -> Value {
    if !one.is_reckoned() {
        return json!([one.name, letter(one.dimension)]);
    }
    let flags = u8::from(one.moves()) + 2 * u8::from(one.care == Care::Careful);
    let ticks = ticks(one.dimension);
    let high = if one.high == one.low { json!("") } else { live_number(one.high * ticks) };
    let mut row = vec![json!(one.name), json!(letter(one.dimension)), live_number(one.low * ticks), high, json!(flags)];
    row.extend(one.density.map(live_number));
    without_noughts(row).into()
}

fn letter(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Mass => "m",
        Dimension::Volume => "v",
        Dimension::Length => "l",
        Dimension::Time => "t",
        Dimension::Temperature => "c",
        Dimension::Difference => "d",
        Dimension::Share => "s",
        Dimension::Count => "n",
        Dimension::Energy => "e",
        Dimension::Power => "p",
    }
}

/// `[unit, ticks, upto, step, …]`; an upto of nought is the last rung.
fn ladder_row(ladder: &Ladder) -> Value {
    let unit = KITCHEN.iter().position(|id| *id == ladder.unit).unwrap_or(0);
    let rungs = ladder.rungs.iter().flat_map(|rung| {
        let upto = if rung.upto == TOP { Exact::ZERO } else { Exact::whole(rung.upto) };
        [live_number(upto), live_number(Exact::whole(rung.step))]
    });
    [json!(unit), json!(ladder.ticks as i64)].into_iter().chain(rungs).collect()
}

/// How many of the whole numbers that the script reckons with make one of the dimension's base unit: every unit of mass
/// and volume is a whole number of them.
fn ticks(dimension: Dimension) -> Exact {
    // Old British teaspoons, American dry pints and pinches are thirds, 25ths and 32nds of what we store.
    let finer = if dimension == Dimension::Volume { 2_400 } else { 1 };
    Exact::whole(dimension.ticks() * finer)
}

/// A row without what is nothing at its end.
fn without_noughts(mut row: Vec<Value>) -> Vec<Value> {
    while row.last().is_some_and(|last| *last == json!("") || *last == json!(0)) {
        row.pop();
    }
    row
}

/// An amount in a dimension's base unit, as the script reckons with it.
pub fn live_ticks(base: Exact, dimension: Dimension) -> Value {
    live_number(base * ticks(dimension))
}

/// A ratio as the script reads it: a whole number as such, any other as text.
pub fn live_number(value: Exact) -> Value {
    match i64::try_from(value.over()) {
        Ok(whole) if value.is_whole() && whole.abs() < 1 << 53 => json!(whole),
        _ => json!(value.to_string()),
    }
}
