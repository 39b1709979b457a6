//! Pages as linked data, by the vocabulary of schema.org: the course, each lesson with its recipe, the glossary.
//!
//! Amounts are those of the written recipe, in the units that its author wrote. Texts are those that the page shows.
//! Times are the longest, so that nobody who plans by them is late. Nothing is said of diets, allergens and cautions: the
//! vocabulary has no words for the last two, and the first would be a claim.

use super::Cx;
use super::head::address_of;
use super::links::{Links, encoded};
use super::plain::plain_words;
use super::view::{BlockView, GlossaryBody, IngredientView, LessonView, PartView, RecipeView, StepView, TermView};
use crate::kitchen::{plan, walks};
use crate::quantity::{Amount, Bound, Dimension, Exact, UnitId, Units};
use crate::recipe::{Lesson, MeasureId, Recipe};
use serde_json::{Map, Value, json};

/// Fragments by which pages speak of each other's things. No heading begins so.
const COURSE: &str = "_course";
const LESSON: &str = "_lesson";
const RECIPE: &str = "_recipe";
const GLOSSARY: &str = "_glossary";

/// The first page.
pub(super) fn course_data(cx: &Cx<'_>) -> String {
    let course = cx.course;
    let lessons = course.lessons.iter().enumerate().map(|(index, lesson)| {
        let page = Links::lesson_page(&lesson.slug);
        node(
            "LearningResource",
            [
                ("@id", json!(id(cx, &page, LESSON))),
                ("name", json!(lesson.title)),
                ("position", json!(index + 1)),
                ("url", json!(at(cx, &page))),
            ],
        )
    });
    let summary = course.summary.as_ref().map_or(course.title.as_str(), |summary| summary.text.as_str());
    let mut graph = node(
        "Course",
        [
            ("@id", json!(id(cx, "index.html", COURSE))),
            ("name", json!(course.title)),
            ("description", json!(summary)),
            ("inLanguage", json!(course.language)),
            ("hasPart", lessons.collect()),
        ],
    );
    put(&mut graph, "creditText", course.author.as_ref());
    written(vec![graph])
}

/// The glossary, with the terms that its page shows.
pub(super) fn glossary_data(cx: &Cx<'_>, body: &GlossaryBody) -> String {
    const PAGE: &str = "glossary.html";
    let set = id(cx, PAGE, GLOSSARY);
    let terms = body.letters.iter().flat_map(|letter| &letter.terms).map(|term| term_data(cx, PAGE, &set, term));
    let graph = node(
        "DefinedTermSet",
        [
            ("@id", json!(set)),
            ("name", json!(format!("Glossary – {}", cx.course.title))),
            ("inLanguage", json!(cx.course.language)),
            ("isPartOf", json!({ "@id": id(cx, "index.html", COURSE) })),
            ("hasDefinedTerm", terms.collect()),
        ],
    );
    written(vec![graph])
}

fn term_data(cx: &Cx<'_>, page: &str, set: &str, term: &TermView) -> Value {
    let also = cx.course.terms.iter().find(|one| one.slug == term.slug).map(|one| &one.also);
    let mut data = node(
        "DefinedTerm",
        [
            ("@id", json!(id(cx, page, &term.slug))),
            ("name", json!(term.name)),
            ("description", json!(plain_words(&term.definition_html))),
            ("inDefinedTermSet", json!({ "@id": set })),
        ],
    );
    put(&mut data, "alternateName", also.filter(|also| !also.is_empty()));
    data
}

/// A lesson and its recipe. `image` is the address of its picture.
pub(super) fn lesson_data(cx: &Cx<'_>, index: usize, view: &LessonView, image: Option<&String>) -> String {
    let lesson = &cx.course.lessons[index];
    let page = Links::lesson_page(&lesson.slug);
    let way = way_data(cx, lesson, view, &page, image);
    let mut data = node(
        "LearningResource",
        [
            ("@id", json!(own_id(cx, &page, LESSON))),
            ("name", json!(lesson.title)),
            ("learningResourceType", json!("lesson")),
            ("inLanguage", json!(cx.course.language)),
            ("isPartOf", json!({ "@id": id(cx, "index.html", COURSE) })),
            ("position", json!(index + 1)),
        ],
    );
    put(&mut data, "description", lesson.summary.as_ref().map(|summary| &summary.text));
    let learn: Vec<String> = view.learn_html.iter().map(|html| plain_words(html)).collect();
    put(&mut data, "teaches", Some(learn).filter(|learn| !learn.is_empty()));
    let session = lesson.session.map(|id| cx.course.measure(id).amount.high.quantity.base());
    put(&mut data, "timeRequired", session.map(|time| duration(time.to_f64().round() as i64)));
    put(&mut data, "creditText", cx.course.author.as_ref());
    put(&mut data, "datePublished", lesson.published.as_ref());
    if way.is_some() {
        put(&mut data, "hasPart", Some(json!({ "@id": own_id(cx, &page, RECIPE) })));
    }
    written([Some(data), way].into_iter().flatten().collect())
}

/// What is done: a recipe, or the steps of a skill that has none. Nothing where there are no steps.
fn way_data(cx: &Cx<'_>, lesson: &Lesson, view: &LessonView, page: &str, image: Option<&String>) -> Option<Value> {
    let steps = steps_data(cx, view, page);
    if steps.is_empty() {
        return None;
    }
    let recipe = lesson.recipe.as_ref().zip(view.recipe.as_ref()).filter(|(recipe, _)| !recipe.ingredients.is_empty());
    let (kind, key) = if recipe.is_some() { ("Recipe", "recipeInstructions") } else { ("HowTo", "step") };
    let mut data = node(
        kind,
        [
            ("@id", json!(own_id(cx, page, RECIPE))),
            ("name", json!(lesson.title)),
            ("inLanguage", json!(cx.course.language)),
            (key, Value::Array(steps)),
        ],
    );
    put(&mut data, "description", lesson.summary.as_ref().map(|summary| &summary.text));
    put(&mut data, "image", image);
    put(&mut data, "creditText", cx.course.author.as_ref());
    put(&mut data, "datePublished", lesson.published.as_ref());
    let plans = walks(&lesson.steps).into_iter().map(|walk| plan(cx.course, &lesson.steps, &walk, false).total.most);
    put(&mut data, "totalTime", plans.max().filter(|most| *most > 0).map(duration));
    if let Some((recipe, shown)) = recipe {
        let makes = view.makes.as_ref().map(|makes| format!("{} {}", makes.amount.text, makes.name));
        put(&mut data, "recipeYield", makes);
        let lines: Vec<String> = shown.ingredients.iter().map(ingredient_line).collect();
        put(&mut data, "recipeIngredient", Some(lines));
        put(&mut data, "supply", Some(supplies(cx, recipe)));
    }
    if let Some((recipe, shown)) = lesson.recipe.as_ref().zip(view.recipe.as_ref()) {
        put(&mut data, "tool", Some(tools(cx, recipe, shown)).filter(|tools| !tools.is_empty()));
    }
    Some(data)
}

/// The line of an ingredient as the page shows it, the amount first.
fn ingredient_line(item: &IngredientView) -> String {
    let amount = item.amount.as_ref().map_or(String::new(), |amount| format!("{} ", amount.text));
    let note = item.note_html.as_ref().map(|html| plain_words(html));
    let share = item.share.as_ref().map(|share| format!("{} of {}", share.amount.text, share.of));
    let more: Vec<String> = note.into_iter().chain(share).chain(item.more.iter().cloned()).collect();
    let more = if more.is_empty() { String::new() } else { format!(", {}", more.join("; ")) };
    format!("{amount}{}{more}", item.name)
}

fn supplies(cx: &Cx<'_>, recipe: &Recipe) -> Vec<Value> {
    let supply = |item: &crate::recipe::Ingredient| {
        let mut data = node("HowToSupply", [("name", json!(item.name))]);
        put(&mut data, "requiredQuantity", item.amount.map(|id| measured(cx, id)));
        data
    };
    recipe.ingredients.iter().map(supply).collect()
}

fn tools(cx: &Cx<'_>, recipe: &Recipe, shown: &RecipeView) -> Vec<Value> {
    let tool = |(item, view): (&crate::recipe::Equipment, &super::view::EquipmentView)| {
        let mut data = node("HowToTool", [("name", json!(plain_words(&view.name_html)))]);
        put(&mut data, "requiredQuantity", item.count.map(|id| measured(cx, id)));
        data
    };
    recipe.equipment.iter().zip(&shown.equipment).map(tool).collect()
}

/// The steps, in sections where the page has several stretches of them or ways to choose from.
fn steps_data(cx: &Cx<'_>, view: &LessonView, page: &str) -> Vec<Value> {
    let parts = view.parts.iter().filter_map(|part| match part {
        PartView::Steps { steps, .. } => Some(steps.as_slice()),
        PartView::Opening { .. } | PartView::Section { .. } => None,
    });
    let stretches: Vec<&[StepView]> =
        parts.flat_map(|steps| steps.chunk_by(|one, other| one.way == other.way)).collect();
    let data = |steps: &[StepView]| steps.iter().map(|step| step_data(cx, page, step)).collect::<Vec<_>>();
    if let [steps] = stretches.as_slice() {
        return data(steps);
    }
    let name = |steps: &[StepView]| match (steps, &steps[0].way) {
        (_, Some(way)) => format!("By {way}"),
        ([only], None) => format!("Step {}", only.number),
        ([first, .., last], None) => format!("Steps {}–{}", first.number, last.number),
        ([], None) => String::new(),
    };
    let sections = stretches.iter().enumerate().map(|(index, steps)| {
        let about =
            [("name", json!(name(steps))), ("position", json!(index + 1)), ("itemListElement", json!(data(steps)))];
        node("HowToSection", about)
    });
    sections.collect()
}

fn step_data(cx: &Cx<'_>, page: &str, step: &StepView) -> Value {
    let prose = step.section.blocks.iter().filter_map(|block| match block {
        BlockView::Prose { html } => Some(plain_words(html)),
        _ => None,
    });
    let text = prose.filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" ");
    let name = plain_words(&step.section.heading_html);
    let text = if text.is_empty() { name.clone() } else { text };
    node(
        "HowToStep",
        [
            ("name", json!(name)),
            ("position", json!(step.number)),
            ("text", json!(text)),
            ("url", json!(own_id(cx, page, &step.section.slug))),
        ],
    )
}

/// A measure as a value with its unit.
fn measured(cx: &Cx<'_>, id: MeasureId) -> Value {
    quantitative(&cx.course.measure(id).amount, &cx.reference.units)
}

fn quantitative(amount: &Amount, units: &Units) -> Value {
    let unit = Unit::of(amount, units);
    let value = |end: &crate::quantity::End| number(unit.value(end.quantity.base(), units));
    let (low, high) = (value(&amount.low), value(&amount.high));
    let mut data = node("QuantitativeValue", []);
    match amount.bound {
        Bound::AtLeast => put(&mut data, "minValue", Some(low)),
        Bound::AtMost => put(&mut data, "maxValue", Some(high)),
        Bound::None if low == high => put(&mut data, "value", Some(low)),
        Bound::None => {
            put(&mut data, "minValue", Some(low));
            put(&mut data, "maxValue", Some(high));
        }
    }
    put(&mut data, if unit.code.is_some() { "unitCode" } else { "unitText" }, Some(unit.code.unwrap_or(&unit.name)));
    data
}

/// The unit that a value is given in.
struct Unit {
    /// Its code, where there is one.
    code: Option<&'static str>,
    name: String,
    /// None where the value is given in the unit that all of its kind are reckoned in.
    id: Option<UnitId>,
}

impl Unit {
    fn of(amount: &Amount, units: &Units) -> Unit {
        let (low, high) = (&amount.low, &amount.high);
        let unit = units.get(low.unit);
        let own = code(&unit.id).filter(|_| low.unit == high.unit && !low.compound && !high.compound);
        // No code is known for a metric spoon or cup, and those of other cups must not stand in.
        match (own, amount.dimension()) {
            (Some(code), _) => Unit { code: Some(code), name: unit.many.clone(), id: Some(low.unit) },
            (None, Dimension::Volume) => Unit { code: Some("MLT"), name: String::new(), id: None },
            (None, Dimension::Mass) => Unit { code: Some("GRM"), name: String::new(), id: None },
            (None, Dimension::Time) => Unit { code: Some("SEC"), name: String::new(), id: None },
            (None, _) => Unit { code: None, name: unit.many.clone(), id: Some(low.unit) },
        }
    }

    fn value(&self, base: Exact, units: &Units) -> Exact {
        self.id.map_or(base, |id| units.get(id).from_base(base))
    }
}

/// Codes of UN/CEFACT Recommendation 20 (published; P1 from memory).
const CODES: &[(&str, &str)] = &[
    ("gram", "GRM"),
    ("kilogram", "KGM"),
    ("milligram", "MGM"),
    ("millilitre", "MLT"),
    ("cubic-centimetre", "MLT"),
    ("litre", "LTR"),
    ("centilitre", "CLT"),
    ("decilitre", "DLT"),
    ("celsius", "CEL"),
    ("fahrenheit", "FAH"),
    ("second", "SEC"),
    ("minute", "MIN"),
    ("hour", "HUR"),
    ("day", "DAY"),
    ("week", "WEE"),
    ("ounce", "ONZ"),
    ("pound", "LBR"),
    ("millimetre", "MMT"),
    ("centimetre", "CMT"),
    ("inch", "INH"),
    ("piece", "H87"),
    ("ppm", "59"),
    ("percent", "P1"),
    ("us-cup", "G21"),
    ("us-tablespoon", "G24"),
    ("us-teaspoon", "G25"),
    ("us-fluid-ounce", "OZA"),
    ("us-pint", "PTL"),
    ("us-quart", "QTL"),
    ("us-gallon", "GLL"),
    ("us-gill", "GIA"),
    ("imperial-fluid-ounce", "OZI"),
    ("imperial-pint", "PTI"),
    ("imperial-quart", "QTI"),
    ("imperial-gallon", "GLI"),
    ("imperial-gill", "GII"),
];

fn code(unit: &str) -> Option<&'static str> {
    CODES.iter().find(|(id, _)| *id == unit).map(|(_, code)| *code)
}

/// A number that has no `.0` where it needs none.
fn number(value: Exact) -> Value {
    match i64::try_from(value.over()) {
        Ok(whole) if value.is_whole() => json!(whole),
        _ => json!(value.to_f64()),
    }
}

/// `PT1H25M`: ISO 8601 by the grammar that readers take, `P(nD)?(T(nH)?(nM)?(nS)?)?`.
pub(super) fn duration(seconds: i64) -> String {
    let parts = |parts: &[(i64, char)]| -> String {
        parts.iter().filter(|(count, _)| *count > 0).map(|(count, letter)| format!("{count}{letter}")).collect()
    };
    let days = parts(&[(seconds / 86_400, 'D')]);
    let rest = seconds % 86_400;
    let time = parts(&[(rest / 3_600, 'H'), (rest % 3_600 / 60, 'M'), (rest % 60, 'S')]);
    match (days.is_empty(), time.is_empty()) {
        (true, true) => "PT0S".to_owned(),
        (false, true) => format!("P{days}"),
        _ => format!("P{days}T{time}"),
    }
}

/// A page of the site, from another of its pages.
fn at(cx: &Cx<'_>, page: &str) -> String {
    cx.course.address.as_deref().map_or_else(|| encoded(page), |address| address_of(address, page))
}

/// A thing on a page, from another page.
fn id(cx: &Cx<'_>, page: &str, fragment: &str) -> String {
    format!("{}#{fragment}", at(cx, page))
}

/// A thing on a page, from that page: without an address only its fragment, which holds wherever the page lies.
fn own_id(cx: &Cx<'_>, page: &str, fragment: &str) -> String {
    if cx.course.address.is_some() { id(cx, page, fragment) } else { format!("#{fragment}") }
}

fn node<const N: usize>(kind: &str, rest: [(&str, Value); N]) -> Value {
    let mut map = Map::new();
    map.insert("@type".to_owned(), json!(kind));
    map.extend(rest.into_iter().map(|(key, value)| (key.to_owned(), value)));
    Value::Object(map)
}

fn put<T: serde::Serialize>(node: &mut Value, key: &str, value: Option<T>) {
    if let (Some(map), Some(value)) = (node.as_object_mut(), value) {
        map.insert(key.to_owned(), json!(value));
    }
}

/// The graph as it may stand in a script element: `</script` in a text must not end it.
fn written(graph: Vec<Value>) -> String {
    json!({ "@context": "https://schema.org", "@graph": graph }).to_string().replace('<', "\\u003c")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Home, parse_amount};
    use crate::reference::Reference;

    #[test]
    fn durations_keep_to_the_grammar() {
        for (seconds, written) in
            [(0, "PT0S"), (30 * 60, "PT30M"), (85 * 60, "PT1H25M"), (24 * 3600, "P1D"), (36 * 3600 + 5, "P1DT12H5S")]
        {
            assert_eq!(duration(seconds), written);
        }
    }

    /// Sizes by UN/CEFACT Recommendation 20, as its code lists print them.
    #[test]
    fn values_keep_their_unit_or_take_one_that_has_a_code() {
        let units = Reference::built_in(Home::Uk).units;
        for (words, data) in [
            ("4 L", json!({ "@type": "QuantitativeValue", "value": 4, "unitCode": "LTR" })),
            ("550–650 g", json!({ "@type": "QuantitativeValue", "minValue": 550, "maxValue": 650, "unitCode": "GRM" })),
            ("at least 3", json!({ "@type": "QuantitativeValue", "minValue": 3, "unitCode": "H87" })),
            ("at most 2.5 kg", json!({ "@type": "QuantitativeValue", "maxValue": 2.5, "unitCode": "KGM" })),
            ("2 teaspoons", json!({ "@type": "QuantitativeValue", "value": 10, "unitCode": "MLT" })),
            ("2 pints", json!({ "@type": "QuantitativeValue", "value": 2, "unitCode": "PTI" })),
            ("1 h 30 min", json!({ "@type": "QuantitativeValue", "value": 5400, "unitCode": "SEC" })),
        ] {
            assert_eq!(quantitative(&parse_amount(words, &units).unwrap(), &units), data, "{words}");
        }
    }

    #[test]
    fn no_text_ends_the_element() {
        assert_eq!(written(vec![json!("</script>")]).matches('<').count(), 0);
    }
}
