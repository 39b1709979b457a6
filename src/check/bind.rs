//! Binding: which measure each mention states, and whether it states it rightly.
//!
//! By noun first: words tied to a thing can only state a measure of that thing, even if some other measure has that
//! value. Then by kind, outward from the step. What binds to nothing is a finding, never passed over.

use super::asides::Asides;
use super::candidates::{Candidate, Candidates, Ring, fraction_of};
use super::findings::{Certainty, Findings};
use super::ledger::{Binding, LedgerEntry};
use super::things::{Thing, Things};
use super::tolerance::{Setting, agree, agree_by_density};
use crate::diag::Diagnostics;
use crate::lesson::{Run, RunPlace};
use crate::prose::{Mention, scan_run};
use crate::quantity::{Amount, Bound, Dimension, End, Exact};
use crate::recipe::Course;
use crate::reference::Reference;
use crate::source::Span;
use std::collections::BTreeMap;

/// Which of the candidates at its place a group of mentions states, by the place of its first mention.
pub(super) type Senses = BTreeMap<Span, usize>;

/// Everything that binding one lesson's words needs.
pub(super) struct Binder<'a> {
    pub course: &'a Course,
    pub reference: &'a Reference,
    /// `None` for texts of the course itself.
    pub lesson: Option<usize>,
    pub things: &'a Things<'a>,
    /// What is known of some groups already: they state this, whatever they say.
    pub senses: &'a Senses,
}

/// What binding found.
#[derive(Debug, Default)]
pub(super) struct Bindings {
    pub entries: Vec<LedgerEntry>,
    /// What each group was taken to state.
    pub senses: Senses,
    /// Where a group stood nearest to what it was taken to state.
    pub rings: BTreeMap<Span, Ring>,
}

/// What a group of mentions, one or a pair, states.
struct Resolved {
    binding: Binding,
    says: Option<Amount>,
    agrees: Vec<bool>,
    sense: Option<(usize, Ring)>,
}

impl Resolved {
    fn of(candidate: &Candidate, agrees: Vec<bool>, all: &[Candidate]) -> Resolved {
        let sense = all.iter().position(|other| other == candidate).map(|at| (at, candidate.ring));
        Resolved { binding: Binding::Measure(candidate.measure), says: Some(candidate.amount()), agrees, sense }
    }
}

/// The quantities of each text, in order.
pub(super) fn read(runs: &[Run], reference: &Reference, things: &Things<'_>) -> Vec<Vec<Mention>> {
    runs.iter().map(|run| scan_run(&run.text, &reference.units, &things.nouns)).collect()
}

impl Binder<'_> {
    /// Binds all mentions of a lesson, in order; `mentions` holds those of each text.
    pub fn bind(
        &self,
        runs: &[Run],
        mentions: &[Vec<Mention>],
        asides: &mut Asides,
        sink: &mut Diagnostics,
    ) -> Bindings {
        let rows = self.row_heads(runs);
        let mut bound = Bindings::default();
        for (run, mentions) in runs.iter().zip(mentions) {
            asides.look_in(run);
            let mut at = 0;
            while at < mentions.len() {
                let same = |other: &Mention| other.pair.is_some() && other.pair == mentions[at].pair;
                let len = 1 + mentions[at + 1..].iter().take_while(|other| same(other)).count();
                let group = &mentions[at..at + len];
                at += len;
                self.bind_group(run, group, &rows, asides, sink, &mut bound);
            }
        }
        bound
    }

    fn bind_group(
        &self,
        run: &Run,
        group: &[Mention],
        rows: &BTreeMap<(usize, usize), Vec<Thing>>,
        asides: &mut Asides,
        sink: &mut Diagnostics,
        bound: &mut Bindings,
    ) {
        let mut rest = Vec::new();
        for mention in group {
            match asides.covering(mention) {
                Some(aside) => {
                    let lesson = self.lesson.unwrap_or_default();
                    bound.entries.push(self.entry(run, mention, Binding::Aside { lesson, aside }, None, true));
                }
                None => rest.push(mention.clone()),
            }
        }
        if rest.is_empty() {
            return;
        }
        let Some(resolved) = self.resolve(run, &rest, rows, sink) else { return };
        if let Some((sense, ring)) = resolved.sense {
            bound.senses.insert(rest[0].span, sense);
            bound.rings.insert(rest[0].span, ring);
        }
        for (mention, agrees) in rest.iter().zip(&resolved.agrees) {
            bound.entries.push(self.entry(run, mention, resolved.binding, resolved.says, *agrees));
        }
    }

    fn entry(&self, run: &Run, mention: &Mention, binding: Binding, says: Option<Amount>, agrees: bool) -> LedgerEntry {
        LedgerEntry { lesson: self.lesson, step: run.step, mention: mention.clone(), binding, says, agrees }
    }

    /// Things named by the first cell of each table row: `Milk | 4 L`.
    fn row_heads(&self, runs: &[Run]) -> BTreeMap<(usize, usize), Vec<Thing>> {
        let mut rows = BTreeMap::new();
        for run in runs {
            let RunPlace::TableCell { table, row, column: 0 } = run.place else { continue };
            let text = run.text.text.trim();
            let whole = self.things.nouns.match_start(text).filter(|found| {
                // `Milk, whole` is milk; `Milk left over` is something else.
                text[found.len..].is_empty() || text[found.len..].starts_with([',', '(', ' '])
            });
            if let Some(found) = whole {
                rows.insert((table, row), self.things.meanings(found.id));
            }
        }
        rows
    }

    /// What a group states. `None` when it turns out to be no quantity of a recipe at all: "half the dough" where no
    /// step takes a part of it.
    fn resolve(
        &self,
        run: &Run,
        group: &[Mention],
        rows: &BTreeMap<(usize, usize), Vec<Thing>>,
        sink: &mut Diagnostics,
    ) -> Option<Resolved> {
        let place = Candidates { course: self.course, reference: self.reference, lesson: self.lesson, step: run.step };
        let oven = place.oven(&run.text.text);
        let judge = Judge { place: &place, oven };
        let first = &group[0];
        let named = self.named_things(run, first, rows);
        let findings = Findings { course: self.course, units: &self.reference.units, judge: &judge, run };
        if first.amount.unit() == self.reference.units.fraction() {
            return self.resolve_part(&place, first, &named, &findings, sink);
        }
        let lists = match &named {
            Some(things) => vec![self.named_candidates(&place, things)],
            None => vec![self.weakly_named(&place, first), place.of_step(), place.outward()],
        };
        let fitting = |list: &[Candidate]| -> Vec<Candidate> {
            list.iter()
                .filter(|candidate| group.iter().any(|mention| judge.comparable(mention, candidate)))
                .copied()
                .collect()
        };
        let lists: Vec<Vec<Candidate>> = lists.iter().map(|list| fitting(list)).collect();
        let all = lists.iter().flatten().copied().collect::<Vec<_>>();
        let certainty = if named.is_some() { Certainty::Named } else { Certainty::ByKind };
        if let Some(known) = self.senses.get(&first.span).and_then(|sense| all.get(*sense)) {
            let agrees: Vec<bool> = group.iter().map(|mention| judge.states(mention, known)).collect();
            findings.disagree(group, &agrees, known, &[], Certainty::Known, sink);
            return Some(Resolved::of(known, agrees, &all));
        }
        if let Some(best) = judge.best(group, &all) {
            let agrees: Vec<bool> = group.iter().map(|mention| judge.states(mention, &best)).collect();
            if agrees.contains(&false) {
                findings.disagree(group, &agrees, &best, &all, certainty, sink);
            } else if let [a, b, ..] = group
                && !judge.pair_holds(a, b, &best)
            {
                findings.pair_apart(a, b, &best, sink);
                return Some(Resolved::of(&best, vec![false; group.len()], &all));
            }
            return Some(Resolved::of(&best, agrees, &all));
        }
        let agrees = vec![false; group.len()];
        let near: Vec<Candidate> = all.iter().filter(|candidate| candidate.ring == Ring::Own).copied().collect();
        if let Some(nearest) = judge.nearest(first, &near) {
            findings.disagree(group, &agrees, &nearest, &near, certainty, sink);
            return Some(Resolved::of(&nearest, agrees, &all));
        }
        let others = judge.nearest(first, &all);
        let names = named.as_deref().map(|things| self.thing_name(things));
        findings.unknown(first, names.as_deref(), run.step.is_some(), others.as_ref(), sink);
        Some(Resolved { binding: Binding::Nothing, says: None, agrees, sense: None })
    }

    /// Things that the words tie firmly to a mention, where its kind can be measured of a thing.
    fn named_things(
        &self,
        run: &Run,
        mention: &Mention,
        rows: &BTreeMap<(usize, usize), Vec<Thing>>,
    ) -> Option<Vec<Thing>> {
        let of_things = matches!(mention.dimension(), Dimension::Mass | Dimension::Volume | Dimension::Count)
            || mention.amount.unit() == self.reference.units.fraction();
        let firm = mention.nouns.iter().find(|hit| hit.firm).map(|hit| self.things.meanings(hit.noun));
        if mention.dimension() == Dimension::Length {
            // A cut is not the size of what is cut; a tin's is the tin's.
            return firm.filter(|things| things.iter().any(|thing| matches!(thing, Thing::Equipment(_))));
        }
        if !of_things {
            return None;
        }
        let row = match run.place {
            RunPlace::TableCell { table, row, column } if column > 0 => rows.get(&(table, row)).cloned(),
            _ => None,
        };
        firm.or(row)
    }

    fn named_candidates(&self, place: &Candidates<'_>, things: &[Thing]) -> Vec<Candidate> {
        let mut list = place.of_things(things);
        list.extend(place.named_here());
        if things.iter().all(|thing| matches!(thing, Thing::Pantry(_))) {
            // Not an ingredient here: only a measure declared for words can be meant, never an ingredient's amount.
            let declared = place.outward();
            list.extend(declared.into_iter().filter(|candidate| {
                matches!(
                    self.course.measure(candidate.measure).owner,
                    crate::recipe::Owner::Step { .. } | crate::recipe::Owner::Fact { .. }
                )
            }));
        }
        list
    }

    fn weakly_named(&self, place: &Candidates<'_>, mention: &Mention) -> Vec<Candidate> {
        if !matches!(mention.dimension(), Dimension::Mass | Dimension::Volume | Dimension::Count) {
            return Vec::new();
        }
        let things: Vec<Thing> = mention.nouns.iter().flat_map(|hit| self.things.meanings(hit.noun)).collect();
        place.of_things(&things)
    }

    /// `half the salt`: must be the part that this step takes, if it takes any.
    fn resolve_part(
        &self,
        place: &Candidates<'_>,
        mention: &Mention,
        named: &Option<Vec<Thing>>,
        findings: &Findings<'_>,
        sink: &mut Diagnostics,
    ) -> Option<Resolved> {
        let step = place.step.and_then(|index| self.course.lessons[self.lesson?].steps.get(index))?;
        let said = mention.amount.low.quantity.base();
        for thing in named.iter().flatten() {
            let Thing::Ingredient(ingredient) = *thing else { continue };
            let Some(part) = step.add.iter().find(|part| part.ingredient == ingredient) else { continue };
            let total = self.course.lessons[self.lesson?].recipe.as_ref()?.ingredients[ingredient].amount?;
            let taken = fraction_of(self.course, part.amount, self.course.measure(total).amount.high.quantity);
            let agrees = taken.is_none_or(|taken| taken == said);
            if !agrees {
                findings.wrong_part(mention, part, taken.unwrap_or(Exact::ONE), sink);
            }
            let measure = match part.amount {
                crate::recipe::PartAmount::Fraction(_, id) | crate::recipe::PartAmount::Amount(id) => id,
                _ => total,
            };
            return Some(Resolved {
                binding: Binding::Measure(measure),
                says: None,
                agrees: vec![agrees],
                sense: None,
            });
        }
        None
    }

    fn thing_name(&self, things: &[Thing]) -> String {
        let recipe = self.lesson.and_then(|lesson| self.course.lessons[lesson].recipe.as_ref());
        let name = things.first().and_then(|thing| match (*thing, recipe) {
            (Thing::Pantry(row), _) => Some(self.reference.pantry.get(row).name.clone()),
            (Thing::Ingredient(index), Some(recipe)) => Some(recipe.ingredients[index].name.clone()),
            (Thing::Equipment(index), Some(recipe)) => Some(recipe.equipment[index].name.text.clone()),
            (Thing::Leftover(index), Some(recipe)) => Some(recipe.leaves[index].name.clone()),
            (Thing::Product, Some(recipe)) => recipe.makes.as_ref().map(|product| product.name.clone()),
            _ => None,
        });
        name.unwrap_or_default()
    }
}

/// Whether a mention states a candidate.
pub(super) struct Judge<'a> {
    pub place: &'a Candidates<'a>,
    pub oven: bool,
}

impl Judge<'_> {
    /// Whether the two can be held against each other at all.
    pub fn comparable(&self, mention: &Mention, candidate: &Candidate) -> bool {
        let (said, own) = (mention.dimension(), candidate.low.quantity.dimension());
        said == own || self.density(mention.dimension(), candidate).is_some()
    }

    fn density(&self, said: Dimension, candidate: &Candidate) -> Option<(Exact, &[String])> {
        let own = candidate.low.quantity.dimension();
        let bulk = |kind| matches!(kind, Dimension::Mass | Dimension::Volume);
        (bulk(said) && bulk(own) && said != own).then(|| self.place.density(candidate.ingredient?)).flatten()
    }

    fn setting(&self, mention: &Mention, candidate: &Candidate) -> Setting {
        let hot = candidate.high.quantity.base() >= Exact::whole(if self.oven { 90 } else { 130 });
        let temperature = candidate.low.quantity.dimension() == Dimension::Temperature;
        Setting { oven: temperature && hot, minimum: candidate.bound == Bound::AtLeast, about: mention.amount.about }
    }

    pub fn end_agrees(&self, mention: &Mention, candidate: &Candidate, model: &End, said: &End) -> bool {
        let units = &self.place.reference.units;
        if agree(model, said, units, self.setting(mention, candidate)) {
            return true;
        }
        let Some((density, tags)) = self.density(mention.dimension(), candidate) else { return false };
        let (a, b) = (model.quantity.base(), said.quantity.base());
        let (grams, millilitres) = if model.quantity.dimension() == Dimension::Mass { (a, b) } else { (b, a) };
        agree_by_density(grams, millilitres, density, tags)
    }

    /// An end of a candidate as a base value of the kind that a mention speaks of: weight as volume, or the reverse.
    pub fn same_kind(&self, mention: &Mention, candidate: &Candidate, end: &End) -> Option<Exact> {
        let base = end.quantity.base();
        if mention.dimension() == end.quantity.dimension() {
            return Some(base);
        }
        let (density, _) = self.density(mention.dimension(), candidate)?;
        Some(if mention.dimension() == Dimension::Mass { base * density } else { base / density })
    }

    /// Whether a mention states a candidate: end by end, a single value inside a range, a limit at its end.
    pub fn states(&self, mention: &Mention, candidate: &Candidate) -> bool {
        if !self.comparable(mention, candidate) {
            return false;
        }
        let amount = &mention.amount;
        let opposite = [amount.bound, candidate.bound];
        if opposite.contains(&Bound::AtLeast) && opposite.contains(&Bound::AtMost) {
            return false;
        }
        let low = |said: &End| self.end_agrees(mention, candidate, &candidate.low, said);
        let high = |said: &End| self.end_agrees(mention, candidate, &candidate.high, said);
        if amount.range {
            return candidate.range && low(&amount.low) && high(&amount.high);
        }
        let said = &amount.low;
        if !candidate.range {
            return low(said) || self.total_agrees(mention, candidate);
        }
        match amount.bound {
            Bound::AtLeast => low(said),
            Bound::AtMost => high(said),
            Bound::None => low(said) || high(said) || self.inside(mention, candidate),
        }
    }

    /// A single value between the ends. Facts hold for every lesson, so they are matched only at their ends: else any
    /// cool temperature would be "room temperature".
    fn inside(&self, mention: &Mention, candidate: &Candidate) -> bool {
        let value = mention.amount.low.quantity.base();
        candidate.ring != Ring::Fact
            && mention.dimension() == candidate.low.quantity.dimension()
            && candidate.low.quantity.base() < value
            && value < candidate.high.quantity.base()
    }

    /// `3 × 30 s` states 90 seconds too.
    fn total_agrees(&self, mention: &Mention, candidate: &Candidate) -> bool {
        mention.times.is_some_and(|times| {
            mention.dimension() == candidate.low.quantity.dimension()
                && mention.amount.low.quantity.base() * times.value == candidate.low.quantity.base()
        })
    }

    /// The candidate that most of a group states; the nearest to the words wins.
    pub fn best(&self, group: &[Mention], candidates: &[Candidate]) -> Option<Candidate> {
        let score = |candidate: &Candidate| group.iter().filter(|mention| self.states(mention, candidate)).count();
        let mut best: Option<(usize, Candidate)> = None;
        for candidate in candidates {
            let score = score(candidate);
            if score > best.as_ref().map_or(0, |(most, _)| *most) {
                best = Some((score, *candidate));
            }
        }
        best.map(|(_, candidate)| candidate)
    }

    /// The candidate whose value is nearest, for saying what was probably meant.
    pub fn nearest(&self, mention: &Mention, candidates: &[Candidate]) -> Option<Candidate> {
        let said = mention.amount.low.quantity.base().to_f64();
        let gap = |candidate: &Candidate| {
            let own = candidate.low.quantity.base().to_f64();
            (own - said).abs() / own.abs().max(said.abs()).max(f64::MIN_POSITIVE)
        };
        let same_kind = candidates.iter().filter(|candidate| candidate.low.quantity.dimension() == mention.dimension());
        let closest = |a: &&Candidate, b: &&Candidate| gap(a).total_cmp(&gap(b));
        same_kind.min_by(closest).or_else(|| candidates.first()).copied()
    }

    /// Whether two halves of a pair belong together, apart from the model.
    pub fn pair_holds(&self, a: &Mention, b: &Mention, candidate: &Candidate) -> bool {
        if a.dimension() != b.dimension() {
            return true;
        }
        let units = &self.place.reference.units;
        let setting = self.setting(a, candidate);
        agree(&a.amount.low, &b.amount.low, units, setting) && agree(&a.amount.high, &b.amount.high, units, setting)
    }
}
