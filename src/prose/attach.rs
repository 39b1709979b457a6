//! The thing that a quantity is of: the noun after it, before it, or told of by a verb.

use super::context::{CLAUSE_WORDS, skip_blank, words_before};
use super::mention::{Mention, NounHit};
use super::nouns::Found;
use super::scan::Scan;
use crate::quantity::{fold_letter, phrase, read_prefix};

impl Scan<'_> {
    pub(super) fn find_nouns(&mut self) {
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
        // Halves stand side by side.
        let first = self.found[..index].iter().rev().take_while(same).last().unwrap_or(mention);
        let last = self.found[index..].iter().take_while(same).last().unwrap_or(mention);
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
    pub(super) fn noun_after(&self, end: usize) -> Option<(Found, bool)> {
        self.thing_after(end).map(|(found, _, of)| (found, of))
    }

    /// The same, with where its name ends.
    pub(super) fn thing_after(&self, end: usize) -> Option<(Found, usize, bool)> {
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
        self.noun_at(at, 3).map(|(found, past)| (found, past, of.is_some()))
    }

    /// A thing at `at` or after at most `skip` describing words; and where its name ends.
    pub(super) fn noun_at(&self, at: usize, skip: usize) -> Option<(Found, usize)> {
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
    pub(super) fn noun_before(&self, start: usize) -> Option<(Found, bool)> {
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
