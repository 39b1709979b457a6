//! Blocks and table files as keys and values.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pottle::diag::Diagnostics;
use pottle::lesson::parse_table;
use pottle::source::{MappedText, Sources};

fuzz_target!(|text: &str| {
    let mut sources = Sources::default();
    let file = sources.add("a.toml", text);
    let text = &sources.get(file).text;
    let mut body = MappedText::new(file);
    body.push(text, 0..text.len());
    let mut found = Diagnostics::default();
    let _ = parse_table(&body, &mut found);
    for one in found.iter() {
        let span = one.primary.span;
        assert!(sources.get(span.file).text.get(span.range()).is_some());
    }
});
