//! The gate: only a course without errors can be rendered.

use super::Ledger;
use super::asides::Asides;
use super::bind::{Binder, Senses};
use super::captions::name_cues;
use super::former;
use super::ledger::LedgerEntry;
use super::rules::{self, Cx, FirstUses};
use super::tables::read;
use super::things::{PantryNouns, Things};
use crate::diag::{Code, Diagnostics, Severity};
use crate::input::{Project, Work};
use crate::kitchen::walks;
use crate::quantity::reckoned;
use crate::recipe::{self, Course, Key, TermIndex, lower_again};
use crate::reference::Reference;
use crate::source::{FileId, MappedText};
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// A course without errors. Its fields are private: only [`check`] can make one, and rendering asks for one.
#[derive(Debug, Clone)]
pub struct CheckedCourse {
    course: Arc<Course>,
    ledger: Arc<Ledger>,
    reference: Arc<Reference>,
}

impl CheckedCourse {
    pub(crate) fn new(course: Arc<Course>, ledger: Arc<Ledger>, reference: Arc<Reference>) -> CheckedCourse {
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
    pub ledger: Arc<Ledger>,
    /// The model as far as it could be built, for reports.
    pub model: Arc<Course>,
    /// Units, pantry, facts and sources as this course sees them.
    pub reference: Arc<Reference>,
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
            | Code::Unlisted
            | Code::NotUsedUp
            | Code::ShareApart
            | Code::DoseApart
            | Code::DilutionApart
            | Code::Unbalanced
            | Code::Unaccounted
            | Code::UnlikelyYield
            | Code::KitShort
            | Code::NotPasteurised
            | Code::KeepsUnsaid
            | Code::KeepsLong
            | Code::WrongMark
            | Code::UnlikelyTime
            | Code::StaleAside
            | Code::Danger
            | Code::IdleOverrule
    )
}

/// Parses, lowers, reads, binds and checks. Pure: the same project gives the same answer.
pub fn check(project: &Project) -> Checked {
    check_again(project, &mut Memory::default())
}

/// What checking remembers of a course for the next time.
#[derive(Debug, Clone, Default)]
pub struct Memory {
    lowered: recipe::Memory,
    /// What was found in each lesson, by its name.
    looked: BTreeMap<String, (Key, Arc<Looked>)>,
    /// The names of foods, and the tables that they are from.
    nouns: Option<(Arc<Reference>, Arc<PantryNouns>)>,
}

impl Memory {
    fn nouns(&mut self, reference: &Arc<Reference>) -> Arc<PantryNouns> {
        match &self.nouns {
            Some((known, nouns)) if Arc::ptr_eq(known, reference) => Arc::clone(nouns),
            _ => {
                let nouns = Arc::new(PantryNouns::new(&reference.pantry));
                self.nouns = Some((Arc::clone(reference), Arc::clone(&nouns)));
                nouns
            }
        }
    }
}

/// A lesson that was looked at.
#[derive(Debug, Default)]
struct Looked {
    /// Its mentions.
    entries: Vec<Arc<LedgerEntry>>,
    /// What is wrong with it.
    found: Diagnostics,
    /// The terms in its words, and where each is first used.
    uses: FirstUses,
}

/// The same as [`check`], but a lesson is looked at again only where it, the tables and settings of the course or the names
/// of its lessons have changed since the last time.
pub fn check_again(project: &Project, memory: &mut Memory) -> Checked {
    reckoned(|| check_whole(project, memory)).unwrap_or_else(|| {
        *memory = Memory::default();
        // Which lesson it was is not known here: rules about one lesson stop with a finding of their own.
        let file = project.course.or_else(|| project.lessons.first().map(|lesson| lesson.file));
        let bare = Project { lessons: Vec::new(), pantry: None, facts: None, glossary: None, ..project.clone() };
        let checked = check_whole(&bare, &mut Memory::default());
        let mut sink = checked.findings.clone();
        sink.extend(file.map(rules::not_reckoned).into_iter().collect());
        Checked { course: None, findings: sink.sorted(), ..checked }
    })
}

fn check_whole(project: &Project, memory: &mut Memory) -> Checked {
    let mut sink = project.problems.clone();
    let (course, reference, keys) = lower_again(project, &mut memory.lowered, &mut sink);
    // Of the other lessons, a lesson knows no more than their names.
    let names: Vec<&str> = course.lessons.iter().map(|lesson| lesson.slug.as_str()).collect();
    let names = Key::of(&names);
    let keys: Vec<Key> = keys.into_iter().map(|key| key.and(names)).collect();
    let broken_files: BTreeSet<FileId> =
        sink.iter().filter(|one| one.severity() == Severity::Error).map(|one| one.primary.span.file).collect();
    let pantry_nouns = memory.nouns(&reference);
    let mut ledger = Ledger::default();
    let terms = TermIndex::new(&course.terms);
    let looker = Looker { project, course: &course, reference: &reference, pantry_nouns: &pantry_nouns, terms: &terms };
    let look = |index: usize| {
        let known = memory.looked.get(&course.lessons[index].slug).filter(|(key, _)| *key == keys[index]);
        let looked = known.map_or_else(|| Arc::new(looker.reckoned(index)), |(_, looked)| looked.clone());
        project.progress.one_done();
        looked
    };
    project.progress.start(Work::Checking, course.lessons.len());
    let looked: Vec<Arc<Looked>> = (0..course.lessons.len()).into_par_iter().map(look).collect();
    for (lesson, looked) in course.lessons.iter().zip(&looked) {
        let broken = broken_files.contains(&lesson.file);
        // A glossary that could not be read lacks terms.
        let is_echo = |code| broken && is_echo(code) || !broken_files.is_empty() && code == Code::UnnamedSign;
        let kept = looked.found.iter().filter(|one| !is_echo(one.code)).cloned();
        kept.for_each(|one| sink.push(name_cues(one, &lesson.captions)));
        ledger.entries.extend_from_slice(&looked.entries);
    }
    if broken_files.is_empty() {
        rules::not_enough_left(&course, &reference, &mut sink);
        rules::untaught(&course, looked.iter().map(|looked| &looked.uses), &mut sink);
    }
    let slugs = course.lessons.iter().map(|lesson| lesson.slug.clone());
    memory.looked = slugs.zip(keys.iter().copied().zip(looked)).collect();
    rules::pack_of_another_kind(&course, &reference, &mut sink);
    let things = Things::new(&pantry_nouns, &course, None, &reference);
    let senses = Senses::new();
    let binder = Binder { course: &course, reference: &reference, lesson: None, things: &things, senses: &senses };
    let mentions = read(&course.runs, &reference, &things);
    let own = binder.bind(&course.runs, &mentions, &mut Asides::new(&[]), &mut sink).entries;
    ledger.entries.extend(own.into_iter().map(Arc::new));
    let findings = sink.sorted();
    let passed = !findings.has_errors();
    let (course, ledger) = (Arc::new(course), Arc::new(ledger));
    Checked {
        course: passed.then(|| CheckedCourse::new(course.clone(), ledger.clone(), reference.clone())),
        ledger,
        model: course,
        reference,
        findings,
    }
}

/// What looks at one lesson after the other, or at several at once.
struct Looker<'a> {
    project: &'a Project,
    course: &'a Course,
    reference: &'a Reference,
    pantry_nouns: &'a PantryNouns,
    terms: &'a TermIndex,
}

impl Looker<'_> {
    /// What [`Looker::lesson`] finds; where its figures cannot be reckoned with, that alone.
    fn reckoned(&self, index: usize) -> Looked {
        reckoned(|| self.lesson(index)).unwrap_or_else(|| {
            let found = [rules::not_reckoned(self.course.lessons[index].file)].into_iter().collect();
            Looked { found, ..Looked::default() }
        })
    }

    /// What the words of a lesson state, and what is wrong with them and with its recipe.
    fn lesson(&self, index: usize) -> Looked {
        let Looker { project, course, reference, pantry_nouns, terms } = *self;
        let lesson = &course.lessons[index];
        let heard_all = lesson.captions.len() == project.lessons[index].captions.len();
        let (entries, mut found) = words_of(course, reference, pantry_nouns, index, heard_all);
        let cx = Cx { course, lesson, reference };
        rules::risky_spelling(&cx, &entries, &mut found);
        rules::no_unit(&cx, &entries, &mut found);
        rules::unread(&cx, &entries, &mut found);
        let walks = walks(&lesson.steps);
        rules::not_used_up(&cx, &walks, &mut found);
        rules::share_apart(&cx, &mut found);
        rules::doses(&cx, &mut found);
        rules::dilution_apart(&cx, &mut found);
        rules::does_not_fit(&cx, &walks, &mut found);
        rules::unbalanced(&cx, &mut found);
        rules::unlikely_yield(&cx, &mut found);
        rules::kit_short(&cx, &mut found);
        rules::over_session(&cx, &walks, &mut found);
        rules::out_of_order(&cx, &mut found);
        rules::unknown_source(&cx, index, &mut found);
        rules::sum_without_answer(&cx, &mut found);
        rules::not_pasteurised(&cx, &mut found);
        rules::unlikely_heat(&cx, &mut found);
        rules::dangers(&cx, index, &mut found);
        rules::keeping(&cx, &mut found);
        rules::unnamed_sign(&cx, terms, &mut found);
        let entries = entries.into_iter().map(Arc::new).collect();
        Looked { entries, found, uses: rules::first_uses(lesson, terms) }
    }
}

/// Binds the words of one lesson. Where a measure was changed in its block and its words were left behind, the
/// findings about them say what to write. `heard_all` when no captions of it were unreadable.
fn words_of(
    course: &Course,
    reference: &Reference,
    pantry_nouns: &PantryNouns,
    index: usize,
    heard_all: bool,
) -> (Vec<LedgerEntry>, Diagnostics) {
    let runs = &course.lessons[index].runs;
    let things = Things::new(pantry_nouns, course, Some(&course.lessons[index]), reference);
    let mentions = read(runs, reference, &things);
    let look = |course: &Course, senses: &Senses| {
        let binder = Binder { course, reference, lesson: Some(index), things: &things, senses };
        let lesson = &course.lessons[index];
        let mut asides = Asides::new(&lesson.asides);
        let mut found = Diagnostics::default();
        let mut bound = binder.bind(runs, &mentions, &mut asides, &mut found);
        // Before the spoken words come in: a teacher at the hob speaks of the step before and the step after as they
        // come to mind, and never of all a step's figures. Whoever reads the step must find its own figures there.
        rules::not_stated(&Cx { course, lesson, reference }, &bound.entries, &mut found);
        rules::unlisted(&Cx { course, lesson, reference }, &things, &mut found);
        for spoken in &lesson.captions {
            let heard = binder.bind_spoken(spoken, &mut asides, &mut found);
            rules::not_spoken(&Cx { course, lesson, reference }, &heard.entries, &mut found);
            bound.extend(heard);
        }
        rules::pieces(&Cx { course, lesson, reference }, &bound.entries, &mut asides, &mut found);
        let spoken = lesson.captions.iter().map(|spoken| &spoken.captions.words);
        let texts: Vec<&MappedText> = runs.iter().map(|run| &run.text).chain(spoken).collect();
        rules::unitless(&Cx { course, lesson, reference }, &texts, &mut asides, &mut found);
        rules::readings(&Cx { course, lesson, reference }, index, &bound.entries, &mut asides, &mut found);
        if heard_all {
            asides.report_stale(&mut found); // else the words of an aside may stand in captions that cannot be read
        }
        (bound, found)
    };
    let (bound, found) = look(course, &Senses::new());
    if !found.has_errors() {
        return (bound.entries, found);
    }
    let senses = former::senses(course, index, &bound, &found, &look);
    if senses.is_empty() {
        return (bound.entries, found);
    }
    let (_, sure) = look(course, &senses);
    (bound.entries, former::advise(&found, &sure))
}
