//! A lesson's text to headings, blocks and runs.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pottle::diag::Diagnostics;
use pottle::lesson::parse_lesson;
use pottle::source::Sources;

fuzz_target!(|text: &str| {
    let mut sources = Sources::default();
    let file = sources.add("a.md", text);
    let mut found = Diagnostics::default();
    let lesson = parse_lesson(&sources, file, &mut found);
    for run in &lesson.runs {
        assert!(!run.text.text.is_empty());
    }
    for one in found.iter() {
        let span = one.primary.span;
        assert!(sources.get(span.file).text.get(span.range()).is_some());
    }
});
