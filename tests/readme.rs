//! What README shows is what the program does.

use pottle::diag::Emitter;
use pottle::diag::emit::{Human, Look};
use pottle::{Project, check};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

const README: &str = include_str!("../README.md");

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The text between a line and the next `end`.
fn block<'a>(start: &str, end: &str) -> &'a str {
    let at = README.find(start).unwrap_or_else(|| panic!("README has {start}")) + start.len();
    let len = README[at..].find(end).expect("the block ends");
    &README[at..at + len]
}

fn findings(lesson: &str) -> String {
    let project = Project::from_files([("course.toml", "title = \"A first course\""), ("01-curd/lesson.md", lesson)]);
    let mut drawn = Vec::new();
    let mut human = Human::new(&mut drawn, "", Look { colour: false, unicode: false });
    for found in check(&project).findings.iter() {
        human.emit(&project.sources, found).expect("memory takes it");
    }
    String::from_utf8(drawn).expect("findings are text")
}

/// A picture of what a terminal shows.
fn picture(drawn: &str) -> String {
    let lines: Vec<&str> = drawn.trim_end().lines().collect();
    let widest = lines.iter().map(|line| line.chars().count()).max().unwrap_or(0);
    // A letter of a fixed-width face is at most 0.62 of its height wide, in the usual ones.
    let (width, height) = (widest * 87 / 10 + 32, lines.len() * 20 + 32);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\">\n\
         <title>A finding as a terminal shows it</title>\n\
         <rect width=\"{width}\" height=\"{height}\" rx=\"8\" fill=\"#fffdf7\" stroke=\"#d9ccb4\"/>\n\
         <g font-family=\"ui-monospace, 'DejaVu Sans Mono', Menlo, Consolas, monospace\" font-size=\"14\">\n"
    );
    for (row, line) in lines.iter().enumerate() {
        let ink = match line {
            line if line.starts_with("error") => "#9c1f14",
            line if line.contains('^') => "#9c1f14",
            line if line.starts_with("help") => "#1e464c",
            line if line.contains(" - ...") => "#8a3413",
            line if line.contains(" + ...") => "#1e464c",
            _ => "#2a2118",
        };
        let weight = if line.starts_with("error") || line.starts_with("help") { " font-weight=\"bold\"" } else { "" };
        let text = line.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace(' ', "\u{a0}");
        let down = row * 20 + 30;
        writeln!(svg, "<text x=\"16\" y=\"{down}\" fill=\"{ink}\"{weight}>{text}</text>").expect("memory takes it");
    }
    svg + "</g>\n</svg>\n"
}

/// `BLESS=1` draws the picture anew.
#[test]
fn the_first_lesson_proofs_clean_and_its_slip_is_drawn_as_shown() {
    let lesson = block("~~~markdown\n", "~~~");
    assert_eq!(findings(lesson), "");
    assert!(README.contains("189 °F for 198 °F"), "README says which slip it shows");
    let drawn = findings(&lesson.replace("198 °F", "189 °F"));
    assert!(drawn.starts_with("error[disagrees]") && drawn.contains("write `198 °F` here"), "{drawn}");
    let path = root().join("content/handbook/07-agreement/finding.svg");
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&path, picture(&drawn)).expect("the picture can be written");
    }
    assert_eq!(std::fs::read_to_string(&path).expect("the picture is there"), picture(&drawn));
}

/// The targets of links and pictures: `](there)`.
fn targets() -> Vec<&'static str> {
    README.split("](").skip(1).filter_map(|rest| rest.split([')', ' ']).next()).collect()
}

#[test]
fn every_picture_and_file_that_it_names_is_there_and_light() {
    let targets = targets();
    assert!(targets.len() > 5, "{targets:?}");
    for target in targets.into_iter().filter(|target| !target.contains("://") && !target.starts_with('#')) {
        let path = root().join(Path::new(target));
        let found = std::fs::metadata(&path).unwrap_or_else(|error| panic!("{target}: {error}"));
        let picture = target.ends_with(".png") || target.ends_with(".svg");
        assert!(!picture || found.len() < 100_000, "{target} is heavy: {} bytes", found.len());
    }
}

#[test]
fn it_is_short_enough_to_be_read() {
    let lines = README.lines().count();
    assert!(lines <= 220, "{lines} lines: what the handbook says can go");
}
