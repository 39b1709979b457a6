//! What the ledger says for pages: which bytes of a file state which measure, and how.

use crate::check::{Binding, Ledger, LedgerEntry};
use crate::quantity::Amount;
use crate::recipe::{Course, MeasureId};
use crate::source::FileId;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::OnceLock;

/// A mention on a page.
#[derive(Clone, Copy)]
pub(super) struct Placed<'a> {
    pub entry: &'a LedgerEntry,
    /// What it states.
    pub measure: MeasureId,
    /// The mention before it, where it converts what that says.
    pub converts: Option<&'a LedgerEntry>,
}

/// All bound mentions, by file and place and by measure. Those of a lesson are sorted when they are first asked for.
pub(super) struct MentionIndex<'a> {
    ledger: &'a Ledger,
    course: &'a Course,
    /// The lesson that a file belongs to; the course's own files belong to none.
    owners: BTreeMap<FileId, usize>,
    lessons: Vec<OnceLock<Sorted>>,
    /// The course's own words, and what all words say of facts.
    common: OnceLock<Sorted>,
}

/// Mentions in order: indices into the ledger.
#[derive(Default)]
struct Sorted {
    by_file: BTreeMap<FileId, Vec<Piece>>,
    /// What the words say of each measure as a whole, where they say it rightly.
    stated: BTreeMap<MeasureId, Vec<Amount>>,
}

struct Piece {
    range: Range<usize>,
    entry: usize,
    measure: MeasureId,
    converts: Option<usize>,
}

impl<'a> MentionIndex<'a> {
    /// An index of a ledger. Asides and mentions that bind to nothing are left out: nothing on a page may change them.
    pub(super) fn new(ledger: &'a Ledger, course: &'a Course) -> MentionIndex<'a> {
        let mut owners = BTreeMap::new();
        for (index, lesson) in course.lessons.iter().enumerate() {
            owners.insert(lesson.file, index);
            owners.extend(lesson.captions.iter().map(|spoken| (spoken.captions.file, index)));
        }
        let lessons = course.lessons.iter().map(|_| OnceLock::new()).collect();
        MentionIndex { ledger, course, owners, lessons, common: OnceLock::new() }
    }

    fn sorted(&self, lesson: Option<usize>) -> &Sorted {
        match lesson.and_then(|lesson| self.lessons.get(lesson)) {
            Some(own) => own.get_or_init(|| self.sort(self.ledger.range_of(lesson))),
            None => self.common.get_or_init(|| {
                let mut common = self.sort(self.ledger.range_of(None));
                for entry in &self.ledger.entries[..self.ledger.range_of(None).start] {
                    let Some(measure) = self.states(entry) else { continue };
                    if self.course.measure(measure).owner.lesson().is_none() {
                        common.stated.entry(measure).or_default().push(entry.mention.amount);
                    }
                }
                common
            }),
        }
    }

    fn sort(&self, range: Range<usize>) -> Sorted {
        let mut sorted = Sorted::default();
        let mut before: Option<usize> = None;
        for index in range {
            let entry = &*self.ledger.entries[index];
            let converts = before.replace(index).filter(|before| is_pair(&self.ledger.entries[*before], entry));
            let Binding::Measure(measure) = entry.binding else { continue };
            if let Some(measure) = self.states(entry) {
                sorted.stated.entry(measure).or_default().push(entry.mention.amount);
            }
            let pieces = sorted.by_file.entry(entry.mention.span.file).or_default();
            pieces.extend(joined(&entry.mention.pieces).into_iter().map(|range| Piece {
                range,
                entry: index,
                measure,
                converts,
            }));
        }
        for pieces in sorted.by_file.values_mut() {
            pieces.sort_by_key(|piece| (piece.range.start, piece.range.end, piece.measure));
            pieces.dedup_by_key(|piece| (piece.range.start, piece.range.end, piece.measure));
        }
        sorted
    }

    /// The measure that an entry states as a whole, and rightly.
    fn states(&self, entry: &LedgerEntry) -> Option<MeasureId> {
        let Binding::Measure(measure) = entry.binding else { return None };
        let is_whole = || entry.says.is_some_and(|says| same(&says, &self.course.measure(measure).amount));
        (entry.agrees && is_whole()).then_some(measure)
    }

    /// The amounts by which the words of its lesson state a measure, in the order of the ledger.
    pub(super) fn stated(&self, measure: MeasureId) -> &[Amount] {
        let lesson = self.course.measure(measure).owner.lesson();
        self.sorted(lesson).stated.get(&measure).map_or(&[], Vec::as_slice)
    }

    /// The pieces that touch a range of a file, in order, cut to that range.
    pub(super) fn within(&self, file: FileId, range: Range<usize>) -> impl Iterator<Item = (Range<usize>, Placed<'a>)> {
        let sorted = self.sorted(self.owners.get(&file).copied());
        let pieces = sorted.by_file.get(&file).map_or(&[][..], Vec::as_slice);
        let first = pieces.partition_point(|piece| piece.range.end <= range.start);
        let ledger = self.ledger;
        let inside = pieces[first..].iter().take_while({
            let end = range.end;
            move |piece| piece.range.start < end
        });
        inside.map(move |piece| {
            let converts = piece.converts.map(|before| &*ledger.entries[before]);
            let placed = Placed { entry: &ledger.entries[piece.entry], measure: piece.measure, converts };
            (piece.range.start.max(range.start)..piece.range.end.min(range.end), placed)
        })
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
