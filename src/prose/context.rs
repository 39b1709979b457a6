//! What stands around a figure: look-alikes that are no quantities, and words that change what a quantity is.

use crate::quantity::{Dimension, fold_letter, phrase};

/// Lower-case words before a byte, nearest first, up to the end of the sentence.
pub(crate) fn words_before(text: &str, at: usize, most: usize) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = text[..at].trim_end_matches(|c| fold_letter(c) == ' ');
    while found.len() < most {
        let start = rest
            .rfind(|c: char| !c.is_alphanumeric() && c != '\'' && c != '’')
            .map_or(0, |i| i + rest[i..].chars().next().map_or(1, char::len_utf8));
        if start == rest.len() {
            break;
        }
        found.push(rest[start..].to_lowercase());
        let trimmed = rest[..start].trim_end_matches(|c| fold_letter(c) == ' ');
        if trimmed.len() == start {
            break; // punctuation joins or ends here
        }
        rest = trimmed;
    }
    found
}

/// Lower-case words after a byte, up to the end of the clause; hyphens count as blanks.
pub(crate) fn words_after(text: &str, at: usize, most: usize) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = &text[at..];
    while found.len() < most {
        let trimmed = rest.trim_start_matches(|c| fold_letter(c) == ' ' || c == '-' || c == '‑');
        let len = trimmed.find(|c: char| !c.is_alphanumeric() && c != '\'' && c != '’').unwrap_or(trimmed.len());
        if len == 0 || trimmed.len() == rest.len() && !found.is_empty() {
            break;
        }
        found.push(trimmed[..len].to_lowercase());
        rest = &trimmed[len..];
    }
    found
}

/// Words after which a number is a name: step 3, figure 2, size 10.
pub(super) const NAMERS: &[&str] = &[
    "step", "steps", "figure", "figures", "fig", "table", "tables", "photo", "photos", "picture", "pictures", "page",
    "pages", "p", "pp", "card", "cards", "lesson", "lessons", "chapter", "chapters", "part", "parts", "section",
    "sections", "note", "notes", "number", "numbers", "no", "nos", "nr", "type", "size", "sizes", "grade", "version",
    "room", "flat", "lot", "batch", "evening", "evenings", "week", "day", "round", "method", "option", "plan", "group",
    "ph", "unit", "module", "question", "exercise", "line", "row", "column", "volume", "issue", "edition",
];

/// The end of a run of figures that name something: `steps 2 and 3`, `No. 8`, `pH 4.6`.
pub(super) fn named_number(text: &str, at: usize) -> Option<usize> {
    let word_len = text[at..].find(|c: char| !c.is_alphabetic()).unwrap_or(text.len() - at);
    let word = text[at..at + word_len].to_lowercase();
    if !NAMERS.contains(&word.as_str()) {
        return None;
    }
    let mut end = at + word_len;
    if text[end..].starts_with('.') && word.len() <= 3 {
        end += 1;
    }
    let mut rest = skip_blank(text, end);
    if let Some(len) = phrase(&text[rest..], "of") {
        // "a pH of 4.6"; but "a size of 2 cm" is a size.
        if word != "ph" {
            return None;
        }
        rest = skip_blank(text, rest + len);
    }
    let mut last = number_end(text, rest)?;
    loop {
        let next = skip_blank(text, last);
        let joint = ["and", "to", "or", "–", "-", "—", ",", "&"].iter().find_map(|joint| {
            phrase(&text[next..], joint).or_else(|| text[next..].starts_with(joint).then_some(joint.len()))
        });
        let Some(joint) = joint else { return Some(last) };
        match number_end(text, skip_blank(text, next + joint)) {
            // "In step 2, 4 L of milk": a unit after it makes it a quantity again.
            Some(end) if !has_unit_after(text, end) => last = end,
            _ => return Some(last),
        }
    }
}

fn has_unit_after(text: &str, end: usize) -> bool {
    let next = skip_blank(text, end);
    text[next..].starts_with(|c: char| c.is_alphabetic() || matches!(c, '°' | '%' | '℃' | '℉'))
        && words_after(text, end, 1).first().is_none_or(|word| {
            ![
                "and", "to", "or", "in", "on", "of", "for", "is", "are", "at", "by", "from", "with", "then", "if",
                "when", "as", "the", "a",
            ]
            .contains(&word.as_str())
        })
}

fn number_end(text: &str, at: usize) -> Option<usize> {
    let len = text[at..].find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len() - at);
    let len = text[at..at + len].trim_end_matches('.').len();
    (len > 0).then_some(at + len)
}

/// The first byte at or after `at` that is not blank.
pub(super) fn skip_blank(text: &str, at: usize) -> usize {
    at + (text[at..].len() - text[at..].trim_start_matches(|c| fold_letter(c) == ' ').len())
}

/// Whether an address may stand in a text.
pub(super) fn may_hold_address(text: &str) -> bool {
    ["://", "www.", "@"].iter().any(|sign| text.contains(sign))
}

/// The end of an address, a dotted or slashed date, a clock time, a ratio or a worked price that starts here.
pub(super) fn whole_token(text: &str, at: usize) -> Option<usize> {
    let end = token_end(text, at);
    let token = &text[at..end];
    let address = token.contains("://") || token.starts_with("www.") || token.contains('@');
    if address {
        return Some(end);
    }
    if token.starts_with(['£', '$', '€']) {
        return Some(price_end(text, end));
    }
    let shape_len =
        token.find(|c: char| !c.is_ascii_digit() && !matches!(c, ':' | '/' | '.' | '-')).unwrap_or(token.len());
    let shape = token[..shape_len].trim_end_matches([':', '/', '.', '-']);
    let parts = |mark| shape.split(mark).filter(|part: &&str| !part.is_empty()).count();
    let date = parts('/') == 3 || parts('.') == 3 || parts('-') == 3;
    let clock_or_ratio = parts(':') >= 2;
    (date || clock_or_ratio).then(|| at + shape.len())
}

/// Where the letters without a blank that start here end. Of an endless row only the first of them are looked at.
fn token_end(text: &str, at: usize) -> usize {
    const LONGEST: usize = 2000;
    let mut letters = text[at..].char_indices();
    let stop = letters.by_ref().take(LONGEST).find(|(_, letter)| fold_letter(*letter) == ' ');
    stop.or_else(|| letters.next()).map_or(text.len(), |(len, _)| at + len)
}

/// `£2 a litre`: the unit belongs to the price.
fn price_end(text: &str, end: usize) -> usize {
    let next = skip_blank(text, end);
    for word in ["a", "an", "per", "the", "for a"] {
        if let Some(len) = phrase(&text[next..], word) {
            let unit = skip_blank(text, next + len);
            return text[unit..].find(|c: char| !c.is_alphabetic()).map_or(text.len(), |len| unit + len);
        }
    }
    end
}

/// Whether a reading of a thermometer is in truth a change: `5 °C cooler`, `drops by 5 degrees`, `2° per minute`.
pub(super) fn is_change(before: &[String], after: &[String]) -> bool {
    let word = |list: &[String], at: usize| list.get(at).map_or(String::new(), Clone::clone);
    let comparative = ["cooler", "warmer", "hotter", "colder", "lower", "higher", "above", "below"];
    let next = word(after, 0);
    if word(before, 0) == "within" && next == "of"
        || next == "either" && word(after, 1) == "side"
        || matches!(next.as_str(), "low" | "high" | "early" | "late" | "short")
    {
        return true;
    }
    if matches!(next.as_str(), "above" | "below") {
        // "5 °C below the target", but not "5 °C. Below …", which is another clause.
        return after.len() > 1;
    }
    if comparative.contains(&next.as_str())
        || matches!(next.as_str(), "every" | "per" | "each" | "rise" | "drop" | "fall")
    {
        return true;
    }
    let moves = [
        "rise",
        "rises",
        "rising",
        "raise",
        "drop",
        "drops",
        "dropping",
        "fall",
        "falls",
        "falling",
        "lower",
        "lowers",
        "cool",
        "cools",
        "warm",
        "warms",
        "increase",
        "increases",
        "decrease",
        "decreases",
        "change",
        "changes",
        "climb",
        "climbs",
        "difference",
        "out",
        "off",
        "swing",
        "overshoot",
        "overshoots",
        "reduce",
    ];
    match word(before, 0).as_str() {
        "climbs" | "climb" | "gains" | "gain" | "gained" | "loses" | "lose" | "lost" | "drops" | "falls" | "rises" => {
            true
        }
        // "let it cool 20 °F", but "a cool 20 °C room"
        "cool" | "warm" => {
            !matches!(word(before, 1).as_str(), "" | "a" | "the" | "at" | "in" | "to" | "is" | "and" | "or")
        }
        "by" => before[1..].iter().take(3).any(|word| moves.contains(&word.as_str())),
        "of" => moves.contains(&word(before, 1).as_str()),
        _ => false,
    }
}

/// Whether "over", "under" and "up to" before a quantity set a limit, or tell a place, a duration or a goal: `pour over
/// 1 lb of ice`, `heat over 30 minutes`, `bring it up to 90 °C`.
pub(super) fn sets_limit(text: &str, start: usize, dimension: Dimension) -> bool {
    let words = words_before(text, start, 5);
    let is = |at: usize, list: &[&str]| words.get(at).is_some_and(|word| list.contains(&word.as_str()));
    if is(0, &["over", "under"]) && dimension != Dimension::Temperature {
        return is(
            1,
            &[
                "for", "is", "are", "just", "well", "weighs", "takes", "lasts", "keep", "keeps", "anything",
                "anywhere", "not", "never", "a", "little", "and", "or", "if", "to", "by",
            ],
        );
    }
    const MOVES: &[&str] = &[
        "bring", "brings", "bringing", "brought", "turn", "turned", "turning", "heat", "heats", "heating", "warm",
        "warms", "warming", "come", "comes", "coming", "raise", "raised", "raising", "take", "taking", "get", "gets",
        "go", "goes", "climbs", "climb", "creep", "creeps", "top", "topped", "make", "made",
    ];
    let goal = is(0, &["to"]) && is(1, &["up"]) && words.iter().skip(2).any(|word| MOVES.contains(&word.as_str()));
    !goal
}

/// Whether a verb makes something warmer or colder.
pub(super) fn moves_warmth(word: &str) -> bool {
    matches!(
        word,
        "raise"
            | "raises"
            | "raised"
            | "raising"
            | "warm"
            | "warms"
            | "warmed"
            | "warming"
            | "heat"
            | "heats"
            | "heated"
            | "heating"
            | "cool"
            | "cools"
            | "cooled"
            | "cooling"
            | "bring"
            | "brings"
            | "brought"
            | "bringing"
            | "take"
            | "takes"
            | "drop"
            | "drops"
            | "lower"
            | "lowers"
            | "goes"
            | "go"
            | "rise"
            | "rises"
            | "climb"
            | "climbs"
            | "chill"
            | "chills"
    )
}

/// Whether a limit is denied by the words before it: "don't let it fall below", "must not be left longer than".
pub(super) fn is_negated(before: &[String]) -> bool {
    before.iter().any(|word| {
        matches!(
            word.as_str(),
            "never"
                | "not"
                | "don't"
                | "don’t"
                | "dont"
                | "cannot"
                | "can't"
                | "can’t"
                | "mustn't"
                | "mustn’t"
                | "shouldn't"
                | "shouldn’t"
                | "won't"
                | "won’t"
                | "no"
                | "nor"
                | "without"
                | "avoid"
        )
    })
}

/// Whether "degrees" are of an angle: `a 45° angle`, `turn it 90 degrees`.
pub(super) fn is_angle(before: &[String], after: &[String]) -> bool {
    after.first().is_some_and(|word| {
        matches!(word.as_str(), "angle" | "turn" | "turns" | "apart" | "corner" | "latitude" | "north" | "south")
    }) || before.iter().take(3).any(|word| {
        matches!(word.as_str(), "turn" | "turned" | "rotate" | "rotated" | "tilt" | "tilted" | "angle" | "twist")
    })
}

/// Whether what follows makes a quantity the name of something else: `a 10-year-old vinegar`, `the 2-hour rule`,
/// `16 pt type`, `a 1 kg-rated scale`.
pub(super) fn is_name(after: &[String]) -> bool {
    after.first().is_some_and(|word| {
        matches!(
            word.as_str(),
            "old"
                | "ago"
                | "sized"
                | "shaped"
                | "day"
                | "week"
                | "working"
                | "rule"
                | "rated"
                | "type"
                | "font"
                | "olds"
                | "anniversary"
                | "theory"
        )
    })
}

/// Whether a percentage tells a class or a feeling, not a share: `2 % milk`, `100 % cotton`, `100 % sure`.
pub(super) fn is_class(after: &[String]) -> bool {
    after.first().is_some_and(|word| {
        matches!(
            word.as_str(),
            "milk"
                | "fat"
                | "cream"
                | "cotton"
                | "linen"
                | "wool"
                | "sure"
                | "certain"
                | "right"
                | "wholemeal"
                | "pure"
                | "humidity"
                | "proof"
                | "beef"
        )
    }) || after.first().is_some_and(|word| word == "of")
        && after
            .iter()
            .take(4)
            .any(|word| matches!(word.as_str(), "people" | "students" | "learners" | "cooks" | "cases" | "households"))
}

/// Whether `a minute`, `a second`, `a day` is an idiom or a rate rather than a time. `known`: whether a thing of this
/// kitchen follows.
pub(super) fn is_idle_article(unit: &str, before: &[String], after: &[String], known: bool) -> bool {
    let previous = before.first().map_or("", String::as_str);
    let next = after.first().map_or("", String::as_str);
    let second = after.get(1).map_or("", String::as_str);
    if next == "or" && second == "two" && matches!(unit, "minute" | "hour" | "day" | "week") {
        return false;
    }
    if next == "or" && second == "so" || matches!(next, "at" if second == "time") {
        return true;
    }
    if matches!(
        previous,
        "times"
            | "bucks"
            | "quid"
            | "dollars"
            | "euros"
            | "pence"
            | "cents"
            | "once"
            | "twice"
            | "just"
            | "wait"
            | "half"
            | "such"
            | "what"
            | "quite"
            | "many"
    ) {
        return true;
    }
    match unit {
        "second" | "celsius" | "fahrenheit" | "foot" | "metre" | "stone" => true,
        // "an ounce of care": of what is known here, or it is a manner of speaking.
        "ounce" | "pound" | "gram" if next == "of" => !known,
        "inch" => {
            let of_length = [
                "of", "thick", "wide", "deep", "long", "high", "tall", "apart", "across", "below", "above", "from",
                "square", "cube", "cubes", "or", "per",
            ];
            !next.is_empty() && !of_length.contains(&next)
        }
        "pinch" if previous == "with" => {
            before.iter().any(|word| matches!(word.as_str(), "take" | "takes" | "taken" | "took"))
        }
        "minute" if previous == "it" || previous == "them" => before.get(1).is_none_or(|word| word != "give"),
        "minute" => {
            next == "to"
                || previous == "in"
                || !matches!(
                    previous,
                    "for" | "after" | "about" | "within" | "another" | "takes" | "take" | "every" | "rest" | "than"
                )
        }
        "day" | "week" | "fortnight" | "month" | "year" => !matches!(
            previous,
            "for"
                | "keeps"
                | "keep"
                | "within"
                | "about"
                | "lasts"
                | "than"
                | "to"
                | "another"
                | "it"
                | "them"
                | "in"
                | "after"
                | "least"
                | "rest"
                | "rests"
                | "leave"
                | "hang"
                | "stand"
                | "stands"
                | "ripen"
                | "wait"
                | "cure"
                | "ferment"
                | "age"
        ),
        _ => false,
    }
}

/// Whether "a drop" with these words before and after it is one that is seen, or seen to be missing: `when a drop of whey
/// runs off`, `let a drop of jam fall`, `without a drop of water`. What a verb of adding stands before is an amount.
pub(super) fn is_seen_to_fall(before: &[String], after: &[String]) -> bool {
    const ADDS: &[&str] = &[
        "add", "adds", "adding", "put", "puts", "use", "uses", "using", "take", "takes", "give", "gives", "pour",
        "pours", "mix", "stir", "whisk", "beat", "measure", "weigh", "need", "needs", "plus", "in",
    ];
    const LETS: &[&str] = &["let", "lets", "letting", "allow", "watch", "see", "for"];
    const MAY: &[&str] = &["can", "will", "may", "might", "would", "should"];
    const BETWEEN: &[&str] = &["that", "which", "still", "no", "longer", "just", "only", "now", "slowly", "to"];
    const FALLS: &[&str] = &[
        "falls", "runs", "drips", "trickles", "rolls", "slides", "clings", "hangs", "forms", "gathers", "appears",
        "splashes", "lands", "sinks", "floats", "spreads",
    ];
    const FALL: &[&str] = &[
        "fall", "run", "drip", "trickle", "roll", "slide", "cling", "hang", "form", "gather", "appear", "splash",
        "land", "sink", "float", "spread",
    ];
    let is = |word: &str, list: &[&str]| list.contains(&word);
    let previous = before.first().map_or("", String::as_str);
    if is(previous, ADDS) {
        return false;
    }
    if is(previous, &["not", "without", "hardly", "barely", "never"]) {
        return true;
    }
    let verb = after.iter().position(|word| !is(word, BETWEEN) && !is(word, MAY));
    verb.is_some_and(|at| {
        let may = after[..at].iter().any(|word| is(word, MAY)) || is(previous, LETS);
        is(&after[at], FALLS) || may && is(&after[at], FALL)
    })
}

/// Words that end the search for the thing a quantity is of.
pub(super) const CLAUSE_WORDS: &[&str] = &[
    "in", "into", "on", "onto", "with", "from", "to", "at", "for", "over", "under", "by", "until", "then", "and", "or",
    "while", "when", "as", "is", "are", "was", "were", "will", "would", "before", "after", "but", "if", "so", "that",
    "which", "through", "between", "against", "than", "because", "per", "every", "each", "not", "without", "off",
    "out", "up", "down",
];
