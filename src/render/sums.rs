//! Sums on a lesson's page: the worked example in words, and what its script needs to go on.

use super::Cx;
use super::view::{SumFieldView, SumView};
use crate::kitchen::{Worksheet, worksheets};
use crate::recipe::Lesson;

/// The sheet that only pages with a sum load, and the script.
pub(super) const STYLE: &str = "sums.css";
pub(super) const SCRIPT: &str = "sums.js";

/// A sum of a lesson; none where its block has a fault.
pub(super) fn worksheet(cx: &Cx<'_>, lesson: &Lesson, index: usize) -> Option<Worksheet> {
    let at = cx.course.lessons.iter().position(|other| other.file == lesson.file)?;
    worksheets(cx.course, &cx.reference.units, at).into_iter().nth(index)?
}

/// The sentence that it begins with.
pub(super) fn example(sheet: &Worksheet) -> String {
    sheet.example().unwrap_or_else(|fault| fault)
}

pub(super) fn sum_view(cx: &Cx<'_>, lesson: &Lesson, index: usize) -> Option<SumView> {
    let sheet = worksheet(cx, lesson, index)?;
    let fields = sheet.entries.iter().map(|entry| SumFieldView {
        label: entry.label.clone(),
        text: entry.text.clone(),
        unit: entry.unit.clone(),
    });
    Some(SumView {
        title: sheet.title,
        about: sheet.about,
        said: example(&sheet),
        fields: fields.collect(),
        data: sheet.data().to_string(),
    })
}
