//! Glossaries: the built-in one and the course's own, which wins.

use super::model::Term;
use super::table::{Fields, list, text};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::lesson::{BodyItem, LessonSyntax, Run, TypedBlock};
use pulldown_cmark::{Event, TagEnd};

const TERM: &[&str] = &["also"];

/// The terms of a glossary file, in order.
pub(super) fn read_terms(syntax: &LessonSyntax, own: bool, sink: &mut Diagnostics) -> Vec<Term> {
    refuse_others(syntax, sink);
    let mut terms: Vec<Term> = Vec::new();
    for (index, heading) in syntax.headings.iter().enumerate() {
        if Some(index) == syntax.title {
            continue;
        }
        let name = heading.text.text.trim().to_owned();
        let span = heading.text.home(0..heading.text.text.len());
        if let Some(first) = terms.iter().find(|term| term.name.to_lowercase() == name.to_lowercase()) {
            sink.push(
                Diagnostic::new(Code::DuplicateId, format!("the term `{name}` is defined twice"), span)
                    .related(first.span, "first here")
                    .help("keep one of the two"),
            );
            continue;
        }
        let block = syntax.terms.iter().find(|(of, _)| *of == index).map(|(_, block)| block);
        let definition = definition(syntax, index);
        if definition.is_empty() {
            let found = Diagnostic::new(Code::BadTable, format!("the term `{name}` has no definition"), span);
            sink.push(found.help("say in one to three sentences what it means"));
        }
        let also = block.map_or_else(Vec::new, |block| also(block, sink));
        terms.push(Term { name, slug: heading.slug.clone(), also, definition, span, own });
    }
    terms
}

/// The texts of a glossary's definitions.
pub(super) fn definition_runs(syntax: LessonSyntax) -> Vec<Run> {
    let headings = syntax.headings;
    let in_heading = |run: &Run| headings.iter().any(|heading| heading.span.contains(run.text.home(0..1)));
    syntax.runs.into_iter().filter(|run| !in_heading(run)).collect()
}

/// The course's terms before the built-in ones of the same name, sorted.
pub(super) fn join(own: Vec<Term>, built_in: Vec<Term>) -> Vec<Term> {
    let mut terms = own;
    for term in built_in {
        if !terms.iter().any(|own| own.own && own.name.to_lowercase() == term.name.to_lowercase()) {
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

fn also(block: &TypedBlock, sink: &mut Diagnostics) -> Vec<String> {
    let fields = Fields::of_block(block, "a term block", TERM, sink);
    let Some(entry) = fields.get("also") else {
        return Vec::new();
    };
    let items = list("also", &entry.value, "[\"curds\"]", sink);
    items.iter().filter_map(|item| Some(text("also", item, "curds", sink)?.text.trim().to_owned())).collect()
}

fn refuse_others(syntax: &LessonSyntax, sink: &mut Diagnostics) {
    let steps = syntax.steps.iter().flat_map(|step| std::iter::once(&step.block).chain(&step.rescues));
    for block in syntax.lesson.iter().chain(&syntax.recipe).chain(steps).chain(&syntax.sums) {
        let message = format!("a {} block stands in a glossary", block.kind.name());
        let found = Diagnostic::new(Code::MisplacedBlock, message, block.name_span);
        sink.push(found.help("a glossary has only term blocks; move this one to a lesson"));
    }
}
