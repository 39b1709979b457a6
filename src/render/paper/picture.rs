//! Pictures as handouts draw them: read once for all papers of a course, and tried before any page counts on them.
//!
//! What cannot be drawn, whatever the reason, is told in words instead; so nothing here says why.

use super::fonts::FILES;
use super::turned::{lies_on_its_side, orientation, upright};
use super::weigh::{is_light, is_readable};
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
use std::panic::catch_unwind;
use std::sync::atomic::{AtomicBool, Ordering};
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
        // A stranger's file is read by others' code: where that gives up, the picture is told, and the site is made.
        catch_unwind(|| {
            let inside = if end == "svg" { drawing(bytes)? } else { photograph(&end, bytes)? };
            Some(Picture(Arc::new(inside))).filter(Picture::passes)
        })
        .unwrap_or_default()
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

/// How drawings are read: no font but ours, and no file but the drawing's own. `columns` tells whether one asks for
/// letters that are all as wide as each other: then they are to stand in columns, and in ours they would not.
fn options(columns: &AtomicBool) -> Options<'_> {
    let select_font = |font: &usvg::Font, _: &mut Arc<fontdb::Database>| {
        if font.families().contains(&usvg::FontFamily::Monospace) {
            columns.store(true, Ordering::Relaxed);
        }
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
        let (ImageKind::PNG(bytes) | ImageKind::JPEG(bytes) | ImageKind::GIF(bytes) | ImageKind::WEBP(bytes)) =
            &picture
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
    if !is_readable(text) {
        return None;
    }
    let limits = roxmltree::ParsingOptions { allow_dtd: true, nodes_limit: MOST_NODES, ..Default::default() };
    let document = roxmltree::Document::parse_with_options(text, limits).ok()?;
    if !is_light(&document) {
        return None;
    }
    let columns = AtomicBool::new(false);
    let tree = Tree::from_xmltree(&document, &options(&columns)).ok()?;
    let mut letters = f32::INFINITY;
    if !tree.filters().is_empty() || !tree.root().has_children() || columns.into_inner() {
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

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Instant;

    const DEMO: [&str; 3] = [
        include_str!("../../../content/saltmarsh-hall/02-pressed-curd/press.svg"),
        include_str!("../../../content/saltmarsh-hall/07-crock-vegetables/crock.svg"),
        include_str!("../../../content/saltmarsh-hall/08-plum-jam/fill.svg"),
    ];

    fn svg(head: &str, inside: &str) -> String {
        format!("<svg xmlns='http://www.w3.org/2000/svg' {head}>{inside}</svg>")
    }

    fn read(text: &str) -> Option<Picture> {
        Picture::read("a.svg", text.as_bytes())
    }

    /// A grey picture of a side, as PNG that is not packed: RFC 2083 with blocks of RFC 1951 that are stored.
    fn png(side: u16) -> Vec<u8> {
        fn checksum(bytes: &[u8]) -> u32 {
            let step = |sum: u32, byte: &u8| {
                (0..8).fold(sum ^ u32::from(*byte), |sum, _| (sum >> 1) ^ (0xedb8_8320 & 0u32.wrapping_sub(sum & 1)))
            };
            !bytes.iter().fold(u32::MAX, step)
        }
        let rows: Vec<u8> =
            (0..side).flat_map(|row| [vec![0], vec![(row % 256) as u8; usize::from(side)]].concat()).collect();
        let adler = rows.iter().fold((1u32, 0u32), |(a, b), byte| {
            let a = (a + u32::from(*byte)) % 65521;
            (a, (b + a) % 65521)
        });
        let length = u16::try_from(rows.len()).unwrap();
        let mut packed = vec![0x78, 0x01, 0x01];
        packed.extend([length.to_le_bytes(), (!length).to_le_bytes()].concat());
        packed.extend(&rows);
        packed.extend((adler.1 << 16 | adler.0).to_be_bytes());
        let side = u32::from(side).to_be_bytes();
        let head = [&side[..], &side, &[8, 0, 0, 0, 0]].concat();
        let mut file = b"\x89PNG\r\n\x1a\n".to_vec();
        for (name, body) in [(b"IHDR", head), (b"IDAT", packed), (b"IEND", Vec::new())] {
            let chunk = [&name[..], &body].concat();
            file.extend((body.len() as u32).to_be_bytes());
            file.extend(&chunk);
            file.extend(checksum(&chunk).to_be_bytes());
        }
        file
    }

    /// 480 pixels of a web page are 360 points: CSS Values and Units 3, 5.2.
    #[test]
    fn a_drawing_has_the_size_it_wants_and_no_more_than_there_is() {
        let plain = svg("width='480' height='240'", "<path d='M0 0h9'/>");
        let picture = read(&plain).unwrap();
        assert_eq!(picture.fitted(500.0, 500.0), (360.0, 180.0));
        assert_eq!(picture.fitted(180.0, 500.0), (180.0, 90.0));
        assert_eq!(picture.fitted(500.0, 60.0), (120.0, 60.0));
    }

    #[test]
    fn letters_are_made_larger_within_the_column() {
        let text = "<g transform='scale(.5)'><text y='20' font-size='16'>whey</text></g>";
        let picture = read(&svg("width='200' height='100'", text)).unwrap();
        // 8 px are 6 pt.
        let (width, height) = picture.fitted(500.0, 500.0);
        assert!((width - 175.0).abs() < 0.01 && (height - 87.5).abs() < 0.01, "{width} by {height}");
        let (width, height) = picture.fitted(160.0, 500.0);
        assert!((width - 160.0).abs() < 0.01 && (height - 80.0).abs() < 0.01, "{width} by {height}");
        let large = read(&svg("width='200' height='100'", "<text y='20' font-size='16'>whey</text>")).unwrap();
        assert_eq!(large.fitted(500.0, 500.0), (150.0, 75.0));
    }

    /// All families are ours, so that a drawing is the same on every machine.
    #[test]
    fn letters_are_set_in_the_fonts_of_paper() {
        for family in ["system-ui,sans-serif", "serif", "fantasy", "No Such Font", "cursive"] {
            for (style, index) in [("", 0), ("font-weight:bold", 1), ("font-style:italic", 2)] {
                let text = format!("<text y='20' style='font-family:{family};{style}'>whey</text>");
                let picture = read(&svg("width='200' height='100'", &text)).unwrap();
                let Kind::Drawing(tree) = &picture.0.kind else { panic!("a drawing") };
                let Node::Text(text) = &tree.root().children()[0] else { panic!("words in {tree:?}") };
                let face = [FONTS.plain, FONTS.bold, FONTS.italic][index];
                let glyphs = &text.layouted()[0].positioned_glyphs;
                assert!(glyphs.len() == 4 && glyphs.iter().all(|glyph| Some(glyph.font) == face), "{family} {style}");
            }
        }
        assert_eq!(FONTS.fonts.len(), 3);
    }

    #[test]
    fn what_cannot_be_drawn_as_it_is_meant_is_no_picture() {
        for (why, text) in [
            ("no drawing", "milk".to_owned()),
            ("letters in columns", svg("", "<text y='9' font-family='Courier, monospace'>a  b</text>")),
            ("cut", DEMO[0][..900].to_owned()),
            ("nothing in it", svg("", "")),
            ("a letter without a shape", svg("", "<text y='9'>\u{1f963}</text>")),
            (
                "a shadow",
                svg(
                    "",
                    "<filter id='f'><feGaussianBlur stdDeviation='9'/></filter><g filter='url(#f)'><path d='M0 0h9v9z'/></g>",
                ),
            ),
            ("nothing wide", svg("width='0' height='10'", "<path d='M0 0h9'/>")),
            ("too long", svg("", &"<path d='M0 0h9'/>".repeat(60_000))),
        ] {
            assert!(read(&text).is_none(), "{why}");
        }
        assert!(Picture::read("a.svg", b"\xff\xfe").is_none());
    }

    #[test]
    fn no_file_beside_the_drawing_is_read() {
        let place = concat!(env!("CARGO_MANIFEST_DIR"), "/content/handbook/01-ten-minutes/step-card.png");
        assert!(std::path::Path::new(place).is_file());
        let image = format!("<image href='{place}' width='9' height='9'/>");
        assert!(read(&svg("", &image)).is_none());
    }

    #[test]
    fn a_billion_uses_neither_hang_nor_are_drawn() {
        let begun = Instant::now();
        let level =
            |level: usize| format!("<g id='p{level}'>{}</g>", format!("<use href='#p{}'/>", level - 1).repeat(10));
        let levels: String = (1..10).map(level).collect();
        let bomb = svg("", &format!("<defs><path id='p0' d='M0 0h9'/>{levels}</defs><use href='#p9'/>"));
        assert!(read(&bomb).is_none());
        assert!(begun.elapsed().as_secs() < 5, "{:?}", begun.elapsed());
    }

    #[test]
    fn groups_in_groups_in_groups_do_not_overflow_the_stack() {
        let deep = |levels: usize, inside: &str| {
            svg("", &format!("{}{inside}{}", "<g opacity='.9'>".repeat(levels), "</g>".repeat(levels)))
        };
        assert!(read(&deep(50_000, "<path d='M0 0h9v9z'/>")).is_none());
        // What just passes is drawn on the small stack of a worker.
        let drawn = std::thread::Builder::new()
            .stack_size(1 << 20)
            .spawn(move || read(&deep(60, "<path d='M0 0h9v9z'/>")).is_some());
        assert!(drawn.unwrap().join().unwrap());
    }

    /// What is as heavy as may be takes no longer than a reader waits.
    #[test]
    fn the_heaviest_drawing_is_drawn_in_time() {
        let sheet = format!("<style>{}</style>", ".a,.b{fill:red}".repeat(400));
        for (what, heavy) in [
            ("uses", format!("<path id='a' d='M0 0h9v9z'/>{}", "<use href='#a' x='2'/>".repeat(17_000))),
            ("letters", format!("<text y='9'>{}</text>", "m".repeat(990)).repeat(40)),
            ("pieces", format!("<text y='9'>{}</text>", "<tspan x='1' dy='2'>m</tspan>".repeat(130)).repeat(12)),
            ("rules", format!("{sheet}{}", "<path class='b' d='M0 0h9v9z'/>".repeat(24_000))),
            ("a line", format!("<path stroke='red' stroke-width='9' d='M0 0{}'/>", "a1 2 3 1 1 4 5".repeat(60_000))),
        ] {
            let begun = Instant::now();
            let drawn = read(&svg("", &heavy)).is_some();
            assert!(drawn && begun.elapsed().as_secs() < 60, "{what}: {drawn}, {:?}", begun.elapsed());
        }
    }

    #[test]
    fn photographs_are_read_by_their_names_and_turned_upright() {
        let grey = png(40);
        let picture = Picture::read("a.PNG", &grey).unwrap();
        assert_eq!(picture.fitted(500.0, 500.0), (30.0, 30.0));
        // The head is whole, and what follows it is not.
        let mut broken = grey.clone();
        broken[60..100].fill(7);
        for (path, bytes) in
            [("a.png", &broken[..]), ("a.jpg", &grey), ("a.webp", b"RIFF"), ("a.gif", b"GIF89a"), ("a", &grey)]
        {
            assert!(Picture::read(path, bytes).is_none(), "{path}");
        }
        let inside = svg(
            "width='40' height='40'",
            &format!("<image href='data:image/png;base64,{}' width='40' height='40'/>", {
                use base64::Engine;
                base64::engine::general_purpose::STANDARD.encode(&grey)
            }),
        );
        assert!(read(&inside).is_some());
    }

    #[test]
    fn each_picture_is_read_once() {
        let mut project = Project::from_files([("course.toml", "title = \"Hall\"\n")]);
        project.pictures.insert("a.svg".to_owned(), DEMO[0].into());
        let pictures = Pictures::new(&project);
        let first = pictures.get("a.svg").unwrap();
        assert!(first == pictures.get("a.svg").unwrap() && pictures.get("b.svg").is_none());
        assert!(first != Pictures::new(&project).get("a.svg").unwrap());
    }

    /// Drawings with pieces cut out, doubled or put elsewhere: most of them are no drawings, some are strange ones.
    #[test]
    fn no_mangled_drawing_stops_the_reader() {
        let mut state = 7u64;
        let mut random = |below: usize| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as usize % below
        };
        let strange =
            ["0", "-1", "1e38", "1e-38", "NaN", "9999999999", "%", "url(#h)", "#go", "rotate(90)", "scale(0)"];
        let mut drawn = 0;
        for round in 0..150 {
            let mut text = DEMO[round % DEMO.len()].to_owned();
            for _ in 0..=random(6) {
                let places: Vec<usize> = text.match_indices(|c: char| c.is_ascii_digit()).map(|(at, _)| at).collect();
                let at = places[random(places.len())];
                match random(4) {
                    0 => text.replace_range(at..=at, strange[random(strange.len())]),
                    1 => text.insert_str(at, strange[random(strange.len())]),
                    2 => {
                        let tags: Vec<usize> = text.match_indices('<').map(|(at, _)| at).collect();
                        let (from, to) = (tags[random(tags.len())], tags[random(tags.len())]);
                        let piece = text[from.min(to)..from.max(to)].chars().take(300).collect::<String>();
                        text.insert_str(tags[random(tags.len())], &piece);
                    }
                    _ => text.replace_range(at..=at, ""),
                }
            }
            drawn += usize::from(read(&text).is_some());
        }
        assert!(drawn > 20, "{drawn}");
    }
}
