//! The findings of binding, in a cook's words.

use super::bind::Judge;
use super::candidates::Candidate;
use super::words;
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};
use crate::prose::Mention;
use crate::quantity::print::{self, Which};
use crate::quantity::{Amount, End, Exact, Quantity, Units};
use crate::recipe::{Course, Part};
use crate::source::Span;

/// Makes findings about one place.
pub(super) struct Findings<'a> {
    pub course: &'a Course,
    pub units: &'a Units,
    pub judge: &'a Judge<'a>,
}

impl Findings<'_> {
    /// Some of a group do not state the measure they must state: one finding, on the first that is wrong.
    pub fn disagree(
        &self,
        group: &[Mention],
        agrees: &[bool],
        model: &Candidate,
        all: &[Candidate],
        sink: &mut Diagnostics,
    ) {
        let wrong: Vec<&Mention> =
            group.iter().zip(agrees).filter(|(_, agrees)| !**agrees).map(|(mention, _)| mention).collect();
        let Some(first) = wrong.first() else { return };
        let measure = self.course.measure(model.measure);
        let (owner, value) = (words::owner(self.course, model.measure), words::value(model, self.units));
        let said = said(first);
        let mut found =
            Diagnostic::new(Code::Disagrees, format!("the words say {said}, but {owner} is {value}"), first.span)
                .label("in the words")
                .related(measure.span, format!("{owner}: {value}"));
        if first.amount.unit() != model.low.unit
            && let Some(converted) = words::value_in(model, first.amount.unit(), first.amount.bare, self.units)
        {
            found = found.note(format!("{value} is {converted}"));
        }
        // A half of a pair that is right leaves no doubt which measure is meant.
        let pinned = agrees.contains(&true);
        let mut others: Vec<&Candidate> = Vec::new();
        for other in
            all.iter().filter(|other| !pinned && other.ring == model.ring && self.judge.comparable(first, other))
        {
            if other.measure != model.measure && !others.iter().any(|seen| seen.measure == other.measure) {
                others.push(other);
            }
        }
        let confidence = if others.is_empty() { Confidence::Certain } else { Confidence::NeedsACook };
        for other in others.iter().take(3) {
            let (owner, value) = (words::owner(self.course, other.measure), words::value(other, self.units));
            found = found.note(format!("it could also be meant as {owner}, which is {value}"));
        }
        let mut fixes = Vec::new();
        for mention in &wrong {
            if let Some(text) = self.restated(mention, model) {
                fixes.push(text.clone());
                found = found.suggest(mention.span, text, confidence);
            }
        }
        let help = match fixes.first() {
            Some(fix) => format!("write `{fix}` here, or change the measure in its block if the words are right"),
            None => format!("write {value} here, or change the measure in its block if the words are right"),
        };
        sink.push(found.help(help));
    }

    /// The words with the model's value in the author's own form, where the mention is one piece of text.
    fn restated(&self, mention: &Mention, model: &Candidate) -> Option<String> {
        let (amount, marks) = (&mention.amount, mention.marks);
        if mention.pieces.len() != 1
            || mention.times.is_some()
            || marks.fan
            || marks.unit_in_head
            || amount.range != model.range
        {
            return None;
        }
        let low = self.trade_value(mention, model, &model.low, &amount.low)?;
        let high = self.trade_value(mention, model, &model.high, &amount.high)?;
        let write = |text: &str, which, amount: &Amount, base| {
            print::in_words_form(text, which, amount, base, self.units, self.units.style())
        };
        let text = if amount.range {
            // Whichever end is written first, the text in between must still be a range: try both orders.
            let (mut low_written, mut high_written) = (*amount, *amount);
            low_written.low.quantity = Quantity::from_base(amount.dimension(), low)?;
            high_written.high.quantity = Quantity::from_base(amount.dimension(), high)?;
            let low_first = write(&mention.text, Which::Low, amount, low)
                .and_then(|text| write(&text, Which::High, &low_written, high));
            low_first.or_else(|| {
                let text = write(&mention.text, Which::High, amount, high)?;
                write(&text, Which::Low, &high_written, low)
            })
        } else {
            write(&mention.text, Which::Low, amount, low)
        };
        text.filter(|text| *text != mention.text)
    }

    /// The model's value as the trade would write it in the unit of the words: exact in the model's own system, else
    /// the roundest figure that states it.
    fn trade_value(&self, mention: &Mention, model: &Candidate, own: &End, said: &End) -> Option<Exact> {
        let (ours, theirs) = (self.units.get(own.unit), self.units.get(said.unit));
        if ours.dimension != theirs.dimension {
            return None;
        }
        let base = own.quantity.base();
        if ours.system == theirs.system {
            return Some(base);
        }
        let steps = [(1, 1), (1, 2), (1, 4), (1, 3), (1, 8), (1, 10), (1, 100)];
        steps.iter().find_map(|(over, under)| {
            let rounded = theirs.to_base(theirs.from_base(base).round_to(Exact::new(*over, *under)));
            let end = End { quantity: Quantity::from_base(theirs.dimension, rounded)?, ..*said };
            self.judge.end_agrees(mention, model, own, &end).then_some(rounded)
        })
    }

    /// Both halves state the model by themselves, but not each other.
    pub fn pair_apart(&self, a: &Mention, b: &Mention, model: &Candidate, sink: &mut Diagnostics) {
        let measure = self.course.measure(model.measure);
        let base = a.amount.low.quantity.base();
        let converted = print::value_in(base, b.amount.unit(), b.amount.bare, self.units, self.units.style());
        sink.push(
            Diagnostic::new(Code::PairApart, format!("{} and {} are not the same measure", said(a), said(b)), b.span)
                .label(format!("{} is {converted}", said(a)))
                .related(
                    measure.span,
                    format!("{}: {}", words::owner(self.course, model.measure), words::value(model, self.units)),
                )
                .help("make the two halves of the pair say the same"),
        );
    }

    /// Nothing of this course has such a measure.
    pub fn unknown(
        &self,
        mention: &Mention,
        thing: Option<&str>,
        in_step: bool,
        nearest: Option<&Candidate>,
        sink: &mut Diagnostics,
    ) {
        let said = said(mention);
        let message = match thing {
            Some(name) if !name.is_empty() => {
                format!("the words say {said} of {name}, and no measure of this lesson says how much")
            }
            _ => format!("the words say {said}, and no measure of this course says so"),
        };
        let mut found = Diagnostic::new(Code::UnknownMention, message, mention.span).label("bound to nothing");
        if let Some(nearest) = nearest {
            let (owner, value) = (words::owner(self.course, nearest.measure), words::value(nearest, self.units));
            let span = self.course.measure(nearest.measure).span;
            found = found.related(span, format!("the nearest of its kind: {owner}, {value}"));
        }
        let declare = if in_step {
            format!("declare it in the step block, under {}", words::key_for(mention.dimension()))
        } else {
            "declare it in a block".to_owned()
        };
        sink.push(found.help(format!(
            "correct it, or {declare}; if it is no business of the recipe, add its exact words to `asides` in the lesson block"
        )));
    }

    /// A figure that states two measures equally well, of which one grows with the batch and the other does not.
    pub fn unclear(&self, mention: &Mention, taken: &Candidate, other: &Candidate, sink: &mut Diagnostics) {
        let named = |candidate: &Candidate| words::owner(self.course, candidate.measure);
        sink.push(
            Diagnostic::new(
                Code::UnclearMention,
                format!("{} could be {} or {}", said(mention), named(taken), named(other)),
                mention.span,
            )
            .label(format!("taken as {}", named(taken)))
            .related(self.course.measure(taken.measure).span, named(taken))
            .related(self.course.measure(other.measure).span, named(other))
            .help("say what it is of, so that it changes rightly when a student makes more or less"),
        );
    }

    /// "half of it", where no thing was named.
    pub fn part_of_what(&self, mention: &Mention, step: Span, sink: &mut Diagnostics) {
        sink.push(
            Diagnostic::new(
                Code::UnknownMention,
                format!("the words say {} of it, but not of what", said(mention)),
                mention.span,
            )
            .label("of what?")
            .related(step, "this step takes several things, or none in parts")
            .help("name the ingredient: “half of the salt”"),
        );
    }

    /// "half the salt" where the step takes another part.
    pub fn wrong_part(&self, mention: &Mention, part: &Part, taken: Exact, sink: &mut Diagnostics) {
        let takes =
            if taken == Exact::ONE { "all of it".to_owned() } else { print::fraction(taken, self.units.style()) };
        sink.push(
            Diagnostic::new(
                Code::Disagrees,
                format!("the words say {}, but the step takes {takes}", said(mention)),
                mention.span,
            )
            .label("in the words")
            .related(part.span, format!("the step takes {takes}"))
            .help("make the words and the step's `add` say the same"),
        );
    }
}

/// The words of a mention, with line breaks as blanks.
fn said(mention: &Mention) -> String {
    format!("“{}”", mention.text.split_whitespace().collect::<Vec<_>>().join(" "))
}
