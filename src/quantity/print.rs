//! Printing amounts: the one place that knows how a number and a unit are set.
//!
//! A no-break space stands between number and unit, °C included; symbols take no plural; an en dash without spaces
//! joins a range, or "to" where an end is signed (SI Brochure 5.4.3, NIST SP 811 7.2; the signed end and the
//! fractions of spoons and cups are common practice). Everything printed here reads back with
//! [`parse_amount`](super::parse_amount).
//!
//! ```
//! use pottle::quantity::{Home, parse_amount, print::{self, Style}};
//! let units = pottle::reference::Reference::built_in(Home::Uk).units;
//! for (written, printed) in [("1 1/2 cups", "1½\u{a0}cups"), ("20 to 25 minutes", "20–25\u{a0}min")] {
//!     let amount = parse_amount(written, &units).unwrap();
//!     assert_eq!(print::amount(&amount, &units, Style::default()), printed);
//! }
//! ```

mod restate;

pub use super::style::Style;
pub use restate::{Which, core, in_words_form, range_as_single, single_as_range};

use super::text::is_vessel;
use super::{Amount, Bound, Dimension, End, Exact, Number, NumberForm, Quantity, System, UnitId, Units};

/// Between a number and its unit.
pub const NO_BREAK: char = '\u{A0}';

/// A written amount in its own units: `1½ cups`, `20–25 min`, `at least 30 min`.
pub fn amount(amount: &Amount, units: &Units, style: Style) -> String {
    let mut text = bound_words(amount.bound).to_owned();
    if amount.about {
        text.push_str("about ");
    }
    let (low, high) = (&amount.low, &amount.high);
    if !amount.range {
        text.push_str(&end(low, amount.bare, units, style));
    } else if low.unit == high.unit && !low.compound && !high.compound {
        let (low, high) = (end_number(low, units, style), end_value(high, units));
        let join = range_sign(&low, high < Exact::ZERO);
        let high_text = end(&amount.high, amount.bare, units, style);
        text.push_str(&format!("{low}{join}{high_text}"));
    } else {
        let (low, high) = (end(low, amount.bare, units, style), end(high, amount.bare, units, style));
        text.push_str(&format!("{low} to {high}"));
    }
    text
}

/// What stands before a limit, its blank included.
pub fn bound_words(bound: Bound) -> &'static str {
    match bound {
        Bound::None => "",
        Bound::AtLeast => "at least ",
        Bound::AtMost => "at most ",
    }
}

/// An exact base value in a unit, with at most four significant figures: `197.6 °F`, `7.039 pints`.
///
/// Figures before the point are never rounded away.
pub fn value_in(base: Exact, unit: UnitId, bare: bool, units: &Units, style: Style) -> String {
    let value = significant(units.get(unit).from_base(base));
    with_unit(&decimal(value, 0, style), value, unit, bare, units)
}

/// A number and its unit, the unit by its symbol or in words that agree with `value`.
pub fn with_unit(number: &str, value: Exact, unit: UnitId, bare: bool, units: &Units) -> String {
    let name = unit_name(value, unit, bare, units);
    if name.is_empty() { number.to_owned() } else { format!("{number}{NO_BREAK}{name}") }
}

/// `value` of a unit as a kitchen writes it: fractions for spoons, cups, ounces and inches, decimals for metric units.
pub fn measure(value: Exact, unit: UnitId, bare: bool, units: &Units, style: Style) -> String {
    with_unit(&kitchen_number(value, unit, units, style), value, unit, bare, units)
}

/// The number of [`measure`] alone.
pub fn kitchen_number(value: Exact, unit: UnitId, units: &Units, style: Style) -> String {
    if prefers_fractions(unit, units) { fraction(value, style) } else { decimal(value, 0, style) }
}

/// The sign between two numbers of a range, the first of them as printed.
pub fn range_sign(low: &str, high_is_signed: bool) -> &'static str {
    if low.starts_with('−') || high_is_signed { " to " } else { "–" }
}

/// With a capital at its start.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// Whether a number is spoken with a vowel first: eight, 8, 11, 18, 85, 800.
pub fn sounds_like_a_vowel(text: &str) -> bool {
    let lower = text.to_lowercase();
    let figures = lower.find(|c: char| !c.is_ascii_digit()).unwrap_or(lower.len());
    match &lower[..figures] {
        "" => lower.starts_with("eight") || lower.starts_with("eleven") || lower.starts_with("hour"),
        "11" | "18" => true,
        figures => figures.starts_with('8'),
    }
}

/// At most four significant figures, halves away from nought; figures before the point are kept.
///
/// Nothing is written beyond the fourth place: no kitchen reads 0.03527 oz, and neither does
/// [`Number::read`](super::Number::read).
pub fn significant(value: Exact) -> Exact {
    let (ten, size) = (Exact::whole(10), value.abs());
    let (mut step, mut limit) = (Exact::ONE, Exact::whole(1000));
    for _ in 0..4 {
        if size >= limit {
            break;
        }
        (step, limit) = (step / ten, limit / ten);
    }
    value.round_to(step)
}

/// Figures with at least `least` places, as many more as the value needs, and at most four significant ones where
/// it has no end.
pub fn decimal(value: Exact, least: u32, style: Style) -> String {
    let (value, places) = match places(value) {
        Some(places) => (value, places),
        None => (significant(value), 4),
    };
    let mut text = value.to_decimal(places);
    if least > 0 {
        let mut shown = text.split_once('.').map_or(0, |(_, after)| after.len());
        if shown == 0 {
            text.push('.');
        }
        while shown < least as usize {
            text.push('0');
            shown += 1;
        }
    }
    style.with_sign(text)
}

/// `1½`, or `3/16` where no such sign exists, or figures where even that would be no help to a cook.
pub fn fraction(value: Exact, style: Style) -> String {
    let sign = if value < Exact::ZERO { "−" } else { "" };
    let size = value.abs();
    let (whole, part) = (size.floor(), size - size.floor());
    if let Some(text) = vulgar(size) {
        return format!("{sign}{text}");
    }
    match part.under() {
        16 | 32 | 64 if whole.is_zero() => format!("{sign}{}/{}", part.over(), part.under()),
        16 | 32 | 64 => format!("{sign}{whole}{NO_BREAK}{}/{}", part.over(), part.under()),
        _ => decimal(value, 0, style),
    }
}

/// Figures after the point that state the value exactly, if six are enough and it can be read again.
fn places(value: Exact) -> Option<u32> {
    (0..=6).filter(|_| value.under() <= 10_000).find(|places| (value * Exact::whole(10i128.pow(*places))).is_whole())
}

/// `1½`, with the fractions that have a sign of their own.
pub(super) fn vulgar(value: Exact) -> Option<String> {
    let (whole, part) = (value.floor(), value - value.floor());
    let sign = if part.is_zero() { None } else { Some(glyph(part)?) };
    Some(match sign {
        None => whole.to_string(),
        Some(sign) if whole.is_zero() => sign.to_string(),
        Some(sign) => format!("{whole}{sign}"),
    })
}

fn glyph(part: Exact) -> Option<char> {
    Some(match (part.over(), part.under()) {
        (1, 2) => '½',
        (1, 3) => '⅓',
        (2, 3) => '⅔',
        (1, 4) => '¼',
        (3, 4) => '¾',
        (1, 5) => '⅕',
        (2, 5) => '⅖',
        (3, 5) => '⅗',
        (4, 5) => '⅘',
        (1, 6) => '⅙',
        (5, 6) => '⅚',
        (1, 7) => '⅐',
        (1, 8) => '⅛',
        (3, 8) => '⅜',
        (5, 8) => '⅝',
        (7, 8) => '⅞',
        (1, 9) => '⅑',
        (1, 10) => '⅒',
        _ => return None,
    })
}

/// Whether a kitchen writes parts of a unit as fractions: spoons, cups, ounces, inches, pieces.
pub fn prefers_fractions(unit: UnitId, units: &Units) -> bool {
    let row = units.get(unit);
    let weighed = matches!(row.dimension, Dimension::Mass | Dimension::Volume | Dimension::Length);
    is_vessel(units, unit)
        || row.approximate
        || row.dimension == Dimension::Count
        || weighed && row.system != System::Metric
}

/// The name of a unit beside a value: its symbol, or the word that agrees.
pub fn unit_name(value: Exact, unit: UnitId, bare: bool, units: &Units) -> &str {
    let (symbol, one, many) = units.names(unit, bare);
    if !is_spelled(symbol, one) {
        symbol
    } else if value.abs() > Exact::ONE || value.is_zero() {
        many
    } else {
        one
    }
}

/// Units that cooks write out: a cup, a pint, a pinch, a day. Their symbols are clipped words that few can read.
fn is_spelled(symbol: &str, one: &str) -> bool {
    const WORDS: [&str; 8] = ["cup", "pint", "quart", "gallon", "gill", "dessertspoon", "day", "week"];
    // A lone degree sign belongs to an angle; a reading without its scale is "92 degrees".
    symbol == one || symbol == "°" || one.rsplit(' ').next().is_some_and(|last| WORDS.contains(&last))
}

fn end_value(end: &End, units: &Units) -> Exact {
    units.get(end.unit).from_base(end.quantity.base())
}

fn end(end: &End, bare: bool, units: &Units, style: Style) -> String {
    if end.compound
        && let Some(text) = compound(end, bare, units, style)
    {
        return text;
    }
    let value = end_value(end, units);
    with_unit(&end_number(end, units, style), value, end.unit, bare, units)
}

fn end_number(end: &End, units: &Units, style: Style) -> String {
    let value = end_value(end, units);
    if prefers_fractions(end.unit, units)
        && let Some(text) = vulgar(value)
        && (is_vessel(units, end.unit) || !matches!(end.number.form, NumberForm::Digits { .. }))
    {
        return text;
    }
    match end.number.form {
        NumberForm::Digits { decimals } => decimal(value, u32::from(decimals), style),
        NumberForm::Fraction | NumberForm::Words | NumberForm::Article => {
            let metric = units.get(end.unit).system == System::Metric;
            if metric && places(value).is_some() { decimal(value, 0, style) } else { fraction(value, style) }
        }
    }
}

/// `1 lb 4 oz`: an [`End`] keeps only the last unit, so the first is the one that makes the rest whole.
fn compound(end: &End, bare: bool, units: &Units, style: Style) -> Option<String> {
    let small = units.get(end.unit);
    let total = end.quantity.base();
    let rest = total - small.to_base(end.number.value);
    let fits = units.iter().filter(|(id, big)| {
        let (symbol, one, _) = units.names(*id, bare);
        big.dimension == small.dimension
            && big.system == small.system
            && !big.approximate
            && symbol != one
            && big.size > small.size
            && rest > Exact::ZERO
            && (rest / big.size).is_whole()
    });
    // 24 h 30 min is not a day; but 1 L 50 mL is a litre, not ten decilitres.
    let (id, big) = match small.dimension {
        Dimension::Time => fits.min_by_key(|(_, big)| big.size),
        _ => fits.max_by_key(|(_, big)| big.size),
    }?;
    let count = (total / big.size).floor();
    let left = (total - count * big.size) / small.size;
    let first = measure(count, id, bare, units, style);
    if left.is_zero() {
        return Some(first);
    }
    let last = End { number: Number { value: left, ..end.number }, compound: false, ..*end };
    let last = End { quantity: Quantity::from_base(small.dimension, small.to_base(left))?, ..last };
    Some(format!("{first}{NO_BREAK}{}", self::end(&last, bare, units, style)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Home, parse_amount};
    use crate::reference::Reference;

    fn units(home: Home) -> Units {
        Reference::built_in(home).units
    }

    fn plain(text: &str) -> String {
        text.replace(NO_BREAK, " ")
    }

    #[test]
    fn a_written_amount_is_printed_in_its_own_units_and_reads_back() {
        let units = units(Home::Uk);
        for (written, want) in [
            ("4 litres", "4 L"),
            ("250g", "250 g"),
            ("0.5 tsp", "½ tsp"),
            ("half a teaspoon", "½ tsp"),
            ("1 1/2 cups", "1½ cups"),
            ("3/4 cup", "¾ cup"),
            ("1 cup", "1 cup"),
            ("92 degrees C", "92 °C"),
            ("92 degrees", "92 degrees"),
            ("20 to 25 minutes", "20–25 min"),
            ("1 hour 30 minutes", "1 h 30 min"),
            ("24 h 30 min", "24 h 30 min"),
            ("1 lb 4 oz", "1 lb 4 oz"),
            ("1 L 50 mL", "1 L 50 mL"),
            ("1 pint 5 fl oz", "1 pint 5 fl oz"),
            ("no less than 30 min", "at least 30 min"),
            ("at most 5 °C", "at most 5 °C"),
            ("around 2 hours", "about 2 h"),
            ("half an hour", "½ h"),
            ("half a litre", "0.5 L"),
            ("a third of a litre", "⅓ L"),
            ("2 per cent", "2 %"),
            ("1.50 kg", "1.50 kg"),
            ("six", "6"),
            ("a dozen", "12"),
            ("5 or 6", "5–6"),
            ("-18 °C", "−18 °C"),
            ("-2 to 4 °C", "−2 to 4 °C"),
            ("45 min to 1 h", "45 min to 1 h"),
            ("2 US pints", "2 US pints"),
            ("1 imperial gallon", "1 imperial gallon"),
            ("2 sticks of butter", "2 sticks of butter"),
            ("3 pinches", "3 pinches"),
            ("4 days", "4 days"),
            ("2.5 in", "2.5 in"),
            ("3/16 in", "3/16 in"),
            ("2 3/16 in", "2 3/16 in"),
        ] {
            let read = parse_amount(written, &units).unwrap();
            let text = amount(&read, &units, Style::default());
            assert_eq!(plain(&text), want, "{written}");
            let again = parse_amount(&text, &units).unwrap();
            assert_eq!(
                (again.low.quantity, again.high.quantity, again.bound, again.about, again.bare),
                (read.low.quantity, read.high.quantity, read.bound, read.about, read.bare),
                "{written}"
            );
        }
    }

    #[test]
    fn an_exact_value_has_at_most_four_figures() {
        let units = units(Home::Uk);
        let show = |base, unit, bare| {
            plain(&value_in(Exact::parse(base).unwrap(), units.find(unit).unwrap(), bare, &units, Style::default()))
        };
        // GNU units: tempF(tempC(92)) = 197.6; 4 L = 7.0390… UK pints; 1 g = 0.035273… oz, given to four places.
        assert_eq!(show("92", "fahrenheit", false), "197.6 °F");
        assert_eq!(show("4000", "imperial-pint", true), "7.039 pints");
        assert_eq!(show("1", "ounce", false), "0.0353 oz");
        assert_eq!(show("12345.6", "gram", false), "12346 g");
        assert_eq!(show("1/3", "millilitre", false), "0.3333 mL");
        assert_eq!(show("-17.5", "celsius", false), "−17.5 °C");
        assert_eq!(show("236.5882365", "us-cup", false), "1 US cup");
    }

    #[test]
    fn the_decimal_sign_follows_the_language_and_reads_back() {
        // CLDR 48.2.
        for (tag, comma) in [
            ("de", true),
            ("fr-FR", true),
            ("es", true),
            ("it", true),
            ("nl", true),
            ("pt-PT", true),
            ("pl", true),
            ("sv-SE", true),
            ("en-ZA", true),
            ("de-CH", false),
            ("es-MX", false),
            ("en", false),
            ("en-GB", false),
        ] {
            let style = Style::for_language(tag);
            let manner = crate::reference::Manner { style, ..Home::Uk.into() };
            let units = Reference::built_in(manner).units;
            for (base, unit, point) in [
                ("2500", "kilogram", "2.5 kg"),
                ("1125", "kilogram", "1.125 kg"),
                ("1", "gram", "1 g"),
                ("12345", "gram", "12345 g"),
                ("0.125", "gram", "0.125 g"),
                ("-17.5", "celsius", "−17.5 °C"),
                ("5/4", "metric-teaspoon", "¼ tsp"),
            ] {
                let (base, unit) = (Exact::parse(base).unwrap(), units.find(unit).unwrap());
                let text = measure(units.get(unit).from_base(base), unit, point.ends_with("tsp"), &units, style);
                let want = if comma { point.replace('.', ",") } else { point.to_owned() };
                assert_eq!(plain(&text), want, "{tag}");
                let read = parse_amount(&text, &units).unwrap();
                assert_eq!(read.low.quantity.base(), base, "{text} in {tag}");
                assert_eq!(amount(&read, &units, style), text, "{tag}");
            }
        }
    }
}
