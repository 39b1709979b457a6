//! Finds, reads and checks the course that a command is about.

use super::Failure;
use super::progress::Line;
use super::report::Shown;
use pottle::diag::Diagnostics;
use pottle::{Checked, Project, check, read_project};
use std::path::{Path, PathBuf};

/// A course that was read and checked.
pub(super) struct Course {
    /// The way to it as it is shown before its files: empty, or ending in `/`.
    pub base: String,
    /// What was read.
    pub project: Project,
    /// What checking found.
    pub checked: Checked,
    /// All findings: those of checking, and those of files as such.
    pub findings: Diagnostics,
}

impl Course {
    /// What its findings are drawn with.
    pub(super) fn shown(&self) -> Shown<'_> {
        Shown { sources: &self.project.sources, base: &self.base }
    }

    /// Reads and checks the course in `folder`, and shows in `line` how far that has come.
    pub(super) fn open(folder: &Path, line: &Line) -> Result<Course, Failure> {
        Ok(Course::check(folder, Course::read(folder, line)?))
    }

    /// Reads the course in `folder`.
    pub(super) fn read(folder: &Path, line: &Line) -> Result<Project, Failure> {
        Ok(Project { progress: line.progress.clone(), ..read_project(folder)? })
    }

    /// Checks a course that was read from `folder`.
    pub(super) fn check(folder: &Path, project: Project) -> Course {
        let checked = check(&project);
        let mut findings = checked.findings.clone();
        // Checking may have passed these on already; sorting drops the echoes.
        findings.extend(project.problems.clone());
        let findings = findings.sorted();
        Course { base: base(folder), project, checked, findings }
    }
}

/// The folder named, or else `content` here if it is a course, or else the current folder.
pub(super) fn folder_or_default(named: Option<&Path>) -> PathBuf {
    match named {
        Some(folder) => folder.to_owned(),
        None if Path::new("content/course.toml").is_file() => PathBuf::from("content"),
        None => PathBuf::from("."),
    }
}

/// The way to a course as it is shown before its files: empty, or ending in `/`.
pub(super) fn base(folder: &Path) -> String {
    let shown = folder.to_string_lossy();
    match shown.trim_end_matches('/') {
        "." => String::new(),
        way => format!("{way}/"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_to_a_file_can_be_followed() {
        for (folder, expected) in [(".", ""), ("./", ""), ("content", "content/"), ("/a/b/", "/a/b/"), ("/", "/")] {
            assert_eq!(base(Path::new(folder)), expected, "{folder}");
        }
    }
}
