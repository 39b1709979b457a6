//! `pottle rehearse`: the pages in a browser while their course is written.

use super::args::{RehearseArgs, Report};
use super::course::{base, folder_or_default};
use super::rehearse_http::{Stage, serve};
use super::report::{self, Shown, Stream, Voice, counts, number_of};
use super::{Failure, Verdict};
use pottle::input::watch;
use pottle::{Project, ReadError, Reader, Rehearsal};
use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
use signal_hook::iterator::Signals;
use std::collections::BTreeSet;
use std::error::Error;
use std::io;
use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

/// What the main thread is told.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Told {
    /// Something in the course folder has changed, at these paths if that is known.
    Changed(Option<Vec<String>>),
    /// It is over.
    Stop,
}

/// Quiet for so long, and a burst of changes is over: an editor saves in several steps.
const QUIET: Duration = Duration::from_millis(12);
/// Quiet for so long, and one file is written: looking before would be of no use.
const STROKE: Duration = Duration::from_millis(1);
/// So long after a change all is looked at once more.
const REST: Duration = Duration::from_secs(2);
/// After so long a burst that does not end is looked at all the same.
const LONGEST: Duration = Duration::from_secs(1);

pub(super) fn run(args: &RehearseArgs, voice: Voice) -> Result<Verdict, Failure> {
    let folder = folder_or_default(args.course.as_deref());
    let (sender, told) = channel();
    stop_on_signals(sender.clone())?;
    let mut reader = Reader::new(&folder);
    let rehearsal = Rehearsal::new(reader.read()?);
    let _watch = watch(&folder, told_of_changes(sender.clone()))?;
    // What changed while it was read is found now.
    let _ = sender.send(Told::Changed(None));
    let stage = Arc::new(Stage::new(rehearsal));
    let port = serve(&stage, args.port)?;
    let lessons = number_of(stage.now().project().lessons.len(), "lesson");
    // Nobody could find the pages without their address, so this is said in any case.
    let text = format!("{lessons} at http://127.0.0.1:{port}/ – change what you like; Ctrl-C ends it.\n");
    report::print(beside(args.report), text.as_bytes())?;
    tell_findings(args.report, &folder, &stage.now())?;
    let mut is_sure = true;
    loop {
        // A watch may miss things: when browsers have their pages, all is looked at once more.
        let next = told.recv_timeout(if is_sure { Duration::MAX } else { REST });
        let start = Instant::now();
        let mut look = |places: Option<&BTreeSet<String>>| {
            let read = match places {
                Some(places) => reader.read_again_at(places),
                None => reader.read(),
            };
            looked_at(&stage.now(), read)
        };
        let seen = match next {
            Ok(Told::Changed(first)) => settled(&told, first, look),
            Err(RecvTimeoutError::Timeout) => Some(Seen { what: look(None), places: None }),
            Ok(Told::Stop) | Err(RecvTimeoutError::Disconnected) => None,
        };
        let Some(Seen { what: (next, changed), places }) = seen else { return Ok(Verdict::Clean) };
        is_sure = places.is_none();
        if next.version() != stage.now().version() {
            stage.show(next);
            tell(&stage.now(), changed, start, &folder, args.report, voice)?;
        }
    }
}

fn told_of_changes(sender: Sender<Told>) -> impl FnMut(Option<Vec<String>>) + Send + 'static {
    move |places| {
        let _ = sender.send(Told::Changed(places)); // nobody listens any more when it is over
    }
}

fn stop_on_signals(sender: Sender<Told>) -> Result<(), Failure> {
    let mut signals = Signals::new([SIGINT, SIGTERM, SIGHUP]).map_err(Failure::Signals)?;
    thread::spawn(move || {
        if signals.forever().next().is_some() {
            let _ = sender.send(Told::Stop);
        }
    });
    Ok(())
}

/// What came of a look.
#[derive(Debug, PartialEq, Eq)]
struct Seen<T> {
    what: T,
    /// The places that were looked at, if not all of them were.
    places: Option<BTreeSet<String>>,
}

/// What comes of a look that no change followed, nor came shortly before: looking is done meanwhile, and again where it
/// was of no use. `None` when it is over.
fn settled<T>(
    told: &Receiver<Told>,
    first: Option<Vec<String>>,
    mut look: impl FnMut(Option<&BTreeSet<String>>) -> T,
) -> Option<Seen<T>> {
    let start = Instant::now();
    let mut places: Option<BTreeSet<String>> = first.map(BTreeSet::from_iter);
    let add = |more: Option<Vec<String>>, places: &mut Option<BTreeSet<String>>| {
        *places = places.take().zip(more).map(|(mut all, more)| {
            all.extend(more);
            all
        });
    };
    loop {
        let mut heard = Instant::now();
        while start.elapsed() < LONGEST
            && let Ok(next) = told.recv_timeout(STROKE)
        {
            let Told::Changed(more) = next else { return None };
            add(more, &mut places);
            heard = Instant::now();
        }
        let what = look(places.as_ref());
        if start.elapsed() > LONGEST {
            return Some(Seen { what, places }); // what was heard by now is for the next time
        }
        match told.recv_timeout(QUIET.saturating_sub(heard.elapsed())) {
            Ok(Told::Changed(more)) => add(more, &mut places),
            Err(RecvTimeoutError::Timeout) => return Some(Seen { what, places }),
            Ok(Told::Stop) | Err(RecvTimeoutError::Disconnected) => return None,
        }
    }
}

/// The course as it was read again, and the files that have changed, if it could be read.
fn looked_at(now: &Rehearsal, read: Result<Arc<Project>, ReadError>) -> (Rehearsal, Option<Vec<String>>) {
    let mut next = now.clone();
    let changed = match read {
        Ok(project) => Some(next.change(project)),
        Err(error) => {
            let cause = error.source().map(|cause| format!(": {cause}")).unwrap_or_default();
            next.cannot_read(&format!("{error}{cause}"));
            None
        }
    };
    (next, changed)
}

/// Tells what is shown since a change.
fn tell(
    now: &Rehearsal,
    changed: Option<Vec<String>>,
    start: Instant,
    folder: &Path,
    report: Report,
    voice: Voice,
) -> Result<(), Failure> {
    let took = start.elapsed().as_millis();
    let Some(changed) = changed else {
        report::tell(&format!("{}; the last good pages stay", now.trouble().unwrap_or_default()));
        return Ok(());
    };
    let what = match changed.as_slice() {
        [] => "the course is back".to_owned(),
        [one] => one.clone(),
        several => number_of(several.len(), "file"),
    };
    voice.done(beside(report), &format!("{what}: {took} ms, {}\n", counts(now.findings())))?;
    Ok(tell_findings(report, folder, now)?)
}

/// Whoever reads JSON or SARIF from the output wants nothing else there.
fn beside(report: Report) -> Stream {
    if report.is_for_programs() { Stream::Error } else { Stream::Output }
}

fn tell_findings(report: Report, folder: &Path, rehearsal: &Rehearsal) -> io::Result<()> {
    let findings = rehearsal.findings();
    if findings.is_empty() && !report.is_for_programs() {
        return Ok(());
    }
    let so = if findings.has_errors() { "; the last good pages stay" } else { "" };
    let base = base(folder);
    report::findings(report, Stream::Error, Shown { sources: &rehearsal.project().sources, base: &base }, findings, so)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_burst_of_changes_is_seen_once_and_whole() {
        let (sender, told) = channel();
        let at = |path: &str| Told::Changed(Some(vec![path.to_owned()]));
        for path in ["a", "b", "a"] {
            sender.send(at(path)).unwrap();
        }
        let mut looks = Vec::new();
        let seen = settled(&told, Some(vec!["c".to_owned()]), |places| {
            looks.push(places.cloned());
            if looks.len() < 3 {
                sender.send(at("d")).unwrap(); // somebody still writes
            }
            looks.len()
        });
        let all = ["a", "b", "c", "d"].map(str::to_owned);
        let places = Some(BTreeSet::from(all));
        assert_eq!(seen, Some(Seen { what: 3, places }), "what was looked at while it changed is looked at again");
        assert_eq!(looks[0], Some(["a", "b", "c"].map(str::to_owned).into()));
        assert!(told.try_recv().is_err(), "all was heard");
        sender.send(Told::Changed(None)).unwrap();
        let seen = settled(&told, Some(Vec::new()), |_| ()).unwrap();
        assert_eq!(seen.places, None, "anything may have changed");
    }

    #[test]
    fn a_burst_that_does_not_end_is_shown_and_one_that_is_stopped_is_not() {
        let (sender, told) = channel();
        let endless = settled(&told, None, |_| {
            thread::sleep(QUIET);
            sender.send(Told::Changed(None)).unwrap();
        });
        assert!(endless.is_some());
        assert_eq!(told.try_recv(), Ok(Told::Changed(None)), "it is looked at once more");
        sender.send(Told::Changed(None)).unwrap();
        sender.send(Told::Stop).unwrap();
        assert_eq!(settled(&told, None, |_| ()), None);
        drop(sender);
        assert_eq!(settled(&told, None, |_| ()), None);
    }
}
