//! Whether a mention states a measure: the one place where words are held against the model.

use super::candidates::{Candidate, Candidates, Ring};
use super::tolerance::{Setting, agree, agree_by_density};
use crate::prose::{Journey, Mention};
use crate::quantity::{Bound, Dimension, End, Exact, Quantity};
use crate::recipe::{MeasureId, Owner, Step};

/// How much lower a fan oven is set, in °C.
const FAN_SETS_LOWER: i128 = 20;

/// Whether a mention states a candidate.
pub(super) struct Judge<'a> {
    pub place: &'a Candidates<'a>,
    pub oven: bool,
    /// Whether a weight may stand for a volume here: only where the words name the thing, or beside a figure that does.
    pub by_density: bool,
}

impl Judge<'_> {
    /// Whether the two can be held against each other at all.
    pub fn comparable(&self, mention: &Mention, candidate: &Candidate) -> bool {
        let (said, own) = (mention.dimension(), candidate.low.quantity.dimension());
        let rates = match (mention.amount.per, candidate.per) {
            (None, None) => true,
            (Some(said), Some(own)) => said.quantity.dimension() == own.quantity.dimension(),
            // `dose = "2 mL"` states "2 mL per 4 L of milk" well enough; an ingredient's amount does not.
            (Some(_), None) => matches!(self.place.course.measure(candidate.measure).owner, Owner::Step { .. }),
            (None, Some(_)) => false,
        };
        rates && (said == own || self.density(mention.dimension(), candidate).is_some())
    }

    /// What the words say, for as much of it as the model's rate is for, and for an oven without a fan.
    fn on_the_models_terms(&self, mention: &Mention, candidate: &Candidate, said: &End) -> End {
        let mut base = said.quantity.base();
        if let (Some(theirs), Some(ours)) = (mention.amount.per, candidate.per) {
            base = base * ours.quantity.base() / theirs.quantity.base();
        }
        let mut step = said.step;
        if mention.marks.fan {
            // A fan oven is set about 20 °C lower (common practice); its dial has marks like any other.
            base = base + Exact::whole(FAN_SETS_LOWER);
            step = Exact::ZERO;
        }
        match Quantity::from_base(said.quantity.dimension(), base) {
            Some(quantity) => End { quantity, step, ..*said },
            None => *said,
        }
    }

    fn density(&self, said: Dimension, candidate: &Candidate) -> Option<(Exact, &[String])> {
        let own = candidate.low.quantity.dimension();
        let bulk = |kind| matches!(kind, Dimension::Mass | Dimension::Volume);
        (self.by_density && bulk(said) && bulk(own) && said != own)
            .then(|| self.place.density(candidate.ingredient?))
            .flatten()
    }

    fn setting(&self, mention: &Mention, candidate: &Candidate) -> Setting {
        let hot = candidate.high.quantity.base() >= Exact::whole(if self.oven { 90 } else { 130 });
        let temperature = candidate.low.quantity.dimension() == Dimension::Temperature;
        Setting { oven: temperature && hot, minimum: candidate.bound == Bound::AtLeast, about: mention.amount.about }
    }

    pub fn end_agrees(&self, mention: &Mention, candidate: &Candidate, model: &End, said: &End) -> bool {
        let units = &self.place.reference.units;
        let said = &self.on_the_models_terms(mention, candidate, said);
        if agree(model, said, units, self.setting(mention, candidate)) {
            return true;
        }
        let Some((density, tags)) = self.density(mention.dimension(), candidate) else { return false };
        let (a, b) = (model.quantity.base(), said.quantity.base());
        let (grams, millilitres) = if model.quantity.dimension() == Dimension::Mass { (a, b) } else { (b, a) };
        agree_by_density(grams, millilitres, density, tags)
    }

    /// An end of a candidate as a base value of the kind that a mention speaks of: weight as volume, or the reverse.
    pub fn same_kind(&self, mention: &Mention, candidate: &Candidate, end: &End) -> Option<Exact> {
        let base = end.quantity.base();
        if mention.dimension() == end.quantity.dimension() {
            return Some(base);
        }
        let (density, _) = self.density(mention.dimension(), candidate)?;
        Some(if mention.dimension() == Dimension::Mass { base * density } else { base / density })
    }

    /// Whether a mention states a candidate: end by end, a single value inside a range, a limit at its end.
    pub fn states(&self, mention: &Mention, candidate: &Candidate) -> bool {
        if mention.marks.falls || !self.comparable(mention, candidate) || self.goes_the_other_way(mention, candidate) {
            return false;
        }
        let amount = &mention.amount;
        let opposite = [amount.bound, candidate.bound];
        if opposite.contains(&Bound::AtLeast) && opposite.contains(&Bound::AtMost) {
            return false;
        }
        let low = |said: &End| self.end_agrees(mention, candidate, &candidate.low, said);
        let high = |said: &End| self.end_agrees(mention, candidate, &candidate.high, said);
        if amount.range {
            return candidate.range && low(&amount.low) && high(&amount.high);
        }
        let said = &amount.low;
        if self.is_room(candidate) && amount.bound == Bound::AtLeast {
            // "A pot of at least 5 litres": a larger one will do.
            return said.quantity.base() <= candidate.high.quantity.base();
        }
        if !candidate.range {
            return low(said) || self.total_agrees(mention, candidate);
        }
        match amount.bound {
            // "If it falls below 24 °C": either end of 24–26 °C is a threshold.
            _ if mention.marks.threshold => low(said) || high(said),
            Bound::AtLeast => low(said),
            Bound::AtMost => high(said),
            Bound::None => low(said) || high(said) || self.inside(mention, candidate),
        }
    }

    /// Where a way starts is never what the step reaches, nor the other way round.
    fn goes_the_other_way(&self, mention: &Mention, candidate: &Candidate) -> bool {
        let Some(step) = self.place.here() else { return false };
        let is = |ids: [Option<MeasureId>; 2]| ids.contains(&Some(candidate.measure));
        match mention.marks.journey {
            Journey::Start => step.from.is_some() && is([step.to, step.at]),
            Journey::End => is([step.from, None]),
            Journey::None | Journey::Whole => false,
        }
    }

    /// Whether a candidate is what a vessel holds.
    fn is_room(&self, candidate: &Candidate) -> bool {
        let owner = self.place.course.measure(candidate.measure).owner;
        matches!(owner, Owner::Equipment { .. }) && candidate.low.quantity.dimension() == Dimension::Volume
    }

    /// A single value between the ends. Facts hold for every lesson, so they are matched only at their ends: else any
    /// cool temperature would be "room temperature".
    fn inside(&self, mention: &Mention, candidate: &Candidate) -> bool {
        let value = mention.amount.low.quantity.base();
        candidate.ring != Ring::Fact
            && mention.dimension() == candidate.low.quantity.dimension()
            && candidate.low.quantity.base() < value
            && value < candidate.high.quantity.base()
    }

    /// `3 × 30 s` states 90 seconds too.
    fn total_agrees(&self, mention: &Mention, candidate: &Candidate) -> bool {
        mention.times.is_some_and(|times| {
            mention.dimension() == candidate.low.quantity.dimension()
                && mention.amount.low.quantity.base() * times.value == candidate.low.quantity.base()
        })
    }

    /// The candidate that most of a group states; the nearest to the words wins.
    pub fn best(&self, group: &[Mention], candidates: &[Candidate]) -> Option<Candidate> {
        let score = |candidate: &Candidate| group.iter().filter(|mention| self.states(mention, candidate)).count();
        let mut best: Option<(usize, Candidate)> = None;
        for candidate in candidates {
            let score = score(candidate);
            if score > best.as_ref().map_or(0, |(most, _)| *most) {
                best = Some((score, *candidate));
            }
        }
        best.map(|(_, candidate)| candidate)
    }

    /// The candidate whose value is nearest, for saying what was probably meant.
    pub fn nearest(&self, mention: &Mention, candidates: &[Candidate]) -> Option<Candidate> {
        let said = mention.amount.low.quantity.base().to_f64();
        let gap = |candidate: &Candidate| {
            let own = candidate.low.quantity.base().to_f64();
            (own - said).abs() / own.abs().max(said.abs()).max(f64::MIN_POSITIVE)
        };
        let same_kind = candidates.iter().filter(|candidate| candidate.low.quantity.dimension() == mention.dimension());
        let closest = |a: &&Candidate, b: &&Candidate| gap(a).total_cmp(&gap(b));
        same_kind.min_by(closest).or_else(|| candidates.first()).copied()
    }

    /// "from 20 °C to 43 °C": two measures of one step, in this order; named by the one it ends at.
    pub fn journey(&self, mention: &Mention, candidates: &[Candidate]) -> Option<Candidate> {
        let way = mention.amount.range && mention.dimension() == Dimension::Temperature;
        if !way && mention.marks.journey != Journey::Whole {
            return None;
        }
        let own = |end: &End, role: fn(&Step) -> [Option<MeasureId>; 2]| {
            let step = self.place.here()?;
            let ids = role(step);
            let mut of_step = candidates.iter().filter(|candidate| ids.contains(&Some(candidate.measure)));
            of_step
                .find(|candidate| !candidate.range && self.end_agrees(mention, candidate, &candidate.low, end))
                .copied()
        };
        own(&mention.amount.low, |step| [step.from, None])?;
        own(&mention.amount.high, |step| [step.to, step.at])
    }

    /// Whether two mentions say the same by the table of units alone.
    pub fn same_amount(&self, a: &Mention, b: &Mention) -> bool {
        agree(&a.amount.low, &b.amount.low, &self.place.reference.units, Setting::default())
    }

    /// Whether two halves of a pair belong together, apart from the model.
    pub fn pair_holds(&self, a: &Mention, b: &Mention, candidate: &Candidate) -> bool {
        let alike = a.dimension() == b.dimension() && a.amount.range == b.amount.range;
        if !alike || a.marks.fan != b.marks.fan {
            return true;
        }
        let units = &self.place.reference.units;
        let setting = self.setting(a, candidate);
        agree(&a.amount.low, &b.amount.low, units, setting) && agree(&a.amount.high, &b.amount.high, units, setting)
    }
}
