//! QR codes of the lesson's page, for its print view: pictures beside the page, the same codes as on cards and handouts.

use super::Cx;
use super::inline::data_address;
use super::links::encoded;
use super::paper::{Code, page_code, step_code};
use super::site::Site;
use super::view::{CodeView, LessonView, PartView};
use crate::kitchen::Choice;
use crate::recipe::Lesson;

/// Where the codes of a lesson lie.
pub(super) fn folder(lesson: &Lesson) -> String {
    format!("codes/{}/", lesson.slug)
}

/// The code of the lesson, where the course has an address.
pub(super) fn of_lesson(cx: &Cx<'_>, lesson: &Lesson) -> Option<CodeView> {
    Some(view(&page_code(cx, lesson, &Choice::AS_WRITTEN)?, folder(lesson) + "lesson.svg"))
}

/// The code of a step.
pub(super) fn of_step(cx: &Cx<'_>, lesson: &Lesson, step: usize) -> Option<CodeView> {
    Some(view(&step_code(cx, lesson, step, &Choice::AS_WRITTEN)?, format!("{}{}.svg", folder(lesson), step + 1)))
}

fn view(code: &Code, path: String) -> CodeView {
    // A pixel of a style sheet is 1/96 in, a point 1/72.
    let side = format!("{:.0}", (code.size() * 96.0 / 72.0).ceil());
    CodeView { href: encoded(&path), side, path, svg: code.svg() }
}

/// Puts the pictures of a page on the site.
pub(super) fn put(lesson: &mut LessonView, site: &mut Site) {
    let steps = steps_of(&mut lesson.parts);
    for code in steps.chain([&mut lesson.code]).flatten() {
        site.put(code.path.clone(), code.svg.clone().into_bytes());
    }
}

/// Keeps the code of the lesson alone, as a part of the page.
pub(super) fn keep_one(lesson: &mut LessonView) {
    steps_of(&mut lesson.parts).for_each(|code| *code = None);
    if let Some(code) = &mut lesson.code {
        code.href = data_address(&code.path, code.svg.as_bytes());
    }
}

fn steps_of(parts: &mut [PartView]) -> impl Iterator<Item = &mut Option<CodeView>> {
    let steps = parts.iter_mut().filter_map(|part| match part {
        PartView::Steps { steps, .. } => Some(steps),
        _ => None,
    });
    steps.flatten().map(|step| &mut step.code)
}
