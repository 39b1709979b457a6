//! The same in other words: what a teacher may write for a figure without meaning anything else.

use crate::lessons::{Change, Demo, Place};
use crate::written::{Form, Kind, Number, Written, unit_called};
use crate::wrong::in_fahrenheit;
use pottle::quantity::Exact;
use std::ops::Range;

pub struct Rewrite<'a> {
    pub place: &'a Place,
    pub kind: &'static str,
    /// The words as they would stand, for the report.
    pub words: String,
    pub change: Change,
    /// How many figures fewer the line has.
    pub fewer: usize,
}

pub const KINDS: &[&str] = &[
    "larger or smaller unit",
    "Fahrenheit for Celsius",
    "unit spelled otherwise",
    "number word for figures",
    "figures for number word",
    "part of an hour",
    "fraction for decimal",
    "decimal for fraction",
    "range joined by “to”",
    "range joined by a dash",
    "range with “between”",
    "range, unit on both ends",
    "no-break space",
    "no space",
    "bold number",
    "bold measure",
    "halves the other way round",
    "one half left out",
    "bound in other words",
];

/// All rewrites at one place, each text once.
pub fn rewrites<'a>(demo: &Demo, place: &'a Place) -> Vec<Rewrite<'a>> {
    let text = demo.lessons[place.lesson].text.as_str();
    let mut words: Vec<(&'static str, Range<usize>, String)> = Vec::new();
    let written = &place.written;
    let here = |kind: &'static str, words: String| (kind, place.range.clone(), words);
    words.extend(other_units(place).map(|(kind, written)| here(kind, written.text())));
    words.extend(other_numbers(written).map(|(kind, written)| here(kind, written.text())));
    words.extend(ranges(text, place));
    words.extend(spaces(written).map(|(kind, words)| here(kind, words)));
    if !place.in_block && !text[..place.range.start].ends_with('*') {
        words.push(here("bold measure", format!("**{}**", place.text)));
        for number in written.ends() {
            words.push(here("bold number", place.text.replacen(&number.text, &format!("**{}**", number.text), 1)));
        }
    }
    words.extend(turned(text, place));
    words.extend(bounds(text, place));
    let mut seen = std::collections::BTreeSet::new();
    let fresh =
        words.into_iter().filter(|(_, range, words)| text[range.clone()] != *words && seen.insert(words.clone()));
    fresh
        .map(|(kind, range, words)| Rewrite {
            place,
            kind,
            words: words.clone(),
            change: Change { lesson: place.lesson, edits: vec![(range, words)] },
            fewer: usize::from(kind == "one half left out"),
        })
        .collect()
}

/// In another unit; only figures, which can be converted without a change of form.
fn other_units(place: &Place) -> impl Iterator<Item = (&'static str, Written)> + '_ {
    let written = &place.written;
    let sizes: &[&str] = match written.unit.one {
        "g" => &["kg"],
        "kg" => &["g"],
        "mL" => &["L"],
        "litre" | "L" => &["mL"],
        "cm" | "centimetre" => &["mm"],
        "mm" => &["cm"],
        "minute" => &["second"],
        "hour" => &["minute"],
        "day" => &["hour"],
        "week" => &["day"],
        _ => &[],
    };
    let spellings: &[&str] = match written.unit.one {
        "g" => &["gram"],
        "litre" => &["L"],
        "mL" => &["millilitre"],
        "cm" => &["centimetre"],
        "minute" => &["min"],
        "hour" => &["h"],
        "second" => &["s"],
        "°C" => &["degree Celsius"],
        "%" => &["per cent"],
        "per cent" => &["%"],
        _ => &[],
    };
    let fraction = written.low.form == Form::Words && written.low.value < Exact::ONE;
    let spelled =
        spellings.iter().filter(move |_| !fraction).map(|name| ("unit spelled otherwise", written.with_unit(name)));
    let sized = sizes.iter().filter_map(|name| Some(("larger or smaller unit", converted(written, name)?)));
    let fahrenheit = (written.unit.one == "°C" && place.partner.is_none()).then(|| in_fahrenheit(written)).flatten();
    spelled.chain(sized).chain(fahrenheit.map(|written| ("Fahrenheit for Celsius", written)))
}

fn converted(written: &Written, name: &str) -> Option<Written> {
    let unit = unit_called(name);
    let mut changed = Written { glue: if written.glue == "-" { "-" } else { " " }.to_owned(), ..written.clone() };
    changed.unit = unit;
    for (index, number) in written.ends().iter().enumerate() {
        changed = changed.with_end(index, Number::exact(unit.value(written.unit.base(number.value)))?);
    }
    Some(changed)
}

/// The same number in another form.
fn other_numbers(written: &Written) -> impl Iterator<Item = (&'static str, Written)> + '_ {
    type Otherwise = fn(&Number, &Written) -> Option<Number>;
    let forms: [(&'static str, Otherwise); 4] = [
        ("number word for figures", |number, written| {
            let plain = matches!(number.form, Form::Figures(0)) && !written.unit.is_symbol();
            plain.then(|| Number::words(number.value)).flatten()
        }),
        ("figures for number word", |number, written| {
            let plain = number.form == Form::Words && (number.value >= Exact::ONE || written.unit.kind == Kind::Time);
            plain.then(|| Number::exact(number.value)).flatten()
        }),
        ("fraction for decimal", |number, _| {
            matches!(number.form, Form::Figures(1..)).then(|| Number::fraction(number.value)).flatten()
        }),
        ("decimal for fraction", |number, _| {
            (number.form == Form::Fraction).then(|| Number::exact(number.value)).flatten()
        }),
    ];
    let swapped = forms.into_iter().filter_map(move |(kind, form)| {
        let ends: Vec<Number> =
            written.ends().into_iter().map(|number| form(number, written).unwrap_or_else(|| number.clone())).collect();
        let moved = ends.iter().enumerate();
        let glue = if written.glue == "-" { "-" } else { " " }.to_owned();
        let glue = if written.unit.kind == Kind::Count { written.glue.clone() } else { glue };
        let other = moved.fold(Written { glue, ..written.clone() }, |changed, (index, number)| {
            changed.with_end(index, number.clone())
        });
        Some((kind, other)).filter(|(_, other)| other.ends().iter().zip(written.ends()).any(|(a, b)| **a != *b))
    });
    let minutes = (written.unit.one == "minute" && !written.is_range()).then(|| {
        let part = Number::words(written.low.value / Exact::whole(60)).filter(|part| part.value < Exact::ONE);
        part.map(|part| ("part of an hour", Written { unit: unit_called("hour"), ..written.with_end(0, part) }))
    });
    swapped.chain(minutes.flatten())
}

fn ranges(text: &str, place: &Place) -> Vec<(&'static str, Range<usize>, String)> {
    let Some((joint, high)) = &place.written.high else { return Vec::new() };
    let joined = |joint: &str| {
        let other = Written { high: Some((joint.to_owned(), high.clone())), ..place.written.clone() };
        other.text()
    };
    let before = &text[..place.range.start];
    let (range, free) = if joint == " and " {
        let start = before.strip_suffix("between ").map_or(place.range.start, str::len);
        (start..place.range.end, start < place.range.start)
    } else {
        (place.range.clone(), !["from ", "at ", "over ", "about "].iter().any(|word| before.ends_with(word)))
    };
    let mut found = Vec::new();
    if free || joint != " and " {
        found.push(("range joined by “to”", range.clone(), joined(" to ")));
        found.push(("range joined by a dash", range.clone(), joined("–")));
        found.push(("range joined by a dash", range.clone(), joined(" – ")));
        let both = format!("{}{}{}", place.written.low.text, place.written.glue, place.written.unit.many);
        let unit = format!("{}{}", place.written.glue, place.written.unit.many);
        found.push(("range, unit on both ends", range.clone(), format!("{both} to {}{unit}", high.text)));
    }
    if free && place.partner.is_none() && joint != " and " {
        found.push(("range with “between”", range, format!("between {}", joined(" and "))));
    }
    found
}

fn spaces(written: &Written) -> impl Iterator<Item = (&'static str, String)> + '_ {
    let plain = written.glue == " " && !written.unit.one.is_empty();
    let symbol = written.unit.is_symbol() && written.low.form != Form::Words && written.unit.one != "per cent";
    let glued = move |kind, glue: &str| (kind, Written { glue: glue.to_owned(), ..written.clone() }.text());
    let narrow = format!(
        "{}\u{202f}{}",
        written.text().trim_end_matches(written.unit.many).trim_end_matches(written.unit.one).trim_end(),
        if written.text().ends_with(written.unit.many) { written.unit.many } else { written.unit.one }
    );
    let wide = plain.then(|| glued("no-break space", "\u{a0}"));
    let thin = plain.then_some(("no-break space", narrow));
    let none = (plain && symbol).then(|| glued("no space", ""));
    wide.into_iter().chain(thin).chain(none)
}

/// `198 °F (92 °C)`, `92 °C` and `198 °F` for `92 °C (198 °F)`.
fn turned(text: &str, place: &Place) -> Vec<(&'static str, Range<usize>, String)> {
    let Some((other, _)) = place.partner.as_ref().filter(|_| place.leads) else { return Vec::new() };
    // A thing or a word between the halves belongs to the first of them; so do the stars of bold letters.
    let plain = &text[place.range.end..other.start] == " (" && text[other.end..].starts_with(')');
    if !plain || place.text.contains('-') {
        return Vec::new();
    }
    let (first, second) = (place.text.as_str(), &text[other.clone()]);
    let both = place.range.start..other.end + 1;
    vec![
        ("halves the other way round", both.clone(), format!("{second} ({first})")),
        ("one half left out", both.clone(), first.to_owned()),
        ("one half left out", both, second.to_owned()),
    ]
}

/// `no warmer than 5 °C` for `at most 5 °C`.
fn bounds(text: &str, place: &Place) -> Vec<(&'static str, Range<usize>, String)> {
    const ALIKE: &[(&str, &[&str])] = &[
        ("at most ", &["no more than ", "not above ", "no warmer than ", "a maximum of "]),
        ("at least ", &["no less than ", "not less than ", "a minimum of "]),
        ("no more than ", &["at most ", "not over "]),
    ];
    let before = &text[..place.range.start];
    let Some((words, others)) = ALIKE.iter().find(|(words, _)| before.ends_with(words)) else { return Vec::new() };
    let range = before.len() - words.len()..place.range.end;
    others.iter().map(|other| ("bound in other words", range.clone(), format!("{other}{}", place.text))).collect()
}
