//! Reading: finds quantities in sentences.
//!
//! Sees no recipe. It can say "200 g stands here, beside the word salt", never "200 g is right".

mod attach;
mod context;
mod counts;
mod mention;
mod nouns;
mod pairs;
mod scan;
#[cfg(test)]
mod tests;

pub use mention::{Journey, Marks, Mention, NounHit};
pub use nouns::{Found, NounId, Nouns, other_number};
pub use scan::scan_run;

pub(crate) use context::{words_after, words_before};
