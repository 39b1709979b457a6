//! What a law asks of a step that claims to pasteurise, and what the step holds.

use super::bulk::{Bulk, End};
use super::clock::hours_and_minutes;
use super::hob::about;
use super::room::contents;
use super::sums::{equivalent_seconds, implied_z_kelvin, met_hold};
use super::ways::walks;
use crate::quantity::{Amount, Bound, Exact};
use crate::recipe::{Course, FoodLaw, Ingredient, Recipe, Step};
use crate::reference::{Hold, Reference};

/// From so much fat on, and when it is sweetened, milk is a richer class of product in US law.
const RICH_FAT: (i128, i128) = (1, 10);

/// The shortest hold of a law that a kitchen can time, in seconds, and that its z is taken from.
const SHORTEST_TIMED: f64 = 15.0;
/// How far below the coolest hold of a law its z is carried, K: beyond that the microbes no longer die by one rule.
const BELOW: f64 = 5.0;

/// The claim of a step beside the law that the course names, or that of its home.
#[derive(Debug, Clone, PartialEq)]
pub struct Claim<'r> {
    /// Whose law: `us` or `eu`.
    pub law: &'static str,
    /// Class of product: `milk` or `rich-milk`.
    pub product: &'static str,
    /// The lowest temperature held, in °C; a limit from above says nothing of it.
    pub celsius: Option<f64>,
    /// The highest temperature held, in °C, where it is written down.
    pub hottest: Option<f64>,
    /// The shortest time it is held, in seconds.
    pub seconds: Option<f64>,
    /// The legal hold that the step meets.
    pub met: Option<&'r Hold>,
}

impl<'r> Claim<'r> {
    /// The holds of the law for this product that a kitchen can time, in the order of the table.
    pub fn holds(&self, reference: &'r Reference) -> Vec<&'r Hold> {
        let of = |hold: &&Hold| hold.law == self.law && hold.product == self.product && hold.seconds >= 1.0;
        reference.figures.holds.iter().filter(of).collect()
    }

    /// What the hold is worth at the temperature of the longest hold of its law; none where it is held at just that
    /// temperature, or outside of the band that the law's pairs span.
    ///
    /// The z is the one that the longest hold and the shortest that can be timed imply, in °F where the law was made in
    /// °F: an estimate, which takes the place of no hold.
    pub fn worth(&self, reference: &Reference) -> Option<Worth> {
        let (celsius, seconds) = (self.celsius?, self.seconds?);
        let timed = self.holds(reference).into_iter().filter(|hold| hold.seconds >= SHORTEST_TIMED);
        let (long, short) = (timed.clone().min_by(by_heat)?, timed.max_by(by_heat)?);
        let exact = |hold: &Hold| hold.fahrenheit.map_or(hold.celsius, |degrees| (degrees - 32.0) / 1.8);
        let z_kelvin = implied_z_kelvin(exact(long), long.seconds, exact(short), short.seconds).ok()?;
        let band = long.celsius - BELOW..=short.celsius;
        let at = |held: f64| {
            let worth = || equivalent_seconds(seconds, held, long.celsius, z_kelvin).ok();
            band.contains(&held).then(worth).flatten()
        };
        let hottest = self.hottest.filter(|hottest| *hottest > celsius).and_then(at);
        let trivial = celsius == long.celsius && hottest.is_none();
        let least = at(celsius).filter(|_| !trivial)?;
        Some(Worth { celsius: long.celsius, asked: long.seconds, z_kelvin, least, most: hottest })
    }
}

fn by_heat(one: &&Hold, other: &&Hold) -> std::cmp::Ordering {
    one.celsius.total_cmp(&other.celsius)
}

/// What a hold is worth at another temperature, by the rule that so many degrees change the time tenfold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worth {
    /// That temperature, in °C.
    pub celsius: f64,
    /// How long the law asks for there, in seconds.
    pub asked: f64,
    /// So many kelvins make it ten times as fast.
    pub z_kelvin: f64,
    /// Seconds that it is worth where it is held at its coolest.
    pub least: f64,
    /// And at its hottest, where that is known.
    pub most: Option<f64>,
}

impl Worth {
    /// `30 min at 63 °C at its coolest, 1 h 27 min at its hottest`
    pub fn in_words(&self) -> String {
        let short = |seconds: f64| if seconds < 60.0 { lasting(seconds.floor()) } else { about(seconds) };
        let least = format!("{} at {}\u{a0}°C", short(self.least), self.celsius);
        match self.most {
            Some(most) => format!("{least} at its coolest, {} at its hottest", short(most)),
            None => least,
        }
    }

    /// `z = 4.3 °C, as the pairs of that law imply`
    pub fn basis(&self) -> String {
        format!("z\u{a0}=\u{a0}{}\u{a0}°C, as the pairs of that law imply", (self.z_kelvin * 10.0).round() / 10.0)
    }
}

/// The claim of a step; none where it claims nothing.
///
/// The EU's holds stand for the UK too, which kept them, and for Australia. They know no richer class of milk; where the
/// law is not known, the holds of the US stand, which are stricter there.
pub fn claim<'r>(
    course: &Course,
    reference: &'r Reference,
    recipe: &Recipe,
    steps: &[Step],
    index: usize,
) -> Option<Claim<'r>> {
    let step = &steps[index];
    if step.pasteurises.is_empty() {
        return None;
    }
    let law = if matches!(course.guests.law, FoodLaw::Us | FoodLaw::Other) { "us" } else { "eu" };
    let rich = law == "us" && is_rich(course, reference, recipe, steps, index);
    let product = if rich { "rich-milk" } else { "milk" };
    let least = |id| Some(&course.measure(id).amount).filter(|amount| amount.bound != Bound::AtMost);
    let celsius = step.at.and_then(least).map(|amount| as_printed(reference, law, product, amount));
    let hottest = step.at.map(|id| &course.measure(id).amount).filter(|amount| amount.bound == Bound::None);
    let hottest = hottest.map(|amount| End::High.of(amount).to_f64());
    let seconds = step.lasts.and_then(least).map(|amount| End::Low.of(amount).to_f64());
    let met = celsius.zip(seconds).and_then(|(celsius, seconds)| {
        met_hold(&reference.figures.holds, law, product, celsius, seconds).ok().flatten()
    });
    Some(Claim { law, product, celsius, hottest, seconds, met })
}

/// The lowest end of a temperature in °C. The US law was made in °F and prints its °C rounded up: what is written in
/// °F is held to the °F.
fn as_printed(reference: &Reference, law: &str, product: &str, amount: &Amount) -> f64 {
    let low = End::Low.of(amount);
    let own = low.to_f64();
    if Some(amount.low.unit) != reference.units.find("fahrenheit") {
        return own;
    }
    let fahrenheit = (low * Exact::new(9, 5) + Exact::whole(32)).to_f64();
    let reached = reference.figures.holds.iter().filter(|hold| {
        hold.law == law && hold.product == product && hold.fahrenheit.is_some_and(|least| fahrenheit >= least)
    });
    reached.map(|hold| hold.celsius).fold(own, f64::max)
}

/// Whether what lies together is sweetened, or holds as much fat as the richer class of milk.
fn is_rich(course: &Course, reference: &Reference, recipe: &Recipe, steps: &[Step], index: usize) -> bool {
    let rich_fat = Exact::new(RICH_FAT.0, RICH_FAT.1);
    // Cream whose fat nobody states counts as rich.
    let fat = |item: &Ingredient| {
        let entry = reference.pantry.get(item.pantry?);
        let cream = entry.tags.iter().any(|tag| tag == "cream");
        entry.fat.as_ref().map(|fat| End::High.of(fat)).or(cream.then_some(rich_fat))
    };
    let sweet = |item: &Ingredient| {
        item.pantry.is_some_and(|row| reference.pantry.get(row).tags.iter().any(|tag| tag == "sugar"))
    };
    let claims = &steps[index].pasteurises;
    let alone = || claims.iter().any(|one| fat(&recipe.ingredients[one.ingredient]).is_some_and(|fat| fat >= rich_fat));
    let all = walks(steps).into_iter().flat_map(|walk| contents(course, reference, recipe, steps, &walk, End::High));
    let mut together = all.filter(|content| content.step == index).peekable();
    if together.peek().is_none() {
        return alone();
    }
    together.any(|content| {
        let items = || content.parts.iter().map(|(item, bulk)| (&recipe.ingredients[*item], bulk));
        let holds_all = claims.iter().all(|one| content.parts.iter().any(|(item, _)| *item == one.ingredient));
        let share = if holds_all { fat_share(items().map(|(item, bulk)| (fat(item), bulk))) } else { None };
        items().any(|(item, _)| sweet(item)) || share.map_or_else(alone, |share| share >= rich_fat)
    })
}

/// The fat in all that lies together, by weight; what has no fat on record has none. Unknown where a weight is.
fn fat_share<'b>(parts: impl Iterator<Item = (Option<Exact>, &'b Bulk)>) -> Option<Exact> {
    let (mut fat, mut all) = (Exact::ZERO, Exact::ZERO);
    for (share, bulk) in parts {
        let grams = bulk.grams?;
        all = all + grams;
        fat = fat + (grams * share.unwrap_or(Exact::ZERO)).cut();
    }
    (all > Exact::ZERO).then(|| fat / all)
}

/// `63 °C (145 °F) for 30 min`
pub fn hold_words(hold: &Hold) -> String {
    let fahrenheit = hold.fahrenheit.map_or(String::new(), |value| format!(" ({value}\u{a0}°F)"));
    format!("{}\u{a0}°C{fahrenheit} for {}", hold.celsius, lasting(hold.seconds))
}

/// A time to the second, rounded up: what is missing must not be rounded away.
pub fn lasting(seconds: f64) -> String {
    let whole = seconds.ceil() as i64;
    if whole % 60 == 0 { hours_and_minutes(whole) } else { format!("{whole}\u{a0}s") }
}
