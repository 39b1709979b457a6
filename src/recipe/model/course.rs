//! A course and its settings.

use super::{Lesson, Measure, MeasureId, Term, Visible};
use crate::lesson::Run;
use crate::quantity::{Amount, Exact, Home};
use crate::recipe::care::Guests;
use crate::source::Span;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A course, with everything its files say.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Its title.
    pub title: String,
    /// One or two sentences.
    pub summary: Option<Visible>,
    /// Where its author teaches.
    pub home: Home,
    /// Whose figures cautions go by, and who eats.
    pub guests: Guests,
    /// The kitchen it is taught in.
    pub place: Place,
    /// Language tag, such as `en-GB`.
    pub language: String,
    /// Where its pages can be reached on the web: codes on paper lead there. Ends in `/`.
    pub address: Option<String>,
    /// Who made it, as its feed and its data name them.
    pub author: Option<String>,
    /// The sets of cards that are published; `None` where its author says nothing.
    pub cards: Option<Vec<CardsWanted>>,
    /// The handouts that are published; `None` where its author says nothing.
    pub handouts: Option<Vec<HandoutWanted>>,
    /// The class it is planned for.
    pub class: Option<ClassWanted>,
    /// In order.
    pub lessons: Vec<Arc<Lesson>>,
    /// Terms of the built-in glossary and the course's own, sorted by name.
    pub terms: Vec<Term>,
    /// All measures.
    pub measures: Vec<Arc<Measure>>,
    /// Texts outside lessons that are read too: the summary, definitions of the course's own glossary.
    pub runs: Vec<Run>,
}

impl Course {
    /// The measure of an id.
    pub fn measure(&self, id: MeasureId) -> &Measure {
        &self.measures[id.0 as usize]
    }

    /// The measures of a lesson. They stand together: facts come first, then lesson by lesson.
    pub fn measures_of(&self, lesson: usize) -> impl Iterator<Item = (MeasureId, &Measure)> {
        let start = self.measures.partition_point(|one| one.owner.lesson() < Some(lesson));
        let own = self.measures[start..].iter().take_while(move |one| one.owner.lesson() == Some(lesson));
        own.enumerate().map(move |(at, one)| (MeasureId((start + at) as u32), &**one))
    }

    /// The measures that hold for every lesson.
    pub fn measures_of_facts(&self) -> impl Iterator<Item = (MeasureId, &Measure)> {
        let facts = self.measures.iter().take_while(|one| one.owner.lesson().is_none());
        facts.enumerate().map(|(at, one)| (MeasureId(at as u32), &**one))
    }

    /// Each term that is taught, with the first lesson that teaches it and the place where it says so.
    pub fn teachers(&self) -> BTreeMap<usize, (usize, Span)> {
        let mut teachers = BTreeMap::new();
        for (at, lesson) in self.lessons.iter().enumerate() {
            for taught in &lesson.teaches {
                teachers.entry(taught.term).or_insert((at, taught.span));
            }
        }
        teachers
    }
}

/// The kitchen that a course is taught in, as far as sums about heat need it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Power of the hob, in watts.
    pub watts: Exact,
    /// The part of that power that reaches what is in the pot.
    pub reaches_the_pot: Exact,
    /// Height above the sea, in metres.
    pub metres: Exact,
    /// How warm the room is, in °C.
    pub room: Exact,
    /// How cold the fridge is, in °C.
    pub fridge: Exact,
    /// The height in its author's unit, if it is written down.
    pub altitude: Option<Amount>,
    /// The room in its author's degrees, if it is written down.
    pub room_reading: Option<Amount>,
}

/// A class that a plan is made for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClassWanted {
    /// How many students.
    pub students: usize,
    /// How many groups, each of which makes one batch; else as many as each lesson asks for.
    pub groups: Option<usize>,
    /// Printed before a price: a sign, or a code of three letters.
    pub currency: Option<String>,
}

/// A handout that is published of each lesson, and of all as a booklet. The words are those that `course.toml` may use.
#[derive(Debug, Clone, PartialEq)]
pub struct HandoutWanted {
    /// `a4` or `letter`.
    pub paper: String,
    /// `1` or `2`.
    pub columns: Option<String>,
    /// How many batches.
    pub scale: Exact,
    /// `metric`, `us` or `imperial`.
    pub units: Option<String>,
    /// `c`, `f` or `both`.
    pub degrees: Option<String>,
    /// `weigh` or `spoon`.
    pub measure: Option<String>,
    /// The ways that are taken.
    pub ways: Vec<String>,
}

/// A set of cards that is published of each lesson. The words are those that `course.toml` may use.
#[derive(Debug, Clone, PartialEq)]
pub struct CardsWanted {
    /// `a6`, `a5`, `4x6` or `5x8`.
    pub paper: String,
    /// `a4` or `letter`: several to a sheet.
    pub sheet: Option<String>,
    /// `long` or `short`: along which edge the printer turns a sheet.
    pub edge: Option<String>,
    /// How many batches.
    pub scale: Exact,
    /// `metric`, `us` or `imperial`.
    pub units: Option<String>,
    /// `c`, `f` or `both`.
    pub degrees: Option<String>,
    /// `weigh` or `spoon`.
    pub measure: Option<String>,
    /// The ways that are taken.
    pub ways: Vec<String>,
}
