//! Agreement: mentions against the model, the model against itself, and the gate.

mod asides;
mod bind;
mod candidates;
mod captions;
mod checked;
mod findings;
mod former;
mod judge;
mod ledger;
mod licence;
mod rewrite;
mod rows;
mod rules;
mod tables;
mod things;
pub mod tolerance;
mod words;

pub use checked::{Checked, CheckedCourse, Memory, check, check_again};
pub use ledger::{Binding, Ledger, LedgerEntry};
pub use rows::{LedgerRow, Moved, States, Turned, ledger_row};
pub use rules::{Consulted, consulted};
pub use words::owner as measure_name;
