//! Heads of pictures, and drawings.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pottle::recipe::picture_fault;

fuzz_target!(|bytes: &[u8]| {
    for path in ["a.png", "a.jpg", "a.gif", "a.webp", "a.svg"] {
        let _ = picture_fault(path, bytes);
    }
});
