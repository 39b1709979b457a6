//! A page of plain words for each code, with an example that a test runs.

use super::Code;

macro_rules! pages {
    ($($name:literal)*) => {
        const PAGES: &[(&str, &str)] = &[$(($name, include_str!(concat!("explain/", $name, ".md"))),)*];
    };
}

pages! {
    "disagrees" "pair-apart" "unknown-mention" "not-stated" "no-unit" "unlisted" "stale-aside" "danger" "idle-overrule" "risky-spelling" "not-used-up" "share-apart"
    "does-not-fit" "tight-fit" "unbalanced" "unaccounted" "over-session" "tight-session" "out-of-order" "not-enough-left" "bad-toml" "unknown-key" "missing-key" "wrong-type" "wrong-kind" "bad-amount" "unknown-ingredient"
    "unknown-name" "duplicate-id" "misplaced-block" "unknown-block" "open-fence" "missing-title" "raw-html"
    "broken-reference" "bad-table" "not-utf8" "no-lessons" "unclear-lesson" "broken-template" "unclear-mention"
    "bad-captions" "bad-chapter" "not-spoken" "long-card" "no-paper"
    "not-pasteurised" "unclaimed-hold" "unlikely-time" "above-boiling" "setting-point"
    "unclear-share" "dose-apart" "unlikely-dose" "dilution-apart" "unlikely-yield" "kit-short"
    "not-reckoned" "too-deep" "bad-picture" "too-large" "unusable-name" "left-out"
    "unknown-term" "untaught-term" "unnamed-sign"
    "keeps-unsaid" "keeps-warm" "keeps-long" "wrong-mark" "needless-mark"
}

/// What a code means, why it matters and how to put it right: Markdown. `None` when there is no such code.
pub fn explain(name: &str) -> Option<&'static str> {
    PAGES.iter().find(|(code, _)| *code == name).map(|(_, page)| *page)
}

impl Code {
    /// Its page; see [`explain`].
    pub fn page(self) -> &'static str {
        explain(self.name()).unwrap_or_else(|| self.meaning())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_has_its_page_and_no_page_is_without_a_code() {
        for code in Code::ALL {
            let head = format!("# {}: {}\n", code.name(), code.meaning());
            assert!(code.page().starts_with(&head), "{}", code.name());
        }
        assert_eq!(PAGES.len(), Code::ALL.len());
        assert_eq!(explain("burnt-toast"), None);
    }
}
