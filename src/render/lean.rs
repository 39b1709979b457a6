//! What readers need not carry: comments, blanks and long names of our own scripts and style. A course's own files are
//! published as they are.

use minify_js::{Session, TopLevelMode, minify};

/// A script of ours with short names; as it is, where it cannot be read.
pub(super) fn lean_script(text: &str) -> String {
    let (session, mut out) = (Session::new(), Vec::new());
    let short = minify(&session, TopLevelMode::Global, text.as_bytes(), &mut out);
    let short = short.ok().and_then(|()| String::from_utf8(out).ok());
    // The crate writes out what a bare `return` returns.
    short.map_or_else(|| text.to_owned(), |short| short.replace("return undefined;", "return;"))
}

/// A style sheet without comments, and without blanks where they mean nothing.
pub(super) fn lean_style(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        if let Some(comment) = rest.strip_prefix("/*") {
            rest = comment.split_once("*/").map_or("", |(_, after)| after);
            continue;
        }
        let len = match first {
            '"' | '\'' => rest[1..].find(first).map_or(rest.len(), |end| end + 2),
            _ if first.is_whitespace() => {
                let blank = rest.len() - rest.trim_start().len();
                // A blank before a colon or a bracket can tell a child from a state, or one value from the next.
                let after = rest[blank..].starts_with(['{', '}', ';', ',', '>']);
                if !after && !out.ends_with(['{', '}', ';', ',', '>', ':', ' ']) && !out.is_empty() {
                    out.push(' ');
                }
                rest = &rest[blank..];
                continue;
            }
            _ => first.len_utf8(),
        };
        if first == '}' && out.ends_with(';') {
            out.pop();
        }
        out.push_str(&rest[..len]);
        rest = &rest[len..];
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scripts_lose_comments_blanks_and_long_names() {
        let script =
            "// What it does.\nconst Sum = (() => {\n  // Why.\n  const price = 2n;\n  return { price };\n})();\n";
        assert_eq!(lean_script(script), "const Sum=(()=>{const a=2n;return {price:a}})()");
        assert_eq!(lean_script("const = 1;"), "const = 1;");
        assert_eq!(lean_script("f = a => { if (a) return; g(); h(); };"), "f=a=>{if(a)return;g();h()}");
    }

    #[test]
    fn style_loses_only_blanks_that_mean_nothing() {
        for (style, lean) in [
            ("/* Parts */\na { color: red; }\n", "a{color:red}"),
            (".a :is(b, c) > d { top: 0; }", ".a :is(b,c)>d{top:0}"),
            ("a::after { content: \" ·  ;\"; }", "a::after{content:\" ·  ;\"}"),
            ("h1 { font-size: clamp(2rem, 1rem + 2vw, 3rem) }", "h1{font-size:clamp(2rem,1rem + 2vw,3rem)}"),
            (
                "@media (min-width: 4rem) and (hover) { a { b: c d !important; } }",
                "@media (min-width:4rem) and (hover){a{b:c d !important}}",
            ),
            ("a { /* one\n two */ b: c }", "a{b:c}"),
        ] {
            assert_eq!(lean_style(style), lean);
        }
    }
}
