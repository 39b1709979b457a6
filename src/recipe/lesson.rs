//! A lesson: its lesson block, its recipe, its steps, and all its texts in order.

use super::captions::recording;
use super::care::{Overrule, Sanitiser};
use super::context::{Context, TIME};
use super::glossary::taught;
use super::model::{Aside, Lesson, Measure, Owner, Place, Taught, Term};
use super::names::Names;
use super::step::step_names;
use super::table::{Fields, list, text, wrong_type};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::input::LessonFile;
use crate::lesson::{LessonSyntax, Run, TypedBlock, Value, ValueKind};
use crate::reference::Reference;
use crate::source::Span;
use std::collections::BTreeMap;
use std::sync::Arc;

const LESSON: &[&str] =
    &["summary", "learn", "teaches", "session", "asides", "recording", "sanitiser", "overrules", "published"];
const ASIDE: &[&str] = &["words", "why"];

/// What of the course a lesson is lowered with.
pub(super) struct Surroundings<'a> {
    pub reference: &'a Reference,
    pub place: &'a Place,
    pub terms: &'a [Term],
}

/// Lowers a parsed lesson.
pub(super) fn lower_lesson(
    index: usize,
    file: &LessonFile,
    syntax: LessonSyntax,
    around: &Surroundings<'_>,
    measures: &mut Vec<Arc<Measure>>,
    sink: &mut Diagnostics,
) -> Lesson {
    let Surroundings { reference, place, terms } = *around;
    let Reference { units, pantry, .. } = reference;
    let mut context = Context {
        units,
        pantry,
        lesson: index,
        slug: &file.slug,
        measures,
        runs: Vec::new(),
        unknown_names: BTreeMap::new(),
        sink,
        place,
    };
    for (_, block) in &syntax.terms {
        let found = Diagnostic::new(Code::MisplacedBlock, "a term block stands in a lesson", block.name_span);
        context.sink.push(found.help("move the term to the course's glossary.md"));
    }
    let about = syntax.lesson.as_ref().map_or_else(About::default, |block| context.about(block, terms));
    let mut names = context.names(&syntax);
    let recipe = syntax.recipe.as_ref().map(|block| context.recipe(block, &mut names));
    if recipe.is_none() {
        context.miss_recipe(&syntax, &mut names);
    }
    let ingredients = recipe.as_ref().map_or(&[][..], |recipe| &recipe.ingredients);
    let mut steps = Vec::new();
    for (at, step) in syntax.steps.iter().enumerate() {
        let title = syntax.headings[step.heading].text.text.trim();
        steps.push(context.step(at, step, title, ingredients, &names));
    }
    let sums = syntax.sums.iter().enumerate().map(|(at, block)| context.sum(at, block)).collect();
    for found in std::mem::take(&mut context.unknown_names).into_values() {
        context.sink.push(found);
    }
    let (title, title_span) = title(&syntax, file);
    Lesson {
        slug: file.slug.clone(),
        folder: file.folder.clone(),
        file: file.file,
        title,
        title_span,
        summary: about.summary,
        learn: about.learn,
        teaches: about.teaches,
        asides: about.asides,
        sanitiser: about.sanitiser,
        overrules: about.overrules,
        published: about.published,
        session: about.session,
        recipe,
        steps,
        sums,
        runs: in_order(syntax.runs, context.runs),
        headings: syntax.headings,
        title_heading: syntax.title,
        body: syntax.body,
        links: syntax.links,
        recording: about.recording,
        captions: Vec::new(),
    }
}

fn title(syntax: &LessonSyntax, file: &LessonFile) -> (String, Span) {
    match syntax.title.map(|title| &syntax.headings[title]) {
        Some(heading) => (heading.text.text.trim().to_owned(), heading.text.home(0..heading.text.text.len())),
        None => (file.slug.clone(), Span::new(file.file, 0..0)),
    }
}

fn in_order(mut runs: Vec<Run>, blocks: Vec<Run>) -> Vec<Run> {
    runs.extend(blocks);
    runs.sort_by_key(|run| run.text.home(0..1).start);
    runs
}

/// What a lesson block says.
#[derive(Default)]
struct About {
    summary: Option<super::Visible>,
    learn: Vec<super::Visible>,
    teaches: Vec<Taught>,
    session: Option<super::MeasureId>,
    asides: Vec<Aside>,
    sanitiser: Option<Sanitiser>,
    overrules: Vec<Overrule>,
    recording: Option<String>,
    published: Option<String>,
}

impl Context<'_> {
    /// The names of steps, and what else can be trusted before the recipe is read.
    fn names(&mut self, syntax: &LessonSyntax) -> Names {
        // What stood in a block that was refused or left open can be named, and is lost.
        let complete = !self.sink.iter().any(|found| {
            matches!(found.code, Code::MisplacedBlock | Code::OpenFence) && found.primary.span.file == syntax.file
        });
        let (steps, sure) = step_names(syntax, self.sink);
        Names {
            steps,
            sure_of_ingredients: complete,
            sure_of_equipment: complete,
            sure_of_steps: complete && sure,
            ..Names::default()
        }
    }

    /// Says once that steps take things from a recipe which is not there.
    fn miss_recipe(&mut self, syntax: &LessonSyntax, names: &mut Names) {
        let complete = std::mem::replace(&mut names.sure_of_ingredients, false) && names.sure_of_equipment;
        names.sure_of_equipment = false;
        let entries = syntax.steps.iter().flat_map(|step| &step.block.body.entries);
        let first = entries.into_iter().find(|entry| matches!(entry.key.as_str(), "add" | "in"));
        if let Some(entry) = first.filter(|_| complete) {
            let message = format!("`{}` names things of a recipe, and this lesson has no recipe block", entry.key);
            let found = Diagnostic::new(Code::UnknownName, message, entry.key_span);
            self.sink.push(found.help("add a recipe block that lists them, or correct the word after its fence"));
        }
    }

    fn about(&mut self, block: &TypedBlock, terms: &[Term]) -> About {
        let fields = Fields::of_block(block, "a lesson block", LESSON, self.sink);
        let mut about = About::default();
        if let Some(entry) = fields.get("summary") {
            about.summary = self.visible_text("summary", &entry.value, "Milk, lemon juice and a clean cloth.", None);
        }
        if let Some(entry) = fields.get("learn") {
            for item in list("learn", &entry.value, "[\"tell curd from whey\"]", self.sink) {
                about.learn.extend(self.visible_text("learn", item, "tell curd from whey", None));
            }
        }
        if let Some(entry) = fields.get("teaches") {
            for item in list("teaches", &entry.value, "[\"clean break\"]", self.sink) {
                let words = text("teaches", item, "clean break", self.sink);
                about.teaches.extend(words.and_then(|words| taught(words, terms, self.sink)));
            }
        }
        if let Some(entry) = fields.get("session") {
            let owner = Owner::Session { lesson: self.lesson };
            about.session = self.measured("session", &entry.value, TIME, "session", owner);
        }
        if let Some(entry) = fields.get("asides") {
            for item in list("asides", &entry.value, "[\"200 litres a day\"]", self.sink) {
                about.asides.extend(self.aside(item));
            }
        }
        about.sanitiser = fields.get("sanitiser").and_then(|entry| self.sanitiser(entry));
        about.overrules = fields.get("overrules").map_or_else(Vec::new, |entry| self.overrules(entry));
        about.published = fields.get("published").and_then(|entry| published(&entry.value, self.sink));
        about.recording = fields.get("recording").and_then(|entry| recording(&entry.value, self.sink));
        about
    }

    fn aside(&mut self, value: &Value) -> Option<Aside> {
        let (words, why) = match &value.kind {
            ValueKind::Text(_) => (value, None),
            ValueKind::Table(table) => {
                let fields = Fields::new(table, value.span, "an aside", ASIDE, self.sink);
                let words = fields.required("words", "\"200 litres a day\"", self.sink)?;
                let why = fields.get("why").and_then(|entry| text("why", &entry.value, "history", self.sink));
                (&words.value, why.map(|why| why.text.clone()))
            }
            _ => {
                wrong_type("asides", value, "the exact words in quotes", "asides = [\"200 litres a day\"]", self.sink);
                return None;
            }
        };
        let text = text("words", words, "200 litres a day", self.sink)?;
        Some(Aside { words: text.text.clone(), why, span: text.home(0..text.text.len()) })
    }
}

/// A day as RFC 3339 writes a full date: `2026-11-25`.
fn published(value: &Value, sink: &mut Diagnostics) -> Option<String> {
    const WRITE: &str = "2026-11-25";
    let written = text("published", value, WRITE, sink)?;
    if is_full_date(&written.text) {
        return Some(written.text.clone());
    }
    let span = written.home(0..written.text.len());
    let message = format!("`{}` is no day of the calendar", written.text);
    let help = format!("write year, month and day, like `published = \"{WRITE}\"`");
    sink.push(Diagnostic::new(Code::WrongType, message, span).help(help));
    None
}

/// Source: RFC 3339, section 5.6 (`full-date`) and appendix C (leap years).
fn is_full_date(text: &str) -> bool {
    let digits = |part: &str, count: usize| part.len() == count && part.bytes().all(|digit| digit.is_ascii_digit());
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts.as_slice() else { return false };
    if !digits(year, 4) || !digits(month, 2) || !digits(day, 2) {
        return false;
    }
    let number = |part: &str| part.parse::<u32>().unwrap_or(0);
    let (year, month, day) = (number(year), number(month), number(day));
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 => 28 + u32::from(leap),
        _ => 0,
    };
    (1..=days).contains(&day)
}

#[cfg(test)]
mod tests {
    use super::is_full_date;

    #[test]
    fn a_day_is_one_of_the_calendar() {
        for day in ["2026-11-25", "2024-02-29", "2000-02-29", "0001-01-01"] {
            assert!(is_full_date(day), "{day}");
        }
        // RFC 3339, appendix C: 1900 was no leap year.
        for other in [
            "2026-02-29",
            "1900-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-04-31",
            "26-11-25",
            "2026-1-5",
            "2026-11-25T10:00:00Z",
            "25.11.2026",
            "",
        ] {
            assert!(!is_full_date(other), "{other}");
        }
    }
}
