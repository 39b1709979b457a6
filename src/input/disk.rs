//! The one place that reads a course from disk.

use super::layout;
use super::project::{Content, Project};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime};
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
    let read = read(root, None, None, SystemTime::now())?;
    // Nobody else has it yet.
    Ok(Arc::unwrap_or_clone(read.project))
}

/// Reads a course folder again and again, and opens only files that are not as they were.
#[derive(Debug)]
pub struct Reader {
    root: PathBuf,
    last: Option<Last>,
}

/// What was read last.
#[derive(Debug)]
struct Last {
    project: Arc<Project>,
    stamps: BTreeMap<String, Stamp>,
    found: Arc<Found>,
}

/// What there is in a course folder.
#[derive(Debug)]
struct Found {
    /// Its files, by their paths below it.
    files: BTreeMap<String, PathBuf>,
    /// What an author might take for a part of the course, and is not read.
    left_out: Vec<String>,
}

impl Reader {
    /// Of the course folder `root`, which is not looked at yet.
    pub fn new(root: &Path) -> Reader {
        Reader { root: root.to_owned(), last: None }
    }

    /// The course as it is now.
    pub fn read(&mut self) -> Result<Arc<Project>, ReadError> {
        self.read_at(SystemTime::now())
    }

    /// The course as it is if nothing has changed but at these paths below it. That is quick, and may be wrong where a file
    /// stands under two names, so [`Reader::read`] is to follow.
    pub fn read_again_at(&mut self, paths: &BTreeSet<String>) -> Result<Arc<Project>, ReadError> {
        let only = self.last.as_ref().and_then(|last| last.known_among(paths, &self.root));
        self.read_only(only, SystemTime::now())
    }

    fn read_at(&mut self, now: SystemTime) -> Result<Arc<Project>, ReadError> {
        self.read_only(None, now)
    }

    fn read_only(&mut self, only: Option<BTreeSet<String>>, now: SystemTime) -> Result<Arc<Project>, ReadError> {
        let last = read(&self.root, self.last.as_ref(), only.as_ref(), now)?;
        let project = Arc::clone(&last.project);
        self.last = Some(last);
        Ok(project)
    }
}

impl Last {
    /// Those of some paths at which a file stands as one stood before; nothing where the course has other files now.
    fn known_among(&self, paths: &BTreeSet<String>, root: &Path) -> Option<BTreeSet<String>> {
        let mut known = BTreeSet::new();
        for path in paths {
            match (self.found.files.contains_key(path), fs::symlink_metadata(root.join(path))) {
                (true, Ok(now)) if now.is_file() => {
                    known.insert(path.clone());
                }
                (false, Err(error)) if error.kind() == io::ErrorKind::NotFound => {} // it came and went
                _ => return None,
            }
        }
        Some(known)
    }
}

/// Reads a course; what is as it was the last time is shared with that. With `only` no other files are looked at.
fn read(root: &Path, last: Option<&Last>, only: Option<&BTreeSet<String>>, now: SystemTime) -> Result<Last, ReadError> {
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
    let found = match (last, only) {
        (Some(last), Some(_)) => Arc::clone(&last.found),
        _ => Arc::new(walk(root, &home)?),
    };
    let known = last.map_or_else(BTreeSet::new, |last| last.project.sound_files());
    let is_known = |path: &str, stamp: &Stamp| {
        known.contains(path) && last.is_some_and(|last| last.stamps.get(path) == Some(stamp))
    };
    let mut files = BTreeMap::new();
    let mut stamps = BTreeMap::new();
    let mut size = 0;
    let paths: Vec<&str> = layout::layout(found.files.keys().map(String::as_str)).into_keys().collect();
    // Some at a time, so that what is too much is seen before all of it is in memory.
    for some in paths.chunks(64) {
        let look = |path: &&str| -> Result<(Option<Stamp>, Content), ReadError> {
            let file = &found.files[*path];
            let before = last.and_then(|last| last.stamps.get(*path));
            let stamp = match only.zip(before) {
                Some((only, before)) if !only.contains(*path) => Some(before.clone()),
                _ => Stamp::of(file, now),
            };
            match &stamp {
                Some(stamp) if is_known(path, stamp) => Ok((stamp.clone().into(), Content::AsBefore)),
                _ => Ok((stamp, Content::New(read_bounded(file)?))),
            }
        };
        let read: Vec<_> = some.par_iter().map(look).collect();
        for (path, read) in some.iter().zip(read) {
            let (stamp, content) = read?;
            size += match &content {
                Content::New(bytes) => bytes.len() as u64,
                Content::AsBefore => stamp.as_ref().map_or(0, |stamp| stamp.size),
            };
            if size > LARGEST_COURSE {
                return Err(ReadError::TooMuch(found.files[*path].clone()));
            }
            files.insert((*path).to_owned(), content);
            stamps.extend(stamp.map(|stamp| ((*path).to_owned(), stamp)));
        }
    }
    let project = Project::from_contents(files, last.map(|last| &*last.project)).with_left_out(&found.left_out);
    Ok(Last { project: Arc::new(project), stamps, found })
}

/// What a file system says of a file without opening it: another one wherever the file was written to.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Stamp {
    size: u64,
    modified: SystemTime,
    /// Which file it is, and when anything about it was last changed, in seconds and billionths.
    status: (u64, i64, i64),
}

/// Some file systems count time in steps of two seconds: within them a file may change and keep its stamp.
const STEP: Duration = Duration::from_secs(3);

impl Stamp {
    /// `None` where a change could pass unseen: the file is fresh, or its system does not say when it was touched.
    #[cfg(unix)]
    fn of(file: &Path, now: SystemTime) -> Option<Stamp> {
        use std::os::unix::fs::MetadataExt;
        let told = fs::metadata(file).ok()?;
        let modified = told.modified().ok()?;
        let touched = SystemTime::UNIX_EPOCH + Duration::from_secs(told.ctime().try_into().ok()?);
        let is_old = |time: SystemTime| now.duration_since(time).is_ok_and(|age| age > STEP);
        let status = (told.ino(), told.ctime(), told.ctime_nsec());
        (is_old(modified) && is_old(touched)).then_some(Stamp { size: told.len(), modified, status })
    }

    #[cfg(not(unix))]
    fn of(_: &Path, _: SystemTime) -> Option<Stamp> {
        None
    }
}

/// All files below `root`, hidden ones and other courses left out; paths are told with `/`.
fn walk(root: &Path, home: &Path) -> Result<Found, ReadError> {
    let mut found = BTreeMap::new();
    let mut left_out = Vec::new();
    let below = |path: &Path| with_slashes(path.strip_prefix(root).unwrap_or(path));
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
    Ok(Found { files: found, left_out })
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

pub(super) fn with_slashes(path: &Path) -> String {
    path.iter().map(|part| part.to_string_lossy()).collect::<Vec<_>>().join("/")
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

    /// All texts and pictures of a course, and what is wrong with its files.
    fn content(project: &Project) -> (Vec<(String, Vec<u8>)>, Vec<String>) {
        let texts = project.sources.iter().map(|(_, file)| (file.path.clone(), file.text.clone().into_bytes()));
        let pictures = project.pictures.iter().map(|(path, picture)| (path.clone(), picture.to_vec()));
        let problems = project.problems.iter().map(|found| found.message.clone()).collect();
        (texts.chain(pictures).collect(), problems)
    }

    #[test]
    fn a_course_that_is_read_again_is_as_if_it_were_read_for_the_first_time() {
        let folder = course();
        let path = |name: &str| folder.path().join(name);
        let mut reader = Reader::new(folder.path());
        // Far enough from now that no file counts as fresh.
        let later = SystemTime::now() + 100 * STEP;
        let mut agrees = |what: &str| {
            let again = reader.read_at(later).unwrap();
            assert_eq!(content(&again), content(&read_project(folder.path()).unwrap()), "{what}");
            std::thread::sleep(Duration::from_millis(20)); // times are counted in ticks of some milliseconds
            again
        };
        let first = agrees("the first time");
        let lesson =
            |project: &Project| project.sources.shared().find(|file| file.path.ends_with("lesson.md")).cloned();
        let same = agrees("nothing has changed");
        assert!(Arc::ptr_eq(&lesson(&first).unwrap(), &lesson(&same).unwrap()), "it is shared");
        let modified = fs::metadata(path("01-curd/lesson.md")).unwrap().modified().unwrap();
        fs::write(path("01-curd/lesson.md"), "# Herb\n").unwrap();
        File::options().write(true).open(path("01-curd/lesson.md")).unwrap().set_modified(modified).unwrap();
        assert_eq!(lesson(&agrees("as long and as old as before")).unwrap().text, "# Herb\n");
        fs::write(path("01-curd/new.md"), "# Plum\n").unwrap();
        fs::rename(path("01-curd/new.md"), path("01-curd/lesson.md")).unwrap();
        assert_eq!(lesson(&agrees("another file in its place")).unwrap().text, "# Plum\n");
        for (name, bytes) in [("01-curd/pot.png", [0x89, 0x50]), ("01-curd/pot.png", [0x89, 0x51])] {
            fs::write(path(name), bytes).unwrap();
            assert_eq!(*agrees("a picture").pictures[name], bytes);
        }
        fs::write(path("01-curd/lesson.vtt"), [0xbd]).unwrap();
        for _ in 0..2 {
            assert!(!agrees("no text").problems.is_empty(), "it is said each time");
        }
        fs::remove_file(path("01-curd/lesson.vtt")).unwrap();
        fs::remove_file(path("01-curd/pot.png")).unwrap();
        assert!(agrees("two files less").pictures.is_empty());
    }

    #[test]
    fn where_the_places_of_a_change_are_known_no_other_files_are_looked_at() {
        let folder = course();
        let path = |name: &str| folder.path().join(name);
        fs::create_dir(path("02-again")).unwrap();
        symlink("../01-curd/lesson.md", path("02-again/lesson.md")).unwrap();
        let mut reader = Reader::new(folder.path());
        let text = |project: &Project, slug: &str| {
            let lesson = project.lessons.iter().find(|lesson| lesson.slug == slug).unwrap();
            project.sources.get(lesson.file).text.clone()
        };
        let at = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<BTreeSet<_>>();
        reader.read_at(SystemTime::now() + 100 * STEP).unwrap();
        fs::write(path("01-curd/lesson.md"), "# Herb\n").unwrap();
        let quick = reader.read_again_at(&at(&["01-curd/lesson.md", "01-curd/gone~"])).unwrap();
        assert_eq!((text(&quick, "curd").as_str(), text(&quick, "again").as_str()), ("# Herb\n", "# Curd\n"));
        assert_eq!(text(&reader.read().unwrap(), "again"), "# Herb\n", "a whole look finds the other name too");
        fs::create_dir(path("03-jam")).unwrap();
        fs::write(path("03-jam/lesson.md"), "# Jam\n").unwrap();
        assert_eq!(slugs(&reader.read_again_at(&at(&["03-jam/lesson.md"])).unwrap()), ["curd", "again", "jam"]);
        fs::remove_file(path("03-jam/lesson.md")).unwrap();
        assert_eq!(slugs(&reader.read_again_at(&at(&["03-jam/lesson.md"])).unwrap()), ["curd", "again"]);
        fs::remove_file(path("course.toml")).unwrap();
        assert!(matches!(reader.read_again_at(&at(&["course.toml"])), Err(ReadError::NotACourse(_))));
    }
}
