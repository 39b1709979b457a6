//! A lesson as one file, to keep or to send: nothing on it leads to another file.

use super::Cx;
use super::codes;
use super::edition::Edition;
use super::glossary::words_view;
use super::page::lesson_page;
use super::view::{CourseView, LessonView, PageView, PartView, TakeHomeBody};

/// A take-home page before its template.
pub(super) struct TakeHomePage<'a> {
    /// Its file name.
    pub name: String,
    pub view: PageView<'a, TakeHomeBody>,
}

/// Builds the take-home page of a lesson. `live` are the live figures of its other page, if that was made.
pub(super) fn take_home_page<'a>(
    cx: &'a Cx<'a>,
    course: &'a CourseView,
    index: usize,
    live: Option<Option<String>>,
) -> TakeHomePage<'a> {
    let slug = &cx.course.lessons[index].slug;
    let made = lesson_page(cx, course, index, Edition::take_home(slug), live);
    let PageView { course, page, body: mut lesson } = made.view;
    leave_out_other_files(&mut lesson.lesson);
    let words = words_view(cx, slug, made.uses.into_keys().collect());
    TakeHomePage {
        name: cx.links.take_home_page(slug),
        view: PageView { course, page, body: TakeHomeBody { lesson, words } },
    }
}

/// Without ways to other pages, captions, codes of steps, or a recording that lies beside the site.
fn leave_out_other_files(lesson: &mut LessonView) {
    (lesson.previous, lesson.next, lesson.take_home) = (None, None, None);
    lesson.recording = lesson.recording.take().filter(|recording| recording.href.as_deref().is_some_and(is_elsewhere));
    if let Some(recording) = &mut lesson.recording {
        (recording.captions, recording.chapters) = (Vec::new(), None);
    }
    codes::keep_one(lesson);
    for part in &mut lesson.parts {
        let PartView::Steps { steps, .. } = part else { continue };
        for heard in steps.iter_mut().filter_map(|step| step.heard.as_mut()) {
            heard.href = heard.href.take().filter(|href| is_elsewhere(href));
        }
    }
}

fn is_elsewhere(href: &str) -> bool {
    let scheme = href.split_once("://").map_or("", |(scheme, _)| scheme);
    scheme.eq_ignore_ascii_case("https") || scheme.eq_ignore_ascii_case("http")
}
