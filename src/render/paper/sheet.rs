//! Sizes of paper, and how cards lie on a sheet so that fronts and backs meet.
//!
//! Everything is in points from the top left, as it is drawn.

use crate::quantity::Home;

/// Points in a millimetre.
const MM: f32 = 72.0 / 25.4;

/// Between cards on a sheet where there is room: two seals of 3 mm, so that cards cut apart can share a pouch.
const GUTTER: f32 = 6.0 * MM;

/// A size of paper, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Paper {
    /// 105 × 148 mm.
    A6,
    /// 148 × 210 mm.
    A5,
    /// 4 × 6 in.
    FourBySix,
    /// 5 × 8 in.
    FiveByEight,
    /// 210 × 297 mm.
    A4,
    /// 8½ × 11 in.
    Letter,
}

impl Paper {
    /// Sizes that cards come in.
    pub const CARDS: [Paper; 4] = [Paper::A6, Paper::A5, Paper::FourBySix, Paper::FiveByEight];
    /// Sizes of whole sheets.
    pub const SHEETS: [Paper; 2] = [Paper::A4, Paper::Letter];

    /// The whole sheet that is usual where an author teaches.
    pub fn of_home(home: Home) -> Paper {
        if home == Home::Us { Paper::Letter } else { Paper::A4 }
    }

    /// `a6`, `a5`, `4x6`, `5x8`, `a4` or `letter`.
    pub fn name(self) -> &'static str {
        match self {
            Paper::A6 => "a6",
            Paper::A5 => "a5",
            Paper::FourBySix => "4x6",
            Paper::FiveByEight => "5x8",
            Paper::A4 => "a4",
            Paper::Letter => "letter",
        }
    }

    /// As people say it: `A6`, `4 × 6 in`.
    pub fn words(self) -> &'static str {
        match self {
            Paper::A6 => "A6",
            Paper::A5 => "A5",
            Paper::FourBySix => "4 × 6 in",
            Paper::FiveByEight => "5 × 8 in",
            Paper::A4 => "A4",
            Paper::Letter => "Letter",
        }
    }

    /// The size of a name.
    pub fn from_name(name: &str) -> Option<Paper> {
        Paper::CARDS.into_iter().chain(Paper::SHEETS).find(|paper| paper.name() == name)
    }

    /// Width and height in points.
    pub fn size(self) -> (f32, f32) {
        match self {
            Paper::A6 => (105.0 * MM, 148.0 * MM),
            Paper::A5 => (148.0 * MM, 210.0 * MM),
            Paper::FourBySix => (4.0 * 72.0, 6.0 * 72.0),
            Paper::FiveByEight => (5.0 * 72.0, 8.0 * 72.0),
            Paper::A4 => (210.0 * MM, 297.0 * MM),
            Paper::Letter => (8.5 * 72.0, 11.0 * 72.0),
        }
    }

    /// How far text stays from every edge: printers leave up to 6 mm blank, a seal takes 3 to 5 mm (common practice).
    pub fn margin(self) -> f32 {
        match self {
            Paper::A6 | Paper::FourBySix => 8.0 * MM,
            Paper::A5 | Paper::FiveByEight => 10.0 * MM,
            Paper::A4 | Paper::Letter => 14.0 * MM,
        }
    }
}

/// Along which edge a printer turns the paper for its other side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Edge {
    /// The long edge: most printers' own choice.
    #[default]
    Long,
    /// The short edge.
    Short,
}

/// Places of cards on one sheet, or one card as its own page.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Imposition {
    /// The page, in points.
    pub width: f32,
    pub height: f32,
    /// Top left corners of the cards.
    fronts: Vec<(f32, f32)>,
    card: (f32, f32),
    /// Whether the back is mirrored left to right; else it is mirrored top to bottom.
    sideways: bool,
}

/// A straight line to cut along.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Cut {
    pub from: (f32, f32),
    pub to: (f32, f32),
}

impl Imposition {
    /// Labels side by side on an upright sheet, without gutters: what no printer prints stays blank around them.
    pub(crate) fn labels(sheet: Paper, columns: usize, rows: usize) -> Imposition {
        const BLANK: f32 = 6.0 * MM;
        let (width, height) = sheet.size();
        let card = ((width - 2.0 * BLANK) / columns as f32, (height - 2.0 * BLANK) / rows as f32);
        let place = |at: usize| (BLANK + (at % columns) as f32 * card.0, BLANK + (at / columns) as f32 * card.1);
        Imposition { width, height, fronts: (0..columns * rows).map(place).collect(), card, sideways: true }
    }

    /// Width and height of a card.
    pub(crate) fn card(&self) -> (f32, f32) {
        self.card
    }

    /// Cards as pages of their own.
    pub(crate) fn single(card: Paper) -> Imposition {
        let (width, height) = card.size();
        Imposition { width, height, fronts: vec![(0.0, 0.0)], card: (width, height), sideways: true }
    }

    /// As many cards as a sheet takes, on the sheet upright or lying on its side. `None` if not one fits.
    pub(crate) fn sheet(card: Paper, sheet: Paper, edge: Edge) -> Option<Imposition> {
        let (short, long) = sheet.size();
        let upright = Imposition::place(card, (short, long), edge == Edge::Long);
        let lying = Imposition::place(card, (long, short), edge == Edge::Short);
        let rank = |placed: &Imposition| (placed.count(), placed.spare());
        let best = if rank(&lying) > rank(&upright) { lying } else { upright };
        (!best.fronts.is_empty()).then_some(best)
    }

    fn place(card: Paper, (width, height): (f32, f32), sideways: bool) -> Imposition {
        let size = card.size();
        let (columns, rows) = (along(width, size.0), along(height, size.1));
        let fronts = rows.iter().flat_map(|y| columns.iter().map(|x| (*x, *y))).collect();
        Imposition { width, height, fronts, card: size, sideways }
    }

    /// How far the cards stay from the nearest edge of the sheet: printers leave edges blank.
    fn spare(&self) -> f32 {
        self.fronts.first().map_or(0.0, |(x, y)| x.min(*y))
    }

    /// How many cards a sheet takes.
    pub(crate) fn count(&self) -> usize {
        self.fronts.len()
    }

    /// Where a card's front lies.
    pub(crate) fn front(&self, place: usize) -> (f32, f32) {
        self.fronts[place]
    }

    /// Where its back lies on the sheet's other side. Cards lie in the middle of the sheet, so the two meet.
    pub(crate) fn back(&self, place: usize) -> (f32, f32) {
        let (x, y) = self.fronts[place];
        if self.sideways { (self.width - x - self.card.0, y) } else { (x, self.height - y - self.card.1) }
    }

    /// Where to cut: short lines at the corners of the cards, outside them where there is room, else on the cut itself.
    pub(crate) fn cuts(&self) -> Vec<Cut> {
        if self.fronts.len() == 1 && self.card == (self.width, self.height) {
            return Vec::new();
        }
        let edges = |of: fn(&(f32, f32)) -> f32, size: f32| {
            let mut all: Vec<f32> = self.fronts.iter().map(of).flat_map(|start| [start, start + size]).collect();
            all.sort_by(f32::total_cmp);
            all.dedup_by(|a, b| (*a - *b).abs() < 0.1);
            all
        };
        let (xs, ys) = (edges(|at| at.0, self.card.0), edges(|at| at.1, self.card.1));
        let mut cuts = Vec::new();
        for x in &xs {
            for (from, to) in marks(&ys, self.height, *x, self.width) {
                cuts.push(Cut { from: (*x, from), to: (*x, to) });
            }
        }
        for y in &ys {
            for (from, to) in marks(&xs, self.width, *y, self.height) {
                cuts.push(Cut { from: (from, *y), to: (to, *y) });
            }
        }
        cuts
    }
}

/// Where cards begin along one side of a sheet, in the middle of it. Where gutters do not fit, one cut parts two cards.
fn along(room: f32, size: f32) -> Vec<f32> {
    let fit = |count: usize, gutter: f32| count as f32 * size + (count as f32 - 1.0) * gutter <= room + 0.01;
    let count = (1..).take_while(|count| fit(*count, 0.0)).last().unwrap_or(0);
    let gutter = if count > 0 && fit(count, GUTTER) { GUTTER } else { 0.0 };
    let used = count as f32 * size + (count as f32 - 1.0) * gutter;
    (0..count).map(|place| (room - used) / 2.0 + place as f32 * (size + gutter)).collect()
}

/// The stretches of a cut that are drawn: from the sheet's own edge and between cards. `across` is the cut's place on the
/// other side, where a cut along the paper's edge needs no mark.
fn marks(edges: &[f32], length: f32, across: f32, breadth: f32) -> Vec<(f32, f32)> {
    const LONGEST: f32 = 5.0 * MM;
    const APART: f32 = 1.0 * MM;
    if across < APART || breadth - across < APART {
        return Vec::new();
    }
    let (first, last) = (edges[0], edges[edges.len() - 1]);
    let mut drawn = Vec::new();
    let outside = |room: f32| room > 3.0 * APART;
    if outside(first) {
        drawn.push(((first - APART - LONGEST).max(APART), first - APART));
    } else {
        drawn.push((first.max(0.0), first + 2.0 * LONGEST)); // some of it falls where printers leave blank
    }
    for pair in edges[1..edges.len() - 1].chunks(2) {
        match pair {
            [from, to] if to - from < 2.0 * GUTTER => drawn.push((from + APART, to - APART)),
            _ => drawn.extend(pair.iter().map(|at| (at - LONGEST, at + LONGEST))),
        }
    }
    if outside(length - last) {
        drawn.push((last + APART, (last + APART + LONGEST).min(length - APART)));
    } else {
        drawn.push((last - 2.0 * LONGEST, last.min(length)));
    }
    drawn
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A4, A5: ISO 216 as CSS paged media names them; Letter and the index cards by their inches.
    #[test]
    fn sheets_take_what_paper_allows() {
        for (card, sheet, count, lying) in [
            (Paper::A6, Paper::A4, 4, false),
            (Paper::A5, Paper::A4, 2, true),
            (Paper::FourBySix, Paper::A4, 2, true),
            (Paper::FourBySix, Paper::Letter, 2, true),
            (Paper::FiveByEight, Paper::A4, 2, true),
            (Paper::FiveByEight, Paper::Letter, 2, true),
            // Two A6 cards are 296 mm high and Letter is 279.4 mm; two A5 cards are as wide.
            (Paper::A6, Paper::Letter, 2, true),
            (Paper::A5, Paper::Letter, 1, false),
        ] {
            let placed = Imposition::sheet(card, sheet, Edge::Long).unwrap();
            assert_eq!((placed.count(), placed.width > placed.height), (count, lying), "{card:?} on {sheet:?}");
        }
        assert_eq!(Imposition::sheet(Paper::Letter, Paper::A4, Edge::Long), None);
    }

    #[test]
    fn turned_over_a_back_lies_behind_its_front() {
        for card in Paper::CARDS {
            for sheet in Paper::SHEETS {
                for edge in [Edge::Long, Edge::Short] {
                    let placed = Imposition::sheet(card, sheet, edge).unwrap();
                    let lying = placed.width > placed.height;
                    for place in 0..placed.count() {
                        let ((x, y), (bx, by)) = (placed.front(place), placed.back(place));
                        // Turned along an upright edge left and right change places, else top and bottom.
                        let upright_edge = (edge == Edge::Long) != lying;
                        let seen = if upright_edge {
                            (placed.width - bx - card.size().0, by)
                        } else {
                            (bx, placed.height - by - card.size().1)
                        };
                        assert!((seen.0 - x).abs() < 0.01 && (seen.1 - y).abs() < 0.01, "{card:?} {sheet:?} {edge:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn cards_lie_apart_where_there_is_room() {
        for card in Paper::CARDS {
            for sheet in Paper::SHEETS {
                let placed = Imposition::sheet(card, sheet, Edge::Long).unwrap();
                assert!(!placed.cuts().is_empty(), "{card:?} on {sheet:?}");
                if placed.count() == 1 {
                    continue;
                }
                // Two and four of these are as large as the sheet (ISO 216).
                let fills = sheet == Paper::A4 && [Paper::A6, Paper::A5].contains(&card);
                let apart = placed.front(1).0 - placed.front(0).0 - card.size().0;
                assert!((apart - if fills { 0.0 } else { GUTTER }).abs() < 0.01, "{card:?} on {sheet:?}: {apart}");
            }
        }
        assert!(Imposition::single(Paper::A6).cuts().is_empty());
    }
}
