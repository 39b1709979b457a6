//! What tables say of their cells: a unit in the head of a column, a thing or a step that names a row.

use super::things::{Thing, Things};
use crate::lesson::{Run, RunPlace};
use crate::prose::{Mention, Nouns, scan_run};
use crate::quantity::Units;
use crate::recipe::{Lesson, words_in};
use crate::reference::Reference;
use std::collections::BTreeMap;

/// Rows and columns that are named.
#[derive(Debug, Default)]
pub(super) struct Tables {
    /// By table and row: what the row is of, and the column that says so.
    rows: BTreeMap<(usize, usize), (Vec<Thing>, usize)>,
    /// By table and column.
    columns: BTreeMap<(usize, usize), Vec<Thing>>,
    /// By table and row: the step that the first cell names.
    steps: BTreeMap<(usize, usize), usize>,
}

impl Tables {
    pub fn new(runs: &[Run], things: &Things<'_>, lesson: Option<&Lesson>) -> Tables {
        let mut tables = Tables::default();
        // `| 1 | 12 h |` under "Step", or under nothing, is a step's row.
        let counts_steps = |table: usize| {
            let head = runs.iter().find(|run| run.place == RunPlace::TableHead { table, column: 0 });
            head.is_none_or(|run| ["step", "#", "no.", ""].contains(&run.text.text.trim().to_lowercase().as_str()))
        };
        for run in runs {
            let text = run.text.text.trim();
            match run.place {
                RunPlace::TableCell { table, row, column } => {
                    if let Some(found) = named(text, things, column == 0) {
                        tables.rows.entry((table, row)).or_insert((found, column));
                    }
                    let numbered = || text.parse::<usize>().ok().filter(|_| counts_steps(table))?.checked_sub(1);
                    let of_step = |lesson: &Lesson| {
                        step_named(text, lesson).or_else(|| numbered().filter(|index| *index < lesson.steps.len()))
                    };
                    if let (0, Some(step)) = (column, lesson.and_then(of_step)) {
                        tables.steps.insert((table, row), step);
                    }
                }
                RunPlace::TableHead { table, column } => {
                    if let Some(found) = named(text, things, false) {
                        tables.columns.insert((table, column), found);
                    }
                }
                _ => {}
            }
        }
        tables
    }

    /// What a cell is of.
    pub fn things(&self, place: RunPlace) -> Option<&[Thing]> {
        let RunPlace::TableCell { table, row, column } = place else { return None };
        let by_row = self.rows.get(&(table, row)).filter(|(_, named_by)| *named_by != column);
        by_row.map(|(things, _)| things).or_else(|| self.columns.get(&(table, column))).map(Vec::as_slice)
    }

    /// The step that a cell's row is about.
    pub fn step(&self, place: RunPlace) -> Option<usize> {
        let RunPlace::TableCell { table, row, column } = place else { return None };
        self.steps.get(&(table, row)).copied().filter(|_| column > 0)
    }
}

/// The things whose name a cell is. In a first cell more may follow: `Milk, whole`; `Milk left over` is not milk.
fn named(text: &str, things: &Things<'_>, first: bool) -> Option<Vec<Thing>> {
    let found = things.nouns.match_start(text)?;
    let rest = &text[found.len..];
    let whole = rest.is_empty() || rest.starts_with([',', '(']) || rest.trim_start().starts_with('(');
    (whole || first && rest.starts_with(' ') && !rest.contains(" left")).then(|| things.meanings(found.id))
}

/// The step that a line outside the steps opens with: `To ripen: 18 to 24 hours`.
pub(super) fn step_led_by(run: &Run, lesson: &Lesson) -> Option<usize> {
    let (head, _) = run.text.text.split_once(": ")?;
    (run.place == RunPlace::Paragraph).then(|| step_named(head.trim(), lesson)).flatten()
}

/// The one step whose title holds all words of a cell.
pub(super) fn step_named(text: &str, lesson: &Lesson) -> Option<usize> {
    let words = |text: &str| -> Vec<String> {
        let lower = text.to_lowercase();
        words_in(&lower)
            .filter(|word| word.len() > 2 && !["let", "the", "them", "and"].contains(word))
            .map(str::to_owned)
            .collect()
    };
    if let Some(number) = text.strip_prefix("Step ").or_else(|| text.strip_prefix("step ")) {
        let number: usize = number.trim_end_matches('.').parse().ok()?;
        return number.checked_sub(1).filter(|index| *index < lesson.steps.len());
    }
    let wanted = words(text);
    if wanted.is_empty() || text.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let mut fitting = lesson.steps.iter().enumerate().filter(|(_, step)| {
        let title = words(&step.title);
        step.id.eq_ignore_ascii_case(text) || wanted.iter().all(|word| title.contains(word))
    });
    let (index, _) = fitting.next()?;
    fitting.next().is_none().then_some(index)
}

/// The quantities of each text, in order.
pub(super) fn read(runs: &[Run], reference: &Reference, things: &Things<'_>) -> Vec<Vec<Mention>> {
    let heads = unit_heads(runs, &reference.units);
    runs.iter().map(|run| read_run(run, &heads, &reference.units, &things.nouns)).collect()
}

/// All quantities of a run; a bare number in a table takes the unit that heads its column.
fn read_run(run: &Run, heads: &BTreeMap<(usize, usize), String>, units: &Units, nouns: &Nouns) -> Vec<Mention> {
    if let RunPlace::TableCell { table, column, .. } = run.place
        && let Some(unit) = heads.get(&(table, column))
        && only_numbers(&run.text.text)
    {
        let mut whole = run.text.clone();
        let end = run.text.home(0..run.text.text.len()).end;
        whole.push(&format!("\u{a0}{unit}"), end..end);
        let mut mentions = scan_run(&whole, units, nouns);
        for mention in &mut mentions {
            mention.marks.unit_in_head = true;
            mention.pieces.retain(|piece| !piece.is_empty());
            mention.range.end = mention.range.end.min(run.text.text.len());
            mention.text = run.text.text[mention.range.clone()].to_owned();
        }
        return mentions;
    }
    scan_run(&run.text, units, nouns)
}

/// Units that stand in the head of a column: `Milk (mL)`, `Minutes`.
fn unit_heads(runs: &[Run], units: &Units) -> BTreeMap<(usize, usize), String> {
    let mut heads = BTreeMap::new();
    for run in runs {
        let RunPlace::TableHead { table, column } = run.place else { continue };
        let text = run.text.text.trim();
        let inner = text.strip_suffix(')').and_then(|stem| stem.rsplit_once('(')).map(|(_, unit)| unit);
        let after_comma = text.rsplit_once([',', '/']).map(|(_, unit)| unit.trim());
        let last = text.rsplit_once(" in ").map(|(_, unit)| unit.trim());
        let is_unit =
            |unit: &&str| units.match_start(unit).is_some_and(|found| found.len == unit.trim_end_matches('.').len());
        if let Some(unit) = [inner, after_comma, last, Some(text)].into_iter().flatten().find(is_unit) {
            heads.insert((table, column), unit.to_owned());
        }
    }
    heads
}

/// Whether a cell holds a number or a range and nothing else.
fn only_numbers(text: &str) -> bool {
    let text = text.trim();
    text.starts_with(|c: char| c.is_ascii_digit() || "½¼¾⅓⅔⅛−-".contains(c))
        && text.chars().all(|c| c.is_ascii_digit() || c.is_whitespace() || "½¼¾⅓⅔⅛⅜⅝⅞.,/–-−‑⁄".contains(c))
}
