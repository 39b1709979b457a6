//! What of the last site stays as it is: the files of lessons for which everything that they are made from is the same.
//!
//! Each site that is published again and again carries a list of what its lessons were made from, as digests. A lesson's
//! files are made from its own texts, the tables, settings, theme and pictures of the course, and what pages show of other
//! lessons: names, recipes, and how their words state what is in those. One digest holds all of that for a lesson. It is
//! compared only after the new texts were read and checked, and files count only while their bytes are those that were
//! written: nothing is trusted over a changed file.

use super::{Cx, Press, Printed, Site, Taker};
use crate::diag::Diagnostics;
use crate::input::{LessonFile, Project};
use crate::source::{FileId, Span};
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::hash::{Hash, Hasher};

/// A list's file, hidden beside the list of all files.
pub(crate) const MADE: &str = ".pottle-made";

/// What the lessons of a site were made from.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Made {
    /// Digest of the program and of every text and picture of the course; empty where its author was told something, and
    /// is to be told again.
    pub course: String,
    /// By slug.
    pub lessons: BTreeMap<String, MadeLesson>,
    /// Digests of all files, by path.
    pub files: BTreeMap<String, String>,
}

/// What a lesson's files were made from, and which they are.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct MadeLesson {
    key: String,
    files: Vec<String>,
    /// Terms linked, with the fragment of their first use.
    uses: BTreeMap<usize, String>,
}

/// A site that is made again and again.
#[derive(Clone, Copy)]
pub struct Again<'a> {
    /// Tells this program from others, which make other files of the same course.
    pub maker: &'a str,
    /// The site that was made the last time.
    pub last: Option<&'a LastSite<'a>>,
    /// Whether checking had nothing to tell.
    pub quiet: bool,
    /// Takes the files of each lesson as soon as they are made.
    pub taker: Option<Taker<'a>>,
}

/// The site that was published last, as far as it can be read.
pub struct LastSite<'a> {
    /// Its list.
    pub made: &'a Made,
    /// A file of it by its path; nothing where its bytes have this digest no longer.
    pub file: &'a (dyn Fn(&str, &str) -> Option<Vec<u8>> + Sync),
}

impl Made {
    /// The list of a site, from the text that it carries; nothing where that is no such list.
    pub fn read(text: &[u8]) -> Option<Made> {
        serde_json::from_slice(text).ok()
    }
}

/// The digest of bytes, as lists hold it.
pub fn digest(bytes: &[u8]) -> String {
    hex(Sha256::digest(bytes).as_ref())
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Digest of the program and of every text and picture of a course. `maker` tells the program from others.
pub fn course_digest(project: &Project, maker: &str) -> String {
    let mut sum = Sum::new(maker);
    project.sources.iter().for_each(|(_, file)| sum.add(&[&file.path, &file.on_disk()]));
    sum.pictures(project);
    sum.done()
}

/// Digest after digest; lengths go in too, so that no two lists run together to the same bytes.
struct Sum(Sha256);

impl Sum {
    fn new(first: &str) -> Sum {
        let mut sum = Sum(Sha256::new());
        sum.add(&[first]);
        sum
    }

    fn add(&mut self, texts: &[&str]) {
        for text in texts {
            self.0.update((text.len() as u64).to_le_bytes());
            self.0.update(text);
        }
    }

    fn pictures(&mut self, project: &Project) {
        for (path, bytes) in &project.pictures {
            self.add(&[path, &digest(bytes)]);
        }
    }

    fn done(self) -> String {
        hex(self.0.finalize().as_ref())
    }
}

/// Tells what each lesson is made from.
pub(super) struct Keys(Vec<String>);

impl Keys {
    pub(super) fn new(cx: &Cx<'_>, project: &Project, maker: &str) -> Keys {
        let of_lessons: BTreeSet<FileId> = project.lessons.iter().flat_map(LessonFile::files).collect();
        let mut shared = Sum::new(maker);
        for (_, file) in project.sources.iter().filter(|(id, _)| !of_lessons.contains(id)) {
            shared.add(&[&file.path, &file.text]);
        }
        shared.pictures(project);
        let lessons = 0..cx.course.lessons.len();
        let outlines: Vec<String> = lessons.clone().into_par_iter().map(|lesson| outline(cx, lesson)).collect();
        outlines.iter().for_each(|outline| shared.add(&[outline]));
        let shared = shared.done();
        let key = |index: usize| {
            let lesson = &project.lessons[index];
            let mut sum = Sum::new(&shared);
            sum.add(&[&index.to_string(), &lesson.slug, &lesson.folder]);
            for file in lesson.files().map(|id| project.sources.get(id)) {
                sum.add(&[&file.path, &file.text]);
            }
            sum.done()
        };
        Keys(lessons.into_par_iter().map(key).collect())
    }
}

/// What pages of other lessons may show of a lesson.
fn outline(cx: &Cx<'_>, index: usize) -> String {
    let lesson = &cx.course.lessons[index];
    let taught: Vec<usize> = lesson.teaches.iter().map(|one| one.term).collect();
    let summary = lesson.summary.as_ref().map(|summary| &summary.text);
    let names = (&lesson.slug, &lesson.folder, &lesson.title, summary, &lesson.published, taught, lesson.steps.len());
    let recipe = lesson.recipe.as_ref().map_or("", |recipe| block_text(&cx.sources.get(lesson.file).text, recipe.span));
    let session = lesson.session.map(|id| cx.course.measure(id).amount);
    let mut sum = Hashed(Sha256::new());
    (names, recipe, session).hash(&mut sum);
    for (id, one) in cx.course.measures_of(index) {
        (&one.path, one.amount, one.scales, one.owner, cx.mentions.stated(id)).hash(&mut sum);
    }
    hex(sum.0.finalize().as_ref())
}

/// Values as the bytes by which the standard library tells them apart, which are the same in every run of one program.
struct Hashed(Sha256);

impl Hasher for Hashed {
    fn write(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    /// Of no use: a digest is longer.
    fn finish(&self) -> u64 {
        0
    }
}

/// The text of the block to which a place belongs, from there to the fence that ends it.
fn block_text(text: &str, place: Span) -> &str {
    let line = text[..place.start].rfind('\n').map_or(0, |at| at + 1);
    let opening = text[line..].trim_start_matches([' ', '>']);
    let fence = &opening[..opening.len() - opening.trim_start_matches(['`', '~']).len()];
    let block = &text[place.start..];
    let mut lines = block.match_indices('\n').map(|(at, _)| at + 1);
    let end = lines.find(|at| !fence.is_empty() && block[*at..].trim_start_matches([' ', '>']).starts_with(fence));
    &block[..end.unwrap_or(block.len())]
}

impl Press<'_> {
    /// The files of a lesson as the last site has them, where nothing has changed that they are made from.
    pub(super) fn kept(&self, lesson: usize, keys: &Keys, last: &LastSite<'_>) -> Option<Printed> {
        let known = last.made.lessons.get(&self.cx.course.lessons[lesson].slug)?;
        if known.key != keys.0[lesson] {
            return None;
        }
        let mut site = Site::empty();
        for path in &known.files {
            site.put(path.clone(), (last.file)(path, last.made.files.get(path)?)?);
        }
        Some(Printed { site, faults: Diagnostics::default(), uses: known.uses.clone() })
    }
}

/// What each lesson was made from, and what came of it. One with something to tell its author is left out: it is made
/// again, and tells it again.
pub(super) fn made_lessons(cx: &Cx<'_>, keys: &Keys, printed: &[Printed]) -> BTreeMap<String, MadeLesson> {
    let lessons = cx.course.lessons.iter().zip(&keys.0).zip(printed);
    let told = lessons.filter(|(_, printed)| printed.site.notes().is_empty() && printed.faults.is_empty());
    let made = told.map(|((lesson, key), printed)| {
        let files = printed.site.files().keys().chain(printed.site.taken().keys()).cloned().collect();
        (lesson.slug.clone(), MadeLesson { key: key.clone(), files, uses: printed.uses.clone() })
    });
    made.collect()
}

/// Puts the list on a site.
pub(super) fn put_made(site: &mut Site, made: &Made) {
    // Texts under fixed names always make JSON.
    let text = serde_json::to_vec(made).unwrap_or_default();
    site.put(MADE.to_owned(), text);
}
