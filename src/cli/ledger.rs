//! `pottle ledger`: every mention and what it states.

use super::args::{LedgerArgs, LedgerReport};
use super::course::{Course, folder_or_default};
use super::report::{self, Stream, Voice};
use super::{Failure, Verdict, ledger_table};
use pottle::check::{Binding, LedgerEntry};
use pottle::quantity::Exact;
use pottle::recipe;
use pottle::source::Sources;
use serde::Serialize;

pub(super) fn run(args: &LedgerArgs, voice: Voice) -> Result<Verdict, Failure> {
    let line = voice.line();
    let course = Course::open(&folder_or_default(args.course.as_deref()), &line)?;
    drop(line);
    let text = match args.report {
        LedgerReport::Human => {
            let checked = &course.checked;
            let books = ledger_table::Books {
                sources: &course.project.sources,
                course: &checked.model,
                reference: &checked.reference,
            };
            ledger_table::draw(books, &checked.ledger, &course.base)
        }
        LedgerReport::Json => json(&course).map_err(std::io::Error::from)?,
    };
    report::print(Stream::Output, text.as_bytes())?;
    if !course.findings.has_errors() {
        return Ok(Verdict::Clean);
    }
    report::tell(&format!("{}: `pottle proof` shows more.", report::counts(&course.findings)));
    Ok(Verdict::Findings)
}

/// The keys are a promise: add to them, never change one.
#[derive(Serialize)]
struct JsonLedger<'a> {
    mentions: Vec<JsonMention<'a>>,
}

#[derive(Serialize)]
struct JsonMention<'a> {
    file: &'a str,
    start: usize,
    end: usize,
    text: &'a str,
    kind: &'static str,
    low: Figure,
    high: Figure,
    bound: &'static str,
    binding: Option<String>,
    agrees: bool,
}

/// A JSON number that has no `.0` when it needs none.
#[derive(Serialize)]
#[serde(untagged)]
enum Figure {
    Whole(i64),
    Broken(f64),
}

impl From<Exact> for Figure {
    fn from(value: Exact) -> Figure {
        match i64::try_from(value.over()) {
            Ok(whole) if value.is_whole() => Figure::Whole(whole),
            _ => Figure::Broken(value.to_f64()),
        }
    }
}

fn json(course: &Course) -> serde_json::Result<String> {
    let entries = &course.checked.ledger.entries;
    let mentions = entries.iter().map(|entry| mention(&course.project.sources, &course.checked.model, entry)).collect();
    Ok(serde_json::to_string(&JsonLedger { mentions })? + "\n")
}

fn mention<'a>(sources: &'a Sources, model: &recipe::Course, entry: &'a LedgerEntry) -> JsonMention<'a> {
    let mention = &entry.mention;
    let file = sources.get(mention.span.file);
    JsonMention {
        file: &file.path,
        start: file.offset_on_disk(mention.span.start),
        end: file.offset_on_disk(mention.span.end),
        text: &mention.text,
        kind: mention.dimension().name(),
        low: mention.amount.low.quantity.base().into(),
        high: mention.amount.high.quantity.base().into(),
        bound: mention.amount.bound.name(),
        binding: binding(model, entry.binding),
        agrees: entry.agrees,
    }
}

/// The path of what a mention states. Asides count from 0, like any list in JSON.
pub(super) fn binding(model: &recipe::Course, binding: Binding) -> Option<String> {
    match binding {
        Binding::Measure(id) => Some(model.measure(id).path.clone()),
        Binding::Aside { lesson, aside } => Some(format!("{}.asides.{aside}", model.lessons[lesson].slug)),
        Binding::Nothing => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::ledger_table::tests::{TEXT, sample};
    use super::*;

    #[test]
    fn a_mention_has_exactly_the_promised_keys() {
        let (sources, model, ledger) = sample();
        let rest = [
            "\"text\":\"92 °C\",\"kind\":\"temperature\",\"low\":92,\"high\":92,\"bound\":\"none\",\
             \"binding\":\"curd.steps.heat.to\",\"agrees\":true",
            "\"text\":\"at least ½ h\",\"kind\":\"time\",\"low\":1800,\"high\":1800,\"bound\":\"at-least\",\
             \"binding\":null,\"agrees\":false",
            "\"text\":\"0.5–1 mL\",\"kind\":\"volume\",\"low\":0.5,\"high\":1,\"bound\":\"none\",\
             \"binding\":\"curd.asides.0\",\"agrees\":true",
        ];
        for (entry, rest) in ledger.entries.iter().zip(rest) {
            // The text has Windows line ends: the offsets must be those of the raw file.
            let (start, words) = TEXT.rmatch_indices(entry.mention.text.as_str()).next().unwrap();
            let end = start + words.len();
            let expected = format!("{{\"file\":\"01-curd/lesson.md\",\"start\":{start},\"end\":{end},{rest}}}");
            assert_eq!(serde_json::to_string(&mention(&sources, &model, entry)).unwrap(), expected);
        }
    }
}
