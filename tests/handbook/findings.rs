//! The chapters of findings: made from the pages of `pottle explain`, never by hand. `BLESS=1` writes them anew.

use super::{folder, project};
use pottle::diag::{Code, Severity};
use pottle::{Project, check};
use std::fs;

/// A chapter, and what it tells.
struct Group {
    folder: &'static str,
    title: &'static str,
    summary: &'static str,
    codes: &'static [&'static str],
}

const GROUPS: &[Group] = &[
    Group {
        folder: "13-findings-words",
        title: "Findings about words and figures",
        summary: "A figure in a sentence and the recipe do not agree, or a word of the trade is not known.",
        codes: &[
            "disagrees",
            "pair-apart",
            "unknown-mention",
            "not-stated",
            "no-unit",
            "unlisted",
            "unclear-mention",
            "stale-aside",
            "risky-spelling",
            "unknown-term",
            "untaught-term",
            "unnamed-sign",
        ],
    },
    Group {
        folder: "14-findings-recipe",
        title: "Findings about a recipe that does not add up",
        summary: "Amounts, pots, times, doses and leftovers that contradict each other.",
        codes: &[
            "not-used-up",
            "share-apart",
            "does-not-fit",
            "tight-fit",
            "unbalanced",
            "unaccounted",
            "unlikely-yield",
            "over-session",
            "tight-session",
            "out-of-order",
            "not-enough-left",
            "unlikely-time",
            "above-boiling",
            "setting-point",
            "unclear-share",
            "dose-apart",
            "unlikely-dose",
            "dilution-apart",
            "kit-short",
            "not-reckoned",
        ],
    },
    Group {
        folder: "15-findings-keeping",
        title: "Findings about danger and keeping",
        summary: "What can hurt somebody, what is held hot, and what is kept cold.",
        codes: &[
            "danger",
            "idle-overrule",
            "not-pasteurised",
            "unclaimed-hold",
            "keeps-unsaid",
            "keeps-warm",
            "keeps-long",
            "wrong-mark",
            "needless-mark",
        ],
    },
    Group {
        folder: "16-findings-blocks",
        title: "Findings about how a lesson is written",
        summary: "Keys, values, names, blocks, headings and links.",
        codes: &[
            "bad-toml",
            "unknown-key",
            "missing-key",
            "wrong-type",
            "wrong-kind",
            "bad-amount",
            "unknown-ingredient",
            "unknown-name",
            "duplicate-id",
            "unknown-block",
            "misplaced-block",
            "open-fence",
            "missing-title",
            "broken-reference",
            "raw-html",
            "too-deep",
        ],
    },
    Group {
        folder: "17-findings-files",
        title: "Findings about files, recordings and paper",
        summary: "Tables of the course, pictures, captions, cards, names of files and the theme.",
        codes: &[
            "no-lessons",
            "unclear-lesson",
            "bad-table",
            "bad-picture",
            "not-utf8",
            "too-large",
            "unusable-name",
            "left-out",
            "bad-captions",
            "bad-chapter",
            "not-spoken",
            "long-card",
            "no-paper",
            "broken-template",
        ],
    },
];

/// A finding as a section: what it means, why it matters, what to do, and the two examples that `tests/explain.rs` runs.
/// A quote that is too deep for a lesson is so in a fence too; it breaks off.
fn entry(code: Code) -> String {
    let page = code.page().split_once('\n').map_or("", |(_, rest)| rest).trim();
    let severity = match code.severity() {
        Severity::Error => "An error",
        Severity::Note => "A note",
    };
    let mut lines = Vec::new();
    let mut fenced = false;
    for line in page.lines() {
        let opens = line.starts_with("~~~") && !fenced;
        fenced ^= line.starts_with("~~~");
        match line.strip_prefix("~~~markdown ").filter(|_| opens) {
            Some(path) => lines.push(format!("In `{path}`:\n\n~~~{}", language(path))),
            None if !fenced && line.starts_with("## ") => lines.push(format!("#{line}")),
            None if fenced && line.starts_with(&"> ".repeat(12)) => lines.push(format!("{}…", "> ".repeat(12))),
            None => lines.push(line.to_owned()),
        }
    }
    format!("## {}\n\n*{severity}: {}.*\n\n{}\n", code.name(), code.meaning(), lines.join("\n"))
}

fn language(path: &str) -> &'static str {
    match path.rsplit_once('.') {
        Some((_, "md")) => "markdown",
        Some((_, "toml")) => "toml",
        _ => "text",
    }
}

fn code(name: &str) -> Code {
    let found = Code::ALL.iter().find(|code| code.name() == name);
    *found.unwrap_or_else(|| panic!("{name} is no finding"))
}

fn chapter(group: &Group, asides: &[String]) -> String {
    let Group { title, summary, codes, .. } = group;
    let codes: Vec<Code> = codes.iter().map(|name| code(name)).collect();
    let list: String = codes.iter().map(|code| format!("- [{0}](#{0}): {1}\n", code.name(), code.meaning())).collect();
    let quoted: String = asides.iter().map(|words| format!("  {words:?},\n")).collect();
    let asides = match quoted.is_empty() {
        true => String::new(),
        false => format!("asides  = [ # figures that the explanations give as examples\n{quoted}]\n"),
    };
    let made = "# Made from src/diag/explain by tests/handbook: change it there, not here.";
    let head = format!("# {title}\n\n```lesson\n{made}\nsummary = {summary:?}\n{asides}```\n\n");
    let how = "`pottle explain` and the name of a finding shows its page in your window. An error stops publishing; a note \
               does not.";
    let entries: Vec<String> = codes.into_iter().map(entry).collect();
    format!("{head}{how}\n\n{list}\n{}", entries.join("\n"))
}

/// The handbook with a chapter as it would be.
fn with(group: &Group, text: &str) -> Project {
    let own = format!("{}/lesson.md", group.folder);
    let now = project();
    let files = now.sources.iter().map(|(_, file)| (file.path.clone(), file.text.clone()));
    let files = files.filter(|(path, _)| !path.starts_with("shared/") && *path != own);
    Project::from_files(files.chain([(own.clone(), text.to_owned())]).collect::<Vec<_>>())
}

/// The figures that explanations give as examples: none is a measure of the handbook, also where a fact has its value.
fn figures(group: &Group) -> Vec<String> {
    let project = with(group, &chapter(group, &[]));
    let mut words: Vec<String> = Vec::new();
    for entry in &check(&project).ledger.entries {
        let span = entry.mention.span;
        if project.sources.get(span.file).path.starts_with(group.folder) {
            let said = project.sources.text(span).split_whitespace().collect::<Vec<_>>().join(" ");
            if !words.contains(&said) {
                words.push(said);
            }
        }
    }
    words
}

#[test]
fn every_finding_stands_in_one_chapter() {
    let mut told: Vec<&str> = GROUPS.iter().flat_map(|group| group.codes).copied().collect();
    let mut all: Vec<&str> = Code::ALL.iter().map(|code| code.name()).collect();
    told.sort_unstable();
    all.sort_unstable();
    assert_eq!(told, all, "a finding is in no chapter, or in two: put it into GROUPS");
}

#[test]
fn the_chapters_of_findings_say_what_pottle_explain_says() {
    for group in GROUPS {
        let text = chapter(group, &figures(group));
        let path = folder().join(group.folder).join("lesson.md");
        if std::env::var_os("BLESS").is_some() {
            fs::create_dir_all(path.parent().expect("it has a folder")).expect("the folder can be made");
            fs::write(&path, &text).expect("the chapter can be written");
        }
        let now = fs::read_to_string(&path).unwrap_or_default();
        assert!(
            now == text,
            "{} is out of date: run `BLESS=1 cargo test --test handbook` and read what changed",
            path.display()
        );
    }
}
