//! What changed, line by line, for reading before it is written.

use super::ChangedText;
use std::fmt::Write;

/// Letters shown before and after a change; a paragraph is often one line.
const AROUND: usize = 40;

impl ChangedText {
    /// The lines that differ, each before and after, cut to what stands around the change.
    ///
    /// `base` is the way to the course folder: empty, or ending in `/`.
    pub fn view(&self, base: &str) -> String {
        let mut out = format!("--- {base}{path}\n+++ {base}{path}\n", path = self.path);
        // Edits never add or remove a line end, so the lines of both texts answer each other.
        for (index, (old, new)) in self.before.lines().zip(self.after.lines()).enumerate() {
            if old != new {
                let (start, end) = common(old, new);
                let (old, new) = (clipped(old, start, end), clipped(new, start, end));
                let _ = write!(out, "@@ line {} @@\n-{old}\n+{new}\n", index + 1);
            }
        }
        out
    }
}

/// Bytes that two different lines share at their start and at their end.
fn common(old: &str, new: &str) -> (usize, usize) {
    let same = |(a, b): &(char, char)| a == b;
    let start: usize = old.chars().zip(new.chars()).take_while(same).map(|(a, _)| a.len_utf8()).sum();
    let tails = old[start..].chars().rev().zip(new[start..].chars().rev());
    (start, tails.take_while(same).map(|(a, _)| a.len_utf8()).sum())
}

fn clipped(line: &str, start: usize, end: usize) -> String {
    let (before, after) = (&line[..start], &line[line.len() - end..]);
    let head = match before.char_indices().rev().nth(AROUND) {
        Some((at, _)) => format!("… {}", before[before[at..].find(' ').map_or(at, |blank| at + blank)..].trim_start()),
        None => before.to_owned(),
    };
    let tail = match after.char_indices().nth(AROUND) {
        Some((at, _)) => format!("{} …", after[..after[..at].rfind(' ').unwrap_or(at)].trim_end()),
        None => after.to_owned(),
    };
    format!("{head}{}{tail}", &line[start..line.len() - end])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_is_shown_with_what_stands_around_it() {
        let before =
            format!("# Tea\n\nBoil 1 litre.\n{}Boil ½ cup more.{}\n", "so on ".repeat(20), " and on".repeat(20));
        let after = before.replace("1 litre", "2 litres").replace('½', "¾");
        let changed = ChangedText { path: "01-tea/lesson.md".to_owned(), before, after };
        let expected = "--- c/01-tea/lesson.md\n+++ c/01-tea/lesson.md\n\
            @@ line 3 @@\n-Boil 1 litre.\n+Boil 2 litres.\n\
            @@ line 4 @@\n\
            -… on so on so on so on so on so on Boil ½ cup more. and on and on and on and on …\n\
            +… on so on so on so on so on so on Boil ¾ cup more. and on and on and on and on …\n";
        assert_eq!(changed.view("c/"), expected);
    }
}
