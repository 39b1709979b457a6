//! What README shows is what the program does.

use pottle::diag::Emitter;
use pottle::diag::emit::{Human, Look};
use pottle::{Project, check};

const README: &str = include_str!("../README.md");

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

#[test]
fn the_first_lesson_proofs_clean_and_its_slip_is_drawn_as_shown() {
    let lesson = block("~~~markdown\n", "~~~");
    assert_eq!(findings(lesson), "");
    let shown = block("and Pottle says so:\n\n```text\n", "```");
    assert_eq!(findings(&lesson.replace("198 °F", "189 °F")).trim(), shown.trim());
}
