//! Slips of the pen: one figure of a lesson changed.

use crate::lessons::{Change, Demo, Place};
use crate::meaning::{self, Model};
use crate::written::{Form, Kind, Number, Written, unit_called};
use pottle::quantity::{Bound, Exact};
use std::ops::Range;

pub struct Mutant<'a> {
    pub place: &'a Place,
    pub kind: &'static str,
    /// The words in place of the mention's.
    pub words: String,
    pub change: Change,
    /// Whether the lesson still says the same.
    pub equal: bool,
}

pub const KINDS: &[&str] = &[
    "last digit +1",
    "last digit −1",
    "×10",
    "÷10",
    "digits transposed",
    "digit dropped",
    "sign dropped",
    "another number word",
    "another fraction",
    "ends made equal",
    "ends shifted",
    "unit of the same kind",
    "unit of another kind",
    "another measure's value",
    "one half of a pair",
    "bound reversed",
];

/// All slips at one place, each text once.
pub fn mutants<'a>(demo: &Demo, place: &'a Place) -> Vec<Mutant<'a>> {
    let mut slips: Vec<(&'static str, Written)> = Vec::new();
    for (index, number) in place.written.ends().iter().enumerate() {
        slips.extend(numbers(number).into_iter().map(|(kind, other)| (kind, place.written.with_end(index, other))));
    }
    slips.extend(ranges(&place.written));
    slips.extend(units(&place.written));
    if place.partner.is_some() {
        slips.extend(half(&place.written).map(|written| ("one half of a pair", written)));
    }
    let mut found: Vec<Mutant<'a>> = slips.into_iter().map(|(kind, written)| one(place, kind, &written)).collect();
    found.extend(other_measures(demo, place));
    found.extend(bounds(&demo.lessons[place.lesson].text, place));
    let mut seen = std::collections::BTreeSet::from([place.text.clone()]);
    found.retain(|mutant| seen.insert(mutant.words.clone()));
    found
}

fn one<'a>(place: &'a Place, kind: &'static str, written: &Written) -> Mutant<'a> {
    let pair = place.partner.as_ref().map(|(_, partner)| partner);
    Mutant {
        place,
        kind,
        words: written.text(),
        change: Change { lesson: place.lesson, edits: vec![(place.range.clone(), written.text())] },
        equal: meaning::states(&place.model, written, place.manner)
            && pair.is_none_or(|other| still_a_pair(place, written, other)),
    }
}

fn still_a_pair(place: &Place, written: &Written, other: &Written) -> bool {
    meaning::pair_holds(written, other, place.model.bound == Bound::AtLeast, place.manner)
}

/// Another number in the same form.
fn numbers(number: &Number) -> Vec<(&'static str, Number)> {
    let mut found = Vec::new();
    let mut add = |kind, other: Option<Number>| found.extend(other.map(|other| (kind, other)));
    let (value, ten) = (number.value, Exact::whole(10));
    match number.form {
        Form::Figures(decimals) => {
            let step = Exact::new(1, 10i128.pow(decimals));
            add("last digit +1", Number::exact(value + step));
            add("last digit −1", Some(value - step).filter(|less| *less >= Exact::ZERO).and_then(Number::exact));
            add("sign dropped", number.text.strip_prefix('−').and_then(Number::figures));
            for text in transposed(&number.text) {
                add("digits transposed", Number::figures(&text));
            }
            for text in dropped(&number.text) {
                add("digit dropped", Number::figures(&text));
            }
        }
        Form::Fraction => {
            add("last digit +1", Number::fraction(value + Exact::ONE));
            let less = Some(value - Exact::ONE).filter(|less| *less > Exact::ZERO);
            add("last digit −1", less.and_then(Number::fraction));
            for part in [Exact::new(1, 4), Exact::new(1, 2), Exact::new(3, 4)] {
                add("another fraction", Number::fraction(value.floor() + part));
            }
        }
        Form::Words if value < Exact::ONE => {
            for (over, under) in [(1, 4), (1, 3), (1, 2), (2, 3), (3, 4)] {
                add("another number word", Number::words(Exact::new(over, under)));
            }
        }
        Form::Words => {
            add("another number word", Number::words(value + Exact::ONE));
            add("another number word", Number::words(value - Exact::ONE));
        }
    }
    if !value.is_zero() {
        add("×10", Number::words(value * ten).filter(|_| number.form == Form::Words).or(Number::exact(value * ten)));
        add("÷10", Number::exact(value / ten));
    }
    found
}

/// Neighbouring digits swapped.
fn transposed(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    let digits: Vec<usize> = (0..letters.len()).filter(|at| letters[*at].is_ascii_digit()).collect();
    let swapped = digits.windows(2).map(|pair| {
        let mut other = letters.clone();
        other.swap(pair[0], pair[1]);
        other.into_iter().collect::<String>()
    });
    swapped.filter(|other| other != text && is_plain(other)).collect()
}

/// One digit left out.
fn dropped(text: &str) -> Vec<String> {
    let digits = text.char_indices().filter(|(_, letter)| letter.is_ascii_digit());
    let shorter = digits.map(|(at, _)| format!("{}{}", &text[..at], &text[at + 1..]));
    shorter.filter(|other| is_plain(other)).collect()
}

/// Whether a number looks like one that somebody typed: no nought in front, no point without digits.
fn is_plain(text: &str) -> bool {
    let digits = text.trim_start_matches('−');
    let leading_nought = digits.len() > 1 && digits.starts_with('0') && !digits.starts_with("0.");
    !digits.is_empty() && !leading_nought && !digits.starts_with('.') && !digits.ends_with('.')
}

fn ranges(written: &Written) -> Vec<(&'static str, Written)> {
    let Some((_, high)) = &written.high else { return Vec::new() };
    let (low, width) = (&written.low, high.value - written.low.value);
    let mut found = vec![
        ("ends made equal", written.with_end(1, low.clone())),
        ("ends made equal", written.with_end(0, high.clone())),
    ];
    for by in [width, -width] {
        let shifted = Number::exact(low.value + by).zip(Number::exact(high.value + by));
        let above = shifted.filter(|(low, _)| low.value > Exact::ZERO);
        found.extend(above.map(|(low, high)| ("ends shifted", written.with_end(0, low).with_end(1, high))));
    }
    found
}

fn units(written: &Written) -> Vec<(&'static str, Written)> {
    let same: &[&str] = match written.unit.one {
        "g" | "gram" => &["kg"],
        "kg" | "lb" => &["g", "oz"],
        "oz" => &["lb", "g"],
        "mL" => &["L"],
        "litre" => &["millilitre", "pint"],
        "pint" => &["US pint", "litre"],
        "teaspoon" => &["tablespoon"],
        "tablespoon" => &["teaspoon"],
        "mm" => &["cm"],
        "cm" => &["mm", "inch"],
        "centimetre" => &["millimetre", "inch"],
        "inch" => &["cm"],
        "second" => &["minute"],
        "minute" => &["hour", "second"],
        "hour" => &["minute", "day"],
        "day" => &["hour", "week"],
        "week" => &["day", "month"],
        "month" => &["week"],
        "°C" => &["°F"],
        "°F" => &["°C"],
        _ => &[],
    };
    let other: &[&str] = match written.unit.kind {
        Kind::Mass => &["mL", "litre"],
        Kind::Volume => &["g", "kg"],
        Kind::Time => &["°C"],
        Kind::Temperature => &["minute"],
        Kind::Length | Kind::Share => &["g"],
        Kind::Count => &[],
    };
    let swapped = |kind, names: &'static [&'static str]| names.iter().map(move |name| (kind, written.with_unit(name)));
    let same = swapped("unit of the same kind", same);
    same.chain(swapped("unit of another kind", other)).collect()
}

/// One half moved by more than the trade's rounding.
fn half(written: &Written) -> impl Iterator<Item = Written> + '_ {
    let by = |number: &Number, up: bool| {
        let step = match written.unit.one {
            "°C" => Exact::whole(2),
            "°F" => Exact::whole(3),
            _ => (number.value / Exact::whole(8)).round_to(Exact::new(1, 100)),
        };
        Number::exact(if up { number.value + step } else { number.value - step })
    };
    [true, false].into_iter().filter_map(move |up| {
        let ends: Option<Vec<Number>> = written.ends().into_iter().map(|number| by(number, up)).collect();
        let ends = ends?;
        let moved = ends.iter().enumerate();
        Some(moved.fold(written.clone(), |changed, (index, number)| changed.with_end(index, number.clone())))
    })
}

/// A measure as somebody would write it in the words.
pub fn written_measure(model: &Model) -> Option<Written> {
    let names: &[&str] = match model.kind {
        Kind::Mass => &["kg", "g"],
        Kind::Volume => &["litre", "mL"],
        Kind::Length => &["cm", "mm"],
        Kind::Time => &["week", "day", "hour", "minute", "second"],
        Kind::Temperature => &["°C"],
        Kind::Share => &["%"],
        Kind::Count => &[""],
    };
    names.iter().find_map(|name| {
        let unit = unit_called(name);
        let tenths =
            |base| Number::exact(unit.value(base)).filter(|number| matches!(number.form, Form::Figures(0 | 1)));
        let (low, high) = (tenths(model.low)?, tenths(model.high)?);
        let whole = model.kind != Kind::Time || low.value.is_whole() && high.value.is_whole();
        let smallest = names.last() == Some(name);
        let fits = whole && low.value.abs() >= Exact::ONE || smallest;
        fits.then(|| Written { low, high: model.range.then(|| (" to ".to_owned(), high)), glue: " ".to_owned(), unit })
    })
}

/// The value of another measure of the lesson; of a pair of temperatures, both halves.
fn other_measures<'a>(demo: &Demo, place: &'a Place) -> Vec<Mutant<'a>> {
    let same_kind = demo.lessons[place.lesson].measures.iter().filter(|other| other.kind == place.written.unit.kind);
    let mut found = Vec::new();
    for mut written in same_kind.filter_map(written_measure) {
        if place.written.glue == "-" && (written.is_range() || written.low.value.is_zero()) {
            continue;
        }
        if place.written.unit.kind == Kind::Count {
            written.glue = String::new();
        }
        let temperatures = place.written.unit.kind == Kind::Temperature;
        match &place.partner {
            None => found.push(one(place, "another measure's value", &written)),
            Some((range, partner)) if temperatures && place.leads && place.written.unit.one == "°C" => {
                let Some(other) = in_fahrenheit(&written) else { continue };
                let mut mutant = one(place, "another measure's value", &written);
                mutant.words = format!("{} ({})", written.text(), other.text());
                mutant.equal = meaning::states(&place.model, &written, place.manner)
                    && meaning::states(&place.model, &other, place.manner);
                mutant.change.edits.push((range.clone(), other.text()));
                debug_assert_eq!(partner.unit.one, "°F");
                found.push(mutant);
            }
            Some(_) => {}
        }
    }
    found
}

/// The same in whole degrees Fahrenheit.
pub fn in_fahrenheit(written: &Written) -> Option<Written> {
    let unit = unit_called("°F");
    let mut changed = Written { unit, ..written.clone() };
    for (index, number) in written.ends().iter().enumerate() {
        let value = unit.value(written.unit.base(number.value)).round_to(Exact::ONE);
        changed = changed.with_end(index, Number::exact(value)?);
    }
    Some(changed)
}

const BEFORE: &[(&str, &str)] = &[
    ("at most ", "at least "),
    ("at least ", "at most "),
    ("no more than ", "no less than "),
    ("no less than ", "no more than "),
];
const AFTER: &[(&str, &str)] = &[
    ("or below", "or above"),
    ("or colder", "or hotter"),
    ("or hotter", "or colder"),
    ("or above", "or below"),
    ("or less", "or more"),
    ("or more", "or less"),
];

/// `at least` for `at most`, `or above` for `or below`.
fn bounds<'a>(text: &str, place: &'a Place) -> Vec<Mutant<'a>> {
    if !place.leads || place.model.bound == Bound::None {
        return Vec::new();
    }
    let mutant = |kind, range: Range<usize>, with: &str, words: String| Mutant {
        place,
        kind,
        words,
        change: Change { lesson: place.lesson, edits: vec![(range, with.to_owned())] },
        equal: false,
    };
    let (start, end) = (place.range.start, place.range.end);
    for (words, opposite) in BEFORE {
        if text[..start].ends_with(words) {
            let range = start - words.len()..start;
            return vec![mutant("bound reversed", range, opposite, format!("{opposite}{}", place.text))];
        }
    }
    let group_end = place.partner.as_ref().map_or(end, |(range, _)| range.end + 1);
    for (words, opposite) in AFTER {
        let after = text.get(group_end..).unwrap_or("").trim_start_matches([' ', ')']);
        if after.starts_with(words) {
            let at = text.len() - after.len();
            let shown = format!("{} {opposite}", &text[start..at].trim_end());
            return vec![mutant("bound reversed", at..at + words.len(), opposite, shown)];
        }
    }
    Vec::new()
}
