//! `share-apart` and `unclear-share`: a share and the amounts it compares do not agree, or nobody can tell what it is of.
//!
//! Why: "1.5 % of the curd" and "9 g" are two ways to say one thing, and a student follows whichever is easier.

use super::Cx;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::sums::{percent_from_water, salt_g_per_l};
use crate::quantity::{Amount, Dimension, Exact};
use crate::recipe::{Ingredient, Measure, MeasureId, Recipe, ShareBasis};

pub(in crate::check) fn share_apart(cx: &Cx<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    for (index, item) in recipe.ingredients.iter().enumerate() {
        let (Some((share, base)), Some(amount)) = (&item.share, item.amount) else { continue };
        let share = cx.course.measure(*share);
        let readings = readings(cx, recipe, index, amount, base);
        if readings.is_empty() {
            if !is_known(cx, recipe, base) {
                sink.push(
                    Diagnostic::new(
                        Code::UnknownName,
                        format!("nothing in this recipe is called “{base}”"),
                        share.span,
                    )
                    .label("a share of what?")
                    .help("name an ingredient, what the recipe makes or what it leaves"),
                );
            }
            continue;
        }
        let agrees = readings.iter().any(|reading| reading.agrees(share));
        if item.share_basis == ShareBasis::Unsaid && readings.len() > 1 {
            sink.push(unclear(cx, item, share, &readings));
        } else if !agrees {
            sink.push(apart(cx, item, share, amount, &readings[0]));
        }
    }
}

/// What a share is by the amounts, if it is of this.
struct Reading {
    /// Of what, in words.
    of: String,
    low: Exact,
    high: Exact,
    /// The amounts it was worked out from, beside the ingredient's own.
    from: Vec<(MeasureId, String)>,
}

impl Reading {
    fn agrees(&self, share: &Measure) -> bool {
        let slack = share.amount.low.step / Exact::whole(2);
        let (low, high) = (share.amount.low.quantity.base() - slack, share.amount.high.quantity.base() + slack);
        high >= self.low && low <= self.high
    }

    fn percent(&self, cx: &Cx<'_>) -> String {
        let percent = |value: Exact| cx.reference.units.style().rounded(value * Exact::whole(100), 2);
        if self.low == self.high {
            percent(self.low)
        } else {
            format!("{} to {}", percent(self.low), percent(self.high))
        }
    }
}

fn apart(cx: &Cx<'_>, item: &Ingredient, share: &Measure, amount: MeasureId, reading: &Reading) -> Diagnostic {
    let message = format!("by the amounts, the {} is {} % of the {}", item.name, reading.percent(cx), reading.of);
    let found = Diagnostic::new(Code::ShareApart, message, share.span)
        .label("the share says otherwise")
        .related(cx.course.measure(amount).span, format!("the amount of {}", item.name));
    let each = reading.from.iter().map(|(id, name)| (cx.course.measure(*id).span, format!("the amount of {name}")));
    each.fold(found, |found, (span, words)| found.related(span, words)).help("correct the share or one of the amounts")
}

fn unclear(cx: &Cx<'_>, item: &Ingredient, share: &Measure, readings: &[Reading]) -> Diagnostic {
    let all: Vec<String> = readings.iter().map(|one| format!("{} % of the {}", one.percent(cx), one.of)).collect();
    Diagnostic::new(Code::UnclearShare, "a strength of brine has three readings, and this names none", share.span)
        .label("a share of what?")
        .note(format!("by the amounts, the {} is {}", item.name, all.join(", ")))
        .help("write `% of brine` (by weight), `% w/v of brine` (grams in 100 mL made up) or `% of water`")
}

/// The ways to read a share by its base: one, unless it is a strength of brine without more.
fn readings(cx: &Cx<'_>, recipe: &Recipe, index: usize, amount: MeasureId, base: &str) -> Vec<Reading> {
    let item = &recipe.ingredients[index];
    let base = base.trim().trim_start_matches("the ").to_lowercase();
    let own = weight_or_volume(cx, item.pantry, amount);
    if base == "brine" && !recipe.ingredients.iter().any(|other| other.id == "brine") {
        let found = brine(cx, recipe, index, own, item.share_basis);
        if !found.is_empty() {
            return found;
        }
    }
    // An ingredient that is called nothing but flour may be meant alone.
    let alone = recipe.ingredients.iter().any(|other| other.id == base);
    let wholes = match base.as_str() {
        "flour" => vec![
            summed(cx, recipe, "flour", |other| tagged(cx, other, &["flour"])),
            alone.then(|| named(cx, recipe, &base)).flatten(),
        ],
        "dough" if makes(recipe, "dough").is_none() => vec![summed(cx, recipe, "dough", |_| true)],
        "water" => vec![named(cx, recipe, &base), summed(cx, recipe, "water", |other| tagged(cx, other, &["water"]))],
        _ => vec![named(cx, recipe, &base)],
    };
    let found: Vec<Reading> = wholes.into_iter().flatten().filter_map(|whole| part_of(own, whole)).collect();
    // What agrees is meant; else the first, so that a share is read in one way only.
    let share = item.share.as_ref().map(|(id, _)| cx.course.measure(*id));
    let meant = found.iter().position(|reading| share.is_some_and(|share| reading.agrees(share))).unwrap_or(0);
    found.into_iter().nth(meant).into_iter().collect()
}

/// Whether a share of the recipe was worked out by the density of a brine.
pub(super) fn weighs_a_brine(cx: &Cx<'_>, recipe: &Recipe) -> bool {
    recipe.ingredients.iter().enumerate().any(|(index, item)| {
        let (Some((_, base)), Some(amount)) = (&item.share, item.amount) else { return false };
        let by_volume = item.share_basis != ShareBasis::Part;
        by_volume && readings(cx, recipe, index, amount, base).iter().any(|reading| reading.of.contains("made up"))
    })
}

/// Something that a share may be of.
struct Whole {
    of: String,
    ends: Ends,
    from: Vec<(MeasureId, String)>,
}

fn part_of(own: Ends, whole: Whole) -> Option<Reading> {
    let bulk = matches!(own.0, Dimension::Mass | Dimension::Volume);
    if own.0 != whole.ends.0 || !bulk || whole.ends.1.is_zero() || whole.ends.2.is_zero() {
        return None;
    }
    Some(Reading { of: whole.of, low: own.1 / whole.ends.2, high: own.2 / whole.ends.1, from: whole.from })
}

/// A brine's strength by weight, in 100 mL made up, and to the water, from its salt and its water or whey.
fn brine(cx: &Cx<'_>, recipe: &Recipe, index: usize, own: Ends, basis: ShareBasis) -> Vec<Reading> {
    let wet = |other: &Ingredient| tagged(cx, other, &["water", "whey", "vinegar"]);
    let Some(water) = summed(cx, recipe, "water", wet) else { return Vec::new() };
    if own.0 != Dimension::Mass || water.ends.0 != Dimension::Mass || recipe.ingredients[index].amount.is_none() {
        return Vec::new();
    }
    let Some(to_water) = part_of(own, water) else { return Vec::new() };
    let by_weight = |ratio: Exact| ratio / (Exact::ONE + ratio);
    let weight = Reading {
        of: "brine by weight".to_owned(),
        low: by_weight(to_water.low),
        high: by_weight(to_water.high),
        from: to_water.from.clone(),
    };
    let made_up = |ratio: Exact| {
        let percent = percent_from_water(ratio.to_f64() * 1000.0).ok()?;
        let share = salt_g_per_l(&cx.reference.figures.densities, percent).ok()? / 1000.0;
        Some(Exact::new((share * 1e6).round() as i128, 1_000_000))
    };
    let volume = made_up(to_water.low).zip(made_up(to_water.high)).map(|(low, high)| Reading {
        of: "brine, in grams in 100 mL made up at 20 °C".to_owned(),
        low,
        high,
        from: to_water.from.clone(),
    });
    match basis {
        ShareBasis::Part => vec![weight],
        ShareBasis::ByVolume => volume.into_iter().collect(),
        ShareBasis::Unsaid => [Some(weight), volume, Some(to_water)].into_iter().flatten().collect(),
    }
}

pub(super) fn tagged(cx: &Cx<'_>, item: &Ingredient, tags: &[&str]) -> bool {
    let row = item.pantry.map(|row| cx.reference.pantry.get(row));
    row.is_some_and(|entry| entry.tags.iter().any(|tag| tags.contains(&tag.as_str())))
}

/// The weight of several ingredients together; unknown where one of them cannot be weighed.
fn summed(cx: &Cx<'_>, recipe: &Recipe, of: &str, counts: impl Fn(&Ingredient) -> bool) -> Option<Whole> {
    let mut whole = Whole { of: of.to_owned(), ends: (Dimension::Mass, Exact::ZERO, Exact::ZERO), from: Vec::new() };
    for item in recipe.ingredients.iter().filter(|item| counts(item)) {
        let id = item.amount?;
        let (dimension, low, high) = weight_or_volume(cx, item.pantry, id);
        if dimension != Dimension::Mass {
            return None;
        }
        whole.ends = (Dimension::Mass, whole.ends.1 + low, whole.ends.2 + high);
        whole.from.push((id, item.name.clone()));
    }
    (!whole.from.is_empty()).then_some(whole)
}

/// Something that bears the name.
fn named(cx: &Cx<'_>, recipe: &Recipe, base: &str) -> Option<Whole> {
    let (id, row) = base_of(cx, recipe, base)?;
    Some(Whole { of: base.to_owned(), ends: weight_or_volume(cx, row, id), from: vec![(id, base.to_owned())] })
}

fn is_known(cx: &Cx<'_>, recipe: &Recipe, base: &str) -> bool {
    let base = base.trim().trim_start_matches("the ").to_lowercase();
    base_of(cx, recipe, &base).is_some() || matches!(base.as_str(), "flour" | "dough" | "brine" | "water")
}

pub(super) fn is_called(name: &str, base: &str) -> bool {
    let name = name.to_lowercase();
    name == base || name.rsplit(' ').next() == Some(base)
}

fn makes(recipe: &Recipe, base: &str) -> Option<MeasureId> {
    recipe.makes.as_ref().filter(|product| is_called(&product.name, base)).map(|product| product.amount)
}

/// The measure that a share is of, and the pantry row of its density.
fn base_of(cx: &Cx<'_>, recipe: &Recipe, base: &str) -> Option<(MeasureId, Option<usize>)> {
    let ingredient = recipe.ingredients.iter().find(|item| is_called(&item.id, base) || is_called(&item.name, base));
    if let Some(item) = ingredient {
        return Some((item.amount?, item.pantry));
    }
    if let Some(product) = recipe.makes.as_ref().filter(|product| is_called(&product.name, base)) {
        return Some((product.amount, cx.reference.pantry.find(&product.name)));
    }
    let leftover = recipe.leaves.iter().find(|left| is_called(&left.id, base) || is_called(&left.name, base))?;
    Some((leftover.amount, cx.reference.pantry.find(&leftover.name)))
}

type Ends = (Dimension, Exact, Exact);

/// An amount's ends, as weight where a density is known.
fn weight_or_volume(cx: &Cx<'_>, row: Option<usize>, id: MeasureId) -> Ends {
    let amount: &Amount = &cx.course.measure(id).amount;
    let (low, high) = (amount.low.quantity.base(), amount.high.quantity.base());
    let density = row.and_then(|row| cx.reference.pantry.get(row).density);
    match (amount.dimension(), density) {
        (Dimension::Volume, Some(density)) => (Dimension::Mass, low * density, high * density),
        (dimension, _) => (dimension, low, high),
    }
}
