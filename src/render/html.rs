//! Escaping: no letter of a lesson reaches a page as markup.

/// Adds text to a page, for between tags and inside quoted attributes alike.
pub(super) fn push_escaped(out: &mut String, text: &str) {
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
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
