//! `risky-spelling`: `1 T` is three times `1 t`, and only the case of one letter tells.
//!
//! Why: phones and editors change the case of letters by themselves.

use super::Cx;
use crate::check::ledger::LedgerEntry;
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};

pub(in crate::check) fn risky_spelling(cx: &Cx<'_>, entries: &[LedgerEntry], sink: &mut Diagnostics) {
    for entry in entries {
        let mention = &entry.mention;
        let plain = match mention.text.chars().next_back() {
            Some('T') if ends_with_lone_letter(&mention.text) => "tbsp",
            Some('t') if ends_with_lone_letter(&mention.text) => "tsp",
            _ => continue,
        };
        let unit = &cx.reference.units.get(mention.amount.unit()).one;
        let text = format!("{}{plain}", &mention.text[..mention.text.len() - 1]);
        let found = Diagnostic::new(
            Code::RiskySpelling,
            format!("“{}” is read as {unit}, but the case of one letter decides", mention.text),
            mention.span,
        )
        .help(format!("write `{text}`"));
        sink.push(if mention.pieces.len() == 1 {
            found.suggest(mention.span, text, Confidence::Certain)
        } else {
            found
        });
    }
}

fn ends_with_lone_letter(text: &str) -> bool {
    let before = text.char_indices().next_back().and_then(|(at, _)| text[..at].chars().next_back());
    before.is_some_and(|letter| !letter.is_alphabetic())
}
