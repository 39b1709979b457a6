//! Whole courses, checked and published: slow, and so in smaller numbers. The first letter says which file the rest is.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pottle::{Project, check, render};

const COURSE: &str = "title = \"T\"\nhome = \"uk\"\ncards = []\nhandouts = []\n";
const LESSON: &str = "# A\n\n```recipe\nmakes = \"1 L weak tea\"\n\n[ingredients]\nwater = \"1 L water\"\n```\n\n## Pour\n\n```step\nadd = [\"water\"]\n```\n\nPour 1 litre.\n";

fuzz_target!(|text: &str| {
    let paths = ["01-a/lesson.md", "01-a/lesson.vtt", "pantry.toml", "facts.toml", "glossary.md", "course.toml", "01-a/lesson.srt"];
    let Some(first) = text.bytes().next().filter(u8::is_ascii) else { return };
    let path = paths[usize::from(first) % paths.len()];
    let project = Project::from_files([("course.toml", COURSE), ("01-a/lesson.md", LESSON), (path, &text[1..])]);
    let checked = check(&project);
    for one in checked.findings.iter() {
        let span = one.primary.span;
        assert!(project.sources.get(span.file).text.get(span.range()).is_some());
    }
    if let Some(course) = &checked.course {
        let _ = render(&project, course);
    }
});
