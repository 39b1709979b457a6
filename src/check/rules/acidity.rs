//! pH and water activity in the words: they are plain numbers, which no unit makes a quantity, so they are read here.
//! `disagrees` where the recipe says another one, `unknown-mention` where it says none.
//!
//! Why: whether a jar may stand in a cupboard hangs on one digit of them.

use super::Cx;
use crate::check::asides::Asides;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::quantity::print::Style;
use crate::quantity::{Exact, Number};
use crate::recipe::{Keeping, Limit};
use crate::source::{MappedText, Span};

/// A number of the two, and the key that holds it.
struct Kind {
    name: &'static str,
    key: &'static str,
    example: &'static str,
    of: fn(&Keeping) -> Option<&Limit>,
}

const ACIDITY: Kind = Kind { name: "pH", key: "ph", example: "at most 4.6", of: |keep| keep.ph.as_ref() };
const ACTIVITY: Kind = Kind { name: "water activity", key: "aw", example: "at most 0.85", of: |keep| keep.aw.as_ref() };

/// Words that may stand between the name and its figure.
const BETWEEN: &[&str] = &[
    "of", "is", "at", "about", "around", "below", "under", "above", "over", "value", "most", "least", "or", "to",
    "between", "from", "reads", "reaches", "lies", "stays", "drops", "falls", "must", "be", "lower", "higher", "than",
    "less", "near",
];
/// How many of them.
const REACH: usize = 4;

pub(in crate::check) fn acidity(cx: &Cx<'_>, texts: &[&MappedText], asides: &mut Asides<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    for words in texts {
        for (kind, span, text, values) in figures(words, cx.reference.units.style()) {
            let limits: Vec<&Limit> = recipe.keeps.iter().filter_map(kind.of).collect();
            let states = |value: &Exact| {
                let ends = limits.iter().flat_map(|limit| [limit.amount.low, limit.amount.high]);
                ends.into_iter().any(|end| end.quantity.base() == *value)
            };
            if values.iter().all(states) || asides.covering(span).is_some() {
                continue;
            }
            sink.push(match limits.first() {
                Some(limit) => Diagnostic::new(
                    Code::Disagrees,
                    format!("the words say {} {text}, and the recipe says another", kind.name),
                    span,
                )
                .label("in the words")
                .related(limit.span, format!("the {} in the recipe", kind.name))
                .help("write the recipe's figure here, or change it in `keeps` if the words are right"),
                None => Diagnostic::new(
                    Code::UnknownMention,
                    format!("{} {text} states nothing in this recipe", kind.name),
                    span,
                )
                .help(format!(
                    "say it in the recipe's `keeps`, such as `{} = \"{}\"`; or name it in `asides` if it is no figure of yours",
                    kind.key, kind.example
                )),
            });
        }
    }
}

/// The figures after a name: `4.2–4.6` of "a pH between 4.2 and 4.6".
fn figures(mapped: &MappedText, style: Style) -> Vec<(&'static Kind, Span, String, Vec<Exact>)> {
    let text = mapped.text.as_str();
    let words: Vec<(usize, &str)> =
        text.split_whitespace().map(|word| (word.as_ptr() as usize - text.as_ptr() as usize, word)).collect();
    let mut found = Vec::new();
    for at in 0..words.len() {
        let Some((kind, mut next)) = name_at(&words, at) else { continue };
        let last = next + REACH;
        while next < last && words.get(next).is_some_and(|(_, word)| BETWEEN.contains(&word.to_lowercase().as_str())) {
            next += 1;
        }
        let Some(&(start, word)) = words.get(next) else { continue };
        let start = start + word.len() - word.trim_start_matches(['(', '<', '≤', '>', '≥', '=', '~', ':']).len();
        if !text[start..].starts_with(|letter: char| letter.is_ascii_digit()) {
            continue;
        }
        let Some((first, len)) = Number::read(&text[start..], style) else { continue };
        let mut end = start + len;
        let mut values = vec![first.value];
        let gap = &text[end..];
        let joined = ["–", "-", " to ", " and ", " or ", " – "].iter().find_map(|join| gap.strip_prefix(join));
        if let Some(rest) = joined
            && rest.starts_with(|letter: char| letter.is_ascii_digit())
            && let Some((second, len)) = Number::read(rest, style)
        {
            values.push(second.value);
            end = text.len() - rest.len() + len;
        }
        found.push((kind, mapped.home(start..end), text[start..end].to_owned(), values));
    }
    found
}

/// Whether a name stands there, and which word follows it.
fn name_at(words: &[(usize, &str)], at: usize) -> Option<(&'static Kind, usize)> {
    let plain = |at: usize| {
        let word = words.get(at).map_or("", |(_, word)| *word);
        word.trim_matches(|letter: char| !letter.is_alphanumeric())
    };
    match (plain(at), plain(at + 1).to_lowercase().as_str()) {
        ("pH" | "PH" | "ph", _) => Some((&ACIDITY, at + 1)),
        ("aw" | "a_w", _) => Some((&ACTIVITY, at + 1)),
        (word, "activity") if word.eq_ignore_ascii_case("water") => Some((&ACTIVITY, at + 2)),
        _ => None,
    }
}
