//! Fences: what stands on the opening line, where the body lies, and whether the block is closed.

use super::BlockKind;
use super::near::distance;
use std::ops::Range;

/// A fenced block as it stands in a file.
#[derive(Debug, Clone)]
pub(super) struct Fence {
    /// From the fence's first sign to the end of its last line.
    pub range: Range<usize>,
    /// The opening line.
    pub head: Range<usize>,
    /// The first word after the fence.
    pub word: Range<usize>,
    /// Whatever stands after that word.
    pub extra: Range<usize>,
    /// The lines between the fences.
    pub body: Range<usize>,
    /// Whether a closing fence was found.
    pub closed: bool,
    /// Whether it stands at the left margin.
    pub margin: bool,
    sign: char,
    width: usize,
}

impl Fence {
    /// Reads the fenced block that the Markdown reader found at `range`.
    pub fn read(text: &str, range: Range<usize>) -> Fence {
        let range = range.start..range.start + text[range].trim_end().len();
        let block = &text[range.clone()];
        let head = range.start..range.start + block.find('\n').unwrap_or(block.len());
        let line = &text[head.clone()];
        let sign = line.chars().next().unwrap_or('`');
        let width = line.len() - line.trim_start_matches(sign).len();
        let info = head.start + width;
        let start = info + text[info..head.end].len() - text[info..head.end].trim_start().len();
        let word = start..text[start..head.end].find(char::is_whitespace).map_or(head.end, |len| start + len);
        let rest = &text[word.end..head.end];
        let extra_start = word.end + rest.len() - rest.trim_start().len();
        let extra = extra_start..extra_start + rest.trim().len();
        let body_start = (head.end + 1).min(range.end);
        let last = text[..range.end].rfind('\n').map_or(0, |end| end + 1).max(head.start);
        let closed = last > head.start && closes(&text[last..range.end], sign, width);
        let body = body_start..if closed { last.max(body_start) } else { range.end };
        let margin = head.start == 0 || text[..head.start].ends_with('\n');
        Fence { range, head, word, extra, body, closed, margin, sign, width }
    }

    /// Which of our blocks it is.
    pub fn kind(&self, text: &str) -> Option<BlockKind> {
        kind_of(&text[self.word.clone()])
    }

    /// The block it would be, were it not misspelt.
    pub fn meant(&self, text: &str) -> Option<BlockKind> {
        let word = text[self.word.clone()].to_lowercase();
        BlockKind::ALL.into_iter().find(|kind| {
            let name = kind.name();
            // In words of four letters two slips turn anything into anything: `text` into `term`. In one of three a
            // single slip does, and there are languages of three letters: only its beginning tells.
            let limit = if name.len() <= 4 { 1 } else { 2 };
            let begins = name.len() > 3 || word.starts_with(name);
            begins && word.len().abs_diff(name.len()) <= 1 && distance(&word, name) <= limit
        })
    }

    /// Whether its closing fence was forgotten: there is none, or it belongs to a block of ours further down.
    pub fn left_open(&self, text: &str) -> bool {
        !self.closed || self.swallows(text)
    }

    /// Whether a block of ours begins inside.
    pub fn swallows(&self, text: &str) -> bool {
        let ours = self.kind(text).is_some();
        text[self.body.clone()].lines().any(|line| {
            let width = line.len() - line.trim_start_matches(self.sign).len();
            let word = line[width..].split_whitespace().next().unwrap_or("");
            (width >= self.width || ours && width >= 3) && kind_of(word).is_some()
        })
    }

    /// Where the keys of a block that was left open seem to end: after the last line before one that is neither key
    /// nor part of a list.
    pub fn keys_end(&self, text: &str) -> usize {
        let (mut at, mut end, mut depth) = (self.body.start, self.body.start, 0usize);
        for line in text[self.body.clone()].split_inclusive('\n') {
            let words = line.trim();
            at += line.len();
            if words.is_empty() {
                continue;
            }
            if depth == 0 && !looks_like_keys(words) {
                return end;
            }
            depth = brackets(words, depth);
            end = at;
        }
        end
    }
}

fn kind_of(word: &str) -> Option<BlockKind> {
    BlockKind::ALL.into_iter().find(|kind| kind.name() == word)
}

/// Whether a line closes a fence. In quotes and lists signs of those may stand before it.
fn closes(line: &str, sign: char, width: usize) -> bool {
    let signs = line.trim_start_matches([' ', '\t', '>']).trim_end();
    signs.len() >= width && signs.chars().all(|other| other == sign)
}

fn looks_like_keys(line: &str) -> bool {
    if line.starts_with('[') {
        return line.ends_with(']') && !line.contains("](");
    }
    if line.starts_with('#') {
        return !line.starts_with("##");
    }
    let Some((key, _)) = line.split_once('=') else {
        return false;
    };
    let key = key.trim();
    !key.is_empty() && !key.contains(char::is_whitespace) || key.starts_with(['"', '\''])
}

/// How many brackets are open after a line; those inside quotes do not count.
fn brackets(line: &str, mut depth: usize) -> usize {
    let mut quote = None;
    for letter in line.chars() {
        match (quote, letter) {
            (None, '"' | '\'') => quote = Some(letter),
            (Some(open), _) if open == letter => quote = None,
            (None, '[' | '{') => depth += 1,
            (None, ']' | '}') => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    depth
}
