//! Captions of a lesson: which are the main ones, which step each word belongs to, and where the recording is.

use super::chapters::{chapters, fixed_times};
use super::links::scheme;
use super::model::{Lesson, Spoken, Step, Stretch};
use super::table::text;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::input::{LessonFile, Project};
use crate::lesson::captions::{Captions, Seconds, parse_captions};
use crate::lesson::{Run, RunPlace, Value, slice};
use crate::source::FileId;

/// Reads a lesson's captions, finds when each step begins, and cuts the words by steps.
pub(super) fn read_captions(
    project: &Project,
    file: &LessonFile,
    language: &str,
    lesson: &mut Lesson,
    sink: &mut Diagnostics,
) {
    let mut all: Vec<Spoken> = Vec::new();
    for id in file.captions.iter().copied().filter(|id| is_text(project, *id)) {
        let path = project.sources.get(id).path.as_str();
        let name = path.rsplit('/').next().unwrap_or(path).to_owned();
        let captions = parse_captions(&project.sources, id, sink);
        all.push(Spoken { language: language_of(&name), name, captions, stretches: Vec::new() });
    }
    let lesson_stem = stem_of(&project.sources.get(file.file).path);
    all.sort_by_key(|spoken| {
        let other_name = stem_of(&spoken.name) != lesson_stem;
        (rank(spoken, language), other_name, spoken.captions.format, spoken.name.clone())
    });
    let main = all.first().map(|spoken| &spoken.captions);
    let fixed = fixed_times(&lesson.steps, main.map(Captions::end), sink);
    let times = match main {
        Some(captions) => chapters(captions, lesson, &fixed),
        None => fixed,
    };
    for (step, time) in lesson.steps.iter_mut().zip(times) {
        step.heard_at = time;
    }
    for spoken in &mut all {
        spoken.stretches = stretches(&spoken.captions, &lesson.steps);
    }
    lesson.captions = all;
}

/// A file's name up to its first point: `lesson` of `lesson.fr.vtt`, which goes with `lesson.md`.
fn stem_of(path: &str) -> String {
    let name = path.rsplit('/').next().unwrap_or(path);
    name.split('.').next().unwrap_or(name).to_lowercase()
}

/// Letters that were garbled on their way in would only give more findings.
fn is_text(project: &Project, file: FileId) -> bool {
    !project.problems.iter().any(|found| found.code == Code::NotUtf8 && found.primary.span.file == file)
}

/// The language tag in a file's name: `fr` of `lesson.fr.vtt`, `pt-BR` of `lesson.pt-BR.srt`.
///
/// Source: BCP 47, by shape: two or three letters, then further parts of two to eight letters or figures.
fn language_of(name: &str) -> Option<String> {
    let (stem, _) = name.rsplit_once('.')?;
    let (_, tag) = stem.rsplit_once('.')?;
    let mut parts = tag.split('-');
    let first = parts.next()?;
    let good = (2..=3).contains(&first.len())
        && first.chars().all(|letter| letter.is_ascii_alphabetic())
        && parts.all(|part| (2..=8).contains(&part.len()) && part.chars().all(|letter| letter.is_ascii_alphanumeric()));
    good.then(|| tag.to_owned())
}

/// Captions without a language are the course's own, and come first; those of another language come last.
fn rank(spoken: &Spoken, language: &str) -> u8 {
    let primary = |tag: &str| tag.split('-').next().unwrap_or(tag).to_lowercase();
    match &spoken.language {
        None => 0,
        Some(tag) if primary(tag) == primary(language) => 1,
        Some(_) => 2,
    }
}

/// The step that is being shown at a moment.
fn step_at(steps: &[Step], moment: Seconds) -> Option<usize> {
    steps.iter().rposition(|step| step.heard_at.is_some_and(|begins| begins <= moment))
}

fn stretches(captions: &Captions, steps: &[Step]) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    let belongs = |cue: usize| step_at(steps, captions.cues[cue].middle());
    let mut first = 0;
    while first < captions.cues.len() {
        let step = belongs(first);
        let len = (first..captions.cues.len()).take_while(|cue| belongs(*cue) == step).count();
        let words = captions.cues[first].words.start..captions.cues[first + len - 1].words.end;
        let text = slice(&captions.words, words.clone());
        found.push(Stretch { words, run: Run { text, place: RunPlace::Caption, step } });
        first += len;
    }
    found
}

/// Where the recording can be seen. Pages give it a moment to begin at, so it has none of its own.
pub(super) fn recording(value: &Value, sink: &mut Diagnostics) -> Option<String> {
    let text = text("recording", value, "https://example.org/curd.mp4", sink)?;
    let address = text.text.trim();
    let span = text.home(0..text.text.len());
    let mut refuse = |message: &str, help: &str| {
        sink.push(Diagnostic::new(Code::BrokenReference, message, span).help(help));
        None
    };
    let odd = address.chars().any(|letter| letter.is_control() || letter == '\\');
    match scheme(address).map(str::to_lowercase).as_deref() {
        _ if address.contains('#') => {
            refuse("the address of the recording names a place in it", "leave out `#` and what follows")
        }
        Some("https" | "http") if !odd && !address.contains(char::is_whitespace) => Some(address.to_owned()),
        None if !odd && !address.starts_with('/') => Some(address.to_owned()),
        _ => refuse(
            &format!("`{address}` cannot be the address of a recording"),
            "begin it with `https://`, or write the way from the pages to a file beside the site's folder, such as `../films/curd.mp4`",
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_language_is_told_by_the_name_of_the_file() {
        for (name, tag) in [
            ("lesson.vtt", None),
            ("lesson.fr.vtt", Some("fr")),
            ("lesson.pt-BR.srt", Some("pt-BR")),
            ("en.vtt", None),
            ("lesson.final.vtt", None),
            ("lesson.2.vtt", None),
        ] {
            assert_eq!(language_of(name).as_deref(), tag, "{name}");
        }
    }
}
