//! What a class needs, against examples worked out by hand.
//!
//! The densities are those of the built-in pantry, where their sources stand. Sizes of packs and prices are invented.

use pottle::diag::Code;
use pottle::kitchen::{ClassAsk, ClassPlan, class_plan};
use pottle::quantity::{Dimension, Exact};
use pottle::recipe::BroughtBy;
use pottle::render::{ClassSheet, class_of_course, class_sheet};
use pottle::{CheckedCourse, Project, check, render};

const COURSE: &str = "title = \"T\"\nhome = \"uk\"\n";

/// A lesson whose one step takes all that is listed.
fn lesson(title: &str, recipe: &str, ingredients: &[(&str, &str)], equipment: &str) -> String {
    let list: String = ingredients.iter().map(|(id, value)| format!("{id} = {value}\n")).collect();
    let ids: Vec<String> = ingredients.iter().map(|(id, _)| format!("\"{id}\"")).collect();
    format!(
        "# {title}\n\n```recipe\nmakes = \"1 thing\"\n{recipe}\n[ingredients]\n{list}\n[equipment]\n{equipment}\n```\n\n\
         ## Mix\n\n```step\nadd = [{}]\n```\n\nMix all of it.\n",
        ids.join(", ")
    )
}

fn project(course: &str, pantry: &str, lessons: &[String]) -> Project {
    let names: Vec<String> = (1..=lessons.len()).map(|number| format!("{number:02}-l{number}/lesson.md")).collect();
    let files = names.iter().map(String::as_str).zip(lessons.iter().map(String::as_str));
    Project::from_files([("course.toml", course), ("pantry.toml", pantry)].into_iter().chain(files))
}

fn checked(course: &str, pantry: &str, lessons: &[String]) -> CheckedCourse {
    let checked = check(&project(course, pantry, lessons));
    let said: Vec<String> = checked.findings.iter().map(|found| found.message.clone()).collect();
    checked.course.unwrap_or_else(|| panic!("{said:#?}"))
}

fn ask(course: &CheckedCourse, students: usize) -> ClassAsk {
    ClassAsk { lessons: (0..course.course().lessons.len()).collect(), students, groups: None }
}

fn plan(course: &CheckedCourse, students: usize) -> ClassPlan {
    class_plan(course.course(), course.reference(), &ask(course, students))
}

fn sheet(course: &CheckedCourse, students: usize) -> ClassSheet {
    class_sheet(course, &ask(course, students))
}

/// Name, need, what to buy, what is left, what it costs.
fn lines(sheet: &ClassSheet) -> Vec<[String; 5]> {
    let lines = sheet.sections.iter().flat_map(|section| &section.lines);
    let cells = lines.map(|line| {
        let or = |cell: &Option<String>| cell.clone().unwrap_or_default();
        [line.name.clone(), line.need.clone(), line.buy.clone(), or(&line.left), or(&line.cost)]
    });
    cells.map(|row| row.map(|cell| cell.replace('\u{A0}', " "))).collect()
}

fn one_line(pantry: &str, value: &str, students: usize) -> [String; 5] {
    let course = checked(COURSE, pantry, &[lesson("L", "", &[("x", value)], "")]);
    let all = lines(&sheet(&course, students));
    assert_eq!(all.len(), 1, "{all:?}");
    all[0].clone()
}

const MILK: &str = "[[ingredient]]\nid = \"whole milk\"\n\
    packs = [{ holds = \"1 L\", price = \"1.15\" }, { holds = \"2 L\", price = \"1.80\" }]\n";

/// 6 groups of 4 L are 24 L: twelve 2 L packs for 21.60. 5 groups of 1.4 L are 7 L: three of 2 L and one of 1 L for 6.55,
/// since four of 2 L are 7.20.
#[test]
fn the_cheapest_packs_that_hold_enough() {
    assert_eq!(one_line(MILK, "\"4 L whole milk\"", 6), ["whole milk", "24 L", "12 × 2 L", "nothing", "£21.60"]);
    let mixed = one_line(MILK, "\"1.4 L whole milk\"", 5);
    assert_eq!(mixed, ["whole milk", "7 L", "1 × 1 L + 3 × 2 L", "nothing", "£6.55"]);
}

/// Cheapest goes before fewest: five packs of 1 L at 1.00 hold 5 L for 5.00, one of 6 L costs 5.50.
/// Without prices the one that leaves least over: five of 1 L leave nothing. Where all leave as much, the fewest.
#[test]
fn cheapest_before_least_left_over_before_fewest() {
    let packs = |packs: &str| format!("[[ingredient]]\nid = \"whole milk\"\npacks = [{packs}]\n");
    for (sizes, need, buy, left, cost) in [
        (
            "{ holds = \"1 L\", price = \"1.00\" }, { holds = \"6 L\", price = \"5.50\" }",
            5,
            "5 × 1 L",
            "nothing",
            "£5.00",
        ),
        ("{ holds = \"1 L\", price = \"1.20\" }, { holds = \"6 L\", price = \"5.50\" }", 5, "1 × 6 L", "1 L", "£5.50"),
        ("{ holds = \"1 L\" }, { holds = \"6 L\" }", 5, "5 × 1 L", "nothing", ""),
        ("{ holds = \"1 L\" }, { holds = \"2 L\" }", 6, "3 × 2 L", "nothing", ""),
        ("{ holds = \"2 L\" }, { holds = \"5 L\" }", 8, "4 × 2 L", "nothing", ""),
        // Half a price says nothing of which is cheaper: least left over.
        ("{ holds = \"1 L\" }, { holds = \"6 L\", price = \"0.10\" }", 5, "5 × 1 L", "nothing", ""),
    ] {
        let line = one_line(&packs(sizes), "\"1 L whole milk\"", need);
        assert_eq!([&line[2], &line[3], &line[4]], [buy, left, cost], "{sizes}");
    }
}

/// 600 g of yoghurt in packs of 150 and 500 g: 650 g for 2.30, or four of 150 g for 2.80.
#[test]
fn what_packs_leave_over_is_told() {
    let pantry = "[[ingredient]]\nid = \"live yoghurt\"\n\
        packs = [{ holds = \"150 g\", price = \"0.70\" }, { holds = \"500 g\", price = \"1.60\" }]\n";
    let line = one_line(pantry, "\"100 g live yoghurt\"", 6);
    assert_eq!(line, ["live yoghurt", "600 g", "1 × 150 g + 1 × 500 g", "50 g", "£2.30"]);
}

/// Oil weighs 0.92 g per mL or nearly so (the pantry says exactly): 500 mL and 460 g are about a litre, and are bought
/// together. What no density joins stays apart.
#[test]
fn mass_and_volume_are_joined_by_density_and_kept_apart_without() {
    let two = |name: &str| {
        [
            lesson("A", "", &[("x", &format!("\"500 mL {name}\""))], ""),
            lesson("B", "", &[("x", &format!("\"460 g {name}\""))], ""),
        ]
    };
    let pantry = "[[ingredient]]\nid = \"olive oil\"\npacks = [{ holds = \"1 L\", price = \"8.00\" }]\n";
    let course = checked(COURSE, pantry, &two("olive oil"));
    let plan = plan(&course, 2);
    assert_eq!(plan.buy.len(), 1);
    let density = course.reference().pantry.get(plan.buy[0].pantry).density.expect("oil has a density");
    assert_eq!(plan.buy[0].need, Exact::whole(1000) + Exact::whole(920) / density);
    assert!(plan.buy[0].converted && plan.buy[0].dimension == Dimension::Volume);
    // By weight where no pack says otherwise.
    let loose = checked(COURSE, "", &two("olive oil"));
    let weighed = &self::plan(&loose, 2).buy;
    assert_eq!((weighed.len(), weighed[0].dimension), (1, Dimension::Mass));
    assert_eq!(weighed[0].need, Exact::whole(920) + Exact::whole(1000) * density);

    let odd = "[[ingredient]]\nid = \"hall-mix\"\nname = \"hall mix\"\nallergens = []\nallergens-us = []\n\
        keeping = \"dry\"\nperishable = false\n";
    let course = checked(COURSE, odd, &two("hall mix"));
    let apart = lines(&sheet(&course, 2));
    assert_eq!(apart.iter().map(|line| line[1].as_str()).collect::<Vec<_>>(), ["1 L", "920 g"]);
    assert_eq!(apart.iter().map(|line| line[2].as_str()).collect::<Vec<_>>(), ["measure out 1 L", "weigh out 920 g"]);
    // With a pack by volume, only what is measured by volume is bought in packs.
    let odd = format!("{odd}packs = [{{ holds = \"700 mL\" }}]\n");
    let course = checked(COURSE, &odd, &two("hall mix"));
    let apart = lines(&sheet(&course, 2));
    assert_eq!(apart.iter().map(|line| line[2].as_str()).collect::<Vec<_>>(), ["2 × 700 mL", "weigh out 920 g"]);
}

/// Ranges count at their upper end: 3 groups of 200–250 g are 750 g. What has no packs is rounded up to what a scale or
/// a jug shows: 7 × 37 g are 259 g, weighed out as 260 g.
#[test]
fn ranges_count_at_their_upper_end_and_loose_goods_are_rounded_up() {
    assert_eq!(one_line("", "\"200–250 g plain flour\"", 3)[2], "weigh out 750 g");
    let line = one_line("", "\"37 g plain flour\"", 7);
    assert_eq!((line[1].as_str(), line[2].as_str()), ("259 g", "weigh out 260 g"));
    assert_eq!(one_line("", "\"2½ eggs\"", 3)[2], "8");
}

/// Eggs by the dozen: 6 groups of 3 are 18, two packs of 12 with 6 over.
#[test]
fn things_that_are_counted_are_bought_by_number() {
    let pantry = "[[ingredient]]\nid = \"eggs\"\npacks = [{ holds = \"12\", price = \"2.45\" }]\n";
    assert_eq!(one_line(pantry, "\"3 eggs\"", 6)[1..], ["18", "2 packs of 12", "6", "£4.90"]);
}

/// 24 L for 21.60 among 7 students: 3.0857…, so each pays 3.09.
#[test]
fn the_cost_of_each_student_is_rounded_up_to_the_penny() {
    let course =
        checked(COURSE, MILK, &[lesson("L", "", &[("x", "\"4 L whole milk\""), ("salt", "\"9 g fine salt\"")], "")]);
    let asked = ClassAsk { groups: Some(6), ..ask(&course, 7) };
    let plan = class_plan(course.course(), course.reference(), &asked);
    assert_eq!((plan.total, plan.each), (Exact::new(2160, 100), Exact::new(309, 100)));
    let cost = class_sheet(&course, &asked).cost.expect("milk has a price");
    assert_eq!((cost.total.as_str(), cost.each.as_str()), ("£21.60", "£3.09"));
    assert_eq!((cost.rounded, cost.without), ("rounded up to the penny", vec!["fine salt".to_owned()]));
    // What divides evenly is not moved.
    let even = class_plan(course.course(), course.reference(), &ClassAsk { students: 6, ..asked });
    assert_eq!(even.each, Exact::new(360, 100));
}

/// 13 students, 2 to a batch: 7 groups. 3 to a batch: 5. One batch a group.
#[test]
fn groups_are_rounded_up() {
    let of = |recipe: &str| lesson("L", recipe, &[("x", "\"1 L whole milk\"")], "");
    let course = checked(COURSE, MILK, &[of("students-per-batch = 2"), of("students-per-batch = 3"), of("")]);
    let plan = plan(&course, 13);
    assert_eq!(plan.lessons.iter().map(|lesson| lesson.groups).collect::<Vec<_>>(), [7, 5, 13]);
    assert_eq!(plan.buy[0].need, Exact::whole(25_000));
    let words = sheet(&course, 13).lessons.into_iter().map(|lesson| lesson.groups).collect::<Vec<_>>();
    assert_eq!(words, ["7 groups, a batch each", "5 groups, a batch each", "a batch each"]);
}

/// The same pot serves on another evening: as many as the lesson that takes most. Pots of two sizes are two things. Two of
/// a sort in one lesson stand side by side. What is shared is there once.
#[test]
fn equipment_is_the_most_that_one_lesson_takes() {
    let of = |recipe: &str, equipment: &str| lesson("L", recipe, &[("x", "\"1 L whole milk\"")], equipment);
    let first = "pot = { name = \"heavy pot\", holds = \"6 L\" }\ntop = \"heavy pot\"\nbowl = \"bowl\"\nother = \"bowl\"\n\
        oven = { name = \"oven\", shared = true }\njar = { name = \"jar\", count = 2, brought-by = \"student\" }";
    let second = "pot = { name = \"heavy pot\", holds = \"6 L\" }\nbowl = { name = \"Bowl\", count = 3 }";
    let course = checked(COURSE, "", &[of("students-per-batch = 2", first), of("", second)]);
    let plan = plan(&course, 12);
    let most: Vec<i128> = plan.equipment.iter().map(|piece| piece.most.over()).collect();
    // Pots of 6 L: 6 and 12. Pots without a size: 6. Bowls: 6 + 6 and 36. Oven: 1. Jars: 12.
    assert_eq!(most, [12, 6, 36, 1, 12]);
    assert_eq!(plan.equipment[2].each, [(0, Exact::whole(12)), (1, Exact::whole(36))]);
    assert_eq!(plan.equipment[4].brought_by, BroughtBy::Student);
    let sheet = sheet(&course, 12);
    assert_eq!(sheet.from_students[0].each.as_deref(), Some("2"));
    assert_eq!(sheet.hall[0].name.replace('\u{A0}', " "), "heavy pot, holds 6 L");
}

/// Water comes out of the tap, unless the course knows packs of it. Ice and brine do not.
#[test]
fn water_from_the_tap_is_not_bought() {
    let of = |name: &str| vec![lesson("L", "", &[("x", &format!("\"500 mL {name}\""))], "")];
    let bought = |pantry: &str, name: &str| !plan(&checked(COURSE, pantry, &of(name)), 2).buy.is_empty();
    assert!(!bought("", "warm water"));
    assert!(bought("[[ingredient]]\nid = \"water\"\npacks = [{ holds = \"1 L\" }]\n", "warm water"));
    assert!(bought("", "brine"));
    assert!(!plan(&checked(COURSE, "", &[lesson("L", "", &[("x", "\"500 g ice\"")], "")]), 2).buy.is_empty());
}

/// What students bring is not bought, and what another lesson takes of the same is.
#[test]
fn what_students_bring_is_not_bought() {
    let theirs =
        lesson("A", "", &[("x", "{ amount = \"1 L whole milk, not homogenised\", brought-by = \"student\" }")], "");
    let ours = lesson("B", "", &[("x", "{ amount = \"2 L whole milk\", brought-by = \"hall\" }")], "");
    let course = checked(COURSE, MILK, &[theirs, ours]);
    let sheet = sheet(&course, 3);
    assert_eq!(lines(&sheet)[0][1], "6 L");
    let brought = &sheet.brought[0];
    assert_eq!(
        (brought.each.replace('\u{A0}', " ").as_str(), brought.groups, brought.lesson.as_str()),
        ("1 L", 3, "A")
    );
}

/// A course's row of nothing but packs leaves density, allergens and other names as the built-in pantry has them.
#[test]
fn a_row_of_packs_adds_to_the_ingredient_that_is_known() {
    let course = checked(COURSE, MILK, &[lesson("L", "", &[("x", "\"1 L full-cream milk\"")], "")]);
    let pantry = &course.reference().pantry;
    let milk = pantry.get(pantry.find("whole milk").expect("milk"));
    assert_eq!((milk.packs.len(), milk.allergens.as_slice()), (2, &["milk".to_owned()][..]));
    assert!(milk.density.is_some());
    // A whole row of the course's own replaces it, packs and all.
    let own = "[[ingredient]]\nid = \"whole-milk\"\nname = \"whole milk\"\nallergens = [\"milk\"]\nallergens-us = [\"milk\"]\n\
        keeping = \"chilled\"\nperishable = true\nshop = \"drinks\"\npacks = [{ holds = \"1 L\" }]\n";
    let course = checked(COURSE, own, &[lesson("L", "", &[("x", "\"1 L whole milk\"")], "")]);
    let sheet = sheet(&course, 1);
    assert_eq!(sheet.sections[0].name, "Drinks");
    let pantry = &course.reference().pantry;
    assert!(pantry.get(pantry.find("whole milk").expect("milk")).density.is_none());
}

#[test]
fn sections_come_in_a_fixed_order() {
    let things = [
        ("a", "\"1 g liquid rennet\""),
        ("b", "\"10 g fine salt\""),
        ("c", "\"100 g plain flour\""),
        ("d", "\"10 mL lemon juice\""),
        ("e", "\"100 g carrot\""),
        ("f", "\"10 mL olive oil\""),
        ("g", "\"100 g butter\""),
        ("h", "\"2 eggs\""),
    ];
    let course = checked(COURSE, "", &[lesson("L", "", &things, "")]);
    let sheet = sheet(&course, 1);
    let sections: Vec<(&str, Vec<&str>)> = sheet
        .sections
        .iter()
        .map(|section| (section.name.as_str(), section.lines.iter().map(|line| line.name.as_str()).collect()))
        .collect();
    assert_eq!(
        sections,
        [
            ("Dairy", vec!["butter", "eggs"]),
            ("Baking", vec!["plain flour"]),
            ("Fruit and vegetables", vec!["lemon juice", "carrot"]),
            ("Herbs and spices", vec!["fine salt"]),
            ("Oil and vinegar", vec!["olive oil"]),
            ("Cultures and additives", vec!["liquid rennet"]),
        ]
    );
}

fn codes(course: &str, pantry: &str) -> Vec<(Code, String)> {
    let lessons = [lesson("L", "", &[("x", "\"1 L whole milk\"")], "")];
    let project = project(course, pantry, &lessons);
    let findings = check(&project).findings;
    findings.iter().map(|found| (found.code, project.sources.text(found.primary.span).to_owned())).collect()
}

#[test]
fn each_slip_in_the_class_is_found_at_its_place() {
    let class = "[class]\nstudents = 12\ngroups = 6\ncurrency = \"£\"\n";
    assert_eq!(codes(&format!("{COURSE}{class}"), ""), []);
    for (from, to, code, place) in [
        ("students = 12", "students = 0", Code::BadAmount, "0"),
        ("students = 12", "students = 1.5", Code::BadAmount, "1.5"),
        ("students = 12", "students = -1", Code::BadAmount, "-1"),
        ("students = 12", "students = \"12\"", Code::WrongType, "\"12\""),
        ("students = 12\n", "", Code::MissingKey, "class"),
        ("students = 12", "studnets = 12", Code::UnknownKey, "studnets"),
        ("groups = 6", "groups = 0", Code::BadAmount, "0"),
        ("groups = 6", "groups = true", Code::WrongType, "true"),
        ("\"£\"", "\"pounds\"", Code::WrongType, "pounds"),
        ("\"£\"", "\"=\"", Code::WrongType, "="),
        ("\"£\"", "4", Code::WrongType, "4"),
    ] {
        let text = class.replacen(from, to, 1);
        assert_ne!(text, class);
        assert_eq!(codes(&format!("{COURSE}{text}"), ""), [(code, place.to_owned())], "{to}");
    }
    for currency in ["€", "$", "SEK", "kr"] {
        let text = class.replace('£', currency);
        assert_eq!(codes(&format!("{COURSE}{text}"), "").is_empty(), currency != "kr", "{currency}");
    }
}

#[test]
fn each_slip_in_packs_is_found_at_its_place() {
    assert_eq!(codes(COURSE, MILK), []);
    for (from, to, code, place) in [
        ("\"1.15\"", "1.15", Code::WrongType, "1.15"),
        ("\"1.15\"", "\"£1.15\"", Code::BadAmount, "£1.15"),
        ("\"1.15\"", "\"1.155\"", Code::BadAmount, "1.155"),
        ("\"1.15\"", "\"1,15\"", Code::BadAmount, "1,15"),
        ("\"1.15\"", "\"-1\"", Code::BadAmount, "-1"),
        ("\"1.15\"", "\"1/2\"", Code::BadAmount, "1/2"),
        ("\"1 L\"", "\"1 litter\"", Code::BadAmount, "1 litter"),
        ("\"1 L\"", "\"0 L\"", Code::BadAmount, "0 L"),
        ("\"1 L\"", "\"5 min\"", Code::WrongKind, "5 min"),
        ("\"1 L\"", "\"6\"", Code::WrongKind, "6"),
        ("price = \"1.15\"", "prize = \"1.15\"", Code::UnknownKey, "prize"),
        ("holds = \"1 L\", ", "", Code::MissingKey, "{ price = \"1.15\" }"),
        ("\"whole milk\"", "\"whole mlik\"", Code::UnknownName, "whole mlik"),
        ("packs = [", "shop = \"diary\"\npacks = [", Code::WrongType, "diary"),
        ("packs = [", "colour = 3\npacks = [", Code::UnknownKey, "colour"),
    ] {
        let text = MILK.replacen(from, to, 1);
        assert_ne!(text, MILK, "{to}");
        assert_eq!(codes(COURSE, &text), [(code, place.to_owned())], "{to}");
    }
    assert_eq!(codes(COURSE, &format!("{MILK}{MILK}")), [(Code::DuplicateId, "whole milk".to_owned())]);
    // Near misses: by weight through the density, without a price, another section, a decimal comma where it is usual.
    for (from, to) in
        [("\"1 L\"", "\"1 kg\""), (", price = \"1.15\"", ""), ("packs = [", "shop = \"drinks\"\npacks = [")]
    {
        assert_eq!(codes(COURSE, &MILK.replacen(from, to, 1)), [], "{to}");
    }
    let german = format!("{COURSE}language = \"de\"\n");
    assert_eq!(codes(&german, &MILK.replace("1.15", "1,15").replace("1.80", "1,80")), []);
}

#[test]
fn slips_in_who_brings_what_are_found() {
    for (value, code) in [
        ("{ amount = \"1 L whole milk\", brought-by = \"teacher\" }", Some(Code::WrongType)),
        ("{ amount = \"1 L whole milk\", brought-by = true }", Some(Code::WrongType)),
        ("{ amount = \"1 L whole milk\", brings = \"student\" }", Some(Code::UnknownKey)),
        ("{ amount = \"1 L whole milk\", brought-by = \"student\" }", None),
    ] {
        let found = check(&project(COURSE, "", &[lesson("L", "", &[("x", value)], "")])).findings;
        assert_eq!(found.iter().map(|found| found.code).collect::<Vec<_>>(), Vec::from_iter(code), "{value}");
    }
    for (value, code) in
        [("{ name = \"oven\", shared = \"yes\" }", Some(Code::WrongType)), ("{ name = \"oven\", shared = true }", None)]
    {
        let lessons = [lesson("L", "", &[("x", "\"1 L whole milk\"")], &format!("oven = {value}"))];
        let found = check(&project(COURSE, "", &lessons)).findings;
        assert_eq!(found.iter().map(|found| found.code).collect::<Vec<_>>(), Vec::from_iter(code), "{value}");
    }
}

/// The table as another reader of such files sees it (RFC 4180), its mark taken off.
fn rows(table: &[u8]) -> Vec<Vec<String>> {
    let text = std::str::from_utf8(table).expect("UTF-8").strip_prefix('\u{FEFF}').expect("a mark");
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|row| row.expect("sound").iter().map(str::to_owned).collect()).collect()
}

#[test]
fn no_cell_of_the_table_is_a_formula() {
    let nasty = "[[ingredient]]\nid = \"sum\"\nname = \"=SUM(A1)\"\nallergens = []\nallergens-us = []\nkeeping = \"dry\"\n\
        perishable = false\npacks = [{ holds = \"1 kg\", price = \"1.00\" }]\n";
    let lessons =
        [lesson("L", "", &[("x", "\"500 g =SUM(A1), @first\"")], "pot = \"+pot, with \\\"lid\\\"\"\ncup = \"-cup\"")];
    let course = checked(COURSE, nasty, &lessons);
    let rows = rows(&sheet(&course, 2).table());
    assert!(rows.iter().flatten().all(|cell| !cell.starts_with(['=', '+', '-', '@', '\t', '\r'])), "{rows:#?}");
    assert_eq!(rows[0][..7], ["list", "section", "item", "needed", "buy", "left over", "cost (£)"]);
    assert_eq!(rows[1], ["buy", "Other", "'=SUM(A1)", "1 kg", "1 × 1 kg", "nothing", "1.00", "L: 1 kg", "'@first"]);
    assert_eq!(rows[2][2..4], ["'+pot, with \"lid\"", "2"]);
    assert_eq!(rows[3][2], "'-cup");
}

#[test]
fn the_page_is_published_only_for_a_course_with_a_class() {
    let lessons = [lesson("Milk <& more>", "", &[("x", "\"1 L whole milk\"")], "pot = \"pot\"")];
    let site = |course: &str| {
        let project = project(course, MILK, &lessons);
        render(&project, &check(&project).course.expect("clean")).expect("the theme is sound")
    };
    let without = site(COURSE);
    assert!(!without.files().keys().any(|name| name.starts_with("class")));
    let text =
        |site: &pottle::Site, name: &str| String::from_utf8(site.files()[name].clone()).expect("text").replace('"', "");
    assert!(!text(&without, "index.html").contains("class-plan"));
    let with = site(&format!("{COURSE}[class]\nstudents = 3\n"));
    assert!(text(&with, "index.html").contains("href=class-plan.html"));
    let page = text(&with, "class-plan.html");
    for words in [
        "href=class.css",
        "href=class-plan.csv",
        "1\u{A0}×\u{A0}1\u{A0}L + 1\u{A0}×\u{A0}2\u{A0}L",
        "£2.95",
        "Milk &lt;&amp; more>",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    assert!(!page.contains("style=\""));
    assert_eq!(rows(&with.files()["class-plan.csv"])[1][6], "2.95");
    assert!(with.files().contains_key("class.css"));
}

/// The demo course, as it is published.
#[test]
fn the_demo_course_has_a_plan_without_loose_ends() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall");
    let project = pottle::read_project(&folder).expect("the demo course is there");
    let course = check(&project).course.expect("the demo course is clean");
    let asked = class_of_course(course.course()).expect("it has a class");
    let sheet = class_sheet(&course, &asked);
    assert!(lines(&sheet).iter().all(|line| !line[4].is_empty()), "{:#?}", lines(&sheet));
    assert!(sheet.cost.is_some() && !sheet.brought.is_empty() && !sheet.from_students.is_empty());
    let pantry = &course.reference().pantry;
    let used = |row: usize| {
        let recipes = course.course().lessons.iter().filter_map(|lesson| lesson.recipe.as_ref());
        recipes.flat_map(|recipe| &recipe.ingredients).any(|ingredient| ingredient.pantry == Some(row))
    };
    for (row, entry) in pantry.iter().enumerate().filter(|(_, entry)| !entry.packs.is_empty()) {
        assert!(used(row), "{} is sold and never used", entry.name);
    }
}
