//! Puts a finished folder in the place of the last one.

use super::WriteError;
use super::build::is_abandoned;
use super::mark::{State, inspect, remove_ours};
use super::place::{Beside, Target};
use std::fs;
use std::io;
use std::path::Path;

/// Moves `new` to the target in one go. Returns where the last site went, if there was one.
///
/// `exchange` swaps two folders in one step, or says that it cannot.
pub(super) fn swap_in<'a>(
    new: &'a Path,
    target: &'a Target,
    old: &'a Path,
    had_site: bool,
    exchange: impl FnOnce(&Path, &Path) -> io::Result<()>,
) -> Result<Option<&'a Path>, WriteError> {
    let io = WriteError::io(&target.path);
    if !had_site {
        // Also replaces an empty folder, and refuses one that is no longer empty.
        return fs::rename(new, &target.path).map(|()| None).map_err(io);
    }
    if exchange(new, &target.path).is_ok() {
        return Ok(Some(new));
    }
    fs::rename(&target.path, old).map_err(WriteError::io(&target.path))?;
    if let Err(error) = fs::rename(new, &target.path) {
        fs::rename(old, &target.path).map_err(WriteError::io(old))?;
        return Err(io(error));
    }
    Ok(Some(old))
}

/// Exchanges two folders without a moment in which either is missing, where the system can.
#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
pub(super) fn exchange(one: &Path, other: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE)?)
}

/// Exchanges two folders without a moment in which either is missing, where the system can.
#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
pub(super) fn exchange(_one: &Path, _other: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// Puts back a site that a run had moved aside when it was killed.
pub(super) fn put_back(target: &Target) -> Result<(), WriteError> {
    if inspect(&target.path)? != State::Missing {
        return Ok(());
    }
    for old in target.litter(Beside::Old)? {
        if inspect(&old)? == State::Ours && is_abandoned(&old) {
            return fs::rename(&old, &target.path).map_err(WriteError::io(&target.path));
        }
    }
    Ok(())
}

/// Removes what killed runs left beside the target. What will not go is in nobody's way.
pub(super) fn clean(target: &Target) -> Result<(), WriteError> {
    for what in [Beside::New, Beside::Old] {
        for folder in target.litter(what)? {
            if is_abandoned(&folder) {
                let _ = remove_ours(&folder);
            }
        }
    }
    Ok(())
}
