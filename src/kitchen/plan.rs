//! When each step of a lesson begins and ends, by the critical path method: each step as early as the steps before it
//! allow, and as late as it may without the whole becoming longer.
//!
//! A step comes after all that is still open before it. With `after` it waits only for the steps it names; with `while`
//! it begins together with another. A step that names no time takes none.

use super::bulk::End;
use super::ways::Walk;
use crate::recipe::{Course, Step};

/// Seconds from the start.
pub type Seconds = i64;

/// The least and the most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Bounds {
    /// If all goes quickly.
    pub least: Seconds,
    /// If nothing does.
    pub most: Seconds,
}

/// A step in its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slot {
    /// Which step.
    pub step: usize,
    /// When it begins.
    pub begins: Bounds,
    /// How long it takes: what it usually takes and what must pass.
    pub lasts: Bounds,
    /// When it may begin at the latest, if every step takes its longest and the whole must not.
    pub latest: Seconds,
    /// Whether every minute lost here is a minute lost in all.
    pub critical: bool,
}

impl Slot {
    /// When it ends.
    pub fn ends(&self) -> Bounds {
        Bounds { least: self.begins.least + self.lasts.least, most: self.begins.most + self.lasts.most }
    }
}

/// The steps of one walk in time.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Plan {
    /// In the order of the lesson.
    pub slots: Vec<Slot>,
    /// How long it takes in all.
    pub total: Bounds,
    /// How long hands are busy.
    pub hands_on: Bounds,
}

/// The plan of a walk; without what is done at home where only the class counts.
pub fn plan(course: &Course, steps: &[Step], walk: &Walk, class_only: bool) -> Plan {
    let taken: Vec<usize> = walk.steps.iter().copied().filter(|step| !(class_only && steps[*step].at_home)).collect();
    let before = before(steps, &taken);
    let mut slots: Vec<Slot> = Vec::new();
    for (step, waits) in taken.iter().zip(&before) {
        let lasts = lasts(course, &steps[*step]);
        let begins = begins(&slots, waits);
        slots.push(Slot { step: *step, begins, lasts, latest: 0, critical: false });
    }
    let total = slots.iter().map(Slot::ends).fold(Bounds::default(), later);
    for at in (0..slots.len()).rev() {
        let must_end = before.iter().enumerate().filter_map(|(next, waits)| match waits {
            Waits::For(all) if all.contains(&at) => Some(slots[next].latest),
            _ => None,
        });
        let ends = must_end.min().unwrap_or(total.most);
        let together = before.iter().enumerate().filter(|(_, waits)| **waits == Waits::With(at));
        let begins = together.map(|(next, _)| slots[next].latest).min().unwrap_or(i64::MAX);
        slots[at].latest = (ends - slots[at].lasts.most).min(begins);
        slots[at].critical = slots[at].latest == slots[at].begins.most && slots[at].lasts.most > 0;
    }
    let busy = slots.iter().filter(|slot| steps[slot.step].hands_on == Some(true)).map(|slot| slot.lasts);
    let hands_on =
        busy.fold(Bounds::default(), |sum, one| Bounds { least: sum.least + one.least, most: sum.most + one.most });
    Plan { slots, total, hands_on }
}

/// What a step waits for, by places in the walk.
#[derive(Debug, PartialEq, Eq)]
enum Waits {
    /// The ends of these.
    For(Vec<usize>),
    /// The beginning of this one.
    With(usize),
}

fn before(steps: &[Step], taken: &[usize]) -> Vec<Waits> {
    let mut open: Vec<usize> = Vec::new();
    let mut found: Vec<Waits> = Vec::new();
    for (at, index) in taken.iter().enumerate() {
        let step = &steps[*index];
        let place = |other: &usize| taken[..at].iter().position(|taken| taken == other);
        let named: Vec<usize> = step.after.iter().filter_map(place).collect();
        let waits = match step.beside.as_ref().and_then(place) {
            Some(beside) => Waits::With(beside),
            None if !named.is_empty() => Waits::For(named),
            None => Waits::For(open.clone()),
        };
        if let Waits::For(all) = &waits {
            open.retain(|other| !all.contains(other));
        }
        open.push(at);
        found.push(waits);
    }
    found
}

fn begins(slots: &[Slot], waits: &Waits) -> Bounds {
    match waits {
        Waits::With(beside) => slots[*beside].begins,
        Waits::For(all) => all.iter().map(|at| slots[*at].ends()).fold(Bounds::default(), later),
    }
}

fn later(a: Bounds, b: Bounds) -> Bounds {
    Bounds { least: a.least.max(b.least), most: a.most.max(b.most) }
}

/// How long a step takes, rounded to the second.
fn lasts(course: &Course, step: &Step) -> Bounds {
    let times = || [step.takes, step.lasts].into_iter().flatten();
    let sum = |end: End| {
        let seconds = times().map(|id| end.of(&course.measure(id).amount).to_f64());
        seconds.sum::<f64>().round() as Seconds
    };
    Bounds { least: sum(End::Low), most: sum(End::High) }
}
