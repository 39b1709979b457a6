//! How much drawing a drawing is, told before it is drawn.
//!
//! A few lines can ask for more than any printer could take: parts that show other parts ten times, which show others
//! ten times again. So parts are counted as often as they would be drawn, by what refers to what, and a drawing that is
//! too much of one is not begun. Where in doubt a part is counted too often, never too seldom.

use std::collections::{BTreeMap, HashMap, HashSet};
use usvg::roxmltree::{Document, Node, NodeId};

/// The most that is drawn, in bytes as a file would hold it with everything written out.
const MOST: u64 = 4_000_000;
/// The deepest that parts lie in parts, those that they show included. What draws goes down by its own calls.
const DEEPEST: usize = 64;
/// What an element is beside its words.
const ELEMENT: u64 = 64;
/// What a picture in a drawing is: each time it is shown, it is read.
const PICTURE: u64 = 400_000;

/// The most attributes of an element, declarations of names in a file, and selectors and values of its style sheets:
/// each of them is held against many others.
const MOST_ATTRIBUTES: usize = 200;
const MOST_NAMESPACES: usize = 200;
const MOST_RULES: usize = 1_000;
/// The most letters that are set together, in bytes: twice as many take four times as long.
const MOST_LETTERS: usize = 1_000;
/// What words are that begin at a place of their own: for each the font is opened.
const PIECE: u64 = 2_000;

/// Whether the text of a drawing can be read in reasonable time.
pub(super) fn is_readable(text: &str) -> bool {
    let mut depth = 0usize;
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        rest = &rest[at..];
        let skipped = [("<!--", "-->"), ("<![CDATA[", "]]>")];
        if let Some((open, close)) = skipped.iter().find(|(open, _)| rest.starts_with(open)) {
            let Some(end) = rest[open.len()..].find(close) else { return false };
            rest = &rest[open.len() + end + close.len()..];
            continue;
        }
        let (mut quote, mut attributes, mut end) = (None, 0, None);
        for (at, letter) in rest.bytes().enumerate() {
            match (quote, letter) {
                (None, b'>') => {
                    end = Some(at);
                    break;
                }
                (None, b'"' | b'\'') => (quote, attributes) = (Some(letter), attributes + 1),
                (Some(open), letter) if open == letter => quote = None,
                _ => {}
            }
        }
        let Some(end) = end else { return false };
        let tag = &rest[1..end];
        match tag.as_bytes().first() {
            Some(b'/') => depth = depth.saturating_sub(1),
            Some(b'!' | b'?') => {}
            _ if tag.ends_with('/') => {}
            _ => depth += 1,
        }
        if depth > DEEPEST || attributes > MOST_ATTRIBUTES {
            return false;
        }
        rest = &rest[end + 1..];
    }
    text.matches("xmlns").nth(MOST_NAMESPACES).is_none()
}

/// Whether a drawing can be drawn in reasonable time.
pub(super) fn is_light(drawing: &Document<'_>) -> bool {
    let sheets = drawing.descendants().filter(|node| node.tag_name().name() == "style");
    let sheets = sheets.flat_map(|sheet| sheet.children()).filter_map(|child| child.text());
    if sheets.flat_map(|text| text.matches(['{', ','])).nth(MOST_RULES).is_some() {
        return false;
    }
    let mut scales = Scales::new(drawing);
    scales.weigh(drawing.root_element(), 0).is_some()
}

/// How what an element refers to is drawn.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Drawn {
    /// Once for the element.
    Once,
    /// For everything that is in the element, which takes it over.
    WithAll,
    /// At every corner of everything that is in the element.
    AtCorners,
}

/// What an element is with everything that is drawn for it.
#[derive(Clone, Copy)]
struct Weight {
    bytes: u64,
    /// How far its parts lie below it.
    height: usize,
}

/// A rule of a style sheet that refers to parts.
struct Rule<'d> {
    /// The classes that an element must have.
    classes: Vec<&'d str>,
    refers: Vec<(&'d str, Drawn)>,
}

struct Scales<'d> {
    parts: BTreeMap<&'d str, Node<'d, 'd>>,
    rules: Vec<Rule<'d>>,
    /// Most corners that a line of the drawing can have.
    corners: u64,
    known: HashMap<NodeId, Weight>,
    /// Parts that are being weighed: none may show itself.
    open: HashSet<NodeId>,
}

impl<'d> Scales<'d> {
    fn new(drawing: &'d Document<'_>) -> Scales<'d> {
        let mut scales = Scales {
            parts: BTreeMap::new(),
            rules: Vec::new(),
            corners: 0,
            known: HashMap::new(),
            open: HashSet::new(),
        };
        for node in drawing.descendants().filter(Node::is_element) {
            if let Some(id) = node.attribute("id") {
                scales.parts.entry(id).or_insert(node);
            }
            if node.tag_name().name() == "style" {
                let texts = node.children().filter_map(|child| child.text());
                texts.for_each(|text| scales.rules.extend(rules(text)));
            }
            let longest = ["d", "points"].iter().filter_map(|name| node.attribute(*name)).map(str::len).max();
            scales.corners = scales.corners.max(longest.unwrap_or(0) as u64 / 2);
        }
        scales
    }

    /// Nothing where an element is too much, shows itself or lies too deep.
    fn weigh(&mut self, node: Node<'d, 'd>, depth: usize) -> Option<Weight> {
        if let Some(known) = self.known.get(&node.id()) {
            return Some(*known).filter(|known| depth + known.height <= DEEPEST);
        }
        if depth > DEEPEST || !self.open.insert(node.id()) {
            return None;
        }
        let name = node.tag_name().name();
        // Words from elsewhere could be any number.
        if name == "tref" || name == "text" && !is_short(node) {
            return None;
        }
        let (mut bytes, mut height) = (own_weight(node), 0);
        let is_silent = ["style", "title", "desc"].contains(&name);
        for child in node.children() {
            if child.is_element() {
                let inner = self.weigh(child, depth + 1)?;
                bytes = bytes.saturating_add(inner.bytes);
                height = height.max(inner.height + 1);
            } else if child.is_text() && !is_silent {
                // Each letter is drawn by itself.
                let letters = child.text().map_or(0, |text| text.split_whitespace().map(str::len).sum());
                bytes = bytes.saturating_add(ELEMENT.saturating_mul(letters as u64));
            }
        }
        let (mut times, mut once) = (1u64, 0u64);
        for (id, drawn) in self.refers(node) {
            let Some(part) = self.parts.get(id).copied() else { continue };
            let part = self.weigh(part, depth + 1)?;
            height = height.max(part.height + 1);
            let elements = part.bytes.div_ceil(ELEMENT);
            match drawn {
                Drawn::Once => once = once.saturating_add(part.bytes),
                Drawn::WithAll => times = times.saturating_add(elements),
                Drawn::AtCorners => times = times.saturating_add(elements.saturating_mul(self.corners)),
            }
        }
        self.open.remove(&node.id());
        let bytes = bytes.saturating_add(once).saturating_mul(times);
        let weight = Some(Weight { bytes, height }).filter(|weight| weight.bytes <= MOST)?;
        self.known.insert(node.id(), weight);
        Some(weight)
    }

    /// Parts that an element refers to.
    fn refers(&self, node: Node<'d, 'd>) -> Vec<(&'d str, Drawn)> {
        let mut found = Vec::new();
        for one in node.attributes() {
            match one.name() {
                "href" => found.extend(one.value().trim().strip_prefix('#').map(|id| (id, Drawn::Once))),
                "style" => found.extend(declared(one.value())),
                name => found.extend(addresses(one.value()).map(|id| (id, how(name)))),
            }
        }
        let classes: Vec<&str> = node.attribute("class").unwrap_or("").split_whitespace().collect();
        let fits = self.rules.iter().filter(|rule| rule.classes.iter().all(|class| classes.contains(class)));
        found.extend(fits.flat_map(|rule| rule.refers.iter().copied()));
        found
    }
}

/// Whether the words that an element sets are set in reasonable time.
fn is_short(text: Node<'_, '_>) -> bool {
    let letters: usize = text.descendants().filter(Node::is_text).filter_map(|one| one.text()).map(str::len).sum();
    letters <= MOST_LETTERS
}

fn own_weight(node: Node<'_, '_>) -> u64 {
    let name = node.tag_name().name();
    if name == "image" {
        return PICTURE;
    }
    let places = |name| node.attribute(name).map_or(0, |list: &str| list.split([' ', ',']).count());
    let pieces = match name {
        "text" | "tspan" | "textPath" => places("x").max(places("y")).max(1) as u64,
        _ => 0,
    };
    let words: u64 = node.attributes().map(|one| one.value().len() as u64).sum();
    ELEMENT + words + PIECE * pieces
}

/// How a property draws what it refers to. Paints and marks are handed down to everything in an element.
fn how(property: &str) -> Drawn {
    match property.trim() {
        "fill" | "stroke" | "marker-start" | "marker-end" => Drawn::WithAll,
        "marker" | "marker-mid" => Drawn::AtCorners,
        _ => Drawn::Once,
    }
}

/// Names of parts in `url(#…)`.
fn addresses(value: &str) -> impl Iterator<Item = &str> {
    value.split("url(").skip(1).filter_map(|rest| {
        let inside = rest.split(')').next()?.trim().trim_matches(['"', '\'']).trim();
        inside.strip_prefix('#')
    })
}

/// What declarations such as `fill: url(#cloth); stroke: none` refer to.
fn declared(text: &str) -> impl Iterator<Item = (&str, Drawn)> {
    text.split(';').filter_map(|one| one.split_once(':')).flat_map(|(name, value)| {
        let drawn = how(name);
        addresses(value).map(move |id| (id, drawn))
    })
}

/// The rules of a style sheet that refer to parts; of selectors only the classes of the element itself are looked at, so
/// that a rule is taken to hold for more elements than it does, and never for fewer.
fn rules(sheet: &str) -> Vec<Rule<'_>> {
    let mut rules = Vec::new();
    for piece in sheet.split('}') {
        let Some((before, declarations)) = piece.rsplit_once('{') else { continue };
        let refers: Vec<_> = declared(declarations).collect();
        if refers.is_empty() {
            continue;
        }
        let selectors = before.rsplit(['{', ';']).next().unwrap_or(before);
        let selectors = selectors.rsplit("*/").next().unwrap_or(selectors);
        for selector in selectors.split(',') {
            let last = selector.trim().rsplit([' ', '\n', '\t', '>', '+', '~']).next().unwrap_or("");
            let is_plain = last.chars().all(|c| c.is_alphanumeric() || ".#-_*".contains(c));
            let pieces = last.split('.').skip(1).map(|class| class.split('#').next().unwrap_or(class));
            let classes = if is_plain { pieces.collect() } else { Vec::new() };
            rules.push(Rule { classes, refers: refers.clone() });
        }
    }
    rules
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is_light(inside: &str) -> bool {
        let text =
            format!("<svg xmlns='http://www.w3.org/2000/svg' xmlns:x='http://www.w3.org/1999/xlink'>{inside}</svg>");
        super::is_light(&Document::parse(&text).unwrap())
    }

    /// Ten parts, each of which shows the one before it ten times, as `show` writes it down.
    fn tenfold(part: impl Fn(usize, &str) -> String, show: impl Fn(usize) -> String) -> String {
        (1..10).map(|level| part(level, &show(level - 1).repeat(10))).collect()
    }

    #[test]
    fn usual_drawings_are_light() {
        for inside in [
            "<path d='M0 0h6'/>",
            "<defs><pattern id='h'><path d='M0 0h6M0 0v6'/></pattern></defs><g fill='url(#h)'><path d='M0 0'/></g>",
            "<style>.a{clip-path:url(#c)}.b{fill:red}</style><clipPath id='c'><path class='b'/></clipPath><g class='a'/>",
            "<linearGradient id='a' href='#b'/><linearGradient id='b'><stop/></linearGradient><path fill='url(#a)'/>",
            "<marker id='m'><path d='M0 0l4 4'/></marker><path marker-end='url(#m)' d='M0 0h100'/><use href='#none'/>",
            &"<path d='M0 0c1 2 3 4 5 6z' style='fill:#fff;stroke:#000'/>".repeat(5000),
        ] {
            assert!(is_light(inside), "{inside:.200}");
        }
    }

    #[test]
    fn parts_that_show_parts_ten_times_over_are_counted_as_often() {
        let group = |level: usize, inside: &str| format!("<g id='p{level}'>{inside}</g>");
        for bomb in [
            tenfold(group, |level| format!("<use href='#p{level}'/>")),
            tenfold(group, |level| format!("<use x:href=' #p{level}'/>")),
            tenfold(
                |level, inside| format!("<pattern id='p{level}'>{inside}</pattern>"),
                |level| format!("<path fill='url(#p{level})'/>"),
            ),
            tenfold(
                |level, inside| format!("<mask id='p{level}'>{inside}</mask>"),
                |level| format!("<path style='x:y;mask : url( \"#p{level}\" )'/>"),
            ),
            format!(
                "<style>/* a; */ {}</style>{}",
                (0..10).map(|level| format!("g > .c{level}{{clip-path:url(#p{level})}}")).collect::<String>(),
                tenfold(
                    |level, inside| format!("<clipPath id='p{level}'>{inside}</clipPath>"),
                    |level| format!("<path class='a c{level}'/>"),
                )
            ),
        ] {
            let first = "<path id='p0' d='M0 0'/>";
            assert!(!is_light(&format!("{first}{bomb}<use href='#p9'/>")), "{bomb:.300}");
        }
    }

    #[test]
    fn what_a_group_hands_down_counts_for_everything_in_it() {
        let shapes = "<path d='M0 0h1'/>".repeat(800);
        let part = |name: &str| format!("<{name} id='p'>{shapes}</{name}>");
        assert!(!is_light(&format!("{}<g fill='url(#p)'>{shapes}</g>", part("pattern"))));
        assert!(is_light(&format!("{}<path fill='url(#p)'/>", part("pattern"))));
        let corners = "l1 1".repeat(2000);
        assert!(!is_light(&format!("{}<path marker-mid='url(#p)' d='M0 0{corners}'/>", part("marker"))));
        let text = |letters: usize| format!("<text id='t'>{}</text>", "m".repeat(letters));
        assert!(is_light(&format!("{}{}", text(900), "<use href='#t'/>".repeat(40))));
        assert!(!is_light(&format!("{}{}", text(900), "<use href='#t'/>".repeat(80))));
        let pieces = format!("<text>{}</text>", "<tspan>m</tspan>".repeat(900));
        let places = format!("<text x='{}'>{}</text>", "1 ".repeat(900), "m".repeat(900));
        assert!(!is_light(&pieces.repeat(3)) && !is_light(&places.repeat(3)) && !is_light(&text(1100)));
        assert!(is_light(&"<text x='1' y='2'>clear whey</text>".repeat(500)));
        assert!(!is_light("<title id='a'>milk</title><text><tref href='#a'/></text>"));
    }

    #[test]
    fn what_is_held_against_much_else_is_little() {
        let tag =
            |count: usize| format!("<g {}/>", (0..count).map(|at| format!("a{at}=''")).collect::<Vec<_>>().join(" "));
        assert!(is_readable(&tag(100)) && !is_readable(&tag(300)));
        let names = |count: usize| "<g xmlns:a='b'/>".repeat(count);
        assert!(is_readable(&names(100)) && !is_readable(&names(300)));
        let deep =
            |levels: usize| format!("{}<!-- cook's </g> > -->{}", "<g a='>'>".repeat(levels), "</g>".repeat(levels));
        assert!(is_readable(&deep(60)) && !is_readable(&deep(70)) && is_readable(&deep(60).repeat(9)));
        assert!(!is_readable("<g") && !is_readable("<g a='>") && !is_readable("<!--") && !is_readable("<![CDATA["));
        let sheet = |count: usize| format!("<style>{}</style>", ".a,.b{fill:red}".repeat(count));
        assert!(is_light(&sheet(500)) && !is_light(&sheet(5000)));
    }

    #[test]
    fn what_shows_itself_or_lies_too_deep_is_refused() {
        assert!(!is_light("<g id='a'><use href='#a'/></g>"));
        assert!(!is_light("<g id='a'><use href='#b'/></g><g id='b'><use href='#a'/></g>"));
        let deep = |levels: usize| format!("{}{}", "<g>".repeat(levels), "</g>".repeat(levels));
        assert!(is_light(&deep(60)) && !is_light(&deep(70)) && !is_light(&deep(100_000)));
        let chain: String = (1..80).map(|at| format!("<g id='p{at}'><use href='#p{}'/></g>", at - 1)).collect();
        assert!(!is_light(&chain));
    }
}
