//! Courses that paper is made from.

use super::hostile;
use pottle::{CheckedCourse, Project, Site, check, read_project, render};
use std::fs;
use std::path::Path;
use std::sync::OnceLock;
use tempfile::TempDir;

/// A course, read and checked.
pub struct Course {
    pub project: Project,
    pub checked: CheckedCourse,
    site: OnceLock<Site>,
}

impl Course {
    fn read(folder: &Path) -> Course {
        let project = read_project(folder).expect("the course is there");
        let checked = check(&project).course.expect("the course is clean");
        Course { project, checked, site: OnceLock::new() }
    }

    /// The page of a lesson as it is published.
    pub fn page(&self, lesson: usize) -> &str {
        let name = format!("{}.html", self.checked.course().lessons[lesson].slug);
        std::str::from_utf8(self.file(&name)).expect("a page is text")
    }

    /// A file as it is published.
    pub fn file(&self, name: &str) -> &[u8] {
        let site = self.site.get_or_init(|| render(&self.project, &self.checked).expect("the theme is sound"));
        &site.files()[name]
    }

    /// What is written in the drawings of the course.
    pub fn labels(&self) -> Vec<String> {
        let drawings = self.project.pictures.iter().filter(|(path, _)| path.ends_with(".svg"));
        let texts = drawings.flat_map(|(_, bytes)| {
            let text = std::str::from_utf8(bytes).expect("drawings are text");
            text.split("<text").skip(1).filter_map(|rest| rest.split_once('>')?.1.split("</text>").next())
        });
        texts.map(|label| label.split(['<', '>']).step_by(2).collect::<Vec<_>>().join(" ")).collect()
    }

    /// The number of a lesson.
    pub fn lesson(&self, slug: &str) -> usize {
        let lessons = &self.checked.course().lessons;
        lessons.iter().position(|lesson| lesson.slug == slug).expect("the lesson is there")
    }
}

/// Where the demo course lies, when it has an address.
pub const ADDRESS: &str = "https://saltmarsh.example/evenings/";

/// The folder of the demo course, with an address for its codes.
pub fn with_address() -> TempDir {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall");
    let folder = tempfile::tempdir().expect("a folder");
    copy(&content, folder.path());
    let file = folder.path().join("course.toml");
    let text = fs::read_to_string(&file).expect("every course has one");
    let kept: Vec<&str> = text.lines().filter(|line| !line.starts_with("address")).collect();
    fs::write(&file, format!("address = \"{ADDRESS}\"\n{}\n", kept.join("\n"))).expect("the copy is ours");
    folder
}

/// That course.
pub fn demo() -> &'static Course {
    static DEMO: OnceLock<Course> = OnceLock::new();
    DEMO.get_or_init(|| Course::read(with_address().path()))
}

/// The lesson that is hard to set.
pub fn hard() -> &'static Course {
    static HARD: OnceLock<Course> = OnceLock::new();
    HARD.get_or_init(|| Course::read(hostile::course().path()))
}

fn copy(from: &Path, to: &Path) {
    for entry in fs::read_dir(from).expect("the course can be read") {
        let entry = entry.expect("the course can be read");
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            fs::create_dir(&target).expect("the copy is ours");
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).expect("the copy is ours");
        }
    }
}
