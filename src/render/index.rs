//! The course's first page, and what every page knows of the course.

use super::Cx;
use super::edition::Edition;
use super::labels;
use super::links::Links;
use super::live::Page;
use super::markdown::Writer;
use super::recipe_view::{amount_view, makes_view};
use super::view::{CourseView, HeadView, IndexBody, LessonLinkView, ListedView, PageView, PaperLinkView};
use crate::recipe::Lesson;
use std::sync::OnceLock;

/// The course as every page sees it.
pub(super) fn course_view(cx: &Cx<'_>) -> CourseView {
    let lessons = cx.course.lessons.iter().enumerate();
    CourseView {
        title: cx.course.title.clone(),
        language: cx.course.language.clone(),
        lessons: lessons
            .map(|(index, lesson)| LessonLinkView {
                number: index + 1,
                href: Links::lesson_page(&lesson.slug),
                title: lesson.title.clone(),
                summary: lesson.summary.as_ref().map(|summary| summary.text.clone()),
            })
            .collect(),
        value: OnceLock::new(),
    }
}

/// The page that lists the lessons.
pub(super) fn index_page<'a>(
    cx: &Cx<'_>,
    course: &'a CourseView,
    papers: Vec<PaperLinkView>,
) -> PageView<'a, IndexBody> {
    let summary = cx.course.summary.as_ref();
    let still = Page::still(cx);
    let summary_html =
        summary.map(|text| Writer::new(&still, text.file, "", &[], Edition::site()).visible_quietly(text));
    let description = summary.map_or_else(|| course.title.clone(), |text| text.text.clone());
    let page = HeadView { title: course.title.clone(), description, kind: "index" };
    PageView {
        course,
        page,
        body: IndexBody {
            lessons: cx
                .course
                .lessons
                .iter()
                .zip(&course.lessons)
                .map(|(lesson, link)| listed(&still, lesson, link))
                .collect(),
            class: cx.course.class.as_ref().map(|class| class.students),
            allergens: cx.course.lessons.iter().any(|lesson| lesson.recipe.is_some()),
            labels: (0..cx.course.lessons.len()).any(|lesson| labels::link(cx, lesson).is_some()),
            summary_html,
            papers,
        },
    }
}

fn listed(page: &Page<'_>, lesson: &Lesson, link: &LessonLinkView) -> ListedView {
    ListedView {
        link: link.clone(),
        makes: lesson.recipe.as_ref().and_then(|recipe| makes_view(page, recipe)),
        session: lesson.session.map(|id| amount_view(page, id)),
    }
}
