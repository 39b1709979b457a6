//! Edits: a mention with the model's value in it, in the author's own form and markup.

use super::candidates::Candidate;
use super::judge::Judge;
use crate::diag::Edit;
use crate::prose::Mention;
use crate::quantity::print::{self, Style, Which};
use crate::quantity::{Amount, Bound, Dimension, End, Exact, NumberForm, Quantity, Units};
use crate::source::MappedText;
use std::ops::Range;

/// Why a mention was not rewritten, after "because".
pub(super) type Reason = &'static str;

const TIMES: Reason = "the figure beside it says how often";
const FORM: Reason = "the value cannot be written in the form of these words";
const MARKUP: Reason = "markup runs through the figure";
const HEAD: Reason = "its unit stands in the head of the column";
const LIMIT: Reason = "the figure is right and only “at least” or “at most” differs";

/// Rewrites mentions of one text.
pub(super) struct Rewriter<'a> {
    pub units: &'a Units,
    pub judge: &'a Judge<'a>,
    /// What the places of mentions count in.
    pub text: &'a MappedText,
    pub style: Style,
}

impl Rewriter<'_> {
    /// The edits that make a mention state `model`, one for each stretch of the file that changes, and the new words.
    pub fn restate(&self, mention: &Mention, model: &Candidate) -> Result<(String, Vec<Edit>), Reason> {
        if mention.times.is_some() {
            return Err(TIMES);
        }
        if mention.marks.unit_in_head {
            return Err(HEAD);
        }
        if mention.marks.fan || mention.amount.per != model.per || mention.amount.unit() == self.units.gas() {
            return Err(FORM);
        }
        let text = self.new_text(mention, model).ok_or(FORM)?;
        if text == mention.text {
            return Err(LIMIT);
        }
        let edits = self.place(mention, &text).ok_or(MARKUP)?;
        Ok((text, edits))
    }

    /// The edits that make `half the salt` state another part of it.
    pub fn restate_part(&self, mention: &Mention, part: Exact) -> Result<(String, Vec<Edit>), Reason> {
        let written = if part == Exact::ONE { Some("all".to_owned()) } else { self.write(mention, part) };
        let mut text = written.ok_or(FORM)?;
        let after = self.text.text[mention.range.end..].trim_start();
        // "half the salt", but "a third of the salt"
        if !after.starts_with("of ") && text != "half" && text != "all" {
            text.push_str(" of");
        }
        let edits = self.place(mention, &text).ok_or(MARKUP)?;
        Ok((text, edits))
    }

    fn write(&self, mention: &Mention, base: Exact) -> Option<String> {
        print::in_words_form(&mention.text, Which::Low, &mention.amount, base, self.units, self.style)
    }

    fn new_text(&self, mention: &Mention, model: &Candidate) -> Option<String> {
        let amount = &mention.amount;
        let single = || {
            let own = if model.range && amount.bound == Bound::AtMost { &model.high } else { &model.low };
            self.values(mention, model, own, &amount.high)
        };
        match (amount.range, model.range) {
            (true, true) => self.first_pair(mention, model, |low, high| self.write_range(mention, low, high)),
            (false, true) if amount.bound == Bound::None => self.first_pair(mention, model, |low, high| {
                print::single_as_range(&mention.text, amount, (low, high), self.units, self.style)
            }),
            (true, false) => single()
                .into_iter()
                .find_map(|base| print::range_as_single(&mention.text, amount, base, self.units, self.style)),
            (false, _) => single().into_iter().find_map(|base| self.write(mention, base)),
        }
    }

    /// The first two values that can be written as a range; ends that differ in the model must differ in the words.
    fn first_pair(
        &self,
        mention: &Mention,
        model: &Candidate,
        write: impl Fn(Exact, Exact) -> Option<String>,
    ) -> Option<String> {
        let low = self.values(mention, model, &model.low, &mention.amount.low);
        let high = self.values(mention, model, &model.high, &mention.amount.high);
        let pairs = low.iter().flat_map(|low| high.iter().map(move |high| (*low, *high)));
        let same = model.low.quantity == model.high.quantity;
        pairs.filter(|(low, high)| same || low < high).find_map(|(low, high)| write(low, high))
    }

    fn write_range(&self, mention: &Mention, low: Exact, high: Exact) -> Option<String> {
        let amount = &mention.amount;
        let write = |text: &str, which, amount: &Amount, base| {
            print::in_words_form(text, which, amount, base, self.units, self.style)
        };
        // Whichever end is written first, the text in between must still be a range: try both orders.
        let (mut low_written, mut high_written) = (*amount, *amount);
        low_written.low.quantity = Quantity::from_base(amount.dimension(), low)?;
        high_written.high.quantity = Quantity::from_base(amount.dimension(), high)?;
        let low_first = write(&mention.text, Which::Low, amount, low)
            .and_then(|text| write(&text, Which::High, &low_written, high));
        low_first.or_else(|| {
            let text = write(&mention.text, Which::High, amount, high)?;
            write(&text, Which::Low, &high_written, low)
        })
    }

    /// The model's value as base values in the unit of the words, the best first: exact in the model's own system,
    /// else the roundest figures that state it.
    fn values(&self, mention: &Mention, model: &Candidate, own: &End, said: &End) -> Vec<Exact> {
        let (ours, theirs) = (self.units.get(own.unit), self.units.get(said.unit));
        let base = match self.judge.same_kind(mention, model, own) {
            Some(base) => base,
            None => return Vec::new(),
        };
        let ours_too = ours.dimension == theirs.dimension && ours.system == theirs.system;
        let mut found: Vec<Exact> = ours_too.then_some(base).into_iter().collect();
        for step in self.steps(said) {
            let rounded = theirs.to_base(theirs.from_base(base).round_to(step));
            let Some(quantity) = Quantity::from_base(theirs.dimension, rounded) else { continue };
            let lost = rounded.is_zero() && theirs.dimension != Dimension::Temperature;
            // Words and fractions leave nothing to round inside one system.
            let digits = matches!(said.number.form, NumberForm::Digits { .. });
            let end = End { quantity, step: if digits { theirs.size * step } else { Exact::ZERO }, ..*said };
            if !lost && !found.contains(&rounded) && self.judge.end_agrees(mention, model, own, &end) {
                found.push(rounded);
            }
        }
        found
    }

    /// To what a figure is rounded, in the order to try: no finer than the author wrote, if that states the value.
    fn steps(&self, said: &End) -> Vec<Exact> {
        let decimals = |places: u32| Exact::new(1, 10i128.pow(places));
        let fractions = || [1, 2, 4, 8].map(|under| Exact::new(1, under)).into_iter();
        match said.number.form {
            NumberForm::Digits { decimals: 0 } if print::prefers_fractions(said.unit, self.units) => {
                fractions().chain([decimals(1), decimals(2)]).collect()
            }
            NumberForm::Digits { decimals: written } => {
                let written = u32::from(written).min(3);
                vec![decimals(written), decimals(written + 1)]
            }
            NumberForm::Fraction | NumberForm::Words | NumberForm::Article => {
                let third = Exact::new(1, 3);
                fractions()
                    .take(3)
                    .chain([third])
                    .chain(fractions().skip(3))
                    .chain([decimals(1), decimals(2)])
                    .collect()
            }
        }
    }

    /// Where the new words go, the article before them included: "a 6-litre pot", "an 8-litre pot".
    fn place(&self, mention: &Mention, new: &str) -> Option<Vec<Edit>> {
        let text = &self.text.text;
        let (mut range, mut new) = (mention.range.clone(), new.to_owned());
        if let Some((start, article)) = article_before(text, range.start)
            && let wanted = if print::sounds_like_a_vowel(&new) { "an" } else { "a" }
            && !article.eq_ignore_ascii_case(wanted)
        {
            let capital = article.starts_with('A').then(|| wanted.replacen('a', "A", 1));
            let gap = &text[start + article.len()..range.start];
            new = format!("{}{gap}{new}", capital.as_deref().unwrap_or(wanted));
            range.start = start;
        }
        if let Some(span) = self.text.copied_from(range.clone()) {
            return Some(vec![Edit { span, text: new }]);
        }
        // Markup stands between its words: each stretch that changes must lie between two marks.
        let changed = changes(&text[range.clone()], &new);
        let home = |part: &Range<usize>| self.text.copied_from(range.start + part.start..range.start + part.end);
        changed.into_iter().map(|(part, text)| Some(Edit { span: home(&part)?, text })).collect()
    }
}

/// `a` or `an` right before `at`, and where it begins.
fn article_before(text: &str, at: usize) -> Option<(usize, &str)> {
    let before = text[..at].trim_end();
    let start = before
        .rfind(|c: char| !c.is_alphanumeric())
        .map_or(0, |mark| mark + before[mark..].chars().next().map_or(1, char::len_utf8));
    let word = &before[start..];
    (before.len() < at && ["a", "an", "A", "An"].contains(&word)).then_some((start, word))
}

/// What changes between two texts, word by word: bytes of the old one and what stands there in the new.
fn changes(old: &str, new: &str) -> Vec<(Range<usize>, String)> {
    let (a, b) = (words(old), words(new));
    // Lengths of the longest common run of words from each pair of places on.
    let mut common = vec![vec![0usize; b.len() + 1]; a.len() + 1];
    for i in (0..a.len()).rev() {
        for j in (0..b.len()).rev() {
            common[i][j] = if a[i] == b[j] { common[i + 1][j + 1] + 1 } else { common[i + 1][j].max(common[i][j + 1]) };
        }
    }
    let mut found: Vec<(Range<usize>, String)> = Vec::new();
    let (mut i, mut j, mut at, mut kept) = (0, 0, 0, true);
    while i < a.len() || j < b.len() {
        if i < a.len() && j < b.len() && a[i] == b[j] {
            (at, i, j, kept) = (at + a[i].len(), i + 1, j + 1, true);
            continue;
        }
        if kept {
            found.push((at..at, String::new()));
            kept = false;
        }
        let Some((range, text)) = found.last_mut() else { break };
        if j >= b.len() || i < a.len() && common[i + 1][j] >= common[i][j + 1] {
            at += a[i].len();
            range.end = at;
            i += 1;
        } else {
            text.push_str(b[j]);
            j += 1;
        }
    }
    found
}

/// Words and figures, and everything between them letter by letter.
fn words(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let len = if first.is_alphanumeric() {
            rest.find(|c: char| !c.is_alphanumeric()).unwrap_or(rest.len())
        } else {
            first.len_utf8()
        };
        let (word, after) = rest.split_at(len);
        found.push(word);
        rest = after;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_words_that_differ_change() {
        for (old, new, want) in [
            ("4 litres", "5 litres", vec![(0..1, "5")]),
            ("4 litres", "1 litre", vec![(0..1, "1"), (2..8, "litre")]),
            ("half a teaspoon", "three quarters of a teaspoon", vec![(0..4, "three"), (5..5, "quarters of ")]),
            ("20 to 25 min", "20 to 30 min", vec![(6..8, "30")]),
            ("1 lb 4 oz", "2 lb", vec![(0..1, "2"), (4..9, "")]),
            ("same", "same", vec![]),
        ] {
            let found = changes(old, new);
            let mut rebuilt = old.to_owned();
            for (range, text) in found.iter().rev() {
                rebuilt.replace_range(range.clone(), text);
            }
            assert_eq!(rebuilt, new);
            if old != "1 lb 4 oz" {
                let found: Vec<_> = found.iter().map(|(range, text)| (range.clone(), text.as_str())).collect();
                assert_eq!(found, want, "{old} → {new}");
            }
        }
    }

    #[test]
    fn articles_go_by_the_sound() {
        for (text, an) in [("8-litre", true), ("80", true), ("18", true), ("11", true), ("110", false), ("eight", true)]
        {
            assert_eq!(print::sounds_like_a_vowel(text), an, "{text}");
        }
        assert_eq!(article_before("use A 6-litre", 6), Some((4, "A")));
        assert_eq!(article_before("data 6", 5), None);
        assert_eq!(article_before("6", 0), None);
    }
}
