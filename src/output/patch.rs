//! Puts changed texts back in their places: each beside its file first, then over it.

use super::WriteError;
use std::ffi::OsString;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// New bytes for a file that was read before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Patch<'a> {
    /// Path relative to the folder, with `/`.
    pub path: &'a str,
    /// What the file held when it was read.
    pub before: &'a [u8],
    /// What it is to hold.
    pub after: &'a [u8],
}

/// Writes patches to files of `folder`. Refuses, before it touches any, if one of them has changed since it was read.
///
/// Each file is replaced whole by a rename and keeps its permissions; a link stays one, and its target is replaced.
pub fn write_patches(folder: &Path, patches: &[Patch<'_>]) -> Result<(), WriteError> {
    let mut ready = Vec::new();
    for patch in patches {
        ready.push(Ready::prepare(&folder.join(patch.path), patch)?);
    }
    // Writing took a while: an editor may have saved a file meanwhile.
    for (ready, patch) in ready.iter().zip(patches) {
        unchanged(&ready.target, patch.before)?;
    }
    ready.into_iter().try_for_each(Ready::swap_in)
}

/// A new text that lies beside its file. Dropped without being swapped in, it goes away again.
struct Ready {
    target: PathBuf,
    beside: PathBuf,
    done: bool,
}

impl Ready {
    fn prepare(path: &Path, patch: &Patch<'_>) -> Result<Ready, WriteError> {
        let target = fs::canonicalize(path).map_err(WriteError::io(path))?;
        unchanged(&target, patch.before)?;
        let permissions = fs::metadata(&target).map_err(WriteError::io(path))?.permissions();
        if permissions.readonly() {
            return Err(WriteError::io(path)(io::ErrorKind::PermissionDenied.into()));
        }
        let mut name = OsString::from(".");
        name.push(target.file_name().unwrap_or_default());
        name.push(format!(".pottle-{}", std::process::id()));
        let beside = target.with_file_name(name);
        let file = OpenOptions::new().write(true).create_new(true).open(&beside).map_err(WriteError::io(path))?;
        let ready = Ready { target, beside, done: false };
        fill(file, patch.after, permissions).map_err(WriteError::io(path))?;
        Ok(ready)
    }

    fn swap_in(mut self) -> Result<(), WriteError> {
        fs::rename(&self.beside, &self.target).map_err(WriteError::io(&self.target))?;
        self.done = true;
        Ok(())
    }
}

impl Drop for Ready {
    fn drop(&mut self) {
        if !self.done {
            let _ = fs::remove_file(&self.beside);
        }
    }
}

fn fill(mut file: File, bytes: &[u8], permissions: fs::Permissions) -> io::Result<()> {
    file.write_all(bytes)?;
    file.set_permissions(permissions)?;
    file.sync_all()
}

fn unchanged(path: &Path, before: &[u8]) -> Result<(), WriteError> {
    let bytes = fs::read(path).map_err(WriteError::io(path))?;
    if bytes == before { Ok(()) } else { Err(WriteError::Changed(path.to_owned())) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::os::unix::fs::{PermissionsExt, symlink};

    fn names(folder: &Path) -> Vec<String> {
        let mut found: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        found.sort();
        found
    }

    #[test]
    fn a_file_is_replaced_and_keeps_its_permissions() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.md");
        fs::write(&path, "old").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        write_patches(folder.path(), &[Patch { path: "a.md", before: b"old", after: b"new" }]).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new");
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
        assert_eq!(names(folder.path()), ["a.md"]);
    }

    #[test]
    fn nothing_is_written_when_one_file_has_changed() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a.md"), "old").unwrap();
        fs::write(folder.path().join("b.md"), "edited meanwhile").unwrap();
        let patches = ["a.md", "b.md"].map(|path| Patch { path, before: b"old", after: b"new" });
        let error = write_patches(folder.path(), &patches).unwrap_err();
        assert!(matches!(&error, WriteError::Changed(path) if path.ends_with("b.md")), "{error}");
        assert_eq!(fs::read(folder.path().join("a.md")).unwrap(), b"old");
        assert_eq!(names(folder.path()), ["a.md", "b.md"]);
    }

    #[test]
    fn a_file_that_may_not_be_written_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.md");
        fs::write(&path, "old").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
        let patch = Patch { path: "a.md", before: b"old", after: b"new" };
        assert!(matches!(write_patches(folder.path(), &[patch]), Err(WriteError::Io { .. })));
        assert_eq!(fs::read(&path).unwrap(), b"old");
        assert_eq!(names(folder.path()), ["a.md"]);
    }

    #[test]
    fn a_link_stays_a_link() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a.md"), "old").unwrap();
        symlink("a.md", folder.path().join("b.md")).unwrap();
        write_patches(folder.path(), &[Patch { path: "b.md", before: b"old", after: b"new" }]).unwrap();
        assert!(folder.path().join("b.md").is_symlink());
        assert_eq!(fs::read(folder.path().join("a.md")).unwrap(), b"new");
    }
}
