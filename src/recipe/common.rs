//! What all lessons of a course share: its settings, tables and terms.

use super::course::{CourseFile, read_course};
use super::glossary::{definition_runs, join, read_terms};
use super::memory::Key;
use super::model::{Course, Place, Term};
use super::place::read_place;
use crate::diag::Diagnostics;
use crate::input::Project;
use crate::lesson::{LessonSyntax, parse_lesson};
use crate::quantity::print::Style;
use crate::reference::{CourseTables, Manner, Reference};
use std::sync::Arc;

/// Read once, and again only where one of its files has changed.
#[derive(Debug)]
pub(super) struct Common {
    /// Tells apart all that it can be made from.
    pub key: Key,
    /// The course without its lessons.
    pub course: Course,
    pub reference: Arc<Reference>,
    /// The course's own glossary.
    pub glossary: Option<LessonSyntax>,
    /// What is wrong with all that.
    pub found: Diagnostics,
}

impl Common {
    pub(super) fn read(project: &Project, key: Key) -> Common {
        let mut found = Diagnostics::default();
        let sources = &project.sources;
        let file = project.course.map_or_else(CourseFile::default, |file| read_course(sources, file, &mut found));
        let tables = CourseTables { pantry: project.pantry, facts: project.facts };
        let style = Style::for_language(&file.language);
        let manner = Manner { home: file.home, style, conventions: file.conventions };
        let reference = Reference::load(sources, manner, tables, &mut found);
        let place =
            file.kitchen.as_ref().map_or_else(Place::default, |entry| read_place(entry, &reference, &mut found));
        let glossary = project.glossary.map(|file| parse_lesson(sources, file, &mut found));
        let terms = terms(project, glossary.as_ref(), &mut found);
        let mut runs = file.runs;
        runs.extend(glossary.as_ref().map_or_else(Vec::new, definition_runs));
        let course = Course {
            title: file.title,
            summary: file.summary,
            home: file.home,
            guests: file.guests,
            place,
            language: file.language,
            address: file.address,
            author: file.author,
            cards: file.cards,
            handouts: file.handouts,
            class: file.class,
            lessons: Vec::new(),
            terms,
            measures: Vec::new(),
            runs,
        };
        Common { key, course, reference: Arc::new(reference), glossary, found }
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
