//! What lowering one lesson carries along: the tables, the measures so far, the texts that are read.

use super::model::{Measure, MeasureId, Owner, Place, Visible, block_run};
use super::table::{text, wrong_type};
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};
use crate::lesson::near::nearest;
use crate::lesson::{Run, Text, Value, ValueKind, trimmed};
use crate::quantity::{Amount, AmountError, Dimension, Exact, Units, parse_amount, split_amount};
use crate::reference::Pantry;
use crate::source::Span;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The state of one lesson's lowering.
pub(super) struct Context<'a> {
    pub units: &'a Units,
    pub pantry: &'a Pantry,
    /// Index of the lesson.
    pub lesson: usize,
    /// Its slug, which begins the path of its measures.
    pub slug: &'a str,
    pub measures: &'a mut Vec<Arc<Measure>>,
    /// Texts of its blocks.
    pub runs: Vec<Run>,
    /// Names that the lesson does not have, by sort and word: said once, however often they are used.
    pub unknown_names: BTreeMap<(String, String), Diagnostic>,
    pub sink: &'a mut Diagnostics,
    /// The kitchen, in which some sums begin.
    pub place: &'a Place,
}

/// What an amount must be.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) struct Want {
    /// Kinds of quantity that will do; none means any.
    pub kinds: &'static [Dimension],
    /// In words.
    pub words: &'static str,
    /// How to write one.
    pub example: &'static str,
}

/// A temperature.
pub(super) const TEMPERATURE: Want =
    Want { kinds: &[Dimension::Temperature], words: "a temperature", example: "92 °C" };
/// A time.
pub(super) const TIME: Want = Want { kinds: &[Dimension::Time], words: "a time", example: "20–25 min" };
/// How much goes in or comes out.
pub(super) const STUFF: Want = Want {
    kinds: &[Dimension::Mass, Dimension::Volume, Dimension::Count, Dimension::Length],
    words: "a weight, a volume or a number of things",
    example: "500 g",
};
/// What a pot holds.
pub(super) const VOLUME: Want =
    Want { kinds: &[Dimension::Volume, Dimension::Mass], words: "a volume (or, for a jar, a weight)", example: "6 L" };
/// How wide or long a thing is.
pub(super) const LENGTH: Want = Want { kinds: &[Dimension::Length], words: "a length", example: "24 cm" };
/// How many.
pub(super) const COUNT: Want = Want { kinds: &[Dimension::Count], words: "a number of things", example: "2" };
/// A share of something.
pub(super) const SHARE: Want = Want { kinds: &[Dimension::Share], words: "a share", example: "1.5 % of flour" };
/// How much of one thing to how much of another.
pub(super) const DOSE: Want = Want {
    kinds: &[Dimension::Mass, Dimension::Volume, Dimension::Count],
    words: "an amount to an amount",
    example: "2 mL per 10 L of milk",
};
/// Anything that can be measured.
pub(super) const ANY: Want = Want { kinds: &[], words: "a measure", example: "2.5 cm" };

impl Want {
    fn takes(&self, kind: Dimension) -> bool {
        self.kinds.is_empty() || self.kinds.contains(&kind)
    }
}

/// An amount, its place, and what is written after it.
pub(super) struct Line {
    pub amount: Amount,
    pub span: Span,
    pub rest: Text,
}

impl Context<'_> {
    /// Says whether a measure grows with the batch.
    pub fn set_scales(&mut self, id: MeasureId, scales: bool) {
        Arc::make_mut(&mut self.measures[id.0 as usize]).scales = scales;
    }

    /// Adds a measure of this lesson.
    pub fn measure(&mut self, path: &str, amount: Amount, span: Span, owner: Owner) -> MeasureId {
        let path = format!("{}.{path}", self.slug);
        add_measure(self.measures, Measure { path, amount, span, owner, scales: owner.grows() })
    }

    /// Keeps a text among those that are read.
    pub fn visible(&mut self, text: &Text, step: Option<usize>) -> Visible {
        self.runs.push(block_run(text, step));
        text.clone()
    }

    /// A text that readers see.
    pub fn visible_text(&mut self, key: &str, value: &Value, example: &str, step: Option<usize>) -> Option<Visible> {
        let text = text(key, value, example, self.sink)?;
        Some(self.visible(text, step))
    }

    /// A value that is nothing but an amount.
    pub fn amount(&mut self, key: &str, value: &Value, want: Want) -> Option<(Amount, Span)> {
        if let ValueKind::Number(number) = &value.kind
            && want.takes(Dimension::Count)
        {
            match parse_amount(number, self.units) {
                Ok(amount) => {
                    return self.fits(key, &amount, number, value.span, want).then_some((amount, value.span));
                }
                Err(_) => {
                    let message = format!("`{number}` cannot be read as a number of things");
                    self.sink.push(Diagnostic::new(Code::BadAmount, message, value.span).help("write it like `2`"));
                    return None;
                }
            }
        }
        let text = self.amount_text(key, value, want)?;
        match parse_amount(&text.text, self.units) {
            Ok(amount) => {
                let span = text.home(0..text.text.len());
                self.fits(key, &amount, &text.text, span, want).then_some((amount, span))
            }
            Err(error) => {
                self.bad_amount(key, &text, &error, want);
                None
            }
        }
    }

    /// A measure made from a value that is nothing but an amount.
    pub fn measured(&mut self, key: &str, value: &Value, want: Want, path: &str, owner: Owner) -> Option<MeasureId> {
        let (amount, span) = self.amount(key, value, want)?;
        Some(self.measure(path, amount, span, owner))
    }

    /// A text that begins with an amount: `4 L whole milk`.
    pub fn line(&mut self, key: &str, value: &Value, want: Want) -> Option<Line> {
        let text = self.amount_text(key, value, want)?;
        let (amount, len) = match split_amount(&text.text, self.units) {
            Ok(found) => found,
            Err(error) => {
                self.bad_amount(key, &text, &error, want);
                return None;
            }
        };
        if backwards(&text.text[len..]) {
            self.backwards(&text);
            return None;
        }
        let written = trimmed(&text, 0..len);
        let span = written.home(0..written.text.len());
        if !self.fits(key, &amount, &written.text, span, want) {
            return None;
        }
        let mut rest = trimmed(&text, len..text.text.len());
        if let Some(after) = rest.text.strip_prefix("of ") {
            rest = trimmed(&rest, rest.text.len() - after.len()..rest.text.len());
        }
        Some(Line { amount, span, rest })
    }

    fn amount_text(&mut self, key: &str, value: &Value, want: Want) -> Option<Text> {
        if matches!(value.kind, ValueKind::Number(_)) {
            let wants = format!("{} with its unit, in quotes", want.words);
            wrong_type(key, value, &wants, &format!("{key} = \"{}\"", want.example), self.sink);
            return None;
        }
        let text = text(key, value, want.example, self.sink)?;
        Some(trimmed(text, 0..text.text.len()))
    }

    /// Whether an amount is of the right kind; says so if not.
    pub fn fits(&mut self, key: &str, amount: &Amount, written: &str, span: Span, want: Want) -> bool {
        let kind = amount.dimension();
        let below_nought =
            !matches!(kind, Dimension::Temperature | Dimension::Difference) && amount.low.quantity.base() < Exact::ZERO;
        if below_nought {
            let message = format!("`{written}` is less than nothing");
            let found = Diagnostic::new(Code::BadAmount, message, span);
            self.sink.push(found.help(format!("write it like `{}`", want.example)));
            return false;
        }
        let beyond = match kind {
            Dimension::Temperature => {
                amount.low.quantity.base() < Exact::new(-27315, 100) || amount.high.quantity.base() > Exact::whole(2000)
            }
            _ => false,
        };
        if beyond {
            let found = Diagnostic::new(Code::BadAmount, format!("no kitchen reaches `{written}`"), span);
            self.sink.push(found.help(format!("write it like `{}`", want.example)));
            return false;
        }
        let nothing = matches!(kind, Dimension::Mass | Dimension::Volume) && amount.high.quantity.base().is_zero();
        if nothing {
            let found = Diagnostic::new(Code::BadAmount, format!("`{written}` is nothing at all"), span);
            self.sink.push(found.help(format!("write it like `{}`, or leave it out", want.example)));
            return false;
        }
        if want.takes(kind) {
            return true;
        }
        let found = if kind == Dimension::Count {
            Diagnostic::new(Code::BadAmount, format!("`{written}` has no unit, and `{key}` needs {}", want.words), span)
                .help(match want.example.split_once(' ') {
                    Some((_, unit)) if !unit.contains(' ') => {
                        format!("write its unit after it, such as `{written} {unit}`")
                    }
                    _ => format!("write it like `{}`", want.example),
                })
        } else {
            let message = format!("`{key}` needs {}, and `{written}` is {}", want.words, kind.in_words());
            let found = Diagnostic::new(Code::WrongKind, message, span);
            match (key, kind) {
                ("to" | "at" | "from", Dimension::Time) => {
                    found.help("a time goes into `for` (must pass) or `takes` (usually takes)")
                }
                ("for" | "takes", Dimension::Temperature) => {
                    found.help("a temperature goes into `to` (reached), `at` (held) or `from` (at the start)")
                }
                (_, Dimension::Share) if want == STUFF => found.help(
                    "say how much it is, and put its share beside that: `{ amount = \"10 g fine salt\", share = \"2 % of flour\" }`",
                ),
                _ => found.help(format!("write it like `{}`", want.example)),
            }
        };
        self.sink.push(found);
        false
    }

    fn bad_amount(&mut self, key: &str, text: &Text, error: &AmountError, want: Want) {
        let whole = 0..text.text.len();
        let (range, meant) = match error {
            AmountError::UnknownUnit(word) => {
                let at = text.text.rfind(word.as_str());
                (at.map_or(whole, |at| at..at + word.len()), self.near_unit(word, want))
            }
            AmountError::Leftover(words) => {
                (text.text.rfind(words.as_str()).map_or(whole, |at| at..at + words.len()), None)
            }
            AmountError::NoNumber | AmountError::BadRange => (whole, None),
        };
        let message = match error {
            AmountError::NoNumber => format!("`{}` is not an amount: it does not begin with a number", text.text),
            _ => error.to_string(),
        };
        if backwards(&text.text[range.clone()]) {
            return self.backwards(text);
        }
        let span = text.home(range);
        let mut found = Diagnostic::new(Code::BadAmount, message, span).label(format!("`{key}` needs {}", want.words));
        found = match &meant {
            Some(meant) => {
                found.help(format!("did you mean `{meant}`?")).suggest(span, meant.as_str(), Confidence::NeedsACook)
            }
            None if want == STUFF && matches!(error, AmountError::NoNumber) => {
                found.help("say first how much it is, and then of what: `500 g flour`, `4 sprigs of dill`")
            }
            None => found.help(format!("write it like `{}`", want.example)),
        };
        self.sink.push(found);
    }

    fn backwards(&mut self, text: &Text) {
        let message = format!("the ends of the range in `{}` stand the wrong way round", text.text);
        let span = text.home(0..text.text.len());
        self.sink.push(Diagnostic::new(Code::BadAmount, message, span).help("put the smaller end first"));
    }

    /// The unit that a misspelt word most likely means.
    pub fn near_unit(&self, word: &str, want: Want) -> Option<String> {
        let units = self.units.iter().filter(|(_, unit)| want.takes(unit.dimension));
        let names = units.flat_map(|(_, unit)| [&unit.symbol, &unit.one, &unit.many]);
        nearest(word, names.filter(|name| !name.is_empty()).map(String::as_str)).map(str::to_owned)
    }
}

/// Whether what is left after a value is the other end of a range, which must then be the smaller one.
fn backwards(rest: &str) -> bool {
    let rest = rest.trim_start();
    let after = rest.trim_start_matches(['–', '-', '‑', '—', '−']).trim_start();
    after.len() < rest.len() && after.starts_with(|letter: char| letter.is_ascii_digit())
}

/// Adds a measure.
pub(super) fn add_measure(measures: &mut Vec<Arc<Measure>>, measure: Measure) -> MeasureId {
    let id = MeasureId(u32::try_from(measures.len()).expect("a course has fewer than four billion measures"));
    measures.push(Arc::new(measure));
    id
}
