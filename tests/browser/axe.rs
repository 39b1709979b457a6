//! axe-core, which measures a page against the success criteria of WCAG 2.0 to 2.2, levels A and AA.

use super::page::Page;
use super::tools;
use serde::Deserialize;
use std::sync::OnceLock;

const RUN: &str = "axe.run(document, {
    runOnly: { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] },
    resultTypes: ['violations', 'incomplete'],
}).then(found => ['violations', 'incomplete'].flatMap(kind => found[kind].flatMap(({ id, nodes }) => nodes.map(node => ({
    undecided: kind == 'incomplete', rule: id, place: node.target.flat().join(' '), why: node.failureSummary || '',
})))))";

/// One place that axe complains of, or cannot decide about.
#[derive(Debug, Deserialize)]
pub struct Complaint {
    /// Whether axe left it to people.
    pub undecided: bool,
    /// axe's name for the rule.
    pub rule: String,
    /// The element, as a selector.
    place: String,
    #[expect(dead_code, reason = "for the one who reads the failure")]
    why: String,
}

/// All that axe has to say about the page as it stands, but for what people have looked at: axe cannot tell what lies
/// behind the words of a chart. They have the ink of the words around them, upon the paper of the page.
pub fn complaints(page: &Page) -> Vec<Complaint> {
    if !page.is("globalThis.axe") {
        page.eval(&format!("{}\n0", script()));
    }
    // A bar that stays in view lies over what scrolls beneath it, and of what is covered axe decides nothing.
    let all: Vec<Complaint> = serde_json::from_value(page.as_a_whole(|| page.eval(RUN))).expect("a list of complaints");
    // `text` is an element of charts and of nothing else.
    let is_chart =
        |place: &str| place.split('>').any(|part| part.trim_start().starts_with("text") || part.contains(" text["));
    let reviewed = |one: &Complaint| one.undecided && one.rule == "color-contrast" && is_chart(&one.place);
    all.into_iter().filter(|one| !reviewed(one)).collect()
}

fn script() -> &'static str {
    static SCRIPT: OnceLock<String> = OnceLock::new();
    SCRIPT.get_or_init(|| std::fs::read_to_string(tools::npm_file("axe-core/axe.min.js")).expect("axe is a text"))
}
