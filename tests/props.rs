//! Laws that hold for any text: nothing panics, places lie inside the file on character edges, and the same input
//! gives the same answer.

use pottle::diag::Diagnostics;
use pottle::{Project, check};
use proptest::prelude::*;

/// Scraps that lessons are made of, and look-alikes of them, in any order.
fn scraps() -> impl Strategy<Value = String> {
    let scrap = prop_oneof![
        Just("# A title\n\n".to_owned()),
        Just("## Heat\n\n".to_owned()),
        Just("```step\nto = \"92 °C\"\n```\n".to_owned()),
        Just("```recipe\nmakes = \"2 loaves\"\n[ingredients]\nmilk = \"4 L milk\"\n```\n".to_owned()),
        Just("```lesson\nasides = [\"1 L\"]\n".to_owned()),
        Just("| Milk | 4 L |\n| --- | --- |\n| salt | 9 g |\n".to_owned()),
        Just("**4** litres (7 pints), ".to_owned()),
        Just("between 85 and 90 °C (185 and 194 °F) ".to_owned()),
        Just("1&frac12; cups \\* half a ".to_owned()),
        "[0-9½¼⅓°º˚℃–−×/. ]{1,8}",
        "(a|an|half|two|thirty|third|of|to|and|or|between|about|up|minus|dozen) ",
        "(g|kg|L|litres?|°C|°F|degrees|min|h|hours?|cups?|oz|lb|in|%|pint|T|t) ",
        "[\\PC\n]{0,12}",
        Just("\r\n".to_owned()),
        Just("> ".to_owned()),
        Just("[^1]: ".to_owned()),
    ];
    proptest::collection::vec(scrap, 0..24).prop_map(|scraps| scraps.concat())
}

fn places_are_inside(project: &Project, found: &Diagnostics) {
    for one in found.iter() {
        let edits = one.suggestions.iter().map(|suggestion| suggestion.edit.span);
        let spans = std::iter::once(one.primary.span).chain(one.related.iter().map(|label| label.span)).chain(edits);
        for span in spans {
            let text = &project.sources.get(span.file).text;
            assert!(text.get(span.range()).is_some(), "{span:?} of {one:?}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, ..ProptestConfig::default() })]

    #[test]
    fn no_lesson_panics_and_every_place_is_in_its_file(text in scraps()) {
        let project = Project::from_files([("course.toml", "title = \"t\""), ("01-a/lesson.md", text.as_str())]);
        let checked = check(&project);
        places_are_inside(&project, &checked.findings);
        for entry in &checked.ledger.entries {
            let source = &project.sources.get(entry.mention.span.file).text;
            prop_assert!(source.get(entry.mention.span.range()).is_some());
            for piece in &entry.mention.pieces {
                prop_assert!(source.get(piece.clone()).is_some());
            }
        }
        prop_assert_eq!(check(&project).findings, checked.findings);
    }

    #[test]
    fn no_course_table_panics(text in "\\PC{0,80}", which in 0usize..4) {
        let path = ["course.toml", "pantry.toml", "facts.toml", "glossary.md"][which];
        let project = Project::from_files([("course.toml", "title = \"t\""), (path, text.as_str()), ("01-a/lesson.md", "# A\n\n4 L")]);
        places_are_inside(&project, &check(&project).findings);
    }
}
