//! What is printed, read back with readers that are not ours: poppler for PDFs, zbar for QR codes.
//!
//! `tests/run` installs both.

mod cards;
mod cautions;
mod courses;
mod drawings;
mod handouts;
mod hostile;
mod labels;
mod lesson_page;
mod pdf;
mod reader;
mod tools;
mod words;

/// The lesson that is hard to set is as hard as it says, and sound.
#[test]
fn the_hostile_lesson_is_sound() {
    let folder = hostile::course();
    let project = pottle::read_project(folder.path()).expect("a course");
    let checked = pottle::check(&project);
    let found: Vec<String> = checked.findings.iter().map(|one| format!("{:?} {}", one.code, one.message)).collect();
    let course = checked.course.unwrap_or_else(|| panic!("{found:#?}"));
    assert_eq!(found, Vec::<String>::new());
    let lesson = &course.course().lessons[0];
    assert_eq!(lesson.recipe.as_ref().map(|recipe| recipe.ingredients.len()), Some(hostile::INGREDIENTS));
    assert_eq!((hostile::TITLE.chars().count(), hostile::LONG_WORD.chars().count()), (120, 60));
}
