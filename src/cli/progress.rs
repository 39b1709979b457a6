//! One line on the terminal while something takes long: what is being done, and how far it has come.
//!
//! It is written over and over and wiped in the end, so that findings and results stand alone. No escape codes: a return
//! to the start of the line and blanks will do on every terminal.

use super::report::number_of;
use pottle::input::{Progress, Reached, Work};
use rustix::termios::tcgetwinsize;
use std::io::{self, IsTerminal, Write};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::{self, JoinHandle};
use std::time::Duration;

/// What is over sooner needs no line.
const PATIENCE: Duration = Duration::from_secs(1);
/// How often the line is written again.
const BEAT: Duration = Duration::from_millis(100);

/// A line that lives until it is dropped. Drop it before anything else is printed.
pub(super) struct Line {
    /// What the work raises.
    pub progress: Progress,
    /// Hanging up wipes the line. `None` where nobody would see it.
    drawing: Option<(Sender<()>, JoinHandle<()>)>,
}

impl Line {
    /// A line, if it is wanted and somebody looks on.
    pub(super) fn start(wanted: bool) -> Line {
        let progress = Progress::default();
        let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
        let drawing = (wanted && !dumb && io::stderr().is_terminal()).then(|| {
            let (hang_up, over) = channel();
            let seen = progress.clone();
            (hang_up, thread::spawn(move || draw(&seen, &over, &mut io::stderr())))
        });
        Line { progress, drawing }
    }
}

impl Drop for Line {
    fn drop(&mut self) {
        if let Some((hang_up, drawing)) = self.drawing.take() {
            drop(hang_up);
            let _ = drawing.join(); // it has nothing to tell
        }
    }
}

/// Writes the line until `over` hangs up. A terminal that has gone away is no reason to stop the work.
fn draw(progress: &Progress, over: &Receiver<()>, out: &mut dyn Write) {
    let (mut wait, mut shown) = (PATIENCE, String::new());
    while over.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
        let room = tcgetwinsize(io::stderr()).ok().map(|size| usize::from(size.ws_col)).filter(|room| *room > 0);
        // The last column stays free: some terminals go on to the next line after it.
        let line: String = words(progress.reached()).chars().take(room.unwrap_or(80) - 1).collect();
        if line != shown {
            let width = shown.chars().count();
            let _ = write!(out, "\r{line:<width$}").and_then(|()| out.flush());
        }
        (wait, shown) = (BEAT, line);
    }
    let width = shown.chars().count();
    if width > 0 {
        let _ = write!(out, "\r{:width$}\r", "").and_then(|()| out.flush());
    }
}

/// What is being done, as a cook would say it.
fn words(reached: Reached) -> String {
    let Reached { work, done, of } = reached;
    let (doing, thing) = match work {
        Work::Reading => ("Reading the course", "file"),
        Work::Parsing => ("Reading the lessons", "lesson"),
        Work::Checking => ("Holding the words to the recipes", "lesson"),
        Work::Mending => ("Trying what can be mended", "repair"),
        Work::Printing => ("Making pages and papers", "lesson"),
        Work::Binding => ("Making what all lessons share", "page"),
        Work::Writing => ("Writing the files", "file"),
    };
    if of == 0 { format!("{doing} …") } else { format!("{doing}: {done} of {}", number_of(of, thing)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_says_what_is_done_and_how_much_of_it() {
        let progress = Progress::default();
        assert_eq!(words(progress.reached()), "Reading the course …");
        progress.start(Work::Checking, 40);
        progress.one_done();
        assert_eq!(words(progress.reached()), "Holding the words to the recipes: 1 of 40 lessons");
        progress.start(Work::Printing, 1);
        assert_eq!(words(progress.reached()), "Making pages and papers: 0 of 1 lesson");
    }

    #[test]
    fn what_is_over_at_once_leaves_no_trace() {
        let (hang_up, over) = channel();
        drop(hang_up);
        let mut out = Vec::new();
        draw(&Progress::default(), &over, &mut out);
        assert!(out.is_empty());
    }
}
