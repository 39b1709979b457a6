//! Fills pages with slabs: what does not fit goes on, never smaller and never cut off.

use super::pdf::Placed;
use super::set::Slab;
use std::collections::VecDeque;

/// Takes from the front as many slabs as fit below each other in a height. One at least is taken, so that filling ends.
pub(crate) fn fill(slabs: &mut VecDeque<Slab>, height: f32) -> Vec<Placed> {
    let mut placed: Vec<Placed> = Vec::new();
    let mut y = 0.0;
    while !slabs.is_empty() {
        let group = group_len(slabs);
        let at = y;
        let fits = end_of(slabs, group, at) <= height;
        // What stays together but is taller than a page is parted.
        let taken = if fits {
            group
        } else if placed.is_empty() {
            (1..group).take_while(|len| end_of(slabs, *len, at) <= height).last().unwrap_or(1)
        } else {
            return placed;
        };
        for slab in slabs.drain(..taken) {
            y += if placed.is_empty() { 0.0 } else { slab.gap };
            let tall = slab.height;
            placed.push(Placed { y, slab });
            y += tall;
        }
    }
    placed
}

/// How many slabs stay together from the first on.
fn group_len(slabs: &VecDeque<Slab>) -> usize {
    slabs.iter().position(|slab| !slab.glued).map_or(slabs.len(), |last| last + 1)
}

/// Where the last of the first slabs would end.
fn end_of(slabs: &VecDeque<Slab>, count: usize, start: f32) -> f32 {
    let mut y = start;
    for slab in slabs.iter().take(count) {
        y += if y == 0.0 { 0.0 } else { slab.gap };
        y += slab.height;
    }
    y
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slab(height: f32, glued: bool) -> Slab {
        Slab { height, gap: 1.0, glued, marks: Vec::new() }
    }

    #[test]
    fn what_stays_together_goes_on_together() {
        let mut slabs = VecDeque::from([slab(4.0, false), slab(3.0, true), slab(3.0, false)]);
        let first = fill(&mut slabs, 10.0);
        assert_eq!((first.len(), slabs.len()), (1, 2));
        let second = fill(&mut slabs, 10.0);
        assert_eq!(second.iter().map(|placed| placed.y).collect::<Vec<_>>(), [0.0, 4.0]);
    }

    #[test]
    fn what_is_taller_than_a_page_is_parted_and_filling_ends() {
        let mut slabs: VecDeque<Slab> = (0..5).map(|_| slab(4.0, true)).collect();
        assert_eq!(fill(&mut slabs, 10.0).len(), 2);
        let mut tall = VecDeque::from([slab(40.0, false), slab(1.0, false)]);
        assert_eq!(fill(&mut tall, 10.0).len(), 1);
        assert_eq!(fill(&mut tall, 10.0).len(), 1);
        assert!(tall.is_empty());
    }
}
