//! The model that words are held to.
//!
//! Every measure of a course stands once, in [`Course::measures`], with the place where its author wrote it; whatever
//! owns it keeps its [`MeasureId`].

use super::care::{Deed, Guests, Overrule, Sanitiser, Tested};
use super::keeping::{Limit, Mark, Pack, ProductKind};
use super::sum::Sum;
use crate::lesson::captions::{Captions, Seconds};
use crate::lesson::{BodyItem, Heading, Run, RunPlace};
use crate::quantity::{Amount, Dimension, Exact, Home};
use crate::source::{FileId, MappedText, Span};
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

/// Which measure: an index into [`Course::measures`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MeasureId(pub u32);

/// A quantity in the model.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// Its path: `pressed-curd.ingredients.milk`, `pressed-curd.steps.heat-the-milk.to`, `facts.fridge`.
    pub path: String,
    /// The amount.
    pub amount: Amount,
    /// Where its author wrote it: the amount alone, without the name after it.
    pub span: Span,
    /// What it belongs to.
    pub owner: Owner,
    /// Whether it grows with the batch, if what it measures can: what goes in and comes out does, a pot or a weight
    /// on a press does not. An author may say otherwise.
    pub scales: bool,
}

/// What a measure belongs to. Lessons, steps and things are indices into [`Course`] and [`Lesson`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Owner {
    /// How much of an ingredient the recipe takes.
    Ingredient {
        /// The lesson.
        lesson: usize,
        /// The ingredient.
        ingredient: usize,
    },
    /// An ingredient's share of something.
    Share {
        /// The lesson.
        lesson: usize,
        /// The ingredient.
        ingredient: usize,
    },
    /// What the recipe makes.
    Product {
        /// The lesson.
        lesson: usize,
    },
    /// What is left over and useful.
    Leftover {
        /// The lesson.
        lesson: usize,
        /// Which.
        leftover: usize,
    },
    /// What a pot holds, how wide it is, how many there are.
    Equipment {
        /// The lesson.
        lesson: usize,
        /// Which.
        equipment: usize,
    },
    /// The share of what goes in that is lost.
    Loss {
        /// The lesson.
        lesson: usize,
    },
    /// How long something keeps, or how cold.
    Keeping {
        /// The lesson.
        lesson: usize,
    },
    /// How long the class takes.
    Session {
        /// The lesson.
        lesson: usize,
    },
    /// A part of an ingredient that goes in at a step.
    Part {
        /// The lesson.
        lesson: usize,
        /// The step.
        step: usize,
        /// The ingredient.
        ingredient: usize,
    },
    /// A measure of a step: to, at, from, for, takes, or one of its `measures`.
    Step {
        /// The lesson.
        lesson: usize,
        /// The step.
        step: usize,
    },
    /// One of the recipe's `measures`.
    Named {
        /// The lesson.
        lesson: usize,
    },
    /// A value that a sum begins with.
    Sum {
        /// The lesson.
        lesson: usize,
        /// Which sum.
        sum: usize,
    },
    /// A measure that holds for every lesson.
    Fact {
        /// Which row of the facts.
        fact: usize,
    },
}

impl Owner {
    /// Whether what it is grows with the batch unless its author says otherwise.
    pub fn grows(self) -> bool {
        matches!(self, Owner::Ingredient { .. } | Owner::Part { .. } | Owner::Product { .. } | Owner::Leftover { .. })
    }

    /// The lesson it belongs to, unless it is a fact.
    pub fn lesson(self) -> Option<usize> {
        match self {
            Owner::Ingredient { lesson, .. }
            | Owner::Share { lesson, .. }
            | Owner::Product { lesson }
            | Owner::Leftover { lesson, .. }
            | Owner::Equipment { lesson, .. }
            | Owner::Keeping { lesson }
            | Owner::Session { lesson }
            | Owner::Loss { lesson }
            | Owner::Named { lesson }
            | Owner::Sum { lesson, .. }
            | Owner::Part { lesson, .. }
            | Owner::Step { lesson, .. } => Some(lesson),
            Owner::Fact { .. } => None,
        }
    }
}

/// A text in a block that a reader sees. Its words are read like any other.
pub type Visible = MappedText;

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

/// Who brings a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum BroughtBy {
    /// It is bought for the class, or stands in the hall.
    #[default]
    Hall,
    /// Each student, or each group of them.
    Student,
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

/// What goes in, what comes out, what is needed.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    /// Place of the block's name, for findings about the whole.
    pub span: Span,
    /// What it makes.
    pub makes: Option<Product>,
    /// What is left over and useful.
    pub leaves: Vec<Leftover>,
    /// The ingredient whose amount a student changes to scale the batch.
    pub scale_by: Option<usize>,
    /// Batches, from least to most, for which its author vouches.
    pub scale_within: Option<(Exact, Exact)>,
    /// How many students work on one batch.
    pub students: Exact,
    /// The share of what goes in that is lost: steam, what clings to the pot. And in what.
    pub loses: Option<(MeasureId, Option<Visible>)>,
    /// How long it keeps.
    pub keeps: Vec<Keeping>,
    /// What goes in, in order.
    pub ingredients: Vec<Ingredient>,
    /// What is needed, in order.
    pub equipment: Vec<Equipment>,
    /// Any other named measure of the whole lesson.
    pub measures: BTreeMap<String, MeasureId>,
    /// The kit that goes to a student.
    pub kit: Option<Kit>,
    /// A proportion that was tested, and must not be changed.
    pub tested: Option<Tested>,
    /// What sort of make it is.
    pub kind: Option<ProductKind>,
    /// Allergens that may be in it beside those of its ingredients, as its author says: ids of
    /// [`EU_ALLERGENS`](crate::reference::EU_ALLERGENS) or [`US_ALLERGENS`](crate::reference::US_ALLERGENS).
    pub may_contain: Vec<String>,
}

/// What is packed for a student, and for how many batches it is enough.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    /// How many batches.
    pub batches: MeasureId,
    /// Ingredients, and how much of each is packed.
    pub packs: Vec<(usize, MeasureId)>,
}

/// An ingredient of a recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct Ingredient {
    /// Its key.
    pub id: String,
    /// Place of the key.
    pub id_span: Span,
    /// The name as the author wrote it: `whole milk`.
    pub name: String,
    /// What follows the comma: `not homogenised`.
    pub note: Option<Visible>,
    /// Row of the pantry; `None` after a finding.
    pub pantry: Option<usize>,
    /// How much.
    pub amount: Option<MeasureId>,
    /// Its share, and of what: `1.5 % of curd`.
    pub share: Option<(MeasureId, String)>,
    /// How that share is to be understood.
    pub share_basis: ShareBasis,
    /// How strong it is: rennet.
    pub strength: Option<Strength>,
    /// How much of it goes to how much of another ingredient, and its name: `2 mL per 10 L of milk`.
    pub dose: Option<(MeasureId, String)>,
    /// From what strength to what it is diluted here, and with what.
    pub diluted: Option<Diluted>,
    /// The least share of it that was tested.
    pub never_below: Option<MeasureId>,
    /// Who brings it.
    pub brought_by: BroughtBy,
    /// The earlier lesson that leaves it over.
    pub from: Option<From>,
    /// What to take instead, for whoever lacks what the earlier lesson leaves.
    pub instead: Option<Visible>,
}

impl Ingredient {
    /// What is said of it beside its amount: its share, its dose, its strengths.
    pub fn said(&self) -> impl Iterator<Item = MeasureId> {
        let pairs = [self.share.as_ref(), self.dose.as_ref()];
        let strengths = self.diluted.iter().flat_map(|diluted| [diluted.from, diluted.to]);
        pairs.into_iter().flatten().map(|(id, _)| *id).chain(strengths)
    }
}

/// A strong solution that is made weaker.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diluted {
    /// Its strength.
    pub from: MeasureId,
    /// The strength wanted.
    pub to: MeasureId,
    /// The ingredient that it is diluted with, as its author named it.
    pub with: String,
    /// Where that is named.
    pub span: Span,
}

/// How much rennet does, in the trade's units of clotting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Strength {
    /// Units (IMCU) in a millilitre or a gram.
    pub imcu: Exact,
    /// Volume or mass.
    pub per: Dimension,
    /// Where it is written.
    pub span: Span,
}

/// How a share is to be understood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ShareBasis {
    /// A part of what it names, by weight or as both are measured: `2 % of flour`, `5 % w/w of brine`.
    #[default]
    Part,
    /// Grams in 100 mL made up: `5 % w/v of brine`.
    ByVolume,
    /// Not said: `5 % brine`.
    Unsaid,
}

/// The lesson that leaves an ingredient over, as the author named it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct From {
    /// Its slug.
    pub lesson: String,
    /// Where it is named.
    pub span: Span,
}

/// What a recipe makes.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    /// `pressed curd`, `flatbreads`.
    pub name: String,
    /// How much or how many.
    pub amount: MeasureId,
}

/// What is left over and useful.
#[derive(Debug, Clone, PartialEq)]
pub struct Leftover {
    /// Its key.
    pub id: String,
    /// Its name: the key, unless a name follows the amount.
    pub name: String,
    /// How much.
    pub amount: MeasureId,
}

/// How long something keeps, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct Keeping {
    /// Which leftover, if not the product.
    pub what: Option<Visible>,
    /// Where.
    pub place: Visible,
    /// How long.
    pub time: MeasureId,
    /// How cold.
    pub at: Option<MeasureId>,
    /// How it is packed.
    pub pack: Option<Pack>,
    /// How sour it is.
    pub ph: Option<Limit>,
    /// How much of its water is free: its water activity.
    pub aw: Option<Limit>,
    /// What its label says before the date.
    pub mark: Option<Mark>,
    /// Where it is written.
    pub span: Span,
}

/// A piece of equipment.
#[derive(Debug, Clone, PartialEq)]
pub struct Equipment {
    /// Its key.
    pub id: String,
    /// Its name.
    pub name: Visible,
    /// What it holds.
    pub holds: Option<MeasureId>,
    /// How wide or long it is.
    pub size: Option<MeasureId>,
    /// How many.
    pub count: Option<MeasureId>,
    /// Who brings it.
    pub brought_by: BroughtBy,
    /// Whether one serves the whole class, not one each group.
    pub shared: bool,
}

/// A step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Its id: the slug of its heading unless it names its own.
    pub id: String,
    /// Its title, as read.
    pub title: String,
    /// Index of its heading.
    pub heading: usize,
    /// Place of the block's name, for findings about the whole.
    pub span: Span,
    /// What goes in.
    pub add: Vec<Part>,
    /// Equipment used: indices.
    pub vessels: Vec<usize>,
    /// Temperature reached.
    pub to: Option<MeasureId>,
    /// Temperature held.
    pub at: Option<MeasureId>,
    /// Temperature it starts from.
    pub from: Option<MeasureId>,
    /// Time that must pass.
    pub lasts: Option<MeasureId>,
    /// Time it usually takes.
    pub takes: Option<MeasureId>,
    /// What it pasteurises, as its author claims.
    pub pasteurises: Vec<Pasteurised>,
    /// What is done, as far as cautions care; `None` where its author does not say.
    pub does: Option<Vec<Deed>>,
    /// Whether hands touch what is hot; `None` where its author does not say.
    pub by_hand: Option<bool>,
    /// Whether hands are busy.
    pub hands_on: Option<bool>,
    /// Whether it is done at home, after the class: it takes no time of the session.
    pub at_home: bool,
    /// The sign to look for.
    pub until: Option<Visible>,
    /// Any other named measure.
    pub measures: BTreeMap<String, MeasureId>,
    /// Name of the way.
    pub way: Option<String>,
    /// Id of the step it runs beside.
    pub beside: Option<usize>,
    /// Steps that must come first.
    pub after: Vec<usize>,
    /// What to do when it goes wrong.
    pub rescues: Vec<Rescue>,
    /// When it begins in the recording: as its author fixed it, or else as the main captions tell.
    pub heard_at: Option<Seconds>,
    /// Where its author fixed that.
    pub heard_span: Option<Span>,
}

/// A part of an ingredient that goes in at a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Which ingredient.
    pub ingredient: usize,
    /// How much of it.
    pub amount: PartAmount,
    /// Where the author wrote it.
    pub span: Span,
}

/// An ingredient of which a step claims a legal hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pasteurised {
    /// Which ingredient.
    pub ingredient: usize,
    /// Where the author named it.
    pub span: Span,
}

/// How much of an ingredient goes in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PartAmount {
    /// All of it.
    All,
    /// What earlier steps left.
    Rest,
    /// A fraction of it, as a measure of kind share.
    Fraction(Exact, MeasureId),
    /// An amount.
    Amount(MeasureId),
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

/// Adds a block's text to the texts that are read.
pub(crate) fn block_run(text: &Visible, step: Option<usize>) -> Run {
    Run { text: text.clone(), place: RunPlace::Block, step }
}
