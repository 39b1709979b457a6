//! The allergens of a whole course: what each lesson contains, what must be read on packs, whom to ask.

use super::Cx;
use super::allergens;
use super::links::Links;
use super::recipe_view::lesson_name;
use super::view::{CourseView, HeadView, LessonNameView, PageView};
use crate::recipe::Recipe;
use serde::Serialize;
use std::collections::BTreeMap;

/// The page.
pub(super) const PAGE: &str = "allergens.html";
/// The style of that page alone.
pub(super) const STYLE: &str = "allergens.css";

/// What `allergens.html` is given.
#[derive(Debug, Serialize)]
pub(super) struct AllergenBody {
    /// Whose list, in words.
    list: &'static str,
    /// Whether that list is another place's than the reader's own.
    foreign: bool,
    /// The allergens of the list.
    columns: Vec<String>,
    rows: Vec<RowView>,
    /// Lessons that make nothing to eat or drink.
    without: Vec<LessonNameView>,
    packs: Vec<PackView>,
}

/// A lesson.
#[derive(Debug, Serialize)]
struct RowView {
    number: usize,
    title: String,
    href: String,
    cells: Vec<CellView>,
}

/// What a lesson has of an allergen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
enum CellView {
    Contains,
    May,
    Unnamed,
}

/// What must be read on the pack of an ingredient.
#[derive(Debug, Serialize)]
struct PackView {
    ingredient: String,
    note: String,
    lessons: Vec<LessonNameView>,
}

/// The page; none where no lesson has a recipe.
pub(super) fn allergen_page<'a>(cx: &Cx<'_>, course: &'a CourseView) -> Option<PageView<'a, AllergenBody>> {
    let law = cx.course.guests.law;
    let (list, ids) = allergens::list_of(law);
    let columns: Vec<String> = ids.iter().map(|id| allergens::name(id)).collect();
    let mut rows = Vec::new();
    let mut without = Vec::new();
    for (index, lesson) in cx.course.lessons.iter().enumerate() {
        match &lesson.recipe {
            Some(recipe) => rows.push(RowView {
                number: index + 1,
                title: lesson.title.clone(),
                href: Links::lesson_page(&lesson.slug),
                cells: cells(cx, recipe, &columns),
            }),
            None => without.push(lesson_name(cx, index)),
        }
    }
    let page = HeadView {
        title: format!("Allergens – {}", course.title),
        description: format!("Which allergens the lessons of {} contain.", course.title),
        kind: "allergen-table",
    };
    let foreign = allergens::is_foreign(law);
    let body = AllergenBody { list, foreign, columns, rows, without, packs: packs(cx) };
    (!body.rows.is_empty()).then_some(PageView { course, page, body })
}

fn cells(cx: &Cx<'_>, recipe: &Recipe, columns: &[String]) -> Vec<CellView> {
    let said = allergens::of_recipe(recipe, cx.reference, cx.course.guests.law);
    let cell = |name: &String| match (said.names.contains(name), said.may.contains(name)) {
        (true, _) => CellView::Contains,
        (false, true) => CellView::May,
        (false, false) => CellView::Unnamed,
    };
    columns.iter().map(cell).collect()
}

/// What the pantry says must be read, each ingredient once, by its name.
fn packs(cx: &Cx<'_>) -> Vec<PackView> {
    let mut found: BTreeMap<(String, usize), PackView> = BTreeMap::new();
    for (index, lesson) in cx.course.lessons.iter().enumerate() {
        for row in lesson.recipe.iter().flat_map(|recipe| &recipe.ingredients).filter_map(|one| one.pantry) {
            let entry = cx.reference.pantry.get(row);
            let Some(note) = &entry.allergens_note else { continue };
            let pack = found.entry((entry.name.to_lowercase(), row)).or_insert_with(|| PackView {
                ingredient: entry.name.clone(),
                note: note.clone(),
                lessons: Vec::new(),
            });
            if !pack.lessons.iter().any(|known| known.href == Links::lesson_page(&lesson.slug)) {
                pack.lessons.push(lesson_name(cx, index));
            }
        }
    }
    found.into_values().collect()
}
