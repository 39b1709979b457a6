//! What the terms of a lesson mean, for the notes that their words open in place.

use super::Cx;
use super::edition::Edition;
use super::live::Page;
use super::markdown::{Writer, group_len, inside, meaning_id, words};
use super::view::ExplainedView;
use crate::lesson::BodyItem;
use pulldown_cmark::{CowStr, Event, Tag, TagEnd};

/// Longer paragraphs give their first sentence only: the rest stands in the glossary.
const LONG: usize = 90;

/// The notes of a page, in the order in which its words open them. `glossary` stands before a slug in a link.
pub(super) fn explained(cx: &Cx<'_>, lesson: usize, glossary: &str, terms: &[usize]) -> Vec<ExplainedView> {
    let page = Page::still(cx);
    let view = |(at, index): (usize, &usize)| {
        let term = &cx.course.terms[*index];
        let meaning = plain(&term.definition);
        let mut writer = Writer::new(&page, term.span.file, "", &[], Edition::site());
        let taught = cx.teachers.get(index).map(|(teacher, _)| match *teacher == lesson {
            true => "this lesson".to_owned(),
            false => cx.course.lessons[*teacher].title.clone(),
        });
        ExplainedView {
            id: meaning_id(at),
            href: format!("{glossary}{}", term.slug),
            name: term.name.clone(),
            meaning_html: writer.flow_quietly(&meaning.iter().collect::<Vec<_>>()),
            taught,
        }
    };
    terms.iter().enumerate().map(view).collect()
}

/// The first paragraph of a definition, without links, notes and pictures; if it is long, its first sentence and `…`.
fn plain(definition: &[BodyItem]) -> Vec<BodyItem> {
    let all: Vec<&BodyItem> = definition.iter().collect();
    let is_start = |item: &&BodyItem| matches!(item, BodyItem::Event(Event::Start(Tag::Paragraph), _));
    let paragraph = all.iter().position(is_start).map(|at| &all[at..at + group_len(&all[at..])]);
    let Some(paragraph) = paragraph else { return vec![text(words(&all).into())] };
    let inline: Vec<BodyItem> = inside(paragraph).iter().filter_map(|item| inline(item)).collect();
    let whole = words(&inline.iter().collect::<Vec<_>>());
    match first_sentence(&whole).filter(|_| whole.chars().count() > LONG) {
        Some(end) => cut(inline, end),
        None => inline,
    }
}

/// An event within a line, if it may stand in a note. A note keeps the lines that its text is written in.
fn inline(item: &BodyItem) -> Option<BodyItem> {
    let BodyItem::Event(event, _) = item else { return None };
    match event {
        Event::SoftBreak | Event::HardBreak => Some(text(" ".into())),
        Event::Text(_) | Event::Code(_) => Some(item.clone()),
        Event::Start(Tag::Emphasis | Tag::Strong | Tag::Strikethrough | Tag::Superscript | Tag::Subscript)
        | Event::End(
            TagEnd::Emphasis | TagEnd::Strong | TagEnd::Strikethrough | TagEnd::Superscript | TagEnd::Subscript,
        ) => Some(item.clone()),
        _ => None,
    }
}

fn text(words: CowStr<'static>) -> BodyItem {
    BodyItem::Event(Event::Text(words), 0..0)
}

/// Where the first of several sentences ends: before a blank and a capital letter, and not behind an abbreviation.
fn first_sentence(words: &str) -> Option<usize> {
    let ends = words.match_indices(['.', '!', '?']).map(|(at, sign)| at + sign.len());
    let mut ends = ends.filter(|end| {
        let last = words[..end - 1].rsplit([' ', '(']).next().unwrap_or("");
        let next = words[*end..].strip_prefix(' ').and_then(|rest| rest.chars().next());
        last.chars().count() > 1 && !last.contains('.') && next.is_some_and(char::is_uppercase)
    });
    ends.next()
}

/// The events of the first `end` bytes of text.
fn cut(items: Vec<BodyItem>, end: usize) -> Vec<BodyItem> {
    let (mut left, mut open, mut kept) = (end, 0_usize, Vec::new());
    for item in items {
        match &item {
            BodyItem::Event(Event::Text(words) | Event::Code(words), _) if words.len() > left => {
                let piece = words[..left].to_owned();
                left = 0;
                if !piece.is_empty() {
                    kept.push(text(piece.into()));
                }
            }
            BodyItem::Event(Event::Text(words) | Event::Code(words), _) => {
                left -= words.len();
                kept.push(item);
            }
            BodyItem::Event(Event::Start(_), _) if left > 0 => {
                open += 1;
                kept.push(item);
            }
            BodyItem::Event(Event::End(_), _) if open > 0 => {
                open -= 1;
                kept.push(item);
            }
            _ => {}
        }
    }
    kept.push(text(" …".into()));
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Diagnostics;
    use crate::lesson::parse_lesson;
    use crate::source::Sources;

    fn short(definition: &str) -> String {
        let mut sources = Sources::default();
        let file = sources.add("glossary.md", definition);
        let parsed = parse_lesson(&sources, file, &mut Diagnostics::default());
        let items = plain(&parsed.body);
        let signs = items.iter().map(|item| match item {
            BodyItem::Event(Event::Start(_), _) => "<",
            BodyItem::Event(Event::End(_), _) => ">",
            BodyItem::Event(Event::Text(text) | Event::Code(text), _) => text,
            _ => "?",
        });
        signs.collect()
    }

    #[test]
    fn a_long_paragraph_gives_its_first_sentence() {
        for (definition, want) in [
            ("What clumps. A term.", "What clumps. A term."),
            ("First.\n\nSecond.", "First."),
            (
                "The moment when *renneted milk begins to thicken*, seen as fine flecks on a blade.\nThen it sets fast. So wait.",
                "The moment when <renneted milk begins to thicken>, seen as fine flecks on a blade. …",
            ),
            (
                "A cloth, e.g. Muslin cloth, and about no. A of those that hang in the hall beside the long table. *Boil it.*",
                "A cloth, e.g. Muslin cloth, and about no. …",
            ),
            (
                "One sentence that is much longer than a note would like to be, and yet has no place at which it could be cut",
                "One sentence that is much longer than a note would like to be, and yet has no place at which it could be cut",
            ),
            ("See [curd](term:curd), ![a pot](pot.svg) and `salt`[^1].\n\n[^1]: Note.", "See curd, a pot and salt."),
            ("- one\n- two", "onetwo"),
        ] {
            assert_eq!(short(definition), want);
        }
    }
}
