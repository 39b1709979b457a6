//! What lowering remembers of lessons for the next time: a lesson is read again only where something that it is made from
//! has changed.

use super::common::Common;
use super::model::{Lesson, Measure};
use crate::diag::Diagnostics;
use crate::input::{LessonFile, Project};
use crate::source::FileId;
use std::collections::{BTreeMap, BTreeSet};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

/// Tells apart all that a lesson can be made from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct Key(u64);

impl Key {
    /// Of the tables and settings that all lessons share.
    pub(super) fn shared(project: &Project) -> Key {
        let lessons: BTreeSet<FileId> = project.lessons.iter().flat_map(LessonFile::files).collect();
        let theme: BTreeSet<FileId> = project.theme.values().copied().collect();
        let mut hasher = DefaultHasher::new();
        let shared = project.sources.iter().filter(|(id, _)| !lessons.contains(id) && !theme.contains(id));
        for (id, file) in shared {
            (id, &file.path, file.digest()).hash(&mut hasher);
        }
        Key(hasher.finish())
    }

    /// Of one lesson: its texts, and where it stands.
    pub(super) fn lesson(self, project: &Project, lesson: &LessonFile, index: usize, first_measure: usize) -> Key {
        let mut hasher = DefaultHasher::new();
        (self, index, first_measure, &lesson.slug, &lesson.folder).hash(&mut hasher);
        for id in lesson.files() {
            (id, project.sources.get(id).digest()).hash(&mut hasher);
        }
        Key(hasher.finish())
    }

    /// Of anything.
    pub(crate) fn of(it: impl Hash) -> Key {
        let mut hasher = DefaultHasher::new();
        it.hash(&mut hasher);
        Key(hasher.finish())
    }

    /// With something more.
    pub(crate) fn and(self, more: impl Hash) -> Key {
        Key::of((self, more))
    }
}

/// What a course's lessons share, and the lessons of the last time by their names.
#[derive(Debug, Clone, Default)]
pub struct Memory {
    common: Option<Arc<Common>>,
    lessons: BTreeMap<String, Remembered>,
}

/// A lesson as it was lowered.
#[derive(Debug, Clone)]
pub(super) struct Remembered {
    pub key: Key,
    pub lesson: Arc<Lesson>,
    pub measures: Arc<[Arc<Measure>]>,
    pub found: Diagnostics,
    /// What is wrong with its links and pictures, where all that they can lead to is as the key says.
    pub links: Option<(Key, Diagnostics)>,
}

impl Memory {
    /// What is known of a lesson that has not changed.
    pub(super) fn recall(&self, slug: &str, key: Key) -> Option<&Remembered> {
        self.lessons.get(slug).filter(|known| known.key == key)
    }

    /// How many measures a lesson had the last time.
    pub(super) fn measures_of(&self, slug: &str) -> usize {
        self.lessons.get(slug).map_or(0, |known| known.measures.len())
    }

    /// What all lessons share, if it has not changed.
    pub(super) fn common(&self, key: Key) -> Option<Arc<Common>> {
        self.common.clone().filter(|common| common.key == key)
    }

    /// Keeps this course's lessons and forgets all others.
    pub(super) fn keep(&mut self, common: Arc<Common>, lessons: impl IntoIterator<Item = (String, Remembered)>) {
        self.common = Some(common);
        self.lessons = lessons.into_iter().collect();
    }
}
