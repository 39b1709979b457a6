//! All files of a course into its model.

use super::captions::read_captions;
use super::context::add_measure;
use super::course::{CourseFile, read_course};
use super::glossary::{definition_runs, join, read_terms};
use super::lesson::{Surroundings, lower_lesson};
use super::links::{Targets, fragments};
use super::memory::{Key, Memory, Remembered};
use super::model::{Course, Lesson, Measure, Owner, Place, Term};
use super::place::read_place;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::input::{LessonFile, Project, Work};
use crate::lesson::{Heading, LessonSyntax, parse_lesson};
use crate::quantity::print::Style;
use crate::reference::{CourseTables, Manner, Reference};
use crate::source::{FileId, Span};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Parses and lowers all files of a course.
pub fn lower_course(project: &Project, sink: &mut Diagnostics) -> (Course, Reference) {
    let (course, reference, _) = lower_again(project, &mut Memory::default(), sink);
    (course, reference)
}

/// The same, but lessons that have not changed since the last time are not read again. Says what tells each lesson from
/// another state of itself.
pub(crate) fn lower_again(
    project: &Project,
    memory: &mut Memory,
    sink: &mut Diagnostics,
) -> (Course, Reference, Vec<Key>) {
    let file = settings(project, sink);
    let tables = CourseTables { pantry: project.pantry, facts: project.facts };
    let manner =
        Manner { home: file.home, style: Style::for_language(&file.language), conventions: file.conventions.clone() };
    let reference = Reference::load(&project.sources, manner, tables, sink);
    let place = file.kitchen.as_ref().map_or_else(Place::default, |entry| read_place(entry, &reference, sink));
    let own = project.glossary.map(|file| parse_lesson(&project.sources, file, sink));
    let terms = terms(project, own.as_ref(), sink);
    let mut measures = fact_measures(&reference);
    let around = Surroundings { reference: &reference, place: &place, terms: &terms };
    let shared = Key::shared(project);
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
                read_captions(project, lesson, &file.language, &mut lowered, &mut found);
                Remembered { key, lesson: Arc::new(lowered), measures: measures[start..].to_vec(), found }
            }
        };
        sink.extend(known.found.clone());
        lessons.push(known.lesson.clone());
        keys.push(key);
        kept.push((lesson.slug.clone(), known));
    }
    memory.keep(kept);
    refuse_same_slugs(&lessons, sink);
    check_links(project, &lessons, own.as_ref(), &terms, sink);
    let mut runs = file.runs;
    runs.extend(own.map_or_else(Vec::new, definition_runs));
    let CourseFile { title, summary, home, language, address, author, cards, handouts, class, .. } = file;
    (
        Course {
            title,
            summary,
            home,
            guests: file.guests,
            place,
            language,
            address,
            author,
            cards,
            handouts,
            class,
            lessons,
            terms,
            measures,
            runs,
        },
        reference,
        keys,
    )
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

fn settings(project: &Project, sink: &mut Diagnostics) -> CourseFile {
    match project.course {
        Some(file) => read_course(&project.sources, file, sink),
        None => {
            if let Some(lesson) = project.lessons.first() {
                let at = Span::new(lesson.file, 0..0);
                let found = Diagnostic::new(Code::MissingKey, "the course has no course.toml, and so no title", at);
                sink.push(found.help("make a file course.toml with a line `title = \"…\"`"));
            }
            CourseFile::default()
        }
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

fn check_links(
    project: &Project,
    lessons: &[Arc<Lesson>],
    glossary: Option<&LessonSyntax>,
    terms: &[Term],
    sink: &mut Diagnostics,
) {
    let files = lessons.iter().map(|lesson| (lesson.file, &lesson.headings));
    let files: Vec<(FileId, &Vec<Heading>)> = files.chain(glossary.map(|own| (own.file, &own.headings))).collect();
    let path = |file: FileId| project.sources.get(file).path.as_str();
    let targets = Targets {
        sources: &project.sources,
        pictures: &project.pictures,
        terms,
        pages: files.iter().map(|(file, headings)| (path(*file), fragments(headings))).collect(),
    };
    for lesson in lessons {
        targets.check(lesson.file, &lesson.body, &lesson.links, sink);
    }
    if let Some(own) = glossary {
        targets.check(own.file, &own.body, &own.links, sink);
    }
}

fn terms(project: &Project, own: Option<&LessonSyntax>, sink: &mut Diagnostics) -> Vec<Term> {
    let shared = project.sources.iter().find(|(_, file)| file.path == "shared/glossary.md").map(|(id, _)| id);
    let built_in = shared.map_or_else(Vec::new, |file| {
        let syntax = parse_lesson(&project.sources, file, sink);
        read_terms(&syntax, false, sink)
    });
    let own = own.map_or_else(Vec::new, |syntax| read_terms(syntax, true, sink));
    join(own, built_in)
}

#[cfg(test)]
#[path = "lower_tests/mod.rs"]
mod tests;
