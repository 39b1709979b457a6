//! What is known of an ingredient, and of a way of keeping.

use super::facts::{Facts, Scene, flag, number, one_word, range};
use super::steps::Stage;
use super::truth::{Fact, Truth};
use crate::kitchen::bulk::End;
use crate::kitchen::pasteurising::claim;
use crate::recipe::{Deed, Ingredient, Keeping, ProductKind};
use crate::reference::Treatment;

/// Egg is cooked through at so much (common practice: 160 °F).
const COOKED: f64 = 71.0;
/// The coldest that counts as chilled, and for how many days fresh things stay in oil (the shortest advice).
const CHILLED: f64 = 5.0;
const DAYS_IN_OIL: f64 = 4.0;
/// Seconds of a day.
const DAY: f64 = 86_400.0;
/// Words of a name or note that tell how milk was heated.
const RAW: &[&str] = &["raw", "unpasteurised", "unpasteurized", "untreated"];
const TREATED: &[&str] = &["pasteurised", "pasteurized", "uht"];

impl Scene<'_> {
    pub fn ingredient_facts(&self, index: usize, stages: &[Stage]) -> Facts {
        let ingredient = &self.ingredients()[index];
        let entry = self.entry(ingredient);
        let heat = self.treatment(ingredient).map_or(Fact::Words(Default::default()), |one| Fact::word(one.name()));
        let percent = |amount: Option<&crate::quantity::Amount>| {
            number(amount.map(|amount| (End::Low.of(amount).to_f64() * 100.0, End::High.of(amount).to_f64() * 100.0)))
        };
        let acid_added =
            self.ingredients().iter().any(|one| one.id != ingredient.id && self.is(one, &["acid", "vinegar"]));
        Facts::from([
            ("tags", entry.map_or(Fact::Unknown, |entry| Fact::words(entry.tags.iter().map(String::as_str)))),
            ("heat", heat),
            ("fat", percent(entry.and_then(|entry| entry.fat.as_ref()))),
            ("acid", percent(entry.and_then(|entry| entry.acid.as_ref()))),
            ("allergens", entry.map_or(Fact::Unknown, |entry| Fact::words(entry.allergens.iter().map(String::as_str)))),
            ("held", flag(self.is_held(index))),
            ("cooked-through", flag(self.cooked(index, stages, COOKED))),
            ("raw-flour-eaten", flag(self.cooked(index, stages, 100.0).not())),
            ("sealed", flag(self.sealed())),
            ("acid-added", flag(acid_added)),
            ("salt-kept", flag(self.salt_kept(ingredient))),
        ])
    }

    /// How milk or cream was heated: as its name and note say, else as the pantry knows.
    fn treatment(&self, ingredient: &Ingredient) -> Option<Treatment> {
        let known = self.entry(ingredient)?.raw?;
        let note = ingredient.note.as_ref().map_or("", |note| note.text.as_str());
        let all = format!("{} {note}", ingredient.name).to_lowercase();
        let words: Vec<&str> = all.split(|letter: char| !letter.is_alphanumeric()).collect();
        let denied =
            |at: usize| at.checked_sub(1).is_some_and(|before| ["not", "never", "un"].contains(&words[before]));
        let treated = words.iter().position(|word| TREATED.contains(word));
        let raw = words.iter().any(|word| RAW.contains(word)) || treated.is_some_and(denied);
        match (raw, treated) {
            (true, _) => Some(Treatment::Raw),
            (false, Some(_)) => Some(Treatment::Pasteurised),
            _ => Some(known),
        }
    }

    /// Whether milk or cream may be raw.
    pub fn is_untreated(&self, index: usize) -> bool {
        matches!(self.treatment(&self.ingredients()[index]), Some(Treatment::Raw | Treatment::Unknown))
    }

    /// Whether a step holds it as the law asks.
    pub fn is_held(&self, index: usize) -> bool {
        let Some(recipe) = self.recipe() else { return false };
        let steps = &self.lesson.steps;
        let claims = |step: &usize| steps[*step].pasteurises.iter().any(|one| one.ingredient == index);
        (0..steps.len()).filter(claims).any(|step| {
            claim(self.course, self.reference, recipe, steps, step).is_some_and(|claim| claim.met.is_some())
        })
    }

    /// Whether a step with it inside becomes so hot, or bakes or fries it.
    fn cooked(&self, index: usize, stages: &[Stage], celsius: f64) -> Truth {
        let with_it = (0..stages.len()).filter(|step| stages[*step].inside.contains(&index));
        with_it.fold(Truth::No, |any, step| {
            let bakes = self.deeds_of(step).iter().any(|deed| matches!(deed, Deed::Bake | Deed::Fry));
            let of = &self.lesson.steps[step];
            let hot = of.at.or(of.to).is_some_and(|id| self.range(id).0 >= celsius);
            any.or((bakes || hot).into())
        })
    }

    /// Whether what is made is shut off from air.
    fn sealed(&self) -> Truth {
        self.keeps()
            .iter()
            .fold(Truth::No, |any, keep| any.or(keep.pack.map_or(Truth::Unknown, |pack| pack.is_airless().into())))
    }

    /// Whether the salt of a ferment is at least the least that was tested. One salt of several may answer for all.
    fn salt_kept(&self, ingredient: &Ingredient) -> Truth {
        let own = |one: &Ingredient| {
            let (share, least) = (one.share.as_ref()?.0, one.never_below?);
            let of = |id, end: End| end.of(&self.course.measure(id).amount);
            Some(of(share, End::Low) >= of(least, End::High))
        };
        let others = || self.ingredients().iter().filter(|one| self.is(one, &["salt"])).filter_map(own);
        match own(ingredient) {
            Some(kept) => kept.into(),
            None if others().next().is_some() => others().all(|kept| kept).into(),
            None => Truth::Unknown,
        }
    }

    pub fn keeping_facts(&self, index: usize) -> Facts {
        let keep = &self.keeps()[index];
        let celsius = keep.at.map(|id| self.range(id));
        let (low, high) = self.range(keep.time);
        let days = (low / DAY, high / DAY);
        let short = days.1 <= DAYS_IN_OIL;
        let cold = celsius.map_or(Truth::Unknown, |(_, high)| (high <= CHILLED).into());
        Facts::from([
            ("pack", one_word(keep.pack.map(|pack| pack.name()))),
            ("ph", number(keep.ph.as_ref().map(|ph| range(&ph.amount)))),
            ("aw", number(keep.aw.as_ref().map(|aw| range(&aw.amount)))),
            ("kept-celsius", number(celsius)),
            ("days", Fact::Number(days.0, days.1)),
            ("spoils", flag(self.spoils(index))),
            ("short-and-cold", flag(Truth::from(short).and(cold))),
        ])
    }

    /// Whether what is kept spoils: bread and jam do not in this sense, a leftover as the pantry knows it, and the rest if
    /// something in it does.
    pub fn spoils(&self, index: usize) -> Truth {
        let keep: &Keeping = &self.keeps()[index];
        let kind = self.recipe().and_then(|recipe| recipe.kind);
        let any = self.ingredients().iter().fold(Truth::No, |any, one| {
            any.or(self.entry(one).map_or(Truth::Unknown, |entry| entry.perishable.into()))
        });
        let made = self.recipe().and_then(|recipe| recipe.makes.as_ref()).map(|product| product.name.as_str());
        let named = keep.what.as_ref().map(|what| what.text.as_str()).filter(|what| Some(*what) != made);
        if let Some(entry) = named.and_then(|name| self.reference.pantry.find(name)) {
            return self.reference.pantry.get(entry).perishable.into();
        }
        match kind {
            Some(ProductKind::Bread | ProductKind::Jam) if named.is_none() => Truth::No,
            _ => any,
        }
    }
}
