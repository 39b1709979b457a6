//! Faults of templates as findings, at the words in the course's own file.

use super::theme::PREFIX;
use crate::diag::{Code, Diagnostic};
use crate::input::Project;
use crate::source::{FileId, Span};
use std::ops::Range;
use tera::ErrorKind;

/// What is wrong with a template.
pub(super) struct Fault {
    /// Its name, where it is known.
    template: Option<String>,
    message: String,
    /// What could stand there instead.
    note: Option<String>,
    /// Where in its text.
    at: Option<Place>,
}

enum Place {
    Bytes(Range<usize>),
    /// Line and column, both from 1, and how many letters.
    Letters {
        line: usize,
        column: usize,
        count: usize,
    },
}

impl Fault {
    /// Our words for a message: its first line, in lower case, without a full stop.
    fn new(template: Option<&str>, message: &str, at: Option<Place>) -> Fault {
        let line = message.lines().next().unwrap_or(message).trim();
        let (line, note) = match line.split_once(". Available ") {
            Some((line, rest)) => {
                (line, rest.split_once(": ").map(|(_, names)| format!("these can stand there: {names}")))
            }
            None => (line, None),
        };
        let mut letters = line.trim_end_matches('.').chars();
        let message: String =
            letters.next().map_or(String::new(), |first| first.to_lowercase().chain(letters).collect());
        let message = match message.as_str() {
            "unexpected end of input" => "it ends before all its tags and blocks are closed".to_owned(),
            _ => message,
        };
        Fault { template: template.map(str::to_owned), message, note, at }
    }

    /// All faults that an error tells of.
    pub(super) fn all(error: &tera::Error) -> Vec<Fault> {
        let of = |template: &str, message: &str| Fault::new(Some(template), message, None);
        let one = match error.kind() {
            ErrorKind::SyntaxError(report) | ErrorKind::RenderingError(report) => {
                let at = Place::Bytes(report.span().range.clone());
                Fault::new(Some(report.filename()), report.message(), Some(at))
            }
            ErrorKind::MissingParent { current, parent } => {
                of(current, &format!("it extends `{}`, and there is no such template", plain_name(parent)))
            }
            ErrorKind::CircularExtend { tpl, .. } => of(tpl, "it extends itself in a circle"),
            ErrorKind::CircularInclude { tpl, .. } => of(tpl, "it includes itself in a circle"),
            _ => {
                let text = error.to_string();
                let drawn = Fault::drawn(&text);
                if !drawn.is_empty() {
                    return drawn;
                }
                let template = text.split(['`', '\'', '"']).find(|word| word.ends_with(".html"));
                Fault::new(template, &text, None)
            }
        };
        vec![one]
    }

    /// Unknown filters and the like come only as drawn text: a headline, `--> name:line:column`, a line of carets.
    fn drawn(text: &str) -> Vec<Fault> {
        let parts = text.split("error: ").skip(1);
        parts
            .filter_map(|part| {
                let place = part.lines().find_map(|line| line.trim_start().strip_prefix("--> "))?;
                let mut numbers = place.rsplitn(3, ':');
                let (column, line) = (numbers.next()?.parse().ok()?, numbers.next()?.parse().ok()?);
                let count = part.matches('^').count();
                Some(Fault::new(numbers.next(), part, Some(Place::Letters { line, column, count })))
            })
            .collect()
    }

    /// The finding, at the words in the course's own template.
    pub(super) fn finding(&self, project: &Project) -> Diagnostic {
        let name = self.template.as_deref();
        let shown = name.map_or("the theme".to_owned(), |name| format!("the template `{}`", plain_name(name)));
        let message = format!("{shown} cannot be used: {}", self.message);
        let mut found = Diagnostic::new(Code::BrokenTemplate, message, self.span(project))
            .help("mend the template, or take it out of `theme/` to use the built-in one");
        found.notes.extend(self.note.clone());
        match name {
            Some(name) if name.starts_with(PREFIX) => {
                found.note("it shows in a template of the built-in theme, which leans on one of the course's own")
            }
            _ => found,
        }
    }

    fn span(&self, project: &Project) -> Span {
        let own = self.template.as_deref().and_then(|name| project.theme.get(name)).copied();
        let file = own.or_else(|| project.theme.values().next().copied()).or(project.course).unwrap_or(FileId(0));
        // A project without any text has no place to point at; the range is then empty.
        let text = project.sources.iter().find(|(id, _)| *id == file).map_or("", |(_, file)| &file.text);
        let at = self.at.as_ref().filter(|_| own.is_some()).map(|place| place.bytes(text));
        let first_line = 0..text.find('\n').unwrap_or(text.len());
        Span::new(file, at.filter(|range| text.get(range.clone()).is_some()).unwrap_or(first_line))
    }
}

impl Place {
    fn bytes(&self, text: &str) -> Range<usize> {
        match self {
            Place::Bytes(range) => range.clone(),
            Place::Letters { line, column, count } => {
                let start: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
                let letters = |from: usize, count: usize| -> usize {
                    let rest = text.get(from..).unwrap_or("");
                    rest.char_indices().nth(count).map_or(text.len(), |(at, _)| from + at)
                };
                let from = letters(start, column.saturating_sub(1));
                from..letters(from, *count)
            }
        }
    }
}

fn plain_name(name: &str) -> &str {
    name.strip_prefix(PREFIX).unwrap_or(name)
}
