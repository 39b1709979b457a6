//! Pages as linked data, against the vocabulary of schema.org and against what the pages show; the models of lessons
//! against their schema; the feed and the list of pages against their standards.
//!
//! Sources: the vocabulary as the npm package `schema-dts` 2.1.0 declares it (`tests/data/schema-org`); codes of units:
//! UN/CEFACT Recommendation 20; RFC 4287 (Atom), sitemaps.org protocol 0.9, JSON Schema 2020-12 by Python's
//! `jsonschema`; XML by Python's `xml.etree`. `tests/run` installs what is not in Python itself.

mod structured {
    pub mod page;
    pub mod vocabulary;
}

use pottle::check::CheckedCourse;
use pottle::{Project, Site, check, render};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use structured::page::{Page, squeezed};
use structured::vocabulary::{Vocabulary, lexical_faults};

/// The demo course, checked and published once for all tests.
fn published() -> &'static (CheckedCourse, Site) {
    static DEMO: OnceLock<(CheckedCourse, Site)> = OnceLock::new();
    DEMO.get_or_init(|| {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall");
        let project = pottle::read_project(&folder).unwrap();
        let course = check(&project).course.expect("the demo course has no findings");
        let site = render(&project, &course).unwrap();
        (course, site)
    })
}

fn demo() -> &'static Site {
    &published().1
}

/// A small course that has all that data can say: an address, dates, ways, ranges, a picture, and letters that markup
/// and JSON must escape.
fn small(settings: &str) -> Site {
    let lesson = |title: &str, date: &str| {
        format!(
            "```lesson\nsummary = \"Tea & toast, <hot>.\"\nsession = \"45 min\"\nlearn = [\"pour \\\"slowly\\\"\"]\n{date}\n```\n\n# {title}\n\n\
             ```recipe\nmakes = \"1–2 L black tea\"\n\n[ingredients]\nwater = \"1 L water, fresh\"\nsalt = \"2 teaspoons salt\"\n\n\
             [equipment]\npot = {{ name = \"pot\", holds = \"2 L\" }}\n```\n\n## Boil\n\n```step\nadd = [\"water\", \"salt\"]\nin = \"pot\"\n\
             to = \"100 °C\"\ntakes = \"20–25 min\"\n```\n\nHeat it to 100 °C (`</script>`), 20 to 25 minutes.\n\n![A pot](pot.svg)\n\n\
             ## Pour by hand\n\n```step\nway = \"hand\"\nfor = \"5 min\"\n```\n\nWait 5 minutes.\n\n## Pour by machine\n\n```step\nway = \"machine\"\nfor = \"10 min\"\n```\n\nWait 10 minutes.\n"
        )
    };
    let course = format!("title = \"Hall <&> \\\"Tea\\\"\"\ncards = []\nhandouts = []\n{settings}");
    let (one, two, three) = (
        lesson("Tea & co", "published = \"2026-11-25\""),
        lesson("Later", "published = \"2026-12-01\""),
        lesson("Undated", ""),
    );
    // No cards and no handouts: they take long and hold no data.
    let mut project = Project::from_files([
        ("course.toml", course.as_str()),
        ("01-tea/lesson.md", one.as_str()),
        ("02-later/lesson.md", two.as_str()),
        ("03-undated/lesson.md", three.as_str()),
    ]);
    for folder in ["01-tea", "02-later", "03-undated"] {
        project.pictures.insert(format!("{folder}/pot.svg"), "<svg xmlns=\"http://www.w3.org/2000/svg\"/>".into());
    }
    let checked = check(&project);
    let findings: Vec<_> = checked.findings.iter().map(|found| (found.code, found.message.clone())).collect();
    render(&project, &checked.course.unwrap_or_else(|| panic!("{findings:?}"))).unwrap()
}

const WITH_ADDRESS: &str = "address = \"https://hall.example/course/\"\nauthor = \"Saltmarsh & Hall\"\n";

/// The pages that a course is read on: copies to take home hold no data.
fn pages(site: &Site) -> BTreeMap<&str, Page> {
    let html = site.files().iter().filter(|(path, _)| path.ends_with(".html") && !path.ends_with("-take-home.html"));
    html.map(|(path, bytes)| (path.as_str(), Page::read(path, std::str::from_utf8(bytes).unwrap()))).collect()
}

/// All that is wrong with the data of a site.
fn faults(site: &Site, address: &str) -> Vec<String> {
    let pages = pages(site);
    let vocabulary = Vocabulary::read();
    let mut found = Vec::new();
    let mut count = 0;
    for page in pages.values() {
        let Some(data) = &page.data else { continue };
        count += 1;
        let all = vocabulary.faults(data).into_iter().chain(lexical_faults(data)).chain(page.faults(&pages, address));
        found.extend(all.map(|fault| format!("{}: {fault}", page.name)));
    }
    assert!(count >= 5, "{count} pages have data");
    found
}

#[test]
fn the_demo_s_data_keep_to_the_vocabulary_and_to_the_pages() {
    let site = demo();
    assert_eq!(faults(site, ""), [""; 0]);
    let pages = pages(site);
    let kinds = |name: &str| -> Vec<String> {
        let graph = pages[name].data.as_ref().and_then(|data| data["@graph"].as_array()).expect("a graph");
        graph.iter().map(|node| node["@type"].as_str().unwrap_or_default().to_owned()).collect()
    };
    assert_eq!(kinds("index.html"), ["Course"]);
    assert_eq!(kinds("glossary.html"), ["DefinedTermSet"]);
    assert_eq!(kinds("pressed-curd.html"), ["LearningResource", "Recipe"]);
    for (name, bytes) in site.files().iter().filter(|(name, _)| name.ends_with("-take-home.html")) {
        assert!(!String::from_utf8_lossy(bytes).contains("ld+json"), "{name}");
    }
}

#[test]
fn with_an_address_all_names_are_whole_addresses() {
    const ADDRESS: &str = "https://hall.example/course/";
    let site = small(WITH_ADDRESS);
    assert_eq!(faults(&site, ADDRESS), [""; 0]);
    let pages = pages(&site);
    let data = pages["tea.html"].data.as_ref().unwrap();
    let (lesson, recipe) = (&data["@graph"][0], &data["@graph"][1]);
    assert_eq!(lesson["@id"], format!("{ADDRESS}tea.html#_lesson"));
    assert_eq!(lesson["hasPart"], json!({ "@id": recipe["@id"] }));
    assert_eq!(lesson["isPartOf"], json!({ "@id": format!("{ADDRESS}#_course") }));
    assert_eq!(lesson["datePublished"], "2026-11-25");
    assert_eq!(recipe["image"], format!("{ADDRESS}pictures/tea/pot.svg"));
    // The longest time of the longest way: 25 and 10 minutes.
    assert_eq!(recipe["totalTime"], "PT35M");
    assert_eq!(lesson["timeRequired"], "PT45M");
    assert_eq!(recipe["recipeYield"], "1–2\u{a0}L black tea");
    assert_eq!(recipe["recipeIngredient"], json!(["1\u{a0}L water, fresh", "2\u{a0}tsp salt"]));
    let salt = json!({ "@type": "QuantitativeValue", "value": 10, "unitCode": "MLT" });
    assert_eq!(recipe["supply"][1]["requiredQuantity"], salt);
    let names = recipe["recipeInstructions"].as_array().unwrap().iter().map(|one| one["name"].as_str().unwrap());
    assert_eq!(names.collect::<Vec<_>>(), ["Step 1", "By hand", "By machine"]);
    for page in pages.values() {
        let own = if page.name == "index.html" { "" } else { page.name.as_str() };
        assert_eq!(page.link("canonical"), Some(format!("{ADDRESS}{own}")), "{}", page.name);
        assert_eq!(page.meta("og:url"), page.link("canonical"));
        for needed in ["og:title", "og:description", "og:type", "og:locale", "description"] {
            assert!(page.meta(needed).is_some_and(|text| !text.is_empty()), "{}: {needed}", page.name);
        }
        assert_eq!(
            page.meta("og:image").is_some(),
            ["tea", "later", "undated"].iter().any(|one| page.name == format!("{one}.html"))
        );
    }
}

#[test]
fn without_an_address_nothing_pretends_to_have_one() {
    let site = small("");
    assert_eq!(faults(&site, ""), [""; 0]);
    assert!(!site.files().keys().any(|path| path.ends_with(".xml")));
    for page in pages(&site).values() {
        assert_eq!((page.link("canonical"), page.meta("og:url")), (None, None), "{}", page.name);
        assert!(page.meta("description").is_some());
    }
}

/// What breaks a document, and what must be said of it.
#[test]
fn a_broken_document_is_found_out() {
    let site = demo();
    let pages = pages(site);
    let whole = &pages["pressed-curd.html"];
    let vocabulary = Vocabulary::read();
    let told = |change: &dyn Fn(&mut Value)| {
        let mut page = Page::read(&whole.name, &whole.source);
        change(page.data.as_mut().unwrap());
        let data = page.data.as_ref().unwrap();
        let own = page.faults(&pages, "");
        vocabulary.faults(data).into_iter().chain(lexical_faults(data)).chain(own).collect::<Vec<_>>()
    };
    assert_eq!(told(&|_| ()), [""; 0]);
    let recipe = |data: &mut Value, key: &str, value: Value| data["@graph"][1][key] = value;
    let step = |data: &mut Value, key: &str, value: Value| data["@graph"][1]["recipeInstructions"][0][key] = value;
    let quantity = |data: &mut Value, value: Value| data["@graph"][1]["supply"][0]["requiredQuantity"] = value;
    type Change<'a> = Box<dyn Fn(&mut Value) + 'a>;
    let changes: Vec<(&str, Change<'_>)> = vec![
        ("there is no class Recipie", Box::new(|data| recipe(data, "@type", json!("Recipie")))),
        ("there is no property temperature", Box::new(|data| step(data, "temperature", json!("92 °C")))),
        ("performTime does not stand on HowToStep", Box::new(|data| step(data, "performTime", json!("PT20M")))),
        (
            "additionalProperty does not stand on Recipe",
            Box::new(|data| recipe(data, "additionalProperty", json!("x"))),
        ),
        ("ingredients is superseded by recipeIngredient", Box::new(|data| recipe(data, "ingredients", json!("milk")))),
        ("steps is superseded by step", Box::new(|data| recipe(data, "steps", json!("stir")))),
        (
            "supply takes no QuantitativeValue",
            Box::new(|data| {
                recipe(data, "supply", json!({ "@type": "QuantitativeValue", "value": 1, "unitCode": "H87" }));
            }),
        ),
        ("nutrition takes no text", Box::new(|data| recipe(data, "nutrition", json!("rich")))),
        ("name takes no number", Box::new(|data| recipe(data, "name", json!(7)))),
        ("totalTime: PT no duration", Box::new(|data| recipe(data, "totalTime", json!("PT")))),
        ("totalTime: P1H25M no duration", Box::new(|data| recipe(data, "totalTime", json!("P1H25M")))),
        ("totalTime: P30M no duration", Box::new(|data| recipe(data, "totalTime", json!("P30M")))),
        ("totalTime: PT20M–PT25M no duration", Box::new(|data| recipe(data, "totalTime", json!("PT20M–PT25M")))),
        ("datePublished: 2026-02-30 no date", Box::new(|data| recipe(data, "datePublished", json!("2026-02-30")))),
        (
            "unit code SPN",
            Box::new(|data| quantity(data, json!({ "@type": "QuantitativeValue", "value": 1, "unitCode": "SPN" }))),
        ),
        (
            "a value without a unit",
            Box::new(|data| quantity(data, json!({ "@type": "QuantitativeValue", "value": 1 }))),
        ),
        ("no value", Box::new(|data| quantity(data, json!({ "@type": "QuantitativeValue", "unitCode": "GRM" })))),
        (
            "the least is more than the most",
            Box::new(|data| {
                quantity(
                    data,
                    json!({ "@type": "QuantitativeValue", "minValue": 2, "maxValue": 1, "unitCode": "GRM" }),
                );
            }),
        ),
        (
            "value takes no object without a type",
            Box::new(|data| quantity(data, json!({ "@type": "QuantitativeValue", "value": {}, "unitCode": "GRM" }))),
        ),
        ("the page shows other words", Box::new(|data| step(data, "text", json!("Heat it to 90 °C.")))),
        (
            "the page shows another line",
            Box::new(|data| data["@graph"][1]["recipeIngredient"][0] = json!("5 L whole milk")),
        ),
        ("the page shows 3 ingredients", Box::new(|data| recipe(data, "recipeIngredient", json!([])))),
        ("#nowhere is not on the page", Box::new(|data| step(data, "url", json!("#nowhere")))),
        ("#_lesson stands twice", Box::new(|data| recipe(data, "@id", json!("#_lesson")))),
        (
            "nothing is called index.html#_nothing",
            Box::new(|data| {
                data["@graph"][0]["isPartOf"] = json!({ "@id": "index.html#_nothing" });
            }),
        ),
        ("no name", Box::new(|data| recipe(data, "name", Value::Null))),
        ("no recipeYield", Box::new(|data| drop(data["@graph"][1].as_object_mut().unwrap().remove("recipeYield")))),
        (
            "suitableForDiet is a claim",
            Box::new(|data| recipe(data, "suitableForDiet", json!("https://schema.org/VegetarianDiet"))),
        ),
        ("another context", Box::new(|data| data["@context"] = json!("https://example.org"))),
    ];
    for (fault, change) in changes {
        let told = told(&*change);
        assert!(told.iter().any(|one| one.contains(fault)), "{fault}: {told:?}");
    }
}

#[test]
fn a_term_belongs_to_a_set_that_is_there() {
    let site = demo();
    let pages = pages(site);
    let glossary = &pages["glossary.html"];
    let mut page = Page::read(&glossary.name, &glossary.source);
    assert_eq!(page.faults(&pages, ""), [""; 0]);
    let terms = page.data.as_mut().unwrap()["@graph"][0]["hasDefinedTerm"].as_array_mut().unwrap();
    assert!(terms.len() > 10, "{}", terms.len());
    terms[0]["inDefinedTermSet"] = json!({ "@id": "#_elsewhere" });
    terms[1]["description"] = json!("Something else.");
    let told = page.faults(&pages, "").join("\n");
    assert!(told.contains("nothing is called #_elsewhere") && told.contains("the page defines"), "{told}");
}

/// What does not fit, by Python's `jsonschema`.
fn schema_faults(schema: &[u8], model: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("schema.json"), schema).unwrap();
    let mut python = Command::new("python3")
        .arg(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/validate_json.py"))
        .arg(folder.path().join("schema.json"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python3 is installed");
    python.stdin.take().unwrap().write_all(model).unwrap();
    let output = python.wait_with_output().unwrap();
    assert!(output.status.success(), "jsonschema is installed: `tests/run` does it");
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_model_of_each_lesson_fits_its_schema() {
    let site = demo();
    let schema = &site.files()["lesson.schema.json"];
    let mut count = 0;
    for (name, page) in pages(site) {
        let Some(model) = page.link("alternate") else { continue };
        count += 1;
        let bytes = &site.files()[model.as_str()];
        assert_eq!(schema_faults(schema, bytes), "", "{name}");
        let model: Value = serde_json::from_slice(bytes).unwrap();
        assert_eq!(model["page"], name);
        let measures: Vec<&str> =
            model["measures"].as_array().unwrap().iter().map(|one| one["path"].as_str().unwrap()).collect();
        named_paths(&model).iter().for_each(|path| assert!(measures.contains(path), "{name}: {path}"));
    }
    assert_eq!(count, 8);
    let model = |name: &str| -> Value { serde_json::from_slice(&site.files()[name]).unwrap() };
    let (curd, jam) = (model("pressed-curd.json"), model("plum-jam.json"));
    let hot =
        curd["cautions"].as_array().unwrap().iter().find(|one| one["id"] == "hot-hands").expect("it is warned of");
    assert_eq!((&hot["step"], &hot["weight"]), (&json!("salt"), &json!("warns")));
    assert_eq!(jam["kind"], "jam");
}

/// Every measure that something of a model names.
fn named_paths(model: &Value) -> Vec<&str> {
    const KEYS: [&str; 13] =
        ["session", "amount", "loses", "measure", "holds", "size", "count", "time", "to", "at", "for", "takes", "from"];
    let mut found = Vec::new();
    match model {
        Value::Object(map) => {
            for (key, value) in map.iter().filter(|(key, _)| *key != "path") {
                let text = value.as_str().filter(|text| KEYS.contains(&key.as_str()) && text.contains('.'));
                found.extend(text);
                found.extend(named_paths(value));
            }
        }
        Value::Array(list) => list.iter().for_each(|value| found.extend(named_paths(value))),
        _ => {}
    }
    found
}

#[test]
fn the_schema_would_notice() {
    let site = demo();
    let schema = &site.files()["lesson.schema.json"];
    let whole: Value = serde_json::from_slice(&site.files()["pressed-curd.json"]).unwrap();
    type Change = fn(&mut Value);
    let changes: [(&str, Change); 5] = [
        ("steps", |model| drop(model.as_object_mut().unwrap().remove("steps"))),
        ("low", |model| model["measures"][0]["low"] = json!(4.5)),
        ("kind", |model| model["measures"][0]["kind"] = json!("weight")),
        ("colour", |model| model["colour"] = json!("white")),
        ("amount", |model| model["makes"]["amount"] = json!("600 g")),
    ];
    for (place, change) in changes {
        let mut model = whole.clone();
        change(&mut model);
        let told = schema_faults(schema, model.to_string().as_bytes());
        assert!(told.contains(place), "{place}: {told}");
    }
}

/// An XML file as Python's parser reads it: one line an element, its name with its namespace, its text and its links.
fn xml(bytes: &[u8]) -> Vec<String> {
    const READ: &str = "import sys, xml.etree.ElementTree as tree\n\
        for one in tree.fromstring(sys.stdin.buffer.read()).iter():\n    \
        print(one.tag, (one.text or '').strip(), one.get('rel') or '', one.get('href') or '', sep='|')";
    let mut python = Command::new("python3")
        .args(["-c", READ])
        .env("PYTHONIOENCODING", "utf-8")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python3 is installed");
    python.stdin.take().unwrap().write_all(bytes).unwrap();
    let output = python.wait_with_output().unwrap();
    assert!(output.status.success(), "well-formed");
    String::from_utf8(output.stdout).unwrap().lines().map(str::to_owned).collect()
}

/// RFC 4287, 4.1.1 and 4.1.2: a feed and each entry have one id, one title and one updated; a feed has an author unless
/// each entry has; ids are unique; a feed should link to itself, and an entry without content links to what it is about.
#[test]
fn the_feed_has_what_atom_asks_for_newest_first() {
    let site = small(WITH_ADDRESS);
    let atom = |name: &str| format!("{{http://www.w3.org/2005/Atom}}{name}|");
    let lines = xml(&site.files()["feed.xml"]);
    assert!(lines[0].starts_with(&atom("feed")));
    let parts: Vec<&[String]> = lines[1..].chunk_by(|_, next| !next.starts_with(&atom("entry"))).collect();
    assert_eq!(parts.len(), 3, "the feed itself and two lessons that have a date");
    for part in &parts {
        for needed in ["id", "title", "updated"] {
            assert_eq!(part.iter().filter(|line| line.starts_with(&atom(needed))).count(), 1, "{needed} in {part:?}");
        }
        assert!(part.iter().any(|line| line.starts_with(&atom("link"))), "{part:?}");
    }
    let text = |part: usize, name: &str| {
        let line = parts[part].iter().find(|line| line.starts_with(&atom(name))).unwrap();
        line.split('|').nth(1).unwrap().to_owned()
    };
    assert_eq!(text(0, "title"), "Hall <&> \"Tea\"");
    assert_eq!(text(0, "name"), "Saltmarsh & Hall");
    assert_eq!((text(1, "title"), text(2, "title")), ("Later".to_owned(), "Tea & co".to_owned()));
    assert_eq!(text(2, "summary"), "Tea & toast, <hot>.");
    let updated = [0, 1, 2].map(|part| text(part, "updated"));
    assert_eq!(updated, ["2026-12-01T00:00:00Z", "2026-12-01T00:00:00Z", "2026-11-25T00:00:00Z"]);
    assert!(parts[0].iter().any(|line| line.ends_with("|self|https://hall.example/course/feed.xml")));
    let ids = [0, 1, 2].map(|part| text(part, "id"));
    assert_eq!(ids, ["", "later.html", "tea.html"].map(|page| format!("https://hall.example/course/{page}")));
    // No date, no feed.
    let undated =
        Project::from_files([("course.toml", format!("title = \"T\"\n{WITH_ADDRESS}").as_str()), ("01-a.md", "# A\n")]);
    let undated = render(&undated, &check(&undated).course.unwrap()).unwrap();
    assert!(!undated.files().contains_key("feed.xml") && undated.files().contains_key("sitemap.xml"));
    assert!(!pages(&undated).values().any(|page| page.source.contains("feed.xml")));
}

#[test]
fn the_sitemap_lists_each_page_once() {
    let site = small(WITH_ADDRESS);
    let lines = xml(&site.files()["sitemap.xml"]);
    let space = "{http://www.sitemaps.org/schemas/sitemap/0.9}";
    assert!(lines[0].starts_with(&format!("{space}urlset|")));
    let listed = lines.iter().filter_map(|line| line.strip_prefix(&format!("{space}loc|"))?.split('|').next());
    let listed: Vec<&str> = listed.collect();
    let mut wanted: Vec<String> = pages(&site).values().filter_map(|page| page.link("canonical")).collect();
    wanted.sort();
    let mut sorted = listed.clone();
    sorted.sort_unstable();
    assert_eq!(sorted, wanted);
}

#[test]
fn a_day_that_is_none_is_a_finding() {
    let lesson = "```lesson\npublished = \"2026-02-30\"\n```\n\n# A\n";
    let project = Project::from_files([("course.toml", "title = \"T\""), ("01-a.md", lesson)]);
    let found = check(&project).findings;
    let found: Vec<&str> = found.iter().map(|found| found.message.as_str()).collect();
    assert_eq!(found, ["`2026-02-30` is no day of the calendar"]);
}

/// Ledger and sources, from the same figures as the command line and the tables.
#[test]
fn the_ledger_shows_every_figure_and_the_sources_every_row() {
    let (course, site) = published();
    let pages = pages(site);
    let ledger = pages["ledger.html"].text("main");
    for entry in &course.ledger().entries {
        assert!(ledger.contains(&squeezed(&format!("“{}”", entry.mention.text))), "{}", entry.mention.text);
    }
    assert_eq!(pages["ledger.html"].count("ledger li"), course.ledger().entries.len());
    let sources = pages["sources.html"].text("main");
    for (what, value) in [
        // NIST Handbook 44, Appendix C; UK Weights and Measures Act 1985, Schedule 1.
        ("pound", "453.59237 g"),
        ("imperial pint", "568.26125 mL"),
        ("inch", "25.4 mm"),
        ("whole milk", "1.0313 g per mL"),
        // Regulation (EC) No 853/2004.
        ("milk", "63 °C for 30 min"),
        ("where jam sets", "4.4 °C above water"),
    ] {
        assert!(sources.contains(&squeezed(&format!("{what}{value}"))), "{what}: {value}");
    }
    // What no lesson uses does not stand there.
    let rows = sources.split("Thesources").next().unwrap();
    for unused in ["japanese cup", "metric cup", "honey"] {
        assert!(!rows.contains(&squeezed(unused)), "{unused}");
    }
}

#[test]
fn facts_borrowed_weights_and_habits_say_what_they_are() {
    let lesson = "# Tea\n\n```recipe\nmakes = \"1 L cold drink\"\n\n[ingredients]\nwater = \"1 L water\"\njuice = \"30 mL bottled lemon juice\"\n```\n\n\
        ## Stir\n\n```step\nadd = [\"water\", \"juice\"]\n```\n\nStir 1 L of water and 2 tablespoons of bottled lemon juice, \
        about 31 g of it. Keep it in the fridge, at 5 °C.\n";
    let project =
        Project::from_files([("course.toml", "title = \"T\"\ncards = []\nhandouts = []"), ("01-tea.md", lesson)]);
    let checked = check(&project);
    let findings: Vec<_> = checked.findings.iter().map(|found| found.message.clone()).collect();
    let site = render(&project, &checked.course.unwrap_or_else(|| panic!("{findings:?}"))).unwrap();
    let pages = pages(&site);
    let sources = pages["sources.html"].text("main");
    for row in [
        "fridge temperatureat most 5 °CUK food temperature guidance: Food Standards Agency, and Northern Ireland business guidance (published)",
        "taken equal to fresh lemon juice; from memory",
        "“tablespoon” and no moremetric tablespoonWhat a bare cup, spoon, pint or degree means in each country's kitchens (common practice)",
    ] {
        assert!(sources.contains(&squeezed(row)), "{row}: {sources}");
    }
    let ledger = pages["ledger.html"].text("main");
    for row in ["“5 °C”at most 5 °Cfact, exactly", "by the density of bottled lemon juice"] {
        assert!(ledger.contains(&squeezed(row)), "{row}: {ledger}");
    }
}
