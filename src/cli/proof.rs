//! `pottle proof`: check, and write nothing.

use super::args::{ProofArgs, Report};
use super::course::{Course, folder_or_default};
use super::report::{self, Stream, Voice, number_of};
use super::{Failure, Verdict};

pub(super) fn run(args: &ProofArgs, voice: Voice) -> Result<Verdict, Failure> {
    let line = voice.line();
    let course = Course::open(&folder_or_default(args.course.as_deref()), &line)?;
    drop(line);
    if course.findings.is_empty() && args.report == Report::Human {
        let lessons = number_of(course.project.lessons.len(), "lesson");
        let figures = number_of(course.checked.ledger.entries.len(), "figure");
        voice.done(Stream::Output, &format!("{lessons}, {figures} in the words: all agree.\n"))?;
    } else {
        report::findings(args.report, Stream::Output, course.shown(), &course.findings, "")?;
    }
    Ok(if course.findings.has_errors() { Verdict::Findings } else { Verdict::Clean })
}
