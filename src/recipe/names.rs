//! Looking names up: ingredients in the pantry, and what a step names in its own lesson.

use super::context::{Context, STUFF};
use super::table::listed;
use crate::diag::{Code, Confidence, Diagnostic, Label};
use crate::lesson::near::{distance, nearest};
use crate::lesson::{Text, slice};
use crate::reference::Pantry;

/// Words that say what state a thing is in and not what it is: the pantry need not know them.
const STATES: &[&str] = &[
    "fresh", "cold", "cool", "warm", "hot", "lukewarm", "boiled", "cooled", "strained", "chopped", "sliced",
    "softened", "melted", "ripe", "large", "medium", "small", "good",
];

/// More of that sort, which the pantry is not asked without.
const QUALITIES: &[&str] = &[
    "very", "best", "nice", "plain", "clean", "new", "local", "organic", "finely", "freshly", "coarsely", "roughly",
    "thinly", "well",
];

/// Words that say in what pieces a thing is counted: "4 cloves garlic".
const COUNTED_IN: &[&str] = &[
    "clove", "cloves", "head", "heads", "sprig", "sprigs", "leaf", "leaves", "pod", "pods", "stalk", "stalks", "bunch",
    "bunches", "slice", "slices", "stick", "sticks", "bulb", "bulbs", "ear", "ears", "strip", "strips",
];

/// The words of a text: what stands between all that is neither letter nor figure.
pub(crate) fn words_in(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty())
}

/// The word in which a thing is counted, and the thing: "cloves" and "garlic" of "cloves garlic" or "cloves of garlic".
pub(crate) fn counted_in(name: &str) -> Option<(&str, &str)> {
    let (first, rest) = name.split_once(' ')?;
    let rest = rest.trim_start();
    let rest = rest.strip_prefix("of ").unwrap_or(rest).trim_start();
    (COUNTED_IN.contains(&first.to_lowercase().as_str()) && !rest.is_empty()).then_some((first, rest))
}

/// The pantry's row for a name: as written, in the other number, without plain state words before it or the word for
/// the pieces it is counted in.
pub(super) fn pantry_row(pantry: &Pantry, name: &str) -> Option<usize> {
    let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut rest = name.as_str();
    loop {
        if let Some(row) =
            std::iter::once(rest.to_owned()).chain(other_numbers(rest)).find_map(|name| pantry.find(&name))
        {
            return Some(row);
        }
        if let Some((_, thing)) = counted_in(rest) {
            rest = thing;
            continue;
        }
        let (first, after) = rest.split_once(' ')?;
        if !STATES.contains(&first.to_lowercase().as_str()) {
            return None;
        }
        rest = after;
    }
}

/// Where a name begins behind plain state words.
fn without_states(name: &str) -> usize {
    let mut at = 0;
    while let Some((first, rest)) = name[at..].split_once(' ') {
        if !STATES.contains(&first.to_lowercase().as_str()) {
            break;
        }
        at = name.len() - rest.len();
    }
    at
}

/// Singulars and plurals that a name's last word may have.
pub(super) fn other_numbers(name: &str) -> Vec<String> {
    let mut forms = vec![format!("{name}s"), format!("{name}es")];
    for (end, other) in [("ies", "y"), ("y", "ies"), ("ves", "f"), ("f", "ves"), ("es", ""), ("s", "")] {
        if let Some(stem) = name.strip_suffix(end) {
            forms.push(format!("{stem}{other}"));
        }
    }
    forms
}

/// Whether two names mean the same thing, letter case and number aside.
pub(crate) fn same_thing(a: &str, b: &str) -> bool {
    let (a, b) = (a.to_lowercase(), b.to_lowercase());
    a == b || other_numbers(&a).contains(&b)
}

/// A thing that a step can name.
pub(super) struct Named {
    pub id: String,
    pub name: String,
}

/// What stands after “a” and is no amount.
const VAGUE: &[&str] = &["few", "little", "bit", "lot", "couple"];

/// What the steps of a lesson can name.
#[derive(Default)]
pub(super) struct Names {
    pub ingredients: Vec<Named>,
    pub equipment: Vec<Named>,
    pub steps: Vec<Named>,
    /// Whether the lists are complete. Where a block could not be read they are not, and a name that seems to be
    /// absent may be one of the lost ones.
    pub sure_of_ingredients: bool,
    pub sure_of_equipment: bool,
    pub sure_of_steps: bool,
}

impl Context<'_> {
    /// The pantry's row for the name of an ingredient; says so when there is none.
    pub fn pantry_row(&mut self, name: &Text) -> Option<usize> {
        if let Some(row) = pantry_row(self.pantry, &name.text) {
            return Some(row);
        }
        let span = name.home(0..name.text.len());
        let first = name.text.split(' ').next().unwrap_or_default();
        if VAGUE.contains(&first) {
            let message = format!("`{first}` does not say how much");
            self.sink.push(
                Diagnostic::new(Code::BadAmount, message, name.home(0..first.len()))
                    .help("write an amount in its place, such as `4 sprigs of dill` or `1 tsp sugar`"),
            );
            return None;
        }
        if let Some((first, rest)) = name.text.split_once(' ')
            && pantry_row(self.pantry, rest).is_some()
            && let Some(unit) = self.near_unit(first, STUFF)
        {
            let span = name.home(0..first.len());
            self.sink.push(
                Diagnostic::new(Code::BadAmount, format!("`{first}` is not a unit we know"), span)
                    .help(format!("did you mean `{unit}`?"))
                    .suggest(span, unit, Confidence::NeedsACook),
            );
            return None;
        }
        let found = Diagnostic::new(Code::UnknownIngredient, format!("`{}` is not in the pantry", name.text), span)
            .note(format!("to add it, put these lines into pantry.toml:\n{}", Pantry::lines_to_add(&name.text)));
        let core = slice(name, without_states(&name.text)..name.text.len());
        let found = match near_ingredient(self.pantry, &core.text) {
            Some(Near::Same(meant)) => {
                let span = core.home(0..core.text.len());
                found.help(format!("did you mean `{meant}`?")).suggest(span, meant, Confidence::NeedsACook)
            }
            Some(Near::KindOf(known)) => found.help(format!(
                "add it to the course's pantry.toml, also if it is a kind of `{known}`: kinds differ in what a cup weighs \
                 and in allergens"
            )),
            None => found.help("use a name that the pantry knows, or add the ingredient to the course's pantry.toml"),
        };
        self.sink.push(found);
        None
    }

    /// Index of the thing that a text names among `things`; says so when there is none and the list is complete.
    pub fn look_up(&mut self, name: &Text, what: &str, things: &[Named], sure: bool) -> Option<usize> {
        let words = name.text.trim();
        let found = things.iter().position(|thing| thing.id == words);
        if found.is_some() || !sure {
            return found;
        }
        let span = name.home(0..name.text.len());
        let finding = Diagnostic::new(Code::UnknownName, format!("this lesson has no {what} `{words}`"), span);
        let by_name = things.iter().find(|thing| same_thing(&thing.name, words)).map(|thing| thing.id.as_str());
        let meant = by_name.or_else(|| nearest(words, things.iter().map(|thing| thing.id.as_str())));
        let key = (what.to_owned(), words.to_owned());
        if let Some(first) = self.unknown_names.get_mut(&key) {
            first.related.push(Label { span, text: "and here".to_owned() });
            return None;
        }
        let finding = match meant {
            Some(meant) => {
                finding.help(format!("did you mean `{meant}`?")).suggest(span, meant, Confidence::NeedsACook)
            }
            None if words.contains(',') => {
                let each: Vec<String> = words.split(',').map(|word| format!("\"{}\"", word.trim())).collect();
                finding.help(format!("put each name between quotes of its own: `[{}]`", each.join(", ")))
            }
            None if things.is_empty() => finding.help(match what {
                "step" => "the lesson has no steps at all".to_owned(),
                _ => format!("list it in the recipe block, below `[{}]`", heading_of(what)),
            }),
            None => {
                let ids: Vec<&str> = things.iter().map(|thing| thing.id.as_str()).collect();
                finding.help(format!("it has {}", listed(&ids)))
            }
        };
        self.unknown_names.insert(key, finding);
        None
    }
}

/// Where a recipe lists its ingredients or its equipment.
fn heading_of(what: &str) -> &str {
    if what == "ingredient" { "ingredients" } else { "equipment" }
}

/// A name of the pantry that is near to one that it does not know.
#[derive(Debug, PartialEq, Eq)]
enum Near<'p> {
    /// Perhaps the same thing.
    Same(&'p str),
    /// What an unknown word before it tells from it: "teff flour" is no other word for "flour".
    KindOf(&'p str),
}

/// A name of the pantry that looks like this one, or that this one ends with.
fn near_ingredient<'p>(pantry: &'p Pantry, name: &str) -> Option<Near<'p>> {
    let lower = name.to_lowercase();
    let ending = pantry.names().filter(|known| lower.strip_suffix(known).is_some_and(|before| before.ends_with(' ')));
    let near = nearest(name, pantry.names());
    let very_near = near.filter(|known| distance(&lower, known) <= 2);
    let of_ending = |known: &'p str| {
        let mut before = lower[..lower.len() - known.len()].split_whitespace();
        let quality = before.all(|word| STATES.contains(&word) || QUALITIES.contains(&word));
        if quality { Near::Same(known) } else { Near::KindOf(known) }
    };
    let ending = || ending.max_by_key(|known| known.len()).map(of_ending);
    very_near.map(Near::Same).or_else(ending).or(near.map(Near::Same))
}
