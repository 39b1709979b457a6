//! Keys of a typed block.

pub(super) use crate::keys::fields::*;

use crate::diag::Diagnostics;
use crate::lesson::TypedBlock;

impl<'t> Fields<'t> {
    /// Checks the keys of a typed block.
    pub fn of_block(
        block: &'t TypedBlock,
        what: &'static str,
        known: &[&'static str],
        sink: &mut Diagnostics,
    ) -> Fields<'t> {
        Fields::new(&block.body, block.name_span, what, known, sink).with_losses(block.broken)
    }
}
