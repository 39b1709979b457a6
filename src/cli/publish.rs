//! `pottle publish`: check, and make the pages if all agrees.

use super::args::PublishArgs;
use super::course::{Course, base, folder_or_default};
use super::report::{self, Shown, Stream, Voice, number_of};
use super::{Failure, Verdict};
use pottle::diag::Diagnostics;
use pottle::input::Work;
use pottle::output::{Standing, clean_beside, overlaps_course};
use pottle::render::{Again, LastSite, course_digest};
use pottle::{Site, render_again, write_site};

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
    let site = match rendered(&course, standing.as_ref()) {
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

/// The site of a course without errors. What comes back instead is new: the course's own findings are known.
fn rendered(course: &Course, standing: Option<&Standing>) -> Result<Site, Diagnostics> {
    let Some(checked) = course.checked.course.as_ref().filter(|_| !course.findings.has_errors()) else {
        return Err(Diagnostics::default());
    };
    let quiet = course.findings.is_empty();
    let make =
        |last: Option<&LastSite<'_>>| render_again(&course.project, checked, Again { maker: MAKER, last, quiet });
    match standing {
        Some(standing) => standing.with(|last| make(Some(last))),
        None => make(None),
    }
}
