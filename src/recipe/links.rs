//! Whether pictures and links lead somewhere.
//!
//! Another lesson is named by its file, as every editor understands: `../03-whey-flatbreads/lesson.md#knead-it`.

use super::glossary::unknown_term;
use super::memory::Key;
use super::model::Term;
use super::pictures;
use super::terms::term_named;
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};
use crate::input::Picture;
use crate::lesson::near::nearest;
use crate::lesson::{BodyItem, Heading};
use crate::source::{FileId, Sources, Span};
use pulldown_cmark::{Event, LinkType, Tag};
use std::collections::BTreeMap;

/// Schemes that a link may have.
const SCHEMES: &[&str] = &["https", "http", "mailto", "tel"];

/// What links can lead to.
pub(super) struct Targets<'a> {
    pub sources: &'a Sources,
    /// Pictures by path.
    pub pictures: &'a BTreeMap<String, Picture>,
    /// Terms of the glossary.
    pub terms: &'a [Term],
    /// Fragments of each Markdown file of the course, by path.
    pub pages: BTreeMap<&'a str, Vec<&'a str>>,
}

/// The fragments of a file's headings.
pub(super) fn fragments(headings: &[Heading]) -> Vec<&str> {
    headings.iter().map(|heading| heading.slug.as_str()).collect()
}

impl Targets<'_> {
    /// Tells apart all that links can lead to, but for terms.
    pub fn key(&self) -> Key {
        let pictures: Vec<_> = self.pictures.iter().map(|(path, picture)| (path, picture.digest())).collect();
        Key::of((pictures, &self.pages))
    }

    /// Checks all pictures and links of a file, whose places are in `links`.
    pub fn check(&self, file: FileId, body: &[BodyItem], links: &[(String, Span)]) -> Diagnostics {
        let pictures = body.iter().filter_map(|item| match item {
            BodyItem::Event(Event::Start(Tag::Image { .. }), _) => Some(true),
            BodyItem::Event(Event::Start(Tag::Link { link_type, .. }), _) if *link_type != LinkType::Email => {
                Some(false)
            }
            _ => None,
        });
        let found = pictures.zip(links).filter_map(|(is_picture, (address, span))| {
            if is_picture { self.picture(file, address, *span) } else { self.link(file, address, *span) }
        });
        found.collect()
    }

    fn picture(&self, file: FileId, address: &str, span: Span) -> Option<Diagnostic> {
        let folder = folder(&self.sources.get(file).path);
        let path = join(folder, &decoded(address));
        let inside = path.as_deref().is_some_and(|path| folder.is_empty() || path.starts_with(&format!("{folder}/")));
        if scheme(address).is_some() || !inside {
            let found = broken(format!("the picture `{address}` is not in the lesson's folder"), span);
            return Some(found.help("put the picture beside lesson.md and write its file name"));
        }
        let path = path?;
        if let Some(bytes) = self.pictures.get(&path) {
            let fault = pictures::fault(&path, bytes)?;
            let found = Diagnostic::new(Code::BadPicture, format!("the picture `{address}` {fault}"), span);
            return Some(
                found.help("export it anew, as PNG, JPEG, GIF, WebP or plain SVG, and not larger than a screen needs"),
            );
        }
        let found = broken(format!("there is no picture `{address}`"), span);
        let near =
            self.pictures.keys().filter_map(|picture| picture.strip_prefix(folder)?.trim_start_matches('/').into());
        Some(match nearest(&decoded(address), near) {
            Some(meant) => suggest(found, span, meant),
            None => found.help("put the picture beside lesson.md, or correct its name"),
        })
    }

    fn link(&self, file: FileId, address: &str, span: Span) -> Option<Diagnostic> {
        if let Some(word) = term_of(address) {
            let unknown = term_named(self.terms, &word).is_none();
            return unknown.then(|| unknown_term(&word, span, self.terms, |term| format!("term:{}", term.slug)));
        }
        if let Some(scheme) = scheme(address) {
            let known = SCHEMES.contains(&scheme.to_lowercase().as_str());
            return (!known).then(|| {
                broken(format!("a link cannot begin with `{scheme}:`"), span)
                    .help("begin it with `https:`, `http:`, `mailto:`, `tel:` or `term:`")
            });
        }
        let own = self.sources.get(file).path.as_str();
        let (path, fragment) = address.split_once('#').map_or((address, None), |(path, part)| (path, Some(part)));
        let page = if path.is_empty() && fragment.is_some() {
            Some(own.to_owned())
        } else {
            join(folder(own), &decoded(path))
        };
        let Some(fragments) = page.as_deref().and_then(|page| self.pages.get(page)) else {
            return Some(broken(format!("the link `{address}` leads to no lesson of this course"), span).help(
                "name a lesson's file, such as `../03-whey-flatbreads/lesson.md`, or a heading, such as `#knead-it`",
            ));
        };
        let fragment = decoded(fragment?);
        if fragments.contains(&fragment.as_str()) {
            return None;
        }
        let found = broken(format!("there is no heading for `#{fragment}`"), span);
        Some(match nearest(&fragment, fragments.iter().copied()) {
            Some(meant) => suggest(found, span, &format!("{path}#{meant}")),
            None => found.help("a heading's name in a link is its words in small letters, joined by hyphens"),
        })
    }
}

fn broken(message: String, span: Span) -> Diagnostic {
    Diagnostic::new(Code::BrokenReference, message, span)
}

fn suggest(found: Diagnostic, span: Span, meant: &str) -> Diagnostic {
    found.help(format!("did you mean `{meant}`?")).suggest(span, meant, Confidence::NeedsACook)
}

/// The term that a link asks for: `clean-break` of `term:clean-break`.
pub fn term_of(address: &str) -> Option<String> {
    let word = address.get(TERM.len()..).filter(|_| address[..TERM.len()].eq_ignore_ascii_case(TERM))?;
    Some(decoded(word))
}

/// Before the name of a term in a link to it.
const TERM: &str = "term:";

/// `https` of `https://…`; an empty one for `//…`, which borrows the page's.
pub(super) fn scheme(address: &str) -> Option<&str> {
    if address.starts_with("//") {
        return Some("");
    }
    let (scheme, _) = address.split_once(':')?;
    let letters = scheme.starts_with(|letter: char| letter.is_ascii_alphabetic())
        && scheme.chars().all(|letter| letter.is_ascii_alphanumeric() || matches!(letter, '+' | '.' | '-'));
    letters.then_some(scheme)
}

fn folder(path: &str) -> &str {
    path.rsplit_once('/').map_or("", |(folder, _)| folder)
}

/// A path relative to a folder; `None` when it leads out of the course.
fn join(folder: &str, path: &str) -> Option<String> {
    if path.starts_with('/') || path.contains('\\') {
        return None;
    }
    let mut parts: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop()?;
            }
            part => parts.push(part),
        }
    }
    Some(parts.join("/"))
}

/// An address with `%20` and the like made plain; left alone where that gives no text.
fn decoded(address: &str) -> String {
    let mut bytes = Vec::with_capacity(address.len());
    let mut rest = address.as_bytes();
    while let Some((&first, after)) = rest.split_first() {
        let code = after.get(..2).filter(|_| first == b'%').and_then(|hex| std::str::from_utf8(hex).ok());
        match code.and_then(|hex| u8::from_str_radix(hex, 16).ok()) {
            Some(byte) => {
                bytes.push(byte);
                rest = &after[2..];
            }
            None => {
                bytes.push(first);
                rest = after;
            }
        }
    }
    String::from_utf8(bytes).unwrap_or_else(|_| address.to_owned())
}
