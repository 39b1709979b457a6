//! A page as a browser builds it: its links, ids, pictures, headings and words.

use html5ever::tendril::TendrilSink;
use markup5ever_rcdom::{Handle, NodeData, RcDom};
use std::collections::{BTreeMap, BTreeSet};

/// An element: its name and its attributes, and what it says.
pub struct Element {
    pub name: String,
    pub attributes: BTreeMap<String, String>,
    pub text: String,
    /// Whether it holds a `title` of its own, as drawings do.
    pub titled: bool,
}

impl Element {
    pub fn attribute(&self, key: &str) -> Option<&str> {
        self.attributes.get(key).map(String::as_str)
    }
}

/// All elements of a page in their order, and the words that a reader meets.
pub struct Page {
    pub elements: Vec<Element>,
    /// The words of each block, code left out; then those of attributes that are read aloud.
    pub blocks: Vec<String>,
}

/// Elements that stand in a line of words.
const IN_LINE: &[&str] =
    &["a", "abbr", "b", "button", "cite", "em", "i", "q", "small", "span", "strong", "sub", "sup", "time"];
/// What nobody reads as prose.
const UNREAD: &[&str] = &["script", "style", "template"];
/// What stands for itself, letter by letter. A sign takes its place, so that words around it do not touch.
const VERBATIM: &[&str] = &["code", "pre", "kbd", "samp"];
/// Attributes whose words are shown or read aloud.
const SPOKEN: &[&str] = &["alt", "aria-label", "placeholder", "title"];

impl Page {
    pub fn read(source: &str) -> Page {
        let dom = html5ever::parse_document(RcDom::default(), Default::default()).one(source);
        let mut page = Page { elements: Vec::new(), blocks: vec![String::new()] };
        page.gather(&dom.document);
        let spoken: Vec<String> = (page.elements.iter())
            .flat_map(|element| SPOKEN.iter().filter_map(|key| element.attribute(key)).map(str::to_owned))
            .collect();
        page.blocks.extend(spoken);
        page.blocks.retain(|block| !block.trim().is_empty());
        page
    }

    fn gather(&mut self, node: &Handle) {
        match &node.data {
            NodeData::Text { contents } => {
                self.blocks.last_mut().expect("one block at least").push_str(&contents.borrow());
            }
            NodeData::Element { name, attrs, .. } => {
                let tag = &*name.local;
                let attributes =
                    attrs.borrow().iter().map(|one| (one.name.local.to_string(), one.value.to_string())).collect();
                let titled = node.children.borrow().iter().any(is_title);
                self.elements.push(Element { name: tag.to_owned(), attributes, text: words(node), titled });
                // Other forms of a term, which authors may write: American ones among them.
                let is_forms = attrs.borrow().iter().any(|one| &*one.name.local == "class" && &*one.value == "also");
                if UNREAD.contains(&tag) || is_forms {
                    return;
                }
                if VERBATIM.contains(&tag) {
                    self.blocks.last_mut().expect("one block at least").push('\u{FFFC}');
                    return;
                }
                let parts = !IN_LINE.contains(&tag);
                self.blocks.extend(parts.then(String::new));
                node.children.borrow().iter().for_each(|child| self.gather(child));
                self.blocks.extend(parts.then(String::new));
            }
            _ => node.children.borrow().iter().for_each(|child| self.gather(child)),
        }
    }

    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.elements.iter().filter_map(|element| element.attribute("id"))
    }

    /// Ids that stand on the page more than once.
    pub fn repeated_ids(&self) -> Vec<String> {
        let mut known = BTreeSet::new();
        self.ids().filter(|id| !known.insert(id.to_owned())).map(|id| format!("the id {id} stands twice")).collect()
    }

    /// Names of other elements that none on the page has.
    pub fn lost_ids(&self) -> Vec<String> {
        const NAMING: &[&str] =
            &["aria-controls", "aria-describedby", "aria-labelledby", "for", "headers", "list", "popovertarget"];
        let known: BTreeSet<&str> = self.ids().collect();
        let mut faults = Vec::new();
        for element in &self.elements {
            for (key, value) in NAMING.iter().filter_map(|key| Some((key, element.attribute(key)?))) {
                let lost = value.split_whitespace().filter(|id| !known.contains(id));
                faults.extend(lost.map(|id| format!("{key} of {} names {id}, which is not there", element.name)));
            }
        }
        faults
    }

    /// Pictures that say nothing to those who cannot see them.
    pub fn mute_pictures(&self) -> Vec<String> {
        let hidden = |element: &Element| {
            matches!(element.attribute("role"), Some("presentation" | "none"))
                || element.attribute("aria-hidden") == Some("true")
        };
        let mute = |element: &Element| match element.name.as_str() {
            "img" => match element.attribute("alt").map(str::trim) {
                None => true,
                Some("") => !hidden(element),
                Some(_) => false,
            },
            "svg" => {
                let named = ["aria-label", "aria-labelledby"].iter().any(|key| element.attribute(key).is_some());
                // A plan says in its own letters what it shows.
                !named && element.text.trim().is_empty() && !hidden(element)
            }
            _ => false,
        };
        let source = |element: &Element| element.attribute("src").unwrap_or("drawn here").chars().take(60).collect();
        (self.elements.iter().filter(|element| mute(element)))
            .map(|element| (element.name.as_str(), source(element)))
            .map(|(name, source): (&str, String)| format!("{name} without words: {source}"))
            .collect()
    }

    /// Headings that stand more than one level below the last.
    pub fn skipped_levels(&self) -> Vec<String> {
        let mut last = 0;
        let mut faults = Vec::new();
        for element in &self.elements {
            let level = match element.name.as_bytes() {
                [b'h', level @ b'1'..=b'6'] => level - b'0',
                _ => continue,
            };
            if level > last + 1 {
                faults.push(format!("h{level} after h{last}: {}", element.text.trim()));
            }
            last = level;
        }
        faults
    }
}

fn is_title(node: &Handle) -> bool {
    matches!(&node.data, NodeData::Element { name, .. } if &*name.local == "title") && !words(node).trim().is_empty()
}

fn words(node: &Handle) -> String {
    match &node.data {
        NodeData::Text { contents } => contents.borrow().to_string(),
        _ => node.children.borrow().iter().map(words).collect(),
    }
}

/// Whether a drawing (SVG) has a title with words in it.
pub fn drawing_is_titled(source: &str) -> bool {
    Page::read(source).elements.iter().any(|element| element.name == "svg" && element.titled)
}

/// What leads nowhere on a site, by the page it stands on. Addresses outside of the site are not followed.
pub fn dead_links(files: &BTreeSet<String>, pages: &BTreeMap<String, Page>) -> Vec<String> {
    let mut faults = Vec::new();
    for (name, page) in pages {
        for element in &page.elements {
            let keys = ["href", "src", "poster", "data"];
            for address in keys.iter().filter_map(|key| element.attribute(key)) {
                let dead = dead(address, name, files, pages);
                faults.extend(dead.then(|| format!("{name}: {} leads to {address}", element.name)));
            }
        }
    }
    faults
}

fn dead(address: &str, page: &str, files: &BTreeSet<String>, pages: &BTreeMap<String, Page>) -> bool {
    if ["https:", "http:", "mailto:", "tel:", "data:"].iter().any(|scheme| address.starts_with(scheme)) {
        return false;
    }
    let (path, fragment) = address.split_once('#').unwrap_or((address, ""));
    let path = path.split('?').next().unwrap_or("");
    let Some(target) = resolved(page, &decoded(path)) else { return true };
    if !files.contains(&target) {
        return true;
    }
    let fragment = decoded(fragment);
    let is_there = pages.get(&target).is_none_or(|page| page.ids().any(|id| id == fragment));
    !fragment.is_empty() && !is_there
}

/// A path from a page, as the site names its files; nothing where it leaves the site.
fn resolved(page: &str, path: &str) -> Option<String> {
    if path.is_empty() {
        return Some(page.to_owned());
    }
    if path.starts_with('/') {
        return None;
    }
    let mut parts: Vec<&str> = page.split('/').collect();
    parts.pop();
    for part in path.split('/') {
        match part {
            "." => {}
            ".." => drop(parts.pop()?),
            _ => parts.push(part),
        }
    }
    Some(parts.join("/"))
}

fn decoded(text: &str) -> String {
    let mut bytes = Vec::new();
    let mut rest = text.as_bytes();
    while let [first, tail @ ..] = rest {
        let hex = (*first == b'%').then(|| tail.get(..2)).flatten();
        match hex.and_then(|hex| u8::from_str_radix(std::str::from_utf8(hex).ok()?, 16).ok()) {
            Some(byte) => {
                bytes.push(byte);
                rest = &tail[2..];
            }
            None => {
                bytes.push(*first);
                rest = tail;
            }
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}
