//! `no-unit`: in a step that is so and so warm or takes so and so long, a figure without a unit stands where only a
//! reading or a time can stand.
//!
//! Why: "Bake at 220" is no quantity as it stands, so it would be held to nothing, nor follow a student's choice of
//! scale. An author who forgets the unit has a wrong figure go unseen.
//!
//! Only figures are looked at that a thermometer or a timer could show, at the end of what they belong to: a stop follows,
//! or a word that goes on with something else. "To 40 pieces" counts pieces; what is counted aloud is no reading; "enough
//! for 12" is about people, so a time needs a timer or something that is done for so long.

use super::words::{Word, words};
use super::{Cx, is_read};
use crate::check::ledger::LedgerEntry;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::lesson::{Run, RunPlace};
use crate::quantity::{Dimension, print};
use crate::recipe::{MeasureId, Step};
use crate::source::Span;
use std::ops::RangeInclusive;

/// Words before a reading.
const BEFORE: &[&str] =
    &["at", "to", "until", "reaches", "reach", "reads", "says", "shows", "above", "below", "under", "over", "past"];
/// Words that may stand between.
pub(super) const BETWEEN: &[&str] =
    &["about", "around", "exactly", "just", "roughly", "nearly", "almost", "only", "some"];
/// Words after a reading: what they go on with is something else.
const AFTER: &[&str] = &[
    "for", "and", "until", "while", "then", "or", "with", "before", "after", "in", "on", "again", "first", "but", "as",
    "fan", "without", "over",
];
/// Words before those, by which it is no reading.
const ALOUD: &[&str] = &["count", "counts", "counting", "turn", "step", "steps", "page", "next", "listen", "back"];
/// What is done for a time, in the same sentence before it.
const DONE: &[&str] = &[
    "timer", "alarm", "clock", "bake", "bakes", "boil", "boils", "simmer", "simmers", "rest", "rests", "chill",
    "chills", "prove", "proves", "rise", "fry", "roast", "steam", "poach", "wait", "stir", "knead", "beat", "whisk",
    "cool", "cools", "soak", "soaks", "hold", "press", "leave", "stand", "drain", "drains", "hang",
];
/// Words after a time: what they go on with is something else.
const AFTER_TIME: &[&str] = &[
    "and", "until", "while", "then", "with", "before", "after", "at", "in", "on", "again", "first", "but", "without",
    "over",
];
/// What a kitchen timer shows in minutes, as whole numbers.
const TIMED: RangeInclusive<u32> = 2..=600;
/// What a kitchen's thermometers and dials show, in either scale, as whole numbers.
const SHOWN: RangeInclusive<u32> = 30..=500;

pub(in crate::check) fn no_unit(cx: &Cx<'_>, entries: &[LedgerEntry], sink: &mut Diagnostics) {
    for run in cx.lesson.runs.iter().filter(|run| matches!(run.place, RunPlace::Paragraph | RunPlace::Block)) {
        let Some(step) = run.step.and_then(|step| cx.lesson.steps.get(step)) else { continue };
        let warmths = warmth(step).into_iter().flat_map(|measure| readings(run).map(move |bare| (measure, bare)));
        let lasts = step.lasts.or(step.takes);
        let times = lasts.into_iter().flat_map(|measure| times(run).map(move |bare| (measure, bare)));
        for (measure, (span, figure, lead)) in warmths.chain(times) {
            if !is_read(entries, span) {
                sink.push(finding(cx, step, measure, span, figure, lead));
            }
        }
    }
}

fn warmth(step: &Step) -> Option<MeasureId> {
    step.to.or(step.at)
}

fn finding(cx: &Cx<'_>, step: &Step, measure: MeasureId, span: Span, figure: &str, lead: &str) -> Diagnostic {
    let measure = cx.course.measure(measure);
    let value = print::amount(&measure.amount, &cx.reference.units, cx.reference.units.style());
    let message = format!("“{lead} {figure}” has no unit, so nobody can tell whether it is right");
    let is = if measure.amount.dimension() == Dimension::Time { "takes" } else { "is at" };
    Diagnostic::new(Code::NoUnit, message, span)
        .label("how warm, how long, how many?")
        .related(measure.span, format!("“{}” {is} {value}", step.title))
        .help(format!("write the unit: `{lead} {value}`, if that is what is meant; or say in words what it counts"))
}

/// A figure without a unit: its place, its digits, the word before.
type Bare<'a> = (Span, &'a str, &'a str);

/// Figures where a reading stands.
fn readings(run: &Run) -> impl Iterator<Item = Bare<'_>> {
    bare_figures(run, &SHOWN, AFTER, |before, lead| {
        let is_aloud = before.last().is_some_and(|word| ALOUD.contains(&word.as_str()));
        // "for 35 to 40" is one time.
        let is_time = before.len() > 1 && before[before.len() - 2] == "for" && digits(&before[before.len() - 1]) > 0;
        BEFORE.contains(&lead) && !is_aloud && !is_time
    })
}

/// Figures where a time stands.
fn times(run: &Run) -> impl Iterator<Item = Bare<'_>> {
    bare_figures(run, &TIMED, AFTER_TIME, |before, lead| {
        lead == "for" && before.iter().any(|word| DONE.contains(&word.as_str()))
    })
}

/// Figures in a range that stand alone, where `stands` says so of the words of the sentence before and the last of them.
fn bare_figures<'a>(
    run: &'a Run,
    range: &'static RangeInclusive<u32>,
    after: &'static [&'static str],
    stands: impl Fn(&[String], &str) -> bool + 'a,
) -> impl Iterator<Item = Bare<'a>> {
    let text = run.text.text.as_str();
    let words = words(text);
    (0..words.len()).filter_map(move |at| {
        let Word { start, text: word } = words[at];
        let len = digits(word);
        let (figure, rest) = word.split_at(len);
        if !figure.parse().is_ok_and(|value: u32| range.contains(&value)) {
            return None;
        }
        // `210/400` and `35–45` are two figures.
        let second = rest.trim_start_matches(['/', '–', '-']);
        let rest = if second.len() < rest.len() { &second[digits(second)..] } else { rest };
        let ends = rest.chars().all(|c| matches!(c, '.' | ',' | ';' | '!' | '?' | ')' | '”' | '"'));
        let next = words.get(at + 1).copied();
        let to_another = next.is_some_and(|next| matches!(next.text, "to" | "or"))
            && words
                .get(at + 2)
                .is_some_and(|other| !other.plain().is_empty() && digits(other.text) == other.plain().len());
        let goes_on =
            to_another || next.is_none_or(|next| next.text.starts_with('(') || after.contains(&next.plain().as_str()));
        if !ends || rest.is_empty() && !goes_on {
            return None;
        }
        let sentence = words[..at].iter().rev().take_while(|word| !word.ends_sentence());
        let mut before: Vec<String> = sentence.map(|word| word.plain()).collect();
        before.reverse();
        while before.last().is_some_and(|word| BETWEEN.contains(&word.as_str())) {
            before.pop();
        }
        let lead = before.pop()?;
        let lead_at = words[..at].iter().rfind(|word| word.plain() == lead)?;
        stands(&before, &lead).then(|| (run.text.home(start..start + len), figure, lead_at.text))
    })
}

/// How many digits a word begins with.
fn digits(word: &str) -> usize {
    word.len() - word.trim_start_matches(|letter: char| letter.is_ascii_digit()).len()
}
