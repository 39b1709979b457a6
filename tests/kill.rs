//! The last site is whole whatever happens to the next one: killed at any moment, a full disk, a target that may not be
//! written, two publishes at once. The next publish works, and nothing is left lying about.

#![allow(clippy::print_stdout, reason = "a run says what it killed, and what it skipped")]

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

type Tree = BTreeMap<PathBuf, Vec<u8>>;

/// How often a publish is killed.
const KILLS: usize = 200;

/// All files below a folder.
fn tree(folder: &Path) -> Tree {
    let walk = walkdir::WalkDir::new(folder).into_iter().map(Result::unwrap);
    let files = walk.filter(|entry| entry.file_type().is_file());
    files
        .map(|entry| (entry.path().strip_prefix(folder).unwrap().to_owned(), fs::read(entry.path()).unwrap()))
        .collect()
}

fn names_in(folder: &Path) -> Vec<String> {
    let names = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned());
    let mut names: Vec<String> = names.collect();
    names.sort();
    names
}

/// A course in two states, and where it is published.
struct Room {
    folder: tempfile::TempDir,
    out: PathBuf,
}

impl Room {
    fn new() -> Room {
        let folder = tempfile::tempdir().unwrap();
        for state in ["first", "second"] {
            let course = folder.path().join(state);
            fs::create_dir_all(course.join("01-tea")).unwrap();
            // Without papers a publish is short, and most of it is writing.
            let settings = format!("title = \"The {state} state\"\nhome = \"uk\"\ncards = []\nhandouts = []\n");
            fs::write(course.join("course.toml"), settings).unwrap();
            let lesson = "# Tea\n\n```recipe\nmakes = \"1 L weak tea\"\n\n[ingredients]\nwater = \"1 L water\"\n```\n\n\
                          ## Pour\n\n```step\nadd = [\"water\"]\n```\n\nPour 1 litre of water.\n";
            fs::write(course.join("01-tea/lesson.md"), lesson).unwrap();
        }
        let out = folder.path().join("out/site");
        fs::create_dir(folder.path().join("out")).unwrap();
        Room { folder, out }
    }

    fn publish(&self, state: &str, out: &Path) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_pottle"));
        command.arg("publish").arg(self.folder.path().join(state)).arg("--to").arg(out);
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped());
        command
    }

    fn run(&self, state: &str, out: &Path) -> Output {
        self.publish(state, out).output().unwrap()
    }

    #[track_caller]
    fn published(&self, state: &str, out: &Path) -> Tree {
        let output = self.run(state, out);
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        tree(out)
    }
}

/// The same moments in every run (an xorshift generator; Marsaglia, Xorshift RNGs, 2003, from memory).
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % most.max(1)
    }
}

/// Waits until a build has begun beside the target, or the run has ended.
fn until_it_builds(child: &mut Child, beside: &Path) {
    let started = Instant::now();
    while child.try_wait().unwrap().is_none() && started.elapsed() < Duration::from_secs(30) {
        if names_in(beside).iter().any(|name| name.contains(".pottle-new-")) {
            return;
        }
        std::thread::yield_now();
    }
}

#[test]
fn killed_at_two_hundred_moments_the_site_is_always_whole() {
    // Two halves side by side, each with a target of its own.
    let halves = [0x0070_6f74, 0x746c_6531].map(|seed| std::thread::spawn(move || killed_at_moments(KILLS / 2, seed)));
    halves.into_iter().for_each(|half| half.join().expect("the site is whole"));
}

fn killed_at_moments(kills: usize, seed: u64) {
    let room = Room::new();
    let beside = room.folder.path().join("out");
    let second = room.published("second", &room.out);
    let started = Instant::now();
    let first = room.published("first", &room.out);
    let usual = started.elapsed();
    let mut dice = Dice(seed);
    let (mut killed, mut building, mut swapped) = (0, 0, 0);
    for turn in 0..kills {
        let mut child = room.publish("second", &room.out).spawn().unwrap();
        // Half of the time anywhere; else from the moment on at which files are written, which is the shorter part.
        if turn % 2 == 0 {
            std::thread::sleep(Duration::from_micros(dice.below(usual.as_micros() as u64 * 11 / 10)));
        } else {
            until_it_builds(&mut child, &beside);
            std::thread::sleep(Duration::from_micros(dice.below(6000)));
        }
        if child.try_wait().unwrap().is_none() {
            child.kill().unwrap();
            killed += 1;
        }
        child.wait().unwrap();
        let found = tree(&room.out);
        assert!(found == first || found == second, "turn {turn}: the site is neither the last nor the next one");
        building += usize::from(names_in(&beside).len() > 1);
        if found == second {
            swapped += 1;
        }
        // Litter of one run may be that of the next too; every few turns it must all go, and the next publish work.
        if found == second || turn % 10 == 9 {
            assert!(room.published("first", &room.out) == first, "turn {turn}: the next publish");
            assert_eq!(names_in(&beside), ["site"], "turn {turn}: litter");
        }
    }
    assert!(room.published("first", &room.out) == first);
    assert_eq!(names_in(&beside), ["site"]);
    println!("{killed} killed of {kills}, {building} of them while building, {swapped} after the swap");
    assert!(killed > kills / 2, "only {killed} runs were killed in time");
    assert!(building > 10, "only {building} runs were killed while they built");
}

#[test]
fn a_target_that_may_not_be_written_stays_as_it_is() {
    let room = Room::new();
    let first = room.published("first", &room.out);
    let beside = room.folder.path().join("out");
    let mount = Mount::of(&beside, &["-o", "bind"], &beside).and_then(|mount| mount.read_only());
    // Root may write where nobody else may, so it needs a mount that is read-only.
    let guard = if is_root() {
        let Some(mount) = mount else {
            println!("skipped: root without the right to mount");
            return;
        };
        Some(mount)
    } else {
        fs::set_permissions(&beside, fs::Permissions::from_mode(0o555)).unwrap();
        None
    };
    let output = room.run("second", &room.out);
    assert_eq!(output.status.code(), Some(2));
    let text = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(text.contains("out/") && text.contains("cannot be written"), "{text}");
    assert!(tree(&room.out) == first);
    drop(guard);
    fs::set_permissions(&beside, fs::Permissions::from_mode(0o755)).unwrap();
    assert_eq!(names_in(&beside), ["site"]);
    assert!(room.published("second", &room.out) != first);
}

#[test]
fn a_full_disk_leaves_the_last_site_and_no_litter() {
    let room = Room::new();
    let disk = room.folder.path().join("disk");
    fs::create_dir(&disk).unwrap();
    let Some(_mount) = Mount::of(Path::new("tmpfs"), &["-t", "tmpfs", "-o", "size=2m"], &disk) else {
        println!("skipped: no right to mount a small disk");
        return;
    };
    let out = disk.join("site");
    let first = room.published("first", &out);
    // From room for almost nothing to room for almost all that is written anew: what stays as it was takes none.
    let size: usize = first.values().map(Vec::len).sum();
    let mut refused = 0;
    for part in [0, 1, 2, 5, 10, 20, 40] {
        let spare = size * part / 100;
        fill(&disk.join("ballast"), spare);
        let output = room.run("second", &out);
        let text = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{part} %: {text}");
        assert!(text.contains("cannot be written"), "{part} %: {text}");
        assert!(tree(&out) == first, "{part} %");
        refused += 1;
        fs::remove_file(disk.join("ballast")).unwrap();
        assert_eq!(names_in(&disk), ["site"], "{part} %");
    }
    assert_eq!(refused, 7);
    assert!(room.published("second", &out) != first);
    assert_eq!(names_in(&disk), ["site"]);
}

/// Fills a disk up to so many bytes.
fn fill(path: &Path, spare: usize) {
    use std::io::Write;
    let mut file = File::create(path).unwrap();
    let block = [1u8; 4096];
    let mut written = 0u64;
    while file.write_all(&block).is_ok() {
        written += block.len() as u64;
    }
    let kept = fs::metadata(path).unwrap().len().min(written).saturating_sub(spare as u64);
    file.set_len(kept).unwrap();
}

#[test]
fn two_publishes_at_once_leave_one_whole_site() {
    let room = Room::new();
    let first = room.published("first", &room.out);
    let second = room.published("second", &room.out);
    let beside = room.folder.path().join("out");
    for _ in 0..15 {
        let mut both: Vec<Child> =
            ["first", "second"].iter().map(|state| room.publish(state, &room.out).spawn().unwrap()).collect();
        let done = both.iter_mut().map(|child| usize::from(child.wait().unwrap().success())).sum::<usize>();
        assert!(done >= 1, "one of two gets through");
        let found = tree(&room.out);
        assert!(found == first || found == second);
    }
    assert!(room.published("first", &room.out) == first);
    assert_eq!(names_in(&beside), ["site"]);
}

#[test]
fn six_publishes_into_nothing_leave_one_whole_site() {
    let room = Room::new();
    let beside = room.folder.path().join("out");
    let states = ["first", "second", "first", "second", "first", "second"];
    let children: Vec<Child> = states.iter().map(|state| room.publish(state, &room.out).spawn().unwrap()).collect();
    for mut child in children {
        child.wait().unwrap();
    }
    let found = tree(&room.out);
    let first = room.published("first", &room.out);
    let second = room.published("second", &room.out);
    assert!(found == first || found == second);
    assert_eq!(names_in(&beside), ["site"]);
}

fn is_root() -> bool {
    Command::new("id").arg("-u").output().is_ok_and(|output| output.stdout == b"0\n")
}

/// Something mounted, for as long as it lives.
struct Mount(PathBuf);

impl Mount {
    fn of(what: &Path, how: &[&str], at: &Path) -> Option<Mount> {
        let mut command = Command::new("mount");
        let done = command.args(how).arg(what).arg(at).stderr(Stdio::null()).status();
        done.is_ok_and(|status| status.success()).then(|| Mount(at.to_owned()))
    }

    fn read_only(self) -> Option<Mount> {
        let mut command = Command::new("mount");
        let done = command.args(["-o", "remount,ro,bind"]).arg(&self.0).stderr(Stdio::null()).status();
        done.is_ok_and(|status| status.success()).then_some(self)
    }
}

impl Drop for Mount {
    fn drop(&mut self) {
        // Lazily: whoever still looks at it must not keep the test's folder alive.
        let _ = Command::new("umount").arg("-l").arg(&self.0).stderr(Stdio::null()).status();
    }
}
