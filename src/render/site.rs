//! The finished site: paths and bytes, in order.

use super::again::digest;
use super::links::Links;
use crate::diag::Diagnostics;
use crate::input::Project;
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use std::collections::BTreeMap;

/// A finished site. Its files are private: only [`render`](super::render) makes one, and writing asks for one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Site {
    files: BTreeMap<String, Vec<u8>>,
    taken: BTreeMap<String, TakenFile>,
    notes: Diagnostics,
}

/// A file that was taken as soon as it was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenFile {
    /// Of its bytes.
    pub digest: String,
    /// How many it holds.
    pub bytes: u64,
}

/// Takes files of a site while others are made, so that not all of them have to be held until the end.
pub type Taker<'a> = &'a (dyn Fn(&BTreeMap<String, Vec<u8>>) + Sync);

impl Site {
    /// All files by path relative to the site's folder, with `/`, in order; without those that were taken before.
    pub fn files(&self) -> &BTreeMap<String, Vec<u8>> {
        &self.files
    }

    /// The files that were taken before, by path.
    pub fn taken(&self) -> &BTreeMap<String, TakenFile> {
        &self.taken
    }

    /// What its author may want to know: cards that run on, lessons that have no paper.
    pub fn notes(&self) -> &Diagnostics {
        &self.notes
    }

    pub(super) fn empty() -> Site {
        Site { files: BTreeMap::new(), taken: BTreeMap::new(), notes: Diagnostics::default() }
    }

    pub(super) fn note(&mut self, notes: Diagnostics) {
        self.notes.extend(notes);
    }

    /// Adds all of another's files and notes.
    pub(super) fn append(&mut self, other: Site) {
        self.files.extend(other.files);
        self.taken.extend(other.taken);
        self.notes.extend(other.notes);
    }

    /// Has its files taken.
    pub(super) fn hand_to(&mut self, taker: Taker<'_>) {
        let files = std::mem::take(&mut self.files);
        taker(&files);
        let told =
            |(path, bytes): (String, Vec<u8>)| (path, TakenFile { digest: digest(&bytes), bytes: bytes.len() as u64 });
        self.taken.extend(files.into_iter().map(told));
    }

    /// The digests of all files, by path.
    pub(super) fn digests(&self) -> BTreeMap<String, String> {
        let files: Vec<(&String, &Vec<u8>)> = self.files.iter().collect();
        let here = files.par_iter().map(|(path, bytes)| ((*path).clone(), digest(bytes)));
        let mut all: BTreeMap<String, String> = here.collect();
        all.extend(self.taken.iter().map(|(path, file)| (path.clone(), file.digest.clone())));
        all
    }

    pub(super) fn put(&mut self, path: String, bytes: Vec<u8>) {
        self.taken.remove(&path);
        self.files.insert(path, bytes);
    }

    /// Copies a picture that a page shows, named by its path in the course folder.
    pub(super) fn put_picture(&mut self, project: &Project, links: &Links<'_>, picture: &str) {
        if let Some(bytes) = project.pictures.get(picture) {
            self.put(links.picture_path(picture), bytes.to_vec());
        }
    }
}
