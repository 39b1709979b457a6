//! What lies on a disk where a course should: links, pipes, devices, files without end. The command is asked, with no more
//! memory than a small machine has.

use super::course::{COURSE, Recipe, lesson, refused, words, write};
use std::fs::{self, File};
use std::os::unix::fs::symlink;
use std::os::unix::net::UnixListener;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::Instant;
use tempfile::TempDir;

/// In kilobytes: what the command may have of addresses, its own code and libraries included.
const MEMORY: u32 = 1_500_000;

struct Room(TempDir);

impl Room {
    fn new() -> Room {
        let room = Room(tempfile::tempdir().expect("a folder"));
        write(&words("Stir."), &room.course());
        room
    }

    fn course(&self) -> std::path::PathBuf {
        self.0.path().join("course")
    }

    fn path(&self, below: &str) -> std::path::PathBuf {
        self.course().join(below)
    }

    /// Runs a command in bounds; it must end by itself and not by a panic.
    #[track_caller]
    fn pottle(&self, args: &str) -> (i32, String) {
        let started = Instant::now();
        let script = format!("ulimit -v {MEMORY}; exec \"$0\" {args}");
        let mut child = Command::new("sh")
            .args(["-c", &script, env!("CARGO_BIN_EXE_pottle")])
            .current_dir(self.0.path())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("there is a shell");
        let pid = child.id();
        let watch = std::thread::spawn(move || {
            for _ in 0..600 {
                std::thread::sleep(super::course::PATIENCE / 600);
                if !Path::new(&format!("/proc/{pid}/exe")).exists() {
                    return;
                }
            }
            let _ = Command::new("kill").args(["-9", &pid.to_string()]).status();
        });
        let _ = child.stdin.take();
        let output: Output = child.wait_with_output().expect("it ends");
        drop(watch);
        let text = String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr);
        let code = output.status.code();
        assert!(
            matches!(code, Some(0..=2)),
            "{args}: {code:?} after {:?}: {}",
            started.elapsed(),
            &text[..text.len().min(2000)]
        );
        (code.unwrap_or(-1), text)
    }

    #[track_caller]
    fn says(&self, code: i32, part: &str) {
        let (found, text) = self.pottle("proof course --report short");
        assert!(found == code && text.contains(part), "{found}: {}", &text[..text.len().min(2000)]);
    }
}

#[test]
fn a_lesson_of_a_hundred_megabytes() {
    let room = Room::new();
    File::create(room.path("01-a/lesson.md"))
        .and_then(|file| file.set_len(100 * 1024 * 1024))
        .expect("room on the disk");
    room.says(2, "01-a/lesson.md` is larger than 16 MiB");
}

#[test]
fn a_picture_of_a_hundred_gigabytes() {
    let room = Room::new();
    File::create(room.path("01-a/pot.png")).and_then(|file| file.set_len(100 << 30)).expect("a file with holes");
    room.says(2, "01-a/pot.png` is larger than 16 MiB");
}

#[test]
fn pictures_that_are_too_much_together() {
    let room = Room::new();
    for at in 0..40 {
        let file = File::create(room.path(&format!("01-a/{at}.png")));
        file.and_then(|file| file.set_len(15 * 1024 * 1024)).expect("a file with holes");
    }
    room.says(2, "larger than 512 MiB");
}

#[test]
fn a_lesson_that_is_a_pipe() {
    let room = Room::new();
    fs::remove_file(room.path("01-a/lesson.md")).expect("it is ours");
    assert!(Command::new("mkfifo").arg(room.path("01-a/lesson.md")).status().expect("coreutils").success());
    room.says(1, "01-a/lesson.md:1:1: note[left-out]");
    room.says(1, "no-lessons");
}

#[test]
fn a_course_file_that_is_a_pipe() {
    let room = Room::new();
    fs::remove_file(room.path("course.toml")).expect("it is ours");
    assert!(Command::new("mkfifo").arg(room.path("course.toml")).status().expect("coreutils").success());
    room.says(2, "is not a course");
}

#[test]
fn a_picture_that_is_a_socket() {
    let room = Room::new();
    let _socket = UnixListener::bind(room.path("01-a/pot.png")).expect("a socket");
    room.says(0, "01-a/pot.png:1:1: note[left-out]");
}

#[test]
fn a_lesson_that_is_a_device_without_end() {
    let room = Room::new();
    fs::remove_file(room.path("01-a/lesson.md")).expect("it is ours");
    symlink("/dev/zero", room.path("01-a/lesson.md")).expect("a link");
    room.says(1, "01-a/lesson.md:1:1: note[left-out]");
}

#[test]
fn a_course_file_that_is_a_device_without_end() {
    let room = Room::new();
    fs::remove_file(room.path("course.toml")).expect("it is ours");
    symlink("/dev/zero", room.path("course.toml")).expect("a link");
    room.says(2, "is not a course");
}

#[test]
fn a_link_out_of_the_course() {
    let room = Room::new();
    let outside = tempfile::tempdir().expect("a folder");
    fs::write(outside.path().join("lesson.md"), "# Secret\n").expect("it is ours");
    symlink(outside.path(), room.path("02-b")).expect("a link");
    symlink(outside.path().join("lesson.md"), room.path("03-c.md")).expect("a link");
    room.says(0, "02-b:1:1: note[left-out]");
    room.says(0, "03-c.md:1:1: note[left-out]");
    let (_, text) = room.pottle("publish course --to site");
    assert!(!text.contains("2 lessons"), "{text}");
}

#[test]
fn links_in_a_circle() {
    let room = Room::new();
    symlink("..", room.path("01-a/up")).expect("a link");
    symlink("round", room.path("round")).expect("a link");
    symlink("pong", room.path("ping")).expect("a link");
    symlink("ping", room.path("pong")).expect("a link");
    for name in ["01-a/up", "round", "ping", "pong"] {
        room.says(0, &format!("{name}:1:1: note[left-out]"));
    }
}

#[test]
fn a_link_to_nowhere() {
    let room = Room::new();
    symlink("/no/such/thing", room.path("01-a/pot.png")).expect("a link");
    room.says(0, "01-a/pot.png:1:1: note[left-out]");
}

#[test]
fn a_course_file_that_is_a_folder() {
    let room = Room::new();
    fs::remove_file(room.path("course.toml")).expect("it is ours");
    fs::create_dir(room.path("course.toml")).expect("it is ours");
    room.says(2, "is not a course");
}

#[test]
fn a_lesson_that_is_a_folder() {
    let room = Room::new();
    fs::remove_file(room.path("01-a/lesson.md")).expect("it is ours");
    fs::create_dir(room.path("01-a/lesson.md")).expect("it is ours");
    room.says(1, "no-lessons");
}

#[test]
fn folders_a_thousand_deep() {
    let room = Room::new();
    let mut deep = room.course();
    for _ in 0..900 {
        deep.push("d");
    }
    // The path is longer than a system call takes: made step by step.
    let script = "cd \"$0\" && i=0; while [ $i -lt 3000 ]; do mkdir d && cd d || exit 0; i=$((i+1)); done";
    Command::new("sh").args(["-c", script]).arg(room.course()).stderr(Stdio::null()).status().expect("a shell");
    let (code, text) = room.pottle("proof course --report short");
    assert!(code == 0 || text.contains("cannot be read"), "{text}");
    Command::new("rm").arg("-rf").arg(room.course()).status().expect("coreutils");
}

#[test]
fn forty_thousand_findings_take_no_more_memory_than_there_is() {
    let room = Room::new();
    let words = "[a](b) [c](d)\n\n".repeat(20_000);
    fs::write(room.path("01-a/lesson.md"), format!("# A\n\n{words}")).expect("it is ours");
    for form in ["short", "json", "sarif", "human"] {
        let (code, text) = room.pottle(&format!("proof course --report {form}"));
        assert!(code == 1 && text.contains("broken-reference"), "{form}");
    }
}

#[test]
fn a_theme_that_never_ends_is_stopped_by_nobody_but_says_so_in_the_handbook() {
    // A template is a program that its author runs; see the README.
    let readme = include_str!("../../README.md");
    assert!(readme.contains("A theme is a program"), "the README says whom a theme's templates are for");
}

#[test]
fn other_commands_stop_at_the_same_findings() {
    let room = Room::new();
    let broken = Recipe { ingredients: "water = \"0 g water\"", ..Recipe::default() };
    write(&lesson(broken.text()), &room.course());
    for args in [
        "publish course --to site",
        "cards a course --to cards.pdf",
        "provision course --students 12",
        "mend course --dry-run",
    ] {
        let (code, text) = room.pottle(args);
        assert!(code == 1 && text.contains("bad-amount"), "{args}: {code} {text}");
    }
    assert!(!room.0.path().join("site").exists());
}

#[test]
fn arguments_beyond_measure() {
    let room = Room::new();
    for args in [
        "provision course --students 99999999999999999999",
        "provision course --students 0",
        "provision course --students -1",
        "cards a course --to cards.pdf --scale 1/0",
        "cards a course --to cards.pdf --scale 1e308",
        "cards a course --to cards.pdf --scale 0",
        "publish course --to /dev/null",
        "publish course --to /proc/site",
        "proof /dev/null",
        "proof ''",
    ] {
        let (code, text) = room.pottle(args);
        assert!(code == 2 && text.len() > 20, "{args}: {code} {text}");
    }
}

refused! {
    a_course_of_nothing_but_its_file: vec![super::course::file("course.toml", COURSE)] => "no-lessons", "course.toml", "";
}
