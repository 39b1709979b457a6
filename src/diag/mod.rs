//! Findings: what is wrong with a course, where, and how to put it right.
//!
//! A finding is data. Stages [`push`](Diagnostics::push) it, [`Diagnostics`] puts all of them in order, and an
//! [`Emitter`] draws them; none of the three knows the others' work.

mod code;
mod diagnostic;
pub mod emit;
mod explain;
mod sink;

pub use code::{Code, Severity};
pub use diagnostic::{Confidence, Diagnostic, Edit, Label, Suggestion};
pub use emit::Emitter;
pub use explain::explain;
pub use sink::Diagnostics;
