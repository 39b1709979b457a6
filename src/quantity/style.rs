//! How the language of a course writes numbers.

use super::Exact;

/// What depends on the language of the course: read and printed alike.
///
/// With a decimal comma, a point, an apostrophe or a blank before three figures groups thousands, whichever of them the
/// language itself prefers: `1.000 g` and `1 000 g` are a kilogram in all of them. With a decimal point, a comma does, and
/// `1.000 g` is one gram.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// The decimal sign.
    pub decimal: char,
}

impl Default for Style {
    fn default() -> Style {
        Style { decimal: '.' }
    }
}

impl Style {
    /// The style of a language tag: `en-GB` has a point, `de` a comma.
    ///
    /// Source: CLDR 48.2. A language that is not in the list keeps the point.
    pub fn for_language(tag: &str) -> Style {
        const COMMA: [&str; 8] = ["de", "fr", "es", "it", "nl", "pt", "pl", "sv"];
        let tag = tag.to_ascii_lowercase().replace('_', "-");
        let language = tag.split('-').next().unwrap_or_default();
        let point = matches!(tag.as_str(), "de-ch" | "es-mx");
        let comma = COMMA.contains(&language) && !point || tag == "en-za";
        Style { decimal: if comma { ',' } else { '.' } }
    }

    /// Decimal text with at most so many places.
    pub fn rounded(self, value: Exact, places: u32) -> String {
        self.with_sign(value.to_decimal(places))
    }

    /// A text with a decimal point, in this style.
    pub(super) fn with_sign(self, text: String) -> String {
        if self.decimal == '.' { text } else { text.replace('.', &self.decimal.to_string()) }
    }

    /// Whether a sign may stand between groups of three figures.
    pub(super) fn groups(self, mark: char) -> bool {
        let blank = matches!(mark, '\u{A0}' | '\u{202F}' | '\u{2009}' | '\u{2007}' | '’');
        match self.decimal {
            ',' => blank || matches!(mark, '.' | ' ' | '\''),
            _ => blank || mark == ',',
        }
    }
}
