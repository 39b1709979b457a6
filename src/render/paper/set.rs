//! Sets blocks: everything becomes lines of a known height before anything is drawn, so that what fits on a card is
//! told by adding up.

use super::block::{Block, Figure, Item, Pictured, Run, Words, letters};
use super::code::Code;
use super::fonts::{Fit, Fonts, SetText};
use super::picture::Picture;
use super::tags::{NodeId, Role, Tree};
use crate::render::chart::{Chart, Shape};
use std::collections::BTreeSet;
use std::rc::Rc;

/// The frame of a box, and the room in it.
const FRAME: f32 = 1.0;
const HEAVY: f32 = 4.0;
const INSIDE: f32 = 6.0;
/// Every reading of a figure is as large as this on a card: its capitals can be read at one metre.
const LARGE: f32 = 24.0;
/// Size of the words in a chart, the least that guides on clear print allow.
const CHART_TYPE: f32 = 12.0;
/// A box of so many lines is not parted.
const SHORT: usize = 7;

/// A stretch as high as a line, which cannot be parted.
#[derive(Clone)]
pub(crate) struct Slab {
    pub height: f32,
    /// Room above it; none at the top of a page.
    pub gap: f32,
    /// Whether it stays with the next.
    pub glued: bool,
    pub marks: Vec<Mark>,
}

/// Something that is drawn, in points from the top left of its slab.
#[derive(Clone)]
pub(crate) enum Mark {
    /// Without a stretch to belong to, it is no part of what is read: a strip at the foot of a card.
    Line {
        text: Rc<SetText>,
        line: usize,
        x: f32,
        y: f32,
        node: Option<NodeId>,
    },
    Bar {
        x: f32,
        y: f32,
        width: f32,
        height: f32,
    },
    /// A thin line through points that lie from `x` and `y`.
    Path {
        points: Vec<(f32, f32)>,
        x: f32,
        y: f32,
        dashed: bool,
    },
    Code {
        code: Rc<Code>,
        x: f32,
        y: f32,
        node: NodeId,
    },
    /// Without a stretch to belong to, nothing of it is read.
    Picture {
        picture: Picture,
        x: f32,
        y: f32,
        width: f32,
        height: f32,
        node: Option<NodeId>,
    },
}

impl Mark {
    fn shift(&mut self, dx: f32, dy: f32) {
        match self {
            Mark::Line { x, y, .. }
            | Mark::Bar { x, y, .. }
            | Mark::Path { x, y, .. }
            | Mark::Code { x, y, .. }
            | Mark::Picture { x, y, .. } => {
                *x += dx;
                *y += dy;
            }
        }
    }
}

impl Slab {
    pub(super) fn blank(height: f32) -> Slab {
        Slab { height, gap: 0.0, glued: false, marks: Vec::new() }
    }
}

/// Turns blocks into slabs.
pub(crate) struct Setter<'f> {
    fonts: &'f mut Fonts,
    /// The structure of the document so far.
    pub tree: Tree,
    /// Letters that the fonts lack.
    pub missing: BTreeSet<char>,
}

impl<'f> Setter<'f> {
    /// A new document.
    pub(crate) fn new(fonts: &'f mut Fonts) -> Setter<'f> {
        Setter { fonts, tree: Tree::default(), missing: BTreeSet::new() }
    }

    /// Its fonts, for a trial beside it.
    pub(crate) fn fonts(&mut self) -> &mut Fonts {
        self.fonts
    }

    /// Sets blocks one under the other.
    pub(crate) fn blocks(&mut self, parent: Option<NodeId>, blocks: &[Block], width: f32) -> Vec<Slab> {
        let mut slabs: Vec<Slab> = Vec::new();
        let mut below: f32 = 0.0;
        for block in blocks {
            let mut set = self.block(parent, block, width);
            if let Some(first) = set.first_mut() {
                first.gap = first.gap.max(gap_before(block)).max(below);
            }
            // What stands under a picture is not to be taken for the words that go on.
            below = if let Block::Picture(pictured) = block { 0.8 * pictured.size } else { 0.0 };
            slabs.append(&mut set);
        }
        slabs
    }

    fn block(&mut self, parent: Option<NodeId>, block: &Block, width: f32) -> Vec<Slab> {
        match block {
            Block::Heading { level, words, size } => {
                let node = self.tree.add(parent, Role::Heading(*level, letters(words)));
                let bold: Words = words.iter().map(|run| Run { bold: true, ..run.clone() }).collect();
                let mut slabs = self.lines(&bold, *size, width, node);
                slabs.iter_mut().for_each(|slab| slab.glued = true);
                slabs
            }
            Block::Words { words, size } => {
                let node = self.tree.add(parent, Role::Paragraph);
                let mut slabs = self.lines(words, *size, width, node);
                glue_ends(&mut slabs);
                slabs
            }
            Block::List { items, size } => self.list(parent, items, *size, width),
            Block::Figures { figures, size, large } => self.figures(parent, figures, (*size, *large), width),
            Block::Table { shares, head, rows, size } => self.table(parent, shares, (head, rows), *size, width),
            Block::Boxed(blocks) => self.boxed(parent, blocks, width),
            Block::Beside { blocks, code } => self.beside(parent, blocks, code, width),
            Block::Picture(pictured) => self.picture(parent, pictured, width),
            Block::Chart(chart) => vec![self.chart(chart)],
            Block::Rule => {
                let mut slab = Slab::blank(0.75);
                slab.marks.push(Mark::Bar { x: 0.0, y: 0.0, width, height: 0.75 });
                vec![slab]
            }
            Block::Together(blocks) => {
                let mut slabs = self.blocks(parent, blocks, width);
                let last = slabs.len().saturating_sub(1);
                slabs[..last].iter_mut().for_each(|slab| slab.glued = true);
                slabs
            }
        }
    }

    /// Words as lines, for a line that is no part of what is read.
    pub(crate) fn text(&mut self, words: &[Run], size: f32, width: f32, fit: Fit) -> Rc<SetText> {
        let text = self.fonts.set(words, size, width, fit);
        self.missing.extend(text.missing());
        Rc::new(text)
    }

    fn lines(&mut self, words: &[Run], size: f32, width: f32, node: NodeId) -> Vec<Slab> {
        let text = self.text(words, size, width, Fit::Left);
        let line = |line: usize| Slab {
            marks: vec![Mark::Line { text: Rc::clone(&text), line, x: 0.0, y: 0.0, node: Some(node) }],
            ..Slab::blank(text.height(line))
        };
        (0..text.lines()).map(line).collect()
    }

    fn list(&mut self, parent: Option<NodeId>, items: &[Item], size: f32, width: f32) -> Vec<Slab> {
        let list = self.tree.add(parent, Role::List);
        let marks: Vec<Rc<SetText>> =
            items.iter().map(|item| self.text(&[Run::plain(item.mark.as_str())], size, width, Fit::Left)).collect();
        let room = marks.iter().map(|mark| mark.width()).fold(0.0, f32::max) + 0.4 * size;
        let mut slabs: Vec<Slab> = Vec::new();
        for (item, mark) in items.iter().zip(marks) {
            let row = self.tree.add(Some(list), Role::Item);
            let label = self.tree.add(Some(row), Role::Mark);
            let body = self.tree.add(Some(row), Role::ItemBody);
            let mut set = self.blocks(Some(body), &item.blocks, width - room);
            set.iter_mut().flat_map(|slab| &mut slab.marks).for_each(|mark| mark.shift(room, 0.0));
            if let Some(first) = set.first_mut() {
                first.gap = 0.2 * size;
                if mark.lines() > 0 {
                    first.marks.insert(0, Mark::Line { text: mark, line: 0, x: 0.0, y: 0.0, node: Some(label) });
                }
            }
            slabs.append(&mut set);
        }
        slabs
    }

    /// Figures with their labels above them, as many in a row as fit.
    fn figures(&mut self, parent: Option<NodeId>, figures: &[Figure], sizes: (f32, f32), width: f32) -> Vec<Slab> {
        // Much more than the blank between a figure and its other reading.
        let between = sizes.1 * 0.8;
        let mut slabs: Vec<Slab> = Vec::new();
        let mut x = f32::INFINITY;
        for figure in figures {
            let node = self.tree.add(parent, Role::Paragraph);
            let text = self.text(&figure_words(figure, sizes.1), sizes.0, width, Fit::Figures);
            if x + text.width() > width {
                slabs.push(Slab { gap: 0.2 * sizes.0, ..Slab::blank(0.0) });
                x = 0.0;
            }
            let Some(slab) = slabs.last_mut() else { continue };
            let mut y = 0.0;
            for line in 0..text.lines() {
                slab.marks.push(Mark::Line { text: Rc::clone(&text), line, x, y, node: Some(node) });
                y += text.height(line);
            }
            slab.height = slab.height.max(y);
            x += text.width() + between;
        }
        slabs
    }

    /// A frame that goes on over the edge of a page with what is in it.
    fn boxed(&mut self, parent: Option<NodeId>, blocks: &[Block], width: f32) -> Vec<Slab> {
        let left = HEAVY + INSIDE;
        let mut slabs = self.blocks(parent, blocks, width - left - INSIDE - FRAME);
        let last = slabs.len().saturating_sub(1);
        let short = slabs.len() <= SHORT;
        for (index, slab) in slabs.iter_mut().enumerate() {
            slab.glued |= short && index < last;
            let above = if index == 0 { INSIDE } else { slab.gap };
            let below = if index == last { INSIDE } else { 0.0 };
            slab.marks.iter_mut().for_each(|mark| mark.shift(left, above));
            slab.height += above + below;
            slab.gap = 0.0;
            let height = slab.height;
            slab.marks.push(Mark::Bar { x: 0.0, y: 0.0, width: HEAVY, height });
            slab.marks.push(Mark::Bar { x: width - FRAME, y: 0.0, width: FRAME, height });
            if index == 0 {
                slab.marks.push(Mark::Bar { x: 0.0, y: 0.0, width, height: FRAME });
            }
            if index == last {
                slab.marks.push(Mark::Bar { x: 0.0, y: height - FRAME, width, height: FRAME });
            }
        }
        slabs
    }

    /// One slab, unless the words are much taller than the code: then the code comes after them.
    fn beside(&mut self, parent: Option<NodeId>, blocks: &[Block], code: &Code, width: f32) -> Vec<Slab> {
        let side = code.size();
        let mut words = self.blocks(parent, blocks, width - side - INSIDE);
        let tall: f32 = words.iter().map(|slab| slab.gap + slab.height).sum();
        if tall > 4.0 * side {
            words.push(self.code(parent, code, width - side));
            return words;
        }
        let mut one = Slab::blank(side.max(tall));
        let mut y = 0.0;
        for (index, mut slab) in words.into_iter().enumerate() {
            y += if index == 0 { 0.0 } else { slab.gap };
            slab.marks.iter_mut().for_each(|mark| mark.shift(0.0, y));
            one.marks.append(&mut slab.marks);
            one.glued = slab.glued;
            y += slab.height;
        }
        one.marks.append(&mut self.code(parent, code, width - side).marks);
        vec![one]
    }

    /// A picture and what stands under it, which are not parted.
    fn picture(&mut self, parent: Option<NodeId>, pictured: &Pictured, width: f32) -> Vec<Slab> {
        let Pictured { picture, means, under, size, tallest } = pictured;
        let node = (!means.is_empty()).then(|| self.tree.add(parent, Role::Picture(means.clone())));
        let (wide, high) = picture.fitted(width, *tallest);
        let mark = Mark::Picture { picture: picture.clone(), x: 0.0, y: 0.0, width: wide, height: high, node };
        let mut slabs = vec![Slab { marks: vec![mark], ..Slab::blank(high) }];
        for words in under {
            let node = self.tree.add(parent, Role::Paragraph);
            let mut lines = self.lines(words, *size, width, node);
            if let Some(first) = lines.first_mut() {
                first.gap = 0.2 * size;
            }
            slabs.append(&mut lines);
        }
        let last = slabs.len() - 1;
        slabs[..last].iter_mut().for_each(|slab| slab.glued = true);
        slabs
    }

    /// A picture of shapes. It is no part of what is read.
    fn chart(&mut self, chart: &Chart) -> Slab {
        let mut slab = Slab::blank(chart.height);
        for shape in &chart.shapes {
            match shape {
                Shape::Bar { x, y, width, height, filled: true } => {
                    slab.marks.push(Mark::Bar { x: *x, y: *y, width: *width, height: *height });
                }
                Shape::Bar { x, y, width, height, filled: false } => {
                    let points = vec![(0.0, 0.0), (*width, 0.0), (*width, *height), (0.0, *height), (0.0, 0.0)];
                    slab.marks.push(Mark::Path { points, x: *x, y: *y, dashed: false });
                }
                Shape::Line { points, dashed } => {
                    slab.marks.push(Mark::Path { points: points.clone(), x: 0.0, y: 0.0, dashed: *dashed });
                }
                Shape::Text { x, y, text, at_end, .. } => {
                    let words = [Run::plain(text.as_str())];
                    let text = self.text(&words, CHART_TYPE, f32::MAX, Fit::Left);
                    let x = if *at_end { x - text.width() } else { *x };
                    let y = y - text.height(0) * 0.8;
                    slab.marks.push(Mark::Line { text, line: 0, x, y, node: None });
                }
            }
        }
        slab
    }

    fn code(&mut self, parent: Option<NodeId>, code: &Code, x: f32) -> Slab {
        let link = self.tree.add(parent, Role::Link);
        let node = self.tree.add(Some(link), Role::Picture(code.means.clone()));
        let mark = Mark::Code { code: Rc::new(code.clone()), x, y: 0.0, node };
        Slab { marks: vec![mark], ..Slab::blank(code.size()) }
    }
}

fn figure_words(figure: &Figure, large: f32) -> Words {
    let mut words = vec![Run::plain(format!("{}\n", figure.label)), Run::bold(figure.value.as_str()).sized(large)];
    if let Some(other) = &figure.other {
        words.push(Run::plain(format!(" {other}")).sized((0.8 * large).max(LARGE).min(large)));
    }
    words
}

/// The first two lines stay together, and the last two.
pub(super) fn glue_ends(slabs: &mut [Slab]) {
    let len = slabs.len();
    if len > 1 {
        slabs[0].glued = true;
        slabs[len - 2].glued = true;
    }
}

/// Room above a block, in points.
fn gap_before(block: &Block) -> f32 {
    match block {
        Block::Heading { size, .. } => 0.6 * size,
        Block::Words { size, .. } | Block::List { size, .. } | Block::Table { size, .. } => 0.4 * size,
        Block::Figures { size, .. } => 0.3 * size,
        Block::Picture(pictured) => 0.6 * pictured.size,
        Block::Boxed(_) | Block::Rule | Block::Chart(_) => 5.0,
        Block::Beside { .. } => 0.0,
        Block::Together(blocks) => blocks.first().map_or(0.0, gap_before),
    }
}
