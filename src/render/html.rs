//! Escaping: no letter of a lesson reaches a page as markup.

use crate::source::is_no_letter;

/// Adds text to a page, for between tags and inside quoted attributes alike.
pub(super) fn push_escaped(out: &mut String, text: &str) {
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // Neither a page nor a feed may hold controls; a reference such as `&#1;` makes them from plain text.
            _ if is_no_letter(letter) => out.push('\u{fffd}'),
            _ => out.push(letter),
        }
    }
}

/// The text, fit for a page.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    push_escaped(&mut out, text);
    out
}
