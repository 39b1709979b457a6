//! Puts a finished site, a new course, or a PDF on disk: whole or not at all.
//!
//! A site is built in a hidden folder beside its target and swapped in at the end, so a failed or killed run leaves the
//! last site as it was. Never removes a file that it did not write: `mark` keeps the list.

mod build;
mod file;
mod last;
mod mark;
mod patch;
mod place;
mod swap;
mod write;

pub use file::{write_manual, write_pdf, write_table};
pub use last::Standing;
pub use patch::{Patch, write_patches};
pub use place::overlaps_course;
pub use write::{SiteWriter, Written, clean_beside, write_new_folder, write_site};

use std::io;
use std::path::{Path, PathBuf};

/// Why something could not be written. What stood there before is as it was.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// The target holds files that pottle did not write.
    #[error(
        "`{}` holds files that pottle did not put there ({}); nothing was changed: choose another folder, or move them away",
        .path.display(),
        named(.foreign)
    )]
    NotOurs {
        /// The target.
        path: PathBuf,
        /// The strange files, relative to it, in order.
        foreign: Vec<String>,
    },
    /// A new course was to go into a folder that is in use.
    #[error("`{}` already holds files; choose a folder that is new or empty", .0.display())]
    NotEmpty(PathBuf),
    /// The target is a file.
    #[error("`{}` is a file; name a folder", .0.display())]
    NotAFolder(PathBuf),
    /// A PDF was to go where another kind of file is.
    #[error("`{}` is no PDF, so it is not replaced; choose another name", .0.display())]
    NotAPdf(PathBuf),
    /// A class plan was to go where another kind of file is.
    #[error("`{}` is no class plan of ours, so it is not replaced; choose another name", .0.display())]
    NotATable(PathBuf),
    /// A page of the manual was to go where another file is.
    #[error("`{}` is no page of our manual, so it is not replaced; choose another folder", .0.display())]
    NotAManualPage(PathBuf),
    /// A file is no longer what it was when the course was read.
    #[error("`{}` has changed since it was read; nothing was written: run it again", .0.display())]
    Changed(PathBuf),
    /// A file of the site would lie outside it.
    #[error("`{0}` cannot be the path of a file in a site")]
    BadPath(String),
    /// The machine would not let us write.
    #[error("`{}` cannot be written", .path.display())]
    Io {
        /// What was being written.
        path: PathBuf,
        /// What the machine said.
        source: io::Error,
    },
}

impl WriteError {
    fn io(path: &Path) -> impl FnOnce(io::Error) -> WriteError + '_ {
        move |source| WriteError::Io { path: path.to_owned(), source }
    }
}

/// The first few names; a folder full of strangers would fill the screen.
fn named(foreign: &[String]) -> String {
    const SHOWN: usize = 5;
    let mut names: Vec<String> = foreign.iter().take(SHOWN).map(|name| format!("`{name}`")).collect();
    if foreign.len() > SHOWN {
        names.push(format!("and {} more", foreign.len() - SHOWN));
    }
    names.join(", ")
}
