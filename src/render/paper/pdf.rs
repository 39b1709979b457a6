//! Draws set pages as a PDF that is checked as PDF/UA-1: tagged, titled, with an outline, and nothing left unsaid.
//!
//! The same pages give the same bytes: no clock, no machine, no random number goes in.

use super::code::{Code, QUIET};
use super::fonts::SetText;
use super::glyphs::pieces;
use super::picture::Picture;
use super::set::{Mark, Slab};
use super::sheet::Cut;
use super::tags::{NodeId, Role, Tree};
use krilla::action::{Action, LinkAction};
use krilla::annotation::{Annotation, LinkAnnotation, Target};
use krilla::color::luma;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::{PathBuilder, Point, Rect, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::{Page as PdfPage, PageSettings};
use krilla::paint::{Fill, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, Identifier, SpanTag};
use krilla::text::Font;
use krilla::{Document, SerializeSettings};
use std::collections::HashMap;

/// One page of paper, set.
pub(crate) struct Page {
    pub width: f32,
    pub height: f32,
    /// Cards or columns, by their top left corner.
    pub areas: Vec<Area>,
    pub cuts: Vec<Cut>,
}

/// A set part of a page.
pub(crate) struct Area {
    pub x: f32,
    pub y: f32,
    pub placed: Vec<Placed>,
    /// Its name in the outline.
    pub outline: Option<String>,
}

/// A slab and how far down it stands.
#[derive(Clone)]
pub(crate) struct Placed {
    pub y: f32,
    pub slab: Slab,
}

/// What a document says about itself.
pub(crate) struct About {
    pub title: String,
    pub language: String,
}

/// Draws pages. An error is a fault of ours: it says what the check found.
pub(crate) fn draw(pages: Vec<Page>, tree: Tree, about: &About) -> Result<Vec<u8>, String> {
    let configuration = ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1).finish();
    let configuration = configuration.map_err(|error| format!("{error:?}"))?;
    let settings = SerializeSettings { configuration, ..SerializeSettings::default() };
    let mut pen = Pen { document: Document::new_with(settings), tree, fonts: HashMap::new() };
    let mut outline = Outline::new();
    for (number, page) in pages.iter().enumerate() {
        for area in &page.areas {
            if let Some(name) = &area.outline {
                let place = XyzDestination::new(number, Point::from_xy(area.x, area.y));
                outline.push_child(OutlineNode::new(name.clone(), place));
            }
        }
        pen.page(number, page).ok_or("a page has no size")?;
    }
    let metadata = Metadata::new().title(about.title.clone()).language(about.language.clone());
    let metadata = metadata.creator("Pottle".to_owned()).document_id(about.title.clone());
    let Pen { mut document, tree, .. } = pen;
    document.set_metadata(metadata);
    document.set_outline(outline);
    document.set_tag_tree(tree.finish().with_lang(Some(about.language.clone())));
    document.finish().map_err(|error| format!("{error:?}"))
}

struct Pen {
    document: Document,
    tree: Tree,
    /// By the id of the font's bytes.
    fonts: HashMap<u64, Option<Font>>,
}

/// A link that was drawn: it is added to the page when its drawing is done.
struct Linked {
    rect: Rect,
    address: String,
    means: String,
    node: NodeId,
}

impl Pen {
    fn page(&mut self, number: usize, page: &Page) -> Option<()> {
        let settings = PageSettings::from_wh(page.width, page.height)?;
        let settings = settings.with_trim_box(Rect::from_xywh(0.0, 0.0, page.width, page.height));
        let mut paper = self.document.start_page_with(settings);
        let mut links = Vec::new();
        let mut surface = paper.surface();
        let mut drawing =
            Drawing { surface: &mut surface, tree: &mut self.tree, fonts: &mut self.fonts, links: &mut links, number };
        for area in &page.areas {
            for placed in &area.placed {
                drawing.slab(placed, (area.x, area.y + placed.y));
            }
        }
        drawing.cuts(&page.cuts);
        surface.finish();
        for link in links {
            let target = Target::Action(Action::Link(LinkAction::new(link.address)));
            self.tree.drew(link.node, annotate(&mut paper, link.rect, target, link.means));
        }
        paper.finish();
        Some(())
    }
}

fn annotate(paper: &mut PdfPage<'_>, rect: Rect, target: Target, means: String) -> Identifier {
    paper.add_tagged_annotation(Annotation::new_link(LinkAnnotation::new(rect, target), Some(means)))
}

struct Drawing<'d, 's> {
    surface: &'d mut Surface<'s>,
    tree: &'d mut Tree,
    fonts: &'d mut HashMap<u64, Option<Font>>,
    links: &'d mut Vec<Linked>,
    /// Which page.
    number: usize,
}

impl Drawing<'_, '_> {
    fn slab(&mut self, placed: &Placed, (left, top): (f32, f32)) {
        for mark in &placed.slab.marks {
            match mark {
                Mark::Line { text, line, x, y, node } => {
                    self.line(text, *line, (left + x, top + y), *node);
                }
                Mark::Bar { x, y, width, height } => self.bar((left + x, top + y), (*width, *height)),
                Mark::Path { points, x, y, dashed } => self.path(points, (left + x, top + y), *dashed),
                Mark::Code { code, x, y, node } => self.code(code, (left + x, top + y), *node),
                Mark::Picture { picture, x, y, width, height, node } => {
                    self.picture(picture, (left + x, top + y), (*width, *height), *node);
                }
            }
        }
    }

    fn bar(&mut self, (x, y): (f32, f32), (width, height): (f32, f32)) {
        let Some(rect) = Rect::from_xywh(x, y, width, height) else { return };
        self.surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)));
        self.ink();
        let mut path = PathBuilder::new();
        path.push_rect(rect);
        if let Some(path) = path.finish() {
            self.surface.draw_path(&path);
        }
        self.surface.end_tagged();
    }

    /// A thin line, of which nothing is read.
    fn path(&mut self, points: &[(f32, f32)], (left, top): (f32, f32), dashed: bool) {
        let Some(((x, y), rest)) = points.split_first() else { return };
        self.surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)));
        self.surface.set_fill(None);
        let dash = dashed.then(|| StrokeDash { array: vec![3.0, 3.0], offset: 0.0 });
        let stroke = Stroke { paint: luma::Color::black().into(), width: 1.0, dash, ..Stroke::default() };
        self.surface.set_stroke(Some(stroke));
        let mut path = PathBuilder::new();
        path.move_to(left + x, top + y);
        for (x, y) in rest {
            path.line_to(left + x, top + y);
        }
        if let Some(path) = path.finish() {
            self.surface.draw_path(&path);
        }
        self.surface.end_tagged();
    }

    fn ink(&mut self) {
        let black = Fill { paint: luma::Color::black().into(), opacity: NormalizedF32::ONE, rule: Default::default() };
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(black));
    }

    /// A line of words.
    fn line(&mut self, text: &SetText, line: usize, (left, top): (f32, f32), node: Option<NodeId>) {
        for piece in pieces(text, line) {
            let link = text.links.get(piece.run as usize).and_then(Option::as_ref).zip(node);
            let tag = match node {
                Some(_) => ContentTag::Span(SpanTag::empty()),
                None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::PaginationOther)),
            };
            let (bytes, id) = piece.font.data.into_raw_parts();
            let font = self.fonts.entry(id).or_insert_with(|| Font::new(bytes.into(), piece.font.index)).clone();
            let Some(font) = font else { continue };
            let drawn = self.surface.start_tagged(tag);
            self.ink();
            let at = Point::from_xy(left + piece.x, top + piece.baseline);
            self.surface.draw_glyphs(at, &piece.glyphs, font, &text.text, piece.size, false);
            self.surface.end_tagged();
            let Some(node) = node else { continue };
            match link {
                Some((address, _)) => {
                    let link = self.tree.add(Some(node), Role::Link);
                    self.tree.drew(link, drawn);
                    let rect = Rect::from_xywh(
                        left + piece.x,
                        top + piece.baseline - piece.size,
                        piece.width,
                        piece.size * 1.2,
                    );
                    let means = address.clone();
                    self.links.extend(rect.map(|rect| Linked { rect, address: address.clone(), means, node: link }));
                }
                None => self.tree.drew(node, drawn),
            }
        }
    }

    fn code(&mut self, code: &Code, (x, y): (f32, f32), node: NodeId) {
        let side = code.size();
        let module = side / (code.modules + 2 * QUIET) as f32;
        let drawn = self.surface.start_tagged(ContentTag::Other);
        self.ink();
        self.surface.push_transform(&Transform::from_row(module, 0.0, 0.0, module, x, y));
        let mut path = PathBuilder::new();
        for row in 0..code.modules {
            for (start, len) in code.dark_runs(row) {
                let rect = Rect::from_xywh((start + QUIET) as f32, (row + QUIET) as f32, len as f32, 1.0);
                rect.into_iter().for_each(|rect| path.push_rect(rect));
            }
        }
        if let Some(path) = path.finish() {
            self.surface.draw_path(&path);
        }
        self.surface.pop();
        self.surface.end_tagged();
        self.tree.drew(node, drawn);
        if let Some(rect) = Rect::from_xywh(x, y, side, side) {
            self.tree.place(node, self.number, rect);
            let link = self.tree.parent(node).unwrap_or(node);
            let (address, means) = (code.address.clone(), code.means.clone());
            self.links.push(Linked { rect, address, means, node: link });
        }
    }

    fn picture(&mut self, picture: &Picture, (x, y): (f32, f32), (width, height): (f32, f32), node: Option<NodeId>) {
        let tag = match node {
            Some(_) => ContentTag::Other,
            None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
        };
        let drawn = self.surface.start_tagged(tag);
        self.surface.push_transform(&Transform::from_translate(x, y));
        // It was tried before: what it draws, it draws here too.
        picture.draw(self.surface, (width, height)).unwrap_or_default();
        self.surface.pop();
        self.surface.end_tagged();
        let Some(node) = node else { return };
        self.tree.drew(node, drawn);
        if let Some(rect) = Rect::from_xywh(x, y, width, height) {
            self.tree.place(node, self.number, rect);
        }
    }

    fn cuts(&mut self, cuts: &[Cut]) {
        for cut in cuts {
            self.surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Page)));
            self.surface.set_fill(None);
            let stroke = Stroke { paint: luma::Color::black().into(), width: 0.25, ..Stroke::default() };
            self.surface.set_stroke(Some(stroke));
            let mut path = PathBuilder::new();
            path.move_to(cut.from.0, cut.from.1);
            path.line_to(cut.to.0, cut.to.1);
            if let Some(path) = path.finish() {
                self.surface.draw_path(&path);
            }
            self.surface.end_tagged();
        }
    }
}
