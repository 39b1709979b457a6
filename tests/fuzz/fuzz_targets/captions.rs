//! Captions of both kinds.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pottle::diag::Diagnostics;
use pottle::lesson::captions::parse_captions;
use pottle::source::Sources;

fuzz_target!(|text: &str| {
    for path in ["a.vtt", "a.srt"] {
        let mut sources = Sources::default();
        let file = sources.add(path, text);
        let mut found = Diagnostics::default();
        let _ = parse_captions(&sources, file, &mut found);
        for one in found.iter() {
            let span = one.primary.span;
            assert!(sources.get(span.file).text.get(span.range()).is_some());
        }
    }
});
