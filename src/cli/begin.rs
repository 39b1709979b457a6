//! `pottle begin`: a small course that publishes at once, to write over.

use super::args::BeginArgs;
use super::report::{Stream, Voice};
use super::{Failure, Verdict};
use pottle::output::write_new_folder;

const FILES: &[(&str, &str)] = &[
    ("course.toml", include_str!("../../shared/begin/course.toml")),
    ("glossary.md", include_str!("../../shared/begin/glossary.md")),
    ("pantry.toml", include_str!("../../shared/begin/pantry.toml")),
    ("01-first-lesson/lesson.md", include_str!("../../shared/begin/01-first-lesson/lesson.md")),
    ("02-crisp-crumbs/crumbs.svg", include_str!("../../shared/begin/02-crisp-crumbs/crumbs.svg")),
    ("02-crisp-crumbs/lesson.md", include_str!("../../shared/begin/02-crisp-crumbs/lesson.md")),
    ("02-crisp-crumbs/lesson.vtt", include_str!("../../shared/begin/02-crisp-crumbs/lesson.vtt")),
];

pub(super) fn run(args: &BeginArgs, voice: Voice) -> Result<Verdict, Failure> {
    write_new_folder(FILES, &args.folder)?;
    let shown = args.folder.display().to_string();
    let folder = shown.trim_end_matches('/');
    let text = format!(
        "Your course is in {folder}. It has two small lessons; write over them.\n\n\
         What to do next:\n  \
         1. Open {folder}/01-first-lesson/lesson.md in your editor and change what you like.\n  \
         2. Ask whether all figures still agree:   pottle proof {folder}\n  \
         3. See the pages while you write:         pottle rehearse {folder}\n  \
         4. Make the pages for your students:      pottle publish {folder} --to {folder}-site\n\n\
         The second lesson shows what the first has no need of. You may delete its folder, {folder}/02-crisp-crumbs.\n"
    );
    voice.done(Stream::Output, &text)?;
    Ok(Verdict::Clean)
}
