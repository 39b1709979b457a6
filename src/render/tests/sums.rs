//! Sums of a page, and pages without any.

use super::*;

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
