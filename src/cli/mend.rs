//! `pottle mend`: write the recipe's figures into the words that were left behind.

use super::args::{MendArgs, Report};
use super::course::{base, folder_or_default};
use super::report::{self, Shown, Stream, Voice, number_of};
use super::{Failure, Verdict};
use pottle::diag::{Diagnostics, Severity};
use pottle::output::{Patch, write_patches};
use pottle::{Mended, Project, mend, read_project};
use std::path::Path;

pub(super) fn run(args: &MendArgs, voice: Voice) -> Result<Verdict, Failure> {
    let folder = folder_or_default(args.course.as_deref());
    let line = voice.line();
    let project = Project { progress: line.progress.clone(), ..read_project(&folder)? };
    let mended = mend(&project);
    drop(line);
    let base = base(&folder);
    let view: String = mended.changed.iter().map(|changed| changed.view(&base)).collect();
    // Whoever reads findings by program wants nothing else on the output.
    let beside = if args.report == Report::Human { Stream::Output } else { Stream::Error };
    report::print(beside, view.as_bytes())?;
    if !args.dry_run {
        write(&mended, &folder)?;
    }
    let mut findings = Diagnostics::default();
    for left in &mended.left {
        let mut found = left.found.clone();
        found.notes.push(format!("not mended: {}", left.why));
        findings.push(found);
    }
    if !findings.is_empty() || args.report != Report::Human {
        let shown = Shown { sources: &mended.project.sources, base: &base };
        report::findings(args.report, Stream::Output, shown, &findings, left_over(findings.count(Severity::Error)))?;
    }
    voice.done(beside, &format!("{}\n", summary(&mended, args.dry_run)))?;
    let pending = args.dry_run && !mended.changed.is_empty();
    Ok(if findings.has_errors() || pending { Verdict::Findings } else { Verdict::Clean })
}

fn write(mended: &Mended, folder: &Path) -> Result<(), Failure> {
    let patches: Vec<Patch<'_>> = mended
        .changed
        .iter()
        .map(|changed| Patch {
            path: &changed.path,
            before: changed.before.as_bytes(),
            after: changed.after.as_bytes(),
        })
        .collect();
    Ok(write_patches(folder, &patches)?)
}

fn left_over(errors: usize) -> &'static str {
    if errors == 0 { "" } else { " left for you" }
}

fn summary(mended: &Mended, dry_run: bool) -> String {
    let files = number_of(mended.changed.len(), "file");
    match (mended.changed.is_empty(), dry_run) {
        (true, _) if mended.left.is_empty() => "Nothing to mend: all agree.".to_owned(),
        (true, _) => "Nothing was mended.".to_owned(),
        (false, true) => format!("{files} would change; nothing was written."),
        (false, false) => format!("{files} mended."),
    }
}
