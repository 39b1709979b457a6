//! A course that brings its own templates and style.

use super::*;

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
