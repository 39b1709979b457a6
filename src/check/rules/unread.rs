//! `no-unit`: a figure that is no quantity because its unit, or one of its digits, is misspelt: "500 gr flour", "2oo °C",
//! "1:40 h", `3" deep`.
//!
//! Why: what cannot be read as a quantity is held to nothing, so a slip of the pen would let a wrong figure pass unseen.
//!
//! Only what can hardly be anything else is spoken of: letters that look like digits, before a unit; short forms that are
//! known for what they mean; words one letter away from a unit's.

use super::words::{Word, words};
use super::{Cx, is_read};
use crate::check::ledger::LedgerEntry;
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};
use crate::lesson::Run;
use crate::lesson::near::nearest_within;
use crate::quantity::Units;
use crate::source::Span;

/// Short forms that cooks write and no standard has, and what they mean.
const MEANT: &[(&str, &str)] = &[
    ("gr", "g"),
    ("grs", "g"),
    ("grm", "g"),
    ("grms", "g"),
    ("gs", "g"),
    ("kgr", "kg"),
    ("ccm", "mL"),
    ("mlt", "mL"),
    ("lt", "L"),
    ("lts", "L"),
    ("ts", "tsp"),
    ("tp", "tsp"),
    ("tbp", "tbsp"),
    ("tblspn", "tbsp"),
    ("dstsp", "dessertspoons"),
    ("mn", "min"),
    ("mns", "min"),
    ("hs", "h"),
];

/// Words that are one letter away from a unit's, and mean something else.
const WORDS: &[&str] = &[
    "points", "point", "prints", "print", "paints", "paint", "pinto", "mouths", "mouth", "weeds", "weeps", "grabs",
    "grans", "ponds", "quarto", "quartz", "gallop", "inched", "decree", "metros", "minuet",
];

pub(in crate::check) fn unread(cx: &Cx<'_>, entries: &[LedgerEntry], sink: &mut Diagnostics) {
    let units = &cx.reference.units;
    let known = units.iter().filter(|(_, unit)| !unit.approximate);
    let names = known.flat_map(|(_, unit)| [unit.one.as_str(), unit.many.as_str()]);
    let names: Vec<&str> = names.filter(|name| is_word(name)).collect();
    for run in &cx.lesson.runs {
        for slip in slips(run, units, &names) {
            if !is_read(entries, slip.span) {
                sink.push(slip.finding());
            }
        }
    }
}

/// Long enough that one letter more or less leaves it what it is.
fn is_word(name: &str) -> bool {
    name.len() >= 5 && name.chars().all(|letter| letter.is_ascii_lowercase())
}

/// A figure that cannot be read.
struct Slip<'a> {
    span: Span,
    text: &'a str,
    /// What is wrong with it, after its text.
    why: String,
    /// What to write instead, where that is clear.
    instead: Option<String>,
}

impl Slip<'_> {
    fn finding(self) -> Diagnostic {
        let found = Diagnostic::new(Code::NoUnit, format!("“{}” is no quantity: {}", self.text, self.why), self.span)
            .label("cannot be read, so nothing holds it to the recipe");
        match self.instead {
            Some(instead) => found.help(format!("write `{instead}`, if that is what is meant")).suggest(
                self.span,
                instead,
                Confidence::NeedsACook,
            ),
            None => found.help("write the figure with a unit, or say in words what it counts"),
        }
    }
}

/// A word without what closes or opens around it.
fn core(word: Word<'_>) -> Word<'_> {
    let open = |letter: char| matches!(letter, '(' | '[' | '“' | '‘' | '"');
    let text = word.text.trim_start_matches(open);
    let start = word.start + word.text.len() - text.len();
    let close = |letter: char| matches!(letter, '.' | ',' | ';' | ':' | '!' | '?' | ')' | ']' | '”' | '’' | '…');
    Word { start, text: text.trim_end_matches(close) }
}

fn slips<'a>(run: &'a Run, units: &Units, names: &[&str]) -> Vec<Slip<'a>> {
    let text = run.text.text.as_str();
    if !text.contains(|letter: char| letter.is_ascii_digit()) {
        return Vec::new();
    }
    let words = words(text);
    let slip = |from: usize, to: usize, why: String, instead: Option<String>| Slip {
        span: run.text.home(from..to),
        text: &text[from..to],
        why,
        instead,
    };
    let mut found = Vec::new();
    for (at, word) in words.iter().enumerate() {
        let next = words.get(at + 1).map(|next| core(*next));
        let lead = at.checked_sub(1).map_or("", |before| core(words[before]).text);
        let core = core(*word);
        if let Some(digits) = look_alike(core.text) {
            let (spoilt, rest) = core.text.split_at(digits.len());
            let unit = if rest.is_empty() { next.map(|next| (next, " ")) } else { Some((core, "")) };
            let unit = unit.filter(|(of, gap)| {
                let at = if gap.is_empty() { digits.len() } else { 0 };
                units.match_start(&of.text[at..]).is_some()
            });
            if let Some((of, _)) = unit {
                let why = format!("“{spoilt}” holds letters that look like digits");
                let instead = format!("{digits}{}", &text[core.start + digits.len()..of.end()]);
                found.push(slip(core.start, of.end(), why, Some(instead)));
            }
        } else if let Some((first, second)) = clock(core.text) {
            if let Some((next, long, short)) = next.and_then(|next| length_of(next.text).map(|(a, b)| (next, a, b)))
                && !AT.contains(&lead.to_lowercase().as_str())
            {
                let why = "it is written as a time of the day".to_owned();
                found.push(slip(core.start, next.end(), why, Some(format!("{first} {long} {second} {short}"))));
            }
        } else if let Some((figure, unit)) = figure_and_unit(core, next) {
            let of_time = lead.eq_ignore_ascii_case("for").then(|| time_meant(unit.text)).flatten();
            if let Some(instead) = of_time.or_else(|| meant(unit.text, units, names)) {
                let why = format!("`{}` is no unit that is known here", unit.text);
                let instead = format!("{} {instead}", &text[core.start..figure]);
                found.push(slip(core.start, unit.end(), why, Some(instead)));
            }
        } else if let Some(figure) = core.text.strip_suffix('"').filter(|figure| is_figure(figure))
            && text[..core.start].matches('"').count().is_multiple_of(2)
        {
            let why = "the sign of inches is ″, and \" ends what somebody says".to_owned();
            found.push(slip(core.start, core.end(), why, Some(format!("{figure} in"))));
        }
    }
    found
}

/// Words before a time of the day.
const AT: &[&str] = &["at", "from", "by", "until", "till", "before", "after", "about", "around", "past", "since"];

/// The digits that a spoilt figure at the beginning of a word stands for: `200` of `2oo`.
fn look_alike(word: &str) -> Option<String> {
    let digit = |letter: char| match letter {
        'o' | 'O' => Some('0'),
        'l' | 'I' => Some('1'),
        'S' => Some('5'),
        _ => letter.is_ascii_digit().then_some(letter),
    };
    let digits: String = word.chars().map_while(digit).collect();
    let spoilt = &word[..digits.len()];
    let letters = spoilt.chars().filter(char::is_ascii_alphabetic).count();
    (letters > 0 && letters < spoilt.len()).then_some(digits)
}

/// `1` and `40` of `1:40`.
fn clock(word: &str) -> Option<(u32, &str)> {
    let (first, second) = word.split_once(':')?;
    let is_number = |text: &str| !text.is_empty() && text.len() < 3 && text.chars().all(|c| c.is_ascii_digit());
    (is_number(first) && second.len() == 2 && is_number(second)).then(|| Some((first.parse().ok()?, second)))?
}

/// What the two figures of `1:40` are where this word follows.
fn length_of(word: &str) -> Option<(&'static str, &'static str)> {
    match word.to_lowercase().as_str() {
        "h" | "hr" | "hrs" | "hour" | "hours" => Some(("h", "min")),
        "min" | "mins" | "minute" | "minutes" => Some(("min", "s")),
        _ => None,
    }
}

fn is_figure(word: &str) -> bool {
    word.starts_with(|first: char| first.is_ascii_digit())
        && word.chars().all(|letter| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '/' | '½' | '¼' | '¾'))
}

/// Where a figure ends, and the letters after it: `500gr`, `500 gr`.
fn figure_and_unit<'a>(word: Word<'a>, next: Option<Word<'a>>) -> Option<(usize, Word<'a>)> {
    let len = word.text.find(|letter: char| letter.is_ascii_alphabetic()).unwrap_or(word.text.len());
    if !is_figure(&word.text[..len]) {
        return None;
    }
    let glued = Word { start: word.start + len, text: &word.text[len..] };
    let unit = if glued.text.is_empty() { next? } else { glued };
    let is_letters = !unit.text.is_empty() && unit.text.chars().all(|letter| letter.is_ascii_alphabetic());
    is_letters.then_some((word.start + len, unit))
}

/// What a letter stands for where a time is told, and nowhere else.
fn time_meant(letter: &str) -> Option<&'static str> {
    match letter {
        "m" | "M" => Some("min"),
        "H" => Some("h"),
        _ => None,
    }
}

/// The unit that a misspelt one most likely means.
fn meant<'a>(word: &str, units: &Units, names: &[&'a str]) -> Option<&'a str> {
    let small = word.to_lowercase();
    if units.match_start(word).is_some() || WORDS.contains(&small.as_str()) {
        return None;
    }
    if let Some((_, meant)) = MEANT.iter().find(|(slip, _)| *slip == small) {
        return Some(meant);
    }
    let is_near = |name: &&&str| name.chars().next() == small.chars().next();
    is_word(&small).then(|| nearest_within(&small, 1, names.iter().filter(is_near).copied()))?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_told_from_letters_that_look_like_them() {
        for (word, digits) in [("2oo", "200"), ("21O°C", "210"), ("2l0", "210"), ("I5", "15"), ("3S", "35")] {
            assert_eq!(look_alike(word).as_deref(), Some(digits), "{word}");
        }
        for word in ["200", "oil", "Oslo", "Is", "lo", "O", "½", "So"] {
            assert_eq!(look_alike(word), None, "{word}");
        }
    }

    #[test]
    fn a_time_of_the_day_has_two_figures() {
        assert_eq!(clock("1:40"), Some((1, "40")));
        for word in ["1:4", "1:400", ":40", "1:", "a:40", "140"] {
            assert_eq!(clock(word), None, "{word}");
        }
    }
}
