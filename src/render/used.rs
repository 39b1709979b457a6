//! What a course takes from tables: every conversion, density, fact, hold, figure and rule that its lessons use, with
//! its source. A row stands here only where something of the course makes use of it.
//!
//! Each contributor adds rows of its own; a new table is one more function in [`CONTRIBUTORS`].

use super::Cx;
use super::live::Page;
use super::recipe_view::{amount_view, ingredient_amount};
use crate::check::{Binding, LedgerEntry, consulted, ledger_row};
use crate::kitchen::{claim, hold_words, reckoned, reckoned_by};
use crate::quantity::{Amount, Dimension, Exact, Unit, UnitId, Units, parse_amount, print};
use crate::recipe::{Lesson, Owner, SumKind};
use crate::reference::{EvidenceOf, PantryEntry, Reference, Status};
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// What a row is about; the order in which the rows stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Group {
    Units,
    Habits,
    Weights,
    Facts,
    Holds,
    Usual,
    Foods,
    Sums,
    Cautions,
}

impl Group {
    /// Its heading.
    pub(super) fn title(self) -> &'static str {
        match self {
            Group::Units => "Units",
            Group::Habits => "Habits of the trade",
            Group::Weights => "What the ingredients weigh",
            Group::Facts => "Facts",
            Group::Holds => "Legal holds",
            Group::Usual => "Usual ranges",
            Group::Foods => "What foods are made of",
            Group::Sums => "Sums and rules",
            Group::Cautions => "Cautions",
        }
    }

    /// What its rows are for.
    pub(super) fn about(self) -> &'static str {
        match self {
            Group::Units => "What each unit is worth that the lessons write or their pages print.",
            Group::Habits => "Words and roundings that no authority fixes.",
            Group::Weights => "By these figures weights become volumes and spoons.",
            Group::Facts => "Measures that hold for every lesson.",
            Group::Holds => "What a step must hold that claims to pasteurise.",
            Group::Usual => "What the recipes were held against.",
            Group::Foods => "By weight, in 100 parts: how much heat a pot takes is reckoned from these.",
            Group::Sums => "How the pages reckon.",
            Group::Cautions => "What the recipes give reason to warn of.",
        }
    }
}

/// A figure or a rule that a course uses.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct SourceUse {
    pub group: Group,
    /// `imperial pint`
    pub what: String,
    /// `568.26125 mL`; empty for a rule.
    pub value: String,
    /// Id of its source, or its source in words.
    pub source: String,
    /// `published`, `taken equal to fresh lemon juice; published`.
    pub status: String,
    /// The lessons that use it; none where the course's own words do.
    pub lessons: BTreeSet<usize>,
}

/// The rows of all contributors, by group; rows that are the same are one.
pub(super) fn source_uses(cx: &Cx<'_>) -> Vec<SourceUse> {
    let of = |lesson: usize| -> Vec<SourceUse> {
        let used = Used { cx, index: lesson, lesson: &cx.course.lessons[lesson], amounts: amounts(cx, lesson) };
        CONTRIBUTORS.iter().flat_map(|contributor| contributor(&used)).collect()
    };
    let rows: Vec<Vec<SourceUse>> = (0..cx.course.lessons.len()).into_par_iter().map(of).collect();
    let mut known: BTreeMap<(Group, String, String, String, String), SourceUse> = BTreeMap::new();
    for row in rows.into_iter().flatten().chain(facts(cx, cx.ledger.of(None), None)) {
        let name = row.what.to_lowercase();
        match known.entry((row.group, name, row.what.clone(), row.value.clone(), row.source.clone())) {
            Entry::Occupied(mut same) => same.get_mut().lessons.extend(row.lessons),
            Entry::Vacant(new) => {
                new.insert(row);
            }
        }
    }
    known.into_values().collect()
}

/// A lesson, and what its words and its page say.
struct Used<'a> {
    cx: &'a Cx<'a>,
    index: usize,
    lesson: &'a Lesson,
    amounts: Vec<Amount>,
}

/// A table's rows that a lesson uses.
type Contributor = fn(&Used<'_>) -> Vec<SourceUse>;

const CONTRIBUTORS: [Contributor; 9] = [units, habits, weights, stated_facts, holds, usual, foods, sums, warned];

fn row(group: Group, what: String, value: String, source: &str, status: Status, lesson: usize) -> SourceUse {
    let lessons = BTreeSet::from([lesson]);
    SourceUse { group, what, value, source: source.to_owned(), status: status.name().to_owned(), lessons }
}

/// The amounts that a lesson writes in its blocks and its words, and that its page prints beside them.
fn amounts(cx: &Cx<'_>, lesson: usize) -> Vec<Amount> {
    let page = Page::still(cx);
    let printed = cx.course.measures_of(lesson).filter_map(|(id, one)| {
        let view = match one.owner {
            Owner::Ingredient { ingredient, .. } => {
                let recipe = cx.course.lessons[lesson].recipe.as_ref()?;
                ingredient_amount(&page, recipe.ingredients.get(ingredient)?)?
            }
            _ => amount_view(&page, id),
        };
        view.other
    });
    let printed = printed.flat_map(|text| text.split(", ").map(str::to_owned).collect::<Vec<_>>());
    let printed = printed.filter_map(|text| parse_amount(text.trim(), &cx.reference.units).ok());
    let said = cx.ledger.of(Some(lesson)).iter().map(|entry| entry.mention.amount);
    cx.course.measures_of(lesson).map(|(_, one)| one.amount).chain(said).chain(printed).collect()
}

/// The units of an amount, and whether it writes them as bare words.
fn units_of(amount: &Amount) -> [Option<(UnitId, bool)>; 3] {
    let per = amount.per.map(|per| (per.unit, false));
    [Some((amount.low.unit, amount.bare)), Some((amount.high.unit, amount.bare)), per]
}

fn units(used: &Used<'_>) -> Vec<SourceUse> {
    let (reference, lesson) = (used.cx.reference, used.index);
    let table = &reference.units;
    let met: BTreeSet<UnitId> = used.amounts.iter().flat_map(units_of).flatten().map(|(unit, _)| unit).collect();
    let named = met.into_iter().filter_map(|id| {
        let unit = table.get(id);
        let value = worth(unit, table)?;
        let found = reference.evidence.iter().find(|row| row.of == EvidenceOf::Unit && row.id == unit.id)?;
        Some(row(Group::Units, unit.one.clone(), value, &found.source, found.status, lesson))
    });
    let marks = used.amounts.iter().filter(|amount| amount.unit() == table.gas());
    let ovens =
        marks.filter_map(|amount| reference.ovens.iter().find(|oven| Some(oven.mark) == Some(amount.low.number.value)));
    let ovens = ovens.map(|oven| {
        let what = format!("gas mark {}", print::fraction(oven.mark, table.style()));
        let value = format!("{}\u{a0}°C, {}\u{a0}°F on the dial", oven.celsius, oven.fahrenheit);
        row(Group::Units, what, value, &oven.source, oven.status, lesson)
    });
    named.chain(ovens).collect()
}

/// What a unit is worth in the unit that all of its kind are reckoned in; nothing for that unit itself.
fn worth(unit: &Unit, table: &Units) -> Option<String> {
    // Of units that are worth the same, the one that kitchens speak of.
    const PLAIN: [&str; 6] = ["gram", "millilitre", "celsius", "second", "millimetre", "kelvin-difference"];
    let is_base = |one: &Unit| one.size == Exact::ONE && one.zero.is_zero() && one.dimension == unit.dimension;
    if is_base(unit) || unit.id == Units::GAS_MARK {
        return None;
    }
    let plain = table.iter().find(|(_, one)| is_base(one) && PLAIN.contains(&one.id.as_str()));
    let base = plain.or_else(|| table.iter().find(|(_, one)| is_base(one))).map_or("", |(_, one)| one.symbol.as_str());
    let exact = |value: Exact| {
        let text = value.to_decimal(10);
        if Exact::parse(&text.replace('−', "-")) == Some(value) {
            text
        } else {
            format!("{}/{}", value.over(), value.under())
        }
    };
    let size = format!("{}\u{a0}{base}", exact(unit.size));
    let size = size.trim_end().to_owned();
    match unit.zero.is_zero() {
        true => Some(size),
        false => Some(format!(
            "one degree is {size}; 0\u{a0}{} is {}\u{a0}{base}",
            unit.symbol,
            unit.to_base(Exact::ZERO).to_decimal(2),
        )),
    }
}

/// What bare words mean here, and what the trade calls equal.
fn habits(used: &Used<'_>) -> Vec<SourceUse> {
    let (cx, lesson) = (used.cx, used.index);
    let table = &cx.reference.units;
    let evidence = |of: EvidenceOf, id: &str| cx.reference.evidence.iter().find(|row| row.of == of && row.id == id);
    let met = used.amounts.iter().flat_map(units_of).flatten();
    let bare: BTreeSet<UnitId> = met.filter(|(_, bare)| *bare).map(|(unit, _)| unit).collect();
    let bare = bare.into_iter().filter_map(|id| {
        let unit = table.get(id);
        let found = evidence(EvidenceOf::Bare, &unit.id)?;
        let what = format!("“{}” and no more", table.names(id, true).1);
        Some(row(Group::Habits, what, unit.one.clone(), &found.source, found.status, lesson))
    });
    let called = cx.ledger.of(Some(lesson)).iter().filter_map(|entry| {
        let id = ledger_row(cx.sources, cx.course, cx.reference, entry).turned?.convention?;
        let convention = table.conventions().iter().find(|one| one.id == id)?;
        let found = evidence(EvidenceOf::Convention, &id)?;
        let unit = table.get(convention.unit);
        let base = if unit.dimension == Dimension::Mass { "g" } else { "mL" };
        let value = format!("called {}\u{a0}{base}", convention.size.to_decimal(4));
        Some(row(Group::Habits, unit.one.clone(), value, &found.source, found.status, lesson))
    });
    bare.chain(called).collect()
}

/// Densities and the weights of pieces, of ingredients that can be turned by them.
fn weights(used: &Used<'_>) -> Vec<SourceUse> {
    let (cx, lesson) = (used.cx, used.index);
    let Some(recipe) = &used.lesson.recipe else { return Vec::new() };
    let mut rows = Vec::new();
    for item in &recipe.ingredients {
        let Some((entry, amount)) = item.pantry.map(|row| cx.reference.pantry.get(row)).zip(item.amount) else {
            continue;
        };
        match cx.course.measure(amount).amount.dimension() {
            Dimension::Mass | Dimension::Volume => rows.extend(density(entry, lesson)),
            Dimension::Count => rows.extend(piece(entry, lesson, cx.reference)),
            _ => {}
        }
    }
    let named = recipe.makes.iter().map(|product| (&product.name, product.amount));
    let named = named.chain(recipe.leaves.iter().map(|left| (&left.name, left.amount)));
    let volumes = named.filter(|(_, id)| cx.course.measure(*id).amount.dimension() == Dimension::Volume);
    let entries = volumes.filter_map(|(name, _)| Some(cx.reference.pantry.get(cx.reference.pantry.find(name)?)));
    rows.extend(entries.filter_map(|entry| density(entry, lesson)));
    rows
}

fn density(entry: &PantryEntry, lesson: usize) -> Option<SourceUse> {
    let value = format!("{} g per mL", entry.density?.to_decimal(4));
    let source = entry.density_source.as_deref().unwrap_or("no source");
    let mut row = row(Group::Weights, entry.name.clone(), value, source, entry.density_status?, lesson);
    let basis = entry.density_basis.as_deref().unwrap_or_default();
    if let Some(borrowed) = basis.strip_prefix("taken equal to ") {
        let from = borrowed.split(':').next().unwrap_or(borrowed);
        row.status = format!("taken equal to {from}; {}", row.status);
    }
    Some(row)
}

fn piece(entry: &PantryEntry, lesson: usize, reference: &Reference) -> Option<SourceUse> {
    let value = print::amount(entry.each.as_ref()?, &reference.units, reference.units.style());
    let what = format!("{}, one of it", entry.name);
    let source = entry.each_source.as_deref().unwrap_or("no source");
    Some(row(Group::Weights, what, value, source, entry.each_status?, lesson))
}

/// Facts that the words of a lesson state.
fn stated_facts(used: &Used<'_>) -> Vec<SourceUse> {
    facts(used.cx, used.cx.ledger.of(Some(used.index)), Some(used.index))
}

/// Facts that entries of the ledger state.
fn facts(cx: &Cx<'_>, entries: &[Arc<LedgerEntry>], lesson: Option<usize>) -> Vec<SourceUse> {
    let stated = entries.iter().filter_map(|entry| match entry.binding {
        Binding::Measure(id) => match cx.course.measure(id).owner {
            Owner::Fact { fact } => Some(fact),
            _ => None,
        },
        _ => None,
    });
    let stated: BTreeSet<usize> = stated.collect();
    let units = &cx.reference.units;
    let rows = stated.into_iter().filter_map(|fact| cx.reference.facts.get(fact)).map(|fact| SourceUse {
        group: Group::Facts,
        what: fact.name.clone(),
        value: print::amount(&fact.amount, units, units.style()),
        source: fact.source.clone(),
        status: fact.status.name().to_owned(),
        lessons: lesson.into_iter().collect(),
    });
    rows.collect()
}

/// Legal holds that steps claim to meet, and do.
fn holds(used: &Used<'_>) -> Vec<SourceUse> {
    let (cx, lesson) = (used.cx, used.lesson);
    let held = (0..lesson.steps.len()).filter_map(|step| {
        let hold = claim(cx.course, cx.reference, lesson.recipe.as_ref()?, &lesson.steps, step)?.met?;
        Some(row(Group::Holds, hold.product.replace('-', " "), hold_words(hold), &hold.source, hold.status, used.index))
    });
    held.collect()
}

/// Usual yields, doses and brines.
fn usual(used: &Used<'_>) -> Vec<SourceUse> {
    let (cx, lesson) = (used.cx, used.index);
    let found = consulted(cx.course, cx.reference, lesson);
    let mut rows = Vec::new();
    rows.extend(found.yields.iter().map(|one| {
        let (low, high) = ((one.low * 1000.0).round(), (one.high * 1000.0).round());
        let value = format!("{low}–{high}\u{a0}g from a kilogram of {}", one.from);
        row(Group::Usual, format!("yield of {}", one.name), value, &one.source, one.status, lesson)
    }));
    rows.extend(found.doses.iter().map(|one| {
        let value = format!("{}–{}\u{a0}{} for a litre of milk", one.low, one.high, one.unit);
        row(Group::Usual, format!("dose of {}", one.name), value, &one.source, one.status, lesson)
    }));
    let densities = &cx.reference.figures.densities;
    if let (true, Some((first, last))) = (found.brine, densities.first().zip(densities.last())) {
        let value = format!(
            "{}–{}\u{a0}kg/m³ for {}–{}\u{a0}% of salt",
            first.kg_per_m3, last.kg_per_m3, first.percent, last.percent
        );
        let what = "density of brine at 20\u{a0}°C".to_owned();
        rows.push(row(Group::Usual, what, value, &last.source, last.status, lesson));
    }
    rows
}

/// Foods in pots whose time on the hob is reckoned.
fn foods(used: &Used<'_>) -> Vec<SourceUse> {
    let (cx, lesson) = (used.cx, used.lesson);
    let rows =
        (0..lesson.steps.len()).flat_map(|step| reckoned_by(cx.course, cx.reference, lesson, step)).map(|food| {
            let parts = [
                ("water", food.water),
                ("protein", food.protein),
                ("fat", food.fat),
                ("carbohydrate", food.carbohydrate),
                ("ash", food.ash),
            ];
            let there = parts.iter().filter(|(_, part)| *part > 0.0);
            let value: Vec<String> = there.map(|(name, part)| format!("{name} {part}")).collect();
            row(Group::Foods, food.name.clone(), value.join(", "), &food.source, food.status, used.index)
        });
    rows.collect()
}

/// The formulas of sums on pages, and of times on the hob.
fn sums(used: &Used<'_>) -> Vec<SourceUse> {
    let (cx, lesson, index) = (used.cx, used.lesson, used.index);
    let mut rows = Vec::new();
    for sum in lesson.sums.iter().flatten() {
        let rules = rules_of(sum.kind).iter();
        rows.extend(rules.map(|(what, value, source, status)| {
            row(Group::Sums, (*what).to_owned(), (*value).to_owned(), source, *status, index)
        }));
    }
    if (0..lesson.steps.len()).any(|step| reckoned(cx.course, cx.reference, lesson, step).is_some()) {
        let (what, source) =
            ("heat that a pot takes", "specific heat by composition, after Choi and Okos; a balance of energy");
        rows.push(row(Group::Sums, what.to_owned(), String::new(), source, Status::Published, index));
    }
    rows
}

/// The cautions that stand on pages.
fn warned(used: &Used<'_>) -> Vec<SourceUse> {
    let law = used.cx.course.guests.law.name();
    let cautions = used.cx.cautions(used.index);
    let rows = cautions.iter().map(|one| {
        let source = used.cx.reference.cautions.source_of(one.rule, law);
        row(Group::Cautions, one.rule.title.clone(), String::new(), source, one.rule.status, used.index)
    });
    rows.collect()
}

type Rule = (&'static str, &'static str, &'static str, Status);

/// What a sum stands on, as its small print says.
fn rules_of(kind: SumKind) -> &'static [Rule] {
    const ENERGY: &str = "a balance of energy";
    const MASSES: &str = "a balance of masses";
    match kind {
        SumKind::Mix => &[("hot and cold water", "", ENERGY, Status::Published)],
        SumKind::Ice => {
            &[("ice to cool with", "the food taken as water, 4.18\u{a0}kJ/(kg·K)", ENERGY, Status::Published)]
        }
        SumKind::Cooling => &[("when it will be cool", "", "Newton’s law of cooling", Status::Published)],
        SumKind::DoughWater => &[("water for a dough", "", "examples of baking schools", Status::CommonPractice)],
        SumKind::Brine | SumKind::BrineOnWater => {
            &[("salt for a brine", "a litre of water taken as a kilogram", MASSES, Status::Published)]
        }
        SumKind::Dilute => &[("a weaker solution", "", MASSES, Status::Published)],
        SumKind::Boiling => &[
            ("where water boils", "", "ISO 2533, the standard atmosphere; IAPWS-IF97, steam tables", Status::Published),
            ("where jam sets", "4.4\u{a0}°C above water", "tables of home preserving, as 8\u{a0}°F", Status::Published),
        ],
        SumKind::Rennet => {
            &[("rennet for milk", "", "in proportion to the strength on the bottle", Status::CommonPractice)]
        }
        SumKind::Dose => &[("dose by the litre", "", "in proportion", Status::CommonPractice)],
        SumKind::Bakers | SumKind::BakersDough => {
            &[("bakers’ shares", "flour counts as 100\u{a0}%", "habit of bakeries", Status::CommonPractice)]
        }
    }
}
