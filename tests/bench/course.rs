//! How fast whole courses are published, beside a program that does only what cannot be left out: it reads and parses
//! the same Markdown and writes the same files. Ratios in one run on one machine.
//!
//! `cargo bench --bench course`, or with fewer lessons `cargo bench --bench course -- 200`.

#![allow(clippy::print_stdout, reason = "the ratios are what one runs this for")]

#[path = "../synthetic/mod.rs"]
mod synthetic;

use pulldown_cmark::{Options, Parser};
use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

fn main() {
    let asked = std::env::args().skip(1).find_map(|one| one.parse().ok());
    let lessons = asked.unwrap_or(1000);
    let room = tempfile::tempdir().expect("there is a place for temporary files");
    let (small, out) = (room.path().join("course"), room.path().join("site"));
    synthetic::write(&synthetic::course(lessons, false), &small);
    let project = pottle::read_project(&small).expect("it was written");
    let (read, _) = timed(|| pottle::read_project(&small).expect("it was written"));
    let (checking, checked) = timed(|| pottle::check(&project));
    let problems: Vec<&str> = checked.findings.iter().map(|one| one.message.as_str()).take(5).collect();
    let course = checked.course.unwrap_or_else(|| panic!("the course does not publish: {problems:?}"));
    let (rendering, site) = timed(|| pottle::render(&project, &course).expect("it renders"));
    let (writing, _) = timed(|| pottle::write_site(&site, &out).expect("it can be written"));
    let publish = read + checking + rendering + writing;
    println!("{lessons} lessons, {} files, {} MB", site.files().len(), size(&site) / 1_000_000);
    println!("read {read:?}, check {checking:?}, render {rendering:?}, write {writing:?}");
    let bare_out = room.path().join("bare");
    let (bare, ()) = timed(|| bare_program(&small, &site, &bare_out));
    ratio("publish to the bare program", publish, bare, 3.0);
    let (twice, ()) = timed(|| {
        parse_all(&small);
        parse_all(&small);
    });
    ratio("proof to reading and parsing twice", read + checking, twice, 1.5);
}

fn timed<T>(work: impl FnOnce() -> T) -> (Duration, T) {
    let start = Instant::now();
    let made = work();
    (start.elapsed(), made)
}

fn ratio(what: &str, ours: Duration, theirs: Duration, most: f64) {
    let ratio = ours.as_secs_f64() / theirs.as_secs_f64();
    println!("{what}: {ours:?} to {theirs:?}, {ratio:.2} (wanted: at most {most})");
}

fn size(site: &pottle::Site) -> usize {
    site.files().values().map(Vec::len).sum()
}

/// Reads and parses all texts of a folder.
fn parse_all(folder: &Path) {
    let options = Options::ENABLE_TABLES | Options::ENABLE_FOOTNOTES;
    for entry in walkdir::WalkDir::new(folder).into_iter().flatten() {
        if entry.path().extension().is_some_and(|end| end == "md") {
            let text = std::fs::read_to_string(entry.path()).expect("it was written");
            Parser::new_ext(&text, options).into_offset_iter().for_each(|event| drop(black_box(event)));
        }
    }
}

/// Reads, parses, and writes the same bytes to as many files.
fn bare_program(course: &Path, site: &pottle::Site, out: &Path) {
    parse_all(course);
    for (path, bytes) in site.files() {
        let path = out.join(path);
        std::fs::create_dir_all(path.parent().expect("it lies in the folder")).expect("the folder can be made");
        std::fs::write(path, bytes).expect("the file can be written");
    }
}
