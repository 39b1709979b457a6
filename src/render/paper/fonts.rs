//! The fonts of paper, and words set in them as lines.

use super::block::Run;
use crate::render::theme::BUILT_IN;
use parley::fontique::{Blob, Collection, CollectionOptions, SourceCache};
use parley::layout::Alignment;
use parley::style::{FontFamily, FontStyle, FontWeight, LineHeight, OverflowWrap, StyleProperty};
use parley::{FontContext, Layout, LayoutContext};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Lines are this much higher than their letters.
const LEADING: f32 = 1.22;
/// The same for figures, which stand alone.
const FIGURES: f32 = 1.04;
const FAMILY: &str = "Source Sans 3";
/// Plain, bold and italic.
pub(super) const FILES: [&str; 3] =
    ["fonts/SourceSans3_400Regular.ttf", "fonts/SourceSans3_700Bold.ttf", "fonts/SourceSans3_400Regular_Italic.ttf"];

/// Fonts that are ready to set words.
pub(crate) struct Fonts {
    fonts: FontContext,
    layouts: LayoutContext<u32>,
}

/// How words lie in their width.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fit {
    Left,
    Right,
    /// To the left, the lines close to each other.
    Figures,
}

/// Words as lines.
pub(crate) struct SetText {
    /// All the words.
    pub text: String,
    /// The lines. The brush of a glyph is the number of its run.
    pub layout: Layout<u32>,
    /// Where runs lead.
    pub links: Vec<Option<String>>,
}

impl Fonts {
    /// The fonts of the built-in theme, and no others: a system's own would print other pages on every machine.
    pub(crate) fn new() -> Fonts {
        let options = CollectionOptions { shared: false, system_fonts: false };
        let mut collection = Collection::new(options);
        for name in FILES {
            if let Some(file) = BUILT_IN.get_file(name) {
                let bytes: &'static [u8] = file.contents();
                collection.register_fonts(Blob::new(Arc::new(bytes)), None);
            }
        }
        let fonts = FontContext { collection, source_cache: SourceCache::default() };
        Fonts { fonts, layouts: LayoutContext::new() }
    }

    /// Sets words to a width.
    pub(crate) fn set(&mut self, words: &[Run], size: f32, width: f32, fit: Fit) -> SetText {
        let text: String = words.iter().map(|run| cleaned(&run.text)).collect();
        let mut builder = self.layouts.ranged_builder(&mut self.fonts, &text, 1.0, false);
        builder.push_default(FontFamily::named(FAMILY));
        builder.push_default(StyleProperty::FontSize(size));
        // One leading for all: parley 0.10 mixes up those of runs that stand in one paragraph.
        let leading = if fit == Fit::Figures { FIGURES } else { LEADING };
        builder.push_default(LineHeight::FontSizeRelative(leading));
        builder.push_default(StyleProperty::OverflowWrap(OverflowWrap::Anywhere));
        let mut at = 0;
        for (number, run) in words.iter().enumerate() {
            let range = at..at + cleaned(&run.text).len();
            at = range.end;
            // Parley takes no style of no letters.
            if range.is_empty() {
                continue;
            }
            builder.push(StyleProperty::Brush(number as u32), range.clone());
            if run.bold {
                builder.push(StyleProperty::FontWeight(FontWeight::BOLD), range.clone());
            } else if run.italic {
                builder.push(StyleProperty::FontStyle(FontStyle::Italic), range.clone());
            }
            if let Some(size) = run.size {
                builder.push(StyleProperty::FontSize(size), range);
            }
        }
        let mut layout = builder.build(&text);
        break_lines(&mut layout, &text, width);
        if fit == Fit::Right {
            layout.align(Alignment::Right, Default::default());
        }
        SetText { text, layout, links: words.iter().map(|run| run.link.clone()).collect() }
    }
}

impl SetText {
    /// How many lines there are. Words that are no words have none.
    pub(crate) fn lines(&self) -> usize {
        if self.text.trim().is_empty() { 0 } else { self.layout.len() }
    }

    /// How high a line is.
    pub(crate) fn height(&self, line: usize) -> f32 {
        self.layout.get(line).map_or(0.0, |line| line.metrics().line_height)
    }

    /// How wide the widest line is.
    pub(crate) fn width(&self) -> f32 {
        self.layout.width()
    }

    /// Letters for which no font has a shape.
    pub(crate) fn missing(&self) -> BTreeSet<char> {
        let runs = self.layout.lines().flat_map(|line| line.runs());
        let mut missing = BTreeSet::new();
        for run in runs {
            for cluster in run.clusters() {
                let letter = cluster.source_char();
                if !letter.is_control() && cluster.glyphs().any(|glyph| glyph.id == 0) {
                    missing.insert(letter);
                }
            }
        }
        missing
    }
}

/// Breaks lines. Parley 0.10 parts a line behind a blank that must not be parted where just that blank is too much; then
/// a slightly narrower line does it.
fn break_lines(layout: &mut Layout<u32>, text: &str, width: f32) {
    const STEP: f32 = 0.5;
    for narrower in 0..16 {
        layout.break_all_lines(Some(width - STEP * narrower as f32));
        // The only line of an empty text has a range that is not in it.
        let line = |range| text.get(range).unwrap_or_default();
        if !layout.lines().any(|one| line(one.text_range()).ends_with('\u{a0}')) {
            return;
        }
    }
}

/// Without letters that say nothing on paper: no font has a shape for them.
fn cleaned(text: &str) -> String {
    let silent = |c: char| matches!(c, '\u{FEFF}' | '\u{200B}' | '\u{2060}' | '\u{FE0E}' | '\u{FE0F}' | '\r' | '\0');
    text.chars().filter(|c| !silent(*c)).collect()
}
