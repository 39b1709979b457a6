//! The pages of `pottle explain`: their examples are run, so that they cannot grow stale.

use pottle::diag::Code;
use pottle::{Project, check, explain};

/// Codes about files as such, about a theme, about two lessons, about a lesson and its recording or glossary, about the law of
/// another home than the examples have, or about paper, which checking does not set: one text cannot show them.
const PROSE_ONLY: &[&str] = &[
    "not-utf8",
    "too-large",
    "unusable-name",
    "left-out",
    "bad-picture",
    "no-lessons",
    "unclear-lesson",
    "broken-template",
    "bad-chapter",
    "not-spoken",
    "long-card",
    "no-paper",
    "not-enough-left",
    "untaught-term",
    "unnamed-sign",
    "keeps-long",
];

/// The example under a heading: the path of its file and its text.
fn example(page: &str, heading: &str) -> Option<(String, String)> {
    let (_, after) = page.split_once(&format!("\n## {heading}\n"))?;
    let (_, after) = after.split_once("~~~markdown")?;
    let (info, after) = after.split_once('\n')?;
    let (text, _) = after.split_once("\n~~~")?;
    let path = if info.trim().is_empty() { "01-example/lesson.md" } else { info.trim() };
    Some((path.to_owned(), format!("{text}\n")))
}

fn codes(path: &str, text: &str) -> Vec<String> {
    let mut files = vec![("course.toml", "title = \"Examples\"\nhome = \"uk\"\n"), (path, text)];
    if !path.ends_with("lesson.md") {
        files.push(("01-example/lesson.md", "# Tea\n\nWait.\n"));
    }
    let findings = check(&Project::from_files(files)).findings;
    findings.iter().map(|found| format!("{}: {}", found.code.name(), found.message)).collect()
}

#[test]
fn each_faulty_example_has_just_its_fault_and_each_mended_one_has_none() {
    let mut wrong = Vec::new();
    for code in Code::ALL {
        let (name, page) = (code.name(), explain(code.name()).expect("a page"));
        let examples = (example(page, "With the fault"), example(page, "Put right"));
        if PROSE_ONLY.contains(&name) {
            assert_eq!(examples, (None, None), "{name} has an example: take it off the list");
            continue;
        }
        let (Some(faulty), Some(right)) = examples else { panic!("{name} lacks an example") };
        let found = codes(&faulty.0, &faulty.1);
        if found.len() != 1 || !found[0].starts_with(&format!("{name}: ")) {
            wrong.push(format!("{name}, with the fault: {found:#?}"));
        }
        let found = codes(&right.0, &right.1);
        if !found.is_empty() {
            wrong.push(format!("{name}, put right: {found:#?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn pages_say_what_why_and_how() {
    for code in Code::ALL {
        let page = explain(code.name()).expect("a page");
        for part in ["\n\n## Why it matters\n\n", "\n\n## How to put it right\n\n"] {
            assert!(page.contains(part), "{}", code.name());
        }
        assert!(page.lines().all(|line| line.chars().count() <= 120), "{}", code.name());
    }
    assert_eq!(explain("burnt-toast"), None);
}
