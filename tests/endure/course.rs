//! A course on disk that lives for one test, and what is asked of it.

use pottle::diag::emit::{Human, Json, Look, Short};
use pottle::diag::{Diagnostics, Emitter};
use pottle::source::Sources;
use pottle::{Checked, Project, check, read_project, render};
use std::fs;
use std::path::Path;
use std::sync::mpsc::channel;
use std::time::Duration;

/// How long anything may take on a busy machine, built without optimisation.
pub const PATIENCE: Duration = Duration::from_secs(60);

/// A file of a course.
pub type File = (String, Vec<u8>);

/// The smallest `course.toml`.
pub const COURSE: &str = "title = \"Broken on purpose\"\nhome = \"uk\"\n";

/// A file from text.
pub fn file(path: &str, text: impl AsRef<[u8]>) -> File {
    (path.to_owned(), text.as_ref().to_vec())
}

/// A course of one lesson.
pub fn lesson(text: impl AsRef<str>) -> Vec<File> {
    vec![file("course.toml", COURSE), file("01-a/lesson.md", text.as_ref())]
}

/// A course of one lesson whose words are these.
pub fn words(text: impl AsRef<str>) -> Vec<File> {
    lesson(format!("# A\n\n{}\n", text.as_ref()))
}

/// A course of one lesson whose lesson block is this.
pub fn block(keys: impl AsRef<str>) -> Vec<File> {
    lesson(format!("# A\n\n```lesson\n{}\n```\n\nWords.\n", keys.as_ref()))
}

/// What a recipe is made of; the rest is as it should be.
pub struct Recipe<'a> {
    pub makes: &'a str,
    pub more: &'a str,
    pub ingredients: &'a str,
    pub step: &'a str,
    pub words: &'a str,
}

impl Default for Recipe<'_> {
    fn default() -> Self {
        Recipe {
            makes: "1 L weak tea",
            more: "",
            ingredients: "water = \"1 L water\"",
            step: "add = [\"water\"]",
            words: "Stir.",
        }
    }
}

impl Recipe<'_> {
    /// The lesson.
    pub fn text(&self) -> String {
        let Recipe { makes, more, ingredients, step, words } = self;
        format!(
            "# A\n\n```recipe\nmakes = \"{makes}\"\n{more}\n\n[ingredients]\n{ingredients}\n\n[equipment]\npot = \"pot\"\n```\n\n\
             ## Pour\n\n```step\n{step}\n```\n\n{words}\n"
        )
    }

    /// A course of it alone.
    pub fn course(&self) -> Vec<File> {
        lesson(self.text())
    }
}

/// With another file, or another text of one that is there.
pub fn with(mut files: Vec<File>, path: &str, text: impl AsRef<[u8]>) -> Vec<File> {
    files.retain(|(other, _)| other != path);
    files.push(file(path, text));
    files
}

/// Writes a course.
pub fn write(files: &[File], folder: &Path) {
    for (path, bytes) in files {
        let path = folder.join(path);
        fs::create_dir_all(path.parent().expect("it lies in the folder")).expect("the folder is ours");
        fs::write(path, bytes).expect("the folder is ours");
    }
}

/// Does something on a thread of its own, with as much stack as the program has, and waits for it no longer than anybody
/// would.
pub fn in_time<T: Send + 'static>(act: impl FnOnce() -> T + Send + 'static) -> T {
    let (sender, receiver) = channel();
    let thread = std::thread::Builder::new().stack_size(8 * 1024 * 1024);
    let worker = thread.spawn(move || {
        let done = act();
        // Whoever waited too long has gone.
        let _ = sender.send(done);
    });
    match receiver.recv_timeout(PATIENCE) {
        Ok(done) => done,
        Err(_) if worker.as_ref().is_ok_and(|worker| worker.is_finished()) => panic!("it panicked: see above"),
        Err(_) => panic!("it takes longer than {PATIENCE:?}"),
    }
}

/// Reads and checks a course, and publishes it to memory if it is clean. All findings are drawn in each form.
pub fn looked_at(files: Vec<File>) -> (Project, Checked, Diagnostics) {
    in_time(move || {
        let folder = tempfile::tempdir().expect("a folder");
        write(&files, folder.path());
        let project = read_project(folder.path()).expect("the machine can read it");
        let checked = check(&project);
        let mut found = checked.findings.clone();
        found.extend(project.problems.clone());
        if let Some(course) = &checked.course {
            match render(&project, course) {
                Ok(site) => found.extend(site.notes().clone()),
                Err(more) => found.extend(more),
            }
        }
        let found = found.sorted();
        draw(&project.sources, &found);
        (project, checked, found)
    })
}

fn draw(sources: &Sources, found: &Diagnostics) {
    let plain = Look { colour: false, unicode: false };
    let mut out: [Vec<u8>; 3] = Default::default();
    let [one, two, three] = &mut out;
    let mut emitters: [Box<dyn Emitter + '_>; 3] =
        [Box::new(Human::new(one, "", plain)), Box::new(Short::new(two, "")), Box::new(Json::new(three))];
    for emitter in &mut emitters {
        found.iter().take(60).for_each(|one| emitter.emit(sources, one).expect("memory takes all"));
        emitter.finish().expect("memory takes all");
    }
    drop(emitters);
    for text in out {
        let text = String::from_utf8(text).expect("reports are text");
        let steers = |letter: char| letter.is_control() && letter != '\n';
        assert!(!text.contains(steers), "a report steers the terminal: {text:?}");
    }
}

/// Holds that a course is refused with a code, in the line of a file where some words first stand (the first line where
/// there are none). The message is in words, and says what to do.
#[track_caller]
pub fn refuses(files: Vec<File>, code: &str, path: &str, near: &str) {
    let shown: String = files.last().map_or(String::new(), |(path, bytes)| {
        format!("{path}: {}", String::from_utf8_lossy(&bytes[..bytes.len().min(300)]))
    });
    let (project, checked, found) = looked_at(files);
    let places: Vec<String> = found
        .iter()
        .map(|one| {
            let source = project.sources.get(one.primary.span.file);
            let line = source.position(one.primary.span.start).line;
            let text = source.text.lines().nth(line - 1).unwrap_or("");
            let near = if text.contains(near) { " here" } else { "" };
            format!("{}[{}]{near}", source.path, one.code.name())
        })
        .collect();
    let wanted = format!("{path}[{code}] here");
    let all: Vec<&str> = found.iter().take(9).map(|one| one.message.as_str()).collect();
    assert!(
        places.contains(&wanted),
        "{wanted} is not among {:#?}\n{all:#?}\nin {shown}",
        &places[..places.len().min(9)]
    );
    let one = found.iter().find(|one| one.code.name() == code).expect("it is there");
    assert!(one.message.chars().count() > 10, "{}", one.message);
    assert!(
        one.help.is_some() || !one.suggestions.is_empty() || !one.notes.is_empty(),
        "{} says not what to do",
        one.message
    );
    let stops = one.severity() == pottle::diag::Severity::Error;
    assert!(!stops || found.has_errors());
    assert!(checked.course.is_none() || !checked.findings.has_errors());
}

/// Holds that a course is published as it is.
#[track_caller]
pub fn accepts(files: Vec<File>) -> pottle::Site {
    let (project, checked, found) = looked_at(files);
    let all: Vec<&str> = found.iter().map(|one| one.message.as_str()).collect();
    let course = checked.course.unwrap_or_else(|| panic!("{all:#?}"));
    render(&project, &course).expect("it was rendered before")
}

/// Named courses that are refused.
macro_rules! refused {
    ($($(#[$meta:meta])* $name:ident: $files:expr => $code:literal, $path:expr, $near:expr;)*) => {$(
        $(#[$meta])*
        #[test]
        fn $name() {
            crate::course::refuses($files, $code, $path, $near);
        }
    )*};
}
pub(crate) use refused;
