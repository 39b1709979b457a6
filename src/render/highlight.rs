//! Colours for ordinary fenced code, by our own small grammars in the theme.

use super::html::push_escaped;
use super::theme::BUILT_IN;
use std::sync::LazyLock;
use syntect::html::{ClassStyle, ClassedHTMLGenerator};
use syntect::parsing::{SyntaxDefinition, SyntaxSet, SyntaxSetBuilder};
use syntect::util::LinesWithEndings;

/// Grammars, compiled once for a run.
pub(super) struct Highlighter {
    syntaxes: SyntaxSet,
}

const CLASSES: ClassStyle = ClassStyle::SpacedPrefixed { prefix: "hl-" };

impl Highlighter {
    /// Our own grammars.
    pub(super) fn ours() -> &'static Highlighter {
        static OURS: LazyLock<Highlighter> = LazyLock::new(Highlighter::new);
        &OURS
    }

    fn new() -> Highlighter {
        let mut builder = SyntaxSetBuilder::new();
        let folder = BUILT_IN.get_dir("syntaxes").map(|dir| dir.files()).into_iter().flatten();
        for text in folder.filter_map(|file| file.contents_utf8()) {
            let syntax = SyntaxDefinition::load_from_str(text, true, None).expect("the tests load our own grammars");
            builder.add(syntax);
        }
        Highlighter { syntaxes: builder.build() }
    }

    /// The code between `<code>` and `</code>`; plain where the language has no grammar.
    pub(super) fn code(&self, language: &str, code: &str) -> String {
        self.coloured(language, code).unwrap_or_else(|| {
            let mut plain = String::with_capacity(code.len() + 16);
            push_escaped(&mut plain, code);
            plain
        })
    }

    fn coloured(&self, language: &str, code: &str) -> Option<String> {
        let syntax = self.syntaxes.find_syntax_by_token(language)?;
        let mut generator = ClassedHTMLGenerator::new_with_class_style(syntax, &self.syntaxes, CLASSES);
        for line in LinesWithEndings::from(code) {
            generator.parse_html_for_line_which_includes_newline(line).ok()?;
        }
        Some(generator.finalize())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn our_grammars_load_and_know_their_names() {
        let highlighter = Highlighter::new();
        for language in ["toml", "lesson", "recipe", "step", "rescue", "term", "sum", "markdown", "md"] {
            assert!(highlighter.syntaxes.find_syntax_by_token(language).is_some(), "{language}");
        }
    }

    #[test]
    fn keys_texts_and_numbers_are_told_apart_and_markup_is_escaped() {
        let code = Highlighter::new().code("toml", "milk = \"4 L <b>\" # note\ncount = 2\n[pot]\n");
        for part in ["hl-key", "hl-string", "hl-comment", "hl-numeric", "hl-section", "&lt;b&gt;"] {
            assert!(code.contains(part), "{part} in {code}");
        }
        assert!(!code.contains("<b>"));
        assert_eq!(code.matches("<span").count(), code.matches("</span>").count());
    }

    #[test]
    fn an_unknown_language_stays_plain() {
        assert_eq!(Highlighter::new().code("abacus", "1 < 2"), "1 &lt; 2");
    }
}
