//! Where links and pictures of a lesson lead on the site.

use super::inline::data_address;
use crate::input::Project;
use crate::recipe::term_of;
use std::collections::{BTreeMap, BTreeSet};

/// Pages that a site has beside its lessons.
const OWN_PAGES: &[&str] = &["index", "glossary", "class-plan", "ledger", "sources", "allergens", "labels"];

/// Turns destinations as authors write them into links that work from any folder and from a memory stick.
pub(super) struct Links<'a> {
    project: &'a Project,
    /// Slugs by the path of the lesson's file and of its folder.
    lessons: BTreeMap<String, &'a str>,
    /// The pages of all lessons.
    pages: BTreeSet<String>,
}

/// Where a link leads.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Target {
    /// To a page of the site, or a place on one.
    Page(String),
    /// To a picture of the course: its path in the course folder, and on the site.
    Picture(String, String),
    /// To the term of the glossary that is named so.
    Term(String),
    /// To an address elsewhere.
    Elsewhere(String),
    /// Nowhere that a page may lead.
    Nowhere,
}

impl<'a> Links<'a> {
    pub(super) fn new(project: &'a Project) -> Links<'a> {
        let mut lessons = BTreeMap::new();
        for lesson in &project.lessons {
            lessons.insert(project.sources.get(lesson.file).path.clone(), lesson.slug.as_str());
            if !lesson.folder.is_empty() {
                lessons.insert(lesson.folder.clone(), lesson.slug.as_str());
            }
        }
        let pages = project.lessons.iter().map(|lesson| Links::lesson_page(&lesson.slug)).collect();
        Links { project, lessons, pages }
    }

    /// The page of a lesson. A lesson whose slug is the name of another page stands aside.
    pub(super) fn lesson_page(slug: &str) -> String {
        // A lesson that is called as one that stands aside would be stands aside in turn, so that no two meet.
        let name = slug.trim_start_matches("lesson-");
        if OWN_PAGES.contains(&name) { format!("lesson-{slug}.html") } else { format!("{slug}.html") }
    }

    /// The page of a lesson that gets by alone. It stands aside for a lesson of that name.
    pub(super) fn take_home_page(&self, slug: &str) -> String {
        let names = (1..).map(|count: usize| match count {
            1 => format!("{slug}-take-home.html"),
            _ => format!("{slug}-take-home-{count}.html"),
        });
        names.skip_while(|name| self.pages.contains(name)).take(1).collect()
    }

    /// A picture as an address that needs no other file, by its path in the course folder.
    pub(super) fn picture_data(&self, picture: &str) -> String {
        data_address(picture, self.project.pictures.get(picture).map_or(&[], |bytes| bytes))
    }

    /// The picture that lies there on the site: its path in the course folder.
    pub(super) fn picture_at(&self, path: &str) -> Option<&'a String> {
        let name = path.strip_prefix("pictures/").or_else(|| path.strip_prefix("course-pictures/"))?;
        let end = name.rsplit('/').next()?;
        self.project.pictures.keys().find(|picture| picture.ends_with(end) && self.picture_path(picture) == path)
    }

    /// Where a destination written in a file of `folder` leads.
    pub(super) fn resolve(&self, folder: &str, destination: &str) -> Target {
        if let Some(word) = term_of(destination) {
            return Target::Term(word);
        }
        if let Some(scheme) = scheme(destination) {
            return match scheme.to_ascii_lowercase().as_str() {
                "http" | "https" | "mailto" | "tel" => Target::Elsewhere(destination.to_owned()),
                _ => Target::Nowhere,
            };
        }
        let (path, fragment) = match destination.split_once('#') {
            Some((path, fragment)) => (path, format!("#{fragment}")),
            None => (destination, String::new()),
        };
        if path.is_empty() {
            return Target::Page(fragment);
        }
        let Some(path) = joined(folder, &decoded(path)) else {
            return Target::Nowhere;
        };
        if let Some(slug) = self.lessons.get(&path) {
            return Target::Page(format!("{}{fragment}", Links::lesson_page(slug)));
        }
        match path.as_str() {
            "" => Target::Page(format!("index.html{fragment}")),
            "glossary.md" => Target::Page(format!("glossary.html{fragment}")),
            _ if self.project.pictures.contains_key(&path) => {
                let href = encoded(&self.picture_path(&path));
                Target::Picture(path, href)
            }
            _ => Target::Nowhere,
        }
    }

    /// Where a picture lies on the site, by its path in the course folder.
    pub(super) fn picture_path(&self, picture: &str) -> String {
        let folders = picture.rmatch_indices('/').map(|(at, _)| picture.split_at(at));
        let owner = folders.filter_map(|(folder, rest)| Some((self.lessons.get(folder)?, &rest[1..]))).next();
        match owner {
            Some((slug, rest)) => format!("pictures/{slug}/{rest}"),
            None => format!("course-pictures/{picture}"), // beside `pictures`, so that it meets no lesson's slug
        }
    }
}

/// `https` of `https://…`; `None` for a path.
fn scheme(destination: &str) -> Option<&str> {
    if destination.starts_with("//") {
        return Some("");
    }
    let (before, _) = destination.split_once(':')?;
    (!before.contains(['/', '#', '?', '.'])).then_some(before)
}

/// A path relative to the course folder; `None` when it leaves it.
fn joined(folder: &str, path: &str) -> Option<String> {
    if path.starts_with('/') {
        return None;
    }
    let mut parts: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop()?;
            }
            _ => parts.push(part),
        }
    }
    Some(parts.join("/"))
}

fn decoded(path: &str) -> String {
    let bytes = path.as_bytes();
    let mut out = Vec::with_capacity(bytes.len());
    let mut at = 0;
    while at < bytes.len() {
        let pair = path.get(at + 1..at + 3).filter(|_| bytes[at] == b'%');
        match pair.and_then(|pair| u8::from_str_radix(pair, 16).ok()) {
            Some(byte) => {
                out.push(byte);
                at += 3;
            }
            None => {
                out.push(bytes[at]);
                at += 1;
            }
        }
    }
    String::from_utf8(out).unwrap_or_else(|_| path.to_owned())
}

/// A path fit for an address.
pub(super) fn encoded(path: &str) -> String {
    let mut out = String::with_capacity(path.len());
    for byte in path.bytes() {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => out.push(char::from(byte)),
            _ => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::LessonFile;

    fn project() -> Project {
        let mut project = Project::default();
        for (folder, slug) in [("01-clean-pans", "clean-pans"), ("02-pressed-curd", "pressed-curd")] {
            let file = project.sources.add(format!("{folder}/lesson.md"), "");
            project.lessons.push(LessonFile {
                slug: slug.to_owned(),
                folder: folder.to_owned(),
                file,
                captions: Vec::new(),
            });
        }
        for picture in ["02-pressed-curd/the pot.svg", "hall.svg"] {
            project.pictures.insert(picture.to_owned(), Vec::new().into());
        }
        project
    }

    #[test]
    fn links_between_lessons_become_links_between_pages() {
        let project = project();
        let links = Links::new(&project);
        for (written, want) in [
            ("../01-clean-pans/lesson.md", "clean-pans.html"),
            ("../01-clean-pans/lesson.md#rinse", "clean-pans.html#rinse"),
            ("../01-clean-pans/", "clean-pans.html"),
            ("lesson.md#heat", "pressed-curd.html#heat"),
            ("../glossary.md#clear-whey", "glossary.html#clear-whey"),
            ("#heat", "#heat"),
            ("..", "index.html"),
        ] {
            assert_eq!(links.resolve("02-pressed-curd", written), Target::Page(want.to_owned()), "{written}");
        }
    }

    #[test]
    fn pictures_lie_under_the_slug_and_spaces_are_encoded() {
        let project = project();
        let links = Links::new(&project);
        for written in ["the pot.svg", "./the%20pot.svg", "../02-pressed-curd/the%20pot.svg"] {
            let want = Target::Picture(
                "02-pressed-curd/the pot.svg".to_owned(),
                "pictures/pressed-curd/the%20pot.svg".to_owned(),
            );
            assert_eq!(links.resolve("02-pressed-curd", written), want, "{written}");
        }
        let want = Target::Picture("hall.svg".to_owned(), "course-pictures/hall.svg".to_owned());
        assert_eq!(links.resolve("02-pressed-curd", "../hall.svg"), want);
        for picture in project.pictures.keys() {
            assert_eq!(links.picture_at(&links.picture_path(picture)), Some(picture));
        }
        for other in ["pictures/hall.svg", "hall.svg", "pictures/../hall.svg", "pictures/", "course.toml"] {
            assert_eq!(links.picture_at(other), None);
        }
    }

    #[test]
    fn a_take_home_page_takes_no_lessons_name() {
        let mut project = project();
        assert_eq!(Links::new(&project).take_home_page("pressed-curd"), "pressed-curd-take-home.html");
        let file = project.sources.add("03-pressed-curd-take-home.md", "");
        let slug = "pressed-curd-take-home".to_owned();
        project.lessons.push(LessonFile { slug, folder: String::new(), file, captions: Vec::new() });
        assert_eq!(Links::new(&project).take_home_page("pressed-curd"), "pressed-curd-take-home-2.html");
    }

    #[test]
    fn what_a_page_must_not_lead_to_is_no_link() {
        let project = project();
        let links = Links::new(&project);
        assert_eq!(links.resolve("02-pressed-curd", "term:clear%20whey"), Target::Term("clear whey".to_owned()));
        for written in
            ["javascript:alert(1)", "JavaScript:x", "data:text/html,x", "//host/x", "/etc", "../../x", "no.svg"]
        {
            assert_eq!(links.resolve("02-pressed-curd", written), Target::Nowhere, "{written}");
        }
    }
}
