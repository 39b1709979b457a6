//! A small course built by hand, rendered whole, and looked at as HTML.

mod figures;
mod links;
mod markup;
mod offline;
mod sums;
mod take_home;
mod templates;

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
