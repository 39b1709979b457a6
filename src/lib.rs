//! Pottle checks a cooking course and publishes it: [`read_project`], [`check`], [`render`], [`write_site`].
//!
//! Each stage takes what the one before returned; only the first and the last touch the disk.
//!
//! ```text
//! disk ─input─> Project ─lesson─> LessonSyntax ─recipe─> Course ──┐
//!                                     └────────prose─> Mentions ──┴─check─> CheckedCourse + findings
//!                                  CheckedCourse ─render─> Site (bytes in memory) ─output─> disk
//! ```
//!
//! [`render_again`] takes over what has not changed since the last site, and may have lessons written as soon as they are
//! made ([`output::SiteWriter`]).
//!
//! [`Rehearsal`] does the same for one page after the other, while the course is written.
//!
//! New here? Read `lesson/ast.rs`, then `recipe/model`, then `check/bind.rs`.

#[macro_use]
extern crate uom;

pub mod check;
pub mod diag;
pub mod input;
pub mod keys;
pub mod kitchen;
pub mod lesson;
pub mod mend;
pub mod output;
pub mod prose;
pub mod quantity;
pub mod recipe;
pub mod reference;
pub mod rehearse;
pub mod render;
pub mod source;

pub use check::{Checked, CheckedCourse, check};
pub use diag::explain;
pub use input::{Project, ReadError, Reader, read_project};
pub use mend::{Mended, mend};
pub use output::{WriteError, Written, write_site};
pub use rehearse::Rehearsal;
pub use render::{Site, render, render_again};
