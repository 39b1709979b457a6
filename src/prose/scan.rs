//! One walk over a text: every quantity in it, look-alikes left out.
//!
//! A figure counts only with a unit, or before a thing that is counted here. So years, dates, clock times, prices and
//! step numbers fall away by themselves; `context` handles the ones that look closer.

use super::context::{
    NAMERS, is_angle, is_change, is_class, is_idle_article, is_name, is_negated, is_seen_to_fall, may_hold_address,
    moves_warmth, named_number, sets_limit, skip_blank, whole_token, words_after, words_before,
};
use super::mention::{Journey, Marks, Mention};
use super::nouns::Nouns;
use crate::quantity::{
    Amount, Bound, Dimension, Exact, Number, NumberForm, OPENERS, Openers, Per, UnitId, Units, Values, fold_letter,
    phrase, read_between, read_per, read_prefix, read_suffix, read_values,
};
use crate::source::MappedText;
use std::ops::Range;

/// Finds every quantity in a text.
///
/// `nouns` are the things of this kitchen: they tell what a quantity is of, and which bare numbers count something.
pub fn scan_run(run: &MappedText, units: &Units, nouns: &Nouns) -> Vec<Mention> {
    let addresses = may_hold_address(&run.text);
    let mut scan = Scan { run, text: &run.text, units, nouns, found: Vec::new(), pairs: 0, addresses };
    scan.walk();
    scan.join_pairs();
    scan.bound_pairs();
    scan.drop_definitions();
    scan.join_journeys();
    scan.mark_falls();
    scan.find_nouns();
    scan.found
}

pub(super) struct Scan<'a> {
    pub(super) run: &'a MappedText,
    pub(super) text: &'a str,
    pub(super) units: &'a Units,
    pub(super) nouns: &'a Nouns,
    pub(super) found: Vec<Mention>,
    pub(super) pairs: u32,
    pub(super) addresses: bool,
}

/// What a word must pass to be looked at closely.
static WORTH_READING: Openers = OPENERS.with(NAMERS);

impl Scan<'_> {
    fn walk(&mut self) {
        let mut at = 0;
        while let Some(letter) = self.text[at..].chars().next() {
            at = if !self.starts_token(at, letter) {
                at + letter.len_utf8()
            } else if self.is_mere_word(at, letter) {
                self.end_of_word(at)
            } else {
                self.token(at)
            };
        }
    }

    /// Whether a word begins here that begins no quantity, no name of a number and no address.
    fn is_mere_word(&self, at: usize, letter: char) -> bool {
        letter.is_alphabetic() && !self.addresses && (!letter.is_ascii() || !WORTH_READING.may_open(&self.text[at..]))
    }

    /// Whether a quantity or a word could begin here.
    fn starts_token(&self, at: usize, letter: char) -> bool {
        let before = self.text[..at].chars().next_back();
        let joined = before.is_some_and(|c| c.is_alphanumeric() || c == '±');
        let sign = matches!(letter, '−' | '-' | '–' | '~' | '≈' | '≥' | '≤' | '<' | '>' | '£' | '$' | '€' | '.');
        !joined && (letter.is_alphanumeric() || sign)
    }

    /// Reads what begins at `at`; returns where to go on.
    fn token(&mut self, at: usize) -> usize {
        if let Some(end) = whole_token(self.text, at).or_else(|| named_number(self.text, at)) {
            return end;
        }
        let (mut qualifier, taken) = read_prefix(&self.text[at..]);
        let start = at + taken;
        let crossing = qualifier.crosses;
        let negated = crossing && is_negated(&words_before(self.text, at, 7));
        if negated {
            qualifier.bound = qualifier.bound.map(Bound::opposite);
        }
        let known = self.found.len();
        if let Some(end) = self.quantity(start, qualifier.bound, qualifier.about) {
            self.found[known..].iter_mut().for_each(|found| found.marks.threshold = crossing && !negated);
            return end;
        }
        if taken > 0 {
            // "a good hour": what looked like a qualifier may be part of the quantity.
            return self.quantity(at, None, false).unwrap_or(start);
        }
        self.end_of_word(at)
    }

    fn end_of_word(&self, at: usize) -> usize {
        let rest = &self.text[at..];
        let first = rest.chars().next().map_or(1, char::len_utf8);
        // Letters and figures that hang together are one token: E330, B12, T65.
        let len = rest[first..].find(|c: char| !c.is_alphanumeric()).unwrap_or(rest.len() - first);
        at + first + len
    }

    /// A quantity at exactly `start`; where it ends.
    pub(super) fn quantity(&mut self, start: usize, bound: Option<Bound>, about: bool) -> Option<usize> {
        let rest = &self.text[start..];
        if let Some(len) = phrase(rest, "between") {
            let at = skip_blank(self.text, start + len);
            let values = read_between(&self.text[at..], self.units)?;
            values.unit()?;
            return self.accept(at, values, bound, about);
        }
        if !self.may_begin_number(start) {
            return None;
        }
        if let Some(end) = self.plus_minus(start) {
            return Some(end);
        }
        let values = read_values(rest, self.units)?;
        if values.unit().is_some() {
            return self.accept(start, values, bound, about);
        }
        self.times(start, &values)
            .or_else(|| self.shared_unit(start, &values))
            .or_else(|| self.part_of(start, &values))
            .or_else(|| self.count(start, values, bound, about))
    }

    fn may_begin_number(&self, start: usize) -> bool {
        let Some(letter) = self.text[start..].chars().next() else { return false };
        let signed = matches!(letter, '−' | '-' | '–');
        if signed {
            // A minus belongs to a number only where no word or figure stands before it.
            let before = self.text[..start].chars().next_back();
            return before.is_none_or(|c| fold_letter(c) == ' ' || matches!(c, '(' | '[' | '/'));
        }
        letter.is_alphanumeric() || letter == '.' || "¼½¾⅓⅔⅛⅜⅝⅞⅕⅖⅗⅘⅙⅚⅐⅑⅒⅟".contains(letter)
    }

    /// Takes a value with a unit, unless what stands around it makes it something else.
    pub(super) fn accept(
        &mut self,
        start: usize,
        values: Values,
        mut bound: Option<Bound>,
        about: bool,
    ) -> Option<usize> {
        let end = start + values.len;
        let mut amount = values.amount(self.units)?;
        let unit = self.units.get(amount.unit());
        let before = words_before(self.text, start, 5);
        let after = words_after(self.text, end, 5);
        let attached =
            unit.id == "second" && self.text[..end].ends_with('s') && values.low.number_len + 1 == values.len;
        let label = attached
            && amount.low.number.value < Exact::whole(10)
            && before.first().is_some_and(|word| ["the", "and", "or", "your", "my"].contains(&word.as_str()));
        let decade = label || attached && values.len == 5 && amount.low.number.value > Exact::whole(999);
        if decade
            || self.is_inch_that_is_a_word(&unit.id, start + values.len)
            || is_name(&after)
            || self.names_a_rule(end)
        {
            return Some(end);
        }
        if values.low.number.form == NumberForm::Article
            && values.low.more.is_none()
            && self.is_idle(&unit.id, amount.unit(), start, end, &before, &after)
        {
            return Some(self.end_of_word(start));
        }
        match unit.dimension {
            Dimension::Temperature if amount.bare && is_angle(&before, &after) => return Some(end),
            Dimension::Temperature if is_change(&before, &after) => {
                amount = self.as_change(amount)?;
                bound = bound.filter(|_| before.first().is_none_or(|word| word != "within"));
            }
            // "set in 16 pt": a printer's point.
            Dimension::Volume
                if self.text[..end].ends_with("pt")
                    && before
                        .iter()
                        .any(|word| matches!(word.as_str(), "text" | "type" | "font" | "letters" | "print")) =>
            {
                return Some(end);
            }
            Dimension::Share if is_class(&after) => return Some(end),
            // Nothing in a kitchen is fifty metres long: an altitude.
            Dimension::Length if amount.low.quantity.base() >= Exact::whole(50_000) => return Some(end),
            _ => {}
        }
        let mut end = end;
        if values.low.number.form == NumberForm::Article
            && let Some(len) = phrase(self.text[end..].trim_start(), "or two")
        {
            // "an hour or two"
            amount.high.quantity =
                crate::quantity::Quantity::from_base(unit.dimension, amount.low.quantity.base() * Exact::whole(2))?;
            (amount.range, amount.about) = (true, true);
            end = skip_blank(self.text, end) + len;
        }
        let mut past = end;
        if let Some((per, taken)) = self.rate_after(end) {
            amount.per = Some(per);
            past += taken;
        }
        let (suffix, taken) = read_suffix(&self.text[past..]);
        let bound = bound.filter(|_| sets_limit(self.text, start, unit.dimension));
        amount.bound = bound.or(suffix.bound).unwrap_or(Bound::None);
        amount.about |= about || suffix.about;
        if self.is_way(&amount, &before, start) {
            return self.push_way(start, &values);
        }
        self.push(start..end, amount, None);
        let is = |words: &[String], word: &str| words.first().is_some_and(|first| first == word);
        if let Some(mention) = self.found.last_mut() {
            let fan = |words: &[String]| words.iter().take(3).any(|word| word == "fan");
            mention.marks.fan = unit.dimension == Dimension::Temperature && (fan(&after) || fan(&before));
            if amount.range && is(&before, "from") {
                mention.marks.journey = Journey::Whole;
            }
        }
        Some(past + taken)
    }

    /// "warm it from 20 °C to 43 °C" goes from one reading to another; "from 85 °C up to 90 °C" alone is a range.
    fn is_way(&self, amount: &Amount, before: &[String], start: usize) -> bool {
        let from = before.first().is_some_and(|word| word == "from");
        amount.range
            && amount.dimension() == Dimension::Temperature
            && from
            && words_before(self.text, start, 8).iter().any(|word| moves_warmth(word))
    }

    fn push_way(&mut self, start: usize, values: &Values) -> Option<usize> {
        let high = values.high.clone()?;
        let whole = start + values.len;
        let ends = [(values.low.clone(), start, Journey::Start), (high.clone(), whole - high.len, Journey::End)];
        for (mut end, at, journey) in ends {
            let len = end.len;
            end.unit = end.unit.or(values.unit());
            let amount = Values { low: end, high: None, len }.amount(self.units)?;
            self.push(at..at + len, amount, None);
            self.found.last_mut()?.marks.journey = journey;
        }
        Some(whole)
    }

    /// What makes a quantity a rate, also with its thing between: `750 g of sugar for every kilo`.
    fn rate_after(&self, end: usize) -> Option<(Per, usize)> {
        if let Some(found) = read_per(&self.text[end..], self.units) {
            return Some(found);
        }
        let of = skip_blank(self.text, end);
        let at = skip_blank(self.text, of + phrase(&self.text[of..], "of")?);
        let (_, thing) = self.noun_at(at, 2)?;
        let (per, len) = read_per(&self.text[thing..], self.units)?;
        Some((per, thing + len - end))
    }

    /// `the 2-hour/4-hour rule`
    fn names_a_rule(&self, end: usize) -> bool {
        self.text[end..].starts_with('/') && words_after(self.text, end + 1, 3).iter().any(|word| word == "rule")
    }

    /// `2 in the pot`: the shortest unit of all is also a preposition.
    fn is_inch_that_is_a_word(&self, unit: &str, end: usize) -> bool {
        let written = self.text.as_bytes()[..end].last_chunk::<2>();
        if unit != "inch" || !written.is_some_and(|letters| letters.eq_ignore_ascii_case(b"in")) {
            return false;
        }
        const OF_LENGTH: &[&str] = &[
            "cube", "cubes", "dice", "piece", "pieces", "thick", "wide", "deep", "long", "across", "square", "squares",
            "slice", "slices", "strip", "strips", "tin", "pan", "pot", "ring", "round", "rounds", "high", "tall",
            "apart", "of", "lengths", "chunks", "by", "x", "diameter", "knife", "sieve", "plate", "bowl", "rod",
        ];
        words_after(self.text, end, 1).first().is_some_and(|word| !OF_LENGTH.contains(&word.as_str()))
    }

    /// `a cup`, `a minute`, `a second`: a thing or an idiom, unless it clearly measures.
    fn is_idle(&self, id: &str, unit: UnitId, start: usize, end: usize, before: &[String], after: &[String]) -> bool {
        // "£2 a litre", "200 litres a day": a rate.
        let priced = words_before(self.text, start, 1).first().is_some_and(|word| {
            word.strip_suffix('p')
                .is_some_and(|digits| !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()))
        });
        let rate = priced || self.found.last().is_some_and(|last| skip_blank(self.text, last.range.end) == start);
        if rate || is_idle_article(id, before, after, self.noun_after(end).is_some()) {
            return true;
        }
        // "a drop of whey runs off" tells what is seen, "a drop of vanilla" what goes in.
        let told = |at: usize| is_seen_to_fall(before, &words_after(self.text, at, 5));
        if id == "drop" && (told(end) || self.thing_after(end).is_some_and(|(_, past, _)| told(past))) {
            return true;
        }
        let of = self.units.get(unit);
        let is_rough = of.approximate && of.dimension != Dimension::Time; // "a month" is as long as it is
        let needs_thing = crate::quantity::is_vessel(self.units, unit) || is_rough;
        needs_thing && self.noun_after(end).is_none()
    }

    fn as_change(&self, amount: Amount) -> Option<Amount> {
        let mut changed = amount;
        for end in [&mut changed.low, &mut changed.high] {
            let unit = self.units.get(end.unit);
            let kelvin = end.quantity.base() - unit.zero;
            end.quantity = crate::quantity::Quantity::from_base(Dimension::Difference, kelvin)?;
            end.unit = self.units.change_of(end.unit)?;
        }
        Some(changed)
    }

    pub(super) fn push(&mut self, range: Range<usize>, amount: Amount, times: Option<Number>) {
        self.found.push(Mention {
            span: self.run.home(range.clone()),
            pieces: self.run.home_pieces(range.clone()),
            text: self.text[range.clone()].to_owned(),
            range,
            amount,
            pair: None,
            nouns: Vec::new(),
            times,
            marks: Marks::default(),
        });
    }
}
