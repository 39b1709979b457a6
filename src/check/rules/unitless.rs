//! pH, water activity and the strength of rennet in the words: they are plain numbers, which no unit makes a quantity, so
//! they are read here. `disagrees` where the recipe says another one, `unknown-mention` where it says none.
//!
//! Why: whether a jar may stand in a cupboard hangs on one digit of them, and so does whether milk sets.

use super::Cx;
use super::words::{Word, words};
use crate::check::asides::Asides;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::quantity::print::Style;
use crate::quantity::{Exact, Number};
use crate::recipe::{Keeping, Limit, Recipe};
use crate::source::{MappedText, Span};

/// Figures that a recipe says, and their place.
type Said = (Vec<Exact>, Span);

/// A kind of such numbers, and where a recipe says them.
struct Kind {
    name: &'static str,
    /// What to write where the recipe says none.
    declare: &'static str,
    /// All that the recipe says.
    of: fn(&Recipe) -> Vec<Said>,
}

fn limits(recipe: &Recipe, of: fn(&Keeping) -> Option<&Limit>) -> Vec<Said> {
    let ends = |limit: &Limit| [limit.amount.low, limit.amount.high].map(|end| end.quantity.base()).to_vec();
    recipe.keeps.iter().filter_map(of).map(|limit| (ends(limit), limit.span)).collect()
}

fn strengths(recipe: &Recipe) -> Vec<Said> {
    let strong = recipe.ingredients.iter().filter_map(|item| item.strength.as_ref());
    strong.map(|strength| (vec![strength.imcu], strength.span)).collect()
}

const ACIDITY: Kind = Kind {
    name: "pH",
    declare: "say it in the recipe's `keeps`, such as `ph = \"at most 4.6\"`",
    of: |recipe| limits(recipe, |keep| keep.ph.as_ref()),
};
const ACTIVITY: Kind = Kind {
    name: "water activity",
    declare: "say it in the recipe's `keeps`, such as `aw = \"at most 0.85\"`",
    of: |recipe| limits(recipe, |keep| keep.aw.as_ref()),
};
const STRENGTH: Kind = Kind {
    name: "a strength of",
    declare: "say it of the ingredient, such as `strength = \"200 IMCU/mL\"`",
    of: strengths,
};

/// What is in any name that [`name_at`] knows.
const NAMES: &[&str] = &["pH", "PH", "ph", "aw", "a_w", "ctivity", "CTIVITY"];

/// Words that may stand between the name and its figure.
const BETWEEN: &[&str] = &[
    "of", "is", "at", "about", "around", "below", "under", "above", "over", "value", "most", "least", "or", "to",
    "between", "from", "reads", "reaches", "lies", "stays", "drops", "falls", "must", "be", "lower", "higher", "than",
    "less", "near",
];
/// How many of them.
const REACH: usize = 4;

pub(in crate::check) fn unitless(cx: &Cx<'_>, texts: &[&MappedText], asides: &mut Asides<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    let style = cx.reference.units.style();
    for words in texts {
        for Figure { kind, span, text, values } in figures(words, style).into_iter().chain(before_units(words, style)) {
            let said = (kind.of)(recipe);
            let states = |value: &Exact| said.iter().any(|(ends, _)| ends.contains(value));
            if values.iter().all(states) || asides.covering(span).is_some() {
                continue;
            }
            let name = kind.name;
            sink.push(match said.first() {
                Some((_, place)) => Diagnostic::new(
                    Code::Disagrees,
                    format!("the words say {name} {text}, and the recipe says another"),
                    span,
                )
                .label("in the words")
                .related(*place, "what the recipe says")
                .help("write the recipe's figure here, or change it in its block if the words are right"),
                None => {
                    Diagnostic::new(Code::UnknownMention, format!("{name} {text} states nothing in this recipe"), span)
                        .help(format!("{}; or name it in `asides` if it is no figure of yours", kind.declare))
                }
            });
        }
    }
}

/// A figure in a text.
struct Figure {
    kind: &'static Kind,
    span: Span,
    text: String,
    values: Vec<Exact>,
}

/// The figures after a name: `4.2–4.6` of "a pH between 4.2 and 4.6".
fn figures(mapped: &MappedText, style: Style) -> Vec<Figure> {
    let text = mapped.text.as_str();
    if !NAMES.iter().any(|name| text.contains(name)) {
        return Vec::new();
    }
    let words = words(text);
    let mut found = Vec::new();
    for at in 0..words.len() {
        let Some((kind, mut next)) = name_at(&words, at) else { continue };
        let last = next + REACH;
        while next < last && words.get(next).is_some_and(|word| BETWEEN.contains(&word.text.to_lowercase().as_str())) {
            next += 1;
        }
        let Some(&Word { start, text: word }) = words.get(next) else { continue };
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
        found.push(Figure { kind, span: mapped.home(start..end), text: text[start..end].to_owned(), values });
    }
    found
}

/// Whether a name stands there, and which word follows it.
fn name_at(words: &[Word<'_>], at: usize) -> Option<(&'static Kind, usize)> {
    let plain = |at: usize| {
        let word = words.get(at).map_or("", |word| word.text);
        word.trim_matches(|letter: char| !letter.is_alphanumeric())
    };
    match (plain(at), plain(at + 1).to_lowercase().as_str()) {
        ("pH" | "PH" | "ph", _) => Some((&ACIDITY, at + 1)),
        ("aw" | "a_w", _) => Some((&ACTIVITY, at + 1)),
        (word, "activity") if word.eq_ignore_ascii_case("water") => Some((&ACTIVITY, at + 2)),
        _ => None,
    }
}

/// Figures before clotting units: `200` of "200 IMCU/mL". How many go into a litre of milk is another matter.
fn before_units(mapped: &MappedText, style: Style) -> Vec<Figure> {
    let text = mapped.text.as_str();
    let strength = |(at, unit): (usize, &str)| {
        let rest = &text[at + unit.len()..];
        let per = ["/", " / ", " per ", " a ", " in a ", " to the "].iter().find_map(|per| rest.strip_prefix(per))?;
        let is_of = |unit: &str| {
            per.strip_prefix(unit).is_some_and(|rest| !rest.starts_with(|letter: char| letter.is_alphanumeric()))
        };
        ["mL", "ml", "millilitre", "milliliter", "g", "gram"].into_iter().any(is_of).then_some(())?;
        let head = text[..at].trim_end();
        let start = head
            .rfind(|letter: char| !letter.is_ascii_digit() && !matches!(letter, ',' | '.'))
            .map_or(0, |before| before + text[before..].chars().next().map_or(1, char::len_utf8));
        let (number, len) = Number::read(&text[start..at], style).filter(|(_, len)| start + len == head.len())?;
        let text = text[start..at + unit.len()].to_owned();
        Some(Figure { kind: &STRENGTH, span: mapped.home(start..start + len), text, values: vec![number.value] })
    };
    text.match_indices("IMCU").filter_map(strength).collect()
}
