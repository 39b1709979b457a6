//! From set lines to glyphs that can be drawn.

use super::fonts::SetText;
use krilla::text::{GlyphId, KrillaGlyph};
use parley::FontData;

/// Glyphs of a line in one font, one size and one run.
pub(super) struct Piece {
    pub run: u32,
    pub font: FontData,
    pub size: f32,
    pub x: f32,
    pub baseline: f32,
    pub width: f32,
    pub glyphs: Vec<KrillaGlyph>,
}

/// The pieces of a line, from its left.
pub(super) fn pieces(text: &SetText, line: usize) -> Vec<Piece> {
    let Some(line) = text.layout.get(line) else { return Vec::new() };
    let metrics = line.metrics();
    // Letters stand in the middle of their line, also where the line is lower than the font would like.
    let baseline = metrics.ascent + (metrics.line_height - metrics.ascent - metrics.descent) / 2.0;
    let mut x = metrics.offset;
    let mut pieces: Vec<Piece> = Vec::new();
    for run in line.runs() {
        let size = run.font_size();
        let mut begun = None;
        for cluster in run.visual_clusters() {
            if cluster.is_ligature_continuation() {
                if let Some(glyph) = pieces.last_mut().and_then(|piece| piece.glyphs.last_mut()) {
                    glyph.text_range.end = cluster.text_range().end;
                }
                continue;
            }
            if cluster.source_char().is_control() {
                continue;
            }
            for glyph in cluster.glyphs() {
                let brush = text.layout.styles()[glyph.style_index as usize].brush;
                if begun != Some(brush) {
                    begun = Some(brush);
                    let font = run.font().clone();
                    pieces.push(Piece { run: brush, font, size, x, baseline, width: 0.0, glyphs: Vec::new() });
                }
                let Some(piece) = pieces.last_mut() else { continue };
                piece.glyphs.push(KrillaGlyph::new(
                    GlyphId::new(glyph.id),
                    glyph.advance / size,
                    glyph.x / size,
                    glyph.y / size,
                    0.0,
                    cluster.text_range(),
                    None,
                ));
                piece.width += glyph.advance;
                x += glyph.advance;
            }
        }
    }
    pieces
}
