//! Words in the making: a mention may go on after markup, so what it shows is known before where it ends.

use super::block::{Run, Words};
use crate::kitchen::Shown;
use crate::quantity::print::NO_BREAK;

/// Words with what is known of them until the paragraph is whole.
pub(super) enum Said {
    Run(Run),
    /// What a mention shows, its words as written, and whether it went on after markup.
    Mention(Run, Option<Shown>),
    GoesOn(Run),
}

/// The finished words: a mention that shows something else says it once, however much markup runs through it.
pub(super) fn joined(said: Vec<Said>) -> Words {
    let mut out: Words = Vec::new();
    // What follows the last piece of a mention; whether its own further pieces stand.
    let mut after: Option<Run> = None;
    let mut replaced = false;
    let mut pieces = said.into_iter().peekable();
    while let Some(piece) = pieces.next() {
        match piece {
            Said::Run(run) => push(&mut out, run),
            Said::Mention(own, shown) => {
                replaced = shown.as_ref().is_some_and(|shown| !shown.after);
                after = shown
                    .as_ref()
                    .filter(|shown| shown.after)
                    .map(|shown| Run { text: shown.text.clone(), ..own.clone() });
                match shown.filter(|_| replaced) {
                    Some(shown) => push(&mut out, Run { text: shown.text, ..own }),
                    None => push(&mut out, own),
                }
            }
            Said::GoesOn(run) if replaced => drop(run),
            Said::GoesOn(run) => push(&mut out, run),
        }
        let goes_on = pieces.peek().is_some_and(|next| match next {
            Said::GoesOn(_) => true,
            Said::Run(run) => run.text.is_empty(),
            Said::Mention(..) => false,
        });
        if !goes_on && let Some(after) = after.take() {
            push(&mut out, after);
        }
    }
    out
}

/// The same with blanks that no line ends at, so that `4` never stands at the end of one and `litres` on the next.
pub(super) fn unparted(mention: &str) -> String {
    let mut out = String::with_capacity(mention.len() + 2);
    for letter in mention.chars() {
        let after_number = out.ends_with(|c: char| c.is_numeric());
        out.push(if matches!(letter, ' ' | '\n') && after_number { NO_BREAK } else { letter });
    }
    out
}

fn push(out: &mut Words, run: Run) {
    if run.text.is_empty() {
        return;
    }
    match out.last_mut() {
        Some(last) if (last.bold, last.italic) == (run.bold, run.italic) => last.text.push_str(&run.text),
        _ => out.push(run),
    }
}
