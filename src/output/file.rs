//! Files on their own: a PDF, a table or the pages of the manual, as they were asked for.

use super::WriteError;
use crate::render::CLASS_TABLE_OPENS;
use std::ffi::OsString;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Writes a PDF beside its target and swaps it in whole. Only another PDF is replaced: any other file was put there for
/// another reason.
pub fn write_pdf(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    replace(path, bytes, b"%PDF-", WriteError::NotAPdf)
}

/// The same for a class plan as comma-separated values: only another one is replaced.
pub fn write_table(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    replace(path, bytes, CLASS_TABLE_OPENS.as_bytes(), WriteError::NotATable)
}

/// How each page of the manual opens: a line that `man` does not show.
const MANUAL_OPENS: &[u8] = b".\\\" A page of pottle's manual; `pottle manual` writes it again.\n";

/// Writes the pages of the manual to a folder, each under its name. Only pages of ours are replaced, and the folder may
/// hold those of others.
pub fn write_manual(folder: &Path, pages: &[(String, Vec<u8>)]) -> Result<(), WriteError> {
    if folder.is_file() {
        return Err(WriteError::NotAFolder(folder.to_owned()));
    }
    fs::create_dir_all(folder).map_err(WriteError::io(folder))?;
    pages.iter().try_for_each(|(name, page)| {
        replace(&folder.join(name), &[MANUAL_OPENS, page].concat(), MANUAL_OPENS, WriteError::NotAManualPage)
    })
}

/// Writes a file where nothing is, or one that opens with the same bytes.
fn replace(path: &Path, bytes: &[u8], opens: &[u8], strange: fn(PathBuf) -> WriteError) -> Result<(), WriteError> {
    match fs::read(path) {
        Ok(there) if !there.starts_with(opens) => return Err(strange(path.to_owned())),
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(WriteError::io(path)(error)),
        _ => {}
    }
    // A link stays one; its target is replaced.
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let mut name = OsString::from(".");
    name.push(target.file_name().unwrap_or_default());
    name.push(format!(".pottle-{}", std::process::id()));
    let beside = target.with_file_name(name);
    let written = fs::write(&beside, bytes).and_then(|()| fs::rename(&beside, &target));
    written.map_err(|error| {
        let _ = fs::remove_file(&beside);
        WriteError::io(path)(error)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pdf_is_replaced_and_nothing_else_is() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cards.pdf");
        write_pdf(&path, b"%PDF-1.7 one").unwrap();
        write_pdf(&path, b"%PDF-1.7 two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"%PDF-1.7 two");
        let other = folder.path().join("lesson.md");
        fs::write(&other, "# Curd").unwrap();
        assert!(matches!(write_pdf(&other, b"%PDF-1.7"), Err(WriteError::NotAPdf(_))));
        assert!(matches!(write_pdf(&folder.path().join("no/such.pdf"), b"%PDF-1.7"), Err(WriteError::Io { .. })));
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    }
}
