//! `bad-amount`: a sum has no answer for the values it begins with.
//!
//! Why: its worked example is what stands on paper, and what a reader without script sees.

use super::Cx;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::Worksheet;

pub(in crate::check) fn sum_without_answer(cx: &Cx<'_>, sink: &mut Diagnostics) {
    for sum in cx.lesson.sums.iter().flatten() {
        if let Err(fault) = Worksheet::new(sum, cx.course, &cx.reference.units).example() {
            let found =
                Diagnostic::new(Code::BadAmount, "this sum has no answer for the values it begins with", sum.span);
            sink.push(found.help(fault));
        }
    }
}
