//! Every fault of a table is told, all at once, each at its place.

use super::*;
use crate::diag::{Code, Diagnostics};
use crate::quantity::Home;
use crate::source::Sources;

/// A table that holds everything, to be spoilt.
const WHOLE: &str = "[[ingredient]]\nid = \"spring-whey\"\nname = \"spring whey\"\nalso = [\"spring wheys\"]\n\
    density = \"1.03\"\ndensity-source = \"weighed\"\ndensity-status = \"from memory\"\ncup-weight = \"244 g\"\n\
    each = \"50 g\"\neach-source = \"weighed\"\neach-status = \"common practice\"\nallergens = [\"milk\"]\n\
    allergens-us = [\"milk\"]\nkeeping = \"chilled\"\nperishable = true\nfat = \"3.25 %\"\nacid = \"5 %\"\n\
    raw = \"pasteurised\"\ntags = [\"dairy\"]\n";

struct Loaded {
    sources: Sources,
    reference: Reference,
    sink: Diagnostics,
}

fn load(pantry: &str, facts: &str) -> Loaded {
    let mut sources = Sources::default();
    for (path, text) in BUILT_IN {
        sources.add(*path, text);
    }
    let own = CourseTables {
        pantry: Some(sources.add("pantry.toml", pantry)),
        facts: Some(sources.add("facts.toml", facts)),
    };
    let mut sink = Diagnostics::default();
    let reference = Reference::load(&sources, Home::Uk, own, &mut sink);
    Loaded { sources, reference, sink }
}

impl Loaded {
    /// Code, place, message and help of each finding.
    fn findings(&self) -> Vec<(Code, &str, &str, &str)> {
        self.sink
            .iter()
            .map(|found| {
                let help = found.help.as_deref().unwrap_or("");
                (found.code, self.sources.text(found.primary.span), found.message.as_str(), help)
            })
            .collect()
    }
}

#[test]
fn the_built_in_tables_have_no_fault() {
    let loaded = load("", "");
    assert_eq!(loaded.findings(), []);
    assert!(loaded.reference.pantry.iter().count() > 300);
    for entry in loaded.reference.pantry.iter() {
        let named = [&entry.density_source, &entry.cup_weight_source, &entry.each_source];
        for source in named.into_iter().flatten() {
            assert!(loaded.reference.sources.contains_key(source), "{} names the source {source}", entry.id);
        }
        assert_eq!(entry.density.is_some(), entry.density_status.is_some(), "{}", entry.id);
        assert_eq!(entry.each.is_some(), entry.each_status.is_some(), "{}", entry.id);
        assert_eq!(entry.cup_weight.is_some(), entry.cup_weight_status.is_some(), "{}", entry.id);
    }
    for fact in &loaded.reference.facts {
        assert!(loaded.reference.sources.contains_key(&fact.source), "{}", fact.id);
    }
    let cited: Vec<&str> = loaded.reference.figures.source_ids().collect();
    assert!(cited.len() > 120, "{}", cited.len());
    for source in cited {
        assert!(loaded.reference.sources.contains_key(source), "a figure names the source {source}");
    }
}

#[test]
fn a_whole_entry_is_kept_whole() {
    let loaded = load(WHOLE, "");
    assert_eq!(loaded.findings(), []);
    let pantry = &loaded.reference.pantry;
    let entry = pantry.get(pantry.find("Spring wheys").unwrap());
    assert_eq!(entry.fat.unwrap().low.quantity.base().to_string(), "13/400");
    assert_eq!(entry.acid.unwrap().low.quantity.base().to_string(), "1/20");
    assert_eq!((entry.raw, entry.keeping), (Some(Treatment::Pasteurised), Storage::Chilled));
    assert_eq!(entry.density_status, Some(Status::FromMemory));
    assert_eq!(entry.cup_weight_source.as_deref(), Some("weighed"));
    assert_eq!(entry.cup_weight_status, Some(Status::FromMemory));
    assert_eq!(entry.each_status, Some(Status::CommonPractice));
}

/// What is changed, and the code, place and message that follow; the near miss of each is `WHOLE` itself.
#[test]
fn each_fault_of_an_entry_is_found_at_its_place() {
    for (from, to, code, place, message) in [
        ("allergens = [\"milk\"]\n", "", Code::BadTable, "[[ingredient]]", "lacks `allergens`"),
        ("allergens-us = [\"milk\"]\n", "", Code::BadTable, "[[ingredient]]", "lacks `allergens-us`"),
        ("keeping = \"chilled\"\n", "", Code::BadTable, "[[ingredient]]", "lacks `keeping`"),
        ("perishable = true\n", "", Code::BadTable, "[[ingredient]]", "lacks `perishable`"),
        ("name = \"spring whey\"\n", "", Code::BadTable, "[[ingredient]]", "lacks `name`"),
        ("id = \"spring-whey\"\n", "", Code::BadTable, "[[ingredient]]", "lacks `id`"),
        ("density-source = \"weighed\"\n", "", Code::BadTable, "[[ingredient]]", "lacks `density-source`"),
        ("density-status = \"from memory\"\n", "", Code::BadTable, "[[ingredient]]", "lacks `density-status`"),
        ("each-source = \"weighed\"\n", "", Code::BadTable, "[[ingredient]]", "lacks `each-source`"),
        ("keeping =", "keping =", Code::UnknownKey, "keping", "a pantry entry has no key `keping`"),
        (
            "perishable = true",
            "perishable = \"yes\"",
            Code::WrongType,
            "\"yes\"",
            "`perishable` needs `true` or `false`",
        ),
        ("allergens = [\"milk\"]", "allergens = \"milk\"", Code::WrongType, "\"milk\"", "`allergens` needs a list"),
        ("allergens = [\"milk\"]", "allergens = [\"mlik\"]", Code::WrongType, "mlik", "`allergens` cannot be `mlik`"),
        ("-us = [\"milk\"]", "-us = [\"gluten\"]", Code::WrongType, "gluten", "`allergens-us` cannot be `gluten`"),
        ("\"from memory\"", "\"a guess\"", Code::WrongType, "a guess", "`density-status` cannot be `a guess`"),
        ("\"pasteurised\"", "\"boiled\"", Code::WrongType, "boiled", "`raw` cannot be `boiled`"),
        ("\"chilled\"", "\"warm\"", Code::WrongType, "warm", "`keeping` cannot be `warm`"),
        ("\"1.03\"", "\"1,03 g\"", Code::BadTable, "1,03 g", "density `1,03 g` is not a number"),
        ("\"1.03\"", "1.03", Code::WrongType, "1.03", "`density` needs a text in quotes"),
        ("fat = \"3.25 %\"", "fat = \"3 g\"", Code::WrongKind, "3 g", "`fat` needs a share, and `3 g` is a weight"),
        ("\"50 g\"", "\"50 grms\"", Code::BadAmount, "50 grms", "`grms` is not a unit we know"),
        ("also = [", "also = [\"milk powder\", 3, ", Code::WrongType, "3", "`also` needs a text in quotes"),
        ("[[ingredient]]\n", "title = \"x\"\n[[ingredient]]\n", Code::UnknownKey, "title", "`title` stands outside"),
    ] {
        let text = WHOLE.replacen(from, to, 1);
        assert_ne!(text, WHOLE, "{from}");
        let loaded = load(&text, "");
        let found = loaded.findings();
        assert_eq!(found.len(), 1, "{to}: {found:?}");
        assert_eq!((found[0].0, found[0].1), (code, place), "{from} → {to}");
        assert!(found[0].2.contains(message), "{from} → {to}: {}", found[0].2);
    }
}

#[test]
fn a_word_that_is_nearly_right_is_guessed() {
    let help = |from: &str, to: &str| {
        let loaded = load(&WHOLE.replacen(from, to, 1), "");
        let found = loaded.sink.iter().next().unwrap().clone();
        (found.help.unwrap_or_default(), found.suggestions.first().map(|edit| edit.edit.text.clone()))
    };
    assert_eq!(help("keeping =", "keping ="), ("did you mean `keeping`?".to_owned(), Some("keeping".to_owned())));
    assert_eq!(help("allergens = [\"milk\"]", "allergens = [\"mlik\"]").1.as_deref(), Some("milk"));
    assert_eq!(help("\"from memory\"", "\"from memmory\"").1.as_deref(), Some("from memory"));
    assert_eq!(help("\"chilled\"", "\"warm\"").1, None);
}

#[test]
fn an_incomplete_entry_is_one_finding_that_shows_the_lines_to_add() {
    let loaded = load(
        "[[ingredient]]\nid = \"oca\"\nname = \"oca\"\ndensity = \"0.6\"\n\n[[ingredient]]\nid = \"ulluco\"\n",
        "",
    );
    let found = loaded.findings();
    assert_eq!(found.len(), 2, "{found:?}");
    let first = "the pantry entry `oca` lacks `allergens`, `allergens-us`, `keeping`, `perishable`, `density-source` \
                 and `density-status`";
    assert_eq!((found[0].0, found[0].2), (Code::BadTable, first));
    for key in ["allergens = [", "allergens-us = [", "keeping = ", "perishable = ", "density-source = "] {
        assert!(found[0].3.lines().any(|line| line.starts_with(key)), "{key}: {}", found[0].3);
    }
    assert!(found[1].2.starts_with("the pantry entry `ulluco` lacks `name`"), "{}", found[1].2);
}

/// The lines that a finding offers, put where it says, mend the entry.
#[test]
fn the_lines_shown_make_the_entry_whole() {
    let start = "[[ingredient]]\nid = \"oca\"\nname = \"oca\"\n";
    let loaded = load(start, "");
    let (_, lines) = loaded.findings()[0].3.split_once('\n').unwrap();
    // What nobody filled in is not taken for "none".
    let unfilled = load(&format!("{start}{lines}\n"), "");
    let left: Vec<&str> = unfilled.findings().iter().map(|found| found.1).collect();
    assert_eq!(left, ["…", "…"]);
    let sure = |lines: &str| lines.replace("[\"…\"]", "[]");
    assert_eq!(load(&format!("{start}{}\n", sure(lines)), "").findings(), []);
    let lines = sure(&Pantry::lines_to_add("oca")).replace("density = \"…\"", "density = \"0.6\"");
    assert_eq!(load(&lines, "").findings(), []);
}

#[test]
fn a_slip_on_one_line_does_not_make_its_key_seem_missing() {
    let loaded = load(&WHOLE.replace("keeping = \"chilled\"", "keeping = chilled"), "");
    let found = loaded.findings();
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!((found[0].0, found[0].1), (Code::BadToml, "chilled"));
}

#[test]
fn all_faults_of_a_file_are_told_at_once() {
    let text = WHOLE.replace("\"chilled\"", "\"warm\"").replace("\"3.25 %\"", "\"3 g\"");
    let text = format!("{text}\n[[ingredient]]\nid = \"oca\"\ncolour = \"red\"\n");
    let codes: Vec<Code> = load(&text, "[[fact]]\nid = \"x\"\n").sink.iter().map(|found| found.code).collect();
    assert_eq!(codes, [Code::WrongType, Code::WrongKind, Code::UnknownKey, Code::BadTable, Code::BadTable]);
}

#[test]
fn a_name_in_two_entries_of_one_file_is_found_and_the_course_s_own_wins() {
    let other = WHOLE.replace("spring-whey", "other-whey").replace("name = \"spring whey\"", "name = \"other whey\"");
    let found = load(&format!("{WHOLE}\n{other}"), "").sink;
    let codes: Vec<Code> = found.iter().map(|found| found.code).collect();
    assert_eq!(codes, [Code::DuplicateId]);
    let own = WHOLE.replace("spring wheys", "milk");
    let loaded = load(&own, "");
    assert_eq!(loaded.findings(), []);
    let pantry = &loaded.reference.pantry;
    assert_eq!(pantry.get(pantry.find("milk").unwrap()).id, "spring-whey");
}

const FACT: &str = "[[fact]]\nid = \"cellar\"\nname = \"cellar\"\nmeasure = \"12 °C\"\nsource = \"measured\"\nstatus = \"from memory\"\n";

#[test]
fn each_fault_of_a_fact_is_found_at_its_place() {
    assert_eq!(load("", FACT).findings(), []);
    for (from, to, code, place, message) in [
        ("source = \"measured\"\n", "", Code::BadTable, "[[fact]]", "a fact lacks `source`"),
        ("status = \"from memory\"\n", "", Code::BadTable, "[[fact]]", "a fact lacks `status`"),
        ("measure = \"12 °C\"", "mesure = \"12 °C\"", Code::UnknownKey, "mesure", "a fact has no key `mesure`"),
        ("\"12 °C\"", "12", Code::WrongType, "12", "`measure` needs a text in quotes"),
        ("\"12 °C\"", "\"cool\"", Code::BadAmount, "cool", "an amount begins with a number"),
        ("\"from memory\"", "\"guessed\"", Code::WrongType, "guessed", "`status` cannot be `guessed`"),
    ] {
        let text = FACT.replacen(from, to, 1);
        let loaded = load("", &text);
        let found = loaded.findings();
        assert_eq!(found.len(), 1, "{to}: {found:?}");
        assert_eq!((found[0].0, found[0].1), (code, place), "{from} → {to}");
        assert!(found[0].2.contains(message), "{from} → {to}: {}", found[0].2);
    }
    let twice = load("", &format!("{FACT}{FACT}"));
    assert_eq!(twice.findings()[0].0, Code::DuplicateId);
}

#[test]
fn the_course_s_own_fact_wins() {
    let loaded = load("", &FACT.replace("\"cellar\"", "\"fridge\""));
    let fridge: Vec<_> = loaded.reference.facts.iter().filter(|fact| fact.id == "fridge").collect();
    assert_eq!(fridge.len(), 1);
    assert_eq!(fridge[0].source, "measured");
}
