//! What is measured out, in words.

use super::measured::{Measured, MeasuredRange, Method, Part};
use super::systems::Kitchen;
use crate::quantity::print::{self, NO_BREAK};
use crate::quantity::{Exact, UnitId};

/// How a figure stands in a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Form<'a> {
    /// What joins the ends of a range, blanks included: ` and ` after "between"; a dash where nothing is said.
    pub join: Option<&'a str>,
    /// Before a noun, as in "a 2-cup jug": its units stay in the singular.
    pub adjective: bool,
}

impl Kitchen<'_> {
    /// A range in words, without "about".
    pub fn words(&self, range: &MeasuredRange, form: Form<'_>) -> String {
        self.ends(&range.low, &range.high, form)
    }

    fn ends(&self, low: &Measured, high: &Measured, form: Form<'_>) -> String {
        let text = |end: &Measured| self.parts_text(&end.parts, end.method, form);
        if low.rounded == high.rounded {
            return text(high);
        }
        let pair = match (low.parts.as_slice(), high.parts.as_slice()) {
            ([a], [b]) if a.unit == b.unit => {
                let number = print::kitchen_number(a.number, a.unit, self.units(), self.style());
                Some((number, text(high), b.number < Exact::ZERO))
            }
            _ => self.in_one_unit(low, high, form).map(|(number, last)| (number, last, false)),
        };
        match pair {
            Some((number, last, signed)) => {
                let sign = form.join.unwrap_or_else(|| print::range_sign(&number, signed));
                format!("{number}{sign}{last}")
            }
            None => format!("{}{}{}", text(low), form.join.unwrap_or(" to "), text(high)),
        }
    }

    pub(super) fn range_text(&self, low: &Measured, high: &Measured) -> String {
        let about = if low.about || high.about { "about " } else { "" };
        format!("{about}{}", self.ends(low, high, Form::default()))
    }

    pub(super) fn text(&self, parts: &[Part], method: Method) -> String {
        self.parts_text(parts, method, Form::default())
    }

    fn parts_text(&self, parts: &[Part], method: Method, form: Form<'_>) -> String {
        let texts: Vec<String> = parts.iter().map(|part| self.part_text(part, form)).collect();
        if method == Method::Spoons { texts.join(" + ") } else { texts.join(&NO_BREAK.to_string()) }
    }

    fn part_text(&self, part: &Part, form: Form<'_>) -> String {
        let number = print::kitchen_number(part.number, part.unit, self.units(), self.style());
        let agrees_with = if form.adjective { Exact::ONE } else { part.number };
        print::with_unit(&number, agrees_with, part.unit, part.bare, self.units())
    }

    /// Two ends of which one is a sum, in the smallest of their units: `1¾ pints` and `1 pint 19 fl oz` are hard to compare.
    fn in_one_unit(&self, low: &Measured, high: &Measured, form: Form<'_>) -> Option<(String, String)> {
        let units = |end: &Measured| end.parts.iter().map(|part| part.unit).collect::<Vec<UnitId>>();
        let sum = low.parts.len() > 1 || high.parts.len() > 1;
        if !sum || low.method == Method::Spoons || units(low) == units(high) {
            return None;
        }
        let size = |unit: UnitId| self.units().get(unit).size;
        let smallest = low.parts.iter().chain(&high.parts).min_by_key(|part| size(part.unit))?;
        let number = |end: &Measured| self.units().get(smallest.unit).from_base(end.rounded);
        let first = print::kitchen_number(number(low), smallest.unit, self.units(), self.style());
        let last = self.part_text(&Part { number: number(high), ..*smallest }, form);
        Some((first, last))
    }
}
