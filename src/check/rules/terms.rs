//! `untaught-term` and `unnamed-sign`: the words of the trade in the order of the lessons.
//!
//! Why: a student who meets a word before it was taught stops at it, with the pot on the fire.

use super::Cx;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::lesson::{Run, RunPlace};
use crate::recipe::{Course, Lesson, TermIndex, term_named, term_of};
use crate::source::Span;
use std::collections::BTreeMap;

/// The terms in the words of a lesson, and where each is first used.
pub(in crate::check) type FirstUses = Vec<(usize, Span)>;

/// Terms that are used before they are taught. `uses` are those of each lesson, in order.
pub(in crate::check) fn untaught<'a>(
    course: &Course,
    uses: impl Iterator<Item = &'a FirstUses>,
    sink: &mut Diagnostics,
) {
    let taught = course.teachers();
    for (at, (lesson, uses)) in course.lessons.iter().zip(uses).enumerate().filter(|_| !taught.is_empty()) {
        for (term, span) in uses {
            let Some((teacher, place)) = taught.get(term).filter(|(teacher, _)| *teacher > at) else { continue };
            if is_linked(course, lesson, *term) {
                continue;
            }
            let (name, slug) = (&course.terms[*term].name, &course.terms[*term].slug);
            let teacher = &course.lessons[*teacher].title;
            let message = format!("“{name}” is used here, and taught only in “{teacher}”, which comes later");
            sink.push(Diagnostic::new(Code::UntaughtTerm, message, *span).related(*place, "taught here").help(
                format!(
                    "teach it in this lesson or an earlier one, or link it to the glossary: `[{name}](term:{slug})`"
                ),
            ));
        }
    }
}

/// Where each term is first used in words that a page explains: not in headings, lists of what goes in, or captions.
pub(in crate::check) fn first_uses(lesson: &Lesson, index: &TermIndex) -> FirstUses {
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
    uses.into_iter().collect()
}

/// Whether the lesson leads to the term's entry of its own accord.
fn is_linked(course: &Course, lesson: &Lesson, term: usize) -> bool {
    let mut words = lesson.links.iter().filter_map(|(address, _)| term_of(address));
    words.any(|word| term_named(&course.terms, &word) == Some(term))
}

/// Signs in which no term stands. Built-in terms alone are no vocabulary that the author chose.
pub(in crate::check) fn unnamed_sign(cx: &Cx<'_>, index: &TermIndex, sink: &mut Diagnostics) {
    let has_own = cx.course.terms.iter().any(|term| term.own);
    let signs = cx.lesson.steps.iter().filter(|_| has_own).filter_map(|step| step.until.as_ref());
    for sign in signs.filter(|sign| index.find(&sign.text).is_empty()) {
        let message = format!("no term of the glossary stands in the sign `{}`", sign.text.trim());
        let found = Diagnostic::new(Code::UnnamedSign, message, sign.home(0..sign.text.len()));
        sink.push(found.help("use a term in it, or add one to glossary.md that says what to look for"));
    }
}
