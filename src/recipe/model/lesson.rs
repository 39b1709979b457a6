//! A lesson, what it teaches and what is said in it.

use super::{MeasureId, Recipe, Step, Visible};
use crate::lesson::captions::Captions;
use crate::lesson::{BodyItem, Heading, Run};
use crate::recipe::care::{Overrule, Sanitiser};
use crate::recipe::sum::Sum;
use crate::source::{FileId, Span};
use std::ops::Range;

/// A lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    /// `pressed-curd`: its folder without the number.
    pub slug: String,
    /// Folder relative to the course, for its pictures.
    pub folder: String,
    /// Its file.
    pub file: FileId,
    /// Its title.
    pub title: String,
    /// Place of the title.
    pub title_span: Span,
    /// What it is about.
    pub summary: Option<Visible>,
    /// What a student can do afterwards.
    pub learn: Vec<Visible>,
    /// The terms that it teaches.
    pub teaches: Vec<Taught>,
    /// Words that are no business of the recipe.
    pub asides: Vec<Aside>,
    /// What tools and benches are sanitised with.
    pub sanitiser: Option<Sanitiser>,
    /// Cautions that its author overrules.
    pub overrules: Vec<Overrule>,
    /// The day on which it was published: a full date as RFC 3339 writes it.
    pub published: Option<String>,
    /// How long the class takes.
    pub session: Option<MeasureId>,
    /// The recipe; a skill may have none.
    pub recipe: Option<Recipe>,
    /// The steps.
    pub steps: Vec<Step>,
    /// The sums that a student works out on the page; `None` after a finding.
    pub sums: Vec<Option<Sum>>,
    /// Headings, as parsed.
    pub headings: Vec<Heading>,
    /// Index of the title among the headings.
    pub title_heading: Option<usize>,
    /// All text that a reader sees, in order of the file, block texts included.
    pub runs: Vec<Run>,
    /// What to render.
    pub body: Vec<BodyItem>,
    /// Pictures and links.
    pub links: Vec<(String, Span)>,
    /// Where its recording can be seen: an `https` address, or the way from the pages to a file.
    pub recording: Option<String>,
    /// Captions of its recording. The first are the main ones: they tell when each step begins.
    pub captions: Vec<Spoken>,
}

/// A term that a lesson teaches.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taught {
    /// Index of the term.
    pub term: usize,
    /// Where the lesson says so.
    pub span: Span,
}

/// What is spoken in a lesson's recording, in one language.
#[derive(Debug, Clone, PartialEq)]
pub struct Spoken {
    /// Name of its file in the lesson's folder.
    pub name: String,
    /// Language tag in that name: `fr` of `lesson.fr.vtt`.
    pub language: Option<String>,
    /// The cues and all their words.
    pub captions: Captions,
    /// The words again, cut where another step begins.
    pub stretches: Vec<Stretch>,
}

/// Cues that follow each other and belong to one step.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// Their words in the text of the whole recording.
    pub words: Range<usize>,
    /// The same words as a text that is read, with the step; none before the first.
    pub run: Run,
}

/// Words an author declares to be no business of the recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct Aside {
    /// The exact words.
    pub words: String,
    /// Why.
    pub why: Option<String>,
    /// Where they are declared.
    pub span: Span,
}

/// A sign that something went wrong, and the remedy.
#[derive(Debug, Clone, PartialEq)]
pub struct Rescue {
    /// The sign.
    pub sign: Visible,
    /// The remedy.
    pub remedy: Visible,
}

/// A glossary term.
#[derive(Debug, Clone, PartialEq)]
pub struct Term {
    /// The term.
    pub name: String,
    /// Fragment of its link.
    pub slug: String,
    /// Other forms and plurals.
    pub also: Vec<String>,
    /// Its definition: Markdown events.
    pub definition: Vec<BodyItem>,
    /// Where it is defined.
    pub span: Span,
    /// Whether the course itself defines it.
    pub own: bool,
}
