//! What several quantities say together: pairs in two units, ways from one reading to another, limits after a bracket.

use super::context::{skip_blank, words_before};
use super::mention::{Journey, Mention};
use super::scan::Scan;
use crate::quantity::{Bound, Dimension, Exact, fold_letter, phrase, read_prefix, read_suffix};

impl Scan<'_> {
    /// `12 to 6 minutes`: a slip, unless a temperature goes that way in words.
    pub(super) fn mark_falls(&mut self) {
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
    pub(super) fn bound_pairs(&mut self) {
        for index in 0..self.found.len() {
            let (pair, end) = (self.found[index].pair, self.found[index].range.end);
            let closed = pair.is_some() && self.text[end..].starts_with([')', ']']);
            let Some(bound) = closed.then(|| read_suffix(&self.text[end + 1..]).0.bound).flatten() else { continue };
            self.found.iter_mut().filter(|one| one.pair == pair).for_each(|one| one.amount.bound = bound);
        }
    }

    /// `1 tbsp = 15 mL` explains a unit; whoever gets it wrong has stated a measure that nobody declared.
    pub(super) fn drop_definitions(&mut self) {
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
    pub(super) fn join_journeys(&mut self) {
        for index in 1..self.found.len() {
            let (before, second) = (&self.found[index - 1], &self.found[index]);
            let group = |one: &Mention, other: &Mention| one.pair.is_some() && one.pair == other.pair;
            let halves = self.found[..index].iter().rev().take_while(|one| group(one, before)).count();
            let first = index - halves.max(1);
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
    pub(super) fn join_pairs(&mut self) {
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
}
