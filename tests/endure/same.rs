//! The same course gives the same bytes, whatever the time, the folder, the language of the machine, the order of files on
//! disk and the number of processors.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

type Tree = BTreeMap<PathBuf, Vec<u8>>;

fn tree(folder: &Path) -> Tree {
    let walk = walkdir::WalkDir::new(folder).into_iter().map(Result::unwrap);
    let files = walk.filter(|entry| entry.file_type().is_file());
    files
        .map(|entry| (entry.path().strip_prefix(folder).unwrap().to_owned(), fs::read(entry.path()).unwrap()))
        .collect()
}

/// The demo course: it has every kind of file.
fn files() -> Vec<(PathBuf, Vec<u8>)> {
    tree(&Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall")).into_iter().collect()
}

/// Publishes a copy whose files were made in some order.
fn published(files: &[(PathBuf, Vec<u8>)], room: &Path, under: &[(&str, &str)]) -> Tree {
    for (path, bytes) in files {
        let path = room.join("course").join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    let mut command = Command::new(env!("CARGO_BIN_EXE_pottle"));
    command.args(["publish", "course", "--to", "site"]).current_dir(room).envs(under.iter().copied());
    let output = command.output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    tree(&room.join("site"))
}

#[test]
fn the_same_course_gives_the_same_bytes_everywhere() {
    let files = files();
    let room = tempfile::tempdir().unwrap();
    let first = published(&files, room.path(), &[("LC_ALL", "C"), ("TZ", "UTC")]);
    assert!(first.len() > 20);
    let mut backwards = files.clone();
    backwards.reverse();
    let deep = tempfile::Builder::new().prefix("Übung & mehr ").tempdir().unwrap();
    let far = [
        ("LC_ALL", "tr_TR.UTF-8"),
        ("LANG", "ar_EG"),
        ("TZ", "Pacific/Kiritimati"),
        ("RAYON_NUM_THREADS", "1"),
        ("HOME", "/nowhere"),
        ("COLUMNS", "20"),
        ("SOURCE_DATE_EPOCH", "1"),
    ];
    let other = published(&backwards, deep.path(), &far);
    assert_eq!(first.keys().collect::<Vec<_>>(), other.keys().collect::<Vec<_>>());
    let different: Vec<_> =
        first.iter().filter(|(path, bytes)| other[*path] != **bytes).map(|(path, _)| path).collect();
    assert!(different.is_empty(), "{different:?}");
}
