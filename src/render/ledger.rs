//! The ledger as a page: every figure in the words, and what it states.

use super::Cx;
use super::links::Links;
use super::view::{CourseView, HeadView, PageView};
use crate::check::{LedgerEntry, Moved, States, ledger_row};
use crate::lesson::Heading;
use crate::recipe::Lesson;
use serde::Serialize;
use std::sync::Arc;

/// Its file.
pub(super) const PAGE: &str = "ledger.html";

/// What `ledger.html` is given.
#[derive(Debug, Serialize)]
pub(super) struct LedgerBody {
    /// How many figures there are.
    count: usize,
    lessons: Vec<LessonView>,
}

/// The figures of a lesson, or of the course's own words.
#[derive(Debug, Serialize)]
struct LessonView {
    /// Its anchor.
    slug: String,
    title: String,
    href: Option<String>,
    count: usize,
    sections: Vec<SectionView>,
}

/// Figures that follow each other in one section.
#[derive(Debug, Serialize)]
struct SectionView {
    title: String,
    href: Option<String>,
    rows: Vec<RowView>,
}

#[derive(Debug, Serialize)]
struct RowView {
    words: String,
    /// What they state, as the course writes it.
    says: Option<String>,
    /// Its path.
    path: Option<String>,
    /// Why it is none of the recipe's business.
    aside: Option<String>,
    /// `fact`, `aside`, `exactly`, `rounded, +0.2 °C`.
    how: String,
    /// `197.6 °F`, before rounding.
    exact: Option<String>,
    /// The ingredient whose density was used.
    density_of: Option<String>,
}

/// Builds the page.
pub(super) fn ledger_page<'a>(cx: &Cx<'_>, course: &'a CourseView) -> PageView<'a, LedgerBody> {
    let entries = &cx.ledger.entries;
    let lessons = entries.chunk_by(|a, b| a.lesson == b.lesson).map(|entries| lesson_view(cx, entries)).collect();
    let page = HeadView {
        title: format!("Ledger – {}", course.title),
        description: format!("Every figure in the words of {}, and what it states.", course.title),
        kind: "figures",
    };
    PageView { course, page, body: LedgerBody { count: entries.len(), lessons } }
}

fn lesson_view(cx: &Cx<'_>, entries: &[Arc<LedgerEntry>]) -> LessonView {
    let lesson = entries[0].lesson.and_then(|index| cx.course.lessons.get(index));
    let place = |entry: &LedgerEntry| lesson.map(|lesson| place_of(lesson, entry));
    let sections = entries.chunk_by(|a, b| place(a) == place(b)).map(|entries| SectionView {
        title: place(&entries[0]).map_or(String::new(), |place| place.title),
        href: place(&entries[0]).map(|place| place.href),
        rows: entries.iter().map(|entry| row_view(cx, entry)).collect(),
    });
    LessonView {
        slug: lesson.map_or("_course".to_owned(), |lesson| lesson.slug.clone()),
        title: lesson.map_or("The course’s own words".to_owned(), |lesson| lesson.title.clone()),
        href: lesson.map(|lesson| Links::lesson_page(&lesson.slug)),
        count: entries.len(),
        sections: sections.collect(),
    }
}

#[derive(PartialEq)]
struct Place {
    title: String,
    href: String,
}

/// The section in which a mention stands, or the captions in which it is spoken.
fn place_of(lesson: &Lesson, entry: &LedgerEntry) -> Place {
    let page = Links::lesson_page(&lesson.slug);
    let span = entry.mention.span;
    if span.file != lesson.file {
        let spoken = lesson.captions.iter().find(|one| one.captions.file == span.file);
        let step = entry.step.and_then(|step| lesson.steps.get(step));
        let heading = step.and_then(|step| lesson.headings.get(step.heading));
        let name = spoken.map_or("", |one| one.name.as_str());
        let title = step.map_or(String::new(), |step| format!("{}, ", step.title));
        return Place { title: format!("{title}spoken in {name}"), href: to(&page, heading) };
    }
    let before = lesson.headings.iter().rfind(|heading| heading.span.start <= span.start);
    let title = before.map_or(lesson.title.as_str(), |heading| heading.text.text.trim());
    Place { title: title.to_owned(), href: to(&page, before) }
}

fn to(page: &str, heading: Option<&Heading>) -> String {
    heading.map_or(page.to_owned(), |heading| format!("{page}#{}", heading.slug))
}

fn row_view(cx: &Cx<'_>, entry: &LedgerEntry) -> RowView {
    let row = ledger_row(cx.sources, cx.course, cx.reference, entry);
    let (says, path, aside) = match row.states {
        States::Measure(says, path) => (Some(says), Some(path), None),
        States::Aside(why) => (None, None, why),
        States::Nothing => (None, None, None),
    };
    let is_fact = path.as_ref().is_some_and(|path| path.starts_with("facts."));
    let how = match (&says, &row.moved) {
        (None, _) => "aside".to_owned(),
        (_, None) => "disagrees".to_owned(),
        (_, Some(Moved::No)) => "exactly".to_owned(),
        (_, Some(Moved::Within)) => "within the range".to_owned(),
        (_, Some(Moved::By(gap))) => format!("rounded, {gap}"),
    };
    let how = if is_fact { format!("fact, {how}") } else { how };
    let by_density = row.turned.as_ref().is_some_and(|turned| turned.density_of.is_some());
    let turned = row.turned.filter(|_| by_density || row.moved != Some(Moved::No));
    let density_of = turned.as_ref().and_then(|turned| turned.density_of);
    RowView {
        words: row.words,
        says,
        path,
        aside,
        how,
        exact: turned.map(|turned| turned.exact),
        density_of: density_of.map(|row| cx.reference.pantry.get(row).name.clone()),
    }
}
