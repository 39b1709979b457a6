//! The model of a lesson as JSON, for programs of others. `shared/lesson.schema.json` says what each key means; it is
//! published beside the lessons. Keys are a promise: add to them, never change one.
//!
//! Every measure stands once, in `measures`, with its exact ends; whatever has one names it by its path.

use super::Cx;
use super::live::Page;
use super::plain::plain_words;
use super::recipe_view::amount_view;
use super::view::{LessonView, PartView, StepView};
use crate::kitchen::{Plan, plan, shown_at, walks};
use crate::quantity::{Exact, print};
use crate::recipe::{
    BroughtBy, Ingredient, Lesson, Limit, Mark, MeasureId, Pack, PartAmount, ProductKind, Recipe, Step,
};
use crate::reference::CautionSeverity;
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// The schema, and its name on the site.
pub(super) const SCHEMA: (&str, &str) = ("lesson.schema.json", include_str!("../../shared/lesson.schema.json"));

/// The file of a lesson's model, beside its page.
pub(super) fn file_of(page: &str) -> String {
    format!("{}.json", page.strip_suffix(".html").unwrap_or(page))
}

/// The model of a lesson, with the terms that its page links.
pub(super) fn lesson_model(
    cx: &Cx<'_>,
    index: usize,
    page: &str,
    view: &LessonView,
    terms: &BTreeSet<usize>,
) -> String {
    let lesson = &cx.course.lessons[index];
    let mut model = Map::new();
    let mut set = |key: &str, value: Value| {
        if !value.is_null() {
            model.insert(key.to_owned(), value);
        }
    };
    set("$schema", json!(SCHEMA.0));
    set("lesson", json!(lesson.slug));
    set("number", json!(index + 1));
    set("title", json!(lesson.title));
    set("course", json!(cx.course.title));
    set("language", json!(cx.course.language));
    set("home", json!(cx.course.home.name()));
    set("page", json!(page));
    set("summary", json!(lesson.summary.as_ref().map(|summary| &summary.text)));
    set("published", json!(lesson.published));
    set("learn", lesson.learn.iter().map(|text| json!(text.text)).collect());
    set("session", json!(lesson.session.map(|id| path(cx, id))));
    if let Some(recipe) = &lesson.recipe {
        set(
            "makes",
            json!(recipe.makes.as_ref().map(|made| json!({ "name": made.name, "amount": path(cx, made.amount) }))),
        );
        set(
            "leaves",
            recipe
                .leaves
                .iter()
                .map(|one| json!({ "id": one.id, "name": one.name, "amount": path(cx, one.amount) }))
                .collect(),
        );
        set("loses", json!(recipe.loses.as_ref().map(|(id, _)| path(cx, *id))));
        set("scale-by", json!(recipe.scale_by.and_then(|item| recipe.ingredients.get(item)).map(|item| &item.id)));
        set("students-per-batch", json!(exact(recipe.students)));
        set("ingredients", recipe.ingredients.iter().map(|item| ingredient(cx, item)).collect());
        set("equipment", equipment(cx, recipe));
        set("kind", json!(recipe.kind.map(ProductKind::name)));
        set("keeps", keeps(cx, recipe));
        set("named-measures", named(cx, &recipe.measures));
    }
    set("steps", steps(cx, lesson, view));
    set(
        "plans",
        walks(&lesson.steps)
            .into_iter()
            .map(|walk| {
                let made = plan(cx.course, &lesson.steps, &walk, false);
                plan_of(lesson, walk.ways, &made)
            })
            .collect(),
    );
    if let Some(recipe) = &view.recipe {
        set("allergens", json!({ "list": recipe.allergens.list, "names": recipe.allergens.names }));
    }
    let term = |term: &usize| json!({ "name": cx.course.terms[*term].name, "href": format!("glossary.html#{}", cx.course.terms[*term].slug) });
    set("terms", terms.iter().map(term).collect());
    set("cautions", cautions(cx, index));
    set("measures", measures(cx, index));
    Value::Object(model).to_string()
}

fn path(cx: &Cx<'_>, id: MeasureId) -> String {
    cx.course.measure(id).path.clone()
}

/// A ratio of whole numbers: `4000`, `2/3`.
fn exact(value: Exact) -> String {
    if value.is_whole() { value.over().to_string() } else { format!("{}/{}", value.over(), value.under()) }
}

/// Every measure of the lesson: its ends in the base unit of its kind, and how pages print it.
fn measures(cx: &Cx<'_>, lesson: usize) -> Value {
    let page = Page::still(cx);
    let all = cx.course.measures_of(lesson).map(|(id, measure)| {
        let view = amount_view(&page, id);
        let amount = &measure.amount;
        let mut data = Map::new();
        data.insert("path".to_owned(), json!(measure.path));
        data.insert("kind".to_owned(), json!(amount.dimension().name()));
        data.insert("low".to_owned(), json!(exact(amount.low.quantity.base())));
        data.insert("high".to_owned(), json!(exact(amount.high.quantity.base())));
        data.insert("bound".to_owned(), json!(amount.bound.name()));
        data.insert("unit".to_owned(), json!(cx.reference.units.get(amount.unit()).id));
        data.insert("scales".to_owned(), json!(measure.scales));
        data.insert("printed".to_owned(), json!(view.text));
        if let Some(per) = amount.per {
            data.insert("per".to_owned(), json!(exact(per.quantity.base())));
        }
        data.extend(view.other.map(|other| ("other".to_owned(), json!(other))));
        Value::Object(data)
    });
    all.collect()
}

fn without_nulls(value: Value) -> Value {
    match value {
        Value::Object(map) => map.into_iter().filter(|(_, value)| !value.is_null()).collect(),
        other => other,
    }
}

fn ingredient(cx: &Cx<'_>, item: &Ingredient) -> Value {
    let entry = item.pantry.map(|row| cx.reference.pantry.get(row));
    without_nulls(json!({
        "id": item.id,
        "name": item.name,
        "note": item.note.as_ref().map(|note| &note.text),
        "pantry": entry.map(|entry| &entry.id),
        "density": entry.and_then(|entry| entry.density).map(exact),
        "allergens": entry.map(|entry| super::allergens::of_entry(entry, cx.course.guests.law)),
        "amount": item.amount.map(|id| path(cx, id)),
        "share": item.share.as_ref().map(|(id, of)| json!({ "measure": path(cx, *id), "of": of })),
        "dose": item.dose.as_ref().map(|(id, of)| json!({ "measure": path(cx, *id), "of": of })),
        "from": item.from.as_ref().map(|from| &from.lesson),
        "instead": item.instead.as_ref().map(|words| &words.text),
        "brought-by": if item.brought_by == BroughtBy::Student { "student" } else { "hall" },
    }))
}

fn equipment(cx: &Cx<'_>, recipe: &Recipe) -> Value {
    let pieces = recipe.equipment.iter().map(|item| {
        without_nulls(json!({
            "id": item.id,
            "name": item.name.text,
            "holds": item.holds.map(|id| path(cx, id)),
            "size": item.size.map(|id| path(cx, id)),
            "count": item.count.map(|id| path(cx, id)),
            "shared": item.shared,
            "brought-by": if item.brought_by == BroughtBy::Student { "student" } else { "hall" },
        }))
    });
    pieces.collect()
}

fn keeps(cx: &Cx<'_>, recipe: &Recipe) -> Value {
    let all = recipe.keeps.iter().map(|one| {
        let product = || recipe.makes.as_ref().map(|made| made.name.as_str());
        without_nulls(json!({
            "what": one.what.as_ref().map(|what| what.text.as_str()).or_else(product),
            "place": one.place.text,
            "time": path(cx, one.time),
            "at": one.at.map(|id| path(cx, id)),
            "pack": one.pack.map(Pack::name),
            "ph": one.ph.as_ref().map(|ph| limit(cx, ph)),
            "aw": one.aw.as_ref().map(|aw| limit(cx, aw)),
            "mark": one.mark.map(Mark::name),
        }))
    });
    all.collect()
}

/// A number without a unit as its page prints it: `at most 4.6`.
fn limit(cx: &Cx<'_>, limit: &Limit) -> String {
    print::amount(&limit.amount, &cx.reference.units, cx.reference.units.style())
}

/// What is warned of, and where.
fn cautions(cx: &Cx<'_>, index: usize) -> Value {
    let lesson = &cx.course.lessons[index];
    let all = cx.cautions(index).into_owned().into_iter().map(|one| {
        let step = shown_at(cx.course, index, one.place).and_then(|step| lesson.steps.get(step));
        without_nulls(json!({
            "id": one.rule.id,
            "title": one.rule.title,
            "say": one.say,
            "weight": match one.rule.severity {
                CautionSeverity::Block => "stops",
                CautionSeverity::Warn => "warns",
                CautionSeverity::Note => "notes",
            },
            "step": step.map(|step| &step.id),
            "overruled": one.overruled.map(|overrule| &overrule.reason.text),
        }))
    });
    all.collect()
}

fn named(cx: &Cx<'_>, measures: &BTreeMap<String, MeasureId>) -> Value {
    measures.iter().map(|(key, id)| (key.clone(), json!(path(cx, *id)))).collect()
}

fn steps(cx: &Cx<'_>, lesson: &Lesson, view: &LessonView) -> Value {
    let shown = view.parts.iter().flat_map(|part| match part {
        PartView::Steps { steps, .. } => steps.as_slice(),
        _ => &[],
    });
    lesson.steps.iter().zip(shown).map(|(step, shown)| step_of(cx, lesson, step, shown)).collect()
}

fn step_of(cx: &Cx<'_>, lesson: &Lesson, step: &Step, shown: &StepView) -> Value {
    let id = |index: &usize| lesson.steps.get(*index).map(|step| step.id.as_str());
    let figure = |id: Option<MeasureId>| id.map(|id| path(cx, id));
    let recipe = lesson.recipe.as_ref();
    let vessels = step.vessels.iter().filter_map(|vessel| Some(&recipe?.equipment.get(*vessel)?.id));
    let prose = shown.section.blocks.iter().filter_map(|block| match block {
        super::view::BlockView::Prose { html } => Some(plain_words(html)),
        _ => None,
    });
    let adds = step.add.iter().filter_map(|part| {
        let item = &recipe?.ingredients.get(part.ingredient)?.id;
        Some(match part.amount {
            PartAmount::All => json!({ "ingredient": item, "part": "1" }),
            PartAmount::Rest => json!({ "ingredient": item, "part": "rest" }),
            PartAmount::Fraction(part, id) => {
                json!({ "ingredient": item, "part": exact(part), "measure": path(cx, id) })
            }
            PartAmount::Amount(id) => json!({ "ingredient": item, "measure": path(cx, id) }),
        })
    });
    without_nulls(json!({
        "id": step.id,
        "title": step.title,
        "fragment": shown.section.slug,
        "text": prose.collect::<Vec<_>>().join("\n"),
        "adds": adds.collect::<Vec<_>>(),
        "in": vessels.collect::<Vec<_>>(),
        "to": figure(step.to),
        "at": figure(step.at),
        "from": figure(step.from),
        "for": figure(step.lasts),
        "takes": figure(step.takes),
        "hands-on": step.hands_on,
        "does": step.does.as_ref().map(|deeds| deeds.iter().map(|deed| deed.name()).collect::<Vec<_>>()),
        "at-home": step.at_home,
        "until": step.until.as_ref().map(|sign| &sign.text),
        "measures": named(cx, &step.measures),
        "way": step.way,
        "while": step.beside.as_ref().and_then(id),
        "after": step.after.iter().filter_map(id).collect::<Vec<_>>(),
        "rescues": step.rescues.iter().map(|one| json!({ "sign": one.sign.text, "remedy": one.remedy.text })).collect::<Vec<_>>(),
    }))
}

/// Seconds from the start.
fn plan_of(lesson: &Lesson, ways: Vec<String>, made: &Plan) -> Value {
    let bounds = |one: &crate::kitchen::Bounds| json!({ "least": one.least, "most": one.most });
    let slots = made.slots.iter().map(|slot| {
        json!({
            "step": lesson.steps[slot.step].id,
            "begins": bounds(&slot.begins),
            "lasts": bounds(&slot.lasts),
            "latest": slot.latest,
            "critical": slot.critical,
        })
    });
    json!({
        "ways": ways,
        "total": bounds(&made.total),
        "hands-on": bounds(&made.hands_on),
        "steps": slots.collect::<Vec<_>>(),
    })
}
