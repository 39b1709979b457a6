//! The two things that are written: a site, and a new course.

use super::WriteError;
use super::build::Build;
use super::mark::{State, inspect, is_inner_path, mark_text, remove_ours};
use super::place::{Beside, Target};
use super::swap::{clean, exchange, put_back, swap_in};
use crate::render::Site;
use std::collections::BTreeMap;
use std::path::Path;

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

/// Builds the site beside `out` and swaps it in whole.
///
/// `out` may be missing, empty, or a site that was written by this function; anything else is refused and left as it
/// is. So is the last site when something fails.
pub fn write_site(site: &Site, out: &Path) -> Result<Written, WriteError> {
    write_files(site.files(), out)
}

/// Removes what killed runs left beside a site that stands and needs nothing else.
pub fn clean_beside(out: &Path) -> Result<(), WriteError> {
    clean(&Target::at(out)?)
}

fn write_files(files: &BTreeMap<String, Vec<u8>>, out: &Path) -> Result<Written, WriteError> {
    if let Some(bad) = files.keys().find(|path| !is_inner_path(path)) {
        return Err(WriteError::BadPath(bad.clone()));
    }
    let target = Target::at(out)?;
    put_back(&target)?;
    let had_site = accept(&target)? == State::Ours;
    target.make_parent()?;
    clean(&target)?;
    let mut build = Build::start(&target)?;
    build.write_mark(&mark_text(files.keys().map(String::as_str)))?;
    let rewritten = build.write_all(files, had_site.then_some(&target.path))?;
    // Looked at again: building took a while, and somebody may have put a file there meanwhile.
    let had_site = accept(&target)? == State::Ours;
    let (new, old) = (build.path().to_owned(), target.beside(Beside::Old));
    let last = swap_in(&new, &target, &old, had_site, exchange)?;
    build.finish();
    if let Some(last) = last {
        // The new site stands; a last one that cannot be removed is litter for the next publish.
        let _ = remove_ours(last);
    }
    Ok(Written { files: files.len(), bytes: files.values().map(|bytes| bytes.len() as u64).sum(), rewritten })
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
    let mut build = Build::start(&target)?;
    for (path, text) in files {
        build.write(path, text.as_bytes())?;
    }
    let (new, old) = (build.path().to_owned(), target.beside(Beside::Old));
    swap_in(&new, &target, &old, false, exchange)?;
    build.finish();
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::mark::MARK;
    use super::*;
    use std::fs;
    use std::io;
    use std::path::PathBuf;

    /// Larger than any run's number on the systems we know.
    const DEAD_RUN: &str = "99999999999";

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
        let written = write_files(&first(), &site).unwrap();
        assert_eq!(written, Written { files: 3, bytes: 18, rewritten: 3 });
        assert_eq!(text(site.join(MARK)), "index.html\nlessons/curd.html\nold/page.html\n");
        assert_eq!(write_files(&second(), &site).unwrap().rewritten, 1, "one file is as it was");
        assert_eq!(tree(&site), [MARK, "index.html", "lessons", "lessons/curd.html"]);
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
    fn a_build_at_work_is_not_taken_for_litter() {
        let (_folder, site) = room();
        let target = Target::at(&site).unwrap();
        let mut build = Build::start(&target).unwrap();
        build.write_mark("index.html\n").unwrap();
        build.write("index.html", b"half").unwrap();
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
        let mut build = Build::start(&target).unwrap();
        build.write("index.html", b"second").unwrap();
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
