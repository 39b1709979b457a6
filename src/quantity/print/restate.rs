//! Restating: another value in the form the author chose, for mending.
//!
//! Every new text is read back before it is offered; a form that cannot state the value exactly gives nothing.

use super::super::number::{SMALL, TENS, blank, word};
use super::super::text::{Value, Values, read_between, read_prefix, read_values};
use super::super::{Amount, End, Exact, Number, NumberForm, UnitId, Units};
use std::ops::Range;

use super::{Style, capital, decimal, places, prefers_fractions, vulgar};

/// Which end of a written amount; a single value has only a low one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// The only value, or the lower end.
    Low,
    /// The upper end.
    High,
}

/// The words `text`, which state `amount`, with one end replaced by the base value `base`, in the author's own form.
///
/// Kept are figures or words, the kind of fraction, the unit as spelled, the hyphen of an adjective, the spacing, the
/// other end and whatever stands around: `half a teaspoon` becomes `three quarters of a teaspoon`, `2-centimetre`
/// becomes `2.5-centimetre`, `1 h 30 min` becomes `1 h 45 min`. `None` when that form cannot state the value exactly,
/// or when `text` is not what `amount` was read from.
pub fn in_words_form(
    text: &str,
    which: Which,
    amount: &Amount,
    base: Exact,
    units: &Units,
    style: Style,
) -> Option<String> {
    let old = Written::read(text, amount.range, units)?;
    let (value, start, end) = match which {
        Which::Low => (&old.values.low, old.at, &amount.low),
        Which::High => {
            let high = old.values.high.as_ref()?;
            (high, old.at + old.values.len - high.len, &amount.high)
        }
    };
    let words = text.get(start..start + value.len)?;
    let piece = Piece { words, value, end, bare: amount.bare, units, style };
    let new = format!("{}{}{}", &text[..start], piece.restate(base)?, &text[start + value.len..]);

    let again = Written::read(&new, amount.range, units)?;
    let (low, high) = match which {
        Which::Low => (base, amount.high.quantity.base()),
        Which::High => (amount.low.quantity.base(), base),
    };
    let low_agrees = stated(&again.values.low, &amount.low, units) == low;
    let high_agrees = match &again.values.high {
        Some(value) => stated(value, &amount.high, units) == high,
        None => old.values.high.is_none(),
    };
    (low_agrees && high_agrees).then_some(new)
}

/// Where in `text` the figures and units of an amount stand: what stands before and after them, such as "about" and
/// "between", is left out. `None` when no amount can be read.
pub fn core(text: &str, range: bool, units: &Units) -> Option<Range<usize>> {
    let written = Written::read(text, range, units)?;
    Some(written.at..written.at + written.values.len)
}

/// As [`in_words_form`], where a range became a single value: `20 to 25 minutes` becomes `20 minutes`.
///
/// `None` also for ends joined by "and": the word "between" stands before them, and is not a part of the text.
pub fn range_as_single(text: &str, amount: &Amount, base: Exact, units: &Units, style: Style) -> Option<String> {
    let old = Written::read(text, false, units)?;
    let high = old.values.high.as_ref()?;
    let start = old.at + old.values.len - high.len;
    let single = Amount { low: amount.high, range: false, ..*amount };
    let new = in_words_form(text.get(start..start + high.len)?, Which::Low, &single, base, units, style)?;
    let new = like_first_letter(&text[old.at..], new);
    Some(format!("{}{new}{}", &text[..old.at], &text[start + high.len..]))
}

/// As [`in_words_form`], where a single value became a range: `20 minutes` becomes `20 to 25 minutes`.
///
/// `None` for forms that have no range: the hyphen of an adjective, "an hour", compounds.
pub fn single_as_range(
    text: &str,
    amount: &Amount,
    (low, high): (Exact, Exact),
    units: &Units,
    style: Style,
) -> Option<String> {
    let old = Written::read(text, false, units)?;
    let value = &old.values.low;
    let words = text.get(old.at..old.at + value.len)?;
    let (number, after) = words.split_at(value.number_len);
    if old.values.high.is_some()
        || value.more.is_some()
        || value.number.form == NumberForm::Article
        || after.starts_with(['-', '‑'])
    {
        return None;
    }
    let write = |words: &str, base| in_words_form(words, Which::Low, amount, base, units, style);
    let from = write(number, low)?;
    let mut letters = words.chars();
    let second: String = letters.next().into_iter().flat_map(char::to_lowercase).chain(letters).collect();
    let to = write(&second, high)?;
    let symbol = !is_word(after.trim()) && value.number.form != NumberForm::Words;
    let sign = if symbol { super::range_sign(&from, high < Exact::ZERO) } else { " to " };
    let new = format!("{}{from}{sign}{to}{}", &text[..old.at], &text[old.at + value.len..]);
    let again = Written::read(&new, false, units)?;
    let read = (stated(&again.values.low, &amount.low, units), stated(again.values.high.as_ref()?, &amount.low, units));
    (read == (low, high)).then_some(new)
}

/// An amount found in a text, and where it begins.
struct Written {
    values: Values,
    at: usize,
}

impl Written {
    /// A range may be joined by "and": the word "between" is no part of what is read.
    fn read(text: &str, range: bool, units: &Units) -> Option<Written> {
        let (_, at) = read_prefix(text);
        if let Some(("between", len)) = word(&text[at..]).as_ref().map(|(found, len)| (found.as_str(), *len)) {
            let at = at + len + blank(&text[at + len..]);
            return Some(Written { values: read_between(&text[at..], units)?, at });
        }
        let values = read_values(&text[at..], units)?;
        if range && values.high.is_none() {
            return Some(Written { values: read_between(&text[at..], units)?, at });
        }
        Some(Written { values, at })
    }
}

/// The base value that a text states, its unit being that of `end`.
fn stated(value: &Value, end: &End, units: &Units) -> Exact {
    let number = if value.negative { -value.number.value } else { value.number.value };
    match (value.unit, &value.more) {
        (Some(first), Some((more, second))) => {
            units.get(first.unit).to_base(number) + units.get(second.unit).to_base(more.value)
        }
        // What was a compound may have lost its second part: 2 h.
        (Some(only), None) if end.compound => units.get(only.unit).to_base(number),
        // "half an hour" may have become minutes, which are its like.
        (Some(only), None) if units.get(only.unit).dimension == units.get(end.unit).dimension => {
            units.get(only.unit).to_base(number)
        }
        _ => units.get(end.unit).to_base(number),
    }
}

/// One value as written.
struct Piece<'a> {
    words: &'a str,
    value: &'a Value,
    end: &'a End,
    bare: bool,
    units: &'a Units,
    style: Style,
}

/// What stands after the number: `-` + `centimetre`, ` of a ` + `cup`, ` ` + `h` + ` 30 min`.
struct Rest<'a> {
    glue: &'a str,
    unit: &'a str,
    tail: &'a str,
}

impl Piece<'_> {
    fn restate(&self, base: Exact) -> Option<String> {
        if self.value.more.is_some() {
            return self.compound(base);
        }
        let new = self.units.get(self.end.unit).from_base(base);
        let old = self.value.number.value;
        let rest = self.rest();
        let text = match self.value.number.form {
            NumberForm::Words | NumberForm::Article => {
                self.in_words(new, &rest).or_else(|| self.words_as_figures(new, &rest))?
            }
            NumberForm::Digits { decimals } => {
                // "7 pints" becomes "1¾ pints": whole figures leave open how a part would be written.
                let unit = self.value.unit.map_or(self.end.unit, |unit| unit.unit);
                let counted = unit == self.units.piece();
                let open = decimals == 0 && !new.is_whole() && !counted && prefers_fractions(unit, self.units);
                let sign = open.then(|| vulgar(new.abs())).flatten();
                let write = if sign.is_some() { fraction } else { figures };
                format!("{}{}", self.signed(new, write)?, self.after(old, new, &rest))
            }
            NumberForm::Fraction => {
                format!("{}{}", self.signed(new, fraction)?, self.after(old, new, &rest))
            }
        };
        Some(like_first_letter(self.words, text))
    }

    fn number_words(&self) -> &str {
        &self.words[..self.value.number_len]
    }

    fn rest(&self) -> Rest<'_> {
        let all = &self.words[self.value.number_len..];
        let mut at =
            if all.starts_with(['-', '‑']) { all.chars().next().map_or(0, char::len_utf8) } else { blank(all) };
        while let Some((_, len)) = word(&all[at..]) {
            if self.units.match_start(&all[at..]).is_some() {
                break;
            }
            at += len + blank(&all[at + len..]);
        }
        match self.units.match_start(&all[at..]) {
            Some(unit) if self.value.unit.is_some() => {
                Rest { glue: &all[..at], unit: &all[at..at + unit.len], tail: &all[at + unit.len..] }
            }
            _ => Rest { glue: all, unit: "", tail: "" },
        }
    }

    /// What followed the number, the unit agreeing with the new value.
    fn after(&self, old: Exact, new: Exact, rest: &Rest<'_>) -> String {
        let unit = if rest.glue.starts_with(['-', '‑']) {
            rest.unit.to_owned()
        } else {
            self.agree(rest.unit, old, new, self.value.unit.map_or(self.end.unit, |unit| unit.unit))
        };
        format!("{}{unit}{}", rest.glue, rest.tail)
    }

    fn signed(&self, new: Exact, write: fn(&str, Exact, Style) -> Option<String>) -> Option<String> {
        let (sign, number) = self.split_sign();
        let sign = match (new < Exact::ZERO, self.value.negative) {
            (true, true) => sign,
            (true, false) => "−",
            (false, _) => "",
        };
        Some(format!("{sign}{}", write(number, new.abs(), self.style)?))
    }

    fn split_sign(&self) -> (&str, &str) {
        let number = self.number_words();
        let at = if self.value.negative { number.find(|c: char| c.is_ascii_digit()).unwrap_or(0) } else { 0 };
        number.split_at(at)
    }

    fn in_words(&self, new: Exact, rest: &Rest<'_>) -> Option<String> {
        if new < Exact::ZERO || self.value.negative {
            return None;
        }
        let (whole, part) = (new.floor(), new - new.floor());
        let hyphen = rest.glue.starts_with(['-', '‑']);
        let unit = self.value.unit.map(|unit| unit.unit);
        let one = || unit.map(|unit| self.singular(rest.unit, unit));
        if whole.is_zero() && !part.is_zero() {
            let name = part_words(part)?;
            return match one() {
                None => Some(name),
                Some(one) if hyphen => (name == "half").then(|| format!("half-{one}")),
                Some(one) if name == "half" => Some(format!("half {}", with_article(&one))),
                Some(one) => Some(format!("{name} of {}", with_article(&one))),
            };
        }
        if new == Exact::ONE && self.value.number.form == NumberForm::Article {
            return one().map(|one| with_article(&one));
        }
        let mut text = whole_words(whole.over())?;
        if !part.is_zero() {
            text = format!("{text} and {}", part_words(part).map(with_a)?);
        }
        if hyphen {
            return Some(format!("{}-{}", text.replace(' ', "-"), rest.unit));
        }
        let Some(unit) = unit else { return Some(text) };
        Some(format!("{text} {}", self.agree(&self.singular(rest.unit, unit), Exact::ONE, new, unit)))
    }

    /// `four litres` at 4.3: what has no name is written in figures.
    fn words_as_figures(&self, new: Exact, rest: &Rest<'_>) -> Option<String> {
        let unit = self.value.unit?.unit;
        let hyphen = rest.glue.starts_with(['-', '‑']);
        let article = self.words.starts_with("a ") || self.words.starts_with("an ");
        if new <= Exact::ZERO || self.value.negative || article && hyphen {
            return None;
        }
        let unit = self.singular(rest.unit, unit);
        // "half an hour" at 31 minutes: no part of an hour has that name.
        let minutes = new * Exact::whole(60);
        if unit == "hour" && minutes.is_whole() && minutes <= Exact::whole(120) {
            let ending = if hyphen || minutes == Exact::ONE { "" } else { "s" };
            return Some(format!("{minutes}{}minute{ending}", if hyphen { "-" } else { " " }));
        }
        let number = figures("", new, self.style)?;
        Some(if hyphen {
            format!("{number}-{unit}")
        } else {
            format!("{number} {}", self.agree(&unit, Exact::ONE, new, self.value.unit?.unit))
        })
    }

    fn compound(&self, base: Exact) -> Option<String> {
        let (more, second) = self.value.more.as_ref()?;
        let first = self.value.unit?;
        let (big, small) = (self.units.get(first.unit).size, self.units.get(second.unit).size);
        let digits = |form| matches!(form, NumberForm::Digits { .. });
        if base < Exact::ZERO || !digits(self.value.number.form) || !digits(more.form) {
            return None;
        }
        let count = (base / big).floor();
        let left = (base - count * big) / small;
        let rest = self.rest();
        let first_text = format!(
            "{}{}{}",
            figures(self.number_words(), count, self.style)?,
            rest.glue,
            self.agree(rest.unit, self.value.number.value, count, first.unit)
        );
        if left.is_zero() {
            return Some(first_text);
        }
        let joint = joint(rest.tail);
        let (_, len) = Number::read(&rest.tail[joint..], self.units.style())?;
        let (old_number, after) = rest.tail[joint..].split_at(len);
        let number = if second.len == 0 {
            left.is_whole().then(|| format!("{:02}", left.over()))? // 1h05
        } else {
            figures(old_number, left, self.style)?
        };
        let gap = blank(after);
        let unit = self.agree(&after[gap..], more.value, left, second.unit);
        let last = format!("{number}{}{unit}", &after[..gap]);
        Some(if count.is_zero() { last } else { format!("{first_text}{}{last}", &rest.tail[..joint]) })
    }

    /// The unit as spelled, in the number that agrees with `new`; symbols never change.
    fn agree(&self, spelled: &str, old: Exact, new: Exact, unit: UnitId) -> String {
        let single = |value: Exact| value.abs() <= Exact::ONE && !value.is_zero();
        if spelled.is_empty() || single(old) == single(new) && new.abs() != Exact::ONE {
            return spelled.to_owned();
        }
        if single(new) { self.singular(spelled, unit) } else { self.plural(spelled, unit) }
    }

    fn singular(&self, spelled: &str, unit: UnitId) -> String {
        for (one, many) in self.names(unit) {
            if spelled.eq_ignore_ascii_case(many) && one != many {
                return one.to_owned();
            }
        }
        match spelled.strip_suffix('s') {
            Some(short) if self.is_spelling(short, unit) => short.to_owned(),
            _ => spelled.to_owned(),
        }
    }

    fn plural(&self, spelled: &str, unit: UnitId) -> String {
        for (one, many) in self.names(unit) {
            if spelled.eq_ignore_ascii_case(one) {
                return many.to_owned();
            }
        }
        let long = format!("{spelled}s");
        if is_word(spelled) && self.is_spelling(&long, unit) { long } else { spelled.to_owned() }
    }

    fn names(&self, unit: UnitId) -> [(&str, &str); 2] {
        let (_, bare_one, bare_many) = self.units.names(unit, self.bare);
        let row = self.units.get(unit);
        [(bare_one, bare_many), (&row.one, &row.many)]
    }

    fn is_spelling(&self, text: &str, unit: UnitId) -> bool {
        self.units.match_start(text).is_some_and(|found| found.unit == unit && found.len == text.len())
    }
}

/// Abbreviations (tsp, min, kg) take no s and a dash for a range; a word has a vowel and is longer.
fn is_word(unit: &str) -> bool {
    unit.len() >= 4 && unit.contains(['a', 'e', 'i', 'o', 'u'])
}

/// Bytes before the second number of a compound: blanks and "and".
fn joint(tail: &str) -> usize {
    let at = blank(tail);
    match word(&tail[at..]) {
        Some((and, len)) if and == "and" => at + len + blank(&tail[at + len..]),
        _ => at,
    }
}

/// Figures like the author's: the same decimal sign, thousands grouped if they were.
fn figures(old: &str, new: Exact, style: Style) -> Option<String> {
    places(new)?;
    let group = group_mark(old, style);
    let sign = old.chars().find(|c| matches!(c, '.' | ',') && Some(*c) != group).unwrap_or(style.decimal);
    let text = decimal(new, 0, Style { decimal: sign });
    let whole = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    match group {
        Some(mark) if whole > 3 => Some(grouped(&text, whole, mark)),
        _ => Some(text),
    }
}

/// The sign between the thousands of a written number.
fn group_mark(old: &str, style: Style) -> Option<char> {
    let (at, mark) = old.char_indices().find(|(_, c)| !c.is_ascii_digit())?;
    let next = &old[at + mark.len_utf8()..];
    let three = next.find(|c: char| !c.is_ascii_digit()).unwrap_or(next.len()) == 3;
    (style.groups(mark) && three && !old.starts_with('0')).then_some(mark)
}

fn grouped(text: &str, whole: usize, mark: char) -> String {
    let mut out = String::new();
    for (at, figure) in text.chars().enumerate() {
        if at > 0 && at < whole && (whole - at).is_multiple_of(3) {
            out.push(mark);
        }
        out.push(figure);
    }
    out
}

/// A fraction like the author's: `¾`, `3/4`, `1 3/4`.
fn fraction(old: &str, new: Exact, _: Style) -> Option<String> {
    let Some(slash) = old.chars().find(|c| matches!(c, '/' | '⁄' | '∕')) else {
        let text = vulgar(new)?;
        let spaced = old.contains(|c: char| c.is_whitespace());
        let sign = text.find(|c: char| !c.is_ascii_digit()).filter(|at| *at > 0 && spaced);
        return Some(match sign {
            Some(at) => format!("{} {}", &text[..at], &text[at..]),
            None => text,
        });
    };
    let (whole, part) = (new.floor(), new - new.floor());
    if part.is_zero() {
        return Some(whole.to_string());
    }
    let part = (part.under() <= 64).then(|| format!("{}{slash}{}", part.over(), part.under()))?;
    if whole.is_zero() {
        return Some(part);
    }
    let first = old.find(|c: char| !c.is_ascii_digit()).unwrap_or(0);
    let joint = match old[first..].find(|c: char| c.is_ascii_digit()) {
        Some(len) if !old[first..].starts_with(slash) => &old[first..first + len],
        _ => " ",
    };
    Some(format!("{whole}{joint}{part}"))
}

/// `half`, `a third`, `three quarters`.
fn part_words(part: Exact) -> Option<String> {
    let (one, many) = match part.under() {
        2 => return Some("half".to_owned()),
        3 => ("third", "thirds"),
        4 => ("quarter", "quarters"),
        5 => ("fifth", "fifths"),
        8 => ("eighth", "eighths"),
        _ => return None,
    };
    Some(match part.over() {
        1 if one == "eighth" => "an eighth".to_owned(),
        1 => format!("a {one}"),
        over => format!("{} {many}", whole_words(over)?),
    })
}

fn with_a(part: String) -> String {
    if part == "half" { "a half".to_owned() } else { part }
}

/// `a teaspoon`, `an hour`, `a US cup`.
fn with_article(one: &str) -> String {
    let lower = one.to_ascii_lowercase();
    let an = lower.starts_with(['a', 'e', 'i', 'o']) || lower.starts_with("hour");
    format!("{} {one}", if an { "an" } else { "a" })
}

/// A whole number below a thousand in words.
fn whole_words(value: i128) -> Option<String> {
    let at = usize::try_from(value).ok()?;
    Some(match at {
        0..20 => SMALL[at].to_owned(),
        20..100 if at % 10 == 0 => TENS[at / 10 - 2].to_owned(),
        20..100 => format!("{}-{}", TENS[at / 10 - 2], SMALL[at % 10]),
        100..1000 if at % 100 == 0 => format!("{} hundred", SMALL[at / 100]),
        100..1000 => format!("{} hundred and {}", SMALL[at / 100], whole_words(value % 100)?),
        _ => return None,
    })
}

/// A capital at the start stays.
fn like_first_letter(old: &str, new: String) -> String {
    if old.starts_with(char::is_uppercase) { capital(&new) } else { new }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Home, split_amount};
    use crate::reference::Reference;

    fn mend(text: &str, which: Which, base: &str, units: &Units) -> String {
        let start = if text.to_lowercase().starts_with("between ") { "between ".len() } else { 0 };
        let text_for_amount = text[start..].replacen(" and ", if start > 0 { "–" } else { " and " }, 1);
        let (amount, _) = split_amount(&text_for_amount, units).unwrap();
        in_words_form(text, which, &amount, Exact::parse(base).unwrap(), units, Style::default())
            .unwrap_or_else(|| "none".to_owned())
    }

    #[test]
    fn a_mended_text_keeps_the_authors_form() {
        let units = Reference::built_in(Home::Uk).units;
        for (text, base, want) in [
            ("91 °C", "92", "92 °C"),
            ("4 litres", "1000", "1 litre"),
            ("1 litre", "4000", "4 litres"),
            ("4 liters", "1000", "1 liter"),
            ("1 liter", "2500", "2.5 liters"),
            ("0.5 litres", "750", "0.75 litres"),
            ("0.5 litres", "1000", "1 litre"),
            ("1 tsp", "10", "2 tsp"),
            ("2 tsps", "5", "1 tsp"),
            ("3 hrs", "3600", "1 hr"),
            ("4L", "3500", "3.5L"),
            ("2-centimetre", "25", "2.5-centimetre"),
            ("2,5 kg", "3500", "3,5 kg"),
            ("1,000 g", "12500", "12,500 g"),
            ("1,000 g", "900", "900 g"),
            ("½ tsp", "15/4", "¾ tsp"),
            ("1/2 tsp", "15/4", "3/4 tsp"),
            ("½ tsp", "5", "1 tsp"),
            ("1½ cups", "187.5", "¾ cup"),
            ("1 ½ cups", "562.5", "2 ¼ cups"),
            ("1 1/2 cups", "562.5", "2 1/4 cups"),
            ("1-1/2 cups", "562.5", "2-1/4 cups"),
            ("½ tsp", "15/16", "none"),
            ("1/2 tsp", "15/16", "3/16 tsp"),
            ("half a teaspoon", "15/4", "three quarters of a teaspoon"),
            ("Half a teaspoon", "15/4", "Three quarters of a teaspoon"),
            ("half a teaspoon", "7.5", "one and a half teaspoons"),
            ("half a teaspoon", "5", "one teaspoon"),
            ("half a teaspoon", "5/3", "a third of a teaspoon"),
            ("half a teaspoon", "5/7", "none"),
            ("three quarters of an hour", "1800", "half an hour"),
            ("half an hour", "2700", "three quarters of an hour"),
            ("an hour and a half", "9000", "two and a half hours"),
            ("an hour", "7200", "two hours"),
            ("a litre", "2000", "two litres"),
            ("two litres", "1000", "one litre"),
            ("two and a half litres", "3500", "three and a half litres"),
            ("two-and-a-half-litre", "3500", "three-and-a-half-litre"),
            ("six-litre", "5000", "five-litre"),
            ("half-litre", "750", "0.75-litre"),
            ("four litres", "4300", "4.3 litres"),
            ("half a litre", "300", "0.3 litre"),
            ("an hour and a half", "4680", "78 minutes"),
            ("half an hour", "1860", "31 minutes"),
            ("two hours", "8460", "2.35 hours"),
            ("10-inch", "266.7", "10½-inch"),
            ("7 pints", "994.4571875", "1¾ pints"),
            ("twenty minutes", "1500", "twenty-five minutes"),
            ("ninety minutes", "7200", "one hundred and twenty minutes"),
            ("six", "8", "eight"),
            ("half", "1/3", "a third"),
            ("6", "8", "8"),
            ("2", "7/3", "none"),
            ("about 2 h", "5400", "about 1.5 h"),
            ("at least 30 minutes", "60", "at least 1 minute"),
            ("−18 °C", "-20", "−20 °C"),
            ("minus 18 °C", "-20", "minus 20 °C"),
            ("-18 °C", "4", "4 °C"),
            ("1 h 30 min", "6300", "1 h 45 min"),
            ("1 hour and 30 minutes", "10860", "3 hours and 1 minute"),
            ("1 h 30 min", "7200", "2 h"),
            ("1 h 30 min", "2700", "45 min"),
            ("1h30", "3900", "1h05"),
            ("1 lb 4 oz", "680.388555", "1 lb 8 oz"),
            ("180C", "190", "190C"),
            ("90 degrees Fahrenheit", "100/3", "92 degrees Fahrenheit"),
            ("2 inches", "25.4", "1 inch"),
            ("2 feet", "304.8", "1 foot"),
            ("3 tablespoonfuls", "15", "1 tablespoonful"),
        ] {
            assert_eq!(mend(text, Which::Low, base, &units), want, "{text} at {base}");
        }
    }

    #[test]
    fn a_language_keeps_its_signs() {
        let style = Style::for_language("de");
        let manner = crate::reference::Manner { style, ..Home::Uk.into() };
        let units = Reference::built_in(manner).units;
        for (text, base, want) in [
            ("2,5 kg", "3500", "3,5 kg"),
            ("2 kg", "3500", "3,5 kg"),
            ("2.5 kg", "3500", "3.5 kg"),
            ("1.000 g", "12500", "12.500 g"),
            ("1 000 g", "12500", "12 500 g"),
            ("1.000 g", "900", "900 g"),
            ("1.000,5 g", "1200.25", "1.200,25 g"),
            ("2–2,5 kg", "1750", "1,75–2,5 kg"),
        ] {
            let (amount, _) = split_amount(text, &units).unwrap();
            let new = in_words_form(text, Which::Low, &amount, Exact::parse(base).unwrap(), &units, style);
            assert_eq!(new.as_deref(), Some(want), "{text} at {base}");
        }
    }

    #[test]
    fn one_end_of_a_range_changes_and_the_other_stays() {
        let units = Reference::built_in(Home::Uk).units;
        for (text, which, base, want) in [
            ("20–25 min", Which::High, "1800", "20–30 min"),
            ("20–25 min", Which::Low, "900", "15–25 min"),
            ("10 to 20 minutes", Which::High, "900", "10 to 15 minutes"),
            ("between 32 and 34 °C", Which::High, "35", "between 32 and 35 °C"),
            ("between 32 and 34 °C", Which::Low, "30", "between 30 and 34 °C"),
            ("five or six", Which::High, "7", "five or seven"),
            ("2 to 2.2 lb", Which::High, "1360.77711", "2 to 3 lb"),
            ("45 min to 1 h", Which::High, "4500", "45 min to 1.25 h"),
            ("20–25 min", Which::Low, "1800", "none"),
            ("20 min", Which::High, "1800", "none"),
        ] {
            assert_eq!(mend(text, which, base, &units), want, "{text} at {base}");
        }
    }

    fn as_other(text: &str, low: &str, high: Option<&str>) -> String {
        let units = Reference::built_in(Home::Uk).units;
        let (amount, _) = split_amount(text, &units).unwrap();
        let value = |base| Exact::parse(base).unwrap();
        let new = match high {
            None => range_as_single(text, &amount, value(low), &units, Style::default()),
            Some(high) => single_as_range(text, &amount, (value(low), value(high)), &units, Style::default()),
        };
        new.unwrap_or_else(|| "none".to_owned())
    }

    #[test]
    fn a_range_becomes_a_single_value() {
        for (text, base, want) in [
            ("20 to 25 minutes", "1200", "20 minutes"),
            ("20–25 min", "1200", "20 min"),
            ("about 20 to 25 minutes", "60", "about 1 minute"),
            ("Five to six litres", "5500", "Five and a half litres"),
            ("45 min to 1 h", "5400", "1.5 h"),
            ("20 minutes", "1200", "none"),
        ] {
            assert_eq!(as_other(text, base, None), want, "{text} at {base}");
        }
    }

    #[test]
    fn a_single_value_becomes_a_range() {
        for (text, low, high, want) in [
            ("20 minutes", "1200", "1500", "20 to 25 minutes"),
            ("20 min", "1200", "1500", "20–25 min"),
            ("about 1 hour", "3600", "7200", "about 1 to 2 hours"),
            ("Ten minutes", "720", "900", "Twelve to fifteen minutes"),
            ("92 °C", "90", "92", "90–92 °C"),
            ("−18 °C", "-20", "-18", "−20 to −18 °C"),
            ("½ tsp", "2.5", "15/4", "½–¾ tsp"),
            ("6-litre", "5000", "6000", "none"),
            ("an hour", "3600", "7200", "none"),
            ("1 h 30 min", "3600", "7200", "none"),
        ] {
            assert_eq!(as_other(text, low, Some(high)), want, "{text} at {low} to {high}");
        }
    }
}
