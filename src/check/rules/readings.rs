//! `no-unit` of what is spoken: in a step that is so and so warm, a figure stands where a thermometer's reading stands, and
//! it is no warmth of the lesson.
//!
//! Why: who cooks and talks says "until it reads ninety two", and nobody misses the unit. So a figure alone counts there,
//! if it is right; a wrong one would be held to nothing.
//!
//! Speech has no stops, so a figure counts only where something goes on that is no thing to be counted: "to forty pieces"
//! does not.

use super::no_unit::BETWEEN;
use super::words::{Word, words};
use super::{Cx, is_read};
use crate::check::asides::Asides;
use crate::check::ledger::LedgerEntry;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::lesson::Run;
use crate::quantity::print::Style;
use crate::quantity::{Dimension, Exact, Number, print};
use crate::source::Span;
use std::ops::Range;

/// Words before a reading that a thermometer gives.
const GIVEN: &[&str] = &["reaches", "reach", "reads", "read", "says", "say", "shows", "show"];
/// Words before a reading where something warm is spoken of.
const BEFORE: &[&str] = &["at", "to", "until", "till"];
/// What is warm, or is made so.
const WARM: &[&str] = &[
    "it",
    "it's",
    "that",
    "them",
    "heat",
    "heats",
    "heated",
    "heating",
    "warm",
    "warms",
    "warmed",
    "bring",
    "brings",
    "hold",
    "holds",
    "keep",
    "keeps",
    "cool",
    "cools",
    "cooled",
    "bake",
    "bakes",
    "oven",
    "hob",
    "dial",
    "thermometer",
    "probe",
    "temperature",
];
/// How many words before it may be spoken of.
const REACH: usize = 6;
/// Words after a reading: what they go on with is something else.
const AFTER: &[&str] =
    &["for", "and", "until", "while", "then", "with", "before", "after", "now", "again", "but", "as", "without", "so"];
/// Words before those, by which it is no reading.
const ALOUD: &[&str] = &[
    "count", "counts", "counting", "turn", "step", "steps", "page", "next", "listen", "back", "from", "timer", "clock",
];
/// What a kitchen's thermometers and dials show, in either scale.
const SHOWN: Range<u32> = 30..501;

pub(in crate::check) fn readings(
    cx: &Cx<'_>,
    index: usize,
    entries: &[LedgerEntry],
    asides: &mut Asides<'_>,
    sink: &mut Diagnostics,
) {
    let units = &cx.reference.units;
    let scales = ["celsius", "fahrenheit"].map(|id| units.find(id).map(|id| units.get(id)));
    let measures = || cx.course.measures_of(index).chain(cx.course.measures_of_facts()).map(|(_, measure)| measure);
    let warmths = || measures().filter(|measure| measure.amount.dimension() == Dimension::Temperature);
    let is_warmth = |value: Exact| {
        let ends = warmths().flat_map(|measure| [measure.amount.low, measure.amount.high]);
        let mut shown =
            ends.flat_map(|end| scales.iter().flatten().map(move |unit| unit.from_base(end.quantity.base())));
        shown.any(|shown| if shown > value { shown - value } else { value - shown } < Exact::ONE)
    };
    for stretch in cx.lesson.captions.iter().flat_map(|spoken| &spoken.stretches) {
        let step = stretch.run.step.and_then(|step| cx.lesson.steps.get(step));
        let Some((step, warmth)) = step.and_then(|step| Some((step, step.to.or(step.at)?))) else { continue };
        for Reading { span, words, value } in spoken(&stretch.run, units.style()) {
            if is_warmth(value) || is_read(entries, span) || asides.covering(span).is_some() {
                continue;
            }
            let warmth = cx.course.measure(warmth);
            let is = print::amount(&warmth.amount, units, units.style());
            sink.push(
                Diagnostic::new(Code::NoUnit, format!("“{words}” is no warmth of this lesson in either scale"), span)
                    .label("how warm, how long, how many?")
                    .related(warmth.span, format!("“{}” is at {is}", step.title))
                    .help("say the right figure, or the unit; if it counts something else, name the words in `asides`"),
            );
        }
    }
}

/// A figure where a reading stands.
struct Reading<'a> {
    span: Span,
    /// With the word before.
    words: &'a str,
    value: Exact,
}

fn spoken(run: &Run, style: Style) -> Vec<Reading<'_>> {
    let text = run.text.text.as_str();
    let words = words(text);
    let mut found = Vec::new();
    let is_warm = |at: usize| words[at.saturating_sub(REACH)..at].iter().any(|word| word.is_one_of(WARM));
    let leads = |(at, word): &(usize, &Word<'_>)| word.is_one_of(GIVEN) || word.is_one_of(BEFORE) && is_warm(*at);
    for (at, lead) in words.iter().enumerate().filter(leads) {
        let is_aloud = at.checked_sub(1).is_some_and(|before| words[before].is_one_of(ALOUD));
        let between = words[at + 1..].iter().take_while(|word| word.is_one_of(BETWEEN)).count();
        let Some(&Word { start, .. }) = words.get(at + 1 + between) else { continue };
        let Some((number, len)) = Number::read(&text[start..], style) else { continue };
        let (low, high) = (Exact::whole(SHOWN.start.into()), Exact::whole(SHOWN.end.into()));
        if is_aloud || lead.ends_sentence() || !(low..high).contains(&number.value) {
            continue;
        }
        let end = start + len;
        let rest = &text[end..];
        let stops = rest.is_empty() || rest.starts_with(['.', ',', ';', '!', '?']);
        let next = words.get(words.partition_point(|word| word.start < end));
        if stops || rest.starts_with(char::is_whitespace) && next.is_none_or(|next| next.is_one_of(AFTER)) {
            found.push(Reading { span: run.text.home(start..end), words: &text[lead.start..end], value: number.value });
        }
    }
    found
}
