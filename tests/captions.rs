//! Captions of the recording: spoken figures are held to the recipe, and steps get their time.

use pottle::check::Binding;
use pottle::diag::emit::Json;
use pottle::diag::{Diagnostic, Diagnostics, Emitter};
use pottle::{Checked, Project, check, read_project, render};
use proptest::prelude::*;

const COURSE: &str = "title = \"A hall\"\nhome = \"uk\"\nlanguage = \"en-GB\"\n";

const LESSON: &str = r##"# Pressed curd

```lesson
asides = ["forty litres a day"]
```

```recipe
makes = "600 g pressed curd"

[ingredients]
milk  = "4 L whole milk"
lemon = "120 mL lemon juice"

[equipment]
pot = { name = "heavy pot", holds = "6 L" }
```

## Heat & stir the milk

```step
add   = ["milk"]
in    = "pot"
to    = "92 °C"
takes = "20–25 min"
```

Stir until it reads 92 °C, for 20 to 25 minutes.

## Pour in the juice

```step
add = { lemon = "two thirds" }
at  = "90 °C"
for = "10 min"
```

Keep it at 90 °C for ten minutes.

## Let it clear

```step
add   = { lemon = "rest" }
takes = "3 min"
```

Allow three minutes.
"##;

/// What is spoken, a line for each cue. A bar ends a line on the screen.
const SPOKEN: &[&str] = &[
    "welcome we make curd my mother made forty litres a day",
    "heat and stir the milk",
    "all four litres|until it reads ninety",
    "two degrees that is a hundred and ninety eight fahrenheit",
    "twenty to twenty five minutes in all",
    "now pour in the juice",
    "eighty mils of lemon juice of the hundred",
    "and twenty and keep it at ninety degrees",
    "for ten minutes it was ninety two before",
    "now let it clear with the last forty",
    "mils of lemon juice it takes three minutes",
];

fn clock(seconds: usize, mark: char) -> String {
    format!("00:{:02}:{:02}{mark}500", seconds / 60, seconds % 60)
}

/// The same words in both formats; cue n begins at n × 10.5 seconds or so.
fn captions(srt: bool, spoken: &[String]) -> String {
    let mark = if srt { ',' } else { '.' };
    let mut text = if srt { String::new() } else { "WEBVTT\n\n".to_owned() };
    for (index, words) in spoken.iter().enumerate() {
        let head = if srt { format!("{}\n", index + 1) } else { String::new() };
        let (from, to) = (clock(index * 10, mark), clock(index * 10 + 9, mark));
        text.push_str(&format!("{head}{from} --> {to}\n{}\n\n", words.replace('|', "\n")));
    }
    text
}

fn spoken(right: &str, wrong: &str) -> Vec<String> {
    let all = SPOKEN.join("\n");
    assert_eq!(all.matches(right).count(), 1, "`{right}` is spoken once");
    all.replace(right, wrong).split('\n').map(str::to_owned).collect()
}

fn project(lesson: &str, files: &[(&str, &str)]) -> Project {
    let own = [("course.toml", COURSE), ("01-curd/lesson.md", lesson)];
    Project::from_files(own.into_iter().chain(files.iter().copied()))
}

fn file_name(srt: bool) -> &'static str {
    if srt { "01-curd/lesson.srt" } else { "01-curd/lesson.vtt" }
}

fn found(project: &Project) -> Vec<Diagnostic> {
    check(project).findings.iter().cloned().collect()
}

fn told(found: &[Diagnostic]) -> String {
    found.iter().map(|one| format!("{}: {} {:?}\n", one.code.name(), one.message, one.notes)).collect()
}

fn heard(checked: &Checked) -> Vec<Option<String>> {
    checked.model.lessons[0].steps.iter().map(|step| step.heard_at.map(|time| time.short())).collect()
}

fn right(srt: bool) -> String {
    captions(srt, &spoken("welcome", "welcome"))
}

#[test]
fn right_captions_have_no_findings_and_every_figure_is_in_the_ledger() {
    for srt in [false, true] {
        let text = right(srt);
        let project = project(LESSON, &[(file_name(srt), &text)]);
        let checked = check(&project);
        let findings: Vec<_> = checked.findings.iter().cloned().collect();
        assert!(findings.is_empty(), "{}", told(&findings));
        let mut entries: Vec<(String, Option<usize>, String)> = Vec::new();
        for entry in &checked.ledger.entries {
            if project.sources.get(entry.mention.span.file).path != file_name(srt) {
                continue;
            }
            let binding = match entry.binding {
                Binding::Measure(id) => checked.model.measure(id).path.clone(),
                Binding::Aside { .. } => "aside".to_owned(),
                Binding::Nothing => "nothing".to_owned(),
            };
            entries.push((entry.mention.text.clone(), entry.step, binding));
        }
        let want = [
            ("forty litres", None, "aside"),
            ("four litres", Some(0), "curd.ingredients.milk"),
            ("ninety two degrees", Some(0), "curd.steps.heat-stir-the-milk.to"),
            ("a hundred and ninety eight fahrenheit", Some(0), "curd.steps.heat-stir-the-milk.to"),
            ("twenty to twenty five minutes", Some(0), "curd.steps.heat-stir-the-milk.takes"),
            ("eighty mils", Some(1), "curd.steps.pour-in-the-juice.add.lemon"),
            ("ninety degrees", Some(1), "curd.steps.pour-in-the-juice.at"),
            ("ten minutes", Some(1), "curd.steps.pour-in-the-juice.for"),
            ("forty mils", Some(2), "curd.ingredients.lemon"),
            ("three minutes", Some(2), "curd.steps.let-it-clear.takes"),
        ];
        let want: Vec<_> = want.map(|(text, step, path)| (text.to_owned(), step, path.to_owned())).into();
        assert_eq!(entries, want);
    }
}

#[test]
fn a_wrong_figure_is_found_in_its_cue_at_its_time() {
    for srt in [false, true] {
        for (right, wrong, cues) in [
            ("four litres|", "five litres|", "cue 3, at 0:00:20.500"),
            ("ninety eight fahrenheit", "eighty nine fahrenheit", "cue 4, at 0:00:30.500"),
            ("twenty to twenty five", "thirty to thirty five", "cue 5, at 0:00:40.500"),
            ("eighty mils", "sixty mils", "cue 7, at 0:01:00.500"),
            ("ten minutes", "fifteen minutes", "cue 9, at 0:01:20.500"),
            ("three minutes", "eight minutes", "cue 11, at 0:01:40.500"),
            // Across two cues, in the second half and in the first.
            ("two degrees", "five degrees", "cue 3, at 0:00:20.500, and cue 4"),
            ("reads ninety", "reads eighty", "cue 3, at 0:00:20.500, and cue 4"),
            ("the last forty", "the last fifty", "cue 10, at 0:01:30.500, and cue 11"),
            ("forty litres a day", "fifty litres a day", "cue 1, at 0:00:00.500"),
        ] {
            let text = captions(srt, &spoken(right, wrong));
            let project = project(LESSON, &[(file_name(srt), &text)]);
            let all = found(&project);
            // Changed words of an aside leave the aside without its words too.
            let all: Vec<_> = all.into_iter().filter(|one| one.code.name() != "stale-aside").collect();
            assert_eq!(all.len(), 1, "{wrong}: {}", told(&all));
            let span = all[0].primary.span;
            assert_eq!(project.sources.get(span.file).path, file_name(srt), "{wrong}");
            let first = wrong.trim_end_matches('|').split(' ').next_back().unwrap();
            let words = project.sources.text(span);
            assert!(words.contains(first) || wrong.contains(words), "{wrong}: {words}");
            assert!(all[0].notes.iter().any(|note| note == cues), "{wrong}: {:?}", all[0].notes);
        }
    }
}

#[test]
fn a_spoken_reading_without_a_unit_is_held_to_the_warmths_of_the_lesson() {
    let said = |right: &str, wrong: &str| {
        let text = captions(false, &spoken(right, wrong));
        let project = project(LESSON, &[(file_name(false), &text)]);
        let all = found(&project);
        all.iter().map(|one| (one.code.name(), project.sources.text(one.primary.span).to_owned())).collect::<Vec<_>>()
    };
    let reads = "reads ninety\ntwo degrees that is";
    for right in [
        "reads 92 and\nthat is",
        "reads ninety two\nand then that is",
        "says about 198 now\nthat is",
        "reaches ninety two for\nnow that is",
        // What is counted is no reading, and this program cannot know what goes on.
        "makes to forty pieces\nthat is",
        "we count to forty and\nthat is",
        "come to page 82 and\nthat is",
        "look at 82 jars\nthat is",
        "be done at eight and\nthat is",
    ] {
        assert_eq!(said(reads, right), [], "{right}");
    }
    for (wrong, figure) in [
        ("reads 82 and\nthat is", "82"),
        ("reads eighty two\nand then that is", "eighty two"),
        ("says about 189 now\nthat is", "189"),
        ("goes to 82.\nthat is", "82"),
        ("heat it till it is at eighty two for\nnow that is", "eighty two"),
    ] {
        assert_eq!(said(reads, wrong), [("no-unit", figure.to_owned())], "{wrong}");
    }
    // Nothing warm is spoken of.
    let all = format!("all four litres|until it {reads}");
    assert_eq!(said(&all, "all four litres|they came at thirty and left\nthat is"), []);
    // A step that is not warm, and words that the author has set aside.
    assert_eq!(said("it takes three minutes", "look at 82 and wait it takes three minutes"), []);
    let lesson = LESSON.replace("asides = [", "asides = [\"at 82 and\", ");
    let text = captions(false, &spoken(reads, "look at 82 and\nthat is"));
    assert_eq!(told(&found(&project(&lesson, &[(file_name(false), &text)]))), "");
}

#[test]
fn a_finding_points_into_the_file_as_it_lies_on_disk() {
    let text = captions(false, &spoken("two degrees", "five degrees"));
    let raw = format!("\u{feff}{}", text.replace('\n', "\r\n"));
    let project = project(LESSON, &[("01-curd/lesson.vtt", &raw)]);
    let checked = check(&project);
    let mut out = Vec::new();
    let mut json = Json::new(&mut out);
    checked.findings.iter().for_each(|one| json.emit(&project.sources, one).unwrap());
    json.finish().unwrap();
    let report: serde_json::Value = serde_json::from_slice(&out).unwrap();
    let one = &report["findings"][0];
    let line = |words: &str| raw.lines().position(|line| line.contains(words)).unwrap() + 1;
    assert_eq!(one["file"], "01-curd/lesson.vtt");
    assert_eq!(one["line"], line("until it reads ninety"));
    assert_eq!(one["end_line"], line("five degrees"));
    let entry = checked.ledger.entries.iter().find(|entry| entry.mention.text == "ninety five degrees").unwrap();
    let file = project.sources.get(entry.mention.span.file);
    let disk = file.offset_on_disk(entry.mention.span.start)..file.offset_on_disk(entry.mention.span.end);
    let words = &raw[disk];
    assert!(words.starts_with("ninety\r\n") && words.ends_with("five degrees"), "{words}");
    assert!(entry.step == Some(0) && !entry.agrees);
}

#[test]
fn a_spoken_word_about_another_step_is_only_a_note_but_the_prose_must_state_its_own() {
    // Spoken: the first step's temperature in the second, and nothing of the second's own.
    let text =
        captions(false, &spoken("and twenty and keep it at ninety degrees", "and twenty we had ninety two degrees"));
    let checked = check(&project(LESSON, &[("01-curd/lesson.vtt", &text)]));
    let notes: Vec<_> = checked.findings.iter().cloned().collect();
    assert_eq!(notes.iter().map(|one| one.code.name()).collect::<Vec<_>>(), ["not-spoken"], "{}", told(&notes));
    assert_eq!(notes[0].notes, ["cue 8, at 0:01:10.500"]);
    assert!(checked.course.is_some(), "a note does not hold up publishing");
    // Beside the step's own figure another step's is nothing to speak of.
    let text = captions(false, &spoken("for ten minutes it was", "for ten minutes not three minutes it was"));
    assert!(found(&project(LESSON, &[("01-curd/lesson.vtt", &text)])).is_empty());
    // And what is spoken does not help the prose out.
    let lesson = LESSON.replace("Keep it at 90 °C for", "Keep it at 92 °C for");
    let all = found(&project(&lesson, &[("01-curd/lesson.vtt", &right(false))]));
    assert_eq!(all.len(), 1, "{}", told(&all));
    assert!(["not-stated", "disagrees"].contains(&all[0].code.name()), "{}", told(&all));
}

#[test]
fn steps_are_heard_where_their_headings_are_spoken() {
    let text = right(false);
    let checked = check(&project(LESSON, &[("01-curd/lesson.vtt", &text)]));
    assert_eq!(heard(&checked), [Some("0:10".to_owned()), Some("0:50".to_owned()), Some("1:30".to_owned())]);
    // A welcome that announces a later step does not begin it, and a step that is never named has no time.
    let words = ["tonight we pour in the juice and let it clear", "hello", "hello", "hello"].map(str::to_owned);
    let mut all = words.to_vec();
    all.extend(spoken("heat and stir the milk", "here we go"));
    let checked = check(&project(LESSON, &[("01-curd/lesson.vtt", &captions(false, &all))]));
    assert_eq!(heard(&checked), [None, Some("1:30".to_owned()), Some("2:10".to_owned())]);
}

#[test]
fn a_time_that_the_author_fixes_wins() {
    let text = right(false);
    let fixed = |time: &str| LESSON.replace("at  = \"90 °C\"", &format!("at  = \"90 °C\"\nheard-at = \"{time}\""));
    let checked = check(&project(&fixed("0:45"), &[("01-curd/lesson.vtt", &text)]));
    assert!(checked.findings.is_empty(), "{:?}", checked.findings);
    assert_eq!(heard(&checked)[1].as_deref(), Some("0:45"));
    // What is found gives way to what is fixed: the first step is spoken of at 0:10 only.
    let checked = check(&project(&fixed("0:00:05"), &[("01-curd/lesson.vtt", &text)]));
    assert_eq!(heard(&checked), [None, Some("0:05".to_owned()), Some("1:30".to_owned())]);
    // Without captions it stands by itself.
    assert_eq!(heard(&check(&project(&fixed("0:45"), &[]))), [None, Some("0:45".to_owned()), None]);
}

#[test]
fn a_fixed_time_must_be_a_time_in_order_and_in_the_recording() {
    let text = right(true);
    let fixed = |first: &str, second: &str| {
        LESSON
            .replace("at  = \"90 °C\"", &format!("at  = \"90 °C\"\nheard-at = \"{second}\""))
            .replace("takes = \"20–25 min\"", &format!("takes = \"20–25 min\"\nheard-at = \"{first}\""))
    };
    for (first, second, code, words) in [
        ("0:10", "9:00", "bad-chapter", "the captions end at 1:49"),
        ("0:50", "0:20", "bad-chapter", "“Pour in the juice” is heard at 0:20"),
        ("0:50", "0:50", "bad-chapter", "“Pour in the juice” is heard at 0:50"),
        ("0:10", "50 s", "wrong-type", "`50 s` is not a time in the recording"),
        ("0:10", "0:75", "wrong-type", "`0:75` is not a time in the recording"),
    ] {
        let all = found(&project(&fixed(first, second), &[("01-curd/lesson.srt", &text)]));
        assert_eq!(all.len(), 1, "{}", told(&all));
        assert_eq!(all[0].code.name(), code);
        assert!(all[0].message.contains(words), "{}", all[0].message);
    }
}

/// Pages and files of a course that has nothing wrong with it.
fn site(project: &Project) -> std::collections::BTreeMap<String, String> {
    let checked = check(project);
    let findings: Vec<_> = checked.findings.iter().cloned().collect();
    let course = checked.course.unwrap_or_else(|| panic!("{}", told(&findings)));
    let site = render(project, &course).unwrap();
    site.files().iter().map(|(path, bytes)| (path.clone(), String::from_utf8_lossy(bytes).into_owned())).collect()
}

#[test]
fn a_site_holds_the_captions_and_the_chapters() {
    let raw = format!("\u{feff}{}", right(false).replace('\n', "\r\n"));
    let lesson = LESSON.replace("## Pour in the juice", "## Pour in the juice \\--> \\<now\\>");
    let pages = site(&project(
        &lesson,
        &[
            ("01-curd/lesson.vtt", raw.as_str()),
            ("01-curd/lesson.fr.srt", "1\n00:00:01,000 --> 00:00:02,000\n4 L de lait\n"),
            ("01-curd/take two.fr.srt", "1\n00:00:01,000 --> 00:00:02,000\nbonjour\n"),
            ("01-curd/chapters.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\nhello\n"),
        ],
    ));
    let names: Vec<_> = pages.keys().filter(|path| path.starts_with("captions/")).collect();
    assert_eq!(
        names,
        [
            "captions/curd.chapters-2.vtt",
            "captions/curd.chapters.vtt",
            "captions/curd.fr.srt",
            "captions/curd.take-two-fr.srt",
            "captions/curd.vtt"
        ]
    );
    assert_eq!(pages["captions/curd.vtt"], right(false));
    assert_eq!(
        pages["captions/curd.chapters.vtt"],
        "WEBVTT\n\n1\n00:00:10.500 --> 00:00:50.500\nHeat &amp; stir the milk\n\n2\n00:00:50.500 --> 00:01:30.500\n\
         Pour in the juice --&gt; &lt;now&gt;\n\n3\n00:01:30.500 --> 00:01:49.500\nLet it clear\n"
    );
    let page = &pages["curd.html"];
    assert!(page.contains("<dt>Heard at<dd><time datetime=PT50.5S>0:50</time>"), "{page}");
    assert!(page.contains("href=captions/curd.chapters.vtt>"));
    assert!(!page.contains("#t="));
}

#[test]
fn the_chapters_of_a_site_are_captions_that_can_be_read() {
    let pages = site(&project(LESSON, &[("01-curd/lesson.vtt", &right(false))]));
    let chapters = &pages["captions/curd.chapters.vtt"];
    let again = check(&project(LESSON, &[("01-curd/lesson.vtt", chapters)]));
    let codes: Vec<_> = again.findings.iter().map(|one| one.code.name()).collect();
    assert_eq!(codes, ["stale-aside"], "the chapters have no faults of their own");
    assert_eq!(
        again.model.lessons[0].captions[0].captions.words.text,
        "Heat & stir the milk Pour in the juice Let it clear"
    );
}

#[test]
fn a_page_links_into_the_recording() {
    let text = right(false);
    let with = |address: &str| LESSON.replace("asides = ", &format!("recording = \"{address}\"\nasides = "));
    for (address, href) in [
        ("https://example.org/c?a=1&b=2", "https://example.org/c?a=1&amp;b=2#t=50.5"),
        ("../film/my curd.mp4", "../film/my%20curd.mp4#t=50.5"),
        ("\\\"><b>.mp4", "%22%3E%3Cb%3E.mp4#t=50.5"),
    ] {
        let page = site(&project(&with(address), &[("01-curd/lesson.vtt", &text)]))["curd.html"].replace("&#x2F;", "/");
        assert!(page.contains(&format!("<dt>Heard at<dd><a href=\"{href}\"><time ")), "{address}: {page}");
        assert!(!page.contains("<b>.mp4"));
    }
    for address in
        ["javascript:alert(1)", "//host/x.mp4", "/x.mp4", "https://example.org/a b", "c.mp4#t=3", "ftp://x/y"]
    {
        let all = found(&project(&with(address), &[("01-curd/lesson.vtt", &text)]));
        assert_eq!(all.iter().map(|one| one.code.name()).collect::<Vec<_>>(), ["broken-reference"], "{address}");
    }
}

#[test]
fn captions_in_a_broken_encoding_give_one_finding() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("01-curd")).unwrap();
    std::fs::write(folder.path().join("course.toml"), COURSE).unwrap();
    std::fs::write(folder.path().join("01-curd/lesson.md"), LESSON).unwrap();
    let mut bytes = right(false).into_bytes();
    bytes.extend(b"\n00:09:00.000 --> 00:09:09.000\nat 92 \xb0C\n");
    std::fs::write(folder.path().join("01-curd/lesson.vtt"), bytes).unwrap();
    let all = found(&read_project(folder.path()).unwrap());
    assert_eq!(all.iter().map(|one| one.code.name()).collect::<Vec<_>>(), ["not-utf8"], "{}", told(&all));
}

#[test]
fn every_step_of_the_demo_course_that_is_spoken_of_is_heard() {
    let project =
        read_project(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall")).unwrap();
    let checked = check(&project);
    let with_captions: Vec<_> = checked.model.lessons.iter().filter(|lesson| !lesson.captions.is_empty()).collect();
    assert!(with_captions.len() >= 2);
    for lesson in with_captions {
        for step in &lesson.steps {
            assert!(step.heard_at.is_some(), "{} in {}", step.title, lesson.slug);
        }
        let spoken = lesson.captions[0].captions.file;
        let entries = checked.ledger.entries.iter().filter(|entry| entry.mention.span.file == spoken);
        let across = entries.filter(|entry| lesson.captions[0].captions.cues_at(entry.mention.span).len() > 1);
        assert!(across.count() > 0, "a figure runs across two cues in {}", lesson.slug);
    }
}

/// Scraps that caption files are made of, and look-alikes of them.
fn scraps() -> impl Strategy<Value = String> {
    let scrap = prop_oneof![
        Just("WEBVTT\n\n".to_owned()),
        Just("NOTE x\n\n".to_owned()),
        Just("\n\n".to_owned()),
        Just("\r\n".to_owned()),
        Just("\r".to_owned()),
        Just("\u{feff}".to_owned()),
        Just("00:01.000 --> 00:02.000 line:1\n".to_owned()),
        Just("1\n00:00:01,000 --> 00:00:02,000\n".to_owned()),
        "[0-9]{1,3}:[0-9]{2}[.,][0-9]{1,4} -->[ \t]?[0-9:.,]{0,9}\n?",
        Just("<v Ann>".to_owned()),
        Just("</c>".to_owned()),
        Just("{\\an8}".to_owned()),
        "&(#[x0-9a-f]{0,7}|[a-z]{0,6})?;?",
        "(heat|stir|pour|juice|clear|milk|ninety|two|degrees|litres|minutes|half|a|and|to) ",
        "[0-9½°–<>&;. ]{1,6}",
        "[\\PC\n]{0,10}",
    ];
    proptest::collection::vec(scrap, 0..30).prop_map(|scraps| scraps.concat())
}

fn places_are_inside(project: &Project, found: &Diagnostics) {
    for one in found.iter() {
        let edits = one.suggestions.iter().map(|suggestion| suggestion.edit.span);
        for span in std::iter::once(one.primary.span).chain(one.related.iter().map(|label| label.span)).chain(edits) {
            assert!(project.sources.get(span.file).text.get(span.range()).is_some(), "{span:?} of {one:?}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 80, ..ProptestConfig::default() })]

    #[test]
    fn no_caption_text_panics_and_every_place_is_in_its_file(text in scraps(), srt: bool, head: bool) {
        let text = if head && !srt { format!("WEBVTT\n\n{text}") } else { text };
        let project = project(LESSON, &[(file_name(srt), &text)]);
        let checked = check(&project);
        places_are_inside(&project, &checked.findings);
        for spoken in &checked.model.lessons[0].captions {
            let words = &spoken.captions.words;
            for (at, letter) in words.text.char_indices() {
                let home = words.home(at..at + letter.len_utf8());
                prop_assert!(project.sources.get(home.file).text.get(home.range()).is_some());
            }
            let joined: String = spoken.stretches.iter().map(|stretch| stretch.run.text.text.as_str()).collect();
            prop_assert!(joined.len() <= words.text.len());
        }
        let times: Vec<_> = checked.model.lessons[0].steps.iter().filter_map(|step| step.heard_at).collect();
        prop_assert!(times.windows(2).all(|pair| pair[0] < pair[1]));
        if let Some(course) = &checked.course {
            prop_assert!(render(&project, course).is_ok());
        }
        prop_assert_eq!(check(&project).findings, checked.findings);
    }
}
