//! The SARIF report against the schema of the standard.
//!
//! Source: OASIS SARIF 2.1.0, schema `sarif-2.1.0-rtm.5.json` as it lies in the npm package `@microsoft/jest-sarif`
//! 1.0.0-beta.0. Python's `jsonschema` judges; `tests/run` installs it.

use pottle::diag::Emitter;
use pottle::diag::emit::Sarif;
use pottle::{Project, check};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name)
}

/// What in a report does not fit the schema.
fn faults(report: &[u8]) -> String {
    let mut python = Command::new("python3")
        .arg(data("validate_json.py"))
        .arg(data("sarif-2.1.0-rtm.5.json"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python3 is installed");
    python.stdin.take().expect("a pipe").write_all(report).expect("python reads");
    let output = python.wait_with_output().expect("python ends");
    assert!(output.status.success(), "jsonschema is installed: `tests/run` does it");
    String::from_utf8(output.stdout).expect("text")
}

fn report(lesson: &str, base: &str) -> (usize, Vec<u8>) {
    let project = Project::from_files([("course.toml", "title = \"T\""), ("01-tea/lesson.md", lesson)]);
    let findings = check(&project).findings;
    let mut out = Vec::new();
    let mut sarif = Sarif::new(&mut out, base);
    findings.iter().for_each(|found| sarif.emit(&project.sources, found).expect("memory"));
    sarif.finish().expect("memory");
    (findings.iter().count(), out)
}

#[test]
fn reports_fit_the_schema() {
    let wrong = "# Tea\n\n```recipe\nmakes = \"1 L black tea\"\n\n[ingredients]\nwater = \"1 L water\"\nsalt = \"half\"\n```\n\n\
        ## Boil\n\n```step\nadd = [\"water\"]\nto = \"100 °C\"\n```\n\nBoil 2 litres of water (5 pints) at 90 °C, 1 T, [x](y).\n";
    for (lesson, base, least) in
        [("# Tea\n", "", 0), (wrong, "content/", 3), (wrong, "/a course/", 3), (wrong, "../c/", 3)]
    {
        let (count, report) = report(lesson, base);
        assert!(count >= least, "{count} findings");
        assert_eq!(faults(&report), "", "{}", String::from_utf8_lossy(&report));
    }
}

#[test]
fn the_schema_would_notice() {
    let (_, report) = report("# Tea\n", "");
    let broken = String::from_utf8(report)
        .expect("text")
        .replace("\"columnKind\":\"unicodeCodePoints\"", "\"columnKind\":\"letters\"");
    assert!(faults(broken.as_bytes()).contains("columnKind"));
}
