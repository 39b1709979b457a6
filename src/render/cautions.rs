//! Where the cautions of a lesson stand: on its page, its cards and its handout.

use super::Cx;
use super::markdown::Writer;
use super::view::CautionView;
use crate::kitchen::{Caution, CautionPlace, shown_at};
use crate::recipe::Lesson;
use crate::reference::CautionSeverity;
use std::borrow::Cow;

/// The cautions of one lesson, with the step that shows each.
pub(super) struct Care<'a> {
    all: Cow<'a, [Caution<'a>]>,
    /// The step that shows each.
    steps: Vec<Option<usize>>,
}

impl<'a> Care<'a> {
    pub(super) fn new(cx: &'a Cx<'_>, lesson: &Lesson) -> Care<'a> {
        let index = cx.course.lessons.iter().position(|one| std::ptr::eq(&**one, lesson));
        let all = index.map_or(Cow::Borrowed(&[][..]), |index| cx.cautions(index));
        let shown = |one: &Caution<'_>| index.and_then(|index| shown_at(cx.course, index, one.place));
        let steps = all.iter().map(shown).collect();
        Care { all, steps }
    }

    /// Those of a step, or with `None` those of the lesson as a whole; each rule once.
    pub(super) fn at(&self, step: Option<usize>) -> Vec<&Caution<'a>> {
        let shown = self.all.iter().zip(&self.steps).filter(|(_, shown)| **shown == step).map(|(one, _)| one);
        once(shown.filter(|one| !matches!(one.place, CautionPlace::Keeping(_))))
    }

    /// Those of how it keeps; each rule once.
    pub(super) fn of_keeping(&self) -> Vec<&Caution<'a>> {
        once(self.all.iter().filter(|one| matches!(one.place, CautionPlace::Keeping(_))))
    }
}

fn once<'c, 'a: 'c>(cautions: impl Iterator<Item = &'c Caution<'a>>) -> Vec<&'c Caution<'a>> {
    let mut kept: Vec<&Caution<'a>> = Vec::new();
    for one in cautions {
        if !kept.iter().any(|other| other.rule.id == one.rule.id) {
            kept.push(one);
        }
    }
    kept
}

/// Cautions as a page shows them, the grave ones first.
pub(super) fn caution_views(cautions: &[&Caution<'_>], writer: &mut Writer<'_>) -> Vec<CautionView> {
    let mut sorted: Vec<&&Caution<'_>> = cautions.iter().collect();
    sorted.sort_by_key(|one| one.rule.severity);
    let view = |one: &&Caution<'_>| CautionView {
        title: one.rule.title.clone(),
        say: one.say.clone(),
        reason_html: one.overruled.map(|overrule| writer.visible_quietly(&overrule.reason)),
        note: one.rule.severity == CautionSeverity::Note,
    };
    sorted.into_iter().map(view).collect()
}
