//! Numbers without a unit of their own: multiples, shared units, parts of a thing, counted things.

use super::context::{skip_blank, words_after, words_before};
use super::mention::NounHit;
use super::nouns::Found;
use super::scan::Scan;
use crate::quantity::{
    Bound, Dimension, Exact, Number, NumberForm, Values, fold_letter, phrase, read_between, read_values,
};
use std::ops::Range;

impl Scan<'_> {
    /// `38 ± 1 °C`
    pub(super) fn plus_minus(&mut self, start: usize) -> Option<usize> {
        let (middle, len) = Number::read(&self.text[start..], self.units.style())
            .filter(|(number, _)| number.form != NumberForm::Article)?;
        let sign = skip_blank(self.text, start + len);
        if !self.text[sign..].starts_with('±') {
            return None;
        }
        let at = skip_blank(self.text, sign + '±'.len_utf8());
        let values = read_values(&self.text[at..], self.units)?;
        let unit = self.units.get(values.unit()?.unit);
        let mut amount = values.amount(self.units)?;
        let spread = values.low.number.value;
        for (end, value) in [(&mut amount.low, middle.value - spread), (&mut amount.high, middle.value + spread)] {
            end.quantity = crate::quantity::Quantity::from_base(unit.dimension, unit.to_base(value))?;
            end.number = Number { value, form: end.number.form };
        }
        amount.range = true;
        let end = at + values.len;
        self.push(start..end, amount, None);
        Some(end)
    }

    /// `3 × 30 s`, `two 250 g jars`: so many of an amount.
    pub(super) fn times(&mut self, start: usize, number: &Values) -> Option<usize> {
        if number.high.is_some() || number.low.number.form == NumberForm::Article {
            return None;
        }
        let mut at = skip_blank(self.text, start + number.len);
        let sign = self.text[at..].chars().next()?;
        let crossed = matches!(sign, '×' | '✕' | '*')
            || matches!(sign, 'x' | 'X')
                && self.text[at + 1..].starts_with(|c: char| fold_letter(c) == ' ' || c.is_ascii_digit());
        if crossed {
            at = skip_blank(self.text, at + sign.len_utf8());
        } else if !sign.is_ascii_digit() || at == start + number.len {
            return None;
        }
        let values = read_values(&self.text[at..], self.units)?;
        values.unit()?;
        let amount = values.amount(self.units)?;
        let end = at + values.len;
        // `20 × 30 cm` is a tin's two sides, not twenty lengths.
        if crossed && amount.dimension() == Dimension::Length {
            return self.lend_unit(start, number, values);
        }
        if let Some((found, _)) = self.noun_at(skip_blank(self.text, end), 2).filter(|(found, _)| found.counted) {
            self.push_count(start..start + number.len, number, found)?;
        }
        self.push(at..end, amount, Some(number.low.number));
        Some(end)
    }

    /// `at 5 and 10 minutes`: two values, one unit. Beside a range, `between 20 and 22 °C (68 and 72 °F)`, one range.
    pub(super) fn shared_unit(&mut self, start: usize, number: &Values) -> Option<usize> {
        if number.high.is_some() || number.low.number.form == NumberForm::Article {
            return None;
        }
        let joint = skip_blank(self.text, start + number.len);
        let by = phrase(&self.text[joint..], "by");
        // A range that falls: `from 92 down to 43 °C`, `20 to 15 minutes` (which is a slip, and must not be half read).
        let falls = || ["down to", "to", "–", "-"].iter().find_map(|words| phrase(&self.text[joint..], words));
        let joint_len = by.or_else(|| phrase(&self.text[joint..], "and")).or_else(falls)?;
        let second = skip_blank(self.text, joint + joint_len);
        let values = read_values(&self.text[second..], self.units)?;
        if by.is_some() && values.amount(self.units)?.dimension() != Dimension::Length {
            return None;
        }
        if values.high.is_some() || values.low.number.form == NumberForm::Article {
            return None;
        }
        values.unit()?;
        let beside_range =
            self.found.last().is_some_and(|last| last.amount.range && self.text[last.range.end..start].trim() == "(");
        if beside_range && let Some(range) = read_between(&self.text[start..], self.units) {
            return self.accept(start, range, None, false);
        }
        self.lend_unit(start, number, values)
    }

    /// Takes a bare number with the unit of the value after it, which is read by itself.
    fn lend_unit(&mut self, start: usize, number: &Values, second: Values) -> Option<usize> {
        let mut first = second;
        first.low.number = number.low.number;
        first.low.negative = number.low.negative;
        first.low.more = None;
        first.high = None;
        let amount = first.amount(self.units)?;
        let end = start + number.len;
        self.push(start..end, amount, None);
        Some(end)
    }

    /// `half the salt`, `two thirds of the brine`.
    pub(super) fn part_of(&mut self, start: usize, number: &Values) -> Option<usize> {
        let value = number.low.number;
        let fraction = value.form == NumberForm::Words && value.value < Exact::ONE && !value.value.is_zero();
        if !fraction || number.high.is_some() {
            return None;
        }
        let end = start + number.len;
        let mut at = skip_blank(self.text, end);
        let of = phrase(&self.text[at..], "of");
        at = of.map_or(at, |len| skip_blank(self.text, at + len));
        if of.is_some() && ["it", "them"].iter().any(|word| phrase(&self.text[at..], word).is_some()) {
            let noun = self.last_noun(start);
            return self.push_part(start..end, number, noun);
        }
        let the = ["the", "your", "this", "that", "its"].iter().find_map(|word| phrase(&self.text[at..], word))?;
        at = skip_blank(self.text, at + the);
        let (found, _) = self.noun_at(at, 2)?;
        self.push_part(start..end, number, Some(found))
    }

    /// The thing named last before a byte: what "it" is.
    fn last_noun(&self, before: usize) -> Option<Found> {
        let sentence = self.text[..before].rfind(['.', '!', '?', ';']).map_or(0, |at| at + 1);
        let text = &self.text[sentence..before];
        let starts = text.char_indices().filter(|(at, letter)| {
            letter.is_alphabetic() && !text[..*at].chars().next_back().is_some_and(char::is_alphanumeric)
        });
        starts.filter_map(|(at, _)| self.nouns.match_start(&text[at..])).next_back()
    }

    fn push_part(&mut self, range: Range<usize>, number: &Values, noun: Option<Found>) -> Option<usize> {
        let unit = self.units.fraction();
        let mut amount = number.amount(self.units)?;
        let quantity = crate::quantity::Quantity::from_base(Dimension::Share, number.low.number.value)?;
        for end in [&mut amount.low, &mut amount.high] {
            end.quantity = quantity;
            end.unit = unit;
        }
        let end = range.end;
        self.push(range, amount, None);
        let mention = self.found.last_mut()?;
        mention.nouns.extend(noun.map(|found| NounHit { noun: found.id, firm: true, of: false }));
        Some(end)
    }

    fn push_count(&mut self, range: Range<usize>, number: &Values, found: Found) -> Option<()> {
        let amount = number.amount(self.units)?;
        self.push(range, amount, None);
        self.found.last_mut()?.nouns.push(NounHit { noun: found.id, firm: true, of: false });
        Some(())
    }

    /// `1 (400 g) can`: a number of things whose size stands in brackets.
    fn count_before_bracket(&self, end: usize) -> Option<Found> {
        let open = skip_blank(self.text, end);
        let inner = self.text[open..].strip_prefix('(')?;
        let size = read_values(inner, self.units).filter(|values| values.unit().is_some())?;
        let close = inner[size.len..].strip_prefix(')')?;
        let at = skip_blank(self.text, self.text.len() - close.len());
        self.noun_at(at, 1).map(|(found, _)| found).filter(|found| found.counted)
    }

    /// `Eggs: 3`, `Eggs, 3`: the thing stands before its number.
    fn count_after_noun(&self, start: usize, end: usize) -> Option<Found> {
        let closed = self.text[end..].trim_start().chars().next().is_none_or(|c| ",.;)".contains(c));
        let stem = self.text[..start].trim_end();
        let opened = stem.ends_with([':', ',', '–', '—']);
        let (found, _) = self.noun_before(start).filter(|_| closed && opened)?;
        found.counted.then_some(found)
    }

    /// `six flatbreads`: a bare number before a thing that is counted here.
    pub(super) fn count(&mut self, start: usize, values: Values, bound: Option<Bound>, about: bool) -> Option<usize> {
        let number = values.low.number;
        // "one" is mostly a pronoun: one of them, one at a time.
        let one =
            number.value == Exact::ONE && values.high.is_none() && !matches!(number.form, NumberForm::Digits { .. });
        if one || values.low.negative || number.form == NumberForm::Article {
            return None;
        }
        let end = start + values.len;
        if let Some(found) = self.count_before_bracket(end).or_else(|| self.count_after_noun(start, end)) {
            self.push_count(start..end, &values, found)?;
            return Some(end);
        }
        let gap = skip_blank(self.text, end);
        if gap == end && !self.text[end..].starts_with(['-', '‑']) {
            return None;
        }
        let (found, noun_end) = self.noun_at(gap, 2)?;
        let before = words_before(self.text, start, 2);
        let some_of = ["first", "last", "next", "other", "another", "second", "final", "only"];
        let after = words_after(self.text, noun_end, 3);
        let in_turn = after.len() == 3 && after[0] == "at" && after[2] == "time"
            || after.len() >= 2
                && matches!(after[0].as_str(), "to" | "per" | "in" | "on")
                && matches!(after[1].as_str(), "a" | "each" | "the");
        if !found.counted || in_turn || before.iter().any(|word| some_of.contains(&word.as_str())) {
            return None;
        }
        let mut amount = values.amount(self.units)?;
        amount.bound = bound.unwrap_or(Bound::None);
        amount.about |= about;
        // "half a lemon": the article belongs to the number.
        let article = (!number.value.is_whole()).then(|| phrase(&self.text[gap..], "a")).flatten();
        let end = article.map_or(end, |len| gap + len);
        self.push(start..end, amount, None);
        let mention = self.found.last_mut()?;
        mention.nouns.push(NounHit { noun: found.id, firm: true, of: false });
        Some(end)
    }
}
