//! The glossary page: terms that the lessons use, and all of the course's own.

use super::Cx;
use super::edition::{Edition, WORD};
use super::links::Links;
use super::live::Page;
use super::markdown::{Writer, without_notes};
use super::terms::TermUses;
use super::view::{CourseView, GlossaryBody, HeadView, LetterView, PageView, TermView, UseView};
use std::collections::{BTreeMap, BTreeSet};

/// The glossary's page before its template, and the pictures it shows.
pub(super) struct GlossaryPage<'a> {
    pub view: PageView<'a, GlossaryBody>,
    /// By path in the course folder.
    pub pictures: BTreeSet<String>,
}

/// Builds the glossary.
pub(super) fn glossary_page<'a>(cx: &'a Cx<'a>, course: &'a CourseView, uses: &TermUses) -> GlossaryPage<'a> {
    let terms = &cx.course.terms;
    let on_page = |term: &usize| terms[*term].own || !uses.of(*term).is_empty();
    let shown: BTreeSet<usize> = (0..terms.len()).filter(on_page).collect();
    let (body, pictures) = entries(cx, &shown, Edition::glossary(shown.clone()), "", Some(uses));
    let page = HeadView {
        title: format!("Glossary – {}", course.title),
        description: format!("The words of the trade used in {}.", course.title),
        kind: "glossary",
    };
    GlossaryPage { view: PageView { course, page, body }, pictures }
}

/// The terms of a lesson's take-home page.
pub(super) fn words_view(cx: &Cx<'_>, lesson: &str, shown: BTreeSet<usize>) -> GlossaryBody {
    entries(cx, &shown, Edition::words(lesson, shown.clone()), WORD, None).0
}

/// Terms by their first letter, and the pictures they show. `mark` stands before their slugs.
fn entries(
    cx: &Cx<'_>,
    shown: &BTreeSet<usize>,
    links: Edition,
    mark: &str,
    uses: Option<&TermUses>,
) -> (GlossaryBody, BTreeSet<String>) {
    let terms = &cx.course.terms;
    let mut shown: Vec<usize> = shown.iter().copied().collect();
    shown.sort_by_key(|term| (terms[*term].name.to_lowercase(), *term));
    let Some(first) = shown.first() else {
        return (GlossaryBody { letters: Vec::new(), notes: Vec::new() }, BTreeSet::new());
    };
    let page = Page::still(cx);
    let mut writer = Writer::new(&page, terms[*first].span.file, "", &[], links);
    let mut letters: Vec<LetterView> = Vec::new();
    let mut note_texts = BTreeMap::new();
    for index in shown {
        let term = &terms[index];
        writer.begin_term(term.span.file, index);
        let (items, notes) = without_notes(&term.definition);
        note_texts.extend(notes);
        let used_in = uses.map_or(&[][..], |uses| uses.of(index));
        let view = TermView {
            slug: format!("{mark}{}", term.slug),
            name: term.name.clone(),
            also: term.also.clone(),
            definition_html: writer.flow(&items),
            used_in: used_in.iter().map(|(lesson, fragment)| use_view(cx, *lesson, fragment)).collect(),
            taught_in: cx.teachers.get(&index).map(|(lesson, _)| use_view(cx, *lesson, "")),
        };
        let letter = letter(&term.name);
        match letters.last_mut() {
            Some(last) if last.letter == letter => last.terms.push(view),
            _ => letters.push(LetterView { letter, terms: vec![view] }),
        }
    }
    let notes = writer.notes(&note_texts);
    (GlossaryBody { letters, notes }, writer.state.pictures)
}

fn use_view(cx: &Cx<'_>, lesson: usize, fragment: &str) -> UseView {
    let lesson = &cx.course.lessons[lesson];
    let hash = if fragment.is_empty() { "" } else { "#" };
    UseView { href: format!("{}{hash}{fragment}", Links::lesson_page(&lesson.slug)), title: lesson.title.clone() }
}

fn letter(name: &str) -> String {
    name.chars().next().map_or(String::new(), |first| first.to_uppercase().collect())
}
