//! Amounts in blocks, figures in sentences, and how they are printed again.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pottle::quantity::print::Style;
use pottle::quantity::{Exact, Home, Number, parse_amount, print, split_amount};
use pottle::reference::Reference;
use std::sync::LazyLock;

static REFERENCE: LazyLock<Reference> = LazyLock::new(|| Reference::built_in(Home::Uk));

fuzz_target!(|text: &str| {
    let units = &REFERENCE.units;
    let _ = Exact::parse(text);
    for tag in ["en-GB", "de", "fr"] {
        if let Some((number, len)) = Number::read(text, Style::for_language(tag)) {
            assert!(text.is_char_boundary(len) && number.value >= Exact::ZERO);
        }
    }
    let _ = split_amount(text, units);
    if let Ok(amount) = parse_amount(text, units) {
        let written = print::amount(&amount, units, units.style());
        assert!(!written.is_empty());
    }
});
