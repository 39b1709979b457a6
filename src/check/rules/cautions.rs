//! `danger` and `idle-overrule`: what the recipe says is dangerous, or is not known not to be.
//!
//! Why: a page that is published is followed. What a caution stops is not fixed by printing the caution.

use super::{Cx, keeping};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::{Caution, CautionPlace, PACKING, cautions};
use crate::lesson::near::nearest;
use crate::recipe::Pack;
use crate::reference::CautionSeverity;
use crate::source::Span;

pub(in crate::check) fn dangers(cx: &Cx<'_>, index: usize, sink: &mut Diagnostics) {
    let all = cautions(cx.course, cx.reference, index);
    let stops = || all.iter().filter(|one| one.rule.severity == CautionSeverity::Block);
    // Where it is not even said how something is kept, that is the thing to say first.
    let is_said = |one: &&Caution<'_>| match (one.place, &cx.lesson.recipe) {
        (CautionPlace::Keeping(index), Some(recipe)) => keeping::unsaid(cx, recipe, &recipe.keeps[index]).is_none(),
        _ => true,
    };
    let stands = stops().filter(|one| one.overruled.is_none()).filter(is_said);
    stands.for_each(|one| sink.push(danger(cx, one)));
    for overrule in &cx.lesson.overrules {
        if stops().any(|one| one.rule.id == overrule.id) {
            continue;
        }
        let id = &overrule.id;
        let found = match cx.reference.cautions.rule(id) {
            Some(rule) if rule.severity == CautionSeverity::Block => {
                Diagnostic::new(Code::IdleOverrule, format!("`{id}` does not apply to this lesson"), overrule.span)
                    .help("take the line out: should the danger come back, it must be looked at again")
            }
            Some(_) => Diagnostic::new(Code::IdleOverrule, format!("`{id}` stops nothing"), overrule.span)
                .help("take the line out: a caution that only warns is always printed"),
            None => {
                let known = cx.reference.cautions.rules.iter().filter(|rule| rule.severity == CautionSeverity::Block);
                let found = Diagnostic::new(Code::IdleOverrule, format!("no caution is called `{id}`"), overrule.span);
                match nearest(id, known.map(|rule| rule.id.as_str())) {
                    Some(near) => found.help(format!("did you mean `{near}`?")),
                    None => found.help("the finding that names the danger shows the line to write"),
                }
            }
        };
        sink.push(found);
    }
}

fn danger(cx: &Cx<'_>, caution: &Caution<'_>) -> Diagnostic {
    let (rule, place) = (caution.rule, place(cx, caution.place));
    let mut found = Diagnostic::new(Code::Danger, format!("{}{}", lower_first(&rule.title), place.words), place.span)
        .label("here")
        .note(caution.say.clone());
    if !caution.unsaid.is_empty() {
        let unsaid = caution.unsaid.join(", nor ");
        found = found.note(format!("nobody says {unsaid}, and what is not known counts as the dangerous case"));
    }
    let source = cx.reference.cautions.source_of(rule, cx.course.guests.law.name());
    found = found.note(format!("source: {} ({})", cx.reference.source_title(source), rule.status.name()));
    // What is asked for first is what most often rules the danger out, and what nobody but the author can know.
    let pack =
        if caution.unsaid.contains(&PACKING) { format!("say {PACKING}: {}; or, ", packs()) } else { String::new() };
    let mend = rule.mend.as_ref().map_or(String::new(), |mend| format!("{mend}; or, "));
    let line = format!("overrules = {{ {} = \"…\" }}", rule.id);
    found.help(format!(
        "{pack}{mend}if you have made sure of it in another way, say so in the lesson block, where students read it: `{line}`"
    ))
}

/// The words that `pack` may hold.
fn packs() -> String {
    Pack::NAMES.iter().map(|name| format!("`\"{name}\"`")).collect::<Vec<_>>().join(", ")
}

/// Where a danger is, for a finding.
struct Place {
    span: Span,
    /// `, in “Heat the milk”`
    words: String,
}

fn place(cx: &Cx<'_>, at: CautionPlace) -> Place {
    let lesson = cx.lesson;
    let whole =
        || Place { span: lesson.recipe.as_ref().map_or(lesson.title_span, |recipe| recipe.span), words: String::new() };
    match (at, &lesson.recipe) {
        (CautionPlace::Step(step), _) => {
            let step = &lesson.steps[step];
            Place { span: step.span, words: format!(", in “{}”", step.title) }
        }
        (CautionPlace::Ingredient(index), Some(recipe)) => {
            let one = &recipe.ingredients[index];
            Place { span: one.id_span, words: format!(": {}", one.name) }
        }
        (CautionPlace::Keeping(index), Some(recipe)) => {
            let keep = &recipe.keeps[index];
            Place { span: keep.span, words: format!(", as it is kept: {}", keep.place.text) }
        }
        (CautionPlace::Lesson, _) if lesson.sanitiser.is_some() => {
            let sanitiser = lesson.sanitiser.as_ref().map(|one| one.span);
            sanitiser.map_or_else(whole, |span| Place { span, words: String::new() })
        }
        _ => whole(),
    }
}

fn lower_first(title: &str) -> String {
    let mut letters = title.chars();
    letters.next().map_or(String::new(), |first| first.to_lowercase().chain(letters).collect())
}
