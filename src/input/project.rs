//! A course in memory: everything after this is pure.

use super::layout::{self, Role};
use super::{Picture, Progress};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::reference::BUILT_IN;
use crate::source::{FileId, SourceFile, Sources, Span};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Longer texts are refused: a long lesson has some thirty thousand bytes, and reading takes longer than their length
/// says.
const LONGEST: usize = 1_000_000;

/// The longest name that a page can have, in bytes: with what is added to it, it must fit into 255.
const LONGEST_NAME: usize = 100;

/// All files of a course, and the built-in tables under `shared/`.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Project {
    /// All texts. The built-in tables come first, under `shared/…`.
    pub sources: Sources,
    /// `course.toml`.
    pub course: Option<FileId>,
    /// `pantry.toml`.
    pub pantry: Option<FileId>,
    /// `facts.toml`.
    pub facts: Option<FileId>,
    /// `glossary.md`.
    pub glossary: Option<FileId>,
    /// Lesson files, in order.
    pub lessons: Vec<LessonFile>,
    /// Pictures, by path relative to the course folder.
    pub pictures: BTreeMap<String, Picture>,
    /// The course's own theme files under `theme/`, by path below it.
    pub theme: BTreeMap<String, FileId>,
    /// What was wrong with files as such: not text, for instance.
    pub problems: Diagnostics,
    /// How far the stages have come with it.
    pub progress: Progress,
}

/// What reading says of a file.
#[derive(Debug)]
pub(super) enum Content {
    /// Its bytes.
    New(Vec<u8>),
    /// It is one of the [`Project::sound_files`] of the last time, and has not been touched since.
    AsBefore,
}

/// A lesson's file and names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LessonFile {
    /// `pressed-curd`.
    pub slug: String,
    /// `02-pressed-curd`, or empty for a lesson that lies in the course folder itself.
    pub folder: String,
    /// Its text.
    pub file: FileId,
    /// Captions of its recording, in order of their names. One that is not UTF-8 is among them, with its finding.
    pub captions: Vec<FileId>,
}

impl LessonFile {
    /// Its text, and the captions of its recording.
    pub(crate) fn files(&self) -> impl Iterator<Item = FileId> {
        std::iter::once(self.file).chain(self.captions.iter().copied())
    }
}

impl Project {
    /// A course from texts in memory, by path relative to the course folder. The built-in tables are added.
    ///
    /// Of several texts under one path the last one counts.
    pub fn from_files<P, T>(files: impl IntoIterator<Item = (P, T)>) -> Project
    where
        P: Into<String>,
        T: AsRef<str>,
    {
        let content = |text: T| Content::New(text.as_ref().as_bytes().to_vec());
        Project::from_contents(files.into_iter().map(|(path, text)| (path.into(), content(text))).collect(), None)
    }

    /// Says what was not read: links that lead elsewhere, and what is no file.
    pub(super) fn with_left_out(mut self, paths: &[String]) -> Project {
        for path in paths {
            let file = self.sources.add(path.as_str(), "");
            let message = format!(
                "`{path}` is a link that leads out of the course, in a circle or nowhere, or no file, and is left out"
            );
            self.problems.push(
                Diagnostic::new(Code::LeftOut, message, Span::new(file, 0..0))
                    .help("put a copy of what is meant here, or take it out of the course folder"),
            );
        }
        self
    }

    /// The files whose content can be taken over when they have not changed: nothing is wrong with them as files.
    pub(super) fn sound_files(&self) -> BTreeSet<&str> {
        self.sound_texts().into_keys().chain(self.pictures.keys().map(String::as_str)).collect()
    }

    fn sound_texts(&self) -> BTreeMap<&str, &Arc<SourceFile>> {
        let wrong: BTreeSet<FileId> = self.problems.iter().map(|found| found.primary.span.file).collect();
        let texts = self.sources.iter().map(|(id, _)| id).zip(self.sources.shared());
        texts.filter(|(id, _)| !wrong.contains(id)).map(|(_, file)| (file.path.as_str(), file)).collect()
    }

    /// A course from what was read. What is as it was `before` is shared with it.
    pub(super) fn from_contents(mut files: BTreeMap<String, Content>, before: Option<&Project>) -> Project {
        let known = before.map_or_else(BTreeMap::new, Project::sound_texts);
        let paths: Vec<String> = files.keys().cloned().collect();
        let roles = layout::layout(paths.iter().map(String::as_str));
        let mut project = Project::default();
        for (path, text) in BUILT_IN {
            match known.get(path) {
                Some(file) => project.sources.add_known(Arc::clone(file)),
                None => project.sources.add(*path, text),
            };
        }
        let mut lessons = Vec::new();
        let mut unclear = Vec::new();
        let mut captions = Vec::new();
        for (path, role) in roles {
            let Some(content) = files.remove(path) else { continue };
            if role == Role::Picture {
                let known = before.and_then(|before| before.pictures.get(path)).cloned();
                let picture = match content {
                    Content::AsBefore => known,
                    Content::New(bytes) => known.filter(|known| **known == *bytes).or_else(|| Some(bytes.into())),
                };
                project.pictures.extend(picture.map(|picture| (path.to_owned(), picture)));
                continue;
            }
            let (file, is_text) = match (known.get(path), content) {
                (Some(file), Content::AsBefore) => (project.sources.add_known(Arc::clone(file)), true),
                (Some(file), Content::New(bytes)) if file.is(&bytes) => {
                    (project.sources.add_known(Arc::clone(file)), true)
                }
                (_, Content::New(bytes)) => project.add_text(path, &bytes),
                (None, Content::AsBefore) => continue,
            };
            match role {
                Role::Course => project.course = Some(file),
                Role::Pantry => project.pantry = Some(file),
                Role::Facts => project.facts = Some(file),
                Role::Glossary => project.glossary = Some(file),
                Role::Theme => drop(project.theme.insert(path["theme/".len()..].to_owned(), file)),
                Role::Captions => captions.push((path, file)),
                Role::Lesson => lessons.push((path, file, is_text)),
                Role::Unclear => unclear.push((path, file)),
                Role::Picture => {}
            }
        }
        project.report_unclear(&unclear);
        if lessons.is_empty() && unclear.is_empty() {
            project.report_no_lessons();
        }
        project.list_lessons(lessons, &captions);
        project.check_picture_names();
        project
    }

    /// Adds a text. One that is not UTF-8 is added as far as it can be read, and a finding points into it.
    fn add_text(&mut self, path: &str, bytes: &[u8]) -> (FileId, bool) {
        if bytes.len() > LONGEST {
            let file = self.sources.add(path, "");
            let message = format!("this text has {} bytes, and {LONGEST} are the most that is read", bytes.len());
            self.problems.push(
                Diagnostic::new(Code::TooLarge, message, Span::new(file, 0..0))
                    .help("look whether it is what you meant, or make several lessons of it"),
            );
            return (file, false);
        }
        match std::str::from_utf8(bytes) {
            Ok(text) => {
                let file = self.sources.add(path, text);
                let strange = self.strange_letter(file);
                let is_text = strange.is_none();
                self.problems.extend(strange.into_iter().collect());
                (file, is_text)
            }
            Err(error) => {
                let file = self.sources.add(path, &String::from_utf8_lossy(bytes));
                let readable = String::from_utf8_lossy(&bytes[..error.valid_up_to()]).into_owned();
                // Line ends are normalised on the way in, so the place is counted in a text that was treated alike.
                let mut scratch = Sources::default();
                let before = scratch.add(path, &readable);
                let at = scratch.get(before).text.len();
                let end = at + self.sources.get(file).text[at..].chars().next().map_or(0, char::len_utf8);
                self.problems.push(
                    Diagnostic::new(Code::NotUtf8, "this file is not saved as UTF-8 text", Span::new(file, at..end))
                        .label("the first letter that cannot be read")
                        .help("open it in your editor and save it again with the encoding UTF-8"),
                );
                (file, false)
            }
        }
    }

    /// A letter that no page and no feed may hold: such a file is no text, or was spoilt on its way.
    fn strange_letter(&self, file: FileId) -> Option<Diagnostic> {
        let (at, letter) = self.sources.get(file).strange_letter()?;
        let message = format!("this file holds U+{:04X}, which is no letter of a text", u32::from(letter));
        let found = Diagnostic::new(Code::NotUtf8, message, Span::new(file, at..at + letter.len_utf8()));
        Some(found.label("here").help("delete it, or save the file again as text"))
    }

    /// Puts lessons in order. One that could not be read whole is left out: its finding is already there, and its
    /// garbled letters would only give more.
    fn list_lessons(&mut self, mut lessons: Vec<(&str, FileId, bool)>, captions: &[(&str, FileId)]) {
        let mut by_folder: BTreeMap<&str, Vec<(&str, FileId)>> = BTreeMap::new();
        for one in captions {
            by_folder.entry(layout::folder_of(one.0)).or_default().push(*one);
        }
        let captions = by_folder;
        lessons.sort_by_key(|(path, ..)| layout::turn(path));
        let mut taken: BTreeMap<String, FileId> = BTreeMap::new();
        for (path, file, is_text) in lessons {
            if !is_text {
                continue;
            }
            let slug = layout::slug(path);
            if let Some(why) = unusable(&slug) {
                let message = format!("a lesson cannot be called `{}`: {why}", shortened(&slug));
                self.report_name(file, message);
                continue;
            }
            if let Some(first) = taken.get(&slug) {
                self.problems.push(
                    Diagnostic::new(
                        Code::DuplicateId,
                        format!("two lessons are called `{slug}`, and each needs a page of its own"),
                        Span::new(file, 0..0),
                    )
                    .label("the second one")
                    .related(Span::new(*first, 0..0), "the first one")
                    .help("a lesson is called after its folder, without the number: give one of the two another name"),
                );
                continue;
            }
            taken.insert(slug.clone(), file);
            let beside = captions.get(layout::folder_of(path)).into_iter().flatten();
            let own = beside.filter(|(other, _)| layout::belongs_to(other, path));
            let captions = own.map(|(_, file)| *file).collect();
            self.lessons.push(LessonFile { slug, folder: layout::folder_of(path).to_owned(), file, captions });
        }
    }

    fn report_name(&mut self, file: FileId, message: String) {
        let found = Diagnostic::new(Code::UnusableName, message, Span::new(file, 0..0));
        self.problems.push(found.help("rename it: letters, digits and hyphens are understood everywhere"));
    }

    /// Pictures keep their names on the site, so these must do on every disk.
    fn check_picture_names(&mut self) {
        let folders: BTreeSet<&str> = self.lessons.iter().map(|lesson| lesson.folder.as_str()).collect();
        let mut seen: BTreeMap<String, &str> = BTreeMap::new();
        let mut wrong = Vec::new();
        for path in self.pictures.keys() {
            // A lesson's folder does not keep its name.
            let mut slashes = path.match_indices('/');
            let kept =
                slashes.find(|(at, _)| folders.contains(&path[..*at])).map_or(&**path, |(at, _)| &path[at + 1..]);
            if let Some(why) = kept.split('/').find_map(unusable) {
                wrong.push((path.clone(), format!("a picture cannot be called `{}`: {why}", shortened(path))));
            } else if let Some(other) = seen.insert(path.to_lowercase(), path) {
                wrong.push((path.clone(), format!("`{path}` and `{other}` differ in nothing but capitals")));
            }
        }
        for (path, message) in wrong {
            self.pictures.remove(&path);
            let file = self.sources.add(path, "");
            self.report_name(file, message);
        }
    }

    fn report_unclear(&mut self, files: &[(&str, FileId)]) {
        for group in files.chunk_by(|(a, _), (b, _)| layout::folder_of(a) == layout::folder_of(b)) {
            let (path, file) = group[0];
            let folder = layout::folder_of(path);
            let names: Vec<String> = group.iter().map(|(path, _)| format!("`{}`", &path[folder.len() + 1..])).collect();
            self.problems.push(
                Diagnostic::new(
                    Code::UnclearLesson,
                    format!("the folder `{folder}` holds {}, and none of them is `lesson.md`", names.join(" and ")),
                    Span::new(file, 0..0),
                )
                .help("call the lesson's own text `lesson.md`"),
            );
        }
    }

    fn report_no_lessons(&mut self) {
        // In memory a course may lack its course.toml; the finding still needs a place.
        let file = self.course.unwrap_or_else(|| self.sources.add("course.toml", ""));
        self.problems.push(
            Diagnostic::new(Code::NoLessons, "this course has no lesson yet", Span::new(file, 0..0))
                .help("make a folder such as `01-first-lesson` beside course.toml, and write `lesson.md` in it"),
        );
    }
}

/// Why a name will not do on every disk, if so.
fn unusable(name: &str) -> Option<&'static str> {
    const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];
    let stem = name.split('.').next().unwrap_or("").trim_end().to_lowercase();
    let numbered = ["com", "lpt"].iter().any(|device| {
        stem.strip_prefix(device)
            .is_some_and(|rest| rest.len() == 1 && rest.bytes().all(|digit| digit.is_ascii_digit()))
    });
    // Source: Naming Files, Paths, and Namespaces (Microsoft Learn), read from memory; FAT and exFAT refuse the same signs.
    let refused =
        |letter: char| letter.is_control() || matches!(letter, '<' | '>' | ':' | '"' | '\\' | '|' | '?' | '*');
    if name.is_empty() {
        Some("it holds no letter and no digit")
    } else if DEVICES.contains(&stem.as_str()) || numbered {
        Some("some systems keep this name for a device")
    } else if name.contains(refused) || name.ends_with(['.', ' ']) {
        Some("some systems refuse one of its signs")
    } else if name.len() > LONGEST_NAME {
        Some("it is longer than a hundred bytes")
    } else {
        None
    }
}

/// A name short enough to be told, without signs that would steer a terminal.
fn shortened(name: &str) -> String {
    let shown: String =
        name.chars().take(40).map(|letter| if letter.is_control() { '\u{fffd}' } else { letter }).collect();
    if shown.chars().count() < name.chars().count() { shown + "…" } else { shown }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LATIN_1_HALF: &[u8] = b"# Curd\r\n\r\nTake \xbd cup.\r\n";

    fn codes(project: &Project) -> Vec<&'static str> {
        project.problems.iter().map(|found| found.code.name()).collect()
    }

    #[test]
    fn files_are_sorted_and_named_whatever_order_they_come_in() {
        let project = Project::from_files([
            ("theme/style.css", "p {}"),
            ("10-jam/lesson.md", "# Jam"),
            ("02-curd/lesson.md", "# Curd"),
            ("02-curd/pot.svg", "<svg/>"),
            ("course.toml", "title = \"T\""),
        ]);
        let names: Vec<_> = project.lessons.iter().map(|l| (l.slug.as_str(), l.folder.as_str())).collect();
        assert_eq!(names, [("curd", "02-curd"), ("jam", "10-jam")]);
        assert_eq!(project.sources.get(project.lessons[0].file).text, "# Curd");
        assert_eq!(*project.pictures["02-curd/pot.svg"], *b"<svg/>");
        assert_eq!(project.sources.get(project.theme["style.css"]).path, "theme/style.css");
        assert!(project.problems.is_empty());
        let first = project.sources.iter().next().map(|(_, file)| file.path.clone());
        assert_eq!(first.as_deref(), Some("shared/units.toml"));
    }

    #[test]
    fn a_file_that_is_not_utf8_gives_one_finding_at_its_first_strange_letter() {
        let mut files = BTreeMap::new();
        files.insert("course.toml".to_owned(), Content::New(b"title = \"T\"".to_vec()));
        files.insert("01-curd/lesson.md".to_owned(), Content::New(LATIN_1_HALF.to_vec()));
        let project = Project::from_contents(files, None);
        assert_eq!(codes(&project), ["not-utf8"]);
        let span = project.problems.iter().next().unwrap().primary.span;
        assert_eq!(project.sources.text(span), "\u{fffd}");
        let place = project.sources.get(span.file).position(span.start);
        assert_eq!((place.line, place.column), (3, 6));
        assert!(project.lessons.is_empty());
    }

    #[test]
    fn a_course_without_a_lesson_says_so_at_its_course_file() {
        let project = Project::from_files([("course.toml", "title = \"T\"")]);
        assert_eq!(codes(&project), ["no-lessons"]);
        let span = project.problems.iter().next().unwrap().primary.span;
        assert_eq!(Some(span.file), project.course);
        assert_eq!(codes(&Project::from_files::<&str, &str>([])), ["no-lessons"]);
    }

    #[test]
    fn captions_go_to_their_lesson() {
        let project = Project::from_files([
            ("01-curd/lesson.md", "# Curd"),
            ("01-curd/talk.srt", ""),
            ("01-curd/lesson.vtt", "\u{feff}WEBVTT\r\n"),
            ("02-jam.md", "# Jam"),
            ("02-jam.en.vtt", "WEBVTT"),
            ("other.vtt", "WEBVTT"),
        ]);
        let paths = |lesson: usize| -> Vec<&str> {
            let files = project.lessons[lesson].captions.iter();
            files.map(|file| project.sources.get(*file).path.as_str()).collect()
        };
        assert_eq!(paths(0), ["01-curd/lesson.vtt", "01-curd/talk.srt"]);
        assert_eq!(paths(1), ["02-jam.en.vtt"]);
        assert_eq!(project.sources.get(project.lessons[0].captions[0]).text, "WEBVTT\n");
    }

    #[test]
    fn two_lessons_of_one_name_are_found_out() {
        let project = Project::from_files([("01-curd/lesson.md", "# A"), ("02-curd/lesson.md", "# B")]);
        assert_eq!(codes(&project), ["duplicate-id"]);
        assert_eq!(project.lessons.len(), 1);
    }

    #[test]
    fn a_folder_with_two_texts_asks_which_is_the_lesson() {
        let project = Project::from_files([("01-curd/a.md", "# A"), ("01-curd/b.md", "# B")]);
        assert_eq!(codes(&project), ["unclear-lesson"]);
        let message = &project.problems.iter().next().unwrap().message;
        assert_eq!(message, "the folder `01-curd` holds `a.md` and `b.md`, and none of them is `lesson.md`");
    }
}
