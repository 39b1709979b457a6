//! The examples of the handbook: whole files proof, faulty ones raise the fault they are there for, fragments have keys
//! that exist, and what is shown of the program is what it does.

use super::{chapter, chapters, project};
use pottle::diag::emit::{Human, Look};
use pottle::diag::{Code, Emitter};
use pottle::{Project, check, render};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// A fence of a chapter: the words after it and its lines.
struct Fence<'t> {
    words: Vec<&'t str>,
    text: &'t str,
}

/// Fences of tildes, in which back-ticks stand for themselves.
fn fences(text: &str) -> Vec<Fence<'_>> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some((_, after)) = rest.split_once("\n~~~") {
        let (head, after) = after.split_once('\n').expect("the fence has lines");
        let at = if after.starts_with("~~~") { 0 } else { after.find("\n~~~").expect("the fence is closed") + 1 };
        found.push(Fence { words: head.split_whitespace().collect(), text: &after[..at] });
        rest = &after[at + "~~~".len()..];
    }
    found
}

/// The chapters that are written by hand: examples of the others are run by `tests/explain.rs`.
fn by_hand(project: &Project) -> Vec<(&str, &str)> {
    chapters(project).into_iter().filter(|(path, _)| !path.contains("-findings-")).collect()
}

fn found(files: &BTreeMap<String, String>) -> Vec<(Code, String)> {
    let project = Project::from_files(files.clone());
    let found = check(&project).findings;
    found.iter().map(|one| (one.code, format!("{}: {}", one.code.name(), one.message))).collect()
}

/// A course in which an example may stand.
fn course() -> BTreeMap<String, String> {
    let files =
        [("course.toml", "title = \"Examples\"\nhome = \"uk\"\n"), ("01-example/lesson.md", "# Tea\n\nWait.\n")];
    files.map(|(path, text)| (path.to_owned(), text.to_owned())).into()
}

#[test]
fn whole_examples_proof_and_faulty_ones_raise_their_fault() {
    let project = project();
    let mut wrong = Vec::new();
    let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
    for (path, text) in by_hand(&project) {
        let mut last: Option<&str> = None;
        for Fence { words, text } in fences(text).iter().filter(|fence| fence.words.len() > 1) {
            let mut files = course();
            let in_course = ["course.toml", "pantry.toml", "facts.toml", "glossary.md"].contains(&words[1]);
            let name = if in_course { words[1].to_owned() } else { format!("01-example/{}", words[1]) };
            match words[1] {
                "lesson.md" => last = Some(text),
                "lesson.vtt" => {
                    files.insert("01-example/lesson.md".to_owned(), last.expect("a lesson before it").to_owned());
                }
                file if file.starts_with("theme/") => continue,
                file => assert!(in_course, "{path} has an example of {file}, which no course has"),
            }
            files.insert(name, (*text).to_owned());
            *kinds.entry(words[1].to_owned()).or_default() += 1;
            let found = found(&files);
            let names: Vec<&str> = found.iter().map(|(code, _)| code.name()).collect();
            if names != words[2..] {
                wrong.push(format!(
                    "{path}, {words:?}: {:#?}\n{text}",
                    found.iter().map(|one| &one.1).collect::<Vec<_>>()
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let all: Vec<&str> = kinds.keys().map(String::as_str).collect();
    assert_eq!(all, ["course.toml", "facts.toml", "glossary.md", "lesson.md", "lesson.vtt", "pantry.toml"]);
    assert!(kinds["lesson.md"] > 5, "{kinds:?}");
}

/// What tells that a fragment is not written as it should be, whatever it is a part of.
const SLIPS: [Code; 8] = [
    Code::BadToml,
    Code::UnknownKey,
    Code::WrongType,
    Code::WrongKind,
    Code::BadAmount,
    Code::UnknownBlock,
    Code::OpenFence,
    Code::MisplacedBlock,
];

#[test]
fn fragments_are_written_with_keys_that_exist() {
    let project = project();
    let mut count = 0;
    for (path, text) in by_hand(&project) {
        for Fence { words, text } in fences(text).iter().filter(|fence| fence.words.len() == 1) {
            assert_eq!(words[0], "markdown", "{path}: a fragment of {words:?}; name the file that it is");
            let mut files = course();
            files.insert("01-example/lesson.md".to_owned(), format!("# Example\n\n{text}"));
            let found = found(&files);
            let slips: Vec<&String> = found.iter().filter(|(code, _)| SLIPS.contains(code)).map(|one| &one.1).collect();
            assert!(slips.is_empty(), "{path}: {slips:#?}\n{text}");
            count += 1;
        }
    }
    assert!(count > 5, "{count}");
}

#[test]
fn the_first_chapter_shows_what_happens() {
    let begin = Path::new(env!("CARGO_MANIFEST_DIR")).join("shared/begin");
    let read = |path: &str| fs::read_to_string(begin.join(path)).expect("begin has it");
    let lesson = read("01-first-lesson/lesson.md");
    let mut files = BTreeMap::from([
        ("course.toml".to_owned(), read("course.toml")),
        ("pantry.toml".to_owned(), read("pantry.toml")),
        ("glossary.md".to_owned(), read("glossary.md")),
        ("01-first-lesson/lesson.md".to_owned(), lesson.clone()),
    ]);
    assert_eq!(found(&files), []);
    let project = project();
    let text = chapter(&project, "01-ten-minutes");
    // The block and the sentence that are shown are those of the lesson that `pottle begin` makes.
    let (shown, _) = fences(text)[0].text.split_once(" …").expect("it breaks off");
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words(&lesson).contains(&words(shown)), "{shown}");
    let slip = lesson.replace("Pour in 400 mL", "Pour in 450 mL");
    files.insert("01-first-lesson/lesson.md".to_owned(), slip);
    let wrong = Project::from_files(files);
    let mut drawn = Vec::new();
    let mut human = Human::new(&mut drawn, "my-course/", Look { colour: false, unicode: false });
    for found in check(&wrong).findings.iter() {
        human.emit(&wrong.sources, found).expect("memory takes it");
    }
    let drawn = String::from_utf8(drawn).expect("findings are text");
    let (_, shown) = text.split_once("```text\n").expect("a finding is shown");
    let (shown, _) = shown.split_once("\n1 error.\n```").expect("it ends");
    assert_eq!(drawn.trim().replace('\u{a0}', " "), shown.trim());
}

#[test]
fn the_theme_of_the_handbook_takes_the_place_of_ours() {
    let project = project();
    let mut files = course();
    for Fence { words, text } in fences(chapter(&project, "12-theme")) {
        files.insert(words[1].to_owned(), text.to_owned());
    }
    assert!(files.contains_key("theme/own.css") && files.contains_key("theme/index.html"));
    let themed = Project::from_files(files);
    let course = check(&themed).course.expect("nothing is wrong");
    let site = render(&themed, &course).expect("its pages can be made");
    let text = |name: &str| String::from_utf8(site.files()[name].clone()).expect("it is text");
    assert!(text("style.css").trim_end().ends_with("h1 { letter-spacing: 0; }"));
    assert!(text("index.html").contains("Bring an apron.") && text("index.html").contains("<ol class=\"lessons\">"));
}

#[test]
fn every_file_of_the_theme_is_named_and_no_other() {
    let project = project();
    let told = super::section(chapter(&project, "12-theme"), "Every file that you can replace");
    let items = told.lines().filter(|line| line.starts_with("- `"));
    let mut named: Vec<&str> = items.flat_map(|item| super::codes(item.split(':').next().unwrap_or(item))).collect();
    named.retain(|name| *name != "own.css");
    let theme = Path::new(env!("CARGO_MANIFEST_DIR")).join("themes/scullery");
    let list = |folder: &Path| -> Vec<String> {
        let entries = fs::read_dir(folder).expect("the theme is there").map(|entry| entry.expect("it is readable"));
        let files = entries.filter(|entry| entry.path().is_file());
        files.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect()
    };
    let mut all = [list(&theme), list(&theme.join("templates"))].concat();
    named.sort_unstable();
    all.sort_unstable();
    assert_eq!(named, all);
}
