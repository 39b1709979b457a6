//! Every caution of `shared/cautions.toml`: a lesson on which it applies, and where; one that comes near, on which it
//! does not; and what it says where nobody states the fact that would rule it out.

#![allow(clippy::print_stdout, reason = "the table of the demo course is for reading, under --nocapture")]

mod case;
mod clean;
mod demo;
mod findings;
mod food;
mod keeping;
mod plain;
#[path = "../steps/mod.rs"]
mod steps;
mod stove;
mod thresholds;

use case::{Case, Made, NONE};
use pottle::reference::CautionSeverity;
use std::collections::{BTreeMap, BTreeSet};

fn cases() -> impl Iterator<Item = &'static Case> {
    food::CASES.iter().chain(stove::CASES).chain(clean::CASES).chain(keeping::CASES)
}

#[test]
fn each_applies_where_the_danger_is() {
    for case in cases() {
        assert_eq!(
            Made::read(case.lesson).places(case.id),
            [case.at],
            "{}: {:#?}",
            case.id,
            Made::read(case.lesson).all()
        );
    }
}

#[test]
fn none_applies_to_what_only_comes_near() {
    for case in cases().filter(|case| case.near != NONE) {
        assert_eq!(Made::read(&case.near()).places(case.id), [""; 0], "{}", case.id);
    }
}

#[test]
fn what_nobody_states_counts_as_the_dangerous_case_and_is_named() {
    for case in cases() {
        for (stated, instead, words) in case.left_out {
            let text = case.changed(&case.near(), (stated, instead));
            let made = Made::read(&text);
            let found = made.all();
            let own: Vec<_> = found.iter().filter(|one| one.id == case.id).collect();
            assert!(!own.is_empty(), "{} without `{stated}`: {found:#?}", case.id);
            for one in own {
                assert!(one.unsaid.iter().any(|unsaid| unsaid == words), "{} without `{stated}`: {one:?}", case.id);
            }
        }
    }
}

#[test]
fn what_is_stated_is_not_called_unsaid() {
    // These lessons leave something else open on purpose.
    let open = ["bleach-strong", "bleach-weak", "raw-drink-scotland", "raw-drink"];
    for case in cases().filter(|case| !open.contains(&case.id)) {
        let found = Made::read(case.lesson).all();
        let own = found.iter().find(|one| one.id == case.id).expect("it applies");
        assert!(own.unsaid.is_empty() || !case.certain, "{own:?}");
    }
}

#[test]
fn every_rule_of_the_table_has_its_lessons() {
    let made = Made::read("# step\ntakes = \"5 min\"");
    let table: BTreeSet<&str> = made.rules().iter().map(|rule| rule.id.as_str()).collect();
    let tested: Vec<&str> = cases().map(|case| case.id).collect();
    assert_eq!(tested.iter().copied().collect::<BTreeSet<_>>(), table);
    assert_eq!(tested.len(), table.len(), "an id is tested twice");
    // No rule stands in every lesson, so each has one that comes near.
    let always: Vec<&str> = cases().filter(|case| case.near == NONE).map(|case| case.id).collect();
    assert_eq!(always, [""; 0]);
}

/// Rules that stop or warn and ask for something an author may leave unsaid: each is tried without it.
#[test]
fn every_fact_that_may_be_left_out_is_left_out_somewhere() {
    let optional = [
        "heat",
        "fat",
        "acid",
        "pack",
        "ph",
        "aw",
        "kept-celsius",
        "short-and-cold",
        "keeps-warm",
        "tested-kept",
        "salt-kept",
        "touched",
        "might",
        "minutes",
        "warm-too-long",
        "outside-ferment",
        "altitude",
        "sanitiser-ppm",
        "sanitiser-celsius",
        "rinsed",
        "eaten",
        "children",
        "celsius",
        "kind",
        "sealed",
    ];
    let made = Made::read("# step\ntakes = \"5 min\"");
    let mut left: BTreeMap<&str, bool> = optional.iter().map(|fact| (*fact, false)).collect();
    for case in cases() {
        let rule = made.rules().iter().find(|rule| rule.id == case.id).expect("it is in the table");
        if rule.severity == CautionSeverity::Note {
            assert!(case.left_out.is_empty(), "{}: notes do not apply on what is unknown", case.id);
            continue;
        }
        let asked = || rule.when.iter().chain(&rule.unless).map(|test| test.fact.as_str());
        for (_, _, words) in case.left_out {
            for fact in asked().filter(|fact| case::words_of(fact) == *words) {
                left.insert(fact, true);
            }
        }
    }
    let never: Vec<&str> = left.into_iter().filter_map(|(fact, done)| (!done).then_some(fact)).collect();
    assert_eq!(never, [""; 0]);
}

#[test]
fn notes_do_not_apply_on_what_is_unknown() {
    for (id, text) in [
        // Nobody says how hot, nor what sort of make.
        (
            "hot-glass",
            "# recipe\nmakes = \"1 L soup\"\n[ingredients]\nw = \"1 L water\"\n[equipment]\njar = \"jar\"\n\
          # step\nadd = [\"w\"]\ndoes = \"heat\"\n# step\nin = \"jar\"\ndoes = \"fill\"",
        ),
        (
            "bread-date",
            "# recipe\nmakes = \"1 kg dough\"\n[ingredients]\nf = \"1 kg plain flour\"\n# step\nadd = [\"f\"]",
        ),
        ("blades", "# step\ntakes = \"5 min\""),
        ("sanitising", "# step\ntakes = \"5 min\""),
    ] {
        assert_eq!(Made::read(text).places(id), [""; 0], "{id}");
    }
}
