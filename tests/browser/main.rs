//! The published course in Debian's Chromium: what readers get, driven by real keys, clicks and taps.
//!
//! `tests/run` installs what this needs. One Chromium serves all tests of a run; each test has a profile of its own.
//! A page fails its test on any uncaught exception, console error, refused resource or breach of its security policy.

mod access;
mod attacks;
mod axe;
mod chromium;
#[path = "../paper/courses.rs"]
#[allow(dead_code, reason = "the tests of PDFs use all of it")]
mod courses;
mod driver;
mod figures;
mod glossary;
#[path = "../paper/hostile.rs"]
#[allow(dead_code, reason = "the tests of PDFs use all of it")]
mod hostile;
mod keeping;
mod labels;
mod layout;
mod lesson;
mod live;
mod page;
#[path = "../paper/pdf.rs"]
#[allow(dead_code, reason = "the tests of PDFs use all of it")]
mod pdf;
mod plan;
mod print;
mod rehearse;
#[path = "../rehearsed/mod.rs"]
#[allow(dead_code, reason = "the tests of the command use all of it")]
mod rehearsed;
mod server;
mod site;
mod stove;
mod sums;
mod tools;
mod validity;
#[path = "../paper/words.rs"]
mod words;
