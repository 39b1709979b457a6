//! What is known of a lesson as a whole.

use super::facts::{Facts, Scene, flag, number};
use super::truth::{Fact, Truth};
use crate::kitchen::bulk::{End, bulk};
use crate::kitchen::sums::setting_celsius;
use crate::kitchen::walks;
use crate::quantity::{Amount, Bound, Dimension, Exact};
use crate::recipe::{Deed, Eaten, Ingredient, MeasureId, ProductKind, Sanitiser, SanitiserKind};
use crate::reference::Storage;

/// Tags of what is sour.
pub(super) const SOUR: &[&str] = &["acid", "vinegar", "whey"];
/// From so hot on a thing burns hands (common practice, see the fact `hot-for-hands`).
const BURNS: f64 = 49.0;
/// From so hot on water scalds at once.
const SCALDS: f64 = 60.0;
/// Of a tested proportion, what a scale moves it.
const SAME: f64 = 0.01;
/// Of sugar and fruit, the sugar of a full jam, in parts of 100 (common practice: the fruit's weight in sugar).
const HALF_SUGAR: f64 = 50.0;
/// A setting point is written in whole degrees.
const WHOLE_DEGREES: f64 = 0.5;
/// What may be in a full jam: nothing that brings food for microbes of its own.
const IN_JAM: &[&str] = &["fruit", "sour-fruit", "sugar", "acid", "water", "additive", "spice"];
/// What makes curd or sour cream of milk.
const CURDLES: &[&str] = &["acid", "vinegar", "whey", "rennet", "culture", "live-starter"];
/// What is done over a flame or on something as hot, whether or not a temperature is stated.
const HOT_DEEDS: &[Deed] = &[
    Deed::Heat,
    Deed::Hold,
    Deed::BoilSugar,
    Deed::Fry,
    Deed::Bake,
    Deed::BoilJars,
    Deed::PressureCan,
    Deed::Scald,
    Deed::Microwave,
    Deed::Reheat,
];

/// Whether it makes hot, however hot.
pub(super) fn makes_hot(deed: &Deed) -> bool {
    HOT_DEEDS.contains(deed)
}

impl Scene<'_> {
    pub fn lesson_facts(&self) -> Facts {
        let (guests, place) = (&self.course.guests, &self.course.place);
        let recipe = self.recipe();
        let deeds: Vec<Deed> = (0..self.lesson.steps.len()).flat_map(|step| self.deeds_of(step)).collect();
        let all_tags = self.ingredients().iter().filter_map(|one| self.entry(one)).flat_map(|entry| &entry.tags);
        let hottest = self.lesson.steps.iter().flat_map(|step| [step.to, step.at, step.from]).flatten();
        let hottest = hottest.map(|id| self.range(id).1.min(1e9)).fold(f64::NEG_INFINITY, f64::max);
        let reads_heat = hottest > f64::NEG_INFINITY;
        let bleach = self.lesson.sanitiser.as_ref().is_some_and(|one| one.kind == SanitiserKind::Bleach);
        let cuts = deeds.iter().any(|deed| matches!(deed, Deed::Cut | Deed::Blend));
        let burns = hottest >= BURNS || deeds.iter().any(makes_hot);
        let lye = self.ingredients().iter().any(|one| self.is(one, &["lye"]));
        let does = |wanted: Deed| deeds.contains(&wanted);
        let milk = self.ingredients().iter().any(|one| self.is(one, &["milk", "cream"]));
        let sold = guests.eaten.as_ref().is_some_and(|eaten| eaten.contains(&Eaten::Sold));
        let kind = recipe.map_or(Fact::Words(Default::default()), |recipe| match recipe.kind {
            Some(kind) => Fact::word(kind.name()),
            None => Fact::OneOf(self.may_be().into_iter().map(|kind| kind.name().to_owned()).collect()),
        });
        let ferments = does(Deed::Ferment) || recipe.is_some_and(|recipe| recipe.kind == Some(ProductKind::Ferment));
        let eaten =
            guests.eaten.as_ref().map_or(Fact::Unknown, |eaten| Fact::words(eaten.iter().map(|one| one.name())));
        let mut facts = Facts::from([
            ("law", Fact::word(guests.law.name())),
            ("kind", kind),
            ("eaten", eaten),
            ("deeds", Fact::words(deeds.iter().map(|deed| deed.name()))),
            ("tags", Fact::words(all_tags.map(String::as_str))),
            ("altitude", if place.altitude.is_some() { Fact::number(place.metres.to_f64()) } else { Fact::Unknown }),
            ("sugar-share", number(self.sugar_share().map(|share| (share, share)))),
            ("at-work", flag(recipe.is_some() || !self.lesson.steps.is_empty())),
            ("full-jam", flag(self.is_full_jam())),
            ("makes-food", flag(recipe.is_some_and(|recipe| recipe.makes.is_some()))),
            ("allergen", flag(self.has_allergen())),
            ("danger", flag(burns || cuts || bleach || lye)),
            ("reads-heat", flag(reads_heat)),
            ("heats", flag(hottest >= SCALDS || deeds.iter().any(makes_hot))),
            ("sold", flag(sold)),
            ("children", flag(guests.children)),
            ("sour", flag(self.has_sour() || ferments || does(Deed::Culture))),
            ("cleared", flag(self.is_cleared())),
            ("keeps-warm", flag(self.keeps_warm())),
            ("ends-warm", flag(self.ends_warm())),
            ("carries-cold", flag(self.carries_cold())),
            ("tested-kept", flag(self.tested_kept())),
            ("ferments", flag(ferments && recipe.is_none_or(|recipe| recipe.kind != Some(ProductKind::Bread)))),
            ("milk", flag(milk)),
            ("fresh", flag(self.has_fresh())),
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

    /// mg of chlorine to a litre of water, to a whole one: doses are printed to so many digits that the last one would
    /// else decide. A per cent of bleach is 10 g in a litre.
    fn ppm(&self, sanitiser: &Sanitiser) -> Option<f64> {
        let millilitres = |id: Option<MeasureId>| {
            let amount = &self.course.measure(id?).amount;
            (amount.dimension() == Dimension::Volume).then(|| End::High.of(amount).to_f64())
        };
        let strength = End::High.of(&self.course.measure(sanitiser.strength?).amount).to_f64();
        let (amount, water) = (millilitres(sanitiser.amount)?, millilitres(sanitiser.water)?);
        Some((strength * 1e6 * amount / water).round())
    }

    /// What it may be where nobody says, by what goes in.
    fn may_be(&self) -> Vec<ProductKind> {
        use ProductKind as Kind;
        let has = |tags: &[&str]| self.ingredients().iter().any(|one| self.is(one, tags));
        let (milk, flour) = (has(&["milk", "cream"]), has(&["flour", "grain"]));
        let curd = milk && !flour && has(CURDLES);
        let kinds = [
            (Kind::Yoghurt, curd),
            (Kind::FreshCheese, curd),
            (Kind::BrinedCheese, curd),
            (Kind::RipenedCheese, curd),
            (Kind::Butter, has(&["cream"])),
            (Kind::Cream, has(&["cream"])),
            (Kind::Bread, flour),
            (Kind::Jam, has(&["sugar"]) && has(&["fruit"]) && !flour),
            (Kind::Pickle, has(&["vinegar"])),
            (Kind::Ferment, has(&["salt"]) && has(&["vegetable", "fruit"])),
            (Kind::Drink, !flour),
        ];
        let may = kinds.into_iter().filter_map(|(kind, may)| may.then_some(kind));
        may.chain([Kind::Sauce, Kind::Other]).collect()
    }

    /// Whether a fresh herb, vegetable or the like goes in.
    fn has_fresh(&self) -> bool {
        let fresh = self.ingredients().iter().filter(|one| self.is(one, &["low-acid", "herb", "vegetable"]));
        fresh.filter_map(|one| self.entry(one)).any(|entry| entry.keeping != Storage::Dry)
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

    /// Whether the sanitiser is cleared away before the first step with something sour, or which turns it sour.
    fn is_cleared(&self) -> bool {
        let mut steps = 0..self.lesson.steps.len();
        let Some(clears) = steps.clone().find(|step| self.deeds_of(*step).contains(&Deed::ClearAway)) else {
            return false;
        };
        let sour = steps.find(|step| {
            let adds = self.lesson.steps[*step].add.iter().filter_map(|part| self.ingredients().get(part.ingredient));
            let turns = self.deeds_of(*step).iter().any(|deed| matches!(deed, Deed::Ferment | Deed::Culture));
            turns || adds.into_iter().any(|one| self.is(one, SOUR))
        });
        sour.is_none_or(|sour| clears <= sour)
    }

    /// Whether what is made stands outside of the fridge. Jam and pickles are made to keep: they do so somewhere, also
    /// where nobody says.
    fn keeps_warm(&self) -> Truth {
        let kind = self.recipe().and_then(|recipe| recipe.kind);
        if self.keeps().is_empty() && matches!(kind, Some(ProductKind::Jam | ProductKind::Pickle)) {
            return Truth::Unknown;
        }
        let cold = self.limit.map_or(5.0, |limit| limit.cold);
        self.keeps().iter().fold(Truth::No, |any, keep| {
            let warm = self.kept(keep).map_or(Truth::Unknown, |(_, most)| (most > cold.max(5.0)).into());
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
        let ratio = |index: usize, amount: &Amount| {
            let own = self.course.measure(self.ingredients()[index].amount?);
            let tested = End::High.of(amount);
            let same = own.amount.dimension() == amount.dimension() && tested > Exact::ZERO && own.scales;
            same.then(|| (End::High.of(&own.amount) / tested).to_f64())
        };
        let ratios = tested.amounts.iter().map(|(index, amount, _)| ratio(*index, amount));
        let Some(ratios) = ratios.collect::<Option<Vec<f64>>>() else { return Truth::No };
        let least = ratios.iter().copied().fold(f64::INFINITY, f64::min);
        let most = ratios.iter().copied().fold(0.0, f64::max);
        (!ratios.is_empty() && most - least <= SAME * most).into()
    }

    /// Sugar in 100 parts of sugar and fruit, by weight.
    fn sugar_share(&self) -> Option<f64> {
        self.sugar_share_at(End::High)
    }

    /// The same for one end of the amount of sugar, and all of the fruit.
    fn sugar_share_at(&self, end: End) -> Option<f64> {
        let grams = |tag: &str, end: End| {
            let own = self.ingredients().iter().filter(|one| self.is(one, &[tag]));
            own.map(|one| Some(bulk(self.course, self.reference, one.amount?, one.pantry, end).grams?.to_f64()))
                .sum::<Option<f64>>()
        };
        let (sugar, fruit) = (grams("sugar", end)?, grams("fruit", End::High)?);
        (sugar + fruit > 0.0).then(|| 100.0 * sugar / (sugar + fruit))
    }

    /// Whether it is jam that its sugar and the acid of its fruit keep: 21 CFR 114.3 leaves jams out of acidified foods,
    /// and 21 CFR 150 wants 65 % of soluble solids. What sets 4.4 °C above boiling water has 68 % of them. Only fruit
    /// that is sour in all its kinds counts, only with its weight in sugar, and only with nothing else but what keeps as
    /// well. With less sugar than fruit a caution of its own applies.
    fn is_full_jam(&self) -> bool {
        let is_jam = self.recipe().is_some_and(|recipe| recipe.kind == Some(ProductKind::Jam));
        let belongs = |one: &Ingredient| {
            let tags = self.entry(one).map_or(&[][..], |entry| &entry.tags);
            let sour = !self.is(one, &["fruit"]) || self.is(one, &["sour-fruit"]);
            let plain = one.amount.is_none_or(|id| self.course.measure(id).amount.bound == Bound::None);
            !tags.is_empty() && sour && plain && tags.iter().all(|tag| IN_JAM.contains(&tag.as_str()))
        };
        let sweet = self.sugar_share_at(End::Low).is_some_and(|share| share >= HALF_SUGAR);
        is_jam && sweet && self.ingredients().iter().all(belongs) && self.sets_as_jam()
    }

    /// Whether, by whatever way, a step reaches the setting point once all that goes in is in.
    fn sets_as_jam(&self) -> bool {
        let steps = &self.lesson.steps;
        let Ok(sets) = setting_celsius(self.course.place.metres.to_f64()) else { return false };
        let hot = |step: usize| {
            let heat = [steps[step].to, steps[step].at].into_iter().flatten();
            heat.map(|id| self.range(id).0).any(|least| least.is_finite() && least >= sets - WHOLE_DEGREES)
        };
        walks(steps).iter().all(|walk| {
            let last_in = walk.steps.iter().rposition(|step| !steps[*step].add.is_empty());
            walk.steps[last_in.unwrap_or(0)..].iter().any(|step| hot(*step))
        })
    }
}
