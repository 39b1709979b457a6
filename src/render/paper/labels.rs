//! Labels as PDF: a sheet of each, to print at actual size and cut apart.

use super::block::{Block, Run, Words, plain};
use super::fonts::{Fit, Fonts};
use super::pdf::{Area, Page as Sheet, Placed};
use super::set::{Mark, Setter, Slab};
use super::sheet::{Imposition, Paper};
use super::tags::{NodeId, Role};
use super::words::PaperWriter;
use super::{missing_letters, one, pdf};
use crate::check::CheckedCourse;
use crate::diag::{Code as Finding, Diagnostic, Diagnostics};
use crate::input::Project;
use crate::kitchen::Choice;
use crate::recipe::{Keeping, Recipe};
use crate::render::Cx;
use crate::render::allergens;
use crate::render::keeping::packed_words;
use crate::render::labels::{COLUMNS, Label, ROWS, labels};
use crate::render::live::Page;
use crate::render::recipe_view::amount_view;

/// Sizes of type. The EU asks for an x-height of 1.2 mm, which is about 7 pt; nothing of ours is under 12 pt.
const WORDS: f32 = 12.0;
const NAME: f32 = 14.0;
/// How far words stay from the edges of a label.
const PAD: f32 = 9.0;
/// Between the lines of a label that belong to different things.
const GAP: f32 = 1.5;

/// The labels of a course as PDF; `None` where nothing says how it keeps. What comes back instead says why they cannot be
/// set.
pub fn label_sheets(project: &Project, course: &CheckedCourse, paper: Paper) -> Option<Result<Vec<u8>, Diagnostics>> {
    set_labels(&Cx::new(project, course), &mut Fonts::new(), paper)
}

/// All labels of a course; `None` where nothing says how it keeps.
pub(super) fn set_labels(cx: &Cx<'_>, fonts: &mut Fonts, paper: Paper) -> Option<Result<Vec<u8>, Diagnostics>> {
    let mut setter = Setter::new(fonts);
    let mut sheets = Vec::new();
    let mut first = None;
    for (index, lesson) in cx.course.lessons.iter().enumerate() {
        let Some(recipe) = &lesson.recipe else { continue };
        let page = Page::live(cx);
        let mut writer = PaperWriter::new(&page, lesson.file, Choice::AS_WRITTEN, WORDS);
        for label in labels(cx, lesson) {
            first.get_or_insert(lesson);
            let Some(mut made) = sheets_of(&page, &mut setter, &mut writer, (recipe, &label, index), paper) else {
                let message = format!("the label of {} is too long for half a sheet", label.name);
                return Some(Err(one(Diagnostic::new(Finding::NoPaper, message, lesson.title_span))));
            };
            sheets.append(&mut made);
        }
    }
    let first = first?;
    if !setter.missing.is_empty() {
        return Some(Err(missing_letters(cx, first, &setter.missing)));
    }
    let title = format!("{} – labels, {}", cx.course.title, paper.words());
    let about = pdf::About { title, language: cx.course.language.clone() };
    let drawn = pdf::draw(sheets, setter.tree, &about).map_err(|why| {
        one(Diagnostic::new(Finding::NoPaper, "the labels cannot be drawn", first.title_span).note(why))
    });
    Some(drawn)
}

/// The sheets of one label: as many rows as its words leave room for.
fn sheets_of(
    page: &Page<'_>,
    setter: &mut Setter<'_>,
    writer: &mut PaperWriter<'_>,
    (recipe, label, lesson): (&Recipe, &Label, usize),
    paper: Paper,
) -> Option<Vec<Sheet>> {
    let section = setter.tree.add(None, Role::Section);
    let (width, _) = Imposition::labels(paper, COLUMNS, ROWS).card();
    let text = Text { page, recipe, label, lesson };
    let placed = text.set(setter, writer, section, width - 2.0 * PAD);
    let tall = placed.last().map_or(0.0, |last| last.y + last.slab.height);
    let fits = |rows: &usize| tall + 2.0 * PAD <= Imposition::labels(paper, COLUMNS, *rows).card().1;
    let grid = Imposition::labels(paper, COLUMNS, (1..=ROWS).rev().find(fits)?);
    let placed = spread(placed, grid.card().1 - 2.0 * PAD - tall);
    let copies = label.copies.unwrap_or(grid.count());
    let silent: Vec<Placed> = placed.iter().cloned().map(unread).collect();
    let mut sheets = Vec::new();
    for start in (0..copies).step_by(grid.count()) {
        let places = 0..grid.count().min(copies - start);
        let area = |place: usize| {
            let (x, y) = grid.front(place);
            let is_first = start + place == 0;
            let outline = is_first.then(|| format!("Lesson {}: {}", lesson + 1, label.name));
            Area { x: x + PAD, y: y + PAD, placed: if is_first { placed.clone() } else { silent.clone() }, outline }
        };
        let areas = places.map(area).collect();
        sheets.push(Sheet { width: grid.width, height: grid.height, areas, cuts: grid.cuts() });
    }
    Some(sheets)
}

/// Room to write in: what is left of a label's height goes above the lines that are filled in by hand.
fn spread(placed: Vec<Placed>, left: f32) -> Vec<Placed> {
    /// Lines in school books are 8 mm apart (common practice), and a line of type is half of that.
    const MOST: f32 = 9.0;
    let is_blank = |slab: &Slab| slab.marks.iter().any(|mark| matches!(mark, Mark::Bar { .. }));
    let blanks = placed.iter().filter(|one| is_blank(&one.slab)).count().max(1);
    let each = (left / blanks as f32).clamp(0.0, MOST);
    let mut down = 0.0;
    let mut moved = Vec::new();
    for one in placed {
        down += if is_blank(&one.slab) { each } else { 0.0 };
        moved.push(Placed { y: one.y + down, ..one });
    }
    moved
}

/// A copy: it is read once, however often it is printed.
fn unread(mut placed: Placed) -> Placed {
    for mark in &mut placed.slab.marks {
        if let Mark::Line { node, .. } = mark {
            *node = None;
        }
    }
    placed
}

struct Text<'a> {
    page: &'a Page<'a>,
    recipe: &'a Recipe,
    label: &'a Label,
    lesson: usize,
}

impl Text<'_> {
    /// Its lines, one under the other.
    fn set(&self, setter: &mut Setter<'_>, writer: &mut PaperWriter<'_>, section: NodeId, width: f32) -> Vec<Placed> {
        let mut slabs: Vec<Slab> = Vec::new();
        let name = Block::Heading { level: 1, words: plain(self.label.name.as_str()), size: NAME };
        let mut put = |mut set: Vec<Slab>| {
            set.iter_mut().for_each(|slab| slab.gap = 0.0);
            set.first_mut().into_iter().for_each(|slab| slab.gap = GAP);
            slabs.append(&mut set);
        };
        put(setter.blocks(Some(section), &[name], width));
        let keeps = self.label.keeps.iter().map(|index| &self.recipe.keeps[*index]);
        let mut said = vec![self.contains()];
        for (place, keeping) in keeps.enumerate() {
            said.push(self.kept(writer, keeping, place == 0));
        }
        for words in said {
            put(setter.blocks(Some(section), &[Block::Words { words, size: WORDS }], width));
        }
        let first = &self.recipe.keeps[self.label.keeps[0]];
        let time = writer.amount_words(&amount_view(self.page, first.time));
        put(blank(setter, section, plain("Made on"), width));
        put(blank(setter, section, vec![Run::bold(self.label.mark(self.page, self.recipe))], width));
        let from = plain(format!("({time} from the day it was made)"));
        put(setter.blocks(Some(section), &[Block::Words { words: from, size: WORDS }], width));
        put(blank(setter, section, plain(format!("Lot: lesson {}.  Amount", self.lesson + 1)), width));
        let mut y = 0.0;
        let place = |slab: Slab| {
            let at = if y > 0.0 { y + slab.gap } else { y };
            y = at + slab.height;
            Placed { y: at, slab }
        };
        slabs.into_iter().map(place).collect()
    }

    fn contains(&self) -> Words {
        let said = allergens::of_recipe(self.recipe, self.page.reference, self.page.course.guests.law);
        let mut words = if said.names.is_empty() {
            plain("Allergens: none named in the pantry; read the packs.")
        } else {
            let list = if said.foreign { format!(" ({} names).", said.list) } else { ".".to_owned() };
            vec![Run::plain("Contains "), Run::bold(said.names.join(", ")), Run::plain(list)]
        };
        if !said.may.is_empty() {
            words.extend([Run::plain(" May contain "), Run::bold(said.may.join(", ")), Run::plain(".")]);
        }
        words
    }

    /// Where, how packed and how cold; of another way to keep it also how long.
    fn kept(&self, writer: &mut PaperWriter<'_>, keeping: &Keeping, first: bool) -> Words {
        let mut words = plain(if first { "Keep: " } else { "Also: " });
        words.append(&mut writer.visible(&keeping.place));
        words.extend(packed_words(keeping).map(|more| Run::plain(format!(", {more}"))));
        for id in keeping.at.into_iter().chain((!first).then_some(keeping.time)) {
            words.push(Run::plain(format!(", {}", writer.amount_words(&amount_view(self.page, id)))));
        }
        words.push(Run::plain("."));
        words
    }
}

/// Words and a line to write on after them.
fn blank(setter: &mut Setter<'_>, section: NodeId, words: Words, width: f32) -> Vec<Slab> {
    let end = setter.text(&words, WORDS, width, Fit::Left).width() + 4.0;
    let mut slabs = setter.blocks(Some(section), &[Block::Words { words, size: WORDS }], width);
    if let Some(slab) = slabs.last_mut() {
        let y = slab.height - 3.0;
        slab.marks.push(Mark::Bar { x: end, y, width: (width - end).max(0.0), height: 0.5 });
    }
    slabs
}
