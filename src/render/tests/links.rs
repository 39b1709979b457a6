//! Links, pictures, terms and footnotes: each leads to a place that is there.

use super::*;

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
