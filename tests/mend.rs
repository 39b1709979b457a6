//! Mending: change a measure in its block, and the words follow.

use pottle::check::Binding;
use pottle::recipe::{MeasureId, Owner};
use pottle::source::Span;
use pottle::{Checked, Mended, Project, check, mend, read_project};
use std::collections::BTreeMap;
use std::path::Path;

fn demo() -> Project {
    read_project(&Path::new(env!("CARGO_MANIFEST_DIR")).join("content")).expect("the demo course can be read")
}

/// All its own texts, as they stand on disk.
fn own_texts(project: &Project) -> BTreeMap<String, String> {
    let own = project.sources.iter().filter(|(_, file)| !file.path.starts_with("shared/"));
    own.map(|(_, file)| (file.path.clone(), file.on_disk())).collect()
}

/// One in the last figure more, in every number.
fn one_more(text: &str) -> String {
    each_number(text, |number| {
        let places = number.split_once('.').map_or(0, |(_, after)| after.len());
        let value: f64 = number.parse().expect("figures");
        format!("{:.places$}", value + 0.1f64.powi(places as i32))
    })
}

/// A quarter more, in every number.
fn a_quarter_more(text: &str) -> String {
    each_number(text, |number| {
        let value = number.parse::<f64>().expect("figures") * 1.25;
        let text = format!("{value:.2}");
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    })
}

fn each_number(text: &str, change: impl Fn(&str) -> String) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        let len = rest[start..].find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len() - start);
        out.push_str(&rest[..start]);
        out.push_str(&change(&rest[start..start + len]));
        rest = &rest[start + len..];
    }
    out + rest
}

/// Another part of an ingredient, its companions adding up to the whole.
fn other_parts(clean: &Checked, project: &Project, id: MeasureId) -> Vec<(Span, String)> {
    let part_of = |owner| match owner {
        Owner::Part { lesson, ingredient, .. } => Some((lesson, ingredient)),
        _ => None,
    };
    let own = part_of(clean.model.measure(id).owner);
    let mine = clean.model.measures.iter().filter(|measure| own.is_some() && part_of(measure.owner) == own);
    let swap = |text: &str| match text {
        "two thirds" => "half",
        "a third" => "half",
        "half" => "a quarter",
        other => panic!("a part that this test does not know: {other}"),
    };
    mine.map(|measure| (measure.span, swap(project.sources.text(measure.span)).to_owned())).collect()
}

struct Outcome {
    line: String,
    mentioned: bool,
    clean: bool,
}

fn try_change(project: &Project, clean: &Checked, id: MeasureId, changes: &[(Span, String)]) -> Outcome {
    let mut texts = own_texts(project);
    let mut sorted = changes.to_vec();
    sorted.sort_by_key(|(span, _)| std::cmp::Reverse(*span));
    for (span, new) in &sorted {
        let file = project.sources.get(span.file);
        let raw = texts.get_mut(&file.path).expect("a measure of the course itself");
        raw.replace_range(file.offset_on_disk(span.start)..file.offset_on_disk(span.end), new);
    }
    let mut changed = Project::from_files(texts);
    changed.pictures = project.pictures.clone();
    let Mended { project: mended, checked, changed: files, left } = mend(&changed);
    // What mending leaves behind, it leaves for good.
    assert!(mend(&mended).changed.is_empty(), "mending twice changes something");
    for one in &left {
        assert!(!one.why.is_empty());
    }
    let bound = |entry: &&pottle::check::LedgerEntry| entry.binding == Binding::Measure(id);
    let mentions = clean.ledger.entries.iter().filter(bound).count();
    let edits: usize = files.iter().map(|file| file.view("").matches("@@ line").count()).sum();
    let words: Vec<String> =
        changes.iter().map(|(span, new)| format!("{} → {new}", project.sources.text(*span))).collect();
    let path = &clean.model.measure(id).path;
    let mut line = format!("{path:<62} {:<28} {mentions:>2} mentions, {edits} lines: ", words.join(", "));
    if checked.findings.is_empty() {
        line.push_str("clean");
    } else {
        for one in &left {
            line.push_str(&format!("\n    left: {} [{}]: {}", one.found.code.name(), one.found.message, one.why));
        }
    }
    if std::env::var_os("SHOW_EDITS").is_some() {
        files.iter().for_each(|file| line.push_str(&format!("\n{}", file.view(""))));
    }
    Outcome { line, mentioned: mentions > 0, clean: checked.findings.is_empty() }
}

fn sweep(change: impl Fn(&str) -> String + Sync) -> (usize, usize) {
    let project = demo();
    let clean = check(&project);
    assert!(clean.findings.is_empty(), "the demo course is clean");
    let own: Vec<MeasureId> = (0..clean.model.measures.len())
        .map(|index| MeasureId(index as u32))
        .filter(|id| !project.sources.get(clean.model.measure(*id).span.file).path.starts_with("shared/"))
        .collect();
    let (project, clean, change) = (&project, &clean, &change);
    let outcomes: Vec<Outcome> = std::thread::scope(|scope| {
        let halves = own.chunks(own.len().div_ceil(2)).map(|ids| {
            scope.spawn(move || {
                ids.iter()
                    .map(|id| {
                        let span = clean.model.measure(*id).span;
                        let text = project.sources.text(span);
                        let new = change(text);
                        let changes = if new == text { other_parts(clean, project, *id) } else { vec![(span, new)] };
                        try_change(project, clean, *id, &changes)
                    })
                    .collect::<Vec<_>>()
            })
        });
        let halves: Vec<_> = halves.collect();
        halves.into_iter().flat_map(|half| half.join().expect("no measure panics")).collect()
    });
    for outcome in &outcomes {
        println!("{}", outcome.line);
    }
    let mentioned = outcomes.iter().filter(|one| one.mentioned).count();
    let mended = outcomes.iter().filter(|one| one.mentioned && one.clean).count();
    println!("{} measures, {mentioned} of them mentioned, {mended} of these clean after mending", outcomes.len());
    (mended, mentioned)
}

#[test]
fn the_words_follow_when_any_measure_of_the_demo_course_grows_by_one() {
    let (mended, mentioned) = sweep(one_more);
    assert!(mentioned > 90 && mended * 100 >= mentioned * 95, "{mended} of {mentioned}");
}

#[test]
fn the_words_follow_when_any_measure_of_the_demo_course_grows_by_a_quarter() {
    let (mended, mentioned) = sweep(a_quarter_more);
    assert!(mentioned > 90 && mended * 100 >= mentioned * 95, "{mended} of {mentioned}");
}
