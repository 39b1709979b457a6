//! Times as a timer shows them.

use super::measured::Part;
use super::rounding::SECONDS;
use super::systems::Ids;
use crate::quantity::{Bound, Exact};

const MINUTE: i128 = 60;
const HOUR: i128 = 3_600;
const DAY: i128 = 86_400;

/// Seconds to what a timer shows.
pub(super) fn round(seconds: Exact, bound: Bound) -> Exact {
    SECONDS.round(seconds, bound)
}

/// `90 s`, `2 min 30 s`, `1 h 30 min`, `36 h`, `4 days`: a rounded time in the units one would say.
pub(super) fn parts(seconds: Exact, ids: &Ids) -> Vec<Part> {
    let whole = seconds.over();
    let part = |number: Exact, unit| Part { number, unit, bare: false };
    if whole >= 2 * DAY && whole % (DAY / 2) == 0 {
        return vec![part(Exact::new(whole, DAY), ids.day)];
    }
    if whole >= DAY {
        return vec![part(Exact::new(whole, HOUR), ids.hour)];
    }
    if whole < 2 * MINUTE && whole != MINUTE {
        return vec![part(Exact::whole(whole), ids.second)];
    }
    let split = [(whole / HOUR, ids.hour), (whole % HOUR / MINUTE, ids.minute), (whole % MINUTE, ids.second)];
    split.into_iter().filter(|(number, _)| *number > 0).map(|(number, unit)| part(Exact::whole(number), unit)).collect()
}

/// `20 s`, `45 min`, `2 h 30 min`, `36 h`, `6 days 16 h`: seconds as a plan gives them, to the minute from a minute on and
/// to the hour from two days on.
pub fn hours_and_minutes(seconds: i64) -> String {
    let hours = (seconds + 1800) / 3600;
    if hours >= 48 {
        let days = format!("{}\u{a0}days", hours / 24);
        return if hours % 24 == 0 { days } else { format!("{days}\u{a0}{}\u{a0}h", hours % 24) };
    }
    if seconds < 60 {
        return format!("{seconds}\u{a0}s");
    }
    let minutes = (seconds + 30) / 60;
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes}\u{a0}min"),
        (hours, 0) => format!("{hours}\u{a0}h"),
        (hours, minutes) => format!("{hours}\u{a0}h\u{a0}{minutes}\u{a0}min"),
    }
}
