//! A site that is published again takes over what has not changed, and comes out as if it were new.

use pottle::output::Standing;
use pottle::render::{Again, LastSite};
use pottle::{Project, Site, check, read_project, render_again, write_site};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Mutex;

const MAKER: &str = "this program";
const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/content/saltmarsh-hall");

fn demo(papers: bool) -> BTreeMap<String, String> {
    let project = read_project(Path::new(DEMO)).unwrap();
    let texts = project.sources.iter().filter(|(_, file)| !file.path.starts_with("shared/"));
    let mut files: BTreeMap<String, String> = texts.map(|(_, file)| (file.path.clone(), file.text.clone())).collect();
    let drawn = project.pictures.iter().map(|(path, bytes)| (path.clone(), String::from_utf8(bytes.to_vec()).unwrap()));
    files.extend(drawn);
    if !papers {
        let settings = files.get_mut("course.toml").unwrap();
        *settings = settings.replacen("\n\n[", "\ncards = []\nhandouts = []\n\n[", 1);
    }
    files
}

/// The site of a course, and how many lessons were printed for it.
fn made(files: &BTreeMap<String, String>, maker: &str, standing: Option<&Standing>) -> Site {
    let mut project = Project::from_files(files.iter().map(|(path, text)| (path.clone(), text.clone())));
    // A lesson that was renamed brings its pictures along.
    let pictures = read_project(Path::new(DEMO)).unwrap().pictures;
    for folder in files.keys().filter_map(|path| path.strip_suffix("/lesson.md")) {
        let named = pictures.iter().filter_map(|(path, bytes)| Some((path.split_once('/')?.1, bytes)));
        named.for_each(|(name, bytes)| {
            project.pictures.entry(format!("{folder}/{name}")).or_insert_with(|| bytes.clone());
        });
    }
    let checked = check(&project);
    let course = checked.course.unwrap_or_else(|| panic!("{:?}", checked.findings));
    let quiet = checked.findings.is_empty();
    let make = |last: Option<&LastSite<'_>>| {
        let again = Again { maker, last, quiet, taker: None };
        let site = render_again(&project, &course, again).unwrap();
        let taken = Mutex::new(BTreeMap::new());
        let take = |files: &BTreeMap<String, Vec<u8>>| taken.lock().unwrap().extend(files.clone());
        let rest = render_again(&project, &course, Again { taker: Some(&take), ..again }).unwrap();
        let mut all = taken.into_inner().unwrap();
        assert!(all.len() >= course.course().lessons.len() && all.keys().eq(rest.taken().keys()));
        all.extend(rest.files().clone());
        assert!(all == *site.files(), "taken while they are made, files are what they are when all are held");
        site
    };
    match standing {
        Some(standing) => standing.with(|last| make(Some(last))),
        None => make(None),
    }
}

/// Lessons whose files a standing site would hand over for this course: asked of the lists, which name what lessons were
/// made from.
fn kept(standing: &Standing, site: &Site) -> usize {
    let now = pottle::render::Made::read(&site.files()[".pottle-made"]).unwrap();
    let before = &standing.made().lessons;
    now.lessons.iter().filter(|(slug, made)| before.get(*slug) == Some(made)).count()
}

fn changed(files: &BTreeMap<String, String>, path: &str, from: &str, to: &str) -> BTreeMap<String, String> {
    let mut files = files.clone();
    let text = files.get_mut(path).unwrap_or_else(|| panic!("{path} is there"));
    assert!(text.contains(from), "{from} in {path}");
    *text = text.replacen(from, to, 1);
    files
}

#[test]
fn what_stays_is_what_a_new_site_would_have() {
    let files = demo(false);
    let room = tempfile::tempdir().unwrap();
    let out = room.path().join("site");
    let first = made(&files, MAKER, None);
    write_site(&first, &out).unwrap();
    let standing = Standing::at(&out).unwrap();
    assert!(standing.is_whole());
    assert_eq!(made(&files, MAKER, Some(&standing)), first, "nothing has changed");

    let curd = "02-pressed-curd/lesson.md";
    let lessons = 8;
    for (what, now, stay) in [
        ("words of a lesson", changed(&files, curd, "\n\n## ", "\n\nA sentence more.\n\n## "), lessons - 1),
        ("a title, which other pages show", changed(&files, curd, "# Pressed fresh curd", "# Pressed curd"), 0),
        ("a summary", changed(&files, curd, "summary = \"", "summary = \"So: "), 0),
        ("captions", changed(&files, "02-pressed-curd/lesson.vtt", "\n\n", "\n\nNOTE a word\n\n"), lessons - 1),
        ("the glossary", changed(&files, "glossary.md", "\n\n", "\n\nOur words.\n\n"), 0),
        ("a drawing", changed(&files, "02-pressed-curd/press.svg", "pat flat", "pat it flat"), 0),
        ("a setting", changed(&files, "course.toml", "Saltmarsh Hall\"", "The Hall\""), 0),
    ] {
        let fresh = made(&now, MAKER, None);
        let again = made(&now, MAKER, Some(&standing));
        let apart: Vec<&String> = fresh
            .files()
            .iter()
            .filter(|(path, bytes)| again.files().get(*path) != Some(bytes))
            .map(|(path, _)| path)
            .collect();
        assert_eq!(apart, [""; 0], "{what}");
        assert_eq!(again, fresh, "{what}");
        if stay > 0 {
            assert_eq!(kept(&standing, &again), stay, "{what}");
        }
    }
    let mut without = files.clone();
    without.retain(|path, _| !path.starts_with("08-"));
    assert_eq!(made(&without, MAKER, Some(&standing)), made(&without, MAKER, None), "a lesson is gone");
    let mut renamed = files.clone();
    renamed.retain(|path, _| !path.starts_with("08-"));
    let moved = files.iter().filter_map(|(path, text)| Some((path.strip_prefix("08-plum-jam/")?, text)));
    renamed.extend(moved.map(|(name, text)| (format!("09-jam-of-plums/{name}"), text.clone())));
    assert_eq!(made(&renamed, MAKER, Some(&standing)), made(&renamed, MAKER, None), "a lesson has another name");
}

/// Handouts draw the pictures, so those are part of what they are made from.
#[test]
fn a_changed_drawing_is_on_the_handout() {
    let files = demo(true);
    let room = tempfile::tempdir().unwrap();
    let out = room.path().join("site");
    let first = made(&files, MAKER, None);
    write_site(&first, &out).unwrap();
    let standing = Standing::at(&out).unwrap();
    let now = changed(&files, "02-pressed-curd/press.svg", "pat flat", "pat it flat");
    let again = made(&now, MAKER, Some(&standing));
    assert_eq!(again, made(&now, MAKER, None));
    let same = |path: &str| first.files()[path] == again.files()[path];
    for path in ["papers/pressed-curd-handout-a4.pdf", "papers/booklet-a4.pdf"] {
        assert!(!same(path), "{path}");
    }
    assert!(same("papers/pressed-curd-cards-a6.pdf") && same("papers/plum-jam-handout-a4.pdf"));
}

/// One page in the standing site was touched, so its lesson is printed again, and so are all for another program.
#[test]
fn nothing_is_taken_over_that_is_not_what_was_written() {
    let files = demo(true);
    let room = tempfile::tempdir().unwrap();
    let out = room.path().join("site");
    let first = made(&files, MAKER, None);
    write_site(&first, &out).unwrap();
    for (path, bytes) in [("pressed-curd.html", &b"<p>Another page"[..]), ("papers/plum-jam-cards-a6.pdf", b"%PDF-1.7")]
    {
        assert!(out.join(path).is_file(), "{path}");
        std::fs::write(out.join(path), bytes).unwrap();
    }
    std::fs::remove_file(out.join("clean-pans.html")).unwrap();
    let standing = Standing::at(&out).unwrap();
    assert!(!standing.is_whole());
    assert_eq!(made(&files, MAKER, Some(&standing)), first);
    // A mark in the list of what was made would show in a page that was taken over.
    let other = made(&files, "another program", Some(&standing));
    assert_eq!(other, made(&files, "another program", None));
    assert_eq!(kept(&standing, &other), 0);
    for spoilt in ["", "{", "[]", "{\"course\": 7}"] {
        std::fs::write(out.join(".pottle-made"), spoilt).unwrap();
        assert!(Standing::at(&out).is_none(), "{spoilt}");
    }
    std::fs::write(out.join("mine.txt"), "precious").unwrap();
    std::fs::write(out.join(".pottle-made"), &first.files()[".pottle-made"]).unwrap();
    assert!(Standing::at(&out).is_none(), "a stranger's file makes it no site of ours");
}

/// Each lesson in turn gets another sentence: the others stay, and each other page is what it would be.
#[test]
fn each_lesson_can_change_alone() {
    let files = demo(false);
    let room = tempfile::tempdir().unwrap();
    let out = room.path().join("site");
    write_site(&made(&files, MAKER, None), &out).unwrap();
    let standing = Standing::at(&out).unwrap();
    for path in files.keys().filter(|path| path.ends_with("/lesson.md")) {
        let now = changed(&files, path, "\n\n## ", "\n\nA sentence more.\n\n## ");
        let again = made(&now, MAKER, Some(&standing));
        assert_eq!(again, made(&now, MAKER, None), "{path}");
        assert_eq!(kept(&standing, &again), 7, "{path}");
    }
}
