//! Tells when something in a course folder has changed.

use super::disk::{is_hidden, with_slashes};
use notify::{Config, Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Why a folder cannot be watched.
#[derive(Debug, thiserror::Error)]
pub enum WatchError {
    /// It cannot be found.
    #[error("`{}` cannot be watched", .path.display())]
    Io {
        /// The folder.
        path: PathBuf,
        /// What the machine said.
        source: io::Error,
    },
    /// The machine does not tell what changes in it.
    #[error("`{}` cannot be watched", .path.display())]
    Notify {
        /// The folder.
        path: PathBuf,
        /// What the machine said.
        source: notify::Error,
    },
}

/// Watches for as long as it is kept.
#[derive(Debug)]
pub struct Watch {
    _watcher: RecommendedWatcher,
}

/// Watches a folder with all below it, and calls `tell` for each change in it: an editor saves in several steps. With it
/// come the paths below the folder, with `/`, where something may have changed, or nothing where it may be anywhere. Whether
/// that matters is for a new look to find out.
///
/// Folders are watched and not files, for an editor may put a new file in the place of the old one. Links out of the
/// folder are not followed: what they lead to is no part of a course.
pub fn watch(root: &Path, mut tell: impl FnMut(Option<Vec<String>>) + Send + 'static) -> Result<Watch, WatchError> {
    let home = fs::canonicalize(root).map_err(|source| WatchError::Io { path: root.to_owned(), source })?;
    let below = home.clone();
    let heard = move |event: notify::Result<Event>| {
        // What could not be heard may have been anything.
        let Ok(event) = event else { return tell(None) };
        if event.need_rescan() {
            tell(None);
        } else if !matches!(event.kind, EventKind::Access(_)) {
            // Our own reading is no change.
            let seen: Vec<String> = event.paths.iter().filter_map(|path| seen(path, &below)).collect();
            if !seen.is_empty() {
                tell(Some(seen));
            }
        }
    };
    let fail = |source| WatchError::Notify { path: root.to_owned(), source };
    let config = Config::default().with_follow_symlinks(false);
    let mut watcher = RecommendedWatcher::new(heard, config).map_err(fail)?;
    watcher.watch(&home, RecursiveMode::Recursive).map_err(fail)?;
    Ok(Watch { _watcher: watcher })
}

/// A path below the folder. Hidden files are no part of a course.
fn seen(path: &Path, home: &Path) -> Option<String> {
    let below = path.strip_prefix(home).unwrap_or(path);
    (!below.ancestors().any(is_hidden)).then(|| with_slashes(below))
}
