//! What is known of a step: what was put in so far, how warm it is, how long it stands.

use super::facts::{Facts, Scene, flag, name_words, number};
use super::lesson::{SOUR, makes_hot};
use super::truth::{Fact, Truth};
use crate::kitchen::keeping::keeps_by_itself;
use crate::kitchen::ways::{forks, walks};
use crate::quantity::Bound;
use crate::recipe::{Deed, Step, words_in};
use std::collections::BTreeSet;

/// The hottest that a room is, in °C.
const ROOM: f64 = 35.0;
/// How warm it is before anything was read.
const NOTHING_READ: (f64, f64) = (f64::NEG_INFINITY, ROOM);
/// The coolest that it is.
const COOL_ROOM: f64 = 15.0;
/// After so many minutes without a reading, what was hot may be as warm as the room.
const COOLS_IN: f64 = 120.0;
/// From so hot on boiling sugar is not boiling water.
const SUGAR_BOILS: f64 = 104.0;
/// So hot is an oven, and no pan of sugar (common practice).
const SUGAR_BURNS: f64 = 200.0;
/// What comes from the heat is at least so hot.
const HOT: f64 = 57.0;
/// The warmth in which vegetables sour well (North Dakota State Extension: 60 to 75 °F).
const FERMENT: (f64, f64) = (15.5, 24.0);

/// What is known before a step begins, and once its own things are in.
#[derive(Debug, Clone)]
pub(super) struct Stage {
    /// Ingredients so far, its own included.
    pub inside: BTreeSet<usize>,
    /// How warm it is before the step, as two ends.
    pub before: (f64, f64),
    /// Whether it was baked, or boiled with sugar, before.
    pub done: bool,
    /// Whether something soured in it before.
    pub soured: bool,
}

impl Scene<'_> {
    /// What each step begins with, on any of the ways that lead to it.
    pub fn stages(&self) -> Vec<Stage> {
        let steps = &self.lesson.steps;
        let mut stages: Vec<Option<Stage>> = vec![None; steps.len()];
        for walk in walks(steps) {
            let mut inside = BTreeSet::new();
            let mut warmth = NOTHING_READ;
            let (mut done, mut soured) = (false, false);
            for (at, &index) in walk.steps.iter().enumerate() {
                let own = steps[index].add.iter().map(|part| part.ingredient);
                inside.extend(own.clone());
                let stage = if self.stands_apart(index, &walk.steps[..at]) {
                    Stage { inside: own.collect(), before: NOTHING_READ, done: false, soured: false }
                } else {
                    Stage { inside: inside.clone(), before: warmth, done, soured }
                };
                stages[index] = Some(match stages[index].take() {
                    Some(other) => other.or(stage),
                    None => stage,
                });
                warmth = self.after(index, warmth);
                let deeds = self.deeds_of(index);
                done |= deeds.iter().any(|deed| matches!(deed, Deed::Bake | Deed::BoilSugar));
                soured |= deeds.iter().any(|deed| matches!(deed, Deed::Ferment | Deed::Culture));
            }
        }
        let nothing = || Stage { inside: BTreeSet::new(), before: NOTHING_READ, done: false, soured: false };
        stages.into_iter().map(|stage| stage.unwrap_or_else(nothing)).collect()
    }

    /// Whether a step beside another puts its own things into a vessel that none of the steps so far has used.
    fn stands_apart(&self, index: usize, before: &[usize]) -> bool {
        let step = &self.lesson.steps[index];
        let used = |vessel: &usize| before.iter().any(|one| self.lesson.steps[*one].vessels.contains(vessel));
        step.beside.is_some() && !step.add.is_empty() && !step.vessels.is_empty() && !step.vessels.iter().any(used)
    }

    /// How warm it is after a step: as it was last read, or between that and the room.
    fn after(&self, index: usize, before: (f64, f64)) -> (f64, f64) {
        let step = &self.lesson.steps[index];
        if step.beside.is_some() {
            return before; // something else in another vessel
        }
        if let Some(id) = step.at.or(step.to) {
            return self.range(id);
        }
        if self.deeds_of(index).iter().any(makes_hot) {
            return (before.0.min(COOL_ROOM), f64::INFINITY); // nobody says how hot
        }
        let long = self.minutes(step).is_some_and(|(low, _)| low >= COOLS_IN);
        let high = if long { ROOM } else { before.1.max(ROOM) };
        (before.0.min(COOL_ROOM), high)
    }

    /// Whether what is made may be warm when the last step is done, by any of the ways through the lesson: what nobody
    /// read since it was hot is taken to be as hot still.
    pub fn ends_warm(&self) -> bool {
        let steps = &self.lesson.steps;
        let last = |walk: Vec<usize>| walk.into_iter().fold(NOTHING_READ, |warmth, step| self.after(step, warmth));
        walks(steps).into_iter().any(|walk| last(walk.steps).1 > ROOM)
    }

    fn minutes(&self, step: &Step) -> Option<(f64, f64)> {
        let (low, high) = self.range(step.lasts.or(step.takes)?);
        Some((low / 60.0, high / 60.0))
    }

    /// What is done at a step: as its author says, and as its vessels and its ingredients tell.
    pub fn deeds_of(&self, index: usize) -> Vec<Deed> {
        let step = &self.lesson.steps[index];
        let mut deeds: Vec<Deed> = step.does.clone().unwrap_or_default();
        let names = step.vessels.iter().filter_map(|vessel| self.recipe()?.equipment.get(*vessel));
        for name in names.map(|one| one.name.text.to_lowercase()) {
            let words: Vec<&str> = words_in(&name).collect();
            let tells = |word: &str| words.last() == Some(&word) || word == "microwave" && words.contains(&word);
            let denied = |not: &[String]| not.iter().any(|word| words.contains(&word.as_str()));
            let signs = self.reference.cautions.signs.iter();
            let signs = signs.filter(|sign| tells(&sign.word) && !denied(&sign.unless));
            deeds.extend(signs.filter_map(|sign| Deed::from_name(&sign.does)));
        }
        let earlier = self.lesson.steps[..=index].iter().flat_map(|step| &step.add);
        let sweet =
            earlier.filter_map(|part| self.ingredients().get(part.ingredient)).any(|one| self.is(one, &["sugar"]));
        let hot = step.to.or(step.at).is_some_and(|id| (SUGAR_BOILS..SUGAR_BURNS).contains(&self.range(id).0));
        if sweet && hot && !deeds.iter().any(|deed| matches!(deed, Deed::Bake | Deed::Fry)) {
            deeds.push(Deed::BoilSugar);
        }
        deeds
    }

    /// In what it lies: the vessels of the step, else of the last that named some, by whichever way it was reached.
    fn vessels_of(&self, index: usize) -> Vec<usize> {
        let steps = &self.lesson.steps;
        let Some(last) = (0..=index).rev().find(|step| !steps[*step].vessels.is_empty()) else { return Vec::new() };
        let forks = forks(steps);
        let fork = forks.iter().find(|fork| last != index && fork.steps.contains(&last));
        let of = fork.map_or_else(|| vec![last], |fork| fork.steps.clone());
        of.into_iter().flat_map(|step| steps[step].vessels.clone()).collect()
    }

    /// The hottest that a step is, as two ends.
    fn hottest(&self, index: usize, stage: &Stage) -> (f64, f64) {
        let step = &self.lesson.steps[index];
        let readings: Vec<(f64, f64)> =
            [step.from, step.to, step.at].into_iter().flatten().map(|id| self.range(id)).collect();
        let most = |ends: &mut dyn Iterator<Item = f64>| ends.fold(f64::NEG_INFINITY, f64::max);
        let (low, high) =
            (most(&mut readings.iter().map(|ends| ends.0)), most(&mut readings.iter().map(|ends| ends.1)));
        let heats = self.deeds_of(index).iter().any(makes_hot);
        match (readings.is_empty(), step.from) {
            // Nobody says how hot.
            (true, _) if heats => (stage.before.0.min(COOL_ROOM), f64::INFINITY),
            (true, _) => (stage.before.0.min(COOL_ROOM), stage.before.1),
            (false, Some(_)) => (low, high),
            // It may begin as hot as it was before.
            (false, None) => (low, high.max(stage.before.1)),
        }
    }

    pub fn step_facts(&self, index: usize, stages: &[Stage]) -> Facts {
        let (step, stage) = (&self.lesson.steps[index], &stages[index]);
        let mut deeds = self.deeds_of(index);
        let from_the_heat = match step.from.map_or(stage.before, |id| self.range(id)) {
            (low, _) if low >= HOT => Truth::Yes,
            (_, high) if high < HOT => Truth::No,
            _ => Truth::Unknown,
        };
        // Whoever does not say what is done cools what was hot and reads cooler.
        let cooler = step.at.or(step.to).is_some_and(|id| self.range(id).1 < HOT);
        if step.does.is_none() && from_the_heat == Truth::Yes && cooler {
            deeds.push(Deed::Cool);
        }
        let does = Fact::words(deeds.iter().map(|deed| deed.name()));
        let inside = || stage.inside.iter().filter_map(|one| self.ingredients().get(*one));
        let hottest = self.hottest(index, stage);
        let touched = match step.by_hand {
            Some(by_hand) => by_hand.into(),
            None if deeds.iter().any(|deed| matches!(deed, Deed::Stretch | Deed::Knead)) => Truth::Unknown,
            None => Truth::No,
        };
        let vessels = self.vessels_of(index).into_iter().filter_map(|vessel| self.recipe()?.equipment.get(vessel));
        let tools = vessels.flat_map(|one| name_words(&one.name.text)).collect();
        let liquid =
            if inside().next().is_none() { Truth::Unknown } else { inside().any(|one| self.flows(one)).into() };
        let soured = stage.soured || deeds.iter().any(|deed| matches!(deed, Deed::Ferment | Deed::Culture));
        Facts::from([
            ("might", if step.does.is_some() { does.clone() } else { Fact::Unknown }),
            ("does", does),
            ("celsius", Fact::Number(hottest.0, hottest.1)),
            ("minutes", number(self.minutes(step))),
            ("tools", Fact::Words(tools)),
            ("liquid", flag(liquid)),
            ("touched", flag(touched)),
            ("perishable", flag(self.perishable(index, stage))),
            ("warm-too-long", flag(self.warm_too_long(step, stage))),
            ("cultured", flag(self.cultured(step, stage))),
            ("from-the-heat", flag(from_the_heat)),
            ("sour-so-far", flag(soured || inside().any(|one| self.is(one, SOUR)))),
            ("milk-so-far", flag(inside().any(|one| self.is(one, &["milk", "cream"])))),
            ("outside-ferment", flag(outside_ferment(step.at.map(|id| self.range(id))))),
        ])
    }

    /// Whether a step makes hot, by what is done or by its reading.
    pub fn is_hot(&self, index: usize) -> bool {
        let step = &self.lesson.steps[index];
        let read = step.at.or(step.to).is_some_and(|id| self.range(id).0 >= HOT);
        read || self.deeds_of(index).iter().any(makes_hot)
    }

    /// Whether what is in it spoils in the warm.
    fn perishable(&self, index: usize, stage: &Stage) -> Truth {
        if stage.done && self.recipe().is_some_and(keeps_by_itself) {
            return Truth::No;
        }
        let each = stage.inside.iter().filter(|one| **one < self.ingredients().len());
        each.fold(Truth::No, |any, one| any.or(self.spoils_at(*one, index)))
    }

    /// Whether it stands between cold and hot for longer than the law has it.
    fn warm_too_long(&self, step: &Step, stage: &Stage) -> Truth {
        let Some((low, high)) = self.minutes(step) else { return Truth::No };
        let Some(limit) = self.limit else { return Truth::Unknown };
        let long = match (low > limit.minutes, high > limit.minutes) {
            (true, _) => Truth::Yes,
            (false, true) => Truth::Unknown,
            (false, false) => Truth::No,
        };
        // Without a reading it may cool or warm towards the room while it stands.
        let unread = (stage.before.0.min(COOL_ROOM), stage.before.1.max(ROOM));
        let (coolest, warmest) = step.at.or(step.to).map_or(unread, |id| self.range(id));
        // A reading written in °F and rounded lies a little beside the limit in °C.
        let (cold, hot) = (limit.cold.max(5.0) + 0.1, limit.hot - 0.3);
        let between = match (warmest <= cold, coolest >= hot, coolest > cold && warmest < hot) {
            (true, ..) | (_, true, _) => Truth::No,
            (_, _, true) => Truth::Yes,
            _ => Truth::Unknown,
        };
        long.and(between)
    }

    /// Whether it stands warm on purpose, with all that asks for: heat-treated milk, a live starter or enough salt, a
    /// longest time, and a sign of its end.
    fn cultured(&self, step: &Step, stage: &Stage) -> bool {
        let Some(does) = &step.does else { return false };
        let ferments = does.contains(&Deed::Ferment);
        if !ferments && !does.iter().any(|deed| matches!(deed, Deed::Culture | Deed::Prove)) {
            return false;
        }
        let inside: Vec<usize> = stage.inside.iter().copied().filter(|one| *one < self.ingredients().len()).collect();
        let has = |tags: &[&str]| inside.iter().any(|one| self.is(&self.ingredients()[*one], tags));
        let treated = inside.iter().all(|one| !self.is_untreated(*one) || self.is_held(*one));
        let alive = has(&["live-starter"]) || ferments && has(&["salt"]);
        let ends = step.lasts.is_some_and(|id| self.course.measure(id).amount.bound != Bound::AtLeast);
        treated && alive && ends && step.until.is_some()
    }
}

impl Stage {
    /// What may be true on either of two ways.
    fn or(mut self, other: Stage) -> Stage {
        self.inside.extend(other.inside);
        let (low, high) = (self.before.0.min(other.before.0), self.before.1.max(other.before.1));
        Stage {
            inside: self.inside,
            before: (low, high),
            done: self.done && other.done,
            soured: self.soured || other.soured,
        }
    }
}

fn outside_ferment(at: Option<(f64, f64)>) -> Truth {
    match at {
        Some((low, high)) if low >= FERMENT.0 && high <= FERMENT.1 => Truth::No,
        Some(_) => Truth::Yes,
        None => Truth::Unknown,
    }
}
