//! What a site holds of a lesson's recording: its caption files, its chapters, and where on the page they are named.

use super::links::encoded;
use super::view::{CaptionFileView, HeardView, RecordingView};
use crate::lesson::captions::Seconds;
use crate::recipe::{Lesson, Spoken, Step};
use crate::source::Sources;
use std::collections::BTreeSet;

/// Where the caption files of a lesson lie on the site, in its order.
fn caption_paths(lesson: &Lesson) -> Vec<String> {
    let mut taken = BTreeSet::from([chapters_path(lesson)]);
    let mut paths = Vec::new();
    for spoken in &lesson.captions {
        let end = spoken.captions.format.extension();
        let short = match &spoken.language {
            Some(tag) => format!("captions/{}.{}.{end}", lesson.slug, tag.to_lowercase()),
            None => format!("captions/{}.{end}", lesson.slug),
        };
        let long = |count: usize| {
            let count = if count == 1 { String::new() } else { format!("-{count}") };
            format!("captions/{}.{}{count}.{end}", lesson.slug, plain_stem(spoken))
        };
        // Two files may be in one language: the second keeps the name it has in the lesson's folder.
        let path = std::iter::once(short).chain((1..).map(long)).find(|path| !taken.contains(path)).unwrap_or_default();
        taken.insert(path.clone());
        paths.push(path);
    }
    paths
}

/// A file's name without its ending, of letters that fit any disk and any address.
fn plain_stem(spoken: &Spoken) -> String {
    let stem = spoken.name.rsplit_once('.').map_or(spoken.name.as_str(), |(stem, _)| stem).to_lowercase();
    stem.chars().map(|letter| if letter.is_alphanumeric() { letter } else { '-' }).collect()
}

fn chapters_path(lesson: &Lesson) -> String {
    format!("captions/{}.chapters.vtt", lesson.slug)
}

/// Caption files and chapters, by their path on the site.
///
/// Captions keep their words and times; only line ends and a byte order mark are made alike.
pub(super) fn files(sources: &Sources, lesson: &Lesson) -> Vec<(String, Vec<u8>)> {
    let texts = lesson.captions.iter().map(|spoken| sources.get(spoken.captions.file).text.clone().into_bytes());
    let mut files: Vec<_> = caption_paths(lesson).into_iter().zip(texts).collect();
    if let Some(chapters) = chapters(lesson) {
        files.push((chapters_path(lesson), chapters.into_bytes()));
    }
    files
}

/// One WebVTT cue for each step that is heard; it ends where the next begins.
fn chapters(lesson: &Lesson) -> Option<String> {
    let end = lesson.captions.first()?.captions.end();
    let heard: Vec<(&Step, Seconds)> = lesson.steps.iter().filter_map(|step| Some((step, step.heard_at?))).collect();
    let mut text = "WEBVTT\n".to_owned();
    for (index, (step, start)) in heard.iter().enumerate() {
        let end = heard.get(index + 1).map_or(end, |(_, next)| *next);
        let title = cue_text(&step.title);
        text.push_str(&format!("\n{}\n{} --> {}\n{title}\n", index + 1, start.web_vtt(), end.web_vtt()));
    }
    (!heard.is_empty()).then_some(text)
}

/// Words fit for a cue: with `>` escaped no title can look like the arrow between two times.
fn cue_text(words: &str) -> String {
    let line = words.split_whitespace().collect::<Vec<_>>().join(" ");
    line.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

/// The address of a recording as a page links it. An `https` address is kept; a file's name is encoded.
fn address(lesson: &Lesson) -> Option<String> {
    let recording = lesson.recording.as_deref()?;
    let elsewhere = ["https:", "http:"]
        .iter()
        .any(|scheme| recording.get(..scheme.len()).is_some_and(|start| start.eq_ignore_ascii_case(scheme)));
    Some(if elsewhere { recording.to_owned() } else { encoded(recording) })
}

/// When a step is heard, as its page says it.
pub(super) fn heard_view(lesson: &Lesson, step: &Step) -> Option<HeardView> {
    let time = step.heard_at?;
    // Source: Media Fragments URI 1.0 (W3C), temporal dimension.
    let href = address(lesson).map(|address| format!("{address}#t={}", time.npt()));
    Some(HeardView { time: time.short(), datetime: format!("PT{}S", time.npt()), href })
}

/// What a lesson's opening says about its recording.
pub(super) fn recording_view(lesson: &Lesson) -> Option<RecordingView> {
    let named = caption_paths(lesson).into_iter().zip(&lesson.captions);
    let captions: Vec<CaptionFileView> = named
        .map(|(path, spoken)| CaptionFileView { href: encoded(&path), language: spoken.language.clone() })
        .collect();
    let chapters = chapters(lesson).map(|_| encoded(&chapters_path(lesson)));
    let href = address(lesson);
    (href.is_some() || !captions.is_empty()).then_some(RecordingView { href, captions, chapters })
}
