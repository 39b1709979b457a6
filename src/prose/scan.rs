//! One walk over a text: every quantity in it, look-alikes left out.
//!
//! A figure counts only with a unit, or before a thing that is counted here. So years, dates, clock times, prices and
//! step numbers fall away by themselves; `context` handles the ones that look closer.

use super::context::{
    CLAUSE_WORDS, NAMERS, is_angle, is_change, is_class, is_idle_article, is_name, is_negated, may_hold_address,
    moves_warmth, named_number, sets_limit, skip_blank, whole_token, words_after, words_before,
};
use super::mention::{Journey, Marks, Mention, NounHit};
use super::nouns::{Found, Nouns};
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

struct Scan<'a> {
    run: &'a MappedText,
    text: &'a str,
    units: &'a Units,
    nouns: &'a Nouns,
    found: Vec<Mention>,
    pairs: u32,
    addresses: bool,
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
    fn quantity(&mut self, start: usize, bound: Option<Bound>, about: bool) -> Option<usize> {
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
    fn accept(&mut self, start: usize, values: Values, mut bound: Option<Bound>, about: bool) -> Option<usize> {
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
        let written_in = self.text[..end].to_ascii_lowercase().ends_with("in") && unit == "inch";
        if !written_in {
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
        let needs_thing = crate::quantity::is_vessel(self.units, unit) || self.units.get(unit).approximate;
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

    /// `38 ± 1 °C`
    fn plus_minus(&mut self, start: usize) -> Option<usize> {
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
    fn times(&mut self, start: usize, number: &Values) -> Option<usize> {
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
    fn shared_unit(&mut self, start: usize, number: &Values) -> Option<usize> {
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
    fn part_of(&mut self, start: usize, number: &Values) -> Option<usize> {
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
    fn count(&mut self, start: usize, values: Values, bound: Option<Bound>, about: bool) -> Option<usize> {
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

    fn push(&mut self, range: Range<usize>, amount: Amount, times: Option<Number>) {
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

    /// `12 to 6 minutes`: a slip, unless a temperature goes that way in words.
    fn mark_falls(&mut self) {
        for index in 1..self.found.len() {
            let (left, right) = (&self.found[index - 1], &self.found[index]);
            let joint = self.text[left.range.end..right.range.start].trim();
            let lent = left.range.end - left.range.start <= 5 && !left.text.contains(char::is_alphabetic);
            let falls = lent
                && left.dimension() == right.dimension()
                && matches!(joint, "to" | "–" | "-")
                && left.amount.low.quantity.base() > right.amount.low.quantity.base()
                && left.marks.journey == Journey::None;
            if falls {
                self.found[index - 1].marks.falls = true;
                self.found[index].marks.falls = true;
            }
        }
    }

    /// `82 °C (180 °F) or hotter`: a limit written after the bracket holds for both halves.
    fn bound_pairs(&mut self) {
        for index in 0..self.found.len() {
            let (pair, end) = (self.found[index].pair, self.found[index].range.end);
            let closed = pair.is_some() && self.text[end..].starts_with([')', ']']);
            let Some(bound) = closed.then(|| read_suffix(&self.text[end + 1..]).0.bound).flatten() else { continue };
            self.found.iter_mut().filter(|one| one.pair == pair).for_each(|one| one.amount.bound = bound);
        }
    }

    /// `1 tbsp = 15 mL` explains a unit; whoever gets it wrong has stated a measure that nobody declared.
    fn drop_definitions(&mut self) {
        let one = |mention: &Mention| mention.amount.low.number.value == Exact::ONE;
        let same = |a: &Mention, b: &Mention| a.amount.low.quantity == b.amount.low.quantity;
        let explains: Vec<u32> = self
            .found
            .windows(2)
            .filter(|two| two[1].marks.equals && one(&two[0]) && same(&two[0], &two[1]))
            .filter_map(|two| two[1].pair)
            .collect();
        self.found.retain(|mention| !mention.pair.is_some_and(|pair| explains.contains(&pair)));
    }

    /// `from 90 °C down to 43 °C`, `from 32 °C (90 °F) to 38 °C (100 °F)`: no range, but which is which matters.
    fn join_journeys(&mut self) {
        for index in 1..self.found.len() {
            let (before, second) = (&self.found[index - 1], &self.found[index]);
            let group = |one: &Mention, other: &Mention| one.pair.is_some() && one.pair == other.pair;
            let first = self.found[..index].iter().position(|one| group(one, before)).unwrap_or(index - 1);
            let between = self.text[before.range.end..second.range.start].trim_start_matches([')', ']']).trim();
            let readings = [before, second];
            let plain = readings.iter().all(|one| one.dimension() == Dimension::Temperature && !one.amount.range);
            let starts =
                words_before(self.text, self.found[first].range.start, 1).first().is_some_and(|word| word == "from");
            if plain && starts && matches!(between, "to" | "down to" | "up to") {
                let last =
                    (index..self.found.len()).take_while(|at| *at == index || group(&self.found[*at], second)).last();
                let last = last.unwrap_or(index);
                self.found[first..index].iter_mut().for_each(|one| one.marks.journey = Journey::Start);
                self.found[index..=last].iter_mut().for_each(|one| one.marks.journey = Journey::End);
            }
        }
    }

    /// `92 °C (198 °F)`, `161 °F / 72 °C`, `4 litres, or 7 pints`: one measure in two units.
    fn join_pairs(&mut self) {
        for index in 1..self.found.len() {
            let (left, right) = (&self.found[index - 1], &self.found[index]);
            if !self.is_pair(left, right) {
                continue;
            }
            let group = left.pair.unwrap_or_else(|| {
                self.pairs += 1;
                self.pairs - 1
            });
            let equals = self.text[left.range.end..right.range.start].contains('=');
            let bound = left.amount.bound;
            self.found[index].marks.equals = equals;
            if self.found[index].amount.bound == Bound::None {
                self.found[index].amount.bound = bound; // "at most 5 °C (41 °F)"
            }
            self.found[index - 1].pair = Some(group);
            self.found[index].pair = Some(group);
        }
    }

    fn is_pair(&self, left: &Mention, right: &Mention) -> bool {
        let between = &self.text[left.range.end..right.range.start];
        let joint = self.without_noun(between, left.range.end);
        let joint =
            phrase(joint, "fan").map_or(joint, |len| joint[len..].trim_start_matches(|c| fold_letter(c) == ' '));
        let (opened, joint) = match joint.strip_prefix(['(', '[']) {
            Some(rest) => (true, rest),
            None => (false, joint),
        };
        let continued = left.pair.is_some() && matches!(joint.trim(), "," | ";" | "/" | "or");
        let plain = joint.trim_start_matches([',', '/', '=', ';']).trim().trim_end_matches(',');
        let (_, taken) = read_prefix(&format!("{plain} "));
        let words = plain.get(taken.min(plain.len())..).unwrap_or("").trim();
        let joined = opened && matches!(words, "" | "or" | "about" | "that is" | "i.e.")
            || continued
            || !opened
                && matches!(
                    words,
                    "" | "or"
                        | "or about"
                        | "or around"
                        | "or roughly"
                        | "that is"
                        | "i.e."
                        | "which is"
                        | "which are"
                        | "which makes"
                )
                && !plain.is_empty()
            || !opened && words.is_empty() && (joint.contains('/') || joint.contains('='));
        joined && self.could_be_one_measure(left, right)
    }

    /// What joins two halves of a pair, the thing they are of left out: `325 g of whey (about 310 mL)`.
    fn without_noun<'t>(&'t self, between: &'t str, at: usize) -> &'t str {
        let trimmed = between.trim_start_matches(|c| fold_letter(c) == ' ');
        let start = at + between.len() - trimmed.len();
        let of = phrase(trimmed, "of").map_or(start, |len| skip_blank(self.text, start + len));
        match self.noun_at(of, 2) {
            Some((_, end)) if end <= at + between.len() => {
                self.text[end..at + between.len()].trim_start_matches(|c| fold_letter(c) == ' ')
            }
            _ => trimmed,
        }
    }

    /// Two units for one thing: other systems of one dimension, or a weight beside a volume.
    fn could_be_one_measure(&self, left: &Mention, right: &Mention) -> bool {
        let (a, b) = (self.units.get(left.amount.unit()), self.units.get(right.amount.unit()));
        let kinds = [left.dimension(), right.dimension()];
        if kinds == [Dimension::Mass, Dimension::Volume] || kinds == [Dimension::Volume, Dimension::Mass] {
            return true;
        }
        let fan = left.marks.fan != right.marks.fan;
        // "−18 °C (0 °C)": said twice in one unit, which is once too often if the two differ.
        let twice = self.text[..right.range.start].ends_with('(') && self.text[right.range.end..].starts_with(')');
        a.dimension == b.dimension
            && (a.id != b.id || fan || twice)
            && !matches!(a.dimension, Dimension::Count | Dimension::Share)
    }

    fn find_nouns(&mut self) {
        for index in 0..self.found.len() {
            if !self.found[index].nouns.is_empty() {
                continue;
            }
            let hits = self.nouns_of(index);
            self.found[index].nouns = hits;
        }
    }

    fn nouns_of(&self, index: usize) -> Vec<NounHit> {
        let mention = &self.found[index];
        let group = mention.pair;
        let same = |other: &&Mention| group.is_some() && other.pair == group;
        // The other half of a pair stands between a quantity and its thing: `9 g (2 tsp) of salt`.
        let first = self.found.iter().find(same).unwrap_or(mention);
        let last = self.found.iter().rev().find(same).unwrap_or(mention);
        // "5 and 10 g of salt", "2 to 1.1 litres of whey": what shares a unit shares its thing.
        let first = self.found[..index].last().filter(|before| self.are_joined(before, first)).unwrap_or(first);
        let last = self.found.get(index + 1).filter(|after| self.are_joined(last, after)).unwrap_or(last);
        let mut hits = Vec::new();
        let mut end = last.range.end;
        if self.text[end..].starts_with([')', ']']) && group.is_some() {
            end += 1;
        }
        if let Some((found, of)) = self.noun_after(end) {
            hits.push(NounHit { noun: found.id, firm: true, of });
        }
        // "5 tbsp vinegar (75 ml)": the thing may stand between the halves.
        if first.range != last.range
            && let Some((found, of)) = self.noun_after(first.range.end)
        {
            hits.push(NounHit { noun: found.id, firm: true, of });
        }
        if let Some((found, firm)) = self.noun_before(first.range.start) {
            hits.push(NounHit { noun: found.id, firm, of: false });
        }
        hits
    }

    /// Two values of one kind with nothing but a joint between them.
    fn are_joined(&self, left: &Mention, right: &Mention) -> bool {
        let between = self.text.get(left.range.end..right.range.start).map(str::trim);
        left.dimension() == right.dimension()
            && between.is_some_and(|joint| matches!(joint, "to" | "–" | "-" | "and" | "or" | "down to" | "up to"))
    }

    /// The thing after a quantity: `4 L of whole milk`, `120 mL strained lemon juice`, `a 6-litre pot`.
    fn noun_after(&self, end: usize) -> Option<(Found, bool)> {
        let mut at = skip_blank(self.text, end);
        if self.text[at..].starts_with(['-', '‑']) {
            at += self.text[at..].chars().next().map_or(0, char::len_utf8);
        }
        let of = phrase(&self.text[at..], "of");
        if let Some(len) = of {
            at = skip_blank(self.text, at + len);
            for word in ["the", "your", "this", "that", "our", "a"] {
                if let Some(len) = phrase(&self.text[at..], word) {
                    at = skip_blank(self.text, at + len);
                    break;
                }
            }
        } else if at == end
            && !self.text[..end].ends_with(['-', '‑', ')'])
            && self.text[end..].starts_with(|c: char| !c.is_alphanumeric())
        {
            return None;
        }
        self.noun_at(at, 3).map(|(found, _)| (found, of.is_some()))
    }

    /// A thing at `at` or after at most `skip` describing words; and where its name ends.
    fn noun_at(&self, at: usize, skip: usize) -> Option<(Found, usize)> {
        let mut at = at;
        for _ in 0..=skip {
            if let Some(found) = self.nouns.match_start(&self.text[at..]) {
                return Some((found, at + found.len));
            }
            let rest = &self.text[at..];
            let len = rest.find(|c: char| !c.is_alphabetic() && c != '\'' && c != '’').unwrap_or(rest.len());
            let word = rest[..len].to_lowercase();
            if len == 0 || CLAUSE_WORDS.contains(&word.as_str()) {
                return None;
            }
            let next = at + len;
            let gap = skip_blank(self.text, next);
            let hyphen = self.text[next..].starts_with(['-', '‑']);
            if gap == next && !hyphen {
                return None;
            }
            at = if hyphen { next + self.text[next..].chars().next().map_or(0, char::len_utf8) } else { gap };
        }
        None
    }

    /// The thing before a quantity, and whether it is tied to it: `salt (9 g)`, `Milk: 4 L`, `- Yeast 7 g`, `the pot
    /// holds 6 L`, `of yeast we need 7 g`.
    fn noun_before(&self, start: usize) -> Option<(Found, bool)> {
        let start = self.before_qualifiers(start);
        let before = &self.text[..start];
        let stem = before.trim_end_matches(|c| fold_letter(c) == ' ');
        let bare = stem.trim_end_matches(['(', '[', ':', '=', '–', '—', '-', '…', '.', '·', '~', '≈', ' ', '\u{a0}']);
        let joint = &stem[bare.len()..];
        let joined = !joint.is_empty() && joint != ".";
        if joined || bare.len() == stem.len() {
            if let Some(found) = self.noun_ending(bare) {
                // "The salt is 1.5 % of the curd: 9 g": a colon belongs to what opens the line.
                let opens = !joint.starts_with([':', '=']) || self.opens_a_line(bare, found);
                return Some((found, opens));
            }
            // "salt, fine (10 g)": one describing word may stand between.
            if let Some((head, tail)) = bare.rsplit_once(',')
                && joined
                && tail.split_whitespace().count() <= 2
                && let Some(found) = self.noun_ending(head.trim_end())
            {
                return Some((found, true));
            }
        }
        if let Some(head) = bare.strip_suffix(',') {
            return self.noun_ending(head.trim_end()).map(|found| (found, true));
        }
        self.noun_told_of(start, stem)
    }

    /// Whether a name that ends `text` stands at the beginning of a line or sentence, an article or number aside.
    fn opens_a_line(&self, text: &str, found: Found) -> bool {
        let head = text[..text.len() - found.len.min(text.len())].trim_end();
        let words = head.rsplit(['.', ';', '!', '?', '(']).next().unwrap_or("").split_whitespace().count();
        words <= 2
    }

    /// Where "at least", "about" and the like before a quantity begin.
    fn before_qualifiers(&self, start: usize) -> usize {
        let mut from =
            self.text[..start].char_indices().rev().filter(|(_, c)| fold_letter(*c) == ' ').map(|(at, _)| at);
        let starts: Vec<usize> = from.by_ref().skip(1).take(4).map(|at| skip_blank(self.text, at)).collect();
        let reaches = |at: &&usize| **at < start && **at + read_prefix(&self.text[**at..]).1 == start;
        starts.iter().rev().find(reaches).copied().unwrap_or(start)
    }

    /// `the milk weighs 4 kg`, `of yeast we need 7 g`.
    fn noun_told_of(&self, start: usize, stem: &str) -> Option<(Found, bool)> {
        const TELLS: &[&str] = &[
            "of", "is", "are", "takes", "weighs", "weigh", "measures", "holds", "hold", "makes", "yields", "contains",
            "totals", "needs",
        ];
        const WANTS: &[&str] = &["need", "take", "use", "want", "add", "weigh", "have"];
        let words = words_before(self.text, start, 2);
        let verb = words.first()?;
        let mut taken = verb.len();
        let pronoun = words.get(1).filter(|word| ["we", "you", "i"].contains(&word.as_str()));
        if let (true, Some(pronoun)) = (WANTS.contains(&verb.as_str()), pronoun) {
            taken += pronoun.len() + 1;
        } else if !TELLS.contains(&verb.as_str()) {
            return None;
        }
        let mut head = stem.get(..stem.len().checked_sub(taken)?)?.trim_end();
        // "a pot that holds 6 litres", "the pot … It holds 6 litres"
        match words.get(1).map(String::as_str) {
            Some("that" | "which") => head = head.rsplit_once(' ')?.0,
            Some("it") => return self.noun_named_before(head).map(|found| (found, true)),
            _ => {}
        }
        self.noun_ending(head.trim_end_matches(|c| fold_letter(c) == ' ')).map(|found| (found, true))
    }

    /// The thing named last in this sentence or the one before.
    fn noun_named_before(&self, text: &str) -> Option<Found> {
        let head = text.trim_end_matches("It").trim_end_matches("it").trim_end();
        let from = head.char_indices().rev().nth(160).map_or(0, |(at, _)| at);
        let starts = head[from..]
            .char_indices()
            .map(|(at, _)| from + at)
            .filter(|at| head[*at..].starts_with(char::is_alphabetic) && !head[..*at].ends_with(char::is_alphanumeric));
        starts.filter_map(|at| self.nouns.match_start(&head[at..])).next_back()
    }

    /// The longest name that ends where `text` ends.
    fn noun_ending(&self, text: &str) -> Option<Found> {
        let mut starts = Vec::new();
        let mut at = text.len();
        for _ in 0..4 {
            let head = text[..at].trim_end_matches(|c| fold_letter(c) == ' ' || c == '-');
            if head.is_empty() || (head.len() == at && at != text.len()) {
                break;
            }
            let start = head
                .rfind(|c: char| !c.is_alphanumeric() && c != '\'' && c != '’')
                .map_or(0, |i| i + head[i..].chars().next().map_or(1, char::len_utf8));
            if start == head.len() {
                break;
            }
            starts.push(start);
            at = start;
        }
        starts
            .iter()
            .rev()
            .find_map(|start| self.nouns.match_start(&text[*start..]).filter(|found| start + found.len == text.len()))
    }
}
