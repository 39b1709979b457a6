//! Former values: which earlier figure of one measure explains what the words say.
//!
//! A cook who changes a measure leaves all its mentions behind, and they agree among themselves: with the old value in
//! its place, the complaints about them vanish. So each figure complained of is put, on trial, in the place of each
//! measure it could have been. If one trial alone takes complaints away and adds none, there is no doubt which measure
//! those words mean, also where their figure happens to be that of another.

use super::bind::{Bindings, Senses};
use super::candidates::Ring;
use super::ledger::LedgerEntry;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::quantity::{Amount, Dimension, Exact, Quantity};
use crate::recipe::{Course, Measure, MeasureId, Owner, PartAmount};
use crate::source::Span;
use std::collections::BTreeSet;
use std::sync::Arc;

/// How far, as a ratio, a figure may plausibly lie from the measure it is meant to state.
const PLAUSIBLE: i128 = 4;
/// The same where the words name the thing: a batch may grow tenfold.
const PLAUSIBLE_BY_NAME: i128 = 12;

/// So many figures at once are no change of a measure, and each trial looks through the whole lesson.
const MOST_TRIALS: usize = 2_000;

/// What binding and the rules about words find in one lesson of a course, given what some words are known to mean.
pub(super) trait Look {
    fn look(&self, course: &Course, senses: &Senses) -> (Bindings, Diagnostics);
}

impl<F: Fn(&Course, &Senses) -> (Bindings, Diagnostics)> Look for F {
    fn look(&self, course: &Course, senses: &Senses) -> (Bindings, Diagnostics) {
        self(course, senses)
    }
}

/// A measure with the value it may have had.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Trial {
    measure: MeasureId,
    was: Amount,
}

/// A trial that explains complaints.
struct Explained {
    trial: Trial,
    complaints: BTreeSet<Complaint>,
    ring: Ring,
    /// How far down the lists of candidates the words found what they state, all together.
    distance: usize,
}

/// A finding about words, as far as it matters here.
type Complaint = (Span, Code);

/// What the words of `lesson` mean where former values explain them. Empty when nothing does, or nothing alone does.
pub(super) fn senses(
    course: &Course,
    lesson: usize,
    bound: &Bindings,
    found: &Diagnostics,
    look: &impl Look,
) -> Senses {
    let mut course = course.clone();
    let mut senses = Senses::new();
    let mut open = complaints(found);
    let mut agreeing = agreeing(bound);
    let mut words: Vec<Amount> = complained_of(bound, &open);
    while !open.is_empty() {
        let all = trials(&course, lesson, &words);
        if all.len() > MOST_TRIALS {
            break;
        }
        // A measure that the words do state is an unlikely one to have changed; it is tried when no other explains.
        let (stated, unstated): (Vec<Trial>, Vec<Trial>) =
            all.into_iter().partition(|trial| agreeing.contains(&trial.measure));
        let explain = |trials: &[Trial], course: &mut Course| explained(trials, course, &open, look);
        let explaining = explain(&unstated, &mut course);
        let mut best = pick(&course, explaining);
        if best.is_none() {
            let explaining = explain(&stated, &mut course);
            best = pick(&course, explaining);
        }
        let Some(best) = best else { break };
        put(&mut course, best.trial);
        let (bound, found) = look.look(&course, &Senses::new());
        for entry in bound.entries.iter().filter(|entry| means(&course, entry.binding, best.trial.measure)) {
            let span = entry.mention.span;
            senses.extend(bound.senses.get(&span).map(|sense| (span, *sense)));
        }
        open = complaints(&found);
        words = complained_of(&bound, &open);
        agreeing = self::agreeing(&bound);
    }
    senses
}

/// The findings `found`, with the surer advice of `sure`: the same words, looked at once it is known what they mean.
pub(super) fn advise(found: &Diagnostics, sure: &Diagnostics) -> Diagnostics {
    let mut advised: Vec<Diagnostic> = found.iter().cloned().collect();
    for one in sure.iter().filter(|one| one.code == Code::Disagrees) {
        let touches = |other: &&mut Diagnostic| complains(other.code) && other.primary.span.overlaps(one.primary.span);
        if let Some(same) = advised.iter_mut().find(touches) {
            if same.code == Code::Disagrees {
                *same = one.clone();
            } else {
                same.suggestions.extend(one.suggestions.iter().cloned());
                let aside = "if it is no business of the recipe, add its exact words to `asides` in the lesson block";
                let also = |help: &String| match same.code {
                    Code::UnknownMention => format!("{help}; {aside}"),
                    _ => help.clone(),
                };
                same.help = one.help.as_ref().map(also).or(same.help.take());
            }
            continue;
        }
        // Words that happen to state something else: their edit goes with that of the nearest complaint.
        let gap = |other: &Diagnostic| other.primary.span.start.abs_diff(one.primary.span.start);
        let near = advised.iter_mut().filter(|other| complains(other.code)).min_by_key(|other| gap(other));
        if let Some(near) = near {
            near.suggestions.extend(one.suggestions.iter().cloned());
        }
    }
    let mut all = Diagnostics::default();
    advised.into_iter().for_each(|one| all.push(one));
    all
}

fn complains(code: Code) -> bool {
    matches!(code, Code::Disagrees | Code::PairApart | Code::UnknownMention | Code::NotStated)
}

/// Complaints that another value of a measure could take away.
fn complaints(found: &Diagnostics) -> BTreeSet<Complaint> {
    found.iter().filter(|one| complains(one.code)).map(|one| (one.primary.span, one.code)).collect()
}

/// Measures that some words state rightly.
fn agreeing(bound: &Bindings) -> BTreeSet<MeasureId> {
    let right = bound.entries.iter().filter(|entry| entry.agrees);
    right
        .filter_map(|entry| match entry.binding {
            super::Binding::Measure(id) => Some(id),
            _ => None,
        })
        .collect()
}

/// The amounts of all mentions that somebody complained of.
fn complained_of(bound: &Bindings, open: &BTreeSet<Complaint>) -> Vec<Amount> {
    let mut amounts: Vec<Amount> = Vec::new();
    for entry in &bound.entries {
        let here = open.iter().any(|(span, _)| span.overlaps(entry.mention.span));
        // The other half of a pair states the old value too.
        if (here || !entry.agrees) && !amounts.contains(&entry.mention.amount) {
            amounts.push(entry.mention.amount);
        }
    }
    amounts
}

fn trials(course: &Course, lesson: usize, words: &[Amount]) -> Vec<Trial> {
    let mut found: Vec<Trial> = Vec::new();
    for (index, measure) in course.measures.iter().enumerate() {
        if measure.owner.lesson() != Some(lesson) {
            continue;
        }
        for was in words.iter().flat_map(|said| former_values(course, measure, said)) {
            let now = &measure.amount;
            let same = was.low.quantity == now.low.quantity && was.high.quantity == now.high.quantity;
            // A limit stays one: the words around the figure say so, or need not.
            let trial =
                Trial { measure: MeasureId(index as u32), was: Amount { bound: now.bound, about: now.about, ..was } };
            if !same && plausible(&was, now, false) && !found.contains(&trial) {
                found.push(trial);
            }
        }
    }
    found
}

/// What a measure was if words of old state it, or a part of it.
fn former_values(course: &Course, measure: &Measure, said: &Amount) -> Vec<Amount> {
    if measure.amount.dimension() != said.dimension() {
        return part_of(course, measure, said).into_iter().collect();
    }
    let mut found = vec![*said];
    if let Owner::Ingredient { lesson, ingredient } = measure.owner {
        let parts = course.lessons[lesson].steps.iter().flat_map(|step| &step.add);
        for part in parts.filter(|part| part.ingredient == ingredient) {
            if let PartAmount::Fraction(fraction, _) = part.amount {
                found.extend(whole_of(said, fraction));
                found.extend(whole_of(said, Exact::ONE - fraction));
            }
        }
    }
    found
}

/// `80 mL` as two thirds of 120 mL.
fn whole_of(said: &Amount, fraction: Exact) -> Option<Amount> {
    let mut whole = *said;
    for end in [&mut whole.low, &mut whole.high] {
        let base = (!fraction.is_zero()).then(|| end.quantity.base() / fraction)?;
        end.quantity = Quantity::from_base(said.dimension(), base)?;
    }
    Some(whole)
}

/// `40 mL` of 120 mL: a third went in.
fn part_of(course: &Course, measure: &Measure, said: &Amount) -> Option<Amount> {
    let Owner::Part { lesson, ingredient, .. } = measure.owner else { return None };
    let total = course.lessons[lesson].recipe.as_ref()?.ingredients.get(ingredient)?.amount?;
    let total = course.measure(total).amount.low.quantity;
    let share = measure.amount.dimension() == Dimension::Share && total.dimension() == said.dimension();
    if !share || total.base().is_zero() || said.range {
        return None;
    }
    let part = said.low.quantity.base() / total.base();
    let mut was = measure.amount;
    for end in [&mut was.low, &mut was.high] {
        end.quantity = Quantity::from_base(Dimension::Share, part)?;
    }
    (part < Exact::ONE).then_some(was)
}

fn explained(trials: &[Trial], course: &mut Course, open: &BTreeSet<Complaint>, look: &impl Look) -> Vec<Explained> {
    let mut found = Vec::new();
    for trial in trials {
        let now = Trial { was: course.measure(trial.measure).amount, ..*trial };
        put(course, *trial);
        let (bound, findings) = look.look(course, &Senses::new());
        put(course, now);
        let left = complaints(&findings);
        if !left.is_subset(open) || left.len() == open.len() {
            continue;
        }
        let complaints: BTreeSet<Complaint> = open.difference(&left).copied().collect();
        // Only words that state the measure on trial speak for it.
        let stating = bound.entries.iter().filter(|entry| means(course, entry.binding, trial.measure));
        let rings = stating.filter_map(|entry| {
            let complained = complaints.iter().any(|(span, _)| span.overlaps(entry.mention.span));
            Some((!complained, *bound.rings.get(&entry.mention.span)?))
        });
        let Some((_, ring)) = rings.min() else { continue };
        // "Twenty minutes at the bench", said once and in no step, may speak of anything.
        let is_time = course.measure(trial.measure).amount.dimension() == Dimension::Time;
        let outside = |entry: &LedgerEntry| entry.step.is_none() && means(course, entry.binding, trial.measure);
        if ring == Ring::OtherStep && is_time && complaints.len() < 2 && bound.entries.iter().any(outside) {
            continue;
        }
        let of_complaints =
            bound.senses.iter().filter(|(span, _)| complaints.iter().any(|(at, _)| at.overlaps(**span)));
        let distance = of_complaints.map(|(_, sense)| sense).sum();
        found.push(Explained { trial: *trial, complaints, ring, distance });
    }
    found
}

/// Whether words that state `binding` state the measure `id`, or an amount that follows from it.
fn means(course: &Course, binding: super::Binding, id: MeasureId) -> bool {
    let super::Binding::Measure(bound) = binding else { return false };
    let whole = |measure| match course.measure(measure).owner {
        Owner::Ingredient { lesson, ingredient } => Some((lesson, ingredient)),
        _ => None,
    };
    let of = |measure| match course.measure(measure).owner {
        Owner::Ingredient { lesson, ingredient } | Owner::Part { lesson, ingredient, .. } => Some((lesson, ingredient)),
        _ => None,
    };
    // A part follows from the whole, and a rest from both the whole and the other parts.
    let follows = of(bound).is_some() && of(bound) == of(id) && (whole(id).is_some() || whole(bound).is_some());
    bound == id || follows
}

/// The one trial that explains the most; none where another measure, or another value, explains the same as well.
fn pick(course: &Course, found: Vec<Explained>) -> Option<Explained> {
    let rank = |one: &Explained| (one.complaints.len(), std::cmp::Reverse(one.ring));
    let most = found.iter().map(rank).max()?;
    let mut best: Option<Explained> = None;
    let mut rivals = Vec::new();
    for one in found.into_iter().filter(|one| rank(one) == most) {
        match &best {
            Some(before) if before.is_as_good_as(course, &one) => rivals.push(one),
            _ => drop(best.replace(one)),
        }
    }
    best.filter(|best| !rivals.iter().any(|one| one.speaks_against(course, best)))
}

impl Explained {
    /// A step that takes a part of a thing speaks of that part first, and of the whole only failing that.
    fn is_as_good_as(&self, course: &Course, other: &Explained) -> bool {
        !self.one_thing(course, other) || self.distance <= other.distance
    }

    fn speaks_against(&self, course: &Course, best: &Explained) -> bool {
        // Two ways to write one value: 92 °C and 198 °F.
        let alike = self.trial.measure == best.trial.measure && self.complaints == best.complaints;
        let farther = self.one_thing(course, best) && self.distance > best.distance;
        !alike && !farther && !self.complaints.is_disjoint(&best.complaints)
    }

    /// Whether both are about one ingredient.
    fn one_thing(&self, course: &Course, other: &Explained) -> bool {
        let of = |one: &Explained| match course.measure(one.trial.measure).owner {
            Owner::Ingredient { lesson, ingredient } | Owner::Part { lesson, ingredient, .. } => {
                Some((lesson, ingredient))
            }
            _ => None,
        };
        of(self).is_some() && of(self) == of(other)
    }
}

/// Whether one amount may have been meant for another; not "four teaspoons" for what a bowl holds.
pub(super) fn plausible(was: &Amount, now: &Amount, named: bool) -> bool {
    let (a, b) = (was.low.quantity.base(), now.low.quantity.base());
    if was.dimension() != now.dimension() {
        return named;
    }
    if was.dimension() == Dimension::Temperature {
        return (a - b).abs() <= Exact::whole(60);
    }
    let limit = Exact::whole(if named { PLAUSIBLE_BY_NAME } else { PLAUSIBLE });
    a <= b * limit && b <= a * limit
}

/// Puts a value in the place of a measure, also where a step takes a fraction by it.
fn put(course: &mut Course, trial: Trial) {
    let measure = Arc::make_mut(&mut course.measures[trial.measure.0 as usize]);
    measure.amount = trial.was;
    if let Owner::Part { lesson, step, ingredient } = measure.owner {
        let parts = Arc::make_mut(&mut course.lessons[lesson]).steps[step]
            .add
            .iter_mut()
            .filter(|part| part.ingredient == ingredient);
        for part in parts {
            if let PartAmount::Fraction(fraction, id) = &mut part.amount
                && *id == trial.measure
            {
                *fraction = trial.was.low.quantity.base();
            }
        }
    }
}
