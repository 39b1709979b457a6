//! `not-stated`: a step names a temperature or a time, but not its own. `not-spoken`: so does the recording of it.
//!
//! Why: a figure copied from another step agrees with that step, so nothing else would notice it.
//!
//! What is spoken gives a note only: at the hob a teacher speaks of the step before and the step after as they come to
//! mind, and never of all a step's figures. Whoever reads the step must find its own figures there, whoever hears it
//! need not.

use super::Cx;
use crate::check::ledger::{Binding, LedgerEntry};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::quantity::Dimension;
use crate::recipe::{MeasureId, Owner, Step};

pub(in crate::check) fn not_stated(cx: &Cx<'_>, entries: &[LedgerEntry], sink: &mut Diagnostics) {
    hold_to_steps(cx, entries, Code::NotStated, sink);
}

pub(in crate::check) fn not_spoken(cx: &Cx<'_>, entries: &[LedgerEntry], sink: &mut Diagnostics) {
    hold_to_steps(cx, entries, Code::NotSpoken, sink);
}

fn hold_to_steps(cx: &Cx<'_>, entries: &[LedgerEntry], code: Code, sink: &mut Diagnostics) {
    for (index, step) in cx.lesson.steps.iter().enumerate() {
        let here: Vec<&LedgerEntry> = entries.iter().filter(|entry| entry.step == Some(index)).collect();
        for (dimension, own) in [(Dimension::Temperature, warmths(step)), (Dimension::Time, times(step))] {
            let mentions = here.iter().filter(|entry| entry.mention.dimension() == dimension);
            let mentions: Vec<_> = mentions.filter(|entry| !matches!(entry.binding, Binding::Aside { .. })).collect();
            // A figure that disagrees was reported already: one slip, one finding.
            if own.is_empty() || mentions.is_empty() || mentions.iter().any(|entry| !entry.agrees) {
                continue;
            }
            if let Some(found) = borrowed(cx, index, &own, &mentions, code) {
                sink.push(found);
            }
        }
        let sound = code == Code::NotStated && here.iter().all(|entry| entry.agrees);
        if let Some(found) = sound.then(|| said_twice(cx, index, &here, entries)).flatten() {
            sink.push(found);
        }
    }
}

/// A measure that an author named for the words of this step, and that no words state, while another is stated twice: one
/// of the two was meant to be the other.
fn said_twice(cx: &Cx<'_>, step: usize, here: &[&LedgerEntry], all: &[LedgerEntry]) -> Option<Diagnostic> {
    let states = |entry: &LedgerEntry, id: MeasureId| entry.binding == Binding::Measure(id);
    let own = &cx.lesson.steps[step];
    let principal = warmths(own).into_iter().chain(times(own)).map(|id| ("own".to_owned(), id));
    let named = own.measures.iter().map(|(name, id)| (name.clone(), *id)).chain(principal);
    for (name, unstated) in named {
        if all.iter().any(|entry| states(entry, unstated)) {
            continue;
        }
        let dimension = cx.course.measure(unstated).amount.dimension();
        let kin = own.measures.values().copied().chain(warmths(own)).chain(times(own));
        // Two measures of one value are stated by the same words.
        let value = cx.course.measure(unstated).amount.low.quantity;
        let other_value = |id: &MeasureId| cx.course.measure(*id).amount.low.quantity != value;
        let kin = kin
            .filter(other_value)
            .filter(|id| *id != unstated && cx.course.measure(*id).amount.dimension() == dimension);
        for other in kin {
            let mut said: Vec<&LedgerEntry> = here.iter().filter(|entry| states(entry, other)).copied().collect();
            said.dedup_by_key(|entry| (entry.mention.pair, entry.mention.pair.map_or(entry.mention.span.start, |_| 0)));
            let Some(last) = said.last().copied() else { continue };
            said.retain(|entry| entry.mention.amount.low.quantity == last.mention.amount.low.quantity);
            if said.len() < 2 {
                continue;
            }
            let measure = cx.course.measure(unstated);
            let value =
                crate::quantity::print::amount(&measure.amount, &cx.reference.units, cx.reference.units.style());
            let text = last.mention.text.split_whitespace().collect::<Vec<_>>().join(" ");
            let found = Diagnostic::new(
                Code::NotStated,
                if name == "own" {
                    format!("“{}” says “{text}” twice, but never its own {value}", own.title)
                } else {
                    format!("“{}” says “{text}” twice, but never its own `{name}`, {value}", own.title)
                },
                last.mention.span,
            );
            return Some(
                found
                    .label("perhaps this was meant to be the other")
                    .related(measure.span, format!("never stated: {value}"))
                    .help(format!("write {value} where it belongs, or correct the block")),
            );
        }
    }
    None
}

fn warmths(step: &Step) -> Vec<MeasureId> {
    [step.to, step.at].into_iter().flatten().collect()
}

fn times(step: &Step) -> Vec<MeasureId> {
    [step.lasts, step.takes].into_iter().flatten().collect()
}

fn borrowed(cx: &Cx<'_>, step: usize, own: &[MeasureId], mentions: &[&&LedgerEntry], code: Code) -> Option<Diagnostic> {
    let stated = |id: &MeasureId| mentions.iter().any(|entry| entry.binding == Binding::Measure(*id));
    let unstated = own.iter().find(|id| !stated(id))?;
    let owner = |entry: &LedgerEntry| match entry.binding {
        Binding::Measure(id) => Some(cx.course.measure(id).owner),
        _ => None,
    };
    let belongs_here = |entry: &LedgerEntry| matches!(owner(entry), Some(Owner::Step { step: at, .. }) if at == step);
    let of_another =
        mentions.iter().find(|entry| matches!(owner(entry), Some(Owner::Step { step: at, .. }) if at != step));
    let culprit = match of_another {
        Some(entry) => entry,
        None if mentions.iter().any(|entry| belongs_here(entry)) => return None,
        // Spoken figures of the recipe or of a fact are small talk: only another step's may be a slip.
        None if code == Code::NotSpoken => return None,
        None => mentions.first()?,
    };
    let measure = cx.course.measure(*unstated);
    let title = &cx.lesson.steps[step].title;
    let value = crate::quantity::print::amount(&measure.amount, &cx.reference.units, Default::default());
    let text = culprit.mention.text.split_whitespace().collect::<Vec<_>>().join(" ");
    let (place, help) = match code {
        Code::NotSpoken => {
            ("in the recording ", format!("look whether {value} was meant; if another step was, nothing is wrong"))
        }
        _ => ("", format!("write {value} in the words of this step, or correct its block")),
    };
    let mut found = Diagnostic::new(
        code,
        format!("{place}“{title}” says “{text}”, but never its own {value}"),
        culprit.mention.span,
    )
    .label("this belongs to something else")
    .related(measure.span, format!("the step's own: {value}"))
    .help(help);
    if let Binding::Measure(id) = culprit.binding {
        let other = cx.course.measure(id);
        found = found.related(other.span, format!("“{text}” is {}", crate::check::words::owner(cx.course, id)));
        debug_assert_ne!(other.span, measure.span);
    }
    Some(found)
}
