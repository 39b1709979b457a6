//! `no-unit`: in a step that is so and so warm, a figure without a unit stands where only a reading can stand.
//!
//! Why: "Bake at 220" is no quantity as it stands, so it would be held to nothing, nor follow a student's choice of
//! scale. An author who forgets the unit has a wrong figure go unseen.
//!
//! Only figures are looked at that a thermometer could show, at the end of what they belong to: a stop follows, or a word
//! that goes on with something else. "To 40 pieces" counts pieces; what is counted aloud is no reading.

use super::Cx;
use crate::check::ledger::LedgerEntry;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::lesson::{Run, RunPlace};
use crate::quantity::print;
use crate::recipe::{MeasureId, Step};
use crate::source::Span;

/// Words before a reading.
const BEFORE: &[&str] =
    &["at", "to", "until", "reaches", "reach", "reads", "says", "shows", "above", "below", "under", "over", "past"];
/// Words that may stand between.
const BETWEEN: &[&str] = &["about", "around", "exactly", "just", "roughly", "nearly", "almost", "only", "some"];
/// Words after a reading: what they go on with is something else.
const AFTER: &[&str] = &[
    "for", "and", "until", "while", "then", "or", "with", "before", "after", "in", "on", "again", "first", "but", "as",
    "fan", "without", "over",
];
/// Words before those, by which it is no reading.
const ALOUD: &[&str] = &["count", "counts", "counting", "turn", "step", "steps", "page", "next", "listen", "back"];
/// What a kitchen's thermometers and dials show, in either scale, as whole numbers.
const SHOWN: std::ops::RangeInclusive<u32> = 30..=500;

pub(in crate::check) fn no_unit(cx: &Cx<'_>, entries: &[LedgerEntry], sink: &mut Diagnostics) {
    for run in cx.lesson.runs.iter().filter(|run| matches!(run.place, RunPlace::Paragraph | RunPlace::Block)) {
        let Some(step) = run.step.and_then(|step| cx.lesson.steps.get(step)) else { continue };
        let Some(warmth) = warmth(step) else { continue };
        for (span, figure, lead) in bare_figures(run) {
            let is_read = |entry: &LedgerEntry| {
                let known = entry.mention.span;
                known.file == span.file && known.start < span.end && span.start < known.end
            };
            if !entries.iter().any(is_read) {
                sink.push(finding(cx, step, warmth, span, figure, lead));
            }
        }
    }
}

fn warmth(step: &Step) -> Option<MeasureId> {
    step.to.or(step.at)
}

fn finding(cx: &Cx<'_>, step: &Step, warmth: MeasureId, span: Span, figure: &str, lead: &str) -> Diagnostic {
    let measure = cx.course.measure(warmth);
    let value = print::amount(&measure.amount, &cx.reference.units, cx.reference.units.style());
    let message = format!("“{lead} {figure}” has no unit, so nobody can tell whether it is right");
    Diagnostic::new(Code::NoUnit, message, span)
        .label("how warm, how long, how many?")
        .related(measure.span, format!("“{}” is at {value}", step.title))
        .help(format!("write the unit: `{lead} {value}`, if that is what is meant; or say in words what it counts"))
}

/// Figures without a unit where a reading stands: their places, and the word before.
fn bare_figures(run: &Run) -> Vec<(Span, &str, &str)> {
    let text = run.text.text.as_str();
    let plain = |word: &str| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    let words: Vec<(usize, &str)> =
        text.split_whitespace().map(|word| (word.as_ptr() as usize - text.as_ptr() as usize, word)).collect();
    let mut found = Vec::new();
    for (at, (start, word)) in words.iter().enumerate() {
        let digits = word.len() - word.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        let (figure, rest) = word.split_at(digits);
        if !figure.parse().is_ok_and(|value: u32| SHOWN.contains(&value)) {
            continue;
        }
        let ends = rest.chars().all(|c| matches!(c, '.' | ',' | ';' | '!' | '?' | ')' | '”' | '"'));
        let goes_on =
            words.get(at + 1).is_none_or(|(_, next)| next.starts_with('(') || AFTER.contains(&plain(next).as_str()));
        if !ends || rest.is_empty() && !goes_on {
            continue;
        }
        let mut before =
            words[..at].iter().rev().skip_while(|(_, word)| BETWEEN.contains(&word.to_lowercase().as_str()));
        let Some((_, lead)) = before.next().filter(|(_, word)| BEFORE.contains(&word.to_lowercase().as_str())) else {
            continue;
        };
        if before.next().is_some_and(|(_, word)| ALOUD.contains(&plain(word).as_str())) {
            continue;
        }
        found.push((run.text.home(*start..start + digits), figure, *lead));
    }
    found
}
