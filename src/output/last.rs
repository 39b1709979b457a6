//! The site that stands at a target: what it was made from, and its files as long as they are what was written.

use super::mark::{State, inspect, is_inner_path};
use crate::render::{LastSite, MADE, Made, digest};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use std::fs;
use std::path::{Path, PathBuf};

/// A site that was published before.
#[derive(Debug)]
pub struct Standing {
    folder: PathBuf,
    made: Made,
}

impl Standing {
    /// The site in a folder; `None` where there is none, or one that says nothing of what it was made from.
    pub fn at(folder: &Path) -> Option<Standing> {
        if inspect(folder).ok()? != State::Ours {
            return None;
        }
        let made = Made::read(&fs::read(folder.join(MADE)).ok()?)?;
        Some(Standing { folder: folder.to_owned(), made })
    }

    /// What it was made from.
    pub fn made(&self) -> &Made {
        &self.made
    }

    /// Whether each of its files is there and holds what was written.
    pub fn is_whole(&self) -> bool {
        self.made.files.par_iter().all(|(path, digest)| self.file(path, digest).is_some())
    }

    /// Uses it as what stays of the last site.
    pub fn with<T>(&self, work: impl FnOnce(&LastSite<'_>) -> T) -> T {
        work(&LastSite { made: &self.made, file: &|path, digest| self.file(path, digest) })
    }

    fn file(&self, path: &str, wanted: &str) -> Option<Vec<u8>> {
        let place = self.folder.join(path);
        let is_plain = is_inner_path(path) && fs::symlink_metadata(&place).is_ok_and(|found| found.is_file());
        let bytes = is_plain.then(|| fs::read(&place).ok())??;
        (digest(&bytes) == wanted).then_some(bytes)
    }
}
