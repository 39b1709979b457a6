//! How a make is kept and packed.

use super::*;

#[test]
fn keeping_says_how_it_is_packed() {
    let more = "at = \"at most 5 °C\", pack = \"under-brine\", ph = \"at most 4.6\", aw = 0.97, mark = \"use-by\" }";
    let lowered = changed("at = \"at most 5 °C\" }", more);
    assert_eq!(lowered.findings(), []);
    let recipe = lowered.course.lessons[0].recipe.as_ref().unwrap();
    let [fridge, tub] = &recipe.keeps[..] else { panic!("two ways to keep") };
    assert_eq!((fridge.pack, fridge.mark), (Some(Pack::UnderBrine), Some(Mark::UseBy)));
    assert_eq!(fridge.ph.as_ref().unwrap().most(), Some(Exact::new(46, 10)));
    assert_eq!(lowered.project.sources.text(fridge.ph.as_ref().unwrap().span), "at most 4.6");
    assert_eq!(fridge.aw.as_ref().unwrap().most(), Some(Exact::new(97, 100)));
    assert_eq!((tub.pack, tub.mark, &tub.ph, &tub.aw), (None, None, &None, &None));
    assert!(lowered.project.sources.text(tub.span).starts_with("{ what = \"whey\""));
    assert_eq!((recipe.kind, &recipe.may_contain), (None, &vec![]));
}

#[test]
fn a_recipe_says_what_sort_of_make_it_is_and_what_may_be_in_it() {
    let keys = "scale-by = \"milk\"\nkind = \"fresh-cheese\"\nmay-contain = [\"nuts\", \"soybeans\", \"nuts\"]\n";
    let lowered = changed("scale-by = \"milk\"\n", keys);
    assert_eq!(lowered.findings(), []);
    let recipe = lowered.course.lessons[0].recipe.as_ref().unwrap();
    assert_eq!(recipe.kind, Some(ProductKind::FreshCheese));
    assert_eq!(recipe.may_contain, ["nuts", "soybeans"]);
}

#[test]
fn names_of_packs_marks_and_kinds_are_those_that_are_read() {
    for name in Pack::NAMES {
        let lowered = changed("for = \"3 days\"", &format!("for = \"3 days\", pack = \"{name}\""));
        assert_eq!(lowered.findings(), []);
        let pack = lowered.course.lessons[0].recipe.as_ref().unwrap().keeps[1].pack;
        assert_eq!(pack.map(Pack::name), Some(*name));
    }
    for name in Mark::NAMES {
        let lowered = changed("for = \"3 days\"", &format!("for = \"3 days\", mark = \"{name}\""));
        let mark = lowered.course.lessons[0].recipe.as_ref().unwrap().keeps[1].mark;
        assert_eq!(mark.map(Mark::name), Some(*name));
    }
    for name in ProductKind::NAMES {
        let lowered = changed("scale-by =", &format!("kind = \"{name}\"\nscale-by ="));
        let kind = lowered.course.lessons[0].recipe.as_ref().unwrap().kind;
        assert_eq!(kind.map(ProductKind::name), Some(*name));
    }
}

#[test]
fn a_fault_in_how_it_is_packed_is_said_at_its_place() {
    let keeps = |key: &str| format!("for = \"3 days\", {key}");
    for (key, code, at, help) in [
        ("pack = \"sealed jar\"", "wrong-type", "sealed jar", "`sealed-jar`"),
        ("mark = \"use by\"", "wrong-type", "use by", "`use-by`"),
        ("ph = \"at most 46\"", "bad-amount", "at most 46", "at most 4.6"),
        ("ph = \"at most 4 °C\"", "wrong-kind", "at most 4 °C", "at most 4.6"),
        ("aw = \"85 %\"", "wrong-kind", "85 %", "at most 0.85"),
        ("aw = 1.2", "bad-amount", "1.2", "at most 0.85"),
    ] {
        slip_with_help("for = \"3 days\"", &keeps(key), code, at, help);
    }
    slip_with_help("scale-by =", "kind = \"yogurt\"\nscale-by =", "wrong-type", "yogurt", "`yoghurt`");
    let unknown = changed("scale-by =", "may-contain = [\"nutz\"]\nscale-by =");
    assert_eq!(unknown.findings(), [("wrong-type", "nutz")]);
    let found = unknown.sink.iter().next().unwrap();
    assert_eq!(found.suggestions[0].edit.text, "nuts");
}
