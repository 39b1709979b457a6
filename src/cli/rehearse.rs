//! `pottle rehearse`: the pages in a browser while their course is written.

use super::args::{RehearseArgs, Report};
use super::course::{base, folder_or_default};
use super::rehearse_http::{Stage, serve};
use super::report::{self, Shown, Stream, Voice, counts, number_of};
use super::{Failure, Verdict};
use pottle::input::watch;
use pottle::{Reader, Rehearsal};
use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
use signal_hook::iterator::Signals;
use std::error::Error;
use std::io;
use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

/// What the main thread is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Told {
    /// Something in the course folder has changed.
    Changed,
    /// It is over.
    Stop,
}

/// Quiet for so long, and a burst of changes is over: an editor saves in several steps.
const QUIET: Duration = Duration::from_millis(12);
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
    let _ = sender.send(Told::Changed);
    let stage = Arc::new(Stage::new(rehearsal));
    let port = serve(&stage, args.port)?;
    let lessons = number_of(stage.now().project().lessons.len(), "lesson");
    // Nobody could find the pages without their address, so this is said in any case.
    let text = format!("{lessons} at http://127.0.0.1:{port}/ – change what you like; Ctrl-C ends it.\n");
    report::print(beside(args.report), text.as_bytes())?;
    tell_findings(args.report, &folder, &stage.now())?;
    while burst(&told) == Told::Changed {
        look_again(&stage, &mut reader, &folder, args.report, voice)?;
    }
    Ok(Verdict::Clean)
}

fn told_of_changes(sender: Sender<Told>) -> impl FnMut() + Send + 'static {
    move || {
        let _ = sender.send(Told::Changed); // nobody listens any more when it is over
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

/// Waits for a change and until no other follows it.
fn burst(told: &Receiver<Told>) -> Told {
    let mut last = told.recv().unwrap_or(Told::Stop);
    let start = Instant::now();
    while last == Told::Changed && start.elapsed() < LONGEST {
        match told.recv_timeout(QUIET) {
            Ok(next) => last = next,
            Err(_) => break,
        }
    }
    last
}

/// Reads the course again. What can be seen of it is shown and told.
fn look_again(stage: &Stage, reader: &mut Reader, folder: &Path, report: Report, voice: Voice) -> Result<(), Failure> {
    let start = Instant::now();
    let mut next = Rehearsal::clone(&stage.now());
    let version = next.version();
    let changed = match reader.read() {
        Ok(project) => Some(next.change(project)),
        Err(error) => {
            let cause = error.source().map(|cause| format!(": {cause}")).unwrap_or_default();
            next.cannot_read(&format!("{error}{cause}"));
            None
        }
    };
    if next.version() == version {
        return Ok(());
    }
    stage.show(next);
    let (now, took) = (stage.now(), start.elapsed().as_millis());
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
    Ok(tell_findings(report, folder, &now)?)
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
    fn a_burst_of_changes_is_one() {
        let (sender, told) = channel();
        for _ in 0..50 {
            sender.send(Told::Changed).unwrap();
        }
        assert_eq!(burst(&told), Told::Changed);
        assert!(told.try_recv().is_err(), "all of them were heard at once");
        sender.send(Told::Changed).unwrap();
        sender.send(Told::Stop).unwrap();
        assert_eq!(burst(&told), Told::Stop);
        drop(sender);
        assert_eq!(burst(&told), Told::Stop);
    }
}
