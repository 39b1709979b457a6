//! Every page is valid HTML to the Nu validator.

use super::{courses, site, tools};
use serde_json::Value;
use std::process::Command;

/// What the validator says about all HTML in the published folder, as it is and with codes for paper, and about one page that is wrong on purpose, so that a
/// validator that looks at nothing is noticed.
///
/// Only HTML files: its checker of style sheets does not know newer properties (`container-type`, for one). And not its
/// warnings about a page's security policy: it knows no origin, so `'self'` allows nothing to it, and it computes no
/// hashes. The browser enforces that policy, and every test here fails on a breach.
#[test]
fn the_nu_validator_finds_no_error() {
    let folder = site::published();
    let coded = site::published_course(courses::with_address().path());
    std::fs::rename(coded.path(), folder.path().join("coded")).expect("both are ours");
    let wrong = "<!doctype html><html lang=en><title>Wrong</title><p><li>a stray item</li>";
    std::fs::write(folder.path().join("wrong.html"), wrong).expect("the folder is ours");
    let output = Command::new(tools::program("java"))
        // A small heap and the quick compiler: it lives for two seconds.
        .args(["-Xss2m", "-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC", "-jar"])
        .arg(tools::npm_file("vnu-jar/build/dist/vnu.jar"))
        .args(["--stdout", "--format", "json", "--skip-non-html"])
        .arg(folder.path())
        .output()
        .expect("java starts");
    let said: Value = serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|_| panic!("no report: {}", String::from_utf8_lossy(&output.stderr)));
    let (on_purpose, found): (Vec<&Value>, Vec<&Value>) = said["messages"]
        .as_array()
        .expect("a list")
        .iter()
        .filter(|message| !is_about_policy(message))
        .partition(|message| message["url"].as_str().is_some_and(|url| url.ends_with("/wrong.html")));
    assert!(on_purpose.iter().any(|message| message["type"] == "error"), "it found nothing wrong on a wrong page");
    assert!(found.is_empty(), "{found:#?}");
}

fn is_about_policy(message: &Value) -> bool {
    let text = message["message"].as_str().unwrap_or_default();
    message["type"] == "info" && text.contains("violates Content Security Policy")
}
