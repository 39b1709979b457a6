//! The demo course, published as readers get it.

use super::server::Server;
use pottle::{CheckedCourse, Project, Site, check, read_project, render, write_site};
use std::path::Path;
use std::sync::OnceLock;
use tempfile::TempDir;

/// The demo course and what it is made from.
pub fn demo() -> &'static (Project, CheckedCourse) {
    static DEMO: OnceLock<(Project, CheckedCourse)> = OnceLock::new();
    DEMO.get_or_init(|| {
        let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall");
        let project = read_project(&content).expect("the demo course is there");
        let course = check(&project).course.expect("the demo course is clean");
        (project, course)
    })
}

fn site() -> &'static Site {
    static SITE: OnceLock<Site> = OnceLock::new();
    SITE.get_or_init(|| {
        let (project, course) = demo();
        render(project, course).expect("the theme is sound")
    })
}

/// A fresh copy on disk.
pub fn published() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    write_site(site(), folder.path()).expect("a new folder can be written");
    folder
}

/// A server of a fresh copy.
pub fn served() -> Server {
    Server::start(published())
}

/// Some other course, published.
pub fn published_course(content: &Path) -> TempDir {
    let project = read_project(content).expect("the course is there");
    let course = check(&project).course.expect("the course is clean");
    let folder = tempfile::tempdir().expect("a folder");
    write_site(&render(&project, &course).expect("the theme is sound"), folder.path()).expect("it is new");
    folder
}

/// A server of some other course.
pub fn served_course(content: &Path) -> Server {
    Server::start(published_course(content))
}

/// The file names of all pages.
pub fn pages() -> Vec<&'static str> {
    let pages: Vec<&str> = site().files().keys().map(String::as_str).filter(|path| path.ends_with(".html")).collect();
    assert!(pages.len() > 2, "an index, a glossary and lessons");
    pages
}
