//! A folder under construction: removed again unless it is finished.

use super::WriteError;
use super::mark::MARK;
use super::place::{Beside, Target};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use rustix::fs::{FlockOperation, flock};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::path::{Path, PathBuf};

/// The hidden folder that a site grows in.
#[derive(Debug)]
pub(super) struct Build {
    path: PathBuf,
    folders: BTreeSet<PathBuf>,
    /// Held while we live, so that another run can tell a build at work from one that was killed.
    _lock: Option<File>,
    finished: bool,
}

impl Build {
    /// Makes an empty folder beside the target.
    pub(super) fn start(target: &Target) -> Result<Build, WriteError> {
        let path = target.beside(Beside::New);
        fs::create_dir(&path).map_err(WriteError::io(&path))?;
        // Some network file systems know no locks; there a build is merely not protected from a second run.
        let lock = File::open(&path).ok().filter(|file| flock(file, FlockOperation::NonBlockingLockExclusive).is_ok());
        Ok(Build { path, folders: BTreeSet::new(), _lock: lock, finished: false })
    }

    /// The folder.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Writes the list of files. Comes first, so that a killed build can be told from a stranger's folder.
    pub(super) fn write_mark(&self, text: &str) -> Result<(), WriteError> {
        let path = self.path.join(MARK);
        fs::write(&path, text).map_err(WriteError::io(&path))
    }

    /// Writes all files, several at once. A file that stands in the last site with the same bytes is not written again:
    /// the new site takes it over as it is. Says how many were written.
    pub(super) fn write_all(
        &mut self,
        files: &BTreeMap<String, Vec<u8>>,
        last: Option<&Path>,
    ) -> Result<usize, WriteError> {
        for path in files.keys() {
            self.make_way(&self.path.join(path))?;
        }
        let place = |(path, bytes): (&String, &Vec<u8>)| {
            let new = self.path.join(path);
            if last.is_some_and(|last| takes_over(&last.join(path), bytes, &new)) {
                return Ok(false);
            }
            fs::write(&new, bytes).map(|()| true).map_err(WriteError::io(&new))
        };
        let placed: Vec<Result<bool, WriteError>> = files.par_iter().map(place).collect();
        placed.into_iter().try_fold(0, |written, one| Ok(written + usize::from(one?)))
    }

    /// Makes the folders on the way to a file.
    fn make_way(&mut self, path: &Path) -> Result<(), WriteError> {
        if let Some(folder) = path.parent()
            && !self.folders.contains(folder)
        {
            fs::create_dir_all(folder).map_err(WriteError::io(folder))?;
            self.folders.insert(folder.to_owned());
        }
        Ok(())
    }

    /// Writes one file, and the folders on the way to it.
    pub(super) fn write(&mut self, path: &str, bytes: &[u8]) -> Result<(), WriteError> {
        let path = self.path.join(path);
        self.make_way(&path)?;
        fs::write(&path, bytes).map_err(WriteError::io(&path))
    }

    /// What it was made for is done: the folder has moved away, and nothing is to be removed.
    pub(super) fn finish(mut self) {
        self.finished = true;
    }
}

impl Drop for Build {
    fn drop(&mut self) {
        if !self.finished {
            // What cannot be removed now is litter for the next publish; the first error is the one to tell.
            let _ = fs::remove_dir_all(&self.path);
        }
    }
}

/// Whether a file of the last site has these bytes and now stands in the new one too.
fn takes_over(last: &Path, bytes: &[u8], new: &Path) -> bool {
    let is_plain = fs::symlink_metadata(last).is_ok_and(|data| data.is_file() && data.len() == bytes.len() as u64);
    is_plain && fs::read(last).is_ok_and(|known| known == bytes) && fs::hard_link(last, new).is_ok()
}

/// Whether a hidden folder belongs to no living run.
pub(super) fn is_abandoned(folder: &Path) -> bool {
    let Ok(file) = File::open(folder) else { return false };
    flock(&file, FlockOperation::NonBlockingLockExclusive) != Err(rustix::io::Errno::WOULDBLOCK)
}
