//! Courses that are broken on purpose: each ends within seconds in a finding or an error that names the file, and the
//! line where there is one. Nothing panics, hangs or takes more memory than a small machine has.
//!
//! What fuzzing found stands here too, each under a name of its own.

mod amounts;
mod blocks;
mod course;
mod disk;
mod names;
mod pictures;
mod same;
mod texts;
