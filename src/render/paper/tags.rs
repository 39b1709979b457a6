//! What a PDF says about its own structure: headings, paragraphs, lists, tables, in the order of reading.

use krilla::geom::Rect;
use krilla::tagging::{BBox, Identifier, ListNumbering, Node, TableHeaderScope, Tag, TagGroup, TagKind, TagTree};
use std::num::NonZeroU16;

/// What a stretch of a document is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Role {
    Section,
    /// With its level and its words.
    Heading(u16, String),
    Paragraph,
    List,
    Item,
    Mark,
    ItemBody,
    Table,
    Row,
    HeadCell,
    Cell,
    /// A picture or a code, with what it means.
    Picture(String),
    Link,
}

/// A stretch, by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NodeId(usize);

struct Stretch {
    role: Role,
    parent: Option<NodeId>,
    /// What was drawn of it.
    drawn: Vec<Identifier>,
    place: Option<BBox>,
}

/// All stretches, in the order of reading.
#[derive(Default)]
pub(crate) struct Tree {
    stretches: Vec<Stretch>,
}

impl Tree {
    /// A new stretch, after all others of its parent.
    pub(crate) fn add(&mut self, parent: Option<NodeId>, role: Role) -> NodeId {
        self.stretches.push(Stretch { role, parent, drawn: Vec::new(), place: None });
        NodeId(self.stretches.len() - 1)
    }

    /// What a stretch lies in.
    pub(crate) fn parent(&self, node: NodeId) -> Option<NodeId> {
        self.stretches[node.0].parent
    }

    /// Says that something drawn belongs to a stretch.
    pub(crate) fn drew(&mut self, node: NodeId, what: Identifier) {
        self.stretches[node.0].drawn.push(what);
    }

    /// Says where a picture stands.
    pub(crate) fn place(&mut self, node: NodeId, page: usize, rect: Rect) {
        self.stretches[node.0].place = Some(BBox::new(page, rect));
    }

    /// The tree as a PDF has it.
    pub(crate) fn finish(mut self) -> TagTree {
        let mut children: Vec<Vec<usize>> = vec![Vec::new(); self.stretches.len()];
        let mut tops = Vec::new();
        for (index, stretch) in self.stretches.iter().enumerate() {
            match stretch.parent {
                Some(parent) => children[parent.0].push(index),
                None => tops.push(index),
            }
        }
        let mut tree = TagTree::new();
        for top in tops {
            if let Some(group) = self.group(top, &children) {
                tree.push(group);
            }
        }
        tree
    }

    /// A stretch with what is in it; nothing where nothing was drawn.
    fn group(&mut self, index: usize, children: &[Vec<usize>]) -> Option<Node> {
        let stretch = &mut self.stretches[index];
        let mut group = TagGroup::new(kind(&stretch.role, stretch.place));
        let drawn = std::mem::take(&mut stretch.drawn);
        let mut empty = drawn.is_empty();
        drawn.into_iter().for_each(|one| group.push(one));
        for child in &children[index] {
            if let Some(child) = self.group(*child, children) {
                empty = false;
                group.push(child);
            }
        }
        (!empty).then(|| group.into())
    }
}

fn kind(role: &Role, place: Option<BBox>) -> TagKind {
    match role {
        Role::Section => Tag::Section.into(),
        Role::Heading(level, words) => {
            Tag::Hn(NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN), Some(words.clone())).into()
        }
        Role::Paragraph => Tag::P.into(),
        Role::List => Tag::L(ListNumbering::None).into(),
        Role::Item => Tag::LI.into(),
        Role::Mark => Tag::Lbl.into(),
        Role::ItemBody => Tag::LBody.into(),
        Role::Table => Tag::Table.into(),
        Role::Row => Tag::TR.into(),
        Role::HeadCell => Tag::TH(TableHeaderScope::Column).into(),
        Role::Cell => Tag::TD.into(),
        Role::Picture(means) => Tag::Figure(Some(means.clone())).with_bbox(place).into(),
        Role::Link => Tag::Link.into(),
    }
}
