//! The demo course, every figure in its words, and the same lessons with some words changed.

use crate::meaning::{self, Manner, Model};
use crate::written::{Kind, Written};
use pottle::check::{Binding, LedgerEntry};
use pottle::diag::{Code, Diagnostic, Severity};
use pottle::input::Picture;
use pottle::quantity::{Amount, Dimension, System};
use pottle::recipe::{Course, MeasureId, Owner};
use pottle::source::Span;
use pottle::{Checked, Project, check, read_project};
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

pub struct Lesson {
    /// `02-pressed-curd`.
    pub folder: String,
    pub text: String,
    /// Every measure of the lesson's model.
    pub measures: Vec<Model>,
    /// Its declared asides, which must stand in the text to be no error themselves.
    asides: Vec<String>,
}

/// A figure in the words.
pub struct Place {
    pub lesson: usize,
    pub line: usize,
    pub range: Range<usize>,
    pub text: String,
    pub written: Written,
    pub model: Model,
    pub manner: Manner,
    /// Whether it stands in a step.
    pub in_step: bool,
    /// The other half, of a pair.
    pub partner: Option<(Range<usize>, Written)>,
    /// Whether it is the first half, or no pair at all.
    pub leads: bool,
    /// Whether it stands in a text of a block, where there is no Markdown.
    pub in_block: bool,
}

pub struct Demo {
    pub lessons: Vec<Lesson>,
    pub places: Vec<Place>,
    /// `course.toml` and the other tables of the course.
    tables: Vec<(String, String)>,
    pictures: BTreeMap<String, Picture>,
}

/// Words of one lesson that change.
#[derive(Debug, Clone)]
pub struct Change {
    pub lesson: usize,
    pub edits: Vec<(Range<usize>, String)>,
}

/// What came of a changed lesson.
#[derive(Debug, Clone, Default)]
pub struct Outcome {
    pub errors: Vec<Found>,
    /// The line of every figure that was read and states a measure rightly.
    pub agreeing: Vec<usize>,
}

/// How much of a changed lesson is read again.
#[derive(Debug, Clone, Copy)]
pub enum How {
    Whole,
    /// All blocks and headings, but of the prose only the section that changed: a figure is held to the blocks. Only
    /// whether a measure is stated anywhere depends on the rest, so what is said to be unstated is read again whole.
    /// A test compares the two.
    Section,
}

/// An error found in a changed lesson.
#[derive(Debug, Clone)]
pub struct Found {
    pub line: usize,
    pub code: Code,
    pub told: String,
}

pub fn kind_of(dimension: Dimension) -> Kind {
    match dimension {
        Dimension::Mass => Kind::Mass,
        Dimension::Volume => Kind::Volume,
        Dimension::Length => Kind::Length,
        Dimension::Time => Kind::Time,
        Dimension::Temperature => Kind::Temperature,
        Dimension::Share => Kind::Share,
        Dimension::Count => Kind::Count,
        other => panic!("the demo course measures no {other}"),
    }
}

impl Demo {
    pub fn load() -> Demo {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall");
        let project = read_project(&root).expect("the demo course can be read");
        let checked = check(&project);
        assert!(checked.course.is_some(), "the demo course passes");
        // Captions stay out: a spoken figure is held to the blocks by itself, whatever the prose says.
        let own = |path: &str| !path.starts_with("shared/") && !path.contains("/lesson.");
        let tables = project.sources.iter().filter(|(_, file)| own(&file.path));
        let tables = tables.map(|(_, file)| (file.path.clone(), file.text.clone())).collect();
        let lessons = project.lessons.iter().enumerate().map(|(index, lesson)| Lesson {
            folder: lesson.folder.clone(),
            text: project.sources.get(lesson.file).text.clone(),
            measures: measures_of(&checked, index),
            asides: checked.model.lessons[index].asides.iter().map(|aside| aside.words.clone()).collect(),
        });
        let lessons: Vec<Lesson> = lessons.collect();
        let places = places(&project, &checked, &lessons);
        Demo { lessons, places, tables, pictures: project.pictures.clone() }
    }

    /// Re-reads lessons with changed words and returns what came of each, in the order of `changes`.
    ///
    /// Each changed lesson is a lesson of its own and speaks only of itself. They share a course, two dozen at a time,
    /// because in a debug build reading the tables of units and ingredients takes longer than reading a lesson.
    pub fn outcomes(&self, changes: &[Change], how: How) -> Vec<Outcome> {
        const BATCH: usize = 24;
        let batches: Vec<&[Change]> = changes.chunks(BATCH).collect();
        let (next, done) = (AtomicUsize::new(0), Mutex::new(BTreeMap::new()));
        let work = || {
            loop {
                let at = next.fetch_add(1, Ordering::Relaxed);
                let Some(batch) = batches.get(at) else { return };
                let found = self.outcomes_of_batch(batch, how);
                done.lock().expect("no thread panics while it holds the results").insert(at, found);
            }
        };
        std::thread::scope(|scope| {
            let threads = std::thread::available_parallelism().map_or(2, usize::from);
            (0..threads).for_each(|_| drop(scope.spawn(work)));
        });
        done.into_inner().expect("every thread has ended").into_values().flatten().collect()
    }

    fn outcomes_of_batch(&self, batch: &[Change], how: How) -> Vec<Outcome> {
        let mut found = self.read_batch(batch, how);
        let unstated = |one: &Outcome| one.errors.iter().any(|error| error.code == Code::NotStated);
        if matches!(how, How::Section) {
            let again: Vec<usize> = (0..batch.len()).filter(|at| unstated(&found[*at])).collect();
            let changes: Vec<Change> = again.iter().map(|at| batch[*at].clone()).collect();
            let whole = if changes.is_empty() { Vec::new() } else { self.read_batch(&changes, How::Whole) };
            again.into_iter().zip(whole).for_each(|(at, outcome)| found[at] = outcome);
        }
        found
    }

    fn read_batch(&self, batch: &[Change], how: How) -> Vec<Outcome> {
        let lessons = batch.iter().enumerate().map(|(index, change)| {
            let lesson = &self.lessons[change.lesson];
            let text = match how {
                How::Whole => apply(&lesson.text, &change.edits),
                How::Section => section(lesson, &change.edits),
            };
            (format!("{:02}-changed-{index}/lesson.md", index + 1), text)
        });
        // A lesson that takes what another leaves needs that other before it.
        let slug = |folder: &str| folder.split_once('-').map_or(String::new(), |(_, slug)| slug.to_owned());
        let takes = |giver: &Lesson| {
            let from = format!("from = \"{}\"", slug(&giver.folder));
            batch.iter().any(|change| self.lessons[change.lesson].text.contains(&from))
        };
        let givers: Vec<_> = self.lessons.iter().filter(|giver| takes(giver)).collect();
        let before = givers.iter().map(|giver| (format!("00-{}/lesson.md", slug(&giver.folder)), giver.text.clone()));
        let mut project = Project::from_files(self.tables.iter().cloned().chain(before).chain(lessons));
        let copies = batch.iter().enumerate().map(|(index, change)| {
            (self.lessons[change.lesson].folder.clone(), format!("{:02}-changed-{index}", index + 1))
        });
        let copies =
            copies.chain(givers.iter().map(|giver| (giver.folder.clone(), format!("00-{}", slug(&giver.folder)))));
        for (folder, copy) in copies {
            let own = self.pictures.iter().filter_map(|(path, bytes)| Some((path.strip_prefix(&folder)?, bytes)));
            project.pictures.extend(own.map(|(name, bytes)| (format!("{copy}{name}"), bytes.clone())));
        }
        let checked = check(&project);
        let mut found = vec![Outcome::default(); batch.len()];
        let lesson_of =
            |span: Span| project.lessons.iter().skip(givers.len()).position(|lesson| lesson.file == span.file);
        let line_of = |span: Span| line_of(&project.sources.get(span.file).text, span.start);
        // The copies of one lesson all take what the one before leaves.
        let told = |one: &&Diagnostic| one.severity() == Severity::Error && one.code != Code::NotEnoughLeft;
        for one in checked.findings.iter().filter(told) {
            if let Some(index) = lesson_of(one.primary.span) {
                let told = format!("{}: {}", one.code.name(), one.message);
                found[index].errors.push(Found { line: line_of(one.primary.span), code: one.code, told });
            }
        }
        let states = |entry: &&LedgerEntry| entry.agrees && matches!(entry.binding, Binding::Measure(_));
        for entry in checked.ledger.entries.iter().map(|entry| &**entry).filter(states) {
            if let Some(index) = lesson_of(entry.mention.span) {
                found[index].agreeing.push(line_of(entry.mention.span));
            }
        }
        found
    }
}

/// The line of a byte, from 1. A paragraph counts as one line, wherever an editor breaks it.
fn line_of(text: &str, at: usize) -> usize {
    let line = text[..at].matches('\n').count();
    let lines: Vec<&str> = text.lines().take(line + 1).collect();
    let prose = |line: &str| !line.trim().is_empty() && !line.starts_with(['|', '#', '`']);
    let opens = |line: &str| line.trim_start().starts_with("- ") || line.starts_with("[^");
    let mut first = line;
    while !in_block(text, at) && first > 0 && prose(lines[first]) && !opens(lines[first]) && prose(lines[first - 1]) {
        first -= 1;
    }
    first + 1
}

/// A text with edits made, which must not overlap.
fn apply(text: &str, edits: &[(Range<usize>, String)]) -> String {
    let mut edits: Vec<_> = edits.iter().collect();
    edits.sort_by_key(|(range, _)| std::cmp::Reverse(range.start));
    let mut changed = text.to_owned();
    for (range, words) in edits {
        changed.replace_range(range.clone(), words);
    }
    changed
}

/// A changed lesson with the prose of all other sections left blank, so that every line keeps its number.
fn section(lesson: &Lesson, edits: &[(Range<usize>, String)]) -> String {
    let line_of = |at: usize| lesson.text[..at].matches('\n').count();
    let changed: Vec<usize> = edits.iter().map(|(range, _)| line_of(range.start)).collect();
    let text = apply(&lesson.text, edits);
    let (mut fenced, mut heading) = (false, 0);
    let mut kept: Vec<(usize, bool, &str)> = Vec::new();
    for (number, line) in text.lines().enumerate() {
        let fence = line.starts_with("```");
        let block = fenced || fence;
        fenced ^= fence;
        if !block && line.starts_with('#') {
            heading = number;
        }
        let always = block || line.starts_with('#') || lesson.asides.iter().any(|words| line.contains(words.as_str()));
        kept.push((heading, always, line));
    }
    let sections: Vec<usize> = changed.iter().map(|line| kept[*line].0).collect();
    let lines = kept.iter().map(|(home, always, line)| if *always || sections.contains(home) { line } else { "" });
    lines.collect::<Vec<_>>().join("\n") + "\n"
}

fn measures_of(checked: &Checked, lesson: usize) -> Vec<Model> {
    let course = &checked.model;
    let ours = (0..course.measures.len()).filter(|at| course.measures[*at].owner.lesson() == Some(lesson));
    // No words of the demo course state a change of temperature.
    let ours = ours.filter(|at| course.measures[*at].amount.dimension() != Dimension::Difference);
    ours.map(|at| {
        let id = MeasureId(at as u32);
        model(course, id, &course.measure(id).amount)
    })
    .collect()
}

fn model(course: &Course, id: MeasureId, amount: &Amount) -> Model {
    Model {
        kind: kind_of(amount.dimension()),
        low: amount.low.quantity.base(),
        high: amount.high.quantity.base(),
        range: amount.range,
        bound: amount.bound,
        density: thing(course, id).and_then(|name| meaning::density(&name)),
    }
}

/// The name of what a measure is of.
fn thing(course: &Course, id: MeasureId) -> Option<String> {
    let owner = course.measure(id).owner;
    let recipe = course.lessons[owner.lesson()?].recipe.as_ref()?;
    match owner {
        Owner::Ingredient { ingredient, .. } | Owner::Part { ingredient, .. } => {
            Some(recipe.ingredients[ingredient].name.clone())
        }
        Owner::Product { .. } => recipe.makes.as_ref().map(|product| product.name.clone()),
        Owner::Leftover { leftover, .. } => Some(recipe.leaves[leftover].name.clone()),
        _ => None,
    }
}

fn places(project: &Project, checked: &Checked, lessons: &[Lesson]) -> Vec<Place> {
    let written = |entry: &&LedgerEntry| {
        entry.lesson.is_some_and(|lesson| project.lessons[lesson].file == entry.mention.span.file)
    };
    let entries: Vec<&LedgerEntry> = checked.ledger.entries.iter().map(|entry| &**entry).filter(written).collect();
    let mut found = Vec::new();
    for (at, entry) in entries.iter().enumerate() {
        let (Some(lesson), Binding::Measure(id)) = (entry.lesson, entry.binding) else { continue };
        let neighbours = [at.checked_sub(1).map(|before| entries[before]), entries.get(at + 1).copied()];
        let same = |other: &&&LedgerEntry| {
            let pair = entry.mention.pair;
            let near = other.mention.span.start.abs_diff(entry.mention.span.end) < 80
                || other.mention.span.end.abs_diff(entry.mention.span.start) < 80;
            pair.is_some() && other.mention.pair == pair && other.lesson == entry.lesson && near
        };
        let partner = neighbours.iter().flatten().find(same);
        let text = &lessons[lesson].text;
        let range = entry.mention.span.range();
        let amount = entry.says.unwrap_or(checked.model.measure(id).amount);
        let unit = checked.reference.units.get(amount.unit());
        let metric = matches!(unit.system, System::Metric | System::Any);
        assert!(metric, "the demo course measures in metric units, and this test relies on it: {}", unit.id);
        let words = text[range.clone()].to_owned();
        let read = |words: &str| Written::read(words).unwrap_or_else(|| panic!("the test cannot read “{words}”"));
        let model = model(&checked.model, id, &amount);
        found.push(Place {
            lesson,
            line: line_of(text, range.start),
            written: read(&words),
            manner: Manner {
                bound: entry.mention.amount.bound,
                about: entry.mention.amount.about,
                oven: model.kind == Kind::Temperature && model.high >= pottle::quantity::Exact::whole(130),
            },
            partner: partner.map(|other| {
                let range = other.mention.span.range();
                (range.clone(), read(&text[range]))
            }),
            leads: partner.is_none_or(|other| other.mention.span.start > range.start),
            in_block: in_block(text, range.start),
            text: words,
            in_step: entry.step.is_some(),
            model,
            range,
        });
    }
    found
}

/// Whether a byte stands inside a fenced block.
fn in_block(text: &str, at: usize) -> bool {
    text[..at].lines().filter(|line| line.starts_with("```")).count() % 2 == 1
}
