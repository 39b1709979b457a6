//! Texts by [`FileId`], and the way from bytes to lines and columns.

use super::{FileId, Span, is_no_letter};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

/// All texts of one run, in the order they were read.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub struct Sources {
    files: Vec<Arc<SourceFile>>,
}

impl Sources {
    /// Adds a text under its path (relative to the course folder, with `/`).
    pub fn add(&mut self, path: impl Into<String>, text: &str) -> FileId {
        let id = FileId(u32::try_from(self.files.len()).expect("fewer than four billion files"));
        self.files.push(Arc::new(SourceFile::new(path.into(), text)));
        id
    }

    /// Adds a text that another set knows already.
    pub(crate) fn add_known(&mut self, file: Arc<SourceFile>) -> FileId {
        let id = FileId(u32::try_from(self.files.len()).expect("fewer than four billion files"));
        self.files.push(file);
        id
    }

    /// All files, to be shared with another set.
    pub(crate) fn shared(&self) -> impl Iterator<Item = &Arc<SourceFile>> {
        self.files.iter()
    }

    /// Gives a file another text, its path unchanged. Places in its old text mean nothing in the new one.
    pub fn replace(&mut self, id: FileId, text: &str) {
        let file = &mut self.files[id.0 as usize];
        *file = Arc::new(SourceFile::new(file.path.clone(), text));
    }

    /// The file of an id that this set handed out.
    pub fn get(&self, id: FileId) -> &SourceFile {
        &self.files[id.0 as usize]
    }

    /// The text a place covers.
    pub fn text(&self, span: Span) -> &str {
        &self.get(span.file).text[span.range()]
    }

    /// All files with their ids.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &SourceFile)> {
        self.files.iter().enumerate().map(|(index, file)| (FileId(index as u32), &**file))
    }
}

/// One text, with line ends normalised to `\n` and a byte order mark taken off.
///
/// Normalising once here keeps columns and block bodies right everywhere; [`SourceFile::offset_on_disk`] leads an
/// offset back to the bytes the author's editor sees.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceFile {
    /// Path relative to the course folder, with `/`; built-in tables begin with `shared/`.
    pub path: String,
    /// The normalised text.
    pub text: String,
    line_starts: Vec<usize>,
    /// Offsets in `text` of each `\n` that was `\r\n` on disk.
    carriage_returns: Vec<usize>,
    /// Length of the byte order mark on disk.
    mark: usize,
    /// Tells texts apart.
    digest: u64,
    /// A letter that no page and no feed may hold, and where.
    strange: Option<(usize, char)>,
}

/// A place as people name it: both counted from 1, columns in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

impl SourceFile {
    fn new(path: String, raw: &str) -> SourceFile {
        let body = raw.strip_prefix('\u{feff}').unwrap_or(raw);
        let mark = raw.len() - body.len();
        let mut text = String::with_capacity(body.len());
        let mut carriage_returns = Vec::new();
        let mut rest = body;
        while let Some(at) = rest.find("\r\n") {
            text.push_str(&rest[..at]);
            carriage_returns.push(text.len());
            text.push('\n');
            rest = &rest[at + 2..];
        }
        text.push_str(rest);
        let line_starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        let mut hasher = DefaultHasher::new();
        text.hash(&mut hasher);
        // A page break is an old way to part sections, and Markdown takes it for a blank.
        let is_strange = |letter: char| is_no_letter(letter) && letter != '\u{c}';
        let strange = text.char_indices().find(|(_, letter)| is_strange(*letter));
        SourceFile { path, text, line_starts, carriage_returns, mark, digest: hasher.finish(), strange }
    }

    /// A number that tells its text from others.
    pub(crate) fn digest(&self) -> u64 {
        self.digest
    }

    /// Whether these bytes are its text on disk, letter for letter. A text that was changed on the way in says no.
    pub(crate) fn is(&self, bytes: &[u8]) -> bool {
        self.mark == 0 && self.carriage_returns.is_empty() && self.text.as_bytes() == bytes
    }

    /// Line and column of a byte of the normalised text.
    pub fn position(&self, offset: usize) -> Position {
        let line = self.line_starts.partition_point(|start| *start <= offset) - 1;
        let before = &self.text[self.line_starts[line]..offset];
        Position { line: line + 1, column: before.chars().count() + 1 }
    }

    /// A letter that no page and no feed may hold, and where: such a file is no text, or was spoilt on its way.
    pub(crate) fn strange_letter(&self) -> Option<(usize, char)> {
        self.strange
    }

    /// The text as it stands on disk: its own line ends, and the byte order mark if it has one.
    pub fn on_disk(&self) -> String {
        let mut raw = String::with_capacity(self.mark + self.text.len() + self.carriage_returns.len());
        raw.push_str(if self.mark > 0 { "\u{feff}" } else { "" });
        let mut from = 0;
        for at in &self.carriage_returns {
            raw.push_str(&self.text[from..*at]);
            raw.push('\r');
            from = *at;
        }
        raw.push_str(&self.text[from..]);
        raw
    }

    /// The byte of the file on disk that an offset into the normalised text stands for.
    pub fn offset_on_disk(&self, offset: usize) -> usize {
        let returns = self.carriage_returns.partition_point(|at| *at < offset);
        self.mark + offset + returns
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_count_characters_not_bytes() {
        let mut sources = Sources::default();
        let id = sources.add("a.md", "½ cup\nat 92 °C\n");
        let file = sources.get(id);
        assert_eq!(file.position(0), Position { line: 1, column: 1 });
        assert_eq!(file.position(2), Position { line: 1, column: 2 });
        assert_eq!(file.position(file.text.find('C').unwrap()), Position { line: 2, column: 8 });
        assert_eq!(file.position(file.text.len()), Position { line: 3, column: 1 });
    }

    #[test]
    fn windows_line_ends_and_a_byte_order_mark_lead_back_to_the_disk() {
        let raw = "\u{feff}one\r\ntwo\r\nthree";
        let mut sources = Sources::default();
        let id = sources.add("a.md", raw);
        let file = sources.get(id);
        assert_eq!(file.text, "one\ntwo\nthree");
        for word in ["one", "two", "three"] {
            let here = file.text.find(word).unwrap();
            assert_eq!(file.offset_on_disk(here), raw.find(word).unwrap(), "{word}");
        }
        for raw in [raw, "", "\r\n\r\n", "\u{feff}", "one\ntwo\r\n", "lone \r stays"] {
            sources.replace(id, raw);
            assert_eq!(sources.get(id).on_disk(), raw);
            assert_eq!(sources.get(id).path, "a.md");
        }
    }
}
