//! A folder under construction: removed again unless it is finished.

use super::WriteError;
use super::mark::{MARK, NAMES};
use super::place::{Beside, Target};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use rustix::fs::{FlockOperation, flock};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// The hidden folder that a site grows in.
#[derive(Debug)]
pub(super) struct Build {
    path: PathBuf,
    /// What is there, and the list of it on disk. Each name is listed before its file is written, so that a killed build
    /// can be told from a stranger's folder.
    named: Mutex<Named>,
    /// Held while we live, so that another run can tell a build at work from one that was killed.
    _lock: Option<File>,
    finished: bool,
}

#[derive(Debug, Default)]
struct Named {
    files: BTreeSet<String>,
    folders: BTreeSet<PathBuf>,
    list: Option<File>,
}

impl Build {
    /// Makes an empty folder beside the target.
    pub(super) fn start(target: &Target) -> Result<Build, WriteError> {
        let path = target.beside(Beside::New);
        fs::create_dir(&path).map_err(WriteError::io(&path))?;
        // Some network file systems know no locks; there a build is merely not protected from a second run.
        let lock = File::open(&path).ok().filter(|file| flock(file, FlockOperation::NonBlockingLockExclusive).is_ok());
        Ok(Build { path, named: Mutex::default(), _lock: lock, finished: false })
    }

    /// The folder.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Writes files, several at once; one that is there already is left. A file that stands in the last site with the same
    /// bytes is not written again: the new site takes it over as it is. Says how many were written.
    pub(super) fn write(&self, files: &BTreeMap<String, Vec<u8>>, last: Option<&Path>) -> Result<usize, WriteError> {
        let new = self.name(files)?;
        let place = |(path, bytes): &(&String, &Vec<u8>)| {
            let new = self.path.join(path);
            if last.is_some_and(|last| takes_over(&last.join(path), bytes, &new)) {
                return Ok(false);
            }
            fs::write(&new, bytes).map(|()| true).map_err(WriteError::io(&new))
        };
        let placed: Vec<Result<bool, WriteError>> = new.par_iter().map(place).collect();
        placed.into_iter().try_fold(0, |written, one| Ok(written + usize::from(one?)))
    }

    /// Lists files that are new, and makes the folders on the way to them.
    fn name<'a>(&self, files: &'a BTreeMap<String, Vec<u8>>) -> Result<Vec<(&'a String, &'a Vec<u8>)>, WriteError> {
        let mut named = self.named.lock().unwrap_or_else(PoisonError::into_inner);
        let new: Vec<_> = files.iter().filter(|(path, _)| named.files.insert((*path).clone())).collect();
        let lines: String = new.iter().map(|(path, _)| format!("{path}\n")).collect();
        let list = self.path.join(NAMES);
        if named.list.is_none() {
            named.list = Some(File::create_new(&list).map_err(WriteError::io(&list))?);
        }
        if let Some(file) = &mut named.list {
            file.write_all(lines.as_bytes()).map_err(WriteError::io(&list))?;
        }
        for (path, _) in &new {
            let path = self.path.join(path);
            if let Some(folder) = path.parent()
                && !named.folders.contains(folder)
            {
                fs::create_dir_all(folder).map_err(WriteError::io(folder))?;
                named.folders.insert(folder.to_owned());
            }
        }
        Ok(new)
    }

    /// Writes the list that a finished site keeps.
    pub(super) fn put_mark(&self) -> Result<(), WriteError> {
        let named = self.named.lock().unwrap_or_else(PoisonError::into_inner);
        let mark = self.path.join(MARK);
        let text: String = named.files.iter().map(|path| format!("{path}\n")).collect();
        fs::write(&mark, text).map_err(WriteError::io(&mark))
    }

    /// Removes the growing list: all is written.
    pub(super) fn drop_list(&self) -> Result<(), WriteError> {
        let list = self.path.join(NAMES);
        fs::remove_file(&list).map_err(WriteError::io(&list))
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
