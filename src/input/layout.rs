//! What each file of a course folder is, told by its path alone.

use std::collections::{BTreeMap, BTreeSet};

/// What a file is to a course.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    /// `course.toml`.
    Course,
    /// `pantry.toml`.
    Pantry,
    /// `facts.toml`.
    Facts,
    /// `glossary.md`.
    Glossary,
    /// The text of a lesson.
    Lesson,
    /// One of several texts in a folder that has no `lesson.md`: which is the lesson?
    Unclear,
    /// A file of the course's own theme.
    Theme,
    /// A picture.
    Picture,
    /// Captions of a lesson's recording: of the lesson in the same folder, or of one whose file has the same name.
    Captions,
}

const PICTURES: [&str; 6] = ["svg", "png", "jpg", "jpeg", "webp", "gif"];
const CAPTIONS: [&str; 2] = ["vtt", "srt"];
const NOT_LESSONS: [&str; 3] = ["README.md", "glossary.md", "DEVELOPERS.md"];

/// The files that make up a course, of all paths below its folder; the others are none of our business.
pub(super) fn layout<'a>(paths: impl IntoIterator<Item = &'a str>) -> BTreeMap<&'a str, Role> {
    let mut paths: BTreeSet<&str> = paths.into_iter().collect();
    let other_courses: Vec<&str> = paths
        .iter()
        .filter_map(|path| path.strip_suffix("course.toml"))
        .filter(|folder| folder.ends_with('/'))
        .collect();
    paths.retain(|path| !other_courses.iter().any(|folder| path.starts_with(folder)));
    let mut roles: BTreeMap<&str, Role> = paths.iter().filter_map(|path| Some((*path, single_role(path)?))).collect();
    choose_lessons(&paths, &mut roles);
    roles
}

/// What a path means without a look at its neighbours.
fn single_role(path: &str) -> Option<Role> {
    if extension(path).is_some_and(|end| PICTURES.iter().any(|known| end.eq_ignore_ascii_case(known))) {
        return Some(Role::Picture);
    }
    match path {
        "course.toml" => Some(Role::Course),
        "pantry.toml" => Some(Role::Pantry),
        "facts.toml" => Some(Role::Facts),
        "glossary.md" => Some(Role::Glossary),
        _ if path.starts_with("theme/") => Some(Role::Theme),
        _ if may_be_captions(path) => Some(Role::Captions),
        _ if !path.contains('/') && may_be_lesson(path) => Some(Role::Lesson),
        _ => None,
    }
}

/// In each folder: `lesson.md`, or else its only text.
fn choose_lessons<'a>(paths: &BTreeSet<&'a str>, roles: &mut BTreeMap<&'a str, Role>) {
    let mut texts: BTreeMap<&str, Vec<&'a str>> = BTreeMap::new();
    for path in paths {
        match path.split_once('/') {
            Some((folder, name)) if folder != "theme" && !name.contains('/') && may_be_lesson(name) => {
                texts.entry(folder).or_default().push(path);
            }
            _ => {}
        }
    }
    for (folder, candidates) in texts {
        let named = candidates.iter().find(|path| path[folder.len() + 1..].eq_ignore_ascii_case("lesson.md"));
        match (named, candidates.as_slice()) {
            (Some(lesson), _) => drop(roles.insert(lesson, Role::Lesson)),
            (None, [only]) => drop(roles.insert(only, Role::Lesson)),
            (None, several) => roles.extend(several.iter().map(|path| (*path, Role::Unclear))),
        }
    }
}

fn may_be_lesson(name: &str) -> bool {
    extension(name).is_some_and(|end| end.eq_ignore_ascii_case("md"))
        && !NOT_LESSONS.iter().any(|other| other.eq_ignore_ascii_case(name))
}

fn may_be_captions(path: &str) -> bool {
    path.matches('/').count() <= 1
        && extension(path).is_some_and(|end| CAPTIONS.iter().any(|known| end.eq_ignore_ascii_case(known)))
}

/// Whether captions belong to a lesson: they lie in its folder, or beside it under its name.
pub(super) fn belongs_to(captions: &str, lesson: &str) -> bool {
    if folder_of(captions) != folder_of(lesson) {
        return false;
    }
    !folder_of(lesson).is_empty()
        || captions.strip_prefix(lesson_name(lesson)).is_some_and(|rest| rest.starts_with('.'))
}

fn extension(path: &str) -> Option<&str> {
    let name = path.rsplit('/').next()?;
    name.rsplit_once('.').map(|(_, end)| end)
}

/// The folder of a lesson, empty for one that lies in the course folder itself.
pub(super) fn folder_of(path: &str) -> &str {
    path.rsplit_once('/').map_or("", |(folder, _)| folder)
}

/// The name that a lesson takes its slug and its turn from: its folder's, else its file's without the ending.
fn lesson_name(path: &str) -> &str {
    match folder_of(path) {
        "" => path.rsplit_once('.').map_or(path, |(name, _)| name),
        folder => folder,
    }
}

/// `02-pressed-curd/lesson.md` and `02-pressed-curd.md` give `pressed-curd`.
///
/// What does not belong in a link becomes a dash, so that `02 Pressed curd` gives the same.
pub(super) fn slug(path: &str) -> String {
    let name = lesson_name(path);
    let rest = name.trim_start_matches(|letter: char| letter.is_ascii_digit());
    let rest = rest.trim_start_matches(|letter: char| "-_.".contains(letter) || letter.is_whitespace());
    let lower = if rest.is_empty() { name.to_lowercase() } else { rest.to_lowercase() };
    let words: Vec<&str> =
        lower.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    words.join("-")
}

/// Sorts lessons: by number first, so that `10-…` comes after `9-…`, then by name.
pub(super) fn turn(path: &str) -> (u64, String) {
    let name = lesson_name(path);
    let digits: String = name.chars().take_while(char::is_ascii_digit).collect();
    (digits.parse().unwrap_or(u64::MAX), path.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_file_gets_its_role() {
        let paths = [
            "course.toml",
            "pantry.toml",
            "facts.toml",
            "glossary.md",
            "README.md",
            "01-pans/lesson.md",
            "01-pans/notes.md",
            "01-pans/pan.SVG",
            "02-curd/curd.md",
            "02-curd/README.md",
            "03-butter.md",
            "theme/style.css",
            "theme/logo.png",
            "04-jam/deep/lesson.md",
            "05-two/a.md",
            "05-two/b.md",
            "notes.txt",
            "01-pans/lesson.vtt",
            "01-pans/lesson.fr.SRT",
            "03-butter.vtt",
            "04-jam/deep/lesson.vtt",
        ];
        let found = layout(paths);
        let of = |role: Role| found.iter().filter(|(_, r)| **r == role).map(|(path, _)| *path).collect::<Vec<_>>();
        assert_eq!(of(Role::Lesson), ["01-pans/lesson.md", "02-curd/curd.md", "03-butter.md"]);
        assert_eq!(of(Role::Unclear), ["05-two/a.md", "05-two/b.md"]);
        assert_eq!(of(Role::Picture), ["01-pans/pan.SVG", "theme/logo.png"]);
        assert_eq!(of(Role::Theme), ["theme/style.css"]);
        assert_eq!(of(Role::Glossary), ["glossary.md"]);
        assert_eq!(of(Role::Captions), ["01-pans/lesson.fr.SRT", "01-pans/lesson.vtt", "03-butter.vtt"]);
        for left_out in
            ["README.md", "01-pans/notes.md", "04-jam/deep/lesson.md", "notes.txt", "04-jam/deep/lesson.vtt"]
        {
            assert!(!found.contains_key(left_out), "{left_out}");
        }
    }

    #[test]
    fn captions_belong_to_the_lesson_they_lie_beside() {
        assert!(belongs_to("01-a/talk.vtt", "01-a/lesson.md"));
        assert!(belongs_to("03-butter.en.vtt", "03-butter.md"));
        assert!(!belongs_to("03-butter-two.vtt", "03-butter.md"));
        assert!(!belongs_to("02-b/talk.vtt", "01-a/lesson.md"));
    }

    #[test]
    fn a_course_inside_a_course_is_left_alone() {
        let found = layout(["course.toml", "01-a/lesson.md", "old/course.toml", "old/lesson.md", "old/x.png"]);
        assert_eq!(found.keys().copied().collect::<Vec<_>>(), ["01-a/lesson.md", "course.toml"]);
    }

    #[test]
    fn slugs_lose_their_number_and_fit_a_link() {
        for (path, expected) in [
            ("02-pressed-curd/lesson.md", "pressed-curd"),
            ("02-pressed-curd.md", "pressed-curd"),
            ("2_Pressed Curd/curd.md", "pressed-curd"),
            ("03. plum jam.md", "plum-jam"),
            ("07/lesson.md", "07"),
            ("crème-fraîche/lesson.md", "crème-fraîche"),
        ] {
            assert_eq!(slug(path), expected, "{path}");
        }
    }

    #[test]
    fn lessons_are_in_the_order_of_their_numbers() {
        let mut paths = ["10-jam/lesson.md", "9-salt.md", "extra/lesson.md", "01-pans/lesson.md"];
        paths.sort_by_key(|path| turn(path));
        assert_eq!(paths, ["01-pans/lesson.md", "9-salt.md", "10-jam/lesson.md", "extra/lesson.md"]);
    }
}
