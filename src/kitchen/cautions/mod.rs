//! Cautions: the rules of `shared/cautions.toml` over the typed model of a lesson.
//!
//! A rule may add a caution; none says that anything is safe. What is not known counts as the dangerous case, except in
//! notes. Words of the lesson are never read.

mod facts;
mod lesson;
mod parts;
mod steps;
mod truth;

pub(crate) use self::facts::PACKING;
use self::facts::{Facts, Scene};
use self::truth::{Truth, holds};
use crate::recipe::{Course, Overrule};
use crate::reference::{CautionRule, CautionSeverity, Reference, Scope};

/// A rule that applies, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution<'a> {
    /// The rule.
    pub rule: &'a CautionRule,
    /// Where the danger is.
    pub place: CautionPlace,
    /// What it says, with the figures of the law that holds.
    pub say: String,
    /// What nobody said, in words, and what therefore counts as the dangerous case; empty where all is known.
    pub unsaid: Vec<&'static str>,
    /// The author's reason why it does not hold here.
    pub overruled: Option<&'a Overrule>,
}

/// Where a danger is; indices into the lesson and its recipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CautionPlace {
    /// In the lesson as a whole.
    Lesson,
    /// In an ingredient.
    Ingredient(usize),
    /// In a step.
    Step(usize),
    /// In how something is kept.
    Keeping(usize),
}

/// Whether a lesson's block may overrule this rule: what only warns is always printed.
fn may_be_overruled(rule: &CautionRule) -> bool {
    rule.severity == CautionSeverity::Block
}

/// All cautions of a lesson, in the order of the table, each at every place where it holds.
pub fn cautions<'a>(course: &'a Course, reference: &'a Reference, lesson: usize) -> Vec<Caution<'a>> {
    let scene = Scene::new(course, reference, lesson);
    let whole = scene.lesson_facts();
    let stages = scene.stages();
    let count = |scope| match scope {
        Scope::Lesson => 1,
        Scope::Ingredient => scene.ingredients().len(),
        Scope::Step => scene.lesson.steps.len(),
        Scope::Keeping => scene.keeps().len(),
    };
    let about = |scope| -> Vec<Facts> {
        let of = |index| match scope {
            Scope::Lesson => Facts::new(),
            Scope::Ingredient => scene.ingredient_facts(index, &stages),
            Scope::Step => scene.step_facts(index, &stages),
            Scope::Keeping => scene.keeping_facts(index),
        };
        (0..count(scope)).map(of).collect()
    };
    let known = [Scope::Lesson, Scope::Ingredient, Scope::Step, Scope::Keeping].map(|scope| (scope, about(scope)));
    let mut found = Vec::new();
    for rule in &reference.cautions.rules {
        let places = known.iter().filter(|(scope, _)| *scope == rule.scope).flat_map(|(_, places)| places);
        for (index, own) in places.enumerate() {
            if let Some(unsaid) = applies(rule, own, &whole) {
                let place = match rule.scope {
                    Scope::Lesson => CautionPlace::Lesson,
                    Scope::Ingredient => CautionPlace::Ingredient(index),
                    Scope::Step => CautionPlace::Step(index),
                    Scope::Keeping => CautionPlace::Keeping(index),
                };
                let overrules = scene.lesson.overrules.iter();
                let overruled = overrules.filter(|_| may_be_overruled(rule)).find(|one| one.id == rule.id);
                found.push(Caution { rule, place, say: scene.in_words(&rule.say), unsaid, overruled });
            }
        }
    }
    found
}

/// Whether a rule applies, and which of its facts nobody stated.
fn applies(rule: &CautionRule, own: &Facts, whole: &Facts) -> Option<Vec<&'static str>> {
    let known = |test: &crate::reference::Test| {
        let fact = own.get(test.fact.as_str()).or_else(|| whole.get(test.fact.as_str()));
        holds(test, fact)
    };
    let mut truth = Truth::Yes;
    let mut unsaid = Vec::new();
    let tests = rule.when.iter().map(|test| (test, known(test)));
    for (test, holds) in tests.chain(rule.unless.iter().map(|test| (test, known(test).not()))) {
        truth = truth.and(holds);
        if holds == Truth::Unknown {
            unsaid.extend(facts::in_words(&test.fact));
        }
    }
    let fires = truth == Truth::Yes || truth == Truth::Unknown && rule.severity != CautionSeverity::Note;
    fires.then_some(unsaid)
}

/// The step at which a caution is shown: its own, or the first that takes the ingredient.
pub fn shown_at(course: &Course, lesson: usize, place: CautionPlace) -> Option<usize> {
    match place {
        CautionPlace::Step(step) => Some(step),
        CautionPlace::Ingredient(ingredient) => {
            let takes = |step: &crate::recipe::Step| step.add.iter().any(|part| part.ingredient == ingredient);
            course.lessons[lesson].steps.iter().position(takes)
        }
        CautionPlace::Lesson | CautionPlace::Keeping(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::facts::{KNOWN, Known};
    use super::*;
    use crate::quantity::Home;
    use std::collections::BTreeSet;

    #[test]
    fn the_table_names_facts_that_are_there_and_every_fact_is_named() {
        let reference = Reference::built_in(Home::Uk);
        assert!(reference.cautions.rules.len() > 60);
        let mut named = BTreeSet::new();
        for rule in &reference.cautions.rules {
            for test in rule.when.iter().chain(&rule.unless) {
                let fits = |known: &&Known| {
                    known.name == test.fact && (known.scope == Scope::Lesson || known.scope == rule.scope)
                };
                assert!(KNOWN.iter().any(|known| fits(&known)), "{}: {}", rule.id, test.fact);
                named.insert(test.fact.clone());
            }
        }
        let idle: Vec<&str> = KNOWN.iter().map(|known| known.name).filter(|name| !named.contains(*name)).collect();
        assert_eq!(idle, [""; 0], "facts that no rule asks for");
    }

    #[test]
    fn every_rule_has_its_source_and_what_stops_says_what_to_change() {
        let reference = Reference::built_in(Home::Uk);
        let ids: BTreeSet<&str> = reference.cautions.rules.iter().map(|rule| rule.id.as_str()).collect();
        assert_eq!(ids.len(), reference.cautions.rules.len(), "an id stands twice");
        for rule in &reference.cautions.rules {
            let source = &rule.source;
            assert!(source == "limits" || reference.sources.contains_key(source), "{}: {source}", rule.id);
            assert_eq!(rule.mend.is_some(), rule.severity == CautionSeverity::Block, "{}", rule.id);
            let text = format!("{} {}", rule.title, rule.say).to_lowercase();
            let claims = ["is safe", "are safe", "safely", "certified", "approved", "shelf-stable"];
            assert!(!claims.iter().any(|claim| text.contains(claim)), "{} claims too much", rule.id);
        }
        for limit in &reference.cautions.limits {
            assert!(reference.sources.contains_key(&limit.source), "{}", limit.law);
        }
    }
}
