//! Small lessons, written as a few lines under the name of their block, and the cautions that apply to them.

use crate::steps::lesson;
use pottle::kitchen::{CautionPlace, cautions};
use pottle::reference::CautionRule;
use pottle::{Checked, Project, check};

/// A rule and its lessons.
pub struct Case {
    pub id: &'static str,
    /// Where it applies: `lesson`, the id of an ingredient, `s0` for the first step, `keeps 1` for the first way to keep.
    pub at: &'static str,
    /// The lesson on which it applies. Lines under `# course`, `# pantry`, `# lesson`, `# recipe` and each `# step`.
    pub lesson: &'static str,
    /// What must be changed so that it only comes near.
    pub near: (&'static str, &'static str),
    /// What may be left out of the lesson that comes near, what then stands there, and what the rule calls unsaid.
    pub left_out: &'static [(&'static str, &'static str, &'static str)],
    /// Whether all that the rule asks for is stated in `lesson`.
    pub certain: bool,
}

/// For a rule that every lesson has.
pub const NONE: (&str, &str) = ("", "");

impl Case {
    pub const fn new(
        id: &'static str,
        at: &'static str,
        lesson: &'static str,
        near: (&'static str, &'static str),
    ) -> Case {
        Case { id, at, lesson, near, left_out: &[], certain: true }
    }

    pub const fn left_out(self, left_out: &'static [(&'static str, &'static str, &'static str)]) -> Case {
        Case { left_out, ..self }
    }

    /// The lesson leaves something open.
    pub const fn open(self) -> Case {
        Case { certain: false, ..self }
    }

    pub fn near(&self) -> String {
        self.changed(self.lesson, self.near)
    }

    #[track_caller]
    pub fn changed(&self, text: &str, (from, to): (&str, &str)) -> String {
        assert_eq!(text.matches(from).count(), 1, "{}: `{from}` does not stand there once", self.id);
        text.replace(from, to)
    }
}

/// What a rule calls unsaid when a fact is unknown.
pub fn words_of(fact: &str) -> &'static str {
    match fact {
        "heat" => HEAT,
        "fat" => "how much fat is in it (`fat` in the pantry)",
        "acid" => "how much acid is in it (`acid` in the pantry)",
        "pack" | "sealed" => PACK,
        "ph" => "how acid it is (`ph`)",
        "aw" => "how dry it is (`aw`)",
        "kept-celsius" | "short-and-cold" | "keeps-warm" => COLD,
        "tested-kept" => "which tested recipe its proportions follow (`tested`)",
        "salt-kept" => "the least share of salt that was tested (`share` and `never-below`)",
        "touched" => "whether hands touch it (`by-hand`)",
        "might" => "what is done at the step (`does`)",
        "minutes" => "how long it takes",
        "warm-too-long" => "how warm it stands (`at`) and for how long (`for`)",
        "outside-ferment" => "how warm it ferments (`at`)",
        "altitude" => "how high above the sea it is",
        "sanitiser-ppm" => PPM,
        "sanitiser-celsius" => "how warm the sanitiser is (`at`)",
        "rinsed" => "whether the sanitiser is rinsed off (`rinse`)",
        "eaten" => EATEN,
        "children" => "whether children take part (`children` in course.toml)",
        "celsius" => HOT,
        "kind" => KIND,
        _ => "",
    }
}

pub const HEAT: &str = "how the milk was heated";
pub const PACK: &str = "how it is packed (`pack`)";
pub const COLD: &str = "how cold it is kept (`at`)";
pub const PPM: &str = "how strong the sanitiser is (`strength`, `amount` and `water`)";
pub const EATEN: &str = "where it is eaten (`eaten` in course.toml)";
pub const HOT: &str = "how hot it is";
pub const KIND: &str = "what sort of make it is (`kind`)";

/// A course of one lesson, checked.
pub struct Made {
    pub checked: Checked,
    pub project: Project,
}

/// A caution as tests look at it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seen {
    pub id: String,
    pub at: String,
    pub say: String,
    pub unsaid: Vec<&'static str>,
    pub overruled: Option<String>,
}

/// Findings about what is written, as against what it means: a test lesson has none.
fn is_slip(code: &str) -> bool {
    ["bad-", "unknown-", "wrong-", "missing-", "duplicate-", "misplaced-"].iter().any(|start| code.starts_with(start))
}

impl Made {
    pub fn read(text: &str) -> Made {
        let project = Project::from_files(files(text));
        let checked = check(&project);
        for found in checked.findings.iter() {
            assert!(!is_slip(found.code.name()), "{}: {}\n{text}", found.code.name(), found.message);
        }
        Made { checked, project }
    }

    pub fn rules(&self) -> &[CautionRule] {
        &self.checked.reference.cautions.rules
    }

    /// All cautions, in order.
    pub fn all(&self) -> Vec<Seen> {
        let (course, reference) = (&self.checked.model, &self.checked.reference);
        let found = cautions(course, reference, 0);
        let lesson = &course.lessons[0];
        let at = |place| match place {
            CautionPlace::Lesson => "lesson".to_owned(),
            CautionPlace::Ingredient(one) => lesson.recipe.as_ref().expect("it has one").ingredients[one].id.clone(),
            CautionPlace::Step(step) => lesson.steps[step].id.clone(),
            CautionPlace::Keeping(one) => format!("keeps {}", one + 1),
        };
        let seen = |one: pottle::kitchen::Caution<'_>| Seen {
            id: one.rule.id.clone(),
            at: at(one.place),
            say: one.say,
            unsaid: one.unsaid,
            overruled: one.overruled.map(|overrule| overrule.reason.text.clone()),
        };
        found.into_iter().map(seen).collect()
    }

    /// Where a rule applies.
    pub fn places(&self, id: &str) -> Vec<String> {
        self.all().into_iter().filter(|one| one.id == id).map(|one| one.at).collect()
    }

    /// The ids of what applies, each once.
    pub fn ids(&self) -> Vec<String> {
        let mut ids: Vec<String> = self.all().into_iter().map(|one| one.id).collect();
        ids.dedup();
        ids
    }
}

/// What a course says where a test does not.
const USUAL: [(&str, &str); 5] = [
    ("title", "\"Hall\""),
    ("home", "\"uk\""),
    ("language", "\"en-GB\""),
    ("children", "false"),
    ("eaten", "[\"at-class\"]"),
];

/// A text without a line that begins with a key leaves the usual value; `key = unsaid` leaves it out.
fn files(text: &str) -> Vec<(&'static str, String)> {
    let mut parts: Vec<(&str, String)> = Vec::new();
    for line in text.lines() {
        match line.strip_prefix("# ") {
            Some(head) => parts.push((head, String::new())),
            None => parts.iter_mut().last().into_iter().for_each(|(_, own)| {
                own.push_str(line);
                own.push('\n');
            }),
        }
    }
    let of = |head: &str| parts.iter().find(|part| part.0 == head).map(|part| part.1.as_str());
    let own = of("course").unwrap_or("");
    let usual = USUAL.iter().filter(|(key, _)| !own.lines().any(|line| line.starts_with(&format!("{key} "))));
    let usual: String = usual.map(|(key, value)| format!("{key} = {value}\n")).collect();
    let said: String = own.lines().filter(|line| !line.ends_with("= unsaid")).map(|line| format!("{line}\n")).collect();
    let steps: Vec<&str> = parts.iter().filter(|part| part.0 == "step").map(|part| part.1.trim_end()).collect();
    let mut lesson = lesson(of("recipe").unwrap_or("").trim(), &steps);
    if of("recipe").is_none() {
        lesson = lesson.replace("```recipe\n\n```\n\n", "");
    }
    if let Some(block) = of("lesson") {
        lesson = lesson.replacen("# Make\n", &format!("# Make\n\n```lesson\n{}\n```\n", block.trim()), 1);
    }
    let mut files = vec![("course.toml", usual + &said), ("01-make/lesson.md", lesson)];
    files.extend(of("pantry").map(|pantry| ("pantry.toml", pantry.to_owned())));
    files
}
