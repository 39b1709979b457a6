//! Captions of a recording: WebVTT and SRT into cues, and one text of all that is spoken.
//!
//! A cue ends where a line on the screen ends, not where a sentence does: `ninety | two degrees` is one figure. So the
//! words of all cues are joined, with one blank between neighbours, and every letter keeps its way home.
//!
//! Source: WebVTT: The Web Video Text Tracks Format (W3C). SRT has no standard; what is read here is common practice.

mod time;
mod words;

pub use time::Seconds;

use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::source::{FileId, MappedText, Sources, Span};
use std::ops::Range;
use time::Clock;

/// What kind of caption file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Format {
    /// `.vtt`
    WebVtt,
    /// `.srt`
    SubRip,
}

impl Format {
    /// By the ending of a file's name.
    pub fn of(path: &str) -> Format {
        let srt = path.rsplit('.').next().is_some_and(|end| end.eq_ignore_ascii_case("srt"));
        if srt { Format::SubRip } else { Format::WebVtt }
    }

    /// The ending of a file's name.
    pub fn extension(self) -> &'static str {
        match self {
            Format::WebVtt => "vtt",
            Format::SubRip => "srt",
        }
    }

    fn clock(self) -> Clock {
        match self {
            Format::WebVtt => Clock::WebVtt,
            Format::SubRip => Clock::SubRip,
        }
    }
}

/// What is spoken while one line stands on the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cue {
    /// Its number in the file, from 1.
    pub number: usize,
    /// The id that stands over it; in SRT mostly a number.
    pub id: Option<String>,
    /// When it begins.
    pub start: Seconds,
    /// When it ends.
    pub end: Seconds,
    /// From its times to the end of its words.
    pub place: Span,
    /// Its words in the joined text.
    pub words: Range<usize>,
}

impl Cue {
    /// The middle of it, which tells best what it belongs to where cues overlap a little.
    pub fn middle(&self) -> Seconds {
        Seconds::from_thousandths((self.start.thousandths() + self.end.thousandths()) / 2)
    }

    /// `cue 7`, with its id where that says something else.
    pub fn name(&self) -> String {
        match &self.id {
            Some(id) if *id != self.number.to_string() => format!("cue {} (“{id}”)", self.number),
            _ => format!("cue {}", self.number),
        }
    }
}

/// A caption file.
#[derive(Debug, Clone, PartialEq)]
pub struct Captions {
    /// Its file.
    pub file: FileId,
    /// What kind.
    pub format: Format,
    /// The cues, in order of the file.
    pub cues: Vec<Cue>,
    /// All that is spoken: the words of the cues, one blank between neighbours.
    pub words: MappedText,
}

impl Captions {
    /// The cues that a place in the file touches, first to last.
    pub fn cues_at(&self, span: Span) -> &[Cue] {
        if span.file != self.file {
            return &[];
        }
        let first = self.cues.partition_point(|cue| cue.place.end <= span.start);
        let len = self.cues[first..].partition_point(|cue| cue.place.start < span.end.max(span.start + 1));
        &self.cues[first..first + len]
    }

    /// When the last words have been spoken.
    pub fn end(&self) -> Seconds {
        self.cues.iter().map(|cue| cue.end).max().unwrap_or_default()
    }
}

/// Parses a caption file. Never fails: what is wrong goes to the sink.
pub fn parse_captions(sources: &Sources, file: FileId, sink: &mut Diagnostics) -> Captions {
    let source = sources.get(file);
    let format = Format::of(&source.path);
    let captions = Captions { file, format, cues: Vec::new(), words: MappedText::new(file) };
    let mut reader = Reader { text: &source.text, captions, latest: Seconds::default(), sink };
    reader.read();
    reader.captions
}

struct Reader<'a> {
    text: &'a str,
    captions: Captions,
    /// The latest beginning of a cue so far.
    latest: Seconds,
    sink: &'a mut Diagnostics,
}

impl Reader<'_> {
    fn read(&mut self) {
        let lines = lines(self.text);
        let mut at = if self.captions.format == Format::WebVtt { self.header(&lines) } else { 0 };
        while at < lines.len() {
            if self.is_empty(&lines[at]) {
                at += 1;
                continue;
            }
            let len = self.block_len(&lines[at..]);
            self.block(&lines[at..at + len]);
            at += len;
        }
        let told = self.sink.iter().any(|found| found.primary.span.file == self.captions.file);
        if self.captions.cues.is_empty() && !told {
            let end = lines.first().map_or(0, |line| line.end);
            let example = self.captions.format.clock().example();
            self.fault(0..end, "this caption file holds no words", "").help(&format!(
                "write cues: a line such as `{example} --> {}`, and under it what is said",
                example.replace("12", "15")
            ));
        }
    }

    /// The line that every WebVTT file opens with, and what belongs to it; where the cues begin.
    fn header(&mut self, lines: &[Range<usize>]) -> usize {
        let first = lines.first().cloned().unwrap_or(0..0);
        let rest = self.text[first.clone()].strip_prefix("WEBVTT");
        if !rest.is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t'])) {
            self.fault(first, "the first line of these captions is not `WEBVTT`", "players would refuse the file")
                .help("write `WEBVTT` on the first line, and leave the second empty");
            // A misspelt first line is no second slip.
            let len = lines.iter().position(|line| self.is_empty(line)).unwrap_or(lines.len());
            return if lines.iter().take(len.min(2)).any(|line| self.is_timing(line)) { 0 } else { len };
        }
        let more = lines[1..].iter().take_while(|line| !self.is_empty(line) && !self.is_timing(line));
        1 + more.count()
    }

    /// In WebVTT only a line without any sign is empty; SRT is written by hand, and blanks are not seen.
    fn is_empty(&self, line: &Range<usize>) -> bool {
        match self.captions.format {
            Format::WebVtt => line.is_empty(),
            Format::SubRip => self.text[line.clone()].trim().is_empty(),
        }
    }

    fn is_timing(&self, line: &Range<usize>) -> bool {
        self.text[line.clone()].contains("-->")
    }

    /// Lines up to the next empty one, or up to a cue that begins without one.
    fn block_len(&self, lines: &[Range<usize>]) -> usize {
        let len = lines.iter().position(|line| self.is_empty(line)).unwrap_or(lines.len());
        let timings: Vec<usize> = (0..len).filter(|at| self.is_timing(&lines[*at])).take(2).collect();
        let (head, next) = match timings[..] {
            // So far down it is no longer this block's own: even in a comment a player takes it for a new cue.
            [first, ..] if first > 1 => (0, first),
            [first, second] => (first, second),
            _ => return len,
        };
        let number = self.text[lines[next - 1].clone()].trim();
        let has_number = next - 1 > head && !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit());
        if has_number { next - 1 } else { next }
    }

    fn block(&mut self, lines: &[Range<usize>]) {
        let first = &self.text[lines[0].clone()];
        let timing = lines.iter().take(2).position(|line| self.is_timing(line));
        match timing {
            Some(at) => self.cue(lines, at),
            None if self.captions.format == Format::WebVtt && is_aside(first) => {}
            None => {
                let example = self.captions.format.clock().example();
                self.fault(lines[0].clone(), "these lines of the captions have no time", "never shown by a player")
                    .help(&format!("put a line such as `{example} --> {}` over them", example.replace("12", "15")));
            }
        }
    }

    fn cue(&mut self, lines: &[Range<usize>], timing: usize) {
        let line = lines[timing].clone();
        // An empty line is missing before a block that begins right where the last one ended.
        let head = lines[0].start;
        if self.captions.cues.last().is_some_and(|cue| cue.place.end + 1 == head) {
            self.fault(line.clone(), "no empty line stands before this cue", "read as words of the cue before it")
                .help("leave a line empty between two cues");
        }
        let id = (timing == 1).then(|| self.text[lines[0].clone()].trim().to_owned());
        let (start, end) = self.times(&line);
        let words = self.words(&lines[timing + 1..]);
        let place = Span::new(self.captions.file, line.start..lines[lines.len() - 1].end);
        let number = self.captions.cues.len() + 1;
        self.captions.cues.push(Cue { number, id, start, end, place, words });
    }

    /// Adds the lines of a cue to what is spoken; where they stand in it.
    fn words(&mut self, lines: &[Range<usize>]) -> Range<usize> {
        let words = &mut self.captions.words;
        let (Some(first), Some(last)) = (lines.first(), lines.last()) else {
            return words.text.len()..words.text.len();
        };
        if !words.text.is_empty() {
            // The line end before the cue stands for the blank, so that edits and marks never touch its times.
            words.push(" ", first.start - 1..first.start);
        }
        let (from, format) = (words.text.len(), self.captions.format);
        let payload = &self.text[first.start..last.end];
        words::push_payload(words, payload, first.start, format);
        let words = from..words.text.len();
        if let Some(open) = words::open_tag(payload).filter(|_| format == Format::WebVtt) {
            let open = first.start + open;
            let line = lines.iter().find(|line| line.end > open).map_or(last.end, |line| line.end);
            self.fault(open..line, "a `<` in this cue is never closed", "nothing is shown from here on")
                .help("write `&lt;` for the sign itself, or close the tag with `>`");
        }
        words
    }

    /// Both times of a cue. Where one cannot be read the cue begins where the last one ended: its words are read all
    /// the same.
    fn times(&mut self, line: &Range<usize>) -> (Seconds, Seconds) {
        let text = &self.text[line.clone()];
        let arrow = text.find("-->").unwrap_or(text.len());
        let after = (arrow + "-->".len()).min(text.len());
        let start = word_in(text, 0..arrow);
        let end = word_in(text, after..text.len());
        // Settings may follow the second time.
        let end = end.start..text[end.clone()].find([' ', '\t']).map_or(end.end, |len| end.start + len);
        let clock = self.captions.format.clock();
        let mut read = [Seconds::default(); 2];
        for (slot, range) in read.iter_mut().zip([&start, &end]) {
            match clock.read(&text[range.clone()]) {
                Some(moment) => *slot = moment,
                None => {
                    let place = if range.is_empty() { line.clone() } else { shifted(range, line.start) };
                    self.bad_time(place);
                    let last = self.captions.cues.last().map_or(Seconds::default(), |cue| cue.end);
                    return (last, last);
                }
            }
        }
        let [from, to] = read;
        if to <= from {
            self.fault(shifted(&end, line.start), "this cue ends before it has begun", "not after the time before it")
                .help("correct one of its two times");
            return (from, from);
        }
        if from < self.latest {
            let latest = self.latest;
            self.fault(shifted(&start, line.start), "this cue begins before the one above it", "out of order")
                .help(&format!("move it up, or correct its time: an earlier cue begins at {latest}"));
        }
        self.latest = self.latest.max(from);
        (from, to)
    }

    fn bad_time(&mut self, place: Range<usize>) {
        let (text, example) = (self.text[place.clone()].to_owned(), self.captions.format.clock().example());
        self.fault(place, &format!("`{text}` is not a time of a recording"), "")
            .help(&format!("write it like `{example}`"));
    }

    fn fault(&mut self, place: Range<usize>, message: &str, label: &str) -> Fault<'_> {
        let place = Span::new(self.captions.file, place);
        Fault { found: Some(Diagnostic::new(Code::BadCaptions, message, place).label(label)), sink: self.sink }
    }
}

/// A finding that is handed in once it has its help.
struct Fault<'s> {
    found: Option<Diagnostic>,
    sink: &'s mut Diagnostics,
}

impl Fault<'_> {
    fn help(mut self, help: &str) {
        if let Some(found) = self.found.take() {
            self.sink.push(found.help(help));
        }
    }
}

/// Comments, styles and regions of WebVTT.
fn is_aside(line: &str) -> bool {
    let rest = |word: &str| line.strip_prefix(word);
    rest("NOTE").is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t']))
        || ["STYLE", "REGION"].iter().any(|word| rest(word).is_some_and(|rest| rest.trim().is_empty()))
}

/// The lines of a text without their ends. A lone carriage return ends a line too, as WebVTT has it.
fn lines(text: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut start = 0;
    for (at, _) in text.match_indices(['\n', '\r']) {
        found.push(start..at);
        start = at + 1;
    }
    if start < text.len() {
        found.push(start..text.len());
    }
    found
}

/// A range of a text without the blanks at its ends.
fn word_in(text: &str, range: Range<usize>) -> Range<usize> {
    let words = &text[range.clone()];
    let start = range.start + words.len() - words.trim_start().len();
    start..start + words.trim().len()
}

fn shifted(range: &Range<usize>, by: usize) -> Range<usize> {
    range.start + by..range.end + by
}

#[cfg(test)]
#[path = "captions_tests.rs"]
mod tests;
