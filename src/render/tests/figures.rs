//! Figures of recipes and steps as lists and plates show them.

use super::*;

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
