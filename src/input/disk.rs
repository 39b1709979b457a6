//! The one place that reads a course from disk.

use super::layout;
use super::project::Project;
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use walkdir::{DirEntry, WalkDir};

/// Larger files are refused: a lesson is a few kilobytes, a good picture some hundred.
const LARGEST: u64 = 16 * 1024 * 1024;

/// Why a course could not be read at all.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// There is nothing under that path.
    #[error("there is no folder `{}`", .0.display())]
    NotFound(PathBuf),
    /// It is a file.
    #[error("`{}` is a file; name the folder of a course", .0.display())]
    NotAFolder(PathBuf),
    /// The folder has no `course.toml`.
    #[error(
        "`{}` is not a course: it has no course.toml; name the folder of a course, or start a new one with `pottle begin FOLDER`",
        .0.display()
    )]
    NotACourse(PathBuf),
    /// A file is larger than anything a course needs.
    #[error("`{}` is larger than 16 MiB; make it smaller, or move it out of the course folder", .0.display())]
    TooLarge(PathBuf),
    /// The machine would not let us read something.
    #[error("`{}` cannot be read", .path.display())]
    Io {
        /// What was being read.
        path: PathBuf,
        /// What the machine said.
        source: io::Error,
    },
}

/// Reads the course folder `root` into memory, together with the built-in tables.
pub fn read_project(root: &Path) -> Result<Project, ReadError> {
    let home = match fs::canonicalize(root) {
        Ok(home) => home,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Err(ReadError::NotFound(root.to_owned())),
        Err(source) => {
            return Err(ReadError::Io { path: root.to_owned(), source });
        }
    };
    if !home.is_dir() {
        return Err(ReadError::NotAFolder(root.to_owned()));
    }
    if !root.join("course.toml").is_file() {
        return Err(ReadError::NotACourse(root.to_owned()));
    }
    let found = walk(root, &home)?;
    let mut files = BTreeMap::new();
    for path in layout::layout(found.keys().map(String::as_str)).into_keys() {
        files.insert(path.to_owned(), read_bounded(&found[path])?);
    }
    Ok(Project::from_bytes(files))
}

/// All files below `root` by their path relative to it, with `/`; hidden ones and other courses left out.
fn walk(root: &Path, home: &Path) -> Result<BTreeMap<String, PathBuf>, ReadError> {
    let mut found = BTreeMap::new();
    let walker = WalkDir::new(root).follow_links(true).sort_by_file_name().into_iter();
    for entry in walker.filter_entry(|entry| entry.depth() == 0 || is_ours(entry, home)) {
        let entry = match entry {
            Ok(entry) => entry,
            Err(error) if may_be_passed_over(&error) => continue,
            Err(error) => {
                let path = error.path().unwrap_or(root).to_owned();
                return Err(ReadError::Io { path, source: error.into() });
            }
        };
        if entry.file_type().is_file() {
            let below = entry.path().strip_prefix(root).unwrap_or(entry.path());
            let parts: Vec<_> = below.iter().map(|part| part.to_string_lossy()).collect();
            found.insert(parts.join("/"), entry.into_path());
        }
    }
    Ok(found)
}

fn is_ours(entry: &DirEntry, home: &Path) -> bool {
    if is_hidden(entry.path()) {
        return false;
    }
    // A link out of the folder would publish what the teacher never put into the course.
    if entry.path_is_symlink() && !fs::canonicalize(entry.path()).is_ok_and(|target| target.starts_with(home)) {
        return false;
    }
    !(entry.file_type().is_dir() && entry.path().join("course.toml").is_file())
}

/// Links that lead in a circle or nowhere; editors leave the latter as hidden lock files.
fn may_be_passed_over(error: &walkdir::Error) -> bool {
    let is_link = error.path().is_some_and(Path::is_symlink);
    error.loop_ancestor().is_some() || is_link || error.path().is_some_and(is_hidden)
}

pub(super) fn is_hidden(path: &Path) -> bool {
    path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'))
}

fn read_bounded(path: &Path) -> Result<Vec<u8>, ReadError> {
    let fail = |source| ReadError::Io { path: path.to_owned(), source };
    let mut bytes = Vec::new();
    File::open(path).map_err(fail)?.take(LARGEST + 1).read_to_end(&mut bytes).map_err(fail)?;
    if bytes.len() as u64 > LARGEST {
        return Err(ReadError::TooLarge(path.to_owned()));
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::os::unix::fs::symlink;

    fn course() -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("course.toml"), "title = \"T\"\n").unwrap();
        fs::create_dir(folder.path().join("01-curd")).unwrap();
        fs::write(folder.path().join("01-curd/lesson.md"), "# Curd\n").unwrap();
        folder
    }

    fn slugs(project: &Project) -> Vec<&str> {
        project.lessons.iter().map(|lesson| lesson.slug.as_str()).collect()
    }

    #[test]
    fn a_course_is_read_with_its_pictures_and_without_hidden_files() {
        let folder = course();
        fs::write(folder.path().join("01-curd/pot.png"), [0x89, 0x50]).unwrap();
        fs::create_dir(folder.path().join(".old")).unwrap();
        fs::write(folder.path().join(".old/lesson.md"), "# Old\n").unwrap();
        fs::write(folder.path().join("01-curd/.lesson.md.swp"), [0xff]).unwrap();
        let project = read_project(folder.path()).unwrap();
        assert_eq!(slugs(&project), ["curd"]);
        assert_eq!(project.pictures["01-curd/pot.png"], [0x89, 0x50]);
        assert!(project.problems.is_empty());
    }

    #[test]
    fn links_are_followed_inside_the_course_only() {
        let folder = course();
        let outside = tempfile::tempdir().unwrap();
        fs::write(outside.path().join("lesson.md"), "# Elsewhere\n").unwrap();
        symlink(outside.path(), folder.path().join("02-elsewhere")).unwrap();
        fs::create_dir(folder.path().join("03-again")).unwrap();
        symlink("../01-curd/lesson.md", folder.path().join("03-again/lesson.md")).unwrap();
        symlink("nowhere", folder.path().join("01-curd/.#lesson.md")).unwrap();
        symlink("..", folder.path().join("01-curd/circle")).unwrap();
        assert_eq!(slugs(&read_project(folder.path()).unwrap()), ["curd", "again"]);
    }

    #[test]
    fn a_folder_with_a_course_of_its_own_is_left_alone() {
        let folder = course();
        fs::create_dir(folder.path().join("02-other")).unwrap();
        fs::write(folder.path().join("02-other/course.toml"), "").unwrap();
        fs::write(folder.path().join("02-other/lesson.md"), "# Other\n").unwrap();
        assert_eq!(slugs(&read_project(folder.path()).unwrap()), ["curd"]);
    }

    #[test]
    fn what_is_no_course_is_refused_in_plain_words() {
        let folder = tempfile::tempdir().unwrap();
        assert!(matches!(read_project(&folder.path().join("none")), Err(ReadError::NotFound(_))));
        fs::write(folder.path().join("file"), "").unwrap();
        assert!(matches!(read_project(&folder.path().join("file")), Err(ReadError::NotAFolder(_))));
        let error = read_project(folder.path()).unwrap_err();
        assert!(matches!(error, ReadError::NotACourse(_)));
        assert!(error.to_string().contains("pottle begin"), "{error}");
    }

    #[test]
    fn a_file_that_is_far_too_large_is_refused_by_name() {
        let folder = course();
        let file = File::create(folder.path().join("01-curd/film.gif")).unwrap();
        file.set_len(LARGEST + 1).unwrap();
        let error = read_project(folder.path()).unwrap_err();
        assert!(matches!(&error, ReadError::TooLarge(path) if path.ends_with("film.gif")), "{error}");
    }
}
