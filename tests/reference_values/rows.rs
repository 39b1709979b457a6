//! The rows of `tests/data/check-values.csv`, and how they are read into our own quantities.

use pottle::check::tolerance::{Setting, agree};
use pottle::quantity::print::Style;
use pottle::quantity::{End, Exact, Home, Number, NumberForm, Quantity, UnitId, Units};
use pottle::reference::{Fact, Manner, Reference};
use pottle::source::{FileId, MappedText};
use serde::Deserialize;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

/// One published pair of figures.
#[derive(Debug, Deserialize)]
pub struct Row {
    pub id: String,
    pub kind: String,
    pub from_value: String,
    pub from_unit: String,
    pub to_value: String,
    pub to_unit: String,
    pub tolerance: String,
    pub source: String,
    pub status: String,
}

impl Row {
    /// For the message of a failing check: what was compared, who says so, and how surely.
    pub fn told(&self) -> String {
        let Row { id, from_value, from_unit, to_value, to_unit, source, status, .. } = self;
        format!("{id}: {from_value} {from_unit} = {to_value} {to_unit} ({source}; {status})")
    }
}

pub fn rows() -> Vec<Row> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/check-values.csv");
    let mut reader = csv::Reader::from_path(path).expect("the table of check values is in the repo");
    reader.deserialize().map(|row| row.expect("every row has all columns")).collect()
}

/// Our tables, and the units of courses that declare conventions.
pub struct Bench {
    pub reference: Reference,
    /// Units of a course that keeps to the conventions of a country's cookery tables, by the kind of row.
    pub by_table: BTreeMap<&'static str, Units>,
    /// Facts that a check has asked for.
    pub asked: RefCell<BTreeSet<String>>,
}

impl Bench {
    pub fn new() -> Bench {
        let reference = Reference::built_in(Home::Uk);
        let by_table = BTreeMap::from([
            ("trade-table-us", reference.units.clone()),
            ("trade-table-uk", units_with(&["ounce-25"])),
            ("trade-table-au", units_with(&["ounce-31.25", "pound-500", "fluid-ounce-31.25"])),
        ]);
        Bench { reference, by_table, asked: RefCell::default() }
    }

    pub fn units(&self) -> &Units {
        &self.reference.units
    }

    pub fn fact(&self, id: &str) -> &Fact {
        self.asked.borrow_mut().insert(id.to_owned());
        let found = self.reference.facts.iter().find(|fact| fact.id == id);
        found.unwrap_or_else(|| panic!("the table of facts lacks `{id}`"))
    }
}

/// The units of a course that declares conventions.
pub fn units_with(conventions: &[&str]) -> Units {
    let conventions = conventions.iter().map(|id| {
        let mut text = MappedText::new(FileId(0));
        text.push(id, 0..id.len());
        text
    });
    let manner = Manner { home: Home::Uk, style: Style::default(), conventions: conventions.collect() };
    let units = Reference::built_in(manner).units;
    assert!(units.conventions().len() > 8, "nothing was declared");
    units
}

/// Our unit for a code of the table; `None` for what no kitchen unit expresses (bar, Btu, bushel …).
pub fn unit(units: &Units, code: &str) -> Option<UnitId> {
    let id = match code {
        "L" => "litre",
        "mL" => "millilitre",
        "cL" => "centilitre",
        "dL" => "decilitre",
        "g" => "gram",
        "kg" => "kilogram",
        "mm" => "millimetre",
        "cm" => "centimetre",
        "m" => "metre",
        "in" => "inch",
        "ft" => "foot",
        "lb" => "pound",
        "oz" => "ounce",
        "stone" => "stone",
        "s" => "second",
        "J" => "joule",
        "kJ" => "kilojoule",
        "kcal" => "kilocalorie",
        "stick_butter" => "stick-of-butter",
        // The kitchen table of a US standards body names its units without "US".
        "gal_us" | "gallon" => "us-gallon",
        "qt_us" | "quart" => "us-quart",
        "pt_us" | "pint" => "us-pint",
        "cup_us" | "cup" => "us-cup",
        "floz_us" | "fl oz" => "us-fluid-ounce",
        "tbsp_us" | "tbsp" => "us-tablespoon",
        "tsp_us" | "tsp" => "us-teaspoon",
        "gill_us" => "us-gill",
        "drypt_us" => "us-dry-pint",
        "dryqt_us" => "us-dry-quart",
        "gal_imp" => "imperial-gallon",
        "qt_imp" => "imperial-quart",
        "pt_imp" => "imperial-pint",
        "cup_imp" => "imperial-cup",
        "gill_imp" => "imperial-gill",
        "floz_imp" => "imperial-fluid-ounce",
        "tbsp_imp_old" => "old-uk-tablespoon",
        "tsp_imp_old" => "old-uk-teaspoon",
        "cup_label" => "label-cup",
        "tbsp_label" => "label-tablespoon",
        "tsp_label" => "label-teaspoon",
        "floz_label" => "label-fluid-ounce",
        "cup_metric" => "metric-cup",
        "tbsp_au" => "australian-tablespoon",
        "tsp_au" | "tsp_metric" => "metric-teaspoon",
        "tbsp_metric" => "metric-tablespoon",
        "dsp_metric" => "metric-dessertspoon",
        "cup_jp" => "japanese-cup",
        "degC" => "celsius",
        "degF" => "fahrenheit",
        "delta_degC" => "celsius-difference",
        "delta_degF" => "fahrenheit-difference",
        _ => return None,
    };
    Some(units.find(id).unwrap_or_else(|| panic!("the table of units lacks `{id}`")))
}

pub fn exact(text: &str) -> Exact {
    Exact::parse(text).unwrap_or_else(|| panic!("`{text}` is no number"))
}

/// A tolerance of the table, which writes some as `1e-09`.
pub fn tolerance(text: &str) -> Exact {
    match text.split_once("e-") {
        Some((head, power)) => exact(head) / Exact::whole(10i128.pow(power.parse().expect("a power of ten"))),
        None => exact(text),
    }
}

/// A written value: as many decimals as the table shows.
pub fn written(units: &Units, value: &str, id: UnitId) -> End {
    // The table writes a third with ten decimals.
    let (value, decimals) = match value {
        "0.3333333333" => (Exact::new(1, 3), 0),
        _ => (exact(value), value.split_once('.').map_or(0, |(_, part)| part.len() as u8)),
    };
    let unit = units.get(id);
    let form = if value.is_whole() || decimals > 0 { NumberForm::Digits { decimals } } else { NumberForm::Fraction };
    End {
        quantity: Quantity::from_base(unit.dimension, unit.to_base(value)).expect("a kitchen amount"),
        number: Number { value, form },
        unit: id,
        step: unit.size / Exact::whole(10i128.pow(u32::from(decimals))),
        compound: false,
    }
}

/// Whether the rule of agreement takes the two halves of a row for one measure, whichever of them is the model.
pub fn pair_agrees(units: &Units, row: &Row, setting: Setting) -> bool {
    // Some units of the table go on in words: `degC max cold holding`.
    let code = |text: &str| match text.split_once(' ') {
        Some((first, _)) if first.starts_with("deg") => first.to_owned(),
        _ => text.to_owned(),
    };
    let ends = [(&row.from_value, &row.from_unit), (&row.to_value, &row.to_unit)].map(|(value, text)| {
        let id = unit(units, &code(text)).unwrap_or_else(|| panic!("{} uses `{text}`", row.id));
        written(units, value, id)
    });
    let agrees = agree(&ends[0], &ends[1], units, setting);
    assert_eq!(agrees, agree(&ends[1], &ends[0], units, setting), "the order matters: {}", row.told());
    agrees
}

/// What the kind of a pair says of its setting.
pub fn setting(row: &Row) -> Setting {
    Setting {
        oven: row.kind.contains("oven"),
        minimum: row.kind.contains("minimum") || row.kind.starts_with("pasteurisation"),
        about: row.kind.contains("about"),
    }
}
