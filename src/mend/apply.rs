//! Edits applied to the texts of a course, byte by byte as they stand on disk.

use crate::diag::Edit;
use crate::input::Project;
use crate::source::FileId;
use std::collections::BTreeMap;

/// The course with edits made that do not overlap. Line ends and a byte order mark stay as they are.
pub(super) fn apply(project: &Project, edits: &[&Edit]) -> Project {
    let mut by_file: BTreeMap<FileId, Vec<&Edit>> = BTreeMap::new();
    for edit in edits {
        by_file.entry(edit.span.file).or_default().push(edit);
    }
    let mut mended = project.clone();
    for (file, mut edits) in by_file {
        let source = project.sources.get(file);
        let mut raw = source.on_disk();
        edits.sort_by_key(|edit| std::cmp::Reverse(edit.span));
        for edit in edits {
            let range = source.offset_on_disk(edit.span.start)..source.offset_on_disk(edit.span.end);
            raw.replace_range(range, &edit.text);
        }
        mended.sources.replace(file, &raw);
    }
    mended
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Span;

    #[test]
    fn edits_count_in_the_bytes_of_the_disk() {
        let raw = "\u{feff}# Tea\r\n\r\nBoil 1 litre.\r\nWait 4 minutes.\r\n";
        let project = Project::from_files([("course.toml", "title = \"T\""), ("01-tea/lesson.md", raw)]);
        let file = project.lessons[0].file;
        let text = &project.sources.get(file).text;
        let edit = |old: &str, new: &str| {
            let at = text.find(old).unwrap();
            Edit { span: Span::new(file, at..at + old.len()), text: new.to_owned() }
        };
        let (first, second) = (edit("1 litre", "2 litres"), edit("4", "five"));
        let mended = apply(&project, &[&first, &second]);
        let expected = raw.replace("1 litre", "2 litres").replace("Wait 4", "Wait five");
        assert_eq!(mended.sources.get(file).on_disk(), expected);
        assert_eq!(project.sources.get(file).on_disk(), raw);
    }
}
