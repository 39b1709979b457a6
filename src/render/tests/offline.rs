//! The worker, the manifest, and what each page says of them.

use super::*;
use std::collections::BTreeSet;

fn worker(site: &Site) -> String {
    page(site, "sw.js")
}

fn between<'a>(text: &'a str, start: &str, end: &str) -> &'a str {
    let at = text.find(start).unwrap() + start.len();
    &text[at..at + text[at..].find(end).unwrap()]
}

fn version(site: &Site) -> String {
    between(&worker(site), "const VERSION = \"", "\"").to_owned()
}

/// The letters that an address stands for.
fn decoded(address: &str) -> String {
    let mut parts = address.split('%');
    let mut bytes = parts.next().unwrap().as_bytes().to_vec();
    for part in parts {
        bytes.push(u8::from_str_radix(&part[..2], 16).unwrap());
        bytes.extend_from_slice(&part.as_bytes()[2..]);
    }
    String::from_utf8(bytes).unwrap()
}

#[test]
fn the_worker_lists_every_file_but_itself_in_order() {
    let mut made = course(Home::Uk);
    made.project.pictures.insert("02-curd/a ladle é.svg".to_owned(), "<svg/>".into());
    let summary = "![](<a ladle é.svg>)\n";
    let file = made.course.lessons[1].file;
    std::sync::Arc::make_mut(&mut made.course.lessons[1]).body.extend(parsed(file, summary).1);
    let site = made.render().unwrap();
    let text = worker(&site);
    let listed: Vec<String> = serde_json::from_str(between(&text, "const FILES = ", ";")).unwrap();
    let paths: Vec<String> = listed.iter().map(|address| decoded(address)).collect();
    let files: Vec<&String> = site.files().keys().filter(|path| *path != "sw.js").collect();
    assert_eq!(paths.iter().collect::<Vec<_>>(), files);
    assert!(listed.contains(&"pictures/curd/a%20ladle%20%C3%A9.svg".to_owned()), "{listed:?}");
    for path in ["index.html", "curd-take-home.html", "site.webmanifest", "icon.svg", "offline.js", "style.css"] {
        assert!(listed.contains(&path.to_owned()), "{path}");
    }
}

#[test]
fn any_changed_byte_changes_the_version_and_nothing_else_does() {
    let made = course(Home::Uk);
    let first = made.render().unwrap();
    assert_eq!(worker(&first), worker(&made.render().unwrap()));
    let mut seen = BTreeSet::from([version(&first)]);
    let mut change = |change: &dyn Fn(&mut Made)| {
        let mut made = course(Home::Uk);
        change(&mut made);
        let site = made.render().unwrap();
        assert!(seen.insert(version(&site)));
        assert_ne!(worker(&site), worker(&first));
    };
    change(&|made| drop(made.project.pictures.insert("02-curd/ladle.svg".to_owned(), "<svg />".into())));
    change(&|made| made.course.title.push('.'));
    change(&|made| {
        let file = made.project.sources.add("theme/own.css", "a { color: red }");
        made.project.theme.insert("own.css".to_owned(), file);
    });
}

/// Keys and values as the Web Application Manifest (W3C) names them.
#[test]
fn the_manifest_names_the_course_its_colours_and_its_icon() {
    let site = course(Home::Uk).render().unwrap();
    let manifest: serde_json::Value = serde_json::from_slice(&site.files()["site.webmanifest"]).unwrap();
    for (key, value) in [
        ("name", "Hall & <sons>"),
        ("short_name", "Hall &"),
        ("lang", "en-GB"),
        ("start_url", "."),
        ("scope", "."),
        ("display", "standalone"),
    ] {
        assert_eq!(manifest[key], value, "{key}");
    }
    let style = std::str::from_utf8(super::super::theme::BUILT_IN.get_file("style.css").unwrap().contents()).unwrap();
    for key in ["background_color", "theme_color"] {
        assert!(style.contains(&format!(": {};", manifest[key].as_str().unwrap())), "{manifest}");
    }
    assert!(site.files().contains_key(manifest["icons"][0]["src"].as_str().unwrap()));
    let index = page(&site, "index.html");
    let (day, night) = (between(style, "--sheet: ", ";"), style.rsplit("--sheet: #2").next().unwrap());
    assert_has(
        &index,
        &[
            "<link rel=\"manifest\" href=\"site.webmanifest\">",
            &format!("<meta name=\"theme-color\" content=\"{day}\" media=\"(prefers-color-scheme: light)\">"),
            &format!("content=\"#2{}\" media=\"(prefers-color-scheme: dark)\">", &night[..5]),
        ],
    );
}

#[test]
fn a_course_can_bring_its_own_icon_worker_and_scripts() {
    let mut made = course(Home::Uk);
    made.project.pictures.insert("theme/icon.svg".to_owned(), "<svg id=\"mine\"/>".into());
    for name in ["sw.js", "offline.js"] {
        let file = made.project.sources.add(format!("theme/{name}"), "// mine\n  mine();\n");
        made.project.theme.insert(name.to_owned(), file);
    }
    let site = made.render().unwrap();
    assert_eq!(site.files()["icon.svg"], b"<svg id=\"mine\"/>");
    assert_eq!(page(&site, "offline.js"), "// mine\n  mine();\n");
    assert!(worker(&site).ends_with(";\n// mine\n  mine();\n"));
}

#[test]
fn every_page_of_the_site_lets_in_its_own_files_alone() {
    let site = course(Home::Uk).render().unwrap();
    let pages = site.files().keys().filter(|name| name.ends_with(".html") && !name.ends_with("-take-home.html"));
    for name in pages {
        let text = page(&site, name);
        let policy = between(&text, "<meta http-equiv=\"Content-Security-Policy\" content=\"", "\"");
        assert!(policy.starts_with("default-src 'none'; script-src 'self'; style-src 'self';"), "{policy}");
        assert!(!policy.contains("unsafe") && !policy.contains('*'), "{policy}");
        let at = |part: &str| text.find(part).unwrap_or_else(|| panic!("{part} in {name}"));
        assert!(at("Content-Security-Policy") < at("<link") && at("<link") < at("<script"));
        assert_has(&text, &["<script src=\"offline.js\" defer></script>", " id=\"_news\" hidden>"]);
        let is_handler = |rest: &str| rest.trim_start_matches(|c: char| c.is_ascii_lowercase()).starts_with('=');
        assert!(!text.contains(" style=\"") && !text.split(" on").skip(1).any(is_handler), "{name}");
    }
}

#[test]
fn the_scripts_of_the_site_are_light_to_carry() {
    let site = course(Home::Uk).render().unwrap();
    assert!(site.files()["offline.js"].len() <= 600);
}
