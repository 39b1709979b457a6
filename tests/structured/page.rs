//! A page as a browser builds it, and what its data say otherwise than it shows.

use super::vocabulary::walk;
use html5ever::tendril::TendrilSink;
use markup5ever_rcdom::{Handle, NodeData, RcDom};
use serde_json::{Map, Value};
use std::collections::{BTreeMap, BTreeSet};

/// A page of a site.
pub struct Page {
    pub name: String,
    pub source: String,
    /// Its linked data.
    pub data: Option<Value>,
    dom: RcDom,
}

/// Without blanks: where the tree of a page has none, words of neighbouring blocks touch.
pub fn squeezed(text: &str) -> String {
    text.split_whitespace().collect()
}

impl Page {
    pub fn read(name: &str, source: &str) -> Page {
        let dom = html5ever::parse_document(RcDom::default(), Default::default()).one(source);
        let mut page = Page { name: name.to_owned(), source: source.to_owned(), data: None, dom };
        let data = page.all(&|node| attribute(node, "type").as_deref() == Some("application/ld+json"));
        assert!(data.len() <= 1, "{name}: one block of data");
        page.data = data.first().map(|node| serde_json::from_str(&words(node)).expect("JSON"));
        page
    }

    fn all(&self, wanted: &dyn Fn(&Handle) -> bool) -> Vec<Handle> {
        let mut found = Vec::new();
        gather(&self.dom.document, wanted, &mut found);
        found
    }

    /// Where the first link of a kind leads.
    pub fn link(&self, rel: &str) -> Option<String> {
        let links = self.all(&|node| element(node) == Some("link") && attribute(node, "rel").as_deref() == Some(rel));
        links.first().and_then(|link| attribute(link, "href"))
    }

    /// What a meta element says.
    pub fn meta(&self, name: &str) -> Option<String> {
        let named =
            |node: &Handle| ["name", "property"].iter().any(|key| attribute(node, key).as_deref() == Some(name));
        self.all(&|node| element(node) == Some("meta") && named(node))
            .first()
            .and_then(|meta| attribute(meta, "content"))
    }

    /// The words of an element, without blanks.
    pub fn text(&self, name: &str) -> String {
        self.all(&|node| element(node) == Some(name)).iter().map(|node| squeezed(&words(node))).collect()
    }

    /// How many elements of a name lie within those of a class: `ledger li`.
    pub fn count(&self, path: &str) -> usize {
        let (class, name) = path.split_once(' ').expect("a class and an element");
        let within = self.all(&|node| has_class(node, class));
        let mut found = Vec::new();
        within.iter().for_each(|node| gather(node, &|node| element(node) == Some(name), &mut found));
        found.len()
    }

    fn with_id(&self, id: &str) -> Option<Handle> {
        self.all(&|node| attribute(node, "id").as_deref() == Some(id)).into_iter().next()
    }

    /// What the data say otherwise than the pages.
    pub fn faults(&self, pages: &BTreeMap<&str, Page>, address: &str) -> Vec<String> {
        let mut faults = Vec::new();
        let Some(data) = &self.data else { return faults };
        let mut known: BTreeSet<String> = BTreeSet::new();
        for page in pages.values().filter(|page| page.name != self.name).chain([self]) {
            let Some(data) = &page.data else { continue };
            walk(data, &mut |node| {
                let id = node.get("@id").and_then(Value::as_str).filter(|_| node.len() > 1);
                known.extend(id.map(|id| page.whole(id, address)));
            });
        }
        walk(data, &mut |node| {
            let text = |key: &str| node.get(key).and_then(Value::as_str).unwrap_or_default();
            if node.len() == 1 && node.contains_key("@id") && !known.contains(&self.whole(text("@id"), address)) {
                faults.push(format!("nothing is called {}", text("@id")));
            }
            for url in [text("url")].into_iter().filter(|url| !url.is_empty()) {
                faults.extend(self.led_astray(url, pages, address));
            }
            match text("@type") {
                "HowToStep" => faults.extend(self.step_fault(node)),
                "Recipe" => faults.extend(self.ingredient_faults(node)),
                "DefinedTerm" => faults.extend(self.term_fault(node, pages, address)),
                _ => {}
            }
        });
        faults
    }

    /// A name as a whole address, or as a page and a fragment where the site has none.
    fn whole(&self, id: &str, address: &str) -> String {
        let id = id.strip_prefix(address).filter(|_| !address.is_empty()).unwrap_or(id);
        let (page, fragment) = id.split_once('#').unwrap_or((id, ""));
        let page = if page.is_empty() && address.is_empty() { self.name.as_str() } else { page };
        let page = if page.is_empty() { "index.html" } else { page };
        format!("{page}#{fragment}")
    }

    fn led_astray(&self, url: &str, pages: &BTreeMap<&str, Page>, address: &str) -> Option<String> {
        let whole = self.whole(url, address);
        let (page, fragment) = whole.split_once('#')?;
        let there = |page: &Page| fragment.is_empty() || page.with_id(fragment).is_some();
        let page = if page == self.name { Some(self) } else { pages.get(page) };
        (!page.is_some_and(there)).then(|| format!("{url} is not on the page"))
    }

    /// The words of a step are those that the page shows beneath its heading.
    fn step_fault(&self, step: &Map<String, Value>) -> Option<String> {
        let text = |key: &str| step.get(key).and_then(Value::as_str).unwrap_or_default();
        let number = step.get("position")?.to_string();
        let item = |node: &Handle| has_class(node, "step") && attribute(node, "value").as_deref() == Some(&number);
        let item = self.all(&item).into_iter().next()?;
        let mut prose = Vec::new();
        let is_sum = |node: &Handle| has_class(node, "sum");
        gather_outside(&item, &|node| has_class(node, "prose"), &is_sum, &mut prose);
        let shown: String = prose.iter().map(|node| squeezed(&words_without(node, &["call"]))).collect();
        (shown != squeezed(text("text"))).then(|| format!("the page shows other words in step {number}: {shown}"))
    }

    fn ingredient_faults(&self, recipe: &Map<String, Value>) -> Vec<String> {
        let said = recipe.get("recipeIngredient").and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
        let mut lists = self.all(&|node| has_class(node, "ledger"));
        lists.truncate(1);
        let mut items = Vec::new();
        lists.iter().for_each(|list| gather(list, &|node| element(node) == Some("li"), &mut items));
        if items.len() != said.len() {
            return vec![format!("the page shows {} ingredients", items.len())];
        }
        let pairs = items.iter().zip(said).filter_map(|(item, said)| {
            let part = |class: &str| {
                let mut found = Vec::new();
                gather(item, &|node| has_class(node, class), &mut found);
                found
            };
            let mut much = Vec::new();
            part("much").iter().for_each(|node| gather(node, &|node| element(node) == Some("span"), &mut much));
            let mut shown = much.first().map_or(String::new(), |node| squeezed(&words(node)));
            shown.extend(part("what").iter().map(|node| squeezed(&words(node))));
            let more = part("more").iter().map(|node| squeezed(&words(node))).collect::<Vec<_>>();
            let own = more.iter().find(|text| !text.starts_with("leftfrom") && !text.starts_with("ifyouhavenone"));
            shown.extend(own.map(|text| format!(",{text}")));
            (shown != squeezed(said.as_str()?)).then(|| format!("the page shows another line: {shown}, not {said}"))
        });
        pairs.collect()
    }

    /// A definition is the one that stands under the term's name.
    fn term_fault(&self, term: &Map<String, Value>, pages: &BTreeMap<&str, Page>, address: &str) -> Option<String> {
        let text = |key: &str| term.get(key).and_then(Value::as_str).unwrap_or_default();
        let whole = self.whole(text("@id"), address);
        let (page, fragment) = whole.split_once('#')?;
        let entry = pages.get(page)?.with_id(fragment);
        let shown = entry.map_or(String::new(), |entry| squeezed(&words_without(&entry, &["call", "also"])));
        let (name, definition) = (squeezed(text("name")), squeezed(text("description")));
        (!shown.starts_with(&format!("{name}{definition}"))).then(|| format!("the page defines {name} otherwise"))
    }
}

fn element(node: &Handle) -> Option<&str> {
    match &node.data {
        NodeData::Element { name, .. } => Some(&name.local),
        _ => None,
    }
}

fn attribute(node: &Handle, key: &str) -> Option<String> {
    let NodeData::Element { attrs, .. } = &node.data else { return None };
    attrs.borrow().iter().find(|one| &*one.name.local == key).map(|one| one.value.to_string())
}

fn has_class(node: &Handle, class: &str) -> bool {
    attribute(node, "class").is_some_and(|all| all.split_whitespace().any(|one| one == class))
}

fn gather(node: &Handle, wanted: &dyn Fn(&Handle) -> bool, found: &mut Vec<Handle>) {
    gather_outside(node, wanted, &|_| false, found);
}

/// The same, without what lies in some elements.
fn gather_outside(
    node: &Handle,
    wanted: &dyn Fn(&Handle) -> bool,
    shut: &dyn Fn(&Handle) -> bool,
    found: &mut Vec<Handle>,
) {
    for child in node.children.borrow().iter().filter(|child| !shut(child)) {
        if wanted(child) {
            found.push(child.clone());
        }
        gather_outside(child, wanted, shut, found);
    }
}

fn words(node: &Handle) -> String {
    words_without(node, &[])
}

/// The text of an element, without what has a class.
fn words_without(node: &Handle, classes: &[&str]) -> String {
    let mut text = String::new();
    for child in node.children.borrow().iter() {
        match &child.data {
            NodeData::Text { contents } => text.push_str(&contents.borrow()),
            NodeData::Element { .. } if classes.iter().any(|class| has_class(child, class)) => {}
            _ => text.push_str(&words_without(child, classes)),
        }
    }
    text
}
