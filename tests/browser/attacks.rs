//! A course whose every string is an attack: in a reader's browser nothing of it runs, nothing is fetched, nothing asks.

use super::page::Page;
use super::server::Server;
use pottle::{Project, Site, check, read_project, render, write_site};
use std::fs;
use std::path::Path;
use std::sync::OnceLock;
use tempfile::TempDir;

/// Ends any quotes, element, comment, script, style and template, and then runs.
const ATTACK: &str = r#"x'"`>--></script></style></title></textarea>]]><img src=x onerror=pwn()><svg onload=pwn()><script>pwn()</script><a href="javascript:pwn()" onclick=pwn() autofocus onfocus=pwn()>{{ pwn() }}{% raw %}${pwn()}&lt;script&gt;pwn()&lt;/script&gt;\u003cscript\u003epwn()"#;

/// What a spreadsheet would reckon.
const FORMULAS: [&str; 6] =
    ["=HYPERLINK(\"https://evil.example\")", "+pwn()", "-pwn()", "@pwn()", "\t=pwn()", "\r=pwn()"];

/// A string of TOML.
fn quoted(text: &str) -> String {
    serde_json::to_string(text).expect("a string")
}

fn attack() -> String {
    quoted(ATTACK)
}

/// The same in Markdown: what would be markup is escaped, as an author may.
fn in_words() -> String {
    ATTACK
        .chars()
        .map(|sign| if sign.is_ascii_punctuation() { format!("\\{sign}") } else { sign.to_string() })
        .collect()
}

fn course_toml() -> String {
    format!(
        "title = {0}\nsummary = {0}\nauthor = {0}\nhome = \"uk\"\nlanguage = \"en-GB\"\naddress = \"https://course.example/a'b/\"\n\
         handouts = []\n[class]\nstudents = 2\ncurrency = \"£\"\n",
        attack()
    )
}

fn pantry() -> String {
    let row = |(at, name): (usize, String)| {
        format!(
            "[[ingredient]]\nid = \"grit-{at}\"\nname = {0}\nalso = [{1}]\ndensity = \"1\"\ndensity-source = {2}\n\
             density-status = \"from memory\"\nallergens = [\"milk\"]\nallergens-us = [\"milk\"]\nallergens-note = {2}\n\
             keeping = \"dry\"\nperishable = false\ntags = [\"water\"]\npacks = [{{ holds = \"1 kg\", price = \"2\" }}]\n\n",
            quoted(&name),
            quoted(&format!("also {} {ATTACK}", ["ant", "bee", "cat", "dog", "eel", "fly"][at])),
            attack()
        )
    };
    names().into_iter().enumerate().map(row).collect()
}

/// Names of ingredients. A comma ends a name, so there is none in them.
fn names() -> Vec<String> {
    let formulas = FORMULAS.iter().map(|formula| formula.trim_start().to_owned());
    std::iter::once(ATTACK.to_owned()).chain(formulas).map(|name| name.replace(',', "")).take(6).collect()
}

fn lesson() -> String {
    let a = attack();
    let w = in_words();
    let lines: String = names()
        .iter()
        .enumerate()
        .map(|(at, name)| format!("g{at} = {{ amount = {}, note = {a} }}\n", quoted(&format!("100 g {name}"))))
        .collect();
    let add: Vec<String> = (0..names().len()).map(|at| format!("\"g{at}\"")).collect();
    format!(
        r#"# {w}

```lesson
summary   = {a}
learn     = [{a}]
overrules = {{ low-acid-sealed = {a} }}
asides    = [{{ words = "7 litres of pwn", why = {a} }}]
recording = "https://film.example/a'b%22%3E%3Cscript%3Epwn()%3C/script%3E"
```

{w} 7 litres of pwn. `{code}`

[{w}](https://evil.example/%22onmouseover=%22pwn%28%29 "{w}") and <https://evil.example/'onclick='pwn()> and [^{note}]

![{w}](<{picture}> "{w}")

[^{note}]: {w}

| {cell} | a |
| --- | --- |
| {cell} | b |

```js
{code}
```

```recipe
makes  = {makes}
keeps  = [{{ what = {a}, where = {a}, for = "2 days", at = "20 °C" }}]

[ingredients]
{lines}

[equipment]
pot = {{ name = {a}, holds = "9 L" }}
```

## {w}

```step
id       = "one"
add      = [{add}]
in       = "pot"
takes    = "5 min"
until    = {a}
way      = {a}
measures = {{ {a} = "2 cm" }}
```

{w} Stir for 5 minutes.

```rescue
sign = {a}
do   = {a}
```

## And {w}

```step
add      = [{add}]
in       = "pot"
takes    = "5 min"
way      = "plain"
```

{w}
"#,
        code = ATTACK.replace('`', ""),
        cell = w.replace("\\|", ""),
        note = "pwn",
        picture = PICTURE,
        makes = quoted(&format!("400–600 g {}", ATTACK.replace(',', ""))),
        add = add.join(", "),
    )
}

/// A file name with all signs that a name may have.
const PICTURE: &str = "a'b&c onerror=pwn() ;{}$`.svg";

fn glossary() -> String {
    format!("# {0}\n\n## pwn {0}\n\n```term\nalso = [{1}]\n```\n\n{0}\n", in_words(), attack())
}

fn captions() -> String {
    format!(
        "WEBVTT\n\n00:01.000 --> 00:04.000\n<v {0}>{0}\n\n00:05.000 --> 00:06.000\n<c.pwn><script>pwn()</script>\n",
        ATTACK.replace("-->", "")
    )
}

/// Writes it.
fn course() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let inner = "01-<img src=x onerror=pwn()> attack";
    let files = [
        ("course.toml".to_owned(), course_toml()),
        ("pantry.toml".to_owned(), pantry()),
        ("glossary.md".to_owned(), glossary()),
        (format!("{inner}/lesson.md"), lesson()),
        (format!("{inner}/lesson.vtt"), captions()),
        (format!("{inner}/<script>pwn()<'\">.en.vtt").replace('/', "\u{1}").replacen('\u{1}', "/", 1), captions()),
        (format!("{inner}/{PICTURE}"), "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"><title>pwn</title><path d=\"M0 0h9\"/></svg>".to_owned()),
    ];
    for (path, text) in files {
        let path = folder.path().join(path);
        fs::create_dir_all(path.parent().expect("it has one")).expect("the folder is ours");
        fs::write(path, text).expect("the folder is ours");
    }
    folder
}

fn published() -> &'static (Project, Site) {
    static SITE: OnceLock<(Project, Site)> = OnceLock::new();
    SITE.get_or_init(|| {
        let folder = course();
        let project = read_project(folder.path()).expect("the course is there");
        let checked = check(&project);
        let found: Vec<String> = checked
            .findings
            .iter()
            .map(|one| format!("{}: {} {:?}", one.code.name(), one.message, project.sources.text(one.primary.span)))
            .collect();
        let course = checked.course.unwrap_or_else(|| panic!("{found:#?}"));
        let site = render(&project, &course).expect("the theme is sound");
        (project, site)
    })
}

fn text(path: &str) -> &'static str {
    std::str::from_utf8(&published().1.files()[path]).expect("it is text")
}

const WATCH: &str = "
    window.pwned = [];
    window.pwn = () => { window.pwned.push(new Error().stack); };
    for (const name of ['alert', 'confirm', 'prompt', 'print', 'open']) window[name] = () => { window.pwned.push(name); };
    addEventListener('securitypolicyviolation', event => window.pwned.push('refused ' + event.violatedDirective + ' ' + event.blockedURI));
";

/// Whether anything ran, was refused, or was fetched from elsewhere.
#[track_caller]
fn nothing_happened(page: &Page, server: &Server, name: &str) {
    page.eval("new Promise(done => setTimeout(done, 300))");
    let ran = page.eval("window.pwned");
    assert_eq!(ran.as_array().map(Vec::len), Some(0), "{name}: {ran}");
    let own = server.url("");
    let fetched = page.eval("performance.getEntriesByType('resource').map(one => one.name)");
    let strange: Vec<_> = fetched
        .as_array()
        .expect("a list")
        .iter()
        .filter(|one| !one.as_str().is_some_and(|url| url.starts_with(&own) || url.starts_with("data:")))
        .collect();
    assert!(strange.is_empty(), "{name} fetched {strange:?}");
    let markup = page.eval(
        "[...document.querySelectorAll('*')].filter(one => one.matches('img[src=x], script:not([src]):not([type]), iframe, object, embed, base, form[action]')
            || [...one.attributes].some(at => /^on/i.test(at.name) || /^\\s*(javascript|data|vbscript):/i.test(at.value) && !one.matches('img, link[rel=icon]')))
            .map(one => one.outerHTML.slice(0, 200))",
    );
    let markup: Vec<String> = markup.as_array().expect("a list").iter().map(ToString::to_string).collect();
    // The take-home page has its own script inside, which its policy names by its hash.
    let markup: Vec<&String> =
        markup.iter().filter(|one| !(name.contains("take-home") && one.starts_with("\"<script>"))).collect();
    assert!(markup.is_empty(), "{name}: {markup:#?}");
}

fn served() -> Server {
    let folder = tempfile::tempdir().expect("a folder");
    write_site(&published().1, folder.path()).expect("a new folder");
    Server::start(folder)
}

#[test]
fn no_string_of_a_course_runs_on_any_page() {
    let server = served();
    let pages: Vec<&String> = published().1.files().keys().filter(|path| path.ends_with(".html")).collect();
    assert!(pages.len() >= 6, "{pages:?}");
    for name in pages {
        let page = Page::fresh();
        page.before_loading(WATCH);
        page.open(&server.url(name));
        page.settle();
        nothing_happened(&page, &server, name);
        // All that can be opened is opened, and every field is filled with an attack.
        page.eval(
            "document.querySelectorAll('details').forEach(one => one.open = true);
             document.querySelectorAll('[popover]').forEach(one => { try { one.showPopover(); one.hidePopover(); } catch {} });
             document.querySelectorAll('input:not([type=radio]):not([type=checkbox]), textarea').forEach(one => {
                 one.value = '\"><img src=x onerror=pwn()>';
                 one.dispatchEvent(new Event('input', { bubbles: true })); one.dispatchEvent(new Event('change', { bubbles: true }));
             }); 0",
        );
        nothing_happened(&page, &server, name);
    }
}

#[test]
fn a_link_with_an_attack_in_its_state_runs_nothing() {
    let server = served();
    let lesson = published().1.files().keys().find(|path| path.ends_with("attack.html")).expect("a lesson");
    for state in [
        "?q=%22%3E%3Cscript%3Epwn()%3C/script%3E",
        "#s=<img src=x onerror=pwn()>&u=us&w=%22%3E<svg onload=pwn()>",
        "#__proto__[x]=1&constructor=pwn()",
    ] {
        let page = Page::fresh();
        page.before_loading(WATCH);
        page.open(&server.url(&format!("{lesson}{state}")));
        page.settle();
        nothing_happened(&page, &server, lesson);
    }
}

/// A page shows drawings as pictures; one with a script in it never gets so far, and if it did it would not run there.
#[test]
fn a_script_in_a_drawing_does_not_run_in_a_picture() {
    let drawing = "<svg xmlns=\"http://www.w3.org/2000/svg\" onload=\"top.pwn()\"><script>top.pwn(); fetch('gone')</script></svg>";
    let server = Server::of(&[
        ("a.svg", drawing),
        ("index.html", "<!doctype html><title>A</title><link rel=icon href=data:,><img src=a.svg alt='a pot'>"),
    ]);
    let page = Page::fresh();
    page.before_loading(WATCH);
    page.open(&server.url("index.html"));
    page.eval("new Promise(done => setTimeout(done, 300))");
    assert_eq!(page.eval("window.pwned.length"), 0);
    let course = course();
    let inner = fs::read_dir(course.path())
        .expect("ours")
        .map(|one| one.expect("ours").path())
        .find(|path| path.is_dir())
        .expect("a lesson");
    fs::write(inner.join(PICTURE), drawing).expect("ours");
    let found = check(&read_project(Path::new(course.path())).expect("the course is there")).findings;
    assert!(found.iter().any(|one| one.code.name() == "bad-picture"));
}

#[test]
fn data_for_programs_hold_the_words_and_nothing_else() {
    for (path, bytes) in published().1.files() {
        let name = path.as_str();
        if name.ends_with(".json") || name.ends_with(".webmanifest") {
            let read: serde_json::Value =
                serde_json::from_slice(bytes).unwrap_or_else(|error| panic!("{name}: {error}"));
            assert!(!read.is_null());
        }
        if name.ends_with(".html") {
            let page = text(path);
            for block in page.split("<script type=application/ld+json>").skip(1) {
                let (data, _) = block.split_once("</script>").expect("it ends");
                assert!(!data.contains('<'), "{name}");
                let data: serde_json::Value =
                    serde_json::from_str(data).unwrap_or_else(|error| panic!("{name}: {error}"));
                assert!(data.to_string().contains("pwn()"), "the words are there: {name}");
            }
        }
        if name.ends_with(".xml") || name.ends_with(".svg") {
            assert!(!String::from_utf8_lossy(bytes).contains("<script"), "{name}");
        }
    }
}

#[test]
fn no_cell_of_a_table_is_a_formula() {
    let table = text("class-plan.csv");
    let mut rows = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(table.trim_start_matches('\u{feff}').as_bytes());
    let mut cells = 0;
    for row in rows.records() {
        for cell in row.expect("rows are sound").iter() {
            cells += 1;
            let first = cell.chars().next();
            assert!(!first.is_some_and(|sign| matches!(sign, '=' | '+' | '-' | '@' | '\t' | '\r')), "{cell:?}");
        }
    }
    assert!(cells > 50 && table.contains("HYPERLINK"), "{table}");
}
