//! Markup of ours as plain words.

/// The words of finished markup on one line, without the calls of footnotes.
pub(super) fn plain_words(html: &str) -> String {
    let (mut text, mut rest) = (String::with_capacity(html.len()), html);
    while let Some(at) = rest.find('<') {
        text.push_str(&rest[..at]);
        rest = &rest[at..];
        if rest.starts_with("<sup class=\"call\">")
            && let Some(end) = rest.find("</sup>")
        {
            rest = &rest[end..];
        }
        let end = rest.find('>').map_or(rest.len(), |end| end + 1);
        if !is_within_a_line(&rest[..end]) {
            text.push(' ');
        }
        rest = &rest[end..];
    }
    text.push_str(rest);
    let text = text.split_ascii_whitespace().collect::<Vec<_>>().join(" ");
    // The last of these comes last: an escaped `&lt;` is no bracket.
    [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&amp;", "&")]
        .iter()
        .fold(text, |text, (escaped, letter)| text.replace(escaped, letter))
}

/// Whether a tag stands among words and parts none of them.
fn is_within_a_line(tag: &str) -> bool {
    let name = tag.trim_start_matches(['<', '/']).split(|c: char| !c.is_ascii_alphanumeric()).next().unwrap_or("");
    ["a", "abbr", "b", "code", "del", "em", "i", "s", "small", "span", "strong", "sub", "sup"].contains(&name)
}

#[cfg(test)]
mod tests {
    use super::plain_words;

    #[test]
    fn tags_and_references_go_and_words_stay() {
        for (html, words) in [
            ("<p>Stir <em>gently</em>.</p>\n<p>Wait.</p>\n", "Stir gently. Wait."),
            ("1 &lt; 2 &amp;amp; &#39;a&#39;", "1 < 2 &amp; 'a'"),
            ("&amp;lt;", "&lt;"),
            ("curd<sup class=\"call\"><a id=\"x\" href=\"#n\">1</a></sup>, whey", "curd, whey"),
            ("4\u{a0}L<br>5", "4\u{a0}L 5"),
            ("<tr><th scope=\"col\">see</th><th>read</th></tr>", "see read"),
            ("half<b>-</b>way", "half-way"),
        ] {
            assert_eq!(plain_words(html), words);
        }
    }
}
