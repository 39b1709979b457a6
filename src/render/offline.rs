//! What lets a hosted site be kept on a device: its worker, its manifest, its icon.

use super::again::digest;
use super::inline::fingerprint;
use super::links::encoded;
use super::site::Site;
use super::theme::Theme;
use crate::recipe::Course;
use serde::Serialize;
use std::collections::BTreeMap;

const WORKER: &str = "sw.js";
const ICON: &str = "icon.svg";

/// `site.webmanifest`. Source: W3C, Web Application Manifest.
#[derive(Serialize)]
struct Manifest<'a> {
    name: &'a str,
    short_name: &'a str,
    lang: &'a str,
    start_url: &'static str,
    scope: &'static str,
    display: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    background_color: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    theme_color: Option<String>,
    icons: [Icon; 1],
}

#[derive(Serialize)]
struct Icon {
    src: &'static str,
    sizes: &'static str,
    #[serde(rename = "type")]
    media_type: &'static str,
    purpose: &'static str,
}

/// Adds the manifest and the icon.
pub(super) fn put_manifest(theme: &Theme<'_>, course: &Course, site: &mut Site) {
    let by_day = |name| theme.colours(name).into_iter().next();
    let manifest = Manifest {
        name: &course.title,
        short_name: short_name(&course.title),
        lang: &course.language,
        start_url: ".",
        scope: ".",
        display: "standalone",
        background_color: by_day("paper"),
        theme_color: by_day("sheet"),
        icons: [Icon { src: ICON, sizes: "any", media_type: "image/svg+xml", purpose: "any maskable" }],
    };
    // Texts under fixed names always make JSON.
    let text = serde_json::to_string(&manifest).unwrap_or_default();
    site.put("site.webmanifest".to_owned(), text.into_bytes());
    site.put(ICON.to_owned(), theme.picture(ICON));
}

/// As many whole words as fit under an icon, but one at least.
fn short_name(title: &str) -> &str {
    const ROOM: usize = 12; // what common home screens show, from experience
    let ends = title.char_indices().filter(|(_, letter)| letter.is_whitespace()).map(|(at, _)| at);
    let mut ends: Vec<usize> = ends.chain([title.len()]).filter(|end| *end > 0).collect();
    ends.retain(|end| title[..*end].chars().count() <= ROOM || !title[..*end].contains(char::is_whitespace));
    title[..ends.last().copied().unwrap_or(title.len())].trim()
}

/// Adds the worker. Comes last: it names every other file, and its version changes with each of their bytes. Gives the
/// digests of all files.
pub(super) fn put_worker(theme: &Theme<'_>, site: &mut Site) -> BTreeMap<String, String> {
    let mut digests = site.digests();
    let Some(code) = theme.script(WORKER) else { return digests };
    let version = fingerprint(digests.iter().flat_map(|(path, digest)| [path.as_bytes(), digest.as_bytes()]));
    let paths: Vec<String> = digests.keys().map(|path| encoded(path)).collect();
    let list = serde_json::to_string(&paths).unwrap_or_default();
    let text = format!("\"use strict\";\nconst VERSION = \"{version}\";\nconst FILES = {list};\n{code}");
    digests.insert(WORKER.to_owned(), digest(text.as_bytes()));
    site.put(WORKER.to_owned(), text.into_bytes());
    digests
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_name_is_whole_words() {
        for (title, short) in [
            ("Saltmarsh Hall", "Saltmarsh"),
            ("My cooking course", "My cooking"),
            ("Käse", "Käse"),
            ("Twelve signs", "Twelve signs"),
            ("Extraordinarily long", "Extraordinarily"),
            ("", ""),
        ] {
            assert_eq!(short_name(title), short);
        }
    }
}
