//! `unknown-mention` of pieces: "divide it into 10 pieces", where nothing in the lesson is so many.
//!
//! Why: pieces are no unit and no thing of the recipe, so a count of them would be held to nothing, and would stay as it is
//! when a student makes twice as much.

use super::words::words;
use super::{Cx, is_read};
use crate::check::asides::Asides;
use crate::check::ledger::LedgerEntry;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::lesson::Run;
use crate::quantity::print::Style;
use crate::quantity::{Exact, Number, NumberForm};
use crate::source::Span;

/// What makes pieces, in the same sentence before them.
const DIVIDING: &[&str] = &["divide", "divides", "cut", "cuts", "split", "portion", "shape", "form", "break", "part"];
/// What pieces are called.
const PIECES: &[&str] = &[
    "piece", "pieces", "ball", "balls", "round", "rounds", "portion", "portions", "part", "parts", "disc", "discs",
    "loaf", "loaves", "bun", "buns", "roll", "rolls", "strip", "strips", "wedge", "wedges", "slice", "slices", "cube",
    "cubes", "square", "squares", "lump", "lumps", "log", "logs", "cake", "cakes",
];
/// How many words may stand between the figure and what it counts.
const REACH: usize = 2;

pub(in crate::check) fn pieces(cx: &Cx<'_>, entries: &[LedgerEntry], asides: &mut Asides<'_>, sink: &mut Diagnostics) {
    if cx.lesson.recipe.is_none() {
        return;
    }
    for run in cx.lesson.runs.iter().filter(|run| run.step.is_some()) {
        for (span, text) in counted(run, cx.reference.units.style()) {
            if is_read(entries, span) || asides.covering(span).is_some() {
                continue;
            }
            sink.push(
                Diagnostic::new(
                    Code::UnknownMention,
                    format!("“{text}” states no measure of this course: nothing says that there are so many"),
                    span,
                )
                .help(
                    "say it in the step's block, `measures = { pieces = \"8\" }`, and it follows a student's batch; or leave \
                     out how many",
                ),
            );
        }
    }
}

/// Pieces that something is divided into: `10 equal pieces`.
fn counted(run: &Run, style: Style) -> Vec<(Span, &str)> {
    let text = run.text.text.as_str();
    let words = words(text);
    let mut found = Vec::new();
    for at in (0..words.len()).filter(|at| words[*at].is_one_of(&["into"])) {
        let mut sentence = (0..at).rev().take_while(|at| !words[*at].ends_sentence());
        if !sentence.any(|at| words[at].is_one_of(DIVIDING)) {
            continue;
        }
        let Some(start) = words.get(at + 1).map(|word| word.start) else { continue };
        let Some((number, len)) = Number::read(&text[start..], style) else { continue };
        // Whoever cuts a thing in two means halves.
        if number.form == NumberForm::Article || number.value <= Exact::whole(2) {
            continue;
        }
        let after = words.partition_point(|word| word.start < start + len);
        let piece = (after..words.len().min(after + REACH + 1)).find(|at| words[*at].is_one_of(PIECES));
        let Some(piece) = piece.map(|at| words[at]) else { continue };
        let end = piece.start + piece.text.trim_end_matches(|letter: char| !letter.is_alphanumeric()).len();
        found.push((run.text.home(start..end), &text[start..end]));
    }
    found
}
