//! `course.toml`: title, summary, home, language and conventions of a course, and what it publishes on paper.

use super::class::read_class;
use super::model::{CardsWanted, ClassWanted, HandoutWanted, Visible, block_run};
use super::papers::{read_address, read_cards, read_handouts};
use super::table::{Fields, choice, list, text};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::keys::{Entry, Text, parse_table, whole_file};
use crate::lesson::Run;
use crate::quantity::Home;
use crate::source::{FileId, Sources, Span};

const COURSE: &[&str] = &[
    "title",
    "summary",
    "home",
    "language",
    "conventions",
    "address",
    "author",
    "cards",
    "handouts",
    "class",
    "kitchen",
];

/// What the file says, and what holds where it says nothing.
pub(super) struct CourseFile {
    pub title: String,
    pub summary: Option<Visible>,
    pub home: Home,
    pub language: String,
    /// Ids of the trade conventions it keeps to.
    pub conventions: Vec<Text>,
    pub address: Option<String>,
    pub author: Option<String>,
    pub cards: Option<Vec<CardsWanted>>,
    pub handouts: Option<Vec<HandoutWanted>>,
    /// The kitchen it is taught in: read once the units are known.
    pub kitchen: Option<Entry>,
    pub class: Option<ClassWanted>,
    pub runs: Vec<Run>,
}

impl Default for CourseFile {
    fn default() -> CourseFile {
        CourseFile {
            title: String::new(),
            summary: None,
            home: Home::Uk,
            language: "en-GB".to_owned(),
            conventions: Vec::new(),
            address: None,
            author: None,
            cards: None,
            handouts: None,
            kitchen: None,
            class: None,
            runs: Vec::new(),
        }
    }
}

/// Reads a course's settings.
pub(super) fn read_course(sources: &Sources, file: FileId, sink: &mut Diagnostics) -> CourseFile {
    let body = whole_file(sources, file);
    let (table, broken) = parse_table(&body, sink);
    let first_line = Span::new(file, 0..body.text.lines().next().map_or(0, str::len));
    let fields = Fields::new(&table, first_line, "course.toml", COURSE, sink).with_losses(broken);
    let mut course = CourseFile::default();
    if let Some(entry) = fields.required("title", "\"Saltmarsh Hall\"", sink)
        && let Some(title) = text("title", &entry.value, "Saltmarsh Hall", sink)
    {
        course.runs.push(block_run(title, None));
        course.title = title.text.trim().to_owned();
    }
    if let Some(entry) = fields.get("summary")
        && let Some(summary) = text("summary", &entry.value, "Eight evenings of milk, flour and salt.", sink)
    {
        course.runs.push(block_run(summary, None));
        course.summary = Some(summary.clone());
    }
    if let Some(entry) = fields.get("home") {
        let homes: Vec<&str> = Home::ALL.iter().map(|home| home.name()).collect();
        course.home = choice("home", &entry.value, &homes, sink).and_then(Home::from_name).unwrap_or(Home::Uk);
    }
    if let Some(entry) = fields.get("language")
        && let Some(language) = text("language", &entry.value, "en-GB", sink)
    {
        if is_language_tag(&language.text) {
            course.language = language.text.clone();
        } else {
            let span = language.home(0..language.text.len());
            let message = format!("`{}` is not a language tag", language.text);
            sink.push(Diagnostic::new(Code::WrongType, message, span).help("write it like `en-GB` or `fr`"));
        }
    }
    if let Some(entry) = fields.get("conventions") {
        let items = list("conventions", &entry.value, "[\"ounce-25\"]", sink);
        course.conventions =
            items.iter().filter_map(|item| text("conventions", item, "ounce-25", sink)).cloned().collect();
    }
    course.address = fields.get("address").and_then(|entry| read_address(entry, sink));
    let author = fields.get("author").and_then(|entry| text("author", &entry.value, "Saltmarsh Hall", sink));
    course.author = author.map(|author| author.text.trim().to_owned()).filter(|author| !author.is_empty());
    course.cards = fields.get("cards").map(|entry| read_cards(entry, sink));
    course.handouts = fields.get("handouts").map(|entry| read_handouts(entry, sink));
    course.kitchen = fields.get("kitchen").cloned();
    course.class = fields.get("class").and_then(|entry| read_class(entry, sink));
    course
}

/// Two or three letters, then parts of letters and digits joined by hyphens, as RFC 5646 has it.
fn is_language_tag(text: &str) -> bool {
    let mut parts = text.split('-');
    let first = parts.next().unwrap_or("");
    matches!(first.len(), 2..=3)
        && first.chars().all(|letter| letter.is_ascii_alphabetic())
        && parts.all(|part| matches!(part.len(), 1..=8) && part.chars().all(|letter| letter.is_ascii_alphanumeric()))
}
