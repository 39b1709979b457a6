//! The plan of a class as a table, readable at 100 columns.

use pottle::render::{ClassSheet, SheetPiece, SheetPortion};
use std::fmt::Write;

const HEADS: [&str; 5] = ["", "needed", "buy", "left over", "cost"];
/// With two blanks before each column these make 100.
const WIDEST: [usize; 5] = [30, 14, 24, 12, 10];

/// The whole plan as text.
pub(super) fn draw(sheet: &ClassSheet) -> String {
    let mut text = String::new();
    let students = if sheet.students == 1 { "1 student".to_owned() } else { format!("{} students", sheet.students) };
    let _ = writeln!(text, "For {students}:");
    for lesson in &sheet.lessons {
        let _ = writeln!(text, "  {}: {}", lesson.title, lesson.groups);
    }
    push_shopping(&mut text, sheet);
    push_cost(&mut text, sheet);
    if !sheet.handed_on.is_empty() {
        text.push_str("\nLeft by an earlier lesson: do not pour it away\n");
        sheet.handed_on.iter().for_each(|one| push_portion(&mut text, one));
    }
    if !sheet.brought.is_empty() || !sheet.from_students.is_empty() {
        text.push_str("\nStudents bring\n");
        sheet.brought.iter().for_each(|one| push_portion(&mut text, one));
        sheet.from_students.iter().for_each(|one| push_piece(&mut text, one));
    }
    if !sheet.hall.is_empty() {
        text.push_str("\nIn the hall must stand\n");
        sheet.hall.iter().for_each(|one| push_piece(&mut text, one));
    }
    text.replace('\u{A0}', " ")
}

fn push_shopping(text: &mut String, sheet: &ClassSheet) {
    if sheet.sections.is_empty() {
        text.push_str("\nNothing to buy\n");
        return;
    }
    let mut rows: Vec<[&str; 5]> = vec![HEADS];
    for line in sheet.sections.iter().flat_map(|section| &section.lines) {
        rows.push([
            &line.name,
            &line.need,
            &line.buy,
            line.left.as_deref().unwrap_or(""),
            line.cost.as_deref().unwrap_or(""),
        ]);
    }
    let widths: [usize; 5] = std::array::from_fn(|column| {
        let longest = rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
        longest.min(WIDEST[column])
    });
    text.push_str("\nTo buy\n");
    push_row(text, rows[0], widths);
    let mut rows = rows.into_iter().skip(1);
    for section in &sheet.sections {
        let _ = writeln!(text, " {}", section.name);
        rows.by_ref().take(section.lines.len()).for_each(|row| push_row(text, row, widths));
    }
}

/// Long words go on below, so that nothing of a shopping list is lost.
fn push_row(text: &mut String, cells: [&str; 5], widths: [usize; 5]) {
    let folded: Vec<Vec<String>> = cells.iter().zip(widths).map(|(cell, width)| folded(cell, width)).collect();
    for index in 0..folded.iter().map(Vec::len).max().unwrap_or(0) {
        let mut line = String::from("  ");
        for (cell, width) in folded.iter().zip(widths) {
            let cell = cell.get(index).map_or("", String::as_str);
            let _ = write!(line, "{cell:<width$}  ");
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
}

fn folded(cell: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in cell.split(' ') {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

fn push_cost(text: &mut String, sheet: &ClassSheet) {
    let Some(cost) = &sheet.cost else {
        text.push_str("\nNo pack has a price, so the cost is not known.\n");
        return;
    };
    let _ = writeln!(text, "\nTogether {}; {} for each student, {}.", cost.total, cost.each, cost.rounded);
    if !cost.without.is_empty() {
        let _ = writeln!(text, "Without a price, and not counted: {}.", cost.without.join(", "));
    }
}

fn push_portion(text: &mut String, one: &SheetPortion) {
    let groups = if one.groups == 1 { "group".to_owned() } else { format!("of {} groups", one.groups) };
    let from = one.from.as_ref().map_or(String::new(), |from| format!(", from {from}"));
    let _ = writeln!(text, "  {} {} for each {groups} ({}{from})", one.each, one.name, one.lesson);
}

fn push_piece(text: &mut String, one: &SheetPiece) {
    let uses: Vec<String> = match one.uses.as_slice() {
        [only] => vec![only.lesson.clone()],
        several => several.iter().map(|one| format!("{} {}", one.lesson, one.amount)).collect(),
    };
    let each = one.each.as_ref().map_or(String::new(), |each| format!(", {each} for each group"));
    let _ = writeln!(text, "  {} × {}{each} ({})", one.count, one.name, uses.join(", "));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_words_go_on_below_and_no_row_is_wider_than_a_hundred_columns() {
        let long = "a very long name of something that hangs on ".repeat(3);
        let mut text = String::new();
        push_row(&mut text, [long.trim(); 5], WIDEST);
        for line in text.lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
        let words = |text: &str| text.split_whitespace().count();
        assert_eq!(words(&text), 5 * words(&long));
    }
}
