//! Findings in SARIF, the format in which checkers report to editors and services.
//!
//! Source: OASIS, Static Analysis Results Interchange Format (SARIF) Version 2.1.0, with Errata 01.

use super::Emitter;
use crate::diag::{Code, Confidence, Diagnostic, Edit, Label, Severity};
use crate::source::{Sources, Span};
use serde::Serialize;
use std::collections::BTreeMap;
use std::io::{self, Write};

const SCHEMA: &str = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// The course folder, which paths of its files start from.
const COURSE: &str = "COURSE";
/// The tables inside the program.
const BUILT_IN: &str = "BUILT-IN";
/// Where the program was run.
const HERE: &str = "HERE";

/// Writes one log with one run when the report ends, also when there is no finding.
#[derive(Debug)]
pub struct Sarif<W> {
    out: W,
    base: String,
    results: Vec<Finding>,
}

impl<W: Write> Sarif<W> {
    /// Writes to `out`. `base` is the way to the course folder: empty, or ending in `/`.
    pub fn new(out: W, base: impl Into<String>) -> Sarif<W> {
        Sarif { out, base: base.into(), results: Vec::new() }
    }
}

impl<W: Write> Emitter for Sarif<W> {
    fn emit(&mut self, sources: &Sources, found: &Diagnostic) -> io::Result<()> {
        self.results.push(Finding::of(sources, found));
        Ok(())
    }

    fn finish(&mut self) -> io::Result<()> {
        let log = Log {
            schema: SCHEMA,
            version: "2.1.0",
            runs: [Run {
                tool: Tool { driver: Driver::pottle() },
                original_uri_base_ids: bases(&self.base),
                column_kind: "unicodeCodePoints",
                results: std::mem::take(&mut self.results),
            }],
        };
        serde_json::to_writer(&mut self.out, &log)?;
        self.out.write_all(b"\n")
    }
}

#[derive(Debug, Serialize)]
struct Log {
    #[serde(rename = "$schema")]
    schema: &'static str,
    version: &'static str,
    runs: [Run; 1],
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Run {
    tool: Tool,
    original_uri_base_ids: BTreeMap<&'static str, Base>,
    column_kind: &'static str,
    results: Vec<Finding>,
}

#[derive(Debug, Serialize)]
struct Tool {
    driver: Driver,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Driver {
    name: &'static str,
    semantic_version: &'static str,
    rules: Vec<Rule>,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Rule {
    id: &'static str,
    short_description: Message,
    help: Help,
    default_configuration: Configuration,
}

#[derive(Debug, Serialize)]
struct Help {
    text: &'static str,
    markdown: &'static str,
}

#[derive(Debug, Serialize)]
struct Configuration {
    level: &'static str,
}

#[derive(Debug, Serialize)]
struct Message {
    text: String,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Base {
    #[serde(skip_serializing_if = "Option::is_none")]
    uri: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    uri_base_id: Option<&'static str>,
    description: Message,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Finding {
    rule_id: &'static str,
    rule_index: usize,
    level: &'static str,
    message: Message,
    locations: [Location; 1],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_locations: Vec<Location>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fixes: Vec<Fix>,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Location {
    #[serde(skip_serializing_if = "Option::is_none")]
    id: Option<usize>,
    physical_location: PhysicalLocation,
    #[serde(skip_serializing_if = "Option::is_none")]
    message: Option<Message>,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct PhysicalLocation {
    artifact_location: Artifact,
    region: Region,
}

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "camelCase")]
struct Artifact {
    uri: String,
    uri_base_id: &'static str,
}

/// Counted from 1, columns in characters; the end is one past the last letter.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Region {
    start_line: usize,
    start_column: usize,
    end_line: usize,
    end_column: usize,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Fix {
    description: Message,
    artifact_changes: Vec<Change>,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Change {
    artifact_location: Artifact,
    replacements: Vec<Replacement>,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Replacement {
    deleted_region: Region,
    inserted_content: Message,
}

impl Driver {
    fn pottle() -> Driver {
        let rules = Code::ALL.iter().map(|code| Rule {
            id: code.name(),
            short_description: Message { text: code.meaning().to_owned() },
            help: Help { text: code.page(), markdown: code.page() },
            default_configuration: Configuration { level: level(code.severity()) },
        });
        Driver { name: "pottle", semantic_version: env!("CARGO_PKG_VERSION"), rules: rules.collect() }
    }
}

impl Finding {
    fn of(sources: &Sources, found: &Diagnostic) -> Finding {
        let mut text = found.message.clone();
        for more in found.notes.iter().chain(&found.help) {
            text.push('\n');
            text.push_str(more);
        }
        let related = found.related.iter().enumerate();
        Finding {
            rule_id: found.code.name(),
            rule_index: Code::ALL.iter().position(|code| *code == found.code).unwrap_or_default(),
            level: level(found.severity()),
            message: message(&text),
            locations: [Location::of(sources, &found.primary, None)],
            related_locations: related.map(|(at, label)| Location::of(sources, label, Some(at + 1))).collect(),
            fixes: fixes(sources, found),
        }
    }
}

impl Location {
    fn of(sources: &Sources, label: &Label, id: Option<usize>) -> Location {
        Location {
            id,
            physical_location: PhysicalLocation {
                artifact_location: artifact(sources, label.span),
                region: region(sources, label.span),
            },
            message: (!label.text.is_empty()).then(|| message(&label.text)),
        }
    }
}

fn level(severity: Severity) -> &'static str {
    severity.as_str()
}

/// Braces mark a place to fill in, and brackets a link, unless they are escaped (3.11.5 and 3.11.6).
fn message(text: &str) -> Message {
    let text = text.replace('{', "{{").replace('}', "}}").replace('[', "\\[").replace(']', "\\]");
    Message { text }
}

/// All certain edits together are one fix; each guess is a fix of its own.
fn fixes(sources: &Sources, found: &Diagnostic) -> Vec<Fix> {
    let (certain, guesses): (Vec<_>, Vec<_>) =
        found.suggestions.iter().partition(|suggestion| suggestion.confidence == Confidence::Certain);
    let certain: Vec<&Edit> = certain.into_iter().map(|suggestion| &suggestion.edit).collect();
    let guesses = guesses.into_iter().map(|suggestion| vec![&suggestion.edit]);
    let sets = std::iter::once(certain).filter(|set| !set.is_empty()).chain(guesses);
    sets.map(|edits| fix(sources, &edits)).collect()
}

fn fix(sources: &Sources, edits: &[&Edit]) -> Fix {
    let mut by_file: BTreeMap<Artifact, Vec<Replacement>> = BTreeMap::new();
    for edit in edits {
        by_file.entry(artifact(sources, edit.span)).or_default().push(Replacement {
            deleted_region: region(sources, edit.span),
            inserted_content: Message { text: edit.text.clone() },
        });
    }
    let texts: Vec<String> = edits.iter().map(|edit| format!("“{}”", edit.text)).collect();
    Fix {
        description: message(&format!("write {}", texts.join(" and "))),
        artifact_changes: by_file
            .into_iter()
            .map(|(artifact_location, replacements)| Change { artifact_location, replacements })
            .collect(),
    }
}

fn artifact(sources: &Sources, span: Span) -> Artifact {
    let path = &sources.get(span.file).path;
    let (path, base) = match path.strip_prefix("shared/") {
        Some(table) => (table, BUILT_IN),
        None => (path.as_str(), COURSE),
    };
    Artifact { uri: encoded(path), uri_base_id: base }
}

fn region(sources: &Sources, span: Span) -> Region {
    let file = sources.get(span.file);
    let (start, end) = (file.position(span.start), file.position(span.end));
    Region { start_line: start.line, start_column: start.column, end_line: end.line, end_column: end.column }
}

/// What the ids of [`artifact`] stand for. A folder whose way leads upwards cannot be named by a relative URI.
fn bases(base: &str) -> BTreeMap<&'static str, Base> {
    let description = |text: &str| Message { text: text.to_owned() };
    let upwards = base.split('/').any(|part| part == "..");
    let (uri, uri_base_id) = match base {
        "" => (None, None),
        _ if upwards => (None, None),
        _ if base.starts_with('/') => (Some(format!("file://{}", encoded(base))), None),
        _ => (Some(encoded(base.trim_start_matches("./"))), Some(HERE)),
    };
    let mut bases = BTreeMap::new();
    bases.insert(COURSE, Base { uri, uri_base_id, description: description("the folder of the course") });
    bases.insert(
        BUILT_IN,
        Base { uri: None, uri_base_id: None, description: description("the tables that come with pottle") },
    );
    if uri_base_id.is_some() {
        let here = Base { uri: None, uri_base_id: None, description: description("where pottle was run") };
        bases.insert(HERE, here);
    }
    bases
}

/// A path as a URI reference (RFC 3986): letters, digits and `-._~/` stand for themselves.
fn encoded(path: &str) -> String {
    let mut uri = String::new();
    for byte in path.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            uri.push(char::from(byte));
        } else {
            uri.push_str(&format!("%{byte:02X}"));
        }
    }
    uri
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    fn drawn(sources: &Sources, base: &str, found: &[Diagnostic]) -> Value {
        let mut out = Vec::new();
        let mut sarif = Sarif::new(&mut out, base);
        found.iter().for_each(|found| sarif.emit(sources, found).unwrap());
        sarif.finish().unwrap();
        serde_json::from_slice(&out).unwrap()
    }

    /// Two sure edits and a guess, with a related place in a built-in table.
    fn disagreement() -> (Sources, Diagnostic) {
        let mut sources = Sources::default();
        let lesson = sources.add("02 curd/lesson.md", "\u{feff}# Curd\r\n\r\nHeat ½ of it to 95 °C (203 °F).\r\n");
        let facts = sources.add("shared/facts.toml", "[[fact]]\nid = \"scald\"\n");
        let place = |file, words: &str| {
            let at = sources.get(file).text.find(words).unwrap();
            Span::new(file, at..at + words.len())
        };
        let found = Diagnostic::new(Code::Disagrees, "95 [°C] {0}", place(lesson, "95 °C"))
            .related(place(facts, "scald"), "the fact")
            .note("a note")
            .help("a help")
            .suggest(place(lesson, "95 °C"), "93 °C", Confidence::NeedsACook)
            .suggest(place(lesson, "95 °C"), "92 °C", Confidence::Certain)
            .suggest(place(lesson, "203 °F"), "198 °F", Confidence::Certain);
        (sources, found)
    }

    #[test]
    fn a_clean_course_still_gives_a_log_with_all_rules() {
        let log = drawn(&Sources::default(), "", &[]);
        assert_eq!(log["version"], "2.1.0");
        assert_eq!(log["runs"][0]["results"], json!([]));
        assert_eq!(log["runs"][0]["columnKind"], "unicodeCodePoints");
        let rules = log["runs"][0]["tool"]["driver"]["rules"].as_array().unwrap();
        assert_eq!(rules.len(), Code::ALL.len());
        for (rule, code) in rules.iter().zip(Code::ALL) {
            assert_eq!(rule["id"], code.name());
            assert_eq!(rule["shortDescription"]["text"], code.meaning());
            assert_eq!(rule["help"]["text"], code.page());
            assert_eq!(rule["defaultConfiguration"]["level"], code.severity().as_str());
        }
    }

    #[test]
    fn a_finding_has_its_places_in_characters_and_its_edits_as_fixes() {
        let (sources, found) = disagreement();
        let log = drawn(&sources, "content/", &[found]);
        let result = &log["runs"][0]["results"][0];
        assert_eq!(result["ruleId"], "disagrees");
        assert_eq!(
            log["runs"][0]["tool"]["driver"]["rules"][result["ruleIndex"].as_u64().unwrap() as usize]["id"],
            "disagrees"
        );
        assert_eq!(
            (&result["level"], &result["message"]["text"]),
            (&json!("error"), &json!("95 \\[°C\\] {{0}}\na note\na help"))
        );
        let said = json!({"startLine": 3, "startColumn": 17, "endLine": 3, "endColumn": 22});
        let lesson = json!({"uri": "02%20curd/lesson.md", "uriBaseId": "COURSE"});
        assert_eq!(result["locations"][0]["physicalLocation"], json!({"artifactLocation": lesson, "region": said}));
        let related = &result["relatedLocations"][0];
        assert_eq!((&related["id"], &related["message"]["text"]), (&json!(1), &json!("the fact")));
        assert_eq!(
            related["physicalLocation"]["artifactLocation"],
            json!({"uri": "facts.toml", "uriBaseId": "BUILT-IN"})
        );
        let fixes = result["fixes"].as_array().unwrap();
        assert_eq!(fixes.len(), 2);
        assert_eq!(fixes[0]["description"]["text"], "write “92 °C” and “198 °F”");
        assert_eq!(fixes[0]["artifactChanges"][0]["artifactLocation"], lesson);
        let replacements = &fixes[0]["artifactChanges"][0]["replacements"];
        assert_eq!(replacements[0], json!({"deletedRegion": said, "insertedContent": {"text": "92 °C"}}));
        assert_eq!(replacements.as_array().unwrap().len(), 2);
        assert_eq!(fixes[1]["artifactChanges"][0]["replacements"][0]["insertedContent"]["text"], "93 °C");
    }

    #[test]
    fn the_course_folder_is_named_by_where_it_lies() {
        let of = |base| serde_json::to_value(&bases(base)[COURSE]).unwrap();
        assert_eq!((&of("content/")["uri"], &of("content/")["uriBaseId"]), (&json!("content/"), &json!("HERE")));
        assert_eq!(of("/a b/")["uri"], "file:///a%20b/");
        for base in ["", "../c/"] {
            assert_eq!(of(base)["uri"], Value::Null, "{base}");
        }
        assert!(bases("content/").contains_key(HERE) && !bases("").contains_key(HERE));
    }
}
