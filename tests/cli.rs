//! The commands as a teacher types them: exit status, what goes to which stream, what is written and what is not.

use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::{Duration, Instant};

mod synthetic;

/// A folder to work in, thrown away at the end.
struct Room(tempfile::TempDir);

impl Room {
    fn new() -> Room {
        Room(tempfile::tempdir().unwrap())
    }

    /// With the course that `begin` makes, in `course`.
    fn as_begun() -> Room {
        let room = Room::new();
        assert_eq!(code(&room.pottle(&["begin", "course"])), 0);
        room
    }

    /// The same with its first lesson alone, and without a class.
    fn with_course() -> Room {
        let room = Room::as_begun();
        fs::remove_dir_all(room.path("course/02-crisp-crumbs")).unwrap();
        room.without_class();
        room
    }

    fn without_class(&self) {
        let path = self.path("course/course.toml");
        let settings = fs::read_to_string(&path).unwrap();
        let (kept, _) = settings.split_once("\n# Your class").expect("the class stands last");
        fs::write(path, kept).unwrap();
    }

    fn path(&self, below: &str) -> PathBuf {
        self.0.path().join(below)
    }

    fn pottle(&self, args: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_pottle")).args(args).current_dir(self.0.path()).output().unwrap()
    }

    /// What a terminal shows when a command runs on it, with every return to the start of a line and every colour.
    fn on_a_terminal(&self, args: &[&str], settings: &[(&str, &str)]) -> (i32, String) {
        let line = [&[env!("CARGO_BIN_EXE_pottle")], args].concat().join(" ");
        let mut script = Command::new("script");
        script.args(["--quiet", "--return", "--echo", "never", "--command", &line, "/dev/null"]);
        script.current_dir(self.0.path()).env_remove("NO_COLOR").env("TERM", "xterm-256color");
        script.envs(settings.iter().copied());
        let output = script.output().expect("util-linux is part of every Debian");
        (code(&output), stdout(&output).replace("\r\n", "\n"))
    }

    /// Changes words of the lesson that must be there.
    fn rewrite(&self, from: &str, to: &str) {
        let path = self.path("course/01-first-lesson/lesson.md");
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.contains(from), "{from}");
        fs::write(path, text.replace(from, to)).unwrap();
    }

    fn break_salt(&self) {
        self.rewrite("8 g of salt", "80 g of salt");
    }
}

fn code(output: &Output) -> i32 {
    output.status.code().expect("pottle ends by itself")
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| panic!("{error}: {}", stdout(output)))
}

/// Every file below a folder with its bytes.
fn tree(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let walk = walkdir::WalkDir::new(folder).sort_by_file_name();
    walk.into_iter()
        .map(Result::unwrap)
        .filter(|entry| entry.file_type().is_file())
        .map(|entry| (entry.path().to_string_lossy().into_owned(), fs::read(entry.path()).unwrap()))
        .collect()
}

#[test]
fn help_and_version_are_answers_and_go_to_the_output() {
    let room = Room::new();
    let version = room.pottle(&["--version"]);
    assert_eq!((code(&version), stdout(&version).as_str()), (0, concat!("pottle ", env!("CARGO_PKG_VERSION"), "\n")));
    let help = room.pottle(&["--help"]);
    assert_eq!(code(&help), 0);
    for command in [
        "proof",
        "mend",
        "explain",
        "publish",
        "rehearse",
        "cards",
        "provision",
        "ledger",
        "begin",
        "completions",
        "manual",
    ] {
        assert!(stdout(&help).contains(&format!("  {command} ")), "{command}");
        assert_eq!(code(&room.pottle(&[command, "--help"])), 0);
    }
    assert!(help.stderr.is_empty());
}

#[test]
fn what_cannot_be_understood_ends_with_two() {
    let room = Room::new();
    for args in [&[][..], &["bake"], &["publish"], &["proof", "--report", "song"], &["ledger", "--report", "short"]] {
        let output = room.pottle(args);
        assert_eq!(code(&output), 2, "{args:?}");
        assert!(output.stdout.is_empty() && !output.stderr.is_empty(), "{args:?}");
        let told = stderr(&output);
        assert!(args.is_empty() || told.starts_with("pottle: ") && told.ends_with("--help` says more.\n"), "{told}");
    }
    assert!(stderr(&room.pottle(&["publish"])).contains("\n  pottle publish --to <FOLDER> [COURSE]\n"));
    assert!(stderr(&room.pottle(&["prof"])).contains("did you mean `proof`?"));
    assert!(stderr(&room.pottle(&["proof", "my", "course"])).contains("between quotes"));
}

#[test]
fn a_folder_that_is_no_course_ends_with_two_and_says_what_to_do() {
    let room = Room::new();
    for args in [
        &["proof"][..],
        &["mend"],
        &["ledger"],
        &["rehearse"],
        &["publish", "--to", "site"],
        &["proof", ".", "--report", "json"],
    ] {
        let output = room.pottle(args);
        assert_eq!(code(&output), 2, "{args:?}");
        assert!(output.stdout.is_empty(), "{args:?}");
        assert!(stderr(&output).contains("pottle begin"), "{}", stderr(&output));
    }
    assert!(stderr(&room.pottle(&["proof", "nowhere"])).contains("there is no folder `nowhere`"));
    assert!(tree(&room.path("")).is_empty());
}

#[test]
fn begin_makes_a_course_and_never_writes_over_one() {
    let room = Room::as_begun();
    for file in ["course.toml", "glossary.md", "pantry.toml", "01-first-lesson/lesson.md", "02-crisp-crumbs/lesson.md"]
    {
        assert!(room.path("course").join(file).is_file(), "{file}");
    }
    room.break_salt();
    let before = tree(&room.path(""));
    let again = room.pottle(&["begin", "course"]);
    assert_eq!(code(&again), 2);
    assert!(again.stdout.is_empty());
    assert!(stderr(&again).contains("already holds files"), "{}", stderr(&again));
    assert_eq!(tree(&room.path("")), before);
    fs::create_dir(room.path("empty")).unwrap();
    assert_eq!(code(&room.pottle(&["begin", "empty"])), 0);
}

#[test]
fn begin_says_what_to_do_next() {
    let room = Room::new();
    let output = room.pottle(&["begin", "evenings/"]);
    assert!(stdout(&output).contains("pottle publish evenings --to evenings-site"), "{}", stdout(&output));
    assert!(output.stderr.is_empty());
}

#[test]
fn a_target_in_or_around_the_course_is_refused() {
    let room = Room::with_course();
    let before = tree(&room.path(""));
    for target in ["course", "course/site", "course/01-first-lesson", ".", "./course/../course/deep/site"] {
        let output = room.pottle(&["publish", "course", "--to", target]);
        assert_eq!(code(&output), 2, "{target}");
        assert!(stderr(&output).contains("beside the course"), "{target}: {}", stderr(&output));
    }
    assert_eq!(tree(&room.path("")), before);
}

#[test]
fn a_fresh_course_proofs_clean_and_publishes() {
    let room = Room::with_course();
    let proof = room.pottle(&["proof", "course"]);
    assert_eq!(code(&proof), 0, "{}", stdout(&proof));
    assert!(stdout(&proof).contains("1 lesson,") && proof.stderr.is_empty(), "{}", stdout(&proof));
    let publish = room.pottle(&["publish", "course", "--to", "course-site"]);
    assert_eq!(code(&publish), 0, "{}", stderr(&publish));
    assert!(stdout(&publish).starts_with("Published 1 lesson, "), "{}", stdout(&publish));
    assert!(stdout(&publish).ends_with("Open course-site/index.html\n"), "{}", stdout(&publish));
    assert!(room.path("course-site/index.html").is_file());
    assert!(room.path("course-site/.pottle-site").is_file());
}

/// The kind of each block of a lesson or a glossary, with what stands in it.
fn blocks(text: &str) -> Vec<(String, String)> {
    let fenced = text.split("\n```").skip(1).step_by(2);
    fenced.filter_map(|block| block.split_once('\n')).map(|(kind, body)| (kind.to_owned(), body.to_owned())).collect()
}

/// The keys that stand in a block, in tables as well as on lines of their own.
fn keys(body: &str) -> Vec<String> {
    let lines = body.lines().filter(|line| !line.starts_with('#'));
    let before = lines.flat_map(|line| line.split('=').map(|part| part.trim_end().to_owned()).collect::<Vec<_>>());
    before.filter_map(|part| part.rsplit([' ', '{', '[', ',']).next().map(str::to_owned)).collect()
}

#[test]
fn begin_shows_each_kind_of_block_and_each_key_that_matters() {
    let room = Room::as_begun();
    let read = |path: &str| fs::read_to_string(room.path("course").join(path)).unwrap();
    let texts = ["01-first-lesson/lesson.md", "02-crisp-crumbs/lesson.md", "glossary.md"].map(read);
    let all: Vec<(String, String)> = texts.iter().flat_map(|text| blocks(text)).collect();
    for (kind, expected) in [
        ("lesson", &["summary", "learn", "session", "asides"][..]),
        (
            "recipe",
            &[
                "makes", "leaves", "kind", "scale-by", "keeps", "where", "for", "pack", "from", "instead", "name",
                "holds",
            ],
        ),
        (
            "step",
            &[
                "id", "add", "in", "to", "at", "for", "takes", "hands", "until", "while", "after", "measures", "way",
                "salt",
            ],
        ),
        ("rescue", &["sign", "do"]),
        ("sum", &["of", "flour", "shares"]),
        ("term", &["also"]),
    ] {
        let found: Vec<String> =
            all.iter().filter(|(block, _)| block == kind).flat_map(|(_, body)| keys(body)).collect();
        for key in expected {
            assert!(found.iter().any(|found| found == key), "{kind}: {key} in {found:?}");
        }
    }
    assert!(all.iter().all(|(kind, _)| ["lesson", "recipe", "step", "rescue", "sum", "term"].contains(&kind.as_str())));
    assert!(texts[0].contains("](term:") && texts[1].contains("](crumbs.svg \""));
    assert!(texts[0].contains("cold\"") && texts[1].contains("salt = \"half\""), "a note and a part");
    assert!(read("course.toml").contains("\n[class]\n") && read("pantry.toml").contains("\n[[ingredient]]\n"));
    // Short enough to be read before supper, and no line runs out of a window.
    let lines = texts.iter().map(|text| text.lines().count()).sum::<usize>();
    assert!(lines < 250, "{lines}");
    for text in &texts {
        let mut lines = text.lines().filter(|line| !line.starts_with("!["));
        assert!(lines.all(|line| line.chars().count() <= 125), "{text}");
    }
}

#[test]
fn what_begin_makes_has_no_finding_and_publishes_without_a_word() {
    let room = Room::as_begun();
    let proof = room.pottle(&["proof", "course", "--report", "json"]);
    assert_eq!((code(&proof), stdout(&proof).as_str()), (0, "{\"findings\":[]}\n"));
    let publish = room.pottle(&["publish", "course", "--to", "site"]);
    assert_eq!((code(&publish), stderr(&publish).as_str()), (0, ""));
    for file in ["class-plan.html", "captions/crisp-crumbs.vtt", "pictures/crisp-crumbs/crumbs.svg", "sums.js"] {
        assert!(room.path("site").join(file).is_file(), "{file}");
    }
    let first = fs::read_to_string(room.path("site/first-lesson.html")).unwrap();
    assert!(
        first.contains("href=crisp-crumbs.html") || first.contains("href=\"crisp-crumbs.html\""),
        "who takes the ends"
    );
}

#[test]
fn what_begin_says_may_be_deleted_leaves_no_finding() {
    // What a comment says may go: a file or folder, or the lines of one from a mark to another.
    let parts = [
        ("02-crisp-crumbs", None),
        ("02-crisp-crumbs/lesson.vtt", None),
        ("course.toml", Some(("\n# Your class", "\u{0}"))),
        ("02-crisp-crumbs/lesson.md", Some(("```sum", "```\n"))),
        ("02-crisp-crumbs/lesson.md", Some(("![Three", "soft.\")\n"))),
    ];
    let after_the_second_lesson = [
        ("pantry.toml", Some(("[[ingredient]]", "# A thing"))),
        ("glossary.md", Some(("## golden crumbs", "## hollow"))),
        ("01-first-lesson/lesson.md", Some(("leaves   =", "\n"))),
    ];
    let delete = |room: &Room, (path, lines): (&str, Option<(&str, &str)>)| {
        let whole = room.path("course").join(path);
        let Some((from, to)) = lines else {
            let gone = if whole.is_dir() { fs::remove_dir_all(&whole) } else { fs::remove_file(&whole) };
            return gone.unwrap();
        };
        let text = fs::read_to_string(&whole).unwrap();
        let start = text.find(from).unwrap_or_else(|| panic!("{from} in {path}"));
        let inside = start + from.len();
        let end =
            text[inside..].find(to).map_or(text.len(), |end| inside + end + usize::from(to.ends_with('\n')) * to.len());
        fs::write(whole, [&text[..start], &text[end..]].concat()).unwrap();
    };
    let clean = |room: &Room, what: &str| {
        let proof = room.pottle(&["proof", "course", "--report", "short"]);
        assert_eq!((code(&proof), stdout(&proof).as_str()), (0, ""), "{what}");
    };
    for part in parts {
        let room = Room::as_begun();
        delete(&room, part);
        clean(&room, part.0);
    }
    let room = Room::as_begun();
    delete(&room, parts[0]);
    for part in after_the_second_lesson {
        delete(&room, part);
    }
    // Its words have gone with it.
    room.rewrite(" Keep both bread ends, 100–120 g, for the next lesson.", "");
    clean(&room, "the second lesson and all that it needs");
}

#[test]
fn without_a_name_the_course_is_content_or_the_current_folder() {
    let room = Room::with_course();
    fs::rename(room.path("course"), room.path("content")).unwrap();
    assert_eq!(code(&room.pottle(&["proof"])), 0);
    let inside = Command::new(env!("CARGO_BIN_EXE_pottle")).arg("proof").current_dir(room.path("content")).output();
    assert_eq!(code(&inside.unwrap()), 0);
}

#[test]
fn a_clean_course_gives_an_empty_json_report() {
    let room = Room::with_course();
    let proof = room.pottle(&["proof", "course", "--report", "json"]);
    assert_eq!((code(&proof), stdout(&proof).as_str()), (0, "{\"findings\":[]}\n"));
    let publish = room.pottle(&["publish", "course", "--to", "site", "--report", "json"]);
    assert_eq!((code(&publish), stdout(&publish).as_str()), (0, "{\"findings\":[]}\n"));
    assert!(stderr(&publish).starts_with("Published 1 lesson"), "{}", stderr(&publish));
}

#[test]
fn proof_shows_findings_on_the_output_and_ends_with_one() {
    let room = Room::with_course();
    room.break_salt();
    let human = room.pottle(&["proof", "course"]);
    assert_eq!(code(&human), 1);
    assert!(human.stderr.is_empty(), "{}", stderr(&human));
    let text = stdout(&human);
    assert!(text.contains("error[disagrees]: "), "{text}");
    assert!(text.contains("--> course/01-first-lesson/lesson.md:"), "{text}");
    assert!(text.ends_with("\n1 error.\n"), "{text}");
    assert!(!text.contains('\u{1b}'), "no colours in a pipe");
    let short = room.pottle(&["proof", "course", "--report", "short"]);
    assert_eq!(code(&short), 1);
    assert_eq!(stdout(&short).lines().count(), 1, "{}", stdout(&short));
    assert!(stdout(&short).starts_with("course/01-first-lesson/lesson.md:"), "{}", stdout(&short));
}

#[test]
fn json_findings_point_at_the_very_words() {
    let room = Room::with_course();
    room.break_salt();
    let output = room.pottle(&["proof", "course", "--report", "json"]);
    assert_eq!(code(&output), 1);
    let report = json(&output);
    let found = &report["findings"][0];
    let mut keys: Vec<&str> = found.as_object().unwrap().keys().map(String::as_str).collect();
    keys.sort_unstable();
    let promised = ["code", "column", "edits", "end_column", "end_line", "file", "help", "line", "message", "severity"];
    assert_eq!(keys, promised);
    assert_eq!(found["code"], "disagrees");
    assert_eq!(found["severity"], "error");
    assert_eq!(found["file"], "01-first-lesson/lesson.md");
    let text = fs::read_to_string(room.path("course/01-first-lesson/lesson.md")).unwrap();
    let line = text.lines().nth(found["line"].as_u64().unwrap() as usize - 1).unwrap();
    let words: String = line.chars().skip(found["column"].as_u64().unwrap() as usize - 1).collect();
    assert!(words.starts_with("80 g"), "{words}");
}

#[test]
fn publish_writes_nothing_while_there_is_an_error() {
    let room = Room::with_course();
    room.break_salt();
    let output = room.pottle(&["publish", "course", "--to", "new/site"]);
    assert_eq!(code(&output), 1);
    assert!(output.stdout.is_empty(), "{}", stdout(&output));
    let text = stderr(&output);
    assert!(text.contains("error[disagrees]: ") && text.ends_with("\n1 error; nothing was published.\n"), "{text}");
    assert!(!room.path("new").exists());
    let as_json = room.pottle(&["publish", "course", "--to", "site", "--report", "json"]);
    assert_eq!(code(&as_json), 1);
    assert_eq!(json(&as_json)["findings"].as_array().map(Vec::len), Some(1));
    assert!(!room.path("site").exists());
}

#[test]
fn an_error_leaves_the_last_site_as_it_was() {
    let room = Room::with_course();
    assert_eq!(code(&room.pottle(&["publish", "course", "--to", "site"])), 0);
    let before = tree(&room.path("site"));
    room.break_salt();
    assert_eq!(code(&room.pottle(&["publish", "course", "--to", "site"])), 1);
    assert_eq!(tree(&room.path("site")), before);
}

#[test]
fn a_folder_with_a_strangers_files_is_refused_by_name() {
    let room = Room::with_course();
    fs::create_dir(room.path("site")).unwrap();
    fs::write(room.path("site/thesis.txt"), "years of work").unwrap();
    let before = tree(&room.path(""));
    let output = room.pottle(&["publish", "course", "--to", "site"]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("`thesis.txt`"), "{}", stderr(&output));
    assert_eq!(tree(&room.path("")), before);
}

#[test]
fn a_course_without_lessons_is_an_error_at_its_course_file() {
    let room = Room::with_course();
    fs::remove_dir_all(room.path("course/01-first-lesson")).unwrap();
    let output = room.pottle(&["proof", "course", "--report", "json"]);
    assert_eq!(code(&output), 1);
    let report = json(&output);
    assert_eq!(report["findings"].as_array().map(Vec::len), Some(1), "{report}");
    assert_eq!(report["findings"][0]["code"], "no-lessons");
    assert_eq!(report["findings"][0]["file"], "course.toml");
}

#[test]
fn a_lesson_that_is_not_utf8_gives_one_finding() {
    let room = Room::with_course();
    fs::write(room.path("course/01-first-lesson/lesson.md"), b"# Br\xf6d\n\nHeat to 92 \xb0C.\n").unwrap();
    let output = room.pottle(&["proof", "course", "--report", "short"]);
    assert_eq!(code(&output), 1);
    let text = stdout(&output);
    assert!(text.starts_with("course/01-first-lesson/lesson.md:1:5: error[not-utf8]: "), "{text}");
    assert_eq!(text.lines().count(), 1, "{text}");
}

#[test]
fn the_ledger_lists_every_mention_where_it_stands_on_disk() {
    let room = Room::with_course();
    room.rewrite("\n", "\r\n");
    let output = room.pottle(&["ledger", "course", "--report", "json"]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let report = json(&output);
    let mentions = report["mentions"].as_array().unwrap();
    let bytes = fs::read(room.path("course/01-first-lesson/lesson.md")).unwrap();
    for mention in mentions {
        let mut keys: Vec<&str> = mention.as_object().unwrap().keys().map(String::as_str).collect();
        keys.sort_unstable();
        let promised = ["agrees", "binding", "bound", "end", "file", "high", "kind", "low", "start", "text"];
        assert_eq!(keys, promised);
        let range = mention["start"].as_u64().unwrap() as usize..mention["end"].as_u64().unwrap() as usize;
        assert_eq!(std::str::from_utf8(&bytes[range]).unwrap(), mention["text"].as_str().unwrap());
        assert_eq!(mention["agrees"], true);
    }
    let of = |text: &str| mentions.iter().find(|mention| mention["text"] == text).unwrap_or_else(|| panic!("{text}"));
    let salt = of("8 g");
    assert_eq!((salt["kind"].as_str(), salt["low"].as_u64()), (Some("mass"), Some(8)));
    let bake = of("35 to 40 minutes");
    assert_eq!((bake["low"].as_u64(), bake["high"].as_u64()), (Some(2100), Some(2400)));
    assert_eq!(bake["binding"], "first-lesson.steps.bake.takes");
    let inch = of("1 in");
    assert_eq!(inch["low"].as_f64(), Some(25.4));
}

#[test]
fn the_ledger_is_complete_also_while_there_are_findings() {
    let room = Room::with_course();
    let clean = json(&room.pottle(&["ledger", "course", "--report", "json"]));
    room.break_salt();
    let output = room.pottle(&["ledger", "course", "--report", "json"]);
    assert_eq!(code(&output), 1);
    let report = json(&output);
    assert_eq!(report["mentions"].as_array().map(Vec::len), clean["mentions"].as_array().map(Vec::len));
    let apart: Vec<&Value> =
        report["mentions"].as_array().unwrap().iter().filter(|mention| mention["agrees"] == false).collect();
    assert_eq!(apart.len(), 1, "{apart:?}");
    assert_eq!(apart[0]["text"], "80 g");
    let human = room.pottle(&["ledger", "course"]);
    assert_eq!(code(&human), 1);
    assert!(stdout(&human).lines().all(|line| line.chars().count() <= 100), "{}", stdout(&human));
    assert!(stdout(&human).contains("1 does not agree"), "{}", stdout(&human));
    assert!(stderr(&human).contains("pottle proof"), "{}", stderr(&human));
}

#[test]
fn mend_writes_the_words_and_nothing_else() {
    let room = Room::with_course();
    let lesson = "course/01-first-lesson/lesson.md";
    room.rewrite("\n", "\r\n");
    room.rewrite("\"8 g fine salt\"", "\"9 g fine salt\"");
    room.rewrite("\"35–40 min\"", "\"40–45 min\"");
    let before = fs::read_to_string(room.path(lesson)).unwrap();

    let dry = room.pottle(&["mend", "course", "--dry-run"]);
    assert_eq!((code(&dry), fs::read_to_string(room.path(lesson)).unwrap() == before), (1, true));
    for line in ["--- course/01-first-lesson/lesson.md", "1 file would change; nothing was written."] {
        assert!(stdout(&dry).lines().any(|shown| shown == line), "{}", stdout(&dry));
    }
    assert!(stdout(&dry).lines().any(|line| line.starts_with('+') && line.contains("9 g of salt")), "{}", stdout(&dry));

    let mended = room.pottle(&["mend", "course"]);
    assert_eq!(code(&mended), 0, "{}", stdout(&mended));
    assert!(stdout(&mended).ends_with("1 file mended.\n"));
    let after = fs::read_to_string(room.path(lesson)).unwrap();
    let expected = before.replace("8 g of salt", "9 g of salt").replace("35 to 40 minutes", "40 to 45 minutes");
    assert_eq!(after, expected);
    assert_ne!(after, before);

    let files = tree(&room.path("course"));
    let again = room.pottle(&["mend", "course"]);
    assert_eq!((code(&again), stdout(&again).as_str()), (0, "Nothing to mend: all agree.\n"));
    assert_eq!(tree(&room.path("course")), files, "a second time changes nothing");
}

#[test]
fn mend_says_what_it_leaves_and_why() {
    let room = Room::with_course();
    room.rewrite("Set the oven to 200 °C.", "Set the oven to 200 °C. It keeps for 3 months.");
    let files = tree(&room.path("course"));
    let output = room.pottle(&["mend", "course"]);
    assert_eq!(code(&output), 1);
    assert!(stdout(&output).contains("not mended: "), "{}", stdout(&output));
    assert!(stdout(&output).ends_with("1 error left for you.\nNothing was mended.\n"), "{}", stdout(&output));
    let found = json(&room.pottle(&["mend", "course", "--report", "json"]));
    assert_eq!(found["findings"].as_array().map(Vec::len), Some(1));
    assert_eq!(tree(&room.path("course")), files);
}

#[test]
fn mend_cannot_write_a_file_that_is_locked() {
    let room = Room::with_course();
    room.break_salt();
    let lesson = room.path("course/01-first-lesson/lesson.md");
    let mut lock = fs::metadata(&lesson).unwrap().permissions();
    lock.set_readonly(true);
    fs::set_permissions(&lesson, lock).unwrap();
    let files = tree(&room.path("course"));
    let output = room.pottle(&["mend", "course"]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("lesson.md` cannot be written"), "{}", stderr(&output));
    assert_eq!(tree(&room.path("course")), files);
}

#[test]
fn explain_lists_the_codes_and_shows_a_page() {
    let room = Room::new();
    let list = stdout(&room.pottle(&["explain"]));
    assert_eq!(list.lines().count(), pottle::diag::Code::ALL.len());
    assert!(list.contains("risky-spelling      note   a unit is spelt"), "{list}");
    let page = room.pottle(&["explain", "disagrees"]);
    assert_eq!((code(&page), Some(stdout(&page).as_str())), (0, pottle::explain("disagrees")));
    let none = room.pottle(&["explain", "burnt-toast"]);
    assert_eq!(code(&none), 2);
    assert!(stderr(&none).contains("no finding is called `burnt-toast`"), "{}", stderr(&none));
}

#[test]
fn cards_are_made_on_demand_and_no_other_file_is_replaced() {
    let room = Room::with_course();
    let made =
        room.pottle(&["cards", "first-lesson", "course", "--to", "cards.pdf", "--scale", "1/2", "--units", "us"]);
    assert_eq!(code(&made), 0, "{}", stderr(&made));
    assert!(stdout(&made).starts_with("Made ") && stdout(&made).ends_with(" cards: cards.pdf\n"), "{}", stdout(&made));
    assert!(fs::read(room.path("cards.pdf")).unwrap().starts_with(b"%PDF-1.7"));
    let unknown = room.pottle(&["cards", "no-lesson", "course", "--to", "cards.pdf"]);
    assert_eq!(code(&unknown), 2);
    assert!(stderr(&unknown).contains("no lesson is called `no-lesson`; this course has first-lesson"));
    for wrong in [["--scale", "0"], ["--scale", "many"], ["--paper", "a4"], ["--sheet", "a6"], ["--units", "stones"]] {
        let args = [&["cards", "first-lesson", "course", "--to", "cards.pdf"][..], &wrong].concat();
        assert_eq!(code(&room.pottle(&args)), 2, "{wrong:?}");
    }
    let lesson = "course/01-first-lesson/lesson.md";
    let refused = room.pottle(&["cards", "first-lesson", "course", "--to", lesson]);
    assert_eq!(code(&refused), 2);
    assert!(stderr(&refused).contains("is no PDF, so it is not replaced"), "{}", stderr(&refused));
    let nowhere = room.pottle(&["cards", "first-lesson", "course", "--to", "nowhere/cards.pdf"]);
    assert_eq!(code(&nowhere), 2);
    let told = "pottle: `nowhere/cards.pdf` cannot be written: the folder it should lie in is not there\n";
    assert_eq!(stderr(&nowhere), told);
    room.break_salt();
    let faulty = room.pottle(&["cards", "first-lesson", "course", "--to", "new.pdf"]);
    assert_eq!(code(&faulty), 1);
    assert!(stderr(&faulty).ends_with("\n1 error; no cards were made.\n"), "{}", stderr(&faulty));
    assert!(!room.path("new.pdf").exists());
}

#[test]
fn publish_tells_of_cards_only_what_was_asked_for() {
    let room = Room::with_course();
    let long = "Wait a while and look at it again. ".repeat(60);
    room.rewrite("8 g of salt", &format!("8 g of salt. {long}"));
    let quiet = room.pottle(&["publish", "course", "--to", "site"]);
    assert_eq!((code(&quiet), stderr(&quiet).as_str()), (0, ""));
    assert!(room.path("site/papers/first-lesson-cards-a6.pdf").is_file());
    let settings = fs::read_to_string(room.path("course/course.toml")).unwrap();
    let asked = format!("{settings}\n[[cards]]\npaper = \"4x6\"\nsheet = \"letter\"\nscale = \"2\"\n");
    fs::write(room.path("course/course.toml"), &asked).unwrap();
    let told = room.pottle(&["publish", "course", "--to", "site"]);
    assert_eq!(code(&told), 0);
    assert!(stderr(&told).starts_with("note[long-card]: on 4 × 6 in, these steps run on"), "{}", stderr(&told));
    assert!(room.path("site/papers/first-lesson-cards-4x6-on-letter-x2.pdf").is_file());
    assert!(!room.path("site/papers/first-lesson-cards-a6.pdf").exists());
    fs::write(room.path("course/course.toml"), format!("{settings}\ncards = []\n")).unwrap();
    assert_eq!(code(&room.pottle(&["publish", "course", "--to", "site"])), 0);
    assert!(!room.path("site/papers/first-lesson-cards-a6.pdf").exists());
    assert!(
        room.path("site/papers/first-lesson-handout-a4.pdf").is_file()
            && room.path("site/papers/booklet-a4.pdf").is_file()
    );
    let wide = "[[handouts]]\npaper = \"letter\"\ncolumns = \"1\"\nunits = \"us\"\n";
    fs::write(room.path("course/course.toml"), format!("{settings}\n{wide}")).unwrap();
    assert_eq!(code(&room.pottle(&["publish", "course", "--to", "site"])), 0);
    assert!(room.path("site/papers/first-lesson-handout-letter-wide-us.pdf").is_file());
    fs::write(room.path("course/course.toml"), format!("{settings}\ncards = []\nhandouts = []\n")).unwrap();
    assert_eq!(code(&room.pottle(&["publish", "course", "--to", "site"])), 0);
    assert!(!room.path("site/papers").exists());
}

#[test]
fn provision_says_what_a_class_needs() {
    let room = Room::with_course();
    let unknown = room.pottle(&["provision", "course"]);
    assert_eq!(code(&unknown), 2);
    assert!(unknown.stdout.is_empty());
    assert!(stderr(&unknown).contains("--students 12"), "{}", stderr(&unknown));
    let plan = room.pottle(&["provision", "course", "--students", "4"]);
    assert_eq!(code(&plan), 0, "{}", stderr(&plan));
    assert!(stdout(&plan).starts_with("For 4 students:\n") && plan.stderr.is_empty(), "{}", stdout(&plan));
    assert!(stdout(&plan).contains("\nTo buy\n"), "{}", stdout(&plan));
    assert!(stdout(&plan).lines().all(|line| line.chars().count() <= 100), "{}", stdout(&plan));
    assert!(!stdout(&plan).contains('\u{1b}'), "no colours in a pipe");
    for (args, wrong) in [
        (&["provision", "course", "--students", "0"][..], "from 1 to 10000"),
        (&["provision", "course", "--students", "4", "--groups", "none"], "from 1 to 10000"),
        (&["provision", "course", "jam", "--students", "4"], "no lesson is called `jam`"),
        (&["provision", "course", "2", "--students", "4"], "no lesson is called `2`"),
        (&["provision", "./nowhere", "--students", "4"], "there is no folder"),
    ] {
        let output = room.pottle(args);
        assert_eq!(code(&output), 2, "{args:?}");
        assert!(output.stdout.is_empty() && stderr(&output).contains(wrong), "{args:?}: {}", stderr(&output));
    }
}

#[test]
fn provision_takes_lessons_by_number_name_or_folder() {
    let room = Room::with_course();
    fs::rename(room.path("course"), room.path("content")).unwrap();
    let mut settings = fs::read_to_string(room.path("content/course.toml")).unwrap();
    settings.push_str("\n[class]\nstudents = 4\ngroups = 2\n");
    fs::write(room.path("content/course.toml"), settings).unwrap();
    let whole = stdout(&room.pottle(&["provision"]));
    assert!(whole.contains("2 groups, a batch each"), "{whole}");
    for args in
        [&["1"][..], &["first-lesson"], &["01-first-lesson"], &["content", "1"], &["content", "1", "first-lesson"]]
    {
        let output = room.pottle(&[&["provision"], args].concat());
        assert_eq!((code(&output), stdout(&output)), (0, whole.clone()), "{args:?}: {}", stderr(&output));
    }
    // Groups that were planned for 4 are not those of 5.
    assert!(stdout(&room.pottle(&["provision", "--students", "5"])).contains("For 5 students:\n"));
    assert!(!stdout(&room.pottle(&["provision", "--students", "5"])).contains("2 groups"));
}

#[test]
fn provision_writes_a_table_and_replaces_only_such_a_table() {
    let room = Room::with_course();
    let args = ["provision", "course", "--students", "4", "--csv", "plan.csv"];
    let output = room.pottle(&args);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    assert_eq!(stderr(&output), "Wrote plan.csv.\n");
    let first = fs::read(room.path("plan.csv")).unwrap();
    assert!(first.starts_with("\u{FEFF}list,section,item,".as_bytes()));
    assert_eq!(code(&room.pottle(&args)), 0);
    assert_eq!(fs::read(room.path("plan.csv")).unwrap(), first);
    let lesson = "course/01-first-lesson/lesson.md";
    let before = tree(&room.path(""));
    let refused = room.pottle(&["provision", "course", "--students", "4", "--csv", lesson]);
    assert_eq!(code(&refused), 2);
    assert!(stderr(&refused).contains("is not replaced"), "{}", stderr(&refused));
    assert_eq!(tree(&room.path("")), before);
}

#[test]
fn provision_makes_no_plan_of_a_course_with_errors() {
    let room = Room::with_course();
    room.break_salt();
    let output = room.pottle(&["provision", "course", "--students", "4", "--csv", "plan.csv"]);
    assert_eq!(code(&output), 1);
    assert!(output.stdout.is_empty() && !room.path("plan.csv").exists());
    assert!(stderr(&output).ends_with("1 error; no plan was made.\n"), "{}", stderr(&output));
}

/// What is left standing of a line that was written over and over.
fn left_standing(line: &str) -> String {
    let mut cells: Vec<char> = Vec::new();
    for writing in line.split('\r') {
        for (at, letter) in writing.chars().enumerate() {
            if at < cells.len() { cells[at] = letter } else { cells.push(letter) }
        }
    }
    cells.into_iter().collect::<String>().trim_end().to_owned()
}

#[test]
fn long_work_shows_how_far_it_is_on_a_terminal_and_nowhere_else() {
    let room = Room::new();
    let args = ["publish", "long", "--to", "site"];
    // A site that stands already is no work.
    let anew = || drop(fs::remove_dir_all(room.path("site")));
    // As many lessons as this machine needs more than two seconds for.
    let piped = (3..12)
        .find_map(|doubled| {
            synthetic::write(&synthetic::course(1 << doubled, true), &room.path("long"));
            anew();
            let start = Instant::now();
            let output = room.pottle(&args);
            (start.elapsed() > Duration::from_secs(2)).then_some(output)
        })
        .expect("two thousand lessons take long");
    assert_eq!((code(&piped), stderr(&piped).as_str()), (0, ""));
    assert!(!stdout(&piped).contains('\r'));

    anew();
    let (status, screen) = room.on_a_terminal(&args, &[]);
    assert_eq!(status, 0, "{screen}");
    let passed = screen.split('\r').any(|writing| {
        let counted = writing.trim_end().strip_prefix("Making pages and papers: ");
        let numbers = counted.and_then(|counted| counted.strip_suffix(" lessons")?.split_once(" of "));
        numbers.is_some_and(|(done, of)| done.parse::<usize>().unwrap() <= of.parse().unwrap())
    });
    assert!(passed, "{screen:?}");
    let standing: Vec<String> = screen.lines().map(left_standing).collect();
    assert_eq!(standing, stdout(&piped).lines().collect::<Vec<_>>(), "{screen:?}");

    anew();
    let (status, screen) = room.on_a_terminal(&["--quiet", "publish", "long", "--to", "site"], &[]);
    assert_eq!((status, screen.as_str()), (0, ""));
    anew();
    let (status, screen) = room.on_a_terminal(&args, &[("TERM", "dumb")]);
    assert_eq!((status, screen.contains('\r')), (0, false), "{screen:?}");
}

#[test]
fn quiet_leaves_findings_errors_and_what_was_asked_for() {
    let room = Room::with_course();
    for args in
        [&["proof", "course", "-q"][..], &["-q", "publish", "course", "--to", "site"], &["mend", "course", "-q"]]
    {
        let output = room.pottle(args);
        assert_eq!((code(&output), stdout(&output), stderr(&output)), (0, String::new(), String::new()), "{args:?}");
    }
    assert!(room.path("site/index.html").is_file());
    let cards = room.pottle(&["cards", "first-lesson", "course", "--to", "cards.pdf", "--quiet"]);
    assert_eq!((code(&cards), stdout(&cards).as_str()), (0, ""));
    let begun = room.pottle(&["begin", "another", "--quiet"]);
    assert_eq!((code(&begun), stdout(&begun).as_str()), (0, ""));
    for asked in [&["ledger", "course"][..], &["provision", "course", "--students", "4"], &["explain"]] {
        let quiet = room.pottle(&[asked, &["-q"]].concat());
        assert_eq!(stdout(&quiet), stdout(&room.pottle(asked)), "{asked:?}");
    }
    let plan = room.pottle(&["-q", "provision", "course", "--students", "4", "--csv", "plan.csv"]);
    assert_eq!((code(&plan), stderr(&plan).as_str()), (0, ""));

    room.break_salt();
    for args in [&["proof", "course"][..], &["publish", "course", "--to", "site"], &["ledger", "course"]] {
        let (loud, quiet) = (room.pottle(args), room.pottle(&[args, &["-q"]].concat()));
        assert_eq!((code(&quiet), &quiet.stdout, &quiet.stderr), (1, &loud.stdout, &loud.stderr), "{args:?}");
    }
    let dry = room.pottle(&["mend", "course", "--dry-run", "-q"]);
    assert_eq!(code(&dry), 1);
    assert!(stdout(&dry).contains("--- course/01-first-lesson/lesson.md"), "{}", stdout(&dry));
    assert!(!stdout(&dry).contains("would change"), "{}", stdout(&dry));
    let nowhere = room.pottle(&["-q", "proof", "nowhere"]);
    assert_eq!(code(&nowhere), 2);
    assert!(stderr(&nowhere).contains("there is no folder `nowhere`"), "{}", stderr(&nowhere));
}

#[test]
fn colours_are_for_terminals_and_can_be_switched_off() {
    let room = Room::with_course();
    room.break_salt();
    let args = ["proof", "course"];
    let (status, coloured) = room.on_a_terminal(&args, &[]);
    assert_eq!(status, 1);
    assert!(coloured.contains("\u{1b}[") && coloured.contains("disagrees"), "{coloured:?}");
    // NO_COLOR at https://no-color.org: any value but an empty one.
    let (status, plain) = room.on_a_terminal(&args, &[("NO_COLOR", "1")]);
    assert_eq!(status, 1);
    assert!(!plain.contains('\u{1b}') && plain.contains("error[disagrees]: "), "{plain:?}");
}

/// The commands that the help lists.
fn commands(room: &Room) -> Vec<String> {
    let help = stdout(&room.pottle(&["--help"]));
    let list = help.split("Commands:\n").nth(1).and_then(|rest| rest.split("\n\n").next()).unwrap();
    // A long explanation goes on in a line of its own, further in.
    let names = list.lines().filter_map(|line| line.strip_prefix("  ").filter(|line| !line.starts_with(' ')));
    let names = names.filter_map(|line| line.split_whitespace().next());
    let names: Vec<String> = names.filter(|name| *name != "help").map(str::to_owned).collect();
    assert!(names.len() >= 11, "{help}");
    names
}

/// The options that the help of a command names.
fn options(help: &str) -> Vec<&str> {
    let words = help.split(|c: char| !(c.is_ascii_alphanumeric() || c == '-'));
    words.filter(|word| word.starts_with("--") && word.len() > 2).collect()
}

#[test]
fn the_manual_names_every_command_and_option() {
    let room = Room::new();
    let wrote = room.pottle(&["manual", "--to", "share/man1"]);
    assert_eq!(code(&wrote), 0, "{}", stderr(&wrote));
    let page = |name: &str| fs::read_to_string(room.path("share/man1").join(name)).unwrap().replace('\\', "");
    let commands = commands(&room);
    assert_eq!(
        stdout(&wrote),
        format!("Wrote {} pages. Read them with: man share/man1/pottle.1\n", commands.len() + 1)
    );
    assert_eq!(tree(&room.path("share/man1")).len(), commands.len() + 1);
    for command in &commands {
        assert!(page("pottle.1").contains(&format!("pottle-{command}(1)")), "{command}");
        let help = stdout(&room.pottle(&[command, "--help"]));
        let page = page(&format!("pottle-{command}.1"));
        for option in options(&help) {
            assert!(page.contains(option), "{option}: {page}");
        }
        assert!(options(&help).len() >= 2 && page.contains("EXIT STATUS"), "{help}");
    }
    // mandoc reads pages strictly: https://man.openbsd.org/mandoc.1
    for (path, _) in tree(&room.path("share/man1")) {
        let lint = Command::new("mandoc").args(["-T", "lint", "-W", "error", &path]).output();
        let lint = lint.expect("tests/run installs mandoc");
        assert_eq!((code(&lint), stdout(&lint).as_str()), (0, ""), "{path}");
        let read = Command::new("mandoc").args(["-T", "utf8", &path]).output().unwrap();
        let foot = stdout(&read).lines().last().map(str::to_owned).unwrap_or_default();
        assert!(foot.starts_with(concat!("pottle ", env!("CARGO_PKG_VERSION"))), "{foot}");
    }
}

#[test]
fn the_manual_is_written_again_but_over_nothing_else() {
    let room = Room::new();
    fs::create_dir(room.path("man1")).unwrap();
    fs::write(room.path("man1/bread.1"), ".TH BREAD 1\n").unwrap();
    let args = ["manual", "--to", "man1"];
    assert_eq!(code(&room.pottle(&args)), 0);
    let before = tree(&room.path("man1"));
    assert_eq!(code(&room.pottle(&args)), 0);
    assert_eq!(tree(&room.path("man1")), before);
    fs::write(room.path("man1/pottle.1"), "a picture of a jug\n").unwrap();
    let refused = room.pottle(&args);
    assert_eq!(code(&refused), 2);
    assert!(stderr(&refused).contains("is no page of our manual"), "{}", stderr(&refused));
    assert_eq!(fs::read_to_string(room.path("man1/pottle.1")).unwrap(), "a picture of a jug\n");
}

#[test]
fn completions_know_every_command_and_bash_takes_them() {
    let room = Room::new();
    let script = room.pottle(&["completions", "bash"]);
    assert_eq!((code(&script), stderr(&script).as_str()), (0, ""));
    fs::write(room.path("pottle.bash"), &script.stdout).unwrap();
    let bash = |line: &str| {
        let output = Command::new("bash").args(["-c", line]).current_dir(room.path("")).output().unwrap();
        assert_eq!((code(&output), stderr(&output).as_str()), (0, ""), "{line}");
        stdout(&output)
    };
    bash("bash -n pottle.bash");
    // As bash asks: the words so far, which of them is written, then command, word and word before.
    let offered = |words: &str, word: &str, before: &str| {
        let line = format!(
            "source ./pottle.bash; COMP_WORDS=({words} \"{word}\"); COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1)); \
             _pottle pottle \"{word}\" {before}; echo \"${{COMPREPLY[*]}}\""
        );
        bash(&line).split_whitespace().map(str::to_owned).collect::<Vec<String>>()
    };
    assert_eq!(offered("pottle", "pro", "pottle"), ["proof", "provision"]);
    assert_eq!(offered("pottle cards --paper", "", "--paper"), ["a6", "a5", "4x6", "5x8"]);
    assert_eq!(offered("pottle explain", "disag", "explain"), ["disagrees"]);
    let all = offered("pottle", "", "pottle");
    for command in commands(&room) {
        assert!(all.contains(&command), "{command}: {all:?}");
        let options_offered = offered(&format!("pottle {command}"), "--", &command);
        let help = stdout(&room.pottle(&[&command, "--help"]));
        for option in options(&help) {
            assert!(options_offered.iter().any(|offered| offered == option), "{command} {option}: {options_offered:?}");
        }
    }
    for shell in ["zsh", "fish", "elvish", "powershell"] {
        let script = room.pottle(&["completions", shell]);
        assert!(code(&script) == 0 && stdout(&script).contains("provision"), "{shell}");
    }
    assert_eq!(code(&room.pottle(&["completions", "conch"])), 2);
}
