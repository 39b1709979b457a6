//! How fast words are read and bound, beside one bare pass of the Markdown parser over the same text in the same run.
//!
//! `cargo bench --bench reading`. The course is the demo's lessons, forty times over.

use divan::counter::BytesCount;
use divan::{Bencher, black_box};
use pottle::lesson::{LessonSyntax, parse_lesson};
use pottle::prose::{Nouns, scan_run};
use pottle::quantity::Home;
use pottle::reference::Reference;
use pottle::source::Sources;
use pottle::{Project, check};
use pulldown_cmark::{Options, Parser};

const COPIES: usize = 40;

fn main() {
    divan::main();
}

fn demo() -> Vec<(String, String)> {
    let content = concat!(env!("CARGO_MANIFEST_DIR"), "/content/saltmarsh-hall");
    let project = pottle::read_project(content.as_ref()).expect("the demo course is in the repo");
    let lessons = project.lessons.iter().map(|lesson| &project.sources.get(lesson.file).text);
    let lessons: Vec<&String> = lessons.collect();
    (0..COPIES)
        .flat_map(|copy| lessons.iter().enumerate().map(move |(at, text)| (copy, at, (*text).clone())))
        .map(|(copy, at, text)| (format!("{:03}-lesson-{copy}-{at}/lesson.md", copy * 10 + at), text))
        .collect()
}

fn bytes(files: &[(String, String)]) -> BytesCount {
    BytesCount::new(files.iter().map(|(_, text)| text.len()).sum::<usize>())
}

fn project(files: &[(String, String)]) -> Project {
    let content = concat!(env!("CARGO_MANIFEST_DIR"), "/content/saltmarsh-hall");
    let demo = pottle::read_project(content.as_ref()).expect("the demo course is in the repo");
    let own = |id: Option<pottle::source::FileId>| id.map(|id| demo.sources.get(id).text.clone()).unwrap_or_default();
    let (course, glossary) = (own(demo.course), own(demo.glossary));
    let tables = [("course.toml".to_owned(), course), ("glossary.md".to_owned(), glossary)];
    Project::from_files(tables.iter().chain(files).map(|(path, text)| (path.as_str(), text.as_str())))
}

/// The bare pass: events with their places, thrown away.
#[divan::bench]
fn a_bare_markdown_pass(bencher: Bencher<'_, '_>) {
    let files = demo();
    let options = Options::ENABLE_TABLES | Options::ENABLE_FOOTNOTES;
    bencher.counter(bytes(&files)).bench(|| {
        for (_, text) in &files {
            for event in Parser::new_ext(black_box(text), options).into_offset_iter() {
                black_box(event);
            }
        }
    });
}

/// Reading alone: from runs of text to mentions.
#[divan::bench(sample_count = 12)]
fn b_reading_quantities(bencher: Bencher<'_, '_>) {
    let files = demo();
    let reference = Reference::built_in(Home::Uk);
    let mut nouns = Nouns::default();
    for entry in reference.pantry.iter() {
        nouns.add(&entry.name, false);
    }
    let mut sources = Sources::default();
    let parsed: Vec<LessonSyntax> = files
        .iter()
        .map(|(path, text)| {
            let file = sources.add(path.clone(), text);
            parse_lesson(&sources, file, &mut Default::default())
        })
        .collect();
    bencher.counter(bytes(&files)).bench(|| {
        for lesson in &parsed {
            for run in &lesson.runs {
                black_box(scan_run(&run.text, &reference.units, &nouns));
            }
        }
    });
}

/// Everything that `proof` does once the files are in memory: parse, lower, read, bind, check.
#[divan::bench(sample_count = 12)]
fn c_the_whole_check(bencher: Bencher<'_, '_>) {
    let files = demo();
    let project = project(&files);
    bencher.counter(bytes(&files)).bench(|| black_box(check(&project)));
}
