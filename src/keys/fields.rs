//! Keys of a table, read by shape: one helper for each sort of value, so that all complain alike.

use super::near::{nearest, nearest_within};
use super::{Entry, Table, Text, Value, ValueKind};
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};
use crate::source::Span;

/// A table whose keys are known.
pub(crate) struct Fields<'t> {
    table: &'t Table,
    /// Where to point when a key is missing.
    at: Span,
    /// What the table is, in words: `a step block`.
    what: &'static str,
    /// Known keys that the author misspelt.
    lost: Vec<&'static str>,
    /// Whether lines of it could not be read: any key may be on one of them.
    broken: bool,
    /// Whether there are keys that mean nothing here.
    pub has_unknown: bool,
}

impl<'t> Fields<'t> {
    /// Checks the keys of a table against the known ones.
    pub fn new(
        table: &'t Table,
        at: Span,
        what: &'static str,
        known: &[&'static str],
        sink: &mut Diagnostics,
    ) -> Fields<'t> {
        let mut fields = Fields { table, at, what, lost: Vec::new(), broken: false, has_unknown: false };
        for entry in table.entries.iter().filter(|entry| !known.contains(&entry.key.as_str())) {
            fields.has_unknown = true;
            fields.unknown(entry, known, sink);
        }
        fields
    }

    /// The same, where lines could not be read.
    pub fn with_losses(self, broken: bool) -> Fields<'t> {
        Fields { broken, ..self }
    }

    fn unknown(&mut self, entry: &Entry, known: &[&'static str], sink: &mut Diagnostics) {
        let free: Vec<&'static str> = known.iter().copied().filter(|key| self.get(key).is_none()).collect();
        // Keys are few and short, so even two letters of a key tell which was meant.
        let near = |keys: &[&'static str]| {
            let keys = keys.iter().copied();
            nearest(&entry.key, keys.clone()).or_else(|| nearest_within(&entry.key, 1, keys))
        };
        let by_sense: Vec<&'static str> =
            in_other_words(&entry.key).iter().copied().filter(|key| known.contains(key)).collect();
        let meant: Option<&'static str> = match by_sense[..] {
            [] => near(&free).or_else(|| near(known)),
            [only] => Some(only),
            _ => None,
        };
        let message = format!("{} has no key `{}`", self.what, entry.key);
        let mut found = Diagnostic::new(Code::UnknownKey, message, entry.key_span);
        if let Some(meant) = meant {
            self.lost.extend(free.into_iter().filter(|key| *key == meant));
            found =
                found.help(format!("did you mean `{meant}`?")).suggest(entry.key_span, meant, Confidence::NeedsACook);
        } else if by_sense.is_empty() {
            found = found.help(format!("its keys are {}", listed(known)));
        } else {
            found = found.help(format!("perhaps you mean {}", one_of(&by_sense)));
        }
        sink.push(found);
    }

    /// The entry of a key.
    pub fn get(&self, key: &str) -> Option<&'t Entry> {
        self.table.entries.iter().find(|entry| entry.key == key)
    }

    /// The entry of a key that must not be missing; the example shows how to write it.
    pub fn required(&self, key: &str, example: &str, sink: &mut Diagnostics) -> Option<&'t Entry> {
        let entry = self.get(key);
        if entry.is_none() && self.is_sure(key) {
            let message = format!("{} needs `{key}`", self.what);
            sink.push(Diagnostic::new(Code::MissingKey, message, self.at).help(format!("add `{key} = {example}`")));
        }
        entry
    }

    /// Whether a missing key is really missing, and not misspelt or in a block that could not be read.
    pub fn is_sure(&self, key: &str) -> bool {
        !self.broken && !self.lost.contains(&key)
    }
}

/// `a`, `b` and `c`, each in code signs.
pub(crate) fn listed(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}

/// `a` or `b`, each in code signs, with how those differ that are mixed up.
fn one_of(words: &[&str]) -> String {
    let told = |word: &&str| match *word {
        "for" => "`for` (must pass)".to_owned(),
        "takes" => "`takes` (usually takes)".to_owned(),
        "to" => "`to` (reached)".to_owned(),
        "at" => "`at` (held)".to_owned(),
        word => format!("`{word}`"),
    };
    words.iter().map(told).collect::<Vec<_>>().join(" or ")
}

/// The keys that say what a cook may have called otherwise. Only those count that the table in question has.
fn in_other_words(key: &str) -> &'static [&'static str] {
    match key.to_lowercase().as_str() {
        "time" | "minutes" | "duration" | "length" => &["for", "takes", "session"],
        "temperature" | "temp" | "heat" | "oven" => &["to", "at"],
        "wait" | "rest" => &["for"],
        "ready" | "done" | "sign" => &["until"],
        "ingredient" | "ingredients" | "with" | "what" => &["add"],
        "pot" | "pan" | "bowl" | "tool" | "tools" | "equipment" | "vessel" => &["in"],
        "yield" | "yields" | "serves" | "servings" | "portions" | "quantity" | "result" => &["makes", "amount"],
        "store" | "storage" | "keep" => &["keeps"],
        "leftovers" | "by-products" => &["leaves"],
        "percent" | "percentage" | "per-cent" => &["share"],
        "volume" | "capacity" => &["holds"],
        "number" | "how-many" => &["count"],
        "remedy" | "fix" | "mend" => &["do"],
        "problem" | "trouble" => &["sign"],
        "about" | "description" | "introduction" => &["summary"],
        "aims" | "goals" => &["learn"],
        "country" => &["home"],
        "synonyms" | "other-names" | "names" => &["also"],
        _ => &[],
    }
}

/// As a cook would say it.
fn sort(value: &Value) -> &'static str {
    match value.kind {
        ValueKind::Text(_) => "a text",
        ValueKind::Number(_) => "a bare number",
        ValueKind::Flag(_) => "a bare yes or no",
        ValueKind::List(_) => "a list",
        ValueKind::Table(_) => "a group of keys",
        ValueKind::Date(_) => "a bare date or clock time",
    }
}

/// Says that a value is of the wrong sort.
pub(crate) fn wrong_type(key: &str, value: &Value, wants: &str, example: &str, sink: &mut Diagnostics) {
    let message = format!("`{key}` needs {wants}, and this is {}", sort(value));
    sink.push(Diagnostic::new(Code::WrongType, message, value.span).help(format!("write it like `{example}`")));
}

/// A text in quotes that says something.
pub(crate) fn text<'v>(key: &str, value: &'v Value, example: &str, sink: &mut Diagnostics) -> Option<&'v Text> {
    let ValueKind::Text(text) = &value.kind else {
        wrong_type(key, value, "a text in quotes", &format!("{key} = \"{example}\""), sink);
        return None;
    };
    if text.text.trim().is_empty() {
        let found = Diagnostic::new(Code::WrongType, format!("`{key}` is empty"), value.span);
        sink.push(found.help(format!("write it like `{key} = \"{example}\"`, or leave the key out")));
        return None;
    }
    Some(text)
}

/// The items of a list.
pub(crate) fn list<'v>(key: &str, value: &'v Value, example: &str, sink: &mut Diagnostics) -> &'v [Value] {
    match &value.kind {
        ValueKind::List(items) => items,
        _ => {
            wrong_type(key, value, "a list in square brackets", &format!("{key} = {example}"), sink);
            &[]
        }
    }
}

/// The items of a list, or the value itself where one thing needs no brackets.
pub(crate) fn one_or_more(value: &Value) -> &[Value] {
    match &value.kind {
        ValueKind::List(items) => items,
        _ => std::slice::from_ref(value),
    }
}

/// A table.
pub(crate) fn table<'v>(key: &str, value: &'v Value, example: &str, sink: &mut Diagnostics) -> Option<&'v Table> {
    match &value.kind {
        ValueKind::Table(table) => Some(table),
        _ => {
            wrong_type(key, value, "a group of keys in braces", &format!("{key} = {example}"), sink);
            None
        }
    }
}

/// Yes or no.
pub(crate) fn flag(key: &str, value: &Value, sink: &mut Diagnostics) -> Option<bool> {
    match value.kind {
        ValueKind::Flag(flag) => Some(flag),
        _ => {
            wrong_type(key, value, "`true` or `false`, without quotes", &format!("{key} = true"), sink);
            None
        }
    }
}

/// One of a few words.
pub(crate) fn choice<'c>(key: &str, value: &Value, choices: &[&'c str], sink: &mut Diagnostics) -> Option<&'c str> {
    let text = text(key, value, choices[0], sink)?;
    let found = choices.iter().copied().find(|choice| *choice == text.text);
    if found.is_none() {
        let span = text.home(0..text.text.len());
        let message = format!("`{key}` cannot be `{}`", text.text);
        let mut wrong =
            Diagnostic::new(Code::WrongType, message, span).help(format!("it is one of {}", listed(choices)));
        if let Some(meant) = nearest(&text.text, choices.iter().copied()) {
            wrong = wrong.suggest(span, meant, Confidence::NeedsACook);
        }
        sink.push(wrong);
    }
    found
}
