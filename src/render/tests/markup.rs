//! Words as HTML: what authors type stays text, and every tag is closed.

use super::*;

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
        let cx = crate::render::Cx::new(project, checked);
        let text = text.replace("~~~", "~~~toml");
        let (headings, body) = parsed(FileId(0), &text);
        let (items, notes) = crate::render::markdown::without_notes(&body);
        let links = crate::render::edition::Edition::site();
        let page = crate::render::live::Page::live(&cx);
        let mut writer = crate::render::markdown::Writer::new(&page, FileId(0), "", &headings, links);
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
