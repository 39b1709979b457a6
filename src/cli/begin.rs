//! `pottle begin`: a small course that publishes at once, to write over.

use super::args::BeginArgs;
use super::report::{Stream, Voice};
use super::{Failure, Verdict};
use pottle::output::write_new_folder;

const FILES: &[(&str, &str)] = &[
    ("course.toml", include_str!("../../shared/begin/course.toml")),
    ("pantry.toml", include_str!("../../shared/begin/pantry.toml")),
    ("01-first-lesson/lesson.md", include_str!("../../shared/begin/01-first-lesson/lesson.md")),
];

pub(super) fn run(args: &BeginArgs, voice: Voice) -> Result<Verdict, Failure> {
    write_new_folder(FILES, &args.folder)?;
    let shown = args.folder.display().to_string();
    let folder = shown.trim_end_matches('/');
    let text = format!(
        "Your course is in {folder}. It has one small lesson; write over it.\n\n\
         What to do next:\n  \
         1. Open {folder}/01-first-lesson/lesson.md in your editor and change what you like.\n  \
         2. Ask whether all figures still agree:   pottle proof {folder}\n  \
         3. Make the pages:                        pottle publish {folder} --to {folder}-site\n  \
         4. Look at them:                          open {folder}-site/index.html in a browser\n"
    );
    voice.done(Stream::Output, &text)?;
    Ok(Verdict::Clean)
}
