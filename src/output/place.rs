//! Where a target really lies, before and after it exists.

use super::WriteError;
use std::ffi::{OsStr, OsString};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Whether writing a site to `out` would touch the course: `out` lies in its folder, is it, or holds it.
pub fn overlaps_course(out: &Path, course: &Path) -> Result<bool, WriteError> {
    let course = resolve(course)?;
    let out = resolve(out)?;
    Ok(out.starts_with(&course) || course.starts_with(&out))
}

/// The true path of something that may not exist yet.
fn resolve(path: &Path) -> Result<PathBuf, WriteError> {
    match fs::canonicalize(path) {
        Ok(found) => return Ok(found),
        Err(error) if error.kind() == io::ErrorKind::NotFound && !path.is_symlink() => {}
        Err(error) => return Err(WriteError::io(path)(error)),
    }
    let Some(name) = path.file_name() else {
        return Err(WriteError::io(path)(io::ErrorKind::NotFound.into()));
    };
    let parent = path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    Ok(resolve(parent)?.join(name))
}

/// A target, and the hidden names beside it.
#[derive(Debug)]
pub(super) struct Target {
    /// Its true path.
    pub path: PathBuf,
    /// The folder it lies in.
    pub parent: PathBuf,
    name: OsString,
}

/// What a hidden folder beside a target is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Beside {
    /// The next site while it is built; after an exchange, the last one until it is removed.
    New,
    /// The last site while the next one is moved into its place, where the two cannot be exchanged.
    Old,
}

impl Target {
    pub(super) fn at(out: &Path) -> Result<Target, WriteError> {
        let path = resolve(out)?;
        match (path.parent(), path.file_name()) {
            (Some(parent), Some(name)) => Ok(Target { parent: parent.to_owned(), name: name.to_owned(), path }),
            _ => Err(WriteError::NotOurs { path, foreign: vec!["/".to_owned()] }),
        }
    }

    /// Makes the folder that the target is to lie in.
    pub(super) fn make_parent(&self) -> Result<(), WriteError> {
        fs::create_dir_all(&self.parent).map_err(WriteError::io(&self.parent))
    }

    /// The hidden folder of this run.
    pub(super) fn beside(&self, what: Beside) -> PathBuf {
        let mut name = self.prefix(what);
        name.push(std::process::id().to_string());
        self.parent.join(name)
    }

    /// Hidden folders of this and other runs, in order.
    pub(super) fn litter(&self, what: Beside) -> Result<Vec<PathBuf>, WriteError> {
        let prefix = self.prefix(what);
        let entries = match fs::read_dir(&self.parent) {
            Ok(entries) => entries,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(error) => return Err(WriteError::io(&self.parent)(error)),
        };
        let mut found = Vec::new();
        for entry in entries {
            let name = entry.map_err(WriteError::io(&self.parent))?.file_name();
            if is_run_of(&name, &prefix) {
                found.push(self.parent.join(name));
            }
        }
        found.sort();
        Ok(found)
    }

    fn prefix(&self, what: Beside) -> OsString {
        let mut prefix = OsString::from(".");
        prefix.push(&self.name);
        prefix.push(match what {
            Beside::New => ".pottle-new-",
            Beside::Old => ".pottle-old-",
        });
        prefix
    }
}

fn is_run_of(name: &OsStr, prefix: &OsStr) -> bool {
    let number = name.as_encoded_bytes().strip_prefix(prefix.as_encoded_bytes());
    number.is_some_and(|rest| !rest.is_empty() && rest.iter().all(u8::is_ascii_digit))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_site_may_lie_beside_its_course_but_not_in_or_around_it() {
        let folder = tempfile::tempdir().unwrap();
        let course = folder.path().join("course");
        fs::create_dir_all(course.join("01-curd")).unwrap();
        std::os::unix::fs::symlink(&course, folder.path().join("link")).unwrap();
        for (out, expected) in [
            ("site", false),
            ("course-site", false),
            ("new/deep/site", false),
            ("course", true),
            ("course/site", true),
            ("course/01-curd", true),
            ("course/../course/new/site", true),
            ("link/site", true),
            (".", true),
        ] {
            assert_eq!(overlaps_course(&folder.path().join(out), &course).unwrap(), expected, "{out}");
        }
    }

    #[test]
    fn only_our_own_hidden_names_count_as_litter() {
        let prefix = OsStr::new(".site.pottle-new-");
        assert!(is_run_of(OsStr::new(".site.pottle-new-417"), prefix));
        for other in [".site.pottle-new-", ".site.pottle-new-4x", ".site2.pottle-new-4", "site.pottle-new-4"] {
            assert!(!is_run_of(OsStr::new(other), prefix), "{other}");
        }
    }
}
