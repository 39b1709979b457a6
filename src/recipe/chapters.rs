//! When each step begins in the recording, told by what is spoken.
//!
//! A step may begin only at a cue where more than half of the words of its heading are spoken, there or in the cue
//! after it. Mostly there are several such places, because a teacher announces, recalls and repeats. So all ways to
//! cut the recording into steps, in order, are weighed against each other (dynamic programming over cues and steps):
//! the way wins in which the most words fall to a step they belong to. A word belongs to the steps whose heading,
//! ingredients, equipment, sign or measures name it, and counts the less the more steps share it. A step that is never
//! announced gets no time, and a time that the author fixed is kept.

use super::model::{Lesson, Step};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::lesson::captions::{Captions, Cue, Seconds};
use std::collections::{BTreeMap, BTreeSet};

/// What a word is worth that belongs to one step alone.
const WORD: i64 = 1000;
/// What a heading is worth that is spoken whole.
const HEADING: i64 = 2 * WORD;
/// What a cue costs that says nothing of its step, and what a word costs that belongs to other steps alone: else a step
/// would begin wherever it is first announced, in the words of welcome.
const SILENCE: i64 = WORD / 5;
const STRANGE: i64 = WORD * 3 / 10;

/// Words that say nothing about what a step is.
const SMALL_WORDS: &[&str] = &[
    "a", "an", "and", "as", "at", "be", "by", "for", "from", "get", "go", "in", "into", "is", "it", "its", "let",
    "make", "more", "now", "of", "off", "on", "onto", "or", "out", "over", "some", "that", "the", "them", "then",
    "this", "to", "until", "up", "with", "you", "your",
];

/// The times that authors fixed, where they fit the recording and each other; says where they do not.
pub(super) fn fixed_times(steps: &[Step], end: Option<Seconds>, sink: &mut Diagnostics) -> Vec<Option<Seconds>> {
    let mut times = vec![None; steps.len()];
    let mut last: Option<&Step> = None;
    for (index, step) in steps.iter().enumerate() {
        let (Some(time), Some(span)) = (step.heard_at, step.heard_span) else { continue };
        if let Some(end) = end.filter(|end| time >= *end) {
            sink.push(
                Diagnostic::new(
                    Code::BadChapter,
                    format!("“{}” is heard at {}, but the captions end at {}", step.title, time.short(), end.short()),
                    span,
                )
                .label("after the last words")
                .help("correct the time"),
            );
            continue;
        }
        if let Some((before, other, place)) =
            last.and_then(|step| Some((step, step.heard_at.filter(|other| *other >= time)?, step.heard_span?)))
        {
            sink.push(
                Diagnostic::new(
                    Code::BadChapter,
                    format!(
                        "“{}” is heard at {}, and “{}” before it at {}",
                        step.title,
                        time.short(),
                        before.title,
                        other.short()
                    ),
                    span,
                )
                .label("not after the step above")
                .related(place, "the step above")
                .help(
                    "correct one of the two times: steps follow each other in the recording as they do in the lesson",
                ),
            );
            continue;
        }
        times[index] = Some(time);
        last = Some(step);
    }
    times
}

/// When each step begins. `fixed` holds the times that authors fixed.
pub(super) fn chapters(captions: &Captions, lesson: &Lesson, fixed: &[Option<Seconds>]) -> Vec<Option<Seconds>> {
    let evidence = Evidence::new(captions, lesson);
    let cuts = Cuts { evidence: &evidence, fixed: fixed_cues(&captions.cues, fixed) };
    let begins = cuts.best();
    let mut times = Vec::with_capacity(fixed.len());
    let mut last: Option<Seconds> = None;
    for (step, cue) in begins.iter().enumerate() {
        let next = fixed[step..].iter().flatten().next();
        // Where cues overlap or are out of order two steps could begin at one moment; a chapter has a length.
        let heard = cue.map(|cue| captions.cues[cue].start);
        let heard = heard.filter(|time| last.is_none_or(|last| last < *time) && next.is_none_or(|next| time < next));
        let time = fixed[step].or(heard);
        last = time.or(last);
        times.push(time);
    }
    times
}

/// The cue at which each fixed step begins.
fn fixed_cues(cues: &[Cue], fixed: &[Option<Seconds>]) -> Vec<Option<usize>> {
    let cue_of = |time: Seconds| cues.iter().position(|cue| cue.middle() >= time);
    fixed.iter().map(|time| time.map(|time| cue_of(time).unwrap_or(cues.len()))).collect()
}

/// What the words tell about steps.
struct Evidence {
    /// Stems of each cue.
    cues: Vec<BTreeSet<String>>,
    /// Stems of each step's heading.
    headings: Vec<BTreeSet<String>>,
    /// The steps that each stem belongs to.
    owners: BTreeMap<String, BTreeSet<usize>>,
}

impl Evidence {
    fn new(captions: &Captions, lesson: &Lesson) -> Evidence {
        let words = &captions.words.text;
        let cues = captions.cues.iter().map(|cue| stems(&words[cue.words.clone()])).collect();
        let headings = lesson.steps.iter().map(|step| stems(&step.title)).collect();
        let mut owners: BTreeMap<String, BTreeSet<usize>> = BTreeMap::new();
        for (index, step) in lesson.steps.iter().enumerate() {
            for stem in names_of(lesson, step).iter().flat_map(|name| stems(name)) {
                owners.entry(stem).or_default().insert(index);
            }
        }
        Evidence { cues, headings, owners }
    }

    /// What is gained when a step begins at a cue; `None` where it cannot.
    fn begins(&self, cue: usize, step: usize) -> Option<i64> {
        let heading = &self.headings[step];
        if heading.is_disjoint(&self.cues[cue]) {
            return None;
        }
        let spoken = &self.cues[cue..self.cues.len().min(cue + 2)];
        let heard = heading.iter().filter(|stem| spoken.iter().any(|stems| stems.contains(*stem))).count();
        (heard * 2 > heading.len()).then(|| HEADING * heard as i64 / heading.len() as i64)
    }

    /// How well the words of a cue go with a step.
    fn goes_with(&self, cue: usize, step: usize) -> i64 {
        let owners: Vec<_> = self.cues[cue].iter().filter_map(|stem| self.owners.get(stem)).collect();
        let (own, strange): (Vec<_>, Vec<_>) = owners.into_iter().partition(|steps| steps.contains(&step));
        let gain: i64 = own.iter().map(|steps| WORD / steps.len() as i64).sum();
        let silence = if own.is_empty() { SILENCE } else { 0 };
        gain - silence - STRANGE * strange.len() as i64
    }
}

/// Texts that name what a step is about.
fn names_of<'a>(lesson: &'a Lesson, step: &'a Step) -> Vec<&'a str> {
    let mut names = vec![step.title.as_str()];
    names.extend(step.until.iter().map(|sign| sign.text.as_str()));
    names.extend(step.measures.keys().map(String::as_str));
    if let Some(recipe) = &lesson.recipe {
        names.extend(step.add.iter().map(|part| recipe.ingredients[part.ingredient].name.as_str()));
        names.extend(step.vessels.iter().map(|vessel| recipe.equipment[*vessel].name.text.as_str()));
    }
    names
}

/// The search for the best way to cut a recording.
struct Cuts<'a> {
    evidence: &'a Evidence,
    /// The cue at which each fixed step must begin.
    fixed: Vec<Option<usize>>,
}

/// Less than any sum of gains and costs, and far from where adding to it would overflow.
const NEVER: i64 = i64::MIN / 2;

impl Cuts<'_> {
    /// The cue at which each step begins. State 0 is the time before the first step, state `n` the n-th step.
    fn best(&self) -> Vec<Option<usize>> {
        let (cues, states) = (self.evidence.cues.len(), self.evidence.headings.len() + 1);
        let mut gains = vec![NEVER; states];
        gains[0] = 0;
        let mut came_from: Vec<Vec<usize>> = Vec::with_capacity(cues);
        for cue in 0..cues {
            let mut next = vec![NEVER; states];
            let mut from: Vec<usize> = (0..states).collect();
            let mut before = 0; // the best of the states before this one
            for state in 0..states {
                let begun = self.begins(cue, state).map_or(NEVER, |gain| gains[before].saturating_add(gain));
                // Of equals the step that began earlier: what is announced first is meant.
                if begun > gains[state] {
                    (next[state], from[state]) = (begun, before);
                } else {
                    next[state] = gains[state];
                }
                if gains[state] > gains[before] {
                    before = state;
                }
                let own = if state == 0 { 0 } else { self.evidence.goes_with(cue, state - 1) };
                let possible = next[state] > NEVER / 2 && self.allows(cue, state);
                next[state] = if possible { next[state] + own } else { NEVER };
            }
            gains = next;
            came_from.push(from);
        }
        let last = (0..states).rev().max_by_key(|state| gains[*state]).unwrap_or(0);
        trace(&came_from, last, states)
    }

    fn begins(&self, cue: usize, state: usize) -> Option<i64> {
        let step = state.checked_sub(1)?;
        match self.fixed[step] {
            Some(fixed) => (fixed == cue).then_some(0),
            None => self.evidence.begins(cue, step),
        }
    }

    /// Whether fixed times let a cue belong to a state.
    fn allows(&self, cue: usize, state: usize) -> bool {
        self.fixed.iter().enumerate().all(|(step, fixed)| match fixed {
            Some(fixed) if step < state => cue >= *fixed,
            Some(fixed) => cue < *fixed,
            None => true,
        })
    }
}

/// Follows the best way back to its beginning.
fn trace(came_from: &[Vec<usize>], last: usize, states: usize) -> Vec<Option<usize>> {
    let mut begins = vec![None; states - 1];
    let mut state = last;
    for (cue, from) in came_from.iter().enumerate().rev() {
        let before = from[state];
        if before != state {
            begins[state - 1] = Some(cue);
            state = before;
        }
    }
    begins
}

fn stems(text: &str) -> BTreeSet<String> {
    let words = text.split(|letter: char| !letter.is_alphanumeric() && letter != '\'' && letter != '’');
    let words = words.map(str::to_lowercase).filter(|word| word.chars().count() > 1);
    words.filter(|word| !SMALL_WORDS.contains(&word.as_str())).map(|word| stem(&word)).collect()
}

/// A word without its ending, roughly: `heating`, `heats` and `heat` are one, `rising` and `rise` too.
fn stem(word: &str) -> String {
    let word = word.trim_end_matches("'s").trim_end_matches("’s");
    let long = |stem: &&str| stem.chars().count() >= 3;
    let cut = ["ing", "ed", "es", "s", "e"].iter().find_map(|end| word.strip_suffix(end).filter(long)).unwrap_or(word);
    let mut letters: Vec<char> = cut.chars().collect();
    if let [.., a, b] = letters[..]
        && a == b
    {
        letters.pop();
    }
    if let Some(last) = letters.last_mut().filter(|last| **last == 'y') {
        *last = 'i';
    }
    letters.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_of_a_word_are_one() {
        for (one, other) in [
            ("heat", "heating"),
            ("rise", "rising"),
            ("press", "pressed"),
            ("knead", "kneads"),
            ("mix", "mixes"),
            ("roll", "rolled"),
            ("divide", "dividing"),
            ("salt", "salted"),
            ("carry", "carries"),
            ("bread", "breads"),
        ] {
            assert_eq!(stem(one), stem(other), "{one}, {other}");
        }
        assert_ne!(stem("salt"), stem("milk"));
        assert!(stems("Let it go on to the").is_empty());
    }
}
