//! The demo course: what it warns of, and that nothing stops it.

use pottle::kitchen::{CautionPlace, cautions};
use pottle::reference::CautionSeverity;
use pottle::{check, read_project};
use std::path::Path;

fn demo() -> pottle::Checked {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall");
    check(&read_project(&folder).expect("the demo course is there"))
}

/// `cargo test --test cautions demo -- --nocapture` prints the table.
#[test]
fn no_danger_stands_without_a_reason() {
    let checked = demo();
    let (course, mut overruled) = (&checked.model, Vec::new());
    for (index, lesson) in course.lessons.iter().enumerate() {
        for one in cautions(course, &checked.reference, index) {
            let place = match one.place {
                CautionPlace::Lesson => "lesson".to_owned(),
                CautionPlace::Ingredient(at) => lesson.recipe.as_ref().expect("it has one").ingredients[at].id.clone(),
                CautionPlace::Step(at) => lesson.steps[at].id.clone(),
                CautionPlace::Keeping(at) => format!("keeps {}", at + 1),
            };
            let severity = format!("{:?}", one.rule.severity).to_lowercase();
            println!("{:16} {:22} {place:14} {severity:6} {}", lesson.slug, one.rule.id, one.unsaid.join("; "));
            if one.rule.severity == CautionSeverity::Block {
                assert!(one.overruled.is_some(), "{}: {} at {place}", lesson.slug, one.rule.id);
                overruled.push(format!("{} {place}", one.rule.id));
            }
        }
    }
    assert_eq!(overruled, ["untreated-milk milk"]);
}

/// What is begun with publishes at once.
#[test]
fn nothing_stops_what_a_new_course_begins_with() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("shared/begin");
    let checked = check(&read_project(&folder).expect("it is there"));
    let stops: Vec<&str> = checked.findings.iter().map(|one| one.message.as_str()).collect();
    assert!(checked.course.is_some(), "{stops:?}");
}
