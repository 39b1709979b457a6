//! Sums that have no exact answer.

use crate::diag::{Code, Diagnostic};
use crate::source::{FileId, Span};

/// A sum over the figures of a file does not fit in 128 bits. The sum itself cannot say which figure is to blame.
pub(crate) fn not_reckoned(file: FileId) -> Diagnostic {
    let message = "the figures of this file are too large, or divided too finely, to be reckoned exactly";
    Diagnostic::new(Code::NotReckoned, message, Span::new(file, 0..0))
        .help("look for amounts with unlike fractions such as `1/9973 g`, and write them with a point, as `0.1 mg`")
}
