//! What readers need not carry: whole lines of comment, and the blanks that lines begin with.

/// A script without its `//` lines. So no text in backticks may depend on how its lines begin.
pub(super) fn lean_script(text: &str) -> String {
    lean(text, |line| line.starts_with("//"))
}

/// A style sheet without its comments of one line.
pub(super) fn lean_style(text: &str) -> String {
    lean(text, |line| {
        let inner = line.strip_prefix("/*").and_then(|line| line.strip_suffix("*/"));
        inner.is_some_and(|inner| !inner.contains("*/"))
    })
}

fn lean(text: &str, is_comment: impl Fn(&str) -> bool) -> String {
    let lines = text.lines().map(str::trim_start).filter(|line| !line.is_empty() && !is_comment(line));
    lines.fold(String::with_capacity(text.len()), |out, line| out + line + "\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_of_a_whole_line_and_leading_blanks_are_left_out() {
        let script = "// What it does.\nconst a = 1; // kept\n\n  // Why.\n  const b = \"// kept\";\n\n/* kept */\n";
        assert_eq!(lean_script(script), "const a = 1; // kept\nconst b = \"// kept\";\n/* kept */\n");
        let style =
            "/* Parts */\na { color: red; } /* kept */\n  /* one */ b { top: 0 } /* two */\n/* over\n   two */\n";
        assert_eq!(
            lean_style(style),
            "a { color: red; } /* kept */\n/* one */ b { top: 0 } /* two */\n/* over\ntwo */\n"
        );
    }
}
