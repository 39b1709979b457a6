//! What a course takes from tables: every conversion, density, fact, hold, figure and rule that its lessons use, with
//! its source. A row stands here only where something of the course makes use of it.
//!
//! Each contributor adds rows of its own; a new table is one more function in [`CONTRIBUTORS`].

use super::Cx;
use super::live::Page;
use super::recipe_view::{amount_view, ingredient_amount};
use crate::check::{Binding, consulted, ledger_row};
use crate::kitchen::{cautions, claim, hold_words, reckoned, reckoned_by};
use crate::quantity::{Amount, Dimension, Exact, Unit, UnitId, Units, parse_amount, print};
use crate::recipe::{Lesson, Owner, SumKind};
use crate::reference::{EvidenceOf, PantryEntry, Reference, Status};
use std::collections::{BTreeMap, BTreeSet};

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
    let mut all: Vec<SourceUse> = Vec::new();
    for row in CONTRIBUTORS.iter().flat_map(|contributor| contributor(cx)) {
        let same = |one: &&mut SourceUse| {
            one.group == row.group && one.what == row.what && one.value == row.value && one.source == row.source
        };
        match all.iter_mut().find(same) {
            Some(known) => known.lessons.extend(row.lessons),
            None => all.push(row),
        }
    }
    all.sort_by_cached_key(|one| (one.group, one.what.to_lowercase()));
    all
}

/// A table's rows that a course uses.
type Contributor = fn(&Cx<'_>) -> Vec<SourceUse>;

const CONTRIBUTORS: [Contributor; 9] = [units, habits, weights, facts, holds, usual, foods, sums, warned];

fn row(group: Group, what: String, value: String, source: &str, status: Status, lesson: usize) -> SourceUse {
    let lessons = BTreeSet::from([lesson]);
    SourceUse { group, what, value, source: source.to_owned(), status: status.name().to_owned(), lessons }
}

fn lessons<'a>(cx: &Cx<'a>) -> impl Iterator<Item = (usize, &'a Lesson)> {
    cx.course.lessons.iter().map(|lesson| &**lesson).enumerate()
}

/// The amounts that a lesson writes in its blocks and its words, and that its page prints beside them.
fn amounts(cx: &Cx<'_>, lesson: usize) -> Vec<Amount> {
    let page = Page::still(cx);
    let own = cx.course.measures.iter().enumerate().filter(|(_, one)| one.owner.lesson() == Some(lesson));
    let printed = own.clone().filter_map(|(index, one)| {
        let id = crate::recipe::MeasureId(index as u32);
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
    let said = cx.ledger.entries.iter().filter(|entry| entry.lesson == Some(lesson));
    let said = said.map(|entry| entry.mention.amount);
    own.map(|(_, one)| one.amount).chain(said).chain(printed).collect()
}

/// The units of an amount, and whether it writes them as bare words.
fn units_of(amount: &Amount) -> [Option<(UnitId, bool)>; 3] {
    let per = amount.per.map(|per| (per.unit, false));
    [Some((amount.low.unit, amount.bare)), Some((amount.high.unit, amount.bare)), per]
}

fn units(cx: &Cx<'_>) -> Vec<SourceUse> {
    let (table, mut rows) = (&cx.reference.units, Vec::new());
    for (lesson, _) in lessons(cx) {
        let met: BTreeSet<UnitId> =
            amounts(cx, lesson).iter().flat_map(units_of).flatten().map(|(unit, _)| unit).collect();
        for id in met {
            let unit = table.get(id);
            let Some(value) = worth(unit, table) else { continue };
            let found = cx.reference.evidence.iter().find(|row| row.of == EvidenceOf::Unit && row.id == unit.id);
            rows.extend(
                found.map(|found| row(Group::Units, unit.one.clone(), value, &found.source, found.status, lesson)),
            );
        }
        let marks = amounts(cx, lesson).into_iter().filter(|amount| amount.unit() == table.gas());
        let ovens = marks.filter_map(|amount| {
            cx.reference.ovens.iter().find(|oven| Some(oven.mark) == Some(amount.low.number.value))
        });
        rows.extend(ovens.map(|oven| {
            let what = format!("gas mark {}", print::fraction(oven.mark, table.style()));
            let value = format!("{}\u{a0}°C, {}\u{a0}°F on the dial", oven.celsius, oven.fahrenheit);
            row(Group::Units, what, value, &oven.source, oven.status, lesson)
        }));
    }
    rows
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
fn habits(cx: &Cx<'_>) -> Vec<SourceUse> {
    let (table, mut rows) = (&cx.reference.units, Vec::new());
    let evidence = |of: EvidenceOf, id: &str| cx.reference.evidence.iter().find(|row| row.of == of && row.id == id);
    for (lesson, _) in lessons(cx) {
        let met = amounts(cx, lesson);
        let bare: BTreeSet<UnitId> =
            met.iter().flat_map(units_of).flatten().filter(|(_, bare)| *bare).map(|(unit, _)| unit).collect();
        for id in bare {
            let unit = table.get(id);
            let found = evidence(EvidenceOf::Bare, &unit.id);
            rows.extend(found.map(|found| {
                let what = format!("“{}” and no more", table.names(id, true).1);
                row(Group::Habits, what, unit.one.clone(), &found.source, found.status, lesson)
            }));
        }
    }
    for entry in &cx.ledger.entries {
        let turned = ledger_row(cx.sources, cx.course, cx.reference, entry).turned;
        let Some((id, lesson)) = turned.and_then(|turned| turned.convention).zip(entry.lesson) else { continue };
        let convention = table.conventions().iter().find(|one| one.id == id);
        let Some((convention, found)) = convention.zip(evidence(EvidenceOf::Convention, &id)) else { continue };
        let unit = table.get(convention.unit);
        let base = if unit.dimension == Dimension::Mass { "g" } else { "mL" };
        let value = format!("called {}\u{a0}{base}", convention.size.to_decimal(4));
        rows.push(row(Group::Habits, unit.one.clone(), value, &found.source, found.status, lesson));
    }
    rows
}

/// Densities and the weights of pieces, of ingredients that can be turned by them.
fn weights(cx: &Cx<'_>) -> Vec<SourceUse> {
    let mut rows = Vec::new();
    for (lesson, recipe) in lessons(cx).filter_map(|(index, lesson)| Some((index, lesson.recipe.as_ref()?))) {
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
    }
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

/// Facts that the words state.
fn facts(cx: &Cx<'_>) -> Vec<SourceUse> {
    let mut used: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    for entry in &cx.ledger.entries {
        let Binding::Measure(id) = entry.binding else { continue };
        if let Owner::Fact { fact } = cx.course.measure(id).owner {
            used.entry(fact).or_default().extend(entry.lesson);
        }
    }
    let units = &cx.reference.units;
    let found = used.into_iter().filter_map(|(fact, lessons)| Some((cx.reference.facts.get(fact)?, lessons)));
    let rows = found.map(|(fact, lessons)| SourceUse {
        group: Group::Facts,
        what: fact.name.clone(),
        value: print::amount(&fact.amount, units, units.style()),
        source: fact.source.clone(),
        status: fact.status.name().to_owned(),
        lessons,
    });
    rows.collect()
}

/// Legal holds that steps claim to meet, and do.
fn holds(cx: &Cx<'_>) -> Vec<SourceUse> {
    let steps = lessons(cx).flat_map(|(index, lesson)| (0..lesson.steps.len()).map(move |step| (index, lesson, step)));
    let held = steps.filter_map(|(index, lesson, step)| {
        let hold = claim(cx.course, cx.reference, lesson.recipe.as_ref()?, &lesson.steps, step)?.met?;
        Some(row(Group::Holds, hold.product.replace('-', " "), hold_words(hold), &hold.source, hold.status, index))
    });
    held.collect()
}

/// Usual yields, doses and brines.
fn usual(cx: &Cx<'_>) -> Vec<SourceUse> {
    let mut rows = Vec::new();
    for (lesson, _) in lessons(cx) {
        let found = consulted(cx.course, cx.reference, lesson);
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
            rows.push(row(
                Group::Usual,
                "density of brine at 20\u{a0}°C".to_owned(),
                value,
                &last.source,
                last.status,
                lesson,
            ));
        }
    }
    rows
}

/// Foods in pots whose time on the hob is reckoned.
fn foods(cx: &Cx<'_>) -> Vec<SourceUse> {
    let mut rows = Vec::new();
    for (index, lesson) in lessons(cx) {
        for food in (0..lesson.steps.len()).flat_map(|step| reckoned_by(cx.course, cx.reference, lesson, step)) {
            let parts = [
                ("water", food.water),
                ("protein", food.protein),
                ("fat", food.fat),
                ("carbohydrate", food.carbohydrate),
                ("ash", food.ash),
            ];
            let there = parts.iter().filter(|(_, part)| *part > 0.0);
            let value: Vec<String> = there.map(|(name, part)| format!("{name} {part}")).collect();
            rows.push(row(Group::Foods, food.name.clone(), value.join(", "), &food.source, food.status, index));
        }
    }
    rows
}

/// The formulas of sums on pages, and of times on the hob.
fn sums(cx: &Cx<'_>) -> Vec<SourceUse> {
    let mut rows = Vec::new();
    for (index, lesson) in lessons(cx) {
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
    }
    rows
}

/// The cautions that stand on pages.
fn warned(cx: &Cx<'_>) -> Vec<SourceUse> {
    let law = cx.course.guests.law.name();
    let of = |index: usize| {
        cautions(cx.course, cx.reference, index).into_iter().map(move |one| {
            let source = cx.reference.cautions.source_of(one.rule, law);
            row(Group::Cautions, one.rule.title.clone(), String::new(), source, one.rule.status, index)
        })
    };
    lessons(cx).flat_map(|(index, _)| of(index)).collect()
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
