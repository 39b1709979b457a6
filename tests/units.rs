//! `shared/units.toml` against GNU units (Debian package `units`), and its house-keeping.

use pottle::quantity::{Dimension, Exact, Home};
use pottle::reference::Reference;
use std::collections::BTreeSet;
use std::process::Command;

/// What GNU units says `from` is in `to`. Its locale is fixed so that its own words for cups and pints do not vary.
fn gnu(from: &str, to: &str) -> Exact {
    let output = Command::new("units")
        .args(["--terse", "--digits", "15", "--", from, to])
        .env("LC_ALL", "C")
        .env("UNITS_ENGLISH", "US")
        .output()
        .expect("GNU units is installed (Debian package `units`); tests/run installs it");
    let text = String::from_utf8_lossy(&output.stdout).trim().to_owned();
    decimal(&text).unwrap_or_else(|| panic!("GNU units on `{from}` in `{to}`: {text}"))
}

fn decimal(text: &str) -> Option<Exact> {
    let (head, power) = text.split_once('e').unwrap_or((text, "0"));
    let (head, power) = (Exact::parse(head)?, power.trim_start_matches('+').parse::<i32>().ok()?);
    let scale = Exact::whole(10i128.pow(power.unsigned_abs()));
    Some(if power < 0 { head / scale } else { head * scale })
}

#[test]
fn gnu_units_agrees_on_every_unit_it_knows() {
    let units = Reference::built_in(Home::Uk).units;
    let table = include_str!("data/gnu-units.tsv");
    let mut seen = BTreeSet::new();
    for line in table.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty()) {
        let columns: Vec<&str> = line.split('\t').collect();
        let [id, from, to] = columns[..] else { panic!("three columns: {line}") };
        let unit = units.get(units.find(id).unwrap_or_else(|| panic!("there is no unit `{id}`")));
        let theirs = gnu(from, to);
        let gap = (theirs - unit.size).abs();
        assert!(gap * Exact::whole(1_000_000_000) <= unit.size, "{id}: ours {}, GNU units {theirs}", unit.size);
        seen.insert(id.to_owned());
    }
    // Temperatures are not a factor, so they are compared as readings.
    for (id, scale) in [("celsius", "tempC"), ("fahrenheit", "tempF")] {
        let unit = units.get(units.find(id).expect("both scales are known"));
        for reading in [-40, 0, 32, 37, 98, 212] {
            let theirs = gnu(&format!("{scale}({reading})"), "tempC");
            let gap = (theirs - unit.to_base(Exact::whole(reading))).abs();
            assert!(gap <= Exact::new(1, 1_000_000), "{reading} {id}: GNU units says {theirs} °C");
        }
        seen.insert(id.to_owned());
    }
    let shares = [Dimension::Share, Dimension::Count];
    // A gas mark is the name of a dial; its table is checked against the trade's in another test.
    seen.insert("gas-mark".to_owned());
    let left_out: Vec<&str> = units
        .iter()
        .filter(|(_, unit)| !shares.contains(&unit.dimension) && !seen.contains(&unit.id))
        .map(|(_, unit)| unit.id.as_str())
        .collect();
    assert_eq!(left_out, [""; 0], "every unit that is no share or count is compared");
}

#[test]
fn the_table_keeps_house() {
    let reference = Reference::built_in(Home::Uk);
    let mut ids: Vec<&str> = reference.units.iter().map(|(_, unit)| unit.id.as_str()).collect();
    ids.retain(|id| !["piece", "fraction", "gas-mark"].contains(id)); // always there, and in no table
    let sorted: BTreeSet<&str> = ids.iter().copied().collect();
    assert!(ids.iter().copied().eq(sorted), "rows are sorted by id and unique");
    for (_, unit) in reference.units.iter().filter(|(_, unit)| !unit.source.is_empty()) {
        assert!(reference.sources.contains_key(&unit.source), "{}: no source `{}`", unit.id, unit.source);
    }
}

#[test]
fn every_printed_name_reads_back_as_its_unit() {
    for home in Home::ALL {
        let units = Reference::built_in(home).units;
        for (id, unit) in units.iter().filter(|(_, unit)| !unit.symbol.is_empty()) {
            // A change of temperature is written like a reading; the words around it tell.
            if unit.dimension == Dimension::Difference {
                continue;
            }
            for name in [&unit.symbol, &unit.one, &unit.many] {
                let found = units.match_start(name).unwrap_or_else(|| panic!("`{name}` is not read at all"));
                assert_eq!(found.unit, id, "`{name}` is read as {}", units.get(found.unit).id);
            }
        }
    }
}

#[test]
fn a_bare_word_means_what_the_authors_home_means() {
    for (home, text, millilitres) in [
        (Home::Uk, "1 pint", "568.26125"),
        (Home::Us, "1 pint", "473.176473"),
        (Home::Uk, "1 US pint", "473.176473"),
        (Home::Us, "1 imperial pint", "568.26125"),
        (Home::Au, "1 tablespoon", "20"),
        (Home::Uk, "1 tablespoon", "15"),
        (Home::Us, "1 tbsp", "14.78676478125"),
        (Home::Us, "1 metric tablespoon", "15"),
        (Home::Uk, "1 cup", "250"),
        (Home::Us, "1 cup", "236.5882365"),
    ] {
        let units = Reference::built_in(home).units;
        let amount = pottle::quantity::parse_amount(text, &units).expect(text);
        assert_eq!(Some(amount.low.quantity.base()), Exact::parse(millilitres), "{text} in {}", home.name());
    }
}
