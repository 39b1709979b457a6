//! `pottle publish`: check, and make the pages if all agrees.

use super::args::PublishArgs;
use super::course::{Course, base, folder_or_default};
use super::report::{self, Shown, Stream, Voice, number_of};
use super::{Failure, Verdict};
use pottle::diag::Diagnostics;
use pottle::input::Work;
use pottle::output::{SiteWriter, Standing, clean_beside, overlaps_course};
use pottle::render::{Again, LastSite, course_digest};
use pottle::{CheckedCourse, Site, render_again};
use std::collections::BTreeMap;
use std::path::Path;

/// Tells this program from others, which make other files of the same course.
const MAKER: &str = env!("POTTLE_FINGERPRINT");

pub(super) fn run(args: &PublishArgs, voice: Voice) -> Result<Verdict, Failure> {
    let folder = folder_or_default(args.course.as_deref());
    // Where there is no course, opening it says so; that comes before where its pages would lie.
    if folder.join("course.toml").is_file() && overlaps_course(&args.to, &folder)? {
        return Err(Failure::InTheCourse(args.to.clone()));
    }
    let line = voice.line();
    let project = Course::read(&folder, &line)?;
    let standing = Standing::at(&args.to);
    if let Some(standing) = &standing
        && standing.made().course == course_digest(&project, MAKER)
        && standing.is_whole()
    {
        clean_beside(&args.to)?;
        drop(line);
        if args.report.is_for_programs() {
            let nothing = Shown { sources: &project.sources, base: &base(&folder) };
            report::findings(args.report, Stream::Error, nothing, &Diagnostics::default(), "")?;
        }
        return done(args, voice, project.lessons.len(), standing.made().files.len() + 1, "; nothing has changed");
    }
    let course = Course::check(&folder, project);
    let mut found = course.findings.clone();
    let made = match course.checked.course.as_ref().filter(|_| !course.findings.has_errors()) {
        Some(checked) => made(&course, checked, standing.as_ref(), &args.to)?,
        None => Err(Diagnostics::default()),
    };
    let (site, writer) = match made {
        Ok(made) => made,
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
    let written = writer.finish(&site)?;
    drop(line);
    if !found.is_empty() || args.report.is_for_programs() {
        report::findings(args.report, Stream::Error, course.shown(), &found, "")?;
    }
    done(args, voice, course.project.lessons.len(), written.files, "")
}

/// Says that the site stands.
fn done(args: &PublishArgs, voice: Voice, lessons: usize, files: usize, more: &str) -> Result<Verdict, Failure> {
    let (lessons, files) = (number_of(lessons, "lesson"), number_of(files, "file"));
    let start = args.to.join("index.html");
    let text = format!("Published {lessons}, {files}{more}. Open {}\n", start.display());
    // Whoever reads JSON or SARIF from the output wants nothing else there.
    let stream = if args.report.is_for_programs() { Stream::Error } else { Stream::Output };
    voice.done(stream, &text)?;
    Ok(Verdict::Clean)
}

/// The site of a course without errors, and what is writing it. Findings that come back instead are new: the course's
/// own are known.
fn made(
    course: &Course,
    checked: &CheckedCourse,
    standing: Option<&Standing>,
    to: &Path,
) -> Result<Result<(Site, SiteWriter), Diagnostics>, Failure> {
    let writer = SiteWriter::start(to)?;
    let quiet = course.findings.is_empty();
    let take = |files: &BTreeMap<String, Vec<u8>>| writer.take(files);
    let make = |last: Option<&LastSite<'_>>| {
        render_again(&course.project, checked, Again { maker: MAKER, last, quiet, taker: Some(&take) })
    };
    let site = match standing {
        Some(standing) => standing.with(|last| make(Some(last))),
        None => make(None),
    };
    Ok(site.map(|site| (site, writer)))
}
