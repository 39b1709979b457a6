//! Binding: which measure each mention states, and whether it states it rightly.
//!
//! By noun first: words tied to a thing can only state a measure of that thing, even if some other measure has that
//! value. Then by kind, outward from the step. What binds to nothing is a finding, never passed over.

use super::asides::Asides;
use super::candidates::{Candidate, Candidates, Reach, Ring, fraction_of};
use super::findings::{Certainty, Findings};
use super::judge::Judge;
use super::ledger::{Binding, LedgerEntry};
use super::licence;
use super::tables::{Tables, step_led_by};
use super::things::{Thing, Things};
use crate::diag::Diagnostics;
use crate::lesson::{Run, RunPlace};
use crate::prose::{Mention, scan_run, words_after, words_before};
use crate::quantity::{Amount, Dimension, Exact};
use crate::recipe::{Course, Owner, PartAmount, Spoken, words_in};
use crate::reference::Reference;
use crate::source::{MappedText, Span};
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

impl Bindings {
    pub fn extend(&mut self, other: Bindings) {
        self.entries.extend(other.entries);
        self.senses.extend(other.senses);
        self.rings.extend(other.rings);
    }
}

/// Where a group of mentions stands.
#[derive(Clone, Copy)]
struct Here<'a> {
    run: &'a Run,
    /// What the places of mentions count in: the run's own text, or all that is spoken.
    text: &'a MappedText,
    tables: &'a Tables,
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

impl Binder<'_> {
    /// Binds all mentions of a lesson, in order; `mentions` holds those of each text.
    pub fn bind(
        &self,
        runs: &[Run],
        mentions: &[Vec<Mention>],
        asides: &mut Asides,
        sink: &mut Diagnostics,
    ) -> Bindings {
        let lesson = self.lesson.map(|index| &*self.course.lessons[index]);
        let tables = Tables::new(runs, self.things, lesson);
        let mut bound = Bindings::default();
        for (run, mentions) in runs.iter().zip(mentions) {
            asides.look_in(&run.text);
            self.bind_run(Here { run, text: &run.text, tables: &tables }, mentions, asides, sink, &mut bound);
        }
        bound
    }

    /// Reads and binds what is spoken. The words are read as one text, so that a measure may run from cue to cue and
    /// from step to step; each mention is then held to the step in which it begins.
    pub fn bind_spoken(&self, spoken: &Spoken, asides: &mut Asides, sink: &mut Diagnostics) -> Bindings {
        let words = &spoken.captions.words;
        let mentions = scan_run(words, &self.reference.units, &self.things.nouns);
        asides.look_in(words);
        let tables = Tables::default();
        let mut bound = Bindings::default();
        let mut rest = mentions.as_slice();
        for (index, stretch) in spoken.stretches.iter().enumerate() {
            let is_last = index + 1 == spoken.stretches.len();
            let len = rest.partition_point(|mention| is_last || mention.range.start < stretch.words.end);
            let (own, later) = rest.split_at(len);
            self.bind_run(Here { run: &stretch.run, text: words, tables: &tables }, own, asides, sink, &mut bound);
            rest = later;
        }
        bound
    }

    fn bind_run(
        &self,
        here: Here<'_>,
        mentions: &[Mention],
        asides: &mut Asides,
        sink: &mut Diagnostics,
        bound: &mut Bindings,
    ) {
        let mut at = 0;
        while at < mentions.len() {
            let same = |other: &Mention| other.pair.is_some() && other.pair == mentions[at].pair;
            let len = 1 + mentions[at + 1..].iter().take_while(|other| same(other)).count();
            let group = &mentions[at..at + len];
            at += len;
            self.bind_group(here, group, asides, sink, bound);
        }
    }

    fn bind_group(
        &self,
        here: Here<'_>,
        group: &[Mention],
        asides: &mut Asides,
        sink: &mut Diagnostics,
        bound: &mut Bindings,
    ) {
        let mut rest = Vec::new();
        for mention in group {
            match asides.covering(mention.span) {
                Some(aside) => {
                    let lesson = self.lesson.unwrap_or_default();
                    bound.entries.push(self.entry(here.run, mention, Binding::Aside { lesson, aside }, None, true));
                }
                None => rest.push(mention.clone()),
            }
        }
        if rest.is_empty() {
            return;
        }
        let Some(resolved) = self.resolve(here, &rest, sink) else { return };
        if let Some((sense, ring)) = resolved.sense {
            bound.senses.insert(rest[0].span, sense);
            bound.rings.insert(rest[0].span, ring);
        }
        for (mention, agrees) in rest.iter().zip(&resolved.agrees) {
            bound.entries.push(self.entry(here.run, mention, resolved.binding, resolved.says, *agrees));
        }
    }

    fn entry(&self, run: &Run, mention: &Mention, binding: Binding, says: Option<Amount>, agrees: bool) -> LedgerEntry {
        LedgerEntry { lesson: self.lesson, step: run.step, mention: mention.clone(), binding, says, agrees }
    }

    /// What a group states. `None` when it turns out to be no quantity of a recipe at all: "half the dough" where no
    /// step takes a part of it.
    fn resolve(&self, here: Here<'_>, group: &[Mention], sink: &mut Diagnostics) -> Option<Resolved> {
        let first = &group[0];
        let led = || step_led_by(here.run, &self.course.lessons[self.lesson?]);
        let step = here.tables.step(here.run.place).or_else(led).or(here.run.step);
        let place = Candidates { course: self.course, reference: self.reference, lesson: self.lesson, step };
        let named = self.named_things(here, first);
        let judge = Judge {
            place: &place,
            oven: place.oven(&here.run.text.text),
            by_density: named.is_some() || group.len() > 1,
        };
        let findings = Findings { course: self.course, units: &self.reference.units, judge: &judge, text: here.text };
        if first.amount.unit() == self.reference.units.fraction() {
            return self.resolve_part(&place, first, &named, &findings, sink);
        }
        let fits = |candidate: &Candidate| group.iter().any(|mention| judge.comparable(mention, candidate));
        let all: Vec<Candidate> =
            self.candidates(here, &place, first, &named).into_iter().filter(|candidate| fits(candidate)).collect();
        let certainty = if named.is_some() { Certainty::Named } else { Certainty::ByKind };
        if let Some(known) = self.senses.get(&first.span).and_then(|sense| all.get(*sense)) {
            let agrees: Vec<bool> = group.iter().map(|mention| judge.states(mention, known)).collect();
            findings.disagree(group, &agrees, known, &[], Certainty::Known, sink);
            return Some(Resolved::of(known, agrees, &all));
        }
        if let Some(best) = judge.best(group, &all) {
            return Some(self.resolve_best(&findings, group, &best, &all, certainty, sink));
        }
        if let Some(end) = judge.journey(first, &all) {
            return Some(Resolved::of(&end, vec![true; group.len()], &all));
        }
        if let [a, b] = group
            && b.marks.equals
            && judge.same_amount(a, b)
        {
            return None; // "1 tbsp = 15 mL" explains a unit
        }
        let agrees = vec![false; group.len()];
        let near: Vec<Candidate> = all.iter().filter(|candidate| candidate.ring == Ring::Own).copied().collect();
        if let Some(nearest) = judge.nearest(first, &near) {
            findings.disagree(group, &agrees, &nearest, &near, certainty, sink);
            return Some(Resolved::of(&nearest, agrees, &all));
        }
        let others = judge.nearest(first, &all);
        let names = named.as_deref().map(|things| self.thing_name(things));
        findings.unknown(first, names.as_deref(), step.is_some(), others.as_ref(), sink);
        Some(Resolved { binding: Binding::Nothing, says: None, agrees, sense: None })
    }

    /// A measure that at least one of the group states.
    fn resolve_best(
        &self,
        findings: &Findings<'_>,
        group: &[Mention],
        best: &Candidate,
        all: &[Candidate],
        certainty: Certainty,
        sink: &mut Diagnostics,
    ) -> Resolved {
        let judge = findings.judge;
        let agrees: Vec<bool> = group.iter().map(|mention| judge.states(mention, best)).collect();
        if agrees.contains(&false) {
            findings.disagree(group, &agrees, best, all, certainty, sink);
        } else if let [a, b, ..] = group
            && !judge.pair_holds(a, b, best)
        {
            findings.pair_apart(a, b, best, sink);
            return Resolved::of(best, vec![false; group.len()], all);
        } else if certainty == Certainty::ByKind {
            let stated = |candidate: &&Candidate| group.iter().all(|mention| judge.states(mention, candidate));
            let other = all.iter().filter(stated).find(|other| self.scales(best) != self.scales(other));
            if let Some(other) = other.filter(|other| other.ring == best.ring) {
                findings.unclear(&group[0], best, other, sink);
            }
        }
        Resolved::of(best, agrees, all)
    }

    /// All measures that a mention could state where it stands, the nearest first.
    fn candidates(
        &self,
        here: Here<'_>,
        place: &Candidates<'_>,
        mention: &Mention,
        named: &Option<Vec<Thing>>,
    ) -> Vec<Candidate> {
        let text = &here.text.text;
        let sentence = licence::sentence(text, mention.range.clone());
        // A cell in a step, or in a row that names one, is held to that step as the step's own words are.
        let cell = matches!(here.run.place, RunPlace::TableCell { .. });
        let alone = match here.run.place {
            RunPlace::TableCell { .. } => place.step.is_none(),
            place => matches!(place, RunPlace::Footnote | RunPlace::Picture),
        };
        let words = licence::Words::new(&sentence, alone);
        // "for 5 °C", "takes 92 °C": a reading where only a time can stand states nothing.
        let before = words_before(text, mention.range.start, 1);
        let takes_time =
            before.first().is_some_and(|word| matches!(word.as_str(), "for" | "takes" | "lasts" | "another"));
        // "at 5 minutes (41 °F)": a time where only a reading can stand.
        let bracket = text[mention.range.end..].trim_start().strip_prefix('(').and_then(|rest| rest.split_once(')'));
        let is_reading = before.first().is_some_and(|word| word == "at")
            && bracket.is_some_and(|(inner, _)| inner.chars().count() < 12 && inner.contains(['°', '℃', '℉']));
        if takes_time && mention.dimension() == Dimension::Temperature
            || is_reading && mention.dimension() == Dimension::Time
        {
            return Vec::new();
        }
        if let Some(keeping) = self.keeping(place, text, mention) {
            return keeping;
        }
        if let Some(key) = place.named_by(text, mention) {
            return vec![key];
        }
        let mut list = match named {
            Some(things) => {
                // Tables gather the amounts of a whole recipe wherever they stand.
                let whole = cell || whole_is_meant(text, mention);
                let parts = cell || licence::speaks_of_parts(&sentence);
                let mut list = self.named_candidates(place, things, Reach { whole, parts });
                if licence::speaks_of_a_kit(&sentence) {
                    let packed = place.packed(things);
                    // Outside of a step such words speak of nothing else.
                    if place.step.is_none() && !packed.is_empty() {
                        list.clear();
                    }
                    list.extend(packed);
                }
                list
            }
            None => {
                let mut list = self.weakly_named(place, mention);
                list.extend(place.of_step());
                list.extend(place.outward());
                list
            }
        };
        if mention.amount.per.is_some() {
            // A dose is declared wherever it is first needed.
            list.extend(place.outward().into_iter().filter(|candidate| candidate.per.is_some()));
        }
        // Where the step itself puts something in, an amount without a name is of that.
        let own = list.iter().any(|candidate| {
            let bulk = matches!(mention.dimension(), Dimension::Mass | Dimension::Volume);
            candidate.ring == Ring::Own && bulk && candidate.low.quantity.dimension() == mention.dimension()
        });
        let of_another = |candidate: &Candidate| own && candidate.ring != Ring::Own && self.scales(candidate);
        let fits = |candidate: &Candidate| {
            named.is_some()
                || licence::entitled(place, mention, candidate, &words)
                    && (!of_another(candidate)
                        || alone
                        || if self.goes_in(candidate) {
                            licence::speaks_of_parts(&sentence)
                        } else {
                            licence::speaks_of_yield(&sentence)
                        })
        };
        let of_this = |candidate: &Candidate| !licence::is_share_of_another(place, candidate, &words);
        list.into_iter().filter(fits).filter(of_this).collect()
    }

    /// "keeps for four days" can only state how long something keeps.
    fn keeping(&self, place: &Candidates<'_>, text: &str, mention: &Mention) -> Option<Vec<Candidate>> {
        if mention.dimension() != Dimension::Time {
            return None;
        }
        let before = words_before(text, mention.range.start, 3);
        let is_keeping = |word: &str| matches!(word, "keeps" | "keep" | "lasts");
        let near = before.iter().take(if before.first().is_some_and(|word| word == "for") { 2 } else { 1 });
        // "keeps for 10 days in the fridge, or for 12 weeks in the freezer"
        let goes_on =
            place.step.is_none() && matches!(&before[..], [last, joint, ..] if last == "for" && joint == "or");
        let sentence = || licence::sentence(text, mention.range.clone());
        let keeps = near.into_iter().any(|word| is_keeping(word)) || goes_on && words_in(&sentence()).any(is_keeping);
        if !keeps {
            return None;
        }
        let clause = licence::clause(text, mention.range.clone());
        let mut own: Vec<(usize, Candidate)> = Vec::new();
        for keeping in self.lesson.and_then(|index| self.course.lessons[index].recipe.as_ref())?.keeps.iter() {
            // "12 weeks in the freezer" speaks of one of several ways to keep.
            let names = keeping.what.iter().chain([&keeping.place]).map(|text| text.text.as_str());
            let score = names.map(|name| licence::shared_words(name, &clause)).sum();
            own.push((score, place.plain(keeping.time, Ring::Own)));
        }
        let most = own.iter().map(|(score, _)| *score).max()?;
        Some(own.into_iter().filter(|(score, _)| *score == most).map(|(_, candidate)| candidate).collect())
    }

    /// Things that the words tie firmly to a mention, where its kind can be measured of a thing.
    fn named_things(&self, here: Here<'_>, mention: &Mention) -> Option<Vec<Thing>> {
        let hit = mention.nouns.iter().find(|hit| hit.firm);
        let firm = hit.map(|hit| self.things.meanings(hit.noun));
        let row = || here.tables.things(here.run.place).map(<[Thing]>::to_vec);
        match mention.dimension() {
            Dimension::Mass | Dimension::Volume | Dimension::Count => firm.or_else(row),
            Dimension::Share if mention.amount.unit() == self.reference.units.fraction() => firm,
            // "2 % salt" is the salt's share; "2 % of the flour" is a share of the flour.
            Dimension::Share => {
                let things = hit.filter(|hit| !hit.of).and(firm).or_else(row)?;
                let own = things.iter().filter(|thing| matches!(thing, Thing::Ingredient(_)));
                let own: Vec<Thing> = own.copied().collect();
                (!own.is_empty()).then_some(own)
            }
            // A cut is not the size of what is cut; a tin's is the tin's.
            Dimension::Length => firm.filter(|things| things.iter().any(|thing| matches!(thing, Thing::Equipment(_)))),
            _ => None,
        }
    }

    fn named_candidates(&self, place: &Candidates<'_>, things: &[Thing], reach: Reach) -> Vec<Candidate> {
        let mut list = place.of_things(things, reach);
        list.extend(place.named_here());
        if things.iter().all(|thing| matches!(thing, Thing::Pantry(_) | Thing::Named(_))) {
            // Not an ingredient here: only a measure declared for words can be meant, never an ingredient's amount.
            let declared = place.outward();
            list.extend(declared.into_iter().filter(|candidate| {
                matches!(self.course.measure(candidate.measure).owner, Owner::Step { .. } | Owner::Fact { .. })
            }));
        }
        list
    }

    fn weakly_named(&self, place: &Candidates<'_>, mention: &Mention) -> Vec<Candidate> {
        if !matches!(mention.dimension(), Dimension::Mass | Dimension::Volume | Dimension::Count) {
            return Vec::new();
        }
        let things: Vec<Thing> = mention.nouns.iter().flat_map(|hit| self.things.meanings(hit.noun)).collect();
        place.of_things(&things, Reach::default())
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
            let taken = match part.amount {
                PartAmount::Rest => place.left_before(ingredient, place.step?),
                amount => fraction_of(self.course, amount, self.course.measure(total).amount.high.quantity),
            };
            let agrees = taken.is_none_or(|taken| taken == said);
            if !agrees {
                findings.wrong_part(mention, part, taken.unwrap_or(Exact::ONE), sink);
            }
            let measure = match part.amount {
                PartAmount::Fraction(_, id) | PartAmount::Amount(id) => id,
                _ => total,
            };
            return Some(Resolved {
                binding: Binding::Measure(measure),
                says: None,
                agrees: vec![agrees],
                sense: None,
            });
        }
        if named.is_none() && !step.add.is_empty() {
            // "half of it", and nothing in the sentence says of what: refused, not guessed.
            findings.part_of_what(mention, step.span, sink);
            return Some(Resolved { binding: Binding::Nothing, says: None, agrees: vec![false], sense: None });
        }
        None
    }

    /// Whether a measure grows with the batch.
    fn scales(&self, candidate: &Candidate) -> bool {
        let owner = self.course.measure(candidate.measure).owner;
        matches!(owner, Owner::Ingredient { .. } | Owner::Part { .. } | Owner::Product { .. } | Owner::Leftover { .. })
    }

    /// Whether a measure is of something that goes in.
    fn goes_in(&self, candidate: &Candidate) -> bool {
        matches!(self.course.measure(candidate.measure).owner, Owner::Ingredient { .. } | Owner::Part { .. })
    }

    fn thing_name(&self, things: &[Thing]) -> String {
        let recipe = self.lesson.and_then(|lesson| self.course.lessons[lesson].recipe.as_ref());
        let name = things.first().and_then(|thing| match (*thing, recipe) {
            (Thing::Pantry(row), _) => Some(self.reference.pantry.get(row).name.clone()),
            (Thing::Ingredient(index), Some(recipe)) => Some(recipe.ingredients[index].name.clone()),
            (Thing::Equipment(index), Some(recipe)) => Some(recipe.equipment[index].name.text.clone()),
            (Thing::Leftover(index), Some(recipe)) => Some(recipe.leaves[index].name.clone()),
            (Thing::Named(id), _) => self.course.measure(id).path.rsplit('.').next().map(|key| key.replace('-', " ")),
            (Thing::Product, Some(recipe)) => recipe.makes.as_ref().map(|product| product.name.clone()),
            _ => None,
        });
        name.unwrap_or_default()
    }
}

/// Whether the words speak of all of an ingredient where a step takes a part: "of the 9 g of salt, add 6 g".
fn whole_is_meant(text: &str, mention: &Mention) -> bool {
    let before = words_before(text, mention.range.start, 2);
    let is = |at: usize, words: &[&str]| before.get(at).is_some_and(|word| words.contains(&word.as_str()));
    let after = words_after(text, mention.range.end, 6);
    let summed = after.iter().any(|word| matches!(word.as_str(), "all" | "altogether" | "total"));
    summed || is(0, &["all", "whole", "total"]) || is(0, &["the", "your"]) && is(1, &["of", "all", "whole"])
}
