//! All files of a course into its model.

use super::captions::read_captions;
use super::context::add_measure;
use super::course::{CourseFile, read_course};
use super::glossary::{definition_runs, join, read_terms};
use super::lesson::{Surroundings, lower_lesson};
use super::links::{Targets, fragments};
use super::model::{Course, Lesson, Measure, Owner, Place, Term};
use super::place::read_place;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::input::Project;
use crate::lesson::{Heading, LessonSyntax, parse_lesson};
use crate::quantity::print::Style;
use crate::reference::{CourseTables, Manner, Reference};
use crate::source::{FileId, Span};
use std::collections::BTreeMap;

/// Parses and lowers all files of a course.
pub fn lower_course(project: &Project, sink: &mut Diagnostics) -> (Course, Reference) {
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
    let mut lessons = Vec::new();
    for (index, lesson) in project.lessons.iter().enumerate() {
        let syntax = parse_lesson(&project.sources, lesson.file, sink);
        let mut lowered = lower_lesson(index, lesson, syntax, &around, &mut measures, sink);
        read_captions(project, lesson, &file.language, &mut lowered, sink);
        lessons.push(lowered);
    }
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
    )
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

fn fact_measures(reference: &Reference) -> Vec<Measure> {
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

fn refuse_same_slugs(lessons: &[Lesson], sink: &mut Diagnostics) {
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
    lessons: &[Lesson],
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
#[path = "lower_tests.rs"]
mod tests;
