//! What is printed, read back with readers that are not ours: poppler for PDFs, zbar for QR codes.
//!
//! `tests/run` installs both.

mod pdf;
mod reader;
mod tools;
