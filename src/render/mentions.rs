//! What the ledger says for pages: which bytes of a file state which measure, and how.

use crate::check::{Binding, Ledger, LedgerEntry};
use crate::quantity::Amount;
use crate::recipe::{Course, MeasureId};
use crate::source::FileId;
use std::collections::BTreeMap;
use std::ops::Range;

/// A mention on a page.
#[derive(Clone, Copy)]
pub(super) struct Placed<'a> {
    pub entry: &'a LedgerEntry,
    /// What it states.
    pub measure: MeasureId,
    /// Whether it converts what the mention before it says.
    pub later: bool,
}

/// All bound mentions, by file and place and by measure.
pub(super) struct MentionIndex<'a> {
    by_file: BTreeMap<FileId, Vec<(Range<usize>, Placed<'a>)>>,
    /// What the words say of each measure as a whole, where they say it rightly.
    stated: BTreeMap<MeasureId, Vec<Amount>>,
}

impl<'a> MentionIndex<'a> {
    /// Sorts a ledger by place. Asides and mentions that bind to nothing are left out: nothing on a page may change them.
    pub(super) fn new(ledger: &'a Ledger, course: &Course) -> MentionIndex<'a> {
        let mut by_file: BTreeMap<FileId, Vec<(Range<usize>, Placed<'a>)>> = BTreeMap::new();
        let mut stated: BTreeMap<MeasureId, Vec<Amount>> = BTreeMap::new();
        let mut before: Option<&LedgerEntry> = None;
        for entry in &ledger.entries {
            let of_pair = before.replace(entry).filter(|before| is_pair(before, entry));
            let Binding::Measure(measure) = entry.binding else { continue };
            if entry.agrees && entry.says.is_some_and(|says| same(&says, &course.measure(measure).amount)) {
                stated.entry(measure).or_default().push(entry.mention.amount);
            }
            let placed = Placed { entry, measure, later: of_pair.is_some() };
            let pieces = by_file.entry(entry.mention.span.file).or_default();
            pieces.extend(joined(&entry.mention.pieces).into_iter().map(|piece| (piece, placed)));
        }
        for pieces in by_file.values_mut() {
            pieces.sort_by_key(|(piece, placed)| (piece.start, piece.end, placed.measure));
            pieces.dedup_by_key(|(piece, placed)| (piece.start, piece.end, placed.measure));
        }
        MentionIndex { by_file, stated }
    }

    /// The amounts by which the words state a measure, in the order of the ledger.
    pub(super) fn stated(&self, measure: MeasureId) -> &[Amount] {
        self.stated.get(&measure).map_or(&[], Vec::as_slice)
    }

    /// The pieces that touch a range of a file, in order, cut to that range.
    pub(super) fn within(&self, file: FileId, range: Range<usize>) -> impl Iterator<Item = (Range<usize>, Placed<'a>)> {
        let pieces = self.by_file.get(&file).map_or(&[][..], Vec::as_slice);
        let first = pieces.partition_point(|(piece, _)| piece.end <= range.start);
        pieces[first..]
            .iter()
            .take_while({
                let end = range.end;
                move |(piece, _)| piece.start < end
            })
            .map(move |(piece, placed)| (piece.start.max(range.start)..piece.end.min(range.end), *placed))
    }
}

/// Whether two mentions that follow each other are a pair: their numbers are unique in one run of words only.
fn is_pair(before: &LedgerEntry, entry: &LedgerEntry) -> bool {
    let place = |entry: &LedgerEntry| (entry.lesson, entry.step, entry.mention.span.file);
    entry.mention.pair.is_some()
        && before.mention.pair == entry.mention.pair
        && place(before) == place(entry)
        && before.mention.range.end <= entry.mention.range.start
}

/// Whether two amounts have the same ends. A part of a measure, or what is left of it, is not the measure.
fn same(one: &Amount, other: &Amount) -> bool {
    one.low.quantity == other.low.quantity && one.high.quantity == other.high.quantity
}

/// Neighbouring pieces as one, so that `4` and ` L` make one span.
fn joined(pieces: &[Range<usize>]) -> Vec<Range<usize>> {
    let mut out: Vec<Range<usize>> = Vec::new();
    for piece in pieces {
        match out.last_mut() {
            Some(last) if last.end == piece.start => last.end = piece.end,
            _ => out.push(piece.clone()),
        }
    }
    out
}
