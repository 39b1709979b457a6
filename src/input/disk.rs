//! The one place that reads a course from disk.

use super::layout;
use super::project::Project;
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use walkdir::{DirEntry, WalkDir};

/// Larger files are refused: a lesson is a few kilobytes, a good picture some hundred.
const LARGEST: u64 = 16 * 1024 * 1024;

/// All files of a course together.
const LARGEST_COURSE: u64 = 512 * 1024 * 1024;

/// More files and folders than this are no course, but somebody's whole disk.
const MOST_FILES: usize = 100_000;

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
        "name the folder of a course, or start a new one with `pottle begin my-course`: {} is not a course, for it has no course.toml",
        named(.0)
    )]
    NotACourse(PathBuf),
    /// A file is larger than anything a course needs.
    #[error("`{}` is larger than 16 MiB; make it smaller, or move it out of the course folder", .0.display())]
    TooLarge(PathBuf),
    /// All files together are larger, or more, than any course.
    #[error(
        "`{}` makes this course larger than 512 MiB or {MOST_FILES} files; is it the folder of the course, and nothing else?",
        .0.display()
    )]
    TooMuch(PathBuf),
    /// The machine would not let us read something.
    #[error("`{}` cannot be read", .path.display())]
    Io {
        /// What was being read.
        path: PathBuf,
        /// What the machine said.
        source: io::Error,
    },
}

/// A folder as it is spoken of.
fn named(folder: &Path) -> String {
    if folder == Path::new(".") { "this folder".to_owned() } else { format!("`{}`", folder.display()) }
}

/// Reads the course folder `root` into memory, together with the built-in tables.
pub fn read_project(root: &Path) -> Result<Project, ReadError> {
    read_project_again(root, None)
}

/// The same; texts that are as they were `before` are shared with it. Every file is read all the same.
pub fn read_project_again(root: &Path, before: Option<&Project>) -> Result<Project, ReadError> {
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
    let (found, left_out) = walk(root, &home)?;
    let mut files = BTreeMap::new();
    let mut size = 0;
    let paths: Vec<&str> = layout::layout(found.keys().map(String::as_str)).into_keys().collect();
    // Some at a time, so that what is too much is seen before all of it is in memory.
    for some in paths.chunks(64) {
        let read: Vec<Result<Vec<u8>, ReadError>> = some.par_iter().map(|path| read_bounded(&found[*path])).collect();
        for (path, bytes) in some.iter().zip(read) {
            let bytes = bytes?;
            size += bytes.len() as u64;
            if size > LARGEST_COURSE {
                return Err(ReadError::TooMuch(found[*path].clone()));
            }
            files.insert((*path).to_owned(), bytes);
        }
    }
    Ok(Project::from_bytes(files, before).with_left_out(&left_out))
}

/// All files below `root` by their path relative to it, with `/`; hidden ones and other courses left out. With them the
/// paths of what an author might take for a part of the course, and is not read.
fn walk(root: &Path, home: &Path) -> Result<(BTreeMap<String, PathBuf>, Vec<String>), ReadError> {
    let mut found = BTreeMap::new();
    let mut left_out = Vec::new();
    let below = |path: &Path| -> String {
        let below = path.strip_prefix(root).unwrap_or(path);
        below.iter().map(|part| part.to_string_lossy()).collect::<Vec<_>>().join("/")
    };
    let walker = WalkDir::new(root).follow_links(true).sort_by_file_name().into_iter();
    let ours = walker.filter_entry(|entry| {
        let leads_out = entry.depth() > 0 && !is_hidden(entry.path()) && leads_out(entry, home);
        if leads_out {
            left_out.push(below(entry.path()));
        }
        entry.depth() == 0 || !leads_out && is_ours(entry)
    });
    let mut count = 0;
    let mut strange = Vec::new();
    for entry in ours {
        let entry = match entry {
            Ok(entry) => entry,
            Err(error) if may_be_passed_over(&error) => {
                strange.extend(error.path().filter(|path| !is_hidden(path)).map(below));
                continue;
            }
            Err(error) => {
                let path = error.path().unwrap_or(root).to_owned();
                return Err(ReadError::Io { path, source: error.into() });
            }
        };
        count += 1;
        if count > MOST_FILES {
            return Err(ReadError::TooMuch(entry.into_path()));
        }
        if entry.file_type().is_file() {
            found.insert(below(entry.path()), entry.into_path());
        } else if !entry.file_type().is_dir() {
            strange.push(below(entry.path()));
        }
    }
    left_out.extend(strange);
    left_out.sort();
    Ok((found, left_out))
}

fn is_ours(entry: &DirEntry) -> bool {
    let other_course = entry.file_type().is_dir() && entry.path().join("course.toml").is_file();
    !is_hidden(entry.path()) && !other_course
}

/// A link out of the folder would publish what the teacher never put into the course.
fn leads_out(entry: &DirEntry, home: &Path) -> bool {
    entry.path_is_symlink() && !fs::canonicalize(entry.path()).is_ok_and(|target| target.starts_with(home))
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
        assert_eq!(*project.pictures["01-curd/pot.png"], [0x89, 0x50]);
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
        let project = read_project(folder.path()).unwrap();
        assert_eq!(slugs(&project), ["curd", "again"]);
        let found: Vec<&str> = project.problems.iter().map(|found| found.message.as_str()).collect();
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found[0].starts_with("`01-curd/circle` is a link"), "{found:?}");
        assert!(found[1].starts_with("`02-elsewhere` is a link"), "{found:?}");
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
