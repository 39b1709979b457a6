//! The list of a site's files, kept in the site, and what it says about a folder.

use super::WriteError;
use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use walkdir::WalkDir;

/// The list: one path a line, sorted.
pub(super) const MARK: &str = ".pottle-site";
/// The list of a site that is being built, in the order of its making. It counts before the other.
pub(super) const NAMES: &str = ".pottle-names";

/// What stands at a target.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum State {
    /// Nothing.
    Missing,
    /// An empty folder.
    Empty,
    /// A site of ours, and nothing else.
    Ours,
    /// A folder with files that are not ours, named here.
    Strange(Vec<String>),
    /// Not a folder.
    File,
}

/// Whether a path stays inside the folder it is joined to, on every system.
pub(super) fn is_inner_path(path: &str) -> bool {
    let strange = |letter: char| letter.is_control() || matches!(letter, '\\' | ':');
    !path.contains(strange) && path.split('/').all(|part| !matches!(part, "" | "." | "..")) && !is_list(path)
}

fn is_list(path: &str) -> bool {
    path == MARK || path == NAMES
}

/// Looks at a target, changing nothing.
pub(super) fn inspect(folder: &Path) -> Result<State, WriteError> {
    let io = WriteError::io(folder);
    match fs::symlink_metadata(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(State::Missing),
        Err(error) => return Err(io(error)),
        Ok(found) if !found.is_dir() => return Ok(State::File),
        Ok(_) => {}
    }
    let names = top_names(folder)?;
    if names.is_empty() {
        return Ok(State::Empty);
    }
    // Without a list of ours every file is strange: name the top ones, and do not wander through somebody's home.
    let Some(listed) = read_mark(folder)? else {
        return Ok(State::Strange(names));
    };
    let strange = strangers(folder, &listed)?;
    Ok(if strange.is_empty() { State::Ours } else { State::Strange(strange) })
}

fn top_names(folder: &Path) -> Result<Vec<String>, WriteError> {
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).map_err(WriteError::io(folder))? {
        names.push(entry.map_err(WriteError::io(folder))?.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    Ok(names)
}

/// The files that a folder's list names; `None` when it has no list, or one that we cannot have written.
fn read_mark(folder: &Path) -> Result<Option<BTreeSet<String>>, WriteError> {
    let lists = [NAMES, MARK].map(|name| folder.join(name));
    let is_file = |path: &&PathBuf| fs::symlink_metadata(path).is_ok_and(|found| found.is_file());
    let Some(path) = lists.iter().find(is_file) else {
        return Ok(None);
    };
    let bytes = fs::read(path).map_err(WriteError::io(path))?;
    let Ok(text) = String::from_utf8(bytes) else {
        return Ok(None);
    };
    // Who was killed while he wrote a name did not come to write its file.
    let whole = text.rfind('\n').map_or("", |end| &text[..end]);
    let listed: BTreeSet<String> = whole.lines().map(str::to_owned).collect();
    Ok(listed.iter().all(|path| is_inner_path(path)).then_some(listed))
}

/// Files that the list does not name, and folders that it has no use for.
fn strangers(folder: &Path, listed: &BTreeSet<String>) -> Result<Vec<String>, WriteError> {
    let needed: BTreeSet<&str> =
        listed.iter().flat_map(|path| path.match_indices('/').map(|(at, _)| &path[..at])).collect();
    let mut found = Vec::new();
    for entry in WalkDir::new(folder).min_depth(1).sort_by_file_name() {
        let entry = entry.map_err(|error| {
            let path = error.path().unwrap_or(folder).to_owned();
            WriteError::Io { path, source: error.into() }
        })?;
        let below = entry.path().strip_prefix(folder).unwrap_or(entry.path());
        let parts: Vec<_> = below.iter().map(|part| part.to_string_lossy()).collect();
        let path = parts.join("/");
        let known = if entry.file_type().is_dir() {
            needed.contains(path.as_str())
        } else {
            is_list(&path) || listed.contains(&path)
        };
        if !known {
            found.push(path);
        }
    }
    Ok(found)
}

/// Removes a folder that holds nothing but what we wrote; leaves any other alone.
pub(super) fn remove_ours(folder: &Path) -> Result<(), WriteError> {
    let state = inspect(folder)?;
    if state != State::Ours && state != State::Empty {
        return Ok(());
    }
    for name in top_names(folder)? {
        let path = folder.join(&name);
        let is_folder = fs::symlink_metadata(&path).is_ok_and(|found| found.is_dir());
        // The lists go last: whoever is interrupted here can go on where he stopped.
        if !is_list(&name) {
            if is_folder { fs::remove_dir_all(&path) } else { fs::remove_file(&path) }
                .map_err(WriteError::io(&path))?;
        }
    }
    for list in [MARK, NAMES].map(|name| folder.join(name)).iter().filter(|list| list.exists()) {
        fs::remove_file(list).map_err(WriteError::io(list))?;
    }
    fs::remove_dir(folder).map_err(WriteError::io(folder))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_is_ours_only_while_every_file_in_it_is() {
        let folder = tempfile::tempdir().unwrap();
        let site = folder.path().join("site");
        assert_eq!(inspect(&site).unwrap(), State::Missing);
        fs::create_dir(&site).unwrap();
        assert_eq!(inspect(&site).unwrap(), State::Empty);
        fs::write(site.join("index.html"), "x").unwrap();
        assert_eq!(inspect(&site).unwrap(), State::Strange(vec!["index.html".to_owned()]));
        fs::write(site.join(MARK), "index.html\na/b.html\n").unwrap();
        assert_eq!(inspect(&site).unwrap(), State::Ours);
        fs::create_dir_all(site.join("a/empty")).unwrap();
        fs::write(site.join("a/mine.txt"), "x").unwrap();
        assert_eq!(inspect(&site).unwrap(), State::Strange(vec!["a/empty".to_owned(), "a/mine.txt".to_owned()]));
        assert_eq!(inspect(&site.join("index.html")).unwrap(), State::File);
    }

    #[test]
    fn a_list_that_leads_out_of_its_folder_is_not_believed() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join(MARK), "../elsewhere\n").unwrap();
        assert_eq!(inspect(folder.path()).unwrap(), State::Strange(vec![MARK.to_owned()]));
    }

    #[test]
    fn a_listed_folder_that_became_a_link_is_a_stranger() {
        let folder = tempfile::tempdir().unwrap();
        let (site, other) = (folder.path().join("site"), folder.path().join("other"));
        fs::create_dir(&site).unwrap();
        fs::create_dir(&other).unwrap();
        fs::write(other.join("b.html"), "precious").unwrap();
        fs::write(site.join(MARK), "a/b.html\n").unwrap();
        std::os::unix::fs::symlink(&other, site.join("a")).unwrap();
        remove_ours(&site).unwrap();
        assert_eq!(fs::read_to_string(other.join("b.html")).unwrap(), "precious");
        assert!(site.join("a").is_symlink());
    }

    #[test]
    fn paths_that_leave_the_site_are_known() {
        for good in ["index.html", "lessons/pressed-curd.html", "a/b/c.svg", "..a/b..", "crème.html"] {
            assert!(is_inner_path(good), "{good}");
        }
        for bad in ["", "/etc", "../x", "a/../x", "a//b", "a/", "./a", "a\\b", "C:x", "a\nb", MARK] {
            assert!(!is_inner_path(bad), "{bad}");
        }
    }
}
