//! Findings in captions say which cue and when: that is how whoever edits a recording looks for it.

use crate::diag::Diagnostic;
use crate::recipe::Spoken;

/// Adds the cue and its time to a finding in captions.
pub(super) fn name_cues(found: Diagnostic, captions: &[Spoken]) -> Diagnostic {
    let span = found.primary.span;
    let cues = captions.iter().map(|spoken| spoken.captions.cues_at(span)).find(|cues| !cues.is_empty());
    match cues {
        Some([only]) => found.note(format!("{}, at {}", only.name(), only.start)),
        Some([first, .., last]) => found.note(format!("{}, at {}, and {}", first.name(), first.start, last.name())),
        _ => found,
    }
}
