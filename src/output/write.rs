//! The two things that are written: a site, and a new course.

use super::WriteError;
use super::build::Build;
use super::mark::{State, inspect, is_inner_path, remove_ours};
use super::place::{Beside, Target};
use super::swap::{clean, exchange, put_back, swap_in};
use crate::render::Site;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Mutex, PoisonError};

/// What was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Written {
    /// How many files, the list of them not counted.
    pub files: usize,
    /// How many bytes they hold.
    pub bytes: u64,
    /// How many of them were written: the others stood in the last site with the same bytes.
    pub rewritten: usize,
}

/// A site that is written beside its target while it is made, and swapped in whole at the end. Dropped before that, it
/// leaves the last site as it was.
#[derive(Debug)]
pub struct SiteWriter {
    target: Target,
    build: Build,
    /// Whether a site stands there whose files may be taken over.
    had_site: bool,
    /// How many files were written so far, or why one could not be.
    rewritten: Mutex<Result<usize, WriteError>>,
}

impl SiteWriter {
    /// Begins a site that is to stand in `out`, which may be missing, empty, or a site that was written by this; anything
    /// else is refused and left as it is.
    pub fn start(out: &Path) -> Result<SiteWriter, WriteError> {
        let target = Target::at(out)?;
        put_back(&target)?;
        let had_site = accept(&target)? == State::Ours;
        target.make_parent()?;
        clean(&target)?;
        let build = Build::start(&target)?;
        Ok(SiteWriter { target, build, had_site, rewritten: Mutex::new(Ok(0)) })
    }

    /// Writes some files of the site. What goes wrong is told at the end.
    pub fn take(&self, files: &BTreeMap<String, Vec<u8>>) {
        let sum = || self.rewritten.lock().unwrap_or_else(PoisonError::into_inner);
        if sum().is_err() {
            return; // the first error is the one to tell
        }
        let new = self.put(files);
        match (&mut *sum(), new) {
            (Ok(sum), Ok(new)) => *sum += new,
            (sum, Err(error)) => *sum = Err(error),
            (Err(_), Ok(_)) => {}
        }
    }

    fn put(&self, files: &BTreeMap<String, Vec<u8>>) -> Result<usize, WriteError> {
        if let Some(bad) = files.keys().find(|path| !is_inner_path(path)) {
            return Err(WriteError::BadPath(bad.clone()));
        }
        self.build.write(files, self.had_site.then_some(&self.target.path))
    }

    /// Writes what is left of the site, and swaps it in.
    pub fn finish(self, site: &Site) -> Result<Written, WriteError> {
        let bytes = |files: &BTreeMap<String, Vec<u8>>| files.values().map(|bytes| bytes.len() as u64).sum::<u64>();
        let taken = site.taken();
        let files = site.files().len() + taken.len();
        let bytes = bytes(site.files()) + taken.values().map(|file| file.bytes).sum::<u64>();
        Ok(Written { files, bytes, rewritten: self.swap_in(site.files())? })
    }

    /// Writes the last files, and swaps the site in. Says how many files were written.
    fn swap_in(self, files: &BTreeMap<String, Vec<u8>>) -> Result<usize, WriteError> {
        self.take(files);
        let SiteWriter { target, build, rewritten, .. } = self;
        let rewritten = rewritten.into_inner().unwrap_or_else(PoisonError::into_inner)?;
        build.put_mark()?;
        build.drop_list()?;
        // Looked at again: building took a while, and somebody may have put a file there meanwhile.
        let had_site = accept(&target)? == State::Ours;
        let (new, old) = (build.path().to_owned(), target.beside(Beside::Old));
        let last = swap_in(&new, &target, &old, had_site, exchange)?;
        build.finish();
        if let Some(last) = last {
            // The new site stands; a last one that cannot be removed is litter for the next publish.
            let _ = remove_ours(last);
        }
        Ok(rewritten)
    }
}

/// Builds the site beside `out` and swaps it in whole.
///
/// `out` may be missing, empty, or a site that was written by this function; anything else is refused and left as it
/// is. So is the last site when something fails.
pub fn write_site(site: &Site, out: &Path) -> Result<Written, WriteError> {
    SiteWriter::start(out)?.finish(site)
}

/// Removes what killed runs left beside a site that stands and needs nothing else.
pub fn clean_beside(out: &Path) -> Result<(), WriteError> {
    clean(&Target::at(out)?)
}

/// Refuses a target that is not ours to replace.
fn accept(target: &Target) -> Result<State, WriteError> {
    match inspect(&target.path)? {
        State::Strange(foreign) => Err(WriteError::NotOurs { path: target.path.clone(), foreign }),
        State::File => Err(WriteError::NotAFolder(target.path.clone())),
        state => Ok(state),
    }
}

/// Writes a folder that is missing or empty until now, such as a new course: all of its files or none.
pub fn write_new_folder(files: &[(&str, &str)], folder: &Path) -> Result<(), WriteError> {
    if let Some((bad, _)) = files.iter().find(|(path, _)| !is_inner_path(path)) {
        return Err(WriteError::BadPath((*bad).to_owned()));
    }
    let target = Target::at(folder)?;
    match inspect(&target.path)? {
        State::Missing | State::Empty => {}
        State::File => return Err(WriteError::NotAFolder(folder.to_owned())),
        State::Ours | State::Strange(_) => return Err(WriteError::NotEmpty(folder.to_owned())),
    }
    target.make_parent()?;
    let build = Build::start(&target)?;
    build.write(&files.iter().map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec())).collect(), None)?;
    build.drop_list()?;
    let (new, old) = (build.path().to_owned(), target.beside(Beside::Old));
    swap_in(&new, &target, &old, false, exchange)?;
    build.finish();
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::mark::{MARK, NAMES};
    use super::*;
    use std::fs;
    use std::io;
    use std::path::PathBuf;

    /// Larger than any run's number on the systems we know.
    const DEAD_RUN: &str = "99999999999";

    fn write_files(files: &BTreeMap<String, Vec<u8>>, out: &Path) -> Result<usize, WriteError> {
        SiteWriter::start(out)?.swap_in(files)
    }

    fn files(entries: &[(&str, &str)]) -> BTreeMap<String, Vec<u8>> {
        entries.iter().map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec())).collect()
    }

    fn first() -> BTreeMap<String, Vec<u8>> {
        files(&[("index.html", "first"), ("lessons/curd.html", "curd"), ("old/page.html", "gone soon")])
    }

    fn second() -> BTreeMap<String, Vec<u8>> {
        files(&[("index.html", "second"), ("lessons/curd.html", "curd")])
    }

    /// All files and folders below a folder.
    fn tree(folder: &Path) -> Vec<String> {
        let walk = walkdir::WalkDir::new(folder).min_depth(1).sort_by_file_name();
        walk.into_iter()
            .map(|entry| entry.unwrap().path().strip_prefix(folder).unwrap().to_string_lossy().into_owned())
            .collect()
    }

    fn room() -> (tempfile::TempDir, PathBuf) {
        let folder = tempfile::tempdir().unwrap();
        let site = folder.path().join("site");
        (folder, site)
    }

    fn text(path: PathBuf) -> String {
        fs::read_to_string(path).unwrap()
    }

    #[test]
    fn a_site_is_written_and_replaced_whole() {
        let (folder, site) = room();
        assert_eq!(write_files(&first(), &site).unwrap(), 3);
        assert_eq!(text(site.join(MARK)), "index.html\nlessons/curd.html\nold/page.html\n");
        assert_eq!(write_files(&second(), &site).unwrap(), 1, "one file is as it was");
        assert_eq!(tree(&site), [MARK, "index.html", "lessons", "lessons/curd.html"]);
        assert_eq!(text(site.join("index.html")), "second");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside the site");
    }

    #[test]
    fn files_may_be_taken_while_others_are_made() {
        let (folder, site) = room();
        write_files(&first(), &site).unwrap();
        let writer = SiteWriter::start(&site).unwrap();
        writer.take(&files(&[("lessons/curd.html", "curd"), ("pictures/a.png", "seen twice")]));
        writer.take(&files(&[("lessons/milk.html", "milk"), ("pictures/a.png", "seen twice")]));
        assert_eq!(text(site.join("index.html")), "first", "the last site stands meanwhile");
        assert_eq!(writer.swap_in(&files(&[("index.html", "second")])).unwrap(), 3, "one file is as it was");
        assert_eq!(
            tree(&site),
            [MARK, "index.html", "lessons", "lessons/curd.html", "lessons/milk.html", "pictures", "pictures/a.png"]
        );
        assert_eq!(text(site.join(MARK)), "index.html\nlessons/curd.html\nlessons/milk.html\npictures/a.png\n");
        // One that is given up, and one that could not be written.
        drop(SiteWriter::start(&site).unwrap());
        let writer = SiteWriter::start(&site).unwrap();
        writer.take(&files(&[("a", "a file")]));
        writer.take(&files(&[("a/b", "a file in it")]));
        writer.take(&files(&[("b", "a file")]));
        assert!(matches!(writer.swap_in(&first()), Err(WriteError::Io { path, .. }) if path.ends_with("a")));
        assert_eq!(text(site.join("index.html")), "second");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside the site");
    }

    #[test]
    fn a_file_whose_bytes_stay_is_not_written_again() {
        use std::os::unix::fs::MetadataExt;
        let (_folder, site) = room();
        write_files(&first(), &site).unwrap();
        let inode = |path: &str| fs::metadata(site.join(path)).unwrap().ino();
        let before = ["index.html", "lessons/curd.html"].map(inode);
        write_files(&second(), &site).unwrap();
        let after = ["index.html", "lessons/curd.html"].map(inode);
        assert_ne!(before[0], after[0]);
        assert_eq!(before[1], after[1]);
        // A file that somebody changed in the last site does not come into the next one.
        fs::write(site.join("lessons/curd.html"), "dusk").unwrap();
        write_files(&second(), &site).unwrap();
        assert_eq!(text(site.join("lessons/curd.html")), "curd");
    }

    #[test]
    fn an_empty_folder_and_one_deep_down_are_accepted() {
        let (folder, site) = room();
        fs::create_dir(&site).unwrap();
        write_files(&first(), &site).unwrap();
        let deep = folder.path().join("a/b/site");
        write_files(&first(), &deep).unwrap();
        assert_eq!(text(deep.join("index.html")), "first");
    }

    #[test]
    fn files_that_are_not_ours_are_named_and_left() {
        let (_folder, site) = room();
        write_files(&first(), &site).unwrap();
        fs::write(site.join("lessons/notes.txt"), "mine").unwrap();
        let before = tree(&site);
        match write_files(&second(), &site).unwrap_err() {
            WriteError::NotOurs { foreign, .. } => assert_eq!(foreign, ["lessons/notes.txt"]),
            other => panic!("{other}"),
        }
        assert_eq!(tree(&site), before);
        assert_eq!(text(site.join("index.html")), "first");
    }

    #[test]
    fn a_strangers_folder_and_a_file_are_refused() {
        let (folder, site) = room();
        fs::create_dir(&site).unwrap();
        fs::write(site.join("thesis.txt"), "years").unwrap();
        let error = write_files(&first(), &site).unwrap_err();
        assert!(error.to_string().contains("`thesis.txt`"), "{error}");
        assert_eq!(tree(folder.path()), ["site", "site/thesis.txt"]);
        let error = write_files(&first(), &site.join("thesis.txt")).unwrap_err();
        assert!(matches!(error, WriteError::NotAFolder(_)), "{error}");
    }

    #[test]
    fn a_failed_write_leaves_the_last_site_and_no_litter() {
        let (folder, site) = room();
        write_files(&first(), &site).unwrap();
        let before = tree(folder.path());
        // One name for a file and a folder: the second cannot be written.
        let clash = files(&[("a", "a file"), ("a/b", "a file in it"), ("index.html", "never")]);
        assert!(matches!(write_files(&clash, &site), Err(WriteError::Io { .. })));
        assert_eq!(tree(folder.path()), before);
        assert_eq!(text(site.join("index.html")), "first");
    }

    #[test]
    fn paths_that_leave_the_site_are_refused_before_anything_is_written() {
        let (folder, site) = room();
        for bad in ["../escape.html", "/escape.html", "a/../../escape.html", MARK] {
            let error = write_files(&files(&[(bad, "x")]), &site).unwrap_err();
            assert!(matches!(error, WriteError::BadPath(_)), "{error}");
        }
        assert!(tree(folder.path()).is_empty());
    }

    #[test]
    fn litter_of_killed_runs_is_cleaned_but_no_strangers_file() {
        let (folder, site) = room();
        let new = folder.path().join(format!(".site.pottle-new-{DEAD_RUN}"));
        let old = folder.path().join(format!(".site.pottle-old-{DEAD_RUN}"));
        let kept = folder.path().join(format!(".other.pottle-new-{DEAD_RUN}"));
        let strange = folder.path().join(".site.pottle-new-1");
        for litter in [&new, &old, &kept, &strange] {
            fs::create_dir_all(litter.join("lessons")).unwrap();
            fs::write(litter.join(MARK), "index.html\nlessons/curd.html\n").unwrap();
            fs::write(litter.join("lessons/curd.html"), "half").unwrap();
        }
        fs::write(strange.join("mine.txt"), "mine").unwrap();
        write_files(&first(), &site).unwrap();
        write_files(&second(), &site).unwrap();
        assert!(!new.exists() && !old.exists());
        assert!(kept.exists() && strange.join("mine.txt").exists());
    }

    #[test]
    fn a_build_killed_while_it_wrote_its_lists_is_cleaned() {
        let (folder, site) = room();
        for (names, mark) in [
            ("", None),
            ("index.html\nlessons/cu", None),
            ("index.html\nlessons/curd.html\n", Some("index.html\nlesso")),
        ] {
            let litter = folder.path().join(format!(".site.pottle-new-{DEAD_RUN}"));
            fs::create_dir_all(&litter).unwrap();
            fs::write(litter.join(NAMES), names).unwrap();
            if !names.is_empty() {
                fs::write(litter.join("index.html"), "half").unwrap();
            }
            if let Some(mark) = mark {
                fs::write(litter.join(MARK), mark).unwrap();
            }
            clean(&Target::at(&site).unwrap()).unwrap();
            assert!(!litter.exists(), "{names:?} {mark:?}");
        }
    }

    #[test]
    fn a_build_at_work_is_not_taken_for_litter() {
        let (_folder, site) = room();
        let target = Target::at(&site).unwrap();
        let build = Build::start(&target).unwrap();
        build.write(&files(&[("index.html", "half")]), None).unwrap();
        clean(&target).unwrap();
        assert!(build.path().join("index.html").exists());
        let path = build.path().to_owned();
        drop(build);
        assert!(!path.exists());
    }

    #[test]
    fn a_site_moved_aside_by_a_killed_run_is_put_back_first() {
        let (folder, site) = room();
        write_files(&first(), &site).unwrap();
        fs::rename(&site, folder.path().join(format!(".site.pottle-old-{DEAD_RUN}"))).unwrap();
        let clash = files(&[("a", "a file"), ("a/b", "a file in it")]);
        assert!(write_files(&clash, &site).is_err());
        assert_eq!(text(site.join("index.html")), "first");
    }

    #[test]
    fn two_renames_do_where_folders_cannot_be_exchanged() {
        let (_folder, site) = room();
        write_files(&first(), &site).unwrap();
        let target = Target::at(&site).unwrap();
        let build = Build::start(&target).unwrap();
        build.write(&files(&[("index.html", "second")]), None).unwrap();
        let (new, old) = (build.path().to_owned(), target.beside(Beside::Old));
        let refuse = |_: &Path, _: &Path| -> io::Result<()> { Err(io::ErrorKind::Unsupported.into()) };
        assert_eq!(swap_in(&new, &target, &old, true, refuse).unwrap(), Some(old.as_path()));
        build.finish();
        assert_eq!(text(site.join("index.html")), "second");
        assert_eq!(text(old.join("index.html")), "first");
        // The next one is missing: the last must come back.
        let aside = site.with_extension("aside");
        let error = swap_in(&new, &target, &aside, true, refuse);
        assert!(error.is_err());
        assert_eq!(text(site.join("index.html")), "second");
    }

    #[test]
    fn a_link_to_a_site_stays_a_link() {
        let (folder, site) = room();
        write_files(&first(), &site).unwrap();
        let link = folder.path().join("link");
        std::os::unix::fs::symlink(&site, &link).unwrap();
        write_files(&second(), &link).unwrap();
        assert!(link.is_symlink());
        assert_eq!(text(site.join("index.html")), "second");
    }

    #[test]
    fn a_new_folder_is_never_written_over_another() {
        let (folder, site) = room();
        write_new_folder(&[("course.toml", "title"), ("01-a/lesson.md", "# A")], &site).unwrap();
        assert_eq!(tree(&site), ["01-a", "01-a/lesson.md", "course.toml"]);
        let error = write_new_folder(&[("course.toml", "other")], &site).unwrap_err();
        assert!(matches!(error, WriteError::NotEmpty(_)), "{error}");
        assert_eq!(text(site.join("course.toml")), "title");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
