//! A course that is checked again gives what a fresh check gives, and looks only at what has changed.

use pottle::check::{Checked, Memory, check, check_again};
use pottle::{Project, read_project};
use std::collections::BTreeMap;
use std::sync::Arc;

fn whole() -> Project {
    read_project(concat!(env!("CARGO_MANIFEST_DIR"), "/content/saltmarsh-hall").as_ref()).unwrap()
}

/// The texts of the demo course.
fn demo() -> BTreeMap<String, String> {
    let project = whole();
    let own = project.sources.iter().filter(|(_, file)| !file.path.starts_with("shared/"));
    own.map(|(_, file)| (file.path.clone(), file.text.clone())).collect()
}

fn project(files: &BTreeMap<String, String>) -> Project {
    let mut project = Project::from_files(files.iter().map(|(path, text)| (path.as_str(), text.as_str())));
    // A lesson that was renamed brings its pictures along.
    let pictures = whole().pictures;
    for folder in files.keys().filter_map(|path| path.strip_suffix("/lesson.md")) {
        let named = pictures.iter().filter_map(|(path, bytes)| Some((path.split_once('/')?.1, bytes)));
        project.pictures.extend(named.map(|(name, bytes)| (format!("{folder}/{name}"), bytes.clone())));
    }
    project
}

fn assert_same(again: &Checked, fresh: &Checked, what: &str) {
    let told = |checked: &Checked| format!("{:?}", checked.findings);
    assert_eq!(told(again), told(fresh), "{what}");
    assert!(again.model == fresh.model, "{what}: the model");
    assert!(again.ledger == fresh.ledger, "{what}: the ledger");
}

/// How many lessons were taken over from the last time.
fn taken_over(last: &Checked, now: &Checked) -> usize {
    let is_known = |one: &&Arc<_>| last.model.lessons.iter().any(|other| Arc::ptr_eq(one, other));
    now.model.lessons.iter().filter(is_known).count()
}

#[test]
fn every_change_gives_what_a_fresh_check_gives() {
    let mut files = demo();
    let mut memory = Memory::default();
    let mut last = check_again(&project(&files), &mut memory);
    let lessons = last.model.lessons.len();
    let curd = "02-pressed-curd/lesson.md";
    // What is replaced, and how many lessons stay as they were.
    let changes: [(&str, &str, &str, usize); 9] = [
        (curd, "The hall has", "This hall has", lessons - 1),
        (curd, "(198 °F)", "(189 °F)", lessons - 1),
        (curd, "(189 °F)", "(198 °F)", lessons - 1),
        // A measure less: what stands after it moves up.
        (curd, "measures = { steam = \"60 °C\", shiver", "measures = { shiver", 1),
        (curd, "measures = { shiver", "measures = { steam = \"60 °C\", shiver", 1),
        ("02-pressed-curd/lesson.vtt", "00:", "00:", lessons),
        ("course.toml", "home     = \"uk\"", "home     = \"us\"", 0),
        ("course.toml", "home     = \"us\"", "home     = \"uk\"", 0),
        ("glossary.md", "## bone dry", "## quite dry", 0),
    ];
    for (path, from, to, kept) in changes {
        let text = files.get_mut(path).unwrap();
        assert!(text.contains(from), "{path}: {from}");
        *text = text.replacen(from, to, 1);
        let now = project(&files);
        let again = check_again(&now, &mut memory);
        assert_same(&again, &check(&now), to);
        assert_eq!(taken_over(&last, &again), kept, "{to}");
        last = again;
    }
}

#[test]
fn lessons_that_come_and_go_give_what_a_fresh_check_gives() {
    let mut files = demo();
    let mut memory = Memory::default();
    check_again(&project(&files), &mut memory);
    let text = files.remove("04-strained-yoghurt/lesson.md").unwrap();
    let mut same = |files: &BTreeMap<String, String>, what: &str| {
        let now = project(files);
        assert_same(&check_again(&now, &mut memory), &check(&now), what);
    };
    same(&files, "a lesson gone");
    files.insert("09-strained-yoghurt/lesson.md".to_owned(), text.clone());
    same(&files, "and back at the end");
    // Of a lesson that another takes from, only the name counts for that other one.
    let curd = files.remove("02-pressed-curd/lesson.md").unwrap();
    files.insert("02-other-curd/lesson.md".to_owned(), curd);
    same(&files, "the giver of whey has another name");
}
