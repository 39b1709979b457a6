//! Mending: writes the model's figures into the words, where there is no doubt which figure belongs there.
//!
//! Pure, like checking: a [`Project`] in, another one out. A repair is made only if the course has fewer findings with
//! it than without; `output` puts the changed texts on disk.

mod apply;
mod view;

use crate::check::{Checked, check};
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics, Edit, Severity};
use crate::input::{Progress, Project, Work};
use crate::source::FileId;
use apply::apply;
use std::collections::BTreeSet;

/// Repairs may bring others to light; more rounds than this bring nothing new.
const ROUNDS: usize = 4;

/// What mending did, and what it could not do.
#[derive(Debug, Clone)]
pub struct Mended {
    /// The course with its words mended.
    pub project: Project,
    /// That course, checked again.
    pub checked: Checked,
    /// The texts that changed.
    pub changed: Vec<ChangedText>,
    /// What is still to be done, in order.
    pub left: Vec<Left>,
}

/// A text before and after, as it stands on disk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangedText {
    /// Path relative to the course folder, with `/`.
    pub path: String,
    /// Its text when the course was read.
    pub before: String,
    /// Its text now.
    pub after: String,
}

/// A finding that was not mended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Left {
    /// The finding.
    pub found: Diagnostic,
    /// Why it was left to a cook.
    pub why: &'static str,
}

/// Rewrites the words of a course until nothing certain is left to do.
pub fn mend(project: &Project) -> Mended {
    let (mut now, mut checked) = (project.clone(), check(project));
    // What is tried is checked in whole each time: that is not counted.
    now.progress = Progress::default();
    let mut refused = BTreeSet::new();
    for _ in 0..ROUNDS {
        let repairs = repairs(&now, &checked.findings, &refused);
        if repairs.is_empty() {
            break;
        }
        project.progress.start(Work::Mending, 0);
        match all_at_once(&now, &checked, &repairs) {
            Some(better) => (now, checked) = better,
            None => {
                project.progress.start(Work::Mending, repairs.len());
                one_by_one(&mut now, &mut checked, repairs, &mut refused, &project.progress);
            }
        }
    }
    let left =
        checked.findings.iter().map(|found| Left { found: found.clone(), why: why(&now, found, &refused) }).collect();
    let changed = changed(project, &now);
    now.progress = project.progress.clone();
    Mended { project: now, checked, changed, left }
}

/// The edits of one finding. They are made together or not at all.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Repair {
    headline: String,
    edits: Vec<Edit>,
}

/// What can be repaired: certain edits of the course's own words.
fn repairs(project: &Project, findings: &Diagnostics, refused: &BTreeSet<String>) -> Vec<Repair> {
    let own: BTreeSet<FileId> =
        project.lessons.iter().map(|lesson| lesson.file).chain(project.course).chain(project.glossary).collect();
    let mut found: Vec<Repair> = Vec::new();
    for one in findings.iter().filter(|one| is_about_words(one.code)) {
        let edits: Vec<Edit> = one
            .suggestions
            .iter()
            .filter(|suggestion| suggestion.confidence == Confidence::Certain)
            .map(|suggestion| suggestion.edit.clone())
            .collect();
        let ours = !edits.is_empty() && edits.iter().all(|edit| own.contains(&edit.span.file));
        let taken =
            |edit: &Edit| found.iter().flat_map(|repair| &repair.edits).any(|other| other.span.overlaps(edit.span));
        if ours && !refused.contains(&one.message) && !edits.iter().any(taken) && !overlap(&edits) {
            found.push(Repair { headline: one.message.clone(), edits });
        }
    }
    found
}

fn is_about_words(code: Code) -> bool {
    matches!(code, Code::Disagrees | Code::PairApart | Code::UnknownMention | Code::NotStated | Code::RiskySpelling)
}

fn overlap(edits: &[Edit]) -> bool {
    edits.iter().enumerate().any(|(at, edit)| edits[..at].iter().any(|other| other.span.overlaps(edit.span)))
}

/// All repairs together, if each takes away its finding and none brings another.
fn all_at_once(project: &Project, checked: &Checked, repairs: &[Repair]) -> Option<(Project, Checked)> {
    let edits: Vec<&Edit> = repairs.iter().flat_map(|repair| &repair.edits).collect();
    let tried = apply(project, &edits);
    let after = check(&tried);
    (weight(&after) + repairs.len() <= weight(checked)).then_some((tried, after))
}

/// Tries repairs singly, and remembers those that do no good.
fn one_by_one(
    now: &mut Project,
    checked: &mut Checked,
    repairs: Vec<Repair>,
    refused: &mut BTreeSet<String>,
    progress: &Progress,
) {
    // From the last place to the first: an edit moves only what follows it.
    let mut repairs = repairs;
    repairs.sort_by_key(|repair| std::cmp::Reverse(repair.edits.iter().map(|edit| edit.span).max()));
    let mut moved: Vec<Edit> = Vec::new();
    for repair in repairs {
        progress.one_done();
        let stale = repair
            .edits
            .iter()
            .any(|edit| moved.iter().any(|done| done.span.file == edit.span.file && done.span.start < edit.span.end));
        if stale {
            continue; // Its place has moved; the next round finds it again.
        }
        let edits: Vec<&Edit> = repair.edits.iter().collect();
        let tried = apply(now, &edits);
        let after = check(&tried);
        if weight(&after) < weight(checked) {
            (*now, *checked) = (tried, after);
            moved.extend(repair.edits);
        } else {
            refused.insert(repair.headline);
        }
    }
}

fn weight(checked: &Checked) -> usize {
    checked.findings.count(Severity::Error) + checked.findings.count(Severity::Note)
}

fn why(project: &Project, found: &Diagnostic, refused: &BTreeSet<String>) -> &'static str {
    if project.lessons.iter().any(|lesson| lesson.captions.contains(&found.primary.span.file)) {
        return "captions say what was spoken, and `mend` cannot change the recording";
    }
    let suggested = |sure| found.suggestions.iter().any(|one| one.confidence == sure);
    if refused.contains(&found.message) {
        "the repair at hand would make the words disagree with something else"
    } else if suggested(Confidence::Certain) {
        "its repair belongs to a file that is not the course's own, or runs into another repair"
    } else if suggested(Confidence::NeedsACook) {
        "more than one measure could be meant, or only half of a pair could be rewritten"
    } else {
        match found.code {
            Code::Disagrees => "the measure is known, but these words cannot be rewritten in their own form",
            Code::PairApart => "both halves state the measure, and nothing says which is to give way",
            Code::UnknownMention => "no measure of this course is clearly meant",
            Code::NotStated => "the words would have to name something they do not name now",
            Code::RiskySpelling => "markup runs through the unit",
            _ => "this is about the blocks or the files, and `mend` changes nothing but the words",
        }
    }
}

fn changed(before: &Project, after: &Project) -> Vec<ChangedText> {
    let mut found = Vec::new();
    for ((_, old), (_, new)) in before.sources.iter().zip(after.sources.iter()) {
        if old.text != new.text {
            found.push(ChangedText { path: old.path.clone(), before: old.on_disk(), after: new.on_disk() });
        }
    }
    found
}
