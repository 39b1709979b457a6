//! Pictures as handouts draw them: read once for all papers of a course, and tried before any page counts on them.
//!
//! What cannot be drawn, whatever the reason, is told in words instead; so nothing here says why.

use super::fonts::FILES;
use super::turned::{lies_on_its_side, orientation, upright};
use super::weigh::is_light;
use crate::input::Project;
use crate::recipe::picture_size;
use crate::render::theme::BUILT_IN;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::geom::{Size, Transform};
use krilla::image::Image;
use krilla::page::PageSettings;
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, TagTree};
use krilla::{Document, SerializeSettings};
use krilla_svg::{SurfaceExt, SvgSettings};
use std::collections::BTreeMap;
use std::fmt;
use std::sync::{Arc, LazyLock, OnceLock};
use usvg::{ImageHrefResolver, ImageKind, Node, Options, Tree, fontdb, roxmltree};

/// Points in a pixel of a web page, of which there are 96 to the inch (CSS Values and Units 3, 5.2).
const PIXEL: f32 = 72.0 / 96.0;
/// Letters in a drawing are at least so large where the column is wide enough, in points.
const LEAST_LETTERS: f32 = 7.0;
/// The longest drawing that is read, in bytes.
const LONGEST: usize = 1_000_000;
/// The most elements that are read of one.
const MOST_NODES: u32 = 100_000;
/// The most pixels of a picture that has to be unpacked; a JPEG goes into a PDF as it is.
const MOST_PIXELS: u64 = 32_000_000;
/// The same for pictures in drawings, which are unpacked each time they are drawn.
const MOST_PIXELS_IN_DRAWING: u64 = 4_000_000;

/// The pictures of a course by their paths, each read when it is first wanted.
pub(crate) struct Pictures<'a>(BTreeMap<&'a str, Kept<'a>>);

struct Kept<'a> {
    bytes: &'a [u8],
    read: OnceLock<Option<Picture>>,
}

impl<'a> Pictures<'a> {
    pub(crate) fn new(project: &'a Project) -> Pictures<'a> {
        let kept = |bytes| Kept { bytes, read: OnceLock::new() };
        Pictures(project.pictures.iter().map(|(path, bytes)| (path.as_str(), kept(bytes))).collect())
    }

    /// A picture that can be drawn.
    pub(crate) fn get(&self, path: &str) -> Option<Picture> {
        let kept = self.0.get(path)?;
        kept.read.get_or_init(|| Picture::read(path, kept.bytes)).clone()
    }
}

/// A picture that can be drawn.
#[derive(Clone)]
pub(crate) struct Picture(Arc<Inside>);

struct Inside {
    kind: Kind,
    /// In points, as a page of the web shows it.
    size: (f32, f32),
    /// The size of the smallest letters in it, in points.
    letters: Option<f32>,
}

enum Kind {
    Drawing(Box<Tree>),
    /// With the way it is turned.
    Photograph(Image, u16),
}

/// The same picture is the same reading of it.
impl PartialEq for Picture {
    fn eq(&self, other: &Picture) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

impl fmt::Debug for Picture {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Picture {:?}", self.0.size)
    }
}

impl Picture {
    fn read(path: &str, bytes: &[u8]) -> Option<Picture> {
        let end = path.rsplit_once('.').map_or("", |(_, end)| end).to_ascii_lowercase();
        let inside = if end == "svg" { drawing(bytes)? } else { photograph(&end, bytes)? };
        Some(Picture(Arc::new(inside))).filter(Picture::passes)
    }

    /// How wide and how high it stands in a column: as it wants to be, larger where its letters are too small, and never
    /// wider than the column nor higher than it may be.
    pub(crate) fn fitted(&self, column: f32, tallest: f32) -> (f32, f32) {
        let (width, height) = self.0.size;
        let wished = self.0.letters.map_or(1.0, |letters| (LEAST_LETTERS / letters).max(1.0));
        let scale = wished.min(column / width).min(tallest / height);
        (width * scale, height * scale)
    }

    /// Draws it from the upper left corner of a surface, so wide and so high.
    pub(super) fn draw(&self, surface: &mut Surface<'_>, (width, height): (f32, f32)) -> Option<()> {
        match &self.0.kind {
            Kind::Drawing(tree) => {
                // Nothing that has to be scaled passes.
                let settings = SvgSettings { embed_text: true, filter_scale: 1.0 };
                surface.draw_svg(tree, Size::from_wh(width, height)?, settings)
            }
            Kind::Photograph(image, turn) => {
                let [a, b, c, d, e, f] = upright(*turn);
                surface.push_transform(&Transform::from_row(
                    a * width,
                    b * height,
                    c * width,
                    d * height,
                    e * width,
                    f * height,
                ));
                surface.draw_image(image.clone(), Size::from_wh(1.0, 1.0)?);
                surface.pop();
                Some(())
            }
        }
    }

    /// Whether a page with nothing else on it can be made, as strictly as all pages: with a shape for each letter.
    fn passes(&self) -> bool {
        let page = || {
            let configuration = ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1).finish();
            let settings = SerializeSettings { configuration: configuration.ok()?, ..SerializeSettings::default() };
            let mut document = Document::new_with(settings);
            let (width, height) = self.fitted(500.0, 500.0);
            let mut page = document.start_page_with(PageSettings::from_wh(width.max(3.0), height.max(3.0))?);
            let mut surface = page.surface();
            surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)));
            self.draw(&mut surface, (width, height))?;
            surface.end_tagged();
            surface.finish();
            page.finish();
            let about = krilla::metadata::Metadata::new().title("Trial".to_owned()).language("en".to_owned());
            document.set_metadata(about);
            document.set_tag_tree(TagTree::new().with_lang(Some("en".to_owned())));
            document.set_outline(krilla::outline::Outline::new());
            document.finish().ok()
        };
        page().is_some()
    }
}

fn photograph(end: &str, bytes: &[u8]) -> Option<Inside> {
    let (wide, high) = picture_size(end, bytes)?;
    let is_jpeg = matches!(end, "jpg" | "jpeg");
    if !is_jpeg && u64::from(wide) * u64::from(high) > MOST_PIXELS {
        return None;
    }
    let data = || bytes.to_vec().into();
    let image = match end {
        "png" => Image::from_png(data(), false),
        "jpg" | "jpeg" => Image::from_jpeg(data(), false),
        "gif" => Image::from_gif(data(), false),
        "webp" => Image::from_webp(data(), false),
        _ => return None,
    };
    let turn = if is_jpeg { orientation(bytes) } else { 1 };
    let (wide, high) = if lies_on_its_side(turn) { (high, wide) } else { (wide, high) };
    let size = (wide as f32 * PIXEL, high as f32 * PIXEL);
    Some(Inside { kind: Kind::Photograph(image.ok()?, turn), size, letters: None })
}

/// The fonts of all paper. Drawings name fonts of screens; their letters are set in these.
static FONTS: LazyLock<Faces> = LazyLock::new(|| {
    let mut fonts = fontdb::Database::new();
    let mut load = |name: &str| {
        let bytes: &'static [u8] = BUILT_IN.get_file(name)?.contents();
        fonts.load_font_source(fontdb::Source::Binary(Arc::new(bytes))).first().copied()
    };
    let [plain, bold, italic] = FILES.map(&mut load);
    Faces { plain, bold, italic, fonts: Arc::new(fonts) }
});

struct Faces {
    plain: Option<fontdb::ID>,
    bold: Option<fontdb::ID>,
    italic: Option<fontdb::ID>,
    fonts: Arc<fontdb::Database>,
}

/// How drawings are read: no font but ours, and no file but the drawing's own.
fn options() -> Options<'static> {
    let select_font = |font: &usvg::Font, _: &mut Arc<fontdb::Database>| {
        if font.weight() >= 600 {
            FONTS.bold
        } else if font.style() == usvg::FontStyle::Normal {
            FONTS.plain
        } else {
            FONTS.italic
        }
    };
    let resolve_data = |kind: &str, bytes: Arc<Vec<u8>>, _: &Options<'_>| {
        let (end, picture) = match kind {
            "image/png" => ("png", ImageKind::PNG(bytes)),
            "image/jpg" | "image/jpeg" => ("jpg", ImageKind::JPEG(bytes)),
            "image/gif" => ("gif", ImageKind::GIF(bytes)),
            "image/webp" => ("webp", ImageKind::WEBP(bytes)),
            _ => return None,
        };
        let (ImageKind::PNG(bytes) | ImageKind::JPEG(bytes) | ImageKind::GIF(bytes) | ImageKind::WEBP(bytes)) = &picture
        else {
            return None;
        };
        let (wide, high) = picture_size(end, bytes)?;
        (u64::from(wide) * u64::from(high) <= MOST_PIXELS_IN_DRAWING).then_some(picture)
    };
    Options {
        image_href_resolver: ImageHrefResolver {
            resolve_data: Box::new(resolve_data),
            resolve_string: Box::new(|_, _| None),
        },
        font_resolver: usvg::FontResolver {
            select_font: Box::new(select_font),
            select_fallback: Box::new(|_, _, _| None),
        },
        fontdb: Arc::clone(&FONTS.fonts),
        ..Options::default()
    }
}

fn drawing(bytes: &[u8]) -> Option<Inside> {
    let text = std::str::from_utf8(bytes).ok().filter(|text| text.len() <= LONGEST)?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let limits = roxmltree::ParsingOptions { allow_dtd: true, nodes_limit: MOST_NODES, ..Default::default() };
    let document = roxmltree::Document::parse_with_options(text, limits).ok()?;
    if !is_light(&document) {
        return None;
    }
    let tree = Tree::from_xmltree(&document, &options()).ok()?;
    let mut letters = f32::INFINITY;
    if !tree.filters().is_empty() || !tree.root().has_children() {
        return None;
    }
    smallest_letters(tree.root(), &mut letters);
    let size = (tree.size().width() * PIXEL, tree.size().height() * PIXEL);
    let letters = Some(letters * PIXEL).filter(|letters| letters.is_finite() && *letters > 0.0);
    Some(Inside { kind: Kind::Drawing(Box::new(tree)), size, letters })
}

/// The size of the smallest letters of a group, as they come out in the drawing.
fn smallest_letters(group: &usvg::Group, least: &mut f32) {
    for child in group.children() {
        match child {
            Node::Group(group) => smallest_letters(group, least),
            Node::Text(text) => {
                let map = text.abs_transform();
                let scale = (map.sx * map.sy - map.kx * map.ky).abs().sqrt();
                let seen = text.layouted().iter().filter(|span| span.visible && !span.positioned_glyphs.is_empty());
                *least = seen.map(|span| span.font_size.get() * scale).fold(*least, f32::min);
            }
            Node::Path(_) | Node::Image(_) => {}
        }
    }
}
