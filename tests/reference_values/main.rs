//! Units, conversions and the rule of agreement against published figures.
//!
//! `tests/data/check-values.csv` names the source and status of each row: standards, statutes and handbooks where
//! "published", kitchen tables where "common practice". Rows "from memory" are run too and say so when they fail.
//! `checks` holds one check for each kind of row; what no table of ours can express yet is counted by kind in
//! [`NOT_YET`], so that no row is left out silently. `densities` holds the pantry to its sources.

mod checks;
mod densities;
mod rows;
mod sums;

use checks::{ODD_ROWS, check};
use pottle::check::tolerance::{Setting, agree};
use pottle::quantity::{Dimension, Home, Units};
use pottle::reference::Reference;
use rows::{Bench, pair_agrees, rows, setting, units_with};
use std::collections::BTreeMap;

fn units() -> Units {
    Reference::built_in(Home::Uk).units
}

/// What our tables cannot express yet, by kind: how many rows, and why. Nothing else may be left out.
const NOT_YET: &[(&str, usize, &str)] = &[
    (
        "fact",
        22,
        "pH, acidity, water activity, kraut salt, pickle and yoghurt heat, composition limits: no facts of ours",
    ),
    ("specific-heat-published", 8, "foods of no given composition, melting fat, a drier flour: see `sums::UNLIKE`"),
    ("temp-exact", 4, "kelvin readings: no kitchen has them"),
    ("unit-derived", 3, "pressures"),
    ("unit-exact", 12, "grain, dram, bushel, pressures, Btu and calories by two definitions"),
];

#[test]
fn every_row_is_checked_or_named_here() {
    let bench = Bench::new();
    let (mut checked, mut left): (BTreeMap<String, usize>, BTreeMap<String, usize>) = Default::default();
    for row in rows() {
        let count = if check(&bench, &row) { &mut checked } else { &mut left };
        *count.entry(row.kind).or_default() += 1;
    }
    let left: Vec<(&str, usize)> = left.iter().map(|(kind, count)| (kind.as_str(), *count)).collect();
    let named: Vec<(&str, usize)> = NOT_YET.iter().map(|(kind, count, _)| (*kind, *count)).collect();
    assert_eq!(left, named, "rows that are not checked");
    let total: usize = checked.values().sum();
    assert_eq!(total, 1080, "{checked:?}");
}

/// Facts of ours that no row of the table speaks of. Their sources stand in `shared/facts.toml`; nothing outside of it
/// checks them here.
const FACTS_WITHOUT_A_ROW: &[&str] = &[
    "hot-for-hands",
    "melting-ice",
    "perishable-out",
    "reheat-quick-temperature",
    "reheat-quick-time",
    "reheat-temperature",
    "reheat-time",
    "room",
    "scald-temperature",
    "scald-time",
];

#[test]
fn every_fact_is_checked_against_a_row_or_named_here() {
    let bench = Bench::new();
    for row in rows() {
        check(&bench, &row);
    }
    let asked = bench.asked.borrow();
    let facts = bench.reference.facts.iter().map(|fact| fact.id.as_str());
    let unchecked: Vec<&str> = facts.filter(|id| !asked.contains(*id)).collect();
    assert_eq!(unchecked, FACTS_WITHOUT_A_ROW);
}

#[test]
fn odd_rows_are_in_the_table() {
    let rows = rows();
    for (id, why) in ODD_ROWS {
        assert!(rows.iter().any(|row| row.id == *id) && !why.is_empty(), "{id}");
    }
}

#[test]
fn pairs_are_accepted_and_refused_in_these_numbers() {
    let units = units();
    let pairs = rows().into_iter().filter(|row| row.kind.starts_with("pair-"));
    let (accepted, refused): (Vec<_>, Vec<_>) = pairs.partition(|row| pair_agrees(&units, row, setting(row)));
    assert_eq!((accepted.len(), refused.len()), (250, 187));
}

/// British and Australian cookery tables: an ounce of 25 g, a pound of 500 g and its sixteenths.
#[test]
fn conventions_that_look_like_slips_hold_only_where_they_are_declared() {
    let plain = units();
    let declared =
        [("25 g ounce", units_with(&["ounce-25"])), ("500 g pound", units_with(&["ounce-31.25", "pound-500"]))];
    let mut accepted = 0;
    for row in rows().iter().filter(|row| row.kind == "pair-accept-optin-mass") {
        assert!(!pair_agrees(&plain, row, Setting::default()), "{} is accepted undeclared", row.id);
        for (source, units) in &declared {
            let agrees = pair_agrees(units, row, Setting::default());
            assert_eq!(agrees, row.source == *source, "{} ({}) in a course with the {source}", row.id, row.source);
            accepted += usize::from(agrees);
        }
    }
    assert_eq!(accepted, 15);
}

/// What the rule cannot tell apart, by name: 210 g for 7 oz and 300 g for 10 oz fit a 30 g ounce, 5 mm for ⅛ in fits
/// the floor that lets ½ in be 1 cm.
#[test]
fn the_slips_that_pass_are_these_three() {
    let units = units();
    let missed: Vec<String> = rows()
        .iter()
        .filter(|row| row.kind.starts_with("pair-slip-missed") && pair_agrees(&units, row, setting(row)))
        .map(|row| format!("{} {} = {} {}", row.from_value, row.from_unit, row.to_value, row.to_unit))
        .collect();
    assert_eq!(missed, ["210 g = 7 oz", "300 g = 10 oz", "5 mm = 0.125 in"]);
}

/// Common practice, no source: what cooks call each other's figures, and what they would not.
#[test]
fn the_trade_calls_these_the_same_and_not_those() {
    let units = units();
    let read = |text: &str| pottle::quantity::parse_amount(text, &units).unwrap().low;
    for (a, b) in [
        ("32 °C", "90 °F"),
        ("41 °C", "105 °F"),
        ("4.5 L", "1 imperial gallon"),
        ("2.5 cm", "1 inch"),
        ("2.5 cm", "1 in"),
        ("92 °C", "198 °F"),
        ("120 mL", "½ US cup"),
        ("450 g", "1 lb"),
    ] {
        assert!(agree(&read(a), &read(b), &units, Setting::default()), "{a} is called {b}");
    }
    for (a, b) in [
        ("42 °C", "105 °F"),
        ("4.5 L", "1 US gallon"),
        ("2.5 cm", "2 in"),
        ("33 °C", "90 °F"),
        ("3.8 L", "1 imperial gallon"),
    ] {
        assert!(!agree(&read(a), &read(b), &units, Setting::default()), "{a} is not {b}");
    }
}

#[test]
fn inside_one_system_only_rounding_to_the_digits_written_is_forgiven() {
    let units = units();
    let read = |text: &str| pottle::quantity::parse_amount(text, &units).unwrap().low;
    let holds = |model: &str, said: &str| agree(&read(model), &read(said), &units, Setting::default());
    for (model, said) in [
        ("4 L", "4000 mL"),
        ("90 min", "1½ hours"),
        ("90 min", "1 h 30 min"),
        ("15 min", "a quarter of an hour"),
        ("4.54 L", "4.5 L"),
        ("62.8 °C", "63 °C"),
        ("1 tbsp", "15 mL"),
        ("454 g", "0.454 kg"),
        ("1½ cups", "375 mL"),
    ] {
        assert!(holds(model, said), "{model} is {said}");
    }
    for (model, said) in [
        ("4 L", "4.1 L"),
        ("63 °C", "62 °C"),
        ("90 min", "2 hours"),
        ("120 mL", "0.1 L"),
        ("1 tsp", "1 tbsp"),
        ("1½ tsp", "2 tsp"),
        ("250 g", "251 g"),
        ("9 g", "9.5 g"),
        ("¾ tsp", "half a teaspoon"),
        ("62.8 °C", "62 °C"),
    ] {
        assert!(!holds(model, said), "{model} is not {said}");
    }
    assert_eq!(read("63 °C").quantity.dimension(), Dimension::Temperature);
}
