//! All files of a course into its model.

use super::captions::read_captions;
use super::common::Common;
use super::context::add_measure;
use super::lesson::{Surroundings, lower_lesson};
use super::links::{Targets, fragments};
use super::memory::{Key, Memory, Remembered};
use super::model::{Course, Lesson, Measure, Owner};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::input::{LessonFile, Project, Work};
use crate::lesson::{LessonSyntax, parse_lesson};
use crate::reference::Reference;
use crate::source::{FileId, Span};
use rayon::iter::{IntoParallelRefIterator, IntoParallelRefMutIterator, ParallelIterator};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Parses and lowers all files of a course.
pub fn lower_course(project: &Project, sink: &mut Diagnostics) -> (Course, Arc<Reference>) {
    let (course, reference, _) = lower_again(project, &mut Memory::default(), sink);
    (course, reference)
}

/// The same, but lessons that have not changed since the last time are not read again. Says what tells each lesson from
/// another state of itself.
pub(crate) fn lower_again(
    project: &Project,
    memory: &mut Memory,
    sink: &mut Diagnostics,
) -> (Course, Arc<Reference>, Vec<Key>) {
    let shared = Key::shared(project);
    let common = memory.common(shared).unwrap_or_else(|| Arc::new(Common::read(project, shared)));
    sink.extend(common.found.clone());
    no_settings(project, sink);
    let Common { course, reference, .. } = &*common;
    let mut measures = fact_measures(reference);
    let around = Surroundings { reference, place: &course.place, terms: &course.terms };
    let mut lessons = Vec::new();
    let mut keys = Vec::new();
    let mut kept = Vec::new();
    let mut parsed = parse_changed(project, memory, shared, measures.len());
    for (index, lesson) in project.lessons.iter().enumerate() {
        let start = measures.len();
        let key = shared.lesson(project, lesson, index, start);
        let known = match memory.recall(&lesson.slug, key) {
            Some(known) => {
                measures.extend(known.measures.iter().cloned());
                known.clone()
            }
            None => {
                let mut found = Diagnostics::default();
                let syntax = match parsed.remove(&index) {
                    Some((syntax, more)) => {
                        found.extend(more);
                        syntax
                    }
                    None => parse_lesson(&project.sources, lesson.file, &mut found),
                };
                let mut lowered = lower_lesson(index, lesson, syntax, &around, &mut measures, &mut found);
                read_captions(project, lesson, &course.language, &mut lowered, &mut found);
                Remembered { key, lesson: Arc::new(lowered), measures: measures[start..].into(), found, links: None }
            }
        };
        sink.extend(known.found.clone());
        lessons.push(known.lesson.clone());
        keys.push(key);
        kept.push((lesson.slug.clone(), known));
    }
    refuse_same_slugs(&lessons, sink);
    check_links(project, &common, &mut kept, sink);
    let course = Course { lessons, measures, ..course.clone() };
    let reference = Arc::clone(reference);
    memory.keep(common, kept);
    (course, reference, keys)
}

/// Parses all lessons that may have changed, side by side. Where one has more measures than the last time, those after it
/// have changed as well, and are parsed when their turn comes.
fn parse_changed(
    project: &Project,
    memory: &Memory,
    shared: Key,
    first_measure: usize,
) -> BTreeMap<usize, (LessonSyntax, Diagnostics)> {
    let mut start = first_measure;
    let mut changed = Vec::new();
    for (index, lesson) in project.lessons.iter().enumerate() {
        match memory.recall(&lesson.slug, shared.lesson(project, lesson, index, start)) {
            Some(known) => start += known.measures.len(),
            None => {
                changed.push((index, lesson));
                start += memory.measures_of(&lesson.slug);
            }
        }
    }
    let parse = |(index, lesson): &(usize, &LessonFile)| {
        let mut found = Diagnostics::default();
        let syntax = parse_lesson(&project.sources, lesson.file, &mut found);
        project.progress.one_done();
        (*index, (syntax, found))
    };
    project.progress.start(Work::Parsing, changed.len());
    changed.par_iter().map(parse).collect()
}

fn no_settings(project: &Project, sink: &mut Diagnostics) {
    if let (None, Some(lesson)) = (project.course, project.lessons.first()) {
        let at = Span::new(lesson.file, 0..0);
        let found = Diagnostic::new(Code::MissingKey, "the course has no course.toml, and so no title", at);
        sink.push(found.help("make a file course.toml with a line `title = \"…\"`"));
    }
}

fn fact_measures(reference: &Reference) -> Vec<Arc<Measure>> {
    let mut measures = Vec::new();
    for (index, fact) in reference.facts.iter().enumerate() {
        let path = format!("facts.{}", fact.id);
        add_measure(
            &mut measures,
            Measure { path, amount: fact.amount, span: fact.span, owner: Owner::Fact { fact: index }, scales: false },
        );
    }
    measures
}

fn refuse_same_slugs(lessons: &[Arc<Lesson>], sink: &mut Diagnostics) {
    let mut first: BTreeMap<&str, &Lesson> = BTreeMap::new();
    for lesson in lessons {
        let Some(other) = first.get(lesson.slug.as_str()) else {
            first.insert(&lesson.slug, lesson);
            continue;
        };
        sink.push(
            Diagnostic::new(
                Code::DuplicateId,
                format!("two lessons have the name `{}`", lesson.slug),
                lesson.title_span,
            )
            .related(other.title_span, format!("the other is in {}", other.folder))
            .help("rename one of the two folders; the number before the name does not count"),
        );
    }
}

/// Checks links and pictures, but not of a lesson that was checked when it and all that links can lead to were the same.
fn check_links(project: &Project, common: &Common, lessons: &mut [(String, Remembered)], sink: &mut Diagnostics) {
    let own = common.glossary.as_ref();
    let path = |file: FileId| project.sources.get(file).path.as_str();
    let pages: Vec<Arc<Lesson>> = lessons.iter().map(|(_, known)| known.lesson.clone()).collect();
    let of_lessons = pages.iter().map(|lesson| (path(lesson.file), fragments(&lesson.headings)));
    let targets = Targets {
        sources: &project.sources,
        pictures: &project.pictures,
        terms: &common.course.terms,
        pages: of_lessons.chain(own.map(|own| (path(own.file), fragments(&own.headings)))).collect(),
    };
    let key = targets.key().and(common.key);
    lessons.par_iter_mut().filter(|(_, known)| known.links.as_ref().is_none_or(|(of, _)| *of != key)).for_each(
        |(_, known)| {
            known.links = Some((key, targets.check(known.lesson.file, &known.lesson.body, &known.lesson.links)))
        },
    );
    lessons.iter().filter_map(|(_, known)| known.links.as_ref()).for_each(|(_, found)| sink.extend(found.clone()));
    if let Some(own) = own {
        sink.extend(targets.check(own.file, &own.body, &own.links));
    }
}

#[cfg(test)]
#[path = "lower_tests/mod.rs"]
mod tests;
