//! What a page that gets by alone holds instead of links to other files.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

/// A file as an address that needs no other file.
pub(super) fn data_address(path: &str, bytes: &[u8]) -> String {
    format!("data:{};base64,{}", media_type(path), STANDARD.encode(bytes))
}

/// The kinds of pictures that a course may hold.
fn media_type(path: &str) -> &'static str {
    let end = path.rsplit_once('.').map_or("", |(_, end)| end).to_ascii_lowercase();
    match end.as_str() {
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "webp" => "image/webp",
        "gif" => "image/gif",
        _ => "application/octet-stream",
    }
}

/// How a Content-Security-Policy names a text that may stand on the page.
pub(super) fn policy_hash(text: &str) -> String {
    format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text)))
}

/// A short name for some bytes that no others have.
pub(super) fn fingerprint<'a>(pieces: impl Iterator<Item = &'a [u8]>) -> String {
    let mut sum = Sha256::new();
    for piece in pieces {
        // With its length before it, no byte can move from one piece to the next unseen.
        sum.update((piece.len() as u64).to_be_bytes());
        sum.update(piece);
    }
    sum.finalize().iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

/// Scripts as one, fit to stand in a `script` element. Inside texts, where alone these letters mean anything to a
/// script, a backslash before them changes nothing.
pub(super) fn inline_script(scripts: &[String]) -> String {
    // The semicolon has a line of its own, for the script before it may end in a comment.
    let script = with_backslash(&scripts.join("\n;\n"), "</script");
    with_backslash(&script, "<!--")
}

/// A style sheet fit to stand in a `style` element.
pub(super) fn inline_style(style: &str) -> String {
    with_backslash(style, "</style")
}

/// Puts a backslash behind the first letter of each `mark`, which may be in letters of any case.
fn with_backslash(text: &str, mark: &str) -> String {
    let lower = text.to_ascii_lowercase();
    let mut out = String::with_capacity(text.len());
    let mut from = 0;
    for (found, _) in lower.match_indices(mark) {
        out.push_str(&text[from..=found]);
        out.push('\\');
        from = found + 1;
    }
    out.push_str(&text[from..]);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: RFC 4648, section 10 (base64); FIPS 180-2, appendix B.1 (SHA-256 of "abc", ba7816bf…), in base64.
    #[test]
    fn published_values_come_out() {
        assert_eq!(data_address("a/POT.PNG", b"foobar"), "data:image/png;base64,Zm9vYmFy");
        assert_eq!(data_address("a.svg", b"f"), "data:image/svg+xml;base64,Zg==");
        assert_eq!(policy_hash("abc"), "'sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0='");
    }

    #[test]
    fn no_text_ends_the_element_it_stands_in() {
        let scripts = ["a = \"</script>\" // one".to_owned(), "b = '</SCRIPT><!-- <script'\n".to_owned()];
        let want = "a = \"<\\/script>\" // one\n;\nb = '<\\/SCRIPT><\\!-- <script'\n";
        assert_eq!(inline_script(&scripts), want);
        assert_eq!(inline_style("a::after { content: \"</Style>\" }"), "a::after { content: \"<\\/Style>\" }");
    }

    #[test]
    fn a_fingerprint_tells_where_one_piece_ends() {
        let of = |pieces: &[&'static str]| fingerprint(pieces.iter().map(|piece| piece.as_bytes()));
        assert_eq!(of(&["ab", "c"]), of(&["ab", "c"]));
        assert_ne!(of(&["ab", "c"]), of(&["a", "bc"]));
        assert_eq!(of(&["ab"]).len(), 16);
    }
}
