//! Sums.

use super::*;

fn lower_sum(body: &str) -> Lowered {
    let lesson = format!("# Heights\n\n```sum\n{body}\n```\n");
    lower(&[COURSE, ("01-heights/lesson.md", lesson.as_str())])
}

#[test]
fn a_sum_keeps_its_values_in_the_order_in_which_it_reckons() {
    let found = lower_sum("of = \"mix\"\nmake = \"2 quarts\"\nwant = \"104 °F\"\ncold = \"50 °F\"\nhot = \"176 °F\"");
    assert!(found.sink.is_empty(), "{:?}", found.sink);
    let sum = found.course.lessons[0].sums[0].as_ref().unwrap();
    assert_eq!(sum.kind, SumKind::Mix);
    let paths: Vec<&str> = sum.values.iter().map(|value| found.course.measure(value.measure).path.as_str()).collect();
    assert_eq!(paths, ["heights.sums.1.hot", "heights.sums.1.cold", "heights.sums.1.want", "heights.sums.1.make"]);
    let hot = found.measure("heights.sums.1.hot");
    assert_eq!((hot.owner, hot.scales), (Owner::Sum { lesson: 0, sum: 0 }, false));
    assert_eq!(hot.amount.low.quantity.base(), Exact::whole(80));
}

#[test]
fn the_warmth_of_kneading_is_a_difference_and_needs_no_32() {
    let keys = "of = \"dough-water\"\ndough = \"77 °F\"\nroom = \"70 °F\"\nflour = \"70 °F\"\n";
    let found = lower_sum(&format!("{keys}friction = \"9 °F\""));
    let friction = found.measure("heights.sums.1.friction");
    assert_eq!(friction.amount.dimension(), Dimension::Difference);
    assert_eq!(friction.amount.low.quantity.base(), Exact::whole(5));
}

#[test]
fn forms_of_a_sum_follow_from_its_keys() {
    let brine = "of = \"brine\"\nwater = \"1 L\"\nstrength = \"5 %\"\n";
    let shares = "shares = { water = \"65 %\", sea-salt = \"2 %\" }";
    for (body, kind, labels) in [
        (brine.to_owned(), SumKind::Brine, vec!["Water", "Salt in the brine"]),
        (format!("{brine}basis = \"water\""), SumKind::BrineOnWater, vec!["Water", "Salt to the water"]),
        (format!("of = \"bakers\"\nflour = \"500 g\"\n{shares}"), SumKind::Bakers, vec!["Flour", "water", "sea salt"]),
        (
            format!("of = \"bakers\"\ndough = \"1 kg\"\n{shares}"),
            SumKind::BakersDough,
            vec!["Dough", "water", "sea salt"],
        ),
    ] {
        let found = lower_sum(&body);
        assert!(found.sink.is_empty(), "{body}: {:?}", found.sink);
        let sum = found.course.lessons[0].sums[0].as_ref().unwrap();
        let shown: Vec<&str> = sum.values.iter().map(|value| value.label.as_str()).collect();
        assert_eq!((sum.kind, shown), (kind, labels));
    }
}

#[test]
fn a_sum_begins_in_the_kitchen_of_the_course() {
    let reference = Reference::built_in(crate::quantity::Home::Uk);
    let begins = |kitchen: &str, body: &str, path: &str| {
        let course = format!("title = \"Hall\"\n[kitchen]\n{kitchen}\n");
        let lesson = format!("# Heights\n\n```sum\n{body}\n```\n");
        let found = lower(&[("course.toml", course.as_str()), ("01-heights/lesson.md", lesson.as_str())]);
        assert!(found.sink.is_empty(), "{:?}", found.sink);
        let amount = found.measure(&format!("heights.sums.1.{path}")).amount;
        (amount.low.quantity.base(), Some(amount.low.unit) == reference.units.find("foot"))
    };
    let boiling = "of = \"boiling\"";
    assert_eq!(begins("altitude = \"20 m\"", boiling, "height"), (Exact::whole(20_000), false));
    assert_eq!(begins("altitude = \"1000 feet\"", boiling, "height"), (Exact::whole(304_800), true));
    assert_eq!(begins("", boiling, "height"), (Exact::ZERO, false));
    // What the block says comes first.
    assert_eq!(begins("altitude = \"20 m\"", "of = \"boiling\"\nheight = \"2 m\"", "height").0, Exact::whole(2000));
    let cooling = "of = \"cooling\"\nfrom = \"90 °C\"\nto = \"30 °C\"\nafter = \"10 min\"\nread = \"60 °C\"";
    assert_eq!(begins("room = \"18 °C\"", cooling, "room").0, Exact::whole(18));
    assert_eq!(begins("", cooling, "room").0, Exact::whole(20));
}

#[test]
fn each_fault_of_a_sum_is_said_once_and_at_its_place() {
    for (body, code, at, help) in [
        ("height = \"600 m\"", "missing-key", "sum", "the sums are `mix`"),
        ("of = \"boilling\"\nheight = \"600 m\"", "wrong-type", "boilling", "`boiling`"),
        ("of = \"brine\"\nwater = \"1 L\"", "missing-key", "sum", "add `strength = \"5 %\"`"),
        ("of = \"boiling\"\nheigth = \"600 m\"", "unknown-key", "heigth", "did you mean `height`?"),
        ("of = \"boiling\"\nheight = \"600 °C\"", "wrong-kind", "600 °C", "write it like `600 m`"),
        ("of = \"boiling\"\nheight = \"600–700 m\"", "bad-amount", "600–700 m", "write it like `600 m`"),
        ("of = \"boiling\"\nheight = 600", "wrong-type", "600", "height = \"600 m\""),
        ("of = \"brine\"\nwater = \"1 L\"\nstrength = \"5 %\"\nbasis = \"salt\"", "wrong-type", "salt", "`brine`"),
        ("of = \"bakers\"\nflour = \"1 kg\"", "missing-key", "sum", "add `shares ="),
        ("of = \"bakers\"\nflour = \"1 kg\"\nshares = {}", "wrong-type", "{}", "shares = { water"),
    ] {
        let found = lower_sum(body);
        assert_eq!(found.findings(), [(code, at)], "{body}");
        assert!(found.helps()[0].contains(help), "{body}: {:?}", found.helps());
        assert_eq!(found.course.lessons[0].sums, [None]);
    }
}

#[test]
fn a_sum_in_a_glossary_is_misplaced() {
    let glossary = "# Glossary\n\n## brine\n\nSalt water.\n\n```sum\nof = \"boiling\"\nheight = \"600 m\"\n```\n";
    let found = lower(&[COURSE, ("01-a/lesson.md", "# A\n"), ("glossary.md", glossary)]);
    assert_eq!(found.findings(), [("misplaced-block", "sum")]);
}
