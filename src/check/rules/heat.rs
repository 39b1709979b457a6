//! `unlikely-time`, `above-boiling` and `setting-point`: what a hob and the air can do, against what a step says.
//!
//! Why: a class that waits for a temperature that never comes boils the pot dry, or gives up.

use super::Cx;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::{End, Takes, about, boils_below, hours_and_minutes, reckoned, sets_elsewhere};
use crate::recipe::Step;

/// A cook may always turn the heat down, so what takes longer than the hob needs is odd only by more than this, s.
const GENTLE: f64 = 1200.0;

pub(in crate::check) fn unlikely_heat(cx: &Cx<'_>, sink: &mut Diagnostics) {
    for (index, step) in cx.lesson.steps.iter().enumerate() {
        let found = [unlikely_time(cx, index, step), above_boiling(cx, index, step), setting_point(cx, index, step)];
        found.into_iter().flatten().for_each(|found| sink.push(found));
    }
}

/// By more than a factor of two apart. A small pot on a low heat is no fault.
fn unlikely_time(cx: &Cx<'_>, index: usize, step: &Step) -> Option<Diagnostic> {
    let takes = cx.course.measure(step.takes?);
    let reckoned = reckoned(cx.course, cx.reference, cx.lesson, index)?;
    let Takes::Seconds(seconds) = reckoned.takes else { return None };
    let (low, high) = (End::Low.of(&takes.amount).to_f64(), End::High.of(&takes.amount).to_f64());
    let slow = seconds < low / 2.0 && low - seconds > GENTLE;
    if !slow && seconds <= high * 2.0 {
        return None;
    }
    let said = if low == high {
        hours_and_minutes(low as i64)
    } else {
        format!("{} to {}", hours_and_minutes(low as i64), hours_and_minutes(high as i64))
    };
    let message = format!("by reckoning “{}” takes about {}, and its block says {said}", step.title, about(seconds));
    let found = Diagnostic::new(Code::UnlikelyTime, message, takes.span)
        .label("what it takes")
        .note(format!("reckoned as {}; the pot and the air take no more", reckoned.assumptions(cx.course)));
    let found = step.to.map_or(found.clone(), |to| found.related(cx.course.measure(to).span, "how warm it becomes"));
    Some(found.help(
        "correct the time, or say in course.toml what your hob gives: `hob` and `reaches-the-pot` in `[kitchen]`",
    ))
}

fn above_boiling(cx: &Cx<'_>, index: usize, step: &Step) -> Option<Diagnostic> {
    let (to, boils) = boils_below(cx.course, cx.reference, cx.lesson, index)?;
    let message =
        format!("“{}” is to reach {}\u{a0}°C, and water boils at {}", step.title, tenths(to), where_it_is(cx, boils));
    let found = Diagnostic::new(Code::AboveBoiling, message, cx.course.measure(step.to?).span).label("never reached");
    Some(
        found
            .note("reckoned for the standard air; the weather moves it by 1 °C")
            .help("name the temperature at which it boils where you teach, or the sign to look for; `altitude` stands in `[kitchen]` of course.toml"),
    )
}

fn setting_point(cx: &Cx<'_>, index: usize, step: &Step) -> Option<Diagnostic> {
    let sets = sets_elsewhere(cx.course, cx.reference, cx.lesson, index)?;
    let message = format!("“{}” looks for the setting point, and jam sets at {}", step.title, where_it_is(cx, sets));
    let found = Diagnostic::new(Code::SettingPoint, message, cx.course.measure(step.to?).span).label("somewhere else");
    Some(
        found
            .note("reckoned as 4.4 °C (8 °F) above the boiling point of water in the standard air")
            .help("correct the temperature, or say how high you teach: `altitude` in `[kitchen]` of course.toml"),
    )
}

/// `97 °C at 900 m`
fn where_it_is(cx: &Cx<'_>, celsius: f64) -> String {
    let metres = cx.course.place.metres.to_f64().round();
    if metres == 0.0 {
        return format!("{}\u{a0}°C by the sea", tenths(celsius));
    }
    format!("{}\u{a0}°C at {metres}\u{a0}m", tenths(celsius))
}

fn tenths(celsius: f64) -> f64 {
    (celsius * 10.0).round() / 10.0
}
