//! What templates see: plain structs of text. Fields whose name ends in `html` hold finished markup; every other text
//! is escaped by the template.

use serde::Serialize;
use std::sync::OnceLock;

/// What `lesson.html`, `index.html` and `glossary.html` are given.
#[derive(Debug, Serialize)]
pub(super) struct PageView<'a, T: Serialize> {
    /// The course, the same on all pages: whoever prints a page adds it.
    #[serde(skip)]
    pub course: &'a CourseView,
    /// About this page.
    pub page: HeadView,
    /// What this page shows.
    #[serde(flatten)]
    pub body: T,
}

/// What stands in a page's head.
#[derive(Debug, Serialize)]
pub(super) struct HeadView {
    pub title: String,
    pub description: String,
    /// `lesson`, `index` or `glossary`.
    pub kind: &'static str,
}

/// The course as every page sees it.
#[derive(Debug, Serialize)]
pub(super) struct CourseView {
    pub title: String,
    pub language: String,
    pub lessons: Vec<LessonLinkView>,
    /// The same for templates, made once: a course of a thousand lessons has a thousand pages that show it.
    #[serde(skip)]
    pub value: OnceLock<tera::Value>,
}

/// A lesson in a list of lessons.
#[derive(Debug, Clone, Serialize)]
pub(super) struct LessonLinkView {
    pub number: usize,
    pub href: String,
    pub title: String,
    pub summary: Option<String>,
}

/// A lesson as the first page lists it.
#[derive(Debug, Serialize)]
pub(super) struct ListedView {
    #[serde(flatten)]
    pub link: LessonLinkView,
    pub makes: Option<NamedView>,
    pub session: Option<AmountView>,
}

/// A measure: as written, and in the other system.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct AmountView {
    /// Attributes of its element, and of its conversion's: their numbers among the page's live figures.
    pub mark_html: String,
    /// The first where no timer begins.
    pub still_html: String,
    pub other_mark_html: String,
    /// The first number.
    #[serde(skip)]
    pub live: Option<usize>,
    /// The other's.
    #[serde(skip)]
    pub other_live: Option<usize>,
    pub text: String,
    pub other: Option<String>,
}

/// An amount of something.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct NamedView {
    pub amount: AmountView,
    pub name: String,
}

#[derive(Debug, Serialize)]
pub(super) struct IndexBody {
    pub lessons: Vec<ListedView>,
    /// How many students the class plan is for.
    pub class: Option<usize>,
    /// All lessons on paper.
    pub papers: Vec<PaperLinkView>,
    /// Whether there is a page of allergens.
    pub allergens: bool,
    /// Whether there is a page of labels.
    pub labels: bool,
    pub summary_html: Option<String>,
}

#[derive(Debug, Serialize)]
pub(super) struct GlossaryBody {
    pub letters: Vec<LetterView>,
    pub notes: Vec<NoteView>,
}

/// The terms that begin with one letter.
#[derive(Debug, Serialize)]
pub(super) struct LetterView {
    pub letter: String,
    pub terms: Vec<TermView>,
}

#[derive(Debug, Serialize)]
pub(super) struct TermView {
    /// Fragment of its link.
    pub slug: String,
    pub name: String,
    /// Other forms of it.
    pub also: Vec<String>,
    pub definition_html: String,
    pub used_in: Vec<UseView>,
    /// The lesson that teaches it.
    pub taught_in: Option<UseView>,
}

/// A lesson that uses a term, at the section of its first use.
#[derive(Debug, Serialize)]
pub(super) struct UseView {
    pub href: String,
    pub title: String,
}

#[derive(Debug, Serialize)]
pub(super) struct LessonBody {
    pub lesson: LessonView,
    /// The live figures, as JSON that may stand in a script element.
    pub live: Option<String>,
}

/// What `take-home.html` is given: all that `lesson.html` is, and the words at the end.
#[derive(Debug, Serialize)]
pub(super) struct TakeHomeBody {
    #[serde(flatten)]
    pub lesson: LessonBody,
    pub words: GlossaryBody,
}

#[derive(Debug, Serialize)]
pub(super) struct LessonView {
    pub slug: String,
    pub number: usize,
    /// Fragment of its title's link.
    pub title_slug: String,
    pub title_html: String,
    pub summary_html: Option<String>,
    pub learn_html: Vec<String>,
    pub makes: Option<NamedView>,
    pub leaves: Vec<LeavesView>,
    pub loses: Option<LossView>,
    pub session: Option<AmountView>,
    /// The code of this page, for paper.
    pub code: Option<CodeView>,
    pub recording: Option<RecordingView>,
    /// The lesson as one file.
    pub take_home: Option<String>,
    /// Its papers.
    pub papers: Vec<PaperLinkView>,
    pub step_count: usize,
    pub plan: Option<PlanView>,
    pub recipe: Option<RecipeView>,
    pub parts: Vec<PartView>,
    /// Those of the lesson as a whole.
    pub cautions: Vec<CautionView>,
    pub keeps: Vec<KeepView>,
    /// What to beware of in keeping it.
    pub keep_cautions: Vec<CautionView>,
    pub notes: Vec<NoteView>,
    /// What its words of the trade mean, in place.
    pub explained: Vec<ExplainedView>,
    pub previous: Option<LessonLinkView>,
    pub next: Option<LessonLinkView>,
}

/// What a term means, in a note that its words open.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub(super) struct ExplainedView {
    pub id: String,
    /// Its entry in the glossary.
    pub href: String,
    pub name: String,
    pub meaning_html: String,
    /// Title of the lesson that teaches it, or `this lesson`.
    pub taught: Option<String>,
}

/// What is left over, and the lessons that take it.
#[derive(Debug, Serialize)]
pub(super) struct LeavesView {
    pub amount: AmountView,
    pub name: String,
    pub taken_by: Vec<LessonNameView>,
}

/// A lesson by its title and its page.
#[derive(Debug, Clone, Serialize)]
pub(super) struct LessonNameView {
    pub title: String,
    pub href: String,
}

/// What is to be warned of.
#[derive(Debug, Serialize)]
pub(super) struct CautionView {
    pub title: String,
    pub say: String,
    /// Why its author overrules it.
    pub reason_html: Option<String>,
    /// Whether it only notes.
    pub note: bool,
}

/// The share of what goes in that is lost, and in what.
#[derive(Debug, Serialize)]
pub(super) struct LossView {
    pub amount: AmountView,
    pub words_html: Option<String>,
}

/// The steps in time.
#[derive(Debug, Serialize)]
pub(super) struct PlanView {
    /// A picture for each way through the lesson.
    pub charts: Vec<ChartView>,
}

#[derive(Debug, Serialize)]
pub(super) struct ChartView {
    /// The ways it follows, where there are several: `oven`.
    pub ways: String,
    /// `1 h 27 min in all, hands on 45 min`
    pub told: String,
    pub svg_html: String,
}

/// A PDF of a lesson.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct PaperLinkView {
    pub href: String,
    /// `step cards, A6`
    pub text: String,
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct RecipeView {
    pub ingredients: Vec<IngredientView>,
    pub equipment: Vec<EquipmentView>,
    /// Named measures of the whole recipe.
    pub measures: Vec<NamedView>,
    pub allergens: AllergensView,
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct IngredientView {
    pub id: String,
    pub name: String,
    pub amount: Option<AmountView>,
    pub note_html: Option<String>,
    pub share: Option<ShareView>,
    /// Its strength and its dose, in words.
    pub more: Vec<String>,
    /// The lesson that leaves it over.
    pub from: Option<LessonNameView>,
    /// What to take instead.
    pub instead_html: Option<String>,
    /// The way that alone takes it.
    pub way: Option<String>,
    pub allergens: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct ShareView {
    pub amount: AmountView,
    pub of: String,
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct EquipmentView {
    pub name_html: String,
    pub count: Option<AmountView>,
    pub holds: Option<AmountView>,
    pub size: Option<AmountView>,
}

/// What the pantry says about allergens.
#[derive(Debug, Clone, Serialize)]
pub(super) struct AllergensView {
    /// Whose list the names come from, in words.
    pub list: &'static str,
    /// Whether that list is another place's than the reader's own.
    pub foreign: bool,
    pub names: Vec<String>,
    /// What may be in it beside these, as its author says.
    pub may: Vec<String>,
    /// What must be read on the pack.
    pub notes: Vec<AllergenNoteView>,
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct AllergenNoteView {
    pub ingredient: String,
    pub note: String,
}

/// A stretch of the lesson, in reading order.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub(super) enum PartView {
    /// Before the first heading.
    Opening { blocks: Vec<BlockView> },
    /// A section that is no step.
    Section { section: SectionView },
    /// Steps that follow each other, with the number of the first.
    Steps { first: usize, steps: Vec<StepView> },
}

#[derive(Debug, Serialize)]
pub(super) struct SectionView {
    /// Level of its heading.
    pub level: u8,
    /// Fragment of its link.
    pub slug: String,
    pub heading_html: String,
    pub blocks: Vec<BlockView>,
}

#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub(super) enum BlockView {
    Prose { html: String },
    Rescue { sign_html: String, remedy_html: String },
    Sum { sum: SumView },
    Recipe,
}

/// A sum that a student may change.
#[derive(Debug, Serialize)]
pub(super) struct SumView {
    pub title: &'static str,
    pub about: &'static str,
    /// The worked example.
    pub said: String,
    pub fields: Vec<SumFieldView>,
    /// What its script needs, as JSON.
    pub data: String,
}

#[derive(Debug, Serialize)]
pub(super) struct SumFieldView {
    pub label: String,
    /// The number to begin with.
    pub text: String,
    /// What stands after it, with the blank before it.
    pub unit: String,
}

#[derive(Debug, Serialize)]
pub(super) struct StepView {
    pub number: usize,
    pub id: String,
    /// Its heading as plain words.
    pub title: String,
    pub section: SectionView,
    /// Temperatures and times, shown large.
    pub gauges: Vec<GaugeView>,
    pub cautions: Vec<CautionView>,
    /// Whether it is done at home.
    pub at_home: bool,
    pub goes_in: Vec<GoesInView>,
    /// Named measures, with their keys as names.
    pub measures: Vec<NamedView>,
    /// Names of the equipment, with markup.
    pub vessels_html: Vec<String>,
    /// What warming takes by reckoning, and what was taken for granted.
    pub reckoned: Option<String>,
    /// `whole milk, held at 63 °C for 30 min or more (whose law)`.
    pub pasteurises: Option<String>,
    /// What that hold is worth at the temperature of the law, by reckoning.
    pub worth: Option<String>,
    /// `on` or `off`.
    pub hands: Option<&'static str>,
    pub sign_html: Option<String>,
    pub way: Option<String>,
    pub beside: Option<StepLinkView>,
    pub after: Vec<StepLinkView>,
    /// The code that leads here, for paper.
    pub code: Option<CodeView>,
    pub heard: Option<HeardView>,
}

/// A QR code as a picture.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub(super) struct CodeView {
    pub href: String,
    /// Width and height in pixels of a style sheet.
    pub side: String,
    /// Where the picture lies on the site, and the picture.
    #[serde(skip)]
    pub path: String,
    #[serde(skip)]
    pub svg: String,
}

/// When a step begins in the recording.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub(super) struct HeardView {
    /// `2:05`
    pub time: String,
    /// `PT125S`
    pub datetime: String,
    /// The recording from there on, where its address is known.
    pub href: Option<String>,
}

/// The recording of a lesson and what goes with it.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub(super) struct RecordingView {
    pub href: Option<String>,
    pub captions: Vec<CaptionFileView>,
    /// The steps with their times, as WebVTT.
    pub chapters: Option<String>,
}

#[derive(Debug, PartialEq, Eq, Serialize)]
pub(super) struct CaptionFileView {
    pub href: String,
    /// Its language tag, where its name has one.
    pub language: Option<String>,
}

#[derive(Debug, Serialize)]
pub(super) struct GaugeView {
    /// `bring to`, `keep at`, `from`, `for`, `takes`.
    pub label: &'static str,
    /// `heat` or `time`.
    pub sort: &'static str,
    /// The label in the list of steps, where the step has more than one figure of the sort.
    pub word: Option<&'static str>,
    pub amount: AmountView,
}

#[derive(Debug, PartialEq, Eq, Serialize)]
pub(super) struct GoesInView {
    pub name: String,
    /// How much; `None` where only words can say it.
    pub amount: Option<AmountView>,
    /// `two thirds`, `the rest`.
    pub how: Option<String>,
}

#[derive(Debug, Serialize)]
pub(super) struct StepLinkView {
    pub number: usize,
    pub slug: String,
    pub title: String,
}

#[derive(Debug, Serialize)]
pub(super) struct KeepView {
    pub what_html: String,
    pub place_html: String,
    pub time: AmountView,
    pub at: Option<AmountView>,
    /// How it is packed, how sour it is, what its label says.
    pub more: Vec<String>,
}

/// A footnote, with the places it is called from.
#[derive(Debug, Serialize)]
pub(super) struct NoteView {
    pub number: usize,
    pub id: String,
    pub html: String,
    pub backs: Vec<String>,
}
