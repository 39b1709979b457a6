//! The ledger as a table for each lesson, readable at 100 columns.

use super::report::number_of;
use pottle::check::{Binding, Ledger, LedgerEntry, Moved, States, ledger_row};
use pottle::recipe::Course;
use pottle::reference::Reference;
use pottle::source::{FileId, Sources};
use std::collections::BTreeSet;
use std::fmt::Write;
use std::sync::Arc;

const HEADS: [&str; 6] = ["place", "words", "kind", "the course says", "where", "agrees"];
/// With two blanks before each column these make 100.
const WIDEST: [usize; 6] = [8, 22, 11, 15, 24, 8];

/// What a table is drawn from.
#[derive(Clone, Copy)]
pub(super) struct Books<'a> {
    pub sources: &'a Sources,
    pub course: &'a Course,
    pub reference: &'a Reference,
}

/// The whole ledger as text; `base` is the way to the course folder.
pub(super) fn draw(books: Books<'_>, ledger: &Ledger, base: &str) -> String {
    let Books { sources, course, .. } = books;
    let mut text = String::new();
    for entries in ledger.entries.chunk_by(|a, b| table_of(a) == table_of(b)) {
        let file = sources.get(entries[0].mention.span.file);
        let title = entries[0].lesson.map_or("The course's own words", |lesson| &course.lessons[lesson].title);
        let rows: Vec<[String; 6]> = entries.iter().map(|entry| row(books, entry)).collect();
        let _ = writeln!(text, "{title} ({base}{})", file.path);
        push_table(&mut text, &rows);
        push_sources(&mut text, books, entries);
        text.push('\n');
    }
    let apart = ledger.entries.iter().filter(|entry| !entry.agrees).count();
    let all = number_of(ledger.entries.len(), "figure");
    let verdict = match apart {
        0 => "all agree".to_owned(),
        1 => "1 does not agree".to_owned(),
        several => format!("{several} do not agree"),
    };
    let _ = writeln!(text, "{all}: {verdict}.");
    text
}

fn table_of(entry: &LedgerEntry) -> (Option<usize>, FileId) {
    (entry.lesson, entry.mention.span.file)
}

fn row(books: Books<'_>, entry: &LedgerEntry) -> [String; 6] {
    let row = ledger_row(books.sources, books.course, books.reference, entry);
    let (says, path) = match row.states {
        States::Measure(says, path) => (says, own_path(books.course, entry.lesson, &path)),
        States::Aside(why) => ("aside".to_owned(), why.unwrap_or_default()),
        States::Nothing => ("nothing".to_owned(), String::new()),
    };
    let agrees = match row.moved {
        None => "no".to_owned(),
        Some(Moved::No) => "yes".to_owned(),
        Some(Moved::Within) => "within".to_owned(),
        Some(Moved::By(gap)) => gap,
    };
    [format!("{}:{}", row.line, row.column), row.words, row.kind.to_owned(), says, path, agrees]
}

/// Where the facts that a table speaks of come from.
fn push_sources(text: &mut String, books: Books<'_>, entries: &[Arc<LedgerEntry>]) {
    let named: BTreeSet<&str> = entries
        .iter()
        .filter_map(|entry| match entry.binding {
            Binding::Measure(id) => books.course.measure(id).path.strip_prefix("facts."),
            _ => None,
        })
        .collect();
    for fact in books.reference.facts.iter().filter(|fact| named.contains(fact.id.as_str())) {
        let _ = writeln!(text, "  facts.{}: {}", fact.id, books.reference.source_title(&fact.source));
    }
}

/// A path without the lesson's own name before it: the table's title says that.
fn own_path(course: &Course, lesson: Option<usize>, path: &str) -> String {
    let slug = lesson.map(|lesson| course.lessons[lesson].slug.as_str());
    let own = slug.and_then(|slug| path.strip_prefix(slug)?.strip_prefix('.'));
    let own = own.unwrap_or(path);
    // Of a long path the end says more than the beginning.
    match own.chars().count().checked_sub(WIDEST[4]) {
        None | Some(0) => own.to_owned(),
        Some(over) => std::iter::once('…').chain(own.chars().skip(over + 1)).collect(),
    }
}

fn push_table(text: &mut String, rows: &[[String; 6]]) {
    let width = |column: usize| {
        let longest = rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
        longest.max(HEADS[column].chars().count()).min(WIDEST[column])
    };
    let widths: [usize; 6] = std::array::from_fn(width);
    push_row(text, HEADS, widths);
    for row in rows {
        push_row(text, std::array::from_fn(|column| row[column].as_str()), widths);
    }
}

fn push_row(text: &mut String, cells: [&str; 6], widths: [usize; 6]) {
    let mut line = String::from("  ");
    for (cell, width) in cells.into_iter().zip(widths) {
        let cell = shortened(cell, width);
        let _ = write!(line, "{cell:<width$}  ");
    }
    text.push_str(line.trim_end());
    text.push('\n');
}

fn shortened(cell: &str, width: usize) -> String {
    if cell.chars().count() <= width {
        return cell.to_owned();
    }
    let kept: String = cell.chars().take(width - 1).collect();
    kept + "…"
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use pottle::prose::Mention;
    use pottle::quantity::{Home, parse_amount};
    use pottle::recipe::{Aside, Lesson, Measure, MeasureId, Owner};
    use pottle::reference::Reference;
    use pottle::source::Span;

    pub(in crate::cli) const TEXT: &str =
        "to = \"92 °C\"\r\n\r\nHeat it to 92 °C, wait at least ½ h. A 0.5–1 mL drop.\r\n";

    /// One lesson with three mentions: one that agrees, one that states nothing, one aside.
    pub(in crate::cli) fn sample() -> (Sources, Course, Ledger) {
        let mut sources = Sources::default();
        let file = sources.add("01-curd/lesson.md", TEXT);
        let units = Reference::built_in(Home::Uk).units;
        let place = |words: &str, nth: usize| {
            let (at, _) = sources.get(file).text.match_indices(words).nth(nth).unwrap();
            Span::new(file, at..at + words.len())
        };
        let entry = |words: &str, nth: usize, binding, agrees| LedgerEntry {
            lesson: Some(0),
            step: None,
            mention: Mention {
                span: place(words, nth),
                pieces: Vec::new(),
                range: 0..words.len(),
                text: words.to_owned(),
                amount: parse_amount(words, &units).unwrap(),
                pair: None,
                nouns: Vec::new(),
                times: None,
                marks: Default::default(),
            },
            binding,
            says: None,
            agrees,
        };
        let entries = vec![
            entry("92 °C", 1, Binding::Measure(MeasureId(0)), true),
            entry("at least ½ h", 0, Binding::Nothing, false),
            entry("0.5–1 mL", 0, Binding::Aside { lesson: 0, aside: 0 }, true),
        ];
        let measure = Measure {
            path: "curd.steps.heat.to".to_owned(),
            amount: parse_amount("92 °C", &units).unwrap(),
            span: place("92 °C", 0),
            owner: Owner::Step { lesson: 0, step: 0 },
            scales: false,
        };
        let aside = Aside {
            words: "0.5–1 mL".to_owned(),
            why: Some("a manner of speaking".to_owned()),
            span: place("0.5–1 mL", 0),
        };
        let model = course(lesson(file, aside), measure);
        (sources, model, Ledger { entries: entries.into_iter().map(Arc::new).collect() })
    }

    fn lesson(file: FileId, aside: Aside) -> Lesson {
        Lesson {
            slug: "curd".to_owned(),
            folder: "01-curd".to_owned(),
            file,
            title: "Fresh curd".to_owned(),
            title_span: Span::new(file, 0..0),
            summary: None,
            learn: Vec::new(),
            teaches: Vec::new(),
            asides: vec![aside],
            sanitiser: None,
            overrules: Vec::new(),
            session: None,
            recipe: None,
            steps: Vec::new(),
            sums: Vec::new(),
            headings: Vec::new(),
            title_heading: None,
            runs: Vec::new(),
            body: Vec::new(),
            links: Vec::new(),
            recording: None,
            published: None,
            captions: Vec::new(),
        }
    }

    fn course(lesson: Lesson, measure: Measure) -> Course {
        Course {
            title: "T".to_owned(),
            summary: None,
            home: Home::Uk,
            guests: pottle::recipe::Guests::at(Home::Uk),
            place: Default::default(),
            language: "en-GB".to_owned(),
            address: None,
            author: None,
            cards: None,
            handouts: None,
            class: None,
            lessons: vec![lesson.into()],
            terms: Vec::new(),
            measures: vec![Arc::new(measure)],
            runs: Vec::new(),
        }
    }

    #[test]
    fn the_table_lines_up_and_leaves_out_what_its_title_says() {
        let (sources, course, ledger) = sample();
        let expected = "\
Fresh curd (content/01-curd/lesson.md)
  place  words         kind         the course says  where                 agrees
  3:12   92 °C         temperature  92 °C            steps.heat.to         yes
  3:24   at least ½ h  time         nothing                                no
  3:40   0.5–1 mL      volume       aside            a manner of speaking  yes

3 figures: 1 does not agree.
";
        let reference = Reference::built_in(Home::Uk);
        let books = Books { sources: &sources, course: &course, reference: &reference };
        assert_eq!(draw(books, &ledger, "content/"), expected);
    }

    #[test]
    fn a_long_path_keeps_its_end() {
        let (_, course, _) = sample();
        let path = own_path(&course, Some(0), "curd.steps.shape-the-loaf.measures.cut");
        assert_eq!(path, "…e-the-loaf.measures.cut");
        assert_eq!(own_path(&course, None, "facts.fridge"), "facts.fridge");
    }

    #[test]
    fn no_row_is_wider_than_a_hundred_columns() {
        let long = "x".repeat(200);
        let mut text = String::new();
        push_table(&mut text, &[std::array::from_fn(|_| long.clone())]);
        for line in text.lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
        assert!(text.contains("xxx…"));
    }
}
