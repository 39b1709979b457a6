//! `pottle publish`: check, and make the pages if all agrees.

use super::args::PublishArgs;
use super::course::{Course, folder_or_default};
use super::report::{self, Stream, Voice, number_of};
use super::{Failure, Verdict};
use pottle::diag::Diagnostics;
use pottle::input::Work;
use pottle::output::overlaps_course;
use pottle::{Site, render, write_site};

pub(super) fn run(args: &PublishArgs, voice: Voice) -> Result<Verdict, Failure> {
    let folder = folder_or_default(args.course.as_deref());
    // Where there is no course, opening it says so; that comes before where its pages would lie.
    if folder.join("course.toml").is_file() && overlaps_course(&args.to, &folder)? {
        return Err(Failure::InTheCourse(args.to.clone()));
    }
    let line = voice.line();
    let course = Course::open(&folder, &line)?;
    let mut found = course.findings.clone();
    let site = match rendered(&course) {
        Ok(site) => site,
        Err(more) => {
            drop(line);
            found.extend(more);
            report::findings(args.report, Stream::Error, course.shown(), &found.sorted(), "; nothing was published")?;
            return Ok(Verdict::Findings);
        }
    };
    found.extend(site.notes().clone());
    let found = found.sorted();
    line.progress.start(Work::Writing, 0);
    let written = write_site(&site, &args.to)?;
    drop(line);
    if !found.is_empty() || args.report.is_for_programs() {
        report::findings(args.report, Stream::Error, course.shown(), &found, "")?;
    }
    let lessons = number_of(course.project.lessons.len(), "lesson");
    let files = number_of(written.files, "file");
    let start = args.to.join("index.html");
    let text = format!("Published {lessons}, {files}. Open {}\n", start.display());
    // Whoever reads JSON or SARIF from the output wants nothing else there.
    let stream = if args.report.is_for_programs() { Stream::Error } else { Stream::Output };
    voice.done(stream, &text)?;
    Ok(Verdict::Clean)
}

/// The site of a course without errors. What comes back instead is new: the course's own findings are known.
fn rendered(course: &Course) -> Result<Site, Diagnostics> {
    match &course.checked.course {
        Some(checked) if !course.findings.has_errors() => render(&course.project, checked),
        _ => Err(Diagnostics::default()),
    }
}
