//! How far the work on a course has come, for whoever waits for it.
//!
//! The stages only count here; nobody's answer depends on it, and nothing is shown. A command line looks now and then:
//!
//! ```
//! use pottle::input::Work;
//! let project = pottle::Project::from_files([("course.toml", "title = \"Teas\""), ("01-tea/lesson.md", "# Tea")]);
//! pottle::check(&project);
//! let reached = project.progress.reached();
//! assert_eq!((reached.work, reached.done, reached.of), (Work::Checking, 1, 1));
//! ```

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// What is being done to a course.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Work {
    /// Its files are read.
    Reading,
    /// Lessons are taken apart into blocks and words.
    Parsing,
    /// Words are held to recipes, lesson by lesson.
    Checking,
    /// Repairs are tried, one after the other.
    Mending,
    /// Pages, cards and handouts are made, lesson by lesson.
    Printing,
    /// What is about all lessons together is made: the booklet, labels, lists.
    Binding,
    /// Files are written.
    Writing,
}

const WORKS: [Work; 7] =
    [Work::Reading, Work::Parsing, Work::Checking, Work::Mending, Work::Printing, Work::Binding, Work::Writing];

/// How far it has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reached {
    /// What is being done.
    pub work: Work,
    /// How many of them are done.
    pub done: usize,
    /// How many there are in all; 0 where that is not known.
    pub of: usize,
}

/// A counter that the stages raise, from several threads at once, and that somebody else may read meanwhile. A clone is
/// the same counter.
#[derive(Debug, Clone, Default)]
pub struct Progress(Arc<AtomicU64>);

/// A course is the same course however far the work on it has come.
impl PartialEq for Progress {
    fn eq(&self, _: &Progress) -> bool {
        true
    }
}

impl Eq for Progress {}

/// How many bits each of the two numbers has. They lie in one word with the kind of work, so that they always belong
/// together.
const BITS: u32 = 28;
const MOST: u64 = (1 << BITS) - 1;

impl Progress {
    /// Begins a work on so many lessons, or on 0 where nobody counts.
    pub fn start(&self, work: Work, of: usize) {
        let of = u64::try_from(of).unwrap_or(MOST).min(MOST);
        self.0.store((work as u64) << (2 * BITS) | of << BITS, Ordering::Relaxed);
    }

    /// One more is done.
    pub fn one_done(&self) {
        self.0.fetch_add(1, Ordering::Relaxed);
    }

    /// How far the work has come.
    pub fn reached(&self) -> Reached {
        let word = self.0.load(Ordering::Relaxed);
        let number = |word: u64| usize::try_from(word & MOST).unwrap_or(0);
        let work = WORKS.get(number(word >> (2 * BITS))).copied().unwrap_or(Work::Reading);
        Reached { work, done: number(word), of: number(word >> BITS) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_threads_count_as_one() {
        let progress = Progress::default();
        assert_eq!(progress.reached(), Reached { work: Work::Reading, done: 0, of: 0 });
        progress.start(Work::Writing, 4000);
        std::thread::scope(|scope| {
            for _ in 0..4 {
                scope.spawn(|| (0..1000).for_each(|_| progress.one_done()));
            }
        });
        assert_eq!(progress.reached(), Reached { work: Work::Writing, done: 4000, of: 4000 });
        for work in WORKS {
            progress.start(work, 1);
            assert_eq!(progress.reached(), Reached { work, done: 0, of: 1 });
        }
    }
}
