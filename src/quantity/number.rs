//! Numbers as people write them: figures, fractions, words.

use super::Exact;
use super::style::Style;

/// How a number was written; `mend` keeps it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NumberForm {
    /// Figures, with so many after the point: `92`, `0.5`.
    Digits {
        /// Figures after the point.
        decimals: u8,
    },
    /// With a fraction: `½`, `1 1/2`, `1½`.
    Fraction,
    /// In words: `two and a half`, `a dozen`, `half`.
    Words,
    /// Only `a` or `an`, which counts as one when a unit follows.
    Article,
}

/// A written number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Number {
    /// Its value. At most a million, in lowest terms over at most 10 000, so that what follows stays exact.
    pub value: Exact,
    /// How it was written.
    pub form: NumberForm,
}

impl Number {
    /// Reads the number that `text` begins with, as a language writes it: `1 1/2 cups` gives 3/2 and 5 bytes.
    ///
    /// `None` when no number starts here, or one that no kitchen needs.
    pub fn read(text: &str, style: Style) -> Option<(Number, usize)> {
        let first = text.chars().next()?;
        let (number, len) = if first.is_ascii_digit() || first == '.' || vulgar(first).is_some() {
            figures(text, style)?
        } else if first.is_ascii_alphabetic() {
            words(text)?
        } else {
            return None;
        };
        let held = number.value <= Exact::whole(1_000_000) && number.value.under() <= 10_000;
        held.then_some((number, len))
    }
}

/// `½` and its kin, whose Unicode names are exactly these values.
fn vulgar(letter: char) -> Option<Exact> {
    let (over, under) = match letter {
        '¼' => (1, 4),
        '½' => (1, 2),
        '¾' => (3, 4),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '↉' => (0, 1),
        _ => return None,
    };
    Some(Exact::new(over, under))
}

fn is_space(letter: char) -> bool {
    super::unit::fold(letter) == ' ' && letter != '\n'
}

/// Bytes of blank at the start, line ends included.
pub(super) fn blank(text: &str) -> usize {
    text.len() - text.trim_start_matches(|c| super::unit::fold(c) == ' ').len()
}

fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

fn figures(text: &str, style: Style) -> Option<(Number, usize)> {
    let (whole, decimals, mut len) = plain_figures(text, style);
    // A fraction of its own: 3/4, 3⁄4, ½.
    if decimals == 0 {
        if let Some((value, taken)) = slash_fraction(text) {
            return Some((Number { value, form: NumberForm::Fraction }, taken));
        }
        if let Some((part, taken)) = tail_fraction(&text[len..]) {
            let value = whole.unwrap_or(Exact::ZERO) + part;
            return Some((Number { value, form: NumberForm::Fraction }, len + taken));
        }
    }
    let value = whole?;
    // `2,5 kg` in English: a comma for the point, taken only where it cannot be grouping.
    if decimals == 0
        && style.decimal == '.'
        && let Some(rest) = text[len..].strip_prefix(',')
        && let taken @ 1..=2 = digits(rest)
        && !rest[taken..].starts_with(['.', ','])
        && !text[..len].contains([',', '.'])
    {
        let part = Exact::new(rest[..taken].parse().ok()?, 10i128.pow(taken as u32));
        len += 1 + taken;
        return Some((Number { value: value + part, form: NumberForm::Digits { decimals: taken as u8 } }, len));
    }
    // "2 dozen"
    if decimals == 0
        && let Some((dozen, more)) = next_word(&text[len..])
        && dozen == "dozen"
    {
        return Some((Number { value: value * Exact::whole(12), form: NumberForm::Words }, len + more));
    }
    Some((Number { value, form: NumberForm::Digits { decimals } }, len))
}

/// `1,000.5`, or `1.000,5`: value, figures after the point, bytes. No value when a fraction sign comes first.
fn plain_figures(text: &str, style: Style) -> (Option<Exact>, u8, usize) {
    let mut len = digits(text);
    if len > 12 {
        return (None, 0, 0);
    }
    let mut shown = text[..len].to_owned();
    // Groups of three: `1,000`, `1 000` with a no-break space. "0.125" never groups, and nobody groups with two signs.
    let mark = text[len..].chars().next().filter(|mark| style.groups(*mark));
    if let Some(mark) = mark.filter(|_| (1..=3).contains(&len) && (style.decimal == '.' || !shown.starts_with('0'))) {
        while let Some(group) = text[len..].strip_prefix(mark).filter(|group| digits(group) == 3 && shown.len() <= 9) {
            shown.push_str(&group[..3]);
            len += mark.len_utf8() + 3;
        }
    }
    let whole = (!shown.is_empty()).then(|| Exact::whole(shown.parse().expect("at most twelve figures")));
    let after = &text[len..];
    let grouped = len > shown.len();
    // A point is still read in a language with a comma, where it cannot be grouping: `2.5 kg`.
    let sign = [style.decimal, '.'].into_iter().find(|sign| after.starts_with(*sign));
    let sign = sign.filter(|sign| *sign == style.decimal || !grouped);
    let decimals = sign.map_or(0, |_| digits(&after[1..]));
    // `1,2,3` is a list without blanks.
    let next = sign.and_then(|_| after[1 + decimals..].strip_prefix(','));
    let listed = style.decimal == ',' && next.is_some_and(|next| next.starts_with(|c: char| c.is_ascii_digit()));
    let decimals = if listed { 0 } else { decimals };
    // `1.5`, `.5`; but in `9.30.` or `5.6.26` the points are not decimal.
    if (1..=6).contains(&decimals) {
        let part = Exact::new(after[1..=decimals].parse().expect("at most six figures"), 10i128.pow(decimals as u32));
        return (Some(whole.unwrap_or(Exact::ZERO) + part), decimals as u8, len + 1 + decimals);
    }
    (whole, 0, len)
}

/// What may follow a whole number and belong to it: `½`, ` ½`, ` 1/2`, `-1/2`, ` and ½`.
fn tail_fraction(text: &str) -> Option<(Exact, usize)> {
    let gap = text.chars().next().map_or(0, |c| if is_space(c) { c.len_utf8() } else { 0 });
    let joined = ["-", "‑", " and ", " & "].iter().find(|joint| text.starts_with(**joint));
    let at = joined.map_or(gap, |joint| joint.len());
    let rest = &text[at..];
    let first = rest.chars().next()?;
    if let Some(value) = vulgar(first) {
        return Some((value, at + first.len_utf8()));
    }
    if at == 0 {
        return None;
    }
    let (value, taken) = slash_fraction(rest)?;
    (value < Exact::ONE).then_some((value, at + taken))
}

/// `3/4` with any of the three slashes; refuses dates such as 05/06/2026.
fn slash_fraction(text: &str) -> Option<(Exact, usize)> {
    if let Some(rest) = text.strip_prefix('⅟') {
        let len = digits(rest);
        let under: i128 = rest.get(..len).filter(|d| (1..=4).contains(&d.len()))?.parse().ok()?;
        return (under > 0).then(|| (Exact::new(1, under), '⅟'.len_utf8() + len));
    }
    let top = digits(text);
    if !(1..=4).contains(&top) {
        return None;
    }
    let slash = text[top..].chars().next().filter(|c| matches!(c, '/' | '⁄' | '∕'))?;
    let rest = &text[top + slash.len_utf8()..];
    let bottom = digits(rest);
    if !(1..=4).contains(&bottom)
        || rest[bottom..].starts_with(['/', '.']) && rest[bottom + 1..].starts_with(|c: char| c.is_ascii_digit())
    {
        return None;
    }
    let under: i128 = rest[..bottom].parse().ok()?;
    let over: i128 = text[..top].parse().ok()?;
    (under > 0).then(|| (Exact::new(over, under), top + slash.len_utf8() + bottom))
}

/// The word at the start: letters only, in lower case.
pub(super) fn word(text: &str) -> Option<(String, usize)> {
    let len = text.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(text.len());
    let next = text[len..].chars().next();
    (len > 0 && !next.is_some_and(char::is_alphanumeric)).then(|| (text[..len].to_ascii_lowercase(), len))
}

/// The next word after one blank or hyphen.
fn next_word(text: &str) -> Option<(String, usize)> {
    let gap = match text.chars().next()? {
        '-' | '‑' => text.chars().next()?.len_utf8(),
        _ => match blank(text) {
            0 => return None,
            gap => gap,
        },
    };
    let (found, len) = word(&text[gap..])?;
    Some((found, gap + len))
}

/// Words that begin a number, besides [`SMALL`] and [`TENS`].
pub(super) const NUMBER_WORDS: [&str; 5] = ["half", "a", "an", "quarter", "dozen"];

/// From nought to nineteen.
pub(super) const SMALL: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];

/// From twenty to ninety.
pub(super) const TENS: [&str; 8] = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

fn small(word: &str) -> Option<i128> {
    SMALL.iter().position(|name| *name == word).map(|at| at as i128)
}

fn tens(word: &str) -> Option<i128> {
    TENS.iter().position(|name| *name == word).map(|at| (at as i128 + 2) * 10)
}

fn part_name(word: &str) -> Option<i128> {
    Some(match word {
        "half" | "halves" => 2,
        "third" | "thirds" => 3,
        "quarter" | "quarters" | "fourth" | "fourths" => 4,
        "fifth" | "fifths" => 5,
        "sixth" | "sixths" => 6,
        "eighth" | "eighths" => 8,
        "tenth" | "tenths" => 10,
        "sixteenth" | "sixteenths" => 16,
        _ => return None,
    })
}

fn words(text: &str) -> Option<(Number, usize)> {
    let (first, len) = word(text)?;
    let words_number = |value, len| Some((Number { value, form: NumberForm::Words }, len));
    match first.as_str() {
        "half" => {
            // "half a dozen" is six.
            if let Some((article, more)) = next_word(&text[len..])
                && article == "a"
                && let Some((dozen, last)) = next_word(&text[len + more..])
                && dozen == "dozen"
            {
                return words_number(Exact::whole(6), len + more + last);
            }
            return words_number(Exact::new(1, 2), len);
        }
        "a" | "an" => {
            if let Some((second, more)) = next_word(&text[len..]) {
                if let Some(under) = part_name(&second).filter(|_| !second.ends_with('s')) {
                    return words_number(Exact::new(1, under), len + more);
                }
                if second == "dozen" {
                    return words_number(Exact::whole(12), len + more);
                }
                // "a full half hour", "a good half teaspoon"
                if matches!(second.as_str(), "full" | "whole" | "good" | "scant" | "generous" | "further")
                    && let Some((third, last)) = next_word(&text[len + more..])
                    && third == "half"
                {
                    return words_number(Exact::new(1, 2), len + more + last);
                }
                if let Some((value, len)) = whole_words(text) {
                    return words_number(Exact::whole(value), len);
                }
            }
            return Some((Number { value: Exact::ONE, form: NumberForm::Article }, len));
        }
        "quarter" => return words_number(Exact::new(1, 4), len),
        "dozen" => return words_number(Exact::whole(12), len),
        _ => {}
    }
    let (whole, mut len) = whole_words(text)?;
    let mut value = Exact::whole(whole);
    let Some((next, more)) = next_word(&text[len..]) else { return words_number(value, len) };
    if next == "dozen" {
        return words_number(value * Exact::whole(12), len + more);
    }
    // "two thirds", "one half"; an ordinal such as "the first quarter" never gets here.
    if let Some(under) = part_name(&next)
        && whole < under
        && (whole == 1) != next.ends_with('s')
    {
        return words_number(Exact::new(whole, under), len + more);
    }
    if next == "point" {
        let (mut scale, mut at, mut found) = (Exact::new(1, 10), len + more, 0);
        while let Some((digit, taken)) = next_word(&text[at..]) {
            let Some(digit) = small(&digit).filter(|d| *d < 10) else { break };
            value = value + Exact::whole(digit) * scale;
            scale = scale / Exact::whole(10);
            at += taken;
            found += 1;
            if found > 6 {
                return None;
            }
        }
        return if found > 0 { words_number(value, at) } else { words_number(Exact::whole(whole), len) };
    }
    if let Some((part, taken)) = and_part(&text[len..]) {
        value = value + part;
        len += taken;
    }
    words_number(value, len)
}

/// ` and a half`, ` and three quarters`, `-and-a-half`.
pub(super) fn and_part(text: &str) -> Option<(Exact, usize)> {
    let (and, mut len) = next_word(text)?;
    if and != "and" {
        return None;
    }
    let (first, more) = next_word(&text[len..])?;
    len += more;
    let over = match first.as_str() {
        "a" | "an" | "one" => 1,
        "two" => 2,
        "three" => 3,
        _ => return None,
    };
    let (name, more) = next_word(&text[len..])?;
    let under = part_name(&name)?;
    (over < under && (over == 1) != name.ends_with('s')).then(|| (Exact::new(over, under), len + more))
}

/// `twenty-five`, `one hundred and twenty`, `a hundred and twenty`: value and bytes.
fn whole_words(text: &str) -> Option<(i128, usize)> {
    whole_words_within(text, 2)
}

/// The same; hundreds may stand in thousands and ones in hundreds, and nothing lies deeper.
fn whole_words_within(text: &str, levels: u8) -> Option<(i128, usize)> {
    let (first, mut len) = word(text)?;
    let an_article = || {
        let counts =
            first == "a" && next_word(&text[len..]).is_some_and(|(next, _)| next == "hundred" || next == "thousand");
        counts.then_some(1)
    };
    let mut value = match small(&first).or_else(an_article) {
        Some(value) => value,
        None => {
            let mut value = tens(&first)?;
            if let Some((digit, more)) = next_word(&text[len..])
                && let Some(digit @ 1..=9) = small(&digit)
            {
                value += digit;
                len += more;
            }
            value
        }
    };
    for (name, worth) in [("hundred", 100), ("thousand", 1000)] {
        let Some((next, more)) = next_word(&text[len..]) else { break };
        if next != name {
            continue;
        }
        value *= worth;
        len += more;
        let joint = next_word(&text[len..]).filter(|(and, _)| and == "and").map_or(0, |(_, more)| more);
        let rest = &text[len + joint..];
        let gap = blank(rest);
        if gap > 0
            && levels > 0
            && let Some((rest_value, more)) = whole_words_within(&rest[gap..], levels - 1)
            && rest_value < worth
        {
            value += rest_value;
            len += joint + gap + more;
        }
        break;
    }
    Some((value, len))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> String {
        match Number::read(text, Style::default()) {
            Some((number, len)) => format!("{} |{}", number.value, &text[len..]),
            None => "none".to_owned(),
        }
    }

    #[test]
    fn figures_fractions_and_words() {
        for (text, want) in [
            ("92 °C", "92 | °C"),
            ("0.5 kg", "1/2 | kg"),
            (".5 kg", "1/2 | kg"),
            ("1,000 g", "1000 | g"),
            ("1\u{202f}000 g", "1000 | g"),
            ("2,5 kg", "5/2 | kg"),
            ("1½ cups", "3/2 | cups"),
            ("1 ½ cups", "3/2 | cups"),
            ("1 1/2 cups", "3/2 | cups"),
            ("1-1/2 cups", "3/2 | cups"),
            ("3⁄4 cup", "3/4 | cup"),
            ("¾ cup", "3/4 | cup"),
            ("3-4 min", "3 |-4 min"),
            ("4. Then", "4 |. Then"),
            ("two and a half litres", "5/2 | litres"),
            ("one-and-a-half cups", "3/2 | cups"),
            ("two-thirds cup", "2/3 | cup"),
            ("two thirds of a cup", "2/3 | of a cup"),
            ("three quarters of an hour", "3/4 | of an hour"),
            ("half a dozen eggs", "6 | eggs"),
            ("half a teaspoon", "1/2 | a teaspoon"),
            ("a quarter of an hour", "1/4 | of an hour"),
            ("a dozen jars", "12 | jars"),
            ("two dozen", "24 |"),
            ("a litre", "1 | litre"),
            ("seventy-two degrees", "72 | degrees"),
            ("twenty five minutes", "25 | minutes"),
            ("one hundred and twenty grams", "120 | grams"),
            ("a hundred grams", "100 | grams"),
            ("a hundred and thirteen fahrenheit", "113 | fahrenheit"),
            ("a thousand two hundred grams", "1200 | grams"),
            ("a hundred and a half", "100 | and a half"),
            ("two point five centimetres", "5/2 | centimetres"),
            ("one thousand two hundred grams", "1200 | grams"),
            ("one of them", "1 | of them"),
            ("onerous", "none"),
            ("9999999999 g", "none"),
            ("1/20000 g", "1 |/20000 g"),
        ] {
            assert_eq!(read(text), want, "{text}");
        }
    }

    /// The separators of CLDR 48.2, as typed: the language's own and those that cannot be meant otherwise.
    #[test]
    fn a_language_with_a_decimal_comma_groups_by_points_and_blanks() {
        let read = |text: &str, tag: &str| match Number::read(text, Style::for_language(tag)) {
            Some((number, len)) => format!("{} |{}", number.value, &text[len..]),
            None => "none".to_owned(),
        };
        for tag in ["de", "fr-FR", "es", "it", "nl-BE", "pt-BR", "pl", "sv", "en-ZA"] {
            for (text, want) in [
                ("2,5 kg", "5/2 | kg"),
                ("2,50 kg", "5/2 | kg"),
                ("0,125 kg", "1/8 | kg"),
                ("1,000 kg", "1 | kg"),
                ("1.000 g", "1000 | g"),
                ("1.000,5 g", "2001/2 | g"),
                ("1 000 g", "1000 | g"),
                ("1\u{a0}000 g", "1000 | g"),
                ("1\u{202f}000,25 g", "4001/4 | g"),
                ("250.000 mL", "250000 | mL"),
                ("2.5 kg", "5/2 | kg"),
                ("0.125 kg", "1/8 | kg"),
                ("1, 2", "1 |, 2"),
                ("1,2,3", "1 |,2,3"),
                ("1 0000 g", "1 | 0000 g"),
                ("4. Dann", "4 |. Dann"),
                ("4, dann", "4 |, dann"),
                ("2,5, dann", "5/2 |, dann"),
                ("1 1/2", "3/2 |"),
                ("1½", "3/2 |"),
            ] {
                assert_eq!(read(text, tag), want, "{text} in {tag}");
            }
        }
        for tag in ["en", "en-GB", "en-US", "de-CH", "es-MX", "da"] {
            for (text, want) in
                [("1.000 g", "1 | g"), ("1,000 g", "1000 | g"), ("2.5 kg", "5/2 | kg"), ("1 000 g", "1 | 000 g")]
            {
                assert_eq!(read(text, tag), want, "{text} in {tag}");
            }
        }
    }
}
