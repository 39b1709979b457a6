//! `pottle cards`: one set of cards, on demand.

use super::args::CardsArgs;
use super::course::{Course, folder_or_default};
use super::report::{self, Stream, Voice, number_of};
use super::{Failure, Verdict};
use pottle::input::Work;
use pottle::kitchen::{Choice, forks};
use pottle::output::write_pdf;
use pottle::render::{self, CardChoice};

pub(super) fn run(args: &CardsArgs, voice: Voice) -> Result<Verdict, Failure> {
    let line = voice.line();
    let course = Course::open(&folder_or_default(args.course.as_deref()), &line)?;
    let shown = course.shown();
    let Some(checked) = course.checked.course.as_ref().filter(|_| !course.findings.has_errors()) else {
        drop(line);
        report::findings(args.report, Stream::Error, shown, &course.findings, "; no cards were made")?;
        return Ok(Verdict::Findings);
    };
    let lessons = &checked.course().lessons;
    let Some(lesson) = lessons.iter().position(|lesson| lesson.slug == args.lesson) else {
        let names = lessons.iter().map(|lesson| lesson.slug.clone()).collect();
        return Err(Failure::NoSuchLesson { asked: args.lesson.clone(), names });
    };
    let ways: Vec<String> = forks(&lessons[lesson].steps).into_iter().flat_map(|fork| fork.ways).collect();
    if let Some(asked) = args.way.iter().find(|way| !ways.contains(way)) {
        return Err(Failure::NoSuchWay { asked: asked.clone(), names: ways });
    }
    line.progress.start(Work::Printing, 0);
    let made = render::cards(&course.project, checked, lesson, &choice(args));
    drop(line);
    match made {
        Err(found) => {
            report::findings(args.report, Stream::Error, shown, &found, "; no cards were made")?;
            Ok(Verdict::Findings)
        }
        Ok(cards) => {
            write_pdf(&args.to, &cards.pdf)?;
            if !cards.notes.is_empty() || args.report.is_for_programs() {
                report::findings(args.report, Stream::Error, shown, &cards.notes, "")?;
            }
            let text = format!("Made {}: {}\n", number_of(cards.count, "card"), args.to.display());
            let stream = if args.report.is_for_programs() { Stream::Error } else { Stream::Output };
            voice.done(stream, &text)?;
            Ok(Verdict::Clean)
        }
    }
}

fn choice(args: &CardsArgs) -> CardChoice {
    CardChoice {
        paper: args.paper.paper(),
        sheet: args.sheet.map(|sheet| (sheet.paper(), args.edge.edge())),
        shown: Choice {
            scale: args.scale,
            units: args.units.map(|units| units.reader()),
            degrees: args.degrees.map(|degrees| degrees.thermometer()),
            by: args.measure.map(|measure| measure.tool()),
        },
        ways: args.way.clone(),
    }
}
