//! `pottle provision`: what a class needs.

use super::args::ProvisionArgs;
use super::course::{Course, folder_or_default};
use super::report::{self, Stream, Voice};
use super::{Failure, Verdict, provision_table};
use pottle::kitchen::ClassAsk;
use pottle::output::write_table;
use pottle::recipe;
use pottle::render::{class_of_course, class_sheet};
use std::path::Path;

pub(super) fn run(args: &ProvisionArgs, voice: Voice) -> Result<Verdict, Failure> {
    let (folder, lessons) = course_and_lessons(&args.names);
    let line = voice.line();
    let course = Course::open(&folder_or_default(folder), &line)?;
    drop(line);
    let Some(checked) = course.checked.course.as_ref().filter(|_| !course.findings.has_errors()) else {
        report::findings(args.report, Stream::Error, course.shown(), &course.findings, "; no plan was made")?;
        return Ok(Verdict::Findings);
    };
    let sheet = class_sheet(checked, &ask(args, checked.course(), lessons)?);
    report::print(Stream::Output, provision_table::draw(&sheet).as_bytes())?;
    if let Some(path) = &args.csv {
        write_table(path, &sheet.table())?;
        voice.done(Stream::Error, &format!("Wrote {}.\n", path.display()))?;
    }
    Ok(Verdict::Clean)
}

/// The first name is the course's where a course lies there; all others are lessons.
fn course_and_lessons(names: &[String]) -> (Option<&Path>, &[String]) {
    match names.split_first() {
        Some((first, rest)) if Path::new(first).join("course.toml").is_file() => (Some(Path::new(first)), rest),
        // A path that leads nowhere is told as one: no lesson is called `some/where`.
        Some((first, rest)) if first.contains('/') => (Some(Path::new(first)), rest),
        _ => (None, names),
    }
}

fn ask(args: &ProvisionArgs, course: &recipe::Course, names: &[String]) -> Result<ClassAsk, Failure> {
    let planned = class_of_course(course);
    let students = args.students.or(planned.as_ref().map(|class| class.students)).ok_or(Failure::NoStudents)?;
    // Groups that were planned for one class are not those of a larger one.
    let groups = args.groups.or(planned.filter(|_| args.students.is_none()).and_then(|class| class.groups));
    let mut lessons = names.iter().map(|name| lesson(course, name)).collect::<Result<Vec<usize>, Failure>>()?;
    if lessons.is_empty() {
        lessons = (0..course.lessons.len()).collect();
    }
    lessons.sort_unstable();
    lessons.dedup();
    Ok(ClassAsk { lessons, students, groups })
}

/// A lesson by its number, its name or its folder.
fn lesson(course: &recipe::Course, name: &str) -> Result<usize, Failure> {
    let lessons = &course.lessons;
    let numbered =
        || name.parse::<usize>().ok().and_then(|number| number.checked_sub(1)).filter(|at| *at < lessons.len());
    let named = lessons.iter().position(|lesson| lesson.slug == name || lesson.folder == name);
    named.or_else(numbered).ok_or_else(|| {
        let names = lessons.iter().map(|lesson| lesson.slug.clone()).collect();
        Failure::NoSuchLesson { asked: name.to_owned(), names }
    })
}
