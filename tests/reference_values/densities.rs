//! Densities of the pantry against `tests/data/densities.csv`, whose rows name their source: portion weights of the USDA
//! database, a dairy density table, handbook tables.

use crate::rows::{Bench, exact};
use pottle::quantity::{Exact, split_amount};
use pottle::reference::{PantryEntry, Status};
use serde::Deserialize;

#[derive(Debug, Deserialize)]
struct Density {
    ingredient: String,
    g_per_ml: String,
    basis: String,
    source: String,
    status: String,
}

fn densities() -> Vec<Density> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/densities.csv");
    let mut reader = csv::Reader::from_path(path).expect("the table of densities is in the repo");
    reader.deserialize().map(|row| row.expect("every row has all columns")).collect()
}

/// Entries whose source numbers no foods, by the name of their row.
const BY_NAME: &[(&str, &str)] = &[
    ("coarse-salt", "salt, coarse (kosher), dense flake"),
    ("grape-juice", "grape juice"),
    ("light-flake-kosher-salt", "salt, coarse (kosher), light flake"),
    ("raw-milk", "producer milk 4.0 % fat at 4.4 degC"),
    ("saturated-brine", "salt brine 26 % w/w at 20 degC"),
    ("sifted-plain-flour", "flour, all-purpose, sifted"),
    ("water", "water at 20 degC"),
];

/// The number of a food in the USDA database: `NDB 01077`.
fn ndb(text: &str) -> Option<&str> {
    text.split_once("NDB ").and_then(|(_, rest)| rest.get(..5))
}

fn published(bench: &Bench) -> Vec<&PantryEntry> {
    let pantry = bench.reference.pantry.iter();
    pantry.filter(|entry| entry.density.is_some() && entry.density_status == Some(Status::Published)).collect()
}

#[test]
fn every_published_density_is_that_of_its_source() {
    let (bench, table) = (Bench::new(), densities());
    let entries = published(&bench);
    assert_eq!(entries.len(), 118);
    for entry in entries {
        let basis = entry.density_basis.as_deref().unwrap_or_default();
        let by_name = BY_NAME.iter().find(|(id, _)| *id == entry.id).map(|(_, name)| *name);
        let is_row = |row: &&Density| match (by_name, ndb(basis)) {
            (Some(name), _) => row.ingredient == name,
            (None, Some(number)) => ndb(&row.source) == Some(number) && basis.starts_with(&row.basis),
            (None, None) => false,
        };
        let rows: Vec<&Density> = table.iter().filter(is_row).collect();
        assert!(!rows.is_empty(), "{} ({basis}) has no row", entry.id);
        for row in rows {
            let told = format!("{} against {} ({}; {})", entry.id, row.ingredient, row.source, row.status);
            assert_eq!(entry.density, Some(exact(&row.g_per_ml)), "{told}");
            assert_eq!(row.status, "published", "{told}");
        }
    }
}

/// A density given as a weight for each measure must be that weight over the size of that measure (NIST Handbook 44).
#[test]
fn densities_follow_from_the_weights_they_are_based_on() {
    let bench = Bench::new();
    let units = bench.units();
    let mut checked = 0;
    for entry in bench.reference.pantry.iter() {
        let (Some(density), Some(basis)) = (entry.density, entry.density_basis.as_deref()) else { continue };
        let Some((weight, measure)) = basis.split_once(" per ") else { continue };
        let measure =
            if measure.starts_with(|c: char| c.is_ascii_digit()) { measure.to_owned() } else { format!("1 {measure}") };
        let (Ok((weight, _)), Ok((measure, _))) = (split_amount(weight, units), split_amount(&measure, units)) else {
            continue;
        };
        if weight.about || entry.density_status != Some(Status::Published) {
            continue;
        }
        let got = weight.low.quantity.base() / measure.low.quantity.base();
        // Densities are given to four places.
        assert!((got - density).abs() <= Exact::new(1, 20_000), "{}: {basis} is {}", entry.id, got.to_decimal(5));
        checked += 1;
    }
    assert!(checked >= 110, "only {checked} densities rest on a weight for each measure");
}

/// The same source gives the cup's weight, so both must tell the same.
#[test]
fn weights_of_a_cup_agree_with_densities_of_the_same_source() {
    let bench = Bench::new();
    let cup = bench.units().get(bench.units().find("us-cup").expect("a US cup")).size;
    let mut checked = 0;
    for entry in published(&bench) {
        let Some(weight) = entry.cup_weight.filter(|_| entry.cup_weight_source == entry.density_source) else {
            continue;
        };
        let gap = (entry.density.expect("published") * cup - weight.low.quantity.base()).abs();
        // A density from a spoon's rounded weight moves a cup by more than a gram.
        let spooned = entry.density_basis.as_deref().is_some_and(|basis| !basis.contains("cup"));
        assert!(spooned || gap <= Exact::ONE, "{}: off by {} g", entry.id, gap.to_decimal(2));
        checked += 1;
    }
    assert!(checked >= 80, "only {checked}");
}
