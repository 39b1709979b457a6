//! Sets tables: rows of cells, line by line.

use super::block::{Run, Words};
use super::fonts::Fit;
use super::set::{Mark, Setter, Slab, glue_ends};
use super::tags::{NodeId, Role};
use std::rc::Rc;

impl Setter<'_> {
    pub(super) fn table(
        &mut self,
        parent: Option<NodeId>,
        shares: &[f32],
        (head, rows): (&[Words], &[Vec<Words>]),
        size: f32,
        width: f32,
    ) -> Vec<Slab> {
        let table = self.tree.add(parent, Role::Table);
        let total: f32 = shares.iter().map(|share| share.abs()).sum();
        let gutter = 0.8 * size;
        let room = width - gutter * (shares.len() as f32 - 1.0);
        let mut slabs = Vec::new();
        if head.iter().any(|cell| !cell.is_empty()) {
            let bold = head.iter().map(|cell| cell.iter().map(|run| Run { bold: true, ..run.clone() }).collect());
            let cells: Vec<Words> = bold.collect();
            let mut set = self.row(table, Role::HeadCell, (&cells, shares), (size, gutter, room / total));
            set.iter_mut().for_each(|slab| slab.glued = true);
            slabs.append(&mut set);
        }
        for row in rows {
            let mut set = self.row(table, Role::Cell, (row, shares), (size, gutter, room / total));
            if let Some(first) = set.first_mut() {
                first.gap = 0.2 * size;
            }
            glue_ends(&mut set);
            slabs.append(&mut set);
        }
        slabs
    }

    /// Line by line, so that even a row taller than a page is set whole.
    fn row(
        &mut self,
        table: NodeId,
        role: Role,
        (cells, shares): (&[Words], &[f32]),
        (size, gutter, unit): (f32, f32, f32),
    ) -> Vec<Slab> {
        let row = self.tree.add(Some(table), Role::Row);
        let mut slabs: Vec<Slab> = Vec::new();
        let mut x = 0.0;
        for (cell, share) in cells.iter().zip(shares) {
            let node = self.tree.add(Some(row), role.clone());
            let width = share.abs() * unit;
            let fit = if *share < 0.0 { Fit::Right } else { Fit::Left };
            let text = self.text(cell, size, width, fit);
            for line in 0..text.lines() {
                if slabs.len() == line {
                    slabs.push(Slab::blank(0.0));
                }
                let slab = &mut slabs[line];
                slab.height = slab.height.max(text.height(line));
                slab.marks.push(Mark::Line { text: Rc::clone(&text), line, x, y: 0.0, node: Some(node) });
            }
            x += width + gutter;
        }
        slabs
    }
}
