//! Findings as a picture: the words underlined, the measure they contradict underlined too, the repair shown.

use super::{Emitter, shown_path};
use crate::diag::{Confidence, Diagnostic, Label, Severity, Suggestion};
use crate::source::{FileId, SourceFile, Sources, Span};
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Patch, Renderer, Snippet, normalize_untrusted_str};
use std::borrow::Cow;
use std::io::{self, Write};
use std::ops::Range;

/// Columns of a picture.
const WIDTH: usize = 100;

/// How the picture is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// With colours (as ANSI codes) or plain.
    pub colour: bool,
    /// With Unicode lines, or with ASCII only.
    pub unicode: bool,
}

/// Draws each finding with the lines it is about.
#[derive(Debug)]
pub struct Human<W> {
    out: W,
    base: String,
    renderer: Renderer,
}

impl<W: Write> Human<W> {
    /// Writes to `out`. `base` is the way to the course folder: empty, or ending in `/`.
    pub fn new(out: W, base: impl Into<String>, look: Look) -> Human<W> {
        let renderer = if look.colour { Renderer::styled() } else { Renderer::plain() };
        let decor = if look.unicode { DecorStyle::Unicode } else { DecorStyle::Ascii };
        Human { out, base: base.into(), renderer: renderer.decor_style(decor).term_width(WIDTH) }
    }
}

impl<W: Write> Emitter for Human<W> {
    fn emit(&mut self, sources: &Sources, found: &Diagnostic) -> io::Result<()> {
        let mut groups = vec![cause(sources, &self.base, found)];
        groups.extend(repairs(sources, &self.base, found));
        let drawn = self.renderer.render(&groups);
        // Blanks at line ends would be lost in the first editor that a saved report passes through.
        for line in drawn.lines() {
            writeln!(self.out, "{}", line.trim_end())?;
        }
        writeln!(self.out)
    }
}

/// The headline, the places and the notes.
fn cause<'a>(sources: &'a Sources, base: &str, found: &'a Diagnostic) -> Group<'a> {
    let level = match found.severity() {
        Severity::Error => Level::ERROR,
        Severity::Note => Level::NOTE,
    };
    let mut group =
        Group::with_title(level.primary_title(normalize_untrusted_str(&found.message)).id(found.code.name()));
    for file in files_in_order(found) {
        for labels in pictures(sources.get(file), labels_in(found, file)) {
            let piece = Excerpt::around(sources.get(file), labels.iter().map(|(_, label)| label.span));
            let marks = labels.iter().map(|(kind, label)| {
                let mark = kind.span(piece.whole(label.span).1);
                if label.text.is_empty() { mark } else { mark.label(label.text.as_str()) }
            });
            group = group.element(piece.snippet(piece.text().into(), base).annotations(marks));
        }
    }
    for note in &found.notes {
        group = group.element(Level::NOTE.message(normalize_untrusted_str(note)));
    }
    if let (Some(help), true) = (&found.help, found.suggestions.is_empty()) {
        group = group.element(Level::HELP.message(normalize_untrusted_str(help)));
    }
    group
}

/// One group for each suggested edit, headed by the help.
fn repairs<'a>(sources: &'a Sources, base: &str, found: &'a Diagnostic) -> Vec<Group<'a>> {
    let (certain, guesses): (Vec<&Suggestion>, Vec<_>) =
        found.suggestions.iter().partition(|suggestion| suggestion.confidence == Confidence::Certain);
    let in_order = certain.into_iter().chain(guesses).enumerate();
    in_order
        .map(|(index, suggestion)| {
            let title = match (&found.help, index, suggestion.confidence) {
                (Some(help), 0, _) => help.as_str(),
                (None, 0, Confidence::Certain) => "write this",
                (None, 0, Confidence::NeedsACook) => "perhaps this, if you agree",
                (_, _, Confidence::Certain) => "and this",
                _ => "or this",
            };
            let edit = &suggestion.edit;
            let piece = Excerpt::around(sources.get(edit.span.file), [edit.span]);
            // In another file the picture names a column, which holds for whole lines only.
            let same_file = edit.span.file == found.primary.span.file;
            let (text, range) = if same_file { piece.clipped(edit.span) } else { piece.whole(edit.span) };
            let snippet = piece.snippet(text, base).patch(Patch::new(range, edit.text.as_str()));
            Level::HELP.secondary_title(normalize_untrusted_str(title)).element(snippet)
        })
        .collect()
}

/// The file of the fault first, then the others in the order they are spoken of.
fn files_in_order(found: &Diagnostic) -> Vec<FileId> {
    let mut files = vec![found.primary.span.file];
    for label in &found.related {
        if !files.contains(&label.span.file) {
            files.push(label.span.file);
        }
    }
    files
}

fn labels_in(found: &Diagnostic, file: FileId) -> Vec<(AnnotationKind, &Label)> {
    let primary = std::iter::once((AnnotationKind::Primary, &found.primary));
    let related = found.related.iter().map(|label| (AnnotationKind::Context, label));
    primary.chain(related).filter(|(_, label)| label.span.file == file).collect()
}

/// The labels of a file, in one picture where they fit side by side, else each in its own: a picture is cut to the
/// columns of its labels, and a paragraph written as one line would be shown whole.
fn pictures<'a>(file: &SourceFile, labels: Vec<(AnnotationKind, &'a Label)>) -> Vec<Vec<(AnnotationKind, &'a Label)>> {
    let columns = labels.iter().map(|(_, label)| {
        let end = file.position(label.span.end.min(file.text.len())).column;
        (file.position(label.span.start.min(file.text.len())).column, end + label.text.chars().count())
    });
    let (first, last) = columns.fold((usize::MAX, 0), |(first, last), (a, b)| (first.min(a), last.max(b)));
    if last.saturating_sub(first) <= WIDTH {
        vec![labels]
    } else {
        labels.into_iter().map(|label| vec![label]).collect()
    }
}

/// The lines of a file that a picture shows. Handing over whole files would have each of them read anew for each
/// finding.
struct Excerpt<'a> {
    file: &'a SourceFile,
    start: usize,
    end: usize,
}

impl<'a> Excerpt<'a> {
    fn around(file: &'a SourceFile, spans: impl IntoIterator<Item = Span>) -> Excerpt<'a> {
        let (mut first, mut last) = (usize::MAX, 0);
        for span in spans {
            first = first.min(span.start);
            last = last.max(span.end);
        }
        let first = first.min(file.text.len());
        let start = file.text[..first].rfind('\n').map_or(0, |at| at + 1);
        let last = last.clamp(first, file.text.len());
        let end = file.text[last..].find('\n').map_or(file.text.len(), |at| last + at);
        Excerpt { file, start, end }
    }

    fn text(&self) -> &'a str {
        &self.file.text[self.start..self.end]
    }

    /// The lines as they are, and where a place stands in them.
    fn whole(&self, span: Span) -> (Cow<'a, str>, Range<usize>) {
        let end = span.end.min(self.end);
        (self.text().into(), span.start.min(end) - self.start..end - self.start)
    }

    /// The words around a place if its lines are long: the renderer trims lines with marks, but not repairs, and a
    /// paragraph is often one line.
    fn clipped(&self, span: Span) -> (Cow<'a, str>, Range<usize>) {
        const AROUND: usize = 36;
        let (text, range) = self.whole(span);
        if text.lines().all(|line| line.chars().count() <= WIDTH - 10) {
            return (text, range);
        }
        let (before, after) = (&text[..range.start], &text[range.end..]);
        let mut shown = String::new();
        match before.char_indices().rev().nth(AROUND) {
            Some((at, _)) => {
                let word = before[at..].find(' ').map_or(at, |space| at + space);
                shown.push_str("...");
                shown.push_str(&before[word..]);
            }
            None => shown.push_str(before),
        }
        let start = shown.len();
        shown.push_str(&text[range.clone()]);
        let end = shown.len();
        match after.char_indices().nth(AROUND) {
            Some((at, _)) => {
                shown.push_str(&after[..after[..at].rfind(' ').map_or(at, |space| space + 1)]);
                shown.push_str("...");
            }
            None => shown.push_str(after),
        }
        (shown.into(), start..end)
    }

    fn snippet<T: Clone>(&self, text: Cow<'a, str>, base: &str) -> Snippet<'a, T> {
        let path = normalize_untrusted_str(&shown_path(base, &self.file.path));
        Snippet::source(text).line_start(self.file.position(self.start).line).path(path)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Code;

    const PLAIN: Look = Look { colour: false, unicode: false };

    fn drawn(sources: &Sources, found: &Diagnostic, look: Look) -> String {
        let mut out = Vec::new();
        let mut human = Human::new(&mut out, "", look);
        human.emit(sources, found).unwrap();
        human.finish().unwrap();
        String::from_utf8(out).unwrap()
    }

    fn place(sources: &Sources, file: FileId, words: &str) -> Span {
        let at = sources.get(file).text.find(words).unwrap();
        Span::new(file, at..at + words.len())
    }

    /// A lesson and a table, and a finding that touches both.
    fn disagreement() -> (Sources, Diagnostic) {
        let mut sources = Sources::default();
        let text = "# Curd\n\n```step\nto = \"92 °C\"\n```\n\nHeat ½ of\tit to 95 °C (198 °F).\n";
        let lesson = sources.add("02-curd/lesson.md", text);
        let facts = sources.add("facts.toml", "[[fact]]\nid = \"scald\"\n");
        let said = place(&sources, lesson, "95 °C");
        let found = Diagnostic::new(Code::Disagrees, "the words say 95 °C, the step 92 °C", said)
            .label("in these words")
            .related(place(&sources, lesson, "92 °C"), "the step's `to`")
            .related(place(&sources, facts, "\"scald\""), "a fact")
            .note("92 °C is 197.6 °F")
            .help("write 92 °C, or change the step")
            .suggest(place(&sources, lesson, "92 °C"), "95 °C", Confidence::NeedsACook)
            .suggest(said, "92 °C", Confidence::Certain);
        (sources, found)
    }

    #[test]
    fn both_places_are_underlined_and_the_sure_repair_comes_first() {
        let (sources, found) = disagreement();
        let expected = r#"
error[disagrees]: the words say 95 °C, the step 92 °C
 --> 02-curd/lesson.md:7:17
  |
4 | to = "92 °C"
  |       ----- the step's `to`
...
7 | Heat ½ of    it to 95 °C (198 °F).
  |                    ^^^^^ in these words
  |
 ::: facts.toml:2:6
  |
2 | id = "scald"
  |      ------- a fact
  |
  = note: 92 °C is 197.6 °F
help: write 92 °C, or change the step
  |
7 - Heat ½ of    it to 95 °C (198 °F).
7 + Heat ½ of    it to 92 °C (198 °F).
  |
help: or this
  |
4 - to = "92 °C"
4 + to = "95 °C"
  |

"#;
        assert_eq!(drawn(&sources, &found, PLAIN), expected.trim_start());
    }

    #[test]
    fn unicode_lines_and_colours_can_be_chosen() {
        let (sources, found) = disagreement();
        let unicode = drawn(&sources, &found, Look { colour: false, unicode: true });
        assert!(unicode.contains("━━━━━ in these words") && !unicode.contains("^^^^^"), "{unicode}");
        let colour = drawn(&sources, &found, Look { colour: true, unicode: false });
        assert!(colour.contains("\u{1b}[") && colour.contains("^^^^^"), "{colour}");
        assert!(!drawn(&sources, &found, PLAIN).contains('\u{1b}'));
    }

    #[test]
    fn wide_letters_take_two_columns_and_help_may_have_several_lines() {
        let mut sources = Sources::default();
        let file = sources.add("a.md", "塩 9 g\n");
        let found = Diagnostic::new(Code::RiskySpelling, "what is this", place(&sources, file, "9 g"))
            .help("first\nsecond \u{1b}[31m");
        let expected = "
note[risky-spelling]: what is this
 --> a.md:1:3
  |
1 | 塩 9 g
  |    ^^^
  |
  = help: first
          second ␛[31m

";
        assert_eq!(drawn(&sources, &found, PLAIN), expected.trim_start());
    }

    #[test]
    fn a_place_of_many_lines_is_bracketed() {
        let mut sources = Sources::default();
        let file = sources.add("a.md", "# A\n\n```step\nto = 1\n");
        let span = Span::new(file, 5..sources.get(file).text.len());
        let expected = "
error[open-fence]: never closed
 --> a.md:3:1
  |
3 | / ```step
4 | | to = 1
  | |_______^

";
        let found = Diagnostic::new(Code::OpenFence, "never closed", span);
        assert_eq!(drawn(&sources, &found, PLAIN), expected.trim_start());
    }

    #[test]
    fn a_paragraph_on_one_line_is_shown_around_the_words_in_question() {
        let mut sources = Sources::default();
        let text = format!("{}pour in 5 litres of whole milk and {}\n", "so much ".repeat(20), "on and on ".repeat(20));
        let file = sources.add("a.md", &text);
        let said = place(&sources, file, "5 litres");
        let found =
            Diagnostic::new(Code::Disagrees, "five or four", said).suggest(said, "4 litres", Confidence::Certain);
        let expected = "
error[disagrees]: five or four
 --> a.md:1:169
  |
1 | ... so much so much so much so much pour in 5 litres of whole milk and on and on on and on on...
  |                                             ^^^^^^^^
  |
help: write this
  |
1 - ... so much so much so much pour in 5 litres of whole milk and on and on on and ...
1 + ... so much so much so much pour in 4 litres of whole milk and on and on on and ...
  |

";
        assert_eq!(drawn(&sources, &found, PLAIN), expected.trim_start());
    }

    #[test]
    fn the_end_of_a_file_can_be_pointed_at() {
        let mut sources = Sources::default();
        for text in ["", "\n", "one", "one\n", "one\n\n\n", "½", "塩\t"] {
            let file = sources.add("a.md", text);
            for at in [0, text.len()] {
                let span = Span::new(file, at..at);
                let found = Diagnostic::new(Code::NoLessons, "nothing here", span).label("here");
                let picture = drawn(&sources, &found, PLAIN);
                let place = sources.get(file).position(at);
                assert!(picture.contains(&format!("--> a.md:{}:{}\n", place.line, place.column)), "{picture}");
                assert!(picture.contains("^ here"), "{picture}");
                let found = found.suggest(span, "new\nlines\n", Confidence::Certain);
                assert!(drawn(&sources, &found, PLAIN).contains("lines"), "{text:?}");
            }
        }
    }
}
