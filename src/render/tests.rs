//! A small course built by hand, rendered whole, and looked at as HTML.

mod offline;
mod take_home;

use super::{Site, render_with};
use crate::check::{Binding, CheckedCourse, Ledger, LedgerEntry};
use crate::diag::{Code, Diagnostics};
use crate::input::{LessonFile, Project};
use crate::lesson::{BodyItem, Heading};
use crate::prose::Mention;
use crate::quantity::{Exact, Home, parse_amount};
use crate::recipe::{
    BroughtBy, Course, Equipment, Ingredient, Keeping, Leftover, Lesson, Measure, MeasureId, Owner, Part, PartAmount,
    Product, Recipe, Rescue, Step, Term,
};
use crate::reference::{BUILT_IN, Reference};
use crate::source::{FileId, MappedText, Span};
use pulldown_cmark::{CodeBlockKind, Event, Options, Parser, Tag, TagEnd};
use std::collections::BTreeMap;
use std::sync::Arc;

const CURD: &str = r#"# Curd & <whey>

```lesson
```

We start with **4** litres, 4
litres in all, [not](javascript:alert(1)) more, see [pans](../01-pans/lesson.md#rinse "x") or [the words](../glossary.md).

![Ladle & "bowl"](ladle.svg "How to hold it")

```recipe
```

## Before you start

Curd and clear whey; curd again.[^juice] And `92 °C` in code, 1&frac12; cups.

| Goes in | Comes out |
| --- | ---: |
| 4 L of milk | whey |

[^juice]: Bottled <b>juice</b> has sulphites, see it twice.[^more]

[^more]: A note of a note.

## Heat the milk

```step
```

Warm it to **92 °C** (198 °F).[^juice]

```rescue
```

### Watch it

Curd gathers.

## Finish

```step
```

Done.

```toml
milk = "4 L"
```
"#;

const PANS: &str = "# Clean pans\n\n## Rinse\n\nPlain words.\n";

/// A course and the project it came from.
struct Made {
    project: Project,
    course: Course,
    ledger: Ledger,
    reference: Reference,
    units_home: Home,
}

impl Made {
    fn new(home: Home) -> Made {
        let mut project = Project::default();
        for (path, text) in BUILT_IN {
            project.sources.add(*path, text);
        }
        let reference = Reference::load(&project.sources, home, Default::default(), &mut Diagnostics::default());
        let course = Course {
            guests: crate::recipe::Guests::at(home),
            title: "Hall & <sons>".to_owned(),
            summary: None,
            home,
            place: Default::default(),
            language: "en-GB".to_owned(),
            address: None,
            author: None,
            cards: None,
            handouts: None,
            class: None,
            lessons: Vec::new(),
            terms: Vec::new(),
            measures: Vec::new(),
            runs: Vec::new(),
        };
        Made { project, course, ledger: Ledger::default(), reference, units_home: home }
    }

    fn measure(&mut self, path: &str, text: &str) -> MeasureId {
        let amount = parse_amount(text, &self.reference.units).unwrap();
        let span = Span::new(FileId(0), 0..0);
        self.course.measures.push(Arc::new(Measure {
            path: path.to_owned(),
            amount,
            span,
            owner: Owner::Fact { fact: 0 },
            scales: false,
        }));
        MeasureId(self.course.measures.len() as u32 - 1)
    }

    fn lesson(&mut self, folder: &str, text: &str) -> usize {
        let file = self.project.sources.add(format!("{folder}/lesson.md"), text);
        let slug = folder[3..].to_owned();
        self.project.lessons.push(LessonFile {
            slug: slug.clone(),
            folder: folder.to_owned(),
            file,
            captions: Vec::new(),
        });
        let (headings, body) = parsed(file, text);
        let title = headings[0].text.text.clone();
        self.course.lessons.push(Arc::new(Lesson {
            sanitiser: None,
            overrules: Vec::new(),
            slug,
            folder: folder.to_owned(),
            file,
            title,
            title_span: headings[0].span,
            summary: None,
            learn: Vec::new(),
            teaches: Vec::new(),
            asides: Vec::new(),
            session: None,
            recipe: None,
            steps: Vec::new(),
            sums: Vec::new(),
            headings,
            title_heading: Some(0),
            runs: Vec::new(),
            body,
            links: Vec::new(),
            recording: None,
            published: None,
            captions: Vec::new(),
        }));
        self.course.lessons.len() - 1
    }

    /// Binds the words between the bars of `before|words|after` in a lesson's file; markup may split the words.
    fn bind(&mut self, lesson: usize, pieces: &[&str], after: &str, measure: MeasureId) {
        let says = Some(self.course.measure(measure).amount);
        let file = self.course.lessons[lesson].file;
        let text = &self.project.sources.get(file).text;
        let mut at = text.find(after).unwrap() + after.len();
        let mut ranges = Vec::new();
        for piece in pieces {
            let start = at + text[at..].find(piece).unwrap();
            at = start + piece.len();
            ranges.push(start..at);
        }
        let span = Span::new(file, ranges[0].start..at);
        let mention = Mention {
            span,
            pieces: ranges,
            range: 0..0,
            text: pieces.concat(),
            amount: self.course.measure(measure).amount,
            pair: None,
            nouns: Vec::new(),
            times: None,
            marks: Default::default(),
        };
        let binding = Binding::Measure(measure);
        self.ledger.entries.push(Arc::new(LedgerEntry {
            lesson: Some(lesson),
            step: None,
            mention,
            binding,
            says,
            agrees: true,
        }));
    }

    fn term(&mut self, name: &str, definition: &str, own: bool) {
        let file = self.project.sources.add("glossary.md", definition);
        let slug = name.replace(' ', "-");
        let definition = parsed(file, definition).1;
        let span = Span::new(file, 0..0);
        self.course.terms.push(Term { name: name.to_owned(), slug, also: Vec::new(), definition, span, own });
    }

    fn render(&self) -> Result<Site, Diagnostics> {
        assert_eq!(self.course.home, self.units_home);
        let checked = CheckedCourse::new(
            Arc::new(self.course.clone()),
            Arc::new(self.ledger.clone()),
            Arc::new(self.reference.clone()),
        );
        // As templates and prose make them, for people to read.
        render_with(&self.project, &checked, str::to_owned)
    }

    fn page(&self, name: &str) -> String {
        page(&self.render().unwrap(), name)
    }
}

/// A page with the names of measures in the place of its mentions' numbers.
fn page(site: &Site, name: &str) -> String {
    let text = plain_page(site, name);
    let Some((_, live)) = text.split_once("id=\"_live\">") else { return text };
    let live: serde_json::Value = serde_json::from_str(live.split_once("</script>").unwrap().0).unwrap();
    let mentions = live["mentions"].as_array().unwrap().iter().enumerate();
    mentions.fold(text.clone(), |text, (number, row)| {
        let name = live["measures"][row[0].as_u64().unwrap() as usize][0].as_str().unwrap();
        text.replace(&format!("data-m=\"{number}\""), &format!("data-m=\"{name}\""))
    })
}

fn plain_page(site: &Site, name: &str) -> String {
    String::from_utf8(site.files()[name].clone()).unwrap()
}

/// Enough of a lesson parser for these tests: events with places, and a marker for each typed block.
fn parsed(file: FileId, text: &str) -> (Vec<Heading>, Vec<BodyItem>) {
    let options = Options::ENABLE_TABLES | Options::ENABLE_FOOTNOTES;
    let events: Vec<_> = Parser::new_ext(text, options).into_offset_iter().collect();
    let (mut headings, mut body) = (Vec::new(), Vec::new());
    let (mut steps, mut rescues, mut skip) = (0usize, 0usize, false);
    for (at, (event, range)) in events.iter().enumerate() {
        match event {
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(info)))
                if ["lesson", "recipe", "step", "rescue"].contains(&info.as_ref()) =>
            {
                skip = true;
                match info.as_ref() {
                    "step" => {
                        body.push(BodyItem::Step(steps));
                        steps += 1;
                        rescues = 0;
                    }
                    "rescue" => {
                        body.push(BodyItem::Rescue { step: steps - 1, index: rescues });
                        rescues += 1;
                    }
                    "recipe" => body.push(BodyItem::Recipe),
                    _ => body.push(BodyItem::Lesson),
                }
            }
            Event::End(TagEnd::CodeBlock) if skip => skip = false,
            _ if skip => {}
            _ => {
                if let Event::Start(Tag::Heading { level, .. }) = event {
                    let words: String = events[at..]
                        .iter()
                        .take_while(|(event, _)| !matches!(event, Event::End(TagEnd::Heading(_))))
                        .filter_map(|(event, _)| match event {
                            Event::Text(text) | Event::InlineHtml(text) => Some(text.to_string()),
                            _ => None,
                        })
                        .collect();
                    let slug = words.to_lowercase().replace(|c: char| !c.is_alphanumeric(), "-");
                    let span = Span::new(file, range.clone());
                    body.push(BodyItem::Heading(headings.len()));
                    headings.push(Heading { level: *level as u8, text: mapped(file, &words), span, slug });
                }
                body.push(BodyItem::Event(event.clone().into_static(), range.clone()));
            }
        }
    }
    (headings, body)
}

/// A text that stands nowhere near a mention.
fn mapped(file: FileId, text: &str) -> MappedText {
    let mut mapped = MappedText::new(file);
    mapped.push(text, 1_000_000..1_000_000 + text.len());
    mapped
}

fn step(id: &str, title: &str, heading: usize, file: FileId) -> Step {
    Step {
        does: None,
        by_hand: None,
        id: id.to_owned(),
        title: title.to_owned(),
        heading,
        span: Span::new(file, 0..0),
        add: Vec::new(),
        vessels: Vec::new(),
        to: None,
        at: None,
        from: None,
        lasts: None,
        takes: None,
        pasteurises: Vec::new(),
        hands_on: None,
        at_home: false,
        until: None,
        measures: BTreeMap::new(),
        way: None,
        beside: None,
        after: Vec::new(),
        rescues: Vec::new(),
        heard_at: None,
        heard_span: None,
    }
}

/// Two lessons, the second with everything a page can show.
fn course(home: Home) -> Made {
    let mut made = Made::new(home);
    made.lesson("01-pans", PANS);
    let lesson = made.lesson("02-curd", CURD);
    made.project.pictures.insert("02-curd/ladle.svg".to_owned(), "<svg/>".into());
    made.project.pictures.insert("02-curd/unused.svg".to_owned(), "<svg/>".into());
    made.term("clear whey", "Whey you can <b>see</b> through, from curd.", true);
    made.term("curd", "What clumps. A term with curd in it.", false);
    made.term("unused trade term", "Never met.", false);
    made.term("whey", "What runs off.", true);
    let file = made.course.lessons[lesson].file;
    made.course.summary = Some(mapped(file, "Evenings of <milk>."));
    let session = made.measure("curd.session", "2 h 30 min");
    let recipe = recipe(&mut made, file);
    let steps = steps(&mut made, file);
    let view = Arc::make_mut(&mut made.course.lessons[lesson]);
    view.summary = Some(mapped(file, "Milk & a \"cloth\"."));
    view.learn = vec![mapped(file, "tell curd from whey")];
    view.session = Some(session);
    view.recipe = Some(recipe);
    view.steps = steps;
    bind_all(&mut made, lesson);
    made
}

fn recipe(made: &mut Made, file: FileId) -> Recipe {
    let [milk, salt, share, makes, leaves, days, cold, holds] = [
        ("curd.ingredients.milk", "4 L"),
        ("curd.ingredients.salt", "9 g"),
        ("curd.ingredients.salt.share", "1.5 %"),
        ("curd.makes", "550–650 g"),
        ("curd.leaves.whey", "3.2–3.4 L"),
        ("curd.keeps.0.for", "4 days"),
        ("curd.keeps.0.at", "at most 5 °C"),
        ("curd.equipment.pot.holds", "6 L"),
    ]
    .map(|(path, text)| made.measure(path, text));
    let ingredient = |id: &str, name: &str, amount| Ingredient {
        never_below: None,
        share_basis: Default::default(),
        strength: None,
        dose: None,
        diluted: None,
        id: id.to_owned(),
        id_span: Span::new(file, 0..0),
        name: name.to_owned(),
        note: None,
        pantry: made.reference.pantry.find(name),
        amount: Some(amount),
        share: None,
        from: None,
        instead: None,
        brought_by: BroughtBy::Hall,
    };
    let milk = Ingredient { note: Some(mapped(file, "not <homogenised>")), ..ingredient("milk", "whole milk", milk) };
    let salt = Ingredient { share: Some((share, "curd".to_owned())), ..ingredient("salt", "fine salt", salt) };
    Recipe {
        tested: None,
        span: Span::new(file, 0..0),
        makes: Some(Product { name: "pressed curd".to_owned(), amount: makes }),
        leaves: vec![Leftover { id: "whey".to_owned(), name: "whey".to_owned(), amount: leaves }],
        scale_within: None,
        students: Exact::ONE,
        loses: None,
        scale_by: Some(0),
        keeps: vec![Keeping {
            what: None,
            place: mapped(file, "covered in the fridge"),
            time: days,
            at: Some(cold),
            pack: None,
            ph: None,
            aw: None,
            mark: None,
            span: Span::new(file, 0..0),
        }],
        kind: None,
        may_contain: Vec::new(),
        ingredients: vec![milk, salt],
        equipment: vec![Equipment {
            id: "pot".to_owned(),
            name: mapped(file, "heavy pot"),
            holds: Some(holds),
            size: None,
            count: None,
            brought_by: BroughtBy::Hall,
            shared: false,
        }],
        kit: None,
        measures: BTreeMap::new(),
    }
}

fn steps(made: &mut Made, file: FileId) -> Vec<Step> {
    let [to, takes, part] =
        [("curd.steps.heat.to", "92 °C"), ("curd.steps.heat.takes", "20–25 min"), ("curd.steps.heat.add.salt", "2/3")]
            .map(|(path, text)| made.measure(path, text));
    let part_of = |ingredient, amount| Part { ingredient, amount, span: Span::new(file, 0..0) };
    let mut heat = step("heat", "Heat the milk", 2, file);
    heat.add = vec![part_of(0, PartAmount::All), part_of(1, PartAmount::Fraction(Exact::new(2, 3), part))];
    heat.vessels = vec![0];
    (heat.to, heat.takes, heat.hands_on) = (Some(to), Some(takes), Some(true));
    heat.until = Some(mapped(file, "clear whey"));
    heat.rescues = vec![Rescue { sign: mapped(file, "It <catches>"), remedy: mapped(file, "Pour it off.") }];
    let mut finish = step("finish", "Finish", 4, file);
    finish.add = vec![part_of(1, PartAmount::Rest)];
    (finish.after, finish.hands_on, finish.way) = (vec![0], Some(false), Some("by hand".to_owned()));
    finish.beside = Some(0);
    vec![heat, finish]
}

fn bind_all(made: &mut Made, lesson: usize) {
    let found = |path: &str| {
        let at = made.course.measures.iter().position(|measure| measure.path == path).unwrap();
        MeasureId(at as u32)
    };
    let (milk, to) = (found("curd.ingredients.milk"), found("curd.steps.heat.to"));
    made.bind(lesson, &["4", " litres"], "We start with", milk);
    made.bind(lesson, &["4", "litres"], "litres, ", milk);
    made.bind(lesson, &["92 °C"], "And `", to);
    made.bind(lesson, &["1", "&frac12;", " cups"], "in code, ", milk);
    made.bind(lesson, &["4 L"], "| ---: |", milk);
    made.bind(lesson, &["92 °C"], "Warm it to ", to);
    made.bind(lesson, &["198 °F"], "Warm it to ", to);
}

fn assert_has(page: &str, parts: &[&str]) {
    for part in parts {
        assert!(page.contains(part), "missing {part}\nin {page}");
    }
}

#[test]
fn every_file_of_the_site_is_made_and_twice_the_same() {
    let made = course(Home::Uk);
    let site = made.render().unwrap();
    let names: Vec<_> = site.files().keys().map(String::as_str).collect();
    let scripts = ["kitchen.js", "lesson.js", "stove.js", "glossary.js"]; // a theme may do without any of them
    let rest: Vec<_> = names.into_iter().filter(|name| !scripts.contains(name)).collect();
    assert_eq!(
        rest,
        [
            "allergens.css",
            "allergens.html",
            "curd-take-home.html",
            "curd.html",
            "curd.json",
            "glossary.html",
            "icon.svg",
            "index.html",
            "labels.css",
            "labels.html",
            "later.css",
            "ledger.html",
            "lesson.schema.json",
            "more.css",
            "offline.js",
            "pans-take-home.html",
            "pans.html",
            "pans.json",
            "papers/booklet-a4.pdf",
            "papers/curd-cards-a6.pdf",
            "papers/curd-handout-a4.pdf",
            "papers/labels-a4.pdf",
            "papers/pans-handout-a4.pdf",
            "pictures/curd/ladle.svg",
            "print.css",
            "site.webmanifest",
            "sources.html",
            "style.css",
            "sw.js"
        ]
    );
    assert_eq!(site, made.render().unwrap());
}

#[test]
fn a_mention_is_wrapped_piece_by_piece_and_nothing_else_is_touched() {
    let page = course(Home::Uk).page("curd.html");
    let milk = |text: &str| format!("<span data-m=\"The fact `milk`\">{text}</span>");
    let rest = |text: &str| format!("<span data-m=\"\">{text}</span>");
    assert_has(
        &page,
        &[
            &format!("We start with <strong>{}</strong>{}, ", milk("4"), rest(" litres")),
            &format!("{}\n{} in all", milk("4"), rest("litres")),
            "<code><span data-m=\"The fact `to`\">92 °C</span></code> in code",
            &format!("in code, {}{}{}.", milk("1"), rest("½"), rest(" cups")),
            &format!("<td>{} of milk</td>", milk("4 L")),
            "<strong><span data-m=\"The fact `to`\">92 °C</span></strong> \
             (<span data-m=\"The fact `to`\">198 °F</span>).",
        ],
    );
}

#[test]
fn what_authors_type_never_becomes_markup() {
    let site = course(Home::Uk).render().unwrap();
    let page_of = |name: &str| page(&site, name);
    let curd = page_of("curd.html");
    assert_has(
        &curd,
        &[
            ">Curd &amp; &lt;whey&gt;</h1>",
            "<title>Curd &amp; &lt;whey&gt; – Hall &amp; &lt;sons&gt;</title>",
            "content=\"Milk &amp; a &quot;cloth&quot;.\"",
            "Bottled &lt;b&gt;juice&lt;/b&gt;",
            "It &lt;catches&gt;",
            "not &lt;homogenised&gt;",
        ],
    );
    assert!(!curd.contains("javascript:"));
    assert_has(&page_of("index.html"), &["Evenings of &lt;milk&gt;."]);
    for (name, bytes) in site.files().iter().filter(|(name, _)| name.ends_with(".html")) {
        let text = take_home::markup(&String::from_utf8(bytes.clone()).unwrap());
        // The name of the vocabulary is the one address that data bring along; nothing fetches it.
        let text = text.replacen("\"@context\":\"https://schema.org\"", "", 1);
        for bad in ["<b>", "<sons>", "http:", "https:", "=\"/", "url(", "&amp;amp;", "&amp;lt;"] {
            assert!(!text.contains(bad), "{bad} in {name}");
        }
        let ours = text.matches("<script src=\"").count() + text.matches("<script type=\"application/json\"").count();
        let ours = ours + text.matches("<script type=\"application/ld+json\"").count();
        assert_eq!(text.matches("<script").count(), ours, "{name}");
    }
    assert!(!page_of("style.css").contains("url("), "a style sheet that fetches nothing");
}

/// Every `href`, `src` and `aria-labelledby` leads to a file or an id that is there, and no id stands twice.
#[test]
fn all_links_of_the_site_lead_somewhere() {
    let site = course(Home::Uk).render().unwrap();
    let values = |text: &str, name: &str| -> Vec<String> {
        let mark = format!(" {name}=\"");
        text.split(&mark).skip(1).map(|rest| rest[..rest.find('"').unwrap()].to_owned()).collect()
    };
    let mut seen = 0;
    for (name, bytes) in site.files().iter().filter(|(name, _)| name.ends_with(".html")) {
        let text = String::from_utf8(bytes.clone()).unwrap();
        let mut ids = values(&text, "id");
        ids.sort();
        let count = ids.len();
        ids.dedup();
        assert_eq!(ids.len(), count, "an id stands twice in {name}");
        for label in values(&text, "aria-labelledby") {
            assert!(ids.contains(&label), "{label} in {name}");
        }
        for link in
            values(&text, "href").into_iter().chain(values(&text, "src")).filter(|link| !link.starts_with("data:"))
        {
            let (path, fragment) = link.split_once('#').unwrap_or((&link, ""));
            let path = if path.is_empty() { name } else { path };
            let target = site.files().get(path).unwrap_or_else(|| panic!("{link} in {name}"));
            let target = String::from_utf8_lossy(target);
            let found = fragment.is_empty() || target.contains(&format!(" id=\"{fragment}\""));
            assert!(found, "{link} in {name}");
            seen += 1;
        }
    }
    assert!(seen > 40, "{seen}");
}

#[test]
fn links_and_pictures_are_rewritten() {
    let page = course(Home::Uk).page("curd.html");
    assert_has(
        &page,
        &[
            "<a href=\"pans.html#rinse\">pans</a>",
            "<a href=\"glossary.html\">the words</a>",
            "litres</span> in all, not more",
            "<figure><img src=\"pictures/curd/ladle.svg\" alt=\"Ladle &amp; &quot;bowl&quot;\">\
             <figcaption>How to hold it</figcaption></figure>",
        ],
    );
}

#[test]
fn terms_are_explained_once_a_section_and_the_longest_wins() {
    let site = course(Home::Uk).render().unwrap();
    let page = page(&site, "curd.html");
    assert_has(
        &page,
        &[
            "<p><button popovertarget=\"_t1\">Curd</button> and \
             <button popovertarget=\"_t2\">clear whey</button>; curd again.",
            "<dd class=\"sign\"><button popovertarget=\"_t2\">clear whey</button></dd>",
            "<p popover id=\"_t1\"><a href=\"glossary.html#curd\">curd</a>\nWhat clumps. A term with curd in it.</p>",
            "<th scope=\"col\">Goes in</th>",
        ],
    );
    let glossary = self::page(&site, "glossary.html");
    assert!(!glossary.contains("unused trade term"));
    assert_has(
        &glossary,
        &[
            "id=\"_letter-C\"",
            "What clumps. A term with curd in it.",
            "from <a class=\"term\" href=\"#curd\">curd</a>",
            "Used in <a href=\"curd.html#before-you-start\">Curd &amp; &lt;whey&gt;</a>",
        ],
    );
    let at = |text: &str| glossary.find(text).unwrap();
    assert!(at("id=\"clear-whey\"") < at("id=\"curd\"") && at("id=\"curd\"") < at("id=\"whey\""));
}

#[test]
fn notes_come_at_the_end_with_the_ways_back() {
    let page = course(Home::Uk).page("curd.html");
    assert_has(
        &page,
        &[
            "id=\"_call-1\" href=\"#_note-1\"",
            "id=\"_call-1-2\" href=\"#_note-1\"",
            "<li id=\"_note-1\"><p>Bottled",
            "<a href=\"#_call-1-2\" role=\"doc-backlink\"",
            "<li id=\"_note-2\"><p>A note of a note.",
        ],
    );
    assert!(page.find("id=\"finish\"").unwrap() < page.find("id=\"_note-1\"").unwrap());
}

#[test]
fn a_step_shows_its_figures_before_its_words() {
    let page = course(Home::Uk).page("curd.html").replace('\u{A0}', " ");
    assert_has(
        &page,
        &[
            "<span>Step 1</span> Heat the milk</h2>",
            "<dt>bring to</dt><dd><span data-m=\"The fact `to`\">92 °C</span> <span class=\"other\" data-m=\"The fact `to`\">198 °F</span></dd>",
            "<dt>takes</dt><dd><span data-m=\"The fact `takes`\" data-t=\"1200\">20–25 min</span></dd>",
            "data-m=\"The fact `salt`\">6 g</span> <span class=\"other\">(<span data-m=\"The fact `salt`\">about 1 tsp</span>)</span> fine salt <span class=\"how\">(two thirds)</span>",
            "data-m=\"What is left of the fine salt\">3 g</span> <span class=\"other\">(<span data-m=\"What is left of the fine salt\">about ½ tsp</span>)</span> fine salt <span class=\"how\">(the rest)</span>",
            "<dd>on: stay with it</dd>",
            "<dd>off: free for other work</dd>",
            "<h3 id=\"watch-it\">Watch it</h3>",
            "<p>Rescue</p>",
            "<a href=\"#heat-the-milk\">step 1, Heat the milk</a>",
        ],
    );
    let at = |text: &str| page.find(text).unwrap();
    assert!(at("class=\"gauges\"") < at("Warm it to") && at("Warm it to") < at("class=\"rescue\""));
    assert_eq!(page.matches("<ol class=\"steps\"").count(), 1);
}

#[test]
fn the_recipe_shows_both_systems_allergens_and_keeping() {
    let page = course(Home::Uk).page("curd.html").replace('\u{A0}', " ");
    assert_has(
        &page,
        &[
            ">4 L</span> <span class=\"other\" data-m=\"The fact `milk`\">7 imperial pints</span>",
            "contains: <strong>milk</strong>",
            "<p>Contains: <strong>milk</strong>.</p>",
            ">1.5 %</span> of curd",
            "<strong>pressed curd</strong>: covered in the fridge,",
            "heavy pot, holds",
            "Lesson 2 of 2",
            "local food authority come before",
        ],
    );
    let page = course(Home::Us).page("curd.html").replace('\u{A0}', " ");
    assert_has(&page, &[">4 L</span> <span class=\"other\" data-m=\"The fact `milk`\">1 US gallon + 1 cup</span>"]);
}

#[test]
fn two_times_are_told_apart_and_named_measures_are_shown() {
    let mut made = course(Home::Uk);
    let wait = made.measure("curd.steps.heat.for", "5 min");
    let cut = made.measure("curd.steps.heat.measures.first-cut", "2.5 cm");
    let loaf = made.measure("curd.measures.loaf", "900 g");
    let lesson = made.course.lessons.iter_mut().find(|lesson| lesson.slug == "curd").unwrap();
    let lesson = Arc::make_mut(lesson);
    lesson.steps[0].lasts = Some(wait);
    lesson.steps[0].measures.insert("first-cut".to_owned(), cut);
    let recipe = lesson.recipe.as_mut().unwrap();
    recipe.measures.insert("loaf".to_owned(), loaf);
    recipe.makes.as_mut().unwrap().name = "jars pressed curd".to_owned();
    let page = made.page("curd.html").replace('\u{A0}', " ");
    assert_has(
        &page,
        &[
            "<span data-m=\"The fact `to`\">92 °C</span> \
             <span class=\"other\">wait <span data-m=\"The fact `for`\">5 min</span></span> \
             <span class=\"other\">takes <span data-m",
            "<dt>Measure</dt>\n<dd>first cut <span data-m=\"The fact `first-cut`\">2.5 cm</span> <span class=\"other\">(<span data-m=\"The fact `first-cut`\">1 in</span>)</span>",
            "<li>loaf: <span data-m=\"The fact `loaf`\">900 g</span>",
            "<strong>jars of pressed curd</strong>: covered in the fridge,",
        ],
    );
}

#[test]
fn allergen_names_of_another_place_say_whose_they_are() {
    for (home, told) in [(Home::Uk, false), (Home::Us, false), (Home::Au, true), (Home::Nz, true), (Home::Ca, true)] {
        let page = course(home).page("curd.html");
        assert_eq!(page.contains("(listed by EU allergen names)"), told, "{home:?}");
        assert!(!told || !page.contains("UK and EU"), "{home:?}");
    }
}

/// Whether every tag is closed in its turn, with no stray bracket or open attribute.
fn well_formed(html: &str) -> bool {
    let mut open: Vec<&str> = Vec::new();
    let mut parts = html.split('<');
    let mut balanced = parts.next().is_some_and(|text| !text.contains('>'));
    for part in parts {
        let Some((tag, text)) = part.split_once('>') else {
            return false;
        };
        balanced &= !text.contains('>') && tag.matches('"').count() % 2 == 0;
        match (tag.strip_prefix('/'), tag.split(' ').next().unwrap_or("")) {
            (Some(name), _) => balanced &= open.pop() == Some(name),
            (None, "br" | "hr" | "img") => {}
            (None, name) => open.push(name),
        }
    }
    balanced && open.is_empty()
}

#[test]
fn broken_markup_would_be_noticed() {
    assert!(well_formed("<p>a <b class=\"x\">b</b><br></p>"));
    for broken in ["<p><b></p></b>", "<p>", "a > b", "<a href=\"x>y</a>", "</p>"] {
        assert!(!well_formed(broken), "{broken}");
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]
    #[test]
    fn any_markdown_gives_well_formed_html(text in r#"([-a-z0-9 \n*_`#>|\[\]()!~<&;:^"'½\\]|curd|\[\^a\]|~~~|---){0,60}"#) {
        static MADE: std::sync::LazyLock<(Project, CheckedCourse)> = std::sync::LazyLock::new(|| {
            let made = course(Home::Uk);
            (made.project, CheckedCourse::new(Arc::new(made.course), Arc::new(made.ledger), Arc::new(made.reference)))
        });
        let (project, checked) = &*MADE;
        let cx = super::Cx::new(project, checked);
        let text = text.replace("~~~", "~~~toml");
        let (headings, body) = parsed(FileId(0), &text);
        let (items, notes) = super::markdown::without_notes(&body);
        let links = super::edition::Edition::site();
        let page = super::live::Page::live(&cx);
        let mut writer = super::markdown::Writer::new(&page, FileId(0), "", &headings, links);
        let mut html = writer.flow(&items);
        for note in writer.notes(&notes) {
            html.push_str(&note.html);
        }
        proptest::prop_assert!(well_formed(&html), "{text:?} gives {html}");
    }
}

#[test]
fn code_is_coloured_and_can_be_scrolled_by_keyboard() {
    let page = course(Home::Uk).page("curd.html");
    assert_has(
        &page,
        &["<pre tabindex=\"0\"><code><span class=\"hl-source hl-toml\"><span class=\"hl-key hl-toml\">milk</span>"],
    );
}

/// A course's own template and style take the place of ours.
#[test]
fn a_course_can_bring_its_own_templates_and_style() {
    let mut made = course(Home::Uk);
    let files = [
        ("index.html", "{% extends \"base.html\" %}{% block main %}<p>Mine: {{ course.title }}</p>{% endblock %}"),
        ("own.css", ".mine { color: red }"),
    ];
    for (name, text) in files {
        let file = made.project.sources.add(format!("theme/{name}"), text);
        made.project.theme.insert(name.to_owned(), file);
    }
    let site = made.render().unwrap();
    assert_has(&page(&site, "index.html"), &["<p>Mine: Hall &amp; &lt;sons&gt;</p>", "class=\"skip\""]);
    assert_has(&page(&site, "style.css"), &["--paper", ".mine { color: red }"]);
}

#[test]
fn a_fault_of_a_template_is_shown_at_its_words() {
    for (name, text, words) in [
        ("index.html", "line\n<p>{{ corse.title }}</p>", "corse"),
        ("index.html", "<p>{{ course.titel }}</p>", "course.titel"),
        ("lesson.html", "ok\n{% if lesson %}", "{% if lesson %}"),
        ("glossary.html", "{{ letters | nosuchfilter }}", "{{ letters | nosuchfilter }}"),
        ("glossary.html", "{% extends \"nowhere.html\" %}", "{% extends \"nowhere.html\" %}"),
        ("base.html", "{{ page.nothing }}{% block main %}{% endblock %}", "page.nothing"),
    ] {
        let mut made = course(Home::Uk);
        let file = made.project.sources.add(format!("theme/{name}"), text);
        made.project.theme.insert(name.to_owned(), file);
        let found = made.render().unwrap_err();
        assert_eq!(found.iter().count(), 1, "one slip gives one finding: {found:#?}");
        let one = found.iter().next().unwrap();
        assert_eq!(one.code, Code::BrokenTemplate);
        assert_eq!(one.primary.span.file, file, "{one:#?}");
        let shown = made.project.sources.text(one.primary.span);
        assert!(words.contains(shown) || shown.contains(words), "`{shown}` for `{words}`: {one:#?}");
        assert!(one.message.starts_with(&format!("the template `{name}` cannot be used: ")), "{}", one.message);
        assert!(!one.message.contains(". ") && !one.message.ends_with('.'), "{}", one.message);
    }
}

#[test]
fn two_broken_templates_give_two_findings() {
    let mut made = course(Home::Uk);
    for (name, text) in [("index.html", "{% if x %}"), ("lesson.html", "{{ lesson. }}")] {
        let file = made.project.sources.add(format!("theme/{name}"), text);
        made.project.theme.insert(name.to_owned(), file);
    }
    assert_eq!(made.render().unwrap_err().iter().count(), 2);
}

const WITH_SUM: &str = "# Heights\n\nFind your height.\n\n```sum\nof = \"boiling\"\nheight = \"1500 m\"\n```\n\n## Warm water\n\n```sum\nof = \"mix\"\nhot = \"80 °C\"\ncold = \"10 °C\"\nwant = \"40 °C\"\nmake = \"2 L\"\n```\n\nMake it 40 °C (104 °F) warm.\n";

#[test]
fn a_sum_is_said_in_words_and_only_its_page_carries_the_script() {
    let files = [
        ("course.toml", "title = \"Hall\"\nhome = \"uk\"\n"),
        ("01-heights/lesson.md", WITH_SUM),
        ("02-tea/lesson.md", "# Tea\n\nWait.\n"),
    ];
    let project = Project::from_files(files);
    let checked = crate::check(&project);
    let course = checked.course.unwrap_or_else(|| panic!("{:?}", checked.findings));
    let stated = course.ledger().entries.iter().filter_map(|entry| match entry.binding {
        crate::check::Binding::Measure(id) => Some(course.course().measure(id).path.as_str()),
        _ => None,
    });
    assert_eq!(stated.collect::<Vec<_>>(), ["heights.sums.2.want", "heights.sums.2.want"]);
    let site = crate::render::render(&project, &course).unwrap();
    let page = |name: &str| String::from_utf8(site.files()[name].clone()).unwrap();
    let said = "At 1500\u{a0}m above the sea water boils at about 95\u{a0}°C (203\u{a0}°F). Jam sets at about 99.4\u{a0}°C (211\u{a0}°F).";
    for name in ["heights.html", "heights-take-home.html"] {
        assert!(page(name).contains(&format!("<output aria-live=polite>{said}</output>")), "{name}");
    }
    assert!(page("heights.html").contains("<script src=sums.js defer>"));
    assert!(page("heights.html").contains("<link rel=stylesheet href=sums.css>"));
    assert!(page("heights-take-home.html").contains("Sums="));
    for name in ["tea.html", "tea-take-home.html", "index.html"] {
        assert!(!page(name).to_lowercase().contains("sums"), "{name}");
    }
}

#[test]
fn a_hold_shows_what_it_is_worth_beside_the_law_that_it_meets() {
    let page = |at: &str| {
        let lesson = format!(
            "# Milk\n\n```recipe\nmakes = \"1 L warm milk\"\n[ingredients]\nmilk = \"1 L whole milk\"\n```\n\n## Hold it\n\n\
             ```step\nadd = [\"milk\"]\nat = \"{at}\"\nfor = \"30 min\"\npasteurises = \"milk\"\n```\n"
        );
        let files = [("course.toml", "title = \"Hall\"\nhome = \"uk\"\n"), ("01-milk/lesson.md", lesson.as_str())];
        let project = Project::from_files(files);
        let checked = crate::check(&project);
        let course = checked.course.unwrap_or_else(|| panic!("{:?}", checked.findings));
        String::from_utf8(crate::render::render(&project, &course).unwrap().files()["milk.html"].clone()).unwrap()
    };
    let worth = "by reckoning worth 30\u{a0}min at 63\u{a0}°C at its coolest, 1\u{a0}h\u{a0}27\u{a0}min at its hottest, with \
                 z\u{a0}=\u{a0}4.3\u{a0}°C, as the pairs of that law imply: an estimate, which shortens no hold";
    assert!(page("63–65 °C").contains(worth));
    // The law's own temperature needs no reckoning.
    assert!(page("63 °C").contains("held at 63\u{a0}°C for 30\u{a0}min") && !page("63 °C").contains("reckoning worth"));
}

#[test]
fn a_course_without_sums_carries_nothing_for_them() {
    let project = Project::from_files([
        ("course.toml", "title = \"Hall\"\nhome = \"uk\"\n"),
        ("01-tea/lesson.md", "# Tea\n\nWait.\n"),
    ]);
    let course = crate::check(&project).course.unwrap();
    let site = crate::render::render(&project, &course).unwrap();
    assert!(!site.files().keys().any(|path| path.starts_with("sums.")));
}

#[test]
fn a_lesson_of_words_alone_has_nothing_to_change() {
    let step = "# Wait\n\n## Wait\n\n```step\nfor = \"5 min\"\n```\n\nWait 5 minutes.\n";
    let project = Project::from_files([
        ("course.toml", "title = \"Hall\"\nhome = \"uk\"\n"),
        ("01-about/lesson.md", "# About\n\nHow to read this.\n"),
        ("02-wait/lesson.md", step),
    ]);
    let course = crate::check(&project).course.unwrap();
    let site = crate::render::render(&project, &course).unwrap();
    let page = |name: &str| String::from_utf8(site.files()[name].clone()).unwrap();
    for (name, works) in
        [("about.html", false), ("about-take-home.html", false), ("wait.html", true), ("wait-take-home.html", true)]
    {
        let page = page(name);
        for part in ["id=_live", "id=_bench", "id=_bar"] {
            assert_eq!(page.contains(part), works, "{part} in {name}");
        }
        // The script would look for its figures in vain.
        assert_eq!(page.contains("lesson.js") || page.contains("Lesson="), works, "{name}");
    }
}

#[test]
fn what_a_sum_begins_with_is_spoken_of_in_its_own_section_only() {
    let lesson = WITH_SUM.replace("Find your height.", "Make it 40 °C warm.");
    let files = [("course.toml", "title = \"Hall\"\nhome = \"uk\"\n"), ("01-a/lesson.md", lesson.as_str())];
    let found = crate::check(&Project::from_files(files)).findings;
    assert_eq!(found.iter().map(|one| one.code.name()).collect::<Vec<_>>(), ["unknown-mention"]);
}

#[test]
fn a_sum_that_begins_without_an_answer_is_a_finding() {
    let lesson = "# Heights\n\n```sum\nof = \"boiling\"\nheight = \"12000 m\"\n```\n";
    let project =
        Project::from_files([("course.toml", "title = \"Hall\"\nhome = \"uk\"\n"), ("01-a/lesson.md", lesson)]);
    let found = crate::check(&project).findings;
    let found: Vec<_> = found.iter().map(|one| (one.code.name(), one.help.as_deref())).collect();
    assert_eq!(found, [("bad-amount", Some("Height above the sea: from −430 to 9000\u{a0}m, please."))]);
}

/// What a rehearsal prints on demand is what a publish prints.
#[test]
fn a_file_is_the_same_alone_as_among_all() {
    let content = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall");
    let mut project = crate::input::read_project(&content).unwrap();
    let file = project.course.unwrap();
    let text = format!("address = \"https://example.org/course/\"\n{}", project.sources.get(file).text);
    project.sources.replace(file, &text);
    let course = crate::check::check(&project).course.expect("an address does no harm");
    let all = super::render(&project, &course).unwrap();
    let theme = super::Theme::load(&project).unwrap();
    let finish: &(dyn Fn(&str) -> String + Sync) = &super::lean_page;
    let mut seen = std::collections::BTreeSet::new();
    // Pictures of lessons are copied as they are.
    let printed = |name: &str| name != "sw.js" && !name.starts_with("pictures/");
    for (name, bytes) in all.files().iter().filter(|(name, _)| printed(name)) {
        let kind = (name.split('/').next(), name.rsplit('.').next());
        // The booklet takes longest; of the papers of lessons, the first of each folder and kind stand for the others.
        if name.ends_with(".pdf")
            && !name.contains("booklet")
            && !seen.insert(name.rsplit_once('-').map(|(_, end)| end))
        {
            continue;
        }
        seen.insert(kind.0);
        let super::Finished { site, faults, .. } =
            super::print(&project, &course, &theme, finish, super::Wanted::One(name), None);
        assert!(faults.is_empty());
        let alone = site.files().get(name);
        assert!(alone == Some(bytes), "{name} is {}", if alone.is_some() { "another" } else { "not there" });
    }
    for folder in ["papers", "codes", "captions", "sitemap.xml", "class-plan.csv", "labels.css"] {
        assert!(seen.contains(&Some(folder)), "{folder} is looked at");
    }
}
