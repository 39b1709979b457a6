//! `untaught-term` and `unnamed-sign`: the words of the trade in the order of the lessons.
//!
//! Why: a student who meets a word before it was taught stops at it, with the pot on the fire.

use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::lesson::{Run, RunPlace};
use crate::recipe::{Course, Lesson, Step, Taught, TermIndex, term_named, term_of};
use crate::source::Span;
use std::collections::BTreeMap;

/// Terms that are used before they are taught, and signs that are none.
pub(in crate::check) fn terms(course: &Course, sink: &mut Diagnostics) {
    let index = TermIndex::new(&course.terms);
    // Built-in terms alone are no vocabulary that the author chose.
    let has_own = course.terms.iter().any(|term| term.own);
    for (at, lesson) in course.lessons.iter().enumerate() {
        if course.lessons.iter().any(|lesson| !lesson.teaches.is_empty()) {
            untaught(course, at, &index, sink);
        }
        let signs = lesson.steps.iter().filter(|_| has_own).filter_map(|step| unnamed_sign(step, &index));
        signs.for_each(|found| sink.push(found));
    }
}

fn untaught(course: &Course, at: usize, index: &TermIndex, sink: &mut Diagnostics) {
    let lesson = &course.lessons[at];
    for (term, span) in first_uses(lesson, index) {
        let Some(teacher) = course.teaches(term).filter(|teacher| *teacher > at) else { continue };
        let teacher = &course.lessons[teacher];
        let place = teacher.teaches.iter().find(|taught| taught.term == term);
        if let Some(Taught { span: place, .. }) = place.filter(|_| !is_linked(course, lesson, term)) {
            let (name, slug) = (&course.terms[term].name, &course.terms[term].slug);
            let message = format!("“{name}” is used here, and taught only in “{}”, which comes later", teacher.title);
            sink.push(Diagnostic::new(Code::UntaughtTerm, message, span).related(*place, "taught here").help(format!(
                "teach it in this lesson or an earlier one, or link it to the glossary: `[{name}](term:{slug})`"
            )));
        }
    }
}

/// Where each term is first used in words that a page explains: not in headings, lists of what goes in, or captions.
fn first_uses(lesson: &Lesson, index: &TermIndex) -> BTreeMap<usize, Span> {
    let mut uses = BTreeMap::new();
    let explained = |run: &&Run| match run.place {
        RunPlace::Paragraph | RunPlace::TableCell { .. } | RunPlace::Footnote => true,
        RunPlace::Block => run.step.is_some(),
        RunPlace::Heading | RunPlace::TableHead { .. } | RunPlace::Picture | RunPlace::Caption => false,
    };
    for run in lesson.runs.iter().filter(explained) {
        for (range, term) in index.find(&run.text.text) {
            uses.entry(term).or_insert_with(|| run.text.home(range));
        }
    }
    uses
}

/// Whether the lesson leads to the term's entry of its own accord.
fn is_linked(course: &Course, lesson: &Lesson, term: usize) -> bool {
    let mut words = lesson.links.iter().filter_map(|(address, _)| term_of(address));
    words.any(|word| term_named(&course.terms, &word) == Some(term))
}

fn unnamed_sign(step: &Step, index: &TermIndex) -> Option<Diagnostic> {
    let sign = step.until.as_ref().filter(|sign| index.find(&sign.text).is_empty())?;
    let message = format!("no term of the glossary stands in the sign `{}`", sign.text.trim());
    let found = Diagnostic::new(Code::UnnamedSign, message, sign.home(0..sign.text.len()));
    Some(found.help("use a term in it, or add one to glossary.md that says what to look for"))
}
