//! `not-pasteurised` and `unclaimed-hold`: a step says that it pasteurises, and its hold is none that the law knows.
//!
//! Why: who drinks what was held too briefly may fall ill, and nobody sees it in the milk.

use super::Cx;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::{Claim, claim, hold_words, lasting};
use crate::recipe::{FoodLaw, Pasteurised, Recipe, Step};

pub(in crate::check) fn not_pasteurised(cx: &Cx<'_>, sink: &mut Diagnostics) {
    for (index, step) in cx.lesson.steps.iter().enumerate() {
        let claimed = cx
            .lesson
            .recipe
            .as_ref()
            .and_then(|recipe| Some((recipe, claim(cx.course, cx.reference, recipe, &cx.lesson.steps, index)?)));
        match claimed {
            Some((recipe, _)) if missing(cx, index).is_some() => {
                too_early(cx, recipe, index).into_iter().for_each(|found| sink.push(found))
            }
            Some((recipe, claim)) if claim.met.is_none() => sink.push(missed(cx, recipe, step, &claim)),
            Some(_) => {}
            None => unclaimed(cx, index).into_iter().for_each(|found| sink.push(found)),
        }
    }
}

/// An ingredient that a step claims to pasteurise, and that goes in at none of the steps so far.
fn missing(cx: &Cx<'_>, index: usize) -> Option<Pasteurised> {
    let so_far = &cx.lesson.steps[..=index];
    let is_in = |claimed: &Pasteurised| {
        so_far.iter().any(|step| step.add.iter().any(|part| part.ingredient == claimed.ingredient))
    };
    cx.lesson.steps[index].pasteurises.iter().copied().find(|claimed| !is_in(claimed))
}

fn too_early(cx: &Cx<'_>, recipe: &Recipe, index: usize) -> Option<Diagnostic> {
    let claimed = missing(cx, index)?;
    let (title, name) = (&cx.lesson.steps[index].title, &recipe.ingredients[claimed.ingredient].name);
    let message = format!("“{title}” is to pasteurise the {name}, which goes in only later");
    let found = Diagnostic::new(Code::NotPasteurised, message, claimed.span).label("claimed here");
    Some(found.help("claim it in a step where it is in the pot"))
}

fn missed(cx: &Cx<'_>, recipe: &Recipe, step: &Step, claim: &Claim<'_>) -> Diagnostic {
    let names: Vec<&str> =
        step.pasteurises.iter().map(|one| recipe.ingredients[one.ingredient].name.as_str()).collect();
    let (title, names) = (&step.title, names.join(" and "));
    let law = if claim.law == "us" { "US law" } else { "EU and UK law" };
    let holds = claim.holds(cx.reference);
    let coolest = holds.iter().map(|hold| hold.celsius).fold(f64::INFINITY, f64::min);
    let message = match (claim.celsius, claim.seconds) {
        (Some(celsius), _) if celsius < coolest => format!(
            "“{title}” holds the {names} at {}, and the coolest hold that {law} knows is at {}: {} more",
            degrees(celsius),
            degrees(coolest),
            degrees(coolest - celsius)
        ),
        (Some(celsius), Some(seconds)) => {
            let reached = holds.iter().filter(|hold| hold.celsius <= celsius).map(|hold| hold.seconds);
            let needed = reached.fold(f64::INFINITY, f64::min);
            format!(
                "“{title}” holds the {names} for {}, and at {} {law} asks for {}: {} more",
                lasting(seconds),
                degrees(celsius),
                lasting(needed),
                lasting(needed - seconds)
            )
        }
        _ => format!(
            "“{title}” is to pasteurise the {names}, and a hold needs the lowest temperature, `at`, and the shortest time, `for`"
        ),
    };
    let all: Vec<String> = holds.iter().map(|hold| hold_words(hold)).collect();
    let class = if claim.product == "rich-milk" { "milk that is sweetened or has 10 % fat or more" } else { "milk" };
    let source = holds.first().map_or("", |hold| cx.reference.source_title(&hold.source));
    let mut found = Diagnostic::new(Code::NotPasteurised, message, step.pasteurises[0].span)
        .label("claimed here")
        .note(format!("holds of that law for {class}: {} ({source})", all.join("; ")));
    for (id, words) in [(step.to, "reached, which is no hold"), (step.at, "held at"), (step.lasts, "held for")] {
        // Where something is held, what is reached says nothing.
        if let Some(id) = id.filter(|_| words != "reached, which is no hold" || step.at.is_none()) {
            found = found.related(cx.course.measure(id).span, words);
        }
    }
    if let Some(worth) = claim.worth(cx.reference) {
        let (basis, words, asked) = (worth.basis(), worth.in_words(), lasting(worth.asked));
        found = found.note(format!(
            "reckoned with {basis}, this hold is worth {words}; the law asks for {asked} there, and takes no reckoning for a hold"
        ));
    }
    if matches!(cx.course.guests.law, FoodLaw::Au | FoodLaw::Other) {
        found = found.note("Pottle holds only the laws of the US and the EU: ask the authority where you teach");
    }
    found.help("hold it hotter or for longer, or take out `pasteurises`; a rule of your own authority comes first")
}

/// To a tenth: a shortfall must not be rounded away.
fn degrees(celsius: f64) -> String {
    let tenths = (celsius * 10.0).round() / 10.0;
    format!("{tenths}\u{a0}°C")
}

/// A step whose title or words begin with the order to pasteurise, and which claims nothing.
fn unclaimed(cx: &Cx<'_>, index: usize) -> Option<Diagnostic> {
    let runs = cx.lesson.runs.iter().filter(|run| run.step == Some(index));
    let (run, at) = runs.filter_map(|run| Some((run, ordered(&run.text.text)?))).next()?;
    let span = run.text.home(at..at + WORD.len());
    Some(
        Diagnostic::new(Code::UnclaimedHold, "a step pasteurises, and its block does not say what", span)
            .label("these words")
            .related(cx.lesson.steps[index].span, "the step")
            .help("add `pasteurises = \"milk\"`, or whatever it is, so that its hold is held against the law"),
    )
}

const WORD: &str = "pasteurise";

/// Where a sentence begins with the order: "Pasteurise the milk", not "Pasteurised milk keeps", nor "do not pasteurise".
fn ordered(text: &str) -> Option<usize> {
    let lower = text.to_ascii_lowercase();
    let found = ["pasteurise ", "pasteurize "].into_iter().flat_map(|word| {
        let begins = |at: &usize| {
            let before = lower[..*at].trim_end();
            before.is_empty() || before.ends_with(['.', '!', ':'])
        };
        lower.match_indices(word).map(|(at, _)| at).filter(begins).min()
    });
    found.min()
}
