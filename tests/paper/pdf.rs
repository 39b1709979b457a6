//! A PDF read back with poppler, a reader that is not ours: page sizes, words with their places, type sizes, fonts.
//!
//! Lengths are points of 1/72 inch, from the top left corner of the page.

use super::tools::program;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// `pdftohtml` gives type sizes as whole numbers of its own dots, the nearest; three dots to the point is its most.
const DOTS: f64 = 3.0;

/// A place on a page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Rect {
    /// What is left when so much is taken off each side.
    pub fn inset(self, by: f64) -> Rect {
        Rect { left: self.left + by, top: self.top + by, right: self.right - by, bottom: self.bottom - by }
    }

    /// Whether another lies in it, give or take a twentieth of a point.
    pub fn holds(self, other: Rect) -> bool {
        const SLACK: f64 = 0.05;
        other.left >= self.left - SLACK
            && other.top >= self.top - SLACK
            && other.right <= self.right + SLACK
            && other.bottom <= self.bottom + SLACK
    }

    /// How far two reach into each other, sideways and downwards; negative where they are apart.
    pub fn overlap(self, other: Rect) -> (f64, f64) {
        (
            self.right.min(other.right) - self.left.max(other.left),
            self.bottom.min(other.bottom) - self.top.max(other.top),
        )
    }

    pub fn height(self) -> f64 {
        self.bottom - self.top
    }

    fn middle(self) -> (f64, f64) {
        ((self.left + self.right) / 2.0, (self.top + self.bottom) / 2.0)
    }
}

/// A word as it is printed.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    pub text: String,
    pub place: Rect,
}

impl Word {
    /// Where its letters are. Its place is as high as the font says that letters can be, with all accents; the shares
    /// that letters leave of that are measured on two common fonts, and on the careful side.
    fn ink(&self) -> Rect {
        let height = self.place.height();
        Rect { top: self.place.top + 0.16 * height, bottom: self.place.bottom - 0.12 * height, ..self.place }
    }
}

/// A run of letters in one type.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    pub text: String,
    pub place: Rect,
    /// To the nearest third of a point: 11.85 pt cannot be told from 12, 11.8 can.
    pub size: f64,
}

/// A page.
#[derive(Debug, Clone)]
pub struct Leaf {
    pub width: f64,
    pub height: f64,
    pub words: Vec<Word>,
    pub runs: Vec<Run>,
}

impl Leaf {
    /// The whole page.
    pub fn place(&self) -> Rect {
        Rect { left: 0.0, top: 0.0, right: self.width, bottom: self.height }
    }

    /// Its words in reading order, with one blank between them.
    pub fn text(&self) -> String {
        self.words.iter().map(|word| word.text.as_str()).collect::<Vec<_>>().join(" ")
    }

    /// The smallest type on it, and what is set in it.
    pub fn smallest(&self) -> Option<&Run> {
        let seen = self.runs.iter().filter(|run| !run.text.trim().is_empty());
        seen.min_by(|a, b| a.size.total_cmp(&b.size))
    }

    /// The type in which a word is set.
    pub fn size_of(&self, word: &Word) -> f64 {
        let (x, y) = word.place.middle();
        let about = |run: &&Run| {
            let place = run.place.inset(-0.5);
            place.left <= x && x <= place.right && place.top <= y && y <= place.bottom
        };
        let found = self.runs.iter().filter(about).max_by(|a, b| a.size.total_cmp(&b.size));
        found.unwrap_or_else(|| panic!("“{}” stands in no run", word.text)).size
    }

    /// Words that are not wholly within a place.
    pub fn outside(&self, place: Rect) -> Vec<&Word> {
        self.words.iter().filter(|word| !place.holds(word.place)).collect()
    }

    /// Pairs of words whose letters lie over each other.
    pub fn overlaps(&self) -> Vec<(&Word, &Word)> {
        let mut found = Vec::new();
        for (index, one) in self.words.iter().enumerate() {
            for other in &self.words[index + 1..] {
                let (across, down) = one.ink().overlap(other.ink());
                if across > 0.3 && down > 0.5 {
                    found.push((one, other));
                }
            }
        }
        found
    }
}

/// A font of the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Font {
    pub name: String,
    pub embedded: bool,
    /// Whether its letters can be read back as text.
    pub readable: bool,
}

/// What the file says of itself.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct About {
    pub title: Option<String>,
    pub tagged: bool,
}

/// A picture in grey.
struct Grey {
    width: usize,
    dots: Vec<u8>,
}

/// A whole file.
pub struct Pdf {
    path: PathBuf,
    room: TempDir,
    pub about: About,
    pub fonts: Vec<Font>,
    pub leaves: Vec<Leaf>,
}

impl Pdf {
    /// Reads a file from memory.
    pub fn read(bytes: &[u8]) -> Pdf {
        let room = tempfile::tempdir().expect("a folder");
        let path = room.path().join("paper.pdf");
        std::fs::write(&path, bytes).expect("the folder is ours");
        let info = run("pdfinfo", &["-f", "1", "-l", "9999"], &path);
        let xml = run_to("pdftohtml", &["-xml", "-i", "-q", "-hidden", "-stdout", "-zoom", "3"], &path, &[]);
        let boxes = run_to("pdftotext", &["-bbox-layout"], &path, &["-"]);
        let mut leaves = leaves(&boxes);
        let sizes = page_sizes(&info);
        assert_eq!(leaves.len(), sizes.len(), "both readers see the same pages");
        for (leaf, (width, height)) in leaves.iter_mut().zip(sizes) {
            (leaf.width, leaf.height) = (width, height);
        }
        put_runs(&xml, &mut leaves);
        let fonts = fonts(&run("pdffonts", &[], &path));
        Pdf { about: about(&info), fonts, leaves, path, room }
    }

    /// What its figures say to whoever cannot see them: the alternative texts of ISO 32000-1, 14.9.3, in plain letters.
    pub fn alternatives(&self) -> Vec<String> {
        let bytes = std::fs::read(&self.path).expect("it was written");
        let text: String = bytes.into_iter().map(char::from).collect();
        let literal = |rest: &str| {
            let (mut said, mut letters) = (String::new(), rest.chars());
            loop {
                match letters.next().expect("a text ends") {
                    '\\' => said.extend(letters.next()),
                    ')' => return said,
                    letter => said.push(letter),
                }
            }
        };
        text.split("/Alt(").skip(1).map(literal).collect()
    }

    /// What stands in each of its figures, as poppler reads its structure.
    pub fn figures(&self) -> Vec<String> {
        // Poppler writes the names of headings as the file has them, in letters that need not be UTF-8.
        let read =
            Command::new(program("pdfinfo")).arg("-struct-text").arg(&self.path).output().expect("pdfinfo starts");
        let tree = String::from_utf8_lossy(&read.stdout);
        let mut figures: Vec<String> = Vec::new();
        let mut depth = None;
        for line in tree.lines() {
            let indent = line.len() - line.trim_start().len();
            if line.trim() == "Figure:" || line.trim().starts_with("Figure (") {
                figures.push(String::new());
                depth = Some(indent);
            } else if depth.is_some_and(|depth| indent <= depth) {
                depth = None;
            } else if let (Some(_), Some(figure), Some(words)) =
                (depth, figures.last_mut(), line.trim().strip_prefix('"'))
            {
                figure.push_str(words.trim_end_matches('"'));
            }
        }
        figures
    }

    /// A page as PNG, in grey as a plain printer shows it.
    pub fn picture(&self, page: usize, dots_per_inch: u32) -> PathBuf {
        let (page, dots) = (page.to_string(), dots_per_inch.to_string());
        let name = self.room.path().join(format!("page-{page}-{dots}"));
        let arguments = ["-png", "-gray", "-singlefile", "-f", &page, "-l", &page, "-r", &dots];
        run_to("pdftoppm", &arguments, &self.path, &[name.to_str().expect("a plain name")]);
        name.with_extension("png")
    }

    /// Whether a word stands in a box: somewhere to its left is the heavy edge of one, 4 pt wide.
    pub fn is_boxed(&self, page: usize, word: &Word) -> bool {
        const DOTS: usize = 4;
        let grey = self.grey(page, 72 * DOTS);
        let at = |points: f64| (points * DOTS as f64) as usize;
        let row = at((word.place.top + word.place.bottom) / 2.0);
        let dots = &grey.dots[row * grey.width..row * grey.width + at(word.place.left)];
        dots.split(|dot| *dot > 100).any(|dark| (4 * DOTS - 2..=4 * DOTS + 2).contains(&dark.len()))
    }

    /// A page as the brightness of its dots.
    fn grey(&self, page: usize, dots_per_inch: usize) -> Grey {
        let (page, dots) = (page.to_string(), dots_per_inch.to_string());
        let name = self.room.path().join(format!("grey-{page}-{dots}"));
        let arguments = ["-gray", "-singlefile", "-f", &page, "-l", &page, "-r", &dots];
        run_to("pdftoppm", &arguments, &self.path, &[name.to_str().expect("a plain name")]);
        let bytes = std::fs::read(name.with_extension("pgm")).expect("a picture");
        // `P5 width height 255` and a blank, then a byte a dot.
        let head: Vec<&[u8]> = bytes.splitn(4, |byte| byte.is_ascii_whitespace()).collect();
        let width = std::str::from_utf8(head[1]).ok().and_then(|width| width.parse().ok()).expect("a width");
        let dots = head[3][b"255\n".len()..].to_vec();
        Grey { width, dots }
    }

    /// How tall the ink of a word is, as it is printed.
    pub fn ink_height(&self, page: usize, word: &Word) -> f64 {
        const DOTS: usize = 12;
        let grey = self.grey(page, 72 * DOTS);
        let at = |points: f64| (points * DOTS as f64).round() as usize;
        let (left, right) = (at(word.place.left), at(word.place.right));
        let inked =
            |row: &usize| grey.dots[row * grey.width + left..row * grey.width + right].iter().any(|dot| *dot < 128);
        // Its place is as high as letters can be: from its middle as far as there is ink, not as far as the next line.
        let middle = at(word.place.middle().1);
        let above = (0..=middle).rev().take_while(inked).count();
        let below = (middle + 1..grey.dots.len() / grey.width).take_while(inked).count();
        (above + below) as f64 / DOTS as f64
    }

    /// What the QR codes of a page say, read by zbar from its picture, in any order.
    pub fn codes(&self, page: usize, dots_per_inch: u32) -> Vec<String> {
        codes(&self.picture(page, dots_per_inch))
    }

    /// All words of all pages in reading order.
    pub fn text(&self) -> String {
        self.leaves.iter().map(Leaf::text).collect::<Vec<_>>().join(" ")
    }

    /// Everything that must hold for whatever we print: fonts embedded and readable, a title, tags, no word cut off or
    /// over another, no type under `least`, nothing nearer to the edge than `margin`.
    pub fn faults(&self, least: f64, margin: f64) -> Vec<String> {
        let mut found = Vec::new();
        for font in self.fonts.iter().filter(|font| !font.embedded || !font.readable) {
            found.push(format!("{} is not embedded or not readable", font.name));
        }
        if !self.about.tagged || self.about.title.as_deref().is_none_or(str::is_empty) {
            found.push(format!("no tags or no title: {:?}", self.about));
        }
        for (number, leaf) in (1..).zip(&self.leaves) {
            for run in leaf.runs.iter().filter(|run| run.size < least && !run.text.trim().is_empty()) {
                found.push(format!("page {number}: “{}” is set in {:.1} pt", run.text, run.size));
            }
            for word in leaf.outside(leaf.place().inset(margin)) {
                found.push(format!("page {number}: “{}” is too near the edge, {:?}", word.text, word.place));
            }
            for (one, other) in leaf.overlaps() {
                found.push(format!("page {number}: “{}” lies over “{}”, {:?}", one.text, other.text, one.place));
            }
        }
        found
    }
}

/// What the QR codes in a picture say.
pub fn codes(picture: &Path) -> Vec<String> {
    let arguments = ["--quiet", "--raw", "-Sdisable", "-Sqrcode.enable"];
    let done = Command::new(program("zbarimg")).args(arguments).arg(picture).output().expect("zbarimg starts");
    // It ends with 4 where it finds nothing.
    assert!(matches!(done.status.code(), Some(0 | 4)), "zbarimg: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).expect("zbarimg writes UTF-8").lines().map(str::to_owned).collect()
}

fn run(name: &str, arguments: &[&str], path: &Path) -> String {
    run_to(name, arguments, path, &[])
}

fn run_to(name: &str, arguments: &[&str], path: &Path, after: &[&str]) -> String {
    let done = Command::new(program(name)).args(arguments).arg(path).args(after).output();
    let done = done.unwrap_or_else(|error| panic!("{name} does not start: {error}"));
    assert!(done.status.success(), "{name}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).unwrap_or_else(|_| panic!("{name} writes UTF-8"))
}

/// Lines as `Page    1 size:  297.638 x 419.528 pts (A6)`.
fn page_sizes(info: &str) -> Vec<(f64, f64)> {
    let lines = info.lines().filter(|line| line.starts_with("Page ")).filter_map(|line| line.split_once("size:"));
    let sizes = lines.map(|(_, size)| {
        let mut numbers = size.split_whitespace().filter_map(|word| word.parse::<f64>().ok());
        let mut next = || numbers.next().unwrap_or_else(|| panic!("two numbers stand in {size}"));
        (next(), next())
    });
    sizes.collect()
}

fn about(info: &str) -> About {
    let said = |name: &str| info.lines().find_map(|line| line.strip_prefix(name)).map(|value| value.trim().to_owned());
    About { title: said("Title:"), tagged: said("Tagged:").as_deref() == Some("yes") }
}

/// Lines as `AAAAAA+Name   CID TrueType   Identity-H   yes yes yes   4  0` below two lines of heading.
fn fonts(table: &str) -> Vec<Font> {
    let rows = table.lines().skip(2).map(|row| {
        let words: Vec<&str> = row.split_whitespace().collect();
        let at = words.iter().position(|word| ["yes", "no"].contains(word)).expect("a column that says yes or no");
        Font { name: words[0].to_owned(), embedded: words[at] == "yes", readable: words[at + 2] == "yes" }
    });
    rows.collect()
}

/// `<page …>` and `<word xMin="…" …>text</word>`, each on a line.
fn leaves(xml: &str) -> Vec<Leaf> {
    let mut leaves: Vec<Leaf> = Vec::new();
    for line in xml.lines().map(str::trim) {
        if line.starts_with("<page ") {
            leaves.push(Leaf { width: 0.0, height: 0.0, words: Vec::new(), runs: Vec::new() });
        } else if line.starts_with("<word ") {
            let [left, top, right, bottom] = ["xMin", "yMin", "xMax", "yMax"].map(|name| number(line, name));
            let word = Word { text: inside(line), place: Rect { left, top, right, bottom } };
            leaves.last_mut().expect("words stand on a page").words.push(word);
        }
    }
    leaves
}

/// `<page number="1" …>`, `<fontspec id="0" size="36" …/>` and `<text top="…" … font="0">…</text>`; ids count through
/// the file, and a font is named on the first page that has it.
fn put_runs(xml: &str, leaves: &mut [Leaf]) {
    let mut sizes: Vec<(String, f64)> = Vec::new();
    let mut page = 0;
    for line in xml.lines().map(str::trim) {
        if line.starts_with("<page ") {
            page = attribute(line, "number").parse::<usize>().expect("a number") - 1;
        } else if line.starts_with("<fontspec ") {
            sizes.push((attribute(line, "id").to_owned(), number(line, "size") / DOTS));
        } else if line.starts_with("<text ") {
            let [left, top, width, height] = ["left", "top", "width", "height"].map(|name| number(line, name) / DOTS);
            let font = attribute(line, "font");
            let size = sizes.iter().rev().find(|(id, _)| id == font).expect("its font is named before it").1;
            let place = Rect { left, top, right: left + width, bottom: top + height };
            leaves[page].runs.push(Run { text: inside(line), place, size });
        }
    }
}

fn attribute<'a>(tag: &'a str, name: &str) -> &'a str {
    let found = tag.split_once(&format!(" {name}=\"")).and_then(|(_, rest)| rest.split_once('"'));
    found.unwrap_or_else(|| panic!("{tag} has no {name}")).0
}

fn number(tag: &str, name: &str) -> f64 {
    attribute(tag, name).parse().unwrap_or_else(|_| panic!("{name} of {tag} is a number"))
}

/// The text of an element on one line, without marks of bold and of links.
fn inside(line: &str) -> String {
    let (mut text, mut rest) = (String::new(), line);
    while let Some((before, after)) = rest.split_once('<') {
        text.push_str(before);
        rest = after.split_once('>').map_or("", |(_, after)| after);
    }
    let names = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#34;", "\""),
        ("&#39;", "'"),
        ("&apos;", "'"),
        ("&#160;", "\u{a0}"),
    ];
    let text = names.iter().fold(text + rest, |text, (name, sign)| text.replace(name, sign));
    text.replace("&amp;", "&")
}
