//! `over-session`, `tight-session` and `out-of-order`: the steps against the clock.
//!
//! Why: a class that is not done when the hall closes carries hot pots into the car park.

use super::Cx;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::{End, Plan, Walk, hours_and_minutes, plan};

pub(in crate::check) fn over_session(cx: &Cx<'_>, walks: &[Walk], sink: &mut Diagnostics) {
    let Some(session) = cx.lesson.session.map(|id| cx.course.measure(id)) else { return };
    let claimed = End::High.of(&session.amount).to_f64().round() as i64;
    let plans: Vec<(&Walk, Plan)> =
        walks.iter().map(|walk| (walk, plan(cx.course, &cx.lesson.steps, walk, true))).collect();
    // Of several ways, the longest.
    let Some((walk, plan)) = plans.iter().max_by_key(|(_, plan)| (plan.total.least > claimed, plan.total.most)) else {
        return;
    };
    let (code, taken) = match plan.total {
        total if total.least > claimed => (Code::OverSession, total.least),
        total if total.most > claimed => (Code::TightSession, total.most),
        _ => return,
    };
    let by = if walk.ways.is_empty() { String::new() } else { format!(" by {}", walk.ways.join(" and ")) };
    let (takes, session_takes) = (hours_and_minutes(taken), hours_and_minutes(claimed));
    let message = if code == Code::OverSession {
        format!("the steps{by} take {takes} at the least, and the session {session_takes}")
    } else {
        format!("the steps{by} take {takes} if none goes quickly, and the session {session_takes}")
    };
    let longest = plan.slots.iter().filter(|slot| slot.critical).max_by_key(|slot| slot.lasts.most);
    let found = Diagnostic::new(code, message, session.span)
        .label("the session")
        .help("give it more time, say `at-home = true` in a step that is done after the class, or let a step run `while` another does");
    sink.push(match longest.map(|slot| &cx.lesson.steps[slot.step]) {
        Some(step) => found.related(step.span, format!("the longest step, “{}”", step.title)),
        None => found,
    });
}

pub(in crate::check) fn out_of_order(cx: &Cx<'_>, sink: &mut Diagnostics) {
    let steps = &cx.lesson.steps;
    for (index, step) in steps.iter().enumerate() {
        let named = step.after.iter().map(|other| ("after", *other)).chain(step.beside.map(|other| ("while", other)));
        for (key, other) in named.filter(|(_, other)| *other > index) {
            let message = format!("“{}” is to run `{key}` “{}”, which comes later", step.title, steps[other].title);
            sink.push(
                Diagnostic::new(Code::OutOfOrder, message, step.span)
                    .related(steps[other].span, "the later step")
                    .help("name an earlier step, or change the order of the two"),
            );
        }
    }
}
