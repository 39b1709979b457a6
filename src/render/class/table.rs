//! The plan as a table of comma-separated values (RFC 4180), a row for each thing.

use super::{ClassSheet, SheetPiece, SheetPortion, SheetUse, number_of};
use crate::quantity::print::NO_BREAK;
use csv::{Terminator, WriterBuilder};

/// Told to programs that would otherwise take UTF-8 for something else.
const MARK: &str = "\u{FEFF}";

/// What every table begins with, mark included: whoever replaces a file can see that it was one of these.
pub const CLASS_TABLE_OPENS: &str = "\u{FEFF}list,section,item,needed,buy,left over,";

impl ClassSheet {
    /// The table. No cell begins with a sign that a spreadsheet takes for a formula.
    pub fn table(&self) -> Vec<u8> {
        let cost = format!("cost ({})", self.currency);
        let mut rows: Vec<[String; 9]> =
            vec![["list", "section", "item", "needed", "buy", "left over", &cost, "for", "note"].map(str::to_owned)];
        for section in &self.sections {
            for line in &section.lines {
                let allergens = line.allergens.join(", ");
                let contains = (!allergens.is_empty()).then(|| format!("contains: {allergens}"));
                let notes = line.notes.iter().cloned().chain(line.keep.map(str::to_owned)).chain(contains);
                rows.push([
                    "buy".to_owned(),
                    section.name.clone(),
                    line.name.clone(),
                    line.need.clone(),
                    line.buy.clone(),
                    line.left.clone().unwrap_or_default(),
                    line.figure.clone().unwrap_or_default(),
                    uses(&line.uses),
                    notes.collect::<Vec<_>>().join("; "),
                ]);
            }
        }
        rows.extend(self.brought.iter().map(|one| portion("students bring", one)));
        rows.extend(self.handed_on.iter().map(|one| portion("left by an earlier lesson", one)));
        rows.extend(self.hall.iter().map(|one| piece("in the hall", one)));
        rows.extend(self.from_students.iter().map(|one| piece("students bring", one)));
        let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(MARK.as_bytes().to_vec());
        for row in &rows {
            // Memory takes all that is written.
            let _ = writer.write_record(row.iter().map(|cell| harmless(cell)));
        }
        writer.into_inner().unwrap_or_default()
    }
}

fn portion(list: &str, one: &SheetPortion) -> [String; 9] {
    let cell = |text: &str| text.to_owned();
    let needed = format!("{} for each of {}", one.each, number_of(one.groups, "group"));
    let from = one.from.as_ref().map(|from| format!("from {from}"));
    let note = one.note.iter().cloned().chain(from).collect::<Vec<_>>().join("; ");
    [
        cell(list),
        String::new(),
        cell(&one.name),
        needed,
        String::new(),
        String::new(),
        String::new(),
        cell(&one.lesson),
        note,
    ]
}

fn piece(list: &str, one: &SheetPiece) -> [String; 9] {
    let cell = |text: &str| text.to_owned();
    let (name, count) = (cell(&one.name), cell(&one.count));
    [
        cell(list),
        cell("Equipment"),
        name,
        count,
        String::new(),
        String::new(),
        String::new(),
        uses(&one.uses),
        String::new(),
    ]
}

fn uses(uses: &[SheetUse]) -> String {
    uses.iter().map(|one| format!("{}: {}", one.lesson, one.amount)).collect::<Vec<_>>().join("; ")
}

/// A cell that no spreadsheet runs: after an apostrophe all is text. Blanks that do not break are told from plain ones by
/// many programs, so that a search would miss them.
fn harmless(cell: &str) -> String {
    let plain = cell.replace(NO_BREAK, " ");
    if plain.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{plain}") } else { plain }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cell_begins_like_a_formula() {
        for (cell, want) in [
            ("=1+1", "'=1+1"),
            ("+44", "'+44"),
            ("-2", "'-2"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("\tx", "'\tx"),
            ("\rx", "'\rx"),
            ("1 = 1", "1 = 1"),
            ("milk, 4\u{A0}L", "milk, 4 L"),
            ("−2 °C", "−2 °C"),
            ("", ""),
        ] {
            assert_eq!(harmless(cell), want);
        }
    }
}
