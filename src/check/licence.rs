//! Which measures from further out the words are entitled to state.
//!
//! A fridge is at 5 °C in every lesson, and the step before this one took 20 minutes; but a figure that merely happens
//! to be one of those must not pass for it. So a fact needs its own words beside it, how long something keeps needs a
//! word of keeping, and a step that has its own temperature speaks of another step's only by naming that step.

use super::candidates::{Candidate, Candidates, Ring, principal};
use crate::prose::Mention;
use crate::quantity::Dimension;
use crate::recipe::{Course, Ingredient, Owner, Step, words_in};

/// The words that a mention's entitlement is read from.
pub(super) struct Words<'a> {
    /// Its sentence, in lower case.
    sentence: &'a str,
    /// Its words, and the same without their endings: many candidates ask for them.
    words: Vec<&'a str>,
    stems: Vec<&'a str>,
    /// Whether it stands in a table, a footnote or a picture's text, apart from the sentence that it belongs to.
    alone: bool,
}

impl<'a> Words<'a> {
    /// The words of a sentence in lower case.
    pub fn new(sentence: &'a str, alone: bool) -> Words<'a> {
        let words: Vec<&str> = words_in(sentence).collect();
        let stems = words.iter().map(|word| stem(word)).collect();
        Words { sentence, words, stems, alone }
    }

    fn has(&self, list: &[&str]) -> bool {
        self.words.iter().any(|word| list.contains(word))
    }

    fn has_stem(&self, stem: &str) -> bool {
        self.stems.contains(&stem)
    }
}

/// The sentence around a range of bytes, in lower case.
pub(super) fn sentence(text: &str, range: std::ops::Range<usize>) -> String {
    between(&[". ", "! ", "? ", ".\n"], text, range)
}

/// The clause around a range of bytes, in lower case: between commas, semicolons, stops, "or" and "and".
pub(super) fn clause(text: &str, range: std::ops::Range<usize>) -> String {
    between(&[", ", "; ", ". ", " or ", " and "], text, range)
}

fn between(stops: &[&str], text: &str, range: std::ops::Range<usize>) -> String {
    // Captions may lack all stops: then a whole recording would be the sentence of each of its figures.
    const FURTHEST: usize = 1000;
    let first = text.floor_char_boundary(range.start.saturating_sub(FURTHEST));
    let last = text.floor_char_boundary((range.end + FURTHEST).min(text.len())).max(range.end);
    let start = stops.iter().filter_map(|stop| text[first..range.start].rfind(stop).map(|at| at + stop.len())).max();
    let end = stops.iter().filter_map(|stop| text[range.end..last].find(stop)).min();
    text[first + start.unwrap_or(0)..end.map_or(last, |len| range.end + len)].to_lowercase()
}

/// How many words of some length two texts share, endings aside.
pub(super) fn shared_words(name: &str, text: &str) -> usize {
    shared_stems(name, |word| words_in(text).any(|other| stem(other) == word))
}

fn shared_stems(name: &str, is_there: impl Fn(&str) -> bool) -> usize {
    let name = name.to_lowercase();
    let long = words_in(&name).filter(|word| word.len() > 3).map(stem);
    long.filter(|word| is_there(word)).count()
}

const KEEPING: &[&str] = &[
    "keep",
    "keeps",
    "kept",
    "keeping",
    "lasts",
    "store",
    "stored",
    "stores",
    "fridge",
    "freezer",
    "chill",
    "chilled",
    "refrigerate",
    "refrigerated",
    "freeze",
    "frozen",
    "larder",
];
const SESSION: &[&str] = &["session", "class", "lesson", "evening", "hall"];
const SESSION_OUTSIDE: &[&str] = &[
    "start",
    "finish",
    "need",
    "needs",
    "come",
    "bring",
    "allow",
    "ready",
    "all",
    "altogether",
    "whole",
    "total",
    "in",
];
const LOSS: &[&str] = &["lose", "loses", "losing", "lost", "loss", "losses", "away", "steam"];
const YIELD: &[&str] = &[
    "get", "gets", "give", "gives", "yield", "yields", "make", "makes", "left", "leave", "leaves", "collect", "have",
    "off", "weigh", "weighs",
];

/// Whether a sentence speaks of what comes out.
pub(super) fn speaks_of_yield(sentence: &str) -> bool {
    has_word(sentence, YIELD)
}

const STRENGTH: &[&str] = &["strength", "strong", "weak", "solution", "dilute", "diluted", "dilution"];
const KIT: &[&str] = &["kit", "kits", "pack", "packs", "packed", "packet", "packets", "posted"];

/// Whether a sentence speaks of what is sent out, not of what goes in.
pub(super) fn speaks_of_a_kit(sentence: &str) -> bool {
    has_word(sentence, KIT)
}

const LEAST: &[&str] = &["never", "least", "below", "minimum"];
const REFERENCE: &[&str] = &["earlier", "previous", "previously"];
const PARTS: &[&str] = &["remaining", "rest", "back", "other", "step", "kept", "reserve", "reserved", "earlier"];

/// Whether a sentence speaks of more than what goes in here: what is kept back, left or used before.
pub(super) fn speaks_of_parts(sentence: &str) -> bool {
    has_word(sentence, PARTS)
}

/// Whether a mention stands in the section of a sum: elsewhere nobody speaks of what its fields begin with.
fn stands_beside(course: &Course, mention: &Mention, lesson: usize, sum: usize) -> bool {
    let lesson = &course.lessons[lesson];
    let Some(sum) = lesson.sums.get(sum).and_then(Option::as_ref) else { return true };
    let section = |at: usize| lesson.headings.iter().rposition(|heading| heading.span.start <= at);
    mention.span.file == sum.span.file && section(mention.span.start) == section(sum.span.start)
}

/// Whether the words around a mention entitle it to state a measure.
pub(super) fn entitled(cx: &Candidates<'_>, mention: &Mention, candidate: &Candidate, words: &Words<'_>) -> bool {
    let measure = cx.course.measure(candidate.measure);
    let dimension = mention.dimension();
    let warm_or_long = matches!(dimension, Dimension::Temperature | Dimension::Time);
    match measure.owner {
        Owner::Fact { .. } => fact_is_named(&measure.path, words),
        // What must never be less is meant only where the words say so: it lies close to what is taken.
        Owner::Named { .. } if measure.path.ends_with(".never-below") => words.has(LEAST),
        Owner::Sum { lesson, sum } if !stands_beside(cx.course, mention, lesson, sum) => false,
        _ if candidate.ring == Ring::Own || words.alone => true,
        Owner::Keeping { .. } => words.has(KEEPING) && !another_way_is_named(cx, candidate, words),
        Owner::Loss { .. } => words.has(LOSS),
        Owner::Session { .. } => {
            let outside = !cx.here().is_some_and(|here| has_own(cx, here, dimension));
            words.has(SESSION) || outside && words.has(SESSION_OUTSIDE)
        }
        // A step that says how warm or how long speaks of the recipe's own measure only by its name.
        Owner::Named { .. } | Owner::Sum { .. } if warm_or_long => {
            let key = measure.path.rsplit('.').next().unwrap_or("");
            !cx.here().is_some_and(|here| has_own(cx, here, dimension)) || names_key(key, words)
        }
        // How strong a solution is bought, or made, is meant only where the words speak of that.
        Owner::Named { .. } if measure.path.contains(".diluted.") => words.has(STRENGTH),
        // What a pot holds is meant only where the pot is named.
        Owner::Equipment { .. } => {
            dimension == Dimension::Length || words.has(&["hold", "holds", "holding", "capacity"])
        }
        Owner::Step { lesson, step } if warm_or_long => {
            let other = &cx.course.lessons[lesson].steps[step];
            let own = match cx.here() {
                Some(here) => has_own(cx, here, dimension),
                None => dimension == Dimension::Temperature && speaks_of_keeping(words),
            };
            !own || names_step(other, step, words)
        }
        _ => true,
    }
}

/// Whether a share is meant of something else: the words speak of the strength of a solution, or name what another share of
/// the recipe is of, and not what this one is of. "A 4 % brine" is no share of the cabbage.
pub(super) fn is_share_of_another(cx: &Candidates<'_>, candidate: &Candidate, words: &Words<'_>) -> bool {
    let Owner::Share { lesson, ingredient } = cx.course.measure(candidate.measure).owner else { return false };
    let Some(recipe) = cx.course.lessons[lesson].recipe.as_ref().filter(|_| !words.alone) else { return false };
    let is_named = |of: &str| of.rsplit(' ').next().is_some_and(|word| words.has_stem(stem(&word.to_lowercase())));
    let base = |one: &Ingredient| one.share.as_ref().map(|(_, of)| of.clone());
    let own = base(&recipe.ingredients[ingredient]);
    let others = recipe.ingredients.iter().filter_map(base).filter(|of| Some(of) != own.as_ref());
    let another = words.has(STRENGTH) || others.into_iter().any(|of| is_named(&of));
    another && !own.as_deref().is_some_and(is_named)
}

/// "It keeps for 4 days at 5 °C": how cold it is kept, which no step says.
fn speaks_of_keeping(words: &Words<'_>) -> bool {
    words.has(&["keeps", "lasts"]) || words.sentence.contains("keep for ")
}

/// Whether a step says for itself how warm or how long.
fn has_own(cx: &Candidates<'_>, step: &Step, dimension: Dimension) -> bool {
    principal(step).any(|id| cx.course.measure(id).amount.dimension() == dimension)
}

fn names_key(key: &str, words: &Words<'_>) -> bool {
    key.to_lowercase().split('-').map(stem).any(|word| words.has_stem(word))
}

/// Whether a sentence refers to a step: by its number, by its title, or as the one before.
fn names_step(step: &Step, index: usize, words: &Words<'_>) -> bool {
    let (title, sentence) = (step.title.to_lowercase(), words.sentence);
    let title_words: Vec<&str> = words_in(&title).filter(|word| word.len() > 2 && *word != "the").map(stem).collect();
    let by_title = title_words.len() > 1 && title_words.iter().all(|word| words.has_stem(word));
    let mut after_step = false;
    let by_number = words.words.iter().any(|word| {
        let is = after_step && word.parse() == Ok(index + 1);
        after_step =
            matches!(*word, "step" | "steps") || after_step && (word.parse::<usize>().is_ok() || *word == "and");
        is
    });
    let as_before =
        sentence.contains("as before") || sentence.contains("step before") || sentence.contains("last step");
    by_title || by_number || as_before || words.has(REFERENCE)
}

/// Whether the words name another of several ways to keep: "4 days frozen", where it is the fridge that keeps 4 days.
fn another_way_is_named(cx: &Candidates<'_>, candidate: &Candidate, words: &Words<'_>) -> bool {
    let Some(recipe) = cx.lesson.and_then(|index| cx.course.lessons[index].recipe.as_ref()) else { return false };
    let score = |keeping: &crate::recipe::Keeping| shared_stems(&keeping.place.text, |word| words.has_stem(word));
    let own =
        |keeping: &&crate::recipe::Keeping| keeping.time == candidate.measure || keeping.at == Some(candidate.measure);
    let ours = recipe.keeps.iter().filter(own).map(score).max().unwrap_or(0);
    ours == 0 && recipe.keeps.iter().map(score).max().unwrap_or(0) > 0
}

/// Whether a sentence has one of the telling words of a fact's id: `facts.boiling-water` and "boils".
fn fact_is_named(path: &str, words: &Words<'_>) -> bool {
    let id = path.rsplit('.').next().unwrap_or("");
    const PLAIN: &[&str] = &["water", "milk", "time", "temperature", "quick", "vat", "for", "hot", "out"];
    id.split('-').filter(|key| !PLAIN.contains(key)).map(stem).any(|key| words.has_stem(key))
}

fn has_word(sentence: &str, list: &[&str]) -> bool {
    words_in(sentence).any(|word| list.contains(&word))
}

/// A word without its usual endings: boils and boiling are one.
fn stem(word: &str) -> &str {
    match word {
        "frozen" | "freezer" | "freeze" | "freezing" => return "freez",
        "refrigerator" | "refrigerated" | "refrigerate" => return "fridg",
        _ => {}
    }
    let ends = ["ising", "ized", "ised", "ises", "ise", "ing", "ers", "er", "ed", "es", "s", "e"];
    let cut = ends.iter().find_map(|end| word.strip_suffix(end).filter(|stem| stem.len() >= 3));
    cut.unwrap_or(word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fact_is_named_by_its_own_words() {
        for (id, sentence, named) in [
            ("facts.fridge", "keep it in the fridge at 5 °c", true),
            ("facts.fridge", "cool it to 5 °c", false),
            ("facts.boiling-water", "water boils at 100 °c", true),
            ("facts.pasteurising-vat-time", "hold it for 30 min", false),
            ("facts.pasteurising-vat-time", "pasteurised milk was held for 30 min", true),
            ("facts.perishable-out", "nothing perishable stands out for more than 2 hours", true),
            ("facts.perishable-out", "bring it out of the fridge 2 hours before", false),
            ("facts.room", "room temperature", true),
        ] {
            assert_eq!(fact_is_named(id, &Words::new(sentence, false)), named, "{id}: {sentence}");
        }
    }

    #[test]
    fn a_sentence_ends_at_a_stop_and_not_at_a_decimal_point() {
        let text = "Wait. Heat to 62.8 °C now. Then stop.";
        let at = text.find("62.8").unwrap();
        assert_eq!(sentence(text, at..at + 8), "heat to 62.8 °c now");
    }
}
