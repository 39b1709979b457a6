//! The findings of binding, in a cook's words.

use super::candidates::Candidate;
use super::former;
use super::judge::Judge;
use super::rewrite::{self, Rewriter};
use super::words;
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics, Edit};
use crate::prose::Mention;
use crate::quantity::print;
use crate::quantity::{Exact, Units};
use crate::recipe::{Course, Part};
use crate::source::{MappedText, Span};

/// How it is known which measure the words mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Certainty {
    /// By what they said before the measure changed.
    Known,
    /// By the thing they name.
    Named,
    /// By nothing but their kind.
    ByKind,
}

/// Makes findings about one place.
pub(super) struct Findings<'a> {
    pub course: &'a Course,
    pub units: &'a Units,
    pub judge: &'a Judge<'a>,
    /// The text that the mentions stand in.
    /// What the places of mentions count in.
    pub text: &'a MappedText,
}

impl Findings<'_> {
    /// Some of a group do not state the measure they must state: one finding, on the first that is wrong.
    pub fn disagree(
        &self,
        group: &[Mention],
        agrees: &[bool],
        model: &Candidate,
        all: &[Candidate],
        certainty: Certainty,
        sink: &mut Diagnostics,
    ) {
        let wrong: Vec<&Mention> =
            group.iter().zip(agrees).filter(|(_, agrees)| !**agrees).map(|(mention, _)| mention).collect();
        let Some(first) = wrong.first() else { return };
        let measure = self.course.measure(model.measure);
        let (owner, value) = (words::owner(self.course, model.measure), words::value(model, self.units));
        let said = said(first);
        let mut found = Diagnostic::new(
            Code::Disagrees,
            format!("the words say {said}, but {}", words::clause(self.course, model, &value)),
            first.span,
        )
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
        for other in others.iter().take(3) {
            let (owner, value) = (words::owner(self.course, other.measure), words::value(other, self.units));
            found = found.note(format!("it could also be meant as {owner}, which is {value}"));
        }
        let rewriter = self.rewriter();
        let rewritten: Vec<_> = wrong.iter().map(|mention| rewriter.restate(mention, model)).collect();
        // Half a repair would leave two figures that contradict each other.
        let near = match certainty {
            Certainty::Known => true,
            Certainty::Named => former::plausible(&first.amount, &model.amount(), true),
            Certainty::ByKind => former::plausible(&first.amount, &model.amount(), false),
        };
        let sure = others.is_empty()
            && (pinned || near)
            && rewritten.iter().all(Result::is_ok)
            && !self.is_doubtful(first, certainty);
        let fix =
            rewritten.first().and_then(|first| first.as_ref().ok()).map_or(value, |(text, _)| format!("`{text}`"));
        let mut help = format!("write {fix} here, or change the measure in its block if the words are right");
        if let (Some(reason), true) = (rewritten.iter().find_map(|one| one.as_ref().err()), others.is_empty()) {
            help.push_str(&format!("; `mend` leaves this to you, because {reason}"));
        }
        sink.push(with_edits(found.help(help), rewritten, sure));
    }

    /// Words that often stand beside a figure which is right as it is: "85 °C, not 90 °C", "another 3 minutes", "15 g a kilo".
    fn is_doubtful(&self, mention: &Mention, certainty: Certainty) -> bool {
        const DOUBTFUL: &[&str] = &[
            "not",
            "instead",
            "another",
            "only",
            "other",
            "remaining",
            "back",
            "per",
            "each",
            "every",
            "kilo",
            "fan",
            "low",
            "early",
            "late",
            "unlike",
            "than",
            "former",
            "old",
            "used",
        ];
        let text = &self.text.text;
        let before = crate::prose::words_before(text, mention.range.start, 4);
        let after = crate::prose::words_after(text, mention.range.end, 2);
        let near = |words: &[String]| words.iter().any(|word| DOUBTFUL.contains(&word.as_str()));
        let in_all = after.first().is_some_and(|word| word == "in") && after.get(1).is_some_and(|word| word == "all");
        certainty != Certainty::Known && (near(&before) || near(&after) || in_all)
    }

    fn rewriter(&self) -> Rewriter<'_> {
        Rewriter { units: self.units, judge: self.judge, text: self.text, style: self.units.style() }
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
        let found = Diagnostic::new(
            Code::Disagrees,
            format!("the words say {}, but the step takes {takes}", said(mention)),
            mention.span,
        )
        .label("in the words")
        .related(part.span, format!("the step takes {takes}"));
        let rewritten = self.rewriter().restate_part(mention, taken);
        let help = match &rewritten {
            Ok((text, _)) => format!("write `{text}` here, or change the step's `add` if the words are right"),
            Err(_) => "make the words and the step's `add` say the same".to_owned(),
        };
        let sure = rewritten.is_ok();
        sink.push(with_edits(found.help(help), vec![rewritten], sure));
    }
}

/// A finding with the edits of all its mentions.
fn with_edits(
    mut found: Diagnostic,
    rewritten: Vec<Result<(String, Vec<Edit>), rewrite::Reason>>,
    sure: bool,
) -> Diagnostic {
    let confidence = if sure { Confidence::Certain } else { Confidence::NeedsACook };
    for edit in rewritten.into_iter().flatten().flat_map(|(_, edits)| edits) {
        found = found.suggest(edit.span, edit.text, confidence);
    }
    found
}

/// The words of a mention, with line breaks as blanks.
fn said(mention: &Mention) -> String {
    format!("“{}”", mention.text.split_whitespace().collect::<Vec<_>>().join(" "))
}
