//! What is known of an ingredient, and of a way of keeping.

use super::facts::{Facts, Scene, flag, number, one_word, range};
use super::steps::Stage;
use super::truth::{Fact, Truth};
use crate::kitchen::bulk::End;
use crate::kitchen::keeping::{Cold, cold, keeps_by_itself};
use crate::kitchen::pasteurising::claim;
use crate::recipe::{Deed, Ingredient, Keeping, words_in};
use crate::reference::{Storage, Treatment};

/// Egg is cooked through at so much (common practice: 160 °F).
const COOKED: f64 = 71.0;
/// The coldest that counts as chilled, and for how many days fresh things stay in oil (the shortest advice).
const CHILLED: f64 = 5.0;
const DAYS_IN_OIL: f64 = 4.0;
/// A freezer is at most so warm.
const FROZEN: f64 = -18.0;
/// Dry goods from the shelf hold so little water at the most (common practice; most hold far less).
const DRY: f64 = 0.85;
/// Seconds of a day.
const DAY: f64 = 86_400.0;
/// Words of a name or note that tell how milk was heated.
const RAW: &[&str] = &["raw", "unpasteurised", "unpasteurized", "untreated"];
const TREATED: &[&str] = &["pasteurised", "pasteurized"];
/// Words that turn what follows them in the same clause into its opposite, or leave it to be done.
const DENIED: &[&str] = &["not", "never", "non", "un", "to", "no", "isn"];
/// Words that leave open whether it holds.
const OPEN: &[&str] = &["or", "if", "ideally", "preferably", "ultra"];

/// What a name and its note say of how milk was heated, clause by clause; nothing where they do not say.
fn said_treatment(text: &str) -> Option<Treatment> {
    let (mut raw, mut treated, mut uht) = (false, false, false);
    for clause in text.to_lowercase().replace(" but ", ", ").split([',', ';', '.', ':', '(', ')']) {
        let words: Vec<&str> = words_in(clause).collect();
        let open = words.iter().any(|word| OPEN.contains(word));
        for (at, word) in words.iter().enumerate() {
            let denied = words[..at].iter().any(|before| DENIED.contains(before));
            raw |= RAW.contains(word) && !denied;
            if TREATED.contains(word) {
                raw |= denied && !open;
                treated |= !denied && !open;
            }
            uht |= *word == "uht" && !denied && !open;
        }
    }
    match (raw, treated, uht) {
        (true, ..) => Some(Treatment::Raw),
        (_, true, _) => Some(Treatment::Pasteurised),
        (_, _, true) => Some(Treatment::Uht),
        _ => None,
    }
}

impl Scene<'_> {
    pub fn ingredient_facts(&self, index: usize, stages: &[Stage]) -> Facts {
        let ingredient = &self.ingredients()[index];
        let entry = self.entry(ingredient);
        let heat = match self.treatment(ingredient) {
            Some(Treatment::Unknown) => Fact::Unknown,
            one => Fact::words(one.map(Treatment::name)),
        };
        let percent = |amount: Option<&crate::quantity::Amount>| {
            number(amount.map(range).map(|(low, high)| (low * 100.0, high * 100.0)))
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
            (
                "raw-flour-eaten",
                flag(self.cooked(index, stages, 100.0).not().or(self.tasted_raw(index, stages).into())),
            ),
            ("sealed", flag(self.sealed())),
            ("acid-added", flag(acid_added)),
            ("salt-kept", flag(self.salt_kept(ingredient))),
        ])
    }

    /// How milk or cream was heated: as its name and note say, else as the pantry knows.
    fn treatment(&self, ingredient: &Ingredient) -> Option<Treatment> {
        let known = match self.entry(ingredient)?.raw {
            Some(known) => known,
            None if self.is(ingredient, &["milk", "cream"]) => Treatment::Unknown,
            None => return None,
        };
        let note = ingredient.note.as_ref().map_or("", |note| note.text.as_str());
        Some(said_treatment(&format!("{}, {note}", ingredient.name)).unwrap_or(known))
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

    /// Whether somebody tastes it before it was baked, fried or boiled.
    fn tasted_raw(&self, index: usize, stages: &[Stage]) -> bool {
        let with_it = (0..stages.len()).filter(|step| stages[*step].inside.contains(&index));
        with_it.take_while(|step| !self.is_hot(*step)).any(|step| self.deeds_of(step).contains(&Deed::Taste))
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

    /// Whether something is kept outside of a fridge. One that its place names is one, also where it is too warm: that
    /// has a finding of its own.
    fn on_a_shelf(&self, keep: &Keeping) -> Truth {
        match (cold(&keep.place.text), keep.at) {
            (Some(_), _) => Truth::No,
            (None, Some(at)) => (self.range(at).1 > CHILLED).into(),
            (None, None) => Truth::Unknown,
        }
    }

    /// How cold something is kept: as `at` says, else as a fridge or a freezer is that the place names.
    pub fn kept(&self, keep: &Keeping) -> Option<(f64, f64)> {
        let named = || match cold(&keep.place.text)? {
            Cold::Fridge => Some((f64::NEG_INFINITY, CHILLED)),
            Cold::Freezer => Some((f64::NEG_INFINITY, FROZEN)),
        };
        keep.at.map(|id| self.range(id)).or_else(named)
    }

    pub fn keeping_facts(&self, index: usize) -> Facts {
        let keep = &self.keeps()[index];
        let celsius = self.kept(keep);
        let (low, high) = self.range(keep.time);
        let days = (low / DAY, high / DAY);
        let short = days.1 <= DAYS_IN_OIL;
        let cold = celsius.map_or(Truth::Unknown, |(_, high)| (high <= CHILLED).into());
        Facts::from([
            ("pack", one_word(keep.pack.map(|pack| pack.name()))),
            ("ph", number(keep.ph.as_ref().map(|ph| range(&ph.amount)))),
            ("aw", number(keep.aw.as_ref().map(|aw| range(&aw.amount)).or(self.all_dry().then_some((0.0, DRY))))),
            ("kept-celsius", number(celsius)),
            ("on-a-shelf", flag(self.on_a_shelf(keep))),
            ("days", Fact::Number(days.0, days.1)),
            ("spoils", flag(self.spoils(index))),
            ("short-and-cold", flag(Truth::from(short).and(cold))),
        ])
    }

    /// Whether nothing but dry goods goes in: a mix of spices has no water in which anything could grow.
    fn all_dry(&self) -> bool {
        let dry = |one: &Ingredient| {
            let entry = self.entry(one);
            entry.is_some_and(|entry| entry.keeping == Storage::Dry && !entry.perishable) && !self.flows(one)
        };
        !self.ingredients().is_empty() && self.ingredients().iter().all(dry)
    }

    /// Whether what is kept spoils: bread and jam do not in this sense, a leftover as the pantry knows it, and the rest if
    /// something in it does.
    pub fn spoils(&self, index: usize) -> Truth {
        let keep: &Keeping = &self.keeps()[index];
        let any = (0..self.ingredients().len())
            .fold(Truth::No, |any, one| any.or(self.spoils_at(one, self.lesson.steps.len())));
        let made = self.recipe().and_then(|recipe| recipe.makes.as_ref()).map(|product| product.name.as_str());
        let named = keep.what.as_ref().map(|what| what.text.as_str()).filter(|what| Some(*what) != made);
        if let Some(entry) = named.and_then(|name| self.reference.pantry.find(name)) {
            return self.reference.pantry.get(entry).perishable.into();
        }
        let lasts = named.is_none() && self.recipe().is_some_and(keeps_by_itself);
        if lasts { Truth::No } else { any }
    }
}
