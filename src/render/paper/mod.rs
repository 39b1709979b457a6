//! Paper: cards to laminate and handouts to fold, set by ourselves and written as PDF.
//!
//! `words` turns prose into `block`s that say what the reader chose, `card` and `cover` say what stands where, `set`
//! makes lines of known height of them, with each `picture` that can be drawn, `fill` puts these on pages: `deck` on cards, `columns` on
//! handouts, `labels` on labels; `sheet` cards on sheets, `pdf` draws.

pub(crate) mod block;
mod card;
mod choice;
mod code;
mod columns;
mod cover;
mod deck;
mod fill;
mod fonts;
mod glyphs;
mod handout;
mod labels;
mod limits;
mod pdf;
mod picture;
mod published;
mod said;
mod set;
mod sheet;
mod table;
mod tags;
mod turned;
mod weigh;
mod words;

#[cfg(test)]
mod tests;

pub use choice::CardChoice;
pub(super) use code::Code;
pub(super) use handout::page_code;
pub use handout::{HandoutChoice, booklet, handout};
pub use labels::label_sheets;
pub(super) use picture::Pictures;
pub(super) use published::Papers;
pub use sheet::{Edge, Paper};

use super::Cx;
use super::links::Links;
use super::live::Page;
use crate::check::CheckedCourse;
use crate::diag::{Code as Finding, Diagnostic, Diagnostics};
use crate::input::Project;
use crate::kitchen::Choice;
use crate::recipe::{Lesson, Step};
use crate::source::Span;
use card::{CardWriter, Sizes};
use choice::{link_state, times};
use deck::{Deck, impose};
use fonts::Fonts;
use set::Setter;
use sheet::Imposition;
use std::collections::BTreeSet;
use words::PaperWriter;

/// A set of cards.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cards {
    /// The PDF.
    pub pdf: Vec<u8>,
    /// How many cards there are, the cover and those that go on included.
    pub count: usize,
    /// What its author may want to know: which cards run on.
    pub notes: Diagnostics,
}

/// The cards of a lesson. What comes back instead says why they cannot be set.
pub fn cards(
    project: &Project,
    course: &CheckedCourse,
    lesson: usize,
    choice: &CardChoice,
) -> Result<Cards, Diagnostics> {
    let cx = Cx::new(project, course);
    set_cards(&cx, &mut Fonts::new(), lesson, choice)
}

fn set_cards(cx: &Cx<'_>, fonts: &mut Fonts, index: usize, choice: &CardChoice) -> Result<Cards, Diagnostics> {
    let Some(lesson) = cx.course.lessons.get(index) else { return Err(Diagnostics::default()) };
    let sizes = Sizes::of(choice.paper.size().0);
    let page = Page::live(cx);
    let writer = PaperWriter::new(&page, lesson.file, choice.shown, sizes.words);
    let mut writer = CardWriter::new(&page, lesson, writer, sizes).by(&choice.ways);
    let steps = writer.steps(|lesson, step| step_code(cx, lesson, step, &choice.shown));
    let cover = writer.cover(&choice.shown);
    let mut setter = Setter::new(fonts);
    let name = [Some(lesson.title.clone()), times(&choice.shown)].into_iter().flatten().collect::<Vec<_>>().join(" · ");
    let mut deck = Deck { setter: &mut setter, paper: choice.paper, sizes, lesson: name, count: lesson.steps.len() };
    let mut all = deck.card(&cover);
    let mut long = Vec::new();
    for text in &steps {
        let mut set = deck.card(text);
        if let Some(step) = text.number.filter(|_| set.len() > 1) {
            long.push((step, set.len()));
        }
        all.append(&mut set);
    }
    if !setter.missing.is_empty() {
        return Err(missing_letters(cx, lesson, &setter.missing));
    }
    let imposition = match choice.sheet {
        Some((sheet, edge)) => Imposition::sheet(choice.paper, sheet, edge),
        None => None,
    };
    let imposition = imposition.unwrap_or_else(|| Imposition::single(choice.paper));
    let count = all.len();
    let pages = impose(all, &imposition, choice.paper);
    let about = pdf::About {
        title: format!("{} – cards, {}", lesson.title, choice.words()),
        language: cx.course.language.clone(),
    };
    match pdf::draw(pages, setter.tree, &about) {
        Ok(pdf) => Ok(Cards { pdf, count, notes: long_cards(lesson, &long, choice) }),
        Err(why) => {
            Err(one(Diagnostic::new(Finding::NoPaper, "the cards of this lesson cannot be drawn", lesson.title_span)
                .note(why)))
        }
    }
}

fn one(found: Diagnostic) -> Diagnostics {
    let mut findings = Diagnostics::default();
    findings.push(found);
    findings
}

/// The code of a step, where the course says where its pages lie. It leads to the step as it stands on the card.
pub(super) fn step_code(cx: &Cx<'_>, lesson: &Lesson, step: usize, shown: &Choice) -> Option<Code> {
    let address = cx.course.address.as_ref()?;
    let of: &Step = lesson.steps.get(step)?;
    let slug = &lesson.headings.get(of.heading)?.slug;
    let mut state = link_state(shown);
    let fragment = if state.is_empty() {
        super::links::encoded(slug)
    } else {
        state.push(format!("at={}", super::links::encoded(&of.id)));
        state.join("&")
    };
    let page = super::links::encoded(&Links::lesson_page(&lesson.slug));
    Code::new(&format!("{address}{page}#{fragment}"), format!("Code that leads to step {}, {}", step + 1, of.title))
}

/// One note for a lesson: which of its steps take more than one card.
fn long_cards(lesson: &Lesson, long: &[(usize, usize)], choice: &CardChoice) -> Diagnostics {
    let Some((first, _)) = long.first() else { return Diagnostics::default() };
    let steps: Vec<String> = long.iter().map(|(step, cards)| format!("step {step} ({cards} cards)")).collect();
    let message = format!("on {}, these steps run on to further cards: {}", choice.paper.words(), steps.join(", "));
    let span = lesson.steps.get(first - 1).map_or(lesson.title_span, |step| step.span);
    let mut found = Diagnostic::new(Finding::LongCard, message, span);
    for (step, cards) in long.iter().skip(1) {
        if let Some(step) = lesson.steps.get(step - 1) {
            found = found.related(step.span, format!("{cards} cards"));
        }
    }
    one(found.help("nothing is lost or set smaller; shorten the words, part the step, or choose larger paper"))
}

/// Letters that the font lacks, each at the first place where the lesson has it.
fn missing_letters(cx: &Cx<'_>, lesson: &Lesson, missing: &BTreeSet<char>) -> Diagnostics {
    let mut findings = Diagnostics::default();
    for letter in missing {
        let in_runs = lesson.runs.iter().chain(&cx.course.runs).find_map(|run| {
            let at = run.text.text.find(*letter)?;
            Some(run.text.home(at..at + letter.len_utf8()))
        });
        let in_terms = || cx.course.terms.iter().find(|term| term.name.contains(*letter)).map(|term| term.span);
        let span: Span = in_runs.or_else(in_terms).unwrap_or(lesson.title_span);
        let message = format!("the font of cards and handouts has no letter `{letter}` (U+{:04X})", u32::from(*letter));
        let found = Diagnostic::new(Finding::NoPaper, message, span);
        findings.push(found.help("write it in other letters; until then this lesson has no paper"));
    }
    findings.sorted()
}
