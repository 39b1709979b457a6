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
    ("same-name", "hole: a short name, buttermilk or water, fits two things of a recipe, and either amount passes"),
    ("same-step", "by rule: it is another measure of the very step, or lies inside the range it states"),
    (
        "outside",
        "by rule: outside a step, words without a thing may state any measure of the lesson, at either end of \
                 a range or inside it",
    ),
    ("kind-swap", "hole: a time where a temperature stood, or the like, is free to bind to any measure of that kind"),
    ("keeping", "hole: a time beside the fridge may be how long a thing keeps there, also where a step names another"),
    ("water", "by rule: a millilitre of water is a gram, and either may be written"),
    ("convention", "by rule: the trade calls a pint 600 mL, and by that it is right"),
    ("pronoun", "by rule: `one` in words is a pronoun and counts nothing"),
];
