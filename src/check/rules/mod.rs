//! Rules about the model and about a lesson as a whole, one fault a file.

mod balance;
mod cautions;
mod consulted;
mod dilution;
mod doses;
mod fits;
mod heat;
mod keeping;
mod kits;
mod leftovers;
mod no_unit;
mod packs;
mod pasteurised;
mod pieces;
mod readings;
mod reckoned;
mod shares;
mod spelling;
mod stated;
mod sums;
mod terms;
mod time;
mod unitless;
mod unlisted;
mod unread;
mod used_up;
mod words;
mod yields;

pub(super) use balance::unbalanced;
pub(super) use cautions::dangers;
pub use consulted::{Consulted, consulted};
pub(super) use dilution::dilution_apart;
pub(super) use doses::doses;
pub(super) use fits::does_not_fit;
pub(super) use heat::unlikely_heat;
pub(super) use keeping::keeping;
pub(super) use kits::kit_short;
pub(super) use leftovers::{not_enough_left, unknown_source};
pub(super) use no_unit::no_unit;
pub(super) use packs::pack_of_another_kind;
pub(super) use pasteurised::not_pasteurised;
pub(super) use pieces::pieces;
pub(super) use readings::readings;
pub(crate) use reckoned::not_reckoned;
pub(super) use shares::share_apart;
pub(super) use spelling::risky_spelling;
pub(super) use stated::{not_spoken, not_stated};
pub(super) use sums::sum_without_answer;
pub(super) use terms::{FirstUses, first_uses, unnamed_sign, untaught};
pub(super) use time::{out_of_order, over_session};
pub(super) use unitless::unitless;
pub(super) use unlisted::unlisted;
pub(super) use unread::unread;
pub(super) use used_up::not_used_up;
pub(super) use yields::unlikely_yield;

use crate::check::ledger::LedgerEntry;
use crate::recipe::{Course, Lesson};
use crate::reference::Reference;
use crate::source::Span;

/// Whether something that stands there was read as a figure.
fn is_read(entries: &[LedgerEntry], place: Span) -> bool {
    entries.iter().any(|entry| entry.mention.span.overlaps(place))
}

/// What a rule about one lesson sees.
pub(super) struct Cx<'a> {
    pub course: &'a Course,
    pub lesson: &'a Lesson,
    pub reference: &'a Reference,
}
