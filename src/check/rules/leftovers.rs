//! `not-enough-left`, and ingredients that say which lesson leaves them: what one lesson leaves another may take.
//!
//! Why: the whey that was not kept is missed when the dough is to be mixed.

use super::Cx;
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};
use crate::kitchen::{Account, Bulk, accounts, source};
use crate::lesson::near::nearest;
use crate::quantity::Exact;
use crate::recipe::{Course, From, Ingredient};
use crate::reference::Reference;

/// Ingredients whose `from` leads nowhere.
pub(in crate::check) fn unknown_source(cx: &Cx<'_>, index: usize, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    for (ingredient, item) in recipe.ingredients.iter().enumerate() {
        let Some(from) = &item.from else { continue };
        if source(cx.course, cx.reference, index, ingredient).is_none() {
            sink.push(nowhere(cx, index, item, from));
        }
    }
}

fn nowhere(cx: &Cx<'_>, index: usize, item: &Ingredient, from: &From) -> Diagnostic {
    let lessons = &cx.course.lessons;
    let Some(giver) = lessons.iter().position(|lesson| lesson.slug == from.lesson) else {
        let message = format!("this course has no lesson `{}`", from.lesson);
        let found = Diagnostic::new(Code::UnknownName, message, from.span);
        let earlier = lessons[..index].iter().map(|lesson| lesson.slug.as_str());
        return match nearest(&from.lesson, earlier) {
            Some(meant) => {
                found.help(format!("did you mean `{meant}`?")).suggest(from.span, meant, Confidence::NeedsACook)
            }
            None => found.help("name an earlier lesson by its folder, without the number"),
        };
    };
    let lesson = &lessons[giver];
    if giver >= index {
        let message = format!("“{}” does not come before this lesson", lesson.title);
        let found = Diagnostic::new(Code::OutOfOrder, message, from.span);
        return found.help("a lesson can take only what an earlier one leaves");
    }
    let message = format!("“{}” leaves no {}", lesson.title, item.name);
    let found = Diagnostic::new(Code::UnknownName, message, from.span);
    let place = lesson.recipe.as_ref().map_or(lesson.title_span, |recipe| recipe.span);
    found
        .related(place, "the recipe that should leave it")
        .help(format!("add it to `leaves` there, such as `leaves = {{ {} = \"…\" }}`", item.id))
}

pub(in crate::check) fn not_enough_left(course: &Course, reference: &Reference, sink: &mut Diagnostics) {
    for account in accounts(course, reference).iter().filter(|account| account.suffices() == Some(false)) {
        sink.push(short(course, reference, account));
    }
}

fn short(course: &Course, reference: &Reference, account: &Account) -> Diagnostic {
    let style = reference.units.style();
    let print = |bulk: Bulk| match (bulk.grams, bulk.millilitres) {
        (_, Some(millilitres)) => format!("{} mL", style.rounded(millilitres, 0)),
        (Some(grams), None) => format!("{} g", style.rounded(grams, 0)),
        _ => String::new(),
    };
    let sum = |of: fn(&Bulk) -> Option<Exact>| {
        account.takers.iter().try_fold(Exact::ZERO, |sum, (_, _, need)| Some(sum + of(need)?))
    };
    let needs = Bulk { grams: sum(|bulk| bulk.grams), millilitres: sum(|bulk| bulk.millilitres) };
    let item = |lesson: usize, ingredient: usize| {
        course.lessons[lesson].recipe.as_ref().map(|recipe| &recipe.ingredients[ingredient])
    };
    let (lesson, ingredient, _) = account.takers[0];
    let name = item(lesson, ingredient).map_or("it", |item| item.name.as_str());
    let giver = &course.lessons[account.source.lesson];
    let whom = course.class.as_ref().map_or("each student".to_owned(), |class| format!("{} students", class.students));
    let message = format!(
        "“{}” leaves {} of {name} for {whom}, and {} are needed",
        giver.title,
        print(account.left),
        print(needs)
    );
    let spans = account.takers.iter().filter_map(|(lesson, ingredient, _)| {
        let id = item(*lesson, *ingredient)?.amount?;
        Some((course.measure(id).span, format!("what “{}” takes", course.lessons[*lesson].title)))
    });
    let mut spans = spans.collect::<Vec<_>>().into_iter();
    let (first, label) = spans.next().unwrap_or((giver.title_span, String::new()));
    let found = Diagnostic::new(Code::NotEnoughLeft, message, first).label(label);
    let found = spans.fold(found, |found, (span, words)| found.related(span, words));
    let found = match account.source.amount(course) {
        Some(id) => found.related(course.measure(id).span, "what is left of one batch"),
        None => found,
    };
    found.help(
        "take less, let the earlier lesson leave more, or let fewer students share a batch (`students-per-batch`)",
    )
}
