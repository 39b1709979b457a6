//! The finished site: paths and bytes, in order.

use super::links::Links;
use crate::diag::Diagnostics;
use crate::input::Project;
use std::collections::BTreeMap;

/// A finished site. Its files are private: only [`render`](super::render) makes one, and writing asks for one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Site {
    files: BTreeMap<String, Vec<u8>>,
    notes: Diagnostics,
}

impl Site {
    /// All files by path relative to the site's folder, with `/`, in order.
    pub fn files(&self) -> &BTreeMap<String, Vec<u8>> {
        &self.files
    }

    /// What its author may want to know: cards that run on, lessons that have no paper.
    pub fn notes(&self) -> &Diagnostics {
        &self.notes
    }

    pub(super) fn empty() -> Site {
        Site { files: BTreeMap::new(), notes: Diagnostics::default() }
    }

    pub(super) fn note(&mut self, notes: Diagnostics) {
        self.notes.extend(notes);
    }

    /// Adds all of another's files and notes.
    pub(super) fn append(&mut self, other: Site) {
        self.files.extend(other.files);
        self.notes.extend(other.notes);
    }

    pub(super) fn put(&mut self, path: String, bytes: Vec<u8>) {
        self.files.insert(path, bytes);
    }

    /// Copies a picture that a page shows, named by its path in the course folder.
    pub(super) fn put_picture(&mut self, project: &Project, links: &Links<'_>, picture: &str) {
        if let Some(bytes) = project.pictures.get(picture) {
            self.put(links.picture_path(picture), bytes.to_vec());
        }
    }
}
