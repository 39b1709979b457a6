//! Reads a course folder once, into memory.
//!
//! `layout` says by its path alone what a file is to a course, `disk` walks and reads, `project` puts both together; `watch` tells when the
//! disk has changed. `progress` counts how far the stages have come.
//! Everything after this is pure.

mod disk;
mod layout;
mod picture;
mod progress;
mod project;
mod watch;

pub use disk::{ReadError, Reader, read_project};
pub use picture::Picture;
pub use progress::{Progress, Reached, Work};
pub use project::{LessonFile, Project};
pub use watch::{Watch, WatchError, watch};
