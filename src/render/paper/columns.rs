//! Sets a document in columns, page after page, with a line at the foot of each.

use super::block::{Block, Run};
use super::fill::fill;
use super::fonts::Fit;
use super::pdf::{Area, Page, Placed};
use super::set::{Mark, Setter, Slab};
use super::sheet::Paper;
use super::tags::{NodeId, Role};
use std::collections::VecDeque;

/// Between columns, and between the head of a page and its columns.
const GUTTER: f32 = 20.0;
/// Room for the line at the foot, its own height included.
const FOOT: f32 = 26.0;
/// Between ruled lines: as school books have them (common practice).
const RULED: f32 = 8.0 * 72.0 / 25.4;
/// Fewer ruled lines than these are no room for notes.
const LEAST_LINES: f32 = 6.0;
/// Less height than this is no column.
const LEAST_COLUMN: f32 = 100.0;

/// What a document is set on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Form {
    pub paper: Paper,
    /// One or two.
    pub columns: usize,
    /// Size of the line at the foot.
    pub size: f32,
}

/// A part of a document that begins a page.
pub(crate) struct Part {
    /// Its name in the outline.
    pub name: String,
    /// Set as wide as the page, above the columns.
    pub head: Vec<Block>,
    pub body: Vec<Block>,
    /// Whether ruled lines follow.
    pub ruled: bool,
}

/// Pages that still lack the line at their foot.
pub(crate) struct Draft {
    pages: Vec<(String, Vec<Area>)>,
    form: Form,
}

impl Form {
    fn margin(&self) -> f32 {
        self.paper.margin()
    }

    fn room(&self) -> (f32, f32) {
        let ((width, height), margin) = (self.paper.size(), self.margin());
        (width - 2.0 * margin, height - 2.0 * margin - FOOT)
    }

    /// The most height that a picture takes: two fifths of a page, so that words keep the larger part.
    pub(crate) fn tallest(&self) -> f32 {
        0.4 * self.paper.size().1
    }

    /// Width of a column.
    pub(crate) fn column(&self) -> f32 {
        let gaps = GUTTER * (self.columns as f32 - 1.0);
        (self.room().0 - gaps) / self.columns as f32
    }
}

impl Draft {
    pub(crate) fn new(form: Form) -> Draft {
        Draft { pages: Vec::new(), form }
    }

    /// How many pages there are so far.
    pub(crate) fn len(&self) -> usize {
        self.pages.len()
    }

    /// Sets a part on pages of its own, as the next child of a stretch.
    pub(crate) fn add(&mut self, setter: &mut Setter<'_>, parent: Option<NodeId>, part: &Part) {
        let section = setter.tree.add(parent, Role::Section);
        let (width, height) = self.form.room();
        let mut head: VecDeque<Slab> = setter.blocks(Some(section), &part.head, width).into();
        let mut body: VecDeque<Slab> = setter.blocks(Some(section), &part.body, self.form.column()).into();
        let mut ruled = part.ruled;
        let mut first = true;
        while first || !head.is_empty() || !body.is_empty() || ruled {
            let outline = first.then(|| part.name.clone());
            first = false;
            let mut top = 0.0;
            let placed = fill(&mut head, height);
            if let Some(last) = placed.last() {
                top = last.y + last.slab.height + GUTTER;
            }
            let mut areas = vec![self.area((0.0, 0.0), placed, outline)];
            let open = head.is_empty() && height - top >= LEAST_COLUMN;
            for column in (0..self.form.columns).filter(|_| open) {
                let mut placed = fill(&mut body, height - top);
                if body.is_empty() && part.ruled {
                    let end = placed.last().map_or(0.0, |last| last.y + last.slab.height + GUTTER);
                    ruled &= !rule(setter, section, &mut placed, (end, height - top), self.form, ruled);
                }
                let x = column as f32 * (self.form.column() + GUTTER);
                areas.push(self.area((x, top), placed, None));
            }
            self.pages.push((part.name.clone(), areas));
        }
    }

    fn area(&self, (x, y): (f32, f32), placed: Vec<Placed>, outline: Option<String>) -> Area {
        let margin = self.form.margin();
        Area { x: margin + x, y: margin + y, placed, outline }
    }

    /// Goes on with the pages of another.
    pub(crate) fn append(&mut self, other: Draft) {
        self.pages.extend(other.pages);
    }

    /// The pages with their parts' names and their numbers.
    pub(crate) fn finish(self, setter: &mut Setter<'_>) -> Vec<Page> {
        let (form, all) = (self.form, self.pages.len());
        let ((width, height), (room, tall)) = (form.paper.size(), form.room());
        let mut pages = Vec::new();
        for (number, (name, mut areas)) in (1..).zip(self.pages) {
            let count = format!("{number} of {all}");
            let right = setter.text(&[Run::plain(count)], form.size, room, Fit::Right);
            let left = setter.text(&[Run::plain(name)], form.size, room * 0.8, Fit::Left);
            let line = |text| Mark::Line { text, line: 0, x: 0.0, y: 0.0, node: None };
            let marks = vec![line(left), line(right)];
            let slab = Slab { height: FOOT, gap: 0.0, glued: false, marks };
            let y = tall + FOOT - 1.22 * form.size;
            areas.push(Area { x: form.margin(), y: form.margin(), placed: vec![Placed { y, slab }], outline: None });
            pages.push(Page { width, height, areas, cuts: Vec::new() });
        }
        pages
    }
}

/// Ruled lines down to the end of a column, with their heading if they are the first. Whether there was room.
fn rule(
    setter: &mut Setter<'_>,
    parent: NodeId,
    placed: &mut Vec<Placed>,
    (from, to): (f32, f32),
    form: Form,
    headed: bool,
) -> bool {
    if to - from < LEAST_LINES * RULED {
        return false;
    }
    let mut y = from;
    if headed {
        let heading = Block::Heading { level: 2, words: vec![Run::plain("Notes")], size: 1.25 * form.size };
        for slab in setter.blocks(Some(parent), &[heading], form.column()) {
            let height = slab.height;
            placed.push(Placed { y, slab });
            y += height;
        }
    }
    while y + RULED <= to {
        y += RULED;
        let mark = Mark::Bar { x: 0.0, y: 0.0, width: form.column(), height: 0.4 };
        let slab = Slab { height: 0.4, gap: 0.0, glued: false, marks: vec![mark] };
        placed.push(Placed { y, slab });
    }
    true
}
