//! Cautions as data: on what they rest, how much they matter, what they say. `kitchen::cautions` evaluates them.

use super::load::read_table;
use super::status::Status;
use crate::diag::Diagnostics;
use crate::source::{FileId, Sources};
use serde::Deserialize;

/// The rules, and the figures of each law that they go by.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Cautions {
    /// The rules, in the order in which they are shown.
    #[serde(rename = "caution")]
    pub rules: Vec<CautionRule>,
    /// What each law says of cold and hot.
    #[serde(rename = "limit")]
    pub limits: Vec<Limit>,
    /// Words in the names of equipment that tell what is done with it.
    #[serde(rename = "sign")]
    pub signs: Vec<DeedSign>,
}

/// One rule. All of `when` must hold, and none of `unless`; what is not known counts as the dangerous case, except for
/// notes.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CautionRule {
    /// Its id, by which an author overrules it.
    pub id: String,
    /// What it looks at, one at a time.
    #[serde(rename = "of")]
    pub scope: Scope,
    /// How much it matters.
    pub severity: CautionSeverity,
    /// What must hold.
    #[serde(default)]
    pub when: Vec<Test>,
    /// What must not hold.
    #[serde(default)]
    pub unless: Vec<Test>,
    /// The danger in a few words.
    pub title: String,
    /// What to do, in one to three sentences. `{cold}`, `{hot}`, `{reheat}`, `{cool}` and `{out}` stand for the law's words.
    pub say: String,
    /// What the author can change, where the rule stops publishing.
    #[serde(default)]
    pub mend: Option<String>,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// What a rule looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Scope {
    /// The lesson as a whole.
    Lesson,
    /// Each ingredient.
    Ingredient,
    /// Each step.
    Step,
    /// Each way in which something is kept.
    Keeping,
}

/// How much a caution matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CautionSeverity {
    /// Nothing is published until the recipe changes, or its author says why it does not hold.
    Block,
    /// Printed where the danger is, on everything.
    Warn,
    /// Printed on the page and the handout.
    Note,
}

/// A condition: the name of what is known of the lesson, and what it must be.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(try_from = "String")]
pub struct Test {
    /// Its name: `celsius`.
    pub fact: String,
    /// What it must be.
    pub wanted: Wanted,
}

/// What a fact must be.
#[derive(Debug, Clone, PartialEq)]
pub enum Wanted {
    /// One of these words, or a set that has one of them.
    AnyOf(Vec<String>),
    /// `yes` or `no`.
    Flag(bool),
    /// A number that is at least this.
    AtLeast(f64),
    /// A number that is more than this.
    Above(f64),
    /// A number that is at most this.
    AtMost(f64),
    /// A number that is less than this.
    Under(f64),
}

impl TryFrom<String> for Test {
    type Error = String;

    /// `celsius: at least 60`, `does: pour | drain`, `sour: yes`
    fn try_from(line: String) -> Result<Test, String> {
        let (fact, wanted) = line.split_once(": ").ok_or_else(|| format!("`{line}` is no condition"))?;
        let number = |text: &str| text.trim().parse::<f64>().map_err(|_| format!("`{text}` in `{line}` is no number"));
        let wanted = if let Some(least) = wanted.strip_prefix("at least ") {
            Wanted::AtLeast(number(least)?)
        } else if let Some(least) = wanted.strip_prefix("above ") {
            Wanted::Above(number(least)?)
        } else if let Some(most) = wanted.strip_prefix("at most ") {
            Wanted::AtMost(number(most)?)
        } else if let Some(most) = wanted.strip_prefix("under ") {
            Wanted::Under(number(most)?)
        } else if matches!(wanted, "yes" | "no") {
            Wanted::Flag(wanted == "yes")
        } else {
            Wanted::AnyOf(wanted.split(" | ").map(|word| word.trim().to_owned()).collect())
        };
        Ok(Test { fact: fact.to_owned(), wanted })
    }
}

/// What a law says of cold and hot, as numbers to reckon with and as words to print.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limit {
    /// Whose: a name of `FoodLaw`.
    pub law: String,
    /// Chilled food is at most so warm, in °C.
    pub cold: f64,
    /// Hot food is at least so hot, in °C.
    pub hot: f64,
    /// Perishable food stands between the two for at most so many minutes.
    pub minutes: f64,
    /// `cold` in words: `5 °C (41 °F)`.
    pub cold_words: String,
    /// `hot` in words.
    pub hot_words: String,
    /// To what food is heated again, in words.
    pub reheat_words: String,
    /// How fast cooked food is cooled, in words.
    pub cool_words: String,
    /// How long food may stand out, in words.
    pub out_words: String,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// A word in the name of a piece of equipment that tells what is done with it.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DeedSign {
    /// The word, in lower case: `microwave`.
    pub word: String,
    /// What is done, as `does` has it.
    pub does: String,
    /// Words that tell of something else: an air fryer fries nothing in fat.
    #[serde(default)]
    pub unless: Vec<String>,
}

impl Cautions {
    /// Reads `shared/cautions.toml`.
    pub(super) fn read(sources: &Sources, file: Option<FileId>, sink: &mut Diagnostics) -> Cautions {
        file.and_then(|file| read_table(sources, file, sink)).unwrap_or_default()
    }

    /// The rule of an id.
    pub fn rule(&self, id: &str) -> Option<&CautionRule> {
        self.rules.iter().find(|rule| rule.id == id)
    }

    /// Id of a rule's source; where its figures are those of the law, of that law's.
    pub fn source_of<'s>(&'s self, rule: &'s CautionRule, law: &str) -> &'s str {
        let of_law = (rule.source == "limits").then(|| self.limit(law)).flatten();
        of_law.map_or(&rule.source, |limit| &limit.source)
    }

    /// What a law says; the strictest where it is not known.
    pub fn limit(&self, law: &str) -> Option<&Limit> {
        let of = |law: &str| self.limits.iter().find(|limit| limit.law == law);
        of(law).or_else(|| of("other"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn conditions_are_read() {
        let read = |line: &str| Test::try_from(line.to_owned());
        let any = Wanted::AnyOf(vec!["pour".to_owned(), "drain".to_owned()]);
        assert_eq!(read("does: pour | drain"), Ok(Test { fact: "does".to_owned(), wanted: any }));
        assert_eq!(read("celsius: at least 60").unwrap().wanted, Wanted::AtLeast(60.0));
        assert_eq!(read("ph: above 4.6").unwrap().wanted, Wanted::Above(4.6));
        assert_eq!(read("sour: no").unwrap().wanted, Wanted::Flag(false));
        assert!(read("celsius at least 60").is_err());
        assert!(read("celsius: at least hot").is_err());
    }
}
