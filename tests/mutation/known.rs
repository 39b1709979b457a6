//! Slips that the checker is known to pass, each with its reason: `survivors.tsv`.
//!
//! A slip is told by its lesson, the words and the changed words. The same words elsewhere in the lesson share the row.

/// A slip that passes.
#[derive(Debug, Clone, Copy)]
pub struct Known {
    pub reason: &'static str,
    pub folder: &'static str,
    pub words: &'static str,
    pub mutant: &'static str,
}

impl Known {
    pub fn slip(&self) -> (&'static str, &'static str, &'static str) {
        (self.folder, self.words, self.mutant)
    }
}

/// The list, by lesson, words and slip.
pub fn known() -> Vec<Known> {
    let lines = include_str!("survivors.tsv").lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
    lines
        .map(|line| {
            let columns: Vec<&str> = line.split('\t').collect();
            let [reason, folder, words, mutant] = columns[..] else { panic!("four columns: {line}") };
            meaning(reason);
            Known { reason, folder, words, mutant }
        })
        .collect()
}

pub fn meaning(reason: &str) -> &'static str {
    let row = REASONS.iter().find(|(name, _)| *name == reason);
    row.unwrap_or_else(|| panic!("no reason is called `{reason}`")).1
}

/// Holes are to be mended; what is by rule follows from how the language says that words are held to a recipe.
const REASONS: &[(&str, &str)] = &[
    ("upside-down", "hole: of a range whose ends stand the wrong way round the first number is not read at all"),
    ("bracket-same-unit", "hole: two readings in one unit, one in brackets, are not held against each other"),
    ("about-in-bracket", "hole: with `about` behind the bracket, `whey (about 30 mL)` is no longer of the whey"),
    (
        "apposition",
        "hole: `20 mL of oil, which is four teaspoons` is not taken for a pair, and the second half is free",
    ),
    (
        "whole-for-part",
        "hole: where a step takes a part, its words may still give the whole, and so three times the salt",
    ),
    ("same-name", "hole: a short name, buttermilk, fits a leftover and an ingredient, and either amount passes"),
    (
        "borrowed",
        "hole: a step need not state its own named measures, so a figure of the session, of keeping, of a fact \
                  or of another step stands in for one unseen",
    ),
    ("said-twice", "hole: once a step has stated its own figure, a second one may be any other step's"),
    ("same-step", "by rule: it is another measure of the very step"),
    (
        "outside",
        "by rule: outside a step, words without a thing may state any measure of the lesson, at either end of \
                 a range or inside it",
    ),
    ("kind-swap", "hole: a time where a temperature stood, or the like, is free to bind to any measure of that kind"),
    ("pronoun", "by rule: `one` in words is a pronoun and counts nothing"),
];
