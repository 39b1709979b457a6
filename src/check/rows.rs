//! A line of the ledger in words: what a mention says, what it states, how one became the other.

use super::tolerance::convention_between;
use super::{Binding, LedgerEntry};
use crate::quantity::{Amount, Dimension, Exact, print};
use crate::recipe::{Course, Owner};
use crate::reference::{PantryEntry, Reference};
use crate::source::Sources;

/// A line of the ledger.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LedgerRow {
    /// Line in its file, from 1.
    pub line: usize,
    /// Column, from 1.
    pub column: usize,
    /// The words, on one line.
    pub words: String,
    /// Their kind: `temperature`.
    pub kind: &'static str,
    /// What they state.
    pub states: States,
    /// How far rounding moved the figure; nothing where the two do not agree.
    pub moved: Option<Moved>,
    /// How one became the other, where that takes a sum.
    pub turned: Option<Turned>,
}

/// What a mention states.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum States {
    /// A measure: as its author wrote it or as it follows from what he wrote, and its path.
    Measure(String, String),
    /// Nothing of the recipe's business, and why.
    Aside(Option<String>),
    /// Nothing at all.
    Nothing,
}

/// How far rounding moved a figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Moved {
    /// Not at all, or nobody can tell.
    No,
    /// It stands within a range.
    Within,
    /// By so much: `+0.2 °C`, `−0.5 %`.
    By(String),
}

/// How a measure was turned into the unit of the words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Turned {
    /// The value before it was rounded, to four figures: `197.6 °F`.
    pub exact: String,
    /// The row of the pantry whose density made a weight of a volume, or the other way.
    pub density_of: Option<usize>,
    /// Id of the trade's convention that alone makes them agree.
    pub convention: Option<String>,
}

/// The line of an entry.
pub fn ledger_row(sources: &Sources, course: &Course, reference: &Reference, entry: &LedgerEntry) -> LedgerRow {
    let mention = &entry.mention;
    let place = sources.get(mention.span.file).position(mention.span.start);
    LedgerRow {
        line: place.line,
        column: place.column,
        words: one_line(&mention.text),
        kind: mention.dimension().name(),
        states: states(sources, course, reference, entry),
        moved: entry.agrees.then(|| moved(entry)),
        turned: turned(course, reference, entry),
    }
}

fn states(sources: &Sources, course: &Course, reference: &Reference, entry: &LedgerEntry) -> States {
    let units = &reference.units;
    match entry.binding {
        Binding::Measure(id) => {
            let measure = course.measure(id);
            // What follows from a measure (two thirds of it) is shown as it follows.
            let derived = entry.says.filter(|says| says.low.quantity != measure.amount.low.quantity);
            let says = match derived {
                Some(amount) => print::amount(&amount, units, units.style()),
                None => sources.text(measure.span).to_owned(),
            };
            States::Measure(one_line(&says), measure.path.clone())
        }
        Binding::Aside { lesson, aside } => {
            States::Aside(course.lessons.get(lesson).and_then(|lesson| lesson.asides.get(aside)?.why.clone()))
        }
        Binding::Nothing => States::Nothing,
    }
}

fn moved(entry: &LedgerEntry) -> Moved {
    let said = &entry.mention.amount;
    let Some(says) = entry.says.filter(|says| says.dimension() == said.dimension() && said.per.is_none()) else {
        return Moved::No;
    };
    let (own, value) = (says.low.quantity.base(), said.low.quantity.base());
    if says.range && !said.range && own < value && value < says.high.quantity.base() {
        return Moved::Within;
    }
    let at_the_end = says.range && !said.range && value >= says.high.quantity.base();
    let own = if at_the_end { says.high.quantity.base() } else { own };
    let gap = value - own;
    let sign = if gap > Exact::ZERO { "+" } else { "" };
    match said.dimension() {
        _ if gap.is_zero() || own.is_zero() => Moved::No,
        Dimension::Temperature => Moved::By(format!("{sign}{} °C", gap.to_decimal(1))),
        _ => Moved::By(format!("{sign}{} %", (gap / own * Exact::whole(100)).to_decimal(1))),
    }
}

/// What the entry's measure is in the unit of its words; nothing where both are in one unit.
fn turned(course: &Course, reference: &Reference, entry: &LedgerEntry) -> Option<Turned> {
    let (said, says) = (&entry.mention.amount, entry.says.as_ref()?);
    if said.unit() == says.unit() || said.per.is_some() || says.per.is_some() {
        return None;
    }
    let (row, factor) = if said.dimension() == says.dimension() {
        (None, Exact::ONE)
    } else {
        let (row, pantry) = pantry_row(course, reference, entry)?;
        let density = pantry.density?;
        match (says.dimension(), said.dimension()) {
            (Dimension::Mass, Dimension::Volume) => (Some(row), Exact::ONE / density),
            (Dimension::Volume, Dimension::Mass) => (Some(row), density),
            _ => return None,
        }
    };
    let units = &reference.units;
    let value = |base: Exact| print::value_in(base * factor, said.unit(), said.bare, units, units.style());
    let (low, high) = (says.low.quantity.base(), says.high.quantity.base());
    let exact = if low == high { value(low) } else { format!("{} to {}", value(low), value(high)) };
    let same = row.is_none() && entry.agrees;
    let convention = same.then(|| convention_between(&nearer(says, said), &said.low, units)).flatten();
    Some(Turned { exact, density_of: row, convention: convention.map(|one| one.id.clone()) })
}

/// The end of a measure that a figure stands for.
fn nearer(says: &Amount, said: &Amount) -> crate::quantity::End {
    let gap = |end: &crate::quantity::End| (end.quantity.base() - said.low.quantity.base()).abs();
    if gap(&says.high) < gap(&says.low) { says.high } else { says.low }
}

/// The pantry's row of the ingredient that a mention speaks of.
fn pantry_row<'r>(course: &Course, reference: &'r Reference, entry: &LedgerEntry) -> Option<(usize, &'r PantryEntry)> {
    let Binding::Measure(id) = entry.binding else { return None };
    let (Owner::Ingredient { lesson, ingredient } | Owner::Part { lesson, ingredient, .. }) = course.measure(id).owner
    else {
        return None;
    };
    let row = course.lessons.get(lesson)?.recipe.as_ref()?.ingredients.get(ingredient)?.pantry?;
    Some((row, reference.pantry.get(row)))
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
