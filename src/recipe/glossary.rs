//! Glossaries: the built-in one and the course's own, which wins.

use super::model::{Taught, Term};
use super::table::{Fields, list, text};
use super::terms::{form, term_named};
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};
use crate::lesson::near::nearest;
use crate::lesson::{BodyItem, LessonSyntax, Run, Text, TypedBlock};
use crate::source::Span;
use pulldown_cmark::{Event, TagEnd};
use std::collections::BTreeMap;

const TERM: &[&str] = &["also"];

/// The terms of a glossary file, in order.
pub(super) fn read_terms(syntax: &LessonSyntax, own: bool, sink: &mut Diagnostics) -> Vec<Term> {
    refuse_others(syntax, sink);
    let mut terms: Vec<Term> = Vec::new();
    let mut claims = Claims::default();
    for (index, heading) in syntax.headings.iter().enumerate() {
        if Some(index) == syntax.title {
            continue;
        }
        let name = heading.text.text.trim().to_owned();
        let span = heading.text.home(0..heading.text.text.len());
        if let Some(first) = terms.iter().find(|term| form(&term.name) == form(&name)) {
            sink.push(
                Diagnostic::new(Code::DuplicateId, format!("the term `{name}` is defined twice"), span)
                    .related(first.span, "first here")
                    .help("keep one of the two"),
            );
            continue;
        }
        claims.claim(index, &name, span, sink);
        let block = syntax.terms.iter().find(|(of, _)| *of == index).map(|(_, block)| block);
        let definition = definition(syntax, index);
        if definition.is_empty() {
            let found = Diagnostic::new(Code::BadTable, format!("the term `{name}` has no definition"), span);
            sink.push(found.help("say in one to three sentences what it means"));
        }
        let mut also = block.map_or_else(Vec::new, |block| also(block, sink));
        also.retain(|(form, span)| claims.claim(index, form, *span, sink));
        let also = also.into_iter().map(|(form, _)| form).collect();
        terms.push(Term { name, slug: heading.slug.clone(), also, definition, span, own });
    }
    terms
}

/// The forms of a glossary file, each with the heading of its term and the place where it is claimed.
#[derive(Default)]
struct Claims {
    forms: BTreeMap<String, (usize, Span)>,
}

impl Claims {
    /// Whether a term may have a form, which no other may have then. Its own forms it may repeat.
    fn claim(&mut self, term: usize, name: &str, span: Span, sink: &mut Diagnostics) -> bool {
        let (owner, first) = *self.forms.entry(form(name)).or_insert((term, span));
        if owner != term {
            let found = Diagnostic::new(Code::DuplicateId, format!("two terms have the form `{name}`"), span);
            let found = found.related(first, "the other has it here");
            sink.push(found.help("leave it to the term that readers will look for under it"));
        }
        owner == term
    }
}

/// The term that a lesson says it teaches.
pub(super) fn taught(words: &Text, terms: &[Term], sink: &mut Diagnostics) -> Option<Taught> {
    let (name, span) = (words.text.trim(), words.home(0..words.text.len()));
    let term = term_named(terms, name);
    if term.is_none() {
        sink.push(unknown_term(name, span, terms, |term| term.name.clone()));
    }
    Some(Taught { term: term?, span })
}

/// A word that should name a term and names none, with the nearest as `written` there.
pub(super) fn unknown_term(word: &str, span: Span, terms: &[Term], written: impl Fn(&Term) -> String) -> Diagnostic {
    let found = Diagnostic::new(Code::UnknownTerm, format!("the glossary has no term `{word}`"), span);
    let names = terms.iter().flat_map(|term| [&term.slug, &term.name].into_iter().chain(&term.also));
    let meant = nearest(word, names.map(String::as_str)).and_then(|near| term_named(terms, near));
    match meant.map(|term| written(&terms[term])) {
        Some(meant) => found.help(format!("did you mean `{meant}`?")).suggest(span, meant, Confidence::NeedsACook),
        None => found.help("write a term of the glossary, or add this one to the course's glossary.md"),
    }
}

/// The texts of a glossary's definitions.
pub(super) fn definition_runs(syntax: &LessonSyntax) -> Vec<Run> {
    let in_heading = |run: &&Run| syntax.headings.iter().any(|heading| heading.span.contains(run.text.home(0..1)));
    syntax.runs.iter().filter(|run| !in_heading(run)).cloned().collect()
}

/// The course's terms before the built-in ones of the same name, sorted.
pub(super) fn join(own: Vec<Term>, built_in: Vec<Term>) -> Vec<Term> {
    let mut terms = own;
    for term in built_in {
        if !terms.iter().any(|own| own.own && (own.slug == term.slug || form(&own.name) == form(&term.name))) {
            terms.push(term);
        }
    }
    terms.sort_by_cached_key(|term| term.name.to_lowercase());
    terms
}

/// What stands between a heading and the next.
fn definition(syntax: &LessonSyntax, index: usize) -> Vec<BodyItem> {
    let mut items = syntax.body.iter().skip_while(|item| **item != BodyItem::Heading(index)).skip(1);
    for item in items.by_ref() {
        if matches!(item, BodyItem::Event(Event::End(TagEnd::Heading(_)), _)) {
            break;
        }
    }
    items
        .take_while(|item| !matches!(item, BodyItem::Heading(_)))
        .filter(|item| matches!(item, BodyItem::Event(..)))
        .cloned()
        .collect()
}

fn also(block: &TypedBlock, sink: &mut Diagnostics) -> Vec<(String, Span)> {
    let fields = Fields::of_block(block, "a term block", TERM, sink);
    let Some(entry) = fields.get("also") else {
        return Vec::new();
    };
    let items = list("also", &entry.value, "[\"curds\"]", sink);
    let mut forms = Vec::new();
    for item in items {
        let words = text("also", item, "curds", sink);
        forms.extend(words.map(|words| (words.text.trim().to_owned(), words.home(0..words.text.len()))));
    }
    forms
}

fn refuse_others(syntax: &LessonSyntax, sink: &mut Diagnostics) {
    let steps = syntax.steps.iter().flat_map(|step| std::iter::once(&step.block).chain(&step.rescues));
    for block in syntax.lesson.iter().chain(&syntax.recipe).chain(steps).chain(&syntax.sums) {
        let message = format!("a {} block stands in a glossary", block.kind.name());
        let found = Diagnostic::new(Code::MisplacedBlock, message, block.name_span);
        sink.push(found.help("a glossary has only term blocks; move this one to a lesson"));
    }
}
