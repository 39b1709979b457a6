//! A site on disk is the last one or the next one, whole, whatever happens in between.

use pottle::{Project, Site, WriteError, check, render, write_site};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

const COURSE: &str = include_str!("../shared/begin/course.toml");
const LESSON: &str = include_str!("../shared/begin/01-first-lesson/lesson.md");

fn site(title: &str) -> Site {
    let project = Project::from_files([
        ("course.toml", COURSE.replace("My cooking course", title)),
        ("01-first-lesson/lesson.md", LESSON.to_owned()),
    ]);
    let course = check(&project).course.expect("the course we begin with is clean");
    render(&project, &course).expect("the theme is sound")
}

/// All files below a folder with their bytes; `BTreeMap` so that two of them compare.
fn tree(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    walkdir::WalkDir::new(folder)
        .into_iter()
        .map(Result::unwrap)
        .filter(|entry| entry.file_type().is_file())
        .map(|entry| (entry.path().strip_prefix(folder).unwrap().to_owned(), fs::read(entry.path()).unwrap()))
        .collect()
}

fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn what_is_written_is_the_site_and_the_list_of_its_files() {
    let room = tempfile::tempdir().unwrap();
    let out = room.path().join("site");
    let site = site("First");
    let written = write_site(&site, &out).unwrap();
    assert_eq!(written.files, site.files().len());
    assert_eq!(written.bytes, site.files().values().map(|bytes| bytes.len() as u64).sum::<u64>());
    let mut on_disk = tree(&out);
    let list = on_disk.remove(Path::new(".pottle-site")).unwrap();
    let listed: Vec<String> = String::from_utf8(list).unwrap().lines().map(str::to_owned).collect();
    assert_eq!(listed, site.files().keys().cloned().collect::<Vec<_>>());
    let expected: BTreeMap<PathBuf, Vec<u8>> =
        site.files().iter().map(|(path, bytes)| (PathBuf::from(path), bytes.clone())).collect();
    assert_eq!(on_disk, expected);
}

#[test]
fn a_second_site_replaces_the_first_and_leaves_nothing_beside_it() {
    let room = tempfile::tempdir().unwrap();
    let out = room.path().join("site");
    write_site(&site("First"), &out).unwrap();
    let first = tree(&out);
    write_site(&site("Second"), &out).unwrap();
    assert_ne!(tree(&out), first);
    write_site(&site("First"), &out).unwrap();
    assert_eq!(tree(&out), first);
    assert_eq!(names_in(room.path()), ["site"]);
}

#[test]
fn a_write_that_cannot_begin_leaves_the_last_site() {
    let room = tempfile::tempdir().unwrap();
    let out = room.path().join("site");
    write_site(&site("First"), &out).unwrap();
    let first = tree(&out);
    let in_the_way = room.path().join(format!(".site.pottle-new-{}", std::process::id()));
    fs::write(&in_the_way, "a file where the new site is to grow").unwrap();
    assert!(matches!(write_site(&site("Second"), &out), Err(WriteError::Io { .. })));
    assert_eq!(tree(&out), first);
    assert!(in_the_way.is_file());
}

#[test]
fn foreign_files_are_named_and_never_removed() {
    let room = tempfile::tempdir().unwrap();
    let out = room.path().join("site");
    write_site(&site("First"), &out).unwrap();
    fs::write(out.join("notes.txt"), "mine").unwrap();
    let before = tree(room.path());
    match write_site(&site("Second"), &out) {
        Err(WriteError::NotOurs { foreign, .. }) => assert_eq!(foreign, ["notes.txt"]),
        other => panic!("{other:?}"),
    }
    assert_eq!(tree(room.path()), before);
}

#[test]
fn litter_of_a_killed_run_is_gone_after_the_next_publish() {
    let room = tempfile::tempdir().unwrap();
    let out = room.path().join("site");
    let litter = room.path().join(".site.pottle-new-4000000000");
    fs::create_dir_all(&litter).unwrap();
    fs::write(litter.join(".pottle-site"), "index.html\nlater.html\n").unwrap();
    fs::write(litter.join("index.html"), "half").unwrap();
    write_site(&site("First"), &out).unwrap();
    assert_eq!(names_in(room.path()), ["site"]);
}

/// Kills a publish at many moments: whichever it was, one whole site stands there, and the next run tidies up.
#[test]
fn a_killed_publish_leaves_one_whole_site() {
    let room = tempfile::tempdir().unwrap();
    let out = room.path().join("site");
    let course = room.path().join("course");
    fs::create_dir_all(course.join("01-first-lesson")).unwrap();
    fs::write(course.join("01-first-lesson/lesson.md"), LESSON).unwrap();
    let publish = |title: &str| {
        fs::write(course.join("course.toml"), COURSE.replace("My cooking course", title)).unwrap();
        let mut command = Command::new(env!("CARGO_BIN_EXE_pottle"));
        command.arg("publish").arg(&course).arg("--to").arg(&out).stdout(Stdio::null()).stderr(Stdio::null());
        command
    };
    assert!(publish("Second").status().unwrap().success());
    let second = tree(&out);
    let started = std::time::Instant::now();
    assert!(publish("First").status().unwrap().success());
    let usual = started.elapsed();
    let first = tree(&out);
    for part in 1..=8 {
        let mut child = publish("Second").spawn().unwrap();
        std::thread::sleep(usual * part / 8 + Duration::from_millis(1));
        // It may be done already; then there is nothing to kill.
        let _ = child.kill();
        child.wait().unwrap();
        let found = tree(&out);
        assert!(found == first || found == second, "after {part}/8 of a run");
        assert!(publish("First").status().unwrap().success());
        assert_eq!(tree(&out), first);
        assert_eq!(names_in(room.path()), ["course", "site"]);
    }
}
