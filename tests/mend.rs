//! Mending: change a measure in its block, and the words follow.

#![allow(clippy::print_stdout, reason = "the table of all measures is for reading, under --nocapture")]

use pottle::check::Binding;
use pottle::diag::Code;
use pottle::recipe::{MeasureId, Owner};
use pottle::source::Span;
use pottle::{Checked, Mended, Project, check, mend, read_project};
use std::collections::BTreeMap;
use std::path::Path;

/// The demo course without its recordings: what was spoken does not follow a change of the recipe.
fn demo() -> Project {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall");
    let mut project = read_project(&content).expect("the demo course can be read");
    project.lessons.iter_mut().for_each(|lesson| lesson.captions.clear());
    project
}

/// All its own texts, as they stand on disk.
fn own_texts(project: &Project) -> BTreeMap<String, String> {
    let own = project.sources.iter().filter(|(_, file)| !file.path.starts_with("shared/"));
    own.map(|(_, file)| (file.path.clone(), file.on_disk())).collect()
}

/// One in the last figure more, in every number.
fn one_more(text: &str) -> String {
    // `1–1.1 L` becomes `1.1–1.2 L`, for both ends have one unit.
    let decimals = |number: &str| number.split_once('.').map_or(0, |(_, after)| after.len());
    let most = text.split(|c: char| !c.is_ascii_digit() && c != '.').map(decimals).max().unwrap_or(0);
    each_number(text, |number| {
        let value: f64 = number.parse().expect("figures");
        format!("{:.most$}", value + 0.1f64.powi(most as i32))
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

/// What a change may break in the recipe itself, whatever the words say.
const BROKEN_RECIPE: &[Code] = &[
    Code::ShareApart,
    Code::DoseApart,
    Code::UnlikelyDose,
    Code::DilutionApart,
    Code::KitShort,
    Code::NotPasteurised,
    Code::SettingPoint,
    Code::UnlikelyYield,
    Code::Danger,
    Code::IdleOverrule,
    Code::KeepsWarm,
    Code::KeepsLong,
    Code::UnlikelyTime,
    Code::AboveBoiling,
    Code::Unbalanced,
    Code::Unaccounted,
    Code::TightFit,
    Code::DoesNotFit,
    Code::OverSession,
    Code::TightSession,
    Code::NotEnoughLeft,
];

struct Outcome {
    line: String,
    mentioned: bool,
    clean: bool,
    /// No finding about words is left; where one about the recipe is, the change broke the recipe.
    words_agree: bool,
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
    // One lesson speaks only of itself and of what it takes from another: the rest need not be read again each time.
    let own = &project.sources.get(clean.model.measure(id).span.file).path;
    let text = texts.get(own).cloned().unwrap_or_default();
    let gives = |path: &str| {
        let slug = path.split_once('/').and_then(|(folder, _)| folder.split_once('-')).map_or("", |(_, slug)| slug);
        text.contains(&format!("from = \"{slug}\""))
    };
    let read = texts.into_iter().filter(|(path, _)| path == own || !path.contains('/') || gives(path));
    let mut changed = Project::from_files(read);
    changed.pictures.clone_from(&project.pictures);
    let Mended { project: mended, checked, changed: files, left } = mend(&changed);
    // What mending leaves behind, it leaves for good. Looked at now and then: it takes as long again.
    if id.0.is_multiple_of(8) {
        assert!(mend(&mended).changed.is_empty(), "mending twice changes something");
    }
    for one in &left {
        assert!(!one.why.is_empty());
    }
    let bound = |entry: &&std::sync::Arc<pottle::check::LedgerEntry>| entry.binding == Binding::Measure(id);
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
    let about_recipe = |one: &pottle::mend::Left| BROKEN_RECIPE.contains(&one.found.code);
    let clean = checked.findings.is_empty();
    Outcome { line, mentioned: mentions > 0, clean, words_agree: left.iter().all(about_recipe) }
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
    let mentioned: Vec<&Outcome> = outcomes.iter().filter(|one| one.mentioned).collect();
    let clean = mentioned.iter().filter(|one| one.clean).count();
    let agree = mentioned.iter().filter(|one| one.words_agree).count();
    let (all, of) = (outcomes.len(), mentioned.len());
    println!(
        "{all} measures, {of} of them mentioned: after mending, the words of {agree} agree and {clean} leave no finding"
    );
    assert!(of > 130, "{of} measures are mentioned");
    (agree, of)
}

#[test]
fn the_words_follow_when_any_measure_of_the_demo_course_grows_by_one() {
    // Four measures stand in the words by the spoon only, and 46 mL is no number of tablespoons.
    let (agree, of) = sweep(one_more);
    assert!(agree + 4 >= of, "{agree} of {of}");
}

#[test]
fn the_words_follow_when_any_measure_of_the_demo_course_grows_by_a_quarter() {
    let (agree, of) = sweep(a_quarter_more);
    assert_eq!(agree, of);
}

/// A small course with one step, its words left open.
fn course(step: &str, words: &str) -> Project {
    let lesson = format!(
        "# Curd\n\n```recipe\nmakes = \"600 g pressed curd\"\n\n[ingredients]\nmilk = \"4.5 L evaporated milk\"\n\
         salt = \"3.75 mL fine salt\"\n\n[equipment]\npot = {{ name = \"heavy pot\", holds = \"8 L\" }}\n```\n\n\
         ## Make it\n\n```step\nadd = [\"milk\", \"salt\"]\nin = \"pot\"\n{step}\n```\n\n{words}\n"
    );
    Project::from_files([("course.toml", "title = \"T\"\nhome = \"uk\"\n"), ("01-curd/lesson.md", &lesson)])
}

/// Mends words and returns them; nothing else may have changed, and nothing may be left.
fn mended(step: &str, words: &str) -> String {
    let project = course(step, words);
    let done = mend(&project);
    let left: Vec<_> = done.left.iter().map(|one| format!("{} ({:?})", one.found.message, one.found.help)).collect();
    let text = &done.project.sources.get(done.project.lessons[0].file).text;
    let before = &project.sources.get(project.lessons[0].file).text;
    let head = before.len() - words.len() - 1;
    assert_eq!(text[..head], before[..head], "only the words change");
    assert!(left.is_empty(), "{words}: {left:#?}\n{}", &text[head..]);
    text[head..].trim_end().to_owned()
}

#[test]
fn words_keep_their_form() {
    for (step, words, want) in [
        ("", "Stir in half a teaspoon of salt.", "Stir in three quarters of a teaspoon of salt."),
        ("", "Pour in 4 litres (7 pints) of milk.", "Pour in 4.5 litres (8 pints) of milk."),
        ("", "Four litres of milk go in.", "Four and a half litres of milk go in."),
        ("", "Pour in **4** litres of milk.", "Pour in **4.5** litres of milk."),
        ("", "Pour in 4\nlitres of milk.", "Pour in 4.5\nlitres of milk."),
        ("", "Use a 6-litre pot.", "Use an 8-litre pot."),
        ("", "Use a **6**-litre pot.", "Use an **8**-litre pot."),
        ("takes = \"25–30 min\"", "It takes 20 to 25 minutes.", "It takes 25 to 30 minutes."),
        ("takes = \"20 min\"", "It takes 20 to 25 minutes.", "It takes 20 minutes."),
        ("takes = \"20–25 min\"", "It takes about 15 minutes.", "It takes about 20 to 25 minutes."),
        ("for = \"1 h 45 min\"", "Leave it for 1 h 30 min.", "Leave it for 1 h 45 min."),
        ("for = \"2 h 30 min\"", "Leave it for an hour and a half.", "Leave it for two and a half hours."),
        ("for = \"1 h\"", "Leave it for half an hour.", "Leave it for one hour."),
        ("for = \"31 min\"", "Leave it for half an hour.", "Leave it for 31 minutes."),
        ("for = \"at least 5 h\"", "Leave it at least 4 hours.", "Leave it at least 5 hours."),
        (
            "at = \"86–91 °C\"",
            "Keep it between 85 and 90 °C (185 and 194 °F).",
            "Keep it between 86 and 91 °C (187 and 196 °F).",
        ),
        ("measures = { cut = \"5 cm\" }", "Cut 2.5-centimetre (1 inch) cubes.", "Cut 5-centimetre (2 inches) cubes."),
        ("measures = { load = \"3 kg\" }", "Load it with 2 kg (4½ lb).", "Load it with 3 kg (6½ lb)."),
        ("to = \"-20 °C\"", "Freeze it to −18 °C (0 °F).", "Freeze it to −20 °C (−4 °F)."),
    ] {
        assert_eq!(mended(step, words), want);
    }
}

#[test]
fn what_is_in_doubt_is_left_with_a_reason() {
    let step = "takes = \"10 min\"\nmeasures = { first = \"20 min\", second = \"22 min\" }";
    let done = mend(&course(step, "It takes 10 minutes, 15 of them spent stirring, or 17 minutes on a low heat."));
    assert!(done.changed.is_empty());
    assert_eq!(done.left.len(), 1);
    assert_eq!(done.left[0].why, "more than one measure could be meant, or only half of a pair could be rewritten");
    // An entity cannot be taken apart.
    let done = mend(&course("", "Pour in 3&frac12; litres of milk."));
    assert!(done.changed.is_empty());
    assert!(done.left[0].found.help.as_ref().is_some_and(|help| help.contains("because markup runs through")));
    // Nobody means four teaspoons by what a pot holds.
    let done = mend(&course("", "Add four teaspoons of it."));
    assert!(done.changed.is_empty() && !done.left.is_empty());
}

#[test]
fn a_figure_that_happens_to_suit_another_measure_is_mended_too() {
    // The second step took 10 minutes and takes 12 now; its words still agree with the first step.
    let step = "takes = \"10 min\"";
    let words = "It takes 10 minutes.\n\n## Wait\n\n```step\nfor = \"12 min\"\n```\n\nWait ten minutes.";
    assert_eq!(mended(step, words), words.replace("ten", "twelve"));
}

#[test]
fn what_may_be_no_business_of_the_recipe_is_led_to_asides_too() {
    // Said once and far from the step it may speak of anything: nothing is proposed.
    let far = "# Curd\n\nTwenty minutes at the bench.\n\n## Wait\n\n```step\ntakes = \"5 min\"\n```\n\nWait.\n";
    let done = mend(&Project::from_files([("course.toml", "title = \"T\"\n"), ("01-curd/lesson.md", far)]));
    assert!(done.changed.is_empty());
    let help = done.left[0].found.help.clone().unwrap();
    assert!(help.starts_with("correct it, or declare it") && help.contains("`asides`"), "{help}");
    let lesson =
        "# Curd\n\nTwenty minutes at the bench.\n\n## Wait\n\n```step\ntakes = \"5 min\"\n```\n\nWait 20 minutes.\n";
    let found =
        check(&Project::from_files([("course.toml", "title = \"T\"\n"), ("01-curd/lesson.md", lesson)])).findings;
    let help: Vec<&str> = found.iter().filter_map(|one| one.help.as_deref()).collect();
    assert_eq!(help.len(), 2, "{help:?}");
    assert!(help[0].starts_with("write `Five minutes` here") && help[0].contains("`asides`"), "{help:?}");
}

#[test]
fn what_was_spoken_is_left_to_the_teacher() {
    let lesson = "# Curd\n\n```recipe\nmakes = \"600 g pressed curd\"\n\n[ingredients]\nmilk = \"5 L whole milk\"\n```\n\n\
                  ## Pour the milk\n\n```step\nadd = [\"milk\"]\n```\n\nPour in 4 litres of milk.\n";
    let captions = "WEBVTT\n\n00:01.000 --> 00:04.000\nnow pour the milk four litres of milk\n";
    let files = [
        ("course.toml", "title = \"T\"\nhome = \"uk\"\n"),
        ("01-curd/lesson.md", lesson),
        ("01-curd/lesson.vtt", captions),
    ];
    let done = mend(&Project::from_files(files));
    assert!(done.project.sources.get(done.project.lessons[0].file).text.contains("Pour in 5 litres of milk."));
    let left: Vec<&str> = done.left.iter().map(|one| one.why).collect();
    assert_eq!(left, ["captions say what was spoken, and `mend` cannot change the recording"]);
}
