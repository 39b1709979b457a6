//! How fast whole courses are published, beside a program that does only what cannot be left out: it reads and parses
//! the same Markdown and writes the same files. Ratios in one run on one machine.
//!
//! `cargo bench --bench course`, or with fewer lessons `cargo bench --bench course -- 200`; with `-- scale` how time and
//! memory of the command grow from a thousand lessons to ten thousand.

#![allow(clippy::print_stdout, reason = "the ratios are what one runs this for")]

#[path = "../synthetic/mod.rs"]
mod synthetic;

use pulldown_cmark::{Options, Parser};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use std::hint::black_box;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    if std::env::args().any(|one| one == "scale") {
        return scale();
    }
    let asked = std::env::args().skip(1).find_map(|one| one.parse().ok());
    let lessons = asked.unwrap_or(1000);
    let room = tempfile::tempdir().expect("there is a place for temporary files");
    let (small, out) = (room.path().join("course"), room.path().join("site"));
    synthetic::write(&synthetic::course(lessons, false), &small);
    let mut reader = pottle::Reader::new(&small);
    let project = reader.read().expect("it was written");
    let (read, _) = timed(|| pottle::read_project(&small).expect("it was written"));
    let (checking, checked) = timed(|| pottle::check(&project));
    let problems: Vec<&str> = checked.findings.iter().map(|one| one.message.as_str()).take(5).collect();
    let course = checked.course.unwrap_or_else(|| panic!("the course does not publish: {problems:?}"));
    let (rendering, site) = timed(|| pottle::render(&project, &course).expect("it renders"));
    let (writing, _) = timed(|| pottle::write_site(&site, &out).expect("it can be written"));
    let publish = read + checking + rendering + writing;
    println!("{lessons} lessons, {} files, {} MB", site.files().len(), size(&site) / 1_000_000);
    println!("read {read:.1?}, check {checking:.1?}, render {rendering:.1?}, write {writing:.1?}");
    let bare_out = room.path().join("bare");
    let (bare, ()) = timed(|| bare_program(&small, &site, &bare_out));
    ratio("publish to the bare program", publish, bare, 3.0);
    let (twice, ()) = timed(|| {
        parse_all(&small);
        parse_all(&small);
    });
    ratio("proof to reading and parsing twice", read + checking, twice, 1.5);
    drop((site, course));
    let page = format!("{}.html", project.lessons[lessons / 2].slug);
    let file = small.join(&project.lessons[lessons / 2].folder).join("lesson.md");
    let text = std::fs::read_to_string(&file).expect("it was written");
    // Files that were just written are opened each time, for another change may bear the same time.
    std::thread::sleep(Duration::from_secs(4));
    let mut rehearsal = pottle::Rehearsal::new(reader.read().expect("it was written"));
    let mut times: Vec<[Duration; 3]> = (0..9)
        .map(|turn| {
            std::fs::write(&file, format!("{text}\n\nThe end, {turn}.\n")).expect("it can be written");
            let (read, project) = timed(|| reader.read());
            let (checked, _) = timed(|| rehearsal.change(project.expect("it was written")));
            let (printed, page) = timed(|| rehearsal.file(&page).expect("the page is there").into_owned());
            assert!(String::from_utf8_lossy(&page).contains(&format!("The end, {turn}.")));
            [read, checked, printed]
        })
        .collect();
    times.sort_by_key(|parts| parts.iter().sum::<Duration>());
    let parts = times[times.len() / 2];
    let [read, checked, printed] = parts;
    let half: Duration = parts.iter().sum();
    println!("one lesson changed, to its page: {half:.1?} (read {read:.1?}, check {checked:.1?}, print {printed:.1?})");
    let share = half.as_secs_f64() / publish.as_secs_f64() * 100.0;
    println!("that is {share:.2} % of a publish (wanted: at most 3 %, and under 100 ms)");
}

/// The command itself on a thousand lessons and on ten thousand: how much longer, and how much memory a lesson takes.
fn scale() {
    let run = |lessons: usize| {
        let room = tempfile::tempdir().expect("there is a place for temporary files");
        let course = room.path().join("course");
        synthetic::write(&synthetic::course(lessons, false), &course);
        let start = Instant::now();
        let mut child = Command::new(env!("CARGO_BIN_EXE_pottle"))
            .args(["publish".as_ref(), course.as_os_str(), "--to".as_ref(), room.path().join("site").as_os_str()])
            .stdout(Stdio::null())
            .spawn()
            .expect("the command is built");
        let mut most = 0;
        while child.try_wait().expect("it runs").is_none() {
            most = most.max(peak(child.id()).unwrap_or(0));
            std::thread::sleep(Duration::from_millis(5));
        }
        let time = start.elapsed();
        println!("{lessons} lessons: {time:.1?}, at most {} MB", most / 1000);
        (time, most)
    };
    let (_, base) = run(8);
    let (small, at_small) = run(1000);
    let (large, at_large) = run(10_000);
    ratio("ten thousand lessons to one thousand", large, small, 11.0);
    for (lessons, most) in [(1000, at_small), (10_000, at_large)] {
        println!("{} kB a lesson over the base (wanted: at most 60)", most.saturating_sub(base) / lessons);
    }
}

/// The most memory that a process has had so far, in kB.
fn peak(id: u32) -> Option<u64> {
    let status = std::fs::read_to_string(format!("/proc/{id}/status")).ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.split_whitespace().next()?.parse().ok()
}

fn timed<T>(work: impl FnOnce() -> T) -> (Duration, T) {
    let start = Instant::now();
    let made = work();
    (start.elapsed(), made)
}

fn ratio(what: &str, ours: Duration, theirs: Duration, most: f64) {
    let ratio = ours.as_secs_f64() / theirs.as_secs_f64();
    println!("{what}: {ours:.1?} to {theirs:.1?}, {ratio:.2} (wanted: at most {most})");
}

fn size(site: &pottle::Site) -> usize {
    site.files().values().map(Vec::len).sum()
}

/// Reads and parses all texts of a folder, on as many threads as the command takes.
fn parse_all(folder: &Path) {
    let options = Options::ENABLE_TABLES | Options::ENABLE_FOOTNOTES;
    let entries: Vec<_> = walkdir::WalkDir::new(folder).into_iter().flatten().collect();
    entries.par_iter().filter(|entry| entry.path().extension().is_some_and(|end| end == "md")).for_each(|entry| {
        let text = std::fs::read_to_string(entry.path()).expect("it was written");
        Parser::new_ext(&text, options).into_offset_iter().for_each(|event| drop(black_box(event)));
    });
}

/// Reads, parses, and writes the same bytes to as many files, on as many threads.
fn bare_program(course: &Path, site: &pottle::Site, out: &Path) {
    parse_all(course);
    let files: Vec<_> = site.files().iter().collect();
    files.par_iter().for_each(|(path, bytes)| {
        let path = out.join(path);
        std::fs::create_dir_all(path.parent().expect("it lies in the folder")).expect("the folder can be made");
        std::fs::write(path, bytes).expect("the file can be written");
    });
}
