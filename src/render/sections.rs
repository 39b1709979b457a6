//! Cuts a lesson's body into its opening, its sections and its steps.

use super::markdown::{group_len, inside};
use crate::lesson::BodyItem;
use crate::recipe::Lesson;
use pulldown_cmark::Event;

/// A stretch of a lesson from one heading to the next of its rank.
#[derive(Default)]
pub(super) struct Section<'a> {
    /// Its heading, by index; none before the first.
    pub heading: Option<usize>,
    /// The heading's words.
    pub heading_items: Vec<&'a BodyItem>,
    /// The step it is, if it is one.
    pub step: Option<usize>,
    /// What it holds, in order.
    pub blocks: Vec<Block<'a>>,
}

/// What a section holds.
pub(super) enum Block<'a> {
    Prose(Vec<&'a BodyItem>),
    Rescue { step: usize, index: usize },
    Sum(usize),
    Recipe,
}

impl<'a> Section<'a> {
    fn prose(&mut self, items: &[&'a BodyItem]) {
        match self.blocks.last_mut() {
            Some(Block::Prose(last)) => last.extend_from_slice(items),
            _ => self.blocks.push(Block::Prose(items.to_vec())),
        }
    }
}

/// The words of the title, and the sections in order. The first holds what stands before any other heading.
pub(super) fn sections<'a>(lesson: &Lesson, items: &[&'a BodyItem]) -> (Vec<&'a BodyItem>, Vec<Section<'a>>) {
    let mut title = Vec::new();
    let mut sections = vec![Section::default()];
    let mut at = 0;
    while at < items.len() {
        let len = group_len(&items[at..]);
        let current = sections.last_mut().expect("the opening is always there");
        match items[at] {
            BodyItem::Heading(index) => {
                let group = &items[at + 1..];
                let group = &group[..group_len(group).min(group.len())];
                at += group.len();
                if Some(*index) == lesson.title_heading {
                    title = inside(group).to_vec();
                } else if opens_section(lesson, current, *index) {
                    let step = lesson.steps.iter().position(|step| step.heading == *index);
                    let heading_items = inside(group).to_vec();
                    sections.push(Section { heading: Some(*index), heading_items, step, blocks: Vec::new() });
                } else {
                    current.prose(&[items[at - group.len()]]);
                    current.prose(group);
                }
            }
            BodyItem::Rescue { step, index } => current.blocks.push(Block::Rescue { step: *step, index: *index }),
            BodyItem::Sum(index) => current.blocks.push(Block::Sum(*index)),
            BodyItem::Recipe => current.blocks.push(Block::Recipe),
            BodyItem::Event(Event::End(_), _) | BodyItem::Step(_) | BodyItem::Lesson => {}
            BodyItem::Event(..) => current.prose(&items[at..at + len]),
        }
        at += len;
    }
    (title, sections)
}

/// A step always opens a section; another heading does unless it lies deeper than the section it stands in.
fn opens_section(lesson: &Lesson, current: &Section<'_>, heading: usize) -> bool {
    let level = |index: usize| lesson.headings.get(index).map_or(2, |heading| heading.level);
    let is_step = lesson.steps.iter().any(|step| step.heading == heading);
    is_step || current.heading.is_none_or(|open| level(heading) <= level(open))
}
