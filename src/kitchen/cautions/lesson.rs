//! What is known of a lesson as a whole.

use super::facts::{Facts, Scene, flag, number, one_word};
use super::truth::{Fact, Truth};
use crate::kitchen::bulk::{End, bulk};
use crate::quantity::{Dimension, Exact};
use crate::recipe::{Deed, Eaten, MeasureId, Sanitiser, SanitiserKind};

/// Tags of what is sour.
pub(super) const SOUR: &[&str] = &["acid", "vinegar", "whey"];
/// From so hot on a thing burns hands (common practice, see the fact `hot-for-hands`).
const BURNS: f64 = 49.0;
/// From so hot on water scalds at once.
const SCALDS: f64 = 60.0;
/// Of a tested proportion, what a scale moves it.
const SAME: f64 = 0.01;

impl Scene<'_> {
    pub fn lesson_facts(&self) -> Facts {
        let guests = &self.course.guests;
        let recipe = self.recipe();
        let deeds: Vec<Deed> = (0..self.lesson.steps.len()).flat_map(|step| self.deeds_of(step)).collect();
        let all_tags = self.ingredients().iter().filter_map(|one| self.entry(one)).flat_map(|entry| &entry.tags);
        let hottest = self.lesson.steps.iter().flat_map(|step| [step.to, step.at, step.from]).flatten();
        let hottest = hottest.map(|id| self.range(id).1.min(1e9)).fold(f64::NEG_INFINITY, f64::max);
        let reads_heat = hottest > f64::NEG_INFINITY;
        let bleach = self.lesson.sanitiser.as_ref().is_some_and(|one| one.kind == SanitiserKind::Bleach);
        let cuts = deeds.iter().any(|deed| matches!(deed, Deed::Cut | Deed::Blend | Deed::Fry | Deed::BoilSugar));
        let does = |wanted: Deed| deeds.contains(&wanted);
        let milk = self.ingredients().iter().any(|one| self.is(one, &["milk", "cream"]));
        let sold = guests.eaten.as_ref().is_some_and(|eaten| eaten.contains(&Eaten::Sold));
        let kind =
            recipe.map_or(Fact::Words(Default::default()), |recipe| one_word(recipe.kind.map(|kind| kind.name())));
        let eaten =
            guests.eaten.as_ref().map_or(Fact::Unknown, |eaten| Fact::words(eaten.iter().map(|one| one.name())));
        let mut facts = Facts::from([
            ("law", Fact::word(guests.law.name())),
            ("kind", kind),
            ("eaten", eaten),
            ("deeds", Fact::words(deeds.iter().map(|deed| deed.name()))),
            ("tags", Fact::words(all_tags.map(String::as_str))),
            ("altitude", Fact::number(self.course.place.metres.to_f64())),
            ("sugar-share", number(self.sugar_share().map(|share| (share, share)))),
            ("makes-food", flag(recipe.is_some_and(|recipe| recipe.makes.is_some()))),
            ("allergen", flag(self.has_allergen())),
            ("danger", flag(hottest >= BURNS || cuts || bleach)),
            ("reads-heat", flag(reads_heat)),
            ("heats", flag(hottest >= SCALDS || does(Deed::Heat))),
            ("sold", flag(sold)),
            ("children", flag(guests.children)),
            ("sour", flag(self.has_sour())),
            ("cleared", flag(does(Deed::ClearAway))),
            ("keeps-warm", flag(self.keeps_warm())),
            ("carries-cold", flag(self.carries_cold())),
            ("tested-kept", flag(self.tested_kept())),
            ("ferments", flag(does(Deed::Ferment))),
            ("milk", flag(milk)),
        ]);
        facts.extend(self.sanitiser_facts());
        facts
    }

    fn sanitiser_facts(&self) -> Facts {
        let Some(sanitiser) = &self.lesson.sanitiser else {
            return Facts::from([("sanitiser", Fact::word(SanitiserKind::None.name()))]);
        };
        Facts::from([
            ("sanitiser", Fact::word(sanitiser.kind.name())),
            ("sanitiser-ppm", number(self.ppm(sanitiser).map(|ppm| (ppm, ppm)))),
            ("sanitiser-celsius", number(sanitiser.at.map(|id| self.range(id)))),
            ("rinsed", flag(sanitiser.rinsed)),
        ])
    }

    /// mg of chlorine in a litre: strength × amount in amount + water. A per cent of bleach is 10 g in a litre.
    fn ppm(&self, sanitiser: &Sanitiser) -> Option<f64> {
        let millilitres = |id: Option<MeasureId>| {
            let amount = &self.course.measure(id?).amount;
            (amount.dimension() == Dimension::Volume).then(|| End::High.of(amount).to_f64())
        };
        let strength = End::High.of(&self.course.measure(sanitiser.strength?).amount).to_f64();
        let (amount, water) = (millilitres(sanitiser.amount)?, millilitres(sanitiser.water)?);
        Some(strength * 1e6 * amount / (amount + water))
    }

    fn has_allergen(&self) -> bool {
        self.ingredients()
            .iter()
            .filter_map(|one| self.entry(one))
            .any(|entry| !entry.allergens.is_empty() || !entry.allergens_us.is_empty())
    }

    /// Whether something sour goes in or is left.
    fn has_sour(&self) -> bool {
        let left = self.recipe().into_iter().flat_map(|recipe| &recipe.leaves);
        self.ingredients().iter().any(|one| self.is(one, SOUR))
            || left.flat_map(|left| [&left.id, &left.name]).any(|name| name.contains("whey") || name.contains("brine"))
    }

    /// Whether what is made stands outside of the fridge.
    fn keeps_warm(&self) -> Truth {
        let cold = self.limit.map_or(5.0, |limit| limit.cold);
        self.keeps().iter().fold(Truth::No, |any, keep| {
            let warm = keep.at.map_or(Truth::Unknown, |id| (self.range(id).1 > cold.max(5.0)).into());
            any.or(warm)
        })
    }

    /// Whether something that spoils is carried home.
    fn carries_cold(&self) -> Truth {
        (0..self.keeps().len()).fold(Truth::No, |any, keep| any.or(self.spoils(keep)))
    }

    /// Whether the amounts stand in the proportion that was tested; unknown where none is named.
    fn tested_kept(&self) -> Truth {
        let Some(tested) = self.recipe().and_then(|recipe| recipe.tested.as_ref()) else { return Truth::Unknown };
        let ratio = |(index, amount, _): &(usize, crate::quantity::Amount, crate::source::Span)| {
            let own = &self.course.measure(self.ingredients()[*index].amount?).amount;
            let scales = self.course.measure(self.ingredients()[*index].amount?).scales;
            let tested = End::High.of(amount);
            let same = own.dimension() == amount.dimension() && tested > Exact::ZERO && scales;
            same.then(|| (End::High.of(own) / tested).to_f64())
        };
        let ratios: Vec<Option<f64>> = tested.amounts.iter().map(ratio).collect();
        let Some(ratios) = ratios.into_iter().collect::<Option<Vec<f64>>>() else { return Truth::No };
        let least = ratios.iter().copied().fold(f64::INFINITY, f64::min);
        let most = ratios.iter().copied().fold(0.0, f64::max);
        (!ratios.is_empty() && most - least <= SAME * most).into()
    }

    /// Sugar in 100 parts of sugar and fruit, by weight.
    fn sugar_share(&self) -> Option<f64> {
        let grams = |tags: &[&str]| {
            let own = self.ingredients().iter().filter(|one| self.is(one, tags));
            own.map(|one| Some(bulk(self.course, self.reference, one.amount?, one.pantry, End::High).grams?.to_f64()))
                .sum::<Option<f64>>()
        };
        let (sugar, fruit) = (grams(&["sugar"])?, grams(&["fruit"])?);
        (sugar + fruit > 0.0).then(|| 100.0 * sugar / (sugar + fruit))
    }
}
