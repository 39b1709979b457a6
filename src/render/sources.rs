//! The page of sources: every figure and rule that the course takes from tables, and where it comes from.

use super::Cx;
use super::links::Links;
use super::used::{SourceUse, source_uses};
use super::view::{CourseView, HeadView, LessonNameView, PageView};
use serde::Serialize;
use std::collections::BTreeSet;

/// Its file.
pub(super) const PAGE: &str = "sources.html";

/// What `sources.html` is given.
#[derive(Debug, Serialize)]
pub(super) struct SourcesBody {
    groups: Vec<GroupView>,
    /// All sources that are named, by title.
    sources: Vec<SourceView>,
}

#[derive(Debug, Serialize)]
struct GroupView {
    /// Its anchor.
    slug: String,
    title: &'static str,
    about: &'static str,
    rows: Vec<UseView>,
}

#[derive(Debug, Serialize)]
struct UseView {
    what: String,
    value: String,
    source: String,
    /// Anchor of the source, where a table lists it.
    anchor: Option<String>,
    status: String,
    lessons: Vec<LessonNameView>,
}

#[derive(Debug, Serialize)]
struct SourceView {
    anchor: String,
    title: String,
    kind: String,
    note: Option<String>,
}

/// Builds the page.
pub(super) fn sources_page<'a>(cx: &Cx<'_>, course: &'a CourseView) -> PageView<'a, SourcesBody> {
    let uses = source_uses(cx);
    let groups = uses.chunk_by(|a, b| a.group == b.group);
    let groups = groups.map(|rows| GroupView {
        slug: rows[0].group.title().to_lowercase().replace(' ', "-"),
        title: rows[0].group.title(),
        about: rows[0].group.about(),
        rows: rows.iter().map(|row| use_view(cx, row)).collect(),
    });
    let page = HeadView {
        title: format!("Sources – {}", course.title),
        description: format!("Where the figures come from that {} uses.", course.title),
        kind: "sources",
    };
    PageView { course, page, body: SourcesBody { groups: groups.collect(), sources: named(cx, &uses) } }
}

fn anchor(id: &str) -> String {
    format!("_source-{id}")
}

fn use_view(cx: &Cx<'_>, row: &SourceUse) -> UseView {
    let lessons = row.lessons.iter().map(|lesson| &cx.course.lessons[*lesson]);
    UseView {
        what: row.what.clone(),
        value: row.value.clone(),
        source: cx.reference.source_title(&row.source).to_owned(),
        anchor: cx.reference.sources.contains_key(&row.source).then(|| anchor(&row.source)),
        status: row.status.clone(),
        lessons: lessons
            .map(|lesson| LessonNameView { title: lesson.title.clone(), href: Links::lesson_page(&lesson.slug) })
            .collect(),
    }
}

fn named(cx: &Cx<'_>, uses: &[SourceUse]) -> Vec<SourceView> {
    let ids: BTreeSet<&str> = uses.iter().map(|row| row.source.as_str()).collect();
    let mut found: Vec<_> = ids.into_iter().filter_map(|id| cx.reference.sources.get(id)).collect();
    found.sort_by_key(|source| source.title.to_lowercase());
    let view = |source: &crate::reference::Source| SourceView {
        anchor: anchor(&source.id),
        title: source.title.clone(),
        kind: source.kind.clone(),
        note: source.note.clone(),
    };
    found.into_iter().map(view).collect()
}
