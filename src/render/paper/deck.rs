//! Sets cards: fronts and backs, what goes on, the strip at the foot, and all of them on their sheets.

use super::block::{Block, Run, Words, letters};
use super::card::{CardText, Sizes};
use super::fill::fill;
use super::fonts::Fit;
use super::pdf::{Area, Page, Placed};
use super::set::{Mark, Setter, Slab};
use super::sheet::{Imposition, Paper};
use super::tags::Role;
use std::collections::VecDeque;

/// Above words that go on behind a card.
const GOES_ON: &str = "Continued from the front";

/// What stands on every card of a set.
pub(crate) struct Deck<'a, 'f> {
    pub setter: &'a mut Setter<'f>,
    pub paper: Paper,
    pub sizes: Sizes,
    /// The lesson, and the scale where it is not one batch.
    pub lesson: String,
    /// How many steps there are.
    pub count: usize,
}

/// The two sides of a card.
pub(crate) struct SetCard {
    front: Vec<Placed>,
    back: Vec<Placed>,
    name: String,
}

impl Deck<'_, '_> {
    /// A card, and those on which it goes on: from the front to the back, then to the next.
    pub(crate) fn card(&mut self, text: &CardText) -> Vec<SetCard> {
        let width = self.room().0;
        let section = self.setter.tree.add(None, Role::Section);
        let mut rest: VecDeque<Slab> = {
            let blocks = self.front(text);
            self.setter.blocks(Some(section), &blocks, width).into()
        };
        let mut rescues: VecDeque<Slab> = self.setter.blocks(Some(section), &text.rescues, width).into();
        let mut behind: VecDeque<Slab> = self.setter.blocks(Some(section), &text.back, width).into();
        if text.number.is_none() {
            rest.append(&mut behind);
        }
        let mut cards = Vec::new();
        while cards.is_empty() || !rest.is_empty() {
            let number = cards.len();
            let place = self.place(text, number);
            let name = format!("{place}: {}", letters(&text.title));
            let above = (number > 0).then(|| format!("{place}: {}", short(&letters(&text.title))));
            let front = self.side(&mut rest, above, text.number);
            if number == 0 {
                // What the front has no room for goes on behind, after the rescues, which keep their place.
                if text.number.is_some() && !rest.is_empty() {
                    rescues.push_back(self.goes_on(width));
                }
                rescues.append(&mut rest);
                rest = std::mem::take(&mut rescues);
                rest.append(&mut behind);
            }
            let above = format!("{place}, back");
            let back = if rest.is_empty() { Vec::new() } else { self.side(&mut rest, Some(above), text.number) };
            cards.push(SetCard { front, back, name });
        }
        cards
    }

    /// The line between what belongs on a back and the words that go on there.
    fn goes_on(&mut self, width: f32) -> Slab {
        let text = self.setter.text(&[Run::bold(GOES_ON)], self.sizes.words, width, Fit::Left);
        let height = text.height(0) + 0.2 * self.sizes.words;
        let marks = vec![Mark::Line { text, line: 0, x: 0.0, y: 0.0, node: None }];
        Slab { height, gap: 0.6 * self.sizes.words, glued: true, marks }
    }

    /// `3 of 8`, `3 of 8, continued`, `3 of 8, continued 2`.
    fn place(&self, text: &CardText, card: usize) -> String {
        let place = text.number.map_or("Cover".to_owned(), |number| format!("{number} of {}", self.count));
        match card {
            0 => place,
            1 => format!("{place}, continued"),
            _ => format!("{place}, continued {card}"),
        }
    }

    fn front(&self, text: &CardText) -> Vec<Block> {
        let level = if text.number.is_some() { 2 } else { 1 };
        let mut line: Words = vec![Run::bold(self.place(text, 0)).sized(self.sizes.strong)];
        if text.number.is_some() {
            line.push(Run::plain(format!("  {}", self.lesson)));
        }
        let head = vec![
            Block::Words { words: line, size: self.sizes.words },
            Block::Heading { level, words: text.title.clone(), size: self.sizes.title },
        ];
        let mut blocks = match &text.code {
            Some(code) => vec![Block::Beside { blocks: head, code: code.clone() }],
            None => head,
        };
        blocks.push(Block::Rule);
        blocks.extend(text.front.iter().cloned());
        blocks
    }

    /// Width and height of what can be set between the margins and the strip.
    fn room(&self) -> (f32, f32) {
        let ((width, height), margin) = (self.paper.size(), self.paper.margin());
        (width - 2.0 * margin, height - 2.0 * margin - self.foot())
    }

    fn foot(&self) -> f32 {
        1.8 * self.sizes.words
    }

    /// One side: the line above, what fits, the strip.
    fn side(&mut self, slabs: &mut VecDeque<Slab>, above: Option<String>, number: Option<usize>) -> Vec<Placed> {
        let (width, height) = self.room();
        let mut placed = Vec::new();
        let mut y = 0.0;
        if let Some(place) = above {
            let mut words = vec![Run::bold(place)];
            if number.is_some() {
                words.push(Run::plain(format!("  {}", short(&self.lesson))));
            }
            let text = self.setter.text(&words, self.sizes.words, width, Fit::Left);
            for line in 0..text.lines() {
                let mark = Mark::Line { text: text.clone(), line, x: 0.0, y: 0.0, node: None };
                let slab = Slab { height: text.height(line), gap: 0.0, glued: false, marks: vec![mark] };
                let tall = slab.height;
                placed.push(Placed { y, slab });
                y += tall;
            }
            y += 6.0;
        }
        // Hostile titles must leave room for something to go on.
        let y = y.min(height / 2.0);
        placed.extend(fill(slabs, height - y).into_iter().map(|one| Placed { y: y + one.y, ..one }));
        placed.push(Placed { y: height, slab: self.strip(number, width) });
        placed
    }

    /// All the numbers, this card's own in a frame: with it a dropped stack is put back in order.
    fn strip(&mut self, number: Option<usize>, width: f32) -> Slab {
        let size = self.sizes.words;
        let names: Vec<String> =
            std::iter::once("Cover".to_owned()).chain((1..=self.count).map(|number| number.to_string())).collect();
        let texts: Vec<_> =
            names.iter().map(|name| self.setter.text(&[Run::plain(name.as_str())], size, width, Fit::Left)).collect();
        let used: f32 = texts.iter().map(|text| text.width()).sum();
        let gap = ((width - used) / names.len() as f32).min(1.4 * size);
        let mut slab = Slab { height: self.foot(), gap: 0.0, glued: false, marks: Vec::new() };
        let own = number.unwrap_or(0);
        let (top, inner) = (0.45 * size, 1.3 * size);
        let crowded = gap < 0.6 * size;
        let mut x = gap / 2.0;
        for (place, text) in texts.into_iter().enumerate() {
            if crowded && place != own {
                continue;
            }
            let (wide, line_top) = (text.width(), top);
            if place == own {
                let bars = [
                    (x - gap * 0.35, line_top, wide + gap * 0.7, 1.2),
                    (x - gap * 0.35, line_top + inner, wide + gap * 0.7, 1.2),
                    (x - gap * 0.35, line_top, 1.2, inner),
                    (x + wide + gap * 0.35 - 1.2, line_top, 1.2, inner + 1.2),
                ];
                slab.marks.extend(bars.map(|(x, y, width, height)| Mark::Bar { x, y, width, height }));
            }
            slab.marks.push(Mark::Line { text, line: 0, x, y: line_top + 0.05 * size, node: None });
            x += wide + gap;
        }
        slab
    }
}

/// A name as a line repeats it; it stands in full on the first front.
pub(crate) fn short(name: &str) -> String {
    const LONGEST: usize = 48;
    let mut kept: String = name.chars().take(LONGEST).collect();
    if kept.len() < name.len() {
        kept.truncate(kept.rfind(' ').unwrap_or(kept.len()));
        kept.push('…');
    }
    kept
}

/// Cards on their pages: a sheet of fronts, then the sheet of their backs, so that they meet when printed on both sides.
pub(crate) fn impose(cards: Vec<SetCard>, imposition: &Imposition, paper: Paper) -> Vec<Page> {
    let margin = paper.margin();
    let mut pages = Vec::new();
    let mut cards = cards.into_iter().peekable();
    let page =
        |areas: Vec<Area>| Page { width: imposition.width, height: imposition.height, areas, cuts: imposition.cuts() };
    while cards.peek().is_some() {
        let (mut fronts, mut backs) = (Vec::new(), Vec::new());
        for (place, card) in cards.by_ref().take(imposition.count()).enumerate() {
            let area = |(x, y): (f32, f32), placed, outline| Area { x: x + margin, y: y + margin, placed, outline };
            fronts.push(area(imposition.front(place), card.front, Some(card.name)));
            backs.push(area(imposition.back(place), card.back, None));
        }
        pages.push(page(fronts));
        pages.push(page(backs));
    }
    pages
}
