//! What readers need not carry: comments, blanks and long names of our own scripts and style. A course's own files are
//! published as they are.

use minify_js::{Session, TopLevelMode, minify};

use std::collections::BTreeMap;

/// A script of ours with short names and without what it does without; as it is, where it cannot be read.
pub(super) fn lean_script(name: &str, text: &str) -> String {
    let (session, mut out) = (Session::new(), Vec::new());
    let short = minify(&session, TopLevelMode::Global, text.as_bytes(), &mut out);
    let short = short.ok().and_then(|()| String::from_utf8(out).ok());
    let inner: &[&str] = match name {
        "kitchen.js" => &KITCHEN,
        "lesson.js" => &LESSON,
        _ => &[],
    };
    // The crate writes out what a bare `return` returns.
    let bare = |short: String| short.replace("return undefined;", "return;");
    short.map_or_else(|| text.to_owned(), |short| squeezed(&with_short_keys(&bare(short), inner)))
}

/// Keys of objects that `kitchen.js` keeps to itself. It reads lists and numbers and gives none of these away.
const KITCHEN: [&str; 20] = [
    "tsp", "tbsp", "cup", "top", "foot", "quart", "gallon", "spooned", "density", "parts", "limit", "rungs", "ticks",
    "many", "size", "moves", "low", "high", "sum", "kind",
];

/// The same of `lesson.js`: what it knows of each live word.
const LESSON: [&str; 7] = ["mention", "shown", "full", "span", "was", "alt", "next"];

/// A minified script with capital letters in the place of some keys, which follow a dot or stand before a colon.
fn with_short_keys(script: &str, keys: &[&str]) -> String {
    let mut out = String::with_capacity(script.len());
    for (is_code, stretch) in stretches(script) {
        let mut rest = stretch;
        while is_code && !rest.is_empty() {
            let other = rest.find(is_word).unwrap_or(rest.len());
            let (signs, words) = rest.split_at(other);
            out.push_str(signs);
            let (word, after) = words.split_at(words.find(|letter| !is_word(letter)).unwrap_or(words.len()));
            let is_key = out.ends_with('.') || out.ends_with(['{', ',']) && after.starts_with(':');
            match keys.iter().position(|key| is_key && *key == word) {
                Some(place) => out.push(char::from(b'A' + place as u8)),
                None => out.push_str(word),
            }
            rest = after;
        }
        if !is_code {
            out.push_str(stretch);
        }
    }
    out
}

/// A minified script without the blanks that part no names and no signs, and with constants that follow each other in
/// one declaration, by the shorter word: what never changes does not need the promise.
fn squeezed(script: &str) -> String {
    let mut out = String::with_capacity(script.len());
    // For each bracket that is open, whether the statement within it declares constants.
    let mut constant = vec![false];
    for (is_code, stretch) in stretches(script) {
        if !is_code {
            out.push_str(stretch);
            continue;
        }
        let mut rest = stretch;
        while let Some(letter) = rest.chars().next() {
            let begins = out.is_empty() || out.ends_with([';', '{', '}']);
            let (len, written) = match letter {
                '(' | '[' | '{' => {
                    constant.push(false);
                    (1, true)
                }
                ')' | ']' | '}' => {
                    constant.pop();
                    (1, true)
                }
                ';' if rest.starts_with(";const ") && constant.last() == Some(&true) => {
                    out.push(',');
                    (";const ".len(), false)
                }
                'c' if begins_word(&out) && rest.starts_with("const ") => {
                    constant.pop();
                    constant.push(begins);
                    out.push_str("let");
                    ("const".len(), false)
                }
                _ => {
                    if letter == ';' {
                        constant.pop();
                        constant.push(false);
                    }
                    (letter.len_utf8(), letter != ' ' || parts(&out, &rest[1..]))
                }
            };
            if written {
                out.push_str(&rest[..len]);
            }
            rest = &rest[len..];
        }
    }
    out
}

fn is_word(letter: char) -> bool {
    letter.is_alphanumeric() || "_$".contains(letter)
}

fn begins_word(before: &str) -> bool {
    !before.ends_with(|letter| is_word(letter) || letter == '.')
}

/// Whether a blank parts two names, or two signs that would be another one.
fn parts(before: &str, after: &str) -> bool {
    let word = |letter: Option<char>| letter.is_some_and(is_word);
    let (before, after) = (before.chars().next_back(), after.chars().next());
    word(before) && (word(after) || after.is_none()) || before == after
}

/// A minified script, in which all texts stand between backticks, as code and what is not: pieces of texts, and regular
/// expressions.
fn stretches(script: &str) -> Vec<(bool, &str)> {
    let mut found = Vec::new();
    // For each text that is open, how many brackets are open in the sums within it.
    let mut texts: Vec<usize> = Vec::new();
    let (mut from, mut at) = (0, 0);
    while let Some(letter) = script[at..].chars().next() {
        let len = match letter {
            '`' => text_len(&script[at..], &mut texts),
            '}' if texts.last() == Some(&0) => {
                texts.pop();
                text_len(&script[at..], &mut texts)
            }
            '/' if begins_pattern(&script[..at]) => pattern_len(&script[at..]),
            _ => {
                if let Some(open) = texts.last_mut() {
                    *open = (*open + usize::from(letter == '{')).saturating_sub(usize::from(letter == '}'));
                }
                at += letter.len_utf8();
                continue;
            }
        };
        found.extend([(true, &script[from..at]), (false, &script[at..at + len])]);
        at += len;
        from = at;
    }
    found.push((true, &script[from..]));
    found
}

/// The length of a piece of text: to the backtick that ends it, or to the sum that stands next in it, which then is open.
fn text_len(text: &str, texts: &mut Vec<usize>) -> usize {
    let mut escaped = false;
    for (at, letter) in text.char_indices().skip(1) {
        match letter {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '`' => return at + 1,
            '$' if text[at + 1..].starts_with('{') => {
                texts.push(0);
                return at + 2;
            }
            _ => {}
        }
    }
    text.len()
}

/// Whether a slash after this stands before a regular expression, for nothing that could be divided is before it.
fn begins_pattern(before: &str) -> bool {
    before.ends_with(|c: char| "(,=:[!&|?{};+-*<>~^%".contains(c)) || before.ends_with("return")
}

/// The length of a regular expression, up to its second slash.
fn pattern_len(pattern: &str) -> usize {
    let (mut class, mut escaped) = (false, false);
    for (at, letter) in pattern.char_indices().skip(1) {
        match letter {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '[' => class = true,
            ']' => class = false,
            '/' if !class => return at + 1,
            _ => {}
        }
    }
    pattern.len()
}

/// Short names for the custom properties of style sheets, the same in each of them.
pub(super) fn with_short_names(sheets: [&str; 2], wanted: &str) -> String {
    let mut short: BTreeMap<&str, String> = BTreeMap::new();
    for sheet in sheets {
        for (_, name, _) in properties(sheet) {
            let number = short.len();
            short.entry(name).or_insert_with(|| {
                let letter = |number: usize| char::from(b'a' + (number % 26) as u8);
                let first = (number >= 26).then(|| letter(number / 26 - 1));
                first.into_iter().chain([letter(number)]).collect()
            });
        }
    }
    let mut out = String::with_capacity(wanted.len());
    let mut from = 0;
    for (at, name, end) in properties(wanted) {
        out.push_str(&wanted[from..at]);
        out.push_str(short.get(name).map_or(name, String::as_str));
        from = end;
    }
    out.push_str(&wanted[from..]);
    out
}

/// Where names of custom properties begin and end, after the two dashes.
fn properties(sheet: &str) -> impl Iterator<Item = (usize, &str, usize)> {
    sheet.match_indices("--").map(|(at, _)| {
        let at = at + 2;
        let len = sheet[at..].find(|c: char| !c.is_ascii_alphanumeric() && c != '-').unwrap_or(sheet.len() - at);
        (at, &sheet[at..at + len], at + len)
    })
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
                let after = rest[blank..].starts_with(['{', '}', ';', ',', '>', '!']);
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
        assert_eq!(lean_script("sums.js", script), "let Sum=(()=>{let a=2n;return{price:a}})()");
        assert_eq!(lean_script("sums.js", "const = 1;"), "const = 1;");
        assert_eq!(lean_script("sums.js", "f = a => { if (a) return; g(); h(); };"), "f=a=>{if(a)return;g();h()}");
    }

    #[test]
    fn scripts_keep_the_blanks_of_texts_and_patterns_and_between_signs() {
        for (script, lean) in [
            ("return [a+ b,- - c,+ -d]", "return[a+b,- -c,+-d]"),
            ("a in b instanceof c", "a in b instanceof c"),
            ("return `a`", "return `a`"),
            (
                "const a=()=>{const b=1;const c=2;d();const e=3};const f=4;g()",
                "let a=()=>{let b=1,c=2;d();let e=3},f=4;g()",
            ),
            ("for(const a of b){c}const d=`;const `;const e=0", "for(let a of b){c}let d=`;const `,e=0"),
            ("x=`a + ${b+ {c:`- [`}} + d`", "x=`a + ${b+{c:`- [`}} + d`"),
            ("x=`\\` + `+ y", "x=`\\` + `+y"),
            ("/^( |[/ +] +)$/.test(a)", "/^( |[/ +] +)$/.test(a)"),
            ("f(/ \\/ -/g,a/ b)", "f(/ \\/ -/g,a/b)"),
        ] {
            assert_eq!(squeezed(&format!(";{script}")), format!(";{lean}"));
        }
    }

    #[test]
    fn keys_that_a_script_keeps_to_itself_are_short() {
        let script = "a.size=b.sizes+{size:1,other:c?size:2}.size;`.size{size:`+cup.cup";
        let short = "a.A=b.sizes+{A:1,other:c?size:2}.A;`.size{size:`+cup.B";
        assert_eq!(with_short_keys(script, &["size", "cup"]), short);
    }

    #[test]
    fn properties_get_the_same_short_names_in_both_sheets() {
        let sheets = ["a{--paper:red;--paper-ink:0;color:var(--paper)}", "b{--code:var(--paper-ink)}"];
        let [style, more] = sheets.map(|sheet| with_short_names(sheets, sheet));
        assert_eq!(style, "a{--a:red;--b:0;color:var(--a)}");
        assert_eq!(more, "b{--c:var(--b)}");
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
                "@media (min-width:4rem) and (hover){a{b:c d!important}}",
            ),
            ("a { /* one\n two */ b: c }", "a{b:c}"),
        ] {
            assert_eq!(lean_style(style), lean);
        }
    }
}
