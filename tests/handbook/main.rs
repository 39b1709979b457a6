//! The author's handbook in `content/handbook`: it is a course like any other, and says all that an author can write.
//!
//! What stands in a fence is told by the word after its language. A file name makes it a whole file, which must proof
//! without a finding; a code after that makes it one that raises this code and nothing else. Without a word it is a
//! fragment, of which only the keys are held to the tables.

mod commands;
mod examples;
mod findings;
mod keys;

use pottle::source::SourceFile;
use pottle::{Project, check, read_project, render};
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("content/handbook")
}

fn project() -> Project {
    read_project(&folder()).expect("the handbook is there")
}

/// The chapters with their paths, in order.
fn chapters(project: &Project) -> Vec<(&str, &str)> {
    let text = |file| {
        let SourceFile { path, text, .. } = project.sources.get(file);
        (path.as_str(), text.as_str())
    };
    project.lessons.iter().map(|lesson| text(lesson.file)).collect()
}

/// The chapter in a folder.
fn chapter<'p>(project: &'p Project, folder: &str) -> &'p str {
    let found = chapters(project).into_iter().find(|(path, _)| path.starts_with(&format!("{folder}/")));
    found.unwrap_or_else(|| panic!("there is no chapter {folder}")).1
}

/// What stands between a heading and the next one of whatever depth; headings inside fences are none.
fn section<'t>(text: &'t str, heading: &str) -> &'t str {
    let (mut at, mut begin, mut fenced) = (0, None, false);
    for line in text.split_inclusive('\n') {
        let here = at;
        at += line.len();
        fenced ^= line.starts_with("~~~") || line.starts_with("```");
        if fenced || !line.starts_with('#') {
            continue;
        }
        match begin {
            Some(begin) => return &text[begin..here],
            None if line.trim_start_matches('#').trim() == heading => begin = Some(at),
            None => {}
        }
    }
    begin.map_or_else(|| panic!("no chapter has the heading {heading}"), |begin| &text[begin..])
}

/// What stands between single ticks.
fn codes(text: &str) -> Vec<&str> {
    let lines = text.lines().filter(|line| !line.starts_with("```"));
    lines.flat_map(|line| line.split('`').skip(1).step_by(2)).collect()
}

/// Findings as one line each.
fn shown(project: &Project) -> Vec<String> {
    let found = check(project).findings;
    let line = |found: &pottle::diag::Diagnostic| {
        let span = found.primary.span;
        let (path, words) = (&project.sources.get(span.file).path, project.sources.text(span));
        format!("{path}: {}: {} ({words})", found.code.name(), found.message)
    };
    found.iter().chain(project.problems.iter()).map(line).collect()
}

#[test]
fn the_handbook_proofs_without_a_finding_and_publishes() {
    let project = project();
    assert_eq!(shown(&project), [""; 0]);
    let course = check(&project).course.expect("nothing is wrong");
    let site = render(&project, &course).expect("its pages can be made");
    for lesson in &project.lessons {
        let page = String::from_utf8(site.files()[&format!("{}.html", lesson.slug)].clone()).expect("a page is text");
        // It has no recipe, so it neither warns of hot milk nor has anything to change.
        assert!(!page.contains("id=_care") && !page.contains("id=_bench"), "{}", lesson.slug);
    }
    assert!(!site.files().contains_key("class-plan.html") && !site.files().contains_key("allergens.html"));
    // Everything can be set on paper.
    assert_eq!(site.notes().iter().map(|found| &found.message).collect::<Vec<_>>(), [""; 0]);
}

#[test]
fn lesson_files_are_coloured_with_the_blocks_inside_them() {
    let project = project();
    let course = check(&project).course.expect("nothing is wrong");
    let site = render(&project, &course).expect("its pages can be made");
    let page = String::from_utf8(site.files()["writing.html"].clone()).expect("a page is text");
    let (_, lesson) = page.split_once("hl-heading hl-lesson\"># Soft fresh cheese").expect("its title is coloured");
    let (lesson, _) = lesson.split_once("</code>").expect("it ends");
    for part in [
        "<span class=\"hl-section hl-lesson\">recipe</span>",
        "<span class=\"hl-key hl-toml\">makes</span>",
        "<span class=\"hl-string hl-toml\">&quot;85 °C&quot;</span>",
        "## Warm the milk",
    ] {
        assert!(lesson.contains(part), "{part} in {lesson}");
    }
    // Words between blocks are words again.
    assert!(lesson.contains("</span>\nPour 2 litres of milk into the pot"), "{lesson}");
}
