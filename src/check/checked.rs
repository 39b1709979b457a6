//! The gate: only a course without errors can be rendered.

use super::Ledger;
use super::asides::Asides;
use super::bind::Binder;
use super::captions::name_cues;
use super::rules::{self, Cx};
use super::things::{PantryNouns, Things};
use crate::diag::{Code, Diagnostics, Severity};
use crate::input::Project;
use crate::recipe::{Course, lower_course};
use crate::reference::Reference;
use crate::source::FileId;
use std::collections::BTreeSet;

/// A course without errors. Its fields are private: only [`check`] can make one, and rendering asks for one.
#[derive(Debug, Clone)]
pub struct CheckedCourse {
    course: Course,
    ledger: Ledger,
    reference: Reference,
}

impl CheckedCourse {
    pub(crate) fn new(course: Course, ledger: Ledger, reference: Reference) -> CheckedCourse {
        CheckedCourse { course, ledger, reference }
    }

    /// The model.
    pub fn course(&self) -> &Course {
        &self.course
    }

    /// Every mention and what it states.
    pub fn ledger(&self) -> &Ledger {
        &self.ledger
    }

    /// Units, pantry, facts and sources as this course sees them.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

/// What checking found.
#[derive(Debug, Clone)]
pub struct Checked {
    /// The course, when nothing is wrong with it.
    pub course: Option<CheckedCourse>,
    /// Every mention read, also while there are findings.
    pub ledger: Ledger,
    /// The model as far as it could be built, for reports.
    pub model: Course,
    /// Units, pantry, facts and sources as this course sees them.
    pub reference: Reference,
    /// All findings, in order.
    pub findings: Diagnostics,
}
/// Whether a finding may only echo a block that could not be read: its measures are missing from the model.
fn is_echo(code: Code) -> bool {
    matches!(
        code,
        Code::UnknownMention
            | Code::NotStated
            | Code::NotSpoken
            | Code::NotUsedUp
            | Code::ShareApart
            | Code::StaleAside
    )
}

/// Parses, lowers, reads, binds and checks. Pure: the same project gives the same answer.
pub fn check(project: &Project) -> Checked {
    let mut sink = project.problems.clone();
    let (course, reference) = lower_course(project, &mut sink);
    let broken_files: BTreeSet<FileId> =
        sink.iter().filter(|one| one.severity() == Severity::Error).map(|one| one.primary.span.file).collect();
    let pantry_nouns = PantryNouns::new(&reference.pantry);
    let mut ledger = Ledger::default();
    for (index, lesson) in course.lessons.iter().enumerate() {
        let things = Things::new(&pantry_nouns, &course, Some(lesson), &reference);
        let binder = Binder { course: &course, reference: &reference, lesson: Some(index), things };
        let mut asides = Asides::new(&lesson.asides);
        let mut found = Diagnostics::default();
        let mut entries = binder.bind(&lesson.runs, &mut asides, &mut found);
        let spoken: Vec<_> =
            lesson.captions.iter().map(|one| binder.bind_spoken(one, &mut asides, &mut found)).collect();
        if lesson.captions.len() == project.lessons[index].captions.len() {
            asides.report_stale(&mut found); // else the words of an aside may stand in captions that cannot be read
        }
        let cx = Cx { course: &course, lesson, reference: &reference };
        rules::not_stated(&cx, &entries, &mut found);
        spoken.iter().for_each(|one| rules::not_spoken(&cx, one, &mut found));
        entries.extend(spoken.into_iter().flatten());
        rules::risky_spelling(&cx, &entries, &mut found);
        rules::not_used_up(&cx, &mut found);
        rules::share_apart(&cx, &mut found);
        rules::does_not_fit(&cx, &mut found);
        let broken = broken_files.contains(&lesson.file);
        let kept = found.iter().filter(|one| !broken || !is_echo(one.code)).cloned();
        kept.for_each(|one| sink.push(name_cues(one, &lesson.captions)));
        ledger.entries.extend(entries);
    }
    let things = Things::new(&pantry_nouns, &course, None, &reference);
    let binder = Binder { course: &course, reference: &reference, lesson: None, things };
    ledger.entries.extend(binder.bind(&course.runs, &mut Asides::new(&[]), &mut sink));
    let findings = sink.sorted();
    let passed = !findings.has_errors();
    Checked {
        course: passed.then(|| CheckedCourse::new(course.clone(), ledger.clone(), reference.clone())),
        ledger,
        model: course,
        reference,
        findings,
    }
}
